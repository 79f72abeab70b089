//! Faults planted and put right in the window: from parts, terminals and wires, by pointer, finger and keyboard.
//!
//! What each fault does is tested in `catalogue.rs`; here that it can be reached, its amount typed, and taken back.

use eframe::egui::{Event, Key, Modifiers, PointerButton, TouchDeviceId, TouchId, TouchPhase};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::gui::command::Dialog;
use fanloom::study::answer::Standing;

use super::{
    Window, centre, changes, click, focus, is_target, jump, names, open_from_list, press, press_with, settle, shown,
    window,
};

fn standing(window: &Window) -> Standing {
    window.state().verdict().standing
}

/// The faults planted, in the words of the command line.
fn planted(window: &Window) -> Vec<String> {
    window.state().bench().faults().iter().map(ToString::to_string).collect()
}

/// Clicks with the right button.
fn right_click(window: &mut Window, start: &str) {
    window.get_by(|node| is_target(node, start)).click_secondary();
    window.run();
}

/// Types over an amount.
fn type_amount(window: &mut Window, of: &str, amount: &str) {
    let name = format!("Amount: {of}");
    focus(window, &name);
    press_with(window, Modifiers::COMMAND, Key::A);
    window.get_by(|node| is_target(node, &name)).type_text(amount);
    window.run();
}

#[test]
fn a_right_click_lists_what_can_be_wrong_and_what_is_planted_goes_into_the_ledger_and_out_of_it() {
    let mut window = window();

    right_click(&mut window, "B1, coolant temperature switch");
    assert!(shown(&window, "What can be wrong with B1"), "{:?}", names(&window));
    click(&mut window, "Plant: B1 stuck closed");
    assert_eq!(standing(&window), Standing::Engaged);
    assert!(shown(&window, "Put right: B1 stuck closed"), "the list offers the way back too");
    press(&mut window, Key::Escape);
    assert!(!shown(&window, "What can be wrong"));

    assert!(shown(&window, "fault: B1 stuck closed"));
    assert!(!shown(&window, "Put all back"), "nothing was done by hand");
    click(&mut window, "Put right: fault: B1 stuck closed");
    assert_eq!((standing(&window), changes(&window)), (Standing::Released, 0));
}

#[test]
fn an_amount_is_typed_in_the_words_of_the_command_line() {
    let mut window = window();
    click(&mut window, "S2, hand switch, open");

    right_click(&mut window, "Wire W10,");
    type_amount(&mut window, "20 \u{3a9} in W10", "8ohm");
    click(&mut window, "Plant: 8 \u{3a9} in W10");
    assert_eq!(planted(&window), ["resist:W10=8ohm"]);
    // 12.6 V through 30 and 8 ohm.
    let coil = window.state().bench().outcome().coils.values().next().expect("a coil").volts.expect("volts");
    assert!((9.8..10.0).contains(&coil), "{coil}");

    click(&mut window, "Put right: 8 \u{3a9} in W10");
    assert!(planted(&window).is_empty());
}

#[test]
fn an_amount_stands_and_is_typed_as_people_write_it() {
    let mut window = window();
    right_click(&mut window, "Wire W10,");
    let field = window.get_by(|node| is_target(node, "Amount: 20 \u{3a9} in W10"));
    assert_eq!(field.accesskit_node().value().as_deref(), Some("20\u{a0}\u{3a9}"));

    type_amount(&mut window, "20 \u{3a9} in W10", "1,5 k\u{3a9}");
    click(&mut window, "Plant: 1500 \u{3a9} in W10");

    assert_eq!(planted(&window), ["resist:W10=1500ohm"]);
}

#[test]
fn an_amount_that_cannot_be_is_told_and_not_planted() {
    let mut window = window();
    right_click(&mut window, "Wire W10,");

    type_amount(&mut window, "20 \u{3a9} in W10", "plenty");

    assert!(
        shown(&window, "That cannot be here. Write a number with its unit, like 20\u{a0}\u{3a9}."),
        "{:?}",
        names(&window)
    );
    let button = window.get_by(|node| is_target(node, "Plant: 20 \u{3a9} in W10"));
    assert!(button.accesskit_node().is_disabled());
    assert!(planted(&window).is_empty());
}

#[test]
fn what_contradicts_a_planted_fault_cannot_be_planted_until_that_is_put_right() {
    let mut window = window();
    right_click(&mut window, "B1, coolant temperature switch");
    click(&mut window, "Plant: B1 stuck open");

    let disabled = |window: &Window| {
        window.get_by(|node| is_target(node, "Plant: B1 stuck closed")).accesskit_node().is_disabled()
    };
    assert!(disabled(&window));
    click(&mut window, "Put right: B1 stuck open");
    assert!(!disabled(&window));
}

#[test]
fn the_keyboard_lists_and_plants_what_can_be_wrong_at_a_terminal() {
    for keys in [(Modifiers::NONE, Key::X), (Modifiers::SHIFT, Key::F10), (Modifiers::NONE, Key::Menu)] {
        let mut window = window();
        focus(&mut window, "Terminal B1.2,");
        press(&mut window, Key::Enter);

        press_with(&mut window, keys.0, keys.1);
        assert!(shown(&window, "What can be wrong with B1.2"), "{keys:?}: {:?}", names(&window));
        focus(&mut window, "Plant: B1.2 chafed to a live wire");
        press(&mut window, Key::Enter);

        assert_eq!(planted(&window), ["feed:B1.2"], "{keys:?}");
        assert_eq!(standing(&window), Standing::Engaged);
    }
}

#[test]
fn a_finger_that_rests_on_a_part_lists_what_can_be_wrong_with_it() {
    let mut window = window();
    let pos = centre(&window, "Y1, air valve");
    let touch = |phase| Event::Touch { device_id: TouchDeviceId(1), id: TouchId(1), phase, pos, force: None };
    let button =
        |pressed| Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE };
    for event in [touch(TouchPhase::Start), Event::PointerMoved(pos), button(true)] {
        window.event(event);
    }
    for _ in 0..12 {
        window.step();
    }
    for event in [touch(TouchPhase::End), button(false), Event::PointerGone] {
        window.event(event);
    }
    window.run();

    assert!(matches!(window.state().room().dialog, Some(Dialog::Faults(_))), "{:?}", names(&window));
    assert!(shown(&window, "What can be wrong with Y1"));
}

#[test]
fn the_thing_that_is_looked_at_has_a_button_for_what_can_be_wrong_with_it() {
    let mut window = window();
    click(&mut window, "F1, fuse");

    click(&mut window, "Plant a fault in F1");
    type_amount(&mut window, "30 A fuse fitted in F1", "25A");
    click(&mut window, "Plant: 25 A fuse fitted in F1");

    assert_eq!(planted(&window), ["fitted:F1=25A"]);
}

#[test]
fn air_and_clutch_are_found_at_the_valve() {
    let mut window = window();
    click(&mut window, "S2, hand switch, open");
    right_click(&mut window, "Y1, air valve");

    click(&mut window, "Plant: air supply shut off before the valve");

    assert_eq!(planted(&window), ["blocked:supply"]);
    assert_eq!(standing(&window), Standing::Released);
    assert!(shown(&window, "Supply gauge, 0"), "{:?}", names(&window));
}

#[test]
fn two_wires_are_chosen_by_a_list_of_the_others() {
    let mut window = window();
    right_click(&mut window, "Wire W3,");

    click(&mut window, "Other wire: W3 and W1 rubbed through");
    click(&mut window, "W10");
    click(&mut window, "Plant: W3 and W10 rubbed through to each other");

    assert_eq!(planted(&window), ["join:W3=W10"]);
    assert_eq!(standing(&window), Standing::Engaged);
}

#[test]
fn faults_are_undone_and_done_again_like_any_change() {
    let mut window = window();
    right_click(&mut window, "F1, fuse");
    click(&mut window, "Plant: F1 blown");
    press(&mut window, Key::Escape);

    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(planted(&window).is_empty());
    press_with(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(planted(&window), ["blown:F1"]);
}

#[test]
fn every_part_terminal_and_wire_of_a_module_circuit_lists_what_can_be_wrong() {
    let mut window = window();
    open_from_list(&mut window, "Snow plough 9");
    for (thing, offers) in [
        ("A1, engine module", "Plant: A1 stuck closed"),
        ("G1, battery", "Plant: G1 has only"),
        ("S1, key switch", "Plant: S1 stuck open"),
        ("Y1, air valve", "Plant: Y1's suppressor shorted"),
        ("N1, ground stud", "Plant: 5 \u{3a9} in N1"),
        ("Terminal A1.out,", "Plant: A1.out chafed to the chassis"),
        ("Wire W7,", "Plant: W7 broken through"),
    ] {
        right_click(&mut window, thing);
        assert!(shown(&window, offers), "{thing}: {:?}", names(&window));
        press(&mut window, Key::Escape);
    }
}

/// The lead's own fuse had opened, the fan stood still, and the ledger still named the lead as if it were whole.
#[test]
fn the_ledger_says_of_a_lead_that_its_fuse_is_blown() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");
    let back = "Put back: Lead B1.1 to B1.2, 5 A fuse";
    let blown = format!("{back} blown");
    assert!(shown(&window, back) && !shown(&window, &blown));

    right_click(&mut window, "Terminal Y1.1,");
    click(&mut window, "Plant: Y1.1 chafed to the chassis");

    assert!(shown(&window, &blown), "{:?}", names(&window));
}

#[test]
fn a_row_of_the_fault_table_that_can_be_read_is_not_said_again_over_the_next_one() {
    let mut window = window();
    click(&mut window, "Faults");
    settle(&mut window);
    let row = "W1 broken through: shows as it stands";
    let said = |window: &Window| names(window).iter().filter(|name| name.starts_with(row)).count();
    let before = said(&window);

    let at = window.get_by(|node| is_target(node, row)).rect().center();
    window.hover_at(at);
    window.run_steps(60);

    assert_eq!(said(&window), before);
}

// Pushed in while it was worked out, the table went on with nothing to show for it.
#[test]
fn a_table_still_being_worked_out_says_so_on_the_button_of_its_drawer() {
    let mut window = window();
    let going_on = |window: &Window| {
        let told = window.get_by(|node| is_target(node, "Faults")).accesskit_node().data().description();
        told.map(str::to_owned)
    };
    // One after the other, before the table is there.
    for _ in 0..2 {
        window.get_by(|node| is_target(node, "Faults")).click();
        window.run_steps(2);
    }
    assert!(going_on(&window).is_some_and(|told| told.starts_with("Still being worked out")));

    settle(&mut window);
    assert!(!going_on(&window).is_some_and(|told| told.starts_with("Still being worked out")));
}
