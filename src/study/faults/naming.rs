//! What a fault is called: one line in the trade's words, the same in the ledger and wherever faults are listed.
//!
//! The grammar in which faults are typed and kept is the bench's; why one explains what was seen is told elsewhere.

use crate::bench::fault::ohms_shown;
use crate::bench::{Fault, Rating};
use crate::circuit::part::ValveRest;
use crate::circuit::{Circuit, Kind};
use crate::study::wording::{position_word, seconds};

/// A fault in a line: `B1 stuck open`, `20 Ω in W4`.
pub fn name(circuit: &Circuit, fault: &Fault) -> String {
    let through = |ohms_between: f64| match ohms_between {
        0.0 => String::new(),
        _ => format!(", through {}", ohms_shown(ohms_between)),
    };
    match fault {
        Fault::Open(wire) => format!("{wire} broken through"),
        Fault::PinOut(terminal) => format!("{terminal}: pin backed out of the plug"),
        Fault::Resist(at, added) => format!("{} in {at}", ohms_shown(*added)),
        Fault::Ground(terminal, between) => format!("{terminal} chafed to the chassis{}", through(*between)),
        Fault::Feed(terminal, between) => format!("{terminal} chafed to a live wire{}", through(*between)),
        Fault::Join(a, b) => format!("{a} and {b} rubbed through to each other"),
        Fault::Stuck(part, at) => format!("{part} stuck {}", position_word(*at)),
        Fault::Drift(part, by) => {
            format!("{part}'s set point moved by {}{by}", if by.written() < 0.0 { "" } else { "+" })
        }
        Fault::Gap(part, by) => format!("{part} returns only {by} below its set point"),
        Fault::CoilOpen(part) => format!("{part}'s coil broken through"),
        Fault::CoilShort(part, left) => format!("{part}'s coil down to {} by shorted turns", ohms_shown(*left)),
        Fault::CoilGround(terminal, between) => {
            format!("{terminal}: winding touching the body{}", through(*between))
        }
        Fault::SuppressorOpen(part) => format!("{part}'s suppressor broken or missing"),
        Fault::SuppressorShort(part) => format!("{part}'s suppressor shorted"),
        Fault::ValveStuck(part, ValveRest::Passing) => format!("{part}'s plunger stuck passing air"),
        Fault::ValveStuck(part, ValveRest::Blocking) => format!("{part}'s plunger stuck blocking air"),
        Fault::Swapped(part) => match circuit.part_named(part).map(|id| &circuit.part(id).kind) {
            Some(Kind::Relay(_)) => format!("{part}'s 87 and 87a changed over"),
            Some(Kind::Module(_)) => format!("{part}'s output set the wrong way round"),
            _ => format!("{part} of the other rest position fitted"),
        },
        Fault::SwappedHoses => "supply and exhaust hose changed over".to_owned(),
        Fault::CrossedHoses => "supply and clutch hose changed over".to_owned(),
        Fault::Fitted(part, Rating::Amps(amps)) => format!("{amps} A fuse fitted in {part}"),
        Fault::Fitted(part, Rating::Volts(volts)) => format!("{part} with a {volts} V coil fitted"),
        Fault::Hold(part, hold) => format!("{part} holds only {}", seconds(*hold)),
        Fault::Blown(part) => format!("{part} blown"),
        Fault::Flat(part, volts) => format!("{part} has only {volts} V"),
        Fault::LeakHose(mm) => format!("{mm} mm hole in the clutch hose"),
        Fault::LeakChamber(mm) => format!("{mm} mm hole at the clutch"),
        Fault::LeakSeat(mm) => format!("{mm} mm gap in the valve's seat, blowing out of its exhaust"),
        Fault::BlockedSupply => "air supply shut off before the valve".to_owned(),
        Fault::BlockedFilter => "filter clogged".to_owned(),
        Fault::BlockedHose => "clutch hose kinked".to_owned(),
        Fault::BlockedExhaust => "valve's exhaust plugged".to_owned(),
        Fault::Worn(mm) => format!("facing worn to {mm} mm"),
        Fault::Oiled => "oil on the facing".to_owned(),
        Fault::WeakSpring => "clutch spring weak".to_owned(),
        Fault::SeizedPiston => "clutch piston seized".to_owned(),
        Fault::RoughBearing => "hub or pulley bearing rough: rumble, and play felt by hand".to_owned(),
        Fault::SlackBelt => "belt slack: squeal when the fan is driven".to_owned(),
        Fault::DamagedFan => "blades bent or broken: vibration".to_owned(),
        Fault::ModuleDead(part) => format!("{part} dead"),
        Fault::Reversed(part) => format!("{part} the wrong way round"),
        Fault::DiodeOpen(part) => format!("{part} broken through"),
        Fault::DiodeShort(part) => format!("{part} shorted"),
    }
}
