//! Claims about changing a circuit as built: what each change does, what is refused and with which mend, that nothing
//! a file could not hold ever comes of it, and what becomes of a truck that somebody works on meanwhile.
//!
//! Through the public face of the circuit and of the bench.

#[path = "format/circuits.rs"]
mod circuits;
mod support;

use std::collections::BTreeMap;
use std::sync::Arc;

use fanloom::bench::{Action, Bench, Journal, Live};
use fanloom::circuit::change::{free_part_tag, free_wire_tag};
use fanloom::circuit::diagnostic::{Finding, Severity, Subject};
use fanloom::circuit::format::{fields_of, kinds, read, write};
use fanloom::circuit::{At, Change, Circuit, Draft, End, Kind, Owner};
use proptest::prelude::*;

use support::random::Random;
use support::{action, shipped};

fn nothing() -> Circuit {
    Circuit::new(Draft::default()).expect("nothing is wrong with nothing")
}

#[track_caller]
fn after(circuit: &Circuit, changes: &[Change]) -> Circuit {
    let mut circuit = circuit.clone();
    for change in changes {
        circuit = change.apply(&circuit).unwrap_or_else(|why| panic!("{change}: {}; {}", why.message, why.mend));
    }
    circuit
}

#[track_caller]
fn refused(circuit: &Circuit, change: &Change) -> Finding {
    let why = *change.apply(circuit).err().unwrap_or_else(|| panic!("{change} is not refused"));
    assert!(!why.mend.is_empty() && why.span.is_none(), "{why:?}");
    why
}

fn rename(from: &str, to: &str) -> Change {
    Change::RenamePart { from: from.into(), to: to.into() }
}

fn add(kind: &str, tag: &str) -> Change {
    Change::AddPart { kind: kind.into(), tag: tag.into() }
}

fn run(tag: &str, from: &str, to: &str) -> Change {
    Change::AddWire { tag: tag.into(), from: from.into(), to: to.into() }
}

fn set(part: &str, field: &str, value: &str) -> Change {
    Change::Set { of: Owner::Part(part.into()), field: field.into(), value: Some(value.into()) }
}

// The position that a selector rests in could have no other name: it was refused by itself, and so was what it rests in.
#[test]
fn a_selector_rests_in_the_same_position_when_that_has_another_name() {
    let coach = (*shipped("dash-selector")).clone();
    let rest = |circuit: &Circuit| match &circuit.part(circuit.part_named("S3").expect("a selector")).kind {
        Kind::SelectorSwitch(selector) => (selector.rest.clone(), selector.rest_position()),
        other => panic!("{other:?}"),
    };
    assert_eq!(rest(&coach), ("AUTO".into(), 1));

    let renamed = after(&coach, &[set("S3", "positions", r#"["ON", "NORMAL", "OFF"]"#)]);

    assert_eq!(rest(&renamed), ("NORMAL".into(), 1));
    assert_eq!(read(&write(&renamed)).circuit, Some(renamed));
    let fewer = refused(&coach, &set("S3", "positions", r#"["ON", "OFF"]"#));
    assert!(fewer.message.as_str().contains("rests at `AUTO`"), "{}", fewer.message);
}

#[test]
fn every_kind_can_be_added_to_nothing_and_is_read_back() {
    let mut circuit = nothing();
    for kind in kinds() {
        let tag = free_part_tag(&circuit, kind);
        circuit = after(&circuit, &[add(kind, &tag)]);
    }
    assert_eq!(circuit.parts().len(), 17);
    assert_eq!(read(&write(&circuit)).circuit, Some(circuit));
}

#[test]
fn a_circuit_is_drawn_from_nothing_to_one_that_nothing_is_doubtful_in() {
    let circuit = after(
        &nothing(),
        &[
            Change::Title("Yard tractor 2".into()),
            add("Battery", "G1"),
            add("Fuse", "F1"),
            add("KeySwitch", "S1"),
            add("TemperatureSwitch", "B1"),
            add("AirValve", "Y1"),
            add("Ground", "N1"),
            run("W1", "G1.+", "F1.1"),
            run("W2", "F1.2", "S1.30"),
            run("W3", "S1.15", "B1.1"),
            run("W4", "B1.2", "Y1.1"),
            run("W5", "Y1.2", "N1.g"),
            run("W6", "G1.-", "N1.g"),
            Change::Set { of: Owner::Wire("W1".into()), field: "gauge".into(), value: Some("Awg(14)".into()) },
            Change::Set { of: Owner::Clutch, field: "engages".into(), value: Some("WithAir".into()) },
        ],
    );
    let reading = read(&write(&circuit));
    assert_eq!(reading.findings, []);
    assert_eq!(reading.circuit.as_ref(), Some(&circuit));
    assert!(circuit.clutch().is_some());
    // Half of it was there, and said what is missing, at its place.
    let half = after(&circuit, &[Change::TakeWire("W4".into())]);
    let bare: Vec<Subject> = read(&write(&half)).findings.into_iter().map(|f| f.subject).collect();
    assert!(bare.contains(&Subject::Terminal("Y1.1".into())), "{bare:?}");
}

#[test]
fn a_part_is_renamed_everywhere_it_is_named_and_in_no_remark() {
    let text = "// Y1 is told of here\nCircuit(format: 1, title: \"Y1\", notes: \"Y1\", parts: { \"Y1\": AirValve(coil_ohms: 40, \
                pulls_in: 8, drops_out: 2, rest: Passing), \"Y11\": Ground, \"N1\": Ground }, wires: { \"W1\": Wire(from: \
                \"Y1.1\", to: \"Y11.g\"), \"W2\": Wire(from: \"N1.g\", to: \"Y1.2\") }, air: Air(valve: \"Y1\"), \
                places: { \"Y1\": At(right: 3, down: -4) })";
    let circuit = read(text).circuit.expect("sound");
    let renamed = after(&circuit, &[rename("Y1", "Y7")]);
    let written = write(&renamed);
    for there in
        ["// Y1 is told", "title: \"Y1\"", "notes: \"Y1\"", "\"Y7\": AirValve", "\"Y7.1\"", "\"Y7.2\"", "\"Y11.g\""]
    {
        assert!(written.contains(there), "{there}\n{written}");
    }
    assert!(written.contains("valve: \"Y7\"") && written.contains("\"Y7\": At(right: 3, down: -4)"), "{written}");
    assert_eq!(after(&renamed, &[rename("Y7", "Y1")]), circuit);
}

#[test]
fn a_part_goes_with_its_wires_and_whatever_names_it() {
    let circuit = shipped("parallel-open");
    let without = after(&circuit, &[Change::TakePart("B1".into())]);
    assert!(without.part_named("B1").is_none());
    assert!(without.wire_named("W4").is_none() && without.wire_named("W7").is_none());
    assert_eq!(without.wires().len(), circuit.wires().len() - 2);

    let named = Change::Set { of: Owner::Air, field: "valve".into(), value: Some("\"Y1\"".into()) };
    let at = Change::Place { part: "Y1".into(), at: At { right: 4, down: 5 } };
    let without = after(&circuit, &[named, at, Change::TakePart("Y1".into())]);
    assert_eq!(without.air().and_then(|air| air.valve.clone()), None);
    assert!(without.places().is_empty());
    assert_eq!(read(&write(&without)).circuit, Some(without));
}

#[test]
fn what_a_file_could_not_hold_is_refused_in_the_readers_words() {
    let circuit = shipped("parallel-open");
    let cases = [
        (rename("B1", "B2"), "there is a part `B2` already", "like `B3`"),
        (rename("B1", "W4"), "there is a wire `W4` already", "like `W13`"),
        (rename("B1", "B 1"), "the tag `B 1` has a blank in it", "letters and digits"),
        (rename("B9", "B3"), "there is no part `B9`", "did you mean"),
        (add("Fusse", "F2"), "`Fusse` is no kind of part", "did you mean `Fuse`?"),
        (run("W13", "B1.1", "B1.1"), "both ends of `W13` would be on `B1.1`", "another terminal"),
        (run("W13", "B1.1", "B1.3"), "there is no terminal `B1.3`", "did you mean"),
        (set("F1", "amps", "ten"), "`amps` of `F1` is `ten`, which is not a number", "amps: 10"),
        (set("F1", "amps", "-10"), "`amps` of `F1` is `-10`: that is below 0", "above 0"),
        (set("F1", "amps", "10, ohms: 3"), "which is not one value", "one value"),
        (set("F1", "amps", "10), \"F9\": Fuse(amps: 2"), "which is not one value", "one value"),
        (set("F1", "amps", ""), "`amps` of `F1` is empty", "write a value"),
        (set("F1", "colour", "1"), "a `Fuse` has no field `colour`", "fields"),
        (set("B1", "resets_at", "Fahrenheit(300)"), "on the wrong side of it", "below"),
        (set("Y1", "drops_out", "9"), "`Y1` drops out at 9 volts", "below `pulls_in`"),
        (Change::LetGo("B1".into()), "`B1` finds its own place already", "by hand"),
    ];
    for (change, message, mend) in cases {
        let why = refused(&circuit, &change);
        assert!(why.message.contains(message), "{change}: {}", why.message);
        assert!(why.mend.contains(mend), "{change}: {}", why.mend);
    }
    let lacks = Change::Set { of: Owner::Part("F1".into()), field: "amps".into(), value: None };
    assert!(refused(&circuit, &lacks).message.contains("lacks `amps`"));
}

#[test]
fn a_terminal_does_not_go_while_a_wire_is_on_it() {
    let with = after(&shipped("parallel-open"), &[add("Connector", "X3"), run("W13", "X3.2a", "B1.1")]);
    let why = refused(&with, &set("X3", "pins", "1"));
    assert!(why.message.contains("`W13` is on `X3.2a`"), "{}", why.message);
    let moved = Change::MoveEnd { wire: "W13".into(), end: End::From, to: "X3.1a".into() };
    assert!(after(&with, &[moved, set("X3", "pins", "1")]).part_named("X3").is_some());
}

#[test]
fn a_value_goes_back_to_what_is_usual_and_leaves_the_file() {
    let circuit = shipped("parallel-open");
    let changed = after(&circuit, &[set("N1", "ohms", "0.5")]);
    assert!(write(&changed).contains("\"N1\": Ground(ohms: 0.5)"));
    let usual = Change::Set { of: Owner::Part("N1".into()), field: "ohms".into(), value: None };
    assert_eq!(&after(&changed, &[usual]), circuit.as_ref());
}

#[test]
fn places_stand_in_the_file_a_part_a_line_and_comments_above_stay() {
    let circuit = shipped("parallel-open");
    let placed = after(&circuit, &[Change::Place { part: "B1".into(), at: At { right: 40, down: 24 } }]);
    let text = write(&placed);
    assert!(text.starts_with("// District road depot"), "{text}");
    assert!(text.ends_with("    places: {\n        \"B1\": At(right: 40, down: 24),\n    },\n)\n"), "{text}");
    assert_eq!(write(&after(&placed, &[Change::LetGo("B1".into())])), write(&circuit));
    let far = Change::Place { part: "B1".into(), at: At { right: i32::MAX, down: i32::MIN } };
    assert_eq!(read(&write(&after(&circuit, std::slice::from_ref(&far)))).findings, []);
}

#[test]
fn a_broken_place_is_told_where_it_stands() {
    let told = |places: &str, message: &str, mend: &str| {
        let text = format!("Circuit(format: 1, parts: {{ \"B1\": Splice }}, places: {places})");
        let errors: Vec<Finding> = read(&text).findings.into_iter().filter(|f| f.severity == Severity::Error).collect();
        assert_eq!(errors.len(), 1, "{errors:?}");
        assert!(errors[0].message.contains(message) && errors[0].mend.contains(mend), "{errors:?}");
        assert!(errors[0].span.as_ref().is_some_and(|span| span.start > 50), "{errors:?}");
    };
    told("{ \"B2\": At(right: 1, down: 2) }", "there is a place for `B2`, and no such part", "did you mean `B1`?");
    told("{ \"B1\": At(right: 1.5, down: 2) }", "which is not a whole number of steps", "right: 40");
    told("{ \"B1\": At(right: 9999, down: 2) }", "which is not a whole number of steps", "4000");
    told("{ \"B1\": At(right: 9) }", "lacks `down`", "down: 24");
    told("{ \"B1\": At(right: 9, down: 1, left: 3) }", "has no field `left`", "`right`");
    told("{ \"B1\": 12 }", "where only an `At(...)` can be", "At(right: 40");
    told("{ \"B1\": At(right: 1, down: 2), \"B1\": At(right: 1, down: 2) }", "two places have the tag `B1`", "own");
    told("[1]", "`places` is not a map", "places: {");
}

#[test]
fn each_change_has_a_name_in_plain_words() {
    assert_eq!(rename("B1", "B4").to_string(), "Rename B1 to B4");
    assert_eq!(run("W9", "F1.2", "B4.1").to_string(), "Run W9 from F1.2 to B4.1");
    assert_eq!(Change::TakePart("B1".into()).to_string(), "Take B1 away");
    assert_eq!(set("F1", "amps", "15").to_string(), "Set F1: rating 15 A");
    assert_eq!(set("A1", "on_when", "Any([Fed, EngineStopped])").to_string(), "Change what A1 waits for");
}

/// One of all changes, sensible or not.
fn random_change(random: &mut Random, circuit: &Circuit) -> Change {
    let tags: Vec<String> = circuit.parts().iter().map(|p| p.tag.clone()).chain(["Q0".into()]).collect();
    let wires: Vec<String> = circuit.wires().iter().map(|w| w.tag.clone()).chain(["W0".into()]).collect();
    let mut ends: Vec<String> = circuit.terminals_with_ids().map(|(id, _)| circuit.terminal_words(id)).collect();
    ends.push("Q0.1".into());
    let kinds: Vec<&str> = kinds().chain(["Horn"]).collect();
    let (part, wire) = (random.pick(&tags).clone(), random.pick(&wires).clone());
    let (from, to) = (random.pick(&ends).clone(), random.pick(&ends).clone());
    let kind = *random.pick(&kinds);
    let free = free_part_tag(circuit, kind);
    match random.below(12) {
        0 | 1 => add(kind, if random.percent(80) { &free } else { &part }),
        2 => Change::TakePart(part),
        3 => {
            let others: [&str; 7] = [&free, &part, &wire, "", "-", "Ä 1", "Ä1"];
            rename(&part, others[random.below(others.len())])
        }
        4 | 5 => Change::AddWire { tag: free_wire_tag(circuit), from, to },
        6 => Change::TakeWire(wire),
        7 => Change::RenameWire { from: wire, to: (*random.pick(&["W99", "W1", "", "\"", "B1"])).into() },
        8 => Change::MoveEnd { wire, end: *random.pick(&End::BOTH), to },
        9 => Change::Place { part, at: At { right: random.below(9000) as i32 - 4500, down: random.below(90) as i32 } },
        10 => Change::LetGo(part),
        _ => {
            let of = match random.below(5) {
                0 => Owner::Air,
                1 => Owner::Clutch,
                2 => Owner::Engine,
                3 => Owner::Wire(wire),
                _ => Owner::Part(part.clone()),
            };
            let word = match &of {
                Owner::Air => "Air",
                Owner::Clutch => "Clutch",
                Owner::Engine => "Engine",
                Owner::Wire(_) => "Wire",
                Owner::Part(tag) => circuit.part_named(tag).map_or("Fuse", |id| circuit.part(id).kind.word()),
            };
            let notes = fields_of(word);
            let note = notes.get(random.below(notes.len().max(1)));
            let odd =
                ["0", "-1", "1e9", "\"x\"", "(", "x)", "3", "true", "Fahrenheit(205)", "None", "Psi(90)", "/* */ 3"];
            let value = note.filter(|_| random.percent(60)).map_or(*random.pick(&odd), |note| note.example);
            let value = random.percent(85).then(|| value.to_owned());
            Change::Set { of, field: note.map_or("nothing", |note| note.name).to_owned(), value }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_changed_the_circuit_can_be_written_and_read_again(circuit in circuits::circuit(), seed in 0u64..1_000_000) {
        let mut random = Random::new(seed);
        let mut circuit = circuit;
        for _ in 0..20 {
            let change = random_change(&mut random, &circuit);
            match change.apply(&circuit) {
                Ok(next) => {
                    let text = write(&next);
                    let again = read(&text).circuit;
                    prop_assert_eq!(again.as_ref(), Some(&next), "{:?}\n{}", change, text);
                    circuit = next;
                }
                Err(why) => {
                    prop_assert!(!why.message.is_empty() && !why.mend.is_empty(), "{:?}: {:?}", change, why);
                    prop_assert!(why.severity == Severity::Error && why.span.is_none());
                }
            }
        }
    }
}

fn bench(name: &str, done: &[&str]) -> Bench {
    let mut bench = Bench::new(shipped(name));
    for words in done {
        bench.apply(action(words).expect("an action")).expect("this circuit can have it");
    }
    bench
}

#[test]
fn a_bench_follows_a_change_of_its_circuit_and_undo_brings_all_of_it_back() {
    let mut bench = bench("parallel-open", &["coolant=230F", "jump:B1.1=B1.2", "lift:W8@B2.2", "open:W5"]);
    let before = (bench.changes(), bench.circuit_shared(), bench.outcome().clone());

    bench.apply(Action::Build(Change::TakePart("B2".into()))).expect("it can go");

    let told: Vec<String> = bench.put_back().iter().map(|change| format!("{change:?}")).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert_eq!(bench.changes().len(), before.0.len() - 2);
    assert_eq!(bench.undoable().map(|a| matches!(a, Action::Build(_))), Some(true));
    assert!((bench.conditions().coolant_c - 110.0).abs() < 0.1, "conditions stay");

    bench.apply(Action::Undo).expect("there is something to undo");
    assert!(Arc::ptr_eq(&bench.circuit_shared(), &before.1));
    assert_eq!((bench.changes(), bench.outcome()), (before.0, &before.2));
    bench.apply(Action::Redo).expect("it can be done again");
    assert!(bench.circuit().part_named("B2").is_none());
}

#[test]
fn what_is_done_to_a_renamed_part_is_done_to_it_under_its_new_name() {
    let mut bench = bench("parallel-open", &["turn:S2=on", "jump:B1.1=B1.2", "lift:W7@B1.2", "drift:B1=+20F"]);
    let outcome = bench.outcome().clone();
    bench.apply(Action::Build(rename("B1", "B4"))).expect("B4 is free");
    bench.apply(Action::Build(Change::RenameWire { from: "W7".into(), to: "W70".into() })).expect("W70 is free");
    bench.apply(Action::Build(rename("S2", "S5"))).expect("S5 is free");

    assert_eq!(bench.put_back(), []);
    let acts: Vec<String> = bench.acts().map(ToString::to_string).collect();
    assert_eq!(acts, ["turn:S5=on", "jump:B4.1=B4.2", "lift:W70@B4.2"]);
    assert_eq!(bench.faults()[0].to_string(), "drift:B4=+20F");
    assert_eq!(bench.outcome().volts, outcome.volts);
}

#[test]
fn what_the_truck_remembers_outlives_a_change_elsewhere() {
    // Between its points B1 holds because it has been hotter.
    let mut bench =
        bench("parallel-open", &["coolant=230F", "coolant=200F", "jump:B2.1=N1.g/none", "back jump:B2.1=N1.g/none"]);
    let held = |bench: &Bench| {
        let id = bench.circuit().part_named("B1").expect("it is there");
        bench.outcome().memory.of(id).acted
    };
    let blown = |bench: &Bench| {
        let id = bench.circuit().part_named("F1").expect("it is there");
        bench.outcome().memory.of(id).blown
    };
    assert!(held(&bench) && blown(&bench));
    bench.apply(Action::Build(Change::TakePart("S2".into()))).expect("it can go");
    bench.apply(Action::Build(add("Lamp", "P1"))).expect("there is room");
    assert!(held(&bench) && blown(&bench));
}

#[test]
fn a_session_with_changes_of_the_circuit_is_done_again_from_the_circuit_it_began_with() {
    let mut bench = bench("parallel-open", &["turn:S2=on"]);
    for change in [add("Lamp", "P1"), run("W13", "P1.1", "X2.s"), run("W14", "P1.2", "N1.g"), rename("P1", "P5")] {
        bench.apply(Action::Build(change)).expect("it can be");
    }
    bench.apply(Action::Undo).expect("there is something to undo");
    let (again, refused) = Journal::of(&bench).replay(shipped("parallel-open"));
    assert!(refused.is_empty(), "{refused:?}");
    assert_eq!(again.circuit(), bench.circuit());
    assert_eq!(again.outcome().volts, bench.outcome().volts);
    assert_eq!(Journal::of(&again), Journal::of(&bench));
}

#[test]
fn the_circuit_does_not_change_while_time_runs() {
    let mut bench = bench("parallel-open", &[]);
    bench.apply(Action::Build(add("Lamp", "P1"))).expect("there is room");
    let mut live = Live::of(bench, 1e-6);
    for action in [Action::Build(add("Lamp", "P2")), Action::Undo] {
        let why = live.apply(action).expect_err("time runs");
        assert_eq!(why.mend, "put the clock away first");
    }
}

#[test]
fn a_change_on_paper_alone_is_told_from_one_of_the_truck() {
    let at = Change::Place { part: "B1".into(), at: At::default() };
    assert!(at.is_only_on_paper() && Change::Title("x".into()).is_only_on_paper());
    assert!(!rename("B1", "B4").is_only_on_paper());
}

#[test]
fn in_a_circuit_of_24_volts_new_coils_are_made_for_that() {
    let coach = after(&shipped("coach-24v"), &[add("Relay", "K9")]);
    let coil = |circuit: &Circuit, tag: &str| match &circuit.part(circuit.part_named(tag).expect("added")).kind {
        Kind::Relay(relay) => relay.pulls_in,
        other => panic!("{other:?}"),
    };
    let low = after(&shipped("parallel-open"), &[add("Relay", "K9")]);
    assert_eq!(coil(&coach, "K9"), 2.0 * coil(&low, "K9"));
    let tags: BTreeMap<&str, usize> = coach.parts().iter().map(|p| (p.tag.as_str(), 1)).collect();
    assert_eq!(tags.len(), coach.parts().len());
}
