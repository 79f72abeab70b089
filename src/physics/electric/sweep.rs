//! Exact solution of a resistive network by star-mesh elimination over a [`Schedule`], one case or several side by side.
//!
//! Eliminating a node replaces the star of conductances around it by the mesh its neighbours then see; going back,
//! each node's level is the weighted mean of its neighbours' plus what its own injected current adds. Conductances
//! are only ever added, multiplied and divided, never subtracted, so milliohm contacts beside megohm leaks cost no
//! accuracy (the method of W. K. Grassmann, M. I. Taksar and D. P. Heyman, "Regenerative analysis and steady state
//! distributions for Markov chains", Operations Research 33, 1985, in its symmetric form). It needs no leak to
//! ground: a node that has nothing left to hold it has a sum of exactly zero, and that is what floats.
//!
//! What the nodes are, and exact joins between them, are left to [`network`](super::network) and the files beside it.

use multiversion::multiversion;

use super::schedule::{Schedule, Slot};

/// Cases that are swept side by side where there are many.
pub(super) const LANES: usize = 8;

/// `L` numbers side by side: the same place of `L` cases.
pub(super) type Lanes<const L: usize> = [f64; L];

/// Conductances of `L` cases on one schedule, and after [`Sweep::eliminate`] all that is needed to solve for any
/// currents.
#[derive(Clone, Debug)]
pub(super) struct Sweep<const L: usize> {
    /// Siemens between each place and each of its later neighbours; once swept, as they were when the place went.
    between: Vec<Lanes<L>>,
    /// Siemens from each place to the anchor, likewise.
    anchor: Vec<Lanes<L>>,
    /// One over the sum at each place; zero where nothing held it.
    over_sum: Vec<Lanes<L>>,
}

impl<const L: usize> Sweep<L> {
    /// A sweep without any conductance yet.
    pub(super) fn new(schedule: &Schedule) -> Self {
        Self {
            between: vec![[0.0; L]; schedule.entries()],
            anchor: vec![[0.0; L]; schedule.places()],
            over_sum: vec![[0.0; L]; schedule.places()],
        }
    }

    /// Takes these conductances in every case.
    #[inline(always)]
    pub(super) fn copy_unswept(&mut self, other: &Unswept) {
        for (lanes, siemens) in self.between.iter_mut().zip(&other.between) {
            *lanes = [*siemens; L];
        }
        for (lanes, siemens) in self.anchor.iter_mut().zip(&other.anchor) {
            *lanes = [*siemens; L];
        }
    }

    /// Sets a conductance in one case.
    pub(super) fn set(&mut self, slot: Slot, lane: usize, siemens: f64) {
        match slot {
            Slot::Between(entry) => self.between[entry][lane] = siemens,
            Slot::Anchor(place) => self.anchor[place][lane] = siemens,
            Slot::None => {}
        }
    }

    /// Adds a conductance in one case.
    pub(super) fn add(&mut self, slot: Slot, lane: usize, siemens: f64) {
        match slot {
            Slot::Between(entry) => self.between[entry][lane] += siemens,
            Slot::Anchor(place) => self.anchor[place][lane] += siemens,
            Slot::None => {}
        }
    }

    /// Eliminates every place in turn.
    #[inline(always)]
    pub(super) fn eliminate(&mut self, schedule: &Schedule) {
        let mut mesh = schedule.mesh();
        for at in 0..schedule.places() {
            let span = schedule.span(at);
            let star = schedule.star(at);
            let (swept, ahead) = self.between.split_at_mut(span.end);
            let row = &swept[span.clone()];
            let held = self.anchor[at];
            let mut sum = held;
            for siemens in row {
                each(&mut sum, |lane| siemens[lane], |sum, siemens| *sum += siemens);
            }
            let over_sum = one_over(&sum);
            self.over_sum[at] = over_sum;
            for (i, (siemens, other)) in row.iter().zip(star).enumerate() {
                let mut share = *siemens;
                each(&mut share, |lane| over_sum[lane], |share, over| *share *= over);
                let to_anchor = &mut self.anchor[*other as usize];
                each(to_anchor, |lane| share[lane] * held[lane], |sum, more| *sum += more);
                let (entries, rest) = mesh.split_at(row.len() - i - 1);
                mesh = rest;
                for (entry, farther) in entries.iter().zip(&row[i + 1..]) {
                    let joined = &mut ahead[*entry as usize - span.end];
                    each(joined, |lane| share[lane] * farther[lane], |sum, more| *sum += more);
                }
            }
        }
    }

    /// Turns the amps driven into each place, from `from` on, into its level against the anchor. A place that nothing
    /// holds stands at zero and those that hang on it stand against it.
    #[inline(always)]
    pub(super) fn levels(&self, schedule: &Schedule, amps: &mut [Lanes<L>]) {
        for at in 0..schedule.places() {
            let driven = amps[at];
            let over = self.over_sum[at];
            for (entry, other) in schedule.span(at).zip(schedule.star(at)) {
                let siemens = self.between[entry];
                let onward = &mut amps[*other as usize];
                each(onward, |lane| siemens[lane] * over[lane] * driven[lane], |sum, more| *sum += more);
            }
        }
        for at in (0..schedule.places()).rev() {
            let mut sum = amps[at];
            for (entry, other) in schedule.span(at).zip(schedule.star(at)) {
                let siemens = self.between[entry];
                let level = amps[*other as usize];
                each(&mut sum, |lane| siemens[lane] * level[lane], |sum, more| *sum += more);
            }
            let over = self.over_sum[at];
            each(&mut sum, |lane| over[lane], |level, over| *level *= over);
            amps[at] = sum;
        }
    }

    /// Which places float, case by case: those with nothing left to hold them, and those that hang on nothing but such.
    /// The anchor, after the last place, never does. Nothing is put where no place floats in any case.
    #[inline(always)]
    pub(super) fn floating(&self, schedule: &Schedule, floats: &mut Vec<[bool; L]>) {
        floats.clear();
        // Something floats only where an island's last place has nothing to hold it.
        if !self.over_sum.as_flattened().contains(&0.0) {
            return;
        }
        floats.resize(schedule.places() + 1, [false; L]);
        for at in (0..schedule.places()).rev() {
            let mut floating = self.anchor[at].map(|siemens| siemens == 0.0);
            for (entry, other) in schedule.span(at).zip(schedule.star(at)) {
                let (siemens, beside) = (&self.between[entry], &floats[*other as usize]);
                for (lane, floating) in floating.iter_mut().enumerate() {
                    *floating &= siemens[lane] == 0.0 || beside[lane];
                }
            }
            floats[at] = floating;
        }
    }
}

impl Sweep<1> {
    /// The same for `W` sets of currents in one case, none of which drives any place before `from`.
    #[inline(always)]
    pub(super) fn levels_of_many<const W: usize>(&self, schedule: &Schedule, from: usize, amps: &mut [Lanes<W>]) {
        for at in from..schedule.places() {
            let driven = amps[at];
            if driven == [0.0; W] {
                continue;
            }
            let [over] = self.over_sum[at];
            for (entry, other) in schedule.span(at).zip(schedule.star(at)) {
                let share = self.between[entry][0] * over;
                let onward = &mut amps[*other as usize];
                each(onward, |lane| share * driven[lane], |sum, more| *sum += more);
            }
        }
        for at in (0..schedule.places()).rev() {
            let mut sum = amps[at];
            for (entry, other) in schedule.span(at).zip(schedule.star(at)) {
                let [siemens] = self.between[entry];
                let level = amps[*other as usize];
                each(&mut sum, |lane| siemens * level[lane], |sum, more| *sum += more);
            }
            let [over] = self.over_sum[at];
            sum.iter_mut().for_each(|level| *level *= over);
            amps[at] = sum;
        }
    }

    /// Siemens between a swept place and each of its later neighbours, and to the anchor, with one over their sum.
    pub(super) fn swept(&self, schedule: &Schedule, at: usize) -> (&[Lanes<1>], f64) {
        (&self.between[schedule.span(at)], self.over_sum[at][0])
    }

    /// Siemens from a swept place to the anchor.
    pub(super) fn held(&self, at: usize) -> f64 {
        self.anchor[at][0]
    }
}

/// Conductances of one case, not swept yet.
#[derive(Clone, Debug)]
pub(super) struct Unswept {
    between: Vec<f64>,
    anchor: Vec<f64>,
}

impl Unswept {
    /// No conductance yet.
    pub(super) fn new(schedule: &Schedule) -> Self {
        Self { between: vec![0.0; schedule.entries()], anchor: vec![0.0; schedule.places()] }
    }

    /// Forgets all conductances.
    pub(super) fn clear(&mut self) {
        self.between.fill(0.0);
        self.anchor.fill(0.0);
    }

    /// Siemens at an entry.
    pub(super) fn between(&self, entry: usize) -> f64 {
        self.between[entry]
    }

    /// Siemens from a place to the anchor.
    pub(super) fn anchor(&self, at: usize) -> f64 {
        self.anchor[at]
    }

    /// Adds a conductance.
    pub(super) fn add(&mut self, slot: Slot, siemens: f64) {
        match slot {
            Slot::Between(entry) => self.between[entry] += siemens,
            Slot::Anchor(place) => self.anchor[place] += siemens,
            Slot::None => {}
        }
    }
}

/// Eliminates every place of several cases and turns the amps driven into each into its level.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn solve_abreast(sweep: &mut Sweep<LANES>, schedule: &Schedule, amps: &mut [Lanes<LANES>]) {
    sweep.eliminate(schedule);
    sweep.levels(schedule, amps);
}

/// Turns amps driven into places of several swept cases into levels.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn levels_abreast(sweep: &Sweep<LANES>, schedule: &Schedule, amps: &mut [Lanes<LANES>]) {
    sweep.levels(schedule, amps);
}

/// The same for several sets of currents in one case, none of which drives any place before `from`.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn many_levels_abreast(sweep: &Sweep<1>, schedule: &Schedule, from: usize, amps: &mut [Lanes<LANES>]) {
    sweep.levels_of_many(schedule, from, amps);
}

/// Does the same to every lane.
#[inline(always)]
fn each<const L: usize>(lanes: &mut Lanes<L>, other: impl Fn(usize) -> f64, act: impl Fn(&mut f64, f64)) {
    for (lane, number) in lanes.iter_mut().enumerate() {
        act(number, other(lane));
    }
}

#[inline(always)]
fn one_over<const L: usize>(sum: &Lanes<L>) -> Lanes<L> {
    sum.map(|sum| if sum > 0.0 { 1.0 / sum } else { 0.0 })
}
