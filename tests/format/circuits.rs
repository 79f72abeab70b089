//! Random circuits for property tests: every kind of part, every field, all of it sound.
//!
//! Where and how things are wired is random too, so most of these circuits are doubtful, and none has an error.

use std::collections::{BTreeMap, BTreeSet};

use fanloom::circuit::part::{
    AirValve, Battery, Connector, Demand, Diode, Fuse, Ground, HandSwitch, KeySwitch, Load, Module, Quantity, Relay,
    SelectorSwitch, SensorSwitch, Side, Splice, Suppressor, Timer, ValveRest,
};
use fanloom::circuit::quantity::{Gauge, Length, Level};
use fanloom::circuit::{Air, At, Circuit, Clutch, Contact, Draft, DraftWire, Engages, Engine, Kind, Part};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn ohms() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(0.005), Just(0.002), 0.0..1e4, 1e-12..1e-6]
}

fn some(most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![(1..=20i32).prop_map(f64::from), 1e-9..most]
}

fn contact() -> impl Strategy<Value = Contact> {
    select(vec![Contact::Open, Contact::Closed])
}

/// Two levels of one quantity, the lower first.
fn levels(temperature: bool) -> impl Strategy<Value = (Level, Level)> {
    let number = prop_oneof![(-10..250i32).prop_map(f64::from), -10.0..300.0f64];
    (number, 0.5..40.0f64, 0..3usize).prop_map(move |(low, more, unit)| {
        let level = |x| match (temperature, unit) {
            (true, 0) => Level::Fahrenheit(x),
            (true, _) => Level::Celsius(x),
            (false, 0) => Level::Psi(x),
            (false, 1) => Level::Kilopascal(x),
            (false, _) => Level::Bar(x / 400.0),
        };
        (level(low), level(low + more))
    })
}

fn sensed() -> impl Strategy<Value = (Quantity, Level, Level)> {
    select(Quantity::ALL.to_vec())
        .prop_flat_map(|q| levels(q.is_temperature()).prop_map(move |(low, high)| (q, low, high)))
}

fn demand() -> impl Strategy<Value = Demand> {
    let leaf = prop_oneof![
        sensed().prop_map(|(q, low, high)| Demand::Above(q, high, low)),
        sensed().prop_map(|(q, low, high)| Demand::Below(q, low, high)),
        select(vec![Demand::EngineStopped, Demand::Fed, Demand::Always, Demand::Never]),
    ];
    leaf.prop_recursive(4, 12, 3, |inner| {
        prop_oneof![
            vec(inner.clone(), 1..4).prop_map(Demand::Any),
            vec(inner.clone(), 1..4).prop_map(Demand::All),
            inner.prop_map(|d| Demand::Not(Box::new(d))),
        ]
    })
}

fn suppressor(terminals: [&'static str; 2]) -> impl Strategy<Value = Option<Suppressor>> {
    option::of(prop_oneof![
        select(terminals.to_vec()).prop_map(|t| Suppressor::Diode { cathode: t.to_owned() }),
        some(1e4).prop_map(Suppressor::Resistor),
    ])
}

fn coil() -> impl Strategy<Value = (f64, f64, f64)> {
    (some(500.0), 1.0..30.0f64, 0.05..0.95f64).prop_map(|(ohms, pulls, share)| (ohms, pulls, pulls * share))
}

fn sensor(temperature: bool) -> impl Strategy<Value = SensorSwitch> {
    let felt = Quantity::ALL.into_iter().filter(|q| q.is_temperature() == temperature).collect::<Vec<_>>();
    (contact(), select(felt), levels(temperature), ohms()).prop_map(|(rest, senses, (low, high), contact_ohms)| {
        SensorSwitch { rest, senses, acts_at: high, resets_at: low, contact_ohms }
    })
}

fn selector() -> impl Strategy<Value = SelectorSwitch> {
    (1..=12usize, 0..12usize, ohms(), any::<bool>()).prop_map(|(count, rest, contact_ohms, odd)| {
        let name = |i: usize| if odd { format!("Stufe {i} \"ü\"") } else { format!("P{i}") };
        let positions: Vec<String> = (0..count).map(name).collect();
        SelectorSwitch { rest: positions[rest % count].clone(), positions, contact_ohms }
    })
}

fn module() -> impl Strategy<Value = Module> {
    (select(vec![Side::Low, Side::High]), demand(), some(20.0), ohms(), 0.0..20.0f64, some(1e4)).prop_map(
        |(side, on_when, limit_amps, on_ohms, works_from, supply_ohms)| Module {
            side,
            on_when,
            limit_amps,
            on_ohms,
            works_from,
            supply_ohms,
        },
    )
}

fn relay() -> impl Strategy<Value = Relay> {
    (coil(), suppressor(["85", "86"]), ohms()).prop_map(
        |((coil_ohms, pulls_in, drops_out), suppressor, contact_ohms)| Relay {
            coil_ohms,
            pulls_in,
            drops_out,
            suppressor,
            contact_ohms,
        },
    )
}

fn valve() -> impl Strategy<Value = AirValve> {
    let rest = select(vec![ValveRest::Passing, ValveRest::Blocking]);
    (coil(), suppressor(["1", "2"]), rest).prop_map(|((coil_ohms, pulls_in, drops_out), suppressor, rest)| AirValve {
        coil_ohms,
        pulls_in,
        drops_out,
        rest,
        suppressor,
    })
}

fn kind() -> impl Strategy<Value = Kind> {
    prop_oneof![
        (some(30.0), ohms()).prop_map(|(volts, internal_ohms)| Kind::Battery(Battery { volts, internal_ohms })),
        (some(60.0), option::of(ohms())).prop_map(|(amps, ohms)| Kind::Fuse(Fuse { amps, ohms })),
        ohms().prop_map(|contact_ohms| Kind::KeySwitch(KeySwitch { contact_ohms })),
        (contact(), any::<bool>(), ohms()).prop_map(|(rest, momentary, contact_ohms)| {
            Kind::HandSwitch(HandSwitch { rest, momentary, contact_ohms })
        }),
        selector().prop_map(Kind::SelectorSwitch),
        sensor(true).prop_map(Kind::TemperatureSwitch),
        sensor(false).prop_map(Kind::PressureSwitch),
        relay().prop_map(Kind::Relay),
        valve().prop_map(Kind::AirValve),
        prop_oneof![Just(0.7), 0.0..2.0f64].prop_map(|drop_volts| Kind::Diode(Diode { drop_volts })),
        some(1e5).prop_map(|ohms| Kind::Resistor(Load { ohms })),
        some(1e5).prop_map(|ohms| Kind::Lamp(Load { ohms })),
        module().prop_map(Kind::Module),
        (0.0..600.0f64, ohms(), some(1e5)).prop_map(|(hold_seconds, contact_ohms, supply_ohms)| {
            Kind::Timer(Timer { hold_seconds, contact_ohms, supply_ohms })
        }),
        (1..=64u32, ohms()).prop_map(|(pins, pin_ohms)| Kind::Connector(Connector { pins, pin_ohms })),
        Just(Kind::Splice(Splice {})),
        ohms().prop_map(|ohms| Kind::Ground(Ground { ohms })),
    ]
}

/// Words as people might write them: any letters at all, quotes and line breaks included.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "\\PC{0,24}",
        any::<String>(),
        Just("Kiesl\u{e4}ster \"12\"\n\\ 'e\u{301}' \u{202e}\t\r\n\u{0}".to_owned()),
    ]
}

fn preamble() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        Just("// First.\n\n/* Second /* inner */\n   third */ // fourth".to_owned()),
        "[a-zäß☃]{1,20}".prop_map(|w| format!("// {w}")),
    ]
}

/// What a wire is made of, and numbers that pick two different terminals.
fn ends() -> impl Strategy<Value = (usize, usize, Gauge, Length, Option<String>)> {
    let gauge = prop_oneof![
        (-3..=40i32).prop_map(Gauge::Awg),
        Just(Gauge::Awg(16)),
        (0.1..100.0f64).prop_map(Gauge::SquareMillimetre)
    ];
    let length = prop_oneof![
        Just(Length::Metre(1.0)),
        (0.0..50.0f64).prop_map(Length::Metre),
        (0.0..99.0f64).prop_map(Length::Feet)
    ];
    let colour = option::of(prop_oneof![Just("RD".to_owned()), words()]);
    (any::<usize>(), any::<usize>(), gauge, length, colour)
}

/// A sound circuit.
pub(crate) fn circuit() -> impl Strategy<Value = Circuit> {
    let air = option::of((0.1..200.0f64, any::<bool>()));
    let clutch = option::of(select(vec![Engages::WithAir, Engages::WithoutAir]));
    (vec(kind(), 0..14), vec(ends(), 0..14), words(), words(), preamble(), air, clutch).prop_map(
        |(kinds, ends, title, notes, preamble, air, clutch)| {
            let tag = |i: usize| if i % 3 == 2 { format!("Ä-{i}") } else { format!("Q{i}") };
            let parts: Vec<Part> = kinds.into_iter().enumerate().map(|(i, kind)| Part { tag: tag(i), kind }).collect();
            let words =
                |part: &Part| part.kind.terminals().iter().map(|t| format!("{}.{t}", part.tag)).collect::<Vec<_>>();
            let terminals: Vec<String> = parts.iter().flat_map(words).collect();
            let wires = if terminals.len() < 2 { Vec::new() } else { ends }
                .into_iter()
                .enumerate()
                .map(|(i, (from, step, gauge, length, colour))| {
                    let from = from % terminals.len();
                    let to = (from + 1 + step % (terminals.len() - 1)) % terminals.len();
                    let (from, to) = (terminals[from].clone(), terminals[to].clone());
                    DraftWire { tag: format!("W{i}"), from, to, gauge, length, colour }
                })
                .collect();
            let first_valve = parts.iter().find(|p| matches!(p.kind, Kind::AirValve(_))).map(|p| p.tag.clone());
            // Every second circuit with figures of its own, made of the pressure so that they differ.
            let air = air.map(|(psi, named)| {
                let usual = Air::default();
                let own = Air {
                    tank_litres: psi + 0.25,
                    cut_in: Level::Bar(psi / 20.0),
                    cut_out: Level::Psi(psi * 2.0),
                    critical_ratio: 0.5 / (1.0 + psi),
                    ..usual.clone()
                };
                let figures = if (psi as u64).is_multiple_of(2) { own } else { usual };
                Air { minimum: Level::Psi(psi), valve: first_valve.filter(|_| named), ..figures }
            });
            let clutch = clutch.map(|engages| Clutch {
                engages,
                faces: 1 + parts.len() as u32 % 3,
                bites_at: parts.len().is_multiple_of(2).then_some(Level::Kilopascal(200.5)),
                fan_nm: parts.len().is_multiple_of(3).then_some(210.0),
                ..Clutch::default()
            });
            // Every third circuit with an engine, and with figures given that are as usual.
            let plain = !parts.len().is_multiple_of(3);
            let engine = (!plain).then(|| Engine { oil_seconds: 1.0 + parts.len() as f64, ..Engine::default() });
            let given = if plain { BTreeSet::new() } else { BTreeSet::from(["hose_c", "faces", "thermostat_full"]) };
            // Every second part put somewhere by hand.
            let put = parts.iter().enumerate().filter(|(i, _)| i % 2 == 0);
            let places = put.map(|(i, part)| (part.tag.clone(), At { right: 5 * i as i32 - 12, down: 3 * i as i32 }));
            let places = if plain { places.collect() } else { BTreeMap::new() };
            let draft = Draft { preamble, title, notes, parts, wires, air, clutch, engine, given, places };
            Circuit::new(draft).expect("every wire has its ends")
        },
    )
}
