//! Lock-up bolts: from the torque on the wrench to the bolt's preload, and how much the bolt bears.
//!
//! Yields tensile stress area, proof load and preload of unified-thread bolts, in the inch units in which their tables
//! are printed. Formulas: tensile stress area after ASME B1.1; strengths after SAE J429; T = K D F from any
//! machine-elements textbook. Which torque a vehicle's maker asks for is not known here.

/// Nut factor K of plain dry steel (bolt makers' torque tables; 0.15 where it is lubricated).
pub const DRY_NUT_FACTOR: f64 = 0.20;

/// Nut factor K of a lubricated thread (bolt makers' torque tables).
pub const LUBRICATED_NUT_FACTOR: f64 = 0.15;

/// Strengths of a bolt grade in thousands of pounds a square inch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Stress that it bears without any lasting stretch.
    pub proof_ksi: f64,
    /// Stress at which it yields.
    pub yield_ksi: f64,
    /// Stress at which it breaks.
    pub tensile_ksi: f64,
}

/// SAE J429 grade 8, 1/4 to 1 1/2 in.
pub const GRADE_8: Grade = Grade { proof_ksi: 120.0, yield_ksi: 130.0, tensile_ksi: 150.0 };

/// Tensile stress area in square inches of a unified thread of this diameter in inches (ASME B1.1).
pub fn stress_area_in2(diameter_in: f64, threads_per_in: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * (diameter_in - 0.9743 / threads_per_in).powi(2)
}

/// Load in pounds of force that a bolt of this stress area bears without any lasting stretch.
pub fn proof_load_lbf(grade: Grade, area_in2: f64) -> f64 {
    grade.proof_ksi * 1e3 * area_in2
}

/// Torque in pound-feet that gives a bolt of this diameter in inches a preload in pounds of force: T = K D F.
pub fn torque_lbf_ft(nut_factor: f64, diameter_in: f64, preload_lbf: f64) -> f64 {
    nut_factor * diameter_in * preload_lbf / 12.0
}

/// Preload in pounds of force that a torque in pound-feet gives: the same turned round.
pub fn preload_lbf(nut_factor: f64, diameter_in: f64, torque_lbf_ft: f64) -> f64 {
    torque_lbf_ft * 12.0 / (nut_factor * diameter_in)
}

/// A bolt as it is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// In inches, as it is called: `5/16 x 1 in`.
    pub size: &'static str,
    /// Diameter in inches.
    pub diameter_in: f64,
    /// Threads in an inch.
    pub threads_per_in: f64,
    /// Its grade.
    pub grade: Grade,
    /// Torque on the wrench in pound-feet.
    pub torque_lbf_ft: f64,
}

/// What ties the fan to its pulley in an emergency: 5/16 x 1 in, grade 8, coarse thread, 25 ft-lb (common practice, no
/// source).
pub const LOCK_UP: Bolt =
    Bolt { size: "5/16 x 1 in", diameter_in: 0.3125, threads_per_in: 18.0, grade: GRADE_8, torque_lbf_ft: 25.0 };

impl Bolt {
    /// Preload in pounds of force that its torque gives a dry thread.
    pub fn preload_lbf(&self) -> f64 {
        preload_lbf(DRY_NUT_FACTOR, self.diameter_in, self.torque_lbf_ft)
    }

    /// Load in pounds of force that it bears without any lasting stretch.
    pub fn proof_load_lbf(&self) -> f64 {
        proof_load_lbf(self.grade, stress_area_in2(self.diameter_in, self.threads_per_in))
    }
}
