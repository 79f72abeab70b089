//! The written reasons of the chosen link.
//!
//! Shows the study's sentences as they are; words none itself. Words of the trade in them can be pressed.

use egui::{RichText, ScrollArea, Ui};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::theme;
use super::super::tongue::{t, worded};
use super::terms::explained_ui;

/// Height of its sentences, where they are not scrolled with all that is below the drawing.
const SENTENCES: f32 = 110.0;

/// Whether there is a link whose reasons are open.
pub fn is_open(seen: &Seen<'_>) -> bool {
    seen.verdict.chain.iter().any(|link| Some(link.name) == seen.desk.link)
}

/// Shows the reasons, where there are any to show.
pub fn reasons_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(link) = seen.verdict.chain.iter().find(|link| Some(link.name) == seen.desk.link) else { return };
    ui.horizontal_wrapped(|ui| {
        let heading = t!("reasons-why", word = link.name.word());
        ui.label(RichText::new(heading).font(theme::bold(15.0)).color(seen.palette.text));
        if ui.button(t!("reasons-close-reasons")).clicked() {
            commands.push(Command::ShowLink(None));
        }
        if !seen.room.space.is_low {
            ui.label(RichText::new(t!("reasons-what-it-rests-on-is")).color(seen.palette.quiet));
        }
    });
    let mut sentences = |ui: &mut Ui| {
        ui.set_width(ui.available_width());
        for sentence in &link.because {
            explained_ui(ui, seen, &worded(sentence), 15.0, commands);
        }
        if link.because.is_empty() {
            ui.label(RichText::new(t!("reasons-no-reasons-were-written-for")).color(seen.palette.quiet));
        }
    };
    if seen.room.space.is_low {
        sentences(ui);
    } else {
        ScrollArea::vertical().id_salt("reasons").max_height(SENTENCES).show(ui, sentences);
    }
}
