//! The states in which a fault is looked for: as the truck stands, everything that can ask, and what only a drifted
//! sensor or a forgetful relay shows.
//!
//! Inputs are those of the [logic table](crate::study::table), but each state is one that conditions and hands can
//! bring about: a module's set points are passed by what it feels, a switch by the condition where that suits all
//! that feel it, by itself (as in a pot of warm water) where it does not. Sensors stand clear beyond their set and
//! reset points even where these have drifted, so that a drift shows in the states made for it and in no other.
//!
//! Every state follows from another by one step, and the first is the truck as it stands, so that what a contact,
//! coil or fuse did on the way counts. Three kinds come after the first:
//!
//! - every combination of what can ask, those with the fewest steps first;
//! - for each switch and each way its set point may drift, a level half way between the set point and the drifted
//!   one. All else is as it stands, or (where the clutch would not follow the switch then) as in the first
//!   combination in which it does;
//! - what is left when a request has come and gone, where the healthy circuit remembers it.
//!
//! What the circuit does in them is found by [`cases`](super::cases).

use std::collections::HashMap;

use crate::bench::{Act, Bench, Fault, Refusal, Setting, set};
use crate::circuit::part::{Quantity, SensorSwitch, SetPoint};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::inputs::Inputs;
use crate::physics::limits::GOVERNED_RPM;
use crate::physics::settle::felt;
use crate::physics::state::{Memory, Outcome};
use crate::study::explain::standing;
use crate::study::table::inputs::{Input, Source, all, level};
use crate::study::table::{MOST_ROWS, values_of};
use crate::words::say;

use super::cases::Rig;
use super::universe;

/// What a state is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// The truck as it stands.
    Stands,
    /// Something asks, or several things.
    Asked,
    /// A switch is between its set point and a drifted one.
    Between,
    /// A request has come and gone.
    Left,
}

/// A sensor that is brought to a level by itself, because the condition that others feel is another.
#[derive(Clone, Debug, PartialEq)]
pub struct Alone {
    /// Its tag.
    pub tag: String,
    /// What it feels.
    pub level: Level,
    /// The same in the grammar: the drift that makes it feel that under the condition of the state.
    pub as_drift: Fault,
    part: PartId,
    by: f64,
}

/// One state.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// What it is for.
    pub purpose: Purpose,
    /// What is not as it stands, by name, and how it is then. Of a state that is left behind: what came and went.
    pub asks: Vec<(String, String)>,
    /// Of a state in which one switch is between two values: what it feels.
    pub between: Option<Level>,
    /// Conditions that bring it about, in order.
    pub settings: Vec<Setting>,
    /// Sensors that are brought to a level by themselves.
    pub alone: Vec<Alone>,
    /// Switches turned, in order, after the conditions.
    pub acts: Vec<Act>,
    /// Push switches held down meanwhile.
    pub held: Vec<String>,
    /// The state it follows from; the first follows from itself.
    pub(super) from: usize,
    /// The value of every input, but for a switch between two values.
    values: Vec<usize>,
    turned: Vec<(PartId, Option<usize>)>,
}

impl State {
    /// Its name: `as it stands`, `B1=hot and S2=on`, `B1 at 195 °F`, `after S4=on`.
    pub fn name(&self) -> String {
        let mark = if self.purpose == Purpose::Between { " at " } else { "=" };
        let asks: Vec<String> = self
            .asks
            .iter()
            .enumerate()
            .map(|(place, (name, value))| format!("{name}{}{value}", if place == 0 { mark } else { "=" }))
            .collect();
        match self.purpose {
            Purpose::Stands => "as it stands".to_owned(),
            Purpose::Asked | Purpose::Between => asks.join(" and "),
            Purpose::Left => format!("after {}", asks.join(" and ")),
        }
    }

    /// How many steps lead from the truck as it stands to this state.
    pub fn steps(&self) -> usize {
        self.settings.len() + self.alone.len() + self.acts.len() + self.held.len() + usize::from(self.is_left())
    }

    /// The state it follows from by one step, by its place; the first follows from itself.
    pub fn follows(&self) -> usize {
        self.from
    }

    fn is_left(&self) -> bool {
        self.purpose == Purpose::Left
    }

    /// The inputs of a truck as it stands, brought into this state.
    pub(super) fn inputs(&self, stands: &Inputs) -> Inputs {
        let mut inputs = stands.clone();
        self.bring(stands, &mut inputs);
        inputs
    }

    /// Brings inputs into this state that are those of a truck as it stands, or of the same brought into another state.
    pub(super) fn bring(&self, stands: &Inputs, inputs: &mut Inputs) {
        inputs.conditions = stands.conditions;
        inputs.turned.clone_from(&stands.turned);
        inputs.altered.drift.clone_from(&stands.altered.drift);
        self.settings.iter().for_each(|setting| set(&mut inputs.conditions, *setting));
        for alone in &self.alone {
            *inputs.altered.drift.entry(alone.part).or_default() += alone.by;
        }
        for (part, place) in &self.turned {
            match place {
                Some(place) => inputs.turned.insert(*part, *place),
                None => inputs.turned.remove(part),
            };
        }
    }
}

/// All states of a bench's circuit, healthy or with what is known to be wrong.
///
/// # Errors
/// More combinations than the logic table takes.
pub(super) fn all_states(bench: &Bench, rig: &Rig) -> Result<Vec<State>, Refusal> {
    let maker = Maker::of(bench);
    let mut states = maker.combinations()?;
    let outcomes = rig.outcomes(bench, &states);
    let mut more = maker.between(&states, &outcomes);
    more.extend(maker.left(rig, &states, &outcomes));
    states.extend(more);
    Ok(states)
}

/// What a quantity's sensors need to feel what a state wants them to feel.
struct Placed {
    setting: Option<Setting>,
    alone: Vec<Alone>,
}

struct Maker<'a> {
    circuit: &'a Circuit,
    inputs: Vec<Input>,
    /// Inputs that move together: those of one quantity; each other by itself.
    slots: Vec<Vec<usize>>,
    stands: Vec<usize>,
    imposed: &'a Inputs,
    memory: &'a Memory,
}

/// A switch that is to be at one level.
type Exact = Option<(usize, Level)>;

impl<'a> Maker<'a> {
    fn of(bench: &'a Bench) -> Self {
        let circuit = bench.circuit();
        let inputs = all(circuit);
        let mut slots: Vec<Vec<usize>> = Vec::new();
        for (place, input) in inputs.iter().enumerate() {
            let same = |slot: &&mut Vec<usize>| input.senses.is_some() && inputs[slot[0]].senses == input.senses;
            match slots.iter_mut().find(same) {
                Some(slot) => slot.push(place),
                None => slots.push(vec![place]),
            }
        }
        // Conditions first, then what a hand turns: the order in which a command line is obeyed.
        let by_hand = |slot: &Vec<usize>| matches!(inputs[slot[0]].source, Source::Hand(_) | Source::Selector(_));
        slots.sort_by_key(by_hand);
        let stands = inputs.iter().map(|input| input.present(bench)).collect();
        Self { circuit, slots, stands, inputs, imposed: bench.inputs(), memory: &bench.outcome().memory }
    }

    /// Every combination that can be brought about, the truck as it stands first, then by how many slots have moved.
    fn combinations(&self) -> Result<Vec<State>, Refusal> {
        let sizes: Vec<usize> = self.inputs.iter().map(|input| input.values.len()).collect();
        let count = sizes.iter().try_fold(1_usize, |n, size| n.checked_mul(*size).filter(|n| *n <= MOST_ROWS));
        let Some(count) = count else {
            return Err(Refusal::new(
                say!("faults-too-many", count = sizes.len(), most = MOST_ROWS),
                say!("faults-leave-some-out"),
            ));
        };
        let moved = |values: &Vec<usize>| self.slots.iter().filter(|slot| self.has_moved(slot, values)).count();
        let mut combinations: Vec<Vec<usize>> = (0..count).map(|row| values_of(&sizes, row)).collect();
        combinations.sort_by_key(moved);
        let mut place_of: HashMap<Vec<usize>, usize> = HashMap::new();
        let mut states: Vec<State> = Vec::new();
        for values in combinations {
            let Some(mut state) = self.state(&values, None) else { continue };
            state.from = place_of.get(&self.before(&values)).copied().unwrap_or(0);
            place_of.insert(values, states.len());
            states.push(state);
        }
        Ok(states)
    }

    fn has_moved(&self, slot: &[usize], values: &[usize]) -> bool {
        slot.iter().any(|input| values[*input] != self.stands[*input])
    }

    /// The combination a combination follows from: its last slot as it stands.
    fn before(&self, values: &[usize]) -> Vec<usize> {
        let mut values = values.to_vec();
        if let Some(slot) = self.slots.iter().rev().find(|slot| self.has_moved(slot, &values)) {
            slot.iter().for_each(|input| values[*input] = self.stands[*input]);
        }
        values
    }

    /// The state with these values; none where nothing can bring them about.
    fn state(&self, values: &[usize], exact: Exact) -> Option<State> {
        let mut state = State {
            purpose: if values == self.stands.as_slice() { Purpose::Stands } else { Purpose::Asked },
            asks: Vec::new(),
            between: None,
            settings: Vec::new(),
            alone: Vec::new(),
            acts: Vec::new(),
            held: Vec::new(),
            from: 0,
            values: values.to_vec(),
            turned: Vec::new(),
        };
        for slot in &self.slots {
            let within = exact.filter(|(input, _)| slot.contains(input));
            if !self.has_moved(slot, values) && within.is_none() {
                continue;
            }
            match self.inputs[slot[0]].senses {
                Some(quantity) => {
                    let placed = self.place(quantity, slot, values, within)?;
                    state.settings.extend(placed.setting);
                    state.alone.extend(placed.alone);
                }
                None => self.turn(slot[0], values[slot[0]], &mut state),
            }
        }
        let asks = self.inputs.iter().enumerate().filter(|(place, _)| values[*place] != self.stands[*place]);
        state.asks = asks.map(|(place, input)| (input.name.clone(), input.values[values[place]].clone())).collect();
        Some(state)
    }

    /// Moves the engine or something that a hand moves.
    fn turn(&self, input: usize, value: usize, state: &mut State) {
        let input = &self.inputs[input];
        let (part, place) = match input.source {
            Source::Engine => {
                state.settings.push(Setting::Engine(if value == 0 { 0.0 } else { GOVERNED_RPM }));
                return;
            }
            Source::Hand(part) => (part, (value == 1).then_some(1)),
            Source::Selector(part) => (part, (value != input.rest).then_some(value)),
            Source::Sensor(_) | Source::Point { .. } => return,
        };
        let switch = self.circuit.part(part).tag.clone();
        if matches!(&self.circuit.part(part).kind, Kind::HandSwitch(hand) if hand.momentary) {
            state.held.push(switch);
        } else {
            state.acts.push(Act::Turn { switch, to: input.values[value].clone() });
        }
        state.turned.push((part, place));
    }

    /// A condition, and sensors brought to a level by themselves, under which all of a slot feel what they should.
    fn place(&self, quantity: Quantity, slot: &[usize], values: &[usize], exact: Exact) -> Option<Placed> {
        let wanted = |input: usize| match exact {
            Some((at, level)) if at == input => level,
            _ => self.clear(input, values[input]),
        };
        let mut candidates: Vec<Option<Level>> = vec![None];
        let away = |input: &&usize| values[**input] != self.stands[**input];
        candidates.extend(exact.map(|(_, level)| Some(level)));
        candidates.extend(slot.iter().filter(away).map(|input| Some(wanted(*input))));
        candidates.extend(slot.iter().map(|input| Some(wanted(*input))));
        candidates.extend(self.halves(slot).into_iter().map(Some));
        let is_point = |input: &usize| matches!(self.inputs[*input].source, Source::Point { .. });
        let suits = |level: &Option<Level>, input: usize| self.suits(quantity, *level, input, values[input], exact);
        let all_suit = candidates.iter().find(|level| slot.iter().all(|input| suits(level, *input)));
        if let Some(level) = all_suit {
            return Some(Placed { setting: level.map(|level| Setting::felt(quantity, level)), alone: Vec::new() });
        }
        // What a module feels is the condition itself; each switch can be brought to its level alone.
        let points_suit =
            |level: &&Option<Level>| slot.iter().filter(|i| is_point(i)).all(|input| suits(level, *input));
        let chosen = *candidates.iter().skip(1).find(points_suit)?;
        let condition = chosen.map_or_else(|| self.imposed.conditions.felt(quantity), Level::value);
        let mut alone = Vec::new();
        for input in slot.iter().copied().filter(|input| !is_point(input) && !suits(&chosen, *input)) {
            let Source::Sensor(part) = self.inputs[input].source else { continue };
            let level = wanted(input);
            let nought = level.raised(-level.written());
            let by = Level::written_like(condition, level).written() - level.written();
            let tag = self.circuit.part(part).tag.clone();
            let as_drift = Fault::Drift(tag.clone(), nought.raised(by));
            alone.push(Alone { tag, level, as_drift, part, by: condition - level.value() });
        }
        Some(Placed { setting: chosen.map(|level| Setting::felt(quantity, level)), alone })
    }

    fn point(&self, input: usize) -> Option<(SetPoint, f64)> {
        match self.inputs[input].source {
            Source::Sensor(part) => {
                let sensor = self.circuit.part(part).kind.sensor()?;
                Some((sensor.set_point(), spare(sensor)))
            }
            Source::Point { module, place, .. } => match &self.circuit.part(module).kind {
                Kind::Module(module) => Some((*module.on_when.set_points().get(place)?, 0.0)),
                _ => None,
            },
            Source::Hand(_) | Source::Selector(_) | Source::Engine => None,
        }
    }

    /// The level clear beyond an input's set point or reset point, drifted or not, in whole numbers of its unit.
    fn clear(&self, input: usize, value: usize) -> Level {
        let Some((point, spare)) = self.point(input) else { return Level::Celsius(0.0) };
        let up = value == 1;
        let clear = level(&point, up == point.rising) + if up { spare } else { -spare };
        whole(Level::written_like(clear, point.acts), up)
    }

    /// Levels half way from one set point of a slot to the next, each in its own unit.
    fn halves(&self, slot: &[usize]) -> Vec<Level> {
        let mut points: Vec<SetPoint> = slot.iter().filter_map(|input| Some(self.point(*input)?.0)).collect();
        points.sort_by(|a, b| a.acts.value().total_cmp(&b.acts.value()));
        let half =
            |pair: &[SetPoint]| Level::written_like((pair[0].acts.value() + pair[1].acts.value()) / 2.0, pair[0].acts);
        points.windows(2).map(half).collect()
    }

    /// Whether an input has this value with the condition at a level, or as it stands.
    fn suits(&self, quantity: Quantity, condition: Option<Level>, input: usize, value: usize, exact: Exact) -> bool {
        let exact = exact.filter(|(at, _)| *at == input).map(|(_, level)| level);
        match (condition, exact) {
            (None, None) => value == self.stands[input],
            (None, Some(_)) => false,
            (Some(condition), Some(level)) => condition == level,
            (Some(condition), None) => {
                let Some((point, spare)) = self.point(input) else { return false };
                if matches!(self.inputs[input].source, Source::Point { .. }) {
                    return self.feels(quantity, condition, input) == value;
                }
                let (acts, resets) = (point.acts.value(), point.resets.value());
                if value == 1 {
                    condition.value() >= acts.max(resets) + spare
                } else {
                    condition.value() <= acts.min(resets) - spare
                }
            }
        }
    }

    /// The value of a module's set point once the condition has come to a level.
    fn feels(&self, quantity: Quantity, condition: Level, input: usize) -> usize {
        let Source::Point { module, place, rising } = self.inputs[input].source else { return 0 };
        let mut inputs = self.imposed.clone();
        set(&mut inputs.conditions, Setting::felt(quantity, condition));
        let points = felt(self.circuit, &inputs, self.memory).of(module).points;
        usize::from((points.checked_shr(place as u32).unwrap_or(0) & 1 == 1) == rising)
    }

    /// Two states for each switch, half way to where its set point may have drifted.
    fn between(&self, states: &[State], outcomes: &[Outcome]) -> Vec<State> {
        let mut found = Vec::new();
        for (place, input) in self.inputs.iter().enumerate() {
            let Source::Sensor(part) = input.source else { continue };
            let Some(sensor) = self.circuit.part(part).kind.sensor() else { continue };
            let point = sensor.set_point();
            // A switch that has acted is watched on its way back.
            let acted = (self.stands[place] == 1) == point.rising;
            let at = if acted { point.resets } else { point.acts };
            let base = self.telling(place, states, outcomes);
            for way in [-0.5, 0.5] {
                let level = at.raised(way * universe::drift(sensor));
                let Some(mut state) = self.state(&states[base].values, Some((place, level))) else { continue };
                state.asks.insert(0, (input.name.clone(), level.to_string()));
                state.purpose = Purpose::Between;
                state.between = Some(level);
                state.from = base;
                found.push(state);
            }
        }
        found
    }

    /// The first combination, with a switch as it stands, from which the clutch follows that switch.
    fn telling(&self, input: usize, states: &[State], outcomes: &[Outcome]) -> usize {
        let place_of: HashMap<&[usize], usize> =
            states.iter().enumerate().map(|(place, state)| (state.values.as_slice(), place)).collect();
        let follows = |base: &usize| {
            let mut values = states[*base].values.clone();
            if values[input] != self.stands[input] {
                return false;
            }
            values[input] = 1 - values[input];
            let moved = place_of.get(values.as_slice());
            moved.is_some_and(|moved| standing(&outcomes[*moved]) != standing(&outcomes[*base]))
        };
        (0..states.len()).find(follows).unwrap_or(0)
    }

    /// What single requests leave behind that the healthy circuit remembers.
    fn left(&self, rig: &Rig, states: &[State], outcomes: &[Outcome]) -> Vec<State> {
        let mut found = Vec::new();
        for (place, state) in states.iter().enumerate().filter(|(_, state)| state.purpose == Purpose::Asked) {
            let back = rig.settle(self.imposed, &outcomes[place].memory);
            let on = |memory: &Memory| memory.parts.iter().map(|part| (part.on, part.blown)).collect::<Vec<_>>();
            if state.from != 0 || on(&back.memory) == on(self.memory) {
                continue;
            }
            found.push(State {
                purpose: Purpose::Left,
                asks: state.asks.clone(),
                between: None,
                settings: Vec::new(),
                alone: Vec::new(),
                acts: Vec::new(),
                held: Vec::new(),
                from: place,
                values: self.stands.clone(),
                turned: Vec::new(),
            });
        }
        found
    }
}

/// By how much a switch's set point may have drifted, in K or kPa.
fn spare(sensor: &SensorSwitch) -> f64 {
    sensor.acts_at.raised(universe::drift(sensor)).value() - sensor.acts_at.value()
}

/// A level in whole numbers of its unit (bar in tenths), rounded away from the set point, and no pressure below zero.
fn whole(level: Level, up: bool) -> Level {
    let unit = if matches!(level, Level::Bar(_)) { 0.1 } else { 1.0 };
    let steps = level.written() / unit;
    // Not from 225.00000000000003 to 226.
    let steps = if up { (steps - 1e-6).ceil() } else { (steps + 1e-6).floor() };
    let steps = if level.is_temperature() { steps } else { steps.max(0.0) };
    // Tenths as they are written, without binary dust.
    let written = if unit < 1.0 { steps / 10.0 } else { steps };
    level.raised(written - level.written())
}
