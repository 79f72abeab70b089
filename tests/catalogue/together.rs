//! Any number of faults at once, in any order: the same truck; and all put right: the truck as built.
//!
//! Random picks from everything that can be wrong with each of the catalogue's circuits.

use std::sync::Arc;

use fanloom::bench::{Action, Bench, Fault, Setting, Start};
use fanloom::circuit::Circuit;
use fanloom::study::faults::universe::every;
use proptest::prelude::{ProptestConfig, Strategy, any, prop_assert_eq, proptest};
use proptest::sample::Index;

use super::support::{circuit, files_below, text_of};

fn circuits() -> Vec<Arc<Circuit>> {
    files_below("tests/catalogue", "ron").iter().map(|path| circuit(&text_of(path))).collect()
}

/// Some of a circuit's faults, none against another.
fn picked(circuit: &Circuit, picks: &[Index]) -> Vec<Fault> {
    let all = every(circuit);
    let mut faults: Vec<Fault> = Vec::new();
    for pick in picks {
        let fault = pick.get(&all);
        if !faults.contains(fault) && !faults.iter().any(|other| other.contradicts(fault)) {
            faults.push(fault.clone());
        }
    }
    faults
}

fn some_faults() -> impl Strategy<Value = (Index, Vec<Index>, Vec<Index>)> {
    (any::<Index>(), proptest::collection::vec(any::<Index>(), 0..8), proptest::collection::vec(any::<Index>(), 8))
}

/// The same list in another order, drawn by `draws`.
fn shuffled(faults: &[Fault], draws: &[Index]) -> Vec<Fault> {
    let mut left = faults.to_vec();
    let mut order = Vec::new();
    for draw in draws {
        if left.is_empty() {
            break;
        }
        order.push(left.remove(draw.index(left.len())));
    }
    order.extend(left);
    order
}

fn hot() -> Setting {
    "coolant=215F".parse().expect("a setting")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn faults_from_the_beginning_come_to_the_same_truck_in_any_order((which, picks, draws) in some_faults()) {
        let circuits = circuits();
        let circuit = which.get(&circuits);
        let faults = picked(circuit, &picks);
        let start = |faults: Vec<Fault>| Bench::started(Arc::clone(circuit), Start { settings: vec![hot()], faults });
        let one = start(faults.clone()).expect("such faults can be");
        let other = start(shuffled(&faults, &draws)).expect("such faults can be");
        prop_assert_eq!(one.inputs(), other.inputs());
        prop_assert_eq!(one.outcome(), other.outcome());
    }

    #[test]
    fn faults_planted_one_after_the_other_alter_the_same_in_any_order((which, picks, draws) in some_faults()) {
        let circuits = circuits();
        let circuit = which.get(&circuits);
        let faults = picked(circuit, &picks);
        let planted = |faults: Vec<Fault>| {
            let mut bench = Bench::new(Arc::clone(circuit));
            for fault in faults {
                bench.apply(Action::Plant(fault)).expect("it can be");
            }
            bench
        };
        let (one, other) = (planted(faults.clone()), planted(shuffled(&faults, &draws)));
        prop_assert_eq!(one.inputs(), other.inputs());
    }

    #[test]
    fn all_faults_put_right_and_fuses_new_leave_the_truck_as_built((which, picks, draws) in some_faults()) {
        let circuits = circuits();
        let circuit = which.get(&circuits);
        let untouched = Bench::new(Arc::clone(circuit));
        let mut bench = untouched.clone();
        let faults = picked(circuit, &picks);
        for fault in &faults {
            bench.apply(Action::Plant(fault.clone())).expect("it can be");
        }
        for fault in shuffled(&faults, &draws) {
            bench.apply(Action::Repair(fault)).expect("it is planted");
        }
        prop_assert_eq!(bench.inputs(), untouched.inputs());
        prop_assert_eq!(bench.faults().len(), 0);
        // What blew has to be replaced, and what seals itself in let go.
        bench.apply(Action::PutAllBack).expect("nothing to refuse");
        for words in ["key=off", "key=on"] {
            bench.apply(Action::Set(words.parse().expect("a setting"))).expect("never refused");
        }
        prop_assert_eq!(bench.outcome(), untouched.outcome());
    }
}

#[test]
fn two_that_contradict_each_other_cannot_be_together() {
    let circuits = circuits();
    let circuit = circuits.iter().find(|c| c.title() == "Kerb sweeper 21").expect("it is among them");
    for (one, other) in [
        ("stuck:B1=open", "stuck:B1=closed"),
        ("drift:B1=+20F", "drift:B1=-20F"),
        ("fitted:F1=30A", "fitted:F1=20A"),
        ("leak:hose=1mm", "leak:hose=3mm"),
        ("valve-stuck:Y1=passing", "valve-stuck:Y1=blocking"),
    ] {
        let faults: Vec<Fault> = [one, other].map(|words| words.parse().expect("a fault")).into();
        let refused = Bench::started(Arc::clone(circuit), Start { settings: Vec::new(), faults: faults.clone() });
        let message = refused.expect_err("they contradict each other").to_string();
        assert!(message.contains(one) && message.contains(other) && message.contains("cannot both be"), "{message}");
        let mut bench = Bench::new(Arc::clone(circuit));
        bench.apply(Action::Plant(faults[0].clone())).expect("the first can be");
        bench.apply(Action::Plant(faults[1].clone())).expect_err("the second cannot");
        assert_eq!(bench.faults().len(), 1, "nothing is changed by what is refused");
    }
}
