//! Hazard: something is not as the truck was built.
//!
//! Raised once for every act still in effect and every fuse blown meanwhile. Planted faults are not among them: they
//! are the world's, nobody has to put them back. A caution by itself; what a forgotten change does to the engine is
//! said by the verdict on it.

use crate::bench::{Act, Change};
use crate::study::answer::{Hazard, HazardKind, Level, Subject};

use super::Scene;

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
                        Act::Jump { .. } => (
                            format!("The lead {at} is still on: take it off before the truck leaves."),
                            leads.next().map(|lead| Subject::Lead(lead.number)),
                        ),
                        Act::Lift(end) => (
                            format!("{end} is still off its terminal: put it back before the truck leaves."),
                            scene.bench.wire_end(end).ok().map(Subject::WireEnd),
                        ),
                        Act::Unplug { part: tag } => {
                            (format!("{tag} is still unplugged: plug it in before the truck leaves."), part(tag))
                        }
                        Act::Turn { switch, .. } | Act::Press { switch } => {
                            (format!("{switch} is not at rest: put it back before the truck leaves."), part(switch))
                        }
                    };
                    (at, text, subject)
                }
                Change::BlownFuse(tag) => {
                    let text = format!("{tag} is blown: find why, then renew it with one of the same rating.");
                    (tag.clone(), text, part(&tag))
                }
                Change::Faulty(_) => return None,
            };
            let subjects = subject.into_iter().collect();
            Some(Hazard { kind: HazardKind::LeftChanged, level: Level::Caution, at, text, subjects })
        })
        .collect()
}
