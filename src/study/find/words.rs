//! What a find says: why a test is worth making, what its outcomes mean, how to mend a fault and how to prove it.
//!
//! Sentences only, put together from what was worked out; names of parts and numbers come from
//! [`wording`].

use crate::bench::{Fault, Instrument, Reading};
use crate::circuit::part::ValveRest;
use crate::circuit::{Circuit, Contact};
use crate::physics::limits::OHMMETER_RANGE_OHMS;
use crate::study::answer::Standing;
use crate::study::wording::{self, capital};

use super::scale::Look;
use super::sight::UNSTEADY;
use super::suspect::Suspect;
use super::{Found, Line, Outcome, Test};

/// Said with every answer of a find.
pub const SINGLE: &str = "Each thing seen counts as seen on the truck as it came, fuses whole, under its own conditions \
and acts. A fault of degree stands for all of its sort: one bad joint, one moved set point, one hole.";

/// Minutes as people say them.
pub fn minutes(minutes: f64) -> String {
    format!("{minutes:.1} min")
}

/// A share in whole percent, never a hundred or nothing that is not.
pub fn percent(share: f64) -> String {
    match share * 100.0 {
        x if x < 1.0 => "under 1 %".to_owned(),
        x if x > 99.0 && x < 100.0 - 1e-9 => "over 99 %".to_owned(),
        x => format!("{x:.0} %"),
    }
}

/// What a reading would show, as its instrument does.
pub fn look(reading: &Reading, look: Look) -> String {
    match (look, reading) {
        (Look::Unsteady, _) => UNSTEADY.to_owned(),
        (Look::Fan(standing), _) => standing.word().to_owned(),
        (Look::Number(share), Reading::Across { instrument: Instrument::TestLamp, .. }) => {
            Look::glow(share).word().to_owned()
        }
        (Look::Number(ohms), Reading::Across { instrument: Instrument::Ohmmeter, .. }) => {
            if ohms >= OHMMETER_RANGE_OHMS { "overload".to_owned() } else { wording::ohms(ohms) }
        }
        (Look::Number(volts), Reading::Across { .. }) => wording::volts(volts),
        (Look::Number(amps), Reading::Amps(_) | Reading::Clamp(_)) => {
            format!("{}{}", if amps <= -0.0005 { "-" } else { "" }, wording::amps(amps))
        }
        (Look::Number(psi), Reading::Gauge(_) | Reading::Fan) => format!("{psi:.0} psi"),
    }
}

/// What an outcome shows: one value, or from least to most.
pub fn shows(reading: &Reading, outcome: &Outcome) -> String {
    let [least, most] = [outcome.looks.0, outcome.looks.1].map(|at| look(reading, at));
    if least == most { least } else { format!("{least} to {most}") }
}

/// A line by its likeliest, and how many are like it.
pub fn line(found: &Found, line: &Line) -> String {
    let names: Vec<String> = line.suspects.iter().map(|at| found.suspects[*at].name()).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, rest @ ..] if rest.len() <= 3 => format!("{first} or {}", wording::choice(rest)),
        [first, rest @ ..] => format!("{first} or one of {} like it", rest.len()),
    }
}

/// Why this test comes next.
pub fn because(found: &Found, test: &Test) -> String {
    let all = test.outcomes.len();
    let mut outcomes: Vec<&Outcome> = test.outcomes.iter().collect();
    outcomes.sort_by(|a, b| b.share.total_cmp(&a.share));
    const TOLD: usize = 3;
    let told: Vec<String> = outcomes
        .iter()
        .take(TOLD)
        .map(|outcome| {
            let leaves = match outcome.lines.as_slice() {
                [one] => format!("only {}", line(found, &found.lines[*one])),
                lines => format!("{} of {} lines", lines.len(), found.lines.len()),
            };
            format!("{} leaves {leaves} ({})", shows(&test.reading, outcome), percent(outcome.share))
        })
        .collect();
    let more = if all > TOLD { format!("; {} more outcomes", all - TOLD) } else { String::new() };
    let reach =
        if test.reaching >= 0.05 { format!(", {} of it to get there", minutes(test.reaching)) } else { String::new() };
    format!(
        "{}{more}. That is {:.2} bit for {}{reach}: of the safe tests none is expected to end the search sooner.",
        capital(&told.join("; ")),
        test.bits,
        minutes(test.minutes),
    )
}

/// How to put a fault right.
pub fn repair(circuit: &Circuit, fault: &Fault) -> String {
    let part = |tag: &str| circuit.part_named(tag).map_or_else(|| tag.to_owned(), |id| wording::part_name(circuit, id));
    let wire = |tag: &str| match circuit.wire_named(tag).map(|id| circuit.wire(id)) {
        Some(wire) => {
            format!("{tag} ({} to {})", circuit.terminal_words(wire.from), circuit.terminal_words(wire.to))
        }
        None => tag.to_owned(),
    };
    match fault {
        Fault::Open(tag) => format!("find the break in wire {} or at its ends and renew that piece", wire(tag)),
        Fault::PinOut(at) => format!("push the pin of {at} home in its plug until it locks, or renew it"),
        Fault::Resist(tag, _) if circuit.wire_named(tag).is_some() => {
            format!("clean and renew the joints at both ends of wire {}", wire(tag))
        }
        Fault::Resist(tag, _) => format!("renew {}, or clean what it joins: its contact is burnt or dirty", part(tag)),
        Fault::Ground(at, _) => {
            format!("find where the wire at {at} rubs on the chassis, insulate and tie it up, and look at the fuse")
        }
        Fault::Feed(at, _) => format!("find where the wire at {at} touches a live one, insulate and part them"),
        Fault::Join(a, b) => format!("find where wires {} and {} touch, insulate and part them", wire(a), wire(b)),
        Fault::Stuck(tag, Contact::Open) => format!("renew {}: its contact does not close", part(tag)),
        Fault::Stuck(tag, Contact::Closed) => {
            format!("renew {}: its contact does not open; look for what welded it", part(tag))
        }
        Fault::Drift(tag, _) => format!("renew {}: its set point has moved", part(tag)),
        Fault::CoilOpen(tag) => format!("renew {}: its coil is broken", part(tag)),
        Fault::CoilShort(tag, _) => format!("renew {}: its coil has shorted turns; look at what drives it", part(tag)),
        Fault::Gap(tag, _) => format!("renew {}: its reset point has come too close to its set point", part(tag)),
        Fault::CoilGround(at, _) => format!("renew what {at} belongs to: its winding touches the body"),
        Fault::SuppressorOpen(tag) => {
            format!("renew what is across the coil of {}: it is broken or missing", part(tag))
        }
        Fault::SuppressorShort(tag) => format!("renew what is across the coil of {}: it is shorted", part(tag)),
        Fault::ValveStuck(tag, ValveRest::Passing) => {
            format!("renew {}, stuck passing; look at filter and dryer", part(tag))
        }
        Fault::ValveStuck(tag, ValveRest::Blocking) => {
            format!("renew {}, stuck blocking; look at filter and dryer", part(tag))
        }
        Fault::Swapped(tag) => format!("fit {} as it belongs: the other way round, or the right sort", part(tag)),
        Fault::SwappedHoses => {
            "change over the supply and exhaust hoses at the clutch's valve, and tag them".to_owned()
        }
        Fault::CrossedHoses => "change over the supply and clutch hoses at the clutch's valve, and tag them".to_owned(),
        Fault::Fitted(tag, _) => format!("fit {} of the rating that belongs there", part(tag)),
        Fault::Hold(tag, _) => format!("set {} to the time that belongs there, or renew it", part(tag)),
        Fault::Blown(tag) => format!("find why {} blew, then renew it with one of the same rating", part(tag)),
        Fault::Flat(tag, _) => format!("charge {} and look at charging and cables", part(tag)),
        Fault::LeakHose(_) => "seal the leak in the clutch hose".to_owned(),
        Fault::LeakChamber(_) => "renew the seals of the clutch, and measure the facing".to_owned(),
        Fault::LeakSeat(_) => "renew the valve: its seat leaks to the exhaust; look at filter and dryer".to_owned(),
        Fault::BlockedSupply => "open the air supply before the valve, and look at the protection valve".to_owned(),
        Fault::BlockedHose => "lay the clutch hose without a kink, or renew it".to_owned(),
        Fault::BlockedFilter => "renew the air filter".to_owned(),
        Fault::BlockedExhaust => "clear the valve's exhaust".to_owned(),
        Fault::Worn(_) => "renew the clutch facing, and find why it wore".to_owned(),
        Fault::Oiled => "stop what oils the clutch facing, then renew the facing".to_owned(),
        Fault::WeakSpring => "renew the clutch's springs".to_owned(),
        Fault::SeizedPiston => "free or renew the clutch's piston and its seals".to_owned(),
        Fault::RoughBearing => "renew the bearing of hub or pulley, and measure its play".to_owned(),
        Fault::SlackBelt => "tension or renew the belt, and look at its tensioner".to_owned(),
        Fault::DamagedFan => "renew the fan, and look at its clearance in the shroud".to_owned(),
        Fault::ModuleDead(tag) => format!("prove supply and ground of {} first; then renew it", part(tag)),
        Fault::Reversed(tag) => format!("turn {} round", part(tag)),
        Fault::DiodeOpen(tag) => format!("renew {}: it is broken through", part(tag)),
        Fault::DiodeShort(tag) => format!("renew {}: it is shorted; look for what did it", part(tag)),
    }
}

/// How to put right what a suspect is.
pub fn repairs(circuit: &Circuit, suspect: &Suspect) -> String {
    if suspect.is_healthy() {
        return "nothing is wrong as far as can be seen: look at how the complaint came about".to_owned();
    }
    let all: Vec<String> = suspect.faults.iter().map(|fault| repair(circuit, fault)).collect();
    all.join("; then ")
}

/// One step of a proof.
pub fn proof(setup: &str, standing: Standing) -> String {
    let when = if setup.is_empty() { "as it stands".to_owned() } else { setup.trim().to_owned() };
    format!("{when}: the fan must be {}", standing.word())
}
