//! Which diodes conduct, and the solution that follows.
//!
//! With every other part linear and passive this is a linear complementarity problem with a positive definite
//! matrix, so exactly one set of states fits. All diodes are first flipped together while that makes progress (the
//! common case takes two or three solves); if states come back, single flips by the least-index rule finish it in a
//! bounded number of steps (K. G. Murty, "Note on a Bard-type scheme for solving the complementarity problem",
//! Opsearch 11, 1974). During the search blocked diodes are very large resistances, so that chains of them are
//! decided too; in the result a blocked diode is no path at all.

use std::collections::BTreeSet;

use crate::physics::limits::{DIODE_AMPS_SLACK, DIODE_IDLE_AMPS, DIODE_SEARCH_OHMS, DIODE_VOLTS_SLACK};

use super::assemble::{Assembly, DiodeSite};
use super::network::{Branch, Network, Solution};
use super::orders::Orders;

/// Solution of an assembly with its diodes decided.
#[derive(Clone, Debug)]
pub struct Decided {
    /// The network solved, the conducting diodes' branches after all others.
    pub network: Network,
    /// Its voltages and currents.
    pub solution: Solution,
    /// For each diode, the branch it conducts in; none where it blocks.
    pub branch: Vec<Option<usize>>,
}

/// What is kept from one solution to the next of the same circuit, to find the next the sooner. It never changes what
/// is found.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// Orders of elimination.
    pub orders: Orders,
    /// Diodes that conducted.
    conducting: Vec<bool>,
}

impl Known {
    /// Nothing but orders of elimination.
    pub fn of(orders: Orders) -> Self {
        Self { orders, conducting: Vec::new() }
    }
}

/// Solves an assembly, diodes included.
pub fn solve(assembly: &Assembly) -> Decided {
    solve_from(assembly, &mut Known::default())
}

/// The same with what is known from before.
pub fn solve_from(assembly: &Assembly, known: &mut Known) -> Decided {
    let mut conducting = std::mem::take(&mut known.conducting);
    conducting.resize(assembly.diodes.len(), false);
    let decided = guess(assembly, &mut conducting, &mut known.orders).unwrap_or_else(|| {
        conducting = search(assembly, &mut known.orders);
        finish(assembly, &conducting, &mut known.orders)
    });
    known.conducting = conducting;
    decided
}

/// Solutions that a guess is allowed before the search begins.
const GUESSES: usize = 4;

/// Tries the states at hand, and those that the first solutions point to. None where none of them is beyond doubt:
/// every conducting diode carries something, and no other would carry or lift anything. States beyond doubt are
/// those that the search would find, there being no others that fit.
fn guess(assembly: &Assembly, conducting: &mut [bool], orders: &mut Orders) -> Option<Decided> {
    for _ in 0..GUESSES {
        let decided = finish(assembly, conducting, orders);
        let mut is_sure = true;
        for (d, diode) in assembly.diodes.iter().enumerate() {
            let fits = match decided.branch[d] {
                Some(branch) => decided.solution.amps[branch] > DIODE_IDLE_AMPS,
                None => lifted_to(diode, &decided.solution.volts).is_none(),
            };
            if !fits {
                conducting[d] ^= true;
                is_sure = false;
            }
        }
        if is_sure {
            return Some(decided);
        }
    }
    None
}

/// Volts to which a blocking diode would lift its cathode; none where it would not.
fn lifted_to(diode: &DiodeSite, volts: &[Option<f64>]) -> Option<f64> {
    let lifted = volts[diode.anode].map(|v| v - diode.drop_volts);
    lifted.filter(|v| match volts[diode.cathode] {
        None => *v > 0.0,
        Some(cathode) => *v - cathode > DIODE_VOLTS_SLACK,
    })
}

/// Flips diodes until none contradicts its state.
fn search(assembly: &Assembly, orders: &mut Orders) -> Vec<bool> {
    let count = assembly.diodes.len();
    let mut conducting = vec![true; count];
    let mut seen = BTreeSet::new();
    // 2^count bounds the single flips in theory; in practice they number a few per diode. Past this the states are
    // the best there is, and the residual of the result is still exact for them.
    for _ in 0..(64 + 16 * count) {
        let wrong = contradictions(assembly, &conducting, orders);
        if wrong.is_empty() {
            break;
        }
        if seen.insert(conducting.clone()) {
            wrong.iter().for_each(|d| conducting[*d] ^= true);
        } else {
            conducting[wrong[0]] ^= true;
        }
    }
    drop_idle(assembly, &mut conducting, orders);
    conducting
}

/// Diodes whose state does not fit: conducting backwards, or blocking a forward voltage.
fn contradictions(assembly: &Assembly, conducting: &[bool], orders: &mut Orders) -> Vec<usize> {
    let (solution, first) = search_solution(assembly, conducting, orders);
    (0..conducting.len())
        .filter(|d| {
            let amps = solution.amps[first + d];
            if conducting[*d] {
                amps < -DIODE_AMPS_SLACK
            } else {
                amps * DIODE_SEARCH_OHMS > assembly.diodes[*d].drop_volts + DIODE_VOLTS_SLACK
            }
        })
        .collect()
}

fn search_solution(assembly: &Assembly, conducting: &[bool], orders: &mut Orders) -> (Solution, usize) {
    let mut network = assembly.network.clone();
    let first = network.branches.len();
    network.branches.extend(assembly.diodes.iter().zip(conducting).map(|(diode, on)| {
        if *on { diode.conducting() } else { Branch::resistor(diode.anode, diode.cathode, DIODE_SEARCH_OHMS) }
    }));
    (network.solve_on(orders), first)
}

/// A diode that carries nothing joins only a dead end. It lifts a dead cathode to its anode less the drop, as any
/// meter put there would find; it never lifts a dead anode, nor pushes a cathode below battery `-`. Conducting or
/// blocking, both fit such a diode, and which one the search ended on is chance: so all that do not carry are asked.
/// One that would block forward volts conducts, however little a meter draws through it.
fn drop_idle(assembly: &Assembly, conducting: &mut [bool], orders: &mut Orders) {
    let (solution, first) = search_solution(assembly, conducting, orders);
    let mut idle: Vec<usize> =
        (0..conducting.len()).filter(|d| !conducting[*d] || solution.amps[first + d].abs() < DIODE_IDLE_AMPS).collect();
    idle.iter().for_each(|d| conducting[*d] = false);
    while !idle.is_empty() {
        let volts = finish(assembly, conducting, orders).solution.volts;
        // The highest first: it is the one a dead end with several diodes stands at, the others block.
        let lifting =
            idle.iter().enumerate().filter_map(|(place, d)| Some((place, lifted_to(&assembly.diodes[*d], &volts)?)));
        let Some((place, _)) = lifting.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))) else { return };
        conducting[idle.remove(place)] = true;
    }
}

fn finish(assembly: &Assembly, conducting: &[bool], orders: &mut Orders) -> Decided {
    let mut network = assembly.network.clone();
    let branch = assembly
        .diodes
        .iter()
        .zip(conducting)
        .map(|(diode, on)| {
            on.then(|| {
                network.branches.push(diode.conducting());
                network.branches.len() - 1
            })
        })
        .collect();
    let solution = network.solve_on(orders);
    Decided { network, solution, branch }
}
