//! Several circuits in one window: opened, switched, closed, seen side by side, and the same done on two at once.
//!
//! What a circuit answers is tested elsewhere; here that each keeps its own bench and both get what is done on both.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::Queryable as _;

use fanloom::bench::{Act, Bench};
use fanloom::gui::command::Dialog;
use fanloom::gui::seen::Drawer;
use fanloom::study::answer::Standing;

use super::files::{folder, kept, let_go};
use super::{
    Window, click, close, is_target, name, names, press, press_with, reach, settle, shown, type_into, window_on,
};

const SPREADER: &str = "Salt spreader 3";
const TIPPER: &str = "Gravel tipper 12";

/// Opens a circuit beside what is there.
pub(super) fn open_beside(window: &mut Window, title: &str) {
    press_with(window, Modifiers::COMMAND, Key::O);
    click(window, "Beside ");
    reach(window, title);
    settle(window);
    window.run();
}

/// The spreader with the tipper beside it, which is in front.
fn two() -> Window {
    let mut window = window_on(None, (1440.0, 900.0));
    open_beside(&mut window, TIPPER);
    press(&mut window, Key::P);
    window
}

/// Something of one of two circuits, by the beginning of its name.
fn find(window: &Window, start: &str, on: &str) -> Option<Rect> {
    let end = format!(", on {on}");
    let is_it = |node: &egui_kittest::kittest::AccessKitNode<'_>| {
        is_target(node, start) && name(node).is_some_and(|name| name.ends_with(&end))
    };
    window.query_by(|node| is_it(node)).map(|node| node.rect())
}

fn click_on(window: &mut Window, start: &str, on: &str) {
    let end = format!(", on {on}");
    window.get_by(|node| is_target(node, start) && name(node).is_some_and(|name| name.ends_with(&end))).click();
    window.run();
}

/// Whether something is said of a circuit.
fn told(window: &Window, start: &str, on: &str) -> bool {
    names(window).iter().any(|name| name.starts_with(start) && name.ends_with(&format!(", on {on}")))
}

fn bench<'a>(window: &'a Window, title: &str) -> &'a Bench {
    let bay = window.state().bays().find(|bay| bay.name == title);
    bay.unwrap_or_else(|| panic!("{title} is open")).session.bench()
}

fn acts(window: &Window, title: &str) -> Vec<String> {
    bench(window, title).acts().map(Act::to_string).collect()
}

fn standing(window: &Window, title: &str) -> Standing {
    window.state().bays().find(|bay| bay.name == title).expect("it is open").session.verdict().standing
}

fn front(window: &Window) -> &str {
    window.state().bench().circuit().title()
}

fn said(window: &Window) -> &str {
    &window.state().desk().said
}

#[test]
fn a_second_circuit_from_the_list_stands_beside_the_first_with_chain_drawing_conditions_and_ledger() {
    let window = two();

    assert_eq!(front(&window), TIPPER);
    for circuit in [SPREADER, TIPPER] {
        for what in ["Call: ", "Clutch: ", "Fan ", "Y1, air valve", "Undo", "Supply gauge"] {
            assert!(told(&window, what, circuit), "{what} on {circuit}: {:?}", names(&window));
        }
        assert!(shown(&window, &format!("Chain of {circuit}")));
    }
    let conditions = names(&window).into_iter().filter(|name| name.starts_with("Key on, Coolant 68 °F")).count();
    assert_eq!(conditions, 2, "{:?}", names(&window));
    let (left, right) = (find(&window, "Y1, ", SPREADER).unwrap(), find(&window, "Y1, ", TIPPER).unwrap());
    assert!(left.right() < right.left(), "{left:?} {right:?}");
}

#[test]
fn links_of_both_chains_stand_below_each_other() {
    let window = two();

    for link in ["Call: ", "Circuit: ", "Valve: ", "Air: ", "Clutch: "] {
        let (above, below) = (find(&window, link, SPREADER).unwrap(), find(&window, link, TIPPER).unwrap());
        assert!(above.bottom() <= below.top(), "{link}");
        assert!((above.center().x - below.center().x).abs() < above.width() / 2.0, "{link} {above:?} {below:?}");
    }
}

#[test]
fn a_circuit_is_opened_beside_from_a_file_and_by_letting_files_go() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    std::fs::copy("circuits/series-closed.ron", &path).unwrap();
    let mut window = window_on(None, (1440.0, 900.0));
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, "Beside Salt spreader 3");
    type_into(&mut window, "Circuit file", &path.display().to_string());
    click(&mut window, "Open file");
    assert_eq!(window.state().bays().count(), 2);

    let_go(&mut window, folder.path(), &["Third"]);
    click(&mut window, "Beside Gravel tipper 12");
    assert_eq!(front(&window), "Third");
    let_go(&mut window, folder.path(), &["Fourth", "Fifth"]);

    let open: Vec<&str> = window.state().bays().map(|bay| bay.name.as_str()).collect();
    assert_eq!(open, [SPREADER, TIPPER, "Third", "Fourth", "Fifth"]);
    let_go(&mut window, folder.path(), &["Sixth", "Seventh"]);
    assert_eq!(window.state().bays().count(), 6);
    assert!(said(&window).contains("close one first"), "{}", said(&window));
}

#[test]
fn the_same_circuit_twice_has_two_names_and_two_benches() {
    let mut window = window_on(None, (1440.0, 900.0));
    open_beside(&mut window, SPREADER);
    press(&mut window, Key::P);
    let again = "Salt spreader 3 (2)";

    click_on(&mut window, "S2, hand switch", again);

    assert_eq!((standing(&window, SPREADER), standing(&window, again)), (Standing::Released, Standing::Engaged));
}

#[test]
fn name_key_and_a_click_in_the_drawing_each_bring_a_circuit_to_the_front() {
    let mut window = two();
    assert!(shown(&window, "Gravel tipper 12: fan free, in front"), "{:?}", names(&window));
    press(&mut window, Key::N);
    assert_eq!(front(&window), SPREADER);
    press(&mut window, Key::N);
    assert_eq!(front(&window), TIPPER);
    click(&mut window, "Salt spreader 3: fan free");
    assert_eq!(front(&window), SPREADER);

    click_on(&mut window, "B1, ", TIPPER);

    assert_eq!(front(&window), TIPPER);
    assert!(window.state().desk().selected.is_some());
    assert!(shown(&window, "Gravel tipper 12: fan free, in front"));
    // Drawings keep their places whichever is in front.
    assert!(find(&window, "Y1, ", SPREADER).unwrap().right() < find(&window, "Y1, ", TIPPER).unwrap().left());
}

#[test]
fn drawers_and_card_are_about_the_one_in_front() {
    let mut window = two();
    press(&mut window, Key::P);
    assert_eq!(window.state().room().drawer, Some(Drawer::Prove));
    settle(&mut window);
    window.run();
    let lifts = |window: &Window| names(window).iter().any(|name| name.contains("off B1."));
    assert!(lifts(&window), "closed at rest: {:?}", names(&window));

    press(&mut window, Key::N);
    settle(&mut window);
    window.run();

    assert_eq!(window.state().room().drawer, Some(Drawer::Prove), "it stays out");
    assert!(names(&window).iter().any(|name| name.contains("Lead across B1")), "{:?}", names(&window));
    press(&mut window, Key::C);
    settle(&mut window);
    window.run();
    assert!(shown(&window, "Salt spreader 3"));
    press(&mut window, Key::Escape);
}

#[test]
fn an_act_in_one_leaves_the_other_alone_unless_both_are_meant() {
    let mut window = two();

    click_on(&mut window, "S2, hand switch", SPREADER);

    assert_eq!((acts(&window, SPREADER), acts(&window, TIPPER)), (vec!["turn:S2=on".to_owned()], Vec::new()));
    assert!(told(&window, "Fan driven", SPREADER) && told(&window, "Fan free", TIPPER));
}

#[test]
fn a_lead_on_both_engages_the_one_that_is_open_at_rest_and_not_the_other() {
    let mut window = two();
    click(&mut window, "Do the same on both");
    press(&mut window, Key::Num2);

    click_on(&mut window, "Terminal B1.1,", SPREADER);
    click_on(&mut window, "Terminal B1.2,", SPREADER);

    let lead = vec!["jump:B1.1=B1.2".to_owned()];
    assert_eq!((acts(&window, SPREADER), acts(&window, TIPPER)), (lead.clone(), lead));
    assert_eq!((standing(&window, SPREADER), standing(&window, TIPPER)), (Standing::Engaged, Standing::Released));
    assert!(told(&window, "Put back: Lead B1.1 to B1.2, 5 A fuse", TIPPER), "{:?}", names(&window));
}

#[test]
fn a_meter_put_on_both_shows_both_readings_and_what_one_of_them_lacks_is_said() {
    let mut window = two();
    click(&mut window, "Do the same on both");
    press(&mut window, Key::Num4);

    click_on(&mut window, "Terminal Y1.1,", SPREADER);
    click_on(&mut window, "Terminal Y1.2,", SPREADER);

    // Open at rest the coil is dead, closed at rest it is live.
    assert!(told(&window, "Meter 0.000 V", SPREADER) && told(&window, "Meter 12.", TIPPER), "{:?}", names(&window));
    click_on(&mut window, "Terminal X2.s,", SPREADER);
    assert!(said(&window).contains("Not put on Gravel tipper 12: it has no X2.s."), "{}", said(&window));
    assert!(told(&window, "Meter 12.", TIPPER), "it stays where it was: {:?}", names(&window));
}

#[test]
fn conditions_go_to_both_whatever_they_feel() {
    let mut window = two();
    press(&mut window, Key::D);

    type_into(&mut window, "Coolant value", "230F");
    press(&mut window, Key::Enter);
    click(&mut window, "Key");

    for circuit in [SPREADER, TIPPER] {
        let conditions = bench(&window, circuit).conditions();
        assert!((conditions.coolant_c - 110.0).abs() < 0.1 && !conditions.key_on, "{circuit}: {conditions:?}");
    }
}

#[test]
fn a_scale_that_is_dragged_moves_both_on_the_way() {
    let mut window = two();
    press(&mut window, Key::D);
    window.get_by(|node| node.role() == Role::Slider && name(node).as_deref() == Some("Coolant")).focus();
    window.run();

    press(&mut window, Key::PageUp);

    let [one, other] = [SPREADER, TIPPER].map(|circuit| bench(&window, circuit).conditions().coolant_c);
    assert!(one > 21.5 && (one - other).abs() < 1e-9, "{one} {other}");
}

#[test]
fn where_the_other_has_no_such_place_the_tray_says_so_and_only_one_is_changed() {
    let mut window = window_on(None, (1440.0, 900.0));
    open_beside(&mut window, "Snow plough 9");
    press(&mut window, Key::P);
    click(&mut window, "Salt spreader 3: ");
    press(&mut window, Key::D);

    click_on(&mut window, "S2, hand switch", SPREADER);

    assert_eq!(acts(&window, SPREADER), ["turn:S2=on"]);
    assert_eq!(acts(&window, "Snow plough 9"), Vec::<String>::new());
    assert!(said(&window).starts_with("Not done on Snow plough 9: "), "{}", said(&window));
}

#[test]
fn what_was_done_on_both_is_undone_and_done_again_on_both() {
    let mut window = two();
    press(&mut window, Key::D);
    click_on(&mut window, "S2, hand switch", SPREADER);
    let on = vec!["turn:S2=on".to_owned()];
    assert_eq!((acts(&window, SPREADER), acts(&window, TIPPER)), (on.clone(), on.clone()));

    press(&mut window, Key::D);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!((acts(&window, SPREADER).len(), acts(&window, TIPPER).len()), (0, 0), "also once the switch is off");
    press(&mut window, Key::N);
    press_with(&mut window, Modifiers::COMMAND, Key::Y);
    assert_eq!((acts(&window, SPREADER), acts(&window, TIPPER)), (on.clone(), on.clone()), "from either side");

    // Something else done on one of them since: there it stays.
    click_on(&mut window, "Undo", TIPPER);
    press_with(&mut window, Modifiers::COMMAND, Key::Y);
    press(&mut window, Key::N);
    click(&mut window, "Key");
    press(&mut window, Key::N);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(acts(&window, front(&window)).len(), 0);
    assert!(said(&window).contains("other things were done since"), "{}", said(&window));
    let both = [SPREADER, TIPPER].map(|circuit| acts(&window, circuit).len());
    assert_eq!(both.iter().sum::<usize>(), 1);
}

#[test]
fn the_forecast_tells_of_both_before_it_is_done_on_both() {
    let mut window = two();
    press(&mut window, Key::D);
    press(&mut window, Key::Num2);
    click_on(&mut window, "Terminal B1.1,", SPREADER);

    let at = find(&window, "Terminal N1.g,", SPREADER).expect("a ground").center();
    window.hover_at(at);
    window.run();

    assert!(shown(&window, "The same on Gravel tipper 12"), "{:?}", names(&window));
    let dangers = names(&window).iter().filter(|name| name.starts_with("Fan")).count();
    assert!(dangers >= 4, "a forecast each beside the two fans: {:?}", names(&window));
}

#[test]
fn side_by_side_is_switched_off_and_the_names_still_tell_what_the_other_fan_does() {
    let mut window = two();
    click_on(&mut window, "S2, hand switch", SPREADER);

    press(&mut window, Key::B);

    assert!(shown(&window, "Y1, air valve") && !told(&window, "Y1, air valve", TIPPER));
    assert!(shown(&window, "Salt spreader 3: fan driven"), "{:?}", names(&window));
    press(&mut window, Key::N);
    assert!(shown(&window, "Gravel tipper 12: fan free, in front"));
    click(&mut window, "Side by side");
    assert!(told(&window, "Y1, air valve", TIPPER));
}

#[test]
fn closing_one_asks_where_something_is_changed_and_leaves_the_other() {
    let mut window = two();
    click_on(&mut window, "S2, hand switch", SPREADER);
    click(&mut window, "Close Salt spreader 3");
    assert!(shown(&window, "The truck is not as built"));
    click(&mut window, "Stay here");
    assert_eq!(window.state().bays().count(), 2);
    click(&mut window, "Close Salt spreader 3");
    click(&mut window, "Leave it changed");

    assert_eq!((window.state().bays().count(), front(&window)), (1, TIPPER));
    assert!(!shown(&window, "Side by side"), "one alone has no row");
}

#[test]
fn closing_the_window_calls_out_what_is_changed_in_either_and_puts_all_of_it_back() {
    let mut window = two();
    press(&mut window, Key::D);
    click_on(&mut window, "S2, hand switch", SPREADER);
    press(&mut window, Key::D);
    press(&mut window, Key::N);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    click_on(&mut window, "S2, hand switch", SPREADER);
    assert_eq!(front(&window), SPREADER);
    press(&mut window, Key::N);
    assert_eq!(acts(&window, TIPPER).len(), 0);

    close(&mut window);

    assert!(shown(&window, "The truck is not as built"), "it is the other that is changed");
    assert!(names(&window).iter().any(|name| name.contains("S2 turned on")));
    click(&mut window, "Put everything back");
    assert!(acts(&window, SPREADER).is_empty());
}

#[test]
fn opening_in_place_with_something_changed_offers_beside() {
    let mut window = window_on(None, (1440.0, 900.0));
    click(&mut window, "S2, hand switch");
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, TIPPER);

    click(&mut window, "Open it beside");

    assert_eq!(window.state().bays().count(), 2);
    assert_eq!((front(&window), acts(&window, SPREADER).len()), (TIPPER, 1));
}

#[test]
fn all_that_is_open_comes_back_after_a_kill_with_what_belongs_together() {
    let state = tempfile::tempdir().unwrap();
    let mut window = super::files::kept(state.path(), None);
    open_beside(&mut window, TIPPER);
    press(&mut window, Key::P);
    press(&mut window, Key::D);
    click_on(&mut window, "S2, hand switch", TIPPER);
    open_beside(&mut window, "Snow plough 9");
    click(&mut window, "Gravel tipper 12: ");
    window.run_steps(10);
    let open = |window: &Window| -> Vec<String> { window.state().bays().map(|bay| bay.name.clone()).collect() };
    let all = open(&window);
    assert_eq!(all.len(), 3);
    super::files::close(window);

    let mut again = super::files::kept(state.path(), None);

    assert_eq!((open(&again), front(&again)), (all, TIPPER));
    assert_eq!((acts(&again, SPREADER).len(), acts(&again, TIPPER).len()), (1, 1));
    assert!(shown(&again, "Chain of Snow plough 9"), "the one that was beside it is");
    press_with(&mut again, Modifiers::COMMAND, Key::Z);
    assert_eq!((acts(&again, SPREADER).len(), acts(&again, TIPPER).len()), (0, 0), "undo still finds both");
}

#[test]
fn what_was_kept_by_a_window_with_one_circuit_is_still_read() {
    let state = tempfile::tempdir().unwrap();
    let window = super::files::kept(state.path(), None);
    super::files::close(window);
    let path = state.path().join("window-1.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let row = text.find("row:").expect("the row is the last field");
    std::fs::write(&path, format!("{})", &text[..row])).unwrap();

    let window = super::files::kept(state.path(), None);

    assert_eq!(window.state().room().dialog, None::<Dialog>);
    assert_eq!(window.state().bays().count(), 1);
}

#[test]
fn in_windows_too_small_for_two_the_other_is_folded_to_its_name() {
    for size in [(1024.0, 700.0), (720.0, 520.0), (512.0, 350.0)] {
        let mut window = window_on(None, size);
        open_beside(&mut window, TIPPER);
        assert!(shown(&window, "Salt spreader 3: fan free"), "{size:?}: {:?}", names(&window));
        let is_one = size.0 < 540.0;
        assert_eq!(!shown(&window, "Chain of Salt spreader 3"), is_one, "{size:?}");
        // The row of names says why, and what would help.
        assert_eq!(shown(&window, "No room here for two: make the window larger"), is_one, "{size:?}");
        press(&mut window, Key::N);
        assert_eq!(front(&window), SPREADER);
    }
}

#[test]
fn in_a_high_and_narrow_window_one_stands_above_the_other() {
    let mut window = window_on(None, (1100.0, 1300.0));
    open_beside(&mut window, TIPPER);
    press(&mut window, Key::P);
    let (above, below) = (find(&window, "Y1, ", SPREADER).unwrap(), find(&window, "Y1, ", TIPPER).unwrap());
    assert!(above.bottom() < below.top() || above.right() < below.left(), "{above:?} {below:?}");
}

#[test]
fn names_in_the_row_are_large_enough_for_a_finger() {
    let window = two();
    for name in ["Salt spreader 3: ", "Close Gravel tipper 12", "Side by side", "Do the same on both"] {
        let rect = window.get_by(|node| is_target(node, name)).rect();
        assert!(rect.height() >= 44.0, "{name}: {rect:?}");
    }
}

// Of two windows that were killed one came back; of the other nothing was said until a second window was opened.
#[test]
fn what_was_done_in_a_second_window_that_is_gone_can_be_taken_up_in_the_first() {
    let state = folder();
    let (first, mut second) = (kept(state.path(), None), kept(state.path(), None));
    click(&mut second, "S2, hand switch");
    press_with(&mut second, Modifiers::COMMAND, Key::O);
    let second_did = second.state().bench().acts().cloned().collect::<Vec<Act>>();
    assert!(!shown(&second, "Stood on the bench before"), "it is this one's own: {:?}", names(&second));
    press(&mut second, Key::Escape);
    super::files::close(first);
    super::files::close(second);

    let mut again = kept(state.path(), None);
    press_with(&mut again, Modifiers::COMMAND, Key::O);
    reach(&mut again, "Stood here before: Salt spreader 3, one change");

    assert!(again.state().bench().acts().eq(&second_did));
    let beside = kept(state.path(), None);
    assert_eq!(beside.state().bench().journal().count(), 1, "and comes back in a second window all the same");
    press_with(&mut again, Modifiers::COMMAND, Key::O);
    assert!(!shown(&again, "Stood here before: Salt spreader 3, one change"), "it is open");
}
