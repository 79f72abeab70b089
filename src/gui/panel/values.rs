//! Fields of the circuit as built, typed with their units as on a data plate, or as the circuit file has them: judged while they are typed, put in when they are
//! done.
//!
//! What is typed is tried on the circuit itself, so that what the reader says stands beneath the field; nothing is
//! changed before it is put in. Which fields there are, and what they take, is the circuit file's business.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align2, Button, Key, RichText, TextEdit, Ui, vec2};

use crate::circuit::diagnostic::Finding;
use crate::circuit::format::{
    FieldNote, field_texts, fields_of, figure_texts, kinds, labels, listed, quoted, unquoted, wire_texts,
};
use crate::circuit::part::Suppressor;
use crate::circuit::{Change, Kind, Owner, Part, PartId, WireId};

use super::super::build::BuildStep;
use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::tongue::{spoken, t, worded, worded_capital};
use super::super::words::capital;
use super::super::{ids, theme};
use super::demands::{self, demands_ui};
use crate::words::Language;

/// Height of a field: a finger's.
pub(super) const FIELD: f32 = 40.0;
/// Room for the button beside it.
const BUTTON: f32 = 62.0;

/// What is being typed, by the names of the fields.
#[derive(Clone, Debug, Default)]
pub struct ValuesState {
    typed: BTreeMap<String, Typed>,
}

/// What is being typed, and what stood there when it began.
#[derive(Clone, Debug, Default)]
struct Typed {
    typed: String,
    stood: String,
}

/// A field to be typed in.
pub(super) struct Line<'a> {
    /// What a screen reader says.
    pub(super) name: String,
    /// What stands above it.
    pub(super) label: &'a str,
    /// What stands in it now.
    pub(super) stands: &'a str,
    /// What stands in it where nothing does.
    pub(super) hint: &'a str,
}

/// Shows a field; `change` is what putting in a text comes to.
pub(super) fn line_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    line: &Line<'_>,
    state: &mut ValuesState,
    change: impl Fn(&str) -> Change,
    commands: &mut Commands,
) {
    let typed = state.typed.entry(line.name.clone()).or_default();
    if typed.stood != line.stands {
        *typed = Typed { typed: line.stands.to_owned(), stood: line.stands.to_owned() };
    }
    ui.label(RichText::new(line.label).font(theme::plain(12.5)).color(seen.palette.quiet));
    let mut entered = None;
    let mut pressed = false;
    ui.horizontal(|ui| {
        let room = ui.available_width() - BUTTON - ui.spacing().item_spacing.x;
        let edit = TextEdit::singleline(&mut typed.typed).hint_text(line.hint).desired_width(room - 8.0);
        let edit = edit.min_size(vec2(room, FIELD)).align(Align2::LEFT_CENTER);
        let field = ui.add(edit).accessible_name(&line.name);
        entered = (field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))).then_some(field.id);
        let is_new = typed.typed != line.stands;
        let button = Button::new(t!("values-put-in")).min_size(vec2(BUTTON, FIELD));
        pressed = ui.add_enabled(is_new, button).accessible_name(t!("values-put-in-2", line = line.name)).clicked();
    });
    if typed.typed == line.stands {
        return;
    }
    let change = change(&typed.typed);
    match change.apply(seen.bench.circuit()) {
        Ok(made) if entered.is_some() || pressed => {
            // What stands there from now on is written as it is kept, also where this is taken back.
            state.typed.remove(&line.name);
            if made != *seen.bench.circuit() {
                commands.push(Command::Build(BuildStep::Make(change)));
            }
            if entered.is_some() {
                // The keyboard goes on from the head of the drawer.
                ui.memory_mut(|memory| memory.request_focus(ids::drawer_head()));
            }
        }
        Ok(_) => {
            ui.label(
                RichText::new(t!("values-not-put-in-yet-press")).font(theme::plain(12.5)).color(seen.palette.quiet),
            );
        }
        Err(why) => {
            ui.label(RichText::new(refused(&why)).color(seen.palette.text));
            if let Some(field) = entered {
                // It is there to be put right, and keys are no tools yet.
                ui.memory_mut(|memory| memory.request_focus(field));
            }
        }
    }
}

/// Why something is not put in, with fields called as they are above, and not as the circuit file has them.
fn refused(why: &Finding) -> String {
    let words = t!("values-not-put-in", message = why.message, mend = why.mend);
    let all = kinds().chain(["Wire", "Air", "Clutch", "Engine"]).flat_map(fields_of);
    let names: BTreeSet<&str> = all.map(|note| note.name).collect();
    names.into_iter().fold(words, |words, name| {
        let label = worded(&labels::label(name));
        words.replace(&format!("`{name}`"), &format!("\u{201c}{label}\u{201d}"))
    })
}

/// The tag of a part or wire.
pub(super) fn tag_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (tag, is_part): (&str, bool),
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let line = Line { name: t!("values-tag-of", tag), label: t!("values-tag"), stands: tag, hint: "" };
    let change = |to: &str| {
        let (from, to) = (tag.to_owned(), to.trim().to_owned());
        if is_part { Change::RenamePart { from, to } } else { Change::RenameWire { from, to } }
    };
    line_ui(ui, seen, &line, state, change, commands);
}

/// What it is the circuit of.
pub(super) fn title_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut ValuesState, commands: &mut Commands) {
    let title = seen.bench.circuit().title();
    let line =
        Line { name: t!("values-title-of-the-circuit").to_owned(), label: t!("values-title"), stands: title, hint: "" };
    line_ui(ui, seen, &line, state, |to| Change::Title(to.to_owned()), commands);
}

/// Remarks.
pub(super) fn notes_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut ValuesState, commands: &mut Commands) {
    let notes = seen.bench.circuit().notes();
    let line = Line {
        name: t!("values-remarks-on-the-circuit").to_owned(),
        label: t!("values-remarks"),
        stands: notes,
        hint: t!("values-none"),
    };
    line_ui(ui, seen, &line, state, |to| Change::Notes(to.to_owned()), commands);
}

/// The fields of a part.
pub(super) fn part_values_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    id: PartId,
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let part = seen.bench.circuit().part(id);
    let owner = Owner::Part(part.tag.clone());
    let texts = field_texts(&part.kind);
    if let Kind::Module(module) = &part.kind {
        demands_ui(ui, seen, (&part.tag, module), state, commands);
    }
    fields_ui(ui, seen, (&owner, &part.tag, part.kind.word()), &texts, state, commands);
    told_ui(ui, seen, part);
    dampers_ui(ui, seen, part, commands);
}

/// What a field that takes more than a word or a number says, in words.
fn told_ui(ui: &mut Ui, seen: &Seen<'_>, part: &Part) {
    let told = match &part.kind {
        Kind::Module(module) => {
            t!("values-of", label = worded_capital(&labels::label("on_when")), name = part.tag)
                + ". "
                + &t!("values-that-is", told = labels::demand(&module.on_when))
        }
        _ => return,
    };
    ui.label(RichText::new(told).font(theme::plain(12.5)).color(seen.palette.text));
}

/// What usually damps the kick of a coil, to be chosen and not written.
fn dampers_ui(ui: &mut Ui, seen: &Seen<'_>, part: &Part, commands: &mut Commands) {
    let (now, ends) = match &part.kind {
        Kind::Relay(relay) => (&relay.suppressor, ["86", "85"]),
        Kind::AirValve(valve) => (&valve.suppressor, ["1", "2"]),
        _ => return,
    };
    let label = worded_capital(&labels::label("suppressor"));
    ui.label(RichText::new(&label).font(theme::plain(12.5)).color(seen.palette.quiet));
    let diodes = ends.map(|end| Some(Suppressor::Diode { cathode: end.to_owned() }));
    let usual = [None].into_iter().chain(diodes);
    let other = now.clone().filter(|now| matches!(now, Suppressor::Resistor(_)));
    ui.horizontal_wrapped(|ui| {
        for one in usual.chain(other.map(Some)) {
            let shown =
                one.as_ref().map_or_else(|| t!("values-none").to_owned(), |one| worded(&labels::suppressor(one)));
            let value = one.as_ref().map(|one| match one {
                Suppressor::Diode { cathode } => format!("Diode(cathode: {})", quoted(cathode)),
                Suppressor::Resistor(ohms) => format!("Resistor({ohms:?})"),
            });
            let button = Button::selectable(one == *now, capital(&shown)).min_size(vec2(44.0, FIELD));
            if ui.add(button).accessible_name(t!("values-of-2", label, name = part.tag, shown)).clicked() && one != *now
            {
                let of = Owner::Part(part.tag.clone());
                let change = Change::Set { of, field: "suppressor".to_owned(), value };
                commands.push(Command::Build(BuildStep::Make(change)));
            }
        }
    });
}

/// What a wire is made of.
pub(super) fn wire_values_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    id: WireId,
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let circuit = seen.bench.circuit();
    let tag = &circuit.wire(id).tag;
    let texts = wire_texts(circuit, id);
    fields_ui(ui, seen, (&Owner::Wire(tag.clone()), tag, "Wire"), &texts, state, commands);
}

/// The figures of air side, clutch or engine.
pub(super) fn figures_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    owner: &Owner,
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let (name, word) = match owner {
        Owner::Clutch => (t!("values-the-clutch"), "Clutch"),
        Owner::Engine => (t!("values-the-engine"), "Engine"),
        Owner::Air | Owner::Part(_) | Owner::Wire(_) => (t!("values-the-air-side"), "Air"),
    };
    let texts = figure_texts(seen.bench.circuit(), word);
    fields_ui(ui, seen, (owner, name, word), &texts, state, commands);
}

fn fields_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (owner, name, word): (&Owner, &str, &str),
    texts: &[(&'static str, String)],
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    for note in fields_of(word) {
        let text = texts.iter().find(|(field, _)| *field == note.name).map(|(_, text)| text.as_str());
        if note.choices.is_empty() {
            typed_ui(ui, seen, (owner, name), (&note, text), state, commands);
        } else {
            choices_ui(ui, seen, (owner, name), (&note, text), commands);
        }
    }
}

/// A number as it is written where the language is spoken; what is none stays as it is.
pub(super) fn as_spoken(said: String) -> String {
    if spoken() == Language::English {
        return said;
    }
    let with_comma = said.replace('.', ",");
    if labels::as_written(&with_comma) == labels::as_written(&said) { with_comma } else { said }
}

fn set(owner: &Owner, note: &FieldNote, value: Option<String>) -> Change {
    Change::Set { of: owner.clone(), field: note.name.to_owned(), value }
}

fn typed_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (owner, name): (&Owner, &str),
    (note, text): (&FieldNote, Option<&str>),
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let stands = match text {
        Some(text) if note.is_text => unquoted(text).unwrap_or_else(|| text.to_owned()),
        Some(text) if note.is_list => listed(text).map_or_else(|| text.to_owned(), |names| names.join(", ")),
        Some(text) => as_spoken(labels::as_said(text)),
        None => String::new(),
    };
    let label = worded_capital(&labels::label(note.name));
    let above = match labels::unit(note.name) {
        _ if note.name == demands::OF_FILE => t!("demands-in-the-file").to_owned(),
        Some(unit) => format!("{label}, {unit}"),
        None => label.clone(),
    };
    let hint = match note.name {
        "suppressor" | "colour" | "valve" => t!("values-none"),
        _ => t!("values-as-usual"),
    };
    let line = Line { name: t!("values-of", label, name), label: &above, stands: &stands, hint };
    let change = |typed: &str| {
        let value = match typed.trim() {
            // What may be left out is as usual without it.
            "" if !note.needed => None,
            typed if note.is_text => Some(quoted(typed)),
            // As the file has it is taken too.
            typed if note.is_list && !typed.starts_with('[') => {
                let names = typed.split(',').map(str::trim).filter(|name| !name.is_empty());
                Some(format!("[{}]", names.map(quoted).collect::<Vec<_>>().join(", ")))
            }
            typed => Some(labels::as_written(typed)),
        };
        set(owner, note, value)
    };
    line_ui(ui, seen, &line, state, change, commands);
}

fn choices_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (owner, name): (&Owner, &str),
    (note, text): (&FieldNote, Option<&str>),
    commands: &mut Commands,
) {
    let label = worded_capital(&labels::label(note.name));
    ui.label(RichText::new(&label).font(theme::plain(12.5)).color(seen.palette.quiet));
    // A flag that is not there is not set.
    let stands = text.or(if note.choices.contains(&"false") { Some("false") } else { None });
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        for word in note.choices {
            let (shown, is_it) = (worded_capital(&labels::choice(word)), stands == Some(*word));
            let button = Button::selectable(is_it, &shown).min_size(vec2(44.0, FIELD));
            let change = set(owner, note, Some((*word).to_owned()));
            if !ui.add(button).accessible_name(t!("values-of-2", label, name, shown)).clicked() || is_it {
                continue;
            }
            chosen = Some(change);
        }
    });
    if let Some(change) = chosen {
        make(seen, change, commands);
    }
}

/// Asks for a change that a press has put in, or says why there can be none.
pub(super) fn make(seen: &Seen<'_>, change: Change, commands: &mut Commands) {
    commands.push(match change.apply(seen.bench.circuit()) {
        Ok(_) => Command::Build(BuildStep::Make(change)),
        Err(why) => Command::Say(refused(&why)),
    });
}
