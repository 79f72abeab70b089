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
use crate::physics::state::{FuseAt, Memory, Outcome};

use super::answer::{Hazard, HazardKind, Standing};
use super::progress::Progress;
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
    /// Why it works: what it does to coil, valve, air and clutch.
    pub because: Vec<String>,
    /// What to mind about it, beside its hazards: that it proves nothing, what a forgotten one does.
    pub mind: Vec<String>,
    /// Volts across the valve's coil after it.
    pub coil_volts: Option<f64>,
    /// Pressure in the clutch's chamber after it, in kPa.
    pub chamber_kpa: Option<f64>,
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
    /// What makes it act: the change of conditions under which [`Proof::release`] holds.
    pub release_under: Option<Setting>,
    /// Acts that release it from there.
    pub release: Vec<ProvingAct>,
    /// How many acts and pairs were settled.
    pub considered: usize,
}

/// Searches a bench's circuit under its conditions and faults. What has been done to the bench counts as how it
/// stands.
pub fn prove(bench: &Bench) -> Proof {
    prove_while_wanted(bench, &Progress::default()).expect("nobody else holds this progress to stop it")
}

/// As [`prove`], counting acts and pairs tried in `progress`; none where it was stopped.
pub fn prove_while_wanted(bench: &Bench, progress: &Progress) -> Option<Proof> {
    let candidates = candidates::all(bench.circuit());
    let at_rest = standing(bench.outcome());
    let (engage, tried) = search(bench, &candidates, Standing::Engaged, progress);
    let hot = made_to_act(bench);
    let (release, tried_hot) = match &hot {
        Some(hot) => search(&hot.bench, &candidates, Standing::Released, progress),
        None => (Vec::new(), 0),
    };
    let (release_from, release_under) = hot.map(|hot| (hot.tag, hot.under)).unzip();
    let considered = tried + tried_hot;
    let proof = Proof { at_rest, engage, release_from, release_under, release, considered };
    (!progress.is_stopped()).then_some(proof)
}

/// What the clutch does in an outcome.
pub(super) fn standing(outcome: &Outcome) -> Standing {
    match (outcome.settled(), outcome.clutch.map(|c| c.state)) {
        (false, _) => Standing::Unsettled,
        (true, Some(ClutchState::Engaged)) => Standing::Engaged,
        (true, Some(ClutchState::Released)) => Standing::Released,
        (true, Some(ClutchState::Slipping)) => Standing::Slipping,
        (true, None) => Standing::None,
    }
}

/// A bench on which one sensor or module condition has been made to act.
struct MadeToAct {
    tag: String,
    under: Setting,
    bench: Bench,
}

/// Makes the first sensor or module condition, in file order, act that by itself engages the clutch.
fn made_to_act(bench: &Bench) -> Option<MadeToAct> {
    for part in bench.circuit().parts() {
        let points: Vec<SetPoint> = match &part.kind {
            Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => vec![s.set_point()],
            Kind::Module(module) => module.on_when.set_points(),
            _ => continue,
        };
        for point in points {
            let (mut acted, under) = (bench.clone(), past(&point));
            if acted.apply(Action::Set(under)).is_ok() && standing(acted.outcome()) == Standing::Engaged {
                return Some(MadeToAct { tag: part.tag.clone(), under, bench: acted });
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
fn search(bench: &Bench, candidates: &[Candidate], wanted: Standing, progress: &Progress) -> (Vec<ProvingAct>, usize) {
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
    progress.expect(rest.len() * rest.len().saturating_sub(1) / 2);
    let pairs: Vec<(usize, Vec<Vec<&Candidate>>)> = rest
        .par_iter()
        .enumerate()
        .filter_map(|(at, first)| {
            let (stand, _) = singles[*first].as_ref().filter(|_| !progress.is_stopped())?;
            let mut tried = 0;
            let mut found = Vec::new();
            for second in &rest[at + 1..] {
                let Some((_, outcome)) = try_one(circuit, stand, &candidates[*second]) else { continue };
                tried += 1;
                if standing(&outcome) == wanted {
                    found.push(vec![&candidates[*first], &candidates[*second]]);
                }
            }
            progress.count(rest.len() - at - 1);
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

/// One way of writing an answer, done.
struct Tried {
    acts: Vec<Act>,
    after: Bench,
    hazards: Vec<Hazard>,
    class: Class,
}

/// An answer with hazards, class and reasons, of the writings that come to the same the safest.
fn describe(bench: &Bench, candidates: &[&Candidate], wanted: Standing) -> Option<ProvingAct> {
    let tried: Vec<Tried> = writings(candidates)
        .into_iter()
        .filter_map(|acts| {
            let mut after = bench.clone();
            acts.iter().try_for_each(|act| after.apply(Action::Do(act.clone()))).ok()?;
            let hazards = hazard::all(&after);
            let class = class::of(bench.circuit(), &acts, &hazards);
            Some(Tried { acts, after, hazards, class })
        })
        .collect();
    // Fewest hazards within a class: the end that leaves nothing live.
    let best = tried.iter().min_by_key(|t| (t.class, t.hazards.len()))?;
    let valve = bench.circuit().clutch_valve().map(|(id, _)| id);
    Some(ProvingAct {
        acts: best.acts.clone(),
        class: best.class,
        hazards: best.hazards.clone(),
        because: super::difference(bench, &best.after),
        mind: minded(best, &tried, wanted),
        coil_volts: valve.and_then(|id| best.after.outcome().coils.get(&id)?.volts),
        chamber_kpa: best.after.outcome().chamber_kpa,
        same_as: candidates.iter().flat_map(|c| c.same_as.iter().map(Act::to_string)).collect(),
    })
}

/// The ways of writing these candidates that differ in what they leave bare: either end of each lifted wire.
fn writings(candidates: &[&Candidate]) -> Vec<Vec<Act>> {
    candidates.iter().fold(vec![Vec::new()], |so_far, candidate| {
        let ways = std::iter::once(&candidate.act).chain(&candidate.other_end);
        ways.flat_map(|act| so_far.iter().map(move |acts| acts.iter().chain([act]).cloned().collect())).collect()
    })
}

/// What to mind about an answer beside its hazards.
fn minded(best: &Tried, tried: &[Tried], wanted: Standing) -> Vec<String> {
    let mut mind = Vec::new();
    if best.after.opened().iter().any(|opened| matches!(opened.at, FuseAt::Part(_))) {
        mind.push(wording::FALSE_PASS.to_owned());
    }
    if wanted == Standing::Released {
        mind.push(wording::FORGOTTEN.to_owned());
    }
    let live = |t: &Tried| t.hazards.iter().filter(|h| h.kind == HazardKind::LiveEnd).count();
    for other in tried {
        let mut differ = best.acts.iter().zip(&other.acts).filter(|(a, b)| a != b);
        if let (Some((_, act)), None) = (differ.next(), differ.next()) {
            mind.push(wording::other_end(act, live(other) > live(best)));
        }
    }
    mind
}
