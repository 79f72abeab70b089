//! What may be wrong, each as a truck of its own that can be read: nothing, one fault, or two at once.
//!
//! Yields [`Suspect`]s and [`Case::look`]: what an instrument would show with one of them in the circuit, found by
//! settling it and putting the instrument on. Which of them remain is decided elsewhere.

use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Fault, Gauge, Instrument, Reading, Refusal, Setting, Start, leads_on};
use crate::circuit::Circuit;
use crate::physics::inputs::Touch;
use crate::physics::limits::{LOW_IMPEDANCE_OHMS, OHMMETER_RANGE_OHMS, VOLTMETER_OHMS};
use crate::physics::meter::{Footing, State, TestLamp};
use crate::study::faults::universe::{Weights, every};
use crate::study::meter::read;
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
        let settings = [self.settings.as_slice(), &setup.with].concat();
        let faults = [self.known.as_slice(), faults].concat();
        let mut bench = Bench::started(Arc::clone(&self.circuit), Start { settings, faults })?;
        self.acts.iter().chain(&setup.after).try_for_each(|act| bench.apply(Action::Do(act.clone())))?;
        Ok(bench)
    }

    /// What a reading would show on a bench, the instrument's own load included.
    ///
    /// # Errors
    /// A reading this circuit cannot have.
    pub fn look(bench: &Bench, reading: &Reading) -> Result<Look, Refusal> {
        if bench.circuit().clutch_valve().is_none() && matches!(reading, Reading::Gauge(Gauge::Clutch)) {
            return Err(Refusal::new(say!("suspect-there-is-no-air-valve"), say!("suspect-read-volts")));
        }
        if let Reading::Across { instrument, first, second } = reading {
            let leads = leads_on(bench.circuit(), bench.inputs(), first, second)?;
            return Ok(across(bench, *instrument, leads));
        }
        let shown = read(bench, reading)?;
        let moves = !bench.outcome().settled() || shown.meanwhile.is_some_and(|meanwhile| !meanwhile.settled());
        let is_apart = matches!(reading, Reading::Gauge(Gauge::Supply));
        Ok(if moves && !is_apart { Look::Unsteady } else { Look::of(&shown.value) })
    }
}

/// What an instrument with two leads shows. Nothing is said about how far to believe it, so it is read off the physics.
fn across(bench: &Bench, instrument: Instrument, leads: [Touch; 2]) -> Look {
    let (circuit, memory) = (bench.circuit(), &bench.outcome().memory);
    let state = State { circuit, inputs: bench.inputs(), memory, fuses_hold: false };
    let volts = |ohms: f64| match state.footing(leads) {
        Footing::Bare(_) | Footing::Apart => (0.0, bench.outcome().settled()),
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
    if settled && bench.outcome().settled() { Look::Number(shown) } else { Look::Unsteady }
}
