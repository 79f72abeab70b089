//! Everything that flows, warms and turns between two changes of the circuit: pressures, the fan, temperatures.
//!
//! Yields the slopes of all values for given positions of valve and engine. Vessels are isothermal; flow is ISO 6358
//! ([`air`](crate::physics::air)); the fan is one inertia against its own square law; plate, coolant and coils are one
//! lump of heat each. Vessels that have come to one pressure are held together, and a clutch that no longer slips is
//! locked, so that neither makes the steps small. When the circuit changes is decided in [`run`](super::run).

use crate::circuit::{Air, Circuit, Clutch, Kind, PartId};
use crate::physics::air::{Paths, chamber, flow};
use crate::physics::clutch::Model;
use crate::physics::inputs::Inputs;
use crate::physics::limits::{
    ATMOSPHERE_KPA, COIL_KELVIN_PER_WATT, COIL_SECONDS, COOLANT_JOULES_PER_KELVIN, FACING_NEW_MM, FAN_BEARING_NM,
    FAN_COOLS_WATTS_PER_KELVIN, GOVERNED_RPM, HEAT_TO_COOLANT_WATTS, RADIATOR_WATTS_PER_KELVIN, SAME_PRESSURE_KPA,
    THERMOSTAT_FULL_C, THERMOSTAT_OPENS_C,
};

use super::step::Values;

/// Places of the values.
pub(super) const TANK: usize = 0;
pub(super) const LINE: usize = 1;
pub(super) const CHAMBER: usize = 2;
/// Fan speed in rpm.
pub(super) const FAN: usize = 3;
/// Coolant, plate and then the coils in part order, in °C.
pub(super) const COOLANT: usize = 4;
pub(super) const PLATE: usize = 5;
pub(super) const COILS: usize = 6;

/// How things stand between two changes.
#[derive(Clone, Debug, PartialEq)]
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
    /// The clutch carries the fan without slip.
    pub(super) locked: bool,
    /// Heat made in each coil, in watts.
    pub(super) coil_watts: Vec<f64>,
}

/// The unchanging figures of one circuit under its faults.
#[derive(Clone, Debug)]
pub(super) struct Plant {
    pub(super) air: Air,
    pub(super) clutch: Clutch,
    pub(super) paths: Paths,
    pub(super) model: Model,
    /// Lock-up bolts tie the fan to its pulley.
    pub(super) bolted: bool,
    /// Coils, in the order of their temperatures.
    pub(super) coils: Vec<PartId>,
    pub(super) engine_rpm: f64,
    pub(super) ambient_c: f64,
}

impl Plant {
    pub(super) fn of(circuit: &Circuit, inputs: &Inputs) -> Self {
        let is_coil = |kind: &Kind| matches!(kind, Kind::Relay(_) | Kind::AirValve(_));
        let facing_mm = inputs.altered.facing_mm.unwrap_or(FACING_NEW_MM);
        Self {
            air: circuit.air().cloned().unwrap_or_default(),
            clutch: circuit.clutch().cloned().unwrap_or_default(),
            paths: Paths::of(circuit, &inputs.altered),
            model: Model::of(circuit, facing_mm),
            bolted: inputs.conditions.bolted,
            coils: circuit.parts_with_ids().filter(|(_, part)| is_coil(&part.kind)).map(|(id, _)| id).collect(),
            engine_rpm: inputs.conditions.engine_rpm,
            ambient_c: inputs.conditions.ambient_c,
        }
    }

    /// Air in chamber and hose at an absolute pressure: litres, and litres more for each kPa.
    pub(super) fn chamber(&self, kpa: f64) -> (f64, f64) {
        let (start, bites) = (self.model.starts_kpa, self.model.bites_kpa);
        chamber(&self.clutch, start, bites, self.model.travel_mm, kpa - ATMOSPHERE_KPA)
    }

    /// Free air (litres at 100 kPa) in tank, line and chamber together.
    pub(super) fn free_litres(&self, values: &Values) -> f64 {
        let vessels = [
            (self.air.tank_litres, values[TANK]),
            (self.air.line_litres, values[LINE]),
            (self.chamber(values[CHAMBER]).0, values[CHAMBER]),
        ];
        vessels.iter().map(|(litres, kpa)| litres * kpa / 100.0).sum()
    }

    /// Flows in litres of free air a second: into the tank, tank to line, line to chamber, chamber to outside.
    pub(super) fn flows(&self, values: &Values, stand: &Stand) -> [f64; 4] {
        let free = |c: f64, up: f64, down: f64| flow(c, self.paths.ratio, up, down) / 100.0;
        let both = |c: f64, a: f64, b: f64| free(c, a, b) - free(c, b, a);
        let pumped =
            if stand.pumping { self.air.compressor_litres_per_second * self.engine_rpm / GOVERNED_RPM } else { 0.0 };
        let (tank, line, chamber) = (values[TANK], values[LINE], values[CHAMBER]);
        // The protection valve lets nothing back.
        let to_line = if stand.protected_open { free(self.paths.protection, tank, line) } else { 0.0 };
        let to_chamber = if stand.passing { both(self.paths.feed(), line, chamber) } else { 0.0 };
        let exhaust = if stand.passing { 0.0 } else { self.paths.exhaust };
        let lost = free(exhaust + self.paths.leak, chamber, ATMOSPHERE_KPA);
        [pumped, to_line, to_chamber, lost]
    }

    /// How fast everything changes, each second.
    pub(super) fn slopes(&self, values: &Values, stand: &Stand) -> Values {
        let mut slopes = vec![0.0; values.len()];
        self.air_slopes(values, stand, &mut slopes);
        let slip_watts = self.fan_slope(values, stand, &mut slopes);
        let plate_loss = self.clutch.plate_watts_per_kelvin * (values[PLATE] - self.ambient_c);
        slopes[PLATE] = (slip_watts - plate_loss) / self.clutch.plate_joules_per_kelvin;
        slopes[COOLANT] = self.coolant_slope(values);
        for (place, watts) in stand.coil_watts.iter().enumerate() {
            let rise = values[COILS + place] - self.ambient_c;
            slopes[COILS + place] = (watts * COIL_KELVIN_PER_WATT - rise) / COIL_SECONDS;
        }
        slopes
    }

    fn air_slopes(&self, values: &Values, stand: &Stand, slopes: &mut Values) {
        let [pumped, to_line, to_chamber, lost] = self.flows(values, stand);
        let (litres, growth) = self.chamber(values[CHAMBER]);
        // What a kPa more takes, in litres of free air.
        let takes =
            [self.air.tank_litres / 100.0, self.air.line_litres / 100.0, (litres + values[CHAMBER] * growth) / 100.0];
        let mut net = [pumped - to_line, to_line - to_chamber, to_chamber - lost];
        let chamber_with_line = stand.chamber_settled && stand.passing;
        if stand.chamber_settled && !stand.passing {
            net[2] = 0.0;
        }
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
            group.iter().for_each(|v| slopes[*v] = into / taken);
        }
    }

    /// Sets the fan's slope; heat made by slip, in watts.
    fn fan_slope(&self, values: &Values, stand: &Stand, slopes: &mut Values) -> f64 {
        let per_rpm = std::f64::consts::PI / 30.0;
        if stand.locked {
            return 0.0;
        }
        let fan = values[FAN];
        let capacity = self.model.capacity_nm(values[CHAMBER] - ATMOSPHERE_KPA);
        let slip_rpm = self.engine_rpm - fan;
        let bearing = if fan > 0.0 { FAN_BEARING_NM } else { 0.0 };
        let net = capacity * slip_rpm.signum() - self.model.demand_nm(fan) - bearing;
        let net = if fan <= 0.0 && net < 0.0 || slip_rpm == 0.0 && fan == 0.0 { 0.0 } else { net };
        slopes[FAN] = net / self.clutch.fan_kg_m2 / per_rpm;
        capacity * slip_rpm.abs() * per_rpm
    }

    /// A stopped engine neither warms nor is cooled: hand-proving takes minutes, cooling down hours.
    fn coolant_slope(&self, values: &Values) -> f64 {
        if self.engine_rpm <= 0.0 {
            return 0.0;
        }
        let coolant = values[COOLANT];
        let open = ((coolant - THERMOSTAT_OPENS_C) / (THERMOSTAT_FULL_C - THERMOSTAT_OPENS_C)).clamp(0.0, 1.0);
        let cooling = RADIATOR_WATTS_PER_KELVIN + FAN_COOLS_WATTS_PER_KELVIN * values[FAN] / GOVERNED_RPM;
        let made = HEAT_TO_COOLANT_WATTS * self.engine_rpm / GOVERNED_RPM;
        (made - open * cooling * (coolant - self.ambient_c)) / COOLANT_JOULES_PER_KELVIN
    }

    /// The stand that the values have come to by themselves, if they have.
    pub(super) fn settled(&self, values: &Values, stand: &Stand) -> Stand {
        let near = |a: f64, b: f64| (a - b).abs() < SAME_PRESSURE_KPA;
        let mut next = stand.clone();
        let (tank, line, chamber) = (values[TANK], values[LINE], values[CHAMBER]);
        let gauge = tank - ATMOSPHERE_KPA;
        next.protected_open = gauge > self.air.protection_closes.value();
        if gauge <= self.air.cut_in.value() {
            next.pumping = true;
        } else if gauge >= self.air.cut_out.value() {
            next.pumping = false;
        }
        next.pumping &= self.engine_rpm > 0.0;
        // Air that is being lost keeps flowing, and holds nothing together; with the compressor at work the tank
        // leads the line by next to nothing.
        let still = self.paths.leak == 0.0;
        next.tank_with_line = next.protected_open && still && (stand.tank_with_line || near(tank, line));
        let other = if stand.passing { line } else { ATMOSPHERE_KPA };
        next.chamber_settled = (still || !stand.passing)
            && (stand.chamber_settled || near(chamber, other) || (!stand.passing && chamber < other));
        let capacity = if self.bolted { f64::INFINITY } else { self.model.capacity_nm(chamber - ATMOSPHERE_KPA) };
        let holds = capacity > 0.0 && capacity >= self.model.demand_nm(self.engine_rpm);
        next.locked = holds && (stand.locked || self.bolted || (values[FAN] - self.engine_rpm).abs() < 0.5);
        next
    }
}
