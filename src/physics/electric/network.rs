//! The face of the solver: a network of nodes and branches in, voltages and currents out.
//!
//! A branch is a source in series with a resistance: a wire has no source, a battery has both, a conducting diode is
//! a small source against the current. A branch of no resistance worth the name is an exact join: its two nodes are merged,
//! a source's volts apart, rather than becoming a huge conductance. What is joined by nothing to the reference
//! floats: it still has currents if a source drives any, but no voltage anybody could state. Non-linear parts and
//! what the branches stand for are left to the callers.

use super::eliminate::{Conductance, Eliminated};
use super::islands;
use crate::physics::limits::{CONTRADICTION_OHMS, JOIN_OHMS};

/// A source in series with a resistance between two nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Node where positive current enters.
    pub from: usize,
    /// Node where it leaves.
    pub to: usize,
    /// Series resistance in ohms: not negative, finite.
    pub ohms: f64,
    /// Volts by which the source raises `to` above `from` when no current flows.
    pub emf: f64,
}

impl Branch {
    /// A plain resistance.
    pub fn resistor(from: usize, to: usize, ohms: f64) -> Self {
        Self { from, to, ohms, emf: 0.0 }
    }
}

/// Nodes 0 to `nodes - 1` and what joins them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    /// How many nodes.
    pub nodes: usize,
    /// What joins them.
    pub branches: Vec<Branch>,
    /// Node whose voltage is zero, if there is one.
    pub reference: Option<usize>,
}

/// Voltages and currents of a network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solution {
    /// Volts of each node against the reference; none where it floats.
    pub volts: Vec<Option<f64>>,
    /// Amps in each branch, positive from `from` to `to`.
    pub amps: Vec<f64>,
}

impl Network {
    /// Adds a node and gives its number.
    pub fn add_node(&mut self) -> usize {
        self.nodes += 1;
        self.nodes - 1
    }

    /// Whether branches lead from one node to the other.
    pub fn joined(&self, a: usize, b: usize) -> bool {
        let island = islands::label(self.nodes, self.branches.iter().map(|branch| (branch.from, branch.to)));
        island[a] == island[b]
    }

    /// Solves the network: node voltages by nodal analysis, branch currents from them.
    pub fn solve(&self) -> Solution {
        let merged = Merged::of(self);
        let groups = merged.count;
        let island = islands::label(groups, merged.resistive(self).map(|(_, _, a, b)| (a, b)));
        let reference = self.reference.map(|node| merged.group[node]);
        let anchored = anchors(&island, reference);
        let mut injected = vec![0.0; groups];
        let mut conductances = Vec::with_capacity(self.branches.len());
        for (i, ohms, a, b) in merged.resistive(self) {
            let siemens = 1.0 / ohms;
            let driven = siemens * merged.source_volts(&self.branches[i]);
            injected[a] -= driven;
            injected[b] += driven;
            conductances.push(Conductance { a, b, siemens });
        }
        let eliminated = Eliminated::of(groups, &conductances, &anchored);
        let mut level = eliminated.potentials(&injected);
        let amps = self.currents(&merged, &eliminated, &mut level);
        // The reference node itself is at zero, not the group it was merged into.
        let datum = self.reference.map_or(0.0, |node| merged.offset[node]);
        let home = reference.map(|group| island[group]);
        let volts = (0..self.nodes)
            .map(|node| {
                let group = merged.group[node];
                (home == Some(island[group])).then(|| level[group] + merged.offset[node] - datum)
            })
            .collect();
        Solution { volts, amps }
    }

    /// Amps in every branch, and the levels made as good as they.
    ///
    /// A milliohm before a meter has the same voltage at both ends to the last digit, so a current taken from their
    /// difference is noise. What such currents leave over at the nodes is driven in again, and the answer to that
    /// added to the currents, not to the voltages (iterative refinement: J. H. Wilkinson, Rounding Errors in
    /// Algebraic Processes, 1963; kept here in terms of currents). Once is enough: the error left is the square.
    fn currents(&self, merged: &Merged, eliminated: &Eliminated, level: &mut [f64]) -> Vec<f64> {
        let mut amps = vec![0.0; self.branches.len()];
        for (i, ohms, a, b) in merged.resistive(self) {
            amps[i] = (level[a] - level[b] + merged.source_volts(&self.branches[i])) / ohms;
        }
        let mut missing = vec![Flow::default(); merged.count];
        for (i, _, a, b) in merged.resistive(self) {
            missing[a].add(-amps[i]);
            missing[b].add(amps[i]);
        }
        let missing: Vec<f64> = missing.iter().map(|left| left.amps + left.rest).collect();
        let correction = eliminated.potentials(&missing);
        for (i, ohms, a, b) in merged.resistive(self) {
            amps[i] += (correction[a] - correction[b]) / ohms;
        }
        level.iter_mut().zip(&correction).for_each(|(level, more)| *level += more);
        merged.share_joins(self, &mut amps);
        amps
    }
}

/// A sum of currents kept unrounded in two numbers, so that a node with great currents balances to the last digit.
#[derive(Clone, Copy, Debug, Default)]
struct Flow {
    amps: f64,
    rest: f64,
}

impl Flow {
    /// Adds, and keeps what rounding would lose (the exact sum of two: D. E. Knuth, The Art of Computer Programming
    /// 2, section 4.2.2).
    fn add(&mut self, more: f64) {
        let sum = self.amps + more;
        let added = sum - self.amps;
        self.rest += (self.amps - (sum - added)) + (more - added);
        self.amps = sum;
    }
}

/// One anchored group an island: the reference's own where it has one, else the first.
fn anchors(island: &[usize], reference: Option<usize>) -> Vec<bool> {
    let mut taken = vec![false; island.len()];
    let mut anchored = vec![false; island.len()];
    for group in reference.into_iter().chain(0..island.len()) {
        if !taken[island[group]] {
            taken[island[group]] = true;
            anchored[group] = true;
        }
    }
    anchored
}

/// Nodes merged over branches of no resistance.
struct Merged {
    /// Group of each node.
    group: Vec<usize>,
    /// Volts of each node above its group's level.
    offset: Vec<f64>,
    /// How many groups.
    count: usize,
    /// Whether each branch was used as an exact join.
    joined: Vec<bool>,
}

impl Merged {
    fn of(network: &Network) -> Self {
        let mut forest = Forest::new(network.nodes);
        let joined = network
            .branches
            .iter()
            .map(|branch| branch.ohms < JOIN_OHMS && forest.join(branch.from, branch.to, branch.emf))
            .collect();
        let mut number = vec![usize::MAX; network.nodes];
        let mut group = Vec::with_capacity(network.nodes);
        let mut offset = Vec::with_capacity(network.nodes);
        let mut count = 0;
        for node in 0..network.nodes {
            let (root, above) = forest.find(node);
            if number[root] == usize::MAX {
                number[root] = count;
                count += 1;
            }
            group.push(number[root]);
            offset.push(above);
        }
        Self { group, offset, count, joined }
    }

    /// Branches that resist: index, ohms, group of `from`, group of `to`.
    fn resistive<'a>(&'a self, network: &'a Network) -> impl Iterator<Item = (usize, f64, usize, usize)> + 'a {
        network.branches.iter().enumerate().filter(|(i, _)| !self.joined[*i]).map(|(i, branch)| {
            // A join that contradicts an ideal source is the one that is not exact.
            let ohms = if branch.ohms < JOIN_OHMS { CONTRADICTION_OHMS } else { branch.ohms };
            (i, ohms, self.group[branch.from], self.group[branch.to])
        })
    }

    /// A branch's source as seen between its two groups' levels.
    fn source_volts(&self, branch: &Branch) -> f64 {
        branch.emf + self.offset[branch.from] - self.offset[branch.to]
    }

    /// Currents in the exact joins: what the resisting branches bring to each node must go on through them. Where
    /// joins form a loop the split has no answer of its own; equal vanishing resistances are taken.
    fn share_joins(&self, network: &Network, amps: &mut [f64]) {
        if !self.joined.contains(&true) {
            return;
        }
        let mut injected = vec![0.0; network.nodes];
        for (i, branch) in network.branches.iter().enumerate() {
            if !self.joined[i] {
                injected[branch.from] -= amps[i];
                injected[branch.to] += amps[i];
            }
        }
        let joins: Vec<(usize, Conductance)> = network
            .branches
            .iter()
            .enumerate()
            .filter(|(i, _)| self.joined[*i])
            .map(|(i, branch)| (i, Conductance { a: branch.from, b: branch.to, siemens: 1.0 }))
            .collect();
        let conductances: Vec<Conductance> = joins.iter().map(|(_, c)| *c).collect();
        let anchored = anchors(&self.group, None);
        let level = Eliminated::of(network.nodes, &conductances, &anchored).potentials(&injected);
        for (i, c) in joins {
            amps[i] = level[c.a] - level[c.b];
        }
    }
}

/// Union-find in which every node knows how many volts it stands above its root.
struct Forest {
    parent: Vec<usize>,
    above_parent: Vec<f64>,
}

impl Forest {
    fn new(nodes: usize) -> Self {
        Self { parent: (0..nodes).collect(), above_parent: vec![0.0; nodes] }
    }

    /// Root of a node and the node's volts above it. Shortens the way for the next call.
    fn find(&mut self, node: usize) -> (usize, f64) {
        let mut path = Vec::new();
        let mut root = node;
        while self.parent[root] != root {
            path.push(root);
            root = self.parent[root];
        }
        let mut above = 0.0;
        for step in path.into_iter().rev() {
            above += self.above_parent[step];
            self.parent[step] = root;
            self.above_parent[step] = above;
        }
        (root, above)
    }

    /// Joins two nodes with `to` standing `emf` volts above `from`. False where they are joined already at other
    /// volts.
    fn join(&mut self, from: usize, to: usize, emf: f64) -> bool {
        let (a, above_a) = self.find(from);
        let (b, above_b) = self.find(to);
        if a == b {
            return above_b - above_a == emf;
        }
        self.parent[b] = a;
        self.above_parent[b] = above_a + emf - above_b;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::{Branch, Network};

    fn near(got: f64, wanted: f64) {
        assert!((got - wanted).abs() <= 1e-12 * wanted.abs().max(1.0), "got {got}, wanted {wanted}");
    }

    #[test]
    fn ideal_source_and_exact_joins_carry_the_loop_current() {
        let network = Network {
            nodes: 3,
            branches: vec![
                Branch { from: 0, to: 1, ohms: 0.0, emf: 9.0 },
                Branch::resistor(1, 2, 450.0),
                Branch::resistor(2, 0, 0.0),
            ],
            reference: Some(0),
        };
        let solution = network.solve();
        near(solution.volts[1].unwrap(), 9.0);
        near(solution.volts[2].unwrap(), 0.0);
        for amps in solution.amps {
            near(amps, 0.02);
        }
    }

    #[test]
    fn an_island_of_its_own_floats_and_still_carries_current() {
        let network = Network {
            nodes: 4,
            branches: vec![
                Branch { from: 0, to: 1, ohms: 1.0, emf: 6.0 },
                Branch { from: 2, to: 3, ohms: 1.0, emf: 6.0 },
                Branch::resistor(3, 2, 2.0),
            ],
            reference: Some(0),
        };
        let solution = network.solve();
        assert_eq!(solution.volts[2], None);
        near(solution.volts[1].unwrap(), 6.0);
        near(solution.amps[2], 2.0);
    }

    #[test]
    fn shorting_an_ideal_source_gives_a_finite_enormous_current() {
        let network = Network {
            nodes: 2,
            branches: vec![Branch { from: 0, to: 1, ohms: 0.0, emf: 12.0 }, Branch::resistor(1, 0, 0.0)],
            reference: Some(0),
        };
        let amps = network.solve().amps;
        assert!(amps[0].is_finite() && amps[0] > 1e6, "{amps:?}");
        near(amps[0] / amps[1], 1.0);
    }
}
