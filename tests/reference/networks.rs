//! `Network::solve` beside the tests' dense solver, on random networks.
//!
//! Resistances from 1e-3 to 1e7 ohm in one network, ideal and real sources, exact joins, islands, parallel branches,
//! branches from a node to itself. Wanted: voltages to 1e-9 of the node's own (of a millionth
//! of the largest where a node is nearer zero than that), currents to 1e-9 of the largest, floating marks exactly.

use crate::support::dense::{Arm, Net};
use crate::support::near_relative;
use crate::support::random::Random;
use fanloom::physics::electric::{Branch, Network, Solution};

/// The same network for the program.
fn for_program(net: &Net) -> Network {
    let branch = |arm: &Arm| Branch { from: arm.from, to: arm.to, ohms: arm.ohms, emf: arm.emf };
    Network { nodes: net.nodes, branches: net.arms.iter().map(branch).collect(), reference: net.reference }
}

/// What a random network is made of.
#[derive(Clone, Copy, Debug)]
struct Mix {
    /// Powers of ten the resistances lie between.
    decades: (f64, f64),
    /// Islands: branches stay within one of so many groups of nodes.
    groups: usize,
}

fn random_net(random: &mut Random, mix: Mix) -> Net {
    let nodes = 2 + random.below(13);
    let mut net = Net { nodes, arms: Vec::new(), reference: Some(random.below(nodes)) };
    if random.percent(3) {
        net.reference = None;
    }
    let mut joined: Vec<usize> = (0..nodes).collect();
    for _ in 0..nodes + random.below(2 * nodes) {
        let from = random.below(nodes);
        let mut to = random.below(nodes);
        if to % mix.groups != from % mix.groups {
            continue;
        }
        if to == from && random.percent(90) {
            to = (from + mix.groups) % nodes;
            if to % mix.groups != from % mix.groups {
                continue;
            }
        }
        let emf = if random.percent(25) { random.between(-30.0, 30.0) } else { 0.0 };
        let mut ohms = random.decades(mix.decades.0, mix.decades.1);
        if random.percent(20) && joined[from] != joined[to] {
            // Joins and ideal sources may not close a ring: it would have no answer, or many.
            ohms = 0.0;
            let (gone, kept) = (joined[from], joined[to]);
            joined.iter_mut().filter(|label| **label == gone).for_each(|label| *label = kept);
        }
        net.arms.push(Arm { from, to, ohms, emf });
    }
    net
}

/// The worst of many comparisons.
#[derive(Clone, Copy, Debug, Default)]
struct Worst {
    volts: f64,
    amps: f64,
    volts_seed: u64,
    amps_seed: u64,
}

impl Worst {
    /// Compares one network's two answers: each node's volts with its own size, or a millionth of the largest, each
    /// branch's amps with the largest.
    fn note(&mut self, seed: u64, net: &Net, solution: &Solution) {
        let Some(found) = net.solve() else { panic!("seed {seed}: the dense solver finds no answer to {net:?}") };
        // A network whose sources drive nothing is at zero but for rounding: nothing is smaller than what its
        // sources make of its largest resistance.
        let emf = net.arms.iter().fold(0.0f64, |most, arm| most.max(arm.emf.abs()));
        let ohms = net.arms.iter().fold(1.0f64, |most, arm| most.max(arm.ohms));
        let largest_volts = found.volts.iter().flatten().fold(emf, |most, v| most.max(v.abs()));
        let largest_amps = found.amps.iter().fold(1e-4 * emf / ohms, |most, a| most.max(a.abs()));
        for (node, (got, wanted)) in solution.volts.iter().zip(&found.volts).enumerate() {
            assert_eq!(got.is_some(), wanted.is_some(), "seed {seed}: node {node} floats for one of the two: {net:?}");
            let (Some(got), Some(wanted)) = (got, wanted) else { continue };
            let off = (got - wanted).abs() / wanted.abs().max(1e-6 * largest_volts).max(1e-300);
            if off > self.volts {
                (self.volts, self.volts_seed) = (off, seed);
            }
        }
        for (got, wanted) in solution.amps.iter().zip(&found.amps) {
            let off = (got - wanted).abs() / largest_amps.max(1e-300);
            if off > self.amps {
                (self.amps, self.amps_seed) = (off, seed);
            }
        }
    }
}

fn worst_of(seeds: std::ops::Range<u64>, decades: (f64, f64)) -> Worst {
    let mut worst = Worst::default();
    for seed in seeds {
        let mut random = Random::new(seed);
        let groups = if random.percent(20) { 2 + random.below(2) } else { 1 };
        let net = random_net(&mut random, Mix { decades, groups });
        worst.note(seed, &net, &for_program(&net).solve());
    }
    worst
}

#[test]
fn a_thousand_random_networks_of_four_decades_agree_with_the_dense_solver() {
    let worst = worst_of(0..1000, (-3.0, 1.0));

    assert!(worst.volts <= 1e-9, "{worst:?}");
    assert!(worst.amps <= 1e-9, "{worst:?}");
}

#[test]
fn a_thousand_random_networks_from_milliohms_to_megohms_agree_with_the_dense_solver() {
    let worst = worst_of(0..1000, (-3.0, 7.0));

    assert!(worst.volts <= 1e-9, "{worst:?}");
    assert!(worst.amps <= 1e-9, "{worst:?}");
}

/// The smallest network in which a current is far off: a milliohm contact before a meter of 10 megohm. The current
/// is taken from the difference of two voltages that are equal to fifteen digits.
#[test]
fn the_current_into_a_meter_is_right_in_the_milliohm_contact_before_it() {
    let network = Network {
        nodes: 3,
        branches: vec![
            Branch { from: 0, to: 1, ohms: 0.01, emf: 12.6 },
            Branch::resistor(1, 2, 0.005),
            Branch::resistor(2, 0, 1e7),
        ],
        reference: Some(0),
    };

    let solution = network.solve();

    for amps in solution.amps {
        near_relative(amps, 12.6 / 10_000_000.015, 1e-9);
    }
}

#[test]
fn the_dense_solver_itself_agrees_with_a_textbook_network() {
    // Two sources and three resistances: 8 V at the node (T. R. Kuphaldt, Lessons in Electric Circuits I, "Branch
    // current method").
    let arm = |from, to, ohms, emf| Arm { from, to, ohms, emf };
    let net = Net {
        nodes: 2,
        arms: vec![arm(0, 1, 4.0, 28.0), arm(1, 0, 2.0, 0.0), arm(0, 1, 1.0, 7.0)],
        reference: Some(0),
    };

    let found = net.solve().expect("one answer");

    assert_eq!(found.volts[1], Some(8.0));
    assert_eq!(found.amps, [5.0, 4.0, -1.0]);
}

#[test]
fn rings_of_exact_joins_share_the_current_and_leave_nothing_over() {
    for seed in 0..200 {
        let mut random = Random::new(seed);
        let mut net = random_net(&mut random, Mix { decades: (-2.0, 3.0), groups: 1 });
        for _ in 0..4 {
            let (from, to) = (random.below(net.nodes), random.below(net.nodes));
            net.arms.push(Arm { from, to, ohms: 0.0, emf: 0.0 });
        }
        let solution = for_program(&net).solve();
        let mut left = vec![0.0; net.nodes];
        let mut largest = 0.0f64;
        for (arm, amps) in net.arms.iter().zip(&solution.amps) {
            assert!(amps.is_finite(), "seed {seed}");
            left[arm.from] += amps;
            left[arm.to] -= amps;
            largest = largest.max(amps.abs());
        }
        for (node, left) in left.iter().enumerate() {
            assert!(left.abs() <= 1e-9 * largest, "seed {seed}: {left:e} A left over at node {node} of {largest:e} A");
        }
    }
}
