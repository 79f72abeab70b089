//! A compiled circuit beside one settled from nothing known: every wire open, every terminal to ground and to the feed,
//! every part unplugged, every wire end lifted, on every shipped circuit, one after the other through one engine.

use fanloom::circuit::{End, WireEnd};
use fanloom::physics::engine::{Engine, Lean};
use fanloom::physics::inputs::{Inputs, Tie, Touch};
use fanloom::physics::settle::settle;
use fanloom::physics::state::{Outcome, Settling};

use crate::support::{Stand, shipped_names};

/// The inputs as they are, with one thing more in each way.
fn altered(stand: &Stand) -> Vec<Inputs> {
    let circuit = stand.bench.circuit();
    let base = stand.bench.inputs();
    let mut all = vec![base.clone()];
    let mut with = |alter: &dyn Fn(&mut Inputs)| {
        let mut inputs = base.clone();
        alter(&mut inputs);
        all.push(inputs);
    };
    for (wire, _) in circuit.wires_with_ids() {
        with(&|inputs| {
            inputs.altered.cut.insert(wire);
        });
        with(&|inputs| {
            inputs.altered.added_ohms.insert(wire, 5.0);
        });
        with(&|inputs| {
            inputs.lifted.insert(WireEnd { wire, end: End::From });
        });
    }
    for (terminal, _) in circuit.terminals_with_ids() {
        with(&|inputs| inputs.altered.ties.push(Tie::ToChassis(Touch::Terminal(terminal), 0.0)));
        with(&|inputs| inputs.altered.ties.push(Tie::ToSupply(Touch::Terminal(terminal), 0.5)));
    }
    for (part, _) in circuit.parts_with_ids() {
        with(&|inputs| {
            inputs.unplugged.insert(part);
        });
    }
    all
}

#[track_caller]
fn same_volts(got: &[Option<f64>], wanted: &[Option<f64>], what: &str) {
    for (got, wanted) in got.iter().zip(wanted) {
        match (got, wanted) {
            (Some(got), Some(wanted)) => assert!((got - wanted).abs() <= 1e-9, "{what}: {got}, wanted {wanted}"),
            _ => assert_eq!(got, wanted, "{what}"),
        }
    }
}

fn same(got: &Outcome, wanted: &Outcome, what: &str) {
    assert_eq!((&got.settling, &got.memory), (&wanted.settling, &wanted.memory), "{what}");
    assert_eq!((&got.contacts, &got.valves), (&wanted.contacts, &wanted.valves), "{what}");
    same_volts(&got.volts, &wanted.volts, what);
    same_volts(&got.part_volts, &wanted.part_volts, what);
    let largest = wanted.wire_amps.iter().fold(1.0f64, |most, amps| most.max(amps.abs()));
    for (got, wanted) in got.wire_amps.iter().zip(&wanted.wire_amps) {
        assert!((got - wanted).abs() <= 1e-9 * largest, "{what}: {got} A, wanted {wanted} A");
    }
}

#[test]
fn an_engine_settles_as_a_circuit_does_of_which_nothing_is_known() {
    for name in shipped_names() {
        let stand = Stand::shipped(&name);
        let circuit = stand.bench.circuit_shared();
        let engine = Engine::of(circuit.clone());
        let points: Vec<Touch> = circuit.terminals_with_ids().map(|(id, _)| Touch::Terminal(id)).collect();
        let memory = &stand.bench.outcome().memory;
        let mut lean = Lean::default();
        let mut settled = 0;
        for (number, inputs) in altered(&stand).iter().enumerate() {
            let what = format!("{name}, alteration {number}");
            let wanted = settle(&circuit, inputs, memory);
            same(&engine.settle(inputs, memory), &wanted, &what);
            engine.settle_lean(inputs, memory, &points, &mut lean);
            same_volts(&lean.volts, &wanted.volts, &what);
            assert_eq!((&lean.settling, &lean.memory), (&wanted.settling, &wanted.memory), "{what}");
            assert_eq!((&lean.valves, lean.clutch.is_some()), (&wanted.valves, wanted.clutch.is_some()), "{what}");
            assert_eq!(lean.opened, wanted.opened.iter().map(|o| o.at).collect::<Vec<_>>(), "{what}");
            settled += usize::from(lean.settling == Settling::Settled);
        }
        assert!(settled > 20, "{name}: only {settled} came to rest");
    }
}
