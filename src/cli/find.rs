//! `fanloom find`: which faults remain after what was seen, which test to make next, and the course to the end.
//!
//! Only shapes the answer, as text, Markdown or the contract's JSON; it is found by
//! [`study::find`](crate::study::find).

use std::path::Path;

use serde_json::{Value, json};

use crate::bench::{Act, Instrument, Reading, Setting};
use crate::circuit::Circuit;
use crate::disk::replace;
use crate::physics::limits::OHMMETER_RANGE_OHMS;
use crate::study::find::scale::Look;
use crate::study::find::sight::Sight;
use crate::study::find::words::{self, because, minutes, percent, shows};
use crate::study::find::{Case, Clash, Found, Line, Stage, Test, find};
use crate::study::wording::SAFETY;

use super::args::FindArgs;
use super::exit::{Ending, complain, message, print};
use super::plan::{Complaint, case_about, judgement_in, understood};
use super::verdict::{counted, hazard_json, wrapped};

/// Lines beyond this many are counted in the text, not listed; JSON and Markdown have them all.
const LISTED_LINES: usize = 12;

pub(super) fn run(args: &FindArgs, colour: bool) -> Ending {
    let (case, sights, found) = match worked_out(args, colour) {
        Ok(answer) => answer,
        Err(complaints) => return complain(&complaints),
    };
    let told = Told { circuit: &case.circuit, sights: &sights, found: &found };
    if args.state.json {
        print(&told.json());
        return Ending::Done;
    }
    let Some(to) = &args.to else {
        print(&told.text());
        return Ending::Done;
    };
    match written(&told, to) {
        Ok(()) => Ending::Done,
        Err(complaint) => complain(&[complaint]),
    }
}

fn worked_out(args: &FindArgs, colour: bool) -> Result<(Case, Vec<Sight>, Found), Vec<Complaint>> {
    let mut complaints = Vec::new();
    let sights: Vec<Sight> = understood(&args.sights, "--saw", &mut complaints);
    let case = match case_about(&args.state.file, &args.state.world, colour) {
        Ok(case) => case,
        Err(mut more) => {
            more.append(&mut complaints);
            return Err(more);
        }
    };
    let options = match judgement_in(&case.circuit, &args.judgement) {
        Ok(options) if complaints.is_empty() => options,
        Ok(_) => return Err(complaints),
        Err(mut more) => {
            complaints.append(&mut more);
            return Err(complaints);
        }
    };
    match find(&case, &sights, &options, args.plan) {
        Ok(found) => Ok((case, sights, found)),
        Err(unfit) => Err(vec![match unfit.sight {
            Some(at) => Complaint::of(&unfit.refusal, "--saw", &args.sights[at]),
            None => Complaint::new(&unfit.refusal.message, &unfit.refusal.mend),
        }]),
    }
}

fn written(told: &Told<'_>, to: &Path) -> Result<(), Complaint> {
    let ending = to.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let text = match ending.as_deref() {
        Some("txt") => told.text(),
        Some("md") => told.markdown(),
        _ => {
            let why = format!("`{}` does not end in a form known here", to.display());
            return Err(Complaint::new(&why, "end it in .txt or .md"));
        }
    };
    replace(text.as_bytes(), to).map_err(|why| Complaint::new(&why.message, &why.mend))?;
    message(&format!("wrote `{}`\n", to.display()));
    Ok(())
}

/// An answer with what it is about.
struct Told<'a> {
    circuit: &'a Circuit,
    sights: &'a [Sight],
    found: &'a Found,
}

impl Told<'_> {
    fn headline(&self) -> String {
        let found = self.found;
        let title = self.circuit.title();
        let remain = match (found.suspects.len(), found.are_pairs) {
            (0, _) => "nothing explains what was seen".to_owned(),
            (n, true) => {
                format!(
                    "no single fault explains what was seen; {}",
                    match n + found.more_pairs {
                        1 => "one pair does".to_owned(),
                        n => format!("{n} pairs do"),
                    }
                )
            }
            (n, false) => format!("{n} of {} remain", counted(found.considered, "possibility", "possibilities")),
        };
        format!("{title}: {remain}")
    }

    /// Why no single fault remains, in sentences.
    fn clash(&self) -> Vec<String> {
        let sight = |at: usize| format!("`{}`", self.sights[at]);
        match &self.found.clash {
            None => Vec::new(),
            Some(Clash::Contradiction(one, other)) => vec![format!(
                "{} and {} contradict each other: the same reading in the same state cannot be both. Read it again.",
                sight(*one),
                sight(*other)
            )],
            Some(Clash::NoneAlone(blamed)) => {
                let mut said = vec!["Nothing single explains all that was seen.".to_owned()];
                if !blamed.is_empty() {
                    let list: Vec<String> = blamed.iter().map(|at| sight(*at)).collect();
                    said.push(format!(
                        "Something single would, without {}: read that again first.",
                        crate::study::wording::choice(&list)
                    ));
                }
                if self.found.suspects.is_empty() {
                    said.push("No pair of faults does either: look for three, or for something this circuit file does not say.".to_owned());
                }
                said
            }
        }
    }

    fn text(&self) -> String {
        let found = self.found;
        let mut lines = vec![self.headline()];
        self.sights.iter().for_each(|sight| lines.push(format!("  {sight}")));
        self.clash().iter().for_each(|sentence| lines.extend(wrapped(sentence)));
        if !found.lines.is_empty() {
            lines.push("\nWhat remains".to_owned());
            for line in found.lines.iter().take(LISTED_LINES) {
                lines.push(format!("  {:>9}  {}", percent(line.share), words::line(found, line)));
            }
            if found.lines.len() > LISTED_LINES {
                lines.push(format!("             and {} more (all in --json)", found.lines.len() - LISTED_LINES));
            }
            if self.healthy_remains() {
                lines.extend(wrapped("That nothing is wrong remains possible."));
            }
            lines.push(format!(
                "\nNext{}",
                found
                    .course_minutes
                    .map_or_else(String::new, |m| format!(" (the whole course: about {} on average)", minutes(m)))
            ));
            match &found.next {
                Some(test) => lines.extend(self.test_text(test)),
                None => lines.extend(self.end_text(&found.lines)),
            }
        }
        if let Some(course) = &found.course {
            lines.push("\nThe whole course".to_owned());
            self.tree(course, "  ", &mut lines);
        }
        if !found.proof.is_empty() {
            lines.push("\nProof, once it is mended and all is put back".to_owned());
            lines.extend(
                found
                    .proof
                    .iter()
                    .map(|(setup, standing)| format!("  {}", words::proof(&setup.to_string(), *standing))),
            );
        }
        lines.push("\nMind".to_owned());
        lines.extend(wrapped(&words::SINGLE));
        lines.push("\nSafety".to_owned());
        lines.extend(wrapped(&SAFETY));
        lines.join("\n") + "\n"
    }

    fn healthy_remains(&self) -> bool {
        self.found.suspects.iter().any(|suspect| suspect.is_healthy())
    }

    fn test_text(&self, test: &Test) -> Vec<String> {
        let mut lines = vec![format!("  read {}{}  ({})", test.reading, test.setup, minutes(test.minutes))];
        lines.extend(wrapped(&because(self.found, test)));
        for hazard in &test.hazards {
            let signal = hazard.level.word().to_uppercase();
            lines.extend(wrapped(&format!("{signal}, {}, at {}: {}", hazard.kind.word(), hazard.at, hazard.text)));
        }
        lines
    }

    /// What to mend where nothing more tells what remains apart, the likeliest first.
    fn end_text(&self, left: &[Line]) -> Vec<String> {
        let mut lines = wrapped(match left {
            [one] if one.suspects.len() == 1 => "Nothing more is to be told apart. Mend:",
            _ => "No safe test with these instruments tells them apart. Mend in this order, and prove after each:",
        });
        for line in left {
            for suspect in &line.suspects {
                let suspect = &self.found.suspects[*suspect];
                lines.extend(wrapped(&format!("{}: {}.", suspect.name(), words::repairs(self.circuit, suspect))));
            }
        }
        lines
    }

    fn tree(&self, stage: &Stage, indent: &str, lines: &mut Vec<String>) {
        let Some(test) = &stage.test else {
            for line in &stage.lines {
                let line = &self.found.lines[*line];
                let first = &self.found.suspects[line.suspects[0]];
                lines.push(format!(
                    "{indent}-> {}: {}",
                    words::line(self.found, line),
                    words::repairs(self.circuit, first)
                ));
            }
            return;
        };
        lines.push(format!("{indent}read {}{} ({})", test.reading, test.setup, minutes(test.minutes)));
        for hazard in test.hazards.iter().filter(|hazard| hazard.level == crate::study::answer::Level::Warning) {
            lines.push(format!("{indent}  WARNING, {}, at {}", hazard.kind.word(), hazard.at));
        }
        for outcome in &test.outcomes {
            lines.push(format!("{indent}  {} ({}):", shows(&test.reading, outcome), percent(outcome.share)));
            if let Some(then) = &outcome.then {
                self.tree(then, &format!("{indent}    "), lines);
            }
        }
    }

    fn markdown(&self) -> String {
        let found = self.found;
        let mut lines = vec![format!("# {}", self.headline()), String::new()];
        lines.extend(self.sights.iter().map(|sight| format!("- seen: `{sight}`")));
        lines.extend(self.clash().into_iter().map(|sentence| format!("\n{sentence}")));
        if !found.lines.is_empty() {
            lines.push("\n| share | what remains |\n| ---: | --- |".to_owned());
            for line in &found.lines {
                let names: Vec<String> =
                    line.suspects.iter().map(|at| format!("`{}`", found.suspects[*at].name())).collect();
                lines.push(format!("| {} | {} |", percent(line.share), names.join(", ")));
            }
        }
        if let Some(test) = &found.next {
            lines.push(format!(
                "\n## Next: `{}{}` ({})\n\n{}",
                test.reading,
                test.setup,
                minutes(test.minutes),
                because(found, test)
            ));
            for hazard in &test.hazards {
                lines.push(format!(
                    "\n**{}**, {}, at {}: {}",
                    hazard.level.word().to_uppercase(),
                    hazard.kind.word(),
                    hazard.at,
                    hazard.text
                ));
            }
        } else if !found.lines.is_empty() {
            lines.push("\n## Mend\n".to_owned());
            for suspect in found.lines.iter().flat_map(|line| &line.suspects) {
                let suspect = &found.suspects[*suspect];
                lines.push(format!("1. `{}`: {}", suspect.name(), words::repairs(self.circuit, suspect)));
            }
        }
        if let Some(course) = &found.course {
            lines.push("\n## The whole course\n".to_owned());
            self.markdown_tree(course, 0, &mut lines);
        }
        if !found.proof.is_empty() {
            lines.push("\n## Proof, once it is mended and all is put back\n".to_owned());
            lines.extend(
                found
                    .proof
                    .iter()
                    .map(|(setup, standing)| format!("- {}", words::proof(&setup.to_string(), *standing))),
            );
        }
        lines.push(format!("\n## Mind\n\n{}\n\n## Safety\n\n{}", words::SINGLE, *SAFETY));
        lines.join("\n") + "\n"
    }

    fn markdown_tree(&self, stage: &Stage, depth: usize, lines: &mut Vec<String>) {
        let indent = "  ".repeat(depth);
        let Some(test) = &stage.test else {
            for line in &stage.lines {
                let line = &self.found.lines[*line];
                let first = &self.found.suspects[line.suspects[0]];
                lines.push(format!(
                    "{indent}- **{}**: {}",
                    words::line(self.found, line),
                    words::repairs(self.circuit, first)
                ));
            }
            return;
        };
        lines.push(format!("{indent}- read `{}{}` ({})", test.reading, test.setup, minutes(test.minutes)));
        for outcome in &test.outcomes {
            lines.push(format!("{indent}  - {} ({})", shows(&test.reading, outcome), percent(outcome.share)));
            if let Some(then) = &outcome.then {
                self.markdown_tree(then, depth + 2, lines);
            }
        }
    }

    fn json(&self) -> String {
        let found = self.found;
        let mut answer = json!({
            "remaining": if found.are_pairs { Vec::new() } else { found.lines.iter().map(|line| self.line_json(line)).collect() },
            "next": found.next.as_ref().map(|test| self.test_json(test)),
            "considered": found.considered,
            "healthy": self.healthy_remains(),
        });
        if found.clash.is_some() {
            answer["clash"] = json!(self.clash().join(" "));
            answer["contradiction"] = json!(matches!(found.clash, Some(Clash::Contradiction(..))));
        }
        if found.are_pairs {
            answer["pairs"] = found.lines.iter().map(|line| self.pair_json(line)).collect();
            answer["more_pairs"] = json!(found.more_pairs);
        }
        if let Some(course) = &found.course {
            answer["plan"] = self.stage_json(course);
            answer["plan_minutes"] = json!(found.course_minutes);
        }
        let suspects = found.lines.iter().flat_map(|line| &line.suspects).map(|at| &found.suspects[*at]);
        answer["repairs"] = suspects
            .map(|suspect| json!({"fault": suspect.name(), "repair": words::repairs(self.circuit, suspect)}))
            .collect();
        answer["proof"] = found
            .proof
            .iter()
            .map(|(setup, standing)| json!({"after": acts_json(&setup.after), "with": settings_json(&setup.with), "fan": standing.word()}))
            .collect();
        serde_json::to_string_pretty(&answer).expect("plain maps always make JSON") + "\n"
    }

    fn names(&self, line: &Line) -> Vec<String> {
        line.suspects.iter().map(|at| self.found.suspects[*at].name()).collect()
    }

    fn line_json(&self, line: &Line) -> Value {
        let names = self.names(line);
        json!({"fault": names[0], "weight": line.share, "alike": names[1..]})
    }

    fn pair_json(&self, line: &Line) -> Value {
        let faults = |at: &usize| self.found.suspects[*at].faults.iter().map(ToString::to_string).collect::<Vec<_>>();
        let alike: Vec<Vec<String>> = line.suspects[1..].iter().map(faults).collect();
        json!({"faults": faults(&line.suspects[0]), "weight": line.share, "alike": alike})
    }

    fn test_json(&self, test: &Test) -> Value {
        json!({
            "read": test.reading.to_string(),
            "after": acts_json(&test.setup.after),
            "with": settings_json(&test.setup.with),
            "minutes": (test.minutes * 100.0).round() / 100.0,
            "because": because(self.found, test),
            "bits": test.bits,
            "outcomes": test.outcomes.iter().map(|outcome| json!({
                "shows": shows(&test.reading, outcome),
                "from": look_json(&test.reading, outcome.looks.0),
                "to": look_json(&test.reading, outcome.looks.1),
                "share": outcome.share,
                "leaves": outcome.lines.iter().flat_map(|at| self.names(&self.found.lines[*at])).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "hazards": test.hazards.iter().map(hazard_json).collect::<Vec<_>>(),
        })
    }

    fn stage_json(&self, stage: &Stage) -> Value {
        let leaves: Vec<String> = stage.lines.iter().flat_map(|at| self.names(&self.found.lines[*at])).collect();
        let Some(test) = &stage.test else { return json!({"leaves": leaves}) };
        let mut answer = json!({
            "leaves": leaves,
            "read": test.reading.to_string(),
            "after": acts_json(&test.setup.after),
            "with": settings_json(&test.setup.with),
            "minutes": (test.minutes * 100.0).round() / 100.0,
            "hazards": test.hazards.iter().map(hazard_json).collect::<Vec<_>>(),
        });
        let branch = |outcome: &crate::study::find::Outcome| {
            let then = outcome.then.as_ref().map(|then| self.stage_json(then));
            let [from, to] = [outcome.looks.0, outcome.looks.1].map(|look| look_json(&test.reading, look));
            let shows = shows(&test.reading, outcome);
            json!({"shows": shows, "from": from, "to": to, "share": outcome.share, "then": then})
        };
        answer["outcomes"] = test.outcomes.iter().map(branch).collect();
        answer
    }
}

/// A foreseen look as the contract writes a reading: a number, a word, or null on overload.
fn look_json(reading: &Reading, look: Look) -> Value {
    match (reading, look) {
        (Reading::Across { instrument: Instrument::Ohmmeter, .. }, Look::Number(ohms))
            if ohms >= OHMMETER_RANGE_OHMS =>
        {
            Value::Null
        }
        (Reading::Across { instrument: Instrument::TestLamp, .. }, _) | (_, Look::Fan(_) | Look::Unsteady) => {
            json!(words::look(reading, look))
        }
        (_, Look::Number(number)) => json!(number),
    }
}

fn acts_json(acts: &[Act]) -> Value {
    acts.iter().map(|act| json!(act.to_string())).collect()
}

fn settings_json(settings: &[Setting]) -> Value {
    settings.iter().map(|setting| json!(setting.to_string())).collect()
}
