//! Everything the outside may impose on a circuit: conditions, switch positions, leads, lifted wires, altered parts.
//!
//! Plain data, complete in itself: a circuit, these inputs and the memory of what went before give one outcome.
//! Who imposed it and why (a technician's act, a planted fault, a lesson) is not known here; the bench turns acts
//! and faults into these.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::part::{Quantity, ValveRest};
use crate::circuit::quantity::{KPA_PER_PSI, celsius_from_fahrenheit};
use crate::circuit::wire::copper_factor;
use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireEnd, WireId};

/// The surroundings, in the physics' own units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Key switch on.
    pub key_on: bool,
    /// Engine speed in revolutions a minute.
    pub engine_rpm: f64,
    /// Coolant in °C.
    pub coolant_c: f64,
    /// Intake or charge air in °C.
    pub intake_c: f64,
    /// Oil in °C.
    pub oil_c: f64,
    /// Refrigerant high side in kPa (gauge).
    pub refrigerant_kpa: f64,
    /// Air supply in kPa (gauge).
    pub air_kpa: f64,
    /// Air around the harness in °C: the copper's temperature.
    pub ambient_c: f64,
    /// Lock-up bolts tie the fan to its pulley.
    pub bolted: bool,
}

impl Default for Conditions {
    /// Key on, engine stopped, everything at 68 °F, refrigerant at 100 psi, air at 105 psi.
    fn default() -> Self {
        let room_c = celsius_from_fahrenheit(68.0);
        Self {
            key_on: true,
            engine_rpm: 0.0,
            coolant_c: room_c,
            intake_c: room_c,
            oil_c: room_c,
            refrigerant_kpa: 100.0 * KPA_PER_PSI,
            air_kpa: 105.0 * KPA_PER_PSI,
            ambient_c: room_c,
            bolted: false,
        }
    }
}

impl Conditions {
    /// What a sensor of this quantity feels, in °C or kPa.
    pub fn felt(&self, quantity: Quantity) -> f64 {
        match quantity {
            Quantity::Coolant => self.coolant_c,
            Quantity::IntakeAir => self.intake_c,
            Quantity::Oil => self.oil_c,
            Quantity::Refrigerant => self.refrigerant_kpa,
            Quantity::AirSupply => self.air_kpa,
        }
    }
}

/// Where a test lead or a chafed spot touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touch {
    /// The wires on a terminal, and the terminal itself while its plug is on.
    Terminal(TerminalId),
    /// The bare end of a lifted wire.
    LooseEnd(WireEnd),
    /// Clean metal of the chassis.
    Chassis,
}

/// A test lead between two points, or an instrument with its two leads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lead {
    /// Its number: stays the same while it is in place, so that its fuse can be remembered.
    pub number: u32,
    /// One end.
    pub a: Touch,
    /// The other end.
    pub b: Touch,
    /// Whole lead in ohms.
    pub ohms: f64,
    /// Rating of the fuse in it, in amps; none for a bare lead.
    pub fuse_amps: Option<f64>,
    /// Volts by which a source in it raises `a` above `b`: an ohmmeter's. Zero in a plain lead.
    pub source_volts: f64,
}

/// An unwanted join.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tie {
    /// A point and the chassis, through so many ohms.
    ToChassis(Touch, f64),
    /// A point and the battery's `+`, through so many ohms.
    ToSupply(Touch, f64),
    /// The copper of two wires, half way along each.
    Wires(WireId, WireId),
    /// A part's own terminal and the chassis, whether its plug is on or not, through so many ohms.
    InsideToChassis(TerminalId, f64),
}

/// Parts and wires that are not as built.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Altered {
    /// Wires broken through.
    pub cut: BTreeSet<WireId>,
    /// Ohms added in series with a wire.
    pub added_ohms: BTreeMap<WireId, f64>,
    /// Joins that should not be.
    pub ties: Vec<Tie>,
    /// Terminals whose wires have no contact with the part any more: pins backed out of their plug.
    pub pins_out: BTreeSet<TerminalId>,
    /// Parts with other figures than the circuit gives them: another was fitted, or it has changed.
    pub fitted: BTreeMap<PartId, Kind>,
    /// Contacts and drivers that stay where they are; for a relay its make contact.
    pub stuck: BTreeMap<PartId, Contact>,
    /// Set points moved by so much, in K or kPa.
    pub drift: BTreeMap<PartId, f64>,
    /// Coils broken through.
    pub coil_open: BTreeSet<PartId>,
    /// Coils with shorted turns: ohms left at 20 °C.
    pub coil_ohms: BTreeMap<PartId, f64>,
    /// Valves that do not move.
    pub valve_stuck: BTreeMap<PartId, ValveRest>,
    /// Valves of the other rest position, relays with 87 and 87a changed over.
    pub swapped: BTreeSet<PartId>,
    /// Supply and exhaust hose of the clutch's valve changed over.
    pub hoses_swapped: bool,
    /// Supply and clutch hose of the clutch's valve changed over.
    pub hoses_crossed: bool,
    /// Fuses found blown.
    pub blown: BTreeSet<PartId>,
    /// Batteries of other volts.
    pub battery_volts: BTreeMap<PartId, f64>,
    /// Modules that do nothing.
    pub module_dead: BTreeSet<PartId>,
    /// Diodes fitted the wrong way round.
    pub reversed: BTreeSet<PartId>,
    /// Diameter of a hole in the clutch hose, in mm.
    pub hose_leak_mm: Option<f64>,
    /// Diameter of a hole at the chamber, in mm.
    pub chamber_leak_mm: Option<f64>,
    /// Diameter of a hole through the valve's seat to its exhaust, in mm.
    pub seat_leak_mm: Option<f64>,
    /// Supply shut off between tank and valve.
    pub supply_blocked: bool,
    /// Filter clogged.
    pub filter_blocked: bool,
    /// Clutch hose kinked.
    pub hose_blocked: bool,
    /// Exhaust of the valve plugged.
    pub exhaust_blocked: bool,
    /// Facing left, in mm.
    pub facing_mm: Option<f64>,
    /// Oil or grease on the facing.
    pub facing_oiled: bool,
    /// The clutch's spring has lost most of its force.
    pub spring_weak: bool,
    /// The clutch's piston stays where it is without air.
    pub piston_seized: bool,
    /// A bearing of hub or pulley takes the fan along.
    pub bearing_rough: bool,
    /// The belt slips under the fan's load.
    pub belt_slack: bool,
    /// Blades are bent or broken off.
    pub fan_damaged: bool,
}

/// All that is imposed at once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inputs {
    /// The surroundings.
    pub conditions: Conditions,
    /// Switches not at rest: 1 for a hand switch moved, the position (from 0) for a selector.
    pub turned: BTreeMap<PartId, usize>,
    /// Test leads in place.
    pub leads: Vec<Lead>,
    /// Wire ends off their terminals.
    pub lifted: BTreeSet<WireEnd>,
    /// Parts with every wire off at once.
    pub unplugged: BTreeSet<PartId>,
    /// Parts and wires not as built.
    pub altered: Altered,
    /// Coils warmer than the air around them, in °C.
    pub coil_c: BTreeMap<PartId, f64>,
    /// Timers whose `in` is dead and whose hold has not run out.
    pub holding: BTreeSet<PartId>,
}

impl Inputs {
    /// A part with its figures as they are: the circuit's, unless another was fitted.
    pub fn kind<'a>(&'a self, circuit: &'a Circuit, part: PartId) -> &'a Kind {
        self.altered.fitted.get(&part).unwrap_or_else(|| &circuit.part(part).kind)
    }

    /// Pressure that the supply brings to the valve in kPa (gauge).
    pub fn supply_kpa(&self) -> f64 {
        if self.altered.supply_blocked { 0.0 } else { self.conditions.air_kpa }
    }

    /// How much a coil's copper resists, relative to 20 °C.
    pub fn coil_copper(&self, coil: PartId) -> f64 {
        copper_factor(self.coil_c.get(&coil).copied().unwrap_or(self.conditions.ambient_c))
    }
}
