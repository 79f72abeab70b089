//! Whatever a hand could do to a circuit, once each.
//!
//! Turning a switch, pressing one that springs back, unplugging a part, a lead between any two nets, a lifted wire.
//! Leads between the same two nets (terminals joined by wire alone, every ground one point) are one candidate,
//! written at the terminals nearest a sensor or the valve; the two ends of one wire are one. Order is that of the
//! file: parts first, then wires. Whether it does anything is found by those who try it.

use std::collections::{BTreeMap, BTreeSet};

use crate::bench::{Act, EndName, LEAD_OHMS, LeadFuse, Point};
use crate::circuit::graph::{NetId, Nets, Stretch};
use crate::circuit::{Circuit, End, Kind, PartId, TerminalId, WireEnd, WireId};
use crate::physics::inputs::{Inputs, Lead, Touch};
use crate::physics::state::Outcome;

/// Number of the first lead a search puts on; a bench counts from 1 and never comes here.
const FIRST_LEAD: u32 = 1 << 30;

/// Volts between two points below which a lead carries nothing that a coil or fuse could feel.
const IDLE_VOLTS: f64 = 1e-9;
/// Amps below which a wire carries nothing that a coil or fuse could feel.
const IDLE_AMPS: f64 = 1e-9;

/// One thing that could be done.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    effect: Effect,
}

/// What it does to the inputs of the physics.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Effect {
    /// To another place; none is the switch's rest.
    Turn(PartId, Option<usize>),
    Press(PartId),
    /// Between any of these pairs of terminals, which all join the same two nets; the first is how it is written.
    Lead(Vec<Way>),
    Lift(WireId),
    Unplug(PartId),
}

/// The two terminals a lead goes on.
type Way = (TerminalId, TerminalId);

impl Candidate {
    /// Imposes it. Whether it springs back by itself; none where it is done already.
    pub(super) fn impose(&self, circuit: &Circuit, inputs: &mut Inputs) -> Option<bool> {
        let fresh = match &self.effect {
            Effect::Turn(id, place) => {
                let now = inputs.turned.get(id).copied();
                match place {
                    Some(place) => inputs.turned.insert(*id, *place),
                    None => inputs.turned.remove(id),
                };
                now != *place
            }
            Effect::Press(id) => inputs.turned.insert(*id, 1).is_none(),
            Effect::Lead(ways) => {
                let (a, b) = *ways.first()?;
                let number = FIRST_LEAD + u32::try_from(inputs.leads.len()).ok()?;
                let fuse_amps = Some(LeadFuse::USUAL_AMPS);
                let (a, b) = (Touch::Terminal(a), Touch::Terminal(b));
                inputs.leads.push(Lead { number, a, b, ohms: LEAD_OHMS, fuse_amps, source_volts: 0.0 });
                true
            }
            Effect::Lift(wire) => inputs.lifted.insert(WireEnd { wire: *wire, end: End::From }),
            Effect::Unplug(id) => circuit.terminals_of(*id).len() > 0 && inputs.unplugged.insert(*id),
        };
        fresh.then_some(matches!(self.effect, Effect::Press(_)))
    }

    /// How it is written: a lifted wire at either of its ends.
    pub(super) fn writings(&self, circuit: &Circuit) -> Vec<Act> {
        let tag = |id: PartId| circuit.part(id).tag.clone();
        match &self.effect {
            Effect::Turn(id, place) => vec![Act::Turn { switch: tag(*id), to: position(circuit, *id, *place) }],
            Effect::Press(id) => vec![Act::Press { switch: tag(*id) }],
            Effect::Lead(ways) => ways.first().map(|way| lead(circuit, *way)).into_iter().collect(),
            Effect::Lift(wire) => End::BOTH.map(|end| lift(circuit, WireEnd { wire: *wire, end })).to_vec(),
            Effect::Unplug(id) => vec![Act::Unplug { part: tag(*id) }],
        }
    }

    /// The same lead between other terminals of the same nets.
    pub(super) fn same_as(&self, circuit: &Circuit) -> Vec<Act> {
        match &self.effect {
            Effect::Lead(ways) => ways.iter().skip(1).map(|way| lead(circuit, *way)).collect(),
            Effect::Turn(..) | Effect::Press(_) | Effect::Lift(_) | Effect::Unplug(_) => Vec::new(),
        }
    }

    /// Whether it moves no current in this state (Kirchhoff's current law): a lead whose ends stand at one level, or
    /// that hangs something dead on one place; a wire lifted, or a part unplugged, that carries nothing.
    pub(super) fn is_idle(&self, circuit: &Circuit, outcome: &Outcome) -> bool {
        match &self.effect {
            Effect::Turn(..) | Effect::Press(_) => false,
            Effect::Lead(ways) => {
                ways.first().is_some_and(|(a, b)| match (outcome.volts_at(*a), outcome.volts_at(*b)) {
                    (Some(a), Some(b)) => (a - b).abs() < IDLE_VOLTS,
                    (None, _) | (_, None) => true,
                })
            }
            Effect::Lift(wire) => outcome.amps_in(*wire).abs() < IDLE_AMPS,
            Effect::Unplug(id) => circuit
                .terminals_of(*id)
                .flat_map(|terminal| circuit.ends_at(terminal))
                .all(|end| outcome.amps_in(end.wire).abs() < IDLE_AMPS),
        }
    }

    /// The candidate at each of its pairs of terminals alone; itself where it is no lead.
    pub(super) fn apart(&self) -> Vec<Self> {
        match &self.effect {
            Effect::Lead(ways) => ways.iter().map(|way| Self { effect: Effect::Lead(vec![*way]) }).collect(),
            Effect::Turn(..) | Effect::Press(_) | Effect::Lift(_) | Effect::Unplug(_) => vec![self.clone()],
        }
    }

    /// One candidate of leads that have been found to do the same.
    pub(super) fn together(apart: &[Self]) -> Option<Self> {
        let (first, others) = apart.split_first()?;
        let ways = |c: &Self| match &c.effect {
            Effect::Lead(ways) => ways.clone(),
            Effect::Turn(..) | Effect::Press(_) | Effect::Lift(_) | Effect::Unplug(_) => Vec::new(),
        };
        if others.is_empty() {
            return Some(first.clone());
        }
        Some(Self { effect: Effect::Lead(apart.iter().flat_map(ways).collect()) })
    }

    /// The lead's candidates once a wire is lifted that held one of its nets together: one for each piece. None
    /// where that lift leaves the lead's nets whole, or where these two are no such pair.
    pub(super) fn parted_by(&self, lifted: &Self, pieces: &BTreeMap<WireId, Piece>) -> Option<[Self; 2]> {
        let (Effect::Lead(ways), Effect::Lift(wire)) = (&self.effect, &lifted.effect) else { return None };
        let piece = pieces.get(wire)?;
        let on_piece = |(a, b): &Way| piece.contains(a) || piece.contains(b);
        let (on, off): (Vec<Way>, Vec<Way>) = ways.iter().partition(|way| on_piece(way));
        if on.is_empty() || off.is_empty() {
            return None;
        }
        Some([on, off].map(|ways| Self { effect: Effect::Lead(ways) }))
    }

    /// Place in the file: of the first part it is at, what is done there, and the terminals; lifts after all parts.
    pub(super) fn place(&self, circuit: &Circuit) -> (usize, usize, usize, usize, usize) {
        match &self.effect {
            Effect::Turn(id, place) => (0, id.index(), 0, place.map_or(0, |place| place + 1), 0),
            Effect::Press(id) => (0, id.index(), 0, 0, 0),
            Effect::Unplug(id) => (0, id.index(), 1, 0, 0),
            Effect::Lead(ways) => {
                let Some((a, b)) = ways.first() else { return (2, 0, 0, 0, 0) };
                let part = circuit.terminal(*a).part.index().min(circuit.terminal(*b).part.index());
                (0, part, 2, a.index(), b.index())
            }
            Effect::Lift(wire) => (1, wire.index(), 0, 0, 0),
        }
    }
}

/// What tells one answer from another: what is done, leads by the nets they join once the wires lifted beside them
/// are off.
pub(super) fn shape(circuit: &Circuit, acts: &[Candidate]) -> Vec<(usize, usize, usize, usize, usize)> {
    let lifted = acts.iter().find_map(|act| match act.effect {
        Effect::Lift(wire) => Some(wire),
        Effect::Turn(..) | Effect::Press(_) | Effect::Lead(_) | Effect::Unplug(_) => None,
    });
    let nets = nets(circuit, lifted);
    let net = |terminal| nets.iter().position(|net| net.contains(&terminal)).unwrap_or(nets.len());
    let of = |act: &Candidate| match &act.effect {
        Effect::Lead(ways) => ways.first().map_or((2, 0, 0, 0, 0), |(a, b)| {
            let (a, b) = (net(*a), net(*b));
            (2, a.min(b), a.max(b), 0, 0)
        }),
        Effect::Turn(..) | Effect::Press(_) | Effect::Lift(_) | Effect::Unplug(_) => act.place(circuit),
    };
    let mut shape: Vec<_> = acts.iter().map(of).collect();
    shape.sort_unstable();
    shape
}

/// Terminals that one wire alone joins to the rest of their net.
pub(super) type Piece = BTreeSet<TerminalId>;

/// For every wire that holds its net together, what would be parted from the rest.
pub(super) fn pieces(circuit: &Circuit) -> BTreeMap<WireId, Piece> {
    let whole = nets(circuit, None);
    let parted = |wire: WireId| {
        let net = whole.iter().find(|net| net.contains(&circuit.wire(wire).from))?;
        let piece: Piece = nets(circuit, Some(wire))
            .into_iter()
            .find(|net| net.contains(&circuit.wire(wire).from))?
            .into_iter()
            .collect();
        (piece.len() < net.len()).then_some((wire, piece))
    };
    circuit.wires_with_ids().filter_map(|(wire, _)| parted(wire)).collect()
}

fn lead(circuit: &Circuit, (a, b): Way) -> Act {
    let point = |t| Point::Terminal(circuit.terminal_words(t));
    Act::Jump { a: point(a), b: point(b), fuse: LeadFuse::Usual }
}

fn lift(circuit: &Circuit, end: WireEnd) -> Act {
    let terminal = circuit.terminal_words(circuit.terminal_of_end(end));
    Act::Lift(EndName { wire: circuit.wire(end.wire).tag.clone(), terminal })
}

/// A switch's place by name.
fn position(circuit: &Circuit, switch: PartId, place: Option<usize>) -> String {
    match &circuit.part(switch).kind {
        Kind::SelectorSwitch(selector) => selector.positions[place.unwrap_or(selector.rest_position())].clone(),
        _ => if place.is_some() { "on" } else { "off" }.to_owned(),
    }
}

/// How many candidates there are at some parts and wires, or at all: no fewer than [`all`] would list.
pub(super) fn count(circuit: &Circuit, at: Option<&Stretch>) -> usize {
    let nets = leads_between(circuit, at).len();
    let (hands, wires) = (by_hand(circuit, at).len(), at.map_or(circuit.wires().len(), |at| at.wires.len()));
    hands + nets * nets.saturating_sub(1) / 2 + wires
}

/// Every candidate at some parts and wires of a circuit, or at all, in file order.
pub(super) fn all(circuit: &Circuit, at: Option<&Stretch>) -> Vec<Candidate> {
    let wires = circuit.wires_with_ids().filter(|(id, _)| at.is_none_or(|at| at.wires.contains(id)));
    let mut all: Vec<Candidate> = by_hand(circuit, at)
        .into_iter()
        .chain(leads(circuit, at))
        .chain(wires.map(|(wire, _)| Effect::Lift(wire)))
        .map(|effect| Candidate { effect })
        .collect();
    all.sort_by_cached_key(|c| c.place(circuit));
    all
}

/// Switches turned or pressed, parts unplugged.
fn by_hand(circuit: &Circuit, at: Option<&Stretch>) -> Vec<Effect> {
    let mut found = Vec::new();
    for (id, part) in circuit.parts_with_ids().filter(|(id, _)| at.is_none_or(|at| at.parts.contains(id))) {
        match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => found.push(Effect::Press(id)),
            Kind::HandSwitch(_) => found.extend([Some(1), None].map(|place| Effect::Turn(id, place))),
            Kind::SelectorSwitch(selector) => {
                let rest = selector.rest_position();
                let places = 0..selector.positions.len();
                found.extend(places.map(|place| Effect::Turn(id, (place != rest).then_some(place))));
            }
            _ => {}
        }
        if !matches!(part.kind, Kind::Splice(_) | Kind::Ground(_) | Kind::Battery(_)) {
            found.push(Effect::Unplug(id));
        }
    }
    found
}

/// A lead between every two nets.
fn leads(circuit: &Circuit, at: Option<&Stretch>) -> Vec<Effect> {
    let nets = leads_between(circuit, at);
    let mut found = Vec::new();
    for (i, one) in nets.iter().enumerate() {
        for other in &nets[i + 1..] {
            let mut ways: Vec<Way> =
                one.iter().flat_map(|a| other.iter().map(move |b| ((*a).min(*b), (*a).max(*b)))).collect();
            ways.sort_by_cached_key(|(a, b)| (remoteness(circuit, *a, *b), *a, *b));
            found.push(Effect::Lead(ways));
        }
    }
    found
}

/// The nets that leads go between, each with the terminals a lead may go on: its first ground stands for all of them.
/// The battery's poles and the chassis are among them wherever the hand may go.
fn leads_between(circuit: &Circuit, at: Option<&Stretch>) -> Vec<Vec<TerminalId>> {
    let kind = |t: TerminalId| &circuit.part(circuit.terminal(t).part).kind;
    let is_ground = |t: TerminalId| matches!(kind(t), Kind::Ground(_));
    let may = |t: TerminalId| {
        let is_at = |at: &Stretch| at.parts.contains(&circuit.terminal(t).part);
        matches!(kind(t), Kind::Battery(_) | Kind::Ground(_)) || at.is_none_or(is_at)
    };
    let reached = |net: Vec<TerminalId>| {
        let is_near = |t: &TerminalId| at.is_none_or(|at| at.parts.contains(&circuit.terminal(*t).part));
        let mut grounds = net.iter().copied().filter(|t| is_ground(*t));
        let first = grounds.clone().find(is_near).or_else(|| grounds.next());
        let stays = |t: &TerminalId| may(*t) && (!is_ground(*t) || Some(*t) == first);
        net.into_iter().filter(stays).collect::<Vec<_>>()
    };
    nets(circuit, None).into_iter().map(reached).filter(|net| !net.is_empty()).collect()
}

/// Terminals joined by wire alone, all grounds together, in file order of their first terminals; without one wire, if
/// one is lifted.
fn nets(circuit: &Circuit, lifted: Option<WireId>) -> Vec<Vec<TerminalId>> {
    let graph = Nets::without(circuit, lifted);
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
