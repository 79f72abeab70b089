//! Hazard: a module's driver carries more than it may, or would the moment it turns on.
//!
//! Raised where, in any state to be judged, the driver's current is above its limit with the driver on, whether it
//! is on just now or not. The driver is a few square millimetres of silicon: it goes before any fuse.

use crate::circuit::Kind;
use crate::physics::settle::hold_still;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording;

use super::Scene;
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let mut hazards = Vec::new();
    for (id, part) in scene.circuit.parts_with_ids() {
        let Kind::Module(module) = &part.kind else { continue };
        let worst = scene.moments.iter().map(|moment| {
            let mut on = moment.memory.clone();
            on.parts[id.index()].on = true;
            hold_still(scene.circuit, &scene.inputs, &on).part_amps[id.index()].abs()
        });
        let amps = worst.fold(0.0, f64::max);
        if amps <= module.limit_amps {
            continue;
        }
        let tag = &part.tag;
        let now = scene.bench.outcome().memory.of(id).on;
        let when = if now { say!("hazard-carries") } else { say!("hazard-will-carry-the-moment-it") };
        hazards.push(Hazard {
            kind: HazardKind::ModuleOverloaded,
            level: Level::Danger,
            at: tag.clone(),
            text: say!(
                "hazard-s-driver-and-it-may",
                tag,
                when,
                amps = wording::amps(amps),
                limit_amps = module.limit_amps
            ),
            subjects: vec![Subject::Part(id)],
        });
    }
    hazards
}
