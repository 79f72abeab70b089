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
    /// For each the amps that those before it have less for an amp in it.
    taken: [[f64; MOST_LOOPS]; MOST_LOOPS],
    /// What [`Shared::share`] is with each the last of them.
    shares: [f64; MOST_LOOPS],
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
    }

    /// How many they are.
    pub(super) fn count(&self) -> usize {
        self.ends.len()
    }

    /// Takes changes up, of different branches; false where one is no current, figures would be lost, or too little is
    /// known.
    pub(super) fn take_up(&mut self, solved: &Solved, changes: &[Change]) -> bool {
        self.clear(solved);
        changes.iter().all(|change| self.push(solved, *change))
    }

    /// Takes one more up, in the same way.
    pub(super) fn push(&mut self, solved: &Solved, change: Change) -> bool {
        let count = self.count();
        if count == MOST_LOOPS {
            return false;
        }
        let current = match solved.effect(change) {
            Effect::Nothing => {
                self.lifts.resize(self.lifts.len() + self.rows, 0.0);
                (self.over[count], self.amps[count], self.shares[count]) = (0.0, 0.0, self.share());
                self.taken[count] = [0.0; MOST_LOOPS];
                self.ends.push([0, 0]);
                return true;
            }
            Effect::Current { a, b, per_volt, amps } => (a, b, per_volt, amps),
            Effect::Adrift | Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => return false,
        };
        let mut beside = Beside::default();
        if !self.put_beside(solved, change, current, &mut beside) {
            return false;
        }
        let Beside { a, b, ohms, amps, taken } = beside;
        let begun = self.lifts.len();
        self.lifts.resize(begun + self.rows, 0.0);
        let (before, lifts) = self.lifts.split_at_mut(begun);
        if !solved.ohms.put_between(&solved.watch_of, [a, b], lifts) {
            self.lifts.truncate(begun);
            return false;
        }
        for (theirs, taken) in before.chunks_exact(self.rows).zip(taken) {
            take_off(lifts, theirs, taken);
        }
        let share = solved.share_of(change, (a, b, current.2)) / SHARE_FOR_TWO;
        (self.over[count], self.amps[count], self.shares[count]) = (1.0 / ohms, amps, share.min(self.share()));
        self.taken[count] = taken;
        self.ends.push([a, b]);
        true
    }

    /// Forgets all but the first so many.
    pub(super) fn keep(&mut self, count: usize) {
        self.ends.truncate(count);
        self.lifts.truncate(count * self.rows);
    }

    /// The least share of the ohms to the anchor that one of them has, over the least that asks for no more figures; one at
    /// most.
    fn share(&self) -> f64 {
        self.count().checked_sub(1).map_or(1.0, |last| self.shares[last])
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
        ohms.abs() * self.share() >= LEFT_SHARE * alone.abs()
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
    /// How many, side by side: a multiple of [`ABREAST`].
    width: usize,
    /// How many of the shared they follow.
    count: usize,
    /// As they are without any of the shared, with the first, with the first two and so on.
    now: Vec<f64>,
    /// How far an amp in each of the shared lifts them.
    lifts: Vec<f64>,
    /// For each place how far an amp into it lifts them with the shared there; empty where that was not worth its while.
    rows: Vec<f64>,
}

impl Following {
    /// Begins with numbers as they are without any of the shared.
    pub(super) fn clear(&mut self, before: &[f64]) {
        (self.width, self.count) = (before.len(), 0);
        self.now.clear();
        self.now.extend_from_slice(before);
        self.lifts.clear();
        self.rows.clear();
    }

    /// Forgets what followed from all but the first so many of the shared.
    pub(super) fn keep(&mut self, count: usize) {
        self.count = self.count.min(count);
        self.now.truncate((count + 1) * self.width);
        self.lifts.truncate(count * self.width);
        self.rows.clear();
    }

    /// Follows those of the shared that it does not yet; `before` holds for each place how far an amp into it lifts each
    /// number without the shared.
    #[inline(always)]
    pub(super) fn follow(&mut self, shared: &Shared, before: &[f64]) {
        if self.count < shared.count() {
            self.follow_more(shared, before);
        }
    }

    fn follow_more(&mut self, shared: &Shared, before: &[f64]) {
        let width = self.width;
        for at in self.count..shared.count() {
            let rows = shared.ends[at].map(|place| &before[place * width..(place + 1) * width]);
            let begun = self.lifts.len();
            self.lifts.resize(begun + width, 0.0);
            self.now.resize(begun + 2 * width, 0.0);
            let (known, lifts) = self.lifts.split_at_mut(begun);
            put_lifts(rows, known, &shared.taken[at], lifts);
            let (before, now) = self.now.split_at_mut(begun + width);
            put_less(&before[begun..], shared.amps[at], lifts, now);
        }
        self.count = shared.count();
    }

    /// Works out what an amp into each place does with the shared there, from what it does without them: for very many
    /// currents.
    pub(super) fn take_rows(&mut self, shared: &Shared, before: &[f64]) {
        if self.count == 0 || !self.rows.is_empty() {
            return;
        }
        self.rows.extend_from_slice(before);
        let rest = shared.lifts.chunks_exact(shared.rows).zip(shared.over);
        for (theirs, (lifts, over)) in self.lifts.chunks_exact(self.width).zip(rest) {
            take_off_rows(&mut self.rows, theirs, lifts, over);
        }
    }

    /// As they are with all that is followed there.
    #[inline(always)]
    pub(super) fn now(&self) -> &[f64] {
        &self.now[self.now.len() - self.width..]
    }

    /// Puts them as they are with a current more; `before` holds for each place how far an amp into it lifts each without
    /// the shared.
    #[inline(always)]
    pub(super) fn put(&self, before: &[f64], current: &Beside, out: &mut [f64]) {
        let width = self.width;
        let row = |place: usize| place * width..(place + 1) * width;
        let now = self.now().as_chunks::<ABREAST>().0;
        let blocks = now.len();
        let (rows, count) = if self.rows.is_empty() { (before, self.count) } else { (&self.rows[..], 0) };
        let at_a = &rows[row(current.a)].as_chunks::<ABREAST>().0[..blocks];
        let at_b = &rows[row(current.b)].as_chunks::<ABREAST>().0[..blocks];
        let out = &mut out.as_chunks_mut::<ABREAST>().0[..blocks];
        let taken = &current.taken[..count];
        if taken.is_empty() {
            for block in 0..blocks {
                out[block] = less(&now[block], current.amps, &at_a[block], &at_b[block]);
            }
            return;
        }
        let shared = self.lifts.as_chunks::<ABREAST>().0;
        for block in 0..blocks {
            let mut lifted = at_a[block];
            let mut at = block;
            for taken in taken {
                let theirs = &shared[at];
                at += blocks;
                for lane in 0..ABREAST {
                    lifted[lane] -= taken * theirs[lane];
                }
            }
            out[block] = less(&now[block], current.amps, &lifted, &at_b[block]);
        }
    }
}

/// Numbers less what a current from one place to another lifts them by.
#[inline(always)]
fn less(now: &[f64; ABREAST], amps: f64, at_a: &[f64; ABREAST], at_b: &[f64; ABREAST]) -> [f64; ABREAST] {
    let mut less = [0.0; ABREAST];
    for lane in 0..ABREAST {
        less[lane] = now[lane] - amps * (at_a[lane] - at_b[lane]);
    }
    less
}

/// Puts how far an amp from one place to another lifts numbers, by its places' rows and what the shared before it lift,
/// each with the amps that it has less.
#[multiversion(targets("x86_64+avx+avx2"))]
fn put_lifts([at_a, at_b]: [&[f64]; 2], known: &[f64], taken: &[f64], out: &mut [f64]) {
    let (at_a, at_b) = (at_a.as_chunks::<ABREAST>().0, at_b.as_chunks::<ABREAST>().0);
    let (known, blocks) = (known.as_chunks::<ABREAST>().0, at_a.len());
    for (block, out) in out.as_chunks_mut::<ABREAST>().0.iter_mut().enumerate() {
        let (mut row, at_a, at_b) = ([0.0; ABREAST], &at_a[block], &at_b[block]);
        for lane in 0..ABREAST {
            row[lane] = at_a[lane] - at_b[lane];
        }
        let mut at = block;
        for taken in &taken[..known.len() / blocks] {
            let theirs = &known[at];
            at += blocks;
            for lane in 0..ABREAST {
                row[lane] -= taken * theirs[lane];
            }
        }
        *out = row;
    }
}

/// Puts numbers less so many times what each is lifted.
#[multiversion(targets("x86_64+avx+avx2"))]
fn put_less(before: &[f64], amps: f64, lifts: &[f64], out: &mut [f64]) {
    let lifts = before.as_chunks::<ABREAST>().0.iter().zip(lifts.as_chunks::<ABREAST>().0);
    for (out, (before, lifts)) in out.as_chunks_mut::<ABREAST>().0.iter_mut().zip(lifts) {
        for lane in 0..ABREAST {
            out[lane] = before[lane] - amps * lifts[lane];
        }
    }
}

/// Takes off each place's row what one of the shared carries of an amp into that place.
#[multiversion(targets("x86_64+avx+avx2"))]
fn take_off_rows(rows: &mut [f64], theirs: &[f64], lifts: &[f64], over: f64) {
    let theirs = theirs.as_chunks::<ABREAST>().0;
    for (row, lift) in rows.as_chunks_mut::<ABREAST>().0.chunks_exact_mut(theirs.len()).zip(lifts) {
        let taken = lift * over;
        for (row, theirs) in row.iter_mut().zip(theirs) {
            for lane in 0..ABREAST {
                row[lane] -= taken * theirs[lane];
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
            volts.clear(&self.volts);
            volts.follow(&loops, self.ohms.columns());
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
            Effect::Nothing => out.copy_from_slice(volts.now()),
            Effect::Current { a, b, per_volt, amps } => {
                let mut beside = Beside::default();
                if !shared.put_beside(self, change, (a, b, per_volt, amps), &mut beside) {
                    return false;
                }
                volts.put(self.ohms.columns(), &beside, out);
            }
            Effect::Adrift | Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => return false,
        }
        true
    }
}
