//! A drawing made fit for paper: no text smaller than can be read there.
//!
//! Yields [`on_paper`]: the same picture with its smallest texts raised to [`LEAST_POINTS`]; where a raised one would
//! run into something it is moved a little, and where there is no room it is left out, unless the page names it. Lines
//! and symbols stay as they are. How large the drawing comes out is the page's matter.

use std::collections::BTreeSet;

use crate::drawing::{Anchor, Form, Ink, Picture, Point, Shape};
use crate::study::answer::Subject;

use super::font::{self, Weight};

/// Least height of printed letters in points (common practice, no source).
pub(super) const LEAST_POINTS: f32 = 5.6;
/// How much a text may be raised over its own size; beyond that the drawing is too large for its paper.
const MOST_RAISED: f32 = 2.2;
/// What a line of text covers upwards and downwards of its middle, over the font size.
const HALF_HEIGHT: f32 = 0.40;
/// Units left blank before and after a text.
const HAIR: f32 = 0.8;

/// Left, top, right, bottom.
type Rect = (f32, f32, f32, f32);

/// The picture as printed at `scale` points to the unit. `named` is kept however crowded it is.
pub(super) fn on_paper(picture: &Picture, scale: f32, named: &BTreeSet<Subject>) -> Picture {
    let least = LEAST_POINTS / scale;
    let mut printed = picture.clone();
    // Texts that stay as they are come first: the raised ones make way for them.
    let mut taken: Vec<Rect> = Vec::new();
    let mut raised = Vec::new();
    for (i, shape) in picture.shapes.iter().enumerate() {
        match &shape.form {
            Form::Text { size, .. } if *size < least => raised.push(i),
            Form::Text { .. } => taken.extend(rect(shape)),
            _ => taken.extend(strokes(shape)),
        }
    }
    let mut left_out = BTreeSet::new();
    for i in raised {
        let before = picture.shapes[i].clone();
        let to = |by: Point| raised_to(&before, least, by);
        let own = rect(&before).map_or(0.0, |own| crowd(&taken, own));
        let best = moves(&before)
            .into_iter()
            .filter_map(|by| Some((crowd(&taken, rect(&to(by))?), by)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((crowded, by)) = best else { continue };
        let is_named = before.subject.is_some_and(|subject| named.contains(&subject));
        if crowded > own + 1.0 && !is_named {
            left_out.insert(i);
            continue;
        }
        printed.shapes[i] = to(by);
        taken.extend(rect(&printed.shapes[i]));
    }
    let mut i = 0;
    printed.shapes.retain(|_| {
        i += 1;
        !left_out.contains(&(i - 1))
    });
    printed
}

/// The shape with its text `least` high, moved.
fn raised_to(shape: &Shape, least: f32, by: Point) -> Shape {
    let mut shape = shape.clone();
    if let Form::Text { at, size, .. } = &mut shape.form {
        *size = least.min(*size * MOST_RAISED);
        *at = Point::new(at.x + by.x, at.y + by.y);
    }
    shape
}

/// Where a raised text may go: its own place first, then a little aside, away from what it names.
fn moves(shape: &Shape) -> Vec<Point> {
    let out = match &shape.form {
        Form::Text { anchor: Anchor::End, .. } => -1.0,
        _ => 1.0,
    };
    let mut moves = vec![Point::new(0.0, 0.0)];
    for step in [1.5, 3.0, 4.5, 6.0] {
        moves.extend([(0.0, -step), (0.0, step), (out * step, 0.0), (-out * step, 0.0)].map(|(x, y)| Point::new(x, y)));
    }
    moves
}

/// What a text covers.
fn rect(shape: &Shape) -> Option<Rect> {
    let Form::Text { at, text, size, anchor } = &shape.form else { return None };
    let weight = if shape.ink == Ink::TagText { Weight::Bold } else { Weight::Plain };
    let width = font::width(text, *size, weight);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - width / 2.0,
        Anchor::End => at.x - width,
    };
    Some((left - HAIR, at.y - HALF_HEIGHT * size, left + width + HAIR, at.y + HALF_HEIGHT * size))
}

/// What strokes and fills cover; a slanting stroke in small steps, paper-coloured fills not at all.
fn strokes(shape: &Shape) -> Vec<Rect> {
    if matches!(shape.ink, Ink::SymbolFill | Ink::Halo | Ink::Highlight) {
        return Vec::new();
    }
    let half = shape.weight / 2.0;
    match &shape.form {
        Form::Text { .. } => Vec::new(),
        Form::Circle { centre, radius, .. } => {
            let reach = radius + half;
            vec![(centre.x - reach, centre.y - reach, centre.x + reach, centre.y + reach)]
        }
        Form::Arc { centre, radius, .. } => {
            vec![(centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius)]
        }
        Form::Polygon { points } => along(points, true, 0.5),
        Form::Line { points, closed } => along(points, *closed, half),
    }
}

fn along(points: &[Point], closed: bool, half: f32) -> Vec<Rect> {
    let mut found = Vec::new();
    let back = points.last().zip(points.first()).filter(|_| closed).map(|(a, b)| [*a, *b]);
    for [a, b] in points.windows(2).map(|pair| [pair[0], pair[1]]).chain(back) {
        let steps = if a.x == b.x || a.y == b.y { 1 } else { ((a.distance(b) / 4.0) as usize).clamp(1, 64) };
        let at = |i: usize| {
            let share = i as f32 / steps as f32;
            Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
        };
        for i in 0..steps {
            let (p, q) = (at(i), at(i + 1));
            found.push((p.x.min(q.x) - half, p.y.min(q.y) - half, p.x.max(q.x) + half, p.y.max(q.y) + half));
        }
    }
    found
}

/// Area that a rectangle shares with what is there.
fn crowd(taken: &[Rect], own: Rect) -> f32 {
    let shared = |other: &Rect| {
        let (width, height) = (own.2.min(other.2) - own.0.max(other.0), own.3.min(other.3) - own.1.max(other.1));
        if width > 0.0 && height > 0.0 { width * height } else { 0.0 }
    };
    taken.iter().map(shared).sum()
}
