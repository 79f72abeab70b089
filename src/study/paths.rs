//! Ways through a circuit: the one the current takes, and where a way that could feed a coil is broken.
//!
//! The first follows the solved currents, the larger share where they divide. The second is a search over everything
//! that could conduct, counting what is open on the way (0-1 breadth-first search), so that the fewest breaks are
//! named. Neither judges what it finds.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd};
use crate::physics::electric::assemble::is_load;
use crate::physics::electric::diodes::{Decided, solve};
use crate::physics::electric::{Assembly, Element};
use crate::physics::inputs::{Inputs, Tie, Touch};
use crate::physics::limits::SOFT_TIE_OHMS;
use crate::physics::state::{Memory, Outcome};

use super::answer::Subject;

/// Amps below which a branch is not on anybody's way.
const LEAST_AMPS: f64 = 1e-6;

/// Whether an element is an unwanted join.
fn is_tie(element: Element) -> bool {
    matches!(element, Element::Tie(_))
}

/// A solved network that still knows what its branches stand for.
pub(super) struct Solved {
    pub(super) assembly: Assembly,
    pub(super) decided: Decided,
    elements: Vec<Element>,
    flows: OnceCell<Flows>,
}

/// Where current comes into each node from and goes out of it to, and where it enters and leaves each coil.
struct Flows {
    into: BTreeMap<usize, Vec<(f64, Element, usize)>>,
    out_of: BTreeMap<usize, Vec<(f64, Element, usize)>>,
    coils: BTreeMap<PartId, (usize, usize)>,
}

impl Solved {
    /// Solves the circuit as `memory` has it, nothing moving.
    pub(super) fn of(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Self {
        let assembly = Assembly::of(circuit, inputs, memory);
        let decided = solve(&assembly);
        let mut elements = assembly.elements.clone();
        let conducting = assembly.diodes.iter().zip(&decided.branch).filter(|(_, branch)| branch.is_some());
        elements.extend(conducting.map(|(diode, _)| diode.element));
        Self { assembly, decided, elements, flows: OnceCell::new() }
    }

    /// Branches with what they stand for, from where current enters to where it leaves, and how much.
    fn carrying(&self) -> impl Iterator<Item = (Element, usize, usize, f64)> + '_ {
        let branches = self.decided.network.branches.iter().zip(&self.decided.solution.amps);
        self.elements.iter().zip(branches).filter(|(_, (_, amps))| amps.abs() > LEAST_AMPS).map(
            |(element, (branch, amps))| {
                if *amps >= 0.0 {
                    (*element, branch.from, branch.to, *amps)
                } else {
                    (*element, branch.to, branch.from, -amps)
                }
            },
        )
    }

    /// Branches that put nothing in the current's way, conducting diodes among them.
    pub(super) fn hard(&self, circuit: &Circuit) -> impl Iterator<Item = (Element, usize, usize)> {
        let plain = self.assembly.elements.len();
        self.decided
            .network
            .branches
            .iter()
            .zip(&self.elements)
            .enumerate()
            .filter(move |(i, (branch, element))| {
                *i >= plain || !(is_load(circuit, **element) || is_tie(**element) && branch.ohms >= SOFT_TIE_OHMS)
            })
            .map(|(_, (branch, element))| (*element, branch.from, branch.to))
    }

    /// Elements the current through `coil` runs through, from supply to ground, the larger share where it divides.
    pub(super) fn way_through(&self, circuit: &Circuit, coil: PartId) -> Vec<Element> {
        let battery = |element: Element| matches!(element, Element::Through(id) if matches!(circuit.part(id).kind, Kind::Battery(_)));
        let Flows { into, out_of, coils } = self.flows.get_or_init(|| self.flows());
        let Some((from, to)) = coils.get(&coil).copied() else { return Vec::new() };
        let mut way = follow(into, from, battery);
        way.reverse();
        way.push(Element::Coil(coil));
        way.extend(follow(out_of, to, battery).into_iter().filter(|element| !battery(*element)));
        way
    }
}

impl Solved {
    fn flows(&self) -> Flows {
        let mut flows = Flows { into: BTreeMap::new(), out_of: BTreeMap::new(), coils: BTreeMap::new() };
        for (element, from, to, amps) in self.carrying() {
            flows.into.entry(to).or_default().push((amps, element, from));
            flows.out_of.entry(from).or_default().push((amps, element, to));
            if let Element::Coil(coil) = element {
                flows.coils.insert(coil, (from, to));
            }
        }
        flows
    }

    /// What each element carries of the current through `coil`, in amps, where they meet and part in proportion
    /// (proportional sharing, the rule of power-flow tracing; exact for contacts in parallel). Supply side first.
    pub(super) fn shares_of(&self, coil: PartId) -> Vec<(Element, f64)> {
        let branches: Vec<(Element, usize, usize, f64)> = self.carrying().collect();
        let Some(&(_, from, to, amps)) = branches.iter().find(|(e, ..)| *e == Element::Coil(coil)) else {
            return Vec::new();
        };
        let turned: Vec<(Element, usize, usize, f64)> = branches.iter().map(|(e, a, b, i)| (*e, *b, *a, *i)).collect();
        let mut shares = self.traced(&turned, from, amps);
        shares.reverse();
        shares.extend(self.traced(&branches, to, amps));
        shares
    }

    /// Follows `amps` from a node along branches, dividing at each node as the branches' own currents do, up to the
    /// battery's poles.
    fn traced(&self, branches: &[(Element, usize, usize, f64)], start: usize, amps: f64) -> Vec<(Element, f64)> {
        let poles = [self.assembly.supply, self.assembly.network.reference];
        let mut out_of: BTreeMap<usize, Vec<(Element, usize, f64)>> = BTreeMap::new();
        let mut coming: BTreeMap<usize, usize> = BTreeMap::new();
        let mut reached = BTreeSet::from([start]);
        let mut waiting = vec![start];
        while let Some(node) = waiting.pop() {
            if poles.contains(&Some(node)) {
                continue;
            }
            for (element, _, to, amps) in branches.iter().filter(|(_, from, ..)| *from == node) {
                out_of.entry(node).or_default().push((*element, *to, *amps));
                *coming.entry(*to).or_default() += 1;
                if reached.insert(*to) {
                    waiting.push(*to);
                }
            }
        }
        let mut arrived = BTreeMap::from([(start, amps)]);
        let mut ready = vec![start];
        let mut shares = Vec::new();
        while let Some(node) = ready.pop() {
            let all: f64 = out_of.get(&node).into_iter().flatten().map(|(_, _, amps)| amps).sum();
            for (element, to, amps) in out_of.get(&node).into_iter().flatten() {
                let share = arrived[&node] * amps / all;
                shares.push((*element, share));
                *arrived.entry(*to).or_default() += share;
                // A node's turn comes when all that flows to it is known; currents run in no rings.
                if coming.get_mut(to).is_some_and(|left| {
                    *left -= 1;
                    *left == 0
                }) {
                    ready.push(*to);
                }
            }
        }
        shares
    }
}

/// Follows the largest currents from a node up to and with the element that `ends` the way, or to a node already
/// passed.
fn follow(
    next: &BTreeMap<usize, Vec<(f64, Element, usize)>>,
    start: usize,
    ends: impl Fn(Element) -> bool,
) -> Vec<Element> {
    let mut way = Vec::new();
    let mut passed = BTreeSet::from([start]);
    let mut node = start;
    while let Some(largest) = next.get(&node).and_then(|list| list.iter().max_by(|a, b| a.0.total_cmp(&b.0))) {
        way.push(largest.1);
        node = largest.2;
        if ends(largest.1) || !passed.insert(node) {
            break;
        }
    }
    way
}

/// The parts and leads on a way, each once, in order: what a person would name.
pub(super) fn stations(circuit: &Circuit, way: &[Element]) -> Vec<Subject> {
    let mut stations: Vec<Subject> = Vec::new();
    for element in way {
        let subject = match element {
            Element::Through(id) | Element::Contact(id) | Element::Coil(id) | Element::Pin(id, _) => Subject::Part(*id),
            Element::Lead(number) => Subject::Lead(*number),
            Element::Wire(id) | Element::FarHalf(id) => Subject::Wire(*id),
            Element::Suppressor(id) | Element::OwnDraw(id) => Subject::Part(*id),
            Element::Tie(_) => continue,
        };
        let named = match subject {
            Subject::Part(id) => !matches!(circuit.part(id).kind, Kind::Splice(_)),
            Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) | Subject::Lead(_) => true,
        };
        if named && !stations.contains(&subject) {
            stations.push(subject);
        }
    }
    stations
}

/// Something that breaks a way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Break {
    /// An open contact of this part; for a relay, which terminal it would join to 30.
    Contact(PartId, Option<TerminalId>),
    /// A blown fuse.
    Fuse(PartId),
    /// A wire end off its terminal.
    Lifted(WireEnd),
    /// A part with its wires off.
    Unplugged(PartId),
    /// A wire broken through.
    Cut(crate::circuit::WireId),
    /// A terminal whose pin has backed out.
    PinOut(TerminalId),
    /// A diode that blocks.
    Diode(PartId),
}

/// A place current can stand, by its number: the two sides of a terminal, a loose end, or the chassis.
type Place = usize;

/// The numbers of a circuit's places.
#[derive(Clone, Copy)]
struct Places {
    terminals: usize,
    wires: usize,
}

impl Places {
    fn of(circuit: &Circuit) -> Self {
        Self { terminals: circuit.terminals_with_ids().count(), wires: circuit.wires_with_ids().count() }
    }

    /// A terminal where its part is.
    fn own(self, terminal: TerminalId) -> Place {
        2 * terminal.0 as usize
    }

    /// A terminal where its wires are.
    fn wires(self, terminal: TerminalId) -> Place {
        2 * terminal.0 as usize + 1
    }

    fn loose(self, end: WireEnd) -> Place {
        let other = usize::from(end.end == End::To);
        2 * self.terminals + 2 * end.wire.0 as usize + other
    }

    fn chassis(self) -> Place {
        2 * (self.terminals + self.wires)
    }

    fn count(self) -> usize {
        self.chassis() + 1
    }
}

/// Everything that conducts or could, as a graph of places.
pub(super) struct Possible {
    places: Places,
    /// Where it goes on from each place, and what breaks that step.
    next: Vec<Vec<(Place, Option<Break>)>>,
    poles: Option<(TerminalId, TerminalId)>,
    /// The best ways from the battery's two poles.
    from_poles: OnceCell<Option<[Reached; 2]>>,
}

impl Possible {
    /// The ways of a circuit in its present state.
    pub(super) fn of(circuit: &Circuit, inputs: &Inputs, outcome: &Outcome) -> Self {
        let poles = circuit.battery().map(|(id, _)| (circuit.terminal_at(id, 0), circuit.terminal_at(id, 1)));
        let places = Places::of(circuit);
        let mut ways = Self { places, next: vec![Vec::new(); places.count()], poles, from_poles: OnceCell::new() };
        for (id, terminal) in circuit.terminals_with_ids() {
            let pin_out = inputs.altered.pins_out.contains(&id).then_some(Break::PinOut(id));
            let off = inputs.unplugged.contains(&terminal.part).then_some(Break::Unplugged(terminal.part)).or(pin_out);
            ways.join(places.own(id), places.wires(id), off);
        }
        for (id, wire) in circuit.wires_with_ids() {
            let place = |end, terminal| {
                let end = WireEnd { wire: id, end };
                if inputs.lifted.contains(&end) { places.loose(end) } else { places.wires(terminal) }
            };
            let from = place(End::From, wire.from);
            let to = place(End::To, wire.to);
            ways.join(from, to, inputs.altered.cut.contains(&id).then_some(Break::Cut(id)));
        }
        for end in &inputs.lifted {
            let belongs = places.wires(circuit.terminal_of_end(*end));
            ways.join(places.loose(*end), belongs, Some(Break::Lifted(*end)));
        }
        ways.join_parts(circuit, inputs, outcome);
        ways.join_leads(inputs, &outcome.memory);
        ways
    }

    fn join_parts(&mut self, circuit: &Circuit, inputs: &Inputs, outcome: &Outcome) {
        let places = self.places;
        for contact in &outcome.contacts {
            let [a, b] = contact.joins;
            let open = contact.position == Contact::Open;
            let broken = open.then_some(Break::Contact(contact.part, contact.terminal));
            self.join(places.own(a), places.own(b), broken);
        }
        for (id, part) in circuit.parts_with_ids() {
            let own = |place| places.own(circuit.terminal_at(id, place));
            match &part.kind {
                Kind::Diode(_) if !matches!(inputs.kind(circuit, id), Kind::Diode(_)) => {
                    // Shorted, it passes both ways.
                    self.join(own(0), own(1), None);
                }
                Kind::Fuse(_) => {
                    let blown = outcome.memory.fuse_blown(inputs, id);
                    self.join(own(0), own(1), blown.then_some(Break::Fuse(id)));
                }
                Kind::Diode(_) => {
                    let (a, k) = if inputs.altered.reversed.contains(&id) { (1, 0) } else { (0, 1) };
                    self.next[own(a)].push((own(k), None));
                    self.next[own(k)].push((own(a), Some(Break::Diode(id))));
                }
                Kind::Connector(connector) => {
                    for pin in 0..connector.pins as usize {
                        self.join(own(2 * pin), own(2 * pin + 1), None);
                    }
                }
                Kind::Ground(_) => self.join(own(0), places.chassis(), None),
                Kind::Battery(_)
                | Kind::KeySwitch(_)
                | Kind::HandSwitch(_)
                | Kind::SelectorSwitch(_)
                | Kind::TemperatureSwitch(_)
                | Kind::PressureSwitch(_)
                | Kind::Relay(_)
                | Kind::AirValve(_)
                | Kind::Resistor(_)
                | Kind::Lamp(_)
                | Kind::Module(_)
                | Kind::Timer(_)
                | Kind::Splice(_) => {}
            }
        }
    }

    fn join_leads(&mut self, inputs: &Inputs, memory: &Memory) {
        let places = self.places;
        let place = |touch: Touch| match touch {
            Touch::Terminal(terminal) => places.wires(terminal),
            Touch::LooseEnd(end) => places.loose(end),
            Touch::Chassis => places.chassis(),
        };
        for lead in inputs.leads.iter().filter(|l| !memory.blown_leads.contains(&l.number)) {
            self.join(place(lead.a), place(lead.b), None);
        }
        for tie in &inputs.altered.ties {
            match tie {
                Tie::ToChassis(_, ohms) | Tie::ToSupply(_, ohms) | Tie::InsideToChassis(_, ohms)
                    if *ohms >= SOFT_TIE_OHMS => {}
                Tie::InsideToChassis(terminal, _) => self.join(places.own(*terminal), places.chassis(), None),
                Tie::ToChassis(point, _) => self.join(place(*point), places.chassis(), None),
                Tie::ToSupply(point, _) => {
                    if let Some((plus, _)) = self.poles {
                        self.join(place(*point), places.own(plus), None);
                    }
                }
                Tie::Wires(..) => {}
            }
        }
    }

    fn join(&mut self, a: Place, b: Place, broken: Option<Break>) {
        self.next[a].push((b, broken));
        self.next[b].push((a, broken));
    }

    /// What breaks the way from supply through a coil to ground, fewest breaks, from supply on: a group for each
    /// break, with those that would each do in its stead. None where even with everything closed there is no way.
    pub(super) fn breaks_around(&self, enters: TerminalId, leaves: TerminalId) -> Option<Vec<Vec<Break>>> {
        let search = |(plus, minus)| [plus, minus].map(|pole| self.search(self.places.own(pole)));
        let poles = self.from_poles.get_or_init(|| self.poles.map(search)).as_ref()?;
        let both = |ends: [TerminalId; 2]| {
            let supply = poles[0].breaks_to(self.places.own(ends[0]))?;
            let ground = poles[1].breaks_to(self.places.own(ends[1]))?;
            Some((supply.len() + ground.len(), [supply, ground], ends))
        };
        let straight = both([enters, leaves]);
        let turned = both([leaves, enters]);
        let (_, sides, ends) = match (straight, turned) {
            (Some(a), Some(b)) => Some(if b.0 < a.0 { b } else { a }),
            (a, b) => a.or(b),
        }?;
        let mut groups = Vec::new();
        for ((breaks, pole), end) in sides.into_iter().zip(poles).zip(ends) {
            match breaks.as_slice() {
                // A part that is unplugged breaks the way on both its sides, and neither alone closes it.
                [one @ Break::Unplugged(_)] => groups.push(vec![*one]),
                [_] => groups.push(self.between(pole, &self.free_of(self.places.own(end)))),
                several => groups.extend(several.iter().map(|b| vec![*b])),
            }
        }
        Some(groups)
    }

    /// Every break that alone parts what was reached without any from the one side and from the other.
    fn between(&self, near: &Reached, far: &[bool]) -> Vec<Break> {
        let mut breaks: Vec<Break> = Vec::new();
        for (place, nexts) in self.next.iter().enumerate() {
            let leads_over = |(next, broken): &(Place, Option<Break>)| broken.filter(|_| far[*next]);
            let over: Vec<Break> = nexts.iter().filter_map(leads_over).collect();
            if !over.is_empty() && near.freely(place) {
                breaks.extend(over);
            }
        }
        breaks.sort();
        breaks.dedup();
        breaks
    }

    /// For each place whether it is reached from one without any break.
    fn free_of(&self, start: Place) -> Vec<bool> {
        let mut reached = vec![false; self.places.count()];
        reached[start] = true;
        let mut waiting = vec![start];
        while let Some(place) = waiting.pop() {
            for (next, broken) in &self.next[place] {
                if broken.is_none() && !std::mem::replace(&mut reached[*next], true) {
                    waiting.push(*next);
                }
            }
        }
        reached
    }

    fn search(&self, start: Place) -> Reached {
        let mut best: Vec<Option<Arrival>> = vec![None; self.places.count()];
        best[start] = Some((0, None));
        let mut waiting = VecDeque::from([(start, 0)]);
        while let Some((place, cost)) = waiting.pop_front() {
            if best[place].is_some_and(|(known, _)| known < cost) {
                continue;
            }
            for (next, broken) in &self.next[place] {
                let through = cost + usize::from(broken.is_some());
                if best[*next].is_none_or(|(known, _)| through < known) {
                    best[*next] = Some((through, Some((place, *broken))));
                    if broken.is_some() {
                        waiting.push_back((*next, through));
                    } else {
                        waiting.push_front((*next, through));
                    }
                }
            }
        }
        Reached(best)
    }
}

/// Best way to every place from one start, where there is any.
struct Reached(Vec<Option<Arrival>>);

/// How a place was reached: breaks on the way so far, and the place before with what broke the step from it.
type Arrival = (usize, Option<(Place, Option<Break>)>);

impl Reached {
    /// Whether a place was reached without any break.
    fn freely(&self, place: Place) -> bool {
        self.0[place].is_some_and(|arrival| arrival.0 == 0)
    }

    /// Breaks on the way from the start to `place`.
    fn breaks_to(&self, place: Place) -> Option<Vec<Break>> {
        let mut breaks = Vec::new();
        let mut at = place;
        loop {
            match self.0[at]?.1 {
                None => break,
                Some((before, broken)) => {
                    // A part that is unplugged breaks the way on both its sides; it is named once.
                    if let Some(broken) = broken.filter(|b| !breaks.contains(b)) {
                        breaks.push(broken);
                    }
                    at = before;
                }
            }
        }
        breaks.reverse();
        Some(breaks)
    }
}
