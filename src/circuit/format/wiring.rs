//! Reads the wires, the air side, the clutch, the engine, and where parts have been put on the drawing.
//!
//! Their ends are tied to parts and terminals by name here, so that a slip is shown in the text with what was
//! probably meant; [`Circuit::new`](crate::circuit::Circuit::new) ties them again by number. Parts come from
//! [`part`](super::part).

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

use serde::Deserialize;

use crate::circuit::diagnostic::Subject;
use crate::circuit::figure::Given;
use crate::circuit::quantity::{Gauge, Length};
use crate::circuit::wire::{DEFAULT_GAUGE, DEFAULT_LENGTH};
use crate::circuit::{Air, At, Clutch, DraftWire, Engine};

use super::fields::{AIR, AT, CLUTCH, ENGINE, Form, WIRE};
use super::part::{Parts, Seen};
use super::split::{Node, shorten};
use super::value::{Judge, guess, like};
use crate::words::{Words, say};

/// How many unknown tags of a file are compared with all known ones; more would only make a hopeless file slow.
const GUESSES: usize = 40;

/// A wire as the file writes it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireFields {
    from: String,
    to: String,
    #[serde(default = "default_gauge")]
    gauge: Gauge,
    #[serde(default = "default_length")]
    length: Length,
    #[serde(default)]
    colour: Option<String>,
}

fn default_gauge() -> Gauge {
    DEFAULT_GAUGE
}

fn default_length() -> Length {
    DEFAULT_LENGTH
}

/// Wires of a file, with the place of each entry.
#[derive(Debug, Default)]
pub(super) struct Wires {
    pub(super) drafts: Vec<DraftWire>,
    pub(super) entries: HashMap<String, Range<usize>>,
}

impl<'t> Judge<'t> {
    /// The wires of a circuit that has these parts.
    pub(super) fn wires(&mut self, node: &Node<'t>, parts: &Parts) -> Wires {
        let (entries, _) = self.entries(node, "wires", "{ \"W1\": Wire(from: \"G1.+\", to: \"F1.1\") }");
        let mut wires = Wires::default();
        let mut tags: HashMap<String, Range<usize>> = HashMap::new();
        let mut guesses = GUESSES;
        for (tag, item) in entries {
            if self.is_full() {
                break;
            }
            let Some(key) = &item.key else { continue };
            let subject = Subject::Wire(tag.clone());
            if let Some(first) = tags.get(&tag) {
                self.doubled(
                    subject.clone(),
                    say!("read-two-wires-have", tag = shorten(&tag)),
                    key.span.clone(),
                    first.clone(),
                );
            } else if let Some(part) = parts.get(&tag) {
                let first = part.span.clone();
                self.doubled(
                    subject.clone(),
                    say!("read-a-part-and-a-wire-have", tag = shorten(&tag)),
                    key.span.clone(),
                    first,
                );
            } else {
                self.tag(&tag, &subject, key.span.clone());
            }
            let draft = self.wire(&subject, &tag, &item.value, parts, &mut guesses);
            tags.entry(tag.clone()).or_insert(key.span.clone());
            wires.entries.entry(tag).or_insert(item.span());
            wires.drafts.extend(draft);
        }
        wires
    }

    fn wire(
        &mut self,
        subject: &Subject,
        tag: &str,
        node: &Node<'t>,
        parts: &Parts,
        guesses: &mut usize,
    ) -> Option<DraftWire> {
        let owner = Words::from(shorten(tag));
        if node.broken && node.group.is_none() {
            return None;
        }
        if node.word != WIRE.word && !(node.word.is_empty() && node.group.is_some()) {
            let message = say!("read-is-no-wire", owner, word = shorten(node.word));
            let mend = say!("read-write-a-wire", example = "Wire(from: \"G1.+\", to: \"F1.1\")");
            self.complain(subject, node.word_span(), message, mend);
            return None;
        }
        self.fields(subject, &owner, node, &WIRE);
        let from = self.end(subject, &owner, node, "from", parts, guesses);
        let to = self.end(subject, &owner, node, "to", parts, guesses);
        if from.is_some()
            && from == to
            && let Some(to_at) = Self::field(node, "to")
        {
            let message = say!("read-both-ends-at", owner);
            self.complain(subject, to_at.span.clone(), message, say!("read-the-other-end"));
        }
        let WireFields { from, to, gauge, length, colour } = self.whole(subject, node, node.group.as_ref())?;
        Some(DraftWire { tag: tag.to_owned(), from, to, gauge, length, colour })
    }

    /// One end of a wire; its words, if they can be read.
    fn end(
        &mut self,
        subject: &Subject,
        owner: &Words,
        node: &Node<'t>,
        name: &str,
        parts: &Parts,
        guesses: &mut usize,
    ) -> Option<String> {
        let at = Self::field(node, name)?;
        let words = self.text_of(at)?;
        let (tag, terminal) = match words.split_once('.') {
            Some((tag, terminal)) => (tag, Some(terminal)),
            None => (words.as_str(), None),
        };
        let Some(part) = parts.get(tag) else {
            if !parts.some_unseen {
                let near = if *guesses > 0 { guess(tag, parts.with_terminal(terminal)) } else { None };
                *guesses = guesses.saturating_sub(1);
                let mend = match (near, terminal) {
                    (Some(near), Some(terminal)) => {
                        say!("change-did-you-mean", near = format!("{near}.{terminal}"))
                    }
                    (Some(near), None) => say!("change-did-you-mean", near),
                    (None, _) => say!("read-add-the-part"),
                };
                let message = say!("read-no-such-part", owner, end = shorten(&words), tag = shorten(tag));
                self.complain(subject, at.span.clone(), message, mend);
            }
            return Some(words);
        };
        let known = part.terminals.as_deref()?;
        if terminal.is_some_and(|t| known.iter().any(|k| k == t)) {
            return Some(words);
        }
        let (message, near) = match terminal {
            None => (say!("read-names-no-terminal", owner, end = shorten(&words)), None),
            Some(terminal) => (
                say!(
                    "read-part-has-no-terminal",
                    owner,
                    end = shorten(&words),
                    tag = shorten(tag),
                    terminal = shorten(terminal)
                ),
                guess(terminal, known.iter().map(AsRef::as_ref)).filter(|_| terminal.chars().count() > 1),
            ),
        };
        let mend = near.map_or_else(
            || terminals_listed(tag, part),
            |near| say!("change-did-you-mean", near = format!("{tag}.{near}")),
        );
        self.complain(subject, at.span.clone(), message, mend);
        None
    }

    /// Where parts have been put on the drawing by hand.
    pub(super) fn places(&mut self, node: &Node<'t>, parts: &Parts) -> BTreeMap<String, At> {
        let (entries, _) = self.entries(node, "places", "{ \"B1\": At(right: 40, down: 24) }");
        let mut places = BTreeMap::new();
        let mut first_at: HashMap<String, Range<usize>> = HashMap::new();
        let mut guesses = GUESSES;
        for (tag, item) in entries {
            if self.is_full() {
                break;
            }
            let Some(key) = &item.key else { continue };
            let subject = Subject::Part(tag.clone());
            if let Some(first) = first_at.get(&tag) {
                self.doubled(
                    subject.clone(),
                    say!("read-two-places-have", tag = shorten(&tag)),
                    key.span.clone(),
                    first.clone(),
                );
            } else if parts.get(&tag).is_none() && !parts.some_unseen {
                let near = if guesses > 0 { guess(&tag, parts.with_terminal(None)) } else { None };
                guesses = guesses.saturating_sub(1);
                let mend = match near {
                    Some(near) => say!("change-did-you-mean", near),
                    None => say!("read-take-the-place-out"),
                };
                let message = say!("read-place-for-nothing", tag = shorten(&tag));
                self.complain(&subject, key.span.clone(), message, mend);
            }
            first_at.entry(tag.clone()).or_insert(key.span.clone());
            if let Some(at) = self.place(&subject, &tag, &item.value) {
                places.entry(tag).or_insert(at);
            }
        }
        places
    }

    fn place(&mut self, subject: &Subject, tag: &str, node: &Node<'t>) -> Option<At> {
        if node.broken && node.group.is_none() {
            return None;
        }
        let owner = say!("read-the-place-of", tag = shorten(tag));
        if node.word != AT.word && !(node.word.is_empty() && node.group.is_some()) {
            let message = say!("read-only-an-at", owner, found = self.words(node.span.clone()));
            let mend = say!("read-write-steps", example = "At(right: 40, down: 24)");
            self.complain(subject, node.span.clone(), message, mend);
            return None;
        }
        self.fields(subject, &owner, node, &AT);
        self.whole(subject, node, node.group.as_ref())
    }

    /// The air side.
    pub(super) fn air(&mut self, node: &Node<'t>, parts: &Parts, given: &mut Given) -> Option<Air> {
        let node = self.named(node, "air", AIR.word, "Air(minimum: Psi(90))")?;
        note_given(node, &AIR, given);
        self.fields(&Subject::Whole, &"`Air`".into(), node, &AIR);
        let pressures = [
            ("minimum", say!("read-pressure-the-clutch-needs", example = "minimum: Psi(90)")),
            ("cut_in", say!("read-lower-pressure", example = "cut_in: Psi(100)")),
            ("cut_out", say!("read-upper-pressure", example = "cut_out: Psi(125)")),
            ("protection_closes", say!("read-pressure-for-the-brakes", example = "protection_closes: Psi(60)")),
        ];
        for (field, mend) in pressures {
            self.pressure(node, "Air", field, mend);
        }
        let level = |judge: &mut Self, field| Self::field(node, field).and_then(|at| judge.level_of(at));
        let (low, high) = (level(self, "cut_in"), level(self, "cut_out"));
        let usual = Air::default();
        if low.unwrap_or(usual.cut_in).value() >= high.unwrap_or(usual.cut_out).value()
            && let Some(at) = Self::field(node, "cut_in").or_else(|| Self::field(node, "cut_out"))
        {
            let message = not_below("Air", "cut_in", "cut_out");
            let mend = say!("read-the-governor-starts", example = "cut_in: Psi(100), cut_out: Psi(125)");
            self.complain(&Subject::Whole, at.span.clone(), message, mend);
        }
        if let Some(at) = Self::field(node, "valve")
            && let Some(valve) = self.value_of::<Option<String>>(at).flatten()
        {
            self.valve(&valve, at, parts);
        }
        self.whole(&Subject::Whole, node, node.group.as_ref())
    }

    /// A field that must be a pressure above that of the air around, if it is there.
    fn pressure(&mut self, node: &Node<'t>, of: &str, field: &str, mend: Words) {
        if let Some(at) = Self::field(node, field)
            && let Some(level) = self.level_of(at)
            && (level.is_temperature() || level.value() <= 0.0)
        {
            let message = say!("read-is-no-air-pressure", field, owner = of, level);
            self.complain(&Subject::Whole, at.span.clone(), message, mend);
        }
    }

    fn valve(&mut self, valve: &str, at: &Node<'t>, parts: &Parts) {
        let part = parts.get(valve);
        if part.is_some_and(|p| p.is_valve) || (part.is_none() && parts.some_unseen) {
            return;
        }
        let message = match part {
            Some(_) => say!("read-is-not-an-air-valve", valve = shorten(valve)),
            None => say!("read-names-no-part", valve = shorten(valve)),
        };
        let valves = || parts.seen.iter().filter(|(_, s)| s.is_valve).map(|(t, _)| t.as_str());
        let mend = match guess(valve, valves()).or_else(|| valves().next()) {
            Some(near) => say!("change-did-you-mean", near),
            None => say!("read-add-a-valve"),
        };
        self.complain(&Subject::Whole, at.span.clone(), message, mend);
    }

    /// The clutch.
    pub(super) fn clutch(&mut self, node: &Node<'t>, given: &mut Given) -> Option<Clutch> {
        let node = self.named(node, "clutch", CLUTCH.word, "Clutch(engages: WithAir)")?;
        note_given(node, &CLUTCH, given);
        self.fields(&Subject::Whole, &"`Clutch`".into(), node, &CLUTCH);
        let bites = say!("read-pressure-it-bites-at", example = "bites_at: Psi(30)");
        self.pressure(node, "Clutch", "bites_at", bites);
        self.temperature(node, "Clutch", "discolours_at", "Celsius(250)");
        let clutch: Clutch = self.whole(&Subject::Whole, node, node.group.as_ref())?;
        if clutch.inner_mm >= clutch.outer_mm {
            let at = Self::field(node, "inner_mm").or_else(|| Self::field(node, "outer_mm")).unwrap_or(node);
            let message = not_below("Clutch", "inner_mm", "outer_mm");
            let mend = say!("read-inner-and-outer", example = "inner_mm: 200, outer_mm: 320");
            self.complain(&Subject::Whole, at.span.clone(), message, mend);
        }
        Some(clutch)
    }

    /// The engine.
    pub(super) fn engine(&mut self, node: &Node<'t>, given: &mut Given) -> Option<Engine> {
        let node = self.named(node, "engine", ENGINE.word, "Engine(oil_seconds: 600)")?;
        note_given(node, &ENGINE, given);
        self.fields(&Subject::Whole, &"`Engine`".into(), node, &ENGINE);
        self.temperature(node, "Engine", "thermostat_opens", "Celsius(82)");
        self.temperature(node, "Engine", "thermostat_full", "Celsius(93)");
        let pressures = ["refrigerant_rests", "refrigerant_rises", "refrigerant_per_kelvin", "fan_lowers_refrigerant"];
        for field in pressures {
            let mend = say!("read-write-a-pressure", example = format!("{field}: Psi(100)"));
            self.pressure(node, "Engine", field, mend);
        }
        let engine: Engine = self.whole(&Subject::Whole, node, node.group.as_ref())?;
        if engine.thermostat_opens.value() >= engine.thermostat_full.value() {
            let at = Self::field(node, "thermostat_opens").or_else(|| Self::field(node, "thermostat_full"));
            let message = not_below("Engine", "thermostat_opens", "thermostat_full");
            let example = "thermostat_opens: Celsius(82), thermostat_full: Celsius(93)";
            let mend = say!("read-where-it-opens", example);
            self.complain(&Subject::Whole, at.unwrap_or(node).span.clone(), message, mend);
        }
        Some(engine)
    }

    /// A field that must be a temperature, if it is there.
    fn temperature(&mut self, node: &Node<'t>, of: &str, field: &str, example: &str) {
        if let Some(at) = Self::field(node, field)
            && self.level_of(at).is_some_and(|level| !level.is_temperature())
        {
            let message = say!("read-is-no-temperature", field, owner = of);
            self.complain(&Subject::Whole, at.span.clone(), message, like(&format!("{field}: {example}")));
        }
    }

    /// The struct in an optional field of the circuit, `Some(...)` taken off.
    fn named<'n>(&mut self, node: &'n Node<'t>, field: &str, word: &str, example: &str) -> Option<&'n Node<'t>> {
        if node.group.is_none() && (node.broken || node.word == "None") {
            return None;
        }
        if node.word == "Some"
            && let Some([only]) = node.round().map(|g| g.items.as_slice())
        {
            return self.named(&only.value, field, word, example);
        }
        if node.word == word || (node.word.is_empty() && node.round().is_some()) {
            return Some(node);
        }
        let message = say!("read-only-a-struct", field, found = self.words(node.span.clone()), word);
        self.complain(&Subject::Whole, node.span.clone(), message, like(&format!("{field}: {example}")));
        None
    }
}

/// Notes which of a form's fields a file gives.
fn note_given(node: &Node<'_>, form: &Form, given: &mut Given) {
    given.extend(form.fields.iter().filter(|field| Judge::field(node, field.name).is_some()).map(|field| field.name));
}

/// A figure that should be below another is not.
fn not_below(owner: &str, low: &str, high: &str) -> Words {
    say!("read-is-not-below", low, owner, high)
}

fn terminals_listed(tag: &str, part: &Seen) -> Words {
    const MOST: usize = 12;
    let known = part.terminals.as_deref().unwrap_or_default();
    let mut words: Vec<String> = known.iter().take(MOST).map(|k| format!("`{tag}.{k}`")).collect();
    if known.len() > MOST {
        words.push("…".to_owned());
    }
    say!("refusal-its-terminals-are", words = words.join(", "))
}
