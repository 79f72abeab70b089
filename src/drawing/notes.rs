//! What is written on the drawing for the time being: readings at terminals and marks of faults.
//!
//! Each looks for a place near what it belongs to where it covers no stroke and no word, and takes the least bad one
//! where there is none. Places where an arrowhead may come stay free, so that most notes keep still while currents
//! change. Yields shapes on the picture.

use crate::circuit::{Circuit, End, PartId, TerminalId, WireEnd};
use crate::study::answer::Subject;

use super::caption::WIRE_SIZE;
use super::layout::Layout;
use super::layout::element::Face;
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, text_width};
use super::room::{Index, Rect, apart, bounds, common, text_rect};
use super::show::{FaultMark, Show};
use super::{labels, wiring};

/// The room taken by all that is on a picture of a layout.
pub(super) fn taken(picture: &Picture, layout: &Layout, circuit: &Circuit, show: &Show) -> Index {
    let mut index = Index::default();
    picture.shapes.iter().filter(|shape| shape.ink != Ink::Highlight).for_each(|shape| index.add_shape(shape));
    for (id, _) in circuit.wires_with_ids() {
        if let Some((at, _)) = wiring::arrow_at(layout, circuit, show, id) {
            index.add((at.x - 8.0, at.y - 8.0, at.x + 8.0, at.y + 8.0));
        }
        // Where an end may be lifted and capped.
        for end in End::BOTH {
            let (at, _) = wiring::end_point(layout, circuit, show, WireEnd { wire: id, end });
            index.add((at.x - 6.0, at.y - 6.0, at.x + 6.0, at.y + 6.0));
        }
    }
    index
}

/// Writes the readings.
pub(super) fn readings(picture: &mut Picture, layout: &Layout, show: &Show, index: &mut Index) {
    for placed in &layout.placed {
        for pin in &placed.element.pins {
            let Some(reading) = show.reading(pin.terminal) else { continue };
            let centre = layout.terminal(pin.terminal);
            let own = placed.body();
            // Other symbols keep their whole boxes; in its own a reading may stand where no stroke is.
            let others: Vec<Rect> = layout
                .placed
                .iter()
                .filter(|other| other.element.part != placed.element.part)
                .map(super::layout::Placed::body)
                .filter(|body| near(*body, centre) && *body != own)
                .collect();
            let cost = |(at, anchor): (Point, Anchor)| {
                let rect = text_rect(at, reading, WIRE_SIZE, anchor);
                let on_others: f32 = others.iter().map(|body| common(*body, rect)).sum();
                index.overlap(rect) + on_others + outside(picture, rect)
            };
            let Some((at, anchor)) = least(beside(centre, pin.face), cost) else { continue };
            index.add(text_rect(at, reading, WIRE_SIZE, anchor));
            write(picture, pin.terminal, at, anchor, reading);
        }
    }
}

fn write(picture: &mut Picture, terminal: TerminalId, at: Point, anchor: Anchor, reading: &str) {
    let form = Form::Text { at, text: reading.to_owned(), size: WIRE_SIZE, anchor };
    let subject = Some(Subject::Terminal(terminal));
    picture.shapes.push(Shape { form, ink: Ink::ReadingText, weight: 1.0, dash: Dash::Solid, subject });
}

/// Whether a body is so near a place that words there could touch it.
fn near(body: Rect, at: Point) -> bool {
    body.0 - 90.0 < at.x && at.x < body.2 + 90.0 && body.1 - 50.0 < at.y && at.y < body.3 + 50.0
}

/// A price for leaving the page.
fn outside(picture: &Picture, rect: Rect) -> f32 {
    let over = [2.0 - rect.0, 2.0 - rect.1, rect.2 + 2.0 - picture.width, rect.3 + 2.0 - picture.height];
    over.into_iter().map(|by| by.max(0.0) * 1_000.0).sum()
}

/// Of equals the first.
fn least<T: Copy>(places: impl IntoIterator<Item = T>, cost: impl Fn(T) -> f32) -> Option<T> {
    let mut best: Option<(f32, T)> = None;
    for place in places {
        let price = cost(place);
        if best.is_none_or(|(lowest, _)| price < lowest) {
            best = Some((price, place));
        }
        if price == 0.0 {
            break;
        }
    }
    best.map(|(_, place)| place)
}

/// Places of a reading, the best first: inside the symbol's box beside the stub, then beside the wire.
fn beside(centre: Point, face: Face) -> Vec<(Point, Anchor)> {
    let inward = if face == Face::Bottom { -1.0 } else { 1.0 };
    let mut places = Vec::new();
    for (aside, along) in [(8.0, 9.0), (9.0, 16.0), (9.0, 23.0), (12.0, 0.0), (9.0, 30.0), (18.0, 9.0), (18.0, 18.0)] {
        for way in [inward, -inward] {
            for (right, anchor) in [(1.0, Anchor::Start), (-1.0, Anchor::End)] {
                places.push((Point::new(centre.x + right * aside, centre.y + way * along), anchor));
            }
        }
    }
    places
}

/// Half the width and half the height of a flash.
const FLASH: (f32, f32) = (6.0, 12.0);

/// Height that the words of a mark may be above or below its flash.
const WORDS_OFF: [f32; 3] = [0.0, -9.0, 9.0];
/// Price of a unit that a mark is further off than it could be, and of being nearer to something else.
const FARTHER: f32 = 0.4;
const ASTRAY: f32 = 2_000.0;

/// A flash with a few words beside what is at fault.
pub(super) fn faults(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, index: &mut Index) {
    for mark in &show.faults {
        let text_at = |at: Point, (right, off): (f32, f32)| {
            let anchor = if right > 0.0 { Anchor::Start } else { Anchor::End };
            (Point::new(at.x + right * (FLASH.0 + 3.0), at.y + off), anchor)
        };
        let sides = WORDS_OFF.map(|off| [(1.0, off), (-1.0, off)]);
        let anchors = anchors(layout, circuit, show, mark.subject);
        let near = bodies_near(layout, &anchors, text_width(&mark.text, WIRE_SIZE));
        let places = anchors.into_iter();
        let places = places.flat_map(|(at, off)| sides.as_flattened().iter().map(move |side| (at, off, *side)));
        // A part's mark is not to be taken for that of another.
        let is_rival = |part: PartId| matches!(mark.subject, Subject::Part(own) if own != part);
        let cost = |(at, off, side): (Point, f32, (f32, f32))| {
            let (words, anchor) = text_at(at, side);
            let rect = text_rect(words, &mark.text, WIRE_SIZE, anchor);
            let bodies: f32 = near.iter().map(|(_, body)| common(*body, rect)).sum();
            let is_astray = near.iter().any(|(part, body)| is_rival(*part) && away(*body, at) <= off);
            // A flash on its own wire is as it should be; words over a wire are not.
            // Nearer places are tried first, and worth a little.
            off * FARTHER
                + side.1.abs() * 0.05
                + index.overlap(flash_rect(at)) * 0.5
                + index.overlap(rect) * 4.0
                + bodies
                + outside(picture, rect)
                + if is_astray { ASTRAY } else { 0.0 }
        };
        let Some((at, _, side)) = least(places, cost) else { continue };
        let (words, anchor) = text_at(at, side);
        index.add(text_rect(words, &mark.text, WIRE_SIZE, anchor));
        index.add(flash_rect(at));
        draw_mark(picture, mark, at, (words, anchor));
    }
}

/// Bodies that a mark with words so wide may lie over, or stand nearer to than to its own, at one of these places, each with
/// its part: on a large drawing most are out of reach.
fn bodies_near(layout: &Layout, places: &[(Point, f32)], words: f32) -> Vec<(PartId, Rect)> {
    let farthest = places.iter().map(|(_, off)| *off).fold(words + FLASH.0 + FLASH.1, f32::max);
    let middles: Vec<Point> = places.iter().map(|(at, _)| *at).collect();
    let Some(all) = bounds(&middles) else { return Vec::new() };
    let bodies = layout.placed.iter().map(|placed| (placed.element.part, placed.body()));
    bodies.filter(|(_, body)| apart(*body, all) <= farthest).collect()
}

/// How far a place is outside a rectangle.
fn away(body: Rect, at: Point) -> f32 {
    apart(body, (at.x, at.y, at.x, at.y))
}

fn flash_rect(at: Point) -> Rect {
    (at.x - FLASH.0, at.y - FLASH.1, at.x + FLASH.0, at.y + FLASH.1)
}

fn draw_mark(picture: &mut Picture, mark: &FaultMark, at: Point, (words, anchor): (Point, Anchor)) {
    let mut put = |form: Form, ink: Ink, weight: f32| {
        picture.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject: Some(mark.subject) });
    };
    let flash = [(2.0, -11.0), (-5.0, 1.0), (2.0, 1.0), (-2.0, 11.0)];
    let points: Vec<Point> = flash.iter().map(|(x, y)| Point::new(at.x + x, at.y + y)).collect();
    put(Form::Line { points: points.clone(), closed: false }, Ink::Halo, 6.0);
    put(Form::Line { points, closed: false }, Ink::Fault, 2.4);
    let text = Form::Text { at: words, text: mark.text.to_string(), size: WIRE_SIZE, anchor };
    put(text, Ink::FaultText, 1.0);
}

/// Places of a flash, each with how far it is from what is at fault.
fn anchors(layout: &Layout, circuit: &Circuit, show: &Show, subject: Subject) -> Vec<(Point, f32)> {
    let steps = |from: f32, to: f32, by: f32| {
        let count = ((to - from) / by).floor().max(0.0) as u16;
        (0..=count).map(move |step| from + f32::from(step) * by)
    };
    let around = |at: Point, least: f32| -> Vec<(Point, f32)> {
        let places = steps(-54.0, 54.0, 6.0).flat_map(|x| steps(-42.0, 42.0, 6.0).map(move |y| (x, y)));
        let places = places.filter(|(x, y)| x.hypot(*y) >= least);
        places.map(|(x, y)| (Point::new(at.x + x, at.y + y), x.hypot(y) - least)).collect()
    };
    match subject {
        Subject::Part(id) => {
            let Some(placed) = layout.placed.iter().find(|p| p.element.part == id) else { return Vec::new() };
            let (left, top, right, bottom) = placed.body();
            let caption = labels::caption_rect(placed, circuit);
            let columns = steps(left - 90.0, left - 10.0, 8.0).chain(steps(right + 10.0, caption.2 + 74.0, 8.0));
            let beside = columns.flat_map(|x| steps(top - 40.0, bottom + 40.0, 5.0).map(move |y| Point::new(x, y)));
            let rows = [top - 15.0, bottom + 15.0, top - 28.0, bottom + 28.0];
            let over = steps(left, right, 8.0).flat_map(|x| rows.map(|y| Point::new(x, y)));
            beside.chain(over).map(|at| (at, away((left, top, right, bottom), at))).collect()
        }
        Subject::Terminal(id) => around(layout.terminal(id), 18.0),
        Subject::Wire(id) => {
            let (Some(points), Some(label)) = (layout.wires.get(id.index()), layout.labels.get(id.index())) else {
                return Vec::new();
            };
            let own = path::length(points) - label.shared_to - label.shared_from;
            let at = |share: f32| path::walk(points, label.shared_from + own * share).0;
            // In its middle for choice.
            steps(0.06, 0.94, 0.04).map(|share| (at(share), (share - 0.5).abs() * 20.0)).collect()
        }
        Subject::WireEnd(end) => around(wiring::end_point(layout, circuit, show, end).0, 16.0),
        Subject::Lead(_) => Vec::new(),
    }
}
