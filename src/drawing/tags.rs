//! Where designations stand that are written larger than the drawing they belong to, as on a small drawing that is read
//! from far away.
//!
//! Yields [`enlarged`], a place for each of them: on the part of the page that is seen, off wires, symbols and other
//! words, and nearer to its own part than to any other, wherever there is such a place. Whether a designation has to be
//! enlarged, and how far, is left to the painter.

use std::collections::BTreeMap;

use crate::study::answer::Subject;

use super::picture::{Form, Ink, Picture, Point, Shape, bold_width};
use super::room::{Index, Rect, apart, bounds, common, text_rect};

/// Height of letters against their size: capitals and figures have nothing below the line.
const HIGH: f32 = 0.84;
/// Room between a symbol and its designation, against the size of letters: first choice, and where that is taken.
const GAPS: [f32; 4] = [0.22, 0.5, 0.9, 1.4];
/// Steps in which a designation is shifted along a side of its symbol, as shares of what it may be.
const SHIFTS: [f32; 9] = [0.5, 0.25, 0.75, 0.0, 1.0, -0.25, 1.25, -0.5, 1.5];
/// What it costs to lie over something, to stand nearer to another part, and to leave what is seen. A place farther away
/// costs its distance over the size of letters.
const OVER: f32 = 100.0;
const ELSEWHERE: f32 = 60.0;
const OUTSIDE: f32 = 400.0;
/// What a side costs: right, left, above, below.
const SIDES: [f32; 4] = [0.0, 0.6, 0.8, 0.8];

/// What a corner costs: right below, right above, left below, left above. More than a side that is free somewhere near.
const SLANTS: [f32; 4] = [2.5, 2.6, 2.8, 2.9];
/// The room there against that at a side.
const ASLANT: f32 = 0.6;

/// A designation that waits for its place.
struct Waiting {
    /// How many good places it has.
    free: usize,
    /// The number of its shape.
    number: usize,
    /// All its places with what each costs, the cheapest first.
    places: Vec<(f32, Rect)>,
}

/// Places for designations that are written in letters of `size` units, where they are drawn smaller: the middle of each,
/// by the number of its shape. `seen` is what of the page is seen: left, top, right, bottom. Other words that are smaller
/// than `least` units are not written, and so are in nobody's way.
pub fn enlarged(picture: &Picture, size: f32, least: f32, seen: [f32; 4]) -> BTreeMap<usize, Point> {
    let seen: Rect = (seen[0], seen[1], seen[2], seen[3]);
    let symbols = symbols(picture);
    let mut index = Index::default();
    picture.shapes.iter().filter(|shape| is_in_the_way(shape, size, least)).for_each(|shape| index.add_shape(shape));
    let mut waiting: Vec<Waiting> = Vec::new();
    for (number, shape) in picture.shapes.iter().enumerate() {
        let Form::Text { at, text, size: drawn, anchor } = &shape.form else { continue };
        if shape.ink != Ink::TagText || *drawn >= size {
            continue;
        }
        let home = text_rect(*at, text, *drawn, *anchor);
        let own = symbols.iter().filter(|(subject, _)| Some(*subject) == shape.subject).map(|(_, rect)| *rect);
        let Some(own) = own.min_by(|a, b| apart(*a, home).total_cmp(&apart(*b, home))) else { continue };
        if common(own, seen) <= 0.0 {
            continue;
        }
        let letters = (bold_width(text, size), size * HIGH);
        let around = around(own, letters, size);
        // No other can be nearer to any of the places.
        let farthest = around.iter().map(|(_, rect)| apart(*rect, own)).fold(0.0, f32::max);
        let reach = 2.0 * farthest + letters.0.hypot(letters.1) + 1.0;
        let near = symbols.iter().map(|(_, other)| *other).filter(|other| *other != own && apart(*other, own) <= reach);
        let near: Vec<Rect> = near.collect();
        let cost = |(side, rect): (f32, Rect)| (side + fixed_cost(rect, own, size, seen, &near, &index), rect);
        let mut places: Vec<(f32, Rect)> = around.into_iter().map(cost).collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        waiting.push(Waiting { free: places.iter().filter(|(cost, _)| *cost < ELSEWHERE).count(), number, places });
    }
    // Those with the fewest good places choose first.
    waiting.sort_by_key(|tag| (tag.free, tag.number));
    let mut taken = Index::default();
    let mut found = BTreeMap::new();
    for Waiting { number, places, .. } in waiting {
        let mut best: Option<(f32, Rect)> = None;
        for (alone, rect) in places {
            // The places that follow cost as much alone, or more.
            if best.is_some_and(|(least, _)| least <= alone) {
                break;
            }
            let cost = alone + over(taken.overlap(rect), size);
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, rect));
            }
        }
        let Some((_, rect)) = best else { continue };
        taken.add(rect);
        found.insert(number, Point::new((rect.0 + rect.2) / 2.0, (rect.1 + rect.3) / 2.0));
    }
    found
}

/// Whether a designation keeps off a shape.
fn is_in_the_way(shape: &Shape, size: f32, least: f32) -> bool {
    match (&shape.form, shape.ink) {
        (_, Ink::Halo | Ink::Highlight | Ink::WireCasing) => false,
        (Form::Text { size: drawn, .. }, Ink::TagText) => *drawn >= size,
        (Form::Text { size: drawn, .. }, _) => *drawn >= least,
        _ => true,
    }
}

/// What is drawn of each part, by the places where it is hit: pins of one connector are far from each other.
fn symbols(picture: &Picture) -> Vec<(Subject, Rect)> {
    let mut strokes: BTreeMap<Subject, Vec<Rect>> = BTreeMap::new();
    for shape in &picture.shapes {
        let (Some(subject @ Subject::Part(_)), false) = (shape.subject, shape.ink == Ink::Highlight) else { continue };
        let rect = match &shape.form {
            Form::Line { points, .. } | Form::Polygon { points } => bounds(points),
            Form::Circle { centre: c, radius: r, .. } | Form::Arc { centre: c, radius: r, .. } => {
                Some((c.x - r, c.y - r, c.x + r, c.y + r))
            }
            Form::Text { .. } => None,
        };
        strokes.entry(subject).or_default().extend(rect);
    }
    let targets = picture.targets.iter().filter(|target| matches!(target.subject, Subject::Part(_)));
    let symbol = |target: &super::picture::Target| {
        let area: Rect = (target.x, target.y, target.x + target.width, target.y + target.height);
        let meets = |rect: &&Rect| rect.0 <= area.2 && area.0 <= rect.2 && rect.1 <= area.3 && area.1 <= rect.3;
        let of_it = strokes.get(&target.subject).into_iter().flatten().filter(meets).copied();
        (target.subject, of_it.reduce(both).unwrap_or(area))
    };
    targets.map(symbol).collect()
}

fn both(a: Rect, b: Rect) -> Rect {
    (a.0.min(b.0), a.1.min(b.1), a.2.max(b.2), a.3.max(b.3))
}

fn over(area: f32, size: f32) -> f32 {
    if area > 0.0 { OVER + area / size } else { 0.0 }
}

/// What a place costs, whatever stands elsewhere; `near` are the other symbols that may be nearer than the own one.
fn fixed_cost(rect: Rect, own: Rect, size: f32, seen: Rect, near: &[Rect], index: &Index) -> f32 {
    let to_own = apart(rect, own);
    let elsewhere = near.iter().any(|other| apart(*other, rect) <= to_own);
    let whole = (rect.2 - rect.0) * (rect.3 - rect.1);
    let outside = 1.0 - common(rect, seen) / whole;
    over(index.overlap(rect), size)
        + if elsewhere { ELSEWHERE } else { 0.0 }
        + if outside > 1e-3 { OUTSIDE * (0.5 + outside) } else { 0.0 }
        + to_own / size
}

/// Places around a symbol, each with what its side costs.
fn around(own: Rect, (wide, high): (f32, f32), size: f32) -> Vec<(f32, Rect)> {
    let mut places = Vec::new();
    for gap in GAPS.map(|gap| gap * size) {
        for (nth, shift) in SHIFTS.into_iter().enumerate() {
            let top = own.1 + (own.3 - own.1 - high) * shift;
            let left = own.0 + (own.2 - own.0 - wide) * shift;
            let corners =
                [(own.2 + gap, top), (own.0 - gap - wide, top), (left, own.1 - gap - high), (left, own.3 + gap)];
            for (side, (x, y)) in SIDES.into_iter().zip(corners) {
                places.push((side + nth as f32 * 0.1, (x, y, x + wide, y + high)));
            }
        }
        // Aslant: where wires leave a splice on every side there is room between them.
        let (near, left, above) = (gap * ASLANT, own.0 - wide, own.1 - high);
        let slants = [
            (own.2 + near, own.3 + near),
            (own.2 + near, above - near),
            (left - near, own.3 + near),
            (left - near, above - near),
        ];
        for (side, (x, y)) in SLANTS.into_iter().zip(slants) {
            places.push((side, (x, y, x + wide, y + high)));
        }
    }
    places
}
