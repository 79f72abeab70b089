//! The drawer for changing the circuit as built: what is chosen with its acts beside it, what can be added, what is
//! doubtful, and the circuit as a whole.
//!
//! Everything here is a button or a field, so that nothing hangs on dragging or hovering. What a change means, and why one
//! is refused, the circuit says; fields are in [`values`](super::values), kinds to add in [`kinds`](super::kinds).

use egui::{Button, RichText, Ui, vec2};

use crate::circuit::{Change, End, Owner, PartId, TerminalId, WireId};
use crate::study::answer::Subject;
use crate::study::wording;

use super::super::board::doubt;
use super::super::build::{BuildStep, Hold, NUDGE, Page};
use super::super::command::{Command, Commands, Dialog};
use super::super::dress::FINGER;
use super::super::seen::Seen;
use super::super::tongue::{t, worded, worded_capital};
use super::super::widget::choice;
use super::super::{ids, theme};
use super::kinds::{KindsState, kinds_ui};
use super::values::{ValuesState, figures_ui, notes_ui, part_values_ui, tag_ui, title_ui, wire_values_ui};

/// What the drawer keeps between frames.
#[derive(Debug, Default)]
pub struct BuildState {
    values: ValuesState,
    kinds: KindsState,
}

/// Shows the drawer.
pub fn build_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut BuildState, commands: &mut Commands) {
    ui.label(RichText::new(t!("build-build-the-circuit")).font(theme::bold(15.0)).color(seen.palette.text));
    if seen.hunt.is_some() {
        ui.label(quiet(seen, t!("build-a-hunt-is-on-the")));
        return;
    }
    pages_ui(ui, seen, commands);
    held_ui(ui, seen, commands);
    let page = seen.desk.building.page;
    seen.room.space.list(ui, (("build", page as u8, seen.desk.selected), [false, false]), |ui| {
        ui.set_width(ui.available_width() - 6.0);
        match page {
            Page::Chosen => chosen_ui(ui, seen, &mut state.values, commands),
            Page::Add => kinds_ui(ui, seen, &mut state.kinds, commands),
            Page::Doubtful => doubtful_ui(ui, seen, commands),
            Page::Whole => {
                title_ui(ui, seen, &mut state.values, commands);
                notes_ui(ui, seen, &mut state.values, commands);
                for (owner, heading) in [
                    (Owner::Clutch, t!("build-clutch")),
                    (Owner::Air, t!("build-air-side")),
                    (Owner::Engine, t!("build-engine")),
                ] {
                    ui.add_space(6.0);
                    ui.label(bold(seen, heading));
                    figures_ui(ui, seen, &owner, &mut state.values, commands);
                }
            }
        }
    });
}

fn bold(seen: &Seen<'_>, words: &str) -> RichText {
    RichText::new(words).font(theme::bold(13.5)).color(seen.palette.text)
}

fn quiet(seen: &Seen<'_>, words: &str) -> RichText {
    RichText::new(words).color(seen.palette.quiet)
}

fn pages_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let count = seen.studies.doubtful().len();
    let doubtful = if count == 0 { t!("build-doubtful").to_owned() } else { t!("build-doubtful-2", count) };
    let pages = [
        (Page::Chosen, t!("build-chosen")),
        (Page::Add, t!("build-add")),
        (Page::Doubtful, &doubtful),
        (Page::Whole, t!("build-whole")),
    ];
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 5.0;
        for (page, name) in pages {
            let button = Button::selectable(seen.desk.building.page == page, name).min_size(vec2(44.0, 34.0));
            let told = match page {
                Page::Chosen => t!("build-what-is-chosen"),
                Page::Add => t!("build-add-a-part"),
                Page::Doubtful => t!("build-what-is-doubtful"),
                Page::Whole => t!("build-the-circuit-as-a-whole"),
            };
            let told = if page == Page::Doubtful && count > 0 { format!("{told}: {count}") } else { told.to_owned() };
            if ui.add(button).accessible_name(told).clicked() {
                commands.push(Command::Build(BuildStep::Show(page)));
            }
        }
    });
}

/// What is in hand, what to do with it, and a way to let go of it.
fn held_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let step = |step: BuildStep| Command::Build(step);
    let words = match &seen.desk.building.hold {
        Hold::Nothing => return,
        Hold::Wire(from) => t!("build-a-wire-from-is-in", from),
        Hold::End(wire, _) => t!("build-an-end-of-is-in", wire),
        Hold::Part(part, _) => {
            t!("build-is-in-hand-click-where", part)
        }
    };
    ui.label(bold(seen, &words));
    if let Hold::Part(part, at) = &seen.desk.building.hold {
        ui.horizontal(|ui| {
            let ways = [
                ("\u{2190}", t!("build-left"), -1, 0),
                ("\u{2191}", t!("build-up"), 0, -1),
                ("\u{2193}", t!("build-down"), 0, 1),
                ("\u{2192}", t!("build-right"), 1, 0),
            ];
            for (sign, way, right, down) in ways {
                let button = Button::new(sign).min_size(vec2(FINGER, FINGER));
                if ui.add(button).accessible_name(t!("build-move", part, way)).clicked() {
                    commands.push(step(BuildStep::Over(at.moved(right * NUDGE, down * NUDGE))));
                }
            }
        });
        if ui.add(Button::new(t!("build-put-it-down")).min_size(vec2(120.0, FINGER))).clicked() {
            commands.push(step(BuildStep::PutDown));
        }
    }
    let button = Button::new(t!("build-let-go")).min_size(vec2(80.0, FINGER));
    if ui.add(button).on_hover_text(t!("build-esc")).clicked() {
        commands.push(step(BuildStep::Hold(Hold::Nothing)));
    }
    ui.separator();
}

/// An act as a button: what it says, and what a screen reader says.
fn act_ui(ui: &mut Ui, (words, told): (&str, &str), step: BuildStep, commands: &mut Commands) {
    let button = Button::new(words).min_size(vec2(FINGER, FINGER));
    if ui.add(button).accessible_name(told).clicked() {
        commands.push(Command::Build(step));
    }
}

fn chosen_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut ValuesState, commands: &mut Commands) {
    match seen.desk.selected {
        Some(Subject::Part(id)) => part_ui(ui, seen, id, state, commands),
        Some(Subject::Wire(id)) => wire_ui(ui, seen, id, state, commands),
        Some(Subject::WireEnd(end)) => wire_ui(ui, seen, end.wire, state, commands),
        Some(Subject::Terminal(id)) => terminal_ui(ui, seen, id, commands),
        Some(Subject::Lead(_)) | None => {
            let words = t!("build-click-a-part-a-wire");
            ui.label(quiet(seen, words));
        }
    }
}

fn part_ui(ui: &mut Ui, seen: &Seen<'_>, id: PartId, state: &mut ValuesState, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let part = circuit.part(id);
    let tag = &part.tag;
    ui.label(bold(seen, &worded_capital(&wording::part_name(circuit, id))));
    about_ui(ui, seen, Subject::Part(id));
    let wires = circuit.terminals_of(id).map(|terminal| circuit.ends_at(terminal).len()).sum::<usize>();
    let with = match wires {
        0 => String::new(),
        1 => t!("build-with-its-wire").to_owned(),
        many => t!("build-with-its-wires", many),
    };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 6.0;
        act_ui(ui, (t!("build-move-2"), &t!("build-move-3", tag)), BuildStep::PickUp(tag.clone()), commands);
        if circuit.places().contains_key(&id) {
            let told = t!("build-let-find-its-own-place", tag);
            act_ui(ui, (t!("build-own-place"), &told), BuildStep::Make(Change::LetGo(tag.clone())), commands);
        }
        let told = t!("build-take-away", tag, with);
        act_ui(ui, (t!("build-take-away-2"), &told), BuildStep::TakeChosen, commands);
        for terminal in circuit.terminals_of(id) {
            let words = t!("build-wire-from", terminal = circuit.terminal(terminal).name);
            let from = circuit.terminal_words(terminal);
            let told = t!("build-wire-from-2", from);
            act_ui(ui, (&words, &told), BuildStep::Hold(Hold::Wire(from)), commands);
        }
    });
    tag_ui(ui, seen, (tag, true), state, commands);
    part_values_ui(ui, seen, id, state, commands);
}

fn wire_ui(ui: &mut Ui, seen: &Seen<'_>, id: WireId, state: &mut ValuesState, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let wire = circuit.wire(id);
    let tag = &wire.tag;
    let ends = [(End::From, wire.from), (End::To, wire.to)].map(|(end, at)| (end, circuit.terminal_words(at)));
    ui.label(bold(seen, &t!("build-from-to", tag, ends = ends[0].1, ends_2 = ends[1].1)));
    about_ui(ui, seen, Subject::Wire(id));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 6.0;
        for (end, at) in ends {
            let (words, told) = (t!("build-end-at", at), t!("build-put-its-end-at-elsewhere", at));
            act_ui(ui, (&words, &told), BuildStep::Hold(Hold::End(tag.clone(), end)), commands);
        }
        let told = t!("build-take-away-3", tag);
        act_ui(ui, (t!("build-take-away-2"), &told), BuildStep::TakeChosen, commands);
    });
    tag_ui(ui, seen, (tag, false), state, commands);
    wire_values_ui(ui, seen, id, state, commands);
}

fn terminal_ui(ui: &mut Ui, seen: &Seen<'_>, id: TerminalId, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let words = circuit.terminal_words(id);
    ui.label(bold(seen, &t!("build-terminal", words)));
    about_ui(ui, seen, Subject::Terminal(id));
    let told = t!("build-wire-from-3", words);
    act_ui(ui, (t!("build-wire-from-here"), &told), BuildStep::Hold(Hold::Wire(words)), commands);
    ui.label(quiet(seen, t!("build-what-hangs-together-here")));
    let part = circuit.terminal(id).part;
    let here = std::iter::once((Subject::Part(part), circuit.part(part).tag.clone()));
    let wires = circuit.ends_at(id).iter().map(|end| (Subject::Wire(end.wire), circuit.wire(end.wire).tag.clone()));
    ui.horizontal_wrapped(|ui| {
        for (subject, tag) in here.chain(wires) {
            let button = Button::new(&tag).min_size(vec2(FINGER, FINGER));
            if ui.add(button).accessible_name(t!("build-choose", tag)).clicked() {
                commands.push(Command::Select(Some(subject)));
            }
        }
    });
}

/// What is doubtful about the thing itself.
fn about_ui(ui: &mut Ui, seen: &Seen<'_>, subject: Subject) {
    for (number, finding) in doubt::about(seen, subject) {
        let words = t!("build-doubtful-3", number, message = finding.message, mend = finding.mend);
        ui.label(RichText::new(words).color(seen.palette.text));
    }
}

/// Everything doubtful; a press chooses the place.
fn doubtful_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let findings = seen.studies.doubtful();
    if findings.is_empty() {
        ui.label(quiet(seen, t!("build-nothing-is-doubtful-in-this")));
    } else {
        let words = t!("build-a-circuit-with-doubtful-things");
        ui.label(quiet(seen, words));
    }
    for (place, finding) in findings.iter().enumerate() {
        let subject = super::super::build::subject_of(seen.bench.circuit(), &finding.subject);
        let title = format!("{}. {}", place + 1, worded_capital(&finding.message));
        let told = t!("build-doubtful-4", title, mend = worded_capital(&finding.mend));
        let chosen = subject.is_some() && subject == seen.desk.selected;
        let row = choice::whole_row_ui(ui, seen, ids::doubt(place), chosen, (&title, &worded(&finding.mend)), &told);
        if row.clicked() {
            commands.push(Command::Select(subject));
        }
    }
    ui.add_space(6.0);
    if ui
        .add(Button::new(t!("build-save")).min_size(vec2(80.0, FINGER)))
        .accessible_name(t!("build-save-this-circuit"))
        .clicked()
    {
        commands.push(Command::Ask(Some(Dialog::Save)));
    }
}
