//! What the clutch may be asked by, and the physics of one combination.
//!
//! Each input is moved by itself, which the world outside never does: two coolant switches with different set points
//! cannot be told by the coolant alone that one is hot and the other cold. So every sensor is made to feel a level of
//! its own, by drifting it until the conditions lie one band past its set point or one band short of its reset point;
//! its contact then moves by the physics' own rule. A module has one drift for all its set points, so these are
//! written into a copy of its demand instead, as `Always` where acted and `Never` where not. The engine is stopped,
//! or turns as the conditions say (at governed speed where they say stopped). All else is left to the physics.

use std::borrow::Cow;

use crate::bench::{Action, Bench};
use crate::circuit::part::{Demand, Quantity, SetPoint};
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::inputs::Inputs;
use crate::physics::limits::GOVERNED_RPM;
use crate::physics::settle::settle;
use crate::physics::state::Memory;
use crate::study::answer::Standing;
use crate::study::explain::standing;

/// Something the clutch may be asked by.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Its name: a part's tag; `A1.coolant` for one of a module's several set points, `A1.coolant2` where the module
    /// has another of the same quantity before it; `engine` for the engine (`engine.speed` beside a part of that tag).
    pub name: String,
    /// Its values by name: cold and hot, low and high, off and on (off: as it rests), the positions of a selector,
    /// stopped and running.
    pub values: Vec<String>,
    /// The value it has when it asks for nothing.
    pub rest: usize,
    /// What it senses, where it is a sensor or a module's set point.
    pub senses: Option<Quantity>,
    pub(in crate::study) source: Source,
}

impl Input {
    /// Whether its values are positions of a selector.
    pub fn is_selector(&self) -> bool {
        matches!(self.source, Source::Selector(_))
    }

    /// The value it has on a bench.
    pub(in crate::study) fn present(&self, bench: &Bench) -> usize {
        let (inputs, memory) = (bench.inputs(), &bench.outcome().memory);
        match self.source {
            Source::Sensor(id) => {
                let rising = bench.circuit().part(id).kind.sensor().is_some_and(|sensor| sensor.set_point().rising);
                usize::from(memory.of(id).acted == rising)
            }
            Source::Point { module, place, rising } => {
                let acted = memory.of(module).points.checked_shr(place as u32).unwrap_or(0) & 1 == 1;
                usize::from(acted == rising)
            }
            Source::Hand(id) => usize::from(inputs.turned.contains_key(&id)),
            Source::Selector(id) => inputs.turned.get(&id).copied().unwrap_or(self.rest),
            Source::Engine => usize::from(inputs.conditions.engine_rpm > 0.0),
        }
    }

    /// Whether it is the engine.
    pub fn is_engine(&self) -> bool {
        self.source == Source::Engine
    }
}

/// What an input moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::study) enum Source {
    /// A sensor's contact.
    Sensor(PartId),
    /// One of a module's set points, by its place in `Demand::set_points`, and whether it acts on a rise.
    Point { module: PartId, place: usize, rising: bool },
    /// A hand switch; one that springs back is held while it is on.
    Hand(PartId),
    /// A selector switch.
    Selector(PartId),
    /// The engine.
    Engine,
}

impl Source {
    /// Whether heat or pressure moves it, not a hand.
    pub(super) fn is_sensed(self) -> bool {
        matches!(self, Self::Sensor(_) | Self::Point { .. })
    }
}

/// Everything a row is settled from.
pub(super) struct World<'a> {
    pub(super) circuit: &'a Circuit,
    pub(super) inputs: Vec<Input>,
    base: &'a Inputs,
    memory: Memory,
}

impl<'a> World<'a> {
    pub(super) fn of(bench: &'a Bench) -> Self {
        let circuit = bench.circuit();
        // A press leaves no act behind, only what it sealed in; so the journal is asked, not what is still in place.
        let acted = bench.journal().any(|action| matches!(action, Action::Do(_)));
        let memory = if acted { bench.outcome().memory.clone() } else { Memory::fresh(circuit.parts().len()) };
        Self { circuit, inputs: all(circuit), base: bench.inputs(), memory }
    }

    /// The value of every input with nothing asking.
    pub(super) fn at_rest(&self) -> Vec<usize> {
        self.inputs.iter().map(|input| input.rest).collect()
    }

    /// What the clutch does with the inputs at these values.
    pub(super) fn standing(&self, values: &[usize]) -> Standing {
        self.standing_through(&[values], |_| {})
    }

    /// What it does after one combination has followed on another, with something more imposed on all of them.
    pub(super) fn standing_through(&self, steps: &[&[usize]], impose: impl Fn(&mut Inputs)) -> Standing {
        let mut memory = self.memory.clone();
        let mut last = Standing::None;
        for values in steps {
            let mut inputs = self.base.clone();
            for (input, value) in self.inputs.iter().zip(*values) {
                self.put(&mut inputs, input.source, *value);
            }
            impose(&mut inputs);
            let outcome = settle(&self.with_points(values), &inputs, &memory);
            last = standing(&outcome);
            memory = outcome.memory;
        }
        last
    }

    fn put(&self, inputs: &mut Inputs, source: Source, value: usize) {
        match source {
            Source::Sensor(id) => {
                if let Some(sensor) = self.circuit.part(id).kind.sensor() {
                    let wanted = level(&sensor.set_point(), value == 1);
                    inputs.altered.drift.insert(id, inputs.conditions.felt(sensor.senses) - wanted);
                }
            }
            // In the circuit, by `with_points`.
            Source::Point { .. } => {}
            Source::Hand(id) => {
                if value == 1 {
                    inputs.turned.insert(id, 1);
                } else {
                    inputs.turned.remove(&id);
                }
            }
            Source::Selector(id) => {
                inputs.turned.insert(id, value);
            }
            Source::Engine => {
                let running =
                    if inputs.conditions.engine_rpm > 0.0 { inputs.conditions.engine_rpm } else { GOVERNED_RPM };
                inputs.conditions.engine_rpm = if value == 0 { 0.0 } else { running };
            }
        }
    }

    /// The circuit with every module's set points standing as these values say.
    fn with_points(&self, values: &[usize]) -> Cow<'_, Circuit> {
        if !self.inputs.iter().any(|input| matches!(input.source, Source::Point { .. })) {
            return Cow::Borrowed(self.circuit);
        }
        let mut draft = self.circuit.draft();
        for (id, _) in self.circuit.parts_with_ids() {
            let Kind::Module(module) = &mut draft.parts[id.index()].kind else { continue };
            let mut acted = self.inputs.iter().zip(values).filter_map(|(input, value)| match input.source {
                Source::Point { module, rising, .. } if module == id => Some((*value == 1) == rising),
                Source::Point { .. } | Source::Sensor(_) | Source::Hand(_) | Source::Selector(_) | Source::Engine => {
                    None
                }
            });
            fix(&mut module.on_when, &mut acted);
        }
        Cow::Owned(Circuit::new(draft).expect("only demands differ from a circuit that could be made"))
    }
}

/// A level at which a set point certainly has acted, or certainly has not: one band beyond.
pub(in crate::study) fn level(point: &SetPoint, acted: bool) -> f64 {
    let (acts, resets) = (point.acts.value(), point.resets.value());
    let band = (acts - resets).abs().max(1.0);
    match acted == point.rising {
        true => acts.max(resets) + band,
        false => acts.min(resets) - band,
    }
}

/// Writes into a demand whether each of its set points has acted, in the order of `Demand::set_points`.
fn fix(demand: &mut Demand, acted: &mut impl Iterator<Item = bool>) {
    match demand {
        Demand::Above(..) | Demand::Below(..) => {
            *demand = if acted.next().unwrap_or(false) { Demand::Always } else { Demand::Never };
        }
        Demand::Any(list) | Demand::All(list) => list.iter_mut().for_each(|member| fix(member, acted)),
        Demand::Not(inner) => fix(inner, acted),
        Demand::EngineStopped | Demand::Fed | Demand::Always | Demand::Never => {}
    }
}

/// All inputs of a circuit.
pub(in crate::study) fn all(circuit: &Circuit) -> Vec<Input> {
    let mut found = Vec::new();
    for (id, part) in circuit.parts_with_ids() {
        match &part.kind {
            Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => {
                found.push(sensed(part.tag.clone(), s.senses, 0, Source::Sensor(id)));
            }
            Kind::Module(module) => found.extend(points(id, &part.tag, &module.on_when.set_points())),
            _ => {}
        }
    }
    for (id, part) in circuit.parts_with_ids() {
        match &part.kind {
            Kind::HandSwitch(_) => found.push(Input {
                name: part.tag.clone(),
                values: words(["off", "on"]),
                rest: 0,
                senses: None,
                source: Source::Hand(id),
            }),
            Kind::SelectorSwitch(switch) => found.push(Input {
                name: part.tag.clone(),
                values: switch.positions.clone(),
                rest: switch.rest_position(),
                senses: None,
                source: Source::Selector(id),
            }),
            _ => {}
        }
    }
    if circuit.parts().iter().any(|part| matches!(&part.kind, Kind::Module(m) if asks_engine(&m.on_when))) {
        let values = words(["stopped", "running"]);
        // A tag has no dot in it, so the second name is never a part's.
        let name = if circuit.part_named("engine").is_some() { "engine.speed" } else { "engine" };
        found.push(Input { name: name.to_owned(), values, rest: 1, senses: None, source: Source::Engine });
    }
    found
}

/// A module's set points.
fn points(module: PartId, tag: &str, points: &[SetPoint]) -> Vec<Input> {
    let named = |place: usize, point: &SetPoint| {
        let alike = points[..place].iter().filter(|p| p.senses == point.senses).count();
        match (points.len(), alike) {
            (1, _) => tag.to_owned(),
            (_, 0) => format!("{tag}.{}", short_name(point.senses)),
            (_, before) => format!("{tag}.{}{}", short_name(point.senses), before + 1),
        }
    };
    let input = |(place, point): (usize, &SetPoint)| {
        let source = Source::Point { module, place, rising: point.rising };
        sensed(named(place, point), point.senses, usize::from(!point.rising), source)
    };
    points.iter().enumerate().map(input).collect()
}

/// A quantity in a word, as the conditions are named.
fn short_name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Coolant => "coolant",
        Quantity::IntakeAir => "intake",
        Quantity::Oil => "oil",
        Quantity::Refrigerant => "refrigerant",
        Quantity::AirSupply => "air",
    }
}

fn sensed(name: String, senses: Quantity, rest: usize, source: Source) -> Input {
    let values = words(if senses.is_temperature() { ["cold", "hot"] } else { ["low", "high"] });
    Input { name, values, rest, senses: Some(senses), source }
}

fn words<const N: usize>(values: [&str; N]) -> Vec<String> {
    values.into_iter().map(str::to_owned).collect()
}

/// Whether a demand asks if the engine is stopped.
pub(in crate::study) fn asks_engine(demand: &Demand) -> bool {
    match demand {
        Demand::EngineStopped => true,
        Demand::Any(list) | Demand::All(list) => list.iter().any(asks_engine),
        Demand::Not(inner) => asks_engine(inner),
        Demand::Above(..) | Demand::Below(..) | Demand::Fed | Demand::Always | Demand::Never => false,
    }
}
