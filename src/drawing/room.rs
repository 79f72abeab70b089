//! Free room on a page: what is taken, and where words still fit.
//!
//! Yields [`Index`], rectangles sorted into cells, so that asking about one place is quick on the largest page, and
//! the rectangles of shapes. Choosing among places is left to those who place.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;

use super::picture::{Anchor, Form, Point, Shape, text_width};

/// A rectangle as left, top, right, bottom.
pub(super) type Rect = (f32, f32, f32, f32);

/// Rectangles by the cells they touch; long thin ones by their left or upper edge instead.
#[derive(Default)]
pub(super) struct Index {
    cells: FxHashMap<(i32, i32), Vec<Rect>>,
    tall: BTreeMap<i32, Vec<Rect>>,
    wide: BTreeMap<i32, Vec<Rect>>,
}

impl Index {
    const CELL: f32 = 96.0;
    /// Longer ones than this count as long, if they are no wider than `THIN`.
    const LONG: f32 = 600.0;
    const THIN: f32 = 24.0;

    fn cells_of(rect: Rect) -> impl Iterator<Item = (i32, i32)> {
        let cell = |v: f32| (v / Self::CELL).floor() as i32;
        let (left, right) = (cell(rect.0), cell(rect.2));
        (cell(rect.1)..=cell(rect.3)).flat_map(move |y| (left..=right).map(move |x| (x, y)))
    }

    pub(super) fn add(&mut self, rect: Rect) {
        let (width, height) = (rect.2 - rect.0, rect.3 - rect.1);
        if height > Self::LONG && width <= Self::THIN {
            self.tall.entry(rect.0.floor() as i32).or_default().push(rect);
            return;
        }
        if width > Self::LONG && height <= Self::THIN {
            self.wide.entry(rect.1.floor() as i32).or_default().push(rect);
            return;
        }
        for cell in Self::cells_of(rect) {
            self.cells.entry(cell).or_default().push(rect);
        }
    }

    /// Area of overlap with what is there.
    pub(super) fn overlap(&self, rect: Rect) -> f32 {
        let near = |low: f32, high: f32| (low - Self::THIN).floor() as i32 - 1..=high.ceil() as i32;
        let tall = self.tall.range(near(rect.0, rect.2)).flat_map(|(_, rects)| rects);
        let wide = self.wide.range(near(rect.1, rect.3)).flat_map(|(_, rects)| rects);
        let cells = Self::cells_of(rect).flat_map(|cell| self.cells.get(&cell).into_iter().flatten());
        cells.chain(tall).chain(wide).map(|other| common(*other, rect)).sum()
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

/// The rectangle of one line of text, by the estimate of its width: left, top, right, bottom.
pub fn text_rect(at: Point, text: &str, size: f32, anchor: Anchor) -> Rect {
    let width = text_width(text, size);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - width / 2.0,
        Anchor::End => at.x - width,
    };
    (left, at.y - size * 0.5, left + width, at.y + size * 0.5)
}

/// Distance between two rectangles.
pub(super) fn apart(a: Rect, b: Rect) -> f32 {
    let gap = |low: f32, high: f32| low.max(high).max(0.0);
    gap(a.0 - b.2, b.0 - a.2).hypot(gap(a.1 - b.3, b.1 - a.3))
}

/// Area two rectangles have in common.
pub(super) fn common(a: Rect, b: Rect) -> f32 {
    (a.2.min(b.2) - a.0.max(b.0)).max(0.0) * (a.3.min(b.3) - a.1.max(b.1)).max(0.0)
}
