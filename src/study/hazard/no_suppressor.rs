//! Hazard: a lead or a wire in the hand is the contact that breaks a coil's current, and nothing takes the kick.
//!
//! Raised for a relay or valve coil without a suppressor where its current runs through a test lead, or where a
//! lifted wire or an open plug is all that keeps current from it: breaking there draws a spark. A caution, with the
//! volts of the kick by [`kick`](crate::physics::time::kick).

use crate::bench::{Act, Change};
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::electric::Element;
use crate::physics::time::kick::peak_volts;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::paths::{Break, Possible, Solved};

use super::Scene;

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
        let Some((enters, leaves)) = bare_coil(kind) else { continue };
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
        let tag = &part.tag;
        hazards.push(Hazard {
            kind: HazardKind::NoSuppressor,
            level: Level::Caution,
            at: tag.clone(),
            text: format!(
                "{tag}'s coil has no suppressor: breaking its current at a lead or plug kicks to about {:.0} V \
                 (example value) and draws a spark. Turn the key off first.",
                kick_volts(scene.circuit, kind)
            ),
            subjects,
        });
    }
    hazards
}

/// How high a bare coil kicks when what the battery drives through it is broken.
fn kick_volts(circuit: &Circuit, coil: &Kind) -> f64 {
    let ohms = match coil {
        Kind::Relay(relay) => relay.coil_ohms,
        Kind::AirValve(valve) => valve.coil_ohms,
        _ => return 0.0,
    };
    let volts = circuit.battery().map_or(0.0, |(_, battery)| battery.volts);
    peak_volts(ohms, volts / ohms, None, 0.0)
}

/// Where a coil's current enters and leaves, if nothing is fitted across it.
fn bare_coil(kind: &Kind) -> Option<(usize, usize)> {
    match kind {
        Kind::AirValve(valve) if valve.suppressor.is_none() => Some((0, 1)),
        Kind::Relay(relay) if relay.suppressor.is_none() => Some((1, 0)),
        _ => None,
    }
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
