//! The clock in the window: nothing happens until time passes, then air, clutch and heat do, and it all goes back.
//!
//! The physics of it is tested elsewhere; here that it is shown, driven by name and key, and left as it was.

use eframe::egui::accesskit::{Role, Toggled};
use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::study::answer::Standing;

use super::files::{folder, kept, left_in};
use super::{Window, changes, click, contact, jump, names, press, press_with, shown, window};

#[test]
fn with_the_clock_out_a_lead_engages_nothing_until_air_has_come() {
    let mut window = window();
    click(&mut window, "Clock");
    click(&mut window, "Try: Lead across B1");
    assert_eq!(window.state().verdict().standing, Standing::Released, "no time has passed");
    assert!(shown(&window, "Circuit: coil live"), "{:?}", names(&window));

    click(&mut window, "Speed 10 times");
    for _ in 0..4 {
        click(&mut window, "One step");
    }

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(names(&window).iter().any(|name| name.contains("the clutch engages: ")), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.starts_with("Strip of pressures: supply psi 104.")));
}

#[test]
fn going_back_to_the_start_takes_back_what_was_done_meanwhile() {
    let mut window = window();
    press(&mut window, Key::T);
    click(&mut window, "One step");
    click(&mut window, "Try: Lead across B1");
    assert_eq!(changes(&window), 1);

    click(&mut window, "Back to start");

    assert_eq!(changes(&window), 0);
    assert!(shown(&window, "0.0 s"));
}

/// Seven minutes after the clock was started the tray still said that nothing happens until time passes.
#[test]
fn once_time_passes_the_tray_no_longer_says_that_nothing_happens() {
    let mut window = window();
    press(&mut window, Key::T);
    let is_told = |window: &Window| shown(window, "The clock is out: nothing happens until time passes");
    assert!(is_told(&window));

    click(&mut window, "One step");

    assert!(!is_told(&window));
}

#[test]
fn the_clock_put_away_shows_what_comes_after_a_long_time() {
    let mut window = window();
    press(&mut window, Key::T);
    click(&mut window, "Try: Lead across B1");
    assert_eq!(window.state().verdict().standing, Standing::Released);

    press(&mut window, Key::T);

    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(!shown(&window, "One step"));
}

#[test]
fn a_chamber_on_its_way_out_is_not_called_vented() {
    let mut window = window();
    press(&mut window, Key::T);
    click(&mut window, "Try: Lead across B1");
    click(&mut window, "Speed 60 times");
    click(&mut window, "One step");
    click(&mut window, "Put back: Lead across B1");
    click(&mut window, "Speed 1 times");
    click(&mut window, "One step");

    assert!(shown(&window, "Air: emptying"), "{:?}", names(&window));
}

#[test]
fn undo_works_with_the_clock_out() {
    let mut window = window();
    press(&mut window, Key::T);
    click(&mut window, "Try: Lead across B1");
    click(&mut window, "Undo: ");
    assert_eq!(changes(&window), 0);
}

#[test]
fn the_fan_can_be_kept_from_being_seen_turning() {
    let mut window = window();
    press(&mut window, Key::T);
    let turns =
        |window: &super::Window| window.get_by_role_and_label(Role::CheckBox, "Fan turns").accesskit_node().toggled();
    assert_eq!(turns(&window), Some(Toggled::True));

    click(&mut window, "Fan turns");

    assert_eq!(turns(&window), Some(Toggled::False));
}

#[test]
fn the_clock_put_away_leaves_conditions_and_sensors_as_they_had_become() {
    let mut window = window();
    press(&mut window, Key::T);
    window.get_by_role_and_label(Role::Slider, "Engine speed").focus();
    window.run();
    for _ in 0..7 {
        press(&mut window, Key::PageUp);
    }
    click(&mut window, "Speed 300 times");
    for _ in 0..40 {
        click(&mut window, "One step");
    }
    let (warm, b1) = (*window.state().bench().conditions(), contact(&window, "B1"));
    assert!(warm.coolant_c > 85.0 && warm.oil_c > 60.0, "{warm:?}");

    press(&mut window, Key::T);

    let kept = window.state().bench().conditions();
    assert!((kept.coolant_c - warm.coolant_c).abs() < 0.05, "{} of {}", kept.coolant_c, warm.coolant_c);
    assert!((kept.oil_c - warm.oil_c).abs() < 0.05 && (kept.refrigerant_kpa - warm.refrigerant_kpa).abs() < 1.0);
    assert_eq!(contact(&window, "B1"), b1);
}

#[test]
fn what_came_after_is_at_hand_until_something_new_is_done() {
    let mut window = window();
    press(&mut window, Key::T);
    click(&mut window, "One step");
    click(&mut window, "Try: Lead across B1");
    click(&mut window, "One step");
    click(&mut window, "Back to start");
    assert_eq!(changes(&window), 0);

    click(&mut window, "Forward again to 0.2 s");
    assert_eq!(changes(&window), 1);
    assert!(shown(&window, "0.2 s"));

    click(&mut window, "Back to start");
    click(&mut window, "One step");
    assert!(!shown(&window, "Forward again"));
}

#[test]
fn figures_of_no_vehicle_stop_the_clock_and_the_tray_says_why() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("absurd.ron");
    let sound = std::fs::read_to_string("circuits/parallel-open.ron").expect("it is shipped");
    let absurd = sound.replace("clutch: Clutch(", "clutch: Clutch(chamber_litres: 1e-9, bore_mm: 0.001, ");
    std::fs::write(&path, absurd).expect("the folder is ours");
    let mut window = super::window_on(Some(path), (1280.0, 800.0));
    press(&mut window, Key::T);
    click(&mut window, "Try: Lead across B1");
    click(&mut window, "One step");
    assert!(shown(&window, "The clock has stopped: "), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.contains("`chamber_litres: 1e-9`")), "{:?}", names(&window));
}

#[test]
fn lock_up_bolts_are_fitted_beside_the_conditions_and_the_chain_says_so() {
    let mut window = window();
    click(&mut window, "Lock-up bolts fitted");
    assert_eq!(window.state().verdict().standing, Standing::Engaged);
    assert!(shown(&window, "Clutch: bolted up, fan always driven"), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.contains("emergency measure")), "{:?}", names(&window));
}

#[test]
fn a_clock_comes_back_after_a_kill_at_the_moment_it_had_come_to_with_the_air_as_it_was() {
    let state = folder();
    let mut window = kept(state.path(), None);
    press(&mut window, Key::T);
    (0..10).for_each(|_| press(&mut window, Key::Period));
    jump(&mut window, "B1.1", "B1.2");
    (0..6).for_each(|_| press(&mut window, Key::Period));
    let clock = |window: &Window| {
        let clock = window.state().bays().next().unwrap().session.clock().expect("it is out").clone();
        (clock.at_s(), clock.done().len(), clock.moment().unwrap().clutch_kpa)
    };
    let (at_s, done, kpa) = clock(&window);
    assert!((at_s - 1.6).abs() < 1e-9 && done == 1 && kpa > 100.0, "{at_s} {done} {kpa}");

    window.run_steps(10);
    let left = left_in(state.path(), &|left| left.time.as_ref().is_some_and(|time| time.at_s > 1.5));
    let copy = folder();
    std::fs::write(copy.path().join("window-1.ron"), left.write().unwrap()).unwrap();
    let mut again = kept(copy.path(), None);

    let (again_s, again_done, again_kpa) = clock(&again);
    assert_eq!((again_s, again_done), (at_s, done));
    assert!((again_kpa - kpa).abs() < 0.01 * kpa, "{again_kpa} and not {kpa}");
    press_with(&mut again, Modifiers::COMMAND, Key::Z);
    assert!(again.state().bench().changes().is_empty(), "and what was done then is undone");
}

/// The strips stood at the moment before an act while chain and gauges stood after it: 12.5 V beside 0.00 V.
#[test]
fn strips_gauges_and_chain_show_the_same_moment_also_when_something_has_just_been_done() {
    let mut window = window();
    press(&mut window, Key::T);
    (0..5).for_each(|_| press(&mut window, Key::Period));
    let strip = |window: &Window, what: &str| {
        let start = format!("Strip of {what}: ");
        names(window).into_iter().find_map(|name| name.strip_prefix(&start).map(str::to_owned)).expect("a strip")
    };
    let number = |told: &str| {
        let figure = |c: char| c.is_ascii_digit() || c == '.';
        told.trim_matches(|c| !figure(c)).parse::<f64>().unwrap_or_else(|_| panic!("{told}"))
    };
    for standing in ["open", "closed"] {
        click(&mut window, &format!("S2, hand switch, {standing}"));
        let link = names(&window).into_iter().find(|name| name.starts_with("Circuit: ")).unwrap();
        let volts = link.split(", ").nth(1).unwrap().trim_end_matches(" V").to_owned();
        let shown = strip(&window, "coil volts");
        assert!((number(&shown.replace("Y1 V ", "")) - number(&volts)).abs() < 0.06, "{shown} beside {link}");
        let supply = names(&window).into_iter().find(|name| name.starts_with("Supply gauge, ")).unwrap();
        let pressures = strip(&window, "pressures");
        let first = pressures.split(", ").next().unwrap();
        assert!(
            (number(&first.replace("supply psi", "")) - number(&supply.replace("Supply gauge, ", ""))).abs() <= 0.6,
            "{pressures} beside {supply}"
        );
        (0..9).for_each(|_| press(&mut window, Key::Period));
    }
}
