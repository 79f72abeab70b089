//! Hazard: a module's output is held at supply from outside.
//!
//! Raised where a lead joins `out` to the battery's `+` with nothing between and the module in place. Some makers
//! say their output survives it; none is to be assumed to (common practice, no source). An unplugged module cannot
//! be back-fed.

use std::collections::BTreeMap;

use crate::circuit::Kind;
use crate::physics::electric::Element;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};

use super::{Joins, Moment, Scene};
use crate::words::say;

/// Place of `out` among a module's terminals.
const OUT: usize = 2;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let mut hazards: BTreeMap<String, Hazard> = BTreeMap::new();
    if scene.inputs.leads.is_empty() {
        return Vec::new();
    }
    for Moment { solved, .. } in &scene.moments {
        let Some(plus) = solved.assembly.supply else { continue };
        for (id, part) in scene.circuit.parts_with_ids() {
            if !matches!(part.kind, Kind::Module(_)) {
                continue;
            }
            let out = solved.assembly.own[scene.circuit.terminal_at(id, OUT).index()];
            let driver = Element::Contact(id);
            let leadless = |e: Element| e == driver || matches!(e, Element::Lead(_));
            if Joins::of(scene.circuit, solved, leadless).way(plus, out).is_some() {
                continue;
            }
            if Joins::of(scene.circuit, solved, |e| e == driver).way(plus, out).is_none() {
                continue;
            }
            let tag = &part.tag;
            hazards.entry(tag.clone()).or_insert_with(|| Hazard {
                kind: HazardKind::ModuleBackfed,
                level: Level::Danger,
                at: tag.clone(),
                text: say!("hazard-a-lead-holds-out-at", tag),
                subjects: vec![Subject::Part(id)],
            });
        }
    }
    hazards.into_values().collect()
}
