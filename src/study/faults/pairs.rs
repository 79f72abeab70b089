//! Two faults at a time: which pair hides behind one fault, which cancels, and which look alike.
//!
//! Pairs are many, so each is judged as soon as it is read and only the numbers of its readings are kept. A pair is
//! left out where one fault would take the other's place: the same thing at the same place to two degrees.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::bench::Fault;

use super::cases::Rig;
use super::looks::{Look, Readings, Seen};
use super::{FaultTable, universe};
use crate::study::progress::Progress;

/// Pairs read at a time, before they are judged in order.
const AT_A_TIME: usize = 4096;

/// Two faults, by their places in [`FaultTable::faults`].
pub type Pair = (usize, usize);

/// What came of all pairs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pairs {
    /// How many there are.
    pub count: usize,
    /// Pairs that look healthy though at least one of the two would show by itself.
    pub cancel: Vec<Pair>,
    /// Pairs that look healthy, and of which neither shows by itself.
    pub unseen: Vec<Pair>,
    /// Pairs that look like one fault, with every fault they look like. Where that is one of the two, it hides the
    /// other.
    pub like_one: Vec<(Pair, Vec<usize>)>,
    /// Pairs that look like no single fault, in groups of those that look alike; a pair like no other is a group.
    pub groups: Vec<Vec<Pair>>,
}

/// Goes through every pair of a table's faults. None where `progress` was stopped.
pub fn pairs(table: &FaultTable, progress: &Progress) -> Option<Pairs> {
    let all = every(&table.faults);
    progress.expect(all.len());
    let rig = Rig::new(&table.scene.circuit, &table.terminals, &table.scene.bench(&[]).ok()?);
    let singles = Singles::of(table);
    let mut seen = table.seen.clone();
    let mut found = Pairs { count: all.len(), ..Pairs::default() };
    let mut own: Vec<(Pair, Look)> = Vec::new();
    let read = |pair: &Pair| -> Option<(Pair, Vec<Readings>)> {
        let truck = rig.truck(&table.scene, &[&table.faults[pair.0], &table.faults[pair.1]]).ok()?;
        let readings = rig.readings(&truck, &table.states);
        progress.count(1);
        Some((*pair, readings))
    };
    for some in all.chunks(AT_A_TIME) {
        if progress.is_stopped() {
            return None;
        }
        let read: Vec<Option<(Pair, Vec<Readings>)>> = some.par_iter().map(read).collect();
        let looks: Vec<(Pair, Look)> =
            read.into_iter().flatten().map(|(pair, readings)| (pair, seen.look(readings))).collect();
        let judged: Vec<Judged> = looks.par_iter().map(|(_, look)| singles.judge(&seen, look)).collect();
        for ((pair, look), judged) in looks.into_iter().zip(judged) {
            match judged {
                Judged::Healthy if singles.hidden[pair.0] && singles.hidden[pair.1] => found.unseen.push(pair),
                Judged::Healthy => found.cancel.push(pair),
                Judged::LikeOne(faults) => found.like_one.push((pair, faults)),
                Judged::Own => own.push((pair, look)),
            }
        }
    }
    let pieces = seen.pieces(&own.iter().map(|(_, look)| look).collect::<Vec<_>>());
    found.groups = vec![Vec::new(); pieces.iter().max().map_or(0, |last| last + 1)];
    own.iter().zip(pieces).for_each(|((pair, _), piece)| found.groups[piece].push(*pair));
    Some(found)
}

/// Every pair of which neither takes the other's place.
fn every(faults: &[Fault]) -> Vec<Pair> {
    let places: Vec<(String, String)> = faults.iter().map(place).collect();
    let mut found = Vec::new();
    for one in 0..faults.len() {
        found.extend((one + 1..faults.len()).filter(|other| places[*other] != places[one]).map(|other| (one, other)));
    }
    found
}

/// What sort of fault it is, and where: two that have both in common cannot be there together.
fn place(fault: &Fault) -> (String, String) {
    let words = fault.to_string();
    let at = words.split_once(':').map_or("", |(_, rest)| rest);
    // What is joined to a wire is a place; how far something is out is not.
    let at = if matches!(fault, Fault::Join(..)) { at } else { at.split('=').next().unwrap_or(at) };
    (universe::verb(fault), at.to_owned())
}

/// What a pair looks like.
enum Judged {
    Healthy,
    LikeOne(Vec<usize>),
    Own,
}

/// Looks of single faults, to be found by what the fan does in each state.
struct Singles<'a> {
    table: &'a FaultTable,
    by_fan: BTreeMap<Vec<u8>, Vec<Option<usize>>>,
    /// Whether a fault looks healthy by itself.
    hidden: Vec<bool>,
}

fn fan(seen: &Seen, look: &Look) -> Vec<u8> {
    look.iter().map(|number| seen.readings(*number).standing as u8).collect()
}

impl<'a> Singles<'a> {
    fn of(table: &'a FaultTable) -> Self {
        let mut by_fan: BTreeMap<Vec<u8>, Vec<Option<usize>>> = BTreeMap::new();
        for single in [None].into_iter().chain((0..table.faults.len()).map(Some)) {
            by_fan.entry(fan(&table.seen, table.look(single))).or_default().push(single);
        }
        let hidden = table.looks.iter().map(|look| table.seen.alike(look, &table.healthy)).collect();
        Self { table, by_fan, hidden }
    }

    fn judge(&self, seen: &Seen, look: &Look) -> Judged {
        let Some(candidates) = self.by_fan.get(&fan(seen, look)) else { return Judged::Own };
        let alike: Vec<Option<usize>> =
            candidates.iter().copied().filter(|single| seen.alike(look, self.table.look(*single))).collect();
        match alike.first() {
            None => Judged::Own,
            Some(None) => Judged::Healthy,
            Some(Some(_)) => Judged::LikeOne(alike.into_iter().flatten().collect()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{every, place};
    use crate::bench::Fault;

    #[test]
    fn two_degrees_of_one_thing_are_no_pair() {
        let faults: Vec<Fault> = ["resist:W1=5ohm", "resist:W1=20ohm", "join:W1=W2", "join:W1=W3", "open:W1"]
            .map(|words| words.parse().expect("a fault"))
            .to_vec();
        assert_eq!(place(&faults[0]), place(&faults[1]));
        assert_eq!(every(&faults).len(), 9);
    }
}
