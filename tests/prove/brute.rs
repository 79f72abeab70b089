//! The plain search: every act a hand can do, and every two of them, each done on a bench and looked at.
//!
//! Written from the file contract alone, with its own idea of nodes; nothing is left out for being hopeless, nothing
//! is carried over from one try to the next but the settled state that an act's predecessor left.

use std::collections::{BTreeMap, BTreeSet};

use fanloom::bench::{Act, Action, Bench, Point};
use fanloom::circuit::{Circuit, Kind, TerminalId, WireId};
use fanloom::physics::clutch::ClutchState;

/// An act up to what makes no electrical difference: a jump by the two nodes it joins, a lift by its wire. A node is
/// known by the least number of its terminals.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Key {
    /// A turn, press or unplug as written.
    Plain(String),
    Lift(WireId),
    Jump(usize, usize),
}

/// One act or two, in order.
pub(crate) type Keys = Vec<Key>;

/// What the search found.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// What works in whichever order it is done.
    pub(crate) surely: BTreeSet<Keys>,
    /// What works in one order at least.
    pub(crate) perhaps: BTreeSet<Keys>,
    /// How each is written, in an order that works.
    pub(crate) written: BTreeMap<Keys, Vec<String>>,
    /// Acts and pairs tried.
    pub(crate) tried: usize,
}

impl Found {
    fn note(&mut self, keys: Keys, one: Option<Vec<String>>, other: Option<Vec<String>>) {
        if one.is_some() && other.is_some() {
            self.surely.insert(keys.clone());
        }
        if let Some(written) = one.or(other) {
            self.perhaps.insert(keys.clone());
            self.written.insert(keys, written);
        }
    }
}

/// The node of each terminal: terminals joined by wire, but for one that is lifted, are one, and so are all grounds.
pub(crate) fn nodes(circuit: &Circuit, lifted: Option<WireId>) -> Vec<usize> {
    let mut node: Vec<usize> = (0..circuit.terminals().len()).collect();
    let mut join = |a: usize, b: usize| {
        let (keep, drop) = (node[a].min(node[b]), node[a].max(node[b]));
        node.iter_mut().filter(|n| **n == drop).for_each(|n| *n = keep);
    };
    for (id, wire) in circuit.wires_with_ids() {
        if Some(id) != lifted {
            join(wire.from.index(), wire.to.index());
        }
    }
    let grounds: Vec<usize> = circuit
        .terminals_with_ids()
        .filter(|(_, terminal)| matches!(circuit.part(terminal.part).kind, Kind::Ground(_)))
        .map(|(id, _)| id.index())
        .collect();
    grounds.windows(2).for_each(|pair| join(pair[0], pair[1]));
    node
}

/// What the clutch does, in the contract's word.
pub(crate) fn state(bench: &Bench) -> &'static str {
    let Some(clutch) = bench.outcome().clutch else { return "none" };
    if !bench.outcome().settled() {
        return "unsettled";
    }
    match clutch.state {
        ClutchState::Engaged => "engaged",
        ClutchState::Released => "released",
        ClutchState::Slipping => "slipping",
    }
}

/// The bench after one more act; none where this cannot be done.
pub(crate) fn after(bench: &Bench, act: &str) -> Option<Bench> {
    let mut next = bench.clone();
    let act: Act = act.parse().unwrap_or_else(|e| panic!("`{act}`: {e}"));
    next.apply(Action::Do(act)).ok()?;
    Some(next)
}

/// The key of an act of the circuit, where a wire may be lifted.
pub(crate) fn key(circuit: &Circuit, act: &Act, nodes: &[usize]) -> Key {
    let node = |point: &Point| match point {
        Point::Terminal(words) => nodes[circuit.terminal_named(words).expect("a terminal of the circuit").index()],
        Point::LooseEnd(_) => panic!("`{act}`: no candidate is put on a lifted end"),
    };
    match act {
        Act::Turn { .. } | Act::Press { .. } | Act::Unplug { .. } => Key::Plain(act.to_string()),
        Act::Lift(end) => Key::Lift(circuit.wire_named(&end.wire).expect("a wire of the circuit")),
        Act::Jump { a, b, .. } => {
            let (a, b) = (node(a), node(b));
            Key::Jump(a.min(b), a.max(b))
        }
    }
}

/// One way of doing something, with the state it leaves.
struct Single {
    key: Key,
    written: String,
    left: Bench,
    works: bool,
}

/// Every act but the jumps.
fn handwork(circuit: &Circuit) -> Vec<(Key, String)> {
    let mut acts = Vec::new();
    for part in circuit.parts() {
        let tag = &part.tag;
        match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => acts.push(format!("press:{tag}")),
            Kind::HandSwitch(_) => acts.push(format!("turn:{tag}=on")),
            Kind::SelectorSwitch(switch) => acts.extend(
                switch.positions.iter().filter(|p| **p != switch.rest).map(|place| format!("turn:{tag}={place}")),
            ),
            _ => {}
        }
        if !matches!(part.kind, Kind::Splice(_) | Kind::Ground(_) | Kind::Battery(_)) {
            acts.push(format!("unplug:{tag}"));
        }
    }
    let acts = acts.into_iter().map(|act| (Key::Plain(act.clone()), act));
    let lifts = circuit
        .wires_with_ids()
        .map(|(id, wire)| (Key::Lift(id), format!("lift:{}@{}", wire.tag, circuit.terminal_words(wire.from))));
    acts.chain(lifts).collect()
}

/// A jump between every two nodes that are two in `apart` as well, by the first terminal of each.
fn jumps(circuit: &Circuit, nodes: &[usize], apart: &[usize]) -> Vec<(Key, String, [usize; 2])> {
    let heads: Vec<TerminalId> =
        circuit.terminals_with_ids().map(|(id, _)| id).filter(|id| nodes[id.index()] == id.index()).collect();
    let mut jumps = Vec::new();
    for (place, a) in heads.iter().enumerate() {
        for b in &heads[place + 1..] {
            let ends = [apart[a.index()], apart[b.index()]];
            if ends[0] != ends[1] {
                let written = format!("jump:{}={}", circuit.terminal_words(*a), circuit.terminal_words(*b));
                jumps.push((Key::Jump(a.index(), b.index()), written, [ends[0].min(ends[1]), ends[0].max(ends[1])]));
            }
        }
    }
    jumps
}

/// Everything that brings the clutch from another state to the wanted one.
pub(crate) fn search(bench: &Bench, wanted: &str) -> Found {
    let mut found = Found::default();
    if state(bench) == wanted {
        return found;
    }
    let circuit = bench.circuit();
    let as_built = nodes(circuit, None);
    let mut acts = handwork(circuit);
    acts.extend(jumps(circuit, &as_built, &as_built).into_iter().map(|(key, written, _)| (key, written)));
    let singles: Vec<Single> = acts
        .into_iter()
        .map(|(key, written)| {
            let left = after(bench, &written).unwrap_or_else(|| panic!("`{written}` cannot be done"));
            Single { works: state(&left) == wanted, key, written, left }
        })
        .collect();
    found.tried += singles.len();
    for single in singles.iter().filter(|s| s.works) {
        let written = || Some(vec![single.written.clone()]);
        found.note(vec![single.key.clone()], written(), written());
    }
    let idle: Vec<&Single> = singles.iter().filter(|s| !s.works).collect();
    for (place, one) in idle.iter().enumerate() {
        for other in &idle[place + 1..] {
            if !splits(&one.key, &other.key) {
                pair(one, other, wanted, &mut found);
            }
        }
        if let Key::Lift(wire) = one.key {
            let alone = |ends: [usize; 2]| singles.iter().any(|s| s.works && s.key == Key::Jump(ends[0], ends[1]));
            lift_and_jump(bench, (one, wire), alone, wanted, &mut found);
        }
    }
    found
}

/// A lift and a jump: the lift may part the node that the jump is on, so every piece counts.
fn splits(one: &Key, other: &Key) -> bool {
    matches!((one, other), (Key::Lift(_), Key::Jump(..)) | (Key::Jump(..), Key::Lift(_)))
}

fn pair(one: &Single, other: &Single, wanted: &str, found: &mut Found) {
    let does = |first: &Single, then: &Single| {
        let left = after(&first.left, &then.written)?;
        (state(&left) == wanted).then(|| vec![first.written.clone(), then.written.clone()])
    };
    found.tried += 1;
    let mut keys = vec![one.key.clone(), other.key.clone()];
    keys.sort();
    found.note(keys, does(one, other), does(other, one));
}

fn lift_and_jump(
    bench: &Bench,
    (lift, wire): (&Single, WireId),
    alone: impl Fn([usize; 2]) -> bool,
    wanted: &str,
    found: &mut Found,
) {
    let circuit = bench.circuit();
    let (as_built, pieces) = (nodes(circuit, None), nodes(circuit, Some(wire)));
    for (key, jump, ends) in jumps(circuit, &pieces, &as_built) {
        if alone(ends) {
            continue;
        }
        let does = |first: &Bench, acts: [&str; 2], then: &str| {
            let left = after(first, then)?;
            (state(&left) == wanted).then(|| acts.map(str::to_owned).to_vec())
        };
        found.tried += 1;
        let joined = after(bench, &jump).expect("two different terminals");
        let one = does(&lift.left, [&lift.written, &jump], &jump);
        let other = does(&joined, [&jump, &lift.written], &lift.written);
        let mut keys = vec![lift.key.clone(), key];
        keys.sort();
        found.note(keys, one, other);
    }
}
