//! Hazard: the clutch couples the fan to the engine, now or at the turn of the key.
//!
//! Raised where the clutch is engaged or slipping, where turning the key on would engage it, and wherever the engine
//! runs, since a free fan is driven as soon as something calls for it. With the engine
//! stopped it is a caution: the belt holds the fan, and cranking turns it. With the engine running the fan runs. With
//! lock-up bolts it is a warning in either case: no act at the circuit will free the fan.

use crate::physics::clutch::ClutchState;
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Outcome;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording::BOLTED_UP;

use super::Scene;
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let Some((valve, _)) = scene.circuit.clutch_valve() else { return Vec::new() };
    let conditions = *scene.bench.conditions();
    let (level, text) = if coupled(scene.bench.outcome()) {
        if conditions.bolted && conditions.engine_rpm > 0.0 {
            (Level::Warning, say!("hazard-the-fan-is-bolted-up", bolted_up = BOLTED_UP))
        } else if conditions.bolted {
            (Level::Warning, say!("hazard-the-fan-is-bolted-up-2", bolted_up = BOLTED_UP))
        } else if conditions.engine_rpm > 0.0 {
            (Level::Warning, say!("hazard-the-clutch-is-in-and"))
        } else {
            (Level::Caution, say!("hazard-the-clutch-is-in-the"))
        }
    } else if !conditions.key_on && coupled(&with_key_on(scene, conditions)) {
        let words = say!("hazard-turning-the-key-on-engages");
        (Level::Caution, words.to_owned())
    } else if conditions.engine_rpm > 0.0 {
        (Level::Caution, say!("hazard-the-engine-runs-and-the-fan"))
    } else {
        return Vec::new();
    };
    let at = scene.circuit.part(valve).tag.clone();
    let subjects = vec![Subject::Part(valve)];
    vec![Hazard { kind: HazardKind::FanMayStart, level, at, text, subjects }]
}

fn coupled(outcome: &Outcome) -> bool {
    outcome.clutch.is_some_and(|c| c.state != ClutchState::Released)
}

fn with_key_on(scene: &Scene<'_>, conditions: Conditions) -> Outcome {
    let inputs = Inputs { conditions: Conditions { key_on: true, ..conditions }, ..scene.bench.inputs().clone() };
    scene.bench.engine().settle(&inputs, &scene.bench.outcome().memory)
}
