//! What the window asks the drawing to show beside the bench itself: symbols, volts, what is pointed out, and the
//! instruments on the circuit.
//!
//! Yields [`Show`]. How a bench becomes states of parts, terminals and wires is the drawing's own business.

use std::collections::BTreeSet;

use crate::bench::{Bench, Point};
use crate::circuit::Kind;
use crate::drawing::{
    Face, Fitted, Flow, Instrument, Lead, LeadFuse, LeadPoint, PartState, Show, Symbols, TerminalState, WireState,
};
use crate::physics::meter::Glow;
use crate::study::answer::Subject;
use crate::study::hunt::Seen as Eyes;
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

/// Only what eyes see of a truck whose fault is hidden: `bench` is the same truck without the fault. Key and switches
/// stand as hands left them, lamps as they glow, fuses as they were found; contacts inside sealed parts, potentials and
/// currents are not to be seen.
pub fn by_eye(bench: &Bench, eyes: &Eyes, symbols: Symbols, highlighted: BTreeSet<Subject>) -> Show {
    let circuit = bench.circuit();
    let part = |(id, part): (crate::circuit::PartId, &crate::circuit::Part)| match &part.kind {
        Kind::KeySwitch(_) | Kind::HandSwitch(_) | Kind::SelectorSwitch(_) => PartState::of(bench, id),
        Kind::Lamp(_) => PartState::Lamp { lit: eyes.lamps.iter().any(|(tag, _)| *tag == part.tag) },
        Kind::Fuse(_) => PartState::Fuse { blown: eyes.fuses.contains(&(part.tag.clone(), true)) },
        kind => PartState::at_rest(kind),
    };
    let all = Show::of(bench);
    let in_place = |lead: Lead| match lead.fuse {
        LeadFuse::Unfused => Lead { amps: 0.0, ..lead },
        // Whether it has opened is not seen from outside.
        LeadFuse::Whole | LeadFuse::Open => {
            Lead { amps: 0.0, fuse: LeadFuse::Whole, text: lead.text.replace(" blown", "").into(), ..lead }
        }
    };
    Show {
        symbols,
        highlighted,
        parts: circuit.parts_with_ids().map(part).collect(),
        terminals: vec![TerminalState::Unseen; circuit.terminals().len()],
        wires: vec![WireState { flow: Flow::Unseen, amps: 0.0 }; circuit.wires().len()],
        leads: all.leads.into_iter().map(in_place).collect(),
        lifted: all.lifted,
        unplugged: all.unplugged,
        ..Show::as_built(circuit)
    }
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
