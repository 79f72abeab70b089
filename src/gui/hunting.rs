//! A hunt that is being made ready: the fault is hidden beside the window, and handed over once.
//!
//! Yields [`Hunting`] and the steps of a hunt. The hunt itself, once it has begun, is the session's.

use std::hash::{BuildHasher, Hasher};
use std::sync::Arc;

use egui::Context;

use crate::bench::{Fault, Reading, Refusal};
use crate::circuit::Circuit;
use crate::study::find::Options;
use crate::study::hunt::Hunt;

use super::background::Job;
use super::instrument::Device;

/// One step of a hunt.
#[derive(Clone, Debug, PartialEq)]
pub enum HuntStep {
    /// Hide a fault by this seed.
    Begin(u64),
    /// Do not, after all.
    Stop,
    /// Read this instrument.
    Read(Device),
    /// Take a reading that needs no instrument of the tray.
    Take(Reading),
    /// Take this fuse out and look at it.
    Look(String),
    /// Say what it is.
    Guess(Fault),
    /// End it unfound.
    GiveUp,
    /// Put it away.
    End,
}

/// A hunt on its way.
#[derive(Debug, Default)]
pub struct Hunting {
    seed: Option<u64>,
    job: Option<Job<Result<Hunt, Refusal>>>,
    refused: Option<Refusal>,
}

impl Hunting {
    /// Begins to hide a fault.
    pub fn begin(&mut self, ctx: &Context, circuit: Arc<Circuit>, seed: u64) {
        self.seed = Some(seed);
        self.refused = None;
        self.job = Some(Job::begin(ctx, move |progress| {
            let hunt = Hunt::begin_while_wanted(circuit, seed, Options::default(), progress);
            (!progress.is_stopped()).then_some(hunt)
        }));
    }

    /// Stops that.
    pub fn stop(&mut self) {
        self.job = None;
    }

    /// The hunt, once, when it is ready.
    pub fn take(&mut self) -> Option<Hunt> {
        let ready = self.job.as_ref()?.take()?;
        self.job = None;
        match ready {
            Ok(hunt) => Some(hunt),
            Err(refusal) => {
                self.refused = Some(refusal);
                None
            }
        }
    }

    /// The number the fault was hidden by.
    pub fn seed(&self) -> Option<u64> {
        self.seed
    }

    /// Why there is no hunt.
    pub fn refused(&self) -> Option<&Refusal> {
        self.refused.as_ref()
    }

    /// Whether one is being made ready.
    pub fn is_at_work(&self) -> bool {
        self.job.is_some()
    }

    /// Steps done, of how many.
    pub fn steps(&self) -> (usize, usize) {
        self.job.as_ref().map_or((0, 0), Job::steps)
    }
}

/// Largest number drawn: short enough to be called out in a class.
const LARGEST: u64 = 9999;

/// A number nobody has chosen.
pub fn draw_a_number() -> u64 {
    std::collections::hash_map::RandomState::new().build_hasher().finish() % LARGEST + 1
}
