//! The circuit file: text into a [`Circuit`] and back, with everything wrong in it at its place.
//!
//! [`read`] gives every error of a file at once, and with a sound circuit the doubtful things of
//! [`check`](super::check); [`write`](write()) gives the one text every reading and writing comes back to; [`render`](render()) shows
//! findings with line and caret. Files and disks are left to the command line and the window.
//!
//! How: the text is split into a tree with places ([`split`](mod@split)), every field is judged where it stands ([`value`],
//! [`demand`], [`part`], [`wiring`]), and each part and wire is then read by `ron` and serde as the types in
//! [`circuit::part`](super::part) say.

mod demand;
mod entry;
mod fields;
pub mod labels;
mod library;
mod part;
mod render;
mod split;
mod token;
mod value;
mod values;
mod wiring;
mod write;

use std::ops::Range;

use super::diagnostic::{Finding, Severity, Subject};
use super::{Circuit, Draft, Part};
use crate::words::say;

pub use entry::{
    FieldNote, FieldText, field_texts, fields_of, figure_texts, kinds, listed, quoted, unquoted, wire_texts,
};
pub use render::{render, render_in};
pub use values::{begins_with, of_format, read_value, write_value};
pub use write::{demand_text, write};

pub(super) use entry::{one_tag, read_figures, read_part, read_wire};

use fields::CIRCUIT;
use part::Parts;
use split::{Node, shorten, split};
use value::{Judge, guess, write_this};
use wiring::Wires;

/// The version of the file format this program reads and writes.
pub const FORMAT: u32 = 1;
/// Most parts, and most wires, a file may have.
pub const MOST_PARTS: usize = 20_000;
/// Most bytes a file may have.
pub const MOST_BYTES: usize = 8 * 1024 * 1024;

/// Most errors of one file that are told apart; who has more has no circuit file, and is told that there are more.
pub const MOST_FINDINGS: usize = 10_000;

/// What came of reading a text.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The circuit, if and only if no finding is an error.
    pub circuit: Option<Circuit>,
    /// Errors and doubtful things in the order of the text, each with its place in it.
    pub findings: Vec<Finding>,
}

/// Reads a circuit file.
///
/// Never fails and never panics: what is wrong is in the findings, all of it and not the first alone.
pub fn read(text: &str) -> Reading {
    if text.len() > MOST_BYTES {
        let message = say!("read-too-many-bytes", bytes = text.len(), most = MOST_BYTES);
        let first = text.chars().next().map_or(0, char::len_utf8);
        let finding = Finding::error(Subject::Whole, message, say!("read-see-whether-a-circuit")).at(0..first);
        return Reading { circuit: None, findings: vec![finding] };
    }
    let tree = split(text);
    let mut judge = Judge { text, findings: tree.findings };
    let mut places = Places::default();
    let circuit = match &tree.root {
        Some(root) => judge.circuit(root, tree.preamble, &mut places),
        None => {
            judge.complain(&Subject::Whole, 0..0, say!("read-no-circuit"), write_this("`Circuit(format: 1, …)`"));
            None
        }
    };
    let is_full = judge.is_full();
    let mut findings = judge.findings;
    let sound = findings.iter().all(|f| f.severity != Severity::Error);
    let circuit = circuit.filter(|_| sound);
    if let Some(circuit) = &circuit {
        findings.extend(super::check::check(circuit).into_iter().map(|f| places.placed(f)));
    }
    findings.sort_by_key(|f| f.span.as_ref().map_or((0, 0), |s| (s.start, s.end)));
    if is_full {
        let message = say!("read-more-errors", most = MOST_FINDINGS);
        let end = findings.last().and_then(|f| f.span.clone()).unwrap_or(0..0);
        findings.push(Finding::error(Subject::Whole, message, say!("read-mend-these-first")).at(end));
    }
    Reading { circuit, findings }
}

/// Where in the text parts and wires are.
#[derive(Debug, Default)]
struct Places {
    whole: Range<usize>,
    parts: Parts,
    wires: Wires,
}

impl Places {
    fn placed(&self, finding: Finding) -> Finding {
        if finding.span.is_some() {
            return finding;
        }
        let span = match &finding.subject {
            Subject::Whole => None,
            Subject::Part(tag) => self.parts.get(tag).map(|s| s.entry.clone()),
            Subject::Terminal(words) => {
                words.split_once('.').and_then(|(tag, _)| self.parts.get(tag)).map(|s| s.entry.clone())
            }
            Subject::Wire(tag) => self.wires.entries.get(tag).cloned(),
        };
        finding.at(span.unwrap_or_else(|| self.whole.clone()))
    }
}

impl<'t> Judge<'t> {
    /// The whole circuit.
    fn circuit(&mut self, root: &Node<'t>, preamble: String, places: &mut Places) -> Option<Circuit> {
        if root.word == "Session" {
            let mend = say!("read-a-session-is-opened");
            self.complain(&Subject::Whole, root.word_span(), say!("read-a-session"), mend);
            // None of its fields are a circuit's, which goes without saying.
            return None;
        }
        if root.word != CIRCUIT.word && !root.word.is_empty() {
            let mend = match guess(root.word, [CIRCUIT.word]) {
                Some(near) => say!("change-did-you-mean", near),
                None => say!("read-a-file-begins-with"),
            };
            let message = say!("read-holds-another", word = shorten(root.word));
            self.complain(&Subject::Whole, root.word_span(), message, mend);
        }
        if root.group.is_none() {
            if root.word == CIRCUIT.word {
                let mend = write_this("`Circuit(format: 1, …)`");
                self.complain(&Subject::Whole, root.span.clone(), say!("read-no-brackets"), mend);
            }
            return None;
        }
        self.fields(&Subject::Whole, &"`Circuit`".into(), root, &CIRCUIT);
        if let Some(version) = Self::field(root, "format") {
            self.version(version);
        }
        places.whole = if root.word.is_empty() { root.span.start..root.span.start + 1 } else { root.word_span() };
        places.parts = Self::field(root, "parts").map(|node| self.parts(node)).unwrap_or_default();
        // Where the bracket itself is broken, parts may have got lost with it.
        places.parts.some_unseen |= Self::field(root, "parts").is_none() && root.broken;
        places.wires = Self::field(root, "wires").map(|node| self.wires(node, &places.parts)).unwrap_or_default();
        let mut rest = Draft::default();
        rest.air = Self::field(root, "air").and_then(|node| self.air(node, &places.parts, &mut rest.given));
        rest.clutch = Self::field(root, "clutch").and_then(|node| self.clutch(node, &mut rest.given));
        rest.engine = Self::field(root, "engine").and_then(|node| self.engine(node, &mut rest.given));
        if let Some(node) = Self::field(root, "places") {
            rest.places = self.places(node, &places.parts);
        }
        if self.findings.iter().any(|f| f.severity == Severity::Error) {
            return None;
        }
        self.build(root, preamble, places, rest)
    }

    fn version(&mut self, node: &Node<'t>) {
        if node.broken && node.group.is_none() {
            return;
        }
        let found = self.words(node.span.clone());
        match self.value_of::<u64>(node) {
            Some(number) if number == u64::from(FORMAT) => {}
            Some(_) => self.complain(
                &Subject::Whole,
                node.span.clone(),
                say!("read-is-of-format", found, known = FORMAT),
                say!("read-open-it-or-write", found, known = FORMAT),
            ),
            None => self.complain(
                &Subject::Whole,
                node.span.clone(),
                say!("read-format-is-not-whole", found),
                write_this(format!("`format: {FORMAT}`")),
            ),
        }
    }

    fn build(&mut self, root: &Node<'t>, preamble: String, places: &mut Places, rest: Draft) -> Option<Circuit> {
        let text = |name| {
            Self::field(root, name).and_then(|n| self.value_of::<Option<String>>(n)).flatten().unwrap_or_default()
        };
        let draft = Draft {
            preamble,
            title: text("title"),
            notes: text("notes"),
            parts: places
                .parts
                .seen
                .iter_mut()
                .filter_map(|(tag, seen)| seen.kind.take().map(|kind| Part { tag: tag.clone(), kind }))
                .collect(),
            wires: std::mem::take(&mut places.wires.drafts),
            ..rest
        };
        match Circuit::new(draft) {
            Ok(circuit) => Some(circuit),
            Err((tag, end)) => {
                let span = places.wires.entries.get(&tag).cloned().unwrap_or(root.word_span());
                let message = say!("read-which-is-no-terminal", tag, end = shorten(&end));
                self.complain(&Subject::Wire(tag), span, message, write_this("`part.terminal`"));
                None
            }
        }
    }
}
