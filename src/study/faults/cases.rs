//! One truck with something wrong, led through all states, and what is read in each.
//!
//! [`Rig`] is the only place of the fault studies that settles a circuit outside a bench. What the readings
//! mean is left to [`looks`](super::looks) and to those who compare them.

use std::sync::Arc;

use crate::bench::{Bench, Fault, Refusal};
use crate::circuit::part::Suppressor;
use crate::circuit::quantity::KPA_PER_PSI;
use crate::circuit::{Circuit, Kind, TerminalId};
use crate::physics::engine::{Engine, Lean};
use crate::physics::inputs::{Inputs, Tie, Touch};
use crate::physics::limits::VOLTMETER_OHMS;
use crate::physics::meter::State as OnMeter;
use crate::physics::state::{Memory, Outcome};
use crate::study::answer::Standing;
use crate::study::explain::standing_of;
use crate::study::rooms::Rooms;

use super::looks::Readings;
use super::scene::Scene;
use super::states::State;

/// Ohms from which a resistor or a tie lets a voltmeter's own 10 Mohm be seen: a part in a thousand.
const METER_LOADS_FROM: f64 = VOLTMETER_OHMS / 1000.0;

/// A circuit with the points at which it is read.
pub(super) struct Rig {
    engine: Engine,
    points: Vec<Touch>,
    /// The battery's `-`, where a voltmeter's second lead stays.
    minus: Option<Touch>,
    /// Whether the voltmeter may change what it reads anywhere: behind many ohms.
    is_weak: bool,
    /// Whether a point that floats may be reached through a diode once the voltmeter draws its little current there.
    has_diodes: bool,
    rooms: Rooms,
}

/// A truck as it stands before it is led through the states.
pub(super) struct Truck {
    inputs: Inputs,
    memory: Memory,
}

impl Truck {
    /// The truck on a bench.
    pub(super) fn on(bench: &Bench) -> Self {
        Self { inputs: bench.inputs().clone(), memory: bench.outcome().memory.clone() }
    }
}

impl Rig {
    /// Compiles a circuit that is to be read at these points. What is imposed on `bench` is imposed on all that is led.
    pub(super) fn new(circuit: &Arc<Circuit>, points: &[TerminalId], bench: &Bench) -> Self {
        let minus = circuit.battery().map(|(id, _)| circuit.terminal_at(id, 1));
        let is_weak = |tie: &Tie| match tie {
            Tie::ToChassis(_, ohms) | Tie::ToSupply(_, ohms) | Tie::InsideToChassis(_, ohms) => {
                *ohms >= METER_LOADS_FROM
            }
            Tie::Wires(..) => false,
        };
        let is_diode = |suppressor: &Option<Suppressor>| matches!(suppressor, Some(Suppressor::Diode { .. }));
        let has_diodes = circuit.parts().iter().any(|part| match &part.kind {
            Kind::Diode(_) => true,
            Kind::Relay(relay) => is_diode(&relay.suppressor),
            Kind::AirValve(valve) => is_diode(&valve.suppressor),
            _ => false,
        });
        let altered = &bench.inputs().altered;
        let mut loads = circuit.parts().iter().filter_map(|part| match &part.kind {
            Kind::Resistor(load) => Some(load.ohms),
            _ => None,
        });
        let is_weak = loads.any(|ohms| ohms >= METER_LOADS_FROM)
            || altered.added_ohms.values().any(|ohms| *ohms >= METER_LOADS_FROM)
            || altered.ties.iter().any(is_weak);
        let points = points.iter().map(|point| Touch::Terminal(*point)).collect();
        let minus = minus.map(Touch::Terminal);
        // Of one battery no pole is below the meter's lead, so a point that floats is drawn to it and nothing follows.
        let batteries = circuit.parts().iter().filter(|part| matches!(part.kind, Kind::Battery(_))).count();
        let has_diodes = has_diodes && batteries > 1;
        let rooms = Rooms::default();
        Self { engine: Engine::of(Arc::clone(circuit)), points, minus, is_weak, has_diodes, rooms }
    }

    pub(super) fn settle(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        self.engine.settle(inputs, memory)
    }

    /// The truck of a scene with more wrong from the beginning: as [`Scene::bench`] has it.
    ///
    /// # Errors
    /// A fault or an act this circuit cannot have.
    pub(super) fn truck(&self, scene: &Scene, more: &[&Fault]) -> Result<Truck, Refusal> {
        let start = scene.start(more);
        let (inputs, later) = start.inputs(&scene.circuit)?;
        if !later.is_empty() || !scene.acts.is_empty() {
            return Ok(Truck::on(&scene.bench(more)?));
        }
        let fresh = Memory::fresh(scene.circuit.parts().len());
        let memory = self.rooms.with(|lean| {
            self.engine.settle_lean(&inputs, &fresh, &[], lean);
            lean.memory.clone()
        });
        Ok(Truck { inputs, memory })
    }

    /// A bench's circuit led through the states, the first of which is the bench as it stands.
    pub(super) fn outcomes(&self, bench: &Bench, states: &[State]) -> Vec<Outcome> {
        let mut outcomes: Vec<Outcome> = Vec::with_capacity(states.len());
        self.walk(bench, states, |_, outcome| outcomes.push(outcome.clone()));
        outcomes
    }

    /// What is read in each of the states.
    pub(super) fn readings(&self, truck: &Truck, states: &[State]) -> Vec<Readings> {
        self.rooms.with(|lean| {
            let mut readings = Vec::with_capacity(states.len());
            let mut memories: Vec<Memory> = Vec::with_capacity(states.len());
            let mut inputs = truck.inputs.clone();
            for (place, state) in states.iter().enumerate() {
                // What rests stays as it is when it is settled again.
                let before = if place == 0 { &truck.memory } else { &memories[state.from] };
                state.bring(&truck.inputs, &mut inputs);
                self.engine.settle_lean(&inputs, before, &self.points, lean);
                readings.push(self.read(&inputs, lean));
                memories.push(lean.memory.clone());
            }
            readings
        })
    }

    /// Leads a bench's circuit through the states, showing each to `seen`.
    pub(super) fn walk(&self, bench: &Bench, states: &[State], mut seen: impl FnMut(&Inputs, &Outcome)) {
        let mut memories: Vec<Memory> = Vec::with_capacity(states.len());
        for (place, state) in states.iter().enumerate() {
            if place == 0 {
                seen(bench.inputs(), bench.outcome());
                memories.push(bench.outcome().memory.clone());
                continue;
            }
            let inputs = state.inputs(bench.inputs());
            let outcome = self.settle(&inputs, &memories[state.from]);
            seen(&inputs, &outcome);
            memories.push(outcome.memory);
        }
    }

    fn read(&self, inputs: &Inputs, lean: &Lean) -> Readings {
        let standing = standing_of(&lean.settling, lean.clutch.as_ref());
        if standing == Standing::Unsettled {
            return Readings::unsteady();
        }
        Readings {
            standing,
            supply_psi: Some(lean.supply_kpa / KPA_PER_PSI),
            clutch_psi: lean.chamber_kpa.map(|kpa| kpa / KPA_PER_PSI),
            volts: self.points.iter().zip(&lean.volts).map(|(at, seen)| self.volts(inputs, lean, *at, *seen)).collect(),
        }
        .tidied()
    }

    /// What a voltmeter reads from a point to the battery's `-`. A point that floats is pulled there by the meter.
    fn volts(&self, inputs: &Inputs, lean: &Lean, point: Touch, seen: Option<f64>) -> f64 {
        match self.minus {
            Some(minus) if minus != point && (self.is_weak || self.has_diodes && seen.is_none()) => {
                let circuit = self.engine.circuit();
                let engine = Some(&self.engine);
                let state = OnMeter { circuit, engine, inputs, memory: &lean.memory, fuses_hold: false };
                state.loaded_still([point, minus], VOLTMETER_OHMS).volts
            }
            _ => seen.unwrap_or(0.0),
        }
    }
}
