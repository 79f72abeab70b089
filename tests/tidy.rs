//! Rules of the house that no compiler checks: heads of files, lengths of files and functions, what stands at the
//! top of the package, and a line in DEVELOPERS.md for every library.
//!
//! Limits are the hard ones; the soft ones (half of these) are for reviewers. A hard limit is lifted by a line in
//! [`LONG_FILES`] or [`LONG_FUNCTIONS`] that says why, and by nothing else.

mod support;

use support::source::{blanked, functions};
use support::{files_below, text_of, top};

/// Files longer than their limit, with the reason.
const LONG_FILES: &[(&str, &str)] = &[];
/// Functions longer than their limit, as `file: name`, with the reason.
const LONG_FUNCTIONS: &[(&str, &str)] =
    &[("tests/drawing.rs: samples", "one plain list with a sample of every kind of part")];
/// Words that must not appear in source, tests or documents, with the reason.
const FORBIDDEN: &[(&str, &str)] = &[];
/// What may stand at the top of the package, beside names that begin with a dot and what git is told to ignore.
const AT_THE_TOP: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "assets",
    "circuits",
    "src",
    "target",
    "tests",
];

/// Hard limits of a file: lines without its inline tests, and lines of one function.
fn limits(path: &str) -> (usize, usize) {
    if path.starts_with("src/gui/") { (600, 120) } else { (800, 80) }
}

fn all_source() -> Vec<String> {
    let mut files = files_below("src", "rs");
    files.extend(files_below("tests", "rs"));
    files
}

#[track_caller]
fn nothing(found: &[String]) {
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_file_opens_by_saying_what_it_is_for() {
    let mut found = Vec::new();
    for path in all_source() {
        let wanted = if path.starts_with("src/") { 3 } else { 2 };
        let head = text_of(&path).lines().take_while(|line| line.starts_with("//!")).count();
        if head < wanted {
            found.push(format!("{path} opens with {head} lines of `//!`, not {wanted}"));
        }
    }
    nothing(&found);
}

#[test]
fn files_and_functions_keep_to_their_length() {
    let mut found = Vec::new();
    for path in all_source() {
        let text = text_of(&path);
        let (file_limit, function_limit) = limits(&path);
        let (functions, tests_begin) = functions(&text);
        let lines = tests_begin.map_or_else(|| text.lines().count(), |line| line - 1);
        if lines > file_limit && !LONG_FILES.iter().any(|(file, _)| *file == path) {
            found.push(format!("{path} has {lines} lines, not up to {file_limit}"));
        }
        for function in functions.iter().filter(|f| f.lines() > function_limit) {
            let name = format!("{path}: {}", function.name);
            if !LONG_FUNCTIONS.iter().any(|(function, _)| *function == name) {
                found.push(format!("{name} has {} lines, not up to {function_limit}", function.lines()));
            }
        }
    }
    nothing(&found);
}

#[test]
fn no_exception_outlives_its_need() {
    let files = all_source();
    for (path, reason) in LONG_FILES {
        assert!(files.iter().any(|f| f == path), "{path} is excepted ({reason}) and not there");
    }
    for (name, reason) in LONG_FUNCTIONS {
        let (path, function) = name.split_once(": ").expect("`file: name`");
        let limit = limits(path).1;
        let still = functions(&text_of(path)).0.iter().any(|f| f.name == function && f.lines() > limit);
        assert!(still, "{name} is excepted ({reason}) and not too long");
    }
}

#[test]
fn every_library_has_a_line_in_the_developers_document() {
    let document = text_of("DEVELOPERS.md");
    let mut found = Vec::new();
    let mut in_list = false;
    for line in text_of("Cargo.toml").lines() {
        if line.starts_with('[') {
            in_list = matches!(line, "[dependencies]" | "[dev-dependencies]");
            continue;
        }
        let Some((name, _)) = line.split_once('=').filter(|_| in_list) else { continue };
        let name = name.trim();
        if !document.lines().any(|l| l.contains(&format!("`{name}`"))) {
            found.push(format!("`{name}` is in Cargo.toml and not in DEVELOPERS.md"));
        }
    }
    nothing(&found);
}

#[test]
fn only_what_belongs_there_stands_at_the_top() {
    let ignored = text_of(".gitignore");
    let ignored: Vec<&str> = ignored.lines().map(|line| line.trim_matches('/')).collect();
    let mut found = Vec::new();
    for entry in std::fs::read_dir(top()).expect("the package is there").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') && !AT_THE_TOP.contains(&name.as_str()) && !ignored.contains(&name.as_str()) {
            found.push(format!("`{name}` has no place at the top of the package"));
        }
    }
    nothing(&found);
}

#[test]
fn no_forbidden_word_stands_anywhere() {
    let mut files = all_source();
    files.extend(files_below("circuits", "ron"));
    files.extend(["README.md", "DEVELOPERS.md"].map(str::to_owned));
    let mut found = Vec::new();
    for path in files.iter().filter(|p| *p != "tests/tidy.rs") {
        let text = text_of(path).to_lowercase();
        for (word, reason) in FORBIDDEN {
            if text.contains(&word.to_lowercase()) {
                found.push(format!("{path} says `{word}`: {reason}"));
            }
        }
    }
    nothing(&found);
}

#[test]
fn no_warning_is_silenced_without_a_reason() {
    let mut found = Vec::new();
    for path in all_source() {
        // An attribute may go over several lines; its end is its bracket.
        let text = blanked(&text_of(&path));
        for (start, _) in text.match_indices("#[allow(").chain(text.match_indices("#![allow(")) {
            let attribute = &text[start..start + text[start..].find(']').unwrap_or(text.len() - start)];
            if !attribute.contains("reason") {
                found.push(format!("{path}: `{}` gives no reason", attribute.replace('\n', " ")));
            }
        }
    }
    nothing(&found);
}
