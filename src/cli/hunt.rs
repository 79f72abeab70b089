//! `fanloom hunt`: a hidden fault, played line by line from standard input.
//!
//! Only reads the lines and shapes what is said; the game is [`study::hunt`](crate::study::hunt)'s. A prompt stands only
//! on a terminal. With `--json` the talk goes to standard error and one document ends it.

use std::io::{BufRead, IsTerminal};

use serde_json::{Value, json};

use crate::bench::{Action, Refusal};
use crate::circuit::diagnostic::nearest;
use crate::study::answer::{Hazard, Level};
use crate::study::find::Test;
use crate::study::find::words::minutes;
use crate::study::hunt::{Hunt, Report, Seen};
use crate::study::wording::SAFETY;

use super::args::HuntArgs;
use super::exit::{Ending, complain, message, print};
use super::plan::{Complaint, circuit_in, judgement_in};
use super::verdict::{counted, hazard_json, wrapped};

/// What may be typed.
const LINES: &str = "read volts:Y1.1,Y1.2 | do lift:W4@B1.2 | put-back lift:W4@B1.2 | set coolant=230F | look F1 | renew F1 | \
                     guess open:W4 | give up";

pub(super) fn run(args: &HuntArgs, colour: bool) -> Ending {
    let circuit = match circuit_in(&args.file, colour) {
        Ok(circuit) => circuit,
        Err(complaint) => return complain(&[complaint]),
    };
    let options = match judgement_in(&circuit, &args.judgement) {
        Ok(options) => options,
        Err(complaints) => return complain(&complaints),
    };
    let mut hunt = match Hunt::begin_with(circuit, args.seed, options) {
        Ok(hunt) => hunt,
        Err(refusal) => return complain(&[Complaint::new(&refusal.message, &refusal.mend)]),
    };
    let say = if args.json { message } else { print };
    say(&opening(&hunt, args.seed));
    let is_talk = std::io::stdin().is_terminal();
    let refused = play(&mut hunt, is_talk, say);
    if !hunt.is_over() {
        hunt.give_up();
    }
    let report = hunt.report();
    if args.json {
        print(&as_json(&hunt, &report, args.seed));
    } else {
        print(&ending(&hunt, &report));
    }
    // In a script a line that meant nothing is a mistake; a person has been told and has gone on.
    if refused && !is_talk { Ending::Wrong } else { Ending::Done }
}

/// Takes lines to the end; whether any was refused.
fn play(hunt: &mut Hunt, is_talk: bool, say: impl Fn(&str)) -> bool {
    let mut refused = false;
    let mut lines = std::io::stdin().lock().lines();
    let mut number = 0;
    while !hunt.is_over() {
        if is_talk {
            say("> ");
        }
        let line = match lines.next() {
            None => break,
            Some(Ok(line)) => line,
            Some(Err(why)) => {
                let told =
                    Complaint::new(&format!("line {} cannot be read: {why}", number + 1), "write plain text, UTF-8");
                message(&told.0);
                return true;
            }
        };
        number += 1;
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match obey(hunt, line) {
            Ok(told) => say(&(told.join("\n") + "\n")),
            Err(refusal) => {
                refused = true;
                message(&Complaint::new(&format!("{} (in line {number}, `{line}`)", refusal.message), &refusal.mend).0);
            }
        }
    }
    refused
}

/// Does what a line says.
fn obey(hunt: &mut Hunt, line: &str) -> Result<Vec<String>, Refusal> {
    const VERBS: [&str; 8] = ["read", "do", "put-back", "set", "look", "renew", "guess", "give"];
    if matches!(line, "give up" | "give-up") {
        hunt.give_up();
        return Ok(Vec::new());
    }
    if line == "help" {
        return Ok(wrapped(LINES));
    }
    let (verb, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    if VERBS.contains(&verb) && verb != "give" && rest.is_empty() {
        return Err(Refusal::new(format!("`{verb}` does not say what"), format!("lines are {LINES}")));
    }
    let mut told = match verb {
        "read" => {
            let shown = hunt.read(&rest.parse()?)?;
            let mut told = vec![format!("  {}", shown.value.words())];
            told.extend(shown.notes.iter().flat_map(|note| wrapped(note)));
            told
        }
        "do" => dangers(&hunt.apply(&Action::Do(rest.parse()?))?),
        "put-back" => dangers(&hunt.apply(&Action::PutBack(rest.parse()?))?),
        "set" => dangers(&hunt.apply(&Action::Set(rest.parse()?))?),
        "renew" => {
            hunt.apply(&Action::ReplaceFuse(rest.to_owned()))?;
            let blown = hunt.seen().fuses.iter().any(|(tag, blown)| tag == rest && *blown);
            vec![format!("  the new {rest} {}", if blown { "blows at once" } else { "holds" })]
        }
        "look" => vec![format!("  {rest} is {}", if hunt.look(rest)? { "blown" } else { "whole" })],
        "guess" => {
            let right = hunt.guess(&rest.parse()?)?;
            vec![if right { "  right".to_owned() } else { "  wrong: mended in vain, and it is as before".to_owned() }]
        }
        _ => {
            let mend = match nearest(verb, VERBS) {
                Some("give") => "did you mean `give up`?".to_owned(),
                Some(likely) => format!("did you mean `{likely}`?"),
                None => format!("lines are {LINES}"),
            };
            return Err(Refusal::new(format!("`{verb}` is nothing that can be done here"), mend));
        }
    };
    if matches!(verb, "do" | "put-back" | "set" | "renew") {
        told.extend(seen(&hunt.seen()));
    }
    told.push(format!("  ({} so far)", minutes(hunt.minutes())));
    Ok(told)
}

fn dangers(hazards: &[Hazard]) -> Vec<String> {
    let told = |hazard: &Hazard| {
        wrapped(&format!("{}, {}: {}", hazard.level.word().to_uppercase(), hazard.kind.word(), hazard.text))
    };
    hazards.iter().flat_map(told).collect()
}

fn seen(seen: &Seen) -> Vec<String> {
    let fan = seen.fan.map(|fan| format!("  the fan is {}", fan.word()));
    let lamps = seen.lamps.iter().map(|(tag, glow)| format!("  {tag} glows {}", glow.word()));
    fan.into_iter().chain(lamps).collect()
}

fn opening(hunt: &Hunt, seed: u64) -> String {
    let mut lines = vec![format!("{}, hunt {seed}", hunt.circuit().title()), String::new()];
    lines.extend(wrapped(hunt.complaint()));
    lines.extend(seen(&hunt.seen()));
    lines.push(String::new());
    lines.extend(wrapped(LINES));
    lines.push("\nSafety".to_owned());
    lines.extend(wrapped(&SAFETY));
    lines.join("\n") + "\n\n"
}

fn ending(hunt: &Hunt, report: &Report) -> String {
    let mut lines =
        vec![format!("\n{}: it was {}", if report.is_found { "Found" } else { "Not found" }, report.hidden)];
    if !report.alike.is_empty() {
        let alike: Vec<String> = report.alike.iter().map(ToString::to_string).collect();
        lines.extend(wrapped(&format!("Nothing tells it from {}.", crate::study::wording::list(&alike))));
    }
    lines.push(format!(
        "\nYour course: {} in {}",
        minutes(hunt.minutes()),
        counted(hunt.taken().len(), "step", "steps")
    ));
    for taken in hunt.taken() {
        let shows = taken.shows.as_ref().map_or_else(String::new, |shows| format!("  {shows}"));
        let danger = if taken.dangers > 0 { "  DANGER" } else { "" };
        lines.push(format!("  {:>9}  {}{shows}{danger}", minutes(taken.minutes), taken.did));
    }
    lines.push(format!(
        "\nThe best course known: {} in {}",
        minutes(report.best_minutes),
        counted(report.best.len(), "step", "steps")
    ));
    for test in &report.best {
        lines.push(format!("  {:>9}  read {}{}", minutes(test.minutes), test.reading, test.setup));
    }
    lines.join("\n") + "\n"
}

fn as_json(hunt: &Hunt, report: &Report, seed: u64) -> String {
    let taken = hunt.taken().iter().map(
        |taken| json!({"did": taken.did, "shows": taken.shows, "minutes": taken.minutes, "dangers": taken.dangers}),
    );
    let guesses = hunt.guesses().iter().map(|guess| json!({"fault": guess.fault.to_string(), "right": guess.is_right}));
    let best = |test: &Test| {
        json!({
            "read": test.reading.to_string(),
            "after": test.setup.after.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "with": test.setup.with.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "minutes": test.minutes,
            "hazards": test.hazards.iter().filter(|h| h.level != Level::Caution).map(hazard_json).collect::<Vec<_>>(),
        })
    };
    let answer = json!({
        "title": hunt.circuit().title(),
        "seed": seed,
        "complaint": hunt.complaint(),
        "found": report.is_found,
        "hidden": report.hidden.to_string(),
        "alike": report.alike.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "minutes": hunt.minutes(),
        "readings": hunt.taken().iter().filter(|taken| taken.did.starts_with("read ")).count(),
        "dangers": hunt.taken().iter().map(|taken| taken.dangers).sum::<usize>(),
        "guesses": guesses.collect::<Vec<Value>>(),
        "path": taken.collect::<Vec<Value>>(),
        "best": {"minutes": report.best_minutes, "path": report.best.iter().map(best).collect::<Vec<_>>()},
    });
    serde_json::to_string_pretty(&answer).expect("plain maps always make JSON") + "\n"
}
