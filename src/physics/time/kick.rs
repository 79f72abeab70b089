//! How high a coil's voltage kicks when its current is broken.
//!
//! With nothing across it the coil's energy, half L I², charges what capacitance there is, to I times the root of L/C
//! (any textbook on switching inductive loads), unless the gap that broke it breaks down first. A resistor across it
//! carries the current on, so the kick is I R; a diode clamps it at its drop. Inductance, capacitance and the gap's
//! voltage are example values.

use crate::circuit::part::Suppressor;
use crate::physics::limits::{ARC_VOLTS, COIL_HENRY_PER_OHM, STRAY_FARADS};

/// Peak volts across a coil of `ohms` when `amps` through it are broken, `suppressor` fitted across it.
pub fn peak_volts(ohms: f64, amps: f64, suppressor: Option<&Suppressor>, diode_volts: f64) -> f64 {
    let amps = amps.abs();
    match suppressor {
        None => (amps * (COIL_HENRY_PER_OHM * ohms / STRAY_FARADS).sqrt()).min(ARC_VOLTS),
        Some(Suppressor::Resistor(across)) => (amps * across).min(ARC_VOLTS),
        Some(Suppressor::Diode { .. }) => diode_volts,
    }
}
