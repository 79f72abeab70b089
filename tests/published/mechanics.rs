//! Mechanics: friction rings, bolts, fan laws, pistons.
//!
//! Clutch sums from public engineering-examination questions with their answers and a university course's derivation;
//! bolts after SAE J429 grade 8 and a bolt table with nut factors 0.15 and 0.20; fan laws as in the US Department of
//! Energy's fan-system sourcebook (from memory).

use crate::support::{near, near_relative};
use fanloom::circuit::{Clutch, Engages};
use fanloom::physics::bolts::{
    DRY_NUT_FACTOR, GRADE_8, LUBRICATED_NUT_FACTOR, preload_lbf, proof_load_lbf, stress_area_in2, torque_lbf_ft,
};
use fanloom::physics::clutch::{Model, friction_torque_nm, new_radius_mm, piston_newtons, worn_in_radius_mm};
use fanloom::physics::limits::GOVERNED_RPM;

const NEWTON_PER_LBF: f64 = 4.448_221_615_260_5;

#[test]
fn me_01_and_02_mean_radii_of_worn_in_and_of_new_rings() {
    let (outer, inner): (f64, f64) = (160.0, 100.0);
    near(worn_in_radius_mm(2.0 * outer, 2.0 * inner), (outer + inner) / 2.0, 1e-12);
    let new = 2.0 / 3.0 * (outer.powi(3) - inner.powi(3)) / (outer.powi(2) - inner.powi(2));
    near(new_radius_mm(2.0 * outer, 2.0 * inner), new, 1e-10);
}

#[test]
fn me_01_the_clutch_counts_as_worn_in() {
    let clutch = Clutch::default();
    let model = Model::new(&clutch, 620.528, 6.35);
    let radius_m = (clutch.outer_mm + clutch.inner_mm) / 4.0 / 1000.0;
    let newtons = piston_newtons(clutch.bore_mm, 620.528 - 620.528 / 3.0);
    near_relative(model.capacity_nm(620.528), 0.35 * 2.0 * newtons * radius_m, 1e-12);
}

#[test]
fn me_03_force_of_a_new_ring_over_that_of_a_worn_one() {
    near(worn_in_radius_mm(250.0, 50.0) / new_radius_mm(250.0, 50.0), 0.871, 5e-4);
}

#[test]
fn me_04_friction_that_grows_with_the_radius() {
    // T = 2 pi p 0.01 (ro⁴ - ri⁴)/4 for 0.5 MPa; the question says 18.85 kN mm.
    let torque = 2.0 * std::f64::consts::PI * 0.5 * 0.01 * (40.0_f64.powi(4) - 20.0_f64.powi(4)) / 4.0;
    near_relative(torque, 18_850.0, 1e-3);
}

#[test]
fn me_05_a_plate_of_two_faces() {
    // F = 2 pi p ri (ro - ri) at 1 MPa, radii 70 and 100 mm.
    let newtons = 2.0 * std::f64::consts::PI * 1.0 * 70.0 * 30.0;
    near_relative(newtons, 13_194.7, 1e-5);
    near_relative(friction_torque_nm(0.5, 2, worn_in_radius_mm(200.0, 140.0), newtons), 1121.5, 1e-3);
    near_relative(friction_torque_nm(0.5, 2, new_radius_mm(200.0, 140.0), newtons), 1133.2, 1e-3);
}

#[test]
fn me_06_a_new_ring_never_carries_less_than_a_worn_one() {
    for inner in 0..300 {
        let (worn, new) = (worn_in_radius_mm(300.0, f64::from(inner)), new_radius_mm(300.0, f64::from(inner)));
        assert!(new >= worn, "{inner}: {new}, {worn}");
    }
    near(new_radius_mm(300.0, 300.0), worn_in_radius_mm(300.0, 300.0), 1e-12);
}

#[test]
fn me_07_to_11_a_grade_8_bolt_of_five_sixteenths() {
    let area = stress_area_in2(0.3125, 18.0);
    near_relative(area, 0.05243, 1e-3);
    assert_eq!((GRADE_8.proof_ksi, GRADE_8.yield_ksi, GRADE_8.tensile_ksi), (120.0, 130.0, 150.0));
    near_relative(proof_load_lbf(GRADE_8, 0.0524), 6288.0, 2e-3);
    let preload = 0.75 * proof_load_lbf(GRADE_8, 0.0524);
    near_relative(preload, 4716.0, 1e-3);
    for (factor, lbf_in) in [(DRY_NUT_FACTOR, 294.75), (LUBRICATED_NUT_FACTOR, 221.06)] {
        near_relative(12.0 * torque_lbf_ft(factor, 0.3125, preload), lbf_in, 2e-3);
        near_relative(preload_lbf(factor, 0.3125, lbf_in / 12.0), preload, 2e-3);
    }
    near_relative(torque_lbf_ft(DRY_NUT_FACTOR, 0.3125, preload) * NEWTON_PER_LBF * 0.3048, 33.30, 2e-3);
}

#[test]
fn lock_up_bolts_at_25_lbf_ft_are_three_quarters_loaded() {
    // 5/16 in grade 8 at 25 ft-lb, the torque of common practice for lock-up bolts (no source), dry.
    let share = preload_lbf(DRY_NUT_FACTOR, 0.3125, 25.0) / proof_load_lbf(GRADE_8, stress_area_in2(0.3125, 18.0));
    near(share, 0.763, 0.002);
    // Lubricated, the same torque passes the proof load.
    assert!(preload_lbf(LUBRICATED_NUT_FACTOR, 0.3125, 25.0) > proof_load_lbf(GRADE_8, 0.0524));
}

#[test]
fn me_12_a_fan_takes_power_with_the_cube_of_its_speed() {
    let model = Model::new(&Clutch { engages: Engages::WithAir, ..Clutch::default() }, 620.528, 6.35);
    let power = |share: f64| model.demand_nm(share * GOVERNED_RPM) * share / model.demand_nm(GOVERNED_RPM);
    for (share, wanted) in [(0.5, 0.125), (0.6, 0.216), (0.8, 0.512), (0.9, 0.729), (1.1, 1.331)] {
        near_relative(power(share), wanted, 1e-12);
    }
}

#[test]
fn me_13_force_of_a_piston() {
    near_relative(piston_newtons(4.0 * 25.4, 90.0 * 6.894_757_293) / NEWTON_PER_LBF, 1130.97, 1e-5);
}
