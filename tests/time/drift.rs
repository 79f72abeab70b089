//! Conditions that drift: a stopped engine cools, oil and refrigerant follow the load, and all by the file's figures.
//!
//! Closed forms of first-order laws, worked out beside the tests.

use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::circuit::{Engine, Telling};
use fanloom::physics::limits::GOVERNED_RPM;

use crate::support::clock::{Clock, rig, with_engine};
use crate::support::{near, near_relative, shipped, shipped_names};

fn conditions(clock: &Clock) -> fanloom::physics::inputs::Conditions {
    clock.live.run().inputs().conditions
}

#[test]
fn a_stopped_engine_cools_towards_the_air_and_its_oil_with_it() {
    let usual = Engine::default();
    let mut clock = Clock::on(&rig("", ""), &["coolant=95C", "oil=110C", "ambient=15C"], &[]);
    for hours in [0.5, 3.0, 12.0] {
        clock.run_to(hours * 3600.0);
        let left = (-hours * 3600.0 * usual.stopped_watts_per_kelvin / usual.coolant_joules_per_kelvin).exp();
        near(conditions(&clock).coolant_c, 15.0 + 80.0 * left, 1e-2);
        near(conditions(&clock).oil_c, 15.0 + 95.0 * left, 1e-2);
    }
}

#[test]
fn a_sensor_resets_while_the_stopped_engine_cools() {
    let mut clock = Clock::shipped("parallel-open", &["coolant=206F"], &[]);
    assert_eq!(clock.state(), fanloom::physics::clutch::ClutchState::Engaged);
    clock.run_to(3600.0);
    assert_eq!(clock.state(), fanloom::physics::clutch::ClutchState::Released);
}

#[test]
fn refrigerant_goes_to_the_level_of_speed_air_and_fan() {
    let usual = Engine::default();
    let psi = |kpa: f64| kpa / KPA_PER_PSI;
    let mut clock = Clock::on(&rig("", ""), &["engine=2100", "ambient=30C", "refrigerant=100psi"], &[]);
    let level = 100.0 + 120.0 + 10.0 * 5.0;
    clock.run_to(usual.refrigerant_seconds);
    near(psi(conditions(&clock).refrigerant_kpa), level + (100.0 - level) * (-1.0_f64).exp(), 0.05);
    clock.will("turn:S1=on").run_to(3000.0);
    assert_eq!(clock.moment().fan_rpm, GOVERNED_RPM);
    near(psi(conditions(&clock).refrigerant_kpa), level - 90.0, 0.05);
    clock.will("engine=0").run_to(3600.0);
    near(psi(conditions(&clock).refrigerant_kpa), level - 90.0, 0.05);
}

#[test]
fn refrigerant_alone_cycles_the_fan_on_a_hot_day_and_not_on_a_mild_one() {
    let cycles = |ambient: &str| {
        let cool = with_engine(&shipped("parallel-open"), "heat_to_coolant_watts: 0");
        let mut clock = Clock::on(&cool, &["engine=2000", ambient, "coolant=60C"], &[]);
        let b2 = clock.id("B2");
        clock.run_to(900.0);
        clock.times(|h| *h == fanloom::physics::time::Happening::Sensor(b2, true)).len()
    };
    assert!(cycles("ambient=42C") >= 1);
    assert_eq!(cycles("ambient=20C"), 0);
}

#[test]
fn oil_follows_the_coolant_by_the_files_own_figures() {
    let figures = "oil_rise_kelvin: 30, oil_seconds: 50, heat_to_coolant_watts: 0";
    let circuit = with_engine(&rig("", ""), figures);
    let mut clock = Clock::on(&circuit, &["engine=1050", "coolant=60C", "oil=20C"], &[]);
    clock.run_to(50.0);
    // The thermostat is shut and nothing heats: the coolant stays at 60 °C, the oil goes to 75 °C.
    near(conditions(&clock).coolant_c, 60.0, 1e-6);
    near_relative(conditions(&clock).oil_c, 75.0 - 55.0 * (-1.0_f64).exp(), 1e-4);
    assert!(circuit.rests_on_example(Telling::Oil), "the other figures of the coolant are still examples");
}

#[test]
fn what_is_set_while_time_passes_is_taken_up_from_there() {
    let mut clock = Clock::on(&rig("", ""), &["engine=1500"], &[]);
    clock.run_to(20.0);
    let coolant = conditions(&clock).coolant_c;
    clock.will("oil=130C").will("refrigerant=300psi");
    near(conditions(&clock).oil_c, 130.0, 1e-9);
    near(conditions(&clock).refrigerant_kpa, 300.0 * KPA_PER_PSI, 1e-9);
    near(conditions(&clock).coolant_c, coolant, 1e-9);
    clock.run_to(21.0);
    assert!(conditions(&clock).oil_c < 130.0 && conditions(&clock).refrigerant_kpa < 300.0 * KPA_PER_PSI);
}

#[test]
fn every_shipped_circuit_marks_what_rests_on_examples() {
    for name in shipped_names() {
        let circuit = shipped(&name);
        assert!(circuit.rests_on_example(Telling::Plate) && !circuit.rests_on_example(Telling::Governor), "{name}");
    }
}
