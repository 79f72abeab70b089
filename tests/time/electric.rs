//! Electric changes with their moments: hot coils, fuses, timers, set points, chatter, kicks.
//!
//! Fuse times are the geometric means of the bands of ISO 8820-3 type C (from memory); coil figures are the circuits' own.

use fanloom::physics::clutch::ClutchState;
use fanloom::physics::state::FuseAt;
use fanloom::physics::time::Happening;

use crate::support::clock::{Clock, rig, with_air};
use crate::support::{near, near_relative, tiny, tiny_text};

#[test]
fn a_hot_coil_needs_more_volts() {
    let energised = |clock: &Clock| clock.live.outcome().coils[&clock.id("Y1")].energised;
    // It pulls in at 7.8 V cold; 9 V do.
    let mut cold = Clock::on(&rig("", ""), &[], &["flat:G1=9V"]);
    cold.will("turn:S1=on").run_to(1.0);
    assert!(energised(&cold));

    // On for an hour it is at 72 °C and wants 7.8 x 1.206 = 9.4 V.
    let mut hot = Clock::on(&rig("", ""), &[], &[]);
    hot.will("turn:S1=on").run_to(3600.0);
    near(hot.coil_c("Y1"), 72.5, 1.0);
    near(hot.live.outcome().coils[&hot.id("Y1")].pulls_in_now, 7.8 * (1.0 + 0.00393 * 52.5), 0.1);
    hot.will("flat:G1=9V").run_to(3601.0);
    assert!(energised(&hot), "one that is in stays in");
    hot.will("turn:S1=off").will("turn:S1=on").run_to(3605.0);
    assert!(!energised(&hot), "let go, it does not come back");
    hot.will("turn:S1=off").run_to(6000.0);
    hot.will("turn:S1=on").run_to(6001.0);
    assert!(energised(&hot), "cooled down it does");
}

/// A 10 A fuse that carries so many times its rating once `S1` is on.
fn fused(times: f64) -> Clock {
    // Battery, fuse, switch and four metres of AWG 16 (13.174 mohm/m) in series with the load.
    let load = 12.6 / (10.0 * times) - (0.01 + 0.0075 + 0.005 + 4.0 * 0.013174);
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("F1", "Fuse(amps: 10)"),
        ("S1", "HandSwitch(rest: Open)"),
        ("R1", &format!("Resistor(ohms: {load})")),
    ];
    Clock::on(&tiny(&parts, &["W1 G1.+ F1.1", "W2 F1.2 S1.1", "W3 S1.2 R1.1", "W4 R1.2 G1.-"]), &[], &[])
}

fn opens_after(times: f64) -> f64 {
    let mut clock = fused(times);
    clock.run_to(2.0);
    clock.will("turn:S1=on").run_to(300.0);
    let opened = clock.times(|h| matches!(h, Happening::Fuse(..)));
    assert_eq!(opened.len(), 1);
    opened[0] - 2.0
}

#[test]
fn a_fuse_opens_in_the_middle_of_its_band_and_faster_the_more_it_carries() {
    // Geometric means of 0.25 to 50, 0.15 to 5, 0.04 to 0.5 and 0.02 to 0.1 s.
    for (times, least, most) in [(1.6, 0.25, 50.0), (2.0, 0.15, 5.0), (3.5, 0.04, 0.5), (6.0, 0.02, 0.1)] {
        near_relative(opens_after(times), f64::sqrt(least * most), 0.02);
    }
    assert!(opens_after(1.5) > opens_after(1.6));
}

#[test]
fn a_fuse_below_135_percent_never_opens() {
    let mut clock = fused(1.3);
    clock.will("turn:S1=on").run_to(7200.0);
    assert!(clock.live.events().is_empty());
}

#[test]
fn an_overload_that_ends_in_time_leaves_the_fuse_whole_and_cool() {
    let mut clock = fused(2.0);
    for round in 0..5 {
        let at_s = 10.0 * f64::from(round);
        clock.run_to(at_s).will("turn:S1=on").run_to(at_s + 0.7);
        clock.will("turn:S1=off");
    }
    clock.run_to(60.0);
    assert!(clock.times(|h| matches!(h, Happening::Fuse(..))).is_empty(), "0.87 s would have opened it");
}

#[test]
fn a_renewed_fuse_carries_again_and_opens_again() {
    let mut clock = fused(2.0);
    let fuse = Happening::Fuse(FuseAt::Part(clock.id("F1")), 0.0);
    let opened = |clock: &Clock| {
        clock.times(|h| matches!((h, &fuse), (Happening::Fuse(a, _), Happening::Fuse(b, _)) if a == b)).len()
    };
    clock.will("turn:S1=on").run_to(10.0);
    assert_eq!(opened(&clock), 1);
    clock.will("turn:S1=off").will("renew F1").will("turn:S1=on");
    let f1 = clock.id("F1");
    near_relative(clock.live.outcome().part_amps[f1.index()].abs(), 20.0, 1e-2);
    clock.run_to(20.0);
    assert_eq!(opened(&clock), 2);
    clock.will("put all back").will("turn:S1=on").run_to(30.0);
    assert_eq!(opened(&clock), 3);
}

#[test]
fn the_fuse_of_a_test_lead_opens_in_its_time_too() {
    let mut clock = Clock::shipped("parallel-open", &[], &[]);
    clock.run_to(1.0);
    clock.will("jump:S1.15=N1.g").run_to(5.0);
    let opened = clock.times(|h| matches!(h, Happening::Fuse(FuseAt::Lead(_), _)));
    assert_eq!(opened.len(), 1);
    assert!(opened[0] - 1.0 < 0.2, "a dead short: {opened:?}");
    assert!(clock.times(|h| matches!(h, Happening::Fuse(FuseAt::Part(_), _))).is_empty(), "the 5 A one is faster");
}

const TIMED: [(&str, &str); 5] = [
    ("G1", "Battery(volts: 12.6)"),
    ("S1", "HandSwitch(rest: Open)"),
    ("K1", "Timer(hold_seconds: 20)"),
    ("Y1", "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)"),
    ("X1", "Splice"),
];
const TIMED_WIRES: [&str; 7] = [
    "W1 G1.+ X1.s",
    "W2 X1.s K1.15",
    "W3 X1.s S1.1",
    "W4 S1.2 K1.in",
    "W5 K1.87 Y1.1",
    "W6 Y1.2 G1.-",
    "W7 K1.31 G1.-",
];

fn timed() -> Clock {
    let circuit = with_air(&tiny_text(&TIMED, &TIMED_WIRES), "", "");
    Clock::on(&circuit, &[], &[])
}

#[test]
fn a_timer_holds_for_its_seconds_and_lets_go() {
    let mut clock = timed();
    let timer = clock.id("K1");
    clock.run_to(1.0).will("turn:S1=on").run_to(5.0);
    assert_eq!(clock.state(), ClutchState::Engaged);
    clock.will("turn:S1=off").run_to(24.9);
    assert_eq!(clock.state(), ClutchState::Engaged, "held");
    clock.run_to(30.0);
    near(clock.first(&Happening::Timer(timer, false)), 25.0, 1e-6);
    assert_eq!(clock.state(), ClutchState::Released);
}

#[test]
fn what_a_timer_feeds_sees_no_gap_as_its_hold_begins() {
    let mut clock = timed();
    clock.will("turn:S1=on").run_to(5.0);
    clock.will("turn:S1=off").run_to(10.0);
    assert_eq!(clock.times(|h| matches!(h, Happening::Coil(..))).len(), 1);
    assert!(clock.times(|h| matches!(h, Happening::Kick(..))).is_empty());
}

#[test]
fn a_timer_without_supply_forgets_its_hold() {
    let mut parts = TIMED;
    parts[4] = ("X1", "HandSwitch(rest: Closed)");
    let wires = TIMED_WIRES
        .map(|wire| if wire.starts_with("W1") { wire.replace("X1.s", "X1.1") } else { wire.replace("X1.s", "X1.2") });
    let wires: Vec<&str> = wires.iter().map(String::as_str).collect();
    let mut clock = Clock::on(&with_air(&tiny_text(&parts, &wires), "", ""), &[], &[]);
    clock.will("turn:S1=on").run_to(5.0);
    clock.will("turn:S1=off").run_to(8.0);
    clock.will("turn:X1=on").run_to(9.0);
    clock.will("turn:X1=off").run_to(12.0);
    assert_eq!(clock.state(), ClutchState::Released);
}

#[test]
fn a_timer_fed_again_begins_its_hold_anew() {
    let mut clock = timed();
    let timer = clock.id("K1");
    clock.will("turn:S1=on").run_to(1.0);
    clock.will("turn:S1=off").run_to(15.0);
    clock.will("turn:S1=on").run_to(16.0);
    clock.will("turn:S1=off").run_to(60.0);
    near(clock.first(&Happening::Timer(timer, false)), 36.0, 1e-6);
}

#[test]
fn the_fan_cycles_between_the_sensors_set_and_reset_points() {
    let mut clock = Clock::shipped("parallel-open", &["engine=1800"], &[]);
    let b1 = clock.id("B1");
    let moments = clock.sampled(1800.0, 1.0);
    let (on, off) =
        (clock.times(|h| *h == Happening::Sensor(b1, true)), clock.times(|h| *h == Happening::Sensor(b1, false)));
    assert!(on.len() >= 4 && off.len() >= 3, "{on:?} {off:?}");
    assert!(on.iter().zip(&off).all(|(on, off)| on < off), "on and off in turn");
    // 205 °F sets it, 195 °F resets it; the fan needs a second to work, the coolant goes a little past.
    let late = moments.iter().filter(|m| m.at_s > on[0] + 5.0);
    let (least, most) = late.fold((1e9, -1e9), |(a, b): (f64, f64), m| (a.min(m.coolant_c), b.max(m.coolant_c)));
    near(most, 96.11, 0.3);
    near(least, 90.56, 0.3);
}

#[test]
fn a_sensor_acts_at_its_set_point_to_a_hundredth_of_a_kelvin() {
    let mut clock = Clock::shipped("parallel-open", &["engine=1800"], &[]);
    let b1 = clock.id("B1");
    clock.run_to(1000.0);
    let at_s = clock.first(&Happening::Sensor(b1, true));
    let mut again = Clock::shipped("parallel-open", &["engine=1800"], &[]);
    again.run_to(at_s);
    near(again.moment().coolant_c, 96.1111, 0.01);
}

#[test]
fn a_chattering_relay_is_told_and_time_goes_on() {
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("S1", "HandSwitch(rest: Open)"),
        ("K1", "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)"),
    ];
    // The relay's own break contact feeds its coil: a buzzer.
    let wires = ["W1 G1.+ S1.1", "W2 S1.2 K1.30", "W3 K1.87a K1.86", "W4 K1.85 G1.-"];
    let mut clock = Clock::on(&tiny(&parts, &wires), &["engine=1500"], &[]);
    clock.run_to(1.0).will("turn:S1=on").run_to(600.0);
    assert_eq!(clock.times(|h| *h == Happening::Restless), [1.0]);
    assert!(!clock.live.outcome().settled());
    clock.will("turn:S1=off").run_to(601.0);
    assert!(clock.live.outcome().settled());
    assert_eq!(clock.times(|h| *h == Happening::AtRest), [600.0]);
    assert!(clock.live.events().len() < 50);
}

/// How the coil of a valve kicks when `S1` breaks it, with `across` wired from its feed to ground and the tag of what
/// holds it down.
fn kick(valve: &str, in_series: f64, across: &str) -> (f64, Option<String>) {
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("S1", "HandSwitch(rest: Open)"),
        ("R1", &format!("Resistor(ohms: {in_series})")),
        ("Y1", &format!("AirValve(coil_ohms: 30, pulls_in: 0.2, drops_out: 0.1, rest: Blocking{valve})")),
        ("X1", if across.is_empty() { "Splice" } else { across }),
    ];
    let mut wires = vec!["W1 G1.+ S1.1", "W2 S1.2 R1.1", "W3 R1.2 Y1.1", "W4 Y1.2 G1.-"];
    match across.split('(').next() {
        Some("Diode") => wires.extend(["W5 G1.- X1.A", "W6 X1.K Y1.1"]),
        Some("Resistor" | "Lamp") => wires.extend(["W5 G1.- X1.1", "W6 X1.2 Y1.1"]),
        Some("Relay") => wires.extend(["W5 G1.- X1.85", "W6 X1.86 Y1.1"]),
        _ => {}
    }
    let mut clock = Clock::on(&tiny(&parts, &wires), &[], &[]);
    clock.will("turn:S1=on").run_to(0.5);
    clock.will("turn:S1=off");
    let kick = clock.kick("Y1");
    (kick.volts, kick.held_by.map(|id| clock.live.bench().circuit().part(id).tag.clone()))
}

#[test]
fn a_bare_coils_energy_charges_winding_and_hanging_wires() {
    // Half L I² = half C V²: 0.15 H, and 4 nF beside two metres of wire at 100 pF.
    for in_series in [0.01, 900.0] {
        let (volts, held_by) = kick("", in_series, "");
        near_relative(volts, 12.6 / (30.06 + in_series) * f64::sqrt(0.15 / 4.2e-9), 2e-3);
        assert_eq!(held_by, None);
    }
}

#[test]
fn a_suppressor_holds_the_kick_down() {
    // 12.6 V / 30 ohm: 0.42 A through 680 ohm, or through the diode's drop and its 0.01 ohm.
    let (volts, held_by) = kick(", suppressor: Resistor(680)", 0.01, "");
    near_relative(volts, 12.6 / 30.07 * 680.0, 5e-3);
    assert_eq!(held_by.as_deref(), Some("Y1"));
    let (volts, held_by) = kick(", suppressor: Diode(cathode: \"1\")", 0.01, "");
    near(volts, 0.7 + 0.0042, 1e-4);
    assert_eq!(held_by.as_deref(), Some("Y1"));
}

#[test]
fn whatever_is_wired_across_a_coil_holds_its_kick_down() {
    let amps = 12.6 / 30.07;
    let (volts, held_by) = kick("", 0.01, "Diode()");
    near_relative(volts, 0.7 + amps * 0.01 + amps * 2.0 * 0.0132, 1e-2);
    assert_eq!(held_by.as_deref(), Some("X1"));
    for load in ["Resistor(ohms: 100)", "Lamp(ohms: 100)"] {
        let (volts, held_by) = kick("", 0.01, load);
        near_relative(volts, amps * 100.0, 1e-2);
        assert_eq!(held_by.as_deref(), Some("X1"), "{load}");
    }
    // A diode the wrong way round blocks, and the kick is that of a bare coil.
    let (volts, held_by) = kick(", suppressor: Diode(cathode: \"2\")", 900.0, "");
    near_relative(volts, 12.6 / 930.06 * f64::sqrt(0.15 / 4.2e-9), 0.5);
    assert_eq!(held_by, None);
}

#[test]
fn of_two_coils_broken_together_neither_holds_the_other_down() {
    // Both drive their currents the same way; a winding beside another that is broken with it is no path.
    let (volts, held_by) = kick("", 0.01, "Relay(coil_ohms: 90, pulls_in: 7, drops_out: 2)");
    assert!(volts > 1000.0, "{volts}");
    assert_eq!(held_by, None);
}

#[test]
fn a_coil_switched_on_does_not_kick() {
    let mut clock = Clock::on(&rig("", ""), &[], &[]);
    clock.will("turn:S1=on").run_to(1.0);
    assert!(clock.times(|h| matches!(h, Happening::Kick(..))).is_empty());
}
