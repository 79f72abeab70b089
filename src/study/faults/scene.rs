//! The truck a question about faults is asked of: its circuit, how the world stands, and what has been done to it.
//!
//! Yields a bench for any faults more: they are there from the beginning, as on a truck that comes in with them, and
//! the acts are done after. What is looked at on those benches is left to [`cases`](super::cases).

use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Fault, Refusal, Start};
use crate::circuit::Circuit;

/// A truck before anything more is wrong with it.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The circuit.
    pub circuit: Arc<Circuit>,
    /// Conditions, and faults that are known to be there.
    pub start: Start,
    /// What has been done, in order.
    pub acts: Vec<Act>,
}

impl Scene {
    /// The circuit as built, under the usual conditions.
    pub fn new(circuit: Arc<Circuit>) -> Self {
        Self { circuit, start: Start::default(), acts: Vec::new() }
    }

    /// A bench with more wrong from the beginning, and the acts done.
    ///
    /// # Errors
    /// A fault or an act this circuit cannot have.
    pub fn bench(&self, more: &[&Fault]) -> Result<Bench, Refusal> {
        let mut bench = Bench::started(Arc::clone(&self.circuit), self.start(more))?;
        self.acts.iter().try_for_each(|act| bench.apply(Action::Do(act.clone())))?;
        Ok(bench)
    }

    /// How it stands with more wrong from the beginning, before the acts.
    pub(super) fn start(&self, more: &[&Fault]) -> Start {
        let mut start = self.start.clone();
        start.faults.extend(more.iter().map(|fault| (*fault).clone()));
        start
    }
}
