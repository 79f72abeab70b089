//! What each step of a demonstration brings about: the links of the chain that change, what the fan does, why, and what is
//! dangerous then.
//!
//! Goes through the steps on a bench of its own. What a circuit cannot have is left out and told; words of acts are the
//! asker's.

use std::sync::Arc;

use crate::bench::demonstration::{Demonstration, Step};
use crate::bench::journal::Refused;
use crate::bench::live::Live;
use crate::bench::{Action, Bench, Refusal};
use crate::circuit::Circuit;
use crate::physics::time::TOLERANCE;
use crate::words::{Words, say};

use super::answer::{Hazard, LinkName, Standing, Verdict};
use super::{difference, verdict};

/// A link that changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Which.
    pub link: LinkName,
    /// Its word and number before.
    pub from: Words,
    /// And after.
    pub to: Words,
}

/// What a step, or the time before it, brings about.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// The links that change, in the order of the chain.
    pub changed: Vec<Changed>,
    /// What the clutch does before and after.
    pub standing: (Standing, Standing),
    /// The link where the chain parts afterwards.
    pub parts_at: Option<LinkName>,
    /// Dangers that were not there before, gravest first.
    pub hazards: Vec<Hazard>,
    /// Why, in whole sentences from cause to effect.
    pub because: Vec<Words>,
}

/// What lies between two states of one circuit.
pub fn brought_about(before: &Bench, after: &Bench) -> Brought {
    let (old, new) = (verdict(before), verdict(after));
    let is_same = Arc::ptr_eq(&before.circuit_shared(), &after.circuit_shared());
    let told = |verdict: &Verdict, place: usize| {
        verdict
            .chain
            .get(place)
            .map_or_else(Words::default, |link| Words::joined([link.word.clone(), link.number.clone()], ", "))
    };
    let changed = new.chain.iter().enumerate().filter_map(|(place, link)| {
        let (from, to) = (told(&old, place), told(&new, place));
        (from != to).then_some(Changed { link: link.name, from, to })
    });
    Brought {
        changed: changed.collect(),
        standing: (old.standing, new.standing),
        parts_at: new.chain.iter().find(|link| !link.holds).map(|link| link.name),
        hazards: new
            .hazards
            .iter()
            .filter(|hazard| !old.hazards.iter().any(|old| old.is_also(hazard)))
            .cloned()
            .collect(),
        // Of a circuit that has been changed itself, what is told of one cannot be set beside the other.
        because: if is_same { difference(before, after) } else { Vec::new() },
    }
}

/// The circuit that a demonstration is gone through on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Its text.
    pub text: String,
    /// That it has changed since, or is not where it was, with what to do.
    pub told: Option<Words>,
    /// Its text as it is now, where that is another.
    pub now: Option<String>,
}

/// Which circuit a demonstration is gone through on: the one it holds, else the one it names. `now` is that as it is now,
/// or why it is not to be had.
///
/// # Errors
/// Where there is neither.
pub fn held(demonstration: &Demonstration, now: Result<Option<String>, String>) -> Result<Held, Refusal> {
    let text = demonstration.text.clone();
    match (now, text.is_empty()) {
        (Ok(Some(now)), false) if now != text => {
            Ok(Held { text, told: Some(say!("demonstration-circuit-changed")), now: Some(now) })
        }
        (Ok(Some(now)), true) => Ok(Held { text: now, told: None, now: None }),
        (Ok(_), false) => Ok(Held { text, told: None, now: None }),
        (Err(why), false) => Ok(Held { text, told: Some(say!("demonstration-circuit-gone", why)), now: None }),
        (Ok(None), true) => Err(Refusal::new(
            say!("demonstration-holds-no-circuit"),
            say!("demonstration-write-the-path", example = "File(\"my-truck.ron\")"),
        )),
        (Err(why), true) => {
            Err(Refusal::new(say!("demonstration-is-not-to-be-had", why), say!("demonstration-put-the-file-there")))
        }
    }
}

/// A step that was gone through.
#[derive(Clone, Debug, PartialEq)]
pub struct Gone {
    /// What the time before it brought about, where time passed.
    pub waited: Option<Brought>,
    /// What it brings about: at that moment where time passes, else in the end.
    pub did: Brought,
}

/// A demonstration gone through on a circuit.
#[derive(Clone, Debug)]
pub struct Through {
    /// The demonstration with the steps that this circuit can have.
    pub demonstration: Demonstration,
    /// What each of them brings about.
    pub gone: Vec<Gone>,
    /// What the time after the last of them brings about, where time passes.
    pub then: Option<Brought>,
    /// The steps that it cannot have, and why.
    pub refused: Vec<Refused>,
    /// The bench at its end, at that moment.
    pub end: Bench,
}

/// The bench that a demonstration is gone through on: settled after each step, or on its way through time.
#[derive(Clone, Debug)]
enum Stage {
    Standing(Box<Bench>),
    Running(Box<Live>),
}

impl Stage {
    fn shown(&self) -> Bench {
        match self {
            Self::Standing(bench) => Bench::clone(bench),
            Self::Running(live) => live.shown(),
        }
    }

    /// Lets time pass to a moment; the clock is started first. One that has been is no way to go.
    fn wait(&mut self, to_s: f64) -> Result<(), Refusal> {
        if let Self::Standing(bench) = self {
            *self = Self::Running(Box::new(Live::of(Bench::clone(bench), TOLERANCE)));
        }
        match self {
            Self::Running(live) if to_s > live.at_s() => live.advance(to_s, &[], |_| {}),
            _ => Ok(()),
        }
    }

    fn apply(&mut self, action: Action) -> Result<(), Refusal> {
        match self {
            Self::Standing(bench) => bench.apply(action),
            Self::Running(live) => live.apply(action),
        }
    }
}

/// Goes through all steps on a circuit as built, and through the time between them.
pub fn through(demonstration: Demonstration, circuit: Arc<Circuit>) -> Through {
    let mut stage = Stage::Standing(Box::new(Bench::new(circuit)));
    let (mut gone, mut refused, mut steps) = (Vec::new(), Vec::new(), Vec::new());
    // Of a step that is left out the time passes all the same, and one before the clock is one fewer.
    let (mut left_s, mut left_before, mut at_s) = (0.0, 0, 0.0);
    let mut since = stage.shown();
    for (place, step) in demonstration.steps.iter().enumerate() {
        at_s += step.after_s;
        let ready = if demonstration.runs_at(place + 1) { stage.wait(at_s) } else { Ok(()) };
        let before = stage.shown();
        match ready.and_then(|()| stage.apply(step.does.clone())) {
            Ok(()) => {
                let after_s = step.after_s + left_s;
                let after = stage.shown();
                let waited = (after_s > 0.0).then(|| brought_about(&since, &before));
                gone.push(Gone { waited, did: brought_about(&before, &after) });
                steps.push(Step { after_s, ..step.clone() });
                (left_s, since) = (0.0, after);
            }
            Err(refusal) => {
                refused.push((step.does.clone(), refusal));
                left_s += step.after_s;
                left_before += usize::from(place < demonstration.before_clock);
            }
        }
    }
    let then_s = demonstration.then_s + left_s;
    // Where it cannot go on to its end it stands where it got to, and the clock says why when it is tried.
    let goes_on = then_s > 0.0 && stage.wait(demonstration.end_s()).is_ok();
    let then = goes_on.then(|| brought_about(&since, &stage.shown()));
    let before_clock = demonstration.before_clock - left_before;
    let demonstration = Demonstration { steps, before_clock, then_s, ..demonstration };
    Through { demonstration, gone, then, refused, end: stage.shown() }
}
