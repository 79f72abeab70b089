//! Dangers of a bench's present state, one file a kind.
//!
//! Each file finds its kind and says in plain words what happens to the truck and to a hand. This one only gathers
//! and sorts them, and holds what several need: which points are joined with nothing in between. What to do about a
//! danger, and whether an act is fit to be recommended, is left to those who ask.

mod coil_bridged;
mod fuse_bypassed;
mod fuse_would_open;
mod left_changed;
mod live_end;
mod supply_shorted;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::bench::{Bench, Change};
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::electric::Element;
use crate::physics::inputs::Inputs;
use crate::physics::state::Memory;

use super::answer::{Hazard, Subject};
use super::paths::Solved;

/// Every danger of the present state, gravest first, then by kind and place.
pub fn all(bench: &Bench) -> Vec<Hazard> {
    let scene = Scene::of(bench);
    let mut hazards = Vec::new();
    hazards.extend(supply_shorted::find(&scene));
    hazards.extend(fuse_bypassed::find(&scene));
    hazards.extend(fuse_would_open::find(&scene));
    hazards.extend(coil_bridged::find(&scene));
    hazards.extend(live_end::find(&scene));
    hazards.extend(left_changed::find(&scene));
    hazards.sort_by(|a, b| (a.level, a.kind, &a.at).cmp(&(b.level, b.kind, &b.at)));
    hazards
}

/// A bench as the hazards look at it: with every fuse whole, since an opened one hides what opened it.
struct Scene<'a> {
    bench: &'a Bench,
    circuit: &'a Circuit,
    inputs: Inputs,
    /// Every different state to judge, solved: those in which a fuse opened, and the present one.
    moments: Vec<Solved>,
    /// Which of them is the present one.
    present: usize,
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
        let moments = states.iter().map(|memory| Solved::of(circuit, &inputs, memory)).collect();
        Self { bench, circuit, inputs, moments, present }
    }

    /// The inputs without any test lead.
    fn without_leads(&self) -> Inputs {
        Inputs { leads: Vec::new(), ..self.inputs.clone() }
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
}

impl Joins {
    /// Joins of a solved state, but for the elements that `leave_out` picks.
    fn of(circuit: &Circuit, solved: &Solved, leave_out: impl Fn(Element) -> bool) -> Self {
        let mut next: BTreeMap<usize, Vec<(usize, Element)>> = BTreeMap::new();
        for (element, a, b) in solved.hard(circuit).filter(|(element, _, _)| !leave_out(*element)) {
            next.entry(a).or_default().push((b, element));
            next.entry(b).or_default().push((a, element));
        }
        Self { next }
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
mod tests {
    //! What raises each hazard and what does not, on the shipped circuits.

    use std::sync::Arc;

    use super::all;
    use crate::bench::{Action, Bench};
    use crate::circuit::format::read;
    use crate::circuit::shipped::SHIPPED;
    use crate::study::answer::{HazardKind, Level};

    fn bench(name: &str, actions: &[&str]) -> Bench {
        let text = SHIPPED.iter().find(|(n, _)| *n == name).unwrap().1;
        let mut bench = Bench::new(Arc::new(read(text).circuit.unwrap()));
        for action in actions {
            let action = match action.parse() {
                Ok(act) => Action::Do(act),
                Err(_) => Action::Set(action.parse().unwrap()),
            };
            bench.apply(action).unwrap();
        }
        bench
    }

    #[track_caller]
    fn check(name: &str, actions: &[&str], expected: &[(HazardKind, Level, &str)]) {
        let found: Vec<(HazardKind, Level, String)> =
            all(&bench(name, actions)).into_iter().map(|h| (h.kind, h.level, h.at)).collect();
        let found: Vec<(HazardKind, Level, &str)> = found.iter().map(|(k, l, a)| (*k, *l, a.as_str())).collect();
        assert_eq!(found, expected, "{name} after {actions:?}");
    }

    use HazardKind::{CoilBridged, FuseBypassed, FuseWouldOpen, LeftChanged, LiveEnd, SupplyShorted};
    use Level::{Caution, Danger, Warning};

    #[test]
    fn every_shipped_circuit_is_without_hazard_as_built() {
        for (name, _) in SHIPPED {
            check(name, &[], &[]);
        }
    }

    #[test]
    fn bridging_an_open_sensor_is_only_something_to_put_back() {
        check("parallel-open", &["jump:B1.1=B1.2"], &[(LeftChanged, Caution, "jump:B1.1=B1.2/5A")]);
    }

    #[test]
    fn grounding_the_feed_of_a_sensor_shorts_the_supply_and_opens_a_fuse() {
        check(
            "parallel-open",
            &["jump:B1.1=N1.g"],
            &[
                (SupplyShorted, Danger, "jump:B1.1=N1.g/5A"),
                (FuseWouldOpen, Warning, "jump:B1.1=N1.g/5A"),
                (LeftChanged, Caution, "jump:B1.1=N1.g/5A"),
            ],
        );
    }

    #[test]
    fn a_bare_lead_to_ground_opens_the_circuits_own_fuse() {
        check(
            "parallel-open",
            &["jump:B1.1=N1.g/none"],
            &[
                (SupplyShorted, Danger, "jump:B1.1=N1.g/none"),
                (FuseWouldOpen, Danger, "F1"),
                (LeftChanged, Caution, "F1"),
                (LeftChanged, Caution, "jump:B1.1=N1.g/none"),
            ],
        );
    }

    #[test]
    fn grounding_the_coil_feed_while_it_is_dead_bridges_the_coil_and_nothing_more() {
        check(
            "parallel-open",
            &["jump:Y1.1=N1.g"],
            &[(CoilBridged, Danger, "Y1"), (LeftChanged, Caution, "jump:Y1.1=N1.g/5A")],
        );
    }

    #[test]
    fn grounding_a_ground_side_sensor_wire_is_right_and_raises_no_danger() {
        check("ground-side", &["jump:B1.1=N2.g"], &[(LeftChanged, Caution, "jump:B1.1=N2.g/5A")]);
    }

    #[test]
    fn feeding_the_coil_straight_from_the_battery_goes_past_the_fuse() {
        check(
            "parallel-open",
            &["jump:G1.+=Y1.1/none"],
            &[(FuseBypassed, Danger, "jump:G1.+=Y1.1/none"), (LeftChanged, Caution, "jump:G1.+=Y1.1/none")],
        );
        check(
            "parallel-open",
            &["jump:G1.+=Y1.1"],
            &[(FuseBypassed, Caution, "jump:G1.+=Y1.1/5A"), (LeftChanged, Caution, "jump:G1.+=Y1.1/5A")],
        );
        check(
            "parallel-open",
            &["jump:G1.+=Y1.1/20A"],
            &[(FuseBypassed, Warning, "jump:G1.+=Y1.1/20A"), (LeftChanged, Caution, "jump:G1.+=Y1.1/20A")],
        );
    }

    #[test]
    fn a_lead_behind_the_fuse_bypasses_nothing() {
        check("parallel-open", &["jump:F1.2=Y1.1"], &[(LeftChanged, Caution, "jump:F1.2=Y1.1/5A")]);
    }

    #[test]
    fn the_fed_end_of_a_lifted_wire_is_live_and_the_other_is_not() {
        check(
            "series-closed",
            &["lift:W4@B1.1"],
            &[(LiveEnd, Warning, "W4@B1.1"), (LeftChanged, Caution, "lift:W4@B1.1")],
        );
        check("series-closed", &["lift:W5@B1.2"], &[(LeftChanged, Caution, "lift:W5@B1.2")]);
        check("series-closed", &["key=off", "lift:W4@B1.1"], &[(LeftChanged, Caution, "lift:W4@B1.1")]);
    }

    #[test]
    fn a_live_plug_wants_care_and_a_dead_one_nothing() {
        check("series-closed", &["unplug:B1"], &[(LiveEnd, Caution, "B1.1"), (LeftChanged, Caution, "unplug:B1")]);
    }

    #[test]
    fn a_grounded_hot_point_in_a_closed_at_rest_circuit_engages_by_blowing_a_fuse() {
        let bench = bench("series-closed", &["jump:Y1.1=N1.g/none"]);
        let kinds: Vec<_> = all(&bench).into_iter().map(|h| (h.kind, h.level)).collect();
        assert!(kinds.contains(&(SupplyShorted, Danger)), "{kinds:?}");
        assert!(kinds.contains(&(FuseWouldOpen, Danger)), "{kinds:?}");
        assert!(kinds.contains(&(CoilBridged, Danger)), "{kinds:?}");
    }
}
