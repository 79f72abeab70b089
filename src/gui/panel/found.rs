//! What is dangerous now, and what is known of the thing looked at.
//!
//! Hazards come first and are always in sight, with their count by signal word; below them the part, wire or lead
//! that is selected, with what can be done to it.

use egui::{Frame, Margin, RichText, Stroke, TextStyle, Ui};

use crate::bench::{Action, just_past};
use crate::circuit::PartId;
use crate::circuit::quantity::METRES_PER_FOOT;
use crate::study::answer::{Hazard, Level, Subject};
use crate::study::faults::universe;

use super::super::command::{Command, Commands, Dialog};
use super::super::condition::Units;
use super::super::seen::Seen;
use super::super::tongue::t;
use super::super::widget::{signal, target};
use super::super::{theme, words};
use super::instruments::disturbs_ui;
use super::terms::{explain, explained_ui, hazard_ui};
use crate::words::fixed;

/// Height of its heading with the lines about it, and of hazards that stay in sight without being scrolled.
const HEADING: f32 = 32.0;
const HAZARDS: f32 = 178.0;
/// Room about a suggestion, and the weight of its edge.
const ABOUT: Margin = Margin::same(7);
const EDGE: f32 = 1.2;

/// Height that must stay free for it in a panel of this width, whatever the circuit feels.
pub fn least_height(ui: &Ui, seen: &Seen<'_>) -> f32 {
    if seen.desk.selected.is_some() {
        // A hazard, and below it what can be done to the thing looked at.
        return 236.0;
    }
    if levels(seen).next().is_some() {
        let is_disturbed =
            seen.taken.iter().any(|taken| taken.shown.as_ref().is_ok_and(|shown| shown.disturbs.is_some()));
        return if is_disturbed { HAZARDS } else { HEADING + hazards_height(ui, seen).min(HAZARDS - HEADING) };
    }
    if is_suggested(seen) { HEADING + suggestion_height(ui, seen) } else { 84.0 }
}

/// Height of what is worth trying, with its button.
fn suggestion_height(ui: &Ui, seen: &Seen<'_>) -> f32 {
    let width = ui.available_width() - ABOUT.sum().x - 2.0 * EDGE;
    let text = seen.desk.suggestion.clone().unwrap_or_default();
    let text = ui.painter().layout(text, TextStyle::Body.resolve(ui.style()), seen.palette.text, width);
    let button = target(ui.ctx()).max(ui.spacing().interact_size.y);
    text.size().y + button + 2.0 * ui.spacing().item_spacing.y + ABOUT.sum().y + 2.0 * EDGE
}

/// Height of all hazards of the circuit with nothing scrolled.
fn hazards_height(ui: &Ui, seen: &Seen<'_>) -> f32 {
    let said = if seen.eyes.is_some() && !seen.verdict.hazards.is_empty() { 2.0 * HEADING } else { 0.0 };
    let gap = ui.spacing().item_spacing.y;
    let all = seen_on_the_fan(seen).into_iter().chain(&seen.verdict.hazards);
    said + all.map(|hazard| signal::height(ui, hazard) + gap).sum::<f32>()
}

/// Whether one thing worth trying is shown: not in a hunt, and while nothing is dangerous.
fn is_suggested(seen: &Seen<'_>) -> bool {
    seen.desk.suggestion.is_some() && seen.hunt.is_none() && levels(seen).next().is_none()
}

/// Shows hazards and the selection.
pub fn found_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let hazards = &seen.verdict.hazards;
    let none = levels(seen).next().is_none();
    let heading = if none { t!("found-no-hazard-in-this-state").to_owned() } else { counted(seen) };
    ui.label(RichText::new(heading).font(theme::bold(13.0)).color(seen.palette.text));
    seen.room.space.list(ui, ("found", [false, false]), |ui| {
        if let Some(danger) = seen_on_the_fan(seen) {
            hazard_ui(ui, seen, danger, commands);
        }
        if seen.eyes.is_some() && !hazards.is_empty() {
            let words = t!("found-as-it-would-be-on");
            ui.label(RichText::new(words).color(seen.palette.quiet));
        }
        for (device, shown) in seen.taken.iter().filter_map(|taken| Some((taken.device, taken.shown.as_ref().ok()?))) {
            explain(disturbs_ui(ui, seen, device, shown), commands);
        }
        for hazard in hazards {
            hazard_ui(ui, seen, hazard, commands);
        }
        if let Some(subject) = seen.desk.selected {
            ui.add_space(4.0);
            selected_ui(ui, seen, subject, commands);
        } else if is_suggested(seen) {
            suggestion_ui(ui, seen, commands);
        } else if none {
            let hint = t!("found-click-anything-in-the-drawing");
            ui.label(RichText::new(hint).color(seen.palette.quiet));
        }
    });
}

/// One thing worth trying, until it is put away.
fn suggestion_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(suggestion) = &seen.desk.suggestion else { return };
    ui.add_space(2.0);
    let frame = Frame::new().fill(seen.palette.sheet).stroke(Stroke::new(EDGE, seen.palette.line));
    frame.inner_margin(ABOUT).show(ui, |ui| {
        ui.label(RichText::new(suggestion).color(seen.palette.text));
        if ui.button(t!("found-put-away")).clicked() {
            commands.push(Command::CloseSuggestion);
        }
    });
}

/// How grave each thing is that stands there: hazards of the circuit, and what instruments make it do.
pub fn levels(seen: &Seen<'_>) -> impl Iterator<Item = Level> {
    let disturbances = seen.taken.iter().filter_map(|taken| taken.shown.as_ref().ok()?.disturbs);
    let hazards = seen_on_the_fan(seen).into_iter().chain(&seen.verdict.hazards);
    hazards.map(|hazard| hazard.level).chain(disturbances)
}

/// Of a truck with a hidden fault, what eyes see of the fan.
fn seen_on_the_fan<'a>(seen: &Seen<'a>) -> Option<&'a Hazard> {
    seen.eyes?.danger.as_ref()
}

/// `1 DANGER, 2 WARNING`.
pub fn counted(seen: &Seen<'_>) -> String {
    counted_of(&levels(seen).collect::<Vec<_>>())
}

/// The same of any hazards.
pub fn counted_of(levels: &[Level]) -> String {
    let counts = [Level::Danger, Level::Warning, Level::Caution].map(|level| {
        let count = levels.iter().filter(|found| **found == level).count();
        (count > 0).then(|| format!("{count} {}", words::signal(level)))
    });
    counts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn selected_ui(ui: &mut Ui, seen: &Seen<'_>, subject: Subject, commands: &mut Commands) {
    let palette = &seen.palette;
    let name = words::subject_name(seen.bench.circuit(), subject);
    ui.label(RichText::new(&name).font(theme::bold(15.0)).color(palette.text));
    let stands = words::subject_seen(seen.bench, seen.eyes.zip(seen.hunt), subject);
    explained_ui(ui, seen, &stands, 13.5, commands);
    match subject {
        Subject::Part(id) => part_ui(ui, seen, id, commands),
        Subject::Wire(id) => {
            let wire = seen.bench.circuit().wire(id);
            let metres = wire.length.metres();
            let length = match seen.look.units {
                Units::Customary => t!("found-feet", feet = fixed(metres / METRES_PER_FOOT, 1)),
                Units::Metric => t!("found-metres", metres = fixed(metres, 1)),
            };
            let made = t!("found-wire-made", gauge = wire.gauge, length);
            ui.label(RichText::new(made).color(palette.quiet));
        }
        Subject::Terminal(_) | Subject::WireEnd(_) | Subject::Lead(_) => {}
    }
    if !universe::at(seen.bench.circuit(), subject).is_empty() {
        let word = if seen.eyes.is_some() { t!("found-guess") } else { t!("found-plant-a-fault") };
        let button = ui.button(format!("{word}\u{2026}")).on_hover_text(t!("found-what-can-be-wrong-here"));
        let where_to = if seen.eyes.is_some() { t!("found-at") } else { t!("found-in") };
        if button.accessible_name(format!("{word} {where_to} {name}")).clicked() {
            commands.push(Command::Ask(Some(Dialog::Faults(subject))));
        }
    }
}

fn part_ui(ui: &mut Ui, seen: &Seen<'_>, id: PartId, commands: &mut Commands) {
    let bench = seen.bench;
    let part = bench.circuit().part(id);
    if let Some(coil) = bench.outcome().coils.get(&id).filter(|_| seen.eyes.is_none()) {
        let volts = words::volts_words(coil.volts);
        let line = t!(
            "found-coil-pulls-in-at-volts",
            volts,
            abs = words::amps_words(coil.amps.abs()),
            pulls_in_now = fixed(coil.pulls_in_now, 1),
            drops_out_now = fixed(coil.drops_out_now, 1)
        );
        explained_ui(ui, seen, &line, 13.5, commands);
    }
    let points = part.kind.set_points();
    for point in &points {
        let line = t!("found-acts-at-returns-at", acts = point.acts, resets = point.resets);
        ui.label(RichText::new(line).color(seen.palette.text));
        let (act, back) = just_past(point);
        // Of several set points each button says whose it is.
        let which = |setting| if points.len() > 1 { format!(" ({})", words::setting(setting)) } else { String::new() };
        let set = |text: String, setting, ui: &mut Ui, commands: &mut Commands| {
            let button = ui.button(text).on_hover_text(t!("found-sets", setting = words::setting(setting)));
            if button.clicked() {
                commands.push(Command::Act(Action::Set(setting)));
            }
        };
        ui.horizontal_wrapped(|ui| {
            set(t!("found-bring-to-act", tag = part.tag, several = which(act)), act, ui, commands);
            set(t!("found-let-return", tag = part.tag, several = which(back)), back, ui, commands);
        });
    }
}
