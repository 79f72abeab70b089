//! Contacts, relays and ladder logic: T. R. Kuphaldt, Lessons in Electric Circuits IV (digital), chapters
//! "Switches", "Electromechanical relays" and "Ladder logic".
//!
//! Each statement as a small circuit on a bench; switches of hand stand for the book's push-buttons.

use std::sync::Arc;

use crate::support::{Stand, near, tiny};
use fanloom::circuit::{Circuit, Contact};
use fanloom::physics::clutch::ClutchState;

const BATTERY: (&str, &str) = ("G1", "Battery(volts: 12.6)");
const GROUND: (&str, &str) = ("N1", "Ground");
const LAMP: (&str, &str) = ("P1", "Lamp(ohms: 48)");
const RELAY: &str = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)";
const OPEN: &str = "HandSwitch(rest: Open)";
const CLOSED: &str = "HandSwitch(rest: Closed)";

fn stand(parts: &[(&str, &str)], wires: &[&str]) -> Stand {
    Stand::new(&tiny(parts, wires))
}

fn lit(stand: &Stand) -> bool {
    stand.through("P1").abs() > 0.1
}

#[test]
fn rl_01_and_03_a_contact_is_named_by_its_rest_and_not_by_its_usual_state() {
    // A relay on the shelf: 87a closed, 87 open, whatever it does in service.
    let mut relay = stand(
        &[BATTERY, ("S1", CLOSED), ("K1", RELAY), GROUND],
        &["W1 G1.+ S1.1", "W2 S1.2 K1.86", "W3 K1.85 N1.g", "W4 G1.- N1.g"],
    );
    assert_eq!((relay.contact("K1.87"), relay.contact("K1.87a")), (Contact::Closed, Contact::Open));
    let rests: Vec<Contact> = relay.bench.outcome().contacts.iter().skip(1).map(|c| c.rest).collect();
    assert_eq!(rests, [Contact::Open, Contact::Closed], "rest does not move with the armature");
    relay.will("turn:S1=on");
    assert_eq!((relay.contact("K1.87"), relay.contact("K1.87a")), (Contact::Open, Contact::Closed));
}

#[test]
fn rl_02_sensors_rest_cold_and_without_pressure() {
    let stand = |rest: &str| {
        let mut stand = stand(
            &[
                BATTERY,
                (
                    "B1",
                    &format!(
                        "TemperatureSwitch(rest: {rest}, senses: Coolant, acts_at: Celsius(96), resets_at: Celsius(90))"
                    ),
                ),
                (
                    "B2",
                    &format!(
                        "PressureSwitch(rest: {rest}, senses: Refrigerant, acts_at: Psi(300), resets_at: Psi(240))"
                    ),
                ),
            ],
            &["W1 G1.+ B1.1", "W2 G1.+ B2.1"],
        );
        stand.will("refrigerant=0psi");
        (stand.contact("B1"), stand.contact("B2"))
    };
    assert_eq!(stand("Open"), (Contact::Open, Contact::Open));
    assert_eq!(stand("Closed"), (Contact::Closed, Contact::Closed));
}

#[test]
fn rl_04_a_contact_closed_at_rest_opens_on_excess_pressure() {
    let mut permissive = stand(
        &[
            BATTERY,
            ("B1", "PressureSwitch(rest: Closed, senses: Refrigerant, acts_at: Psi(300), resets_at: Psi(240))"),
            LAMP,
            GROUND,
        ],
        &["W1 G1.+ B1.1", "W2 B1.2 P1.1", "W3 P1.2 N1.g", "W4 G1.- N1.g"],
    );
    assert!(lit(&permissive));
    permissive.will("refrigerant=300psi");
    assert!(!lit(&permissive));
}

#[test]
fn rl_05_between_drop_out_and_pull_in_the_armature_stays_where_it_is() {
    let relay = |volts: f64| {
        tiny(
            &[("G1", &format!("Battery(volts: {volts}, internal_ohms: 0)")), ("K1", RELAY)],
            &["W1 G1.+ K1.86", "W2 K1.85 G1.-"],
        )
    };
    let mut stand = Stand::new(&relay(5.0));
    assert!(!stand.energised("K1"), "5 V is not enough to pull it in");
    stand.will("flat:G1=8V");
    assert!(stand.energised("K1"));
    stand.all("mend flat:G1=8V");
    assert!(stand.energised("K1"), "5 V is enough to hold it");
    stand.will("flat:G1=2V");
    assert!(!stand.energised("K1"));
    stand.all("mend flat:G1=2V");
    assert!(!stand.energised("K1"));
}

/// Outputs for AB = 00, 01, 10, 11.
fn truth_table(parts: &[(&str, &str)], wires: &[&str], switches: [&[&str]; 2]) -> [bool; 4] {
    [(false, false), (false, true), (true, false), (true, true)].map(|(a, b)| {
        let mut stand = stand(parts, wires);
        for (pressed, tags) in [(a, switches[0]), (b, switches[1])] {
            for tag in tags.iter().filter(|_| pressed) {
                stand.will(&format!("turn:{tag}=on"));
            }
        }
        lit(&stand)
    })
}

fn two_switches(rest: &str, series: bool) -> [bool; 4] {
    let parts = [BATTERY, ("S1", rest), ("S2", rest), LAMP, GROUND];
    let wires: &[&str] = if series {
        &["W1 G1.+ S1.1", "W2 S1.2 S2.1", "W3 S2.2 P1.1", "W4 P1.2 N1.g", "W5 G1.- N1.g"]
    } else {
        &["W1 G1.+ S1.1", "W2 G1.+ S2.1", "W3 S1.2 P1.1", "W6 S2.2 P1.1", "W4 P1.2 N1.g", "W5 G1.- N1.g"]
    };
    truth_table(&parts, wires, [&["S1"], &["S2"]])
}

#[test]
fn rl_06_open_contacts_in_parallel_are_or() {
    assert_eq!(two_switches(OPEN, false), [false, true, true, true]);
}

#[test]
fn rl_06_open_contacts_in_series_are_and() {
    assert_eq!(two_switches(OPEN, true), [false, false, false, true]);
}

#[test]
fn rl_06_closed_contacts_in_parallel_are_nand() {
    assert_eq!(two_switches(CLOSED, false), [true, true, true, false]);
}

#[test]
fn rl_06_closed_contacts_in_series_are_nor() {
    assert_eq!(two_switches(CLOSED, true), [true, false, false, false]);
}

#[test]
fn rl_06_a_closed_contact_is_not() {
    let mut inverter = stand(
        &[BATTERY, ("S1", CLOSED), LAMP, GROUND],
        &["W1 G1.+ S1.1", "W2 S1.2 P1.1", "W3 P1.2 N1.g", "W4 G1.- N1.g"],
    );
    assert!(lit(&inverter));
    inverter.will("turn:S1=on");
    assert!(!lit(&inverter));
}

#[test]
fn rl_06_two_crossed_pairs_are_exclusive_or() {
    let parts = [BATTERY, ("S1", CLOSED), ("S2", OPEN), ("S3", OPEN), ("S4", CLOSED), LAMP, GROUND];
    let wires = [
        "W1 G1.+ S1.1",
        "W2 S1.2 S2.1",
        "W3 S2.2 P1.1",
        "W4 G1.+ S3.1",
        "W5 S3.2 S4.1",
        "W6 S4.2 P1.1",
        "W7 P1.2 N1.g",
        "W8 G1.- N1.g",
    ];
    assert_eq!(truth_table(&parts, &wires, [&["S1", "S3"], &["S2", "S4"]]), [false, true, true, false]);
}

#[test]
fn rl_07_a_break_contact_inverts_the_switch() {
    let mut inverter = stand(
        &[BATTERY, ("S1", OPEN), ("K1", RELAY), LAMP, GROUND],
        &[
            "W1 G1.+ S1.1",
            "W2 S1.2 K1.86",
            "W3 K1.85 N1.g",
            "W4 G1.+ K1.30",
            "W5 K1.87a P1.1",
            "W6 P1.2 N1.g",
            "W7 G1.- N1.g",
        ],
    );
    assert!(lit(&inverter));
    inverter.will("turn:S1=on");
    assert!(!lit(&inverter));
}

/// START in parallel with the relay's own make contact, STOP in series before both.
fn seal_in(momentary: bool) -> Arc<Circuit> {
    let (start, stop) = if momentary {
        ("HandSwitch(rest: Open, momentary: true)", "HandSwitch(rest: Closed, momentary: true)")
    } else {
        (OPEN, CLOSED)
    };
    tiny(
        &[BATTERY, ("S0", "KeySwitch"), ("S1", start), ("S2", stop), ("K1", RELAY), GROUND],
        &[
            "W1 G1.+ S0.30",
            "W2 S0.15 S2.1",
            "W3 S2.2 S1.1",
            "W4 S1.2 K1.86",
            "W5 S2.2 K1.30",
            "W6 K1.87 K1.86",
            "W7 K1.85 N1.g",
            "W8 G1.- N1.g",
        ],
    )
}

#[test]
fn rl_08_and_09_the_seal_in_sequence_of_start_and_stop() {
    let mut stand = Stand::new(&seal_in(false));
    let mut step = |words: &str, on: bool| {
        stand.all(words);
        assert_eq!(stand.energised("K1"), on, "after {words}");
    };
    step("", false);
    step("turn:S1=on", true);
    step("turn:S1=off", true);
    step("turn:S2=on", false);
    step("turn:S2=off", false);
    step("turn:S1=on; turn:S2=on", false);
    step("turn:S1=off; turn:S2=off", false);
    step("turn:S1=on; turn:S1=off", true);
    step("key=off", false);
    step("key=on", false);
}

#[test]
fn rl_08_the_same_with_buttons_that_spring_back() {
    let mut stand = Stand::new(&seal_in(true));
    let mut step = |words: &str, on: bool| {
        stand.will(words);
        assert_eq!(stand.energised("K1"), on, "after {words}");
    };
    step("press:S1", true);
    step("press:S2", false);
    step("press:S2", false);
    step("press:S1", true);
    step("key=off", false);
}

#[test]
fn rl_10_break_contacts_in_each_others_rung_never_let_both_in() {
    let circuit = tiny(
        &[BATTERY, ("S1", OPEN), ("S2", OPEN), ("K1", RELAY), ("K2", RELAY), GROUND],
        &[
            "W1 G1.+ S1.1",
            "W2 S1.2 K2.30",
            "W3 K2.87a K1.86",
            "W4 K1.85 N1.g",
            "W5 G1.+ S2.1",
            "W6 S2.2 K1.30",
            "W7 K1.87a K2.86",
            "W8 K2.85 N1.g",
            "W9 G1.- N1.g",
        ],
    );
    for (first, second) in [("S1", "S2"), ("S2", "S1")] {
        let mut stand = Stand::new(&circuit);
        stand.will(&format!("turn:{first}=on"));
        let wanted = (first == "S1", first == "S2");
        assert_eq!((stand.energised("K1"), stand.energised("K2")), wanted);
        stand.will(&format!("turn:{second}=on"));
        assert_eq!((stand.energised("K1"), stand.energised("K2")), wanted, "the second is locked out");
        stand.will(&format!("turn:{first}=off"));
        assert_eq!((stand.energised("K1"), stand.energised("K2")), (wanted.1, wanted.0));
    }
}

#[test]
fn rl_12_a_grounded_wire_blows_the_fuse_or_lights_the_lamp_by_where_the_switch_is() {
    let mut before = stand(
        &[BATTERY, ("F1", "Fuse(amps: 10)"), ("S1", OPEN), LAMP, GROUND],
        &["W1 G1.+ F1.1", "W2 F1.2 S1.1", "W3 S1.2 P1.1", "W4 P1.2 N1.g", "W5 G1.- N1.g"],
    );
    before.will("ground:S1.2");
    assert!(!lit(&before) && !before.blown("F1"));
    before.will("turn:S1=on");
    assert!(!lit(&before) && before.blown("F1"));

    let mut behind = stand(
        &[BATTERY, ("F1", "Fuse(amps: 10)"), LAMP, ("S1", OPEN), GROUND],
        &["W1 G1.+ F1.1", "W2 F1.2 P1.1", "W3 P1.2 S1.1", "W4 S1.2 N1.g", "W5 G1.- N1.g"],
    );
    assert!(!lit(&behind));
    behind.will("ground:S1.1");
    assert!(lit(&behind) && !behind.blown("F1"));
    behind.all("turn:S1=on; turn:S1=off");
    assert!(lit(&behind), "the switch has no effect");
}

#[test]
fn rl_13_the_fail_safe_styles_drive_the_fan_when_power_is_lost() {
    // The book's cooling-water valve opens when dead; so does the clutch of these two.
    for name in ["series-closed", "spring-applied"] {
        let mut stand = Stand::shipped(name);
        assert_eq!(stand.clutch(), ClutchState::Released);
        stand.will("lift:W1@G1.+");
        assert_eq!(stand.clutch(), ClutchState::Engaged, "{name}");
    }
    let mut other = Stand::shipped("parallel-open");
    other.all("coolant=230F; lift:W1@G1.+");
    assert_eq!(other.clutch(), ClutchState::Released, "contacts open at rest are not fail-safe");
}

#[test]
fn rl_14_a_fuse_on_the_supply_side_leaves_the_load_dead() {
    let parts = [BATTERY, ("F1", "Fuse(amps: 10)"), LAMP, GROUND];
    let mut supply_side = stand(&parts, &["W1 G1.+ F1.1", "W2 F1.2 P1.1", "W3 P1.2 N1.g", "W4 G1.- N1.g"]);
    supply_side.will("blown:F1");
    near(supply_side.volts("P1.1"), 0.0, 1e-9);

    let mut ground_side = stand(&parts, &["W1 G1.+ P1.1", "W2 P1.2 F1.1", "W3 F1.2 N1.g", "W4 G1.- N1.g"]);
    ground_side.will("blown:F1");
    near(ground_side.volts("P1.2"), 12.6, 1e-6);
}
