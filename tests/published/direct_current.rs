//! Worked examples of direct current: OpenStax, University Physics volume 2, chapters 9 and 10, and T. R. Kuphaldt,
//! Lessons in Electric Circuits I (direct current) and III (semiconductors), numbers alone.
//!
//! Each goes through the solver as a netlist; where a harness could hold it, through a whole circuit on a bench too,
//! joined by wires of no length.

use std::sync::Arc;

use crate::support::{Stand, near, near_relative, tiny};
use fanloom::bench::leads_on;
use fanloom::circuit::Circuit;
use fanloom::circuit::quantity::Length;
use fanloom::physics::electric::{Branch, Network, Solution};
use fanloom::physics::meter::State;
use fanloom::study::meter::{self, Value};

/// Exact to rounding.
const EXACT: f64 = 1e-9;

/// Solves branches `(from, to, ohms, volts by which it raises "to")`, node 0 the reference.
fn solve(branches: &[(usize, usize, f64, f64)]) -> Solution {
    let branches: Vec<Branch> = branches.iter().map(|&(from, to, ohms, emf)| Branch { from, to, ohms, emf }).collect();
    let nodes = 1 + branches.iter().map(|b| b.from.max(b.to)).max().expect("there are branches");
    Network { nodes, branches, reference: Some(0) }.solve()
}

fn volts(solution: &Solution, node: usize) -> f64 {
    solution.volts[node].expect("connected to node 0")
}

/// A bench on a circuit whose wires have no length.
fn stand(parts: &[(&str, &str)], wires: &[&str]) -> Stand {
    let mut draft = tiny(parts, wires).draft();
    draft.wires.iter_mut().for_each(|wire| wire.length = Length::Metre(0.0));
    Stand::new(&Arc::new(Circuit::new(draft).expect("as read")))
}

#[test]
fn dc_01_battery_with_internal_resistance_openstax() {
    for (load, amps, terminal) in [(10.0, 12.0 / 10.1, 12.0 * 10.0 / 10.1), (0.5, 20.0, 10.0)] {
        let stand = stand(
            &[("G1", "Battery(volts: 12, internal_ohms: 0.1)"), ("R1", &format!("Resistor(ohms: {load})"))],
            &["W1 G1.+ R1.1", "W2 R1.2 G1.-"],
        );
        near_relative(stand.amps("W1"), amps, EXACT);
        near_relative(stand.volts("G1.+"), terminal, EXACT);
    }
    // As printed: 1.188 A, 11.88 V (the book rounds on to 11.90), 200 W.
    near(12.0 / 10.1, 1.188, 0.0005);
    near(20.0 * 10.0, 200.0, 0.5);
}

#[test]
fn dc_02_aged_battery_openstax() {
    let stand = stand(
        &[("G1", "Battery(volts: 12, internal_ohms: 0.5)"), ("R1", "Resistor(ohms: 0.5)")],
        &["W1 G1.+ R1.1", "W2 R1.2 G1.-"],
    );
    near_relative(stand.amps("W1"), 12.0, EXACT);
    near_relative(stand.volts("R1.1"), 6.0, EXACT);
    near_relative(stand.amps("W1") * stand.volts("R1.1"), 72.0, EXACT);
}

#[test]
fn dc_03_five_resistors_in_series_openstax() {
    let stand = stand(
        &[
            ("G1", "Battery(volts: 9, internal_ohms: 0)"),
            ("R1", "Resistor(ohms: 20)"),
            ("R2", "Resistor(ohms: 20)"),
            ("R3", "Resistor(ohms: 20)"),
            ("R4", "Resistor(ohms: 20)"),
            ("R5", "Resistor(ohms: 10)"),
        ],
        &["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R2.2 R3.1", "W4 R3.2 R4.1", "W5 R4.2 R5.1", "W6 R5.2 G1.-"],
    );
    near_relative(stand.amps("W1"), 0.1, EXACT);
    for part in ["R1", "R2", "R3", "R4"] {
        near_relative(stand.between(&format!("{part}.1"), &format!("{part}.2")), 2.0, EXACT);
    }
    near_relative(stand.between("R5.1", "R5.2"), 1.0, EXACT);
    near_relative(9.0 * stand.amps("W6"), 0.9, EXACT);
}

#[test]
fn dc_04_three_resistors_in_parallel_openstax() {
    let stand = stand(
        &[
            ("G1", "Battery(volts: 3, internal_ohms: 0)"),
            ("R1", "Resistor(ohms: 1)"),
            ("R2", "Resistor(ohms: 2)"),
            ("R3", "Resistor(ohms: 2)"),
            ("X1", "Splice"),
        ],
        &[
            "W1 G1.+ X1.s",
            "W2 X1.s R1.1",
            "W3 X1.s R2.1",
            "W4 X1.s R3.1",
            "W5 R1.2 G1.-",
            "W6 R2.2 G1.-",
            "W7 R3.2 G1.-",
        ],
    );
    for (wire, amps) in [("W1", 6.0), ("W2", 3.0), ("W3", 1.5), ("W4", 1.5)] {
        near_relative(stand.amps(wire), amps, EXACT);
        near_relative(3.0 * stand.amps(wire), 3.0 * amps, EXACT);
    }
}

#[test]
fn dc_05_wiring_resistance_feeding_two_loads_openstax() {
    let stand = stand(
        &[
            ("G1", "Battery(volts: 12, internal_ohms: 0)"),
            ("R1", "Resistor(ohms: 1)"),
            ("R2", "Resistor(ohms: 6)"),
            ("R3", "Resistor(ohms: 13)"),
        ],
        &["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R1.2 R3.1", "W4 R2.2 G1.-", "W5 R3.2 G1.-"],
    );
    near(stand.amps("W1"), 2.350_515_5, 5e-8);
    near(stand.volts("R2.1"), 9.649_484_5, 5e-8);
    near(stand.amps("W2"), 1.608_247_4, 5e-8);
    near(stand.amps("W3"), 0.742_268_0, 5e-8);
    near(stand.amps("W2") * stand.volts("R2.1"), 15.5188, 5e-5);
    // As printed.
    near(12.0 / stand.amps("W1"), 5.10, 0.006);
    near(stand.amps("W1"), 2.35, 0.005);
    near(stand.volts("R2.1"), 9.65, 0.005);
}

#[test]
fn dc_06_source_worked_out_from_a_current_openstax() {
    let s = solve(&[(0, 1, 0.0, 50.0), (1, 2, 10.0, 0.0), (2, 3, 10.0, 0.0), (3, 0, 10.0, 0.0), (3, 0, 10.0, 0.0)]);
    near_relative(s.amps[1], 2.0, EXACT);
    near_relative(s.amps[3], 1.0, EXACT);
    for (branch, watts) in [(1, 40.0), (2, 40.0), (3, 10.0), (4, 10.0)] {
        near_relative(10.0 * s.amps[branch].powi(2), watts, EXACT);
    }
}

#[test]
fn dc_08_three_sources_two_loops_openstax() {
    // R1 is 1 ohm, as the equations and the printed power need; the figure's alternative text says 3.
    let s = solve(&[(0, 1, 3.0, 0.5), (0, 1, 8.0, 2.3), (1, 0, 1.0, 0.6)]);
    near_relative(volts(&s, 1), -0.1, EXACT);
    near_relative(s.amps[0], 0.2, EXACT);
    near_relative(s.amps[1], 0.3, EXACT);
    near_relative(s.amps[2], 0.5, EXACT);
    let watts: f64 = 3.0 * 0.04 + 8.0 * 0.09 + 0.25;
    near(watts, 1.09, 0.005);
    near_relative(0.5 * s.amps[0] + 2.3 * s.amps[1] + 0.6 * s.amps[2], watts, EXACT);
}

#[test]
fn dc_09_two_batteries_against_each_other_openstax() {
    // R3 is 20 ohm, as 0.20 A and 0.80 W need; the printed sum has 10.
    let s = solve(&[(0, 1, 0.0, 24.0), (1, 2, 10.0, 0.0), (2, 3, 30.0, -12.0), (3, 0, 20.0, 0.0)]);
    let amps = s.amps[1];
    near_relative(amps, 0.2, EXACT);
    for (ohms, watts) in [(10.0, 0.4), (30.0, 1.2), (20.0, 0.8)] {
        near_relative(ohms * amps * amps, watts, EXACT);
    }
    near_relative(24.0 * amps, 4.8, EXACT);
    near_relative(12.0 * amps, 2.4, EXACT);
}

#[test]
fn dc_10_a_source_that_takes_power_openstax() {
    let s = solve(&[(0, 1, 0.0, 24.0), (1, 2, 10e3, 0.0), (2, 3, 30e3, 0.0), (3, 0, 0.0, -12.0)]);
    near_relative(s.amps[1], 0.3e-3, EXACT);
    near_relative(24.0 * s.amps[0], 7.2e-3, EXACT);
    near_relative(12.0 * s.amps[3], 3.6e-3, EXACT);
}

#[test]
fn dc_12_series_of_three_kuphaldt() {
    let s = solve(&[(0, 1, 0.0, 9.0), (1, 2, 3e3, 0.0), (2, 3, 10e3, 0.0), (3, 0, 5e3, 0.0)]);
    near_relative(s.amps[1], 500e-6, EXACT);
    for (a, b, drop) in [(1, 2, 1.5), (2, 3, 5.0), (3, 0, 2.5)] {
        near_relative(volts(&s, a) - volts(&s, b), drop, EXACT);
    }
}

#[test]
fn dc_13_three_in_parallel_kuphaldt() {
    let s = solve(&[(0, 1, 0.0, 9.0), (1, 0, 10e3, 0.0), (1, 0, 2e3, 0.0), (1, 0, 1e3, 0.0)]);
    for (branch, amps) in [(1, 0.9e-3), (2, 4.5e-3), (3, 9e-3), (0, 14.4e-3)] {
        near_relative(s.amps[branch], amps, EXACT);
    }
    near_relative(9.0 / s.amps[0], 625.0, EXACT);
}

#[test]
fn dc_14_voltage_divider_kuphaldt() {
    for (emf, drops) in [(45.0, [10.0, 20.0, 15.0]), (180.0, [40.0, 80.0, 60.0])] {
        let s = solve(&[(0, 1, 0.0, emf), (1, 2, 5e3, 0.0), (2, 3, 10e3, 0.0), (3, 0, 7.5e3, 0.0)]);
        near_relative(s.amps[0], emf / 22.5e3, EXACT);
        near_relative(volts(&s, 1) - volts(&s, 2), drops[0], EXACT);
        near_relative(volts(&s, 2) - volts(&s, 3), drops[1], EXACT);
        near_relative(volts(&s, 3), drops[2], EXACT);
    }
}

#[test]
fn dc_15_current_divider_kuphaldt() {
    let s = solve(&[(0, 1, 0.0, 6.0), (1, 0, 1e3, 0.0), (1, 0, 3e3, 0.0), (1, 0, 2e3, 0.0)]);
    for (branch, amps) in [(1, 6e-3), (2, 2e-3), (3, 3e-3), (0, 11e-3)] {
        near_relative(s.amps[branch], amps, EXACT);
    }
    near_relative(6.0 / s.amps[0], 6000.0 / 11.0, EXACT);
}

#[test]
fn dc_17_two_sources_three_branches_kuphaldt() {
    let stand = stand(
        &[
            ("G1", "Battery(volts: 28, internal_ohms: 4)"),
            ("R2", "Resistor(ohms: 2)"),
            ("G2", "Battery(volts: 7, internal_ohms: 1)"),
        ],
        &["W1 G1.+ R2.1", "W2 R2.2 G1.-", "W3 G2.+ R2.1", "W4 G2.- G1.-"],
    );
    near_relative(stand.volts("R2.1"), 8.0, EXACT);
    near_relative(stand.amps("W1"), 5.0, EXACT);
    near_relative(stand.through("R2"), 4.0, EXACT);
    near_relative(stand.amps("W3"), -1.0, EXACT);
}

#[test]
fn dc_18_thevenin_and_norton_of_the_same_kuphaldt() {
    let sources = [(0, 1, 4.0, 28.0), (0, 1, 1.0, 7.0)];
    near_relative(volts(&solve(&sources), 1), 11.2, EXACT);
    let shorted = solve(&[sources[0], sources[1], (1, 0, 0.0, 0.0)]);
    near_relative(shorted.amps[2], 14.0, EXACT);
    near_relative(11.2 / shorted.amps[2], 0.8, EXACT);
    let loaded = solve(&[sources[0], sources[1], (1, 0, 2.0, 0.0)]);
    near_relative(volts(&loaded, 1), 8.0, EXACT);
    near_relative(loaded.amps[2], 4.0, EXACT);
}

#[test]
fn dc_20_a_balanced_bridge_carries_nothing_across_kuphaldt() {
    // The balance rule R1/R4 = R2/R5: both middles at 16 V of 24.
    for across in [0.01, 100.0, 1e6] {
        let s = solve(&[
            (0, 1, 0.0, 24.0),
            (1, 2, 150.0, 0.0),
            (1, 3, 50.0, 0.0),
            (2, 3, across, 0.0),
            (2, 0, 300.0, 0.0),
            (3, 0, 100.0, 0.0),
        ]);
        near_relative(volts(&s, 2), 16.0, EXACT);
        near_relative(volts(&s, 3), 16.0, EXACT);
        near(s.amps[3] * across, 0.0, 1e-12);
    }
}

#[test]
fn dc_21_good_shorted_and_open_in_series_kuphaldt() {
    let parts = [
        ("G1", "Battery(volts: 9, internal_ohms: 0)"),
        ("R1", "Resistor(ohms: 100)"),
        ("R2", "Resistor(ohms: 300)"),
        ("R3", "Resistor(ohms: 50)"),
    ];
    let wires = ["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R2.2 R3.1", "W4 R3.2 G1.-"];
    let drops = |stand: &Stand, wanted: [f64; 3]| {
        for (part, drop) in ["R1", "R2", "R3"].iter().zip(wanted) {
            near(stand.between(&format!("{part}.1"), &format!("{part}.2")), drop, 1e-9);
        }
    };
    let mut good = stand(&parts, &wires);
    near_relative(good.amps("W1"), 20e-3, EXACT);
    drops(&good, [2.0, 6.0, 1.0]);

    good.will("open:W2");
    near(good.amps("W1"), 0.0, 1e-12);
    near(good.volts("R1.2"), 9.0, 1e-9);
    near(good.volts("R2.1"), 0.0, 1e-9);

    // Shorted by a join of no resistance.
    let shorted = stand(&parts, &["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R2.2 R3.1", "W4 R3.2 G1.-", "W5 R2.1 R2.2"]);
    near_relative(shorted.amps("W1"), 60e-3, EXACT);
    drops(&shorted, [6.0, 0.0, 3.0]);
}

#[test]
fn dc_25_to_29_meters_load_what_they_measure() {
    let read = |emf: f64, above: f64, below: f64, meter: f64| {
        volts(&solve(&[(0, 1, 0.0, emf), (1, 2, above, 0.0), (2, 0, below, 0.0), (2, 0, meter, 0.0)]), 2)
    };
    // DC-25, an exercise on meter loading: 6 V, 1 k over 2 k.
    near(read(6.0, 1e3, 2e3, 1e6), 3.997, 1e-3);
    near(read(6.0, 1e3, 2e3, 10e3), 3.75, 1e-3);
    near(read(6.0, 1e3, 2e3, 2000.0 / 3.0), 2.0, 1e-3);
    // DC-26, another: 30 V, two 400 k, 20 kohm/V on the 20 V range.
    near_relative(read(30.0, 400e3, 400e3, 400e3), 10.0, EXACT);
    // DC-29, OpenStax problem: 1.585 V behind 0.1 ohm, a meter of 1 k.
    near_relative(volts(&solve(&[(0, 1, 0.1, 1.585), (1, 0, 1e3, 0.0)]), 1), 1.58484, 1e-5);
}

/// What a meter of so many ohms reads between two points of a bench.
fn metered(stand: &Stand, points: [&str; 2], ohms: f64) -> f64 {
    let bench = &stand.bench;
    let [a, b] = points.map(|words| words.parse().expect("a terminal"));
    let leads = leads_on(bench.circuit(), bench.inputs(), &a, &b).expect("two points of the circuit");
    let (engine, memory) = (Some(&**bench.engine()), &bench.outcome().memory);
    let state = State { circuit: bench.circuit(), engine, inputs: bench.inputs(), memory, fuses_hold: false };
    state.loaded(leads, ohms).volts
}

#[test]
fn dc_25_26_and_29_read_the_same_on_a_bench() {
    let divider = |volts: f64, above: f64, below: f64| {
        let battery = format!("Battery(volts: {volts}, internal_ohms: 0)");
        let (above, below) = (format!("Resistor(ohms: {above})"), format!("Resistor(ohms: {below})"));
        stand(&[("G1", &battery), ("R1", &above), ("R2", &below)], &["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R2.2 G1.-"])
    };
    let exercise = divider(6.0, 1e3, 2e3);
    near(metered(&exercise, ["R2.1", "R2.2"], 1e6), 3.997, 1e-3);
    near(metered(&exercise, ["R2.1", "R2.2"], 10e3), 3.75, 1e-3);
    near(metered(&exercise, ["R2.1", "R2.2"], 2000.0 / 3.0), 2.0, 1e-3);
    // True 15 V each; the two readings come to 20 V, not 30 V.
    let halves = divider(30.0, 400e3, 400e3);
    near_relative(metered(&halves, ["R1.1", "R1.2"], 400e3), 10.0, EXACT);
    near_relative(metered(&halves, ["R2.1", "R2.2"], 400e3), 10.0, EXACT);
    // A cell of 1.585 V behind 0.1 ohm, and nothing on it but a 1 k meter.
    let cell = stand(
        &[("G1", "Battery(volts: 1.585, internal_ohms: 0.1)"), ("P1", "Lamp(ohms: 1000)")],
        &["W1 G1.+ P1.1", "W2 P1.2 G1.-"],
    );
    let mut cell = cell;
    cell.will("lift:W2@P1.2");
    near_relative(metered(&cell, ["G1.+", "G1.-"], 1e3), 1.58484, 1e-5);
}

#[test]
fn dc_27_the_current_in_a_branch_falls_by_the_ammeter_put_into_it() {
    // The book's ammeter has 0.5 ohm, ours 0.05: the same law with its own number, 2 V / (R + 0.05).
    let parts =
        [("G1", "Battery(volts: 2, internal_ohms: 0)"), ("R1", "Resistor(ohms: 3)"), ("R2", "Resistor(ohms: 1.5)")];
    let stand = stand(&parts, &["W1 G1.+ R1.1", "W2 R1.2 G1.-", "W3 G1.+ R2.1", "W4 R2.2 G1.-"]);
    let read = |reading: &str| {
        let shown = meter::read(&stand.bench, &reading.parse().expect("a reading")).expect("a wire of the circuit");
        let Value::Amps(amps) = shown.value else { panic!("{reading} shows {:?}", shown.value) };
        amps
    };
    near_relative(read("clamp:W1"), 2.0 / 3.0, EXACT);
    near_relative(read("amps:W1"), 2.0 / 3.05, EXACT);
    near_relative(read("amps:W4"), 2.0 / 1.55, EXACT);
}

#[test]
fn dc_27_an_ammeter_adds_its_own_resistance_kuphaldt() {
    let s = |first: f64, second: f64| solve(&[(0, 1, 0.0, 2.0), (1, 0, first, 0.0), (1, 0, second, 0.0)]).amps;
    near(s(3.0, 1.5)[1], 0.6667, 5e-5);
    near(s(3.0, 1.5)[2], 1.333, 5e-4);
    near(s(3.5, 1.5)[1], 0.571_43, 5e-6);
    near_relative(s(3.0, 2.0)[2], 1.0, EXACT);
}

#[test]
fn dc_28_series_resistors_of_a_meters_ranges_kuphaldt() {
    for (range, series) in [(1.0, 500.0), (10.0, 9.5e3), (100.0, 99.5e3), (1000.0, 999.5e3)] {
        near_relative(solve(&[(0, 1, 0.0, range), (1, 2, series, 0.0), (2, 0, 500.0, 0.0)]).amps[1], 1e-3, EXACT);
    }
}

#[test]
fn dc_30_a_diode_drops_0_7_v_forward_and_the_whole_supply_in_reverse_kuphaldt() {
    let mut stand = stand(
        &[("G1", "Battery(volts: 6, internal_ohms: 0)"), ("V1", "Diode()"), ("P1", "Lamp(ohms: 60)")],
        &["W1 G1.+ V1.A", "W2 V1.K P1.1", "W3 P1.2 G1.-"],
    );
    near(stand.between("V1.A", "V1.K"), 0.7, 0.1);
    near(stand.between("P1.1", "P1.2"), 5.3, 0.1);

    stand.will("reversed:V1");
    near(stand.between("V1.A", "V1.K"), 6.0, 1e-9);
    near(stand.between("P1.1", "P1.2"), 0.0, 1e-9);
}

#[test]
fn cu_20_a_dead_short_at_the_end_of_two_runs_kuphaldt() {
    let run = 10.09 * 2300.0 / 4107.0;
    near(run, 5.651, 0.0005);
    let s = solve(&[(0, 1, 0.0, 230.0), (1, 2, run, 0.0), (2, 0, run, 0.0)]);
    near(2.0 * run, 11.301, 0.0005);
    near(s.amps[1], 20.352, 0.0005);
}
