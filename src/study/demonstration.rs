//! What each step of a demonstration brings about: the links of the chain that change, what the fan does, why, and what is
//! dangerous then.
//!
//! Goes through the steps on a bench of its own. What a circuit cannot have is left out and told; words of acts are the
//! asker's.

use std::sync::Arc;

use crate::bench::demonstration::Demonstration;
use crate::bench::journal::Refused;
use crate::bench::{Bench, Refusal};
use crate::circuit::Circuit;
use crate::words::{Words, say};

use super::answer::{Hazard, LinkName, Standing, Verdict};
use super::{difference, verdict};

/// A link that changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Which.
    pub link: LinkName,
    /// Its word and number before.
    pub from: Words,
    /// And after.
    pub to: Words,
}

/// What a step brings about.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// The links that change, in the order of the chain.
    pub changed: Vec<Changed>,
    /// What the clutch does before and after.
    pub standing: (Standing, Standing),
    /// The link where the chain parts afterwards.
    pub parts_at: Option<LinkName>,
    /// Dangers that were not there before, gravest first.
    pub hazards: Vec<Hazard>,
    /// Why, in whole sentences from cause to effect.
    pub because: Vec<Words>,
}

/// What lies between two states of one circuit.
pub fn brought_about(before: &Bench, after: &Bench) -> Brought {
    let (old, new) = (verdict(before), verdict(after));
    let is_same = Arc::ptr_eq(&before.circuit_shared(), &after.circuit_shared());
    let told = |verdict: &Verdict, place: usize| {
        verdict
            .chain
            .get(place)
            .map_or_else(Words::default, |link| Words::joined([link.word.clone(), link.number.clone()], ", "))
    };
    let changed = new.chain.iter().enumerate().filter_map(|(place, link)| {
        let (from, to) = (told(&old, place), told(&new, place));
        (from != to).then_some(Changed { link: link.name, from, to })
    });
    Brought {
        changed: changed.collect(),
        standing: (old.standing, new.standing),
        parts_at: new.chain.iter().find(|link| !link.holds).map(|link| link.name),
        hazards: new.hazards.iter().filter(|hazard| !old.hazards.contains(hazard)).cloned().collect(),
        // Of a circuit that has been changed itself, what is told of one cannot be set beside the other.
        because: if is_same { difference(before, after) } else { Vec::new() },
    }
}

/// The circuit that a demonstration is gone through on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Its text.
    pub text: String,
    /// That it has changed since, or is not where it was, with what to do.
    pub told: Option<Words>,
    /// Its text as it is now, where that is another.
    pub now: Option<String>,
}

/// Which circuit a demonstration is gone through on: the one it holds, else the one it names. `now` is that as it is now,
/// or why it is not to be had.
///
/// # Errors
/// Where there is neither.
pub fn held(demonstration: &Demonstration, now: Result<Option<String>, String>) -> Result<Held, Refusal> {
    let text = demonstration.text.clone();
    match (now, text.is_empty()) {
        (Ok(Some(now)), false) if now != text => {
            Ok(Held { text, told: Some(say!("demonstration-circuit-changed")), now: Some(now) })
        }
        (Ok(Some(now)), true) => Ok(Held { text: now, told: None, now: None }),
        (Ok(_), false) => Ok(Held { text, told: None, now: None }),
        (Err(why), false) => Ok(Held { text, told: Some(say!("demonstration-circuit-gone", why)), now: None }),
        (Ok(None), true) => Err(Refusal::new(
            say!("demonstration-holds-no-circuit"),
            say!("demonstration-write-the-path", example = "File(\"my-truck.ron\")"),
        )),
        (Err(why), true) => {
            Err(Refusal::new(say!("demonstration-is-not-to-be-had", why), say!("demonstration-put-the-file-there")))
        }
    }
}

/// A demonstration gone through on a circuit.
#[derive(Clone, Debug)]
pub struct Through {
    /// The demonstration with the steps that this circuit can have.
    pub demonstration: Demonstration,
    /// What each of them brings about.
    pub brought: Vec<Brought>,
    /// The steps that it cannot have, and why.
    pub refused: Vec<Refused>,
    /// The bench at its end.
    pub end: Bench,
}

/// Goes through all steps on a circuit as built.
pub fn through(demonstration: Demonstration, circuit: Arc<Circuit>) -> Through {
    let mut end = Bench::new(circuit);
    let (mut brought, mut refused, mut steps) = (Vec::new(), Vec::new(), Vec::new());
    for step in demonstration.steps {
        let before = end.clone();
        match end.apply(step.does.clone()) {
            Ok(()) => {
                brought.push(brought_about(&before, &end));
                steps.push(step);
            }
            Err(refusal) => refused.push((step.does, refusal)),
        }
    }
    Through { demonstration: Demonstration { steps, ..demonstration }, brought, refused, end }
}
