//! Air on its way to the clutch: flow laws, the paths of one circuit, and the pressure everything comes to rest at.
//!
//! Flow by ISO 6358-1 (from memory): choked below the critical ratio, a quarter of an ellipse above it, a straight
//! line in the last thousandth before equal pressures, where flow is laminar. Conductances in a row add by the rule of
//! the standard's older edition (inverse cubes). What happens over time is in [`time`](super::time).

use crate::circuit::{Air, Circuit, Clutch};

use super::inputs::Altered;
use super::limits::{ATMOSPHERE_KPA, CLOGGED_CONDUCTANCE, HOLE_CONDUCTANCE_PER_MM2, LAMINAR_FROM, PLUGGED_CONDUCTANCE};

/// Flow through a path of sonic conductance `c` and critical ratio `ratio` from `upstream` to `downstream` (both
/// absolute, same unit), in units of c times that unit; none against the pressure.
pub fn flow(c: f64, ratio: f64, upstream: f64, downstream: f64) -> f64 {
    if upstream <= downstream {
        return 0.0;
    }
    let between = downstream / upstream;
    if between <= ratio {
        return c * upstream;
    }
    let ellipse = |between: f64| {
        let u = (between - ratio) / (1.0 - ratio);
        (1.0 - u * u).max(0.0).sqrt()
    };
    if between > LAMINAR_FROM && LAMINAR_FROM > ratio {
        return c * upstream * ellipse(LAMINAR_FROM) * (1.0 - between) / (1.0 - LAMINAR_FROM);
    }
    c * upstream * ellipse(between)
}

/// Conductance of paths one behind the other (ISO 6358:1989, from memory).
pub fn in_series(conductances: &[f64]) -> f64 {
    conductances.iter().map(|c| c.powi(-3)).sum::<f64>().cbrt().recip()
}

/// The ways of the air in one circuit, as altered as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paths {
    /// Protection valve, in dm³/(s bar).
    pub protection: f64,
    /// Filter, upstream of the supply gauge.
    pub filter: f64,
    /// Valve and hose, from the supply gauge to the chamber.
    pub to_clutch: f64,
    /// Hose and exhaust, from the chamber to the outside; none where the supply's hose is where the clutch's should be,
    /// and a valve that does not pass shuts the clutch in.
    pub exhaust: f64,
    /// Holes behind the valve, in hose and chamber.
    pub leak: f64,
    /// A hole through the valve's seat, from what feeds the valve's outlet to its exhaust.
    pub seat: f64,
    /// From the supply gauge to the outside past a valve that does not pass: that hole and, where the supply's hose is
    /// where the clutch's should be, the exhaust.
    pub past: f64,
    /// Supply and clutch hose are changed over.
    pub crossed: bool,
    /// Critical ratio of them all.
    pub ratio: f64,
}

impl Paths {
    /// The paths of a circuit.
    pub fn of(circuit: &Circuit, altered: &Altered) -> Self {
        Self::new(circuit.air_figures(), altered)
    }

    /// The paths that these figures describe.
    pub fn new(air: &Air, altered: &Altered) -> Self {
        let hole_mm2 = |mm: Option<f64>| std::f64::consts::FRAC_PI_4 * mm.unwrap_or(0.0).powi(2);
        let filter = if altered.filter_blocked { air.filter_c.min(CLOGGED_CONDUCTANCE) } else { air.filter_c };
        let exhaust = if altered.exhaust_blocked { air.exhaust_c.min(PLUGGED_CONDUCTANCE) } else { air.exhaust_c };
        let hose = if altered.hose_blocked { air.hose_c.min(CLOGGED_CONDUCTANCE) } else { air.hose_c };
        let crossed = altered.hoses_crossed;
        let seat = HOLE_CONDUCTANCE_PER_MM2 * hole_mm2(altered.seat_leak_mm);
        Self {
            protection: if altered.supply_blocked { 0.0 } else { air.protection_c },
            filter,
            to_clutch: in_series(&[air.valve_c, hose]),
            exhaust: if crossed { 0.0 } else { in_series(&[exhaust, hose]) },
            leak: HOLE_CONDUCTANCE_PER_MM2 * (hole_mm2(altered.hose_leak_mm) + hole_mm2(altered.chamber_leak_mm)),
            seat,
            past: if crossed { seat + exhaust } else { seat },
            crossed,
            ratio: air.critical_ratio,
        }
    }

    /// From the line to the chamber, filter, valve and hose in a row.
    pub fn feed(&self) -> f64 {
        in_series(&[self.filter, self.to_clutch])
    }

    /// Filter and what blows past a valve that does not pass, in a row: from the line to the outside.
    pub fn blows_past(&self) -> f64 {
        if self.past == 0.0 { 0.0 } else { in_series(&[self.filter, self.past]) }
    }

    /// Pressure at the supply gauge, all in kPa absolute: where what the filter lets through is what goes on, to the
    /// chamber or past a valve that does not pass.
    pub fn supply_gauge(&self, passing: bool, line: f64, chamber: f64) -> f64 {
        self.behind(self.filter, passing, line, chamber)
    }

    /// Pressure behind a path of conductance `c` from where there is `from`, before what is lost or goes on.
    fn behind(&self, c: f64, passing: bool, from: f64, chamber: f64) -> f64 {
        let (onward, to) = if passing { (self.to_clutch, chamber) } else { (self.past, ATMOSPHERE_KPA) };
        if to >= from || onward == 0.0 {
            return from;
        }
        balance(to, from, |at| flow(c, self.ratio, from, at) - flow(onward, self.ratio, at, to))
    }

    /// Pressure at the supply gauge in kPa (gauge) once nothing changes any more: that of the supply, less what the
    /// filter takes of it where air goes on being lost.
    pub fn steady_supply_kpa(&self, passing: bool, chamber_kpa: f64, supply_kpa: f64) -> f64 {
        let lost = if passing { self.leak + self.seat } else { self.past };
        if lost == 0.0 {
            return supply_kpa;
        }
        let (tank, chamber) = (supply_kpa + ATMOSPHERE_KPA, chamber_kpa + ATMOSPHERE_KPA);
        // What goes on to the clutch and leaks there is reckoned from the line, as the chamber's pressure is.
        let before = if passing { self.filter } else { in_series(&[self.protection, self.filter]) };
        let gauge = self.behind(before, passing, tank, chamber);
        (gauge - ATMOSPHERE_KPA).clamp(0.0, supply_kpa)
    }

    /// Pressure in the chamber in kPa (gauge) once nothing changes any more: that of the supply, unless air leaks out
    /// behind the valve; none with the valve blocking, but where it is `shut_in`. A plugged exhaust only delays it.
    pub fn steady_chamber_kpa(&self, passing: bool, shut_in: bool, supply_kpa: f64) -> f64 {
        if !passing {
            return if self.crossed && shut_in && self.leak == 0.0 { supply_kpa } else { 0.0 };
        }
        let leak = self.leak + self.seat;
        if leak == 0.0 {
            return supply_kpa;
        }
        let supply = supply_kpa + ATMOSPHERE_KPA;
        let feed = self.feed();
        let chamber = balance(ATMOSPHERE_KPA, supply, |at| {
            flow(feed, self.ratio, supply, at) - flow(leak, self.ratio, at, ATMOSPHERE_KPA)
        });
        (chamber - ATMOSPHERE_KPA).clamp(0.0, supply_kpa)
    }
}

/// Where a surplus that falls with pressure is nothing, by halving.
fn balance(low: f64, high: f64, surplus: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    // Each halving is exact, so 60 of them leave nothing of a double's precision to gain.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if surplus(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Volume of chamber and hose in litres at a chamber pressure in kPa (gauge), and how it grows with it in litres per
/// kPa: the piston moves against its spring between the pressures at which it starts and at which the facing bites.
pub fn chamber(clutch: &Clutch, start_kpa: f64, bites_kpa: f64, travel_mm: f64, gauge_kpa: f64) -> (f64, f64) {
    let swept = std::f64::consts::FRAC_PI_4 * clutch.bore_mm.powi(2) * travel_mm * 1e-6;
    if gauge_kpa <= start_kpa {
        (clutch.chamber_litres, 0.0)
    } else if gauge_kpa >= bites_kpa {
        (clutch.chamber_litres + swept, 0.0)
    } else {
        let slope = swept / (bites_kpa - start_kpa);
        (clutch.chamber_litres + slope * (gauge_kpa - start_kpa), slope)
    }
}

/// Pressure in kPa (absolute) at which chamber and hose hold so much air, in litres times kPa: [`chamber`] turned
/// round. Between start and bite volume and pressure both grow, and their product is a square.
pub fn chamber_pressure(clutch: &Clutch, start_kpa: f64, bites_kpa: f64, travel_mm: f64, litre_kpa: f64) -> f64 {
    let (start, bites) = (start_kpa + ATMOSPHERE_KPA, bites_kpa + ATMOSPHERE_KPA);
    let at_rest = clutch.chamber_litres;
    let moved = chamber(clutch, start_kpa, start_kpa, travel_mm, start_kpa + 1.0).0;
    if litre_kpa <= at_rest * start {
        return litre_kpa / at_rest;
    }
    if litre_kpa >= moved * bites {
        return litre_kpa / moved;
    }
    if bites <= start {
        // No range to move in: the piston goes all its way at one pressure.
        return start;
    }
    let slope = (moved - at_rest) / (bites - start);
    let b = at_rest - slope * start;
    let root = (b * b + 4.0 * slope * litre_kpa).sqrt();
    // The form without a difference of near equals.
    if b >= 0.0 { 2.0 * litre_kpa / (b + root) } else { (root - b) / (2.0 * slope) }
}
