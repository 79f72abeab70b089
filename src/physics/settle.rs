//! From circuit, inputs and memory to rest: contacts, coils, modules and fuses moved until nothing moves any more.
//!
//! Rounds are synchronous: the network is solved with everything where it stands, then all coils, modules and timers
//! look at it at once and take their next state. A state seen before means the circuit chatters; the parts that
//! change on the way are named. Fuses are slower than contacts: only at rest is an overloaded one opened, the most
//! overloaded first, and the circuit settled again. What moves when is told by [`moves`](super::moves); a state may come
//! from a solution of its own or from [`updates`](super::updates) of one. Why things stand as they do is left to the study.

use std::collections::BTreeMap;

use crate::circuit::part::{Quantity, SetPoint};
use crate::circuit::{Circuit, Contact, Kind, PartId};

use super::air::Paths;
use super::clutch::{ClutchReading, Model};
use super::electric::Assembly;
use super::electric::assemble::{Element, armature_over, contact_now, felt_with_drift};
use super::electric::diodes::{Decided, Known, solve_from};
use super::inputs::{Conditions, Inputs, Touch};
use super::limits::{FED_SHARE, LEVEL_SLACK, SETTLE_ROUNDS, TIMER_WORKS_FROM};
use super::moves::{Looked, next_memory, overloaded, passes};
use super::state::{CoilReading, ContactReading, FuseAt, Memory, Opened, Outcome, PartMemory, Settling, ValveReading};

/// Settles `circuit` under `inputs`, starting from what `memory` remembers. Where the same circuit is settled often, an
/// [`Engine`](super::engine::Engine) does it sooner.
pub fn settle(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Outcome {
    rest(circuit, inputs, memory, Fuses::Open, &mut Anew(&mut known(circuit))).into_outcome(circuit, inputs)
}

/// Settles with every fuse holding, however much it carries: what the circuit does in the time a fuse takes to open.
pub fn settle_before_fuses(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Outcome {
    rest(circuit, inputs, memory, Fuses::Hold, &mut Anew(&mut known(circuit))).into_outcome(circuit, inputs)
}

/// Whether overloaded fuses open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fuses {
    /// However much they carry, they hold.
    Hold,
    /// At rest, the most overloaded opens.
    Open,
}

/// What may be known of a circuit before it is settled for the first time.
pub(super) fn known(circuit: &Circuit) -> Known {
    let contacts = contacts(circuit, &Inputs::default(), &Memory::default());
    Known::of(Assembly::orders(circuit, contacts.into_iter().map(|contact| contact.joins)))
}

/// Where the solved states of a circuit come from.
pub(super) trait Source {
    /// One solved state.
    type State: Looked;

    /// The state with everything where `memory` has it.
    fn state(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Self::State;

    /// The same as exactly as it can be had.
    fn exactly(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Self::State;
}

/// Every state solved by itself.
pub(super) struct Anew<'k>(pub(super) &'k mut Known);

impl Source for Anew<'_> {
    type State = Electric;

    fn state(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Electric {
        Electric::of(circuit, inputs, memory, self.0)
    }

    fn exactly(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Electric {
        self.state(circuit, inputs, memory)
    }
}

/// What a rule says of a state, which is solved more exactly where that is close.
fn asked<S: Source, R>(
    source: &mut S,
    circuit: &Circuit,
    inputs: &Inputs,
    memory: &Memory,
    state: S::State,
    rule: impl Fn(&S::State, &Circuit, &Inputs, &Memory) -> R,
) -> (S::State, R) {
    let said = rule(&state, circuit, inputs, memory);
    if !state.is_doubtful() {
        return (state, said);
    }
    let state = source.exactly(circuit, inputs, memory);
    let said = rule(&state, circuit, inputs, memory);
    (state, said)
}

/// A circuit that came to rest, or never will.
pub(super) struct Rest<S> {
    pub(super) memory: Memory,
    pub(super) settling: Settling,
    pub(super) opened: Vec<Opened>,
    pub(super) state: S,
}

/// Settles a circuit, starting from what `memory` remembers.
pub(super) fn rest<S: Source>(
    circuit: &Circuit,
    inputs: &Inputs,
    memory: &Memory,
    fuses: Fuses,
    source: &mut S,
) -> Rest<S::State> {
    let mut memory = felt(circuit, inputs, memory);
    let mut opened = Vec::new();
    loop {
        let (settling, mut state) = come_to_rest(circuit, inputs, &mut memory, source);
        let mut next = None;
        if settling == Settling::Settled && fuses == Fuses::Open {
            (state, next) = asked(source, circuit, inputs, &memory, state, overloaded);
        }
        let Some(fuse) = next else { return Rest { memory, settling, opened, state } };
        match fuse.at {
            FuseAt::Part(id) => memory.parts[id.index()].blown = true,
            FuseAt::Lead(number) => {
                memory.blown_leads.insert(number);
            }
        }
        opened.push(fuse);
    }
}

/// Every whole fuse with what it carries over its rating.
pub fn fuse_loads(circuit: &Circuit, inputs: &Inputs, outcome: &Outcome) -> Vec<(FuseAt, f64)> {
    let parts = circuit.parts_with_ids().filter_map(|(id, _)| match inputs.kind(circuit, id) {
        Kind::Fuse(fuse) => Some((FuseAt::Part(id), outcome.part_amps[id.index()].abs() / fuse.amps)),
        _ => None,
    });
    let leads = inputs.leads.iter().filter_map(|lead| {
        let amps = outcome.lead_amps.get(&lead.number)?.abs();
        Some((FuseAt::Lead(lead.number), amps / lead.fuse_amps?))
    });
    parts.chain(leads).collect()
}

/// Whether a timer's `in` is fed.
pub fn timer_fed(circuit: &Circuit, outcome: &Outcome, timer: PartId) -> bool {
    let volts = |place: usize| outcome.part_volts[circuit.terminal_at(timer, place).index()];
    let across = |place: usize| Some(volts(place)? - volts(1)?);
    let supply = across(0).unwrap_or(0.0);
    supply >= TIMER_WORKS_FROM && across(2).is_some_and(|v| v >= FED_SHARE * supply)
}

/// What is remembered once sensors and modules have felt the conditions.
pub fn felt(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Memory {
    let mut memory = memory.clone();
    memory.parts.resize(circuit.parts().len(), PartMemory::default());
    feel(circuit, inputs, &mut memory);
    memory
}

/// The state as `memory` has it, solved once with nothing allowed to move.
pub fn hold_still(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Outcome {
    let state = Electric::of(circuit, inputs, memory, &mut Known::default());
    let rest = Rest { memory: memory.clone(), settling: Settling::Settled, opened: Vec::new(), state };
    rest.into_outcome(circuit, inputs)
}

/// Lets sensors and modules feel the conditions. Nothing electric bears on this.
fn feel(circuit: &Circuit, inputs: &Inputs, memory: &mut Memory) {
    for (id, _) in circuit.parts_with_ids() {
        let felt = |quantity: Quantity| felt_with_drift(inputs, id, quantity);
        let remembered = &mut memory.parts[id.index()];
        let kind = inputs.kind(circuit, id);
        if let Some(sensor) = kind.sensor() {
            remembered.acted = acts(&sensor.set_point(), felt(sensor.senses), remembered.acted);
        } else if let Kind::Module(module) = kind {
            for (bit, point) in module.on_when.set_points().iter().enumerate().take(64) {
                let acted = acts(point, felt(point.senses), remembered.points >> bit & 1 == 1);
                remembered.points = remembered.points & !(1 << bit) | u64::from(acted) << bit;
            }
        }
    }
}

fn acts(point: &SetPoint, felt: f64, acted: bool) -> bool {
    let (acts, resets) = (point.acts.value(), point.resets.value());
    // 225 °F less a drift of 20 °F is 205 °F, whatever is lost on the way through Celsius.
    let (over, under) = (felt + LEVEL_SLACK, felt - LEVEL_SLACK);
    let (past_acts, past_resets) =
        if point.rising { (over >= acts, under <= resets) } else { (under <= acts, over >= resets) };
    past_acts || acted && !past_resets
}

/// Rounds until nothing changes, a state comes back, or the rounds are used up.
fn come_to_rest<S: Source>(
    circuit: &Circuit,
    inputs: &Inputs,
    memory: &mut Memory,
    source: &mut S,
) -> (Settling, S::State) {
    let mut seen: Vec<Memory> = Vec::new();
    loop {
        let state = source.state(circuit, inputs, memory);
        let (state, next) = asked(source, circuit, inputs, memory, state, next_memory);
        if next == *memory {
            return (Settling::Settled, state);
        }
        if seen.len() == SETTLE_ROUNDS {
            return (Settling::GaveUp { parts: differing(&[&*memory, &next]) }, state);
        }
        seen.push(std::mem::replace(memory, next));
        if let Some(first) = seen.iter().position(|before| before == memory) {
            let cycle: Vec<&Memory> = seen[first..].iter().collect();
            let settling = Settling::Chattering { parts: differing(&cycle), period: cycle.len() };
            let state = source.state(circuit, inputs, memory);
            return (settling, state);
        }
    }
}

/// Parts that are not the same in all of these memories.
fn differing(memories: &[&Memory]) -> Vec<PartId> {
    let Some((first, others)) = memories.split_first() else { return Vec::new() };
    (0..first.parts.len())
        .filter(|i| others.iter().any(|m| m.parts[*i] != first.parts[*i]))
        .map(|i| PartId(u32::try_from(i).expect("parts are numbered in 32 bits")))
        .collect()
}

/// What each part of a circuit carries.
#[derive(Clone, Copy, Default)]
struct PartAmps {
    through: f64,
    contact: f64,
    coil: f64,
}

/// Amps by what carries them, as far as anybody asks.
struct Currents {
    wires: Vec<f64>,
    parts: Vec<PartAmps>,
    leads: Vec<(u32, f64)>,
}

impl Currents {
    fn put(&mut self, element: Element, amps: f64) {
        match element {
            Element::Wire(id) => self.wires[id.index()] = amps,
            Element::Through(id) => self.parts[id.index()].through = amps,
            Element::Contact(id) => self.parts[id.index()].contact = amps,
            Element::Coil(id) => self.parts[id.index()].coil = amps,
            Element::Lead(number) => self.leads.push((number, amps)),
            Element::FarHalf(_) | Element::Suppressor(_) | Element::OwnDraw(_) | Element::Pin(..) | Element::Tie(_) => {
            }
        }
    }

    fn of(&self, element: Element) -> f64 {
        match element {
            Element::Wire(id) => self.wires[id.index()],
            Element::Through(id) => self.parts[id.index()].through,
            Element::Contact(id) => self.parts[id.index()].contact,
            Element::Coil(id) => self.parts[id.index()].coil,
            Element::Lead(number) => self.leads.iter().find(|(n, _)| *n == number).map_or(0.0, |(_, amps)| *amps),
            Element::FarHalf(_) | Element::Suppressor(_) | Element::OwnDraw(_) | Element::Pin(..) | Element::Tie(_) => {
                0.0
            }
        }
    }
}

/// One solved state, with its currents found by what carries them.
pub(super) struct Electric {
    assembly: Assembly,
    decided: Decided,
    amps: Currents,
}

impl Electric {
    pub(super) fn of(circuit: &Circuit, inputs: &Inputs, memory: &Memory, known: &mut Known) -> Self {
        let assembly = Assembly::of(circuit, inputs, memory);
        let decided = solve_from(&assembly, known);
        let currents = &decided.solution.amps;
        let mut amps = Currents {
            wires: vec![0.0; circuit.wires().len()],
            parts: vec![PartAmps::default(); circuit.parts().len()],
            leads: Vec::new(),
        };
        assembly.elements.iter().zip(currents).for_each(|(element, current)| amps.put(*element, *current));
        // A reversed diode's current is counted from its first terminal like any other part's.
        let of_diodes = assembly.diodes.iter().zip(&decided.branch);
        of_diodes.for_each(|(diode, branch)| amps.put(diode.element, branch.map_or(0.0, |b| currents[b])));
        Self { assembly, decided, amps }
    }

    fn coil_reading(
        &self,
        circuit: &Circuit,
        inputs: &Inputs,
        id: PartId,
        places: (usize, usize),
        volts: (f64, f64),
        energised: bool,
    ) -> CoilReading {
        let hot = inputs.coil_copper(id);
        let amps = self.amps(Element::Coil(id));
        // Both ends of a whole winding that floats stand at the same unknown level.
        let whole = !inputs.altered.coil_open.contains(&id);
        CoilReading {
            volts: self.across(circuit, id, places).or((whole && amps == 0.0).then_some(0.0)),
            amps,
            energised,
            pulls_in_now: volts.0 * hot,
            drops_out_now: volts.1 * hot,
        }
    }

    fn coils(&self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> BTreeMap<PartId, CoilReading> {
        circuit
            .parts_with_ids()
            .filter_map(|(id, _)| {
                let (places, volts) = match inputs.kind(circuit, id) {
                    Kind::Relay(relay) => ((1, 0), (relay.pulls_in, relay.drops_out)),
                    Kind::AirValve(valve) => ((0, 1), (valve.pulls_in, valve.drops_out)),
                    _ => return None,
                };
                Some((id, self.coil_reading(circuit, inputs, id, places, volts, memory.of(id).on)))
            })
            .collect()
    }
}

impl Looked for Electric {
    fn amps(&self, element: Element) -> f64 {
        self.amps.of(element)
    }

    fn own(&self, circuit: &Circuit, part: PartId, place: usize) -> Option<f64> {
        self.decided.solution.volts[self.assembly.own[circuit.terminal_at(part, place).index()]]
    }

    fn volts_at(&self, touch: Touch) -> Option<f64> {
        self.decided.solution.volts[self.assembly.node_at(touch)]
    }
}

/// Where the valve that feeds the clutch stands, and in what surroundings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Posture {
    /// Whether it passes air, and whether the clutch it shuts in has had some; none where no valve feeds a clutch.
    valve: Option<(bool, bool)>,
    air_kpa: f64,
    engine_rpm: f64,
    bolted: bool,
}

/// What the clutch does when the air has followed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Driven {
    /// Pressure at the supply gauge in kPa (gauge).
    pub(super) supply_kpa: f64,
    pub(super) chamber_kpa: Option<f64>,
    pub(super) clutch: Option<ClutchReading>,
}

impl Driven {
    /// What follows in a circuit from a posture.
    pub(super) fn from(circuit: &Circuit, inputs: &Inputs, posture: Posture) -> Self {
        let supply = inputs.supply_kpa();
        let Some((passing, acted)) = posture.valve else {
            return Self { supply_kpa: supply, chamber_kpa: None, clutch: None };
        };
        let paths = Paths::of(circuit, &inputs.altered);
        let chamber = paths.steady_chamber_kpa(passing, acted, supply);
        let supply_kpa = paths.steady_supply_kpa(passing, chamber, supply);
        let model = Model::of(circuit, &inputs.altered);
        let clutch = Some(model.read(chamber, posture.engine_rpm).bolted_if(posture.bolted));
        Self { supply_kpa, chamber_kpa: Some(chamber), clutch }
    }
}

impl<S> Rest<S> {
    /// Where the valves stand.
    pub(super) fn valves(&self, circuit: &Circuit, inputs: &Inputs) -> Vec<ValveReading> {
        let reading = |(part, _)| match inputs.kind(circuit, part) {
            Kind::AirValve(valve) => {
                Some(ValveReading { part, passing: passes(circuit, inputs, &self.memory, (part, valve.rest)) })
            }
            _ => None,
        };
        circuit.parts_with_ids().filter_map(reading).collect()
    }

    /// What air and clutch follow from, beside what is altered.
    pub(super) fn posture(&self, circuit: &Circuit, inputs: &Inputs, valves: &[ValveReading]) -> Posture {
        let valve = circuit.clutch_valve().and_then(|(id, _)| {
            let valve = valves.iter().find(|v| v.part == id)?;
            Some((valve.passing, self.memory.of(id).acted))
        });
        let Conditions { air_kpa, engine_rpm, bolted, .. } = inputs.conditions;
        Posture { valve, air_kpa, engine_rpm, bolted }
    }
}

impl Rest<Electric> {
    /// Every reading.
    pub(super) fn into_outcome(self, circuit: &Circuit, inputs: &Inputs) -> Outcome {
        let valves = self.valves(circuit, inputs);
        let posture = self.posture(circuit, inputs, &valves);
        let Driven { supply_kpa, chamber_kpa, clutch } = Driven::from(circuit, inputs, posture);
        let Self { memory, settling, opened, state } = self;
        let volts = &state.decided.solution.volts;
        Outcome {
            settling,
            volts: state.assembly.touch.iter().map(|node| volts[*node]).collect(),
            part_volts: state.assembly.own.iter().map(|node| volts[*node]).collect(),
            loose_volts: state.assembly.loose.iter().map(|(end, node)| (*end, volts[*node])).collect(),
            wire_amps: circuit.wires_with_ids().map(|(id, _)| state.amps(Element::Wire(id))).collect(),
            lead_amps: inputs.leads.iter().map(|l| (l.number, state.amps(Element::Lead(l.number)))).collect(),
            part_amps: circuit
                .parts_with_ids()
                .map(|(id, _)| state.amps(Element::Through(id)) + state.amps(Element::Contact(id)))
                .collect(),
            contacts: contacts(circuit, inputs, &memory),
            coils: state.coils(circuit, inputs, &memory),
            valves,
            supply_kpa,
            chamber_kpa,
            clutch,
            opened,
            memory,
        }
    }
}

/// Every contact and driver with where it stands.
fn contacts(circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Vec<ContactReading> {
    let mut readings = Vec::new();
    for (part, _) in circuit.parts_with_ids() {
        let stuck = inputs.altered.stuck.get(&part).copied();
        let joins = |a: usize, b: usize| [circuit.terminal_at(part, a), circuit.terminal_at(part, b)];
        let single = |rest: Contact, moved: bool, joins| ContactReading {
            part,
            terminal: None,
            position: contact_now(rest, moved, stuck),
            rest,
            joins,
        };
        match inputs.kind(circuit, part) {
            Kind::KeySwitch(_) => readings.push(single(Contact::Open, inputs.conditions.key_on, joins(0, 1))),
            Kind::HandSwitch(switch) => {
                readings.push(single(switch.rest, inputs.turned.contains_key(&part), joins(0, 1)));
            }
            Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => {
                readings.push(single(s.rest, memory.of(part).acted, joins(0, 1)));
            }
            Kind::Timer(_) => readings.push(single(Contact::Open, memory.of(part).on, joins(0, 3))),
            Kind::Module(module) => {
                let (a, b) = match module.side {
                    crate::circuit::part::Side::Low => (2, 1),
                    crate::circuit::part::Side::High => (0, 2),
                };
                readings.push(single(Contact::Open, memory.of(part).on, joins(a, b)));
            }
            Kind::SelectorSwitch(switch) => {
                let now = inputs.turned.get(&part).copied().unwrap_or(switch.rest_position());
                let whole = stuck != Some(Contact::Open);
                for place in 0..switch.positions.len() {
                    readings.push(ContactReading {
                        part,
                        terminal: Some(circuit.terminal_at(part, place + 1)),
                        position: closed_if(whole && place == now),
                        rest: closed_if(place == switch.rest_position()),
                        joins: joins(0, place + 1),
                    });
                }
            }
            Kind::Relay(_) => {
                let over = armature_over(inputs, memory, part);
                for (place, makes) in [(3, true), (4, false)] {
                    readings.push(ContactReading {
                        part,
                        terminal: Some(circuit.terminal_at(part, place)),
                        position: closed_if(over == makes),
                        rest: closed_if(!makes),
                        joins: joins(2, place),
                    });
                }
            }
            Kind::Battery(_)
            | Kind::Fuse(_)
            | Kind::AirValve(_)
            | Kind::Diode(_)
            | Kind::Resistor(_)
            | Kind::Lamp(_)
            | Kind::Connector(_)
            | Kind::Splice(_)
            | Kind::Ground(_) => {}
        }
    }
    readings
}

fn closed_if(closed: bool) -> Contact {
    if closed { Contact::Closed } else { Contact::Open }
}
