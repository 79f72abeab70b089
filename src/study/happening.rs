//! What happened by itself over time, in words.
//!
//! One short sentence for each kind of happening, with its number where it has one. When it happened is said by whoever
//! shows it; what was done by hand is worded there too.

use crate::circuit::Circuit;
use crate::physics::clutch::ClutchState;
use crate::physics::state::FuseAt;
use crate::physics::time::Happening;

use super::wording;

/// What happened, in words.
pub fn words(circuit: &Circuit, what: &Happening) -> String {
    let tag = |id: &crate::circuit::PartId| circuit.part(*id).tag.clone();
    match what {
        Happening::Sensor(id, true) => format!("{} acts", tag(id)),
        Happening::Sensor(id, false) => format!("{} is back at rest", tag(id)),
        Happening::Point(id, place, true) => format!("{}'s set point {} acts", tag(id), place + 1),
        Happening::Point(id, place, false) => format!("{}'s set point {} resets", tag(id), place + 1),
        Happening::Coil(id, true) => format!("{} pulls in", tag(id)),
        Happening::Coil(id, false) => format!("{} lets go", tag(id)),
        Happening::Driver(id, true) => format!("{}'s driver turns on", tag(id)),
        Happening::Driver(id, false) => format!("{}'s driver turns off", tag(id)),
        Happening::Timer(id, true) => format!("{} closes", tag(id)),
        Happening::Timer(id, false) => format!("{} has run out and opens", tag(id)),
        Happening::Kick(id, volts) => format!("{}'s coil kicks to about {volts:.0} V as its current breaks", tag(id)),
        Happening::Fuse(FuseAt::Part(id), amps) => format!("{} opens at {}", tag(id), wording::amps(*amps)),
        Happening::Fuse(FuseAt::Lead(_), amps) => format!("the lead's fuse opens at {}", wording::amps(*amps)),
        Happening::Clutch(ClutchState::Engaged) => "the clutch is engaged".to_owned(),
        Happening::Clutch(ClutchState::Released) => "the clutch is released".to_owned(),
        Happening::Clutch(ClutchState::Slipping) => "the clutch slips".to_owned(),
        Happening::Compressor(true) => "the compressor delivers".to_owned(),
        Happening::Compressor(false) => "the governor stops the compressor".to_owned(),
        Happening::Protection(true) => "the protection valve opens".to_owned(),
        Happening::Protection(false) => "the protection valve closes and keeps the brakes' air".to_owned(),
        Happening::Discoloured => "the friction plate is hot enough to discolour".to_owned(),
        Happening::Restless => "the circuit never comes to rest".to_owned(),
    }
}
