//! The files of the window: what was left is taken up again, sessions and circuits are saved and opened, and nothing of
//! another's or one's own is lost on the way.
//!
//! Each test has a folder of its own for the window's state. That a write cut short at any moment leaves whole files is
//! tested in `tests/disk.rs`.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use eframe::egui::{self, DroppedFile, Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use tempfile::TempDir;

use fanloom::bench::{Act, Fault};
use fanloom::drawing::Symbols;
use fanloom::gui::App;
use fanloom::gui::command::Dialog;
use fanloom::gui::condition::Units;
use fanloom::gui::desktop::Desktop;
use fanloom::gui::dress::Sheet;
use fanloom::gui::instrument::Device;
use fanloom::gui::kept::{KeptSession, Left};

use super::{
    Window, changes, click, is_target, jump, names, open_from_list, press, press_with, settle, shown, type_into,
};

const SPREADER: &str = include_str!("../../circuits/parallel-open.ron");

pub(super) fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder for the test")
}

/// A window that keeps itself in a folder.
pub(super) fn kept(folder: &Path, start: Option<PathBuf>) -> Window {
    kept_on(Desktop::default(), folder, start)
}

/// The same on a desktop with settings of its own.
pub(super) fn kept_on(desktop: Desktop, folder: &Path, start: Option<PathBuf>) -> Window {
    let folder = folder.to_owned();
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .with_max_steps(12)
        .with_context_setup(fanloom::gui::setup)
        .build_eframe(move |context| App::on_desktop(&context.egui_ctx, Some(&folder), start, desktop));
    window.run();
    settle(&mut window);
    window
}

/// The state folder as it is on the disk once a window has had time to write: what a killed one would leave.
fn killed(window: &mut Window, state: &Path) -> TempDir {
    // Frames of a quarter of a second: past the second from one look to the next, and once more.
    window.run_steps(10);
    let bench = window.state().bench();
    // What was written before anything was done has nothing undone either.
    let steps = (bench.journal().count(), bench.undone().count());
    let kept = |left: &Left| (left.session.journal().done.len(), left.session.journal().undone.len());
    let sheet = window.state().dress().sheet;
    let left = left_in(state, &|left| kept(left) == steps && left.theme == sheet);
    let copy = folder();
    std::fs::write(copy.path().join("window-1.ron"), left.write().expect("it was read")).expect("a copy");
    copy
}

/// Closes a window as the desktop does.
pub(super) fn close(mut window: Window) {
    eframe::App::on_exit(window.state_mut(), None);
}

/// What is kept, as soon as it is as wanted.
pub(super) fn left_in(state: &Path, wanted: &dyn Fn(&Left) -> bool) -> Left {
    for _ in 0..400 {
        let text = std::fs::read_to_string(state.join("window-1.ron")).unwrap_or_default();
        if let Ok(left) = Left::read(&text)
            && wanted(&left)
        {
            return left;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("nothing of the kind was written");
}

fn acts(window: &Window) -> Vec<String> {
    window.state().bench().acts().map(Act::to_string).collect()
}

fn said(window: &Window) -> String {
    window.state().desk().said.clone()
}

/// Writes a file in another program's stead, at a time of its own.
fn write_later(path: &Path, text: &str) {
    std::fs::write(path, text).expect("a file is written");
    let file = std::fs::File::options().write(true).open(path).expect("it is there");
    let later = file.metadata().and_then(|m| m.modified()).expect("it has a time") + Duration::from_secs(3);
    file.set_modified(later).expect("times can be set");
}

/// Lets frames go by until a second is over.
fn a_second(window: &mut Window) {
    window.run_steps(6);
    window.run();
}

pub(super) fn save(window: &mut Window, what: &str, path: &Path) {
    press_with(window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    type_into(window, &format!("{what} file"), &path.display().to_string());
    click(window, &format!("Save {}", what.to_lowercase()));
}

fn open_file(window: &mut Window, path: &Path) {
    press_with(window, Modifiers::COMMAND, Key::O);
    type_into(window, "Circuit file", &path.display().to_string());
    click(window, "Open file");
}

#[test]
fn a_killed_window_comes_back_with_circuit_acts_faults_conditions_and_looks() {
    let state = folder();
    let mut window = kept(state.path(), None);
    open_from_list(&mut window, "Gravel tipper 12");
    type_into(&mut window, "Coolant value", "220F");
    press(&mut window, Key::Enter);
    jump(&mut window, "B1.1", "B1.2");
    jump(&mut window, "B2.1", "B2.2");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    super::focus(&mut window, "Y1, ");
    press(&mut window, Key::X);
    click(&mut window, "Plant: Y1's coil broken through");
    press(&mut window, Key::Escape);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    press_with(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    click(&mut window, "Symbols: IEC");
    click(&mut window, "\u{b0}F psi");
    press(&mut window, Key::L);
    press(&mut window, Key::Plus);
    for sheet in ["Sheet: as desktop", "Sheet: light", "Sheet: dark"] {
        click(&mut window, sheet);
    }
    let faults: Vec<String> = window.state().bench().faults().iter().map(Fault::to_string).collect();
    assert_eq!(faults.len(), 1, "{:?}", names(&window));

    let copy = killed(&mut window, state.path());
    let left = left_in(copy.path(), &|_| true);
    let again = kept(copy.path(), None);

    let (was, is) = (window.state(), again.state());
    assert_eq!(is.bench().circuit().title(), "Gravel tipper 12");
    assert_eq!(acts(&again), ["jump:B1.1=B1.2"]);
    assert_eq!(is.bench().faults(), was.bench().faults());
    assert_eq!(is.bench().conditions(), was.bench().conditions());
    assert_eq!(is.bench().outcome().volts, was.bench().outcome().volts);
    assert!(is.bench().journal().eq(was.bench().journal()), "undo reaches as far as before");
    assert_eq!((is.room().drawer, is.room().open_drawer()), (was.room().drawer, was.room().open_drawer()));
    assert!(shown(&again, "Symbols: IEEE") && shown(&again, "\u{b0}C kPa"));
    assert_eq!((left.look.symbols, left.look.units), (Symbols::Ieee315, Units::Metric));
    assert!(left.view.is_some(), "the zoom is kept");
    assert_eq!(left.theme, Sheet::Projector);
    assert!(shown(&again, "Sheet: projector"));
    assert!(shown(&again, "Taken up again where it was left."), "{:?}", names(&again));
}

#[test]
fn a_circuit_made_from_answers_is_in_no_file_and_comes_back_all_the_same() {
    let state = folder();
    let mut window = kept(state.path(), None);
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Make one from answers");
    click(&mut window, "Put it on the bench");
    press(&mut window, Key::Escape);
    let title = window.state().bench().circuit().title().to_owned();
    assert_ne!(title, "Salt spreader 3");
    type_into(&mut window, "Coolant value", "230F");
    press(&mut window, Key::Enter);

    let copy = killed(&mut window, state.path());
    let mut again = kept(copy.path(), None);

    assert_eq!(again.state().bench().circuit().title(), title);
    assert_eq!(again.state().bench().conditions(), window.state().bench().conditions());
    let path = copy.path().join("made.ron");
    save(&mut again, "Circuit", &path);
    let other = super::window_on(Some(path), (1280.0, 800.0));
    assert_eq!(other.state().bench().circuit().title(), title);
}

#[test]
fn what_was_undone_can_be_done_again_after_a_kill() {
    let state = folder();
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);

    let copy = killed(&mut window, state.path());
    let mut again = kept(copy.path(), None);
    assert!(acts(&again).is_empty());
    press_with(&mut again, Modifiers::COMMAND, Key::Y);
    assert_eq!(acts(&again), ["jump:B1.1=B1.2"]);
    press_with(&mut again, Modifiers::COMMAND, Key::Y);

    assert_eq!(acts(&again), ["jump:B1.1=B1.2", "turn:S2=on"]);
}

#[test]
fn a_clock_that_was_out_leaves_its_conditions_and_the_instruments_stay_on() {
    let state = folder();
    let mut window = kept(state.path(), None);
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal Y1.1,");
    click(&mut window, "Terminal Y1.2,");
    press(&mut window, Key::Escape);
    type_into(&mut window, "Engine speed value", "1800");
    press(&mut window, Key::Enter);
    press(&mut window, Key::T);
    click(&mut window, "Speed 300 times");
    for _ in 0..10 {
        press(&mut window, Key::Period);
    }
    let reached = window.state().bench().conditions().coolant_c;
    assert!(reached > 30.0, "{reached}: the engine warms up");

    window.run_steps(10);
    // Written while the clock went on too: the file that counts has it as far as it came.
    let at_s = window.state().bays().next().unwrap().session.clock().map(|clock| clock.at_s());
    let left = left_in(state.path(), &|left| left.time.as_ref().map(|time| time.at_s) == at_s);
    let copy = folder();
    std::fs::write(copy.path().join("window-1.ron"), left.write().unwrap()).unwrap();
    let again = kept(copy.path(), None);

    let coolant = again.state().bench().conditions().coolant_c;
    assert!((coolant - reached).abs() < 0.1, "{coolant} and not {reached}");
    assert_eq!(again.state().desk().instruments, window.state().desk().instruments);
    assert!(again.state().desk().instruments.is_on(Device::Meter));
    assert!(shown(&again, "Run"), "the clock is out: {:?}", names(&again));
}

#[test]
fn a_hunt_comes_back_with_all_its_readings_and_minutes() {
    let state = folder();
    let mut window = kept(state.path(), None);
    click(&mut window, "S2, hand switch");
    press(&mut window, Key::H);
    type_into(&mut window, "Number of the hunt", "7");
    click(&mut window, "Begin the hunt");
    settle(&mut window);
    window.run();
    click(&mut window, "S2, hand switch");
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal Y1.1,");
    click(&mut window, "Terminal Y1.2,");
    let told =
        |window: &Window| -> Vec<String> { names(window).into_iter().filter(|name| name.contains(" min")).collect() };
    let was = told(&window);
    assert!(was.len() > 1, "{:?}", names(&window));

    window.run_steps(10);
    let left = left_in(state.path(), &|left| left.session.hunt.as_ref().is_some_and(|hunt| hunt.lines.len() == 2));
    let copy = folder();
    std::fs::write(copy.path().join("window-1.ron"), left.write().unwrap()).unwrap();
    let mut again = kept(copy.path(), None);
    settle(&mut again);
    again.run();

    assert_eq!(told(&again), was);
    assert!(shown(&again, "Hunt 7"));
    super::reach(&mut again, "Give up");
    super::reach(&mut again, "Show what it was");
    super::reach(&mut again, "Put the hunt away");
    assert_eq!(acts(&again), ["turn:S2=on"], "what waited behind the hunt is there again");
}

#[test]
fn what_was_seen_for_a_find_comes_back() {
    let state = folder();
    let mut window = kept(state.path(), None);
    let sight = "fan=released with coolant=230F";
    let mut left = left_in(state.path(), &|_| true);
    left.session.seen = vec![sight.to_owned(), "nonsense".to_owned()];
    close(window);
    std::fs::write(state.path().join("window-1.ron"), left.write().unwrap()).unwrap();

    window = kept(state.path(), None);
    window.run_steps(10);

    let kept = left_in(state.path(), &|left| left.session.seen.len() == 1);
    assert_eq!(kept.session.seen, [sight], "and a line that no longer reads is left out");
}

#[test]
fn beginning_anew_is_one_click_and_what_was_there_can_be_taken_up_again() {
    let state = folder();
    let mut window = kept(state.path(), None);
    open_from_list(&mut window, "Gravel tipper 12");
    jump(&mut window, "B1.1", "B1.2");
    close(window);

    let mut window = kept(state.path(), None);
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
    click(&mut window, "Begin anew");

    assert_eq!((window.state().bench().circuit().title(), changes(&window)), ("Salt spreader 3", 0));
    assert!(!shown(&window, "Begin anew"));
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Stood here before: Gravel tipper 12, one change");
    assert_eq!(window.state().bench().circuit().title(), "Gravel tipper 12");
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
}

#[test]
fn a_circuit_put_on_the_bench_sets_what_was_done_aside_also_from_run_to_run() {
    let state = folder();
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Gravel tipper 12");
    click(&mut window, "Leave it changed");
    close(window);

    let mut window = kept(state.path(), None);
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Stood here before: Salt spreader 3, one change");

    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
}

#[test]
fn the_last_five_that_stood_on_the_bench_are_at_hand_and_taking_one_up_loses_none() {
    let state = folder();
    let mut window = kept(state.path(), None);
    let titles = ["Gravel tipper 12", "Snow plough 9", "Coach 41", "Low loader 4", "Street sweeper 11", "Coach 44"];
    for title in titles {
        press_with(&mut window, Modifiers::COMMAND, Key::O);
        super::reach(&mut window, title);
        type_into(&mut window, "Coolant value", "230F");
        press(&mut window, Key::Enter);
    }
    let listed = |window: &mut Window| -> Vec<String> {
        press_with(window, Modifiers::COMMAND, Key::O);
        let names = names(window).into_iter();
        names.filter_map(|name| name.strip_prefix("Stood here before: ").map(str::to_owned)).collect()
    };
    let of =
        |titles: &[&str]| -> Vec<String> { titles.iter().map(|title| format!("{title}, nothing changed")).collect() };
    assert_eq!(
        listed(&mut window),
        of(&["Street sweeper 11", "Low loader 4", "Coach 41", "Snow plough 9", "Gravel tipper 12"])
    );

    super::reach(&mut window, "Stood here before: Coach 41");

    assert_eq!(window.state().bench().circuit().title(), "Coach 41");
    assert!(window.state().bench().conditions().coolant_c > 100.0);
    let now = listed(&mut window);
    assert_eq!(now[..4], of(&["Coach 44", "Street sweeper 11", "Low loader 4", "Coach 41"]));
}

#[test]
fn a_window_opened_on_a_file_shows_the_file_and_sets_aside_what_was_left() {
    let state = folder();
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    close(window);
    let path = state.path().join("mine.ron");
    std::fs::write(&path, SPREADER.replace("Salt spreader 3", "Mine")).unwrap();

    let mut window = kept(state.path(), Some(path));

    assert_eq!((window.state().bench().circuit().title(), changes(&window)), ("Mine", 0));
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Stood here before: Salt spreader 3, one change");
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
}

#[test]
fn a_damaged_file_is_set_aside_with_a_message_and_the_window_opens() {
    let whole = {
        let state = folder();
        close(kept(state.path(), None));
        std::fs::read_to_string(state.path().join("window-1.ron")).unwrap()
    };
    let half = whole.chars().take(whole.chars().count() / 2).collect::<String>();
    let damaged = [
        half.into_bytes(),
        Vec::new(),
        vec![0xff, 0xfe, 0],
        whole.replace("Key", "Kye").replace("Circuit(", "C(").into_bytes(),
    ];
    for (number, bytes) in damaged.into_iter().enumerate() {
        let state = folder();
        std::fs::write(state.path().join("window-1.ron"), &bytes).unwrap();

        let window = kept(state.path(), None);

        let dialog = window.state().room().dialog.clone();
        assert!(matches!(&dialog, Some(Dialog::Report(..))), "{number}: {dialog:?}");
        assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
        close(window);
        let kept = std::fs::read(state.path().join("window-1-damaged-1.ron"));
        assert_eq!(kept.ok(), Some(bytes), "{number}: nothing of it is lost");
    }
}

#[test]
fn an_act_that_the_circuit_cannot_have_is_told_and_the_rest_is_taken_up() {
    let state = folder();
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    let copy = killed(&mut window, state.path());
    let path = copy.path().join("window-1.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("Do(\"jump:B1.1=B1.2\")", "Do(\"turn:S9=on\"),\nDo(\"turn:S2=on\")")).unwrap();

    let window = kept(copy.path(), None);

    assert_eq!(acts(&window), ["turn:S2=on"]);
    let Some(Dialog::Report(_, text)) = &window.state().room().dialog else { panic!("a report") };
    assert!(text.contains("no part `S9`"), "{text}");
}

#[test]
fn two_windows_at_once_keep_themselves_apart() {
    let state = folder();
    let mut first = kept(state.path(), None);
    let mut second = kept(state.path(), None);
    jump(&mut first, "B1.1", "B1.2");
    click(&mut second, "S2, hand switch");
    close(first);
    close(second);

    let (first, second) = (kept(state.path(), None), kept(state.path(), None));

    assert_eq!(acts(&first), ["jump:B1.1=B1.2"]);
    assert_eq!(acts(&second), ["turn:S2=on"]);
}

#[test]
fn an_untouched_window_writes_nothing_and_asks_for_no_frame() {
    let state = folder();
    let mut window = kept(state.path(), None);
    click(&mut window, "S2, hand switch");
    window.run_steps(10);
    left_in(state.path(), &|left| !left.session.done.is_empty());
    let path = state.path().join("window-1.ron");
    let written = |path: &Path| std::fs::metadata(path).and_then(|m| m.modified()).expect("it is there");
    let before: SystemTime = written(&path);

    let waits = |window: &Window| window.output().viewport_output.values().map(|output| output.repaint_delay).min();
    let rests = (0..6).any(|_| {
        window.step();
        waits(&window) == Some(Duration::MAX)
    });
    assert!(rests, "after a last look no frame is asked for, not even later: {:?}", waits(&window));
    std::thread::sleep(Duration::from_millis(50));
    assert_eq!(written(&path), before);
}

fn is_told_unkept(window: &Window) -> bool {
    names(window).iter().any(|name| name.contains("is not kept against a crash"))
}

#[test]
fn a_state_folder_that_cannot_be_written_is_told_and_the_window_opens() {
    let state = folder();
    let file = state.path().join("file");
    std::fs::write(&file, "").unwrap();

    let window = kept(&file.join("fanloom"), None);

    assert!(is_told_unkept(&window), "{:?}", names(&window));
    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
}

// It was a word in the tray: gone with the next one, while nothing was kept all the same.
#[test]
fn a_write_that_fails_is_told_and_tried_again_until_it_goes_well() {
    let state = folder();
    let mut window = kept(state.path(), None);
    let path = state.path().join("window-1.ron");
    left_in(state.path(), &|_| true);
    std::fs::remove_file(&path).unwrap();
    std::fs::create_dir(&path).unwrap();
    click(&mut window, "S2, hand switch");
    let told = |window: &mut Window, is_told: bool| {
        (0..400).any(|_| {
            window.run_steps(6);
            std::thread::sleep(Duration::from_millis(5));
            is_told_unkept(window) == is_told
        })
    };
    assert!(told(&mut window, true), "{:?}", names(&window));

    press(&mut window, Key::Escape);
    click(&mut window, "S2, hand switch");
    window.run_steps(20);
    assert!(is_told_unkept(&window), "as long as it is so");
    std::fs::remove_dir(&path).unwrap();

    assert!(told(&mut window, false), "{:?}", names(&window));
    window.run_steps(10);
    assert_eq!(left_in(state.path(), &|_| true).session.done.len(), 2);
}

#[test]
fn a_saved_session_opens_with_everything_done_and_save_writes_it_there_again() {
    let folder = folder();
    let path = folder.path().join("lesson.ron");
    let mut window = super::window();
    jump(&mut window, "B1.1", "B1.2");
    save(&mut window, "Session", &path);
    assert!(said(&window).starts_with("Saved the session: "), "{}", said(&window));
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::S);

    let mut other = super::window();
    open_file(&mut other, &path);

    assert_eq!(acts(&other), ["jump:B1.1=B1.2", "turn:S2=on"]);
    press_with(&mut other, Modifiers::COMMAND, Key::Z);
    assert_eq!(acts(&other), ["jump:B1.1=B1.2"], "undo reaches what was done before it was saved");
    let session = KeptSession::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
    assert_eq!(session.text, SPREADER, "the circuit is in it to the letter");
}

#[test]
fn a_circuit_is_saved_to_the_letter() {
    let folder = folder();
    let (from, to) = (folder.path().join("from.ron"), folder.path().join("to.ron"));
    // Line ends and blanks that writing it anew would lose.
    let text = SPREADER.replace('\n', "\r\n").replace("Circuit(", "// mine \u{2192}\r\nCircuit(   ");
    std::fs::write(&from, &text).unwrap();
    let mut window = super::window_on(Some(from), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    jump(&mut window, "B1.1", "B1.2");

    save(&mut window, "Circuit", &to);

    assert_eq!(std::fs::read_to_string(&to).unwrap(), text);
}

#[test]
fn another_file_at_the_place_is_saved_over_only_after_a_question() {
    let folder = folder();
    let path = folder.path().join("other.ron");
    std::fs::write(&path, "mine").unwrap();
    let mut window = super::window();

    // The ending is put to a name that has none.
    save(&mut window, "Session", &folder.path().join("other"));
    assert!(shown(&window, "Another file is there"));
    click(&mut window, "Do not save");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
    save(&mut window, "Session", &path);
    click(&mut window, "Save over it");

    assert!(KeptSession::read(&std::fs::read_to_string(&path).unwrap()).is_ok());
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::S);
    assert!(window.state().room().dialog.is_none(), "one's own file is saved over without a question");
    write_later(&path, "another's");
    press_with(&mut window, Modifiers::COMMAND, Key::S);
    assert!(shown(&window, "Another file is there"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "another's");
}

#[test]
fn a_session_saved_before_a_restart_is_saved_again_without_a_question() {
    let state = folder();
    let path = state.path().join("lesson.ron");
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    save(&mut window, "Session", &path);
    close(window);

    let mut window = kept(state.path(), None);
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::S);
    assert!(window.state().room().dialog.is_none(), "{:?}", window.state().room().dialog);
    close(window);
    write_later(&path, "another's");

    let mut window = kept(state.path(), None);
    press_with(&mut window, Modifiers::COMMAND, Key::S);
    assert!(shown(&window, "Another file is there"));
}

#[test]
fn what_cannot_be_saved_is_told_with_its_mend() {
    let mut window = super::window();
    let places = [
        ("/sys/fanloom.ron", "choose a folder that you may write in"),
        ("/no/such/folder/x.ron", "make the folder first"),
    ];
    for (path, mend) in places.into_iter().filter(|_| cfg!(target_os = "linux")) {
        save(&mut window, "Session", Path::new(path));

        let Some(Dialog::Report(_, text)) = window.state().room().dialog.clone() else { panic!("a report on {path}") };
        assert!(text.contains(mend), "{text}");
        press(&mut window, Key::Escape);
    }
}

#[test]
fn a_circuit_changed_by_another_is_noticed_and_read_again_with_what_was_done() {
    let folder = folder();
    let path = folder.path().join("mine.ron");
    std::fs::write(&path, SPREADER).unwrap();
    let mut window = super::window_on(Some(path.clone()), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    jump(&mut window, "B1.1", "B1.2");
    a_second(&mut window);
    assert!(!shown(&window, "Read it again"));

    write_later(&path, &SPREADER.replace("volts: 12.6", "volts: 12.1"));
    a_second(&mut window);
    assert!(shown(&window, "Another program has changed mine.ron, the circuit here."), "{:?}", names(&window));
    click(&mut window, "Read it again");

    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
    let (_, battery) = window.state().bench().circuit().battery().expect("a battery");
    assert_eq!(battery.volts, 12.1);
    assert!(!shown(&window, "Read it again"));
    a_second(&mut window);
    assert!(!shown(&window, "Read it again"), "told once");
}

#[test]
fn a_change_by_another_can_be_left_where_it_is() {
    let folder = folder();
    let path = folder.path().join("mine.ron");
    std::fs::write(&path, SPREADER).unwrap();
    let mut window = super::window_on(Some(path.clone()), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    a_second(&mut window);

    write_later(&path, "no circuit at all");
    a_second(&mut window);
    click(&mut window, "Keep what is here");
    a_second(&mut window);

    assert!(!shown(&window, "Keep what is here"));
    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
    std::fs::write(&path, SPREADER).unwrap();
    a_second(&mut window);
    assert!(!shown(&window, "Read it again"), "it is as it was");
}

#[test]
fn what_cannot_be_read_again_leaves_the_bench_as_it_is() {
    let folder = folder();
    let path = folder.path().join("mine.ron");
    std::fs::write(&path, SPREADER).unwrap();
    let mut window = super::window_on(Some(path.clone()), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    jump(&mut window, "B1.1", "B1.2");
    write_later(&path, "Circuit(format: 1, title: 3)");
    a_second(&mut window);

    click(&mut window, "Read it again");

    assert!(matches!(&window.state().room().dialog, Some(Dialog::Report(..))));
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
}

#[test]
fn a_file_that_is_gone_is_noticed_and_saved_there_again() {
    let folder = folder();
    let path = folder.path().join("mine.ron");
    std::fs::write(&path, SPREADER).unwrap();
    let mut window = super::window_on(Some(path.clone()), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    a_second(&mut window);
    std::fs::remove_file(&path).unwrap();
    a_second(&mut window);
    assert!(shown(&window, "mine.ron is no longer there"), "{:?}", names(&window));

    click(&mut window, "Save it there again");

    assert_eq!(std::fs::read_to_string(&path).unwrap(), SPREADER);
    assert!(!shown(&window, "Save it there again"));
}

#[test]
fn files_opened_or_saved_lately_are_listed_the_last_one_first_and_kept() {
    let state = folder();
    let paths: Vec<PathBuf> = ["a", "b"].iter().map(|name| state.path().join(format!("{name}.ron"))).collect();
    let mut window = kept(state.path(), None);
    for path in &paths {
        std::fs::write(path, SPREADER).unwrap();
        open_file(&mut window, path);
        press(&mut window, Key::Escape);
    }
    close(window);

    let mut window = kept(state.path(), None);
    press_with(&mut window, Modifiers::COMMAND, Key::O);

    let listed: Vec<String> = names(&window).into_iter().filter(|name| name.starts_with("Lately: ")).collect();
    assert_eq!(listed, [1, 0].map(|n| format!("Lately: {}", paths[n].display())));
    click(&mut window, &listed[1]);
    press(&mut window, Key::Escape);
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    let first = names(&window).into_iter().find(|name| name.starts_with("Lately: "));
    assert_eq!(first.as_ref(), Some(&listed[1]));
    std::fs::remove_file(&paths[1]).unwrap();
    click(&mut window, &listed[0]);
    assert!(matches!(&window.state().room().dialog, Some(Dialog::Report(_, why)) if why.contains("check the path")));
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|why| why.to_string())
    }
}

/// Lets files go over the window: copies of the spreader's circuit with these titles.
pub(super) fn let_go(window: &mut Window, folder: &Path, titles: &[&str]) {
    for title in titles {
        let path = folder.join(format!("{title}.ron"));
        std::fs::write(&path, SPREADER.replace("Salt spreader 3", title)).expect("a file is written");
        let dropped: egui::DroppedFileHandle = Arc::new(Dropped(path));
        window.input_mut().dropped_files.push(dropped);
    }
    window.run();
}

#[test]
fn a_file_let_go_over_the_window_asks_where_it_is_to_go() {
    let folder = folder();
    let mut window = super::window();
    window.input_mut().hovered_files.push(egui::HoveredFile::default());
    // A file held over the window keeps it awake.
    window.run_steps(2);
    assert!(shown(&window, "Let go: "), "{:?}", names(&window));
    window.input_mut().hovered_files.clear();
    let_go(&mut window, folder.path(), &["First"]);

    assert!(!shown(&window, "Let go: "));
    assert!(shown(&window, "Where is First.ron to go?"));
    click(&mut window, "Do not open it");
    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
    let_go(&mut window, folder.path(), &["First"]);
    click(&mut window, "In place of Salt spreader 3");
    assert_eq!(window.state().bench().circuit().title(), "First");
    assert_eq!(window.state().bays().count(), 1);
}

#[test]
fn a_session_with_a_slip_of_the_pen_is_told_with_its_line() {
    let folder = folder();
    let path = folder.path().join("lesson.ron");
    let mut window = super::window();
    jump(&mut window, "B1.1", "B1.2");
    save(&mut window, "Session", &path);
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("jump:B1.1=B1.2", "jumb:B1.1=B1.2")).unwrap();
    let line = text.lines().position(|line| line.contains("jump:B1.1")).expect("it is there") + 1;

    let mut other = super::window();
    open_file(&mut other, &path);

    let Some(Dialog::Report(_, report)) = &other.state().room().dialog else { panic!("a report") };
    assert!(report.contains(&format!("lesson.ron:{line}")), "{report}");
    assert!(report.contains("`jumb:B1.1=B1.2` is not an act"), "{report}");
}

#[test]
fn what_a_finger_presses_about_files_is_large_enough() {
    let state = folder();
    let mut window = kept(state.path(), None);
    jump(&mut window, "B1.1", "B1.2");
    close(window);
    let mut window = kept(state.path(), None);
    let high = |window: &Window, name: &str| window.get_by(|node| is_target(node, name)).rect().height();
    assert!(high(&window, "Begin anew") >= 44.0);
    press_with(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    for name in ["Save session", "Save circuit", "Choose where to save the session", "Session file", "Circuit file"] {
        assert!(high(&window, name) >= 44.0, "{name}");
    }
    press(&mut window, Key::Escape);
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    for name in ["Open file", "Choose\u{2026}", "Close"] {
        assert!(high(&window, name) >= 44.0, "{name}");
    }
}
