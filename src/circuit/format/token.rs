//! The tokens of a circuit file: brackets, commas, colons, and everything else as pieces of text.
//!
//! Yields one token at a time from any place, without state, so that the splitter can look ahead. Whether a piece
//! of text is a good number or string is left to `ron`. Whitespace, strings and nested comments are those of RON.

use std::ops::Range;

/// The three brackets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bracket {
    /// `( )`
    Round,
    /// `[ ]`
    Square,
    /// `{ }`
    Curly,
}

impl Bracket {
    pub(super) fn opening(self) -> char {
        match self {
            Self::Round => '(',
            Self::Square => '[',
            Self::Curly => '{',
        }
    }

    pub(super) fn closing(self) -> char {
        match self {
            Self::Round => ')',
            Self::Square => ']',
            Self::Curly => '}',
        }
    }
}

/// Whether a string ended as it should.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cut {
    /// All there.
    Whole,
    /// Its closing quote is missing.
    Short,
}

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    Open(Bracket),
    Close(Bracket),
    Comma,
    Colon,
    /// A word, a number, a string or a character in quotes.
    Text(Cut),
    /// A character that has no meaning in the file.
    Unknown,
    /// A `/*` with no end.
    OpenComment,
    End,
}

/// One token and its place.
#[derive(Clone, Debug)]
pub(super) struct Token {
    pub(super) what: What,
    pub(super) span: Range<usize>,
}

/// How far strings may reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mode {
    /// Over lines, as RON has it.
    WholeStrings,
    /// To the end of the line, where quotes do not pair up.
    LineStrings,
}

/// Whether a piece of text is a string or a character in quotes.
pub(super) fn is_quoted(words: &str) -> bool {
    words.ends_with(['"', '\'', '#']) || words.starts_with(['"', '\''])
}

/// The token at or after a place.
pub(super) fn lex(text: &str, at: usize, mode: Mode) -> Token {
    let start = match skip_blank(text, at) {
        Ok(start) => start,
        Err(start) => return Token { what: What::OpenComment, span: start..text.len() },
    };
    let rest = &text[start..];
    let Some(first) = rest.chars().next() else { return Token { what: What::End, span: start..start } };
    let (what, length) = match first {
        '(' => (What::Open(Bracket::Round), 1),
        '[' => (What::Open(Bracket::Square), 1),
        '{' => (What::Open(Bracket::Curly), 1),
        ')' => (What::Close(Bracket::Round), 1),
        ']' => (What::Close(Bracket::Square), 1),
        '}' => (What::Close(Bracket::Curly), 1),
        ',' => (What::Comma, 1),
        ':' => (What::Colon, 1),
        '"' => quoted(rest, mode),
        '\'' => character(rest),
        c if in_word(c) => word(rest, mode),
        c => (What::Unknown, c.len_utf8()),
    };
    Token { what, span: start..start + length }
}

fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t' | '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}'
    )
}

fn in_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '_' | '+' | '-' | '.')
}

/// Steps over whitespace and comments; an error with its place where a comment has no end.
fn skip_blank(text: &str, mut at: usize) -> Result<usize, usize> {
    loop {
        let rest = &text[at..];
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if rest.starts_with("/*") {
            at += comment_length(rest).ok_or(at)?;
        } else {
            let length = rest.find(|c| !is_blank(c)).unwrap_or(rest.len());
            if length == 0 {
                return Ok(at);
            }
            at += length;
        }
    }
}

/// Length of a comment in `/* */`, those inside it included.
fn comment_length(rest: &str) -> Option<usize> {
    let bytes = rest.as_bytes();
    let mut depth = 0usize;
    let mut i = 0;
    while i + 1 < bytes.len() {
        match (bytes[i], bytes[i + 1]) {
            (b'/', b'*') => {
                depth += 1;
                i += 2;
            }
            (b'*', b'/') => {
                depth -= 1;
                i += 2;
                if depth == 0 {
                    return Some(i);
                }
            }
            _ => i += 1,
        }
    }
    None
}

fn quoted(rest: &str, mode: Mode) -> (What, usize) {
    let mut escaped = false;
    for (i, b) in rest.bytes().enumerate().skip(1) {
        match b {
            b'\n' if mode == Mode::LineStrings => return (What::Text(Cut::Short), rest[..i].trim_end().len()),
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return (What::Text(Cut::Whole), i + 1),
            _ => {}
        }
    }
    (What::Text(Cut::Short), rest.trim_end().len())
}

/// A character in single quotes, or a string someone put in them; else the quote alone.
fn character(rest: &str) -> (What, usize) {
    let mut escaped = false;
    for (i, b) in rest.bytes().enumerate().skip(1) {
        match b {
            b'\n' => break,
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'\'' => return (What::Text(Cut::Whole), i + 1),
            _ => {}
        }
    }
    (What::Unknown, 1)
}

/// A word or number; or a string with letters before its quote: raw or of bytes.
fn word(rest: &str, mode: Mode) -> (What, usize) {
    let length = rest.find(|c| !in_word(c)).unwrap_or(rest.len());
    let (word, after) = rest.split_at(length);
    let hashes = after.len() - after.trim_start_matches('#').len();
    let opens = after[hashes..].starts_with('"');
    match word {
        "r" | "br" if opens => {
            let body = length + hashes + 1;
            let end = format!("\"{}", "#".repeat(hashes));
            // A string that is never closed takes all the rest, so that no text is searched twice.
            let reach = match mode {
                Mode::WholeStrings => rest.len(),
                Mode::LineStrings => body + rest[body..].find('\n').unwrap_or(rest.len() - body),
            };
            match rest[body..reach].find(&end) {
                Some(i) => (What::Text(Cut::Whole), body + i + end.len()),
                None => (What::Text(Cut::Short), rest[..reach].trim_end().len()),
            }
        }
        "b" if after.starts_with('"') => {
            let (what, more) = quoted(after, mode);
            (what, length + more)
        }
        "b" if after.starts_with('\'') => {
            let (what, more) = character(after);
            (if what == What::Unknown { What::Text(Cut::Whole) } else { what }, length + more)
        }
        _ => (What::Text(Cut::Whole), length),
    }
}
