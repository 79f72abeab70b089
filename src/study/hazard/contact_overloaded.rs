//! Hazard: a switch's or relay's contact carries more than it may.
//!
//! Raised in the present state and in each that a fuse ended: a contact welds in less time than a fuse opens in. The
//! ratings are example values by kind of contact; a module's driver has a hazard of its own.

use crate::circuit::Kind;
use crate::physics::limits::{HAND_CONTACT_AMPS, RELAY_CONTACT_AMPS, SENSOR_CONTACT_AMPS};
use crate::physics::settle::hold_still;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording;

use super::Scene;
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let held: Vec<_> = scene.moments.iter().map(|m| hold_still(scene.circuit, &scene.inputs, &m.memory)).collect();
    let mut hazards = Vec::new();
    for (id, part) in scene.circuit.parts_with_ids() {
        let Some(rating) = rating_amps(&part.kind) else { continue };
        let amps = held.iter().map(|state| state.part_amps[id.index()].abs()).fold(0.0, f64::max);
        if amps > rating {
            let tag = &part.tag;
            hazards.push(Hazard {
                kind: HazardKind::ContactOverloaded,
                level: Level::Warning,
                at: tag.clone(),
                text: say!("hazard-s-contact-carries-and-may", tag, amps = wording::amps(amps), rating),
                subjects: vec![Subject::Part(id)],
            });
        }
    }
    hazards
}

/// Amps the part's contact may carry, if it has one.
fn rating_amps(kind: &Kind) -> Option<f64> {
    match kind {
        Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => Some(SENSOR_CONTACT_AMPS),
        Kind::HandSwitch(_) | Kind::SelectorSwitch(_) | Kind::Timer(_) => Some(HAND_CONTACT_AMPS),
        Kind::KeySwitch(_) | Kind::Relay(_) => Some(RELAY_CONTACT_AMPS),
        Kind::Battery(_)
        | Kind::Fuse(_)
        | Kind::AirValve(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Module(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => None,
    }
}
