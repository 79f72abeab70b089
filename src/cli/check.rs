//! `fanloom check`: every error and every doubtful thing in many circuit files, read in parallel.
//!
//! Files are answered in the order they were named whatever order they were read in. Doubtful things alone leave the
//! exit code at 0: they are for a technician to look at, not wrong.

use std::path::Path;

use rayon::prelude::*;
use serde_json::{Value, json};

use crate::circuit::diagnostic::{Finding, Severity};
use crate::circuit::format::{read, render};

use super::args::CheckArgs;
use super::exit::{Ending, message, print};
use super::plan::{CIRCUIT, text_of};
use super::progress::bar;
use super::verdict::counted;

/// What was found in one file.
struct Checked {
    path: String,
    title: Option<String>,
    text: String,
    findings: Vec<Finding>,
    /// Why the file could not even be read.
    unreadable: Option<String>,
}

impl Checked {
    fn of(path: &Path) -> Self {
        let shown = path.display().to_string();
        match text_of(path, &CIRCUIT) {
            Ok(text) => {
                let reading = read(&text);
                let title = reading.circuit.map(|c| c.title().to_owned());
                Self { path: shown, title, text, findings: reading.findings, unreadable: None }
            }
            Err(complaint) => Self {
                path: shown,
                title: None,
                text: String::new(),
                findings: Vec::new(),
                unreadable: Some(complaint.0),
            },
        }
    }

    fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    fn sound(&self) -> bool {
        self.unreadable.is_none() && self.count(Severity::Error) == 0
    }
}

pub(super) fn run(args: &CheckArgs, colour: bool) -> Ending {
    let bar = bar(args.files.len(), "circuits");
    let read = |path| {
        let checked = Checked::of(path);
        bar.inc(1);
        checked
    };
    let checked: Vec<Checked> = args.files.par_iter().map(|path| read(path)).collect();
    bar.finish_and_clear();
    for file in &checked {
        if let Some(why) = &file.unreadable {
            message(why);
        }
    }
    if args.json {
        print(&as_json(&checked));
    } else {
        // Errors are messages; what the check found out about sound files is its result.
        for file in checked.iter().filter(|f| !f.sound() && f.unreadable.is_none()) {
            message(&render(&file.text, &file.path, &file.findings, colour));
        }
        print(&as_text(&checked));
    }
    if checked.iter().all(Checked::sound) { Ending::Done } else { Ending::Wrong }
}

fn as_text(checked: &[Checked]) -> String {
    let mut out = String::new();
    for file in checked {
        let errors = file.count(Severity::Error);
        let doubts = file.count(Severity::Doubtful);
        let said = match (&file.unreadable, errors, doubts) {
            (Some(_), _, _) => "could not be read".to_owned(),
            (None, 0, 0) => "sound".to_owned(),
            (None, 0, _) => format!("sound, {}", counted(doubts, "doubtful thing", "doubtful things")),
            (None, _, 0) => counted(errors, "error", "errors"),
            (None, _, _) => format!(
                "{}, {}",
                counted(errors, "error", "errors"),
                counted(doubts, "doubtful thing", "doubtful things")
            ),
        };
        let title = file.title.as_ref().map_or_else(String::new, |t| format!(" ({t})"));
        out.push_str(&format!("{}{title}: {said}\n", file.path));
        if file.sound() && doubts > 0 {
            out.push_str(&render(&file.text, &file.path, &file.findings, false));
        }
    }
    out
}

fn as_json(checked: &[Checked]) -> String {
    let files: Vec<Value> = checked
        .iter()
        .map(|file| {
            json!({
                "file": file.path,
                "title": file.title,
                "sound": file.sound(),
                "unreadable": file.unreadable.as_ref().map(|why| why.trim_end()),
                "findings": file.findings.iter().map(|f| finding(&file.text, f)).collect::<Vec<_>>(),
            })
        })
        .collect();
    let text = serde_json::to_string_pretty(&json!({ "files": files })).expect("plain maps always make JSON");
    text + "\n"
}

fn finding(text: &str, finding: &Finding) -> Value {
    let place = finding.span.as_ref().and_then(|span| text.get(..span.start)).map(|before| {
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().map_or(1, |l| l.chars().count() + 1);
        (line, column)
    });
    json!({
        "severity": match finding.severity {
            Severity::Error => "error",
            Severity::Doubtful => "doubtful",
        },
        "line": place.map(|p| p.0),
        "column": place.map(|p| p.1),
        "message": finding.message,
        "mend": finding.mend,
    })
}
