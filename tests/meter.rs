//! Instruments: every kind of test a technician makes, what it shows, and how it misleads the way real ones do.
//!
//! Most go through the built program (`verdict --read`). The kinds of test and what each can lie about are common
//! practice, no source, unless a test names one; published exercises on meters stand in `tests/published`.

#![expect(clippy::unwrap_used, reason = "a test that cannot run the program or read its answer has failed")]

mod support;

use std::process::{Command, Output, Stdio};
use std::sync::Arc;

use fanloom::bench::{Reading, leads_on};
use fanloom::circuit::Circuit;
use fanloom::circuit::quantity::Length;
use fanloom::physics::meter::{Glow, State, TestLamp};
use fanloom::study::meter::{Shown, Value, read};
use serde_json::Value as Json;
use support::dense::Net;
use support::random::Random;
use support::{Stand, near, near_relative, shipped, tiny};

fn fanloom(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(support::top())
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

/// Readings through the program, with the options in words.
struct Read(Json);

impl Read {
    /// `options` are words of the command line; `readings` are taken off that circuit.
    #[track_caller]
    fn off(circuit: &str, options: &str, readings: &[&str]) -> Self {
        let file = format!("circuits/{circuit}.ron");
        let mut args = vec!["verdict", &file, "--json"];
        args.extend(options.split_whitespace());
        readings.iter().for_each(|reading| args.extend(["--read", reading]));
        let output = fanloom(&args);
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
        Self(serde_json::from_slice(&output.stdout).unwrap())
    }

    #[track_caller]
    fn number(&self, reading: &str) -> f64 {
        self.0["readings"][reading].as_f64().unwrap_or_else(|| panic!("{reading} in {}", self.0["readings"]))
    }

    fn value(&self, reading: &str) -> &Json {
        let readings = self.0["readings"].as_object().unwrap();
        readings.get(reading).unwrap_or_else(|| panic!("{reading} in {readings:?}"))
    }

    fn note(&self, reading: &str) -> &str {
        self.0["notes"][reading].as_str().unwrap_or_default()
    }
}

#[track_caller]
fn refused(readings: &[&str], tells: &[&str]) {
    let mut args = vec!["verdict", "circuits/series-closed.ron"];
    readings.iter().for_each(|reading| args.extend(["--read", reading]));
    let output = fanloom(&args);
    let message = String::from_utf8(output.stderr.clone()).unwrap();
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0), "{args:?}: {message}");
    for tell in tells {
        assert!(message.contains(tell), "{args:?} should say `{tell}`, said:\n{message}");
    }
}

#[track_caller]
fn shown(stand: &Stand, reading: &str) -> Shown {
    let reading: Reading = reading.parse().unwrap_or_else(|refusal| panic!("{refusal}"));
    read(&stand.bench, &reading).unwrap_or_else(|refusal| panic!("{refusal}"))
}

#[track_caller]
fn volts(stand: &Stand, reading: &str) -> f64 {
    match shown(stand, reading).value {
        Value::Volts(Some(volts)) => volts,
        other => panic!("{reading} shows {other:?}"),
    }
}

/// A valve and a relay side by side behind one key, with a plug before the valve.
fn side_by_side() -> Arc<Circuit> {
    tiny(
        &[
            ("G1", "Battery(volts: 12.6)"),
            ("F1", "Fuse(amps: 10)"),
            ("S1", "KeySwitch"),
            ("X1", "Splice"),
            ("K1", "Relay(coil_ohms: 85, pulls_in: 7.2, drops_out: 2.5)"),
            ("Y1", "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)"),
            ("N1", "Ground"),
        ],
        &[
            "W1 G1.+ F1.1",
            "W2 F1.2 S1.30",
            "W3 S1.15 X1.s",
            "W4 X1.s K1.86",
            "W5 K1.85 N1.g",
            "W6 X1.s Y1.1",
            "W7 Y1.2 N1.g",
            "W8 G1.- N1.g",
        ],
    )
}

// Open-circuit and loaded volts.

#[test]
fn a_bad_joint_shows_full_volts_unloaded_and_7_5_volts_loaded() {
    // 12.6 V x 30 / (30 + 20.4) = 7.5 V.
    let bad = "--fault resist:W6=20.4ohm";
    let plug_off = Read::off("series-closed", &format!("{bad} --do unplug:Y1"), &["volts:Y1.1,N1.g"]);
    near(plug_off.number("volts:Y1.1,N1.g"), 12.6, 0.001);
    assert!(plug_off.note("volts:Y1.1,N1.g").contains("without load"), "{}", plug_off.0["notes"]);

    let plug_on = Read::off("series-closed", bad, &["volts:Y1.1,Y1.2", "volts:B2.2,Y1.1"]);
    near(plug_on.number("volts:Y1.1,Y1.2"), 7.5, 0.05);
    near(plug_on.number("volts:B2.2,Y1.1"), 5.1, 0.05);
    assert_eq!(plug_on.note("volts:Y1.1,Y1.2"), "");
}

#[test]
fn a_ghost_reads_much_on_10_megohm_and_is_gone_under_3_kiloohm_and_a_lamp() {
    let damp = "--do unplug:Y1 --fault feed:B1.2=2Mohm";
    let read = Read::off("parallel-open", damp, &["volts:Y1.1,N1.g", "lowz:Y1.1,N1.g", "lamp:Y1.1,N1.g"]);
    near(read.number("volts:Y1.1,N1.g"), 12.6 * 10.0 / 12.0, 1e-3);
    near(read.number("lowz:Y1.1,N1.g"), 12.6 * 3e3 / 2.003e6, 1e-3);
    assert_eq!(read.value("lamp:Y1.1,N1.g"), "dark");
    assert!(read.note("volts:Y1.1,N1.g").contains("ghost"));
    assert_eq!(read.0["hazards"].as_array().unwrap().len(), 1, "a ghost burns nobody: {}", read.0["hazards"]);
}

#[test]
fn a_good_feed_reads_the_same_on_every_meter_and_lights_the_lamp() {
    let read = Read::off("series-closed", "--do unplug:Y1", &["volts:Y1.1,N1.g", "lowz:Y1.1,N1.g", "lamp:Y1.1,Y1.2"]);
    near(read.number("volts:Y1.1,N1.g"), 12.6, 0.01);
    near(read.number("lowz:Y1.1,N1.g"), 12.6, 0.01);
    assert_eq!(read.value("lamp:Y1.1,Y1.2"), "bright", "the lamp in the valve's place");
}

#[test]
fn a_low_impedance_meter_loads_a_signal() {
    let mut stand = Stand::new(&tiny(
        &[("G1", "Battery(volts: 12)"), ("R1", "Resistor(ohms: 3000)"), ("R2", "Resistor(ohms: 3000)")],
        &["W1 G1.+ R1.1", "W2 R1.2 R2.1", "W3 R2.2 G1.-"],
    ));
    stand.will("key=on");
    near(volts(&stand, "volts:R2.1,R2.2"), 6.0, 1e-3);
    near(volts(&stand, "lowz:R2.1,R2.2"), 4.0, 1e-3);
    assert!(shown(&stand, "lowz:R2.1,R2.2").notes[0].contains("loads this point: without it there are 6.00 V"));
}

// Points that float.

#[test]
fn a_floating_point_is_pulled_to_wherever_the_other_lead_is() {
    let readings = ["volts:B1.2,N1.g", "volts:G1.+,B1.2", "volts:B1.1,B1.2"];
    let read = Read::off("parallel-open", "--do unplug:B2 --do lift:W7@B1.2", &readings);
    for reading in readings {
        assert_eq!(read.number(reading), 0.0, "{reading}");
        assert!(read.note(reading).contains("B1.2 hangs on nothing"), "{}", read.note(reading));
    }
}

#[test]
fn two_points_that_float_apart_give_no_reading_rather_than_zero() {
    let read = Read::off(
        "series-closed",
        "--do unplug:Y1 --do lift:W6@B2.2 --do lift:W7@N1.g",
        &["volts:Y1.1,Y1.2", "lowz:Y1.1,Y1.2", "ohms:Y1.1,Y1.2", "lamp:Y1.1,Y1.2"],
    );
    assert_eq!(read.value("volts:Y1.1,Y1.2"), &Json::Null);
    assert_eq!(read.value("lowz:Y1.1,Y1.2"), &Json::Null);
    assert_eq!(read.value("ohms:Y1.1,Y1.2"), &Json::Null, "overload");
    assert_eq!(read.value("lamp:Y1.1,Y1.2"), "dark");
    assert!(read.note("volts:Y1.1,Y1.2").contains("wanders"));
}

#[test]
fn a_lead_in_an_empty_plug_touches_nothing_and_gives_no_reading() {
    let read = Read::off("series-closed", "--do unplug:Y1 --do lift:W6@Y1.1", &["volts:Y1.1,N1.g", "volts:G1.+,N1.g"]);
    assert_eq!(read.value("volts:Y1.1,N1.g"), &Json::Null);
    assert!(read.note("volts:Y1.1,N1.g").contains("touches nothing"));
    near(read.number("volts:G1.+,N1.g"), 12.6, 1e-6);
}

#[test]
fn a_lead_on_a_lifted_end_reads_that_end_and_on_the_terminal_what_is_left_there() {
    let readings = ["volts:W5@B1.2,N1.g", "volts:B1.2,N1.g", "lamp:B1.2,W5@B1.2", "ohms:B1.1,B1.2"];
    let read = Read::off("series-closed", "--do lift:W5@B1.2", &readings);
    near(read.number("volts:W5@B1.2,N1.g"), 0.0, 1e-6);
    near(read.number("volts:B1.2,N1.g"), 12.6, 0.01);
    assert_eq!(read.value("lamp:B1.2,W5@B1.2"), "bright", "the lamp closes the gap, in series with the coil");
}

#[test]
fn after_unplug_a_lead_on_a_terminal_touches_the_wires_alone() {
    let ohms = ["ohms:Y1.1,Y1.2"];
    let plug_off = Read::off("series-closed", "--set key=off --do unplug:Y1", &ohms);
    assert_eq!(plug_off.value(ohms[0]), &Json::Null, "the coil stays in the valve");
    let wire_off = Read::off("series-closed", "--set key=off --do lift:W6@Y1.1", &ohms);
    near(wire_off.number(ohms[0]), 30.0, 0.01);
}

// Drops.

#[test]
fn a_drop_reads_zero_through_a_bad_joint_that_carries_nothing() {
    let bad = "--fault resist:W6=20.4ohm";
    let drop = ["volts:G1.+,Y1.1"];
    let loaded = Read::off("series-closed", bad, &drop);
    near(loaded.number(drop[0]), 5.1, 0.1);
    let unloaded = Read::off("series-closed", &format!("{bad} --do unplug:Y1"), &drop);
    near(unloaded.number(drop[0]), 0.0, 1e-4);
    assert!(unloaded.note(drop[0]).contains("No current flows here"), "{}", unloaded.note(drop[0]));
}

#[test]
fn a_meter_with_its_black_lead_on_the_same_bad_stud_sees_no_ground_side_drop() {
    let read = Read::off("series-closed", "--fault resist:W8=5ohm", &["volts:Y1.2,N1.g", "volts:Y1.2,G1.-"]);
    near(read.number("volts:Y1.2,N1.g"), 0.0, 0.01);
    near(read.number("volts:Y1.2,G1.-"), 1.8, 0.05);
}

#[test]
fn across_a_switch_supply_means_open_and_zero_means_closed_or_dead() {
    let across = ["volts:B1.1,B1.2"];
    let open = Read::off("parallel-open", "", &across);
    near(open.number(across[0]), 12.6, 0.01);
    assert_eq!(open.note(across[0]), "");
    let closed = Read::off("parallel-open", "--set coolant=230F", &across);
    near(closed.number(across[0]), 0.002, 0.001);
    assert_eq!(closed.note(across[0]), "");
    let dead = Read::off("parallel-open", "--fault blown:F1", &across);
    near(dead.number(across[0]), 0.0, 1e-9);
    assert!(dead.note(across[0]).contains("hangs on nothing"), "{}", dead.note(across[0]));
    let beside = Read::off("parallel-open", "--do turn:S2=on --do unplug:Y1", &across);
    near(beside.number(across[0]), 0.0, 1e-6);
    assert!(beside.note(across[0]).contains("closed and dead both read zero"), "{}", beside.note(across[0]));
}

#[test]
fn both_sides_of_a_blown_fuse_tell_it_from_a_good_one() {
    let sides = ["volts:F1.1,N1.g", "volts:F1.2,N1.g"];
    let blown = Read::off("series-closed", "--fault blown:F1", &sides);
    near(blown.number(sides[0]), 12.6, 1e-6);
    near(blown.number(sides[1]), 0.0, 1e-6);
    let good = Read::off("series-closed", "", &sides);
    near(good.number(sides[1]), 12.6, 0.02);
}

#[test]
fn a_modules_output_that_is_off_reads_supply_through_the_load() {
    let read = Read::off("module-low-side", "", &["volts:A1.out,N1.g", "lamp:A1.out,N1.g"]);
    near(read.number("volts:A1.out,N1.g"), 12.6, 0.01);
    assert!(read.note("lamp:A1.out,N1.g").contains("can harm it"), "{}", read.note("lamp:A1.out,N1.g"));
}

#[test]
fn a_meter_behind_a_diode_reads_the_supply_less_one_drop_even_off_a_flat_battery() {
    let volts = ["volts:V1.K,N1.g"];
    let hot = "--set coolant=230F --do unplug:Y1 --do lift:W12@X3.s --fault coil-open:Y1";
    near(Read::off("diode-isolated", hot, &volts).number(volts[0]), 11.9, 0.01);
    let flat = format!("{hot} --fault flat:G1=6V");
    near(Read::off("diode-isolated", &flat, &volts).number(volts[0]), 5.3, 0.01);
}

// Test lamp.

#[test]
fn a_lamps_filament_is_cold_when_dark_hot_at_rated_volts_and_never_in_between_wrongly() {
    let lamp = TestLamp { rated_volts: 12.0, rated_watts: 1.2 };
    near(lamp.hot_ohms(), 120.0, 1e-9);
    near(lamp.ohms_at(12.0), 120.0, 1e-9);
    near(lamp.ohms_at(0.0), 10.0, 1e-9);
    // The re-rating rule: current goes with volts to the 0.55.
    near_relative(6.0 / lamp.ohms_at(6.0), 0.1 * 0.5f64.powf(0.55), 1e-12);
    let glows = [0.0, 1.7, 1.9, 8.3, 8.5, -12.0].map(|volts| lamp.glow(volts));
    assert_eq!(glows, [Glow::Dark, Glow::Dark, Glow::Dim, Glow::Dim, Glow::Bright, Glow::Bright]);
}

#[test]
fn a_lamps_volts_and_ohms_agree_with_each_other_in_the_circuit() {
    let circuit = tiny(
        &[("G1", "Battery(volts: 12.6)"), ("R1", "Resistor(ohms: 200)"), ("P1", "Lamp(ohms: 500)")],
        &["W1 G1.+ R1.1", "W2 R1.2 P1.1", "W3 P1.2 G1.-"],
    );
    let stand = Stand::new(&circuit);
    let lamp = TestLamp::for_circuit(&circuit);
    let bench = &stand.bench;
    let leads = leads_on(&circuit, bench.inputs(), &"P1.1".parse().unwrap(), &"P1.2".parse().unwrap()).unwrap();
    let (engine, memory) = (Some(&**bench.engine()), &bench.outcome().memory);
    let state = State { circuit: &circuit, engine, inputs: bench.inputs(), memory, fuses_hold: false };
    let loaded = state.lamp(leads, &lamp);
    near_relative(loaded.volts / loaded.amps, lamp.ohms_at(loaded.volts), 1e-9);
    let thevenin = (12.6 * 500.0 / 700.0, 200.0 * 500.0 / 700.0);
    near(loaded.volts, thevenin.0 - loaded.amps * thevenin.1, 0.01);
}

#[test]
fn a_lamp_dims_behind_a_joint_a_voltmeter_does_not_see() {
    let bad = "--do unplug:Y1 --fault resist:W6=80ohm";
    let read = Read::off("series-closed", bad, &["volts:Y1.1,N1.g", "lamp:Y1.1,N1.g"]);
    near(read.number("volts:Y1.1,N1.g"), 12.6, 0.001);
    assert_eq!(read.value("lamp:Y1.1,N1.g"), "dim");
}

#[test]
fn a_lamp_from_supply_lights_on_a_good_ground_and_on_none_stays_dark() {
    let lamp = ["lamp:G1.+,W7@Y1.2"];
    assert_eq!(Read::off("series-closed", "--do lift:W7@Y1.2", &lamp).value(lamp[0]), "bright");
    assert_eq!(Read::off("series-closed", "--do lift:W7@Y1.2 --fault open:W7", &lamp).value(lamp[0]), "dark");
}

#[test]
fn a_24_volt_circuit_is_probed_with_a_24_volt_lamp() {
    near(TestLamp::for_circuit(&shipped("coach-24v")).rated_volts, 24.0, 0.0);
    assert_eq!(Read::off("coach-24v", "", &["lamp:F1.1,N1.g"]).value("lamp:F1.1,N1.g"), "bright");
}

#[test]
fn a_lamp_across_an_open_contact_pulls_a_relay_in_and_leaves_the_bench_alone() {
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("S2", "HandSwitch(rest: Open)"),
        ("K1", "Relay(coil_ohms: 200, pulls_in: 7.2, drops_out: 2.5)"),
        ("Y1", "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)"),
    ];
    let wires = ["W1 G1.+ S2.1", "W2 S2.2 K1.86", "W3 K1.85 G1.-", "W4 G1.+ K1.30", "W5 K1.87 Y1.1", "W6 Y1.2 G1.-"];
    let stand = Stand::new(&tiny(&parts, &wires));
    let lamp = shown(&stand, "lamp:S2.1,S2.2");
    assert_eq!(lamp.value, Value::Lamp(Glow::Dim));
    assert!(lamp.notes.iter().any(|note| note.contains("K1 pulls in")), "{:?}", lamp.notes);
    assert!(lamp.notes.iter().any(|note| note.contains("hands away from the fan")), "{:?}", lamp.notes);
    assert!(!stand.energised("K1"), "a reading changes nothing");
    assert!(shown(&stand, "volts:S2.1,S2.2").notes.is_empty(), "10 Mohm pull nothing in");
}

#[test]
fn a_lamp_in_place_of_a_wire_holds_a_relay_in_that_was_in() {
    // 12.6 V over 90 ohm of coil and some 60 of filament leave it above its 2.5 V drop-out; it could not pull in.
    let mut stand = Stand::new(&tiny(
        &[
            ("G1", "Battery(volts: 12.6)"),
            ("X1", "Splice"),
            ("S2", "HandSwitch(rest: Closed)"),
            ("K1", "Relay(coil_ohms: 90, pulls_in: 9.0, drops_out: 2.5)"),
        ],
        &["W1 G1.+ X1.s", "W2 X1.s S2.1", "W3 S2.2 K1.86", "W4 K1.85 G1.-"],
    ));
    let across = "lamp:S2.1,S2.2";
    assert!(shown(&stand, across).meanwhile.unwrap().coils[&stand.id("K1")].energised);
    stand.will("turn:S2=on");
    assert!(!shown(&stand, across).meanwhile.unwrap().coils[&stand.id("K1")].energised);
}

// Ohms.

#[test]
fn an_ohmmeter_reads_the_coil_of_a_dead_circuit_and_overload_on_an_open() {
    let off = "--set key=off";
    let read = Read::off("series-closed", off, &["ohms:Y1.1,Y1.2", "ohms:S1.30,S1.15", "ohms:B1.1,B1.2"]);
    near(read.number("ohms:Y1.1,Y1.2"), 30.0, 0.01);
    assert_eq!(read.value("ohms:S1.30,S1.15"), &Json::Null);
    near(read.number("ohms:B1.1,B1.2"), 0.005, 1e-4);
    assert_eq!(
        Read::off("series-closed", &format!("{off} --fault coil-open:Y1"), &["ohms:Y1.1,Y1.2"]).value("ohms:Y1.1,Y1.2"),
        &Json::Null
    );
}

#[test]
fn an_ohmmeter_on_a_live_circuit_shows_what_its_source_and_the_circuits_give_together() {
    let wire = ["ohms:G1.+,F1.1", "ohms:F1.1,G1.+", "ohms:Y1.1,Y1.2"];
    let read = Read::off("series-closed", "", &wire);
    // 0.2 V behind 200 ohm against a wire's own drop: R = (0.2 r + 200 v) / (0.2 - v), v the drop, r the wire.
    let drop = Read::off("series-closed", "", &["volts:G1.+,F1.1"]).number("volts:G1.+,F1.1");
    near(read.number(wire[0]), 200.0 * drop / (0.2 - drop), 0.05);
    near(read.number(wire[1]), -200.0 * drop / (0.2 + drop), 0.05);
    assert_eq!(read.value(wire[2]), &Json::Null, "12 V are more than it can take");
    for reading in wire {
        assert!(read.note(reading).starts_with("The circuit is live"), "{}", read.note(reading));
    }
}

#[test]
fn a_coil_in_parallel_hides_a_broken_one_from_the_ohmmeter() {
    let mut stand = Stand::new(&side_by_side());
    stand.all("key=off; coil-open:K1");
    let beside = shown(&stand, "ohms:K1.86,K1.85");
    let Value::Ohms(Some(ohms)) = beside.value else { panic!("{:?}", beside.value) };
    near(ohms, 30.0, 0.1);
    assert!(beside.notes[0].contains("None of this is K1"), "{:?}", beside.notes);

    stand.will("lift:W4@K1.86");
    assert_eq!(shown(&stand, "ohms:K1.86,K1.85").value, Value::Ohms(None));
}

#[test]
fn two_good_coils_side_by_side_read_less_than_either() {
    let mut stand = Stand::new(&side_by_side());
    stand.will("key=off");
    let both = shown(&stand, "ohms:K1.86,K1.85");
    let Value::Ohms(Some(ohms)) = both.value else { panic!("{:?}", both.value) };
    near(ohms, 30.0 * 85.0 / 115.0, 0.05);
    assert!(both.notes[0].contains("26 % of the meter's current"), "{:?}", both.notes);
}

#[test]
fn one_strand_left_passes_an_ohmmeter_and_fails_under_load() {
    let strand = "--fault resist:W6=2ohm";
    let ohms = Read::off("series-closed", &format!("{strand} --set key=off"), &["ohms:B2.2,Y1.1"]);
    near(ohms.number("ohms:B2.2,Y1.1"), 2.0, 0.05);
    assert!(ohms.note("ohms:B2.2,Y1.1").contains("a single strand"));
    let drop = Read::off("series-closed", strand, &["volts:B2.2,Y1.1"]);
    assert!(drop.number("volts:B2.2,Y1.1") > 0.5, "far over the 0.2 V of a good wire");
}

#[test]
fn an_ohmmeter_opens_no_diode_and_a_suppressor_does_not_spoil_a_coil() {
    let read = Read::off("diode-isolated", "--set key=off", &["ohms:V1.A,V1.K", "ohms:V1.K,V1.A", "ohms:Y1.2,Y1.1"]);
    assert_eq!((read.value("ohms:V1.A,V1.K"), read.value("ohms:V1.K,V1.A")), (&Json::Null, &Json::Null));
    assert!(read.note("ohms:V1.A,V1.K").contains("open no diode"));
    near(read.number("ohms:Y1.2,Y1.1"), 30.0, 0.01);
    let relay = Read::off("relay-inverted", "--set key=off --do lift:W7@K1.86", &["ohms:K1.86,K1.85"]);
    near(relay.number("ohms:K1.86,K1.85"), 90.0 * 680.0 / 770.0, 0.1);
    assert_eq!(relay.note("ohms:K1.86,K1.85"), "");
}

#[test]
fn harness_isolation_reads_overload_or_the_damp() {
    let off = "--set key=off --do unplug:Y1 --do unplug:S1 --do unplug:B2 --do lift:W8@N1.g";
    let ohms = ["ohms:Y1.1,N1.g"];
    assert_eq!(Read::off("series-closed", off, &ohms).value(ohms[0]), &Json::Null);
    let damp = format!("{off} --fault ground:B2.2=20kohm");
    near(Read::off("series-closed", &damp, &ohms).number(ohms[0]), 20e3, 1.0);
}

// Amps.

#[test]
fn a_clamp_and_an_ammeter_agree_on_a_valves_current_and_the_clamp_wants_turns() {
    let read = Read::off("series-closed", "", &["clamp:W5", "amps:W5", "clamp:W8"]);
    near(read.number("clamp:W5"), 12.6 / 30.15, 0.002);
    near(read.number("amps:W5"), read.number("clamp:W5"), 0.001);
    near(read.number("clamp:W8"), -read.number("clamp:W5"), 1e-9);
    assert!(read.note("clamp:W5").contains("zero it first"));
    assert!(read.note("amps:W5").contains("While W5 is open for the meter the clutch is engaged"));
}

#[test]
fn opening_a_wire_for_an_ammeter_lets_a_sealed_in_relay_go_for_good() {
    let read = Read::off("seal-in", "--do press:S2", &["amps:W10", "clamp:W10", "fan"]);
    assert_eq!(read.number("amps:W10"), 0.0);
    near(read.number("clamp:W10"), 0.14, 0.005);
    assert!(read.note("amps:W10").contains("does not bring it back"), "{}", read.note("amps:W10"));
    assert_eq!(read.value("fan"), "engaged", "on a copy");
}

#[test]
fn an_ammeter_shows_a_short_and_beyond_its_fuse_zero() {
    let short = |ohms: &str| {
        let mut stand = Stand::new(&tiny(
            &[("G1", "Battery(volts: 12.6)"), ("R1", &format!("Resistor(ohms: {ohms})"))],
            &["W1 G1.+ R1.1", "W2 R1.2 G1.-"],
        ));
        stand.will("key=on");
        shown(&stand, "amps:W1")
    };
    let Value::Amps(amps) = short("1").value else { panic!("not amps") };
    near(amps, 12.6 / 1.1, 0.3);
    let blown = short("0.1");
    assert_eq!(blown.value, Value::Amps(0.0));
    assert!(blown.notes[0].contains("own 10 A fuse opens"), "{:?}", blown.notes);
}

#[test]
fn an_ammeter_in_a_wire_that_is_off_reads_nothing() {
    let read = Read::off("series-closed", "--do lift:W5@B1.2", &["amps:W5"]);
    assert_eq!(read.number("amps:W5"), 0.0);
    assert!(read.note("amps:W5").contains("W5 is off at W5@B1.2"));
}

// Gauges, fan, and the words of it all.

#[test]
fn gauges_and_the_fan_read_the_air_side() {
    let read = Read::off("parallel-open", "--set coolant=230F", &["gauge:supply", "gauge:clutch", "fan"]);
    near(read.number("gauge:supply"), 105.0, 1e-9);
    near(read.number("gauge:clutch"), 105.0, 1e-9);
    assert_eq!(read.value("fan"), "engaged");
    let blocked = Read::off("parallel-open", "", &["gauge:clutch", "fan"]);
    assert_eq!((blocked.number("gauge:clutch"), blocked.value("fan").as_str()), (0.0, Some("released")));
}

#[test]
fn readings_keep_the_order_they_were_asked_in_and_stand_for_themselves() {
    let read = Read::off("series-closed", "", &["lamp:B1.1,N1.g", "volts:B1.1,N1.g", "clamp:W5"]);
    let names: Vec<&String> = read.0["readings"].as_object().unwrap().keys().collect();
    assert_eq!(names, ["lamp:B1.1,N1.g", "volts:B1.1,N1.g", "clamp:W5"]);
    let alone = Read::off("series-closed", "", &["volts:B1.1,N1.g"]);
    assert_eq!(alone.number("volts:B1.1,N1.g"), read.number("volts:B1.1,N1.g"));
}

#[test]
fn a_verdict_without_readings_has_no_field_for_them() {
    let output = fanloom(&["verdict", "circuits/series-closed.ron", "--json"]);
    let answer: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert!(answer.get("readings").is_none() && answer.get("notes").is_none());
}

#[test]
fn the_text_shows_each_reading_with_its_unit_and_notes() {
    let args = ["verdict", "circuits/series-closed.ron", "--read", "volts:Y1.1,Y1.2", "--read", "ohms:Y1.1,Y1.2"];
    let text = String::from_utf8(fanloom(&args).stdout).unwrap();
    assert!(text.contains("\nReadings\n  volts:Y1.1,Y1.2  12.53 V\n  ohms:Y1.1,Y1.2   overload\n"), "{text}");
    assert!(text.contains("Ohms are for dead circuits"), "{text}");
}

#[test]
fn a_reading_that_cannot_be_is_refused_with_its_place_and_a_mend() {
    refused(&["watts:Y1.1,Y1.2"], &["`watts:Y1.1,Y1.2` is not a reading", "in `--read watts", "readings are"]);
    refused(&["volt:Y1.1,Y1.2"], &["did you mean `volts:`?"]);
    refused(&["volts:Y1.1"], &["where two leads are", "like `volts:Y1.1,Y1.2`"]);
    refused(&["volts:Y1.1,Y1.2,N1.g"], &["where two leads are"]);
    refused(&["volts:Y1.1,Y9.2"], &["there is no part `Y9`", "did you mean `Y1`?"]);
    refused(&["lamp:Y1.1,Y1.3"], &["`Y1` has no terminal `3`"]);
    refused(&["ohms:Y1.1,Y1.1"], &["both leads are on `Y1.1`", "two different points"]);
    refused(&["volts:W5@B1.2,N1.g"], &["`W5@B1.2` is on its terminal", "lift it first with `lift:W5@B1.2`"]);
    refused(&["amps:W44"], &["there is no wire `W44`"]);
    refused(&["clamp:B1.1"], &["does not name a wire", "like `clamp:W4`"]);
    refused(&["gauge:tank"], &["there is no gauge at `tank`", "gauge:supply"]);
    refused(&["fans"], &["did you mean `fan`?"]);
    refused(&["volts:Y1.1", "amps:W44"], &["where two leads are"]);
    refused(&["volts:Y1.1,Y9.2", "amps:W44"], &["no part `Y9`", "no wire `W44`"]);
}

#[test]
fn readings_and_feeds_through_ohms_are_written_as_they_are_read() {
    for words in ["volts:Y1.1,W4@B1.2", "lowz:A1.out,N1.g", "lamp:G1.+,X1.1a", "amps:W4", "gauge:clutch", "fan"] {
        assert_eq!(words.parse::<Reading>().unwrap().to_string(), words);
    }
    for words in ["feed:B1.2", "feed:B1.2=2Mohm", "feed:B1.2=0.5ohm", "ground:B1.2=1.5Mohm"] {
        assert_eq!(words.parse::<fanloom::bench::Fault>().unwrap().to_string(), words);
    }
    assert_eq!("feed:B1.2=470kohm".parse::<fanloom::bench::Fault>().unwrap().to_string(), "feed:B1.2=470000ohm");
    assert!("feed:B1.2=2kV".parse::<fanloom::bench::Fault>().is_err());
}

// Laws.

/// A made-up harness of resistors and batteries as a circuit, and the same in the tests' own solver, whose nodes are
/// the splices.
fn random_harness(random: &mut Random) -> (Arc<Circuit>, Net) {
    let nodes = 4 + random.below(5);
    let mut parts = vec![("G1".to_owned(), "Battery(volts: 12.6, internal_ohms: 0.01)".to_owned())];
    let mut wires = vec!["W1 X1.s G1.+".to_owned(), "W2 G1.- X0.s".to_owned()];
    let mut net = Net { nodes, reference: Some(0), ..Net::default() };
    net.arms.push(support::dense::Arm { from: 0, to: 1, ohms: 0.01, emf: 12.6 });
    parts.extend((0..nodes).map(|node| (format!("X{node}"), "Splice".to_owned())));
    for place in 0..2 * nodes {
        let (from, to) = if place + 1 < nodes {
            (random.below(place + 1), place + 1)
        } else {
            (random.below(nodes), random.below(nodes))
        };
        if from == to {
            continue;
        }
        let ohms = random.decades(0.0, 6.0);
        parts.push((format!("R{place}"), format!("Resistor(ohms: {ohms:?})")));
        wires.push(format!("W{}a X{from}.s R{place}.1", place + 3));
        wires.push(format!("W{}b R{place}.2 X{to}.s", place + 3));
        net.resist(from, to, ohms);
    }
    let parts: Vec<(&str, &str)> = parts.iter().map(|(tag, kind)| (tag.as_str(), kind.as_str())).collect();
    let wires: Vec<&str> = wires.iter().map(String::as_str).collect();
    let mut draft = tiny(&parts, &wires).draft();
    draft.wires.iter_mut().for_each(|wire| wire.length = Length::Metre(0.0));
    (Arc::new(Circuit::new(draft).unwrap()), net)
}

#[test]
fn a_meter_of_any_ohms_reads_vth_rm_over_rm_plus_rth_and_an_ohmmeter_reads_rth_of_the_dead_circuit() {
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let (circuit, net) = random_harness(&mut random);
        let (a, b) = (random.below(net.nodes), random.below(net.nodes));
        if a == b {
            continue;
        }
        let open = net.solve().unwrap().volts;
        let vth = open[a].unwrap() - open[b].unwrap();
        // One amp through the stilled network is as many volts as ohms.
        let mut still = net.clone();
        still.arms.iter_mut().for_each(|arm| arm.emf = 0.0);
        still.arms.push(support::dense::Arm { from: b, to: a, ohms: 1e9, emf: 1e9 });
        let found = still.solve().unwrap();
        let rth = (found.volts[a].unwrap() - found.volts[b].unwrap()) / found.amps.last().unwrap();

        let mut stand = Stand::new(&circuit);
        let state = |stand: &Stand, ohms: f64| {
            let bench = &stand.bench;
            let points = [a, b].map(|node| format!("X{node}.s").parse().unwrap());
            let leads = leads_on(bench.circuit(), bench.inputs(), &points[0], &points[1]).unwrap();
            let memory = &bench.outcome().memory;
            State { circuit: bench.circuit(), engine: None, inputs: bench.inputs(), memory, fuses_hold: false }
                .loaded(leads, ohms)
                .volts
        };
        for meter in [50.0, 3e3, 10e6] {
            near(state(&stand, meter), vth * meter / (meter + rth), 1e-7);
        }
        stand.will("flat:G1=0V");
        let Value::Ohms(Some(ohms)) = shown(&stand, &format!("ohms:X{a}.s,X{b}.s")).value else {
            panic!("seed {seed}: a joined network reads overload")
        };
        near_relative(ohms, rth, 1e-6);
    }
}
