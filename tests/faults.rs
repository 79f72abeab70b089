//! The fault table through the built program and the study: look-alikes, what shows when, pairs, pictures.
//!
//! What the table says is held against benches on which each fault is planted by itself and each state is brought
//! about by the actions the table names for it; readings are compared by the tests' own rule.

mod support;

#[path = "faults/by_itself.rs"]
mod by_itself;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use fanloom::bench::{Action, Bench, Fault, Start};
use fanloom::circuit::{Circuit, Kind};
use fanloom::report::{Size, matrix};
use fanloom::study::explain::standing;
use fanloom::study::faults::{Scene, fault_table};
use fanloom::study::progress::Progress;
use serde_json::Value;
use support::program::{fanloom, json};
use support::{circuit, shipped, shipped_names, text_of, tiny, tiny_text};

/// The answer on a circuit that is in no file of the project.
#[track_caller]
fn json_of(text: &str, more: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("test.ron");
    std::fs::write(&path, text).expect("written");
    json(&[&["faults", path.to_str().expect("UTF-8"), "--json"], more].concat())
}

fn list(value: &Value) -> Vec<String> {
    let items = value.as_array().unwrap_or_else(|| panic!("{value} is no list"));
    items.iter().map(|item| item.as_str().expect("words").to_owned()).collect()
}

fn groups(answer: &Value) -> Vec<Vec<String>> {
    answer["groups"].as_array().expect("a list").iter().map(list).collect()
}

/// What one bench reads: the fan, the supply and the clutch gauge in psi, volts by point; nothing but the fan where it never rests.
type Seen = (String, [f64; 2], Vec<f64>);

fn seen(bench: &Bench, points: &[String]) -> Seen {
    let outcome = bench.outcome();
    let fan = standing(outcome).word().to_owned();
    if !outcome.settled() {
        return (fan, [0.0, 0.0], Vec::new());
    }
    let volts = |point: &String| {
        let id = bench.circuit().terminal_named(point).unwrap_or_else(|| panic!("no terminal {point}"));
        outcome.volts_at(id).unwrap_or(0.0)
    };
    let gauges = [outcome.supply_kpa, outcome.chamber_kpa.unwrap_or(0.0)].map(|kpa| kpa / 6.894757);
    (fan, gauges, points.iter().map(volts).collect())
}

/// How much of the allowance the widest difference takes: above 1 they can be told apart.
fn distance(a: &[Seen], b: &[Seen]) -> f64 {
    let one = |(a, b): (&Seen, &Seen)| {
        if a.0 != b.0 {
            return f64::INFINITY;
        }
        let volts = a.2.iter().zip(&b.2).map(|(x, y)| (x - y).abs() / (0.02 * x.abs().max(y.abs())).max(0.1));
        let gauges = a.1.iter().zip(&b.1).map(|(x, y)| (x - y).abs() / 2.0);
        volts.chain(gauges).fold(0.0, f64::max)
    };
    a.iter().zip(b).map(one).fold(0.0, f64::max)
}

/// The benches with these faults in every state of an answer, by the actions it names.
fn led_through(circuit: &Arc<Circuit>, answer: &Value, faults: &[&str]) -> Vec<Seen> {
    let points = list(&answer["points"]);
    let states = answer["state_list"].as_array().expect("a list");
    let bring = |bench: &mut Bench, state: &Value| {
        assert!(list(&state["held"]).is_empty(), "no push switch can be held by an action");
        assert_ne!(state["purpose"], "left-behind", "what is left behind takes more than one step");
        for words in list(&state["set"]) {
            bench.apply(Action::Set(words.parse().expect("a setting"))).expect("it can be set");
        }
        for words in list(&state["do"]) {
            bench.apply(Action::Do(words.parse().expect("an act"))).expect("it can be done");
        }
    };
    let one = |state: &Value| {
        let alone =
            state["alone"].as_array().expect("a list").iter().map(|alone| alone["fault"].as_str().expect("words"));
        let alone: Vec<&str> = alone.collect();
        let same = |fault: &&str| alone.iter().any(|a| a.split('=').next() == fault.split('=').next());
        assert!(!faults.iter().any(same), "two drifts of one switch are one fault");
        let planted: Vec<Fault> = faults.iter().copied().chain(alone).map(|f| f.parse().expect("a fault")).collect();
        let start = Start { settings: Vec::new(), faults: planted };
        let mut bench = Bench::started(Arc::clone(circuit), start).expect("it can be planted");
        bring(&mut bench, state);
        seen(&bench, &points)
    };
    states.iter().map(one).collect()
}

const VALVE: &str = "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)";
const CLOSES: &str =
    "TemperatureSwitch(rest: Open, senses: Coolant, acts_at: Fahrenheit(205), resets_at: Fahrenheit(195))";
const RELAY: &str = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)";

/// One switch, one valve; the switch's wire goes through a splice.
const SMALL_PARTS: &[(&str, &str)] = &[
    ("G1", "Battery(volts: 12.6)"),
    ("F1", "Fuse(amps: 10)"),
    ("B1", CLOSES),
    ("X1", "Splice"),
    ("Y1", VALVE),
    ("N1", "Ground"),
];
const SMALL_WIRES: &[&str] =
    &["W1 G1.+ F1.1", "W2 F1.2 B1.1", "W3 B1.2 X1.s", "W4 X1.s Y1.1", "W5 Y1.2 N1.g", "W6 G1.- N1.g"];

fn small() -> String {
    tiny_text(SMALL_PARTS, SMALL_WIRES)
}

#[test]
fn the_answer_has_the_contracts_keys_and_every_fault_in_one_group() {
    for name in shipped_names() {
        let answer = json(&["faults", &format!("circuits/{name}.ron"), "--json"]);
        let keys: Vec<&String> = answer.as_object().expect("a map").keys().take(5).collect();
        assert_eq!(keys, ["faults", "points", "states", "cases", "groups"], "{name}");
        let faults = list(&answer["faults"]);
        let mut grouped: Vec<String> = groups(&answer).concat();
        grouped.sort();
        let mut wanted = faults.clone();
        wanted.sort();
        assert_eq!(grouped, wanted, "{name}");
        let circuit = shipped(&name);
        let reached =
            circuit.terminals_with_ids().filter(|(_, t)| !matches!(circuit.part(t.part).kind, Kind::Splice(_)));
        let reached: Vec<String> = reached.map(|(id, _)| circuit.terminal_words(id)).collect();
        assert_eq!(list(&answer["points"]), reached, "{name}");
        let states = answer["states"].as_u64().expect("a number") as usize;
        assert_eq!(answer["state_list"].as_array().map(Vec::len), Some(states), "{name}");
        assert_eq!(answer["cases"].as_u64(), Some((faults.len() * states) as u64), "{name}");
    }
}

/// Every fault of a circuit by itself, in every state.
fn each(circuit: &Arc<Circuit>, answer: &Value) -> BTreeMap<String, Vec<Seen>> {
    let faults = list(&answer["faults"]);
    faults.iter().map(|fault| (fault.clone(), led_through(circuit, answer, &[fault]))).collect()
}

/// Boundaries are left to the last digit, so what lies this near to them may fall on either side.
const NEAR: f64 = 0.005;

#[track_caller]
fn groups_are_real(name: &str, circuit: &Arc<Circuit>, answer: &Value) {
    let looks = each(circuit, answer);
    let healthy = led_through(circuit, answer, &[]);
    let groups = groups(answer);
    let close = |group: &Vec<String>| {
        let told = answer["alike_because"].as_array().expect("a list");
        told.iter().find(|g| list(&g["faults"]) == *group).is_none_or(|g| g["each_like_each"] == true)
    };
    let mut pairs = 0;
    for (place, group) in groups.iter().enumerate() {
        for (i, a) in group.iter().enumerate() {
            for b in &group[i + 1..] {
                let apart = distance(&looks[a], &looks[b]);
                assert!(!close(group) || apart <= 1.0 + NEAR, "{name}: {a} and {b} are {apart} apart");
                pairs += 1;
            }
            for b in groups[place + 1..].concat() {
                let apart = distance(&looks[a], &looks[&b]);
                assert!(apart > 1.0 - NEAR, "{name}: {a} and {b} are only {apart} apart");
            }
        }
        if !close(group) {
            // Joined by others: each is near to some other one.
            for a in group {
                let near = group.iter().filter(|b| *b != a).any(|b| distance(&looks[a], &looks[b]) <= 1.0 + NEAR);
                assert!(
                    near || distance(&looks[a], &healthy) <= 1.0 + NEAR,
                    "{name}: {a} is like no other of its group"
                );
            }
        }
    }
    assert!(pairs > 0, "{name} has look-alikes");
    unseen_is_real(name, answer, &looks, &healthy);
}

#[track_caller]
fn unseen_is_real(name: &str, answer: &Value, looks: &BTreeMap<String, Vec<Seen>>, healthy: &[Seen]) {
    let states: Vec<&str> =
        answer["state_list"].as_array().expect("a list").iter().map(|s| s["name"].as_str().expect("words")).collect();
    let asked = answer["unseen"]["until_asked"].as_array().expect("a list");
    for told in asked {
        let (fault, shown) = (told["fault"].as_str().expect("words"), told["shown"].as_str().expect("words"));
        let first = states.iter().position(|state| *state == shown).expect("a state");
        let apart = |state: usize| distance(&looks[fault][state..=state], &healthy[state..=state]);
        assert!((0..first).all(|state| apart(state) <= 1.0 + NEAR), "{name}: {fault} shows before {shown}");
        assert!(apart(first) > 1.0 - NEAR, "{name}: {fault} does not show in {shown}");
    }
    let nowhere = list(&answer["unseen"]["nowhere"]);
    for (fault, look) in looks {
        let apart = distance(look, healthy);
        match nowhere.contains(fault) {
            true => assert!(apart <= 1.0 + NEAR, "{name}: {fault} shows"),
            false => assert!(apart > 1.0 - NEAR, "{name}: {fault} does not show"),
        }
    }
}

#[test]
fn look_alikes_read_alike_in_every_state_and_all_others_differ_somewhere() {
    for name in ["parallel-open", "ground-side", "series-closed"] {
        let answer = json(&["faults", &format!("circuits/{name}.ron"), "--json"]);
        groups_are_real(name, &shipped(name), &answer);
    }
    groups_are_real("small", &circuit(&small()), &json_of(&small(), &[]));
}

#[test]
fn with_few_points_more_looks_alike_and_all_of_it_is_real() {
    let (all, few) = (json_of(&small(), &[]), json_of(&small(), &["--point", "B1.2", "--point", "Y1.2"]));
    assert_eq!(list(&few["points"]), ["B1.2", "Y1.2"]);
    assert!(groups(&few).len() < groups(&all).len());
    groups_are_real("small at two points", &circuit(&small()), &few);
}

#[test]
fn a_splice_no_probe_reaches_makes_two_wires_one_line() {
    let answer = json_of(&small(), &[]);
    let told = answer["alike_because"].as_array().expect("a list");
    let group = told.iter().find(|g| list(&g["faults"]).contains(&"open:W3".to_owned())).expect("it has a look-alike");
    let line = group["reasons"].as_array().expect("a list").iter().find(|r| r["because"] == "one-line");
    assert_eq!(list(&line.expect("one line")["faults"]), ["open:W3", "open:W4"]);
    let seen = json_of(&small(), &["--point", "B1.2", "--point", "X1.s"]);
    assert!(!groups(&seen).iter().any(|g| g.contains(&"open:W3".to_owned()) && g.contains(&"open:W4".to_owned())));
}

#[test]
fn a_chafe_anywhere_on_a_net_is_the_same() {
    let answer = json_of(&small(), &[]);
    let told = answer["alike_because"].as_array().expect("a list");
    let reasons = told.iter().flat_map(|group| group["reasons"].as_array().expect("a list"));
    let nets: Vec<Vec<String>> = reasons.filter(|r| r["because"] == "same-net").map(|r| list(&r["faults"])).collect();
    assert!(nets.iter().any(|net| net.contains(&"ground:B1.2".to_owned()) && net.contains(&"ground:Y1.1".to_owned())));
}

#[test]
fn a_drift_shows_in_the_state_made_for_it_and_in_no_other() {
    let answer = json_of(&small(), &[]);
    let circuit = circuit(&small());
    let healthy = led_through(&circuit, &answer, &[]);
    let states: Vec<&Value> = answer["state_list"].as_array().expect("a list").iter().collect();
    for (fault, level) in [("drift:B1=+20F", "215 °F"), ("drift:B1=-20F", "195 °F")] {
        let look = led_through(&circuit, &answer, &[fault]);
        let shown: Vec<&str> = (0..states.len())
            .filter(|state| distance(&look[*state..=*state], &healthy[*state..=*state]) > 1.0)
            .map(|state| states[state]["name"].as_str().expect("words"))
            .collect();
        assert_eq!(shown, [format!("B1 at {level}")], "{fault}");
    }
}

#[test]
fn two_switches_that_feel_the_same_are_warmed_one_by_one() {
    let second = CLOSES.replace("205", "215").replace("195", "205");
    let parts = [SMALL_PARTS, &[("B2", second.as_str())]].concat();
    let wires = [SMALL_WIRES, &["W7 F1.2 B2.1", "W8 B2.2 Y1.1"]].concat();
    let answer = json_of(&tiny_text(&parts, &wires), &[]);
    let states = answer["state_list"].as_array().expect("a list");
    let asked: Vec<&Value> = states.iter().filter(|s| s["purpose"] == "asked").collect();
    let names: Vec<&str> = asked.iter().map(|s| s["name"].as_str().expect("words")).collect();
    assert_eq!(names, ["B2=hot", "B1=hot", "B1=hot and B2=hot"]);
    let alone: Vec<usize> = asked.iter().map(|s| s["alone"].as_array().expect("a list").len()).collect();
    assert_eq!(alone, [1, 1, 0], "one condition suits both only where both are hot");
    // Each of the two by itself engages the clutch, and the other's contact stays open.
    let circuit = tiny(&parts, &wires);
    let look = led_through(&circuit, &answer, &[]);
    let place = |name: &str| states.iter().position(|s| s["name"] == name).expect("a state");
    assert!(["B2=hot", "B1=hot"].iter().all(|name| look[place(name)].0 == "engaged"));
    let stuck = led_through(&circuit, &answer, &["stuck:B2=open"]);
    assert_eq!([&stuck[place("B2=hot")].0, &stuck[place("B1=hot")].0], ["released", "engaged"]);
}

#[test]
fn what_a_seal_leaves_behind_is_a_state_of_its_own() {
    let answer = json(&["faults", "circuits/seal-in.ron", "--json"]);
    let states = answer["state_list"].as_array().expect("a list");
    let left: Vec<&Value> = states.iter().filter(|s| s["purpose"] == "left-behind").collect();
    assert!(!left.is_empty() && left.iter().all(|s| s["name"].as_str().expect("words").starts_with("after ")));
}

#[test]
fn another_order_and_other_names_change_no_group() {
    let new = |tag: &str| match tag {
        "B1" => "B9".to_owned(),
        "F1" => "F7".to_owned(),
        "W2" => "W20".to_owned(),
        "W4" => "W0".to_owned(),
        other => other.to_owned(),
    };
    let terminal = |words: &str| {
        let (tag, name) = words.split_once('.').expect("a terminal");
        format!("{}.{name}", new(tag))
    };
    let wire = |words: &str| {
        let parts: Vec<&str> = words.split_whitespace().collect();
        format!("{} {} {}", new(parts[0]), terminal(parts[1]), terminal(parts[2]))
    };
    let mut wires: Vec<String> = SMALL_WIRES.iter().map(|words| wire(words)).collect();
    wires.reverse();
    let mut parts: Vec<(String, &str)> = SMALL_PARTS.iter().map(|(tag, kind)| (new(tag), *kind)).collect();
    parts.reverse();
    let parts: Vec<(&str, &str)> = parts.iter().map(|(tag, kind)| (tag.as_str(), *kind)).collect();
    let text = tiny_text(&parts, &wires.iter().map(String::as_str).collect::<Vec<_>>());
    let renamed = |fault: &str| {
        let (verb, rest) = fault.split_once(':').expect("a fault");
        let mut ends: Vec<String> = rest
            .split('=')
            .map(|word| word.split_once('.').map_or_else(|| new(word), |(tag, name)| format!("{}.{name}", new(tag))))
            .collect();
        if verb == "join" {
            ends.sort();
        }
        format!("{verb}:{}", ends.join("="))
    };
    let plain = |fault: &str| {
        let (verb, rest) = fault.split_once(':').expect("a fault");
        let mut ends: Vec<&str> = rest.split('=').collect();
        if verb == "join" {
            ends.sort_unstable();
        }
        format!("{verb}:{}", ends.join("="))
    };
    let sets = |answer: &Value, name: &dyn Fn(&str) -> String| -> BTreeSet<BTreeSet<String>> {
        groups(answer).iter().map(|group| group.iter().map(|fault| name(fault)).collect()).collect()
    };
    assert_eq!(sets(&json_of(&small(), &[]), &renamed), sets(&json_of(&text, &[]), &plain));
}

#[test]
fn what_tells_two_faults_apart_is_what_the_verdict_reads() {
    let file = "circuits/parallel-open.ron";
    for two in [["open:W4", "open:W5"], ["stuck:B1=open", "healthy"], ["coil-open:Y1", "open:W6"]] {
        let answer = json(&["faults", file, "--json", "--apart", two[0], two[1]]);
        let tests = answer["tests"].as_array().expect("a list");
        assert!(!tests.is_empty(), "{two:?}");
        for test in tests.iter().take(4) {
            let read = test["read"].as_str().expect("words");
            for (place, fault) in two.iter().enumerate() {
                let settings = list(&test["set"]);
                let acts = list(&test["do"]);
                let mut args = vec!["verdict", file, "--json", "--read", read];
                if *fault != "healthy" {
                    args.extend(["--fault", fault]);
                }
                settings.iter().for_each(|words| args.extend(["--set", words]));
                acts.iter().for_each(|words| args.extend(["--do", words]));
                let shown = &json(&args)["readings"][read];
                match (shown.as_f64(), test["shows"][place].as_f64()) {
                    (Some(shown), Some(told)) => support::near(told, shown, 0.001),
                    // A point that floats: told as the 0 V that a voltmeter pulls it to.
                    (None, Some(told)) if shown.is_null() => support::near(told, 0.0, 0.001),
                    _ => assert_eq!(*shown, test["shows"][place], "{fault} {read}"),
                }
            }
        }
    }
}

#[test]
fn two_that_look_alike_are_not_told_apart_and_the_clamp_is_named() {
    let answer = json_of(&small(), &["--apart", "open:W3", "open:W4"]);
    assert_eq!((&answer["alike"], answer["tests"].as_array().map(Vec::len)), (&Value::Bool(true), Some(0)));
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("test.ron");
    std::fs::write(&path, small()).expect("written");
    let path = path.to_str().expect("UTF-8");
    let output = fanloom(&["faults", path, "--apart", "coil-open:Y1", "valve-stuck:Y1=blocking"]);
    let said = String::from_utf8(output.stdout).expect("text");
    assert!(said.contains("Nothing tells them apart") && said.contains("a clamp on"), "{said}");
}

#[test]
fn a_plugged_exhaust_is_unseen_and_the_stop_watch_shows_it() {
    let answer = json_of(&small(), &[]);
    assert!(list(&answer["unseen"]["nowhere"]).contains(&"blocked:exhaust".to_owned()));
    let told = answer["alike_because"].as_array().expect("a list");
    let healthy = told.iter().find(|group| group["healthy"] == true).expect("some are unseen");
    let watch = healthy["would_tell"].as_array().expect("a list").iter().find(|with| {
        with["with"].as_str().expect("words").contains("stop watch")
            && with["readings"].as_array().expect("a list").iter().any(|r| {
                let faults = list(&r["faults"]);
                faults.contains(&"blocked:exhaust".to_owned()) && !faults.contains(&"healthy".to_owned())
            })
    });
    assert!(watch.is_some(), "{healthy}");
}

/// A relay whose make contact feeds the valve.
fn with_relay() -> String {
    let parts = [SMALL_PARTS, &[("K1", RELAY)]].concat();
    let wires = [
        "W1 G1.+ F1.1",
        "W2 F1.2 B1.1",
        "W3 B1.2 K1.86",
        "W4 K1.85 N1.g",
        "W5 F1.2 K1.30",
        "W6 K1.87 Y1.1",
        "W7 Y1.2 N1.g",
        "W8 G1.- N1.g",
    ];
    let parts: Vec<(&str, &str)> = parts.into_iter().filter(|(tag, _)| *tag != "X1").collect();
    tiny_text(&parts, &wires)
}

#[test]
fn a_swapped_relay_with_a_swapped_valve_looks_healthy_where_only_the_fan_is_seen() {
    let answer = json_of(&with_relay(), &["--point", "F1.2", "--pairs"]);
    let cancel = answer["pairs"]["cancel"].as_array().expect("a list");
    let both = |pair: &&Value| list(pair).iter().all(|fault| fault.starts_with("swapped:"));
    assert!(cancel.iter().any(|pair| both(&pair)), "{cancel:?}");
}

#[test]
fn pairs_look_as_both_faults_planted_do() {
    let text = small();
    let (circuit, answer) = (circuit(&text), json_of(&text, &["--pairs"]));
    let pairs = &answer["pairs"];
    let singles = each(&circuit, &answer);
    let healthy = led_through(&circuit, &answer, &[]);
    // A drift beside a drift of the same switch is no pair, so each pair can be planted as it is written.
    let look = |pair: &Value| {
        let pair = list(pair);
        led_through(&circuit, &answer, &[&pair[0], &pair[1]])
    };
    let sampled =
        |list: &Value, step: usize| list.as_array().expect("a list").iter().step_by(step).cloned().collect::<Vec<_>>();
    for key in ["cancel", "unseen"] {
        for pair in sampled(&pairs[key], 3) {
            assert!(distance(&look(&pair), &healthy) <= 1.0 + NEAR, "{key}: {pair}");
        }
    }
    for told in sampled(&pairs["like_one"], 37) {
        let look = look(&told["pair"]);
        for single in list(&told["like"]) {
            assert!(distance(&look, &singles[&single]) <= 1.0 + NEAR, "{} is not like {single}", told["pair"]);
        }
    }
    let mut own = Vec::new();
    for group in sampled(&pairs["groups"], 23) {
        let looks: Vec<Vec<Seen>> = group.as_array().expect("a list").iter().take(4).map(&look).collect();
        for (fault, single) in &singles {
            assert!(looks.iter().all(|look| distance(look, single) > 1.0 - NEAR), "{group} looks like {fault}");
        }
        own.push(looks[0].clone());
    }
    for (place, one) in own.iter().enumerate() {
        assert!(own[place + 1..].iter().all(|other| distance(one, other) > 1.0 - NEAR), "two groups look alike");
    }
    let size = |key: &str| pairs[key].as_array().expect("a list").len() as u64;
    let grouped: u64 =
        pairs["groups"].as_array().expect("a list").iter().map(|g| g.as_array().map_or(0, Vec::len) as u64).sum();
    assert_eq!(pairs["count"].as_u64(), Some(size("cancel") + size("unseen") + size("like_one") + grouped));
}

#[test]
fn every_form_is_written_and_says_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let to = |name: &str| folder.path().join(name).to_str().expect("UTF-8").to_owned();
    let names = ["t.csv", "t.json", "t.md", "t.svg", "t.png", "t.pdf"].map(to);
    let mut args = vec!["faults", "circuits/parallel-open.ron", "--json"];
    names.iter().for_each(|name| args.extend(["--to", name]));
    let answer = json(&args);
    let read = |place: usize| std::fs::read(&names[place]).expect("it was written");
    let csv = String::from_utf8(read(0)).expect("text");
    let faults = list(&answer["faults"]).len();
    assert_eq!(csv.lines().count(), 1 + (faults + 1) * answer["states"].as_u64().expect("a number") as usize);
    assert_eq!(serde_json::from_slice::<Value>(&read(1)).expect("JSON"), answer);
    assert!(String::from_utf8(read(2)).expect("text").starts_with("# "));
    assert!(read(3).starts_with(b"<svg") && read(4).starts_with(b"\x89PNG") && read(5).starts_with(b"%PDF"));
}

#[test]
fn on_the_picture_nothing_covers_anything_and_greys_are_enough() {
    for name in shipped_names() {
        let table = fault_table(Scene::new(shipped(&name)), &[], &Progress::default()).expect("a table");
        let page = matrix::page(&table, Size::A4, true);
        for (place, area) in page.areas().iter().enumerate() {
            let inside = area.x >= 0.0
                && area.y >= 0.0
                && area.x + area.width <= page.width
                && area.y + area.height <= page.height;
            assert!(inside, "{name}: {area:?} leaves the sheet");
            let other = page.areas()[place + 1..].iter().find(|other| area.overlaps(other));
            assert!(other.is_none(), "{name}: {area:?} covers {other:?}");
        }
        let svg = page.svg();
        let colours = svg.split('#').skip(1).map(|rest| &rest[..6]);
        let coloured: Vec<&str> = colours.filter(|c| c[..2] != c[2..4] || c[2..4] != c[4..]).collect();
        assert!(coloured.is_empty(), "{name}: {coloured:?}");
    }
}

#[test]
fn what_cannot_be_asked_is_refused_with_a_mend() {
    let file = "circuits/parallel-open.ron";
    let refused = |args: &[&str], wanted: &str| {
        let output = fanloom(&[&["faults", file], args].concat());
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            output.status.code() == Some(1) && said.contains(wanted) && said.contains("help: "),
            "{args:?}: {said}"
        );
        assert!(output.stdout.is_empty());
    };
    refused(&["--point", "B9.1"], "B9");
    refused(&["--apart", "open:W99", "healthy"], "W99");
    refused(&["--apart", "nonsense", "healthy"], "nonsense");
    refused(&["--to", "table.doc"], "table.doc");
    assert_eq!(fanloom(&["faults", file, "--apart", "open:W4"]).status.code(), Some(2));
    assert!(text_of(file).contains("Circuit("), "the file is as it was");
}

#[test]
fn the_same_question_gives_the_same_bytes() {
    let args = ["faults", "circuits/diode-isolated.ron", "--json"];
    assert_eq!(fanloom(&args).stdout, fanloom(&args).stdout);
}
