//! Instruments on a circuit: voltmeter, low-impedance meter, test lamp, ohmmeter and ammeter, each as what it is
//! electrically.
//!
//! An instrument is one more branch between what its leads touch: ohms, and in an ohmmeter a source. The circuit
//! settles with it from what it remembers, so a lamp can pull a relay in; state given is never changed. What is read
//! and what became of the circuit meanwhile is yielded; how far to believe it is left to the study. A clamp and a
//! gauge change nothing and need nothing here.

use crate::circuit::{Circuit, End, TerminalId, WireEnd, WireId};

use super::electric::Assembly;
use super::electric::diodes::solve;
use super::engine::Engine;
use super::inputs::{Inputs, Lead, Touch};
use super::limits::{
    AMMETER_FUSE_AMPS, AMMETER_OHMS, FILAMENT_HOT_OVER_COLD, FILAMENT_OHMS_EXPONENT, LAMP_BRIGHT_SHARE,
    LAMP_GLOWS_SHARE, OHMMETER_OHMS, OHMMETER_PROTECTED_OHMS, OHMMETER_PROTECTED_VOLTS, OHMMETER_RANGE_OHMS,
    OHMMETER_VOLTS, TEST_LAMP_WATTS,
};
use super::settle::{hold_still, settle, settle_before_fuses};
use super::state::{FuseAt, Memory, Outcome};

/// Number of the lead that stands for an instrument. A bench counts its own leads up from 1.
pub const INSTRUMENT: u32 = u32::MAX;

/// Amps and volts too small for anything but rounding.
const NOTHING: f64 = 1e-12;
/// Volts of the first battery from which a circuit is a 24 V one.
const TWENTY_FOUR_FROM: f64 = 18.0;
/// Rounds in which a lamp's filament and the circuit's contacts agree. Contacts move once or twice.
const LAMP_ROUNDS: usize = 16;
/// Rounds for the filament alone: each leaves less than half of the error.
const FILAMENT_ROUNDS: usize = 60;

/// A state to put instruments on.
#[derive(Clone, Copy, Debug)]
pub struct State<'a> {
    /// The circuit.
    pub circuit: &'a Circuit,
    /// The same compiled, where it is: it settles the sooner, and to the same.
    pub engine: Option<&'a Engine>,
    /// All that is imposed on it.
    pub inputs: &'a Inputs,
    /// What it remembers.
    pub memory: &'a Memory,
    /// It is a moment in which an overloaded fuse has not opened yet, so none opens for the instrument either.
    pub fuses_hold: bool,
}

/// What two leads stand on before an instrument joins them. A place is 0 for the first lead, 1 for the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Footing {
    /// A path joins the two already.
    Joined,
    /// This lead's point floats, the other's does not.
    Floats(usize),
    /// Both points float, and nothing joins the two.
    Apart,
    /// This lead touches nothing at all: the plug is off and no wire is left in it.
    Bare(usize),
}

/// A circuit with an instrument on it.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// Volts from the first lead to the second.
    pub volts: f64,
    /// Amps through the instrument, in at the first lead.
    pub amps: f64,
    /// How the circuit stands with the instrument on.
    pub outcome: Outcome,
}

/// What an ohmmeter finds.
#[derive(Clone, Debug)]
pub struct OhmsFound {
    /// What it shows; none on overload.
    pub ohms: Option<f64>,
    /// Volts from elsewhere across its leads, its own source stilled. Zero in a dead circuit.
    pub live_volts: f64,
    /// Those volts were enough for its input to protect itself.
    pub protected: bool,
    /// Amps it drives out of its first lead.
    pub amps: f64,
    /// How the circuit stands with it on.
    pub outcome: Outcome,
}

/// What an ammeter finds that was put into a wire.
#[derive(Clone, Debug)]
pub struct AmpsFound {
    /// Amps, positive from the wire's `from` to its `to`.
    pub amps: f64,
    /// The end that was opened for it; none where both were off already.
    pub opened_at: Option<WireEnd>,
    /// What the meter's own fuse carried when it opened.
    pub fuse_opened_amps: Option<f64>,
    /// How the circuit stood with the wire open, before the meter closed it again.
    pub open: Outcome,
    /// How it stands with the meter in.
    pub outcome: Outcome,
}

/// Whether a circuit's first battery makes it a 24 V one; else it counts as one of 12 V.
pub fn is_24_volt(circuit: &Circuit) -> bool {
    circuit.battery().is_some_and(|(_, battery)| battery.volts >= TWENTY_FOUR_FROM)
}

/// How a lamp burns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glow {
    /// Not to be seen.
    Dark,
    /// Seen, and plainly not at full volts.
    Dim,
    /// As on a good supply.
    Bright,
}

/// A test lamp: a small filament bulb on two leads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestLamp {
    /// Volts it is made for.
    pub rated_volts: f64,
    /// Watts it takes at those.
    pub rated_watts: f64,
}

impl TestLamp {
    /// The lamp for this circuit: 12 V, or 24 V where its first battery has that, of [`TEST_LAMP_WATTS`].
    pub fn for_circuit(circuit: &Circuit) -> Self {
        let rated_volts = if is_24_volt(circuit) { 24.0 } else { 12.0 };
        Self { rated_volts, rated_watts: TEST_LAMP_WATTS }
    }

    /// Ohms at rated volts.
    pub fn hot_ohms(&self) -> f64 {
        self.rated_volts * self.rated_volts / self.rated_watts
    }

    /// Ohms of its filament with so many steady volts across it: a power of the volts, down to the cold filament's.
    pub fn ohms_at(&self, volts: f64) -> f64 {
        let share = (volts.abs() / self.rated_volts).powf(FILAMENT_OHMS_EXPONENT);
        self.hot_ohms() * share.max(1.0 / FILAMENT_HOT_OVER_COLD)
    }

    /// How it burns with so many volts across it.
    pub fn glow(&self, volts: f64) -> Glow {
        let share = volts.abs() / self.rated_volts;
        if share >= LAMP_BRIGHT_SHARE {
            Glow::Bright
        } else if share >= LAMP_GLOWS_SHARE {
            Glow::Dim
        } else {
            Glow::Dark
        }
    }
}

impl State<'_> {
    /// What two leads stand on.
    pub fn footing(&self, leads: [Touch; 2]) -> Footing {
        if let Some(place) = leads.iter().position(|touch| self.is_bare(*touch)) {
            return Footing::Bare(place);
        }
        let assembly = Assembly::of(self.circuit, self.inputs, self.memory);
        let decided = solve(&assembly);
        let nodes = leads.map(|touch| assembly.node_at(touch));
        if decided.network.joined(nodes[0], nodes[1]) {
            return Footing::Joined;
        }
        match nodes.map(|node| decided.solution.volts[node].is_some()) {
            [false, true] => Footing::Floats(0),
            [true, false] => Footing::Floats(1),
            [false, false] | [true, true] => Footing::Apart,
        }
    }

    /// Whether a lead put here touches nothing: an unplugged part's place with no wire and no other lead on it.
    fn is_bare(&self, touch: Touch) -> bool {
        let Touch::Terminal(terminal) = touch else { return false };
        let wire_left = |t: TerminalId| self.circuit.ends_at(t).iter().any(|end| !self.inputs.lifted.contains(end));
        self.inputs.unplugged.contains(&self.circuit.terminal(terminal).part)
            && !wire_left(terminal)
            && !self.inputs.leads.iter().any(|lead| lead.a == touch || lead.b == touch)
    }

    /// The inputs with an instrument on.
    fn with(&self, leads: [Touch; 2], ohms: f64, source_volts: f64) -> Inputs {
        let [a, b] = leads;
        let mut inputs = self.inputs.clone();
        inputs.leads.push(Lead { number: INSTRUMENT, a, b, ohms, fuse_amps: None, source_volts });
        inputs
    }

    fn settled(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        match (self.engine, self.fuses_hold) {
            (Some(engine), true) => engine.settle_before_fuses(inputs, memory),
            (Some(engine), false) => engine.settle(inputs, memory),
            (None, true) => settle_before_fuses(self.circuit, inputs, memory),
            (None, false) => settle(self.circuit, inputs, memory),
        }
    }

    /// The circuit settled with a plain resistance between two leads.
    pub fn loaded(&self, leads: [Touch; 2], ohms: f64) -> Loaded {
        let outcome = self.settled(&self.with(leads, ohms, 0.0), self.memory);
        Loaded::of(outcome, ohms)
    }

    /// The same with nothing allowed to move.
    pub fn loaded_still(&self, leads: [Touch; 2], ohms: f64) -> Loaded {
        let outcome = hold_still(self.circuit, &self.with(leads, ohms, 0.0), self.memory);
        Loaded::of(outcome, ohms)
    }

    /// The circuit settled with a test lamp between two leads. Its filament is warm before any contact moves: the
    /// milliseconds of a cold filament's inrush are not modelled.
    pub fn lamp(&self, leads: [Touch; 2], lamp: &TestLamp) -> Loaded {
        let mut ohms = self.filament(leads, lamp, lamp.hot_ohms());
        let mut loaded = self.loaded(leads, ohms);
        let mut from = self.memory.clone();
        for _ in 0..LAMP_ROUNDS {
            if loaded.outcome.memory == from || !loaded.outcome.settled() {
                break;
            }
            from = loaded.outcome.memory.clone();
            let now = State { memory: &from, ..*self };
            ohms = now.filament(leads, lamp, ohms);
            loaded = now.loaded(leads, ohms);
        }
        loaded
    }

    /// Ohms at which the filament's volts and its ohms agree, no contact moving. A filament's current grows with its
    /// volts, so in a network of fixed contacts there is one such point, and stepping to it never overshoots.
    fn filament(&self, leads: [Touch; 2], lamp: &TestLamp, start_ohms: f64) -> f64 {
        let mut ohms = start_ohms;
        for _ in 0..FILAMENT_ROUNDS {
            let next = lamp.ohms_at(self.loaded_still(leads, ohms).volts);
            let settled = (next - ohms).abs() <= NOTHING * ohms;
            ohms = next;
            if settled {
                break;
            }
        }
        ohms
    }

    /// An ohmmeter on two leads. It shows the volts across its leads over the amps it drives (it compares them with
    /// those of a known resistor, as real ones do), so volts from elsewhere spoil the reading.
    pub fn ohmmeter(&self, leads: [Touch; 2]) -> OhmsFound {
        let live_volts = self.loaded_still(leads, OHMMETER_OHMS).volts;
        let protected = live_volts.abs() > OHMMETER_PROTECTED_VOLTS;
        let inside = if protected { OHMMETER_PROTECTED_OHMS } else { OHMMETER_OHMS };
        let outcome = self.settled(&self.with(leads, inside, OHMMETER_VOLTS), self.memory);
        let amps = -instrument_amps(&outcome);
        let volts = OHMMETER_VOLTS - amps * inside;
        let shown = (!protected && amps > NOTHING).then(|| tidy(volts / amps));
        let ohms = shown.filter(|ohms| ohms.abs() <= OHMMETER_RANGE_OHMS);
        OhmsFound { ohms, live_volts: tidy(live_volts), protected, amps, outcome }
    }

    /// An ammeter put into a wire: one end is taken off, the circuit answers to that, then the meter closes the gap.
    /// An end that is off already stays off.
    pub fn ammeter(&self, wire: WireId) -> AmpsFound {
        let end = End::BOTH.map(|end| WireEnd { wire, end }).into_iter().find(|end| !self.inputs.lifted.contains(end));
        let Some(end) = end else {
            let outcome = self.settled(self.inputs, self.memory);
            return AmpsFound { amps: 0.0, opened_at: None, fuse_opened_amps: None, open: outcome.clone(), outcome };
        };
        let mut inputs = self.inputs.clone();
        inputs.lifted.insert(end);
        let open = self.settled(&inputs, self.memory);
        let terminal = Touch::Terminal(self.circuit.terminal_of_end(end));
        let (a, b) = match end.end {
            End::From => (terminal, Touch::LooseEnd(end)),
            End::To => (Touch::LooseEnd(end), terminal),
        };
        let fuse_amps = Some(AMMETER_FUSE_AMPS);
        inputs.leads.push(Lead { number: INSTRUMENT, a, b, ohms: AMMETER_OHMS, fuse_amps, source_volts: 0.0 });
        let outcome = self.settled(&inputs, &open.memory);
        let blown = outcome.opened.iter().find(|opened| opened.at == FuseAt::Lead(INSTRUMENT));
        let fuse_opened_amps = blown.map(|opened| opened.amps);
        AmpsFound { amps: tidy(instrument_amps(&outcome)), opened_at: Some(end), fuse_opened_amps, open, outcome }
    }
}

impl Loaded {
    fn of(outcome: Outcome, ohms: f64) -> Self {
        let amps = instrument_amps(&outcome);
        Self { volts: tidy(amps * ohms), amps, outcome }
    }
}

fn instrument_amps(outcome: &Outcome) -> f64 {
    outcome.lead_amps.get(&INSTRUMENT).copied().unwrap_or(0.0)
}

/// A number without rounding's leftovers, and without a minus before a zero.
fn tidy(number: f64) -> f64 {
    if number.abs() < 1e-9 { 0.0 } else { number }
}
