//! Parts put somewhere by hand: they hold their place, and the page gives way to them.
//!
//! Everything is first placed as if by itself, so that moving one part moves no other: then what was put somewhere goes
//! there, what lies under it goes to the nearest free place, and the wires that are touched look for their way anew in a
//! [`maze`]. Places count in [`STEP`]s on the page as it is by itself; the page may grow to any
//! side, and [`Layout::by_hand`](super::Layout) keeps by how much.

use std::collections::{BTreeSet, HashMap};

use crate::circuit::{At, Circuit, PartId, TerminalId, Wire, WireEnd, WireId};
use crate::drawing::labels::{caption_rect, from_end};
use crate::drawing::path;
use crate::drawing::picture::Point;

use super::element::{APART, Element, Face, GRID, GROUND_HEIGHT};
use super::maze::{self, Ends, Maze, Trunk};
use super::{EDGE, Layout, Placed, simplified};

/// A step of a place, in units: half the grid, on which the rows of a page by itself stand.
pub(super) const STEP: i32 = GRID / 2;
/// What is kept free around a symbol and its words.
const ROOM: i32 = GRID;
/// Cell of the index of what stands where.
const CELL: i32 = 256;
/// Furthest that a free place is looked for, in steps; beyond that there is always one.
const FURTHEST: i32 = 400;

/// A box of whole units: left, top, right, bottom.
type Box4 = (i32, i32, i32, i32);

/// Puts what was put somewhere by hand there, and leads the wires anew. Yields by how much the page has grown to the
/// left and up.
pub(super) fn put(layout: &mut Layout, circuit: &Circuit) -> (i32, i32) {
    let mut stand = Stand::default();
    let moved = places(layout, circuit, &mut stand);
    let wires = touched(layout, circuit, &moved);
    for &wire in &wires {
        layout.wires[wire.index()].clear();
    }
    for wire in wires {
        lead(layout, circuit, wire);
    }
    fit(layout)
}

/// The place of a part as it stands, in steps of the page as it is by itself.
pub(super) fn place_of(layout: &Layout, part: PartId) -> Option<At> {
    let placed = layout.placed.iter().find(|placed| placed.element.part == part)?;
    let steps = |units: i32, grown: i32| (units - grown) / STEP;
    Some(At { right: steps(placed.x, layout.grown.0), down: steps(placed.y, layout.grown.1) })
}

/// Something that stands: the room it takes, and its terminals.
type Standing = (Box4, Vec<(i32, i32)>);

/// What stands where, by cells.
#[derive(Default)]
struct Stand {
    cells: HashMap<(i32, i32), Vec<Standing>>,
}

impl Stand {
    fn cells_of((left, top, right, bottom): Box4) -> impl Iterator<Item = (i32, i32)> {
        let cell = |v: i32| v.div_euclid(CELL);
        (cell(top)..=cell(bottom)).flat_map(move |y| (cell(left)..=cell(right)).map(move |x| (x, y)))
    }

    fn add(&mut self, element: &Element, x: i32, y: i32) {
        let (room, terminals) = (room(element, x, y), terminals(element, x, y));
        for cell in Self::cells_of(around(room)) {
            self.cells.entry(cell).or_default().push((room, terminals.clone()));
        }
    }

    /// Whether an element could stand there beside all that stands already.
    fn is_free(&self, element: &Element, x: i32, y: i32) -> bool {
        let own = room(element, x, y);
        let own_terminals = terminals(element, x, y);
        let near = |a: &(i32, i32), b: &(i32, i32)| (a.0 - b.0).abs() < APART && (a.1 - b.1).abs() < APART;
        Self::cells_of(own).all(|cell| {
            self.cells.get(&cell).into_iter().flatten().all(|(other, terminals)| {
                let overlaps = own.0 < other.2 && other.0 < own.2 && own.1 < other.3 && other.1 < own.3;
                !overlaps && !terminals.iter().any(|t| own_terminals.iter().any(|o| near(o, t)))
            })
        })
    }

    /// The free place nearest to this one.
    fn nearest(&self, element: &Element, x: i32, y: i32) -> (i32, i32) {
        if self.is_free(element, x, y) {
            return (x, y);
        }
        for ring in 1..=FURTHEST {
            let off = ring * GRID;
            let along = (-ring..=ring).map(|step| step * GRID);
            let sides = along.flat_map(|a| [(a, -off), (a, off), (-off, a), (off, a)]);
            let free = sides.filter(|(dx, dy)| self.is_free(element, x + dx, y + dy));
            if let Some((dx, dy)) = free.min_by_key(|(dx, dy)| (dx * dx + dy * dy, *dy, *dx)) {
                return (x + dx, y + dy);
            }
        }
        // Right of everything there is room.
        let right = self.cells.values().flatten().map(|(other, _)| other.2).max().unwrap_or(0);
        (on_grid(right) + on_grid(element.left()) + APART, y)
    }
}

/// The next multiple of the grid from there up.
fn on_grid(units: i32) -> i32 {
    -(-units).div_euclid(GRID) * GRID
}

/// A box with the reach of its terminals' fingers.
fn around((left, top, right, bottom): Box4) -> Box4 {
    (left - APART, top - APART, right + APART, bottom + APART)
}

/// The room an element takes with its words.
fn room(element: &Element, x: i32, y: i32) -> Box4 {
    let (top, bottom) = if element.is_dot() { (y - ROOM, y + ROOM) } else { (y, y + element.height) };
    (x - element.left() - ROOM, top - ROOM, x + element.right() + ROOM, bottom + ROOM)
}

fn terminals(element: &Element, x: i32, y: i32) -> Vec<(i32, i32)> {
    let drop = |face: Face| if face == Face::Bottom { element.height } else { 0 };
    element.pins.iter().map(|pin| (x + pin.dx, y + drop(pin.face))).collect()
}

/// Puts every element in its place; yields those that have moved.
fn places(layout: &mut Layout, circuit: &Circuit, stand: &mut Stand) -> BTreeSet<usize> {
    let mut moved = BTreeSet::new();
    let mut is_put = vec![false; layout.placed.len()];
    for (part, at) in circuit.places() {
        let (mut x, y) = (at.right * STEP, at.down * STEP);
        let pins: Vec<usize> = (0..layout.placed.len()).filter(|e| layout.placed[*e].element.part == *part).collect();
        for (nth, e) in pins.into_iter().enumerate() {
            let element = layout.placed[e].element.clone();
            // The pins of a connector stand side by side.
            x += if nth > 0 { on_grid(element.left() + ROOM) } else { 0 };
            let (own_x, own_y) = stand.nearest(&element, x, y);
            stand.add(&element, own_x, own_y);
            is_put[e] = true;
            if settle(layout, e, own_x, own_y) {
                moved.insert(e);
            }
            x = own_x + on_grid(element.right() + ROOM);
        }
    }
    // What stands clear stays; only then does what is in the way look for a place between.
    let mut in_the_way = Vec::new();
    let by_hand: BTreeSet<usize> = (0..is_put.len()).filter(|e| is_put[*e]).collect();
    let hand = std::mem::take(stand);
    for e in (0..layout.placed.len()).filter(|e| !by_hand.contains(e)) {
        let Placed { element, x, y, .. } = &layout.placed[e];
        if hand.is_free(element, *x, *y) {
            stand.add(element, *x, *y);
        } else {
            in_the_way.push(e);
        }
    }
    for e in by_hand {
        let Placed { element, x, y, .. } = &layout.placed[e];
        stand.add(element, *x, *y);
    }
    for e in in_the_way {
        let Placed { element, x, y, .. } = layout.placed[e].clone();
        let (x, y) = stand.nearest(&element, x, y);
        stand.add(&element, x, y);
        settle(layout, e, x, y);
        moved.insert(e);
    }
    moved
}

/// Puts an element and its terminals somewhere; whether that is elsewhere.
fn settle(layout: &mut Layout, e: usize, x: i32, y: i32) -> bool {
    let placed = &mut layout.placed[e];
    if (placed.x, placed.y) == (x, y) {
        return false;
    }
    (placed.x, placed.y) = (x, y);
    let at = terminals(&placed.element, x, y);
    for (pin, (x, y)) in placed.element.pins.iter().zip(at) {
        layout.terminals[pin.terminal.index()] = Point::new(x as f32, y as f32);
    }
    true
}

/// The wires that hang on what has moved or that it lies on, the shortest first.
fn touched(layout: &Layout, circuit: &Circuit, moved: &BTreeSet<usize>) -> Vec<WireId> {
    let parts: BTreeSet<usize> =
        moved.iter().flat_map(|e| layout.placed[*e].element.pins.iter().map(|pin| pin.terminal.index())).collect();
    let boxes: Vec<Box4> = moved.iter().map(|e| taken(&layout.placed[*e])).collect();
    let crosses = |wire: WireId, (left, top, right, bottom): &Box4| {
        layout.wire(wire).windows(2).any(|s| {
            let within = |a: f32, b: f32, low: i32, high: i32| a.max(b) > low as f32 && a.min(b) < high as f32;
            within(s[0].x, s[1].x, *left, *right) && within(s[0].y, s[1].y, *top, *bottom)
        })
    };
    let mut wires: Vec<WireId> = circuit
        .wires_with_ids()
        .filter(|(_, wire)| wire.from != wire.to)
        .filter(|(id, wire)| {
            [wire.from, wire.to].iter().any(|t| parts.contains(&t.index())) || boxes.iter().any(|b| crosses(*id, b))
        })
        .map(|(id, _)| id)
        .collect();
    let far = |id: &WireId| {
        let wire = circuit.wire(*id);
        let (a, b) = (layout.terminal(wire.from), layout.terminal(wire.to));
        (a.x - b.x).abs() + (a.y - b.y).abs()
    };
    wires.sort_by(|a, b| far(a).total_cmp(&far(b)).then(a.cmp(b)));
    wires
}

/// What a symbol takes where no strange wire may run: its strokes, its words, and the way to its terminals.
fn taken(placed: &Placed) -> Box4 {
    let element = &placed.element;
    let (x, y) = (placed.x, placed.y);
    if element.is_dot() {
        return (x - 2 * GRID, y - 2 * GRID, x + 2 * GRID, y + 2 * GRID);
    }
    let right = x + element.body.1 + element.caption;
    (x - element.left() - ROOM, y - 2 * ROOM, right, y + element.height.max(GROUND_HEIGHT) + 2 * ROOM)
}

/// Leads one wire.
fn lead(layout: &mut Layout, circuit: &Circuit, id: WireId) {
    let wire = circuit.wire(id);
    let faces = |terminal: TerminalId| {
        let pins = layout.placed.iter().flat_map(|placed| &placed.element.pins);
        pins.into_iter().find(|pin| pin.terminal == terminal).map_or(Face::Both, |pin| pin.face)
    };
    let whole = |p: Point| (p.x as i32, p.y as i32);
    let ends = Ends {
        terminals: [whole(layout.terminal(wire.from)), whole(layout.terminal(wire.to))],
        faces: [faces(wire.from), faces(wire.to)],
        trunks: [wire.from, wire.to].map(|terminal| trunks(layout, circuit, id, terminal)),
    };
    let mut reach = maze::NEAR;
    let points = loop {
        let mut maze = Maze::about(&ends, reach);
        obstacles(layout, circuit, id, &mut maze);
        let (points, is_clear) = maze.way(&ends);
        if is_clear || reach >= maze::FAR {
            break points;
        }
        reach *= 4;
    };
    let points: Vec<Point> = points.into_iter().map(|(x, y)| Point::new(x as f32, y as f32)).collect();
    layout.wires[id.index()] = simplified(&points);
}

/// The wires at a terminal that another may run along from there on: those that do not join the same two, as far as
/// they run with no stranger.
fn trunks(layout: &Layout, circuit: &Circuit, id: WireId, terminal: TerminalId) -> Vec<Trunk> {
    let own = circuit.wire(id);
    let joins =
        |wire: &Wire, a: TerminalId, b: TerminalId| (wire.from, wire.to) == (a, b) || (wire.to, wire.from) == (a, b);
    let is_laid = |wire: WireId| !layout.wires[wire.index()].is_empty();
    let ends = circuit.ends_at(terminal).iter().filter(|end| end.wire != id && is_laid(end.wire));
    ends.filter(|end| !joins(circuit.wire(end.wire), own.from, own.to))
        .map(|end| {
            let points = from_end(layout, *end);
            let there = circuit.terminal_of_end(WireEnd { wire: end.wire, end: end.end.other() });
            let back = from_end(layout, WireEnd { wire: end.wire, end: end.end.other() });
            let others = circuit.ends_at(there).iter().filter(|other| {
                let wire = circuit.wire(other.wire);
                other.wire != id && is_laid(other.wire) && wire.from != terminal && wire.to != terminal
            });
            let shared = others.map(|other| path::together(&back, &from_end(layout, *other))).fold(0.0, f32::max);
            let spots = points.iter().map(|p| (p.x as i32, p.y as i32)).collect();
            Trunk { spots, most: (path::length(&points) - shared) as i32 - maze::OWN_PIECE }
        })
        .collect()
}

/// Everything that is in the way of a wire.
fn obstacles(layout: &Layout, circuit: &Circuit, id: WireId, maze: &mut Maze) {
    let own = circuit.wire(id);
    for placed in &layout.placed {
        let (left, top, right, bottom) = placed.body();
        if !placed.element.is_dot() {
            maze.symbol((left as i32, top as i32, right as i32, bottom as i32));
            let (left, top, right, bottom) = caption_rect(placed, circuit);
            maze.words((left as i32, top as i32, right as i32, bottom as i32));
        }
        for pin in placed.element.pins.iter().filter(|pin| pin.terminal != own.from && pin.terminal != own.to) {
            let at = layout.terminal(pin.terminal);
            maze.terminal((at.x as i32, at.y as i32));
        }
    }
    for (other, points) in layout.wires.iter().enumerate().filter(|(other, _)| *other != id.index()) {
        let other = &circuit.wires()[other];
        let is_kin = [other.from, other.to].iter().any(|t| *t == own.from || *t == own.to);
        for s in points.windows(2) {
            maze.wire((s[0].x as i32, s[0].y as i32), (s[1].x as i32, s[1].y as i32), is_kin);
        }
    }
}

/// Brings everything on to the page again; yields by how much that moved it.
fn fit(layout: &mut Layout) -> (i32, i32) {
    let corners = || layout.wires.iter().flatten();
    let lefts = layout.placed.iter().map(|p| p.x - p.element.left()).chain(corners().map(|p| p.x as i32 - GRID));
    let tops = layout.placed.iter().map(|p| p.y).chain(corners().map(|p| p.y as i32));
    let (left, top) = (lefts.min().unwrap_or(EDGE), tops.min().unwrap_or(EDGE));
    let shift = |least: i32| on_grid(EDGE - least);
    let (right, down) = (shift(left), shift(top));
    for point in layout.terminals.iter_mut().chain(layout.wires.iter_mut().flatten()) {
        *point = Point::new(point.x + right as f32, point.y + down as f32);
    }
    for placed in &mut layout.placed {
        (placed.x, placed.y) = (placed.x + right, placed.y + down);
    }
    let reach = layout.placed.iter().map(|p| (p.x + p.element.right(), p.y + p.element.height));
    let reach = reach.chain(layout.wires.iter().flatten().map(|p| (p.x as i32, p.y as i32)));
    let (wide, tall) = reach.fold((0, 0), |most, here| (most.0.max(here.0), most.1.max(here.1)));
    (layout.width, layout.height) = ((wide + EDGE) as f32, (tall + EDGE) as f32);
    (right, down)
}
