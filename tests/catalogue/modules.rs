//! Modules: drivers open, shorted, inverted, and requests that do not stop.
//!
//! On the low side driver on is coil live is fan on; on the high side output high is coil live is fan off. What a module
//! does about a failed sensor of its own is a setting of its maker's; from outside it is a driver that stays where it is.

use super::support::near;
use super::truck::{Engaged, HOT, REQUEST, Released, Truck, about, always, as_built, never, upside_down};

const LOW: &str = "module-low-side";
const HIGH: &str = "module-high-side";

#[test]
fn twelve_volts_at_the_pin_of_a_low_side_driver_mean_that_it_is_off() {
    as_built(LOW, "");
    as_built(HIGH, "");
    about(Truck::of(LOW, "").at("A1.out"), 12.6);
    near(Truck::of(LOW, HOT).at("A1.out"), 0.07, 0.04);
    about(Truck::of(HIGH, "").at("A1.out"), 12.45);
    about(Truck::of(HIGH, HOT).at("A1.out"), 0.0);
}

#[test]
fn an_open_driver_is_no_fan_on_the_low_side_and_always_fan_on_the_high_side() {
    for open in ["stuck:A1=open", "module-dead:A1", "open:A1.out"] {
        never(LOW, open);
        always(HIGH, open);
        always("module-relay-24v", open);
        about(Truck::of(LOW, &format!("{open}; {HOT}")).at("A1.out"), 12.6);
        about(Truck::of(HIGH, open).at("A1.out"), 0.0);
    }
}

#[test]
fn a_shorted_driver_is_always_fan_on_the_low_side_and_no_fan_on_the_high_side() {
    let shorted = "stuck:A1=closed";
    always(LOW, shorted);
    never(HIGH, shorted);
    near(Truck::of(LOW, shorted).at("A1.out"), 0.07, 0.04);
    about(Truck::of(HIGH, &format!("{shorted}; {HOT}")).at("A1.out"), 12.45);
    // A driver that has failed shorted conducts without its module being fed.
    assert_eq!(Truck::of(LOW, &format!("{shorted}; blown:F2")).fan(), Engaged);
}

#[test]
fn an_inverted_output_setting_turns_the_fan_upside_down_with_every_part_sound() {
    for name in [LOW, HIGH, "module-relay-24v"] {
        upside_down(name, "swapped:A1");
    }
    about(Truck::of(LOW, "swapped:A1").at("A1.out"), 0.1);
}

#[test]
fn a_module_that_takes_the_fan_on_for_a_failed_sensor_looks_like_a_driver_that_stays() {
    let defaulted = Truck::of(LOW, "stuck:A1=closed");
    assert_eq!(defaulted.gauges(), [120.0, 120.0]);
    let defaulted = Truck::of(HIGH, "stuck:A1=open");
    assert_eq!(defaulted.gauges(), [120.0, 120.0]);
}

#[test]
fn a_request_that_stays_asks_as_long_as_its_function_is_on() {
    for stuck in ["stuck:S4=closed", "feed:A1.in"] {
        always(LOW, stuck);
        about(Truck::of(LOW, stuck).at("A1.in"), 12.6);
    }
    let braking = Truck::of(LOW, "").then("turn:S4=on");
    assert_eq!(braking.fan(), Engaged);
    assert_eq!(braking.then("turn:S4=off").fan(), Released);
}

#[test]
fn a_lost_wire_of_a_request_that_is_closed_at_rest_asks_for_good() {
    for lost in ["open:W9", "open:W10", "stuck:B2=open"] {
        always(HIGH, lost);
    }
    let lost = Truck::of(HIGH, "open:W10");
    assert_eq!(lost.gauges(), [120.0, 120.0]);
    about(lost.at("A1.in"), 0.0);
    about(lost.at("B2.2"), 12.6);
    assert_eq!(Truck::of(HIGH, REQUEST).fan(), Engaged, "as the real request does");
    let ohms = |faults: &str| Truck::of(HIGH, faults).then("key=off; lift:W9@B2.1").ohms("W9@B2.1,A1.in");
    assert_eq!(ohms("open:W10"), None);
}
