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

/// A network with the meaning of its nodes and branches.
#[derive(Clone, Debug)]
pub struct Assembly {
    /// Everything but the diodes.
    pub network: Network,
    /// What each branch stands for.
    pub elements: Vec<Element>,
    /// The diodes.
    pub diodes: Vec<DiodeSite>,
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
        let mut builder = Builder::new(circuit, inputs, memory);
        for (id, _) in circuit.parts_with_ids() {
            builder.add_part(id, inputs.kind(circuit, id));
        }
        builder.add_wires();
        builder.add_leads_and_ties();
        builder.done
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

struct Builder<'a> {
    circuit: &'a Circuit,
    inputs: &'a Inputs,
    memory: &'a Memory,
    done: Assembly,
}

impl<'a> Builder<'a> {
    fn new(circuit: &'a Circuit, inputs: &'a Inputs, memory: &'a Memory) -> Self {
        let terminals = circuit.terminals().len();
        let mut network = Network { nodes: terminals, branches: Vec::new(), reference: None };
        let own: Vec<usize> = (0..terminals).collect();
        // Terminals and chassis first, so that they bear the same numbers whatever is lifted or unplugged.
        let chassis = network.add_node();
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
        let done = Assembly { network, elements: Vec::new(), diodes: Vec::new(), touch, own, loose, chassis, supply };
        Self { circuit, inputs, memory, done }
    }

    fn add(&mut self, element: Element, from: usize, to: usize, ohms: f64) {
        self.done.network.branches.push(Branch::resistor(from, to, ohms));
        self.done.elements.push(element);
    }

    fn at(&self, part: PartId, place: usize) -> usize {
        self.done.own[self.circuit.terminal_at(part, place).index()]
    }

    /// A contact between the part's first two terminals.
    fn add_contact(&mut self, id: PartId, position: Contact, ohms: f64) {
        if position == Contact::Closed {
            self.add(Element::Through(id), self.at(id, 0), self.at(id, 1), ohms);
        }
    }

    fn add_part(&mut self, id: PartId, kind: &Kind) {
        let stuck = self.inputs.altered.stuck.get(&id).copied();
        let remembered = self.memory.of(id);
        match kind {
            Kind::Battery(battery) => {
                let volts = self.inputs.altered.battery_volts.get(&id).copied().unwrap_or(battery.volts);
                let (from, to) = (self.at(id, 1), self.at(id, 0));
                self.done.network.branches.push(Branch { from, to, ohms: battery.internal_ohms, emf: volts });
                self.done.elements.push(Element::Through(id));
            }
            Kind::Fuse(fuse) => {
                if !self.memory.fuse_blown(self.inputs, id) {
                    self.add(Element::Through(id), self.at(id, 0), self.at(id, 1), fuse.resistance());
                }
            }
            Kind::KeySwitch(key) => {
                let position = contact_now(Contact::Open, self.inputs.conditions.key_on, stuck);
                self.add_contact(id, position, key.contact_ohms);
            }
            Kind::HandSwitch(switch) => {
                let moved = self.inputs.turned.contains_key(&id);
                self.add_contact(id, contact_now(switch.rest, moved, stuck), switch.contact_ohms);
            }
            Kind::SelectorSwitch(switch) => {
                let place = self.inputs.turned.get(&id).copied().unwrap_or(switch.rest_position());
                if stuck != Some(Contact::Open) {
                    self.add(Element::Through(id), self.at(id, 0), self.at(id, place + 1), switch.contact_ohms);
                }
            }
            Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
                self.add_contact(id, contact_now(sensor.rest, remembered.acted, stuck), sensor.contact_ohms);
            }
            Kind::Relay(relay) => {
                self.add_coil(id, (1, 0), relay.coil_ohms, relay.suppressor.as_ref());
                let place = if armature_over(self.inputs, self.memory, id) { 3 } else { 4 };
                self.add(Element::Contact(id), self.at(id, 2), self.at(id, place), relay.contact_ohms);
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
                if contact_now(Contact::Open, remembered.on, stuck) == Contact::Closed {
                    let (from, to) = match module.side {
                        Side::Low => (2, 1),
                        Side::High => (0, 2),
                    };
                    self.add(Element::Contact(id), self.at(id, from), self.at(id, to), module.on_ohms);
                }
            }
            Kind::Timer(timer) => {
                self.add(Element::OwnDraw(id), self.at(id, 0), self.at(id, 1), timer.supply_ohms);
                if contact_now(Contact::Open, remembered.on, stuck) == Contact::Closed {
                    self.add(Element::Contact(id), self.at(id, 0), self.at(id, 3), timer.contact_ohms);
                }
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
            let ohms = wire.ohms(self.inputs.conditions.ambient_c) + added;
            let cut = self.inputs.altered.cut.contains(&id);
            if touching.contains(&id) {
                let middle = self.done.network.add_node();
                middles.insert(id, middle);
                if !cut {
                    self.add(Element::Wire(id), from, middle, ohms / 2.0);
                }
                self.add(Element::FarHalf(id), middle, to, ohms / 2.0);
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
