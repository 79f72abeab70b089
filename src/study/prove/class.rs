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
    /// The classes, the fittest first.
    pub const ALL: [Self; 4] = [Self::Usual, Self::Workable, Self::NotAdvised, Self::Dangerous];

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

/// Whether a hand goes where the trade's hands go: a lead only across the contacts of one switch; a wire or a plug
/// only at a switch, relay or valve; a switch that is made for hands.
fn at_its_place(circuit: &Circuit, act: &Act) -> bool {
    let kind_of = |tag: &str| circuit.part_named(tag).map(|id| &circuit.part(id).kind);
    match act {
        Act::Turn { .. } | Act::Press { .. } => true,
        Act::Unplug { part } => kind_of(part).is_some_and(is_worked_on),
        Act::Lift(end) => circuit
            .terminal_named(&end.terminal)
            .is_some_and(|id| is_worked_on(&circuit.part(circuit.terminal(id).part).kind)),
        Act::Jump { a: Point::Terminal(a), b: Point::Terminal(b), .. } => across_contacts(circuit, a, b),
        Act::Jump { .. } => false,
    }
}

/// Whether a service text sends a technician to this kind of part to prove the clutch.
fn is_worked_on(kind: &Kind) -> bool {
    match kind {
        Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::HandSwitch(_)
        | Kind::SelectorSwitch(_)
        | Kind::Relay(_)
        | Kind::Timer(_)
        | Kind::AirValve(_) => true,
        Kind::Battery(_)
        | Kind::Fuse(_)
        | Kind::KeySwitch(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Module(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => false,
    }
}

fn across_contacts(circuit: &Circuit, a: &str, b: &str) -> bool {
    let (Some(a), Some(b)) = (circuit.terminal_named(a), circuit.terminal_named(b)) else { return false };
    let part = circuit.terminal(a).part;
    let name = |id| circuit.terminal(id).name.as_str();
    // From the common contact to one of the others: what the relay itself would join.
    let common = |one, other| name(one) == "30" && matches!(name(other), "87" | "87a");
    part == circuit.terminal(b).part
        && match &circuit.part(part).kind {
            Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) | Kind::HandSwitch(_) | Kind::SelectorSwitch(_) => {
                true
            }
            Kind::Relay(_) => common(a, b) || common(b, a),
            _ => false,
        }
}
