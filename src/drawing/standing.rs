//! From a settled bench to what a drawing shows of it.
//!
//! Yields [`Show::of`], for the window and for paper alike. The physics says volts, amps and contacts; here they
//! become the few states a drawing tells apart. The borders between those states are choices of the drawing, named
//! below; they decide nothing else. Readings and fault marks are put on only where asked for: a reading may be what
//! is to be measured, and a mark gives the fault away.

use crate::bench::fault::ohms_shown;
use crate::bench::{Bench, Fault, Rating};
use crate::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd, WireId, part::ValveRest};
use crate::physics::inputs::Touch;
use crate::physics::state::ContactReading;
use crate::study::answer::Subject;

use super::show::{FaultMark, Flow, Lead, LeadFuse, LeadPoint, PartState, Show, TerminalState, WireState};
use crate::words::{fixed, say};

/// Place of a relay's 87 among its terminals.
const MAKE: usize = 3;
/// Amps from which a wire is said to carry current; what a voltmeter or a leak draws is far below.
pub const CARRIES_AMPS: f64 = 0.001;
/// Share of the battery's volts from which a point is said to be fed.
pub const FED_SHARE: f64 = 0.8;
/// Share of the battery's volts up to which a point is said to be at ground.
pub const GROUND_SHARE: f64 = 0.05;
/// Share of the battery's volts from which a lamp gives light.
pub const LIT_SHARE: f64 = 0.4;

impl Show {
    /// Everything a bench shows of itself: contacts, coils, valves and fuses, potentials, currents, leads, ends that
    /// are off. No readings, no fault marks, nothing pointed out.
    pub fn of(bench: &Bench) -> Self {
        let circuit = bench.circuit();
        Self {
            parts: circuit.parts_with_ids().map(|(id, _)| PartState::of(bench, id)).collect(),
            terminals: circuit.terminals_with_ids().map(|(id, _)| TerminalState::of(bench, id)).collect(),
            readings: vec![None; circuit.terminals().len()],
            wires: circuit.wires_with_ids().map(|(id, _)| WireState::of(bench, id)).collect(),
            leads: leads(bench),
            lifted: bench.inputs().lifted.clone(),
            unplugged: bench.inputs().unplugged.clone(),
            ..Self::default()
        }
    }

    /// The same with the volts against battery `-` beside every terminal that does not float.
    #[must_use]
    pub fn with_readings(mut self, bench: &Bench) -> Self {
        // Adding 0 turns a negative zero into a plain one.
        let words = |id| {
            bench.outcome().volts_at(id).map(|volts| {
                let volts = fixed((volts * 10.0).round() / 10.0 + 0.0, 1);
                say!("drawing-volts", volts)
            })
        };
        self.readings = bench.circuit().terminals_with_ids().map(|(id, _)| words(id)).collect();
        self
    }

    /// The same with a mark at every planted fault that has its place in the circuit; those of the air side have
    /// none.
    #[must_use]
    pub fn with_fault_marks(mut self, bench: &Bench) -> Self {
        self.faults.extend(bench.faults().iter().filter_map(|fault| mark(bench.circuit(), fault)));
        self
    }
}

impl PartState {
    /// What a part of a bench does. A blown fuse shows so whether it has opened on this bench or was found blown: its
    /// strip is seen to be gone.
    pub fn of(bench: &Bench, id: PartId) -> Self {
        let outcome = bench.outcome();
        let part = bench.circuit().part(id);
        let memory = outcome.memory.of(id);
        let amps = outcome.part_amps.get(id.index()).copied().unwrap_or(0.0);
        let energised = outcome.coils.get(&id).is_some_and(|coil| coil.energised);
        match &part.kind {
            Kind::KeySwitch(_)
            | Kind::HandSwitch(_)
            | Kind::TemperatureSwitch(_)
            | Kind::PressureSwitch(_)
            | Kind::Timer(_) => {
                let contact = outcome.contacts.iter().find(|contact| contact.part == id);
                contact.map_or_else(|| Self::at_rest(&part.kind), |contact| Self::Contact(contact.position))
            }
            Kind::SelectorSwitch(selector) => Self::Selector {
                position: bench.inputs().turned.get(&id).copied().unwrap_or_else(|| selector.rest_position()),
            },
            Kind::Relay(_) => {
                let make = Some(bench.circuit().terminal_at(id, MAKE));
                let is_over = |c: &ContactReading| c.terminal == make && c.position == Contact::Closed;
                Self::Relay { energised, over: outcome.contacts.iter().any(is_over) }
            }
            Kind::AirValve(_) => {
                Self::Valve { energised, passing: outcome.valves.iter().any(|valve| valve.part == id && valve.passing) }
            }
            Kind::Fuse(_) => Self::Fuse { blown: outcome.memory.fuse_blown(bench.inputs(), id) },
            Kind::Module(_) => Self::Module { on: memory.on },
            Kind::Lamp(lamp) => Self::Lamp { lit: amps.abs() * lamp.ohms >= LIT_SHARE * supply_volts(bench) },
            Kind::Diode(_) => Self::Diode { conducting: amps.abs() >= CARRIES_AMPS },
            Kind::Battery(_) | Kind::Resistor(_) | Kind::Connector(_) | Kind::Splice(_) | Kind::Ground(_) => {
                Self::Plain
            }
        }
    }
}

impl TerminalState {
    /// The potential of a terminal of a bench.
    pub fn of(bench: &Bench, id: TerminalId) -> Self {
        Self::at_volts(bench, bench.outcome().volts_at(id))
    }

    fn at_volts(bench: &Bench, volts: Option<f64>) -> Self {
        let supply = supply_volts(bench);
        match volts {
            None => Self::Floating,
            Some(volts) if volts >= FED_SHARE * supply => Self::Fed,
            Some(volts) if volts.abs() <= GROUND_SHARE * supply => Self::Grounded,
            Some(_) => Self::Between,
        }
    }
}

impl WireState {
    /// What a wire of a bench does.
    pub fn of(bench: &Bench, id: WireId) -> Self {
        let amps = bench.outcome().amps_in(id);
        if amps.abs() >= CARRIES_AMPS {
            return Self { flow: Flow::Carrying, amps };
        }
        // Without current a wire is at one potential from end to end, so the first end that has one tells it.
        let volts = End::BOTH.into_iter().find_map(|end| {
            let end = WireEnd { wire: id, end };
            let on_terminal = || bench.outcome().volts_at(bench.circuit().terminal_of_end(end));
            bench.outcome().loose_volts.get(&end).copied().unwrap_or_else(on_terminal)
        });
        let flow = match TerminalState::at_volts(bench, volts) {
            TerminalState::Floating => Flow::Floating,
            TerminalState::Unseen => Flow::Unseen,
            TerminalState::Grounded => Flow::Grounded,
            TerminalState::Fed | TerminalState::Between => Flow::Fed,
        };
        Self { flow, amps }
    }
}

/// Volts the battery is rated at; 12 where there is none.
fn supply_volts(bench: &Bench) -> f64 {
    bench.circuit().battery().map_or(12.0, |(_, battery)| battery.volts)
}

fn leads(bench: &Bench) -> Vec<Lead> {
    let point = |touch| match touch {
        Touch::Terminal(terminal) => Some(LeadPoint::Terminal(terminal)),
        Touch::LooseEnd(end) => Some(LeadPoint::LooseEnd(end)),
        // No act of the bench puts a lead on bare chassis.
        Touch::Chassis => None,
    };
    let outcome = bench.outcome();
    let drawn = bench.inputs().leads.iter().filter_map(|lead| {
        let (fuse, text) = match (lead.fuse_amps, outcome.memory.blown_leads.contains(&lead.number)) {
            (None, _) => (LeadFuse::Unfused, say!("drawing-no-fuse")),
            (Some(amps), false) => (LeadFuse::Whole, say!("drawing-amps", amps)),
            (Some(amps), true) => (LeadFuse::Open, say!("drawing-a-blown", amps)),
        };
        let amps = outcome.lead_amps.get(&lead.number).copied().unwrap_or(0.0);
        Some(Lead { number: lead.number, from: point(lead.a)?, to: point(lead.b)?, fuse, text, amps })
    });
    drawn.collect()
}

/// Where a fault is in the drawing: what is wrong with air and clutch is at the clutch's valve.
pub fn place_of_fault(circuit: &Circuit, fault: &Fault) -> Option<Subject> {
    let at_valve = || circuit.clutch_valve().map(|(id, _)| Subject::Part(id));
    mark(circuit, fault).map(|mark| mark.subject).or_else(at_valve)
}

/// Where a fault is marked, and in which words.
fn mark(circuit: &Circuit, fault: &Fault) -> Option<FaultMark> {
    let part = |tag: &str| circuit.part_named(tag).map(Subject::Part);
    let wire = |tag: &str| circuit.wire_named(tag).map(Subject::Wire);
    let terminal = |words: &str| circuit.terminal_named(words).map(Subject::Terminal);
    let (subject, text) = match fault {
        Fault::Open(tag) => (wire(tag), say!("drawing-broken")),
        Fault::PinOut(at) => (terminal(at), say!("drawing-pin-out")),
        Fault::Resist(tag, ohms) => (wire(tag).or_else(|| part(tag)), ohms_shown(*ohms).into()),
        Fault::Ground(at, 0.0) => (terminal(at), say!("drawing-to-chassis")),
        Fault::Ground(at, ohms) => (terminal(at), say!("drawing-to-chassis-2", ohms = ohms_shown(*ohms))),
        Fault::Feed(at, 0.0) => (terminal(at), say!("drawing-to-supply")),
        Fault::Feed(at, ohms) => (terminal(at), say!("drawing-to-supply-2", ohms = ohms_shown(*ohms))),
        Fault::Join(tag, other) => (wire(tag), say!("drawing-joined-to", other)),
        Fault::Stuck(tag, contact) => {
            let position = match contact {
                crate::circuit::Contact::Open => say!("drawing-open"),
                crate::circuit::Contact::Closed => say!("drawing-closed"),
            };
            (part(tag), say!("drawing-stuck", position))
        }
        Fault::Drift(tag, by) => (
            part(tag),
            say!("drawing-set-point", sign = if by.written() < 0.0 { "" } else { "+" }, by = by.difference()),
        ),
        Fault::Gap(tag, by) => (part(tag), say!("drawing-gap", by = by.difference())),
        Fault::CoilOpen(tag) => (part(tag), say!("drawing-coil-open")),
        Fault::CoilShort(tag, ohms) => (part(tag), say!("drawing-coil", ohms)),
        Fault::CoilGround(at, 0.0) => (terminal(at), say!("drawing-coil-to-body")),
        Fault::CoilGround(at, ohms) => (terminal(at), say!("drawing-coil-to-body-2", ohms = ohms_shown(*ohms))),
        Fault::SuppressorOpen(tag) => (part(tag), say!("drawing-suppressor-open")),
        Fault::SuppressorShort(tag) => (part(tag), say!("drawing-suppressor-shorted")),
        Fault::ValveStuck(tag, ValveRest::Passing) => (part(tag), say!("drawing-stuck-passing")),
        Fault::ValveStuck(tag, ValveRest::Blocking) => (part(tag), say!("drawing-stuck-blocking")),
        Fault::Swapped(tag) => (part(tag), say!("drawing-changed-over")),
        Fault::Fitted(tag, Rating::Amps(amps)) => (part(tag), say!("drawing-a-fitted", amps)),
        Fault::Fitted(tag, Rating::Volts(volts)) => (part(tag), say!("drawing-v-coil", volts)),
        Fault::Hold(tag, seconds) => (part(tag), say!("drawing-holds-s", seconds)),
        Fault::Blown(tag) => (part(tag), say!("drawing-blown")),
        Fault::Flat(tag, volts) => (part(tag), say!("drawing-only-v", volts)),
        Fault::ModuleDead(tag) => (part(tag), say!("drawing-dead")),
        Fault::Reversed(tag) => (part(tag), say!("drawing-reversed")),
        Fault::DiodeOpen(tag) => (part(tag), say!("drawing-diode-open")),
        Fault::DiodeShort(tag) => (part(tag), say!("drawing-diode-shorted")),
        Fault::SwappedHoses | Fault::CrossedHoses => {
            (circuit.clutch_valve().map(|(id, _)| Subject::Part(id)), say!("drawing-hoses-changed-over"))
        }
        Fault::LeakHose(_)
        | Fault::LeakChamber(_)
        | Fault::LeakSeat(_)
        | Fault::BlockedSupply
        | Fault::BlockedFilter
        | Fault::BlockedHose
        | Fault::BlockedExhaust
        | Fault::Worn(_)
        | Fault::Oiled
        | Fault::WeakSpring
        | Fault::SeizedPiston
        | Fault::RoughBearing
        | Fault::SlackBelt
        | Fault::DamagedFan => return None,
    };
    Some(FaultMark { subject: subject?, text })
}
