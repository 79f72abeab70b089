//! All trucks of one case: its circuit compiled once for them, and each settled no further than its readings ask.
//!
//! Fan, gauges and two leads ask for what is imposed on a truck, what it remembers and what its clutch does. Where
//! nothing is done to it once it is there, the engine tells these by updates of states that it keeps, the same as a whole
//! [`Bench`] has them. All else is asked of such a bench. What a reading shows is [`suspect`](super::suspect)'s.

use std::sync::Arc;

use crate::bench::{Bench, Fault, Reading, Refusal};
use crate::physics::engine::Engine;
use crate::physics::inputs::Inputs;
use crate::physics::state::Memory;
use crate::study::answer::Standing;
use crate::study::explain::standing_of;
use crate::study::rooms::Rooms;

use super::scale::Look;
use super::sight::Setup;
use super::suspect::{Case, Stood};

/// The trucks of a case.
pub(super) struct Trucks {
    pub(super) case: Case,
    engine: Arc<Engine>,
    rooms: Rooms,
}

/// One of them, set up.
pub(super) enum Truck {
    /// As the engine told it.
    Told(Box<Told>),
    /// On a bench.
    Whole(Box<Bench>),
}

/// What is imposed on a truck, what it remembers, and what its clutch does.
pub(super) struct Told {
    inputs: Inputs,
    memory: Memory,
    standing: Standing,
    supply_kpa: f64,
    chamber_kpa: Option<f64>,
}

impl Trucks {
    /// Compiles the circuit of a case.
    pub(super) fn of(case: &Case) -> Self {
        Self { case: case.clone(), engine: Arc::new(Engine::of(Arc::clone(&case.circuit))), rooms: Rooms::default() }
    }

    /// The same of a truck of which nothing is known to be wrong.
    pub(super) fn with_nothing_known(&self) -> Self {
        let case = Case { known: Vec::new(), ..self.case.clone() };
        Self { case, engine: Arc::clone(&self.engine), rooms: Rooms::default() }
    }

    /// [`Case::bench`].
    ///
    /// # Errors
    /// As there.
    pub(super) fn bench(&self, faults: &[Fault], setup: &Setup) -> Result<Bench, Refusal> {
        self.case.bench_on(&self.engine, faults, setup)
    }

    /// The same truck, to be read.
    ///
    /// # Errors
    /// As there.
    pub(super) fn truck(&self, faults: &[Fault], setup: &Setup) -> Result<Truck, Refusal> {
        let (inputs, later) = self.case.start(faults, setup).inputs(&self.case.circuit)?;
        if !later.is_empty() || !self.case.acts.is_empty() || !setup.after.is_empty() {
            return Ok(Truck::Whole(Box::new(self.bench(faults, setup)?)));
        }
        let fresh = Memory::fresh(self.case.circuit.parts().len());
        Ok(self.rooms.with(|lean| {
            self.engine.settle_lean(&inputs, &fresh, &[], lean);
            Truck::Told(Box::new(Told {
                inputs,
                memory: lean.memory.clone(),
                standing: standing_of(&lean.settling, lean.clutch.as_ref()),
                supply_kpa: lean.supply_kpa,
                chamber_kpa: lean.chamber_kpa,
            }))
        }))
    }

    /// What a reading shows on the truck that has these faults and is set up so.
    ///
    /// # Errors
    /// A reading this circuit cannot have.
    pub(super) fn look(
        &self,
        truck: &mut Truck,
        (faults, setup): (&[Fault], &Setup),
        reading: &Reading,
    ) -> Result<Look, Refusal> {
        let stood = match truck {
            Truck::Whole(bench) => return Case::look(bench, reading),
            Truck::Told(told) => Stood {
                engine: &self.engine,
                inputs: &told.inputs,
                memory: &told.memory,
                standing: told.standing,
                supply_kpa: told.supply_kpa,
                chamber_kpa: told.chamber_kpa,
            },
        };
        if let Some(look) = stood.look(reading)? {
            return Ok(look);
        }
        let bench = self.bench(faults, setup)?;
        let look = Case::look(&bench, reading);
        *truck = Truck::Whole(Box::new(bench));
        look
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::{Truck, Trucks};
    use crate::bench::{Instrument, Point, Reading};
    use crate::circuit::format::read;
    use crate::circuit::shipped::SHIPPED;
    use crate::study::faults::universe::Weights;
    use crate::study::find::sight::Setup;
    use crate::study::find::suspect::{Case, singles};

    #[test]
    fn trucks_told_by_the_engine_show_to_the_letter_what_whole_benches_show() {
        let setups = ["coolant=240F", "key=off"]
            .map(|setting| Setup { with: vec![setting.parse().unwrap()], after: Vec::new() });
        let mut compared = 0;
        for (name, text) in SHIPPED {
            let circuit = Arc::new(read(text).circuit.unwrap_or_else(|| panic!("{name} reads")));
            let mut readings: Vec<Reading> =
                ["fan", "gauge:clutch", "gauge:supply"].map(|words| words.parse().unwrap()).into();
            let (valve, _) = circuit.clutch_valve().unwrap();
            let [first, second] = [0, 1].map(|place| circuit.terminal_words(circuit.terminal_at(valve, place)));
            let [first, second] = [first, second].map(Point::Terminal);
            readings.push(Reading::Across { instrument: Instrument::Voltmeter, first, second });
            let case = Case { circuit, settings: Vec::new(), acts: Vec::new(), known: Vec::new() };
            let trucks = Trucks::of(&case);
            for suspect in singles(&case.circuit, &Weights::default(), 1.0, &[]) {
                for setup in &setups {
                    let mut truck = trucks.truck(&suspect.faults, setup).unwrap();
                    let bench = case.bench(&suspect.faults, setup).unwrap();
                    for reading in &readings {
                        let told = trucks.look(&mut truck, (&suspect.faults, setup), reading);
                        assert_eq!(told, Case::look(&bench, reading), "{}{setup}, {reading}", suspect.name());
                        compared += 1;
                    }
                    assert!(matches!(truck, Truck::Told(_)), "nothing asks for a bench");
                }
            }
        }
        assert!(compared > 5_000, "only {compared}");
    }
}
