//! The clutch over time: wear, slip with its heat, both principles, lock-up bolts.
//!
//! Figures are the defaults (example values); what is expected follows from them by the arithmetic beside each test.

use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::Happening;

use crate::support::clock::{Clock, rig};
use crate::support::near_relative;

/// No compressor to speak of, and a protection valve that stays open.
const LOW: &str = "compressor_litres_per_second: 0.001, protection_closes: Psi(20)";

fn bites_after(fault: &[&str]) -> f64 {
    let mut clock = Clock::on(&rig("", ""), &["engine=1500"], fault);
    clock.will("turn:S1=on").run_to(20.0);
    clock.first(&Happening::Clutch(ClutchState::Slipping))
}

#[test]
fn a_worn_facing_bites_later() {
    let (new, worn, thin) = (bites_after(&[]), bites_after(&["worn:facing=4mm"]), bites_after(&["worn:facing=1.6mm"]));
    assert!(new < worn && worn < thin, "{new}, {worn}, {thin}");
}

#[test]
fn a_worn_spring_applied_clutch_carries_less() {
    let margin = |faults: &[&str]| {
        Clock::on(&rig("", "engages: WithoutAir"), &["engine=2100"], faults).moment().clutch.torque_margin
    };
    assert!(margin(&["worn:facing=2mm"]) < margin(&[]));
}

#[test]
fn an_engagement_slips_warms_the_plate_and_locks() {
    let mut clock = Clock::on(&rig("", ""), &["engine=1800"], &[]);
    clock.will("turn:S1=on").run_to(5.0);
    let slips = clock.first(&Happening::Clutch(ClutchState::Slipping));
    let locks = clock.first(&Happening::Clutch(ClutchState::Engaged));
    assert!(slips < locks && locks < 2.0, "{slips}, {locks}");
    let moment = clock.moment();
    assert_eq!((moment.fan_rpm, moment.slip), (1800.0, 0.0));
    assert!((20.5..40.0).contains(&moment.plate_c), "{}", moment.plate_c);
}

#[test]
fn a_spring_applied_clutch_engages_as_its_air_is_let_out() {
    let mut clock = Clock::after(&rig("", "engages: WithoutAir"), &["engine=1500"], &[], "turn:S1=on");
    assert_eq!(clock.state(), ClutchState::Released);
    clock.will("turn:S1=off").run_to(5.0);
    assert_eq!(clock.state(), ClutchState::Engaged);
    assert_eq!(clock.moment().fan_rpm, 1500.0);
}

#[test]
fn low_air_burns_an_air_applied_clutch_when_on() {
    let mut clock = Clock::on(&rig(LOW, ""), &["engine=2100", "air=50psi"], &[]);
    clock.run_to(300.0);
    near_relative(clock.moment().plate_c, 20.0, 1e-6);
    clock.will("turn:S1=on").run_to(1500.0);
    let moment = clock.moment();
    assert_eq!(moment.clutch.state, ClutchState::Slipping);
    // In balance the torque it carries is what the fan asks: speed as the root of the margin; heat is torque times slip.
    let engine = 2100.0 * std::f64::consts::PI / 30.0;
    let area = std::f64::consts::FRAC_PI_4 * 0.11_f64.powi(2);
    let torque = 0.35 * 2.0 * 0.13 * area * (moment.clutch_kpa - 620.528 / 3.0) * 1e3;
    let share = moment.clutch.torque_margin.sqrt();
    near_relative(moment.fan_rpm / 2100.0, share, 2e-3);
    near_relative(moment.slip, 1.0 - share, 5e-3);
    near_relative(moment.plate_c - 20.0, torque * engine * (1.0 - share) / 30.0, 0.01);
    assert_eq!(clock.times(|h| *h == Happening::Discoloured).len(), 1, "told once");
}

#[test]
fn low_air_burns_a_spring_applied_clutch_when_off() {
    let spring = "engages: WithoutAir, discolours_at: Celsius(180)";
    let mut clock = Clock::after(&rig(LOW, spring), &["engine=2100", "air=70psi"], &[], "turn:S1=on");
    clock.run_to(900.0);
    assert_eq!(clock.state(), ClutchState::Slipping, "air let in, and it drags");
    assert!(clock.moment().plate_c > 180.0, "{}", clock.moment().plate_c);
    assert_eq!(clock.times(|h| *h == Happening::Discoloured).len(), 1);
    clock.will("turn:S1=off").run_to(1500.0);
    assert_eq!(clock.state(), ClutchState::Engaged, "without air the spring holds it");
    assert!(clock.moment().plate_c < 25.0, "{}", clock.moment().plate_c);
}

#[test]
fn good_air_burns_neither() {
    for clutch in ["engages: WithAir", "engages: WithoutAir"] {
        let mut clock = Clock::on(&rig("", clutch), &["engine=2100"], &[]);
        clock.run_to(300.0);
        clock.will("turn:S1=on").run_to(600.0);
        assert!(clock.moment().plate_c < 25.0, "{clutch}: {}", clock.moment().plate_c);
        assert!(clock.times(|h| *h == Happening::Discoloured).is_empty());
    }
}

#[test]
fn lock_up_bolts_drive_the_fan_whatever_the_circuit_says() {
    let mut clock = Clock::on(&rig("", ""), &["engine=1500", "bolts=fitted"], &[]);
    clock.run_to(10.0);
    assert_eq!((clock.state(), clock.moment().fan_rpm), (ClutchState::Engaged, 1500.0));
    assert!(clock.clutch_psi() < 0.1);
    clock.will("turn:S1=on").run_to(20.0);
    clock.will("turn:S1=off").run_to(30.0);
    assert!(clock.times(|h| matches!(h, Happening::Clutch(_))).is_empty(), "{:?}", clock.live.events());
    let spring = Clock::after(&rig("", "engages: WithoutAir"), &["engine=1500", "bolts=fitted"], &[], "turn:S1=on");
    assert_eq!(spring.state(), ClutchState::Engaged);
}

#[test]
fn a_clutch_that_cannot_carry_the_fan_at_speed_carries_it_at_idle() {
    // 60 psi carries 30/40 of what governed speed asks for: up to 0.866 of it, 1819 rpm.
    for (engine, state) in [("engine=1700", ClutchState::Engaged), ("engine=1900", ClutchState::Slipping)] {
        let mut clock = Clock::on(&rig(LOW, ""), &[engine, "air=60.2psi"], &[]);
        clock.will("turn:S1=on").run_to(60.0);
        assert_eq!(clock.state(), state, "{engine}");
    }
}

#[test]
fn a_clutch_just_strong_enough_locks_as_the_settled_state_says() {
    let mut clock = Clock::on(&rig(LOW, ""), &["engine=2100", "air=70.3psi"], &[]);
    clock.will("turn:S1=on").run_to(200.0);
    assert!((1.0..1.01).contains(&clock.moment().clutch.torque_margin), "{}", clock.moment().clutch.torque_margin);
    assert_eq!(clock.state(), ClutchState::Engaged);
}
