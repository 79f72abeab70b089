//! What the library that reads RON says of a text, in our own words and in any language.
//!
//! Most of what can be wrong with a file is found and told before it comes to that; where, and with which mend, is said
//! by those who ask.

use ron::Error;

use crate::words::{Words, say};

/// Why a text cannot be read, without its place.
pub(super) fn why(error: &Error) -> Words {
    let expected = |what: &'static str| say!("ron-expected", what);
    match error {
        Error::Eof => say!("ron-ends-too-soon"),
        Error::ExpectedArray => expected("`[`"),
        Error::ExpectedArrayEnd => expected("`]`"),
        Error::ExpectedComma => expected("`,`"),
        Error::ExpectedMap => expected("`{`"),
        Error::ExpectedMapColon => expected("`:`"),
        Error::ExpectedMapEnd => expected("`}`"),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) | Error::ExpectedOption => expected("`(`"),
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => expected("`)`"),
        Error::ExpectedBoolean => expected("`true`, `false`"),
        Error::ExpectedUnit => expected("`()`"),
        Error::ExpectedFloat | Error::ExpectedInteger => say!("ron-expected-a-number"),
        Error::ExpectedString | Error::ExpectedChar => say!("ron-expected-a-text-in-quotes"),
        Error::ExpectedStringEnd => say!("ron-quotes-are-never-closed"),
        Error::ExpectedIdentifier | Error::InvalidIdentifier(_) => say!("ron-expected-a-name"),
        Error::InvalidEscape(_) => say!("ron-unknown-escape"),
        Error::IntegerOutOfBounds => say!("ron-number-too-large"),
        Error::InvalidIntegerDigit { digit, .. } => say!("ron-no-digit", digit = digit.to_string()),
        Error::UnclosedBlockComment => say!("ron-remark-never-closed"),
        Error::UnderscoreAtBeginning | Error::FloatUnderscore => say!("ron-underscore"),
        Error::UnexpectedChar(found) => say!("ron-unexpected", found = found.to_string()),
        Error::TrailingCharacters => say!("ron-something-follows"),
        Error::ExpectedDifferentStructName { expected, found } => {
            say!("ron-other-name", expected = *expected, found = found.as_str())
        }
        Error::NoSuchStructField { found, .. } | Error::NoSuchEnumVariant { found, .. } => {
            say!("ron-not-known", found = found.as_str())
        }
        Error::MissingStructField { field, .. } => say!("ron-lacks", field = *field),
        Error::DuplicateStructField { field, .. } => say!("ron-twice", field = *field),
        Error::ExceededRecursionLimit => say!("ron-too-deep"),
        // What is left says something of types, which no file of a person comes to.
        other => lowered(other).into(),
    }
}

/// The library's own words, in the style of ours.
fn lowered(error: &Error) -> String {
    let words = error.to_string();
    let mut chars = words.chars();
    chars.next().map_or(String::new(), |c| c.to_lowercase().chain(chars).collect())
}
