//! Circuits that never rest, or that take long to: each ends quickly, and says by name how.
//!
//! Example circuits made for the purpose. How long they take is held by the tests' own patience: a test binary that
//! hangs fails.

use std::fmt::Write;

use crate::support::harness::harness_text;
use crate::support::{Stand, circuit, tiny};
use fanloom::circuit::Contact;
use fanloom::physics::state::Settling;

fn tags(stand: &Stand, settling: &Settling) -> Vec<String> {
    let parts = match settling {
        Settling::Settled => return Vec::new(),
        Settling::Chattering { parts, .. } | Settling::GaveUp { parts } => parts,
    };
    parts.iter().map(|id| stand.bench.circuit().part(*id).tag.clone()).collect()
}

const RELAY: &str = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)";

#[test]
fn a_relay_that_breaks_its_own_coil_chatters_and_is_named() {
    let buzzer = tiny(
        &[("G1", "Battery(volts: 12.6)"), ("K1", RELAY), ("K2", RELAY), ("N1", "Ground")],
        &["W1 G1.+ K1.30", "W2 K1.87a K1.86", "W3 K1.85 N1.g", "W4 G1.- N1.g", "W5 G1.+ K2.86", "W6 K2.85 N1.g"],
    );
    let stand = Stand::new(&buzzer);

    assert!(matches!(stand.bench.outcome().settling, Settling::Chattering { period: 2, .. }));
    assert_eq!(tags(&stand, &stand.bench.outcome().settling), ["K1"]);
}

#[test]
fn rings_of_break_contacts_rest_when_even_and_chatter_when_odd() {
    for count in 1..=9 {
        let mut parts =
            vec![("G1".to_owned(), "Battery(volts: 12.6)".to_owned()), ("N1".to_owned(), "Ground".to_owned())];
        let mut wires = vec!["W0 G1.- N1.g".to_owned()];
        for n in 1..=count {
            parts.push((format!("K{n}"), RELAY.to_owned()));
            let next = n % count + 1;
            wires.push(format!("W{n}1 G1.+ K{n}.30"));
            wires.push(format!("W{n}2 K{n}.87a K{next}.86"));
            wires.push(format!("W{n}3 K{n}.85 N1.g"));
        }
        let parts: Vec<(&str, &str)> = parts.iter().map(|(t, k)| (t.as_str(), k.as_str())).collect();
        let wires: Vec<&str> = wires.iter().map(String::as_str).collect();
        let stand = Stand::new(&tiny(&parts, &wires));
        let settling = &stand.bench.outcome().settling;

        if count % 2 == 1 {
            assert!(matches!(settling, Settling::Chattering { .. }), "{count}: {settling:?}");
            assert_eq!(tags(&stand, settling).len(), count);
        } else {
            // All move at once from the start, so an even ring flutters too unless one of them is quicker.
            assert!(!matches!(settling, Settling::GaveUp { .. }), "{count}: {settling:?}");
        }
    }
}

/// A switch, and so many relays each of which pulls in the next.
fn relay_chain(count: usize) -> Stand {
    let mut parts = String::from("\"G1\": Battery(volts: 12.6), \"S1\": HandSwitch(rest: Open), \"N1\": Ground,");
    let mut wires =
        String::from("\"W1\": Wire(from: \"G1.-\", to: \"N1.g\"), \"W2\": Wire(from: \"G1.+\", to: \"S1.1\"),");
    for n in 1..=count {
        let before = if n == 1 { "S1.2".to_owned() } else { format!("K{}.87", n - 1) };
        write!(parts, "\"K{n}\": Relay(coil_ohms: 3000, pulls_in: 7.2, drops_out: 2.5),")
            .and(write!(wires, "\"W{n}a\": Wire(from: \"G1.+\", to: \"K{n}.30\"),"))
            .and(write!(wires, "\"W{n}b\": Wire(from: \"K{n}.85\", to: \"N1.g\"),"))
            .and(write!(wires, "\"W{n}c\": Wire(from: \"{before}\", to: \"K{n}.86\"),"))
            .expect("writing to a string");
    }
    Stand::new(&circuit(&format!("Circuit(format: 1, title: \"chain\", parts: {{{parts}}}, wires: {{{wires}}})")))
}

#[test]
fn three_hundred_relays_that_wait_for_one_another_all_pull_in() {
    let mut stand = relay_chain(300);
    assert!(!stand.energised("K1"));

    stand.will("turn:S1=on");
    assert_eq!(stand.bench.outcome().settling, Settling::Settled);
    assert!(stand.energised("K300"));

    stand.will("turn:S1=off");
    assert_eq!(stand.bench.outcome().settling, Settling::Settled);
    assert!(!stand.energised("K300"));
}

#[test]
#[ignore = "rounds end at 600, so a chain of 1000 gives up after seconds though it would come to rest"]
fn a_thousand_relays_that_wait_for_one_another_all_pull_in() {
    let mut stand = relay_chain(1000);

    stand.will("turn:S1=on");

    assert_eq!(stand.bench.outcome().settling, Settling::Settled);
    assert!(stand.energised("K1000"));
}

#[test]
fn a_module_that_feeds_its_own_input_inverted_chatters_and_is_named() {
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("R1", "Resistor(ohms: 1000)"),
        ("A1", "Module(side: Low, on_when: Fed)"),
        ("N1", "Ground"),
    ];
    let wires =
        ["W1 G1.+ A1.supply", "W2 A1.ground N1.g", "W3 G1.+ R1.1", "W4 R1.2 A1.out", "W5 A1.out A1.in", "W6 G1.- N1.g"];
    let stand = Stand::new(&tiny(&parts, &wires));

    assert!(matches!(stand.bench.outcome().settling, Settling::Chattering { period: 2, .. }));
    assert_eq!(tags(&stand, &stand.bench.outcome().settling), ["A1"]);
}

#[test]
fn an_act_after_chattering_settles_again() {
    let mut stand = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12.6)"), ("K1", RELAY), ("N1", "Ground")],
        &["W1 G1.+ K1.30", "W2 K1.87a K1.86", "W3 K1.85 N1.g", "W4 G1.- N1.g"],
    ));
    assert!(!stand.bench.outcome().settled());

    stand.will("lift:W2@K1.86");

    assert!(stand.bench.outcome().settled());
    assert!(!stand.energised("K1"));
    assert_eq!(stand.contact("K1.87a"), Contact::Closed);
}

#[test]
fn without_a_battery_everything_floats_and_rests() {
    let parts = [("S1", "KeySwitch"), ("K1", RELAY), ("V1", "Diode()"), ("N1", "Ground")];
    let stand = Stand::new(&tiny(&parts, &["W1 S1.30 K1.86", "W2 K1.85 V1.A", "W3 V1.K N1.g"]));

    assert!(stand.bench.outcome().settled());
    assert!(stand.bench.outcome().volts.iter().all(Option::is_none));
    assert!(stand.bench.outcome().wire_amps.iter().all(|amps| *amps == 0.0));
}

#[test]
fn two_batteries_in_series_and_in_parallel_settle() {
    let series = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12.6)"), ("G2", "Battery(volts: 12.6)"), ("P1", "Lamp(ohms: 48)")],
        &["W1 G1.+ G2.-", "W2 G2.+ P1.1", "W3 P1.2 G1.-"],
    ));
    assert!((series.volts("G2.+") - 25.2).abs() < 0.05);

    let parallel = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12.6)"), ("G2", "Battery(volts: 12.2)"), ("P1", "Lamp(ohms: 48)")],
        &["W1 G1.+ G2.+", "W2 G1.- G2.-", "W3 G2.+ P1.1", "W4 P1.2 G1.-"],
    ));
    assert!(parallel.bench.outcome().settled());
    assert!(parallel.through("G1") > 0.0 && parallel.amps("W1") > 1.0, "the fuller one charges the other");

    let apart = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12.6)"), ("G2", "Battery(volts: 12.6)"), ("P1", "Lamp(ohms: 48)")],
        &["W1 G2.+ P1.1", "W2 P1.2 G2.-"],
    ));
    assert_eq!(apart.volts_or_none("P1.1"), None, "a circuit of its own has no voltage against G1");
    assert!(apart.amps("W1") > 0.2, "but its current");
}

#[test]
fn ideal_sources_against_each_other_give_finite_numbers() {
    let stand = Stand::new(&tiny(
        &[
            ("G1", "Battery(volts: 12, internal_ohms: 0)"),
            ("G2", "Battery(volts: 6, internal_ohms: 0)"),
            ("X1", "Splice"),
        ],
        &["W1 G1.+ X1.s", "W2 X1.s G2.+", "W3 G1.- G2.-"],
    ));
    assert!(stand.bench.outcome().wire_amps.iter().all(|amps| amps.is_finite()));
}

#[test]
fn everything_unplugged_rests_and_nothing_flows() {
    for name in crate::support::shipped_names() {
        let mut stand = Stand::shipped(&name);
        let tags: Vec<String> = stand.bench.circuit().parts().iter().map(|p| p.tag.clone()).collect();
        for tag in tags {
            // Splices do not come apart.
            if let Ok(action) = crate::support::action(&format!("unplug:{tag}")) {
                let _ = stand.bench.apply(action);
            }
        }
        assert!(stand.bench.outcome().settled(), "{name}");
        assert!(stand.bench.outcome().wire_amps.iter().all(|amps| amps.abs() < 1e-9), "{name}");
    }
}

#[test]
fn a_battery_shorted_by_a_bare_lead_rests_with_a_finite_current() {
    let mut stand = Stand::shipped("series-closed");

    stand.will("jump:G1.+=G1.-/none");

    let amps = *stand.bench.outcome().lead_amps.values().next().expect("the lead");
    // 12.6 V through the battery's 0.01 and the lead's 0.02 ohm, less a little through the coil.
    assert!((amps - 420.0).abs() < 1.0, "{amps}");
}

#[test]
fn a_harness_of_two_thousand_parts_settles_within_patience() {
    let harness = circuit(&harness_text(2000));
    let mut stand = Stand::new(&harness);
    assert!(stand.bench.outcome().settled(), "{:?}", stand.bench.outcome().settling);
    assert!(!stand.any_fuse_open());
    assert!(stand.volts("F300.2") > 20.0, "the rail sags to {} V", stand.volts("F300.2"));

    stand.will("coolant=230F");
    assert!(stand.bench.outcome().settled());
}
