//! Hazard: a lead joins the two ends of a coil.
//!
//! Raised where a coil's ends are joined with nothing between, and would not be without the leads. While the coil is
//! dead nothing is seen; the moment its circuit feeds it, the lead is a dead short.

use std::collections::BTreeMap;

use crate::circuit::Kind;
use crate::physics::electric::Element;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};

use super::{Joins, Moment, Scene};
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    if scene.inputs.leads.is_empty() {
        return Vec::new();
    }
    let mut hazards: BTreeMap<String, Hazard> = BTreeMap::new();
    for Moment { solved, .. } in &scene.moments {
        let with = Joins::of(scene.circuit, solved, |_| false);
        let without = Joins::of(scene.circuit, solved, |e| matches!(e, Element::Lead(_)));
        for (id, part) in scene.circuit.parts_with_ids() {
            if !matches!(part.kind, Kind::Relay(_) | Kind::AirValve(_)) {
                continue;
            }
            let node = |place| solved.assembly.own[scene.circuit.terminal_at(id, place).index()];
            let (a, b) = (node(0), node(1));
            if without.are_joined(a, b) || !with.are_joined(a, b) {
                continue;
            }
            let Some(way) = with.way(a, b) else { continue };
            let leads = way.iter().filter_map(|e| match e {
                Element::Lead(number) => Some(Subject::Lead(*number)),
                _ => None,
            });
            let subjects: Vec<Subject> = std::iter::once(Subject::Part(id)).chain(leads).collect();
            let tag = &part.tag;
            hazards.entry(tag.clone()).or_insert_with(|| Hazard {
                kind: HazardKind::CoilBridged,
                level: Level::Danger,
                at: tag.clone(),
                text: say!("hazard-a-lead-joins-both-ends", tag),
                subjects,
            });
        }
    }
    hazards.into_values().collect()
}
