//! How warm a wire gets when it carries a current for good.
//!
//! Steady balance of what the copper turns into heat, its resistance rising as it warms, against what the insulated
//! wire gives off to still air (Newton's law of cooling, any heat-transfer textbook). How long it takes to get there
//! is not said: minutes for a harness wire.

use super::limits::{INSULATION_SHARE, STILL_AIR_W_PER_M2_K};
use crate::circuit::wire::{COPPER_OHM_MM2_PER_M, COPPER_PER_KELVIN, copper_factor};

/// Steady temperature in °C of a wire of `square_mm` copper carrying `amps` in still air at `ambient_c`. None where
/// it never becomes steady: the copper's resistance rises faster than the heat can leave, and it burns.
pub fn steady_celsius(amps: f64, square_mm: f64, ambient_c: f64) -> Option<f64> {
    let ohms_per_m = COPPER_OHM_MM2_PER_M / square_mm;
    let copper_mm = (square_mm * 4.0 / std::f64::consts::PI).sqrt();
    let surface_m2_per_m = std::f64::consts::PI * copper_mm * INSULATION_SHARE / 1000.0;
    // Kelvin of rise there would be if the copper stayed at 20 °C.
    let cold_rise = amps * amps * ohms_per_m / (STILL_AIR_W_PER_M2_K * surface_m2_per_m);
    let feedback = cold_rise * COPPER_PER_KELVIN;
    (feedback < 1.0).then(|| ambient_c + cold_rise * copper_factor(ambient_c) / (1.0 - feedback))
}

#[cfg(test)]
mod tests {
    use super::steady_celsius;

    #[test]
    fn a_wire_without_current_is_as_warm_as_the_air_and_one_with_too_much_never_settles() {
        assert_eq!(steady_celsius(0.0, 1.3, 35.0), Some(35.0));
        assert_eq!(steady_celsius(100.0, 1.3, 20.0), None);
    }

    #[test]
    fn the_balance_holds_at_the_temperature_found() {
        // By hand: 1.3087 mm² at 15 A. R' = 13.174 mohm/m cold; diameter with insulation 1.2909 x 1.9 = 2.4527 mm.
        let t = steady_celsius(15.0, 1.3087, 20.0).unwrap();
        let watts = 15.0 * 15.0 * 0.017241 / 1.3087 * (1.0 + 0.00393 * (t - 20.0));
        let given_off = 12.0 * std::f64::consts::PI * 2.4527e-3 * (t - 20.0);
        assert!((watts - given_off).abs() < 1e-3 * watts, "{watts} in, {given_off} out at {t} °C");
    }
}
