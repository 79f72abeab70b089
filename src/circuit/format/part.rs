//! Judges structs field by field and reads the parts of a circuit.
//!
//! Yields the parts that are sound, what is known of those that are not (so that wires to them are still judged),
//! and findings at their places. The values themselves are judged in [`value`](super::value) and
//! [`demand`](super::demand); the file format in the reference decides what is needed.

use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;

use crate::circuit::diagnostic::{Finding, Subject};
use crate::circuit::part::Kind;

use super::MOST_PARTS;
use super::demand::quantity_of;
use super::fields::{self, Form, KINDS};
use super::split::{Item, Node, shorten};
use super::token::Bracket;
use super::value::{Judge, Place, alternatives, from_ron, guess, like, plain_text, write_this};
use crate::words::{Words, say};

/// What the file says about one part, sound or not.
#[derive(Debug)]
pub(super) struct Seen {
    /// Its tag in the text.
    pub(super) span: Range<usize>,
    /// All of its entry.
    pub(super) entry: Range<usize>,
    /// Names of its terminals, where they are known.
    pub(super) terminals: Option<Vec<Cow<'static, str>>>,
    /// Whether it is an air valve.
    pub(super) is_valve: bool,
    /// It as a part, if nothing is wrong with it.
    pub(super) kind: Option<Kind>,
}

/// The parts of a file in its order.
#[derive(Debug, Default)]
pub(super) struct Parts {
    pub(super) seen: Vec<(String, Seen)>,
    pub(super) place: HashMap<String, usize>,
    /// Entries were too broken to be seen: a tag that seems to be missing may be one of them.
    pub(super) some_unseen: bool,
}

impl Parts {
    pub(super) fn get(&self, tag: &str) -> Option<&Seen> {
        self.place.get(tag).map(|i| &self.seen[*i].1)
    }

    /// Tags of the parts that have a terminal of this name, as far as that is known.
    pub(super) fn with_terminal<'a>(&'a self, name: Option<&'a str>) -> impl Iterator<Item = &'a str> {
        let has = move |seen: &Seen| match (name, &seen.terminals) {
            (Some(name), Some(known)) => known.iter().any(|k| k == name),
            (None, _) | (_, None) => true,
        };
        self.seen.iter().filter(move |(_, seen)| has(seen)).map(|(tag, _)| tag.as_str())
    }
}

impl<'t> Judge<'t> {
    /// The entries of a map whose keys are tags, each with its tag.
    pub(super) fn entries<'n>(
        &mut self,
        node: &'n Node<'t>,
        name: &str,
        example: &str,
    ) -> (Vec<(String, &'n Item<'t>)>, bool) {
        let Some(map) = node.group.as_ref().filter(|g| g.bracket == Bracket::Curly && node.word.is_empty()) else {
            if !node.broken || node.group.is_some() {
                let message = say!("read-is-not-a-map", name);
                self.complain(&Subject::Whole, node.span.clone(), message, write_this(format!("`{name}: {example}`")));
            }
            return (Vec::new(), true);
        };
        if map.items.len() > MOST_PARTS {
            let message = say!("read-too-many-entries", count = map.items.len(), name, most = MOST_PARTS);
            let span = map.span.start..map.span.start + 1;
            self.complain(&Subject::Whole, span, message, say!("change-split-it"));
            return (Vec::new(), true);
        }
        let mut entries = Vec::with_capacity(map.items.len());
        let mut some_unseen = false;
        for item in &map.items {
            let Some(key) = &item.key else {
                some_unseen = true;
                if !item.value.broken {
                    let found = self.words(item.value.span.clone());
                    let message = say!("read-has-no-tag", found, name);
                    let mend = say!("read-write-its-tag", example);
                    self.complain(&Subject::Whole, item.value.span.clone(), message, mend);
                }
                continue;
            };
            let tag = match plain_text(key.word) {
                Some(tag) if !item.value.broken => Ok(tag.to_owned()),
                _ => from_ron::<String>(key.word),
            };
            match tag {
                Ok(tag) => entries.push((tag, item)),
                Err(_) if item.value.broken && key.word.starts_with('"') => some_unseen = true,
                Err(_) => {
                    let message = say!("read-tag-not-in-quotes", tag = shorten(key.word), name);
                    let mend = write_this(format!("`\"{}\"`", key.word.trim_matches(['"', '\''])));
                    self.complain(&Subject::Whole, key.span.clone(), message, mend);
                    entries.push((key.word.trim_matches(['"', '\'']).to_owned(), item));
                }
            }
        }
        (entries, some_unseen)
    }

    /// Whether a tag can be written in acts and faults without being mistaken for something else.
    pub(super) fn tag(&mut self, tag: &str, subject: &Subject, span: Range<usize>) {
        const LONGEST: usize = 40;
        let good = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-');
        let wrong = if tag.is_empty() {
            say!("read-a-tag-is-empty")
        } else if let Some(c) = tag.chars().find(|c| !good(*c)) {
            let tag = shorten(tag);
            match c.is_whitespace() {
                true => say!("read-tag-has-a-blank", tag),
                false => say!("read-tag-has", tag, letter = shorten(&c.to_string())),
            }
        } else if tag.starts_with(['_', '-']) {
            say!("read-tag-begins", tag = shorten(tag))
        } else if tag.chars().count() > LONGEST {
            say!("read-tag-is-longer", tag = shorten(tag), most = LONGEST)
        } else {
            return;
        };
        self.complain(subject, span, wrong, say!("read-a-tag-is"));
    }

    /// Says that a tag is used twice.
    pub(super) fn doubled(&mut self, subject: Subject, message: Words, span: Range<usize>, first: Range<usize>) {
        let finding = Finding::error(subject, message, say!("read-a-tag-of-its-own"))
            .at(span)
            .and_at(first, say!("read-used-here-first"));
        self.findings.push(finding);
    }

    /// Judges the fields of a struct; the field names are taken from `form`.
    pub(super) fn fields(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>, form: &Form) {
        let Some(group) = &node.group else { return self.missing(subject, owner, node, form) };
        if group.bracket != Bracket::Round {
            let span = group.span.start..group.span.start + 1;
            let message = say!("read-fields-stand-in", owner, bracket = group.bracket.opening());
            self.complain(subject, span, message, say!("read-round-brackets"));
        }
        let mut first_at: Vec<(&str, Range<usize>)> = Vec::with_capacity(form.fields.len());
        for (i, item) in group.items.iter().enumerate() {
            if self.is_full() {
                return;
            }
            let Some(key) = &item.key else {
                self.nameless(subject, owner, form, item, i.checked_sub(1).map(|i| &group.items[i]));
                continue;
            };
            let Some(field) = form.field(key.word) else {
                let known: Vec<&str> = form.fields.iter().map(|f| f.name).collect();
                let mend = match guess(key.word.trim_matches(['"', '\'']), known.iter().copied()) {
                    Some(near) => say!("change-did-you-mean", near),
                    None if known.is_empty() => say!("read-no-fields-take-it-out"),
                    None => {
                        let fields = known.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
                        say!("read-its-fields-are", fields)
                    }
                };
                let message = say!("read-has-no-field", owner, field = field_words(key.word));
                self.complain(subject, key.span.clone(), message, mend);
                continue;
            };
            if let Some((_, first)) = first_at.iter().find(|(name, _)| *name == field.name) {
                let finding = Finding::error(
                    subject.clone(),
                    say!("read-has-twice", owner, field = field.name),
                    say!("read-take-one-out"),
                )
                .at(key.span.clone())
                .and_at(first.clone(), say!("read-given-here-first"));
                self.findings.push(finding);
                continue;
            }
            first_at.push((field.name, key.span.clone()));
            let place = Place { subject, owner, name: field.name, example: field.example };
            self.value(&place, field, &item.value);
        }
        self.missing(subject, owner, node, form);
    }

    /// A value in a struct without its field's name.
    fn nameless(&mut self, subject: &Subject, owner: &Words, form: &Form, item: &Item<'t>, before: Option<&Item<'t>>) {
        if item.value.broken {
            return;
        }
        let found = self.words(item.value.span.clone());
        let message = say!("read-has-no-field-name", found, owner);
        let digits = |node: &Node<'_>| !node.word.is_empty() && node.word.bytes().all(|b| b.is_ascii_digit());
        let mend = match (before, form.fields) {
            (Some(before), _) if digits(&before.value) && digits(&item.value) => {
                let example = format!("{}.{}", before.value.word, item.value.word);
                say!("read-decimals-with-a-point", example)
            }
            (_, []) => say!("read-no-fields-take-it-out"),
            (_, [first, ..]) => like(&format!("{}: {}", first.name, first.example)),
        };
        self.complain(subject, item.value.span.clone(), message, mend);
    }

    /// Says which needed fields are not there.
    fn missing(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>, form: &Form) {
        let items = node.group.as_ref().map_or(&[][..], |g| &g.items);
        let written = |name: &str| items.iter().any(|i| i.key.as_ref().is_some_and(|k| k.word == name));
        if form.fields.iter().all(|f| !f.needed || written(f.name)) {
            return;
        }
        let keys: Vec<&str> = items.iter().filter_map(|i| i.key.as_ref()).map(|k| k.word).collect();
        // A name misspelt was already said to be this one.
        let unknown = || keys.iter().filter(|k| form.field(k).is_none()).take(8);
        let meant = |name: &str| unknown().any(|k| guess(k, form.fields.iter().map(|f| f.name)) == Some(name));
        let missing: Vec<_> = form.fields.iter().filter(|f| f.needed && !written(f.name) && !meant(f.name)).collect();
        // A broken bracket may have swallowed or lost them.
        if missing.is_empty() || node.broken {
            return;
        }
        let names: Vec<String> = missing.iter().map(|f| format!("`{}`", f.name)).collect();
        let example: Vec<String> = missing.iter().map(|f| format!("{}: {}", f.name, f.example)).collect();
        let names = names.join(", ");
        let message = match owner.trim_matches('`') == form.word {
            true => say!("read-lacks", owner, names),
            false => say!("read-kind-lacks", owner, kind = form.word, names),
        };
        let span = if node.word.is_empty() { node.span.clone() } else { node.word_span() };
        let mend = say!("read-add-it-in-the-brackets", example = example.join(", "));
        self.complain(subject, span, message, mend);
    }

    /// The parts of a circuit.
    pub(super) fn parts(&mut self, node: &Node<'t>) -> Parts {
        let (entries, some_unseen) = self.entries(node, "parts", "{ \"F1\": Fuse(amps: 10) }");
        let mut parts = Parts { some_unseen, ..Parts::default() };
        for (tag, item) in entries {
            if self.is_full() {
                break;
            }
            let Some(key) = &item.key else { continue };
            let subject = Subject::Part(tag.clone());
            if let Some(first) = parts.get(&tag) {
                let first = first.span.clone();
                self.doubled(
                    subject.clone(),
                    say!("read-two-parts-have", tag = shorten(&tag)),
                    key.span.clone(),
                    first,
                );
            } else {
                self.tag(&tag, &subject, key.span.clone());
            }
            let kind = self.part(&subject, &tag, &item.value);
            let seen = Seen {
                span: key.span.clone(),
                entry: item.span(),
                terminals: kind.as_ref().map(Kind::terminals).or_else(|| fixed_terminals(item.value.word)),
                is_valve: item.value.word == "AirValve",
                kind,
            };
            parts.place.entry(tag.clone()).or_insert(parts.seen.len());
            parts.seen.push((tag, seen));
        }
        parts
    }

    /// One part.
    fn part(&mut self, subject: &Subject, tag: &str, node: &Node<'t>) -> Option<Kind> {
        let owner = Words::from(shorten(tag));
        let Some(form) = fields::kind(node.word) else {
            if !node.broken || node.group.is_some() {
                self.no_such_kind(subject, &owner, node);
            }
            return None;
        };
        let before = self.findings.len();
        self.fields(subject, &owner, node, form);
        self.between_fields(subject, &owner, node);
        let kind = self.kind(subject, node)?;
        (self.findings.len() == before && !node.broken).then_some(kind)
    }

    fn no_such_kind(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>) {
        if node.word.is_empty() {
            let message = say!("read-does-not-say-what-kind", owner);
            let mend = say!("read-the-kind-before", example = "Fuse(amps: 10)");
            return self.complain(subject, node.span.start..node.span.start + 1, message, mend);
        }
        let words = KINDS.map(|k| k.word);
        let mend = match guess(node.word.trim_matches('"'), words) {
            Some(near) => say!("change-did-you-mean", near),
            None => say!("change-kinds-are", kinds = alternatives(&words)),
        };
        let message = say!("read-is-no-kind", owner, word = shorten(node.word));
        self.complain(subject, node.word_span(), message, mend);
    }

    /// Reads the part through `ron`.
    fn kind(&mut self, subject: &Subject, node: &Node<'t>) -> Option<Kind> {
        let group = node.group.as_ref();
        Some(match node.word {
            "Battery" => Kind::Battery(self.whole(subject, node, group)?),
            "Fuse" => Kind::Fuse(self.whole(subject, node, group)?),
            "KeySwitch" => Kind::KeySwitch(self.whole(subject, node, group)?),
            "HandSwitch" => Kind::HandSwitch(self.whole(subject, node, group)?),
            "SelectorSwitch" => Kind::SelectorSwitch(self.whole(subject, node, group)?),
            "TemperatureSwitch" => Kind::TemperatureSwitch(self.whole(subject, node, group)?),
            "PressureSwitch" => Kind::PressureSwitch(self.whole(subject, node, group)?),
            "Relay" => Kind::Relay(self.whole(subject, node, group)?),
            "AirValve" => Kind::AirValve(self.whole(subject, node, group)?),
            "Diode" => Kind::Diode(self.whole(subject, node, group)?),
            "Resistor" => Kind::Resistor(self.whole(subject, node, group)?),
            "Lamp" => Kind::Lamp(self.whole(subject, node, group)?),
            "Module" => Kind::Module(self.whole(subject, node, group)?),
            "Timer" => Kind::Timer(self.whole(subject, node, group)?),
            "Connector" => Kind::Connector(self.whole(subject, node, group)?),
            "Splice" => Kind::Splice(self.whole(subject, node, group)?),
            "Ground" => Kind::Ground(self.whole(subject, node, group)?),
            _ => return None,
        })
    }

    /// Judges what fields must be to one another.
    fn between_fields(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>) {
        match node.word {
            "Relay" | "AirValve" => self.coil(subject, owner, node),
            "TemperatureSwitch" | "PressureSwitch" => self.sensor(subject, owner, node),
            "SelectorSwitch" => self.selector(subject, owner, node),
            _ => {}
        }
    }

    fn coil(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>) {
        let Some(pulls_at) = Self::field(node, "pulls_in") else { return };
        let Some(drops_at) = Self::field(node, "drops_out") else { return };
        let (Some(pulls), Some(drops)) = (self.number_of(pulls_at), self.number_of(drops_at)) else {
            return;
        };
        if drops >= pulls && pulls > 0.0 && drops.is_finite() {
            let message = say!("read-drops-out-at", owner, drops, pulls);
            let mend = say!("read-a-coil-holds-on");
            self.complain(subject, drops_at.span.clone(), message, mend);
        }
    }

    fn sensor(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>) {
        let Some(senses_at) = Self::field(node, "senses") else { return };
        let kind_feels_temperature = node.word == "TemperatureSwitch";
        if let Some(senses) = quantity_of(senses_at)
            && senses.is_temperature() != kind_feels_temperature
        {
            let (kind, felt) = (node.word, format!("{senses:?}"));
            let (message, other) = match senses.is_temperature() {
                true => (say!("read-senses-a-temperature", owner, kind, senses = felt), "TemperatureSwitch"),
                false => (say!("read-senses-a-pressure", owner, kind, senses = felt), "PressureSwitch"),
            };
            let right = if kind_feels_temperature { fields::FELT.0 } else { fields::FELT.1 };
            let mend = say!("read-make-it-or-let-it", other, quantities = alternatives(right));
            return self.complain(subject, senses_at.span.clone(), message, mend);
        }
        let (Some(acts), Some(resets)) = (Self::field(node, "acts_at"), Self::field(node, "resets_at")) else { return };
        self.set_point(subject, owner, (senses_at, acts, resets), true);
    }

    fn selector(&mut self, subject: &Subject, owner: &Words, node: &Node<'t>) {
        let (Some(names_at), Some(rest_at)) = (Self::field(node, "positions"), Self::field(node, "rest")) else {
            return;
        };
        let (Some(names), Some(rest)) = (self.value_of::<Vec<String>>(names_at), self.text_of(rest_at)) else {
            return;
        };
        if names.iter().any(|n| n.eq_ignore_ascii_case(&rest)) || names.is_empty() {
            return;
        }
        let mend = match guess(&rest, names.iter().map(String::as_str)) {
            Some(near) => say!("change-did-you-mean", near = format!("\"{near}\"")),
            None => {
                let names = names.iter().map(|n| shorten(n)).collect::<Vec<_>>().join(", ");
                say!("read-write-one-of", names)
            }
        };
        let message = say!("read-rests-at", owner, position = shorten(&rest));
        self.complain(subject, rest_at.span.clone(), message, mend);
    }
}

fn field_words(word: &str) -> Words {
    if word.is_empty() { say!("read-without-a-name") } else { shorten(word).into() }
}

/// Terminals of a kind whose terminals do not depend on its fields.
fn fixed_terminals(word: &str) -> Option<Vec<Cow<'static, str>>> {
    let names: &[&'static str] = match word {
        "Battery" => &["+", "-"],
        "KeySwitch" => &["30", "15"],
        "Fuse" | "HandSwitch" | "TemperatureSwitch" | "PressureSwitch" | "AirValve" | "Resistor" | "Lamp" => {
            &["1", "2"]
        }
        "Relay" => &["85", "86", "30", "87", "87a"],
        "Diode" => &["A", "K"],
        "Module" => &["supply", "ground", "out", "in"],
        "Timer" => &["15", "31", "in", "87"],
        "Splice" => &["s"],
        "Ground" => &["g"],
        _ => return None,
    };
    Some(names.iter().map(|n| Cow::Borrowed(*n)).collect())
}
