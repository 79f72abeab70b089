//! What lies over the window: the circuits to open, the report on one that is not sound, the question about changes
//! that are left, and what this program models.
//!
//! One at a time; Esc closes each without doing anything.

use std::path::{Path, PathBuf};

use egui::{Modal, RichText, ScrollArea, TextEdit, Ui};

use super::super::build::{BuildStep, Page};
use super::super::choosing::Wanted;
use super::super::command::{Answer, Command, Commands, Dialog, Leaving, Source};
use super::super::dress::FINGER;
use super::super::filing::FileStep;
use super::super::samples;
use super::super::seen::{Drawer, Seen};
use super::super::tongue::{key, plain, t};
use super::super::{ids, theme, words};
use super::card::{CardState, card_ui};
use super::faults::{FaultsState, faults_ui};
use super::keys::keys_ui;
use super::making::{MakingState, making_ui};
use super::safety;
use super::saving::{SaveState, choose_ui, no_dialog_ui, overwrite_ui, save_ui};
use super::terms::terms_ui;

/// A circuit that is yet to be drawn.
const NOTHING: &str = "Circuit(format: 1, title: \"New circuit\")";

/// What the dialogs keep between frames.
#[derive(Clone, Debug, Default)]
pub struct DialogsState {
    path: String,
    /// What is opened goes beside what is here.
    beside: bool,
    titles: Vec<Option<String>>,
    placed: Option<egui::Rect>,
    card: CardState,
    faults: FaultsState,
    save: SaveState,
    making: MakingState,
    term: String,
}

/// Shows the dialog that is open, if one is.
pub fn dialogs_ui(ui: &Ui, seen: &Seen<'_>, all: &[Seen<'_>], state: &mut DialogsState, commands: &mut Commands) {
    if seen.room.dialog != Some(Dialog::Card) {
        state.card.put_away();
    }
    let Some(dialog) = &seen.room.dialog else { return };
    let screen = ui.ctx().content_rect().size();
    let widest = match dialog {
        Dialog::Leaving(_) | Dialog::Overwrite(..) | Dialog::LetGo(_) => 480.0,
        Dialog::Open | Dialog::Save | Dialog::About | Dialog::Keys | Dialog::Terms(_) | Dialog::Faults(_) => 720.0,
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
        | Dialog::Keys
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
            Dialog::Save => save_ui(ui, seen, &mut state.save, height, commands),
            Dialog::Overwrite(holds, path, guard) => overwrite_ui(ui, seen, (*holds, path, *guard), commands),
            Dialog::Making => making_ui(ui, seen, (&mut state.making, &mut state.beside), height, commands),
            Dialog::Card => card_ui(ui, seen, &mut state.card, height, commands),
            Dialog::Terms(asked) => terms_ui(ui, seen, *asked, &mut state.term, height, commands),
            Dialog::About => about_ui(ui, seen, height, commands),
            Dialog::Keys => keys_ui(ui, seen, height, commands),
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
            | Dialog::Keys
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
    if ui.button(t!("dialogs-close")).clicked() {
        commands.push(Command::Ask(None));
    }
}

fn open_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut DialogsState, height: f32, commands: &mut Commands) {
    heading(ui, seen, t!("dialogs-put-a-circuit-on-the"));
    if state.titles.is_empty() {
        state.titles = samples::all().map(|sample| sample.title()).collect();
    }
    where_ui(ui, seen, &mut state.beside);
    let beside = state.beside;
    ScrollArea::vertical().id_salt("samples").max_height(height - 116.0 - FINGER).show(ui, |ui| {
        ui.set_width(ui.available_width());
        lately_ui(ui, seen, beside, commands);
        for (sample, title) in samples::all().zip(&state.titles) {
            let Some(title) = title else { continue };
            ui.push_id(sample.file, |ui| {
                ui.horizontal_top(|ui| {
                    let size = egui::vec2(196.0, 30.0);
                    let button = egui::Button::new(RichText::new(title).font(theme::bold(13.5))).min_size(size);
                    // Beside a text that begins at the top its words stand in the middle all the same.
                    let middle = egui::Layout::left_to_right(egui::Align::Center);
                    if ui.allocate_ui_with_layout(size, middle, |ui| ui.add(button)).inner.clicked() {
                        commands.push(opening(beside, Source::Sample(sample)));
                    }
                    ui.add(egui::Label::new(RichText::new(sample.about()).color(seen.palette.text)).wrap());
                });
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        let button = |words: &'static str| egui::Button::new(words).min_size(egui::vec2(196.0, 36.0));
        if ui.add(button(t!("dialogs-make-one-from-answers"))).clicked() {
            commands.push(Command::Ask(Some(Dialog::Making)));
        }
        if ui.add(button(t!("dialogs-draw-one-from-nothing"))).clicked() {
            commands.push(Command::Open(Source::Made(NOTHING.to_owned())));
            commands.push(Command::Pull(Some(Drawer::Build)));
            commands.push(Command::Build(BuildStep::Show(Page::Add)));
        }
    });
    ui.separator();
    no_dialog_ui(ui, seen);
    ui.horizontal(|ui| {
        ui.set_min_height(FINGER);
        let label = ui.label(RichText::new(t!("dialogs-circuit-file")).color(seen.palette.text));
        let edit = TextEdit::singleline(&mut state.path).hint_text(t!("dialogs-path-of-a-circuit-or"));
        let edit = edit.desired_width(ui.available_width() - 244.0).min_size(egui::vec2(0.0, FINGER));
        let field = ui.add(edit.align(egui::Align2::LEFT_CENTER)).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let button = |words: &'static str| egui::Button::new(words).min_size(egui::vec2(0.0, FINGER));
        if (ui.add(button(t!("dialogs-open-file"))).clicked() || entered) && !state.path.trim().is_empty() {
            commands.push(opening(beside, Source::File(PathBuf::from(state.path.trim()))));
        }
        let wanted = if beside { Wanted::OpenBeside } else { Wanted::Open };
        choose_ui(ui, seen, (wanted, t!("dialogs-choose")), commands);
        if ui.add(button(t!("dialogs-close"))).clicked() {
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
            [(false, t!("dialogs-in-place-of", name = seen.name)), (true, t!("dialogs-beside", name = seen.name))]
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
    heading(ui, seen, &t!("dialogs-where-is-to-go", name));
    ui.horizontal_wrapped(|ui| {
        let button = |words: String| egui::Button::new(words).min_size(egui::vec2(0.0, FINGER));
        for (beside, words) in [(false, t!("dialogs-in-place-of-2")), (true, t!("dialogs-beside-2"))] {
            if ui.add(button(format!("{words} {}", seen.name))).clicked() {
                commands.push(Command::Ask(None));
                commands.push(opening(beside, Source::File(path.to_owned())));
            }
        }
        if ui.add(button(t!("dialogs-do-not-open-it").to_owned())).clicked() {
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
        ui.label(RichText::new(t!("dialogs-stood-on-the-bench-before")).color(seen.palette.quiet));
    }
    for (path, told) in &filing.before {
        let button = egui::Button::new(RichText::new(told).font(theme::bold(13.5)));
        let button = ui.add(button.min_size(egui::vec2(196.0, FINGER)));
        if button.accessible_name(t!("dialogs-stood-here-before", told)).clicked() {
            commands.push(Command::File(FileStep::TakeUp(path.clone(), beside)));
        }
    }
    if !filing.lately.is_empty() {
        ui.label(RichText::new(t!("dialogs-opened-or-saved-lately")).color(seen.palette.quiet));
    }
    for path in &filing.lately {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
        let folder = path.parent().map(|folder| folder.display().to_string()).unwrap_or_default();
        ui.horizontal(|ui| {
            let button = egui::Button::new(RichText::new(name).font(theme::bold(13.5)));
            let button = ui.add(button.min_size(egui::vec2(196.0, FINGER)));
            // Two files of one name are told apart by their folders, by ear as well.
            if button.accessible_name(t!("dialogs-lately", path = path.display())).clicked() {
                commands.push(opening(beside, Source::File(path.clone())));
            }
            ui.add(egui::Label::new(RichText::new(folder).color(seen.palette.text)).truncate());
        });
    }
    ui.separator();
}

fn report_ui(ui: &mut Ui, seen: &Seen<'_>, (title, text): (&str, &str), height: f32, commands: &mut Commands) {
    heading(ui, seen, title);
    let width = ui.available_width() - 12.0;
    ScrollArea::both().id_salt("report").max_height(height - 60.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let lines: Vec<&str> = text.lines().collect();
        for block in lines.chunk_by(|a, b| is_excerpt(a) == is_excerpt(b)) {
            let label = egui::Label::new(RichText::new(block.join("\n")).monospace().color(seen.palette.text));
            let label = label.selectable(true);
            // What points at a column below it does so on one line only; all else has the width of the box.
            if is_excerpt(block[0]) {
                ui.add(label.extend());
            } else {
                ui.scope(|ui| {
                    ui.set_max_width(width);
                    ui.add(label.wrap());
                });
            }
        }
    });
    close_ui(ui, commands);
}

/// Whether a line of a report shows what stands in a file, or points at it.
fn is_excerpt(line: &str) -> bool {
    line.trim_start().trim_start_matches(|c: char| c.is_ascii_digit()).trim_start().starts_with('|')
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
    heading(ui, seen, if is_done { t!("dialogs-the-truck-is-not-as") } else { t!("dialogs-the-circuit-is-not-saved") });
    let wait = match leaving {
        Leaving::Close => t!("dialogs-before-the-window-closes"),
        Leaving::Open(_) => t!("dialogs-before-another-circuit-is-opened"),
        Leaving::Shut(_) => t!("dialogs-before-it-is-closed"),
    };
    if is_done {
        ui.label(RichText::new(t!("dialogs-still-changed", wait)).color(seen.palette.text));
    }
    ScrollArea::vertical().id_salt("leaving").max_height((height - 120.0).max(40.0)).show(ui, |ui| {
        for of in &left {
            if several {
                ui.label(RichText::new(of.name).font(theme::bold(13.5)).color(seen.palette.text));
            }
            if of.papers.is_changed() {
                let words = t!("dialogs-the-circuit-itself-is-changed");
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
            Leaving::Close => t!("dialogs-what-is-left-changed-comes"),
            Leaving::Open(_) | Leaving::Shut(_) => t!("dialogs-circuits-lists-what-is-left"),
        };
        ui.label(RichText::new(kept).color(seen.palette.quiet));
    }
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        let beside = matches!(leaving, Leaving::Open(_)).then_some((t!("dialogs-open-it-beside"), Answer::Beside));
        if seen.papers.is_changed()
            && ui.button(t!("dialogs-save")).accessible_name(t!("dialogs-save-the-circuit-first")).clicked()
        {
            commands.push(Command::Ask(Some(Dialog::Save)));
        }
        let back = is_done.then_some((t!("dialogs-put-everything-back"), Answer::PutBack));
        let leave = if is_done { t!("dialogs-leave-it-changed") } else { t!("dialogs-go-on-without-saving") };
        let answers = back.into_iter().chain([(leave, Answer::LeaveChanged)]);
        for (words, answer) in answers.chain(beside).chain([(t!("dialogs-stay-here"), Answer::Stay)]) {
            if ui.button(words).clicked() {
                commands.push(Command::Leave(answer));
            }
        }
    });
}

const MODELLED: &str = key!("dialogs-fanloom-works-out-what-the");
const NOT_YET: &str = key!("dialogs-not-modelled-wear-as-it");

fn about_ui(ui: &mut Ui, seen: &Seen<'_>, height: f32, commands: &mut Commands) {
    heading(ui, seen, "Fanloom");
    ScrollArea::vertical().id_salt("about").max_height(height - 100.0).show(ui, |ui| {
        for text in [MODELLED, NOT_YET, safety::LINE] {
            ui.label(RichText::new(plain(text)).color(seen.palette.text));
            ui.add_space(6.0);
        }
        let version = t!("dialogs-version-lettering-dejavu-sans-free", env = env!("CARGO_PKG_VERSION"));
        ui.label(RichText::new(version).color(seen.palette.quiet));
    });
    ui.horizontal_wrapped(|ui| {
        let more = [(t!("bar-keys"), Dialog::Keys), (t!("dialogs-words-of-the-trade-f1"), Dialog::Terms(None))];
        for (words, dialog) in more {
            if ui.add(egui::Button::new(words).min_size(egui::vec2(200.0, 36.0))).clicked() {
                commands.push(Command::Ask(Some(dialog)));
            }
        }
    });
    close_ui(ui, commands);
}
