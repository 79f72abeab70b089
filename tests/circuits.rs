//! Every shipped circuit: it reads without a word, writes back to itself, settles, and does what its file says.
//!
//! What it must do stands here beside its name, as a table of what is done and what the valve and the clutch then
//! do. The cases are those of the trade's wiring styles (common practice, no source), worked out by hand from each
//! drawing; set points are the files' own.

mod support;

use fanloom::circuit::format::{read, render, write};
use fanloom::circuit::shipped::SHIPPED;
use fanloom::physics::clutch::ClutchState;
use support::{Stand, near, shipped, shipped_names, text_of};

/// One circuit's file name and its table. A row is `what is done => what Y1 and the clutch then do`; every row
/// begins with the circuit as built, key on, engine stopped, all at 68 °F, 100 psi refrigerant, 105 psi air.
const EXPECTED: &[(&str, &[&str])] = &[
    (
        "coach-24v",
        &[
            " => energised, released",
            "coolant=95.9C => energised, released",
            "coolant=96C => dead, engaged",
            "coolant=99C; coolant=91C => dead, engaged",
            "coolant=99C; coolant=90C => energised, released",
            "intake=66C => dead, engaged",
            "intake=66C; intake=58C => dead, engaged",
            "intake=66C; intake=57C => energised, released",
            "oil=121C => dead, engaged",
            "oil=130C; oil=113C => energised, released",
            "turn:S2=on => dead, engaged",
            "turn:S2=on; turn:S2=off => energised, released",
            "key=off => dead, engaged",
            "blown:F1 => dead, engaged",
            "unplug:X1 => dead, engaged",
            "unplug:Y1 => dead, engaged",
            "turn:S2=on; air=0bar => dead, released",
            "turn:S2=on; air=4bar => dead, slipping",
            // The rear box beats whatever bridges the sensors behind it.
            "turn:S2=on; jump:B1.1=B3.2 => dead, engaged",
        ],
    ),
    (
        "dash-selector",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=210F; coolant=191F => energised, engaged",
            "coolant=210F; coolant=190F => dead, released",
            "refrigerant=300psi => energised, engaged",
            "turn:S3=ON => energised, engaged",
            "turn:S3=OFF => dead, released",
            // OFF with heat: nothing asks any more.
            "coolant=230F; turn:S3=OFF => dead, released",
            "refrigerant=350psi; turn:S3=OFF => dead, released",
            "coolant=230F; turn:S3=OFF; turn:S3=AUTO => energised, engaged",
            "turn:S3=ON; key=off => dead, released",
            "coolant=230F; key=off => dead, released",
            "coolant=230F; blown:F1 => dead, released",
            "coolant=230F; air=0psi => energised, released",
            "coolant=230F; air=60psi => energised, slipping",
            "unplug:Y1; coolant=230F => dead, released",
        ],
    ),
    (
        "diode-isolated",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=200F => energised, engaged",
            "coolant=230F; coolant=195F => dead, released",
            "refrigerant=300psi => energised, engaged",
            "refrigerant=320psi; refrigerant=241psi => energised, engaged",
            "refrigerant=320psi; refrigerant=240psi => dead, released",
            "coolant=230F; refrigerant=320psi => energised, engaged",
            "coolant=230F; key=off => dead, released",
            "coolant=230F; blown:F1 => dead, released",
            "coolant=230F; air=20psi => energised, released",
            "coolant=230F; reversed:V1 => dead, released",
            "refrigerant=320psi; reversed:V2 => dead, released",
        ],
    ),
    (
        "ground-side",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=200F => energised, engaged",
            "coolant=230F; coolant=194F => dead, released",
            "intake=165F => energised, engaged",
            "intake=170F; intake=150F => dead, released",
            "turn:S2=on => energised, engaged",
            "key=off; turn:S2=on => dead, released",
            "blown:F1; turn:S2=on => dead, released",
            "coolant=230F; air=0psi => energised, released",
            // The one style where this is right.
            "jump:B1.1=N1.g => energised, engaged",
            "ground:B2.1 => energised, engaged",
            // A sensor that has lost its ground never asks.
            "lift:W8@N2.g; coolant=230F => dead, released",
        ],
    ),
    (
        "module-high-side",
        &[
            // The engine stands still, and the module does not hold the fan off.
            " => dead, engaged",
            "engine=600 => energised, released",
            "engine=600; coolant=205F => dead, engaged",
            "engine=600; coolant=210F; coolant=199F => dead, engaged",
            "engine=600; coolant=210F; coolant=198F => energised, released",
            "engine=600; intake=189F => dead, engaged",
            "engine=600; intake=190F; intake=128F => dead, engaged",
            "engine=600; intake=190F; intake=127F => energised, released",
            "engine=600; turn:S2=on => dead, engaged",
            "engine=600; refrigerant=300psi => dead, engaged",
            "engine=600; refrigerant=300psi; refrigerant=250psi => dead, engaged",
            "engine=600; key=off => dead, engaged",
            "engine=600; blown:F1 => dead, engaged",
            "engine=600; unplug:A1 => dead, engaged",
            "engine=600; unplug:Y1 => dead, engaged",
            "engine=600; unplug:S2 => dead, engaged",
            "engine=600; module-dead:A1 => dead, engaged",
            // Bridging the refrigerant switch to try the fan does nothing.
            "engine=600; jump:B1.1=B1.2 => energised, released",
            "air=0psi => dead, released",
        ],
    ),
    (
        "module-low-side",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=199F => energised, engaged",
            "coolant=230F; coolant=198F => dead, released",
            "intake=189F => energised, engaged",
            "intake=189F; intake=127F => dead, released",
            "refrigerant=300psi => energised, engaged",
            "refrigerant=300psi; refrigerant=240psi => dead, released",
            "coolant=230F; key=off => dead, released",
            "coolant=230F; blown:F1 => dead, released",
            "coolant=230F; blown:F2 => dead, released",
            "coolant=230F; module-dead:A1 => dead, released",
            "coolant=230F; air=0psi => energised, released",
            // A pinched pin wire: fan on for good.
            "ground:A1.out => energised, engaged",
            "coolant=230F; lift:W7@A1.out => dead, released",
        ],
    ),
    (
        "parallel-open",
        &[
            " => dead, released",
            "coolant=204.9F => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=200F => energised, engaged",
            "coolant=230F; coolant=194F => dead, released",
            "refrigerant=300psi => energised, engaged",
            "refrigerant=300psi; refrigerant=241psi => energised, engaged",
            "refrigerant=300psi; refrigerant=239psi => dead, released",
            "turn:S2=on => energised, engaged",
            "turn:S2=on; key=off => dead, released",
            "coolant=230F; refrigerant=320psi; key=off => dead, released",
            "coolant=230F; blown:F1 => dead, released",
            "coolant=230F; air=0psi => energised, released",
            "coolant=230F; air=60psi => energised, slipping",
            "jump:B1.1=B1.2 => energised, engaged",
            "coil-open:Y1; coolant=230F => dead, released",
            "valve-stuck:Y1=blocking; coolant=230F => energised, released",
            "swapped:Y1 => dead, engaged",
        ],
    ),
    (
        "refrigerant-relay",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=196F => energised, engaged",
            "coolant=230F; coolant=195F => dead, released",
            "refrigerant=300psi => energised, engaged",
            "refrigerant=300psi; refrigerant=250psi => energised, engaged",
            "refrigerant=300psi; refrigerant=240psi => dead, released",
            // Cab cooling switched off.
            "refrigerant=300psi; turn:S2=on => dead, released",
            "coolant=230F; turn:S2=on => energised, engaged",
            // Two fuses: each request needs the fan's, the refrigerant's needs both.
            "coolant=230F; blown:F2 => energised, engaged",
            "refrigerant=300psi; blown:F2 => dead, released",
            "coolant=230F; blown:F1 => dead, released",
            "coolant=230F; key=off => dead, released",
            "refrigerant=300psi; air=0psi => energised, released",
            // Contacts changed over: the fan runs until the refrigerant asks for it.
            "swapped:K1 => energised, engaged",
        ],
    ),
    (
        "relay-inverted",
        &[
            " => dead, released",
            "coolant=205F => energised, engaged",
            "coolant=230F; coolant=200F => energised, engaged",
            "coolant=230F; coolant=195F => dead, released",
            "refrigerant=300psi => energised, engaged",
            // Sensor faults give the fan…
            "blown:F1 => energised, engaged",
            "open:W6 => energised, engaged",
            "unplug:B1 => energised, engaged",
            // …faults of the valve's side take it away.
            "coolant=230F; blown:F2 => dead, released",
            "coolant=230F; open:W10 => dead, released",
            "coolant=230F; lift:W11@N1.g => dead, released",
            "coolant=230F; key=off => dead, released",
            "coolant=230F; air=0psi => energised, released",
            "swapped:K1 => energised, engaged",
            "swapped:K1; coolant=230F => dead, released",
        ],
    ),
    (
        "seal-in",
        &[
            " => dead, released",
            "press:S2 => energised, engaged",
            "press:S2; press:S3 => dead, released",
            "press:S2; press:S2 => energised, engaged",
            "press:S3 => dead, released",
            "press:S2; key=off => dead, released",
            "press:S2; key=off; key=on => dead, released",
            "coolant=205F => energised, engaged",
            // V1 keeps the sensor from sealing the relay in.
            "coolant=230F; coolant=190F => dead, released",
            "coolant=230F; press:S2; coolant=190F => energised, engaged",
            // V1 bridged: one hot spell leaves the fan on until it is let go.
            "jump:V1.A=V1.K; coolant=230F; coolant=190F => energised, engaged",
            "jump:V1.A=V1.K; coolant=230F; coolant=190F; press:S3 => dead, released",
            "press:S2; blown:F1 => dead, released",
            "press:S2; air=0psi => energised, released",
        ],
    ),
    (
        "series-closed",
        &[
            " => energised, released",
            "coolant=209F => energised, released",
            "coolant=210F => dead, engaged",
            "coolant=230F; coolant=200F => dead, engaged",
            "coolant=230F; coolant=195F => energised, released",
            "refrigerant=275psi => dead, engaged",
            "refrigerant=275psi; refrigerant=220psi => dead, engaged",
            "refrigerant=275psi; refrigerant=209psi => energised, released",
            "turn:S2=on => dead, engaged",
            "key=off => dead, engaged",
            "blown:F1 => dead, engaged",
            "unplug:Y1 => dead, engaged",
            "unplug:B1 => dead, engaged",
            "coil-open:Y1 => dead, engaged",
            "coolant=230F; air=0psi => dead, released",
            "coolant=230F; air=60psi => dead, slipping",
            "coolant=230F; jump:B1.1=B1.2 => energised, released",
            // The drawing turned upside down by the wrong valve.
            "swapped:Y1 => energised, engaged",
        ],
    ),
    (
        "spring-applied",
        &[
            " => energised, released",
            "coolant=205F => dead, engaged",
            "coolant=230F; coolant=200F => dead, engaged",
            "coolant=230F; coolant=195F => energised, released",
            "refrigerant=300psi => dead, engaged",
            "key=off => dead, engaged",
            "blown:F1 => dead, engaged",
            "unplug:Y1 => dead, engaged",
            // Air leaked down overnight: the spring drives the fan, and nothing is wrong.
            "air=0psi => energised, engaged",
            "air=60psi => energised, slipping",
            "air=90psi => energised, released",
        ],
    ),
];

#[test]
fn every_shipped_circuit_has_its_table_here_and_every_table_its_circuit() {
    let expected: Vec<&str> = EXPECTED.iter().map(|(name, _)| *name).collect();

    assert_eq!(shipped_names(), expected);
}

#[test]
fn the_circuits_inside_the_program_are_those_of_the_folder() {
    let mut inside: Vec<&str> = SHIPPED.iter().map(|(name, _)| *name).collect();
    inside.sort_unstable();
    assert_eq!(inside, shipped_names());
    for (name, text) in SHIPPED {
        assert_eq!(text, text_of(&format!("circuits/{name}.ron")), "{name}");
    }
}

#[test]
fn every_shipped_circuit_reads_without_a_word() {
    for name in shipped_names() {
        let text = text_of(&format!("circuits/{name}.ron"));
        let reading = read(&text);

        assert_eq!(render(&text, &name, &reading.findings, false), "", "{name}");
        assert!(reading.circuit.is_some(), "{name}");
    }
}

#[test]
fn writing_and_reading_a_shipped_circuit_is_the_identity() {
    for name in shipped_names() {
        let circuit = shipped(&name);
        let again = support::circuit(&write(&circuit));

        assert!(*circuit == *again, "{name} is not the same after writing and reading");
        assert_eq!(write(&circuit), write(&again), "{name} is written in two ways");
    }
}

#[test]
fn every_shipped_circuit_settles_as_built_hot_cold_and_with_the_key_off() {
    for name in shipped_names() {
        for change in ["key=on", "coolant=230F", "refrigerant=320psi", "intake=200F", "engine=1800", "key=off"] {
            let mut stand = Stand::shipped(&name);
            stand.will(change);

            assert!(stand.bench.outcome().settled(), "{name} after {change}: {:?}", stand.bench.outcome().settling);
            assert!(!stand.any_fuse_open(), "{name} after {change} opens a fuse");
        }
    }
}

/// What Y1 and the clutch do after a row's left side, in a row's words.
fn found(name: &str, steps: &str) -> String {
    let mut stand = Stand::shipped(name);
    stand.all(steps);
    let valve = if stand.energised("Y1") { "energised" } else { "dead" };
    let clutch = match stand.clutch() {
        ClutchState::Engaged => "engaged",
        ClutchState::Released => "released",
        ClutchState::Slipping => "slipping",
    };
    let settled = if stand.bench.outcome().settled() { "" } else { ", never at rest" };
    format!("{valve}, {clutch}{settled}")
}

#[test]
fn every_shipped_circuit_does_what_its_table_says() {
    let mut wrong = Vec::new();
    for (name, rows) in EXPECTED {
        for row in *rows {
            let (steps, wanted) = row.split_once("=> ").unwrap_or_else(|| panic!("{name}: no arrow in `{row}`"));
            let got = found(name, steps);
            if got != wanted {
                wrong.push(format!("{name}: {row}, but it is {got}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_lamp_is_dark_on_a_coolant_request_and_lit_on_a_refrigerant_request() {
    let mut stand = Stand::shipped("diode-isolated");

    stand.will("coolant=230F");
    near(stand.through("P1"), 0.0, 1e-9);
    assert!(stand.energised("Y1"));

    stand.all("coolant=68F; refrigerant=320psi");
    near(stand.between("P1.1", "P1.2"), 12.5, 0.1);
    assert!(stand.energised("Y1"));
}

#[test]
fn without_the_diode_the_lamp_is_lit_on_a_coolant_request_too() {
    let mut stand = Stand::shipped("diode-isolated");

    stand.all("jump:V2.A=V2.K; coolant=230F");

    // Through V1 first, so it is one diode short of the battery.
    near(stand.between("P1.1", "P1.2"), 11.8, 0.15);
}

#[test]
fn grounding_a_sensor_wire_on_the_ground_side_opens_no_fuse() {
    let mut stand = Stand::shipped("ground-side");

    stand.will("jump:B1.1=N1.g");

    assert!(stand.energised("Y1"));
    assert!(!stand.any_fuse_open());
}

#[test]
fn grounding_the_feed_of_a_supply_side_sensor_opens_the_leads_fuse_and_bare_the_circuits() {
    let mut fused = Stand::shipped("parallel-open");
    fused.will("jump:B1.1=N1.g");
    assert!(fused.any_fuse_open() && !fused.blown("F1"), "the 5 A lead opens before the 10 A fuse");

    let mut bare = Stand::shipped("parallel-open");
    bare.will("jump:B1.1=N1.g/none");
    assert!(bare.blown("F1"));
    assert_eq!(bare.clutch(), ClutchState::Released);

    let mut chafed = Stand::shipped("parallel-open");
    chafed.will("ground:B1.1");
    assert!(chafed.blown("F1"));
}

#[test]
fn grounding_the_dead_side_of_an_open_sensor_opens_nothing_until_it_closes() {
    let mut stand = Stand::shipped("parallel-open");

    stand.will("ground:B1.2");
    assert!(!stand.any_fuse_open());

    stand.will("coolant=230F");
    assert!(stand.blown("F1"));
    assert_eq!(stand.clutch(), ClutchState::Released);
}

#[test]
fn a_sinking_driver_shows_supply_at_its_pin_when_off_and_next_to_nothing_when_on() {
    let mut stand = Stand::shipped("module-low-side");
    near(stand.volts("A1.out"), 12.6, 0.05);

    stand.will("coolant=230F");
    // 0.42 A through 0.15 ohm and a short ground.
    near(stand.volts("A1.out"), 0.08, 0.02);
}

#[test]
fn the_seal_in_relay_holds_after_the_press_and_lets_go_on_release() {
    let mut stand = Stand::shipped("seal-in");
    assert!(!stand.energised("K1"));

    stand.will("press:S2");
    assert!(stand.energised("K1"), "held through its own contact");
    assert_eq!(stand.bench.acts().count(), 0, "nothing is left pressed");

    stand.will("press:S3");
    assert!(!stand.energised("K1"));
}

#[test]
fn healthy_voltages_are_those_worked_out_by_hand() {
    // 12.6 V behind 0.010 (battery) + 0.0075 (fuse) + 4 x 0.005 (contacts) + 0.0101 (4 ft of AWG 14) + 0.1165 (29 ft
    // of AWG 16) + 0.0007 ohm (3 ft of AWG 4): 0.165 ohm beside a coil of 30.
    let series = Stand::shipped("series-closed");
    near(series.between("Y1.1", "Y1.2"), 12.6 * 30.0 / 30.165, 0.002);
    near(series.amps("W7"), 12.6 / 30.165, 0.0001);

    // Through one silicon diode the coil has about 0.7 V less.
    let mut diodes = Stand::shipped("diode-isolated");
    diodes.will("coolant=230F");
    near(diodes.between("Y1.1", "Y1.2"), 11.85, 0.1);

    // 25.2 V over 110 ohm and 25 m of thin copper.
    let coach = Stand::shipped("coach-24v");
    near(coach.between("Y1.1", "Y1.2"), 25.1, 0.1);
    near(coach.amps("W9"), 0.228, 0.002);
}

#[test]
fn the_whole_supply_stands_across_an_open_sensor() {
    let mut stand = Stand::shipped("series-closed");

    stand.will("coolant=230F");

    near(stand.between("B1.1", "B1.2"), 12.6, 1e-6);
    near(stand.volts("B1.2"), 0.0, 1e-9);
}
