//! Doubtful things: each is found in a circuit that has it, with a mend, and in none that has not.
//!
//! The sound circuit is the tipper's; every row changes it in one place. What counts as doubtful is common practice,
//! no source.

use fanloom::circuit::check::check;
use fanloom::circuit::diagnostic::Severity;
use fanloom::circuit::format::{read, render};

use super::{COACH, TIPPER};

/// Changes the tipper in one or more places and compares the messages; every finding must point at `at`.
fn doubt(changes: &[(&str, &str)], expected: &[(&str, &str)]) {
    let mut text = TIPPER.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "the tipper has no {from}");
        text = text.replace(from, to);
    }
    let reading = read(&text);
    let shown = render(&text, "tipper.ron", &reading.findings, false);

    let found: Vec<&str> = reading.findings.iter().map(|f| f.message.as_str()).collect();
    let messages: Vec<&str> = expected.iter().map(|(_, message)| *message).collect();
    assert_eq!(found, messages, "\n{shown}");
    for (finding, (at, _)) in reading.findings.iter().zip(expected) {
        assert_eq!(finding.severity, Severity::Doubtful);
        assert!(!finding.mend.is_empty());
        let span = finding.span.clone().expect("a place");
        assert!(text[span.clone()].starts_with(at), "{} points at {}", finding.message, &text[span]);
    }
}

#[test]
fn sound_circuits_give_nothing() {
    for text in [TIPPER, COACH] {
        assert_eq!(check(&read(text).circuit.expect("sound")), []);
    }
}

#[test]
fn a_circuit_without_a_title_is_found() {
    let untitled = TIPPER.replace("title: \"Gravel tipper 12\"", "title: \" \"");
    assert_ne!(untitled, TIPPER);
    let found = check(&read(&untitled).circuit.expect("sound"));
    let messages: Vec<&str> = found.iter().map(|finding| finding.message.as_str()).collect();
    assert_eq!(messages, ["there is no title: sheets, cards and lists have no name for this circuit"]);
}

#[test]
fn parts_and_terminals_without_a_wire_are_found() {
    doubt(
        &[("\"N1\": Ground,", "\"N1\": Ground,\n\"P1\": Lamp(ohms: 48),")],
        &[("\"P1\"", "nothing is wired to `P1`")],
    );
    doubt(
        &[
            (
                "\"W7\"",
                "\"W8\": Wire(from: \"F1.2\", to: \"A1.supply\"),\n\"W9\": Wire(from: \"A1.ground\", to: \"N1.g\"),\n\"W10\": Wire(from: \"A1.out\", to: \"Y1.2\"),\n\"W7\"",
            ),
            ("\"N1\": Ground,", "\"N1\": Ground,\n\"A1\": Module(side: Low, on_when: Not(Fed)),"),
        ],
        &[("\"A1\"", "`A1` acts when its `in` is fed, and nothing is wired to `A1.in`")],
    );
    doubt(
        &[
            (
                "\"W7\"",
                "\"W8\": Wire(from: \"F1.2\", to: \"K1.85\"),\n\"W9\": Wire(from: \"K1.86\", to: \"N1.g\"),\n\"W10\": Wire(from: \"K1.30\", to: \"F1.2\"),\n\"W11\": Wire(from: \"X1.1a\", to: \"F1.2\"),\n\"W7\"",
            ),
            (
                "\"N1\": Ground,",
                "\"N1\": Ground,\n\"K1\": Relay(coil_ohms: 85, pulls_in: 7, drops_out: 2),\n\"X1\": Connector(pins: 2),",
            ),
        ],
        &[
            ("\"K1\"", "neither `K1.87` nor `K1.87a` has a wire: the relay switches nothing"),
            ("\"X1\"", "no wire goes to `X1.1b`"),
        ],
    );
}

#[test]
fn what_is_missing_altogether_is_found() {
    let messages = |text: &str| read(text).findings.iter().map(|f| f.message.clone()).collect::<Vec<_>>();

    assert_eq!(messages("Circuit(format: 1)"), ["there are no parts in this circuit"]);
    let lamps = r#"Circuit(format: 1, title: "Lamps", parts: {"P1": Lamp(ohms: 4), "P2": Lamp(ohms: 4)}, wires: {
        "W1": Wire(from: "P1.1", to: "P2.1"), "W2": Wire(from: "P1.2", to: "P2.2")}, clutch: Clutch(engages: WithAir))"#;
    assert_eq!(
        messages(lamps),
        ["nothing feeds this circuit: it has no battery", "there is a clutch and no air valve to feed it"]
    );
}

#[test]
fn an_unfused_path_names_its_wires_and_the_way_to_the_fuse_is_no_fault() {
    doubt(
        &[(r#""W3": Wire(from: "S1.15", to: "B1.1")"#, r#""W3": Wire(from: "G1.+", to: "B1.1")"#)],
        &[
            ("\"S1\"", "no wire goes to `S1.15`"),
            ("\"W3\"", "unfused path: `W3` feeds `B1.1` from the battery with no fuse on the way"),
        ],
    );
    // Key before fuse, as many vehicles have it.
    doubt(
        &[
            (r#"(from: "G1.+", to: "F1.1""#, r#"(from: "G1.+", to: "S1.30""#),
            (r#"(from: "F1.2", to: "S1.30""#, r#"(from: "S1.15", to: "F1.1""#),
            (r#"(from: "S1.15", to: "B1.1""#, r#"(from: "F1.2", to: "B1.1""#),
        ],
        &[],
    );
}

#[test]
fn a_wire_too_thin_for_its_fuse_is_found_behind_contacts_too_and_not_on_the_ground_side() {
    doubt(
        &[("length: Metre(2.5)", "gauge: Awg(20)"), (r#"to: "N1.g"),"#, r#"to: "N1.g", gauge: Awg(20)),"#)],
        &[("\"W4\"", "`W4`, AWG 20, is too thin for `F1`, a fuse of 10 A: it is good for 7.5 A")],
    );
    doubt(&[("length: Metre(2.5)", "gauge: Awg(18)"), ("1.5", "0.75")], &[]);
}

#[test]
fn a_lost_ground_or_supply_is_found() {
    let lost = r#""X1": Splice, "X2": Splice, "N1": Ground,"#;
    doubt(
        &[
            ("\"N1\": Ground,", lost),
            (r#"(from: "Y1.2", to: "N1.g")"#, r#"(from: "Y1.2", to: "X1.s")"#),
            ("\"X2\": Splice, ", ""),
        ],
        &[("\"Y1\"", "no ground return: the coil of `Y1` has no way back to the battery's `-`")],
    );
    doubt(
        &[
            ("\"N1\": Ground,", lost),
            (r#"(from: "B2.2", to: "Y1.1""#, r#"(from: "X1.s", to: "Y1.1""#),
            ("\"X2\": Splice, ", ""),
        ],
        &[
            ("\"B2\"", "no wire goes to `B2.2`"),
            ("\"Y1\"", "no supply path: the coil of `Y1` cannot be reached from the battery's `+`"),
        ],
    );
    doubt(
        &[
            ("\"N1\": Ground,", lost),
            (r#"(from: "G1.-", to: "N1.g")"#, r#"(from: "G1.-", to: "X1.s")"#),
            ("\"X2\": Splice, ", ""),
        ],
        &[("\"G1\"", "no ground return: the chassis has no wire to `G1.-`")],
    );
    doubt(
        &[(r#"(from: "Y1.2", to: "N1.g")"#, r#"(from: "Y1.2", to: "S1.15")"#)],
        &[("\"Y1\"", "no ground return: the coil of `Y1` has no way back to the battery's `-`")],
    );
}

#[test]
fn two_coils_that_share_a_lost_ground_are_both_found_and_loads_in_series_are_not() {
    let second = "\"X1\": Splice,\n\"K1\": Relay(coil_ohms: 85, pulls_in: 7, drops_out: 2), \"N1\": Ground,";
    let contact = r#""W8": Wire(from: "K1.30", to: "F1.2"), "W9": Wire(from: "K1.87", to: "F1.2"), "W10": Wire(from: "K1.85", to: "F1.2"),"#;
    let to_splice = (r#"(from: "Y1.2", to: "N1.g"),"#, r#"(from: "Y1.2", to: "X1.s"),"#);
    let shared = format!("{contact} \"W11\": Wire(from: \"K1.86\", to: \"X1.s\"), \"W7\"");
    doubt(
        &[("\"N1\": Ground,", second), to_splice, ("\"W7\"", &shared)],
        &[
            ("\"Y1\"", "no ground return: the coil of `Y1` has no way back to the battery's `-`"),
            ("\"K1\"", "no ground return: the coil of `K1` has no way back to the battery's `-`"),
        ],
    );
    let lamp = r#""P1": Lamp(ohms: 48), "N1": Ground,"#;
    doubt(
        &[
            ("\"N1\": Ground,", lamp),
            (r#"(from: "Y1.2", to: "N1.g"),"#, r#"(from: "Y1.2", to: "P1.1"), "W8": Wire(from: "P1.2", to: "N1.g"),"#),
        ],
        &[],
    );
}

#[test]
fn a_diode_across_a_coil_the_wrong_way_round_is_found() {
    doubt(
        &[("cathode: \"1\"", "cathode: \"2\"")],
        &[(
            "\"Y1\"",
            "the diode of `Y1` is the wrong way round: it conducts from supply at `Y1.1` to ground at `Y1.2`",
        )],
    );
    let diode = |anode: &str, cathode: &str| {
        format!(r#""W8": Wire(from: "V1.A", to: "{anode}"), "W9": Wire(from: "V1.K", to: "{cathode}"), "W7""#)
    };
    let part = ("\"N1\": Ground,", "\"V1\": Diode,\n\"N1\": Ground,");
    doubt(&[part, ("\"W7\"", &diode("Y1.2", "Y1.1"))], &[]);
    doubt(
        &[part, ("\"W7\"", &diode("Y1.1", "Y1.2"))],
        &[(
            "\"V1\"",
            "the diode of `V1` is the wrong way round: it conducts from supply at `V1.A` to ground at `V1.K`",
        )],
    );
}

#[test]
fn a_short_is_found_and_its_wires_named() {
    doubt(
        &[("\"W7\"", "\"W8\": Wire(from: \"F1.1\", to: \"N1.g\"),\n\"W7\"")],
        &[("\"G1\"", "`G1` is shorted: `W1`, `W8`, `W7` join its `+` to its `-` with no load between")],
    );
    doubt(
        &[("\"W7\"", "\"W8\": Wire(from: \"F1.2\", to: \"N1.g\"),\n\"W7\"")],
        &[("\"G1\"", "`G1` is shorted: `W1`, `W8`, `W7` join its `+` to its `-` with no load between")],
    );
}

#[test]
fn colours_are_those_of_the_standard() {
    for colour in ["BK", "GNYE", "WH/RD", "BUWH"] {
        doubt(&[("\"WH/RD\"", &format!("\"{colour}\""))], &[]);
    }
    for colour in ["red", "RDX", "RD/", "R", "RD WH"] {
        let message = format!("the colour `{colour}` of `W4` is not one of IEC 60757");
        doubt(&[("\"WH/RD\"", &format!("\"{colour}\""))], &[("\"W4\"", &message)]);
    }
}

// What follows from the bridge is not told beside it: turned round, the diodes before it would block.
#[test]
fn with_a_coil_bridged_nothing_is_said_of_diodes_that_stand_as_they_should() {
    let text = include_str!("../../circuits/diode-isolated.ron");
    let bridged = text.replacen("\"W1\":", "\"W97\": Wire(from: \"Y1.1\", to: \"Y1.2\"),\n\"W1\":", 1);
    let found = check(&read(&bridged).circuit.expect("sound"));
    let messages: Vec<String> = found.iter().map(|finding| finding.message.to_string()).collect();
    assert_eq!(messages, ["the coil of `Y1` is bridged by `W97`: current goes past it"]);
}

// It was called out of reach of supply, and whoever fed it shorted the battery.
#[test]
fn a_coil_with_a_wire_across_it_is_bridged_and_not_unfed() {
    doubt(
        &[("\"W7\"", "\"W9\": Wire(from: \"Y1.1\", to: \"Y1.2\"),\n\"W7\"")],
        &[("\"Y1\"", "the coil of `Y1` is bridged by `W9`: current goes past it")],
    );
}

#[test]
fn a_coil_that_the_battery_cannot_pull_in_and_batteries_that_differ_side_by_side_are_found() {
    doubt(&[("pulls_in: 8", "pulls_in: 20")], &[("\"Y1\"", "`Y1` pulls in at 20 V, and the battery has 12.6 V")]);
    doubt(
        &[("\"N1\": Ground,", "\"N1\": Ground,\n\"G2\": Battery(volts: 24),"), ("\"W7\"", BESIDE)],
        &[(
            "\"G2\"",
            "`G1` and `G2` are side by side and have not the same voltage: current runs from one into the other",
        )],
    );
}

const BESIDE: &str = r#""W8": Wire(from: "G2.+", to: "G1.+"), "W9": Wire(from: "G2.-", to: "G1.-"),
"W7""#;
