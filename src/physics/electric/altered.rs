//! What one alteration, or two at once, do to a solved network, without solving it again.
//!
//! A changed branch or a new join changes the network by one number, so the copy follows from the ohms between places
//! in a few steps (J. Sherman and W. J. Morrison, "Adjustment of an inverse matrix corresponding to a change in one
//! element of a given matrix", Annals of Mathematical Statistics 21, 1950; for two at once M. A. Woodbury, 1950). In
//! the terms of circuits: the join carries what the open voltage between its ends drives through the ohms between
//! them and its own, and that current lifts every node by its ohms.
//!
//! Where that would lose figures, the copy is solved by a sweep of its own. Opening a bridge, and joining islands,
//! need no numbers but the graph: no current flows there, the one side stays, the other floats or is set level.

use super::inverse::AT_ONCE;
use super::network::Branch;
use super::prepared::{Prepared, Solved};
use super::schedule::Slot;
use super::sweep::{Lanes, Sweep, Unswept};

/// Share that the ohms of an altered loop must leave of what they were for an update to keep its figures.
const LEFT_SHARE: f64 = 1e-3;
/// Share of the ohms to the anchor below which the ohms between two places are mostly rounding.
const SURE_SHARE: f64 = 1e-7;

/// One thing altered in a network.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// A branch of other conductance.
    Branch {
        /// Which branch.
        branch: usize,
        /// Its siemens now; zero where it is open.
        siemens: f64,
    },
    /// A new join between two nodes.
    Tie {
        /// One node.
        a: usize,
        /// The other.
        b: usize,
        /// Its ohms; zero where it joins exactly.
        ohms: f64,
    },
}

/// What one change does.
#[derive(Clone, Copy, Debug)]
enum Effect {
    /// Nothing moves.
    Nothing,
    /// A current from `a` to `b` besides what flowed: `amps` where this is all, `per_volt` for each volt between.
    Current { a: usize, b: usize, per_volt: f64, amps: f64 },
    /// All that lies beyond this place is set afloat.
    Cut(usize),
    /// An island that floated is joined at one point: it is so many volts higher than its level says.
    Landed { island: u32, volts: f64 },
    /// An update would not be exact enough.
    Unsure,
}

/// Room to work in, kept from one copy to the next.
#[derive(Clone, Debug)]
pub struct Scratch {
    unswept: Unswept,
    sweep: Sweep<1>,
    amps: Vec<Lanes<1>>,
    siemens: Vec<f64>,
    out: Vec<f64>,
    solved_anew: usize,
}

impl Scratch {
    /// Room for copies of this network.
    pub fn new(prepared: &Prepared) -> Self {
        Self {
            unswept: Unswept::new(&prepared.schedule),
            sweep: Sweep::new(&prepared.schedule),
            amps: vec![[0.0]; prepared.places() + 1],
            siemens: Vec::new(),
            out: Vec::new(),
            solved_anew: 0,
        }
    }

    /// How many copies were solved by a sweep of their own so far.
    pub fn solved_anew(&self) -> usize {
        self.solved_anew
    }
}

impl Solved<'_> {
    /// Volts of the watched nodes with each change alone, in order; not a number where one floats.
    pub fn singles(&self, changes: &[Change], scratch: &mut Scratch, mut each: impl FnMut(usize, &[f64])) {
        let mut out = std::mem::take(&mut scratch.out);
        out.clear();
        out.resize(self.ohms.width(), 0.0);
        for (number, change) in changes.iter().enumerate() {
            self.put_after(*change, scratch, &mut out);
            each(number, &out[..self.watched().len()]);
        }
        scratch.out = out;
    }

    /// Volts of the watched nodes after one change.
    fn put_after(&self, change: Change, scratch: &mut Scratch, out: &mut [f64]) {
        match self.effect(change) {
            Effect::Nothing => out.copy_from_slice(&self.volts),
            Effect::Current { a, b, amps, .. } => self.put_lifted(a, b, amps, out),
            Effect::Cut(beyond) => self.put_cut(beyond, out),
            Effect::Landed { island, volts } => self.put_landed(island, volts, out),
            Effect::Unsure => self.put_anew(&[change], scratch, out),
        }
    }

    #[inline(always)]
    fn put_lifted(&self, a: usize, b: usize, amps: f64, out: &mut [f64]) {
        let lifts = self.ohms.column(a).iter().zip(self.ohms.column(b));
        for ((out, volts), (at_a, at_b)) in out.iter_mut().zip(&self.volts).zip(lifts) {
            *out = volts - amps * (at_a - at_b);
        }
    }

    fn put_cut(&self, beyond: usize, out: &mut [f64]) {
        for ((out, volts), place) in out.iter_mut().zip(&self.volts).zip(&self.places) {
            *out = if self.bridges.is_beyond(*place, beyond) { f64::NAN } else { *volts };
        }
    }

    fn put_landed(&self, island: u32, volts: f64, out: &mut [f64]) {
        out.copy_from_slice(&self.volts);
        for (out, node) in out.iter_mut().zip(self.watched()) {
            let (place, above) = self.prepared.stands[*node];
            if self.bridges.island(place) == island {
                *out = self.level[place] + above + volts;
            }
        }
    }

    /// What a change does.
    #[inline(always)]
    fn effect(&self, change: Change) -> Effect {
        let prepared = self.prepared;
        let (a, b, slot, more_ohms, volts) = match change {
            Change::Branch { branch, siemens } => {
                let line = &prepared.lines[branch];
                if line.is_join {
                    return Effect::Unsure;
                }
                let before = self.siemens[branch];
                let more = siemens - before;
                if more == 0.0 || line.a == line.b {
                    return Effect::Nothing;
                }
                if before > 0.0
                    && let Some(beyond) = self.bridges.beyond(branch)
                {
                    return if siemens == 0.0 { Effect::Cut(beyond) } else { Effect::Nothing };
                }
                (line.a, line.b, Some(line.slot), 1.0 / more, line.volts)
            }
            Change::Tie { a, b, ohms } => {
                let ((a, above_a), (b, above_b)) = (prepared.stands[a], prepared.stands[b]);
                if a == b {
                    // Two nodes joined already; where a source stands between them the tie takes what it gives.
                    return if above_a == above_b { Effect::Nothing } else { Effect::Unsure };
                }
                (a, b, prepared.schedule.slot_of_places(a, b), ohms, above_a - above_b)
            }
        };
        let open_volts = self.level[a] - self.level[b] + volts;
        let (island_a, island_b) = (self.bridges.island(a), self.bridges.island(b));
        if island_a != island_b {
            let home = self.bridges.island(prepared.places());
            return match (island_a == home, island_b == home) {
                (true, _) => Effect::Landed { island: island_b, volts: open_volts },
                (_, true) => Effect::Landed { island: island_a, volts: -open_volts },
                (false, false) => Effect::Nothing,
            };
        }
        let own = self.ohms.own(a) + self.ohms.own(b);
        let Some(shared) = self.shared_ohms(a, b, slot) else { return Effect::Unsure };
        let between = own - 2.0 * shared;
        let loop_ohms = between + more_ohms;
        if loop_ohms.abs() < LEFT_SHARE * more_ohms.abs() || loop_ohms.abs() < SURE_SHARE * own {
            return Effect::Unsure;
        }
        let per_volt = 1.0 / loop_ohms;
        Effect::Current { a, b, per_volt, amps: per_volt * open_volts }
    }

    /// How far an amp into one place lifts the other; none where neither the schedule nor the watched tell.
    #[inline(always)]
    fn shared_ohms(&self, a: usize, b: usize, slot: Option<Slot>) -> Option<f64> {
        if let Some(slot) = slot {
            return Some(self.ohms.at(slot));
        }
        let known = |x: usize, y: usize| Some(self.ohms.column(x)[self.watch_of[y]?]);
        known(a, b).or_else(|| known(b, a))
    }

    /// Volts of the watched nodes with all these changes, solved by a sweep of their own.
    fn put_anew(&self, changes: &[Change], scratch: &mut Scratch, out: &mut [f64]) {
        scratch.solved_anew += 1;
        if !self.put_swept(changes, scratch, out) {
            self.put_compiled(changes, out);
        }
    }

    /// The same where the schedule has room for all the changes; false where it has not.
    fn put_swept(&self, changes: &[Change], scratch: &mut Scratch, out: &mut [f64]) -> bool {
        let prepared = self.prepared;
        let mut ties = [(Slot::None, 0.0); 2];
        scratch.siemens.clear();
        scratch.siemens.extend_from_slice(&self.siemens);
        scratch.amps.fill([0.0]);
        let mut sourced = [(0, 0, 0.0); 2];
        for (place, change) in changes.iter().enumerate() {
            match *change {
                Change::Branch { branch, siemens } if !prepared.lines[branch].is_join => {
                    scratch.siemens[branch] = siemens;
                }
                Change::Tie { a, b, ohms } if ohms > 0.0 => {
                    let ((a, above_a), (b, above_b)) = (prepared.stands[a], prepared.stands[b]);
                    let Some(slot) = prepared.schedule.slot_of_places(a, b) else { return false };
                    ties[place] = (slot, 1.0 / ohms);
                    sourced[place] = (a, b, (above_a - above_b) / ohms);
                }
                Change::Branch { .. } | Change::Tie { .. } => return false,
            }
        }
        scratch.unswept.clear();
        prepared.fill(&scratch.siemens, &mut scratch.unswept);
        ties.iter().for_each(|(slot, siemens)| scratch.unswept.add(*slot, *siemens));
        scratch.sweep.copy_unswept(&scratch.unswept);
        scratch.sweep.eliminate(&prepared.schedule);
        for (a, b, amps) in sourced {
            scratch.amps[a][0] -= amps;
            scratch.amps[b][0] += amps;
        }
        prepared.drive(&scratch.siemens, &mut scratch.amps);
        scratch.sweep.levels(&prepared.schedule, &mut scratch.amps);
        let mut floats = scratch.sweep.floating(&prepared.schedule);
        floats.push(false);
        for (out, node) in out.iter_mut().zip(self.watched()) {
            let (place, above) = prepared.stands[*node];
            *out = if floats[place] { f64::NAN } else { scratch.amps[place][0] + above };
        }
        true
    }

    /// The same by compiling the altered network anew: for joins that the schedule has no room for.
    fn put_compiled(&self, changes: &[Change], out: &mut [f64]) {
        let (altered, siemens) = self.altered_network(changes);
        let solved = altered.solve(&siemens, self.watched());
        out[..self.watched().len()].copy_from_slice(solved.volts());
    }

    /// The network with the changes built in, and the siemens of its branches.
    fn altered_network(&self, changes: &[Change]) -> (Prepared, Vec<f64>) {
        let mut network = self.prepared.network.clone();
        let mut siemens = self.siemens.clone();
        for change in changes {
            match *change {
                Change::Branch { branch, siemens: now } => {
                    siemens[branch] = now;
                    if self.prepared.lines[branch].is_join {
                        // No longer exact; what it resists is told by its siemens.
                        network.branches[branch].ohms = 1.0;
                    }
                }
                Change::Tie { a, b, ohms } => {
                    let tie = Branch::resistor(a, b, ohms);
                    siemens.push(1.0 / tie.resisting_ohms());
                    network.branches.push(tie);
                }
            }
        }
        (Prepared::of(&network), siemens)
    }

    /// Volts of the watched nodes with every two changes at once but two of one branch; not a number where one
    /// floats. Pairs of plain changes come in order; those with one that parts or joins islands after them.
    pub fn pairs(&self, changes: &[Change], scratch: &mut Scratch, mut each: impl FnMut(usize, usize, &[f64])) {
        let row = PairRow::of(self, changes);
        let mut block = vec![[0.0; AT_ONCE]; self.prepared.places() + 1];
        let plain: Vec<usize> = (0..changes.len()).filter(|f| row.is_plain[*f]).collect();
        let mut lifts = vec![0.0; self.prepared.places() + 1];
        let mut work = PairWork::new(changes.len(), self.ohms.width());
        for some in plain.chunks(AT_ONCE) {
            row.lifts_of(self, some, &mut block);
            for (lane, first) in some.iter().copied().enumerate() {
                lifts.iter_mut().zip(&block).for_each(|(lift, lanes)| *lift = lanes[lane]);
                row.beside(self, first, &lifts, &mut work, &mut each);
                for second in work.unsure.drain(..) {
                    let mut out = std::mem::take(&mut work.out);
                    self.put_anew(&[changes[first], changes[second]], scratch, &mut out);
                    each(first, second, &out[..self.watched().len()]);
                    work.out = out;
                }
            }
        }
        self.parting_pairs(changes, &row, &mut each);
    }

    /// The pairs of which one parts or joins islands, or is unsure by itself: that one is solved by itself, and the
    /// others are changes of that.
    fn parting_pairs(&self, changes: &[Change], row: &PairRow, each: &mut impl FnMut(usize, usize, &[f64])) {
        for first in (0..changes.len()).filter(|f| !row.is_plain[*f]) {
            // Each such pair once: with all that are plain, and with those of its kind that come later.
            let others = (0..changes.len()).filter(|f| *f != first && (row.is_plain[*f] || *f > first));
            let others: Vec<usize> =
                others.filter(|f| row.branch[*f].is_none_or(|b| row.branch[first] != Some(b))).collect();
            let (altered, siemens) = self.altered_network(&[changes[first]]);
            let solved = altered.solve(&siemens, self.watched());
            let seconds: Vec<Change> = others.iter().map(|f| changes[*f]).collect();
            let mut scratch = Scratch::new(&altered);
            solved.singles(&seconds, &mut scratch, |place, volts| {
                let second = others[place];
                each(first.min(second), first.max(second), volts);
            });
        }
    }
}

/// All changes of a pair table, side by side.
struct PairRow {
    is_plain: Vec<bool>,
    branch: Vec<Option<usize>>,
    a: Vec<u32>,
    b: Vec<u32>,
    per_volt: Vec<f64>,
    amps: Vec<f64>,
    /// For each change what an amp through it does to each of the watched.
    lifts: Vec<f64>,
}

/// Room for one row of pairs.
struct PairWork {
    first_amps: Vec<f64>,
    second_amps: Vec<f64>,
    left: Vec<f64>,
    unsure: Vec<usize>,
    first_lifts: Vec<f64>,
    out: Vec<f64>,
}

impl PairWork {
    fn new(changes: usize, width: usize) -> Self {
        Self {
            first_amps: vec![0.0; changes],
            second_amps: vec![0.0; changes],
            left: vec![0.0; changes],
            unsure: Vec::new(),
            first_lifts: vec![0.0; width],
            out: vec![0.0; width],
        }
    }
}

impl PairRow {
    fn of(solved: &Solved<'_>, changes: &[Change]) -> Self {
        let count = changes.len();
        let mut row = Self {
            is_plain: vec![false; count],
            branch: vec![None; count],
            a: vec![0; count],
            b: vec![0; count],
            per_volt: vec![0.0; count],
            amps: vec![0.0; count],
            lifts: vec![0.0; count * solved.ohms.width()],
        };
        for (f, change) in changes.iter().enumerate() {
            if let Change::Branch { branch, .. } = change {
                row.branch[f] = Some(*branch);
            }
            if let Effect::Current { a, b, per_volt, amps } = solved.effect(*change) {
                row.is_plain[f] = true;
                (row.a[f], row.b[f]) = (a as u32, b as u32);
                (row.per_volt[f], row.amps[f]) = (per_volt, amps);
                let lifts = &mut row.lifts[f * solved.ohms.width()..][..solved.ohms.width()];
                for (lift, (a, b)) in lifts.iter_mut().zip(solved.ohms.column(a).iter().zip(solved.ohms.column(b))) {
                    *lift = a - b;
                }
            }
        }
        row
    }

    /// What an amp through each of a few changes does to every place.
    fn lifts_of(&self, solved: &Solved<'_>, some: &[usize], block: &mut [Lanes<AT_ONCE>]) {
        block.fill([0.0; AT_ONCE]);
        for (lane, f) in some.iter().enumerate() {
            block[self.a[*f] as usize][lane] += 1.0;
            block[self.b[*f] as usize][lane] -= 1.0;
        }
        let from = some.iter().map(|f| self.a[*f].min(self.b[*f])).min().unwrap_or(0);
        solved.sweep.levels_of_many(&solved.prepared.schedule, from as usize, block);
        block[solved.prepared.places()] = [0.0; AT_ONCE];
    }

    /// All pairs of one change with later ones.
    #[inline(always)]
    fn beside(
        &self,
        solved: &Solved<'_>,
        first: usize,
        lifts: &[f64],
        work: &mut PairWork,
        each: &mut impl FnMut(usize, usize, &[f64]),
    ) {
        let count = self.a.len();
        let (per_volt, amps) = (self.per_volt[first], self.amps[first]);
        for second in first + 1..count {
            let mutual = lifts[self.a[second] as usize] - lifts[self.b[second] as usize];
            let (back, onward) = (mutual * per_volt, mutual * self.per_volt[second]);
            let left = 1.0 - back * onward;
            work.left[second] = left;
            work.first_amps[second] = (amps - back * self.amps[second]) / left;
            work.second_amps[second] = (self.amps[second] - onward * amps) / left;
        }
        for (lift, place) in work.first_lifts.iter_mut().zip(&solved.places) {
            *lift = lifts[*place];
        }
        let width = solved.ohms.width();
        for second in first + 1..count {
            if !self.is_plain[second] || self.branch[second].is_some_and(|b| self.branch[first] == Some(b)) {
                continue;
            }
            if work.left[second].abs() < LEFT_SHARE {
                work.unsure.push(second);
                continue;
            }
            let (by_first, by_second) = (work.first_amps[second], work.second_amps[second]);
            let of_second = &self.lifts[second * width..][..width];
            for (((out, volts), one), two) in
                work.out.iter_mut().zip(&solved.volts).zip(&work.first_lifts).zip(of_second)
            {
                *out = volts - by_first * one - by_second * two;
            }
            each(first, second, &work.out[..solved.watched().len()]);
        }
    }
}
