//! Dangers of a bench's present state, one file a kind.
//!
//! Each file finds its kind and says in plain words what happens to the truck and to a hand. This one only gathers
//! and sorts them, and holds what several need: which points are joined with nothing in between. What to do about a
//! danger, and whether an act is fit to be recommended, is left to those who ask.

mod coil_bridged;
mod contact_overloaded;
mod fan_may_start;
mod fuse_bypassed;
mod fuse_would_open;
mod left_changed;
mod live_end;
mod module_backfed;
mod module_overloaded;
mod no_suppressor;
mod overheated;
mod supply_shorted;

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::bench::{Act, Bench, Change};
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::electric::Element;
use crate::physics::inputs::Inputs;
use crate::physics::state::Memory;

use super::answer::{Hazard, HazardKind, Subject};
use super::paths::Solved;
use crate::words::{Words, say};

/// Every danger of the present state, gravest first, then by kind and place.
pub fn all(bench: &Bench) -> Vec<Hazard> {
    let scene = Scene::of(bench);
    let mut hazards = Vec::new();
    hazards.extend(supply_shorted::find(&scene));
    hazards.extend(fuse_bypassed::find(&scene));
    hazards.extend(fuse_would_open::find(&scene));
    hazards.extend(coil_bridged::find(&scene));
    hazards.extend(live_end::find(&scene));
    hazards.extend(module_backfed::find(&scene));
    hazards.extend(module_overloaded::find(&scene));
    hazards.extend(overheated::find(&scene));
    hazards.extend(contact_overloaded::find(&scene));
    hazards.extend(fan_may_start::find(&scene));
    hazards.extend(no_suppressor::find(&scene));
    hazards.extend(left_changed::find(&scene));
    hazards.sort_by(|a, b| (a.level, a.kind, &a.at).cmp(&(b.level, b.kind, &b.at)));
    hazards
}

/// The danger that a person sees on the fan itself, whatever else of the truck is hidden.
pub fn seen_on_the_fan(bench: &Bench) -> Option<Hazard> {
    fan_may_start::seen(bench)
}

/// Takes from the dangers of `other` what they say of a fan that is seen to stand otherwise on the truck itself. That the
/// key may start it stays, as long as it is at rest.
pub fn forget_the_fan(hazards: &mut Vec<Hazard>, other: &Bench, seen: Option<&Hazard>) {
    let says_otherwise = seen.is_some() || fan_may_start::coupled(other.outcome());
    hazards.retain(|hazard| hazard.kind != HazardKind::FanMayStart || !says_otherwise);
}

/// A bench as the hazards look at it: with every fuse whole, since an opened one hides what opened it.
struct Scene<'a> {
    bench: &'a Bench,
    circuit: &'a Circuit,
    inputs: Inputs,
    /// Every different state to judge: those in which a fuse opened, and the present one.
    moments: Vec<Moment>,
    /// Which of them is the present one.
    present: usize,
}

/// One state to judge, every fuse whole.
struct Moment {
    memory: Memory,
    solved: Solved,
}

impl<'a> Scene<'a> {
    fn of(bench: &'a Bench) -> Self {
        let circuit = bench.circuit();
        let mut inputs = bench.inputs().clone();
        inputs.altered.blown.clear();
        let before = bench.opened().iter().map(|opened| &opened.before);
        let mut states: Vec<Memory> = Vec::new();
        let mut present = 0;
        for memory in before.chain([&bench.outcome().memory]) {
            let mut whole = memory.clone();
            whole.parts.iter_mut().for_each(|part| part.blown = false);
            whole.blown_leads.clear();
            present = states.iter().position(|known| *known == whole).unwrap_or(states.len());
            if present == states.len() {
                states.push(whole);
            }
        }
        let moments = states.into_iter().map(|memory| {
            let solved = Solved::of(circuit, &inputs, &memory);
            Moment { memory, solved }
        });
        let moments = moments.collect();
        Self { bench, circuit, inputs, moments, present }
    }

    /// The inputs without any test lead.
    fn without_leads(&self) -> Inputs {
        Inputs { leads: Vec::new(), ..self.inputs.clone() }
    }

    /// What a sentence calls it: a lead by where it lies.
    fn told_of(&self, subject: Subject) -> Words {
        match subject {
            Subject::Lead(number) => match self.bench.act_of_lead(number) {
                Some(Act::Jump { a, b, .. }) => say!("difference-a-lead-from-to", a, b),
                _ => self.name_of(subject).into(),
            },
            _ => self.name_of(subject).into(),
        }
    }

    /// A lead as its act is written in full, a fault or a part by its tag.
    fn name_of(&self, subject: Subject) -> String {
        match subject {
            Subject::Lead(number) => {
                self.bench.act_of_lead(number).map_or_else(|| "the lead".to_owned(), |act| act.in_full())
            }
            Subject::Part(id) => self.circuit.part(id).tag.clone(),
            Subject::Wire(id) => self.circuit.wire(id).tag.clone(),
            Subject::WireEnd(end) => self.circuit.end_words(end),
            Subject::Terminal(id) => self.circuit.terminal_words(id),
        }
    }

    /// Acts and faults that differ from the truck as built, as the grammar writes them.
    fn changes(&self) -> Vec<Change> {
        self.bench.changes()
    }
}

/// Which points are joined with no load between them, and by what.
struct Joins {
    next: BTreeMap<usize, Vec<(usize, Element)>>,
    /// For each node the least of all that it is joined to.
    groups: OnceCell<BTreeMap<usize, usize>>,
}

impl Joins {
    /// Joins of a solved state, but for the elements that `leave_out` picks.
    fn of(circuit: &Circuit, solved: &Solved, leave_out: impl Fn(Element) -> bool) -> Self {
        let mut next: BTreeMap<usize, Vec<(usize, Element)>> = BTreeMap::new();
        for (element, a, b) in solved.hard(circuit).filter(|(element, _, _)| !leave_out(*element)) {
            next.entry(a).or_default().push((b, element));
            next.entry(b).or_default().push((a, element));
        }
        Self { next, groups: OnceCell::new() }
    }

    /// Whether there is a way from one node to another.
    fn are_joined(&self, a: usize, b: usize) -> bool {
        let groups = self.groups.get_or_init(|| {
            let mut groups: BTreeMap<usize, usize> = BTreeMap::new();
            for node in self.next.keys() {
                if !groups.contains_key(node) {
                    groups.extend(self.reach(*node).into_iter().map(|reached| (reached, *node)));
                }
            }
            groups
        });
        a == b || groups.get(&a).is_some_and(|group| groups.get(&b) == Some(group))
    }

    /// The shortest way from one node to another, if there is one.
    fn way(&self, from: usize, to: usize) -> Option<Vec<Element>> {
        let mut came: BTreeMap<usize, (usize, Element)> = BTreeMap::new();
        let mut waiting = VecDeque::from([from]);
        while let Some(node) = waiting.pop_front() {
            if node == to {
                let mut way = Vec::new();
                let mut at = to;
                while at != from {
                    let (before, element) = came[&at];
                    way.push(element);
                    at = before;
                }
                way.reverse();
                return Some(way);
            }
            for (next, element) in self.next.get(&node).into_iter().flatten() {
                if *next != from && !came.contains_key(next) {
                    came.insert(*next, (node, *element));
                    waiting.push_back(*next);
                }
            }
        }
        None
    }

    /// Every node joined to this one.
    fn reach(&self, from: usize) -> BTreeSet<usize> {
        let mut reached = BTreeSet::from([from]);
        let mut waiting = vec![from];
        while let Some(node) = waiting.pop() {
            for (next, _) in self.next.get(&node).into_iter().flatten() {
                if reached.insert(*next) {
                    waiting.push(*next);
                }
            }
        }
        reached
    }
}

/// Whether an element is a fuse of the circuit.
fn is_fuse(circuit: &Circuit, element: Element) -> Option<PartId> {
    match element {
        Element::Through(id) if matches!(circuit.part(id).kind, Kind::Fuse(_)) => Some(id),
        Element::Through(_)
        | Element::Wire(_)
        | Element::FarHalf(_)
        | Element::Contact(_)
        | Element::Coil(_)
        | Element::Suppressor(_)
        | Element::OwnDraw(_)
        | Element::Pin(..)
        | Element::Lead(_)
        | Element::Tie(_) => None,
    }
}

#[cfg(test)]
mod tests;
