//! What a bench owes whoever works on it, on every shipped circuit under random acts, settings and faults.
//!
//! The same acts give the same state; undo and redo lead back; the journal leads to the same state; a refusal changes
//! nothing; names that do not exist are refused and never panic; with everything put back it reads as built; and
//! what parts are called or in what order they are written does not matter.

use std::sync::Arc;

use crate::support::random::Random;
use crate::support::{Stand, action, circuit, near_relative, readings_by_name, shipped, shipped_names, tiny};
use fanloom::bench::{Action, Bench, Reading};
use fanloom::circuit::format::write;
use fanloom::circuit::{Circuit, End, WireEnd};
use fanloom::study::meter::{self, Value};

/// Something to do or to say, often possible, sometimes nonsense.
pub(crate) fn random_words(random: &mut Random, circuit: &Circuit) -> String {
    let part = |random: &mut Random| random.pick(circuit.parts()).tag.clone();
    let wire = |random: &mut Random| random.pick(circuit.wires()).tag.clone();
    let terminals: Vec<String> = circuit.terminals_with_ids().map(|(id, _)| circuit.terminal_words(id)).collect();
    let terminal = |random: &mut Random| random.pick(&terminals).clone();
    let ends: Vec<String> = circuit
        .wires_with_ids()
        .flat_map(|(wire, _)| End::BOTH.map(|end| circuit.end_words(WireEnd { wire, end })))
        .collect();
    let end = |random: &mut Random| random.pick(&ends).clone();
    match random.below(36) {
        0 | 1 => format!("turn:{}={}", part(random), random.pick(&["on", "off", "ON", "AUTO", "OFF", "SIDEWAYS"])),
        2 | 3 => format!("press:{}", part(random)),
        4..=6 => format!("jump:{}={}", terminal(random), terminal(random)),
        7 => format!("jump:{}={}/none", terminal(random), terminal(random)),
        8 => format!("jump:{}={}/15A", end(random), terminal(random)),
        9 | 10 => format!("lift:{}", end(random)),
        11 => format!("unplug:{}", part(random)),
        12 => format!("open:{}", wire(random)),
        13 => format!("resist:{}={}ohm", wire(random), random.below(50)),
        14 => format!("ground:{}", terminal(random)),
        15 => format!("feed:{}{}", terminal(random), random.pick(&["", "=2Mohm", "=470kohm", "=4ohm"])),
        16 => format!("join:{}={}", wire(random), wire(random)),
        17 => format!("stuck:{}={}", part(random), random.pick(&["open", "closed"])),
        18 => format!("drift:{}={}F", part(random), random.pick(&["+20", "-15"])),
        19 => format!("coil-open:{}", part(random)),
        20 => format!("coil-short:{}={}ohm", part(random), random.below(9)),
        21 => format!("valve-stuck:{}={}", part(random), random.pick(&["passing", "blocking"])),
        22 => format!("swapped:{}", part(random)),
        23 => format!("blown:{}", part(random)),
        24 => format!("flat:{}={}V", part(random), random.below(13)),
        25 => format!("reversed:{}", part(random)),
        26 => format!("module-dead:{}", part(random)),
        27 => (*random.pick(&[
            "leak:hose=3mm",
            "leak:chamber=1mm",
            "blocked:filter",
            "blocked:exhaust",
            "worn:facing=2mm",
        ]))
        .to_owned(),
        28 => format!("coolant={}F", 60 + random.below(200)),
        29 => format!("refrigerant={}psi", random.below(400)),
        30 => format!("air={}psi", random.below(130)),
        31 => {
            (*random.pick(&["key=off", "key=on", "engine=0", "engine=1900", "ambient=-40F", "ambient=120C"])).to_owned()
        }
        32 => format!("renew {}", part(random)),
        33 => format!("intake={}F", 60 + random.below(160)),
        34 => (*random.pick(&[
            "lift:W99@Q7.3",
            "jump:B1.1=B1.9",
            "jump:W1@G1.+=N1.g",
            "unplug:Z9",
            "turn:=on",
            "jump:G1.+=G1.+",
            "ground:nowhere",
            "open:W999",
            "back unplug:Y1",
            "mend blown:F1",
            "coolant=NaNF",
            "air=-5psi",
            "engine=1e99",
        ]))
        .to_owned(),
        _ => (*random.pick(&["undo", "redo", "put all back"])).to_owned(),
    }
}

/// Does random things to a bench, noting those that were possible.
fn play(random: &mut Random, bench: &mut Bench, steps: usize) -> Vec<String> {
    let mut done = Vec::new();
    for _ in 0..steps {
        let words = random_words(random, &bench.circuit_shared());
        let before = bench.revision();
        let Ok(action) = action(&words) else { continue };
        if bench.apply(action).is_ok() {
            done.push(words);
        } else {
            assert_eq!(bench.revision(), before, "a refusal of `{words}` changed something");
        }
    }
    done
}

fn every_circuit(rounds: u64, mut f: impl FnMut(&str, u64, Arc<Circuit>)) {
    for name in shipped_names() {
        let circuit = shipped(&name);
        for seed in 0..rounds {
            f(&name, seed, Arc::clone(&circuit));
        }
    }
}

#[test]
fn the_same_acts_give_the_same_state() {
    every_circuit(4, |name, seed, circuit| {
        let mut first = Bench::new(Arc::clone(&circuit));
        let mut second = Bench::new(circuit);
        play(&mut Random::new(seed), &mut first, 25);
        let done = play(&mut Random::new(seed), &mut second, 25);

        assert_eq!(first.outcome(), second.outcome(), "{name}, seed {seed}: {done:?}");
    });
}

/// A reading, often possible, sometimes nonsense.
fn random_reading(random: &mut Random, circuit: &Circuit) -> String {
    let terminals: Vec<String> = circuit.terminals_with_ids().map(|(id, _)| circuit.terminal_words(id)).collect();
    let point = |random: &mut Random| {
        if random.percent(80) {
            return random.pick(&terminals).clone();
        }
        let wires: Vec<_> = circuit.wires_with_ids().map(|(wire, _)| wire).collect();
        circuit.end_words(WireEnd { wire: *random.pick(&wires), end: *random.pick(&End::BOTH) })
    };
    let verb = *random.pick(&["volts", "lowz", "lamp", "ohms", "amps", "clamp", "gauge", "fan", "watts"]);
    match verb {
        "amps" | "clamp" => format!("{verb}:{}", random.pick(circuit.wires()).tag),
        "gauge" => (*random.pick(&["gauge:supply", "gauge:clutch", "gauge:tank"])).to_owned(),
        "fan" => verb.to_owned(),
        _ => format!("{verb}:{},{}", point(random), point(random)),
    }
}

#[test]
fn a_reading_leaves_the_bench_as_it_was_and_never_panics() {
    every_circuit(6, |name, seed, circuit| {
        let mut random = Random::new(1000 + seed);
        let mut bench = Bench::new(circuit);
        let done = play(&mut random, &mut bench, 8);
        let before = (bench.outcome().clone(), bench.inputs().clone(), bench.revision());
        let mut taken = 0;
        for _ in 0..16 {
            let words = random_reading(&mut random, bench.circuit());
            let Ok(reading) = words.parse::<Reading>() else { continue };
            assert_eq!(reading.to_string(), words, "a reading is written as it is read");
            let Ok(shown) = meter::read(&bench, &reading) else { continue };
            taken += 1;
            let finite = match shown.value {
                Value::Volts(number) | Value::Ohms(number) | Value::Psi(number) => number.is_none_or(f64::is_finite),
                Value::Amps(amps) => amps.is_finite(),
                Value::Lamp(_) | Value::Fan(_) => true,
            };
            assert!(finite, "{name}, seed {seed}, {done:?}: {words} shows {:?}", shown.value);
        }
        assert!(taken > 0, "{name}, seed {seed}: nothing could be read");
        assert_eq!(before, (bench.outcome().clone(), bench.inputs().clone(), bench.revision()), "{name}, {seed}");
    });
}

#[test]
fn leads_changed_over_change_the_sign_of_the_volts_and_nothing_else() {
    every_circuit(4, |name, seed, circuit| {
        let mut random = Random::new(2000 + seed);
        let mut bench = Bench::new(circuit);
        let done = play(&mut random, &mut bench, 6);
        let terminals: Vec<String> =
            bench.circuit().terminals_with_ids().map(|(id, _)| bench.circuit().terminal_words(id)).collect();
        for verb in ["volts", "lowz"] {
            let (a, b) = (random.pick(&terminals).clone(), random.pick(&terminals).clone());
            let read = |first: &str, second: &str| {
                let reading: Reading = format!("{verb}:{first},{second}").parse().expect("as the grammar has it");
                meter::read(&bench, &reading).ok().map(|shown| shown.value)
            };
            match (read(&a, &b), read(&b, &a)) {
                (Some(Value::Volts(Some(one))), Some(Value::Volts(Some(other)))) => {
                    assert!((one + other).abs() < 1e-6, "{name}, seed {seed}, {done:?}: {one} and {other}");
                }
                (one, other) => assert_eq!(one, other, "{name}, seed {seed}, {done:?}"),
            }
        }
    });
}

#[test]
fn undo_leads_back_and_redo_forward_again() {
    every_circuit(4, |name, seed, circuit| {
        let mut bench = Bench::new(circuit);
        let mut random = Random::new(seed);
        let mut states = vec![bench.outcome().clone()];
        for _ in 0..20 {
            let words = random_words(&mut random, &bench.circuit_shared());
            let Ok(action) = action(&words) else { continue };
            if matches!(action, Action::Undo | Action::Redo) {
                continue;
            }
            if bench.apply(action).is_ok() {
                states.push(bench.outcome().clone());
            }
        }
        for state in states.iter().rev().skip(1) {
            bench.apply(Action::Undo).expect("there is something to undo");
            assert_eq!(bench.outcome(), state, "{name}, seed {seed}: undo");
        }
        assert!(bench.apply(Action::Undo).is_err());
        for state in states.iter().skip(1) {
            bench.apply(Action::Redo).expect("there is something to redo");
            assert_eq!(bench.outcome(), state, "{name}, seed {seed}: redo");
        }
        assert!(bench.apply(Action::Redo).is_err());
    });
}

#[test]
fn the_journal_replayed_leads_to_the_same_state() {
    every_circuit(6, |name, seed, circuit| {
        let mut bench = Bench::new(Arc::clone(&circuit));
        let done = play(&mut Random::new(seed), &mut bench, 30);
        let mut again = Bench::new(circuit);
        for action in bench.journal() {
            again.apply(action.clone()).unwrap_or_else(|e| panic!("{name}, seed {seed}: {e}"));
        }

        assert_eq!(readings_by_name(&again), readings_by_name(&bench), "{name}, seed {seed}: {done:?}");
        assert_eq!(again.changes(), bench.changes(), "{name}, seed {seed}: {done:?}");
        assert_eq!(again.outcome().clutch, bench.outcome().clutch, "{name}, seed {seed}: {done:?}");
    });
}

#[test]
fn everything_said_and_done_reads_and_writes_itself_as_the_same_text() {
    every_circuit(6, |name, seed, circuit| {
        let mut random = Random::new(seed + 500);
        for _ in 0..40 {
            let words = random_words(&mut random, &circuit);
            let again = match action(&words) {
                Ok(Action::Set(setting)) => action(&setting.to_string()).map(|a| (a, Action::Set(setting))),
                Ok(Action::Do(act)) => action(&act.to_string()).map(|a| (a, Action::Do(act))),
                Ok(Action::Plant(fault)) => action(&fault.to_string()).map(|a| (a, Action::Plant(fault))),
                _ => continue,
            };
            let (again, first) =
                again.unwrap_or_else(|e| panic!("{name}: `{words}` writes as what it cannot read: {e}"));
            assert_eq!(again, first, "{name}: `{words}`");
        }
    });
}

#[test]
fn a_bench_outlives_whatever_is_done_to_it() {
    every_circuit(8, |_, seed, circuit| {
        play(&mut Random::new(seed + 9000), &mut Bench::new(circuit), 40);
    });
}

#[test]
fn a_started_bench_outlives_whatever_the_world_is_like() {
    every_circuit(20, |_, seed, circuit| {
        let mut random = Random::new(seed + 70_000);
        let mut start = fanloom::bench::Start::default();
        for _ in 0..12 {
            match action(&random_words(&mut random, &circuit)) {
                Ok(Action::Set(setting)) => start.settings.push(setting),
                Ok(Action::Plant(fault)) => start.faults.push(fault),
                _ => {}
            }
        }
        if let Ok(bench) = Bench::started(circuit, start.clone()) {
            assert_eq!(bench.faults(), start.faults);
        }
    });
}

#[test]
fn with_everything_put_back_and_made_right_it_reads_as_built() {
    every_circuit(6, |name, seed, circuit| {
        let as_built = Bench::new(Arc::clone(&circuit));
        let mut bench = Bench::new(circuit);
        let done = play(&mut Random::new(seed + 300), &mut bench, 25);
        for words in [
            "key=off",
            "engine=0",
            "coolant=-40F",
            "intake=-40F",
            "oil=-40F",
            "refrigerant=0psi",
            "ambient=68F",
            "air=105psi",
        ] {
            bench.apply(action(words).expect("a setting")).expect("always possible");
        }
        for fault in bench.faults().to_vec() {
            bench.apply(Action::Repair(fault)).expect("it is planted");
        }
        bench.apply(Action::PutAllBack).expect("always possible");
        for words in ["coolant=68F", "intake=68F", "oil=68F", "refrigerant=100psi", "key=on"] {
            bench.apply(action(words).expect("a setting")).expect("always possible");
        }

        assert_eq!(bench.changes(), [], "{name}, seed {seed}: {done:?}");
        assert_eq!(readings_by_name(&bench), readings_by_name(&as_built), "{name}, seed {seed}: {done:?}");
        assert!(bench.opened().is_empty(), "{name}, seed {seed}: {done:?}");
    });
}

#[test]
fn putting_back_one_act_after_another_leads_back_too() {
    let mut stand = Stand::shipped("series-closed");
    let before = readings_by_name(&stand.bench);

    stand.all("lift:W4@B1.1; jump:B1.1=B1.2; jump:W4@B1.1=N1.g; unplug:Y1");
    stand.all("back unplug:Y1; back jump:W4@B1.1=N1.g; back jump:B1.1=B1.2; back lift:W4@B1.1; renew F1");

    assert_eq!(readings_by_name(&stand.bench), before);
    assert_eq!(stand.bench.changes(), []);
}

#[test]
fn parts_and_wires_written_in_another_order_read_the_same() {
    every_circuit(5, |name, seed, circuit| {
        let mut random = Random::new(seed);
        let mut draft = circuit.draft();
        // Volts are counted from the first battery and air comes from the first valve; each has one here.
        random.shuffle(&mut draft.parts);
        random.shuffle(&mut draft.wires);
        for wire in &mut draft.wires {
            if random.percent(50) {
                std::mem::swap(&mut wire.from, &mut wire.to);
            }
        }
        let other = Arc::new(Circuit::new(draft).expect("the same parts and wires"));
        let other = crate::support::circuit(&write(&other));
        let (mut first, mut second) = (Bench::new(circuit), Bench::new(other));
        for _ in 0..12 {
            let words = random_words(&mut random, &first.circuit_shared());
            // Of a wire that touches another half way, the half at its first end is read.
            if words.starts_with("join:") {
                continue;
            }
            let Ok(action) = action(&words) else { continue };
            let (one, two) = (first.apply(action.clone()), second.apply(action));
            assert_eq!(one.is_ok(), two.is_ok(), "{name}, seed {seed}: `{words}`: {one:?}, {two:?}");
            same_readings(&first, &second, &format!("{name}, seed {seed} after `{words}`"));
        }
    });
}

/// Compares two benches by name, wires by the size of their current: which way round a wire is written decides the
/// sign.
fn same_readings(first: &Bench, second: &Bench, story: &str) {
    if !first.outcome().settled() {
        assert!(!second.outcome().settled(), "{story}");
        return;
    }
    let (one, two) = (readings_by_name(first), readings_by_name(second));
    assert_eq!(one.len(), two.len());
    let largest = one.iter().filter_map(|(_, x)| *x).fold(1.0, |most: f64, x| most.max(x.abs()));
    for ((name, a), (_, b)) in one.iter().zip(&two) {
        match (a, b) {
            (Some(a), Some(b)) => {
                let off = (a.abs() - b.abs()).abs();
                assert!(off <= 1e-9 * largest, "{story}: {name} reads {a} and {b}");
            }
            (None, None) => {}
            _ => panic!("{story}: {name} reads {a:?} and {b:?}"),
        }
    }
    assert_eq!(first.outcome().clutch.map(|c| c.state), second.outcome().clutch.map(|c| c.state), "{story}");
}

#[test]
fn parts_and_wires_of_other_names_read_the_same() {
    every_circuit(1, |name, _, circuit| {
        let mut draft = circuit.draft();
        let new_tag =
            |tag: &str| format!("{}{}", &tag[..1], 100 + tag[1..].parse::<u32>().expect("a letter and digits"));
        for part in &mut draft.parts {
            part.tag = new_tag(&part.tag);
        }
        for wire in &mut draft.wires {
            wire.tag = new_tag(&wire.tag);
            for end in [&mut wire.from, &mut wire.to] {
                let (tag, terminal) = end.split_once('.').expect("a terminal");
                *end = format!("{}.{terminal}", new_tag(tag));
            }
        }
        let renamed = Bench::new(Arc::new(Circuit::new(draft).expect("the same but for names")));
        let bench = Bench::new(circuit);

        assert_eq!(renamed.outcome(), bench.outcome(), "{name}");
    });
}

#[test]
fn a_two_terminal_part_fitted_end_for_end_reads_the_same() {
    let parts =
        [("G1", "Battery(volts: 12.6)"), ("R1", "Resistor(ohms: 47)"), ("P1", "Lamp(ohms: 48)"), ("N1", "Ground")];
    let straight = tiny(&parts, &["W1 G1.+ R1.1", "W2 R1.2 P1.1", "W3 P1.2 N1.g", "W4 G1.- N1.g"]);
    let turned = tiny(&parts, &["W1 G1.+ R1.2", "W2 R1.1 P1.2", "W3 P1.1 N1.g", "W4 G1.- N1.g"]);
    let (straight, turned) = (Stand::new(&straight), Stand::new(&turned));

    near_relative(straight.amps("W2"), turned.amps("W2"), 1e-9);
    near_relative(straight.volts("R1.1"), turned.volts("R1.2"), 1e-12);
    near_relative(straight.volts("P1.1"), turned.volts("P1.2"), 1e-12);
}

#[test]
fn a_bare_pair_of_parts_needs_no_wires_at_all() {
    let nothing = circuit("Circuit(format: 1, title: \"\", parts: {}, wires: {})");
    let bench = Bench::new(nothing);

    assert!(bench.outcome().settled());
    assert_eq!(bench.outcome().clutch, None);
}
