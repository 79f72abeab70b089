//! Tries every candidate and every pair on the physics, and keeps what brings the clutch to the state wanted.
//!
//! Leads between the same two nets are tried at one pair of terminals, which stands for all, as long as the outcome
//! is clear cut. Where it hangs on a wire's drop (which of two fuses opens first, a coil near its pull-in) each pair of
//! terminals is tried by itself, and so is each piece of a net that the pair's lift parts. How an answer is written
//! and judged is left to [`describe`](super::describe).

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use rayon::prelude::*;

use crate::bench::Bench;
use crate::circuit::{Circuit, Kind, WireId};
use crate::physics::engine::Engine;
use crate::physics::inputs::Inputs;
use crate::physics::limits::{FED_SHARE, FUSE_OPENS_AT, TIMER_WORKS_FROM};
use crate::physics::state::{Memory, Outcome};
use crate::study::answer::Standing;
use crate::study::progress::Progress;

use super::candidates::{Candidate, Piece, pieces, shape};
use super::describe::describe;
use super::{Class, ProvingAct};
use crate::study::explain::standing;

/// How near to what a fuse bears, as a factor either way, its load must be for a wire's drop to decide.
const NEAR: f64 = 1.25;

/// Ohms of wire there may be between two terminals of one net, as far as a lead's current runs through them (some
/// metres of thin wire).
const BETWEEN_OHMS: f64 = 0.3;

/// One state of the physics that acts are tried on.
struct Stand {
    inputs: Inputs,
    memory: Memory,
}

/// A candidate done.
struct Done {
    candidate: Candidate,
    stand: Stand,
    outcome: Outcome,
    works: bool,
}

/// Every single act and every pair that brings the clutch to `wanted` from where it is not, and how many were tried.
pub(super) fn search(
    bench: &Bench,
    candidates: &[Candidate],
    wanted: Standing,
    progress: &Progress,
) -> (Vec<ProvingAct>, usize) {
    let before = standing(bench.outcome());
    if before == wanted || before == Standing::None {
        return (Vec::new(), 0);
    }
    let circuit = bench.circuit();
    let base = Stand { inputs: bench.inputs().clone(), memory: bench.outcome().memory.clone() };
    let trial = Trial {
        circuit,
        engine: bench.engine(),
        inputs: &base.inputs,
        wanted,
        pieces: pieces(circuit),
        is_plain: is_plain(circuit, &base.inputs),
    };
    let mut singles: Vec<Done> =
        candidates.par_iter().flat_map_iter(|candidate| trial.single(&base, candidate)).collect();
    // A lead taken apart may be written at other parts than the whole.
    singles.sort_by_cached_key(|done| done.candidate.place(circuit));
    let (found, rest): (Vec<&Done>, Vec<&Done>) = singles.iter().partition(|done| done.works);
    let mut found: Vec<Vec<Candidate>> = found.iter().map(|done| vec![done.candidate.clone()]).collect();
    progress.expect(rest.len() * rest.len().saturating_sub(1) / 2);
    let pairs: Vec<Vec<Candidate>> = rest
        .par_iter()
        .enumerate()
        .flat_map_iter(|(at, first)| {
            let later = if progress.is_stopped() { &[] } else { &rest[at + 1..] };
            progress.count(rest.len() - at - 1);
            later.iter().flat_map(|second| trial.pair(&base, first, second))
        })
        .collect();
    found.extend(pairs);
    let described: Vec<(Shape, ProvingAct)> =
        found.par_iter().filter_map(|acts| Some((shape(circuit, acts), describe(bench, acts, wanted)?))).collect();
    let mut answers = as_one(described);
    answers
        .sort_by_cached_key(|a| (a.class, a.acts.len(), a.acts.iter().map(|act| act.to_string()).collect::<Vec<_>>()));
    (answers, singles.len() + rest.len() * rest.len().saturating_sub(1) / 2)
}

/// What tells one answer from another.
type Shape = Vec<(usize, usize, usize, usize, usize)>;

/// Answers that were found apart, at different terminals of the same nets, and come to the same class: one answer.
fn as_one(described: Vec<(Shape, ProvingAct)>) -> Vec<ProvingAct> {
    let mut known: BTreeMap<(Shape, Class), usize> = BTreeMap::new();
    let mut answers: Vec<ProvingAct> = Vec::new();
    for (shape, answer) in described {
        match known.entry((shape, answer.class)) {
            Entry::Vacant(place) => {
                place.insert(answers.len());
                answers.push(answer);
            }
            Entry::Occupied(place) => {
                let first = &mut answers[*place.get()];
                let others = answer.acts.iter().filter(|act| !first.acts.contains(act)).map(|act| act.to_string());
                let others: Vec<String> = others.chain(answer.same_as).collect();
                for other in others {
                    let is_known =
                        first.same_as.contains(&other) || first.acts.iter().any(|act| act.to_string() == other);
                    if !is_known {
                        first.same_as.push(other);
                    }
                }
            }
        }
    }
    answers
}

/// What all tries of one search share.
struct Trial<'a> {
    circuit: &'a Circuit,
    engine: &'a Engine,
    /// What is imposed before anything is tried.
    inputs: &'a Inputs,
    wanted: Standing,
    pieces: BTreeMap<WireId, Piece>,
    /// Whether only currents move anything in this circuit.
    is_plain: bool,
}

impl Trial<'_> {
    /// A candidate done from the beginning; in several, where its pairs of terminals do not all do the same; none
    /// where it cannot be done.
    fn single(&self, base: &Stand, candidate: &Candidate) -> Vec<Done> {
        let Some((stand, outcome)) = self.try_one(base, candidate) else { return Vec::new() };
        let done = |candidate, stand, outcome: Outcome| {
            let works = standing(&outcome) == self.wanted;
            Done { candidate, stand, outcome, works }
        };
        let apart = candidate.apart();
        if apart.len() == 1 || self.is_clear_cut(&outcome) {
            return vec![done(candidate.clone(), stand, outcome)];
        }
        let mut groups: Vec<(Vec<Candidate>, Stand, Outcome)> = Vec::new();
        for way in apart {
            let Some((stand, outcome)) = self.try_one(base, &way) else { continue };
            let alike = |known: &Outcome| known.memory.parts == outcome.memory.parts && blown(known) == blown(&outcome);
            match groups.iter_mut().find(|(_, _, known)| alike(known)) {
                Some((ways, _, _)) => ways.push(way),
                None => groups.push((vec![way], stand, outcome)),
            }
        }
        groups
            .into_iter()
            .filter_map(|(ways, stand, outcome)| Some(done(Candidate::together(&ways)?, stand, outcome)))
            .collect()
    }

    /// The pairs that work of two candidates of which neither does alone.
    fn pair(&self, base: &Stand, first: &Done, second: &Done) -> Vec<Vec<Candidate>> {
        if let Some(parted) = first.candidate.parted_by(&second.candidate, &self.pieces) {
            return parted.into_iter().flat_map(|piece| self.one_pair(base, &piece, None, &second.candidate)).collect();
        }
        if self.is_plain && first.outcome.settled() && second.candidate.is_idle(self.circuit, &first.outcome) {
            // Nothing moves, so the clutch stays as the first act alone left it, and that is not as wanted.
            return Vec::new();
        }
        self.one_pair(base, &first.candidate, Some(&first.stand), &second.candidate)
    }

    /// One pair, the first done already where its stand is given.
    fn one_pair(
        &self,
        base: &Stand,
        first: &Candidate,
        known: Option<&Stand>,
        second: &Candidate,
    ) -> Vec<Vec<Candidate>> {
        let fresh = if known.is_none() { self.try_one(base, first).map(|(stand, _)| stand) } else { None };
        let Some(stand) = known.or(fresh.as_ref()) else { return Vec::new() };
        let Some((_, outcome)) = self.outcome(stand, second) else { return Vec::new() };
        let (firsts, seconds) = (first.apart(), second.apart());
        if firsts.len() * seconds.len() == 1 || self.is_clear_cut(&outcome) {
            let works = standing(&outcome) == self.wanted;
            return works.then(|| vec![first.clone(), second.clone()]).into_iter().collect();
        }
        self.at_each_terminal(base, &firsts, &seconds)
    }

    /// The pairs of terminals at which two leads, or a lead and something else, work: those of the second that do so
    /// with the same of the first together. Which is done first is told by the file for each pair of terminals anew.
    fn at_each_terminal(&self, base: &Stand, firsts: &[Candidate], seconds: &[Candidate]) -> Vec<Vec<Candidate>> {
        let works = |after: &Option<(Stand, Outcome)>, then: &Candidate| {
            let outcome = after.as_ref().and_then(|(stand, _)| self.outcome(stand, then)).map(|(_, outcome)| outcome);
            outcome.is_some_and(|outcome| standing(&outcome) == self.wanted)
        };
        let after_second: Vec<OnceCell<Option<(Stand, Outcome)>>> = seconds.iter().map(|_| OnceCell::new()).collect();
        let turned = |first: &Candidate, second: &Candidate| second.place(self.circuit) < first.place(self.circuit);
        let mut found: Vec<(bool, Vec<Candidate>, Vec<usize>)> = Vec::new();
        for first in firsts {
            let after_first = self.try_one(base, first);
            for is_turned in [false, true] {
                let does = |i: usize| {
                    let second = &seconds[i];
                    turned(first, second) == is_turned
                        && if is_turned {
                            works(after_second[i].get_or_init(|| self.try_one(base, second)), first)
                        } else {
                            works(&after_first, second)
                        }
                };
                let working: Vec<usize> = (0..seconds.len()).filter(|i| does(*i)).collect();
                if working.is_empty() {
                    continue;
                }
                match found.iter_mut().find(|(way, _, known)| *way == is_turned && *known == working) {
                    Some((_, ways, _)) => ways.push(first.clone()),
                    None => found.push((is_turned, vec![first.clone()], working)),
                }
            }
        }
        found
            .into_iter()
            .filter_map(|(is_turned, ways, working)| {
                let working: Vec<Candidate> = working.iter().map(|i| seconds[*i].clone()).collect();
                let mut pair = vec![Candidate::together(&ways)?, Candidate::together(&working)?];
                if is_turned {
                    pair.reverse();
                }
                Some(pair)
            })
            .collect()
    }

    /// The stand after one more act, and its outcome; none where the act cannot be done there.
    fn try_one(&self, stand: &Stand, candidate: &Candidate) -> Option<(Stand, Outcome)> {
        let (inputs, outcome) = self.outcome(stand, candidate)?;
        Some((Stand { inputs, memory: outcome.memory.clone() }, outcome))
    }

    /// The outcome of one more act, and what stands imposed by then.
    fn outcome(&self, stand: &Stand, candidate: &Candidate) -> Option<(Inputs, Outcome)> {
        let mut inputs = stand.inputs.clone();
        let sprung = candidate.impose(self.circuit, &mut inputs)?;
        let mut outcome = self.engine.settle(&inputs, &stand.memory);
        if sprung {
            inputs.turned = stand.inputs.turned.clone();
            outcome = self.engine.settle(&inputs, &outcome.memory);
        }
        Some((inputs, outcome))
    }

    /// Whether no wire's drop could have decided it: no fuse opened close before another or near its limit, no coil,
    /// module or timer stands near its.
    fn is_clear_cut(&self, outcome: &Outcome) -> bool {
        let fuse_near = |rating: f64, amps: f64| {
            let load = amps.abs() / rating;
            load > FUSE_OPENS_AT / NEAR && load < FUSE_OPENS_AT * NEAR
        };
        let lead_amps = outcome.lead_amps.values().fold(0.0_f64, |most, amps| most.max(amps.abs()));
        let near = |value: f64, limit: f64| (value - limit).abs() <= BETWEEN_OHMS * lead_amps;
        let opened = outcome.opened.iter().any(|o| o.is_close || fuse_near(o.rating_amps, o.amps));
        if opened || !outcome.settled() {
            return false;
        }
        let coils = outcome.coils.values().any(|coil| {
            let volts = coil.volts.unwrap_or(0.0).abs();
            near(volts, coil.pulls_in_now) || near(volts, coil.drops_out_now)
        });
        let parts = self.circuit.parts_with_ids().any(|(id, _)| {
            let volts = |place: usize| outcome.part_volts[self.circuit.terminal_at(id, place).index()];
            let across = |a: usize, b: usize| Some(volts(a)? - volts(b)?);
            match self.inputs.kind(self.circuit, id) {
                Kind::Fuse(fuse) => fuse_near(fuse.amps, outcome.part_amps[id.index()]),
                Kind::Module(module) => {
                    let supply = across(0, 1).unwrap_or(0.0);
                    near(supply, module.works_from) || across(3, 1).is_some_and(|v| near(v, FED_SHARE * supply))
                }
                Kind::Timer(_) => {
                    let supply = across(0, 1).unwrap_or(0.0);
                    near(supply, TIMER_WORKS_FROM) || across(2, 1).is_some_and(|v| near(v, FED_SHARE * supply))
                }
                Kind::Battery(_)
                | Kind::KeySwitch(_)
                | Kind::HandSwitch(_)
                | Kind::SelectorSwitch(_)
                | Kind::TemperatureSwitch(_)
                | Kind::PressureSwitch(_)
                | Kind::Relay(_)
                | Kind::AirValve(_)
                | Kind::Diode(_)
                | Kind::Resistor(_)
                | Kind::Lamp(_)
                | Kind::Connector(_)
                | Kind::Splice(_)
                | Kind::Ground(_) => false,
            }
        });
        !coils && !parts
    }
}

/// Whether only currents move anything in a circuit: no module or timer looks at volts, no diode waits for them.
fn is_plain(circuit: &Circuit, inputs: &Inputs) -> bool {
    let waits = |kind: &Kind| matches!(kind, Kind::Module(_) | Kind::Timer(_) | Kind::Diode(_));
    // A suppressor diode lies across its winding, which holds both its ends at one level unless it is broken.
    !circuit.parts().iter().any(|part| waits(&part.kind)) && inputs.altered.coil_open.is_empty()
}

/// How many test leads' fuses are blown.
fn blown(outcome: &Outcome) -> usize {
    outcome.memory.blown_leads.len()
}
