//! A hazard as a box with its signal word, after ANSI Z535.4: the word in capitals on its colour, the text beside it.
//!
//! The mark beside the word differs in shape for each level, so that grey print and colour-blind eyes tell them
//! apart: an upright triangle with a bar for danger, a triangle for warning, a diamond for caution.

use egui::{Align2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::study::answer::{Hazard, Level};

use super::super::theme::{self, Palette};
use super::super::tongue::worded;
use super::super::{ids, words};

/// Height of the strip with the signal word.
const STRIP: f32 = 20.0;

/// Shows one hazard as wide as there is room.
pub fn signal_ui(ui: &mut Ui, hazard: &Hazard, palette: &Palette) {
    let id = ids::hazard(ui.scope_id(), hazard);
    box_ui(ui, id, (hazard.level, &hazard.at, &worded(&hazard.text)), palette);
}

/// Shows a level with where and what, in the form of a hazard.
pub fn box_ui(ui: &mut Ui, id: egui::Id, (level, at, text): (Level, &str, &str), palette: &Palette) {
    let word = words::signal(level);
    let (fill, ink) = palette.signal(level);
    let width = ui.available_width();
    let label = format!("{word}: {at} {text}");
    let text = ui.painter().layout(text.to_owned(), theme::plain(12.5), palette.text, width - 14.0);
    let (_, rect) = ui.allocate_space(vec2(width, STRIP + text.size().y + 9.0));
    let response = ui.interact(rect, id, Sense::HOVER);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &label));
    let painter = ui.painter();
    painter.rect_filled(rect, 2.0, palette.sheet);
    let strip = Rect::from_min_size(rect.min, vec2(rect.width(), STRIP));
    painter.rect_filled(strip, 2.0, fill);
    mark(painter, pos2(strip.left() + 13.0, strip.center().y), level, ink);
    painter.text(pos2(strip.left() + 26.0, strip.center().y), Align2::LEFT_CENTER, word, theme::bold(13.0), ink);
    painter.text(pos2(strip.right() - 7.0, strip.center().y), Align2::RIGHT_CENTER, at, theme::plain(12.0), ink);
    painter.rect_stroke(rect, 2.0, Stroke::new(1.5, palette.line), egui::StrokeKind::Inside);
    painter.galley(pos2(rect.left() + 7.0, rect.top() + STRIP + 4.0), text, palette.text);
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
