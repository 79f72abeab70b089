//! Wires: which two terminals each joins, and of what copper.
//!
//! Resistance as the file format fixes it; what flows in a wire is the physics' business.

use super::ids::TerminalId;
use super::quantity::{Gauge, Length};

/// Resistivity of annealed copper at 20 °C in ohm mm²/m (IEC 60028, from memory; 1/58).
pub const COPPER_OHM_MM2_PER_M: f64 = 0.017241;
/// Rise of copper's resistance per kelvin above 20 °C, relative to 20 °C (IEC 60028, from memory).
pub const COPPER_PER_KELVIN: f64 = 0.00393;
/// A wire's size when the file gives none.
pub const DEFAULT_GAUGE: Gauge = Gauge::Awg(16);
/// A wire's length when the file gives none.
pub const DEFAULT_LENGTH: Length = Length::Metre(1.0);

/// How much copper resists at `celsius`, relative to 20 °C.
pub fn copper_factor(celsius: f64) -> f64 {
    1.0 + COPPER_PER_KELVIN * (celsius - 20.0)
}

/// One wire of the harness.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Its number on the drawing: `W1`.
    pub tag: String,
    /// Terminal at the end written first.
    pub from: TerminalId,
    /// Terminal at the other end.
    pub to: TerminalId,
    /// Size.
    pub gauge: Gauge,
    /// Length.
    pub length: Length,
    /// Insulation colour by IEC 60757 letters, where it is known.
    pub colour: Option<String>,
}

impl Wire {
    /// Ohms end to end at a copper temperature of `celsius`.
    pub fn ohms(&self, celsius: f64) -> f64 {
        COPPER_OHM_MM2_PER_M * self.length.metres() / self.gauge.square_mm() * copper_factor(celsius)
    }
}
