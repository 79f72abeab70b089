//! The face of the solver: a network of nodes and branches in, voltages and currents out.
//!
//! A branch is a source in series with a resistance: a wire has no source, a battery has both, a conducting diode is
//! a small source against the current. A branch of no resistance worth the name is an exact join: its two nodes are merged,
//! a source's volts apart, rather than becoming a huge conductance. What is joined by nothing to the reference
//! floats: it still has currents if a source drives any, but no voltage anybody could state. Non-linear parts and
//! what the branches stand for are left to the callers.

use super::islands;
use super::orders::Orders;
use super::schedule::{Schedule, Slot};
use super::sweep::Sweep;
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

    /// Its ohms where it is no exact join: a join that contradicts an ideal source is the one that is not exact.
    pub(super) fn resisting_ohms(&self) -> f64 {
        if self.ohms < JOIN_OHMS { CONTRADICTION_OHMS } else { self.ohms }
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
        self.solve_on(&mut Orders::default())
    }

    /// The same on an order of elimination that may be known from before.
    pub fn solve_on(&self, orders: &mut Orders) -> Solution {
        let merged = Merged::of(self);
        let (schedule, slots) = orders.order(&merged, self);
        let swept = Swept::of(schedule, slots.into_iter().zip(merged.resistive(self).map(|r| 1.0 / r.ohms)));
        let mut injected = vec![0.0; merged.count];
        for r in merged.resistive(self) {
            let driven = merged.source_volts(&self.branches[r.branch]) / r.ohms;
            injected[r.a] -= driven;
            injected[r.b] += driven;
        }
        let mut level = swept.levels(&injected);
        let amps = self.currents(&merged, &swept, &mut level);
        // The reference node itself is at zero, not the group it was merged into.
        let datum = self.reference.map_or(0.0, |node| merged.offset[node]);
        let floats = swept.floating();
        let volts = (0..self.nodes)
            .map(|node| {
                let group = merged.group[node];
                (!floats[group]).then(|| level[group] + merged.offset[node] - datum)
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
    fn currents(&self, merged: &Merged, swept: &Swept<'_>, level: &mut [f64]) -> Vec<f64> {
        let mut amps = vec![0.0; self.branches.len()];
        let mut missing = vec![Flow::default(); merged.count];
        for r in merged.resistive(self) {
            let through = (level[r.a] - level[r.b] + merged.source_volts(&self.branches[r.branch])) / r.ohms;
            amps[r.branch] = through;
            missing[r.a].add(-through);
            missing[r.b].add(through);
        }
        let missing: Vec<f64> = missing.iter().map(Flow::amps).collect();
        let correction = swept.levels(&missing);
        for r in merged.resistive(self) {
            amps[r.branch] += (correction[r.a] - correction[r.b]) / r.ohms;
        }
        level.iter_mut().zip(&correction).for_each(|(level, more)| *level += more);
        merged.share_joins(self, &mut amps);
        amps
    }
}

/// A network eliminated, ready for any currents driven into it.
struct Swept<'s> {
    schedule: &'s Schedule,
    sweep: Sweep<1>,
}

impl<'s> Swept<'s> {
    /// Eliminates a network of these conductances.
    fn of(schedule: &'s Schedule, siemens: impl Iterator<Item = (Slot, f64)>) -> Self {
        let mut sweep = Sweep::new(schedule);
        siemens.for_each(|(slot, siemens)| sweep.add(slot, 0, siemens));
        sweep.eliminate(schedule);
        Self { schedule, sweep }
    }

    /// Levels with `injected` amps driven into each node, the anchor held at zero.
    fn levels(&self, injected: &[f64]) -> Vec<f64> {
        let mut amps = vec![[0.0]; self.schedule.places() + 1];
        for (node, driven) in injected.iter().enumerate() {
            amps[self.schedule.place(node)] = [*driven];
        }
        self.sweep.levels(self.schedule, &mut amps);
        amps[self.schedule.places()] = [0.0];
        (0..injected.len()).map(|node| amps[self.schedule.place(node)][0]).collect()
    }

    /// Whether each node floats.
    fn floating(&self) -> Vec<bool> {
        let mut floats = Vec::new();
        self.sweep.floating(self.schedule, &mut floats);
        let floats = |node| floats.get(self.schedule.place(node)).is_some_and(|[floats]| *floats);
        (0..self.schedule.nodes()).map(floats).collect()
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

    /// The sum, rounded.
    fn amps(&self) -> f64 {
        self.amps + self.rest
    }
}

/// Nodes merged over branches of no resistance.
pub(super) struct Merged {
    /// Group of each node.
    pub(super) group: Vec<usize>,
    /// Volts of each node above its group's level.
    pub(super) offset: Vec<f64>,
    /// How many groups.
    pub(super) count: usize,
    /// Whether each branch was used as an exact join.
    pub(super) joined: Vec<bool>,
}

impl Merged {
    pub(super) fn of(network: &Network) -> Self {
        if network.branches.iter().all(|branch| branch.ohms >= JOIN_OHMS) {
            return Self::nothing(network);
        }
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

    /// Every node a group of its own.
    fn nothing(network: &Network) -> Self {
        Self {
            group: (0..network.nodes).collect(),
            offset: vec![0.0; network.nodes],
            count: network.nodes,
            joined: vec![false; network.branches.len()],
        }
    }

    /// Branches that resist.
    pub(super) fn resistive<'a>(
        &'a self,
        network: &'a Network,
    ) -> impl DoubleEndedIterator<Item = Resistive> + Clone + 'a {
        network.branches.iter().enumerate().filter(|(i, _)| !self.joined[*i]).map(|(i, branch)| Resistive {
            branch: i,
            ohms: branch.resisting_ohms(),
            a: self.group[branch.from],
            b: self.group[branch.to],
        })
    }

    /// A branch's source as seen between its two groups' levels.
    pub(super) fn source_volts(&self, branch: &Branch) -> f64 {
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
        let joins = network.branches.iter().zip(&self.joined).filter(|(_, joined)| **joined).map(|(branch, _)| branch);
        let schedule = Schedule::of(network.nodes, joins.clone().map(|join| (join.from, join.to)), None);
        let slots = joins.map(|join| (schedule.slot(join.from, join.to).unwrap_or(Slot::None), 1.0));
        let level = Swept::of(&schedule, slots).levels(&injected);
        for ((branch, amps), _) in network.branches.iter().zip(amps).zip(&self.joined).filter(|(_, joined)| **joined) {
            *amps = level[branch.from] - level[branch.to];
        }
    }
}

/// A branch that resists, between the groups of its two nodes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Resistive {
    /// Which branch.
    pub(super) branch: usize,
    pub(super) ohms: f64,
    /// Group of `from`.
    pub(super) a: usize,
    /// Group of `to`.
    pub(super) b: usize,
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
