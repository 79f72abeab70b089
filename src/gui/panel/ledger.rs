//! The ledger: everything that differs from the truck as built, each with its way back.
//!
//! One line when nothing is changed. Undo and redo stand at its end, with the names of what they would take back or
//! make again.

use egui::{Align, Label, Layout, RichText, ScrollArea, Ui, vec2};

use crate::bench::{Action, Change, Fault};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::tongue::{t, titled};
use super::super::widget::target;
use super::super::{theme, words};

/// Width of the undo and redo buttons with the names of steps, and without: whatever stands on them, they stay where
/// they are.
const NAMED: f32 = 176.0;
const UNNAMED: f32 = 64.0;

/// Whether something is changed, or can be undone or done again.
pub fn has_something(seen: &Seen<'_>) -> bool {
    let steps = seen.eyes.is_none() && (seen.bench.undoable().is_some() || seen.bench.redoable().is_some());
    steps || !changes(seen).is_empty()
}

/// Everything that differs from the truck as built, as far as it is known.
fn changes(seen: &Seen<'_>) -> Vec<Change> {
    let mut changes = seen.bench.changes();
    if let Some(eyes) = seen.eyes {
        // Of the truck with the hidden fault nobody knows more than what hands did and eyes found.
        changes.retain(|change| matches!(change, Change::Done(_)));
        let blown = eyes.fuses.iter().filter(|(_, blown)| *blown);
        changes.extend(blown.map(|(tag, _)| Change::BlownFuse(tag.clone())));
    }
    changes
}

/// Shows the ledger.
pub fn ledger_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let changes = changes(seen);
    // The names of steps give way to what is changed.
    let is_named = !seen.room.space.is_narrow && !seen.room.pair.has_two();
    ui.horizontal_centered(|ui| {
        ui.label(RichText::new(t!("ledger-ledger")).font(theme::bold(14.0)).color(seen.palette.text));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let named = |action: &Action| words::action(seen.bench.circuit(), action);
            // What was done to a truck in a hunt is put back, not undone.
            if seen.eyes.is_none() {
                step_ui(
                    ui,
                    seen,
                    (t!("ledger-redo"), is_named),
                    seen.strides.redoable(seen.bench).map(named),
                    Action::Redo,
                    commands,
                );
                step_ui(
                    ui,
                    seen,
                    (t!("ledger-undo"), is_named),
                    seen.strides.undoable(seen.bench).map(named),
                    Action::Undo,
                    commands,
                );
            }
            // A fault is put right by itself: it was in the world before anybody put a hand to it.
            let by_hand =
                |change: &Change| !matches!(change, Change::Faulty(fault) if !matches!(fault, Fault::Blown(_)));
            if changes.iter().any(by_hand)
                && ui.button(t!("ledger-put-all-back")).accessible_name(seen.told(t!("ledger-put-all-back"))).clicked()
            {
                commands.push(Command::Act(Action::PutAllBack));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if changes.is_empty() {
                    let words = match seen.eyes {
                        Some(_) => t!("ledger-you-have-changed-nothing"),
                        None if seen.room.pair.has_two() => t!("ledger-nothing-is-changed"),
                        None => t!("ledger-nothing-is-changed-the-truck"),
                    };
                    ui.add(Label::new(RichText::new(words).color(seen.palette.quiet)).truncate());
                    return;
                }
                let scroll = ScrollArea::horizontal().id_salt(("ledger", seen.number)).auto_shrink([false, true]);
                scroll.show(ui, |ui| {
                    ui.horizontal(|ui| {
                        for change in &changes {
                            entry_ui(ui, seen, words::change(seen.bench.circuit(), change), commands);
                        }
                    });
                });
            });
        });
    });
}

fn entry_ui(ui: &mut Ui, seen: &Seen<'_>, (name, back): (String, Action), commands: &mut Commands) {
    let word = match back {
        Action::ReplaceFuse(_) => t!("ledger-new-fuse"),
        Action::Repair(_) => t!("ledger-put-right"),
        _ => t!("ledger-put-back"),
    };
    // Several entries have the same button; a screen reader hears which is meant.
    let told = seen.told(&titled(word, &name));
    let label = |ui: &mut Ui| ui.label(RichText::new(&name).color(seen.palette.text));
    // Where two ledgers share the room, the way back stands first: the name may have to be scrolled to.
    let is_slim = seen.room.pair.has_two();
    if !is_slim {
        label(ui);
    }
    if ui.button(word).accessible_name(told).clicked() {
        commands.push(Command::Act(back));
    }
    if is_slim {
        label(ui);
    }
    ui.separator();
}

fn step_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (word, is_named): (&str, bool),
    action: Option<String>,
    step: Action,
    commands: &mut Commands,
) {
    let is_there = action.is_some();
    let name = action.unwrap_or_default();
    let told = if is_named && is_there { titled(word, &name) } else { word.to_owned() };
    let keys = if step == Action::Undo { t!("ledger-ctrl-z") } else { t!("ledger-ctrl-shift-z-or-ctrl") };
    let size = vec2(if is_named { NAMED } else { UNNAMED }, target(ui.ctx()));
    let button = egui::Button::new(&told).truncate();
    let button = ui.add_enabled_ui(is_there, |ui| ui.add_sized(size, button)).inner;
    if button.accessible_name(seen.told(&told)).on_hover_text(format!("{word} {name} ({keys})")).clicked() {
        commands.push(Command::Act(step));
    }
}
