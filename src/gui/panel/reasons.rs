//! The written reasons of the chosen link.
//!
//! Shows the study's sentences as they are; words none itself. Words of the trade in them can be pressed.

use egui::{RichText, ScrollArea, Ui};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::theme;
use super::terms::explained_ui;

/// Whether there is a link whose reasons are open.
pub fn is_open(seen: &Seen<'_>) -> bool {
    seen.verdict.chain.iter().any(|link| Some(link.name) == seen.desk.link)
}

/// Shows the reasons.
pub fn reasons_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(link) = seen.verdict.chain.iter().find(|link| Some(link.name) == seen.desk.link) else { return };
    let most = if seen.room.space.is_low { 56.0 } else { 110.0 };
    ui.horizontal_wrapped(|ui| {
        let heading = format!("Why: {}", link.name.word());
        ui.label(RichText::new(heading).font(theme::bold(15.0)).color(seen.palette.text));
        if ui.button("Close reasons").clicked() {
            commands.push(Command::ShowLink(None));
        }
        if !seen.room.space.is_low {
            ui.label(RichText::new("What it rests on is marked in the drawing.").color(seen.palette.quiet));
        }
    });
    ScrollArea::vertical().id_salt("reasons").max_height(most).show(ui, |ui| {
        ui.set_width(ui.available_width());
        for sentence in &link.because {
            explained_ui(ui, seen, sentence, 15.0, commands);
        }
        if link.because.is_empty() {
            ui.label(RichText::new("No reasons were written for this state.").color(seen.palette.quiet));
        }
    });
}
