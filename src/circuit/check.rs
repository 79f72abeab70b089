//! Doubtful things in a sound circuit: what a technician would look at twice.
//!
//! Yields findings with a mend each, part after part: terminals without a wire, paths that are unfused, thin, dead or
//! shorted, suppressors the wrong way round. Errors of a file are found by [`format`](super::format), hazards of what
//! is done to a circuit by the bench. Contacts count as closed and as open here: only what holds in every position is
//! reported, so a sound circuit gives nothing.

mod paths;

use super::diagnostic::{Finding, Subject};
use super::part::{AirValve, Demand, Kind, Relay};
use super::{Circuit, PartId, TerminalId};
use crate::words::say;

/// Colour letters of IEC 60757 (from memory).
const COLOURS: [&str; 14] = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"];

/// Everything doubtful about a circuit.
pub fn check(circuit: &Circuit) -> Vec<Finding> {
    let mut findings = Vec::new();
    if circuit.parts().is_empty() {
        let mend = say!("check-add-parts");
        return vec![Finding::doubtful(Subject::Whole, say!("check-there-are-no-parts"), mend)];
    }
    if circuit.title().trim().is_empty() {
        let mend = say!("check-write-what-it-is-the-circuit-of");
        findings.push(Finding::doubtful(Subject::Whole, say!("check-there-is-no-title"), mend));
    }
    if circuit.battery().is_none() {
        let mend = say!("check-add-a-battery");
        findings.push(Finding::doubtful(Subject::Whole, say!("check-nothing-feeds"), mend));
    }
    if circuit.clutch().is_some() && circuit.clutch_valve().is_none() {
        let mend = say!("check-add-an-air-valve");
        findings.push(Finding::doubtful(Subject::Whole, say!("check-a-clutch-and-no-valve"), mend));
    }
    for (id, part) in circuit.parts_with_ids() {
        unwired(circuit, id, &part.tag, &part.kind, &mut findings);
    }
    too_weak(circuit, &mut findings);
    for wire in circuit.wires() {
        if let Some(colour) = &wire.colour
            && !is_colour(colour)
        {
            let colour = colour.escape_debug().to_string();
            let message = say!("check-the-colour-is-not-one", colour, tag = wire.tag);
            let mend = say!("check-write-one-or-two-of", colours = COLOURS.join(" "));
            findings.push(Finding::doubtful(Subject::Wire(wire.tag.clone()), message, mend));
        }
    }
    paths::check(circuit, &mut findings);
    findings
}

/// Coils that all batteries in a row could not pull in.
fn too_weak(circuit: &Circuit, findings: &mut Vec<Finding>) {
    let supply: f64 = circuit.batteries().map(|(_, battery)| battery.volts).sum();
    for part in circuit.parts() {
        let (Kind::Relay(Relay { pulls_in, .. }) | Kind::AirValve(AirValve { pulls_in, .. })) = &part.kind else {
            continue;
        };
        if supply > 0.0 && *pulls_in > supply {
            let message = say!("check-never-pulls-in", tag = part.tag, pulls_in, supply);
            findings.push(Finding::doubtful(Subject::Part(part.tag.clone()), message, say!("check-fit-a-coil-for")));
        }
    }
}

/// Whether a colour is written in the letters of IEC 60757: one, or two side by side or with a stroke between.
fn is_colour(words: &str) -> bool {
    let one = |word: &str| COLOURS.contains(&word);
    match words.split_once('/') {
        Some((first, second)) => one(first) && one(second),
        None => one(words) || words.split_at_checked(2).is_some_and(|(first, second)| one(first) && one(second)),
    }
}

/// Terminals that nothing is wired to, where something should be.
fn unwired(circuit: &Circuit, id: PartId, tag: &str, kind: &Kind, findings: &mut Vec<Finding>) {
    let bare = |terminal: TerminalId| circuit.ends_at(terminal).is_empty();
    if circuit.terminals_of(id).all(bare) {
        let message = say!("check-nothing-is-wired-to", tag);
        findings.push(Finding::doubtful(Subject::Part(tag.to_owned()), message, say!("check-wire-it-or-take-it-out")));
        return;
    }
    for (place, terminal) in circuit.terminals_of(id).enumerate() {
        if !bare(terminal) || may_be_bare(circuit, id, kind, place) {
            continue;
        }
        let words = circuit.terminal_words(terminal);
        let (message, mend) = match kind {
            Kind::Module(_) if place == 3 => {
                (say!("check-acts-when-its-in-is-fed", tag, words), say!("check-wire-what-feeds-it"))
            }
            Kind::Relay(_) if place == 3 => {
                (say!("check-the-relay-switches-nothing", tag), say!("check-wire-the-contact"))
            }
            _ => (say!("check-no-wire-goes-to", words), say!("check-wire-or-take-out", words, tag)),
        };
        findings.push(Finding::doubtful(Subject::Terminal(words), message, mend));
    }
}

/// Whether a terminal may well be left without a wire: a spare contact, position, pin or input.
fn may_be_bare(circuit: &Circuit, id: PartId, kind: &Kind, place: usize) -> bool {
    let bare = |place: usize| circuit.ends_at(circuit.terminal_at(id, place)).is_empty();
    match kind {
        Kind::Relay(_) => place == 4 || (place == 3 && !bare(4)),
        Kind::SelectorSwitch(_) => place > 0,
        Kind::Module(module) => place == 3 && !has_fed(&module.on_when),
        Kind::Connector(_) => bare(place ^ 1),
        Kind::Battery(_)
        | Kind::Fuse(_)
        | Kind::KeySwitch(_)
        | Kind::HandSwitch(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::AirValve(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Timer(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => false,
    }
}

fn has_fed(demand: &Demand) -> bool {
    match demand {
        Demand::Fed => true,
        Demand::Any(list) | Demand::All(list) => list.iter().any(has_fed),
        Demand::Not(inner) => has_fed(inner),
        Demand::Above(..) | Demand::Below(..) | Demand::EngineStopped | Demand::Always | Demand::Never => false,
    }
}
