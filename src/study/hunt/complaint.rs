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

/// Only in some of the situations in which the fan should do otherwise: in those it is told by what was about, and
/// where it is right beside.
fn told(these: &[&Noticed], of: &[&Noticed], what: &str) -> String {
    let mut times: Vec<String> = Vec::new();
    let mut fine: Option<String> = None;
    for noticed in of {
        let (about, is_wrong) = (situation(&noticed.setup), these.contains(noticed));
        let alike = |other: &&Noticed| situation(&other.setup) == about;
        // Wrong at one level of a quantity and right at another: its set point is not where it was.
        let is_partly = of.iter().filter(|n| alike(n)).any(|other| these.contains(other) != is_wrong);
        let words = if is_partly { format!("at the wrong moment {about}") } else { about };
        if is_wrong && !times.contains(&words) {
            times.push(words);
        } else if !is_wrong && !is_partly {
            fine = fine.or(Some(words));
        }
    }
    let fine = fine.map_or_else(String::new, |time| format!(" It is right {time}."));
    format!("\"The fan {what} {}.{fine}\"", wording::list(&times))
}

/// A situation as a driver would put it: what is about, never by how much.
fn situation(setup: &Setup) -> String {
    let act = setup.after.first().map(|act| match act {
        Act::Turn { switch, to } => format!("with {switch} at {to}"),
        Act::Press { switch } => format!("once {switch} has been pressed"),
        Act::Jump { .. } | Act::Lift(_) | Act::Unplug { .. } => format!("after {act}"),
    });
    let condition = setup.with.first().map(|setting| match setting {
        Setting::Key(false) => "with the key off".to_owned(),
        Setting::Key(true) => "with the key on".to_owned(),
        Setting::Engine(rpm) if *rpm > 0.0 => "with the engine running".to_owned(),
        Setting::Engine(_) => "with the engine stopped".to_owned(),
        Setting::Coolant(_) => "as the coolant gets hot".to_owned(),
        Setting::Intake(_) => "as the intake air gets hot".to_owned(),
        Setting::Oil(_) => "as the oil gets hot".to_owned(),
        Setting::Refrigerant(_) => "as the refrigerant pressure rises".to_owned(),
        Setting::Air(_) => "as the air pressure changes".to_owned(),
        Setting::Ambient(_) | Setting::Bolts(_) => format!("with {setting}"),
    });
    act.or(condition).unwrap_or_else(|| "cold, with nothing asking for it".to_owned())
}
