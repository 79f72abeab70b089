//! Carries out what the panels asked for, at the end of the frame, in order.
//!
//! The only place where the window's state changes and where the bench is acted on. What the bench refuses is said
//! in the tray in the bench's own words.

use std::path::Path;

use egui::{Context, ViewportCommand};

use crate::bench::{Act, Action, Bench};
use crate::disk::replace;
use crate::report::embed::with_font;
use crate::report::paper;
use crate::study::answer::Subject;

use super::app::App;
use super::build::{self, Hold};
use super::clock::Clock;
use super::command::{Answer, Command, Dialog, Leaving, Source};
use super::dress::Dress;
use super::filing;
use super::instrument::{Device, Handling};
use super::space::{Beside, Fold};
use super::steps;
use super::studies::Awaited;
use super::tool::Tool;
use super::words;

/// Dots to the inch of a card written as PNG.
const PRINT_DPI: f32 = 300.0;

/// Carries out one command.
pub fn apply(app: &mut App, ctx: &Context, command: Command) {
    match command {
        Command::Act(action) => act(app, action),
        Command::Try(setting) => app.session.try_setting(setting),
        Command::LetGo(setting) => {
            let done = app.session.let_go(setting);
            app.desk.said = done.err().map(|refusal| refusal.to_string()).unwrap_or_default();
        }
        Command::PickUp(kind) => {
            if app.desk.is_building() {
                // A tool is for the truck: whoever takes one up has done with changing the circuit.
                app.desk.drawer = None;
                build::turned(app);
            }
            if app.desk.tool.kind() != kind {
                app.desk.instruments = app.desk.instruments.without_half();
            }
            app.desk.tool = Tool::fresh(kind);
            app.desk.said.clear();
        }
        Command::PutToolBack => {
            app.desk.building.hold = Hold::Nothing;
            app.desk.tool = Tool::Hand;
            app.desk.instruments = app.desk.instruments.without_half();
            app.desk.said.clear();
        }
        Command::FuseLead(fuse) => app.desk.fuse = fuse,
        Command::FirstClip(point) => {
            app.desk.tool = Tool::Lead { first: Some(point) };
            app.desk.said.clear();
        }
        Command::Handle(device, handling) => handle(app, device, &handling),
        Command::Select(subject) => app.desk.selected = subject,
        Command::ShowLink(link) if app.session.eyes().is_none() => app.desk.link = link,
        Command::ShowLink(_) => {}
        Command::Ask(dialog) => {
            if dialog == Some(Dialog::Open) {
                filing::list_before(app);
            }
            app.desk.dialog = dialog;
        }
        Command::Open(source) => open(app, source),
        Command::Leave(answer) => leave(app, ctx, answer),
        Command::Sheet(sheet) => dress(app, ctx, Dress::new(sheet, app.dress.text_scale())),
        Command::Symbols(symbols) => app.look.symbols = symbols,
        Command::Units(units) => app.look.units = units,
        Command::Readings(readings) => app.look.readings = readings,
        Command::TextScale(Some(by)) => dress(app, ctx, app.dress.sized(by)),
        Command::TextScale(None) => dress(app, ctx, Dress::new(app.dress.sheet, 1.0)),
        Command::View(asked) => app.board.view.make(asked),
        Command::Fold(what, out) => app.desk.unfolded.set(what, out),
        Command::Pull(drawer) => {
            let was_building = app.desk.is_building();
            app.desk.drawer = drawer;
            if was_building != app.desk.is_building() {
                build::turned(app);
            }
            app.desk.unfolded.set(Fold::Beside(Beside::Drawer), drawer.is_some());
        }
        Command::Prove(what) => app.desk.proving = what,
        Command::TryAll(acts) => {
            // Done from the list: whatever tool is in hand stays there.
            let tool = app.desk.tool.clone();
            acts.into_iter().for_each(|done| act(app, Action::Do(done)));
            app.desk.tool = tool;
        }
        Command::PutBackAll(acts) => acts.into_iter().rev().for_each(|done| act(app, Action::PutBack(done))),
        Command::StopFaults(stopped) => app.studies.stop_faults(stopped),
        Command::File(step) => filing::step(app, ctx, step),
        Command::Find(step) => steps::find(app, step),
        Command::Hunt(step) => steps::hunt(app, ctx, step),
        Command::Paper(size) => app.look.paper = size,
        Command::WriteCard(path) => write_card(app, &path),
        Command::Clock(true) if app.session.eyes().is_some() => {
            app.desk.said = "A hunt counts its minutes by itself; the clock stays away.".to_owned();
        }
        Command::Clock(out) => {
            app.session.take_clock(out, app.look.units);
            app.desk.said = if out {
                "The clock is out: nothing happens until time passes.".to_owned()
            } else {
                "The clock is put away: conditions stay as they had become, all else stands as after a long time."
                    .to_owned()
            };
        }
        Command::Play(playing) => app.with_clock(|clock| clock.playing = playing),
        Command::StepClock => app.with_clock(Clock::step),
        Command::Speed(speed) => app.with_clock(|clock| clock.speed = speed),
        Command::BackTo(at_s) => app.with_clock(|clock| clock.back_to(at_s)),
        Command::ForwardAgain => app.with_clock(Clock::forward),
        Command::Motion(motion) => app.look.motion = motion,
        Command::Build(step) => build::step(app, ctx, step),
        Command::CloseSuggestion => app.desk.suggestion = None,
        Command::Say(words) => app.desk.said = words,
    }
}

/// Puts another sheet or another size of letters on the window.
pub(super) fn dress(app: &mut App, ctx: &Context, dress: Dress) {
    app.dress = dress;
    dress.put_on(ctx);
}

/// Does something with an instrument; what has to come off for it is said in the tray.
fn handle(app: &mut App, device: Device, handling: &Handling) {
    let now = app.desk.instruments.as_on(app.session.bench());
    app.desk.said.clear();
    if matches!(handling, Handling::Touch(_) | Handling::Wire(_))
        && let Some(other) = now.gives_way(device)
    {
        app.desk.said = format!("{} taken off: one instrument at a time is on the circuit.", other.name());
    }
    if matches!(handling, Handling::TakeUp(_)) {
        app.desk.tool = Tool::Instrument(device);
    }
    app.desk.instruments = now.after(device, handling);
    if app.session.eyes().is_some()
        && matches!(handling, Handling::Touch(_) | Handling::Wire(_))
        && let Err(refusal) = app.session.read_in_hunt(&app.desk.instruments, device)
    {
        app.desk.said = refusal.to_string();
    }
}

/// Writes the card; what came of it is said in the tray and under the card.
fn write_card(app: &mut App, path: &Path) {
    let Awaited::Known(Ok(card)) = app.studies.card() else { return };
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let made = match ending.as_deref() {
        Some("pdf") => paper::pdf(&card.svg, &card.title).map_err(|why| format!("{}; {}", why.message, why.mend)),
        Some("svg") => Ok(with_font(&card.svg).into_bytes()),
        Some("png") => paper::png(&card.svg, PRINT_DPI).map_err(|why| format!("{}; {}", why.message, why.mend)),
        _ => Err(format!("`{}` does not say in which form; end it in .pdf, .svg or .png", path.display())),
    };
    let written = made.and_then(|bytes| replace(&bytes, path).map_err(|why| format!("{}; {}", why.message, why.mend)));
    app.desk.said = written.map_or_else(|why| why, |()| format!("Wrote {}", path.display()));
}

fn act(app: &mut App, action: Action) {
    if action == Action::PutAllBack && app.session.eyes().is_some() {
        // On a truck one thing after the other is put back.
        let done: Vec<Act> = app.session.bench().acts().cloned().collect();
        done.into_iter().rev().for_each(|done| act(app, Action::PutBack(done)));
        return;
    }
    let clipped = matches!(action, Action::Do(Act::Jump { .. }));
    let bench = app.session.bench();
    let named = |action| words::action(bench.circuit(), action);
    let told = match &action {
        Action::Undo => bench.undoable().map(|a| format!("Undone: {}", named(a))),
        Action::Redo => bench.redoable().map(|a| format!("Done again: {}", named(a))),
        _ => None,
    };
    let circuit = bench.circuit_shared();
    let built = match &action {
        Action::Build(change) => Some(change.clone()),
        _ => None,
    };
    match app.session.apply(action) {
        Ok(()) => {
            app.filing.taken_up = false;
            app.desk.said = told.unwrap_or_default();
            build::follow(app, &circuit, built.as_ref());
            if clipped {
                // The lead stays where it was put; the tray hands out another.
                app.desk.tool = Tool::Lead { first: None };
            }
        }
        Err(refusal) => app.desk.said = refusal.to_string(),
    }
    // A wire end or lead that is gone can no longer be looked at.
    if let Some(subject) = app.desk.selected
        && is_gone(app.session.bench(), subject)
    {
        app.desk.selected = None;
    }
}

fn is_gone(bench: &Bench, subject: crate::study::answer::Subject) -> bool {
    match subject {
        Subject::Lead(number) => bench.act_of_lead(number).is_none(),
        Subject::Part(_) | Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) => false,
    }
}

fn open(app: &mut App, source: Source) {
    steps::put_hunt_away(app);
    if !app.session.bench().changes().is_empty() || app.filing.is_changed() {
        app.desk.dialog = Some(Dialog::Leaving(Leaving::Open(source)));
        return;
    }
    filing::open(app, &source);
}

fn leave(app: &mut App, ctx: &Context, answer: Answer) {
    let Some(Dialog::Leaving(leaving)) = app.desk.dialog.take() else { return };
    match answer {
        Answer::Stay => return,
        Answer::PutBack => {
            act(app, Action::PutAllBack);
            for fault in app.session.bench().faults().to_vec() {
                act(app, Action::Repair(fault));
            }
        }
        Answer::LeaveChanged => {}
    }
    match leaving {
        Leaving::Close => {
            app.may_close = true;
            ctx.send_viewport_cmd(ViewportCommand::Close);
        }
        Leaving::Open(source) => filing::open(app, &source),
    }
}
