//! One part, one wire or one set of figures by itself: its fields as texts of the file's grammar, and back.
//!
//! For those who change a circuit field by field: a value typed is judged by the very reader that judges files, on a
//! text with that entry alone, so that what is refused here and there is the same, in the same words. Changing the
//! circuit is left to [`change`](crate::circuit::change).

use crate::circuit::air::Air;
use crate::circuit::diagnostic::{Finding, Severity, Subject, refusal};
use crate::circuit::figure::Given;
use crate::circuit::quantity::{Gauge, Length};
use crate::circuit::{Circuit, Clutch, Engine, Kind, WireId};
use crate::words::say;

use super::fields::{self, AIR, CLUTCH, ENGINE, Field, Form, KINDS, Shape, WIRE};
use super::split::{shorten, split};
use super::value::{Judge, from_ron};
use super::{read, write};

/// What may be written in a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldNote {
    /// Its name.
    pub name: &'static str,
    /// Whether it must be there.
    pub needed: bool,
    /// A value as it might be written.
    pub example: &'static str,
    /// The only words it takes, where they are few.
    pub choices: &'static [&'static str],
    /// It is a text, and stands in quotes.
    pub is_text: bool,
    /// It is a list of texts in square brackets.
    pub is_list: bool,
}

impl FieldNote {
    fn of(field: &Field) -> Self {
        let choices: &'static [&'static str] = match field.shape {
            Shape::Choice(words) => words,
            Shape::Flag => &["true", "false"],
            _ => &[],
        };
        let (is_text, is_list) = (matches!(field.shape, Shape::Text), matches!(field.shape, Shape::Names));
        Self { name: field.name, needed: field.needed, example: field.example, choices, is_text, is_list }
    }

    /// The same in a kind of part, which does not feel all that there is to be felt.
    fn in_kind(self, word: &str) -> Self {
        let choices = match (self.name, word) {
            ("senses", "TemperatureSwitch") => fields::FELT.0,
            ("senses", "PressureSwitch") => fields::FELT.1,
            _ => self.choices,
        };
        Self { choices, ..self }
    }

    fn all(form: &Form) -> Vec<Self> {
        form.fields.iter().map(Self::of).collect()
    }
}

/// A field with its value as text.
pub type FieldText = (&'static str, String);

/// The words of the kinds of part there are, in the order of the reference.
pub fn kinds() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|form| form.word)
}

/// What may be written in the fields of a kind of part, of a `Wire` beside its ends, of `Air`, `Clutch` and `Engine`;
/// nothing where there is no such word.
pub fn fields_of(word: &str) -> Vec<FieldNote> {
    match word {
        "Wire" => FieldNote::all(&WIRE).into_iter().filter(|note| !matches!(note.name, "from" | "to")).collect(),
        "Air" => FieldNote::all(&AIR),
        "Clutch" => FieldNote::all(&CLUTCH),
        "Engine" => FieldNote::all(&ENGINE),
        _ => {
            let all = fields::kind(word).map(FieldNote::all).unwrap_or_default();
            all.into_iter().map(|note| note.in_kind(word)).collect()
        }
    }
}

/// The fields of a part that differ from the defaults, as the file has them.
pub fn field_texts(kind: &Kind) -> Vec<FieldText> {
    write::fields_of(kind).into_texts()
}

/// What a wire is made of, as far as it differs from the defaults.
pub fn wire_texts(circuit: &Circuit, wire: WireId) -> Vec<FieldText> {
    write::copper(write::Fields::default(), circuit.wire(wire)).into_texts()
}

/// The figures of `Air`, `Clutch` or `Engine` that the file gives.
pub fn figure_texts(circuit: &Circuit, word: &str) -> Vec<FieldText> {
    let figures = match word {
        "Air" => circuit.air().map(Air::figures),
        "Clutch" => circuit.clutch().map(Clutch::figures),
        "Engine" => circuit.engine().map(Engine::figures),
        _ => None,
    };
    write::figure_fields(circuit, figures.unwrap_or_default()).into_texts()
}

/// A text in quotes, as the file has it.
pub fn quoted(text: &str) -> String {
    write::quoted(text)
}

/// The text in quotes; none where it is no text.
pub fn unquoted(text: &str) -> Option<String> {
    from_ron(text).ok()
}

/// The texts of a list in square brackets; none where it is no such list.
pub fn listed(text: &str) -> Option<Vec<String>> {
    from_ron(text).ok()
}

/// Whether a tag can be one.
pub(in crate::circuit) fn one_tag(tag: &str, subject: &Subject) -> Result<(), Box<Finding>> {
    let mut judge = Judge { text: "", findings: Vec::new() };
    judge.tag(tag, subject, 0..0);
    judge.findings.into_iter().next().map_or(Ok(()), |finding| Err(placeless(finding)))
}

/// The part of this kind with these fields.
pub(in crate::circuit) fn read_part(tag: &str, word: &str, fields: &[FieldText]) -> Result<Kind, Box<Finding>> {
    let subject = Subject::Part(tag.to_owned());
    each_is_one(&subject, tag, fields)?;
    let text = format!("Circuit(format: 1, parts: {{ {}: {word}{} }})", quoted(tag), in_brackets(fields));
    let circuit = sound(&text)?;
    circuit.draft().parts.pop().map(|part| part.kind).ok_or_else(|| nothing(subject))
}

/// What a wire with these fields is made of.
pub(in crate::circuit) fn read_wire(
    tag: &str,
    fields: &[FieldText],
) -> Result<(Gauge, Length, Option<String>), Box<Finding>> {
    let subject = Subject::Wire(tag.to_owned());
    each_is_one(&subject, tag, fields)?;
    // Its two ends are no matter here; only their tags must not be its own.
    let mut studs = ["N1", "N2", "N3"].into_iter().filter(|stud| *stud != tag);
    let (a, b) = (studs.next().unwrap_or("N1"), studs.next().unwrap_or("N2"));
    let mut all = vec![("from", format!("\"{a}.g\"")), ("to", format!("\"{b}.g\""))];
    all.extend(fields.iter().cloned());
    let text = format!(
        "Circuit(format: 1, parts: {{ \"{a}\": Ground, \"{b}\": Ground }}, wires: {{ {}: Wire{} }})",
        quoted(tag),
        in_brackets(&all)
    );
    let circuit = sound(&text)?;
    circuit.draft().wires.pop().map(|wire| (wire.gauge, wire.length, wire.colour)).ok_or_else(|| nothing(subject))
}

/// The figures of air side, clutch or engine.
#[derive(Debug, Default)]
pub(in crate::circuit) struct Figures {
    pub(in crate::circuit) air: Option<Air>,
    pub(in crate::circuit) clutch: Option<Clutch>,
    pub(in crate::circuit) engine: Option<Engine>,
    /// Names of those that are given.
    pub(in crate::circuit) given: Given,
}

/// The figures of `Air`, `Clutch` or `Engine` with these fields, beside the valves of a circuit.
pub(in crate::circuit) fn read_figures(
    circuit: &Circuit,
    word: &str,
    fields: &[FieldText],
) -> Result<Figures, Box<Finding>> {
    each_is_one(&Subject::Whole, word, fields)?;
    let valves: Vec<String> = circuit
        .parts()
        .iter()
        .filter(|part| matches!(part.kind, Kind::AirValve(_)))
        .map(|part| format!("{}: {}", quoted(&part.tag), write::kind(&part.kind)))
        .collect();
    let (valves, field) = (valves.join(", "), word.to_lowercase());
    let text = format!("Circuit(format: 1, parts: {{ {valves} }}, {field}: {word}{})", in_brackets(fields));
    let draft = sound(&text)?.draft();
    Ok(Figures { air: draft.air, clutch: draft.clutch, engine: draft.engine, given: draft.given })
}

fn in_brackets(fields: &[FieldText]) -> String {
    let written: Vec<String> = fields.iter().map(|(name, text)| format!("{name}: {text}")).collect();
    format!("({})", written.join(", "))
}

/// The circuit of a text, or its first error.
fn sound(text: &str) -> Result<Circuit, Box<Finding>> {
    let reading = read(text);
    let error = reading.findings.into_iter().find(|finding| finding.severity == Severity::Error);
    match (reading.circuit, error) {
        (Some(circuit), _) => Ok(circuit),
        (None, Some(error)) => Err(placeless(error)),
        (None, None) => Err(nothing(Subject::Whole)),
    }
}

fn nothing(subject: Subject) -> Box<Finding> {
    refusal(subject, say!("read-cannot-be-read-at-all"), say!("read-the-reference"))
}

/// A finding without its place in a text that nobody has seen.
fn placeless(finding: Finding) -> Box<Finding> {
    Box::new(Finding { span: None, also: None, ..finding })
}

/// Whether each text is one value, so that none smuggles in a second field or another part.
fn each_is_one(subject: &Subject, owner: &str, fields: &[FieldText]) -> Result<(), Box<Finding>> {
    let field = fields.iter().find(|(_, text)| !is_one(text));
    let Some((name, text)) = field else { return Ok(()) };
    let of = shorten(owner);
    Err(match text.trim() {
        "" => refusal(subject.clone(), say!("read-is-empty", name, owner = of), say!("read-write-a-value")),
        text => refusal(
            subject.clone(),
            say!("read-is-not-one-value", name, owner = of, found = shorten(text)),
            say!("read-write-one-value"),
        ),
    })
}

fn is_one(text: &str) -> bool {
    let tree = split(text);
    let whole = text.trim();
    tree.findings.is_empty()
        && tree.preamble.is_empty()
        && tree.root.is_some_and(|root| text.get(root.span.clone()) == Some(whole) && !whole.is_empty())
}
