//! Everything that flows, warms and turns between two changes of the circuit: pressures, the fan, temperatures.
//!
//! Yields the slopes of all values for given positions of valve and engine. Vessels are isothermal; flow is ISO 6358
//! ([`air`](crate::physics::air)); the fan is one inertia against its own square law; plate, coolant and coils are one
//! lump of heat each. Vessels that have come to one pressure are held together, those that a steady leak runs through
//! follow the tank, and a clutch that no longer slips is locked, so that none of them makes the steps small. When the circuit changes is decided in [`run`](super::run).

use crate::circuit::wire::copper_factor;
use crate::circuit::{Air, Circuit, Clutch, Engine, PartId};
use crate::physics::air::{Paths, chamber, chamber_pressure, flow};
use crate::physics::clutch::Model;
use crate::physics::inputs::Inputs;
use crate::physics::limits::{
    ATMOSPHERE_KPA, COIL_KELVIN_PER_WATT, COIL_SECONDS, FAN_BEARING_NM, GOVERNED_RPM, PROTECTION_REOPENS_KPA,
    REFRIGERANT_AT_C, SAME_PRESSURE_KPA,
};

use super::step::Values;

/// Places of the values. First the air in each vessel, in litres of free air (at 100 kPa): a method of steps keeps the
/// sum of amounts to the last digit, of pressures it would not.
pub(super) const TANK: usize = 0;
pub(super) const LINE: usize = 1;
pub(super) const CHAMBER: usize = 2;
/// Fan speed in rpm.
pub(super) const FAN: usize = 3;
/// Coolant, plate and then the coils in part order, in °C.
pub(super) const COOLANT: usize = 4;
pub(super) const PLATE: usize = 5;
/// Oil in °C, refrigerant in kPa (gauge).
pub(super) const OIL: usize = 6;
pub(super) const REFRIGERANT: usize = 7;
/// Free air that has come in through the compressor and gone out behind the valve, in litres.
pub(super) const BROUGHT: usize = 8;
pub(super) const LOST: usize = 9;
pub(super) const COILS: usize = 10;

/// How things stand between two changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stand {
    /// Supply air reaches the clutch.
    pub(super) passing: bool,
    /// The compressor delivers.
    pub(super) pumping: bool,
    /// The protection valve is open.
    pub(super) protected_open: bool,
    /// Tank and line are at one pressure and held together.
    pub(super) tank_with_line: bool,
    /// Line and chamber are, or chamber and outside air.
    pub(super) chamber_settled: bool,
    /// The supply has been set lower while the clutch held more: what comes back from it is let out as well, until it
    /// is at the line's pressure.
    pub(super) drawn: bool,
    /// Air leaks out behind the valve as fast as the tank gives it: line and chamber follow the tank's pressure.
    pub(super) steady_leak: bool,
    /// The clutch carries the fan without slip.
    pub(super) locked: bool,
}

/// A leak beside what feeds it, pressures in kPa.
#[derive(Clone, Copy, Debug)]
struct LeakBalance {
    /// How far line and chamber are from balance.
    line_off: f64,
    chamber_off: f64,
    /// How far they follow each kPa of the tank.
    line_per_tank: f64,
    chamber_per_tank: f64,
}

/// The figures of one circuit under its faults.
#[derive(Clone, Debug)]
pub(super) struct Plant {
    pub(super) air: Air,
    pub(super) clutch: Clutch,
    pub(super) engine: Engine,
    pub(super) paths: Paths,
    pub(super) model: Model,
    /// Lock-up bolts tie the fan to its pulley.
    pub(super) bolted: bool,
    /// Coils, in the order of their temperatures.
    pub(super) coils: Vec<PartId>,
    /// Heat that each coil's volts would make in its copper at 20 °C, in watts.
    pub(super) coil_watts: Vec<f64>,
    pub(super) engine_rpm: f64,
    pub(super) ambient_c: f64,
}

impl Plant {
    pub(super) fn of(circuit: &Circuit, inputs: &Inputs) -> Self {
        Self {
            air: circuit.air_figures().clone(),
            clutch: circuit.clutch_figures().clone(),
            engine: circuit.engine_figures().clone(),
            paths: Paths::of(circuit, &inputs.altered),
            model: Model::of(circuit, &inputs.altered),
            bolted: inputs.conditions.bolted,
            coil_watts: Vec::new(),
            coils: circuit.parts_with_ids().filter(|(_, part)| part.kind.coil().is_some()).map(|(id, _)| id).collect(),
            engine_rpm: inputs.conditions.engine_rpm,
            ambient_c: inputs.conditions.ambient_c,
        }
    }

    /// Air in chamber and hose at an absolute pressure: litres, and litres more for each kPa.
    pub(super) fn chamber(&self, kpa: f64) -> (f64, f64) {
        let (start, bites) = (self.model.starts_kpa, self.model.bites_kpa);
        chamber(&self.clutch, start, bites, self.model.travel_mm, kpa - ATMOSPHERE_KPA)
    }

    /// Absolute pressures of tank, line and chamber in kPa.
    pub(super) fn pressures(&self, values: &Values) -> [f64; 3] {
        let (start, bites) = (self.model.starts_kpa, self.model.bites_kpa);
        [
            values[TANK] * 100.0 / self.air.tank_litres,
            values[LINE] * 100.0 / self.air.line_litres,
            chamber_pressure(&self.clutch, start, bites, self.model.travel_mm, values[CHAMBER] * 100.0),
        ]
    }

    /// Free air in tank, line and chamber at these absolute pressures in kPa, in litres.
    pub(super) fn free_litres(&self, kpa: [f64; 3]) -> [f64; 3] {
        let litres = [self.air.tank_litres, self.air.line_litres, self.chamber(kpa[2]).0];
        [0, 1, 2].map(|vessel| litres[vessel] * kpa[vessel] / 100.0)
    }

    /// Pressure of the chamber in kPa (gauge).
    pub(super) fn chamber_gauge(&self, values: &Values) -> f64 {
        self.pressures(values)[2] - ATMOSPHERE_KPA
    }

    /// Flows in litres of free air a second: into the tank, tank to line, line to chamber, chamber to outside, line to
    /// outside.
    fn flows(&self, pressures: [f64; 3], stand: &Stand) -> [f64; 5] {
        let free = |c: f64, up: f64, down: f64| flow(c, self.paths.ratio, up, down) / 100.0;
        let both = |c: f64, a: f64, b: f64| free(c, a, b) - free(c, b, a);
        let pumped =
            if stand.pumping { self.air.compressor_litres_per_second * self.engine_rpm / GOVERNED_RPM } else { 0.0 };
        let [tank, line, chamber] = pressures;
        // The protection valve lets nothing back.
        let to_line = if stand.protected_open { free(self.paths.protection, tank, line) } else { 0.0 };
        let to_chamber = if stand.passing { both(self.paths.feed(), line, chamber) } else { 0.0 };
        let exhaust = if stand.passing { 0.0 } else { self.paths.exhaust };
        // A bad seat lets out what stands at the valve's outlet: the chamber's air or, past a closed valve, the line's.
        let (behind, before) = if stand.passing { (self.paths.seat, 0.0) } else { (0.0, self.paths.blows_past()) };
        let lost = free(exhaust + self.paths.leak + behind, chamber, ATMOSPHERE_KPA);
        [pumped, to_line, to_chamber, lost, free(before, line, ATMOSPHERE_KPA)]
    }

    /// How fast everything changes, each second.
    pub(super) fn slopes(&self, values: &Values, stand: &Stand) -> Values {
        let mut slopes = vec![0.0; values.len()];
        self.air_slopes(values, stand, &mut slopes);
        let slip_watts = self.fan_slope(values, stand, &mut slopes);
        let plate_loss = self.clutch.plate_watts_per_kelvin * (values[PLATE] - self.ambient_c);
        slopes[PLATE] = (slip_watts - plate_loss) / self.clutch.plate_joules_per_kelvin;
        slopes[COOLANT] = self.coolant_slope(values);
        slopes[OIL] = self.oil_slope(values);
        slopes[REFRIGERANT] = self.refrigerant_slope(values);
        for (place, watts) in self.coil_watts.iter().enumerate() {
            // Its volts stay until the circuit is solved anew; its copper warms all the time.
            let (now, rise) = (watts / copper_factor(values[COILS + place]), values[COILS + place] - self.ambient_c);
            slopes[COILS + place] = (now * COIL_KELVIN_PER_WATT - rise) / COIL_SECONDS;
        }
        slopes
    }

    fn air_slopes(&self, values: &Values, stand: &Stand, slopes: &mut Values) {
        let pressures = self.pressures(values);
        let [pumped, to_line, to_chamber, mut lost, past_valve] = self.flows(pressures, stand);
        let (litres, growth) = self.chamber(pressures[2]);
        // What a kPa more takes, in litres of free air.
        let takes =
            [self.air.tank_litres / 100.0, self.air.line_litres / 100.0, (litres + pressures[2] * growth) / 100.0];
        if stand.chamber_settled && !stand.passing {
            lost = 0.0;
        }
        let let_out = if stand.drawn { (-to_chamber).max(0.0) } else { 0.0 };
        (slopes[BROUGHT], slopes[LOST]) = (pumped, lost + past_valve + let_out);
        if stand.steady_leak
            && let Some(leak) = self.leak_balance(pressures)
        {
            let follow = [1.0, leak.line_per_tank, leak.chamber_per_tank];
            let taken: f64 = follow.iter().zip(&takes).map(|(share, takes)| share * takes).sum();
            (0..3).for_each(|v| slopes[v] = follow[v] * takes[v] * (pumped - lost) / taken);
            return;
        }
        let net = [pumped - to_line, to_line - to_chamber - past_valve - let_out, to_chamber - lost];
        let chamber_with_line = stand.chamber_settled && stand.passing;
        let groups: &[&[usize]] = match (stand.tank_with_line, chamber_with_line) {
            (true, true) => &[&[TANK, LINE, CHAMBER]],
            (true, false) => &[&[TANK, LINE], &[CHAMBER]],
            (false, true) => &[&[TANK], &[LINE, CHAMBER]],
            (false, false) => &[&[TANK], &[LINE], &[CHAMBER]],
        };
        for group in groups {
            // Flows between vessels of one group cancel.
            let into: f64 = group.iter().map(|v| net[*v]).sum();
            let taken: f64 = group.iter().map(|v| takes[*v]).sum();
            group.iter().for_each(|v| slopes[*v] = if group.len() > 1 { takes[*v] * into / taken } else { into });
        }
    }

    /// Where line and chamber have to go for what leaks out to be what comes in, and how they follow the tank then; none
    /// where pressures do not fall from tank to outside.
    fn leak_balance(&self, [tank, line, chamber]: [f64; 3]) -> Option<LeakBalance> {
        if !(tank > line && line > chamber && chamber > ATMOSPHERE_KPA) {
            return None;
        }
        const H: f64 = 1e-3;
        let (feed, ratio) = (self.paths.feed(), self.paths.ratio);
        let slope = |at: f64, f: &dyn Fn(f64) -> f64| (f(at + H) - f(at - H)) / (2.0 * H);
        let given = |tank: f64, line: f64| flow(self.paths.protection, ratio, tank, line);
        let fed = |line: f64, chamber: f64| flow(feed, ratio, line, chamber);
        let leaks = |chamber: f64| flow(self.paths.leak, ratio, chamber, ATMOSPHERE_KPA);
        let (given_by_tank, given_by_line) = (slope(tank, &|t| given(t, line)), slope(line, &|l| given(tank, l)));
        let (fed_by_line, fed_by_chamber) = (slope(line, &|l| fed(l, chamber)), slope(chamber, &|c| fed(line, c)));
        let leaks_by_chamber = slope(chamber, &leaks);
        // Two balances, of the line and of the chamber, in two unknowns: one step of Newton's method.
        let (into_line, into_chamber) = (given(tank, line) - fed(line, chamber), fed(line, chamber) - leaks(chamber));
        let (a, b) = (given_by_line - fed_by_line, -fed_by_chamber);
        let (c, d) = (fed_by_line, fed_by_chamber - leaks_by_chamber);
        let determinant = a * d - b * c;
        if determinant == 0.0 || determinant.is_nan() {
            return None;
        }
        Some(LeakBalance {
            line_off: (b * into_chamber - d * into_line) / determinant,
            chamber_off: (c * into_line - a * into_chamber) / determinant,
            line_per_tank: -d * given_by_tank / determinant,
            chamber_per_tank: c * given_by_tank / determinant,
        })
    }

    /// Takes line and chamber back to where a steady leak has them, from what rounding and the error of steps have made of
    /// it. The tank gives, or takes, what they lack.
    pub(super) fn rebalance(&self, values: &mut Values) {
        let [tank, line, chamber] = self.pressures(values);
        let Some(leak) = self.leak_balance([tank, line, chamber]) else { return };
        let [_, line_free, chamber_free] = self.free_litres([tank, line + leak.line_off, chamber + leak.chamber_off]);
        values[TANK] += values[LINE] - line_free + values[CHAMBER] - chamber_free;
        (values[LINE], values[CHAMBER]) = (line_free, chamber_free);
    }

    /// Sets the fan's slope; heat made by slip, in watts.
    fn fan_slope(&self, values: &Values, stand: &Stand, slopes: &mut Values) -> f64 {
        let per_rpm = std::f64::consts::PI / 30.0;
        if stand.locked {
            return 0.0;
        }
        let fan = values[FAN];
        let capacity = self.model.capacity_nm(self.chamber_gauge(values));
        if capacity <= 0.0 {
            slopes[FAN] = self.free_fan_nm(fan) / self.clutch.fan_kg_m2 / per_rpm;
            return 0.0;
        }
        let slip_rpm = self.carrying_rpm() - fan;
        // A driven fan's bearing is part of what it asks for.
        let net = capacity * slip_rpm.signum() - self.model.demand_nm(fan);
        let net = if fan <= 0.0 && net < 0.0 || slip_rpm == 0.0 && fan == 0.0 { 0.0 } else { net };
        slopes[FAN] = net / self.clutch.fan_kg_m2 / per_rpm;
        capacity * slip_rpm.abs() * per_rpm
    }

    /// What turns a fan that the clutch has let go, in newton metres: its bearing, which holds it back or, running
    /// rough, takes it along with the pulley.
    fn free_fan_nm(&self, fan_rpm: f64) -> f64 {
        let slip_rpm = self.engine_rpm - fan_rpm;
        let dragged = if slip_rpm == 0.0 { 0.0 } else { self.model.dragged_nm * slip_rpm.signum() };
        let held = if fan_rpm > 0.0 { FAN_BEARING_NM } else { 0.0 };
        let net = dragged - self.model.demand_nm(fan_rpm) - held;
        if fan_rpm <= 0.0 { net.max(0.0) } else { net }
    }

    /// Speed of the pulley in rpm while it carries the fan.
    pub(super) fn carrying_rpm(&self) -> f64 {
        self.model.carrying_rpm(self.engine_rpm)
    }

    /// A stopped engine cools slowly, its thermostat open or not: nothing pumps the coolant through the radiator.
    fn coolant_slope(&self, values: &Values) -> f64 {
        let (engine, coolant) = (&self.engine, values[COOLANT]);
        if self.engine_rpm <= 0.0 {
            return self.stopped_slope(coolant);
        }
        let (opens, full) = (engine.thermostat_opens.value(), engine.thermostat_full.value());
        let open = ((coolant - opens) / (full - opens)).clamp(0.0, 1.0);
        let fan = engine.fan_cools_watts_per_kelvin * self.model.blades * values[FAN] / GOVERNED_RPM;
        let cooling = engine.radiator_watts_per_kelvin + fan;
        let made = engine.heat_to_coolant_watts * self.engine_rpm / GOVERNED_RPM;
        (made - open * cooling * (coolant - self.ambient_c)) / engine.coolant_joules_per_kelvin
    }

    /// How fast something as warm as this cools with the stopped engine it is part of.
    fn stopped_slope(&self, celsius: f64) -> f64 {
        let rate = self.engine.stopped_watts_per_kelvin / self.engine.coolant_joules_per_kelvin;
        -rate * (celsius - self.ambient_c)
    }

    /// Oil follows the coolant, the further above it the faster the engine turns.
    fn oil_slope(&self, values: &Values) -> f64 {
        let (engine, oil) = (&self.engine, values[OIL]);
        if self.engine_rpm <= 0.0 {
            return self.stopped_slope(oil);
        }
        let level = values[COOLANT] + engine.oil_rise_kelvin * self.engine_rpm / GOVERNED_RPM;
        (level - oil) / engine.oil_seconds
    }

    /// Refrigerant follows speed, outside air and fan, as with the air conditioning on. With the engine stopped it stays
    /// as it is set: that is what proving by hand works with.
    fn refrigerant_slope(&self, values: &Values) -> f64 {
        let engine = &self.engine;
        if self.engine_rpm <= 0.0 {
            return 0.0;
        }
        let warmer = (self.ambient_c - REFRIGERANT_AT_C) * engine.refrigerant_per_kelvin.value();
        let fan = engine.fan_lowers_refrigerant.value() * self.model.blades * values[FAN] / GOVERNED_RPM;
        let loaded = (engine.refrigerant_rises.value() + warmer - fan) * self.engine_rpm / GOVERNED_RPM;
        let level = (engine.refrigerant_rests.value() + loaded).max(0.0);
        (level - values[REFRIGERANT]) / engine.refrigerant_seconds
    }

    /// The stand that the values have come to by themselves, if they have.
    pub(super) fn settled(&self, values: &Values, stand: &Stand) -> Stand {
        let near = |a: f64, b: f64| (a - b).abs() < SAME_PRESSURE_KPA;
        let mut next = *stand;
        let [tank, line, chamber] = self.pressures(values);
        let gauge = tank - ATMOSPHERE_KPA;
        let reopens = if stand.protected_open { 0.0 } else { PROTECTION_REOPENS_KPA };
        next.protected_open = gauge > self.air.protection_closes.value() + reopens;
        if gauge <= self.air.cut_in.value() {
            next.pumping = true;
        } else if gauge >= self.air.cut_out.value() {
            next.pumping = false;
        }
        next.pumping &= self.engine_rpm > 0.0;
        // Air that is being lost keeps flowing, and holds nothing together; with the compressor at work the tank
        // leads the line by next to nothing.
        let still = self.paths.leak + self.paths.seat == 0.0;
        let other = if stand.passing { line } else { ATMOSPHERE_KPA };
        next.chamber_settled = (still || !stand.passing)
            && (stand.chamber_settled || near(chamber, other) || (!stand.passing && chamber < other));
        next.drawn = stand.drawn && stand.passing && chamber > line + SAME_PRESSURE_KPA;
        let off = if stand.steady_leak { 10.0 * SAME_PRESSURE_KPA } else { SAME_PRESSURE_KPA };
        // A seat that leaks, or a supply shut off, is no part of that balance.
        let leaks_alone = self.paths.seat == 0.0 && self.paths.protection > 0.0;
        next.steady_leak = leaks_alone && stand.passing && !still && next.protected_open && !next.drawn && {
            let balance = self.leak_balance([tank, line, chamber]);
            balance.is_some_and(|leak| leak.line_off.abs() < off && leak.chamber_off.abs() < off)
        };
        // While the line feeds the chamber the tank stands above it, if only by a little.
        next.tank_with_line = next.protected_open
            && self.paths.protection > 0.0
            && (stand.passing || !self.paths.crossed)
            && (next.chamber_settled || !stand.passing && self.paths.seat == 0.0)
            && (stand.tank_with_line || near(tank, line));
        let capacity = if self.bolted { f64::INFINITY } else { self.model.capacity_nm(chamber - ATMOSPHERE_KPA) };
        let holds = capacity > 0.0 && capacity >= self.model.demand_nm(self.carrying_rpm());
        next.locked = holds && (stand.locked || self.bolted || (values[FAN] - self.carrying_rpm()).abs() < 0.5);
        next
    }
}
