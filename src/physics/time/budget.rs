//! How many steps a stretch of time may take, so that no figure of a file can keep a run from ever ending.
//!
//! Yields [`Budget`], and [`Stuck`] where it is used up, with what kept the steps small. Which figure of the file that
//! is, and its mend, is said by the bench.

use std::collections::BTreeMap;

use super::plant::{CHAMBER, FAN, LINE, PLATE, TANK};
use super::step::Step;

/// Steps that a stretch of time may take whatever its length, and more for each second of it: a hundred times what a
/// circuit of any likely sizes takes.
const SPARE_STEPS: f64 = 100_000.0;
const STEPS_A_SECOND: f64 = 20_000.0;
/// Steps that no stretch may exceed: some seconds of work.
const MOST_STEPS: f64 = 2_000_000.0;
/// Shortest step, in seconds; no error makes one shorter.
pub(super) const LEAST_STEP: f64 = 1e-7;
/// Error over what is allowed from which even the shortest step is worth nothing. A jump of a slope comes to far less.
const HOPELESS: f64 = 10.0;

/// What changes too fast to be followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Swift {
    /// Pressure of the tanks.
    Tank,
    /// Pressure of the line.
    Line,
    /// Pressure of the clutch's chamber.
    Chamber,
    /// Speed of the fan.
    Fan,
    /// Warmth of the clutch's plate.
    Plate,
    /// Warmth of coolant or coils, whose figures are not the file's.
    Warmth,
    /// The circuit, which settles anew again and again.
    Circuit,
}

/// A run that cannot be followed any further: it would take more steps than anything likely does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stuck {
    /// Seconds from the beginning at which it stands.
    pub at_s: f64,
    /// What kept the steps small.
    pub by: Swift,
}

/// The steps that one stretch of time may still take, and what has kept them small.
#[derive(Debug)]
pub(super) struct Budget {
    left: u64,
    taken: u64,
    /// Changes of the circuit before it.
    changes: u64,
    /// Steps whose size each value decided.
    decided: BTreeMap<Swift, u64>,
}

impl Budget {
    pub(super) fn of(seconds: f64, changes: u64) -> Self {
        let left = (SPARE_STEPS + STEPS_A_SECOND * seconds.max(0.0)).min(MOST_STEPS) as u64;
        Self { left, taken: 0, changes, decided: BTreeMap::new() }
    }

    /// Counts one step taken or tried at a moment.
    pub(super) fn spend(&mut self, step: &Step, at_s: f64, changes: u64) -> Result<(), Stuck> {
        let swift = match step.worst {
            TANK => Swift::Tank,
            LINE => Swift::Line,
            CHAMBER => Swift::Chamber,
            FAN => Swift::Fan,
            PLATE => Swift::Plate,
            _ => Swift::Warmth,
        };
        let is_lost = step.error > HOPELESS && step.seconds <= LEAST_STEP;
        if !is_lost && self.taken < self.left {
            self.taken += 1;
            *self.decided.entry(swift).or_insert(0) += 1;
            return Ok(());
        }
        let restless = (changes - self.changes) * 2 > self.taken;
        let most = self.decided.iter().max_by_key(|(_, times)| **times).map_or(swift, |(most, _)| *most);
        let by = if is_lost {
            swift
        } else if restless {
            Swift::Circuit
        } else {
            most
        };
        Err(Stuck { at_s, by })
    }
}
