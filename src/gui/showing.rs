//! What the window asks the drawing to show beside the bench itself: symbols, volts, what is pointed out.
//!
//! Yields [`Show`]. How a bench becomes states of parts, terminals and wires is the drawing's own business.

use std::collections::BTreeSet;

use crate::bench::Bench;
use crate::drawing::{Show, Symbols};
use crate::study::answer::Subject;

/// Everything the drawing shows of a bench.
pub fn show(bench: &Bench, symbols: Symbols, readings: bool, highlighted: BTreeSet<Subject>) -> Show {
    let mut show = Show::of(bench).with_fault_marks(bench);
    if readings {
        show = show.with_readings(bench);
    }
    Show { symbols, highlighted, ..show }
}
