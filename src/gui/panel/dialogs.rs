//! What lies over the window: the circuits to open, the report on one that is not sound, the question about changes
//! that are left, and what this program models.
//!
//! One at a time; Esc closes each without doing anything.

use std::path::{Path, PathBuf};

use egui::{Modal, RichText, ScrollArea, TextEdit, Ui};

use super::super::build::{BuildStep, Page};
use super::super::choosing::Wanted;
use super::super::command::{Answer, Command, Commands, Dialog, Leaving, Source};
use super::super::filing::FileStep;
use super::super::samples::{self, Card};
use super::super::seen::{Drawer, Seen};
use super::super::{ids, theme, words};
use super::card::{CardState, card_ui};
use super::faults::{FaultsState, faults_ui};
use super::making::{MakingState, making_ui};
use super::safety;
use super::saving::{SaveState, choose_ui, no_dialog_ui, overwrite_ui, save_ui};
use super::terms::terms_ui;

/// A circuit that is yet to be drawn.
const NOTHING: &str = "Circuit(format: 1, title: \"New circuit\")";
/// Height of what a finger presses.
pub(super) const FINGER: f32 = 44.0;

/// What the dialogs keep between frames.
#[derive(Clone, Debug, Default)]
pub struct DialogsState {
    path: String,
    /// What is opened goes beside what is here.
    beside: bool,
    cards: Vec<Option<Card>>,
    placed: Option<egui::Rect>,
    card: CardState,
    faults: FaultsState,
    save: SaveState,
    making: MakingState,
    term: String,
}

/// Shows the dialog that is open, if one is.
pub fn dialogs_ui(ui: &Ui, seen: &Seen<'_>, all: &[Seen<'_>], state: &mut DialogsState, commands: &mut Commands) {
    let Some(dialog) = &seen.room.dialog else { return };
    let screen = ui.ctx().content_rect().size();
    let widest = match dialog {
        Dialog::Leaving(_) | Dialog::Overwrite(..) | Dialog::LetGo(_) => 480.0,
        Dialog::Open | Dialog::Save | Dialog::About | Dialog::Terms(_) | Dialog::Faults(_) => 720.0,
        Dialog::Making => 860.0,
        Dialog::Report(..) | Dialog::Card => 1000.0,
    };
    let width = (screen.x - 80.0).min(widest);
    let height = match dialog {
        Dialog::Card | Dialog::Making => screen.y - 60.0,
        Dialog::Open
        | Dialog::Save
        | Dialog::Overwrite(..)
        | Dialog::About
        | Dialog::Terms(_)
        | Dialog::Faults(_)
        | Dialog::Report(..)
        | Dialog::LetGo(_)
        | Dialog::Leaving(_) => screen.y - if seen.room.space.is_low { 74.0 } else { 200.0 },
    };
    let height = height.max(120.0);
    let modal = Modal::new(ids::dialog()).show(ui.ctx(), |ui| {
        ui.set_width(width);
        match dialog {
            Dialog::Open => open_ui(ui, seen, state, height, commands),
            Dialog::Save => save_ui(ui, seen, &mut state.save, commands),
            Dialog::Overwrite(holds, path) => overwrite_ui(ui, seen, (*holds, path), commands),
            Dialog::Making => making_ui(ui, seen, (&mut state.making, &mut state.beside), height, commands),
            Dialog::Card => card_ui(ui, seen, &mut state.card, height, commands),
            Dialog::Terms(asked) => terms_ui(ui, seen, *asked, &mut state.term, height, commands),
            Dialog::About => about_ui(ui, seen, height, commands),
            Dialog::Faults(subject) => faults_ui(ui, seen, *subject, &mut state.faults, height, commands),
            Dialog::Report(heading, text) => report_ui(ui, seen, (heading, text), height, commands),
            Dialog::LetGo(path) => let_go_ui(ui, seen, path, commands),
            Dialog::Leaving(leaving) => leaving_ui(ui, seen, (leaving, all), height, commands),
        }
    });
    // A window over the window is placed by the size it had a frame ago.
    if state.placed != Some(modal.response.rect) {
        state.placed = Some(modal.response.rect);
        ui.ctx().request_repaint();
    }
    if modal.should_close() {
        commands.push(match dialog {
            Dialog::Leaving(_) => Command::Leave(Answer::Stay),
            Dialog::Open
            | Dialog::Save
            | Dialog::Overwrite(..)
            | Dialog::Making
            | Dialog::Card
            | Dialog::Terms(_)
            | Dialog::About
            | Dialog::Faults(_)
            | Dialog::LetGo(_)
            | Dialog::Report(..) => Command::Ask(None),
        });
    }
}

pub(super) fn heading(ui: &mut Ui, seen: &Seen<'_>, text: &str) {
    ui.label(RichText::new(text).font(theme::bold(18.0)).color(seen.palette.text));
    ui.add_space(4.0);
}

pub(super) fn close_ui(ui: &mut Ui, commands: &mut Commands) {
    ui.add_space(6.0);
    if ui.button("Close").clicked() {
        commands.push(Command::Ask(None));
    }
}

fn open_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut DialogsState, height: f32, commands: &mut Commands) {
    heading(ui, seen, "Put a circuit on the bench");
    if state.cards.is_empty() {
        state.cards = samples::all().map(|sample| sample.card()).collect();
    }
    where_ui(ui, seen, &mut state.beside);
    let beside = state.beside;
    ScrollArea::vertical().id_salt("samples").max_height(height - 116.0 - FINGER).show(ui, |ui| {
        ui.set_width(ui.available_width());
        lately_ui(ui, seen, beside, commands);
        for (sample, card) in samples::all().zip(&state.cards) {
            let Some(card) = card else { continue };
            ui.push_id(sample.file, |ui| {
                ui.horizontal_top(|ui| {
                    let button = egui::Button::new(RichText::new(&card.title).font(theme::bold(13.5)));
                    if ui.add(button.min_size(egui::vec2(196.0, 30.0))).clicked() {
                        commands.push(opening(beside, Source::Sample(sample)));
                    }
                    ui.add(egui::Label::new(RichText::new(&card.about).color(seen.palette.text)).wrap());
                });
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        let button = |words: &'static str| egui::Button::new(words).min_size(egui::vec2(196.0, 36.0));
        if ui.add(button("Make one from answers\u{2026}")).clicked() {
            commands.push(Command::Ask(Some(Dialog::Making)));
        }
        if ui.add(button("Draw one from nothing")).clicked() {
            commands.push(Command::Open(Source::Made(NOTHING.to_owned())));
            commands.push(Command::Pull(Some(Drawer::Build)));
            commands.push(Command::Build(BuildStep::Show(Page::Add)));
        }
    });
    ui.separator();
    no_dialog_ui(ui, seen);
    ui.horizontal(|ui| {
        ui.set_min_height(FINGER);
        let label = ui.label(RichText::new("Circuit file").color(seen.palette.text));
        let edit = TextEdit::singleline(&mut state.path)
            .hint_text("path of a circuit or a session, or drop one on the window");
        let edit = edit.desired_width(ui.available_width() - 244.0).min_size(egui::vec2(0.0, FINGER));
        let field = ui.add(edit.align(egui::Align2::LEFT_CENTER)).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let button = |words: &'static str| egui::Button::new(words).min_size(egui::vec2(0.0, FINGER));
        if (ui.add(button("Open file")).clicked() || entered) && !state.path.trim().is_empty() {
            commands.push(opening(beside, Source::File(PathBuf::from(state.path.trim()))));
        }
        let wanted = if beside { Wanted::OpenBeside } else { Wanted::Open };
        choose_ui(ui, seen, (wanted, "Choose\u{2026}"), commands);
        if ui.add(button("Close")).clicked() {
            commands.push(Command::Ask(None));
        }
    });
}

/// Opens something in place of the circuit in front, or beside it.
pub(super) fn opening(beside: bool, source: Source) -> Command {
    if beside { Command::OpenBeside(source) } else { Command::Open(source) }
}

/// Where what is opened goes.
pub(super) fn where_ui(ui: &mut Ui, seen: &Seen<'_>, beside: &mut bool) {
    ui.horizontal_wrapped(|ui| {
        for (is_beside, words) in
            [(false, format!("In place of {}", seen.name)), (true, format!("Beside {}", seen.name))]
        {
            let button = egui::Button::selectable(*beside == is_beside, words).min_size(egui::vec2(0.0, FINGER));
            if ui.add(button).clicked() {
                *beside = is_beside;
            }
        }
    });
}

/// A file was let go over the window: where it goes.
fn let_go_ui(ui: &mut Ui, seen: &Seen<'_>, path: &Path, commands: &mut Commands) {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    heading(ui, seen, &format!("Where is {name} to go?"));
    ui.horizontal_wrapped(|ui| {
        let button = |words: String| egui::Button::new(words).min_size(egui::vec2(0.0, FINGER));
        for (beside, words) in [(false, "In place of"), (true, "Beside")] {
            if ui.add(button(format!("{words} {}", seen.name))).clicked() {
                commands.push(Command::Ask(None));
                commands.push(opening(beside, Source::File(path.to_owned())));
            }
        }
        if ui.add(button("Do not open it".to_owned())).clicked() {
            commands.push(Command::Ask(None));
        }
    });
}

/// What can be taken up again: what stood on the bench before, and files opened or saved lately.
fn lately_ui(ui: &mut Ui, seen: &Seen<'_>, beside: bool, commands: &mut Commands) {
    let filing = seen.filing;
    if filing.before.is_empty() && filing.lately.is_empty() {
        return;
    }
    if !filing.before.is_empty() {
        ui.label(RichText::new("Stood on the bench before").color(seen.palette.quiet));
    }
    for (path, told) in &filing.before {
        let button = egui::Button::new(RichText::new(told).font(theme::bold(13.5)));
        let button = ui.add(button.min_size(egui::vec2(196.0, FINGER)));
        if button.accessible_name(format!("Stood here before: {told}")).clicked() {
            commands.push(Command::File(FileStep::TakeUp(path.clone(), beside)));
        }
    }
    if !filing.lately.is_empty() {
        ui.label(RichText::new("Opened or saved lately").color(seen.palette.quiet));
    }
    for path in &filing.lately {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
        let folder = path.parent().map(|folder| folder.display().to_string()).unwrap_or_default();
        ui.horizontal(|ui| {
            let button = egui::Button::new(RichText::new(name).font(theme::bold(13.5)));
            let button = ui.add(button.min_size(egui::vec2(196.0, FINGER)));
            // Two files of one name are told apart by their folders, by ear as well.
            if button.accessible_name(format!("Lately: {}", path.display())).clicked() {
                commands.push(opening(beside, Source::File(path.clone())));
            }
            ui.add(egui::Label::new(RichText::new(folder).color(seen.palette.text)).truncate());
        });
    }
    ui.separator();
}

fn report_ui(ui: &mut Ui, seen: &Seen<'_>, (title, text): (&str, &str), height: f32, commands: &mut Commands) {
    heading(ui, seen, title);
    ScrollArea::both().id_salt("report").max_height(height - 60.0).show(ui, |ui| {
        let text = RichText::new(text).monospace().color(seen.palette.text);
        ui.add(egui::Label::new(text).extend().selectable(true));
    });
    close_ui(ui, commands);
}

/// Whether anything would be left that nobody has put back or saved.
fn is_left(seen: &Seen<'_>) -> bool {
    !seen.bench.changes().is_empty() || seen.papers.is_changed()
}

fn leaving_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (leaving, all): (&Leaving, &[Seen<'_>]),
    height: f32,
    commands: &mut Commands,
) {
    // Closing the window leaves all of them.
    let left: Vec<Seen<'_>> = match leaving {
        Leaving::Close => all.iter().filter(|seen| is_left(seen)).copied().collect(),
        Leaving::Open(_) | Leaving::Shut(_) => vec![*seen],
    };
    let several = all.len() > 1;
    let is_done = left.iter().any(|of| !of.bench.changes().is_empty());
    heading(ui, seen, if is_done { "The truck is not as built" } else { "The circuit is not saved" });
    let wait = match leaving {
        Leaving::Close => "before the window closes",
        Leaving::Open(_) => "before another circuit is opened",
        Leaving::Shut(_) => "before it is closed",
    };
    if is_done {
        ui.label(RichText::new(format!("Still changed, {wait}:")).color(seen.palette.text));
    }
    ScrollArea::vertical().id_salt("leaving").max_height((height - 120.0).max(40.0)).show(ui, |ui| {
        for of in &left {
            if several {
                ui.label(RichText::new(of.name).font(theme::bold(13.5)).color(seen.palette.text));
            }
            if of.papers.is_changed() {
                let words = "The circuit itself is changed, and in no file as it is now.";
                ui.label(RichText::new(words).color(seen.palette.text));
            }
            for change in of.bench.changes() {
                let words = words::change(of.bench.circuit(), &change).0;
                ui.label(RichText::new(format!("\u{2022} {words}")).color(seen.palette.text));
            }
        }
    });
    if seen.filing.is_kept() {
        let kept = match leaving {
            Leaving::Close => "What is left changed comes back as it is when the window is opened again.",
            Leaving::Open(_) | Leaving::Shut(_) => "Circuits\u{2026} lists what is left changed, to be taken up again.",
        };
        ui.label(RichText::new(kept).color(seen.palette.quiet));
    }
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        let beside = matches!(leaving, Leaving::Open(_)).then_some(("Open it beside", Answer::Beside));
        if seen.papers.is_changed() && ui.button("Save\u{2026}").accessible_name("Save the circuit first").clicked() {
            commands.push(Command::Ask(Some(Dialog::Save)));
        }
        let back = is_done.then_some(("Put everything back", Answer::PutBack));
        let leave = if is_done { "Leave it changed" } else { "Go on without saving" };
        let answers = back.into_iter().chain([(leave, Answer::LeaveChanged)]);
        for (words, answer) in answers.chain(beside).chain([("Stay here", Answer::Stay)]) {
            if ui.button(words).clicked() {
                commands.push(Command::Leave(answer));
            }
        }
    });
}

const MODELLED: &str = "Fanloom works out what the control wiring of an air-operated fan clutch does before anybody touches \
                        it. Computed are the circuit's volts and amps at every terminal and in every wire, contacts, \
                        relays and valves with their memory, fuses, test leads, lifted wires, pulled plugs; what a meter, a \
                        test lamp, a clamp and two gauges would show, and what the meter and the lamp themselves do to the \
                        circuit while they are on. With the clock out also air filling, leaking and venting, the clutch's slip \
                        and heat, warm-up and cooling, coils that warm, timers and fuses by their time; without it everything \
                        stands as after a long time.";
const NOT_YET: &str = "Not modelled: wear as it builds up, refrigerant and oil but as they are set, how a coil's current rises \
                       and falls, two instruments on the circuit at once (each reading but the clamp's is taken by itself), \
                       and anything outside the circuit file. Coil, contact and clutch data \
                       in the circuits that come with it are example values.";
const KEYS: &str = "Keys: Tab and arrows move about, Enter or Space uses the tool in hand, X lists what can be wrong with the thing you are at (as a right click or a long press \
                    does), 1 to 6 pick up a tool, Esc puts it \
                    back, + and \u{2212} zoom the drawing and F shows all of it, Ctrl and + or \u{2212} size the text, \
                    Ctrl+Z and Ctrl+Shift+Z undo and redo, Ctrl+O opens a circuit, Ctrl+S saves and Ctrl+Shift+S chooses where, F1 explains the words of the trade, P lists the proving acts, L \
                    shows the logic table, W the fault table, I the find, H a hunt, E changes the circuit and C the card, T takes the clock out, R lets it run and the full stop steps it. With several circuits open N brings the next one to the front, B shows two side by side, and D does the same on both. Drag the drawing or turn the wheel to \
                    move it, Ctrl and the wheel to zoom.";

fn about_ui(ui: &mut Ui, seen: &Seen<'_>, height: f32, commands: &mut Commands) {
    heading(ui, seen, "Fanloom");
    ScrollArea::vertical().id_salt("about").max_height(height - 100.0).show(ui, |ui| {
        for text in [MODELLED, NOT_YET, safety::LINE, KEYS] {
            ui.label(RichText::new(text).color(seen.palette.text));
            ui.add_space(6.0);
        }
        let version =
            format!("Version {}. Lettering: DejaVu Sans (free licence, in assets/fonts).", env!("CARGO_PKG_VERSION"));
        ui.label(RichText::new(version).color(seen.palette.quiet));
    });
    let words = egui::Button::new("Words of the trade (F1)").min_size(egui::vec2(200.0, 36.0));
    if ui.add(words).clicked() {
        commands.push(Command::Ask(Some(Dialog::Terms(None))));
    }
    close_ui(ui, commands);
}
