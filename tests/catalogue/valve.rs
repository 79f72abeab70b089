//! The valve: its coil, its plunger, its hoses, the wrong one fitted.
//!
//! The electric side reads right in most of these; the two gauges tell.

use super::support::near;
use super::truck::{
    CLOSED, Engaged, HOT, OPEN, Released, SPRING, Truck, about, always, as_built, clocked, never, upside_down,
};
use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::Happening;

#[test]
fn an_open_coil_has_full_volts_and_no_current() {
    let open = "coil-open:Y1";
    never(OPEN, open);
    always(CLOSED, open);
    for (name, asked) in [(OPEN, HOT), (CLOSED, "key=on")] {
        let truck = Truck::of(name, &format!("{open}; {asked}"));
        about(truck.coil(), 12.6);
        assert_eq!(truck.amps("W8"), 0.0);
        assert_eq!(truck.then("key=off; lift:W8@Y1.1").ohms("Y1.1,Y1.2"), None);
    }
}

#[test]
fn half_the_turns_shorted_double_the_current_and_the_heat_and_the_fan_still_works() {
    let shorted = "coil-short:Y1=15ohm";
    as_built(OPEN, shorted);
    as_built(CLOSED, shorted);
    let truck = Truck::of(OPEN, &format!("{shorted}; {HOT}"));
    near(truck.amps("W8"), 0.83, 0.01);
    near(truck.then("key=off").ohms("Y1.1,Y1.2").expect("a coil"), 15.0, 0.1);
    let rise = |faults: &str| {
        let mut clock = clocked(CLOSED, faults);
        clock.run_to(1800.0);
        clock.coil_c("Y1") - 20.0
    };
    assert!(rise(shorted) > 1.5 * rise(""), "{} and {}", rise(shorted), rise(""));
}

#[test]
fn a_winding_that_touches_the_body_is_told_from_a_chafed_wire_by_pulling_the_plug() {
    let cold = Truck::of(OPEN, "coil-ground:Y1.1");
    assert!(!cold.blown("F1"));
    assert!(cold.then(HOT).blown("F1"), "when it is energised");
    assert!(Truck::of(CLOSED, "coil-ground:Y1.1").blown("F1"), "at key on");
    let plug_off =
        |fault: &str| Truck::of(OPEN, &format!("{fault}; key=off")).then(&format!("unplug:Y1; {HOT}; key=on"));
    assert!(!plug_off("coil-ground:Y1.1").blown("F1"));
    assert!(plug_off("ground:Y1.1").blown("F1"));
    let ohms = Truck::of(OPEN, "coil-ground:Y1.1").then("key=off; lift:W8@Y1.1").ohms("Y1.1,N1.g");
    near(ohms.expect("to the body"), 0.0, 0.01);
}

#[test]
fn where_in_the_winding_it_touches_the_body_decides_what_it_does() {
    // Often believed: a coil that touches its body pops the fuse, and where the ground is switched is always fan. Only at
    // its fed end does it pop the fuse, in that style too and at key on; at its grounded end nothing is noticed where
    // the feed is switched, and only there is it always fan where the ground is.
    as_built(OPEN, "coil-ground:Y1.2");
    as_built(CLOSED, "coil-ground:Y1.2");
    always("ground-side", "coil-ground:Y1.2");
    always("module-low-side", "coil-ground:Y1.2");
    assert!(Truck::of("ground-side", "coil-ground:Y1.1").blown("F1"));
}

#[test]
fn a_plunger_stuck_passing_is_always_fan_even_with_the_plug_off() {
    let stuck = "valve-stuck:Y1=passing";
    for name in [OPEN, CLOSED] {
        always(name, stuck);
        let unplugged = Truck::of(name, stuck).then("unplug:Y1");
        assert_eq!((unplugged.fan(), unplugged.gauges()), (Engaged, [120.0, 120.0]), "{name}");
    }
    about(Truck::of(OPEN, stuck).coil(), 0.0);
    about(Truck::of(CLOSED, stuck).coil(), 12.5);
}

#[test]
fn a_plunger_stuck_blocking_is_no_fan_even_with_the_plug_off() {
    // Ice is the same until it melts.
    let stuck = "valve-stuck:Y1=blocking; ambient=-20C";
    for name in [OPEN, CLOSED] {
        never(name, stuck);
        let unplugged = Truck::of(name, &format!("{stuck}; {HOT}")).then("unplug:Y1");
        assert_eq!((unplugged.fan(), unplugged.gauges()), (Released, [120.0, 0.0]), "{name}");
    }
    near(Truck::of(OPEN, &format!("{stuck}; {HOT}")).coil(), 12.5, 0.1);
}

#[test]
fn lock_up_bolts_drive_the_fan_with_no_air_in_the_hose() {
    for name in [OPEN, CLOSED] {
        let bolted = Truck::of(name, "bolts=fitted");
        assert_eq!((bolted.fan(), bolted.gauges()), (Engaged, [120.0, 0.0]), "{name}");
    }
}

#[test]
fn a_valve_of_the_other_kind_and_hoses_changed_over_look_alike_and_upside_down_with_all_volts_right() {
    for fault in ["swapped:Y1", "swapped:hoses"] {
        for name in [OPEN, CLOSED] {
            upside_down(name, fault);
            let sound = Truck::of(name, "");
            let truck = Truck::of(name, fault);
            for terminal in ["F1.2", "B1.1", "Y1.1", "Y1.2"] {
                about(truck.at(terminal), sound.at(terminal));
            }
            assert_eq!(truck.gauges(), [120.0, 120.0], "{fault} in {name}, cold");
            assert_eq!(truck.then(HOT).gauges(), [120.0, 0.0], "{fault} in {name}, hot");
        }
        assert_eq!(Truck::of(OPEN, &format!("{fault}; key=off")).fan(), Engaged);
        assert_eq!(Truck::of(CLOSED, &format!("{fault}; key=off")).fan(), Released);
        // A spring-applied clutch is turned upside down as well.
        upside_down(SPRING, fault);
    }
}

/// Seconds from taking the request away until the fan is free.
fn lets_go_after(name: &str, faults: &str) -> f64 {
    let mut clock = clocked(name, &format!("{faults}{HOT}"));
    clock.run_to(10.0).will("coolant=68F").run_to(1200.0);
    clock.first(&Happening::Clutch(ClutchState::Released)) - 10.0
}

#[test]
fn a_plugged_exhaust_lets_go_after_minutes_where_a_sound_one_takes_a_second() {
    for name in [OPEN, CLOSED] {
        let (sound, plugged) = (lets_go_after(name, ""), lets_go_after(name, "blocked:exhaust; "));
        assert!(sound < 3.0 && plugged > 60.0, "{name}: {sound} s and {plugged} s");
    }
    // A spring-applied clutch comes late instead.
    let comes_after = |faults: &str| {
        let mut clock = clocked(SPRING, faults);
        clock.run_to(5.0).will(HOT).run_to(1200.0);
        clock.first(&Happening::Clutch(ClutchState::Engaged)) - 5.0
    };
    assert!(comes_after("") < 3.0 && comes_after("blocked:exhaust") > 60.0);
}

#[test]
fn a_bad_seat_loses_air_at_the_exhaust_in_either_state_and_costs_the_hose_a_little_pressure() {
    let bad = "leak:seat=1mm";
    for name in [OPEN, CLOSED] {
        as_built(name, bad);
        let hot = Truck::of(name, &format!("{bad}; {HOT}"));
        let [supply, clutch] = hot.gauges();
        assert!(
            clutch < supply && supply <= 120.0 && (110.0..120.0).contains(&clutch),
            "{name}: {supply} and {clutch}"
        );
        for asked in ["coolant=68F", HOT] {
            let lost = |faults: &str| {
                let mut clock = clocked(name, &format!("{faults}{asked}"));
                clock.run_to(60.0);
                let run = clock.live.run();
                let kept = run.free_litres() + run.lost_litres() - run.brought_litres();
                (run.lost_litres(), clock.tank_psi(), kept)
            };
            let ((sound, full, _), (leaking, low, kept)) = (lost(""), lost("leak:seat=1mm; "));
            assert!(sound < 0.01 && leaking > 5.0 && low < full, "{name}, {asked}: {sound} and {leaking}");
            let at_first = clocked(name, &format!("leak:seat=1mm; {asked}")).live.run().free_litres();
            near(kept, at_first, 1e-9 * at_first);
        }
    }
}

#[test]
fn supply_and_clutch_hose_changed_over_blow_at_the_exhaust_and_shut_the_clutch_in() {
    // Often believed: never a fan. While the valve passes it joins the same two hoses; only when it does not, supply
    // goes out of the exhaust, and what is in the clutch cannot leave.
    let crossed = "crossed:hoses";
    let cold = Truck::of(OPEN, crossed);
    let [supply, clutch] = cold.gauges();
    assert!((105.0..118.0).contains(&supply) && clutch == 0.0, "{supply} and {clutch}");
    assert_eq!(cold.fan(), Released);
    let hot = cold.then(HOT);
    assert_eq!((hot.fan(), hot.gauges()), (Engaged, [120.0, 120.0]));
    let cold_again = hot.then("coolant=68F");
    let [supply, clutch] = cold_again.gauges();
    assert!((105.0..118.0).contains(&supply) && clutch == 120.0, "{supply} and {clutch}");
    assert_eq!(cold_again.fan(), Engaged, "shut in");
    // Put right, it is let out.
    let mended = cold_again.then(&format!("mend {crossed}"));
    assert_eq!((mended.fan(), mended.gauges()), (Released, [120.0, 0.0]));
    // A valve that passes at rest let air in before the key was turned.
    always(CLOSED, crossed);
}

#[test]
fn with_supply_and_clutch_hose_changed_over_the_tank_blows_down_until_the_protection_valve_shuts() {
    let mut clock = clocked(OPEN, "crossed:hoses; ");
    let at_first = clock.live.run().free_litres();
    clock.run_to(900.0);
    let run = clock.live.run();
    near(run.free_litres() + run.lost_litres() - run.brought_litres(), at_first, 1e-9 * at_first);
    let tank = clock.tank_psi();
    assert!((50.0..80.0).contains(&tank), "{tank}");
    near(clock.moment().supply_kpa, 0.0, 1.0);
    // Engaged first, the clutch then keeps its air.
    let mut shut_in = clocked(OPEN, &format!("crossed:hoses; {HOT}"));
    shut_in.run_to(5.0).will("coolant=68F").run_to(300.0);
    assert!(shut_in.moment().clutch_kpa > 700.0, "{}", shut_in.moment().clutch_kpa);
    assert_eq!(shut_in.moment().clutch.state, ClutchState::Engaged);
}

#[test]
fn a_24_volt_valve_on_12_volts_does_not_pull_in() {
    let wrong = "fitted:Y1=24V";
    never(OPEN, wrong);
    always(CLOSED, wrong);
    // The same watts at twice the volts are four times the ohms.
    let truck = Truck::of(CLOSED, wrong);
    near(truck.amps("W8"), 12.6 / 120.0, 0.002);
    near(truck.then("key=off").ohms("Y1.1,Y1.2").expect("a coil"), 120.0, 0.5);
}

#[test]
fn a_12_volt_valve_on_24_volts_works_and_is_live_and_hot_whenever_the_engine_is_cold() {
    let wrong = "fitted:Y1=12V";
    as_built("module-relay-24v", wrong);
    let cold = Truck::of("module-relay-24v", wrong);
    near(cold.coil(), 25.0, 0.2);
    let watts = cold.coil() * cold.amps("W8");
    assert!((20.0..24.0).contains(&watts), "{watts}");
    let warm = |faults: &str| {
        let mut clock = clocked("module-relay-24v", faults);
        clock.run_to(1800.0);
        clock.coil_c("Y1")
    };
    assert!(warm(wrong) > 130.0 && warm("") < 100.0, "{} and {}", warm(wrong), warm(""));
}
