//! Laws of linear networks, kept by the solver on random ones.
//!
//! Resistances lie between 10 milliohm and 10 kiloohm, as in a harness with a meter on it.

use crate::support::random::Random;
use crate::support::{Stand, near, near_relative, tiny};
use fanloom::physics::electric::{Branch, Network};

/// A connected network: a tree over its nodes and more branches than that.
fn random_network(random: &mut Random) -> Network {
    let nodes = 3 + random.below(20);
    let mut network = Network { nodes, branches: Vec::new(), reference: Some(random.below(nodes)) };
    for node in 1..nodes {
        network.branches.push(Branch::resistor(random.below(node), node, random.decades(-2.0, 4.0)));
    }
    for _ in 0..nodes {
        let emf = if random.percent(30) { random.between(-24.0, 24.0) } else { 0.0 };
        let ohms = random.decades(-2.0, 4.0);
        network.branches.push(Branch { from: random.below(nodes), to: random.below(nodes), ohms, emf });
    }
    network
}

fn largest(numbers: impl IntoIterator<Item = f64>) -> f64 {
    numbers.into_iter().fold(0.0, |most, x| most.max(x.abs()))
}

fn volts_of(network: &Network) -> Vec<f64> {
    network.solve().volts.into_iter().map(|v| v.expect("all of it is connected")).collect()
}

/// Random networks with their seeds.
fn networks() -> impl Iterator<Item = (u64, Random, Network)> {
    (0..300).map(|seed| {
        let mut random = Random::new(seed);
        let network = random_network(&mut random);
        (seed, random, network)
    })
}

#[track_caller]
fn same(seed: u64, got: &[f64], wanted: &[f64]) {
    let within = 1e-9 * largest(wanted.iter().copied());
    for (got, wanted) in got.iter().zip(wanted) {
        assert!(
            (got - wanted).abs() <= within,
            "seed {seed}: got {got:?}, wanted {wanted:?}, off by {:e}",
            got - wanted
        );
    }
}

#[test]
fn currents_into_every_node_sum_to_zero() {
    for (seed, _, network) in networks() {
        let amps = network.solve().amps;
        let mut left = vec![0.0; network.nodes];
        for (branch, amps) in network.branches.iter().zip(&amps) {
            left[branch.from] += amps;
            left[branch.to] -= amps;
        }
        let within = 1e-9 * largest(amps);
        for (node, left) in left.iter().enumerate() {
            assert!(left.abs() <= within, "seed {seed}: {left:e} A left over at node {node}");
        }
    }
}

#[test]
fn the_power_of_the_sources_is_the_power_of_the_resistances() {
    for (seed, _, network) in networks() {
        let amps = network.solve().amps;
        let given: f64 = network.branches.iter().zip(&amps).map(|(b, i)| b.emf * i).sum();
        let taken: f64 = network.branches.iter().zip(&amps).map(|(b, i)| b.ohms * i * i).sum();
        assert!((given - taken).abs() <= 1e-9 * taken, "seed {seed}: {given} W given, {taken} W taken");
    }
}

#[test]
fn scaling_every_source_scales_every_voltage_and_current() {
    for (seed, mut random, network) in networks() {
        let factor = random.between(-3.0, 3.0);
        let mut scaled = network.clone();
        scaled.branches.iter_mut().for_each(|b| b.emf *= factor);
        let wanted: Vec<f64> = volts_of(&network).iter().map(|v| v * factor).collect();
        same(seed, &volts_of(&scaled), &wanted);
        let wanted: Vec<f64> = network.solve().amps.iter().map(|i| i * factor).collect();
        same(seed, &scaled.solve().amps, &wanted);
    }
}

#[test]
fn two_sources_at_once_do_what_they_do_one_by_one() {
    for (seed, _, network) in networks() {
        let alone = |even: bool| {
            let mut part = network.clone();
            for (place, branch) in part.branches.iter_mut().enumerate() {
                if place.is_multiple_of(2) != even {
                    branch.emf = 0.0;
                }
            }
            volts_of(&part)
        };
        let sum: Vec<f64> = alone(true).iter().zip(alone(false)).map(|(a, b)| a + b).collect();
        same(seed, &sum, &volts_of(&network));
    }
}

#[test]
fn a_resistance_fitted_end_for_end_changes_nothing_but_its_sign() {
    for (seed, mut random, network) in networks() {
        let mut turned = network.clone();
        let place = random.below(network.nodes - 1);
        let branch = &mut turned.branches[place];
        std::mem::swap(&mut branch.from, &mut branch.to);
        let before = network.solve();
        let mut after = turned.solve();
        after.amps[place] = -after.amps[place];
        same(seed, &volts_of(&turned), &volts_of(&network));
        same(seed, &after.amps, &before.amps);
    }
}

#[test]
fn numbering_nodes_and_branches_otherwise_changes_nothing() {
    for (seed, mut random, network) in networks() {
        let mut new_number: Vec<usize> = (0..network.nodes).collect();
        random.shuffle(&mut new_number);
        let mut order: Vec<usize> = (0..network.branches.len()).collect();
        random.shuffle(&mut order);
        let renumbered = Network {
            nodes: network.nodes,
            branches: order
                .iter()
                .map(|b| {
                    let branch = network.branches[*b];
                    Branch { from: new_number[branch.from], to: new_number[branch.to], ..branch }
                })
                .collect(),
            reference: network.reference.map(|r| new_number[r]),
        };
        let (before, after) = (network.solve(), renumbered.solve());
        let volts = volts_of(&renumbered);
        let back: Vec<f64> = new_number.iter().map(|n| volts[*n]).collect();
        same(seed, &back, &volts_of(&network));
        let wanted: Vec<f64> = order.iter().map(|b| before.amps[*b]).collect();
        same(seed, &after.amps, &wanted);
    }
}

#[test]
fn another_reference_moves_all_voltages_alike_and_no_current() {
    for (seed, mut random, network) in networks() {
        let mut moved = network.clone();
        let node = random.below(network.nodes);
        moved.reference = Some(node);
        let before = volts_of(&network);
        let wanted: Vec<f64> = before.iter().map(|v| v - before[node]).collect();
        same(seed, &volts_of(&moved), &wanted);
        same(seed, &moved.solve().amps, &network.solve().amps);
    }
}

#[test]
fn an_open_branch_added_or_one_without_current_removed_changes_nothing() {
    for (seed, _, network) in networks() {
        let mut longer = network.clone();
        let end = longer.add_node();
        longer.branches.push(Branch::resistor(0, end, 3.3));
        let solution = longer.solve();
        assert!(solution.amps.last().expect("one was added").abs() < 1e-9, "seed {seed}");
        near_relative(solution.volts[end].expect("it hangs on node 0") + 1.0, volts_of(&network)[0] + 1.0, 1e-9);
        same(seed, &volts_of(&longer)[..network.nodes], &volts_of(&network));
    }
}

#[test]
fn a_meter_reads_its_share_of_the_thevenin_voltage() {
    for (seed, mut random, network) in networks() {
        let (a, b) = (random.below(network.nodes), random.below(network.nodes));
        if a == b {
            continue;
        }
        let with = |branch: Branch| {
            let mut loaded = network.clone();
            loaded.branches.push(branch);
            loaded.solve()
        };
        let open = volts_of(&network);
        let thevenin_volts = open[a] - open[b];
        // What a strange ohm is driven through by the same place with its sources stilled, one volt put there.
        let mut still = network.clone();
        still.branches.iter_mut().for_each(|branch| branch.emf = 0.0);
        still.branches.push(Branch { from: b, to: a, ohms: 0.0, emf: 1.0 });
        let thevenin_ohms = 1.0 / still.solve().amps.last().expect("the source");
        for meter_ohms in [10.0, 3e3, 1e7] {
            let volts = with(Branch::resistor(a, b, meter_ohms)).volts;
            let read = volts[a].expect("connected") - volts[b].expect("connected");
            let wanted = thevenin_volts * meter_ohms / (meter_ohms + thevenin_ohms);
            let within = 1e-9 * largest(open.iter().copied());
            assert!((read - wanted).abs() <= within, "seed {seed}, {meter_ohms} ohm: reads {read}, wanted {wanted}");
        }
    }
}

#[test]
fn opening_the_only_path_puts_the_whole_source_across_the_gap() {
    let mut random = Random::new(1);
    for _ in 0..100 {
        let count = 2 + random.below(6);
        let emf = random.between(6.0, 28.0);
        let mut network = Network { nodes: count + 1, branches: Vec::new(), reference: Some(0) };
        network.branches.push(Branch { from: 0, to: 1, ohms: 0.01, emf });
        for node in 1..=count {
            network.branches.push(Branch::resistor(node, (node + 1) % (count + 1), random.decades(-2.0, 3.0)));
        }
        let gap = 1 + random.below(count);
        let removed = network.branches.remove(gap);
        let volts = volts_of(&network);
        near(volts[removed.from] - volts[removed.to], emf, 1e-12 * emf);
    }
}

#[test]
fn a_wire_that_carries_nothing_may_be_broken() {
    // A balanced bridge: W9 joins two points at the same voltage.
    let parts = [
        ("G1", "Battery(volts: 12)"),
        ("R1", "Resistor(ohms: 100)"),
        ("R2", "Resistor(ohms: 50)"),
        ("R3", "Resistor(ohms: 100)"),
        ("R4", "Resistor(ohms: 50)"),
        ("N1", "Ground"),
    ];
    let wires = [
        "W1 G1.+ R1.1",
        "W2 G1.+ R3.1",
        "W3 R1.2 R2.1",
        "W4 R3.2 R4.1",
        "W5 R2.2 N1.g",
        "W6 R4.2 N1.g",
        "W7 G1.- N1.g",
        "W9 R2.1 R4.1",
    ];
    let mut stand = Stand::new(&tiny(&parts, &wires));
    let before = stand.bench.outcome().clone();
    near(stand.amps("W9"), 0.0, 1e-12);

    stand.will("open:W9");

    for (got, wanted) in stand.bench.outcome().volts.iter().zip(&before.volts) {
        near(got.expect("fed"), wanted.expect("fed"), 1e-9);
    }
}
