//! The drawer of a hunt: a number to hide a fault by, what the driver says, what was done at the cost of minutes, the
//! guess, and at the end the best course beside one's own.
//!
//! While it goes on nothing here or elsewhere tells more than eyes, instruments and the driver. The hunt is the study's.

use egui::{Button, Label, RichText, ScrollArea, TextEdit, TextStyle, Ui, vec2};

use crate::bench::{Action, Fault, Gauge, Reading};
use crate::circuit::Kind;
use crate::study::faults::naming;
use crate::study::find::words::minutes;
use crate::study::hunt::{Hunt, Report, Taken};
use crate::study::wording::choice;
use crate::words::{Language, Measure};

use super::super::command::{Command, Commands};
use super::super::dress::FINGER;
use super::super::hunting::{HuntStep, draw_a_number};
use super::super::seen::Seen;
use super::super::tongue::{measured, spoken, t, worded, worded_capital};
use super::super::widget::choice as widget;
use super::super::widget::ends::ends_ui;
use super::super::widget::rows::rows_ui;
use super::super::{ids, theme, words};

/// Height of the list of what was done.
const DONE: f32 = 128.0;
/// Width of the button that gives up.
const GIVE_UP: f32 = 76.0;

/// What is being typed and has been listed.
#[derive(Clone, Debug, Default)]
pub struct HuntState {
    seed: String,
    search: String,
    /// Everything that can be guessed, with its name; made anew for each hunt and language.
    guesses: Vec<(Fault, String)>,
    of: Option<(u64, Language, Measure)>,
    /// Whether to give up is being asked, after so many steps.
    giving_up_after: Option<usize>,
}

/// Shows the drawer.
pub fn hunt_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut HuntState, commands: &mut Commands) {
    let hunting = &seen.studies.hunting;
    let number = seen.hunt.and(hunting.seed()).map_or_else(String::new, |seed| format!(" {seed}"));
    ui.label(RichText::new(t!("hunt-hunt", number)).font(theme::bold(15.0)).color(seen.palette.text));
    seen.room.space.list(ui, ("hunt", [false, false]), |ui| {
        ui.set_width(ui.available_width());
        match (seen.hunt, seen.report) {
            _ if hunting.is_at_work() => {
                let what = t!("hunt-a-fault-is-being-hidden");
                if widget::working_ui(ui, seen, what, hunting.steps(), false).is_some() {
                    commands.push(Command::Hunt(HuntStep::Stop));
                }
            }
            (None, _) => begin_ui(ui, seen, state, commands),
            (Some(hunt), None) => play_ui(ui, seen, hunt, state, commands),
            (Some(hunt), Some(report)) => over_ui(ui, seen, hunt, report, commands),
        }
    });
}

fn heading(seen: &Seen<'_>, text: &str) -> RichText {
    RichText::new(text).font(theme::bold(13.5)).color(seen.palette.text)
}

fn begin_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut HuntState, commands: &mut Commands) {
    let text = |words: &str| RichText::new(words).color(seen.palette.text);
    ui.label(text(t!("hunt-a-fault-is-hidden-in")));
    ui.label(text(t!("hunt-the-same-number-hides-the")));
    if state.seed.is_empty() {
        state.seed = draw_a_number().to_string();
    }
    ui.horizontal(|ui| {
        ui.set_min_height(FINGER);
        ui.label(text(t!("hunt-number")));
        let edit = TextEdit::singleline(&mut state.seed).desired_width(80.0).min_size(vec2(80.0, FINGER));
        ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(t!("hunt-number-of-the-hunt"));
        if ui
            .add(Button::new(t!("hunt-another")).min_size(vec2(76.0, FINGER)))
            .on_hover_text(t!("hunt-draw-another-number"))
            .clicked()
        {
            state.seed = draw_a_number().to_string();
        }
    });
    let seed = state.seed.trim().parse::<u64>();
    let button = Button::new(t!("hunt-begin-the-hunt")).min_size(vec2(ui.available_width() - 8.0, FINGER));
    if ui.add_enabled(seed.is_ok(), button).clicked()
        && let Ok(seed) = seed
    {
        commands.push(Command::Hunt(HuntStep::Begin(seed)));
    }
    if state.seed.trim().parse::<u64>().is_err() {
        ui.label(text(t!("hunt-write-a-whole-number-from")));
    }
    if let Some(refusal) = seen.studies.hunting.refused() {
        ui.label(text(&worded(&refusal.told())));
    }
    ui.label(RichText::new(t!("hunt-what-is-on-the-bench")).color(seen.palette.quiet));
}

fn play_ui(ui: &mut Ui, seen: &Seen<'_>, hunt: &Hunt, state: &mut HuntState, commands: &mut Commands) {
    let wide = ui.available_width() - 8.0;
    ui.allocate_ui(vec2(wide, FINGER), |ui| {
        ui.set_min_height(FINGER);
        let first = |ui: &mut Ui, _: &mut HuntState| drop(ui.add(Label::new(heading(seen, &so_far(hunt))).wrap()));
        ends_ui(ui, ("so-far", GIVE_UP), state, first, |ui, state| give_up_ui(ui, hunt, state));
    });
    if !seen.desk.said.is_empty() {
        ui.label(RichText::new(&seen.desk.said).color(seen.palette.text));
    }
    sure_ui(ui, hunt, state, commands);
    without_tools_ui(ui, seen, hunt, commands);
    ui.label(heading(seen, t!("hunt-done-so-far")));
    if hunt.taken().is_empty() {
        let words = t!("hunt-nothing-yet-turn-a-switch");
        ui.label(RichText::new(words).color(seen.palette.quiet));
    }
    let scroll = ScrollArea::vertical().id_salt("done").max_height(DONE).auto_shrink([false, true]);
    scroll.show(ui, |ui| hunt.taken().iter().rev().for_each(|taken| taken_ui(ui, seen, taken)));
    guess_ui(ui, seen, hunt, state, commands);
}

fn give_up_ui(ui: &mut Ui, hunt: &Hunt, state: &mut HuntState) {
    let steps = Some(hunt.taken().len());
    let button = Button::new(t!("hunt-give-up")).min_size(vec2(GIVE_UP, FINGER));
    if ui.add_enabled(state.giving_up_after != steps, button).on_hover_text(t!("hunt-shows-what-it-was")).clicked() {
        state.giving_up_after = steps;
    }
}

/// Gives up once it is asked again, for nothing hides the fault any more afterwards.
fn sure_ui(ui: &mut Ui, hunt: &Hunt, state: &mut HuntState, commands: &mut Commands) {
    if state.giving_up_after != Some(hunt.taken().len()) {
        return;
    }
    let wide = vec2(ui.available_width() - 8.0, FINGER);
    if ui.add(Button::new(t!("hunt-show-what-it-was")).wrap().min_size(wide)).clicked() {
        state.giving_up_after = None;
        commands.push(Command::Hunt(HuntStep::GiveUp));
    }
    if ui.add(Button::new(t!("hunt-go-on-hunting")).min_size(wide)).clicked() {
        state.giving_up_after = None;
    }
}

/// `12.5 min, 3 readings so far`.
pub fn so_far(hunt: &Hunt) -> String {
    let readings = hunt.taken().iter().filter(|taken| taken.did.starts_with("read ")).count();
    let readings = if readings == 1 { t!("hunt-1-reading").to_owned() } else { t!("hunt-readings", readings) };
    t!("hunt-so-far", minutes = minutes(hunt.minutes()), readings)
}

/// What is read and done without a tool of the tray: the gauge in the hose, fuses taken out and renewed.
fn without_tools_ui(ui: &mut Ui, seen: &Seen<'_>, hunt: &Hunt, commands: &mut Commands) {
    let gauge = Reading::Gauge(Gauge::Clutch);
    let wide = ui.available_width() - 8.0;
    if seen.bench.circuit().clutch_valve().is_some() {
        let name = t!("hunt-read-the-clutch-gauge", gauge = minutes(hunt.minutes_to_read(&gauge)));
        if ui.add(Button::new(name).min_size(vec2(wide, FINGER))).clicked() {
            commands.push(Command::Hunt(HuntStep::Take(gauge)));
        }
    }
    let fuses = seen.bench.circuit().parts().iter().filter(|part| matches!(part.kind, Kind::Fuse(_)));
    for tag in fuses.map(|fuse| &fuse.tag) {
        ui.horizontal(|ui| {
            let half = vec2((wide - ui.spacing().item_spacing.x) / 2.0, FINGER);
            let known = seen.eyes.and_then(|eyes| eyes.fuses.iter().find(|(fuse, _)| fuse == tag));
            let found = known.map_or("", |(_, blown)| if *blown { t!("hunt-blown") } else { t!("hunt-whole") });
            let look = ui.add(Button::new(t!("hunt-look-at", tag, found)).min_size(half));
            if look.clicked() {
                commands.push(Command::Hunt(HuntStep::Look(tag.clone())));
            }
            // What was found makes the first longer, and the second leaves it the room.
            let rest = vec2(wide - look.rect.width() - ui.spacing().item_spacing.x, FINGER);
            if ui.add(Button::new(t!("hunt-renew", tag)).min_size(rest)).clicked() {
                commands.push(Command::Act(Action::ReplaceFuse(tag.clone())));
            }
        });
    }
}

/// The list of what it may be, narrowed by words.
fn guess_ui(ui: &mut Ui, seen: &Seen<'_>, hunt: &Hunt, state: &mut HuntState, commands: &mut Commands) {
    let of = seen.studies.hunting.seed().map(|seed| (seed, spoken(), measured()));
    if state.of != of || state.guesses.is_empty() {
        let circuit = seen.bench.circuit();
        let guess = |fault: &Fault| (fault.clone(), worded_capital(&naming::name(circuit, fault)));
        *state = HuntState {
            seed: state.seed.clone(),
            guesses: hunt.guessable().map(guess).collect(),
            of,
            ..HuntState::default()
        };
    }
    ui.add_space(4.0);
    ui.label(heading(seen, t!("hunt-what-is-it")));
    let hint = t!("hunt-search-b1-stuck-w4");
    let edit = TextEdit::singleline(&mut state.search).hint_text(hint).desired_width(ui.available_width() - 12.0);
    ui.add(edit.min_size(vec2(60.0, FINGER - 10.0)).align(egui::Align2::LEFT_CENTER))
        .accessible_name(t!("hunt-search-what-it-may-be"));
    let wanted: Vec<String> = state.search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let fits = |(fault, name): &&(Fault, String)| {
        let (name, grammar) = (name.to_lowercase(), fault.to_string().to_lowercase());
        wanted.iter().all(|word| name.contains(word) || grammar.contains(word))
    };
    let listed: Vec<&(Fault, String)> = state.guesses.iter().filter(fits).collect();
    let words = t!("hunt-of-possibilities-or-right-click", listed = listed.len(), guesses = state.guesses.len());
    ui.label(RichText::new(words).font(theme::plain(11.5)).color(seen.palette.quiet));
    rows_ui(ui, true, ("guesses", true), (widget::ROW, listed.len(), f32::INFINITY), |ui, at| {
        let (fault, name) = listed[at];
        let tried = hunt.guesses().iter().any(|guess| guess.fault == *fault);
        let below = if tried { t!("hunt-guessed-wrong") } else { t!("hunt-guess-this") };
        let id = ids::guess(&fault.to_string());
        if widget::row_ui(ui, seen, id, false, (name, below), &t!("hunt-guess", name)).clicked() && !tried {
            commands.push(Command::Hunt(HuntStep::Guess(fault.clone())));
        }
    });
}

/// A step with what it showed and took.
fn taken_ui(ui: &mut Ui, seen: &Seen<'_>, taken: &Taken) {
    let shows = taken.shows.as_ref().map_or_else(String::new, |shows| t!("hunt-shows", shows));
    let told = format!("{}{shows}", words::line_of_a_hunt(seen.bench.circuit(), &taken.did));
    step_ui(ui, seen, &told, taken.minutes, taken.dangers > 0 && seen.report.is_some());
}

fn step_ui(ui: &mut Ui, seen: &Seen<'_>, told: &str, took: f64, dangerous: bool) {
    let took = RichText::new(worded(&minutes(took))).color(seen.palette.quiet);
    let took = egui::WidgetText::from(took).into_galley(ui, Some(egui::TextWrapMode::Extend), 0.0, TextStyle::Body);
    let left = (ui.available_width() - took.size().x - 2.0 * ui.spacing().item_spacing.x).max(60.0);
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.set_width(left);
            let danger = if dangerous { t!("hunt-danger") } else { "" };
            ui.add(Label::new(RichText::new(format!("{told}{danger}")).color(seen.palette.text)).wrap());
        });
        ui.label(took);
    });
}

fn over_ui(ui: &mut Ui, seen: &Seen<'_>, hunt: &Hunt, report: &Report, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let name = |fault: &Fault| worded(&naming::name(circuit, fault));
    let text = |words: &str| RichText::new(words).color(seen.palette.text);
    let found = if report.is_found { t!("hunt-found") } else { t!("hunt-not-found") };
    ui.label(heading(seen, &t!("hunt-it-was", found, hidden = name(&report.hidden))));
    ui.label(text(t!("hunt-it-is-marked-in-the")));
    if !report.alike.is_empty() {
        let alike: Vec<String> = report.alike.iter().map(name).collect();
        ui.label(text(&t!("hunt-nothing-tells-it-from", alike = choice(&alike))));
    }
    if hunt.guesses().len() > 1 || !report.is_found {
        let wrong: Vec<String> =
            hunt.guesses().iter().filter(|guess| !guess.is_right).map(|g| name(&g.fault)).collect();
        if !wrong.is_empty() {
            ui.label(text(&t!("hunt-wrong-guesses", wrong = wrong.join("; "))));
        }
    }
    let end = Button::new(t!("hunt-put-the-hunt-away")).min_size(vec2(ui.available_width() - 8.0, FINGER));
    if ui.add(end).on_hover_text(t!("hunt-the-bench-is-then-as")).clicked() {
        commands.push(Command::Hunt(HuntStep::End));
    }
    ui.add_space(4.0);
    ui.label(heading(seen, &t!("hunt-your-course", minutes = minutes(hunt.minutes()))));
    for taken in hunt.taken() {
        taken_ui(ui, seen, taken);
    }
    ui.add_space(4.0);
    ui.label(heading(seen, &t!("hunt-the-best-course-known", best_minutes = minutes(report.best_minutes))));
    if report.best.is_empty() {
        ui.label(text(t!("hunt-nothing-to-measure-what-the")));
    }
    for test in &report.best {
        let told = t!("hunt-read", reading = words::reading(&test.reading), setup = words::setup(&test.setup));
        step_ui(ui, seen, &told, test.minutes, false);
    }
}
