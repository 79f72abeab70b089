//! Why faults look alike: what the circuit has that makes them so.
//!
//! For each group the reasons are found from the drawing (one net, one line with nothing between) and from the states
//! (the same fuse opens, nothing at all changes). Where none of these holds, the faults merely come to the same
//! wherever it is read, and that is said. What would tell them apart is left to [`beyond`](super::beyond).

use std::collections::BTreeSet;

use crate::bench::Fault;
use crate::circuit::graph::Nets;
use crate::circuit::{Circuit, Kind, PartId, TerminalId, WireId};

use super::cases::Rig;
use super::{FaultTable, Group, bench_of};

/// Why two faults look alike.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// Neither changes anything that can be read.
    NothingChanges,
    /// Both touch the same net.
    SameNet,
    /// Both are in one line, with no branch and no point between them.
    OneLine,
    /// Both open the same fuses.
    SameFuse(Vec<String>),
    /// The same thing at the same place, to another degree.
    SameThing,
    /// They come to the same wherever it is read.
    SameReadings,
}

/// Reasons with the faults each holds for, by their places in the table.
pub fn reasons(table: &FaultTable, group: &Group) -> Vec<(Reason, Vec<usize>)> {
    if group.is_healthy {
        return vec![(Reason::NothingChanges, group.members.clone())];
    }
    if group.members.len() < 2 {
        return Vec::new();
    }
    let lines = Lines::of(&table.scene.circuit, &table.terminals);
    let opened: Vec<Vec<BTreeSet<PartId>>> = group.members.iter().map(|fault| opened(table, *fault)).collect();
    let mut found: Vec<(Reason, Vec<usize>)> = Vec::new();
    for (place, fault) in group.members.iter().enumerate().skip(1) {
        let reason_with = |earlier: usize| {
            let (a, b) = (&table.faults[group.members[earlier]], &table.faults[*fault]);
            let structural = lines.reason(a, b);
            let fuses = || {
                let any: BTreeSet<PartId> = opened[place].iter().flatten().copied().collect();
                let named = any.iter().map(|id| table.scene.circuit.part(*id).tag.clone()).collect();
                (!any.is_empty() && opened[place] == opened[earlier]).then_some(Reason::SameFuse(named))
            };
            (structural.or_else(fuses).unwrap_or(Reason::SameReadings), group.members[earlier])
        };
        let Some((reason, with)) = (0..place).map(reason_with).min() else { continue };
        match found.iter_mut().find(|(known, members)| *known == reason && members.contains(&with)) {
            Some((_, members)) => members.push(*fault),
            None => found.push((reason, vec![with, *fault])),
        }
    }
    found
}

/// Fuses of the circuit that are open in each state.
fn opened(table: &FaultTable, fault: usize) -> Vec<BTreeSet<PartId>> {
    let circuit = &table.scene.circuit;
    let Some(bench) = bench_of(&table.scene, Some(&table.faults[fault])) else { return Vec::new() };
    let rig = Rig::new(circuit, &[], &bench);
    let is_fuse = |id: &PartId| matches!(circuit.part(*id).kind, Kind::Fuse(_));
    let ids: Vec<PartId> = circuit.parts_with_ids().map(|(id, _)| id).filter(is_fuse).collect();
    let mut found = Vec::new();
    rig.walk(&bench, &table.states, |inputs, outcome| {
        found.push(ids.iter().copied().filter(|id| outcome.memory.fuse_blown(inputs, *id)).collect());
    });
    found
}

/// Something that a current passes in line: a wire, or a way through a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Piece {
    Wire(WireId),
    Part(PartId),
}

/// The circuit's pieces with the terminals they end on.
struct Lines<'a> {
    circuit: &'a Circuit,
    points: &'a [TerminalId],
    nets: Nets,
    pieces: Vec<(Piece, [TerminalId; 2])>,
}

impl<'a> Lines<'a> {
    fn of(circuit: &'a Circuit, points: &'a [TerminalId]) -> Self {
        let wires = circuit.wires_with_ids().map(|(id, wire)| (Piece::Wire(id), [wire.from, wire.to]));
        let mut pieces: Vec<_> = wires.collect();
        for (id, _) in circuit.parts_with_ids() {
            let terminals: Vec<TerminalId> = circuit.terminals_of(id).collect();
            // Of parts with more terminals every pair may be joined, so that each of them is a branch.
            for (place, a) in terminals.iter().enumerate() {
                pieces.extend(terminals[place + 1..].iter().map(|b| (Piece::Part(id), [*a, *b])));
            }
        }
        Self { circuit, points, nets: Nets::new(circuit), pieces }
    }

    fn reason(&self, a: &Fault, b: &Fault) -> Option<Reason> {
        let net = |words: &str| self.circuit.terminal_named(words).map(|id| self.nets.net_of(id));
        let nets = |one: &str, other: &str| {
            let of = |tag: &str| self.circuit.wire_named(tag).map(|id| self.nets.net_of(self.circuit.wire(id).from));
            let mut both = [of(one), of(other)];
            both.sort_unstable();
            both
        };
        match (a, b) {
            (Fault::Ground(a, x), Fault::Ground(b, y)) | (Fault::Feed(a, x), Fault::Feed(b, y)) => {
                (x == y && net(a).is_some() && net(a) == net(b)).then_some(Reason::SameNet)
            }
            (Fault::Join(a, b), Fault::Join(c, d)) => (nets(a, b) == nets(c, d)).then_some(Reason::SameNet),
            (Fault::Resist(a, _), Fault::Resist(b, _)) if a == b => Some(Reason::SameThing),
            (Fault::Resist(a, x), Fault::Resist(b, y)) if x == y => self.in_one_line(self.wire(a)?, self.wire(b)?),
            (Fault::LeakHose(_), Fault::LeakHose(_)) | (Fault::LeakChamber(_), Fault::LeakChamber(_)) => {
                Some(Reason::SameThing)
            }
            (Fault::LeakHose(x), Fault::LeakChamber(y)) | (Fault::LeakChamber(x), Fault::LeakHose(y)) => {
                (x == y).then_some(Reason::OneLine)
            }
            _ => self.in_one_line(self.cut(a)?, self.cut(b)?),
        }
    }

    fn wire(&self, tag: &str) -> Option<Piece> {
        self.circuit.wire_named(tag).map(Piece::Wire)
    }

    /// What a fault breaks through.
    fn cut(&self, fault: &Fault) -> Option<Piece> {
        use crate::circuit::Contact::Open;
        match fault {
            Fault::Open(tag) => self.wire(tag),
            Fault::Stuck(tag, Open) | Fault::CoilOpen(tag) | Fault::Blown(tag) => {
                self.circuit.part_named(tag).map(Piece::Part)
            }
            _ => None,
        }
    }

    /// Follows the line from one piece until a branch, a point or the other piece.
    fn in_one_line(&self, a: Piece, b: Piece) -> Option<Reason> {
        let ends = self.pieces.iter().find(|(piece, _)| *piece == a)?.1;
        let reaches = |end: TerminalId| {
            let (mut here, mut from) = (end, a);
            for _ in 0..self.pieces.len() {
                if self.points.contains(&here) {
                    return false;
                }
                let mut onward = self.pieces.iter().filter(|(piece, ends)| *piece != from && ends.contains(&here));
                let (Some((piece, ends)), None) = (onward.next(), onward.next()) else { return false };
                if *piece == b {
                    return true;
                }
                (here, from) = (if ends[0] == here { ends[1] } else { ends[0] }, *piece);
            }
            false
        };
        (a != b && ends.into_iter().any(reaches)).then_some(Reason::OneLine)
    }
}
