//! From a circuit in a given state to its network: every wire, contact, coil and ground as what it is electrically.
//!
//! An open contact, a blown fuse, a cut wire and a blocking diode are left out; everything else becomes one branch
//! that remembers what it stands for ([`Element`]). A terminal has two sides, the part's own and that of the wires
//! on it; they are one node until the part is unplugged. Diodes are listed apart, for [`diodes`](super::diodes) to
//! decide. Solving is left to [`network`](super::network).

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::part::{Quantity, Side, Suppressor};
use crate::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd, WireId};
use crate::physics::inputs::{Inputs, Tie, Touch};
use crate::physics::limits::DIODE_OHMS;
use crate::physics::state::Memory;

use super::network::{Branch, Network};
use super::orders::Orders;

/// What a branch stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Element {
    /// A wire, or the half of it at its `from` end.
    Wire(WireId),
    /// The other half of a wire that touches another half way.
    FarHalf(WireId),
    /// The one way through a part: battery, whole fuse, closed contact, conducting diode, load, ground.
    Through(PartId),
    /// A closed contact or driver of a part that has other elements too.
    Contact(PartId),
    /// A coil's winding.
    Coil(PartId),
    /// A resistor or conducting diode across a coil.
    Suppressor(PartId),
    /// What a module or timer draws for itself.
    OwnDraw(PartId),
    /// One mated pin of a connector, counted from 0.
    Pin(PartId, u32),
    /// A test lead.
    Lead(u32),
    /// An unwanted join, by its place in the inputs.
    Tie(usize),
}

/// A diode and where it sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiodeSite {
    /// Node of the anode.
    pub anode: usize,
    /// Node of the cathode.
    pub cathode: usize,
    /// Volts dropped when conducting.
    pub drop_volts: f64,
    /// What it belongs to.
    pub element: Element,
}

impl DiodeSite {
    /// The diode as a branch, conducting.
    pub fn conducting(&self) -> Branch {
        Branch { from: self.anode, to: self.cathode, ohms: DIODE_OHMS, emf: -self.drop_volts }
    }
}

/// A branch that is there or not, as a fuse, contact or driver stands.
#[derive(Clone, Copy, Debug)]
pub struct Mover {
    /// The branch.
    pub branch: usize,
    /// The part.
    pub part: PartId,
    /// Place of the terminal that it leads to, for [`joins_now`].
    pub place: usize,
}

/// A network with the meaning of its nodes and branches.
#[derive(Clone, Debug)]
pub struct Assembly {
    /// Everything but the diodes.
    pub network: Network,
    /// What each branch stands for.
    pub elements: Vec<Element>,
    /// The diodes.
    pub diodes: Vec<DiodeSite>,
    /// Branches that are there or not, as a contact stands, where all are there.
    pub movers: Vec<Mover>,
    /// Node of each terminal's wire side: what a lead there touches.
    pub touch: Vec<usize>,
    /// Node of each terminal's own side.
    pub own: Vec<usize>,
    /// Node of each lifted wire end.
    pub loose: BTreeMap<WireEnd, usize>,
    /// Node of the chassis.
    pub chassis: usize,
    /// Node of the first battery's `+`.
    pub supply: Option<usize>,
}

impl Assembly {
    /// The network of `circuit` under `inputs`, its moving parts where `memory` has them.
    pub fn of(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Self {
        Builder::new(circuit, inputs, memory, false).built()
    }

    /// The same with every fuse whole, every contact closed, those of a relay and a selector both ways, and every wire in
    /// two halves: all that there may be wherever contacts stand, in the same order and with nodes of the same numbers
    /// for the same circuit. The nodes are the terminals, the chassis and the middles of the wires, then others.
    pub fn whole(circuit: &Circuit, inputs: &Inputs) -> Self {
        Builder::new(circuit, inputs, &Memory::default(), true).built()
    }

    /// Orders of elimination for every assembly of `circuit`, wherever its contacts stand; `contacts` are the
    /// terminals that they join when closed.
    pub fn orders(circuit: &Circuit, contacts: impl IntoIterator<Item = [TerminalId; 2]>) -> Orders {
        let whole = Self::of(circuit, &Inputs::default(), &Memory::default());
        let branches = whole.network.branches.iter().map(|branch| (branch.from, branch.to));
        let diodes = whole.diodes.iter().map(|diode| (diode.anode, diode.cathode));
        let contacts = contacts.into_iter().map(|[a, b]| (a.index(), b.index()));
        Orders::of(whole.network.nodes, branches.chain(diodes).chain(contacts), whole.network.reference)
    }

    /// Node that a lead put here touches.
    pub fn node_at(&self, touch: Touch) -> usize {
        match touch {
            Touch::Terminal(terminal) => self.touch[terminal.index()],
            // A wire end that is not lifted has no node of its own; the bench never asks for one.
            Touch::LooseEnd(end) => self.loose.get(&end).copied().unwrap_or(self.chassis),
            Touch::Chassis => self.chassis,
        }
    }
}

/// Whether a contact joins its terminals now.
pub fn contact_now(rest: Contact, moved: bool, stuck: Option<Contact>) -> Contact {
    stuck.unwrap_or(if moved { rest.flipped() } else { rest })
}

/// Whether a relay's armature is over at the make contact now.
pub fn armature_over(inputs: &Inputs, memory: &Memory, relay: PartId) -> bool {
    let pulled = match inputs.altered.stuck.get(&relay) {
        Some(stuck) => *stuck == Contact::Closed,
        None => memory.of(relay).on,
    };
    pulled != inputs.altered.swapped.contains(&relay)
}

/// Whether a fuse, contact or driver joins now; `place` is that of the terminal a relay's or selector's contact leads to.
/// Everything else always does.
pub fn joins_now(inputs: &Inputs, memory: &Memory, (id, kind): (PartId, &Kind), place: usize) -> bool {
    let stuck = inputs.altered.stuck.get(&id).copied();
    let closes = |rest: Contact, moved: bool| contact_now(rest, moved, stuck) == Contact::Closed;
    match kind {
        Kind::Fuse(_) => !memory.fuse_blown(inputs, id),
        Kind::KeySwitch(_) => closes(Contact::Open, inputs.conditions.key_on),
        Kind::HandSwitch(switch) => closes(switch.rest, inputs.turned.contains_key(&id)),
        Kind::SelectorSwitch(switch) => {
            let now = inputs.turned.get(&id).copied().unwrap_or(switch.rest_position());
            stuck != Some(Contact::Open) && place == now + 1
        }
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => closes(sensor.rest, memory.of(id).acted),
        Kind::Relay(_) => armature_over(inputs, memory, id) == (place == MAKE),
        Kind::Module(_) | Kind::Timer(_) => closes(Contact::Open, memory.of(id).on),
        Kind::Battery(_)
        | Kind::AirValve(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => true,
    }
}

/// Places of a relay's terminals for its make and its break contact.
const MAKE: usize = 3;
const BREAK: usize = 4;

struct Builder<'a> {
    circuit: &'a Circuit,
    inputs: &'a Inputs,
    memory: &'a Memory,
    is_whole: bool,
    /// Node of the first wire's middle, where all have one.
    middles: usize,
    done: Assembly,
}

impl<'a> Builder<'a> {
    fn new(circuit: &'a Circuit, inputs: &'a Inputs, memory: &'a Memory, is_whole: bool) -> Self {
        let terminals = circuit.terminals().len();
        // A part has one or two, a wire in halves two.
        let room = 2 * (circuit.parts().len() + circuit.wires().len());
        let mut network = Network { nodes: terminals, branches: Vec::with_capacity(room), reference: None };
        let own: Vec<usize> = (0..terminals).collect();
        // Terminals and chassis first, so that they bear the same numbers whatever is lifted or unplugged.
        let chassis = network.add_node();
        let middles = network.nodes;
        if is_whole {
            network.nodes += circuit.wires().len();
        }
        let apart =
            |id: TerminalId, part: PartId| inputs.unplugged.contains(&part) || inputs.altered.pins_out.contains(&id);
        let touch = circuit
            .terminals_with_ids()
            .zip(&own)
            .map(|((id, t), own)| if apart(id, t.part) { network.add_node() } else { *own })
            .collect();
        let loose = inputs.lifted.iter().map(|end| (*end, network.add_node())).collect();
        let poles = circuit.battery().map(|(id, _)| (circuit.terminal_at(id, 0), circuit.terminal_at(id, 1)));
        network.reference = poles.map(|(_, minus)| minus.index());
        let supply = poles.map(|(plus, _)| plus.index());
        let elements = Vec::with_capacity(room);
        let (diodes, movers) = (Vec::new(), Vec::new());
        let done = Assembly { network, elements, diodes, movers, touch, own, loose, chassis, supply };
        Self { circuit, inputs, memory, is_whole, middles, done }
    }

    fn built(mut self) -> Assembly {
        for (id, _) in self.circuit.parts_with_ids() {
            self.add_part(id, self.inputs.kind(self.circuit, id));
        }
        self.add_wires();
        self.add_leads_and_ties();
        self.done
    }

    fn add(&mut self, element: Element, from: usize, to: usize, ohms: f64) {
        self.done.network.branches.push(Branch::resistor(from, to, ohms));
        self.done.elements.push(element);
    }

    fn at(&self, part: PartId, place: usize) -> usize {
        self.done.own[self.circuit.terminal_at(part, place).index()]
    }

    /// A fuse, contact or driver between the terminals at two places, if it joins.
    fn add_contact(&mut self, element: Element, part: (PartId, &Kind), (from, to): (usize, usize), ohms: f64) {
        let place = from.max(to);
        if self.is_whole {
            self.done.movers.push(Mover { branch: self.done.elements.len(), part: part.0, place });
        }
        if self.is_whole || joins_now(self.inputs, self.memory, part, place) {
            self.add(element, self.at(part.0, from), self.at(part.0, to), ohms);
        }
    }

    fn add_part(&mut self, id: PartId, kind: &Kind) {
        let part = (id, kind);
        let through = Element::Through(id);
        match kind {
            Kind::Battery(battery) => {
                let volts = self.inputs.altered.battery_volts.get(&id).copied().unwrap_or(battery.volts);
                let (from, to) = (self.at(id, 1), self.at(id, 0));
                self.done.network.branches.push(Branch { from, to, ohms: battery.internal_ohms, emf: volts });
                self.done.elements.push(through);
            }
            Kind::Fuse(fuse) => self.add_contact(through, part, (0, 1), fuse.resistance()),
            Kind::KeySwitch(key) => self.add_contact(through, part, (0, 1), key.contact_ohms),
            Kind::HandSwitch(switch) => self.add_contact(through, part, (0, 1), switch.contact_ohms),
            Kind::SelectorSwitch(switch) => {
                for place in 0..switch.positions.len() {
                    self.add_contact(through, part, (0, place + 1), switch.contact_ohms);
                }
            }
            Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
                self.add_contact(through, part, (0, 1), sensor.contact_ohms);
            }
            Kind::Relay(relay) => {
                self.add_coil(id, (1, 0), relay.coil_ohms, relay.suppressor.as_ref());
                for place in [MAKE, BREAK] {
                    self.add_contact(Element::Contact(id), part, (2, place), relay.contact_ohms);
                }
            }
            Kind::AirValve(valve) => self.add_coil(id, (0, 1), valve.coil_ohms, valve.suppressor.as_ref()),
            Kind::Diode(diode) => {
                let reversed = self.inputs.altered.reversed.contains(&id);
                let (a, k) = if reversed { (1, 0) } else { (0, 1) };
                self.add_diode(Element::Through(id), self.at(id, a), self.at(id, k), diode.drop_volts);
            }
            Kind::Resistor(load) | Kind::Lamp(load) => {
                self.add(Element::Through(id), self.at(id, 0), self.at(id, 1), load.ohms);
            }
            Kind::Module(module) => {
                self.add(Element::OwnDraw(id), self.at(id, 0), self.at(id, 1), module.supply_ohms);
                let driver = match module.side {
                    Side::Low => (2, 1),
                    Side::High => (0, 2),
                };
                self.add_contact(Element::Contact(id), part, driver, module.on_ohms);
            }
            Kind::Timer(timer) => {
                self.add(Element::OwnDraw(id), self.at(id, 0), self.at(id, 1), timer.supply_ohms);
                self.add_contact(Element::Contact(id), part, (0, 3), timer.contact_ohms);
            }
            Kind::Connector(connector) => {
                for pin in 0..connector.pins {
                    let place = 2 * pin as usize;
                    self.add(Element::Pin(id, pin), self.at(id, place), self.at(id, place + 1), connector.pin_ohms);
                }
            }
            Kind::Splice(_) => {}
            Kind::Ground(ground) => self.add(Element::Through(id), self.at(id, 0), self.done.chassis, ground.ohms),
        }
    }

    /// A coil from the terminal at place `enters` to that at `leaves`, with what is fitted across it.
    fn add_coil(
        &mut self,
        id: PartId,
        (enters, leaves): (usize, usize),
        coil_ohms: f64,
        suppressor: Option<&Suppressor>,
    ) {
        let (from, to) = (self.at(id, enters), self.at(id, leaves));
        if !self.inputs.altered.coil_open.contains(&id) {
            let ohms =
                self.inputs.altered.coil_ohms.get(&id).copied().unwrap_or(coil_ohms) * self.inputs.coil_copper(id);
            self.add(Element::Coil(id), from, to, ohms);
        }
        match suppressor {
            Some(Suppressor::Resistor(ohms)) => self.add(Element::Suppressor(id), from, to, *ohms),
            Some(Suppressor::Diode { cathode }) => {
                let at_enters = self.circuit.terminal(self.circuit.terminal_at(id, enters)).name == *cathode;
                let (anode, cathode) = if at_enters { (to, from) } else { (from, to) };
                self.add_diode(Element::Suppressor(id), anode, cathode, crate::circuit::part::defaults::DIODE_VOLTS);
            }
            None => {}
        }
    }

    fn add_diode(&mut self, element: Element, anode: usize, cathode: usize, drop_volts: f64) {
        self.done.diodes.push(DiodeSite { anode, cathode, drop_volts, element });
    }

    fn node_of_end(&self, end: WireEnd, terminal: TerminalId) -> usize {
        self.done.loose.get(&end).copied().unwrap_or(self.done.touch[terminal.index()])
    }

    fn add_wires(&mut self) {
        let touching: BTreeSet<WireId> = self
            .inputs
            .altered
            .ties
            .iter()
            .flat_map(|tie| match tie {
                Tie::Wires(a, b) => vec![*a, *b],
                Tie::ToChassis(..) | Tie::ToSupply(..) | Tie::InsideToChassis(..) => Vec::new(),
            })
            .collect();
        let mut middles = BTreeMap::new();
        for (id, wire) in self.circuit.wires_with_ids() {
            let from = self.node_of_end(WireEnd { wire: id, end: End::From }, wire.from);
            let to = self.node_of_end(WireEnd { wire: id, end: End::To }, wire.to);
            let added = self.inputs.altered.added_ohms.get(&id).copied().unwrap_or(0.0);
            let own = wire.ohms(self.inputs.conditions.ambient_c);
            let ohms = own + added;
            let cut = self.inputs.altered.cut.contains(&id);
            let is_touching = touching.contains(&id);
            if is_touching || self.is_whole {
                let middle = if self.is_whole { self.middles + id.index() } else { self.done.network.add_node() };
                middles.insert(id, middle);
                // Where nothing touches it half way, it is all one where its ohms are.
                let far = if is_touching { ohms } else { own } / 2.0;
                if !cut {
                    self.add(Element::Wire(id), from, middle, ohms - far);
                }
                self.add(Element::FarHalf(id), middle, to, far);
            } else if !cut {
                self.add(Element::Wire(id), from, to, ohms);
            }
        }
        for (place, tie) in self.inputs.altered.ties.iter().enumerate() {
            if let Tie::Wires(a, b) = tie {
                self.add(Element::Tie(place), middles[a], middles[b], 0.0);
            }
        }
    }

    fn add_leads_and_ties(&mut self) {
        for lead in &self.inputs.leads {
            if !self.memory.blown_leads.contains(&lead.number) {
                let (from, to) = (self.done.node_at(lead.a), self.done.node_at(lead.b));
                self.done.network.branches.push(Branch { from, to, ohms: lead.ohms, emf: 0.0 - lead.source_volts });
                self.done.elements.push(Element::Lead(lead.number));
            }
        }
        for (place, tie) in self.inputs.altered.ties.iter().enumerate() {
            match tie {
                Tie::ToChassis(point, ohms) => {
                    self.add(Element::Tie(place), self.done.node_at(*point), self.done.chassis, *ohms);
                }
                Tie::ToSupply(point, ohms) => {
                    if let Some(supply) = self.done.supply {
                        self.add(Element::Tie(place), supply, self.done.node_at(*point), *ohms);
                    }
                }
                Tie::InsideToChassis(terminal, ohms) => {
                    let inside = self.done.own[terminal.index()];
                    self.add(Element::Tie(place), inside, self.done.chassis, *ohms);
                }
                Tie::Wires(..) => {}
            }
        }
    }
}

/// Whether a branch of this kind limits current to what its part is meant to carry: a coil, a load, a module's own
/// draw. Everything else is a hard path.
pub fn is_load(circuit: &Circuit, element: Element) -> bool {
    match element {
        Element::Coil(_) | Element::Suppressor(_) | Element::OwnDraw(_) => true,
        Element::Through(id) => matches!(circuit.part(id).kind, Kind::Resistor(_) | Kind::Lamp(_) | Kind::Battery(_)),
        Element::Wire(_)
        | Element::FarHalf(_)
        | Element::Contact(_)
        | Element::Pin(..)
        | Element::Lead(_)
        | Element::Tie(_) => false,
    }
}

/// What a sensor feels once its drift is taken off: the set points stay as written.
pub fn felt_with_drift(inputs: &Inputs, part: PartId, quantity: Quantity) -> f64 {
    inputs.conditions.felt(quantity) - inputs.altered.drift.get(&part).copied().unwrap_or(0.0)
}
