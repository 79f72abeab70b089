//! What `prove` says of single circuits, through the built program: classes, reasons and words.
//!
//! That nothing is missed and nothing wrong is offered is tested elsewhere by brute force; here stand the claims a
//! technician would check by hand. Which act proves which style is common practice, no source.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

use std::io::Write;
use std::process::Command;

use serde_json::Value;

fn run(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn prove(circuit: &str, rest: &[&str]) -> Value {
    let file = format!("circuits/{circuit}.ron");
    serde_json::from_str(&run(&[&["prove", &file, "--json"], rest].concat())).unwrap()
}

/// The class of an answer written so; none where it is not among the answers.
fn class(proof: &Value, side: &str, acts: &[&str]) -> Option<String> {
    answer(proof, side, acts).map(|a| a["class"].as_str().unwrap().to_owned())
}

fn answer<'a>(proof: &'a Value, side: &str, acts: &[&str]) -> Option<&'a Value> {
    proof[side].as_array().unwrap().iter().find(|a| {
        let written: Vec<&str> = a["acts"].as_array().unwrap().iter().map(|w| w.as_str().unwrap()).collect();
        written == acts
    })
}

fn words(answer: &Value) -> String {
    let because = answer["because"].as_array().unwrap().iter();
    because.map(|w| w.as_str().unwrap()).collect::<Vec<_>>().join(" ")
}

fn is_usual(proof: &Value, side: &str, acts: &[&str]) -> bool {
    class(proof, side, acts).as_deref() == Some("usual")
}

#[test]
fn contacts_open_at_rest_are_proved_by_a_lead_across_them_and_released_by_taking_the_call_away() {
    let proof = prove("parallel-open", &[]);
    assert_eq!(proof["at_rest"], "released");
    assert_eq!(proof["release_from"], "B1");
    assert!(is_usual(&proof, "engage", &["jump:B1.1=B1.2"]));
    assert!(is_usual(&proof, "engage", &["turn:S2=on"]));
    assert!(is_usual(&proof, "release", &["unplug:B1"]));
    assert_eq!(class(&proof, "engage", &["unplug:Y1"]), None, "opening a dead circuit engages nothing");
}

#[test]
fn contacts_closed_at_rest_are_proved_by_taking_a_wire_off_and_released_by_a_lead_across_the_open_one() {
    let proof = prove("series-closed", &[]);
    for acts in [["unplug:B1"], ["unplug:Y1"], ["lift:W5@B1.2"]] {
        assert!(is_usual(&proof, "engage", &acts), "{acts:?}");
    }
    assert!(is_usual(&proof, "release", &["jump:B1.1=B1.2"]));
    assert_eq!(class(&proof, "engage", &["jump:B1.1=B1.2"]), None, "the contact is closed already");
}

#[test]
fn the_end_that_hangs_dead_is_offered_and_the_live_one_is_named_beside_it() {
    let proof = prove("series-closed", &[]);
    let lifted = answer(&proof, "engage", &["lift:W4@S2.2"]).unwrap();
    assert!(words(lifted).contains("lift:W4@B1.1 does the same, but leaves its bare end live."), "{}", words(lifted));
    assert_eq!(class(&proof, "engage", &["lift:W4@B1.1"]), None);
}

#[test]
fn a_wire_of_battery_fuse_or_splice_is_no_usual_place_to_prove_at() {
    let proof = prove("series-closed", &[]);
    for acts in [["lift:W1@G1.+"], ["unplug:F1"], ["lift:W8@N1.g"]] {
        assert_eq!(class(&proof, "engage", &acts).as_deref(), Some("workable"), "{acts:?}");
    }
}

#[test]
fn the_false_pass_is_dangerous_and_says_that_it_proves_nothing() {
    // Coach 41's fuse is no larger than the lead's: grounding the fed chain blows it, and the fan comes on.
    let proof = prove("coach-24v", &[]);
    let pass = answer(&proof, "engage", &["jump:B1.1=Y1.2"]).unwrap();
    assert_eq!(pass["class"], "dangerous");
    assert!(words(pass).contains("This proves nothing"), "{}", words(pass));
    let kinds: Vec<&str> = pass["hazards"].as_array().unwrap().iter().map(|h| h["kind"].as_str().unwrap()).collect();
    assert!(kinds.contains(&"supply-shorted") && kinds.contains(&"fuse-would-open"), "{kinds:?}");
}

#[test]
fn what_holds_the_fan_off_while_it_is_called_says_that_a_forgotten_one_cooks_the_engine() {
    let proof = prove("series-closed", &[]);
    let bridge = answer(&proof, "release", &["jump:B1.1=B1.2"]).unwrap();
    assert!(words(bridge).contains("cooks the engine"), "{}", words(bridge));
}

#[test]
fn supply_on_a_modules_output_releases_and_is_dangerous() {
    let proof = prove("module-high-side", &[]);
    assert_eq!(proof["at_rest"], "engaged");
    assert_eq!(proof["engage"].as_array().unwrap().len(), 0);
    assert_eq!(class(&proof, "release", &["jump:S1.15=B1.2"]).as_deref(), Some("dangerous"));
}

#[test]
fn a_relay_is_proved_across_the_contacts_it_would_join_itself() {
    let proof = prove("relay-inverted", &[]);
    assert!(is_usual(&proof, "engage", &["jump:K1.30=K1.87a"]));
    assert_eq!(class(&proof, "engage", &["jump:K1.87=K1.87a"]).as_deref(), Some("workable"));
    assert!(is_usual(&proof, "engage", &["unplug:B1"]));
}

#[test]
fn ground_side_sensors_are_proved_by_taking_their_wire_to_ground() {
    let proof = prove("ground-side", &[]);
    assert!(is_usual(&proof, "engage", &["jump:B1.1=B1.2"]));
    let lead = answer(&proof, "engage", &["jump:B1.1=B1.2"]).unwrap();
    let same: Vec<&str> = lead["same_as"].as_array().unwrap().iter().map(|w| w.as_str().unwrap()).collect();
    assert!(same.iter().any(|w| w.contains(".g")), "a lead from the sensor's wire to ground is the same: {same:?}");
}

#[test]
fn reasons_name_what_was_done_the_volts_the_way_and_the_pressure() {
    let proof = prove("parallel-open", &[]);
    let said = words(answer(&proof, "engage", &["jump:B1.1=B1.2"]).unwrap());
    for telling in ["Bridging B1 raises Y1's coil from 0.00 V to 12.5", "pull-in", "runs through", "105 psi", "90 psi"]
    {
        assert!(said.contains(telling), "`{telling}` is missing in: {said}");
    }
}

#[test]
fn of_a_current_that_divides_the_shares_are_said_and_add_up() {
    let file = "circuits/parallel-open.ron";
    let said = run(&["verdict", file, "--set", "coolant=225F", "--do", "jump:B1.1=B1.2"]);
    let line = said.split("It divides: ").nth(1).expect("two ways around B1 divide the current");
    let percents: Vec<f64> = line
        .lines()
        .next()
        .unwrap()
        .split(" %")
        .filter_map(|piece| piece.split_whitespace().last()?.parse().ok())
        .collect();
    assert_eq!(percents.len(), 2, "{line}");
    assert!((percents.iter().sum::<f64>() - 100.0).abs() <= 1.0, "{percents:?}");
    // The contact's 5 milliohms take more than the lead's 20.
    let contact_share = 100.0 * 0.020 / (0.020 + 0.005);
    assert!((percents[0].max(percents[1]) - contact_share).abs() <= 1.0, "{percents:?}");
}

#[test]
fn an_undivided_current_is_not_said_to_divide() {
    let said = run(&["verdict", "circuits/series-closed.ron"]);
    assert!(said.contains("runs through") && !said.contains("It divides"), "{said}");
}

#[test]
fn the_text_lists_the_usual_acts_first_with_coil_and_gauge_and_closes_with_safety() {
    let said = run(&["prove", "circuits/series-closed.ron"]);
    let place = |words: &str| said.find(words).unwrap_or_else(|| panic!("`{words}` is missing in:\n{said}"));
    assert!(place("To engage") < place("usual"));
    assert!(place("usual") < place("workable"));
    assert!(place("To release, with B1 made to act") > place("workable"));
    assert!(place("unplug:B1") > 0 && said.contains("coil 0.00 V, clutch 105 psi"));
    assert!(place("Safety") > place("tried."));
}

#[test]
fn a_circuit_without_an_air_valve_has_nothing_to_prove_and_says_so() {
    let mut file = tempfile::NamedTempFile::with_suffix(".ron").unwrap();
    file.write_all(
        br#"Circuit(format: 1, title: "Lamp", parts: {
        "G1": Battery(volts: 12.6), "F1": Fuse(amps: 5), "P1": Lamp(ohms: 48), "N1": Ground,
    }, wires: {
        "W1": Wire(from: "G1.+", to: "F1.1"), "W2": Wire(from: "F1.2", to: "P1.1"),
        "W3": Wire(from: "P1.2", to: "N1.g"), "W4": Wire(from: "G1.-", to: "N1.g"),
    })"#,
    )
    .unwrap();
    let path = file.path().to_str().unwrap();
    let proof: Value = serde_json::from_str(&run(&["prove", path, "--json"])).unwrap();
    assert_eq!(proof["at_rest"], "none");
    assert_eq!(proof["engage"].as_array().unwrap().len() + proof["release"].as_array().unwrap().len(), 0);
    assert!(run(&["prove", path]).contains("no air valve"), "{}", run(&["prove", path]));
}

#[test]
fn a_verdict_says_what_the_acts_changed_from_cause_to_effect() {
    let said = run(&["verdict", "circuits/parallel-open.ron", "--do", "jump:B1.1=B1.2"]);
    let did = said.split("What the acts did").nth(1).expect("a section on the acts");
    let did: String = did.split("Because").next().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    let order =
        ["Bridging B1 raises Y1's coil from 0.00 V", "Y1 passes air", "at or above 90 psi", "The clutch engages"];
    let places: Vec<Option<usize>> = order.iter().map(|words| did.find(words)).collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{did}");

    let untouched = run(&["verdict", "circuits/parallel-open.ron"]);
    assert!(!untouched.contains("What the acts did"));
}

#[test]
fn a_plug_taken_off_in_the_middle_of_a_chain_is_named_as_what_breaks_it() {
    // Both its sides are cut by the one plug; once the reason listed "any one of" nothing.
    let said = run(&["verdict", "circuits/series-closed.ron", "--do", "unplug:B1"]);
    assert!(said.contains("B1 is unplugged.") && !said.contains("Any one of"), "{said}");
}

/// A shipped circuit with so many lamps beside it, each with its fuse and ground, at the battery.
fn with_lamps(circuit: &str, lamps: usize) -> tempfile::NamedTempFile {
    let text = std::fs::read_to_string(format!("{}/circuits/{circuit}.ron", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let (mut parts, mut wires) = (String::new(), String::new());
    for n in 900..900 + lamps {
        parts += &format!("\"F{n}\": Fuse(amps: 5), \"P{n}\": Lamp(ohms: 24), \"N{n}\": Ground,\n");
        wires += &format!("\"W{n}a\": Wire(from: \"G1.+\", to: \"F{n}.1\"), \"W{n}b\": Wire(from: \"F{n}.2\", ");
        wires += &format!("to: \"P{n}.1\"), \"W{n}c\": Wire(from: \"P{n}.2\", to: \"N{n}.g\"),\n");
    }
    let text = text.replacen("parts: {", &format!("parts: {{\n{parts}"), 1);
    let text = text.replacen("wires: {", &format!("wires: {{\n{wires}"), 1);
    let mut file = tempfile::Builder::new().suffix(".ron").tempfile().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    file
}

#[test]
fn in_a_large_circuit_acts_are_tried_where_the_clutch_hangs_and_none_that_the_trade_does_is_missed() {
    for name in ["parallel-open", "series-closed", "relay-inverted", "ground-side", "module-high-side"] {
        let small = prove(name, &[]);
        assert!(small.get("at").is_none(), "{name}: a shipped circuit is tried everywhere");
        let large = with_lamps(name, 60);

        let proof: Value = serde_json::from_str(&run(&["prove", large.path().to_str().unwrap(), "--json"])).unwrap();

        let at: Vec<&str> = proof["at"].as_array().unwrap().iter().map(|tag| tag.as_str().unwrap()).collect();
        assert!(!at.contains(&"P930") && !at.contains(&"F930"), "{name}: {at:?}");
        assert!(proof.get("pairs_left").is_none(), "{name}");
        for side in ["engage", "release"] {
            let usual = |proof: &Value| -> Vec<Vec<String>> {
                let all = proof[side].as_array().unwrap().iter();
                let usual = all.filter(|answer| answer["class"] == "usual");
                let acts = |answer: &Value| {
                    answer["acts"].as_array().unwrap().iter().map(|act| act.as_str().unwrap().to_owned()).collect()
                };
                usual.map(acts).collect()
            };
            assert_eq!(usual(&small), usual(&proof), "{name}, {side}");
        }
    }
}

#[test]
fn acts_are_tried_at_the_parts_and_wires_that_are_named_and_nowhere_else() {
    let proof = prove("parallel-open", &["--at", "B1,W5"]);
    assert_eq!(proof["at"], serde_json::json!(["B1"]));
    assert!(is_usual(&proof, "engage", &["jump:B1.1=B1.2"]));
    assert_eq!(class(&proof, "engage", &["turn:S2=on"]), None);

    let output = Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(["prove", "circuits/parallel-open.ron", "--at", "B1,B99"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("there is no part and no wire `B99`"), "{message}");
    assert!(message.contains("help: "), "{message}");
}

#[test]
fn where_even_the_clutchs_own_parts_make_too_many_pairs_single_acts_are_tried_and_that_is_said() {
    // Sixty sensors in parallel, the clutch hangs on each.
    let (mut parts, mut wires) = (String::new(), String::new());
    for n in 1..=60 {
        parts += &format!(
            "\"B{n}\": TemperatureSwitch(rest: Open, senses: Coolant, acts_at: Fahrenheit(205), resets_at: Fahrenheit(190)),\n\"F{n}\": Fuse(amps: 5),\n"
        );
        wires += &format!(
            "\"W{n}a\": Wire(from: \"G1.+\", to: \"F{n}.1\"), \"W{n}b\": Wire(from: \"F{n}.2\", to: \"B{n}.1\"), \"W{n}c\": Wire(from: \"B{n}.2\", to: \"Y1.1\"),\n"
        );
    }
    let text = format!(
        "Circuit(format: 1, title: \"Many\", parts: {{ \"G1\": Battery(volts: 12.6), \"N1\": Ground, \"Y1\": AirValve(coil_ohms: 40, pulls_in: 8, drops_out: 2.5, rest: Blocking),\n{parts} }}, wires: {{ \"W0\": Wire(from: \"G1.-\", to: \"N1.g\"), \"W00\": Wire(from: \"Y1.2\", to: \"N1.g\"),\n{wires} }}, air: Air(), clutch: Clutch(engages: WithAir))"
    );
    let mut file = tempfile::Builder::new().suffix(".ron").tempfile().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    let path = file.path().to_str().unwrap();

    let proof: Value = serde_json::from_str(&run(&["prove", path, "--json"])).unwrap();

    assert!(proof["pairs_left"].as_u64().unwrap() > 2_000_000);
    assert!(is_usual(&proof, "engage", &["jump:B1.1=B1.2"]));
    assert!(run(&["prove", path]).contains("Single acts only: "));
}
