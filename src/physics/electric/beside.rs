//! What one change does to a solved network beside several others that many copies have in common.
//!
//! The others are currents between two places each, found one after the other as in [`several`](mod@super::several), and
//! once for all copies: for each is kept how far an amp in it lifts every place with those before it there. A change beside
//! them is then no more than the last of these, whichever it is, and asks of each but how far it lifts two places. Where
//! that would lose figures, a copy is solved by a sweep of its own. What one change does alone is left to
//! [`altered`](super::altered).

use multiversion::multiversion;

use super::altered::{Change, Effect, LEFT_SHARE, SHARE_FOR_TWO, Scratch};
use super::inverse::ABREAST;
use super::prepared::Solved;
use super::several::MOST_LOOPS;
use super::sweep::LANES;

/// Changes that many copies have in common, each a current with what those before it leave of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Shared {
    /// How many numbers there are for each in `lifts`: one for each place, the anchor among them.
    rows: usize,
    /// For each how far an amp in it lifts every place.
    lifts: Vec<f64>,
    /// Between which places each is.
    ends: Vec<[usize; 2]>,
    /// One over the ohms of each.
    over: [f64; MOST_LOOPS],
    /// Amps in each, those after it not there.
    amps: [f64; MOST_LOOPS],
    /// The least share of the ohms to the anchor that one of them has, over the least that asks for no more figures; one
    /// at most.
    share: f64,
}

/// A current beside those that are shared.
#[derive(Clone, Debug, Default)]
pub(super) struct Beside {
    pub(super) a: usize,
    pub(super) b: usize,
    /// Ohms of its loop with the shared there.
    ohms: f64,
    pub(super) amps: f64,
    /// Amps that each of the shared has less for an amp in this one.
    taken: [f64; MOST_LOOPS],
}

impl Shared {
    /// Forgets all of them, on a network of so many places.
    pub(super) fn clear(&mut self, solved: &Solved) {
        self.rows = solved.level.len();
        self.lifts.clear();
        self.ends.clear();
        self.share = 1.0;
    }

    /// How many they are.
    pub(super) fn count(&self) -> usize {
        self.ends.len()
    }

    /// Takes changes up, of different branches; false where one is no current, figures would be lost, or too little is
    /// known.
    pub(super) fn take_up(&mut self, solved: &Solved, changes: &[Change]) -> bool {
        self.clear(solved);
        changes.iter().all(|change| match solved.effect(*change) {
            Effect::Nothing => true,
            Effect::Current { a, b, per_volt, amps } => self.push(solved, *change, (a, b, per_volt, amps)),
            Effect::Adrift | Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => false,
        })
    }

    fn push(&mut self, solved: &Solved, change: Change, current: (usize, usize, f64, f64)) -> bool {
        let count = self.count();
        if count == MOST_LOOPS {
            return false;
        }
        let mut beside = Beside::default();
        if !self.put_beside(solved, change, current, &mut beside) {
            return false;
        }
        let Beside { a, b, ohms, amps, taken } = beside;
        let begun = self.lifts.len();
        self.lifts.resize(begun + self.rows, 0.0);
        let (before, lifts) = self.lifts.split_at_mut(begun);
        if !solved.ohms.put_between(&solved.watch_of, [a, b], lifts) {
            return false;
        }
        for (theirs, taken) in before.chunks_exact(self.rows).zip(taken) {
            take_off(lifts, theirs, taken);
        }
        self.ends.push([a, b]);
        (self.over[count], self.amps[count]) = (1.0 / ohms, amps);
        self.share = self.share.min(solved.share_of(change, (a, b, current.2)) / SHARE_FOR_TWO);
        true
    }

    /// Puts a current as it is with the shared there; false where figures would be lost.
    #[inline(always)]
    pub(super) fn put_beside(
        &self,
        solved: &Solved,
        change: Change,
        (a, b, per_volt, amps): (usize, usize, f64, f64),
        beside: &mut Beside,
    ) -> bool {
        let alone = 1.0 / per_volt;
        (beside.a, beside.b, beside.ohms, beside.amps) = (a, b, alone, amps);
        if self.ends.is_empty() {
            return true;
        }
        let (mut ohms, mut volts) = (alone, amps * alone);
        let shared = self.lifts.chunks_exact(self.rows).zip(self.over.iter().zip(&self.amps));
        for ((lifts, (over, amps)), taken) in shared.zip(&mut beside.taken) {
            let mutual = lifts[a] - lifts[b];
            *taken = mutual * over;
            ohms -= *taken * mutual;
            volts -= mutual * amps;
        }
        (beside.ohms, beside.amps) = (ohms, volts / ohms);
        // What is left of its ohms once the others are there, more of it wanted the less either is of the ohms to the anchor.
        ohms.abs() * self.share >= LEFT_SHARE * alone.abs()
            && (solved.is_bridge(change) || ohms.abs() >= LEFT_SHARE * SHARE_FOR_TWO * solved.ohms_to_anchor(a, b))
    }

    /// Whether one of them leads from what lies beyond a bridge to what does not.
    pub(super) fn spans(&self, solved: &Solved, beyond: usize) -> bool {
        let is_beyond = |place| solved.bridges.is_beyond(place, beyond);
        self.ends.iter().any(|[a, b]| is_beyond(*a) != is_beyond(*b))
    }
}

/// Numbers that follow from the currents, side by side: volts of the watched, or whatever is the sum of some.
#[derive(Clone, Debug, Default)]
pub(super) struct Following {
    /// As they are with the shared changes there: a multiple of [`ABREAST`].
    pub(super) now: Vec<f64>,
    /// How far an amp in each of the shared lifts them: for each [`ABREAST`] of them, that of all shared in turn.
    lifts: Vec<f64>,
    /// How many are shared.
    count: usize,
}

impl Following {
    /// Takes up numbers that were so before, each lifted as told by how far the places are.
    pub(super) fn take_up(&mut self, shared: &Shared, before: &[f64], lift: impl Fn(&[f64], usize) -> f64) {
        self.now.clear();
        self.now.extend_from_slice(before);
        self.lifts.clear();
        self.count = shared.count();
        for (block, now) in self.now.as_chunks_mut::<ABREAST>().0.iter_mut().enumerate() {
            for (lifts, amps) in shared.lifts.chunks_exact(shared.rows).zip(&shared.amps) {
                let lifted: [f64; ABREAST] = std::array::from_fn(|lane| lift(lifts, block * ABREAST + lane));
                self.lifts.extend_from_slice(&lifted);
                for lane in 0..ABREAST {
                    now[lane] -= amps * lifted[lane];
                }
            }
        }
    }

    /// Puts them as they are with a current more; `lifts` is how far an amp at either of its ends lifts each without the
    /// shared.
    #[inline(always)]
    pub(super) fn put(&self, lifts: [&[f64]; 2], current: &Beside, out: &mut [f64]) {
        let now = self.now.as_chunks::<ABREAST>().0;
        let blocks = now.len();
        let [at_a, at_b] = lifts.map(|lifts| &lifts.as_chunks::<ABREAST>().0[..blocks]);
        let out = &mut out.as_chunks_mut::<ABREAST>().0[..blocks];
        let taken = &current.taken[..self.count];
        let mut shared = self.lifts.as_chunks::<ABREAST>().0;
        for block in 0..blocks {
            let mut less = [0.0; ABREAST];
            let (here, rest) = shared.split_at(taken.len());
            shared = rest;
            for (theirs, taken) in here.iter().zip(taken) {
                for lane in 0..ABREAST {
                    less[lane] += taken * theirs[lane];
                }
            }
            let (now, at_a, at_b) = (&now[block], &at_a[block], &at_b[block]);
            for lane in 0..ABREAST {
                out[block][lane] = now[lane] - current.amps * (at_a[lane] - at_b[lane] - less[lane]);
            }
        }
    }
}

/// Takes so many times other numbers off.
#[multiversion(targets("x86_64+avx+avx2"))]
fn take_off(lifts: &mut [f64], theirs: &[f64], taken: f64) {
    lifts.iter_mut().zip(theirs).for_each(|(lift, theirs)| *lift -= taken * theirs);
}

/// Whether two changes are of one branch.
fn is_of_one_branch(one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::Branch { branch: one, .. }, Change::Branch { branch: other, .. }) => one == other,
        (Change::Branch { .. } | Change::Tie { .. }, _) => false,
    }
}

impl Solved {
    /// Volts of the watched nodes with all of some changes at once, of different branches, and each of others alone beside
    /// them, by the number of the other; not a number where one floats. Where a change and one beside it are of one branch, the one beside
    /// counts. The order is always the same and not that of the numbers.
    pub fn beside(
        &self,
        shared: &[Change],
        changes: &[Change],
        scratch: &mut Scratch,
        mut each: impl FnMut(usize, &[f64]),
    ) {
        let mut out = std::mem::take(&mut scratch.out);
        out.clear();
        out.resize(self.ohms.width(), 0.0);
        let mut unsure = std::mem::take(&mut scratch.unsure);
        unsure.clear();
        let watched = self.watched().len();
        let (mut loops, mut volts) = (Shared::default(), Following::default());
        let is_told = loops.take_up(self, shared);
        if is_told {
            volts.take_up(&loops, &self.volts, |lifts, at| lifts[self.places[at]]);
        }
        for (number, change) in changes.iter().enumerate() {
            let is_of_shared = shared.iter().any(|other| is_of_one_branch(change, other));
            if is_told && !is_of_shared && self.put_with(&loops, &volts, *change, &mut out) {
                each(number, &out[..watched]);
            } else if shared.iter().chain([change]).all(|change| self.has_room_for(*change)) {
                unsure.push(number);
            } else {
                scratch.solved_anew += 1;
                self.put_compiled(&[&[*change], shared].concat(), &mut out);
                each(number, &out[..watched]);
            }
        }
        for some in unsure.chunks(LANES) {
            let copies: Vec<Vec<Change>> = some.iter().map(|number| [&[changes[*number]], shared].concat()).collect();
            self.solve_lanes(copies.iter().map(Vec::as_slice), scratch);
            for (lane, number) in some.iter().enumerate() {
                self.put_lane(lane, scratch, &mut out);
                each(*number, &out[..watched]);
            }
        }
        (scratch.out, scratch.unsure) = (out, unsure);
    }

    /// Volts with a change beside others; false where that would lose figures.
    fn put_with(&self, shared: &Shared, volts: &Following, change: Change, out: &mut [f64]) -> bool {
        match self.effect(change) {
            Effect::Nothing => out.copy_from_slice(&volts.now),
            Effect::Current { a, b, per_volt, amps } => {
                let mut beside = Beside::default();
                if !shared.put_beside(self, change, (a, b, per_volt, amps), &mut beside) {
                    return false;
                }
                volts.put([self.ohms.column(a), self.ohms.column(b)], &beside, out);
            }
            Effect::Adrift | Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => return false,
        }
        true
    }
}
