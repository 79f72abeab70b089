//! What may be wrong, each as a truck of its own that can be read: nothing, one fault, or two at once.
//!
//! Yields [`Suspect`]s and [`Case::look`]: what an instrument would show with one of them in the circuit, found by
//! settling it and putting the instrument on. Which of them remain is decided elsewhere.

use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Fault, Gauge, Instrument, Reading, Refusal, Setting, Start, leads_on};
use crate::circuit::Circuit;
use crate::circuit::quantity::KPA_PER_PSI;
use crate::physics::engine::Engine;
use crate::physics::inputs::{Inputs, Touch};
use crate::physics::limits::{LOW_IMPEDANCE_OHMS, OHMMETER_RANGE_OHMS, VOLTMETER_OHMS};
use crate::physics::meter::{Footing, State, TestLamp};
use crate::physics::state::Memory;
use crate::study::answer::Standing;
use crate::study::explain::standing;
use crate::study::faults::universe::{Weights, every};
use crate::study::meter::{Value, read};
use crate::words::say;

use super::scale::Look;
use super::sight::Setup;

/// The word for nothing being wrong.
pub const HEALTHY: &str = "healthy";

/// Something that may be the matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// What is wrong; nothing where all is well.
    pub faults: Vec<Fault>,
    /// How likely, relative to the others.
    pub weight: f64,
}

impl Suspect {
    /// It in the grammar of faults: `open:W4`, `open:W4 and blown:F1`, `healthy`.
    pub fn name(&self) -> String {
        if self.faults.is_empty() {
            return HEALTHY.to_owned();
        }
        self.faults.iter().map(Fault::to_string).collect::<Vec<_>>().join(" and ")
    }

    /// Whether nothing is wrong.
    pub fn is_healthy(&self) -> bool {
        self.faults.is_empty()
    }
}

/// Nothing wrong, then every single fault that has a weight and is not known to be there already.
pub fn singles(circuit: &Circuit, weights: &Weights, healthy: f64, known: &[Fault]) -> Vec<Suspect> {
    let nothing = (healthy > 0.0).then(|| Suspect { faults: Vec::new(), weight: healthy });
    let faults = every(circuit).into_iter().filter(|fault| !known.contains(fault));
    let faults = faults.map(|fault| Suspect { weight: weights.of(&fault), faults: vec![fault] });
    nothing.into_iter().chain(faults.filter(|suspect| suspect.weight > 0.0)).collect()
}

/// What holds for everything that is seen and tried: the circuit, its conditions, acts, and what is known to be wrong.
#[derive(Clone, Debug)]
pub struct Case {
    /// The circuit.
    pub circuit: Arc<Circuit>,
    /// Conditions, as [`Start`] takes them.
    pub settings: Vec<Setting>,
    /// Acts, in order.
    pub acts: Vec<Act>,
    /// What is wrong beyond doubt.
    pub known: Vec<Fault>,
}

impl Case {
    /// The truck with these faults in it, set up as said: as if it came fresh, its fuses whole, for each setup.
    ///
    /// # Errors
    /// A fault, condition or act this circuit cannot have.
    pub fn bench(&self, faults: &[Fault], setup: &Setup) -> Result<Bench, Refusal> {
        self.bench_on(&Arc::new(Engine::of(Arc::clone(&self.circuit))), faults, setup)
    }

    /// The same with the circuit compiled.
    ///
    /// # Errors
    /// As there.
    pub(super) fn bench_on(&self, engine: &Arc<Engine>, faults: &[Fault], setup: &Setup) -> Result<Bench, Refusal> {
        let mut bench = Bench::started_on(engine, self.start(faults, setup))?;
        self.acts.iter().chain(&setup.after).try_for_each(|act| bench.apply(Action::Do(act.clone())))?;
        Ok(bench)
    }

    /// How the truck with these faults stands before the acts.
    pub(super) fn start(&self, faults: &[Fault], setup: &Setup) -> Start {
        let settings = [self.settings.as_slice(), &setup.with].concat();
        let faults = [self.known.as_slice(), faults].concat();
        Start { settings, faults }
    }

    /// What a reading would show on a bench, the instrument's own load included.
    ///
    /// # Errors
    /// A reading this circuit cannot have.
    pub fn look(bench: &Bench, reading: &Reading) -> Result<Look, Refusal> {
        if let Some(look) = Stood::on(bench).look(reading)? {
            return Ok(look);
        }
        let shown = read(bench, reading)?;
        let moves = !bench.outcome().settled() || shown.meanwhile.is_some_and(|meanwhile| !meanwhile.settled());
        Ok(if moves { Look::Unsteady } else { Look::of(&shown.value) })
    }
}

/// A truck as it stands, as far as fan, gauges and two leads ask.
pub(super) struct Stood<'a> {
    /// Its circuit compiled.
    pub(super) engine: &'a Engine,
    pub(super) inputs: &'a Inputs,
    pub(super) memory: &'a Memory,
    pub(super) standing: Standing,
    pub(super) supply_kpa: f64,
    pub(super) chamber_kpa: Option<f64>,
}

impl<'a> Stood<'a> {
    fn on(bench: &'a Bench) -> Self {
        let outcome = bench.outcome();
        Self {
            engine: bench.engine(),
            inputs: bench.inputs(),
            memory: &outcome.memory,
            standing: standing(outcome),
            supply_kpa: outcome.supply_kpa,
            chamber_kpa: outcome.chamber_kpa,
        }
    }

    /// What a reading would show; none where currents are read, of which nothing is known here.
    ///
    /// # Errors
    /// A reading this circuit cannot have.
    pub(super) fn look(&self, reading: &Reading) -> Result<Option<Look>, Refusal> {
        let circuit = self.engine.circuit();
        let psi = |kpa: f64| kpa / KPA_PER_PSI;
        Ok(match reading {
            Reading::Across { instrument, first, second } => {
                Some(self.across(*instrument, leads_on(circuit, self.inputs, first, second)?))
            }
            Reading::Gauge(Gauge::Supply) => Some(Look::of(&Value::Psi(Some(psi(self.supply_kpa))))),
            Reading::Gauge(Gauge::Clutch) if circuit.clutch_valve().is_none() => {
                return Err(Refusal::new(say!("suspect-there-is-no-air-valve"), say!("suspect-read-volts")));
            }
            Reading::Gauge(Gauge::Clutch) if self.settled() => Some(Look::of(&Value::Psi(self.chamber_kpa.map(psi)))),
            Reading::Gauge(Gauge::Clutch) => Some(Look::Unsteady),
            Reading::Fan => Some(Look::of(&Value::Fan(self.standing))),
            Reading::Amps(_) | Reading::Clamp(_) => None,
        })
    }

    fn settled(&self) -> bool {
        self.standing != Standing::Unsettled
    }

    /// What an instrument with two leads shows. Nothing is said about how far to believe it, so it is read off the
    /// physics.
    fn across(&self, instrument: Instrument, leads: [Touch; 2]) -> Look {
        let circuit = self.engine.circuit();
        let (engine, inputs, memory) = (Some(self.engine), self.inputs, self.memory);
        let state = State { circuit, engine, inputs, memory, fuses_hold: false };
        let volts = |ohms: f64| match state.footing(leads) {
            Footing::Bare(_) | Footing::Apart => (0.0, self.settled()),
            Footing::Joined | Footing::Floats(_) => {
                let loaded = state.loaded(leads, ohms);
                (loaded.volts, loaded.outcome.settled())
            }
        };
        let (shown, settled) = match instrument {
            Instrument::Voltmeter => volts(VOLTMETER_OHMS),
            Instrument::LowImpedance => volts(LOW_IMPEDANCE_OHMS),
            Instrument::TestLamp => {
                let lamp = TestLamp::for_circuit(circuit);
                let loaded = state.lamp(leads, &lamp);
                (loaded.volts.abs() / lamp.rated_volts, loaded.outcome.settled())
            }
            Instrument::Ohmmeter => {
                let found = state.ohmmeter(leads);
                (found.ohms.unwrap_or(OHMMETER_RANGE_OHMS), found.outcome.settled())
            }
        };
        if settled && self.settled() { Look::Number(shown) } else { Look::Unsteady }
    }
}
