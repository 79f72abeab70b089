//! Hazard: a lead feeds something past the fuse that is there to protect it.
//!
//! Raised for a lead whose one end meets supply with no fuse between and whose other end, without that lead, does
//! not. A lead with a fuse of its own no larger than the one passed by still protects; a larger one protects less; a
//! bare one not at all.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::{Circuit, Contact, Kind, PartId};
use crate::physics::electric::Element;
use crate::physics::inputs::{Inputs, Lead};
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::paths::Solved;
use crate::study::wording;

use super::{Joins, Scene, is_fuse};
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let solved = &scene.moments[scene.present].solved;
    let Some(plus) = solved.assembly.supply else { return Vec::new() };
    let mut hazards = Vec::new();
    for lead in &scene.inputs.leads {
        let this = Element::Lead(lead.number);
        let without = Joins::of(scene.circuit, solved, |e| e == this || is_fuse(scene.circuit, e).is_some());
        let unfused = without.reach(plus);
        let ends = [solved.assembly.node_at(lead.a), solved.assembly.node_at(lead.b)];
        let far = match ends.map(|node| unfused.contains(&node)) {
            [true, false] => ends[1],
            [false, true] => ends[0],
            [true, true] | [false, false] => continue,
        };
        // Ground is not something a fuse protects; a lead to it is a short, and said so elsewhere.
        let ground = solved.assembly.network.reference.map(|minus| without.reach(minus)).unwrap_or_default();
        if ground.contains(&far) {
            continue;
        }
        hazards.push(describe(scene, lead, &passed_by(scene, solved, far)));
    }
    hazards
}

/// Fuses that stand before a point in the circuit as built, with every contact taken as closed.
fn passed_by(scene: &Scene<'_>, solved: &Solved, far: usize) -> Vec<PartId> {
    let closed = every_contact_closed(scene.circuit, &scene.without_leads());
    let terminals = solved.assembly.touch.iter().enumerate().filter(|(_, node)| **node == far);
    let mut next: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for [a, b] in closed {
        next.entry(a).or_default().push(b);
        next.entry(b).or_default().push(a);
    }
    let mut waiting: Vec<usize> = terminals.map(|(terminal, _)| terminal).collect();
    let mut reached: BTreeSet<usize> = waiting.iter().copied().collect();
    while let Some(terminal) = waiting.pop() {
        let fresh = next.get(&terminal).into_iter().flatten().filter(|other| reached.insert(**other));
        waiting.extend(fresh);
    }
    let fuses = scene.circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Fuse(_)));
    let behind = |id: &PartId| scene.circuit.terminals_of(*id).any(|t| reached.contains(&t.index()));
    fuses.map(|(id, _)| id).filter(behind).collect()
}

/// Pairs of terminals that wires and contacts other than fuses can join.
fn every_contact_closed(circuit: &Circuit, inputs: &Inputs) -> Vec<[usize; 2]> {
    let mut pairs: Vec<[usize; 2]> = circuit.wires().iter().map(|w| [w.from.index(), w.to.index()]).collect();
    let outcome = crate::physics::settle::hold_still(circuit, inputs, &Default::default());
    let could = outcome.contacts.iter().filter(|c| c.position == Contact::Closed || c.rest == Contact::Open);
    pairs.extend(could.map(|c| c.joins.map(|t| t.index())));
    for (id, part) in circuit.parts_with_ids() {
        let at = |place| circuit.terminal_at(id, place).index();
        match &part.kind {
            Kind::Connector(connector) => {
                pairs.extend((0..connector.pins as usize).map(|pin| [at(2 * pin), at(2 * pin + 1)]));
            }
            Kind::Diode(_) => pairs.push([at(0), at(1)]),
            _ => {}
        }
    }
    pairs
}

fn describe(scene: &Scene<'_>, lead: &Lead, fuses: &[PartId]) -> Hazard {
    let subject = Subject::Lead(lead.number);
    let tags: Vec<String> = fuses.iter().map(|id| scene.circuit.part(*id).tag.clone()).collect();
    let smallest = fuses
        .iter()
        .filter_map(|id| match scene.inputs.kind(scene.circuit, *id) {
            Kind::Fuse(fuse) => Some(fuse.amps),
            _ => None,
        })
        .min_by(f64::total_cmp);
    let past = if tags.is_empty() { say!("hazard-every-fuse") } else { wording::list(&tags) };
    let (level, rest) = match (lead.fuse_amps, smallest) {
        (None, _) => (Level::Danger, say!("hazard-nothing-protects-the-wires-any")),
        (Some(own), Some(passed)) if own > passed => (Level::Warning, say!("hazard-the-leads-own-a-fuse", own, passed)),
        (Some(own), _) => (Level::Caution, say!("hazard-only-the-leads-own-a", own)),
    };
    Hazard {
        kind: HazardKind::FuseBypassed,
        level,
        at: scene.name_of(subject),
        text: say!("hazard-the-lead-brings-supply-past", past, rest),
        subjects: std::iter::once(subject).chain(fuses.iter().map(|id| Subject::Part(*id))).collect(),
    }
}
