//! Where a splice sits: at the very point where its wires meet.
//!
//! Rows and channels are found as if a splice were a part of no height; here its dot is moved along the run its
//! wires have in common to where the first of them turns off, so that it is itself the junction. Yields the places
//! and the wires cut and lengthened to match. Plain geometry.

use crate::circuit::{Circuit, End, Kind, TerminalId};
use crate::drawing::path;
use crate::drawing::picture::Point;

use super::simplified;

/// Splices of a circuit by their terminals.
pub(super) fn splices(circuit: &Circuit) -> impl Iterator<Item = TerminalId> + '_ {
    let is_splice = |kind: &Kind| matches!(kind, Kind::Splice(_));
    circuit.parts_with_ids().filter(move |(_, part)| is_splice(&part.kind)).map(|(id, _)| circuit.terminal_at(id, 0))
}

/// Moves every splice to where its wires meet.
pub(super) fn meet(circuit: &Circuit, terminals: &mut [Point], wires: &mut [Vec<Point>]) {
    for splice in splices(circuit) {
        let ends: Vec<(usize, End)> = circuit
            .ends_at(splice)
            .iter()
            .filter(|end| circuit.wire(end.wire).from != circuit.wire(end.wire).to)
            .map(|end| (end.wire.index(), end.end))
            .collect();
        let fan: Vec<Vec<Point>> = ends.iter().map(|&(wire, end)| from(&wires[wire], end)).collect();
        let own: Vec<f32> = ends.iter().map(|&(wire, end)| alone(circuit, splice, wires, wire, end)).collect();
        let Some((group, along)) = common(&fan, &own) else { continue };
        let stem = path::cut(&fan[group[0]], 0.0, along);
        let Some(&at) = stem.last() else { continue };
        for (i, (&(wire, end), points)) in ends.iter().zip(&fan).enumerate() {
            let moved = if group.contains(&i) {
                path::cut(points, along, path::length(points))
            } else {
                stem.iter().rev().chain(points).copied().collect()
            };
            let mut moved = simplified(&moved);
            if end == End::To {
                moved.reverse();
            }
            wires[wire] = moved;
        }
        terminals[splice.index()] = at;
    }
}

/// How far along a wire from a splice no wire runs that hangs on its other terminal alone: further on the dot would
/// lie on that one too.
fn alone(circuit: &Circuit, splice: TerminalId, wires: &[Vec<Point>], wire: usize, end: End) -> f32 {
    let there = match end {
        End::From => circuit.wires()[wire].to,
        End::To => circuit.wires()[wire].from,
    };
    let back: Vec<Point> = from(&wires[wire], end).into_iter().rev().collect();
    let others = circuit.ends_at(there).iter().filter(|other| {
        let other = circuit.wire(other.wire);
        other.from != splice && other.to != splice
    });
    let shared = others.map(|other| path::together(&back, &from(&wires[other.wire.index()], other.end)));
    path::length(&back) - shared.fold(0.0, f32::max)
}

fn from(wire: &[Point], end: End) -> Vec<Point> {
    match end {
        End::From => wire.to_vec(),
        End::To => wire.iter().rev().copied().collect(),
    }
}

/// The largest group of wires that leave one way, and how far all of them run together. Each wire of the fan is
/// clear of strangers for a length of its own.
fn common(fan: &[Vec<Point>], clear: &[f32]) -> Option<(Vec<usize>, f32)> {
    let way = |points: &[Point]| path::walk(points, 0.0).1;
    let mut best: Option<(Vec<usize>, f32)> = None;
    // What leaves down the page is what the splice deals out: of equal groups it wins.
    for direction in [(0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)] {
        let group: Vec<usize> = (0..fan.len()).filter(|i| way(&fan[*i]) == direction).collect();
        if group.len() < 2 || best.as_ref().is_some_and(|(most, _)| most.len() >= group.len()) {
            continue;
        }
        let first = &fan[group[0]];
        let along = group[1..].iter().map(|i| path::together(first, &fan[*i])).fold(f32::INFINITY, f32::min);
        let shortest = group.iter().map(|i| clear[*i]).fold(f32::INFINITY, f32::min);
        if along > 0.0 && along < shortest {
            best = Some((group, along));
        }
    }
    best
}
