//! What was done as a demonstration: made, written to, saved, opened, gone through forward and back, on the circuit it was
//! made on and on others.
//!
//! What a step brings about is the study's, and tested through the command line in `tests/steps.rs`.

use std::path::Path;

use eframe::egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::bench::{Act, Demonstration};
use fanloom::gui::command::Dialog;
use fanloom::study::answer::Standing;

use super::files::{close, kept, left_in, save};
use super::sizes::nothing_is_out_of_reach;
use super::{
    Window, click, is_target, jump, name, names, press, press_with, reach, shown, type_into, window, window_on,
};

const SPREADER: &str = include_str!("../../circuits/parallel-open.ron");

/// Three steps on the worked example: a lead, its way back, and heat.
fn three_steps(window: &mut Window) {
    jump(window, "B1.1", "B1.2");
    click(window, "Put back: Lead B1.1 to B1.2");
    type_into(window, "Coolant value", "230F");
    press(window, Key::Enter);
}

/// A demonstration of these steps in a file, with a line written to its first.
fn demonstration(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("lesson.ron");
    let mut window = window();
    three_steps(&mut window);
    press(&mut window, Key::S);
    click(&mut window, "Make a demonstration of it");
    reach(&mut window, "Go to step 1: Lead B1.1 to B1.2");
    type_into(&mut window, "Write to step 1", "Bridged: open at rest");
    type_into(&mut window, "What it shows", "Bridge or lift?");
    // Keys are for the field as long as it is being typed in.
    press(&mut window, Key::Escape);
    save(&mut window, "Demonstration", &path);
    path
}

fn open(window: &mut Window, path: &Path) {
    press_with(window, Modifiers::COMMAND, Key::O);
    type_into(window, "Circuit file", &path.display().to_string());
    click(window, "Open file");
}

fn acts(window: &Window) -> Vec<String> {
    window.state().bench().acts().map(Act::to_string).collect()
}

fn standing(window: &Window) -> Standing {
    window.state().verdict().standing
}

#[test]
fn what_was_done_is_listed_and_made_a_demonstration_with_what_each_step_brought_about() {
    let mut window = window();
    press(&mut window, Key::S);
    assert!(shown(&window, "Nothing has been done here yet."));
    three_steps(&mut window);
    for line in ["1. Lead B1.1 to B1.2, 5 A fuse", "2. Putting back: Lead B1.1 to B1.2", "3. Coolant 230"] {
        assert!(shown(&window, line), "{line}: {:?}", names(&window));
    }

    click(&mut window, "Make a demonstration of it");

    assert!(shown(&window, "3 of 3 steps done"));
    assert!(shown(&window, "Fan: free \u{2192} driven"));
    assert!(
        names(&window).iter().any(|name| name.starts_with("Call: no call") && name.contains("\u{2192} fan called"))
    );
}

#[test]
fn a_saved_demonstration_is_opened_and_gone_through_forward_back_and_from_the_beginning() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let mut window = window();

    open(&mut window, &path);
    assert!(shown(&window, "0 of 3 steps done") && shown(&window, "Bridge or lift?"), "{:?}", names(&window));
    assert!(acts(&window).is_empty());
    click(&mut window, "Next step");
    assert_eq!((acts(&window), standing(&window)), (vec!["jump:B1.1=B1.2".to_owned()], Standing::Engaged));
    assert!(shown(&window, "Step 1: Lead B1.1 to B1.2") && shown(&window, "Bridged: open at rest"));
    assert!(shown(&window, "Circuit: coil dead, 0.00 V \u{2192} coil live"));
    press(&mut window, Key::PageDown);
    press(&mut window, Key::PageDown);
    assert!((window.state().bench().conditions().coolant_c - 110.0).abs() < 0.1);
    press(&mut window, Key::PageUp);
    click(&mut window, "Step back");
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
    press(&mut window, Key::Home);
    assert!(acts(&window).is_empty() && shown(&window, "0 of 3 steps done"));
    reach(&mut window, "Go to step 3: ");
    assert!(shown(&window, "3 of 3 steps done"));
}

#[test]
fn a_window_opened_on_a_demonstration_shows_its_steps() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    for start in [window_on(Some(path.clone()), (1280.0, 800.0)), kept(folder.path(), Some(path))] {
        assert!(shown(&start, "0 of 3 steps done"), "{:?}", names(&start));
    }
}

#[test]
fn the_state_at_the_end_is_the_one_it_was_made_in() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let mut made = window();
    three_steps(&mut made);
    let mut window = window();
    open(&mut window, &path);

    for _ in 0..3 {
        click(&mut window, "Next step");
    }

    let (was, is) = (made.state().bench(), window.state().bench());
    assert_eq!((is.outcome().volts.clone(), is.conditions()), (was.outcome().volts.clone(), was.conditions()));
    assert!(is.journal().eq(was.journal()));
}

#[test]
fn the_step_ahead_is_kept_back_until_it_is_to_be_told_and_what_it_brings_is_never_told_ahead() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let mut window = window();
    open(&mut window, &path);
    assert!(!shown(&window, "What will happen?") && shown(&window, "Go to step 1: kept back"));

    click(&mut window, "Tell the step ahead");

    assert!(shown(&window, "Step 1 ahead: Lead B1.1 to B1.2") && shown(&window, "What will happen?"));
    assert!(shown(&window, "Bridged: open at rest"), "what the trainer wrote");
    assert!(shown(&window, "Go to step 2: kept back"), "only one ahead");
    assert!(!shown(&window, "Fan: free"), "the class has to foretell it");
    click(&mut window, "Next step");
    assert!(shown(&window, "Fan: free \u{2192} driven") && shown(&window, "Step 2 ahead: "));
}

#[test]
fn undo_and_the_same_act_by_hand_are_steps_too_and_anything_else_is_told_and_set_aside() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let mut window = window();
    open(&mut window, &path);
    jump(&mut window, "B1.1", "B1.2");
    assert!(shown(&window, "1 of 3 steps done"), "{:?}", names(&window));
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(shown(&window, "0 of 3 steps done"));

    click(&mut window, "S2, hand switch");
    assert!(shown(&window, "Something else was done on the bench since."));
    click(&mut window, "Next step");

    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
    assert!(!shown(&window, "Something else was done"));
}

#[test]
fn a_demonstration_of_a_circuit_that_has_changed_says_so_and_takes_the_one_as_it_is_now_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let circuit = folder.path().join("mine.ron");
    std::fs::write(&circuit, SPREADER).unwrap();
    let mut made = window_on(Some(circuit.clone()), (1280.0, 800.0));
    press(&mut made, Key::Escape);
    click(&mut made, "S2, hand switch");
    jump(&mut made, "B1.1", "B1.2");
    let path = folder.path().join("steps.ron");
    save(&mut made, "Demonstration", &path);
    // The override is another switch now.
    std::fs::write(&circuit, SPREADER.replace("\"S2", "\"S9")).unwrap();

    let mut window = window();
    open(&mut window, &path);
    assert!(shown(&window, "The circuit has been changed since this was made"), "{:?}", names(&window));
    click(&mut window, "Next step");
    assert_eq!(acts(&window), ["turn:S2=on"], "as it was");
    click(&mut window, "Take the circuit as it is now");

    let Some(Dialog::Report(_, text)) = window.state().room().dialog.clone() else { panic!("a report") };
    assert!(text.contains("turn:S2=on") && text.contains("no part `S2`"), "{text}");
    press(&mut window, Key::Escape);
    assert!(shown(&window, "0 of 1 steps done"), "{:?}", names(&window));
    click(&mut window, "Next step");
    assert_eq!(acts(&window), ["jump:B1.1=B1.2"]);
}

#[test]
fn a_demonstration_whose_circuit_is_gone_is_shown_with_the_one_it_holds_and_without_one_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let text = std::fs::read_to_string(&path).unwrap();
    let elsewhere = text.replace("Shipped(\"parallel-open\")", "File(\"gone.ron\")");
    assert_ne!(text, elsewhere);
    std::fs::write(&path, &elsewhere).unwrap();
    let mut window = window();
    open(&mut window, &path);
    assert!(shown(&window, "The circuit is no longer where it was"), "{:?}", names(&window));
    click(&mut window, "Next step");
    assert_eq!(standing(&window), Standing::Engaged);

    let bare = Demonstration { text: String::new(), ..Demonstration::read(&elsewhere).unwrap() };
    std::fs::write(&path, bare.write().unwrap()).unwrap();
    let mut window = super::window();
    open(&mut window, &path);
    let Some(Dialog::Report(_, why)) = window.state().room().dialog.clone() else { panic!("a report") };
    assert!(why.contains("put the circuit file there"), "{why}");
}

#[test]
fn damaged_demonstrations_are_told_with_their_line_and_nothing_else_happens() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let whole = std::fs::read_to_string(&path).unwrap();
    let half: String = whole.chars().take(whole.chars().count() / 2).collect();
    let damaged = [
        half,
        whole.replacen("format: 1", "format: 9", 1),
        whole.replace("jump:B1.1", "jumb:B1.1"),
        whole.replace("says:", "said:"),
        "Demonstration(".to_owned(),
        whole.replace("Circuit(", "Circus("),
    ];
    for text in damaged {
        std::fs::write(&path, &text).unwrap();
        let mut window = window();
        click(&mut window, "S2, hand switch");
        click(&mut window, "Put back: S2 turned on");
        open(&mut window, &path);
        assert!(matches!(&window.state().room().dialog, Some(Dialog::Report(..))), "{text:.200}");
        assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
        assert!(window.state().bench().undoable().is_some(), "what was here stays");
    }
}

#[test]
fn a_demonstration_on_two_circuits_at_once_goes_on_and_back_on_both() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    let mut window = window_on(None, (1440.0, 900.0));
    super::side::open_beside(&mut window, "Gravel tipper 12");
    click(&mut window, "Salt spreader 3: ");
    open_in_place(&mut window, &path);
    press(&mut window, Key::D);

    press(&mut window, Key::PageDown);

    let standings: Vec<Standing> = window.state().bays().map(|bay| bay.session.verdict().standing).collect();
    assert_eq!(standings, [Standing::Engaged, Standing::Released], "the same lead, open and closed at rest");
    press(&mut window, Key::PageUp);
    assert!(window.state().bays().all(|bay| bay.session.bench().changes().is_empty()));
}

fn open_in_place(window: &mut Window, path: &Path) {
    press_with(window, Modifiers::COMMAND, Key::O);
    click(window, "In place of ");
    type_into(window, "Circuit file", &path.display().to_string());
    click(window, "Open file");
}

#[test]
fn a_demonstration_comes_back_after_a_kill_where_it_stood() {
    let state = tempfile::tempdir().unwrap();
    let path = demonstration(state.path());
    let mut window = kept(state.path(), None);
    open(&mut window, &path);
    click(&mut window, "Tell the step ahead");
    click(&mut window, "Next step");
    window.run_steps(10);
    left_in(state.path(), &|left| left.demonstration.as_ref().is_some_and(|shown| shown.at == 1 && shown.tells_ahead));
    close(window);

    let mut again = kept(state.path(), None);

    assert!(shown(&again, "1 of 3 steps done") && shown(&again, "Step 2 ahead: "), "{:?}", names(&again));
    press(&mut again, Key::PageUp);
    assert!(acts(&again).is_empty());
    reach(&mut again, "Save it in a file");
    assert!(shown(&again, "Save demonstration"));
    click(&mut again, "Save demonstration");
    assert!(!shown(&again, "Another file is there"), "it is one's own");
}

#[test]
fn time_that_passed_on_the_clock_passes_again_in_a_demonstration_and_the_air_is_where_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("filling.ron");
    let mut window = window();
    press(&mut window, Key::T);
    (0..5).for_each(|_| press(&mut window, Key::Period));
    jump(&mut window, "B1.1", "B1.2");
    (0..8).for_each(|_| press(&mut window, Key::Period));
    click(&mut window, "S2, hand switch");
    let clock = |window: &Window| {
        let clock = window.state().bays().next().unwrap().session.clock().expect("it is out").clone();
        (clock.at_s(), clock.moment().unwrap().clutch_kpa)
    };
    let (at_s, kpa) = clock(&window);
    assert!((at_s - 1.3).abs() < 1e-9 && kpa > 100.0, "{at_s} {kpa}");
    press(&mut window, Key::S);
    reach(&mut window, "Make a demonstration of it");
    save(&mut window, "Demonstration", &path);

    let mut window = window_on(Some(path), (1280.0, 800.0));
    assert!(window.state().bays().all(|bay| bay.session.clock().is_none()));
    press(&mut window, Key::PageDown);
    assert!((clock(&window).0 - 0.5).abs() < 1e-9, "the clock comes out and runs to the first step");
    press(&mut window, Key::PageDown);
    let (again_s, again_kpa) = clock(&window);
    assert!((again_s - at_s).abs() < 1e-9 && (again_kpa - kpa).abs() < 0.01 * kpa, "{again_s} {again_kpa}");
    assert!(shown(&window, "Go to step 2: S2 turned on"), "{:?}", names(&window));

    press(&mut window, Key::PageUp);
    assert!((clock(&window).0 - 0.5).abs() < 1e-9 && acts(&window) == ["jump:B1.1=B1.2"], "time goes back with it");
    press(&mut window, Key::PageDown);
    assert!((clock(&window).1 - kpa).abs() < 0.01 * kpa);
}

#[test]
fn the_time_after_the_last_step_is_kept_and_what_each_brings_is_told_at_its_moment() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("filling.ron");
    let mut window = window();
    jump(&mut window, "F1.1", "F1.2");
    press(&mut window, Key::T);
    (0..5).for_each(|_| press(&mut window, Key::Period));
    jump(&mut window, "B1.1", "B1.2");
    (0..40).for_each(|_| press(&mut window, Key::Period));
    assert_eq!(standing(&window), Standing::Engaged);
    press(&mut window, Key::S);
    reach(&mut window, "Make a demonstration of it");
    save(&mut window, "Demonstration", &path);
    let read = Demonstration::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
    assert_eq!((read.before_clock, read.steps.len()), (1, 2), "the first lead was on before the clock was out");
    assert!((read.then_s - 4.0).abs() < 1e-9, "{}", read.then_s);

    let mut window = window_on(Some(path), (1280.0, 800.0));
    let clock = |window: &Window| window.state().bays().next().unwrap().session.clock().map(|clock| clock.at_s());
    press(&mut window, Key::PageDown);
    assert_eq!(clock(&window), None, "it stands");
    press(&mut window, Key::PageDown);
    assert!((clock(&window).unwrap() - 0.5).abs() < 1e-9);
    assert_eq!(standing(&window), Standing::Released);
    assert!(shown(&window, "Fan stays free") && shown(&window, "2 of 2 steps done"), "{:?}", names(&window));
    assert!(!shown(&window, "4.0 s passed"), "what comes of it is not told ahead");

    press(&mut window, Key::PageDown);

    assert!((clock(&window).unwrap() - 4.5).abs() < 1e-9);
    assert_eq!(standing(&window), Standing::Engaged);
    assert!(shown(&window, "4.0 s passed") && shown(&window, "Fan: free \u{2192} driven"), "{:?}", names(&window));
    let next = window.get_by(|node| is_target(node, "Next step"));
    assert!(next.accesskit_node().is_disabled(), "there is nothing after its end");
    // The way back passed over the moment of the last step: from the end it led before that step.
    press(&mut window, Key::PageUp);
    assert!(shown(&window, "2 of 2 steps done") && (clock(&window).unwrap() - 0.5).abs() < 1e-9);
    assert_eq!(standing(&window), Standing::Released);
    reach(&mut window, "Go to the end, 4.0 s after");
    assert!((clock(&window).unwrap() - 4.5).abs() < 1e-9 && standing(&window) == Standing::Engaged);
    press(&mut window, Key::PageUp);
    press(&mut window, Key::PageUp);
    assert!(shown(&window, "1 of 2 steps done") && clock(&window).is_none());
}

#[test]
fn a_demonstration_is_in_reach_in_every_size_of_window() {
    let folder = tempfile::tempdir().unwrap();
    let path = demonstration(folder.path());
    for size in [(1280.0, 800.0), (1024.0, 700.0), (720.0, 520.0), (512.0, 350.0)] {
        let mut window = window_on(None, size);
        open(&mut window, &path);
        reach(&mut window, "Tell the step ahead");
        nothing_is_out_of_reach(&mut window, "before the first step");
        reach(&mut window, "Next step");
        nothing_is_out_of_reach(&mut window, "a step");
        let next = window.get_by(|node| is_target(node, "Next step")).rect();
        assert!(next.height() >= 44.0 && window.ctx.content_rect().size() == vec2(size.0, size.1), "{next:?}");
        let row = window.get_by(|node| name(node).is_some_and(|name| name.starts_with("Go to step 2"))).rect();
        assert!(row.height() >= 44.0, "{row:?}");
    }
}

// With the first letter the words came to stand above the field, which was another one then: the rest were keys.
#[test]
fn a_note_is_written_letter_by_letter_also_where_none_was() {
    let mut window = window();
    three_steps(&mut window);
    press(&mut window, Key::S);
    click(&mut window, "Make a demonstration of it");
    reach(&mut window, "Go to step 1: Lead B1.1 to B1.2");
    super::focus(&mut window, "Write to step 1");
    for letter in ["h", "u", "n", "t"] {
        window.event(eframe::egui::Event::Text(letter.to_owned()));
        window.run();
    }
    let says = |window: &Window| window.get_by(|node| is_target(node, "Write to step 1")).value();
    assert_eq!(says(&window).as_deref(), Some("hunt"));
}
