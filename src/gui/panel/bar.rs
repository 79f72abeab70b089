//! The top line: which circuit is on the bench, and how it is shown.
//!
//! Reads the look and the title, pushes commands; holds nothing.

use egui::{Align, Button, Layout, RichText, Ui};

use crate::drawing::Symbols;

use super::super::command::{Command, Commands, Dialog};
use super::super::condition::Units;
use super::super::dress::STEP;
use super::super::seen::{Drawer, Seen};
use super::super::space::{Fold, room_of};
use super::super::theme;
use super::super::tongue::{key, plain, spoken, t};

/// Width of the window from which names are written in full.
const ROOMY: f32 = 1500.0;

/// What the button says that unfolds the second line.
const LOOK: &str = key!("bar-how-the-circuit-is-shown");

/// Room between two words and around one where all of it only just finds place in one line.
const CLOSE: (f32, f32) = (4.0, 6.0);

/// Shows the top line; where it would be too long the look and the title have a line of their own, which is folded in a
/// low window.
pub fn bar_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let space = seen.room.space;
    if space.is_narrow || space.is_low {
        // Close together, so that all of it finds room in few lines.
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.spacing_mut().button_padding.x = 4.5;
        ui.horizontal_wrapped(|ui| {
            work_ui(ui, seen, commands);
            let out = seen.room.unfolded.look;
            if space.is_low && ui.add(Button::selectable(out, t!("bar-look"))).on_hover_text(plain(LOOK)).clicked() {
                commands.push(Command::Fold(Fold::Look, !out));
            }
        });
        if !space.is_low || seen.room.unfolded.look {
            ui.horizontal_wrapped(|ui| {
                title_ui(ui, seen);
                look_ui(ui, seen, commands);
            });
        }
        return;
    }
    if is_too_long(ui, seen) {
        (ui.spacing_mut().item_spacing.x, ui.spacing_mut().button_padding.x) = CLOSE;
    }
    let is_one_line = !is_too_long(ui, seen);
    ui.horizontal(|ui| {
        work_ui(ui, seen, commands);
        if is_one_line {
            rest_ui(ui, seen, commands);
        }
    });
    if !is_one_line {
        ui.horizontal(|ui| rest_ui(ui, seen, commands));
    }
}

/// Whether all of it, with the title in full, takes more than a line.
fn is_too_long(ui: &Ui, seen: &Seen<'_>) -> bool {
    let work = [
        t!("bar-circuits"),
        t!("bar-save"),
        t!("bar-prove"),
        t!("bar-logic"),
        t!("bar-faults"),
        t!("bar-find"),
        t!("bar-hunt"),
        t!("bar-steps"),
        t!("bar-build"),
        t!("bar-clock"),
        t!("bar-card"),
    ];
    let look = [t!("bar-about"), "A+", "A\u{2212}", t!("bar-sheet-2"), "IEEE", "°C kPa", "EN", t!("bar-volts")];
    let words: f32 = work.iter().chain(&look).map(|word| room_of(ui, word)).sum();
    let title = title_words(seen);
    let title = egui::WidgetText::from(title).into_galley(ui, None, f32::INFINITY, egui::TextStyle::Body);
    let lines = 2.0 * (SEPARATOR + ui.spacing().item_spacing.x);
    words + lines + title.size().x + 2.0 * ui.spacing().item_spacing.x > ui.available_width()
}

/// Width of a line between two groups of words.
const SEPARATOR: f32 = 6.0;

/// What can be put on the bench, saved and pulled out.
fn work_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if ui.button(t!("bar-circuits")).on_hover_text(t!("bar-open-another-circuit-ctrl-o")).clicked() {
        commands.push(Command::Ask(Some(Dialog::Open)));
    }
    let save = t!("bar-save-the-session-or-the");
    if ui.button(t!("bar-save")).on_hover_text(save).clicked() {
        commands.push(Command::Ask(Some(Dialog::Save)));
    }
    drawer_ui(ui, seen, (Drawer::Prove, t!("bar-prove")), t!("bar-what-makes-the-clutch-engage"), commands);
    drawer_ui(ui, seen, (Drawer::Logic, t!("bar-logic")), t!("bar-what-the-clutch-does-for"), commands);
    drawer_ui(ui, seen, (Drawer::Faults, t!("bar-faults")), t!("bar-every-fault-where-it-shows"), commands);
    drawer_ui(ui, seen, (Drawer::Find, t!("bar-find")), t!("bar-from-what-was-seen-to"), commands);
    drawer_ui(ui, seen, (Drawer::Hunt, t!("bar-hunt")), t!("bar-a-hidden-fault-to-be"), commands);
    drawer_ui(ui, seen, (Drawer::Steps, t!("bar-steps")), t!("bar-what-was-done-step-by"), commands);
    drawer_ui(ui, seen, (Drawer::Build, t!("bar-build")), t!("bar-change-the-circuit-as-built"), commands);
    let out = seen.clock.is_some();
    let clock = ui.add(Button::selectable(out, t!("bar-clock")));
    if clock.on_hover_text(t!("bar-let-time-pass-air-clutch")).clicked() {
        commands.push(Command::Clock(!out));
    }
    if ui.button(t!("bar-card")).on_hover_text(t!("bar-the-card-for-the-cab")).clicked() {
        commands.push(Command::Ask(Some(Dialog::Card)));
    }
}

/// The look at the right end, the title before it.
fn rest_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        look_ui(ui, seen, commands);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            title_ui(ui, seen);
        });
    });
}

fn title_words(seen: &Seen<'_>) -> RichText {
    RichText::new(seen.bench.circuit().title()).font(theme::bold(16.0)).color(seen.palette.text)
}

/// What the circuit is called; pointed at, what its file says about it.
fn title_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let label = ui.add(egui::Label::new(title_words(seen)).truncate());
    let notes = seen.bench.circuit().notes();
    if !notes.is_empty() {
        label.on_hover_text(notes);
    }
}

/// A button that pulls a drawer out at the left, or pushes it in.
fn drawer_ui(ui: &mut Ui, seen: &Seen<'_>, (drawer, name): (Drawer, &str), help: &str, commands: &mut Commands) {
    let out = seen.room.open_drawer() == Some(drawer);
    if ui.add(Button::selectable(out, name)).on_hover_text(help).clicked() {
        commands.push(Command::Pull((!out).then_some(drawer)));
    }
}

/// The language spoken; a click goes on to the next.
fn language_ui(ui: &mut Ui, commands: &mut Commands) {
    let now = spoken();
    let button = ui.button(now.tag().to_uppercase()).on_hover_text(t!("bar-language-hint"));
    if button.accessible_name(t!("bar-language", name = now.own_name())).clicked() {
        commands.push(Command::Language(now.next()));
    }
}

/// From right to left where there is one line.
fn look_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    // In full only where even that leaves the title its room.
    let roomy = ui.ctx().content_rect().width() >= ROOMY;
    if ui.button(t!("bar-about")).clicked() {
        commands.push(Command::Ask(Some(Dialog::About)));
    }
    ui.separator();
    if ui.button("A+").on_hover_text(t!("bar-larger-text-ctrl-and")).clicked() {
        commands.push(Command::TextScale(Some(STEP)));
    }
    if ui.button("A\u{2212}").on_hover_text(t!("bar-smaller-text-ctrl-and-ctrl")).clicked() {
        commands.push(Command::TextScale(Some(-STEP)));
    }
    let now = seen.dress.sheet;
    let name = t!("bar-sheet", word = now.word());
    let sheet = ui.button(if roomy { name.as_str() } else { t!("bar-sheet-2") });
    let help = t!("bar-light-sheet-dark-sheet-black");
    if sheet.on_hover_text(format!("{name}. {help}")).accessible_name(name).clicked() {
        commands.push(Command::Sheet(now.next()));
    }
    let (name, short, next) = match seen.look.symbols {
        Symbols::Iec60617 => (t!("bar-symbols-iec"), "IEC", Symbols::Ieee315),
        Symbols::Ieee315 => (t!("bar-symbols-ieee"), "IEEE", Symbols::Iec60617),
    };
    let symbols = if roomy { name } else { short };
    let symbols = ui.button(symbols).on_hover_text(t!("bar-symbols-after-iec-60617-or"));
    if symbols.accessible_name(name).clicked() {
        commands.push(Command::Symbols(next));
    }
    let (name, next) = match seen.look.units {
        Units::Customary => ("°F psi", Units::Metric),
        Units::Metric => ("°C kPa", Units::Customary),
    };
    if ui.button(name).on_hover_text(t!("bar-units-of-the-scales")).clicked() {
        commands.push(Command::Units(next));
    }
    language_ui(ui, commands);
    let volts = ui.add(Button::selectable(seen.look.readings, t!("bar-volts")));
    if volts.on_hover_text(t!("bar-write-the-volts-at-every")).clicked() {
        commands.push(Command::Readings(!seen.look.readings));
    }
    ui.separator();
}
