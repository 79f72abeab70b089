//! What lies on the corner of the drawing: the buttons that move the sheet.
//!
//! Small and out of the way; every one of them has a key as well.

use egui::{Align, Layout, Rect, Ui, UiBuilder, vec2};

use super::super::board::view::CORNER;
use super::super::command::{Command, Commands, Move};

/// One press of a zoom button.
pub const ZOOM_STEP: f32 = 1.25;

/// Shows the buttons over `board`.
pub fn overlay_ui(ui: &mut Ui, board: Rect, commands: &mut Commands) {
    let corner = Rect::from_min_max(board.right_bottom() - CORNER, board.right_bottom() - vec2(8.0, 8.0));
    ui.scope_builder(UiBuilder::new().max_rect(corner).layout(Layout::right_to_left(Align::Center)), |ui| {
        let button = |ui: &mut Ui, text: &str, name: &str, hint: &str| {
            ui.add(egui::Button::new(text).min_size(vec2(36.0, 32.0)))
                .on_hover_text(hint)
                .accessible_name(name)
                .clicked()
        };
        if button(ui, "+", "Zoom in", "Nearer (+)") {
            commands.push(Command::View(Move::Zoom(ZOOM_STEP)));
        }
        if button(ui, "Whole sheet", "Whole sheet", "See all of it (F)") {
            commands.push(Command::View(Move::Fit));
        }
        if button(ui, "\u{2212}", "Zoom out", "Further (\u{2212})") {
            commands.push(Command::View(Move::Zoom(1.0 / ZOOM_STEP)));
        }
    });
}
