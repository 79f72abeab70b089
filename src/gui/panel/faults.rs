//! What can be wrong with one thing of the drawing: planted here, its amount typed, and put right again.
//!
//! The list and its usual amounts come from the study; what is typed is read as people write it or in the grammar of the
//! command line. Everything planted also stands in the ledger, with the same way back.

use std::collections::BTreeMap;

use egui::{Button, ComboBox, Label, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::bench::{Action, Fault, Refusal};
use crate::circuit::Circuit;
use crate::study::answer::Subject;
use crate::study::faults::{naming, universe};

use super::super::command::{Command, Commands};
use super::super::hunting::HuntStep;
use super::super::seen::Seen;
use super::super::tongue::{t, worded};
use super::super::{amount, ids, words};
use super::dialogs::{close_ui, heading};

/// Room for the button of a row, and for its amount.
const BUTTON: f32 = 92.0;
const AMOUNT: f32 = 104.0;
/// Height of a list of wires before it scrolls.
const LIST: f32 = 360.0;
/// Height of a row: a finger's, as long as the list is short (WCAG 2.2, success criterion 2.5.8 asks for 24).
const ROW: f32 = 30.0;

/// What the list keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct FaultsState {
    subject: Option<Subject>,
    /// Amounts as typed, by what stands before them.
    typed: BTreeMap<String, String>,
}

/// One line of the list: a fault whose amount, or whose other wire, can be chosen.
struct Row {
    usual: Fault,
    /// The wires it can be, where it is one of wires.
    others: Vec<String>,
}

/// What can be wrong with a thing, a line for each sort.
fn rows(circuit: &Circuit, subject: Subject) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for fault in universe::at(circuit, subject) {
        let same = |row: &&mut Row| {
            let amounts = row.usual.amount().is_some() || matches!(row.usual, Fault::Join(..));
            amounts && row.usual.without_amount() == fault.without_amount()
        };
        let other = match &fault {
            Fault::Join(_, other) => Some(other.clone()),
            _ => None,
        };
        match rows.iter_mut().find(same) {
            Some(row) => row.others.extend(other),
            None => rows.push(Row { usual: fault, others: other.into_iter().collect() }),
        }
    }
    rows
}

/// Shows the list for `subject`.
pub fn faults_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    subject: Subject,
    state: &mut FaultsState,
    height: f32,
    commands: &mut Commands,
) {
    if state.subject != Some(subject) {
        *state = FaultsState { subject: Some(subject), typed: BTreeMap::new() };
    }
    let circuit = seen.bench.circuit();
    heading(ui, seen, &t!("faults-what-can-be-wrong-with", subject = words::subject_name(circuit, subject)));
    let line =
        if seen.eyes.is_some() { t!("faults-choose-what-it-is-a") } else { t!("faults-each-is-something-in-the") };
    ui.label(RichText::new(line).color(seen.palette.quiet));
    ui.add_space(4.0);
    // As high as the list at once, and not a row more each frame than a shorter one before it was.
    let room = height - 120.0;
    let scroll = ScrollArea::vertical().id_salt(("faults", subject)).max_height(room).min_scrolled_height(room);
    scroll.show(ui, |ui| {
        ui.set_width(ui.available_width());
        for (place, row) in rows(circuit, subject).iter().enumerate() {
            ui.push_id(place, |ui| row_ui(ui, seen, row, state, commands));
        }
    });
    ui.horizontal(|ui| {
        close_ui(ui, commands);
        ui.add(Label::new(RichText::new(seen.desk.said.clone()).color(seen.palette.text)).wrap());
    });
}

fn row_ui(ui: &mut Ui, seen: &Seen<'_>, row: &Row, state: &mut FaultsState, commands: &mut Commands) {
    let key = row.usual.without_amount();
    ui.horizontal(|ui| {
        let fault = chosen(row, state.typed.get(&key));
        let name = worded(&naming::name(seen.bench.circuit(), fault.as_ref().unwrap_or(&row.usual)));
        button_ui(ui, seen, fault.as_ref(), &name, commands);
        let usual = worded(&naming::name(seen.bench.circuit(), &row.usual));
        amount_ui(ui, row, (&key, &usual), state);
        let text = match (fault, row.usual.amount()) {
            (Ok(_), _) => name,
            (Err(_), Some(usual)) => t!("faults-not-an-amount", usual = amount::shown(&usual)),
            (Err(refusal), None) => worded(&refusal.told()),
        };
        ui.add(Label::new(RichText::new(text).color(seen.palette.text)).wrap());
    });
}

/// The fault of a row with what was typed for it.
fn chosen(row: &Row, typed: Option<&String>) -> Result<Fault, Refusal> {
    match typed {
        Some(wire) if !row.others.is_empty() => row.usual.with_amount(wire),
        Some(typed) => row.usual.with_amount(&amount::in_grammar(typed)),
        None => Ok(row.usual.clone()),
    }
}

fn button_ui(ui: &mut Ui, seen: &Seen<'_>, fault: Result<&Fault, &Refusal>, name: &str, commands: &mut Commands) {
    if seen.eyes.is_some() {
        let button = ui.add_enabled(fault.is_ok(), Button::new(t!("faults-guess")).min_size(vec2(BUTTON, ROW)));
        if button.accessible_name(t!("faults-guess-2", name)).clicked()
            && let Ok(fault) = fault
        {
            commands.push(Command::Hunt(HuntStep::Guess(fault.clone())));
        }
        return;
    }
    let planted = fault.is_ok_and(|fault| seen.bench.faults().contains(fault));
    let word = if planted { t!("faults-put-right") } else { t!("faults-plant") };
    let against = fault.ok().and_then(|fault| seen.bench.faults().iter().find(|other| other.contradicts(fault)));
    let button = Button::new(word).selected(planted).min_size(vec2(BUTTON, ROW));
    let button = ui.add_enabled(fault.is_ok() && against.is_none(), button);
    let button = button.accessible_name(format!("{word}: {name}"));
    let button = match against {
        Some(other) => button
            .on_disabled_hover_text(t!("faults-put-right-first", other = naming::name(seen.bench.circuit(), other))),
        None => button,
    };
    if button.clicked()
        && let Ok(fault) = fault
    {
        let fault = fault.clone();
        commands.push(Command::Act(if planted { Action::Repair(fault) } else { Action::Plant(fault) }));
    }
}

/// The amount, to be typed, or the other wire, to be chosen; room for it where there is none.
fn amount_ui(ui: &mut Ui, row: &Row, (key, name): (&str, &str), state: &mut FaultsState) {
    if let Some(first) = row.others.first() {
        let mut other = state.typed.get(key).unwrap_or(first).clone();
        let list = ComboBox::from_id_salt("other").width(AMOUNT).height(LIST).selected_text(other.clone());
        let shown = list.show_ui(ui, |ui| {
            for tag in &row.others {
                ui.selectable_value(&mut other, tag.clone(), tag);
            }
        });
        shown.response.accessible_name(t!("faults-other-wire-of", name));
        if other != *state.typed.get(key).unwrap_or(first) {
            state.typed.insert(key.to_owned(), other);
        }
        return;
    }
    let Some(usual) = row.usual.amount() else {
        ui.add_space(AMOUNT + ui.spacing().item_spacing.x);
        return;
    };
    let mut typed = state.typed.get(key).cloned().unwrap_or_else(|| amount::shown(&usual));
    let edit = TextEdit::singleline(&mut typed).id(ids::fault_amount(key)).min_size(vec2(AMOUNT, ROW));
    let field = ui.add(edit.desired_width(AMOUNT).align(egui::Align2::LEFT_CENTER));
    if field.accessible_name(t!("faults-amount-of", name)).changed() {
        state.typed.insert(key.to_owned(), typed);
    }
}
