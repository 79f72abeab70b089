//! A sentence whose terms of the trade can be pressed to have them explained.
//!
//! Which words are terms is [`study::terms`](crate::study::terms)'s; what they mean is shown by whoever is told that one was pressed.

use egui::{FontId, Label, RichText, Sense, Ui};

use crate::study::terms::{pieces, terms};

use super::super::theme::Palette;
use super::super::tongue::{spoken, t};

/// Shows a sentence. Its terms are underlined and take the keyboard; yields the place in [`terms`] of one that was
/// pressed.
pub fn telling_ui(ui: &mut Ui, sentence: &str, font: &FontId, palette: &Palette) -> Option<usize> {
    let mut pressed = None;
    let whole = ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.spacing_mut().interact_size.y = 0.0;
        for piece in pieces(spoken(), sentence) {
            let text = RichText::new(piece.text).font(font.clone()).color(palette.text);
            let Some(place) = piece.term else {
                ui.label(text);
                continue;
            };
            let label = Label::new(text.underline()).sense(Sense::click()).selectable(false);
            let said = t!("telling-what-it-means", text = piece.text);
            let term = ui.add(label).on_hover_text(terms(spoken())[place].says).on_hover_cursor(egui::CursorIcon::Help);
            term.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &said));
            if term.clicked() {
                pressed = Some(place);
            }
        }
    });
    // Read out whole, and its terms after it.
    whole.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, sentence));
    pressed
}
