//! Where everything goes: parts in rows, wires in the channels between them.
//!
//! Yields [`Layout`], which depends on the circuit alone and not on its state, so a drawing keeps still while
//! contacts move. The passes, each from plain data to plain data: which way up ([`potential`], [`element`]), which
//! row ([`rank`]), in which order ([`order`]), how far right ([`place`]), and the wires ([`route`]). Supply is at the
//! top, ground at the bottom, the battery at the left.

pub(in crate::drawing) mod element;
mod graph;
mod order;
mod place;
mod potential;
mod rank;
mod route;
mod simplex;

use crate::circuit::{Circuit, PartId, TerminalId, WireId};

use super::labels::Label;
use super::picture::Point;
use element::{Element, Face};
use graph::Graph;
use route::{Heights, Tracks};

/// Blank edge around the drawing, in units.
const EDGE: i32 = 32;
/// Width over height of a sheet the page should suit.
const SHEET: f32 = 4.0 / 3.0;
/// Above this many elements no second way is tried.
const FOLD_UP_TO: usize = 300;

/// An element in its place.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Placed {
    pub(in crate::drawing) element: Element,
    /// Its axis.
    pub(in crate::drawing) x: i32,
    /// Its top.
    pub(in crate::drawing) y: i32,
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
}

impl Layout {
    /// Places a circuit.
    pub fn of(circuit: &Circuit) -> Self {
        let potential = potential::Potential::of(circuit);
        let elements = element::elements(circuit, &potential);
        let straight = Self::with_rows(circuit, &potential, elements.clone(), None);
        if elements.len() > FOLD_UP_TO || straight.height <= straight.width {
            return straight;
        }
        let Some(feed) = rank::feed(circuit, &elements, &potential) else { return straight };
        let folded = Self::with_rows(circuit, &potential, elements, Some(&feed));
        if folded.misfit() < straight.misfit() { folded } else { straight }
    }

    /// How far the page is from the shape of a sheet.
    fn misfit(&self) -> f32 {
        (self.width / self.height / SHEET).ln().abs()
    }

    fn with_rows(
        circuit: &Circuit,
        potential: &potential::Potential,
        mut elements: Vec<Element>,
        feed: Option<&rank::Feed>,
    ) -> Self {
        let rows = rank::rows(circuit, &elements, potential, feed);
        let chain = feed.map_or(&[][..], |feed| &feed.chain);
        let mut graph = Graph::new(circuit, &elements, &rows, chain);
        order::order(&mut graph, &mut elements);
        let x = place::columns(&graph, &elements);
        let tracks = route::tracks(&graph, &elements, &x);
        let heights = Heights::new(&graph, &elements, &tracks);
        Self::assembled(circuit, &graph, elements, &x, &tracks, &heights)
    }

    /// Width and height of the page in units.
    pub fn size(&self) -> (f32, f32) {
        (self.width, self.height)
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

    fn assembled(
        circuit: &Circuit,
        graph: &Graph,
        elements: Vec<Element>,
        x: &[i32],
        tracks: &Tracks,
        heights: &Heights,
    ) -> Self {
        let mut layout = Self { terminals: vec![Point::default(); circuit.terminals().len()], ..Self::default() };
        let mut column = vec![(0, 0); elements.len()];
        for (n, node) in graph.nodes.iter().enumerate() {
            if let Some(e) = node.element {
                let y = heights.row[node.row] + (heights.tall[node.row] - elements[e].height) / 2;
                column[e] = (x[n], y);
            }
        }
        let ways: Vec<Vec<(i32, i32)>> =
            graph.ways.iter().map(|way| corners_of(graph, &elements, x, tracks, heights, way)).collect();
        let left = -ways.iter().flatten().map(|c| c.0 - 8).min().unwrap_or(0).min(0) + EDGE;
        for (element, (x, y)) in elements.into_iter().zip(column) {
            let placed = Placed { element, x: x + left, y: y + EDGE };
            for pin in &placed.element.pins {
                let drop = if pin.face == Face::Bottom { placed.element.height } else { 0 };
                layout.terminals[pin.terminal.index()] =
                    Point::new((placed.x + pin.dx) as f32, (placed.y + drop) as f32);
            }
            layout.width = layout.width.max((placed.x + placed.element.right() + EDGE) as f32);
            layout.placed.push(placed);
        }
        let right = ways.iter().flatten().map(|corner| corner.0).max().unwrap_or(0);
        layout.width = layout.width.max((right + left + EDGE) as f32);
        layout.height = (heights.end + 2 * EDGE) as f32;
        for (id, wire) in circuit.wires_with_ids() {
            let way = &graph.ways[id.index()];
            let mut points: Vec<Point> =
                ways[id.index()].iter().map(|(x, y)| Point::new((x + left) as f32, (y + EDGE) as f32)).collect();
            if way.hub_is_to {
                points.reverse();
            }
            points.insert(0, layout.terminal(wire.from));
            points.push(layout.terminal(wire.to));
            layout.wires.push(simplified(&points));
        }
        layout.labels = super::labels::place(&layout, circuit);
        layout.junctions = super::labels::junctions(&layout, circuit);
        let ends = super::labels::right_ends(&layout, circuit);
        layout.width = ends.fold(layout.width, |width, end| width.max(end + EDGE as f32));
        layout
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
