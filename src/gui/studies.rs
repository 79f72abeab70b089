//! The answers about the circuit as built that take longer than a frame, each begun when it is first asked for.
//!
//! Yields [`Studies`]: the proving acts of the circuit on the bench, for the conditions the program starts with, so
//! that the list keeps still while acts are tried. Worked out beside the window by [`Job`]; another circuit drops what
//! was under way.

use std::sync::Arc;

use crate::bench::Bench;
use crate::circuit::Circuit;
use crate::study::prove::{Proof, prove_while_wanted};

use super::background::Job;

/// An answer that may not be there yet.
#[derive(Clone, Copy, Debug)]
pub enum Awaited<'a, T> {
    /// Not there yet: steps done, of how many.
    Working(usize, usize),
    /// There.
    Known(&'a T),
}

/// The answers about one circuit.
#[derive(Debug, Default)]
pub struct Studies {
    of: Option<Arc<Circuit>>,
    proof: Option<Proof>,
    proving: Option<Job<Proof>>,
}

impl Studies {
    /// Follows the bench: another circuit makes it forget the last one's answers.
    pub fn follow(&mut self, bench: &Bench) {
        let circuit = bench.circuit_shared();
        if !self.of.as_ref().is_some_and(|known| Arc::ptr_eq(known, &circuit)) {
            *self = Self { of: Some(circuit), ..Self::default() };
        }
    }

    /// Begins what is asked for and not known, and takes up what has come.
    pub fn work(&mut self, ctx: &egui::Context) {
        if let Some(proof) = self.proving.as_ref().and_then(Job::take) {
            self.proof = Some(proof);
            self.proving = None;
        }
        let Some(circuit) = self.of.clone().filter(|_| self.proof.is_none() && self.proving.is_none()) else { return };
        self.proving = Some(Job::begin(ctx, move |progress| prove_while_wanted(&Bench::new(circuit), progress)));
    }

    /// The proving acts.
    pub fn proof(&self) -> Awaited<'_, Proof> {
        match (&self.proof, &self.proving) {
            (Some(proof), _) => Awaited::Known(proof),
            (None, Some(job)) => {
                let (done, all) = job.steps();
                Awaited::Working(done, all)
            }
            (None, None) => Awaited::Working(0, 0),
        }
    }
}
