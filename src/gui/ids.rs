//! Where every widget that must keep its identity gets it from: the thing it stands for.
//!
//! Yields egui ids made of the circuit's own numbers, never of titles or list positions, so that the keyboard stays
//! where it was when lists grow and contacts move. egui's automatic ids serve the rest.

use egui::Id;

use crate::drawing::Subject;
use crate::study::answer::LinkName;

use super::condition::Condition;

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

/// A condition's scale.
pub fn scale(condition: Condition) -> Id {
    Id::unique(("scale", condition))
}

/// A condition's typed value.
pub fn value_field(condition: Condition) -> Id {
    Id::unique(("value", condition))
}
