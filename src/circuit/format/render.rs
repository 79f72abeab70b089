//! Findings as a person reads them: message, place, the line with a caret, and the mend.
//!
//! Drawn by the `annotate-snippets` crate from the few lines concerned, so that a large file costs no more than a
//! small one. What to find is left to [`read`](super::read); where to print it to the command line.

use std::ops::Range;

use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};

use crate::circuit::diagnostic::{Finding, Severity};
use crate::words::{Language, Words, say};

/// Lines longer than this, in bytes, are not shown.
const LONGEST_LINE: usize = 400;
/// Bytes of a line up to which its letters are counted.
const FARTHEST_COUNTED: usize = 10_000;
/// Most lines of one place that are shown.
const MOST_LINES: usize = 6;

/// The findings on a text as text for a person, `path` being what to call the file.
///
/// Spans that do not fit the text are moved to where they do.
pub fn render(text: &str, path: &str, findings: &[Finding], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    all(text, path, findings, &renderer, Language::English)
}

/// As [`render`], without colours and in a language: for those who show it in a window.
pub fn render_in(language: Language, text: &str, path: &str, findings: &[Finding]) -> String {
    all(text, path, findings, &Renderer::plain(), language)
}

fn all(text: &str, path: &str, findings: &[Finding], renderer: &Renderer, language: Language) -> String {
    let starts = line_starts(text);
    let source = Source { text, path, starts, language };
    let mut shown = String::new();
    for finding in findings {
        shown.push_str(&source.one(finding, renderer));
        shown.push_str("\n\n");
    }
    shown.truncate(shown.trim_end().len());
    if !shown.is_empty() {
        shown.push('\n');
    }
    shown
}

/// Byte at which every line starts.
fn line_starts(text: &str) -> Vec<usize> {
    std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect()
}

struct Source<'a> {
    text: &'a str,
    path: &'a str,
    starts: Vec<usize>,
    language: Language,
}

/// The lines about a place, with the place counted from their start.
struct Window<'a> {
    first_line: usize,
    lines: &'a str,
    span: Range<usize>,
}

impl<'a> Source<'a> {
    fn one(&self, finding: &Finding, renderer: &Renderer) -> String {
        let said = |words: &Words| one_line(words.in_language(self.language));
        let level = match finding.severity {
            Severity::Error => Level::ERROR.with_name(said(&say!("read-error"))),
            Severity::Doubtful => Level::WARNING.with_name(said(&say!("read-doubtful"))),
        };
        let mend = Level::HELP.with_name(said(&say!("read-help"))).message(said(&finding.mend));
        let mut group = Group::with_title(level.primary_title(said(&finding.message)));
        let Some(span) = &finding.span else {
            return renderer.render(&[group.element(mend)]);
        };
        let span = fitting(self.text, span);
        match self.window(span.clone()) {
            Some(window) => {
                let mut annotations = vec![AnnotationKind::Primary.span(window.span.clone())];
                let also = finding.also.as_ref().and_then(|(place, words)| {
                    self.window(fitting(self.text, place)).map(|w| (w, words.in_language(self.language)))
                });
                let mut second = None;
                if let Some((other, words)) = also {
                    // Shown on the same lines if it is there, else with lines of its own.
                    if other.first_line == window.first_line && other.lines == window.lines {
                        annotations.push(AnnotationKind::Context.span(other.span).label(one_line(words)));
                    } else {
                        let label = AnnotationKind::Context.span(other.span.clone()).label(one_line(words));
                        second = Some(self.snippet(&other, vec![label]));
                    }
                }
                group = group.element(self.snippet(&window, annotations));
                group = group.elements(second);
            }
            None => {
                let (line, column) = self.line_column(span.start);
                let origin = annotate_snippets::Origin::path(self.path).line(line).char_column(column);
                group = group.element(origin);
            }
        }
        renderer.render(&[group.element(mend)])
    }

    fn snippet(&self, window: &Window<'a>, annotations: Vec<Annotation<'a>>) -> Snippet<'a, Annotation<'a>> {
        Snippet::source(window.lines).line_start(window.first_line + 1).path(self.path).annotations(annotations)
    }

    /// Line (from 0) a byte is on.
    fn line(&self, at: usize) -> usize {
        self.starts.partition_point(|s| *s <= at).saturating_sub(1)
    }

    /// Line and column of a byte, from 1; far out on a line the column is counted in bytes, to be quick.
    fn line_column(&self, at: usize) -> (usize, usize) {
        let line = self.line(at);
        let before = &self.text[self.starts[line]..at];
        let column = if before.len() > FARTHEST_COUNTED { before.len() } else { before.chars().count() };
        (line + 1, column + 1)
    }

    /// The lines of a place; nothing where one of them is too long to be looked at.
    fn window(&self, span: Range<usize>) -> Option<Window<'a>> {
        let first = self.line(span.start);
        let last = self.line(span.end.saturating_sub(1).max(span.start)).min(first + MOST_LINES - 1);
        let start = self.starts[first];
        let end = self.starts.get(last + 1).map_or(self.text.len(), |next| next - 1);
        let lines = self.text[start..end].trim_end_matches('\r');
        let bounds =
            (first..=last).map(|l| (self.starts[l], self.starts.get(l + 1).copied().unwrap_or(self.text.len())));
        if bounds.into_iter().any(|(from, to)| to - from > LONGEST_LINE) {
            return None;
        }
        let within = |at: usize| (at - start).min(lines.len());
        Some(Window { first_line: first, lines, span: within(span.start)..within(span.end) })
    }
}

/// The span moved into the text and onto whole characters.
fn fitting(text: &str, span: &Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(span.start.min(text.len()));
    let end = text.ceil_char_boundary(span.end.clamp(start, text.len()));
    start..end
}

/// Words without line breaks, which would break the drawing.
fn one_line(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
