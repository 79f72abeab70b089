//! What moves next in a solved state: coils, modules and timers by what they see, then the fuse that opens.
//!
//! The one set of rules for it, whatever the state was solved by: [`Looked`] is all they see of it. Rounds and rest are
//! left to [`settle`](super::settle), which contacts and valves follow from memory to [`assemble`](super::electric::assemble)
//! and here.

use crate::circuit::part::{Demand, ValveRest};
use crate::circuit::{Circuit, Kind, PartId};

use super::electric::assemble::Element;
use super::inputs::{Inputs, Touch};
use super::limits::{CLOSE_LOAD, FED_SHARE, FUSE_OPENS_AT, SAME_LOAD, TIMER_WORKS_FROM};
use super::state::{FuseAt, Memory, Opened};

/// A solved state as coils, modules, timers, fuses and meters see it.
pub(super) trait Looked {
    /// Amps in a coil, a fuse or a lead.
    fn amps(&self, element: Element) -> f64;

    /// Volts of a part's own terminal, by its place; none where it floats.
    fn own(&self, circuit: &Circuit, part: PartId, place: usize) -> Option<f64>;

    /// Volts at a point; none where it floats.
    fn volts_at(&self, touch: Touch) -> Option<f64>;

    /// Whether a number has come to a limit.
    fn reaches(&self, number: f64, limit: f64) -> bool {
        number >= limit
    }

    /// Whether a number is beyond a limit.
    fn exceeds(&self, number: f64, limit: f64) -> bool {
        number > limit
    }

    /// Whether a number that was asked about is so near its limit that the state must be solved more exactly.
    fn is_doubtful(&self) -> bool {
        false
    }

    /// Volts from one of a part's terminals to another.
    fn across(&self, circuit: &Circuit, part: PartId, places: (usize, usize)) -> Option<f64> {
        Some(self.own(circuit, part, places.0)? - self.own(circuit, part, places.1)?)
    }
}

/// What every coil, module and timer does next, looking at a solved state.
pub(super) fn next_memory(state: &impl Looked, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Memory {
    let mut next = memory.clone();
    for (id, _) in circuit.parts_with_ids() {
        let remembered = memory.of(id);
        next.parts[id.index()].on = match inputs.kind(circuit, id) {
            Kind::Relay(relay) => {
                let volts = (relay.pulls_in, relay.drops_out);
                coil_holds(state, inputs, id, relay.coil_ohms, volts, remembered.on)
            }
            Kind::AirValve(valve) => {
                let volts = (valve.pulls_in, valve.drops_out);
                next.parts[id.index()].acted = inputs.altered.hoses_crossed
                    && (remembered.acted || passes(circuit, inputs, memory, (id, valve.rest)));
                coil_holds(state, inputs, id, valve.coil_ohms, volts, remembered.on)
            }
            Kind::Module(module) => {
                let supply = state.across(circuit, id, (0, 1)).unwrap_or(0.0);
                state.reaches(supply, module.works_from) && !inputs.altered.module_dead.contains(&id) && {
                    let is_fed = |v: f64| state.reaches(v, FED_SHARE * supply);
                    let fed = state.across(circuit, id, (3, 1)).is_some_and(is_fed);
                    wanted(&module.on_when, remembered.points, &mut 0, inputs, fed)
                }
            }
            Kind::Timer(_) => {
                let supply = state.across(circuit, id, (0, 1)).unwrap_or(0.0);
                let is_fed = |v: f64| state.reaches(v, FED_SHARE * supply);
                state.reaches(supply, TIMER_WORKS_FROM)
                    && (inputs.holding.contains(&id) || state.across(circuit, id, (2, 1)).is_some_and(is_fed))
            }
            Kind::Battery(_)
            | Kind::Fuse(_)
            | Kind::KeySwitch(_)
            | Kind::HandSwitch(_)
            | Kind::SelectorSwitch(_)
            | Kind::TemperatureSwitch(_)
            | Kind::PressureSwitch(_)
            | Kind::Diode(_)
            | Kind::Resistor(_)
            | Kind::Lamp(_)
            | Kind::Connector(_)
            | Kind::Splice(_)
            | Kind::Ground(_) => remembered.on,
        };
    }
    next
}

/// Whether an armature is in: it acts on current, pulling in at `pulls_in` and letting go at `drops_out` volts
/// of a 20 °C coil. A coil with shorted turns has turns left in proportion to its ohms, so the same volts of it
/// are the same pull.
fn coil_holds(state: &impl Looked, inputs: &Inputs, id: PartId, coil_ohms: f64, volts: (f64, f64), held: bool) -> bool {
    let left = inputs.altered.coil_ohms.get(&id).copied().unwrap_or(coil_ohms);
    let pull_volts = state.amps(Element::Coil(id)).abs() * left;
    state.reaches(pull_volts, volts.0) || held && state.exceeds(pull_volts, volts.1)
}

/// The fuse that opens next: the one at the largest multiple of its rating, if that is enough to open it.
pub(super) fn overloaded(state: &impl Looked, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Option<Opened> {
    let mut worst: Option<(f64, FuseAt, f64, f64)> = None;
    let mut second = 0.0_f64;
    let mut consider = |at: FuseAt, rating: f64, amps: f64| {
        let ratio = amps.abs() / rating;
        // Of fuses that carry the same for their rating, in one line, the circuit's own counts as the first.
        let is_worse = |(most, ..): (f64, FuseAt, f64, f64)| state.exceeds(ratio, most * (1.0 + SAME_LOAD));
        if state.reaches(ratio, FUSE_OPENS_AT) && worst.is_none_or(is_worse) {
            second = second.max(worst.map_or(0.0, |(most, ..)| most));
            worst = Some((ratio, at, rating, amps.abs()));
        } else {
            second = second.max(ratio);
        }
    };
    for (id, _) in circuit.parts_with_ids() {
        if let Kind::Fuse(fuse) = inputs.kind(circuit, id) {
            consider(FuseAt::Part(id), fuse.amps, state.amps(Element::Through(id)));
        }
    }
    for lead in &inputs.leads {
        if let Some(rating) = lead.fuse_amps {
            consider(FuseAt::Lead(lead.number), rating, state.amps(Element::Lead(lead.number)));
        }
    }
    worst.map(|(most, at, rating_amps, amps)| {
        let is_close = second >= most / CLOSE_LOAD && (second - most).abs() > most * SAME_LOAD;
        Opened { at, rating_amps, amps, is_close, before: memory.clone() }
    })
}

/// Whether a module wants its driver on. `bit` walks through the set points as `Demand::set_points` lists them.
fn wanted(demand: &Demand, points: u64, bit: &mut u32, inputs: &Inputs, fed: bool) -> bool {
    match demand {
        Demand::Above(..) | Demand::Below(..) => {
            let acted = points.checked_shr(*bit).unwrap_or(0) & 1 == 1;
            *bit += 1;
            acted
        }
        Demand::EngineStopped => inputs.conditions.engine_rpm == 0.0,
        Demand::Fed => fed,
        Demand::Any(list) => members(list, points, bit, inputs, fed).contains(&true),
        Demand::All(list) => !members(list, points, bit, inputs, fed).contains(&false),
        Demand::Not(inner) => !wanted(inner, points, bit, inputs, fed),
        Demand::Always => true,
        Demand::Never => false,
    }
}

/// What each member of a list wants. Every one is walked, so that `bit` stays in step.
fn members(list: &[Demand], points: u64, bit: &mut u32, inputs: &Inputs, fed: bool) -> Vec<bool> {
    list.iter().map(|d| wanted(d, points, bit, inputs, fed)).collect()
}

pub(super) fn passes(circuit: &Circuit, inputs: &Inputs, memory: &Memory, (valve, rest): (PartId, ValveRest)) -> bool {
    let at_rest = |rest: ValveRest| rest == ValveRest::Passing;
    let joins_supply_port = match inputs.altered.valve_stuck.get(&valve) {
        Some(stuck) => at_rest(*stuck),
        None => at_rest(rest) != (memory.of(valve).on != inputs.altered.swapped.contains(&valve)),
    };
    // With the two hoses changed over, supply comes in where air should go out, and the other way round.
    let feeds_clutch = circuit.clutch_valve().is_some_and(|(id, _)| id == valve);
    joins_supply_port != (inputs.altered.hoses_swapped && feeds_clutch)
}
