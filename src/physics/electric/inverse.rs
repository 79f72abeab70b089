//! How far an amp driven in at one place lifts another: columns of the inverse for the places watched; and the ohms
//! between the two places of each entry of the schedule, one for every branch among them.
//!
//! A few columns are solved for side by side. Where most places are watched they need no solving: going back through the
//! sweep, each row follows from those after it (K. Takahashi, J. Fagan and M. Chin, "Formation of a sparse bus impedance
//! matrix and its application to short circuit study", 8th PICA Conference, 1973), again by sums and products alone; and
//! so do the ohms of the entries. What is made of them is left to [`altered`](super::altered).

use multiversion::multiversion;

use super::schedule::{Schedule, Slot};
use super::sweep::{LANES, Sweep};

/// Columns are set out in so many side by side.
pub(super) const ABREAST: usize = 4;

/// The whole inverse is taken where it is no more than so many times as much as the columns of the watched: it costs less
/// then.
const WHOLE_UP_TO: usize = 3;

/// Ohms: level at one place for each amp driven into another.
#[derive(Clone, Debug, Default)]
pub(super) struct Ohms {
    /// For each place (the anchor last, all zero) the lift that each of the watched gives it.
    columns: Vec<f64>,
    /// How many watched there is room for: a multiple of [`ABREAST`].
    width: usize,
    /// For each place the lift that every place gives it, the anchor among them; empty where that would be much.
    whole: Vec<f64>,
    /// How many numbers `whole` has for each place: a multiple of [`LANES`].
    stride: usize,
    /// For each entry of the schedule the ohms between its two places.
    across: Vec<f64>,
    /// For each place the ohms to the anchor: its own lift; the anchor's is zero.
    own: Vec<f64>,
    /// Room for columns side by side, and for the sums of one place.
    block: Vec<f64>,
}

impl Ohms {
    /// Room for ohms of networks on this schedule with so many places watched.
    pub(super) fn new(schedule: &Schedule, watched: usize) -> Self {
        let width = watched.next_multiple_of(ABREAST);
        let rows = schedule.places() + 1;
        let stride = rows.next_multiple_of(LANES);
        let is_whole = rows <= WHOLE_UP_TO * width;
        Self {
            columns: vec![0.0; rows * width],
            width,
            whole: vec![0.0; if is_whole { rows * stride } else { 0 }],
            stride,
            across: vec![0.0; schedule.entries()],
            own: vec![0.0; rows],
            block: Vec::new(),
        }
    }

    /// Takes the ohms of a swept network for the places watched: those that there was room made for, filled up with the
    /// anchor.
    pub(super) fn take(&mut self, schedule: &Schedule, sweep: &Sweep<1>, watched: &[usize]) {
        put_across(schedule, sweep, self);
        if self.whole.is_empty() {
            return put_columns(schedule, sweep, watched, self);
        }
        put_whole(schedule, sweep, self);
        let rows = self.whole.chunks_exact(self.stride);
        for (row, all) in self.columns.chunks_exact_mut(self.width).zip(rows) {
            row.iter_mut().zip(watched).for_each(|(lift, place)| *lift = all[*place]);
        }
    }

    /// How far an amp into one place lifts another; none where it is not known.
    #[inline(always)]
    pub(super) fn lift(&self, schedule: &Schedule, watch_of: &[Option<usize>], a: usize, b: usize) -> Option<f64> {
        if let Some(lift) = self.whole.get(a * self.stride + b) {
            return Some(*lift);
        }
        self.lift_sought(schedule, watch_of, a, b)
    }

    /// The same where the whole inverse is not there.
    fn lift_sought(&self, schedule: &Schedule, watch_of: &[Option<usize>], a: usize, b: usize) -> Option<f64> {
        match schedule.slot_of_places(a, b) {
            Some(Slot::None) => Some(self.own[a]),
            Some(slot) => Some((self.own[a] + self.own[b] - self.across(slot)) / 2.0),
            None => {
                let known = |x: usize, y: usize| Some(self.column(x)[watch_of[y]?]);
                known(a, b).or_else(|| known(b, a))
            }
        }
    }

    /// Whether what any place lifts is known of all.
    pub(super) fn is_whole(&self) -> bool {
        !self.whole.is_empty()
    }

    /// How far an amp from one place to another lifts every place, the anchor last; false where it is not known.
    pub(super) fn put_between(&self, watch_of: &[Option<usize>], [a, b]: [usize; 2], out: &mut [f64]) -> bool {
        if !self.whole.is_empty() {
            let row = |place: usize| self.whole[place * self.stride..].iter();
            out.iter_mut().zip(row(a).zip(row(b))).for_each(|(out, (at_a, at_b))| *out = at_a - at_b);
            return true;
        }
        let anchor = out.len() - 1;
        out.fill(0.0);
        for (place, sign) in [(a, 1.0), (b, -1.0)] {
            if place == anchor {
                continue;
            }
            let Some(at) = watch_of[place] else { return false };
            let lifts = self.columns.iter().skip(at).step_by(self.width);
            out.iter_mut().zip(lifts).for_each(|(out, lift)| *out += sign * lift);
        }
        true
    }

    /// What each of the watched lifts at a place.
    #[inline(always)]
    pub(super) fn column(&self, place: usize) -> &[f64] {
        &self.columns[place * self.width..][..self.width]
    }

    /// What each of the watched lifts at every place, place after place.
    pub(super) fn columns(&self) -> &[f64] {
        &self.columns
    }

    /// How many watched there is room for.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// A place's own lift: ohms from it to the anchor.
    pub(super) fn own(&self, place: usize) -> f64 {
        self.own[place]
    }

    /// The ohms between two places on the schedule.
    pub(super) fn across(&self, slot: Slot) -> f64 {
        match slot {
            Slot::Between(entry) => self.across[entry],
            Slot::Anchor(place) => self.own[place],
            Slot::None => 0.0,
        }
    }
}

/// Columns for the places watched: as many side by side as there are, twelve at most.
#[multiversion(targets("x86_64+avx+avx2"))]
fn put_columns(schedule: &Schedule, sweep: &Sweep<1>, watched: &[usize], ohms: &mut Ohms) {
    let Ohms { columns, width, block, .. } = ohms;
    let mut begun = 0;
    while begun < *width {
        let rest = &watched[begun..];
        let mut put = (&mut *columns, *width, begun, &mut *block);
        begun += match rest.len() {
            ABREAST => put_some::<ABREAST>(schedule, sweep, rest, &mut put),
            8 => put_some::<8>(schedule, sweep, rest, &mut put),
            _ => put_some::<12>(schedule, sweep, rest, &mut put),
        };
    }
}

/// The first `W` of the columns for some places, put from one on among as many as there is room for; `W`.
#[inline(always)]
fn put_some<const W: usize>(
    schedule: &Schedule,
    sweep: &Sweep<1>,
    watched: &[usize],
    (columns, width, begun, block): &mut (&mut Vec<f64>, usize, usize, &mut Vec<f64>),
) -> usize {
    let is_all = *width == W;
    let room: &mut Vec<f64> = if is_all { columns } else { block };
    room.clear();
    room.resize((schedule.places() + 1) * W, 0.0);
    let (rows, _) = room.as_chunks_mut::<W>();
    let some = &watched[..watched.len().min(W)];
    for (lane, place) in some.iter().enumerate() {
        rows[*place][lane] = 1.0;
    }
    rows[schedule.places()] = [0.0; W];
    let from = some.iter().copied().min().unwrap_or(0);
    sweep.levels_of_many(schedule, from, rows);
    rows[schedule.places()] = [0.0; W];
    if !is_all {
        for (row, levels) in columns.chunks_exact_mut(*width).zip(block.as_chunks::<W>().0) {
            row[*begun..*begun + W].copy_from_slice(levels);
        }
    }
    W
}

/// The ohms on the schedule: between each place and its later neighbours, and from each place to the anchor.
///
/// A place stands at the mean of its neighbours, weighed by their conductances, one over their sum away from it. The ohms
/// from a mean of places to one more are the mean of those of the places less half the mean of those between any two of
/// them, by the form that ohms between places have in the inverse (D. J. Klein and M. Randić, "Resistance distance",
/// Journal of Mathematical Chemistry 12, 1993). Unlike differences of the inverse's own numbers, what is subtracted here
/// is no greater than a few times what is left, so that each is as exact as it is small.
fn put_across(schedule: &Schedule, sweep: &Sweep<1>, ohms: &mut Ohms) {
    let Ohms { across, own, block, .. } = ohms;
    block.clear();
    block.resize(2 * schedule.widest(), 0.0);
    let (shares, means) = block.split_at_mut(schedule.widest());
    let mut mesh_end = schedule.mesh().len();
    for at in (0..schedule.places()).rev() {
        let star = schedule.star(at);
        let (siemens, over_sum) = sweep.swept(schedule, at);
        let to_anchor = sweep.held(at) * over_sum;
        let (shares, means) = (&mut shares[..star.len()], &mut means[..star.len()]);
        let mut mean_own = 0.0;
        for (((share, mean), [siemens]), other) in shares.iter_mut().zip(&mut *means).zip(siemens).zip(star) {
            let from_other = own[*other as usize];
            *share = siemens * over_sum;
            *mean = to_anchor * from_other;
            mean_own += *share * from_other;
        }
        let begun = mesh_end - star.len() * star.len().saturating_sub(1) / 2;
        let mut mesh = &schedule.mesh()[begun..mesh_end];
        mesh_end = begun;
        for one in 0..star.len() {
            // Each two neighbours have an entry between them.
            let (entries, rest) = mesh.split_at(star.len() - one - 1);
            mesh = rest;
            let share = shares[one];
            let (here, later) = means.split_at_mut(one + 1);
            let mut mean = here[one];
            for ((entry, farther), later) in entries.iter().zip(&shares[one + 1..]).zip(later) {
                let ohms = across[*entry as usize];
                mean += farther * ohms;
                *later += share * ohms;
            }
            here[one] = mean;
        }
        let mean_of_means: f64 = shares.iter().zip(&*means).map(|(share, mean)| share * mean).sum();
        let less = over_sum - (mean_of_means + to_anchor * mean_own) / 2.0;
        for (ohms, mean) in across[schedule.span(at)].iter_mut().zip(&*means) {
            *ohms = mean + less;
        }
        own[at] = mean_own + less;
    }
}

/// The whole inverse, row by row from the last place back.
#[multiversion(targets("x86_64+avx+avx2"))]
fn put_whole(schedule: &Schedule, sweep: &Sweep<1>, ohms: &mut Ohms) {
    let Ohms { whole, stride, .. } = ohms;
    let places = schedule.places();
    let each = *stride / LANES;
    for at in (0..places).rev() {
        let star = schedule.star(at);
        let (siemens, over_sum) = sweep.swept(schedule, at);
        let (before, after) = whole.split_at_mut((at + 1) * *stride);
        let row = &mut before[at * *stride..];
        // What stands before its own place is put by the places there.
        let (theirs, begun) = (after.as_chunks::<LANES>().0, at / LANES);
        for (block, here) in row.as_chunks_mut::<LANES>().0.iter_mut().enumerate().skip(begun) {
            let mut sums = [0.0; LANES];
            for ([g], other) in siemens.iter().zip(star) {
                let theirs = &theirs[(*other as usize - at - 1) * each + block];
                for lane in 0..LANES {
                    sums[lane] += g * theirs[lane];
                }
            }
            *here = sums.map(|sum| sum * over_sum);
        }
        let back: f64 = siemens.iter().zip(star).map(|([g], other)| g * row[*other as usize]).sum();
        row[at] = (1.0 + back) * over_sum;
        // The same from both sides.
        for (theirs, lift) in after.chunks_exact_mut(*stride).zip(&row[at + 1..places]) {
            theirs[at] = *lift;
        }
    }
}
