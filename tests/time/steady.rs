//! A run ends where the settled circuit says: every shipped circuit, cold and with each condition acted, key off, engine
//! running.
//!
//! The settled circuit is the one of `verdict`. Pressures may differ by a hundredth of the supply: a finite tank gives
//! some of its air to the chamber.

use fanloom::physics::clutch::ClutchState;

use crate::support::clock::Clock;
use crate::support::{Stand, shipped, shipped_names};

/// Conditions beyond every set point of the shipped circuits, and some that act on nothing.
const SETTINGS: [&str; 8] = [
    "key=off",
    "coolant=240F",
    "intake=230F",
    "oil=270F",
    "refrigerant=350psi",
    "air=120psi",
    "ambient=35C",
    "coolant=150F",
];

#[track_caller]
fn same(name: &str, said: &str, clock: &Clock, stand: &Stand) {
    let outcome = stand.bench.outcome();
    let run = clock.live.outcome();
    let state = |clutch: Option<fanloom::physics::clutch::ClutchReading>| clutch.map(|c| c.state);
    assert_eq!(state(run.clutch), state(outcome.clutch), "{name}, {said}");
    let supply = stand.bench.conditions().air_kpa;
    let (got, wanted) = (run.chamber_kpa.unwrap_or(0.0), outcome.chamber_kpa.unwrap_or(0.0));
    assert!((got - wanted).abs() <= 0.01 * supply, "{name}, {said}: {got} kPa, settled {wanted}");
    assert_eq!(run.memory.parts, outcome.memory.parts, "{name}, {said}");
}

#[test]
fn a_run_ends_where_the_settled_circuit_stands_after_each_condition() {
    for name in shipped_names() {
        for setting in SETTINGS {
            let mut stand = Stand::shipped(&name);
            let mut clock = Clock::on(&shipped(&name), &[], &[]);
            clock.run_to(1.0);
            same(&name, "as built", &clock, &stand);
            stand.will(setting);
            clock.will(setting).run_to(200.0);
            same(&name, setting, &clock, &stand);
        }
    }
}

#[test]
fn it_does_from_the_beginning_and_with_the_engine_running() {
    for name in shipped_names() {
        for settings in [
            &["engine=1500"][..],
            &["key=off"],
            &["engine=2100", "refrigerant=350psi"],
            &["coolant=240F"],
            &["air=75psi"],
        ] {
            let mut stand = Stand::shipped(&name);
            for setting in settings {
                stand.will(setting);
            }
            let mut clock = Clock::on(&shipped(&name), settings, &[]);
            clock.run_to(40.0);
            same(&name, &settings.join(", "), &clock, &stand);
        }
    }
}

#[test]
fn it_does_under_faults_of_the_air_side() {
    for name in shipped_names() {
        for fault in ["leak:hose=0.3mm", "blocked:filter", "worn:facing=2mm", "leak:chamber=0.2mm"] {
            let mut stand = Stand::shipped(&name);
            stand.will(fault).will("coolant=240F");
            let mut clock = Clock::shipped(&name, &[], &[fault]);
            clock.will("coolant=240F").run_to(20.0);
            same(&name, fault, &clock, &stand);
        }
    }
}

#[test]
fn a_running_fan_turns_with_the_engine_or_stands() {
    for name in shipped_names() {
        let mut clock = Clock::shipped(&name, &["engine=1500"], &[]);
        clock.run_to(60.0);
        let moment = clock.moment();
        match moment.clutch.state {
            ClutchState::Engaged => assert_eq!(moment.fan_rpm, 1500.0, "{name}"),
            ClutchState::Released => assert!(moment.fan_rpm < 1.0, "{name}: {}", moment.fan_rpm),
            ClutchState::Slipping => panic!("{name} slips with good air"),
        }
    }
}
