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

use crate::drawing::Symbols;
use crate::report::paper::{Pixels, Unprintable, pixels};
use crate::report::{Card, Size, sheet};

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

/// The card, set on its page.
#[derive(Debug)]
pub struct CardPage {
    /// The page as SVG.
    pub svg: String,
    /// Its title.
    pub title: String,
    /// What it will look like.
    pub pixels: Pixels,
}

/// What decides how a card looks, beside its circuit.
type Style = (Size, Symbols);

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
    proof: Study<Arc<Proof>>,
    table: Study<Result<Table, Refusal>>,
    card: (Style, Study<Result<CardPage, Unprintable>>),
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
            Drawer::Prove => {
                let work = move |progress: &Progress| prove_while_wanted(&Bench::new(circuit), progress);
                self.proof.ask(ctx, move |progress| work(progress).map(Arc::new));
            }
            Drawer::Logic => self.table.ask(ctx, move |_| Some(table(&Bench::new(circuit)))),
        }
    }

    /// Begins the card, once the proving acts it tells of are known, and takes it up.
    pub fn work_on_card(&mut self, ctx: &egui::Context, style: Style) {
        self.work(ctx, Drawer::Prove);
        if self.card.0 != style {
            self.card = (style, Study::default());
        }
        self.card.1.take_up();
        let (Some(circuit), Some(proof)) = (self.of.clone(), self.proof.known.clone()) else { return };
        self.card.1.ask(ctx, move |_| Some(card_page(circuit, &proof, style)));
    }

    /// The card as it will be printed, or why it cannot be.
    pub fn card(&self) -> Awaited<'_, Result<CardPage, Unprintable>> {
        self.card.1.awaited()
    }

    /// Whether anything is under way.
    pub fn is_at_work(&self) -> bool {
        self.proof.job.is_some() || self.table.job.is_some() || self.card.1.job.is_some()
    }

    /// The proving acts.
    pub fn proof(&self) -> Awaited<'_, Arc<Proof>> {
        self.proof.awaited()
    }

    /// The logic table, or why there is none.
    pub fn table(&self) -> Awaited<'_, Result<Table, Refusal>> {
        self.table.awaited()
    }
}

/// Dots to the inch of the preview: enough for a sharp screen.
const PREVIEW_DPI: f32 = 144.0;

fn card_page(circuit: Arc<Circuit>, proof: &Proof, (size, symbols): Style) -> Result<CardPage, Unprintable> {
    let page = sheet::card(&Card::of_proof(&Bench::new(circuit), proof, symbols), size);
    let svg = page.svg();
    let pixels = pixels(&svg, PREVIEW_DPI)?;
    Ok(CardPage { svg, title: page.title().to_owned(), pixels })
}
