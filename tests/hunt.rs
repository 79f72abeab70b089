//! The hunt for a hidden fault, played through the built program: what it hides, what it shows, what it counts.
//! Finding from what was seen is in `find.rs`; the same hunt in the window is in `gui/hunting.rs`.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

mod support;

use std::collections::BTreeSet;

use serde_json::Value as Json;
use support::program::{answer, refused, run};

const FILE: &str = "circuits/parallel-open.ron";

fn hunt(seed: u64, lines: &[&str]) -> Json {
    answer(&["hunt", FILE, "--seed", &seed.to_string(), "--json"], &(lines.join("\n") + "\n"))
}

fn text(seed: u64, lines: &[&str]) -> String {
    let output = run(&["hunt", FILE, "--seed", &seed.to_string()], &(lines.join("\n") + "\n"));
    String::from_utf8(output.stdout).unwrap()
}

fn words(list: &Json) -> Vec<String> {
    list.as_array().unwrap().iter().map(|word| word.as_str().unwrap().to_owned()).collect()
}

/// A seed whose hidden fault has others that nothing tells from it, with what it comes to.
fn with_alike() -> (u64, Json) {
    (1..60)
        .map(|seed| (seed, hunt(seed, &["give up"])))
        .find(|(_, over)| !over["alike"].as_array().unwrap().is_empty())
        .expect("some fault of sixty has another like it")
}

#[test]
fn the_same_seed_tells_the_same_story_and_others_tell_others() {
    let lines = ["read volts:B1.1,G1.-", "set coolant=230F", "look F1", "give up"];
    assert_eq!(text(3, &lines), text(3, &lines));
    let hidden: BTreeSet<String> =
        (1..9).map(|seed| hunt(seed, &["give up"])["hidden"].as_str().unwrap().to_owned()).collect();
    assert!(hidden.len() >= 4, "{hidden:?}");
}

#[test]
fn minutes_of_all_steps_add_up_and_a_way_is_paid_for_once() {
    let over =
        hunt(5, &["read volts:B1.1,G1.-", "read volts:B1.2,G1.-", "do unplug:B1", "put-back unplug:B1", "set key=off"]);
    let path = over["path"].as_array().unwrap();
    let minutes: Vec<f64> = path.iter().map(|step| step["minutes"].as_f64().unwrap()).collect();
    support::near(minutes.iter().sum(), over["minutes"].as_f64().unwrap(), 1e-9);
    // To the sensor and the battery, then there already.
    assert!(minutes[0] > minutes[1] && minutes[1] > 0.0, "{minutes:?}");
    assert!(minutes[2] > 0.0 && minutes[4] > 0.0, "{minutes:?}");
    assert_eq!(over["readings"], 2);
    let far = answer(&["hunt", FILE, "--seed", "5", "--json", "--minutes", "B1=50"], "read volts:B1.1,G1.-\n");
    assert!(far["minutes"].as_f64().unwrap() > 50.0);
}

#[test]
fn a_reading_shows_what_the_hidden_fault_makes_of_it() {
    let over = hunt(7, &["set coolant=230F", "read volts:Y1.1,Y1.2"]);
    let hidden = over["hidden"].as_str().unwrap();
    let args = [
        "verdict",
        FILE,
        "--fault",
        hidden,
        "--set",
        "coolant=68F",
        "--set",
        "coolant=230F",
        "--read",
        "volts:Y1.1,Y1.2",
        "--json",
    ];
    let volts = answer(&args, "")["readings"]["volts:Y1.1,Y1.2"].as_f64().unwrap();
    let shown = over["path"][1]["shows"].as_str().unwrap();
    support::near(shown.trim_end_matches(" V").parse().unwrap(), volts, 0.006);
}

#[test]
fn a_guess_is_right_where_nothing_tells_it_from_the_truth_and_a_wrong_one_costs() {
    let (seed, over) = with_alike();
    let alike = words(&over["alike"]);
    let right = hunt(seed, &[&format!("guess {}", alike[0]), "read fan"]);
    assert_eq!((&right["found"], right["guesses"].as_array().unwrap().len()), (&Json::Bool(true), 1));
    assert_eq!(right["path"].as_array().unwrap().len(), 1, "nothing is done after the end");
    let hidden = over["hidden"].as_str().unwrap().to_owned();
    let wrong = ["open:W1", "blown:F1"]
        .into_iter()
        .find(|fault| *fault != hidden && !alike.contains(&(*fault).to_owned()))
        .unwrap();
    let missed = hunt(seed, &[&format!("guess {wrong}"), &format!("guess {hidden}")]);
    assert_eq!(missed["found"], Json::Bool(true));
    let right: Vec<bool> =
        missed["guesses"].as_array().unwrap().iter().map(|g| g["right"].as_bool().unwrap()).collect();
    assert_eq!(right, [false, true]);
    assert!(missed["minutes"].as_f64().unwrap() > 0.0);
}

#[test]
fn nothing_but_eyes_is_given_away_before_the_end() {
    for seed in 1..7 {
        let over = hunt(seed, &["give up"]);
        let opening = text(seed, &["give up"]);
        let before = opening.split("Not found").next().unwrap().to_owned();
        let hidden = over["hidden"].as_str().unwrap();
        assert!(!before.contains(hidden), "{before}");
        assert!(over["complaint"].as_str().unwrap().len() > 20);
        assert!(before.contains("the fan is"), "{before}");
        assert!(!before.contains(" V"), "no volts without a meter: {before}");
    }
}

#[test]
fn the_driver_speaks_of_what_the_fault_does() {
    let mut said = BTreeSet::new();
    for seed in 1..20 {
        let over = hunt(seed, &["give up"]);
        let hidden = over["hidden"].as_str().unwrap();
        let complaint = over["complaint"].as_str().unwrap();
        let state = |settings: &[&str]| {
            let mut args = vec!["verdict", FILE, "--fault", hidden, "--json"];
            settings.iter().for_each(|setting| args.extend(["--set", setting]));
            answer(&args, "")["clutch"]["state"].as_str().unwrap().to_owned()
        };
        let (cold, hot) = (state(&[]), state(&["coolant=230F"]));
        if complaint.contains("noticed nothing") {
            assert_eq!((cold.as_str(), hot.as_str()), ("released", "engaged"), "{hidden}");
        }
        if complaint.contains("never comes in") {
            assert_eq!(hot, "released", "{hidden}");
        }
        if complaint.contains("all the time") {
            assert_eq!(cold, "engaged", "{hidden}");
        }
        said.insert(complaint.to_owned());
    }
    assert!(said.len() >= 3, "{said:?}");
}

#[test]
fn the_best_course_known_leads_to_the_hidden_fault() {
    for seed in [2, 6, 11] {
        let over = hunt(seed, &["give up"]);
        let hidden = over["hidden"].as_str().unwrap();
        let best = &over["best"]["path"];
        let minutes: f64 = best.as_array().unwrap().iter().map(|test| test["minutes"].as_f64().unwrap()).sum();
        support::near(minutes, over["best"]["minutes"].as_f64().unwrap(), 1e-9);
        let mut args: Vec<String> = ["find", FILE, "--json"].map(str::to_owned).to_vec();
        for test in best.as_array().unwrap() {
            let read = test["read"].as_str().unwrap().to_owned();
            let (after, with) = (words(&test["after"]), words(&test["with"]));
            let mut asked: Vec<&str> = vec!["verdict", FILE, "--json", "--fault", hidden, "--read", &read];
            with.iter().for_each(|setting| asked.extend(["--set", setting]));
            after.iter().for_each(|act| asked.extend(["--do", act]));
            let shown = match &answer(&asked, "")["readings"][&read] {
                Json::String(word) => word.clone(),
                Json::Null => "none".to_owned(),
                number => number.to_string(),
            };
            let shown = if shown == "none" && read.starts_with("ohms") { "overload".to_owned() } else { shown };
            let tail = |word: &str, items: &[String]| {
                if items.is_empty() { String::new() } else { format!(" {word} {}", items.join(";")) }
            };
            args.extend([
                "--saw".to_owned(),
                format!("{read}={shown}{}{}", tail("after", &after), tail("with", &with)),
            ]);
        }
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let left = answer(&args, "");
        let names = left["remaining"].as_array().unwrap().iter().flat_map(|line| {
            let alike = words(&line["alike"]);
            std::iter::once(line["fault"].as_str().unwrap().to_owned()).chain(alike)
        });
        let names: Vec<String> = names.collect();
        assert!(names.contains(&hidden.to_owned()), "{hidden} in {names:?}");
        assert!(names.len() < 20, "{hidden}: little is left of over a hundred: {names:?}");
    }
}

#[test]
fn a_line_that_means_nothing_is_told_with_its_mend_and_the_hunt_goes_on() {
    let lines =
        "read volts:Y1.9,G1.-\ndance\nread\nlook Y1\nguess open:W99\nput-back unplug:B1\n# a remark\nread fan\n";
    let output = run(&["hunt", FILE, "--seed", "1", "--json"], lines);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    for number in 1..=6 {
        assert!(said.contains(&format!("(in line {number}, ")), "line {number}:\n{said}");
    }
    assert_eq!(said.matches("help: ").count(), 6, "{said}");
    let over: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(over["path"].as_array().unwrap().len(), 1);
    refused(&["hunt", "circuits/none.ron", "--seed", "1"], &["circuits/none.ron", "help: "]);
    assert_eq!(run(&["hunt", FILE], "").status.code(), Some(2), "no seed is a command line that makes no sense");
}

#[test]
fn no_prompt_stands_in_a_pipe_and_a_closed_one_ends_the_hunt() {
    let told = text(1, &["read fan"]);
    assert!(!told.contains("> "), "{told}");
    assert!(told.contains("Not found: it was"), "{told}");
}

#[test]
fn a_blown_fuse_is_seen_once_it_is_taken_out() {
    let args = ["hunt", FILE, "--seed", "1", "--json", "--weight", "blown=1000000"];
    let over = answer(&args, "look F1\nrenew F1\nlook F1\nguess blown:F1\n");
    assert_eq!((&over["hidden"], &over["found"]), (&Json::from("blown:F1"), &Json::Bool(true)));
    let shows: Vec<&Json> = over["path"].as_array().unwrap().iter().map(|step| &step["shows"]).collect();
    assert_eq!(shows[0], "blown");
    assert_eq!(shows[2], "whole");
}
