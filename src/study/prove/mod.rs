//! Every act, and every pair of acts, that engages or releases the clutch by hand, each with its class and why.
//!
//! Complete by search: [`candidates`] lists whatever a hand could do to this circuit, what comes to the same folded
//! into one; each is settled by the physics itself, singles first, then every pair of which neither does it alone.
//! What counts is then run through the hazards and classed by [`class`]. Nothing is looked up, and nothing is left
//! out because it is dangerous: a dangerous act is listed as such, with its reason.

mod candidates;
mod class;

use rayon::prelude::*;

use crate::bench::{Act, Action, Bench, Setting};
use crate::circuit::part::{Quantity, SetPoint};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Kind};
use crate::physics::clutch::ClutchState;
use crate::physics::inputs::Inputs;
use crate::physics::settle::settle;
use crate::physics::state::{Memory, Outcome};

use super::answer::{Hazard, Standing};
use super::{hazard, wording};
use candidates::Candidate;
pub use class::Class;

/// One way of proving the clutch.
#[derive(Clone, Debug)]
pub struct ProvingAct {
    /// What to do, in order.
    pub acts: Vec<Act>,
    /// How fit it is.
    pub class: Class,
    /// Its dangers, gravest first.
    pub hazards: Vec<Hazard>,
    /// Why it works, and what to mind.
    pub because: Vec<String>,
    /// Other ways of writing what comes to the same between the same points.
    pub same_as: Vec<String>,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Proof {
    /// What the clutch does under the conditions given, nothing done.
    pub at_rest: Standing,
    /// Acts that engage it from there.
    pub engage: Vec<ProvingAct>,
    /// The sensor or module that was made to act before the release was sought; none where none engages alone.
    pub release_from: Option<String>,
    /// Acts that release it from there.
    pub release: Vec<ProvingAct>,
    /// How many acts and pairs were settled.
    pub considered: usize,
}

/// Searches a bench's circuit under its conditions and faults. What has been done to the bench counts as how it
/// stands.
pub fn prove(bench: &Bench) -> Proof {
    let candidates = candidates::all(bench.circuit());
    let at_rest = standing(bench.outcome());
    let (engage, tried) = search(bench, &candidates, Standing::Engaged);
    let hot = made_to_act(bench);
    let (release, tried_hot) = match &hot {
        Some((_, hot)) => search(hot, &candidates, Standing::Released),
        None => (Vec::new(), 0),
    };
    let release_from = hot.map(|(tag, _)| tag);
    Proof { at_rest, engage, release_from, release, considered: tried + tried_hot }
}

/// What the clutch does in an outcome.
fn standing(outcome: &Outcome) -> Standing {
    match (outcome.settled(), outcome.clutch.map(|c| c.state)) {
        (false, _) => Standing::Unsettled,
        (true, Some(ClutchState::Engaged)) => Standing::Engaged,
        (true, Some(ClutchState::Released)) => Standing::Released,
        (true, Some(ClutchState::Slipping)) => Standing::Slipping,
        (true, None) => Standing::None,
    }
}

/// The bench with the first sensor or module condition, in file order, that by itself engages the clutch made to
/// act, and that part's tag.
pub fn made_to_act(bench: &Bench) -> Option<(String, Bench)> {
    for part in bench.circuit().parts() {
        let points: Vec<SetPoint> = match &part.kind {
            Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => vec![s.set_point()],
            Kind::Module(module) => module.on_when.set_points(),
            _ => continue,
        };
        for point in points {
            let mut acted = bench.clone();
            if acted.apply(Action::Set(past(&point))).is_ok() && standing(acted.outcome()) == Standing::Engaged {
                return Some((part.tag.clone(), acted));
            }
        }
    }
    None
}

/// The setting that brings what a set point feels just past it, in the unit it was written in.
pub(super) fn past(point: &SetPoint) -> Setting {
    let band = (point.acts.written() - to_unit(point.resets, point.acts)).abs();
    let beyond = point.acts.written() + if point.rising { band } else { -band };
    let level = match point.acts {
        Level::Fahrenheit(_) => Level::Fahrenheit(beyond),
        Level::Celsius(_) => Level::Celsius(beyond),
        Level::Psi(_) => Level::Psi(beyond),
        Level::Kilopascal(_) => Level::Kilopascal(beyond),
        Level::Bar(_) => Level::Bar(beyond),
    };
    match point.senses {
        Quantity::Coolant => Setting::Coolant(level),
        Quantity::IntakeAir => Setting::Intake(level),
        Quantity::Oil => Setting::Oil(level),
        Quantity::Refrigerant => Setting::Refrigerant(level),
        Quantity::AirSupply => Setting::Air(level),
    }
}

/// A level's number in another's unit.
fn to_unit(level: Level, like: Level) -> f64 {
    use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI, fahrenheit_from_celsius};
    let value = level.value();
    match like {
        Level::Fahrenheit(_) => fahrenheit_from_celsius(value),
        Level::Celsius(_) | Level::Kilopascal(_) => value,
        Level::Psi(_) => value / KPA_PER_PSI,
        Level::Bar(_) => value / KPA_PER_BAR,
    }
}

/// One state of the physics that acts are tried on.
#[derive(Clone)]
struct Stand {
    inputs: Inputs,
    memory: Memory,
}

/// Every single act and every pair that brings the clutch to `wanted` from where it is not.
fn search(bench: &Bench, candidates: &[Candidate], wanted: Standing) -> (Vec<ProvingAct>, usize) {
    let before = standing(bench.outcome());
    if before == wanted || before == Standing::None {
        return (Vec::new(), 0);
    }
    let circuit = bench.circuit();
    let base = Stand { inputs: bench.inputs().clone(), memory: bench.outcome().memory.clone() };
    let singles: Vec<Option<(Stand, bool)>> = candidates
        .par_iter()
        .map(|candidate| {
            let (stand, outcome) = try_one(circuit, &base, candidate)?;
            Some((stand, standing(&outcome) == wanted))
        })
        .collect();
    let works = |i: usize| singles[i].as_ref().is_some_and(|(_, works)| *works);
    let mut tried = singles.iter().flatten().count();
    let mut found: Vec<Vec<&Candidate>> =
        (0..candidates.len()).filter(|i| works(*i)).map(|i| vec![&candidates[i]]).collect();
    let rest: Vec<usize> = (0..candidates.len()).filter(|i| singles[*i].is_some() && !works(*i)).collect();
    let pairs: Vec<(usize, Vec<Vec<&Candidate>>)> = rest
        .par_iter()
        .enumerate()
        .filter_map(|(at, first)| {
            let (stand, _) = singles[*first].as_ref()?;
            let mut tried = 0;
            let mut found = Vec::new();
            for second in &rest[at + 1..] {
                let Some((_, outcome)) = try_one(circuit, stand, &candidates[*second]) else { continue };
                tried += 1;
                if standing(&outcome) == wanted {
                    found.push(vec![&candidates[*first], &candidates[*second]]);
                }
            }
            Some((tried, found))
        })
        .collect();
    for (count, list) in pairs {
        tried += count;
        found.extend(list);
    }
    let mut answers: Vec<ProvingAct> = found.par_iter().filter_map(|acts| describe(bench, acts, wanted)).collect();
    answers.sort_by_cached_key(|a| (a.class, a.acts.len(), a.acts.iter().map(Act::to_string).collect::<Vec<_>>()));
    (answers, tried)
}

/// The stand after one more act, and its outcome; none where the act cannot be done there.
fn try_one(circuit: &Circuit, stand: &Stand, candidate: &Candidate) -> Option<(Stand, Outcome)> {
    let mut inputs = stand.inputs.clone();
    let sprung = candidate.impose(circuit, &mut inputs)?;
    let mut outcome = settle(circuit, &inputs, &stand.memory);
    if sprung {
        inputs.turned = stand.inputs.turned.clone();
        outcome = settle(circuit, &inputs, &outcome.memory);
    }
    Some((Stand { inputs, memory: outcome.memory.clone() }, outcome))
}

/// An answer with hazards, class and reasons, of the writings that come to the same the safest.
fn describe(bench: &Bench, candidates: &[&Candidate], wanted: Standing) -> Option<ProvingAct> {
    let mut best: Option<(Class, Vec<Act>, Vec<Hazard>, Bench)> = None;
    for acts in writings(candidates) {
        let mut tried = bench.clone();
        if acts.iter().any(|act| tried.apply(Action::Do(act.clone())).is_err()) {
            continue;
        }
        let hazards = hazard::all(&tried);
        let class = class::of(bench.circuit(), &acts, &hazards);
        if best.as_ref().is_none_or(|(known, ..)| class < *known) {
            best = Some((class, acts, hazards, tried));
        }
    }
    let (class, acts, hazards, after) = best?;
    let same_as = candidates.iter().flat_map(|c| c.same_as.iter().map(Act::to_string)).collect();
    let because = reasons(bench, &after, candidates, &acts, wanted);
    Some(ProvingAct { acts, class, hazards, because, same_as })
}

/// The ways of writing these candidates that differ in what they leave bare: either end of each lifted wire.
fn writings(candidates: &[&Candidate]) -> Vec<Vec<Act>> {
    candidates.iter().fold(vec![Vec::new()], |so_far, candidate| {
        let ways = std::iter::once(&candidate.act).chain(&candidate.other_end);
        ways.flat_map(|act| so_far.iter().map(move |acts| acts.iter().chain([act]).cloned().collect())).collect()
    })
}

fn reasons(before: &Bench, after: &Bench, candidates: &[&Candidate], acts: &[Act], wanted: Standing) -> Vec<String> {
    let mut because = super::difference(before, after);
    for (candidate, act) in candidates.iter().zip(acts) {
        if let Some(other) = &candidate.other_end {
            let other = if other == act { &candidate.act } else { other };
            because.push(format!("Lifting the wire's other end ({other}) does the same."));
        }
    }
    if wanted == Standing::Released {
        because.push(wording::FORGOTTEN.to_owned());
    } else if !after.opened().is_empty() {
        because.push(wording::FALSE_PASS.to_owned());
    }
    because
}
