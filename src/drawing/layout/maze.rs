//! A way for one wire between all that stands and runs already.
//!
//! Yields right-angled corners that run through no symbol and along no strange wire where that can be helped, cross few
//! and turn little. Dijkstra's shortest path (E. W. Dijkstra, "A note on two problems in connexion with graphs", 1959)
//! on a grid about the two ends, each point of it with its price. A wire may begin and end anywhere on another that
//! hangs on the same terminal, and runs along that from there on: so wires of one terminal part at a dot.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use super::element::{Face, GRID};

/// How far around its ends a way is looked for at first, in units.
pub(super) const NEAR: i32 = 120;
/// How far at most.
pub(super) const FAR: i32 = 1_920;
/// Most points of the grid; it is coarser where there would be more.
const POINTS: usize = 160_000;

/// Price of a turn, in units of way.
const TURN: u32 = 24;
/// Price of a turn close to a terminal, beside that.
const EARLY_TURN: u32 = 80;
/// How close that is.
const EARLY: i32 = 14;
const CROSSING: u32 = 20;
const BESIDE_WIRE: u32 = 60;
/// Price of each point within words: three of them, and the way counts as one through something.
const WORDS: u32 = 20_000;
const HUGGING: u32 = 60;
const TERMINAL: u32 = 500;
const CORNER: u32 = 50_000;
/// Price of a corner of a wire on the same terminal, where it may be met.
const KIN_CORNER: u32 = 12;
const ALONG_WIRE: u32 = 100_000;
const SYMBOL: u32 = 1_000_000;
/// Piece of a trunk before its other terminal, or before strangers, that nobody may join, in units.
pub(super) const OWN_PIECE: i32 = 24;

/// Moves as column and row: right, down, left, up.
const MOVES: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// Price of so many units along another wire: a little more than by oneself, so that wires part early.
fn stem_price(units: i32) -> u32 {
    (units + units / 8) as u32
}

/// Which move leads from one place towards another on one line with it.
fn direction(from: Spot, to: Spot) -> Option<usize> {
    let towards = ((to.0 - from.0).signum(), (to.1 - from.1).signum());
    MOVES.iter().position(|way| *way == towards)
}

/// A place in units.
type Spot = (i32, i32);

/// Where a wire begins and ends.
pub(super) struct Ends {
    /// Its two terminals.
    pub(super) terminals: [Spot; 2],
    /// On which side of their symbols these are.
    pub(super) faces: [Face; 2],
    /// Wires it may run along.
    pub(super) trunks: [Vec<Trunk>; 2],
}

/// A wire that others may run along from one of its terminals on.
pub(super) struct Trunk {
    /// Its corners from that terminal on.
    pub(super) spots: Vec<Spot>,
    /// How far, in units.
    pub(super) most: i32,
}

/// A place where a way may begin or end: at what price, by which headings, and along which trunk it goes on.
#[derive(Clone, Debug)]
struct Gate {
    price: u32,
    headings: [bool; 4],
    /// From the terminal to the gate.
    stem: Vec<Spot>,
}

/// Prices about the two ends of a wire.
pub(super) struct Maze {
    xs: Vec<i32>,
    ys: Vec<i32>,
    /// Price of coming to a point, of coming to it sideways, up or down.
    at: Vec<[u32; 3]>,
}

impl Maze {
    /// A grid with nothing on it that reaches so far beyond the ends.
    pub(super) fn about(ends: &Ends, reach: i32) -> Self {
        let [a, b] = ends.terminals;
        let span = |p: i32, q: i32| (p.min(q) - reach, p.max(q) + reach);
        let (x, y) = (span(a.0, b.0), span(a.1, b.1));
        let mut step = GRID;
        while ((x.1 - x.0) / step) as usize * ((y.1 - y.0) / step) as usize > POINTS {
            step *= 2;
        }
        let corners = || ends.trunks.iter().flatten().flat_map(|trunk| &trunk.spots).copied();
        let lines = |span: (i32, i32), own: [i32; 2], of: fn(Spot) -> i32| {
            let first = span.0.div_euclid(step) * step;
            let grid = (0..).map(|n| first + n * step).take_while(|at| *at <= span.1);
            let extra = corners().map(of).filter(|at| span.0 <= *at && *at <= span.1);
            let all: BTreeSet<i32> = grid.chain(extra).chain(own).collect();
            all.into_iter().collect::<Vec<i32>>()
        };
        let xs = lines(x, [a.0, b.0], |spot| spot.0);
        let ys = lines(y, [a.1, b.1], |spot| spot.1);
        let at = vec![[0; 3]; xs.len() * ys.len()];
        Self { xs, ys, at }
    }

    fn spot(&self, point: usize) -> Spot {
        (self.xs[point % self.xs.len()], self.ys[point / self.xs.len()])
    }

    fn point(&self, (x, y): Spot) -> Option<usize> {
        let (column, row) = (self.xs.binary_search(&x).ok()?, self.ys.binary_search(&y).ok()?);
        Some(row * self.xs.len() + column)
    }

    /// Adds a price to every point strictly inside a box.
    fn charge(&mut self, (left, top, right, bottom): (i32, i32, i32, i32), price: [u32; 3]) {
        let inside = |lines: &[i32], low: i32, high: i32| {
            let first = lines.partition_point(|at| *at <= low);
            first..lines.partition_point(|at| *at < high).max(first)
        };
        let (columns, rows) = (inside(&self.xs, left, right), inside(&self.ys, top, bottom));
        for row in rows {
            for point in columns.clone().map(|column| row * self.xs.len() + column) {
                for (sum, more) in self.at[point].iter_mut().zip(price) {
                    *sum = sum.saturating_add(more);
                }
            }
        }
    }

    /// The strokes of a symbol.
    pub(super) fn symbol(&mut self, (left, top, right, bottom): (i32, i32, i32, i32)) {
        self.charge((left, top, right, bottom), [SYMBOL, 0, 0]);
        self.charge((left - 5, top - 5, right + 5, bottom + 5), [HUGGING, 0, 0]);
    }

    /// What is written beside it.
    pub(super) fn words(&mut self, (left, top, right, bottom): (i32, i32, i32, i32)) {
        self.charge((left - 3, top - 3, right + 3, bottom + 3), [WORDS, 0, 0]);
    }

    /// A terminal that is not the wire's own.
    pub(super) fn terminal(&mut self, (x, y): Spot) {
        self.charge((x - 15, y - 15, x + 15, y + 15), [TERMINAL, 0, 0]);
        self.charge((x - 4, y - 4, x + 4, y + 4), [CORNER, 0, 0]);
    }

    /// A straight piece of another wire; beside kin, which hangs on a terminal of this one, it may run nearer.
    pub(super) fn wire(&mut self, a: Spot, b: Spot, is_kin: bool) {
        let (left, top, right, bottom) = (a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1));
        let beside = if is_kin { BESIDE_WIRE / 2 } else { BESIDE_WIRE };
        let (along, across, near) = if a.1 == b.1 {
            ([0, ALONG_WIRE, 0], [0, 0, CROSSING], [0, beside, 0])
        } else {
            ([0, 0, ALONG_WIRE], [0, CROSSING, 0], [0, 0, beside])
        };
        // A wire on the same terminal may well go on in line with this one.
        let over = if is_kin { 4 } else { 9 };
        let (over_x, over_y) = if a.1 == b.1 { (over, 4) } else { (4, over) };
        self.charge((left - over_x, top - over_y, right + over_x, bottom + over_y), along);
        self.charge((left - 4, top - 4, right + 4, bottom + 4), across);
        let (near_x, near_y) = if a.1 == b.1 { (over, 10) } else { (10, over) };
        self.charge((left - near_x, top - near_y, right + near_x, bottom + near_y), near);
        for (x, y) in [a, b] {
            let price = if is_kin { KIN_CORNER } else { CORNER };
            self.charge((x - 6, y - 6, x + 6, y + 6), [price, 0, 0]);
        }
    }

    /// Where the wire may begin or end at one of its terminals.
    fn gates(&self, ends: &Ends, end: usize) -> BTreeMap<usize, Gate> {
        let terminal = ends.terminals[end];
        // As one leaves; who comes, comes the other way.
        let own = match ends.faces[end] {
            Face::Top => [false, false, false, true],
            Face::Bottom => [false, true, false, false],
            Face::Both => [true; 4],
        };
        let mut gates = BTreeMap::new();
        if let Some(point) = self.point(terminal) {
            gates.insert(point, Gate { price: 0, headings: own, stem: vec![terminal] });
        }
        for trunk in &ends.trunks[end] {
            let length = |s: &[Spot]| (s[0].0 - s[1].0).abs() + (s[0].1 - s[1].1).abs();
            let mut gone = 0;
            for (i, s) in trunk.spots.windows(2).enumerate() {
                let (a, b) = (s[0], s[1]);
                let is_level = a.1 == b.1;
                let headings = if is_level { [false, true, false, true] } else { [true, false, true, false] };
                let lines = if is_level { &self.xs } else { &self.ys };
                let (low, high) = if is_level { (a.0.min(b.0), a.0.max(b.0)) } else { (a.1.min(b.1), a.1.max(b.1)) };
                for &at in lines.iter().filter(|at| low < **at && **at < high) {
                    let spot = if is_level { (at, a.1) } else { (a.0, at) };
                    let along = gone + length(&[a, spot]);
                    let Some(point) = self.point(spot).filter(|_| along >= 2 * GRID && along <= trunk.most) else {
                        continue;
                    };
                    let stem: Vec<Spot> = trunk.spots[..=i].iter().copied().chain([spot]).collect();
                    let gate = Gate { price: stem_price(along), headings, stem };
                    gates.entry(point).or_insert(gate);
                }
                gone += length(s);
                let Some(after) = trunk.spots.get(i + 2).filter(|_| gone >= 2 * GRID && gone <= trunk.most) else {
                    continue;
                };
                // At a corner, by the two ways that the trunk does not take.
                let taken = [direction(b, a), direction(b, *after)];
                if let Some(point) = self.point(b) {
                    let headings = std::array::from_fn(|heading| !taken.contains(&Some(heading)));
                    let stem: Vec<Spot> = trunk.spots[..=i + 1].to_vec();
                    gates.entry(point).or_insert(Gate { price: stem_price(gone), headings, stem });
                }
            }
        }
        gates
    }

    /// The cheapest way from the first terminal to the second, and whether it runs through nothing it should not.
    pub(super) fn way(&self, ends: &Ends) -> (Vec<Spot>, bool) {
        let (starts, goals) = (self.gates(ends, 0), self.gates(ends, 1));
        let end = self.at.len() * 4;
        let mut least = vec![u32::MAX; end + 1];
        let mut came = vec![usize::MAX; end + 1];
        let mut queue = BinaryHeap::new();
        for (&point, gate) in &starts {
            for heading in (0..4).filter(|heading| gate.headings[*heading]) {
                least[point * 4 + heading] = gate.price;
                queue.push(Reverse((gate.price, point * 4 + heading)));
            }
        }
        while let Some(Reverse((price, state))) = queue.pop() {
            if state == end || price > least[state] {
                if state == end {
                    break;
                }
                continue;
            }
            let goal = goals.get(&(state / 4)).filter(|gate| gate.headings[(state % 4 + 2) % 4]);
            let finish = goal.filter(|_| came[state] != usize::MAX).map(|gate| (end, gate.price));
            for (next, more) in self.steps(state, ends).chain(finish) {
                let total = price.saturating_add(more);
                if total < least[next] {
                    least[next] = total;
                    came[next] = state;
                    queue.push(Reverse((total, next)));
                }
            }
        }
        let mut points = Vec::new();
        let mut state = came[end];
        while state != usize::MAX {
            points.push(state / 4);
            state = came[state];
        }
        let (Some(last), Some(first)) = (points.first(), points.last()) else {
            let [a, b] = ends.terminals;
            return (vec![a, (a.0, b.1), b], false);
        };
        let (stem, tail) = (&starts[first].stem, &goals[last].stem);
        let middle = points.iter().rev().map(|point| self.spot(*point));
        let spots: Vec<Spot> = stem.iter().copied().chain(middle).chain(tail.iter().rev().copied()).collect();
        (spots, least[end] < CORNER)
    }

    fn steps(&self, state: usize, ends: &Ends) -> impl Iterator<Item = (usize, u32)> + '_ {
        let (point, heading) = (state / 4, state % 4);
        let (column, row) = ((point % self.xs.len()) as i32, (point / self.xs.len()) as i32);
        let here = self.spot(point);
        let is_early = ends.terminals.iter().any(|end| (end.0 - here.0).abs() + (end.1 - here.1).abs() < EARLY);
        MOVES.iter().enumerate().filter_map(move |(direction, (right, down))| {
            let (x, y) = (column + right, row + down);
            let inside = x >= 0 && y >= 0 && (x as usize) < self.xs.len() && (y as usize) < self.ys.len();
            if !inside || direction == (heading + 2) % 4 {
                return None;
            }
            let next = y as usize * self.xs.len() + x as usize;
            let [at, sideways, updown] = self.at[next];
            let (there, moving) = (self.spot(next), if direction % 2 == 0 { sideways } else { updown });
            let way = ((there.0 - here.0).abs() + (there.1 - here.1).abs()) as u32;
            let turn = match (direction == heading, is_early) {
                (true, _) => 0,
                (false, false) => TURN,
                (false, true) => TURN + EARLY_TURN,
            };
            Some((next * 4 + direction, way.saturating_add(at).saturating_add(moving).saturating_add(turn)))
        })
    }
}
