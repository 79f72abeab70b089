//! Actions with their moments, and the plain text that holds a list of them.
//!
//! One line, one action: `12s do jump:B1.1=B1.2`, `20s set coolant=215F`, `30s fault open:W4`,
//! `40s put-back jump:B1.1=B1.2`, `50s repair open:W4`; a line without a moment holds from the beginning, and `#`
//! begins a remark. What is done, set or planted is written in the grammar of [`action`](super::action) and
//! [`fault`](super::fault). Whether a circuit has it is found when it is done.

use std::fmt;
use std::ops::Range;

use crate::circuit::diagnostic::{Finding, Subject, nearest};

use super::action::Action;
use super::refusal::Refusal;

/// An action and its moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Timed {
    /// Seconds from the beginning; none for what holds from the beginning on, with the circuit at rest under it.
    pub at_s: Option<f64>,
    /// What is done, set, planted, put back or repaired.
    pub action: Action,
}

/// One line of a script, understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it says.
    pub timed: Timed,
    /// Where in the text, in bytes.
    pub span: Range<usize>,
}

/// What a line, or an option of the same name, can ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verb {
    /// An act by hand.
    Do,
    /// A condition.
    Set,
    /// A fault planted.
    Fault,
    /// An act taken back.
    PutBack,
    /// A fault made right again; a fuse that has blown replaced.
    Repair,
}

impl Verb {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Do, Self::Set, Self::Fault, Self::PutBack, Self::Repair];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Do => "do",
            Self::Set => "set",
            Self::Fault => "fault",
            Self::PutBack => "put-back",
            Self::Repair => "repair",
        }
    }

    /// The action that it asks for with these words.
    ///
    /// # Errors
    /// Where the words are none of its grammar.
    pub fn action(self, words: &str) -> Result<Action, Refusal> {
        match self {
            Self::Do => words.parse().map(Action::Do),
            Self::Set => words.parse().map(Action::Set),
            Self::Fault => words.parse().map(Action::Plant),
            Self::PutBack => words.parse().map(Action::PutBack),
            Self::Repair => words.parse().map(Action::Repair),
        }
    }
}

impl fmt::Display for Timed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(at_s) = self.at_s {
            write!(f, "{at_s}s ")?;
        }
        f.write_str(&action_words(&self.action))
    }
}

/// An action as a script writes it, without its moment. What a script has no word for is named like the window does.
pub fn action_words(action: &Action) -> String {
    match action {
        Action::Do(act) => format!("do {act}"),
        Action::Set(setting) => format!("set {setting}"),
        Action::Plant(fault) => format!("fault {fault}"),
        Action::PutBack(act) => format!("put-back {act}"),
        Action::Repair(fault) => format!("repair {fault}"),
        Action::ReplaceFuse(tag) => format!("repair blown:{tag}"),
        Action::PutAllBack => "put all back".to_owned(),
        Action::Build(change) => format!("build: {change}"),
        Action::Undo => "undo".to_owned(),
        Action::Redo => "redo".to_owned(),
    }
}

/// A time in words, `250ms`, `2s`, `1.5min` or `1h`, in seconds.
///
/// # Errors
/// Where it is no number with one of these units.
pub fn seconds(words: &str) -> Result<f64, Refusal> {
    const UNITS: [(&str, f64); 4] = [("ms", 1e-3), ("min", 60.0), ("s", 1.0), ("h", 3600.0)];
    let refused = || {
        Refusal::new(format!("`{words}` is not a time"), "write a number with ms, s, min or h, like `2s` or `1.5min`")
    };
    let (number, unit) = UNITS
        .iter()
        .find_map(|(unit, seconds)| Some((words.trim().strip_suffix(unit)?.trim_end(), *seconds)))
        .ok_or_else(refused)?;
    if number.is_empty() || !number.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return Err(refused());
    }
    let number: f64 = number.parse().map_err(|_| refused())?;
    Ok(number * unit)
}

/// The lines of a script.
///
/// # Errors
/// Everything wrong in it, each at its place.
pub fn read(text: &str) -> Result<Vec<Line>, Vec<Finding>> {
    let (mut lines, mut wrong) = (Vec::new(), Vec::new());
    let mut start = 0;
    for whole in text.split_inclusive('\n') {
        match one(whole, start) {
            Ok(line) => lines.extend(line),
            Err(finding) => wrong.push(*finding),
        }
        start += whole.len();
    }
    if wrong.is_empty() { Ok(lines) } else { Err(wrong) }
}

/// A word and where it stands.
struct Word<'a> {
    text: &'a str,
    span: Range<usize>,
}

fn finding(refusal: &Refusal, span: Range<usize>) -> Box<Finding> {
    Box::new(Finding::error(Subject::Whole, &refusal.message, &refusal.mend).at(span))
}

/// One line that starts at this byte; none where it says nothing.
fn one(whole: &str, start: usize) -> Result<Option<Line>, Box<Finding>> {
    let said = &whole[..remark(whole)];
    let mut words = words(said, start);
    if start == 0
        && let Some(first) = words.first_mut()
    {
        // Some editors put a byte order mark before everything.
        let bare = first.text.trim_start_matches('\u{feff}');
        first.span.start += first.text.len() - bare.len();
        first.text = bare;
    }
    words.retain(|word| !word.text.is_empty());
    let Some(first) = words.first() else { return Ok(None) };
    let span = first.span.start..start + said.trim_end().len();
    let timed = first.text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    let at_s = match timed {
        true => Some(seconds(first.text).map_err(|refusal| finding(&refusal, first.span.clone()))?),
        false => None,
    };
    let Some(verb_word) = words.get(usize::from(timed)) else {
        let message = format!("nothing is to be done at `{}`", first.text);
        return Err(finding(&Refusal::new(message, MEND), first.span.clone()));
    };
    let verb = verb(verb_word.text).map_err(|refusal| finding(&refusal, verb_word.span.clone()))?;
    let Some(rest) = words.get(usize::from(timed) + 1) else {
        let refusal = Refusal::new(format!("`{}` does not say what", verb.word()), MEND);
        return Err(finding(&refusal, verb_word.span.clone()));
    };
    let place = rest.span.start..span.end;
    let action = verb.action(&said[place.start - start..place.end - start]);
    let action = action.map_err(|refusal| finding(&refusal, place))?;
    Ok(Some(Line { timed: Timed { at_s, action }, span }))
}

const MEND: &str = "a line is a time, a word and what it is about, like `12s do jump:B1.1=B1.2`";

fn verb(word: &str) -> Result<Verb, Refusal> {
    let words = Verb::ALL.map(Verb::word);
    Verb::ALL.into_iter().find(|verb| verb.word() == word).ok_or_else(|| {
        let mend = match nearest(word, words) {
            Some(likely) => format!("did you mean `{likely}`?"),
            None => "after the time comes `do`, `set`, `fault`, `put-back` or `repair`".to_owned(),
        };
        Refusal::new(format!("`{word}` is nothing a script can ask for"), mend)
    })
}

/// Byte at which a line's remark begins: a `#` at its start or after a space.
fn remark(line: &str) -> usize {
    let begins = |(at, _): &(usize, &str)| line[..*at].chars().next_back().is_none_or(char::is_whitespace);
    line.match_indices('#').find(begins).map_or(line.len(), |(at, _)| at)
}

fn words(line: &str, start: usize) -> Vec<Word<'_>> {
    let mut found = Vec::new();
    let mut at = 0;
    for piece in line.split_inclusive(char::is_whitespace) {
        let text = piece.trim_end();
        if !text.is_empty() {
            found.push(Word { text, span: start + at..start + at + text.len() });
        }
        at += piece.len();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_in_every_unit_and_nothing_else_is_one() {
        for (words, wanted) in [("250ms", 0.25), ("2s", 2.0), ("1.5min", 90.0), ("1h", 3600.0), (" .5 s ", 0.5)] {
            assert_eq!(seconds(words).unwrap(), wanted, "{words}");
        }
        for words in ["", "2", "s", "-2s", "+2s", "infs", "nans", "1e3s", "2 d", "1.2.3s", "2ss"] {
            assert!(seconds(words).is_err(), "{words}");
        }
    }

    #[test]
    fn lines_read_what_they_wrote() {
        let text = "\u{feff}set engine=1800 # idling\r\n\n# nothing\n12s do jump:B1.1=B1.2/10A\n  0.25s fault open:W4\n\
                    40s put-back jump:B1.1=B1.2/10A\n50s repair open:W4";
        let lines = read(text).unwrap();
        let written: Vec<String> = lines.iter().map(|line| line.timed.to_string()).collect();
        assert_eq!(written.len(), 5);
        let again = read(&written.join("\n")).unwrap();
        assert!(lines.iter().zip(&again).all(|(a, b)| a.timed == b.timed));
        assert_eq!(&text[lines[1].span.clone()], "12s do jump:B1.1=B1.2/10A");
    }

    #[test]
    fn every_wrong_line_is_told_at_its_place() {
        let text = "2x do press:S4\n3s dos press:S4\n4s\n5s do jump:B1.1\n6s set\nfoo";
        let wrong = read(text).unwrap_err();
        let places: Vec<&str> = wrong.iter().map(|f| &text[f.span.clone().unwrap()]).collect();
        assert_eq!(places, ["2x", "dos", "4s", "jump:B1.1", "set", "foo"]);
    }
}
