//! `fanloom prove`: every act and pair of acts that engages or releases the clutch by hand, classed.
//!
//! Only shapes the answer; it is found by [`study::prove`](crate::study::prove).

use serde_json::{Value, json};

use crate::bench::{Act, Bench};
use crate::study::prove::{Class, Proof, ProvingAct, prove};
use crate::study::wording::SAFETY;

use super::args::StateArgs;
use super::exit::{Ending, complain, print};
use super::plan::asked_of;
use super::verdict::{counted, hazard_json, wrapped};

/// Dangerous and not-advised pairs beyond this many are counted in the text, not listed; JSON has them all.
const LISTED_PAIRS: usize = 12;

pub(super) fn run(args: &StateArgs, colour: bool) -> Ending {
    let bench = match asked_of(args, colour) {
        Ok(bench) => bench,
        Err(complaints) => return complain(&complaints),
    };
    let proof = prove(&bench);
    print(&if args.json { as_json(&proof) } else { as_text(&bench, &proof) });
    Ending::Done
}

fn as_json(proof: &Proof) -> String {
    let answer = json!({
        "at_rest": proof.at_rest.word(),
        "engage": proof.engage.iter().map(act_json).collect::<Vec<_>>(),
        "release": proof.release.iter().map(act_json).collect::<Vec<_>>(),
        "release_from": proof.release_from,
        "considered": proof.considered,
    });
    serde_json::to_string_pretty(&answer).expect("plain maps always make JSON") + "\n"
}

fn act_json(act: &ProvingAct) -> Value {
    let mut answer = json!({
        "acts": act.acts.iter().map(Act::to_string).collect::<Vec<_>>(),
        "class": act.class.word(),
        "hazards": act.hazards.iter().map(hazard_json).collect::<Vec<_>>(),
        "because": act.because,
    });
    if !act.same_as.is_empty() {
        answer["same_as"] = json!(act.same_as);
    }
    answer
}

fn as_text(bench: &Bench, proof: &Proof) -> String {
    let mut lines = vec![format!("{}: at rest the clutch is {}", bench.circuit().title(), proof.at_rest.word())];
    lines.push("\nTo engage".to_owned());
    section(&proof.engage, &mut lines);
    match &proof.release_from {
        Some(tag) => {
            lines.push(format!("\nTo release, with {tag} made to act"));
            section(&proof.release, &mut lines);
        }
        None => {
            lines.push("\nNo single sensor engages this clutch, so there is nothing to release by hand.".to_owned())
        }
    }
    lines.push(format!("\n{} tried.", counted(proof.considered, "act or pair", "acts and pairs")));
    lines.push("\nSafety".to_owned());
    lines.extend(wrapped(SAFETY));
    lines.join("\n") + "\n"
}

fn section(acts: &[ProvingAct], lines: &mut Vec<String>) {
    if acts.is_empty() {
        lines.push("  no act and no pair of acts does".to_owned());
    }
    for class in [Class::Usual, Class::Workable, Class::NotAdvised, Class::Dangerous] {
        let of_class: Vec<&ProvingAct> = acts.iter().filter(|a| a.class == class).collect();
        let (singles, pairs): (Vec<_>, Vec<_>) = of_class.into_iter().partition(|a| a.acts.len() == 1);
        let grave = class >= Class::NotAdvised;
        let shown = if grave { LISTED_PAIRS.min(pairs.len()) } else { pairs.len() };
        for act in singles.iter().chain(&pairs[..shown]) {
            let words: Vec<String> = act.acts.iter().map(Act::to_string).collect();
            lines.push(format!("  {:<12} {}", class.word(), words.join(" and ")));
            for hazard in act.hazards.iter().filter(|h| grave && h.level.word() != "caution") {
                lines.extend(
                    wrapped(&format!("{}: {}", hazard.level.word().to_uppercase(), hazard.text))
                        .iter()
                        .map(|l| format!("             {l}")),
                );
            }
        }
        if shown < pairs.len() {
            lines.push(format!(
                "  {:<12} and {} more (all in --json)",
                class.word(),
                counted(pairs.len() - shown, "pair", "pairs")
            ));
        }
    }
}
