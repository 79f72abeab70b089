//! A find in the window: what was seen so far, what remains after it, and how far the bench has come along.
//!
//! Yields [`Finding`]. What remains and which test comes next is the study's, worked out beside the window; the drawing
//! is told how much suspicion lies where. Setting the bench up for a test is [`apply`](super::apply)'s.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::Context;

use crate::bench::{Bench, Fault, Reading, Setting};
use crate::circuit::Circuit;
use crate::drawing::standing::place_of_fault;
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Memory;
use crate::study::answer::{Standing, Subject};
use crate::study::find::sight::{Setup, Sight};
use crate::study::find::{Case, Found, Options, Test, Unfit, find_while_wanted, situations};
use crate::study::progress::Progress;

use super::condition::{Condition, Units};
use super::studies::{Awaited, Study};

/// One step of a find.
#[derive(Clone, Debug, PartialEq)]
pub enum FindStep {
    /// This was seen.
    See(Sight),
    /// That was not seen after all, by its place.
    TakeBack(usize),
    /// Begin anew.
    Anew,
    /// An instrument is at hand, or is not.
    AtHand(&'static str, bool),
    /// Do not work it out, or do after all.
    Stop(bool),
    /// Set the bench up for a test.
    CarryOut(Setup, Reading),
    /// Put right what these are.
    Mend(Vec<Fault>),
    /// Go through a step of the proof, by its place.
    Prove(usize),
}

/// A test that was carried out, and how the bench stood then.
#[derive(Debug)]
struct CarriedOut {
    inputs: Inputs,
    memory: Memory,
    setup: Setup,
    reading: Reading,
}

/// A find, as far as it has come.
#[derive(Debug, Default)]
pub struct Finding {
    sights: Vec<Sight>,
    options: Options,
    situations: Vec<Setup>,
    answer: Study<Result<Found, Unfit>>,
    suspicion: BTreeMap<Subject, f64>,
    carried_out: Option<CarriedOut>,
    mended: Option<Vec<Fault>>,
    proved: BTreeMap<usize, Standing>,
}

impl Finding {
    /// Begins to work an answer out where there is none.
    pub fn work(&mut self, ctx: &Context, circuit: &Arc<Circuit>) {
        if self.situations.is_empty() {
            self.situations = situations(&case(circuit));
        }
        let (case, sights, options) = (case(circuit), self.sights.clone(), self.options.clone());
        let work = move |progress: &Progress| find_while_wanted(&case, &sights, &options, false, progress);
        self.answer.ask(ctx, move |progress| {
            let found = work(progress);
            (!progress.is_stopped()).then_some(found)
        });
    }

    /// Takes up what has come.
    pub fn take_up(&mut self, circuit: &Circuit) {
        if self.answer.take_up() {
            self.suspicion = match self.answer.known() {
                Some(Ok(found)) => suspicion(circuit, found),
                Some(Err(_)) | None => BTreeMap::new(),
            };
        }
    }

    fn changed(&mut self) {
        self.answer = Study::default();
        self.suspicion.clear();
        self.mended = None;
        self.proved.clear();
    }

    /// Takes note of something seen.
    pub fn see(&mut self, sight: Sight) {
        self.sights.push(sight);
        self.changed();
    }

    /// Takes one of the things seen back.
    pub fn take_back(&mut self, place: usize) {
        if place < self.sights.len() {
            self.sights.remove(place);
            self.changed();
        }
    }

    /// Forgets all that was seen.
    pub fn begin_anew(&mut self) {
        self.sights.clear();
        self.changed();
    }

    /// Says whether an instrument is at hand.
    pub fn have_at_hand(&mut self, instrument: &str, at_hand: bool) {
        if at_hand {
            self.options.instruments.insert(instrument.to_owned());
        } else {
            self.options.instruments.remove(instrument);
        }
        self.changed();
    }

    /// Stops what is being worked out, or goes on with it.
    pub fn stop(&mut self, stopped: bool) {
        self.answer.stop(stopped);
    }

    /// Takes note that the bench stands as a test wants it.
    pub fn set_up(&mut self, bench: &Bench, setup: Setup, reading: Reading) {
        let (inputs, memory) = (bench.inputs().clone(), bench.outcome().memory.clone());
        self.carried_out = Some(CarriedOut { inputs, memory, setup, reading });
    }

    /// Takes note of what was put right; its proof is still to come.
    pub fn mend(&mut self, faults: Vec<Fault>) {
        self.mended = Some(faults);
        self.proved.clear();
    }

    /// Takes note of what the fan did at a step of the proof.
    pub fn prove(&mut self, place: usize, standing: Standing) {
        self.proved.insert(place, standing);
    }

    /// What was seen so far.
    pub fn sights(&self) -> &[Sight] {
        &self.sights
    }

    /// When a driver can have noticed something.
    pub fn situations(&self) -> &[Setup] {
        &self.situations
    }

    /// Whether an instrument is at hand.
    pub fn has_at_hand(&self, instrument: &str) -> bool {
        self.options.instruments.contains(instrument)
    }

    /// What remains, as far as it is known.
    pub fn found(&self) -> Awaited<'_, Result<Found, Unfit>> {
        self.answer.awaited()
    }

    /// Whether something is being worked out.
    pub fn is_at_work(&self) -> bool {
        self.answer.is_at_work()
    }

    /// Steps done and all of them, while it is being worked out.
    pub fn under_way(&self) -> Option<(usize, usize)> {
        self.answer.under_way()
    }

    /// Whether working it out was stopped.
    pub fn is_stopped(&self) -> bool {
        self.answer.is_stopped()
    }

    /// Shares of suspicion in the drawing, from 0 to 1; what may be several things counts with each.
    pub fn suspicion(&self) -> &BTreeMap<Subject, f64> {
        &self.suspicion
    }

    /// The test to make next.
    pub fn next(&self) -> Option<&Test> {
        self.answer.known()?.as_ref().ok()?.next.as_ref()
    }

    /// Whether the bench stands as a test wants it: as it stood when that was carried out, also where it was changed and
    /// brought back since.
    pub fn is_set_up(&self, bench: &Bench, test: &Test) -> bool {
        self.carried_out.as_ref().is_some_and(|done| {
            (&done.setup, &done.reading) == (&test.setup, &test.reading)
                && done.inputs == *bench.inputs()
                && done.memory == bench.outcome().memory
        })
    }

    /// What was put right last and is so on the bench: undone, it is not mended any more.
    pub fn mended_on(&self, bench: &Bench) -> Option<&[Fault]> {
        let is_right = |faults: &&[Fault]| faults.iter().all(|fault| !bench.faults().contains(fault));
        self.mended.as_deref().filter(is_right)
    }

    /// Whether what was wrong has been put right, as far as the proof has gone: then nothing is suspected any more.
    pub fn is_put_right(&self, bench: &Bench) -> bool {
        let Awaited::Known(Ok(found)) = self.found() else { return false };
        let came_out =
            |(place, (_, must)): (usize, &(Setup, Standing))| self.proved(place).is_none_or(|is| is == *must);
        self.mended_on(bench).is_some() && found.proof.iter().enumerate().all(came_out)
    }

    /// What the fan did at a step of the proof.
    pub fn proved(&self, place: usize) -> Option<Standing> {
        self.proved.get(&place).copied()
    }
}

/// The truck as built, under the usual conditions: what was seen says its own.
fn case(circuit: &Arc<Circuit>) -> Case {
    Case { circuit: Arc::clone(circuit), settings: Vec::new(), acts: Vec::new(), known: Vec::new() }
}

/// How much of what remains lies at each place of the drawing.
fn suspicion(circuit: &Circuit, found: &Found) -> BTreeMap<Subject, f64> {
    let all: f64 = found.suspects.iter().map(|suspect| suspect.weight).sum();
    let mut shares = BTreeMap::new();
    for suspect in &found.suspects {
        for fault in &suspect.faults {
            if let Some(place) = place_of_fault(circuit, fault) {
                *shares.entry(place).or_insert(0.0) += suspect.weight / all;
            }
        }
    }
    shares
}

/// How the bench is set up, against the truck as built under the usual conditions.
pub fn setup_of(bench: &Bench, units: Units) -> Setup {
    let (now, usual) = (bench.conditions(), Conditions::default());
    Setup { with: settings_to(&usual, now, units), after: bench.acts().cloned().collect() }
}

/// What brings some conditions to others.
pub fn settings_to(from: &Conditions, to: &Conditions, units: Units) -> Vec<Setting> {
    const LEAST: f64 = 0.05;
    let moved = |condition: &Condition| (condition.now(from, units) - condition.now(to, units)).abs() > LEAST;
    let scales = Condition::ALL.into_iter().filter(moved);
    let scales = scales.map(|condition| condition.setting(condition.now(to, units), units));
    let key = (from.key_on != to.key_on).then_some(Setting::Key(to.key_on));
    let bolts = (from.bolted != to.bolted).then_some(Setting::Bolts(to.bolted));
    key.into_iter().chain(scales).chain(bolts).collect()
}
