//! What lies on the corners of the drawing: the suggestion and the buttons that move the sheet.
//!
//! Small and out of the way; every one of them has a key as well.

use egui::{Align, Frame, Layout, Margin, Rect, RichText, Stroke, Ui, UiBuilder, pos2, vec2};

use super::super::command::{Command, Commands, Move};
use super::super::seen::Seen;

/// One press of a zoom button.
pub const ZOOM_STEP: f32 = 1.25;

/// Shows the buttons and the suggestion over `board`.
pub fn overlay_ui(ui: &mut Ui, board: Rect, seen: &Seen<'_>, commands: &mut Commands) {
    let corner = Rect::from_min_max(board.right_bottom() - vec2(200.0, 38.0), board.right_bottom() - vec2(6.0, 6.0));
    ui.scope_builder(UiBuilder::new().max_rect(corner).layout(Layout::right_to_left(Align::Max)), |ui| {
        let button = |ui: &mut Ui, text: &str, name: &str, hint: &str| {
            ui.add(egui::Button::new(text).min_size(vec2(36.0, 32.0))).on_hover_text(hint).accessible_name(name).clicked()
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
    let Some(suggestion) = &seen.desk.suggestion else { return };
    let width = (board.width() - 230.0).clamp(200.0, 470.0);
    let card = Rect::from_min_max(
        pos2(board.left() + 8.0, board.bottom() - 86.0),
        pos2(board.left() + 8.0 + width, board.bottom() - 8.0),
    );
    ui.scope_builder(UiBuilder::new().max_rect(card).layout(Layout::bottom_up(Align::Min)), |ui| {
        let frame = Frame::new().fill(seen.palette.ground).stroke(Stroke::new(1.5, seen.palette.line));
        frame.inner_margin(Margin::same(7)).show(ui, |ui| {
            ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
                if ui.button("Put away").clicked() {
                    commands.push(Command::CloseSuggestion);
                }
                ui.with_layout(Layout::left_to_right(Align::Min).with_main_wrap(true), |ui| {
                    ui.label(RichText::new(suggestion).color(seen.palette.text));
                });
            });
        });
    });
}
