//! What every two of many changes do to a solved network.
//!
//! Each change alone is a current between two places; two at once share what one's current does between the ends of
//! the other, and a network of two unknowns tells both currents (M. A. Woodbury, "Inverting modified matrices", 1950).
//! For one change beside all others this is done in rows: first the currents of every pair, then the volts, laid out
//! so that the machine works on several numbers at once.
//!
//! A branch that all but a trace hangs on is measured with the branch altered, eight such in one sweep, and then goes
//! beside the others like any. A cut bridge needs no numbers: beside a change on the anchored side the other side
//! floats, and a join across sets it level. What one change does alone is left to [`altered`](super::altered), and so
//! are those few pairs that must be solved anew.

use std::collections::BTreeMap;

use multiversion::multiversion;

use super::altered::{Change, Effect, LEFT_SHARE, SHARE_FOR_TWO, Scratch};
use super::prepared::Solved;
use super::sweep::{LANES, Lanes, levels_abreast, many_levels_abreast, solve_abreast};

/// Share of the ohms to the anchor below which a loosened branch is too frail for others beside it.
const FRAIL_SHARE: f64 = 1e-5;
/// Pairs worked out before they are handed on.
const BLOCK: usize = 32;

/// Copies with one change and, each in a copy of its own, several others beside it.
#[derive(Clone, Copy, Debug)]
pub struct Rows<'r> {
    /// Number of the one change.
    pub one: usize,
    /// Numbers of the others, lower or higher than the one.
    pub others: &'r [usize],
    /// Volts of the watched nodes copy after copy, not a number where one floats; the nodes are filled up to
    /// [`width`](Self::width) with numbers of no meaning.
    pub volts: &'r [f64],
    /// How many numbers each copy has.
    pub width: usize,
    watched: usize,
}

impl<'r> Rows<'r> {
    /// Every other with the volts of the watched nodes.
    pub fn iter(self) -> impl Iterator<Item = (usize, &'r [f64])> {
        let row = move |at: usize| &self.volts[at * self.width..][..self.watched];
        self.others.iter().enumerate().map(move |(at, other)| (*other, row(at)))
    }
}

impl Solved {
    /// Volts of the watched nodes with every two changes at once but two of one branch. The order is always the same
    /// and not that of the numbers; every pair comes once.
    pub fn pairs(&self, changes: &[Change], scratch: &mut Scratch, mut each: impl FnMut(Rows<'_>)) {
        let sorted = Sorted::of(self, changes);
        let places = self.prepared.places();
        let mut block = vec![[0.0; LANES]; places + 1];
        let mut work = Work::new(sorted.plain.number.len(), self.ohms.width(), places);
        let mut row = Row { solved: self, changes, plain: &sorted.plain, work: &mut work, scratch, each: &mut each };
        let mut ones = Vec::new();
        // Those between the same ends do the same to all places.
        let mut by_ends: Vec<usize> = (0..sorted.plain.number.len()).collect();
        by_ends.sort_by_key(|one| sorted.plain.ends(*one));
        let groups: Vec<&[usize]> =
            by_ends.chunk_by(|one, other| sorted.plain.ends(*one) == sorted.plain.ends(*other)).collect();
        for some in groups.chunks(LANES) {
            sorted.plain.lifts_of(self, some, &mut block);
            for (lane, group) in some.iter().enumerate() {
                ones.clear();
                ones.extend(group.iter().map(|first| sorted.plain.one(*first)));
                row.beside(&ones, &block, lane);
            }
        }
        for some in sorted.frail.chunks(LANES) {
            let (measured, count) = row.measured(some, &mut block);
            for (lane, one) in measured[..count].iter().enumerate() {
                row.beside(std::slice::from_ref(one), &block, lane);
            }
        }
        for (number, beyond) in &sorted.cuts {
            row.beside_cut(*number, *beyond);
        }
        row.between_parting(&sorted);
        row.solve_waiting();
        self.of_their_own(changes, &sorted, &mut each);
    }

    /// The pairs of which one joins islands, or cannot be told by itself: that one is built in, and the others are
    /// changes of that.
    fn of_their_own(&self, changes: &[Change], sorted: &Sorted, each: &mut impl FnMut(Rows<'_>)) {
        for (place, first) in sorted.own.iter().copied().enumerate() {
            let others = (0..changes.len()).filter(|f| !sorted.own[..=place].contains(f));
            let others: Vec<usize> = others.filter(|f| key_of(changes, *f) != key_of(changes, first)).collect();
            let changed;
            let solved = match changes[first] {
                Change::Branch { branch, siemens } if self.has_room_for(changes[first]) => {
                    let mut altered = self.siemens.clone();
                    altered[branch] = siemens;
                    self.prepared().solve(&altered, self.watched())
                }
                Change::Branch { .. } | Change::Tie { .. } => {
                    let (prepared, siemens) = self.altered_network(&[changes[first]]);
                    changed = prepared;
                    changed.solve(&siemens, self.watched())
                }
            };
            let seconds: Vec<Change> = others.iter().map(|f| changes[*f]).collect();
            let mut scratch = Scratch::of(&solved.prepared);
            solved.singles(&seconds, &mut scratch, |at, volts| {
                let width = volts.len();
                each(Rows { one: first, others: &others[at..=at], volts, width, watched: width });
            });
        }
    }
}

/// A number that two changes share where they are of one branch.
fn key_of(changes: &[Change], number: usize) -> usize {
    match changes[number] {
        Change::Branch { branch, .. } => branch,
        Change::Tie { .. } => usize::MAX - number,
    }
}

/// Changes by what they do alone.
struct Sorted {
    plain: Plain,
    /// Branches of which so little is left that it must be measured with the branch altered.
    frail: Vec<usize>,
    /// Cut bridges, with the place beyond.
    cuts: Vec<(usize, usize)>,
    /// All others: those are solved by themselves.
    own: Vec<usize>,
}

/// The changes that are one current each, or none, side by side.
#[derive(Default)]
struct Plain {
    /// Number of each among all changes.
    number: Vec<usize>,
    a: Vec<u32>,
    b: Vec<u32>,
    per_volt: Vec<f64>,
    amps: Vec<f64>,
    /// Share of the ohms to the anchor that the loop of each has, one at most.
    share: Vec<f64>,
    /// For each change what an amp through it does to each of the watched.
    lifts: Vec<f64>,
    /// For each branch those that are of it.
    of_branch: BTreeMap<usize, Vec<usize>>,
}

/// One change that all plain ones from some on are set beside.
#[derive(Clone, Copy, Debug, Default)]
struct One {
    number: usize,
    per_volt: f64,
    amps: f64,
    /// Share of the ohms to the anchor that its loop has, one at most.
    share: f64,
    /// The first of the plain ones beside it.
    from: usize,
}

impl Sorted {
    fn of(solved: &Solved, changes: &[Change]) -> Self {
        let mut sorted = Self { plain: Plain::default(), frail: Vec::new(), cuts: Vec::new(), own: Vec::new() };
        let anchor = solved.prepared.places();
        for (f, change) in changes.iter().enumerate() {
            let (a, b, per_volt, amps) = match solved.effect(*change) {
                Effect::Current { a, b, per_volt, .. }
                    if is_loosened(solved, *change) && solved.share_of(*change, (a, b, per_volt)) < FRAIL_SHARE =>
                {
                    sorted.frail.push(f);
                    continue;
                }
                Effect::Current { a, b, per_volt, amps } => (a, b, per_volt, amps),
                Effect::Nothing => (anchor, anchor, 0.0, 0.0),
                Effect::Cut(beyond) => {
                    sorted.cuts.push((f, beyond));
                    continue;
                }
                Effect::Unsure if is_loosened(solved, *change) => {
                    sorted.frail.push(f);
                    continue;
                }
                Effect::Adrift | Effect::Landed { .. } | Effect::Unsure => {
                    sorted.own.push(f);
                    continue;
                }
            };
            let plain = &mut sorted.plain;
            if let Change::Branch { branch, .. } = change {
                plain.of_branch.entry(*branch).or_default().push(plain.number.len());
            }
            plain.number.push(f);
            plain.a.push(a as u32);
            plain.b.push(b as u32);
            plain.per_volt.push(per_volt);
            plain.amps.push(amps);
            plain.share.push(solved.share_of(*change, (a, b, per_volt)));
            plain.lifts.extend(solved.ohms.column(a).iter().zip(solved.ohms.column(b)).map(|(a, b)| a - b));
        }
        sorted
    }
}

/// Whether a change is a branch that conducts less than before.
fn is_loosened(solved: &Solved, change: Change) -> bool {
    match change {
        Change::Branch { branch, siemens } => {
            !solved.prepared.lines[branch].is_join && siemens < solved.siemens[branch]
        }
        Change::Tie { .. } => false,
    }
}

impl Plain {
    /// One of them, with those that come later.
    fn one(&self, first: usize) -> One {
        let (per_volt, amps, share) = (self.per_volt[first], self.amps[first], self.share[first]);
        One { number: self.number[first], per_volt, amps, share, from: first + 1 }
    }

    /// The two places that one of them is between.
    fn ends(&self, one: usize) -> (u32, u32) {
        (self.a[one], self.b[one])
    }

    /// What an amp between the ends of each of a few groups does to every place.
    fn lifts_of(&self, solved: &Solved, some: &[&[usize]], block: &mut [Lanes<LANES>]) {
        block.fill([0.0; LANES]);
        let mut from = solved.prepared.places();
        for (lane, f) in some.iter().filter_map(|group| group.first()).enumerate() {
            let (a, b) = (self.a[*f] as usize, self.b[*f] as usize);
            block[a][lane] += 1.0;
            block[b][lane] -= 1.0;
            from = from.min(a).min(b);
        }
        block[solved.prepared.places()] = [0.0; LANES];
        many_levels_abreast(&solved.sweep, &solved.prepared.schedule, from, block);
    }
}

/// Room for one row of pairs.
struct Work {
    /// What an amp through the one does at each place.
    lifts: Vec<f64>,
    /// The same for the watched.
    one_lifts: Vec<f64>,
    /// Volts of the watched that the changes start from.
    volts: Vec<f64>,
    /// What an amp through the one does between the ends of each other.
    mutual: Vec<f64>,
    one_amps: Vec<f64>,
    other_amps: Vec<f64>,
    left: Vec<f64>,
    out: Vec<f64>,
    /// Volts of a pair that was solved anew.
    anew: Vec<f64>,
}

impl Work {
    fn new(changes: usize, width: usize, places: usize) -> Self {
        Self {
            lifts: vec![0.0; places + 1],
            one_lifts: vec![0.0; width],
            volts: vec![0.0; width],
            mutual: vec![0.0; changes],
            one_amps: vec![0.0; changes],
            other_amps: vec![0.0; changes],
            left: vec![0.0; changes],
            out: vec![0.0; BLOCK * width],
            anew: vec![0.0; width],
        }
    }
}

/// One change beside many, with all that takes.
struct Row<'r, F> {
    solved: &'r Solved,
    changes: &'r [Change],
    plain: &'r Plain,
    work: &'r mut Work,
    scratch: &'r mut Scratch,
    each: &'r mut F,
}

impl<F: FnMut(Rows<'_>)> Row<'_, F> {
    /// All pairs of each of some changes between the same ends, whose lifts stand in this lane.
    fn beside(&mut self, ones: &[One], block: &[Lanes<LANES>], lane: usize) {
        let work = &mut *self.work;
        work.lifts.iter_mut().zip(block).for_each(|(lift, lanes)| *lift = lanes[lane]);
        for (lift, place) in work.one_lifts.iter_mut().zip(&self.solved.places) {
            *lift = work.lifts[*place];
        }
        work.volts.copy_from_slice(&self.solved.volts);
        let from = ones.iter().map(|one| one.from).min().unwrap_or(0);
        let ends = self.plain.a[from..].iter().zip(&self.plain.b[from..]);
        for (mutual, (a, b)) in work.mutual[from..].iter_mut().zip(ends) {
            *mutual = work.lifts[*a as usize] - work.lifts[*b as usize];
        }
        for one in ones {
            currents(*one, self.plain, self.work);
            self.leave_out_own_branch(one.number);
            self.hand_on(*one);
        }
    }

    /// All pairs of a cut bridge with plain changes.
    fn beside_cut(&mut self, number: usize, beyond: usize) {
        let (solved, plain) = (self.solved, self.plain);
        let work = &mut *self.work;
        work.mutual.fill(0.0);
        work.one_lifts.fill(0.0);
        solved.put_cut(beyond, &mut work.volts);
        let one = One { number, share: 1.0, ..One::default() };
        currents(one, plain, work);
        self.leave_out_own_branch(number);
        let work = &mut *self.work;
        let mut across = Vec::new();
        for (second, (a, b)) in plain.a.iter().zip(&plain.b).enumerate() {
            if work.left[second].is_nan() {
                continue;
            }
            match [a, b].map(|place| solved.bridges.is_beyond(*place as usize, beyond)) {
                [false, false] => {}
                // Nothing of it is felt on the side that stays.
                [true, true] => work.other_amps[second] = 0.0,
                [a_is, _] => {
                    across.push((second, a_is));
                    // It is handed on here.
                    work.left[second] = f64::NAN;
                }
            }
        }
        // Joined at one place instead, the far side keeps its volts but for what stood open there.
        let width = solved.ohms.width();
        for (second, a_is_beyond) in across {
            let open_volts = plain.amps[second] / plain.per_volt[second];
            let higher = if a_is_beyond { -open_volts } else { open_volts };
            let out = &mut self.work.out[..width];
            for ((out, volts), place) in out.iter_mut().zip(&solved.volts).zip(&solved.places) {
                *out = volts + if solved.bridges.is_beyond(*place, beyond) { higher } else { 0.0 };
            }
            let others = &plain.number[second..=second];
            (self.each)(Rows { one: number, others, volts: out, width, watched: solved.watched().len() });
        }
        self.hand_on(one);
    }

    /// Two changes of one branch are no pair.
    fn leave_out_own_branch(&mut self, number: usize) {
        if let Change::Branch { branch, .. } = self.changes[number]
            && let Some(same) = self.plain.of_branch.get(&branch)
        {
            same.iter().for_each(|second| self.work.left[*second] = f64::NAN);
        }
    }

    /// Works out the volts of a row from its currents and hands them on; those that lost their figures wait to be
    /// solved anew.
    fn hand_on(&mut self, one: One) {
        let width = self.solved.ohms.width();
        let watched = self.solved.watched().len();
        let count = self.plain.number.len();
        let mut begun = one.from;
        while begun < count {
            let here = begun..count.min(begun + BLOCK);
            let Work { volts, one_lifts, one_amps, other_amps, left, out, .. } = &mut *self.work;
            let currents =
                Currents { one: &one_amps[here.clone()], other: &other_amps[here.clone()], left: &left[here.clone()] };
            let lifts = &self.plain.lifts[here.start * width..here.end * width];
            let done = mix(volts, one_lifts, lifts, currents, out);
            if done > 0 {
                let (others, volts) = (&self.plain.number[begun..begun + done], &out[..done * width]);
                (self.each)(Rows { one: one.number, others, volts, width, watched });
            }
            begun += done;
            if begun < here.end {
                if self.work.left[begun] < LEFT_SHARE {
                    self.put_off([one.number, self.plain.number[begun]]);
                }
                begun += 1;
            }
        }
    }

    /// Lets a pair wait to be solved anew.
    fn put_off(&mut self, which: [usize; 2]) {
        let (solved, changes) = (self.solved, self.changes);
        let mut each = each_alone(self.each);
        solved.put_off(changes, which, self.scratch, &mut self.work.anew, &mut each);
    }

    /// Solves the pairs that wait.
    fn solve_waiting(&mut self) {
        let mut each = each_alone(self.each);
        self.solved.solve_waiting(self.changes, self.scratch, &mut self.work.anew, &mut each);
    }

    /// Measures frail branches with each altered: what the change is, and in the lanes of `block` what an amp through
    /// it does as long as it is not altered; how many they are.
    fn measured(&mut self, some: &[usize], block: &mut [Lanes<LANES>]) -> ([One; LANES], usize) {
        let (solved, prepared) = (self.solved, &*self.solved.prepared);
        let scratch = &mut *self.scratch;
        let places = prepared.places();
        scratch.sweep.copy_unswept(&solved.unswept);
        scratch.amps.fill([0.0; LANES]);
        block.fill([0.0; LANES]);
        let branches = some.iter().filter_map(|f| match self.changes[*f] {
            Change::Branch { branch, siemens } => Some((*f, branch, siemens)),
            Change::Tie { .. } => None,
        });
        for (lane, (f, branch, _)) in branches.clone().enumerate() {
            solved.alter(&self.changes[f..=f], lane, scratch);
            let line = &prepared.lines[branch];
            block[line.a][lane] += 1.0;
            block[line.b][lane] -= 1.0;
        }
        block[places] = [0.0; LANES];
        solve_abreast(&mut scratch.sweep, &prepared.schedule, &mut scratch.amps);
        levels_abreast(&scratch.sweep, &prepared.schedule, block);
        scratch.amps[places] = [0.0; LANES];
        block[places] = [0.0; LANES];
        let mut measured = [One::default(); LANES];
        let mut count = 0;
        let mut shares = [0.0; LANES];
        for (lane, (number, branch, siemens)) in branches.enumerate() {
            let line = &prepared.lines[branch];
            let less = solved.siemens[branch] - siemens;
            let between = block[line.a][lane] - block[line.b][lane];
            let open_volts = scratch.amps[line.a][lane] - scratch.amps[line.b][lane] + line.volts;
            // With what was taken off put back beside it, the ohms and the volts between its ends are this much less.
            let more = 1.0 + less * between;
            shares[lane] = 1.0 / more;
            measured[lane] = One { number, per_volt: -less * more, amps: -less * open_volts, share: 1.0, from: 0 };
            count += 1;
        }
        for lanes in block {
            lanes.iter_mut().zip(&shares).for_each(|(lift, share)| *lift *= share);
        }
        (measured, count)
    }

    /// The pairs of frail branches and cut bridges among themselves.
    fn between_parting(&mut self, sorted: &Sorted) {
        let (solved, changes) = (self.solved, self.changes);
        let is_pair = |one: usize, other: usize| key_of(changes, one) != key_of(changes, other);
        for (place, one) in sorted.frail.iter().enumerate() {
            let others = sorted.frail[place + 1..].iter().chain(sorted.cuts.iter().map(|(number, _)| number));
            for other in others.filter(|other| is_pair(*one, **other)) {
                self.put_off([*one, *other]);
            }
        }
        let (width, watched) = (solved.ohms.width(), solved.watched().len());
        for (place, (one, beyond)) in sorted.cuts.iter().enumerate() {
            solved.put_cut(*beyond, &mut self.work.volts);
            for (other, beyond) in sorted.cuts[place + 1..].iter().filter(|(other, _)| is_pair(*one, *other)) {
                let out = &mut self.work.out[..width];
                for ((out, volts), place) in out.iter_mut().zip(&self.work.volts).zip(&solved.places) {
                    *out = if solved.bridges.is_beyond(*place, *beyond) { f64::NAN } else { *volts };
                }
                (self.each)(Rows { one: *one, others: &[*other], volts: out, width, watched });
            }
        }
    }
}

/// Hands on pairs one by one.
fn each_alone(each: &mut impl FnMut(Rows<'_>)) -> impl FnMut([usize; 2], &[f64]) {
    move |[one, other], volts| each(Rows { one, others: &[other], volts, width: volts.len(), watched: volts.len() })
}

/// The currents of every pair of one change with the plain ones from `one.from` on.
#[multiversion(targets("x86_64+avx+avx2"))]
fn currents(one: One, plain: &Plain, work: &mut Work) {
    let others = one.from..plain.number.len();
    let Work { mutual, one_amps, other_amps, left, .. } = work;
    let mutual = &mutual[others.clone()];
    let count = mutual.len();
    // Slices of one length, so that nothing is checked along the row.
    let share = &plain.share[others.clone()][..count];
    let (per_volt, amps) = (&plain.per_volt[others.clone()][..count], &plain.amps[others.clone()][..count]);
    let (one_amps, other_amps) = (&mut one_amps[others.clone()][..count], &mut other_amps[others.clone()][..count]);
    let left = &mut left[others][..count];
    for i in 0..count {
        let (back, onward) = (mutual[i] * one.per_volt, mutual[i] * per_volt[i]);
        let left_of_both = 1.0 - back * onward;
        let over = 1.0 / left_of_both;
        left[i] = left_of_both.abs() * 1.0_f64.min(one.share.min(share[i]) / SHARE_FOR_TWO);
        one_amps[i] = (one.amps - back * amps[i]) * over;
        other_amps[i] = (amps[i] - onward * one.amps) * over;
    }
}

/// What the one change and each other carry, and the share that is left of the ohms they were worked out by.
#[derive(Clone, Copy)]
struct Currents<'r> {
    one: &'r [f64],
    other: &'r [f64],
    left: &'r [f64],
}

impl<'r> Currents<'r> {
    /// Those of each pair up to the first of which too little is left.
    #[inline(always)]
    fn sound(self) -> impl Iterator<Item = (&'r f64, &'r f64)> {
        let pairs = self.one.iter().zip(self.other).zip(self.left);
        pairs.take_while(|(_, left)| **left >= LEFT_SHARE).map(|(amps, _)| amps)
    }
}

/// Volts of copies in which the one change and each other carry so much, from the volts without them and what an amp
/// through each does; up to the first pair of which too little is left. Returns how many there are.
#[multiversion(targets("x86_64+avx+avx2"))]
fn mix(volts: &[f64], one_lifts: &[f64], lifts: &[f64], currents: Currents<'_>, out: &mut [f64]) -> usize {
    // As many as are known when this is compiled stay in registers all along.
    match volts.len() {
        4 => mix_of::<4>(volts, one_lifts, lifts, currents, out),
        8 => mix_of::<8>(volts, one_lifts, lifts, currents, out),
        12 => mix_of::<12>(volts, one_lifts, lifts, currents, out),
        16 => mix_of::<16>(volts, one_lifts, lifts, currents, out),
        0 => currents.sound().count(),
        width => {
            let rows = out.chunks_exact_mut(width).zip(lifts.chunks_exact(width));
            let mut done = 0;
            for ((one, other), (out, lifts)) in currents.sound().zip(rows) {
                let from = volts.iter().zip(one_lifts).zip(lifts);
                for (out, ((volts, first), second)) in out.iter_mut().zip(from) {
                    *out = volts - one * first - other * second;
                }
                done += 1;
            }
            done
        }
    }
}

/// The same for a width known beforehand.
#[inline(always)]
fn mix_of<const W: usize>(
    volts: &[f64],
    one_lifts: &[f64],
    lifts: &[f64],
    currents: Currents<'_>,
    out: &mut [f64],
) -> usize {
    let known = (volts.first_chunk::<W>(), one_lifts.first_chunk::<W>());
    let (Some(volts), Some(first)) = known else { return 0 };
    let rows = out.as_chunks_mut::<W>().0.iter_mut().zip(lifts.as_chunks::<W>().0);
    let mut done = 0;
    for ((one, other), (out, second)) in currents.sound().zip(rows) {
        for i in 0..W {
            out[i] = volts[i] - one * first[i] - other * second[i];
        }
        done += 1;
    }
    done
}
