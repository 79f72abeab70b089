//! The logic table through the study and through the built program: rows, expression, losses, comparison.
//!
//! Expressions are held against every row, and against the cheapest cover found by trying all covers, which shares
//! nothing with the program's own way. Truth tables of contacts in series and parallel are from "Lessons in Electric
//! Circuits", volume IV, ladder logic (T. R. Kuphaldt, figures 04009 to 04014).

mod support;

use std::collections::BTreeSet;
use std::sync::Arc;

use fanloom::bench::{Action, Bench, Fault, Start};
use fanloom::circuit::Circuit;
use fanloom::circuit::part::Quantity;
use fanloom::study::answer::Standing;
use fanloom::study::table::compare::{Comparison, compare};
use fanloom::study::table::logic::{Minimal, holds, literals, minimise};
use fanloom::study::table::loss::{Effect, Loss, fail_safe};
use fanloom::study::table::words::{expression, fail_safe_sentences, sentences};
use fanloom::study::table::{Table, table};
use support::program::{fanloom, json};
use support::{shipped, shipped_names, tiny, tiny_text};

fn table_of(circuit: &Arc<Circuit>) -> Table {
    table(&Bench::new(Arc::clone(circuit))).expect("a table small enough")
}

#[track_caller]
fn text(args: &[&str]) -> String {
    let output = fanloom(args);
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("text in UTF-8")
}

const GENERATED: &[(&str, &str)] = &[("G1", "Battery(volts: 12.6)"), ("F1", "Fuse(amps: 10)"), ("N1", "Ground")];
const OPENS: &str = "TemperatureSwitch(rest: Closed, senses: Coolant, acts_at: Celsius(96), resets_at: Celsius(90))";
const CLOSES: &str = "TemperatureSwitch(rest: Open, senses: Coolant, acts_at: Celsius(96), resets_at: Celsius(90))";
const VALVE: &str = "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)";
const RELAY: &str = "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)";
const HAND: &str = "HandSwitch(rest: Open)";

/// A circuit with these parts between `F1.2` and the valve `Y1`, whose coil is live when the fan is wanted.
fn between(parts: &[(&str, &str)], wires: &[&str]) -> Arc<Circuit> {
    let parts = [GENERATED, parts, &[("Y1", VALVE)]].concat();
    tiny(&parts, &[&["WA G1.+ F1.1", "WB G1.- N1.g", "WC Y1.2 N1.g"], wires].concat())
}

/// So many hand switches in parallel.
fn many_switches(count: usize) -> (Vec<(String, &'static str)>, Vec<String>) {
    let parts = (1..=count).map(|n| (format!("S{n}"), HAND)).collect();
    let wires = (1..=count).flat_map(|n| [format!("W{n}a F1.2 S{n}.1"), format!("W{n}b S{n}.2 Y1.1")]).collect();
    (parts, wires)
}

fn parallel_switches(count: usize) -> Arc<Circuit> {
    let (parts, wires) = many_switches(count);
    let parts: Vec<(&str, &str)> = parts.iter().map(|(tag, kind)| (tag.as_str(), *kind)).collect();
    between(&parts, &wires.iter().map(String::as_str).collect::<Vec<_>>())
}

#[track_caller]
fn engages_in(circuit: &Arc<Circuit>, rows: &[u8], said: &str) {
    let table = table_of(circuit);
    let engaged: Vec<u8> = table.rows.iter().map(|s| u8::from(*s == Standing::Engaged)).collect();
    assert_eq!((engaged.as_slice(), expression(&table).as_str()), (rows, said));
}

#[test]
fn contacts_in_series_and_parallel_have_the_textbooks_truth_tables() {
    let two = |kind| [("B1", kind), ("B2", kind)];
    let parallel = ["W1 F1.2 B1.1", "W2 F1.2 B2.1", "W3 B1.2 Y1.1", "W4 B2.2 Y1.1"];
    let series = ["W1 F1.2 B1.1", "W2 B1.2 B2.1", "W3 B2.2 Y1.1"];
    engages_in(&between(&two(CLOSES), &parallel), &[0, 1, 1, 1], "B1=hot or B2=hot");
    engages_in(&between(&two(CLOSES), &series), &[0, 0, 0, 1], "B1=hot and B2=hot");
    engages_in(&between(&[("B1", OPENS)], &["W1 F1.2 B1.1", "W2 B1.2 Y1.1"]), &[1, 0], "B1=cold");
    engages_in(&between(&two(OPENS), &parallel), &[1, 1, 1, 0], "B1=cold or B2=cold");
    engages_in(&between(&two(OPENS), &series), &[1, 0, 0, 0], "B1=cold and B2=cold");
    let exclusive = between(
        &[("B1", CLOSES), ("B2", CLOSES), ("K1", RELAY), ("K2", RELAY)],
        &[
            "W1 F1.2 B1.1",
            "W2 F1.2 B2.1",
            "W3 B1.2 K1.86",
            "W4 B2.2 K2.86",
            "W5 K1.85 N1.g",
            "W6 K2.85 N1.g",
            "W7 F1.2 K1.30",
            "W8 K1.87 K2.87a",
            "W9 K1.87a K2.87",
            "W10 K2.30 Y1.1",
        ],
    );
    engages_in(&exclusive, &[0, 1, 1, 0], "(B1=cold and B2=hot) or (B1=hot and B2=cold)");
    assert_eq!(
        sentences(&table_of(&exclusive)),
        ["The clutch engages when any of these holds: B1 is cold and B2 is hot; B1 is hot and B2 is cold."]
    );
}

/// What each shipped circuit's table must say: worked out from its drawing by hand.
const SAID: &[(&str, &str, &str)] = &[
    (
        "coach-24v",
        "any of B1, B2, B3, S2 asks for it: when B1, B2 or B3 is hot, or S2 is on",
        "B1=hot or B2=hot or B3=hot or S2=on",
    ),
    (
        "dash-selector",
        "any of these holds: S3 is at ON; B1 is hot and S3 is not at OFF; B2 is high and S3 is not at OFF",
        "S3=ON or (B1=hot and S3 not OFF) or (B2=high and S3 not OFF)",
    ),
    ("diode-isolated", "any of B1, B2 asks for it: when B1 is hot or B2 is high", "B1=hot or B2=high"),
    ("ground-side", "any of B1, B2, S2 asks for it: when B1 or B2 is hot, or S2 is on", "B1=hot or B2=hot or S2=on"),
    (
        "module-high-side",
        "any of A1.coolant, A1.intake, B1, S2, the engine asks for it: when A1.coolant or A1.intake is hot, B1 is \
         high, S2 is on, or the engine is stopped",
        "A1.coolant=hot or A1.intake=hot or B1=high or S2=on or engine=stopped",
    ),
    (
        "module-low-side",
        "any of B1, A1.coolant, A1.intake asks for it: when B1 is high, or A1.coolant or A1.intake is hot",
        "B1=high or A1.coolant=hot or A1.intake=hot",
    ),
    (
        "parallel-open",
        "any of B1, B2, S2 asks for it: when B1 is hot, B2 is high or S2 is on",
        "B1=hot or B2=high or S2=on",
    ),
    ("refrigerant-relay", "any of these holds: B1 is hot; B2 is high and S2 is off", "B1=hot or (B2=high and S2=off)"),
    ("relay-inverted", "any of B1, B2 asks for it: when B1 is hot or B2 is high", "B1=hot or B2=high"),
    ("seal-in", "any of these holds: B1 is hot; S3 is off and S2 is on", "B1=hot or (S3=off and S2=on)"),
    (
        "series-closed",
        "any of B1, B2, S2 asks for it: when B1 is hot, B2 is high or S2 is on",
        "B1=hot or B2=high or S2=on",
    ),
    ("spring-applied", "any of B1, B2 asks for it: when B1 is hot or B2 is high", "B1=hot or B2=high"),
];

#[test]
fn every_shipped_circuit_is_said_in_words() {
    for (name, words, short) in SAID {
        let table = table_of(&shipped(name));
        let said = sentences(&table);
        assert_eq!(
            (said[0].as_str(), expression(&table).as_str()),
            (&*format!("The clutch engages when {words}."), *short)
        );
        assert_eq!(said.len(), if *name == "seal-in" { 2 } else { 1 }, "{name}: {said:?}");
    }
    assert_eq!(SAID.iter().map(|said| said.0).collect::<Vec<_>>(), shipped_names());
}

#[test]
fn contacts_that_ask_alike_are_said_together() {
    let two =
        between(&[("B1", CLOSES), ("B2", CLOSES)], &["W1 F1.2 B1.1", "W2 F1.2 B2.1", "W3 B1.2 Y1.1", "W4 B2.2 Y1.1"]);
    assert_eq!(sentences(&table_of(&two)), ["The clutch engages when any of B1, B2 is hot."]);
}

#[test]
fn a_sealed_in_relay_is_told_and_no_row_depends_on_another() {
    let table = table_of(&shipped("seal-in"));
    let names: Vec<&str> = table.inputs.iter().map(|input| input.name.as_str()).collect();
    assert_eq!(names, ["B1", "S3", "S2"]);
    // S2 held engages; the row with nothing held is released all the same.
    assert_eq!((table.rows[0], table.rows[1]), (Standing::Released, Standing::Engaged));
    assert_eq!((table.remembered.len(), table.remembered[0].after.short.as_str()), (1, "after S2=on"));
    assert_eq!(table.remembered[0].standing, Standing::Engaged);
    assert_eq!(
        sentences(&table)[1],
        "This circuit remembers: once S2 has been on and is off again and all else is at rest, the clutch is engaged. \
         The table does not: each row is worked out by itself, with everything already as the row says."
    );
    // The seal alone: the relay's coil and contact; the press alone needs neither.
    for name in ["W7", "W9", "W10", "W16"] {
        assert_eq!(requests_lost(&table, name), ["after S2=on"], "{name}");
    }
    assert_eq!(requests_lost(&table, "W12"), ["S2=on", "after S2=on"]);
    for name in shipped_names().iter().filter(|name| *name != "seal-in") {
        assert!(table_of(&shipped(name)).remembered.is_empty(), "{name}");
    }
}

#[test]
fn the_expression_is_true_in_just_the_engaged_rows() {
    for name in shipped_names() {
        let table = table_of(&shipped(&name));
        for (row, standing) in table.rows.iter().enumerate() {
            let said = table.minimal.products.iter().any(|p| holds(p, &table.values_of(row)));
            assert_eq!(said, *standing == Standing::Engaged, "{name}, row {row}");
        }
        assert!(table.minimal.exact, "{name}");
    }
}

/// The settings and the acts that bring a world into a row: no sensor of these circuits shares its quantity.
fn world_of(name: &str, table: &Table, row: usize) -> Option<(Vec<&'static str>, Vec<String>)> {
    let (mut settings, mut acts) = (Vec::new(), Vec::new());
    for (input, value) in table.inputs.iter().zip(table.values_of(row)) {
        let word = input.values[value].as_str();
        match (input.senses, word) {
            (Some(Quantity::Coolant), "hot") => settings.push("coolant=240F"),
            (Some(Quantity::IntakeAir), "hot") => settings.push("intake=210F"),
            (Some(Quantity::Oil), "hot") => settings.push("oil=270F"),
            (Some(Quantity::Refrigerant), "high") => settings.push("refrigerant=380psi"),
            (Some(_), _) => {}
            (None, "stopped") => settings.push("engine=0"),
            (None, "running") => settings.push("engine=2100"),
            (None, "off") => {}
            // Nobody can hold a push switch in an act.
            (None, "on") if name == "seal-in" => return None,
            (None, word) => acts.push(format!("turn:{}={word}", input.name)),
        }
    }
    Some((settings, acts))
}

#[test]
fn every_row_agrees_with_the_verdict_under_conditions_and_acts_that_come_to_it() {
    let mut compared = 0;
    for name in shipped_names() {
        let circuit = shipped(&name);
        let table = table_of(&circuit);
        for row in 0..table.rows.len() {
            let Some((settings, acts)) = world_of(&name, &table, row) else { continue };
            let settings = settings.iter().map(|words| words.parse().unwrap()).collect();
            let mut bench = Bench::started(Arc::clone(&circuit), Start { settings, faults: Vec::new() }).unwrap();
            for act in acts {
                bench.apply(Action::Do(act.parse().unwrap())).unwrap();
            }
            assert_eq!(fanloom::study::verdict(&bench).standing, table.rows[row], "{name}, row {row}");
            compared += 1;
        }
    }
    assert_eq!(compared, 114);
}

#[test]
fn the_programs_rows_are_every_combination_once_and_its_verdicts() {
    let words = ["cold", "hot", "low", "high", "off", "on"];
    for name in ["coach-24v", "parallel-open", "refrigerant-relay", "module-low-side"] {
        let file = format!("circuits/{name}.ron");
        let answer = json(&["table", &file, "--json"]);
        let table = table_of(&shipped(name));
        let rows = answer["rows"].as_array().unwrap();
        let sets: BTreeSet<String> = rows.iter().map(|row| row["set"].to_string()).collect();
        let inputs = answer["inputs"].as_array().unwrap();
        assert_eq!((rows.len(), sets.len()), (1 << inputs.len(), 1 << inputs.len()), "{name}");
        for (at, row) in rows.iter().enumerate() {
            let set = row["set"].as_object().unwrap();
            assert_eq!(set.keys().collect::<Vec<_>>(), inputs.iter().map(|i| i.as_str().unwrap()).collect::<Vec<_>>());
            assert!(set.values().all(|value| words.contains(&value.as_str().unwrap())), "{row}");
            let (settings, acts) = world_of(name, &table, at).unwrap();
            let mut args = vec!["verdict", &file, "--json"];
            settings.iter().for_each(|setting| args.extend(["--set", setting]));
            acts.iter().for_each(|act| args.extend(["--do", act.as_str()]));
            assert_eq!(json(&args)["clutch"]["state"], row["state"], "{args:?}");
        }
    }
}

/// Fewest products, then fewest literals, by trying every way of covering: the cost of each set of rows covered.
fn cheapest(sizes: &[usize], on: &[bool], every: &[Vec<Vec<usize>>]) -> Option<(usize, usize)> {
    let rows = on.len();
    let mask_of = |allowed: &[Vec<usize>]| {
        (0..rows)
            .filter(|row| {
                let mut left = *row;
                sizes.iter().zip(allowed).rev().all(|(size, allowed)| {
                    let value = left % size;
                    left /= size;
                    allowed.contains(&value)
                })
            })
            .fold(0_usize, |mask, row| mask | 1 << row)
    };
    let target = (0..rows).filter(|row| on[*row]).fold(0, |mask, row| mask | 1 << row);
    let usable: Vec<(usize, usize)> = every
        .iter()
        .map(|allowed| (mask_of(allowed), sizes.iter().zip(allowed).filter(|(s, a)| a.len() < **s).count()))
        .filter(|(mask, _)| mask & !target == 0)
        .collect();
    let mut cost = vec![None; target + 1];
    cost[0] = Some((0, 0));
    for covered in 0..=target {
        let Some((products, literals)): Option<(usize, usize)> = cost[covered] else { continue };
        let Some(next) = (0..rows).find(|row| (target & !covered) >> row & 1 == 1) else { continue };
        for (mask, more) in usable.iter().filter(|(mask, _)| mask >> next & 1 == 1) {
            let new = Some((products + 1, literals + more));
            let known = &mut cost[covered | mask];
            if known.is_none() || new < *known {
                *known = new;
            }
        }
    }
    cost[target]
}

/// Every product of inputs with these sizes, as the values allowed to each.
fn every_product(sizes: &[usize]) -> Vec<Vec<Vec<usize>>> {
    sizes.iter().fold(vec![Vec::new()], |so_far, size| {
        let subsets: Vec<Vec<usize>> =
            (1..1_usize << size).map(|set| (0..*size).filter(|v| set >> v & 1 == 1).collect()).collect();
        so_far
            .iter()
            .flat_map(|product| subsets.iter().map(|s| [product.as_slice(), std::slice::from_ref(s)].concat()))
            .collect()
    })
}

fn cost(minimal: &Minimal) -> (usize, usize) {
    (minimal.products.len(), minimal.products.iter().map(|p| literals(p)).sum())
}

#[track_caller]
fn minimal_everywhere(sizes: &[usize], seeds: std::ops::Range<u64>) {
    let every = every_product(sizes);
    let rows: usize = sizes.iter().product();
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    for seed in seeds {
        // SplitMix-like stirring; every third function is sparse, every third dense.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(seed * 2 + 1);
        let bits = match seed % 3 {
            0 => state >> 17,
            1 => (state >> 17) & (state >> 29),
            _ => (state >> 17) | (state >> 29),
        };
        let on: Vec<bool> = (0..rows).map(|row| bits >> row & 1 == 1).collect();
        let minimal = minimise(sizes, &on);
        assert!(minimal.exact);
        assert_eq!(Some(cost(&minimal)), cheapest(sizes, &on, &every), "{on:?} gave {minimal:?}");
        for (row, on) in on.iter().enumerate() {
            let mut left = row;
            let mut values: Vec<usize> = sizes
                .iter()
                .rev()
                .map(|s| {
                    let v = left % s;
                    left /= s;
                    v
                })
                .collect();
            values.reverse();
            assert_eq!(minimal.products.iter().any(|p| holds(p, &values)), *on);
        }
    }
}

#[test]
fn four_inputs_of_two_values_are_said_as_shortly_as_any_cover_could() {
    minimal_everywhere(&[2, 2, 2, 2], 0..60);
}

#[test]
fn a_selector_among_switches_is_said_as_shortly_as_any_cover_could() {
    minimal_everywhere(&[3, 2, 2], 0..60);
    minimal_everywhere(&[2, 3, 1, 2], 0..20);
}

#[test]
fn random_tables_and_their_expressions_agree_in_every_row() {
    let mut state = 0x2545_F491_4F6C_DD1D_u64;
    let mut next = |below: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    for _ in 0..60 {
        let sizes: Vec<usize> = (0..next(8)).map(|_| [2, 2, 2, 3, 4][next(5) as usize]).collect();
        let rows: usize = sizes.iter().product();
        if rows > 1024 {
            continue;
        }
        let share = next(9) + 1;
        let on: Vec<bool> = (0..rows).map(|_| next(10) < share).collect();
        let minimal = minimise(&sizes, &on);
        for (row, on) in on.iter().enumerate() {
            let values: Vec<usize> = (0..sizes.len())
                .map(|place| row / sizes[place + 1..].iter().product::<usize>() % sizes[place])
                .collect();
            assert_eq!(minimal.products.iter().any(|p| holds(p, &values)), *on, "{sizes:?}, row {row}");
        }
    }
}

#[test]
fn always_and_never_need_no_literal_and_no_product() {
    let always = minimise(&[2, 3], &[true; 6]);
    assert_eq!(cost(&always), (1, 0));
    let never = minimise(&[2, 3], &[false; 6]);
    assert_eq!(cost(&never), (0, 0));
    assert_eq!(cost(&minimise(&[], &[true])), (1, 0));
    let straight = table_of(&between(&[], &["W1 F1.2 Y1.1"]));
    assert_eq!(
        (sentences(&straight), expression(&straight)),
        (vec!["The clutch is always engaged.".into()], "always".to_owned())
    );
    let unwired = table_of(&between(&[("B1", CLOSES)], &["W1 F1.2 B1.1"]));
    assert_eq!(
        (sentences(&unwired)[0].as_str(), expression(&unwired)),
        ("The clutch never engages.", "never".to_owned())
    );
    assert_eq!(fail_safe(&unwired), None);
}

#[test]
fn twelve_inputs_are_covered_even_where_nothing_can_be_joined() {
    let parity: Vec<bool> = (0..4096_u32).map(|row| row.count_ones() % 2 == 1).collect();
    let minimal = minimise(&[2; 12], &parity);
    assert_eq!((cost(&minimal), minimal.exact), ((2048, 2048 * 12), true));
}

/// As tangled as functions come: the cover is put together step by step, says so, and is still right.
#[test]
fn a_tangle_of_twelve_inputs_is_covered_greedily_and_truly() {
    let stirred =
        |row: u64| row.wrapping_mul(0x9E37_79B9_7F4A_7C15).rotate_left(29).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let on: Vec<bool> = (0..4096).map(|row| stirred(row + 1) >> 40 & 1 == 1).collect();
    let minimal = minimise(&[2; 12], &on);
    assert!(!minimal.exact);
    for (row, on) in on.iter().enumerate() {
        let values: Vec<usize> = (0..12).rev().map(|bit| row >> bit & 1).collect();
        assert_eq!(minimal.products.iter().any(|p| holds(p, &values)), *on);
    }
}

#[test]
fn twelve_inputs_are_tabled_and_thirteen_refused() {
    let table = table_of(&parallel_switches(12));
    assert_eq!((table.rows.len(), cost(&table.minimal)), (4096, (12, 12)));
    let refusal = table_or_refusal(&parallel_switches(13));
    assert!(refusal.message.contains("13 things") && refusal.message.contains("4096"), "{refusal}");
    let file = tempfile::NamedTempFile::new().unwrap();
    let (parts, wires) = many_switches(13);
    let parts: Vec<(&str, &str)> =
        GENERATED.iter().copied().chain(parts.iter().map(|(t, k)| (t.as_str(), *k))).chain([("Y1", VALVE)]).collect();
    let wires: Vec<&str> =
        ["WA G1.+ F1.1", "WB G1.- N1.g", "WC Y1.2 N1.g"].into_iter().chain(wires.iter().map(String::as_str)).collect();
    std::fs::write(file.path(), tiny_text(&parts, &wires)).unwrap();
    let output = fanloom(&["table", file.path().to_str().unwrap(), "--json"]);
    let message = String::from_utf8_lossy(&output.stderr);
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0));
    assert!(message.contains("error: ") && message.contains("help: "), "{message}");
}

fn table_or_refusal(circuit: &Arc<Circuit>) -> fanloom::bench::Refusal {
    table(&Bench::new(Arc::clone(circuit))).expect_err("a table too large")
}

#[track_caller]
fn losses_with(table: &Table, effect: Effect) -> Vec<&str> {
    table.losses.iter().filter(|l| l.effect == effect).map(|l| l.name.as_str()).collect()
}

#[track_caller]
fn loss<'a>(table: &'a Table, name: &str) -> &'a Loss {
    table.losses.iter().find(|l| l.name == name).expect("a loss of this name")
}

#[track_caller]
fn requests_lost<'a>(table: &'a Table, name: &str) -> Vec<&'a str> {
    loss(table, name).requests_lost.iter().map(|request| request.short.as_str()).collect()
}

/// The four corners of circuit and clutch: common practice, and for the relay the circuit's own drawing.
#[test]
fn losses_come_to_what_the_trade_says_of_each_style() {
    let parallel = table_of(&shipped("parallel-open"));
    assert_eq!(losses_with(&parallel, Effect::AlwaysOn), [""; 0]);
    assert!(parallel.losses.iter().all(|l| l.effect == Effect::NoFan && l.hidden_at_rest));
    assert_eq!(requests_lost(&parallel, "W5"), ["B2=high"]);
    assert!(loss(&parallel, "F1").every_request && !loss(&parallel, "W5").every_request);
    let series = table_of(&shipped("series-closed"));
    assert_eq!(losses_with(&series, Effect::NoFan), ["air"]);
    assert!(loss(&series, "F1").effect == Effect::AlwaysOn && loss(&series, "N1").effect == Effect::AlwaysOn);
    assert_eq!(losses_with(&series, Effect::Unseen), [""; 0]);
    let relay = table_of(&shipped("relay-inverted"));
    assert_eq!(losses_with(&relay, Effect::AlwaysOn), ["F1", "W3", "W5", "W6", "W7", "W8"]);
    for name in ["F2", "W4", "W9", "W10", "W11", "N1", "key", "G1", "air"] {
        assert_eq!(loss(&relay, name).effect, Effect::NoFan, "{name}");
    }
    let spring = table_of(&shipped("spring-applied"));
    assert!(spring.losses.iter().all(|l| l.effect == Effect::AlwaysOn && !l.hidden_at_rest));
}

#[test]
fn fail_safe_follows_from_the_losses_for_both_principles_of_clutch() {
    let said = |name: &str| {
        let table = table_of(&shipped(name));
        let safe = fail_safe(&table).unwrap();
        (safe.power, safe.air)
    };
    assert_eq!(said("parallel-open"), (false, false));
    assert_eq!(said("series-closed"), (true, false));
    assert_eq!(said("relay-inverted"), (false, false));
    assert_eq!(said("spring-applied"), (true, true));
    let spring_parallel = support::text_of("circuits/parallel-open.ron")
        .replace("rest: Blocking", "rest: Passing")
        .replace("engages: WithAir", "engages: WithoutAir");
    let table = table_of(&support::circuit(&spring_parallel));
    assert_eq!(fail_safe(&table).map(|s| (s.power, s.air)), Some((false, true)));
    let circuit = shipped("series-closed");
    let words = fail_safe_sentences(&circuit, &table_of(&circuit));
    assert_eq!(
        words,
        [
            "Fail-safe for lost power: with the key off or battery G1 off the fan is always on, as long as there is air.",
            "Not fail-safe for lost air: with no air there is no fan at all, because air engages this clutch.",
            "No single lost fuse, wire or ground keeps the fan off when something asks for it.",
        ]
    );
    let circuit = shipped("relay-inverted");
    let words = fail_safe_sentences(&circuit, &table_of(&circuit));
    assert_eq!(
        words[2..],
        [
            "9 of the 15 fuses, wires and grounds, when lost, keep the fan off for something that asks for it. Nobody \
             sees that until something asks.",
            "Do not judge this circuit by one loss: without F1 the fan is always on, without F2 there is no fan at all.",
        ]
    );
}

#[test]
fn the_lamp_of_another_request_is_lost_unseen() {
    let table = table_of(&shipped("diode-isolated"));
    assert_eq!(losses_with(&table, Effect::Unseen), ["W9", "W13"]);
}

#[test]
fn batteries_side_by_side_are_lost_together() {
    let circuit = between(
        &[("G2", "Battery(volts: 12.6)"), ("B1", CLOSES)],
        &["W1 F1.2 B1.1", "W2 B1.2 Y1.1", "W3 G2.+ F1.1", "W4 G2.- N1.g"],
    );
    let table = table_of(&circuit);
    assert_eq!(loss(&table, "G1, G2").effect, Effect::NoFan);
    assert_eq!(loss(&table, "W3").effect, Effect::Unseen);
    assert_eq!(fail_safe(&table).map(|safe| safe.power), Some(false));
}

#[test]
fn a_clutch_that_only_slips_is_not_called_engaged_and_its_losses_count() {
    let answer = json(&["table", "circuits/parallel-open.ron", "--set", "air=60psi", "--json"]);
    assert_eq!(answer["words"][0], "The clutch never engages fully.");
    assert_eq!(answer["words"][1], "In 7 of the 8 rows the clutch slips.");
    assert_eq!(answer["losses"][0]["effect"], "no fan");
    assert_eq!(answer["fail_safe"]["power"], false);
}

#[test]
fn what_makes_no_difference_is_named() {
    let answer = json(&["table", "circuits/parallel-open.ron", "--fault", "stuck:B1=open", "--json"]);
    assert_eq!(answer["words"][1], "Here B1 makes no difference to the clutch.");
}

#[test]
fn a_part_called_engine_does_not_hide_the_engine() {
    let module = "Module(side: High, on_when: EngineStopped)";
    let parts = [("A1", module), ("engine", HAND)];
    let wires = ["W1 F1.2 A1.supply", "W2 A1.ground N1.g", "W3 A1.out engine.1", "W4 engine.2 Y1.1"];
    assert_eq!(expression(&table_of(&between(&parts, &wires))), "engine=on and engine.speed=stopped");
}

#[test]
fn a_request_that_needs_two_at_once_is_tried_in_the_losses() {
    let both = between(&[("B1", CLOSES), ("S2", HAND)], &["W1 F1.2 B1.1", "W2 B1.2 S2.1", "W3 S2.2 Y1.1"]);
    let table = table_of(&both);
    assert_eq!(sentences(&table), ["The clutch engages only when B1 is hot and S2 is on, at the same time."]);
    assert_eq!(requests_lost(&table, "W2"), ["B1=hot and S2=on"]);
}

#[test]
fn circuits_of_one_logic_compare_as_the_same_and_others_at_the_first_row() {
    let of = |name: &str| table_of(&shipped(name));
    assert_eq!(compare(&of("parallel-open"), &of("series-closed")), Comparison::Same);
    assert_eq!(compare(&of("relay-inverted"), &of("spring-applied")), Comparison::Same);
    let Comparison::Differs { row, here, there, rows } = compare(&of("refrigerant-relay"), &of("parallel-open")) else {
        panic!("they have the same inputs")
    };
    assert_eq!((row, here, there, rows), (1, Standing::Released, Standing::Engaged, 2));
    let Comparison::OtherInputs { only_here, only_there, unlike } = compare(&of("coach-24v"), &of("parallel-open"))
    else {
        panic!("they have other inputs")
    };
    assert_eq!((only_here, only_there, unlike), (vec!["B3".to_owned()], vec![], vec!["B2".to_owned()]));
}

#[test]
fn the_table_in_json_has_the_contracts_fields_first() {
    let answer = json(&["table", "circuits/parallel-open.ron", "--json"]);
    let fields: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(fields, ["inputs", "rows", "words", "minimal", "meaning", "remembers", "losses", "fail_safe"]);
    assert_eq!(answer["meaning"]["B1"], "coolant switch: hot from 205 °F, cold again at 195 °F");
    assert_eq!(answer["meaning"]["S2"], "hand switch: off is as it rests, contact open; on is contact closed");
    assert_eq!(answer["inputs"], serde_json::json!(["B1", "B2", "S2"]));
    assert_eq!(
        answer["rows"][0],
        serde_json::json!({"set": {"B1": "cold", "B2": "low", "S2": "off"}, "state": "released"})
    );
    assert_eq!(answer["rows"].as_array().unwrap().len(), 8);
    assert_eq!(answer["minimal"]["products"][1], serde_json::json!({"B2": ["high"]}));
    assert_eq!(
        json(&["table", "circuits/series-closed.ron", "--json"])["inputs"],
        serde_json::json!(["B1", "B2", "S2"])
    );
}

#[test]
fn the_program_compares_a_circuit_with_a_fault_with_itself_whole() {
    let file = "circuits/parallel-open.ron";
    let answer = json(&["table", file, "--fault", "open:W5", "--against", file, "--json"]);
    assert_eq!(answer["against"]["same"], false);
    assert_eq!(answer["against"]["first"]["set"], serde_json::json!({"B1": "cold", "B2": "high", "S2": "off"}));
    let told = text(&["table", file, "--against", "circuits/coach-24v.ron"]);
    assert!(told.contains("Only in Coach 41: B3."), "{told}");
}

#[test]
fn acts_count_and_a_press_is_remembered() {
    let sealed = json(&["table", "circuits/seal-in.ron", "--do", "press:S2", "--json"]);
    assert_eq!(sealed["minimal"]["expression"], "B1=hot or S3=off");
    let jumped = json(&["table", "circuits/parallel-open.ron", "--do", "jump:B1.1=B1.2", "--json"]);
    assert_eq!(jumped["minimal"]["expression"], "always");
    let off = json(&["table", "circuits/parallel-open.ron", "--set", "key=off", "--json"]);
    assert_eq!(off["minimal"]["expression"], "never");
}

#[test]
fn a_drifted_or_stuck_sensor_is_a_row_by_what_its_contact_does() {
    let start = |fault: &str| {
        let faults: Vec<Fault> = vec![fault.parse().unwrap()];
        table(&Bench::started(shipped("parallel-open"), Start { settings: Vec::new(), faults }).unwrap()).unwrap()
    };
    assert_eq!(expression(&start("drift:B1=+20F")), "B1=hot or B2=high or S2=on");
    assert_eq!(expression(&start("stuck:B1=open")), "B2=high or S2=on");
    let mut bench = Bench::new(shipped("parallel-open"));
    bench.apply(Action::Do("turn:S2=on".parse().unwrap())).unwrap();
    assert_eq!(expression(&table(&bench).unwrap()), "B1=hot or B2=high or S2=on");
}

#[test]
fn large_tables_show_only_where_the_fan_is_driven() {
    let file = tempfile::NamedTempFile::new().unwrap();
    let (parts, wires) = many_switches(7);
    let parts: Vec<(&str, &str)> =
        GENERATED.iter().copied().chain(parts.iter().map(|(t, k)| (t.as_str(), *k))).chain([("Y1", VALVE)]).collect();
    let wires: Vec<&str> =
        ["WA G1.+ F1.1", "WB G1.- N1.g", "WC Y1.2 N1.g"].into_iter().chain(wires.iter().map(String::as_str)).collect();
    std::fs::write(file.path(), tiny_text(&parts, &wires)).unwrap();
    let told = text(&["table", file.path().to_str().unwrap()]);
    assert!(told.contains("test: 128 combinations") && told.contains("--json has every row"), "{told}");
    assert!(told.contains("  on  -   -   -   -   -   -   64"), "{told}");
    assert!(told.contains("any of S1, S2, S3, S4, S5, S6, S7 is on."), "{told}");
}

#[test]
fn set_points_of_one_module_that_feel_the_same_are_told_apart() {
    let module = "Module(side: High, on_when: All([Above(Coolant, Celsius(95), Celsius(90)), \
                  Not(Above(Coolant, Celsius(105), Celsius(100))), Below(AirSupply, Psi(60), Psi(70))]))";
    let circuit = between(&[("A1", module)], &["W1 F1.2 A1.supply", "W2 A1.ground N1.g", "W3 A1.out Y1.1"]);
    let table = table_of(&circuit);
    assert_eq!(expression(&table), "A1.coolant=hot and A1.coolant2=cold and A1.air=low");
    assert_eq!(table.inputs.iter().map(|i| i.rest).collect::<Vec<_>>(), [0, 0, 1]);
}
