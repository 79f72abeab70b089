//! Problems as data: how grave, where, what is wrong and how to mend it.
//!
//! Finding them is left to [`format`](super::format) and [`check`](super::check), showing them with line and caret
//! to the command line and the window. Messages follow one style: lower case, no final stop, the file's own names
//! in backticks.

use std::ops::Range;

use crate::words::Words;

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The circuit cannot be used as it stands.
    Error,
    /// It can be used, but a technician would look twice.
    Doubtful,
}

/// One thing wrong or doubtful in a circuit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// What is wrong, naming the part, terminal or wire.
    pub message: Words,
    /// What to write or do instead.
    pub mend: Words,
    /// Bytes of the source text it concerns, where the circuit came from a text.
    pub span: Option<Range<usize>>,
    /// What it concerns, for those who have the circuit and not the text.
    pub subject: Subject,
    /// A second place in the source text that belongs to it, and what is there: the first of two equal tags.
    pub also: Option<(Range<usize>, Words)>,
}

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The circuit or file as a whole.
    Whole,
    /// The part with this tag.
    Part(String),
    /// This terminal, written `part.terminal`.
    Terminal(String),
    /// The wire with this tag.
    Wire(String),
}

impl Finding {
    /// An error about `subject`.
    pub fn error(subject: Subject, message: impl Into<Words>, mend: impl Into<Words>) -> Self {
        Self { severity: Severity::Error, message: message.into(), mend: mend.into(), span: None, subject, also: None }
    }

    /// A doubtful thing about `subject`.
    pub fn doubtful(subject: Subject, message: impl Into<Words>, mend: impl Into<Words>) -> Self {
        Self {
            severity: Severity::Doubtful,
            message: message.into(),
            mend: mend.into(),
            span: None,
            subject,
            also: None,
        }
    }

    /// The same finding at a place in the source text.
    pub fn at(mut self, span: Range<usize>) -> Self {
        self.span = Some(span);
        self
    }

    /// The same finding with a second place, and what is there.
    pub fn and_at(mut self, span: Range<usize>, what: impl Into<Words>) -> Self {
        self.also = Some((span, what.into()));
        self
    }
}

/// An error about `subject` that refuses what was asked.
pub(super) fn refusal(subject: Subject, message: impl Into<Words>, mend: impl Into<Words>) -> Box<Finding> {
    Box::new(Finding::error(subject, message, mend))
}

/// The candidate nearest to `wrong`, if it is near enough to be worth offering.
///
/// Nearness is the Levenshtein distance (V. I. Levenshtein, 1966), two neighbouring letters changed over counting as
/// one slip (F. J. Damerau, 1964), with letter case ignored; at most a third of the longer word's letters, and at
/// least one, may differ.
pub fn nearest<'a>(wrong: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    candidates
        .into_iter()
        .map(|c| (distance(&wrong.to_lowercase(), &c.to_lowercase()), c))
        .filter(|(d, c)| *d <= (wrong.chars().count().max(c.chars().count()) / 3).max(1))
        .min_by_key(|(d, _)| *d)
        .map(|(_, c)| c)
}

fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().collect();
    let b: Vec<char> = b.chars().collect();
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 0..a.len() {
        let mut row = vec![i + 1];
        for j in 0..b.len() {
            let substituted = last[j] + usize::from(a[i] != b[j]);
            let mut least = substituted.min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j] {
                least = least.min(before_last[j - 1] + 1);
            }
            row.push(least);
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_one_letter_is_offered_and_a_stranger_is_not() {
        assert_eq!(nearest("Fusse", ["Fuse", "Relay"]), Some("Fuse"));
        assert_eq!(nearest("b1", ["B1", "Y1"]), Some("B1"));
        assert_eq!(nearest("titel", ["notes", "title"]), Some("title"));
        assert_eq!(nearest("Horn", ["Fuse", "Relay"]), None);
    }
}
