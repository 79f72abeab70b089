//! Hazard: a bare wire end, or the contacts of an open plug, stand at voltage.
//!
//! Raised for each lifted end and each terminal of an unplugged part that stands a volt or more from the chassis,
//! with the current it would deliver if it touched metal. A bare end that can deliver an amp is a warning; one fed
//! only through a coil or lamp, and a plug whose shell covers it, want care.

use crate::circuit::TerminalId;
use crate::physics::inputs::{Lead, Touch};
use crate::physics::settle::hold_still;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording;

use super::Scene;
use crate::words::say;

/// Volts from the chassis below which an end counts as dead.
const LIVE_VOLTS: f64 = 1.0;
/// Amps below which an end is live to a meter alone: damp feeds it, and it can do nothing (example value).
const LEAST_AMPS: f64 = 1e-3;
/// Amps from which a touch to metal sparks and opens fuses (example value).
const BITING_AMPS: f64 = 1.0;
/// Number of the lead imagined from the end to the chassis; the bench never gives this one.
const IMAGINED: u32 = u32::MAX;
/// Ohms of an end pressed to clean metal (example value).
const TOUCH_OHMS: f64 = 0.01;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let outcome = scene.bench.outcome();
    let mut hazards = Vec::new();
    for (end, volts) in &outcome.loose_volts {
        if let Some(volts) = volts.filter(|v| v.abs() >= LIVE_VOLTS) {
            let amps = delivered(scene, Touch::LooseEnd(*end), Touch::Chassis);
            if amps < LEAST_AMPS && is_ghost(scene, Touch::LooseEnd(*end)) {
                continue;
            }
            let level = if amps >= BITING_AMPS { Level::Warning } else { Level::Caution };
            let at = scene.circuit.end_words(*end);
            let (volts, delivers) = (wording::volts(volts), wording::amps(amps));
            let text = if amps >= BITING_AMPS {
                say!("hazard-the-bare-end-bites", at, volts, amps = delivers)
            } else {
                say!("hazard-the-bare-end-is-live", at, volts, amps = delivers)
            };
            hazards.push(Hazard { kind: HazardKind::LiveEnd, level, at, text, subjects: vec![Subject::WireEnd(*end)] });
        }
    }
    for part in &scene.inputs.unplugged {
        for terminal in scene.circuit.terminals_of(*part).filter(|t| has_wire(scene, *t)) {
            let Some(volts) = outcome.volts_at(terminal).filter(|v| v.abs() >= LIVE_VOLTS) else { continue };
            let amps = delivered(scene, Touch::Terminal(terminal), Touch::Chassis);
            if amps < LEAST_AMPS && is_ghost(scene, Touch::Terminal(terminal)) {
                continue;
            }
            let at = scene.circuit.terminal_words(terminal);
            let text =
                say!("hazard-the-open-plug-is-live", at, volts = wording::volts(volts), amps = wording::amps(amps));
            let subjects = vec![Subject::Terminal(terminal)];
            hazards.push(Hazard { kind: HazardKind::LiveEnd, level: Level::Caution, at, text, subjects });
        }
    }
    hazards
}

fn has_wire(scene: &Scene<'_>, terminal: TerminalId) -> bool {
    scene.circuit.ends_at(terminal).iter().any(|end| !scene.inputs.lifted.contains(end))
}

/// Whether the end's volts are leakage alone: it delivers nothing to the battery's minus either. (An end that hangs
/// on the chassis delivers nothing to the chassis, however hard it is fed.)
fn is_ghost(scene: &Scene<'_>, end: Touch) -> bool {
    let minus = scene.circuit.battery().map(|(id, _)| Touch::Terminal(scene.circuit.terminal_at(id, 1)));
    minus.is_some_and(|minus| delivered(scene, end, minus) < LEAST_AMPS)
}

/// Amps through the end if it touched what is at `to`, before any fuse opens.
fn delivered(scene: &Scene<'_>, end: Touch, to: Touch) -> f64 {
    let mut inputs = scene.bench.inputs().clone();
    inputs.leads.push(Lead { number: IMAGINED, a: end, b: to, ohms: TOUCH_OHMS, fuse_amps: None, source_volts: 0.0 });
    let held = hold_still(scene.circuit, &inputs, &scene.bench.outcome().memory);
    held.lead_amps.get(&IMAGINED).map_or(0.0, |amps| amps.abs())
}
