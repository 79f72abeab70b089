//! Meter, test lamp, clamp and gauges in the window: read before the click, live after it, and no part of the truck.
//!
//! What an instrument shows is tested in `meter.rs`; here that it is shown, follows the bench, is moved and comes off.

use eframe::egui::accesskit::{Live, Toggled};
use eframe::egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::bench::{Act, Action};
use fanloom::gui::desktop::Desktop;
use fanloom::study::answer::Standing;

use super::files::{close, folder, kept_on};
use super::{
    Window, centre, changes, click, focus, jump, name_starts, names, open_from_list, press, press_with, rect_of, shown,
    tap, window, window_on,
};

/// Puts the leads of what is in hand on two terminals with the pointer.
fn leads(window: &mut Window, a: &str, b: &str) {
    click(window, &format!("Terminal {a},"));
    click(window, &format!("Terminal {b},"));
}

fn hover(window: &mut Window, start: &str) {
    let at = centre(window, start);
    window.hover_at(at);
    window.run();
}

/// Sets the coolant so that B1 acts, by what is known of B1.
fn heat(window: &mut Window) {
    press(window, Key::Num1);
    click(window, "B1, coolant temperature switch");
    click(window, "Bring B1 to act");
}

// A click on a terminal near the edge moved the sheet one frame later, and the next click met something else.
#[test]
fn a_click_on_the_drawing_never_moves_the_sheet() {
    let mut window = window();
    open_from_list(&mut window, "Patch crew truck 7");
    press(&mut window, Key::Num4);
    for terminal in ["Terminal Y1.1,", "Terminal N1.g,"] {
        let pos = centre(&window, terminal);
        press_at(&mut window, pos);
        assert_eq!(centre(&window, terminal), pos, "{terminal}");
    }
    assert!(shown(&window, "Meter shows "), "both leads are on: {:?}", names(&window));

    // No more so where hands have moved it and some of it is out of sight.
    click(&mut window, "Zoom in");
    let (board, edge) = (rect_of(&window, "Drawing of the circuit").shrink(8.0), 40.0);
    let terminals: Vec<String> = names(&window).into_iter().filter(|name| name.starts_with("Terminal ")).collect();
    let start = |name: &String| name.split_inclusive(',').next().map(str::to_owned);
    let near: Vec<String> = terminals
        .iter()
        .filter_map(start)
        .filter(|start| {
            let at = centre(&window, start);
            board.contains(at) && !board.shrink(edge).contains(at)
        })
        .collect();
    assert!(near.len() > 2, "{near:?}");
    for terminal in &near {
        let pos = centre(&window, terminal);
        press_at(&mut window, pos);
        assert_eq!(centre(&window, terminal), pos, "{terminal}");
    }
}

/// A press and a click where the pointer is, each seen through.
fn press_at(window: &mut Window, pos: Pos2) {
    window.hover_at(pos);
    window.run();
    for pressed in [true, false] {
        window.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
        window.run();
    }
}

/// A relay whose coil a test lamp feeds well enough to pull it in.
const LIGHT_RELAY: &str = r#"Circuit(
    format: 1,
    title: "Yard hoist",
    parts: {
        "G1": Battery(volts: 12.6),
        "S2": HandSwitch(rest: Open),
        "K1": Relay(coil_ohms: 200, pulls_in: 7.2, drops_out: 2.5),
        "Y1": AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking),
        "N1": Ground,
    },
    wires: {
        "W1": Wire(from: "G1.+", to: "S2.1"),
        "W2": Wire(from: "S2.2", to: "K1.86"),
        "W3": Wire(from: "K1.85", to: "N1.g"),
        "W4": Wire(from: "G1.+", to: "K1.30"),
        "W5": Wire(from: "K1.87", to: "Y1.1"),
        "W6": Wire(from: "Y1.2", to: "N1.g"),
        "W7": Wire(from: "G1.-", to: "N1.g"),
    },
    air: Air(minimum: Psi(90)),
    clutch: Clutch(engages: WithAir),
)
"#;

fn on_light_relay() -> Window {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("hoist.ron");
    std::fs::write(&path, LIGHT_RELAY).expect("a file");
    let mut window = window_on(Some(path), (1280.0, 800.0));
    press(&mut window, Key::Escape);
    window
}

#[test]
fn the_reading_stands_beside_the_pointer_before_the_click() {
    let mut window = window();
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal B1.1,");

    hover(&mut window, "Terminal N1.g,");

    assert!(shown(&window, "If you click: \u{2212} lead on N1.g"), "{:?}", names(&window));
    assert!(shown(&window, "Meter would show 12.6"), "{:?}", names(&window));
    assert!(shown(&window, "Meter shows nothing yet"), "pointing leaves no lead there");
}

#[test]
fn a_clipped_reading_stays_and_follows_the_coolant_with_another_tool_in_hand() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");
    assert!(shown(&window, "Meter shows 0.000 V"), "{:?}", names(&window));

    heat(&mut window);

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(shown(&window, "Meter shows 12.54 V"), "{:?}", names(&window));
    let face = window.get_by(|node| name_starts(node, "Meter shows"));
    assert_eq!(face.accesskit_node().live(), Live::Polite, "a screen reader reads it out as it changes");
}

#[test]
fn leads_the_wrong_way_round_read_minus() {
    let mut window = window();
    press(&mut window, Key::Num4);

    leads(&mut window, "N1.g", "G1.+");

    assert!(shown(&window, "Meter shows -12.60 V"), "{:?}", names(&window));
    assert!(shown(&window, "Terminal N1.g, 0.00 volts, at ground, + lead of the meter here"), "{:?}", names(&window));
}

#[test]
fn one_click_moves_the_lead_in_hand_and_one_more_takes_up_the_other() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "G1.+", "B1.1");

    click(&mut window, "Terminal N1.g,");
    assert!(shown(&window, "Move the \u{2212} lead, on N1.g"), "{:?}", names(&window));
    click(&mut window, "Move the + lead, on G1.+");
    click(&mut window, "Terminal Y1.1,");

    assert!(shown(&window, "Move the + lead, on Y1.1"), "{:?}", names(&window));
    assert!(shown(&window, "Meter shows 0.000 V"), "{:?}", names(&window));
}

#[test]
fn both_leads_come_off_by_one_click_and_one_lead_by_a_click_where_it_is() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "G1.+", "N1.g");

    click(&mut window, "Terminal G1.+,");
    assert!(shown(&window, "Move the + lead, free") && shown(&window, "Move the \u{2212} lead, on N1.g"));
    click(&mut window, "Take the meter off");

    assert!(shown(&window, "Move the + lead, free") && shown(&window, "Move the \u{2212} lead, free"));
}

#[test]
fn escape_puts_the_meter_back_with_a_single_lead_and_leaves_a_whole_reading() {
    let mut window = window();
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal G1.+,");
    press(&mut window, Key::Escape);
    assert!(!shown(&window, "Meter shows"), "{:?}", names(&window));

    press(&mut window, Key::Num4);
    leads(&mut window, "G1.+", "N1.g");
    press(&mut window, Key::Escape);

    assert!(shown(&window, "Nothing in hand") && shown(&window, "Meter shows 12.60 V"));
}

#[test]
fn ohms_on_a_live_circuit_say_that_they_cannot_be_believed() {
    let mut window = window();
    heat(&mut window);
    press(&mut window, Key::Num4);
    click(&mut window, "Ohms");

    leads(&mut window, "Y1.1", "Y1.2");

    assert!(shown(&window, "Meter shows overload"), "{:?}", names(&window));
    assert!(shown(&window, "The circuit is live: "), "{:?}", names(&window));
}

#[test]
fn from_volts_to_ohms_the_leads_stay_where_they_are() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");

    click(&mut window, "Ohms");

    // 30 ohm of coil at 20 °C and two leads of 0.02 ohm.
    assert!(shown(&window, "Meter shows 30.0 Ω"), "{:?}", names(&window));
}

#[test]
fn amps_in_line_go_into_a_wire_and_tell_what_opening_it_does() {
    let mut window = window();
    open_from_list(&mut window, "Line painter 8");
    click(&mut window, "S2, push switch");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    press(&mut window, Key::Num4);
    click(&mut window, "Amps in line");

    focus(&mut window, "Wire W10,");
    assert!(shown(&window, "WARNING: while the meter is on"), "before it is done: {:?}", names(&window));
    press(&mut window, Key::Enter);

    assert!(shown(&window, "Meter shows 0.000 A"), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.starts_with("WARNING") && name.contains("does not bring it back")));
    assert_eq!(window.state().verdict().standing, Standing::Engaged, "the bench itself is as it was");
}

#[test]
fn a_lamp_is_bright_on_supply_and_dark_on_a_dead_point() {
    let mut window = window();
    press(&mut window, Key::Num5);

    leads(&mut window, "B1.1", "N1.g");
    assert!(shown(&window, "Test lamp shows bright"), "{:?}", names(&window));
    click(&mut window, "Terminal Y1.1,");
    assert!(shown(&window, "Test lamp shows bright"), "behind 30 ohm of coil as well: {:?}", names(&window));
    click(&mut window, "Move the clip 1, on B1.1");
    click(&mut window, "Terminal Y1.2,");

    assert!(shown(&window, "Test lamp shows dark"), "{:?}", names(&window));
}

#[test]
fn a_lamp_that_pulls_a_relay_in_warns_of_the_fan_before_and_after_the_click() {
    let mut window = on_light_relay();
    press(&mut window, Key::Num5);
    click(&mut window, "Terminal S2.1,");

    hover(&mut window, "Terminal S2.2,");
    let warned = |window: &Window| {
        let warns =
            |name: &String| name.starts_with("WARNING: while the test lamp is on") && name.contains("K1 pulls in");
        names(window).into_iter().filter(warns).count()
    };
    assert_eq!(warned(&window), 1, "{:?}", names(&window));
    click(&mut window, "Terminal S2.2,");
    press(&mut window, Key::Escape);

    assert_eq!(warned(&window), 1, "{:?}", names(&window));
    assert!(shown(&window, "Test lamp shows dim"), "200 ohm of coil take most: {:?}", names(&window));
    assert_eq!(window.state().verdict().standing, Standing::Released, "nothing is changed on the bench");
}

#[test]
fn a_clamp_reads_a_wires_amps_and_drops_with_them() {
    let mut window = window();
    heat(&mut window);
    press(&mut window, Key::Num6);
    hover(&mut window, "Wire W11,");
    assert!(shown(&window, "Clamp would show 0.42 A"), "{:?}", names(&window));

    click(&mut window, "Wire W11,");
    assert!(shown(&window, "Clamp shows 0.42 A"), "{:?}", names(&window));
    press(&mut window, Key::Num1);
    click(&mut window, "B1, coolant temperature switch");
    click(&mut window, "Let B1 return");

    assert!(shown(&window, "Clamp shows 0.00 A"), "{:?}", names(&window));
}

#[test]
fn a_clamp_reads_the_circuit_with_the_lamp_on() {
    let mut window = window();
    press(&mut window, Key::Num6);
    click(&mut window, "Wire W1,");
    assert!(shown(&window, "Clamp shows 0.00 A"), "{:?}", names(&window));

    press(&mut window, Key::Num5);
    leads(&mut window, "B1.1", "N1.g");

    assert!(shown(&window, "Clamp shows 0.10 A"), "1.2 W at 12.6 V: {:?}", names(&window));
}

#[test]
fn only_one_instrument_at_a_time_is_on_the_circuit_and_that_is_said() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");
    press(&mut window, Key::Num5);

    hover(&mut window, "Terminal B1.1,");
    assert!(shown(&window, "Click: clip 1 on B1.1; the meter comes off"), "{:?}", names(&window));
    click(&mut window, "Terminal B1.1,");

    assert!(shown(&window, "Meter taken off"), "{:?}", names(&window));
    assert!(!shown(&window, "Meter shows"));
}

#[test]
fn the_keyboard_alone_measures() {
    let mut window = window();
    press(&mut window, Key::Num4);
    focus(&mut window, "Terminal G1.+,");
    press(&mut window, Key::Enter);
    focus(&mut window, "Terminal N1.g,");
    assert!(shown(&window, "Meter would show 12.60 V"), "the reading follows the keyboard: {:?}", names(&window));

    press(&mut window, Key::Space);
    assert!(shown(&window, "Meter shows 12.60 V"), "{:?}", names(&window));
    press(&mut window, Key::Num6);
    focus(&mut window, "Wire W1,");
    press(&mut window, Key::Enter);

    assert!(shown(&window, "Clamp shows 0.00 A") && shown(&window, "Meter shows 12.60 V"));
}

#[test]
fn a_finger_sees_the_reading_at_its_first_tap_and_leaves_the_lead_at_its_second() {
    let mut window = window();
    press(&mut window, Key::Num4);
    tap(&mut window, "Terminal G1.+,");

    tap(&mut window, "Terminal N1.g,");
    assert!(shown(&window, "Meter would show 12.60 V"), "{:?}", names(&window));
    assert!(shown(&window, "Meter shows nothing yet"));
    tap(&mut window, "Terminal N1.g,");

    assert!(shown(&window, "Meter shows 12.60 V"), "{:?}", names(&window));
}

#[test]
fn leads_survive_undo_and_redo() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");
    jump(&mut window, "B1.1", "B1.2");
    assert!(shown(&window, "Meter shows 12.54 V"), "{:?}", names(&window));

    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(shown(&window, "Meter shows 0.000 V"), "{:?}", names(&window));
    press_with(&mut window, Modifiers::COMMAND, Key::Y);

    assert!(shown(&window, "Meter shows 12.54 V"), "{:?}", names(&window));
}

#[test]
fn a_lead_on_a_lifted_end_goes_back_with_it_and_comes_off_with_it_again() {
    let mut window = window();
    press(&mut window, Key::Num3);
    click(&mut window, "Wire end W10@Y1.1");
    press(&mut window, Key::Num4);
    click(&mut window, "Loose end W10@Y1.1");
    click(&mut window, "Terminal N1.g,");
    assert!(shown(&window, "Move the + lead, on W10@Y1.1"), "{:?}", names(&window));

    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(shown(&window, "Move the + lead, on Y1.1"), "{:?}", names(&window));
    press_with(&mut window, Modifiers::COMMAND, Key::Y);

    assert!(shown(&window, "Move the + lead, on W10@Y1.1"), "{:?}", names(&window));
}

#[test]
fn nothing_of_it_is_in_the_ledger_and_put_all_back_leaves_it() {
    let mut window = window();
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");
    press(&mut window, Key::Num6);
    click(&mut window, "Wire W11,");
    assert_eq!(changes(&window), 0);
    assert!(shown(&window, "Nothing is changed: the truck is as built."));
    assert!(shown(&window, "Undo") && window.state().bench().undoable().is_none());

    jump(&mut window, "B1.1", "B1.2");
    click(&mut window, "Put all back");

    assert!(shown(&window, "Meter shows 0.000 V") && shown(&window, "Clamp shows 0.00 A"), "{:?}", names(&window));
}

#[test]
fn opening_another_circuit_takes_them_off_and_the_meter_stays_set() {
    let mut window = window();
    press(&mut window, Key::Num4);
    click(&mut window, "Ohms");
    leads(&mut window, "Y1.1", "Y1.2");
    press(&mut window, Key::Num6);
    click(&mut window, "Wire W11,");

    open_from_list(&mut window, "Gravel tipper 12");

    assert!(!shown(&window, "Meter shows") && !shown(&window, "Clamp shows"), "{:?}", names(&window));
    press(&mut window, Key::Num4);
    leads(&mut window, "Y1.1", "Y1.2");
    assert!(shown(&window, "The circuit is live: "), "still on ohms: {:?}", names(&window));
}

#[test]
fn the_gauges_stand_there_always_in_the_units_of_the_window() {
    let mut window = window();
    assert!(shown(&window, "Supply gauge, 105 psi") && shown(&window, "Clutch gauge, 0 psi"), "{:?}", names(&window));

    heat(&mut window);
    assert!(shown(&window, "Clutch gauge, 105 psi"), "{:?}", names(&window));
    click(&mut window, "°F psi");

    assert!(shown(&window, "Supply gauge, 724 kPa"), "{:?}", names(&window));
}

#[test]
fn chain_drawing_and_ledger_are_told_in_the_units_of_the_window_and_back_again() {
    let mut window = window();
    let of = |window: &Window, start: &str, end: &str| {
        names(window).iter().any(|name| name.starts_with(start) && name.contains(end))
    };
    assert!(of(&window, "Call: ", "100 of 300 psi"), "{:?}", names(&window));
    click(&mut window, "°F psi");
    assert!(of(&window, "Call: ", "689 of 2068 kPa"), "{:?}", names(&window));

    heat(&mut window);
    click(&mut window, "°C kPa");
    assert!(of(&window, "Call: ", "205 °F"), "as its file has it: {:?}", names(&window));
}

/// How the chain tells what asks for cooling.
fn calls(window: &Window) -> Vec<String> {
    names(window).into_iter().filter(|name| name.starts_with("Call: ")).collect()
}

fn are_in(units: [&str; 2], window: &Window) -> bool {
    let calls = calls(window);
    !calls.is_empty() && calls.iter().all(|call| units.iter().any(|unit| call.contains(unit)))
}

/// A circuit whose file measures in degrees Celsius, read by somebody who does not, and the truck after it.
#[test]
fn a_circuit_is_told_in_its_own_units_until_somebody_chooses_others_and_in_those_from_then_on() {
    let mut window = window();
    open_from_list(&mut window, "Coach 41");
    assert!(are_in(["kPa", "°C"], &window), "{:?}", calls(&window));
    click(&mut window, "°C kPa");
    assert!(are_in(["psi", "°F"], &window), "{:?}", calls(&window));

    open_from_list(&mut window, "Coach 41");
    assert!(are_in(["psi", "°F"], &window), "{:?}", calls(&window));
    click(&mut window, "°F psi");
    open_from_list(&mut window, "Gravel tipper 12");
    assert!(are_in(["kPa", "°C"], &window), "{:?}", calls(&window));
}

#[test]
fn a_country_that_measures_in_metric_units_reads_every_circuit_in_them_until_somebody_chooses_others() {
    let state = folder();
    let desktop = Desktop::of_locales(["fr_CA.UTF-8".to_owned(), "en_CA".to_owned()].into_iter());
    let mut window = kept_on(desktop, state.path(), None);
    assert!(shown(&window, "°C kPa"));
    click(&mut window, "°C kPa");
    close(window);

    let window = kept_on(desktop, state.path(), None);
    assert!(shown(&window, "°F psi"), "what was chosen comes first");
}

#[test]
fn a_lead_of_the_truck_is_not_taken_for_an_instruments() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");

    assert!(matches!(window.state().bench().undoable(), Some(Action::Do(Act::Jump { .. }))));
    assert!(!shown(&window, "Meter shows"));
}

#[test]
fn every_instrument_is_a_named_tool_with_its_key() {
    let mut window = window();
    for (key, name) in [(Key::Num4, "Meter"), (Key::Num5, "Test lamp"), (Key::Num6, "Clamp")] {
        press(&mut window, key);
        let held = window.get_by(|node| super::is_target(node, name)).accesskit_node().toggled();
        assert_eq!(held, Some(Toggled::True), "{name}");
        assert!(shown(&window, &format!("{name} shows nothing yet")), "{:?}", names(&window));
    }
}

#[test]
fn nothing_sticks_out_of_the_band_in_a_small_window() {
    for size in [(720.0, 520.0), (1024.0, 700.0), (1280.0, 800.0)] {
        let mut window = window_on(None, size);
        press(&mut window, Key::Num4);
        leads(&mut window, "G1.+", "N1.g");
        press(&mut window, Key::Num6);
        let room = eframe::egui::Rect::from_min_size(eframe::egui::Pos2::ZERO, eframe::egui::vec2(size.0, size.1));
        for start in ["Take the meter off", "Take the clamp off", "Supply gauge", "Clutch gauge", "Meter shows", "Zoom"]
        {
            for node in window.query_all_by(|node| name_starts(node, start)) {
                assert!(room.expand(0.5).contains_rect(node.rect()), "{size:?}: {start} at {:?}", node.rect());
            }
        }
    }
}

// Eleven degrees more were told as seven less.
#[test]
fn a_difference_of_degrees_is_no_temperature() {
    let mut window = window();
    click(&mut window, "°F psi");
    focus(&mut window, "B1, ");
    press(&mut window, Key::X);
    let told = names(&window);
    for words in ["B1's set point moved by +11.1 °C", "B1 returns already 0.6 °C below"] {
        assert!(told.iter().any(|name| name.contains(words)), "{words}: {told:?}");
    }
}
