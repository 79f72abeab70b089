//! From a settled bench to what a drawing shows of it.
//!
//! Yields [`Show`] and the state of single parts and terminals. The physics says volts, amps and contacts; here they
//! become the few states the drawing tells apart. The borders between them are choices of this window, named below.

use std::collections::BTreeSet;

use crate::bench::{Bench, LeadFuse as ActFuse};
use crate::circuit::{Kind, PartId, TerminalId, WireId};
use crate::drawing::{self, Flow, LeadFuse, LeadPoint, PartState, Show, Symbols, TerminalState, WireState};
use crate::physics::inputs::Touch;
use crate::study::answer;

use super::words;

/// Amps from which a wire is said to carry current; what a voltmeter or a leak draws is far below.
pub const CARRIES_AMPS: f64 = 0.001;
/// Share of the battery's volts from which a point is said to be fed.
const FED_SHARE: f64 = 0.8;
/// Share of the battery's volts below which a point is said to be at ground.
const GROUND_SHARE: f64 = 0.05;
/// Share of the battery's volts from which a lamp gives light.
const LIT_SHARE: f64 = 0.4;

/// Everything the drawing shows of a bench.
pub fn show(bench: &Bench, symbols: Symbols, readings: bool, highlighted: BTreeSet<drawing::Subject>) -> Show {
    let circuit = bench.circuit();
    let terminals = || circuit.terminals_with_ids().map(|(id, _)| id);
    Show {
        symbols,
        parts: circuit.parts_with_ids().map(|(id, _)| part_state(bench, id)).collect(),
        terminals: terminals().map(|id| terminal_state(bench, id)).collect(),
        readings: terminals()
            .map(|id| bench.outcome().volts_at(id).filter(|_| readings).map(|v| format!("{:.1} V", v + 0.0)))
            .collect(),
        wires: circuit.wires_with_ids().map(|(id, _)| wire_state(bench, id)).collect(),
        leads: leads(bench),
        lifted: bench.inputs().lifted.clone(),
        unplugged: bench.inputs().unplugged.clone(),
        faults: Vec::new(),
        highlighted,
    }
}

/// What a part does.
pub fn part_state(bench: &Bench, id: PartId) -> PartState {
    let outcome = bench.outcome();
    let part = bench.circuit().part(id);
    let memory = outcome.memory.of(id);
    let amps = outcome.part_amps.get(id.index()).copied().unwrap_or(0.0);
    let position = || outcome.contacts.iter().find(|c| c.part == id).map(|c| c.position);
    match &part.kind {
        Kind::KeySwitch(_)
        | Kind::HandSwitch(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::Timer(_) => position().map_or_else(|| PartState::at_rest(&part.kind), PartState::Contact),
        Kind::SelectorSwitch(selector) => PartState::Selector {
            position: bench.inputs().turned.get(&id).copied().unwrap_or_else(|| selector.rest_position()),
        },
        Kind::Relay(_) => PartState::Relay { energised: outcome.coils.get(&id).is_some_and(|c| c.energised) },
        Kind::AirValve(_) => PartState::Valve {
            energised: outcome.coils.get(&id).is_some_and(|c| c.energised),
            passing: outcome.valves.iter().any(|v| v.part == id && v.passing),
        },
        Kind::Fuse(_) => PartState::Fuse { blown: memory.blown },
        Kind::Module(_) => PartState::Module { on: memory.on },
        Kind::Lamp(lamp) => PartState::Lamp { lit: amps.abs() * lamp.ohms >= LIT_SHARE * supply_volts(bench) },
        Kind::Diode(_) => PartState::Diode { conducting: amps.abs() >= CARRIES_AMPS },
        Kind::Battery(_) | Kind::Resistor(_) | Kind::Connector(_) | Kind::Splice(_) | Kind::Ground(_) => {
            PartState::Plain
        }
    }
}

/// The potential of a terminal as a state.
pub fn terminal_state(bench: &Bench, id: TerminalId) -> TerminalState {
    state_of(bench, bench.outcome().volts_at(id))
}

fn state_of(bench: &Bench, volts: Option<f64>) -> TerminalState {
    let supply = supply_volts(bench);
    match volts {
        None => TerminalState::Floating,
        Some(v) if v >= FED_SHARE * supply => TerminalState::Fed,
        Some(v) if v.abs() <= GROUND_SHARE * supply => TerminalState::Grounded,
        Some(_) => TerminalState::Between,
    }
}

fn supply_volts(bench: &Bench) -> f64 {
    bench.circuit().battery().map_or(12.0, |(_, battery)| battery.volts)
}

fn wire_state(bench: &Bench, id: WireId) -> WireState {
    let amps = bench.outcome().amps_in(id);
    if amps.abs() >= CARRIES_AMPS {
        return WireState { flow: Flow::Carrying, amps };
    }
    // Without current both ends are at one potential, so any end still on its terminal tells it.
    let volts = words::ends_of(id).into_iter().find_map(|end| {
        let loose = bench.outcome().loose_volts.get(&end).copied();
        loose.unwrap_or_else(|| bench.outcome().volts_at(bench.circuit().terminal_of_end(end)))
    });
    let flow = match state_of(bench, volts) {
        TerminalState::Floating => Flow::Floating,
        TerminalState::Grounded => Flow::Grounded,
        TerminalState::Fed | TerminalState::Between => Flow::Fed,
    };
    WireState { flow, amps }
}

fn leads(bench: &Bench) -> Vec<drawing::Lead> {
    let point = |touch| match touch {
        Touch::Terminal(terminal) => Some(LeadPoint::Terminal(terminal)),
        Touch::LooseEnd(end) => Some(LeadPoint::LooseEnd(end)),
        // No act of the bench puts a lead on bare chassis.
        Touch::Chassis => None,
    };
    let outcome = bench.outcome();
    let drawn = bench.inputs().leads.iter().filter_map(|lead| {
        let open = outcome.memory.blown_leads.contains(&lead.number);
        let fuse = match (lead.fuse_amps, open) {
            (None, _) => LeadFuse::Unfused,
            (Some(_), false) => LeadFuse::Whole,
            (Some(_), true) => LeadFuse::Open,
        };
        let rating = lead.fuse_amps.map_or(ActFuse::Bare, ActFuse::Amps);
        let text = if open { format!("{}, blown", words::lead_fuse(rating)) } else { words::lead_fuse(rating) };
        Some(drawing::Lead {
            number: lead.number,
            from: point(lead.a)?,
            to: point(lead.b)?,
            fuse,
            text,
            amps: outcome.lead_amps.get(&lead.number).copied().unwrap_or(0.0),
        })
    });
    drawn.collect()
}

/// A study's subject as the drawing's.
pub fn drawn(subject: answer::Subject) -> drawing::Subject {
    match subject {
        answer::Subject::Part(id) => drawing::Subject::Part(id),
        answer::Subject::Terminal(id) => drawing::Subject::Terminal(id),
        answer::Subject::Wire(id) => drawing::Subject::Wire(id),
        answer::Subject::WireEnd(end) => drawing::Subject::WireEnd(end),
        answer::Subject::Lead(number) => drawing::Subject::Lead(number),
    }
}
