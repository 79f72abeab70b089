//! Set and reset points in plain numbers, so that a step sees at a glance that none is near.
//!
//! Yields [`Watched`]. Whether a point really acts is decided where everything feels the conditions, in
//! [`settle`](crate::physics::settle).

use crate::circuit::part::Quantity;
use crate::circuit::{Circuit, Part, PartId};
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Memory;

/// Kelvin or kPa before a point from which it is looked at closely.
const NEAR: f64 = 1e-3;

/// A set and reset point, in the units of what is felt.
#[derive(Clone, Copy, Debug)]
pub(super) struct Watched {
    part: PartId,
    /// Its place in a module's memory; none for a sensor.
    bit: Option<usize>,
    senses: Quantity,
    acts: f64,
    resets: f64,
    /// 1 where it acts on a rise, -1 on a fall.
    up: f64,
    /// What a fault adds to its points.
    drift: f64,
}

impl Watched {
    /// All of a circuit's, as faults have moved them.
    pub(super) fn all(circuit: &Circuit, inputs: &Inputs) -> Vec<Self> {
        let of = |(id, _): (PartId, &Part)| {
            let kind = inputs.kind(circuit, id);
            let (is_module, drift) = (kind.sensor().is_none(), inputs.altered.drift.get(&id).copied());
            let points = kind.set_points().into_iter().enumerate();
            let watched = points.map(move |(bit, point)| Self {
                part: id,
                bit: is_module.then_some(bit),
                senses: point.senses,
                acts: point.acts.value(),
                resets: point.resets.value(),
                up: if point.rising { 1.0 } else { -1.0 },
                drift: drift.unwrap_or(0.0),
            });
            watched.collect::<Vec<_>>()
        };
        circuit.parts_with_ids().flat_map(of).collect()
    }

    /// Whether the conditions have come so near to the point that acts next that it is worth a closer look.
    pub(super) fn is_near(&self, conditions: &Conditions, memory: &Memory) -> bool {
        let remembered = memory.of(self.part);
        let acted = self.bit.map_or(remembered.acted, |bit| remembered.points >> bit & 1 == 1);
        let felt = conditions.felt(self.senses) - self.drift;
        let (level, side) = if acted { (self.resets, -self.up) } else { (self.acts, self.up) };
        (felt - level) * side > -NEAR
    }
}
