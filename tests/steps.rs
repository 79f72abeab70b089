//! `fanloom steps`: a demonstration gone through by the built program, beside the same acts asked of a verdict.
//!
//! How the window makes and shows one is tested in `tests/gui/demonstration.rs`.

mod support;

use std::path::{Path, PathBuf};

use support::program::{fanloom, json, refused};

const STEPS: &str = "(does: Do(\"jump:B1.1=B1.2\"), says: \"Bridged\"), (does: Set(\"coolant=230F\")), \
                     (does: Plant(\"open:W5\")), (does: PutBack(\"jump:B1.1=B1.2\")),";

struct Made {
    folder: tempfile::TempDir,
}

impl Made {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a folder") }
    }

    fn file(&self, circuit: &str, steps: &str, text: &str) -> PathBuf {
        let path = self.folder.path().join("steps.ron");
        let text = format!(
            "// by hand\nDemonstration(format: 1, title: \"Why\", circuit: {circuit}, steps: [{steps}], text: {text:?})\n"
        );
        std::fs::write(&path, text).expect("a file is written");
        path
    }
}

fn words(path: &Path) -> String {
    path.display().to_string()
}

/// What it says on standard output.
fn told(path: &Path) -> String {
    let output = fanloom(&["steps", &words(path)]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn each_step_stands_with_what_it_brings_about_and_the_end_is_the_state_of_the_same_acts() {
    let made = Made::new();
    let path = made.file("Shipped(\"parallel-open\")", STEPS, "");

    let answer = json(&["steps", &words(&path), "--json"]);

    let all = answer["steps"].as_array().expect("steps");
    let went: Vec<_> = all.iter().map(|step| (step["before"].as_str(), step["after"].as_str())).collect();
    let (free, driven) = (Some("released"), Some("engaged"));
    assert_eq!(went, [(free, driven), (driven, driven), (driven, driven), (driven, driven)]);
    assert_eq!(all[0]["says"], "Bridged");
    assert_eq!(all[0]["changed"][0]["link"], "Circuit");
    assert_eq!(all[0]["parts_at"], "Circuit");
    let same =
        json(&["verdict", "circuits/parallel-open.ron", "--set", "coolant=230F", "--fault", "open:W5", "--json"]);
    for part in ["clutch", "terminals", "contacts", "changed"] {
        assert_eq!(answer["end"][part], same[part], "{part}");
    }
}

#[test]
fn a_step_that_changes_the_circuit_as_built_brings_about_what_the_changed_circuit_does() {
    let made = Made::new();
    let changes = "(does: Build(AddWire(tag: \"W20\", from: \"B1.1\", to: \"B1.2\"))), \
                   (does: Build(RenamePart(from: \"B1\", to: \"B7\"))), (does: Do(\"unplug:B7\")), \
                   (does: Build(TakeWire(\"W20\"))),";
    let path = made.file("Shipped(\"parallel-open\")", changes, "");

    let answer = json(&["steps", &words(&path), "--json"]);

    let all = answer["steps"].as_array().expect("steps");
    let stands: Vec<_> = all.iter().map(|step| step["after"].as_str()).collect();
    let (free, driven) = (Some("released"), Some("engaged"));
    assert_eq!(stands, [driven, driven, driven, free], "the wire across B1 feeds the coil until it is taken away");
    assert!(answer["end"]["changed"].to_string().contains("B7"), "{}", answer["end"]["changed"]);
}

#[test]
fn what_another_circuit_cannot_have_is_left_out_and_told() {
    let made = Made::new();
    let path = made.file("Shipped(\"parallel-open\")", "(does: Do(\"turn:S2=on\")), (does: Set(\"key=off\")),", "");

    let answer = json(&["steps", &words(&path), "--on", "circuits/module-low-side.ron", "--json"]);

    assert_eq!(answer["left_out"][0]["does"], "do turn:S2=on");
    assert_eq!(answer["steps"].as_array().map(Vec::len), Some(1));
}

#[test]
fn a_changed_or_missing_circuit_is_said_with_what_to_do() {
    let made = Made::new();
    let circuit = std::fs::read_to_string("circuits/parallel-open.ron").unwrap();
    let changed = made.file("Shipped(\"series-closed\")", STEPS, &circuit);
    let said = told(&changed);
    assert!(said.contains("has been changed since") && said.contains("Salt spreader 3"), "{said}");

    let gone = made.file("File(\"gone.ron\")", STEPS, &circuit);
    assert!(told(&gone).contains("no longer where it was"));

    let bare = made.file("File(\"gone.ron\")", STEPS, "");
    refused(&["steps", &words(&bare)], &["holds no circuit", "help: put the circuit file there"]);
    // Beside the file that names it.
    std::fs::write(made.folder.path().join("gone.ron"), &circuit).unwrap();
    assert!(told(&bare).contains("Step 4: put-back jump:B1.1=B1.2"));
}

#[test]
fn damaged_files_are_refused_with_place_and_mend() {
    let made = Made::new();
    let path = made.file("Made", "(does: Do(\"jumb:B1.1=B1.2\")),", "Circuit(");
    for (text, wanted) in [
        (std::fs::read_to_string(&path).unwrap(), "steps.ron:2"),
        ("Circuit(".to_owned(), "no demonstration"),
        (String::new(), "no demonstration"),
        ("Demonstration(format: 1".to_owned(), "help:"),
        ("Demonstration(format: 1, title: \"\", circuit: Made, steps: [(does: Undo)])".to_owned(), "only undoes"),
        ("Demonstration(format: 1, title: \"\", circuit: Made, steps: [])".to_owned(), "holds no circuit"),
        ("Demonstration(format: 1, title: \"\", circuit: Made, steps: [], text: \"Circus()\")".to_owned(), "error"),
    ] {
        std::fs::write(&path, &text).unwrap();
        refused(&["steps", &words(&path)], &[wanted]);
    }
}

/// A lead goes on with the clock running, and is told at its moment; what comes of it is told of the time after.
#[test]
fn where_time_passes_each_step_is_told_at_its_moment_and_so_is_the_time_between_them() {
    let made = Made::new();
    let steps = "(does: Do(\"jump:B1.1=B1.2\"), after_s: 2.0), (does: PutBack(\"jump:B1.1=B1.2\"), after_s: 20.0),";
    let path = made.file("Shipped(\"parallel-open\")", steps, "");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("steps:", "then_s: 30.0, steps:")).unwrap();

    let answer = json(&["steps", &words(&path), "--json"]);

    let stands = |part: &serde_json::Value| (part["before"].clone(), part["after"].clone());
    let (free, driven) = (serde_json::json!("released"), serde_json::json!("engaged"));
    let [on, off] = [&answer["steps"][0], &answer["steps"][1]];
    assert_eq!(stands(on), (free.clone(), free.clone()), "the air is not there yet");
    assert_eq!(on["changed"][0]["link"], "Circuit");
    assert_eq!(stands(&off["waited"]), (free.clone(), driven.clone()));
    assert_eq!(stands(off), (driven.clone(), driven.clone()), "nor is it gone at once");
    assert_eq!(stands(&answer["then"]), (driven, free.clone()));
    assert_eq!(answer["end"]["clutch"]["state"], free);
    let told = told(&path);
    for line in
        ["2 s pass", "Step 1 at 2 s: do jump", "20 s pass", "Step 2 at 22 s:", "30 s pass", "At the end, at 52 s,"]
    {
        assert!(told.contains(line), "{line}: {told}");
    }
}

/// Built and bridged before the clock was started: the circuit had settled, and the first second sees it so.
#[test]
fn steps_before_the_clock_stand_when_it_is_started_and_may_change_the_circuit() {
    let made = Made::new();
    let steps = "(does: Build(RenamePart(from: \"B1\", to: \"B7\"))), (does: Do(\"jump:B7.1=B7.2\")), \
                 (does: Set(\"key=off\"), after_s: 0.05),";
    let path = made.file("Shipped(\"parallel-open\")", steps, "");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("steps:", "before_clock: 2, steps:")).unwrap();

    let answer = json(&["steps", &words(&path), "--json"]);

    assert_eq!(answer["left_out"], serde_json::json!([]));
    assert_eq!(answer["steps"][1]["after"], "engaged");
    assert_eq!(answer["steps"][2]["before"], "engaged", "a twentieth of a second is too short to fill the clutch");
    // On the clock from the beginning there would be no air yet.
    std::fs::write(&path, text.replace("steps:", "before_clock: 1, steps:")).unwrap();
    assert_eq!(json(&["steps", &words(&path), "--json"])["steps"][2]["before"], "released");
}
