//! Hazard: a fuse carries more than it can and opens.
//!
//! Raised for every fuse, the circuit's or a lead's, that opened on the way to the present state and has not been
//! renewed, with what it carried and the standard's band of times. Whether a short or plain overload opened it is
//! said by the others.

use crate::physics::fuse::opening_seconds;
use crate::physics::state::FuseAt;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::wording;

use super::Scene;
use crate::words::{Words, say};

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    scene
        .bench
        .opened()
        .iter()
        .map(|opened| {
            let band = opening_seconds(opened.amps / opened.rating_amps);
            let time = band.map_or_else(Words::default, |(least, most)| {
                say!("hazard-it-opens-in-to-s", least = wording::seconds(least), most = wording::seconds(most))
            });
            let carried = wording::amps(opened.amps);
            let rating = opened.rating_amps;
            let (level, subject, text) = match opened.at {
                FuseAt::Part(id) => (
                    Level::Danger,
                    Subject::Part(id),
                    say!("hazard-a-a-fuse-is-made", tag = scene.circuit.part(id).tag, rating, carried, time),
                ),
                FuseAt::Lead(number) => (
                    Level::Warning,
                    Subject::Lead(number),
                    say!("hazard-the-leads-own-a-fuse-2", rating, carried, time),
                ),
            };
            Hazard { kind: HazardKind::FuseWouldOpen, level, at: scene.name_of(subject), text, subjects: vec![subject] }
        })
        .collect()
}
