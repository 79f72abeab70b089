//! Carries out what has to do with files: opening, saving, taking up what was left, and what another has changed.
//!
//! Part of [`apply`]. Yields [`Filing`], what is known of the files of the bench, and [`FileStep`], what can
//! be asked. Whatever is put on the bench in place of something done is set aside first. Bytes go through
//! [`files`], what they mean through [`loading`](super::loading), choosing a place through [`choosing`](super::choosing).

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Context;

use crate::bench::Action;
use crate::circuit::{Circuit, format};

use super::app::App;
use super::board::board_ui::BoardState;
use super::board::view::View;
use super::choosing::{Choice, Choosing, Wanted};
use super::command::{Command, Dialog, Source};
use super::condition::Units;
use super::dress::Dress;
use super::files;
use super::instrument::{Device, Handling, Instruments};
use super::keeping::{Damaged, FoundLeft, Keeper};
use super::kept::{KeptHunt, KeptSession, Left, Origin, SavedAs};
use super::loading::{Loaded, Stamped, load, load_file, load_session, name_of, refused_report, worked_example};
use super::seen::{Desk, Look};
use super::session::Session;
use super::watch::{Holds, News, Watch};
use super::{apply, steps, words};

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
    /// Take up what stood on the bench before, from where it is kept.
    TakeUp(PathBuf),
}

/// What is known of the files of the bench.
#[derive(Debug)]
pub struct Filing {
    /// Where the circuit came from.
    pub origin: Origin,
    /// Where the session was saved, or opened from.
    pub saved_as: Option<PathBuf>,
    /// Files opened or saved lately, the last one first.
    pub lately: Vec<PathBuf>,
    /// What another has done to a file of these.
    pub news: Option<News>,
    /// What is on the bench was taken up where it was left.
    pub taken_up: bool,
    /// What stood on the bench before, the last one first: where it is kept, and in words. Listed when it is asked for.
    pub before: Vec<(PathBuf, String)>,
    /// The desktop offers no dialogs for files, as far as is known.
    pub has_no_dialogs: bool,
    /// The circuit file, to the letter, that everything was done to.
    text: String,
    /// What the circuit's own file holds, to the letter, and as a circuit.
    in_file: (String, Arc<Circuit>),
    /// Whether this circuit is another than that.
    compared: Option<(Arc<Circuit>, bool)>,
    /// What the window's title says.
    title: String,
    watch: Watch,
    keeper: Option<Keeper>,
    choosing: Choosing,
    /// A hunt to be gone through again once its fault is hidden again.
    hunt: Option<KeptHunt>,
}

impl Filing {
    fn of(loaded: &mut Loaded) -> Self {
        let text = std::mem::take(&mut loaded.text);
        let mut filing = Self {
            origin: loaded.origin.clone(),
            saved_as: None,
            lately: Vec::new(),
            news: None,
            taken_up: false,
            before: Vec::new(),
            has_no_dialogs: false,
            in_file: in_file(loaded, &text),
            compared: None,
            text,
            title: String::new(),
            watch: Watch::default(),
            keeper: None,
            choosing: Choosing::default(),
            hunt: None,
        };
        filing.follow(loaded.file.take());
        filing
    }

    /// Watches what has been opened. A session's circuit is watched where it came from: what the session holds is what
    /// it is compared with.
    fn follow(&mut self, file: Option<(PathBuf, Holds, Stamped)>) {
        self.watch = Watch::default();
        self.saved_as = None;
        if let Some((path, holds, stamped)) = file {
            self.remember(&path);
            if holds == Holds::Session {
                self.saved_as = Some(path.clone());
            }
            self.watch.follow(&path, holds, stamped);
        }
        self.watch_origin();
    }

    /// Watches the file the circuit came from. Its stamp is not known, so that it is read once.
    fn watch_origin(&mut self) {
        if let Origin::File(path) = &self.origin
            && !self.watch.has(Holds::Circuit)
            && files::is_there(path)
        {
            self.watch.follow(path, Holds::Circuit, (None, self.in_file.0.clone()));
        }
    }

    /// Takes up where the session was saved. Where the file has not been written since, it is still this session's.
    fn saved_before(&mut self, saved: Option<SavedAs>) {
        let Some(SavedAs { path, stamp }) = saved else { return };
        if stamp.is_some()
            && files::stamp(&path) == stamp
            && let Ok(text) = files::read_text(&path)
        {
            self.watch.follow(&path, Holds::Session, (stamp, text));
        }
        self.saved_as = Some(path);
    }

    /// Notes a file as the last one opened or saved.
    fn remember(&mut self, path: &Path) {
        self.lately.retain(|known| known != path);
        self.lately.insert(0, path.to_owned());
        self.lately.truncate(MOST_LATELY);
    }

    /// The title of the window with this circuit on the bench; none while it is shown already.
    fn new_title(&mut self, circuit: &str) -> Option<String> {
        let file = match (&self.saved_as, &self.origin) {
            (Some(path), _) | (None, Origin::File(path)) => format!(" ({})", name_of(path)),
            (None, Origin::Shipped(_) | Origin::Made) => String::new(),
        };
        let changed = if self.is_changed() { ", changed" } else { "" };
        let title = format!("{circuit}{file}{changed} - Fanloom");
        (self.title != title).then(|| {
            self.title.clone_from(&title);
            title
        })
    }

    /// Whether the circuit is another than its file holds, as it was when last compared.
    pub fn is_changed(&self) -> bool {
        self.compared.as_ref().is_some_and(|(_, is_changed)| *is_changed)
    }

    /// Compares the circuit with what its file holds, once for each.
    fn compare(&mut self, circuit: Arc<Circuit>) {
        if self.compared.as_ref().is_none_or(|(known, _)| !Arc::ptr_eq(known, &circuit)) {
            let is_changed = !Arc::ptr_eq(&circuit, &self.in_file.1) && *circuit != *self.in_file.1;
            self.compared = Some((circuit, is_changed));
        }
    }

    /// What to call a file: the name it has, else one made of the circuit's title.
    pub fn proposal(&self, title: &str, wanted: Wanted) -> String {
        let path = match (wanted, &self.origin) {
            (Wanted::Save(Holds::Session), _) => self.saved_as.as_deref(),
            (Wanted::Save(Holds::Circuit), Origin::File(path)) => Some(path.as_path()),
            (Wanted::Save(Holds::Circuit), Origin::Shipped(_) | Origin::Made) | (Wanted::Open, _) => None,
        };
        let ending = if wanted == Wanted::Save(Holds::Session) { "-session.ron" } else { ".ron" };
        path.map_or_else(|| words::file_name(title, ending), |path| path.display().to_string())
    }

    /// Whether a dialog of the desktop is open.
    pub fn is_choosing(&self) -> bool {
        self.choosing.is_open()
    }

    /// Whether what is done is kept against a crash.
    pub fn is_kept(&self) -> bool {
        self.keeper.is_some()
    }
}

/// What the file of a circuit that has been read holds: the text it was read from, or what was saved there since.
fn in_file(loaded: &Loaded, text: &str) -> (String, Arc<Circuit>) {
    let since = loaded.session.as_ref().and_then(|session| session.in_file.clone());
    let since = since.and_then(|text| Some((format::read(&text).circuit?, text)));
    match since {
        Some((circuit, text)) => (text, Arc::new(circuit)),
        None => (text.to_owned(), Arc::clone(&loaded.circuit)),
    }
}

/// What the window starts with: the file, or the worked example with a report on the file.
pub(super) fn opening(start: Option<PathBuf>) -> (Session, Desk, Look, Filing) {
    let mut report = None;
    let loaded = start.and_then(|path| load(&Source::File(path)).map_err(|why| report = Some(why.into())).ok());
    let mut loaded = loaded.unwrap_or_else(worked_example);
    let filing = Filing::of(&mut loaded);
    let dialog = report.or_else(|| loaded.report.take());
    let desk = Desk { suggestion: suggestion(&loaded), dialog, ..Desk::default() };
    let look = Look { units: Units::of(&loaded.circuit), ..Look::default() };
    (Session::on(loaded.bench), desk, look, filing)
}

/// Something worth trying on a circuit nothing has been done to.
fn suggestion(loaded: &Loaded) -> Option<String> {
    let is_new = loaded.session.as_ref().is_none_or(|session| session.done.is_empty());
    is_new.then(|| words::suggestion(&loaded.circuit)).flatten()
}

/// Keeps the window in a folder from now on, and takes up what was left there. Where the window was opened on a file,
/// the file stays on the bench, and what was left is set aside.
pub(super) fn keep_in(app: &mut App, ctx: &Context, folder: &Path, is_named: bool) {
    let (keeper, found) = match Keeper::begin(ctx, folder) {
        Ok(begun) => begun,
        Err(why) => {
            app.desk.said = format!("What you do is not kept against a crash: {why}");
            return;
        }
    };
    app.filing.keeper = Some(keeper);
    let left = match found {
        FoundLeft::Nothing => return,
        FoundLeft::Left(left) => left,
        FoundLeft::Damaged(Damaged { moved_to, report }) => {
            app.desk.dialog = Some(damaged_report(moved_to, &report));
            return;
        }
    };
    let Left { look, theme, text_scale, drawer, proving, lead, view, lately, saved_as, clock, session, .. } = *left;
    apply::dress(app, ctx, Dress::new(theme, text_scale));
    let named = std::mem::replace(&mut app.filing.lately, lately);
    named.iter().for_each(|path| app.filing.remember(path));
    let units = app.look.units;
    (app.look, app.desk.drawer) = (look, drawer);
    if is_named {
        app.look.units = units;
        if !session.done.is_empty() {
            let aside = app.filing.keeper.as_ref().map(|keeper| keeper.set_aside(&session));
            app.desk.said = match aside {
                Some(Err(why)) => format!("What was left could not be set aside: {why}"),
                Some(Ok(())) | None => "What was left is set aside; Circuits\u{2026} takes it up again.".to_owned(),
            };
        }
        return;
    }
    match load_session(session, "what was left") {
        Ok(mut loaded) => {
            let (look, report) = (app.look, loaded.report.take());
            app.desk.fuse = lead;
            let is_untouched = loaded.is_untouched();
            put(app, loaded, report);
            (app.look, app.desk.proving) = (look, proving);
            app.filing.saved_before(saved_as);
            // Nothing is worth a word where nobody has done anything yet.
            app.filing.taken_up = !is_untouched;
            if clock {
                app.session.take_clock(true, look.units);
            }
            app.board.view = view.map_or_else(View::default, View::of_kept);
            app.is_set_out = true;
        }
        Err(unsound) => {
            let moved_to = app.filing.keeper.as_ref().map(Keeper::give_up_left);
            app.desk.dialog = moved_to.map(|moved_to| damaged_report(moved_to, &unsound.text));
        }
    }
}

/// Tells of what was left and cannot be taken up.
fn damaged_report(moved_to: Result<PathBuf, String>, report: &str) -> Dialog {
    let place = match moved_to {
        Ok(path) => format!("It is kept as `{}`; here everything begins anew.", path.display()),
        Err(why) => format!("Here everything begins anew; {why}"),
    };
    Dialog::Report("What was left cannot be taken up".to_owned(), format!("{place}\n\n{report}"))
}

/// How the window stands, to be kept.
pub(super) fn left(app: &App) -> Left {
    Left {
        look: app.look,
        theme: app.dress.sheet,
        text_scale: app.dress.text_scale(),
        drawer: app.desk.drawer,
        proving: app.desk.proving,
        lead: app.desk.fuse,
        view: app.board.view.kept(),
        lately: app.filing.lately.clone(),
        clock: app.session.clock().is_some(),
        saved_as: app
            .filing
            .saved_as
            .clone()
            .map(|path| SavedAs { path, stamp: app.filing.watch.stamp_of(Holds::Session) }),
        ..Left::new(session_of(app))
    }
}

/// What is on the bench, to be kept or saved.
fn session_of(app: &App) -> KeptSession {
    let journal = app.session.journal(app.look.units);
    let hunt = app.session.hunt().zip(app.studies.hunting.seed()).map(|(hunt, seed)| KeptHunt {
        seed,
        lines: hunt.taken().iter().map(|taken| taken.did.clone()).collect(),
        given_up: hunt.is_over() && !hunt.guesses().iter().any(|guess| guess.is_right),
    });
    KeptSession {
        instruments: app.session.instruments_aside().unwrap_or(&app.desk.instruments).clone(),
        seen: app.studies.finding.sights().iter().map(ToString::to_string).collect(),
        // One that is still being hidden again is kept as it was.
        hunt: hunt.or_else(|| app.filing.hunt.clone()),
        in_file: (app.filing.in_file.0 != app.filing.text).then(|| app.filing.in_file.0.clone()),
        ..KeptSession::new(app.filing.origin.clone(), app.filing.text.clone(), journal)
    }
}

/// Looks after files at the end of a frame: keeps what is new, and sees what another has changed or a person has chosen.
pub(super) fn look_after(app: &mut App, ctx: &Context) {
    let got_keyboard =
        ctx.input(|input| input.events.iter().any(|event| matches!(event, egui::Event::WindowFocused(true))));
    let now_s = ctx.input(|input| input.time);
    if app.filing.news.is_none() {
        app.filing.news = app.filing.watch.look(now_s, got_keyboard);
        if app.filing.news.is_some() {
            ctx.request_repaint();
        }
    }
    app.filing.compare(app.session.bench().circuit_shared());
    if let Some(title) = app.filing.new_title(app.session.bench().circuit().title()) {
        ctx.send_viewport_cmd(egui::ViewportCommand::Title(title));
    }
    if let Some(choice) = app.filing.choosing.take(now_s) {
        chosen(app, ctx, choice);
        ctx.request_repaint();
    }
    if let Some(mut keeper) = app.filing.keeper.take() {
        if let Some(told) = keeper.look(ctx, || left(app)) {
            app.desk.said = told;
            ctx.request_repaint();
        }
        app.filing.keeper = Some(keeper);
    }
}

/// Keeps how the window stands, for the last time.
pub(super) fn close(app: &mut App) {
    if let Some(keeper) = app.filing.keeper.take()
        && let Some(told) = keeper.close(&left(app))
    {
        eprintln!("{told}");
    }
}

fn chosen(app: &mut App, ctx: &Context, choice: Choice) {
    match choice {
        Choice::Place(Wanted::Open, path) => apply::apply(app, ctx, Command::Open(Source::File(path))),
        Choice::Place(Wanted::Save(holds), path) => match with_ending(&path) {
            // The desktop's dialog has asked already whether what is there may go.
            whole if whole == path => save_over(app, holds, &path),
            whole => save_at(app, holds, &whole),
        },
        Choice::None => {}
        Choice::NoDialog => app.filing.has_no_dialogs = true,
    }
}

/// Puts what a source holds on the bench.
pub(super) fn open(app: &mut App, source: &Source) {
    match load(source) {
        Ok(mut loaded) => {
            let aside = keep_before(app);
            let report = loaded.report.take();
            put(app, loaded, report);
            if let Err(why) = aside {
                app.desk.said = format!("What stood on the bench before is not at hand any more: {why}");
            }
        }
        Err(unsound) => app.desk.dialog = Some(unsound.into()),
    }
}

fn put(app: &mut App, mut loaded: Loaded, report: Option<Dialog>) {
    let suggestion = suggestion(&loaded);
    app.look.units = Units::of(&loaded.circuit);
    app.filing.in_file = in_file(&loaded, &loaded.text);
    app.filing.compared = None;
    app.session = Session::on(loaded.bench);
    let (fuse, drawer) = (app.desk.fuse, app.desk.drawer);
    let session = loaded.session.take();
    // The meter stays set as it was; its leads were on another truck.
    let dial = Handling::Dial(app.desk.instruments.dial);
    let instruments = match &session {
        Some(session) => session.instruments.as_on(app.session.bench()),
        None => Instruments::default().after(Device::Meter, &dial),
    };
    app.desk = Desk { dialog: report, suggestion, fuse, drawer, instruments, ..Desk::default() };
    app.board = BoardState::default();
    app.filing.origin = loaded.origin;
    app.filing.text = loaded.text;
    app.filing.follow(loaded.file);
    app.filing.news = None;
    app.filing.taken_up = false;
    // Before anything is found in it, what was found in the last circuit is forgotten.
    app.studies.follow(app.session.bench());
    app.filing.hunt = session.as_ref().and_then(|session| session.hunt.clone());
    for sight in session.iter().flat_map(|session| &session.seen) {
        // One that no longer reads, after a hand has been at the file, is left out like one never seen.
        if let Ok(sight) = sight.parse() {
            app.studies.finding.see(sight);
        }
    }
}

/// Begins to hide the fault of a hunt that was taken up, and goes through it again when it is hidden.
pub(super) fn work_on_hunt(app: &mut App, ctx: &Context) {
    let Some(hunt) = &app.filing.hunt else { return };
    if app.session.hunt().is_some() {
        let KeptHunt { lines, given_up, .. } = hunt.clone();
        app.filing.hunt = None;
        steps::hunt_again(app, &lines, given_up);
    } else if app.studies.hunting.refused().is_some() {
        app.filing.hunt = None;
    } else if !app.studies.hunting.is_at_work() {
        let (circuit, seed) = (app.session.bench().circuit_shared(), hunt.seed);
        app.studies.hunting.begin(ctx, circuit, seed);
    }
}

/// Forgets a hunt that waits to be taken up.
pub(super) fn drop_hunt(app: &mut App) {
    app.filing.hunt = None;
}

/// Sets what is on the bench aside where anything has been done to it.
fn keep_before(app: &App) -> Result<(), String> {
    let session = session_of(app);
    if session.done.is_empty() && session.hunt.is_none() && session.seen.is_empty() {
        return Ok(());
    }
    app.filing.keeper.as_ref().map_or(Ok(()), |keeper| keeper.set_aside(&session))
}

/// Lists what stood on the bench before, for the dialog that offers it.
pub(super) fn list_before(app: &mut App) {
    let kept = app.filing.keeper.as_ref().map(Keeper::before).unwrap_or_default();
    let told = |path: PathBuf| {
        let loaded = load_file(&path).ok()?;
        let count = match loaded.bench.changes().len() {
            0 => "nothing changed".to_owned(),
            1 => "one change".to_owned(),
            many => format!("{many} changes"),
        };
        Some((path, format!("{}, {count}", loaded.circuit.title())))
    };
    app.filing.before = kept.into_iter().filter_map(told).collect();
}

/// One thing asked about files.
pub(super) fn step(app: &mut App, ctx: &Context, step: FileStep) {
    match step {
        FileStep::Save => match app.filing.saved_as.clone() {
            Some(path) => save_at(app, Holds::Session, &path),
            None => app.desk.dialog = Some(Dialog::Save),
        },
        FileStep::SaveAt(holds, path) => save_at(app, holds, &with_ending(&files::typed_path(&path.to_string_lossy()))),
        FileStep::SaveOver(holds, path) => save_over(app, holds, &path),
        FileStep::Choose(wanted) => {
            let now_s = ctx.input(|input| input.time);
            let name = app.filing.proposal(app.session.bench().circuit().title(), wanted);
            app.filing.choosing.begin(ctx, wanted, &name, now_s);
        }
        FileStep::KeepHere => app.filing.news = None,
        FileStep::ReadAgain => read_again(app),
        FileStep::BeginAnew => {
            if let Err(why) = keep_before(app) {
                app.desk.said = format!("What is here cannot be set aside, so it stays: {why}");
                return;
            }
            steps::put_hunt_away(app);
            put(app, worked_example(), None);
            app.desk.said = "Begun anew; Circuits\u{2026} takes up again what was here.".to_owned();
        }
        FileStep::TakeUp(path) => take_up(app, &path),
    }
}

/// A path with the ending that circuits and sessions have, where it has none.
fn with_ending(path: &Path) -> PathBuf {
    if path.extension().is_some() { path.to_owned() } else { path.with_extension("ron") }
}

/// Saves at a place; asks first where something is there that is not from here.
fn save_at(app: &mut App, holds: Holds, path: &Path) {
    if app.filing.watch.is_anothers(path) {
        app.desk.dialog = Some(Dialog::Overwrite(holds, path.to_owned()));
    } else {
        save_over(app, holds, path);
    }
}

/// The text of the circuit as it is now: to the letter as its file has it, unless it has been changed.
fn circuit_text(app: &mut App) -> String {
    app.filing.compare(app.session.bench().circuit_shared());
    if app.filing.is_changed() { format::write(app.session.bench().circuit()) } else { app.filing.in_file.0.clone() }
}

fn save_over(app: &mut App, holds: Holds, path: &Path) {
    let text = match holds {
        Holds::Circuit => Ok(circuit_text(app)),
        Holds::Session => session_of(app).write(),
    };
    let written = text.and_then(|text| files::write_text(&text, path).map(|()| text));
    let text = match written {
        Ok(text) => text,
        Err(why) => {
            app.desk.dialog = Some(Dialog::Report("It could not be saved".to_owned(), why));
            return;
        }
    };
    app.desk.dialog = None;
    app.filing.remember(path);
    let was_changed = holds == Holds::Circuit && app.filing.is_changed();
    if holds == Holds::Circuit {
        app.filing.in_file = (text.clone(), app.session.bench().circuit_shared());
        app.filing.compared = None;
    }
    app.filing.watch.follow(path, holds, (files::stamp(path), text));
    if app.filing.news.as_ref().is_some_and(|news| news.path == path) {
        app.filing.news = None;
    }
    match holds {
        Holds::Circuit => {
            app.filing.origin = Origin::File(path.to_owned());
            let how = if was_changed { "as it is now" } else { "as it was read" };
            app.desk.said = format!("Saved the circuit, {how}: {}", path.display());
        }
        Holds::Session => {
            app.filing.saved_as = Some(path.to_owned());
            app.desk.said = format!("Saved the session: {}", path.display());
        }
    }
}

/// Reads a file again that another has changed. What was done to the circuit is done to it again as it is now.
fn read_again(app: &mut App) {
    let Some(News { path, .. }) = app.filing.news.take() else { return };
    let mut loaded = match load_file(&path) {
        Ok(loaded) => loaded,
        Err(unsound) => {
            app.desk.dialog = Some(unsound.into());
            return;
        }
    };
    if let Err(why) = keep_before(app) {
        app.desk.said = format!("What is here cannot be set aside, so it stays: {why}");
        return;
    }
    steps::put_hunt_away(app);
    let mut report = loaded.report.take();
    let saved_as = app.filing.saved_as.clone();
    let (look, view, instruments) = (app.look, app.board.view, app.desk.instruments.clone());
    let is_circuit = loaded.session.is_none();
    if is_circuit {
        // What was changed of the circuit here is set aside with the rest: the file says now what it is like.
        let mut journal = app.session.journal(app.look.units);
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
        app.board.view = view;
        app.desk.instruments = instruments.as_on(app.session.bench());
        app.desk.suggestion = None;
        app.filing.saved_as = saved_as;
    }
    app.desk.said = format!("Read {} again; what was done is done to it as it is now.", name_of(&path));
}

fn take_up(app: &mut App, path: &Path) {
    let loaded = load_file(path);
    if loaded.is_ok()
        && let Err(why) = keep_before(app)
    {
        app.desk.said = format!("What is here cannot be set aside, so it stays: {why}");
        return;
    }
    match loaded {
        Ok(mut loaded) => {
            // The file is the window's own, and no place where a person has saved.
            loaded.file = None;
            steps::put_hunt_away(app);
            let report = loaded.report.take();
            put(app, loaded, report);
            app.desk.said = "What stood on the bench before stands there again.".to_owned();
        }
        Err(unsound) => app.desk.dialog = Some(unsound.into()),
    }
}
