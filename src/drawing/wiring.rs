//! Wires as they are now: how heavy, which way the current goes, and which ends are off.
//!
//! Carrying wires are heavy, cased and arrowed; fed ones of middle weight; grounded ones thin; floating ones thin and
//! dashed, so that grey print tells them apart. A lifted end is drawn back from where the wire parts from the others,
//! with a cap on it. Yields shapes and hit areas; what flows is told by [`Show`].

use crate::circuit::{Circuit, End, WireEnd, WireId};
use crate::study::answer::Subject;

use super::caption;
use super::labels;
use super::layout::{Layout, Placed};
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Target};
use super::room::{Rect, bounds};
use super::show::{Flow, Show};

/// How far a lifted end is drawn back at least.
const DRAWN_BACK: f32 = 16.0;
/// How far a lifted end keeps from terminals and other wires.
const CLEAR: f32 = 12.0;
/// How far a plug is drawn off its part.
const UNPLUGGED: f32 = 18.0;
/// How far from a terminal the hit area of a wire's end is centred at least.
const END_AT: f32 = 32.0;
/// Side of the hit area of a wire's end.
const END_SIDE: f32 = 20.0;
/// Width of the hit area of a wire.
const FAT: f32 = 14.0;

/// Puts all wires on the picture, the least lively at the back.
pub(super) fn draw(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show) {
    let mut turn: Vec<(u8, WireId)> =
        circuit.wires_with_ids().map(|(id, _)| (liveliness(show.wire(id).flow), id)).collect();
    turn.sort_unstable();
    for &(_, id) in turn.iter().filter(|(_, id)| show.wire(*id).flow == Flow::Carrying) {
        line(picture, &visible(layout, circuit, show, id), Ink::WireCasing, 8.0, Dash::Solid, id);
    }
    for &(_, id) in &turn {
        let (ink, weight, dash) = style(show.wire(id).flow);
        line(picture, &visible(layout, circuit, show, id), ink, weight, dash, id);
    }
    for &centre in &layout.junctions {
        let form = Form::Circle { centre, radius: 3.2, filled: true };
        picture.shapes.push(Shape { form, ink: Ink::Junction, weight: 1.0, dash: Dash::Solid, subject: None });
    }
    for (id, _) in circuit.wires_with_ids() {
        arrow(picture, layout, circuit, show, id);
        number(picture, layout, circuit, id);
        for end in End::BOTH {
            end_of(picture, layout, circuit, show, WireEnd { wire: id, end });
        }
        targets(picture, layout, id);
    }
}

fn liveliness(flow: Flow) -> u8 {
    match flow {
        Flow::Floating | Flow::Unseen => 0,
        Flow::Grounded => 1,
        Flow::Fed => 2,
        Flow::Carrying => 3,
    }
}

fn style(flow: Flow) -> (Ink, f32, Dash) {
    match flow {
        Flow::Floating => (Ink::WireFloating, 1.1, Dash::Dashed),
        Flow::Grounded => (Ink::WireGrounded, 1.3, Dash::Solid),
        Flow::Unseen => (Ink::Symbol, 1.6, Dash::Solid),
        Flow::Fed => (Ink::WireFed, 2.2, Dash::Solid),
        Flow::Carrying => (Ink::WireCarrying, 3.4, Dash::Solid),
    }
}

fn line(picture: &mut Picture, points: &[Point], ink: Ink, weight: f32, dash: Dash, id: WireId) {
    let form = Form::Line { points: points.to_vec(), closed: false };
    picture.shapes.push(Shape { form, ink, weight, dash, subject: Some(Subject::Wire(id)) });
}

/// Units of a wire that are not its own at one end.
fn shared(layout: &Layout, end: WireEnd) -> f32 {
    let label = &layout.labels[end.wire.index()];
    match end.end {
        End::From => label.shared_from,
        End::To => label.shared_to,
    }
}

/// Units of a wire that are its own alone.
fn own_length(layout: &Layout, id: WireId) -> f32 {
    let label = &layout.labels[id.index()];
    (path::length(&layout.wires[id.index()]) - label.shared_from - label.shared_to).max(0.0)
}

/// Where a wire's end is that is off its terminal.
struct Loose {
    /// Units of the wire that are not drawn.
    missing: f32,
    /// A stroke that leads the rest aside to where it is clear, if there is no such place along the wire.
    aside: Option<Point>,
}

/// How an end is off, if it is: a lifted one clear of everything, those of an unplugged part together in the plug.
fn loose(layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) -> Option<Loose> {
    let length = path::length(&layout.wires[end.wire.index()]);
    if show.lifted.contains(&end) {
        return Some(lifted(layout, circuit, end, length));
    }
    let part = circuit.terminal(circuit.terminal_of_end(end)).part;
    show.unplugged.contains(&part).then(|| Loose { missing: UNPLUGGED.min(length * 0.4), aside: None })
}

/// The first place along what is the wire's own that is clear of all else, or one aside of it.
fn lifted(layout: &Layout, circuit: &Circuit, end: WireEnd, length: f32) -> Loose {
    let points = labels::from_end(layout, end);
    let own = own_length(layout, end.wire);
    let begin = shared(layout, end);
    let around = neighbours(layout, circuit, end.wire, &points);
    let mut along = begin + DRAWN_BACK;
    // What is left must show, and must not reach the other end's own gap.
    while along < begin + own * 0.6 && along < length - 12.0 {
        if around.is_clear(path::walk(&points, along).0) {
            return Loose { missing: along, aside: None };
        }
        along += 2.0;
    }
    let missing = begin + DRAWN_BACK.min(own * 0.4);
    let (base, _) = path::walk(&points, missing);
    for radius in [16.0, 22.0, 28.0, 36.0, 46.0] {
        for (x, y) in
            [(1.0, 0.0), (-1.0, 0.0), (0.8, 0.6), (-0.8, 0.6), (0.8, -0.6), (-0.8, -0.6), (0.0, 1.0), (0.0, -1.0)]
        {
            let at = Point::new(base.x + x * radius, base.y + y * radius);
            if around.is_clear(at) {
                return Loose { missing, aside: Some(at) };
            }
        }
    }
    Loose { missing, aside: None }
}

/// What a loose end keeps clear of.
struct Around {
    strokes: Vec<(Point, Point)>,
    bodies: Vec<Rect>,
    terminals: Vec<Point>,
}

fn neighbours(layout: &Layout, circuit: &Circuit, wire: WireId, points: &[Point]) -> Around {
    const REACH: f32 = 80.0;
    let (left, top, right, bottom) = bounds(points).unwrap_or_default();
    let near = |r: Rect| r.0 < right + REACH && r.2 > left - REACH && r.1 < bottom + REACH && r.3 > top - REACH;
    let others = circuit.wires_with_ids().filter(|(id, _)| *id != wire);
    let strokes = others.flat_map(|(id, _)| layout.wires[id.index()].windows(2).map(|s| (s[0], s[1])));
    let is_near = |s: &(Point, Point)| bounds(&[s.0, s.1]).is_some_and(near);
    Around {
        strokes: strokes.filter(is_near).collect(),
        bodies: layout.placed.iter().map(Placed::body).filter(|body| near(*body)).collect(),
        terminals: layout.terminals.iter().copied().filter(|at| near((at.x, at.y, at.x, at.y))).collect(),
    }
}

impl Around {
    fn is_clear(&self, at: Point) -> bool {
        let off = |(a, b): &(Point, Point)| {
            let clamp = |v: f32, p: f32, q: f32| v.clamp(p.min(q), p.max(q));
            Point::new(clamp(at.x, a.x, b.x), clamp(at.y, a.y, b.y)).distance(at)
        };
        let inside = |r: &Rect| at.x > r.0 - 2.0 && at.x < r.2 + 2.0 && at.y > r.1 && at.y < r.3;
        self.strokes.iter().all(|s| off(s) >= CLEAR)
            && self.terminals.iter().all(|t| t.distance(at) >= CLEAR)
            && !self.bodies.iter().any(inside)
    }
}

/// How much of the wire is not drawn at an end.
fn missing(layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) -> f32 {
    loose(layout, circuit, show, end).map_or(0.0, |loose| loose.missing)
}

/// The drawn piece of a wire.
fn visible(layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) -> Vec<Point> {
    let points = &layout.wires[id.index()];
    let [from, to] = End::BOTH.map(|end| loose(layout, circuit, show, WireEnd { wire: id, end }));
    if from.is_none() && to.is_none() {
        return points.clone();
    }
    let gap = |loose: &Option<Loose>| loose.as_ref().map_or(0.0, |loose| loose.missing);
    let mut drawn = path::cut(points, gap(&from), path::length(points) - gap(&to));
    if let Some(aside) = from.and_then(|loose| loose.aside) {
        drawn.insert(0, aside);
    }
    drawn.extend(to.and_then(|loose| loose.aside));
    drawn
}

/// Where a wire's end is, on its terminal or off it, and which way the wire goes on from there.
pub(super) fn end_point(layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) -> (Point, (f32, f32)) {
    let Some(loose) = loose(layout, circuit, show, end) else {
        return path::walk(&labels::from_end(layout, end), 0.0);
    };
    let (base, onward) = path::walk(&labels::from_end(layout, end), loose.missing);
    let Some(aside) = loose.aside else { return (base, onward) };
    let run = aside.distance(base).max(1.0);
    (aside, ((base.x - aside.x) / run, (base.y - aside.y) / run))
}

/// An arrowhead in the direction of the current, on the longest piece that is the wire's own.
fn arrow(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) {
    let state = show.wire(id);
    if state.flow != Flow::Carrying || state.amps == 0.0 {
        return;
    }
    let Some((middle, onward)) = arrow_at(layout, circuit, show, id) else { return };
    let sign = if state.amps < 0.0 { -1.0 } else { 1.0 };
    let (ux, uy) = (onward.0 * sign, onward.1 * sign);
    let corner =
        |ahead: f32, aside: f32| Point::new(middle.x + ux * ahead - uy * aside, middle.y + uy * ahead + ux * aside);
    let form = Form::Polygon { points: vec![corner(7.0, 0.0), corner(-6.0, 6.0), corner(-6.0, -6.0)] };
    let subject = Some(Subject::Wire(id));
    picture.shapes.push(Shape { form, ink: Ink::Arrow, weight: 1.0, dash: Dash::Solid, subject });
}

/// The drawn piece of a wire that it shares with no other, from its `from` end to its `to` end.
pub(super) fn own(layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) -> Vec<Point> {
    let points = visible(layout, circuit, show, id);
    let [from, to] = End::BOTH.map(|end| {
        let end = WireEnd { wire: id, end };
        (shared(layout, end) - missing(layout, circuit, show, end)).max(0.0)
    });
    path::cut(&points, from, path::length(&points) - to)
}

/// Where a wire has its arrowhead while it carries current, with the direction from its `from` end to its `to` end.
pub(super) fn arrow_at(layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) -> Option<(Point, (f32, f32))> {
    let own = own(layout, circuit, show, id);
    let run = own.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])))?;
    let length = run[0].distance(run[1]);
    if length < 10.0 {
        return None;
    }
    let onward = ((run[1].x - run[0].x) / length, (run[1].y - run[0].y) / length);
    let along = clear_of_crossings(&crossings(layout, id, run[0], run[1]), length);
    Some((Point::new(run[0].x + onward.0 * along, run[0].y + onward.1 * along), onward))
}

/// Above this many wires an arrowhead may stand on a crossing.
const PATIENT_UP_TO: usize = 500;

/// How far along a straight run other wires cross it or end on it.
fn crossings(layout: &Layout, id: WireId, a: Point, b: Point) -> Vec<f32> {
    if layout.wires.len() > PATIENT_UP_TO {
        return Vec::new();
    }
    let others = layout.wires.iter().enumerate().filter(|(other, _)| *other != id.index());
    let pieces = others.flat_map(|(_, points)| points.windows(2));
    let within = |v: f32, p: f32, q: f32| p.min(q) <= v && v <= p.max(q);
    let meet = |piece: &[Point]| {
        let (c, d) = (piece[0], piece[1]);
        if a.x == b.x && c.y == d.y && within(a.x, c.x, d.x) && within(c.y, a.y, b.y) {
            return Some((c.y - a.y).abs());
        }
        let is_met = a.y == b.y && c.x == d.x && within(a.y, c.y, d.y) && within(c.x, a.x, b.x);
        is_met.then(|| (c.x - a.x).abs())
    };
    pieces.filter_map(meet).collect()
}

/// The place on a run nearest its middle that is clear of these places; the middle if there is none.
fn clear_of_crossings(crossings: &[f32], length: f32) -> f32 {
    const CLEAR: f32 = 14.0;
    let middle = length / 2.0;
    let is_clear = |along: &f32| crossings.iter().all(|crossing| (crossing - along).abs() >= CLEAR);
    let offs = (0..40u8).map(|step| f32::from(step) * 2.0).take_while(|off| off + CLEAR <= middle);
    offs.flat_map(|off| [middle + off, middle - off]).find(is_clear).unwrap_or(middle)
}

fn number(picture: &mut Picture, layout: &Layout, circuit: &Circuit, id: WireId) {
    let form = Form::Text {
        at: layout.labels[id.index()].at,
        text: caption::wire(circuit.wire(id)),
        size: caption::WIRE_SIZE,
        anchor: Anchor::Start,
    };
    let subject = Some(Subject::Wire(id));
    picture.shapes.push(Shape { form, ink: Ink::WireText, weight: 1.0, dash: Dash::Solid, subject });
}

/// The cap of a lifted end, and the hit area of any end.
fn end_of(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) {
    let subject = Some(Subject::WireEnd(end));
    let off = show.is_off(circuit, end);
    let (at, (ux, uy)) = if off {
        end_point(layout, circuit, show, end)
    } else {
        // Outside the terminal's own area if the piece is long enough, and never past its middle.
        let (shared, own) = (shared(layout, end), own_length(layout, end.wire));
        path::walk(&labels::from_end(layout, end), (shared + 10.0).max(END_AT).min(shared + own * 0.3))
    };
    if off {
        let bar = vec![Point::new(at.x - uy * 6.0, at.y + ux * 6.0), Point::new(at.x + uy * 6.0, at.y - ux * 6.0)];
        let form = Form::Line { points: bar, closed: false };
        picture.shapes.push(Shape { form, ink: Ink::LooseEnd, weight: 2.6, dash: Dash::Solid, subject });
        let centre = Point::new(at.x - ux * 4.0, at.y - uy * 4.0);
        let form = Form::Circle { centre, radius: 2.6, filled: false };
        picture.shapes.push(Shape { form, ink: Ink::LooseEnd, weight: 1.4, dash: Dash::Solid, subject });
    }
    picture.targets.push(Target {
        subject: Subject::WireEnd(end),
        x: at.x - END_SIDE / 2.0,
        y: at.y - END_SIDE / 2.0,
        width: END_SIDE,
        height: END_SIDE,
    });
}

fn targets(picture: &mut Picture, layout: &Layout, id: WireId) {
    let label = &layout.labels[id.index()];
    let points = &layout.wires[id.index()];
    let own = path::cut(points, label.shared_from, path::length(points) - label.shared_to);
    // What it shares with others comes after: it can be hit there too, if nothing is nearer.
    let shared = [
        path::cut(points, 0.0, label.shared_from),
        path::cut(points, path::length(points) - label.shared_to, f32::INFINITY),
    ];
    for s in own.windows(2).chain(shared.iter().flat_map(|run| run.windows(2).filter(|s| s[0] != s[1]))) {
        let (left, top) = (s[0].x.min(s[1].x) - FAT / 2.0, s[0].y.min(s[1].y) - FAT / 2.0);
        let (width, height) = ((s[0].x - s[1].x).abs() + FAT, (s[0].y - s[1].y).abs() + FAT);
        picture.targets.push(Target { subject: Subject::Wire(id), x: left, y: top, width, height });
    }
}
