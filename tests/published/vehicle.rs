//! Road vehicles: terminal numbers, relays, fuses, colours, voltage drop.
//!
//! Terminal numbers after DIN 72552 as relays are printed by ISO 7588 (contacts read in a relay table citing DIN
//! 72552; the rest from memory); fuses after ISO 8820-3 and SAE J1284 (times from memory, not verified); colours
//! after IEC 60757 (from memory).

use crate::support::{Stand, near, near_relative, shipped, shipped_names, tiny};
use fanloom::circuit::Contact;
use fanloom::circuit::part::{Kind, defaults};
use fanloom::physics::fuse::opening_seconds;
use fanloom::physics::limits::{FUSE_BAND, FUSE_OPENS_AT};

fn relay_stand(relay: &str, wires: &[&str]) -> Stand {
    let parts = [("G1", "Battery(volts: 12.6)"), ("S1", "HandSwitch(rest: Open)"), ("K1", relay), ("N1", "Ground")];
    Stand::new(&tiny(&parts, wires))
}

const RELAY: &str = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)";
const RIGHT_WAY: [&str; 5] = ["W1 G1.+ S1.1", "W2 S1.2 K1.86", "W3 K1.85 N1.g", "W4 G1.+ K1.30", "W5 G1.- N1.g"];
const OTHER_WAY: [&str; 5] = ["W1 G1.+ S1.1", "W2 S1.2 K1.85", "W3 K1.86 N1.g", "W4 G1.+ K1.30", "W5 G1.- N1.g"];

#[test]
fn ve_08_and_09_terminals_of_key_and_relay_carry_their_numbers() {
    let mut key = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12.6)"), ("S1", "KeySwitch"), ("P1", "Lamp(ohms: 48)")],
        &["W1 G1.+ S1.30", "W2 S1.15 P1.1", "W3 P1.2 G1.-"],
    ));
    assert!(key.volts("S1.30") > 12.0 && key.volts("S1.15") > 12.0);
    key.will("key=off");
    near(key.volts("S1.30"), 12.6, 1e-9);
    near(key.volts("S1.15"), 0.0, 1e-9);

    let relay = relay_stand(RELAY, &RIGHT_WAY);
    let id = relay.id("K1");
    let names: Vec<_> =
        relay.bench.circuit().terminals_of(id).map(|t| relay.bench.circuit().terminal(t).name.clone()).collect();
    assert_eq!(names, ["85", "86", "30", "87", "87a"]);
}

#[test]
fn ve_11_relay_truth_table_either_polarity() {
    for wires in [RIGHT_WAY, OTHER_WAY] {
        let mut stand = relay_stand(RELAY, &wires);
        assert_eq!((stand.contact("K1.87a"), stand.contact("K1.87")), (Contact::Closed, Contact::Open));
        near(stand.volts("K1.87a"), 12.6, 1e-6);
        assert_eq!(stand.volts_or_none("K1.87"), None);

        stand.will("turn:S1=on");
        assert!(stand.energised("K1"));
        assert_eq!((stand.contact("K1.87a"), stand.contact("K1.87")), (Contact::Open, Contact::Closed));
        near(stand.volts("K1.87"), stand.volts("K1.30"), 1e-9);
        assert_eq!(stand.volts_or_none("K1.87a"), None);
    }
}

#[test]
fn ve_11_a_relay_with_a_diode_wants_plus_on_86() {
    let relay = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5, suppressor: Diode(cathode: \"86\"))";
    let mut right = relay_stand(relay, &RIGHT_WAY);
    right.will("turn:S1=on");
    assert!(right.energised("K1"));
    near(right.amps("W2"), 12.6 / 90.0, 0.001);

    // The other way round the diode shorts the coil: 0.7 V is left on it and a hundred times the current flows.
    let mut wrong = relay_stand(relay, &OTHER_WAY);
    wrong.will("turn:S1=on");
    assert!(!wrong.energised("K1"));
    assert!(wrong.amps("W2") > 100.0, "{}", wrong.amps("W2"));
}

/// A load that draws so many times the rating of a 10 A fuse from an ideal battery.
fn fused(times: f64) -> Stand {
    let ohms = 12.0 / (10.0 * times) - 0.0075;
    let mut draft = tiny(
        &[
            ("G1", "Battery(volts: 12, internal_ohms: 0)"),
            ("F1", "Fuse(amps: 10)"),
            ("R1", &format!("Resistor(ohms: {ohms})")),
            ("S1", "HandSwitch(rest: Open)"),
        ],
        &["W1 G1.+ F1.1", "W2 F1.2 S1.1", "W3 S1.2 R1.1", "W4 R1.2 G1.-"],
    )
    .draft();
    draft.wires.iter_mut().for_each(|w| w.length = fanloom::circuit::quantity::Length::Metre(0.0));
    if let Kind::HandSwitch(switch) = &mut draft.parts[3].kind {
        switch.contact_ohms = 0.0;
    }
    let mut stand = Stand::new(&std::sync::Arc::new(fanloom::circuit::Circuit::new(draft).expect("as read")));
    stand.will("turn:S1=on");
    stand
}

#[test]
fn ve_06_a_fuse_carries_its_rating_for_good_and_opens_from_135_percent() {
    for times in [0.5, 1.0, 1.1, 1.34] {
        let stand = fused(times);
        assert!(!stand.blown("F1"), "{times}");
        near_relative(stand.amps("W1"), 10.0 * times, 1e-9);
    }
    for times in [1.36, 1.6, 2.0, 3.5, 6.0, 50.0] {
        let stand = fused(times);
        assert!(stand.blown("F1"), "{times}");
        near_relative(stand.bench.opened()[0].amps, 10.0 * times, 1e-9);
    }
}

#[test]
fn ve_06_an_opened_fuse_stays_open_and_holds_the_whole_supply() {
    let mut stand = fused(2.0);
    near(stand.between("F1.1", "F1.2"), 12.0, 1e-9);
    near(stand.amps("W1"), 0.0, 1e-12);

    stand.will("turn:S1=off");
    assert!(stand.blown("F1"), "taking the load away does not mend it");
    assert_eq!(stand.volts_or_none("F1.2"), None);

    stand.will("renew F1");
    assert!(!stand.blown("F1"));
    near(stand.volts("F1.2"), 12.0, 1e-9);

    stand.will("turn:S1=on");
    assert!(stand.blown("F1"), "a new one blows on the same fault");
}

#[test]
fn ve_05_the_opening_times_are_the_tables_and_fall_with_the_current() {
    // ISO 8820-3 type C, from memory: multiple of rating, shortest and longest time in seconds.
    let table = [(1.35, 0.75, 600.0), (1.60, 0.25, 50.0), (2.00, 0.15, 5.0), (3.50, 0.04, 0.5), (6.00, 0.02, 0.1)];
    assert_eq!(FUSE_BAND, table);
    near(FUSE_BAND[0].0, FUSE_OPENS_AT, 0.0);
    for pair in FUSE_BAND.windows(2) {
        assert!(pair[0].1 > pair[1].1 && pair[0].2 > pair[1].2, "{pair:?}");
    }
}

#[test]
fn ve_06_opening_time_meets_every_point_of_the_table_and_falls_between_them() {
    assert_eq!(opening_seconds(1.0), None, "its rating never opens it");
    for (multiple, least, most) in FUSE_BAND {
        let (found_least, found_most) = opening_seconds(multiple).expect("it opens");
        near_relative(found_least, least, 1e-12);
        near_relative(found_most, most, 1e-12);
    }
    let times: Vec<(f64, f64)> =
        (0..=460).map(|step| opening_seconds(1.35 + 0.01 * f64::from(step)).expect("it opens")).collect();
    assert!(times.windows(2).all(|pair| pair[1].0 < pair[0].0 && pair[1].1 < pair[0].1));
}

#[test]
fn ve_06_a_fuse_drops_75_millivolts_at_its_rating() {
    let stand = fused(1.0);
    near(stand.between("F1.1", "F1.2"), defaults::FUSE_VOLTS_AT_RATING, 1e-9);
}

#[test]
fn ve_12_colours_of_shipped_wires_are_iec_60757_letters() {
    const LETTERS: [&str; 14] = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"];
    for name in shipped_names() {
        for wire in shipped(&name).wires() {
            let colour = wire.colour.clone().unwrap_or_default();
            let pairs: Vec<&str> = (0..colour.len()).step_by(2).map(|at| &colour[at..at + 2]).collect();
            assert!(pairs.iter().all(|p| LETTERS.contains(p)), "{name}, {}: `{colour}`", wire.tag);
        }
    }
}

#[test]
fn ve_14_forty_feet_of_awg_16_at_ten_amps_fail_every_rule_of_thumb() {
    // 10 A through a load of 12 V less the drop: the drop is CU-24's 1.606 V, 13.4 % of 12 V.
    let text = crate::support::tiny_text(
        &[("G1", "Battery(volts: 12, internal_ohms: 0)"), ("R1", "Resistor(ohms: 1.0394)")],
        &["W1 G1.+ R1.1", "W2 R1.2 G1.-"],
    );
    let text = text.replace("G1.-\")", "G1.-\", gauge: Awg(16), length: Feet(20))");
    let text = text.replace("R1.1\")", "R1.1\", gauge: Awg(16), length: Feet(20))");
    let mut stand = Stand::new(&crate::support::circuit(&text));
    stand.will("ambient=20C");
    near_relative(stand.amps("W1"), 10.0, 1e-3);
    let drop = 12.0 - stand.between("R1.1", "R1.2");
    near_relative(drop, 1.606, 1e-3);
    near_relative(drop / 12.0, 0.134, 2e-3);
}
