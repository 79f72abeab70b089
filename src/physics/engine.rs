//! A circuit compiled once, to be settled again and again: by a bench at every change, by the studies for every act,
//! fault and pair of them.
//!
//! [`Engine::settle`] gives a whole [`Outcome`]; [`Engine::settle_lean`] only what is asked for, into room that is
//! used again. An engine is not changed by settling and may be shared between threads; each thread brings its own
//! [`Lean`]. How contacts, coils and fuses move is told in [`settle`](super::settle).

use std::sync::Arc;

use crate::circuit::Circuit;

use super::clutch::ClutchReading;
use super::inputs::{Inputs, Touch};
use super::settle::{settle, settle_before_fuses};
use super::state::{FuseAt, Memory, Outcome, Settling, ValveReading};

/// A circuit compiled for settling.
#[derive(Clone, Debug)]
pub struct Engine {
    circuit: Arc<Circuit>,
}

/// What is asked of one settled state, and the room it is found in.
#[derive(Clone, Debug)]
pub struct Lean {
    /// Memory to settle the next change from.
    pub memory: Memory,
    /// Whether it rests.
    pub settling: Settling,
    /// Volts against battery `-` at each point asked for; none where it floats.
    pub volts: Vec<Option<f64>>,
    /// Fuses that opened on the way, in order.
    pub opened: Vec<FuseAt>,
    /// Valves in part order.
    pub valves: Vec<ValveReading>,
    /// Pressure in the clutch's chamber in kPa (gauge). None where no valve feeds a clutch.
    pub chamber_kpa: Option<f64>,
    /// The clutch. None where no valve feeds one.
    pub clutch: Option<ClutchReading>,
}

impl Default for Lean {
    fn default() -> Self {
        Self {
            memory: Memory::default(),
            settling: Settling::Settled,
            volts: Vec::new(),
            opened: Vec::new(),
            valves: Vec::new(),
            chamber_kpa: None,
            clutch: None,
        }
    }
}

impl Engine {
    /// Compiles a circuit.
    pub fn of(circuit: Arc<Circuit>) -> Self {
        Self { circuit }
    }

    /// The circuit.
    pub fn circuit(&self) -> &Arc<Circuit> {
        &self.circuit
    }

    /// Settles under `inputs`, starting from what `memory` remembers: the same as
    /// [`settle`](super::settle::settle).
    pub fn settle(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        settle(&self.circuit, inputs, memory)
    }

    /// Settles with every fuse holding: the same as [`settle_before_fuses`].
    pub fn settle_before_fuses(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        settle_before_fuses(&self.circuit, inputs, memory)
    }

    /// Settles likewise and gives only the volts of `points` and what the clutch does.
    pub fn settle_lean(&self, inputs: &Inputs, memory: &Memory, points: &[Touch], lean: &mut Lean) {
        let outcome = self.settle(inputs, memory);
        lean.volts.clear();
        lean.volts.extend(points.iter().map(|point| match point {
            Touch::Terminal(terminal) => outcome.volts_at(*terminal),
            Touch::LooseEnd(end) => outcome.loose_volts.get(end).copied().flatten(),
            Touch::Chassis => None,
        }));
        lean.opened.clear();
        lean.opened.extend(outcome.opened.iter().map(|opened| opened.at));
        lean.memory = outcome.memory;
        lean.settling = outcome.settling;
        lean.valves = outcome.valves;
        lean.chamber_kpa = outcome.chamber_kpa;
        lean.clutch = outcome.clutch;
    }
}
