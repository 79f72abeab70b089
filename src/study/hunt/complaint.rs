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
    pub(super) fn complaint(&self) -> String {
        let at = |wanted: &dyn Fn(&&Noticed) -> bool| self.0.iter().filter(wanted).collect::<Vec<_>>();
        let asked = at(&|n| n.whole == Standing::Engaged);
        let unasked = at(&|n| n.whole == Standing::Released);
        let missing: Vec<&Noticed> = asked.iter().filter(|n| n.now == Standing::Released).copied().collect();
        let on: Vec<&Noticed> = unasked.iter().filter(|n| n.now == Standing::Engaged).copied().collect();
        let mut said: Vec<String> = Vec::new();
        if self.0.iter().any(|n| n.now == Standing::Unsettled) {
            said.push("\"The fan chatters: on, off, on, off, and it never makes up its mind.\"".to_owned());
        }
        if asked.iter().any(|n| n.now == Standing::Slipping) {
            said.push("\"It comes in weak and smells burnt, and the temperature creeps up on hills.\"".to_owned());
        } else if unasked.iter().any(|n| n.now == Standing::Slipping) {
            said.push("\"It never quite lets go: there is drag, and a smell.\"".to_owned());
        }
        if !missing.is_empty() && missing.len() == asked.len() {
            said.push("\"The fan never comes in, whatever I do. The temperature climbs on hills.\"".to_owned());
        } else if !missing.is_empty() {
            said.push(told(&missing, &asked, "does not come in"));
        }
        if !on.is_empty() && on.len() == unasked.len() {
            said.push("\"The fan roars all the time, cold or not, and it drinks fuel.\"".to_owned());
        } else if !on.is_empty() {
            said.push(told(&on, &unasked, "is on when it should not be"));
        }
        if said.is_empty() {
            return "The driver has noticed nothing. Something was found odd at the service.".to_owned();
        }
        said.join(" ")
    }
}

/// Only in some of the situations in which the fan should do otherwise: in those it is told by what was about.
fn told(these: &[&Noticed], of: &[&Noticed], what: &str) -> String {
    let when = |noticed: &&Noticed| situation(&noticed.setup);
    let mut times: Vec<String> = these.iter().map(when).collect();
    times.dedup();
    let fine = of.iter().filter(|n| !these.contains(n)).map(when).find(|time| !times.contains(time));
    let fine = fine.map_or_else(String::new, |time| format!(" It is right {time}."));
    format!("\"The fan {what} {}.{fine}\"", crate::study::wording::list(&times))
}

/// A situation as a driver would put it.
fn situation(setup: &Setup) -> String {
    let act = setup.after.first().map(|act| match act {
        Act::Turn { switch, to } => format!("with {switch} at {to}"),
        Act::Press { switch } => format!("once I have pressed {switch}"),
        Act::Jump { .. } | Act::Lift(_) | Act::Unplug { .. } => format!("after {act}"),
    });
    let condition = setup.with.first().map(|setting| match setting {
        Setting::Key(false) => "with the key off".to_owned(),
        Setting::Key(true) => "with the key on".to_owned(),
        Setting::Engine(rpm) if *rpm > 0.0 => "with the engine running".to_owned(),
        Setting::Engine(_) => "with the engine stopped".to_owned(),
        Setting::Coolant(level) => format!("with the coolant at {} {}", level.written(), level.unit()),
        Setting::Intake(level) => format!("with the intake air at {} {}", level.written(), level.unit()),
        Setting::Oil(level) => format!("with the oil at {} {}", level.written(), level.unit()),
        Setting::Refrigerant(level) => format!("with {} {} of refrigerant", level.written(), level.unit()),
        Setting::Air(level) => format!("with {} {} of air", level.written(), level.unit()),
        Setting::Ambient(_) | Setting::Bolts(_) => format!("with {setting}"),
    });
    act.or(condition).unwrap_or_else(|| "cold, with nothing asking for it".to_owned())
}
