//! From what was seen to the fault, through the built program: faults are planted, read with noise, and sought.
//!
//! How nearly optimal the chosen course is, is measured on the numbers the program chooses by, against an exhaustive
//! search. Times, weights and tolerances are example values and are edited here where a test needs others.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

mod support;

use std::collections::BTreeSet;
use std::sync::Arc;

use fanloom::bench::{Action, Bench, Fault, Start};
use fanloom::circuit::Circuit;
use fanloom::study::answer::Level;
use fanloom::study::faults::universe::every;
use fanloom::study::find::exact::least_minutes;
use fanloom::study::find::suspect::singles;
use fanloom::study::find::{Case, Options, Outlook};
use fanloom::study::hazard;
use fanloom::study::progress::Progress;
use rayon::prelude::*;
use serde_json::Value as Json;
use support::harness::harness_text;
use support::program::{answer, refused, run};
use support::random::Random;
use support::{shipped, text_of, tiny_text};

const FILE: &str = "circuits/series-closed.ron";

/// A coolant switch between key and valve; `rest` is the contact's, `valve` the valve's.
fn plain(rest: &str, valve: &str) -> String {
    let sensor = format!(
        "TemperatureSwitch(rest: {rest}, senses: Coolant, acts_at: Fahrenheit(210), resets_at: Fahrenheit(195))"
    );
    let valve = format!("AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: {valve})");
    tiny_text(
        &[
            ("G1", "Battery(volts: 12.6)"),
            ("F1", "Fuse(amps: 10)"),
            ("S1", "KeySwitch"),
            ("B1", &sensor),
            ("Y1", &valve),
            ("N1", "Ground"),
        ],
        &["W1 G1.+ F1.1", "W2 F1.2 S1.30", "W3 S1.15 B1.1", "W4 B1.2 Y1.1", "W5 Y1.2 N1.g", "W6 G1.- N1.g"],
    )
}

/// A circuit file for one test.
struct Written {
    _folder: tempfile::TempDir,
    path: String,
}

fn written(text: &str) -> Written {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("circuit.ron");
    std::fs::write(&path, text).unwrap();
    let path = path.to_string_lossy().into_owned();
    Written { _folder: folder, path }
}

fn find(file: &str, options: &[&str], sights: &[String]) -> Json {
    let mut args = vec!["find", file, "--json"];
    args.extend(options);
    sights.iter().for_each(|sight| args.extend(["--saw", sight]));
    answer(&args, "")
}

/// Every fault that remains, by line.
fn lines(answer: &Json) -> Vec<Vec<String>> {
    let words = |json: &Json| json.as_str().unwrap().to_owned();
    let line = |line: &Json| {
        let alike = line["alike"].as_array().unwrap().iter().map(words);
        std::iter::once(words(&line["fault"])).chain(alike).collect()
    };
    answer["remaining"].as_array().unwrap().iter().map(line).collect()
}

fn remaining(answer: &Json) -> Vec<String> {
    lines(answer).concat()
}

/// A test as the program names it.
struct Asked {
    read: String,
    after: Vec<String>,
    with: Vec<String>,
}

impl Asked {
    fn of(test: &Json) -> Self {
        let list = |name: &str| test[name].as_array().unwrap().iter().map(|w| w.as_str().unwrap().to_owned()).collect();
        Self { read: test["read"].as_str().unwrap().to_owned(), after: list("after"), with: list("with") }
    }

    /// What a truck with this fault shows: as the program's verdict has it.
    fn shown(&self, file: &str, fault: &str) -> Json {
        let mut args = vec!["verdict", file, "--json", "--read", &self.read];
        if fault != "healthy" {
            args.extend(["--fault", fault]);
        }
        self.with.iter().for_each(|setting| args.extend(["--set", setting]));
        self.after.iter().for_each(|act| args.extend(["--do", act]));
        answer(&args, "")["readings"][&self.read].clone()
    }

    /// It as a sight with that value.
    fn sight(&self, shown: &str) -> String {
        let tail = |word: &str, items: &[String]| {
            if items.is_empty() { String::new() } else { format!(" {word} {}", items.join(";")) }
        };
        format!("{}={shown}{}{}", self.read, tail("after", &self.after), tail("with", &self.with))
    }
}

/// What a person would write down of a reading that misses the true value by as much as the usual tolerance allows, in
/// shares of it from -1 to 1.
fn noted(read: &str, shown: &Json, miss: f64) -> String {
    let value = match shown {
        Json::String(word) => return word.clone(),
        Json::Null => return if read.starts_with("ohms") { "overload" } else { "none" }.to_owned(),
        number => number.as_f64().unwrap(),
    };
    let (least, share) = match read.split(':').next().unwrap() {
        "volts" | "lowz" => (0.1, 0.02),
        "ohms" => (0.3, 0.05),
        "amps" => (0.01, 0.03),
        "clamp" => (0.1, 0.03),
        _ => (3.0, 0.02),
    };
    format!("{}", value + 0.95 * miss * (least + share * value.abs()))
}

fn names(circuit: &Circuit) -> Vec<String> {
    every(circuit).iter().map(Fault::to_string).collect()
}

#[test]
fn the_true_fault_remains_however_its_readings_miss_within_their_tolerance() {
    let asked = |read: &str, after: &[&str], with: &[&str]| Asked {
        read: read.to_owned(),
        after: after.iter().map(|act| (*act).to_owned()).collect(),
        with: with.iter().map(|setting| (*setting).to_owned()).collect(),
    };
    let cases = [("series-closed", 7), ("ground-side", 8), ("relay-inverted", 11), ("module-high-side", 9)];
    let all: Vec<(usize, &str, String)> = cases
        .iter()
        .flat_map(|(name, step)| names(&shipped(name)).into_iter().step_by(*step).map(move |fault| (*name, fault)))
        .enumerate()
        .map(|(seed, (name, fault))| (seed, name, fault))
        .collect();
    all.par_iter().for_each(|(seed, name, fault)| {
        let file = format!("circuits/{name}.ron");
        let mut random = Random::new(*seed as u64);
        let asked = [
            asked("fan", &[], &[]),
            asked("fan", &["unplug:Y1"], &[]),
            asked("volts:Y1.1,Y1.2", &[], &[]),
            asked("volts:Y1.1,G1.-", &[], &["coolant=230F"]),
            asked("gauge:clutch", &[], &["coolant=230F"]),
            asked("ohms:Y1.1,G1.-", &[], &["key=off"]),
            asked("lamp:Y1.1,G1.-", &[], &[]),
        ];
        let sight = |asked: &Asked| {
            let miss = random.between(-1.0, 1.0);
            asked.sight(&noted(&asked.read, &asked.shown(&file, fault), miss))
        };
        let sights: Vec<String> = asked.iter().map(sight).collect();
        let found = find(&file, &["--instruments", "volts"], &sights);
        assert!(remaining(&found).contains(fault), "{name}: {fault} is lost after {sights:?}");
        let weights = found["remaining"].as_array().unwrap().iter().map(|line| line["weight"].as_f64().unwrap());
        support::near(weights.sum(), 1.0, 1e-9);
    });
}

/// Follows a plan with what a truck shows; what is left at its end.
fn followed(file: &str, plan: &Json, fault: &str, random: &mut Random) -> Vec<String> {
    let mut at = plan;
    while let Some(outcomes) = at["outcomes"].as_array() {
        let asked = Asked::of(at);
        let noted = noted(&asked.read, &asked.shown(file, fault), random.between(-1.0, 1.0));
        let fits = |outcome: &&Json| match noted.parse::<f64>() {
            Ok(value) => {
                let [Some(from), Some(to)] = ["from", "to"].map(|end| outcome[end].as_f64()) else { return false };
                // What a reading may miss at either end.
                let room = |value: f64| match asked.read.split(':').next().unwrap() {
                    "ohms" => 0.3 + 0.05 * value.abs(),
                    "gauge" => 3.0 + 0.02 * value.abs(),
                    _ => 0.1 + 0.03 * value.abs(),
                };
                (from - room(from)..=to + room(to)).contains(&value)
            }
            Err(_) => {
                let word = if noted == "overload" {
                    Json::Null
                } else if noted == "none" {
                    return outcome["from"] == 0.0;
                } else {
                    Json::from(noted.clone())
                };
                outcome["from"] == word || outcome["to"] == word
            }
        };
        let taken: Vec<&Json> = outcomes.iter().filter(fits).collect();
        assert_eq!(taken.len(), 1, "{fault}: {} = {noted} is to fit one of {outcomes:?}", asked.read);
        at = &taken[0]["then"];
    }
    at["leaves"].as_array().unwrap().iter().map(|leaf| leaf.as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_plan_ends_at_the_truth_for_every_fault_and_for_none() {
    let file = written(&plain("Open", "Blocking"));
    let found = find(&file.path, &["--plan"], &[]);
    let lines = lines(&found);
    let all: Vec<(usize, String)> = lines.concat().into_iter().enumerate().collect();
    assert!(all.len() > 40 && all.iter().any(|(_, name)| name == "healthy"));
    all.par_iter().for_each(|(seed, fault)| {
        let left: BTreeSet<String> =
            followed(&file.path, &found["plan"], fault, &mut Random::new(*seed as u64)).into_iter().collect();
        let line = lines.iter().find(|line| line.contains(fault)).unwrap();
        assert_eq!(left, line.iter().cloned().collect(), "{fault}");
    });
}

#[test]
fn following_what_comes_next_ends_where_nothing_tells_what_remains_apart() {
    let file = written(&plain("Closed", "Passing"));
    let circuit = support::circuit(&plain("Closed", "Passing"));
    let faults: Vec<String> = names(&circuit).into_iter().step_by(9).collect();
    faults.par_iter().for_each(|fault| {
        let mut sights: Vec<String> = Vec::new();
        for _ in 0..12 {
            let found = find(&file.path, &[], &sights);
            assert!(remaining(&found).contains(fault), "{fault} is lost after {sights:?}");
            let count = found["remaining"].as_array().unwrap().len();
            assert_eq!(found["next"].is_null(), count == 1, "{fault} after {sights:?}");
            if found["next"].is_null() {
                return;
            }
            let asked = Asked::of(&found["next"]);
            sights.push(asked.sight(&noted(&asked.read, &asked.shown(&file.path, fault), 0.0)));
        }
        panic!("{fault} is not found by {sights:?}");
    });
}

/// A relay's coil was mended and its proof was a lead past the relay, which a dead coil passes as well.
#[test]
fn the_proof_of_a_mend_is_one_that_the_fault_does_not_pass() {
    let complaint = ["fan=released with refrigerant=320psi".to_owned()];
    let sights = [&complaint[..], &["ohms:K1.86,K1.85=overload after unplug:K1".to_owned()]].concat();
    let file = "circuits/refrigerant-relay.ron";
    let found = find(file, &["--set", "key=on"], &sights);
    assert!(remaining(&found).contains(&"coil-open:K1".to_owned()), "{found}");

    let proof = found["proof"].as_array().unwrap();
    assert_eq!(proof[1]["with"][0], "refrigerant=320psi", "what was complained of: {proof:?}");
    let mut told = 0;
    for step in proof {
        let mut args = vec!["verdict", file, "--fault", "coil-open:K1", "--json"];
        let words = |name: &str| step[name].as_array().unwrap().iter().map(|w| w.as_str().unwrap());
        words("with").for_each(|with| args.extend(["--set", with]));
        words("after").for_each(|act| args.extend(["--do", act]));
        told += usize::from(answer(&args, "")["clutch"]["state"] != step["fan"]);
    }
    assert_eq!(told, 1, "with the fault there one of them comes out otherwise: {proof:?}");
}

#[test]
fn with_fewer_instruments_more_faults_are_alike() {
    // With eyes alone most faults are alike; with all instruments few are.
    let eyes = find(FILE, &["--instruments", "fan"], &["fan=engaged".to_owned()]);
    let all = find(FILE, &[], &["fan=engaged".to_owned()]);
    let [of_eyes, of_all] = [&eyes, &all].map(|found| lines(found).len());
    assert!(of_eyes < of_all, "{of_eyes} and {of_all}");
    assert_eq!(remaining(&eyes).len(), remaining(&all).len());
}

#[test]
fn two_readings_of_one_thing_that_differ_contradict_each_other() {
    let sights = ["volts:Y1.1,Y1.2=12.5".to_owned(), "volts:Y1.1,Y1.2=7.5".to_owned()];
    let found = find(FILE, &[], &sights);
    assert_eq!((&found["contradiction"], &found["next"]), (&Json::Bool(true), &Json::Null));
    assert!(remaining(&found).is_empty() && found["pairs"].is_null());
    let text = String::from_utf8(run(&["find", FILE, "--saw", &sights[0], "--saw", &sights[1]], "").stdout).unwrap();
    assert!(text.contains("contradict each other") && text.contains("Read it again"), "{text}");
    // Under other conditions both can be.
    let apart = ["fan=engaged with coolant=230F".to_owned(), "fan=released".to_owned()];
    assert!(find(FILE, &[], &apart)["contradiction"].is_null());
}

#[test]
fn pairs_are_offered_where_two_faults_were_planted_and_no_single_one_explains_it() {
    let file = written(&plain("Open", "Blocking"));
    let sights = [
        "volts:Y1.1,G1.-=0V after jump:B1.1=B1.2".to_owned(),
        "volts:B1.2,G1.-=12.6V after jump:B1.1=B1.2".to_owned(),
        "ohms:Y1.1,Y1.2=overload after lift:W4@Y1.1 with key=off".to_owned(),
    ];
    let found = find(&file.path, &[], &sights);
    assert!(remaining(&found).is_empty());
    let clash = found["clash"].as_str().unwrap();
    assert!(clash.contains("Nothing single") && found["contradiction"] == Json::Bool(false), "{clash}");
    let pairs = found["pairs"].as_array().unwrap();
    let weights: f64 = pairs.iter().map(|pair| pair["weight"].as_f64().unwrap()).sum();
    support::near(weights, 1.0, 1e-9);
    let is_planted = |pair: &Json| *pair == serde_json::json!(["open:W4", "coil-open:Y1"]);
    let offered = pairs
        .iter()
        .any(|pair| is_planted(&pair["faults"]) || pair["alike"].as_array().unwrap().iter().any(is_planted));
    assert!(offered, "{pairs:?}");
}

#[test]
fn a_reading_nobody_is_sure_of_rules_nothing_out() {
    let base = "fan=engaged".to_owned();
    let known = find(FILE, &[], std::slice::from_ref(&base));
    let unsure = find(FILE, &[], &[base.clone(), "volts:Y1.1,Y1.2=?".to_owned()]);
    assert_eq!(known["remaining"], unsure["remaining"]);
    let sure = find(FILE, &[], &[base.clone(), "volts:Y1.1,Y1.2=0V".to_owned()]);
    let doubtful = find(FILE, &[], &[base, "volts:Y1.1,Y1.2=0V?".to_owned()]);
    let (all, fewer) = (remaining(&doubtful).len(), remaining(&sure).len());
    assert_eq!(all, remaining(&known).len());
    assert!(fewer < all && fewer > 0, "{fewer} of {all}");
    let weight = |found: &Json, fault: &str| {
        let of = |line: &&Json| line["fault"] == fault || line["alike"].as_array().unwrap().iter().any(|f| f == fault);
        found["remaining"].as_array().unwrap().iter().find(of).map(|line| line["weight"].as_f64().unwrap())
    };
    // What agrees gains, what does not loses and stays.
    let [before, after] = [&known, &doubtful].map(|found| weight(found, "open:W7").unwrap());
    assert!(after > before, "{before} to {after}");
}

#[test]
fn a_sight_with_a_tolerance_of_its_own_is_held_to_that() {
    let count = |within: &str| remaining(&find(FILE, &[], &[format!("volts:Y1.1,Y1.2=11.6{within}")])).len();
    let (tight, wide) = (count("+-0.05"), count("+-2V"));
    assert!(tight < wide, "{tight} and {wide}");
    let [usual, edited] = [
        find(FILE, &[], &["volts:Y1.1,Y1.2=11.6".to_owned()]),
        find(FILE, &["--tolerance", "volts=2"], &["volts:Y1.1,Y1.2=11.6".to_owned()]),
    ]
    .map(|found| remaining(&found).len());
    assert!(usual < edited, "{usual} and {edited}");
}

#[test]
fn nothing_wrong_is_a_possibility_and_is_said_while_it_remains() {
    let healthy = ["fan=released".to_owned(), "fan=engaged with coolant=230F".to_owned()];
    let found = find(FILE, &[], &healthy);
    assert_eq!(found["healthy"], Json::Bool(true));
    assert!(remaining(&found).contains(&"healthy".to_owned()));
    let text = String::from_utf8(run(&["find", FILE, "--saw", &healthy[0]], "").stdout).unwrap();
    assert!(text.contains("nothing is wrong remains possible"), "{text}");
    let without = find(FILE, &["--weight", "healthy=0"], &healthy);
    assert_eq!(without["healthy"], Json::Bool(false));
}

#[test]
fn weights_times_and_instruments_that_are_edited_change_the_answer() {
    let sights = ["fan=engaged".to_owned()];
    let usual = find(FILE, &[], &sights);
    let next = |found: &Json| found["next"]["read"].as_str().unwrap().to_owned();
    assert!(next(&usual).contains("F1"), "{}", next(&usual));
    let far = find(FILE, &["--minutes", "F1=90"], &sights);
    assert!(!next(&far).contains("F1"), "{}", next(&far));
    let minutes = |found: &Json| found["next"]["minutes"].as_f64().unwrap();
    let slow = find(FILE, &["--minutes", "volts=3"], &sights);
    assert!(minutes(&slow) > minutes(&usual));
    let lamp = find(FILE, &["--instruments", "lamp"], &sights);
    assert!(next(&lamp).starts_with("lamp") || next(&lamp) == "fan", "{}", next(&lamp));
    let first = |found: &Json| found["remaining"][0]["fault"].as_str().unwrap().to_owned();
    assert!(!first(&usual).starts_with("ground"));
    assert!(first(&find(FILE, &["--weight", "ground=50"], &sights)).starts_with("ground"));
}

#[test]
fn a_place_reached_already_costs_no_second_way_there() {
    let minutes = |sights: &[&str]| {
        let sights: Vec<String> = sights.iter().map(|sight| (*sight).to_owned()).collect();
        let found = find(FILE, &["--instruments", "volts"], &sights);
        (found["next"]["read"].as_str().unwrap().to_owned(), found["next"]["minutes"].as_f64().unwrap())
    };
    let (read, before) = minutes(&["fan=engaged"]);
    assert!(read.contains("F1"), "{read}");
    let (again, after) = minutes(&["fan=engaged", "volts:F1.1,G1.-=?"]);
    assert!(again.contains("F1") && after < before, "{read} {before}, {again} {after}");
}

#[test]
fn every_malformed_question_is_refused_with_place_and_mend() {
    for sight in [
        "fan",
        "fan=on",
        "volts:Y1.1=3",
        "volts:Y1.1,Y1.2=x",
        "volts:Y9.1,Y1.2=3",
        "volts:Y1.1,Y1.1=3",
        "amps:W99=1",
        "fan=engaged after",
        "fan=engaged after unplug:Z1",
        "fan=engaged with coolant=hot",
        "lamp:Y1.1,Y1.2=3V",
        "blink=1",
        "volts:W4@B1.2,G1.-=3",
    ] {
        refused(&["find", FILE, "--saw", sight], &["error: ", "--saw", "help: "]);
    }
    refused(&["find", FILE, "--weight", "opens=1"], &["--weight opens=1", "open, "]);
    refused(&["find", FILE, "--weight", "open=-1"], &["--weight", "help: "]);
    refused(&["find", FILE, "--tolerance", "volts=0"], &["--tolerance", "help: "]);
    refused(&["find", FILE, "--minutes", "Z9=1"], &["--minutes", "help: "]);
    refused(&["find", FILE, "--instruments", "volts,scope"], &["`scope`", "help: "]);
    refused(&["find", FILE, "--fault", "open:W99"], &["--fault open:W99", "help: "]);
    refused(&["find", FILE, "--to", "plan.doc"], &["plan.doc", ".md"]);
    // All of them at once, not the first alone.
    refused(&["find", FILE, "--saw", "fan=on", "--weight", "opens=1"], &["fan=on", "opens=1"]);
}

#[test]
fn more_faults_and_tests_than_can_be_foreseen_are_refused_at_once_with_what_would_make_them_fewer() {
    // A thousand parts once took memory without end.
    let harness = written(&harness_text(60));
    let file = harness.path.as_str();

    refused(&["find", file, "--saw", "fan=released"], &["too many to foresee", "help: give more of what was seen"]);
}

#[test]
fn a_plan_is_written_as_text_and_as_markdown() {
    let folder = tempfile::tempdir().unwrap();
    for (name, tells) in [
        ("plan.md", ["# Gravel tipper 12", "## The whole course"]),
        ("plan.txt", ["Gravel tipper 12", "The whole course"]),
    ] {
        let path = folder.path().join(name);
        let output = run(&["find", FILE, "--plan", "--saw", "fan=engaged", "--to", &path.to_string_lossy()], "");
        assert_eq!((output.status.code(), output.stdout.len()), (Some(0), 0));
        let text = std::fs::read_to_string(&path).unwrap();
        for tell in tells.iter().chain(&["read ", "Proof", "Safety"]) {
            assert!(text.contains(tell), "{name} should say `{tell}`:\n{text}");
        }
    }
}

/// Every test of a plan with what remains there.
fn tests_of<'a>(plan: &'a Json, found: &mut Vec<&'a Json>) {
    let Some(outcomes) = plan["outcomes"].as_array() else { return };
    found.push(plan);
    outcomes.iter().for_each(|outcome| tests_of(&outcome["then"], found));
}

#[test]
fn no_test_of_a_plan_brings_a_danger_whatever_of_what_remains_it_is() {
    for name in ["parallel-open", "module-low-side"] {
        let circuit = shipped(name);
        let found = find(&format!("circuits/{name}.ron"), &["--plan"], &[]);
        let mut tests = Vec::new();
        tests_of(&found["plan"], &mut tests);
        assert!(tests.len() > 30);
        let dangers = |fault: &str, asked: Option<&Asked>| {
            let faults = if fault == "healthy" { Vec::new() } else { vec![fault.parse::<Fault>().unwrap()] };
            let settings = asked.map_or_else(Vec::new, |a| a.with.iter().map(|w| w.parse().unwrap()).collect());
            let mut bench = Bench::started(Arc::clone(&circuit), Start { settings, faults }).unwrap();
            for act in asked.map_or(&[][..], |a| &a.after) {
                bench.apply(Action::Do(act.parse().unwrap())).unwrap();
            }
            let grave = hazard::all(&bench).into_iter().filter(|hazard| hazard.level == Level::Danger);
            grave.map(|hazard| (hazard.kind, hazard.at)).collect::<BTreeSet<_>>()
        };
        let acting: Vec<&Json> =
            tests.into_iter().filter(|test| test["after"].as_array().is_some_and(|acts| !acts.is_empty())).collect();
        assert!(!acting.is_empty(), "{name}: some test does something by hand");
        acting.par_iter().for_each(|test| {
            let asked = Asked::of(test);
            for fault in test["leaves"].as_array().unwrap() {
                let fault = fault.as_str().unwrap();
                let brought = &dangers(fault, Some(&asked)) - &dangers(fault, None);
                assert!(brought.is_empty(), "{name}, {fault}, {:?}: {brought:?}", asked.after);
            }
        });
    }
}

#[test]
fn the_chosen_course_is_within_a_tenth_of_the_best_of_all() {
    // Sorts of fault are left out until the exhaustive search can end.
    let only = |sorts: &[&str]| {
        let mut options = Options::default();
        let all: Vec<String> = options.weights.iter().map(|(sort, _)| sort.to_owned()).collect();
        let left_out = all.iter().filter(|sort| !sorts.contains(&sort.as_str()));
        left_out.for_each(|sort| assert!(options.weights.set(sort, 0.0)));
        options
    };
    let opens = ["open", "blown", "coil-open"];
    let inside = ["stuck", "coil-open", "valve-stuck", "blown"];
    let cases = [
        ("closed at rest, opens", plain("Closed", "Passing"), &opens[..]),
        ("open at rest, opens", plain("Open", "Blocking"), &opens[..]),
        ("closed at rest, inside parts", plain("Closed", "Passing"), &inside[..]),
        ("open at rest, inside parts", plain("Open", "Blocking"), &inside[..]),
        ("spring-applied, inside parts", text_of("circuits/spring-applied.ron"), &inside[..]),
        ("ground-side, inside parts", text_of("circuits/ground-side.ron"), &inside[..]),
    ];
    let measured: Vec<(&str, usize, f64, f64, f64)> = cases
        .par_iter()
        .filter_map(|(name, text, sorts)| {
            let circuit = support::circuit(text);
            let mut options = only(sorts);
            options.instruments = ["volts", "ohms"].map(str::to_owned).into();
            let suspects = singles(&circuit, &options.weights, options.healthy, &[]);
            let case = Case { circuit, settings: Vec::new(), acts: Vec::new(), known: Vec::new() };
            let outlook = Outlook::of(&case, &options, &suspects, &Progress::default()).expect("few enough");
            let puzzle = outlook.puzzle();
            let all: Vec<usize> = (0..outlook.classes().len()).collect();
            let begin = puzzle.begin(&[]);
            let best = least_minutes(puzzle, &all, &begin, 4_000);
            println!("{name}: {} lines, least {best:?}", all.len());
            let best = best?;
            let greedy = puzzle.greedy_minutes(&all, &begin);
            let chosen = puzzle.minutes(&puzzle.course(&all, &begin));
            Some((*name, all.len(), chosen, greedy, best))
        })
        .collect();
    for (name, classes, chosen, greedy, best) in &measured {
        println!(
            "{name}: {classes} lines, chosen {chosen:.2} min, by bits alone {greedy:.2} min, best of all {best:.2} min"
        );
        assert!(chosen >= &(best - 1e-6), "{name}: {chosen} is less than the least, {best}");
        assert!(*chosen <= 1.1 * best, "{name}: {chosen} and {best}");
    }
    assert!(measured.len() >= 4, "the exhaustive search gave up on too many: {measured:?}");
}
