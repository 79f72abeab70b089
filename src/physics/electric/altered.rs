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
//! Every two changes at once are left to [`pairs`](super::pairs), one beside several to [`beside`](mod@super::beside).

use multiversion::multiversion;

use super::inverse::ABREAST;
use super::network::Branch;
use super::prepared::{Compiled, Prepared, Solved};
use super::schedule::Slot;
use super::surroundings::{Local, MOST, Patch, Surroundings};
use super::sweep::{LANES, Lanes, Sweep, solve_abreast};

/// Share that the ohms of an altered loop must leave of what they were for an update to keep its figures, where they
/// are found by differences of ohms to the anchor.
pub(super) const LEFT_SHARE: f64 = 1e-3;
/// The same where they are known of themselves.
const LEAST_LEFT: f64 = 1e-4;
/// Share of the ohms to the anchor below which the ohms between two places, found as their difference, are mostly
/// rounding.
const SURE_SHARE: f64 = 1e-7;
/// Most volts that a current may lift its ends by, as if there were none coming back: their rounding is what is left
/// in the volts.
const MOST_LIFTED: f64 = 4e6;
/// Share of the ohms to the anchor below which several loops must leave more than [`LEFT_SHARE`] of each other.
pub(super) const SHARE_FOR_TWO: f64 = 1e-3;

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
pub(super) enum Effect {
    /// Nothing moves, whatever else is altered.
    Nothing,
    /// Nothing moves, but islands that float have become one.
    Adrift,
    /// A current from `a` to `b` besides what flowed: `amps` where this is all, `per_volt` for each volt between.
    Current { a: usize, b: usize, per_volt: f64, amps: f64 },
    /// All that lies beyond this place is set afloat.
    Cut(usize),
    /// An island that floated is joined at one point: it is so many volts higher than its level says.
    Landed { island: u32, volts: f64 },
    /// An update would not be exact enough.
    Unsure,
}

/// From so many copies on that no update is exact enough for, surroundings of all patches are worth their making.
const ENOUGH: usize = 32;

/// Room to work in, kept from one copy to the next.
#[derive(Clone, Debug)]
pub struct Scratch {
    pub(super) sweep: Sweep<LANES>,
    pub(super) amps: Vec<Lanes<LANES>>,
    /// Copies that wait to be solved anew: the numbers of their changes, the same twice where it is one.
    waiting: Vec<[usize; 2]>,
    pub(super) out: Vec<f64>,
    /// Changes that no update is exact enough for.
    pub(super) unsure: Vec<usize>,
    patch: Patch,
    surroundings: Surroundings,
    /// Which places float in each lane; empty where none does.
    floats: Vec<[bool; LANES]>,
    pub(super) solved_anew: usize,
}

impl Scratch {
    /// Room for copies of this network.
    pub fn new(prepared: &Prepared) -> Self {
        Self::of(&prepared.compiled)
    }

    pub(super) fn of(prepared: &Compiled) -> Self {
        Self {
            sweep: Sweep::new(&prepared.schedule),
            amps: vec![[0.0; LANES]; prepared.places() + 1],
            waiting: Vec::with_capacity(LANES),
            out: Vec::new(),
            unsure: Vec::new(),
            patch: Patch::default(),
            surroundings: Surroundings::default(),
            floats: Vec::new(),
            solved_anew: 0,
        }
    }

    /// How many copies were solved by a sweep of their own so far.
    pub fn solved_anew(&self) -> usize {
        self.solved_anew
    }
}

impl Solved {
    /// Volts of the watched nodes with each change alone, by its number; not a number where one floats. The order is
    /// always the same and not that of the numbers: what must be solved anew waits for others of its kind.
    pub fn singles(&self, changes: &[Change], scratch: &mut Scratch, mut each: impl FnMut(usize, &[f64])) {
        let mut out = std::mem::take(&mut scratch.out);
        out.clear();
        out.resize(self.ohms.width(), 0.0);
        let mut unsure = std::mem::take(&mut scratch.unsure);
        unsure.clear();
        for (number, change) in changes.iter().enumerate() {
            match self.effect(*change) {
                Effect::Nothing | Effect::Adrift => out.copy_from_slice(&self.volts),
                Effect::Current { a, b, amps, .. } => self.put_lifted(a, b, amps, &mut out),
                Effect::Cut(beyond) => self.put_cut(beyond, &mut out),
                Effect::Landed { island, volts } => self.put_landed(island, volts, &mut out),
                Effect::Unsure => {
                    unsure.push(number);
                    continue;
                }
            }
            each(number, &out[..self.watched().len()]);
        }
        self.by_surroundings(changes, &mut unsure, scratch, &mut out, &mut each);
        for number in unsure.drain(..) {
            let mut each = |[number, _]: [usize; 2], volts: &[f64]| each(number, volts);
            self.put_off(changes, [number; 2], scratch, &mut out, &mut each);
        }
        scratch.unsure = unsure;
        let mut each = |[number, _]: [usize; 2], volts: &[f64]| each(number, volts);
        self.solve_waiting(changes, scratch, &mut out, &mut each);
        scratch.out = out;
    }

    /// Finds those of many unsure changes that their surroundings tell, and leaves the others.
    pub(super) fn by_surroundings(
        &self,
        changes: &[Change],
        unsure: &mut Vec<usize>,
        scratch: &mut Scratch,
        out: &mut [f64],
        each: &mut impl FnMut(usize, &[f64]),
    ) {
        if unsure.len() < ENOUGH || self.prepared.schedule.widest() >= MOST {
            return;
        }
        let watched = self.watched().len();
        let mut surroundings = std::mem::take(&mut scratch.surroundings);
        let locals: Vec<Option<Local>> = unsure.iter().map(|number| self.local(changes[*number])).collect();
        surroundings.take_up(self, locals.iter().flatten());
        let mut each_local = locals.into_iter();
        unsure.retain(|number| {
            let local = each_local.next().flatten();
            let is_known = local.is_some_and(|local| surroundings.put_altered(self, local, &mut scratch.patch, out));
            if is_known {
                self.put_volts(out);
                each(*number, &out[..watched]);
            }
            !is_known
        });
        scratch.surroundings = surroundings;
    }

    /// Share that the loop of a change has of the ohms to the anchor, by the difference of which it was found; one at most.
    pub(super) fn share_of(&self, change: Change, (a, b, per_volt): (usize, usize, f64)) -> f64 {
        // A bridge's loop is nothing but its own ohms.
        if self.is_bridge(change) { 1.0 } else { (1.0 / (per_volt.abs() * self.ohms_to_anchor(a, b))).min(1.0) }
    }

    /// Whether a change is of a bridge.
    #[inline(always)]
    pub(super) fn is_bridge(&self, change: Change) -> bool {
        match change {
            Change::Branch { branch, .. } => self.bridges.beyond(branch).is_some(),
            Change::Tie { .. } => false,
        }
    }

    /// Ohms to the anchor of two places together.
    #[inline(always)]
    pub(super) fn ohms_to_anchor(&self, a: usize, b: usize) -> f64 {
        self.ohms.own(a) + self.ohms.own(b)
    }

    #[inline(always)]
    fn put_lifted(&self, a: usize, b: usize, amps: f64, out: &mut [f64]) {
        put_lifted(&self.volts, [self.ohms.column(a), self.ohms.column(b)], amps, out);
    }

    /// A change as something altered within a patch; none where a source stands in it, whose amps would have to be taken
    /// off again, or the schedule has no place for it.
    fn local(&self, change: Change) -> Option<Local> {
        let prepared = &*self.prepared;
        match change {
            Change::Branch { branch, siemens } => {
                let line = &prepared.lines[branch];
                if line.is_join || line.volts != 0.0 {
                    return None;
                }
                let siemens_of =
                    |mate: &u32| if *mate as usize == branch { siemens } else { self.siemens[*mate as usize] };
                let now = prepared.mates[branch].iter().map(siemens_of).sum();
                Some(Local { slot: line.slot, siemens: Some(now), more: 0.0, amps: 0.0 })
            }
            Change::Tie { a, b, ohms } => {
                let ((a, above_a), (b, above_b)) = (prepared.stands[a], prepared.stands[b]);
                let slot = prepared.schedule.slot_of_places(a, b).filter(|_| ohms > 0.0)?;
                let out_of_a = (above_a - above_b) / ohms;
                let amps = if a < b { -out_of_a } else { out_of_a };
                Some(Local { slot, siemens: None, more: 1.0 / ohms, amps })
            }
        }
    }

    /// Makes volts of levels: what floats floats still.
    pub(super) fn put_volts(&self, out: &mut [f64]) {
        for ((out, node), before) in out.iter_mut().zip(self.watched()).zip(&self.volts) {
            *out = if before.is_nan() { f64::NAN } else { *out + self.prepared.stands[*node].1 };
        }
    }

    pub(super) fn put_cut(&self, beyond: usize, out: &mut [f64]) {
        out.copy_from_slice(&self.volts);
        self.put_afloat(beyond, out);
    }

    /// Sets all that is watched beyond a place afloat.
    pub(super) fn put_afloat(&self, beyond: usize, out: &mut [f64]) {
        for (out, place) in out.iter_mut().zip(&self.places) {
            if self.bridges.is_beyond(*place, beyond) {
                *out = f64::NAN;
            }
        }
    }

    pub(super) fn put_landed(&self, island: u32, volts: f64, out: &mut [f64]) {
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
    pub(super) fn effect(&self, change: Change) -> Effect {
        let prepared = &*self.prepared;
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
                    if siemens == 0.0 {
                        return Effect::Cut(beyond);
                    }
                    // It carries nothing, and the ohms between its ends are its own: no figure is lost. What it
                    // resists tells once something else gives a way round it.
                    let per_volt = before * (more / siemens);
                    return Effect::Current { a: line.a, b: line.b, per_volt, amps: 0.0 };
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
                (false, false) => Effect::Adrift,
            };
        }
        let own = self.ohms_to_anchor(a, b);
        let loop_ohms = match slot {
            Some(slot) => {
                let loop_ohms = self.ohms.across(slot) + more_ohms;
                let lifted = own * (open_volts / loop_ohms).abs();
                let is_sure = loop_ohms.abs() >= LEAST_LEFT * more_ohms.abs() && lifted <= MOST_LIFTED;
                if !is_sure {
                    return Effect::Unsure;
                }
                loop_ohms
            }
            None => {
                let lift = self.ohms.lift(&prepared.schedule, &self.watch_of, a, b);
                let Some(shared) = lift else { return Effect::Unsure };
                let loop_ohms = own - 2.0 * shared + more_ohms;
                if loop_ohms.abs() < SURE_SHARE * own {
                    return Effect::Unsure;
                }
                loop_ohms
            }
        };
        let per_volt = 1.0 / loop_ohms;
        Effect::Current { a, b, per_volt, amps: per_volt * open_volts }
    }

    /// Lets a copy wait to be solved anew, and solves those that wait once they are enough.
    pub(super) fn put_off(
        &self,
        changes: &[Change],
        which: [usize; 2],
        scratch: &mut Scratch,
        out: &mut [f64],
        each: &mut impl FnMut([usize; 2], &[f64]),
    ) {
        if !which.iter().all(|number| self.has_room_for(changes[*number])) {
            scratch.solved_anew += 1;
            let [first, second] = which;
            let both = [changes[first], changes[second]];
            self.put_compiled(if first == second { &both[..1] } else { &both }, out);
            return each(which, &out[..self.watched().len()]);
        }
        scratch.waiting.push(which);
        if scratch.waiting.len() == LANES {
            self.solve_waiting(changes, scratch, out, each);
        }
    }

    /// Whether the schedule has a place for what a change alters.
    pub(super) fn has_room_for(&self, change: Change) -> bool {
        let prepared = &*self.prepared;
        match change {
            Change::Branch { branch, .. } => !prepared.lines[branch].is_join,
            Change::Tie { a, b, ohms } => {
                ohms > 0.0 && prepared.schedule.slot_of_places(prepared.stands[a].0, prepared.stands[b].0).is_some()
            }
        }
    }

    /// Solves the copies that wait, each in a lane of one sweep.
    #[inline(always)]
    pub(super) fn solve_waiting(
        &self,
        changes: &[Change],
        scratch: &mut Scratch,
        out: &mut [f64],
        each: &mut impl FnMut([usize; 2], &[f64]),
    ) {
        if scratch.waiting.is_empty() {
            return;
        }
        let mut waiting = std::mem::take(&mut scratch.waiting);
        let both: [[Change; 2]; LANES] = std::array::from_fn(|lane| {
            let [first, second] = waiting.get(lane).copied().unwrap_or_default();
            [changes[first], changes[second]]
        });
        let lanes = waiting.iter().zip(&both).map(|([first, second], both)| &both[..1 + usize::from(first != second)]);
        self.solve_lanes(lanes, scratch);
        for (lane, which) in waiting.drain(..).enumerate() {
            self.put_lane(lane, scratch, out);
            each(which, &out[..self.watched().len()]);
        }
        scratch.waiting = waiting;
    }

    /// Solves copies, each in a lane of one sweep.
    pub(super) fn solve_lanes<'c>(&self, copies: impl Iterator<Item = &'c [Change]>, scratch: &mut Scratch) {
        let prepared = &*self.prepared;
        scratch.sweep.copy_unswept(&self.unswept);
        scratch.amps.fill([0.0; LANES]);
        for (lane, altered) in copies.enumerate() {
            scratch.solved_anew += 1;
            self.alter(altered, lane, scratch);
        }
        solve_abreast(&mut scratch.sweep, &prepared.schedule, &mut scratch.amps);
        scratch.amps[prepared.places()] = [0.0; LANES];
        scratch.sweep.floating(&prepared.schedule, &mut scratch.floats);
    }

    /// Volts of the watched in one lane.
    pub(super) fn put_lane(&self, lane: usize, scratch: &Scratch, out: &mut [f64]) {
        for (out, node) in out.iter_mut().zip(self.watched()) {
            let (place, above) = self.prepared.stands[*node];
            let floats = scratch.floats.get(place).is_some_and(|floats| floats[lane]);
            *out = if floats { f64::NAN } else { scratch.amps[place][lane] + above };
        }
    }

    /// Puts changes into one lane of a sweep that is not swept yet, and what they drive into its amps.
    pub(super) fn alter(&self, altered: &[Change], lane: usize, scratch: &mut Scratch) {
        let prepared = &*self.prepared;
        let siemens = |number: usize| {
            let now = altered.iter().find_map(|change| match change {
                Change::Branch { branch, siemens } if *branch == number => Some(*siemens),
                Change::Branch { .. } | Change::Tie { .. } => None,
            });
            now.unwrap_or(self.siemens[number])
        };
        prepared.drive(siemens, lane, &mut scratch.amps);
        for change in altered {
            if let Change::Branch { branch, .. } = change {
                // Added up anew rather than taken off: nothing is ever subtracted.
                let sum = prepared.mates[*branch].iter().map(|mate| siemens(*mate as usize)).sum();
                scratch.sweep.set(prepared.lines[*branch].slot, lane, sum);
            }
        }
        for change in altered {
            if let Change::Tie { a, b, ohms } = *change {
                let ((a, above_a), (b, above_b)) = (prepared.stands[a], prepared.stands[b]);
                let slot = prepared.schedule.slot_of_places(a, b).unwrap_or(Slot::None);
                scratch.sweep.add(slot, lane, 1.0 / ohms);
                let driven = (above_a - above_b) / ohms;
                scratch.amps[a][lane] -= driven;
                scratch.amps[b][lane] += driven;
            }
        }
    }

    /// The same by compiling the altered network anew: for joins that the schedule has no room for.
    pub(super) fn put_compiled(&self, changes: &[Change], out: &mut [f64]) {
        let (altered, siemens) = self.altered_network(changes);
        let solved = altered.solve(&siemens, self.watched());
        out[..self.watched().len()].copy_from_slice(solved.volts());
    }

    /// The network with the changes built in, and the siemens of its branches.
    pub(super) fn altered_network(&self, changes: &[Change]) -> (Prepared, Vec<f64>) {
        let mut network = self.prepared.network.clone();
        let mut siemens = self.siemens.clone();
        // The first of a branch counts: it is put last.
        for change in changes.iter().rev() {
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
}

/// Volts with a current between two places: what they were less what it lifts, by the columns of the two.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn put_lifted(volts: &[f64], [a, b]: [&[f64]; 2], amps: f64, out: &mut [f64]) {
    let lifts = a.as_chunks::<ABREAST>().0.iter().zip(b.as_chunks::<ABREAST>().0);
    let volts = volts.as_chunks::<ABREAST>().0;
    for ((out, volts), (at_a, at_b)) in out.as_chunks_mut::<ABREAST>().0.iter_mut().zip(volts).zip(lifts) {
        for lane in 0..ABREAST {
            out[lane] = volts[lane] - amps * (at_a[lane] - at_b[lane]);
        }
    }
}
