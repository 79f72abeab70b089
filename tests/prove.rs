//! Proving by hand against a plain search: every act and pair of acts of made-up and shipped circuits is done on a
//! bench, and the program's answer must be the same set, in its order, each with the class its hazards ask for.
//!
//! `FANLOOM_PROVE_CIRCUITS` sets how many circuits are made up, `FANLOOM_PROVE_FIRST` the first seed,
//! `FANLOOM_PROVE_PARTS` how many parts they may have. `FANLOOM_PROVE_STRICT` holds to the promise also what hangs on
//! the terminal of a node, by its wires' drops, or on the words of a tag; without it this is only counted. A failure prints seed, conditions, circuit and differences.

mod support;

#[path = "prove/brute.rs"]
mod brute;
#[path = "prove/compare.rs"]
mod compare;
#[path = "prove/hazards.rs"]
mod hazards;
#[path = "prove/make.rs"]
mod make;

use std::sync::Arc;

use fanloom::bench::{Bench, Start};
use fanloom::circuit::Circuit;
use fanloom::study::prove::prove;
use support::random::Random;
use support::{circuit, shipped, shipped_names};

/// Circuits made up where nothing else is asked: what an unoptimised build does in a few seconds.
const CIRCUITS: u64 = 40;
/// Parts they may have then.
const PARTS: usize = 9;

fn asked(variable: &str) -> Option<u64> {
    let words = std::env::var(variable).ok()?;
    Some(words.parse().unwrap_or_else(|_| panic!("{variable} is a whole number, not `{words}`")))
}

/// A bench under conditions in the contract's words.
fn under(circuit: &Arc<Circuit>, conditions: &[&str]) -> Bench {
    let settings = conditions.iter().map(|c| c.parse().expect("a condition")).collect();
    Bench::started(Arc::clone(circuit), Start { settings, faults: Vec::new() }).expect("no faults")
}

fn conditions(random: &mut Random) -> Vec<&'static str> {
    match random.below(12) {
        0 => vec!["key=off"],
        1 => vec!["engine=1500"],
        2 => vec!["air=50psi"],
        3 => vec!["ambient=-20F", "engine=900"],
        _ => Vec::new(),
    }
}

fn report(complaints: &[String]) -> String {
    let more = complaints.len().saturating_sub(12);
    let shown = complaints.iter().take(12).map(|c| format!("  {c}\n")).collect::<String>();
    if more > 0 { format!("{shown}  and {more} more\n") } else { shown }
}

#[test]
fn no_act_of_a_made_up_circuit_is_missed_or_offered_that_does_not_work() {
    let first = asked("FANLOOM_PROVE_FIRST").unwrap_or(1);
    let count = asked("FANLOOM_PROVE_CIRCUITS").unwrap_or(CIRCUITS);
    let parts = asked("FANLOOM_PROVE_PARTS").map_or(PARTS, |n| usize::try_from(n).expect("a small number"));
    let mut failures = String::new();
    let (mut engage, mut release, mut both, mut failed) = (0, 0, 0, 0);
    let (mut tried, mut by_order, mut by_terminal) = (0, 0, 0);
    for seed in first..first + count {
        let text = make::circuit(seed, parts);
        let conditions = conditions(&mut Random::new(seed ^ 0xC0DE));
        let compared = compare::compare(&under(&circuit(&text), &conditions));
        engage += usize::from(compared.engage > 0);
        release += usize::from(compared.release > 0);
        both += usize::from(compared.engage > 0 && compared.release > 0);
        by_order += compared.by_order;
        by_terminal += compared.by_terminal;
        tried += compared.tried;
        if !compared.complaints.is_empty() {
            failed += 1;
            let built = if compared.dangerous_as_built { "dangerous as built, " } else { "" };
            let differences = report(&compared.complaints);
            failures += &format!("seed {seed}, {built}under {conditions:?}\n{differences}{text}\n");
        }
    }
    println!(
        "{count} circuits: {engage} engage, {release} release, {both} both; {tried} acts and pairs tried, \
         {by_order} pairs that work in one order only, {by_terminal} that hang on the terminal"
    );
    assert!(failures.is_empty(), "{failed} of {count} circuits differ\n{failures}");
    assert!(both * 8 >= usize::try_from(count).expect("a small number"), "most circuits do nothing");
}

#[test]
fn no_act_of_a_shipped_circuit_is_missed_or_offered_that_does_not_work() {
    let mut failures = String::new();
    for name in shipped_names() {
        let compared = compare::compare(&under(&shipped(&name), &[]));
        if !compared.complaints.is_empty() {
            failures += &format!("{name}\n{}", report(&compared.complaints));
        }
    }
    assert!(failures.is_empty(), "{failures}");
}

/// The circuit with every tag replaced by one that sorts the other way round, and how they are replaced.
fn retagged(circuit: &Circuit) -> (Arc<Circuit>, impl Fn(&str) -> String + use<>) {
    let mut draft = circuit.draft();
    let tags: Vec<String> =
        draft.parts.iter().map(|p| &p.tag).chain(draft.wires.iter().map(|w| &w.tag)).cloned().collect();
    let new = move |old: &str| {
        let place = tags.iter().position(|t| t == old).unwrap_or_else(|| panic!("`{old}` is no tag"));
        format!("Z{}", 999 - place)
    };
    for part in &mut draft.parts {
        part.tag = new(&part.tag);
    }
    for wire in &mut draft.wires {
        wire.tag = new(&wire.tag);
        for end in [&mut wire.from, &mut wire.to] {
            let (tag, name) = end.split_once('.').expect("a terminal has a dot");
            *end = format!("{}.{name}", new(tag));
        }
    }
    if let Some(valve) = draft.air.as_mut().and_then(|air| air.valve.as_mut()) {
        *valve = new(valve);
    }
    (Arc::new(Circuit::new(draft).expect("the same wires")), new)
}

#[test]
fn new_tags_and_a_second_asking_change_no_answer() {
    let mut random = Random::new(7);
    let made = (0..20).map(|_| circuit(&make::circuit(random.next(), 14)));
    for circuit in shipped_names().iter().map(|name| shipped(name)).chain(made) {
        let (other, new) = retagged(&circuit);

        let (proof, again) = (prove(&under(&circuit, &[])), prove(&under(&circuit, &[])));
        let proof_of_other = prove(&under(&other, &[]));

        assert_eq!(format!("{proof:?}"), format!("{again:?}"));
        let (wanted, got) = (compare::renamed(&proof, &new), compare::renamed(&proof_of_other, &str::to_owned));
        let differ: Vec<_> = wanted.iter().zip(&got).filter(|(w, g)| w != g).take(3).collect();
        assert!(wanted == got, "{}: {} and {} lines: {differ:#?}", circuit.title(), wanted.len(), got.len());
    }
}
