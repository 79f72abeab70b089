//! Runs beside solutions that can be written down: ISO 6358 flow into and out of one isothermal vessel, heat in one
//! lump, a fan braked by the square of its speed (worked out here; the integrals are those of any table).
//!
//! The supply is made constant by vessels as large as a file may have, so that a millilitre in a hundred thousand litres
//! is all it gives.

use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::physics::limits::ATMOSPHERE_KPA;

use crate::support::clock::{Clock, passes, rig};
use crate::support::{near, near_relative};

const BIG: &str = "tank_litres: 100000, line_litres: 100000, protection_c: 1000, filter_c: 1000, valve_c: 1000, \
                   exhaust_c: 1000, hose_c: 0.4, critical_ratio: 0.3";
const VESSEL: &str = "chamber_litres: 0.8, travel_mm: 0.001";
const C: f64 = 0.4;
const B: f64 = 0.3;
const LITRES: f64 = 0.8;
/// 8 bar absolute.
const SUPPLY: &str = "air=698.675kPa";

fn pressures_from(moments: &[fanloom::physics::time::Moment], absolute_kpa: f64) -> f64 {
    passes(moments, |m| m.clutch_kpa + ATMOSPHERE_KPA, absolute_kpa)
}

#[test]
fn a_choked_fill_rises_in_a_straight_line() {
    let mut clock = Clock::on(&rig(BIG, VESSEL), &[SUPPLY], &[]);
    clock.will("turn:S1=on");
    let moments = clock.sampled(1.0, 0.001);
    // Up to 0.3 of 800 kPa: V dp = C p_s dt.
    let seconds = pressures_from(&moments, 240.0) - pressures_from(&moments, 120.0);
    near_relative(seconds, LITRES * 1.2 / (C * 8.0), 1e-3);
}

#[test]
fn an_unchoked_fill_follows_the_arc_sine() {
    let mut clock = Clock::on(&rig(BIG, VESSEL), &[SUPPLY], &[]);
    clock.will("turn:S1=on");
    let moments = clock.sampled(4.0, 0.001);
    let u = |kpa: f64| ((kpa / 800.0 - B) / (1.0 - B)).asin();
    // The last thousandth is approached so slowly that a hundredth of a second is a fifth of a kPa.
    for (from, to, share) in
        [(240.0, 400.0, 1e-3), (400.0, 600.0, 1e-3), (600.0, 720.0, 1e-3), (720.0, 780.0, 2e-3), (240.0, 799.0, 1e-2)]
    {
        let wanted = LITRES * (1.0 - B) / C * (u(to) - u(from));
        near_relative(pressures_from(&moments, to) - pressures_from(&moments, from), wanted, share);
    }
}

#[test]
fn a_choked_vent_falls_by_a_constant_share() {
    let mut clock = Clock::after(&rig(BIG, VESSEL), &[SUPPLY], &[], "turn:S1=on");
    clock.will("back turn:S1=on");
    let moments = clock.sampled(4.0, 0.001);
    // Choked while 101.3 / p is below 0.3.
    for (from, to) in [(790.0, 600.0), (600.0, 400.0), (790.0, 340.0)] {
        let wanted = LITRES / C * f64::ln(from / to);
        near_relative(pressures_from(&moments, to) - pressures_from(&moments, from), wanted, 1e-3);
    }
}

#[test]
fn a_vent_that_is_not_choked_any_more_follows_its_integral() {
    let mut clock = Clock::after(&rig(BIG, VESSEL), &[SUPPLY], &[], "turn:S1=on");
    clock.will("back turn:S1=on");
    let moments = clock.sampled(6.0, 0.001);
    // dt = V dp / (C p psi(p_atm / p)), summed by Simpson's rule.
    let slowness = |p: f64| {
        let u = (ATMOSPHERE_KPA / p - B) / (1.0 - B);
        LITRES / (C * p * (1.0 - u * u).sqrt())
    };
    let (from, to, parts) = (320.0, 110.0, 2000);
    let width = (from - to) / f64::from(parts);
    let weights = (0..=parts).map(|i| if i == 0 || i == parts { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) });
    let wanted: f64 =
        (0..=parts).zip(weights).map(|(i, w)| w * slowness(to + width * f64::from(i)) * width / 3.0).sum();
    near_relative(pressures_from(&moments, to) - pressures_from(&moments, from), wanted, 2e-3);
}

#[test]
fn a_steady_leak_leaves_the_pressure_at_which_as_much_goes_out_as_in() {
    let mut clock = Clock::on(&rig(BIG, VESSEL), &[SUPPLY], &["leak:chamber=1mm"]);
    clock.will("turn:S1=on").run_to(60.0);
    let p = clock.moment().clutch_kpa + ATMOSPHERE_KPA;
    // The hole's flow is choked: 0.122 dm³/(s bar) a mm² times p.
    let u = (p / 800.0 - B) / (1.0 - B);
    let (into, out) = (C * 800.0 * (1.0 - u * u).sqrt(), 0.122 * std::f64::consts::FRAC_PI_4 * p);
    near_relative(into, out, 1e-3);
}

#[test]
fn the_compressor_fills_the_tanks_in_a_straight_line() {
    let mut clock = Clock::on(&rig("", ""), &["engine=2100", "air=98psi"], &[]);
    let moments = clock.sampled(120.0, 0.5);
    let at = |psi: f64| passes(&moments, |m| m.tank_kpa, psi * KPA_PER_PSI);
    // 125 litres in tanks and line, 3.9 litres of free air (100 kPa) a second.
    near_relative(at(120.0) - at(100.0), 20.0 * KPA_PER_PSI / 100.0 * 125.0 / 3.9, 1e-3);
}

#[test]
fn a_coil_warms_by_the_exponential_of_its_own_heat() {
    // With the copper's ohms rising the heat falls; at the end both balance: r = 12 K/W x V²/(R (1 + a r)).
    let mut clock = Clock::on(&rig("", ""), &[], &[]);
    clock.will("turn:S1=on").run_to(5000.0);
    let rise = clock.coil_c("Y1") - 20.0;
    let volts = clock.moment().coil_volts[0].expect("it is wired");
    near_relative(rise, 12.0 * volts * volts / (30.0 * (1.0 + 0.00393 * rise)), 1e-3);
    // Off again it cools without current: a plain exponential of 300 s.
    clock.will("turn:S1=off");
    let before = clock.coil_c("Y1") - 20.0;
    clock.run_to(5300.0);
    near_relative(clock.coil_c("Y1") - 20.0, before * f64::exp(-1.0), 1e-4);
}

#[test]
fn a_freed_fan_coasts_as_the_square_of_its_speed_brakes_it() {
    let mut clock = Clock::after(&rig("", "fan_nm: 200"), &["engine=2000"], &[], "turn:S1=on");
    clock.will("turn:S1=off");
    let moments = clock.sampled(60.0, 0.01);
    let at = |rpm: f64| passes(&moments, |m| m.fan_rpm, rpm);
    // J dw/dt = -(k w² + 2 N m): an arc tangent. k from 200 N m at 2100 rpm.
    let (w, j, bearing) = (std::f64::consts::PI / 30.0, 0.25, 2.0_f64);
    let k = 200.0 / (2100.0 * w).powi(2);
    let angle = |rpm: f64| (rpm * w * (k / bearing).sqrt()).atan();
    for (from, to) in [(900.0, 600.0), (600.0, 200.0), (200.0, 20.0)] {
        near_relative(at(to) - at(from), j / (k * bearing).sqrt() * (angle(from) - angle(to)), 2e-3);
    }
}

#[test]
fn a_plate_left_alone_cools_by_an_exponential() {
    let mut clock = Clock::on(&rig("", ""), &["engine=2100"], &[]);
    clock.will("turn:S1=on").run_to(3.0);
    let hot = clock.moment().plate_c;
    assert!(hot > 21.0, "spinning up warms it: {hot}");
    // 2500 J/K over 30 W/K.
    clock.run_to(3.0 + 2500.0 / 30.0);
    near(clock.moment().plate_c - 20.0, (hot - 20.0) * f64::exp(-1.0), 1e-3);
}
