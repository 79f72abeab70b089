//! What an instrument shows when it is put on a bench's circuit, and how far to believe it.
//!
//! Each reading stands for itself: the instrument is put on a copy, the circuit settles with it, the bench is as it
//! was. What is shown is what a real one would show, right or not; the [`notes`] beside it say what is known to
//! mislead. The electrical side is [`physics::meter`](crate::physics::meter)'s, the grammar
//! [`bench::reading`](crate::bench::reading)'s.

mod notes;

use crate::bench::{Bench, Gauge, Instrument, Point, Reading, Refusal, leads_on, wire};
use crate::circuit::quantity::KPA_PER_PSI;
use crate::circuit::{Circuit, WireId};
use crate::physics::engine::Engine;
use crate::physics::inputs::{Inputs, Touch};
use crate::physics::limits::{FUSE_OPENS_AT, LOW_IMPEDANCE_OHMS, VOLTMETER_OHMS};
use crate::physics::meter::{Footing, Glow, State, TestLamp};
use crate::physics::settle::fuse_loads;
use crate::physics::state::{FuseAt, Outcome};

use super::answer::{Level, Standing, Subject};
use super::explain::standing;
use super::wording;
use crate::words::{Words, say};
use notes::Believed;

/// What an instrument shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// Volts from the first lead to the second; none where a lead touches nothing that could be measured.
    Volts(Option<f64>),
    /// Ohms; none on overload.
    Ohms(Option<f64>),
    /// Amps, positive from the wire's `from` to its `to`.
    Amps(f64),
    /// How the lamp burns.
    Lamp(Glow),
    /// Gauge pressure in psi; none where there is no clutch to put the gauge to.
    Psi(Option<f64>),
    /// What the fan is seen to do.
    Fan(Standing),
}

/// One reading, taken.
#[derive(Clone, Debug)]
pub struct Shown {
    /// What was read.
    pub reading: Reading,
    /// What the instrument shows.
    pub value: Value,
    /// What there is to know before it is believed, whole sentences.
    pub notes: Vec<Words>,
    /// How the circuit stands while the instrument is on; none for one that does not touch the circuit.
    pub meanwhile: Option<Outcome>,
    /// How gravely the instrument changes what the circuit does: a warning where the clutch moves, a caution where only
    /// a coil, a module or a fuse does; none where all stays as it was.
    pub disturbs: Option<Level>,
    /// What was read, in the drawing.
    pub rests_on: Vec<Subject>,
}

impl Glow {
    /// The word in the contract's JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dark => "dark",
            Self::Dim => "dim",
            Self::Bright => "bright",
        }
    }

    /// The same for people.
    pub fn said(self) -> Words {
        match self {
            Self::Dark => say!("meter-dark"),
            Self::Dim => say!("meter-dim"),
            Self::Bright => say!("meter-bright"),
        }
    }
}

impl Value {
    /// The value as the instrument's face shows it: `12.41 V`, `overload`, `dim`.
    pub fn words(&self) -> Words {
        match self {
            Self::Volts(volts) => volts.map_or_else(|| say!("meter-no-reading"), wording::volts),
            Self::Ohms(ohms) => ohms.map_or_else(|| say!("meter-overload"), wording::ohms),
            Self::Amps(amps) => wording::signed_amps(*amps),
            Self::Lamp(glow) => glow.said(),
            Self::Psi(psi) => psi.map_or_else(|| say!("meter-no-clutch-here"), wording::gauge),
            Self::Fan(standing) => standing.said(),
        }
    }
}

/// Takes one reading on a bench, which stays as it is.
///
/// # Errors
/// Where the circuit has no such terminal, wire or end, an end is not lifted, or both leads are on one point.
pub fn read(bench: &Bench, reading: &Reading) -> Result<Shown, Refusal> {
    let (circuit, inputs, outcome) = (bench.circuit(), bench.inputs(), bench.outcome());
    Scene { circuit, engine: Some(bench.engine()), inputs, outcome }.read(reading)
}

/// Takes one reading in one state of a circuit: `outcome` is what it settled to under `inputs`.
///
/// # Errors
/// As [`read`].
pub fn read_in(circuit: &Circuit, inputs: &Inputs, outcome: &Outcome, reading: &Reading) -> Result<Shown, Refusal> {
    Scene { circuit, engine: None, inputs, outcome }.read(reading)
}

/// A state as it is before an instrument comes near.
#[derive(Clone, Copy)]
struct Scene<'a> {
    circuit: &'a Circuit,
    engine: Option<&'a Engine>,
    inputs: &'a Inputs,
    outcome: &'a Outcome,
}

/// Two leads where they are held.
struct Held<'a> {
    reading: &'a Reading,
    leads: [Touch; 2],
    /// The same points, as the grammar writes them.
    points: [String; 2],
}

impl<'a> Scene<'a> {
    fn read(&self, reading: &Reading) -> Result<Shown, Refusal> {
        let Self { circuit, inputs, outcome, .. } = *self;
        match reading {
            Reading::Across { instrument, first, second } => {
                let leads = leads_on(circuit, inputs, first, second)?;
                let points = [first, second].map(Point::to_string);
                let held = Held { reading, leads, points };
                Ok(match instrument {
                    Instrument::Voltmeter => self.volts(&held, VOLTMETER_OHMS),
                    Instrument::LowImpedance => self.volts(&held, LOW_IMPEDANCE_OHMS),
                    Instrument::TestLamp => self.lamp(&held),
                    Instrument::Ohmmeter => self.ohms(&held),
                })
            }
            Reading::Amps(tag) => Ok(self.amps(reading, wire(circuit, tag)?)),
            Reading::Clamp(tag) => Ok(self.clamp(reading, wire(circuit, tag)?)),
            Reading::Gauge(gauge) => {
                let kpa = match gauge {
                    Gauge::Supply => Some(outcome.supply_kpa),
                    Gauge::Clutch => outcome.chamber_kpa,
                };
                Ok(self.untouched(reading, Value::Psi(kpa.map(|kpa| kpa / KPA_PER_PSI))))
            }
            Reading::Fan => Ok(self.untouched(reading, Value::Fan(standing(outcome)))),
        }
    }

    fn state(&self) -> State<'a> {
        // Only in a run through time is there a moment between overload and opening.
        let is_over = |(_, load): &(FuseAt, f64)| *load >= FUSE_OPENS_AT;
        let fuses_hold = fuse_loads(self.circuit, self.inputs, self.outcome).iter().any(is_over);
        let Self { circuit, engine, inputs, outcome } = *self;
        State { circuit, engine, inputs, memory: &outcome.memory, fuses_hold }
    }

    fn volts(&self, held: &Held<'_>, ohms: f64) -> Shown {
        let state = self.state();
        let footing = state.footing(held.leads);
        if matches!(footing, Footing::Bare(_) | Footing::Apart) {
            let notes = Believed { scene: *self, held }.of_nothing(footing);
            return self.shown(held, Value::Volts(None), notes, self.outcome.clone());
        }
        let loaded = state.loaded(held.leads, ohms);
        let notes = Believed { scene: *self, held }.of_volts(footing, &loaded, ohms);
        self.shown(held, Value::Volts(Some(loaded.volts)), notes, loaded.outcome)
    }

    fn lamp(&self, held: &Held<'_>) -> Shown {
        let lamp = TestLamp::for_circuit(self.circuit);
        let loaded = self.state().lamp(held.leads, &lamp);
        let notes = Believed { scene: *self, held }.of_lamp(&lamp, &loaded);
        self.shown(held, Value::Lamp(lamp.glow(loaded.volts)), notes, loaded.outcome)
    }

    fn ohms(&self, held: &Held<'_>) -> Shown {
        let found = self.state().ohmmeter(held.leads);
        let notes = Believed { scene: *self, held }.of_ohms(&found);
        self.shown(held, Value::Ohms(found.ohms), notes, found.outcome)
    }

    fn amps(&self, reading: &Reading, wire: WireId) -> Shown {
        let found = self.state().ammeter(wire);
        let notes = notes::of_amps(self, wire, &found);
        Shown {
            reading: reading.clone(),
            value: Value::Amps(found.amps),
            notes,
            disturbs: self.disturbed(&[&found.open, &found.outcome]),
            meanwhile: Some(found.outcome),
            rests_on: vec![Subject::Wire(wire)],
        }
    }

    fn clamp(&self, reading: &Reading, wire: WireId) -> Shown {
        let amps = self.outcome.amps_in(wire);
        // Rounding's leftovers in a wire without current are no current.
        let amps = if amps.abs() < 1e-9 { 0.0 } else { amps };
        Shown {
            notes: notes::of_clamp(self, amps),
            rests_on: vec![Subject::Wire(wire)],
            ..self.untouched(reading, Value::Amps(amps))
        }
    }

    /// A reading that does not touch the circuit.
    fn untouched(&self, reading: &Reading, value: Value) -> Shown {
        let valve = self.circuit.clutch_valve().map(|(id, _)| Subject::Part(id));
        let rests_on = match reading {
            Reading::Fan | Reading::Gauge(Gauge::Clutch) => valve.into_iter().collect(),
            Reading::Across { .. } | Reading::Amps(_) | Reading::Clamp(_) | Reading::Gauge(Gauge::Supply) => Vec::new(),
        };
        Shown { reading: reading.clone(), value, notes: Vec::new(), meanwhile: None, disturbs: None, rests_on }
    }

    fn shown(&self, held: &Held<'_>, value: Value, notes: Vec<Words>, meanwhile: Outcome) -> Shown {
        let subject = |touch: &Touch| match touch {
            Touch::Terminal(id) => Some(Subject::Terminal(*id)),
            Touch::LooseEnd(end) => Some(Subject::WireEnd(*end)),
            Touch::Chassis => None,
        };
        let rests_on = held.leads.iter().filter_map(subject).collect();
        let disturbs = self.disturbed(&[&meanwhile]);
        Shown { reading: held.reading.clone(), value, notes, meanwhile: Some(meanwhile), disturbs, rests_on }
    }

    /// How gravely any of these states, which the circuit went through for an instrument, differs from the one before.
    fn disturbed(&self, states: &[&Outcome]) -> Option<Level> {
        if states.iter().any(|now| standing(now) != standing(self.outcome)) {
            return Some(Level::Warning);
        }
        let on = |outcome: &Outcome| outcome.memory.parts.iter().map(|part| part.on).collect::<Vec<_>>();
        let moved = states.iter().any(|now| !now.opened.is_empty() || on(now) != on(self.outcome));
        moved.then_some(Level::Caution)
    }
}
