//! The window by what a person or a screen reader finds in it: names, states, keys and clicks. No pixels, no GPU.
//!
//! Each test drives the whole window through egui's own events. Which circuit gives which answer is tested elsewhere;
//! here it counts that the window asks, shows and puts back.
#![cfg(feature = "window")]

#[path = "gui/building.rs"]
mod building;
#[path = "gui/clock.rs"]
mod clock;
#[path = "gui/demonstration.rs"]
mod demonstration;
#[path = "gui/drawers.rs"]
mod drawers;
#[path = "gui/faults.rs"]
mod faults;
#[path = "gui/files.rs"]
mod files;
#[path = "gui/hunting.rs"]
mod hunting;
#[path = "gui/instruments.rs"]
mod instruments;
#[path = "gui/keys.rs"]
mod keys;
#[path = "gui/languages.rs"]
mod languages;
#[path = "gui/making.rs"]
mod making;
#[path = "gui/reach.rs"]
mod reaching;
#[path = "gui/side.rs"]
mod side;
#[path = "gui/sizes.rs"]
mod sizes;
#[path = "gui/terms.rs"]
mod terms;

use std::path::PathBuf;

use eframe::egui::accesskit::{Role, Toggled};
use eframe::egui::{
    Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, PointerButton, Pos2, Rect, TouchDeviceId, TouchId,
    TouchPhase, ViewportEvent, ViewportId, vec2,
};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::circuit::Contact;
use fanloom::circuit::diagnostic::Severity;
use fanloom::gui::App;
use fanloom::gui::command::Dialog;
use fanloom::gui::tool::Tool;
use fanloom::study::answer::Standing;

type Window = Harness<'static, App>;

fn window_on(start: Option<PathBuf>, (width, height): (f32, f32)) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(width, height))
        .with_theme(eframe::egui::Theme::Light)
        .with_max_steps(12)
        .with_context_setup(fanloom::gui::setup)
        .build_eframe(move |_| App::new(start));
    window.run();
    settle(&mut window);
    window
}

/// Waits until nothing is being worked out beside the window any more.
fn settle(window: &mut Window) {
    while window.state().is_at_work() {
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.run();
    }
}

fn window() -> Window {
    window_on(None, (1280.0, 800.0))
}

/// Clicks the widget whose name begins with `start`, as the pointer would.
fn click(window: &mut Window, start: &str) {
    window.get_by(|node| is_target(node, start)).click();
    window.run();
}

/// Clicks what may have to be scrolled to first.
fn reach(window: &mut Window, start: &str) {
    window.get_by(|node| is_target(node, start)).scroll_to_me();
    window.run();
    click(window, start);
}

fn focus(window: &mut Window, start: &str) {
    window.get_by(|node| is_target(node, start)).focus();
    window.run();
}

/// Types over a field.
fn type_into(window: &mut Window, name: &str, text: &str) {
    focus(window, name);
    press_with(window, Modifiers::COMMAND, Key::A);
    window.get_by(|node| is_target(node, name)).type_text(text);
    window.run();
}

fn press(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run();
}

fn press_with(window: &mut Window, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    window.run();
}

/// Something that can be clicked, and no text that happens to begin alike.
fn is_target(node: &egui_kittest::kittest::AccessKitNode<'_>, start: &str) -> bool {
    node.role() != Role::Label && name_starts(node, start)
}

fn name_starts(node: &egui_kittest::kittest::AccessKitNode<'_>, start: &str) -> bool {
    name(node).is_some_and(|name| name.starts_with(start))
}

/// What a screen reader says of a node: its label, or the text of a plain label.
fn name(node: &egui_kittest::kittest::AccessKitNode<'_>) -> Option<String> {
    node.label().or_else(|| node.value().filter(|_| node.role() == Role::Label))
}

fn centre(window: &Window, start: &str) -> Pos2 {
    window.get_by(|node| is_target(node, start)).rect().center()
}

/// Where what is named so stands, whether it can be pressed or not.
fn rect_of(window: &Window, start: &str) -> Rect {
    window.get_by(|node| name_starts(node, start)).rect()
}

fn names(window: &Window) -> Vec<String> {
    window.query_all_by(|node| name(node).is_some()).filter_map(|node| name(&node.accesskit_node())).collect()
}

fn shown(window: &Window, start: &str) -> bool {
    names(window).iter().any(|name| name.starts_with(start))
}

fn contact(window: &Window, tag: &str) -> Contact {
    let bench = window.state().bench();
    let id = bench.circuit().part_named(tag).expect("a part of this circuit");
    bench.outcome().contacts.iter().find(|c| c.part == id).expect("a contact in it").position
}

fn changes(window: &Window) -> usize {
    window.state().bench().changes().len()
}

/// Puts a lead from one terminal to another with the pointer.
fn jump(window: &mut Window, a: &str, b: &str) {
    press(window, Key::Num2);
    click(window, &format!("Terminal {a},"));
    click(window, &format!("Terminal {b},"));
    press(window, Key::Escape);
}

#[test]
fn opens_on_the_worked_example_with_one_suggestion() {
    let window = window();

    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");
    assert!(shown(&window, "Try this: B1 is open at rest"));
    assert!(shown(&window, "Nothing is changed"));
    assert!(shown(&window, "On the truck: parking brake on, wheels blocked."));
}

#[test]
fn the_five_links_and_the_fan_are_named_with_their_state() {
    let window = window();

    for link in ["Call: ", "Circuit: ", "Valve: ", "Air: ", "Clutch: "] {
        assert!(shown(&window, link), "{link} is missing");
    }
    assert!(shown(&window, "Fan free"));
}

#[test]
fn clicking_the_hand_switch_engages_the_fan() {
    let mut window = window();

    click(&mut window, "S2, hand switch, open");

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(shown(&window, "S2, hand switch, closed, rest open"));
    assert!(shown(&window, "Fan driven"));
}

#[test]
fn a_lead_across_the_sensor_engages_the_fan_and_stands_in_the_ledger() {
    let mut window = window();

    jump(&mut window, "B1.1", "B1.2");

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(shown(&window, "Put back: Lead B1.1 to B1.2, 5 A fuse"));
    assert!(shown(&window, "Circuit: coil live"), "{:?}", names(&window));
}

#[test]
fn the_link_that_does_not_follow_is_said_to_be_where_the_chain_parts() {
    let mut window = window();

    jump(&mut window, "B1.1", "B1.2");

    let parted: Vec<_> = names(&window).into_iter().filter(|name| name.contains("the chain parts here")).collect();
    assert_eq!(parted.len(), 1, "{parted:?}");
    assert!(parted[0].starts_with("Circuit: "), "{parted:?}");
}

#[test]
fn putting_the_lead_back_releases_the_fan() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");

    click(&mut window, "Put back: Lead B1.1 to B1.2");

    assert_eq!(window.state().verdict().standing, Standing::Released);
    assert_eq!(changes(&window), 0);
}

#[test]
fn put_all_back_leaves_the_truck_as_built() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");
    click(&mut window, "S2, hand switch");
    assert_eq!(changes(&window), 2);

    click(&mut window, "Put all back");

    assert_eq!(changes(&window), 0);
    assert!(shown(&window, "Nothing is changed"));
}

#[test]
fn undo_and_redo_go_by_button_and_by_keys_and_say_what() {
    let mut window = window();
    click(&mut window, "S2, hand switch");
    assert!(shown(&window, "Undo: S2 turned on"));

    click(&mut window, "Undo: S2 turned on");
    assert_eq!(changes(&window), 0);
    assert!(shown(&window, "Redo: S2 turned on"));
    press_with(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(changes(&window), 1);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(changes(&window), 0);
    press_with(&mut window, Modifiers::COMMAND, Key::Y);
    assert_eq!(changes(&window), 1);
}

#[test]
fn lifting_a_wires_end_takes_it_off_and_a_second_click_puts_it_back() {
    let mut window = window();
    press(&mut window, Key::Num3);

    click(&mut window, "Wire end W10@Y1.1");
    assert_eq!(window.state().bench().inputs().lifted.len(), 1);
    assert!(shown(&window, "Loose end W10@Y1.1"));
    click(&mut window, "Loose end W10@Y1.1");

    assert!(window.state().bench().inputs().lifted.is_empty());
}

#[test]
fn lift_on_a_part_pulls_its_plug() {
    let mut window = window();
    press(&mut window, Key::Num3);

    click(&mut window, "Y1, air valve");

    assert_eq!(window.state().bench().inputs().unplugged.len(), 1);
    assert!(names(&window).iter().any(|name| name.starts_with("Y1, air valve") && name.ends_with("unplugged")));
}

#[test]
fn a_shorting_lead_shows_its_danger_before_the_second_click() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");

    let at = centre(&window, "Terminal Y1.2,");
    window.hover_at(at);
    window.run();

    assert!(shown(&window, "If you click: lead from B1.1 to Y1.2"));
    assert!(shown(&window, "DANGER: "), "{:?}", names(&window));
    assert!(shown(&window, "Do not do this on a truck."));
    assert_eq!(changes(&window), 0, "pointing does nothing");
}

#[test]
fn a_harmless_lead_shows_before_and_after() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");

    let at = centre(&window, "Terminal B1.2,");
    window.hover_at(at);
    window.run();

    assert!(shown(&window, "Fan: free \u{2192} driven"), "{:?}", names(&window));
}

/// A tap of a finger, as a touch screen reports it: touch and pointer events together, then no pointer at all.
fn tap(window: &mut Window, start: &str) {
    let pos = centre(window, start);
    for (phase, pressed) in [(TouchPhase::Start, true), (TouchPhase::End, false)] {
        let touch = Event::Touch { device_id: TouchDeviceId(1), id: TouchId(1), phase, pos, force: None };
        window.event(touch);
        window.event(Event::PointerMoved(pos));
        window.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
    }
    window.event(Event::PointerGone);
    window.run();
}

#[test]
fn a_finger_sees_the_forecast_at_its_first_tap_and_acts_at_its_second() {
    let mut window = window();
    press(&mut window, Key::Num2);
    tap(&mut window, "Terminal B1.1,");

    tap(&mut window, "Terminal B1.2,");
    assert_eq!(changes(&window), 0, "foretold, not done");
    assert!(shown(&window, "Fan: free \u{2192} driven"), "{:?}", names(&window));
    tap(&mut window, "Terminal B1.2,");

    assert_eq!(changes(&window), 1);
}

#[test]
fn the_keyboard_alone_puts_a_lead_on() {
    let mut window = window();
    press(&mut window, Key::Num2);
    focus(&mut window, "Terminal B1.1,");
    press(&mut window, Key::Enter);
    focus(&mut window, "Terminal B1.2,");
    assert!(shown(&window, "Fan: free \u{2192} driven"), "the forecast follows the keyboard");

    press(&mut window, Key::Space);

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
}

#[test]
fn the_leads_fuse_is_chosen_in_the_tray() {
    let mut window = window();
    press(&mut window, Key::Num2);

    click(&mut window, "no fuse");
    jump(&mut window, "B1.1", "B1.2");

    assert!(shown(&window, "Put back: Lead B1.1 to B1.2, no fuse"));
}

#[test]
fn the_key_turns_by_keyboard() {
    let mut window = window();
    let key = |window: &Window| window.get_by_role_and_label(Role::Switch, "Key").accesskit_node().toggled();
    assert_eq!(key(&window), Some(Toggled::True));

    window.get_by_role_and_label(Role::Switch, "Key").focus();
    window.run();
    press(&mut window, Key::Space);

    assert_eq!(key(&window), Some(Toggled::False));
    assert_eq!(contact(&window, "S1"), Contact::Open);
}

#[test]
fn coolant_past_its_set_point_by_keyboard_moves_the_contact_and_hysteresis_holds_it() {
    let mut window = window();
    window.get_by_role_and_label(Role::Slider, "Coolant").focus();
    window.run();

    for _ in 0..14 {
        press(&mut window, Key::PageUp);
    }
    assert_eq!(contact(&window, "B1"), Contact::Closed, "208 °F is past 205 °F");
    press(&mut window, Key::PageDown);
    assert_eq!(contact(&window, "B1"), Contact::Closed, "198 °F is between reset and set point");
    for _ in 0..4 {
        press(&mut window, Key::ArrowLeft);
    }

    assert_eq!(contact(&window, "B1"), Contact::Open, "194 °F is below 195 °F");
}

#[test]
fn a_typed_value_may_bring_its_own_unit() {
    let mut window = window();
    let field = |window: &Window| window.get_by_role_and_label(Role::TextInput, "Coolant value").rect().center();
    let at = field(&window);
    window.drag_at(at);
    window.drop_at(at);
    window.run();
    press_with(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_role_and_label(Role::TextInput, "Coolant value").type_text("100C");
    window.run();
    press(&mut window, Key::Enter);

    assert!((window.state().bench().conditions().coolant_c - 100.0).abs() < 0.1);
    assert_eq!(contact(&window, "B1"), Contact::Closed);
}

#[test]
fn one_drag_of_a_scale_is_one_step_for_undo_and_shows_the_outcome_on_the_way() {
    let mut window = window();
    let rect = window.get_by_role_and_label(Role::Slider, "Coolant").rect();
    let y = rect.bottom() - 20.0;
    window.drag_at(Pos2::new(rect.left() + 40.0, y));
    window.run();
    for step in 1..=10 {
        window.hover_at(Pos2::new(rect.left() + 40.0 + step as f32 * 18.0, y));
        window.run();
    }
    assert_eq!(contact(&window, "B1"), Contact::Closed, "shown before it is let go");

    window.drop_at(Pos2::new(rect.left() + 220.0, y));
    window.run();

    assert_eq!(contact(&window, "B1"), Contact::Closed);
    assert_eq!(window.state().bench().journal().count(), 1);
}

#[test]
fn a_drag_past_the_set_point_and_back_leaves_the_contact_acted() {
    let mut window = window();
    let rect = window.get_by_role_and_label(Role::Slider, "Coolant").rect();
    let (left, width, y) = (rect.left() + 14.0, rect.width() - 28.0, rect.bottom() - 20.0);
    let at = |f: f32| Pos2::new(left + width * (f - 40.0) / 240.0, y);
    window.drag_at(at(68.0));
    window.run();
    for f in [120.0, 180.0, 215.0, 200.0] {
        window.hover_at(at(f));
        window.run();
    }
    window.drop_at(at(200.0));
    window.run();

    assert_eq!(contact(&window, "B1"), Contact::Closed, "it acted at 205 °F and 200 °F does not reset it");
}

#[test]
fn a_sensor_is_brought_to_act_from_what_is_known_of_it() {
    let mut window = window();
    click(&mut window, "B1, coolant temperature switch");

    click(&mut window, "Bring B1 to act");
    assert_eq!(contact(&window, "B1"), Contact::Closed);
    click(&mut window, "Let B1 return");

    assert_eq!(contact(&window, "B1"), Contact::Open);
}

#[test]
fn every_part_terminal_and_wire_of_every_shipped_circuit_has_its_name() {
    for sample in fanloom::gui::samples::all() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join(format!("{}.ron", sample.file));
        std::fs::write(&path, sample.text).expect("a file");
        let mut window = window_on(Some(path), (1280.0, 800.0));
        press(&mut window, Key::Escape);
        let names = names(&window);
        let circuit = window.state().bench().circuit();
        for part in circuit.parts() {
            let start = format!("{}, ", part.tag);
            assert!(names.iter().any(|n| n.starts_with(&start)), "{}: {} has no name", sample.file, part.tag);
        }
        for (id, _) in circuit.terminals_with_ids() {
            let start = format!("Terminal {},", circuit.terminal_words(id));
            assert!(names.iter().any(|n| n.starts_with(&start)), "{}: {start} is missing", sample.file);
        }
        for wire in circuit.wires() {
            let start = format!("Wire {},", wire.tag);
            assert!(names.iter().any(|n| n.starts_with(&start)), "{}: {start} is missing", sample.file);
        }
    }
}

#[test]
fn terminals_are_large_enough_for_a_finger() {
    let window = window();
    for node in window.query_all_by(|node| name_starts(node, "Terminal ")) {
        let size = node.rect().size();
        assert!(size.x >= 44.0 && size.y >= 44.0, "{:?}: {size:?}", node.accesskit_node().label());
    }
}

#[test]
fn tab_reaches_every_terminal_and_wire() {
    let mut window = window();
    let mut reached = std::collections::BTreeSet::new();
    for _ in 0..140 {
        press(&mut window, Key::Tab);
        let focused = window.query_all_by(|node| node.is_focused()).filter_map(|node| node.accesskit_node().label());
        reached.extend(focused.collect::<Vec<_>>());
    }
    let circuit = window.state().bench().circuit();
    for (id, _) in circuit.terminals_with_ids() {
        let start = format!("Terminal {},", circuit.terminal_words(id));
        assert!(reached.iter().any(|n| n.starts_with(&start)), "Tab never came to {start}");
    }
    for wire in circuit.wires() {
        let start = format!("Wire {},", wire.tag);
        assert!(reached.iter().any(|n| n.starts_with(&start)), "Tab never came to {start}");
    }
}

#[test]
fn escape_puts_the_tool_back() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");
    assert!(matches!(window.state().desk().tool, Tool::Lead { first: Some(_) }));

    press(&mut window, Key::Escape);

    assert_eq!(window.state().desk().tool, Tool::Hand);
}

#[test]
fn zooming_and_panning_keep_everything_clickable() {
    let mut window = window();
    let before = window.get_by(|node| is_target(node, "S2, hand switch")).rect();
    window.hover_at(before.center());
    window.event_modifiers(
        Event::MouseWheel {
            unit: MouseWheelUnit::Point,
            delta: vec2(0.0, 120.0),
            modifiers: Modifiers::COMMAND,
            phase: TouchPhase::Move,
            source: MouseWheelSource::Unknown,
        },
        Modifiers::COMMAND,
    );
    window.run();
    let after = window.get_by(|node| is_target(node, "S2, hand switch")).rect();
    assert!(after.width() > before.width() * 1.1, "{before:?} {after:?}");

    click(&mut window, "S2, hand switch");

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    press(&mut window, Key::F);
    let fitted = window.get_by(|node| is_target(node, "S2, hand switch")).rect();
    assert!((fitted.width() - before.width()).abs() < 0.5, "{before:?} {fitted:?}");
}

#[test]
fn another_circuit_is_opened_from_the_list() {
    let mut window = window();
    press_with(&mut window, Modifiers::COMMAND, Key::O);

    click(&mut window, "Gravel tipper 12");

    assert_eq!(window.state().bench().circuit().title(), "Gravel tipper 12");
    assert!(window.state().room().dialog.is_none());
    assert!(shown(&window, "Try this: B1 is closed at rest"));
}

fn open_from_list(window: &mut Window, title: &str) {
    press_with(window, Modifiers::COMMAND, Key::O);
    reach(window, title);
    assert_eq!(window.state().bench().circuit().title(), title);
}

#[test]
fn pressing_a_switch_that_springs_back_seals_the_relay_in() {
    let mut window = window();
    open_from_list(&mut window, "Line painter 8");

    click(&mut window, "S2, push switch");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert_eq!(changes(&window), 0, "a press leaves nothing changed");
    click(&mut window, "S3, push switch");

    assert_eq!(window.state().verdict().standing, Standing::Released);
}

#[test]
fn a_selector_goes_on_to_its_next_position() {
    let mut window = window();
    open_from_list(&mut window, "Coach 44");
    assert!(shown(&window, "S3, selector switch, at AUTO"));

    click(&mut window, "S3, selector switch");

    assert!(shown(&window, "S3, selector switch, at OFF"));
    click(&mut window, "S3, selector switch");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);
}

#[test]
fn a_fuse_blown_by_a_bare_lead_is_replaced_by_hand() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "no fuse");
    jump(&mut window, "B1.1", "Y1.2");
    assert!(shown(&window, "F1, fuse, 10 A, blown"), "{:?}", names(&window));
    click(&mut window, "Put back: Lead B1.1 to Y1.2");

    click(&mut window, "F1, fuse");

    assert!(shown(&window, "F1, fuse, 10 A, good"));
    assert_eq!(changes(&window), 0);
}

#[test]
fn the_hand_takes_a_lead_off_again() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");

    focus(&mut window, "Lead B1.1 to B1.2, 5 A fuse,");
    press(&mut window, Key::Enter);

    assert_eq!(changes(&window), 0);
}

#[test]
fn a_broken_file_is_reported_with_every_error_and_its_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("broken.ron");
    let text = "Circuit(\n    format: 1,\n    title: \"x\",\n    parts: {\"F1\": Fusse(amps: 5), \"G1\": Battery(volts: -3)},\n    wires: {},\n)\n";
    std::fs::write(&path, text).expect("a file");
    let reading = fanloom::circuit::format::read(text);
    let errors = reading.findings.iter().filter(|f| f.severity == Severity::Error).count();
    assert!(errors >= 2);

    let window = window_on(Some(path), (1280.0, 800.0));

    let Some(Dialog::Report(heading, report)) = &window.state().room().dialog else { panic!("no report") };
    assert_eq!(*heading, format!("broken.ron has {errors} errors"));
    assert!(report.contains("broken.ron:4") && report.contains("Fusse"), "{report}");
    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3", "the example is on the bench meanwhile");
}

/// A box with 1,497 things found took longer to lay out than the circuit, and 37 MB.
#[test]
fn a_report_tells_as_much_as_a_box_has_room_for_and_how_much_more_there_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("lamps.ron");
    let lamps: String = (1..=100).map(|n| format!("\"P{n}\": Lamp(ohms: 48), ")).collect();
    let parts = format!("\"G1\": Battery(volts: 12.6), {lamps}");
    std::fs::write(&path, format!("Circuit(format: 1, title: \"Lamps\", parts: {{{parts}}}, wires: {{}})"))
        .expect("a file");

    let window = window_on(Some(path), (1280.0, 800.0));

    let Some(Dialog::Report(_, report)) = &window.state().room().dialog else { panic!("no report") };
    assert_eq!(report.matches("nothing is wired to").count(), 60);
    assert!(report.contains("And 41 more: the command line lists all of them"), "{report}");
}

#[test]
fn a_file_that_is_not_there_is_reported_and_nothing_else_happens() {
    let window = window_on(Some(PathBuf::from("no/such/file.ron")), (1280.0, 800.0));

    assert!(shown(&window, "This circuit cannot be opened"));
}

#[test]
fn an_untouched_window_comes_to_rest() {
    let mut window = window();

    window.run();
    window.step();

    let delay = window.output().viewport_output.get(&ViewportId::ROOT).map(|viewport| viewport.repaint_delay);
    assert!(delay.is_some_and(|d| d > std::time::Duration::from_secs(60)), "repaints again after {delay:?}");
}

/// Asks the window to close, as the desktop does.
fn close(window: &mut Window) {
    let viewport = window.input_mut().viewports.entry(ViewportId::ROOT).or_default();
    viewport.events.push(ViewportEvent::Close);
    window.step();
    window.input_mut().viewports.entry(ViewportId::ROOT).or_default().events.clear();
    window.run();
}

#[test]
fn closing_with_something_changed_asks_first() {
    let mut window = window();
    jump(&mut window, "B1.1", "B1.2");

    close(&mut window);
    assert!(shown(&window, "The truck is not as built"));
    click(&mut window, "Stay here");
    assert!(!shown(&window, "The truck is not as built"));
    assert_eq!(changes(&window), 1);
    close(&mut window);
    click(&mut window, "Put everything back");

    assert_eq!(changes(&window), 0);
}

#[test]
fn opening_another_circuit_with_something_changed_asks_first() {
    let mut window = window();
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Gravel tipper 12");
    assert_eq!(window.state().bench().circuit().title(), "Salt spreader 3");

    click(&mut window, "Leave it changed");

    assert_eq!(window.state().bench().circuit().title(), "Gravel tipper 12");
}

#[test]
fn choosing_a_link_opens_its_reasons_and_marks_what_it_rests_on() {
    let mut window = window();

    click(&mut window, "Circuit: ");

    assert!(shown(&window, "Why: Circuit"));
    let verdict = window.state().verdict();
    let link = verdict.chain.iter().find(|link| link.name.word() == "Circuit").expect("a link");
    assert!(!link.rests_on.is_empty() && !link.because.is_empty());
    let marked = fanloom::gui::seen::highlighted(verdict, window.state().desk());
    assert_eq!(marked.len(), link.rests_on.len());
    click(&mut window, "Circuit: ");
    assert!(!shown(&window, "Why: Circuit"));
}

#[test]
fn a_danger_that_is_present_is_always_in_sight() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "no fuse");

    jump(&mut window, "B1.1", "Y1.2");

    assert!(names(&window).iter().any(|name| name.contains("DANGER")), "{:?}", names(&window));
}

#[test]
fn symbols_units_and_sheet_are_switched_by_their_buttons() {
    let mut window = window();

    click(&mut window, "Symbols: IEC");
    click(&mut window, "°F psi");
    click(&mut window, "Volts");

    assert!(shown(&window, "Symbols: IEEE") && shown(&window, "°C kPa"));
    let value = window.get_by_role_and_label(Role::TextInput, "Coolant value").value();
    assert_eq!(value.as_deref(), Some("20"));
}

#[test]
fn nothing_sticks_out_of_a_small_or_a_large_window() {
    for size in [(1024.0, 700.0), (1280.0, 800.0), (3840.0, 2160.0)] {
        let window = window_on(None, size);
        let room = eframe::egui::Rect::from_min_size(Pos2::ZERO, vec2(size.0, size.1));
        for node in window.query_all_by(|node| node.role() == Role::Button && node.label().is_some()) {
            let name = node.accesskit_node().label().unwrap_or_default();
            assert!(room.expand(0.5).contains_rect(node.rect()), "{size:?}: {name} at {:?}", node.rect());
        }
    }
}
