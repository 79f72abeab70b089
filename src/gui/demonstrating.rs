//! A demonstration on the bench: made from what was done, gone through step by step, written to.
//!
//! Part of [`apply`](super::apply). Yields [`Demonstrating`], what is kept of it beside the bench, and [`DemoStep`], what
//! can be asked. Its steps are done on the bench like any act, so undo, the ledger and the circuit beside know of them.

use std::sync::Arc;

use crate::bench::demonstration::Demonstration;
use crate::bench::{Action, Bench};
use crate::study::demonstration::{Brought, Gone, Through, through};
use crate::words::Words;

use super::app::App;
use super::bay::Bay;
use super::clock::Clock;
use super::command::Source;
use super::filing;
use super::loading::refused_report;
use super::papers::Papers;
use super::seen::Drawer;
use super::session::Session;
use super::tongue::t;
use super::{placing, steps, together};

/// Seconds of the clock that are no time left.
const LEAST_S: f64 = 1e-6;

/// What a person should know about the circuit of a demonstration that was opened.
#[derive(Clone, Debug, PartialEq)]
pub struct About {
    /// That it has changed, or is not where it was, with the mend.
    pub words: Words,
    /// Its text as it is now, where that is another.
    pub now: Option<String>,
}

/// A demonstration on the bench.
#[derive(Clone, Debug)]
pub struct Demonstrating {
    /// Its steps.
    pub demonstration: Demonstration,
    /// What each of them brings about, and the time before it.
    pub gone: Vec<Gone>,
    /// What the time after the last of them brings about.
    pub then: Option<Brought>,
    /// How many of them are done.
    pub at: usize,
    /// The step ahead is told before it is done.
    pub tells_ahead: bool,
    /// What there is to know about its circuit.
    pub about: Option<About>,
}

/// One thing asked about a demonstration.
#[derive(Clone, Debug, PartialEq)]
pub enum DemoStep {
    /// Make one of all that was done.
    Make,
    /// Have so many steps done; one more than there are is its end, after the time that passes then.
    Go(usize),
    /// Go so many steps on, or back.
    Move(isize),
    /// Tell the step ahead, or not.
    TellAhead(bool),
    /// Say what it shows.
    Title(String),
    /// Write a line to the step of this place.
    Write(usize, String),
    /// Go through it on the circuit as it is now.
    OnCircuitNow,
    /// Put it away; what is done stays done.
    PutAway,
}

impl Demonstrating {
    /// A demonstration with what its steps bring about, none of them done.
    pub(super) fn of(through: Through) -> Self {
        let Through { demonstration, gone, then, .. } = through;
        Self { demonstration, gone, then, at: 0, tells_ahead: false, about: None }
    }

    /// Sees how many steps are done on a bench, where it stands as some of them make it: also when they were undone or done
    /// by hand.
    pub(super) fn follow(&mut self, bench: &Bench) {
        let done = bench.journal().count();
        let steps = self.demonstration.steps.iter().map(|step| &step.does);
        if done <= self.demonstration.steps.len() && bench.journal().eq(steps.take(done)) {
            self.at = done;
        }
    }

    /// Whether time is still to pass after its last step, on the clock as it stands.
    pub fn has_time_left(&self, clock: Option<&Clock>) -> bool {
        let Demonstration { steps, then_s, .. } = &self.demonstration;
        let is_short = |clock: &Clock| clock.at_s() < self.demonstration.end_s() - LEAST_S;
        self.at == steps.len() && *then_s > 0.0 && clock.is_none_or(is_short)
    }

    /// Which of [`DemoStep::Go`]'s places it stands at, on the clock as it stands.
    fn place(&self, clock: Option<&Clock>) -> usize {
        let count = self.demonstration.steps.len();
        let is_at_end = self.at == count && self.demonstration.then_s > 0.0 && !self.has_time_left(clock);
        self.at + usize::from(is_at_end)
    }

    /// Whether a bench stands as its steps so far have made it, and nothing else was done.
    pub fn is_in_step(&self, bench: &Bench) -> bool {
        let done = self.demonstration.steps.iter().take(self.at).map(|step| &step.does);
        self.at <= self.demonstration.steps.len() && bench.journal().eq(done)
    }
}

/// Everything done on a circuit as a demonstration, with nothing written to it.
pub(super) fn of_journal(session: &Session, papers: &Papers) -> Demonstration {
    let title = session.bench().circuit().title();
    let done = session.bench().journal().cloned();
    let demonstration = Demonstration::of(title, papers.origin.clone(), papers.text.clone(), done);
    demonstration.at(&session.times())
}

/// One thing asked about a demonstration.
pub(super) fn demonstrate(app: &mut App, step: DemoStep) {
    if app.front.session.eyes().is_some() {
        app.front.desk.said = t!("demonstrating-waits-while-a-hunt").to_owned();
        return;
    }
    let bay = &mut app.front;
    match step {
        DemoStep::Make => make(bay),
        DemoStep::Go(at) => go(app, at),
        DemoStep::Move(by) => {
            if let Some(showing) = &bay.demonstrating {
                let to = showing.place(bay.session.clock()).saturating_add_signed(by);
                go(app, to);
            }
        }
        DemoStep::OnCircuitNow => on_circuit_now(app),
        DemoStep::PutAway => bay.demonstrating = None,
        DemoStep::TellAhead(tells) => with(bay, |showing| showing.tells_ahead = tells),
        DemoStep::Title(title) => with(bay, |showing| showing.demonstration.title = title),
        DemoStep::Write(place, says) => with(bay, |showing| {
            if let Some(step) = showing.demonstration.steps.get_mut(place) {
                step.says = says;
            }
        }),
    }
}

fn with(bay: &mut Bay, change: impl FnOnce(&mut Demonstrating)) {
    if let Some(showing) = &mut bay.demonstrating {
        change(showing);
    }
}

fn make(bay: &mut Bay) {
    let through = through(of_journal(&bay.session, &bay.papers), bay.papers.as_begun(bay.session.bench()));
    let mut showing = Demonstrating::of(through);
    showing.at = showing.demonstration.steps.len();
    bay.demonstrating = Some(showing);
}

/// Has so many steps done: one after the other where nothing else was done since, else anew from the circuit as built.
fn go(app: &mut App, to: usize) {
    let Some(showing) = &app.front.demonstrating else { return };
    let count = showing.demonstration.steps.len();
    let (to_end, to) = (to > count && showing.demonstration.then_s > 0.0, to.min(count));
    let takes_time = showing.demonstration.takes_time();
    // What has passed does not come back by undoing: before it everything is done anew.
    let is_way_back = takes_time && !to_end && to < showing.place(app.front.session.clock());
    if showing.is_in_step(app.front.session.bench()) {
        if is_way_back {
            anew(app, to);
            return;
        }
        while let Some(showing) = &app.front.demonstrating {
            let at = showing.at;
            if at == to {
                break;
            }
            let on = (at < to).then(|| showing.demonstration.steps[at].does.clone());
            let next = if at < to { at + 1 } else { at - 1 };
            let before = super::row::steps(&app.front);
            let moment = showing.demonstration.runs_at(next).then(|| showing.demonstration.moment(next));
            match on {
                Some(action) => {
                    moment.into_iter().for_each(|moment| pass_to(app, moment));
                    together::act(app, &action);
                }
                None => together::step(app, &Action::Undo),
            }
            if super::row::steps(&app.front) == before {
                // What was refused is said.
                return;
            }
            with(&mut app.front, |showing| showing.at = next);
        }
        if to_end {
            let end_s = app.front.demonstrating.as_ref().map(|showing| showing.demonstration.end_s());
            end_s.into_iter().for_each(|end_s| pass_to(app, end_s));
        }
        return;
    }
    match filing::keep_before(app) {
        Err(why) => app.front.desk.said = t!("filing-what-is-here-cannot-be", why),
        Ok(()) => {
            anew(app, to);
            app.front.desk.said = t!("demonstrating-something-else-had").to_owned();
        }
    }
}

/// Takes the clocks out that are meant, and has them run on to a moment.
fn pass_to(app: &mut App, at_s: f64) {
    let units = app.look.units;
    for bay in together::meant(app) {
        if bay.session.clock().is_none() {
            bay.session.take_clock(true, units);
        }
        bay.with_clock(|clock| clock.run_on_to(at_s));
    }
}

/// The circuit as built with so many steps done.
fn anew(app: &mut App, to: usize) {
    let bay = &mut app.front;
    let Some(showing) = &mut bay.demonstrating else { return };
    let begun = bay.papers.as_begun(bay.session.bench());
    showing.at = to;
    let shown = &showing.demonstration;
    if shown.runs_at(to) {
        let (start, _) = shown.up_to(shown.before_clock).replay(begun);
        let steps = shown.steps.iter().enumerate().take(to).skip(shown.before_clock);
        let did: Vec<_> = steps.map(|(place, step)| (shown.moment(place + 1), step.does.clone())).collect();
        bay.session = Session::on(start.clone());
        bay.session.take_clock_again(start, did, shown.moment(to));
    } else {
        let (bench, _) = shown.up_to(to).replay(begun);
        bay.session = Session::on(bench);
    }
    bay.desk.instruments = bay.desk.instruments.as_on(bay.session.bench());
    bay.desk.selected = None;
    bay.forget_strides();
    app.row.forget(bay.number);
}

/// Takes the circuit as it is now in place of the one that the demonstration holds.
fn on_circuit_now(app: &mut App) {
    let Some(showing) = &app.front.demonstrating else { return };
    let Some(text) = showing.about.as_ref().and_then(|about| about.now.clone()) else { return };
    let demonstration = Demonstration { text: text.clone(), ..showing.demonstration.clone() };
    let origin = demonstration.circuit.clone();
    let tells_ahead = showing.tells_ahead;
    let mut loaded = match super::loading::load(&Source::Made(text)) {
        Ok(loaded) => loaded,
        Err(unsound) => {
            app.room.dialog = Some(unsound.into());
            return;
        }
    };
    if let Err(why) = filing::keep_before(app) {
        app.front.desk.said = t!("filing-what-is-here-cannot-be", why);
        return;
    }
    steps::put_hunt_away(app);
    let through = through(demonstration, Arc::clone(&loaded.circuit));
    let report = refused_report(&through.refused);
    loaded.origin = origin;
    loaded.demonstrating = Some(Demonstrating { tells_ahead, ..Demonstrating::of(through) });
    placing::put(app, loaded, report);
}

/// Shows the drawer where what was opened is a demonstration.
pub(super) fn show(app: &mut App) {
    if app.front.demonstrating.is_some() {
        app.room.drawer = Some(Drawer::Steps);
        app.is_set_out = true;
        app.room.unfolded.set(super::space::Fold::Beside(super::space::Beside::Drawer), true);
    }
}
