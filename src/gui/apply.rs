//! Carries out what the panels asked for, at the end of the frame, in order.
//!
//! The only place where the window's state changes and where the bench is acted on. What the bench refuses is said
//! in the tray in the bench's own words.

use std::path::{Path, PathBuf};

use egui::{Context, ViewportCommand};

use crate::bench::Action;
use crate::disk::replace;
use crate::report::embed::with_font;
use crate::report::paper;
use crate::study::answer::Subject;

use super::app::App;
use super::bay::Bay;
use super::board::geometry::Place;
use super::build::{self, Hold};
use super::clock::Clock;
use super::command::{Answer, Command, Dialog, Leaving, Source};
use super::demonstrating;
use super::dress::{self, Dress};
use super::filing;
use super::ids;
use super::instrument::{Device, Handling, Instruments};
use super::placing;
use super::row;
use super::seen::Drawer;
use super::space::{Beside, Fold};
use super::steps;
use super::studies::Awaited;
use super::together;
use super::tongue::{self, t, worded};
use super::tool::Tool;
use super::words::mended;
use crate::words::Language;

/// Dots to the inch of a card written as PNG.
const PRINT_DPI: f32 = 300.0;

/// Carries out one command. What it does in several steps goes back in one.
pub fn apply(app: &mut App, ctx: &Context, command: Command) {
    let goes_through = matches!(
        command,
        Command::Act(Action::Undo | Action::Redo)
            | Command::Demonstrate(_)
            | Command::BackTo(_)
            | Command::ForwardAgain
    );
    let stood = |bay: &Bay| (bay.number, row::steps(bay), bay.desk.instruments.clone());
    let before: Vec<(u32, usize, Instruments)> = app.bays().map(stood).collect();
    carry_out(app, ctx, command);
    for (number, before, instruments) in before.into_iter().filter(|_| !goes_through) {
        if let Some(bay) = app.row.get_mut(&mut app.front, number) {
            bay.did_since(before, instruments);
        }
    }
}

fn carry_out(app: &mut App, ctx: &Context, command: Command) {
    match command {
        Command::Act(action) => together::act(app, &action),
        Command::Try(setting) => together::meant(app).for_each(|bay| bay.session.try_setting(setting)),
        Command::LetGo(setting) => together::let_go(app, setting),
        // There is one hand, whichever circuit it reaches into.
        Command::PickUp(kind) => {
            // A tool is for the truck: whoever takes one up has done with changing the circuit.
            app.room.drawer = app.room.drawer.filter(|drawer| *drawer != Drawer::Build);
            for desk in app.row.all_mut(&mut app.front).map(|bay| &mut bay.desk) {
                if desk.tool.kind() != kind {
                    desk.instruments = desk.instruments.without_half();
                }
                desk.tool = Tool::fresh(kind);
                desk.said.clear();
            }
        }
        Command::PutToolBack => {
            for desk in app.row.all_mut(&mut app.front).map(|bay| &mut bay.desk) {
                desk.building.hold = Hold::Nothing;
                desk.tool = Tool::Hand;
                desk.instruments = desk.instruments.without_half();
                desk.said.clear();
            }
        }
        Command::FuseLead(fuse) => app.row.all_mut(&mut app.front).for_each(|bay| bay.desk.fuse = fuse),
        Command::FirstClip(point) => {
            app.front.desk.tool = Tool::Lead { first: Some(point) };
            app.front.desk.said.clear();
        }
        Command::Handle(device, handling) => handle(app, device, &handling),
        Command::Select(subject) => app.front.desk.selected = subject,
        Command::ShowLink(link) if app.front.session.eyes().is_none() => app.front.desk.link = link,
        Command::ShowLink(_) => {}
        Command::Ask(dialog) => {
            if dialog == Some(Dialog::Open) {
                filing::list_before(app);
            }
            if dialog == Some(Dialog::Card) {
                // What is said beside it is about the card.
                app.front.desk.said.clear();
            }
            app.room.dialog = dialog;
        }
        Command::Open(source) => open(app, source),
        Command::OpenBeside(source) => placing::open_beside(app, &source),
        Command::Bring(number) => {
            let number = number.unwrap_or_else(|| app.row.next(&app.front));
            app.row.bring(&mut app.front, number);
        }
        Command::Close(number) => close(app, number),
        Command::SideBySide(two) => app.row.side_by_side = two,
        Command::Together(together) => app.row.together = together && app.row.count() > 1,
        Command::Leave(answer) => leave(app, ctx, answer),
        Command::Sheet(sheet) => dress(app, ctx, app.dress.with(sheet, app.dress.text_scale())),
        Command::Symbols(symbols) => app.look.symbols = symbols,
        Command::Units(units) => (app.look.units, app.look.own_units) = (units, true),
        Command::Language(language) => speak(app, language),
        Command::Readings(readings) => app.look.readings = readings,
        Command::TextScale(Some(by)) => {
            if let Some(sized) = app.dress.sized_in(dress::window(ctx), by) {
                dress(app, ctx, sized);
            }
        }
        Command::TextScale(None) => dress(app, ctx, app.dress.with(app.dress.sheet, 1.0)),
        Command::Fingers(on) => dress(app, ctx, app.dress.for_fingers(Some(on))),
        Command::View(asked) => app.front.board.view.make(asked),
        Command::ToDrawing => to_drawing(app, ctx),
        Command::Fold(what, out) => app.room.unfolded.set(what, out),
        Command::Pull(drawer) => {
            app.room.drawer = drawer;
            app.room.unfolded.set(Fold::Beside(Beside::Drawer), drawer.is_some());
        }
        Command::Prove(what) => app.room.proving = what,
        Command::TryAll(acts) => {
            // Done from the list: whatever tool is in hand stays there.
            let tool = app.front.desk.tool.clone();
            acts.into_iter().for_each(|done| together::act(app, &Action::Do(done)));
            app.front.desk.tool = tool;
        }
        Command::PutBackAll(acts) => acts.into_iter().rev().for_each(|done| together::act(app, &Action::PutBack(done))),
        Command::StopProof(stopped) => app.front.studies.stop_proof(stopped),
        Command::StopFaults(stopped) => app.front.studies.stop_faults(stopped),
        Command::File(step) => filing::step(app, ctx, step),
        Command::Find(step) => steps::find(app, step),
        Command::Hunt(step) => steps::hunt(app, ctx, step),
        Command::Demonstrate(step) => demonstrating::demonstrate(app, step),
        Command::Paper(size) => app.look.paper = size,
        Command::WriteCard(path) => write_card(app, &path),
        Command::Clock(true) if app.front.session.eyes().is_some() => {
            app.front.desk.said = t!("apply-a-hunt-counts-its-minutes").to_owned();
        }
        Command::Clock(out) => {
            let units = app.look.units;
            for bay in together::meant(app).filter(|bay| bay.session.clock().is_some() != out) {
                bay.session.take_clock(out, units);
            }
            app.front.desk.said = if out {
                t!("apply-the-clock-is-out-nothing").to_owned()
            } else {
                t!("apply-the-clock-is-put-away").to_owned()
            };
        }
        Command::Play(playing) => pass_time(app, |clock| clock.playing = playing),
        Command::StepClock => pass_time(app, Clock::step),
        Command::Speed(speed) => together::clocks(app, |clock| clock.speed = speed),
        Command::BackTo(at_s) => together::clocks(app, |clock| clock.back_to(at_s)),
        Command::ForwardAgain => together::clocks(app, Clock::forward),
        Command::Motion(motion) => app.look.motion = motion,
        Command::Build(step) => build::step(app, step),
        Command::CloseSuggestion => app.front.desk.suggestion = None,
        Command::Say(words) => app.front.desk.said = words,
    }
}

/// Puts another sheet or another size of letters on the window.
pub(super) fn dress(app: &mut App, ctx: &Context, dress: Dress) {
    app.dress = dress;
    dress.put_on(ctx);
}

/// Does something to the clocks that lets time pass: what was said of one at rest holds no longer.
fn pass_time(app: &mut App, act: impl Fn(&mut Clock)) {
    app.front.desk.said.clear();
    together::clocks(app, act);
}

/// Takes the keyboard to what is selected in the drawing in front, or to its first part.
fn to_drawing(app: &App, ctx: &Context) {
    let sheet = app.front.session.drawn();
    let is_there = |subject: &Subject| sheet.place(*subject).is_some();
    // The one at the upper left, where a drawing is begun to be read.
    let parts = || sheet.places().iter().filter(|place| matches!(place.subject, Subject::Part(_)));
    let corner = |place: &&Place| place.target.x + place.target.y;
    let first = || parts().min_by(|a, b| corner(a).total_cmp(&corner(b))).map(|place| place.subject);
    if let Some(subject) = app.front.desk.selected.filter(is_there).or_else(first) {
        ctx.memory_mut(|memory| memory.request_focus(ids::subject(app.front.number, subject)));
    }
}

/// Speaks another language from here on. What was said last is not said again.
fn speak(app: &mut App, language: Language) {
    app.look.language = Some(language);
    tongue::speak(language);
    app.row.all_mut(&mut app.front).for_each(|bay| bay.desk.said.clear());
    suggest_again(app);
}

/// Says in the language spoken what is suggested.
pub(super) fn suggest_again(app: &mut App) {
    for bay in app.row.all_mut(&mut app.front) {
        if bay.desk.suggestion.is_some() {
            bay.desk.suggestion = super::words::suggestion(bay.session.bench().circuit());
        }
    }
}

/// Does something with an instrument; what has to come off for it is said in the tray.
fn handle(app: &mut App, device: Device, handling: &Handling) {
    let now = app.front.desk.instruments.as_on(app.front.session.bench());
    app.front.desk.said.clear();
    if matches!(handling, Handling::Touch(_) | Handling::Wire(_))
        && let Some(other) = now.gives_way(device)
    {
        app.front.desk.said = t!("apply-taken-off-one-instrument-at", other = other.name());
    }
    if matches!(handling, Handling::TakeUp(_)) {
        app.front.desk.tool = Tool::Instrument(device);
    }
    app.front.desk.instruments = now.after(device, handling);
    together::instruments(app);
    if app.front.session.eyes().is_some()
        && matches!(handling, Handling::Touch(_) | Handling::Wire(_))
        && let Err(refusal) = app.front.session.read_in_hunt(&app.front.desk.instruments, device)
    {
        app.front.desk.said = worded(&refusal.told());
    }
}

/// Writes the card; what came of it is said in the tray and under the card.
fn write_card(app: &mut App, path: &Path) {
    let Awaited::Known(Ok(card)) = app.front.studies.card() else { return };
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let made = match ending.as_deref() {
        Some("pdf") => paper::pdf(&card.svg, &card.title).map_err(|why| mended(&why.message, &why.mend)),
        Some("svg") => Ok(with_font(&card.svg).into_bytes()),
        Some("png") => paper::png(&card.svg, PRINT_DPI).map_err(|why| mended(&why.message, &why.mend)),
        _ => Err(t!("apply-does-not-say-in-which", path = path.display())),
    };
    let written = made.and_then(|bytes| replace(&bytes, path).map_err(|why| mended(&why.message, &why.mend)));
    app.front.desk.said = written.map_or_else(|why| why, |()| t!("apply-wrote", path = whole(path).display()));
}

/// A path with its folder, however short it was written.
fn whole(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

fn open(app: &mut App, source: Source) {
    steps::put_hunt_away(app);
    if !app.front.session.bench().changes().is_empty() || app.front.papers.is_changed() {
        app.room.dialog = Some(Dialog::Leaving(Leaving::Open(source)));
        return;
    }
    placing::open(app, &source);
}

/// Closes a circuit; where anything is changed in it, asks first, with it in front.
fn close(app: &mut App, number: u32) {
    let Some(bay) = app.row.get(&app.front, number) else { return };
    if bay.session.bench().changes().is_empty() && !bay.papers.is_changed() {
        placing::take_away(app, number);
        return;
    }
    app.row.bring(&mut app.front, number);
    app.room.dialog = Some(Dialog::Leaving(Leaving::Shut(number)));
}

fn leave(app: &mut App, ctx: &Context, answer: Answer) {
    let Some(Dialog::Leaving(leaving)) = app.room.dialog.take() else { return };
    match (answer, &leaving) {
        (Answer::Stay, _) => return,
        (Answer::Beside, Leaving::Open(source)) => {
            placing::open_beside(app, source);
            return;
        }
        (Answer::PutBack, Leaving::Close) => app.row.all_mut(&mut app.front).for_each(together::put_right),
        (Answer::PutBack, Leaving::Open(_) | Leaving::Shut(_)) => together::put_right(&mut app.front),
        (Answer::LeaveChanged | Answer::Beside, _) => {}
    }
    match leaving {
        Leaving::Close => {
            app.may_close = true;
            ctx.send_viewport_cmd(ViewportCommand::Close);
        }
        Leaving::Open(source) => placing::open(app, &source),
        Leaving::Shut(number) => placing::take_away(app, number),
    }
}
