//! Wires as they are now: how heavy, which way the current goes, and which ends are off.
//!
//! Carrying wires are heavy, cased and arrowed; fed ones of middle weight; grounded ones thin; floating ones thin and
//! dashed, so that grey print tells them apart. A lifted end is drawn back from where the wire parts from the others,
//! with a cap on it. Yields shapes and hit areas; what flows is told by [`Show`].

use crate::circuit::{Circuit, End, WireEnd, WireId};
use crate::study::answer::Subject;

use super::caption;
use super::labels;
use super::layout::Layout;
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Target};
use super::show::{Flow, Show};

/// How far a lifted end is drawn back.
const DRAWN_BACK: f32 = 14.0;
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
        Flow::Floating => 0,
        Flow::Grounded => 1,
        Flow::Fed => 2,
        Flow::Carrying => 3,
    }
}

fn style(flow: Flow) -> (Ink, f32, Dash) {
    match flow {
        Flow::Floating => (Ink::WireFloating, 1.1, Dash::Dashed),
        Flow::Grounded => (Ink::WireGrounded, 1.3, Dash::Solid),
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

/// How much of the wire is not drawn at an end.
fn missing(layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) -> f32 {
    if !show.is_off(circuit, end) {
        return 0.0;
    }
    // However short the wire's own piece, a part of it stays to be seen.
    shared(layout, end) + DRAWN_BACK.min(own_length(layout, end.wire) * 0.4)
}

/// The drawn piece of a wire.
fn visible(layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) -> Vec<Point> {
    let points = &layout.wires[id.index()];
    let [from, to] = End::BOTH.map(|end| missing(layout, circuit, show, WireEnd { wire: id, end }));
    if from == 0.0 && to == 0.0 {
        return points.clone();
    }
    path::cut(points, from, path::length(points) - to)
}

/// Where a wire's end is: on its terminal, or drawn back from it.
pub(super) fn end_point(layout: &Layout, circuit: &Circuit, show: &Show, end: WireEnd) -> (Point, (f32, f32)) {
    path::walk(&labels::from_end(layout, end), missing(layout, circuit, show, end))
}

/// An arrowhead in the direction of the current, on the longest piece that is the wire's own.
fn arrow(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, id: WireId) {
    let state = show.wire(id);
    if state.flow != Flow::Carrying || state.amps == 0.0 {
        return;
    }
    let points = visible(layout, circuit, show, id);
    let [from, to] = End::BOTH.map(|end| {
        let end = WireEnd { wire: id, end };
        (shared(layout, end) - missing(layout, circuit, show, end)).max(0.0)
    });
    let own = path::cut(&points, from, path::length(&points) - to);
    let Some(run) = own.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1]))) else { return };
    let length = run[0].distance(run[1]);
    if length < 10.0 {
        return;
    }
    let sign = if state.amps < 0.0 { -1.0 } else { 1.0 };
    let (ux, uy) = ((run[1].x - run[0].x) / length * sign, (run[1].y - run[0].y) / length * sign);
    let middle = Point::new((run[0].x + run[1].x) / 2.0, (run[0].y + run[1].y) / 2.0);
    let corner =
        |ahead: f32, aside: f32| Point::new(middle.x + ux * ahead - uy * aside, middle.y + uy * ahead + ux * aside);
    let form = Form::Polygon { points: vec![corner(7.0, 0.0), corner(-6.0, 6.0), corner(-6.0, -6.0)] };
    let subject = Some(Subject::Wire(id));
    picture.shapes.push(Shape { form, ink: Ink::Arrow, weight: 1.0, dash: Dash::Solid, subject });
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
    let points = labels::from_end(layout, end);
    let subject = Some(Subject::WireEnd(end));
    let off = show.is_off(circuit, end);
    let along = if off {
        missing(layout, circuit, show, end)
    } else {
        // Outside the terminal's own area if the piece is long enough, and never past its middle.
        let (shared, own) = (shared(layout, end), own_length(layout, end.wire));
        (shared + 10.0).max(END_AT).min(shared + own * 0.3)
    };
    let (at, (ux, uy)) = path::walk(&points, along);
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
