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
use super::value::{Judge, guess};

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
                self.doubled(subject.clone(), "two wires", &tag, key.span.clone(), first.clone());
            } else if let Some(part) = parts.get(&tag) {
                let first = part.span.clone();
                self.doubled(subject.clone(), "a part and a wire", &tag, key.span.clone(), first);
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
        let owner = shorten(tag);
        if node.broken && node.group.is_none() {
            return None;
        }
        if node.word != WIRE.word && !(node.word.is_empty() && node.group.is_some()) {
            let message = format!("{owner} is a {}, where only a `Wire` can be", shorten(node.word));
            let mend = "write it like `Wire(from: \"G1.+\", to: \"F1.1\")`; parts belong in `parts`";
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
            let message = format!("both ends of {owner} are at the same terminal");
            self.complain(
                subject,
                to_at.span.clone(),
                message,
                "write the terminal its other end goes to, or take the wire out",
            );
        }
        let WireFields { from, to, gauge, length, colour } = self.whole(subject, node, node.group.as_ref())?;
        Some(DraftWire { tag: tag.to_owned(), from, to, gauge, length, colour })
    }

    /// One end of a wire; its words, if they can be read.
    fn end(
        &mut self,
        subject: &Subject,
        owner: &str,
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
                    (Some(near), Some(terminal)) => format!("did you mean `{near}.{terminal}`?"),
                    (Some(near), None) => format!("did you mean `{near}`?"),
                    (None, _) => "add the part to `parts`, or write the tag of one that is there".to_owned(),
                };
                let message = format!("{owner} goes to {}, and there is no part {}", shorten(&words), shorten(tag));
                self.complain(subject, at.span.clone(), message, mend);
            }
            return Some(words);
        };
        let known = part.terminals.as_deref()?;
        if terminal.is_some_and(|t| known.iter().any(|k| k == t)) {
            return Some(words);
        }
        let (message, near) = match terminal {
            None => (format!("{owner} goes to {}, which names no terminal", shorten(&words)), None),
            Some(terminal) => (
                format!(
                    "{owner} goes to {}, and {} has no terminal {}",
                    shorten(&words),
                    shorten(tag),
                    shorten(terminal)
                ),
                guess(terminal, known.iter().map(AsRef::as_ref)).filter(|_| terminal.chars().count() > 1),
            ),
        };
        let mend = near.map_or_else(|| terminals_listed(tag, part), |near| format!("did you mean `{tag}.{near}`?"));
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
                self.doubled(subject.clone(), "two places", &tag, key.span.clone(), first.clone());
            } else if parts.get(&tag).is_none() && !parts.some_unseen {
                let near = if guesses > 0 { guess(&tag, parts.with_terminal(None)) } else { None };
                guesses = guesses.saturating_sub(1);
                let mend = match near {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "take the place out, or write the tag of a part that is there".to_owned(),
                };
                let message = format!("there is a place for {}, and no such part", shorten(&tag));
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
        let owner = format!("the place of {}", shorten(tag));
        if node.word != AT.word && !(node.word.is_empty() && node.group.is_some()) {
            let message = format!("{owner} is {}, where only an `At(...)` can be", self.words(node.span.clone()));
            let mend = "write steps of the drawing's grid, like `At(right: 40, down: 24)`";
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
        self.fields(&Subject::Whole, "`Air`", node, &AIR);
        let pressures = [
            ("minimum", "the pressure the clutch needs, like `minimum: Psi(90)`"),
            ("cut_in", "the governor's lower pressure, like `cut_in: Psi(100)`"),
            ("cut_out", "the governor's upper pressure, like `cut_out: Psi(125)`"),
            ("protection_closes", "the pressure kept for the brakes, like `protection_closes: Psi(60)`"),
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
            let message = "`cut_in` of `Air` is not below its `cut_out`".to_owned();
            let mend = "the governor starts at the lower pressure: write like `cut_in: Psi(100), cut_out: Psi(125)`";
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
    fn pressure(&mut self, node: &Node<'t>, of: &str, field: &str, mend: &str) {
        if let Some(at) = Self::field(node, field)
            && let Some(level) = self.level_of(at)
            && (level.is_temperature() || level.value() <= 0.0)
        {
            let message = format!("`{field}` of `{of}` is {level}, which is no air pressure above 0");
            self.complain(&Subject::Whole, at.span.clone(), message, format!("write {mend}"));
        }
    }

    fn valve(&mut self, valve: &str, at: &Node<'t>, parts: &Parts) {
        let part = parts.get(valve);
        if part.is_some_and(|p| p.is_valve) || (part.is_none() && parts.some_unseen) {
            return;
        }
        let message = match part {
            Some(_) => format!("`Air` names {} as its valve, which is not an `AirValve`", shorten(valve)),
            None => format!("`Air` names {} as its valve, and there is no such part", shorten(valve)),
        };
        let valves = || parts.seen.iter().filter(|(_, s)| s.is_valve).map(|(t, _)| t.as_str());
        let mend = match guess(valve, valves()).or_else(|| valves().next()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "add an `AirValve` to `parts`, or leave `valve` out".to_owned(),
        };
        self.complain(&Subject::Whole, at.span.clone(), message, mend);
    }

    /// The clutch.
    pub(super) fn clutch(&mut self, node: &Node<'t>, given: &mut Given) -> Option<Clutch> {
        let node = self.named(node, "clutch", CLUTCH.word, "Clutch(engages: WithAir)")?;
        note_given(node, &CLUTCH, given);
        self.fields(&Subject::Whole, "`Clutch`", node, &CLUTCH);
        self.pressure(node, "Clutch", "bites_at", "the pressure at which the facing bites, like `bites_at: Psi(30)`");
        self.temperature(node, "Clutch", "discolours_at", "Celsius(250)");
        let clutch: Clutch = self.whole(&Subject::Whole, node, node.group.as_ref())?;
        if clutch.inner_mm >= clutch.outer_mm {
            let at = Self::field(node, "inner_mm").or_else(|| Self::field(node, "outer_mm")).unwrap_or(node);
            let message = "`inner_mm` of `Clutch` is not below its `outer_mm`".to_owned();
            let mend = "write the facing's inner and outer diameter, like `inner_mm: 200, outer_mm: 320`";
            self.complain(&Subject::Whole, at.span.clone(), message, mend);
        }
        Some(clutch)
    }

    /// The engine.
    pub(super) fn engine(&mut self, node: &Node<'t>, given: &mut Given) -> Option<Engine> {
        let node = self.named(node, "engine", ENGINE.word, "Engine(oil_seconds: 600)")?;
        note_given(node, &ENGINE, given);
        self.fields(&Subject::Whole, "`Engine`", node, &ENGINE);
        self.temperature(node, "Engine", "thermostat_opens", "Celsius(82)");
        self.temperature(node, "Engine", "thermostat_full", "Celsius(93)");
        let pressures = ["refrigerant_rests", "refrigerant_rises", "refrigerant_per_kelvin", "fan_lowers_refrigerant"];
        for field in pressures {
            self.pressure(node, "Engine", field, &format!("a pressure, like `{field}: Psi(100)`"));
        }
        let engine: Engine = self.whole(&Subject::Whole, node, node.group.as_ref())?;
        if engine.thermostat_opens.value() >= engine.thermostat_full.value() {
            let at = Self::field(node, "thermostat_opens").or_else(|| Self::field(node, "thermostat_full"));
            let message = "`thermostat_opens` of `Engine` is not below its `thermostat_full`".to_owned();
            let mend = "write where it begins to open and where it is open, like \
                        `thermostat_opens: Celsius(82), thermostat_full: Celsius(93)`";
            self.complain(&Subject::Whole, at.unwrap_or(node).span.clone(), message, mend);
        }
        Some(engine)
    }

    /// A field that must be a temperature, if it is there.
    fn temperature(&mut self, node: &Node<'t>, of: &str, field: &str, example: &str) {
        if let Some(at) = Self::field(node, field)
            && self.level_of(at).is_some_and(|level| !level.is_temperature())
        {
            let message = format!("`{field}` of `{of}` is no temperature");
            self.complain(&Subject::Whole, at.span.clone(), message, format!("write it like `{field}: {example}`"));
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
        let message = format!("`{field}` is {}, where only `{word}(...)` can be", self.words(node.span.clone()));
        self.complain(&Subject::Whole, node.span.clone(), message, format!("write it like `{field}: {example}`"));
        None
    }
}

/// Notes which of a form's fields a file gives.
fn note_given(node: &Node<'_>, form: &Form, given: &mut Given) {
    given.extend(form.fields.iter().filter(|field| Judge::field(node, field.name).is_some()).map(|field| field.name));
}

fn terminals_listed(tag: &str, part: &Seen) -> String {
    const MOST: usize = 12;
    let known = part.terminals.as_deref().unwrap_or_default();
    let mut words: Vec<String> = known.iter().take(MOST).map(|k| format!("`{tag}.{k}`")).collect();
    if known.len() > MOST {
        words.push("…".to_owned());
    }
    format!("its terminals are {}", words.join(", "))
}
