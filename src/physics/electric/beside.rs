//! What one change does to a solved network beside several others that are all there.
//!
//! The others are currents between two places each, found one after the other: every one with what those before it leave
//! of its ohms and its volts, as elimination leaves of a network (M. A. Woodbury, "Inverting modified matrices", 1950,
//! for several at once). The one beside them is then no more than the last of these, whichever it is, so that many
//! such copies cost little. Where that would lose figures, a copy is solved by a sweep of its own. What one change does
//! alone is left to [`altered`](super::altered).

use multiversion::multiversion;

use super::altered::{Change, Effect, LEFT_SHARE, SHARE_FOR_TWO, Scratch, put_lifted};
use super::inverse::ABREAST;
use super::prepared::Solved;
use super::sweep::LANES;

/// Most changes that others are found beside as currents.
const MOST_LOOPS: usize = 12;

/// A change that is a current, with what others before it leave of it.
#[derive(Clone, Debug)]
struct Loop {
    a: usize,
    b: usize,
    /// Ohms of the loop, its own among them.
    ohms: f64,
    /// Volts that drive it.
    volts: f64,
    /// What an amp in each of the later ones does between its ends.
    mutual: Vec<f64>,
}

/// Changes that are all there at once.
#[derive(Clone, Debug)]
struct Loops {
    loops: Vec<Loop>,
    /// The least share of the ohms to the anchor that one of them has.
    least_share: f64,
    /// Volts of the watched with all of them.
    volts: Vec<f64>,
}

/// Whether two changes are of one branch.
fn is_of_one_branch(one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::Branch { branch: one, .. }, Change::Branch { branch: other, .. }) => one == other,
        (Change::Branch { .. } | Change::Tie { .. }, _) => false,
    }
}

impl Solved<'_> {
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
        let loops = self.loops(shared);
        for (number, change) in changes.iter().enumerate() {
            let is_of_shared = shared.iter().any(|other| is_of_one_branch(change, other));
            let loops = loops.as_ref().filter(|_| !is_of_shared);
            if loops.is_some_and(|loops| self.put_beside(loops, *change, &mut out)) {
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

    /// Changes that are a current each, found one after the other; none where that would lose figures, or too little is
    /// known.
    fn loops(&self, changes: &[Change]) -> Option<Loops> {
        let mut all = Loops { loops: Vec::with_capacity(changes.len()), least_share: 1.0, volts: self.volts.clone() };
        for change in changes {
            match self.beside_loops(&all, *change)? {
                None => {}
                Some((one, share, mutual)) => {
                    for (loops, mutual) in all.loops.iter_mut().zip(mutual) {
                        loops.mutual.push(mutual);
                    }
                    all.loops.push(one);
                    all.least_share = all.least_share.min(share);
                }
            }
        }
        let mut amps = vec![0.0; all.loops.len()];
        for (at, one) in all.loops.iter().enumerate().rev() {
            let taken: f64 = one.mutual.iter().zip(&amps[at + 1..]).map(|(mutual, amps)| mutual * amps).sum();
            amps[at] = (one.volts - taken) / one.ohms;
            lift_more([self.ohms.column(one.a), self.ohms.column(one.b)], amps[at], &mut all.volts);
        }
        Some(all)
    }

    /// A change as a loop beside others, with its share of the ohms to the anchor and what an amp in it does in each of
    /// those; nothing where nothing changes, and none where figures would be lost.
    #[inline(always)]
    fn beside_loops(&self, others: &Loops, change: Change) -> Option<Option<(Loop, f64, [f64; MOST_LOOPS])>> {
        let (a, b, per_volt, amps) = match self.effect(change) {
            Effect::Nothing => return Some(None),
            Effect::Current { a, b, per_volt, amps } => (a, b, per_volt, amps),
            Effect::Adrift | Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => return None,
        };
        let count = others.loops.len();
        if count == MOST_LOOPS {
            return None;
        }
        let alone = 1.0 / per_volt;
        let mut one = Loop { a, b, ohms: alone, volts: amps * alone, mutual: Vec::new() };
        let mut mutual = [0.0; MOST_LOOPS];
        for (mutual, other) in mutual.iter_mut().zip(&others.loops) {
            *mutual = self.mutual_ohms(other, &one)?;
        }
        for (at, other) in others.loops.iter().enumerate() {
            let back = mutual[at] / other.ohms;
            one.ohms -= back * mutual[at];
            one.volts -= back * other.volts;
            for (later, theirs) in mutual[at + 1..count].iter_mut().zip(&other.mutual) {
                *later -= back * theirs;
            }
        }
        let share = self.share_of(change, (a, b, per_volt));
        let wanted = LEFT_SHARE / (others.least_share.min(share) / SHARE_FOR_TWO).min(1.0);
        // What is left of its ohms once the others are there.
        (count == 0 || one.ohms.abs() >= wanted * alone.abs()).then_some(Some((one, share, mutual)))
    }

    /// Volts with a change beside others; false where that would lose figures.
    fn put_beside(&self, others: &Loops, change: Change, out: &mut [f64]) -> bool {
        let (one, mutual) = match self.beside_loops(others, change) {
            None => return false,
            Some(None) => {
                out.copy_from_slice(&others.volts);
                return true;
            }
            Some(Some((one, _, mutual))) => (one, mutual),
        };
        let amps = one.volts / one.ohms;
        put_lifted(&others.volts, [self.ohms.column(one.a), self.ohms.column(one.b)], amps, out);
        let mut more = [0.0; MOST_LOOPS];
        for (at, other) in others.loops.iter().enumerate().rev() {
            let later = other.mutual.iter().zip(&more[at + 1..]);
            let taken: f64 = mutual[at] * amps + later.map(|(mutual, more)| mutual * more).sum::<f64>();
            more[at] = -taken / other.ohms;
            lift_more([self.ohms.column(other.a), self.ohms.column(other.b)], more[at], out);
        }
        true
    }

    /// What an amp in one loop does between the ends of another.
    fn mutual_ohms(&self, one: &Loop, other: &Loop) -> Option<f64> {
        let lift = |x, y| self.ohms.lift(&self.prepared.schedule, &self.watch_of, x, y);
        Some(lift(one.a, other.a)? - lift(one.a, other.b)? - (lift(one.b, other.a)? - lift(one.b, other.b)?))
    }
}

/// Volts with one current more between two places, by the columns of the two.
#[multiversion(targets("x86_64+avx+avx2"))]
fn lift_more([a, b]: [&[f64]; 2], amps: f64, out: &mut [f64]) {
    let lifts = a.as_chunks::<ABREAST>().0.iter().zip(b.as_chunks::<ABREAST>().0);
    for (out, (at_a, at_b)) in out.as_chunks_mut::<ABREAST>().0.iter_mut().zip(lifts) {
        for lane in 0..ABREAST {
            out[lane] -= amps * (at_a[lane] - at_b[lane]);
        }
    }
}
