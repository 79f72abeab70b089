//! What differs between two states of one circuit: what was done, and what it did to coil, valve, air and clutch.
//!
//! Both states are settled already; this only sets them beside each other, with numbers, in the order of cause and
//! effect. Why a single state is as it is belongs to [`explain`](super::explain); dangers to
//! [`hazard`](super::hazard).

use crate::bench::{Act, Bench, Change, Point};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Kind, Telling};
use crate::physics::clutch::ClutchState;
use crate::physics::inputs::Conditions;
use crate::physics::state::CoilReading;

use super::explain::Story;
use super::wording;
use crate::words::{Words, fixed, say};

/// How far down relays feeding relays the reasons go.
const DEPTH: usize = 3;

/// What differs between two states of one circuit, whole sentences from cause to effect; empty where there is no air
/// valve.
pub fn difference(before: &Bench, after: &Bench) -> Vec<Words> {
    let (Some(old), Some(new)) = (Story::of(before), Story::of(after)) else { return Vec::new() };
    let mut said: Vec<Words> = Vec::new();
    said.extend(fuses(before, after));
    said.extend(coil(&old, &new));
    if old.coil.energised != new.coil.energised {
        new.coil_reasons(new.valve_id, DEPTH, &mut said, &mut Vec::new());
    }
    let tag = new.tag(new.valve_id);
    match (old.passing, new.passing) {
        (false, true) => said.push(say!("difference-passes-air-to-the-clutch", tag)),
        (true, false) => said.push(say!("difference-blocks-the-supply-and-vents", tag)),
        (true, true) | (false, false) => {}
    }
    said.extend(air(&old, &new));
    said.extend(clutch(before, after));
    said
}

/// Fuses that opened on the way from one to the other.
fn fuses(before: &Bench, after: &Bench) -> Vec<Words> {
    let known = before.opened();
    let fresh = after.opened().iter().filter(|o| !known.iter().any(|k| k.at == o.at));
    fresh
        .map(|opened| {
            let name = match opened.at {
                crate::physics::state::FuseAt::Part(id) => after.circuit().part(id).tag.as_str().into(),
                crate::physics::state::FuseAt::Lead(_) => say!("difference-the-leads-own-fuse"),
            };
            say!("difference-is-made-to-carry-and", name, amps = wording::amps(opened.amps))
        })
        .collect()
}

/// What was done, and what it did to the coil's volts.
fn coil(old: &Story<'_>, new: &Story<'_>) -> Option<Words> {
    let tag = new.tag(new.valve_id);
    let shown = |coil: &CoilReading| coil.volts.map_or_else(|| say!("difference-nothing"), wording::volts);
    let (from, to) = (shown(&old.coil), shown(&new.coil));
    let what = doings(old.bench, new.bench);
    if from == to && old.coil.energised == new.coil.energised {
        return (!what.is_empty())
            .then(|| say!("difference-leaves", doings = wording::list(&what).capital(), count = what.len(), tag, to));
    }
    let risen = new.coil.volts.unwrap_or(0.0).abs() > old.coil.volts.unwrap_or(0.0).abs();
    let limit = match (old.coil.energised, new.coil.energised) {
        (false, true) => say!("difference-above-its-pull-in-it", pulls_in_now = wording::volts(new.coil.pulls_in_now)),
        (true, false) => {
            say!("difference-below-its-drop-out-it", drops_out_now = wording::volts(new.coil.drops_out_now))
        }
        (true, true) => say!("difference-it-stays-energised"),
        (false, false) => say!("difference-it-stays-dead"),
    };
    let (doings, count) = (wording::list(&what).capital(), what.len());
    Some(match (count, risen) {
        (0, true) => say!("difference-rises", tag, from, to, limit),
        (0, false) => say!("difference-falls", tag, from, to, limit),
        (_, true) => say!("difference-raises", doings, count, tag, from, to, limit),
        (_, false) => say!("difference-brings-down", doings, count, tag, from, to, limit),
    })
}

/// What was done between two states, in words that can begin a sentence: `bridging B1`.
fn doings(before: &Bench, after: &Bench) -> Vec<Words> {
    let circuit = after.circuit();
    let (old, new) = (before.changes(), after.changes());
    let mut words = conditions(before.conditions(), after.conditions());
    for change in new.iter().filter(|c| !old.contains(c)) {
        match change {
            Change::Done(act) => words.push(doing(circuit, act)),
            Change::Faulty(fault) => words.push(say!("difference-the-fault", fault)),
            Change::BlownFuse(_) => {}
        }
    }
    for change in old.iter().filter(|c| !new.contains(c)) {
        match change {
            Change::Done(act) => words.push(putting_back(act)),
            Change::Faulty(fault) => words.push(say!("difference-putting-right", fault)),
            Change::BlownFuse(tag) => words.push(say!("difference-renewing", tag)),
        }
    }
    words
}

/// An act in words that can begin a sentence, said as the trade says it.
fn doing(circuit: &Circuit, act: &Act) -> Words {
    match act {
        Act::Turn { switch, to } => say!("difference-turning-to", switch, to),
        Act::Press { switch } => say!("difference-pressing", switch),
        Act::Jump { a, b, .. } => bridged(circuit, a, b).unwrap_or_else(|| say!("difference-a-lead-from-to", a, b)),
        Act::Lift(end) => say!("difference-lifting-at", wire = end.wire, terminal = end.terminal),
        Act::Unplug { part } => say!("difference-unplugging", part),
    }
}

/// `bridging B1`, where a lead goes across the two contacts of one switch.
fn bridged(circuit: &Circuit, a: &Point, b: &Point) -> Option<Words> {
    let (Point::Terminal(a), Point::Terminal(b)) = (a, b) else { return None };
    let (one, other) = (circuit.terminal_named(a)?, circuit.terminal_named(b)?);
    let part = circuit.part(circuit.terminal(one).part);
    if circuit.terminal(one).part != circuit.terminal(other).part {
        return None;
    }
    match &part.kind {
        Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) | Kind::HandSwitch(_) | Kind::KeySwitch(_) => {
            Some(say!("difference-bridging", tag = part.tag))
        }
        Kind::Relay(_) | Kind::SelectorSwitch(_) | Kind::Timer(_) => Some(say!(
            "difference-bridging-from-to",
            tag = part.tag,
            one = circuit.terminal(one).name,
            other = circuit.terminal(other).name
        )),
        _ => None,
    }
}

fn putting_back(act: &Act) -> Words {
    match act {
        Act::Turn { switch, .. } | Act::Press { switch } => say!("difference-returning-to-rest", switch),
        Act::Jump { a, b, .. } => say!("difference-taking-the-lead-off-and", a, b),
        Act::Lift(end) => say!("difference-putting-back-on", wire = end.wire, terminal = end.terminal),
        Act::Unplug { part } => say!("difference-plugging-in", part),
    }
}

/// What changed about the surroundings.
fn conditions(before: &Conditions, after: &Conditions) -> Vec<Words> {
    let mut words = Vec::new();
    match (before.key_on, after.key_on) {
        (false, true) => words.push(say!("difference-turning-the-key-on")),
        (true, false) => words.push(say!("difference-turning-the-key-off")),
        (true, true) | (false, false) => {}
    }
    match (before.engine_rpm > 0.0, after.engine_rpm > 0.0) {
        (false, true) => words.push(say!("difference-starting-the-engine")),
        (true, false) => words.push(say!("difference-stopping-the-engine")),
        (true, true) if before.engine_rpm != after.engine_rpm => {
            words.push(say!("difference-running-the-engine-at-rpm", engine_rpm = fixed(after.engine_rpm, 0)));
        }
        (true, true) | (false, false) => {}
    }
    let temperatures = [
        (say!("difference-coolant"), before.coolant_c, after.coolant_c),
        (say!("difference-intake-air"), before.intake_c, after.intake_c),
        (say!("difference-oil"), before.oil_c, after.oil_c),
        (say!("difference-the-air-around-the-harness"), before.ambient_c, after.ambient_c),
    ];
    let pressures = [
        (say!("difference-refrigerant"), before.refrigerant_kpa, after.refrigerant_kpa),
        (say!("difference-the-air-supply"), before.air_kpa, after.air_kpa),
    ];
    let mut moved = |name: Words, from: f64, to: f64, shown: &dyn Fn(f64) -> Words| {
        if from != to {
            let (from, to, risen) = (shown(from), shown(to), to > from);
            words.push(if risen {
                say!("difference-rising", name, from, to)
            } else {
                say!("difference-falling", name, from, to)
            });
        }
    };
    for (name, from, to) in temperatures {
        moved(name, from, to, &|celsius| wording::value_like(celsius, Level::Fahrenheit(0.0)));
    }
    for (name, from, to) in pressures {
        moved(name, from, to, &wording::psi);
    }
    words
}

fn air(old: &Story<'_>, new: &Story<'_>) -> Option<Words> {
    let kpa = |story: &Story<'_>| story.bench.outcome().chamber_kpa.unwrap_or(0.0);
    let (from, to) = (kpa(old), kpa(new));
    if from == to {
        return None;
    }
    let minimum = new.circuit.minimum_kpa();
    let least = wording::marked(new.circuit, Telling::Minimum, wording::psi(minimum));
    let (from, shown) = (wording::psi(from), wording::psi(to));
    Some(if to >= minimum {
        say!("difference-chamber-to-enough", from, to = shown, least)
    } else {
        say!("difference-chamber-to-little", from, to = shown, least)
    })
}

fn clutch(before: &Bench, after: &Bench) -> Option<Words> {
    let state = |bench: &Bench| bench.outcome().clutch.map(|c| c.state);
    if state(before) == state(after) {
        return None;
    }
    Some(match state(after) {
        Some(ClutchState::Engaged) => say!("difference-engages-the-fan-is-driven"),
        Some(ClutchState::Released) => say!("difference-releases-the-fan-runs-free"),
        Some(ClutchState::Slipping) => say!("difference-slips"),
        None => say!("difference-is-not-there"),
    })
}
