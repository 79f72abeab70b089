//! A hazard as a box with its signal word, after ANSI Z535.4: the word in capitals on its colour, the text beside it.
//!
//! The mark beside the word differs in shape for each level, so that grey print and colour-blind eyes tell them
//! apart: an upright triangle with a bar for danger, a triangle for warning, a diamond for caution.

use egui::{Align2, Frame, Margin, Shape, Stroke, Ui, pos2, vec2};

use crate::study::answer::{Hazard, Level};

use super::super::theme::{self, Palette};
use super::super::tongue::worded;
use super::super::{ids, words};
use super::telling::telling_ui;

/// Height of the strip with the signal word.
const STRIP: f32 = 20.0;
/// Size of its text, the room about that, and the weight of its edge.
const TEXT: f32 = 12.5;
const ABOUT: Margin = Margin { left: 6, right: 6, top: 4, bottom: 5 };
const EDGE: f32 = 1.5;

/// Height of a hazard that is as wide as there is room.
pub fn height(ui: &Ui, hazard: &Hazard) -> f32 {
    let width = ui.available_width() - ABOUT.sum().x - 2.0 * EDGE;
    let text = ui.painter().layout(worded(&hazard.text), theme::plain(TEXT), ui.visuals().text_color(), width);
    STRIP + text.size().y + ABOUT.sum().y + 2.0 * EDGE
}

/// Shows one hazard as wide as there is room; yields the term of the trade in it that was pressed, as
/// [`telling_ui`] does.
pub fn signal_ui(ui: &mut Ui, hazard: &Hazard, palette: &Palette) -> Option<usize> {
    let id = ids::hazard(ui.scope_id(), hazard);
    box_ui(ui, id, (hazard.level, &words::at(&hazard.at), &worded(&hazard.text)), palette)
}

/// Shows a level with where and what, in the form of a hazard; yields the term that was pressed.
pub fn box_ui(ui: &mut Ui, id: egui::Id, (level, at, text): (Level, &str, &str), palette: &Palette) -> Option<usize> {
    let word = words::signal(level);
    let (fill, ink) = palette.signal(level);
    let told = format!("{word}: {at} {text}");
    let frame = Frame::new().fill(palette.sheet).stroke(Stroke::new(EDGE, palette.line)).corner_radius(2);
    let inside = ui.push_id(id, |ui| {
        frame.show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let (_, strip) = ui.allocate_space(vec2(ui.available_width(), STRIP));
            let painter = ui.painter();
            painter.rect_filled(strip, 2.0, fill);
            mark(painter, pos2(strip.left() + 13.0, strip.center().y), level, ink);
            let middle = |x: f32| pos2(x, strip.center().y);
            painter.text(middle(strip.left() + 26.0), Align2::LEFT_CENTER, word, theme::bold(13.0), ink);
            painter.text(middle(strip.right() - 7.0), Align2::RIGHT_CENTER, at, theme::plain(12.0), ink);
            Frame::new()
                .inner_margin(ABOUT)
                .show(ui, |ui| telling_ui(ui, (text, &told), &theme::plain(TEXT), palette))
                .inner
        })
    });
    inside.inner.inner
}

/// Draws the mark of a level.
pub fn mark(painter: &egui::Painter, at: egui::Pos2, level: Level, ink: egui::Color32) {
    let triangle = [vec2(0.0, -7.0), vec2(7.5, 6.0), vec2(-7.5, 6.0)].map(|v| at + v).to_vec();
    match level {
        Level::Danger => {
            painter.add(Shape::convex_polygon(triangle, ink, Stroke::NONE));
            painter.hline(at.x - 8.0..=at.x + 8.0, at.y + 8.0, Stroke::new(1.6, ink));
        }
        Level::Warning => {
            painter.add(Shape::closed_line(triangle, Stroke::new(1.8, ink)));
        }
        Level::Caution => {
            let diamond = [vec2(0.0, -7.0), vec2(7.0, 0.0), vec2(0.0, 7.0), vec2(-7.0, 0.0)].map(|v| at + v).to_vec();
            painter.add(Shape::closed_line(diamond, Stroke::new(1.8, ink)));
        }
    }
}
