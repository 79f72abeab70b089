//! What `fanloom trace` says of a run through time, through the built program.
//!
//! Times of the shipped circuits that tests hold to are worked out beside them or follow from the file's figures.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn fanloom(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn asked<'a>(circuit: &'a str, rest: &[&'a str]) -> Vec<&'a str> {
    [&["trace", circuit], rest].concat()
}

#[track_caller]
fn said(circuit: &str, rest: &[&str]) -> String {
    let output = fanloom(&asked(circuit, rest));
    assert_eq!(output.status.code(), Some(0), "{rest:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[track_caller]
fn traced(circuit: &str, rest: &[&str]) -> Value {
    serde_json::from_str(&said(circuit, &[rest, &["--json"]].concat())).unwrap()
}

#[track_caller]
fn refused(rest: &[&str], code: i32, tells: &[&str]) {
    let output = fanloom(&asked(OPEN, rest));
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{rest:?}: {message}");
    assert!(output.stdout.is_empty(), "{rest:?}");
    for tell in tells {
        assert!(message.contains(tell), "{rest:?} should say `{tell}`, said:\n{message}");
    }
}

/// Moments of the events that begin with these words.
fn moments(answer: &Value, words: &str) -> Vec<f64> {
    let events = answer["events"].as_array().unwrap();
    let ours = events.iter().filter(|event| event["what"].as_str().unwrap().starts_with(words));
    ours.map(|event| event["at_s"].as_f64().unwrap()).collect()
}

fn numbers(answer: &Value) -> Vec<f64> {
    answer.as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

const OPEN: &str = "circuits/parallel-open.ron";
const TIMER: &str = "circuits/dash-selector.ron";
const JUMP: &str = "jump:B1.1=B1.2";

#[test]
fn keys_are_the_contracts_and_every_series_is_as_long_as_its_times() {
    let answer = traced(OPEN, &["--for", "3s", "--at", "1s", "--do", JUMP]);
    let times = numbers(&answer["time_s"]);
    assert_eq!(times.len(), 61, "0 to 3 s every 0.05 s");
    assert_eq!((times[1], times[3], times[60]), (0.05, 0.15, 3.0));
    for key in ["supply_psi", "clutch_psi", "state"] {
        assert_eq!(answer[key].as_array().unwrap().len(), 61, "{key}");
    }
    let volts = numbers(&answer["coil_volts"]["Y1"]);
    assert_eq!(volts.len(), 61);
    assert!(volts[19] == 0.0 && volts[20] > 12.0, "the sample in the moment of an act shows what comes of it");
    assert_eq!(answer["events"][0], serde_json::json!({"at_s": 1.0, "what": "do jump:B1.1=B1.2"}));
    assert_eq!(answer["state"][0], "released");
    assert_eq!(answer["state"][60], "engaged");
}

#[test]
fn samples_stand_as_far_apart_as_asked() {
    let answer = traced(OPEN, &["--for", "1min", "--every", "15s"]);
    assert_eq!(numbers(&answer["time_s"]), [0.0, 15.0, 30.0, 45.0, 60.0]);
    let answer = traced(OPEN, &["--for", "1s", "--every", "0.3s"]);
    assert_eq!(numbers(&answer["time_s"]), [0.0, 0.3, 0.6, 0.9]);
}

#[test]
fn what_stands_before_any_moment_holds_from_the_beginning() {
    let answer = traced(OPEN, &["--do", JUMP, "--set", "air=100psi", "--for", "1s"]);
    assert_eq!(answer["state"][0], "engaged");
    assert_eq!(answer["clutch_psi"][0], 100.0);
    let answer = traced(OPEN, &["--at", "0s", "--do", JUMP, "--for", "1s"]);
    assert_eq!(answer["state"][0], "released");
    assert!(moments(&answer, "the clutch engages")[0] > 0.2);
}

#[test]
fn each_moment_takes_what_stands_after_it_whatever_the_option() {
    let args = ["--for", "4s", "--at", "3s", "--set", "key=off", "--at", "1s", "--fault", "open:W10", "--do", JUMP];
    let args = [&args[..], &["--at", "2s", "--repair", "open:W10"]].concat();
    let answer = traced(OPEN, &args);
    assert_eq!(moments(&answer, "fault open:W10"), [1.0]);
    assert_eq!(moments(&answer, "do jump"), [1.0]);
    assert_eq!(moments(&answer, "repair open:W10"), [2.0]);
    assert_eq!(moments(&answer, "Y1 pulls in"), [2.0], "only once the wire is whole");
    assert_eq!(moments(&answer, "Y1 lets go"), [3.0]);
}

#[test]
fn a_warm_up_cycles_the_fan_between_the_two_set_points() {
    // parallel-open: B1 acts at 205 °F, resets at 195 °F.
    let answer = traced(OPEN, &["--for", "20min", "--set", "engine=1800", "--every", "1s"]);
    let (acts, resets) = (moments(&answer, "B1 acts: coolant 205 °F"), moments(&answer, "B1 resets: coolant 195 °F"));
    assert!(acts.len() >= 3 && resets.len() >= 2, "{acts:?} {resets:?}");
    assert!(acts.iter().zip(&resets).all(|(a, r)| a < r), "{acts:?} {resets:?}");
    let coolant = numbers(&answer["coolant_c"]);
    let after = &coolant[acts[0] as usize + 1..];
    let (least, most) = (after.iter().copied().fold(f64::MAX, f64::min), after.iter().copied().fold(0.0, f64::max));
    assert!((least * 1.8 + 32.0 - 195.0).abs() < 1.0 && (most * 1.8 + 32.0 - 205.0).abs() < 1.0, "{least} {most} °C");
    assert_eq!(moments(&answer, "the clutch engages").len(), acts.len());
}

#[test]
fn a_shorted_circuit_lives_until_its_fuse_has_had_its_time() {
    let short = ["--for", "3s", "--set", "coolant=230F", "--at", "1s", "--fault", "ground:Y1.1=1ohm"];
    let answer = traced(OPEN, &[&short[..], &["--read", "clamp:W1"]].concat());
    let opened = moments(&answer, "F1 opens at ");
    let amps = &answer["readings"]["clamp:W1"];
    let over = amps[21].as_f64().unwrap();
    assert!(over > 10.0 && opened.is_empty(), "{over} A for 2 s is within the band of a 10 A fuse");

    let answer = traced(OPEN, &["--for", "3s", "--set", "coolant=230F", "--at", "1s", "--fault", "ground:Y1.1=0.1ohm"]);
    let opened = moments(&answer, "F1 opens at ");
    assert_eq!(opened.len(), 1);
    assert!(opened[0] > 1.0 && opened[0] < 1.5, "{opened:?}");
    assert_eq!(answer["state"][60], "released");
}

#[test]
fn of_two_fuses_in_one_path_only_the_smaller_opens() {
    let answer = traced(OPEN, &["--for", "2s", "--at", "1s", "--do", "jump:X1.s=N1.g"]);
    assert_eq!(moments(&answer, "the fuse in the lead from X1.s to N1.g opens").len(), 1, "{}", answer["events"]);
    assert_eq!(moments(&answer, "F1 opens"), [0.0f64; 0]);
}

#[test]
fn a_new_fuse_brings_the_fan_back() {
    let args = ["--for", "5s", "--set", "coolant=230F", "--at", "1s", "--fault", "ground:Y1.1", "--at", "3s"];
    let args = [&args[..], &["--repair", "ground:Y1.1", "--repair", "blown:F1"]].concat();
    let answer = traced(OPEN, &args);
    assert_eq!(moments(&answer, "F1 opens").len(), 1);
    assert_eq!(moments(&answer, "Y1 pulls in"), [3.0]);
    assert_eq!(answer["state"][100], "engaged");
}

#[test]
fn a_fuse_blown_before_the_beginning_is_told_and_stays_blown() {
    let answer = traced(OPEN, &["--for", "1s", "--set", "coolant=230F", "--do", "jump:X2.s=N1.g/none"]);
    let words = answer["events"].to_string();
    assert!(words.contains("before the beginning"), "{words}");
    assert_eq!(answer["state"][20], "released");
}

#[test]
fn a_timer_holds_its_time_and_lets_go_without_a_gap() {
    // dash-selector: K2 holds 90 s after the refrigerant request has gone.
    let args = ["--at", "1s", "--set", "refrigerant=320psi", "--at", "20s", "--set", "refrigerant=200psi"];
    let answer = traced(TIMER, &[&args[..], &["--for", "2min", "--every", "1s"]].concat());
    assert_eq!(moments(&answer, "K2's contact closes"), [1.0]);
    assert_eq!(moments(&answer, "K2's contact opens"), [110.0]);
    assert_eq!(moments(&answer, "Y1 lets go"), [110.0]);
    assert_eq!((&answer["state"][109], &answer["state"][115]), (&"engaged".into(), &"released".into()));
}

#[test]
fn the_clutch_is_told_in_the_moment_that_the_samples_show() {
    let args = ["--for", "4s", "--every", "1ms", "--do", JUMP, "--at", "1s", "--put-back", JUMP];
    let answer = traced(OPEN, &args);
    let slips = moments(&answer, "the clutch slips")[0];
    let first = answer["state"].as_array().unwrap().iter().position(|state| state == "slipping").unwrap();
    assert!((first as f64 * 1e-3 - slips).abs() < 2e-3, "{first} ms, told at {slips} s");
}

#[test]
fn the_governor_is_told_also_where_the_air_is_set() {
    let answer = traced(OPEN, &["--for", "5s", "--set", "engine=1800", "--at", "1s", "--set", "air=70psi"]);
    assert_eq!(moments(&answer, "the compressor begins to deliver: 70 psi"), [1.0]);
}

#[test]
fn a_bare_coil_kicks_when_it_is_broken() {
    let answer = traced(OPEN, &["--for", "2s", "--do", JUMP, "--at", "1s", "--put-back", JUMP]);
    assert_eq!(moments(&answer, "Y1's coil kicks to as much as"), [1.0]);
    assert!(answer["events"].to_string().contains("(example value)"));
}

#[test]
fn readings_follow_the_circuit() {
    let args = ["--for", "3s", "--at", "1s", "--do", "lift:W10@Y1.1", "--do", JUMP];
    let reads =
        ["--read", "volts:W10@Y1.1,N1.g", "--read", "fan", "--read", "gauge:supply", "--read", "lamp:X2.s,N1.g"];
    let answer = traced(OPEN, &[&args[..], &reads].concat());
    let readings = &answer["readings"];
    assert_eq!(readings["volts:W10@Y1.1,N1.g"][0], Value::Null, "the end is not lifted yet");
    assert!(readings["volts:W10@Y1.1,N1.g"][20].as_f64().unwrap() > 12.0);
    assert_eq!(readings["fan"][60], "released");
    assert_eq!(readings["gauge:supply"], answer["supply_psi"]);
    assert_eq!((&readings["lamp:X2.s,N1.g"][0], &readings["lamp:X2.s,N1.g"][20]), (&"dark".into(), &"bright".into()));
}

#[test]
fn the_same_question_is_answered_alike_to_the_byte() {
    let args = ["--for", "15min", "--set", "engine=1500", "--every", "10s", "--at", "1min", "--fault", "leak:hose=1mm"];
    for form in ["json", "csv", "svg", "pdf", "png"] {
        let args = asked(OPEN, &[&args[..], &["--as", form]].concat()).join("\n");
        let args: Vec<&str> = args.split('\n').collect();
        let first = fanloom(&args);
        assert_eq!(first.status.code(), Some(0), "{}", String::from_utf8_lossy(&first.stderr));
        assert!(first.stdout.len() > 500 && first.stdout == fanloom(&args).stdout, "{form}");
    }
}

#[test]
fn what_happens_does_not_hang_on_how_often_it_is_looked_at() {
    let args = ["--for", "12min", "--set", "engine=1800"];
    let often = traced(OPEN, &[&args[..], &["--every", "100ms"]].concat());
    let seldom = traced(OPEN, &[&args[..], &["--every", "1min"]].concat());
    assert_eq!(often["events"], seldom["events"]);
    assert_eq!(often["coolant_c"][6600], seldom["coolant_c"][11]);
}

#[test]
fn a_script_says_the_same_as_options() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("proof.txt");
    let text = "# warm, then a lead\nset coolant=150F\n1s do jump:B1.1=B1.2 # on\n2s set key=off\n2.5s fault open:W4\n\
                3s put-back jump:B1.1=B1.2\n";
    std::fs::write(&path, text).unwrap();
    let scripted = said(OPEN, &["--for", "4s", "--json", "--script", path.to_str().unwrap()]);
    let options = ["--for", "4s", "--json", "--set", "coolant=150F", "--at", "1s", "--do", JUMP, "--at", "2s"];
    let more = ["--set", "key=off", "--at", "2.5s", "--fault", "open:W4", "--at", "3s", "--put-back", JUMP];
    assert_eq!(scripted, said(OPEN, &[&options[..], &more].concat()));
}

#[test]
fn wrong_lines_of_a_script_are_told_with_line_column_and_mend() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("proof.txt");
    std::fs::write(&path, "1s do jump:B1.1=B1.2\n2s doo press:S2\n  3 do press:S2\n").unwrap();
    let script = path.to_str().unwrap();
    refused(&["--for", "5s", "--script", script], 1, &[":2:4", "did you mean `do`?", ":3:3", "`3` is not a time"]);
    std::fs::write(&path, "1s do jump:B1.1=B1.2\n2s do unplug:Y7\n").unwrap();
    refused(&["--for", "5s", "--script", script], 1, &[":2:1", "no part `Y7`", "help"]);
    refused(&["--for", "5s", "--script", "nowhere.txt"], 1, &["there is no file `nowhere.txt`", "script"]);
}

#[test]
fn wrong_words_are_refused_with_their_mend() {
    refused(&["--for", "30"], 1, &["`30` is not a time (in `--for 30`)", "like `2s`"]);
    refused(&["--for", "0s"], 1, &["--for 30s"]);
    refused(&["--for", "25h"], 1, &["24 h"]);
    refused(&["--for", "24h", "--every", "1ms", "--json"], 1, &["86400001 samples", "--every"]);
    refused(&["--for", "1s", "--every", "0s"], 1, &["--every 50ms"]);
    refused(&["--for", "1s", "--at", "soon", "--do", JUMP], 1, &["`soon` is not a time (in `--at soon`)"]);
    refused(&["--for", "1s", "--at", "2s", "--do", JUMP], 1, &["the trace has ended", "--for", "--do jump"]);
    refused(&["--for", "5s", "--at", "2s"], 1, &["nothing is to be done at `2s`"]);
    refused(&["--for", "5s", "--at", "2s", "--put-back", JUMP], 1, &["is not in effect", "--put-back"]);
    refused(&["--for", "5s", "--at", "2s", "--repair", "open:W4"], 1, &["is not planted", "--repair"]);
    refused(&["--for", "5s", "--at", "2s", "--fault", "open:W99"], 1, &["no wire `W99`", "--fault open:W99"]);
    refused(&["--for", "5s", "--read", "volts:Y1.1"], 1, &["two leads", "--read"]);
    refused(&["--for", "5s", "--read", "volts:W4@B1.1,N1.g"], 1, &["--read volts:W4@B1.1,N1.g"]);
    refused(&["--for", "5s", "--to", "out.xls"], 1, &["`out.xls`", ".csv"]);
    refused(&["--for", "5s", "--json", "--to", "-", "--at", "1s", "--do", JUMP], 1, &["two answers"]);
    refused(&[], 2, &["--for"]);
}

#[test]
fn figures_of_no_vehicle_are_told_and_nothing_hangs() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("absurd.ron");
    let sound = std::fs::read_to_string(OPEN).unwrap();
    let absurd = [
        ("", "chamber_litres: 1e-9, bore_mm: 0.001, ", "`chamber_litres: 1e-9`"),
        ("line_litres: 1e-12, protection_c: 1000, ", "", "`line_litres: 1e-12`"),
        ("tank_litres: 1e-300, ", "", "`tank_litres: 1e-300`"),
        ("", "plate_joules_per_kelvin: 1e-9, ", "`plate_joules_per_kelvin: 1e-9`"),
        ("", "fan_kg_m2: 1e-300, ", "`fan_kg_m2: 1e-300`"),
    ];
    for (air, clutch, tell) in absurd {
        let text = sound.replace("air: Air(", &format!("air: Air({air}"));
        let text = text.replace("clutch: Clutch(", &format!("clutch: Clutch({clutch}"));
        std::fs::write(&path, text).unwrap();
        let circuit = path.to_str().unwrap();
        let args = ["--for", "500ms", "--set", "engine=1200", "--fault", "leak:chamber=3mm", "--do", JUMP];
        let output = fanloom(&asked(circuit, &[&args[..], &["--at", "0.1s", "--fault", "leak:hose=1mm"]].concat()));
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1), "{air} {clutch}: {message}");
        assert!(output.stdout.is_empty());
        for tell in [tell, "too fast to be followed", "absurd.ron", "help: see whether"] {
            assert!(message.contains(tell), "{air} {clutch} should say `{tell}`, said:\n{message}");
        }
    }
}

#[test]
fn csv_and_json_say_the_same_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let (csv, svg) = (folder.path().join("a.csv"), folder.path().join("a.svg"));
    let args = ["--for", "2s", "--at", "0.52s", "--do", JUMP, "--read", "volts:Y1.1,Y1.2"];
    let to = ["--to", csv.to_str().unwrap(), "--to", svg.to_str().unwrap()];
    let answer = traced(OPEN, &[&args[..], &to].concat());
    let text = std::fs::read_to_string(csv).unwrap();
    let mut rows = text.split("\r\n");
    let header = "time_s,supply_psi,clutch_psi,Y1_volts,state,tank_psi,engine_rpm,fan_rpm,slip,coolant_c,plate_c,\
                  \"volts:Y1.1,Y1.2 (V)\",event";
    assert_eq!(rows.next(), Some(header));
    for (i, row) in rows.by_ref().take(41).enumerate() {
        let cells: Vec<&str> = row.split(',').collect();
        for (place, key) in [(0, "time_s"), (1, "supply_psi"), (2, "clutch_psi"), (9, "coolant_c")] {
            assert_eq!(cells[place].parse::<f64>().unwrap(), answer[key][i].as_f64().unwrap(), "{key} {i}");
        }
        assert_eq!(cells[3].parse::<f64>().unwrap(), answer["coil_volts"]["Y1"][i].as_f64().unwrap());
        assert_eq!(cells[4], answer["state"][i]);
        let read = answer["readings"]["volts:Y1.1,Y1.2"][i].as_f64().unwrap();
        assert_eq!(cells[11].parse::<f64>().unwrap(), read);
        assert_eq!(i == 11, row.contains("0.52 s: do jump:B1.1=B1.2"), "told in the row after it happened: {row}");
    }
    assert_eq!(rows.next(), Some(""));

    let chart = std::fs::read_to_string(svg).unwrap();
    for event in answer["events"].as_array().unwrap() {
        let words = event["what"].as_str().unwrap();
        assert!(chart.contains(words), "the chart does not tell `{words}`");
    }
    for name in ["Coil", "Air", "Coolant", "supply", "clutch", "minimum", "B1 acts", "time (s)"] {
        assert!(chart.contains(&format!(">{name}<")), "{name}");
    }
}

#[test]
fn a_circuit_without_an_air_valve_is_traced_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lamp.ron");
    let text = "Circuit(format: 1, title: \"Lamp\", parts: {\"G1\": Battery(volts: 12.6), \"S2\": HandSwitch(rest: Open),\
                \"P1\": Lamp(ohms: 48), \"N1\": Ground}, wires: {\"W1\": Wire(from: \"G1.+\", to: \"S2.1\"),\
                \"W2\": Wire(from: \"S2.2\", to: \"P1.1\"), \"W3\": Wire(from: \"P1.2\", to: \"N1.g\"),\
                \"W4\": Wire(from: \"G1.-\", to: \"N1.g\")})";
    std::fs::write(&path, text).unwrap();
    let circuit = path.to_str().unwrap();
    let args = ["--for", "1s", "--at", "0.5s", "--do", "turn:S2=on", "--read", "clamp:W2"];
    let answer = traced(circuit, &args);
    assert_eq!(answer["coil_volts"], serde_json::json!({}));
    assert_eq!(answer["state"][20], "none");
    assert!(answer["readings"]["clamp:W2"][20].as_f64().unwrap() > 0.2);
    assert!(said(circuit, &args).contains("no air valve"));
    assert!(said(circuit, &["--for", "1s", "--as", "svg"]).starts_with("<svg"));
}

#[test]
fn without_a_form_the_events_the_end_and_the_safety_line_are_told() {
    let text = said(OPEN, &["--for", "5s", "--at", "1s", "--do", JUMP]);
    for line in ["1.000 s  do jump:B1.1=B1.2", "At the end, 5 s", "The clutch is engaged", "Parking brake on"] {
        assert!(text.contains(line), "`{line}` is not in:\n{text}");
    }
    assert!(said(OPEN, &["--for", "5s"]).contains("Nothing happens."));
}

#[test]
fn a_whole_day_comes_to_an_end_and_every_shipped_circuit_can_be_charted() {
    let day = traced(OPEN, &["--for", "24h", "--every", "1h", "--set", "engine=1800"]);
    assert_eq!(day["time_s"].as_array().unwrap().len(), 25);
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("circuits")).unwrap().flatten() {
        let circuit = entry.path();
        let args = ["--for", "20min", "--every", "1s", "--set", "engine=1600", "--as", "svg"];
        assert!(said(circuit.to_str().unwrap(), &args).starts_with("<svg"), "{circuit:?}");
    }
}
