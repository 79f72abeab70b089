//! A network compiled once, to be solved again and again with other conductances.
//!
//! [`Prepared`] holds the order of elimination; [`Solved`] is one state of it, with all that lets its altered copies be
//! found without solving again: levels, the ohms between places, islands and bridges. What an alteration does is
//! left to [`altered`](super::altered).

use std::collections::BTreeMap;
use std::sync::Arc;

use super::bridges::{Bridges, Graph};
use super::inverse::Ohms;
use super::network::{Branch, Merged, Network};
use super::schedule::{Schedule, Slot};
use super::sweep::{Sweep, Unswept};

/// A network compiled for other conductances of its branches. A copy is the same compiled network.
#[derive(Clone, Debug)]
pub struct Prepared {
    pub(super) compiled: Arc<Compiled>,
}

/// All that was compiled.
#[derive(Debug)]
pub(super) struct Compiled {
    pub(super) network: Network,
    pub(super) schedule: Schedule,
    /// For each branch where it goes.
    pub(super) lines: Vec<Line>,
    /// For each node its place, and the volts it stands above that place's level.
    pub(super) stands: Vec<(usize, f64)>,
    graph: Graph,
    /// For each branch, all that go where it goes, itself among them.
    pub(super) mates: Vec<Vec<u32>>,
    /// Branches that drive current: a source is between their places.
    pub(super) sourced: Vec<u32>,
}

/// A branch between two places.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) slot: Slot,
    /// Volts of its source as seen between the two places' levels.
    pub(super) volts: f64,
    /// Siemens as the network has it; of no meaning for an exact join.
    pub(super) siemens: f64,
    /// It is an exact join, which no place is left between.
    pub(super) is_join: bool,
}

impl Prepared {
    /// Compiles a network. Branches of no resistance are exact joins for good.
    pub fn of(network: &Network) -> Self {
        let merged = Merged::of(network);
        let reference = network.reference.map(|node| merged.group[node]);
        let groups = merged.resistive(network).map(|r| (r.a, r.b));
        let schedule = Schedule::of(merged.count, groups, reference);
        let datum = network.reference.map_or(0.0, |node| merged.offset[node]);
        let stands = merged.group.iter().zip(&merged.offset).map(|(g, above)| (schedule.place(*g), above - datum));
        let stands: Vec<(usize, f64)> = stands.collect();
        let line = |(branch, is_join): (&Branch, &bool)| {
            let (a, b) = (stands[branch.from].0, stands[branch.to].0);
            Line {
                a,
                b,
                slot: schedule.slot_of_places(a, b).unwrap_or(Slot::None),
                volts: merged.source_volts(branch),
                siemens: 1.0 / branch.resisting_ohms(),
                is_join: *is_join,
            }
        };
        let lines: Vec<Line> = network.branches.iter().zip(&merged.joined).map(line).collect();
        let ends = (0..).zip(&lines).map(|(number, line)| (number, line.a as u32, line.b as u32));
        // An exact join has both its ends at one place.
        let graph = Graph::of(schedule.places() + 1, ends.filter(|(_, a, b)| a != b));
        let is_sourced = |line: &(u32, &Line)| line.1.volts != 0.0 && !line.1.is_join;
        let sourced = (0..).zip(&lines).filter(is_sourced).map(|(number, _)| number).collect();
        let mates = mates(&lines);
        let compiled = Compiled { network: network.clone(), schedule, lines, stands, graph, mates, sourced };
        Self { compiled: Arc::new(compiled) }
    }

    /// Siemens of every branch as the network has them.
    pub fn siemens(&self) -> Vec<f64> {
        self.compiled.lines.iter().map(|line| line.siemens).collect()
    }

    /// Every node, in the order that is the quickest to watch.
    pub fn nodes(&self) -> Vec<usize> {
        let stands = &self.compiled.stands;
        let mut nodes: Vec<usize> = (0..stands.len()).collect();
        nodes.sort_by_key(|node| stands[*node].0);
        nodes
    }

    /// Solves with the branches at these siemens, zero where one is open, ready to tell what alterations do to the
    /// nodes `watched`.
    pub fn solve(&self, siemens: &[f64], watched: &[usize]) -> Solved {
        let compiled = &*self.compiled;
        let mut places: Vec<usize> = watched.iter().map(|node| compiled.stands[*node].0).collect();
        let ohms = Ohms::new(&compiled.schedule, watched.len());
        let mut watch_of = vec![None; compiled.places() + 1];
        places.iter().enumerate().for_each(|(at, place)| watch_of[*place] = Some(at));
        places.resize(ohms.width(), compiled.places());
        let mut solved = Solved {
            prepared: Arc::clone(&self.compiled),
            siemens: Vec::with_capacity(siemens.len()),
            watched: watched.to_vec(),
            places,
            watch_of,
            level: vec![0.0; compiled.places() + 1],
            volts: vec![f64::NAN; ohms.width()],
            unswept: Unswept::new(&compiled.schedule),
            sweep: Sweep::new(&compiled.schedule),
            ohms,
            bridges: Bridges::new(&compiled.graph, compiled.lines.len()),
        };
        solved.again(siemens);
        solved
    }
}

impl Compiled {
    pub(super) fn places(&self) -> usize {
        self.schedule.places()
    }

    /// Puts every branch's conductance where it goes.
    pub(super) fn fill(&self, siemens: &[f64], unswept: &mut Unswept) {
        for (line, siemens) in self.lines.iter().zip(siemens) {
            if !line.is_join {
                unswept.add(line.slot, *siemens);
            }
        }
    }

    /// Adds what the branches' sources drive into each place in one of several cases; what reaches the anchor is of no
    /// matter.
    #[inline(always)]
    pub(super) fn drive<const L: usize>(&self, siemens: impl Fn(usize) -> f64, lane: usize, amps: &mut [[f64; L]]) {
        for number in &self.sourced {
            let line = &self.lines[*number as usize];
            let driven = siemens(*number as usize) * line.volts;
            amps[line.a][lane] -= driven;
            amps[line.b][lane] += driven;
        }
    }
}

/// For each line all that share its slot.
fn mates(lines: &[Line]) -> Vec<Vec<u32>> {
    let place = |line: &Line| match line.slot {
        Slot::Between(entry) => (0, entry),
        Slot::Anchor(place) => (1, place),
        Slot::None => (2, 0),
    };
    let mut sharing: BTreeMap<(u8, usize), Vec<u32>> = BTreeMap::new();
    for (number, line) in (0..).zip(lines).filter(|(_, line)| !line.is_join && line.slot != Slot::None) {
        sharing.entry(place(line)).or_default().push(number);
    }
    lines.iter().map(|line| sharing.get(&place(line)).cloned().unwrap_or_default()).collect()
}

/// One state of a prepared network.
#[derive(Clone, Debug)]
pub struct Solved {
    pub(super) prepared: Arc<Compiled>,
    pub(super) siemens: Vec<f64>,
    watched: Vec<usize>,
    /// Place of each watched node; the anchor where there are fewer nodes than room.
    pub(super) places: Vec<usize>,
    /// Which of the watched stands at each place.
    pub(super) watch_of: Vec<Option<usize>>,
    /// Level of each place against the anchor; an island that floats stands against its last place.
    pub(super) level: Vec<f64>,
    /// Volts of the watched; not a number where one floats.
    pub(super) volts: Vec<f64>,
    /// Conductances before they were swept.
    pub(super) unswept: Unswept,
    pub(super) sweep: Sweep<1>,
    pub(super) ohms: Ohms,
    pub(super) bridges: Bridges,
}

impl Solved {
    /// Solves the network at other siemens of its branches in the same room, with the same nodes watched.
    pub fn again(&mut self, siemens: &[f64]) {
        let prepared = Arc::clone(&self.prepared);
        let (schedule, anchor) = (&prepared.schedule, prepared.places());
        self.siemens.clear();
        self.siemens.extend_from_slice(siemens);
        self.unswept.clear();
        prepared.fill(siemens, &mut self.unswept);
        self.sweep.copy_unswept(&self.unswept);
        self.sweep.eliminate(schedule);
        self.level.fill(0.0);
        let (amps, _) = self.level.as_chunks_mut();
        prepared.drive(|line| siemens[line], 0, amps);
        amps[anchor] = [0.0];
        self.sweep.levels(schedule, amps);
        amps[anchor] = [0.0];
        self.ohms.take(schedule, &self.sweep, &self.places);
        self.bridges.walk(&prepared.graph, anchor, |line| siemens[line] > 0.0);
        let home = self.bridges.island(anchor);
        for (volts, node) in self.volts.iter_mut().zip(&self.watched) {
            let (place, above) = prepared.stands[*node];
            *volts = if self.bridges.island(place) == home { self.level[place] + above } else { f64::NAN };
        }
    }

    /// The network it is a state of.
    pub fn prepared(&self) -> Prepared {
        Prepared { compiled: Arc::clone(&self.prepared) }
    }

    /// The nodes watched, in order.
    pub fn watched(&self) -> &[usize] {
        &self.watched
    }

    /// Their volts against the reference; not a number where one floats.
    pub fn volts(&self) -> &[f64] {
        &self.volts[..self.watched.len()]
    }
}
