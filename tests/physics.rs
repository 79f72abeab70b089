//! The physics on examples worked out by hand: coils, contacts with memory, modules, timers, fuses, air, clutch.
//!
//! Each circuit is small enough to be checked with pencil and paper; the numbers beside it are. Values are example
//! values unless a source is named.

mod support;

use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::circuit::{Air, Clutch};
use fanloom::circuit::{Contact, Engages};
use fanloom::physics::air::{Paths, flow};
use fanloom::physics::clutch::{ClutchState, Model};
use fanloom::physics::inputs::Altered;
use fanloom::physics::limits::FACING_NEW_MM;
use support::{Stand, near, near_relative, tiny};

const BATTERY: (&str, &str) = ("G1", "Battery(volts: 12.6)");
const GROUND: (&str, &str) = ("N1", "Ground");

#[test]
fn a_hot_coil_needs_more_volts_to_pull_in() {
    let with = |volts: f64, ambient: &str| {
        let mut stand = Stand::new(&tiny(
            &[("G1", &format!("Battery(volts: {volts})")), ("S1", "HandSwitch(rest: Open)"), ("Y1", VALVE)],
            &["W1 G1.+ S1.1", "W2 S1.2 Y1.1", "W3 Y1.2 G1.-"],
        ));
        stand.all(ambient).will("turn:S1=on");
        stand.energised("Y1")
    };
    // 7.8 V at 20 °C are 7.8 x 1.2358 = 9.64 V at 80 °C.
    assert!(with(9.0, "ambient=20C"));
    assert!(!with(9.0, "ambient=80C"));
    assert!(with(9.8, "ambient=80C"));
}

const VALVE: &str = "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)";

#[test]
fn shorted_turns_draw_more_and_open_turns_nothing() {
    let stand = |fault: &str| {
        let mut stand = Stand::new(&tiny(&[BATTERY, ("Y1", VALVE)], &["W1 G1.+ Y1.1", "W2 Y1.2 G1.-"]));
        stand.all(fault);
        stand
    };
    near(stand("").amps("W1"), 12.6 / 30.04, 0.001);
    near(stand("coil-short:Y1=2ohm").amps("W1"), 12.6 / 2.04, 0.05);
    near(stand("coil-open:Y1").amps("W1"), 0.0, 1e-12);
    assert!(!stand("coil-open:Y1").energised("Y1"));
}

#[test]
fn a_valve_passes_by_its_rest_its_coil_and_what_is_wrong_with_it() {
    let passing = |rest: &str, fault: &str| {
        let valve = VALVE.replace("Blocking", rest);
        let mut stand = Stand::new(&tiny(&[BATTERY, ("Y1", &valve)], &["W1 G1.+ Y1.1", "W2 Y1.2 G1.-"]));
        stand.all(fault);
        stand.bench.outcome().valves[0].passing
    };
    assert!(passing("Blocking", ""));
    assert!(!passing("Passing", ""));
    assert!(!passing("Blocking", "open:W1"));
    assert!(passing("Passing", "open:W1"));
    assert!(!passing("Blocking", "swapped:Y1"));
    assert!(!passing("Blocking", "valve-stuck:Y1=blocking"));
    assert!(passing("Blocking", "open:W1; valve-stuck:Y1=passing"));
}

#[test]
fn a_low_side_driver_sinks_and_a_high_side_driver_sources() {
    let out = |side: &str, on_when: &str| {
        Stand::new(&tiny(
            &[
                BATTERY,
                ("A1", &format!("Module(side: {side}, on_when: {on_when})")),
                ("R1", "Resistor(ohms: 30)"),
                GROUND,
            ],
            &[
                "W1 G1.+ A1.supply",
                "W2 A1.ground N1.g",
                if side == "Low" { "W3 G1.+ R1.1" } else { "W3 N1.g R1.1" },
                "W4 R1.2 A1.out",
                "W5 G1.- N1.g",
            ],
        ))
        .volts("A1.out")
    };
    near(out("Low", "Never"), 12.6, 0.01);
    near(out("Low", "Always"), 12.6 * 0.15 / 30.2, 0.02);
    near(out("High", "Never"), 0.0, 0.01);
    near(out("High", "Always"), 12.6 * 30.0 / 30.2, 0.02);
}

#[test]
fn a_modules_demand_is_worked_out_term_by_term_with_memory() {
    let circuit = tiny(
        &[
            BATTERY,
            (
                "A1",
                "Module(side: Low, on_when: Any([All([Above(Coolant, Celsius(99), Celsius(93)), Not(EngineStopped)]), \
                 Below(AirSupply, Psi(60), Psi(80))]))",
            ),
            GROUND,
        ],
        &["W1 G1.+ A1.supply", "W2 A1.ground N1.g", "W3 G1.- N1.g"],
    );
    let mut stand = Stand::new(&circuit);
    for (words, on) in [
        ("coolant=100C", false),
        ("engine=600", true),
        ("coolant=94C", true),
        ("coolant=93C", false),
        ("coolant=98C", false),
        ("air=60psi", true),
        ("air=79psi", true),
        ("air=80psi", false),
        ("air=61psi", false),
        ("coolant=99C", true),
        ("engine=0", false),
        ("air=10psi", true),
        ("flat:G1=5V", false),
        ("mend flat:G1=5V", true),
        ("module-dead:A1", false),
    ] {
        stand.will(words);
        assert_eq!(stand.contact("A1") == Contact::Closed, on, "after {words}");
    }
}

#[test]
fn a_timers_contact_follows_its_input_while_it_is_supplied() {
    let mut stand = Stand::new(&tiny(
        &[
            BATTERY,
            ("S1", "KeySwitch"),
            ("S2", "HandSwitch(rest: Open)"),
            ("K1", "Timer(hold_seconds: 30)"),
            ("P1", "Lamp(ohms: 48)"),
            GROUND,
        ],
        &[
            "W1 G1.+ S1.30",
            "W2 S1.15 K1.15",
            "W3 S1.15 S2.1",
            "W4 S2.2 K1.in",
            "W5 K1.31 N1.g",
            "W6 K1.87 P1.1",
            "W7 P1.2 N1.g",
            "W8 G1.- N1.g",
        ],
    ));
    near(stand.through("P1"), 0.0, 1e-9);
    stand.will("turn:S2=on");
    near(stand.through("P1"), 12.6 / 48.0, 0.01);
    stand.will("key=off");
    near(stand.through("P1"), 0.0, 1e-9);
}

#[test]
fn a_selector_joins_its_common_to_one_position_only() {
    let mut stand = Stand::new(&tiny(
        &[BATTERY, ("S1", "SelectorSwitch(positions: [\"ON\", \"AUTO\", \"OFF\"], rest: \"AUTO\")")],
        &["W1 G1.+ S1.c"],
    ));
    for (words, place) in [("", 2), ("turn:S1=ON", 1), ("turn:S1=off", 3), ("turn:S1=auto", 2)] {
        stand.all(words);
        for n in 1..=3 {
            assert_eq!(stand.volts_or_none(&format!("S1.{n}")).is_some(), n == place, "{words}: {n}");
        }
    }
}

#[test]
fn all_grounds_are_one_chassis_through_their_own_ohms() {
    let stand = Stand::new(&tiny(
        &[BATTERY, ("P1", "Lamp(ohms: 12)"), ("N1", "Ground"), ("N2", "Ground(ohms: 0.5)")],
        &["W1 G1.+ P1.1", "W2 P1.2 N2.g", "W3 G1.- N1.g"],
    ));
    let amps = stand.through("P1");
    near(amps, 12.6 / 12.552, 0.01);
    // Half an ohm at the lamp's stud, 2 milliohm at the battery's, and the battery's own lead.
    near(stand.volts("N2.g"), amps * (0.5 + 0.002 + 0.0132), 0.001);
}

#[test]
fn nothing_hangs_in_the_air_at_a_made_up_voltage() {
    let mut stand = Stand::shipped("parallel-open");
    stand.will("unplug:Y1");
    assert_eq!(stand.volts_or_none("X2.s"), None, "open sensors above, an open plug below");
    stand.will("turn:S2=on");
    near(stand.volts("X2.s"), 12.6, 1e-6);
    stand.all("turn:S2=off; lift:W12@G1.-");
    assert_eq!(stand.volts_or_none("N1.g"), None, "the chassis has no way to the battery");
}

#[test]
fn two_fuses_open_the_most_overloaded_first_and_only_as_many_as_needed() {
    // 2 A and 10 A in series into a short: the small one goes, the big one is saved.
    let mut stand = Stand::new(&tiny(
        &[BATTERY, ("F1", "Fuse(amps: 10)"), ("F2", "Fuse(amps: 2)"), ("P1", "Lamp(ohms: 48)"), GROUND],
        &["W1 G1.+ F1.1", "W2 F1.2 F2.1", "W3 F2.2 P1.1", "W4 P1.2 N1.g", "W5 G1.- N1.g"],
    ));
    stand.will("ground:P1.1");
    assert!(stand.blown("F2") && !stand.blown("F1"));
    assert_eq!(stand.bench.opened().len(), 1);
    assert!(stand.bench.opened()[0].amps > 100.0, "with what opened it");
}

#[test]
fn a_diode_lets_a_dead_branch_float_rather_than_show_a_backward_voltage() {
    let stand = Stand::new(&tiny(
        &[BATTERY, ("V1", "Diode()"), ("P1", "Lamp(ohms: 48)")],
        &["W1 G1.+ P1.1", "W2 P1.2 V1.K", "W3 V1.A G1.-"],
    ));
    near(stand.amps("W1"), 0.0, 1e-9);
    near(stand.volts("V1.K"), 12.6, 1e-6);
}

#[test]
fn chokes_and_leaks_set_the_chambers_pressure_by_their_flows() {
    let leaking = |mm: f64, blocked: bool| {
        let altered = Altered { hose_leak_mm: Some(mm), filter_blocked: blocked, ..Altered::default() };
        Paths::new(&Air::default(), &altered).steady_chamber_kpa(true, false, 724.0)
    };
    let whole = Paths::new(&Air::default(), &Altered::default());
    near(whole.steady_chamber_kpa(true, false, 724.0), 724.0, 0.0);
    near(whole.steady_chamber_kpa(false, false, 724.0), 0.0, 0.0);
    let mut last = 724.0;
    for mm in [0.5, 1.0, 2.0, 3.0, 5.0, 10.0] {
        let now = leaking(mm, false);
        assert!(now < last && now > 0.0, "{mm} mm: {now} after {last}");
        assert!(leaking(mm, true) < now);
        last = now;
    }
}

#[test]
fn flow_is_the_standards_choked_and_subsonic_law() {
    // ISO 6358 (from memory): choked below the critical ratio, an ellipse's quarter above it, nothing at equal
    // pressures; both meet at the critical ratio.
    const RATIO: f64 = 0.35;
    near_relative(flow(0.5, RATIO, 8.0, 1.0), 4.0, 1e-12);
    near_relative(flow(0.5, RATIO, 8.0, 8.0 * RATIO), 4.0, 1e-9);
    near(flow(0.5, RATIO, 8.0, 8.0), 0.0, 1e-12);
    near(flow(0.5, RATIO, 1.0, 8.0), 0.0, 0.0);
    let half_way = 8.0 * 0.5 * (1.0 + RATIO);
    near_relative(flow(0.5, RATIO, 8.0, half_way), 4.0 * 0.75f64.sqrt(), 1e-9);
    let flows: Vec<f64> = (0..=80).map(|p| flow(0.5, RATIO, 8.0, 0.1 * f64::from(p))).collect();
    assert!(flows.windows(2).all(|pair| pair[1] <= pair[0] + 1e-12), "flow rises with the pressure it runs into");
}

#[test]
fn the_clutch_bites_slips_and_holds_by_its_pressure() {
    let state = |engages: Engages, psi: f64| {
        let clutch = Clutch { engages, ..Clutch::default() };
        Model::new(&clutch, 90.0 * KPA_PER_PSI, FACING_NEW_MM).read(psi * KPA_PER_PSI, 0.0).state
    };
    for (psi, with_air, without_air) in [
        (0.0, ClutchState::Released, ClutchState::Engaged),
        (29.0, ClutchState::Released, ClutchState::Engaged),
        (50.0, ClutchState::Slipping, ClutchState::Engaged),
        (60.0, ClutchState::Slipping, ClutchState::Slipping),
        (71.0, ClutchState::Engaged, ClutchState::Slipping),
        (90.0, ClutchState::Engaged, ClutchState::Released),
    ] {
        assert_eq!(state(Engages::WithAir, psi), with_air, "{psi} psi");
        assert_eq!(state(Engages::WithoutAir, psi), without_air, "{psi} psi");
    }
}

#[test]
fn torque_margin_falls_with_the_square_of_the_speed_and_with_wear() {
    let margin = |rpm: f64, mm: f64| Model::new(&Clutch::default(), 620.0, mm).read(600.0, rpm).torque_margin;
    near_relative(margin(1050.0, FACING_NEW_MM), 4.0 * margin(2100.0, FACING_NEW_MM), 1e-12);
    near_relative(margin(0.0, FACING_NEW_MM), margin(2100.0, FACING_NEW_MM), 1e-12);
    assert!(margin(2100.0, 2.0) < margin(2100.0, FACING_NEW_MM));
}
