//! In which order things stand in each row, for few crossings.
//!
//! Barycentre sweeps down and up (Sugiyama et al. 1981), then, in circuits of a size people read, exchanges,
//! moves and turning over of parts as long as one of them spares a crossing. Ties keep the order of the file, so
//! parallel sensors stand as they are written.

use super::element::Element;
use super::graph::{Band, Bank, Graph, JoinPin, pin_dx};

/// Sweeps of each direction.
const SWEEPS: usize = 8;
/// Above this many joins no single moves are tried.
const MOVES_UP_TO: usize = 500;
/// Comparisons of two connections the moves may cost.
const WORK: usize = 2_000_000;
/// Rounds of single moves.
const ROUNDS: usize = 12;

/// Orders every row of the graph in place, turning elements over where that helps.
pub(super) fn order(graph: &mut Graph, elements: &mut [Element]) {
    start(graph);
    let small = graph.joins.len() <= MOVES_UP_TO;
    let mut best = (usize::MAX, graph.rows.clone());
    for _ in 0..SWEEPS {
        sweep(graph, elements, Bank::Upper);
        keep_best(graph, elements, &mut best, small);
        sweep(graph, elements, Bank::Lower);
        keep_best(graph, elements, &mut best, small);
    }
    graph.rows = best.1;
    if small {
        Mover::new(graph, elements).run();
    }
}

fn keep_best(graph: &Graph, elements: &[Element], best: &mut (usize, Vec<Vec<usize>>), count: bool) {
    let cost = if count { crossings(graph, elements) } else { 0 };
    if cost < best.0 || !count {
        *best = (cost, graph.rows.clone());
    }
}

/// A first order by walking the joins from the top left, so that what belongs together starts together.
fn start(graph: &mut Graph) {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); graph.nodes.len()];
    for join in &graph.joins {
        for pin in &join.pins[1..] {
            near[join.pins[0].node].push(pin.node);
            near[pin.node].push(join.pins[0].node);
        }
    }
    let mut when = vec![usize::MAX; graph.nodes.len()];
    let mut clock = 0;
    let mut seeds: Vec<usize> = (0..graph.nodes.len()).collect();
    seeds.sort_by_key(|n| (graph.nodes[*n].band, graph.nodes[*n].element.is_none(), near[*n].is_empty(), *n));
    for seed in seeds {
        let mut stack = vec![seed];
        while let Some(node) = stack.pop() {
            if when[node] != usize::MAX {
                continue;
            }
            when[node] = clock;
            clock += 1;
            stack.extend(near[node].iter().rev().filter(|n| when[**n] == usize::MAX));
        }
    }
    let nodes = &graph.nodes;
    for row in &mut graph.rows {
        row.sort_by_key(|n| (nodes[*n].band, when[*n]));
    }
}

fn positions(graph: &Graph) -> Vec<usize> {
    let mut at = vec![0; graph.nodes.len()];
    for row in &graph.rows {
        row.iter().enumerate().for_each(|(i, n)| at[*n] = i);
    }
    at
}

/// Sorts each row by the mean position of what it hangs on in the row on the given side.
fn sweep(graph: &mut Graph, elements: &[Element], from: Bank) {
    /// How much of a place a pin's offset counts, for 1000 units of it.
    const PIN_SHARE: f64 = 1000.0;
    let mut in_channel: Vec<Vec<usize>> = vec![Vec::new(); graph.rows.len() + 1];
    for (j, join) in graph.joins.iter().enumerate() {
        in_channel[join.channel].push(j);
    }
    let rows: Vec<usize> = match from {
        Bank::Upper => (1..graph.rows.len()).collect(),
        Bank::Lower => (0..graph.rows.len().saturating_sub(1)).rev().collect(),
    };
    let mut at = positions(graph);
    for row in rows {
        let channel = match from {
            Bank::Upper => row,
            Bank::Lower => row + 1,
        };
        let mut pull: std::collections::BTreeMap<usize, (f64, f64)> = std::collections::BTreeMap::new();
        for &j in &in_channel[channel] {
            let join = &graph.joins[j];
            for pin in &join.pins[1..] {
                for (own, other) in [(&join.pins[0], pin), (pin, &join.pins[0])] {
                    if own.bank != from && other.bank == from {
                        let offset = pin_dx(graph, elements, other) - pin_dx(graph, elements, own);
                        let entry = pull.entry(own.node).or_default();
                        entry.0 += at[other.node] as f64 + f64::from(offset) / PIN_SHARE;
                        entry.1 += 1.0;
                    }
                }
            }
        }
        // What hangs on nothing stays after its left neighbour.
        let mut last = 0.0;
        let mut keyed: Vec<(Band, f64, usize, usize)> = Vec::new();
        for (i, &n) in graph.rows[row].iter().enumerate() {
            let key = pull.get(&n).map_or(last, |(sum, count)| sum / count);
            last = key;
            keyed.push((graph.nodes[n].band, key, i, n));
        }
        keyed.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
        graph.rows[row] = keyed.into_iter().map(|k| k.3).collect();
        graph.rows[row].iter().enumerate().for_each(|(i, n)| at[*n] = i);
    }
}

/// A connection in a channel: its join, and its ends as `(bank, place)` with places that compare as they stand.
#[derive(Clone, Copy)]
struct Link {
    join: usize,
    first: (Bank, i64),
    second: (Bank, i64),
}

impl Link {
    fn is_arc(&self) -> bool {
        self.first.0 == self.second.0
    }

    /// Upper place and lower place of a link that crosses the channel.
    fn through(&self) -> (i64, i64) {
        if self.first.0 == Bank::Upper { (self.first.1, self.second.1) } else { (self.second.1, self.first.1) }
    }

    /// How many ends of another link lie under this arc.
    fn ends_inside(&self, other: &Self) -> usize {
        let (low, high) = (self.first.1.min(self.second.1), self.first.1.max(self.second.1));
        let inside = |(bank, place): (Bank, i64)| usize::from(bank == self.first.0 && low < place && place < high);
        inside(other.first) + inside(other.second)
    }
}

/// Crossings in all channels.
fn crossings(graph: &Graph, elements: &[Element]) -> usize {
    let at = positions(graph);
    let mut by_channel: Vec<Vec<usize>> = vec![Vec::new(); graph.rows.len() + 1];
    for (j, join) in graph.joins.iter().enumerate() {
        by_channel[join.channel].push(j);
    }
    by_channel.iter().map(|joins| channel_crossings(graph, elements, &at, joins)).sum()
}

fn channel_crossings(graph: &Graph, elements: &[Element], at: &[usize], joins: &[usize]) -> usize {
    /// More than any pin is off its axis.
    const PLACE: i64 = 1 << 20;
    let place = |pin: &JoinPin| (pin.bank, at[pin.node] as i64 * PLACE + i64::from(pin_dx(graph, elements, pin)));
    let mut links: Vec<Link> = Vec::with_capacity(joins.len() * 2);
    for &join in joins {
        let pins = &graph.joins[join].pins;
        let first = place(&pins[0]);
        links.extend(pins[1..].iter().map(|pin| Link { join, first, second: place(pin) }));
    }
    let mut count = 0;
    for (i, a) in links.iter().enumerate() {
        for b in &links[i + 1..] {
            if a.join != b.join {
                count += link_crossings(a, b);
            }
        }
    }
    count
}

fn link_crossings(a: &Link, b: &Link) -> usize {
    match (a.is_arc(), b.is_arc()) {
        (false, false) => {
            let ((au, al), (bu, bl)) = (a.through(), b.through());
            usize::from((au < bu && al > bl) || (au > bu && al < bl))
        }
        (true, false) => a.ends_inside(b),
        (false, true) => b.ends_inside(a),
        (true, true) => usize::from(a.ends_inside(b) == 1),
    }
}

/// Tries single moves and keeps those that spare crossings, or that shorten at equal crossings.
struct Mover<'a> {
    graph: &'a mut Graph,
    elements: &'a mut [Element],
    by_channel: Vec<Vec<usize>>,
    at: Vec<usize>,
    work: usize,
}

impl<'a> Mover<'a> {
    fn new(graph: &'a mut Graph, elements: &'a mut [Element]) -> Self {
        let mut by_channel: Vec<Vec<usize>> = vec![Vec::new(); graph.rows.len() + 1];
        for (j, join) in graph.joins.iter().enumerate() {
            by_channel[join.channel].push(j);
        }
        let at = positions(graph);
        Self { graph, elements, by_channel, at, work: 0 }
    }

    /// Crossings in the two channels a row touches.
    fn around(&mut self, row: usize) -> usize {
        for (i, n) in self.graph.rows[row].iter().enumerate() {
            self.at[*n] = i;
        }
        self.work += [row, row + 1].iter().map(|c| self.by_channel[*c].len().pow(2)).sum::<usize>();
        let at = &self.at;
        [row, row + 1].iter().map(|c| channel_crossings(self.graph, self.elements, at, &self.by_channel[*c])).sum()
    }

    fn run(&mut self) {
        for _ in 0..ROUNDS {
            let mut better = false;
            for row in 0..self.graph.rows.len() {
                better |= self.turn_over(row);
                better |= self.shift(row);
            }
            if !better {
                break;
            }
        }
    }

    /// Turns over the elements of a row that cross less that way.
    fn turn_over(&mut self, row: usize) -> bool {
        let mut better = false;
        for n in self.graph.rows[row].clone() {
            let Some(e) = self.graph.nodes[n].element else { continue };
            if !self.elements[e].has_sides() || self.work > WORK {
                continue;
            }
            let before = self.around(row);
            self.elements[e].mirror();
            if self.around(row) < before {
                better = true;
            } else {
                self.elements[e].mirror();
            }
        }
        better
    }

    /// Moves each node of a row to the place where it crosses least.
    fn shift(&mut self, row: usize) -> bool {
        let mut better = false;
        for n in self.graph.rows[row].clone() {
            let Some(home) = self.graph.rows[row].iter().position(|m| *m == n) else { continue };
            let before = self.around(row);
            if before == 0 || self.work > WORK {
                return better;
            }
            let band = self.graph.nodes[n].band;
            let places = |graph: &Graph, keep: fn(Band, Band) -> bool| {
                graph.rows[row].iter().filter(|m| keep(graph.nodes[**m].band, band)).count()
            };
            let (first, end) =
                (places(self.graph, |other, own| other < own), places(self.graph, |other, own| other <= own));
            let mut best = (before, 0, home);
            self.graph.rows[row].remove(home);
            for place in first..end {
                self.graph.rows[row].insert(place, n);
                let cost = (self.around(row), place.abs_diff(home), place);
                self.graph.rows[row].remove(place);
                best = best.min(cost);
            }
            self.graph.rows[row].insert(best.2, n);
            self.around(row);
            better |= best.0 < before;
        }
        better
    }
}
