//! A find of the search as an answer: how it is written, its hazards and class, what it does and what to mind.
//!
//! Everything here is done on a bench as a person would do it. What counts as an answer is decided by
//! [`search`](mod@super::search).

use crate::bench::{Act, Action, Bench};
use crate::physics::state::FuseAt;
use crate::study::answer::{Hazard, HazardKind, Standing};
use crate::study::{difference, hazard, wording};

use super::candidates::Candidate;
use super::{Class, ProvingAct, class};
use crate::words::Words;

/// One way of writing an answer, done.
struct Tried {
    acts: Vec<Act>,
    after: Bench,
    hazards: Vec<Hazard>,
    class: Class,
}

/// An answer with hazards, class and reasons, of the writings that come to the same the safest.
pub(super) fn describe(bench: &Bench, candidates: &[Candidate], wanted: Standing) -> Option<ProvingAct> {
    let circuit = bench.circuit();
    let tried: Vec<Tried> = writings(bench, candidates)
        .into_iter()
        .filter_map(|acts| {
            let mut after = bench.clone();
            acts.iter().try_for_each(|act| after.apply(Action::Do(act.clone()))).ok()?;
            let hazards = hazard::all(&after);
            let class = class::of(circuit, &acts, &hazards);
            Some(Tried { acts, after, hazards, class })
        })
        .collect();
    // Fewest hazards within a class: the end that leaves nothing live.
    let best = tried.iter().min_by_key(|t| (t.class, t.hazards.len()))?;
    let valve = circuit.clutch_valve().map(|(id, _)| id);
    Some(ProvingAct {
        acts: best.acts.clone(),
        class: best.class,
        hazards: best.hazards.clone(),
        because: difference(bench, &best.after),
        mind: minded(best, &tried, wanted),
        coil_volts: valve.and_then(|id| best.after.outcome().coils.get(&id)?.volts),
        chamber_kpa: best.after.outcome().chamber_kpa,
        same_as: candidates.iter().flat_map(|c| c.same_as(circuit)).map(|act| act.to_string()).collect(),
    })
}

/// The ways of writing these candidates that differ in what they leave bare: either end of each lifted wire.
fn writings(bench: &Bench, candidates: &[Candidate]) -> Vec<Vec<Act>> {
    candidates.iter().fold(vec![Vec::new()], |so_far, candidate| {
        let ways = candidate.writings(bench.circuit());
        let with = |acts: &Vec<Act>| {
            ways.iter().map(|act| [acts.as_slice(), std::slice::from_ref(act)].concat()).collect::<Vec<_>>()
        };
        so_far.iter().flat_map(with).collect()
    })
}
/// What to mind about an answer beside its hazards.
fn minded(best: &Tried, tried: &[Tried], wanted: Standing) -> Vec<Words> {
    let mut mind = Vec::new();
    if best.after.opened().iter().any(|opened| matches!(opened.at, FuseAt::Part(_))) {
        mind.push(wording::FALSE_PASS.clone());
    }
    if wanted == Standing::Released {
        mind.push(wording::FORGOTTEN.clone());
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
