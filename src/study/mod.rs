//! Questions about a bench: what does the clutch do and why, what is dangerous about it, what if.
//!
//! All pure: a study reads a bench, or works on a copy of it, and changes nothing. Findings are plain data
//! ([`answer`]) with their sentences from one place ([`wording`]). Drawing and files are left to others.

pub mod answer;
pub mod demonstration;
mod difference;
pub mod explain;
pub mod faults;
pub mod find;
pub mod happening;
pub mod hazard;
pub mod hunt;
pub mod making;
pub mod meter;
mod paths;
pub mod progress;
pub mod prove;
mod rooms;
pub mod table;
pub mod terms;
pub mod trace;
pub mod wording;

use crate::bench::{Act, Action, Bench, Refusal};
use answer::Verdict;
pub use difference::difference;

/// What the clutch does in the bench's present state, why, and what is dangerous about it.
pub fn verdict(bench: &Bench) -> Verdict {
    let (standing, chain) = explain::chain(bench);
    let because = explain::because(bench, &chain);
    Verdict { standing, chain, hazards: hazard::all(bench), because }
}

/// What an act would come to, worked out on a copy before anybody does it.
#[derive(Clone, Debug)]
pub struct Preview {
    /// The bench after the act.
    pub bench: Bench,
    /// The verdict on it.
    pub verdict: Verdict,
}

/// Tries acts, one after the other, on a copy of the bench.
///
/// # Errors
/// Where the circuit, or its state by then, cannot have one of them.
pub fn preview(bench: &Bench, acts: &[Act]) -> Result<Preview, Refusal> {
    let mut copy = bench.clone();
    acts.iter().try_for_each(|act| copy.apply(Action::Do(act.clone())))?;
    let verdict = verdict(&copy);
    Ok(Preview { bench: copy, verdict })
}
