//! What is pulled out at the left of the drawing, and the card: proving acts, logic table, the page for the cab.
//!
//! That the answers are right is tested elsewhere; here that they are shown, tried, put back and written.

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use fanloom::gui::tool::Tool;
use fanloom::study::answer::Standing;

use super::{
    changes, click, focus, is_target, jump, names, open_from_list, press, press_with, settle, shown, window, window_on,
};

#[test]
fn a_usual_act_is_done_by_one_click_in_the_list_and_put_back_by_the_next() {
    let mut window = window();

    click(&mut window, "Try: Lead across B1, 1 to 2. Usual.");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert_eq!(window.state().desk().tool, Tool::Hand, "nothing is left in hand");
    click(&mut window, "Put back: Lead across B1, 1 to 2. Usual.");

    assert_eq!(window.state().verdict().standing, Standing::Released);
    assert_eq!(changes(&window), 0);
}

#[test]
fn pointing_at_a_proving_act_foretells_it_with_its_reasons_and_does_nothing() {
    let mut window = window();

    focus(&mut window, "Try: Lead across B1");

    assert!(shown(&window, "If you click: lead from B1.1 to B1.2, 5 A fuse"));
    assert!(shown(&window, "Fan: free \u{2192} driven"));
    assert!(shown(&window, "Bridging B1 raises Y1's coil from 0.00 V"), "{:?}", names(&window));
    assert_eq!(changes(&window), 0);
}

#[test]
fn acts_that_release_are_tried_after_the_sensor_is_made_to_act() {
    let mut window = window();
    click(&mut window, "To release");
    click(&mut window, "Make B1 act");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);

    click(&mut window, "Try: Unplug B1. Usual.");

    assert_eq!(window.state().verdict().standing, Standing::Released);
    assert!(shown(&window, "Put back: Unplug B1"));
}

#[test]
fn dangerous_acts_stand_apart_folded_away_with_their_danger() {
    let mut window = window();
    open_from_list(&mut window, "Coach 41");
    settle(&mut window);
    assert!(!shown(&window, "Try: Lead B1.1 to Y1.2"), "folded away");

    focus(&mut window, "Dangerous (");
    press(&mut window, Key::Enter);

    let row = names(&window).into_iter().find(|name| name.starts_with("Try: Lead B1.1 to Y1.2. Dangerous."));
    assert!(row.as_ref().is_some_and(|name| name.contains("Supply meets ground")), "{row:?}");
}

#[test]
fn the_logic_table_marks_the_row_the_bench_stands_in_and_follows_it() {
    let mut window = window();
    click(&mut window, "Logic");
    settle(&mut window);
    assert!(shown(&window, "The clutch engages when any of B1, B2, S2 asks for it"));
    assert!(shown(&window, "The present row: B1 cold, B2 low, S2 off: released"), "{:?}", names(&window));

    click(&mut window, "S2, hand switch");

    assert!(shown(&window, "The present row: B1 cold, B2 low, S2 on: engaged"));
    assert!(shown(&window, "Row: B1 cold, B2 low, S2 off: released"));
}

// With a lead across a switch the marked row said released beside a fan that was driven.
#[test]
fn the_logic_table_says_where_the_bench_does_otherwise_than_the_truck_as_built() {
    let mut window = window();
    click(&mut window, "Logic");
    settle(&mut window);
    let otherwise = "As built the clutch would be released in this row; now it is engaged.";
    assert!(!shown(&window, otherwise));

    jump(&mut window, "B1.1", "B1.2");
    assert!(shown(&window, "The present row: B1 cold, B2 low, S2 off: released"));
    assert!(shown(&window, otherwise), "{:?}", names(&window));
}

#[test]
fn the_card_is_looked_at_and_written_in_the_form_its_ending_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window();
    click(&mut window, "Card");
    settle(&mut window);
    assert!(shown(&window, "The card: "), "{:?}", names(&window));

    for (ending, start) in [("pdf", &b"%PDF"[..]), ("svg", b"<"), ("png", b"\x89PNG")] {
        let path = folder.path().join(format!("card.{ending}"));
        focus(&mut window, "File");
        press_with(&mut window, Modifiers::COMMAND, Key::A);
        window.get_by(|node| is_target(node, "File")).type_text(&path.display().to_string());
        window.run();
        click(&mut window, "Write card");

        let written =
            std::fs::read(&path).unwrap_or_else(|why| panic!("{path:?}: {why}; {}", window.state().desk().said));
        assert!(written.starts_with(start), "{ending}");
        assert!(window.state().desk().said.starts_with("Wrote "));
    }
}

#[test]
fn a_card_that_cannot_be_written_says_why_and_what_to_do() {
    let mut window = window();
    click(&mut window, "Card");
    settle(&mut window);

    for (path, why) in [("no/such/folder/card.pdf", "make the folder first"), ("card", "end it in .pdf, .svg or .png")]
    {
        focus(&mut window, "File");
        press_with(&mut window, Modifiers::COMMAND, Key::A);
        window.get_by(|node| is_target(node, "File")).type_text(path);
        window.run();
        click(&mut window, "Write card");
        assert!(window.state().desk().said.contains(why), "{}", window.state().desk().said);
    }
}

#[test]
fn the_drawer_is_pushed_in_and_pulled_out_by_button_and_key_and_stays_in_on_a_small_screen() {
    let mut window = window();
    assert!(shown(&window, "Proving acts"));
    click(&mut window, "Prove");
    assert!(!shown(&window, "Proving acts"));
    press(&mut window, Key::P);
    assert!(shown(&window, "Proving acts"));

    assert!(!shown(&window_on(None, (1024.0, 700.0)), "Proving acts"));
}

#[test]
fn what_one_click_did_in_several_steps_one_undo_takes_back_and_one_redo_does_again() {
    let mut window = window();
    open_from_list(&mut window, "Coach 44");
    settle(&mut window);
    let pair = names(&window).into_iter().find(|name| name.starts_with("Try: ") && name.contains(", then "));
    super::reach(&mut window, &pair.expect("a pair of acts"));
    assert_eq!(changes(&window), 2);

    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(changes(&window), 0, "{}", window.state().desk().said);
    press_with(&mut window, Modifiers::COMMAND, Key::Y);

    assert_eq!(changes(&window), 2, "{}", window.state().desk().said);
}
