//! The dialog that makes a circuit from answers: questions down the page, and below them what the circuit would do.
//!
//! Questions, their answers and all that comes of them are [`study::making`](crate::study::making)'s; here they are
//! shown and chosen. Nothing is on the bench before it is put there.

use egui::{Button, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::bench::{Refusal, level_words};
use crate::study::making::questions::{Question, REQUESTS};
use crate::study::making::{Answers, Made, make};
use crate::study::wording::quantity_name;

use super::super::amount;
use super::super::command::{Command, Commands, Source};
use super::super::condition::Units;
use super::super::dress::FINGER;
use super::super::seen::Seen;
use super::super::theme;
use super::super::tongue::{spoken, t, worded};
use super::dialogs::{heading, opening, where_ui};
use crate::words::Words;

/// Height that what comes of the answers keeps.
const BELOW: f32 = 224.0;
/// Width of the field for points.
const POINTS: f32 = 150.0;

/// What the dialog keeps between frames.
#[derive(Clone, Debug)]
pub struct MakingState {
    answers: Answers,
    /// Points as they are being typed, by the places of [`REQUESTS`].
    points: [String; REQUESTS.len()],
    /// Why what is typed there is not taken, where it is not.
    wrong: [String; REQUESTS.len()],
    /// It has been asked whose units and language they are to be in.
    is_begun: bool,
    /// What came of which answers.
    came: Option<(Answers, Result<Made, Refusal>)>,
}

impl Default for MakingState {
    fn default() -> Self {
        let mut state = Self {
            answers: Answers::default(),
            points: Default::default(),
            wrong: Default::default(),
            is_begun: false,
            came: None,
        };
        state.write_points();
        state
    }
}

impl MakingState {
    /// Has the figures in the units of who asks, and the title in their language, until another answer is given.
    fn begin(&mut self, units: Units) {
        let is_first = !std::mem::replace(&mut self.is_begun, true);
        if is_first {
            t!("making-my-truck").clone_into(&mut self.answers.title);
        }
        if is_first && units == Units::Metric && Question::Units.answer(&mut self.answers, "metric").is_ok() {
            self.write_points();
        }
    }

    /// Writes the points of what asks as they stand; what is typed and not taken stays to be put right.
    fn write_points(&mut self) {
        for (((_, senses), points), wrong) in REQUESTS.iter().zip(&mut self.points).zip(&mut self.wrong) {
            let asks = self.answers.requests.iter().find(|request| request.senses == *senses);
            if asks.is_none() {
                wrong.clear();
            } else if !wrong.is_empty() {
                continue;
            }
            *points = asks.map_or_else(String::new, |request| {
                let level = |level| amount::shown(&level_words(level));
                format!("{} / {}", level(request.acts), level(request.resets))
            });
        }
    }

    /// What comes of the answers as they stand.
    fn came(&mut self) -> &Result<Made, Refusal> {
        let is_known = self.came.as_ref().is_some_and(|(of, _)| *of == self.answers);
        if !is_known {
            self.came = None;
        }
        let answers = &self.answers;
        &self.came.get_or_insert_with(|| (answers.clone(), make(answers))).1
    }
}

/// Shows the dialog's inside.
pub fn making_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (state, beside): (&mut MakingState, &mut bool),
    height: f32,
    commands: &mut Commands,
) {
    state.begin(seen.look.units);
    heading(ui, seen, t!("making-a-circuit-from-answers"));
    let questions = ScrollArea::vertical().id_salt("questions").max_height((height - BELOW).max(120.0));
    questions.auto_shrink([false, true]).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        title_ui(ui, seen, state);
        requests_ui(ui, seen, state);
        for question in Question::ALL {
            if question.is_open(&state.answers) {
                question_ui(ui, seen, state, question);
            }
        }
    });
    ui.separator();
    came_ui(ui, seen, state, beside, commands);
}

fn label(seen: &Seen<'_>, words: &str) -> RichText {
    RichText::new(words).font(theme::bold(13.5)).color(seen.palette.text)
}

fn title_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut MakingState) {
    let words = t!("making-what-is-it-the-circuit");
    ui.label(label(seen, words));
    let edit = TextEdit::singleline(&mut state.answers.title).desired_width(320.0).min_size(vec2(320.0, FINGER));
    ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(words);
}

/// What asks, each with the points it acts and returns at.
fn requests_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut MakingState) {
    ui.add_space(6.0);
    ui.label(label(seen, t!("making-what-asks-for-the-fan")));
    for (place, (name, senses)) in REQUESTS.into_iter().enumerate() {
        ui.horizontal(|ui| {
            let mut asks = state.answers.asks(senses);
            let text = RichText::new(worded(&quantity_name(senses))).color(seen.palette.text);
            ui.scope(|ui| {
                ui.set_min_size(vec2(140.0, FINGER));
                if ui.checkbox(&mut asks, text).clicked() {
                    state.answers.ask(senses, asks);
                    state.write_points();
                }
            });
            if !asks {
                return;
            }
            let points = &mut state.points[place];
            let edit = TextEdit::singleline(points).desired_width(POINTS).min_size(vec2(POINTS, FINGER - 10.0));
            let field = ui.add(edit.align(egui::Align2::LEFT_CENTER));
            let field = field.accessible_name(t!("making-points-of", senses = quantity_name(senses)));
            if field.changed() {
                let read = state.answers.read_points(&format!("{name}={}", amount::in_grammar(points)));
                state.wrong[place] = read.err().map(|refusal| worded(&refusal.told())).unwrap_or_default();
            }
            ui.label(RichText::new(t!("making-example-value")).font(theme::plain(11.5)).color(seen.palette.quiet));
        });
    }
    for wrong in state.wrong.iter().filter(|wrong| !wrong.is_empty()) {
        ui.label(RichText::new(wrong).color(seen.palette.text));
    }
}

fn question_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut MakingState, question: Question) {
    ui.add_space(6.0);
    ui.label(label(seen, &worded(&question.words())));
    let answered = question.answered(&state.answers);
    ui.horizontal_wrapped(|ui| {
        for choice in question.choices() {
            let is_answer = choice.name == answered;
            let ink = if is_answer { seen.palette.on_chosen } else { seen.palette.text };
            let text = RichText::new(worded(&choice.meaning)).color(ink);
            let button = Button::new(text).selected(is_answer).min_size(vec2(72.0, FINGER));
            let button =
                ui.add(button).accessible_name(format!("{} {}", worded(&question.words()), worded(&choice.meaning)));
            // Every choice of a question is one of its answers.
            if button.clicked() && question.answer(&mut state.answers, choice.name).is_ok() {
                state.write_points();
            }
        }
    });
}

/// What the circuit would do, or why there is none.
fn came_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut MakingState, beside: &mut bool, commands: &mut Commands) {
    let wrong = state.wrong.iter().find(|wrong| !wrong.is_empty()).cloned();
    let came = state.came();
    let (made, words) = match (wrong, came) {
        // What was typed before it is not what is asked for.
        (Some(wrong), _) => (None, format!("{} {wrong}", t!("making-nothing-is-made-yet"))),
        // In the units that were typed.
        (None, Ok(made)) => (Some(made), Words::joined(made.says.iter().cloned(), " ").to_language(spoken())),
        (None, Err(refusal)) => (None, worded(&refusal.told())),
    };
    let told = ScrollArea::vertical().id_salt("came").max_height(BELOW - 144.0).auto_shrink([false, false]);
    told.show(ui, |ui| ui.label(RichText::new(words).color(seen.palette.text)));
    where_ui(ui, seen, beside);
    ui.horizontal(|ui| {
        let button = Button::new(RichText::new(t!("making-put-it-on-the-bench")).font(theme::bold(13.5)));
        if ui.add_enabled(made.is_some(), button.min_size(vec2(180.0, FINGER))).clicked()
            && let Some(made) = made
        {
            commands.push(opening(*beside, Source::Made(made.text.clone())));
        }
        if ui.add(Button::new(t!("making-close")).min_size(vec2(80.0, FINGER))).clicked() {
            commands.push(Command::Ask(None));
        }
        let words = t!("making-set-points-coils-fuses-and");
        ui.add(egui::Label::new(RichText::new(words).font(theme::plain(11.5)).color(seen.palette.quiet)).wrap());
    });
}
