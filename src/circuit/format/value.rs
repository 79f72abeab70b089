//! Reads single values through `ron` and words what is wrong with those it refuses.
//!
//! A [`Judge`] gathers findings while the modules beside this one walk the tree of a file; here are the simple
//! values: numbers, words, texts, levels, sizes. Whole parts and wires are left to [`part`](super::part) and
//! [`wiring`](super::wiring). Limits of what is possible: absolute zero and a perfect vacuum.

use std::ops::Range;

use ron::error::SpannedResult;
use ron::extensions::Extensions;
use serde::de::DeserializeOwned;

use crate::circuit::at::FURTHEST;
use crate::circuit::diagnostic::{Finding, Subject, nearest};
use crate::circuit::quantity::{Gauge, Length, Level};

use super::MOST_FINDINGS;
use super::fields::{Field, Limits, Shape, Unit};
use super::library;
use super::split::{Group, Item, Node, shorten};
use super::token::Bracket;
use crate::words::arg::ToArg;
use crate::words::{Words, say};

/// Degrees Celsius at absolute zero.
const ABSOLUTE_ZERO_CELSIUS: f64 = -273.15;
/// Hottest temperature taken for meant, in degrees Celsius.
const HOTTEST_CELSIUS: f64 = 2000.0;
/// A perfect vacuum as gauge pressure, in kilopascal: one standard atmosphere below it.
const VACUUM_KPA: f64 = -101.325;
/// Highest pressure taken for meant, in kilopascal.
const HIGHEST_KPA: f64 = 100_000.0;
/// Thickest conductor taken for meant, in square millimetres.
const THICKEST_MM2: f64 = 1000.0;
/// Longest wire taken for meant, in metres.
const LONGEST_METRES: f64 = 10_000.0;
/// Words longer than this are no slip of the pen; comparing them with every candidate would only take long.
const LONGEST_GUESSED: usize = 40;

/// What stands between two quotes, where nothing in it is escaped.
pub(super) fn plain_text(word: &str) -> Option<&str> {
    word.strip_prefix('"')?.strip_suffix('"').filter(|text| !text.contains('\\'))
}

/// Text into a value, as everywhere in the file: an optional field may be written without `Some`.
pub(super) fn from_ron<T: DeserializeOwned>(text: &str) -> SpannedResult<T> {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME).from_str(text)
}

/// Whose field a value is: for messages.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place<'a> {
    pub(super) subject: &'a Subject,
    /// What has the field: `` `F1` ``.
    pub(super) owner: &'a Words,
    /// The field: `amps`.
    pub(super) name: &'a str,
    /// The field with a value that would do: `10`.
    pub(super) example: &'a str,
}

impl Place<'_> {
    /// `` `amps` of `F1` ``.
    pub(super) fn words(&self) -> Words {
        say!("read-field-of", name = self.name, owner = self.owner)
    }

    fn mend(&self) -> Words {
        like(&self.written())
    }

    fn whole_number(&self, least: impl ToArg, most: impl ToArg) -> Words {
        say!("read-write-a-whole-number", least = least.to_arg(), most = most.to_arg(), example = self.written())
    }

    /// `amps: 10`.
    fn written(&self) -> String {
        format!("{}: {}", self.name, self.example)
    }
}

/// Gathers what is wrong with a text.
#[derive(Debug)]
pub(super) struct Judge<'t> {
    pub(super) text: &'t str,
    pub(super) findings: Vec<Finding>,
}

impl<'t> Judge<'t> {
    /// The value of a node, if `ron` can read it.
    pub(super) fn value_of<T: DeserializeOwned>(&self, node: &Node<'_>) -> Option<T> {
        from_ron(&self.text[node.span.clone()]).ok()
    }

    /// The number in a node; plain decimals are read without `ron`, which takes ten times as long.
    pub(super) fn number_of(&self, node: &Node<'_>) -> Option<f64> {
        let plain = node.group.is_none()
            && node.word.starts_with(|c: char| c.is_ascii_digit())
            && node.word.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        match plain.then(|| node.word.parse()) {
            Some(Ok(number)) => Some(number),
            Some(Err(_)) | None => self.value_of(node),
        }
    }

    /// The level in a node; see [`Self::number_of`] for why not always through `ron`.
    pub(super) fn level_of(&self, node: &Node<'_>) -> Option<Level> {
        let number = match node.round().map(|g| g.items.as_slice()) {
            Some([Item { key: None, value }]) => self.number_of(value)?,
            _ => return None,
        };
        Level::of(node.word, number)
    }

    /// The text in a node; one without escapes is taken as it stands.
    pub(super) fn text_of(&self, node: &Node<'_>) -> Option<String> {
        match plain_text(node.word) {
            Some(text) if node.group.is_none() && !node.broken => Some(text.to_owned()),
            _ => self.value_of(node),
        }
    }

    /// Whether there are so many findings that more are of no use.
    pub(super) fn is_full(&self) -> bool {
        self.findings.len() >= MOST_FINDINGS
    }

    /// A field's value node.
    pub(super) fn field<'n>(node: &'n Node<'t>, name: &str) -> Option<&'n Node<'t>> {
        let items = &node.round()?.items;
        items.iter().find(|i| i.key.as_ref().is_some_and(|k| k.word == name)).map(|i| &i.value)
    }

    pub(super) fn words(&self, span: Range<usize>) -> String {
        shorten(&self.text[span])
    }

    pub(super) fn complain(
        &mut self,
        subject: &Subject,
        span: Range<usize>,
        message: impl Into<Words>,
        mend: impl Into<Words>,
    ) {
        if !self.is_full() {
            self.findings.push(Finding::error(subject.clone(), message, mend).at(span));
        }
    }

    /// Judges a field's value by the field's shape.
    pub(super) fn value(&mut self, place: &Place<'_>, field: &Field, node: &Node<'t>) {
        if node.group.is_none() && node.broken {
            return;
        }
        if !field.needed && node.word == "None" && node.group.is_none() {
            return;
        }
        if !field.needed
            && node.word == "Some"
            && let Some([only]) = node.round().map(|g| g.items.as_slice())
        {
            return self.value(place, field, &only.value);
        }
        match field.shape {
            Shape::Number(limits) => self.number(place, node, limits),
            Shape::Count(least, most) => self.count(place, node, least, most),
            Shape::Steps => self.steps(place, node),
            Shape::Flag => self.choice(place, node, &["true", "false"]),
            Shape::Choice(words) => self.choice(place, node, words),
            Shape::Level => self.level(place, node),
            Shape::Gauge => self.gauge(place, node),
            Shape::Length => self.length(place, node),
            Shape::Text => self.text(place, node),
            Shape::Names => self.names(place, node),
            Shape::Suppressor(terminals) => self.suppressor(place, node, terminals),
            Shape::Demand => self.demand(place, node),
            Shape::Elsewhere => {}
        }
    }

    fn number(&mut self, place: &Place<'_>, node: &Node<'t>, limits: Limits) {
        let span = node.span.clone();
        let found = self.words(span.clone());
        let Some(number) = self.number_of(node) else {
            let message = say!("read-is-not-a-number", place = place.words(), found);
            let digits: String = node.word.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
            let bare = node.word.trim_matches(['"', '\'']);
            let mend = if bare != node.word && bare.parse::<f64>().is_ok() {
                say!("read-without-quotes", example = format!("{}: {bare}", place.name))
            } else if digits.parse::<f64>().is_ok() {
                let example = format!("{}: {digits}", place.name);
                say!("read-the-number-alone", unit = limits.unit.words(), example)
            } else {
                place.mend()
            };
            return self.complain(place.subject, span, message, mend);
        };
        let wrong = if !number.is_finite() {
            say!("read-is-no-number-measured")
        } else if number < 0.0 {
            say!("read-is-below-0")
        } else if number == 0.0 && !limits.zero {
            say!("read-must-be-more")
        } else if number > limits.most {
            say!("read-is-more-than-anything")
        } else {
            return;
        };
        let (unit, most) = (limits.unit.words(), limits.most.to_string());
        let mend =
            if limits.zero { say!("read-number-from-0", unit, most) } else { say!("read-number-above-0", unit, most) };
        self.complain(place.subject, span, say!("read-is-that", place = place.words(), found, wrong), mend);
    }

    fn count(&mut self, place: &Place<'_>, node: &Node<'t>, least: u32, most: u32) {
        if self.value_of::<u32>(node).is_some_and(|n| (least..=most).contains(&n)) {
            return;
        }
        let found = self.words(node.span.clone());
        self.complain(
            place.subject,
            node.span.clone(),
            say!("read-is-not-a-whole-number", place = place.words(), found, least, most),
            place.whole_number(least, most),
        );
    }

    fn steps(&mut self, place: &Place<'_>, node: &Node<'t>) {
        if self.value_of::<i32>(node).is_some_and(|n| (-FURTHEST..=FURTHEST).contains(&n)) {
            return;
        }
        let found = self.words(node.span.clone());
        self.complain(
            place.subject,
            node.span.clone(),
            say!("read-is-not-steps", place = place.words(), found),
            place.whole_number(-FURTHEST, FURTHEST),
        );
    }

    /// One of a few words.
    pub(super) fn choice(&mut self, place: &Place<'_>, node: &Node<'t>, words: &[&'static str]) {
        if node.group.is_none() && words.contains(&node.word) {
            return;
        }
        let found = self.words(node.span.clone());
        let mend = match guess(node.word.trim_matches('"'), words.iter().copied()) {
            Some(near) => say!("change-did-you-mean", near),
            None => write_this(alternatives(words)),
        };
        let message = say!("read-can-only-be", place = place.words(), found, words = alternatives(words));
        self.complain(place.subject, node.span.clone(), message, mend);
    }

    /// A text in quotes.
    pub(super) fn text(&mut self, place: &Place<'_>, node: &Node<'t>) {
        if node.group.is_none() && plain_text(node.word).is_some() {
            return;
        }
        let error = match from_ron::<String>(&self.text[node.span.clone()]) {
            Ok(_) => return,
            Err(error) => error,
        };
        let found = self.words(node.span.clone());
        let (message, mend) = if node.word.starts_with('"') {
            (
                say!("read-field-cannot-be-read", place = place.words(), why = library::why(&error.code)),
                say!("read-backslash-and-quote"),
            )
        } else if node.group.is_none() && node.word.trim_matches('\'').chars().all(char::is_alphanumeric) {
            (
                say!("read-is-not-a-text", place = place.words(), found),
                write_this(format!("`{}: \"{}\"`", place.name, node.word.trim_matches('\''))),
            )
        } else {
            (say!("read-is-not-a-text", place = place.words(), found), place.mend())
        };
        self.complain(place.subject, node.span.clone(), message, mend);
    }

    /// A temperature or pressure that can be.
    pub(super) fn level(&mut self, place: &Place<'_>, node: &Node<'t>) {
        const UNITS: [&str; 5] = ["Fahrenheit", "Celsius", "Psi", "Kilopascal", "Bar"];
        let Some(level) = self.level_of(node) else { return self.in_unit(place, node, &UNITS) };
        let value = level.value();
        let (wrong, mend) = match level.is_temperature() {
            _ if !value.is_finite() => (say!("read-is-no-number-measured"), say!("read-write-a-measurable")),
            true if value < ABSOLUTE_ZERO_CELSIUS - 1e-9 => {
                (say!("read-is-below-absolute-zero"), say!("read-nothing-is-colder"))
            }
            true if value > HOTTEST_CELSIUS => (say!("read-is-hotter"), say!("read-write-the-set-point")),
            false if value < VACUUM_KPA - 1e-9 => (say!("read-is-below-vacuum"), say!("read-pressures-are-above")),
            false if value > HIGHEST_KPA => (say!("read-is-higher"), say!("read-write-the-set-point")),
            true | false => return,
        };
        self.complain(
            place.subject,
            node.span.clone(),
            say!("read-is-that", place = place.words(), found = level, wrong),
            mend,
        );
    }

    fn gauge(&mut self, place: &Place<'_>, node: &Node<'t>) {
        let Some(gauge) = self.value_of::<Gauge>(node) else {
            return self.in_unit(place, node, &["Awg", "SquareMillimetre"]);
        };
        let wrong = match gauge {
            Gauge::Awg(n) if (-3..=40).contains(&n) => return,
            Gauge::Awg(_) => say!("read-no-such-size"),
            Gauge::SquareMillimetre(a) if a > 0.0 && a <= THICKEST_MM2 => return,
            Gauge::SquareMillimetre(_) => say!("read-no-conductor"),
        };
        let mend = say!("read-gauges-are", most = THICKEST_MM2);
        let message = say!("read-is-so", place = place.words(), found = gauge, wrong);
        self.complain(place.subject, node.span.clone(), message, mend);
    }

    fn length(&mut self, place: &Place<'_>, node: &Node<'t>) {
        let Some(length) = self.value_of::<Length>(node) else {
            return self.in_unit(place, node, &["Feet", "Metre"]);
        };
        if (0.0..=LONGEST_METRES).contains(&length.metres()) {
            return;
        }
        let message = say!("read-no-wire-is-so-long", place = place.words(), found = self.words(node.span.clone()));
        let mend = say!("read-write-a-length", most = LONGEST_METRES);
        self.complain(place.subject, node.span.clone(), message, mend);
    }

    /// Words why something is not a number in one of some units.
    fn in_unit(&mut self, place: &Place<'_>, node: &Node<'t>, units: &[&'static str]) {
        if node.broken {
            return;
        }
        let found = self.words(node.span.clone());
        let span = node.span.clone();
        if node.group.is_none() && self.number_of(node).is_some() {
            let written: Vec<String> = units.iter().map(|u| format!("`{u}({})`", node.word)).collect();
            let message = say!("read-is-without-a-unit", place = place.words(), found);
            return self.complain(place.subject, span, message, write_this(listed(&written)));
        }
        if !units.contains(&node.word) {
            let message = say!("read-is-in-no-unit", place = place.words(), found);
            let mend = match unit_for(node.word, units) {
                Some(near) => Words::joined([say!("change-did-you-mean", near), place.mend()], " "),
                None => Words::joined([say!("read-units-are", units = alternatives(units)), place.mend()], "; "),
            };
            return self.complain(place.subject, node.word_span(), message, mend);
        }
        let message = say!("read-is-not-one-number", place = place.words(), found);
        self.complain(place.subject, span, message, place.mend());
    }

    fn names(&mut self, place: &Place<'_>, node: &Node<'t>) {
        let Some(list) = node.group.as_ref().filter(|g| g.bracket == Bracket::Square && node.word.is_empty()) else {
            let message = say!("read-is-not-a-list", place = place.words());
            return self.complain(place.subject, node.span.clone(), message, place.mend());
        };
        if !(1..=12).contains(&list.items.len()) && !node.broken {
            let message = say!("read-a-selector-has", place = place.words(), count = list.items.len());
            self.complain(place.subject, node.span.clone(), message, place.mend());
        }
        let mut seen: Vec<(String, Range<usize>)> = Vec::new();
        for item in &list.items {
            if self.is_full() {
                return;
            }
            let Some(node) = self.bare(place, item) else { continue };
            let Some(name) = self.text_of(node) else {
                self.text(place, node);
                continue;
            };
            let span = node.span.clone();
            if name.trim() != name || name.is_empty() || name.contains(|c: char| c.is_control() || ",;=".contains(c)) {
                let name = self.words(span.clone());
                let message = say!("read-cannot-be-a-position", name, place = place.words());
                self.complain(place.subject, span.clone(), message, say!("read-a-name-without"));
            }
            if let Some((_, first)) = seen.iter().find(|(n, _)| n.eq_ignore_ascii_case(&name)) {
                let message = say!("read-two-positions", owner = place.owner, name = shorten(&name));
                let finding = Finding::error(place.subject.clone(), message, say!("read-each-position-its-name"))
                    .at(span.clone())
                    .and_at(first.clone(), say!("read-the-first-one"));
                self.findings.push(finding);
            }
            // No selector has more than a few positions, and each is compared with all before it.
            if seen.len() < 64 {
                seen.push((name, span));
            }
        }
    }

    fn suppressor(&mut self, place: &Place<'_>, node: &Node<'t>, terminals: &[&'static str]) {
        let inner = |name| Place { name, ..*place };
        match (node.word, node.round()) {
            ("Diode", Some(group)) => {
                let [Item { key: Some(key), value }] = group.items.as_slice() else {
                    if !node.broken {
                        let message = say!("read-no-cathode", place = place.words());
                        self.complain(place.subject, node.span.clone(), message, place.mend());
                    }
                    return;
                };
                if key.word != "cathode" {
                    let message = say!("read-has-no-field", owner = place.words(), field = shorten(key.word));
                    let mend = say!("change-did-you-mean", near = "cathode");
                    return self.complain(place.subject, key.span.clone(), message, mend);
                }
                let Some(cathode) = self.text_of(value) else { return self.text(&inner("cathode"), value) };
                if !terminals.contains(&cathode.as_str()) {
                    let message = say!("read-is-no-coil-terminal", name = shorten(&cathode), owner = place.owner);
                    let quoted: Vec<String> = terminals.iter().map(|t| format!("`\"{t}\"`")).collect();
                    let both = parted(&quoted, |most, last| say!("read-and", most, last));
                    let mend = say!("read-the-cathode-is-at", terminals = both);
                    self.complain(place.subject, value.span.clone(), message, mend);
                }
            }
            ("Resistor", Some(group)) => {
                let [item] = group.items.as_slice() else {
                    let message = say!("read-is-not-ohms", place = place.words());
                    let mend = like(&format!("{}: Resistor(680)", place.name));
                    return self.complain(place.subject, node.span.clone(), message, mend);
                };
                let Some(value) = self.bare(place, item) else { return };
                let place = Place { example: "Resistor(680)", ..*place };
                self.number(&place, value, Limits { zero: false, most: 1e9, unit: Unit::Ohms });
            }
            _ => {
                if node.broken {
                    return;
                }
                let found = self.words(node.span.clone());
                let words = alternatives(&["Diode(...)", "Resistor(...)"]);
                let message = say!("read-can-only-be", place = place.words(), found, words);
                let mend = match guess(node.word, ["Diode", "Resistor"]) {
                    Some(near) if near != node.word => say!("change-did-you-mean", near),
                    _ => write_this(listed(&[
                        format!("`{}: {}`", place.name, place.example),
                        format!("`{}: Resistor(680)`", place.name),
                    ])),
                };
                self.complain(place.subject, node.span.clone(), message, mend);
            }
        }
    }

    /// The value of an item that must have no name before it.
    pub(super) fn bare<'n>(&mut self, place: &Place<'_>, item: &'n Item<'t>) -> Option<&'n Node<'t>> {
        if let Some(key) = &item.key {
            let message = say!("read-has-no-place-in", key = key.word, place = place.words());
            self.complain(place.subject, key.span.clone(), message, say!("read-the-value-alone"));
            return None;
        }
        (!item.value.broken || item.value.group.is_some()).then_some(&item.value)
    }

    /// Reads a whole entry through `ron` once its pieces have been judged; an error here that the pieces did not
    /// show is worded by `ron` itself.
    pub(super) fn whole<T: DeserializeOwned>(
        &mut self,
        subject: &Subject,
        node: &Node<'t>,
        group: Option<&Group<'t>>,
    ) -> Option<T> {
        let body = group.map_or("()", |g| &self.text[g.span.clone()]);
        let error = match from_ron(body) {
            Ok(value) => return Some(value),
            Err(error) => error,
        };
        let known = |f: &Finding| f.span.as_ref().is_some_and(|s| s.start <= node.span.end && s.end >= node.span.start);
        if node.broken || self.findings.iter().rev().take(64).any(known) {
            return None;
        }
        let start = group.map_or(node.span.start, |g| g.span.start);
        let at = start + offset(body, &error.span.end);
        let at = at.min(node.span.end.saturating_sub(1)).max(node.span.start);
        let end = self.text[at..].chars().next().map_or(at, |c| at + c.len_utf8());
        let message = say!("read-cannot-be-read", why = library::why(&error.code));
        self.complain(subject, at..end, message, say!("read-the-reference"));
        None
    }
}

/// Byte of a line and column in a text.
pub(super) fn offset(text: &str, at: &ron::error::Position) -> usize {
    let line = text.split_inclusive('\n').take(at.line.saturating_sub(1)).map(str::len).sum::<usize>();
    let column = text[line..].chars().take(at.col.saturating_sub(1)).map(char::len_utf8).sum::<usize>();
    line + column
}

/// The unit meant by a common abbreviation or a slip of the pen.
fn unit_for(word: &str, units: &[&'static str]) -> Option<&'static str> {
    let unit = match word.to_ascii_lowercase().as_str() {
        "f" | "degf" => "Fahrenheit",
        "c" | "degc" => "Celsius",
        "kpa" => "Kilopascal",
        "ft" | "foot" => "Feet",
        "m" | "meter" | "meters" | "metres" => "Metre",
        "mm2" | "sqmm" | "squaremillimeter" => "SquareMillimetre",
        _ => return guess(word, units.iter().copied()),
    };
    units.contains(&unit).then_some(unit)
}

/// The candidate that was probably meant.
pub(super) fn guess<'a>(wrong: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if wrong.is_empty() || wrong.len() > LONGEST_GUESSED {
        return None;
    }
    nearest(wrong, candidates)
}

/// `` `Open` or `Closed` ``.
pub(super) fn alternatives(words: &[&str]) -> Words {
    listed(&words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>())
}

fn listed(words: &[String]) -> Words {
    parted(words, |most, last| say!("read-or", most, last))
}

/// Words with commas between them, and something else before the last.
fn parted(words: &[String], before_last: impl Fn(String, &String) -> Words) -> Words {
    match words {
        [] => Words::default(),
        [only] => only.into(),
        [most @ .., last] => before_last(most.join(", "), last),
    }
}

/// The mend that shows how a thing is written.
pub(super) fn like(example: &str) -> Words {
    say!("read-write-it-like", example)
}

/// The mend that gives what to write.
pub(super) fn write_this(what: impl Into<Words>) -> Words {
    say!("read-write", what = what.into())
}
