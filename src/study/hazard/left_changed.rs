//! Hazard: something is not as the truck was built.
//!
//! Raised once for every act still in effect and every fuse blown meanwhile. Planted faults are not among them: they
//! are the world's, nobody has to put them back. A caution by itself; what a forgotten change does to the engine is
//! said by the verdict on it.

use crate::bench::{Act, Change};
use crate::study::answer::{Hazard, HazardKind, Level, Subject};

use super::Scene;
use crate::words::say;

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let mut leads = scene.inputs.leads.iter();
    scene
        .changes()
        .into_iter()
        .filter_map(|change| {
            let part = |tag: &str| scene.circuit.part_named(tag).map(Subject::Part);
            let (at, text, subject) = match change {
                Change::Done(act) => {
                    let at = act.in_full();
                    let (text, subject) = match &act {
                        Act::Jump { a, b, .. } => (
                            say!("hazard-the-lead-is-still-on", a, b),
                            leads.next().map(|lead| Subject::Lead(lead.number)),
                        ),
                        Act::Lift(end) => (
                            say!("hazard-is-still-off-its-terminal", end),
                            scene.bench.wire_end(end).ok().map(Subject::WireEnd),
                        ),
                        Act::Unplug { part: tag } => (say!("hazard-is-still-unplugged-plug-it", tag), part(tag)),
                        Act::Turn { switch, .. } | Act::Press { switch } => {
                            (say!("hazard-is-not-at-rest-put", switch), part(switch))
                        }
                    };
                    (at, text, subject)
                }
                Change::BlownFuse(tag) => {
                    let text = say!("hazard-is-blown-find-why-then", tag);
                    (tag.clone(), text, part(&tag))
                }
                Change::Faulty(_) => return None,
            };
            let subjects = subject.into_iter().collect();
            Some(Hazard { kind: HazardKind::LeftChanged, level: Level::Caution, at, text, subjects })
        })
        .collect()
}
