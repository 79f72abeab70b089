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
use crate::physics::engine::{Engine, Lean};
use crate::physics::inputs::Inputs;
use crate::physics::state::{Memory, Outcome, Settling};
use crate::study::answer::Standing;
use crate::study::progress::Progress;

use super::candidates::{Candidate, Piece, pieces, shape};
use super::describe::describe;
use super::{Class, ProvingAct, pairs};
use crate::study::explain::{standing, standing_of};
use crate::study::rooms::Rooms;

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
    after: After,
    /// Everything as it stands then, where that tells which other candidates are idle.
    still: Option<Outcome>,
}

/// What one more act has come to.
struct After {
    stand: Stand,
    /// Whether the clutch is as wanted.
    works: bool,
    settled: bool,
    /// Whether no wire's drop could have decided it.
    is_clear_cut: bool,
}

/// Every single act, and if wanted every pair, that brings the clutch to `wanted` from where it is not, and how many
/// were tried.
pub(super) fn search(
    bench: &Bench,
    candidates: &[Candidate],
    wanted: Standing,
    with_pairs: bool,
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
        wanted,
        rooms: Rooms::default(),
        pieces: pieces(circuit),
        is_plain: is_plain(circuit, &base.inputs),
    };
    progress.expect(candidates.len());
    let single = |candidate| {
        progress.count(1);
        let done = if progress.is_stopped() { Vec::new() } else { trial.single(&base, candidate) };
        // What does not work alone is of use in pairs only.
        done.into_iter().filter(|done| with_pairs || done.after.works)
    };
    let mut singles: Vec<Done> = candidates.par_iter().flat_map_iter(single).collect();
    // A lead taken apart may be written at other parts than the whole.
    singles.sort_by_cached_key(|done| done.candidate.place(circuit));
    let (found, rest): (Vec<&Done>, Vec<&Done>) = singles.iter().partition(|done| done.after.works);
    let mut found: Vec<Vec<Candidate>> = found.iter().map(|done| vec![done.candidate.clone()]).collect();
    let pairs_of_rest = pairs(rest.len());
    progress.expect(pairs_of_rest);
    let worked: Vec<Vec<Candidate>> = rest
        .par_iter()
        .enumerate()
        .flat_map_iter(|(at, first)| {
            let later = if progress.is_stopped() { &[] } else { &rest[at + 1..] };
            progress.count(rest.len() - at - 1);
            later.iter().flat_map(|second| trial.pair(&base, first, second))
        })
        .collect();
    found.extend(worked);
    let described: Vec<(Shape, ProvingAct)> =
        found.par_iter().filter_map(|acts| Some((shape(circuit, acts), describe(bench, acts, wanted)?))).collect();
    let mut answers = as_one(described);
    answers
        .sort_by_cached_key(|a| (a.class, a.acts.len(), a.acts.iter().map(|act| act.to_string()).collect::<Vec<_>>()));
    (answers, if with_pairs { singles.len() } else { candidates.len() } + pairs_of_rest)
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
    wanted: Standing,
    rooms: Rooms,
    pieces: BTreeMap<WireId, Piece>,
    /// Whether only currents move anything in this circuit.
    is_plain: bool,
}

impl Trial<'_> {
    /// A candidate done from the beginning; in several, where its pairs of terminals do not all do the same; none
    /// where it cannot be done.
    fn single(&self, base: &Stand, candidate: &Candidate) -> Vec<Done> {
        let Some(after) = self.after(base, candidate) else { return Vec::new() };
        let apart = candidate.apart();
        if apart.len() == 1 || after.is_clear_cut {
            return vec![self.done(candidate.clone(), after)];
        }
        let mut groups: Vec<(Vec<Candidate>, After)> = Vec::new();
        for way in apart {
            let Some(after) = self.after(base, &way) else { continue };
            let alike = |known: &After| {
                let (one, other) = (&known.stand.memory, &after.stand.memory);
                one.parts == other.parts && one.blown_leads.len() == other.blown_leads.len()
            };
            match groups.iter_mut().find(|(_, known)| alike(known)) {
                Some((ways, _)) => ways.push(way),
                None => groups.push((vec![way], after)),
            }
        }
        let together = |(ways, after): (Vec<Candidate>, After)| Some(self.done(Candidate::together(&ways)?, after));
        groups.into_iter().filter_map(together).collect()
    }

    fn done(&self, candidate: Candidate, after: After) -> Done {
        let is_asked = self.is_plain && after.settled && !after.works;
        let still = is_asked.then(|| self.engine.settle(&after.stand.inputs, &after.stand.memory));
        Done { candidate, after, still }
    }

    /// The pairs that work of two candidates of which neither does alone.
    fn pair(&self, base: &Stand, first: &Done, second: &Done) -> Vec<Vec<Candidate>> {
        if let Some(parted) = first.candidate.parted_by(&second.candidate, &self.pieces) {
            return parted.into_iter().flat_map(|piece| self.one_pair(base, &piece, None, &second.candidate)).collect();
        }
        if first.still.as_ref().is_some_and(|still| second.candidate.is_idle(self.circuit, still)) {
            // Nothing moves, so the clutch stays as the first act alone left it, and that is not as wanted.
            return Vec::new();
        }
        self.one_pair(base, &first.candidate, Some(&first.after.stand), &second.candidate)
    }

    /// One pair, the first done already where its stand is given.
    fn one_pair(
        &self,
        base: &Stand,
        first: &Candidate,
        known: Option<&Stand>,
        second: &Candidate,
    ) -> Vec<Vec<Candidate>> {
        let fresh = if known.is_none() { self.after(base, first).map(|after| after.stand) } else { None };
        let Some(stand) = known.or(fresh.as_ref()) else { return Vec::new() };
        let Some((works, is_clear_cut)) = self.tried(stand, second) else { return Vec::new() };
        let (firsts, seconds) = (first.apart(), second.apart());
        if firsts.len() * seconds.len() == 1 || is_clear_cut {
            return works.then(|| vec![first.clone(), second.clone()]).into_iter().collect();
        }
        self.at_each_terminal(base, &firsts, &seconds)
    }

    /// The pairs of terminals at which two leads, or a lead and something else, work: those of the second that do so
    /// with the same of the first together. Which is done first is told by the file for each pair of terminals anew.
    fn at_each_terminal(&self, base: &Stand, firsts: &[Candidate], seconds: &[Candidate]) -> Vec<Vec<Candidate>> {
        let works = |after: &Option<After>, then: &Candidate| {
            after.as_ref().and_then(|after| self.tried(&after.stand, then)).is_some_and(|(works, _)| works)
        };
        let after_second: Vec<OnceCell<Option<After>>> = seconds.iter().map(|_| OnceCell::new()).collect();
        let turned = |first: &Candidate, second: &Candidate| second.place(self.circuit) < first.place(self.circuit);
        let mut found: Vec<(bool, Vec<Candidate>, Vec<usize>)> = Vec::new();
        for first in firsts {
            let after_first = self.after(base, first);
            for is_turned in [false, true] {
                let does = |i: usize| {
                    let second = &seconds[i];
                    turned(first, second) == is_turned
                        && if is_turned {
                            works(after_second[i].get_or_init(|| self.after(base, second)), first)
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

    /// What one more act comes to; none where it cannot be done there.
    fn after(&self, stand: &Stand, candidate: &Candidate) -> Option<After> {
        self.settled(stand, candidate, |inputs, lean| After {
            works: self.is_wanted(lean),
            settled: lean.settling == Settling::Settled,
            is_clear_cut: !lean.is_close,
            stand: Stand { inputs, memory: lean.memory.clone() },
        })
    }

    /// Whether one more act brings the clutch to what is wanted, and whether that is clear cut.
    fn tried(&self, stand: &Stand, candidate: &Candidate) -> Option<(bool, bool)> {
        self.settled(stand, candidate, |_, lean| (self.is_wanted(lean), !lean.is_close))
    }

    fn is_wanted(&self, lean: &Lean) -> bool {
        standing_of(&lean.settling, lean.clutch.as_ref()) == self.wanted
    }

    /// Shows what one more act has settled to, with what stands imposed by then.
    fn settled<R>(&self, stand: &Stand, candidate: &Candidate, show: impl FnOnce(Inputs, &Lean) -> R) -> Option<R> {
        let mut inputs = stand.inputs.clone();
        let sprung = candidate.impose(self.circuit, &mut inputs)?;
        Some(self.rooms.with(|lean| {
            self.engine.settle_judged(&inputs, &stand.memory, BETWEEN_OHMS, lean);
            if sprung {
                inputs.turned.clone_from(&stand.inputs.turned);
                let before = lean.memory.clone();
                self.engine.settle_judged(&inputs, &before, BETWEEN_OHMS, lean);
            }
            show(inputs, lean)
        }))
    }
}

/// Whether only currents move anything in a circuit: no module or timer looks at volts, no diode waits for them.
fn is_plain(circuit: &Circuit, inputs: &Inputs) -> bool {
    let waits = |kind: &Kind| matches!(kind, Kind::Module(_) | Kind::Timer(_) | Kind::Diode(_));
    // A suppressor diode lies across its winding, which holds both its ends at one level unless it is broken.
    !circuit.parts().iter().any(|part| waits(&part.kind)) && inputs.altered.coil_open.is_empty()
}
