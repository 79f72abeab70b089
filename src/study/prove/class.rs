//! How fit a way of proving is, from its dangers and from where the hand goes.
//!
//! The hazards decide what is dangerous or not advised; of the rest, what stays at a switch's own contacts, at a
//! plug, at one wire or at a switch made for hands is what the trade does (common practice, no source). Finding the
//! hazards is left to [`hazard`](super::super::hazard).

use crate::bench::{Act, Point};
use crate::circuit::{Circuit, Kind};
use crate::study::answer::{Hazard, Level};

/// How fit a way of proving is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// What the trade does, with nothing worse than a caution.
    Usual,
    /// Nothing worse than a caution, but not where a technician would put a hand.
    Workable,
    /// Carries a warning.
    NotAdvised,
    /// Carries a danger.
    Dangerous,
}

impl Class {
    /// The word in the contract's JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Workable => "workable",
            Self::NotAdvised => "not-advised",
            Self::Dangerous => "dangerous",
        }
    }
}

/// Class of `acts` that leave these hazards.
pub(super) fn of(circuit: &Circuit, acts: &[Act], hazards: &[Hazard]) -> Class {
    match hazards.iter().map(|h| h.level).min() {
        Some(Level::Danger) => Class::Dangerous,
        Some(Level::Warning) => Class::NotAdvised,
        Some(Level::Caution) | None if acts.iter().all(|act| at_its_place(circuit, act)) => Class::Usual,
        Some(Level::Caution) | None => Class::Workable,
    }
}

/// Whether a hand goes where the trade's hands go: a lead only across the contacts of one switch.
fn at_its_place(circuit: &Circuit, act: &Act) -> bool {
    let Act::Jump { a: Point::Terminal(a), b: Point::Terminal(b), .. } = act else {
        return !matches!(act, Act::Jump { .. });
    };
    let (Some(a), Some(b)) = (circuit.terminal_named(a), circuit.terminal_named(b)) else { return false };
    let part = circuit.terminal(a).part;
    let contact = |t| matches!(circuit.terminal(t).name.as_str(), "30" | "87" | "87a");
    part == circuit.terminal(b).part
        && match &circuit.part(part).kind {
            Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) | Kind::HandSwitch(_) | Kind::SelectorSwitch(_) => {
                true
            }
            Kind::Relay(_) => contact(a) && contact(b),
            _ => false,
        }
}
