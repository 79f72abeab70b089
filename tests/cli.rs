//! The command line through the built program: answers, exit codes, and what every wrong question is told.
//!
//! Each test runs the real binary in a folder of its own. Messages are compared in their telling parts, results as
//! parsed JSON.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

fn fanloom(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(ROOT)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// The answer in JSON to a question that must be answerable.
#[track_caller]
fn json(args: &[&str]) -> Value {
    let output = fanloom(args);
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", err(&output));
    serde_json::from_str(&out(&output)).unwrap()
}

/// A question that must be refused with exit 1, nothing on standard output, and all of `tells` in the message.
#[track_caller]
fn refused(args: &[&str], tells: &[&str]) {
    let output = fanloom(args);
    let message = err(&output);
    assert_eq!(output.status.code(), Some(1), "{args:?}: {message}");
    assert_eq!(out(&output), "", "{args:?}");
    for tell in tells {
        assert!(message.contains(tell), "{args:?} should say `{tell}`, said:\n{message}");
    }
}

fn verdict(circuit: &str, rest: &[&str]) -> Value {
    let file = format!("circuits/{circuit}.ron");
    json(&[&["verdict", &file, "--json"], rest].concat())
}

#[test]
fn a_verdict_in_json_has_every_field_of_the_contract() {
    let answer = verdict("parallel-open", &["--set", "coolant=230F"]);
    let fields: Vec<&String> = answer.as_object().unwrap().keys().collect();
    let contract = [
        "title",
        "clutch",
        "settled",
        "valves",
        "terminals",
        "wires",
        "contacts",
        "fuses",
        "hazards",
        "because",
        "changed",
    ];
    assert_eq!(fields, contract);
    assert_eq!(answer["clutch"]["state"], "engaged");
    assert_eq!(answer["settled"], true);
    assert_eq!(answer["valves"]["Y1"]["energised"], true);
    assert_eq!(answer["valves"]["Y1"]["passing"], true);
    assert!(answer["valves"]["Y1"]["coil_volts"].as_f64().unwrap() > 12.4);
    assert_eq!(answer["contacts"]["B1"], "closed");
    assert_eq!(answer["fuses"]["F1"]["state"], "good");
    assert_eq!(answer["clutch"]["chamber_psi"].as_f64().unwrap().round(), 105.0);
}

#[test]
fn a_floating_terminal_is_null_and_a_fed_one_a_number() {
    let answer = verdict("series-closed", &["--set", "coolant=230F", "--do", "lift:W7@N1.g"]);
    assert!(answer["terminals"]["B1.1"].as_f64().unwrap() > 12.5);
    assert_eq!(answer["terminals"]["Y1.1"], Value::Null);
    assert_eq!(answer["terminals"]["Y1.2"], Value::Null);
}

#[test]
fn a_wires_amps_are_positive_from_its_first_end() {
    let answer = verdict("series-closed", &[]);
    let amps = |wire: &str| answer["wires"][wire].as_f64().unwrap();
    assert!(amps("W6") > 0.4 && amps("W7") > 0.4, "toward the coil and on to ground");
    assert!(amps("W8") < -0.4, "written from battery minus to ground, so the current comes back against it");
}

#[test]
fn relay_contacts_are_named_by_their_terminals() {
    let answer = verdict("refrigerant-relay", &["--set", "refrigerant=320psi"]);
    assert_eq!(answer["contacts"]["K1.87"], "closed");
    assert_eq!(answer["contacts"]["K1.87a"], "open");
    assert_eq!(answer["clutch"]["state"], "engaged");
}

#[test]
fn a_fuse_that_would_open_is_shown_opened_with_its_hazard() {
    let answer = verdict("series-closed", &["--do", "jump:B1.1=N1.g/none"]);
    assert_eq!(answer["fuses"]["F1"]["state"], "blown");
    assert_eq!(answer["fuses"]["F1"]["amps"], 0.0);
    assert_eq!(answer["clutch"]["state"], "engaged", "a blown fuse drops a closed-at-rest circuit's coil");
    let hazards = answer["hazards"].as_array().unwrap();
    let kinds: Vec<&str> = hazards.iter().map(|h| h["kind"].as_str().unwrap()).collect();
    assert!(kinds.contains(&"supply-shorted") && kinds.contains(&"fuse-would-open"), "{kinds:?}");
    let fuse = hazards.iter().find(|h| h["kind"] == "fuse-would-open").unwrap();
    assert_eq!((fuse["level"].as_str(), fuse["at"].as_str()), (Some("danger"), Some("F1")));
}

#[test]
fn changed_lists_acts_in_full_and_leaves_out_what_was_turned_back() {
    let acts = ["--do", "turn:S2=on", "--do", "jump:B1.1=B1.2", "--do", "turn:S2=off", "--do", "unplug:B2"];
    let answer = verdict("parallel-open", &acts);
    assert_eq!(answer["changed"], serde_json::json!(["jump:B1.1=B1.2/5A", "unplug:B2"]));
}

#[test]
fn acts_count_in_order_because_a_relay_remembers() {
    assert_eq!(verdict("seal-in", &["--do", "press:S2"])["clutch"]["state"], "engaged");
    let released = verdict("seal-in", &["--do", "press:S2", "--do", "press:S3"]);
    assert_eq!(released["clutch"]["state"], "released");
    let engaged = verdict("seal-in", &["--do", "press:S3", "--do", "press:S2"]);
    assert_eq!(engaged["clutch"]["state"], "engaged");
}

#[test]
fn a_condition_said_twice_passes_through_both_values() {
    let once = verdict("parallel-open", &["--set", "coolant=200F"]);
    assert_eq!(once["contacts"]["B1"], "open", "200 °F from cold is not yet at the set point");
    let fallen = verdict("parallel-open", &["--set", "coolant=230F", "--set", "coolant=200F"]);
    assert_eq!(fallen["contacts"]["B1"], "closed", "200 °F from above is not yet at the reset point");
}

#[test]
fn without_an_air_valve_the_clutch_state_is_none() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("lamp.ron");
    let text = r#"Circuit(
        format: 1, title: "Lamp alone", notes: "",
        parts: { "G1": Battery(volts: 12), "F1": Fuse(amps: 5), "P1": Lamp(ohms: 48) },
        wires: {
            "W1": Wire(from: "G1.+", to: "F1.1"),
            "W2": Wire(from: "F1.2", to: "P1.1"),
            "W3": Wire(from: "P1.2", to: "G1.-"),
        },
    )"#;
    std::fs::write(&file, text).unwrap();
    let answer = json(&["verdict", file.to_str().unwrap(), "--json"]);
    assert_eq!(answer["clutch"], serde_json::json!({"state": "none", "chamber_psi": null, "torque_margin": null}));
    assert!((answer["wires"]["W2"].as_f64().unwrap() - 0.25).abs() < 0.002);
}

#[test]
fn a_buzzing_relay_is_an_answer_and_not_an_error() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("buzzer.ron");
    let text = r#"Circuit(
        format: 1, title: "Buzzer", notes: "",
        parts: {
            "G1": Battery(volts: 12.6), "F1": Fuse(amps: 5),
            "K1": Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5),
            "Y1": AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking),
        },
        wires: {
            "W1": Wire(from: "G1.+", to: "F1.1"), "W2": Wire(from: "F1.2", to: "K1.30"),
            "W3": Wire(from: "K1.87a", to: "K1.86"), "W4": Wire(from: "K1.85", to: "G1.-"),
            "W5": Wire(from: "K1.87", to: "Y1.1"), "W6": Wire(from: "Y1.2", to: "G1.-"),
        },
        clutch: Clutch(engages: WithAir),
    )"#;
    std::fs::write(&file, text).unwrap();
    let answer = json(&["verdict", file.to_str().unwrap(), "--json"]);
    assert_eq!(answer["settled"], false);
    assert_eq!(answer["clutch"]["state"], "unsettled");
    let because = answer["because"][0].as_str().unwrap();
    assert!(because.contains("K1") && because.contains("chattering"), "{because}");
}

#[test]
fn the_text_has_the_five_links_a_line_each_with_hazards_before_reasons() {
    let output = fanloom(&["verdict", "circuits/parallel-open.ron", "--do", "jump:B1.1=B1.2"]);
    let text = out(&output);
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no `{words}` in\n{text}"));
    let order = [
        "Salt spreader 3",
        "Call ",
        "Circuit ",
        "Valve ",
        "Air ",
        "Clutch ",
        "Hazards",
        "Because",
        "Changed",
        "Safety",
    ];
    let places: Vec<usize> = order.iter().map(|w| at(w)).collect();
    assert!(places.is_sorted(), "{places:?} in\n{text}");
    assert!(text.contains("maker's procedure"), "{text}");
}

#[test]
fn check_answers_for_every_shipped_circuit_in_the_order_named() {
    let answer = json(&["check", "circuits/seal-in.ron", "circuits/coach-24v.ron", "--json"]);
    let files: Vec<&str> = answer["files"].as_array().unwrap().iter().map(|f| f["file"].as_str().unwrap()).collect();
    assert_eq!(files, ["circuits/seal-in.ron", "circuits/coach-24v.ron"]);
    assert!(
        answer["files"].as_array().unwrap().iter().all(|f| f["sound"] == true && f["findings"] == Value::Array(vec![]))
    );
}

#[test]
fn check_gives_every_error_its_line_column_and_mend_and_exits_1() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("broken.ron");
    let text = "Circuit(\n    format: 1,\n    title: \"Broken\",\n    notes: \"\",\n    parts: {\n        \"F1\": Fusse(amps: 10),\n        \"F2\": Fuse(amps: -1),\n    },\n    wires: {},\n)\n";
    std::fs::write(&file, text).unwrap();
    let output = fanloom(&["check", file.to_str().unwrap(), "--json"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(err(&output), "", "JSON is the whole answer");
    let answer: Value = serde_json::from_str(&out(&output)).unwrap();
    let findings = answer["files"][0]["findings"].as_array().unwrap();
    let errors: Vec<_> = findings.iter().filter(|f| f["severity"] == "error").collect();
    assert_eq!(errors.len(), 2, "{findings:#?}");
    assert_eq!((errors[0]["line"].as_u64(), errors[1]["line"].as_u64()), (Some(6), Some(7)));
    assert!(errors[0]["mend"].as_str().unwrap().contains("Fuse"), "{}", errors[0]);
}

#[test]
fn doubtful_things_alone_leave_the_exit_code_at_0() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("doubtful.ron");
    let sound = std::fs::read_to_string(Path::new(ROOT).join("circuits/series-closed.ron")).unwrap();
    std::fs::write(&file, sound.replace("gauge: Awg(16), length: Feet(7)", "gauge: Awg(26), length: Feet(7)")).unwrap();
    let output = fanloom(&["check", file.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("doubtful") && out(&output).contains("W6"), "{}", out(&output));
}

#[test]
fn one_unreadable_file_does_not_keep_the_others_from_their_answer() {
    let output = fanloom(&["check", "circuits/none.ron", "circuits/seal-in.ron"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("there is no file `circuits/none.ron`"));
    assert!(out(&output).contains("circuits/seal-in.ron (Line painter 8): sound"), "{}", out(&output));
}

#[test]
fn without_a_display_it_says_so_and_gives_a_verdict_instead() {
    let output = fanloom(&[]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(err(&output).contains("no window"), "{}", err(&output));
    assert!(out(&output).starts_with("Gravel tipper 12: "), "{}", out(&output));
}

#[test]
fn a_file_alone_is_opened_and_without_a_display_gets_its_verdict() {
    let output = fanloom(&["circuits/coach-24v.ron"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    for tell in ["no window", "help: ", "circuits/coach-24v.ron"] {
        assert!(err(&output).contains(tell), "{}", err(&output));
    }
    assert!(out(&output).starts_with("Coach 41: "), "{}", out(&output));
}

#[test]
fn a_file_alone_that_is_no_sound_circuit_is_told_where_and_how_to_mend_it() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("broken.ron");
    std::fs::write(&file, "Circuit(\n    format: 1,\n    titel: \"x\",\n    parts: {},\n    wires: {},\n)\n").unwrap();
    refused(&[file.to_str().unwrap()], &["broken.ron:3", "title"]);
}

#[test]
fn a_subcommand_comes_before_a_file_of_its_name_which_a_path_still_opens() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::copy(Path::new(ROOT).join("circuits/coach-24v.ron"), dir.path().join("check")).unwrap();
    let run = |word: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fanloom"));
        command.arg(word).current_dir(dir.path()).env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
        command.output().unwrap()
    };
    assert_eq!(run("check").status.code(), Some(2), "`check` wants to know of which file");
    assert!(out(&run("./check")).starts_with("Coach 41: "));
}

#[test]
fn a_word_that_is_no_file_and_no_subcommand_is_refused_with_the_nearest() {
    let output = fanloom(&["verdikt"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("'verdikt'") && err(&output).contains("'verdict'"), "{}", err(&output));
    let tips: [(&[&str], &str); 4] = [
        (&["circuits"], "is a folder: name a circuit file in it"),
        (&["none.ron"], "there is no file `none.ron`: check the path"),
        (&["circuits/none"], "there is no file `circuits/none`: check the path"),
        (&["circuits/seal-in.ron", "--json"], "say first what is asked of it"),
    ];
    for (args, tip) in tips {
        let output = fanloom(args);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{args:?}");
        assert!(err(&output).contains(tip), "{args:?} should say `{tip}`, said:\n{}", err(&output));
    }
}

#[test]
fn a_command_line_that_makes_no_sense_exits_2() {
    for args in
        [&["verdict"][..], &["check"], &["verdikt", "x.ron"], &["verdict", "x.ron", "--frob"], &["verdict", "a", "b"]]
    {
        let output = fanloom(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert_eq!(out(&output), "", "{args:?}");
        assert!(!err(&output).is_empty(), "{args:?}");
    }
}

#[test]
fn help_and_version_are_answers() {
    for args in [&["--help"][..], &["verdict", "--help"], &["--version"]] {
        let output = fanloom(args);
        assert_eq!(output.status.code(), Some(0), "{args:?}");
        assert!(out(&output).contains("fanloom"), "{args:?}: {}", out(&output));
    }
}

#[test]
fn every_wrong_word_is_told_what_is_wrong_and_how_to_mend_it() {
    let cases: [(&[&str], &[&str]); 59] = [
        (&["--do", "bridge:B1.1=B1.2"], &["`bridge:B1.1=B1.2` is not an act", "jump:B1.1=B1.2"]),
        (&["--do", "jump"], &["`jump` is not an act"]),
        (&["--do", "jump:B1.1"], &["does not say where the lead goes", "both ends"]),
        (&["--do", "jump:B1.1=B1"], &["`B1` is not a terminal", "dot"]),
        (&["--do", "jump:B1.1=B9.2"], &["there is no part `B9`", "did you mean `B1`"]),
        (&["--do", "jump:B1.1=B1.3"], &["`B1` has no terminal `3`", "did you mean"]),
        (&["--do", "jump:B1.1=B1.1"], &["both ends of the lead are on `B1.1`", "two different points"]),
        (&["--do", "jump:B1.1=B1.2/A"], &["`A` in", "is not a lead's fuse", "/10A"]),
        (&["--do", "jump:B1.1=B1.2/-5A"], &["is not a lead's fuse"]),
        (&["--do", "jump:B1.1=B1.2/nanA"], &["is not a lead's fuse"]),
        (&["--do", "jump:W4@B1.1=B1.2"], &["`W4@B1.1` is on its terminal", "lift:W4@B1.1"]),
        (&["--do", "jump:B1.1=B1.2", "--do", "jump:B1.2=B1.1"], &["is on already", "take it off first"]),
        (&["--do", "lift:W4"], &["`W4` is not a wire's end", "W4@B1.2"]),
        (&["--do", "lift:W99@B1.1"], &["there is no wire `W99`"]),
        (&["--do", "lift:W4@B2.1"], &["wire `W4` is not on `B2.1`", "`W4@X1.s` and `W4@B1.1`"]),
        (&["--do", "lift:W4@B1.1", "--do", "lift:W4@B1.1"], &["is lifted already"]),
        (&["--do", "unplug:"], &["does not name a part", "unplug:Y1"]),
        (&["--do", "unplug:Q1"], &["there is no part `Q1`"]),
        (&["--do", "unplug:X1"], &["`X1` is a splice", "other end"]),
        (&["--do", "unplug:B1", "--do", "unplug:B1"], &["`B1` is unplugged already"]),
        (&["--do", "turn:S2"], &["does not say where to turn", "turn:S2=on"]),
        (&["--do", "turn:S2=up"], &["`S2` has no position `up`", "turn:S2=on"]),
        (&["--do", "turn:B1=on"], &["`B1` is not a switch that a hand turns", "this circuit has S2"]),
        (&["--do", "turn:S1=off"], &["`S1` is the key switch", "key=off"]),
        (&["--do", "press:S2"], &["`S2` stays where it is put", "turn:S2=on"]),
        (&["--set", "coolant"], &["does not set a condition", "coolant=215F"]),
        (&["--set", "fuel=20"], &["there is no condition `fuel`", "`refrigerant`"]),
        (&["--set", "coolant=215"], &["`215` is not a temperature", "F or C"]),
        (&["--set", "coolant=90psi"], &["`90psi` is not a temperature"]),
        (&["--set", "coolant=-500F"], &["is not a temperature"]),
        (&["--set", "coolant=nanF"], &["is not a temperature"]),
        (&["--set", "air=-5psi"], &["is not a pressure", "from 0"]),
        (&["--set", "key=maybe"], &["the key cannot be `maybe`", "key=on"]),
        (&["--set", "engine=fast"], &["`fast` is not an engine speed", "engine=600"]),
        (&["--set", "engine=1e99"], &["is not an engine speed"]),
        (&["--fault", "opne:W4"], &["`opne:W4` is not a fault", "did you mean `open:`"]),
        (&["--fault", "open:W77"], &["there is no wire `W77`"]),
        (&["--fault", "open:W4=3"], &["takes no value"]),
        (&["--fault", "blown:Y1"], &["`Y1` does not have a fuse", "fits F1"]),
        (&["--fault", "stuck:B1"], &["does not say how", "stuck:B1=open"]),
        (&["--fault", "drift:B1=+20psi"], &["in a unit that `B1` does not sense"]),
        (&["--fault", "resist:W4=-1ohm"], &["needs a number"]),
        (&["--fault", "module-dead:K1"], &["there is no part `K1`"]),
        (&["--fault", "stuck:B1=open", "--fault", "stuck:B1=closed"], &["cannot both be", "put `stuck:B1=open` right"]),
        (&["--fault", "open:B1.7"], &["`B1` has no terminal `7`"]),
        (&["--fault", "resist:Y1=5ohm"], &["`Y1` does not have anything in it that ohms could be added to", "fits G1"]),
        (&["--fault", "gap:B1=0F"], &["does not say how far", "`gap:B1=1F`"]),
        (&["--fault", "gap:B1=5psi"], &["in a unit that `B1` does not sense"]),
        (&["--fault", "fitted:F1=24V"], &["`F1` does not have a coil", "fits Y1"]),
        (&["--fault", "fitted:Y1=48V"], &["does not say what was fitted", "`fitted:Y1=24V`"]),
        (&["--fault", "fitted:F1=0A"], &["does not say what was fitted"]),
        (&["--fault", "coil-ground:B1.1"], &["no winding ends at `B1.1`"]),
        (
            &["--fault", "suppressor-short:Y1"],
            &["`Y1` does not have anything across its coil", "no part of this circuit"],
        ),
        (&["--fault", "diode-short:B1"], &["`B1` does not have a diode in it"]),
        (&["--fault", "hold:B1=5s"], &["`B1` does not have a timer in it"]),
        (&["--fault", "blocked:nose"], &["`nose` cannot be blocked", "`supply`, `filter`, `hose` or `exhaust`"]),
        (&["--fault", "weak:spring=3"], &["takes no value", "`weak:spring`"]),
        (&["--fault", "swapped:G1"], &["`G1` does not have two ways to be fitted", "fits B1"]),
        (&["--fault", "leak:tank=1mm"], &["air cannot leak at `tank`", "`hose`"]),
    ];
    for (words, tells) in cases {
        refused(&[&["verdict", "circuits/parallel-open.ron"], words].concat(), tells);
    }
}

#[test]
fn every_wrong_word_is_told_at_once_and_not_only_the_first() {
    let args = ["verdict", "circuits/parallel-open.ron", "--set", "fuel=20", "--do", "hop:B1", "--fault", "gone:W1"];
    refused(&args, &["`fuel`", "`hop:B1`", "`gone:W1`"]);
}

#[test]
fn files_that_are_no_circuits_are_told_apart() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str, bytes: &[u8]| {
        let path = dir.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    refused(&["verdict", dir.path().to_str().unwrap()], &["is a folder"]);
    refused(&["verdict", "circuits/nowhere.ron"], &["there is no file `circuits/nowhere.ron`"]);
    refused(&["verdict", &at("bytes.ron", &[0x43, 0xff, 0xfe])], &["is not text: byte 1"]);
    refused(&["verdict", &at("empty.ron", b"")], &["empty.ron"]);
    refused(&["verdict", &at("large.ron", &vec![b' '; 9 * 1024 * 1024])], &["larger than 8 MiB"]);
    refused(&["verdict", &at("json.ron", b"{\"title\": 1}")], &["json.ron"]);
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(["verdict", "circuits/parallel-open.ron", "--json"])
        .current_dir(ROOT)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(0), "{}", String::from_utf8_lossy(&ended.stderr));
}

#[test]
fn the_same_question_gets_the_same_answer_to_the_byte() {
    let ask = || out(&fanloom(&["verdict", "circuits/dash-selector.ron", "--json", "--set", "refrigerant=310psi"]));
    assert_eq!(ask(), ask());
}

#[test]
fn lock_up_bolts_drive_the_fan_and_the_verdict_says_what_they_are() {
    let output = fanloom(&["verdict", "circuits/parallel-open.ron", "--set", "bolts=fitted"]);
    let text = String::from_utf8(output.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    // 25 ft-lb on a dry 5/16 in thread: 25 x 12 / (0.2 x 0.3125) = 4800 lbf of 120 ksi x 0.0524 in².
    for tell in [
        "the fan is driven",
        "bolted up",
        "driven whatever the circuit says",
        "5/16 x 1 in, grade 8, 25 ft-lb",
        "4800 lbf, 76 % of its proof load of 6292 lbf",
        "emergency measure",
        "always starts with the engine",
    ] {
        assert!(text.contains(tell), "`{tell}` is not in:\n{text}");
    }
}

#[test]
fn a_number_on_an_example_value_is_marked_unless_the_file_gives_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.ron");
    let text = std::fs::read_to_string("circuits/parallel-open.ron").unwrap();
    let own = "clutch: Clutch(bites_at: Psi(30), fan_nm: 300, bore_mm: 110, friction: 0.35, faces: 2, outer_mm: 320, \
               inner_mm: 200, ";
    std::fs::write(&path, text.replace("clutch: Clutch(", own)).unwrap();
    let said = |path: &str| {
        let output = fanloom(&["verdict", path, "--set", "coolant=230F"]);
        String::from_utf8(output.stdout).unwrap()
    };
    let (usual, given) = (said("circuits/parallel-open.ron"), said(path.to_str().unwrap()));
    assert!(usual.contains("margin 1.87†") && usual.contains("† example value: put in your vehicle's."), "{usual}");
    assert!(given.contains("margin ") && !given.contains('†'), "{given}");
}
