//! Doubtful paths: from battery to load and back.
//!
//! Works on nets and the paths between them ([`graph`](crate::circuit::graph)), every contact taken as able to pass.
//! The sets used: what is supply or ground *firmly* (by wire, pins, fuses and key alone) and what is supply or ground
//! *at times* (through contacts, drivers and diodes too). Every check is one or two walks of the whole circuit.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use crate::circuit::diagnostic::{Finding, Subject};
use crate::circuit::graph::{Inside, NetId, Nets, Path, wires_between};
use crate::circuit::part::{Kind, Suppressor};
use crate::circuit::{Circuit, Part, PartId, TerminalId, WireId};
use crate::words::{Words, say};

/// Amps a wire of so many square millimetres may be fused for, thickest first: AWG 8, 10, 12, 14, 16, 18, 20, 22, 24.
/// Common practice, no source; from memory. The areas are a tenth below the AWG areas, so that the metric size sold in
/// the place of each counts as it.
const AMPS_BY_MM2: [(f64, f64); 9] = [
    (7.5, 60.0),
    (4.7, 40.0),
    (2.98, 30.0),
    (1.87, 20.0),
    (1.18, 15.0),
    (0.74, 10.0),
    (0.46, 7.5),
    (0.29, 5.0),
    (0.18, 3.0),
];
/// For anything thinner.
const LEAST_AMPS: f64 = 1.0;
/// Share of a battery's volts by which one beside it may differ: full and half full. Common practice, no source.
const UNLIKE_SHARE: f64 = 0.05;
/// Most wires named in one message.
const MOST_NAMED: usize = 6;

/// Adds what is doubtful about the circuit's paths.
pub(super) fn check(circuit: &Circuit, findings: &mut Vec<Finding>) {
    if circuit.battery().is_none() {
        return;
    }
    let nets = Nets::new(circuit);
    let sides = Sides::new(circuit, &nets);
    if sides.shorted(circuit, findings) {
        return;
    }
    sides.unlike(circuit, findings);
    sides.chassis(circuit, findings);
    sides.unfused(circuit, findings);
    sides.thin(circuit, findings);
    // A bridge joins supply to ground behind it: what follows from that is not told beside it.
    if !sides.bridged(circuit, findings) {
        sides.dead(circuit, findings);
        sides.reversed(circuit, findings);
    }
}

/// Which nets are on which side of the battery.
struct Sides<'a> {
    nets: &'a Nets,
    /// `+` and `-` of every battery.
    poles: Vec<(PartId, TerminalId, TerminalId)>,
    /// Supply by wire, pins, fuses and key alone.
    firm_supply: Vec<bool>,
    /// Ground by wire, pins and studs alone.
    firm_ground: Vec<bool>,
    /// Supply through contacts and the like too.
    supply: Vec<bool>,
    /// Ground through contacts and the like too.
    ground: Vec<bool>,
}

/// What passes without a fuse in it and without being worked.
fn is_harness(path: &Path) -> bool {
    matches!(path.inside, Inside::Pin | Inside::Stud)
}

impl<'a> Sides<'a> {
    fn new(circuit: &Circuit, nets: &'a Nets) -> Self {
        let poles = circuit.batteries().map(|(id, _)| (id, circuit.terminal_at(id, 0), circuit.terminal_at(id, 1)));
        let poles: Vec<_> = poles.collect();
        let plus = || poles.iter().map(|(_, plus, _)| nets.net_of(*plus));
        let minus = || poles.iter().map(|(_, _, minus)| nets.net_of(*minus)).chain([nets.chassis()]);
        let firm_ground = nets.reachable(minus(), |path, _| is_harness(path));
        let firm_supply = nets.reachable(plus(), |path, from| {
            (is_harness(path) || matches!(path.inside, Inside::Link | Inside::Key))
                && !firm_ground[other(path, from).index()]
        });
        let supply = nets.reachable(plus(), |path, from| {
            passes(path)
                && !(path.inside == Inside::Diode && from == path.to)
                && !firm_ground[other(path, from).index()]
        });
        let ground = nets.reachable(minus(), |path, from| {
            passes(path)
                && !(path.inside == Inside::Diode && from == path.from)
                && !firm_supply[other(path, from).index()]
        });
        Self { nets, poles, firm_supply, firm_ground, supply, ground }
    }

    fn on(&self, side: &[bool], terminal: TerminalId) -> bool {
        side[self.nets.net_of(terminal).index()]
    }

    /// A battery whose poles are joined by wire, pins, the chassis and at most fuses.
    fn shorted(&self, circuit: &Circuit, findings: &mut Vec<Finding>) -> bool {
        let before = findings.len();
        for (id, plus, minus) in &self.poles {
            let bridged = self
                .nets
                .reachable([self.nets.net_of(*plus)], |path, _| is_harness(path) || path.inside == Inside::Link);
            if !self.on(&bridged, *minus) {
                continue;
            }
            let tag = &circuit.part(*id).tag;
            let wires = self.nets.wires_between(circuit, *plus, *minus);
            let message = say!("paths-is-shorted", tag, wires = named(circuit, &wires));
            let mend = say!("paths-take-out-the-wire");
            findings.push(Finding::doubtful(Subject::Part(tag.clone()), message, mend));
        }
        findings.len() > before
    }

    /// Ground studs with no way back to the battery: one finding in place of one for every load.
    fn chassis(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        let minus = self.poles.iter().map(|(_, _, minus)| self.nets.net_of(*minus));
        let returned = self.nets.reachable(minus, |path, _| is_harness(path));
        let studs = circuit.parts().iter().any(|part| matches!(part.kind, Kind::Ground(_)));
        let Some((id, _, minus)) = self.poles.first() else { return };
        if !studs || returned[self.nets.chassis().index()] || circuit.ends_at(*minus).is_empty() {
            return;
        }
        let tag = &circuit.part(*id).tag;
        let message = say!("paths-no-ground-return-chassis", tag);
        let mend = say!("paths-wire-to-a-ground", tag);
        findings.push(Finding::doubtful(Subject::Part(tag.clone()), message, mend));
    }

    /// Contacts and loads that the battery reaches before any fuse.
    fn unfused(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        let plus = self.poles.iter().map(|(_, plus, _)| self.nets.net_of(*plus));
        let open = self.nets.reachable(plus, |path, from| {
            matches!(path.inside, Inside::Pin | Inside::Key) && !self.firm_ground[other(path, from).index()]
        });
        let mut fed: BTreeMap<NetId, Vec<TerminalId>> = BTreeMap::new();
        for (id, terminal) in circuit.terminals_with_ids() {
            let wants_fuse = match circuit.part(terminal.part).kind {
                Kind::HandSwitch(_)
                | Kind::SelectorSwitch(_)
                | Kind::TemperatureSwitch(_)
                | Kind::PressureSwitch(_)
                | Kind::Relay(_)
                | Kind::AirValve(_)
                | Kind::Diode(_)
                | Kind::Resistor(_)
                | Kind::Lamp(_)
                | Kind::Module(_)
                | Kind::Timer(_) => true,
                Kind::Battery(_)
                | Kind::Fuse(_)
                | Kind::KeySwitch(_)
                | Kind::Connector(_)
                | Kind::Splice(_)
                | Kind::Ground(_) => false,
            };
            let net = self.nets.net_of(id);
            if wants_fuse && open[net.index()] && !circuit.ends_at(id).is_empty() {
                fed.entry(net).or_default().push(id);
            }
        }
        for terminals in fed.values() {
            let wires: Vec<WireId> = terminals.iter().flat_map(|t| circuit.ends_at(*t)).map(|end| end.wire).collect();
            let Some(first) = wires.first() else { continue };
            let ends: Vec<String> =
                terminals.iter().take(MOST_NAMED).map(|t| format!("`{}`", circuit.terminal_words(*t))).collect();
            let (count, wires) = (wires.len(), named(circuit, &wires));
            let message = say!("paths-unfused-path", count, wires, ends = ends.join(", "));
            let mend = say!("paths-put-a-fuse-near");
            findings.push(Finding::doubtful(Subject::Wire(circuit.wire(*first).tag.clone()), message, mend));
        }
    }

    /// Batteries side by side, the one of which drives a current through the other that nothing but their wires limits.
    fn unlike(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        let nets_of = |id: PartId| [0, 1].map(|pole| self.nets.net_of(circuit.terminal_at(id, pole)));
        for (place, (first, one)) in circuit.batteries().enumerate() {
            for (second, other) in circuit.batteries().skip(place + 1).filter(|(id, _)| nets_of(*id) == nets_of(first))
            {
                if (one.volts - other.volts).abs() > UNLIKE_SHARE * one.volts.max(other.volts) {
                    let [one, other] = [first, second].map(|id| circuit.part(id).tag.clone());
                    let message = say!("paths-side-by-side", one, other);
                    let mend = say!("paths-put-batteries-alike");
                    findings.push(Finding::doubtful(Subject::Part(other), message, mend));
                }
            }
        }
    }

    /// Wires thinner than the largest fuse that feeds them allows.
    fn thin(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        let fuses = self.fuse_before(circuit);
        for wire in circuit.wires() {
            let Some(fuse) = fuses[self.nets.net_of(wire.from).index()] else { continue };
            let part = circuit.part(fuse);
            let Kind::Fuse(data) = &part.kind else { continue };
            let may = amps_for(wire.gauge.square_mm());
            if data.amps <= may {
                continue;
            }
            let message =
                say!("paths-is-too-thin", tag = wire.tag, gauge = wire.gauge, fuse = part.tag, amps = data.amps, may);
            let mend = say!("paths-fit-a-thicker-wire", may);
            findings.push(Finding::doubtful(Subject::Wire(wire.tag.clone()), message, mend));
        }
    }

    /// For every net the fuse that limits what can reach it: on the way that lets most through, the smallest.
    fn fuse_before(&self, circuit: &Circuit) -> Vec<Option<PartId>> {
        let amps = |fuse: PartId| match &circuit.part(fuse).kind {
            Kind::Fuse(data) => data.amps,
            _ => f64::INFINITY,
        };
        // Widest-way search: Dijkstra's order with the smaller of two ratings in place of the sum of two lengths.
        let mut limit: Vec<Option<Option<PartId>>> = vec![None; self.nets.count()];
        let mut waiting: BinaryHeap<Way> = BinaryHeap::new();
        for (_, plus, _) in &self.poles {
            waiting.push((Rating(f64::INFINITY), Reverse(self.nets.net_of(*plus)), None, None));
        }
        while let Some((rating, Reverse(at), fuse, came_by)) = waiting.pop() {
            if limit[at.index()].is_some() {
                continue;
            }
            limit[at.index()] = Some(fuse);
            for path in self.nets.paths_at(at) {
                let next = other(path, at);
                // A change-over contact never joins its two outer terminals.
                let against = (path.inside == Inside::Diode && at == path.to) || came_by == Some(path.part);
                if !passes(path) || against || limit[next.index()].is_some() || self.firm_ground[next.index()] {
                    continue;
                }
                let (rating, fuse) = match path.inside {
                    Inside::Link if amps(path.part) < rating.0 => (Rating(amps(path.part)), Some(path.part)),
                    _ => (rating, fuse),
                };
                let came_by = (path.inside == Inside::Contact).then_some(path.part);
                waiting.push((rating, Reverse(next), fuse, came_by));
            }
        }
        limit.into_iter().map(Option::flatten).collect()
    }

    /// Coils, lamps and electronics with wires from one end to the other: whatever feeds them is shorted.
    fn bridged(&self, circuit: &Circuit, findings: &mut Vec<Finding>) -> bool {
        let before = findings.len();
        for (part, [a, b], what) in loads(circuit).filter(|(_, [a, b], _)| self.nets.net_of(*a) == self.nets.net_of(*b))
        {
            let wires = named(circuit, &wires_between(circuit, a, b));
            let message = say!("paths-is-bridged", what, wires);
            let mend = say!("paths-take-off-or-put-one", wires);
            findings.push(Finding::doubtful(Subject::Part(part.tag.clone()), message, mend));
        }
        findings.len() > before
    }

    /// Coils, lamps and electronics that no supply or no ground can reach.
    fn dead(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        // Loads in series are fed and returned through one another, but not through the other pole.
        let grown = |side: &[bool], opposite: &[bool]| {
            let start =
                (0..self.nets.count()).filter(|i| side[*i]).map(|i| NetId(u32::try_from(i).unwrap_or(u32::MAX)));
            self.nets
                .reachable(start, |path, from| path.inside != Inside::Cells && !opposite[other(path, from).index()])
        };
        let supply = grown(&self.supply, &self.ground);
        let ground = grown(&self.ground, &self.supply);
        let no_plus = self.poles.iter().all(|(_, plus, _)| circuit.ends_at(*plus).is_empty());
        let no_minus = self.poles.iter().all(|(_, _, minus)| circuit.ends_at(*minus).is_empty());
        for (part, [a, b], what) in loads(circuit) {
            let one_way = |from, to| self.on(&supply, from) && self.on(&ground, to);
            let turned = matches!(part.kind, Kind::Module(_) | Kind::Timer(_)) && one_way(b, a) && !one_way(a, b);
            if turned {
                let message = say!("paths-changed-over", tag = part.tag);
                let mend = say!("paths-change-the-wires-over");
                findings.push(Finding::doubtful(Subject::Part(part.tag.clone()), message, mend));
                continue;
            }
            if one_way(a, b) || one_way(b, a) {
                continue;
            }
            let fed = self.on(&supply, a) || self.on(&supply, b) || no_plus;
            let grounded = self.on(&ground, a) || self.on(&ground, b) || no_minus;
            let subject = Subject::Part(part.tag.clone());
            if !fed {
                let message = say!("paths-no-supply-path", what);
                findings.push(Finding::doubtful(subject.clone(), message, say!("paths-wire-one-of-its-ends")));
            }
            if !grounded {
                let message = say!("paths-no-ground-return", what);
                findings.push(Finding::doubtful(subject.clone(), message, say!("paths-wire-its-other-end")));
            }
            if fed && grounded && !no_plus && !no_minus {
                let message = say!("paths-both-its-ends", what);
                findings.push(Finding::doubtful(subject, message, say!("paths-wire-one-end-to-supply")));
            }
        }
    }

    /// Suppressor diodes that would conduct whenever the coil is fed.
    fn reversed(&self, circuit: &Circuit, findings: &mut Vec<Finding>) {
        // Without diodes, so that the one being looked at does not carry supply to its own cathode.
        let plus = self.poles.iter().map(|(_, plus, _)| self.nets.net_of(*plus));
        let supply = self.nets.reachable(plus, |path, from| {
            passes(path) && path.inside != Inside::Diode && !self.firm_ground[other(path, from).index()]
        });
        let minus = self.poles.iter().map(|(_, _, minus)| self.nets.net_of(*minus)).chain([self.nets.chassis()]);
        let ground = self.nets.reachable(minus, |path, from| {
            passes(path) && path.inside != Inside::Diode && !self.firm_supply[other(path, from).index()]
        });
        let conducts = |anode: TerminalId, cathode: TerminalId| {
            self.on(&supply, anode)
                && !self.on(&ground, anode)
                && self.on(&ground, cathode)
                && !self.on(&supply, cathode)
        };
        for (id, part) in circuit.parts_with_ids() {
            let (first, second) = match &part.kind {
                Kind::Relay(_) | Kind::AirValve(_) | Kind::Diode(_) => {
                    (circuit.terminal_at(id, 0), circuit.terminal_at(id, 1))
                }
                _ => continue,
            };
            let (anode, cathode, mend) = match &part.kind {
                Kind::Relay(relay) => match fitted(circuit, relay.suppressor.as_ref(), first, second) {
                    Some(found) => found,
                    None => continue,
                },
                Kind::AirValve(valve) => match fitted(circuit, valve.suppressor.as_ref(), first, second) {
                    Some(found) => found,
                    None => continue,
                },
                _ => (first, second, say!("paths-turn-it-round")),
            };
            if conducts(anode, cathode) {
                let message = say!(
                    "paths-the-wrong-way-round",
                    tag = part.tag,
                    anode = circuit.terminal_words(anode),
                    cathode = circuit.terminal_words(cathode)
                );
                findings.push(Finding::doubtful(Subject::Part(part.tag.clone()), message, mend));
            }
        }
    }
}

/// Anode, cathode and mend of a coil's suppressor diode, if it has one.
fn fitted(
    circuit: &Circuit,
    suppressor: Option<&Suppressor>,
    first: TerminalId,
    second: TerminalId,
) -> Option<(TerminalId, TerminalId, Words)> {
    let Some(Suppressor::Diode { cathode }) = suppressor else { return None };
    let (anode, cathode) = if circuit.terminal(first).name == *cathode { (second, first) } else { (first, second) };
    let mend = say!("paths-write-cathode", name = circuit.terminal(anode).name);
    Some((anode, cathode, mend))
}

/// Whether a path can carry the current of a load further on.
fn passes(path: &Path) -> bool {
    !path.inside.is_load() && path.inside != Inside::Cells
}

fn other(path: &Path, from: NetId) -> NetId {
    if path.from == from { path.to } else { path.from }
}

/// Amps a wire of this cross-section may be fused for.
fn amps_for(square_mm: f64) -> f64 {
    AMPS_BY_MM2.iter().find(|(area, _)| square_mm >= *area).map_or(LEAST_AMPS, |(_, amps)| *amps)
}

/// Coils, lamps and electronics that are wired at both ends, with those and what they are called.
fn loads(circuit: &Circuit) -> impl Iterator<Item = (&Part, [TerminalId; 2], Words)> {
    circuit.parts_with_ids().filter_map(|(id, part)| {
        let what = match part.kind {
            Kind::Relay(_) | Kind::AirValve(_) => say!("paths-the-coil-of", tag = part.tag),
            Kind::Lamp(_) => say!("paths-the-lamp", tag = part.tag),
            Kind::Module(_) | Kind::Timer(_) => format!("`{}`", part.tag).into(),
            Kind::Battery(_)
            | Kind::Fuse(_)
            | Kind::KeySwitch(_)
            | Kind::HandSwitch(_)
            | Kind::SelectorSwitch(_)
            | Kind::TemperatureSwitch(_)
            | Kind::PressureSwitch(_)
            | Kind::Diode(_)
            | Kind::Resistor(_)
            | Kind::Connector(_)
            | Kind::Splice(_)
            | Kind::Ground(_) => return None,
        };
        let ends = [0, 1].map(|end| circuit.terminal_at(id, end));
        ends.iter().all(|end| !circuit.ends_at(*end).is_empty()).then_some((part, ends, what))
    })
}

/// Wires by their tags.
fn named(circuit: &Circuit, wires: &[WireId]) -> Words {
    let mut tags: Vec<&str> = Vec::new();
    for wire in wires {
        let tag = circuit.wire(*wire).tag.as_str();
        if tags.len() <= MOST_NAMED && !tags.contains(&tag) {
            tags.push(tag);
        }
    }
    let more = tags.len() > MOST_NAMED;
    let words: Vec<String> = tags.into_iter().take(MOST_NAMED).map(|t| format!("`{t}`")).collect();
    let listed = words.join(", ");
    if more { say!("refusal-and-more", listed) } else { listed.into() }
}

/// A way from the battery so far: the least rating on it, the net it has come to, the fuse that sets the rating, and
/// the part of the contact it came through last.
type Way = (Rating, Reverse<NetId>, Option<PartId>, Option<PartId>);

/// A fuse's rating, ordered; ratings are never NaN.
#[derive(Clone, Copy, PartialEq)]
struct Rating(f64);

impl Eq for Rating {}

impl PartialOrd for Rating {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rating {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}
