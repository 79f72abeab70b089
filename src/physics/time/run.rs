//! One circuit through time: from change to change, by steps no longer than their error allows.
//!
//! A change is anything that makes the circuit settle anew: what is imposed, a set point passed, a timer run out, a
//! fuse's time, a coil grown warmer. Between changes nothing electric moves and the [`plant`](super::plant) flows.
//! Fuses open after the nominal time of their band (the geometric mean of its ends) at what they carry, shares of
//! different loads adding up. The same inputs give the same run.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::clutch::{ClutchReading, ClutchState};
use crate::physics::fuse::opening_seconds;
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::limits::{ATMOSPHERE_KPA, COIL_STEP_KELVIN, FUSE_OPENS_AT, GOVERNED_RPM};
use crate::physics::settle::{felt, fuse_loads, settle_before_fuses, timer_fed};
use crate::physics::state::{CoilReading, FuseAt, Memory, Outcome};

use super::budget::{Budget, LEAST_STEP, Stuck};
use super::kick::{Kick, kicks};
use super::plant::{BROUGHT, CHAMBER, COILS, COOLANT, FAN, LINE, LOST, OIL, PLATE, Plant, REFRIGERANT, Stand, TANK};
use super::step::{Step, Values};
use super::watch::Watched;

/// Relative error that a step may have, unless told otherwise.
pub const TOLERANCE: f64 = 1e-5;
/// First step after a change, in seconds.
const FIRST_STEP: f64 = 1e-3;
/// Longest step, in seconds.
const LONGEST_STEP: f64 = 30.0;
/// How closely the moment of a change is found, in seconds.
const MOMENT: f64 = 1e-4;

/// Fuses that may open in one moment: more than there are.
const MOST_AT_ONCE: usize = 200;

/// Something that happened by itself.
#[derive(Clone, Debug, PartialEq)]
pub enum Happening {
    /// A sensor's contact left rest, or came back.
    Sensor(PartId, bool),
    /// A module's set point acted, or reset.
    Point(PartId, usize, bool),
    /// A relay or valve pulled in, or let go.
    Coil(PartId, bool),
    /// A module's driver turned on, or off.
    Driver(PartId, bool),
    /// A timer's contact closed, or opened.
    Timer(PartId, bool),
    /// A coil's current was broken, and its voltage kicked.
    Kick(PartId, Kick),
    /// A fuse opened, at so many amps.
    Fuse(FuseAt, f64),
    /// The clutch came to another state.
    Clutch(ClutchState),
    /// The governor let the compressor deliver, or stopped it.
    Compressor(bool),
    /// The protection valve opened, or closed.
    Protection(bool),
    /// The plate became hot enough to discolour.
    Discoloured,
    /// The circuit never comes to rest.
    Restless,
    /// It has come to rest again.
    AtRest,
}

/// Something that happened by itself, and when.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Seconds from the beginning.
    pub at_s: f64,
    /// What.
    pub what: Happening,
    /// The number that goes with it where `what` has none: what a sensor or set point felt (°C or kPa), volts across
    /// a coil, gauge pressure in the clutch's chamber or, for compressor and protection valve, in the tanks (kPa), the
    /// plate's °C.
    pub value: Option<f64>,
}

/// Everything that can be read at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// Seconds from the beginning.
    pub at_s: f64,
    /// Tanks of the vehicle, in kPa (gauge).
    pub tank_kpa: f64,
    /// Gauge at the valve's supply port, in kPa.
    pub supply_kpa: f64,
    /// Gauge in the clutch hose, in kPa.
    pub clutch_kpa: f64,
    /// The clutch.
    pub clutch: ClutchReading,
    /// Fan speed in rpm.
    pub fan_rpm: f64,
    /// Share of the engine's speed that the fan does not follow, while the clutch carries it at all.
    pub slip: f64,
    /// Coolant in °C.
    pub coolant_c: f64,
    /// Friction plate in °C.
    pub plate_c: f64,
    /// Volts across each valve's coil, in part order.
    pub coil_volts: Vec<Option<f64>>,
}

/// A circuit on its way through time.
#[derive(Clone, Debug)]
pub struct Run {
    circuit: Arc<Circuit>,
    inputs: Inputs,
    outcome: Outcome,
    plant: Plant,
    stand: Stand,
    values: Values,
    at_s: f64,
    step_s: f64,
    /// When each holding timer lets go.
    timers: BTreeMap<PartId, f64>,
    fed: BTreeMap<PartId, bool>,
    /// Load of each fuse over its rating, as the circuit last settled.
    loads: Vec<(FuseAt, f64)>,
    /// Every set and reset point.
    watched: Vec<Watched>,
    /// Share of its time that each overloaded fuse has used up.
    worn: BTreeMap<FuseAt, f64>,
    /// Temperatures of the coils at which the circuit was last solved.
    solved_c: Vec<f64>,
    clutch: ClutchState,
    discoloured: bool,
    tolerance: f64,
    events: Vec<Event>,
    /// Times that the circuit has settled anew.
    changes: u64,
}

impl Run {
    /// Begins with the circuit settled under `inputs` from `memory`, all pressures and temperatures as they would be
    /// after a long time.
    pub fn begin(circuit: Arc<Circuit>, inputs: Inputs, memory: &Memory, tolerance: f64) -> Self {
        let outcome = settle_before_fuses(&circuit, &inputs, memory);
        let plant = Plant::of(&circuit, &inputs);
        let tank = inputs.conditions.air_kpa + ATMOSPHERE_KPA;
        let line = inputs.supply_kpa() + ATMOSPHERE_KPA;
        let mut values = vec![0.0; COILS + plant.coils.len()];
        let chamber = outcome.chamber_kpa.unwrap_or(0.0) + ATMOSPHERE_KPA;
        values[..=CHAMBER].copy_from_slice(&plant.free_litres([tank, line, chamber]));
        values[COOLANT] = inputs.conditions.coolant_c;
        values[OIL] = inputs.conditions.oil_c;
        values[REFRIGERANT] = inputs.conditions.refrigerant_kpa;
        values[PLATE] = inputs.conditions.ambient_c;
        values[COILS..].iter_mut().for_each(|c| *c = inputs.conditions.ambient_c);
        let stand = Stand {
            passing: false,
            pumping: false,
            protected_open: true,
            tank_with_line: tank == line,
            chamber_settled: plant.paths.leak + plant.paths.seat == 0.0,
            drawn: false,
            steady_leak: false,
            locked: false,
        };
        let clutch = outcome.clutch.map_or(ClutchState::Released, |c| c.state);
        let rpm = inputs.conditions.engine_rpm;
        values[FAN] = if clutch == ClutchState::Engaged { plant.model.carrying_rpm(rpm) } else { 0.0 };
        let solved_c = values[COILS..].to_vec();
        let mut run = Self {
            circuit,
            inputs,
            outcome,
            plant,
            stand,
            values,
            at_s: 0.0,
            step_s: FIRST_STEP,
            timers: BTreeMap::new(),
            fed: BTreeMap::new(),
            loads: Vec::new(),
            watched: Vec::new(),
            worn: BTreeMap::new(),
            solved_c,
            clutch,
            discoloured: false,
            tolerance,
            events: Vec::new(),
            changes: 0,
        };
        run.watched = Watched::all(&run.circuit, &run.inputs);
        run.fed = run.timers_fed();
        run.stand.passing = run.is_passing();
        run.plant.coil_watts = run.coil_watts();
        run.loads = run.fuse_loads();
        run.stand = run.plant.settled(&run.values, &run.stand);
        run.clutch = run.clutch_reading(&run.values).state;
        run
    }

    /// Seconds since the beginning.
    pub fn at_s(&self) -> f64 {
        self.at_s
    }

    /// What has happened by itself so far, in order.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// Imposes something else from now on. Conditions that drift by themselves keep what they have come to, unless
    /// they are among those that `inputs` changes.
    pub fn impose(&mut self, mut inputs: Inputs) {
        let (old, new) = (self.inputs.conditions, inputs.conditions);
        for (place, new, old) in [
            (COOLANT, new.coolant_c, old.coolant_c),
            (OIL, new.oil_c, old.oil_c),
            (REFRIGERANT, new.refrigerant_kpa, old.refrigerant_kpa),
        ] {
            if new != old {
                self.values[place] = new;
            }
        }
        if new.air_kpa != old.air_kpa {
            // Who sets the supply lower expects the gauge to stay there: air coming back out of the clutch would lift
            // it again, and nothing but the clutch takes any from the line.
            self.stand.drawn = new.air_kpa < old.air_kpa;
            let before = self.free_litres();
            let supply = new.air_kpa + ATMOSPHERE_KPA;
            let [tank, line, _] = self.plant.free_litres([supply, supply, supply]);
            self.values[TANK] = tank;
            // Nothing new comes past a tap that is shut.
            if !self.inputs.altered.supply_blocked {
                self.values[LINE] = line;
            }
            self.values[BROUGHT] += self.free_litres() - before;
        }
        (inputs.coil_c, inputs.holding) = (self.inputs.coil_c.clone(), self.inputs.holding.clone());
        self.plant = Plant::of(&self.circuit, &inputs);
        self.watched = Watched::all(&self.circuit, &inputs);
        self.inputs = inputs;
        self.drift();
        self.part_vessels();
        self.change();
    }

    /// Lets air flow between all vessels again, until they have come to one pressure anew.
    fn part_vessels(&mut self) {
        self.stand.chamber_settled = false;
        self.stand.tank_with_line = false;
        self.stand.steady_leak = false;
    }

    /// Puts new fuses in place of blown ones. The circuit notices when something is next imposed.
    pub fn renew_fuses(&mut self, fuses: &[PartId]) {
        for id in fuses {
            self.outcome.memory.parts[id.index()].blown = false;
            // A new one has carried nothing yet.
            self.worn.remove(&FuseAt::Part(*id));
        }
    }

    /// What is imposed, with the conditions as they have drifted.
    pub fn inputs(&self) -> &Inputs {
        &self.inputs
    }

    /// Everything electric as it stands, with pressure and clutch as they are at this moment.
    pub fn outcome(&self) -> Outcome {
        let is_valve = self.outcome.chamber_kpa.is_some();
        let [_, line, chamber] = self.plant.pressures(&self.values);
        let clutch = self.clutch_reading(&self.values);
        Outcome {
            supply_kpa: (self.supply_gauge_kpa([line, chamber]) - ATMOSPHERE_KPA).max(0.0),
            chamber_kpa: is_valve.then(|| self.plant.chamber_gauge(&self.values)),
            clutch: is_valve.then_some(clutch),
            ..self.outcome.clone()
        }
    }

    /// Everything electric as it last settled; pressure and clutch in it are not of this moment.
    pub fn electric(&self) -> &Outcome {
        &self.outcome
    }

    /// How many times the circuit has settled anew; while it stays the same, so does everything electric.
    pub fn changes(&self) -> u64 {
        self.changes
    }

    /// This moment.
    pub fn moment(&self) -> Moment {
        self.moment_of(self.at_s, &self.values)
    }

    /// Free air in all vessels together, in litres at 100 kPa.
    pub fn free_litres(&self) -> f64 {
        self.values[..=CHAMBER].iter().sum()
    }

    /// Free air that has come into them since the beginning, in litres at 100 kPa: through the compressor, and by
    /// setting the supply.
    pub fn brought_litres(&self) -> f64 {
        self.values[BROUGHT]
    }

    /// Free air that has gone out since the beginning, through exhaust and holes, in litres at 100 kPa.
    pub fn lost_litres(&self) -> f64 {
        self.values[LOST]
    }

    /// Temperature of a relay's or valve's coil in °C.
    pub fn coil_c(&self, coil: PartId) -> Option<f64> {
        let place = self.plant.coils.iter().position(|c| *c == coil)?;
        Some(self.values[COILS + place])
    }

    /// Runs on to a later moment, showing each of `samples` (rising, none before now) on the way.
    ///
    /// # Errors
    /// Where something changes too fast to be followed; the run then stands where it got to.
    pub fn advance(&mut self, to_s: f64, samples: &[f64], mut show: impl FnMut(Moment)) -> Result<(), Stuck> {
        self.advance_seen(to_s, samples, |_, moment| show(moment))
    }

    /// As [`Run::advance`], with the run beside each moment as it stands electrically then.
    ///
    /// # Errors
    /// As there.
    pub fn advance_seen(
        &mut self,
        to_s: f64,
        samples: &[f64],
        mut show: impl FnMut(&Self, Moment),
    ) -> Result<(), Stuck> {
        let mut budget = Budget::of(to_s - self.at_s, self.changes);
        let mut next = 0;
        while self.at_s < to_s {
            let step = self.step(to_s, &mut budget)?;
            let from_s = self.at_s;
            let until_s = if to_s - (from_s + step.seconds) < 1e-9 { to_s } else { from_s + step.seconds };
            while next < samples.len() && samples[next] < until_s {
                let share = ((samples[next] - from_s) / step.seconds).clamp(0.0, 1.0);
                let values: Values = (0..step.to.len()).map(|i| step.value(i, share)).collect();
                show(self, self.moment_of(samples[next], &values));
                next += 1;
            }
            self.at_s = until_s;
            self.values.clone_from(&step.to);
            self.hold_bounds(&step.from);
            if self.stand.steady_leak {
                self.plant.rebalance(&mut self.values);
            }
            self.wear_fuses(step.seconds);
            self.after_step();
        }
        while next < samples.len() && samples[next] <= to_s {
            show(self, self.moment_of(samples[next], &self.values));
            next += 1;
        }
        Ok(())
    }

    /// The next good step: no further than `to_s`, the next deadline, or the next change by a set point.
    fn step(&mut self, to_s: f64, budget: &mut Budget) -> Result<Step, Stuck> {
        let deadline = self.deadline().min(to_s);
        let most = (deadline - self.at_s).max(1e-9);
        let (plant, stand, tolerance) = (&self.plant, &self.stand, self.tolerance);
        let slope = |values: &Values| plant.slopes(values, stand);
        // Of amounts of air a share of their size, of temperatures of 100 K, of the refrigerant of
        // 1000 kPa, of the fan of governed speed.
        let allowed = |place: usize, size: f64| match place {
            TANK | LINE | CHAMBER => tolerance * size,
            // They only count what the vessels' slopes have judged already.
            BROUGHT | LOST => f64::INFINITY,
            FAN => tolerance * GOVERNED_RPM,
            REFRIGERANT => tolerance * 1000.0,
            _ => tolerance * 100.0,
        };
        let slopes = slope(&self.values);
        let mut seconds = self.step_s.min(most);
        loop {
            let step = Step::take(&self.values, &slopes, seconds, allowed, slope);
            budget.spend(&step, self.at_s, self.changes)?;
            if step.error > 1.0 && seconds > LEAST_STEP {
                seconds = step.next_seconds().min(0.9 * seconds);
                continue;
            }
            if seconds > MOMENT && self.would_change(&step.to) {
                // Something acts on the way: come to it by halves.
                seconds *= 0.5;
                self.step_s = seconds;
                continue;
            }
            self.step_s = step.next_seconds().min(LONGEST_STEP);
            return Ok(step);
        }
    }

    /// When something is due that no value tells.
    fn deadline(&self) -> f64 {
        let timers = self.timers.values().copied();
        let fuses = self.loads.iter().filter_map(|(at, load)| {
            let seconds = nominal_seconds(*load)?;
            Some(self.at_s + seconds * (1.0 - self.worn.get(at).copied().unwrap_or(0.0)))
        });
        timers.chain(fuses).fold(f64::INFINITY, f64::min)
    }

    /// Whether these values would make a sensor or set point act, or the vessels and the clutch hold differently.
    fn would_change(&self, values: &Values) -> bool {
        self.feels_otherwise(self.conditions_of(values))
            || self.plant.settled(values, &self.stand) != self.stand
            || self.outcome.clutch.is_some() && self.clutch_reading(values).state != self.clutch
            || !self.discoloured && self.discolours(values)
    }

    /// Whether a sensor or set point would act or reset under these conditions. Most of the time none is near its point,
    /// and that is seen at a glance.
    fn feels_otherwise(&self, conditions: Conditions) -> bool {
        let memory = &self.outcome.memory;
        self.watched.iter().any(|point| point.is_near(&conditions, memory)) && {
            let inputs = Inputs { conditions, ..self.inputs.clone() };
            felt(&self.circuit, &inputs, memory).parts != memory.parts
        }
    }

    /// Lets the imposed conditions follow the values.
    fn drift(&mut self) {
        self.inputs.conditions = self.conditions_of(&self.values);
    }

    /// The conditions with those that drift as these values have them.
    fn conditions_of(&self, values: &Values) -> Conditions {
        Conditions {
            coolant_c: values[COOLANT],
            oil_c: values[OIL],
            refrigerant_kpa: values[REFRIGERANT],
            air_kpa: self.plant.pressures(values)[LINE] - ATMOSPHERE_KPA,
            ..self.inputs.conditions
        }
    }

    /// Takes back what a step has run past its end, within its error: no vessel below the outside air, none above the
    /// one that feeds it. What is moved is counted.
    fn hold_bounds(&mut self, before: &Values) {
        let [_, line, chamber] = self.plant.pressures(&self.values);
        let [_, line_before, chamber_before] = self.plant.pressures(before);
        let least = self.plant.free_litres([ATMOSPHERE_KPA; 3]);
        for (place, least) in least.iter().enumerate() {
            let missing = (least - self.values[place]).max(0.0);
            self.values[place] += missing;
            self.values[LOST] -= missing;
        }
        if self.stand.passing && chamber > line && chamber_before <= line_before {
            let full = self.plant.free_litres([line, line, line])[2];
            self.values[LINE] += self.values[CHAMBER] - full;
            self.values[CHAMBER] = full;
        }
        self.values[FAN] = self.values[FAN].max(0.0);
        if self.stand.locked {
            self.values[FAN] = self.plant.carrying_rpm();
        }
    }

    fn after_step(&mut self) {
        self.drift();
        self.stand_anew();
        let warmer = |(now, then): (&f64, &f64)| (now - then).abs() > COIL_STEP_KELVIN;
        let coils_warmer = self.values[COILS..].iter().zip(&self.solved_c).any(warmer);
        let due = self.timers.values().any(|until| *until <= self.at_s + 1e-9);
        let blown = self.worn.values().any(|share| *share >= 1.0 - 1e-9);
        if coils_warmer || due || blown || self.feels_otherwise(self.inputs.conditions) {
            self.change();
        } else {
            self.look_at_clutch();
        }
    }

    /// Lets vessels, governor and clutch hold as the values now ask.
    fn stand_anew(&mut self) {
        let next = self.plant.settled(&self.values, &self.stand);
        let old = std::mem::replace(&mut self.stand, next);
        let gauge = self.plant.pressures(&self.values)[TANK] - ATMOSPHERE_KPA;
        if self.stand.pumping != old.pumping {
            self.tell(Happening::Compressor(self.stand.pumping), Some(gauge));
        }
        if self.stand.protected_open != old.protected_open {
            self.tell(Happening::Protection(self.stand.protected_open), Some(gauge));
        }
    }

    /// Settles the circuit anew, again and again until nothing follows from it in this very moment.
    fn change(&mut self) {
        self.changes += 1;
        for _ in 0..MOST_AT_ONCE {
            for (place, coil) in self.plant.coils.iter().enumerate() {
                self.inputs.coil_c.insert(*coil, self.values[COILS + place]);
            }
            self.solved_c = self.values[COILS..].to_vec();
            let mut memory = self.outcome.memory.clone();
            self.open_fuse(&mut memory);
            self.timers.retain(|_, until| *until > self.at_s + 1e-9);
            self.inputs.holding = self.holding();
            let after = settle_before_fuses(&self.circuit, &self.inputs, &memory);
            self.tell_changes(&after);
            self.outcome = after;
            self.hold_timers();
            self.plant.coil_watts = self.coil_watts();
            self.loads = self.fuse_loads();
            if self.is_passing() != self.stand.passing {
                self.stand.passing = !self.stand.passing;
                self.part_vessels();
            }
            self.stand_anew();
            // A fuse that is no longer overloaded cools at once; another whose time has come opens only if it still is.
            let loads = &self.loads;
            let is_over = |at: &FuseAt| loads.iter().any(|(fuse, load)| fuse == at && *load >= FUSE_OPENS_AT);
            self.worn.retain(|at, _| is_over(at));
            if self.due_fuse().is_none() {
                break;
            }
        }
        self.step_s = FIRST_STEP;
        self.look_at_clutch();
    }

    /// Timers that hold, or would if their `in` went dead now.
    fn holding(&self) -> BTreeSet<PartId> {
        let fed = self.fed.iter().filter(|(timer, is_fed)| **is_fed && self.hold_seconds(**timer) > 0.0);
        fed.map(|(timer, _)| *timer).chain(self.timers.keys().copied()).collect()
    }

    fn hold_seconds(&self, timer: PartId) -> f64 {
        match self.inputs.kind(&self.circuit, timer) {
            Kind::Timer(data) => data.hold_seconds,
            _ => 0.0,
        }
    }

    /// Timers whose `in` has just gone dead begin to hold; one without supply forgets.
    fn hold_timers(&mut self) {
        let fed = self.timers_fed();
        for (timer, is_fed) in &fed {
            let (was_fed, hold) = (self.fed.get(timer).copied().unwrap_or(false), self.hold_seconds(*timer));
            if *is_fed || !self.outcome.memory.of(*timer).on {
                self.timers.remove(timer);
            } else if was_fed && hold > 0.0 {
                self.timers.insert(*timer, self.at_s + hold);
            }
        }
        self.fed = fed;
    }

    fn timers_fed(&self) -> BTreeMap<PartId, bool> {
        let timers = self.circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Timer(_)));
        timers.map(|(id, _)| (id, timer_fed(&self.circuit, &self.outcome, id))).collect()
    }

    fn wear_fuses(&mut self, seconds: f64) {
        for (at, load) in &self.loads {
            if let Some(nominal) = nominal_seconds(*load) {
                *self.worn.entry(*at).or_insert(0.0) += seconds / nominal;
            }
        }
    }

    fn fuse_loads(&self) -> Vec<(FuseAt, f64)> {
        fuse_loads(&self.circuit, &self.inputs, &self.outcome)
    }

    /// The fuse whose time has come; of several the one with the greatest load.
    fn due_fuse(&self) -> Option<FuseAt> {
        let is_due = |at: &FuseAt| self.worn.get(at).is_some_and(|share| *share >= 1.0 - 1e-9);
        let due = self.loads.iter().filter(|(at, _)| is_due(at));
        due.reduce(|most, next| if next.1 > most.1 { next } else { most }).map(|(at, _)| *at)
    }

    /// Blows the fuse whose time has come, if one's has.
    fn open_fuse(&mut self, memory: &mut Memory) {
        let Some(at) = self.due_fuse() else { return };
        self.worn.remove(&at);
        let amps = match at {
            FuseAt::Part(id) => {
                memory.parts[id.index()].blown = true;
                self.outcome.part_amps[id.index()].abs()
            }
            FuseAt::Lead(number) => {
                memory.blown_leads.insert(number);
                self.outcome.lead_amps.get(&number).copied().unwrap_or(0.0).abs()
            }
        };
        self.tell(Happening::Fuse(at, amps), None);
    }

    fn tell(&mut self, what: Happening, value: Option<f64>) {
        self.events.push(Event { at_s: self.at_s, what, value });
    }

    /// Tells what differs from the outcome so far.
    fn tell_changes(&mut self, after: &Outcome) {
        let mut told = Vec::new();
        let conditions = self.inputs.conditions;
        for (id, _) in self.circuit.parts_with_ids() {
            let kind = self.inputs.kind(&self.circuit, id);
            let (old, new) = (self.outcome.memory.of(id), after.memory.of(id));
            if old.acted != new.acted {
                let felt = kind.sensor().map(|sensor| conditions.felt(sensor.senses));
                told.push((Happening::Sensor(id, new.acted), felt));
            }
            for bit in (0..64).filter(|bit| (old.points ^ new.points) >> bit & 1 == 1) {
                let felt = kind.set_points().get(bit).map(|point| conditions.felt(point.senses));
                told.push((Happening::Point(id, bit, new.points >> bit & 1 == 1), felt));
            }
            if old.on != new.on {
                told.push(match kind {
                    Kind::Module(_) => (Happening::Driver(id, new.on), None),
                    Kind::Timer(_) => (Happening::Timer(id, new.on), None),
                    _ => (Happening::Coil(id, new.on), after.coils.get(&id).and_then(|coil| coil.volts)),
                });
            }
        }
        told.extend(self.kicks(after).into_iter().map(|kick| (kick, None)));
        match (self.outcome.settled(), after.settled()) {
            (true, false) => told.push((Happening::Restless, None)),
            (false, true) => told.push((Happening::AtRest, None)),
            (true, true) | (false, false) => {}
        }
        told.into_iter().for_each(|(what, value)| self.tell(what, value));
    }

    /// Coils whose current this change has broken, each with its kick.
    fn kicks(&self, after: &Outcome) -> Vec<Happening> {
        let is_broken = |(id, old): &(&PartId, &CoilReading)| {
            let now = after.coils.get(id).map_or(0.0, |coil| coil.amps.abs());
            old.amps.abs() >= LEAST_KICK_AMPS && now <= 0.1 * old.amps.abs()
        };
        let broken: Vec<(PartId, f64)> =
            self.outcome.coils.iter().filter(is_broken).map(|(id, old)| (*id, old.amps)).collect();
        if broken.is_empty() {
            return Vec::new();
        }
        let kicks = kicks(&self.circuit, &self.inputs, &after.memory, &broken);
        kicks.into_iter().map(|(id, kick)| Happening::Kick(id, kick)).collect()
    }

    fn look_at_clutch(&mut self) {
        let state = self.clutch_reading(&self.values).state;
        if state != self.clutch && self.outcome.clutch.is_some() {
            self.clutch = state;
            self.tell(Happening::Clutch(state), Some(self.plant.chamber_gauge(&self.values)));
        }
        if !self.discoloured && self.discolours(&self.values) {
            self.discoloured = true;
            self.tell(Happening::Discoloured, Some(self.values[PLATE]));
        }
    }

    fn discolours(&self, values: &Values) -> bool {
        values[PLATE] >= self.plant.clutch.discolours_at.value()
    }

    fn is_passing(&self) -> bool {
        let valve = self.circuit.clutch_valve().map(|(id, _)| id);
        self.outcome.valves.iter().any(|v| Some(v.part) == valve && v.passing)
    }

    fn coil_watts(&self) -> Vec<f64> {
        let heat = |coil: &PartId| {
            let watts = |reading: &CoilReading| reading.volts.unwrap_or(0.0) * reading.amps;
            self.outcome.coils.get(coil).map_or(0.0, watts) * self.inputs.coil_copper(*coil)
        };
        self.plant.coils.iter().map(|coil| heat(coil).abs()).collect()
    }

    /// What the clutch does with these values. With the engine at rest it is judged as for governed speed; with the
    /// engine running it slips until the fan has caught up.
    fn clutch_reading(&self, values: &Values) -> ClutchReading {
        let rpm = self.plant.engine_rpm;
        let reading = self.plant.model.read(self.plant.chamber_gauge(values), rpm).bolted_if(self.plant.bolted);
        let behind = rpm > 0.0 && !self.stand.locked && self.plant.carrying_rpm() - values[FAN] > 1.0;
        match reading.state {
            ClutchState::Engaged if behind && !self.plant.bolted => {
                ClutchReading { state: ClutchState::Slipping, ..reading }
            }
            ClutchState::Engaged | ClutchState::Slipping | ClutchState::Released => reading,
        }
    }

    /// Pressure at the supply gauge in kPa (absolute) with line and chamber at these.
    fn supply_gauge_kpa(&self, [line, chamber]: [f64; 2]) -> f64 {
        if self.stand.passing && self.stand.chamber_settled {
            return line;
        }
        self.plant.paths.supply_gauge(self.stand.passing, line, chamber.max(ATMOSPHERE_KPA))
    }

    fn moment_of(&self, at_s: f64, values: &Values) -> Moment {
        let clutch = self.clutch_reading(values);
        let rpm = self.plant.engine_rpm;
        let carried = rpm > 0.0 && clutch.state != ClutchState::Released;
        let slip = if carried { ((rpm - values[FAN]) / rpm).clamp(0.0, 1.0) } else { 0.0 };
        let [tank, line, chamber] = self.plant.pressures(values);
        let supply = self.supply_gauge_kpa([line, chamber]);
        let valves = self.circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::AirValve(_)));
        Moment {
            at_s,
            tank_kpa: tank - ATMOSPHERE_KPA,
            supply_kpa: (supply - ATMOSPHERE_KPA).max(0.0),
            clutch_kpa: (chamber - ATMOSPHERE_KPA).max(0.0),
            clutch,
            fan_rpm: values[FAN].max(0.0),
            slip,
            coolant_c: values[COOLANT],
            plate_c: values[PLATE],
            coil_volts: valves.map(|(id, _)| self.outcome.coils.get(&id).and_then(|coil| coil.volts)).collect(),
        }
    }
}

/// Amps below which a broken coil's kick is not worth telling.
const LEAST_KICK_AMPS: f64 = 0.01;

/// Nominal time in which a fuse at this multiple of its rating opens: the geometric mean of its band.
fn nominal_seconds(load: f64) -> Option<f64> {
    opening_seconds(load).map(|(least, most)| (least * most).sqrt())
}
