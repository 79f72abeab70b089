//! Acts on the bench in front and, where that is wanted, the same on the one beside it.
//!
//! Part of [`apply`](super::apply). What one of the two cannot have is said in the tray with its reason, and is not done
//! there. An act done on both goes back on both: the row remembers which steps belong together.

use crate::bench::{Act, Action, Bench, Refusal, Setting};
use crate::study::answer::Subject;

use super::app::App;
use super::bay::Bay;
use super::build;
use super::clock::Clock;
use super::row::steps;
use super::tongue::{t, worded};
use super::tool::Tool;
use super::words;

/// The circuits that are meant by what is done in front: that one, and the one beside it where both are to have the same.
pub(super) fn meant(app: &mut App) -> impl Iterator<Item = &mut Bay> {
    let beside = if app.row.together { app.row.beside_mut() } else { None };
    std::iter::once(&mut app.front).chain(beside)
}

/// Does something with the clocks that are meant.
pub(super) fn clocks(app: &mut App, act: impl Fn(&mut Clock)) {
    meant(app).for_each(|bay| bay.with_clock(&act));
}

/// Makes one change in front, and where both are meant beside it.
pub(super) fn act(app: &mut App, action: &Action) {
    match action {
        Action::Undo | Action::Redo => stride(app, action),
        Action::PutAllBack if app.front.session.eyes().is_some() => {
            // On a truck one thing after the other is put back.
            let done: Vec<Act> = app.front.session.bench().acts().cloned().collect();
            done.into_iter().rev().for_each(|done| act(app, &Action::PutBack(done)));
        }
        _ => on_meant(app, &|bay| act_on(bay, action.clone())),
    }
}

/// Puts the instruments of the circuit in front to the same places of the one beside it, where both are meant. What is
/// not there is said; in a hunt, where each reading counts, nothing is put on.
pub(super) fn instruments(app: &mut App) {
    let now = app.front.desk.instruments.clone();
    let beside = if app.row.together { app.row.beside_mut() } else { None };
    let Some(beside) = beside.filter(|bay| bay.session.hunt().is_none()) else { return };
    match now.missing_on(beside.session.bench()) {
        None => beside.desk.instruments = now,
        Some(what) => app.front.desk.said = t!("together-nothing-to-put-it-on", beside = beside.name, what),
    }
}

/// Makes one change in front alone.
pub(super) fn alone(app: &mut App, action: Action) {
    let before = steps(&app.front);
    if act_on(&mut app.front, action).is_ok() {
        app.row.forget_after(app.front.number, before);
    }
}

/// Ends a drag on a setting, in front and where both are meant beside it.
pub(super) fn let_go(app: &mut App, setting: Setting) {
    on_meant(app, &|bay| {
        let done = bay.session.let_go(setting);
        bay.desk.said = done.as_ref().err().map(|why| worded(&why.told())).unwrap_or_default();
        done
    });
}

/// Does something in front and, if it could be done there and both are meant, beside it.
fn on_meant(app: &mut App, act: &dyn Fn(&mut Bay) -> Result<(), Refusal>) {
    let before = steps(&app.front);
    if act(&mut app.front).is_err() {
        return;
    }
    app.row.forget_after(app.front.number, before);
    if !app.row.together {
        return;
    }
    let Some(beside) = app.row.beside_mut() else { return };
    let (number, before) = (beside.number, steps(beside));
    let said = std::mem::take(&mut beside.desk.said);
    match act(beside) {
        Ok(()) => {
            let is_step = steps(beside) > before;
            app.row.forget_after(number, before);
            // In a hunt nothing is undone.
            let hunts =
                app.front.session.hunt().is_some() || app.row.beside().is_none_or(|b| b.session.hunt().is_some());
            if is_step && !hunts {
                app.row.join(&app.front);
            }
        }
        Err(refusal) => {
            beside.desk.said = said;
            app.front.desk.said = t!("together-not-done-on", beside = beside.name, refusal);
        }
    }
}

/// Goes back or forward in front by as much as was asked for at once.
fn stride(app: &mut App, action: &Action) {
    let here = steps(&app.front);
    let mut said = None;
    // With nothing to go to, that is refused and said.
    for _ in 0..app.front.steps_after(action).abs_diff(here).max(1) {
        let before = steps(&app.front);
        step(app, action);
        if steps(&app.front) == before {
            return;
        }
        // The first step is said to be all of them.
        said.get_or_insert_with(|| app.front.desk.said.clone());
    }
    let there = steps(&app.front);
    app.front.lay_again(here, there);
    app.front.desk.said = said.unwrap_or_default();
}

/// Goes a step back or forward in front; where it was done on two at once, on both.
pub(super) fn step(app: &mut App, action: &Action) {
    let here = steps(&app.front);
    let is_undo = *action == Action::Undo;
    let joined = app.row.joined_with(app.front.number, if is_undo { here } else { here + 1 });
    if act_on(&mut app.front, action.clone()).is_err() {
        return;
    }
    let Some((number, there)) = joined else { return };
    let said = app.front.desk.said.clone();
    let Some(other) = app.row.get_mut(&mut app.front, number) else { return };
    let now = if is_undo { steps(other) } else { steps(other) + 1 };
    let done = now == there && act_on(other, action.clone()).is_ok();
    let name = other.name.clone();
    app.front.desk.said = match (done, is_undo) {
        (true, _) => t!("together-on-too", said, name),
        (false, true) => t!("together-on-other-things-were-done", said, name),
        (false, false) => t!("together-on-other-things-were-done-2", said, name),
    };
}

/// Makes one change on a circuit; what it refuses is said there.
fn act_on(bay: &mut Bay, action: Action) -> Result<(), Refusal> {
    let clipped = matches!(action, Action::Do(Act::Jump { .. }));
    let bench = bay.session.bench();
    let named = |action| words::action(bench.circuit(), action);
    let told = match &action {
        Action::Undo => bay.strides.undoable(bench).map(|a| t!("together-undone", a = named(a))),
        Action::Redo => bay.strides.redoable(bench).map(|a| t!("apply-done-again", a = named(a))),
        _ => None,
    };
    let circuit = bench.circuit_shared();
    let built = match &action {
        Action::Build(change) => Some(change.clone()),
        _ => None,
    };
    let done = bay.session.apply(action);
    match &done {
        Ok(()) => {
            bay.papers.taken_up = false;
            bay.desk.said = told.unwrap_or_default();
            build::follow(bay, &circuit, built.as_ref());
            if clipped && matches!(bay.desk.tool, Tool::Lead { .. }) {
                // The lead stays where it was put; the tray hands out another.
                bay.desk.tool = Tool::Lead { first: None };
            }
        }
        Err(refusal) => bay.desk.said = worded(&refusal.told()),
    }
    // A wire end or lead that is gone can no longer be looked at.
    if let Some(subject) = bay.desk.selected
        && is_gone(bay.session.bench(), subject)
    {
        bay.desk.selected = None;
    }
    done
}

fn is_gone(bench: &Bench, subject: Subject) -> bool {
    match subject {
        Subject::Lead(number) => bench.act_of_lead(number).is_none(),
        Subject::Part(_) | Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) => false,
    }
}

/// Puts everything back on a circuit and makes every planted fault right.
pub(super) fn put_right(bay: &mut Bay) {
    if bay.session.eyes().is_some() {
        let done: Vec<Act> = bay.session.bench().acts().cloned().collect();
        // What is refused is said there.
        done.into_iter().rev().for_each(|done| drop(act_on(bay, Action::PutBack(done))));
    } else {
        let _ = act_on(bay, Action::PutAllBack);
    }
    for fault in bay.session.bench().faults().to_vec() {
        let _ = act_on(bay, Action::Repair(fault));
    }
}
