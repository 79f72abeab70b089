//! Claims about the drawing: what it keeps clear of, what can be hit, and that it never changes by itself.
//!
//! Checked on sample circuits of every control style and on seeded random ones. Set `FANLOOM_DRAWINGS` to a folder
//! and run `-- --ignored` to have the samples written there as SVG for looking at.

#[path = "drawing/designations.rs"]
mod designations;
#[path = "drawing/hand.rs"]
mod hand;
#[path = "drawing/instruments.rs"]
mod instruments;
#[path = "drawing/lettering.rs"]
mod lettering;
#[path = "drawing/shipped.rs"]
mod shipped;
mod support;

use std::collections::BTreeMap;

use fanloom::circuit::{Circuit, Contact, Draft, End, Kind, Part, PartId, TerminalId, WireEnd, WireId, quantity};
use fanloom::drawing::{
    FaultMark, Flow, Form, Ink, Layout, Lead, LeadFuse, LeadPoint, PartState, Picture, Point, Show, Symbols,
    TerminalState, Theme, WireState, draw, svg, text_width,
};
use fanloom::study::answer::Subject;

use shipped::{shipped, states};
use support::Stand;

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
        (
            "18-whole-coach",
            "G1 battery24; F1 fuse; F2 fuse; F3 fuse; F4 fuse; S1 key; S2 hand-closed; B1 temp-closed; B2 temp-closed; \
             B3 press-open; K1 relay-diode; K2 relay; K3 timer; A1 module-low; A2 module-high; Y1 valve-diode; \
             Y2 valve-passing; Y3 valve-blocking; V1 diode; V2 diode; P1 lamp; P2 lamp; S3 selector; S4 push-open; \
             X1 connector4; X2 splice; R1 resistor; B4 temp-open; B5 press-open; N1 ground; N2 ground; N3 ground",
            "G1.+ F1.1; G1.+ F2.1; F1.2 S1.30; S1.15 F3.1; S1.15 F4.1; F3.2 S2.1; S2.2 B1.1; B1.2 B2.1; B2.2 K1.86; \
             K1.85 N1.g; F4.2 K1.30; K1.87a X1.1a; X1.1b Y1.1; Y1.2 X1.2b; X1.2a N1.g; K1.87 P1.1; P1.2 N1.g; \
             F2.2 A1.supply; A1.ground N2.g; F4.2 Y2.1; Y2.2 A1.out; B3.2 A1.in; F3.2 B3.1; F4.2 S3.c; S3.1 V1.A; \
             S3.2 B4.1; B4.2 V2.A; V1.K X2.s; V2.K X2.s; X2.s X1.3a; X1.3b Y3.1; Y3.2 N3.g; F4.2 B5.1; B5.2 K3.in; \
             F4.2 K3.15; K3.31 N2.g; K3.87 X2.s; F2.2 A2.supply; A2.ground N2.g; A2.out K2.86; K2.85 N2.g; F4.2 K2.30; \
             K2.87 R1.1; R1.2 P2.1; P2.2 N3.g; F4.2 S4.1; S4.2 A2.in; G1.- N1.g",
        ),
    ];
    list.into_iter().map(|(name, parts, wires)| (name, circuit(name, parts, wires))).collect()
}

/// A show with every state somewhere: all that can act has acted, and something is changed.
fn live(circuit: &Circuit) -> Show {
    let mut show = Show::as_built(circuit);
    for (id, part) in circuit.parts_with_ids() {
        let i = id.index();
        show.parts[i] = match PartState::at_rest(&part.kind) {
            PartState::Contact(Contact::Open) => PartState::Contact(Contact::Closed),
            PartState::Contact(Contact::Closed) if part.tag != "B1" => PartState::Contact(Contact::Closed),
            PartState::Contact(Contact::Closed) => PartState::Contact(Contact::Open),
            PartState::Relay { .. } => PartState::Relay { energised: true, over: true },
            PartState::Selector { .. } => PartState::Selector { position: 0 },
            PartState::Valve { passing, .. } => PartState::Valve { energised: true, passing: !passing },
            PartState::Fuse { .. } => PartState::Fuse { blown: part.tag == "F2" },
            PartState::Module { .. } => PartState::Module { on: true },
            PartState::Lamp { .. } => PartState::Lamp { lit: true },
            PartState::Diode { .. } => PartState::Diode { conducting: true },
            PartState::Plain => PartState::Plain,
        };
    }
    let states = [TerminalState::Fed, TerminalState::Grounded, TerminalState::Between, TerminalState::Floating];
    for i in 0..show.terminals.len() {
        show.terminals[i] = states[i % 4];
        show.readings[i] = (i % 5 == 0).then(|| format!("12.{i} V").into());
    }
    let flows = [Flow::Carrying, Flow::Carrying, Flow::Fed, Flow::Grounded, Flow::Floating];
    for i in 0..show.wires.len() {
        show.wires[i] = WireState { flow: flows[i % 5], amps: if i % 3 == 0 { 0.4 } else { -0.4 } };
    }
    if let Some(sensor) = circuit.part_named("B2") {
        let [from, to] = [0, 1].map(|place| LeadPoint::Terminal(circuit.terminal_at(sensor, place)));
        show.leads.push(Lead { number: 1, from, to, fuse: LeadFuse::Whole, text: "5 A".into(), amps: 0.4 });
    }
    let lifted = WireEnd { wire: WireId(3), end: End::From };
    show.lifted.insert(lifted);
    let to = LeadPoint::Terminal(TerminalId(0));
    let from = LeadPoint::LooseEnd(lifted);
    show.leads.push(Lead { number: 2, from, to, fuse: LeadFuse::Open, text: "5 A".into(), amps: 0.0 });
    if let Some(lamp) = circuit.part_named("P1") {
        show.unplugged.insert(lamp);
    }
    show.highlighted.insert(Subject::Part(PartId(1)));
    show.highlighted.insert(Subject::Wire(WireId(1)));
    show.faults.push(FaultMark { subject: Subject::Wire(WireId(2)), text: "5 Ω".into() });
    show
}

#[test]
#[ignore = "writes files for looking at"]
fn write_samples() {
    let Ok(folder) = std::env::var("FANLOOM_DRAWINGS") else { return };
    let write = |name: &str, picture: &Picture, theme| {
        std::fs::write(format!("{folder}/{name}.svg"), svg(picture, theme)).expect("the folder is writable");
    };
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        println!("{name} {:?} {:.2}", layout.size(), layout.size().0 / layout.size().1);
        for (state, show) in states(&circuit) {
            write(&format!("{name}-{state}"), &draw(&layout, &circuit, &show), Theme::Light);
            if state == "hot" {
                write(&format!("{name}-grey"), &draw(&layout, &circuit, &show), Theme::Grey);
                let ieee = Show { symbols: Symbols::Ieee315, ..show };
                write(&format!("{name}-ieee"), &draw(&layout, &circuit, &ieee), Theme::Light);
            }
        }
        write(name, &draw(&layout, &circuit, &Show::as_built(&circuit)), Theme::Light);
    }
    for (name, circuit) in samples() {
        let layout = Layout::of(&circuit);
        let picture = draw(&layout, &circuit, &Show::as_built(&circuit));
        let acted = draw(&layout, &circuit, &live(&circuit));
        let ieee = draw(&layout, &circuit, &Show { symbols: Symbols::Ieee315, ..live(&circuit) });
        std::fs::write(format!("{folder}/{name}-ieee.svg"), svg(&ieee, Theme::Light)).expect("the folder is writable");
        std::fs::write(format!("{folder}/{name}-live.svg"), svg(&acted, Theme::Light)).expect("the folder is writable");
        std::fs::write(format!("{folder}/{name}-grey.svg"), svg(&acted, Theme::Grey)).expect("the folder is writable");
        std::fs::write(format!("{folder}/{name}.svg"), svg(&picture, Theme::Light)).expect("the folder is writable");
    }
}

/// Left, top, right, bottom.
type Rect = (f32, f32, f32, f32);

/// Straight pieces of a wire.
fn pieces(layout: &Layout, id: WireId) -> Vec<(Point, Point)> {
    layout.wire(id).windows(2).map(|s| (s[0], s[1])).filter(|(a, b)| a != b).collect()
}

fn share_a_terminal(circuit: &Circuit, a: WireId, b: WireId) -> bool {
    let (a, b) = (circuit.wire(a), circuit.wire(b));
    [a.from, a.to].iter().any(|t| *t == b.from || *t == b.to)
}

/// How long two axis-parallel pieces lie on each other.
fn overlap((a, b): (Point, Point), (c, d): (Point, Point)) -> f32 {
    let along = |p: f32, q: f32, r: f32, s: f32| p.max(q).min(r.max(s)) - p.min(q).max(r.min(s));
    if a.x == b.x && c.x == d.x && a.x == c.x {
        along(a.y, b.y, c.y, d.y)
    } else if a.y == b.y && c.y == d.y && a.y == c.y {
        along(a.x, b.x, c.x, d.x)
    } else {
        0.0
    }
}

/// Everything a drawing of any circuit must keep.
fn check(name: &str, circuit: &Circuit) {
    let layout = Layout::of(circuit);
    assert_eq!(layout, Layout::of(circuit), "{name}: placed twice, placed differently");
    check_wires(name, circuit, &layout);
    check_terminals(name, circuit, &layout);
    let picture = draw(&layout, circuit, &Show::as_built(circuit));
    check_targets(name, circuit, &picture);
    for shape in &picture.shapes {
        if let Form::Line { points, .. } = &shape.form {
            let inside = |p: &Point| p.x >= 0.0 && p.y >= 0.0 && p.x <= picture.width && p.y <= picture.height;
            assert!(points.iter().all(inside), "{name}: {shape:?} leaves the page");
        }
    }
}

fn check_wires(name: &str, circuit: &Circuit, layout: &Layout) {
    let bodies: Vec<(PartId, (f32, f32, f32, f32))> =
        circuit.parts_with_ids().flat_map(|(id, _)| layout.bodies(id).map(move |body| (id, body))).collect();
    for (id, wire) in circuit.wires_with_ids() {
        let tag = &wire.tag;
        assert_eq!(layout.wire(id).first(), Some(&layout.terminal(wire.from)), "{name}: {tag} begins elsewhere");
        assert_eq!(layout.wire(id).last(), Some(&layout.terminal(wire.to)), "{name}: {tag} ends elsewhere");
        for (a, b) in pieces(layout, id) {
            assert!(a.x == b.x || a.y == b.y, "{name}: {tag} runs askew from {a:?} to {b:?}");
            for (part, (left, top, right, bottom)) in &bodies {
                let through =
                    a.x.max(b.x) > *left && a.x.min(b.x) < *right && a.y.max(b.y) > *top && a.y.min(b.y) < *bottom;
                // A small symbol in a tall row is reached inside the row but outside its box.
                assert!(!through, "{name}: {tag} runs through {}", circuit.part(*part).tag);
            }
        }
    }
    for (a, _) in circuit.wires_with_ids() {
        for (b, _) in circuit.wires_with_ids().skip(a.index() + 1) {
            if share_a_terminal(circuit, a, b) {
                continue;
            }
            for p in pieces(layout, a) {
                for q in pieces(layout, b) {
                    let on = overlap(p, q);
                    let tags = (&circuit.wire(a).tag, &circuit.wire(b).tag);
                    assert!(on <= 0.0, "{name}: {tags:?} lie on each other for {on} at {p:?} {q:?}");
                }
            }
        }
    }
}

fn check_terminals(name: &str, circuit: &Circuit, layout: &Layout) {
    let all: Vec<(String, Point)> =
        circuit.terminals_with_ids().map(|(id, _)| (circuit.terminal_words(id), layout.terminal(id))).collect();
    for (i, (a, p)) in all.iter().enumerate() {
        for (b, q) in &all[i + 1..] {
            let far = (p.x - q.x).abs().max((p.y - q.y).abs());
            assert!(far >= 48.0, "{name}: {a} and {b} are only {far} apart");
        }
    }
}

fn check_targets(name: &str, circuit: &Circuit, picture: &Picture) {
    for (id, _) in circuit.terminals_with_ids() {
        let target = picture.target(Subject::Terminal(id)).expect("every terminal can be hit");
        assert!(target.width >= 44.0 && target.height >= 44.0);
        let middle = target.centre();
        let hit = picture.hit(middle.x, middle.y);
        assert_eq!(hit, Some(Subject::Terminal(id)), "{name}: {} is covered", circuit.terminal_words(id));
    }
    for (id, part) in circuit.parts_with_ids() {
        assert!(picture.target(Subject::Part(id)).is_some(), "{name}: {} cannot be hit", part.tag);
    }
    for (id, wire) in circuit.wires_with_ids().filter(|(_, wire)| wire.from != wire.to) {
        assert!(picture.target(Subject::Wire(id)).is_some(), "{name}: {} cannot be hit", wire.tag);
        for end in End::BOTH {
            let end = WireEnd { wire: id, end };
            let target = picture.target(Subject::WireEnd(end));
            let middle = target.unwrap_or_else(|| panic!("{name}: an end of {} cannot be hit", wire.tag)).centre();
            let hit = picture.hit(middle.x, middle.y);
            assert!(
                matches!(hit, Some(Subject::WireEnd(_))),
                "{name}: {} is covered by {hit:?}",
                circuit.end_words(end)
            );
        }
    }
}

#[test]
fn wires_of_the_samples_keep_clear_and_everything_can_be_hit() {
    for (name, circuit) in samples() {
        check(name, &circuit);
    }
}

#[test]
fn wires_of_random_circuits_keep_clear_and_everything_can_be_hit() {
    for seed in 1..=200 {
        check(&format!("random {seed}"), &random_circuit(seed, 3 + (seed as usize * 7) % 22));
    }
}

#[test]
fn supply_is_above_ground_in_the_samples() {
    for (name, circuit) in samples() {
        let layout = Layout::of(&circuit);
        let plus = circuit.terminal_named("G1.+").expect("every sample has a battery");
        let minus = circuit.terminal_named("G1.-").expect("every sample has a battery");
        let lowest = circuit.terminals_with_ids().map(|(id, _)| layout.terminal(id).y).fold(0.0, f32::max);
        assert!(layout.terminal(plus).y < layout.terminal(minus).y, "{name}");
        for (id, _) in circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Ground(_))) {
            assert_eq!(layout.terminal(circuit.terminal_at(id, 0)).y, lowest, "{name}: a ground is not at the bottom");
        }
    }
}

#[test]
fn words_of_the_samples_keep_off_symbols_and_each_other() {
    for (name, circuit) in samples() {
        let layout = Layout::of(&circuit);
        check_words(name, &circuit, &layout, &draw(&layout, &circuit, &Show::as_built(&circuit)));
    }
}

/// Every text with what it belongs to and where it is.
fn words(picture: &Picture) -> Vec<(&str, Ink, Option<Subject>, Rect)> {
    let texts = picture.shapes.iter().filter_map(|shape| {
        let Form::Text { at, text, size, anchor } = &shape.form else { return None };
        // Narrower than the estimate layouts use, which is on the wide side.
        let width = text_width(text, *size) * 0.9;
        let left = match anchor {
            fanloom::drawing::Anchor::Start => at.x,
            fanloom::drawing::Anchor::Middle => at.x - width / 2.0,
            fanloom::drawing::Anchor::End => at.x - width,
        };
        let half = size * 0.4;
        Some((text.as_str(), shape.ink, shape.subject, (left, at.y - half, left + width, at.y + half)))
    });
    texts.collect()
}

fn meet(a: Rect, b: Rect) -> bool {
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}

/// No text lies on another, on a symbol it does not belong to, or off the page.
fn check_words(name: &str, circuit: &Circuit, layout: &Layout, picture: &Picture) {
    let words = words(picture);
    for (i, (text, _, subject, rect)) in words.iter().enumerate() {
        assert!(rect.2 <= picture.width && rect.0 >= 0.0, "{name}: `{text}` leaves the page");
        for (other, _, _, other_rect) in &words[i + 1..] {
            assert!(!meet(*rect, *other_rect), "{name}: `{text}` lies on `{other}`");
        }
        for (id, part) in circuit.parts_with_ids() {
            let own = match subject {
                Some(Subject::Part(own)) => *own == id,
                Some(Subject::Terminal(t)) => circuit.terminal(*t).part == id,
                _ => false,
            };
            let on = layout.bodies(id).any(|body| meet(*rect, body));
            assert!(own || !on, "{name}: `{text}` lies on {}", part.tag);
        }
    }
}

/// Whether a straight stroke touches a rectangle, looked at closely enough for strokes on a drawing.
fn touches(a: Point, b: Point, rect: Rect) -> bool {
    let steps = (a.distance(b) / 0.5).ceil() as usize;
    (0..=steps).any(|i| {
        let share = i as f32 / steps.max(1) as f32;
        let (x, y) = (a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share);
        rect.0 < x && x < rect.2 && rect.1 < y && y < rect.3
    })
}

/// Strokes with what they belong to.
fn strokes(picture: &Picture) -> Vec<(Ink, Option<Subject>, Point, Point)> {
    let lines = picture.shapes.iter().filter_map(|shape| match &shape.form {
        Form::Line { points, .. } => Some((shape.ink, shape.subject, points)),
        _ => None,
    });
    lines.flat_map(|(ink, subject, points)| points.windows(2).map(move |s| (ink, subject, s[0], s[1]))).collect()
}

#[test]
fn states_move_nothing_and_are_told_without_hue() {
    let (_, circuit) = samples().swap_remove(0);
    let layout = Layout::of(&circuit);
    let mut show = Show::as_built(&circuit);
    let mut seen = BTreeMap::new();
    for flow in [Flow::Floating, Flow::Grounded, Flow::Fed, Flow::Carrying] {
        show.wires[0] = WireState { flow, amps: 0.4 };
        let picture = draw(&layout, &circuit, &show);
        let style: Vec<String> = picture
            .shapes
            .iter()
            .filter(|s| s.subject == Some(Subject::Wire(WireId(0))) && s.ink != Ink::WireText)
            .map(|s| format!("{} {:?} {}", s.weight, s.dash, matches!(s.form, Form::Polygon { .. })))
            .collect();
        assert_eq!(seen.insert(style, flow), None, "{flow:?} looks like another flow");
    }
    for symbols in [Symbols::Iec60617, Symbols::Ieee315] {
        let picture = draw(&layout, &circuit, &Show { symbols, ..live(&circuit) });
        assert_eq!((picture.width, picture.height), layout.size());
    }
}

#[test]
fn a_lifted_end_leaves_a_gap_and_a_lead_can_be_hit() {
    let (_, circuit) = samples().swap_remove(1);
    let layout = Layout::of(&circuit);
    let end = WireEnd { wire: WireId(2), end: End::To };
    let mut show = Show::as_built(&circuit);
    show.lifted.insert(end);
    let sensor = circuit.part_named("B1").expect("the sample has it");
    let [from, to] = [0, 1].map(|place| LeadPoint::Terminal(circuit.terminal_at(sensor, place)));
    show.leads.push(Lead { number: 7, from, to, fuse: LeadFuse::Whole, text: String::new().into(), amps: 0.0 });

    let picture = draw(&layout, &circuit, &show);

    let terminal = layout.terminal(circuit.terminal_of_end(end));
    let drawn = picture.shapes.iter().filter(|s| s.subject == Some(Subject::Wire(end.wire)));
    for shape in drawn {
        if let Form::Line { points, .. } = &shape.form {
            assert!(points.iter().all(|p| p.distance(terminal) > 8.0), "the wire still reaches its terminal");
        }
    }
    let lead = picture.target(Subject::Lead(7)).expect("a lead can be hit").centre();
    assert_eq!(picture.hit(lead.x, lead.y), Some(Subject::Lead(7)));
}

#[test]
fn odd_circuits_are_drawn() {
    check("empty", &circuit("", "", ""));
    check(
        "no wires",
        &circuit("", "G1 battery; F1 fuse; K1 relay; X1 connector4; A1 module-low; N1 ground; S3 selector", ""),
    );
    check(
        "two pieces",
        &circuit("", "G1 battery; R1 resistor; R2 resistor; R3 resistor", "G1.+ R1.1; R1.2 G1.-; R2.2 R3.1"),
    );
    check(
        "two batteries",
        &circuit("", "G1 battery; G2 battery; P1 lamp; N1 ground", "G1.+ G2.-; G2.+ P1.1; P1.2 N1.g; G1.- N1.g"),
    );
    check("twin wires", &circuit("", "G1 battery; P1 lamp", "G1.+ P1.1; G1.+ P1.1; P1.2 G1.-; P1.2 G1.-; G1.- P1.2"));
    check("short", &circuit("", "G1 battery", "G1.+ G1.-"));
    check("bridged", &circuit("", "G1 battery; F1 fuse; N1 ground", "G1.+ F1.1; F1.2 F1.1; F1.2 N1.g; G1.- N1.g"));
    let own = circuit("", "G1 battery; X1 splice", "G1.+ G1.+; X1.s X1.s");
    draw(&Layout::of(&own), &own, &Show::as_built(&own));
}

#[test]
fn ten_thousand_parts_are_placed_and_drawn_whole() {
    for circuit in [wide_circuit(10_000), random_circuit(7, 10_000)] {
        let layout = Layout::of(&circuit);
        let picture = draw(&layout, &circuit, &Show::as_built(&circuit));
        assert!(picture.shapes.len() > 10_000);
    }
}

#[test]
#[ignore = "prints times; meant for a release build"]
#[expect(clippy::disallowed_methods, reason = "how long it takes is what is tested")]
fn time_layouts() {
    let time = |name: &str, circuit: &Circuit| {
        let started = std::time::Instant::now();
        let layout = Layout::of(circuit);
        let placed = started.elapsed();
        draw(&layout, circuit, &Show::as_built(circuit));
        println!("{name}: {} parts placed in {placed:.2?}, drawn by {:.2?}", circuit.parts().len(), started.elapsed());
    };
    for (name, circuit) in shipped() {
        time(name, &circuit);
    }
    for parts in [100, 300, 1_000, 10_000] {
        let read = fanloom::circuit::format::read(&support::harness::harness_text(parts));
        time("harness", &read.circuit.expect("the made-up harnesses read"));
        time("wide", &wide_circuit(parts));
        time("tangled", &random_circuit(7, parts));
    }
}

/// Many fan circuits on one battery.
fn wide_circuit(parts: usize) -> Circuit {
    let mut list = String::from("G1 battery; N1 ground");
    let mut wires = String::from("G1.- N1.g");
    for i in 0..parts / 7 {
        list += &format!(
            "; F{i} fuse; S{i} key; B{i}1 temp-open; B{i}2 press-open; Q{i} hand-open; Y{i} valve-diode; P{i} lamp"
        );
        wires += &format!(
            "; G1.+ F{i}.1; F{i}.2 S{i}.30; S{i}.15 B{i}1.1; S{i}.15 B{i}2.1; S{i}.15 Q{i}.1; B{i}1.2 Y{i}.1; \
             B{i}2.2 Y{i}.1; Q{i}.2 Y{i}.1; P{i}.1 Y{i}.1; P{i}.2 N1.g; Y{i}.2 N1.g"
        );
    }
    circuit("wide", &list, &wires)
}

/// A circuit of `parts` parts of every kind, each wired to what came before; xorshift after G. Marsaglia (2003).
fn random_circuit(seed: u64, parts: usize) -> Circuit {
    const KINDS: [&str; 18] = [
        "fuse",
        "key",
        "hand-open",
        "hand-closed",
        "selector",
        "temp-open",
        "press-closed",
        "relay",
        "relay-diode",
        "valve-diode",
        "diode",
        "resistor",
        "lamp",
        "module-low",
        "module-high",
        "timer",
        "connector2",
        "splice",
    ];
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut random = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as usize % below.max(1)
    };
    let kinds: BTreeMap<&str, Kind> = KINDS.into_iter().chain(["battery", "ground"]).map(|k| (k, kind_of(k))).collect();
    let mut draft = Draft::default();
    let mut ends: Vec<String> = Vec::new();
    for i in 0..parts {
        let kind = match i {
            0 => "battery",
            1 => "ground",
            _ => KINDS[random(KINDS.len())],
        };
        let part = Part { tag: format!("T{i}"), kind: kinds[kind].clone() };
        let names: Vec<String> = part.kind.terminals().iter().map(|name| format!("T{i}.{name}")).collect();
        for name in &names {
            // One terminal in eight stays empty.
            if !ends.is_empty() && random(8) > 0 {
                let reach = ends.len().min(40);
                let other = if random(4) == 0 { random(ends.len().min(3)) } else { ends.len() - 1 - random(reach) };
                draft.wires.push(fanloom::circuit::DraftWire {
                    tag: format!("W{}", draft.wires.len() + 1),
                    from: ends[other].clone(),
                    to: name.clone(),
                    gauge: quantity::Gauge::Awg(16),
                    length: quantity::Length::Metre(1.0),
                    colour: (random(2) == 0).then(|| "RD".into()),
                });
            }
        }
        ends.extend(names);
        draft.parts.push(part);
    }
    Circuit::new(draft).expect("only terminals that exist are wired")
}

#[test]
fn a_relay_is_drawn_where_its_contact_stands_whatever_its_coil_does() {
    // A stuck contact, or two changed over, was drawn where a sound one would have been: against the current shown.
    for (changes, energised, over) in [
        ("coolant=230F", true, true),
        ("coolant=230F; stuck:K1=open", true, false),
        ("stuck:K1=closed", false, true),
        ("coolant=230F; swapped:K1", true, false),
        ("swapped:K1", false, true),
    ] {
        let mut stand = Stand::new(&support::circuit(RELAY));
        stand.all(changes);
        let id = stand.id("K1");
        assert_eq!(Show::of(&stand.bench).parts[id.index()], PartState::Relay { energised, over }, "{changes}");
        let carries = |wire| stand.amps(wire).abs() > 0.1;
        assert_eq!((carries("W5"), carries("W7")), (over, !over), "{changes}: the drawing follows the current");
    }
}

/// A relay with a lamp on each of its two contacts.
const RELAY: &str = r#"Circuit(
    format: 1,
    title: "Two lamps",
    parts: {
        "G1": Battery(volts: 12.6),
        "B1": TemperatureSwitch(rest: Open, senses: Coolant, acts_at: Fahrenheit(205), resets_at: Fahrenheit(195)),
        "K1": Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5),
        "P1": Lamp(ohms: 24),
        "P2": Lamp(ohms: 24),
        "N1": Ground,
    },
    wires: {
        "W1": Wire(from: "G1.+", to: "B1.1"),
        "W2": Wire(from: "B1.2", to: "K1.86"),
        "W3": Wire(from: "K1.85", to: "N1.g"),
        "W4": Wire(from: "G1.+", to: "K1.30"),
        "W5": Wire(from: "K1.87", to: "P1.1"),
        "W6": Wire(from: "P1.2", to: "N1.g"),
        "W7": Wire(from: "K1.87a", to: "P2.1"),
        "W8": Wire(from: "P2.2", to: "N1.g"),
        "W9": Wire(from: "G1.-", to: "N1.g"),
    },
)
"#;
