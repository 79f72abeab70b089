//! How far an amp driven in at one place lifts another: columns of the inverse for the places watched, and those of
//! its numbers that lie on the schedule.
//!
//! A few columns are solved for side by side. Where every place is watched they need no solving: going back through the
//! sweep, each row follows from those after it, as the numbers on the schedule do, one for every branch among them
//! (K. Takahashi, J. Fagan and M. Chin, "Formation of a sparse bus impedance matrix and its application to short circuit
//! study", 8th PICA Conference, 1973), again by sums and products alone. What is made of them is left to
//! [`altered`](super::altered).

use multiversion::multiversion;

use super::schedule::{Schedule, Slot};
use super::sweep::Sweep;

/// Columns are set out in so many side by side.
pub(super) const ABREAST: usize = 4;

/// Ohms: level at one place for each amp driven into another.
#[derive(Clone, Debug, Default)]
pub(super) struct Ohms {
    /// For each place (the anchor last, all zero) the lift that each of the watched gives it.
    columns: Vec<f64>,
    /// How many watched there is room for: a multiple of [`ABREAST`].
    width: usize,
    /// For each entry of the schedule the lift between its two places.
    between: Vec<f64>,
    /// For each place its own lift; the anchor's is zero.
    own: Vec<f64>,
    /// Room for columns side by side, and for the sums of one place.
    block: Vec<f64>,
}

impl Ohms {
    /// Room for ohms of networks on this schedule with so many places watched.
    pub(super) fn new(schedule: &Schedule, watched: usize) -> Self {
        let width = watched.next_multiple_of(ABREAST);
        let rows = schedule.places() + 1;
        Self {
            columns: vec![0.0; rows * width],
            width,
            between: vec![0.0; schedule.entries()],
            own: vec![0.0; rows],
            block: Vec::new(),
        }
    }

    /// Takes the ohms of a swept network for the places watched: those that there was room made for.
    pub(super) fn take(&mut self, schedule: &Schedule, sweep: &Sweep<1>, watched: &[usize]) {
        if self.width > 0 && watched.iter().copied().eq(0..schedule.places()) {
            return put_whole(schedule, sweep, self);
        }
        put_columns(schedule, sweep, watched, self);
        put_selected(schedule, sweep, self);
    }

    /// What each of the watched lifts at a place.
    #[inline(always)]
    pub(super) fn column(&self, place: usize) -> &[f64] {
        &self.columns[place * self.width..][..self.width]
    }

    /// How many watched there is room for.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// A place's own lift: ohms from it to the anchor.
    pub(super) fn own(&self, place: usize) -> f64 {
        self.own[place]
    }

    /// The lift between two places on the schedule.
    pub(super) fn at(&self, slot: Slot) -> f64 {
        match slot {
            Slot::Between(entry) => self.between[entry],
            // The anchor is never lifted.
            Slot::Anchor(_) | Slot::None => 0.0,
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
        begun += match rest.len().next_multiple_of(ABREAST) {
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

/// The inverse's numbers on the schedule: between each place and its later neighbours, and of each place itself.
#[inline(always)]
fn put_selected(schedule: &Schedule, sweep: &Sweep<1>, ohms: &mut Ohms) {
    let Ohms { between, own, block: sums, .. } = ohms;
    let mut mesh_end = schedule.mesh().len();
    for at in (0..schedule.places()).rev() {
        let star = schedule.star(at);
        let (siemens, over_sum) = sweep.swept(schedule, at);
        let begun = mesh_end - star.len() * star.len().saturating_sub(1) / 2;
        let mut mesh = schedule.mesh()[begun..mesh_end].iter();
        sums.clear();
        sums.extend(siemens.iter().zip(star).map(|([g], other)| g * own[*other as usize]));
        for i in 0..star.len() {
            for j in i + 1..star.len() {
                // Each two neighbours have an entry between them.
                let Some(entry) = mesh.next() else { break };
                let lift = between[*entry as usize];
                sums[i] += siemens[j][0] * lift;
                sums[j] += siemens[i][0] * lift;
            }
        }
        let mut back = 1.0;
        for (entry, (sum, [g])) in schedule.span(at).zip(sums.iter().zip(siemens)) {
            let lift = sum * over_sum;
            between[entry] = lift;
            back += g * lift;
        }
        own[at] = back * over_sum;
        mesh_end = begun;
    }
}

/// The whole inverse, row by row from the last place back.
#[multiversion(targets("x86_64+avx+avx2"))]
fn put_whole(schedule: &Schedule, sweep: &Sweep<1>, ohms: &mut Ohms) {
    let Ohms { columns, width, between, own, .. } = ohms;
    let places = schedule.places();
    for at in (0..places).rev() {
        let star = schedule.star(at);
        let (siemens, over_sum) = sweep.swept(schedule, at);
        let (before, after) = columns.split_at_mut((at + 1) * *width);
        let row = &mut before[at * *width..];
        // Begun where numbers are set out side by side; what stands before its own place is put by the places there.
        let begun = at / ABREAST * ABREAST;
        let mut farther = siemens.iter().zip(star);
        match farther.next() {
            Some(([g], other)) => {
                let share = g * over_sum;
                let theirs = &after[(*other as usize - at - 1) * *width..][..*width];
                row[begun..].iter_mut().zip(&theirs[begun..]).for_each(|(lift, other)| *lift = share * other);
            }
            None => row[begun..].fill(0.0),
        }
        for ([g], other) in farther {
            let share = g * over_sum;
            let theirs = &after[(*other as usize - at - 1) * *width..][..*width];
            row[begun..].iter_mut().zip(&theirs[begun..]).for_each(|(lift, other)| *lift += share * other);
        }
        let mut back = 1.0;
        for (entry, ([g], other)) in schedule.span(at).zip(siemens.iter().zip(star)) {
            between[entry] = row[*other as usize];
            back += g * between[entry];
        }
        own[at] = back * over_sum;
        row[at] = own[at];
        // The same from both sides.
        for (theirs, lift) in after.chunks_exact_mut(*width).zip(&row[at + 1..places]) {
            theirs[at] = *lift;
        }
    }
}
