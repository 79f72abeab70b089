//! What the driver says of a fault, worked out from what it does to the fan and from nothing else.
//!
//! The truck with the fault and the whole truck are taken through the same situations of a day: nothing asking, each
//! thing that asks brought near, to and beyond its set point, each switch turned, the key off. Where the fan does
//! something else than the whole truck's, the driver notices. Words of drivers: common practice, no source.

use crate::bench::{Act, Setting};
use crate::study::answer::Standing;
use crate::study::explain::standing;
use crate::study::find::sight::Setup;
use crate::study::find::suspect::Case;
use crate::study::find::{Suspect, situations};
use crate::study::wording;
use crate::words::{Words, say};

/// One situation with what the fan does in it, on the whole truck and on this one.
#[derive(Clone, Debug, PartialEq)]
struct Noticed {
    setup: Setup,
    whole: Standing,
    now: Standing,
}

/// Everything a driver could notice of one suspect.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Day(Vec<Noticed>);

/// The situations of a day and what the whole truck does in them.
pub(super) struct Days<'a> {
    case: &'a Case,
    whole: Vec<(Setup, Standing)>,
}

impl<'a> Days<'a> {
    pub(super) fn of(case: &'a Case) -> Self {
        let done = |setup: Setup| {
            let now = case.bench(&[], &setup).ok().map(|bench| standing(bench.outcome()))?;
            Some((setup, now))
        };
        Self { case, whole: situations(case).into_iter().filter_map(done).collect() }
    }

    /// The day of a truck with this suspect in it.
    pub(super) fn with(&self, suspect: &Suspect) -> Day {
        let noticed = |(setup, whole): &(Setup, Standing)| {
            let bench = self.case.bench(&suspect.faults, setup).ok()?;
            Some(Noticed { setup: setup.clone(), whole: *whole, now: standing(bench.outcome()) })
        };
        Day(self.whole.iter().filter_map(noticed).collect())
    }
}

impl Day {
    /// What the driver says, in sentences.
    pub(super) fn complaint(&self) -> Words {
        let at = |wanted: &dyn Fn(&&Noticed) -> bool| self.0.iter().filter(wanted).collect::<Vec<_>>();
        let asked = at(&|n| n.whole == Standing::Engaged);
        let unasked = at(&|n| n.whole == Standing::Released);
        let missing: Vec<&Noticed> = asked.iter().filter(|n| n.now == Standing::Released).copied().collect();
        let on: Vec<&Noticed> = unasked.iter().filter(|n| n.now == Standing::Engaged).copied().collect();
        let mut said: Vec<Words> = Vec::new();
        if self.0.iter().any(|n| n.now == Standing::Unsettled) {
            said.push(say!("complaint-the-fan-chatters-on-off"));
        }
        if asked.iter().any(|n| n.now == Standing::Slipping) {
            said.push(say!("complaint-it-comes-in-weak-and"));
        } else if unasked.iter().any(|n| n.now == Standing::Slipping) {
            said.push(say!("complaint-it-never-quite-lets-go"));
        }
        if !missing.is_empty() && missing.len() == asked.len() {
            said.push(say!("complaint-the-fan-never-comes-in"));
        } else if !missing.is_empty() {
            said.push(told(&missing, &asked, &say!("complaint-does-not-come-in")));
        }
        if !on.is_empty() && on.len() == unasked.len() {
            said.push(say!("complaint-the-fan-roars-all-the"));
        } else if !on.is_empty() {
            said.push(told(&on, &unasked, &say!("complaint-is-on-when-it-should")));
        }
        if said.is_empty() {
            return say!("complaint-the-driver-has-noticed-nothing");
        }
        Words::joined(said, " ")
    }
}

/// Only in some of the situations in which the fan should do otherwise: in those it is told by what was about, and
/// where it is right beside.
fn told(these: &[&Noticed], of: &[&Noticed], what: &Words) -> Words {
    let mut times: Vec<Words> = Vec::new();
    let mut fine: Option<Words> = None;
    for noticed in of {
        let (about, is_wrong) = (situation(&noticed.setup), these.contains(noticed));
        let alike = |other: &&Noticed| situation(&other.setup) == about;
        // Wrong at one level of a quantity and right at another: its set point is not where it was.
        let is_partly = of.iter().filter(|n| alike(n)).any(|other| these.contains(other) != is_wrong);
        let words = if is_partly { say!("complaint-at-the-wrong-moment", about) } else { about };
        if is_wrong && !times.contains(&words) {
            times.push(words);
        } else if !is_wrong && !is_partly {
            fine = fine.or(Some(words));
        }
    }
    let fine = fine.map_or_else(Words::default, |time| say!("complaint-it-is-right", time));
    say!("complaint-the-fan", what, times = wording::list(&times), fine)
}

/// A situation as a driver would put it: what is about, never by how much.
fn situation(setup: &Setup) -> Words {
    let act = setup.after.first().map(|act| match act {
        Act::Turn { switch, to } => say!("complaint-with-at", switch, to),
        Act::Press { switch } => say!("complaint-once-has-been-pressed", switch),
        Act::Jump { .. } | Act::Lift(_) | Act::Unplug { .. } => say!("complaint-after", act),
    });
    let condition = setup.with.first().map(|setting| match setting {
        Setting::Key(false) => say!("complaint-with-the-key-off"),
        Setting::Key(true) => say!("complaint-with-the-key-on"),
        Setting::Engine(rpm) if *rpm > 0.0 => say!("complaint-with-the-engine-running"),
        Setting::Engine(_) => say!("complaint-with-the-engine-stopped"),
        Setting::Coolant(_) => say!("complaint-as-the-coolant-gets-hot"),
        Setting::Intake(_) => say!("complaint-as-the-intake-air-gets"),
        Setting::Oil(_) => say!("complaint-as-the-oil-gets-hot"),
        Setting::Refrigerant(_) => say!("complaint-as-the-refrigerant-pressure-rises"),
        Setting::Air(_) => say!("complaint-as-the-air-pressure-changes"),
        Setting::Ambient(_) | Setting::Bolts(_) => say!("complaint-with", setting),
    });
    act.or(condition).unwrap_or_else(|| say!("complaint-cold-with-nothing-asking-for"))
}
