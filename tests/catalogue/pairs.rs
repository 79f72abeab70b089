//! Two faults at once, each pair of the sort that fools people: sums, cancellations, and one hidden behind the other.
//!
//! Each test shows the pair, then what is seen when one of the two has been found.

use super::support::near;
use super::truck::{
    CLOSED, Engaged, HOT, OPEN, REQUEST, Released, Slipping, Truck, always, as_built, never, upside_down,
};
use super::wiring::shared_ground;

#[test]
fn two_bad_joints_each_harmless_stop_a_warm_coil_together_and_mending_one_cures_it_until_the_other_grows() {
    // Often believed: together they are below pull-in. Cold they leave 9.0 V of the 7.8 that it takes; it needs warmth
    // as well, which is why it passes on a cool day.
    let (feed, ground) = ("resist:W8=6ohm", "resist:W9=6ohm");
    let both = format!("{feed}; {ground}");
    near(Truck::of(OPEN, &format!("{both}; {HOT}")).coil(), 9.0, 0.06);
    near(Truck::of(OPEN, &format!("{feed}; {HOT}")).coil(), 10.45, 0.06);
    as_built(OPEN, &both);
    let warm = "ambient=90C";
    never(OPEN, &format!("{both}; {warm}"));
    as_built(OPEN, &format!("{feed}; {warm}"));
    as_built(OPEN, &format!("{ground}; {warm}"));
    always(CLOSED, &format!("{both}; {warm}"));
    let mended = Truck::of(CLOSED, &format!("{both}; {warm}")).then(&format!("mend {feed}"));
    assert_eq!(mended.fan(), Released);
}

#[test]
fn hoses_changed_over_and_a_valve_of_the_other_kind_cancel_until_one_is_put_right() {
    for name in [OPEN, CLOSED] {
        as_built(name, "swapped:hoses; swapped:Y1");
        let parts_change = Truck::of(name, "swapped:hoses; swapped:Y1").then("mend swapped:Y1");
        assert_eq!(parts_change.fan(), Engaged);
        upside_down(name, "swapped:hoses");
    }
}

#[test]
fn behind_a_blown_fuse_a_welded_sensor_is_seen_only_once_the_fuse_is_new() {
    let both = "blown:F1; stuck:B1=closed";
    never(OPEN, both);
    assert_eq!(Truck::of(OPEN, both).then("renew F1").fan(), Engaged);
    // Where contacts are closed at rest it is the welded one that hides.
    always(CLOSED, both);
    assert_eq!(Truck::of(CLOSED, both).then(&format!("renew F1; {HOT}")).fan(), Released);
}

#[test]
fn a_leak_over_a_low_governor_hides_it() {
    for name in [OPEN, CLOSED] {
        let hose = |words: &str| Truck::of(name, &format!("{words}; {HOT}")).gauges();
        let both = Truck::of(name, &format!("air=90psi; leak:hose=2mm; {HOT}"));
        let [supply, clutch] = both.gauges();
        assert!((86.0..=90.0).contains(&supply) && (60.0..70.0).contains(&clutch), "{name}: {supply} and {clutch}");
        assert_eq!(both.fan(), Slipping);
        // Without the leak it works, and the supply is still low; without the low supply it works, and still leaks.
        let mended = both.then("mend leak:hose=2mm");
        assert_eq!((mended.fan(), mended.gauges()), (Engaged, [90.0, 90.0]));
        assert!(hose("air=120psi; leak:hose=2mm")[1] > 80.0);
    }
}

#[test]
fn with_a_lead_left_on_the_sensor_only_the_dash_switch_brings_the_fan() {
    let left = Truck::of("override-series", "").then("jump:B1.1=B1.2").then(HOT);
    assert_eq!(left.fan(), Released, "heat does nothing");
    let left = left.then("turn:S2=on");
    assert_eq!(left.fan(), Engaged, "its ON is an open contact");
    assert_eq!(left.then("turn:S2=off; back jump:B1.1=B1.2").fan(), Engaged, "the lead off, it asks by itself");
}

#[test]
fn a_relay_changed_over_and_a_sensor_of_the_other_kind_cancel_until_the_right_sensor_is_fitted() {
    let name = "refrigerant-relay";
    let both = "swapped:K1; swapped:B2";
    let fan = |words: &str| Truck::of(name, words).fan();
    assert_eq!((fan(both), fan(&format!("{both}; {REQUEST}"))), (Released, Engaged));
    let right_sensor = Truck::of(name, both).then("mend swapped:B2");
    assert_eq!(right_sensor.fan(), Engaged);
    assert_eq!(right_sensor.then(REQUEST).fan(), Released);
    // They do not cancel in everything: with the cab cooling's fuse lost the fan is now on.
    assert_eq!((fan("blown:F2"), fan(&format!("{both}; blown:F2"))), (Released, Engaged));
}

#[test]
fn a_lost_ground_with_a_way_through_a_lamp_works_by_day_and_is_dead_at_night() {
    let lamp = shared_ground(OPEN, true);
    let day = Truck::on(&lamp, &format!("open:W90; {HOT}"));
    assert_eq!(day.fan(), Engaged);
    near(day.coil(), 8.6, 0.1);
    assert_eq!(day.then("turn:S9=on").fan(), Released);
}

#[test]
fn a_module_that_asks_for_good_does_not_help_a_valve_that_is_stuck() {
    for (name, asks) in [("module-low-side", "stuck:A1=closed"), ("module-high-side", "stuck:A1=open")] {
        never(name, &format!("{asks}; valve-stuck:Y1=blocking"));
        let truck = Truck::of(name, &format!("{asks}; valve-stuck:Y1=blocking"));
        assert_eq!(truck.gauges(), [120.0, 0.0], "{name}");
        assert_eq!(truck.then("mend valve-stuck:Y1=blocking").fan(), Engaged, "{name}");
    }
}
