//! What lies on the corners of the drawing: the suggestion and the buttons that move the sheet.
//!
//! Small and out of the way; every one of them has a key as well.

use egui::{Align, Id, Layout, Rect, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use super::super::command::{Command, Commands, Move};
use super::super::seen::Seen;
use super::super::theme;

/// One press of a zoom button.
pub const ZOOM_STEP: f32 = 1.25;

/// Shows the buttons and the suggestion over `board`.
pub fn overlay_ui(ui: &mut Ui, board: Rect, seen: &Seen<'_>, commands: &mut Commands) {
    let corner = Rect::from_min_max(board.right_bottom() - vec2(230.0, 40.0), board.right_bottom() - vec2(8.0, 8.0));
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
    suggestion_ui(ui, board, seen, commands);
}

fn suggestion_ui(ui: &mut Ui, board: Rect, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(suggestion) = &seen.desk.suggestion else { return };
    let palette = &seen.palette;
    let button = vec2(88.0, 28.0);
    let width = (board.width() - 260.0).clamp(180.0, 440.0);
    let text = ui.painter().layout(suggestion.clone(), theme::plain(13.0), palette.text, width - button.x - 24.0);
    let size = vec2(width, text.size().y.max(button.y) + 14.0);
    let card = Rect::from_min_size(pos2(board.left() + 8.0, board.bottom() - 8.0 - size.y), size);
    ui.painter().rect_filled(card, 2.0, palette.ground);
    ui.painter().rect_stroke(card, 2.0, Stroke::new(1.5, palette.line), StrokeKind::Inside);
    let words = Rect::from_min_size(card.min + vec2(8.0, 7.0), text.size());
    let label = ui.interact(words, Id::unique("suggestion"), Sense::HOVER);
    label.widget_info(|| WidgetInfo::labeled(Role::Label, true, suggestion));
    ui.painter().galley(words.min, text, palette.text);
    let put_away = Rect::from_min_size(pos2(card.right() - 8.0 - button.x, card.top() + 7.0), button);
    if ui.put(put_away, egui::Button::new("Put away")).clicked() {
        commands.push(Command::CloseSuggestion);
    }
}
