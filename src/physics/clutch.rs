//! The clutch by its steady rules: chamber pressure and fan demand in, torque margin and state out.
//!
//! Clamp grows in proportion to what the air leaves over (air-applied) or what the spring has left (spring-applied);
//! torque capacity is proportional to clamp, and a fan asks for torque with the square of its speed (fan laws). All
//! pressures scale with the circuit's stated minimum. Heat and pressure over time are not here.

use crate::circuit::Engages;

use super::limits::{
    BITES_AT_SHARE, FACING_LIMIT_MM, FACING_NEW_MM, GOVERNED_RPM, HOLDS_FROM_SHARE, SPRING_FREE_SHARE,
    SPRING_SLIPS_SHARE, WORN_CLEARANCE_SHARE,
};

/// What the fan does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClutchState {
    /// Driven without slip.
    Engaged,
    /// Free.
    Released,
    /// Driven in part: slipping when it should drive, or dragging when it should be free.
    Slipping,
}

/// The clutch in one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClutchReading {
    /// What it does.
    pub state: ClutchState,
    /// Torque it can carry over the torque the fan asks for; 1 is the edge of slip.
    pub torque_margin: f64,
}

/// What the clutch must carry and how worn it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Engine speed in rpm. Stopped counts as governed speed: that is what proving by hand is to prove.
    pub engine_rpm: f64,
    /// Facing left in mm.
    pub facing_mm: f64,
}

/// The clutch at `chamber_kpa`, for a stated minimum of `minimum_kpa` (both gauge).
pub fn read(engages: Engages, chamber_kpa: f64, minimum_kpa: f64, duty: Duty) -> ClutchReading {
    let share = chamber_kpa / minimum_kpa;
    // Wear widens the running clearance: more travel, so more of the return spring, before the facing bites.
    let wear = ((FACING_NEW_MM - duty.facing_mm) / (FACING_NEW_MM - FACING_LIMIT_MM)).max(0.0);
    let capacity = match engages {
        Engages::WithAir => {
            let bites_at = BITES_AT_SHARE + wear * WORN_CLEARANCE_SHARE;
            (share - bites_at) / (HOLDS_FROM_SHARE - BITES_AT_SHARE)
        }
        Engages::WithoutAir => {
            let free_at = SPRING_FREE_SHARE - wear * WORN_CLEARANCE_SHARE;
            (free_at - share) / (SPRING_FREE_SHARE - SPRING_SLIPS_SHARE)
        }
    };
    let demand = if duty.engine_rpm > 0.0 { (duty.engine_rpm / GOVERNED_RPM).powi(2) } else { 1.0 };
    let torque_margin = capacity.max(0.0) / demand;
    let state = if capacity <= 0.0 {
        ClutchState::Released
    } else if torque_margin >= 1.0 {
        ClutchState::Engaged
    } else {
        ClutchState::Slipping
    };
    ClutchReading { state, torque_margin }
}
