//! How far an amp driven in at one place lifts another: columns of the inverse for the places watched, and those of
//! its numbers that lie on the schedule.
//!
//! The columns are solved for eight at a time. The numbers on the schedule, one for every branch among them, follow
//! from the sweep backwards without any solving (K. Takahashi, J. Fagan and M. Chin, "Formation of a sparse bus
//! impedance matrix and its application to short circuit study", 8th PICA Conference, 1973), again by sums and
//! products alone. What is made of them is left to [`altered`](super::altered).

use super::schedule::{Schedule, Slot};
use super::sweep::{Lanes, Sweep};

/// Columns solved for at once.
pub(super) const AT_ONCE: usize = 8;
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
}

impl Ohms {
    /// Ohms of a swept network for the places watched.
    #[inline(always)]
    pub(super) fn of(schedule: &Schedule, sweep: &Sweep<1>, watched: &[usize]) -> Self {
        let width = watched.len().next_multiple_of(ABREAST);
        let places = schedule.places();
        let mut columns = vec![0.0; (places + 1) * width];
        let mut amps: Vec<Lanes<AT_ONCE>> = vec![[0.0; AT_ONCE]; places + 1];
        for (block, some) in watched.chunks(AT_ONCE).enumerate() {
            amps.fill([0.0; AT_ONCE]);
            for (lane, place) in some.iter().enumerate() {
                amps[*place][lane] = 1.0;
            }
            amps[places] = [0.0; AT_ONCE];
            let from = some.iter().copied().min().unwrap_or(0);
            sweep.levels_of_many(schedule, from, &mut amps);
            let begun = block * AT_ONCE;
            let wide = AT_ONCE.min(width - begun);
            for (row, levels) in columns.chunks_exact_mut(width).zip(&amps[..places]) {
                row[begun..begun + wide].copy_from_slice(&levels[..wide]);
            }
        }
        let (between, own) = selected(schedule, sweep);
        Self { columns, width, between, own }
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

/// The inverse's numbers on the schedule: between each place and its later neighbours, and of each place itself.
#[inline(always)]
fn selected(schedule: &Schedule, sweep: &Sweep<1>) -> (Vec<f64>, Vec<f64>) {
    let mut between = vec![0.0; schedule.entries()];
    let mut own = vec![0.0; schedule.places() + 1];
    let mut mesh_end = schedule.mesh().len();
    let mut sums = Vec::new();
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
    (between, own)
}
