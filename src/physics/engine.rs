//! A circuit compiled once, to be settled again and again: by a bench at every change, by the studies for every act,
//! fault and pair of them.
//!
//! [`Engine::settle`] gives a whole [`Outcome`]; [`Engine::settle_lean`] only what is asked for, into room that is
//! used again. An engine is not changed by settling and may be shared between threads; each thread brings its own
//! [`Lean`]. How contacts, coils and fuses move is told in [`settle`](super::settle).

use std::sync::Arc;

use crate::circuit::Circuit;

use super::closeness::is_close;
use super::clutch::ClutchReading;
use super::electric::diodes::Known;
use super::inputs::{Inputs, Touch};
use super::moves::Looked;
use super::settle::{Anew, Driven, Fuses, Posture, Rest, known, rest};
use super::state::{FuseAt, Memory, Outcome, Settling, ValveReading};
use super::updates::{ByUpdates, Updates};

/// A circuit compiled for settling.
#[derive(Clone, Debug)]
pub struct Engine {
    circuit: Arc<Circuit>,
    known: Known,
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
    /// Pressure at the supply gauge in kPa (gauge).
    pub supply_kpa: f64,
    /// Pressure in the clutch's chamber in kPa (gauge). None where no valve feeds a clutch.
    pub chamber_kpa: Option<f64>,
    /// The clutch. None where no valve feeds one.
    pub clutch: Option<ClutchReading>,
    /// Whether it could rest otherwise for a wire's drop; false where that was not asked.
    pub is_close: bool,
    /// What the last settling found out; of the circuit below.
    known: Option<(Arc<Circuit>, Known)>,
    updates: Updates,
    /// What the clutch did in each posture in one turn of the updates.
    driven: (u64, Vec<(Posture, Driven)>),
}

impl Default for Lean {
    fn default() -> Self {
        Self {
            memory: Memory::default(),
            settling: Settling::Settled,
            volts: Vec::new(),
            opened: Vec::new(),
            valves: Vec::new(),
            supply_kpa: 0.0,
            chamber_kpa: None,
            clutch: None,
            is_close: false,
            known: None,
            updates: Updates::default(),
            driven: (0, Vec::new()),
        }
    }
}

/// Points whose volts are wanted, and the ohms of wire on which nothing should hang, if that is asked.
type Asked<'a> = (&'a [Touch], Option<f64>);

impl Engine {
    /// Compiles a circuit.
    pub fn of(circuit: Arc<Circuit>) -> Self {
        let known = known(&circuit);
        Self { circuit, known }
    }

    /// The circuit.
    pub fn circuit(&self) -> &Arc<Circuit> {
        &self.circuit
    }

    /// Settles under `inputs`, starting from what `memory` remembers: the same as
    /// [`settle`](super::settle::settle).
    pub fn settle(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        let rest = rest(&self.circuit, inputs, memory, Fuses::Open, &mut Anew(&mut self.known.clone()));
        rest.into_outcome(&self.circuit, inputs)
    }

    /// Settles with every fuse holding: the same as [`settle_before_fuses`](super::settle::settle_before_fuses).
    pub fn settle_before_fuses(&self, inputs: &Inputs, memory: &Memory) -> Outcome {
        let rest = rest(&self.circuit, inputs, memory, Fuses::Hold, &mut Anew(&mut self.known.clone()));
        rest.into_outcome(&self.circuit, inputs)
    }

    /// Settles likewise and gives only the volts of `points` and what the clutch does.
    pub fn settle_lean(&self, inputs: &Inputs, memory: &Memory, points: &[Touch], lean: &mut Lean) {
        self.settle_asked(inputs, memory, (points, None), lean);
    }

    /// Settles likewise, and says what the clutch does and whether that hangs on a lead's current running through
    /// `between_ohms` more or less of wire.
    pub fn settle_judged(&self, inputs: &Inputs, memory: &Memory, between_ohms: f64, lean: &mut Lean) {
        self.settle_asked(inputs, memory, (&[], Some(between_ohms)), lean);
    }

    fn settle_asked(&self, inputs: &Inputs, memory: &Memory, asked: Asked<'_>, lean: &mut Lean) {
        let (points, _) = asked;
        // What is known of another circuit is of no use for this one.
        let kept = lean.known.take().filter(|(circuit, _)| Arc::ptr_eq(circuit, &self.circuit));
        let mut known = kept.map_or_else(|| self.known.clone(), |(_, known)| known);
        let is_inside = |point: &Touch| matches!(point, Touch::Terminal(_) | Touch::Chassis);
        if points.iter().all(is_inside) && lean.updates.take_up(&self.circuit, inputs) {
            let mut source = ByUpdates { updates: &mut lean.updates, known: &mut known };
            let rest = rest(&self.circuit, inputs, memory, Fuses::Open, &mut source);
            let turn = lean.updates.turn();
            if lean.driven.0 != turn {
                lean.driven = (turn, Vec::new());
            }
            self.put(rest, inputs, asked, lean);
        } else {
            lean.driven = (u64::MAX, Vec::new());
            let rest = rest(&self.circuit, inputs, memory, Fuses::Open, &mut Anew(&mut known));
            self.put(rest, inputs, asked, lean);
        }
        lean.known = Some((Arc::clone(&self.circuit), known));
    }

    fn put(&self, rest: Rest<impl Looked>, inputs: &Inputs, (points, between_ohms): Asked<'_>, lean: &mut Lean) {
        lean.is_close = between_ohms.is_some_and(|ohms| is_close(&rest, &self.circuit, inputs, ohms));
        lean.volts.clear();
        lean.volts.extend(points.iter().map(|point| rest.state.volts_at(*point)));
        lean.opened.clear();
        lean.opened.extend(rest.opened.iter().map(|opened| opened.at));
        lean.valves = rest.valves(&self.circuit, inputs);
        let posture = rest.posture(&self.circuit, inputs, &lean.valves);
        let known = lean.driven.1.iter().find(|(known, _)| *known == posture).map(|(_, driven)| *driven);
        let driven = known.unwrap_or_else(|| Driven::from(&self.circuit, inputs, posture));
        if known.is_none() {
            lean.driven.1.push((posture, driven));
        }
        let Driven { supply_kpa, chamber_kpa, clutch } = driven;
        (lean.supply_kpa, lean.chamber_kpa, lean.clutch) = (supply_kpa, chamber_kpa, clutch);
        (lean.memory, lean.settling) = (rest.memory, rest.settling);
    }
}
