//! Diodes beside every combination of their states.
//!
//! Random networks of resistances, one battery and up to twelve diodes. All 2^n ways of conducting and blocking are
//! tried by the tests' own elimination; the one that contradicts nothing is the answer, and the program must have
//! found it.

use std::collections::BTreeMap;

use crate::support::random::Random;
use fanloom::circuit::PartId;
use fanloom::physics::electric::assemble::DiodeSite;
use fanloom::physics::electric::diodes::{Decided, solve};
use fanloom::physics::electric::{Assembly, Branch, Element, Network};

const DIODE_OHMS: f64 = 0.01;

/// A network with diodes. Every node has a way to node 0 through a resistance where `tied`, so that no voltage is
/// left open.
fn random_assembly(random: &mut Random, diodes: usize, tied: bool) -> Assembly {
    let nodes = 4 + random.below(6);
    let mut network = Network { nodes, branches: Vec::new(), reference: Some(0) };
    network.branches.push(Branch { from: 0, to: 1, ohms: 0.01, emf: random.between(6.0, 28.0) });
    if random.percent(40) {
        let emf = random.between(-20.0, 20.0);
        network.branches.push(Branch { from: 0, to: random.below(nodes), ohms: random.decades(-1.0, 2.0), emf });
    }
    for node in 2..nodes {
        if tied {
            network.branches.push(Branch::resistor(node, 0, random.decades(0.0, 5.0)));
        }
        if random.percent(50) {
            network.branches.push(Branch::resistor(node, random.below(nodes), random.decades(-2.0, 3.0)));
        }
    }
    let sites = (0..diodes).map(|number| {
        let anode = random.below(nodes);
        let cathode = (anode + 1 + random.below(nodes - 1)) % nodes;
        let number = u32::try_from(number).expect("few");
        DiodeSite { anode, cathode, drop_volts: 0.7, element: Element::Through(PartId(number)) }
    });
    Assembly {
        movers: Vec::new(),
        diodes: sites.collect(),
        elements: (0..network.branches.len()).map(Element::Tie).collect(),
        network,
        touch: Vec::new(),
        own: Vec::new(),
        loose: BTreeMap::new(),
        chassis: 0,
        supply: Some(1),
    }
}

/// Volts of every node with these diodes conducting, by nodal analysis and plain elimination with row exchange.
fn volts_with(assembly: &Assembly, conducting: u32) -> Vec<f64> {
    let n = assembly.network.nodes;
    let mut rows = vec![vec![0.0; n + 1]; n];
    let diodes = assembly.diodes.iter().enumerate().filter(|(d, _)| conducting >> d & 1 == 1).map(|(_, site)| Branch {
        from: site.anode,
        to: site.cathode,
        ohms: DIODE_OHMS,
        emf: -site.drop_volts,
    });
    for branch in assembly.network.branches.iter().copied().chain(diodes) {
        let (a, b, g) = (branch.from, branch.to, 1.0 / branch.ohms);
        rows[a][a] += g;
        rows[b][b] += g;
        rows[a][b] -= g;
        rows[b][a] -= g;
        rows[a][n] -= g * branch.emf;
        rows[b][n] += g * branch.emf;
    }
    rows[0] = vec![0.0; n + 1];
    rows[0][0] = 1.0;
    for column in 0..n {
        let best = (column..n).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()));
        rows.swap(column, best.expect("there are rows left"));
        let pivot = rows[column].clone();
        for row in rows.iter_mut().skip(column + 1).filter(|row| row[column] != 0.0) {
            let factor = row[column] / pivot[column];
            row.iter_mut().zip(&pivot).skip(column).for_each(|(x, p)| *x -= factor * p);
        }
    }
    let mut volts = vec![0.0; n];
    for row in (0..n).rev() {
        let known: f64 = (row + 1..n).map(|c| rows[row][c] * volts[c]).sum();
        volts[row] = (rows[row][n] - known) / rows[row][row];
    }
    volts
}

/// Whether no diode contradicts these volts: conducting ones forward, blocking ones below their drop.
fn fits(assembly: &Assembly, conducting: u32, volts: &[f64]) -> bool {
    assembly.diodes.iter().enumerate().all(|(d, site)| {
        let across = volts[site.anode] - volts[site.cathode] - site.drop_volts;
        if conducting >> d & 1 == 1 { across >= -1e-9 } else { across <= 1e-9 }
    })
}

fn compare(seed: u64, assembly: &Assembly) {
    let states = 0..1u32 << assembly.diodes.len();
    let answer = states.map(|s| (s, volts_with(assembly, s))).find(|(s, volts)| fits(assembly, *s, volts));
    let (state, wanted) = answer.unwrap_or_else(|| panic!("seed {seed}: no states fit {assembly:?}"));
    let decided = solve(assembly);
    for (node, (got, wanted)) in decided.solution.volts.iter().zip(&wanted).enumerate() {
        let got = got.unwrap_or_else(|| panic!("seed {seed}: node {node} floats, though tied"));
        assert!((got - wanted).abs() <= 1e-6, "seed {seed}: node {node} at {got}, wanted {wanted}, states {state:b}");
    }
    complementary(seed, assembly, &decided);
}

/// Conducting: no current backwards. Blocking: not above its drop.
fn complementary(seed: u64, assembly: &Assembly, decided: &Decided) {
    for (d, (site, branch)) in assembly.diodes.iter().zip(&decided.branch).enumerate() {
        if let Some(branch) = branch {
            let amps = decided.solution.amps[*branch];
            assert!(amps >= -1e-6, "seed {seed}: diode {d} conducts {amps:e} A backwards");
        } else if let (Some(anode), Some(cathode)) =
            (decided.solution.volts[site.anode], decided.solution.volts[site.cathode])
        {
            let across = anode - cathode;
            assert!(across <= site.drop_volts + 1e-6, "seed {seed}: diode {d} blocks {across} V");
        }
    }
}

#[test]
fn the_states_found_are_the_one_set_that_fits() {
    for seed in 0..300 {
        let mut random = Random::new(seed);
        let count = 1 + random.below(7);
        compare(seed, &random_assembly(&mut random, count, true));
    }
}

#[test]
fn twelve_diodes_find_the_one_set_that_fits_too() {
    for seed in 1000..1012 {
        compare(seed, &random_assembly(&mut Random::new(seed), 12, true));
    }
}

#[test]
fn no_diode_contradicts_itself_where_parts_of_the_network_float() {
    for seed in 0..500 {
        let mut random = Random::new(seed);
        let count = 1 + random.below(12);
        let assembly = random_assembly(&mut random, count, false);
        complementary(seed, &assembly, &solve(&assembly));
    }
}
