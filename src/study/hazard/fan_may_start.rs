//! Hazard: the clutch couples the fan to the engine, now or at the turn of the key.
//!
//! Raised where the clutch is engaged or slipping, where turning the key on would engage it, and wherever the engine
//! runs, since a free fan is driven as soon as something calls for it. With the engine
//! stopped it is a caution: the belt holds the fan, and cranking turns it. With the engine running the fan runs. With
//! lock-up bolts it is a warning in either case: no act at the circuit will free the fan.

use crate::bench::Bench;
use crate::physics::clutch::ClutchState;
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::state::Outcome;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording::BOLTED_UP;

use super::Scene;
use crate::words::{Words, say};

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let bench = scene.bench;
    let told = of_coupled(bench).or_else(|| of_the_key(bench)).or_else(|| of_free(bench));
    told.and_then(|(level, text)| at_the_valve(bench, level, text)).into_iter().collect()
}

/// The danger that eyes see on the fan: what it does now, and not what the key would make it do.
pub(super) fn seen(bench: &Bench) -> Option<Hazard> {
    let (level, text) = of_coupled(bench).or_else(|| of_free(bench))?;
    at_the_valve(bench, level, text)
}

fn at_the_valve(bench: &Bench, level: Level, text: Words) -> Option<Hazard> {
    let (valve, _) = bench.circuit().clutch_valve()?;
    let at = bench.circuit().part(valve).tag.clone();
    Some(Hazard { kind: HazardKind::FanMayStart, level, at, text, subjects: vec![Subject::Part(valve)] })
}

fn of_coupled(bench: &Bench) -> Option<(Level, Words)> {
    let conditions = bench.conditions();
    coupled(bench.outcome()).then(|| match (conditions.bolted, conditions.engine_rpm > 0.0) {
        (true, true) => (Level::Warning, say!("hazard-the-fan-is-bolted-up", bolted_up = BOLTED_UP)),
        (true, false) => (Level::Warning, say!("hazard-the-fan-is-bolted-up-2", bolted_up = BOLTED_UP)),
        (false, true) => (Level::Warning, say!("hazard-the-clutch-is-in-and")),
        (false, false) => (Level::Caution, say!("hazard-the-clutch-is-in-the")),
    })
}

fn of_the_key(bench: &Bench) -> Option<(Level, Words)> {
    let conditions = *bench.conditions();
    let starts = !conditions.key_on && coupled(&with_key_on(bench, conditions));
    starts.then(|| (Level::Caution, say!("hazard-turning-the-key-on-engages")))
}

fn of_free(bench: &Bench) -> Option<(Level, Words)> {
    let runs = bench.conditions().engine_rpm > 0.0;
    runs.then(|| (Level::Caution, say!("hazard-the-engine-runs-and-the-fan")))
}

/// Whether the clutch couples the fan, wholly or slipping.
pub(super) fn coupled(outcome: &Outcome) -> bool {
    outcome.clutch.is_some_and(|c| c.state != ClutchState::Released)
}

fn with_key_on(bench: &Bench, conditions: Conditions) -> Outcome {
    let inputs = Inputs { conditions: Conditions { key_on: true, ..conditions }, ..bench.inputs().clone() };
    bench.engine().settle(&inputs, &bench.outcome().memory)
}
