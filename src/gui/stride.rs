//! Steps of a bench that were one thing to whoever asked for them: two acts tried together, a truck set up for a test.
//!
//! The bench knows single steps. Yields [`Strides`], by which one undo takes back what one click did. Two circuits on
//! which the same was done are [`row`](super::row)'s.

use serde::{Deserialize, Serialize};

use crate::bench::{Action, Bench, Setting};

/// For each stride how many steps had been done before it and with it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Strides(Vec<(usize, usize)>);

impl Strides {
    /// Remembers that something took a bench from so many steps to so many; what came after the first is gone.
    pub fn did(&mut self, before: usize, after: usize) {
        self.0.retain(|(_, to)| *to <= before.min(after));
        if after > before + 1 {
            self.0.push((before, after));
        }
    }

    /// How many steps are done once what was done last is undone.
    pub fn undone(&self, done: usize) -> usize {
        self.0.iter().find(|(_, to)| *to == done).map_or(done.saturating_sub(1), |(from, _)| *from)
    }

    /// How many steps are done once what was undone last is done again.
    pub fn redone(&self, done: usize) -> usize {
        self.0.iter().find(|(from, _)| *from == done).map_or(done + 1, |(_, to)| *to)
    }

    /// The step that says best what would be undone: a hand's, not a condition set on the way.
    pub fn undoable<'a>(&self, bench: &'a Bench) -> Option<&'a Action> {
        let done = bench.journal().count();
        telling(bench.journal().skip(self.undone(done)))
    }

    /// The same for what would be done again.
    pub fn redoable<'a>(&self, bench: &'a Bench) -> Option<&'a Action> {
        let done = bench.journal().count();
        telling(bench.undone().take(self.redone(done) - done))
    }

    /// Whether a bench with so many steps, done and undone, can have had them all.
    pub fn fit(&self, steps: usize) -> bool {
        self.0.iter().all(|(from, to)| from < to && *to <= steps)
    }
}

fn telling<'a>(steps: impl Iterator<Item = &'a Action>) -> Option<&'a Action> {
    let steps: Vec<&Action> = steps.collect();
    let mended = |step: &&&Action| matches!(step, Action::Repair(_));
    let by_hand = |step: &&&Action| !matches!(step, Action::Set(_));
    // The key is turned on the way, so that nothing is remembered.
    let felt = |step: &&&Action| !matches!(step, Action::Set(Setting::Key(_)));
    let last = |is_it: &dyn Fn(&&&Action) -> bool| steps.iter().rev().find(is_it);
    steps.iter().find(mended).or_else(|| last(&by_hand)).or_else(|| last(&felt)).or(steps.last()).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_undone_together_is_named_by_what_a_hand_did_and_else_by_what_was_felt() {
        let set = |words: &str| Action::Set(words.parse().unwrap());
        let key = [set("key=off"), set("refrigerant=100psi"), set("key=on")];
        assert_eq!(telling(key.iter()), Some(&key[1]));
        let act = Action::Do("jump:B1.1=B1.2".parse().unwrap());
        assert_eq!(telling([&act, &key[0], &key[2]].into_iter()), Some(&act));
        assert_eq!(telling([&key[2]].into_iter()), Some(&key[2]));
    }

    #[test]
    fn a_stride_goes_back_and_forth_as_one_and_steps_by_themselves_do_not() {
        let mut strides = Strides::default();
        strides.did(0, 1);
        strides.did(1, 4);
        assert_eq!((strides.undone(4), strides.undone(1), strides.undone(0)), (1, 0, 0));
        assert_eq!((strides.redone(0), strides.redone(1)), (1, 4));

        strides.did(1, 2);

        assert_eq!((strides.undone(4), strides.redone(1)), (3, 2), "what came after is gone");
    }
}
