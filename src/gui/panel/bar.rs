//! The top line: which circuit is on the bench, and how it is shown.
//!
//! Reads the look and the title, pushes commands; holds nothing.

use egui::{Button, Rangef, Response, Ui, vec2};

use crate::drawing::Symbols;

use super::super::command::{Command, Commands, Dialog};
use super::super::condition::Units;
use super::super::dress::{self, STEP, Sheet};
use super::super::seen::{Drawer, Seen};
use super::super::space::{Fold, room_of};
use super::super::theme;
use super::super::tongue::{key, plain, spoken, t};
use super::super::widget::ends::ends_ui;
use super::super::widget::fitted::fitted;
use super::super::widget::{both_ways, choice};

/// Width of the window from which names are written in full.
const ROOMY: f32 = 1500.0;

/// What the button says that unfolds the second line.
const LOOK: &str = key!("bar-how-the-circuit-is-shown");

/// The units of the scales, as they stand on the button.
const UNITS: [&str; 2] = ["°F psi", "°C kPa"];
/// The standards of the symbols, in short.
const SYMBOLS: [&str; 2] = ["IEC", "IEEE"];

/// Room between two words and around one where all of it only just finds place in one line, where it is to find place in
/// few, and the least.
const CLOSE: (f32, f32) = (4.0, 6.0);
const FEW_LINES: (f32, f32) = (3.0, 4.5);
const CLOSEST: (f32, f32) = (1.5, 2.5);

/// Shows the top line; where it would be too long the look and the title have a line of their own, which is folded in a
/// low window.
pub fn bar_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let space = seen.room.space;
    if space.is_narrow || space.is_low {
        // Close together, so that all of it finds room in few lines; in a low window closer still, if one line comes of it.
        let fits = |ui: &Ui| work_width(ui) + room_of(ui, t!("bar-look")) <= ui.available_width();
        set_apart(ui, FEW_LINES);
        if space.is_low && !fits(ui) {
            set_apart(ui, CLOSEST);
            if !fits(ui) {
                set_apart(ui, FEW_LINES);
            }
        }
        ui.horizontal_wrapped(|ui| {
            work_ui(ui, seen, commands);
            let out = seen.room.unfolded.look;
            if space.is_low && chosen_ui(ui, out, t!("bar-look")).on_hover_text(plain(LOOK)).clicked() {
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
    let mut is_one_line = !is_too_long(ui, seen);
    if !is_one_line {
        set_apart(ui, CLOSE);
        is_one_line = !is_too_long(ui, seen);
    }
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

/// Leaves so much room between two words, and around one.
fn set_apart(ui: &mut Ui, (between, around): (f32, f32)) {
    (ui.spacing_mut().item_spacing.x, ui.spacing_mut().button_padding.x) = (between, around);
}

/// Whether all of it, with the whole title in its least letters, takes more than a line.
fn is_too_long(ui: &Ui, seen: &Seen<'_>) -> bool {
    let title = seen.bench.circuit().title().to_owned();
    let title = ui.painter().layout_no_wrap(title, theme::bold(TITLE.1), seen.palette.text);
    work_width(ui) + look_width(ui) + title.size().x + 2.0 * ui.spacing().item_spacing.x > ui.available_width()
}

/// Width of what can be put on the bench, saved and pulled out.
fn work_width(ui: &Ui) -> f32 {
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
    work.iter().map(|word| room_of(ui, word)).sum()
}

/// Width of what chooses the look, whatever is chosen.
fn look_width(ui: &Ui) -> f32 {
    let look = [t!("bar-about"), "A+", "A\u{2212}", "EN", t!("bar-volts"), t!("bar-fingers")];
    let words: f32 = look.iter().map(|word| room_of(ui, word)).sum();
    let sheets = Sheet::ALL.map(Sheet::short);
    let words = words + widest(ui, &sheets.each_ref().map(String::as_str)) + widest(ui, &UNITS) + widest(ui, &SYMBOLS);
    words + 2.0 * (SEPARATOR + ui.spacing().item_spacing.x)
}

/// Size of the title's letters, and the least.
const TITLE: (f32, f32) = (16.0, 13.0);
/// Width of a line between two groups of words.
const SEPARATOR: f32 = 6.0;

/// What can be put on the bench, saved and pulled out.
fn work_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if word_ui(ui, t!("bar-circuits")).on_hover_text(t!("bar-open-another-circuit-ctrl-o")).clicked() {
        commands.push(Command::Ask(Some(Dialog::Open)));
    }
    let save = t!("bar-save-the-session-or-the");
    if word_ui(ui, t!("bar-save")).on_hover_text(save).clicked() {
        commands.push(Command::Ask(Some(Dialog::Save)));
    }
    drawer_ui(ui, seen, Drawer::Prove, t!("bar-what-makes-the-clutch-engage"), commands);
    drawer_ui(ui, seen, Drawer::Logic, t!("bar-what-the-clutch-does-for"), commands);
    drawer_ui(ui, seen, Drawer::Faults, t!("bar-every-fault-where-it-shows"), commands);
    drawer_ui(ui, seen, Drawer::Find, t!("bar-from-what-was-seen-to"), commands);
    drawer_ui(ui, seen, Drawer::Hunt, t!("bar-a-hidden-fault-to-be"), commands);
    drawer_ui(ui, seen, Drawer::Steps, t!("bar-what-was-done-step-by"), commands);
    drawer_ui(ui, seen, Drawer::Build, t!("bar-change-the-circuit-as-built"), commands);
    let out = seen.clock.is_some();
    let clock = chosen_ui(ui, out, t!("bar-clock"));
    if clock.on_hover_text(t!("bar-let-time-pass-air-clutch")).clicked() {
        commands.push(Command::Clock(!out));
    }
    if word_ui(ui, t!("bar-card")).on_hover_text(t!("bar-the-card-for-the-cab")).clicked() {
        commands.push(Command::Ask(Some(Dialog::Card)));
    }
}

/// The title at the left, the look at the right end.
fn rest_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let width = look_width(ui);
    ends_ui(ui, ("rest", width), commands, |ui, _| title_ui(ui, seen), |ui, commands| look_ui(ui, seen, commands));
}

/// What the circuit is called; pointed at, what its file says about it.
fn title_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let title = seen.bench.circuit().title();
    let words = fitted(ui.painter(), title, (theme::bold, TITLE), ui.available_width(), seen.palette.text);
    let label = ui.add(egui::Label::new(words));
    let notes = seen.bench.circuit().notes();
    if !notes.is_empty() {
        label.on_hover_text(notes);
    }
}

/// A button that pulls a drawer out at the left, or pushes it in.
fn drawer_ui(ui: &mut Ui, seen: &Seen<'_>, drawer: Drawer, help: &str, commands: &mut Commands) {
    let out = seen.room.open_drawer() == Some(drawer);
    let mut button = chosen_ui(ui, out, drawer.word());
    if let Some(steps) = seen.studies.under_way(drawer).filter(|_| !out) {
        button = going_on_ui(ui, seen, button, steps);
    }
    if button.on_hover_text(help).clicked() {
        commands.push(Command::Pull((!out).then_some(drawer)));
    }
}

/// Shows on its button how far that has come which a drawer that is pushed in still works out.
fn going_on_ui(ui: &Ui, seen: &Seen<'_>, button: Response, steps: (usize, usize)) -> Response {
    let line = button.rect.shrink2(vec2(5.0, 2.0));
    let reached = line.left() + choice::share_of(steps) * line.width();
    let (whole, reached) = (line.x_range(), Rangef::new(line.left(), reached));
    ui.painter().hline(whole, line.bottom(), seen.palette.stroke(1.0, seen.palette.line));
    ui.painter().hline(reached, line.bottom(), seen.palette.stroke(4.0, seen.palette.text));
    ui.ctx().request_repaint_after(choice::LOOKS_AGAIN);
    // The first that is said of it is what a screen reader hears.
    button.on_hover_text(t!("bar-still-being-worked-out", done = steps.0, all = steps.1))
}

/// The language spoken; a click goes on to the next.
fn language_ui(ui: &mut Ui, commands: &mut Commands) {
    let now = spoken();
    let button = word_ui(ui, &now.tag().to_uppercase()).on_hover_text(t!("bar-language-hint"));
    if button.accessible_name(t!("bar-language", name = now.own_name())).clicked() {
        commands.push(Command::Language(now.next()));
    }
}

/// A button with a word, wide enough however short that is.
fn word_ui(ui: &mut Ui, word: &str) -> Response {
    ui.add(Button::new(word).min_size(both_ways(ui.ctx())))
}

/// A button with one of several words, as wide as the longest of them.
fn among_ui(ui: &mut Ui, word: &str, all: &[&str]) -> Response {
    let width = widest(ui, all) - ui.spacing().item_spacing.x;
    ui.add(Button::new(word).min_size(both_ways(ui.ctx()).max(vec2(width, 0.0))))
}

/// Width that the longest of some words takes, with the space before it.
fn widest(ui: &Ui, all: &[&str]) -> f32 {
    all.iter().map(|word| room_of(ui, word)).fold(0.0, f32::max)
}

/// The same for what is on or off.
fn chosen_ui(ui: &mut Ui, on: bool, word: &str) -> Response {
    ui.add(Button::selectable(on, word).min_size(both_ways(ui.ctx())))
}

/// What there is to read about the program.
fn about_ui(ui: &mut Ui, commands: &mut Commands) {
    ui.menu_button(t!("bar-about"), |ui| {
        let entries = [
            (t!("bar-about-fanloom"), Dialog::About),
            (t!("bar-keys"), Dialog::Keys),
            (t!("dialogs-words-of-the-trade-f1"), Dialog::Terms(None)),
        ];
        for (words, dialog) in entries {
            if ui.button(words).clicked() {
                commands.push(Command::Ask(Some(dialog)));
            }
        }
    });
}

/// Whether what is pressed is large enough for fingers. The projector's sheet has it so, whatever is chosen.
fn fingers_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let on = seen.dress.is_for_fingers();
    let can_choose = seen.dress.sheet != Sheet::Projector;
    let button = Button::selectable(on, t!("bar-fingers")).min_size(both_ways(ui.ctx()));
    let button = ui.add_enabled(can_choose, button).on_hover_text(t!("bar-fingers-hint"));
    if button
        .on_disabled_hover_text(t!("bar-fingers-on-the-projector"))
        .accessible_name(t!("bar-fingers-name"))
        .clicked()
    {
        commands.push(Command::Fingers(!on));
    }
}

/// How all of it is shown. What speaks another word once it is pressed is as wide as the longest of them, so that nothing
/// beside it moves.
fn look_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    // In full only where even that leaves the title its room.
    let roomy = ui.ctx().content_rect().width() >= ROOMY;
    ui.separator();
    about_ui(ui, commands);
    fingers_ui(ui, seen, commands);
    let volts = chosen_ui(ui, seen.look.readings, t!("bar-volts"));
    if volts.on_hover_text(t!("bar-write-the-volts-at-every")).clicked() {
        commands.push(Command::Readings(!seen.look.readings));
    }
    ui.separator();
    let now = seen.dress.sheet;
    let name = |sheet: Sheet| t!("bar-sheet", word = sheet.word());
    let shown = |sheet: Sheet| if roomy { name(sheet) } else { sheet.short() };
    let all = Sheet::ALL.map(shown);
    let sheet = among_ui(ui, &shown(now), &all.each_ref().map(String::as_str));
    let help = t!("bar-light-sheet-dark-sheet-black");
    if sheet.on_hover_text(format!("{}. {help}", name(now))).accessible_name(name(now)).clicked() {
        commands.push(Command::Sheet(now.next()));
    }
    let names = [t!("bar-symbols-iec"), t!("bar-symbols-ieee")];
    let (at, next) = match seen.look.symbols {
        Symbols::Iec60617 => (0, Symbols::Ieee315),
        Symbols::Ieee315 => (1, Symbols::Iec60617),
    };
    let shown = if roomy { names } else { SYMBOLS };
    let symbols = among_ui(ui, shown[at], &shown).on_hover_text(t!("bar-symbols-after-iec-60617-or"));
    if symbols.accessible_name(names[at]).clicked() {
        commands.push(Command::Symbols(next));
    }
    let now = seen.look.units;
    let (shown, next) = if now == Units::Metric { (UNITS[1], Units::Customary) } else { (UNITS[0], Units::Metric) };
    if among_ui(ui, shown, &UNITS).on_hover_text(t!("bar-units-temperatures-and-pressures")).clicked() {
        commands.push(Command::Units(next));
    }
    size_ui(ui, seen, ("A\u{2212}", -STEP), t!("bar-smaller-text-ctrl-and-ctrl"), commands);
    size_ui(ui, seen, ("A+", STEP), t!("bar-larger-text-ctrl-and"), commands);
    language_ui(ui, commands);
}

/// A button that sizes the text, as far as there is any other size here.
fn size_ui(ui: &mut Ui, seen: &Seen<'_>, (word, by): (&str, f32), help: &str, commands: &mut Commands) {
    let can_be = seen.dress.sized_in(dress::window(ui.ctx()), by).is_some();
    let button = ui.add_enabled(can_be, Button::new(word).min_size(both_ways(ui.ctx())));
    if button.on_hover_text(help).on_disabled_hover_text(t!("bar-text-is-at-its-end")).clicked() {
        commands.push(Command::TextScale(Some(by)));
    }
}
