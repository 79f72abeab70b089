//! The table beside the simple solver: each truck settled by itself in every state, nothing taken over from another.
//!
//! Every fault of every shipped circuit, and a sample of pairs, is planted and led through the states, each from the
//! one it follows; volts are wanted to 1e-6 of themselves or 1 mV, memory, fuses and chattering exactly.

use std::sync::Arc;

use fanloom::bench::{Action, Bench, Fault, Start, set};
use fanloom::circuit::Circuit;
use fanloom::physics::engine::{Engine, Lean};
use fanloom::physics::inputs::{Inputs, Touch};
use fanloom::physics::settle::settle;
use fanloom::physics::state::{Memory, Outcome};
use fanloom::study::explain::standing;
use fanloom::study::faults::looks::Readings;
use fanloom::study::faults::{FaultTable, Purpose, Scene, State, fault_table};
use fanloom::study::progress::Progress;
use rayon::prelude::*;

use crate::support::{near, shipped, shipped_names};

/// Pairs of each circuit that are looked at.
const PAIRS: usize = 48;

/// What is imposed on a truck in a state; none where a planted fault takes the place of what the state needs.
fn imposed(circuit: &Arc<Circuit>, faults: &[&Fault], state: &State) -> Option<Inputs> {
    let is_left = state.purpose == Purpose::Left;
    let alone = state.alone.iter().map(|alone| &alone.as_drift);
    let planted: Vec<Fault> = faults.iter().copied().chain(alone).cloned().collect();
    let mut bench = Bench::started(Arc::clone(circuit), Start { settings: Vec::new(), faults: planted }).ok()?;
    for act in state.acts.iter().filter(|_| !is_left) {
        bench.apply(Action::Do(act.clone())).expect("a state can be brought about");
    }
    let mut inputs = bench.inputs().clone();
    state.settings.iter().for_each(|setting| set(&mut inputs.conditions, *setting));
    for held in &state.held {
        inputs.turned.insert(circuit.part_named(held).expect("a switch"), 1);
    }
    Some(inputs)
}

/// What a truck remembers before the first state.
fn before(circuit: &Arc<Circuit>, faults: &[&Fault]) -> Option<Memory> {
    let faults = faults.iter().copied().cloned().collect();
    let bench = Bench::started(Arc::clone(circuit), Start { settings: Vec::new(), faults }).ok()?;
    Some(bench.outcome().memory.clone())
}

#[track_caller]
fn close(got: f64, wanted: f64) {
    near(got, wanted, 1e-3_f64.max(1e-6 * wanted.abs()));
}

fn touches(table: &FaultTable) -> Vec<Touch> {
    let circuit = &table.scene.circuit;
    let touch = |words: &String| Touch::Terminal(circuit.terminal_named(words).expect("a terminal"));
    table.points.iter().map(touch).collect()
}

/// Volts as a meter shows them: what floats is drawn to its other lead.
fn volts(outcome: &Outcome, point: Touch) -> Option<f64> {
    let Touch::Terminal(terminal) = point else { return None };
    outcome.volts_at(terminal)
}

/// Leads a truck through the states by the simple solver and beside it by the engine, all in one room, and holds what
/// the table reads against both. How many states were looked at.
fn led(table: &FaultTable, engine: &Engine, faults: &[&Fault], lean: &mut Lean, read: Option<usize>) -> usize {
    let (circuit, points) = (&table.scene.circuit, touches(table));
    let Some(start) = before(circuit, faults) else { return 0 };
    let mut memories: Vec<Option<Memory>> = Vec::new();
    for (place, state) in table.states.iter().enumerate() {
        let from = if place == 0 { Some(&start) } else { memories[state.follows()].as_ref() };
        let ready = from.zip(imposed(circuit, faults, state));
        let Some((from, inputs)) = ready else {
            memories.push(None);
            continue;
        };
        let outcome = settle(circuit, &inputs, from);
        engine.settle_lean(&inputs, from, &points, lean);
        let whose = format!("{faults:?} in {}", state.name());
        assert_eq!(lean.settling, outcome.settling, "{whose}");
        assert_eq!(lean.memory, outcome.memory, "{whose}");
        let opened: Vec<_> = outcome.opened.iter().map(|opened| opened.at).collect();
        assert_eq!(lean.opened, opened, "{whose}");
        assert_eq!((lean.chamber_kpa, &lean.valves), (outcome.chamber_kpa, &outcome.valves), "{whose}");
        assert_eq!(lean.clutch, outcome.clutch, "{whose}");
        for (point, got) in points.iter().zip(&lean.volts) {
            let wanted = volts(&outcome, *point);
            assert_eq!(got.is_some(), wanted.is_some(), "{point:?} with {whose}");
            close(got.unwrap_or(0.0), wanted.unwrap_or(0.0));
        }
        if let Some(fault) = read {
            let Readings { standing: fan, volts: shown, .. } = table.readings(Some(fault), place);
            assert_eq!(*fan, standing(&outcome), "{whose}");
            let wanted = points.iter().map(|point| volts(&outcome, *point).unwrap_or(0.0));
            assert!(!outcome.settled() || shown.len() == points.len(), "{whose}");
            shown.iter().zip(wanted).for_each(|(got, wanted)| close(*got, wanted));
        }
        memories.push(Some(outcome.memory));
    }
    memories.iter().flatten().count()
}

#[test]
fn every_reading_of_every_fault_is_that_of_a_truck_settled_by_itself() {
    for name in shipped_names() {
        let table = fault_table(Scene::new(shipped(&name)), &[], &Progress::default()).expect("a table");
        let engine = Engine::of(Arc::clone(&table.scene.circuit));
        let numbers: Vec<usize> = (0..table.faults.len()).collect();
        let looked = numbers.par_chunks(16).map(|some| {
            let mut lean = Lean::default();
            let one = |fault: &usize| led(&table, &engine, &[&table.faults[*fault]], &mut lean, Some(*fault));
            some.iter().map(one).sum::<usize>()
        });
        let looked: usize = looked.sum();
        assert!(looked > table.faults.len() * table.states.len() * 9 / 10, "{name}: {looked} states looked at");
    }
}

#[test]
fn two_faults_at_once_settle_as_a_truck_does_that_is_settled_by_itself() {
    for name in shipped_names() {
        let table = fault_table(Scene::new(shipped(&name)), &[], &Progress::default()).expect("a table");
        let engine = Engine::of(Arc::clone(&table.scene.circuit));
        let count = table.faults.len();
        // Every so many-th, so that all sorts meet.
        let all: Vec<(usize, usize)> =
            (0..count).flat_map(|one| (one + 1..count).map(move |other| (one, other))).collect();
        let sample: Vec<(usize, usize)> = all.iter().copied().step_by(all.len() / PAIRS).collect();
        let looked = sample.par_chunks(12).map(|some| {
            let mut lean = Lean::default();
            let one = |(one, other): &(usize, usize)| {
                led(&table, &engine, &[&table.faults[*one], &table.faults[*other]], &mut lean, None)
            };
            some.iter().map(one).sum::<usize>()
        });
        let looked: usize = looked.sum();
        assert!(looked > sample.len() * table.states.len() / 2, "{name}: {looked} states looked at");
    }
}
