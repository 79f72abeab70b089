//! Altered copies of a network beside the tests' dense solver, every copy solved there from the beginning.
//!
//! Random harnesses: a battery, milliohm wires and contacts in strings, loads, leaks of megohms, parts cut off and
//! rings that float. Every single change and many pairs: cuts, added ohms, closed gaps, ties to ground, to the
//! supply, between any two nodes, exact ones too. Wanted: volts to 1e-6 of themselves (1 mV where they are less),
//! floating marks exactly.

use crate::support::dense::{Arm, Net};
use crate::support::netlist::Netlist;
use crate::support::random::Random;
use fanloom::physics::electric::{Branch, Change, Network, Prepared, Scratch, Solved, Together};
use std::collections::BTreeMap;

/// A network with the siemens of its branches; zero where one is open.
pub(crate) struct Case {
    pub(crate) network: Network,
    pub(crate) siemens: Vec<f64>,
}

pub(crate) fn random_case(random: &mut Random) -> Case {
    let nodes = 5 + random.below(12);
    let mut network = Network { nodes, branches: Vec::new(), reference: Some(0) };
    let ideal = random.percent(50);
    network.branches.push(Branch { from: 0, to: 1, ohms: if ideal { 0.0 } else { 0.01 }, emf: 12.6 });
    for node in 2..nodes {
        // A string or a tree of wires, here and there left out so that islands arise.
        if !random.percent(8) {
            let back = 1 + random.below(3.min(node));
            network.branches.push(Branch::resistor(node - back, node, random.decades(-2.7, -1.3)));
        }
    }
    for _ in 0..2 + random.below(nodes) {
        let (a, b) = (random.below(nodes), random.below(nodes));
        let ohms = match random.below(4) {
            0 => random.decades(-2.5, -1.5),
            1 => random.decades(1.0, 2.0),
            2 => random.decades(3.0, 5.0),
            _ => 1e7,
        };
        network.branches.push(Branch::resistor(a, b, ohms));
    }
    let mut siemens = Prepared::of(&network).siemens();
    siemens.iter_mut().skip(1).for_each(|s| {
        if random.percent(12) {
            *s = 0.0;
        }
    });
    Case { network, siemens }
}

pub(crate) fn random_change(random: &mut Random, case: &Case) -> Change {
    let nodes = case.network.nodes;
    let branch = 1 + random.below(case.network.branches.len() - 1);
    let ohms = if random.percent(30) { 0.0 } else { random.decades(-3.0, 1.0) };
    match random.below(6) {
        0 | 1 => Change::Branch { branch, siemens: 0.0 },
        2 => Change::Branch { branch, siemens: 1.0 / (case.network.branches[branch].ohms + random.decades(-1.0, 2.0)) },
        3 => Change::Tie { a: random.below(nodes), b: 0, ohms },
        4 => Change::Tie { a: 1, b: random.below(nodes), ohms },
        _ => Change::Tie { a: random.below(nodes), b: random.below(nodes), ohms },
    }
}

/// The branch that a change is of.
fn branch_of(change: Change) -> Option<usize> {
    match change {
        Change::Branch { branch, .. } => Some(branch),
        Change::Tie { .. } => None,
    }
}

/// What the dense solver finds with these changes; none where joins contradict or close a ring.
fn dense(case: &Case, changes: &[Change]) -> Option<Vec<Option<f64>>> {
    let mut net = Net { nodes: case.network.nodes, arms: Vec::new(), reference: case.network.reference };
    let mut siemens = case.siemens.clone();
    let mut ties = Vec::new();
    for change in changes {
        match *change {
            Change::Branch { branch, siemens: now } => siemens[branch] = now,
            Change::Tie { a, b, .. } if a == b => {}
            Change::Tie { a, b, ohms } => ties.push(Arm { from: a, to: b, ohms, emf: 0.0 }),
        }
    }
    for (branch, siemens) in case.network.branches.iter().zip(&siemens) {
        if *siemens > 0.0 && branch.from != branch.to {
            let ohms = if branch.ohms == 0.0 { 0.0 } else { 1.0 / siemens };
            net.arms.push(Arm { from: branch.from, to: branch.to, ohms, emf: branch.emf });
        }
    }
    net.arms.extend(ties);
    Some(net.solve()?.volts)
}

#[derive(Debug, Default)]
struct Tally {
    compared: usize,
    floating: usize,
    worst: f64,
    worst_seed: u64,
}

impl Tally {
    fn note(&mut self, seed: u64, changes: &[Change], watched: &[usize], got: &[f64], wanted: &[Option<f64>]) {
        for (node, got) in watched.iter().zip(got) {
            let wanted = wanted[*node];
            assert_eq!(
                !got.is_nan(),
                wanted.is_some(),
                "seed {seed}: node {node} after {changes:?}: {got}, {wanted:?}"
            );
            self.compared += 1;
            let Some(wanted) = wanted else {
                self.floating += 1;
                continue;
            };
            let off = (got - wanted).abs() / wanted.abs().max(1e-3);
            if off > self.worst {
                (self.worst, self.worst_seed) = (off, seed);
            }
        }
    }
}

#[test]
fn every_single_change_does_what_a_solution_from_the_beginning_says() {
    let mut tally = Tally::default();
    for seed in 0..400 {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        let solved = prepared.solve(&case.siemens, &prepared.nodes());
        let changes: Vec<Change> = (0..24).map(|_| random_change(&mut random, &case)).collect();
        solved.singles(&changes, &mut Scratch::new(&prepared), |number, volts| {
            let change = &changes[number..=number];
            if let Some(wanted) = dense(&case, change) {
                tally.note(seed, change, solved.watched(), volts, &wanted);
            }
        });
    }
    assert!(tally.worst <= 1e-6, "{tally:?}");
    assert!(tally.floating > 1000 && tally.compared > 50_000, "too little was tried: {tally:?}");
}

#[test]
fn every_pair_of_changes_does_what_a_solution_from_the_beginning_says() {
    let mut tally = Tally::default();
    // The last two have cuts that leave next to nothing of each other's loop.
    for seed in (0..150).chain([5493, 14906]) {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        // Few watched: what the schedule does not tell of a tie must be found by other means.
        let watched: Vec<usize> = prepared.nodes().into_iter().filter(|_| random.percent(60)).collect();
        let solved = prepared.solve(&case.siemens, &watched);
        let changes: Vec<Change> = (0..9).map(|_| random_change(&mut random, &case)).collect();
        let mut seen = std::collections::BTreeSet::new();
        solved.pairs(&changes, &mut Scratch::new(&prepared), |rows| {
            for (other, volts) in rows.iter() {
                let (first, second) = (rows.one.min(other), rows.one.max(other));
                assert!(
                    first < second && seen.insert((first, second)),
                    "seed {seed}: {first} with {second} came twice"
                );
                let pair = [changes[first], changes[second]];
                if let Some(wanted) = dense(&case, &pair) {
                    tally.note(seed, &pair, solved.watched(), volts, &wanted);
                }
            }
        });
        let branch = |f: usize| branch_of(changes[f]);
        let wanted = (0..9).flat_map(|i| (i + 1..9).map(move |j| (i, j)));
        let wanted: Vec<_> = wanted.filter(|(i, j)| branch(*i).is_none() || branch(*i) != branch(*j)).collect();
        assert_eq!(seen.into_iter().collect::<Vec<_>>(), wanted, "seed {seed}");
    }
    assert!(tally.worst <= 1e-6, "{tally:?}");
    assert!(tally.floating > 1000 && tally.compared > 30_000, "too little was tried: {tally:?}");
}

#[test]
fn changes_beside_several_others_do_what_a_solution_from_the_beginning_says() {
    let mut tally = Tally::default();
    for seed in 0..300 {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        // All watched, or so few that less is known of the rest.
        let percent = if seed % 2 == 0 { 100 } else { 25 };
        let watched: Vec<usize> = prepared.nodes().into_iter().filter(|_| random.percent(percent)).collect();
        let solved = prepared.solve(&case.siemens, &watched);
        let mut shared: Vec<Change> = Vec::new();
        for _ in 0..1 + random.below(4) {
            let change = random_change(&mut random, &case);
            if branch_of(change).is_none() || shared.iter().all(|other| branch_of(*other) != branch_of(change)) {
                shared.push(change);
            }
        }
        let changes: Vec<Change> = (0..12).map(|_| random_change(&mut random, &case)).collect();
        let mut told = vec![false; changes.len()];
        solved.beside(&shared, &changes, &mut Scratch::new(&prepared), |number, volts| {
            assert!(!std::mem::replace(&mut told[number], true), "seed {seed}: {number} came twice");
            let all = [&shared[..], &changes[number..=number]].concat();
            if let Some(wanted) = dense(&case, &all) {
                tally.note(seed, &all, solved.watched(), volts, &wanted);
            }
        });
        assert!(!told.contains(&false), "seed {seed}");
    }
    assert!(tally.worst <= 1e-6, "{tally:?}");
    assert!(tally.floating > 1000 && tally.compared > 10_000, "too little was tried: {tally:?}");
}

#[test]
fn branches_opened_in_a_long_ladder_leave_the_volts_that_a_solution_with_them_open_does() {
    let list = Netlist::ladder(2000, 1, 0.0);
    let prepared = Prepared::of(&list.network);
    let siemens = list.siemens(&prepared, 0);
    let watched = list.points(12);
    let solved = prepared.solve(&siemens, &watched);
    // What is found from one network to the next comes by as many places as it is long.
    let changes: Vec<Change> =
        (0..list.branches).step_by(101).map(|branch| Change::Branch { branch, siemens: 0.0 }).collect();
    let mut open = solved.clone();
    let mut scratch = Scratch::new(&prepared);
    solved.singles(&changes, &mut scratch, |number, volts| {
        let mut altered = siemens.clone();
        altered[branch_of(changes[number]).expect("a branch")] = 0.0;
        open.again(&altered);
        for (got, wanted) in volts.iter().zip(open.volts()) {
            let is_same = (got - wanted).abs() <= 1e-9 || got.is_nan() && wanted.is_nan();
            assert!(is_same, "{:?}: {got}, not {wanted}", changes[number]);
        }
    });
    assert!(scratch.solved_anew() < changes.len() / 2, "an update was hardly tried");
}

#[test]
fn several_changes_at_once_do_what_a_solution_from_the_beginning_says_or_are_not_told() {
    let (mut tally, mut copy) = (Tally::default(), Together::default());
    let (mut told, mut asked) = (0, 0);
    for seed in 0..600 {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        let percent = if seed % 3 == 0 { 40 } else { 100 };
        let watched: Vec<usize> = prepared.nodes().into_iter().filter(|_| random.percent(percent)).collect();
        let solved = prepared.solve(&case.siemens, &watched);
        for _ in 0..12 {
            let mut changes: Vec<Change> = Vec::new();
            for _ in 0..1 + random.below(5) {
                let change = random_change(&mut random, &case);
                if branch_of(change).is_none() || changes.iter().all(|other| branch_of(*other) != branch_of(change)) {
                    changes.push(change);
                }
            }
            let Some(wanted) = dense(&case, &changes) else { continue };
            asked += 1;
            if solved.together(&changes, &mut copy) {
                told += 1;
                tally.note(seed, &changes, &watched, &copy.volts[..watched.len()], &wanted);
            }
        }
    }
    assert!(tally.worst <= 1e-6, "{tally:?}");
    assert!(tally.floating > 1000 && tally.compared > 10_000, "too little was tried: {tally:?}");
    assert!(2 * told > asked, "{told} of {asked} were told");
}

#[test]
fn a_network_solved_again_in_the_same_room_is_as_one_solved_first() {
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        let watched: Vec<usize> = prepared.nodes().into_iter().filter(|_| random.percent(50)).collect();
        let changes: Vec<Change> = (0..8).map(|_| random_change(&mut random, &case)).collect();
        let told = |solved: &Solved| {
            let mut told = BTreeMap::new();
            let bits = |volts: &[f64]| volts.iter().map(|volts| volts.to_bits()).collect::<Vec<_>>();
            solved.singles(&changes, &mut Scratch::new(&prepared), |number, volts| {
                told.insert(number, bits(volts));
            });
            (bits(solved.volts()), told)
        };
        let mut again = prepared.solve(&prepared.siemens(), &watched);
        again.again(&case.siemens);
        assert_eq!(told(&again), told(&prepared.solve(&case.siemens, &watched)), "seed {seed}");
    }
}

#[test]
fn pairs_of_changes_are_told_where_no_node_or_very_many_are_watched() {
    for seed in 0..40 {
        let mut random = Random::new(seed);
        let case = random_case(&mut random);
        let prepared = Prepared::of(&case.network);
        let changes: Vec<Change> = (0..9).map(|_| random_change(&mut random, &case)).collect();
        let of = |watched: &[usize]| {
            let mut told = BTreeMap::new();
            let solved = prepared.solve(&case.siemens, watched);
            solved.pairs(&changes, &mut Scratch::new(&prepared), |rows| {
                let pair = |other: usize| (rows.one.min(other), rows.one.max(other));
                told.extend(rows.iter().map(|(other, volts)| (pair(other), volts.to_vec())));
            });
            told
        };
        let nodes = prepared.nodes();
        // Every node, some of them twice, and none.
        let many: Vec<usize> = nodes.iter().chain(&nodes).copied().take(17).collect();
        let (many, none) = (of(&many), of(&[]));
        assert!(many.keys().eq(none.keys()), "seed {seed}");
        assert!(none.values().all(Vec::is_empty) && many.values().all(|volts| volts.len() >= 10), "seed {seed}");
    }
}
