//! Hazard: a lead or a wire in the hand is the contact that breaks a coil's current, and nothing takes the kick.
//!
//! Raised for a relay or valve coil without a suppressor where its current runs through a test lead, or where a
//! lifted wire or an open plug is all that keeps current from it: breaking there draws a spark. A caution, with the
//! volts of the kick by [`kick`](crate::physics::time::kick).

use crate::bench::{Act, Change};
use crate::circuit::part::Coil;
use crate::circuit::{Circuit, PartId};
use crate::physics::electric::Element;
use crate::physics::time::kick::{Kick, kicks};
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::happening::kick_words;
use crate::study::paths::{Break, Possible, Solved};

use super::Scene;
use crate::words::say;

/// Share of what the battery would drive below which nothing flows.
const LEAKS: f64 = 1e-3;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let by_hand =
        scene.changes().iter().any(|c| matches!(c, Change::Done(Act::Jump { .. } | Act::Lift(_) | Act::Unplug { .. })));
    if !by_hand {
        return Vec::new();
    }
    let outcome = scene.bench.outcome();
    let solved = Solved::of(scene.circuit, scene.bench.inputs(), &outcome.memory);
    let possible = Possible::of(scene.circuit, scene.bench.inputs(), outcome);
    let mut hazards = Vec::new();
    for (id, part) in scene.circuit.parts_with_ids() {
        let kind = scene.inputs.kind(scene.circuit, id);
        let bare = kind.coil().filter(|coil| coil.suppressor.is_none());
        let Some(Coil { enters, leaves, .. }) = bare else { continue };
        let way = solved.way_through(scene.circuit, id);
        let mut subjects: Vec<Subject> = way
            .iter()
            .filter_map(|e| match e {
                Element::Lead(number) => Some(Subject::Lead(*number)),
                _ => None,
            })
            .collect();
        if way.is_empty() {
            subjects = broken_by_hand(scene.circuit, &possible, id, (enters, leaves));
        }
        if subjects.is_empty() {
            continue;
        }
        // Something else that is wired across it takes its kick as well.
        let Some(kick) = kick(scene, id, &subjects).filter(|kick| kick.held_by.is_none()) else { continue };
        let tag = &part.tag;
        hazards.push(Hazard {
            kind: HazardKind::NoSuppressor,
            level: Level::Caution,
            at: tag.clone(),
            text: say!("hazard-s-coil-has-no-suppressor", tag, kick = kick_words(scene.circuit, id, kick)),
            subjects,
        });
    }
    hazards
}

/// What a coil does when what the battery drives through it is broken by hand: every lead it runs through is off then.
fn kick(scene: &Scene<'_>, coil: PartId, leads: &[Subject]) -> Option<Kick> {
    let outcome = scene.bench.outcome();
    let Coil { ohms, .. } = scene.inputs.kind(scene.circuit, coil).coil()?;
    let now = outcome.coils.get(&coil)?.amps;
    let volts = scene.circuit.battery().map_or(0.0, |(_, battery)| battery.volts);
    // One that is broken already, but for what creeps past, had what the battery would drive.
    let driven = volts / ohms;
    let amps = if now.abs() < LEAKS * driven { driven } else { now };
    let mut inputs = scene.bench.inputs().clone();
    inputs.leads.retain(|lead| !leads.contains(&Subject::Lead(lead.number)));
    let kicks = kicks(scene.circuit, &inputs, &outcome.memory, &[(coil, amps)]);
    kicks.first().map(|(_, kick)| *kick)
}

/// The lifted end or open plug that alone keeps current from a coil.
fn broken_by_hand(circuit: &Circuit, possible: &Possible, coil: PartId, places: (usize, usize)) -> Vec<Subject> {
    let end = |place| circuit.terminal_at(coil, place);
    let mut groups = possible.breaks_around(end(places.0), end(places.1)).unwrap_or_default();
    // A coil that is unplugged is cut off on both its sides by one plug.
    groups.dedup();
    match groups.as_slice() {
        [group] => group
            .iter()
            .filter_map(|b| match b {
                Break::Lifted(end) => Some(Subject::WireEnd(*end)),
                Break::Unplugged(id) => Some(Subject::Part(*id)),
                Break::Contact(..) | Break::Fuse(_) | Break::Cut(_) | Break::PinOut(_) | Break::Diode(_) => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}
