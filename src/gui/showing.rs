//! What the window asks the drawing to show beside the bench itself: symbols, volts, what is pointed out.
//!
//! Yields [`Show`]. How a bench becomes states of parts, terminals and wires is the drawing's own business.

use std::collections::BTreeSet;

use crate::bench::Bench;
use crate::drawing::{self, Show, Symbols};
use crate::study::answer;

/// Everything the drawing shows of a bench.
pub fn show(bench: &Bench, symbols: Symbols, readings: bool, highlighted: BTreeSet<drawing::Subject>) -> Show {
    let mut show = Show::of(bench).with_fault_marks(bench);
    if readings {
        show = show.with_readings(bench);
    }
    Show { symbols, highlighted, ..show }
}

/// A study's subject as the drawing's.
pub fn drawn(subject: answer::Subject) -> drawing::Subject {
    match subject {
        answer::Subject::Part(id) => drawing::Subject::Part(id),
        answer::Subject::Terminal(id) => drawing::Subject::Terminal(id),
        answer::Subject::Wire(id) => drawing::Subject::Wire(id),
        answer::Subject::WireEnd(end) => drawing::Subject::WireEnd(end),
        answer::Subject::Lead(number) => drawing::Subject::Lead(number),
    }
}
