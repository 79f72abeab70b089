//! The drawer of what was done, step by step: the bench's own list, or a demonstration to be gone through before others.
//!
//! What a step brings about is shown once it is done. The step ahead is told or kept back, as the trainer chooses; what it
//! will bring about is asked and never told. Going on and back is the bench's; what changes is the study's.

use egui::{Button, RichText, TextEdit, Ui, vec2};

use crate::bench::{Action, Demonstration};
use crate::study::demonstration::{Brought, Changed, Gone};

use super::super::command::{Command, Commands, Dialog};
use super::super::demonstrating::{About, DemoStep, Demonstrating};
use super::super::dress::FINGER;
use super::super::seen::Seen;
use super::super::tongue::{t, worded};
use super::super::widget::choice;
use super::super::{ids, theme, words};
use super::found::counted_of;
use crate::words::fixed;

/// Shows the drawer.
pub fn steps_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    ui.label(RichText::new(t!("bar-steps")).font(theme::bold(15.0)).color(seen.palette.text));
    seen.room.space.list(ui, ("steps", [false, false]), |ui| {
        ui.set_width(ui.available_width());
        match seen.demonstrating {
            _ if seen.eyes.is_some() => {
                ui.label(text(seen, t!("demonstrating-waits-while-a-hunt")));
            }
            Some(showing) => showing_ui(ui, seen, showing, commands),
            None => done_ui(ui, seen, commands),
        }
    });
}

fn text(seen: &Seen<'_>, words: &str) -> RichText {
    RichText::new(words).color(seen.palette.text)
}

fn bold(seen: &Seen<'_>, words: &str, size: f32) -> RichText {
    RichText::new(words).font(theme::bold(seen.palette.letters(size))).color(seen.palette.text)
}

/// What a step does, as it is read.
fn does(seen: &Seen<'_>, action: &Action) -> String {
    words::capital(&words::action(seen.bench.circuit(), action))
}

/// Everything done on the bench, and the way to make a demonstration of it.
fn done_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let done: Vec<&Action> = seen.bench.journal().collect();
    if done.is_empty() {
        ui.label(text(seen, t!("steps-nothing-has-been-done-here")));
        return;
    }
    ui.label(text(seen, t!("steps-done-on-this-bench")));
    for (place, action) in done.iter().enumerate() {
        ui.label(text(seen, &format!("{}. {}", place + 1, does(seen, action))));
    }
    ui.add_space(4.0);
    let make = Button::new(t!("steps-make-a-demonstration")).min_size(vec2(0.0, FINGER));
    if ui.add(make).on_hover_text(t!("steps-go-through-it")).clicked() {
        commands.push(Command::Demonstrate(DemoStep::Make));
    }
}

fn showing_ui(ui: &mut Ui, seen: &Seen<'_>, showing: &Demonstrating, commands: &mut Commands) {
    let Demonstrating { demonstration, gone, then, at, tells_ahead, about } = showing;
    let count = demonstration.steps.len();
    let ask = |step: DemoStep, commands: &mut Commands| commands.push(Command::Demonstrate(step));
    ui.label(bold(seen, &demonstration.title, 15.0));
    ui.label(text(seen, &t!("steps-of-steps-done", at, count)));
    ui.horizontal_wrapped(|ui| {
        let button = |ui: &mut Ui, word: &str, is_there: bool, hint: &str| {
            ui.add_enabled(is_there, Button::new(word).min_size(vec2(64.0, FINGER))).on_hover_text(hint).clicked()
        };
        let goes_on = *at < count || showing.has_time_left(seen.clock);
        if button(ui, t!("steps-next"), goes_on, t!("steps-do-the-next")) {
            ask(DemoStep::Move(1), commands);
        }
        if button(ui, t!("steps-back"), *at > 0, t!("steps-take-the-last-back")) {
            ask(DemoStep::Move(-1), commands);
        }
        if button(ui, t!("steps-from-the-beginning"), *at > 0, t!("steps-take-all-back")) {
            ask(DemoStep::Go(0), commands);
        }
        let ahead = Button::selectable(*tells_ahead, t!("steps-tell-the-step-ahead")).min_size(vec2(0.0, FINGER));
        let hint = t!("steps-say-what-is-done-next");
        if ui.add(ahead).on_hover_text(hint).clicked() {
            ask(DemoStep::TellAhead(!tells_ahead), commands);
        }
    });
    about_ui(ui, seen, about.as_ref(), commands);
    if !showing.is_in_step(seen.bench) {
        ui.label(text(seen, t!("steps-something-else-was-done")));
    }
    ui.separator();
    if let Some(step) = demonstration.steps.get(*at).filter(|_| *tells_ahead) {
        ui.label(bold(seen, &t!("steps-ahead", number = at + 1, does = does(seen, &step.does)), 15.0));
        says_ui(ui, seen, &step.says);
        ui.label(bold(seen, t!("steps-what-will-happen"), 18.0));
        ui.separator();
    }
    // What came last stands above.
    if let Some(then) = then.as_ref().filter(|_| is_over(seen, showing)) {
        waited_ui(ui, seen, demonstration.then_s, then);
    }
    if let (Some(step), Some(Gone { waited, did })) =
        (at.checked_sub(1).and_then(|i| demonstration.steps.get(i)), gone.get(at.wrapping_sub(1)))
    {
        ui.label(bold(seen, &t!("steps-step", at, does = does(seen, &step.does)), 15.0));
        says_ui(ui, seen, &step.says);
        brought_ui(ui, seen, did);
        ui.separator();
        if let Some(waited) = waited {
            waited_ui(ui, seen, step.after_s, waited);
        }
    }
    list_ui(ui, seen, showing, commands);
    ui.separator();
    write_ui(ui, seen, showing, commands);
}

/// Whether the time after the last step has passed.
fn is_over(seen: &Seen<'_>, showing: &Demonstrating) -> bool {
    let Demonstration { steps, then_s, .. } = &showing.demonstration;
    *then_s > 0.0 && showing.at == steps.len() && !showing.has_time_left(seen.clock)
}

/// What the trainer wrote.
fn says_ui(ui: &mut Ui, seen: &Seen<'_>, says: &str) {
    if !says.is_empty() {
        ui.label(RichText::new(says).font(theme::plain(seen.palette.letters(14.5))).color(seen.palette.text));
    }
}

/// What time has brought about that passed.
fn waited_ui(ui: &mut Ui, seen: &Seen<'_>, seconds: f64, waited: &Brought) {
    ui.label(bold(seen, &t!("steps-seconds-passed", seconds = fixed(seconds, 1)), 15.0));
    brought_ui(ui, seen, waited);
    ui.separator();
}

/// What was brought about: the links that changed, the fan, new dangers, and why.
fn brought_ui(ui: &mut Ui, seen: &Seen<'_>, brought: &Brought) {
    let (before, after) = (words::fan(brought.standing.0), words::fan(brought.standing.1));
    let fan = if before == after { t!("tip-fan-stays", after) } else { t!("tip-fan", before, after) };
    ui.label(bold(seen, &fan, 16.0));
    for changed in &brought.changed {
        let Changed { link, from, to } = changed;
        let words = t!("steps-link", link = link.word(), from, to);
        ui.label(text(seen, &words));
    }
    if brought.changed.is_empty() {
        ui.label(text(seen, t!("steps-no-link-changes")));
    }
    if let Some(link) = brought.parts_at {
        ui.label(text(seen, &t!("steps-the-chain-parts-at", link = link.word())));
    }
    if !brought.hazards.is_empty() {
        // In full they stand beside the drawing, as always.
        let levels: Vec<_> = brought.hazards.iter().map(|hazard| hazard.level).collect();
        ui.label(bold(seen, &t!("steps-new-below-the-conditions", counted = counted_of(&levels)), 13.5));
    }
    for sentence in &brought.because {
        ui.label(RichText::new(worded(sentence)).color(seen.palette.quiet));
    }
}

/// That the circuit has changed or is gone, with what can be done.
fn about_ui(ui: &mut Ui, seen: &Seen<'_>, about: Option<&About>, commands: &mut Commands) {
    let Some(About { words, now }) = about else { return };
    ui.separator();
    ui.label(text(seen, &worded(words)));
    if now.is_some() && ui.add(Button::new(t!("steps-take-the-circuit-as-it-is")).min_size(vec2(0.0, FINGER))).clicked()
    {
        commands.push(Command::Demonstrate(DemoStep::OnCircuitNow));
    }
}

/// All steps, to go straight to one of them; what is ahead is kept back unless it is to be told.
fn list_ui(ui: &mut Ui, seen: &Seen<'_>, showing: &Demonstrating, commands: &mut Commands) {
    for (place, step) in showing.demonstration.steps.iter().enumerate() {
        let number = place + 1;
        let is_known = number <= showing.at || (showing.tells_ahead && place == showing.at);
        let name = if is_known { does(seen, &step.does) } else { t!("steps-kept-back").to_owned() };
        let is_now = number == showing.at && !(number == showing.demonstration.steps.len() && is_over(seen, showing));
        let told = t!("steps-go-to-step", number, name);
        let after =
            if step.after_s > 0.0 { t!("steps-after", seconds = fixed(step.after_s, 1)) } else { String::new() };
        let title = format!("{number}. {after}{name}");
        let says = if is_known { step.says.as_str() } else { "" };
        if choice::row_ui(ui, seen, ids::demonstrated(place), is_now, (&title, says), &told).clicked() {
            commands.push(Command::Demonstrate(DemoStep::Go(number)));
        }
    }
    let (count, then_s) = (showing.demonstration.steps.len(), showing.demonstration.then_s);
    if then_s > 0.0 {
        let is_now = is_over(seen, showing);
        let told = t!("steps-go-to-the-end", seconds = fixed(then_s, 1));
        let title = t!("steps-then-seconds", seconds = fixed(then_s, 1));
        if choice::row_ui(ui, seen, ids::demonstrated(count), is_now, (&title, ""), &told).clicked() {
            commands.push(Command::Demonstrate(DemoStep::Go(count + 1)));
        }
    }
}

/// What a trainer writes: to the step that stands there, and what all of it shows.
fn write_ui(ui: &mut Ui, seen: &Seen<'_>, showing: &Demonstrating, commands: &mut Commands) {
    // Each is the same field whatever comes to stand above it while it is written in.
    let field = |ui: &mut Ui, id: egui::Id, name: &str, now: &str| {
        let mut typed = now.to_owned();
        ui.label(text(seen, name));
        let edit = TextEdit::singleline(&mut typed).id(id).desired_width(f32::INFINITY).min_size(vec2(0.0, FINGER));
        let edit = ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(name);
        edit.changed().then_some(typed)
    };
    if let Some(place) = showing.at.checked_sub(1)
        && let Some(step) = showing.demonstration.steps.get(place)
        && let Some(says) =
            field(ui, ids::written_to(Some(place)), &t!("steps-write-to-step", at = showing.at), &step.says)
    {
        commands.push(Command::Demonstrate(DemoStep::Write(place, says)));
    }
    if let Some(title) = field(ui, ids::written_to(None), t!("steps-what-it-shows"), &showing.demonstration.title) {
        commands.push(Command::Demonstrate(DemoStep::Title(title)));
    }
    ui.horizontal_wrapped(|ui| {
        let button = |ui: &mut Ui, word: &str| ui.add(Button::new(word).min_size(vec2(0.0, FINGER))).clicked();
        if button(ui, t!("steps-save-it-in-a-file")) {
            commands.push(Command::Ask(Some(Dialog::Save)));
        }
        if button(ui, t!("steps-put-away")) {
            commands.push(Command::Demonstrate(DemoStep::PutAway));
        }
    });
}
