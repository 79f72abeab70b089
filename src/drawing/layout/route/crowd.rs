//! Tracks where a channel is crowded: the same rules at a cost that grows with the legs and not with all pairs.
//!
//! Only legs in nearly one column constrain each other, so the constraints are found by one walk over the sorted
//! legs; the order is topological (A. Kahn, "Topological sorting of large networks", 1962), rings are opened by
//! doglegs, and tracks come from a tree of greatest values over the columns. Nothing is done for fewer crossings.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap, HashMap};

use super::{COLUMN, Run, split};

/// Times the order is found anew after doglegs.
const ROUNDS: usize = 24;

/// Orders the runs from top to bottom, splitting what cannot be ordered.
pub(super) fn settle(runs: &mut Vec<Run>, taken: &mut BTreeSet<i32>) -> Vec<usize> {
    let mut order = Vec::new();
    for _ in 0..ROUNDS {
        let edges = constraints(runs);
        order = topological(runs.len(), &edges);
        let mut at = vec![0; runs.len()];
        order.iter().enumerate().for_each(|(i, run)| at[*run] = i);
        let bad = edges.iter().filter(|(above, below)| at[*above] > at[*below]);
        let split_at: BTreeSet<usize> =
            bad.filter_map(|(above, below)| [*below, *above].into_iter().find(|r| runs[*r].can_split())).collect();
        if split_at.is_empty() {
            return order;
        }
        for i in split_at.iter().rev() {
            split(runs, *i, taken);
        }
    }
    // The last doglegs still want a place.
    if order.len() == runs.len() { order } else { topological(runs.len(), &constraints(runs)) }
}

/// Which run must lie above which.
fn constraints(runs: &[Run]) -> Vec<(usize, usize)> {
    let legs = |of: fn(&Run) -> &Vec<(i32, u64)>| {
        let all = runs.iter().enumerate().flat_map(|(r, run)| of(run).iter().map(move |leg| (leg.0, leg.1, r)));
        let mut all: Vec<(i32, u64, usize)> = all.collect();
        all.sort_unstable();
        all
    };
    let (upper, lower) = (legs(|run| &run.upper), legs(|run| &run.lower));
    let mut edges = Vec::new();
    let mut first = 0;
    for &(column, who, run) in &lower {
        while upper.get(first).is_some_and(|leg| leg.0 <= column - COLUMN) {
            first += 1;
        }
        for &(other_column, other_who, other) in &upper[first..] {
            if other_column >= column + COLUMN {
                break;
            }
            if runs[run].join == runs[other].join {
                // The two halves of one join lie as they hang.
                if run != other && who == other_who && column == other_column {
                    edges.push((run, other));
                }
            } else if who != other_who {
                edges.push((other, run));
            }
        }
    }
    edges.sort_unstable();
    edges.dedup();
    edges
}

/// An order that keeps the edges, but for some of each ring.
fn topological(count: usize, edges: &[(usize, usize)]) -> Vec<usize> {
    let mut below: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut waits_for = vec![0usize; count];
    for &(a, b) in edges {
        below[a].push(b);
        waits_for[b] += 1;
    }
    let mut ready: BinaryHeap<Reverse<usize>> = (0..count).filter(|r| waits_for[*r] == 0).map(Reverse).collect();
    let mut left: BTreeSet<usize> = (0..count).collect();
    let mut order = Vec::with_capacity(count);
    while !left.is_empty() {
        let next = ready.pop().map(|Reverse(run)| run).or_else(|| left.first().copied());
        let Some(run) = next else { break };
        if !left.remove(&run) {
            continue;
        }
        order.push(run);
        for &b in &below[run] {
            waits_for[b] = waits_for[b].saturating_sub(1);
            if waits_for[b] == 0 {
                ready.push(Reverse(b));
            }
        }
    }
    order
}

/// The track of each run: the first below all it touches that come before it.
pub(super) fn stack(runs: &[Run], order: &[usize]) -> Vec<i32> {
    let mut marks: Vec<i32> =
        runs.iter().flat_map(|run| [run.low, run.high, run.low - run.room, run.high + run.room]).collect();
    marks.sort_unstable();
    marks.dedup();
    let at: HashMap<i32, usize> = marks.iter().enumerate().map(|(i, mark)| (*mark, i)).collect();
    // Ends of rooms may meet: stretches between marks, not the marks, are what is taken.
    let stretch = |low: i32, high: i32| (at[&low], at[&high].max(at[&low] + 1));
    let mut bare = Highest::new(marks.len());
    let mut roomy = Highest::new(marks.len());
    let mut track = vec![0; runs.len()];
    for &r in order {
        let run = &runs[r];
        let own = stretch(run.low, run.high);
        let wide = stretch(run.low - run.room, run.high + run.room);
        let above = bare.over(wide).max(roomy.over(own));
        track[r] = above + 1;
        bare.raise(own, track[r]);
        roomy.raise(wide, track[r]);
    }
    track.iter_mut().for_each(|t| *t -= 1);
    track
}

/// Greatest values over stretches: a segment tree of whole-stretch marks and of maxima.
struct Highest {
    size: usize,
    most: Vec<i32>,
    whole: Vec<i32>,
}

impl Highest {
    fn new(count: usize) -> Self {
        let size = count.max(1).next_power_of_two();
        Self { size, most: vec![0; 2 * size], whole: vec![0; 2 * size] }
    }

    /// Greatest value from `first` up to but without `end`.
    fn over(&self, (first, end): (usize, usize)) -> i32 {
        self.ask(1, (0, self.size), (first, end))
    }

    fn ask(&self, node: usize, (low, high): (usize, usize), (first, end): (usize, usize)) -> i32 {
        if end <= low || high <= first {
            return 0;
        }
        if first <= low && high <= end {
            return self.most[node];
        }
        let middle = usize::midpoint(low, high);
        let parts =
            self.ask(2 * node, (low, middle), (first, end)).max(self.ask(2 * node + 1, (middle, high), (first, end)));
        parts.max(self.whole[node])
    }

    /// Raises everything from `first` up to but without `end` to at least `value`.
    fn raise(&mut self, (first, end): (usize, usize), value: i32) {
        self.put(1, (0, self.size), (first, end), value);
    }

    fn put(&mut self, node: usize, (low, high): (usize, usize), (first, end): (usize, usize), value: i32) {
        if end <= low || high <= first {
            return;
        }
        self.most[node] = self.most[node].max(value);
        if first <= low && high <= end {
            self.whole[node] = self.whole[node].max(value);
            return;
        }
        let middle = usize::midpoint(low, high);
        self.put(2 * node, (low, middle), (first, end), value);
        self.put(2 * node + 1, (middle, high), (first, end), value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(join: usize, low: i32, high: i32, room: i32) -> Run {
        Run { join, upper: vec![(low, join as u64)], lower: vec![(high, join as u64)], low, high, whole: true, room }
    }

    #[test]
    fn a_crowd_is_stacked_like_a_few() {
        let runs: Vec<Run> = (0..60)
            .map(|i| {
                let low = (i * 37 % 50) * 24;
                run(i as usize, low, low + 24 * (1 + i * 13 % 9), if i % 7 == 0 { 48 } else { 16 })
            })
            .collect();
        let order: Vec<usize> = (0..runs.len()).collect();

        assert_eq!(stack(&runs, &order), super::super::stack(&runs, &order));
    }

    #[test]
    fn runs_in_one_column_are_ordered_as_their_legs_need() {
        // The upper leg of the second comes down where the lower leg of the first goes on.
        let runs = [run(0, 0, 96, 16), run(1, 96, 192, 16)];

        assert_eq!(topological(2, &constraints(&runs)), [1, 0]);
    }
}
