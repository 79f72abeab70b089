//! `fanloom steps`: a demonstration gone through, each step with what it brings about.
//!
//! Only reads the file and shapes the answer; what a step brings about is found by
//! [`study::demonstration`](crate::study::demonstration).

use std::path::Path;

use serde_json::{Map, Value, json};

use crate::bench::Demonstration;
use crate::bench::demonstration::Step;
use crate::bench::journal::Refused;
use crate::bench::script::action_words;
use crate::circuit::format::{read, render};
use crate::study::demonstration::{Brought, Changed, Gone, Held, Through, held, through};

use super::args::StepsArgs;
use super::exit::{Ending, complain, print};
use super::plan::{CIRCUIT, Complaint, DEMONSTRATION, text_of};
use super::verdict::{close, headline, verdict_json, wrapped};

pub(super) fn run(args: &StepsArgs, colour: bool) -> Ending {
    match gone_through(args, colour) {
        Ok((told, through)) => {
            print(&if args.json { as_json(told.as_deref(), &through) } else { as_text(told.as_deref(), &through) });
            Ending::Done
        }
        Err(complaint) => complain(&[complaint]),
    }
}

/// What there is to know about the circuit, and the demonstration gone through on it.
fn gone_through(args: &StepsArgs, colour: bool) -> Result<(Option<String>, Through), Complaint> {
    let shown = args.file.display().to_string();
    let text = text_of(&args.file, &DEMONSTRATION)?;
    if !Demonstration::is_one(&text) {
        let message = format!("`{shown}` is no demonstration: it does not begin with `Demonstration(`");
        return Err(Complaint::new(&message, "name a demonstration that the window has saved"));
    }
    let demonstration =
        Demonstration::read(&text).map_err(|finding| Complaint(render(&text, &shown, &[*finding], colour)))?;
    let (Held { text, told, .. }, name) = match &args.on {
        Some(path) => {
            let text = text_of(path, &CIRCUIT)?;
            (Held { text, told: None, now: None }, path.display().to_string())
        }
        None => {
            let now = demonstration.circuit.text_now(&args.file, in_words);
            let found = held(&demonstration, now);
            let found = found.map_err(|why| Complaint::new(&format!("`{shown}`: {}", why.message), &why.mend))?;
            (found, format!("the circuit of {shown}"))
        }
    };
    let reading = read(&text);
    let Some(circuit) = reading.circuit else {
        return Err(Complaint(render(&text, &name, &reading.findings, colour)));
    };
    Ok((told.map(String::from), through(demonstration, circuit.into())))
}

fn in_words(path: &Path) -> Result<String, String> {
    text_of(path, &CIRCUIT).map_err(|complaint| complaint.0.lines().next().unwrap_or_default().to_owned())
}

fn as_text(told: Option<&str>, through: &Through) -> String {
    let Through { demonstration, gone, then, refused, end } = through;
    let mut lines = vec![format!("{}: {}", end.circuit().title(), demonstration.title)];
    lines.extend(told.into_iter().flat_map(wrapped));
    for (place, (step, Gone { waited, did })) in demonstration.steps.iter().zip(gone).enumerate() {
        lines.extend(waited.iter().flat_map(|waited| waited_lines(step.after_s, waited)));
        let moment = match demonstration.runs_at(place + 1) {
            true => format!(" at {} s", rounded(demonstration.moment(place + 1))),
            false => String::new(),
        };
        lines.push(format!("\nStep {}{moment}: {}", place + 1, action_words(&step.does)));
        if !step.says.is_empty() {
            lines.extend(wrapped(&format!("\u{201c}{}\u{201d}", step.says)));
        }
        lines.extend(brought_lines(did));
    }
    lines.extend(then.iter().flat_map(|then| waited_lines(demonstration.then_s, then)));
    if !refused.is_empty() {
        lines.push("\nLeft out, because this circuit cannot have it".to_owned());
        lines.extend(refused.iter().flat_map(|(action, why)| wrapped(&format!("{}: {why}", action_words(action)))));
    }
    let moment = match demonstration.takes_time() {
        true => format!(", at {} s,", rounded(demonstration.end_s())),
        false => String::new(),
    };
    lines.push(format!("\nAt the end{moment} {}.", headline(crate::study::verdict(end).standing)));
    close(&mut lines);
    lines.join("\n") + "\n"
}

/// Seconds to the thousandth: what is written adds up.
fn rounded(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}

fn waited_lines(seconds: f64, waited: &Brought) -> Vec<String> {
    let mut lines = vec![format!("\n{} s pass", rounded(seconds))];
    lines.extend(brought_lines(waited));
    lines
}

fn brought_lines(brought: &Brought) -> Vec<String> {
    let (before, after) = (brought.standing.0.word(), brought.standing.1.word());
    let mut lines = vec![match before == after {
        true => format!("  Clutch stays {after}"),
        false => format!("  Clutch: {before} -> {after}"),
    }];
    lines.extend(brought.changed.iter().map(|c| format!("  {:<8} {} -> {}", c.link.word(), c.from, c.to)));
    lines.extend(brought.parts_at.map(|link| format!("  The chain parts at {}.", link.word())));
    for hazard in &brought.hazards {
        let signal = hazard.level.word().to_uppercase();
        lines.extend(wrapped(&format!("{signal}, {}, at {}: {}", hazard.kind.word(), hazard.at, hazard.text)));
    }
    lines.extend(brought.because.iter().flat_map(|sentence| wrapped(sentence)));
    lines
}

fn brought_json(brought: &Brought) -> Map<String, Value> {
    let changed = |c: &Changed| json!({"link": c.link.word(), "from": c.from, "to": c.to});
    Map::from_iter([
        ("before".to_owned(), json!(brought.standing.0.word())),
        ("after".to_owned(), json!(brought.standing.1.word())),
        ("changed".to_owned(), brought.changed.iter().map(changed).collect()),
        ("parts_at".to_owned(), json!(brought.parts_at.map(|link| link.word()))),
        ("hazards".to_owned(), brought.hazards.iter().map(super::verdict::hazard_json).collect()),
        ("because".to_owned(), json!(brought.because)),
    ])
}

fn as_json(told: Option<&str>, through: &Through) -> String {
    let Through { demonstration, gone, then, refused, end } = through;
    let step = |(step, Gone { waited, did }): (&Step, &Gone)| {
        let mut told = Map::from_iter([
            ("does".to_owned(), json!(action_words(&step.does))),
            ("after_s".to_owned(), json!(step.after_s)),
            ("says".to_owned(), json!(step.says)),
            ("waited".to_owned(), json!(waited.as_ref().map(brought_json))),
        ]);
        told.append(&mut brought_json(did));
        Value::Object(told)
    };
    let left_out = |(action, why): &Refused| json!({"does": action_words(action), "why": why.to_string()});
    let answer: Value = json!({
        "title": demonstration.title,
        "about": told,
        "before_clock": demonstration.before_clock,
        "steps": demonstration.steps.iter().zip(gone).map(step).collect::<Vec<_>>(),
        "then_s": demonstration.then_s,
        "then": then.as_ref().map(brought_json),
        "left_out": refused.iter().map(left_out).collect::<Vec<_>>(),
        "end": verdict_json(end, &crate::study::verdict(end)),
    });
    serde_json::to_string_pretty(&answer).expect("plain maps and numbers always make JSON") + "\n"
}
