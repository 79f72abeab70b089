//! Claims about the drawing: what it keeps clear of, what can be hit, and that it never changes by itself.
//!
//! Checked on sample circuits of every control style and on seeded random ones. Set `FANLOOM_DRAWINGS` to a folder
//! and run `-- --ignored` to have the samples written there as SVG for looking at.

use std::collections::BTreeMap;

use fanloom::circuit::{Circuit, Contact, Draft, End, Kind, Part, PartId, TerminalId, WireEnd, WireId, quantity};
use fanloom::drawing::{
    Flow, Form, Ink, Layout, Lead, LeadFuse, LeadPoint, PartState, Picture, Point, Show, Subject, Symbols,
    TerminalState, Theme, WireState, draw, svg, text_width,
};

/// Parts as `TAG kind`, wires as `from to`, one a line; wires are numbered in the order written.
fn circuit(title: &str, parts: &str, wires: &str) -> Circuit {
    const COLOURS: [&str; 8] = ["RD", "RDWH", "BK", "BU", "YE", "GNYE", "BN", "WH"];
    let parts = parts.split(';').map(str::trim).filter(|p| !p.is_empty()).map(|line| {
        let (tag, kind) = line.split_once(' ').expect("a tag and a kind");
        Part { tag: tag.into(), kind: kind_of(kind.trim()) }
    });
    let wires = wires.split(';').map(str::trim).filter(|w| !w.is_empty()).enumerate().map(|(i, line)| {
        let (from, to) = line.split_once(' ').expect("two ends");
        fanloom::circuit::DraftWire {
            tag: format!("W{}", i + 1),
            from: from.trim().into(),
            to: to.trim().into(),
            gauge: quantity::Gauge::Awg(16),
            length: quantity::Length::Metre(1.0),
            colour: Some(COLOURS[i % COLOURS.len()].into()),
        }
    });
    let draft = Draft { title: title.into(), parts: parts.collect(), wires: wires.collect(), ..Draft::default() };
    Circuit::new(draft).expect("the samples name only terminals they have")
}

fn kind_of(words: &str) -> Kind {
    let coolant = |rest: &str, f: f64, low: f64| {
        format!(
            r#"{{"TemperatureSwitch":{{"rest":"{rest}","senses":"Coolant","acts_at":{{"Fahrenheit":{f}}},"resets_at":{{"Fahrenheit":{low}}}}}}}"#
        )
    };
    let pressure = |rest: &str| {
        format!(
            r#"{{"PressureSwitch":{{"rest":"{rest}","senses":"Refrigerant","acts_at":{{"Psi":275}},"resets_at":{{"Psi":210}}}}}}"#
        )
    };
    let json = match words {
        "battery" => r#"{"Battery":{"volts":12.6}}"#.to_string(),
        "battery24" => r#"{"Battery":{"volts":25.2}}"#.into(),
        "fuse" => r#"{"Fuse":{"amps":10}}"#.into(),
        "key" => r#"{"KeySwitch":{}}"#.into(),
        "hand-open" => r#"{"HandSwitch":{"rest":"Open"}}"#.into(),
        "hand-closed" => r#"{"HandSwitch":{"rest":"Closed"}}"#.into(),
        "push-open" => r#"{"HandSwitch":{"rest":"Open","momentary":true}}"#.into(),
        "push-closed" => r#"{"HandSwitch":{"rest":"Closed","momentary":true}}"#.into(),
        "selector" => r#"{"SelectorSwitch":{"positions":["ON","AUTO","OFF"],"rest":"AUTO"}}"#.into(),
        "temp-open" => coolant("Open", 205.0, 195.0),
        "temp-closed" => coolant("Closed", 210.0, 195.0),
        "press-open" => pressure("Open"),
        "press-closed" => pressure("Closed"),
        "relay" => r#"{"Relay":{"coil_ohms":90,"pulls_in":7.2,"drops_out":2.5}}"#.into(),
        "relay-diode" => {
            r#"{"Relay":{"coil_ohms":90,"pulls_in":7.2,"drops_out":2.5,"suppressor":{"Diode":{"cathode":"86"}}}}"#
                .into()
        }
        "valve-blocking" => r#"{"AirValve":{"coil_ohms":30,"pulls_in":8,"drops_out":2.5,"rest":"Blocking"}}"#.into(),
        "valve-passing" => r#"{"AirValve":{"coil_ohms":30,"pulls_in":8,"drops_out":2.5,"rest":"Passing"}}"#.into(),
        "valve-diode" => {
            r#"{"AirValve":{"coil_ohms":30,"pulls_in":8,"drops_out":2.5,"rest":"Blocking","suppressor":{"Diode":{"cathode":"1"}}}}"#
                .into()
        }
        "diode" => r#"{"Diode":{}}"#.into(),
        "resistor" => r#"{"Resistor":{"ohms":680}}"#.into(),
        "lamp" => r#"{"Lamp":{"ohms":120}}"#.into(),
        "module-low" => r#"{"Module":{"side":"Low","on_when":"Always"}}"#.into(),
        "module-high" => r#"{"Module":{"side":"High","on_when":"Always"}}"#.into(),
        "timer" => r#"{"Timer":{"hold_seconds":90}}"#.into(),
        "connector2" => r#"{"Connector":{"pins":2}}"#.into(),
        "connector4" => r#"{"Connector":{"pins":4}}"#.into(),
        "splice" => r#"{"Splice":{}}"#.into(),
        "ground" => r#"{"Ground":{}}"#.into(),
        other => panic!("no sample kind `{other}`"),
    };
    serde_json::from_str(&json).expect("the sample kinds are written as the file format has them")
}

/// The sample circuits by short name.
fn samples() -> Vec<(&'static str, Circuit)> {
    let list = [
        (
            "01-parallel-override",
            "G1 battery; F1 fuse; S1 key; B1 temp-open; B2 press-open; S2 hand-open; P1 lamp; Y1 valve-diode; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 B1.1; S1.15 B2.1; S1.15 S2.1; B1.2 Y1.1; B2.2 Y1.1; S2.2 Y1.1; \
             P1.1 Y1.1; P1.2 N1.g; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "02-series-override",
            "G1 battery; F1 fuse; S1 key; S2 hand-closed; B1 temp-closed; B2 press-closed; Y1 valve-passing; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 S2.1; S2.2 B1.1; B1.2 B2.1; B2.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "03-refrigerant-relay",
            "G1 battery; S1 key; F1 fuse; F2 fuse; B1 temp-open; S2 hand-open; B2 press-open; K1 relay; \
             Y1 valve-blocking; N1 ground",
            "G1.+ S1.30; S1.15 F1.1; S1.15 F2.1; F1.2 B1.1; F1.2 K1.30; B1.2 Y1.1; K1.87 Y1.1; F2.2 S2.1; S2.2 B2.1; \
             B2.2 K1.86; K1.85 N1.g; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "04-relay-inverted",
            "G1 battery; S1 key; F1 fuse; F2 fuse; B1 temp-closed; B2 press-closed; K1 relay-diode; Y1 valve-blocking; \
             N1 ground",
            "G1.+ S1.30; S1.15 F1.1; S1.15 F2.1; F1.2 B1.1; B1.2 B2.1; B2.2 K1.86; K1.85 N1.g; F2.2 K1.30; \
             K1.87a Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "05-module-low",
            "G1 battery; S1 key; F1 fuse; F2 fuse; A1 module-low; Y1 valve-blocking; N1 ground",
            "G1.+ S1.30; S1.15 F1.1; F1.2 Y1.1; Y1.2 A1.out; G1.+ F2.1; F2.2 A1.supply; A1.ground G1.-; G1.- N1.g",
        ),
        (
            "06-module-high-series",
            "G1 battery; F1 fuse; A1 module-high; S2 hand-closed; B2 press-closed; Y1 valve-passing; N1 ground",
            "G1.+ F1.1; F1.2 A1.supply; A1.ground G1.-; A1.out S2.1; S2.2 B2.1; B2.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "07-coach-24-volt",
            "G1 battery24; F1 fuse; S1 key; S2 hand-closed; B1 temp-closed; B2 temp-closed; B3 temp-closed; \
             Y1 valve-passing; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 S2.1; S2.2 B1.1; B1.2 B2.1; B2.2 B3.1; B3.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "08-spring-applied",
            "G1 battery; F1 fuse; S1 key; B1 temp-closed; B2 press-closed; Y1 valve-blocking; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 B1.1; B1.2 B2.1; B2.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "09-ground-side",
            "G1 battery; F1 fuse; S1 key; Y1 valve-blocking; B1 temp-open; B2 temp-open; S2 hand-open; N1 ground; \
             N2 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 Y1.1; Y1.2 B1.1; Y1.2 B2.1; Y1.2 S2.1; B1.2 N1.g; B2.2 N1.g; S2.2 N2.g; \
             G1.- N2.g",
        ),
        (
            "10-diode-isolated",
            "G1 battery; F1 fuse; S1 key; B1 temp-open; B2 press-open; P1 lamp; V1 diode; V2 diode; V3 diode; \
             Y1 valve-blocking; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 B1.1; S1.15 B2.1; B1.2 V1.A; B2.2 V2.A; B2.2 P1.1; P1.2 N1.g; V1.K Y1.1; \
             V2.K Y1.1; V3.K Y1.1; V3.A Y1.2; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "11-seal-in",
            "G1 battery; F1 fuse; S1 key; S3 push-open; S4 push-closed; B1 temp-open; K1 relay; V1 diode; \
             Y1 valve-blocking; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 S4.1; S4.2 S3.1; S4.2 K1.30; S3.2 K1.86; K1.87 K1.86; K1.85 N1.g; \
             K1.86 V1.A; V1.K Y1.1; S1.15 B1.1; B1.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "12-selector",
            "G1 battery; F1 fuse; S1 key; S3 selector; B1 temp-open; B2 press-open; B3 temp-open; Y1 valve-blocking; \
             N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 S3.c; S3.1 Y1.1; S3.2 B1.1; S3.2 B2.1; S3.2 B3.1; B1.2 Y1.1; B2.2 Y1.1; \
             B3.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "13-timer",
            "G1 battery; F1 fuse; S1 key; B1 temp-open; B2 press-open; K1 timer; Y1 valve-blocking; N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 B1.1; S1.15 B2.1; S1.15 K1.15; B2.2 K1.in; K1.31 N1.g; K1.87 Y1.1; \
             B1.2 Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "14-three-state-coach",
            "G1 battery24; F1 fuse; S1 key; B1 temp-closed; B2 temp-closed; Y1 valve-passing; Y2 valve-blocking; \
             N1 ground",
            "G1.+ F1.1; F1.2 S1.30; S1.15 B1.1; B1.2 Y1.1; B1.2 B2.1; B2.2 Y2.1; Y1.2 N1.g; Y2.2 N1.g; G1.- N1.g",
        ),
        (
            "15-connector-splice",
            "G1 battery; F1 fuse; S1 key; X2 splice; B1 temp-open; B2 press-open; X3 splice; X1 connector2; \
             Y1 valve-blocking; N1 ground; R1 resistor; P2 lamp",
            "G1.+ F1.1; F1.2 S1.30; S1.15 X2.s; X2.s B1.1; X2.s B2.1; B1.2 X3.s; B2.2 X3.s; X3.s X1.1a; X1.1b Y1.1; \
             Y1.2 X1.2b; X1.2a N1.g; G1.- N1.g",
        ),
        (
            "16-module-relay-24",
            "G1 battery24; F1 fuse; F2 fuse; A1 module-high; K1 relay; Y1 valve-passing; N1 ground",
            "G1.+ F1.1; F1.2 A1.supply; A1.ground G1.-; A1.out K1.86; K1.85 N1.g; G1.+ F2.1; F2.2 K1.30; K1.87 Y1.1; \
             Y1.2 N1.g; G1.- N1.g",
        ),
        (
            "17-relay-drops-valve",
            "G1 battery; S1 key; F1 fuse; B1 temp-open; B2 press-open; K1 relay; Y1 valve-passing; N1 ground",
            "G1.+ S1.30; S1.15 F1.1; F1.2 B1.1; F1.2 B2.1; B1.2 K1.86; B2.2 K1.86; K1.85 N1.g; F1.2 K1.30; \
             K1.87a Y1.1; Y1.2 N1.g; G1.- N1.g",
        ),
    ];
    list.into_iter().map(|(name, parts, wires)| (name, circuit(name, parts, wires))).collect()
}

#[test]
#[ignore = "writes files for looking at"]
fn write_samples() {
    let Ok(folder) = std::env::var("FANLOOM_DRAWINGS") else { return };
    for (name, circuit) in samples() {
        let layout = Layout::of(&circuit);
        let picture = draw(&layout, &circuit, &Show::as_built(&circuit));
        std::fs::write(format!("{folder}/{name}.svg"), svg(&picture, Theme::Light)).expect("the folder is writable");
    }
}
