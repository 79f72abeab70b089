//! Where a person has put a part on the drawing.
//!
//! A place counts in steps of the drawing's grid; what a step is there, and where all other parts go, is left to the
//! drawing. It says nothing about the truck: two circuits that differ in places alone are the same wiring.

use serde::{Deserialize, Serialize};

/// Furthest place, in steps either way; only shuts out what cannot be meant.
pub const FURTHEST: i32 = 4000;

/// A place on the drawing, in steps of its grid from the corner at which the drawing begins by itself. Less than
/// nothing is left of that corner, or above it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct At {
    /// Steps to the right: the axis of the symbol.
    pub right: i32,
    /// Steps down: the symbol's top.
    pub down: i32,
}

impl At {
    /// The place so many steps further, no further than there are places.
    #[must_use]
    pub fn moved(self, right: i32, down: i32) -> Self {
        let within = |steps: i32, more: i32| steps.saturating_add(more).clamp(-FURTHEST, FURTHEST);
        Self { right: within(self.right, right), down: within(self.down, down) }
    }
}
