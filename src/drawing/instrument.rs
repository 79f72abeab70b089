//! Instruments on the circuit: a circle with its letter (IEC 60617, from memory), and two leads or the wire it is on.
//!
//! They are no part of the truck, so nothing of them is hit and nothing of the circuit moves aside for them. The two
//! leads are told apart by what stands on them and by the shape around it, whatever the colours: `+` in a disc, `−`
//! in a square; a lamp has no poles, and its clips are numbered. Yields shapes.

use crate::circuit::{Circuit, WireId};

use super::layout::{Layout, Placed};
use super::lead::{clip_at, rounded, route};
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape};
use super::room::{Index, common};
use super::show::{Face, Fitted, Instrument, Show};
use super::wiring;

/// Radius of an instrument's circle.
const RADIUS: f32 = 12.0;
/// Width of its leads.
const LEAD: f32 = 2.0;
/// How far from a lead's tip its sign stands.
const SIGN_AT: f32 = 20.0;
/// Half the side of a sign.
const SIGN: f32 = 6.5;
/// How far from its wire the body of a clamp is.
const ROOT: f32 = 20.0 + RADIUS;
/// Length of a tip.
const TIP: f32 = 12.0;

/// Puts the instruments on the picture.
pub(super) fn draw(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, index: &mut Index) {
    for instrument in &show.instruments {
        match instrument.fitted {
            Fitted::Across(leads) => {
                let at = leads.map(|point| point.map(|point| clip_at(layout, circuit, show, point)));
                across(picture, layout, instrument, at, index);
            }
            Fitted::Around(wire) => on_wire(picture, layout, circuit, show, (instrument, wire, true), index),
            Fitted::InLine(wire) => on_wire(picture, layout, circuit, show, (instrument, wire, false), index),
        }
    }
}

/// Strokes for instruments.
struct Brush<'a> {
    shapes: &'a mut Vec<Shape>,
}

impl Brush<'_> {
    fn put(&mut self, form: Form, ink: Ink, weight: f32) {
        self.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject: None });
    }

    fn line(&mut self, points: &[Point], ink: Ink, weight: f32) {
        self.put(Form::Line { points: points.to_vec(), closed: false }, Ink::Halo, weight + 2.4);
        self.put(Form::Line { points: points.to_vec(), closed: false }, ink, weight);
    }

    fn text(&mut self, at: Point, text: &str, size: f32) {
        self.put(Form::Text { at, text: text.to_owned(), size, anchor: Anchor::Middle }, Ink::InstrumentText, 1.0);
    }

    /// The circle with its letter or cross.
    fn body(&mut self, at: Point, face: Face) {
        self.put(Form::Circle { centre: at, radius: RADIUS + 1.6, filled: true }, Ink::Halo, 1.0);
        if face == (Face::Lamp { lit: true }) {
            self.put(Form::Circle { centre: at, radius: RADIUS, filled: true }, Ink::Glow, 1.0);
        }
        self.put(Form::Circle { centre: at, radius: RADIUS, filled: false }, Ink::Instrument, 2.0);
        match face {
            Face::Letter(letter) => self.text(at, letter, 12.0),
            Face::Lamp { .. } => {
                let reach = RADIUS * 0.7;
                for way in [1.0, -1.0] {
                    let ends = [-reach, reach].map(|by| Point::new(at.x + by, at.y + by * way));
                    self.put(Form::Line { points: ends.to_vec(), closed: false }, Ink::Instrument, 1.8);
                }
            }
        }
    }

    /// One lead from its tip at the start of `way`, with its sign.
    fn lead(&mut self, way: &[Point], (place, face): (usize, Face)) {
        let ink = if place == 0 { Ink::PlusLead } else { Ink::MinusLead };
        self.line(&rounded(way), ink, LEAD);
        let (tip, (ux, uy)) = path::walk(way, 0.0);
        let corner =
            |ahead: f32, aside: f32| Point::new(tip.x + ux * ahead - uy * aside, tip.y + uy * ahead + ux * aside);
        self.put(Form::Polygon { points: vec![corner(0.0, 0.0), corner(TIP, -3.2), corner(TIP, 3.2)] }, ink, 1.0);
        let at = path::walk(way, SIGN_AT.min(path::length(way) * 0.6)).0;
        self.sign(at, ink, (place, face));
    }

    fn sign(&mut self, at: Point, ink: Ink, (place, face): (usize, Face)) {
        let square = |half: f32| {
            let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
            corners.map(|(x, y)| Point::new(at.x + x, at.y + y)).to_vec()
        };
        if place == 0 {
            self.put(Form::Circle { centre: at, radius: SIGN + 0.8, filled: true }, Ink::Halo, 1.0);
            self.put(Form::Circle { centre: at, radius: SIGN + 0.4, filled: false }, ink, 1.8);
        } else {
            self.put(Form::Polygon { points: square(SIGN) }, Ink::Halo, 1.0);
            self.put(Form::Line { points: square(SIGN), closed: true }, ink, 1.8);
        }
        match (face, place) {
            (Face::Lamp { .. }, 0) => self.text(at, "1", 9.5),
            (Face::Lamp { .. }, _) => self.text(at, "2", 9.5),
            (Face::Letter(_), _) => {
                let stroke = |x: f32, y: f32| vec![Point::new(at.x - x, at.y - y), Point::new(at.x + x, at.y + y)];
                self.put(Form::Line { points: stroke(3.6, 0.0), closed: false }, ink, 1.8);
                if place == 0 {
                    self.put(Form::Line { points: stroke(0.0, 3.6), closed: false }, ink, 1.8);
                }
            }
        }
    }
}

fn across(picture: &mut Picture, layout: &Layout, instrument: &Instrument, at: [Option<Point>; 2], index: &mut Index) {
    let face = instrument.face;
    match at {
        [Some(a), Some(b)] if a != b => {
            let way = route(picture, layout, [a, b], &[]);
            let length = path::length(&way);
            let body_at = station(&way, layout, index);
            let (first, mut second) = (path::cut(&way, 0.0, body_at), path::cut(&way, body_at, length));
            second.reverse();
            let mut brush = Brush { shapes: &mut picture.shapes };
            brush.lead(&first, (0, face));
            brush.lead(&second, (1, face));
            let body = path::walk(&way, body_at).0;
            brush.body(body, face);
            way.windows(2).for_each(|run| {
                let (p, q) = (run[0], run[1]);
                index.add((p.x.min(q.x) - 3.0, p.y.min(q.y) - 3.0, p.x.max(q.x) + 3.0, p.y.max(q.y) + 3.0));
            });
            index.add((body.x - RADIUS, body.y - RADIUS, body.x + RADIUS, body.y + RADIUS));
        }
        [first, second] => {
            for (place, tip) in [first, second].into_iter().enumerate() {
                let Some(tip) = tip else { continue };
                let way = [tip, aside(tip, layout, index)];
                Brush { shapes: &mut picture.shapes }.lead(&way, (place, face));
            }
        }
    }
}

/// Where a lead that hangs by one tip leaves: where it covers least.
fn aside(tip: Point, layout: &Layout, index: &Index) -> Point {
    let ways = [(22.0, -16.0), (22.0, 16.0), (-22.0, -16.0), (-22.0, 16.0), (28.0, 0.0), (-28.0, 0.0)];
    let places = ways.map(|(x, y)| Point::new(tip.x + x, tip.y + y));
    let cost = |at: &Point| crowd(*at, SIGN, layout, index);
    places.into_iter().min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap_or(tip)
}

fn crowd(at: Point, half: f32, layout: &Layout, index: &Index) -> f32 {
    let rect = (at.x - half, at.y - half, at.x + half, at.y + half);
    let bodies: f32 = layout.placed.iter().map(Placed::body).map(|body| common(body, rect)).sum();
    let (width, height) = layout.size();
    let off_page = [-rect.0, -rect.1, rect.2 - width, rect.3 - height].map(|by| by.max(0.0) * 1_000.0);
    index.overlap(rect) + bodies * 4.0 + off_page.iter().sum::<f32>()
}

/// How far along a way an instrument stands: near its middle, where it covers least.
fn station(way: &[Point], layout: &Layout, index: &Index) -> f32 {
    let length = path::length(way);
    let middle = length / 2.0;
    let keep = (SIGN_AT + SIGN + RADIUS).min(middle);
    let steps = ((length - 2.0 * keep) / 4.0).clamp(0.0, 400.0) as u16;
    let places = (0..=steps).map(|i| keep + f32::from(i) * 4.0).chain([middle]);
    let cost = |along: f32| crowd(path::walk(way, along).0, RADIUS + 2.0, layout, index) + (along - middle).abs() * 0.3;
    places.map(|along| (cost(along), along)).min_by(|a, b| a.0.total_cmp(&b.0)).map_or(middle, |best| best.1)
}

/// A clamp around a wire, or a meter in it, `+` on the side of its `from` end.
fn on_wire(
    picture: &mut Picture,
    layout: &Layout,
    circuit: &Circuit,
    show: &Show,
    (instrument, wire, around): (&Instrument, WireId, bool),
    index: &mut Index,
) {
    let own = wiring::own(layout, circuit, show, wire);
    let top = layout.wires.iter().flatten().map(|corner| corner.y).fold(f32::INFINITY, f32::min);
    // The arrowhead keeps the middle of the longest run; a clamp may be put on from either side.
    let shares = [0.3, 0.7, 0.2, 0.8, 0.5].into_iter();
    let places = shares.flat_map(|share| [1.0, -1.0].map(|side| (path::length(&own) * share, side)));
    let cost = |(along, side): (f32, f32)| {
        let (at, (ux, uy)) = path::walk(&own, along);
        let off = if around { -ROOT * side } else { 0.0 };
        let body = Point::new(at.x - uy * off, at.y + ux * off);
        let over_the_page = (top - body.y + RADIUS).max(0.0) * 100.0;
        crowd(body, RADIUS + 2.0, layout, index) + crowd(at, RADIUS, layout, index) * 0.3 + over_the_page
    };
    let best = places.map(|place| (cost(place), place)).min_by(|a, b| a.0.total_cmp(&b.0));
    let (along, side) = best.map_or((0.0, 1.0), |(_, place)| place);
    let (at, (ux, uy)) = path::walk(&own, along);
    let place = |ahead: f32, aside: f32| {
        let aside = aside * side;
        Point::new(at.x + ux * ahead - uy * aside, at.y + uy * ahead + ux * aside)
    };
    let mut brush = Brush { shapes: &mut picture.shapes };
    let body = if around {
        // Two jaws that meet beyond the wire, and the instrument at their root.
        for half in [-1.0, 1.0] {
            let jaw = [(0.0, -20.0), (5.0, -16.0), (9.5, -6.0), (9.5, 3.0), (6.0, 8.0), (1.5, 9.5)];
            let jaw: Vec<Point> = jaw.iter().map(|(ahead, aside)| place(ahead * half, *aside)).collect();
            brush.line(&jaw, Ink::Instrument, 2.6);
        }
        place(0.0, -ROOT)
    } else {
        at
    };
    brush.body(body, instrument.face);
    let from = if around { place(-18.0, -9.0) } else { place(-RADIUS - 7.0, -9.0) };
    brush.sign(from, Ink::PlusLead, (0, instrument.face));
    index.add((body.x - RADIUS, body.y - RADIUS, body.x + RADIUS, body.y + RADIUS));
}
