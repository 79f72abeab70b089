//! What is doubtful about the circuit being built, shown where it is: a triangle with the finding's number and the word.
//!
//! Finding it is the circuit's business. Yields the findings on a thing and paints their signs; the list with the same
//! numbers is the drawer's.

use std::sync::Arc;

use egui::{Align2, Color32, Galley, Painter, Rect, Shape, Stroke, Vec2, vec2};

use crate::circuit::diagnostic::Finding;
use crate::study::answer::Subject;

use super::super::build::subject_of;
use super::super::seen::Seen;
use super::super::theme;
use super::super::tongue::t;

/// Room for the triangle, its middle below its upper edge, and the edge beside the word.
const TRIANGLE: Vec2 = vec2(26.0, 23.0);
const HEAD: f32 = 14.0;
const EDGE: f32 = 2.0;

/// The findings on a thing, each with its number in the list.
pub fn about<'a>(seen: &Seen<'a>, subject: Subject) -> impl Iterator<Item = (usize, &'a Finding)> {
    let circuit = seen.bench.circuit();
    let all = seen.studies.doubtful().iter().enumerate();
    all.filter(move |(_, finding)| subject_of(circuit, &finding.subject) == Some(subject))
        .map(|(place, finding)| (place + 1, finding))
}

/// What a screen reader says beside the name of a thing.
pub fn told(seen: &Seen<'_>, subject: Subject) -> String {
    if !seen.desk.is_building() {
        return String::new();
    }
    about(seen, subject).map(|(number, finding)| t!("doubt-doubtful", number, message = finding.message)).collect()
}

/// The things with findings, with the number of the first.
pub fn places(seen: &Seen<'_>) -> Vec<(Subject, usize)> {
    if !seen.desk.is_building() {
        return Vec::new();
    }
    let circuit = seen.bench.circuit();
    let mut places: Vec<(Subject, usize)> = Vec::new();
    for (place, finding) in seen.studies.doubtful().iter().enumerate() {
        if let Some(subject) = subject_of(circuit, &finding.subject)
            && places.iter().all(|(known, _)| *known != subject)
        {
            places.push((subject, place + 1));
        }
    }
    places
}

/// Size of a sign, in points.
pub fn size(painter: &Painter, seen: &Seen<'_>) -> Vec2 {
    let words = word(painter, seen).size();
    vec2((words.x + 2.0 * EDGE).max(TRIANGLE.x), TRIANGLE.y + words.y)
}

/// The sign: a triangle on its base with the number in it, and the word below.
pub fn sign(painter: &Painter, seen: &Seen<'_>, place: Rect, number: usize) {
    let palette = &seen.palette;
    let at = place.center_top() + vec2(0.0, HEAD);
    let corners = vec![at + vec2(0.0, -13.0), at + vec2(12.0, 8.0), at + vec2(-12.0, 8.0)];
    painter.add(Shape::convex_polygon(corners, palette.sheet, Stroke::new(2.0, palette.text)));
    let ink: Color32 = palette.text;
    painter.text(at + vec2(0.0, 1.0), Align2::CENTER_CENTER, number, theme::bold(11.0), ink);
    let words = word(painter, seen);
    let below = Rect::from_min_max(place.left_top() + vec2(0.0, TRIANGLE.y), place.max);
    let below = Rect::from_center_size(below.center(), words.size());
    painter.rect_filled(below.expand2(vec2(EDGE, 0.0)), 2.0, palette.sheet);
    painter.galley(below.min, words, ink);
}

fn word(painter: &Painter, seen: &Seen<'_>) -> Arc<Galley> {
    let font = theme::plain(seen.palette.letters(10.5));
    painter.layout_no_wrap(t!("doubt-doubtful-2").to_owned(), font, seen.palette.text)
}
