//! Carries out what has to do with files: opening, saving, taking up what was left, and what another has changed.
//!
//! Part of [`apply`]. Yields [`Filing`], what is known of the files of the window, and [`FileStep`], what can
//! be asked; the files of one circuit are [`papers`](super::papers)'. Bytes go through [`files`], what they mean through
//! [`loading`](super::loading), choosing a place through [`choosing`](super::choosing), and what is opened is put on the
//! bench by [`placing`](super::placing).

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Context;

use crate::bench::Action;
use crate::bench::journal::Origin;
use crate::circuit::format;
use crate::study::demonstration::through;

use super::app::App;
use super::bay::Bay;
use super::board::view::View;
use super::choosing::{Choice, Choosing, Wanted};
use super::command::{Command, Dialog, Guard, Source};
use super::condition::Units;
use super::demonstrating::{Demonstrating, of_journal};
use super::files;
use super::keeping::{Damaged, FoundLeft, Keeper};
use super::kept::{KeptBay, KeptClock, KeptDemonstration, KeptHunt, KeptRow, KeptSession, Left};
use super::loading::{Loaded, Unsound, load, load_file, load_session, name_of, refused_report, worked_example};
use super::papers::Papers;
use super::placing::{bay_of, begin_anew, put, put_beside};
use super::row::Row;
use super::seen::{Desk, Look, Room};
use super::tongue::{self, t};
use super::watch::{Holds, News};
use super::{apply, steps};

/// Files opened or saved lately that are remembered.
const MOST_LATELY: usize = 8;

/// One thing asked about files.
#[derive(Clone, Debug, PartialEq)]
pub enum FileStep {
    /// Save the session where it was saved last; ask where if it never was.
    Save,
    /// Save the circuit or the session at a place; asks first where another file is there.
    SaveAt(Holds, PathBuf),
    /// Save it there in place of whatever is there.
    SaveOver(Holds, PathBuf),
    /// Choose a place with the desktop's own dialog.
    Choose(Wanted),
    /// Read the file again that another has changed.
    ReadAgain,
    /// Keep what is here.
    KeepHere,
    /// Put what was taken up aside and begin with the worked example.
    BeginAnew,
    /// Take up what stood on the bench before, from where it is kept: in place of the circuit in front, or beside it.
    TakeUp(PathBuf, bool),
}

/// What is known of the files of the window, whatever circuits are open.
#[derive(Debug, Default)]
pub struct Filing {
    /// Files opened or saved lately, the last one first.
    pub lately: Vec<PathBuf>,
    /// What stood on the bench before, the last one first: where it is kept, and in words. Listed when it is asked for.
    pub before: Vec<(PathBuf, String)>,
    /// The desktop offers no dialogs for files, as far as is known.
    pub has_no_dialogs: bool,
    /// Why what is done is not kept against a crash, as long as that is so.
    pub unkept: Option<String>,
    /// What the window's title says.
    title: String,
    keeper: Option<Keeper>,
    choosing: Choosing,
}

impl Filing {
    /// Notes a file as the last one opened or saved.
    fn remember(&mut self, path: &Path) {
        self.lately.retain(|known| known != path);
        self.lately.insert(0, path.to_owned());
        self.lately.truncate(MOST_LATELY);
    }

    /// Notes the file that something was loaded from.
    pub(super) fn remember_loaded(&mut self, loaded: &Loaded) {
        if let Some((path, ..)) = &loaded.file {
            self.remember(path);
        }
    }

    /// The title of the window with this in front; none while it is shown already.
    fn new_title(&mut self, circuit: &str, papers: &Papers) -> Option<String> {
        let file = papers.file().map(|path| format!(" ({})", name_of(path))).unwrap_or_default();
        let changed = if papers.is_changed() { t!("filing-changed") } else { "" };
        let title = t!("filing-fanloom-2", circuit, file, changed);
        (self.title != title).then(|| {
            self.title.clone_from(&title);
            title
        })
    }

    /// Whether a dialog of the desktop is open.
    pub fn is_choosing(&self) -> bool {
        self.choosing.is_open()
    }

    /// Whether what is done is kept against a crash.
    pub fn is_kept(&self) -> bool {
        self.keeper.is_some() && self.unkept.is_none()
    }
}

/// What the window starts with: the file, or the worked example with a report on the file.
pub(super) fn opening(start: Option<PathBuf>) -> (Bay, Row, Room, Look, Filing) {
    let mut report = None;
    let loaded = start.and_then(|path| load(&Source::File(path)).map_err(|why| report = Some(why.into())).ok());
    let mut loaded = loaded.unwrap_or_else(worked_example);
    let room = Room { dialog: report.or_else(|| loaded.report.take()), ..Room::default() };
    let look = Look { units: Units::of(&loaded.circuit), ..Look::default() };
    let mut filing = Filing::default();
    filing.remember_loaded(&loaded);
    let (mut row, mut bay) = (Row::default(), bay_of(loaded, &Desk::default()));
    row.name(&mut bay);
    (bay, row, room, look, filing)
}

/// Keeps the window in a folder from now on, and takes up what was left there. Where the window was opened on a file,
/// the file stays on the bench, and what was left is set aside.
pub(super) fn keep_in(app: &mut App, ctx: &Context, folder: &Path, is_named: bool) {
    let (keeper, found) = match Keeper::begin(ctx, folder) {
        Ok(begun) => begun,
        Err(why) => {
            app.filing.unkept = Some(why);
            return;
        }
    };
    app.filing.keeper = Some(keeper);
    let left = match found {
        FoundLeft::Nothing => return,
        FoundLeft::Left(left) => left,
        FoundLeft::Damaged(Damaged { moved_to, report }) => {
            app.room.dialog = Some(damaged_report(moved_to, &report));
            return;
        }
    };
    let Left {
        look,
        theme,
        text_scale,
        fingers,
        drawer,
        unfolded,
        proving,
        lead,
        view,
        lately,
        saved_as,
        clock,
        time,
        session,
        demonstration,
        row,
        ..
    } = *left;
    let front = KeptBay { session, saved_as, clock, time, view, demonstration };
    apply::dress(app, ctx, app.dress.with(theme, text_scale).for_fingers(fingers));
    let named = std::mem::replace(&mut app.filing.lately, lately);
    named.iter().for_each(|path| app.filing.remember(path));
    let units = app.look.units;
    (app.look, app.room.drawer, app.room.unfolded) = (look, drawer, unfolded);
    if !look.own_units && (is_named || app.desktop.units.is_some()) {
        app.look.units = units;
    }
    look.language.into_iter().for_each(tongue::speak);
    if is_named {
        let mut told = None;
        for session in
            row.others.iter().chain([&front]).map(|bay| &bay.session).filter(|session| !session.done.is_empty())
        {
            let aside = app.filing.keeper.as_ref().map(|keeper| keeper.set_aside(session));
            told = Some(match aside {
                Some(Err(why)) => t!("filing-what-was-left-could-not", why),
                Some(Ok(())) | None => t!("filing-what-was-left-is-set").to_owned(),
            });
        }
        app.front.desk.said = told.unwrap_or_default();
        return;
    }
    app.front.desk.fuse = lead;
    app.room.proving = proving;
    let mut damaged = None;
    match bay_again(&front, t!("filing-what-was-left"), app.look.units, &app.front.desk) {
        Ok((mut bay, report, is_untouched)) => {
            app.row = Row::default();
            app.row.name(&mut bay);
            app.front = bay;
            app.room.dialog = report;
            // Nothing is worth a word where nobody has done anything yet.
            app.front.papers.taken_up = !is_untouched || !row.others.is_empty();
            app.is_set_out = true;
        }
        Err(unsound) => damaged = Some(unsound.text),
    }
    if damaged.is_none() {
        damaged = row_again(app, &row);
    }
    if let Some(why) = damaged {
        let moved_to = app.filing.keeper.as_ref().map(Keeper::give_up_left);
        app.room.dialog = moved_to.map(|moved_to| damaged_report(moved_to, &why));
    }
}

/// One circuit as it was left, the report on it, and whether nobody has done anything to it.
fn bay_again(kept: &KeptBay, name: &str, units: Units, desk: &Desk) -> Result<(Bay, Option<Dialog>, bool), Unsound> {
    let mut loaded = load_session(kept.session.clone(), name)?;
    let (report, is_untouched) = (loaded.report.take(), loaded.is_untouched());
    let mut bay = bay_of(loaded, desk);
    bay.papers.saved_before(Holds::Session, kept.saved_as.clone());
    if let Some(KeptDemonstration { demonstration, at, tells_ahead, saved_as }) = kept.demonstration.clone() {
        let through = through(demonstration, bay.papers.as_begun(bay.session.bench()));
        bay.demonstrating = Some(Demonstrating { at, tells_ahead, ..Demonstrating::of(through) });
        bay.papers.saved_before(Holds::Demonstration, saved_as);
    }
    if kept.clock {
        bay.take_clock_again(kept.time.as_ref(), units);
    }
    bay.board.view = kept.view.map_or_else(View::default, View::of_kept);
    Ok((bay, report, is_untouched))
}

/// Takes up the circuits that were open beside the one in front, in their order; why one of them cannot be taken up.
fn row_again(app: &mut App, row: &KeptRow) -> Option<String> {
    let front = app.front.number;
    let mut damaged = None;
    let (left, right) = row.others.split_at(row.front.min(row.others.len()));
    // The one in front is put in its place by having the others stand left and right of it.
    let mut others = Vec::new();
    for (kept, is_left) in left.iter().map(|kept| (kept, true)).chain(right.iter().map(|kept| (kept, false))) {
        match bay_again(kept, t!("filing-what-was-left"), app.look.units, &app.front.desk) {
            Ok((bay, report, _)) => {
                app.room.dialog = app.room.dialog.take().or(report);
                others.push((bay, is_left));
            }
            Err(unsound) => damaged = Some(unsound.text),
        }
    }
    for (mut bay, is_left) in others {
        app.row.name_beside(&mut bay, &app.front);
        app.row.stand(bay, is_left);
    }
    debug_assert_eq!(front, app.front.number, "the one in front stays there");
    app.row.side_by_side = row.side_by_side;
    app.row.together = row.together && app.row.count() > 1;
    // Where one is missing, places no longer mean what they meant.
    if damaged.is_none() {
        app.row.take_up(&app.front, &row.joined);
        if let Some(beside) = row.beside {
            app.row.set_beside(&app.front, beside);
        }
    }
    damaged
}

/// Tells of what was left and cannot be taken up.
fn damaged_report(moved_to: Result<PathBuf, String>, report: &str) -> Dialog {
    let place = match moved_to {
        Ok(path) => t!("filing-it-is-kept-as-here", path = path.display()),
        Err(why) => t!("filing-here-everything-begins-anew", why),
    };
    Dialog::Report(t!("filing-what-was-left-cannot-be").to_owned(), format!("{place}\n\n{report}"))
}

/// How the window stands, to be kept.
pub(super) fn left(app: &App) -> Left {
    let units = app.look.units;
    let front = kept_bay(&app.front, units);
    Left {
        look: app.look,
        theme: app.dress.sheet,
        text_scale: app.dress.text_scale(),
        fingers: app.dress.fingers(),
        drawer: app.room.drawer,
        unfolded: app.room.unfolded,
        proving: app.room.proving,
        lead: app.front.desk.fuse,
        lately: app.filing.lately.clone(),
        row: KeptRow {
            others: app.row.others().iter().map(|bay| kept_bay(bay, units)).collect(),
            front: app.row.front_at(),
            beside: app.row.beside_place(&app.front),
            side_by_side: app.row.side_by_side,
            together: app.row.together,
            joined: app.row.kept(&app.front),
        },
        clock: front.clock,
        time: front.time,
        saved_as: front.saved_as,
        view: front.view,
        demonstration: front.demonstration,
        ..Left::new(front.session)
    }
}

fn kept_bay(bay: &Bay, units: Units) -> KeptBay {
    KeptBay {
        session: session_of(bay, units),
        saved_as: bay.papers.saved(Holds::Session),
        clock: bay.session.clock().is_some(),
        time: bay.session.clock().map(KeptClock::of),
        view: bay.board.view.kept(),
        demonstration: bay.demonstrating.as_ref().map(|showing| KeptDemonstration {
            demonstration: showing.demonstration.clone(),
            at: showing.at,
            tells_ahead: showing.tells_ahead,
            saved_as: bay.papers.saved(Holds::Demonstration),
        }),
    }
}

/// What is done to a circuit, to be kept or saved.
fn session_of(bay: &Bay, units: Units) -> KeptSession {
    let journal = bay.session.journal(units);
    let hunt = bay.session.hunt().zip(bay.studies.hunting.seed()).map(|(hunt, seed)| KeptHunt {
        seed,
        lines: hunt.taken().iter().map(|taken| taken.did.clone()).collect(),
        given_up: hunt.is_over() && !hunt.guesses().iter().any(|guess| guess.is_right),
    });
    KeptSession {
        instruments: bay.session.instruments_aside().unwrap_or(&bay.desk.instruments).clone(),
        seen: bay.studies.finding.sights().iter().map(ToString::to_string).collect(),
        // One that is still being hidden again is kept as it was.
        hunt: hunt.or_else(|| bay.papers.hunt.clone()),
        in_file: bay.papers.saved_since(),
        strides: bay.strides.clone(),
        ..KeptSession::new(bay.papers.origin.clone(), bay.papers.text.clone(), journal)
    }
}

/// Looks after files at the end of a frame: keeps what is new, and sees what another has changed or a person has chosen.
pub(super) fn look_after(app: &mut App, ctx: &Context) {
    let got_keyboard =
        ctx.input(|input| input.events.iter().any(|event| matches!(event, egui::Event::WindowFocused(true))));
    let now_s = ctx.input(|input| input.time);
    for papers in app.row.all_mut(&mut app.front).map(|bay| &mut bay.papers).filter(|papers| papers.news.is_none()) {
        papers.news = papers.watch.look(now_s, got_keyboard);
        if papers.news.is_some() {
            ctx.request_repaint();
        }
    }
    for bay in app.row.all_mut(&mut app.front) {
        bay.papers.compare(bay.session.bench().circuit_shared());
    }
    if let Some(title) = app.filing.new_title(app.front.session.bench().circuit().title(), &app.front.papers) {
        ctx.send_viewport_cmd(egui::ViewportCommand::Title(title));
    }
    if let Some(choice) = app.filing.choosing.take(now_s) {
        chosen(app, ctx, choice);
        ctx.request_repaint();
    }
    if let Some(mut keeper) = app.filing.keeper.take() {
        app.filing.unkept = keeper.look(ctx, || left(app));
        app.filing.keeper = Some(keeper);
    }
}

/// Keeps how the window stands, for the last time.
pub(super) fn close(app: &mut App) {
    if let Some(keeper) = app.filing.keeper.take()
        && let Err(why) = keeper.close(&left(app))
    {
        eprintln!("{}", t!("keeping-what-you-do-is-not", why));
    }
}

fn chosen(app: &mut App, ctx: &Context, choice: Choice) {
    match choice {
        Choice::Place(Wanted::OpenBeside, path) => apply::apply(app, ctx, Command::OpenBeside(Source::File(path))),
        Choice::Place(Wanted::Open, path) => apply::apply(app, ctx, Command::Open(Source::File(path))),
        Choice::Place(Wanted::Save(holds), path) => match files::with_ending(&path) {
            // The desktop's dialog has asked already whether what is there may go.
            whole if whole == path => save_over(app, holds, &path),
            whole => save_at(app, holds, &whole),
        },
        Choice::None => {}
        Choice::NoDialog => app.filing.has_no_dialogs = true,
    }
}

/// Begins to hide the fault of a hunt that was taken up, and goes through it again when it is hidden.
pub(super) fn work_on_hunt(app: &mut App, ctx: &Context) {
    let Some(hunt) = &app.front.papers.hunt else { return };
    if app.front.session.hunt().is_some() {
        let KeptHunt { lines, given_up, .. } = hunt.clone();
        app.front.papers.hunt = None;
        steps::hunt_again(app, &lines, given_up);
    } else if app.front.studies.hunting.refused().is_some() {
        app.front.papers.hunt = None;
    } else if !app.front.studies.hunting.is_at_work() {
        let (circuit, seed) = (app.front.session.bench().circuit_shared(), hunt.seed);
        app.front.studies.hunting.begin(ctx, circuit, seed);
    }
}

/// Forgets a hunt that waits to be taken up.
pub(super) fn drop_hunt(app: &mut App) {
    app.front.papers.hunt = None;
}

/// Sets what is done to the circuit in front aside where anything has been.
pub(super) fn keep_before(app: &App) -> Result<(), String> {
    keep_bay_before(app, &app.front).map(drop)
}

/// Sets what is done to a circuit aside where anything has been; whether it is.
pub(super) fn keep_bay_before(app: &App, bay: &Bay) -> Result<bool, String> {
    let session = session_of(bay, app.look.units);
    if session.done.is_empty() && session.hunt.is_none() && session.seen.is_empty() {
        return Ok(false);
    }
    let Some(keeper) = &app.filing.keeper else { return Ok(false) };
    keeper.set_aside(&session).map(|()| true)
}

/// Lists what stood on the bench before, for the dialog that offers it.
pub(super) fn list_before(app: &mut App) {
    let kept = app.filing.keeper.as_ref().map(Keeper::before).unwrap_or_default();
    let told = |path: PathBuf| {
        let loaded = load_file(&path).ok()?;
        let count = match loaded.bench.changes().len() {
            0 => t!("filing-nothing-changed").to_owned(),
            1 => t!("filing-one-change").to_owned(),
            many => t!("filing-changes", many),
        };
        Some((path, format!("{}, {count}", loaded.circuit.title())))
    };
    app.filing.before = kept.into_iter().filter_map(told).collect();
}

/// One thing asked about files.
pub(super) fn step(app: &mut App, ctx: &Context, step: FileStep) {
    match step {
        FileStep::Save => match app.front.papers.saved_as.clone() {
            Some(path) => save_at(app, Holds::Session, &path),
            None => app.room.dialog = Some(Dialog::Save),
        },
        FileStep::SaveAt(holds, path) => {
            save_at(app, holds, &files::with_ending(&files::typed_path(&path.to_string_lossy())));
        }
        FileStep::SaveOver(holds, path) => save_over(app, holds, &path),
        FileStep::Choose(wanted) => {
            let now_s = ctx.input(|input| input.time);
            let name = app.front.papers.proposal(app.front.session.bench().circuit().title(), wanted);
            app.filing.choosing.begin(ctx, wanted, &name, now_s);
        }
        FileStep::KeepHere => app.front.papers.news = None,
        FileStep::ReadAgain => read_again(app),
        FileStep::BeginAnew => {
            let aside = app.row.all(&app.front).try_for_each(|bay| keep_bay_before(app, bay).map(drop));
            if let Err(why) = aside {
                app.front.desk.said = t!("filing-what-is-here-cannot-be", why);
                return;
            }
            begin_anew(app, worked_example());
            app.front.desk.said = t!("filing-begun-anew-circuits-takes-up").to_owned();
        }
        FileStep::TakeUp(path, beside) => take_up(app, &path, beside),
    }
}

/// Saves at a place; asks first where something is there that is not from here, or that is not to be written.
fn save_at(app: &mut App, holds: Holds, path: &Path) {
    let guard = match app.front.papers.watch.is_anothers(path) {
        true => Guard::Anothers,
        false if files::is_write_protected(path) => Guard::WriteProtected,
        false => return save_over(app, holds, path),
    };
    app.room.dialog = Some(Dialog::Overwrite(holds, path.to_owned(), guard));
}

/// The text of the circuit as it is now: to the letter as its file has it, unless it has been changed.
fn circuit_text(bay: &mut Bay) -> String {
    bay.papers.compare(bay.session.bench().circuit_shared());
    if bay.papers.is_changed() { format::write(bay.session.bench().circuit()) } else { bay.papers.in_file.0.clone() }
}

fn save_over(app: &mut App, holds: Holds, path: &Path) {
    let text = match holds {
        Holds::Circuit => Ok(circuit_text(&mut app.front)),
        Holds::Session => session_of(&app.front, app.look.units).write(),
        Holds::Demonstration => match &app.front.demonstrating {
            Some(showing) => showing.demonstration.write(),
            None => of_journal(&app.front.session, &app.front.papers).write(),
        },
    };
    let written = text.and_then(|text| files::write_text(&text, path).map(|()| text));
    let text = match written {
        Ok(text) => text,
        Err(why) => {
            app.room.dialog = Some(Dialog::Report(t!("filing-it-could-not-be-saved").to_owned(), why));
            return;
        }
    };
    app.room.dialog = None;
    app.filing.remember(path);
    let was_changed = app.front.papers.is_changed();
    if holds == Holds::Circuit {
        app.front.papers.saved_circuit(text.clone(), app.front.session.bench().circuit_shared());
    }
    app.front.papers.watch.follow(path, holds, (files::stamp(path), text));
    if app.front.papers.news.as_ref().is_some_and(|news| news.path == path) {
        app.front.papers.news = None;
    }
    match holds {
        Holds::Circuit => {
            let how = if was_changed { t!("filing-as-it-is-now") } else { t!("filing-as-it-was-read") };
            app.front.papers.origin = Origin::File(path.to_owned());
            let saved = t!("filing-saved-the-circuit", how, path = path.display());
            app.front.desk.said = match app.front.studies.doubtful().len() {
                0 => saved,
                doubtful => format!("{} {saved}", t!("saving-is-doubtful", doubtful)),
            };
        }
        Holds::Demonstration => {
            app.front.papers.shown_from = Some(path.to_owned());
            app.front.desk.said = t!("filing-saved-the-demonstration", path = path.display());
        }
        Holds::Session => {
            app.front.papers.saved_as = Some(path.to_owned());
            app.front.desk.said = t!("filing-saved-the-session", path = path.display());
        }
    }
}

/// Reads a file again that another has changed. What was done to the circuit is done to it again as it is now.
fn read_again(app: &mut App) {
    let Some(News { path, .. }) = app.front.papers.news.take() else { return };
    let mut loaded = match load_file(&path) {
        Ok(loaded) => loaded,
        Err(unsound) => {
            app.room.dialog = Some(unsound.into());
            return;
        }
    };
    if let Err(why) = keep_before(app) {
        app.front.desk.said = t!("filing-what-is-here-cannot-be", why);
        return;
    }
    steps::put_hunt_away(app);
    let mut report = loaded.report.take();
    let saved_as = app.front.papers.saved_as.clone();
    let (look, view, instruments) = (app.look, app.front.board.view, app.front.desk.instruments.clone());
    let is_circuit = loaded.session.is_none() && loaded.demonstrating.is_none();
    if is_circuit {
        // What was changed of the circuit here is set aside with the rest: the file says now what it is like.
        let mut journal = app.front.session.journal(app.look.units);
        for list in [&mut journal.done, &mut journal.undone] {
            list.retain(|action| !matches!(action, Action::Build(_)));
        }
        let (bench, refused) = journal.replay(Arc::clone(&loaded.circuit));
        loaded.bench = bench;
        report = refused_report(&refused).or(report);
    }
    put(app, loaded, report);
    app.look = look;
    if is_circuit {
        app.front.board.view = view;
        app.front.desk.instruments = instruments.as_on(app.front.session.bench());
        app.front.desk.suggestion = None;
        app.front.papers.saved_as = saved_as;
    }
    app.front.desk.said = t!("filing-read-again-what-was-done", path = name_of(&path));
}

fn take_up(app: &mut App, path: &Path, beside: bool) {
    let mut loaded = match load_file(path) {
        Ok(loaded) => loaded,
        Err(unsound) => {
            app.room.dialog = Some(unsound.into());
            return;
        }
    };
    // The file is the window's own, and no place where a person has saved.
    loaded.file = None;
    if beside {
        put_beside(app, loaded);
        return;
    }
    if let Err(why) = keep_before(app) {
        app.front.desk.said = t!("filing-what-is-here-cannot-be", why);
        return;
    }
    steps::put_hunt_away(app);
    let report = loaded.report.take();
    put(app, loaded, report);
    app.front.desk.said = t!("filing-what-stood-on-the-bench-2").to_owned();
}
