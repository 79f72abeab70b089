//! The circuit as a graph: nets joined by what is inside the parts.
//!
//! A net is a set of terminals joined by wire alone; an edge is one path through a part, whether it conducts just now
//! or not. Answers who can be reached from where, for the checks and the questions that ask about paths. Volts and
//! amps are the physics' business. Union of terminals after Tarjan (disjoint sets), both from the `petgraph` crate,
//! which is named nowhere else in this layer.

use std::collections::VecDeque;

use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::unionfind::UnionFind;

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
        let paths: Vec<(Inside, NetId, NetId)> = match kind {
            Kind::Battery(_) => vec![(Inside::Cells, at(0), at(1))],
            Kind::Fuse(_) => vec![(Inside::Link, at(0), at(1))],
            Kind::KeySwitch(_) => vec![(Inside::Key, at(0), at(1))],
            Kind::HandSwitch(_) | Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => {
                vec![(Inside::Contact, at(0), at(1))]
            }
            Kind::SelectorSwitch(s) => (1..=s.positions.len()).map(|n| (Inside::Contact, at(0), at(n))).collect(),
            Kind::Relay(_) => {
                vec![(Inside::Coil, at(0), at(1)), (Inside::Contact, at(2), at(3)), (Inside::Contact, at(2), at(4))]
            }
            Kind::AirValve(_) => vec![(Inside::Coil, at(0), at(1))],
            Kind::Diode(_) => vec![(Inside::Diode, at(0), at(1))],
            Kind::Resistor(_) => vec![(Inside::Resistor, at(0), at(1))],
            Kind::Lamp(_) => vec![(Inside::Lamp, at(0), at(1))],
            Kind::Module(m) => {
                let driver = match m.side {
                    Side::Low => (Inside::Driver, at(2), at(1)),
                    Side::High => (Inside::Driver, at(0), at(2)),
                };
                vec![(Inside::Electronics, at(0), at(1)), driver]
            }
            Kind::Timer(_) => vec![(Inside::Electronics, at(0), at(1)), (Inside::Contact, at(0), at(3))],
            Kind::Connector(c) => (0..c.pins as usize).map(|n| (Inside::Pin, at(2 * n), at(2 * n + 1))).collect(),
            Kind::Splice(_) => Vec::new(),
            Kind::Ground(_) => vec![(Inside::Stud, at(0), chassis)],
        };
        for (inside, from, to) in paths {
            self.graph.add_edge(node(from), node(to), Path { part, inside, from, to });
        }
    }
}

fn node(net: NetId) -> NodeIndex {
    NodeIndex::new(net.index())
}

fn net(node: NodeIndex) -> NetId {
    NetId(u32::try_from(node.index()).expect("petgraph numbers nodes with 32 bits"))
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
