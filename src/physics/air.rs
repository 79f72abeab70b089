//! Air to the clutch at rest: what the gauge in the clutch hose shows once nothing changes any more.
//!
//! With the valve passing, the chamber stands at supply, unless air leaks out behind the valve: then at the pressure
//! where what comes through the supply path equals what the holes lose (ISO 6358 flow, found by bisection). With the
//! valve blocking, the chamber is vented; a plugged exhaust only delays that. Filling and venting over time are not
//! here.

use super::inputs::Altered;
use super::limits::{
    ATMOSPHERE_KPA, CLOGGED_CONDUCTANCE, CRITICAL_RATIO, HOLE_CONDUCTANCE_PER_MM2, SUPPLY_CONDUCTANCE,
};

/// Flow through a path of sonic conductance `c` from `upstream` to `downstream` (both absolute, same unit), in units
/// of c times that unit: ISO 6358-1's choked and subsonic law (from memory), the critical ratio
/// [`CRITICAL_RATIO`].
pub fn flow(c: f64, upstream: f64, downstream: f64) -> f64 {
    if upstream <= downstream {
        return 0.0;
    }
    let ratio = downstream / upstream;
    if ratio <= CRITICAL_RATIO {
        return c * upstream;
    }
    let u = (ratio - CRITICAL_RATIO) / (1.0 - CRITICAL_RATIO);
    c * upstream * (1.0 - u * u).max(0.0).sqrt()
}

/// Steady pressure in the chamber in kPa (gauge).
pub fn steady_chamber_kpa(passing: bool, supply_kpa: f64, altered: &Altered) -> f64 {
    if !passing {
        return 0.0;
    }
    let hole_mm2 = |mm: Option<f64>| std::f64::consts::FRAC_PI_4 * mm.unwrap_or(0.0).powi(2);
    let leak = HOLE_CONDUCTANCE_PER_MM2 * (hole_mm2(altered.hose_leak_mm) + hole_mm2(altered.chamber_leak_mm));
    if leak == 0.0 {
        return supply_kpa;
    }
    let feed = if altered.filter_blocked { CLOGGED_CONDUCTANCE } else { SUPPLY_CONDUCTANCE };
    let supply = supply_kpa + ATMOSPHERE_KPA;
    let (mut low, mut high) = (ATMOSPHERE_KPA, supply);
    // Each halving is exact, so 60 of them leave nothing of a double's precision to gain.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if flow(feed, supply, middle) > flow(leak, middle, ATMOSPHERE_KPA) {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high) - ATMOSPHERE_KPA).clamp(0.0, supply_kpa)
}
