//! The card for the cab, looked at as it will be printed, and written to a file.
//!
//! The page is found and set by the study and the report, beside the window; here it is only shown. Which form it is
//! written in, the file's ending says.

use std::path::PathBuf;
use std::sync::Arc;

use egui::{RichText, ScrollArea, TextEdit, TextureHandle, TextureOptions, Ui, vec2};

use crate::report::Size;

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::studies::{Awaited, CardPage};
use super::super::tongue::t;
use super::super::widget::both_ways;
use super::super::{theme, words};

/// Height of all but the page.
const AROUND: f32 = 116.0;

/// Least height of the page where it is scrolled.
const LEAST: f32 = 90.0;

/// What the dialog keeps between frames.
#[derive(Clone, Default)]
pub struct CardState {
    /// The page that is shown, and its picture on the screen.
    of: String,
    shown: Option<TextureHandle>,
    path: Option<String>,
}

impl CardState {
    /// Lets go of the picture, for it is large.
    pub fn put_away(&mut self) {
        self.shown = None;
    }
}

impl std::fmt::Debug for CardState {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("CardState").field("path", &self.path).finish_non_exhaustive()
    }
}

/// Shows the card.
pub fn card_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut CardState, height: f32, commands: &mut Commands) {
    let text = |words: String| RichText::new(words).color(seen.palette.text);
    ui.horizontal_wrapped(|ui| {
        ui.label(text(t!("card-card-for-the-cab").to_owned()).font(theme::bold(16.0)));
        ui.add_space(12.0);
        for (size, name) in [(Size::A4, "A4"), (Size::Letter, t!("card-letter"))] {
            if ui.add(egui::Button::selectable(seen.look.paper == size, name).min_size(both_ways(ui.ctx()))).clicked() {
                commands.push(Command::Paper(size));
            }
        }
        ui.label(text(t!("card-for-the-circuit-as-built").to_owned()));
    });
    match seen.studies.card() {
        Awaited::Working(..) => {
            ui.add_space(20.0);
            ui.label(text(t!("card-the-acts-are-being-tried").to_owned()));
            ui.ctx().request_repaint_after(std::time::Duration::from_millis(200));
        }
        Awaited::Known(Err(why)) => {
            ui.label(text(words::mended(&why.message, &why.mend)));
        }
        Awaited::Known(Ok(card)) => {
            if seen.room.space.is_low {
                // As wide as there is room, and scrolled: as a whole it could not be read.
                let scroll = ScrollArea::vertical().id_salt("page").max_height((height - AROUND).max(LEAST));
                scroll.show(ui, |ui| page_ui(ui, card, state, f32::INFINITY));
            } else {
                page_ui(ui, card, state, height - AROUND);
            }
            write_ui(ui, seen, card, state, commands);
        }
    }
    ui.horizontal(|ui| {
        if ui.button(t!("card-close")).clicked() {
            commands.push(Command::Ask(None));
        }
        ui.add(egui::Label::new(text(seen.desk.said.clone())).wrap());
    });
}

fn page_ui(ui: &mut Ui, card: &CardPage, state: &mut CardState, height: f32) {
    if state.of != card.svg {
        *state = CardState { of: card.svg.clone(), ..CardState::default() };
    }
    let load = || ui.ctx().load_texture("card", Arc::clone(&card.image), TextureOptions::LINEAR);
    let texture = &*state.shown.get_or_insert_with(load);
    let (wide, high) = (texture.size_vec2().x, texture.size_vec2().y);
    let scale = (height / high).min(ui.available_width() / wide);
    ui.vertical_centered(|ui| {
        let picture = egui::Image::new(texture).fit_to_exact_size(vec2(wide * scale, high * scale));
        ui.add(picture).accessible_name(t!("card-the-card", title = card.title));
    });
}

fn write_ui(ui: &mut Ui, seen: &Seen<'_>, card: &CardPage, state: &mut CardState, commands: &mut Commands) {
    let path = state.path.get_or_insert_with(|| words::file_name(&card.title, "-card.pdf"));
    ui.horizontal(|ui| {
        let label = ui.label(RichText::new(t!("card-file")).color(seen.palette.text));
        let edit = TextEdit::singleline(path).desired_width(ui.available_width() - 110.0);
        let field = ui
            .add(edit.align(egui::Align2::LEFT_CENTER))
            .labelled_by(label.id)
            .on_hover_text(t!("card-its-ending-says-the-form"));
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if (ui.button(t!("card-write-card")).clicked() || entered) && !path.trim().is_empty() {
            commands.push(Command::WriteCard(PathBuf::from(path.trim())));
        }
    });
}
