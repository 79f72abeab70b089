//! Free room on a page: what is taken, and where words still fit.
//!
//! Yields [`Index`], rectangles sorted into cells, so that asking about one place is quick on the largest page, and
//! the rectangles of shapes. Choosing among places is left to those who place.

use std::collections::HashMap;

use super::picture::{Anchor, Form, Point, Shape, text_width};

/// A rectangle as left, top, right, bottom.
pub(super) type Rect = (f32, f32, f32, f32);

/// Rectangles by the cells they touch.
#[derive(Default)]
pub(super) struct Index {
    cells: HashMap<(i32, i32), Vec<Rect>>,
}

impl Index {
    const CELL: f32 = 96.0;

    fn cells_of(rect: Rect) -> impl Iterator<Item = (i32, i32)> {
        let cell = |v: f32| (v / Self::CELL).floor() as i32;
        let (left, right) = (cell(rect.0), cell(rect.2));
        (cell(rect.1)..=cell(rect.3)).flat_map(move |y| (left..=right).map(move |x| (x, y)))
    }

    pub(super) fn add(&mut self, rect: Rect) {
        for cell in Self::cells_of(rect) {
            self.cells.entry(cell).or_default().push(rect);
        }
    }

    /// Area of overlap with what is there.
    pub(super) fn overlap(&self, rect: Rect) -> f32 {
        let mut area = 0.0;
        for cell in Self::cells_of(rect) {
            for other in self.cells.get(&cell).into_iter().flatten() {
                let width = rect.2.min(other.2) - rect.0.max(other.0);
                let height = rect.3.min(other.3) - rect.1.max(other.1);
                if width > 0.0 && height > 0.0 {
                    area += width * height;
                }
            }
        }
        area
    }

    /// Takes the room of a shape's ink.
    pub(super) fn add_shape(&mut self, shape: &Shape) {
        match &shape.form {
            Form::Line { points, closed } => {
                let half = shape.weight / 2.0 + 0.5;
                for s in points.windows(2) {
                    self.add_stroke(s[0], s[1], half);
                }
                if let (true, Some(first), Some(last)) = (*closed, points.first(), points.last()) {
                    self.add_stroke(*last, *first, half);
                }
            }
            Form::Circle { centre, radius, .. } | Form::Arc { centre, radius, .. } => {
                self.add((centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius));
            }
            Form::Polygon { points } => {
                if let Some(rect) = bounds(points) {
                    self.add(rect);
                }
            }
            Form::Text { at, text, size, anchor } => self.add(text_rect(*at, text, *size, *anchor)),
        }
    }

    /// A stroke, an oblique one in short pieces.
    fn add_stroke(&mut self, a: Point, b: Point, half: f32) {
        let pieces = if a.x == b.x || a.y == b.y { 1 } else { (a.distance(b) / 5.0).ceil().clamp(1.0, 200.0) as u16 };
        let at = |i: u16| {
            let share = f32::from(i) / f32::from(pieces);
            Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
        };
        for i in 0..pieces {
            let (p, q) = (at(i), at(i + 1));
            self.add((p.x.min(q.x) - half, p.y.min(q.y) - half, p.x.max(q.x) + half, p.y.max(q.y) + half));
        }
    }
}

/// The least rectangle around some points.
pub(super) fn bounds(points: &[Point]) -> Option<Rect> {
    let first = points.first()?;
    let around = |r: Rect, p: &Point| (r.0.min(p.x), r.1.min(p.y), r.2.max(p.x), r.3.max(p.y));
    Some(points.iter().fold((first.x, first.y, first.x, first.y), around))
}

/// The rectangle of one line of text.
pub(super) fn text_rect(at: Point, text: &str, size: f32, anchor: Anchor) -> Rect {
    let width = text_width(text, size);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - width / 2.0,
        Anchor::End => at.x - width,
    };
    (left, at.y - size * 0.5, left + width, at.y + size * 0.5)
}

/// Area two rectangles have in common.
pub(super) fn common(a: Rect, b: Rect) -> f32 {
    (a.2.min(b.2) - a.0.max(b.0)).max(0.0) * (a.3.min(b.3) - a.1.max(b.1)).max(0.0)
}
