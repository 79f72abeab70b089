//! The drawer with the proving acts: what makes the clutch engage or release by hand, how fit each is, and why.
//!
//! Each act is one row: pointing at it marks in the drawing where the hand goes and foretells what it would come to
//! now; a click does it, a second puts it back. The list is worked out by the study, for the circuit as built under
//! the conditions named at its head; whether it still holds in the state on the bench is what the forecast says.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::text::LayoutJob;
use egui::{Align2, Galley, Rect, Response, RichText, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::bench::{Act, Action, Bench, Point};
use crate::circuit::{Circuit, Contact};
use crate::physics::inputs::Conditions;
use crate::study::answer::{Standing, Subject};
use crate::study::prove::{Class, Proof, ProvingAct};
use crate::study::wording;

use super::super::command::{Command, Commands};
use super::super::seen::{Proving, Seen};
use super::super::studies::Awaited;
use super::super::tongue::{t, worded};
use super::super::widget::choice::working_ui;
use super::super::widget::glyph;
use super::super::{ids, theme, words};
use crate::words::Words;

/// Height of a row, a finger's width.
const ROW: f32 = 44.0;
/// Room above and below its lines, right of it, and within it left and right of them.
const PADDING: f32 = 10.0;
const AROUND: f32 = 6.0;
const LEFT: f32 = 30.0;
const RIGHT: f32 = 8.0;
/// Size of the letters of what comes of it, and most lines of either.
const BELOW: f32 = 11.5;
const MOST_LINES: usize = 3;
/// The sign that a row which is done is put back by another press, and the room that is kept for it.
const BACK: &str = "\u{21a9}";
const BACK_ROOM: f32 = 17.0;
/// Most pairs of a class listed; more are counted.
const MOST_PAIRS: usize = 12;

/// A proving act pointed at, and where a tip about it belongs.
#[derive(Clone, Debug)]
pub struct PointedAct {
    /// What would be done.
    pub acts: Vec<Act>,
    /// What to mind about it.
    pub mind: Vec<Words>,
    /// Height of the row on screen, for a tip beside it; none where it is done already and nothing is to be foretold.
    pub tip_at: Option<f32>,
}

/// Shows the drawer.
pub fn prove_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) -> Option<PointedAct> {
    heading_ui(ui, seen, commands);
    let proof = match seen.studies.proof() {
        Awaited::Known(proof) => proof,
        Awaited::Working(done, all) => {
            let (what, stopped) = (t!("prove-every-act-and-pair-of"), seen.studies.proof_stopped());
            if let Some(stop) = working_ui(ui, seen, what, (done, all), stopped) {
                commands.push(Command::StopProof(stop));
            }
            return None;
        }
    };
    if proof.at_rest == Standing::None {
        ui.label(RichText::new(t!("prove-there-is-no-air-valve")).color(seen.palette.text));
        return None;
    }
    let acts = match seen.room.proving {
        Proving::Engage => &proof.engage,
        Proving::Release => &proof.release,
    };
    under_ui(ui, seen, proof, commands);
    scope_ui(ui, seen, proof);
    let name = ("proving", seen.room.proving as u8);
    seen.room.space.list(ui, (name, [false, false]), |ui| list_ui(ui, seen, acts, commands))
}

fn heading_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    ui.label(RichText::new(t!("prove-proving-acts")).font(theme::bold(15.0)).color(seen.palette.text));
    ui.horizontal(|ui| {
        let width = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
        for (what, name) in [(Proving::Engage, t!("prove-to-engage")), (Proving::Release, t!("prove-to-release"))] {
            let button = egui::Button::selectable(seen.room.proving == what, name).min_size(vec2(width, 34.0));
            if ui.add(button).clicked() {
                commands.push(Command::Prove(what));
            }
        }
    });
}

/// What was left out of a large circuit.
fn scope_ui(ui: &mut Ui, seen: &Seen<'_>, proof: &Proof) {
    let scope = &proof.scope;
    if let Some(at) = &scope.at {
        let (parts, all) = (at.len(), seen.bench.circuit().parts().len());
        let said = t!("prove-tried-only-at", parts, all, tags = at.join(", "));
        ui.label(RichText::new(said).color(seen.palette.text));
    }
    if let Some(pairs) = scope.pairs_left {
        ui.label(RichText::new(t!("prove-single-acts-only", pairs)).color(seen.palette.text));
    }
}

/// Under what the list holds, with a way to bring it about.
fn under_ui(ui: &mut Ui, seen: &Seen<'_>, proof: &Proof, commands: &mut Commands) {
    let palette = &seen.palette;
    let quiet = |ui: &mut Ui, text: &str| {
        ui.label(RichText::new(text).color(palette.quiet));
    };
    match (seen.room.proving, &proof.release_from, proof.release_under) {
        (Proving::Engage, ..) if proof.at_rest == Standing::Engaged => {
            quiet(ui, t!("prove-key-on-engine-stopped-cold"));
        }
        (Proving::Engage, ..) => {
            let air = wording::psi(Conditions::default().air_kpa);
            quiet(ui, &t!("prove-for-the-key-on-engine", air));
        }
        (Proving::Release, Some(tag), Some(under)) => {
            quiet(ui, &t!("prove-for-made-to-act-else", tag, under = words::setting(under)));
            if ui
                .button(t!("prove-make-act", tag))
                .on_hover_text(t!("prove-sets", under = words::setting(under)))
                .clicked()
            {
                commands.push(Command::Act(Action::Set(under)));
            }
        }
        (Proving::Release, ..) => {
            quiet(ui, t!("prove-no-single-sensor-engages-this"));
        }
    }
}

fn list_ui(ui: &mut Ui, seen: &Seen<'_>, acts: &[ProvingAct], commands: &mut Commands) -> Option<PointedAct> {
    let mut pointed = None;
    for class in Class::ALL {
        let of_class: Vec<&ProvingAct> = acts.iter().filter(|a| a.class == class).collect();
        if of_class.is_empty() {
            continue;
        }
        let heading = RichText::new(format!("{} ({})", class_words(class), of_class.len())).font(theme::bold(13.0));
        let header = egui::CollapsingHeader::new(heading.color(seen.palette.text))
            .id_salt(("class", class as u8, seen.room.proving as u8))
            .default_open(class == Class::Usual);
        header.show(ui, |ui| {
            ui.label(RichText::new(class_meaning(class)).color(seen.palette.quiet));
            let (singles, pairs): (Vec<&ProvingAct>, Vec<_>) = of_class.into_iter().partition(|a| a.acts.len() == 1);
            let shown = MOST_PAIRS.min(pairs.len());
            for act in singles.iter().chain(&pairs[..shown]) {
                pointed = row_ui(ui, seen, act, commands).or(pointed.take());
            }
            if shown < pairs.len() {
                let more = t!("prove-and-more-pairs-the-command", pairs = pairs.len() - shown);
                ui.label(RichText::new(more).color(seen.palette.quiet));
            }
        });
    }
    pointed
}

/// A row, and what it says if it is pointed at.
fn row_ui(ui: &mut Ui, seen: &Seen<'_>, act: &ProvingAct, commands: &mut Commands) -> Option<PointedAct> {
    let done = is_done(seen.bench, &act.acts);
    let circuit = seen.bench.circuit();
    let short = |act: &Act| short_words(circuit, act);
    let title = act.acts.iter().map(short).collect::<Vec<_>>().join(t!("prove-then"));
    let below = below_words(act);
    let word = if done { t!("prove-put-back") } else { t!("prove-try") };
    let name = format!("{word}: {title}. {}. {below}", class_words(act.class));
    let lines = lines(ui, seen, (&title, &below), done);
    let height = (lines.iter().map(|line| line.size().y).sum::<f32>() + PADDING).max(ROW);
    let (_, rect) = ui.allocate_space(vec2(ui.available_width() - AROUND, height));
    let response = ui.interact(rect, ids::proving(seen.room.proving, &act.acts), Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, done, &name));
    paint_row(ui, rect, seen, (act.class, done, &response), lines);
    if response.clicked() {
        let acts = act.acts.clone();
        commands.push(if done { Command::PutBackAll(acts) } else { Command::TryAll(acts) });
    }
    let pointed = response.hovered() || response.has_focus();
    let tip_at = (!done).then_some(rect.top());
    pointed.then(|| PointedAct { acts: act.acts.clone(), mind: act.mind.clone(), tip_at })
}

/// The act, and what comes of it beside the sign of the way back, in as many lines as it takes up to a few: as high
/// whether it is done or not, so that nothing moves.
fn lines(ui: &Ui, seen: &Seen<'_>, (title, below): (&str, &str), done: bool) -> [Arc<Galley>; 2] {
    let palette = &seen.palette;
    let (ink, quiet) = if done { (palette.on_chosen, palette.on_chosen) } else { (palette.text, palette.quiet) };
    let wide = ui.available_width() - AROUND - LEFT - RIGHT;
    let line = |text: &str, font: egui::FontId, color, width: f32| {
        let mut job = LayoutJob::simple(text.to_owned(), font, color, width);
        job.wrap.max_rows = MOST_LINES;
        ui.painter().layout_job(job)
    };
    [line(title, theme::bold(13.0), ink, wide), line(below, theme::plain(BELOW), quiet, wide - BACK_ROOM)]
}

fn paint_row(
    ui: &Ui,
    rect: Rect,
    seen: &Seen<'_>,
    (class, done, response): (Class, bool, &Response),
    [title, below]: [Arc<Galley>; 2],
) {
    let palette = &seen.palette;
    let painter = ui.painter();
    let (fill, ink) = if done { (palette.chosen, palette.on_chosen) } else { (palette.sheet, palette.text) };
    painter.rect_filled(rect, 3.0, fill);
    painter.rect_stroke(rect, 3.0, Stroke::new(1.0, palette.line), StrokeKind::Inside);
    glyph::class(painter, class, pos2(rect.left() + 15.0, rect.center().y), 8.0, ink);
    let top = rect.center().y - (title.size().y + below.size().y) / 2.0;
    let under = top + title.size().y;
    let last = under + below.size().y;
    painter.galley(pos2(rect.left() + LEFT, top), title, ink);
    painter.galley(pos2(rect.left() + LEFT, under), below, ink);
    if done {
        painter.text(pos2(rect.right() - RIGHT, last), Align2::RIGHT_BOTTOM, BACK, theme::bold(BACK_ROOM), ink);
    }
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        painter.rect_stroke(rect, 3.0, Stroke::new(weight, palette.focus), StrokeKind::Inside);
    }
}

/// Whether all of these acts are in effect on the bench.
fn is_done(bench: &Bench, acts: &[Act]) -> bool {
    acts.iter().all(|act| bench.acts().any(|done| done == act))
}

/// What coil and gauge show after it, or the danger that forbids it.
fn below_words(act: &ProvingAct) -> String {
    if let (Class::NotAdvised | Class::Dangerous, Some(gravest)) = (act.class, act.hazards.first()) {
        return worded(&gravest.text);
    }
    let coil = act
        .coil_volts
        .map_or_else(|| t!("prove-coil-floating").to_owned(), |v| t!("prove-coil", v = wording::volts(v)));
    t!("prove-clutch", coil, chamber_kpa = wording::psi(act.chamber_kpa.unwrap_or(0.0)))
}

fn class_words(class: Class) -> &'static str {
    match class {
        Class::Usual => t!("prove-usual"),
        Class::Workable => t!("prove-workable"),
        Class::NotAdvised => t!("prove-not-advised"),
        Class::Dangerous => t!("prove-dangerous"),
    }
}

fn class_meaning(class: Class) -> &'static str {
    match class {
        Class::Usual => t!("prove-what-the-trade-does-with"),
        Class::Workable => t!("prove-no-danger-but-not-where"),
        Class::NotAdvised => t!("prove-each-carries-a-warning"),
        Class::Dangerous => t!("prove-each-works-and-carries-a"),
    }
}

/// An act as a technician would call it out.
fn short_words(circuit: &Circuit, act: &Act) -> String {
    match act {
        Act::Turn { switch, to } => match to.as_str() {
            "on" if act.leaves_contact(circuit) == Some(Contact::Open) => t!("prove-turn-on-opens", switch),
            "on" => t!("prove-turn-on", switch),
            "off" => t!("prove-turn-off", switch),
            _ => t!("prove-turn", switch, to),
        },
        Act::Press { switch } => t!("prove-press", switch),
        Act::Jump { a: Point::Terminal(a), b: Point::Terminal(b), .. } => {
            match (a.split_once('.'), b.split_once('.')) {
                (Some((part, from)), Some((other, to))) if part == other => {
                    t!("prove-lead-across-to", part, from, to)
                }
                _ => t!("prove-lead-to", a, b),
            }
        }
        Act::Jump { a, b, .. } => t!("prove-lead-to", a, b),
        Act::Lift(end) => t!("prove-lift-off", wire = end.wire, terminal = end.terminal),
        Act::Unplug { part } => t!("prove-unplug", part),
    }
}

/// Where in the drawing the hand goes.
pub fn places(bench: &Bench, acts: &[Act]) -> BTreeSet<Subject> {
    let circuit = bench.circuit();
    let part = |tag: &str| circuit.part_named(tag).map(Subject::Part);
    let point = |point: &Point| match point {
        Point::Terminal(words) => circuit.terminal_named(words).map(Subject::Terminal),
        Point::LooseEnd(end) => bench.wire_end(end).ok().map(Subject::WireEnd),
    };
    let of = |act: &Act| match act {
        Act::Turn { switch, .. } | Act::Press { switch } => vec![part(switch)],
        Act::Jump { a, b, .. } => vec![point(a), point(b)],
        Act::Lift(end) => {
            vec![bench.wire_end(end).ok().map(Subject::WireEnd), circuit.wire_named(&end.wire).map(Subject::Wire)]
        }
        Act::Unplug { part: tag } => vec![part(tag)],
    };
    acts.iter().flat_map(of).flatten().collect()
}
