//! The bench act by act: what each act, setting and fault does to a circuit, what is refused and in which words.
//!
//! Small circuits and shipped ones; every claim worked out by hand. Random sequences are in `tests/laws.rs`.

mod support;

use std::sync::Arc;

use fanloom::bench::{Bench, Change, Start};
use fanloom::circuit::{Circuit, Contact};
use fanloom::physics::clutch::ClutchState;
use fanloom::study::answer::LinkName;
use fanloom::study::verdict;
use support::{Stand, action, near, shipped, tiny};

/// A lamp behind a fuse and a switch: enough to try most acts on.
fn lamp() -> Arc<Circuit> {
    tiny(
        &[
            ("G1", "Battery(volts: 12.6)"),
            ("F1", "Fuse(amps: 10)"),
            ("S1", "HandSwitch(rest: Open)"),
            ("P1", "Lamp(ohms: 12)"),
            ("N1", "Ground"),
        ],
        &["W1 G1.+ F1.1", "W2 F1.2 S1.1", "W3 S1.2 P1.1", "W4 P1.2 N1.g", "W5 G1.- N1.g"],
    )
}

/// What a refused change says, message and mend.
#[track_caller]
fn refused(stand: &Stand, words: &str) -> String {
    let refusal = match action(words) {
        Err(said) => return said,
        Ok(action) => stand.bench.clone().apply(action).expect_err("this must be refused"),
    };
    refusal.to_string()
}

#[test]
fn a_switch_turned_on_and_off_again_leaves_nothing_changed() {
    let mut stand = Stand::new(&lamp());
    near(stand.through("P1"), 0.0, 1e-12);

    stand.will("turn:S1=on");
    near(stand.through("P1"), 1.04, 0.01);
    assert_eq!(stand.bench.changes().len(), 1);

    stand.will("turn:S1=off");
    near(stand.through("P1"), 0.0, 1e-12);
    assert_eq!(stand.bench.changes(), []);
}

#[test]
fn a_jump_puts_twenty_milliohm_between_two_points_and_is_taken_off_again() {
    let mut stand = Stand::new(&lamp());

    stand.will("jump:S1.1=S1.2");
    let amps = *stand.bench.outcome().lead_amps.values().next().expect("the lead");
    near(stand.between("S1.1", "S1.2"), 0.02 * amps, 1e-12);

    stand.will("back jump:S1.1=S1.2/5A");
    assert!(stand.bench.outcome().lead_amps.is_empty());
    near(stand.through("P1"), 0.0, 1e-12);
}

#[test]
fn a_leads_own_fuse_opens_before_the_circuits() {
    let mut stand = Stand::new(&lamp());

    stand.will("jump:S1.1=N1.g");
    assert!(!stand.blown("F1"));
    assert_eq!(stand.bench.opened().len(), 1);
    assert_eq!(stand.bench.opened()[0].rating_amps, 5.0);

    // Taken off and put on again, the lead has a new fuse, which opens again.
    stand.will("back jump:S1.1=N1.g");
    assert!(!stand.any_fuse_open());
    stand.will("jump:S1.1=N1.g");
    assert!(stand.any_fuse_open());
}

#[test]
fn a_bare_lead_blows_the_circuits_fuse_and_a_new_one_blows_until_the_lead_is_off() {
    let mut stand = Stand::new(&lamp());

    stand.will("jump:S1.1=N1.g/none");
    assert!(stand.blown("F1"));
    stand.will("renew F1");
    assert!(stand.blown("F1"));
    stand.all("back jump:S1.1=N1.g/none; renew F1");
    assert!(!stand.blown("F1"));
    assert_eq!(stand.bench.changes(), []);
}

#[test]
fn a_blown_fuse_outlives_what_blew_it() {
    let mut stand = Stand::new(&lamp());

    stand.all("ground:F1.2; mend ground:F1.2");

    assert!(stand.blown("F1"));
    assert_eq!(stand.bench.changes(), [Change::BlownFuse("F1".to_owned())]);
}

#[test]
fn a_lifted_end_has_volts_of_its_own_and_the_terminal_is_left_alone() {
    let mut stand = Stand::new(&lamp());
    stand.will("turn:S1=on");

    stand.will("lift:W3@P1.1");

    let volts = *stand.bench.outcome().loose_volts.values().next().expect("the loose end");
    near(volts.expect("fed through the switch"), 12.6, 1e-9);
    near(stand.volts("P1.1"), 0.0, 1e-9);
}

#[test]
fn a_lead_from_a_lifted_end_to_ground_meets_only_the_wire() {
    let mut stand = Stand::new(&lamp());

    stand.all("lift:W3@S1.2; turn:S1=on");
    near(stand.through("P1"), 0.0, 1e-12);
    stand.will("jump:W3@S1.2=F1.2");
    near(stand.through("P1"), 1.04, 0.01);
    assert!(refused(&stand, "back lift:W3@S1.2").contains("still on the end"));
}

#[test]
fn an_unplugged_part_leaves_its_wires_apart_and_a_lead_there_touches_them_alone() {
    let mut stand = Stand::new(&lamp());

    stand.all("turn:S1=on; unplug:S1");
    near(stand.through("P1"), 0.0, 1e-12);
    near(stand.volts("S1.1"), 12.6, 1e-9);
    near(stand.volts("S1.2"), 0.0, 1e-9);

    stand.will("jump:S1.1=S1.2");
    near(stand.through("P1"), 1.04, 0.01);
}

#[test]
fn the_loose_ends_of_one_plug_stay_apart() {
    let mut stand = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12)"), ("X1", "Connector(pins: 1)"), ("P1", "Lamp(ohms: 12)")],
        &["W1 G1.+ X1.1a", "W2 X1.1b P1.1", "W3 P1.2 G1.-"],
    ));
    near(stand.through("P1"), 1.0, 0.01);

    stand.will("unplug:X1");
    near(stand.through("P1"), 0.0, 1e-12);
    near(stand.volts("X1.1a"), 12.0, 1e-9);
    near(stand.volts("X1.1b"), 0.0, 1e-9);
}

#[test]
fn every_fault_of_a_lamps_circuit_does_what_it_says() {
    let lit = |words: &str| {
        let mut stand = Stand::new(&lamp());
        stand.will("turn:S1=on").all(words);
        (stand.through("P1"), stand.blown("F1"))
    };
    near(lit("").0, 1.04, 0.01);
    near(lit("open:W3").0, 0.0, 1e-12);
    near(lit("resist:W3=12ohm").0, 12.6 / 24.05, 0.01);
    near(lit("blown:F1").0, 0.0, 1e-12);
    near(lit("stuck:S1=open").0, 0.0, 1e-12);
    near(lit("flat:G1=6V").0, 6.0 / 12.07, 0.01);
    near(lit("feed:P1.2").0, 0.0, 0.1);
    assert!(lit("ground:P1.1").1);
    assert!(!lit("ground:P1.1=100ohm").1);
    near(lit("join:W1=W3; turn:S1=off").0, 1.04, 0.01);
    near(lit("stuck:S1=closed; turn:S1=off").0, 1.04, 0.01);
}

// A coil with 7.5 V, too little to pull in, was called dead, as one behind a broken wire is.
#[test]
fn a_coil_with_too_little_to_pull_in_is_told_from_a_dead_one() {
    let word = |words: &str| {
        let mut stand = Stand::new(&shipped("spring-applied"));
        // What has pulled in holds with less.
        stand.will("key=off").will(words).will("key=on");
        let verdict = verdict(&stand.bench);
        let coil = verdict.chain.iter().find(|link| link.name == LinkName::Circuit).expect("a link of the circuit");
        coil.word.to_string()
    };
    assert_eq!(word("resist:W4=20ohm"), "too few volts");
    assert_eq!(word("open:W4"), "coil dead");
    assert_eq!(word("resist:W4=1ohm"), "coil live");
}

#[test]
fn faults_can_be_mended_and_not_planted_twice() {
    let mut stand = Stand::new(&lamp());
    stand.all("turn:S1=on; open:W3");
    assert!(refused(&stand, "open:W3").contains("there already"));

    stand.will("mend open:W3");

    near(stand.through("P1"), 1.04, 0.01);
    assert!(refused(&stand, "mend open:W3").contains("not planted"));
}

#[test]
fn a_drifted_set_point_acts_later_by_as_much() {
    let mut stand = Stand::shipped("parallel-open");

    stand.will("drift:B1=+20F");

    for (words, wanted) in
        [("coolant=206F", Contact::Open), ("coolant=224F", Contact::Open), ("coolant=225F", Contact::Closed)]
    {
        stand.will(words);
        assert_eq!(stand.contact("B1"), wanted, "{words}");
    }
}

/// Coolant at 190 °F was told as 210, "above its 205 °F", and the circuit as built as calling.
#[test]
fn what_a_moved_set_point_does_is_told_by_what_is_felt_and_where_it_acts_now() {
    let mut stand = Stand::shipped("parallel-open");

    stand.all("drift:B1=-20F; coolant=190F");

    let chain = verdict(&stand.bench).chain;
    let call = &chain[0];
    assert_eq!((call.word.to_string(), call.number.to_string()), ("no call".to_owned(), "B1 190 of 185 °F".to_owned()));
    let told: Vec<String> = call.because.iter().map(ToString::to_string).collect();
    let wanted = "B1 feels coolant at 190 °F, at or above its 185 °F set point: it has acted. As built it acts at 205 °F: \
                  its set point has moved.";
    assert!(told.iter().any(|line| line == wanted), "{told:?}");
    assert!(!chain[1].holds, "the circuit drives the fan all the same");
    stand.all("mend drift:B1=-20F; coolant=215F; coolant=200F");
    assert_eq!(verdict(&stand.bench).chain[0].word.to_string(), "fan called", "on its way back");
}

#[test]
fn a_press_is_over_when_the_circuit_has_answered() {
    let mut stand = Stand::shipped("seal-in");

    stand.will("press:S2");

    assert_eq!(stand.contact("S2"), Contact::Open);
    assert!(stand.energised("K1"));
    assert_eq!(stand.bench.journal().count(), 1, "though it can be undone");
    stand.will("undo");
    assert!(!stand.energised("K1"));
}

#[test]
fn refusals_name_what_is_wrong_and_how_to_mend_it() {
    let lamp = Stand::new(&lamp());
    for (words, message, mend) in [
        ("turn:S9=on", "no part `S9`", "did you mean `S1`"),
        ("turn:P1=on", "`P1` is not a switch", "S1"),
        ("turn:S1=AUTO", "no position `AUTO`", "turn:S1=on"),
        ("press:S1", "stays where it is put", "turn:S1=on"),
        ("jump:S1.1=S1.3", "no terminal `3`", "`1`"),
        ("jump:S1.1=S1.1", "both ends", "different points"),
        ("jump:W3@S1.2=N1.g", "on its terminal", "lift:W3@S1.2"),
        ("lift:W9@S1.1", "no wire `W9`", "`W1`"),
        ("lift:W1@S1.1", "not on `S1.1`", "W1@F1.1"),
        ("unplug:Q1", "no part `Q1`", "`"),
        ("coil-open:F1", "does not have a coil", "no part of this circuit"),
        ("blown:S1", "does not have a fuse", "F1"),
        ("stuck:S1=ajar", "how the contact is stuck", "stuck:S1=open"),
        ("leak:door=3mm", "cannot leak at `door`", "hose"),
        ("join:W1=W1", "to itself", "two wires"),
        ("coolant=hot", "not a temperature", "coolant=215F"),
        ("air=300F", "not a pressure", "air=100psi"),
        ("weather=fine", "no condition `weather`", "coolant"),
        ("renew S1", "not a fuse", "name a fuse"),
        ("undo", "nothing to undo", "make a change"),
        ("redo", "nothing to redo", "undo a change"),
    ] {
        let said = refused(&lamp, words);
        assert!(said.contains(message), "`{words}` says: {said}");
        assert!(said.contains(mend), "`{words}` says: {said}");
    }
}

#[test]
fn the_same_thing_is_not_done_twice() {
    let mut stand = Stand::new(&lamp());
    stand.all("lift:W3@P1.1; unplug:F1; jump:S1.1=S1.2");

    assert!(refused(&stand, "lift:W3@P1.1").contains("lifted already"));
    assert!(refused(&stand, "unplug:F1").contains("unplugged already"));
    assert!(refused(&stand, "jump:S1.2=S1.1").contains("on already"));
}

#[test]
fn a_change_after_undo_forgets_what_was_undone() {
    let mut stand = Stand::new(&lamp());
    stand.all("turn:S1=on; undo; unplug:P1");

    assert!(stand.bench.redoable().is_none());
    assert_eq!(stand.bench.journal().count(), 1);
}

#[test]
fn the_revision_grows_with_every_change_and_only_then() {
    let mut stand = Stand::new(&lamp());
    let mut last = stand.bench.revision();
    for words in ["turn:S1=on", "undo", "redo", "coolant=200F", "open:W1", "put all back"] {
        stand.will(words);
        assert!(stand.bench.revision() > last, "{words}");
        last = stand.bench.revision();
    }
    assert!(stand.bench.apply(action("open:W77").expect("words are right")).is_err());
    assert_eq!(stand.bench.revision(), last);
}

#[test]
fn a_bench_started_hot_never_was_cold() {
    let start = |words: &[&str]| {
        let mut start = Start::default();
        for words in words {
            match action(words).expect("words are right") {
                fanloom::bench::Action::Set(setting) => start.settings.push(setting),
                fanloom::bench::Action::Plant(fault) => start.faults.push(fault),
                other => panic!("{other:?}"),
            }
        }
        Bench::started(shipped("parallel-open"), start).expect("possible")
    };
    let clutch = |bench: &Bench| bench.outcome().clutch.expect("it has one").state;
    // Between reset and set point: never having been hot, the contact is at rest; having been, it is not.
    assert_eq!(clutch(&start(&["coolant=200F"])), ClutchState::Released);
    assert_eq!(clutch(&start(&["coolant=230F", "coolant=200F"])), ClutchState::Engaged);
    assert_eq!(clutch(&start(&["coolant=230F", "blown:F1"])), ClutchState::Released);
    assert_eq!(start(&["coolant=230F"]).journal().count(), 0, "the start is no act");
}

#[test]
fn the_call_names_the_engine_that_stands_where_a_module_acts_on_that() {
    // It said "fan called", and every reason under it was of a sensor at rest.
    let mut stand = Stand::shipped("module-high-side");
    let call = |stand: &Stand| fanloom::study::verdict(&stand.bench).chain[0].because.clone();
    let names_it =
        |stand: &Stand| call(stand).iter().any(|said| said.contains("The engine is stopped, which A1 acts on"));
    assert!(names_it(&stand), "{:?}", call(&stand));

    stand.will("engine=1500rpm");

    assert!(!names_it(&stand), "{:?}", call(&stand));
}

#[test]
fn a_running_engine_is_told_of_as_a_danger_beside_a_free_fan() {
    let mut stand = Stand::shipped("parallel-open");
    let may_start = |stand: &Stand| {
        let hazards = fanloom::study::verdict(&stand.bench).hazards;
        hazards.iter().any(|hazard| hazard.text.contains("the fan may start by itself"))
    };
    assert!(!may_start(&stand));

    stand.will("engine=1500rpm");

    assert!(may_start(&stand));
}
