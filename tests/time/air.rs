//! The air side as a truck's behaves: leaks, plugged ways, low air, the protection valve and the governor.
//!
//! Times and pressures after common practice (fill about a second, a clogged filter stretches it to several, a plugged
//! exhaust to minutes; governor 100 and 125 psi) and the figures' defaults, which are example values.

use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::{Happening, Moment};

use crate::support::clock::{Clock, passes, rig};
use crate::support::{near, shipped};

fn fill(faults: &[&str]) -> Vec<Moment> {
    let mut clock = Clock::on(&rig("", ""), &[], faults);
    clock.will("turn:S1=on");
    clock.sampled(30.0, 0.01)
}

/// Seconds to 90 psi.
fn full_at(moments: &[Moment]) -> f64 {
    passes(moments, |m| m.clutch_kpa, 620.5)
}

#[test]
fn a_sound_clutch_is_full_in_about_a_second_and_empty_in_about_as_much() {
    let seconds = full_at(&fill(&[]));
    assert!((0.3..2.0).contains(&seconds), "{seconds}");
    let mut clock = Clock::after(&rig("", ""), &[], &[], "turn:S1=on");
    clock.will("turn:S1=off");
    let released = {
        clock.run_to(5.0);
        clock.first(&Happening::Clutch(ClutchState::Released))
    };
    assert!((0.3..2.0).contains(&released), "{released}");
}

#[test]
fn a_clogged_filter_fills_in_seconds_and_the_supply_gauge_dips() {
    let (clean, clogged) = (fill(&[]), fill(&["blocked:filter"]));
    let seconds = full_at(&clogged);
    assert!((3.0..10.0).contains(&seconds), "{seconds}");
    let lowest = |moments: &[Moment]| moments.iter().map(|m| m.supply_kpa / m.tank_kpa).fold(1.0, f64::min);
    assert!(lowest(&clogged) < 0.2, "{}", lowest(&clogged));
    assert!(lowest(&clean) > 0.9, "{}", lowest(&clean));
    let last = clogged.last().expect("there are samples");
    near(last.supply_kpa, last.tank_kpa, 1.0);
}

#[test]
fn the_supply_dips_the_same_whether_a_hand_or_a_sensor_opens_the_valve() {
    let by_hand = {
        let mut clock = Clock::on(&shipped("parallel-open"), &[], &[]);
        clock.will("turn:S2=on");
        clock.sampled(2.0, 0.01)
    };
    let by_sensor = {
        let mut clock = Clock::on(&shipped("parallel-open"), &["coolant=204.9F", "engine=2100"], &[]);
        clock.run_to(60.0);
        let began = *clock.times(|h| matches!(h, Happening::Sensor(_, true))).first().expect("it becomes hot");
        let mut again = Clock::on(&shipped("parallel-open"), &["coolant=204.9F", "engine=2100"], &[]);
        again.run_to(began);
        again.sampled(began + 2.0, 0.01)
    };
    let dip = |moments: &[Moment]| moments[0].tank_kpa - moments.iter().map(|m| m.supply_kpa).fold(1e9, f64::min);
    let (hand, sensor) = (dip(&by_hand), dip(&by_sensor));
    assert!(hand > 10.0, "{hand}");
    near(sensor, hand, 0.5);
}

#[test]
fn the_tank_stands_above_the_line_while_air_runs() {
    // The line is where an air-supply sensor is; half a litre of it empties into the clutch before the tank follows.
    let mut clock = Clock::on(&rig("line_litres: 0.5, protection_c: 0.3", ""), &[], &[]);
    clock.will("turn:S1=on").run_to(0.3);
    let line = clock.live.run().inputs().conditions.air_kpa;
    assert!(line < clock.moment().tank_kpa - 50.0, "{line} beside {}", clock.moment().tank_kpa);
}

#[test]
fn a_plugged_exhaust_holds_the_clutch_for_more_than_a_minute() {
    let mut clock = Clock::after(&rig("", ""), &[], &["blocked:exhaust"], "turn:S1=on");
    clock.will("turn:S1=off").run_to(60.0);
    assert_ne!(clock.state(), ClutchState::Released);
    clock.run_to(600.0);
    assert_eq!(clock.state(), ClutchState::Released);
}

#[test]
fn a_slow_leak_ends_in_slip_long_after_the_clutch_has_engaged() {
    let mut clock = Clock::on(&rig("", ""), &[], &["leak:hose=1.5mm"]);
    clock.will("turn:S1=on").run_to(1800.0);
    let engaged = clock.first(&Happening::Clutch(ClutchState::Engaged));
    assert!(engaged < 3.0, "{engaged}");
    let slips = clock.times(|h| *h == Happening::Clutch(ClutchState::Slipping));
    let late = *slips.last().expect("it slips");
    assert!(late > 60.0, "{slips:?}");
}

#[test]
fn a_leak_in_the_hose_is_a_leak_only_while_the_valve_passes() {
    let mut clock = Clock::on(&rig("", ""), &[], &["leak:hose=2mm"]);
    clock.run_to(600.0);
    near(clock.tank_psi(), 105.0, 1e-6);
    near(clock.live.run().lost_litres(), 0.0, 1e-9);
}

#[test]
fn air_below_70_psi_slips() {
    for (air, state) in [("air=75psi", ClutchState::Engaged), ("air=65psi", ClutchState::Slipping)] {
        let mut clock = Clock::on(&rig("", ""), &[air], &[]);
        clock.will("turn:S1=on").run_to(10.0);
        assert_eq!(clock.state(), state, "{air}");
    }
}

#[test]
fn the_protection_valve_keeps_the_brakes_air() {
    let mut clock = Clock::on(&rig("", ""), &[], &["leak:chamber=4mm"]);
    clock.will("turn:S1=on").run_to(3600.0);
    near(clock.tank_psi(), 60.0, 0.1);
    assert!(clock.clutch_psi() < 1.0, "{}", clock.clutch_psi());
    assert_eq!(clock.times(|h| matches!(h, Happening::Protection(_))).len(), 1);
}

#[test]
fn a_protection_valve_at_its_limit_swings_and_does_not_flutter() {
    // At idle this hole takes more than the compressor gives: the valve closes, the tanks rise, it opens again.
    let mut clock = Clock::on(&rig("", ""), &["engine=700"], &["leak:chamber=6mm"]);
    clock.will("turn:S1=on").run_to(3600.0);
    let times = clock.times(|h| matches!(h, Happening::Protection(_)));
    assert!((4..400).contains(&times.len()), "{} swings", times.len());
    assert!(times.windows(2).all(|pair| pair[1] - pair[0] > 1.0), "{times:?}");
    assert!((59.9..66.0).contains(&clock.tank_psi()), "{}", clock.tank_psi());
}

#[test]
fn the_governor_keeps_the_tanks_between_cut_in_and_cut_out() {
    let mut clock = Clock::on(&rig("", ""), &["engine=2100"], &["leak:hose=2mm"]);
    clock.will("turn:S1=on");
    let moments = clock.sampled(1500.0, 0.5);
    let psi = |m: &Moment| m.tank_kpa / 6.894757;
    assert!(moments.iter().all(|m| (99.95..125.05).contains(&psi(m))));
    let (least, most) = moments.iter().map(psi).fold((1e9, 0.0), |(a, b), p| (f64::min(a, p), f64::max(b, p)));
    assert!(least < 100.5 && most > 124.5, "{least} to {most}: {:?}", clock.live.events());
    let told: Vec<bool> = clock
        .live
        .events()
        .iter()
        .filter_map(|e| if let Happening::Compressor(on) = e.what { Some(on) } else { None })
        .collect();
    assert!(told.len() >= 3 && told.windows(2).all(|pair| pair[0] != pair[1]), "{told:?}");
}

#[test]
fn a_compressor_delivers_from_the_moment_the_engine_starts_on_low_air() {
    let mut clock = Clock::on(&rig("", ""), &["air=80psi"], &[]);
    clock.run_to(10.0);
    near(clock.tank_psi(), 80.0, 1e-6);
    clock.will("engine=2100");
    near(clock.first(&Happening::Compressor(true)), 10.0, 1e-9);
    clock.run_to(40.0);
    assert!(clock.tank_psi() > 90.0, "{}", clock.tank_psi());
    clock.will("engine=0").run_to(60.0);
    near(clock.first(&Happening::Compressor(false)), 40.0, 1e-9);
}

#[test]
fn a_supply_set_lower_lets_the_chamber_down_through_the_open_valve() {
    let mut clock = Clock::after(&rig("", ""), &[], &[], "turn:S1=on");
    clock.will("air=70psi");
    let first = clock.moment();
    assert!(first.clutch_kpa > 700.0 && (first.supply_kpa / KPA_PER_PSI) < 105.0, "the chamber takes its time");
    clock.run_to(20.0);
    // What comes back out of the chamber is let out as well: the gauge stays where it was set.
    near(clock.clutch_psi(), 70.0, 0.05);
    near(clock.moment().supply_kpa / KPA_PER_PSI, 70.0, 0.05);
    // Below the protection valve's closing pressure too, where nothing else would take it from the line.
    clock.will("air=40psi").run_to(60.0);
    near(clock.clutch_psi(), 40.0, 0.05);
    near(clock.moment().supply_kpa / KPA_PER_PSI, 40.0, 0.05);
}
