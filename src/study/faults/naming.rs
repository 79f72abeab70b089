//! What a fault is called: one line in the trade's words, the same in the ledger and wherever faults are listed.
//!
//! The grammar in which faults are typed and kept is the bench's; why one explains what was seen is told elsewhere.

use crate::bench::fault::ohms_shown;
use crate::bench::{Fault, Rating};
use crate::circuit::part::ValveRest;
use crate::circuit::{Circuit, Contact, Kind};
use crate::study::wording::{position_word, seconds};
use crate::words::{Words, say};

/// A fault in a line: `B1 stuck open`, `20 Ω in W4`.
pub fn name(circuit: &Circuit, fault: &Fault) -> Words {
    let through = |ohms_between: f64| match ohms_between {
        0.0 => Words::default(),
        _ => say!("fault-through", ohms_between = ohms_shown(ohms_between)),
    };
    match fault {
        Fault::Open(wire) => say!("fault-broken-through", wire),
        Fault::PinOut(terminal) => say!("fault-pin-backed-out-of-the", terminal),
        Fault::Resist(at, added) => say!("fault-in", added = ohms_shown(*added), at),
        Fault::Ground(terminal, between) => say!("fault-chafed-to-the-chassis", terminal, between = through(*between)),
        Fault::Feed(terminal, between) => say!("fault-chafed-to-a-live-wire", terminal, between = through(*between)),
        Fault::Join(a, b) => say!("fault-and-rubbed-through-to-each", a, b),
        Fault::Stuck(part, at) if is_relay(circuit, part) => match at {
            Contact::Open => say!("fault-relay-stuck-open", part),
            Contact::Closed => say!("fault-relay-stuck-closed", part),
        },
        Fault::Stuck(part, at) => say!("fault-stuck", part, position_word = position_word(*at)),
        Fault::Drift(part, by) => {
            say!(
                "fault-s-set-point-moved-by",
                part,
                written = if by.written() < 0.0 { "" } else { "+" },
                by = by.difference()
            )
        }
        Fault::Gap(part, by) => say!("fault-returns-only-below-its-set", part, by = by.difference()),
        Fault::CoilOpen(part) => say!("fault-s-coil-broken-through", part),
        Fault::CoilShort(part, left) => say!("fault-s-coil-down-to-by", part, left = ohms_shown(*left)),
        Fault::CoilGround(terminal, between) => {
            say!("fault-winding-touching-the-body", terminal, between = through(*between))
        }
        Fault::SuppressorOpen(part) => say!("fault-s-suppressor-broken-or-missing", part),
        Fault::SuppressorShort(part) => say!("fault-s-suppressor-shorted", part),
        Fault::ValveStuck(part, ValveRest::Passing) => say!("fault-s-plunger-stuck-passing-air", part),
        Fault::ValveStuck(part, ValveRest::Blocking) => say!("fault-s-plunger-stuck-blocking-air", part),
        Fault::Swapped(part) => match kind_of(circuit, part) {
            Some(Kind::Relay(_)) => say!("fault-s-87-and-87a-changed", part),
            Some(Kind::Module(_)) => say!("fault-s-output-set-the-wrong", part),
            _ => say!("fault-of-the-other-rest-position", part),
        },
        Fault::SwappedHoses => say!("fault-supply-and-exhaust-hose-changed"),
        Fault::CrossedHoses => say!("fault-supply-and-clutch-hose"),
        Fault::Fitted(part, Rating::Amps(amps)) => say!("fault-a-fuse-fitted-in", amps, part),
        Fault::Fitted(part, Rating::Volts(volts)) => say!("fault-with-a-v-coil-fitted", part, volts),
        Fault::Hold(part, hold) => say!("fault-holds-only", part, hold = seconds(*hold)),
        Fault::Blown(part) => say!("fault-blown", part),
        Fault::Flat(part, volts) => say!("fault-has-only-v", part, volts),
        Fault::LeakHose(mm) => say!("fault-mm-hole-in-the-clutch", mm),
        Fault::LeakChamber(mm) => say!("fault-mm-hole-at-the-clutch", mm),
        Fault::LeakSeat(mm) => say!("fault-mm-gap-in-the-valves", mm),
        Fault::BlockedSupply => say!("fault-air-supply-shut-off-before"),
        Fault::BlockedFilter => say!("fault-filter-clogged"),
        Fault::BlockedHose => say!("fault-clutch-hose-kinked"),
        Fault::BlockedExhaust => say!("fault-valves-exhaust-plugged"),
        Fault::Worn(mm) => say!("fault-facing-worn-to-mm", mm),
        Fault::Oiled => say!("fault-oil-on-the-facing"),
        Fault::WeakSpring => say!("fault-clutch-spring-weak"),
        Fault::SeizedPiston => say!("fault-clutch-piston-seized"),
        Fault::RoughBearing => say!("fault-bearing-rough"),
        Fault::SlackBelt => say!("fault-belt-slack"),
        Fault::DamagedFan => say!("fault-blades-bent"),
        Fault::ModuleDead(part) => say!("fault-dead", part),
        Fault::Reversed(part) => say!("fault-the-wrong-way-round", part),
        Fault::DiodeOpen(part) => say!("fault-broken-through-2", part),
        Fault::DiodeShort(part) => say!("fault-shorted", part),
    }
}

fn kind_of<'a>(circuit: &'a Circuit, tag: &str) -> Option<&'a Kind> {
    circuit.part_named(tag).map(|id| &circuit.part(id).kind)
}

fn is_relay(circuit: &Circuit, tag: &str) -> bool {
    matches!(kind_of(circuit, tag), Some(Kind::Relay(_)))
}
