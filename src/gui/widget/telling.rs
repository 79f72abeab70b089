//! A sentence whose terms of the trade can be pressed to have them explained.
//!
//! Which words are terms is [`study::terms`](crate::study::terms)'s; what they mean is shown by whoever is told that one was pressed.

use std::ops::Range;

use egui::text::{CCursor, LayoutJob, TextFormat};
use egui::text_selection::LabelSelectionState;
use egui::{
    CursorIcon, FontId, Galley, Order, PointerButton, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2,
    WidgetInfo, vec2,
};

use crate::study::terms::{pieces, terms};

use super::super::theme::Palette;
use super::super::tongue::{spoken, t};
use super::target;

/// A term in a sentence.
struct Found<'a> {
    /// Its place in [`terms`].
    place: usize,
    /// As it stands in the sentence.
    text: &'a str,
    /// Which letters of the sentence it is.
    letters: Range<usize>,
}

/// A term in a sentence that is shown.
struct Shown<'a> {
    /// Its place in [`terms`].
    place: usize,
    /// As it stands in the sentence.
    text: &'a str,
    /// Where it stands.
    rect: Rect,
}

/// Shows a sentence. Its terms are underlined and take the keyboard; yields the place in [`terms`] of one that was
/// pressed. A screen reader reads `told`, and the terms after it.
pub fn telling_ui(ui: &mut Ui, (sentence, told): (&str, &str), font: &FontId, palette: &Palette) -> Option<usize> {
    // What stands beside the pointer is gone before it is reached.
    let can_press = ui.layer_id().order != Order::Tooltip;
    let (mut job, found) = set(sentence, font, palette, can_press);
    job.wrap.max_width = ui.available_width();
    let galley = ui.painter().layout_job(job);
    let selectable = can_press && ui.style().interaction.selectable_labels;
    // Where fingers press, a term has their height of its own: half of it above its line and half below.
    let least = if found.is_empty() || selectable { 0.0 } else { target(ui.ctx()) };
    let sense = if selectable { Sense::click_and_drag() - Sense::FOCUSABLE } else { Sense::HOVER };
    let (rect, whole) = ui.allocate_exact_size(galley.size().max(vec2(0.0, least)), sense);
    whole.widget_info(|| WidgetInfo::labeled(Role::Label, true, told));
    let at = rect.left_center() - vec2(0.0, galley.size().y / 2.0);
    let shown: Vec<Shown<'_>> = found
        .into_iter()
        .map(|Found { place, text, letters }| Shown { place, text, rect: place_of(&galley, at, letters) })
        .collect();
    if ui.is_rect_visible(rect) {
        if selectable {
            LabelSelectionState::label_text_selection(ui, &whole, at, galley, palette.text, Stroke::NONE);
        } else {
            ui.painter().galley(at, galley, palette.text);
        }
    }
    terms_ui(ui, &whole, &shown, least, palette)
}

/// A sentence with its terms underlined, and these.
fn set<'a>(sentence: &'a str, font: &FontId, palette: &Palette, can_press: bool) -> (LayoutJob, Vec<Found<'a>>) {
    let plain = TextFormat::simple(font.clone(), palette.text);
    let mut job = LayoutJob::default();
    let mut found = Vec::new();
    let mut letter = 0;
    for piece in pieces(spoken(), sentence) {
        let after = letter + piece.text.chars().count();
        match piece.term.filter(|_| can_press) {
            Some(place) => {
                found.push(Found { place, text: piece.text, letters: letter..after });
                job.append(piece.text, 0.0, TextFormat { underline: Stroke::new(1.0, palette.text), ..plain.clone() });
            }
            None => job.append(piece.text, 0.0, plain.clone()),
        }
        letter = after;
    }
    (job, found)
}

/// Where letters stand; of a term that goes on in the next line, the part with its beginning.
fn place_of(galley: &Galley, at: Pos2, letters: Range<usize>) -> Rect {
    let first = galley.pos_from_cursor(CCursor { index: letters.start.into(), prefer_next_row: true });
    let ends = letters
        .clone()
        .rev()
        .map(|end| galley.pos_from_cursor(CCursor { index: (end + 1).into(), prefer_next_row: false }));
    let end = ends.into_iter().find(|end| (end.min.y - first.min.y).abs() < 1.0).unwrap_or(first);
    Rect::from_min_max(first.min, end.max).translate(at.to_vec2())
}

/// What is pressed over a sentence's terms. Where what fingers press of two terms lies over each other, the nearer one is
/// meant.
fn terms_ui(ui: &Ui, whole: &Response, shown: &[Shown<'_>], least: f32, palette: &Palette) -> Option<usize> {
    let mut pressed = None;
    for (n, term) in shown.iter().enumerate() {
        let rect =
            within(whole.rect, Rect::from_center_size(term.rect.center(), term.rect.size().max(Vec2::splat(least))));
        let response = ui.interact(rect, whole.id.with(("term", n)), Sense::click());
        let said = t!("telling-what-it-means", text = term.text);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &said));
        if response.has_focus() {
            let ring = Stroke::new(2.0, palette.focus);
            ui.painter().rect_stroke(term.rect.expand(1.0), 2.0, ring, StrokeKind::Outside);
        }
        if response.clicked_by(PointerButton::Primary) {
            pressed = response.interact_pointer_pos().and_then(|at| nearest(shown, at)).or(Some(term.place));
        } else if response.clicked() {
            pressed = Some(term.place);
        }
        response.on_hover_text(terms(spoken())[term.place].says).on_hover_cursor(CursorIcon::Help);
    }
    pressed
}

/// Moved as little as can be so that it lies within `outer`, if it is not larger.
fn within(outer: Rect, rect: Rect) -> Rect {
    let by = |from: f32, to: f32, least: f32, most: f32| (least - from).max(0.0) + (most - to).min(0.0);
    rect.translate(vec2(
        by(rect.left(), rect.right(), outer.left(), outer.right().max(outer.left() + rect.width())),
        by(rect.top(), rect.bottom(), outer.top(), outer.bottom()),
    ))
}

fn nearest(shown: &[Shown<'_>], at: Pos2) -> Option<usize> {
    let away = |term: &&Shown<'_>| term.rect.distance_sq_to_pos(at);
    shown.iter().min_by(|a, b| away(a).total_cmp(&away(b))).map(|term| term.place)
}
