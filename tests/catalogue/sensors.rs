//! Sensors and switches: stuck, drifted, burnt, of the wrong kind, or asking because they should.
//!
//! `B1` feels the coolant (205 °F, back at 195), `B2` the refrigerant (300 psi, back at 240).

use fanloom::physics::time::Happening;

use super::support::near;
use super::truck::{
    CLOSED, COILS_HOT, Engaged, HOT, OPEN, REQUEST, Released, Truck, about, always, as_built, clocked, never,
    upside_down, with,
};

/// Ohms of a sensor with one of its wires off and the key off.
fn ohms_of_b1(name: &str, faults: &str) -> Option<f64> {
    let wire = if name == OPEN { "W4" } else { "W3" };
    Truck::of(name, faults).then(&format!("key=off; lift:{wire}@B1.1")).ohms("B1.1,B1.2")
}

#[test]
fn a_coolant_sensor_stuck_open_is_no_fan_on_heat_or_always_fan_and_the_other_request_still_works() {
    let stuck = "stuck:B1=open";
    let open = Truck::of(OPEN, &format!("{stuck}; {HOT}"));
    assert_eq!((open.fan(), open.gauges()), (Released, [120.0, 0.0]));
    assert_eq!(open.then(REQUEST).fan(), Engaged);
    always(CLOSED, stuck);
    assert_eq!(ohms_of_b1(OPEN, &format!("{stuck}; {HOT}")), None);
    near(ohms_of_b1(OPEN, HOT).expect("closed"), 0.005, 0.01);
}

#[test]
fn a_welded_coolant_sensor_keeps_the_fan_on_where_contacts_are_open_at_rest_and_off_where_they_are_closed() {
    let welded = "stuck:B1=closed";
    always(OPEN, welded);
    assert_eq!(Truck::of(OPEN, welded).gauges(), [120.0, 120.0]);
    near(ohms_of_b1(OPEN, welded).expect("welded"), 0.005, 0.01);
    assert_eq!(ohms_of_b1(OPEN, ""), None, "a good one is open when cold");

    let closed = Truck::of(CLOSED, &format!("{welded}; {HOT}"));
    assert_eq!((closed.fan(), closed.gauges()), (Released, [120.0, 0.0]));
    assert_eq!(closed.then(REQUEST).fan(), Engaged);
}

#[test]
fn a_set_point_that_has_drifted_up_is_late_by_as_much_in_both_styles() {
    for name in [OPEN, CLOSED] {
        let fan = |drift: &str, coolant: &str| Truck::of(name, &format!("{drift}{coolant}")).fan();
        assert_eq!(fan("", "coolant=206F"), Engaged);
        assert_eq!(fan("drift:B1=+20F; ", "coolant=224F"), Released, "{name}");
        assert_eq!(fan("drift:B1=+20F; ", "coolant=226F"), Engaged, "{name}");
        // A sensor in an air pocket, or under scale, feels less than there is: it looks the same, and on the bench it is
        // sound.
        assert_eq!(fan("drift:B1=+45F; ", "coolant=245F"), Released, "{name}");
    }
}

#[test]
fn a_set_point_that_has_drifted_down_asks_early_in_both_styles() {
    for name in [OPEN, CLOSED] {
        let fan = |coolant: &str| Truck::of(name, &format!("drift:B1=-20F; {coolant}")).fan();
        assert_eq!((fan("coolant=184F"), fan("coolant=186F")), (Released, Engaged), "{name}");
        let back = Truck::of(name, "drift:B1=-20F; coolant=186F").then("coolant=176F");
        assert_eq!(back.fan(), Engaged, "its reset point has come down with it");
    }
}

#[test]
fn a_lost_reset_gap_makes_the_fan_come_and_go_many_times_as_often() {
    for name in [OPEN, CLOSED] {
        let calls = |gap: &str| {
            let mut clock = clocked(name, &format!("{gap}engine=1800; coolant=200F; ambient=95F"));
            clock.run_to(1200.0);
            let b1 = clock.id("B1");
            clock.times(|happened| *happened == Happening::Sensor(b1, true)).len()
        };
        let (sound, lost) = (calls(""), calls("gap:B1=1F; "));
        assert!(sound >= 1 && lost >= 4 * sound, "{name}: {sound} and {lost}");
    }
    let nearly = Truck::of(OPEN, "gap:B1=1F; coolant=206F").then("coolant=203F");
    assert_eq!(nearly.fan(), Released, "a sound one would still ask");
    assert_eq!(Truck::of(OPEN, "coolant=206F").then("coolant=203F").fan(), Engaged);
    // A pressure switch can lose its gap too.
    assert_eq!(Truck::of(CLOSED, "gap:B2=3psi; refrigerant=301psi").then("refrigerant=296psi").fan(), Released);
}

#[test]
fn eight_ohms_in_a_contact_drop_2_6_volts_work_cold_and_fail_hot() {
    let burnt = "resist:B1=8ohm";
    for (name, asked) in [(OPEN, HOT), (CLOSED, "key=on")] {
        let truck = Truck::of(name, &format!("{burnt}; {asked}"));
        about(truck.coil(), 9.9);
        about(truck.volts("B1.1,B1.2"), 2.6);
        as_built(name, burnt);
    }
    near(ohms_of_b1(OPEN, &format!("{burnt}; {HOT}")).expect("closed"), 8.0, 0.02);
    never(OPEN, &format!("{burnt}; {COILS_HOT}; stuck:B2=open"));
    always(CLOSED, &format!("{burnt}; {COILS_HOT}"));
    // Only in that contact: the other request does not come through it.
    assert_eq!(Truck::of(OPEN, &format!("{burnt}; {COILS_HOT}; {REQUEST}")).fan(), Engaged);
}

#[test]
fn a_sensor_of_the_other_kind_turns_everything_upside_down_in_both_styles() {
    for name in [OPEN, CLOSED] {
        upside_down(name, "swapped:B1");
        let inverted = Truck::of(name, "swapped:B1");
        assert_eq!(inverted.gauges(), [120.0, 120.0], "{name}");
        assert_eq!(inverted.then(HOT).gauges(), [120.0, 0.0], "{name}");
    }
    // Hot, the others can still ask.
    assert_eq!(Truck::of(CLOSED, &format!("swapped:B1; {HOT}; {REQUEST}")).fan(), Engaged);
    near(ohms_of_b1(OPEN, "swapped:B1").expect("closed when cold"), 0.005, 0.01);
    assert_eq!(ohms_of_b1(CLOSED, "swapped:B1"), None, "open when cold");
}

#[test]
fn a_sensor_in_the_block_that_has_lost_its_ground_never_asks_and_its_body_is_live_when_hot() {
    let lost = "open:W8";
    let hot = Truck::of("ground-side", &format!("{lost}; {HOT}"));
    assert_eq!((hot.fan(), hot.gauges()), (Released, [120.0, 0.0]));
    about(hot.volts("B1.2,N2.g"), 12.6);
    assert_eq!(hot.then("key=off; lift:W5@B1.1").ohms("B1.1,N2.g"), None);
    let sound = Truck::of("ground-side", HOT).then("key=off; lift:W5@B1.1");
    near(sound.ohms("B1.1,N2.g").expect("to the block"), 0.01, 0.02);
}

#[test]
fn a_refrigerant_switch_stuck_where_it_asks_is_always_fan_whatever_the_pressure() {
    for (name, stuck) in [(OPEN, "stuck:B2=closed"), (CLOSED, "stuck:B2=open")] {
        always(name, stuck);
        for psi in [0, 100, 200, 300] {
            let truck = Truck::of(name, &format!("{stuck}; refrigerant={psi}psi"));
            assert_eq!((truck.fan(), truck.gauges()), (Engaged, [120.0, 120.0]), "{psi} psi in {name}");
        }
    }
}

#[test]
fn a_high_side_that_really_is_high_is_no_fault_of_the_fan() {
    for name in [OPEN, CLOSED] {
        let truck = Truck::of(name, "refrigerant=310psi");
        assert_eq!(truck.fan(), Engaged);
        let truck = truck.then("refrigerant=260psi");
        assert_eq!(truck.fan(), Engaged, "not before it has come down to its reset point");
        assert_eq!(truck.then("refrigerant=239psi").fan(), Released);
    }
}

#[test]
fn an_override_left_on_reads_nothing_across_it_beside_the_sensors_and_full_supply_in_line_with_them() {
    let beside = with(OPEN, &[], &[("S2", "HandSwitch(rest: Open)")], &["W91 X1.s S2.1", "W92 S2.2 X2.s"]);
    let left = Truck::on(&beside, "").then("turn:S2=on");
    about(left.volts("S2.1,S2.2"), 0.0);
    assert_eq!((left.fan(), left.gauges()), (Engaged, [120.0, 120.0]));
    let left = Truck::of("override-series", "").then("turn:S2=on");
    about(left.volts("S2.1,S2.2"), 12.6);
    assert_eq!((left.fan(), left.gauges()), (Engaged, [120.0, 120.0]));
}

#[test]
fn a_selector_left_off_is_no_fan_at_any_heat() {
    let off = Truck::of("override-selector", &format!("{HOT}; {REQUEST}")).then("turn:S3=OFF");
    assert_eq!((off.fan(), off.gauges()), (Released, [120.0, 0.0]));
    about(off.at("X2.s"), 0.0);
    assert_eq!(off.then("turn:S3=AUTO").fan(), Engaged);
}
