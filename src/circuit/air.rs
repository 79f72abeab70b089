//! The air side and the clutch as the file describes them, every figure with a default.
//!
//! Plain numbers with their units in their names. No public source gives most of them for this duty; such defaults
//! are example values, to be replaced by those of the vehicle. What follows from them is left to the physics.

use serde::{Deserialize, Serialize};

use super::figure::Figure;
use super::quantity::Level;

/// Air needed at the clutch when the file says nothing, in psi (common practice, no source).
pub const DEFAULT_MINIMUM_PSI: f64 = 90.0;

/// The air side, from the vehicle's tank to the clutch. A flow figure `c` is a sonic conductance in dm³/(s bar) after
/// ISO 6358.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Air {
    /// Air pressure at or above which the clutch does its full work.
    pub minimum: Level,
    /// Tag of the valve that feeds the clutch; the first in the file where none is named.
    pub valve: Option<String>,
    /// Tanks of the vehicle together, in litres (example value).
    pub tank_litres: f64,
    /// Air that the compressor delivers at governed speed, in litres of free air a second (the 8.2 cfm that raise a
    /// 6 ft³ system from 85 to 100 psi in 45 s: commercial driver's manuals, a typical figure).
    pub compressor_litres_per_second: f64,
    /// Pressure at which the governor lets the compressor deliver again (commercial driver's manuals: about 100 psi).
    pub cut_in: Level,
    /// Pressure at which the governor stops it (commercial driver's manuals: about 125 psi).
    pub cut_out: Level,
    /// Pressure of the tanks below which the protection valve keeps what is left for the brakes (example value).
    pub protection_closes: Level,
    /// Flow figure of the protection valve (example value).
    pub protection_c: f64,
    /// Piping between protection valve and control valve, in litres (example value).
    pub line_litres: f64,
    /// Flow figure of the clean filter (example value).
    pub filter_c: f64,
    /// Flow figure of the control valve from supply to clutch (example value).
    pub valve_c: f64,
    /// Flow figure of the control valve's exhaust with its screen (example value).
    pub exhaust_c: f64,
    /// Flow figure of the hose to the clutch with its rotary seal (example value).
    pub hose_c: f64,
    /// Critical ratio of all of them (example value; ISO 6358 puts it at 0.2 to 0.5).
    pub critical_ratio: f64,
}

impl Default for Air {
    fn default() -> Self {
        Self {
            minimum: Level::Psi(DEFAULT_MINIMUM_PSI),
            valve: None,
            tank_litres: 120.0,
            compressor_litres_per_second: 3.9,
            cut_in: Level::Psi(100.0),
            cut_out: Level::Psi(125.0),
            protection_closes: Level::Psi(60.0),
            protection_c: 3.0,
            line_litres: 5.0,
            filter_c: 1.2,
            valve_c: 0.45,
            exhaust_c: 0.45,
            hose_c: 0.5,
            critical_ratio: 0.35,
        }
    }
}

impl Air {
    /// Its figures by the names of the file.
    pub fn figures(&self) -> Vec<(&'static str, Figure)> {
        vec![
            ("minimum", Figure::Level(self.minimum)),
            ("valve", self.valve.clone().map_or(Figure::LeftOut, Figure::Tag)),
            ("tank_litres", Figure::Number(self.tank_litres)),
            ("compressor_litres_per_second", Figure::Number(self.compressor_litres_per_second)),
            ("cut_in", Figure::Level(self.cut_in)),
            ("cut_out", Figure::Level(self.cut_out)),
            ("protection_closes", Figure::Level(self.protection_closes)),
            ("protection_c", Figure::Number(self.protection_c)),
            ("line_litres", Figure::Number(self.line_litres)),
            ("filter_c", Figure::Number(self.filter_c)),
            ("valve_c", Figure::Number(self.valve_c)),
            ("exhaust_c", Figure::Number(self.exhaust_c)),
            ("hose_c", Figure::Number(self.hose_c)),
            ("critical_ratio", Figure::Number(self.critical_ratio)),
        ]
    }
}

/// The clutch's principle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Engages {
    /// Air applies it, a spring releases it.
    #[default]
    WithAir,
    /// A spring applies it, air releases it.
    WithoutAir,
}

/// The clutch and the fan it drives.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Clutch {
    /// Its principle.
    pub engages: Engages,
    /// Piston diameter in mm (example value).
    pub bore_mm: f64,
    /// Piston travel until the facing bites, or is free, with a new facing, in mm (example value).
    pub travel_mm: f64,
    /// Air space of chamber and hose with the piston at rest, in litres (example value).
    pub chamber_litres: f64,
    /// Pressure at which a new facing just bites (air-applied) or just comes free (spring-applied). Left out: 30 and
    /// 85 parts in 90 of the minimum (common practice, no source).
    pub bites_at: Option<Level>,
    /// Friction coefficient of the facing (example value).
    pub friction: f64,
    /// Friction faces (example value).
    pub faces: u32,
    /// Outer diameter of the facing in mm (example value).
    pub outer_mm: f64,
    /// Inner diameter of the facing in mm (example value).
    pub inner_mm: f64,
    /// Torque that the fan asks for at governed engine speed, in newton metres. Left out: what the clutch just carries
    /// at 70 parts in 90 of the minimum, below which a good one may slip (common practice, no source).
    pub fan_nm: Option<f64>,
    /// Moment of inertia of fan and driven half, in kg m² (example value).
    pub fan_kg_m2: f64,
    /// Heat that warms the plate by a kelvin, in joules (example value).
    pub plate_joules_per_kelvin: f64,
    /// Heat that the plate gives off for each kelvin above the air, in watts (example value).
    pub plate_watts_per_kelvin: f64,
    /// Temperature at which the plate discolours (example value; steel shows its first colours near 220 °C).
    pub discolours_at: Level,
}

impl Default for Clutch {
    fn default() -> Self {
        Self {
            engages: Engages::WithAir,
            bore_mm: 110.0,
            travel_mm: 1.5,
            chamber_litres: 0.26,
            bites_at: None,
            friction: 0.35,
            faces: 2,
            outer_mm: 320.0,
            inner_mm: 200.0,
            fan_nm: None,
            fan_kg_m2: 0.25,
            plate_joules_per_kelvin: 2500.0,
            plate_watts_per_kelvin: 30.0,
            discolours_at: Level::Celsius(250.0),
        }
    }
}

impl Clutch {
    /// Its figures by the names of the file.
    pub fn figures(&self) -> Vec<(&'static str, Figure)> {
        vec![
            ("engages", Figure::Principle(self.engages)),
            ("bore_mm", Figure::Number(self.bore_mm)),
            ("travel_mm", Figure::Number(self.travel_mm)),
            ("chamber_litres", Figure::Number(self.chamber_litres)),
            ("bites_at", self.bites_at.map_or(Figure::LeftOut, Figure::Level)),
            ("friction", Figure::Number(self.friction)),
            ("faces", Figure::Number(f64::from(self.faces))),
            ("outer_mm", Figure::Number(self.outer_mm)),
            ("inner_mm", Figure::Number(self.inner_mm)),
            ("fan_nm", self.fan_nm.map_or(Figure::LeftOut, Figure::Number)),
            ("fan_kg_m2", Figure::Number(self.fan_kg_m2)),
            ("plate_joules_per_kelvin", Figure::Number(self.plate_joules_per_kelvin)),
            ("plate_watts_per_kelvin", Figure::Number(self.plate_watts_per_kelvin)),
            ("discolours_at", Figure::Level(self.discolours_at)),
        ]
    }
}
