//! The engine's warmth and what hangs on it, as the file describes them, every figure with a default.
//!
//! Plain numbers with their units in their names. No public source gives them for a vehicle; all defaults are example
//! values. How coolant, oil and refrigerant follow from them over time is left to the physics.

use serde::{Deserialize, Serialize};

use super::figure::Figure;
use super::quantity::Level;

/// Heat of the engine, and how far oil and refrigerant follow the load. All figures are example values.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Engine {
    /// Heat that the engine gives to its coolant at governed speed, in watts.
    pub heat_to_coolant_watts: f64,
    /// Heat that warms engine and coolant by a kelvin, in joules.
    pub coolant_joules_per_kelvin: f64,
    /// Heat that the radiator gives off for each kelvin above the air, thermostat open and fan free, in watts.
    pub radiator_watts_per_kelvin: f64,
    /// The same that a fan at governed speed adds.
    pub fan_cools_watts_per_kelvin: f64,
    /// Heat that a stopped engine gives off for each kelvin above the air, in watts.
    pub stopped_watts_per_kelvin: f64,
    /// Coolant at which the thermostat begins to open.
    pub thermostat_opens: Level,
    /// Coolant at which it is fully open.
    pub thermostat_full: Level,
    /// Kelvin by which the oil comes above the coolant at governed speed.
    pub oil_rise_kelvin: f64,
    /// Time in which the oil comes 63 % of its way, in seconds.
    pub oil_seconds: f64,
    /// Refrigerant on the high side with the engine at rest, at 20 °C.
    pub refrigerant_rests: Level,
    /// How much more it comes to at governed speed, at 20 °C and with the fan free.
    pub refrigerant_rises: Level,
    /// How much more for each kelvin that the air is above 20 °C.
    pub refrigerant_per_kelvin: Level,
    /// How much less with the fan at governed speed.
    pub fan_lowers_refrigerant: Level,
    /// Time in which it comes 63 % of its way, in seconds.
    pub refrigerant_seconds: f64,
}

impl Default for Engine {
    fn default() -> Self {
        Self {
            heat_to_coolant_watts: 70e3,
            coolant_joules_per_kelvin: 350e3,
            radiator_watts_per_kelvin: 550.0,
            fan_cools_watts_per_kelvin: 1600.0,
            stopped_watts_per_kelvin: 30.0,
            thermostat_opens: Level::Celsius(82.0),
            thermostat_full: Level::Celsius(93.0),
            oil_rise_kelvin: 20.0,
            oil_seconds: 600.0,
            refrigerant_rests: Level::Psi(100.0),
            refrigerant_rises: Level::Psi(120.0),
            refrigerant_per_kelvin: Level::Psi(5.0),
            fan_lowers_refrigerant: Level::Psi(90.0),
            refrigerant_seconds: 120.0,
        }
    }
}

impl Engine {
    /// Its figures by the names of the file.
    pub fn figures(&self) -> Vec<(&'static str, Figure)> {
        vec![
            ("heat_to_coolant_watts", Figure::Number(self.heat_to_coolant_watts)),
            ("coolant_joules_per_kelvin", Figure::Number(self.coolant_joules_per_kelvin)),
            ("radiator_watts_per_kelvin", Figure::Number(self.radiator_watts_per_kelvin)),
            ("fan_cools_watts_per_kelvin", Figure::Number(self.fan_cools_watts_per_kelvin)),
            ("stopped_watts_per_kelvin", Figure::Number(self.stopped_watts_per_kelvin)),
            ("thermostat_opens", Figure::Level(self.thermostat_opens)),
            ("thermostat_full", Figure::Level(self.thermostat_full)),
            ("oil_rise_kelvin", Figure::Number(self.oil_rise_kelvin)),
            ("oil_seconds", Figure::Number(self.oil_seconds)),
            ("refrigerant_rests", Figure::Level(self.refrigerant_rests)),
            ("refrigerant_rises", Figure::Level(self.refrigerant_rises)),
            ("refrigerant_per_kelvin", Figure::Level(self.refrigerant_per_kelvin)),
            ("fan_lowers_refrigerant", Figure::Level(self.fan_lowers_refrigerant)),
            ("refrigerant_seconds", Figure::Number(self.refrigerant_seconds)),
        ]
    }
}
