//! Acts in the words of a card.
//!
//! Yields [`in_words`], what a hand does first and in bold, and what some acts name in the drawing. Which acts are
//! told is decided by [`acts`](super::acts); the grammar they are typed in is the bench's.

use std::collections::BTreeSet;

use crate::bench::{Act, Point};
use crate::circuit::{Circuit, Contact};
use crate::study::answer::Subject;
use crate::study::wording;

use super::page::{Phrase, phrase, strong};
use crate::words::{Words, say};

/// Some acts as a sentence, with what comes off first where that matters.
pub(super) fn in_words(circuit: &Circuit, acts: &[Act]) -> Vec<Phrase> {
    let mut runs = Vec::new();
    for (i, act) in acts.iter().enumerate() {
        if i > 0 {
            runs.push(phrase(say!("act-then")));
        }
        runs.extend(act_in_words(circuit, act, &acts[..i]));
    }
    if let [Act::Unplug { .. } | Act::Turn { .. } | Act::Lift(_), .., Act::Jump { .. }] = acts {
        runs.push(phrase(say!("act-the-lead-comes-off-first")));
    }
    runs
}

fn act_in_words(circuit: &Circuit, act: &Act, before: &[Act]) -> Vec<Phrase> {
    let kind = |tag: &str| {
        let kind = circuit.part_named(tag).map(|id| wording::kind_name(&circuit.part(id).kind));
        say!("act-the", kind = kind.unwrap_or_else(|| say!("act-part")))
    };
    match act {
        Act::Turn { switch, to } => {
            let words = match act.leaves_contact(circuit) {
                Some(Contact::Open) => say!("act-open", switch),
                Some(Contact::Closed) => say!("act-close", switch),
                None => say!("act-turn-to", switch, to),
            };
            vec![strong(words), phrase(kind(switch))]
        }
        Act::Press { switch } => {
            vec![strong(say!("act-press", switch)), phrase(say!("act-and-let-go", switch = kind(switch)))]
        }
        Act::Unplug { part } => vec![strong(say!("act-unplug", part)), phrase(kind(part))],
        Act::Lift(end) => {
            vec![strong(say!("act-lift-off", wire = end.wire, terminal = end.terminal)), phrase(say!("act-and-cap-it"))]
        }
        Act::Jump { a, b, fuse } => {
            let rating = match fuse.amps() {
                None => say!("act-unfused-lead"),
                Some(amps) if before.is_empty() => say!("act-fused", amps),
                Some(amps) => say!("act-fused-2", amps),
            };
            let owner = |point: &Point| match point {
                Point::Terminal(words) => circuit.terminal_named(words).map(|t| circuit.terminal(t).part),
                Point::LooseEnd(_) => None,
            };
            let across = match (owner(a), owner(b)) {
                (Some(one), Some(other)) if one == other => {
                    let tag = &circuit.part(one).tag;
                    match before.contains(&Act::Unplug { part: tag.clone() }) {
                        true => say!("act-in-its-open-plug"),
                        false => say!("act-across", tag, kind = kind(tag)),
                    }
                }
                _ => Words::default(),
            };
            vec![strong(say!("act-to", rating, a, b)), phrase(across)]
        }
    }
}

/// What some acts name in the drawing.
pub(super) fn subjects(circuit: &Circuit, acts: &[Act]) -> BTreeSet<Subject> {
    let mut found = BTreeSet::new();
    let mut terminal = |words: &str| found.extend(circuit.terminal_named(words).map(Subject::Terminal));
    for act in acts {
        match act {
            Act::Jump { a, b, .. } => {
                for point in [a, b] {
                    if let Point::Terminal(words) = point {
                        terminal(words);
                    }
                }
            }
            Act::Lift(end) => terminal(&end.terminal),
            Act::Turn { .. } | Act::Press { .. } | Act::Unplug { .. } => {}
        }
    }
    found
}
