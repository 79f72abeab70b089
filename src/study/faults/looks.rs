//! What is read of a truck in one state, when two readings can be told apart, and which trucks look alike.
//!
//! A [`Look`] is what one truck shows in all states, by numbers of [`Readings`] that are each kept once. Two looks
//! are alike where no reading in any state tells them apart. Being alike is not passed on (9.90 V is like 9.95 V and
//! that like 10.04 V), so groups are the connected pieces of what is alike: whoever is in one group with another can
//! be reached from it by steps too small to see, and whoever is not can be told from every member of it. Which trucks
//! there are is left to others.

use std::collections::{BTreeMap, HashMap};

use crate::study::answer::Standing;

/// Least difference in volts that tells two readings apart: last digits, leads and a battery's mood (example value).
pub const APART_VOLTS: f64 = 0.1;
/// The same as a share of the larger reading, where that is more (example value).
pub const APART_SHARE: f64 = 0.02;
/// Least difference in psi that tells two readings of a gauge apart (example value).
pub const APART_PSI: f64 = 2.0;

/// Volts and psi are kept to this share of a unit: below what any reading shows.
const KEPT: f64 = 1e4;

/// Everything that is read in one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// What the fan is seen to do. Where the circuit never rests, that is the only reading: nothing else stands still.
    pub standing: Standing,
    /// Gauge in the air supply.
    pub supply_psi: Option<f64>,
    /// Gauge in the clutch hose; none where no valve feeds a clutch.
    pub clutch_psi: Option<f64>,
    /// Voltmeter from each point to the battery's `-`, in the order of the points.
    pub volts: Vec<f64>,
}

/// Something that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Means {
    /// Eyes on the fan, ears on a chattering relay.
    Fan,
    /// The gauge in the clutch hose.
    ClutchGauge,
    /// The gauge in the air supply.
    SupplyGauge,
    /// The voltmeter, at the point of this number.
    Volts(usize),
}

/// What one truck shows: for each state the number of its readings in [`Seen`].
pub(super) type Look = Vec<u32>;

fn differ(a: f64, b: f64, least: f64, share: f64) -> bool {
    (a - b).abs() > least.max(share * a.abs().max(b.abs()))
}

/// Whether two readings of a voltmeter can be told apart.
pub fn volts_differ(a: f64, b: f64) -> bool {
    differ(a, b, APART_VOLTS, APART_SHARE)
}

fn psi_differ(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => differ(a, b, APART_PSI, 0.0),
        (a, b) => a.is_some() != b.is_some(),
    }
}

impl Readings {
    /// Those of a circuit that never comes to rest.
    pub(super) fn unsteady() -> Self {
        Self { standing: Standing::Unsettled, supply_psi: None, clutch_psi: None, volts: Vec::new() }
    }

    /// The same without the rounding's leftovers, so that what is equal is equal to the last bit.
    pub(super) fn tidied(mut self) -> Self {
        let tidy = |number: &mut f64| *number = (*number * KEPT).round() / KEPT + 0.0;
        self.supply_psi.iter_mut().chain(&mut self.clutch_psi).chain(&mut self.volts).for_each(tidy);
        self
    }

    /// Everything by which these readings can be told from others, what is seen with the least trouble first.
    pub fn apart(&self, other: &Self) -> impl Iterator<Item = Means> {
        let fan = (self.standing != other.standing).then_some(Means::Fan);
        // Beside a circuit that never rests nothing else can be compared.
        let steady = self.volts.len() == other.volts.len();
        let clutch = steady && psi_differ(self.clutch_psi, other.clutch_psi);
        let supply = steady && psi_differ(self.supply_psi, other.supply_psi);
        let volts = self.volts.iter().zip(&other.volts).enumerate().filter(move |_| steady);
        let volts = volts.filter(|(_, (a, b))| volts_differ(**a, **b)).map(|(place, _)| Means::Volts(place));
        fan.into_iter()
            .chain(clutch.then_some(Means::ClutchGauge))
            .chain(supply.then_some(Means::SupplyGauge))
            .chain(volts)
    }

    /// What eyes alone see.
    pub fn fan_alone(&self) -> Self {
        Self { supply_psi: None, clutch_psi: None, volts: Vec::new(), ..self.clone() }
    }

    /// The same without the voltmeter.
    pub fn without_volts(&self) -> Self {
        Self { volts: Vec::new(), ..self.clone() }
    }

    fn bits(&self) -> Vec<u64> {
        let psi = [self.supply_psi, self.clutch_psi].map(|psi| psi.map_or(u64::MAX, f64::to_bits));
        [self.standing as u64].into_iter().chain(psi).chain(self.volts.iter().map(|v| v.to_bits())).collect()
    }
}

/// All readings there are, each once.
#[derive(Clone, Debug, Default)]
pub(super) struct Seen {
    kept: Vec<Readings>,
    number_of: HashMap<Vec<u64>, u32>,
}

impl Seen {
    pub(super) fn look(&mut self, readings: Vec<Readings>) -> Look {
        readings.into_iter().map(|readings| self.number(readings)).collect()
    }

    fn number(&mut self, readings: Readings) -> u32 {
        *self.number_of.entry(readings.bits()).or_insert_with(|| {
            self.kept.push(readings);
            u32::try_from(self.kept.len() - 1).expect("fewer readings than 32 bits can count")
        })
    }

    pub(super) fn readings(&self, number: u32) -> &Readings {
        &self.kept[number as usize]
    }

    /// Whether nothing in any state tells two looks apart.
    pub(super) fn alike(&self, a: &Look, b: &Look) -> bool {
        let same = |(a, b): (&u32, &u32)| a == b || self.readings(*a).apart(self.readings(*b)).next().is_none();
        a.iter().zip(b).all(same)
    }

    /// Connected pieces of what is alike, as the number of each look's piece; pieces are numbered by their first look.
    ///
    /// Looks that lie apart by a gap in any single reading cannot be alike nor be joined by others, so they are sorted
    /// into boxes by such gaps first, and only looks of one box are held against each other.
    pub(super) fn pieces(&self, looks: &[&Look]) -> Vec<usize> {
        let mut same: BTreeMap<&Look, Vec<usize>> = BTreeMap::new();
        looks.iter().enumerate().for_each(|(place, look)| same.entry(look).or_default().push(place));
        let distinct: Vec<(&Look, Vec<usize>)> = same.into_iter().collect();
        let mut boxes: BTreeMap<Vec<u32>, Vec<usize>> = BTreeMap::new();
        for (place, gap) in self.gaps(&distinct).into_iter().enumerate() {
            boxes.entry(gap).or_default().push(place);
        }
        let mut piece_of = vec![usize::MAX; looks.len()];
        for members in boxes.values() {
            for piece in self.pieces_in(members, &distinct) {
                let all: Vec<usize> = piece.iter().flat_map(|place| distinct[*place].1.iter().copied()).collect();
                let first = all.iter().copied().min().unwrap_or(0);
                all.iter().for_each(|look| piece_of[*look] = first);
            }
        }
        let mut firsts = piece_of.clone();
        firsts.sort_unstable();
        firsts.dedup();
        piece_of.iter().map(|first| firsts.partition_point(|f| f < first)).collect()
    }

    fn pieces_in(&self, members: &[usize], distinct: &[(&Look, Vec<usize>)]) -> Vec<Vec<usize>> {
        let mut left: Vec<usize> = members.to_vec();
        let mut pieces = Vec::new();
        while let Some(start) = left.pop() {
            let (mut piece, mut at) = (vec![start], 0);
            while let Some(here) = piece.get(at).copied() {
                let (near, far) = left.iter().partition(|other| self.alike(distinct[here].0, distinct[**other].0));
                left = far;
                piece.extend::<Vec<usize>>(near);
                at += 1;
            }
            pieces.push(piece);
        }
        pieces
    }

    /// For each look and state the box it falls into.
    fn gaps(&self, looks: &[(&Look, Vec<usize>)]) -> Vec<Vec<u32>> {
        let states = looks.first().map_or(0, |(look, _)| look.len());
        let mut boxes = vec![Vec::with_capacity(states); looks.len()];
        for state in 0..states {
            let mut here: Vec<u32> = looks.iter().map(|(look, _)| look[state]).collect();
            here.sort_unstable();
            here.dedup();
            let box_of = self.boxes(&here);
            for (place, (look, _)) in looks.iter().enumerate() {
                boxes[place].push(box_of[&look[state]]);
            }
        }
        boxes
    }

    /// Boxes of the readings of one state: split where the fan differs, then at the gaps of each meter and gauge.
    fn boxes(&self, here: &[u32]) -> HashMap<u32, u32> {
        let mut keys: Vec<Vec<u32>> = here.iter().map(|n| vec![self.readings(*n).standing as u32]).collect();
        let most = here.iter().map(|n| self.readings(*n).volts.len()).max().unwrap_or(0);
        let mut split = |value: &dyn Fn(&Readings) -> Option<f64>, apart: &dyn Fn(f64, f64) -> bool| {
            let mut order: Vec<(f64, usize)> =
                here.iter().enumerate().filter_map(|(i, n)| Some((value(self.readings(*n))?, i))).collect();
            order.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut part = 1;
            keys.iter_mut().for_each(|key| key.push(0));
            for (place, (value, i)) in order.iter().enumerate() {
                if place > 0 && apart(order[place - 1].0, *value) {
                    part += 1;
                }
                *keys[*i].last_mut().expect("just pushed") = part;
            }
        };
        let psi = |a: f64, b: f64| psi_differ(Some(a), Some(b));
        split(&|readings| readings.supply_psi, &psi);
        split(&|readings| readings.clutch_psi, &psi);
        for place in 0..most {
            split(&|readings| readings.volts.get(place).copied(), &volts_differ);
        }
        let mut number_of: HashMap<&Vec<u32>, u32> = HashMap::new();
        let numbers = here.iter().zip(&keys).map(|(n, key)| {
            let next = number_of.len() as u32;
            (*n, *number_of.entry(key).or_insert(next))
        });
        numbers.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::{Readings, Seen};
    use crate::study::answer::Standing;

    fn look(seen: &mut Seen, volts: &[f64]) -> Vec<u32> {
        let readings = |volts: &f64| Readings {
            standing: Standing::Released,
            supply_psi: Some(105.0),
            clutch_psi: Some(0.0),
            volts: vec![*volts],
        };
        seen.look(volts.iter().map(readings).collect())
    }

    #[test]
    fn steps_too_small_to_see_join_what_a_gap_parts() {
        let mut seen = Seen::default();
        let looks = [[1.0, 0.0], [1.08, 0.0], [1.16, 0.0], [1.3, 0.0], [1.08, 0.2]].map(|v| look(&mut seen, &v));
        assert!(!seen.alike(&looks[0], &looks[2]) && seen.alike(&looks[0], &looks[1]));
        assert_eq!(seen.pieces(&looks.iter().collect::<Vec<_>>()), [0, 0, 0, 1, 2]);
    }

    #[test]
    fn two_per_cent_count_where_they_are_more_than_a_tenth_of_a_volt() {
        let mut seen = Seen::default();
        let [a, b, c] = [[12.0], [12.2], [12.3]].map(|volts| look(&mut seen, &volts));
        assert!(seen.alike(&a, &b) && !seen.alike(&a, &c));
    }

    #[test]
    fn a_circuit_that_never_rests_is_like_no_other() {
        let mut seen = Seen::default();
        let steady = look(&mut seen, &[5.0]);
        let unsteady = seen.look(vec![Readings::unsteady()]);
        assert!(!seen.alike(&steady, &unsteady) && seen.alike(&unsteady, &unsteady));
    }
}
