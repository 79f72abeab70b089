//! Where everything goes: parts in rows, wires in the channels between them.
//!
//! Yields [`Layout`], which depends on the circuit alone and not on its state, so a drawing keeps still while
//! contacts move. The passes, each from plain data to plain data: which way up ([`potential`], [`element`]), which
//! row ([`rank`]), in which order ([`order`]), how far right ([`place`]), and the wires ([`route`]). Supply is at the
//! top, ground at the bottom, the battery at the left. What a person has put somewhere goes there last ([`hand`]).

pub(in crate::drawing) mod element;
mod fold;
mod graph;
mod hand;
mod heights;
mod maze;
mod order;
mod place;
mod potential;
mod rank;
mod route;
mod simplex;
mod splice;

use crate::circuit::{At, Circuit, PartId, TerminalId, WireId};

use super::labels::Label;
use super::picture::Point;
use element::{Element, Face, GRID};
use fold::Folds;
use graph::Graph;
use heights::{Dots, Heights};
use route::Tracks;

/// Blank edge around the drawing, in units.
const EDGE: i32 = 32;
/// Width over height of the window a page is to fill.
const WINDOW: f32 = 1.7;
/// Above this many elements nothing is folded.
const FOLD_UP_TO: usize = 300;
/// Layouts tried for a page are at most this many over the square of the number of its elements.
const TRIES: usize = 40_000;
/// Most layouts tried for a page.
const MOST_TRIES: usize = 120;
/// Most folds of a page.
const FOLDS: usize = 3;

/// An element in its place.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Placed {
    pub(in crate::drawing) element: Element,
    /// Its axis.
    pub(in crate::drawing) x: i32,
    /// Its top.
    pub(in crate::drawing) y: i32,
    /// Middle of a splice's tag, which looks for a free corner between the wires.
    pub(in crate::drawing) tag_at: Point,
}

impl Placed {
    /// Left, top, right and bottom of the strokes.
    pub(in crate::drawing) fn body(&self) -> (f32, f32, f32, f32) {
        let (left, right) = self.element.body;
        let (x, y) = (self.x as f32, self.y as f32);
        (x - left as f32, y, x + right as f32, y + self.element.height as f32)
    }
}

/// A circuit's parts and wires placed on a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    pub(super) width: f32,
    pub(super) height: f32,
    pub(super) placed: Vec<Placed>,
    pub(super) terminals: Vec<Point>,
    pub(super) wires: Vec<Vec<Point>>,
    pub(super) labels: Vec<Label>,
    /// Dots where wires of one terminal part.
    pub(super) junctions: Vec<Point>,
    /// By how much parts put somewhere by hand have made the page grow to the left and up.
    pub(super) grown: (i32, i32),
}

impl Layout {
    /// Places a circuit.
    pub fn of(circuit: &Circuit) -> Self {
        let potential = potential::Potential::of(circuit);
        let elements = element::elements(circuit, &potential);
        let mut best = Self::with_rows(circuit, &potential, elements.clone(), &Folds::default());
        if elements.len() <= FOLD_UP_TO {
            best = Self::folded(circuit, &potential, &elements, best);
        }
        if !circuit.places().is_empty() {
            best.grown = hand::put(&mut best, circuit);
        }
        best.label(circuit);
        best
    }

    /// The best page that folding makes of one: of all there are where they are few; or else the best single fold,
    /// then the best beside that one and so on, each looked over again as long as that helps.
    fn folded(circuit: &Circuit, potential: &potential::Potential, elements: &[Element], straight: Self) -> Self {
        let cuts = fold::cuts(circuit, elements, potential);
        let tries = (TRIES / elements.len().max(1).pow(2)).min(MOST_TRIES);
        let mut best = (straight.misfit(circuit, &Folds::default()), straight);
        let mut is_better = |chosen: &[&fold::Cut]| {
            let folds = Folds::new(elements.len(), chosen);
            let page = Self::with_rows(circuit, potential, elements.to_vec(), &folds);
            let misfit = page.misfit(circuit, &folds);
            let is_better = misfit < best.0;
            if is_better {
                best = (misfit, page);
            }
            is_better
        };
        match fold::choices(&cuts, FOLDS, tries) {
            Some(all) => {
                for chosen in all {
                    is_better(&chosen);
                }
            }
            None => fold::climb(&cuts, FOLDS, tries, is_better),
        }
        best.1
    }

    /// How ill a page suits its window: mainly how small it is there, and what makes it harder to follow.
    fn misfit(&self, circuit: &Circuit, folds: &Folds) -> f32 {
        /// What a fold must gain in size, as a share.
        const FOLD: f32 = 0.07;
        /// What a crossing must gain in size, as a share.
        const CROSSING: f32 = 0.03;
        /// What a column with a single part in it must gain beyond that.
        const LONELY: f32 = 0.05;
        let size = (self.width / WINDOW).max(self.height).ln();
        let folding = FOLD * folds.count() as f32 + LONELY * folds.lonely() as f32;
        size + folding + CROSSING * self.crossings(circuit) as f32
    }

    /// Crossings of wires that hang on no common terminal.
    fn crossings(&self, circuit: &Circuit) -> usize {
        let pieces: Vec<(WireId, Point, Point)> = circuit
            .wires_with_ids()
            .flat_map(|(id, _)| self.wire(id).windows(2).map(move |s| (id, s[0], s[1])))
            .collect();
        let within = |x: f32, a: f32, b: f32| a.min(b) < x && x < a.max(b);
        let cross = |a: &(WireId, Point, Point), b: &(WireId, Point, Point)| {
            let (a, b) = if a.1.y == a.2.y { (a, b) } else { (b, a) };
            let level = a.1.y == a.2.y && b.1.x == b.2.x;
            let (wire, other) = (circuit.wire(a.0), circuit.wire(b.0));
            let meet = [wire.from, wire.to].iter().any(|t| *t == other.from || *t == other.to);
            level && !meet && within(b.1.x, a.1.x, a.2.x) && within(a.1.y, b.1.y, b.2.y)
        };
        let pairs = pieces.iter().enumerate().map(|(i, a)| pieces[i + 1..].iter().filter(|b| cross(a, b)).count());
        pairs.sum()
    }

    fn with_rows(
        circuit: &Circuit,
        potential: &potential::Potential,
        mut elements: Vec<Element>,
        folds: &Folds,
    ) -> Self {
        let rows = rank::rows(circuit, &elements, potential, folds);
        let mut graph = Graph::new(circuit, &elements, &rows, folds);
        order::order(&mut graph, &mut elements);
        let x = place::columns(&graph, &elements);
        let tracks = route::tracks(&graph, &elements, &x);
        let sheet = Sheet { circuit, graph: &graph, elements: &elements, x: &x, tracks: &tracks };
        let mut heights = Heights::new(&graph, &elements, &x, &tracks, &Dots::default());
        if let Some(dots) = sheet.dots(&heights) {
            heights = Heights::new(&graph, &elements, &x, &tracks, &dots);
        }
        sheet.layout(&heights)
    }

    /// Finds the places of numbers, splices' tags and junctions.
    fn label(&mut self, circuit: &Circuit) {
        let (labels, tags) = super::labels::place(self, circuit);
        self.labels = labels;
        for (placed, at) in tags {
            self.placed[placed].tag_at = at;
        }
        self.junctions = super::labels::junctions(self, circuit);
        let ends = super::labels::right_ends(self, circuit);
        self.width = ends.fold(self.width, |width, end| width.max(end + EDGE as f32));
    }

    /// Width and height of the page in units.
    pub fn size(&self) -> (f32, f32) {
        (self.width, self.height)
    }

    /// Where a part stands, as a person could have put it there: of a connector, its first pin.
    pub fn place_of(&self, part: PartId) -> Option<At> {
        hand::place_of(self, part)
    }

    /// The place nearest to a point of the page that lies on the drawing's grid.
    pub fn at(&self, x: f32, y: f32) -> At {
        let lines = |units: f32, grown: i32| ((units - grown as f32) / GRID as f32).round() as i32;
        let steps = |units: f32, grown: i32| lines(units, grown) * (GRID / hand::STEP);
        At { right: steps(x, self.grown.0), down: steps(y, self.grown.1) }
    }

    /// The point of the page at a place.
    pub fn point_at(&self, at: At) -> Point {
        Point::new((at.right * hand::STEP + self.grown.0) as f32, (at.down * hand::STEP + self.grown.1) as f32)
    }

    /// Where a terminal is.
    pub fn terminal(&self, id: TerminalId) -> Point {
        self.terminals[id.index()]
    }

    /// A wire's corners from its `from` end to its `to` end.
    pub fn wire(&self, id: WireId) -> &[Point] {
        &self.wires[id.index()]
    }

    /// The boxes a part's symbol keeps free of wires, as left, top, right and bottom; one for each pin of a connector.
    pub fn bodies(&self, id: PartId) -> impl Iterator<Item = (f32, f32, f32, f32)> + '_ {
        self.placed.iter().filter(move |p| p.element.part == id).map(Placed::body)
    }
}

/// All that is known before heights are.
struct Sheet<'a> {
    circuit: &'a Circuit,
    graph: &'a Graph,
    elements: &'a [Element],
    x: &'a [i32],
    tracks: &'a Tracks,
}

impl Sheet<'_> {
    /// The splices that move to a track, where these heights put it.
    fn dots(&self, heights: &Heights) -> Option<Dots> {
        splice::splices(self.circuit).next()?;
        let mut dots = Dots::default();
        let (terminals, _, _) = self.lines(heights);
        for terminal in splice::splices(self.circuit) {
            // Whole units all, so nothing is lost.
            let at = terminals[terminal.index()];
            if let Some(track) = heights.track_at(at.y as i32) {
                dots.columns.entry(track).or_default().push(at.x as i32);
                dots.terminals.insert(terminal);
            }
        }
        Some(dots)
    }

    /// Where elements, terminals and wires are, in units from the first column and row.
    fn lines(&self, heights: &Heights) -> (Vec<Point>, Vec<Vec<Point>>, Vec<Placed>) {
        let mut placed = Vec::with_capacity(self.elements.len());
        let mut terminals = vec![Point::default(); self.circuit.terminals().len()];
        let mut nodes = vec![0; self.elements.len()];
        for (n, node) in self.graph.nodes.iter().enumerate() {
            if let Some(e) = node.element {
                nodes[e] = n;
            }
        }
        for (element, n) in self.elements.iter().zip(nodes) {
            let row = self.graph.nodes[n].row;
            let y = heights.row[row] + (heights.tall[row] - element.height) / 2;
            for pin in &element.pins {
                let drop = if pin.face == Face::Bottom { element.height } else { 0 };
                terminals[pin.terminal.index()] = Point::new((self.x[n] + pin.dx) as f32, (y + drop) as f32);
            }
            placed.push(Placed { element: element.clone(), x: self.x[n], y, tag_at: Point::default() });
        }
        let mut wires = Vec::with_capacity(self.circuit.wires().len());
        for (id, wire) in self.circuit.wires_with_ids() {
            let way = &self.graph.ways[id.index()];
            let corners = corners_of(self.graph, self.elements, self.x, self.tracks, heights, way);
            let mut points: Vec<Point> = corners.into_iter().map(|(x, y)| Point::new(x as f32, y as f32)).collect();
            if way.hub_is_to {
                points.reverse();
            }
            points.insert(0, terminals[wire.from.index()]);
            points.push(terminals[wire.to.index()]);
            wires.push(simplified(&points));
        }
        splice::meet(self.circuit, &mut terminals, &mut wires);
        for placed in placed.iter_mut().filter(|placed| placed.element.is_dot()) {
            let at = terminals[placed.element.pins[0].terminal.index()];
            (placed.x, placed.y) = (at.x as i32, at.y as i32);
        }
        (terminals, wires, placed)
    }

    fn layout(&self, heights: &Heights) -> Layout {
        let (mut terminals, mut wires, mut placed) = self.lines(heights);
        let least = wires.iter().flatten().map(|corner| corner.x - 8.0).fold(0.0, f32::min);
        let (right, down) = (EDGE - least as i32, EDGE);
        for point in terminals.iter_mut().chain(wires.iter_mut().flatten()) {
            *point = Point::new(point.x + right as f32, point.y + down as f32);
        }
        let mut width = wires.iter().flatten().map(|corner| corner.x).fold(0.0, f32::max);
        for placed in &mut placed {
            (placed.x, placed.y) = (placed.x + right, placed.y + down);
            width = width.max((placed.x + placed.element.right()) as f32);
        }
        let (width, height) = (width + EDGE as f32, (heights.end + 2 * EDGE) as f32);
        Layout { width, height, placed, terminals, wires, ..Layout::default() }
    }
}

fn corners_of(
    graph: &Graph,
    elements: &[Element],
    x: &[i32],
    tracks: &Tracks,
    heights: &Heights,
    way: &graph::Way,
) -> Vec<(i32, i32)> {
    let mut corners = Vec::new();
    for &(join, a, b) in &way.steps {
        let pins = &graph.joins[join].pins;
        let end = |pin: usize| (route::column(graph, elements, x, &pins[pin]), pins[pin].bank);
        corners.extend(route::corners(tracks.of_join[join], heights, graph.joins[join].channel, end(a), end(b)));
    }
    corners
}

/// The same line without doubled points and points on a straight run.
fn simplified(points: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(points.len());
    for &p in points {
        if out.last() == Some(&p) {
            continue;
        }
        if let [.., a, b] = out[..] {
            let straight = (a.x == b.x && b.x == p.x) || (a.y == b.y && b.y == p.y);
            if straight {
                out.pop();
            }
        }
        out.push(p);
    }
    if out.len() == 1 {
        out.push(out[0]);
    }
    out
}
