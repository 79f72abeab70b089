//! The circuit as a graph: nets joined by what is inside the parts.
//!
//! A net is a set of terminals joined by wire alone; an edge is one path through a part, whether it conducts just now
//! or not. Answers who can be reached from where, for the checks and the questions that ask about paths. Volts and
//! amps are the physics' business. Union of terminals after Tarjan (disjoint sets), both from the `petgraph` crate,
//! which is named nowhere else in this layer.

use std::collections::{BTreeSet, VecDeque};

use petgraph::algo::articulation_points::articulation_points;
use petgraph::algo::astar;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::unionfind::UnionFind;
use petgraph::visit::EdgeRef;

use super::part::Side;
use super::{Circuit, Kind, PartId, TerminalId, WireId};

/// A net's place among the nets of a circuit, in the order of their first terminals. The last is the chassis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NetId(pub u32);

impl NetId {
    /// As a list index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// What a path through a part is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inside {
    /// A battery's cells, from `+` to `-`.
    Cells,
    /// A fuse's link.
    Link,
    /// The key switch.
    Key,
    /// A contact of a hand switch, selector, sensor, relay or timer.
    Contact,
    /// The coil of a relay or valve.
    Coil,
    /// A resistor.
    Resistor,
    /// A lamp.
    Lamp,
    /// A diode, from anode to cathode.
    Diode,
    /// A module's driver.
    Driver,
    /// What a module or timer draws for itself, from supply to ground.
    Electronics,
    /// A connector's pin.
    Pin,
    /// A stud on the chassis; its other end is the chassis itself.
    Stud,
}

impl Inside {
    /// Whether it uses up the current that passes, so that its two ends are not the same side of the circuit.
    pub fn is_load(self) -> bool {
        match self {
            Self::Coil | Self::Resistor | Self::Lamp | Self::Electronics => true,
            Self::Cells
            | Self::Link
            | Self::Key
            | Self::Contact
            | Self::Diode
            | Self::Driver
            | Self::Pin
            | Self::Stud => false,
        }
    }
}

/// One path through a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Path {
    /// The part.
    pub part: PartId,
    /// What it is made of.
    pub inside: Inside,
    /// Net at its first end: the anode of a diode, the `+` of a battery.
    pub from: NetId,
    /// Net at its other end.
    pub to: NetId,
}

/// The nets of a circuit and the paths between them.
#[derive(Clone, Debug)]
pub struct Nets {
    net_of: Vec<NetId>,
    graph: UnGraph<(), Path>,
}

impl Nets {
    /// Finds the nets of a circuit.
    pub fn new(circuit: &Circuit) -> Self {
        Self::without(circuit, None)
    }

    /// Finds the nets there are with one wire off, if one is.
    pub fn without(circuit: &Circuit, lifted: Option<WireId>) -> Self {
        let count = circuit.terminals().len();
        let mut joined = UnionFind::<usize>::new(count);
        for (_, wire) in circuit.wires_with_ids().filter(|(id, _)| Some(*id) != lifted) {
            joined.union(wire.from.index(), wire.to.index());
        }
        let mut number_of = vec![None; count];
        let mut graph = UnGraph::with_capacity(count + 1, count);
        let net_of: Vec<NetId> =
            (0..count).map(|t| *number_of[joined.find_mut(t)].get_or_insert_with(|| net(graph.add_node(())))).collect();
        let chassis = net(graph.add_node(()));
        let mut nets = Self { net_of, graph };
        for (id, part) in circuit.parts_with_ids() {
            nets.add_part(circuit, id, &part.kind, chassis);
        }
        nets
    }

    /// The net a terminal is on.
    pub fn net_of(&self, terminal: TerminalId) -> NetId {
        self.net_of[terminal.index()]
    }

    /// How many nets there are, the chassis counted.
    pub fn count(&self) -> usize {
        self.graph.node_count()
    }

    /// The chassis: what every ground stud is bolted to.
    pub fn chassis(&self) -> NetId {
        net(NodeIndex::new(self.count() - 1))
    }

    /// All paths through parts, part after part.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.graph.edge_weights()
    }

    /// Paths through parts that end on a net.
    pub fn paths_at(&self, at: NetId) -> impl Iterator<Item = &Path> {
        self.graph.edges(node(at)).map(|e| e.weight())
    }

    /// Every net that can be reached from some, by paths for which `passes` says so; `passes` is given the net the
    /// path is entered from. The answer is by [`NetId::index`].
    pub fn reachable(
        &self,
        from: impl IntoIterator<Item = NetId>,
        mut passes: impl FnMut(&Path, NetId) -> bool,
    ) -> Vec<bool> {
        let mut reached = vec![false; self.count()];
        let mut waiting: VecDeque<NetId> = VecDeque::new();
        for start in from {
            if !std::mem::replace(&mut reached[start.index()], true) {
                waiting.push_back(start);
            }
        }
        while let Some(at) = waiting.pop_front() {
            for edge in self.graph.edges(node(at)) {
                let path = edge.weight();
                let next = if path.from == at { path.to } else { path.from };
                if !reached[next.index()] && passes(path, at) {
                    reached[next.index()] = true;
                    waiting.push_back(next);
                }
            }
        }
        reached
    }

    /// Whether one net can be reached from another without going through any of the parts left out.
    pub fn is_path(&self, from: NetId, to: NetId, left_out: &[PartId]) -> bool {
        self.reachable([from], |path, _| !left_out.contains(&path.part))[to.index()]
    }

    /// The wires of a shortest way from one terminal to another by wire, connector pins, fuses and the chassis; empty
    /// where there is none.
    pub fn wires_between(&self, circuit: &Circuit, from: TerminalId, to: TerminalId) -> Vec<WireId> {
        let mut came_by: Vec<Option<(TerminalId, Option<WireId>)>> = vec![None; circuit.terminals().len()];
        let mut waiting = VecDeque::from([from]);
        let studs: Vec<TerminalId> = circuit
            .parts_with_ids()
            .filter(|(_, part)| matches!(part.kind, Kind::Ground(_)))
            .map(|(id, _)| circuit.terminal_at(id, 0))
            .collect();
        let mut studs_met = false;
        came_by[from.index()] = Some((from, None));
        while let Some(at) = waiting.pop_front() {
            if at == to {
                break;
            }
            let by_wire = circuit.ends_at(at).iter().map(|end| {
                let wire = circuit.wire(end.wire);
                (if wire.from == at { wire.to } else { wire.from }, Some(end.wire))
            });
            let part = circuit.terminal(at).part;
            let place = at.index() - circuit.terminal_at(part, 0).index();
            let mut inside = Vec::new();
            match circuit.part(part).kind {
                Kind::Connector(_) | Kind::Fuse(_) => inside.push((circuit.terminal_at(part, place ^ 1), None)),
                Kind::Ground(_) if !std::mem::replace(&mut studs_met, true) => {
                    inside.extend(studs.iter().map(|s| (*s, None)));
                }
                _ => {}
            }
            for (next, wire) in by_wire.chain(inside) {
                if came_by[next.index()].is_none() {
                    came_by[next.index()] = Some((at, wire));
                    waiting.push_back(next);
                }
            }
        }
        let mut wires = Vec::new();
        let mut at = to;
        while let Some((before, wire)) = came_by[at.index()] {
            wires.extend(wire);
            if at == before {
                break;
            }
            at = before;
        }
        wires.reverse();
        wires
    }

    fn add_part(&mut self, circuit: &Circuit, part: PartId, kind: &Kind, chassis: NetId) {
        let at = |place: usize| self.net_of[circuit.terminal_at(part, place).index()];
        for (inside, from, to) in places(kind) {
            let (from, to) = (at(from), to.map_or(chassis, at));
            self.graph.add_edge(node(from), node(to), Path { part, inside, from, to });
        }
    }
}

/// Parts and wires.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stretch {
    /// The parts.
    pub parts: BTreeSet<PartId>,
    /// The wires.
    pub wires: BTreeSet<WireId>,
}

/// The circuit by its terminals: joined by wires and, inside the parts, by what uses up no current.
pub struct Ways {
    graph: UnGraph<(), Step>,
    /// Part of each node; the last is the chassis, which has none.
    parts: Vec<Option<PartId>>,
}

/// What joins two terminals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    Wire(WireId),
    Inside(PartId),
}

impl Ways {
    /// Every way there is, whether it conducts just now or not.
    pub fn of(circuit: &Circuit) -> Self {
        let mut graph = UnGraph::with_capacity(circuit.terminals().len() + 1, circuit.wires().len());
        let mut parts: Vec<Option<PartId>> = circuit.terminals().iter().map(|t| Some(t.part)).collect();
        parts.push(None);
        let at: Vec<NodeIndex> = parts.iter().map(|_| graph.add_node(())).collect();
        for (id, wire) in circuit.wires_with_ids() {
            graph.add_edge(at[wire.from.index()], at[wire.to.index()], Step::Wire(id));
        }
        for (id, part) in circuit.parts_with_ids() {
            for (inside, from, to) in places(&part.kind) {
                if !inside.is_load() && inside != Inside::Cells {
                    let node = |place| at[circuit.terminal_at(id, place).index()];
                    let other = to.map_or(at[parts.len() - 1], node);
                    graph.add_edge(node(from), other, Step::Inside(id));
                }
            }
        }
        Self { graph, parts }
    }

    /// All that current from one terminal to another can run through without passing any point twice: the part of the
    /// graph that no single point parts from both. Empty where there is no way.
    pub fn between(&self, from: TerminalId, to: TerminalId) -> Stretch {
        let ends = [NodeIndex::new(from.index()), NodeIndex::new(to.index())];
        let mut on_the_way = self.reached([ends[0]], None);
        let mut stretch = Stretch::default();
        if from == to || !on_the_way[ends[1].index()] {
            return stretch;
        }
        // With its ends joined, what hangs on the way by one point alone hangs on a point of articulation.
        let mut closed = self.graph.clone();
        closed.add_edge(ends[0], ends[1], Step::Inside(PartId(u32::MAX)));
        for point in articulation_points(&closed) {
            if on_the_way[point.index()] {
                let reached = self.reached(ends.into_iter().filter(|end| *end != point), Some(point));
                on_the_way.iter_mut().zip(reached).enumerate().for_each(|(node, (is_on, reached))| {
                    *is_on &= reached || node == point.index();
                });
            }
        }
        for edge in self.graph.edge_references() {
            if on_the_way[edge.source().index()] && on_the_way[edge.target().index()] {
                match *edge.weight() {
                    Step::Wire(id) => _ = stretch.wires.insert(id),
                    Step::Inside(id) => _ = stretch.parts.insert(id),
                }
            }
        }
        stretch.parts.extend(self.parts.iter().zip(on_the_way).filter_map(|(part, is_on)| part.filter(|_| is_on)));
        stretch
    }

    fn reached(&self, from: impl IntoIterator<Item = NodeIndex>, without: Option<NodeIndex>) -> Vec<bool> {
        let mut reached = vec![false; self.graph.node_count()];
        let mut waiting: Vec<NodeIndex> = from.into_iter().collect();
        waiting.iter().for_each(|node| reached[node.index()] = true);
        while let Some(at) = waiting.pop() {
            for next in self.graph.neighbors(at).filter(|next| Some(*next) != without) {
                if !std::mem::replace(&mut reached[next.index()], true) {
                    waiting.push(next);
                }
            }
        }
        reached
    }
}

/// The paths through a part, each with the places of the terminals at its two ends; none is the chassis.
fn places(kind: &Kind) -> Vec<(Inside, usize, Option<usize>)> {
    let one = |inside, from, to| vec![(inside, from, Some(to))];
    match kind {
        Kind::Battery(_) => one(Inside::Cells, 0, 1),
        Kind::Fuse(_) => one(Inside::Link, 0, 1),
        Kind::KeySwitch(_) => one(Inside::Key, 0, 1),
        Kind::HandSwitch(_) | Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => one(Inside::Contact, 0, 1),
        Kind::SelectorSwitch(s) => (1..=s.positions.len()).map(|n| (Inside::Contact, 0, Some(n))).collect(),
        Kind::Relay(_) => {
            vec![(Inside::Coil, 0, Some(1)), (Inside::Contact, 2, Some(3)), (Inside::Contact, 2, Some(4))]
        }
        Kind::AirValve(_) => one(Inside::Coil, 0, 1),
        Kind::Diode(_) => one(Inside::Diode, 0, 1),
        Kind::Resistor(_) => one(Inside::Resistor, 0, 1),
        Kind::Lamp(_) => one(Inside::Lamp, 0, 1),
        Kind::Module(m) => {
            let driver = match m.side {
                Side::Low => (Inside::Driver, 2, Some(1)),
                Side::High => (Inside::Driver, 0, Some(2)),
            };
            vec![(Inside::Electronics, 0, Some(1)), driver]
        }
        Kind::Timer(_) => vec![(Inside::Electronics, 0, Some(1)), (Inside::Contact, 0, Some(3))],
        Kind::Connector(c) => (0..c.pins as usize).map(|n| (Inside::Pin, 2 * n, Some(2 * n + 1))).collect(),
        Kind::Splice(_) => Vec::new(),
        Kind::Ground(_) => vec![(Inside::Stud, 0, None)],
    }
}

fn node(net: NetId) -> NodeIndex {
    NodeIndex::new(net.index())
}

fn net(node: NodeIndex) -> NetId {
    NetId(u32::try_from(node.index()).expect("petgraph numbers nodes with 32 bits"))
}

/// The fewest wires that lead from one terminal to another of the same net.
pub fn wires_between(circuit: &Circuit, from: TerminalId, to: TerminalId) -> Vec<WireId> {
    let wires = circuit.wires_with_ids().map(|(id, wire)| (wire.from.0, wire.to.0, id));
    let harness = UnGraph::<(), WireId>::from_edges(wires);
    let node = |terminal: TerminalId| NodeIndex::new(terminal.index());
    let way = astar(&harness, node(from), |at| at == node(to), |_| 1, |_| 0);
    let terminals = way.map(|(_, terminals)| terminals).unwrap_or_default();
    let wire = |pair: &[NodeIndex]| harness.find_edge(pair[0], pair[1]).map(|edge| harness[edge]);
    terminals.windows(2).filter_map(wire).collect()
}

#[cfg(test)]
mod tests {
    use super::Nets;
    use crate::circuit::format::read;

    #[test]
    fn nets_are_joined_by_wire_alone_and_paths_stop_at_a_part_left_out() {
        let text = r#"Circuit(format: 1, parts: { "F1": Fuse(amps: 10), "X1": Splice, "S1": KeySwitch }, wires: {
            "W1": Wire(from: "F1.2", to: "X1.s"), "W2": Wire(from: "X1.s", to: "S1.30") })"#;
        let circuit = read(text).circuit.expect("sound");

        let nets = Nets::new(&circuit);

        let of = |words| nets.net_of(circuit.terminal_named(words).expect("in the file"));
        assert_eq!(nets.count(), 4);
        assert_eq!(of("F1.2"), of("S1.30"));
        assert!(nets.is_path(of("F1.1"), of("S1.15"), &[]));
        assert!(!nets.is_path(of("F1.1"), of("S1.15"), &[circuit.part_named("F1").expect("in the file")]));
        let ends = (circuit.terminal_named("F1.1").expect("there"), circuit.terminal_named("S1.30").expect("there"));
        assert_eq!(nets.wires_between(&circuit, ends.0, ends.1).len(), 2);
    }
}
