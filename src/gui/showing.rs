//! What the window asks the drawing to show beside the bench itself: symbols, volts, what is pointed out, and the
//! instruments on the circuit.
//!
//! Yields [`Show`]. How a bench becomes states of parts, terminals and wires is the drawing's own business.

use std::collections::BTreeSet;

use crate::bench::{Bench, Point};
use crate::drawing::{Face, Fitted, Instrument, LeadPoint, Show, Symbols};
use crate::physics::meter::Glow;
use crate::study::answer::Subject;
use crate::study::meter::Value;

use super::instrument::{Device, Instruments, Pole};
use super::session::Taken;

/// Everything the drawing shows of a bench.
pub fn show(bench: &Bench, symbols: Symbols, readings: bool, highlighted: BTreeSet<Subject>) -> Show {
    let mut show = Show::of(bench).with_fault_marks(bench);
    if readings {
        show = show.with_readings(bench);
    }
    Show { symbols, highlighted, ..show }
}

/// The instruments that are on, as the drawing has them.
pub fn instruments(bench: &Bench, instruments: &Instruments, taken: &[Taken]) -> Vec<Instrument> {
    let now = instruments.as_on(bench);
    let wire = |device| bench.circuit().wire_named(now.wire(device)?);
    let drawn = |device: Device| {
        let face = match device {
            Device::Meter => Face::Letter(now.dial.symbol()),
            Device::Clamp => Face::Letter("A"),
            Device::Lamp => Face::Lamp { lit: is_lit(taken) },
        };
        let fitted = match (device, wire(device)) {
            (Device::Clamp, Some(wire)) => Fitted::Around(wire),
            (Device::Meter | Device::Lamp, Some(wire)) => Fitted::InLine(wire),
            (_, None) => {
                let leads = Pole::BOTH.map(|pole| lead_point(bench, now.lead(device, pole)?));
                leads.iter().any(Option::is_some).then_some(Fitted::Across(leads))?
            }
        };
        Some(Instrument { face, fitted })
    };
    Device::ALL.into_iter().filter_map(drawn).collect()
}

fn is_lit(taken: &[Taken]) -> bool {
    let values = taken.iter().filter_map(|taken| Some(taken.shown.as_ref().ok()?.value));
    values.into_iter().any(|value| matches!(value, Value::Lamp(Glow::Dim | Glow::Bright)))
}

fn lead_point(bench: &Bench, point: &Point) -> Option<LeadPoint> {
    match point {
        Point::Terminal(words) => bench.circuit().terminal_named(words).map(LeadPoint::Terminal),
        Point::LooseEnd(name) => bench.wire_end(name).ok().map(LeadPoint::LooseEnd),
    }
}
