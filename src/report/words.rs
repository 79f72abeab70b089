//! Acts in the words of a card.
//!
//! Yields [`in_words`], what a hand does first and in bold, and what some acts name in the drawing. Which acts are
//! told is decided by [`acts`](super::acts); the grammar they are typed in is the bench's.

use std::collections::BTreeSet;

use crate::bench::{Act, Point};
use crate::circuit::{Circuit, Contact, Kind};
use crate::study::answer::Subject;
use crate::study::wording;

use super::page::{Run, bold, plain};

/// Some acts as a sentence, with what comes off first where that matters.
pub(super) fn in_words(circuit: &Circuit, acts: &[Act]) -> Vec<Run> {
    let mut runs = Vec::new();
    for (i, act) in acts.iter().enumerate() {
        if i > 0 {
            runs.push(plain(", then "));
        }
        runs.extend(act_in_words(circuit, act, &acts[..i]));
    }
    if let [Act::Unplug { .. } | Act::Turn { .. } | Act::Lift(_), .., Act::Jump { .. }] = acts {
        runs.push(plain("; the lead comes off first"));
    }
    runs
}

fn act_in_words(circuit: &Circuit, act: &Act, before: &[Act]) -> Vec<Run> {
    let kind = |tag: &str| {
        let kind = circuit.part_named(tag).map(|id| wording::kind_name(&circuit.part(id).kind));
        format!(", the {}", kind.unwrap_or("part"))
    };
    match act {
        Act::Turn { switch, to } => {
            // The grammar's `on` is "moved from rest"; which way that goes is the contact's to say.
            let contact = circuit.part_named(switch).and_then(|id| match &circuit.part(id).kind {
                Kind::HandSwitch(hand) if to == "on" => Some(hand.rest.flipped()),
                Kind::HandSwitch(hand) => Some(hand.rest),
                _ => None,
            });
            let words = match contact {
                Some(Contact::Open) => format!("Open {switch}"),
                Some(Contact::Closed) => format!("Close {switch}"),
                None => format!("Turn {switch} to {to}"),
            };
            vec![bold(words), plain(kind(switch))]
        }
        Act::Press { switch } => vec![bold(format!("Press {switch}")), plain(format!("{}, and let go", kind(switch)))],
        Act::Unplug { part } => vec![bold(format!("Unplug {part}")), plain(kind(part))],
        Act::Lift(end) => vec![bold(format!("Lift {} off {}", end.wire, end.terminal)), plain(" and cap it")],
        Act::Jump { a, b, fuse } => {
            let first = if before.is_empty() { "Fused" } else { "fused" };
            let rating = fuse.amps().map_or_else(|| "unfused lead".to_owned(), |amps| format!("{first} lead {amps} A"));
            let owner = |point: &Point| match point {
                Point::Terminal(words) => circuit.terminal_named(words).map(|t| circuit.terminal(t).part),
                Point::LooseEnd(_) => None,
            };
            let across = match (owner(a), owner(b)) {
                (Some(one), Some(other)) if one == other => {
                    let tag = &circuit.part(one).tag;
                    match before.contains(&Act::Unplug { part: tag.clone() }) {
                        true => " in its open plug".to_owned(),
                        false => format!(" across {tag}{}", kind(tag)),
                    }
                }
                _ => String::new(),
            };
            vec![bold(format!("{rating}: {a} to {b}")), plain(across)]
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
