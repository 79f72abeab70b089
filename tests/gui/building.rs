//! Changing the circuit in the window: every act by click and by key, what is refused beneath the field, what is doubtful
//! at its place, undo by name, files.
//!
//! What a change does is tested in `change.rs`, where parts go in `drawing/hand.rs`; here it counts that the window asks,
//! shows and keeps.

use std::path::Path;

use eframe::egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::bench::{Act, Action};
use fanloom::circuit::format::{demand_text, read};
use fanloom::circuit::part::Suppressor;
use fanloom::circuit::{At, Circuit, Kind};
use fanloom::gui::build::Hold;
use fanloom::gui::command::Dialog;

use super::files::{close, folder, kept};
use super::{
    Window, centre, click, focus, is_target, names, press, press_with, reach, settle, shown, type_into, window,
    window_on,
};

fn circuit(window: &Window) -> &Circuit {
    window.state().bench().circuit()
}

fn building() -> Window {
    let mut window = window();
    press(&mut window, Key::E);
    assert!(shown(&window, "Build the circuit"));
    window
}

/// The same on a circuit that comes with the program, with a part of it chosen.
fn building_at(title: &str, part: &str) -> Window {
    let mut window = super::window();
    super::open_from_list(&mut window, title);
    settle(&mut window);
    press(&mut window, Key::E);
    click(&mut window, part);
    window
}

fn said(window: &Window) -> String {
    window.state().desk().said.clone()
}

fn place(window: &Window, tag: &str) -> Option<At> {
    let circuit = circuit(window);
    circuit.places().get(&circuit.part_named(tag)?).copied()
}

/// Types into a field and presses Enter.
fn put_in(window: &mut Window, field: &str, text: &str) {
    window.get_by(|node| is_target(node, field)).scroll_to_me();
    window.run();
    type_into(window, field, text);
    press(window, Key::Enter);
}

#[test]
fn a_part_is_added_wired_named_and_given_its_values_by_clicks() {
    let mut window = building();
    click(&mut window, "Add a part");
    reach(&mut window, "Add: Lamp (P)");
    assert!(circuit(&window).part_named("P1").is_some());
    assert!(shown(&window, "P1, the lamp"), "{:?}", names(&window));

    reach(&mut window, "Wire from P1.1");
    click(&mut window, "Terminal B1.2");
    assert_eq!(said(&window), "Run W13 from P1.1 to B1.2.");
    click(&mut window, "P1, lamp");
    reach(&mut window, "Wire from P1.2");
    click(&mut window, "N1, ground");
    assert_eq!(circuit(&window).wires().len(), 14);

    click(&mut window, "P1, lamp");
    put_in(&mut window, "Resistance of P1", "96");
    put_in(&mut window, "Tag of P1", "P7");
    assert!(shown(&window, "P7, lamp"));
    assert_eq!(window.state().bench().undoable().map(|a| format!("{a:?}").contains("RenamePart")), Some(true));
    assert!(read(&fanloom::circuit::format::write(circuit(&window))).findings.is_empty());
}

#[test]
fn what_the_reader_refuses_stands_beneath_the_field_while_it_is_typed_and_changes_nothing() {
    let mut window = building();
    click(&mut window, "F1, fuse");
    for (text, told) in [
        ("ten", "Not put in: \u{201c}rating\u{201d} of `F1` is `ten`, which is not a number"),
        ("-3", "Not put in: \u{201c}rating\u{201d} of `F1` is `-3`: that is below 0"),
        ("3, ohms: 2", "Not put in: \u{201c}rating\u{201d} of `F1` is `3, ohms: 2`, which is not one value"),
        ("", "Not put in: \u{201c}rating\u{201d} of `F1` is empty"),
        ("15", "Not put in yet: press Enter."),
    ] {
        type_into(&mut window, "Rating of F1", text);
        if text.is_empty() {
            press_with(&mut window, Modifiers::COMMAND, Key::A);
            press(&mut window, Key::Delete);
        }
        assert!(shown(&window, told), "{text}: {:?}", names(&window));
    }
    type_into(&mut window, "Tag of F1", "B1");
    assert!(shown(&window, "Not put in: there is a part `B1` already"));
    press(&mut window, Key::Enter);
    assert_eq!(window.state().bench().journal().count(), 0);
}

#[test]
fn a_level_is_taken_as_the_file_has_it_and_as_the_command_line_has_it() {
    let mut window = building();
    click(&mut window, "B1, coolant temperature switch");
    put_in(&mut window, "Acts at of B1", "215 °F");
    put_in(&mut window, "Returns at of B1", "Celsius(92)");
    reach(&mut window, "At rest of B1: Closed");
    let text = fanloom::circuit::format::write(circuit(&window));
    let line =
        "\"B1\": TemperatureSwitch(rest: Closed, senses: Coolant, acts_at: Fahrenheit(215), resets_at: Celsius(92))";
    assert!(text.contains(line), "{text}");
}

#[test]
fn a_part_is_moved_by_arrows_and_put_down_with_enter_and_undo_puts_it_back() {
    let mut window = building();
    click(&mut window, "Y1, air valve");
    reach(&mut window, "Move Y1");
    assert!(matches!(window.state().desk().building.hold, Hold::Part(..)));
    for _ in 0..3 {
        press(&mut window, Key::ArrowRight);
    }
    press_with(&mut window, Modifiers::SHIFT, Key::ArrowDown);
    assert_eq!(place(&window, "Y1"), None, "in hand and not down");
    press(&mut window, Key::Enter);
    let at = place(&window, "Y1").expect("put down");
    assert_eq!(said(&window), "Move Y1 on the drawing.");

    // Once more from where it is, and let go of in mid air.
    reach(&mut window, "Move Y1");
    press(&mut window, Key::ArrowUp);
    press(&mut window, Key::Escape);
    assert_eq!(place(&window, "Y1"), Some(at));
    reach(&mut window, "Move Y1");
    click(&mut window, "Move Y1 left");
    click(&mut window, "Put it down");
    assert_eq!(place(&window, "Y1"), Some(At { right: at.right - 2, down: at.down }));

    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(said(&window), "Undone: Move Y1 on the drawing");
    assert_eq!(place(&window, "Y1"), Some(at));
    reach(&mut window, "Let Y1 find its own place");
    assert_eq!(place(&window, "Y1"), None);
}

#[test]
fn a_part_is_picked_up_with_one_click_and_put_down_with_another_or_dragged() {
    let mut window = building();
    click(&mut window, "N1, ground");
    reach(&mut window, "Move N1");
    let from = centre(&window, "N1, ground");
    window.hover_at(from + eframe::egui::vec2(-120.0, -60.0));
    window.run();
    click_at(&mut window, from + eframe::egui::vec2(-120.0, -60.0));
    let first = place(&window, "N1").expect("put down by a click");
    assert!(first.right % 2 == 0 && first.down % 2 == 0, "on the grid: {first:?}");

    let from = centre(&window, "F1, fuse");
    window.drag_at(from);
    window.run();
    for step in 1..=4 {
        window.hover_at(from + eframe::egui::vec2(20.0, 4.0) * step as f32);
        window.run();
    }
    window.drop_at(from + eframe::egui::vec2(80.0, 16.0));
    window.run();
    let there = place(&window, "F1").expect("dragged");
    let moved = centre(&window, "F1, fuse") - from;
    assert!((moved.x - 80.0).abs() < 16.0 && (moved.y - 16.0).abs() < 16.0, "{moved:?} {there:?}");
    assert_eq!(window.state().desk().building.hold, Hold::Nothing);
}

fn click_at(window: &mut Window, at: Pos2) {
    window.drag_at(at);
    window.drop_at(at);
    window.run();
}

#[test]
fn a_wires_end_goes_elsewhere_and_parts_and_wires_are_taken_away_by_keyboard_alone() {
    let mut window = building();
    focus(&mut window, "Wire W7");
    press(&mut window, Key::Enter);
    focus(&mut window, "Put its end at X2.s elsewhere");
    press(&mut window, Key::Enter);
    focus(&mut window, "Terminal Y1.1");
    press(&mut window, Key::Enter);
    let wire = circuit(&window).wire_named("W7").expect("it is still there");
    assert_eq!(circuit(&window).terminal_words(circuit(&window).wire(wire).to), "Y1.1");

    focus(&mut window, "Take W7 away");
    press(&mut window, Key::Enter);
    focus(&mut window, "B2, refrigerant pressure switch");
    press(&mut window, Key::Enter);
    focus(&mut window, "Take B2 away with its 2 wires");
    press(&mut window, Key::Enter);
    assert!(circuit(&window).part_named("B2").is_none() && circuit(&window).wires().len() == 9);
}

#[test]
fn the_delete_key_takes_away_what_is_chosen_and_nothing_while_somebody_types() {
    let mut window = building();
    let count = |window: &Window| (circuit(window).parts().len(), circuit(window).wires().len());
    let whole = count(&window);
    press(&mut window, Key::Delete);
    assert!(said(&window).contains("Choose a part or a wire first"), "{}", said(&window));
    click(&mut window, "Terminal B1.1");
    press(&mut window, Key::Delete);
    assert_eq!(count(&window), whole, "a terminal goes with its part");

    click(&mut window, "B2, refrigerant pressure switch");
    focus(&mut window, "Tag of B2");
    press(&mut window, Key::Delete);
    assert_eq!(count(&window), whole, "it is the field's");
    click(&mut window, "B2, refrigerant pressure switch");
    press(&mut window, Key::Delete);
    assert_eq!(count(&window), (whole.0 - 1, whole.1 - 2));
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(count(&window), whole);
    click(&mut window, "Wire W7");
    press(&mut window, Key::Delete);
    assert_eq!(count(&window), (whole.0, whole.1 - 1));
}

#[test]
fn what_is_doubtful_stands_in_the_list_at_its_place_and_with_the_thing() {
    let mut window = building();
    click(&mut window, "Wire W10");
    reach(&mut window, "Take W10 away");
    assert!(shown(&window, "What is doubtful: 1"), "{:?}", names(&window));
    let at_the_terminal = names(&window).into_iter().find(|name| name.starts_with("Terminal Y1.1"));
    assert!(at_the_terminal.is_some_and(|name| name.contains("doubtful 1: no wire goes to `Y1.1`")));
    click(&mut window, "What is doubtful");
    click(&mut window, "Doubtful 1. No wire goes to `Y1.1`");
    let chosen = window.get_by(|node| is_target(node, "Terminal Y1.1"));
    assert_eq!(eframe::egui::accesskit::Toggled::True, chosen.accesskit_node().toggled().expect("it can be chosen"));
    click(&mut window, "What is chosen");
    assert!(shown(&window, "1. Doubtful: no wire goes to `Y1.1`"));
}

#[test]
fn acts_and_faults_that_no_longer_fit_are_put_back_told_and_return_on_undo() {
    let mut window = window();
    super::jump(&mut window, "B1.1", "B1.2");
    assert_eq!(super::changes(&window), 1);
    press(&mut window, Key::E);
    click(&mut window, "B1, coolant temperature switch");
    reach(&mut window, "Take B1 away");
    assert_eq!(super::changes(&window), 0);
    let told = said(&window);
    assert!(told.starts_with("Take B1 away. Put back, for it fits no more: ") && told.contains("B1.1"), "{told}");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(super::changes(&window), 1);
    assert_eq!(said(&window), "Undone: Take B1 away");
}

#[test]
fn a_tool_taken_up_ends_building_and_a_click_works_on_the_truck_again() {
    let mut window = building();
    click(&mut window, "S2, hand switch");
    assert_eq!(super::changes(&window), 0, "it is chosen, not turned");
    press(&mut window, Key::Num1);
    assert!(!shown(&window, "Build the circuit"));
    click(&mut window, "S2, hand switch");
    let acts: Vec<String> = window.state().bench().acts().map(Act::to_string).collect();
    assert_eq!(acts, ["turn:S2=on"]);
}

#[test]
fn the_title_and_the_clutch_are_the_circuits_as_a_whole() {
    let mut window = building();
    click(&mut window, "The circuit as a whole");
    put_in(&mut window, "Title of the circuit", "Salt spreader 4");
    reach(&mut window, "Engages of the clutch: Without air");
    put_in(&mut window, "Least pressure to work of the air side", "95psi");
    let text = fanloom::circuit::format::write(circuit(&window));
    assert!(text.contains("title: \"Salt spreader 4\"") && text.contains("minimum: Psi(95)"), "{text}");
    assert!(text.contains("engages: WithoutAir"), "{text}");
    assert_eq!(window.state().bench().journal().filter(|a| matches!(a, Action::Build(_))).count(), 3);
}

#[test]
fn the_circuit_is_not_changed_during_a_hunt_and_the_clock_is_put_away_for_it() {
    let mut window = window();
    press(&mut window, Key::T);
    press(&mut window, Key::E);
    click(&mut window, "F1, fuse");
    put_in(&mut window, "Rating of F1", "15");
    assert!(fanloom::circuit::format::write(circuit(&window)).contains("Fuse(amps: 15)"));
}

#[test]
fn a_changed_circuit_is_asked_about_saved_as_it_is_and_taken_up_again_with_its_undo() {
    let (state, files) = (folder(), folder());
    let path = files.path().join("spreader.ron");
    std::fs::write(&path, include_str!("../../circuits/parallel-open.ron")).expect("written");
    let mut window = kept(state.path(), Some(path.clone()));
    press(&mut window, Key::E);
    click(&mut window, "F1, fuse");
    put_in(&mut window, "Rating of F1", "15");
    click(&mut window, "Circuits");
    reach(&mut window, "Lately: ");
    assert!(matches!(window.state().room().dialog, Some(Dialog::Leaving(_))));
    assert!(shown(&window, "The circuit is not saved"));
    click(&mut window, "Stay here");

    press_with(&mut window, Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::S);
    click(&mut window, "Save circuit");
    assert!(said(&window).starts_with("Saved the circuit, as it is now"), "{}", said(&window));
    let text = std::fs::read_to_string(&path).expect("it is there");
    assert!(text.starts_with("// District road depot") && text.contains("Fuse(amps: 15)"), "{text}");
    // Half of it is changed again, and nothing is saved.
    click(&mut window, "Wire W10");
    reach(&mut window, "Take W10 away");
    close(window);

    let mut window = kept_again(state.path());
    assert!(circuit(&window).wire_named("W10").is_none(), "half-built, and kept");
    assert!(!shown(&window, "has been changed"), "its own saving is no news: {:?}", names(&window));
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(circuit(&window).wire_named("W10").is_some());
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(fanloom::circuit::format::write(circuit(&window)).contains("Fuse(amps: 10)"));
}

fn kept_again(state: &Path) -> Window {
    let mut window = kept(state, None);
    settle(&mut window);
    window
}

#[test]
fn a_circuit_is_drawn_from_nothing_and_nothing_is_too_little_for_the_window() {
    let mut window = window();
    click(&mut window, "Circuits");
    click(&mut window, "Draw one from nothing");
    assert_eq!(circuit(&window).parts().len(), 0);
    assert!(shown(&window, "What is doubtful: 1") && shown(&window, "Add: Battery (G)"), "{:?}", names(&window));
    reach(&mut window, "Add: Battery (G)");
    click(&mut window, "Add a part");
    reach(&mut window, "Add: Chassis connection (N)");
    reach(&mut window, "Wire from N1.g");
    click(&mut window, "Terminal G1.-");
    assert_eq!(circuit(&window).wires().len(), 1);
    for _ in 0..3 {
        press_with(&mut window, Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(circuit(&window).parts().len(), 0);
    for key in [Key::P, Key::L, Key::W, Key::I, Key::T, Key::T, Key::E] {
        press(&mut window, key);
        settle(&mut window);
    }
}

#[test]
fn with_two_circuits_side_by_side_the_one_in_front_is_built() {
    let mut window = window();
    super::side::open_beside(&mut window, "Gravel tipper 12");
    press(&mut window, Key::D);
    press(&mut window, Key::E);
    let before = window.state().bench().circuit_shared();
    let of = |bay: &fanloom::gui::bay::Bay| bay.session.bench().circuit_shared();
    let other = window.state().bays().map(of).find(|circuit| !std::sync::Arc::ptr_eq(circuit, &before)).expect("two");
    let fuse =
        names(&window).into_iter().find(|name| name.starts_with("F1, fuse") && name.contains("on Gravel tipper"));
    click(&mut window, &fuse.expect("the fuse of the one in front"));
    put_in(&mut window, "Rating of F1", "15");
    assert!(!std::sync::Arc::ptr_eq(&before, &window.state().bench().circuit_shared()));
    let circuits: Vec<_> = window.state().bays().map(of).collect();
    assert!(circuits.iter().any(|circuit| std::sync::Arc::ptr_eq(circuit, &other)), "the other is as it was");
}

#[test]
fn the_drawer_fits_where_there_is_little_room() {
    for size in [(1024.0, 700.0), (720.0, 520.0)] {
        let mut window = window_on(None, size);
        press(&mut window, Key::E);
        click(&mut window, "F1, fuse");
        for page in ["What is chosen", "Add a part", "What is doubtful", "The circuit as a whole"] {
            click(&mut window, page);
            let edges = window.ctx.content_rect().expand(0.5);
            let node = window.get_by(|node| is_target(node, page));
            assert!(edges.contains_rect(node.rect()), "{page} at {size:?}");
        }
    }
}

#[test]
fn what_damps_a_coil_is_chosen_by_name_and_a_modules_demand_is_told_in_words() {
    let mut window = building();
    click(&mut window, "Y1, air valve");
    reach(&mut window, "Suppressor of Y1: diode, cathode at 1");
    let damped = |window: &Window| {
        let circuit = circuit(window);
        let coil = circuit.part(circuit.part_named("Y1").unwrap()).kind.coil().unwrap();
        coil.suppressor.cloned()
    };
    assert_eq!(damped(&window), Some(Suppressor::Diode { cathode: "1".to_owned() }));
    reach(&mut window, "Suppressor of Y1: none");
    assert_eq!(damped(&window), None);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(damped(&window).is_some());

    let window = building_at("Snow plough 9", "A1, engine module");
    let told = "Switches on when of A1. That is: coolant at 205 °F and above, off again at 198 °F; or intake air at";
    assert!(shown(&window, told), "{:?}", names(&window));
}

#[test]
fn positions_are_written_with_commas_and_a_switch_is_offered_what_its_kind_feels() {
    let mut window = building_at("Coach 44", "S3, selector switch");
    let field = window.get_by(|node| is_target(node, "Positions of S3")).value();
    assert_eq!(field.as_deref(), Some("ON, AUTO, OFF"));
    put_in(&mut window, "Positions of S3", "FAN, AUTO, OFF");
    let positions = |window: &Window| match &circuit(window).part(circuit(window).part_named("S3").unwrap()).kind {
        Kind::SelectorSwitch(selector) => selector.positions.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(positions(&window), ["FAN", "AUTO", "OFF"]);
    put_in(&mut window, "Positions of S3", r#"["ON", "AUTO", "OFF"]"#);
    assert_eq!(positions(&window), ["ON", "AUTO", "OFF"], "as the file has it is taken too");

    click(&mut window, "B1, coolant temperature switch");
    let offered = |window: &Window, what: &str| names(window).iter().any(|name| name == what);
    assert!(offered(&window, "Senses of B1: Oil"), "{:?}", names(&window));
    assert!(!offered(&window, "Senses of B1: Refrigerant"), "a pressure");
}

#[test]
fn a_folder_is_no_place_for_a_circuit_and_nothing_is_written_beside_it() {
    let folder = super::files::folder();
    let within = folder.path().join("circuits");
    std::fs::create_dir(&within).expect("a folder of one's own");
    let mut window = super::files::kept(folder.path(), None);

    super::files::save(&mut window, "Circuit", &within);

    assert!(shown(&window, "It could not be saved"), "{:?}", names(&window));
    assert!(!folder.path().join("circuits.ron").exists());
}

/// What the module A1 waits for, as the circuit file has it.
fn demand(window: &Window) -> String {
    let kind = &circuit(window).part(circuit(window).part_named("A1").expect("a module")).kind;
    let Kind::Module(module) = kind else { panic!("A1 is no module") };
    demand_text(&module.on_when)
}

#[test]
fn what_a_module_waits_for_is_changed_without_the_spelling_of_the_file() {
    let mut window = building_at("Snow plough 9", "A1, engine module");
    let before = demand(&window);
    assert!(before.starts_with("Any([Above(Coolant, Fahrenheit(205), Fahrenheit(198)), "), "{before}");

    type_into(&mut window, "On at, condition 1 of A1", "210");
    assert!(shown(&window, "Not put in: "), "of which unit: {:?}", names(&window));
    type_into(&mut window, "On at, condition 1 of A1", "210 F");
    press(&mut window, Key::Enter);
    assert!(
        demand(&window).starts_with("Any([Above(Coolant, Fahrenheit(210), Fahrenheit(198)), "),
        "{}",
        demand(&window)
    );
    type_into(&mut window, "Off again at, condition 1 of A1", "215F");
    assert!(shown(&window, "Not put in: "), "it would never go off: {:?}", names(&window));
    click(&mut window, "Undo: ");
    assert_eq!(demand(&window), before);

    let count = |window: &Window| demand(window).matches("Above(").count();
    let had = count(&window);
    reach(&mut window, "Add to what A1 waits for: oil at");
    assert_eq!(count(&window), had + 1, "{}", demand(&window));
    reach(&mut window, "Switches on when of A1: All of them at once");
    assert!(demand(&window).starts_with("All(["), "{}", demand(&window));
    reach(&mut window, "Take away from what A1 waits for: Oil at");
    assert_eq!(demand(&window), before.replacen("Any", "All", 1));
}

#[test]
fn a_wires_length_is_told_in_the_units_that_are_chosen() {
    let mut window = window();
    click(&mut window, "Wire W1,");
    let told = |window: &Window| names(window).into_iter().find(|name| name.starts_with("AWG ")).expect("a wire");
    assert!(told(&window).ends_with(" ft"), "{}", told(&window));
    click(&mut window, "°F psi");
    assert!(told(&window).ends_with(" m"), "{}", told(&window));
}

// Renamed, taken back and looked at again, the field had the name that was taken back in it.
#[test]
fn a_field_has_what_stands_there_also_after_what_was_put_in_is_taken_back() {
    let mut window = building();
    click(&mut window, "F1, fuse");
    put_in(&mut window, "Tag of F1", "F7");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    click(&mut window, "F1, fuse");
    let tag = window.get_by(|node| is_target(node, "Tag of F1")).value();
    assert_eq!(tag.as_deref(), Some("F1"));
    assert!(!shown(&window, "Not put in yet"));

    put_in(&mut window, "Rating of F1", "10.0");
    assert_eq!(window.state().bench().undoable(), None, "it is what stood there, otherwise written");
    assert!(!shown(&window, "Not put in yet"));
}

// Where the button had gone that was pressed, the keyboard began again at the other end of the window.
#[test]
fn after_what_is_added_or_refused_the_keyboard_goes_on_in_the_drawer() {
    let mut window = building();
    click(&mut window, "Add a part");
    focus(&mut window, "Add: Lamp (P)");
    press(&mut window, Key::Tab);
    press_with(&mut window, Modifiers::SHIFT, Key::Tab);
    press(&mut window, Key::Enter);
    assert!(circuit(&window).part_named("P1").is_some());
    press(&mut window, Key::Tab);
    let at = |window: &Window| window.get_by(|node| node.is_focused()).accesskit_node().label();
    assert_eq!(at(&window).as_deref(), Some("What is chosen"), "the first thing in the drawer");

    type_into(&mut window, "Resistance of P1", "1e308x");
    press(&mut window, Key::Enter);
    assert_eq!(at(&window).as_deref(), Some("Resistance of P1"));
    window.get_by(|node| node.is_focused()).type_text("2");
    window.run();
    assert!(shown(&window, "Build the circuit"), "a figure is none of the tools' keys here");
}

#[test]
fn a_circuit_in_which_something_is_doubtful_is_saved_with_a_word_about_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = building();
    click(&mut window, "Wire W10");
    reach(&mut window, "Take W10 away");
    super::files::save(&mut window, "Circuit", &folder.path().join("doubtful.ron"));
    assert!(said(&window).starts_with("One thing in this circuit is doubtful"), "{}", said(&window));
    press_with(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(shown(&window, "One thing in this circuit is doubtful"));
}

#[test]
fn a_write_protected_file_is_not_saved_over_without_a_word() {
    let folder = super::files::folder();
    let path = folder.path().join("kept.ron");
    let mut window = super::files::kept(folder.path(), None);
    super::files::save(&mut window, "Circuit", &path);
    let whole = std::fs::read_to_string(&path).expect("it was saved");
    let mut rights = std::fs::metadata(&path).expect("it is there").permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&path, rights).expect("a file of one's own");

    press(&mut window, Key::E);
    click(&mut window, "Wire W10");
    reach(&mut window, "Take W10 away");
    super::files::save(&mut window, "Circuit", &path);
    assert!(names(&window).iter().any(|name| name.contains("is write-protected")), "{:?}", names(&window));
    assert!(!shown(&window, "Another file is there"), "it is the same file");
    assert_eq!(std::fs::read_to_string(&path).expect("it is there"), whole);
    click(&mut window, "Save over it");
    assert_ne!(std::fs::read_to_string(&path).expect("it is there"), whole);
}
