//! Where wires part, and where their numbers stand.
//!
//! Yields for every wire how much of it runs together with others at either end, and a place for its number beside a
//! piece that is its own, clear of symbols, captions, other wires and other numbers wherever there is such a place.
//! Places depend on the circuit alone, so numbers keep still while states change.

use crate::circuit::{Circuit, End, Kind, WireEnd};

use super::caption;
use super::layout::element::Face;
use super::layout::{Layout, Placed};
use super::path;
use super::picture::{Anchor, Point, bold_width, text_width};
use super::room::{Index, Rect};

/// A wire's own piece and its number's place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Label {
    /// Units shared with other wires at the `from` end.
    pub(super) shared_from: f32,
    /// Units shared with other wires at the `to` end.
    pub(super) shared_to: f32,
    /// Units at either end that another wire before this one covers already.
    covered: (f32, f32),
    /// Middle of the left edge of the number.
    pub(super) at: Point,
}

/// Distance of a number from a vertical wire; clear of an arrowhead on it.
const GAP: f32 = 9.0;
/// Distance of a number from a horizontal wire, clear of an arrowhead too.
const RISE: f32 = 7.5;
/// How much further off a number may stand where there is no room so near.
const OFFS: [f32; 3] = [0.0, 8.0, 16.0];
/// Steps along a wire at which a place is tried.
const STEP: f32 = 8.0;
/// Most places tried along one straight piece.
const TRIES: usize = 40;
/// Most straight pieces tried where fewer places are.
const CROWDED_RUNS: usize = 4;
/// Above this many wires fewer places are tried.
const PATIENT_UP_TO: usize = 500;

/// Rectangle of the caption of an element, or nothing where it has none.
pub(super) fn caption_rect(placed: &Placed, circuit: &Circuit) -> Rect {
    let part = circuit.part(placed.element.part);
    let tag = bold_width(&caption::tag(part, placed.element.connector_pin), caption::TAG_SIZE);
    let rating = caption::rating_width(part);
    let width = tag.max(rating);
    if placed.element.is_dot() {
        let at = placed.tag_at;
        return (at.x - width / 2.0, at.y - 7.0, at.x + width / 2.0, at.y + 7.0);
    }
    let (_, top, right, _) = placed.body();
    let middle = top
        + match part.kind {
            Kind::Ground(_) => 21.0,
            _ => placed.element.height as f32 / 2.0,
        };
    let half = if rating == 0.0 { 7.0 } else { 15.0 };
    (right + 5.0, middle - half, right + 5.0 + width, middle + half)
}

/// Middle of a terminal's name and how it is anchored there: inside the symbol's box, left of its stub.
pub(super) fn terminal_text(at: Point, face: Face, kind: &Kind) -> (Point, Anchor) {
    // Between the terminal and the frame where a part has one.
    let inward = match kind {
        Kind::Module(_) | Kind::Timer(_) => 6.5,
        Kind::Fuse(_) | Kind::Resistor(_) => 7.5,
        _ => 9.0,
    };
    match face {
        Face::Top => (Point::new(at.x - 7.0, at.y + inward), Anchor::End),
        Face::Bottom => (Point::new(at.x - 7.0, at.y - inward), Anchor::End),
        Face::Both => (Point::new(at.x - 8.0, at.y - 8.0), Anchor::End),
    }
}

/// Finds shared runs, places for numbers, and the middle of each splice's tag by its place among the elements.
pub(super) fn place(layout: &Layout, circuit: &Circuit) -> (Vec<Label>, Vec<(usize, Point)>) {
    let mut labels = shared_runs(layout, circuit);
    let mut index = obstacles(layout, circuit, &labels);
    let tags = splice_tags(layout, circuit, &mut index);
    // Wires with little of their own choose first.
    let own = |i: usize| {
        let points = &layout.wires[i];
        path::cut(points, labels[i].shared_from, path::length(points) - labels[i].shared_to)
    };
    let pieces: Vec<Vec<Point>> = (0..labels.len()).map(own).collect();
    let mut turn: Vec<usize> = (0..labels.len()).collect();
    turn.sort_by(|a, b| path::length(&pieces[*a]).total_cmp(&path::length(&pieces[*b])).then(a.cmp(b)));
    let turn_length = turn.len();
    for i in turn {
        let text = caption::wire(&circuit.wires()[i]);
        let tries = if turn_length <= PATIENT_UP_TO { TRIES } else { TRIES / 8 };
        let rect = best_place(&pieces[i], text_width(&text, caption::WIRE_SIZE), &index, tries);
        labels[i].at = Point::new(rect.0, (rect.1 + rect.3) / 2.0);
        index.add(rect);
    }
    (labels, tags)
}

/// The free corner beside each splice, the lower right one before others.
fn splice_tags(layout: &Layout, circuit: &Circuit, index: &mut Index) -> Vec<(usize, Point)> {
    let mut tags = Vec::new();
    for (i, placed) in layout.placed.iter().enumerate().filter(|(_, placed)| placed.element.is_dot()) {
        let (x, y) = (placed.x as f32, placed.y as f32);
        let mut at_home = placed.clone();
        at_home.tag_at = Point::default();
        let half = caption_rect(&at_home, circuit).2;
        let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
        let places = [11.0, 20.0, 29.0].into_iter().flat_map(|off| {
            corners.map(|(right, down)| Point::new(x + right * (half + off - 3.0), y + down * (off + 1.0)))
        });
        let rect = |at: Point| (at.x - half, at.y - 7.0, at.x + half, at.y + 7.0);
        let mut best: Option<(f32, Point)> = None;
        for at in places {
            let cost = index.overlap(rect(at));
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, at));
            }
        }
        let Some((_, at)) = best else { continue };
        index.add(rect(at));
        tags.push((i, at));
    }
    tags
}

/// Where the numbers end at the right.
pub(super) fn right_ends(layout: &Layout, circuit: &Circuit) -> impl Iterator<Item = f32> {
    let widths = circuit.wires().iter().map(|wire| text_width(&caption::wire(wire), caption::WIRE_SIZE));
    let starts: Vec<f32> = layout.labels.iter().map(|label| label.at.x).collect();
    starts.into_iter().zip(widths).map(|(start, width)| start + width)
}

fn obstacles(layout: &Layout, circuit: &Circuit, labels: &[Label]) -> Index {
    let mut index = Index::default();
    for placed in &layout.placed {
        let (left, top, right, bottom) = placed.body();
        index.add((left, top, right, bottom));
        if !placed.element.is_dot() {
            index.add(caption_rect(placed, circuit));
        }
        for pin in &placed.element.pins {
            let at = layout.terminal(pin.terminal);
            index.add((at.x - 6.0, at.y - 6.0, at.x + 6.0, at.y + 6.0));
        }
    }
    for (wire, label) in layout.wires.iter().zip(labels) {
        // Each common run once: a rail with a thousand wires is one line.
        let fresh = path::cut(wire, label.covered.0, path::length(wire) - label.covered.1);
        for s in fresh.windows(2) {
            let (a, b) = (s[0], s[1]);
            index.add((a.x.min(b.x) - 3.0, a.y.min(b.y) - 2.0, a.x.max(b.x) + 3.0, a.y.max(b.y) + 2.0));
        }
    }
    index
}

/// The place along a polyline with the least overlap; of equals the first tried: beside the middle of the longest
/// pieces, right of vertical ones and above horizontal ones.
fn best_place(piece: &[Point], width: f32, index: &Index, tries: usize) -> Rect {
    let half = caption::WIRE_SIZE * 0.55;
    let mut runs: Vec<(Point, Point)> = piece.windows(2).map(|s| (s[0], s[1])).collect();
    runs.sort_by(|a, b| b.0.distance(b.1).total_cmp(&a.0.distance(a.1)));
    if tries < TRIES {
        runs.truncate(CROWDED_RUNS);
    }
    let mut best: Option<(f32, Rect)> = None;
    let offs: &[f32] = if tries < TRIES { &OFFS[..1] } else { &OFFS };
    for (off, (a, b)) in offs.iter().flat_map(|off| runs.iter().map(move |run| (*off, *run))) {
        for at in along(a, b, tries) {
            for (side, (rect, way)) in beside(at, a.x == b.x, off, (width, 2.0 * half)).into_iter().enumerate() {
                // What lies between a number and its wire would be taken for its wire.
                let cost = index.overlap(way) + side as f32 * 0.01 + off * 0.001;
                if cost < 0.1 {
                    return rect;
                }
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, rect));
                }
            }
        }
    }
    best.map_or((0.0, 0.0, width, 2.0 * half), |(_, rect)| rect)
}

/// Places along a straight piece, from its middle outwards.
fn along(a: Point, b: Point, tries: usize) -> impl Iterator<Item = Point> {
    let run = a.distance(b);
    let steps = ((run / STEP) as usize).min(tries);
    (0..=steps).map(move |i| {
        let off = i.div_ceil(2) as f32 * run / (steps + 1) as f32;
        let along = run / 2.0 + if i % 2 == 0 { off } else { -off };
        let share = if run > 0.0 { along / run } else { 0.5 };
        Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
    })
}

/// Both places beside a spot on a wire, so far further off than it is near: right of an upright wire and above a level
/// one first. With each goes all that lies as far as there.
fn beside(at: Point, is_upright: bool, off: f32, (width, height): (f32, f32)) -> [(Rect, Rect); 2] {
    let (half_width, half) = (width / 2.0, height / 2.0);
    if is_upright {
        let (near, far) = (GAP + off, GAP + off + width);
        let (top, bottom) = (at.y - half, at.y + half);
        return [
            ((at.x + near, top, at.x + far, bottom), (at.x + GAP, top, at.x + far, bottom)),
            ((at.x - far, top, at.x - near, bottom), (at.x - far, top, at.x - GAP, bottom)),
        ];
    }
    let (near, far) = (RISE + off, RISE + off + height);
    let (left, right) = (at.x - half_width, at.x + half_width);
    [
        ((left, at.y - far, right, at.y - near), (left, at.y - far, right, at.y - RISE)),
        ((left, at.y + near, right, at.y + far), (left, at.y + RISE, right, at.y + far)),
    ]
}

/// A wire's corners from one of its ends on.
pub(super) fn from_end(layout: &Layout, end: WireEnd) -> Vec<Point> {
    let mut points = layout.wires[end.wire.index()].clone();
    if end.end == End::To {
        points.reverse();
    }
    points
}

/// Wires at a terminal in an order in which those that run together longest are neighbours, with their corners.
fn fan(layout: &Layout, circuit: &Circuit, ends: &[WireEnd]) -> Vec<(WireEnd, Vec<Point>)> {
    let looped = |end: &WireEnd| {
        let wire = circuit.wire(end.wire);
        wire.from == wire.to
    };
    let mut fan: Vec<(WireEnd, Vec<Point>)> =
        ends.iter().filter(|end| !looped(end)).map(|&end| (end, from_end(layout, end))).collect();
    fan.sort_by(|a, b| {
        let keys = a.1.iter().zip(&b.1).map(|(p, q)| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
        keys.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then).then(a.0.cmp(&b.0))
    });
    fan
}

fn shared_runs(layout: &Layout, circuit: &Circuit) -> Vec<Label> {
    let mut labels = vec![Label::default(); circuit.wires().len()];
    for (terminal, _) in circuit.terminals_with_ids() {
        let fan = fan(layout, circuit, circuit.ends_at(terminal));
        for pair in fan.windows(2) {
            let run = path::together(&pair[0].1, &pair[1].1);
            for (end, _) in pair {
                let label = &mut labels[end.wire.index()];
                let shared = match end.end {
                    End::From => &mut label.shared_from,
                    End::To => &mut label.shared_to,
                };
                *shared = shared.max(run);
            }
            let (end, _) = pair[1];
            let covered = &mut labels[end.wire.index()].covered;
            match end.end {
                End::From => covered.0 = run,
                End::To => covered.1 = run,
            }
        }
    }
    labels
}

/// Where wires that hang on one terminal part away from it.
pub(super) fn junctions(layout: &Layout, circuit: &Circuit) -> Vec<Point> {
    let mut dots = Vec::new();
    for (terminal, _) in circuit.terminals_with_ids() {
        let fan = fan(layout, circuit, circuit.ends_at(terminal));
        for pair in fan.windows(2) {
            let run = path::together(&pair[0].1, &pair[1].1);
            let shorter = path::length(&pair[0].1).min(path::length(&pair[1].1));
            // Where one wire ends on the other's way, the terminal there is dot enough.
            if run > 0.0 && run < shorter {
                dots.push(path::walk(&pair[0].1, run).0);
            }
        }
    }
    dots.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    dots.dedup();
    dots
}
