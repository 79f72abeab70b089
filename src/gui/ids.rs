//! Where every widget that must keep its identity gets it from: the thing it stands for.
//!
//! Yields egui ids made of the circuit's own numbers, never of titles or list positions, so that the keyboard stays
//! where it was when lists grow and contacts move. egui's automatic ids serve the rest.

use egui::Id;

use crate::bench::Act;
use crate::study::answer::{Hazard, LinkName, Subject};

use super::condition::Condition;
use super::instrument::Device;
use super::seen::Proving;
use super::space::Beside;
use super::tool::ToolKind;

/// A target in the drawing.
pub fn subject(subject: Subject) -> Id {
    Id::unique(("subject", subject))
}

/// The drawing itself.
pub fn board() -> Id {
    Id::unique("board")
}

/// A link of the chain.
pub fn link(name: LinkName) -> Id {
    Id::unique(("link", name as u8))
}

/// The strip of what is folded beside the drawing.
pub fn strip(beside: Beside) -> Id {
    Id::unique(("strip", beside as u8))
}

/// A tool in the tray.
pub fn tool(kind: ToolKind) -> Id {
    Id::unique(("tool", kind as u8))
}

/// A hazard of the present state.
pub fn hazard(place: Id, hazard: &Hazard) -> Id {
    place.with(("hazard", hazard.kind.word(), hazard.at.as_str()))
}

/// A proving act in its list.
pub fn proving(what: Proving, acts: &[Act]) -> Id {
    Id::unique(("proving", what as u8, acts.iter().map(Act::to_string).collect::<Vec<_>>()))
}

/// A row of the fault table, by the fault's grammar.
pub fn fault_row(fault: &str) -> Id {
    Id::unique(("fault row", fault))
}

/// A guess in a hunt, by the fault's grammar.
pub fn guess(fault: &str) -> Id {
    Id::unique(("guess", fault))
}

/// A kind of part that can be added.
pub fn kind(word: &'static str) -> Id {
    Id::unique(("kind", word))
}

/// Something doubtful about the circuit, by its place in the list.
pub fn doubt(place: usize) -> Id {
    Id::unique(("doubt", place))
}

/// A row of the logic table.
pub fn table_row(row: usize) -> Id {
    Id::unique(("table row", row))
}

/// What an instrument shows.
pub fn face(device: Device) -> Id {
    Id::unique(("face", device as u8))
}

/// A pressure gauge.
pub fn gauge(place: usize) -> Id {
    Id::unique(("gauge", place))
}

/// The key switch of the conditions.
pub fn key() -> Id {
    Id::unique("key")
}

/// What the driver says in a hunt.
pub fn hunt() -> Id {
    Id::unique("hunt")
}

/// The fan at the end of the chain, or the words in its place.
pub fn fan() -> Id {
    Id::unique("fan")
}

/// The forecast beside the pointer.
pub fn forecast() -> Id {
    Id::unique("forecast")
}

/// The amount of a fault, by what stands before it.
pub fn fault_amount(fault: &str) -> Id {
    Id::unique(("fault amount", fault))
}

/// What is said while a file is held over the window.
pub fn hovering() -> Id {
    Id::unique("hovering")
}

/// What lies over the window.
pub fn dialog() -> Id {
    Id::unique("dialog")
}

/// A condition's scale.
pub fn scale(condition: Condition) -> Id {
    Id::unique(("scale", condition))
}

/// A condition's typed value.
pub fn value_field(condition: Condition) -> Id {
    Id::unique(("value", condition))
}
