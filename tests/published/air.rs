//! Compressed air: flow laws, orifice tables, air-system figures, fills and vents.
//!
//! Flow after ISO 6358-1:2013 (equation from memory, numbers worked out from it), reference air after ISO 8778 (from
//! memory); isentropic relations as in NACA Report 1135 (from memory; 0.528 read in a regulator's data); free-air
//! discharge from a handbook table handed out by the trade; leak figures from the US Department of Energy's compressed
//! air tip sheet 3 (table from memory, sharp-edged figures read on an instrument maker's page); governor, build-up and
//! warning from commercial driver's manuals of US states, section 5.3.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use crate::support::clock::{Clock, passes, rig};
use crate::support::{near, near_relative};
use fanloom::circuit::Air;
use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::physics::air::flow;
use fanloom::physics::inputs::Altered;
use fanloom::physics::limits::{ATMOSPHERE_KPA, HOLE_CONDUCTANCE_PER_MM2};

/// Gas constant of dry air in J/(kg K), and ratio of its specific heats.
const R: f64 = 287.05;
const GAMMA: f64 = 1.4;
const CRITICAL: f64 = 0.528282;

/// Mass flow in kg/s of a perfect nozzle of so many m² (PN-06), choked.
fn nozzle(area_m2: f64, pascal: f64, kelvin: f64) -> f64 {
    area_m2 * pascal * 0.684731 / (R * kelvin).sqrt()
}

#[test]
fn pn_01_choked_flow_is_conductance_times_upstream_pressure() {
    for downstream in [0.0, 1.0, 2.4] {
        near(flow(0.5, 0.3, 8.0, downstream), 4.0, 1e-12);
    }
    near(flow(0.5, 0.3, 8.0, 1.0) * 1e-3 * 1.185, 4.740e-3, 1e-9);
}

#[test]
fn pn_02_unchoked_flow_is_a_quarter_of_an_ellipse() {
    for (downstream, wanted) in [(4.0, 3.8333), (6.0, 3.0639), (7.0, 2.2812), (7.5, 1.6521), (8.0, 0.0)] {
        near(flow(0.5, 0.3, 8.0, downstream), wanted, 1e-4);
    }
}

#[test]
fn pn_03_flow_has_no_step_never_rises_with_back_pressure_and_stops_at_equal_pressures() {
    for b in [0.0, 0.2, 0.35, 0.5, CRITICAL] {
        near_relative(flow(0.5, b, 8.0, 8.0 * b + 1e-12), flow(0.5, b, 8.0, 8.0 * b), 1e-6);
        let all: Vec<f64> = (0..=8000).map(|i| flow(0.5, b, 8.0, 1e-3 * f64::from(i))).collect();
        assert!(all.windows(2).all(|pair| pair[1] <= pair[0] + 1e-12 && pair[0] - pair[1] < 0.04));
        assert_eq!((flow(0.5, b, 8.0, 8.0), flow(0.5, b, 7.0, 8.0)), (0.0, 0.0));
    }
}

#[test]
fn pn_04_reference_air_weighs_what_the_standard_says() {
    // Dry air at 100 kPa and 20 °C; at 65 % humidity a little less: 1.185 (ISO 8778).
    near_relative(1e5 / (R * 293.15), 1.1884, 1e-3);
    near_relative(1e5 / (R * 293.15), 1.185, 4e-3);
}

#[test]
fn pn_05_air_chokes_at_0_528_of_its_upstream_pressure() {
    let ratio = (2.0 / (GAMMA + 1.0)).powf(GAMMA / (GAMMA - 1.0));
    near(ratio, CRITICAL, 1e-6);
    near(ratio.powf((GAMMA - 1.0) / GAMMA), 0.833333, 1e-6);
    near(ratio.powf(1.0 / GAMMA), 0.633938, 1e-6);
    // 80 psig is choked below 35.30 psig.
    let choked = |gauge: f64| flow(1.0, 0.528, 94.7, gauge + 14.7);
    near((80.0 + 14.7) * 0.528 - 14.7, 35.30, 0.005);
    near(choked(35.29), choked(0.0), 1e-12);
    assert!(choked(36.0) < choked(0.0));
}

#[test]
fn pn_06_and_07_a_square_millimetre_conducts_a_fifth() {
    let kg_per_s = nozzle(1e-6, 8e5, 293.15);
    near_relative(kg_per_s, 1.88837e-3, 1e-5);
    let conductance = kg_per_s / 1.185 * 1e3 / 8.0;
    near_relative(conductance, 0.19919, 1e-3);
    // The program's holes: sharp-edged, 0.61 of that.
    near_relative(HOLE_CONDUCTANCE_PER_MM2, 0.61 * conductance, 5e-3);
}

#[test]
fn pn_08_the_ellipse_keeps_to_isentropic_flow() {
    let rows = [
        (0.6, 0.98859, 0.98837),
        (0.7, 0.93222, 0.93139),
        (0.8, 0.81880, 0.81744),
        (0.9, 0.61715, 0.61566),
        (0.95, 0.44929, 0.44806),
    ];
    let isentropic = |r: f64| {
        let of = |r: f64| (r.powf(2.0 / GAMMA) - r.powf((GAMMA + 1.0) / GAMMA)).sqrt();
        of(r) / of(CRITICAL)
    };
    for (ratio, exact, ellipse) in rows {
        near(isentropic(ratio), exact, 1e-5);
        near(flow(1.0, CRITICAL, 1.0, ratio), ellipse, 1e-5);
        near_relative(flow(1.0, CRITICAL, 1.0, ratio), exact, 3e-3);
    }
}

const INCHES: [f64; 6] = [1.0 / 64.0, 1.0 / 32.0, 1.0 / 16.0, 1.0 / 8.0, 1.0 / 4.0, 3.0 / 8.0];

/// Cubic feet of dry free air (14.696 psia, 70 °F) a minute that [`flow`] gives for a hole of PN-07's conductance times
/// `coefficient`, fed at 70 °F.
fn free_cfm(inches: f64, psig: f64, coefficient: f64) -> f64 {
    let square_mm = FRAC_PI_4 * (inches * 25.4).powi(2);
    let bar = |psi: f64| psi * KPA_PER_PSI / 100.0;
    let kelvin: f64 = (70.0 + 459.67) / 1.8;
    let anr = flow(0.19919 * square_mm * coefficient, CRITICAL, bar(psig + 14.696), bar(14.696));
    let kg_per_s = anr * 1e-3 * 1.185 * (293.15 / kelvin).sqrt();
    kg_per_s * R * kelvin / (14.696 * KPA_PER_PSI * 1e3) * 1e3 * 60.0 / 28.316_846_592
}

#[test]
fn pn_10_free_air_through_a_perfect_orifice() {
    let rows = [
        (70.0, [0.300, 1.20, 4.79, 19.2, 76.7, 173.0]),
        (80.0, [0.335, 1.34, 5.36, 21.4, 85.7, 193.0]),
        (90.0, [0.370, 1.48, 5.92, 23.7, 94.8, 213.0]),
        (100.0, [0.406, 1.62, 6.49, 26.0, 104.0, 234.0]),
        (125.0, [0.494, 1.98, 7.90, 31.6, 126.0, 284.0]),
    ];
    for (psig, cfm) in rows {
        INCHES.iter().zip(cfm).for_each(|(inches, wanted)| near_relative(free_cfm(*inches, psig, 1.0), wanted, 0.01));
    }
}

#[test]
fn pn_11_leak_figures_are_a_rounded_orifice() {
    let rows = [
        (70.0, [0.29, 1.16, 4.66, 18.62, 74.4, 167.8]),
        (80.0, [0.32, 1.26, 5.24, 20.76, 83.1, 187.2]),
        (90.0, [0.36, 1.46, 5.72, 23.1, 92.0, 206.6]),
        (100.0, [0.40, 1.55, 6.31, 25.22, 100.9, 227.0]),
        (125.0, [0.48, 1.94, 7.66, 30.65, 122.2, 275.5]),
    ];
    for (psig, cfm) in rows {
        for (place, (inches, wanted)) in INCHES.iter().zip(cfm).enumerate() {
            near_relative(free_cfm(*inches, psig, 0.97), wanted, if place < 2 { 0.04 } else { 0.01 });
        }
    }
}

#[test]
fn pn_13_a_leak_goes_with_the_square_of_its_width_and_with_absolute_pressure() {
    let hole = |mm: f64| {
        let altered = Altered { hose_leak_mm: Some(mm), ..Altered::default() };
        fanloom::physics::air::Paths::new(&Air::default(), &altered)
    };
    let lost = |mm: f64, gauge: f64| flow(hole(mm).leak, hole(mm).ratio, gauge + ATMOSPHERE_KPA, ATMOSPHERE_KPA);
    near_relative(lost(2.0, 700.0), 4.0 * lost(1.0, 700.0), 1e-12);
    near_relative(lost(1.0, 700.0) / lost(1.0, 400.0), (700.0 + ATMOSPHERE_KPA) / (400.0 + ATMOSPHERE_KPA), 1e-12);
}

#[test]
fn pn_20_and_27_the_usual_governor_and_protection_valve_are_the_manuals() {
    let air = Air::default();
    near(air.cut_in.value() / KPA_PER_PSI, 100.0, 1e-9);
    near(air.cut_out.value() / KPA_PER_PSI, 125.0, 1e-9);
    // The brakes' warning comes on no lower than where the fan's air is cut off.
    assert!(air.protection_closes.value() / KPA_PER_PSI >= 60.0 - 1e-9);
}

#[test]
fn pn_22_and_45_the_usual_compressor_builds_up_from_85_to_100_psi_in_45_s() {
    // 6 ft³, 15 psi, 45 s: 8.163 cfm of free air at one atmosphere.
    let cfm = 6.0 * 15.0 / 14.7 / (45.0 / 60.0);
    near_relative(cfm, 8.163, 1e-3);
    near_relative(6.0 * 15.0 / 14.7 / (25.0 / 60.0), 14.694, 1e-3);
    let litres_per_s = cfm * 28.316_846_592 / 60.0 * (ATMOSPHERE_KPA / 100.0);
    near_relative(Air::default().compressor_litres_per_second, litres_per_s, 5e-3);
    // Six cubic feet together with their piping, engine at governed speed.
    let circuit = rig("tank_litres: 169.8, line_litres: 0.1, compressor_litres_per_second: 3.9", "");
    let mut clock = Clock::on(&circuit, &["engine=2100", "air=84psi"], &[]);
    let moments = clock.sampled(80.0, 0.1);
    let at = |psi: f64| passes(&moments, |m| m.tank_kpa, psi * KPA_PER_PSI);
    near_relative(at(100.0) - at(85.0), 45.0, 0.01);
}

#[test]
fn pn_30_psi_in_kilopascal() {
    let rows = [
        (2.0, 13.8),
        (3.0, 20.7),
        (4.0, 27.6),
        (45.0, 310.3),
        (60.0, 413.7),
        (85.0, 586.1),
        (90.0, 620.5),
        (100.0, 689.5),
        (120.0, 827.4),
        (125.0, 861.8),
        (150.0, 1034.2),
    ];
    rows.iter().for_each(|(psi, kpa)| near(psi * KPA_PER_PSI, *kpa, 0.0501));
}

/// One litre behind C = 0.5 dm³/(s bar), b = 0.5, from a supply that does not fall, 8 bar absolute.
fn vessel(done: &str) -> Clock {
    let air = "tank_litres: 100000, line_litres: 100000, protection_c: 1000, filter_c: 1000, valve_c: 1000, \
               exhaust_c: 1000, hose_c: 0.5, critical_ratio: 0.5";
    let circuit = rig(air, "chamber_litres: 1, travel_mm: 0.001");
    match done {
        "" => Clock::on(&circuit, &["air=698.675kPa"], &[]),
        _ => Clock::after(&circuit, &["air=698.675kPa"], &[], done),
    }
}

#[test]
fn pn_40_to_42_a_litre_fills_to_4_bar_to_7_2_bar_and_full() {
    let mut clock = vessel("");
    clock.will("turn:S1=on");
    let moments = clock.sampled(4.0, 0.001);
    let at = |bar: f64| passes(&moments, |m| m.clutch_kpa + ATMOSPHERE_KPA, 100.0 * bar);
    // The row begins at 1 bar, just below an atmosphere: what is missing is choked, 0.25 s a bar.
    let from_1_bar = |bar: f64| at(bar) - at(1.1) + 0.1 * 0.25;
    near_relative(from_1_bar(4.0), 0.75, 1e-3);
    near_relative(at(7.2) - at(4.0), 0.92730, 1e-3);
    near_relative(from_1_bar(7.2), 1.67730, 1e-3);
    // Full in finite time, 1.57080 s after 4 bar: flow in the last thousandth is laminar and takes a little longer.
    let full = 0.75 + FRAC_PI_2;
    near_relative(full, 2.32080, 1e-5);
    near_relative(from_1_bar(7.99), 0.75 + f64::asin((7.99 / 8.0 - 0.5) / 0.5), 2e-3);
    assert!(moments.iter().filter(|m| m.at_s > 1.1 * full).all(|m| m.clutch_kpa + ATMOSPHERE_KPA > 799.5));
}

#[test]
fn pn_43_a_litre_vents_with_a_time_constant_of_2_s() {
    let mut clock = vessel("turn:S1=on");
    clock.will("turn:S1=off");
    let moments = clock.sampled(6.0, 0.001);
    let at = |bar: f64| passes(&moments, |m| m.clutch_kpa + ATMOSPHERE_KPA, 100.0 * bar);
    near_relative(at(7.9 / std::f64::consts::E) - at(7.9), 2.0, 1e-3);
    near_relative(at(2.0) - at(7.99), 2.77259, 0.01);
}

#[test]
fn pn_44_a_leak_down_of_2_psi_a_minute_is_a_hole_of_two_thirds_of_a_millimetre() {
    let cfm = 6.0 * 2.0 / 14.7;
    near_relative(cfm, 0.8163, 5e-3);
    let litres_per_s = cfm * 28.316_846_592 / 60.0 * (ATMOSPHERE_KPA / 100.0);
    let hole = |mm: f64| HOLE_CONDUCTANCE_PER_MM2 * FRAC_PI_4 * mm * mm;
    let lost = flow(hole(0.652), CRITICAL, 125.0 * KPA_PER_PSI + ATMOSPHERE_KPA, ATMOSPHERE_KPA) / 100.0;
    near_relative(lost, litres_per_s, 0.01);
}
