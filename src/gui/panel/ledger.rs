//! The ledger: everything that differs from the truck as built, each with its way back.
//!
//! One line when nothing is changed. Undo and redo stand at its end, with the names of what they would take back or
//! make again. In a low window it is a column beside the drawing where that leaves the drawing larger.

use egui::style::ScrollStyle;
use egui::{Label, Response, RichText, ScrollArea, Ui, vec2};

use crate::bench::{Action, Change, Fault};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::space::room_of;
use super::super::tongue::{t, titled};
use super::super::widget::ends::ends_ui;
use super::super::widget::target;
use super::super::{theme, words};

/// Width of the undo and redo buttons with the names of steps, and without: whatever stands on them, they stay where
/// they are.
const NAMED: f32 = 176.0;
const NAMED_IN_FULL: f32 = 244.0;
const UNNAMED: f32 = 64.0;
/// Room between them in a column.
const BETWEEN: f32 = 4.0;
/// Width that what is changed has at least beside what puts all of it back.
const LEAST_FOR_CHANGES: f32 = 150.0;

/// Width of the window from which most names of steps have room.
const ROOMY: f32 = 1200.0;

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
        // Where little room is left, what puts all back is scrolled with what is changed.
        let is_all = is_by_hand(&changes);
        let with_all = steps_width(ui, seen, is_all, is_named);
        let is_all_beside = is_all && ui.available_width() - with_all > LEAST_FOR_CHANGES;
        let width = if is_all_beside { with_all } else { steps_width(ui, seen, false, is_named) };
        let first = |ui: &mut Ui, commands: &mut Commands| {
            changes_ui(ui, seen, (&changes, is_all && !is_all_beside), commands);
        };
        let last = |ui: &mut Ui, commands: &mut Commands| {
            if is_all_beside {
                put_all_back_ui(ui, seen, commands);
            }
            steps_ui(ui, seen, (step_width(ui, is_named), is_named), commands);
        };
        ends_ui(ui, ("steps", width), commands, first, last);
    });
}

/// Shows the ledger as a column: what takes back and does again first, for what is changed may be scrolled.
pub fn column_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let changes = changes(seen);
    ui.label(RichText::new(t!("ledger-ledger")).font(theme::bold(14.0)).color(seen.palette.text));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        let width = (ui.available_width() - BETWEEN) / 2.0;
        steps_ui(ui, seen, (width, false), commands);
    });
    if is_by_hand(&changes) {
        put_all_back_ui(ui, seen, commands);
    }
    for change in changes {
        let (name, back) = entry(seen, &change);
        ui.separator();
        ui.label(RichText::new(&name).color(seen.palette.text));
        if way_back_ui(ui, seen, &name, &back).clicked() {
            commands.push(Command::Act(back));
        }
    }
}

/// Whether anything is there that a hand puts back. A fault is put right by itself: it was in the world before anybody
/// put a hand to it.
fn is_by_hand(changes: &[Change]) -> bool {
    let by_hand = |change: &Change| !matches!(change, Change::Faulty(fault) if !matches!(fault, Fault::Blown(_)));
    changes.iter().any(by_hand)
}

/// Width of the buttons at the right.
fn steps_width(ui: &Ui, seen: &Seen<'_>, is_all: bool, is_named: bool) -> f32 {
    let gap = ui.spacing().item_spacing.x;
    let steps = if seen.eyes.is_none() { 2.0 * (step_width(ui, is_named) + gap) } else { 0.0 };
    let all = if is_all { room_of(ui, t!("ledger-put-all-back")) } else { 0.0 };
    (steps + all - gap).max(0.0)
}

/// The same whatever stands on them, so that they stay where they are.
fn step_width(ui: &Ui, is_named: bool) -> f32 {
    match is_named {
        true if ui.ctx().content_rect().width() >= ROOMY => NAMED_IN_FULL,
        true => NAMED,
        false => {
            let words = [t!("ledger-undo"), t!("ledger-redo")].map(|word| room_of(ui, word));
            UNNAMED.max(words[0].max(words[1]) - ui.spacing().item_spacing.x)
        }
    }
}

fn put_all_back_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if ui.button(t!("ledger-put-all-back")).accessible_name(seen.told(t!("ledger-put-all-back"))).clicked() {
        commands.push(Command::Act(Action::PutAllBack));
    }
}

/// What takes back the last of it, and does it again: each so wide.
fn steps_ui(ui: &mut Ui, seen: &Seen<'_>, sized: (f32, bool), commands: &mut Commands) {
    let named = |action: &Action| words::action(seen.bench.circuit(), action);
    // What was done to a truck in a hunt is put back, not undone.
    if seen.eyes.is_none() {
        let undo = seen.strides.undoable(seen.bench).map(named);
        step_ui(ui, seen, (t!("ledger-undo"), sized), undo, Action::Undo, commands);
        let redo = seen.strides.redoable(seen.bench).map(named);
        step_ui(ui, seen, (t!("ledger-redo"), sized), redo, Action::Redo, commands);
    }
}

/// Everything that is changed, with its way back.
fn changes_ui(ui: &mut Ui, seen: &Seen<'_>, (changes, is_all): (&[Change], bool), commands: &mut Commands) {
    if changes.is_empty() {
        let words = match seen.eyes {
            Some(_) => t!("ledger-you-have-changed-nothing"),
            None if seen.room.pair.has_two() => t!("ledger-nothing-is-changed"),
            None => t!("ledger-nothing-is-changed-the-truck"),
        };
        ui.add(Label::new(RichText::new(words).color(seen.palette.quiet)).truncate());
        return;
    }
    // Its bar has room of its own: over the entries it would be pressed in their stead.
    ui.spacing_mut().scroll = ScrollStyle { bar_width: 6.0, bar_inner_margin: 1.0, ..ScrollStyle::solid() };
    let scroll = ScrollArea::horizontal().id_salt(("ledger", seen.number)).auto_shrink([false, true]);
    let mut is_wanted = false;
    let shown = scroll.show(ui, |ui| {
        ui.horizontal(|ui| {
            if is_all {
                put_all_back_ui(ui, seen, commands);
            }
            for change in changes {
                is_wanted |= entry_ui(ui, seen, entry(seen, change), commands);
            }
        });
    });
    if is_wanted {
        // Scrolled sideways it forgets to ask what is scrolled around it.
        ui.scroll_to_rect(shown.inner_rect, None);
    }
}

/// What is changed, with the act that puts it right.
fn entry(seen: &Seen<'_>, change: &Change) -> (String, Action) {
    let (name, back) = words::change(seen.bench.circuit(), change);
    let Change::Done(act) = change else { return (name, back) };
    let blown = &seen.bench.outcome().memory.blown_leads;
    // Of the truck with the hidden fault it is not known before somebody looks.
    let is_blown = seen.eyes.is_none() && blown.iter().any(|number| seen.bench.act_of_lead(*number) == Some(act));
    (if is_blown { t!("ledger-blown", lead = name) } else { name }, back)
}

/// Shows what is changed with its way back; whether that is to be brought into sight.
fn entry_ui(ui: &mut Ui, seen: &Seen<'_>, (name, back): (String, Action), commands: &mut Commands) -> bool {
    let label = |ui: &mut Ui| ui.label(RichText::new(&name).color(seen.palette.text));
    // Where two ledgers share the room, the way back stands first: the name may have to be scrolled to.
    let is_slim = seen.room.pair.has_two();
    if !is_slim {
        label(ui);
    }
    let id = ui.next_auto_id();
    let is_wanted = ui.input(|input| input.has_accesskit_action_request(id, egui::accesskit::Action::ScrollIntoView));
    if way_back_ui(ui, seen, &name, &back).clicked() {
        commands.push(Command::Act(back));
    }
    if is_slim {
        label(ui);
    }
    ui.separator();
    is_wanted
}

/// The button that puts a change right.
fn way_back_ui(ui: &mut Ui, seen: &Seen<'_>, name: &str, back: &Action) -> Response {
    let word = match back {
        Action::ReplaceFuse(_) => t!("ledger-new-fuse"),
        Action::Repair(_) => t!("ledger-put-right"),
        _ => t!("ledger-put-back"),
    };
    // Several entries have the same button; a screen reader hears which is meant.
    ui.button(word).accessible_name(seen.told(&titled(word, name)))
}

fn step_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (word, (width, is_named)): (&str, (f32, bool)),
    action: Option<String>,
    step: Action,
    commands: &mut Commands,
) {
    let is_there = action.is_some();
    let name = action.unwrap_or_default();
    let told = if is_named && is_there { titled(word, &name) } else { word.to_owned() };
    let keys = if step == Action::Undo { t!("ledger-ctrl-z") } else { t!("ledger-ctrl-shift-z-or-ctrl") };
    let size = vec2(width, target(ui.ctx()));
    let button = egui::Button::new(&told).truncate();
    let button = ui.add_enabled_ui(is_there, |ui| ui.add_sized(size, button)).inner;
    if button.accessible_name(seen.told(&told)).on_hover_text(format!("{word} {name} ({keys})")).clicked() {
        commands.push(Command::Act(step));
    }
}
