//! What one change does to a solved network beside several others that are all there.
//!
//! The others are currents between two places each, found one after the other as in [`several`](mod@super::several). The
//! one beside them is then no more than the last of these, whichever it is, so that many such copies cost little. Where
//! that would lose figures, a copy is solved by a sweep of its own. What one change does alone is left to
//! [`altered`](super::altered).

use super::altered::{Change, Scratch, put_lifted};
use super::prepared::Solved;
use super::several::{Among, Loops, MOST_LOOPS, lift_more};
use super::sweep::LANES;

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
        let loops = self.loops(shared).map(|loops| {
            let mut with = self.volts.clone();
            self.put_currents(&loops, &mut with);
            (loops, with)
        });
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

    /// Volts with a change beside others; false where that would lose figures.
    fn put_beside(&self, (others, with): &(Loops, Vec<f64>), change: Change, out: &mut [f64]) -> bool {
        let (one, mutual) = match self.among(others, change) {
            None => return false,
            Some(None) => {
                out.copy_from_slice(with);
                return true;
            }
            Some(Some(Among { one, mutual, .. })) => (one, mutual),
        };
        let amps = one.volts / one.ohms;
        put_lifted(with, [self.ohms.column(one.a), self.ohms.column(one.b)], amps, out);
        let mut more = [0.0; MOST_LOOPS];
        for (at, other) in others.loops.iter().enumerate().rev() {
            let later: f64 = (at + 1..others.loops.len()).map(|later| other.mutual[later] * more[later]).sum();
            more[at] = -(mutual[at] * amps + later) / other.ohms;
            lift_more([self.ohms.column(other.a), self.ohms.column(other.b)], more[at], out);
        }
        true
    }
}
