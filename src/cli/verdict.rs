//! `fanloom verdict`: what the clutch does, as text to read aloud or as the contract's JSON.
//!
//! Only shapes the answer; it is found by [`study`](crate::study).

use std::sync::Arc;

use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::bench::{Action, Bench, Change};
use crate::circuit::quantity::KPA_PER_PSI;
use crate::circuit::{Circuit, Contact, Kind};
use crate::physics::inputs::Inputs;
use crate::physics::state::Outcome;
use crate::study::answer::{Hazard, Standing, Verdict};
use crate::study::difference;
use crate::study::meter::{Shown, Value as Shows};
use crate::study::wording::{SAFETY, example_note};
use crate::words::Words;

use super::args::VerdictArgs;
use super::exit::{Ending, complain, print};
use super::plan::read_off;

pub(super) fn run(args: &VerdictArgs, colour: bool) -> Ending {
    let VerdictArgs { state: args, readings } = args;
    let (bench, readings) = match read_off(args, readings, colour) {
        Ok(read) => read,
        Err(complaints) => return complain(&complaints),
    };
    let verdict = crate::study::verdict(&bench);
    if args.json {
        print(&as_json(&bench, &verdict, &readings));
        return Ending::Done;
    }
    let mut before = bench.clone();
    // Acts come last, one step each.
    let undone = args.world.acts.iter().try_for_each(|_| before.apply(Action::Undo));
    let did = if undone.is_ok() && !args.world.acts.is_empty() { difference(&before, &bench) } else { Vec::new() };
    print(&as_text(&bench, &verdict, &did, &readings));
    Ending::Done
}

/// The five links a line each, then readings, hazards, what the acts did, reasons and what is changed.
fn as_text(bench: &Bench, verdict: &Verdict, did: &[Words], readings: &[Shown]) -> String {
    let mut lines = vec![format!("{}: {}", bench.circuit().title(), headline(verdict.standing)), String::new()];
    if verdict.chain.is_empty() {
        lines.pop();
    }
    for link in &verdict.chain {
        let mark = if link.holds { ' ' } else { '!' };
        lines.push(format!("{mark} {:<8} {:<10} {}", link.name.word(), link.word, link.number));
    }
    if let Some(broken) = verdict.chain.iter().find(|link| !link.holds) {
        lines.push(format!("  The chain parts at {}.", broken.name.word()));
    }
    if !readings.is_empty() {
        lines.push("\nReadings".to_owned());
        lines.extend(reading_lines(readings));
    }
    if !verdict.hazards.is_empty() {
        lines.push("\nHazards".to_owned());
        for hazard in &verdict.hazards {
            let signal = hazard.level.word().to_uppercase();
            lines.extend(wrapped(&format!("{signal}, {}, at {}: {}", hazard.kind.word(), hazard.at, hazard.text)));
        }
    }
    if !did.is_empty() {
        lines.push("\nWhat the acts did".to_owned());
    }
    did.iter().for_each(|sentence| lines.extend(wrapped(sentence)));
    if !verdict.because.is_empty() {
        lines.push("\nBecause".to_owned());
    }
    verdict.because.iter().for_each(|sentence| lines.extend(wrapped(sentence)));
    let changed = changed(bench);
    if !changed.is_empty() {
        lines.push("\nChanged, to be put back".to_owned());
        changed.iter().for_each(|act| lines.push(format!("  {act}")));
    }
    close(&mut lines);
    lines.join("\n") + "\n"
}

/// Ends an answer: what the mark on a number means, where one has it, and the safety line.
pub(super) fn close(lines: &mut Vec<String>) {
    let note = example_note(lines.iter().map(String::as_str));
    if let Some(note) = note {
        lines.push(format!("\n{note}."));
    }
    lines.push("\nSafety".to_owned());
    lines.extend(wrapped(&SAFETY));
}

/// What the clutch does, in a clause.
pub(super) fn headline(standing: Standing) -> String {
    match standing {
        Standing::Engaged => "the clutch is engaged, the fan is driven".to_owned(),
        Standing::Released => "the clutch is released, the fan runs free".to_owned(),
        Standing::Slipping => "the clutch is slipping".to_owned(),
        Standing::Unsettled => "the circuit never comes to rest".to_owned(),
        Standing::None => "there is no air valve in this circuit, so no clutch to speak of".to_owned(),
    }
}

/// A sentence in lines of at most 100 characters, set in by two, later lines by four.
pub(super) fn wrapped(sentence: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::from(" ");
    for word in sentence.split_whitespace() {
        if line.chars().count() + 1 + word.chars().count() > 100 {
            lines.push(std::mem::replace(&mut line, "   ".to_owned()));
        }
        line.push(' ');
        line.push_str(word);
    }
    lines.push(line);
    lines
}

/// What each instrument shows a line, its notes below it.
fn reading_lines(readings: &[Shown]) -> Vec<String> {
    let names: Vec<String> = readings.iter().map(|shown| shown.reading.to_string()).collect();
    let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    let mut lines = Vec::new();
    for (name, shown) in names.iter().zip(readings) {
        lines.push(format!("  {name:<width$}  {}", shown.value.words()));
        let notes = shown.notes.iter().flat_map(|note| wrapped(note));
        lines.extend(notes.map(|line| format!("  {line}")));
    }
    lines
}

/// Acts still in effect, in full.
fn changed(bench: &Bench) -> Vec<String> {
    bench
        .changes()
        .into_iter()
        .filter_map(|change| match change {
            Change::Done(act) => Some(act.in_full()),
            Change::BlownFuse(_) | Change::Faulty(_) => None,
        })
        .collect()
}

#[derive(Serialize)]
struct Answer<'a> {
    title: &'a str,
    clutch: Value,
    settled: bool,
    valves: Map<String, Value>,
    terminals: Map<String, Value>,
    wires: Map<String, Value>,
    contacts: Map<String, Value>,
    fuses: Map<String, Value>,
    hazards: Vec<Value>,
    because: &'a [Words],
    changed: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    readings: Option<Map<String, Value>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    notes: Option<Map<String, Value>>,
}

/// The contract's JSON, every map in file order.
fn as_json(bench: &Bench, verdict: &Verdict, readings: &[Shown]) -> String {
    let text = serde_json::to_string_pretty(&answer(bench, verdict, readings)).expect(PLAIN);
    text + "\n"
}

const PLAIN: &str = "plain maps and numbers always make JSON";

/// The same on a bench without readings, as a part of another answer.
pub(super) fn verdict_json(bench: &Bench, verdict: &Verdict) -> Value {
    serde_json::to_value(answer(bench, verdict, &[])).expect(PLAIN)
}

fn answer<'a>(bench: &'a Bench, verdict: &'a Verdict, readings: &[Shown]) -> Answer<'a> {
    let circuit = bench.circuit();
    let outcome = bench.outcome();
    let asked = !readings.is_empty();
    let noted = readings.iter().filter(|shown| !shown.notes.is_empty());
    Answer {
        title: circuit.title(),
        clutch: json!({
            "state": verdict.standing.word(),
            "chamber_psi": outcome.chamber_kpa.map(|kpa| kpa / KPA_PER_PSI),
            "torque_margin": outcome.clutch.map(|clutch| clutch.torque_margin),
        }),
        settled: outcome.settled(),
        valves: valves(circuit, outcome),
        terminals: circuit
            .terminals_with_ids()
            .map(|(id, _)| (circuit.terminal_words(id), json!(outcome.volts_at(id))))
            .collect(),
        wires: circuit.wires_with_ids().map(|(id, wire)| (wire.tag.clone(), json!(outcome.amps_in(id)))).collect(),
        contacts: contacts(circuit, outcome),
        fuses: fuses(circuit, bench.inputs(), outcome),
        hazards: verdict.hazards.iter().map(hazard_json).collect(),
        because: &verdict.because,
        changed: changed(bench),
        readings: asked
            .then(|| readings.iter().map(|shown| (shown.reading.to_string(), value_json(&shown.value))).collect()),
        notes: asked.then(|| noted.map(|shown| (shown.reading.to_string(), json!(shown.notes.join(" ")))).collect()),
    }
}

/// What an instrument shows, as the contract writes it: a number, a word, or null.
pub(super) fn value_json(shown: &Shows) -> Value {
    match shown {
        Shows::Volts(number) | Shows::Ohms(number) | Shows::Psi(number) => json!(number),
        Shows::Amps(amps) => json!(amps),
        Shows::Lamp(glow) => json!(glow.word()),
        Shows::Fan(standing) => json!(standing.word()),
    }
}

/// A hazard as the contract writes it.
pub(super) fn hazard_json(hazard: &Hazard) -> Value {
    json!({"kind": hazard.kind.word(), "level": hazard.level.word(), "at": hazard.at, "text": hazard.text})
}

fn valves(circuit: &Circuit, outcome: &Outcome) -> Map<String, Value> {
    outcome
        .valves
        .iter()
        .filter_map(|valve| {
            let coil = outcome.coils.get(&valve.part)?;
            let reading = json!({
                "coil_volts": coil.volts,
                "coil_amps": coil.amps,
                "energised": coil.energised,
                "passing": valve.passing,
            });
            Some((circuit.part(valve.part).tag.clone(), reading))
        })
        .collect()
}

fn contacts(circuit: &Circuit, outcome: &Outcome) -> Map<String, Value> {
    outcome
        .contacts
        .iter()
        .map(|contact| {
            let name = contact
                .terminal
                .map_or_else(|| circuit.part(contact.part).tag.clone(), |terminal| circuit.terminal_words(terminal));
            let word = match contact.position {
                Contact::Open => "open",
                Contact::Closed => "closed",
            };
            (name, json!(word))
        })
        .collect()
}

fn fuses(circuit: &Circuit, inputs: &Inputs, outcome: &Outcome) -> Map<String, Value> {
    circuit
        .parts_with_ids()
        .filter(|(_, part)| matches!(part.kind, Kind::Fuse(_)))
        .map(|(id, part)| {
            let blown = outcome.memory.fuse_blown(inputs, id);
            let state = if blown { "blown" } else { "good" };
            (part.tag.clone(), json!({"amps": outcome.part_amps[id.index()].abs(), "state": state}))
        })
        .collect()
}

/// The verdict on a circuit as built, as text.
pub(super) fn as_built(circuit: Arc<Circuit>) -> String {
    let bench = Bench::new(circuit);
    let verdict = crate::study::verdict(&bench);
    as_text(&bench, &verdict, &[], &[])
}

/// Says a number of things, one or many.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn long_sentences_are_set_in_and_never_cut() {
        let sentence = "word ".repeat(60);
        let lines = wrapped(&sentence);
        assert!(lines.len() > 1 && lines.iter().all(|l| l.chars().count() <= 100), "{lines:?}");
        assert_eq!(lines.join(" ").split_whitespace().count(), 60);
    }
}
