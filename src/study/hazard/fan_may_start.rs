//! Hazard: the clutch couples the fan to the engine, now or at the turn of the key.
//!
//! Raised where the clutch is engaged or slipping, and where turning the key on would engage it. With the engine
//! stopped it is a caution: the belt holds the fan, and cranking turns it. With the engine running the fan runs.

use crate::physics::clutch::ClutchState;
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Outcome;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};

use super::Scene;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let Some((valve, _)) = scene.circuit.clutch_valve() else { return Vec::new() };
    let conditions = *scene.bench.conditions();
    let (level, text) = if coupled(scene.bench.outcome()) {
        if conditions.engine_rpm > 0.0 {
            (Level::Warning, "The clutch is in and the engine runs: the fan turns. Stay outside its reach.")
        } else {
            (Level::Caution, "The clutch is in: the fan turns with the engine. Nobody cranks while a hand is near it.")
        }
    } else if !conditions.key_on && coupled(&with_key_on(scene, conditions)) {
        (Level::Caution, "Turning the key on engages the clutch by itself. Hands away from the fan before the key.")
    } else {
        return Vec::new();
    };
    let at = scene.circuit.part(valve).tag.clone();
    let subjects = vec![Subject::Part(valve)];
    vec![Hazard { kind: HazardKind::FanMayStart, level, at, text: text.to_owned(), subjects }]
}

fn coupled(outcome: &Outcome) -> bool {
    outcome.clutch.is_some_and(|c| c.state != ClutchState::Released)
}

fn with_key_on(scene: &Scene<'_>, conditions: Conditions) -> Outcome {
    let inputs = Inputs { conditions: Conditions { key_on: true, ..conditions }, ..scene.bench.inputs().clone() };
    scene.bench.engine().settle(&inputs, &scene.bench.outcome().memory)
}
