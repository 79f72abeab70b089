//! The program's own source as tests read it: text with comments and string contents blanked, and the paths in it.
//!
//! Not a Rust parser: enough of the lexical grammar (The Rust Reference, "Tokens" and "Comments") to find every path
//! `a::b::c`, groups in braces taken apart, and every function's first and last line.

/// The text with comments, string contents and character literals replaced by spaces, line by line as before.
pub fn blanked(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut i = 0;
    let blank = |c: char| if c == '\n' { '\n' } else { ' ' };
    while i < chars.len() {
        let rest = &chars[i..];
        let end = i + match rest {
            ['/', '/', ..] => rest.iter().position(|c| *c == '\n').unwrap_or(rest.len()),
            ['/', '*', ..] => block_comment(rest),
            ['"', ..] => string(rest),
            ['r', '"' | '#', ..] if !is_word(i.checked_sub(1).map(|p| chars[p])) => raw_string(rest),
            ['\'', ..] => character(rest),
            _ => 0,
        };
        if end == i {
            out.push(chars[i]);
            i += 1;
        } else {
            out.extend(chars[i..end].iter().map(|c| blank(*c)));
            i = end;
        }
    }
    out
}

/// Every string literal outside of comments, but for raw ones: the byte its quote stands at, and what is between the quotes
/// as it is written.
pub fn literals(text: &str) -> Vec<(usize, &str)> {
    let placed: Vec<(usize, char)> = text.char_indices().collect();
    let chars: Vec<char> = placed.iter().map(|(_, c)| *c).collect();
    let byte = |i: usize| placed.get(i).map_or(text.len(), |(at, _)| *at);
    let mut found = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let rest = &chars[i..];
        i += match rest {
            ['/', '/', ..] => rest.iter().position(|c| *c == '\n').unwrap_or(rest.len()),
            ['/', '*', ..] => block_comment(rest),
            ['"', ..] => {
                let length = string(rest);
                found.push((byte(i), &text[byte(i + 1)..byte(i + length - 1)]));
                length
            }
            ['r', '"' | '#', ..] if !is_word(i.checked_sub(1).map(|p| chars[p])) => raw_string(rest),
            ['\'', ..] => character(rest),
            _ => 0,
        }
        .max(1);
    }
    found
}

fn is_word(c: Option<char>) -> bool {
    c.is_some_and(|c| c.is_alphanumeric() || c == '_')
}

fn block_comment(rest: &[char]) -> usize {
    let mut depth = 0;
    let mut i = 0;
    while i < rest.len() {
        match rest[i..] {
            ['/', '*', ..] => (depth, i) = (depth + 1, i + 2),
            ['*', '/', ..] => (depth, i) = (depth - 1, i + 2),
            _ => i += 1,
        }
        if depth == 0 {
            return i;
        }
    }
    rest.len()
}

fn string(rest: &[char]) -> usize {
    let mut i = 1;
    while i < rest.len() {
        match rest[i] {
            '\\' => i += 2,
            '"' => return i + 1,
            _ => i += 1,
        }
    }
    rest.len()
}

/// Length of a raw string, or 0 where this is none.
fn raw_string(rest: &[char]) -> usize {
    let hashes = rest[1..].iter().take_while(|c| **c == '#').count();
    if rest.get(1 + hashes) != Some(&'"') {
        return 0;
    }
    let mut i = 2 + hashes;
    while i < rest.len() {
        if rest[i] == '"' && rest[i + 1..].iter().take(hashes).filter(|c| **c == '#').count() == hashes {
            return i + 1 + hashes;
        }
        i += 1;
    }
    rest.len()
}

/// Length of a character literal, or 0 where the quote begins a lifetime.
fn character(rest: &[char]) -> usize {
    match rest {
        ['\'', '\\', _, tail @ ..] => 4 + tail.iter().position(|c| *c == '\'').unwrap_or(0),
        ['\'', _, '\'', ..] => 3,
        _ => 0,
    }
}

/// One path in a source, from its first name on, with `crate` and `super` resolved away: `["", "circuit", "Kind"]`
/// for a path from the crate's root, `["std", "fs"]` for any other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PathUse {
    pub line: usize,
    pub segments: Vec<String>,
    /// In a `pub use`.
    pub handed_on: bool,
}

impl PathUse {
    /// The names below the crate's root, where the path starts there.
    pub fn below_root(&self) -> Option<&[String]> {
        self.segments.split_first().filter(|(first, _)| first.is_empty()).map(|(_, rest)| rest)
    }

    /// Whether the path starts with these names.
    pub fn starts_with(&self, names: &[&str]) -> bool {
        self.segments.len() >= names.len() && self.segments.iter().zip(names).all(|(a, b)| a == b)
    }
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Word(String),
    Colons,
    Other(char),
}

fn tokens(blanked: &str) -> Vec<(usize, Token)> {
    let mut found = Vec::new();
    for (number, line) in blanked.lines().enumerate() {
        let chars: Vec<char> = line.chars().collect();
        let mut i = 0;
        while i < chars.len() {
            if is_word(Some(chars[i])) {
                let length = chars[i..].iter().take_while(|c| is_word(Some(**c))).count();
                found.push((number + 1, Token::Word(chars[i..i + length].iter().collect())));
                i += length;
            } else if chars[i..].starts_with(&[':', ':']) {
                found.push((number + 1, Token::Colons));
                i += 2;
            } else {
                if !chars[i].is_whitespace() {
                    found.push((number + 1, Token::Other(chars[i])));
                }
                i += 1;
            }
        }
    }
    found
}

/// Names of the module a file of `src` is: `["bench", "action"]` for `src/bench/action.rs`.
pub fn module_of(path: &str) -> Vec<String> {
    let inner = path.trim_start_matches("src/").trim_end_matches(".rs");
    let mut names: Vec<String> = inner.split('/').map(str::to_owned).collect();
    if matches!(names.last().map(String::as_str), Some("mod" | "lib" | "main")) {
        names.pop();
    }
    names
}

/// Every path with at least two names in a file's text, and every `use` of a single one.
pub fn paths(path: &str, text: &str) -> Vec<PathUse> {
    let blanked = blanked(text);
    let tokens = tokens(&blanked);
    let mut walk = Walk { tokens: &tokens, module: module_of(path), inner: Vec::new(), depth: 0, found: Vec::new() };
    walk.run();
    walk.found
}

struct Walk<'a> {
    tokens: &'a [(usize, Token)],
    module: Vec<String>,
    /// Modules written in braces that are open here, with the depth of their brace.
    inner: Vec<(String, usize)>,
    depth: usize,
    found: Vec<PathUse>,
}

impl Walk<'_> {
    fn word(&self, at: usize) -> Option<&str> {
        match self.tokens.get(at) {
            Some((_, Token::Word(word))) => Some(word),
            _ => None,
        }
    }

    fn is(&self, at: usize, token: &Token) -> bool {
        self.tokens.get(at).is_some_and(|(_, t)| t == token)
    }

    fn run(&mut self) {
        let mut i = 0;
        while i < self.tokens.len() {
            match &self.tokens[i].1 {
                Token::Other('{') => {
                    self.depth += 1;
                    if i >= 2 && self.word(i - 2) == Some("mod") {
                        let name = self.word(i - 1).unwrap_or_default().to_owned();
                        self.inner.push((name, self.depth));
                    }
                }
                Token::Other('}') => {
                    self.inner.retain(|(_, depth)| *depth < self.depth);
                    self.depth = self.depth.saturating_sub(1);
                }
                Token::Word(word) if word == "use" => {
                    let handed_on = i >= 1 && (self.word(i - 1) == Some("pub") || self.is(i - 1, &Token::Other(')')));
                    i = self.path(i + 1, Vec::new(), handed_on, true);
                    continue;
                }
                Token::Word(_) if self.is(i + 1, &Token::Colons) && !(i >= 1 && self.is(i - 1, &Token::Colons)) => {
                    i = self.path(i, Vec::new(), false, false);
                    continue;
                }
                _ => {}
            }
            i += 1;
        }
    }

    /// The full name of the module here: the file's and those open in it.
    fn here(&self) -> Vec<String> {
        let mut names = vec![String::new()];
        names.extend(self.module.iter().cloned());
        names.extend(self.inner.iter().map(|(name, _)| name.clone()));
        names
    }

    /// Reads one path or group from `at`, notes what it leads to, and gives the place after it.
    fn path(&mut self, mut at: usize, mut names: Vec<String>, handed_on: bool, whole_use: bool) -> usize {
        loop {
            match self.tokens.get(at).map(|(_, t)| t.clone()) {
                Some(Token::Word(word)) => {
                    match word.as_str() {
                        "crate" if names.is_empty() => names = vec![String::new()],
                        "self" if names.is_empty() => names = self.here(),
                        "super" => {
                            if names.is_empty() {
                                names = self.here();
                            }
                            names.pop();
                        }
                        _ => names.push(word),
                    }
                    at += 1;
                }
                Some(Token::Other('{')) if whole_use || self.group_follows(at) => {
                    at += 1;
                    while at < self.tokens.len() && !self.is(at, &Token::Other('}')) {
                        let start = at;
                        at = self.path(at, names.clone(), handed_on, whole_use);
                        while at < self.tokens.len()
                            && !self.is(at, &Token::Other(','))
                            && !self.is(at, &Token::Other('}'))
                        {
                            at += 1;
                        }
                        if self.is(at, &Token::Other(',')) {
                            at += 1;
                        }
                        assert!(at > start, "a group of paths that does not end");
                    }
                    return at + 1;
                }
                _ => break,
            }
            if !self.is(at, &Token::Colons) {
                break;
            }
            at += 1;
        }
        if names.len() > 1 || whole_use && !names.is_empty() {
            let line = self.tokens.get(at.saturating_sub(1)).map_or(0, |(line, _)| *line);
            self.found.push(PathUse { line, segments: names, handed_on });
        }
        at
    }

    /// Whether the brace at `at` is a group of a path: it comes after `::`.
    fn group_follows(&self, at: usize) -> bool {
        at >= 1 && self.is(at - 1, &Token::Colons)
    }
}

/// A function's name with its first and last line. Functions in modules named `tests` are left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FunctionSpan {
    pub name: String,
    pub first: usize,
    pub last: usize,
}

impl FunctionSpan {
    pub fn lines(&self) -> usize {
        self.last + 1 - self.first
    }
}

/// All functions of a text, and the first line of its `mod tests { … }` if it has one.
pub fn functions(text: &str) -> (Vec<FunctionSpan>, Option<usize>) {
    let blanked = blanked(text);
    let tokens = tokens(&blanked);
    let word = |i: usize| match tokens.get(i) {
        Some((_, Token::Word(word))) => Some(word.as_str()),
        _ => None,
    };
    let tests = (0..tokens.len())
        .find(|i| {
            word(*i) == Some("mod")
                && word(i + 1) == Some("tests")
                && matches!(tokens.get(i + 2), Some((_, Token::Other('{'))))
        })
        .map(|i| tokens[i].0);
    let mut found = Vec::new();
    for i in 0..tokens.len() {
        let (Some("fn"), Some(name)) = (word(i), word(i + 1)) else { continue };
        if tests.is_some_and(|line| tokens[i].0 >= line) {
            continue;
        }
        let (mut depth, mut nesting) = (0, 0);
        for (line, token) in &tokens[i..] {
            match token {
                Token::Other('(' | '[') => nesting += 1,
                Token::Other(')' | ']') => nesting -= 1,
                Token::Other('{') => depth += 1,
                Token::Other('}') => depth -= 1,
                // A function of a trait without a body.
                Token::Other(';') if depth == 0 && nesting == 0 => break,
                _ => continue,
            }
            if depth == 0 && *token == Token::Other('}') {
                found.push(FunctionSpan { name: name.to_owned(), first: tokens[i].0, last: *line });
                break;
            }
        }
    }
    (found, tests)
}
