//! What is doubtful about the circuit being built, shown where it is: a triangle with the finding's number and the word.
//!
//! Finding it is the circuit's business. Yields the findings on a thing and paints their signs; the list with the same
//! numbers is the drawer's.

use egui::{Align2, Color32, Painter, Pos2, Shape, Stroke, vec2};

use crate::circuit::diagnostic::Finding;
use crate::study::answer::Subject;

use super::super::build::subject_of;
use super::super::seen::Seen;
use super::super::theme;

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
    about(seen, subject).map(|(number, finding)| format!(", doubtful {number}: {}", finding.message)).collect()
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

/// The sign: a triangle on its base with the number in it, and the word below.
pub fn sign(painter: &Painter, seen: &Seen<'_>, at: Pos2, number: usize) {
    let palette = &seen.palette;
    let corners = vec![at + vec2(0.0, -13.0), at + vec2(12.0, 8.0), at + vec2(-12.0, 8.0)];
    painter.add(Shape::convex_polygon(corners, palette.sheet, Stroke::new(2.0, palette.text)));
    let ink: Color32 = palette.text;
    painter.text(at + vec2(0.0, 1.0), Align2::CENTER_CENTER, number, theme::bold(11.0), ink);
    let words = painter.layout_no_wrap("doubtful".to_owned(), theme::plain(palette.letters(10.5)), ink);
    let place = egui::Rect::from_center_size(at + vec2(0.0, 15.0), words.size());
    painter.rect_filled(place.expand2(vec2(2.0, 0.0)), 2.0, palette.sheet);
    painter.galley(place.min, words, ink);
}
