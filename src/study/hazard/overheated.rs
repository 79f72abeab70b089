//! Hazards: a wire or a test lead gets warmer than its insulation bears.
//!
//! Raised for what carries its current for good: in the present state, and in states that a fuse would end only after
//! half a minute or more. A warning above the insulation's limit, a danger where it smokes or never becomes steady.
//! A short that a fuse ends at once is told by others.

use crate::physics::fuse::opening_seconds;
use crate::physics::heat::steady_celsius;
use crate::physics::limits::{LEAD_LIMIT_C, LEAD_MM2, SMOKES_C, WIRE_LIMIT_C};
use crate::physics::settle::hold_still;
use crate::physics::state::Outcome;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording;

use super::Scene;
use crate::words::{Words, say};

/// Seconds a fuse must be able to wait for a wire to get warm meanwhile.
const WARMS_WITHIN_S: f64 = 30.0;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let slow = scene.bench.opened().iter().filter(|opened| {
        opening_seconds(opened.amps / opened.rating_amps).is_some_and(|(_, most)| most >= WARMS_WITHIN_S)
    });
    let held = slow.map(|opened| hold_still(scene.circuit, scene.bench.inputs(), &opened.before));
    let states: Vec<Outcome> = std::iter::once(scene.bench.outcome().clone()).chain(held).collect();
    let most = |amps: &dyn Fn(&Outcome) -> f64| states.iter().map(|s| amps(s).abs()).fold(0.0, f64::max);
    let ambient = scene.inputs.conditions.ambient_c;
    let mut hazards = Vec::new();
    for (id, wire) in scene.circuit.wires_with_ids() {
        let amps = most(&|state| state.amps_in(id));
        let warm = steady_celsius(amps, wire.gauge.square_mm(), ambient);
        let subject = Subject::Wire(id);
        if let Some((level, how)) = judged(warm, WIRE_LIMIT_C, ambient) {
            let text = say!(
                "hazard-carries-and-its-insulation-gives",
                tag = wire.tag,
                gauge = wire.gauge,
                amps = wording::amps(amps),
                how
            );
            let (kind, at) = (HazardKind::WireOverheated, wire.tag.clone());
            hazards.push(Hazard { kind, level, at, text, subjects: vec![subject] });
        }
    }
    for lead in &scene.inputs.leads {
        let amps = most(&|state| state.lead_amps.get(&lead.number).copied().unwrap_or(0.0));
        let subject = Subject::Lead(lead.number);
        if let Some((level, how)) = judged(steady_celsius(amps, LEAD_MM2, ambient), LEAD_LIMIT_C, ambient) {
            let at = scene.name_of(subject);
            let text = say!("hazard-the-test-lead-carries-and", amps = wording::amps(amps), how);
            hazards.push(Hazard { kind: HazardKind::LeadOverheated, level, at, text, subjects: vec![subject] });
        }
    }
    hazards
}

/// How grave a temperature is against a limit, and how to say it. A place hotter than the limit by itself is not the
/// current's doing.
fn judged(warm: Option<f64>, limit: f64, ambient: f64) -> Option<(Level, Words)> {
    let hot = |celsius| say!("hazard-gets-about-hot", warm = wording::celsius(celsius));
    match warm {
        None => Some((Level::Danger, say!("hazard-gets-hotter-until-it-melts"))),
        Some(celsius) if celsius >= SMOKES_C => Some((Level::Danger, hot(celsius))),
        Some(celsius) if celsius > limit.max(ambient + 1.0) => Some((Level::Warning, hot(celsius))),
        Some(_) => None,
    }
}
