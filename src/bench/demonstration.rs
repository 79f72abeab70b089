//! What was done on a bench as a demonstration: steps to be gone through one after the other, with what a trainer wrote
//! to them, in a file of its own kind.
//!
//! Yields [`Demonstration`]. It holds the circuit's text to the letter, so that it can be handed on alone. What a step
//! brings about is worked out anew by the study; showing it is left to the window and the command line.

use serde::{Deserialize, Serialize};

use super::action::Action;
use super::journal::{Journal, Origin};
use crate::circuit::diagnostic::Finding;
use crate::circuit::format::{begins_with, of_format, read_value, write_value};
use crate::words::{Words, say};

/// The version of the file that this program reads and writes.
pub const FORMAT: u32 = 1;
/// Most seconds between two steps, and from the first to the end: a day.
const LONGEST_S: f64 = 86_400.0;
/// The word such a file begins with.
const WORD: &str = "Demonstration";

/// Steps to be gone through on a circuit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Demonstration", deny_unknown_fields)]
pub struct Demonstration {
    /// The version of the file's format.
    pub format: u32,
    /// What it shows.
    pub title: String,
    /// Where the circuit came from.
    pub circuit: Origin,
    /// How many steps come before the clock is started, where time passes: the circuit has settled after each of them.
    #[serde(default, skip_serializing_if = "is_none_before")]
    pub before_clock: usize,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// Seconds that pass on the clock after the last step.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub then_s: f64,
    /// The circuit file, to the letter; empty where it is to be read from where it came from.
    #[serde(default)]
    pub text: String,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Step", deny_unknown_fields)]
pub struct Step {
    /// What is done.
    pub does: Action,
    /// Seconds that have passed on the clock since the step before, or since the beginning.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub after_s: f64,
    /// What a trainer wrote to it.
    #[serde(default)]
    pub says: String,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_nought(seconds: &f64) -> bool {
    *seconds == 0.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_none_before(steps: &usize) -> bool {
    *steps == 0
}

/// When steps were done on a clock, in seconds from its start.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Times {
    /// How many came before it was started.
    pub before_clock: usize,
    /// The moment of every step; nought for those.
    pub moments: Vec<f64>,
    /// The moment that it has come to.
    pub now_s: f64,
}

impl Demonstration {
    /// Everything that was done, step by step, with nothing written to it yet.
    pub fn of(title: &str, circuit: Origin, text: String, done: impl IntoIterator<Item = Action>) -> Self {
        let steps = done.into_iter().map(|does| Step { does, after_s: 0.0, says: String::new() }).collect();
        Self { format: FORMAT, title: title.to_owned(), circuit, before_clock: 0, steps, then_s: 0.0, text }
    }

    /// The same with the times that its steps were done at.
    pub fn at(mut self, times: &Times) -> Self {
        let mut last = 0.0;
        for (step, at_s) in self.steps.iter_mut().zip(&times.moments) {
            step.after_s = (at_s - last).max(0.0);
            last = at_s.max(last);
        }
        self.then_s = (times.now_s - last).max(0.0);
        // Where no time passes there is no clock to come before.
        self.before_clock = if self.takes_time() { times.before_clock } else { 0 };
        self
    }

    /// Whether time passes in it.
    pub fn takes_time(&self) -> bool {
        self.then_s > 0.0 || self.steps.iter().any(|step| step.after_s > 0.0)
    }

    /// Whether the clock is out once so many steps are done: those before it stand.
    pub fn runs_at(&self, steps: usize) -> bool {
        self.takes_time() && steps > self.before_clock
    }

    /// The moment of its end, in seconds from the beginning.
    pub fn end_s(&self) -> f64 {
        self.moment(self.steps.len()) + self.then_s
    }

    /// The moment of so many steps, in seconds from the beginning.
    pub fn moment(&self, steps: usize) -> f64 {
        self.steps.iter().take(steps).map(|step| step.after_s).sum()
    }

    /// Whether a text is meant to be one.
    pub fn is_one(text: &str) -> bool {
        begins_with(text, WORD)
    }

    /// What its first steps come to, as far as so many.
    pub fn up_to(&self, steps: usize) -> Journal {
        let done = self.steps.iter().take(steps).map(|step| step.does.clone()).collect();
        Journal { done, undone: Vec::new() }
    }

    /// The demonstration as a file.
    ///
    /// # Errors
    /// Why there is none, in words: a path that is no text, or times with which it could not be read again.
    pub fn write(&self) -> Result<String, String> {
        self.has_sound_times().map_err(|why| format!("{}; {}", why.message, why.mend))?;
        write_value(self)
    }

    /// The demonstration a file holds.
    ///
    /// # Errors
    /// What is wrong with it, with its place: also a step that is a way back or forward, which says nothing by itself.
    pub fn read(text: &str) -> Result<Self, Box<Finding>> {
        let found: Self = read_value(text, say!("demonstration-compare-it"))?;
        of_format(found.format, FORMAT)?;
        let is_way = |step: &Step| matches!(step.does, Action::Undo | Action::Redo);
        if let Some(place) = found.steps.iter().position(is_way) {
            let message = say!("demonstration-step-only-undoes", number = place + 1);
            let mend = say!("demonstration-take-that-step-out");
            return Err(Box::new(Finding::error(crate::circuit::diagnostic::Subject::Whole, message, mend)));
        }
        found.has_sound_times()?;
        Ok(found)
    }

    /// That every time in it is one, and none comes before the clock is started.
    fn has_sound_times(&self) -> Result<(), Box<Finding>> {
        let error = |message: Words, mend: Words| {
            Err(Box::new(Finding::error(crate::circuit::diagnostic::Subject::Whole, message, mend)))
        };
        let is_time = |seconds: f64| (0.0..=LONGEST_S).contains(&seconds);
        if let Some(place) = self.steps.iter().position(|step| !is_time(step.after_s)) {
            let message = say!("demonstration-step-after-no-time", number = place + 1);
            return error(message, say!("demonstration-write-seconds", longest = LONGEST_S));
        }
        if !is_time(self.then_s) {
            let mend = say!("demonstration-write-seconds-after", longest = LONGEST_S);
            return error(say!("demonstration-goes-on-for-no-time"), mend);
        }
        if self.end_s() > LONGEST_S {
            let message = say!("demonstration-takes-too-long", seconds = self.end_s());
            return error(message, say!("demonstration-let-less-time-pass", longest = LONGEST_S));
        }
        let (before, steps) = (self.before_clock, self.steps.len());
        if before > steps {
            let message = say!("demonstration-more-before-than-there-are", before, steps);
            return error(message, say!("demonstration-write-before-clock"));
        }
        if let Some(place) = self.steps.iter().take(before).position(|step| step.after_s > 0.0) {
            let message = say!("demonstration-time-before-the-clock", number = place + 1);
            return error(message, say!("demonstration-write-before-clock"));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one() -> Demonstration {
        let done = [Action::Set("coolant=230F".parse().unwrap()), Action::Do("jump:B1.1=B1.2".parse().unwrap())];
        let mut one = Demonstration::of("Why \"open\"?", Origin::File("a.ron".into()), "Circuit()\n".to_owned(), done);
        one.steps[1].after_s = 1.5;
        (one.before_clock, one.then_s) = (1, 2.5);
        one.steps[1].says = "What will the fan do?".to_owned();
        one
    }

    #[test]
    fn what_is_written_comes_back_to_the_letter() {
        let text = one().write().unwrap();
        assert!(Demonstration::is_one(&text));
        assert_eq!(Demonstration::read(&text).unwrap(), one());
    }

    #[test]
    fn one_written_by_hand_may_leave_away_words_and_circuit() {
        let text = "// mine\nDemonstration(format: 1, title: \"\", circuit: Shipped(\"seal-in\"), \
                    steps: [(does: Do(\"press:S2\"))])";
        let read = Demonstration::read(text).unwrap();
        assert_eq!((read.steps.len(), read.text.as_str(), read.steps[0].says.as_str()), (1, "", ""));
    }

    #[test]
    fn what_is_none_is_refused_with_its_mend() {
        let text = one().write().unwrap();
        let undo = text.replace("Do(\"jump:B1.1=B1.2\")", "Undo");
        let never = text.replace("after_s: 1.5", "after_s: -1.5");
        let other = text.replace("format: 1", "format: 2");
        let endless = text.replace("then_s: 2.5", "then_s: inf");
        let too_long = text.replace("after_s: 1.5", "after_s: 86399.0");
        assert!(Demonstration::read(&too_long).unwrap_err().message.to_string().contains("86401.5"));
        let mut unreadable = one();
        unreadable.then_s = 86_400.0;
        assert!(unreadable.write().unwrap_err().contains("86401.5"), "what cannot be read again is not written");
        let before = ["before_clock: 2", "before_clock: 3"].map(|more| text.replace("before_clock: 1", more));
        for wrong in before {
            assert!(Demonstration::read(&wrong).unwrap_err().message.to_string().contains("clock"), "{wrong}");
        }
        for wrong in [other, endless, text.replace("jump:", "jumb:"), undo, never, String::new()] {
            assert!(!Demonstration::read(&wrong).unwrap_err().mend.is_empty(), "{wrong}");
        }
    }
}
