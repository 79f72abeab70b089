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
use super::suspect::Suspect;
use super::{Found, Line, Outcome, Test};
use crate::words::{Words, fixed, say};

/// Said with every answer of a find.
pub static SINGLE: Words = say!("find-each-thing-seen-counts-as");

/// Minutes as people say them.
pub fn minutes(minutes: f64) -> Words {
    wording::with_unit(minutes, 1, "min")
}

/// A share in whole percent, never a hundred or nothing that is not.
pub fn percent(share: f64) -> Words {
    match share * 100.0 {
        x if x < 1.0 => say!("find-under-1"),
        x if x > 99.0 && x < 100.0 - 1e-9 => say!("find-over-99"),
        x => wording::with_unit(x, 0, "%"),
    }
}

/// What a reading would show, as its instrument does.
pub fn look(reading: &Reading, look: Look) -> Words {
    match (look, reading) {
        (Look::Unsteady, _) => say!("find-unsteady"),
        (Look::Fan(standing), _) => standing.said(),
        (Look::Number(share), Reading::Across { instrument: Instrument::TestLamp, .. }) => Look::glow(share).said(),
        (Look::Number(ohms), Reading::Across { instrument: Instrument::Ohmmeter, .. }) => {
            if ohms >= OHMMETER_RANGE_OHMS { say!("find-overload") } else { wording::ohms(ohms) }
        }
        (Look::Number(volts), Reading::Across { .. }) => wording::volts(volts),
        (Look::Number(amps), Reading::Amps(_) | Reading::Clamp(_)) => wording::signed_amps(amps),
        (Look::Number(psi), Reading::Gauge(_) | Reading::Fan) => wording::gauge(psi),
    }
}

/// What an outcome shows: one value, or from least to most.
pub fn shows(reading: &Reading, outcome: &Outcome) -> Words {
    let [least, most] = [outcome.looks.0, outcome.looks.1].map(|at| look(reading, at));
    if least == most { least } else { say!("find-to", least, most) }
}

/// A line by its likeliest, and how many are like it.
pub fn line(found: &Found, line: &Line) -> Words {
    let names: Vec<String> = line.suspects.iter().map(|at| found.suspects[*at].name()).collect();
    match names.as_slice() {
        [] => Words::default(),
        [one] => one.into(),
        [first, rest @ ..] if rest.len() <= 3 => say!("find-or", first, rest = wording::choice(rest)),
        [first, rest @ ..] => say!("find-or-one-of-like-it", first, rest = rest.len()),
    }
}

/// Why this test comes next.
pub fn because(found: &Found, test: &Test) -> Words {
    let all = test.outcomes.len();
    let mut outcomes: Vec<&Outcome> = test.outcomes.iter().collect();
    outcomes.sort_by(|a, b| b.share.total_cmp(&a.share));
    const TOLD: usize = 3;
    let told: Vec<Words> = outcomes
        .iter()
        .take(TOLD)
        .map(|outcome| {
            let leaves = match outcome.lines.as_slice() {
                [one] => say!("find-only", one = line(found, &found.lines[*one])),
                lines => say!("find-of-lines", lines = lines.len(), lines_2 = found.lines.len()),
            };
            say!("find-leaves", reading = shows(&test.reading, outcome), leaves, share = percent(outcome.share))
        })
        .collect();
    let more = if all > TOLD { say!("find-more-outcomes", all = all - TOLD) } else { Words::default() };
    let reach = if test.reaching >= 0.05 {
        say!("find-of-it-to-get-there", reaching = minutes(test.reaching))
    } else {
        Words::default()
    };
    say!(
        "find-that-is-bit-for-of",
        told = capital(Words::joined(told, "; ")),
        more,
        bits = fixed(test.bits, 2),
        minutes = minutes(test.minutes),
        reach
    )
}

/// How to put a fault right.
pub fn repair(circuit: &Circuit, fault: &Fault) -> Words {
    let part = |tag: &str| circuit.part_named(tag).map_or_else(|| tag.into(), |id| wording::part_name(circuit, id));
    let wire = |tag: &str| match circuit.wire_named(tag).map(|id| circuit.wire(id)) {
        Some(wire) => {
            say!("find-to-2", tag, wire = circuit.terminal_words(wire.from), to = circuit.terminal_words(wire.to))
        }
        None => tag.into(),
    };
    match fault {
        Fault::Open(tag) => say!("find-find-the-break-in-wire", tag = wire(tag)),
        Fault::PinOut(at) => say!("find-push-the-pin-of-home", at),
        Fault::Resist(tag, _) if circuit.wire_named(tag).is_some() => {
            say!("find-clean-and-renew-the-joints", tag = wire(tag))
        }
        Fault::Resist(tag, _) => say!("find-renew-or-clean-what-it", tag = part(tag)),
        Fault::Ground(at, _) => {
            say!("find-find-where-the-wire-at", at)
        }
        Fault::Feed(at, _) => say!("find-find-where-the-wire-at-2", at),
        Fault::Join(a, b) => say!("find-find-where-wires-and-touch", a = wire(a), b = wire(b)),
        Fault::Stuck(tag, Contact::Open) => say!("find-renew-its-contact-does-not", tag = part(tag)),
        Fault::Stuck(tag, Contact::Closed) => {
            say!("find-renew-its-contact-does-not-2", tag = part(tag))
        }
        Fault::Drift(tag, _) => say!("find-renew-its-set-point-has", tag = part(tag)),
        Fault::CoilOpen(tag) => say!("find-renew-its-coil-is-broken", tag = part(tag)),
        Fault::CoilShort(tag, _) => say!("find-renew-its-coil-has-shorted", tag = part(tag)),
        Fault::Gap(tag, _) => say!("find-renew-its-reset-point-has", tag = part(tag)),
        Fault::CoilGround(at, _) => say!("find-renew-what-belongs-to-its", at),
        Fault::SuppressorOpen(tag) => {
            say!("find-renew-what-is-across-the", tag = part(tag))
        }
        Fault::SuppressorShort(tag) => say!("find-renew-what-is-across-the-2", tag = part(tag)),
        Fault::ValveStuck(tag, ValveRest::Passing) => {
            say!("find-renew-stuck-passing-look-at", tag = part(tag))
        }
        Fault::ValveStuck(tag, ValveRest::Blocking) => {
            say!("find-renew-stuck-blocking-look-at", tag = part(tag))
        }
        Fault::Swapped(tag) => say!("find-fit-as-it-belongs-the", tag = part(tag)),
        Fault::SwappedHoses => {
            say!("find-change-over-the-supply-and")
        }
        Fault::CrossedHoses => say!("find-change-over-supply-and-clutch"),
        Fault::Fitted(tag, _) => say!("find-fit-of-the-rating-that", tag = part(tag)),
        Fault::Hold(tag, _) => say!("find-set-to-the-time-that", tag = part(tag)),
        Fault::Blown(tag) => say!("find-find-why-blew-then-renew", tag = part(tag)),
        Fault::Flat(tag, _) => say!("find-charge-and-look-at-charging", tag = part(tag)),
        Fault::LeakHose(_) => say!("find-seal-the-leak-in-the"),
        Fault::LeakChamber(_) => say!("find-renew-the-seals-of-the"),
        Fault::LeakSeat(_) => say!("find-renew-the-valve-its-seat"),
        Fault::BlockedSupply => say!("find-open-the-air-supply-before"),
        Fault::BlockedHose => say!("find-lay-the-clutch-hose-without"),
        Fault::BlockedFilter => say!("find-renew-the-air-filter"),
        Fault::BlockedExhaust => say!("find-clear-the-valves-exhaust"),
        Fault::Worn(_) => say!("find-renew-the-clutch-facing-and"),
        Fault::Oiled => say!("find-stop-what-oils-the-clutch"),
        Fault::WeakSpring => say!("find-renew-the-clutchs-springs"),
        Fault::SeizedPiston => say!("find-free-or-renew-the-clutchs"),
        Fault::RoughBearing => say!("find-renew-the-bearing"),
        Fault::SlackBelt => say!("find-tension-the-belt"),
        Fault::DamagedFan => say!("find-renew-the-fan"),
        Fault::ModuleDead(tag) => say!("find-prove-supply-and-ground-of", tag = part(tag)),
        Fault::Reversed(tag) => say!("find-turn-round", tag = part(tag)),
        Fault::DiodeOpen(tag) => say!("find-renew-it-is-broken-through", tag = part(tag)),
        Fault::DiodeShort(tag) => say!("find-renew-it-is-shorted-look", tag = part(tag)),
    }
}

/// How to put right what a suspect is.
pub fn repairs(circuit: &Circuit, suspect: &Suspect) -> Words {
    if suspect.is_healthy() {
        return say!("find-nothing-is-wrong-as-far");
    }
    let all: Vec<Words> = suspect.faults.iter().map(|fault| repair(circuit, fault)).collect();
    all.into_iter().reduce(|first, next| say!("find-then", first, next)).unwrap_or_default()
}

/// One step of a proof.
pub fn proof(setup: &str, standing: Standing) -> Words {
    let when = if setup.is_empty() { say!("find-as-it-stands") } else { setup.trim().into() };
    say!("find-the-fan-must-be", when, word = standing.said())
}
