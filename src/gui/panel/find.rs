//! The drawer of a find: what was seen, the test to make next, what remains, and at the end repair and proof.
//!
//! A conversation: each answer is a line that can be taken back. A reading is typed, or taken from the bench's own meter
//! once the test is carried out there. What remains and what to try is the study's; the drawing shows where suspicion
//! lies and where the leads go.

use egui::{Align, Button, CollapsingHeader, ComboBox, Layout, RichText, TextEdit, TextStyle, Ui, vec2};

use crate::bench::Reading;
use crate::drawing::standing::place_of_fault;
use crate::study::answer::Standing;
use crate::study::faults::naming;
use crate::study::find::sight::{Seen as Saw, Setup, Sight, unit};
use crate::study::find::words::{SINGLE, because, minutes, percent, proof, repairs};
use crate::study::find::{Clash, Found, Line, Suspect, Test};
use crate::study::meter::read;
use crate::study::wording::choice;

use super::super::command::{Command, Commands};
use super::super::dress::FINGER;
use super::super::finding::{FindStep, Finding, setup_of};
use super::super::seen::Seen;
use super::super::studies::Awaited;
use super::super::tongue::{key, plain, t, titled, worded, worded_capital};
use super::super::widget::{choice as widget, target};
use super::super::words::capital;
use super::super::{theme, words};
use super::terms::{explained_ui, hazard_ui};

/// Most lines of what remains shown at once; the rest is counted and can be unfolded.
const MOST: usize = 8;

/// Instruments that may be at hand, by the verb of their readings, with their names.
const AT_HAND: [(&str, &str); 6] = [
    ("volts", key!("find-meter-volts")),
    ("ohms", key!("find-meter-ohms")),
    ("lowz", key!("find-meter-low-impedance-volts")),
    ("lamp", key!("find-test-lamp")),
    ("clamp", key!("find-clamp")),
    ("gauge", key!("find-clutch-gauge")),
];

/// What is being said.
#[derive(Clone, Debug, Default)]
pub struct FindState {
    situation: usize,
    typed: String,
    doubtful: bool,
    wrong: String,
    all_lines: bool,
}

/// Height of the drawer's first line, which has a button in it.
pub fn head_height(ui: &Ui) -> f32 {
    let letters = ui.text_style_height(&TextStyle::Button);
    target(ui.ctx()).max(letters + 2.0 * ui.spacing().button_padding.y)
}

/// Shows the drawer.
pub fn find_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut FindState, commands: &mut Commands) {
    let finding = &seen.studies.finding;
    ui.horizontal(|ui| {
        ui.label(RichText::new(t!("find-find")).font(theme::bold(15.0)).color(seen.palette.text));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.add_enabled(!finding.sights().is_empty(), Button::new(t!("find-begin-anew"))).clicked() {
                *state = FindState::default();
                commands.push(Command::Find(FindStep::Anew));
            }
        });
    });
    if seen.eyes.is_some() {
        let words = t!("find-while-a-hunt-goes-on");
        ui.label(RichText::new(words).color(seen.palette.text));
        return;
    }
    seen.room.space.list(ui, ("find", [false, false]), |ui| {
        ui.set_width(ui.available_width());
        seen_ui(ui, seen, commands);
        let header = CollapsingHeader::new(heading(seen, t!("find-say-what-was-seen")));
        header.id_salt(("seen", finding.sights().is_empty())).default_open(finding.sights().is_empty()).show(
            ui,
            |ui| {
                complaint_ui(ui, seen, state, commands);
            },
        );
        match finding.found() {
            Awaited::Working(done, all) => {
                let stopped = finding.is_stopped();
                let stop = widget::working_ui(ui, seen, t!("find-every-fault-is-being-tried"), (done, all), stopped);
                if let Some(stop) = stop {
                    commands.push(Command::Find(FindStep::Stop(stop)));
                }
            }
            Awaited::Known(Err(unfit)) => {
                let which = unfit.sight.map_or_else(String::new, |at| t!("find-line", at = at + 1));
                ui.label(RichText::new(format!("{which}{}", unfit.refusal)).color(seen.palette.text));
            }
            Awaited::Known(Ok(found)) => found_ui(ui, seen, found, state, commands),
        }
        at_hand_ui(ui, seen, commands);
        ui.label(RichText::new(worded(&SINGLE)).font(theme::plain(11.5)).color(seen.palette.quiet));
    });
}

fn heading(seen: &Seen<'_>, text: &str) -> RichText {
    RichText::new(text).font(theme::bold(13.5)).color(seen.palette.text)
}

/// What was seen so far, each to be taken back.
fn seen_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    for (place, sight) in seen.studies.finding.sights().iter().enumerate() {
        let told = words::sight(sight);
        ui.horizontal(|ui| {
            let button = ui.add(Button::new(t!("find-take-back")).min_size(vec2(0.0, FINGER - 12.0)));
            if button.accessible_name(t!("find-take-back-2", told)).clicked() {
                commands.push(Command::Find(FindStep::TakeBack(place)));
            }
            ui.add(egui::Label::new(RichText::new(told).color(seen.palette.text)).wrap());
        });
    }
}

/// What a driver says: when, and what the fan did.
fn complaint_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut FindState, commands: &mut Commands) {
    let situations = seen.studies.finding.situations();
    ui.label(RichText::new(t!("find-when")).color(seen.palette.text));
    let now = situations.get(state.situation).map_or_else(String::new, words::setup);
    let list = ComboBox::from_id_salt("situation").width(ui.available_width() - 12.0).selected_text(capital(&now));
    let shown = list.show_ui(ui, |ui| {
        for (place, setup) in situations.iter().enumerate() {
            ui.selectable_value(&mut state.situation, place, capital(&words::setup(setup)));
        }
    });
    shown.response.accessible_name(t!("find-when-it-was-seen"));
    ui.label(RichText::new(t!("find-what-did-the-fan-do")).color(seen.palette.text));
    let setup = situations.get(state.situation).cloned().unwrap_or_default();
    if let Some(standing) = fan_ui(ui, t!("find-the-fan-was")) {
        commands.push(Command::Find(FindStep::See(fan_sight(standing, setup))));
    }
    let here = setup_of(seen.bench, seen.look.units);
    let standing = seen.verdict.standing;
    let text = t!("find-as-on-the-bench", standing = words::fan(standing));
    let name = t!("find-as-on-the-bench-the", standing = words::fan(standing), here = words::setup(&here));
    let button = Button::new(text).min_size(vec2(ui.available_width() - 8.0, FINGER - 8.0));
    if ui.add_enabled(standing != Standing::None, button).accessible_name(name).clicked() {
        commands.push(Command::Find(FindStep::See(fan_sight(standing, here))));
    }
}

/// Everything a fan may be seen to do, each a button.
fn fan_ui(ui: &mut Ui, name: &str) -> Option<Standing> {
    const ALL: [Standing; 4] = [Standing::Engaged, Standing::Released, Standing::Slipping, Standing::Unsettled];
    let mut chosen = None;
    let width = (ui.available_width() - 8.0 - ui.spacing().item_spacing.x) / 2.0;
    for pair in ALL.chunks(2) {
        ui.horizontal(|ui| {
            for standing in pair {
                let button = Button::new(capital(words::fan(*standing))).wrap().min_size(vec2(width, FINGER));
                let pressed = ui.allocate_ui(vec2(width, FINGER), |ui| ui.add(button)).inner;
                if pressed.accessible_name(format!("{name} {}", words::fan(*standing))).clicked() {
                    chosen = Some(*standing);
                }
            }
        });
    }
    chosen
}

fn fan_sight(standing: Standing, setup: Setup) -> Sight {
    let value = match standing {
        Standing::Unsettled => Saw::Unsteady,
        Standing::Engaged | Standing::Released | Standing::Slipping | Standing::None => Saw::Fan(standing),
    };
    Sight { reading: Reading::Fan, value: Some(value), within: None, is_doubtful: false, setup }
}

fn found_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found, state: &mut FindState, commands: &mut Commands) {
    clash_ui(ui, seen, found);
    if found.lines.is_empty() {
        return;
    }
    ui.add_space(4.0);
    match (&found.next, seen.studies.finding.sights().is_empty()) {
        (Some(test), false) => test_ui(ui, seen, found, test, state, commands),
        (Some(_), true) => {
            let words = t!("find-say-first-what-the-driver");
            ui.label(RichText::new(words).color(seen.palette.text));
        }
        (None, _) => mend_ui(ui, seen, found, commands),
    }
    if !seen.studies.finding.is_put_right(seen.bench) {
        ui.add_space(4.0);
        remaining_ui(ui, seen, found, state, commands);
    }
}

/// Why nothing single remains.
fn clash_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found) {
    let line = |at: usize| t!("find-line-2", at = at + 1);
    let told = match &found.clash {
        None => return,
        Some(Clash::Contradiction(one, other)) => {
            t!("find-and-cannot-both-be-read", one = capital(&line(*one)), other = line(*other))
        }
        Some(Clash::NoneAlone(blamed)) => {
            let again = if blamed.is_empty() {
                String::new()
            } else {
                let blamed: Vec<String> = blamed.iter().map(|at| line(*at)).collect();
                t!("find-something-single-would-without-read", blamed = choice(&blamed))
            };
            let pairs =
                if found.suspects.is_empty() { t!("find-no-pair-of-faults-does") } else { t!("find-these-pairs-do") };
            t!("find-no-single-fault-explains-all", again, pairs)
        }
    };
    ui.label(RichText::new(told).font(theme::bold(13.0)).color(seen.palette.text));
}

/// The test to make next, its dangers, and the ways to answer.
fn test_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found, test: &Test, state: &mut FindState, commands: &mut Commands) {
    let palette = &seen.palette;
    ui.label(heading(seen, &t!("find-next-test", minutes = minutes(test.minutes))));
    let told = t!("find-read", setup = capital(&words::setup(&test.setup)), reading = words::reading(&test.reading));
    ui.label(RichText::new(told).font(theme::bold(13.5)).color(palette.text));
    for hazard in &test.hazards {
        hazard_ui(ui, seen, hazard, commands);
    }
    let ready = seen.studies.finding.is_set_up(seen.bench, test);
    let wide = vec2(ui.available_width() - 8.0, FINGER);
    let button = Button::new(t!("find-carry-it-out-on-the")).min_size(wide).selected(ready);
    let hint = t!("find-puts-everything-else-back-sets");
    if ui.add(button).on_hover_text(hint).clicked() {
        commands.push(Command::Find(FindStep::CarryOut(test.setup.clone(), test.reading.clone())));
    }
    let say = |value: Option<Saw>, doubtful: bool, commands: &mut Commands| {
        let (reading, setup) = (test.reading.clone(), test.setup.clone());
        let sight = Sight { reading, value, within: None, is_doubtful: doubtful, setup };
        commands.push(Command::Find(FindStep::See(sight)));
    };
    if ready && let Ok(shown) = read(seen.bench, &test.reading) {
        let value = shown.value.words();
        let button = ui.add(Button::new(t!("find-take-the-benchs-reading", value)).min_size(wide));
        if button.clicked() {
            say(Some(Saw::of(&shown.value)), state.doubtful, commands);
            *state = FindState { situation: state.situation, ..FindState::default() };
        }
    }
    ui.label(RichText::new(t!("find-what-does-it-show")).color(palette.text));
    if test.reading == Reading::Fan {
        if let Some(standing) = fan_ui(ui, t!("find-it-shows-the-fan")) {
            let value = fan_sight(standing, Setup::default()).value;
            say(value, state.doubtful, commands);
        }
    } else {
        typed_ui(ui, seen, test, state, commands);
    }
    ui.horizontal(|ui| {
        if ui.add(Button::new(t!("find-not-sure")).min_size(vec2(96.0, FINGER))).clicked() {
            say(None, true, commands);
        }
        ui.checkbox(&mut state.doubtful, RichText::new(t!("find-it-may-be-wrong")).color(palette.text));
    });
    let why = because(found, test);
    CollapsingHeader::new(heading(seen, t!("find-why-this-test"))).default_open(false).show(ui, |ui| {
        explained_ui(ui, seen, &worded(&why), 13.5, commands);
    });
}

/// A reading typed as the instrument shows it.
fn typed_ui(ui: &mut Ui, seen: &Seen<'_>, test: &Test, state: &mut FindState, commands: &mut Commands) {
    let mut said = false;
    ui.horizontal(|ui| {
        let edit = TextEdit::singleline(&mut state.typed).desired_width(110.0).min_size(vec2(110.0, FINGER));
        let field = ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(t!("find-what-it-shows"));
        said = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        ui.label(RichText::new(unit(&test.reading)).color(seen.palette.text));
        said |= ui.add(Button::new(t!("find-say-so")).min_size(vec2(70.0, FINGER))).clicked();
    });
    if said {
        let doubt = if state.doubtful { "?" } else { "" };
        match format!("{}={}{doubt}", test.reading, state.typed.trim().replace(',', ".")).parse::<Sight>() {
            Ok(sight) => {
                let sight = Sight { setup: test.setup.clone(), ..sight };
                commands.push(Command::Find(FindStep::See(sight)));
                *state = FindState { situation: state.situation, ..FindState::default() };
            }
            Err(refusal) => state.wrong = worded(&refusal.told()),
        }
    }
    if !state.wrong.is_empty() {
        ui.label(RichText::new(&state.wrong).color(seen.palette.text));
    }
}

fn suspect_name(seen: &Seen<'_>, suspect: &Suspect) -> String {
    if suspect.is_healthy() {
        return t!("find-nothing-is-wrong").to_owned();
    }
    let names = suspect.faults.iter().map(|fault| worded(&naming::name(seen.bench.circuit(), fault)));
    names.collect::<Vec<_>>().join(t!("find-and"))
}

/// What remains, with shares as bars and in per cent.
fn remaining_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found, state: &mut FindState, commands: &mut Commands) {
    let remain = match found.are_pairs {
        true => t!("find-what-remains-pairs", more_pairs = found.suspects.len() + found.more_pairs),
        false => t!("find-what-remains-of", suspects = found.suspects.len(), considered = found.considered),
    };
    ui.label(heading(seen, &remain));
    let most = if state.all_lines { found.lines.len() } else { MOST };
    for line in found.lines.iter().take(most) {
        line_ui(ui, seen, found, line, commands);
    }
    if found.lines.len() > MOST {
        let more = found.lines.len() - MOST;
        let words = if state.all_lines { t!("find-fewer-lines").to_owned() } else { t!("find-more-lines", more) };
        if ui.button(words).clicked() {
            state.all_lines = !state.all_lines;
        }
    }
}

fn line_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found, line: &Line, commands: &mut Commands) {
    let Some(first) = line.suspects.first().map(|at| &found.suspects[*at]) else { return };
    let name = capital(&suspect_name(seen, first));
    let alike = match line.suspects.len() {
        1 => String::new(),
        n => t!("find-or-that-nothing-tells-from", n = n - 1),
    };
    let share = worded(&percent(line.share));
    let told = format!("{share}: {name} {alike}");
    if widget::share_ui(ui, seen, (line.share as f32, &share), (&name, &alike), told.trim()).clicked() {
        let place = first.faults.first().and_then(|fault| place_of_fault(seen.bench.circuit(), fault));
        commands.push(Command::Select(place));
    }
}

/// Nothing more tells what remains apart: what to mend, and the proof of it.
fn mend_ui(ui: &mut Ui, seen: &Seen<'_>, found: &Found, commands: &mut Commands) {
    let palette = &seen.palette;
    let all = || found.lines.iter().flat_map(|line| &line.suspects).map(|at| &found.suspects[*at]);
    let one = all().count() == 1;
    let words = if one { t!("find-nothing-more-is-to-be") } else { t!("find-no-safe-test-with-what") };
    ui.label(heading(seen, words));
    let mended = seen.studies.finding.mended_on(seen.bench);
    for suspect in all() {
        let name = capital(&suspect_name(seen, suspect));
        ui.label(
            RichText::new(titled(&name, &format!("{}.", worded(&repairs(seen.bench.circuit(), suspect)))))
                .color(palette.text),
        );
        let done = mended == Some(&suspect.faults[..]);
        let word = if done { t!("find-mended") } else { t!("find-mend-it") };
        let button = Button::new(word).min_size(vec2(ui.available_width() - 8.0, FINGER)).selected(done);
        if ui.add(button).accessible_name(titled(word, &name)).clicked() {
            commands.push(Command::Find(FindStep::Mend(suspect.faults.clone())));
        }
    }
    if mended.is_some() {
        proof_ui(ui, seen, &seen.studies.finding, found, commands);
    }
}

/// What the fan must do once all is put right, each step to be gone through on the bench.
fn proof_ui(ui: &mut Ui, seen: &Seen<'_>, finding: &Finding, found: &Found, commands: &mut Commands) {
    let palette = &seen.palette;
    ui.label(heading(seen, t!("find-proof")));
    for (place, (setup, must)) in found.proof.iter().enumerate() {
        let told = worded_capital(&proof(&words::setup(setup), *must));
        let came = finding.proved(place);
        let result = match came {
            None => String::new(),
            Some(standing) if standing == *must => t!("find-so-it-is").to_owned(),
            Some(standing) => t!("find-it-is-this-was-not", word = standing.said()),
        };
        ui.label(RichText::new(format!("{told}.{result}")).color(palette.text));
        let button = Button::new(t!("find-prove-it-on-the-bench")).min_size(vec2(ui.available_width() - 8.0, FINGER));
        let button = button.selected(came == Some(*must));
        if ui.add(button).accessible_name(t!("find-prove-it-on-the-bench-2", told)).clicked() {
            commands.push(Command::Find(FindStep::Prove(place)));
        }
    }
    let is_proved = |(place, (_, must)): (usize, &(Setup, Standing))| finding.proved(place) == Some(*must);
    if !found.proof.is_empty() && found.proof.iter().enumerate().all(is_proved) {
        ui.label(heading(seen, t!("find-proved-put-everything-back-and")));
    }
}

/// The instruments there are to choose tests by.
fn at_hand_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    CollapsingHeader::new(heading(seen, t!("find-at-hand"))).id_salt("at hand").default_open(false).show(ui, |ui| {
        for (verb, name) in AT_HAND {
            let mut at_hand = seen.studies.finding.has_at_hand(verb);
            if ui.checkbox(&mut at_hand, RichText::new(plain(name)).color(seen.palette.text)).clicked() {
                commands.push(Command::Find(FindStep::AtHand(verb, at_hand)));
            }
        }
    });
}
