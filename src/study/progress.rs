//! How far a long search has come, shared between the one who searches and the one who waits.
//!
//! Plain counters that threads may share: the search counts up and looks whether it is still wanted, the waiting side
//! reads the share done or says stop. Nothing here knows what is searched for or how the share is shown.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// The counters of one search.
#[derive(Debug, Default)]
pub struct Progress {
    stopped: AtomicBool,
    done: AtomicUsize,
    all: AtomicUsize,
}

impl Progress {
    /// Says that the answer is no longer wanted.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether the answer is no longer wanted.
    pub fn is_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    /// Adds work that is to be done.
    pub fn expect(&self, more: usize) {
        self.all.fetch_add(more, Ordering::Relaxed);
    }

    /// Counts work that has been done.
    pub fn count(&self, done: usize) {
        self.done.fetch_add(done, Ordering::Relaxed);
    }

    /// What has been done of what is known to be there to do, in whole steps.
    pub fn steps(&self) -> (usize, usize) {
        (self.done.load(Ordering::Relaxed), self.all.load(Ordering::Relaxed))
    }
}
