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

/// A target in the drawing of the circuit of this number.
pub fn subject(bay: u32, subject: Subject) -> Id {
    Id::unique(("subject", bay, subject))
}

/// The drawing itself.
pub fn board(bay: u32) -> Id {
    Id::unique(("board", bay))
}

/// A link of the circuit's chain.
pub fn link(bay: u32, name: LinkName) -> Id {
    Id::unique(("link", bay, name as u8))
}

/// Whose chain it is, where two are seen.
pub fn chain_name(bay: u32) -> Id {
    Id::unique(("chain of", bay))
}

/// A circuit's name in the row of those that are open.
pub fn bay(bay: u32) -> Id {
    Id::unique(("bay", bay))
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

/// A step of a demonstration, by its place.
pub fn demonstrated(place: usize) -> Id {
    Id::unique(("demonstrated", place))
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
pub fn gauge(bay: u32, place: usize) -> Id {
    Id::unique(("gauge", bay, place))
}

/// The key switch of the conditions.
pub fn key() -> Id {
    Id::unique("key")
}

/// What the driver says in a hunt.
pub fn hunt(bay: u32) -> Id {
    Id::unique(("hunt", bay))
}

/// The fan at the end of the chain, or the words in its place.
pub fn fan(bay: u32) -> Id {
    Id::unique(("fan", bay))
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

/// Where the drawer that is out begins.
pub fn drawer_head() -> Id {
    Id::unique("drawer head")
}

/// What is written to a step of a demonstration, or to all of it.
pub fn written_to(step: Option<usize>) -> Id {
    Id::unique(("written to", step))
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
