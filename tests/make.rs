//! Circuits made from answers, through the built program: that each does what it is for is judged by other subcommands.
//! What the questions look like in the window is in `gui/making.rs`.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde_json::{Value as Json, json};
use support::program::{answer, fanloom, refused, run};

/// The circuit made from these options, as a file in a folder.
fn made(folder: &Path, options: &str) -> String {
    let to = folder.join("made.ron").to_str().unwrap().to_owned();
    let args: Vec<&str> = ["make", "--to", &to].into_iter().chain(options.split_whitespace()).collect();
    let output = fanloom(&args);
    assert!(output.status.success(), "{options}: {}", String::from_utf8_lossy(&output.stderr));
    to
}

fn state(file: &str, more: &[&str]) -> String {
    let args: Vec<&str> =
        ["verdict", file, "--json", "--set", "engine=600"].into_iter().chain(more.iter().copied()).collect();
    answer(&args, "")["clutch"]["state"].as_str().unwrap().to_owned()
}

/// Rows of a logic table as what is set and what comes of it, a tag read as another.
fn rows(file: &str, renamed: (&str, &str)) -> BTreeSet<String> {
    let table = answer(&["table", file, "--json"], "");
    let row = |row: &Json| {
        let set: BTreeMap<_, _> = row["set"].as_object().unwrap().iter().collect();
        format!("{} {}", json!(set), row["state"]).replace(renamed.0, renamed.1)
    };
    table["rows"].as_array().unwrap().iter().map(row).collect()
}

#[test]
fn the_shipped_styles_can_be_made_and_come_to_the_same_logic() {
    let folder = tempfile::tempdir().unwrap();
    let all = "--requests coolant,intake,oil --volts 24 --units metric";
    let styles = [
        ("parallel-open", "--force switch", "S2"),
        ("series-closed", "--contacts closed --force switch", "S2"),
        ("spring-applied", "--contacts closed --clutch spring", "S2"),
        ("relay-inverted", "--contacts closed --by relay --valve blocking", "S2"),
        ("ground-side", "--by ground-side --requests coolant,intake --force switch", "S2"),
        ("diode-isolated", "--refrigerant lamp", "S2"),
        ("seal-in", "--requests coolant --force buttons", "S2"),
        ("dash-selector", "--refrigerant timer --force selector", "S3"),
        ("coach-24v", &format!("--contacts closed --force switch {all}"), "S2"),
        ("module-low-side", "--by module-low --requests coolant,intake,refrigerant", "S2"),
        (
            "module-high-side",
            "--by module-high --contacts closed --valve passing --requests coolant,intake,refrigerant --force switch",
            "S2",
        ),
    ];
    for (style, options, theirs) in styles {
        let ours = rows(&made(folder.path(), options), ("none", "none"));
        let shipped = rows(&format!("circuits/{style}.ron"), (theirs, "S2"));
        assert_eq!(ours, shipped, "{style}");
    }
    // The shipped one has a switch of the cab cooling in the relay's line; with it on the two are the same.
    let ours = rows(&made(folder.path(), "--refrigerant relay"), ("none", "none"));
    let shipped = answer(&["table", "circuits/refrigerant-relay.ron", "--json"], "");
    for row in shipped["rows"].as_array().unwrap().iter().filter(|row| row["set"]["S2"] == "off") {
        let wanted = format!(r#"{{"B1":{},"B2":{}}} {}"#, row["set"]["B1"], row["set"]["B2"], row["state"]);
        assert!(ours.contains(&wanted), "{wanted} is not among {ours:?}");
    }
}

#[test]
fn every_set_of_answers_makes_a_sound_circuit_or_is_refused_with_a_mend() {
    let folder = tempfile::tempdir().unwrap();
    let (mut files, mut refusals) = (Vec::new(), 0);
    for by in ["supply-side", "ground-side", "relay", "module-low", "module-high"] {
        for (contacts, clutch) in [("open", "air"), ("open", "spring"), ("closed", "air"), ("closed", "spring")] {
            for valve in ["follows", "blocking", "passing"] {
                for (force, refrigerant, volts) in [
                    ("none", "contact", "12"),
                    ("switch", "relay", "24"),
                    ("selector", "timer", "12"),
                    ("buttons", "lamp", "24"),
                ] {
                    let to = folder.path().join(format!("{}.ron", files.len())).to_str().unwrap().to_owned();
                    let output = fanloom(&[
                        "make",
                        "--by",
                        by,
                        "--contacts",
                        contacts,
                        "--clutch",
                        clutch,
                        "--valve",
                        valve,
                        "--force",
                        force,
                        "--refrigerant",
                        refrigerant,
                        "--volts",
                        volts,
                        "--to",
                        &to,
                    ]);
                    if output.status.success() {
                        files.push(to);
                        continue;
                    }
                    refusals += 1;
                    let message = String::from_utf8_lossy(&output.stderr);
                    assert_eq!(output.status.code(), Some(1), "{message}");
                    assert!(message.contains("help: "), "{message}");
                    assert!(!Path::new(&to).exists());
                }
            }
        }
    }
    assert!(files.len() > 60 && refusals > 60, "{} made, {refusals} refused", files.len());
    let args: Vec<&str> = ["check"].into_iter().chain(files.iter().map(String::as_str)).collect();
    let output = fanloom(&args);
    let said = String::from_utf8_lossy(&output.stdout);
    assert_eq!(said.matches(": sound").count(), files.len(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    for file in &files {
        assert_eq!(state(file, &[]), "released", "{file}");
        assert_eq!(state(file, &["--set", "coolant=230F"]), "engaged", "{file}");
        assert_eq!(state(file, &["--set", "refrigerant=350psi"]), "engaged", "{file}");
    }
}

#[test]
fn points_and_what_asks_are_those_that_were_given() {
    let folder = tempfile::tempdir().unwrap();
    let file = made(folder.path(), "--requests oil,coolant --points coolant=210F/190F --points oil=118C/110C");
    assert_eq!(state(&file, &["--set", "coolant=209F"]), "released");
    assert_eq!(state(&file, &["--set", "coolant=211F"]), "engaged");
    assert_eq!(state(&file, &["--set", "oil=117C"]), "released");
    assert_eq!(state(&file, &["--set", "oil=119C"]), "engaged");
    assert_eq!(state(&file, &["--set", "refrigerant=400psi"]), "released");
}

#[test]
fn answers_that_make_no_sense_are_refused_with_a_mend() {
    for (options, tells) in [
        ("--requests coolant,steam", ["`steam` is nothing that asks", "name coolant, intake"]),
        ("--points coolant=210F", ["gives no points", "like coolant=210F/195F"]),
        ("--points oil=250F/235F", ["`oil` does not ask", "name it among what asks"]),
        ("--points coolant=195F/210F", ["not below 195 °F where it acts", "put the point"]),
        ("--points coolant=300psi/240psi", ["no points of coolant", "temperatures in F or C"]),
        ("--points coolant=60F/50F", ["with nothing asking, the clutch would be engaged", "see that a running engine"]),
        ("--valve passing", ["frees the fan", "choose the valve's other position"]),
        ("--hold 0", ["cannot hold for 0 seconds", "from 1 to 3600"]),
        ("--requests coolant --refrigerant timer", ["refrigerant does not ask", "name it among"]),
        ("--contacts closed --force buttons", ["a selector or buttons go with", "choose a switch"]),
    ] {
        let args: Vec<&str> = ["make"].into_iter().chain(options.split_whitespace()).collect();
        refused(&args, &tells);
    }
    assert_eq!(fanloom(&["make", "--contacts", "ajar"]).status.code(), Some(2));
}

#[test]
fn asked_one_by_one_an_empty_line_takes_the_first_answer_and_numbers_or_names_choose() {
    let by_options = fanloom(&["make", "--title", "Roller 7", "--contacts", "closed", "--force", "switch"]);
    // Title, what asks, contacts, where switched, clutch, what the driver has, volts, units.
    let asked = run(&["make", "--ask"], "Roller 7\n\nclosed\n\n1\n2\n12\n\n");
    assert!(asked.status.success(), "{}", String::from_utf8_lossy(&asked.stderr));
    assert_eq!(String::from_utf8(asked.stdout).unwrap(), String::from_utf8(by_options.stdout).unwrap());
    let told = String::from_utf8(asked.stderr).unwrap();
    assert!(told.contains("Cold and without pressure, how are the contacts?"), "{told}");
    // Nothing stands between contacts and coil that could turn their sense round: the valve is not asked about.
    assert!(!told.contains("what does the valve do?"), "{told}");

    let ended = run(&["make", "--ask"], "Roller 7\n");
    assert_eq!(ended.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&ended.stderr).contains("the answers ended before the questions"));
}

#[test]
fn the_json_answer_has_the_file_and_what_it_does() {
    let made = answer(&["make", "--json", "--force", "selector"], "");
    let file = made["file"].as_str().unwrap();
    assert!(file.contains("SelectorSwitch"), "{file}");
    let says = made["says"].to_string();
    assert!(says.contains("leave it at AUTO"), "{says}");
    assert_eq!(made["title"], "My truck");
}
