//! A second look at the gravest dangers, by nothing but which points are joined with no load between them.
//!
//! Fuses count as whole and a diode that conducts as a join. It sees less than the program's own hazards: what it
//! sees must never be offered as usual or workable.

use std::collections::BTreeMap;

use fanloom::bench::Bench;
use fanloom::circuit::part::Side;
use fanloom::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd};
use fanloom::physics::inputs::Touch;

/// Points of a bench: the part's side and the wires' side of each terminal, lifted ends, the chassis.
struct Points {
    joined: Vec<usize>,
    loose: BTreeMap<WireEnd, usize>,
}

impl Points {
    /// Everything joined without a load, but for one part's contact and, if so wished, the test leads.
    fn of(bench: &Bench, left_out: Option<PartId>, with_leads: bool) -> Self {
        let (circuit, inputs) = (bench.circuit(), bench.inputs());
        let terminals = circuit.terminals().len();
        let count = 2 * terminals + inputs.lifted.len() + 1;
        let loose = inputs.lifted.iter().enumerate().map(|(place, end)| (*end, 2 * terminals + place)).collect();
        let mut points = Self { joined: (0..count).collect(), loose };
        for (id, terminal) in circuit.terminals_with_ids() {
            if !inputs.unplugged.contains(&terminal.part) {
                points.join(id.index(), terminals + id.index());
            }
        }
        for (id, wire) in circuit.wires_with_ids() {
            let at = |end, terminal: TerminalId| {
                points.loose.get(&WireEnd { wire: id, end }).copied().unwrap_or(terminals + terminal.index())
            };
            points.join_all(&[at(End::From, wire.from), at(End::To, wire.to)]);
        }
        points.join_parts(bench, left_out);
        for lead in inputs.leads.iter().filter(|_| with_leads) {
            let at = |touch: Touch| match touch {
                Touch::Terminal(terminal) => terminals + terminal.index(),
                Touch::LooseEnd(end) => points.loose[&end],
                Touch::Chassis => count - 1,
            };
            points.join_all(&[at(lead.a), at(lead.b)]);
        }
        points
    }

    fn join_parts(&mut self, bench: &Bench, left_out: Option<PartId>) {
        let circuit = bench.circuit();
        let chassis = self.joined.len() - 1;
        for (id, part) in circuit.parts_with_ids() {
            let at = |place: usize| circuit.terminal_at(id, place).index();
            match &part.kind {
                Kind::Fuse(_) => self.join(at(0), at(1)),
                Kind::Ground(_) => self.join(at(0), chassis),
                Kind::Connector(connector) => {
                    (0..connector.pins as usize).for_each(|pin| self.join(at(2 * pin), at(2 * pin + 1)));
                }
                Kind::Diode(_) if bench.outcome().part_amps[id.index()] > 1e-3 => self.join(at(0), at(1)),
                _ => {}
            }
        }
        for contact in &bench.outcome().contacts {
            if contact.position == Contact::Closed && left_out != Some(contact.part) {
                let [a, b] = contact.joins;
                self.join(a.index(), b.index());
            }
        }
    }

    fn join_all(&mut self, points: &[usize]) {
        points.windows(2).for_each(|pair| self.join(pair[0], pair[1]));
    }

    fn join(&mut self, a: usize, b: usize) {
        let (keep, drop) = (self.joined[a], self.joined[b]);
        self.joined.iter_mut().filter(|n| **n == drop).for_each(|n| *n = keep);
    }

    fn are_joined(&self, a: TerminalId, b: TerminalId) -> bool {
        self.joined[a.index()] == self.joined[b.index()]
    }
}

fn poles(circuit: &Circuit) -> Option<(TerminalId, TerminalId)> {
    circuit.battery().map(|(id, _)| (circuit.terminal_at(id, 0), circuit.terminal_at(id, 1)))
}

/// What is wrong with a state that nobody should be told to make; none where nothing is seen.
pub(crate) fn seen(bench: &Bench) -> Option<String> {
    let circuit = bench.circuit();
    if let Some(opened) = bench.opened().first() {
        return Some(format!("a fuse opened: {:?} at {} A", opened.at, opened.amps));
    }
    let (plus, minus) = poles(circuit)?;
    let now = Points::of(bench, None, true);
    if now.are_joined(plus, minus) {
        return Some("the supply is shorted".to_owned());
    }
    let without_leads = Points::of(bench, None, false);
    for (id, part) in circuit.parts_with_ids() {
        let at = |place: usize| circuit.terminal_at(id, place);
        match &part.kind {
            Kind::Relay(_) | Kind::AirValve(_)
                if now.are_joined(at(0), at(1)) && !without_leads.are_joined(at(0), at(1)) =>
            {
                return Some(format!("a lead bridges the coil of {}", part.tag));
            }
            Kind::Module(module) if !bench.inputs().unplugged.contains(&id) => {
                let by_others = |leads| Points::of(bench, Some(id), leads).are_joined(at(2), plus);
                if by_others(true) && !by_others(false) {
                    let side = if module.side == Side::Low { "low" } else { "high" };
                    return Some(format!("the {side}-side output of {} is joined to supply", part.tag));
                }
            }
            _ => {}
        }
    }
    None
}
