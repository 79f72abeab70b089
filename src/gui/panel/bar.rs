//! The top line: which circuit is on the bench, and how it is shown.
//!
//! Reads the look and the title, pushes commands; holds nothing.

use egui::{Align, Button, Layout, RichText, Ui};

use crate::drawing::Symbols;

use super::super::command::{Command, Commands, Dialog};
use super::super::condition::Units;
use super::super::dress::STEP;
use super::super::seen::{Drawer, Seen};
use super::super::space::Fold;
use super::super::theme;

/// Width of the window from which names are written in full.
const ROOMY: f32 = 1340.0;

/// What the button says that unfolds the second line.
const LOOK: &str = "How the circuit is shown: sheet, size of letters, symbols, units";

/// Width of the window from which all of it stands in one line.
const NARROW: f32 = 1060.0;

/// Shows the top line; in a narrow window the look and the title have a line of their own, in a low one it is folded.
pub fn bar_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let narrow = ui.available_width() < NARROW;
    let space = seen.room.space;
    if space.is_narrow || space.is_low {
        // Close together, so that all of it finds room in few lines.
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.spacing_mut().button_padding.x = 4.5;
        ui.horizontal_wrapped(|ui| {
            work_ui(ui, seen, commands);
            let out = seen.room.unfolded.look;
            if space.is_low && ui.add(Button::selectable(out, "Look")).on_hover_text(LOOK).clicked() {
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
    ui.horizontal(|ui| {
        work_ui(ui, seen, commands);
        if !narrow {
            rest_ui(ui, seen, commands);
        }
    });
    if narrow {
        ui.horizontal(|ui| rest_ui(ui, seen, commands));
    }
}

/// What can be put on the bench, saved and pulled out.
fn work_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if ui.button("Circuits\u{2026}").on_hover_text("Open another circuit (Ctrl+O)").clicked() {
        commands.push(Command::Ask(Some(Dialog::Open)));
    }
    let save = "Save the session or the circuit (Ctrl+S; Ctrl+Shift+S chooses where)";
    if ui.button("Save\u{2026}").on_hover_text(save).clicked() {
        commands.push(Command::Ask(Some(Dialog::Save)));
    }
    drawer_ui(ui, seen, (Drawer::Prove, "Prove"), "What makes the clutch engage or release by hand (P)", commands);
    drawer_ui(ui, seen, (Drawer::Logic, "Logic"), "What the clutch does for every combination (L)", commands);
    drawer_ui(ui, seen, (Drawer::Faults, "Faults"), "Every fault, where it shows, what looks like it (W)", commands);
    drawer_ui(ui, seen, (Drawer::Find, "Find"), "From what was seen to the fault (I)", commands);
    drawer_ui(ui, seen, (Drawer::Hunt, "Hunt"), "A hidden fault, to be found in few minutes (H)", commands);
    drawer_ui(ui, seen, (Drawer::Build, "Build"), "Change the circuit as built: parts, wires, values (E)", commands);
    let out = seen.clock.is_some();
    let clock = ui.add(Button::selectable(out, "Clock"));
    if clock.on_hover_text("Let time pass: air, clutch, heat and the strip chart (T)").clicked() {
        commands.push(Command::Clock(!out));
    }
    if ui.button("Card\u{2026}").on_hover_text("The card for the cab: look at it, write it to a file (C)").clicked() {
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

/// What the circuit is called; pointed at, what its file says about it.
fn title_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let title = RichText::new(seen.bench.circuit().title()).font(theme::bold(16.0)).color(seen.palette.text);
    let label = ui.add(egui::Label::new(title).truncate());
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

/// From right to left where there is one line.
fn look_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let roomy = ui.ctx().content_rect().width() >= ROOMY;
    if ui.button("About").clicked() {
        commands.push(Command::Ask(Some(Dialog::About)));
    }
    ui.separator();
    if ui.button("A+").on_hover_text("Larger text (Ctrl and +)").clicked() {
        commands.push(Command::TextScale(Some(STEP)));
    }
    if ui.button("A\u{2212}").on_hover_text("Smaller text (Ctrl and \u{2212}; Ctrl+0 for the usual)").clicked() {
        commands.push(Command::TextScale(Some(-STEP)));
    }
    let now = seen.dress.sheet;
    let name = format!("Sheet: {}", now.word());
    let sheet = ui.button(if roomy { name.as_str() } else { "Sheet" });
    let help = "Light sheet, dark sheet, black on white and large for a projector, or as the desktop";
    if sheet.on_hover_text(format!("{name}. {help}")).accessible_name(name).clicked() {
        commands.push(Command::Sheet(now.next()));
    }
    let (name, next) = match seen.look.symbols {
        Symbols::Iec60617 => ("Symbols: IEC", Symbols::Ieee315),
        Symbols::Ieee315 => ("Symbols: IEEE", Symbols::Iec60617),
    };
    let symbols = if roomy { name } else { name.trim_start_matches("Symbols: ") };
    let symbols = ui.button(symbols).on_hover_text("Symbols after IEC 60617 or IEEE 315");
    if symbols.accessible_name(name).clicked() {
        commands.push(Command::Symbols(next));
    }
    let (name, next) = match seen.look.units {
        Units::Customary => ("°F psi", Units::Metric),
        Units::Metric => ("°C kPa", Units::Customary),
    };
    if ui.button(name).on_hover_text("Units of the scales").clicked() {
        commands.push(Command::Units(next));
    }
    let volts = ui.add(Button::selectable(seen.look.readings, "Volts"));
    if volts.on_hover_text("Write the volts at every terminal").clicked() {
        commands.push(Command::Readings(!seen.look.readings));
    }
    ui.separator();
}
