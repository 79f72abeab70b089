//! The clutch: chamber pressure and fan demand in, torque and state out.
//!
//! Clamp is piston force less spring force (air-applied) or what the spring has left (spring-applied); torque capacity
//! is friction coefficient times faces times mean radius times clamp (uniform wear, any machine-elements textbook); a
//! fan asks for torque with the square of its speed (fan laws). Where the file gives no spring or fan, they follow
//! from the stated minimum. Heat and pressure over time are in [`time`](super::time).

use crate::circuit::{Circuit, Clutch, Engages};

use super::inputs::Altered;
use super::limits::{
    BITES_AT_SHARE, DAMAGED_FAN_SHARE, DRAG_SHARE, FACING_LIMIT_MM, FACING_NEW_MM, GOVERNED_RPM, HOLDS_FROM_SHARE,
    OILED_FRICTION_SHARE, ROUGH_BEARING_NM, SLACK_BELT_SHARE, SPRING_FREE_SHARE, SPRING_SLIPS_SHARE, WEAK_SPRING_SHARE,
    WORN_CLEARANCE_SHARE,
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

impl ClutchReading {
    /// The reading with lock-up bolts in, if they are: driven, whatever the clutch would do.
    pub fn bolted_if(self, bolted: bool) -> Self {
        if bolted { Self { state: ClutchState::Engaged, ..self } } else { self }
    }
}

/// Mean radius in mm at which the friction of a worn-in ring acts, given its diameters: wear has become even, so the
/// pressure falls with the radius (uniform wear, any machine-elements textbook).
pub fn worn_in_radius_mm(outer_mm: f64, inner_mm: f64) -> f64 {
    (outer_mm + inner_mm) / 4.0
}

/// The same of a ring not worn in yet, pressed evenly all over (uniform pressure, any machine-elements textbook). It
/// is a little more, never less.
pub fn new_radius_mm(outer_mm: f64, inner_mm: f64) -> f64 {
    // (Do³ - Di³) / (Do² - Di²) / 3, its common factor taken out: a ring of no width is no trouble.
    (outer_mm * outer_mm + outer_mm * inner_mm + inner_mm * inner_mm) / (3.0 * (outer_mm + inner_mm))
}

/// Torque in newton metres that so many friction faces carry at a clamp in newtons, acting at a mean radius in mm.
pub fn friction_torque_nm(friction: f64, faces: u32, radius_mm: f64, clamp_newtons: f64) -> f64 {
    friction * f64::from(faces) * radius_mm * 1e-3 * clamp_newtons
}

/// Force in newtons of a piston of so many mm bore at a pressure in kPa.
pub fn piston_newtons(bore_mm: f64, kpa: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * (bore_mm * 1e-3).powi(2) * kpa * 1e3
}

/// One clutch with its facing as worn as it is, in numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Model {
    /// Its principle.
    pub engages: Engages,
    /// Torque capacity for each kPa of clamp, in newton metres: friction x faces x mean radius x piston area.
    pub nm_per_kpa: f64,
    /// Pressure at which the facing just bites, or just comes free, in kPa (gauge).
    pub bites_kpa: f64,
    /// Pressure at which the piston begins to move, in kPa (gauge).
    pub starts_kpa: f64,
    /// Piston travel between the two, in mm.
    pub travel_mm: f64,
    /// Torque the fan asks for at governed speed, in newton metres.
    pub fan_nm: f64,
    /// The piston stays where it is without air.
    pub seized: bool,
    /// Torque with which a bearing takes a released fan along, in newton metres.
    pub dragged_nm: f64,
    /// Torque at the fan that the belt carries, in newton metres.
    pub belt_nm: f64,
    /// Share of its air that the fan still moves.
    pub blades: f64,
}

impl Model {
    /// The clutch of a circuit, as altered as it is.
    pub fn of(circuit: &Circuit, altered: &Altered) -> Self {
        let minimum_kpa = circuit.minimum_kpa();
        let mut model = Self::new(circuit.clutch_figures(), minimum_kpa, altered.facing_mm.unwrap_or(FACING_NEW_MM));
        if altered.facing_oiled {
            model.nm_per_kpa *= OILED_FRICTION_SHARE;
        }
        if altered.spring_weak {
            model.weaken_spring(minimum_kpa);
        }
        if altered.belt_slack {
            model.belt_nm = SLACK_BELT_SHARE * model.fan_nm;
        }
        if altered.fan_damaged {
            model.fan_nm *= DAMAGED_FAN_SHARE;
            model.blades = DAMAGED_FAN_SHARE;
        }
        if altered.bearing_rough {
            model.dragged_nm = ROUGH_BEARING_NM;
        }
        Self { seized: altered.piston_seized, ..model }
    }

    /// Leaves the spring too little force: an air-applied facing is no longer drawn clear, a spring-applied one no
    /// longer pressed hard enough.
    fn weaken_spring(&mut self, minimum_kpa: f64) {
        match self.engages {
            Engages::WithAir => {
                self.bites_kpa = -DRAG_SHARE * minimum_kpa;
                (self.starts_kpa, self.travel_mm) = (self.bites_kpa, 0.0);
            }
            Engages::WithoutAir => {
                self.bites_kpa *= WEAK_SPRING_SHARE;
                self.starts_kpa *= WEAK_SPRING_SHARE;
            }
        }
    }

    /// The clutch that these figures describe, for a stated minimum in kPa (gauge).
    pub fn new(clutch: &Clutch, minimum_kpa: f64, facing_mm: f64) -> Self {
        let radius_mm = worn_in_radius_mm(clutch.outer_mm, clutch.inner_mm);
        let nm_per_kpa =
            friction_torque_nm(clutch.friction, clutch.faces, radius_mm, piston_newtons(clutch.bore_mm, 1.0));
        // Wear widens the running clearance: more travel, so more of the spring, before the facing bites.
        let worn_mm = (FACING_NEW_MM - facing_mm).max(0.0);
        let spring_kpa_per_mm = WORN_CLEARANCE_SHARE * minimum_kpa / (FACING_NEW_MM - FACING_LIMIT_MM);
        let (share, holds_share) = match clutch.engages {
            Engages::WithAir => (BITES_AT_SHARE, HOLDS_FROM_SHARE - BITES_AT_SHARE),
            Engages::WithoutAir => (SPRING_FREE_SHARE, SPRING_FREE_SHARE - SPRING_SLIPS_SHARE),
        };
        let new_kpa = clutch.bites_at.map_or(share * minimum_kpa, |level| level.value());
        let travel_mm = clutch.travel_mm + worn_mm;
        let (bites_kpa, starts_kpa) = match clutch.engages {
            Engages::WithAir => {
                (new_kpa + worn_mm * spring_kpa_per_mm, (new_kpa - clutch.travel_mm * spring_kpa_per_mm).max(0.0))
            }
            // Air lifts the plate off from here on; a worn facing leaves the spring longer, and so weaker.
            Engages::WithoutAir => {
                let free = new_kpa - worn_mm * spring_kpa_per_mm;
                (free, (free - clutch.travel_mm * spring_kpa_per_mm).max(0.0))
            }
        };
        let fan_nm = clutch.fan_nm.unwrap_or(nm_per_kpa * holds_share * minimum_kpa);
        Self {
            engages: clutch.engages,
            nm_per_kpa,
            bites_kpa,
            starts_kpa,
            travel_mm,
            fan_nm,
            seized: false,
            dragged_nm: 0.0,
            belt_nm: f64::INFINITY,
            blades: 1.0,
        }
    }

    /// Torque it can carry at a chamber pressure in kPa (gauge), in newton metres.
    pub fn capacity_nm(&self, chamber_kpa: f64) -> f64 {
        let chamber_kpa = if self.seized { 0.0 } else { chamber_kpa };
        let clamp_kpa = match self.engages {
            Engages::WithAir => chamber_kpa - self.bites_kpa,
            Engages::WithoutAir => self.bites_kpa - chamber_kpa,
        };
        self.nm_per_kpa * clamp_kpa.max(0.0)
    }

    /// Torque the fan asks for at a speed, in newton metres.
    pub fn demand_nm(&self, rpm: f64) -> f64 {
        self.fan_nm * (rpm / GOVERNED_RPM).powi(2)
    }

    /// Speed in rpm of a pulley that carries the fan, at an engine speed: the belt slips where the fan asks for more
    /// than it carries.
    pub fn carrying_rpm(&self, engine_rpm: f64) -> f64 {
        let asked = self.demand_nm(engine_rpm);
        if asked <= self.belt_nm { engine_rpm } else { engine_rpm * (self.belt_nm / asked).sqrt() }
    }

    /// What it does once nothing changes any more. A stopped engine counts as one at governed speed: that is what
    /// proving by hand is to prove.
    pub fn read(&self, chamber_kpa: f64, engine_rpm: f64) -> ClutchReading {
        let capacity = self.capacity_nm(chamber_kpa);
        let torque_margin = capacity / self.demand_nm(if engine_rpm > 0.0 { engine_rpm } else { GOVERNED_RPM });
        let state = if capacity <= 0.0 {
            ClutchState::Released
        } else if torque_margin >= 1.0 {
            ClutchState::Engaged
        } else {
            ClutchState::Slipping
        };
        ClutchReading { state, torque_margin }
    }
}
