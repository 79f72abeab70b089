//! What was done on a bench, as plain values that can be kept and done again on the same circuit, or on a changed one.
//!
//! Yields [`Journal`], and [`Origin`], which says what it was done to. A bench has no other history: what it stands like follows from its circuit and these. How it is
//! written to a file, and where, is left to those who keep it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::action::Action;
use super::refusal::Refusal;
use super::{Bench, Circuit};
use crate::circuit::shipped::SHIPPED;

/// Where a circuit came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Origin {
    /// One that comes with the program, by its name.
    Shipped(String),
    /// Made from answers, and in no file yet.
    Made,
    /// A file, by its path.
    File(PathBuf),
}

impl Origin {
    /// The circuit's text as it is there now; none where it never was in a file. A path that begins nowhere begins beside
    /// `named_in`, the file that names it.
    ///
    /// # Errors
    /// Why it is not to be had: the words of `read`, or that no such circuit comes with the program.
    pub fn text_now(
        &self,
        named_in: &Path,
        read: impl FnOnce(&Path) -> Result<String, String>,
    ) -> Result<Option<String>, String> {
        match self {
            Self::Made => Ok(None),
            Self::Shipped(name) => match SHIPPED.iter().find(|(shipped, _)| shipped == name) {
                Some((_, text)) => Ok(Some((*text).to_owned())),
                None => Err(format!("no circuit `{name}` comes with this program")),
            },
            Self::File(path) => {
                let path = named_in.parent().map_or_else(|| path.clone(), |folder| folder.join(path));
                read(&path).map(Some)
            }
        }
    }
}

/// Everything undo and redo can reach.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Journal {
    /// Changes in effect or superseded, in the order they were made.
    pub done: Vec<Action>,
    /// Changes undone, in the order redo would make them again.
    pub undone: Vec<Action>,
}

/// A change that a circuit cannot have, and why.
pub type Refused = (Action, Refusal);

impl Journal {
    /// What was done on a bench.
    pub fn of(bench: &Bench) -> Self {
        Self { done: bench.journal().cloned().collect(), undone: bench.undone().cloned().collect() }
    }

    /// Does it all again on a circuit as built. What this circuit cannot have is left out and told.
    pub fn replay(&self, circuit: Arc<Circuit>) -> (Bench, Vec<Refused>) {
        let mut bench = Bench::new(circuit);
        let mut refused = Vec::new();
        let mut make = |bench: &mut Bench, action: &Action| match bench.apply(action.clone()) {
            Ok(()) => true,
            Err(refusal) => {
                refused.push((action.clone(), refusal));
                false
            }
        };
        for action in &self.done {
            make(&mut bench, action);
        }
        let again = self.undone.iter().filter(|action| make(&mut bench, action)).count();
        for _ in 0..again {
            // What has just been done can be undone.
            let _ = bench.apply(Action::Undo);
        }
        (bench, refused)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::format::read;

    fn circuit(name: &str) -> Arc<Circuit> {
        let text = SHIPPED.iter().find(|(shipped, _)| *shipped == name).unwrap().1;
        Arc::new(read(text).circuit.unwrap())
    }

    fn actions() -> Vec<Action> {
        vec![
            Action::Set("coolant=230F".parse().unwrap()),
            Action::Set("coolant=205F".parse().unwrap()),
            Action::Do("jump:B1.1=N1.g".parse().unwrap()),
            Action::PutAllBack,
            Action::Plant("leak:hose=1mm".parse().unwrap()),
            Action::Do("jump:B1.1=B1.2/10A".parse().unwrap()),
            Action::Undo,
            Action::Do("lift:W5@B1.2".parse().unwrap()),
            Action::Do("unplug:Y1".parse().unwrap()),
            Action::Undo,
            Action::Undo,
        ]
    }

    #[test]
    fn what_was_done_and_undone_leads_to_the_same_bench_again() {
        let mut bench = Bench::new(circuit("parallel-open"));
        for action in actions() {
            let before = bench.revision();
            let _ = bench.apply(action.clone());
            let (again, refused) = Journal::of(&bench).replay(bench.circuit_shared());

            assert!(refused.is_empty(), "{refused:?}");
            assert_eq!(again.outcome().volts, bench.outcome().volts, "{before}: {action:?}");
            assert_eq!(again.outcome().memory.parts, bench.outcome().memory.parts, "{action:?}");
            assert_eq!(again.changes(), bench.changes());
            assert_eq!(again.conditions(), bench.conditions());
            assert_eq!(Journal::of(&again), Journal::of(&bench));
        }
    }

    #[test]
    fn what_another_circuit_cannot_have_is_told_and_the_rest_is_done() {
        let mut bench = Bench::new(circuit("parallel-open"));
        for action in ["turn:S2=on", "jump:B1.1=B1.2"] {
            bench.apply(Action::Do(action.parse().unwrap())).unwrap();
        }
        let (again, refused) = Journal::of(&bench).replay(circuit("module-low-side"));

        assert_eq!(again.changes().len() + refused.len(), 2);
        assert!(!refused.is_empty(), "no such parts there");
    }
}
