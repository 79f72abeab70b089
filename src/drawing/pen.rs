//! A pen: puts shapes on a picture in coordinates that count from one place.
//!
//! Yields [`Pen`]. It may turn left for right, so that one description of a symbol serves both ways round.

use crate::study::answer::Subject;

use super::picture::{Anchor, Dash, Form, Ink, Point, Shape};

/// Stroke of symbols in units.
pub(super) const STROKE: f32 = 1.6;
/// Thin stroke.
pub(super) const THIN: f32 = 1.0;
/// Heavy stroke.
pub(super) const HEAVY: f32 = 2.6;

/// Draws with an origin, for one subject.
pub(super) struct Pen<'a> {
    pub(super) shapes: &'a mut Vec<Shape>,
    pub(super) origin: Point,
    /// -1 where left and right are exchanged, else 1.
    pub(super) across: f32,
    /// Height about which up and down are exchanged; none where they are not.
    pub(super) upside_down: Option<f32>,
    pub(super) subject: Option<Subject>,
}

impl Pen<'_> {
    fn at(&self, (x, y): (f32, f32)) -> Point {
        let y = self.upside_down.map_or(y, |height| height - y);
        Point::new(self.origin.x + x * self.across, self.origin.y + y)
    }

    fn put(&mut self, form: Form, ink: Ink, weight: f32, dash: Dash) {
        self.shapes.push(Shape { form, ink, weight, dash, subject: self.subject });
    }

    pub(super) fn line(&mut self, ink: Ink, weight: f32, points: &[(f32, f32)]) {
        let points = points.iter().map(|p| self.at(*p)).collect();
        self.put(Form::Line { points, closed: false }, ink, weight, Dash::Solid);
    }

    pub(super) fn dashed(&mut self, ink: Ink, weight: f32, dash: Dash, points: &[(f32, f32)]) {
        let points = points.iter().map(|p| self.at(*p)).collect();
        self.put(Form::Line { points, closed: false }, ink, weight, dash);
    }

    pub(super) fn outline(&mut self, ink: Ink, weight: f32, points: &[(f32, f32)]) {
        let points = points.iter().map(|p| self.at(*p)).collect();
        self.put(Form::Line { points, closed: true }, ink, weight, Dash::Solid);
    }

    pub(super) fn fill(&mut self, ink: Ink, points: &[(f32, f32)]) {
        let points = points.iter().map(|p| self.at(*p)).collect();
        self.put(Form::Polygon { points }, ink, THIN, Dash::Solid);
    }

    /// A filled and outlined rectangle.
    pub(super) fn boxed(&mut self, fill: Ink, left: f32, top: f32, right: f32, bottom: f32) {
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        self.fill(fill, &corners);
        self.outline(Ink::Symbol, STROKE, &corners);
    }

    pub(super) fn disc(&mut self, ink: Ink, centre: (f32, f32), radius: f32) {
        let centre = self.at(centre);
        self.put(Form::Circle { centre, radius, filled: true }, ink, THIN, Dash::Solid);
    }

    pub(super) fn ring(&mut self, ink: Ink, weight: f32, centre: (f32, f32), radius: f32) {
        let centre = self.at(centre);
        self.put(Form::Circle { centre, radius, filled: false }, ink, weight, Dash::Solid);
    }

    /// An arc as drawn the right way round; turned with the pen.
    pub(super) fn arc(&mut self, ink: Ink, weight: f32, centre: (f32, f32), radius: f32, (from, to): (f32, f32)) {
        let (mut from, mut to) = (from, to);
        if self.across < 0.0 {
            (from, to) = (180.0 - to, 180.0 - from);
        }
        if self.upside_down.is_some() {
            (from, to) = (-to, -from);
        }
        let centre = self.at(centre);
        self.put(Form::Arc { centre, radius, from_degrees: from, to_degrees: to }, ink, weight, Dash::Solid);
    }

    pub(super) fn text(&mut self, ink: Ink, size: f32, anchor: Anchor, at: (f32, f32), text: impl Into<String>) {
        let text = text.into();
        if text.is_empty() {
            return;
        }
        let at = self.at(at);
        let anchor = match anchor {
            Anchor::Start if self.across < 0.0 => Anchor::End,
            Anchor::End if self.across < 0.0 => Anchor::Start,
            same => same,
        };
        self.put(Form::Text { at, text, size, anchor }, ink, THIN, Dash::Solid);
    }
}
