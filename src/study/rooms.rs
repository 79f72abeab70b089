//! Room to settle in, used again by whoever is next.
//!
//! A [`Lean`] keeps the solved states of its circuit, so a search that runs on several threads does best with as few as
//! there are threads. What is settled is left to who asks.

use std::sync::{Mutex, PoisonError};

use crate::physics::engine::Lean;

/// The room that nobody uses just now.
#[derive(Debug, Default)]
pub(super) struct Rooms(Mutex<Vec<Lean>>);

impl Rooms {
    /// Does something in room that has been used before where some is free. Two that are nested use two.
    pub(super) fn with<R>(&self, act: impl FnOnce(&mut Lean) -> R) -> R {
        let spare = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let mut lean = spare().pop().unwrap_or_default();
        let done = act(&mut lean);
        spare().push(lean);
        done
    }
}
