//! The rows as a layered graph: elements, passes through rows, and the joins of each channel.
//!
//! Channel `c` lies above row `c`, the last one below the last row. Wires that share a terminal form a star on it,
//! its hub; a star has one trunk in one channel, from which each wire goes on by itself through the rows between,
//! each passed at a [`Node`] of its own, so that no wire ever runs into a symbol (the dummy vertices of Sugiyama et
//! al. 1981). Where all the leaves lie one way, the wires share the passes up to the nearest.

use std::collections::BTreeMap;

use crate::circuit::{Circuit, Kind, TerminalId, WireId};

use super::element::{Element, Face, GRID};
use super::fold::Folds;

/// Something that takes room in a row.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) row: usize,
    /// Which element it is; none where wires pass.
    pub(super) element: Option<usize>,
    /// Bands stand side by side in every row.
    pub(super) band: Band,
}

/// Which part of a row a node keeps to, from left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Band {
    /// The battery and its way to ground.
    Battery,
    /// A column that leads on at the top of the next, from left to right.
    Fold(usize),
    /// All else.
    Main,
}

/// From which side a pin comes into a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bank {
    /// From the row above.
    Upper,
    /// From the row below.
    Lower,
}

/// One connection of a join.
#[derive(Clone, Copy, Debug)]
pub(super) struct JoinPin {
    pub(super) node: usize,
    /// Which pin of the node's element.
    pub(super) pin: usize,
    pub(super) bank: Bank,
    /// None where wires pass.
    pub(super) terminal: Option<TerminalId>,
    /// To be kept in line before others: a valve over its ground.
    pub(super) keen: bool,
}

/// What is connected inside one channel; the first pin is the one nearest the hub.
#[derive(Clone, Debug)]
pub(super) struct Join {
    pub(super) channel: usize,
    pub(super) pins: Vec<JoinPin>,
    /// A second wire between the same two terminals: must not hide behind the first.
    pub(super) double: bool,
}

/// A wire's way: join after join from pin to pin, hub first.
#[derive(Clone, Debug, Default)]
pub(super) struct Way {
    pub(super) hub_is_to: bool,
    pub(super) steps: Vec<(usize, usize, usize)>,
}

/// Everything ordering, placing and routing need.
#[derive(Clone, Debug, Default)]
pub(super) struct Graph {
    pub(super) nodes: Vec<Node>,
    pub(super) rows: Vec<Vec<usize>>,
    pub(super) joins: Vec<Join>,
    pub(super) ways: Vec<Way>,
}

/// Where a terminal is among elements and rows.
#[derive(Clone, Copy)]
struct Spot {
    node: usize,
    pin: usize,
    row: usize,
    face: Face,
    band: Band,
}

impl Spot {
    /// The channel this terminal opens to, seen from another one.
    fn channel(self, other: Self) -> usize {
        match self.face {
            Face::Top => self.row,
            Face::Bottom => self.row + 1,
            Face::Both => {
                // A column that has been folded comes in from above, wherever it ends.
                let above = matches!(other.band, Band::Fold(_)) && other.band < self.band;
                let above = above
                    || match other.face {
                        Face::Top => other.row <= self.row,
                        Face::Bottom => other.row < self.row,
                        Face::Both => other.row < self.row,
                    };
                // From a column that is folded the way goes on below.
                let leads_on = matches!(self.band, Band::Fold(_)) && other.band > self.band;
                self.row + usize::from(!above || leads_on)
            }
        }
    }
}

impl Graph {
    /// Rows and channels of a circuit whose elements have their rows.
    pub(super) fn new(circuit: &Circuit, elements: &[Element], row_of: &[usize], folds: &Folds) -> Self {
        let mut graph = Self { ways: vec![Way::default(); circuit.wires().len()], ..Self::default() };
        graph.rows = vec![Vec::new(); row_of.iter().max().map_or(0, |most| most + 1)];
        let mut spots: Vec<Option<Spot>> = vec![None; circuit.terminals().len()];
        for (e, element) in elements.iter().enumerate() {
            let band = match circuit.part(element.part).kind {
                Kind::Battery(_) => Band::Battery,
                _ => folds.band(e),
            };
            let node = graph.add(Node { row: row_of[e], element: Some(e), band });
            for (pin, p) in element.pins.iter().enumerate() {
                spots[p.terminal.index()] = Some(Spot { node, pin, row: row_of[e], face: p.face, band });
            }
        }
        for ((hub, channel, nth), wires) in stars(circuit, &spots) {
            graph.star(circuit, &spots, hub, channel, nth > 0, &wires);
        }
        graph
    }

    fn add(&mut self, node: Node) -> usize {
        let id = self.nodes.len();
        self.rows[node.row].push(id);
        self.nodes.push(node);
        id
    }

    fn join(&mut self, channel: usize, pins: Vec<JoinPin>) -> usize {
        self.joins.push(Join { channel, pins, double: false });
        self.joins.len() - 1
    }

    fn star(
        &mut self,
        circuit: &Circuit,
        spots: &[Option<Spot>],
        hub: TerminalId,
        channel: usize,
        double: bool,
        wires: &[WireId],
    ) {
        let Some(hub_spot) = spots[hub.index()] else { return };
        let leaves: Vec<(WireId, TerminalId, Spot, usize)> = wires
            .iter()
            .filter_map(|&id| {
                let leaf = other_end(circuit, id, hub);
                let spot = spots[leaf.index()]?;
                Some((id, leaf, spot, spot.channel(hub_spot)))
            })
            .collect();
        let lowest = leaves.iter().map(|l| l.3).min().unwrap_or(channel);
        let highest = leaves.iter().map(|l| l.3).max().unwrap_or(channel);
        let is_fed = leaves.iter().any(|l| matches!(l.2.band, Band::Fold(_)) && l.2.band < hub_spot.band);
        let leads_on = leaves.iter().any(|l| l.2.band > hub_spot.band);
        let trunk = match hub_spot.band {
            // What a folded column leads to hangs from one rail at the top.
            Band::Fold(_) if leads_on => lowest,
            Band::Fold(_) | Band::Main if is_fed => channel,
            Band::Battery | Band::Fold(_) | Band::Main => channel.clamp(lowest, highest),
        };
        let kind = |t: TerminalId| &circuit.part(circuit.terminal(t).part).kind;
        let is_minus = |t: TerminalId| matches!(kind(t), Kind::Battery(_)) && circuit.terminal(t).name == "-";
        let is_ground = |t: TerminalId| matches!(kind(t), Kind::Ground(_));
        let shared_band = match self.nodes[hub_spot.node].band {
            Band::Battery if !is_minus(hub) => Band::Main,
            band => band,
        };
        let start = hub_spot.pin_at(hub, channel);
        let mut steps = Vec::new();
        let trunk_pin = self.carry(start, channel, trunk, shared_band, &mut steps);
        let trunk_join = self.join(trunk, vec![trunk_pin]);
        self.joins[trunk_join].double = double;
        for (id, leaf, spot, leaf_channel) in leaves {
            let mut own = Vec::new();
            let is_return = (is_minus(hub) && is_ground(leaf)) || (is_minus(leaf) && is_ground(hub));
            let band = match self.nodes[spot.node].band {
                _ if is_return => Band::Battery,
                fold @ Band::Fold(_) => fold,
                Band::Battery | Band::Main => Band::Main,
            };
            let mut end = self.carry(spot.pin_at(leaf, leaf_channel), leaf_channel, trunk, band, &mut own);
            end.keen = end.terminal.is_some() && is_ground(hub) && matches!(kind(leaf), Kind::AirValve(_));
            self.joins[trunk_join].pins.push(end);
            let mut way = Way { hub_is_to: circuit.wire(id).to == hub, steps: steps.clone() };
            way.steps.push((trunk_join, 0, self.joins[trunk_join].pins.len() - 1));
            way.steps.extend(own.into_iter().rev().map(|(join, a, b)| (join, b, a)));
            self.ways[id.index()] = way;
        }
    }

    /// Carries a connection from a pin in channel `from` to channel `to` through the rows between; yields the pin it
    /// comes into `to` by, and the joins on the way.
    fn carry(
        &mut self,
        start: JoinPin,
        from: usize,
        to: usize,
        band: Band,
        steps: &mut Vec<(usize, usize, usize)>,
    ) -> JoinPin {
        let mut at = start;
        let down = to > from;
        let rows: Vec<usize> = if down { (from..to).collect() } else { (to..from).rev().collect() };
        let mut channel = from;
        for row in rows {
            let node = self.add(Node { row, element: None, band });
            let pass = |bank| JoinPin { node, pin: 0, bank, terminal: None, keen: false };
            let (enter, go_on) = if down { (Bank::Lower, Bank::Upper) } else { (Bank::Upper, Bank::Lower) };
            let join = self.join(channel, vec![at, pass(enter)]);
            steps.push((join, 0, 1));
            at = pass(go_on);
            channel = if down { channel + 1 } else { channel - 1 };
        }
        at
    }
}

impl Spot {
    fn pin_at(self, terminal: TerminalId, channel: usize) -> JoinPin {
        let bank = if channel == self.row { Bank::Lower } else { Bank::Upper };
        JoinPin { node: self.node, pin: self.pin, bank, terminal: Some(terminal), keen: false }
    }
}

fn other_end(circuit: &Circuit, id: WireId, hub: TerminalId) -> TerminalId {
    let wire = circuit.wire(id);
    if wire.from == hub { wire.to } else { wire.from }
}

/// Wires by hub, channel at the hub, and how many wires already join the same two terminals.
type Stars = BTreeMap<(TerminalId, usize, usize), Vec<WireId>>;

fn stars(circuit: &Circuit, spots: &[Option<Spot>]) -> Stars {
    let mut stars = Stars::new();
    let mut between: BTreeMap<(TerminalId, TerminalId), usize> = BTreeMap::new();
    for (id, wire) in circuit.wires_with_ids() {
        if wire.from == wire.to {
            continue;
        }
        let wires_at = |t: TerminalId| circuit.ends_at(t).len();
        let share = |t: TerminalId| match circuit.part(circuit.terminal(t).part).kind {
            // The ways to the battery keep together as far as they can.
            Kind::Battery(_) if wires_at(t) > 1 => usize::MAX,
            _ => wires_at(t),
        };
        let (hub, leaf) = if share(wire.to) > share(wire.from) { (wire.to, wire.from) } else { (wire.from, wire.to) };
        let (Some(h), Some(l)) = (spots[hub.index()], spots[leaf.index()]) else { continue };
        let nth = between.entry((hub.min(leaf), hub.max(leaf))).or_default();
        stars.entry((hub, h.channel(l), *nth)).or_default().push(id);
        *nth += 1;
    }
    stars
}

/// Room a node takes left and right of its axis, in units.
pub(super) fn reach(node: &Node, elements: &[Element]) -> (i32, i32) {
    match node.element {
        Some(e) => (elements[e].left() + GRID, elements[e].right() + GRID),
        None => (GRID, 2 * GRID),
    }
}

/// How far right of its node's axis a pin is, in units.
pub(super) fn pin_dx(graph: &Graph, elements: &[Element], pin: &JoinPin) -> i32 {
    graph.nodes[pin.node].element.map_or(0, |e| elements[e].pins[pin.pin].dx)
}
