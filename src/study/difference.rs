//! What differs between two states of one circuit: what was done, and what it did to coil, valve, air and clutch.
//!
//! Both states are settled already; this only sets them beside each other, with numbers, in the order of cause and
//! effect. Why a single state is as it is belongs to [`explain`](super::explain); dangers to
//! [`hazard`](super::hazard).

use crate::bench::{Act, Bench, Change, Point};
use crate::circuit::quantity::fahrenheit_from_celsius;
use crate::circuit::{Circuit, Kind, Telling};
use crate::physics::clutch::ClutchState;
use crate::physics::inputs::Conditions;
use crate::physics::state::CoilReading;

use super::explain::Story;
use super::wording;

/// How far down relays feeding relays the reasons go.
const DEPTH: usize = 3;

/// What differs between two states of one circuit, whole sentences from cause to effect; empty where there is no air
/// valve.
pub fn difference(before: &Bench, after: &Bench) -> Vec<String> {
    let (Some(old), Some(new)) = (Story::of(before), Story::of(after)) else { return Vec::new() };
    let mut said: Vec<String> = Vec::new();
    said.extend(fuses(before, after));
    said.extend(coil(&old, &new));
    if old.coil.energised != new.coil.energised {
        new.coil_reasons(new.valve_id, DEPTH, &mut said, &mut Vec::new());
    }
    let tag = new.tag(new.valve_id);
    match (old.passing, new.passing) {
        (false, true) => said.push(format!("{tag} passes air to the clutch.")),
        (true, false) => said.push(format!("{tag} blocks the supply and vents the clutch.")),
        (true, true) | (false, false) => {}
    }
    said.extend(air(&old, &new));
    said.extend(clutch(before, after));
    said
}

/// Fuses that opened on the way from one to the other.
fn fuses(before: &Bench, after: &Bench) -> Vec<String> {
    let known = before.opened();
    let fresh = after.opened().iter().filter(|o| !known.iter().any(|k| k.at == o.at));
    fresh
        .map(|opened| {
            let name = match opened.at {
                crate::physics::state::FuseAt::Part(id) => after.circuit().part(id).tag.clone(),
                crate::physics::state::FuseAt::Lead(_) => "The lead's own fuse".to_owned(),
            };
            format!("{name} is made to carry {} and opens.", wording::amps(opened.amps))
        })
        .collect()
}

/// What was done, and what it did to the coil's volts.
fn coil(old: &Story<'_>, new: &Story<'_>) -> Option<String> {
    let tag = new.tag(new.valve_id);
    let shown = |coil: &CoilReading| coil.volts.map_or_else(|| "nothing".to_owned(), wording::volts);
    let (from, to) = (shown(&old.coil), shown(&new.coil));
    let what = doings(old.bench, new.bench);
    if from == to && old.coil.energised == new.coil.energised {
        let subject = subject_of(&what, "leaves", "leave");
        return subject.map(|subject| format!("{subject} {tag}'s coil at {to}."));
    }
    let risen = new.coil.volts.unwrap_or(0.0).abs() > old.coil.volts.unwrap_or(0.0).abs();
    let (one, many, alone) = if risen { ("raises", "raise", "rises") } else { ("brings", "bring", "falls") };
    let limit = match (old.coil.energised, new.coil.energised) {
        (false, true) => format!(", above its {} pull-in: it pulls in", wording::volts(new.coil.pulls_in_now)),
        (true, false) => format!(", below its {} drop-out: it lets go", wording::volts(new.coil.drops_out_now)),
        (true, true) => ": it stays energised".to_owned(),
        (false, false) => ": it stays dead".to_owned(),
    };
    Some(match subject_of(&what, one, many) {
        Some(subject) if risen => format!("{subject} {tag}'s coil from {from} to {to}{limit}."),
        Some(subject) => format!("{subject} {tag}'s coil down from {from} to {to}{limit}."),
        None => format!("{tag}'s coil {alone} from {from} to {to}{limit}."),
    })
}

/// `Bridging B1 and lifting W4 at B1.2 raise`: what was done with the verb that agrees; none if nothing was.
fn subject_of(doings: &[String], one: &str, many: &str) -> Option<String> {
    let said = wording::list(doings);
    let mut letters = said.chars();
    let first = letters.next()?;
    let verb = if doings.len() == 1 { one } else { many };
    Some(format!("{}{} {verb}", first.to_uppercase(), letters.as_str()))
}

/// What was done between two states, in words that can begin a sentence: `bridging B1`.
fn doings(before: &Bench, after: &Bench) -> Vec<String> {
    let circuit = after.circuit();
    let (old, new) = (before.changes(), after.changes());
    let mut words = conditions(before.conditions(), after.conditions());
    for change in new.iter().filter(|c| !old.contains(c)) {
        match change {
            Change::Done(act) => words.push(doing(circuit, act)),
            Change::Faulty(fault) => words.push(format!("the fault {fault}")),
            Change::BlownFuse(_) => {}
        }
    }
    for change in old.iter().filter(|c| !new.contains(c)) {
        match change {
            Change::Done(act) => words.push(putting_back(act)),
            Change::Faulty(fault) => words.push(format!("putting {fault} right")),
            Change::BlownFuse(tag) => words.push(format!("renewing {tag}")),
        }
    }
    words
}

/// An act in words that can begin a sentence, said as the trade says it.
fn doing(circuit: &Circuit, act: &Act) -> String {
    match act {
        Act::Turn { switch, to } => format!("turning {switch} to {to}"),
        Act::Press { switch } => format!("pressing {switch}"),
        Act::Jump { a, b, .. } => bridged(circuit, a, b).unwrap_or_else(|| format!("a lead from {a} to {b}")),
        Act::Lift(end) => format!("lifting {} at {}", end.wire, end.terminal),
        Act::Unplug { part } => format!("unplugging {part}"),
    }
}

/// `bridging B1`, where a lead goes across the two contacts of one switch.
fn bridged(circuit: &Circuit, a: &Point, b: &Point) -> Option<String> {
    let (Point::Terminal(a), Point::Terminal(b)) = (a, b) else { return None };
    let (one, other) = (circuit.terminal_named(a)?, circuit.terminal_named(b)?);
    let part = circuit.part(circuit.terminal(one).part);
    if circuit.terminal(one).part != circuit.terminal(other).part {
        return None;
    }
    match &part.kind {
        Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) | Kind::HandSwitch(_) | Kind::KeySwitch(_) => {
            Some(format!("bridging {}", part.tag))
        }
        Kind::Relay(_) | Kind::SelectorSwitch(_) | Kind::Timer(_) => Some(format!(
            "bridging {} from {} to {}",
            part.tag,
            circuit.terminal(one).name,
            circuit.terminal(other).name
        )),
        _ => None,
    }
}

fn putting_back(act: &Act) -> String {
    match act {
        Act::Turn { switch, .. } | Act::Press { switch } => format!("returning {switch} to rest"),
        Act::Jump { a, b, .. } => format!("taking the lead off {a} and {b}"),
        Act::Lift(end) => format!("putting {} back on {}", end.wire, end.terminal),
        Act::Unplug { part } => format!("plugging {part} in"),
    }
}

/// What changed about the surroundings.
fn conditions(before: &Conditions, after: &Conditions) -> Vec<String> {
    let mut words = Vec::new();
    match (before.key_on, after.key_on) {
        (false, true) => words.push("turning the key on".to_owned()),
        (true, false) => words.push("turning the key off".to_owned()),
        (true, true) | (false, false) => {}
    }
    match (before.engine_rpm > 0.0, after.engine_rpm > 0.0) {
        (false, true) => words.push("starting the engine".to_owned()),
        (true, false) => words.push("stopping the engine".to_owned()),
        (true, true) if before.engine_rpm != after.engine_rpm => {
            words.push(format!("running the engine at {:.0} rpm", after.engine_rpm));
        }
        (true, true) | (false, false) => {}
    }
    let temperatures = [
        ("coolant", before.coolant_c, after.coolant_c),
        ("intake air", before.intake_c, after.intake_c),
        ("oil", before.oil_c, after.oil_c),
        ("the air around the harness", before.ambient_c, after.ambient_c),
    ];
    let pressures = [
        ("refrigerant", before.refrigerant_kpa, after.refrigerant_kpa),
        ("the air supply", before.air_kpa, after.air_kpa),
    ];
    let mut moved = |name: &str, from: f64, to: f64, shown: &dyn Fn(f64) -> String| {
        if from != to {
            let way = if to > from { "rising" } else { "falling" };
            words.push(format!("{name} {way} from {} to {}", shown(from), shown(to)));
        }
    };
    for (name, from, to) in temperatures {
        moved(name, from, to, &|celsius| format!("{:.0} °F", fahrenheit_from_celsius(celsius)));
    }
    for (name, from, to) in pressures {
        moved(name, from, to, &wording::psi);
    }
    words
}

fn air(old: &Story<'_>, new: &Story<'_>) -> Option<String> {
    let kpa = |story: &Story<'_>| story.bench.outcome().chamber_kpa.unwrap_or(0.0);
    let (from, to) = (kpa(old), kpa(new));
    if from == to {
        return None;
    }
    let minimum = new.circuit.minimum_kpa();
    let least = wording::marked(new.circuit, Telling::Minimum, wording::psi(minimum));
    let side = if to >= minimum { "at or above" } else { "below" };
    Some(format!("The chamber goes from {} to {}, {side} {least}.", wording::psi(from), wording::psi(to)))
}

fn clutch(before: &Bench, after: &Bench) -> Option<String> {
    let state = |bench: &Bench| bench.outcome().clutch.map(|c| c.state);
    if state(before) == state(after) {
        return None;
    }
    let word = match state(after) {
        Some(ClutchState::Engaged) => "engages: the fan is driven",
        Some(ClutchState::Released) => "releases: the fan runs free",
        Some(ClutchState::Slipping) => "slips",
        None => "is not there",
    };
    Some(format!("The clutch {word}."))
}
