//! The answers about the circuit as built that take longer than a frame, each begun when it is first asked for.
//!
//! Yields [`Studies`]: the proving acts and the logic table of the circuit on the bench, for the conditions the
//! program starts with, so that the lists keep still while acts are tried. Worked out beside the window by [`Job`];
//! another circuit drops what was under way.

use std::sync::Arc;

use crate::bench::{Bench, Refusal};
use crate::circuit::Circuit;
use crate::study::progress::Progress;
use crate::study::prove::{Proof, prove_while_wanted};
use crate::study::table::{Table, table};

use super::background::Job;
use super::seen::Drawer;

/// An answer that may not be there yet.
#[derive(Clone, Copy, Debug)]
pub enum Awaited<'a, T> {
    /// Not there yet: steps done, of how many.
    Working(usize, usize),
    /// There.
    Known(&'a T),
}

/// One answer, not asked for, under way or known.
#[derive(Debug)]
struct Study<T> {
    known: Option<T>,
    job: Option<Job<T>>,
}

impl<T> Default for Study<T> {
    fn default() -> Self {
        Self { known: None, job: None }
    }
}

impl<T: Send + 'static> Study<T> {
    fn ask(&mut self, ctx: &egui::Context, work: impl FnOnce(&Progress) -> Option<T> + Send + 'static) {
        if self.known.is_none() && self.job.is_none() {
            self.job = Some(Job::begin(ctx, work));
        }
    }

    fn take_up(&mut self) {
        if let Some(found) = self.job.as_ref().and_then(Job::take) {
            self.known = Some(found);
            self.job = None;
        }
    }

    fn awaited(&self) -> Awaited<'_, T> {
        match &self.known {
            Some(known) => Awaited::Known(known),
            None => {
                let (done, all) = self.job.as_ref().map_or((0, 0), Job::steps);
                Awaited::Working(done, all)
            }
        }
    }
}

/// The answers about one circuit.
#[derive(Debug, Default)]
pub struct Studies {
    of: Option<Arc<Circuit>>,
    proof: Study<Proof>,
    table: Study<Result<Table, Refusal>>,
}

impl Studies {
    /// Follows the bench: another circuit makes it forget the last one's answers.
    pub fn follow(&mut self, bench: &Bench) {
        let circuit = bench.circuit_shared();
        if !self.of.as_ref().is_some_and(|known| Arc::ptr_eq(known, &circuit)) {
            *self = Self { of: Some(circuit), ..Self::default() };
        }
    }

    /// Begins what a drawer shows and nobody has worked out, and takes up what has come.
    pub fn work(&mut self, ctx: &egui::Context, drawer: Drawer) {
        self.proof.take_up();
        self.table.take_up();
        let Some(circuit) = self.of.clone() else { return };
        match drawer {
            Drawer::Prove => self.proof.ask(ctx, move |progress| prove_while_wanted(&Bench::new(circuit), progress)),
            Drawer::Logic => self.table.ask(ctx, move |_| Some(table(&Bench::new(circuit)))),
        }
    }

    /// Whether anything is under way.
    pub fn is_at_work(&self) -> bool {
        self.proof.job.is_some() || self.table.job.is_some()
    }

    /// The proving acts.
    pub fn proof(&self) -> Awaited<'_, Proof> {
        self.proof.awaited()
    }

    /// The logic table, or why there is none.
    pub fn table(&self) -> Awaited<'_, Result<Table, Refusal>> {
        self.table.awaited()
    }
}
