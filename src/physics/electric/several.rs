//! What several changes at once do to a solved network, without solving it again.
//!
//! A change is a current between two places; several are found one after the other, every one with what those before it
//! leave of its ohms and its volts, as elimination leaves of a network (M. A. Woodbury, "Inverting modified matrices",
//! 1950). No current is needed where the graph tells: what lies beyond a bridge that is cut floats as it stood, and what
//! floats and is joined at one point stands where that point does. Where figures would be lost, or islands are joined at
//! more points than one, nothing is said. What one change does alone is left to [`altered`](super::altered), many beside
//! the same several to [`beside`](mod@super::beside).

use multiversion::multiversion;

use super::altered::{Change, Effect, LEFT_SHARE, SHARE_FOR_TWO};
use super::inverse::ABREAST;
use super::prepared::Solved;

/// Most changes that are found as currents.
pub(super) const MOST_LOOPS: usize = 12;

/// A change that is a current, with what others before it leave of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Loop {
    pub(super) a: usize,
    pub(super) b: usize,
    /// Ohms of the loop, its own among them.
    pub(super) ohms: f64,
    /// Volts that drive it.
    pub(super) volts: f64,
    /// What an amp in each of the later ones, by its place, does between its ends.
    pub(super) mutual: [f64; MOST_LOOPS],
}

/// Changes that are all there at once.
#[derive(Clone, Debug)]
pub(super) struct Loops {
    pub(super) loops: Vec<Loop>,
    /// The least share of the ohms to the anchor that one of them has.
    least_share: f64,
}

impl Default for Loops {
    fn default() -> Self {
        Self { loops: Vec::new(), least_share: 1.0 }
    }
}

impl Loops {
    fn clear(&mut self) {
        self.loops.clear();
        self.least_share = 1.0;
    }

    fn push(&mut self, Among { one, share, mutual }: Among) {
        let place = self.loops.len();
        for (before, mutual) in self.loops.iter_mut().zip(mutual) {
            before.mutual[place] = mutual;
        }
        self.loops.push(one);
        self.least_share = self.least_share.min(share);
    }

    /// Amps in each.
    fn amps(&self) -> [f64; MOST_LOOPS] {
        let mut amps = [0.0; MOST_LOOPS];
        for (at, one) in self.loops.iter().enumerate().rev() {
            let taken: f64 = (at + 1..self.loops.len()).map(|later| one.mutual[later] * amps[later]).sum();
            amps[at] = (one.volts - taken) / one.ohms;
        }
        amps
    }
}

/// A change as a loop among others.
#[derive(Clone, Copy, Debug)]
pub(super) struct Among {
    pub(super) one: Loop,
    /// Its share of the ohms to the anchor.
    share: f64,
    /// What an amp in it does in each of the others.
    pub(super) mutual: [f64; MOST_LOOPS],
}

/// Two islands joined at a point each.
#[derive(Clone, Copy, Debug)]
struct Landing {
    a: usize,
    b: usize,
    /// Volts by which what stands at `b` is above what stands at `a`, their levels equal.
    volts: f64,
}

/// Part of an island: its number, and one more than the place of the cut beyond which it lies.
type Side = (u32, usize);

/// A copy with several changes at once, and the room it is found in.
#[derive(Clone, Debug, Default)]
pub struct Together {
    /// Volts of the watched, and of nothing where there is room for more; not a number where one floats.
    pub volts: Vec<f64>,
    loops: Loops,
    /// What each cut bridge leads to.
    cuts: Vec<usize>,
    landings: Vec<Landing>,
    /// Those of them that are not found yet.
    waiting: Vec<Landing>,
    /// Volts by which each part of an island that does not float stands higher than its level says.
    landed: Vec<(Side, f64)>,
}

impl Together {
    /// Whether one of the changes joins what lies on either side of a bridge in another way.
    fn spans(&self, solved: &Solved, beyond: usize) -> bool {
        let is_split = |a: usize, b: usize| solved.bridges.is_beyond(a, beyond) != solved.bridges.is_beyond(b, beyond);
        self.loops.loops.iter().any(|one| is_split(one.a, one.b)) || self.landings.iter().any(|l| is_split(l.a, l.b))
    }
}

impl Solved {
    /// Volts of the watched nodes with all of some changes at once, of different branches; false where an update cannot
    /// tell them.
    pub fn together(&self, changes: &[Change], room: &mut Together) -> bool {
        room.loops.clear();
        room.cuts.clear();
        room.landings.clear();
        for change in changes {
            if let Change::Branch { branch, siemens } = *change
                && siemens == 0.0
                && self.siemens[branch] > 0.0
                && let Some(beyond) = self.bridges.beyond(branch)
            {
                room.cuts.push(beyond);
            }
        }
        for change in changes {
            if !self.put_among(*change, room) {
                return false;
            }
        }
        room.volts.clear();
        room.volts.extend_from_slice(&self.volts);
        if room.cuts.is_empty() && room.landings.is_empty() {
            self.put_currents(&room.loops, &mut room.volts);
            return true;
        }
        self.land(room)
    }

    /// Whether a change alone can be told by an update.
    pub fn can_update(&self, change: Change) -> bool {
        !matches!(self.effect(change), Effect::Unsure)
    }

    /// Whether a branch that conducts is the only way to what lies beyond it, with the changes of a copy: where its
    /// `to` lies there.
    pub fn leads_to_dead_end(&self, branch: usize, copy: &Together) -> bool {
        let Some(beyond) = self.bridges.beyond(branch) else { return false };
        let to = self.prepared.stands[self.prepared.network.branches[branch].to].0;
        self.bridges.is_beyond(to, beyond) && !copy.spans(self, beyond)
    }

    /// Siemens of a branch in this state.
    pub fn siemens_of(&self, branch: usize) -> f64 {
        self.siemens[branch]
    }

    /// Sorts a change in among those of a copy; false where an update cannot tell it.
    fn put_among(&self, change: Change, room: &mut Together) -> bool {
        match self.effect(change) {
            Effect::Nothing | Effect::Cut(_) => true,
            Effect::Unsure => false,
            Effect::Current { a, b, per_volt, amps } if self.side(a, &room.cuts) == self.side(b, &room.cuts) => {
                let Some(among) = self.one_among(&room.loops, (a, b, per_volt, amps), change) else { return false };
                room.loops.push(among);
                true
            }
            Effect::Current { .. } | Effect::Adrift | Effect::Landed { .. } => {
                let stands = &self.prepared.stands;
                let landing = match change {
                    Change::Branch { branch, .. } => {
                        let line = &self.prepared.lines[branch];
                        Landing { a: line.a, b: line.b, volts: line.volts }
                    }
                    Change::Tie { a, b, .. } => {
                        let ((a, above_a), (b, above_b)) = (stands[a], stands[b]);
                        Landing { a, b, volts: above_a - above_b }
                    }
                };
                room.landings.push(landing);
                true
            }
        }
    }

    /// On which part of which island a place lies once these bridges are cut.
    fn side(&self, place: usize, cuts: &[usize]) -> Side {
        let mut innermost: Option<usize> = None;
        for (at, cut) in cuts.iter().enumerate() {
            let is_inner = innermost.is_none_or(|known| self.bridges.is_beyond(*cut, cuts[known]));
            if is_inner && self.bridges.is_beyond(place, *cut) {
                innermost = Some(at);
            }
        }
        (self.bridges.island(place), innermost.map_or(0, |at| at + 1))
    }

    /// Volts where bridges are cut or islands joined; false where islands are joined at more points than one.
    fn land(&self, room: &mut Together) -> bool {
        let Together { volts, loops, cuts, landings, waiting, landed } = room;
        let amps = loops.amps();
        // A place's level against its island's own; of places that are not watched it is not known.
        let level = |place: usize| {
            let at = self.watch_of[place]?;
            let lifted =
                |(one, amps): (&Loop, &f64)| amps * (self.ohms.column(one.a)[at] - self.ohms.column(one.b)[at]);
            Some(self.level[place] - loops.loops.iter().zip(&amps).map(lifted).sum::<f64>())
        };
        let anchor = self.prepared.places();
        landed.clear();
        landed.push((self.side(anchor, cuts), 0.0));
        let higher = |landed: &[(Side, f64)], side: Side| landed.iter().find(|(s, _)| *s == side).map(|(_, v)| *v);
        waiting.clone_from(landings);
        while !waiting.is_empty() {
            let before = waiting.len();
            let mut is_sure = true;
            waiting.retain(|Landing { a, b, volts }| {
                let (side_a, side_b) = (self.side(*a, cuts), self.side(*b, cuts));
                let (higher_a, higher_b) = (higher(landed, side_a), higher(landed, side_b));
                let Some((level_a, level_b)) = level(*a).zip(level(*b)) else {
                    is_sure = false;
                    return false;
                };
                let open_volts = level_a - level_b + volts;
                match (higher_a, higher_b) {
                    (Some(_), Some(_)) => is_sure = false,
                    (Some(higher), None) => landed.push((side_b, higher + open_volts)),
                    (None, Some(higher)) => landed.push((side_a, higher - open_volts)),
                    (None, None) => return true,
                }
                false
            });
            if !is_sure {
                return false;
            }
            // The others join what floats to what floats.
            if waiting.len() == before {
                break;
            }
        }
        for ((volts, node), place) in volts.iter_mut().zip(self.watched()).zip(&self.places) {
            let higher = higher(landed, self.side(*place, cuts));
            *volts = higher.map_or(f64::NAN, |higher| self.level[*place] + self.prepared.stands[*node].1 + higher);
        }
        for (one, amps) in loops.loops.iter().zip(amps) {
            lift_more([self.ohms.column(one.a), self.ohms.column(one.b)], amps, volts);
        }
        true
    }

    /// Lifts volts of the watched by the currents of all changes.
    pub(super) fn put_currents(&self, all: &Loops, volts: &mut [f64]) {
        for (one, amps) in all.loops.iter().zip(all.amps()) {
            lift_more([self.ohms.column(one.a), self.ohms.column(one.b)], amps, volts);
        }
    }

    /// A current as a loop among others.
    #[inline(always)]
    fn one_among(
        &self,
        others: &Loops,
        (a, b, per_volt, amps): (usize, usize, f64, f64),
        change: Change,
    ) -> Option<Among> {
        let count = others.loops.len();
        if count == MOST_LOOPS {
            return None;
        }
        let alone = 1.0 / per_volt;
        let mut one = Loop { a, b, ohms: alone, volts: amps * alone, mutual: [0.0; MOST_LOOPS] };
        let mut mutual = [0.0; MOST_LOOPS];
        for (mutual, other) in mutual.iter_mut().zip(&others.loops) {
            *mutual = self.mutual_ohms(other, &one)?;
        }
        for (at, other) in others.loops.iter().enumerate() {
            let back = mutual[at] / other.ohms;
            one.ohms -= back * mutual[at];
            one.volts -= back * other.volts;
            for (later, theirs) in mutual[..count].iter_mut().zip(&other.mutual).skip(at + 1) {
                *later -= back * theirs;
            }
        }
        let share = self.share_of(change, (a, b, per_volt));
        let wanted = LEFT_SHARE / (others.least_share.min(share) / SHARE_FOR_TWO).min(1.0);
        // What is left of its ohms once the others are there.
        (count == 0 || one.ohms.abs() >= wanted * alone.abs()).then_some(Among { one, share, mutual })
    }

    /// What an amp in one loop does between the ends of another.
    fn mutual_ohms(&self, one: &Loop, other: &Loop) -> Option<f64> {
        let lift = |x, y| self.ohms.lift(&self.prepared.schedule, &self.watch_of, x, y);
        Some(lift(one.a, other.a)? - lift(one.a, other.b)? - (lift(one.b, other.a)? - lift(one.b, other.b)?))
    }
}

/// Volts with one current more between two places, by the columns of the two.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn lift_more([a, b]: [&[f64]; 2], amps: f64, out: &mut [f64]) {
    let lifts = a.as_chunks::<ABREAST>().0.iter().zip(b.as_chunks::<ABREAST>().0);
    for (out, (at_a, at_b)) in out.as_chunks_mut::<ABREAST>().0.iter_mut().zip(lifts) {
        for lane in 0..ABREAST {
            out[lane] -= amps * (at_a[lane] - at_b[lane]);
        }
    }
}
