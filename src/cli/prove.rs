//! `fanloom prove`: every act and pair of acts that engages or releases the clutch by hand, classed.
//!
//! Only shapes the answer; it is found by [`study::prove`](crate::study::prove).

use serde_json::{Value, json};

use crate::bench::{Act, Bench};
use crate::study::answer::Standing;
use crate::study::prove::{Class, MOST_PAIRS, Place, Proof, ProvingAct, prove_while_wanted};
use crate::study::wording::{self, SAFETY};

use super::args::ProveArgs;
use super::exit::{Ending, complain, print};
use super::plan::{Complaint, asked_of};
use super::progress::watched;
use super::verdict::{counted, hazard_json, wrapped};

/// Pairs of a class beyond this many are counted in the text, not listed; JSON has them all.
const LISTED_PAIRS: usize = 12;

pub(super) fn run(args: &ProveArgs, colour: bool) -> Ending {
    let bench = match asked_of(&args.state, colour) {
        Ok(bench) => bench,
        Err(complaints) => return complain(&complaints),
    };
    let place = match &args.at {
        None => Place::Anywhere,
        Some(tags) => match Place::at(bench.circuit(), tags.split(',')) {
            Ok(place) => place,
            Err(refusal) => return complain(&[Complaint::of(&refusal, "--at", tags)]),
        },
    };
    let proof = watched("acts and pairs", |progress| prove_while_wanted(&bench, &place, progress));
    let proof = proof.expect("nobody but this line holds the progress to stop it");
    print(&if args.state.json { as_json(&proof) } else { as_text(&bench, &proof) });
    Ending::Done
}

fn as_json(proof: &Proof) -> String {
    let mut answer = json!({
        "at_rest": proof.at_rest.word(),
        "engage": proof.engage.iter().map(act_json).collect::<Vec<_>>(),
        "release": proof.release.iter().map(act_json).collect::<Vec<_>>(),
        "release_from": proof.release_from,
        "considered": proof.considered,
    });
    if let Some(at) = &proof.scope.at {
        answer["at"] = json!(at);
    }
    if let Some(left) = proof.scope.pairs_left {
        answer["pairs_left"] = json!(left);
    }
    serde_json::to_string_pretty(&answer).expect("plain maps always make JSON") + "\n"
}

fn act_json(act: &ProvingAct) -> Value {
    let mut answer = json!({
        "acts": act.acts.iter().map(Act::to_string).collect::<Vec<_>>(),
        "class": act.class.word(),
        "hazards": act.hazards.iter().map(hazard_json).collect::<Vec<_>>(),
        "because": act.because.iter().chain(&act.mind).collect::<Vec<_>>(),
    });
    if !act.same_as.is_empty() {
        answer["same_as"] = json!(act.same_as);
    }
    answer
}

fn as_text(bench: &Bench, proof: &Proof) -> String {
    let title = bench.circuit().title();
    if proof.at_rest == Standing::None {
        return format!("{title}: there is no air valve in this circuit, so there is no clutch to prove\n");
    }
    let mut lines = vec![format!("{title}: at rest the clutch is {}", proof.at_rest.word())];
    lines.push("\nTo engage".to_owned());
    if proof.at_rest == Standing::Engaged {
        lines.push("  it is engaged already, with nothing done".to_owned());
    } else {
        section(&proof.engage, &mut lines);
    }
    match &proof.release_from {
        Some(tag) => {
            lines.push(format!("\nTo release, with {tag} made to act"));
            section(&proof.release, &mut lines);
        }
        None => {
            lines.push("\nNo single sensor engages this clutch, so there is nothing to release by hand.".to_owned());
        }
    }
    lines.push(format!("\n{} tried.", counted(proof.considered, "act or pair", "acts and pairs")));
    lines.extend(left_out(bench, proof));
    lines.push("\nSafety".to_owned());
    lines.extend(wrapped(&SAFETY));
    lines.join("\n") + "\n"
}

/// What was not tried.
fn left_out(bench: &Bench, proof: &Proof) -> Vec<String> {
    let scope = &proof.scope;
    let mut lines = Vec::new();
    if let Some(at) = &scope.at {
        let why = if scope.is_asked {
            "as asked"
        } else {
            "what the clutch hangs on, for at all parts there would be too many pairs; `--at TAG,...` asks for others"
        };
        let (parts, all) = (counted(at.len(), "part", "parts"), bench.circuit().parts().len());
        let said = format!("Tried only at {parts} of {all} and at chassis and battery ({why}): {}.", at.join(", "));
        lines.extend(wrapped(&said));
    }
    if let Some(left) = scope.pairs_left {
        let said = format!(
            "Single acts only: {left} pairs are more than the {MOST_PAIRS} that are tried; `--at TAG,...` asks for acts at a few parts."
        );
        lines.extend(wrapped(&said));
    }
    lines
}

fn section(acts: &[ProvingAct], lines: &mut Vec<String>) {
    if acts.is_empty() {
        lines.push("  no act and no pair of acts does".to_owned());
        return;
    }
    let words = |act: &ProvingAct| act.acts.iter().map(Act::to_string).collect::<Vec<_>>().join(" and ");
    let widest = acts.iter().map(|act| words(act).chars().count()).max().unwrap_or(0);
    let mut why_said = false;
    for class in Class::ALL {
        let of_class: Vec<&ProvingAct> = acts.iter().filter(|a| a.class == class).collect();
        let (singles, pairs): (Vec<_>, Vec<_>) = of_class.into_iter().partition(|a| a.acts.len() == 1);
        let shown = LISTED_PAIRS.min(pairs.len());
        for act in singles.iter().chain(&pairs[..shown]) {
            lines.push(format!("  {:<12} {:<widest$}  {}", class.word(), words(act), shows(act)));
            if class >= Class::NotAdvised {
                lines.extend(gravest(act).iter().flat_map(|text| indented(text)));
            } else if !why_said {
                why_said = true;
                lines.extend(indented(&act.because.join(" ")));
                lines.extend(act.mind.iter().flat_map(|text| indented(text)));
            }
        }
        if shown < pairs.len() {
            let more = counted(pairs.len() - shown, "pair", "pairs");
            lines.push(format!("  {:<12} and {more} more (all in --json)", class.word()));
        }
    }
}

/// What coil and gauge show after an act.
fn shows(act: &ProvingAct) -> String {
    let coil = act.coil_volts.map_or_else(|| "coil floating".to_owned(), |v| format!("coil {}", wording::volts(v)));
    format!("{coil}, clutch {}", wording::psi(act.chamber_kpa.unwrap_or(0.0)))
}

/// Why an act is not fit to be recommended: that it proves nothing, and its gravest hazard.
fn gravest(act: &ProvingAct) -> Vec<String> {
    let false_pass = act.mind.iter().find(|text| **text == wording::FALSE_PASS).map(ToString::to_string);
    let first = act.hazards.first().map(|h| format!("{}: {}", h.level.word().to_uppercase(), h.text));
    first.into_iter().chain(false_pass).collect()
}

fn indented(text: &str) -> Vec<String> {
    wrapped(text).iter().map(|line| format!("             {line}")).collect()
}
