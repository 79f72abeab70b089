//! Tracks in the channels, and from them the wires' polylines.
//!
//! A join that is not one straight line gets a track: a height for its horizontal run. Tracks are filled as in the
//! left-edge method (A. Hashimoto and J. Stevens, "Wire Routing by Optimizing Channel Assignment within Large
//! Apertures", 1971) under vertical constraints, in an order with few crossings found by moving single joins; a ring
//! of constraints is opened by a dogleg (D. Deutsch, "A Dogleg Channel Router", 1976) at a free column.

mod crowd;

use std::collections::BTreeSet;

use super::element::{APART, Element, GRID};
use super::graph::{Bank, Graph, JoinPin, pin_dx};
use super::heights::Heights;

/// Vertical runs nearer than this count as being in one column.
const COLUMN: i32 = 16;
/// Price of two wires lying on each other, in crossings.
const OVERLAP: usize = 10_000;
/// Above this many runs in a channel no single moves are tried.
const MOVES_UP_TO: usize = 48;

/// A horizontal run on one track.
#[derive(Clone, Debug)]
struct Run {
    join: usize,
    /// Columns of legs upward and downward, each with what tells equal terminals.
    upper: Vec<(i32, u64)>,
    lower: Vec<(i32, u64)>,
    low: i32,
    high: i32,
    whole: bool,
    /// What it keeps from other runs on its track.
    room: i32,
}

impl Run {
    /// Whether a dogleg could part it.
    fn can_split(&self) -> bool {
        self.whole && !self.upper.is_empty() && !self.lower.is_empty()
    }
}

/// The tracks of a join: one, or two with a dogleg at a column between.
#[derive(Clone, Copy, Debug, Default)]
pub(super) enum Track {
    /// All pins in one column: no track.
    #[default]
    Straight,
    /// One track.
    One(i32),
    /// Upper and lower track, joined at a column.
    Two(i32, i32, i32),
}

/// The tracks of all joins, and how many each channel has.
pub(super) struct Tracks {
    pub(super) of_join: Vec<Track>,
    pub(super) count: Vec<i32>,
}

/// Column of a pin in units.
pub(super) fn column(graph: &Graph, elements: &[Element], x: &[i32], pin: &JoinPin) -> i32 {
    x[pin.node] + pin_dx(graph, elements, pin)
}

/// Gives every join its tracks.
pub(super) fn tracks(graph: &Graph, elements: &[Element], x: &[i32]) -> Tracks {
    let channels = graph.rows.len() + 1;
    let mut by_channel: Vec<Vec<usize>> = vec![Vec::new(); channels];
    for (j, join) in graph.joins.iter().enumerate() {
        by_channel[join.channel].push(j);
    }
    let mut tracks = Tracks { of_join: vec![Track::Straight; graph.joins.len()], count: vec![0; channels] };
    for (channel, joins) in by_channel.iter().enumerate() {
        let mut taken = BTreeSet::new();
        let mut runs = Vec::new();
        for &j in joins {
            let run = run_of(graph, elements, x, j);
            taken.extend(run.upper.iter().chain(&run.lower).map(|leg| leg.0));
            let straight = run.low == run.high && !run.upper.is_empty() && !run.lower.is_empty();
            if !straight || graph.joins[j].double {
                runs.push(run);
            }
        }
        for i in (0..runs.len()).rev() {
            if runs[i].low == runs[i].high {
                split(&mut runs, i, &mut taken);
            }
        }
        let order = settle(&mut runs, &mut taken);
        tracks.count[channel] = pack(&runs, &order, &mut tracks.of_join);
    }
    tracks
}

fn run_of(graph: &Graph, elements: &[Element], x: &[i32], join: usize) -> Run {
    let hub = graph.nodes[graph.joins[join].pins[0].node].element;
    let is_splice = hub.is_some_and(|e| elements[e].is_dot());
    let room = if is_splice { APART } else { COLUMN };
    let mut run = Run { join, upper: vec![], lower: vec![], low: i32::MAX, high: i32::MIN, whole: true, room };
    for pin in &graph.joins[join].pins {
        let at = column(graph, elements, x, pin);
        // Passes are private to their wires; terminals may be shared by several joins.
        let who = pin.terminal.map_or((pin.node as u64) << 32 | 1 << 63, |t| u64::from(t.0));
        match pin.bank {
            Bank::Upper => run.upper.push((at, who)),
            Bank::Lower => run.lower.push((at, who)),
        }
        run.low = run.low.min(at);
        run.high = run.high.max(at);
    }
    run.upper.sort_unstable();
    run.lower.sort_unstable();
    run
}

/// Parts a run into an upper and a lower one with a dogleg at the nearest free column.
fn split(runs: &mut Vec<Run>, i: usize, taken: &mut BTreeSet<i32>) {
    let run = &runs[i];
    let middle = (run.low + run.high) / 2 / GRID * GRID;
    let is_free = |c: i32| taken.range(c - COLUMN..=c + COLUMN).next().is_none();
    let mut column = middle;
    let mut step = GRID;
    while !is_free(column) {
        column = if column > middle { middle - step } else { middle + step };
        if column < middle {
            step += GRID;
        }
    }
    taken.insert(column);
    let who = run.join as u64 | 1 << 62;
    let (mut above, mut below) = (run.clone(), run.clone());
    above.lower = vec![(column, who)];
    below.upper = vec![(column, who)];
    for part in [&mut above, &mut below] {
        part.whole = false;
        let columns = || part.upper.iter().chain(&part.lower).map(|leg| leg.0);
        part.low = columns().min().unwrap_or(column);
        part.high = columns().max().unwrap_or(column);
    }
    runs[i] = above;
    runs.insert(i + 1, below);
}

/// Legs of a sorted list whose columns lie between two, both included.
fn between(legs: &[(i32, u64)], low: i32, high: i32) -> &[(i32, u64)] {
    let first = legs.partition_point(|leg| leg.0 < low);
    let end = legs.partition_point(|leg| leg.0 <= high);
    &legs[first.min(end)..end]
}

/// Price of `a` lying above `b`.
fn price(a: &Run, b: &Run) -> usize {
    if a.join == b.join {
        // The two halves of one join lie as they hang.
        return if a.lower.iter().any(|leg| b.upper.contains(leg)) { 0 } else { OVERLAP };
    }
    if !touch(a, b) {
        return 0;
    }
    let shares = |run: &Run, leg: &(i32, u64)| {
        between(&run.upper, leg.0, leg.0).contains(leg) || between(&run.lower, leg.0, leg.0).contains(leg)
    };
    let mut price = 0;
    for leg in between(&a.lower, b.low - COLUMN + 1, b.high + COLUMN - 1) {
        let near = between(&b.upper, leg.0 - COLUMN + 1, leg.0 + COLUMN - 1);
        price += OVERLAP * near.iter().filter(|other| other.1 != leg.1).count();
        if shares(b, leg) || leg.0 < b.low || leg.0 > b.high {
            continue;
        }
        // A leg that ends on a run's end would look like a connection.
        price += if leg.0 == b.low || leg.0 == b.high { 2 } else { 1 };
    }
    let crossed = between(&b.upper, a.low + 1, a.high - 1);
    price + crossed.iter().filter(|leg| !shares(a, leg)).count()
}

/// Orders the runs from top to bottom, splitting what cannot be ordered.
fn settle(runs: &mut Vec<Run>, taken: &mut BTreeSet<i32>) -> Vec<usize> {
    if runs.len() > MOVES_UP_TO {
        return crowd::settle(runs, taken);
    }
    loop {
        let order = ordered(runs);
        let mut bad = None;
        'search: for (i, &a) in order.iter().enumerate() {
            for &b in &order[i + 1..] {
                if price(&runs[a], &runs[b]) >= OVERLAP {
                    bad = [a, b].into_iter().find(|r| runs[*r].can_split());
                    if bad.is_some() {
                        break 'search;
                    }
                }
            }
        }
        match bad {
            // As in a crowd from here on, if the pieces have become one.
            Some(_) if runs.len() > MOVES_UP_TO => return crowd::settle(runs, taken),
            Some(i) => split(runs, i, taken),
            None => return order,
        }
    }
}

fn ordered(runs: &[Run]) -> Vec<usize> {
    let n = runs.len();
    let prices: Vec<Vec<usize>> = (0..n).map(|a| (0..n).map(|b| price(&runs[a], &runs[b])).collect()).collect();
    let mut order = constrained(&prices);
    while improve(&mut order, &prices) {}
    order
}

/// An order that keeps as many vertical constraints as it can; of the free runs the cheapest on top goes first.
fn constrained(prices: &[Vec<usize>]) -> Vec<usize> {
    let n = prices.len();
    let mut above = vec![0usize; n];
    for a in 0..n {
        above[a] = (0..n).filter(|b| *b != a && prices[a][*b] >= OVERLAP && prices[*b][a] < OVERLAP).count();
    }
    let mut left: Vec<usize> = (0..n).collect();
    let mut order = Vec::with_capacity(n);
    while !left.is_empty() {
        let at = (0..left.len()).min_by_key(|i| (above[left[*i]], left[*i])).unwrap_or(0);
        let chosen = left.remove(at);
        for &b in &left {
            if prices[b][chosen] >= OVERLAP && prices[chosen][b] < OVERLAP {
                above[b] = above[b].saturating_sub(1);
            }
        }
        order.push(chosen);
    }
    order
}

/// Moves the one run that gains most; whether one did.
fn improve(order: &mut Vec<usize>, prices: &[Vec<usize>]) -> bool {
    let mut best: (i64, usize, usize) = (0, 0, 0);
    for from in 0..order.len() {
        let run = order[from];
        let mut gain = 0i64;
        for to in (0..from).rev() {
            let other = order[to];
            gain += prices[other][run] as i64 - prices[run][other] as i64;
            if gain > best.0 {
                best = (gain, from, to);
            }
        }
        gain = 0;
        for (to, &other) in order.iter().enumerate().skip(from + 1) {
            gain += prices[run][other] as i64 - prices[other][run] as i64;
            if gain > best.0 {
                best = (gain, from, to);
            }
        }
    }
    if best.0 <= 0 {
        return false;
    }
    let run = order.remove(best.1);
    order.insert(best.2, run);
    true
}

/// Puts the runs on as few tracks as their order allows; yields how many.
fn pack(runs: &[Run], order: &[usize], of_join: &mut [Track]) -> i32 {
    let track = if runs.len() > MOVES_UP_TO { crowd::stack(runs, order) } else { stack(runs, order) };
    let most = track.iter().max().map_or(0, |most| most + 1);
    for (i, run) in runs.iter().enumerate() {
        of_join[run.join] = match (run.whole, of_join[run.join]) {
            (true, _) => Track::One(track[i]),
            (false, Track::Two(upper, _, at)) => Track::Two(upper, track[i], at),
            (false, Track::Straight | Track::One(_)) => {
                Track::Two(track[i], track[i], run.lower.first().map_or(run.low, |leg| leg.0))
            }
        };
    }
    most
}

/// The track of each run: the first below all it touches that come before it.
fn stack(runs: &[Run], order: &[usize]) -> Vec<i32> {
    let mut track = vec![0; runs.len()];
    for (i, &a) in order.iter().enumerate() {
        let above = order[..i].iter().filter(|b| touch(&runs[a], &runs[**b]));
        track[a] = above.map(|b| track[*b] + 1).max().unwrap_or(0);
    }
    track
}

/// Whether two runs may not share a track.
fn touch(a: &Run, b: &Run) -> bool {
    let room = a.room.max(b.room);
    a.low - room < b.high && b.low - room < a.high
}

/// Corners of one step of a wire inside a channel, from pin `a` to pin `b`, without the ends themselves.
pub(super) fn corners(
    track: Track,
    heights: &Heights,
    channel: usize,
    (a, a_bank): (i32, Bank),
    (b, b_bank): (i32, Bank),
) -> Vec<(i32, i32)> {
    match track {
        Track::Straight => Vec::new(),
        Track::One(t) => {
            let y = heights.of(channel, t);
            vec![(a, y), (b, y)]
        }
        Track::Two(upper, lower, column) => {
            let y = |bank| heights.of(channel, if bank == Bank::Upper { upper } else { lower });
            if a_bank == b_bank {
                return vec![(a, y(a_bank)), (b, y(b_bank))];
            }
            vec![(a, y(a_bank)), (column, y(a_bank)), (column, y(b_bank)), (b, y(b_bank))]
        }
    }
}
