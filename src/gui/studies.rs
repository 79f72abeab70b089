//! The answers about the circuit as built that take longer than a frame, each begun when it is first asked for.
//!
//! Yields [`Studies`]: the proving acts, the logic table and the fault table of the circuit on the bench, for the
//! conditions the program starts with, so that the lists keep still while acts are tried; the find and the hunt that
//! is being made ready. Worked out beside the window by [`Job`]; another circuit drops what was under way.

use std::cell::OnceCell;
use std::sync::Arc;

use egui::ColorImage;

use crate::bench::{Bench, Refusal};
use crate::circuit::Circuit;
use crate::circuit::check::check;
use crate::circuit::diagnostic::Finding as Doubt;
use crate::study::faults::{FaultTable, Scene, Shows, fault_table, naming};
use crate::study::progress::Progress;
use crate::study::prove::{Place, Proof, prove_while_wanted};
use crate::study::table::{Table, table};

use crate::drawing::Symbols;
use crate::report::paper::{Unprintable, pixels};
use crate::report::{Card, Size, sheet};
use crate::words::{Language, Measure, Words};

use super::background::Job;
use super::finding::Finding;
use super::hunting::Hunting;
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
    /// What it will look like; shared with the screen, for it is large.
    pub image: Arc<ColorImage>,
}

/// What decides how a card looks, beside its circuit.
type Style = (Size, Symbols, Language, Measure);

/// One answer, not asked for, under way or known.
#[derive(Debug)]
pub(super) struct Study<T> {
    known: Option<T>,
    job: Option<Job<T>>,
    stopped: bool,
}

impl<T> Default for Study<T> {
    fn default() -> Self {
        Self { known: None, job: None, stopped: false }
    }
}

impl<T: Send + 'static> Study<T> {
    /// Begins it, unless it is known, under way or stopped.
    pub(super) fn ask(&mut self, ctx: &egui::Context, work: impl FnOnce(&Progress) -> Option<T> + Send + 'static) {
        if self.known.is_none() && self.job.is_none() && !self.stopped {
            self.job = Some(Job::begin(ctx, work));
        }
    }

    /// Takes up what has come; whether anything has.
    pub(super) fn take_up(&mut self) -> bool {
        let Some(found) = self.job.as_ref().and_then(Job::take) else { return false };
        self.known = Some(found);
        self.job = None;
        true
    }

    /// Stops it, or lets it be asked for again.
    pub(super) fn stop(&mut self, stopped: bool) {
        self.job = None;
        self.stopped = stopped;
    }

    pub(super) fn is_stopped(&self) -> bool {
        self.stopped
    }

    pub(super) fn is_at_work(&self) -> bool {
        self.job.is_some()
    }

    /// Steps done and all of them, while it is under way.
    pub(super) fn under_way(&self) -> Option<(usize, usize)> {
        self.job.as_ref().map(Job::steps)
    }

    pub(super) fn known(&self) -> Option<&T> {
        self.known.as_ref()
    }

    pub(super) fn awaited(&self) -> Awaited<'_, T> {
        match &self.known {
            Some(known) => Awaited::Known(known),
            None => {
                let (done, all) = self.under_way().unwrap_or_default();
                Awaited::Working(done, all)
            }
        }
    }
}

/// The answers about one circuit.
#[derive(Debug, Default)]
pub struct Studies {
    of: Option<Arc<Circuit>>,
    doubtful: OnceCell<Vec<Doubt>>,
    proof: Study<Arc<Proof>>,
    table: Study<Result<Table, Refusal>>,
    card: (Style, Study<Result<CardPage, Unprintable>>),
    faults: Study<Result<FaultList, Refusal>>,
    /// The find.
    pub finding: Finding,
    /// The hunt that is being made ready.
    pub hunting: Hunting,
}

/// The fault table with what its rows are called.
#[derive(Debug)]
pub struct FaultList {
    /// The table.
    pub table: FaultTable,
    /// What each fault is called.
    pub names: Vec<Words>,
    /// Where each shows.
    pub shows: Vec<Shows>,
    /// The group each is in, by its place.
    pub group_of: Vec<usize>,
}

impl FaultList {
    fn of(table: FaultTable) -> Self {
        let names = table.faults.iter().map(|fault| naming::name(&table.scene.circuit, fault)).collect();
        let shows = (0..table.faults.len()).map(|fault| table.shows(fault)).collect();
        let mut group_of = vec![0; table.faults.len()];
        for (place, group) in table.groups.iter().enumerate() {
            group.members.iter().for_each(|fault| group_of[*fault] = place);
        }
        Self { table, names, shows, group_of }
    }
}

impl Studies {
    /// Follows the bench: another circuit makes it forget the last one's answers.
    pub fn follow(&mut self, bench: &Bench) {
        let circuit = bench.circuit_shared();
        if !self.of.as_ref().is_some_and(|known| Arc::ptr_eq(known, &circuit)) {
            *self = Self { of: Some(circuit), ..Self::default() };
        }
    }

    /// Follows a circuit that somebody has changed: its answers are to be found anew, and what was seen stays seen.
    pub fn rebuilt(&mut self, bench: &Bench) {
        let seen = self.finding.sights().to_vec();
        self.follow(bench);
        if self.finding.sights().is_empty() {
            seen.into_iter().for_each(|sight| self.finding.see(sight));
        }
    }

    /// What is doubtful about the circuit.
    pub fn doubtful(&self) -> &[Doubt] {
        self.doubtful.get_or_init(|| self.of.as_deref().map(check).unwrap_or_default())
    }

    /// Takes up what has come, whichever drawer asked for it.
    pub fn take_up(&mut self) {
        self.proof.take_up();
        self.table.take_up();
        self.faults.take_up();
        if let Some(circuit) = &self.of {
            self.finding.take_up(circuit);
        }
    }

    /// Begins what a drawer shows and nobody has worked out.
    pub fn work(&mut self, ctx: &egui::Context, drawer: Drawer) {
        let Some(circuit) = self.of.clone() else { return };
        match drawer {
            Drawer::Prove => {
                let work =
                    move |progress: &Progress| prove_while_wanted(&Bench::new(circuit), &Place::Anywhere, progress);
                self.proof.ask(ctx, move |progress| work(progress).map(Arc::new));
            }
            Drawer::Logic => self.table.ask(ctx, move |_| Some(table(&Bench::new(circuit)))),
            Drawer::Faults => self.faults.ask(ctx, move |progress| {
                let found = fault_table(Scene::new(circuit), &[], progress);
                (!progress.is_stopped()).then(|| found.map(FaultList::of))
            }),
            Drawer::Find => self.finding.work(ctx, &circuit),
            Drawer::Hunt | Drawer::Build | Drawer::Steps => {}
        }
    }

    /// Begins the card, once the proving acts it tells of are known, and takes it up.
    pub fn work_on_card(&mut self, ctx: &egui::Context, style: Style) {
        // Who asks for the card asks for them.
        if self.proof.is_stopped() {
            self.proof.stop(false);
        }
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
        let lists = self.proof.is_at_work() || self.table.is_at_work() || self.card.1.is_at_work();
        lists || self.faults.is_at_work() || self.finding.is_at_work() || self.hunting.is_at_work()
    }

    /// Steps done and all of them of what a drawer works out, while that is under way.
    pub fn under_way(&self, drawer: Drawer) -> Option<(usize, usize)> {
        match drawer {
            Drawer::Prove => self.proof.under_way(),
            Drawer::Logic => self.table.under_way(),
            Drawer::Faults => self.faults.under_way(),
            Drawer::Find => self.finding.under_way(),
            Drawer::Hunt | Drawer::Steps | Drawer::Build => None,
        }
    }

    /// The proving acts.
    pub fn proof(&self) -> Awaited<'_, Arc<Proof>> {
        self.proof.awaited()
    }

    /// Whether the search for proving acts was stopped.
    pub fn proof_stopped(&self) -> bool {
        self.proof.is_stopped()
    }

    /// Stops the search for proving acts, or lets it be worked out after all.
    pub fn stop_proof(&mut self, stopped: bool) {
        self.proof.stop(stopped);
    }

    /// The fault table, or why there is none.
    pub fn faults(&self) -> Awaited<'_, Result<FaultList, Refusal>> {
        self.faults.awaited()
    }

    /// Whether the fault table was stopped.
    pub fn faults_stopped(&self) -> bool {
        self.faults.is_stopped()
    }

    /// Stops the fault table, or lets it be worked out after all.
    pub fn stop_faults(&mut self, stopped: bool) {
        self.faults.stop(stopped);
    }

    /// The logic table, or why there is none.
    pub fn table(&self) -> Awaited<'_, Result<Table, Refusal>> {
        self.table.awaited()
    }
}

/// Dots to the inch of the preview: the page as high as a large window is, and no larger, for it is kept in memory.
const PREVIEW_DPI: f32 = 112.0;

fn card_page(
    circuit: Arc<Circuit>,
    proof: &Proof,
    (size, symbols, language, measure): Style,
) -> Result<CardPage, Unprintable> {
    let page = sheet::card_in(language, &Card::of_proof(&Bench::new(circuit), proof, symbols, measure), size);
    let svg = page.svg();
    let pixels = pixels(&svg, PREVIEW_DPI)?;
    let size = [pixels.width as usize, pixels.height as usize];
    let image = Arc::new(ColorImage::from_rgba_premultiplied(size, &pixels.rgba));
    Ok(CardPage { svg, title: page.title().to_owned(), image })
}
