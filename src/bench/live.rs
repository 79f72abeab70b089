//! A bench whose clock runs: the same acts, settings and faults, each at its moment.
//!
//! Yields [`Live`]. What may be done is decided by a [`Bench`] that stands beside the run and refuses what a circuit
//! cannot have; what comes of it over time by the physics' [`Run`]. How a run is shown or written is left to others.

use std::sync::Arc;

use crate::circuit::{Circuit, PartId};
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Outcome;
use crate::physics::time::{Event, Moment, Run, Stuck, Swift, TOLERANCE};

use super::action::{Action, Setting};
use super::refusal::Refusal;
use super::{Bench, Start};
use crate::words::{fixed, say};

/// A bench on its way through time.
#[derive(Clone, Debug)]
pub struct Live {
    bench: Bench,
    run: Run,
}

impl Live {
    /// Begins with the circuit as `start` says, at rest.
    ///
    /// # Errors
    /// A fault this circuit cannot have.
    pub fn begin(circuit: Arc<Circuit>, start: Start) -> Result<Self, Refusal> {
        Self::begin_within(circuit, start, TOLERANCE)
    }

    /// As [`Live::begin`], each step within a relative error of its own.
    ///
    /// # Errors
    /// As there.
    pub fn begin_within(circuit: Arc<Circuit>, start: Start, tolerance: f64) -> Result<Self, Refusal> {
        Ok(Self::of(Bench::started(circuit, start)?, tolerance))
    }

    /// Begins with a bench as it stands.
    pub fn of(bench: Bench, tolerance: f64) -> Self {
        let memory = bench.outcome().memory.clone();
        let run = Run::begin(bench.circuit_shared(), bench.inputs().clone(), &memory, tolerance);
        Self { bench, run }
    }

    /// Makes one change at this moment.
    ///
    /// # Errors
    /// Where this circuit, or the state it is in, cannot have that change. Nothing is changed then.
    pub fn apply(&mut self, action: Action) -> Result<(), Refusal> {
        if self.changes_the_circuit(&action) {
            return Err(Refusal::new(say!("live-the-circuit-is-not-changed"), say!("live-put-the-clock-away-first")));
        }
        let set = match &action {
            Action::Set(setting) => Some(*setting),
            _ => None,
        };
        // A push switch is back before anything flows, but not before the circuit has felt it.
        let pressed = match &action {
            Action::Do(super::Act::Press { switch }) => self.bench.circuit().part_named(switch),
            _ => None,
        };
        let renewed = self.renewed(&action);
        self.bench.apply(action)?;
        self.run.renew_fuses(&renewed);
        if let Some(switch) = pressed {
            let mut held = self.merged(set);
            held.turned.insert(switch, 1);
            self.run.impose(held);
        }
        let inputs = self.merged(set);
        self.run.impose(inputs);
        Ok(())
    }

    /// Whether an action, done, undone or redone, would change the circuit as built.
    fn changes_the_circuit(&self, action: &Action) -> bool {
        let changing = match action {
            Action::Undo => self.bench.undoable(),
            Action::Redo => self.bench.redoable(),
            other => Some(other),
        };
        matches!(changing, Some(Action::Build(_)))
    }

    /// Parts that an action puts new fuses in place of. Undoing it is no new fuse: what the clock has done stays done.
    fn renewed(&self, action: &Action) -> Vec<PartId> {
        let circuit = self.bench.circuit();
        match action {
            Action::PutAllBack => circuit.parts_with_ids().map(|(id, _)| id).collect(),
            Action::ReplaceFuse(tag) => circuit.part_named(tag).into_iter().collect(),
            Action::Set(_)
            | Action::Do(_)
            | Action::PutBack(_)
            | Action::Plant(_)
            | Action::Repair(_)
            | Action::Build(_)
            | Action::Undo
            | Action::Redo => Vec::new(),
        }
    }

    /// Lets the circuit feel a setting at this moment without its being a change yet: a scale being dragged.
    pub fn feel(&mut self, setting: Setting) {
        let mut copy = self.bench.clone();
        // A setting is never refused; if one ever is, nothing is felt.
        if copy.apply(Action::Set(setting)).is_ok() {
            std::mem::swap(&mut self.bench, &mut copy);
            let inputs = self.merged(Some(setting));
            std::mem::swap(&mut self.bench, &mut copy);
            self.run.impose(inputs);
        }
    }

    /// The bench as it stands at this moment.
    pub fn shown(&self) -> Bench {
        self.bench.at_moment(self.run.inputs().clone(), self.run.outcome())
    }

    /// The bench's inputs with the conditions that have drifted, but for the one that has just been set.
    fn merged(&self, set: Option<Setting>) -> Inputs {
        let mut inputs = self.bench.inputs().clone();
        let now = self.run.inputs().conditions;
        let asked = inputs.conditions;
        inputs.conditions = Conditions {
            coolant_c: now.coolant_c,
            oil_c: now.oil_c,
            refrigerant_kpa: now.refrigerant_kpa,
            air_kpa: now.air_kpa,
            ..asked
        };
        match set {
            Some(Setting::Coolant(_)) => inputs.conditions.coolant_c = asked.coolant_c,
            Some(Setting::Oil(_)) => inputs.conditions.oil_c = asked.oil_c,
            Some(Setting::Refrigerant(_)) => inputs.conditions.refrigerant_kpa = asked.refrigerant_kpa,
            Some(Setting::Air(_)) => inputs.conditions.air_kpa = asked.air_kpa,
            _ => {}
        }
        inputs
    }

    /// Runs on to a later moment, showing each of `samples` (rising, none before now) on the way.
    ///
    /// # Errors
    /// Where the file's figures make something change too fast to be followed: which figure, and its mend. The run
    /// then stands where it got to.
    pub fn advance(&mut self, to_s: f64, samples: &[f64], show: impl FnMut(Moment)) -> Result<(), Refusal> {
        self.run.advance(to_s, samples, show).map_err(|stuck| self.refusal(stuck))
    }

    /// As [`Live::advance`], with the run beside each moment as it stands electrically then.
    ///
    /// # Errors
    /// As there.
    pub fn advance_seen(&mut self, to_s: f64, samples: &[f64], show: impl FnMut(&Run, Moment)) -> Result<(), Refusal> {
        self.run.advance_seen(to_s, samples, show).map_err(|stuck| self.refusal(stuck))
    }

    /// What in the file keeps a run from going on.
    fn refusal(&self, stuck: Stuck) -> Refusal {
        let circuit = self.bench.circuit();
        let (air, clutch) = (circuit.air_figures(), circuit.clutch_figures());
        let (what, figure) = match stuck.by {
            Swift::Tank => (say!("live-the-pressure-of-the-tanks"), Some(("air", "tank_litres", air.tank_litres))),
            Swift::Line => (say!("live-the-pressure-of-the-line"), Some(("air", "line_litres", air.line_litres))),
            Swift::Chamber => {
                (say!("live-the-pressure-in-the-clutch"), Some(("clutch", "chamber_litres", clutch.chamber_litres)))
            }
            Swift::Fan => (say!("live-the-fans-speed"), Some(("clutch", "fan_kg_m2", clutch.fan_kg_m2))),
            Swift::Plate => {
                let figure = ("clutch", "plate_joules_per_kelvin", clutch.plate_joules_per_kelvin);
                (say!("live-the-plates-temperature"), Some(figure))
            }
            Swift::Warmth => (say!("live-a-temperature"), None),
            Swift::Circuit => (say!("live-the-circuit"), None),
        };
        let message = say!("live-changes-too-fast", seconds = fixed(stuck.at_s, 6), what);
        match figure {
            Some((place, field, value)) => Refusal::new(
                say!("live-has", message, place, figure = format!("{field}: {value:?}")),
                say!("live-see-whether-the-field", field),
            ),
            None => Refusal::new(message, say!("live-see-whether-the-figures")),
        }
    }

    /// Seconds since the beginning.
    pub fn at_s(&self) -> f64 {
        self.run.at_s()
    }

    /// This moment.
    pub fn moment(&self) -> Moment {
        self.run.moment()
    }

    /// Everything electric, with pressure and clutch, at this moment.
    pub fn outcome(&self) -> Outcome {
        self.run.outcome()
    }

    /// What has happened by itself so far.
    pub fn events(&self) -> &[Event] {
        self.run.events()
    }

    /// The run itself.
    pub fn run(&self) -> &Run {
        &self.run
    }

    /// The bench that decides what may be done; its outcome knows no time.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }
}
