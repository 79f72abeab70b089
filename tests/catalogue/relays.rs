//! Relays, timers, diodes and suppressors.
//!
//! The refrigerant relay brings a request in; in the two mixed circuits a break contact turns the sense round; the
//! sealing relay holds itself; on the coach a module holds the relay and the relay the valve.

use fanloom::physics::time::Happening;

use super::support::near;
use super::truck::{
    Engaged, HOT, REQUEST, Released, Truck, about, always, as_built, clocked, never, upside_down, with,
};

#[test]
fn healthy_relay_circuits_follow_their_requests_and_fail_each_in_its_own_way() {
    for name in ["refrigerant-relay", "chain-holds-relay", "relay-drops-valve", "module-relay-24v", "diode-or", "timer"]
    {
        as_built(name, "");
    }
    for name in ["refrigerant-relay", "chain-holds-relay", "relay-drops-valve", "diode-or", "timer"] {
        assert_eq!(Truck::of(name, REQUEST).fan(), Engaged, "{name}");
    }
    // A relay that turns the sense round makes half of the losses unseen.
    always("chain-holds-relay", "blown:F1");
    never("chain-holds-relay", "blown:F2");
    never("relay-drops-valve", "open:W8");
    always("relay-drops-valve", "blown:F1");
    always("module-relay-24v", "blown:F1");
    always("module-relay-24v", "blown:F2");
}

#[test]
fn a_relay_with_87_and_87a_changed_over_turns_its_request_upside_down() {
    let swapped = "swapped:K1";
    let cold = Truck::of("refrigerant-relay", swapped);
    assert_eq!(cold.fan(), Engaged);
    assert_eq!(cold.then(REQUEST).fan(), Released);
    assert_eq!(
        Truck::of("refrigerant-relay", &format!("{swapped}; {HOT}; {REQUEST}")).fan(),
        Engaged,
        "B1 is beside it"
    );
    upside_down("chain-holds-relay", swapped);
    upside_down("relay-drops-valve", swapped);
    let dead = Truck::of("refrigerant-relay", swapped).then("key=off; lift:W7@K1.30");
    near(dead.ohms("K1.30,K1.87").expect("closed at rest"), 0.005, 0.01);
}

#[test]
fn a_welded_relay_contact_is_always_fan_where_it_makes_the_request_and_no_fan_where_it_holds_the_valve() {
    let welded = "stuck:K1=closed";
    always("refrigerant-relay", welded);
    never("module-relay-24v", welded);
    let dead = Truck::of("refrigerant-relay", welded).then("key=off; lift:W7@K1.30");
    near(dead.ohms("K1.30,K1.87").expect("welded"), 0.005, 0.01);
    about(Truck::of("refrigerant-relay", welded).volts("K1.86,K1.85"), 0.0);
}

#[test]
fn an_open_relay_coil_has_full_volts_across_it_and_does_nothing() {
    let open = "coil-open:K1";
    let asked = Truck::of("refrigerant-relay", &format!("{open}; {REQUEST}"));
    assert_eq!(asked.fan(), Released);
    about(asked.volts("K1.86,K1.85"), 12.6);
    let dead = Truck::of("refrigerant-relay", open).then("key=off; lift:W13@K1.86");
    assert_eq!(dead.ohms("K1.86,K1.85"), None);
    as_built("refrigerant-relay", open);
    always("chain-holds-relay", open);
}

#[test]
fn a_relay_without_a_break_contact_is_no_fan_where_that_feeds_the_valve() {
    never("chain-holds-relay", "open:K1.87a");
    about(Truck::of("chain-holds-relay", &format!("open:K1.87a; {HOT}")).at("K1.87a"), 0.0);
    always("relay-drops-valve", "open:K1.87a");
    as_built("refrigerant-relay", "open:K1.87a");
}

#[test]
fn a_24_volt_relay_on_12_volts_never_pulls_in() {
    let wrong = "fitted:K1=24V";
    let asked = Truck::of("refrigerant-relay", &format!("{wrong}; {REQUEST}"));
    assert_eq!(asked.fan(), Released);
    near(asked.amps("W14"), 12.6 / 360.0, 0.001);
    always("chain-holds-relay", wrong);
    never("relay-drops-valve", wrong);
}

#[test]
fn a_shorted_or_diode_lights_the_other_requests_lamp_and_drops_nothing() {
    let lit = |faults: &str| Truck::of("diode-or", &format!("{faults}; {HOT}"));
    about(lit("").volts("P1.1,P1.2"), 0.0);
    let fed_back = lit("diode-short:V2");
    assert!(fed_back.volts("P1.1,P1.2") > 11.0);
    let drop = |faults: &str| Truck::of("diode-or", &format!("{faults}; {REQUEST}")).volts("V2.A,V2.K");
    near(drop("diode-short:V2"), 0.0, 0.03);
    near(drop(""), 0.7, 0.02);
    // The diode costs the coil its drop.
    near(Truck::of("diode-or", HOT).coil(), 11.8, 0.1);
}

#[test]
fn an_open_or_diode_ignores_one_request_with_supply_on_one_side_and_nothing_on_the_other() {
    let open = Truck::of("diode-or", &format!("diode-open:V2; {REQUEST}"));
    assert_eq!((open.fan(), open.gauges()), (Released, [120.0, 0.0]));
    about(open.at("V2.A"), 12.6);
    about(open.at("V2.K"), 0.0);
    as_built("diode-or", "diode-open:V2");
    // Fitted the wrong way round it is the same.
    assert_eq!(Truck::of("diode-or", &format!("reversed:V2; {REQUEST}")).fan(), Released);
}

#[test]
fn a_shorted_suppressor_takes_the_fuse_when_the_coil_is_energised() {
    let across = |name, rest| with(name, &[(rest, &format!("{rest}, suppressor: Diode(cathode: \"1\")"))], &[], &[]);
    let open = across("open-at-rest", "rest: Blocking");
    let closed = across("closed-at-rest", "rest: Passing");
    for fault in ["suppressor-short:Y1", "reversed:Y1"] {
        assert!(!Truck::on(&open, fault).blown("F1"), "{fault}, cold");
        assert!(Truck::on(&open, fault).then(HOT).blown("F1"), "{fault}, hot");
        assert!(!Truck::on(&closed, &format!("{fault}; key=off")).blown("F1"));
        assert!(Truck::on(&closed, fault).blown("F1"), "{fault}, at key on");
    }
    for fault in ["diode-short:V3", "reversed:V3"] {
        assert!(Truck::of("diode-or", fault).then(HOT).blown("F1"), "{fault}");
    }
    // Often believed: the ohmmeter reads next to nothing one way through a diode fitted backwards. An ohmmeter of 0.2 V
    // does not open a diode of 0.7 V: it reads the coil both ways, and only a shorted one betrays itself.
    let ohms = |fault: &str, leads: &str| Truck::on(&open, &format!("{fault}key=off")).ohms(leads).expect("a coil");
    assert!(ohms("suppressor-short:Y1; ", "Y1.1,Y1.2") < 1.0);
    for leads in ["Y1.1,Y1.2", "Y1.2,Y1.1"] {
        near(ohms("reversed:Y1; ", leads), 30.0, 0.1);
    }
}

#[test]
fn a_missing_suppressor_shows_nowhere_but_in_the_kick() {
    let open =
        with("open-at-rest", &[("rest: Blocking", "rest: Blocking, suppressor: Diode(cathode: \"1\")")], &[], &[]);
    let kick = |faults: &[&str]| {
        let mut clock = super::support::clock::Clock::on(&open, &["air=120psi", HOT], faults);
        clock.run_to(2.0).will("coolant=68F").run_to(3.0);
        clock.kick("Y1")
    };
    near(kick(&[]).volts, 0.7, 0.01);
    assert!(kick(&["suppressor-open:Y1"]).volts > 100.0);
    let missing = Truck::on(&open, &format!("suppressor-open:Y1; {HOT}"));
    assert_eq!(missing.fan(), Engaged);
    near(missing.then("key=off").ohms("Y1.1,Y1.2").expect("a coil"), 30.0, 0.1);
}

#[test]
fn a_sealing_contact_that_does_not_make_lets_go_with_the_push_and_a_welded_one_never_does() {
    let name = "seal-in";
    let pressed = Truck::of(name, "").then("press:S4");
    assert_eq!(pressed.fan(), Engaged);
    assert_eq!(pressed.then("press:S5").fan(), Released);
    for dirty in ["stuck:K1=open", "open:K1.87", "open:W9"] {
        assert_eq!(Truck::of(name, dirty).then("press:S4").fan(), Released, "{dirty}");
    }
    let welded = Truck::of(name, "stuck:K1=closed");
    assert_eq!(welded.fan(), Engaged, "unasked");
    let welded = welded.then("press:S5");
    assert_eq!(welded.fan(), Engaged, "the push breaks it for as long as it is held");
    assert_eq!(welded.then("key=off").fan(), Released);
}

#[test]
fn a_shorted_diode_lets_one_hot_spell_seal_the_relay_in_until_the_key_has_been_off() {
    let spell = |faults: &str| Truck::of("seal-in", faults).then(&format!("{HOT}; coolant=68F"));
    assert_eq!(spell("").fan(), Released);
    let sealed = spell("diode-short:V1");
    assert_eq!(sealed.fan(), Engaged);
    assert_eq!(sealed.then("key=off; key=on").fan(), Released);
}

#[test]
fn a_timer_set_too_short_lets_go_early_and_a_stuck_one_never() {
    let lets_go = |faults: &str| {
        let mut clock = clocked("timer", &format!("{faults}{REQUEST}"));
        clock.run_to(10.0).will("refrigerant=100psi").run_to(200.0);
        let k2 = clock.id("K2");
        clock.first(&Happening::Timer(k2, false)) - 10.0
    };
    near(lets_go(""), 90.0, 0.01);
    near(lets_go("hold:K2=5s; "), 5.0, 0.01);
    always("timer", "stuck:K2=closed");
    let dead = Truck::of("timer", "stuck:K2=open");
    assert_eq!(dead.then(REQUEST).fan(), Released);
}
