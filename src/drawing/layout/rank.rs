//! Which row each part goes to: current falls from row to row.
//!
//! A net lies above every part that hangs from it and below every part that stands on it; rows are the least that
//! keep this, with least total height of the wires by [`simplex`](super::simplex), or by longest path alone in very
//! large circuits. Rings (a seal-in contact, say) are opened where a depth-first walk from the supply meets itself,
//! as in K. Sugiyama, S. Tagawa and M. Toda, "Methods for Visual Understanding of Hierarchical System Structures",
//! IEEE Trans. Systems, Man and Cybernetics 11 (1981).

use std::collections::BTreeSet;

use crate::circuit::{Circuit, Kind};

use super::element::{Element, Face};
use super::fold::Folds;
use super::potential::Potential;
use super::simplex::{Edge, feasible, solve};

/// Above this many parts rows come from longest paths alone.
const EXACT_UP_TO: usize = 400;
/// Steps the exact method may spend.
const WORK: usize = 20_000_000;
/// How much a battery is drawn to what hangs on its upper pole.
const BATTERY_PULL: i64 = 8;

/// Row of each element, counted from the top; what a folded column leads to begins at the top again.
pub(super) fn rows(circuit: &Circuit, elements: &[Element], potential: &Potential, folds: &Folds) -> Vec<usize> {
    let nets = potential.volts.len();
    let count = elements.len() + nets + 1;
    let root = count - 1;
    let mut edges = constraints(circuit, elements, potential);
    edges.retain(|edge| match edge.head.checked_sub(elements.len()) {
        Some(net) => !folds.cuts.contains(&net),
        // Where a valve stands aside, all that leads to its upper terminal leads up.
        None => !folds.aside.contains(&edge.head),
    });
    open_rings(&mut edges, count, elements.len(), potential);
    edges.extend((0..root).map(|n| Edge::new(root, n, 0, 0)));
    let mut at = if elements.len() <= EXACT_UP_TO { solve(count, &edges, WORK) } else { feasible(count, &edges) };
    if elements.len() <= EXACT_UP_TO {
        clear_splices(elements, &edges, &mut at);
    }
    let least = (0..elements.len()).map(|e| at[e]).min().unwrap_or(0);
    let mut rows: Vec<usize> = (0..elements.len()).map(|e| usize::try_from(at[e] - least).unwrap_or(0)).collect();
    spread_spares(circuit, elements, &mut rows);
    sink_grounds(circuit, elements, &mut rows);
    rows
}

fn constraints(circuit: &Circuit, elements: &[Element], potential: &Potential) -> Vec<Edge> {
    let base = elements.len();
    let mut edges = Vec::new();
    for (e, element) in elements.iter().enumerate() {
        let kind = &circuit.part(element.part).kind;
        let (pull_up, pull_down) = match kind {
            Kind::Battery(_) => (BATTERY_PULL, 0),
            Kind::Ground(_) => (0, 0),
            _ => (2, 2),
        };
        for pin in &element.pins {
            if circuit.ends_at(pin.terminal).is_empty() {
                continue;
            }
            let net = base + potential.net[pin.terminal.index()];
            match pin.face {
                Face::Top => edges.push(Edge::new(net, e, 0, pull_up)),
                Face::Bottom => edges.push(Edge::new(e, net, 1, pull_down)),
                Face::Both => edges.push(Edge::new(net, e, 0, 1)),
            }
        }
    }
    below_splices(circuit, elements, &mut edges);
    edges
}

/// What hangs directly from a splice goes to a row below it.
fn below_splices(circuit: &Circuit, elements: &[Element], edges: &mut Vec<Edge>) {
    let mut owner = vec![None; circuit.terminals().len()];
    for (e, element) in elements.iter().enumerate() {
        for pin in &element.pins {
            owner[pin.terminal.index()] = Some((e, pin.face));
        }
    }
    for wire in circuit.wires() {
        let (a, b) = (owner[wire.from.index()], owner[wire.to.index()]);
        match (a, b) {
            (Some((splice, Face::Both)), Some((e, Face::Top))) | (Some((e, Face::Top)), Some((splice, Face::Both))) => {
                edges.push(Edge::new(splice, e, 1, 2));
            }
            _ => {}
        }
    }
}

/// Moves parts down out of a row of splices, with all below that must give way, where fewer rows then have parts in
/// them: a row of splices alone takes hardly any room.
fn clear_splices(elements: &[Element], edges: &[Edge], at: &mut Vec<i64>) {
    let rows = |at: &[i64], splices: bool| -> BTreeSet<i64> {
        (0..elements.len()).filter(|e| elements[*e].is_dot() == splices).map(|e| at[e]).collect()
    };
    for row in rows(at, true) {
        let before = rows(at, false);
        let mut moved = at.clone();
        let mut to_clear = Some(row);
        while let Some(row) = to_clear {
            for e in (0..elements.len()).filter(|e| !elements[*e].is_dot()) {
                moved[e] += i64::from(moved[e] == row);
            }
            push_down(edges, &mut moved);
            let (splices, parts) = (rows(&moved, true), rows(&moved, false));
            to_clear = parts.into_iter().find(|r| *r > row && splices.contains(r) && !before.contains(r));
        }
        let after = rows(&moved, false);
        if after.len() < before.len() && after.last() <= before.last() {
            *at = moved;
        }
    }
}

/// Moves down what is too high under what moved.
fn push_down(edges: &[Edge], at: &mut [i64]) {
    let mut is_moving = true;
    while is_moving {
        is_moving = false;
        for edge in edges {
            let least = at[edge.tail] + edge.length;
            if at[edge.head] < least {
                at[edge.head] = least;
                is_moving = true;
            }
        }
    }
}

/// Drops the edges by which a walk from the supply downwards would come back to itself.
fn open_rings(edges: &mut Vec<Edge>, count: usize, first_net: usize, potential: &Potential) {
    #[derive(Clone, Copy, PartialEq)]
    enum Mark {
        New,
        Open,
        Done,
    }
    let mut out: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (i, edge) in edges.iter().enumerate() {
        out[edge.tail].push(i);
    }
    let mut starts: Vec<usize> = (0..potential.volts.len()).collect();
    starts.sort_by(|a, b| potential.volts[*b].total_cmp(&potential.volts[*a]).then(a.cmp(b)));
    let starts = starts.into_iter().map(|n| first_net + n).chain(0..first_net);
    let mut mark = vec![Mark::New; count];
    let mut dropped = vec![false; edges.len()];
    for start in starts {
        if mark[start] != Mark::New {
            continue;
        }
        mark[start] = Mark::Open;
        let mut stack = vec![(start, 0)];
        while let Some((node, next)) = stack.pop() {
            let Some(&i) = out[node].get(next) else {
                mark[node] = Mark::Done;
                continue;
            };
            stack.push((node, next + 1));
            let head = edges[i].head;
            match mark[head] {
                Mark::New => {
                    mark[head] = Mark::Open;
                    stack.push((head, 0));
                }
                Mark::Open => dropped[i] = true,
                Mark::Done => {}
            }
        }
    }
    let mut i = 0;
    edges.retain(|_| {
        i += 1;
        !dropped[i - 1]
    });
}

fn is_spare(circuit: &Circuit, element: &Element) -> bool {
    element.pins.iter().all(|pin| circuit.ends_at(pin.terminal).is_empty())
}

/// Parts without a wire fill the rows there are, or make a block of their own.
fn spread_spares(circuit: &Circuit, elements: &[Element], rows: &mut [usize]) {
    let spares: Vec<usize> = (0..elements.len()).filter(|e| is_spare(circuit, &elements[*e])).collect();
    if spares.is_empty() {
        return;
    }
    let used = (0..elements.len()).filter(|e| !is_spare(circuit, &elements[*e])).map(|e| rows[e]).max().unwrap_or(0);
    let square = (spares.len() as f64).sqrt().ceil() as usize;
    let tall = used.max(square).max(1);
    for (i, e) in spares.into_iter().enumerate() {
        rows[e] = i % tall;
    }
}

/// Every wired ground goes to the last row, which it shares with nothing else that could.
fn sink_grounds(circuit: &Circuit, elements: &[Element], rows: &mut [usize]) {
    let is_ground = |e: usize| matches!(circuit.part(elements[e].part).kind, Kind::Ground(_));
    let Some(lowest) = (0..elements.len()).filter(|e| !is_ground(*e)).map(|e| rows[e]).max() else { return };
    for (e, row) in rows.iter_mut().enumerate() {
        if is_ground(e) {
            *row = lowest + 1;
        }
    }
}
