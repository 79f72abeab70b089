//! Copper wire: sizes and resistances against the wire table of HyperPhysics, "American Wire Gauge" (after Floyd,
//! Electric Circuit Fundamentals), and T. R. Kuphaldt, Lessons in Electric Circuits I and V.
//!
//! The formula is ASTM B258's, the resistivity IEC 60028's (both from memory); the tables confirm the numbers.

use crate::support::{near, near_relative};
use fanloom::circuit::quantity::{Gauge, Length};
use fanloom::circuit::wire::{COPPER_OHM_MM2_PER_M, COPPER_PER_KELVIN, Wire, copper_factor};
use fanloom::circuit::{TerminalId, quantity};

/// Square millimetres in one circular mil: pi/4 of a thousandth of an inch, squared.
const MM2_PER_CIRCULAR_MIL: f64 = std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254;

fn wire(gauge: Gauge, length: Length) -> Wire {
    Wire { tag: "W1".to_owned(), from: TerminalId(0), to: TerminalId(1), gauge, length, colour: None }
}

fn diameter_mm(gauge: Gauge) -> f64 {
    (gauge.square_mm() / std::f64::consts::FRAC_PI_4).sqrt()
}

#[test]
fn cu_01_awg_36_and_0000_are_five_and_460_mils() {
    near_relative(diameter_mm(Gauge::Awg(36)), 0.1270, 1e-4);
    near_relative(diameter_mm(Gauge::Awg(-3)), 11.684, 1e-4);
}

#[test]
fn cu_02_three_sizes_double_the_area() {
    for n in -3..33 {
        near_relative(diameter_mm(Gauge::Awg(n)) / diameter_mm(Gauge::Awg(n + 1)), 1.122_932, 1e-6);
        near_relative(Gauge::Awg(n).square_mm() / Gauge::Awg(n + 3).square_mm(), 2.0050, 5e-5);
    }
}

#[test]
fn cu_03_iacs_copper_is_10_371_ohm_circular_mil_per_foot() {
    near_relative(COPPER_OHM_MM2_PER_M, 1.0 / 58.0, 1e-4);
    near_relative(COPPER_OHM_MM2_PER_M * quantity::METRES_PER_FOOT / MM2_PER_CIRCULAR_MIL, 10.371, 1e-4);
}

#[test]
fn cu_04_resistance_follows_temperature_from_cold_start_to_engine_bay() {
    for (celsius, factor) in
        [(-40.0, 0.7642), (0.0, 0.9214), (20.0, 1.0), (80.0, 1.2358), (100.0, 1.3144), (120.0, 1.3930)]
    {
        near(copper_factor(celsius), factor, 1e-12);
    }
}

#[test]
fn cu_05_copper_would_lose_its_resistance_at_minus_234_45_celsius() {
    near(20.0 - 1.0 / COPPER_PER_KELVIN, -234.45, 0.05);
    near(copper_factor(-234.45), 0.0, 1e-3);
}

#[test]
fn cu_10_to_18_wire_table_of_solid_copper() {
    // AWG, d mm, A mm², ohm per 1000 ft as the table prints it, the same and mohm/m by the formula.
    let table = [
        (20, 0.81182, 0.5176, 10.15, 10.1524, 33.308),
        (18, 1.02369, 0.8230, 6.385, 6.3849, 20.948),
        (16, 1.29085, 1.3087, 4.016, 4.0155, 13.174),
        (14, 1.62773, 2.0809, 2.525, 2.5254, 8.2853),
        (12, 2.05253, 3.3088, 1.588, 1.5882, 5.2107),
        (10, 2.58819, 5.2612, 0.9989, 0.9988, 3.2770),
        (8, 3.26364, 8.3656, 0.6282, 0.6282, 2.0609),
        (6, 4.11538, 13.3018, 0.3951, 0.3951, 1.2961),
        (4, 5.18940, 21.1506, 0.2485, 0.2485, 0.8152),
    ];
    for (awg, diameter, area, printed, by_formula, milliohm_per_metre) in table {
        let gauge = Gauge::Awg(awg);
        near_relative(diameter_mm(gauge), diameter, 1e-5);
        near_relative(gauge.square_mm(), area, 1e-4);
        let ohms = wire(gauge, Length::Feet(1000.0)).ohms(20.0);
        near_relative(ohms, printed, 5e-4);
        near(ohms, by_formula, 6e-5);
        near_relative(wire(gauge, Length::Metre(1000.0)).ohms(20.0), milliohm_per_metre, 1e-4);
    }
}

#[test]
fn cu_21_a_run_that_needs_116_035_circular_mils_takes_size_2_0_and_not_1_0() {
    // Kuphaldt, "Conductor size": 10.09 ohm cmil/ft, 2300 ft, 0.2 ohm.
    let needed = 10.09 * 2300.0 / 0.2;
    near(needed, 116_035.0, 1e-9 * needed);
    let circular_mils = |gauge: Gauge| gauge.square_mm() / MM2_PER_CIRCULAR_MIL;
    near(circular_mils(Gauge::Awg(-1)), 133_100.0, 50.0);
    near(circular_mils(Gauge::Awg(0)), 105_500.0, 50.0);
    assert!(circular_mils(Gauge::Awg(-1)) > needed && circular_mils(Gauge::Awg(0)) < needed);
}

#[test]
fn cu_22_five_metres_of_awg_12_resist_26_milliohm() {
    near(wire(Gauge::Awg(12), Length::Metre(5.0)).ohms(20.0), 0.026_041, 2e-5);
    // As the textbook rounds its area (OpenStax University Physics 2, section 9.3).
    near(wire(Gauge::SquareMillimetre(3.31), Length::Metre(5.0)).ohms(20.0), 0.025, 0.0011);
}

#[test]
fn cu_24_ten_amps_through_forty_feet_of_awg_16_lose_1_6_volts_cold_and_2_hot() {
    let run = wire(Gauge::Awg(16), Length::Feet(40.0));
    near_relative(10.0 * run.ohms(20.0), 1.606, 1e-3);
    near_relative(10.0 * run.ohms(80.0), 1.985, 1e-3);
}

#[test]
fn trap_c_metric_cable_stays_below_its_standards_largest_resistance() {
    // ISO 6722-1, largest milliohm per metre at 20 °C (from memory): stranded cable may have a little more than
    // its nominal copper would, never less than a few percent of it.
    for (area, most) in
        [(0.5, 37.1), (0.75, 24.7), (1.0, 18.5), (1.5, 12.7), (2.5, 7.60), (4.0, 4.71), (6.0, 31.4 / 10.0)]
    {
        let milliohms = 1000.0 * wire(Gauge::SquareMillimetre(area), Length::Metre(1.0)).ohms(20.0);
        assert!(milliohms < most && milliohms > 0.88 * most, "{area} mm²: {milliohms} of {most}");
    }
}
