//! Splits a circuit file's text into a tree of entries and fields, every one with its place in the text.
//!
//! Knows RON's brackets, strings and comments and nothing about circuits. It goes on after broken syntax, at the
//! next entry, so that one slip does not hide the rest of the file. Reading the values is left to `ron`, judging
//! them to the modules beside this one. The grammar followed is the one in the `ron` crate's `docs/grammar.md`.

use std::ops::Range;

use crate::circuit::diagnostic::{Finding, Subject};

use super::MOST_FINDINGS;
use super::token::{Bracket, Cut, Mode, Token, What, is_quoted, lex};
use super::value::write_this;
use crate::words::{Words, say};

/// How deep brackets may stand in brackets.
const DEEPEST: usize = 48;

/// Words that can only be fields of the circuit itself: meeting one inside a map means that map was never closed.
const TOP_FIELDS: [&str; 9] = ["format", "title", "notes", "parts", "wires", "air", "clutch", "engine", "places"];

/// A value: a word, a number or a string, or a bracket with things in it and perhaps a word before.
#[derive(Debug)]
pub(super) struct Node<'t> {
    /// All of it.
    pub(super) span: Range<usize>,
    /// The word, number or string (quotes included); empty where a bracket stands alone.
    pub(super) word: &'t str,
    /// The bracket, if it has one.
    pub(super) group: Option<Group<'t>>,
    /// Something in it was already complained about, so that it cannot be judged.
    pub(super) broken: bool,
}

/// What stands between two brackets.
#[derive(Debug)]
pub(super) struct Group<'t> {
    pub(super) bracket: Bracket,
    /// From bracket to bracket.
    pub(super) span: Range<usize>,
    pub(super) items: Vec<Item<'t>>,
}

/// One entry or field.
#[derive(Debug)]
pub(super) struct Item<'t> {
    pub(super) key: Option<Key<'t>>,
    pub(super) value: Node<'t>,
}

/// What stands before a colon.
#[derive(Clone, Debug)]
pub(super) struct Key<'t> {
    pub(super) word: &'t str,
    pub(super) span: Range<usize>,
}

impl<'t> Node<'t> {
    /// Place of the word alone.
    pub(super) fn word_span(&self) -> Range<usize> {
        self.span.start..self.span.start + self.word.len()
    }

    /// The things in its round brackets, if that is what it has.
    pub(super) fn round(&self) -> Option<&Group<'t>> {
        self.group.as_ref().filter(|g| g.bracket == Bracket::Round)
    }
}

impl Item<'_> {
    /// From the key's start to the value's end.
    pub(super) fn span(&self) -> Range<usize> {
        self.key.as_ref().map_or(self.value.span.start, |k| k.span.start)..self.value.span.end
    }
}

/// A file taken apart.
#[derive(Debug)]
pub(super) struct Split<'t> {
    /// The circuit, if anything stands in the file at all.
    pub(super) root: Option<Node<'t>>,
    /// Comments that stand before it.
    pub(super) preamble: String,
    /// Everything wrong with the syntax.
    pub(super) findings: Vec<Finding>,
}

/// Takes a text apart.
pub(super) fn split(text: &str) -> Split<'_> {
    let (first, mode_failed) = split_in(text, Mode::WholeStrings);
    if !mode_failed {
        return first;
    }
    // Somewhere a closing quote is missing, and from there on inside and outside have changed places. Taking every
    // string to end with its line keeps the damage to the lines that are really broken.
    split_in(text, Mode::LineStrings).0
}

fn split_in(text: &str, mode: Mode) -> (Split<'_>, bool) {
    let (start, preamble) = skip_head(text, mode);
    let mut parser =
        Parser { text, at: start, ahead: None, mode, open: Vec::new(), findings: Vec::new(), string_unclosed: false };
    let root = match parser.peek().what {
        What::End => None,
        _ => parser.first_node(),
    };
    if root.is_some() {
        parser.expect_end();
    }
    (Split { root, preamble, findings: parser.findings }, parser.string_unclosed && mode == Mode::WholeStrings)
}

/// Where the circuit begins, after byte order mark, comments and `#![enable(...)]`, and the comments met.
fn skip_head(text: &str, mode: Mode) -> (usize, String) {
    let mut at = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let mut preamble = String::new();
    loop {
        let next = lex(text, at, mode);
        preamble.push_str(&text[at..next.span.start]);
        if !text[next.span.start..].starts_with("#![") {
            let preamble = preamble.replace("\r\n", "\n").trim().to_owned();
            return (next.span.start, preamble);
        }
        let rest = &text[next.span.start..];
        let length = rest.find(']').map_or(rest.len(), |i| i + 1);
        at = next.span.start + length;
    }
}

struct Parser<'t> {
    text: &'t str,
    at: usize,
    /// The token last looked at and from where, since each is looked at several times.
    ahead: Option<(usize, Token)>,
    mode: Mode,
    open: Vec<Bracket>,
    findings: Vec<Finding>,
    string_unclosed: bool,
}

impl<'t> Parser<'t> {
    fn peek(&mut self) -> Token {
        match &self.ahead {
            Some((at, token)) if *at == self.at => token.clone(),
            _ => {
                let token = lex(self.text, self.at, self.mode);
                self.ahead = Some((self.at, token.clone()));
                token
            }
        }
    }

    fn words(&self, token: &Token) -> &'t str {
        &self.text[token.span.clone()]
    }

    fn complain(&mut self, span: Range<usize>, message: impl Into<Words>, mend: impl Into<Words>) {
        if self.findings.len() >= MOST_FINDINGS {
            // Hopeless: the rest of the text is left unread.
            self.at = self.text.len();
            return;
        }
        self.findings.push(Finding::error(Subject::Whole, message, mend).at(span));
    }

    /// The first value of the file, stepping over characters that can begin none.
    fn first_node(&mut self) -> Option<Node<'t>> {
        loop {
            let token = self.peek();
            match token.what {
                What::Text(_) | What::Open(_) => return Some(self.node()),
                What::End => return None,
                What::Comma | What::Colon | What::Unknown | What::Close(_) | What::OpenComment => {
                    self.at = token.span.end;
                    self.stray(token);
                }
            }
        }
    }

    fn expect_end(&mut self) {
        let token = self.peek();
        // A comma after the last bracket is a slip of habit and does no harm.
        let token = if token.what == What::Comma { lex(self.text, token.span.end, self.mode) } else { token };
        match token.what {
            What::End => {}
            What::OpenComment => self.stray(token),
            What::Text(_) | What::Open(_) | What::Comma | What::Colon | What::Unknown | What::Close(_) => {
                let found = shorten(self.words(&token));
                self.complain(token.span, say!("read-after-the-end", found), say!("read-one-file-holds-one"));
            }
        }
    }

    fn stray(&mut self, token: Token) {
        let found = self.words(&token);
        match token.what {
            What::OpenComment => self.complain(
                token.span.start..token.span.start + 2,
                say!("read-comment-never-closed"),
                say!("read-at-its-end", what = "*/"),
            ),
            What::Close(_) => {
                self.complain(token.span, say!("read-closes-nothing", found), say!("read-take-it-out-or-look"));
            }
            What::Comma => self.complain(token.span, say!("read-comma-with-nothing"), say!("read-take-it-out")),
            What::Colon => {
                self.complain(token.span, say!("read-colon-with-no-name"), say!("read-the-name-before-it"));
            }
            What::Unknown | What::Text(_) | What::Open(_) | What::End => self.complain(
                token.span,
                say!("read-has-no-place-here", found = shorten(found)),
                say!("read-outside-quotes", signs = "( ) [ ] { } , :"),
            ),
        }
    }

    /// A value; the next token begins one.
    fn node(&mut self) -> Node<'t> {
        let token = self.peek();
        let mut node = Node { span: token.span.clone(), word: "", group: None, broken: false };
        if let What::Text(cut) = token.what {
            node.word = self.words(&token);
            self.at = token.span.end;
            if cut == Cut::Short {
                self.string_unclosed = true;
                node.broken = true;
                self.complain(token.span, say!("read-string-never-closed"), say!("read-at-its-end", what = "\""));
                return node;
            }
            if is_quoted(node.word) {
                return node;
            }
        }
        let next = self.peek();
        if let What::Open(bracket) = next.what {
            self.at = next.span.end;
            let (group, broken) = self.group(bracket, next.span);
            node.span.end = group.span.end;
            node.group = Some(group);
            node.broken |= broken;
        }
        node
    }

    /// What follows an opening bracket already taken; and whether it is broken.
    fn group(&mut self, bracket: Bracket, opening: Range<usize>) -> (Group<'t>, bool) {
        let mut group = Group { bracket, span: opening.clone(), items: Vec::new() };
        if self.open.len() >= DEEPEST {
            self.complain(opening, say!("read-brackets-too-deep", most = DEEPEST), say!("read-fewer-brackets"));
            self.skip_group();
            group.span.end = self.at;
            return (group, true);
        }
        self.open.push(bracket);
        let closed = self.items(bracket, &mut group.items);
        self.open.pop();
        if !closed {
            self.complain(
                opening,
                say!("read-is-never-closed", bracket = bracket.opening()),
                say!("read-where-it-should-end", bracket = bracket.closing()),
            );
        }
        group.span.end = self.at.max(group.span.end);
        let broken = !closed || group.items.iter().any(|i| i.value.broken);
        (group, broken)
    }

    /// Steps over a bracket too deep to look into, without recursion.
    fn skip_group(&mut self) {
        let mut depth = 1usize;
        while depth > 0 {
            let token = self.peek();
            match token.what {
                What::Open(_) => depth += 1,
                What::Close(_) => depth -= 1,
                What::End | What::OpenComment => return,
                What::Text(_) | What::Comma | What::Colon | What::Unknown => {}
            }
            self.at = token.span.end;
        }
    }

    /// The things up to the closing bracket; whether it was there.
    fn items(&mut self, bracket: Bracket, items: &mut Vec<Item<'t>>) -> bool {
        loop {
            let token = self.peek();
            match token.what {
                What::End => return false,
                What::OpenComment => {
                    self.at = self.text.len();
                    self.stray(token);
                    // Closing everything that is open would be guessing: the comment is the one fault to show.
                    return true;
                }
                What::Close(found) if found == bracket => {
                    self.at = token.span.end;
                    return true;
                }
                What::Close(found) if self.open.contains(&found) => return false,
                What::Comma | What::Colon | What::Unknown | What::Close(_) => {
                    self.at = token.span.end;
                    self.stray(token);
                }
                What::Text(_) | What::Open(_) => {
                    if self.belongs_outside(bracket, &token) {
                        return false;
                    }
                    let item = self.item(bracket);
                    self.separator(&item);
                    items.push(item);
                }
            }
        }
    }

    /// Whether what comes next shows that the bracket should have been closed before.
    fn belongs_outside(&self, bracket: Bracket, token: &Token) -> bool {
        let words = self.words(token);
        let telling = match bracket {
            Bracket::Round | Bracket::Square => is_quoted(words),
            Bracket::Curly => TOP_FIELDS.contains(&words),
        };
        telling && self.open.len() > 1 && lex(self.text, token.span.end, self.mode).what == What::Colon
    }

    fn item(&mut self, bracket: Bracket) -> Item<'t> {
        let first = self.node();
        let next = self.peek();
        let found = self.words(&next);
        match next.what {
            What::Colon => self.at = next.span.end,
            What::Unknown if found == "=" => {
                self.at = next.span.end;
                self.complain(next.span.clone(), say!("read-equals-for-colon"), write_this("`:`"));
            }
            What::Text(_) if !first.broken && first.group.is_none() && wants_colon(bracket, first.word, found) => {
                self.complain(
                    next.span.clone(),
                    say!("read-colon-is-missing", word = shorten(first.word)),
                    write_this(format!("`{}: {found}`", first.word)),
                );
            }
            _ => return Item { key: None, value: first },
        }
        let key = Key { word: first.word, span: first.word_span() };
        let value = self.peek();
        match value.what {
            What::Text(_) | What::Open(_) => {
                let mut value = self.node();
                value.broken |= first.broken || first.group.is_some();
                if first.group.is_some() {
                    self.complain(first.span, say!("read-bracket-for-a-name"), say!("read-one-name-before"));
                }
                Item { key: Some(key), value }
            }
            What::Comma | What::Colon | What::Unknown | What::Close(_) | What::OpenComment | What::End => {
                let end = self.at;
                if !first.broken {
                    let message = say!("read-has-no-value", word = shorten(key.word));
                    self.complain(key.span.start..end, message, say!("read-its-value-after"));
                }
                Item { key: Some(key), value: Node { span: end..end, word: "", group: None, broken: true } }
            }
        }
    }

    /// The comma after an item.
    fn separator(&mut self, item: &Item<'_>) {
        let token = self.peek();
        match token.what {
            What::Comma => self.at = token.span.end,
            What::Unknown => {
                self.at = token.span.end;
                self.stray(token);
            }
            What::Text(_) | What::Open(_) if !item.value.broken => {
                let found = shorten(self.words(&token));
                self.complain(token.span, say!("read-comma-is-missing", found), say!("read-between-the-two"));
            }
            What::Text(_) | What::Open(_) | What::Colon | What::Close(_) | What::OpenComment | What::End => {}
        }
    }
}

/// Whether two words side by side are a name and its value with the colon forgotten (else a comma was).
fn wants_colon(bracket: Bracket, first: &str, second: &str) -> bool {
    match bracket {
        Bracket::Curly => is_quoted(first) && !is_quoted(second),
        Bracket::Round => first.starts_with(|c: char| c.is_ascii_lowercase()) && !is_quoted(first),
        Bracket::Square => false,
    }
}

/// A piece of the file for a message: in backticks, one line, not too long.
pub(super) fn shorten(found: &str) -> String {
    const LONGEST: usize = 40;
    let mut short: String =
        found.chars().take(LONGEST).map(|c| if c.is_control() || c == '`' { ' ' } else { c }).collect();
    if found.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    format!("`{short}`")
}
