//! Where to save: the session with everything done, or the circuit alone as it was read.
//!
//! A path field for each, with the desktop's own dialog beside it; and the question where another file is at the place.
//! Writing is left to [`filing`](super::super::filing).

use std::path::{Path, PathBuf};

use egui::{Align2, Button, RichText, ScrollArea, TextEdit, Ui, vec2};

use super::super::choosing::Wanted;
use super::super::command::{Command, Commands, Dialog, Guard};
use super::super::dress::FINGER;
use super::super::filing::FileStep;
use super::super::seen::Seen;
use super::super::space::room_of;
use super::super::theme;
use super::super::tongue::t;
use super::super::watch::Holds;
use super::dialogs::{close_ui, heading};

/// What is being typed, and what was proposed when it began.
#[derive(Clone, Debug, Default)]
pub struct SaveState {
    session: Field,
    circuit: Field,
    demonstration: Field,
}

#[derive(Clone, Debug, Default)]
struct Field {
    typed: String,
    proposed: String,
}

/// Shows the dialog.
pub fn save_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut SaveState, height: f32, commands: &mut Commands) {
    heading(ui, seen, t!("saving-save"));
    ScrollArea::vertical()
        .id_salt("save")
        .max_height(height - 60.0)
        .show(ui, |ui| fields_ui(ui, seen, state, commands));
    no_dialog_ui(ui, seen);
    close_ui(ui, commands);
}

fn fields_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut SaveState, commands: &mut Commands) {
    let session = t!("saving-the-session-the-circuit-and");
    let what = (Holds::Session, session, t!("saving-session-file"), t!("saving-save-session"));
    field_ui(ui, seen, what, &mut state.session, commands);
    ui.separator();
    let circuit = if seen.papers.is_changed() {
        t!("saving-the-circuit-alone-as-it")
    } else {
        t!("saving-the-circuit-alone-to-the")
    };
    let what = (Holds::Circuit, circuit, t!("saving-circuit-file"), t!("saving-save-circuit"));
    field_ui(ui, seen, what, &mut state.circuit, commands);
    let doubtful = seen.studies.doubtful().len();
    if doubtful > 0 {
        let words = t!("saving-is-doubtful", doubtful);
        ui.add(egui::Label::new(RichText::new(words).font(theme::bold(13.0)).color(seen.palette.text)).wrap());
    }
    ui.separator();
    let steps = t!("saving-the-demonstration-what-was-done");
    let what = (Holds::Demonstration, steps, t!("saving-demonstration-file"), t!("saving-save-demonstration"));
    field_ui(ui, seen, what, &mut state.demonstration, commands);
}

fn field_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (holds, about, name, save): (Holds, &str, &str, &'static str),
    field: &mut Field,
    commands: &mut Commands,
) {
    let proposed = seen.papers.proposal(seen.bench.circuit().title(), Wanted::Save(holds));
    if field.proposed != proposed {
        *field = Field { typed: proposed.clone(), proposed };
    }
    ui.add(egui::Label::new(RichText::new(about).color(seen.palette.text)).wrap());
    let choose = match holds {
        Holds::Session => t!("saving-choose-where-to-save-the"),
        Holds::Circuit => t!("saving-choose-where-to-save-the-2"),
        Holds::Demonstration => t!("saving-choose-where-to-save-the-3"),
    };
    let room = room_of(ui, save) + room_of(ui, t!("saving-choose"));
    let beside = ui.available_width() - room_of(ui, name) - room;
    // Where the buttons would leave no room to read a path in, they go below it.
    let is_beside = beside >= LEAST_FIELD;
    let mut typed = None;
    ui.horizontal(|ui| {
        ui.set_min_height(FINGER);
        let label = ui.label(RichText::new(name).color(seen.palette.text));
        let width = ui.available_width() - if is_beside { room } else { 0.0 };
        let edit = TextEdit::singleline(&mut field.typed).desired_width(width - 8.0);
        let edit = edit.min_size(vec2(0.0, FINGER)).align(Align2::LEFT_CENTER);
        typed = Some(ui.add(edit).labelled_by(label.id));
        if is_beside {
            save_and_choose_ui(ui, seen, (holds, save, choose), (typed.take(), &field.typed), commands);
        }
    });
    if !is_beside {
        ui.horizontal(|ui| {
            save_and_choose_ui(ui, seen, (holds, save, choose), (typed.take(), &field.typed), commands);
        });
    }
}

/// Width under which a path cannot be read.
const LEAST_FIELD: f32 = 170.0;

/// The two buttons of a field.
fn save_and_choose_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (holds, save, choose): (Holds, &'static str, &str),
    (field, path): (Option<egui::Response>, &str),
    commands: &mut Commands,
) {
    let entered = field.is_some_and(|f| f.lost_focus()) && ui.input(|i| i.key_pressed(egui::Key::Enter));
    let button = ui.add(Button::new(save).min_size(vec2(0.0, FINGER)));
    if (button.clicked() || entered) && !path.trim().is_empty() {
        commands.push(Command::File(FileStep::SaveAt(holds, PathBuf::from(path.trim()))));
    }
    choose_ui(ui, seen, (Wanted::Save(holds), choose), commands);
}

/// A button that opens the desktop's own dialog; `name` is what a screen reader says.
pub(super) fn choose_ui(ui: &mut Ui, seen: &Seen<'_>, (wanted, name): (Wanted, &str), commands: &mut Commands) {
    let button = Button::new(t!("saving-choose")).min_size(vec2(0.0, FINGER));
    let button = ui.add_enabled(!seen.filing.is_choosing() && !seen.filing.has_no_dialogs, button);
    if seen.filing.has_no_dialogs {
        button.on_disabled_hover_text(t!("saving-this-desktop-offers-no-dialog"));
    } else if button.on_hover_text(t!("saving-the-desktops-own-dialog")).accessible_name(name).clicked() {
        commands.push(Command::File(FileStep::Choose(wanted)));
    }
}

/// Says what to do where the desktop offers no dialog.
pub(super) fn no_dialog_ui(ui: &mut Ui, seen: &Seen<'_>) {
    if seen.filing.has_no_dialogs {
        let words = t!("saving-this-desktop-offers-no-dialog-2");
        ui.label(RichText::new(words).color(seen.palette.text));
    }
}

/// Shows the question where a file is at the place that is not to be saved over without a word.
pub fn overwrite_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (holds, path, guard): (Holds, &Path, Guard),
    commands: &mut Commands,
) {
    let path_words = path.display();
    let (title, words) = match guard {
        Guard::Anothers => {
            (t!("saving-another-file-is-there"), t!("saving-holds-something-that-was-not", path = path_words))
        }
        Guard::WriteProtected => {
            (t!("saving-the-file-is-write-protected"), t!("saving-is-write-protected", path = path_words))
        }
    };
    heading(ui, seen, title);
    ui.add(egui::Label::new(RichText::new(words).color(seen.palette.text)).wrap());
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        let button = |words: &'static str| Button::new(words).min_size(vec2(0.0, FINGER));
        if ui.add(button(t!("saving-save-over-it"))).clicked() {
            commands.push(Command::File(FileStep::SaveOver(holds, path.to_owned())));
        }
        if ui.add(button(t!("saving-save-elsewhere"))).clicked() {
            commands.push(Command::Ask(Some(Dialog::Save)));
        }
        if ui.add(button(t!("saving-do-not-save"))).clicked() {
            commands.push(Command::Ask(None));
        }
    });
}
