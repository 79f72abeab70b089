//! The drawer for changing the circuit as built: what is chosen with its acts beside it, what can be added, what is
//! doubtful, and the circuit as a whole.
//!
//! Everything here is a button or a field, so that nothing hangs on dragging or hovering. What a change means, and why one
//! is refused, the circuit says; fields are in [`values`](super::values), kinds to add in [`kinds`](super::kinds).

use egui::{Button, RichText, Ui, vec2};

use crate::circuit::{Change, End, Owner, PartId, TerminalId, WireId};
use crate::study::answer::Subject;
use crate::study::wording::{self, capital};

use super::super::board::doubt;
use super::super::build::{BuildStep, Hold, NUDGE, Page};
use super::super::command::{Command, Commands, Dialog};
use super::super::seen::Seen;
use super::super::widget::choice;
use super::super::{ids, theme};
use super::dialogs::FINGER;
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
    ui.label(RichText::new("Build the circuit").font(theme::bold(15.0)).color(seen.palette.text));
    if seen.hunt.is_some() {
        ui.label(quiet(seen, "A hunt is on the bench; its circuit is not changed."));
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
                for (owner, heading) in [(Owner::Clutch, "Clutch"), (Owner::Air, "Air side"), (Owner::Engine, "Engine")]
                {
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
    let doubtful = if count == 0 { "Doubtful".to_owned() } else { format!("Doubtful {count}") };
    let pages = [(Page::Chosen, "Chosen"), (Page::Add, "Add"), (Page::Doubtful, &doubtful), (Page::Whole, "Whole")];
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 5.0;
        for (page, name) in pages {
            let button = Button::selectable(seen.desk.building.page == page, name).min_size(vec2(44.0, 34.0));
            let told = match page {
                Page::Chosen => "What is chosen",
                Page::Add => "Add a part",
                Page::Doubtful => "What is doubtful",
                Page::Whole => "The circuit as a whole",
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
        Hold::Wire(from) => format!("A wire from {from} is in hand: choose the terminal it goes to."),
        Hold::End(wire, _) => format!("An end of {wire} is in hand: choose the terminal it goes on."),
        Hold::Part(part, _) => {
            format!("{part} is in hand: click where it is to stand, or move it with the arrows and put it down.")
        }
    };
    ui.label(bold(seen, &words));
    if let Hold::Part(part, at) = &seen.desk.building.hold {
        ui.horizontal(|ui| {
            let ways = [
                ("\u{2190}", "left", -1, 0),
                ("\u{2191}", "up", 0, -1),
                ("\u{2193}", "down", 0, 1),
                ("\u{2192}", "right", 1, 0),
            ];
            for (sign, way, right, down) in ways {
                let button = Button::new(sign).min_size(vec2(FINGER, FINGER));
                if ui.add(button).accessible_name(format!("Move {part} {way}")).clicked() {
                    commands.push(step(BuildStep::Over(at.moved(right * NUDGE, down * NUDGE))));
                }
            }
        });
        if ui.add(Button::new("Put it down").min_size(vec2(120.0, FINGER))).clicked() {
            commands.push(step(BuildStep::PutDown));
        }
    }
    let button = Button::new("Let go").min_size(vec2(80.0, FINGER));
    if ui.add(button).on_hover_text("Esc").clicked() {
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
            let words = "Click a part, a wire or a terminal in the drawing: what can be done to it stands here. \
                         What is changed here is the circuit as built; with Hand or any other tool you work on the truck.";
            ui.label(quiet(seen, words));
        }
    }
}

fn part_ui(ui: &mut Ui, seen: &Seen<'_>, id: PartId, state: &mut ValuesState, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let part = circuit.part(id);
    let tag = &part.tag;
    ui.label(bold(seen, &capital(&wording::part_name(circuit, id))));
    about_ui(ui, seen, Subject::Part(id));
    let wires = circuit.terminals_of(id).map(|terminal| circuit.ends_at(terminal).len()).sum::<usize>();
    let with = match wires {
        0 => String::new(),
        1 => " with its wire".to_owned(),
        many => format!(" with its {many} wires"),
    };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 6.0;
        act_ui(ui, ("Move\u{2026}", &format!("Move {tag}")), BuildStep::PickUp(tag.clone()), commands);
        if circuit.places().contains_key(&id) {
            let told = format!("Let {tag} find its own place");
            act_ui(ui, ("Own place", &told), BuildStep::Make(Change::LetGo(tag.clone())), commands);
        }
        let told = format!("Take {tag} away{with}");
        act_ui(ui, ("Take away", &told), BuildStep::Make(Change::TakePart(tag.clone())), commands);
        for terminal in circuit.terminals_of(id) {
            let words = format!("Wire from {}\u{2026}", circuit.terminal(terminal).name);
            let from = circuit.terminal_words(terminal);
            let told = format!("Wire from {from}");
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
    ui.label(bold(seen, &format!("{tag}, from {} to {}", ends[0].1, ends[1].1)));
    about_ui(ui, seen, Subject::Wire(id));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 6.0;
        for (end, at) in ends {
            let (words, told) = (format!("End at {at}\u{2026}"), format!("Put its end at {at} elsewhere"));
            act_ui(ui, (&words, &told), BuildStep::Hold(Hold::End(tag.clone(), end)), commands);
        }
        let told = format!("Take {tag} away");
        act_ui(ui, ("Take away", &told), BuildStep::Make(Change::TakeWire(tag.clone())), commands);
    });
    tag_ui(ui, seen, (tag, false), state, commands);
    wire_values_ui(ui, seen, id, state, commands);
}

fn terminal_ui(ui: &mut Ui, seen: &Seen<'_>, id: TerminalId, commands: &mut Commands) {
    let circuit = seen.bench.circuit();
    let words = circuit.terminal_words(id);
    ui.label(bold(seen, &format!("Terminal {words}")));
    about_ui(ui, seen, Subject::Terminal(id));
    let told = format!("Wire from {words}");
    act_ui(ui, ("Wire from here\u{2026}", &told), BuildStep::Hold(Hold::Wire(words)), commands);
    ui.label(quiet(seen, "What hangs together here:"));
    let part = circuit.terminal(id).part;
    let here = std::iter::once((Subject::Part(part), circuit.part(part).tag.clone()));
    let wires = circuit.ends_at(id).iter().map(|end| (Subject::Wire(end.wire), circuit.wire(end.wire).tag.clone()));
    ui.horizontal_wrapped(|ui| {
        for (subject, tag) in here.chain(wires) {
            let button = Button::new(&tag).min_size(vec2(FINGER, FINGER));
            if ui.add(button).accessible_name(format!("Choose {tag}")).clicked() {
                commands.push(Command::Select(Some(subject)));
            }
        }
    });
}

/// What is doubtful about the thing itself.
fn about_ui(ui: &mut Ui, seen: &Seen<'_>, subject: Subject) {
    for (number, finding) in doubt::about(seen, subject) {
        let words = format!("{number}. Doubtful: {}; {}.", finding.message, finding.mend);
        ui.label(RichText::new(words).color(seen.palette.text));
    }
}

/// Everything doubtful; a press chooses the place.
fn doubtful_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let findings = seen.studies.doubtful();
    if findings.is_empty() {
        ui.label(quiet(seen, "Nothing is doubtful in this circuit."));
    } else {
        let words =
            "A circuit with doubtful things can be saved and worked on all the same. The numbers stand in the drawing.";
        ui.label(quiet(seen, words));
    }
    for (place, finding) in findings.iter().enumerate() {
        let subject = super::super::build::subject_of(seen.bench.circuit(), &finding.subject);
        let title = format!("{}. {}", place + 1, capital(&finding.message));
        let told = format!("Doubtful {title}. {}", capital(&finding.mend));
        let chosen = subject.is_some() && subject == seen.desk.selected;
        let row = choice::row_ui(ui, seen, ids::doubt(place), chosen, (&title, &finding.mend), &told);
        if row.on_hover_text(format!("{}\n{}", finding.message, finding.mend)).clicked() {
            commands.push(Command::Select(subject));
        }
    }
    ui.add_space(6.0);
    if ui.add(Button::new("Save\u{2026}").min_size(vec2(80.0, FINGER))).accessible_name("Save this circuit").clicked() {
        commands.push(Command::Ask(Some(Dialog::Save)));
    }
}
