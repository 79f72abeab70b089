//! What other instruments would show of faults that volts, gauges and the fan in the states cannot tell apart.
//!
//! Nothing is looked up: each instrument is tried on benches with the faults planted. A clamp on every wire in every
//! state; an ohmmeter across each thing the faults are about, with the key off and one end of it free; a stop watch
//! on the clutch gauge, through the study of traces, where the faults are about air. Those that separate are kept.

use std::sync::Arc;

use crate::bench::{Act, Action, EndName, Fault, Instrument, Point, Reading, Setting, Timed};
use crate::circuit::quantity::{KPA_PER_PSI, Level};
use crate::circuit::{Circuit, Kind, TerminalId};
use crate::physics::inputs::Conditions;
use crate::physics::limits::CLAMP_DRIFT_AMPS;
use crate::study::meter::{Value, read};
use crate::study::trace::{Plan, trace};
use crate::study::wording;

use super::cases::Rig;
use super::{FaultTable, Group, Purpose, Scene, State, bench_of};
use crate::words::{Words, fixed, say};

/// Share by which two readings of a clamp or an ohmmeter must differ to be told apart (example value).
const APART_SHARE: f64 = 0.05;
/// Least difference in ohms (example value).
const APART_OHMS: f64 = 0.3;
/// Least difference in seconds on a stop watch, and as a share (example values).
const APART_SECONDS: f64 = 0.5;
const APART_SECONDS_SHARE: f64 = 0.3;
/// Seconds for which the clutch is given to fill or to vent, and from sample to sample.
const WATCHED_S: f64 = 60.0;
const EVERY_S: f64 = 0.05;
/// Share of the change of pressure after which the watch is stopped.
const STOPPED_AT: f64 = 0.9;

/// An instrument, and where and when it is used.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tool {
    /// A clamp around a wire, in a state.
    Clamp {
        /// The wire's tag.
        wire: String,
        /// The state, by its place in the table.
        state: usize,
    },
    /// An ohmmeter, with the key off and these ends free.
    Ohmmeter {
        /// Ends lifted for it.
        lifted: Vec<String>,
        /// Where its leads are.
        leads: [String; 2],
    },
    /// A stop watch on the clutch gauge: until the gauge has gone nine tenths of its healthy way.
    StopWatch {
        /// The state that is brought about, by its place in the table.
        state: usize,
        /// On the way back from that state.
        back: bool,
    },
}

/// What an instrument shows, and with which faults. None stands for the healthy truck.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    /// The instrument.
    pub tool: Tool,
    /// Each reading with the faults that give it.
    pub shown: Vec<(Words, Vec<Option<usize>>)>,
}

/// What separates the members of a group, the instrument that separates most first; nothing where none does.
pub fn splits(table: &FaultTable, group: &Group) -> Vec<Split> {
    let healthy = group.is_healthy.then_some(None);
    let members: Vec<Option<usize>> = healthy.into_iter().chain(group.members.iter().copied().map(Some)).collect();
    if members.len() < 2 {
        return Vec::new();
    }
    let mut found: Vec<Split> = clamp(table, &members).into_iter().collect();
    found.extend(ohmmeter(table, &members));
    found.extend(stop_watch(table, &members));
    found.sort_by_key(|split| std::cmp::Reverse(split.shown.len()));
    // An instrument that says nothing the ones before it have not said is left out.
    let mut kept: Vec<Split> = Vec::new();
    for split in found {
        if !kept.iter().any(|known| says_as_much(known, &split)) {
            kept.push(split);
        }
    }
    kept
}

fn says_as_much(known: &Split, other: &Split) -> bool {
    let inside = |class: &Vec<Option<usize>>| {
        other.shown.iter().any(|(_, members)| class.iter().all(|member| members.contains(member)))
    };
    known.shown.iter().all(|(_, class)| inside(class))
}

/// Readings sorted into those that can be told apart.
fn classes<T: Copy>(
    members: &[Option<usize>],
    values: &[T],
    apart: impl Fn(T, T) -> bool,
    words: impl Fn(T) -> Words,
) -> Vec<(Words, Vec<Option<usize>>)> {
    let mut found: Vec<(T, Vec<Option<usize>>)> = Vec::new();
    for (member, value) in members.iter().zip(values) {
        match found.iter_mut().find(|(known, _)| !apart(*known, *value)) {
            Some((_, with)) => with.push(*member),
            None => found.push((*value, vec![*member])),
        }
    }
    found.into_iter().map(|(value, members)| (words(value), members)).collect()
}

fn differ(a: f64, b: f64, least: f64, share: f64) -> bool {
    (a - b).abs() > least.max(share * a.abs().max(b.abs()))
}

fn clamp(table: &FaultTable, members: &[Option<usize>]) -> Option<Split> {
    let circuit = &table.scene.circuit;
    let amps_of = |member: &Option<usize>| {
        let bench = bench_of(&table.scene, member.map(|fault| &table.faults[fault]))?;
        let mut amps: Vec<Vec<f64>> = Vec::new();
        Rig::new(circuit, &[], &bench).walk(&bench, &table.states, |_, outcome| amps.push(outcome.wire_amps.clone()));
        Some(amps)
    };
    let all: Vec<Vec<Vec<f64>>> = members.iter().map(amps_of).collect::<Option<_>>()?;
    let mut best: Option<Split> = None;
    for state in 0..table.states.len() {
        for (place, wire) in circuit.wires().iter().enumerate() {
            let values: Vec<f64> = all.iter().map(|amps| amps[state][place]).collect();
            let apart = |a: f64, b: f64| differ(a, b, CLAMP_DRIFT_AMPS, APART_SHARE);
            let shown = classes(members, &values, apart, |amps| Value::Amps(amps).words());
            if shown.len() > best.as_ref().map_or(1, |best| best.shown.len()) {
                best = Some(Split { tool: Tool::Clamp { wire: wire.tag.clone(), state }, shown });
            }
        }
    }
    best
}

/// Ends to be lifted and leads to be put on, to measure one thing by itself.
fn across(circuit: &Circuit, fault: &Fault) -> Option<(Vec<EndName>, [Point; 2])> {
    let end = |wire: &str, terminal: TerminalId| EndName {
        wire: wire.to_owned(),
        terminal: circuit.terminal_words(terminal),
    };
    match fault {
        Fault::Open(tag) | Fault::Resist(tag, _) => {
            let wire = circuit.wire(circuit.wire_named(tag)?);
            let free = end(tag, wire.from);
            Some((vec![free.clone()], [Point::LooseEnd(free), Point::Terminal(circuit.terminal_words(wire.to))]))
        }
        Fault::CoilOpen(tag) | Fault::CoilShort(tag, _) | Fault::Stuck(tag, _) | Fault::Blown(tag) => {
            let part = circuit.part_named(tag)?;
            // Of a relay the coil, 85 and 86, or the make contact, 30 and 87.
            let places = match (&circuit.part(part).kind, fault) {
                (Kind::Relay(_), Fault::Stuck(..)) => (2, 3),
                (Kind::Timer(_) | Kind::Module(_) | Kind::SelectorSwitch(_), _) => return None,
                _ => (0, 1),
            };
            let (one, other) = (circuit.terminal_at(part, places.0), circuit.terminal_at(part, places.1));
            let lifted = circuit.ends_at(one).iter().map(|e| end(&circuit.wire(e.wire).tag, one)).collect();
            Some((lifted, [one, other].map(|terminal| Point::Terminal(circuit.terminal_words(terminal)))))
        }
        _ => None,
    }
}

fn ohmmeter(table: &FaultTable, members: &[Option<usize>]) -> Vec<Split> {
    let circuit = &table.scene.circuit;
    let mut places: Vec<(Vec<EndName>, [Point; 2])> = Vec::new();
    for fault in members.iter().flatten() {
        places.extend(across(circuit, &table.faults[*fault]).filter(|place| !places.contains(place)));
    }
    let value = |(lifted, [first, second]): &(Vec<EndName>, [Point; 2]), member: &Option<usize>| {
        let mut bench = bench_of(&table.scene, member.map(|fault| &table.faults[fault]))?;
        bench.apply(Action::Set(Setting::Key(false))).ok()?;
        lifted.iter().try_for_each(|end| bench.apply(Action::Do(Act::Lift(end.clone())))).ok()?;
        let (first, second) = (first.clone(), second.clone());
        match read(&bench, &Reading::Across { instrument: Instrument::Ohmmeter, first, second }).ok()?.value {
            Value::Ohms(ohms) => Some(ohms),
            _ => None,
        }
    };
    let apart = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => differ(a, b, APART_OHMS, APART_SHARE),
        (a, b) => a.is_some() != b.is_some(),
    };
    let words = |ohms: Option<f64>| Value::Ohms(ohms).words();
    let split = |place: &(Vec<EndName>, [Point; 2])| {
        let values: Option<Vec<Option<f64>>> = members.iter().map(|member| value(place, member)).collect();
        let shown = classes(members, &values?, apart, words);
        let lifted = place.0.iter().map(ToString::to_string).collect();
        let leads = [place.1[0].to_string(), place.1[1].to_string()];
        (shown.len() > 1).then_some(Split { tool: Tool::Ohmmeter { lifted, leads }, shown })
    };
    places.iter().filter_map(split).collect()
}

/// Whether a fault is about air, so that time may tell what rest does not.
fn is_of_air(fault: &Fault) -> bool {
    matches!(
        fault,
        Fault::LeakHose(_) | Fault::LeakChamber(_) | Fault::BlockedFilter | Fault::BlockedExhaust | Fault::Worn(_)
    )
}

fn stop_watch(table: &FaultTable, members: &[Option<usize>]) -> Vec<Split> {
    if !members.iter().flatten().any(|fault| is_of_air(&table.faults[*fault])) {
        return Vec::new();
    }
    let rest = table.readings(None, 0).standing;
    let is_plain = |state: &State| state.purpose == Purpose::Asked && state.alone.is_empty() && state.held.is_empty();
    let moved = |place: &usize| table.readings(None, *place).standing != rest && is_plain(&table.states[*place]);
    let Some(state) = (0..table.states.len()).find(moved) else { return Vec::new() };
    let healthy_way = [0, state].map(|place| table.readings(None, place).clutch_psi.unwrap_or(0.0));
    let runs: Option<Vec<Vec<f64>>> = members
        .iter()
        .map(|member| pressures(&table.scene, member.map(|fault| &table.faults[fault]), &table.states[state]))
        .collect();
    let Some(runs) = runs else { return Vec::new() };
    let apart = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => differ(a, b, APART_SECONDS, APART_SECONDS_SHARE),
        (a, b) => a.is_some() != b.is_some(),
    };
    let words = |seconds: Option<f64>| match seconds {
        Some(seconds) => say!("faults-seconds", seconds = wording::seconds(seconds)),
        None => say!("faults-not-within", seconds = fixed(WATCHED_S, 0)),
    };
    let split = |back: bool| {
        let [from, to] = if back { [healthy_way[1], healthy_way[0]] } else { healthy_way };
        let values: Vec<Option<f64>> = runs.iter().map(|run| seconds(run, back, from, to)).collect();
        let shown = classes(members, &values, apart, words);
        (shown.len() > 1).then_some(Split { tool: Tool::StopWatch { state, back }, shown })
    };
    [false, true].into_iter().filter_map(split).collect()
}

/// The clutch gauge in psi, sampled while a state is brought about and taken back.
fn pressures(scene: &Scene, fault: Option<&Fault>, state: &State) -> Option<Vec<f64>> {
    let stands: Conditions = *scene.bench(&[]).ok()?.conditions();
    let held = |action: Action| Timed { at_s: None, action };
    let mut timed: Vec<Timed> = Vec::new();
    timed.extend(scene.start.faults.iter().chain(fault).map(|fault| held(Action::Plant(fault.clone()))));
    timed.extend(scene.start.settings.iter().map(|setting| held(Action::Set(*setting))));
    timed.extend(scene.acts.iter().map(|act| held(Action::Do(act.clone()))));
    let at = |at_s: f64, action: Action| Timed { at_s: Some(at_s), action };
    timed.extend(state.settings.iter().map(|setting| at(0.0, Action::Set(*setting))));
    timed.extend(state.acts.iter().map(|act| at(0.0, Action::Do(act.clone()))));
    timed.extend(state.settings.iter().map(|setting| at(WATCHED_S, Action::Set(as_it_was(*setting, &stands)))));
    timed.extend(state.acts.iter().map(|act| at(WATCHED_S, Action::PutBack(act.clone()))));
    let plan = Plan { for_s: 2.0 * WATCHED_S, every_s: EVERY_S, timed, readings: Vec::new() };
    let traced = trace(Arc::clone(&scene.circuit), &plan).ok()?;
    Some(traced.series.clutch_psi.into_iter().map(Option::unwrap_or_default).collect())
}

/// The setting that takes a setting back.
fn as_it_was(setting: Setting, stands: &Conditions) -> Setting {
    let psi = |kpa: f64| Level::Psi(kpa / KPA_PER_PSI);
    match setting {
        Setting::Key(_) => Setting::Key(stands.key_on),
        Setting::Engine(_) => Setting::Engine(stands.engine_rpm),
        Setting::Coolant(_) => Setting::Coolant(Level::Celsius(stands.coolant_c)),
        Setting::Intake(_) => Setting::Intake(Level::Celsius(stands.intake_c)),
        Setting::Oil(_) => Setting::Oil(Level::Celsius(stands.oil_c)),
        Setting::Refrigerant(_) => Setting::Refrigerant(psi(stands.refrigerant_kpa)),
        Setting::Air(_) => Setting::Air(psi(stands.air_kpa)),
        Setting::Ambient(_) => Setting::Ambient(Level::Celsius(stands.ambient_c)),
        Setting::Bolts(_) => Setting::Bolts(stands.bolted),
    }
}

/// Seconds until the gauge has gone nine tenths of its way.
fn seconds(run: &[f64], back: bool, from: f64, to: f64) -> Option<f64> {
    let start = if back { (WATCHED_S / EVERY_S).round() as usize } else { 0 };
    let length = (WATCHED_S / EVERY_S).round() as usize;
    let there = |psi: &f64| (psi - from) / (to - from) >= STOPPED_AT;
    let after = run.get(start..)?.iter().take(length).position(there)?;
    Some(after as f64 * EVERY_S)
}
