//! The words of the trade: sentences in which they can be pressed, and the dialog that explains them.
//!
//! Shows the one asked for, or all to be searched. Which words there are, and what they mean, is the study's.

use egui::{Button, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::study::answer::Hazard;
use crate::study::terms::{Term, terms};

use super::super::command::{Command, Commands, Dialog};
use super::super::dress::FINGER;
use super::super::seen::Seen;
use super::super::tongue::{spoken, t};
use super::super::widget::signal;
use super::super::widget::telling::telling_ui;
use super::super::{theme, words};
use super::dialogs::{close_ui, heading};

/// Shows a sentence whose words of the trade can be pressed to have them explained.
pub fn explained_ui(ui: &mut Ui, seen: &Seen<'_>, sentence: &str, size: f32, commands: &mut Commands) {
    explain(telling_ui(ui, (sentence, sentence), &theme::plain(size), &seen.palette), commands);
}

/// Shows a hazard whose words of the trade can be pressed to have them explained.
pub fn hazard_ui(ui: &mut Ui, seen: &Seen<'_>, hazard: &Hazard, commands: &mut Commands) {
    explain(signal::signal_ui(ui, hazard, &seen.palette), commands);
}

/// Asks for the meaning of a term that was pressed.
pub fn explain(pressed: Option<usize>, commands: &mut Commands) {
    if let Some(place) = pressed {
        commands.push(Command::Ask(Some(Dialog::Terms(Some(place)))));
    }
}

/// Shows the dialog's inside.
pub fn terms_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    asked: Option<usize>,
    search: &mut String,
    height: f32,
    commands: &mut Commands,
) {
    heading(ui, seen, t!("terms-words-of-the-trade"));
    let asked = asked.and_then(|place| terms(spoken()).get(place));
    if let Some(term) = asked {
        term_ui(ui, seen, term);
        ui.separator();
        if ui.add(Button::new(t!("terms-all-words")).min_size(vec2(120.0, FINGER))).clicked() {
            commands.push(Command::Ask(Some(Dialog::Terms(None))));
        }
    } else {
        let edit =
            TextEdit::singleline(search).hint_text(t!("terms-search-ghost-margin-rest")).min_size(vec2(240.0, 34.0));
        ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(t!("terms-search-the-words"));
        let wanted = search.to_lowercase();
        let list = ScrollArea::vertical().id_salt("terms").max_height((height - 120.0).max(80.0));
        list.auto_shrink([false, false]).show(ui, |ui| {
            ui.set_width(ui.available_width() - 8.0);
            let is_wanted =
                |term: &&Term| term.name.contains(&wanted) || term.forms.iter().any(|form| form.contains(&wanted));
            for term in terms(spoken()).iter().filter(is_wanted) {
                term_ui(ui, seen, term);
                ui.add_space(6.0);
            }
        });
    }
    close_ui(ui, commands);
}

fn term_ui(ui: &mut Ui, seen: &Seen<'_>, term: &Term) {
    ui.label(RichText::new(words::capital(term.name)).font(theme::bold(14.0)).color(seen.palette.text));
    ui.label(RichText::new(term.says).color(seen.palette.text));
}
