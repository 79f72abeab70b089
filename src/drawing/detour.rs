//! A way for a jumper lead around all that is drawn.
//!
//! Yields a right-angled polyline between two places on the page that keeps off symbols and words, runs along no wire
//! and crosses few, and turns little. Dijkstra's shortest path (E. W. Dijkstra, "A note on two problems in connexion
//! with graphs", 1959) on a grid about the two ends, with a price for whatever is at a crossing of the grid.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::picture::Point;
use super::room::Rect;

/// Distance of upright grid lines in units, level ones being half as far apart; more where the two ends lie very far
/// apart.
const STEP: f32 = 8.0;
/// How far around the two ends a way is looked for.
const REACH: f32 = 200.0;
/// Most crossings of the grid.
const CROSSINGS: usize = 60_000;

/// Prices, in tenths of a step across.
const FREE: [u32; 4] = [10, 5, 10, 5];
const TURN: u32 = 30;
/// Leaving a terminal on the left, where its name is.
const NAME: u32 = 16;
const EARLY_TURN: u32 = 90;
const SYMBOL: u32 = 900;
const WORDS: u32 = 400;
const TERMINAL: u32 = 300;
const ALONG_WIRE: u32 = 90;
const ACROSS_WIRE: u32 = 15;
const ALONG_LEAD: u32 = 160;
const ACROSS_LEAD: u32 = 40;

/// Moves as column and row: right, down, left, up.
const MOVES: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// Prices about two places.
pub(super) struct Grid {
    step: f32,
    left: f32,
    top: f32,
    columns: usize,
    rows: usize,
    /// Price of being at a crossing, of moving sideways there, of moving up or down there.
    at: Vec<[u32; 3]>,
    ends: [Point; 2],
}

impl Grid {
    /// An empty grid about two places on a page.
    pub(super) fn new(a: Point, b: Point, (width, height): (f32, f32)) -> Self {
        let span = |p: f32, q: f32, most: f32| ((p.min(q) - REACH).max(4.0), (p.max(q) + REACH).min(most - 4.0));
        let (x, y) = (span(a.x, b.x, width), span(a.y, b.y, height));
        let mut step = STEP;
        let count = |step: f32| {
            let along = |low: f32, high: f32, through: f32, step: f32| {
                let before = ((through - low) / step).floor().max(0.0);
                let after = ((high - through) / step).floor().max(0.0);
                (through - before * step, (before + after) as usize + 1)
            };
            (along(x.0, x.1, a.x, step), along(y.0, y.1, a.y, step / 2.0))
        };
        let mut size = count(step);
        while size.0.1 * size.1.1 > CROSSINGS {
            step *= 2.0;
            size = count(step);
        }
        let ((left, columns), (top, rows)) = size;
        Self { step, left, top, columns, rows, at: vec![[0; 3]; columns * rows], ends: [a, b] }
    }

    fn place(&self, crossing: usize) -> Point {
        let (column, row) = (crossing % self.columns, crossing / self.columns);
        Point::new(self.left + column as f32 * self.step, self.top + row as f32 * self.step / 2.0)
    }

    fn nearest(&self, p: Point) -> usize {
        let clamp = |v: f32, most: usize| (v.round().max(0.0) as usize).min(most - 1);
        let column = clamp((p.x - self.left) / self.step, self.columns);
        clamp((p.y - self.top) / self.step * 2.0, self.rows) * self.columns + column
    }

    /// Adds a price to every crossing strictly inside a rectangle but for those at the two ends.
    fn charge(&mut self, rect: Rect, price: [u32; 3]) {
        let first = |low: f32, from: f32, step: f32| ((low - from) / step).floor().max(-1.0) + 1.0;
        let (x, y) = (first(rect.0, self.left, self.step), first(rect.1, self.top, self.step / 2.0));
        let (x, y) = (x as usize, y as usize);
        for row in y..self.rows {
            let height = self.top + row as f32 * self.step / 2.0;
            if height >= rect.3 {
                break;
            }
            for column in x..self.columns {
                if self.left + column as f32 * self.step >= rect.2 {
                    break;
                }
                let here = &mut self.at[row * self.columns + column];
                for (sum, more) in here.iter_mut().zip(price) {
                    *sum += more;
                }
            }
        }
    }

    pub(super) fn symbol(&mut self, (left, top, right, bottom): Rect) {
        self.charge((left - 5.0, top, right + 5.0, bottom), [SYMBOL, 0, 0]);
    }

    pub(super) fn words(&mut self, (left, top, right, bottom): Rect) {
        self.charge((left - 5.0, top - 5.0, right + 5.0, bottom + 5.0), [WORDS, 0, 0]);
    }

    /// The name of a terminal, past which a lead is clipped on.
    pub(super) fn name(&mut self, (left, top, right, bottom): Rect) {
        self.charge((left - 5.0, top - 2.0, right + 5.0, bottom + 2.0), [WORDS, 0, 0]);
    }

    /// A terminal; those the lead is clipped to are no hindrance.
    pub(super) fn terminal(&mut self, at: Point) {
        if self.ends.iter().all(|end| end.distance(at) > 6.0) {
            self.charge((at.x - 15.0, at.y - 15.0, at.x + 15.0, at.y + 15.0), [TERMINAL, 0, 0]);
        }
    }

    pub(super) fn wire(&mut self, points: &[Point]) {
        self.run(points, 9.0, ALONG_WIRE, ACROSS_WIRE);
    }

    pub(super) fn lead(&mut self, points: &[Point]) {
        self.run(points, 11.0, ALONG_LEAD, ACROSS_LEAD);
    }

    fn run(&mut self, points: &[Point], half: f32, along: u32, across: u32) {
        for s in points.windows(2) {
            let (a, b) = (s[0], s[1]);
            let rect = (a.x.min(b.x) - half, a.y.min(b.y) - half, a.x.max(b.x) + half, a.y.max(b.y) + half);
            let price = if (a.x - b.x).abs() < (a.y - b.y).abs() { [0, across, along] } else { [0, along, across] };
            self.charge(rect, price);
        }
    }

    /// The cheapest way from one end to the other.
    pub(super) fn way(&self) -> Vec<Point> {
        let [a, b] = self.ends;
        let (start, goal) = (self.nearest(a), self.nearest(b));
        let mut least = vec![u32::MAX; self.at.len() * 4];
        let mut came = vec![usize::MAX; self.at.len() * 4];
        let mut queue = BinaryHeap::new();
        for direction in 0..4 {
            // Sideways off a terminal before up or down, where its wire and its symbol are.
            let price = [0, TURN, NAME, TURN][direction];
            least[start * 4 + direction] = price;
            queue.push(Reverse((price, start * 4 + direction)));
        }
        let mut last = None;
        while let Some(Reverse((price, state))) = queue.pop() {
            if price > least[state] {
                continue;
            }
            if state / 4 == goal {
                last = Some(state);
                break;
            }
            for (next, more) in self.steps(state, goal) {
                let total = price.saturating_add(more);
                if total < least[next] {
                    least[next] = total;
                    came[next] = state;
                    queue.push(Reverse((total, next)));
                }
            }
        }
        let mut points = Vec::new();
        let mut state = last;
        while let Some(s) = state {
            points.push(self.place(s / 4));
            state = Some(came[s]).filter(|s| *s != usize::MAX);
        }
        points.reverse();
        joined(points, a, b)
    }

    fn steps(&self, state: usize, goal: usize) -> impl Iterator<Item = (usize, u32)> + '_ {
        let (crossing, heading) = (state / 4, state % 4);
        let (column, row) = ((crossing % self.columns) as i32, (crossing / self.columns) as i32);
        let here = self.place(crossing);
        let is_early = self.ends.iter().any(|end| end.distance(here) < 26.0);
        MOVES.iter().enumerate().filter_map(move |(direction, (right, down))| {
            let (x, y) = (column + right, row + down);
            let inside = x >= 0 && y >= 0 && (x as usize) < self.columns && (y as usize) < self.rows;
            if !inside || direction == (heading + 2) % 4 {
                return None;
            }
            let next = y as usize * self.columns + x as usize;
            let [at, sideways, updown] = self.at[next];
            let moving = if direction % 2 == 0 { sideways } else { updown / 2 };
            let at = if direction % 2 == 0 { at } else { at / 2 };
            let turn = match (direction == heading, is_early) {
                (true, _) => 0,
                (false, false) => TURN,
                (false, true) => EARLY_TURN,
            };
            // Comes to its goal as it leaves: sideways rather than along the wire there.
            let arrival = if next == goal { [NAME, TURN, 0, TURN][direction] } else { 0 };
            Some((next * 4 + direction, FREE[direction] + at + moving + turn + arrival))
        })
    }
}

/// Corners alone, with the two ends put where they really are.
fn joined(points: Vec<Point>, a: Point, b: Point) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    for p in points {
        if let [.., q, r] = corners[..]
            && ((q.x == r.x && r.x == p.x) || (q.y == r.y && r.y == p.y))
        {
            corners.pop();
        }
        corners.push(p);
    }
    if corners.len() < 2 {
        return vec![a, b];
    }
    // The last run is moved sideways by the little the goal is off the grid.
    let n = corners.len();
    let is_level = corners[n - 2].y == corners[n - 1].y;
    if n > 2 {
        if is_level { corners[n - 2].y = b.y } else { corners[n - 2].x = b.x }
    }
    corners[0] = a;
    corners[n - 1] = b;
    corners
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_goes_round_a_symbol_and_its_words() {
        let (a, b) = (Point::new(200.0, 100.0), Point::new(200.0, 164.0));
        let mut grid = Grid::new(a, b, (400.0, 300.0));
        grid.symbol((152.0, 100.0, 224.0, 164.0));
        grid.words((229.0, 120.0, 280.0, 150.0));
        grid.wire(&[Point::new(200.0, 20.0), a]);

        let way = grid.way();

        assert_eq!((way[0], way[way.len() - 1]), (a, b));
        let within = |p: &Point| p.x > 152.0 && p.x < 280.0 && p.y > 100.0 && p.y < 164.0;
        assert!(!way.iter().any(within), "{way:?}");
        assert_eq!(way.len(), 4, "{way:?}");
    }
}
