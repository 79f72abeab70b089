//! How far right everything stands, for straight wires and a compact page.
//!
//! Up to a size people read, least weighted total sideways run of all wires under the room each node needs, exactly,
//! by the network simplex method on the auxiliary graph of Gansner et al. (1993): for every pair of connected pins a
//! node left of both with an edge to each. In larger circuits, rows are drawn in turn towards the means of their
//! neighbours by isotonic regression with the pool-adjacent-violators algorithm (R. Barlow, D. Bartholomew,
//! J. Bremner and H. Brunk, "Statistical Inference under Order Restrictions", 1972).

use super::element::{Element, GRID};
use super::graph::{Graph, Node, pin_dx, reach};
use super::simplex::{Edge, solve};

/// Above this many nodes and joins together rows are regressed instead.
const EXACT_UP_TO: usize = 1_200;
/// Steps the exact method may spend.
const WORK: usize = 40_000_000;
/// Sweeps of the regression over all rows.
const SWEEPS: usize = 12;
/// Pull of two neighbours in a row, against which the pulls below are weighed.
const ROW_PULL: i64 = 1;
/// Pull between two passes of one wire.
const PASS_PULL: i64 = 80;
/// Pull between two terminals joined by a wire of their own.
const PAIR_PULL: i64 = 64;
/// Pull from a hub to its first leaf.
const FIRST_PULL: i64 = 24;
/// Pull from a hub to its other leaves.
const LEAF_PULL: i64 = 16;
/// Pull between what stands in different bands, where the way bends anyhow.
const BAND_PULL: i64 = 4;

/// Where each node's axis is, in units.
pub(super) fn columns(graph: &Graph, elements: &[Element]) -> Vec<i32> {
    let mut x = if graph.nodes.len() + graph.joins.len() <= EXACT_UP_TO {
        exact(graph, elements)
    } else {
        regressed(graph, elements)
    };
    let edge = |n: usize, x: i32| x - reach(&graph.nodes[n], elements).0;
    let least = x.iter().enumerate().map(|(n, x)| edge(n, *x)).min().unwrap_or(0);
    x.iter_mut().for_each(|x| *x -= least);
    x
}

/// Least distance of the axes of two neighbours in a row, in units.
fn apart(graph: &Graph, elements: &[Element], left: usize, right: usize) -> i32 {
    reach(&graph.nodes[left], elements).1 + reach(&graph.nodes[right], elements).0
}

fn pull(graph: &Graph, join: usize, nth: usize) -> i64 {
    let pins = &graph.joins[join].pins;
    let node = |pin: usize| -> &Node { &graph.nodes[pins[pin].node] };
    let is_pass = |n: &Node| n.element.is_none();
    // Between the bands the way is sideways anyhow.
    if node(0).band != node(nth).band {
        return BAND_PULL;
    }
    if is_pass(node(0)) && is_pass(node(nth)) {
        return PASS_PULL;
    }
    match (pins.len(), nth) {
        (2, _) => PAIR_PULL,
        _ if pins[nth].keen => FIRST_PULL + LEAF_PULL,
        (_, 1) => FIRST_PULL,
        _ => LEAF_PULL,
    }
}

fn exact(graph: &Graph, elements: &[Element]) -> Vec<i32> {
    let nodes = graph.nodes.len();
    let mut count = nodes;
    let mut edges = Vec::new();
    for row in &graph.rows {
        for pair in row.windows(2) {
            let length = i64::from(apart(graph, elements, pair[0], pair[1]) / GRID);
            edges.push(Edge::new(pair[0], pair[1], length, ROW_PULL));
        }
    }
    for (j, join) in graph.joins.iter().enumerate() {
        for nth in 1..join.pins.len() {
            let weight = pull(graph, j, nth);
            for pin in [&join.pins[0], &join.pins[nth]] {
                let offset = i64::from(pin_dx(graph, elements, pin) / GRID);
                edges.push(Edge::new(count, pin.node, -offset, weight));
            }
            count += 1;
        }
    }
    // One node left of all ties loose pieces together.
    let root = count;
    edges.extend((0..count).map(|n| Edge::new(root, n, -1_000_000, 0)));
    let at = solve(count + 1, &edges, WORK);
    let least = at[..nodes].iter().copied().min().unwrap_or(0);
    at[..nodes].iter().map(|x| i32::try_from(x - least).unwrap_or(0) * GRID).collect()
}

fn regressed(graph: &Graph, elements: &[Element]) -> Vec<i32> {
    let mut x = vec![0; graph.nodes.len()];
    for row in &graph.rows {
        for pair in row.windows(2) {
            x[pair[1]] = x[pair[0]] + apart(graph, elements, pair[0], pair[1]);
        }
    }
    let mut wishes: Vec<Vec<(usize, i32, i64)>> = vec![Vec::new(); graph.nodes.len()];
    for (j, join) in graph.joins.iter().enumerate() {
        for nth in 1..join.pins.len() {
            let (a, b) = (&join.pins[0], &join.pins[nth]);
            let offset = pin_dx(graph, elements, b) - pin_dx(graph, elements, a);
            let weight = pull(graph, j, nth);
            wishes[a.node].push((b.node, offset, weight));
            wishes[b.node].push((a.node, -offset, weight));
        }
    }
    for sweep in 0..SWEEPS {
        let rows: Vec<usize> =
            if sweep % 2 == 0 { (0..graph.rows.len()).collect() } else { (0..graph.rows.len()).rev().collect() };
        for row in rows {
            regress_row(graph, elements, &graph.rows[row], &wishes, &mut x);
        }
    }
    x
}

/// Pools the wishes of a row's nodes where they would come too near each other.
fn regress_row(graph: &Graph, elements: &[Element], row: &[usize], wishes: &[Vec<(usize, i32, i64)>], x: &mut [i32]) {
    // Blocks of `(sum of weight x wish, weight, members)`, wishes less the room of what stands before.
    let mut blocks: Vec<(f64, f64, usize)> = Vec::new();
    let mut room = vec![0; row.len()];
    for (i, &n) in row.iter().enumerate() {
        if i > 0 {
            room[i] = room[i - 1] + apart(graph, elements, row[i - 1], n);
        }
        let mut sum = 0.0;
        let mut weight = 0.0;
        for &(other, offset, w) in &wishes[n] {
            sum += f64::from(x[other] + offset) * w as f64;
            weight += w as f64;
        }
        if weight == 0.0 {
            (sum, weight) = (f64::from(x[n]), 1.0);
        }
        let mut block = (sum - weight * f64::from(room[i]), weight, 1);
        while let Some(last) = blocks.last() {
            if last.0 / last.1 < block.0 / block.1 {
                break;
            }
            block = (block.0 + last.0, block.1 + last.1, block.2 + last.2);
            blocks.pop();
        }
        blocks.push(block);
    }
    let mut i = 0;
    for (sum, weight, members) in blocks {
        let base = (sum / weight / f64::from(GRID)).round() as i32 * GRID;
        for _ in 0..members {
            x[row[i]] = base + room[i];
            i += 1;
        }
    }
}
