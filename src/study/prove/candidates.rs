//! Whatever a hand could do to a circuit, once each.
//!
//! Turning a switch, pressing one that springs back, unplugging a part, a lead between any two nets, a lifted wire.
//! Leads between the same two nets (terminals joined by wire alone, every ground one point) are one candidate,
//! written at the terminals nearest a sensor or the valve; the two ends of one wire are one. Order is that of the
//! file: parts first, then wires. Whether it does anything is found by those who try it.

use std::collections::{BTreeMap, BTreeSet};

use crate::bench::{Act, EndName, LEAD_OHMS, LeadFuse, Point};
use crate::circuit::graph::{NetId, Nets};
use crate::circuit::{Circuit, End, Kind, PartId, TerminalId, WireEnd};
use crate::physics::inputs::{Inputs, Lead, Touch};

/// Number of the first lead a search puts on; a bench counts from 1 and never comes here.
const FIRST_LEAD: u32 = 1 << 30;

/// One thing that could be done.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// How it is written.
    pub(super) act: Act,
    /// The act at the same wire's other end.
    pub(super) other_end: Option<Act>,
    /// The same between other terminals of the same nets.
    pub(super) same_as: Vec<Act>,
    effect: Effect,
}

/// What it does to the inputs of the physics.
#[derive(Clone, Copy, Debug)]
enum Effect {
    Turn(PartId, Option<usize>),
    Press(PartId),
    Lead(TerminalId, TerminalId),
    Lift(WireEnd),
    Unplug(PartId),
}

impl Candidate {
    /// Imposes it. Whether it springs back by itself; none where it is done already.
    pub(super) fn impose(&self, circuit: &Circuit, inputs: &mut Inputs) -> Option<bool> {
        let fresh = match self.effect {
            Effect::Turn(id, place) => {
                let now = inputs.turned.get(&id).copied();
                match place {
                    Some(place) => inputs.turned.insert(id, place),
                    None => inputs.turned.remove(&id),
                };
                now != place
            }
            Effect::Press(id) => inputs.turned.insert(id, 1).is_none(),
            Effect::Lead(a, b) => {
                let number = FIRST_LEAD + u32::try_from(inputs.leads.len()).ok()?;
                let fuse_amps = Some(LeadFuse::USUAL_AMPS);
                let (a, b) = (Touch::Terminal(a), Touch::Terminal(b));
                inputs.leads.push(Lead { number, a, b, ohms: LEAD_OHMS, fuse_amps, source_volts: 0.0 });
                true
            }
            Effect::Lift(end) => inputs.lifted.insert(end),
            Effect::Unplug(id) => circuit.terminals_of(id).len() > 0 && inputs.unplugged.insert(id),
        };
        fresh.then_some(matches!(self.effect, Effect::Press(_)))
    }

    /// Place in the file of the first thing it names.
    fn place(&self, circuit: &Circuit) -> (usize, usize) {
        match self.effect {
            Effect::Turn(id, _) | Effect::Press(id) | Effect::Unplug(id) => (0, id.index()),
            Effect::Lead(a, b) => (0, circuit.terminal(a).part.index().min(circuit.terminal(b).part.index())),
            Effect::Lift(end) => (1, end.wire.index()),
        }
    }
}

/// Every candidate of a circuit, in file order.
pub(super) fn all(circuit: &Circuit) -> Vec<Candidate> {
    let mut all = by_hand(circuit);
    all.extend(leads(circuit));
    all.extend(lifts(circuit));
    all.sort_by_cached_key(|c| (c.place(circuit), c.act.to_string()));
    all
}

fn plain(act: Act, effect: Effect) -> Candidate {
    Candidate { act, other_end: None, same_as: Vec::new(), effect }
}

/// Switches turned or pressed, parts unplugged.
fn by_hand(circuit: &Circuit) -> Vec<Candidate> {
    let mut found = Vec::new();
    for (id, part) in circuit.parts_with_ids() {
        let tag = || part.tag.clone();
        match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => {
                found.push(plain(Act::Press { switch: tag() }, Effect::Press(id)));
            }
            Kind::HandSwitch(_) => {
                for (to, place) in [("on", Some(1)), ("off", None)] {
                    found.push(plain(Act::Turn { switch: tag(), to: to.to_owned() }, Effect::Turn(id, place)));
                }
            }
            Kind::SelectorSwitch(selector) => {
                for (place, to) in selector.positions.iter().enumerate() {
                    let place = (place != selector.rest_position()).then_some(place);
                    found.push(plain(Act::Turn { switch: tag(), to: to.clone() }, Effect::Turn(id, place)));
                }
            }
            _ => {}
        }
        if !matches!(part.kind, Kind::Splice(_) | Kind::Ground(_) | Kind::Battery(_)) {
            found.push(plain(Act::Unplug { part: tag() }, Effect::Unplug(id)));
        }
    }
    found
}

/// A lead between every two nets.
fn leads(circuit: &Circuit) -> Vec<Candidate> {
    let nets = nets(circuit);
    let mut found = Vec::new();
    for (i, one) in nets.iter().enumerate() {
        for other in &nets[i + 1..] {
            let mut ways: Vec<(TerminalId, TerminalId)> =
                one.iter().flat_map(|a| other.iter().map(move |b| ((*a).min(*b), (*a).max(*b)))).collect();
            ways.sort_by_cached_key(|(a, b)| (remoteness(circuit, *a, *b), *a, *b));
            let act = |(a, b): (TerminalId, TerminalId)| {
                let point = |t| Point::Terminal(circuit.terminal_words(t));
                Act::Jump { a: point(a), b: point(b), fuse: LeadFuse::Usual }
            };
            let Some(((a, b), others)) = ways.split_first().map(|(first, others)| (*first, others)) else { continue };
            found.push(Candidate {
                act: act((a, b)),
                other_end: None,
                same_as: others.iter().map(|way| act(*way)).collect(),
                effect: Effect::Lead(a, b),
            });
        }
    }
    found
}

/// Terminals joined by wire alone, all grounds together, in file order of their first terminals.
fn nets(circuit: &Circuit) -> Vec<Vec<TerminalId>> {
    let graph = Nets::new(circuit);
    let is_ground = |t: TerminalId| matches!(circuit.part(circuit.terminal(t).part).kind, Kind::Ground(_));
    let grounded: BTreeSet<NetId> =
        circuit.terminals_with_ids().filter(|(id, _)| is_ground(*id)).map(|(id, _)| graph.net_of(id)).collect();
    let mut nets: BTreeMap<Option<NetId>, Vec<TerminalId>> = BTreeMap::new();
    for (id, _) in circuit.terminals_with_ids() {
        let net = graph.net_of(id);
        nets.entry((!grounded.contains(&net)).then_some(net)).or_default().push(id);
    }
    let mut nets: Vec<Vec<TerminalId>> = nets.into_values().collect();
    nets.sort();
    nets
}

/// How far a pair of terminals is from where a technician would put the lead: across one sensor's own contacts
/// first, then across another switch's, then with an end at a sensor or valve.
fn remoteness(circuit: &Circuit, a: TerminalId, b: TerminalId) -> u8 {
    let part = |t: TerminalId| circuit.terminal(t).part;
    let near = |t: TerminalId| {
        let kind = &circuit.part(part(t)).kind;
        kind.sensor().is_some() || matches!(kind, Kind::AirValve(_))
    };
    if part(a) == part(b) {
        match &circuit.part(part(a)).kind {
            kind if kind.sensor().is_some() => 0,
            Kind::HandSwitch(_) | Kind::SelectorSwitch(_) | Kind::Relay(_) | Kind::Timer(_) => 1,
            Kind::AirValve(_) => 2,
            _ => 3,
        }
    } else {
        6 - u8::from(near(a)) - u8::from(near(b))
    }
}

/// Every wire lifted at one end, the other named beside it.
fn lifts(circuit: &Circuit) -> Vec<Candidate> {
    circuit
        .wires_with_ids()
        .map(|(wire, data)| {
            let act = |end| {
                let end = WireEnd { wire, end };
                let terminal = circuit.terminal_words(circuit.terminal_of_end(end));
                Act::Lift(EndName { wire: data.tag.clone(), terminal })
            };
            Candidate {
                act: act(End::From),
                other_end: Some(act(End::To)),
                same_as: Vec::new(),
                effect: Effect::Lift(WireEnd { wire, end: End::From }),
            }
        })
        .collect()
}
