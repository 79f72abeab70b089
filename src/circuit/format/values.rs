//! Any value as RON text, and back: for files beside the circuit's own, such as what was done to it.
//!
//! The text is laid out for people, with long texts to the letter. What a file means, and whether its values make
//! sense, is left to those who ask; what `ron` cannot read is a finding at its place.

use ron::ser::PrettyConfig;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::library;
use super::value::{from_ron, offset};
use crate::circuit::diagnostic::{Finding, Subject};
use crate::words::{Words, say};

/// A value as text that ends with its line.
///
/// # Errors
/// What `ron` cannot write, in its words.
pub fn write_value<T: Serialize>(value: &T) -> Result<String, String> {
    let layout = PrettyConfig::new().struct_names(true).escape_strings(false).new_line("\n");
    ron::ser::to_string_pretty(value, layout).map(|text| text + "\n").map_err(|error| library::why(&error).to_string())
}

/// The value a text holds.
///
/// # Errors
/// What is wrong, with its place; `mend` says what to do about it.
pub fn read_value<T: DeserializeOwned>(text: &str, mend: impl Into<Words>) -> Result<T, Box<Finding>> {
    from_ron(text).map_err(|error| {
        let at = offset(text, &error.span.start).min(text.len());
        let end = offset(text, &error.span.end).min(text.len());
        let end = if end > at { end } else { text[at..].chars().next().map_or(at, |c| at + c.len_utf8()) };
        let message = say!("read-cannot-be-read", why = library::why(&error.code));
        Box::new(Finding::error(Subject::Whole, message, mend).at(at..end))
    })
}

/// Whether a text's first word is this one, with its values behind it: what a file of several kinds is told by.
pub fn begins_with(text: &str, word: &str) -> bool {
    // Remarks may stand before it.
    let mut rest = text.trim_start_matches('\u{feff}').trim_start();
    loop {
        let remark = match rest {
            _ if rest.starts_with("//") => rest.find('\n'),
            _ if rest.starts_with("/*") => rest.find("*/").map(|at| at + 1),
            _ => break,
        };
        rest = remark.map_or("", |at| rest[at + 1..].trim_start());
    }
    rest.strip_prefix(word).is_some_and(|rest| rest.trim_start().starts_with('('))
}

/// Refuses a file of another version than the one that is read.
///
/// # Errors
/// Both versions, and what to do.
pub fn of_format(found: u32, known: u32) -> Result<(), Box<Finding>> {
    if found == known {
        return Ok(());
    }
    let message = say!("read-is-of-format", found, known);
    let mend = say!("read-open-it-with", found);
    Err(Box::new(Finding::error(Subject::Whole, message, mend)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_with_quotes_lines_and_odd_letters_comes_back_to_the_letter() {
        for text in ["", "plain", "a \"b\" \\ c\r\nd\te", "r#\"raw\"#, \"##", "µΩ → °F\u{feff}\0", "\n\n\n"] {
            let written = write_value(&vec![text.to_owned()]).unwrap();
            assert_eq!(read_value::<Vec<String>>(&written, "").unwrap(), [text], "{written}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_told_at_its_place() {
        let text = "[\n    1,\n    x,\n]";
        let finding = read_value::<Vec<u32>>(text, "write a number").unwrap_err();
        assert_eq!(finding.mend, "write a number");
        assert_eq!(&text[finding.span.unwrap()], "x");
    }
}
