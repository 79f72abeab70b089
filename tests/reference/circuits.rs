//! Whole settled circuits beside networks that the test wires up itself.
//!
//! Random circuits of every kind of part but diodes (which `tests/laws.rs` has), with acts and faults. The test
//! takes what the parts *are*, what was done, and where contacts, coils and fuses stand; builds the network from the
//! resistances of the file format; solves it with its dense solver; and holds volts, amps and floating marks against
//! the bench. Where the movable parts stand is checked too: no coil at or past its pull-in rests, no coil at or
//! below its drop-out holds, no whole fuse carries what opens it.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::Arc;

use crate::support::dense::{Found, Net};
use crate::support::random::Random;
use crate::support::{Stand, circuit};
use fanloom::bench::{Act, Bench, Fault, LeadFuse, Point};
use fanloom::circuit::part::{Side, Suppressor};
use fanloom::circuit::quantity::{Gauge, Length};
use fanloom::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd};

/// Kinds to draw from, as the file writes them; `G` stands for batteries, which are few.
const KINDS: &[(&str, &str)] = &[
    ("F", "Fuse(amps: 10)"),
    ("F", "Fuse(amps: 2, ohms: 0.06)"),
    ("S", "KeySwitch"),
    ("S", "HandSwitch(rest: Open)"),
    ("S", "HandSwitch(rest: Closed, contact_ohms: 0.02)"),
    ("S", "SelectorSwitch(positions: [\"ON\", \"AUTO\", \"OFF\"], rest: \"AUTO\")"),
    ("B", "TemperatureSwitch(rest: Open, senses: Coolant, acts_at: Celsius(96), resets_at: Celsius(90))"),
    ("B", "TemperatureSwitch(rest: Closed, senses: Oil, acts_at: Celsius(121), resets_at: Celsius(113))"),
    ("B", "PressureSwitch(rest: Closed, senses: Refrigerant, acts_at: Psi(300), resets_at: Psi(240))"),
    ("K", "Relay(coil_ohms: 90, pulls_in: 7.2, drops_out: 2.5)"),
    ("K", "Relay(coil_ohms: 85, pulls_in: 7.2, drops_out: 2.5, suppressor: Resistor(680))"),
    ("Y", "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)"),
    ("R", "Resistor(ohms: 680)"),
    ("R", "Resistor(ohms: 10000000)"),
    ("P", "Lamp(ohms: 48)"),
    ("A", "Module(side: Low, on_when: Fed)"),
    ("A", "Module(side: High, on_when: Always, limit_amps: 2)"),
    ("K", "Timer(hold_seconds: 30)"),
    ("X", "Connector(pins: 3)"),
    ("X", "Splice"),
    ("N", "Ground"),
    ("N", "Ground"),
];

const COPPER: &[&str] = &[
    "",
    ", gauge: Awg(18), length: Feet(7)",
    ", gauge: Awg(4), length: Feet(3)",
    ", gauge: SquareMillimetre(1.5), length: Metre(4.2)",
];

/// A random circuit's text: one or two batteries, a dozen parts, every terminal wired somewhere.
fn random_text(random: &mut Random) -> String {
    let mut parts = vec![("G1".to_owned(), "Battery(volts: 12.6)".to_owned())];
    if random.percent(15) {
        parts.push(("G2".to_owned(), "Battery(volts: 12.2, internal_ohms: 0.05)".to_owned()));
    }
    for n in 0..6 + random.below(12) {
        let (letter, kind) = random.pick(KINDS);
        parts.push((format!("{letter}{}", n + 10), (*kind).to_owned()));
    }
    let mut text = String::from("Circuit(\n    format: 1,\n    title: \"random\",\n    parts: {\n");
    for (tag, kind) in &parts {
        writeln!(text, "        \"{tag}\": {kind},").expect("writing to a string");
    }
    let without_wires = circuit(&format!("{text}    }},\n    wires: {{}},\n)"));
    let terminals: Vec<String> =
        without_wires.terminals_with_ids().map(|(id, _)| without_wires.terminal_words(id)).collect();
    text += "    },\n    wires: {\n";
    let mut number = 0;
    for from in &terminals {
        for _ in 0..usize::from(random.percent(80)) + usize::from(random.percent(15)) {
            let to = random.pick(&terminals);
            if to == from {
                continue;
            }
            number += 1;
            let copper = random.pick(COPPER);
            writeln!(text, "        \"W{number}\": Wire(from: \"{from}\", to: \"{to}\"{copper}),")
                .expect("writing to a string");
        }
    }
    text + "    },\n)\n"
}

/// Things to do to a circuit, whether it can have them or not.
fn random_change(random: &mut Random, circuit: &Circuit) -> String {
    let terminals: Vec<String> = circuit.terminals_with_ids().map(|(id, _)| circuit.terminal_words(id)).collect();
    let terminal = |random: &mut Random| random.pick(&terminals).clone();
    let part = |random: &mut Random| random.pick(circuit.parts()).tag.clone();
    let wire = |random: &mut Random| match circuit.wires() {
        [] => "W0".to_owned(),
        wires => random.pick(wires).tag.clone(),
    };
    let end = |random: &mut Random| {
        let wires: Vec<_> = circuit.wires_with_ids().map(|(id, _)| id).collect();
        if wires.is_empty() {
            return "W0@G1.+".to_owned();
        }
        circuit.end_words(WireEnd { wire: *random.pick(&wires), end: *random.pick(&End::BOTH) })
    };
    match random.below(22) {
        0 => format!("turn:{}=on", part(random)),
        1 => format!("turn:{}=ON", part(random)),
        2 | 3 => format!("jump:{}={}", terminal(random), terminal(random)),
        4 => format!("jump:{}={}/none", terminal(random), terminal(random)),
        5 => format!("jump:{}={}/20A", end(random), terminal(random)),
        6..=8 => format!("lift:{}", end(random)),
        9 => format!("unplug:{}", part(random)),
        10 => format!("open:{}", wire(random)),
        11 => format!("resist:{}=5ohm", wire(random)),
        12 => format!("ground:{}=0.5ohm", terminal(random)),
        13 => format!("feed:{}={}ohm", terminal(random), random.pick(&["0", "3", "2000000"])),
        14 => format!("join:{}={}", wire(random), wire(random)),
        15 => format!("stuck:{}={}", part(random), random.pick(&["open", "closed"])),
        16 => format!("coil-short:{}=2ohm", part(random)),
        17 => format!("swapped:{}", part(random)),
        18 => format!("blown:{}", part(random)),
        19 => format!("coolant={}C", random.below(130)),
        20 => format!("ambient={}C", random.below(80)),
        _ => (*random.pick(&["key=off", "oil=130C", "refrigerant=310psi", "flat:G1=9.5V", "engine=600"])).to_owned(),
    }
}

/// What each branch of the test's network stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Role {
    Wire(usize),
    Lead(usize),
    Part(PartId),
    Coil(PartId),
    Other,
}

/// The test's own network of a bench's present state.
struct Wiring<'a> {
    bench: &'a Bench,
    net: Net,
    roles: Vec<Role>,
    own: Vec<usize>,
    touch: Vec<usize>,
    loose: BTreeMap<String, usize>,
    chassis: usize,
    faults: Vec<String>,
}

impl<'a> Wiring<'a> {
    fn of(bench: &'a Bench) -> Self {
        let circuit = bench.circuit();
        let mut net = Net::default();
        let own: Vec<usize> = circuit.terminals().iter().map(|_| net.node()).collect();
        let unplugged = |part: PartId| {
            let tag = &circuit.part(part).tag;
            bench.acts().any(|act| matches!(act, Act::Unplug { part } if part == tag))
        };
        let touch = circuit
            .terminals()
            .iter()
            .zip(&own)
            .map(|(t, own)| if unplugged(t.part) { net.node() } else { *own })
            .collect();
        let mut loose = BTreeMap::new();
        for act in bench.acts() {
            if let Act::Lift(end) = act {
                loose.insert(end.to_string(), net.node());
            }
        }
        let chassis = net.node();
        let faults = bench.faults().iter().map(Fault::to_string).collect();
        let mut wiring = Self { bench, net, roles: Vec::new(), own, touch, loose, chassis, faults };
        let minus = circuit.terminal_named("G1.-").expect("every one has G1");
        wiring.net.reference = Some(wiring.own[minus.index()]);
        for (id, part) in circuit.parts_with_ids() {
            wiring.part(id, &part.tag, &part.kind);
        }
        wiring.wires();
        wiring.leads_and_chafes();
        wiring
    }

    fn is(&self, fault: &str) -> bool {
        self.faults.iter().any(|f| f == fault)
    }

    /// What follows `=` in the last planted fault that begins so, without its unit.
    fn amount(&self, start: &str) -> Option<f64> {
        let fault = self.faults.iter().rev().find(|f| f.starts_with(start))?;
        fault[start.len()..].trim_end_matches(|c: char| c.is_alphabetic()).parse().ok()
    }

    fn stuck(&self, tag: &str) -> Option<bool> {
        let start = format!("stuck:{tag}=");
        self.faults.iter().rev().find_map(|f| f.strip_prefix(&start)).map(|position| position == "closed")
    }

    fn turned(&self, tag: &str) -> Option<&str> {
        self.bench.acts().find_map(|act| match act {
            Act::Turn { switch, to } if switch == tag => Some(to.as_str()),
            _ => None,
        })
    }

    fn copper(&self) -> f64 {
        1.0 + 0.00393 * (self.bench.conditions().ambient_c - 20.0)
    }

    fn at(&self, id: PartId, name: &str) -> usize {
        let circuit = self.bench.circuit();
        let terminal = circuit.terminals_of(id).find(|t| circuit.terminal(*t).name == name);
        self.own[terminal.expect("the kind has this terminal").index()]
    }

    fn resist(&mut self, role: Role, from: usize, to: usize, ohms: f64) {
        self.net.resist(from, to, ohms);
        self.roles.push(role);
    }

    fn contact(&mut self, id: PartId, tag: &str, closed: bool, ohms: f64) {
        if self.stuck(tag).unwrap_or(closed) {
            let (first, second) = if tag.starts_with('S') && self.bench.circuit().part(id).kind.word() == "KeySwitch" {
                ("30", "15")
            } else {
                ("1", "2")
            };
            self.resist(Role::Part(id), self.at(id, first), self.at(id, second), ohms);
        }
    }

    fn coil(&mut self, id: PartId, tag: &str, (from, to): (&str, &str), ohms: f64, suppressor: Option<&Suppressor>) {
        let (from, to) = (self.at(id, from), self.at(id, to));
        if !self.is(&format!("coil-open:{tag}")) {
            let ohms = self.amount(&format!("coil-short:{tag}=")).unwrap_or(ohms);
            self.resist(Role::Coil(id), from, to, ohms * self.copper());
        }
        if let Some(Suppressor::Resistor(ohms)) = suppressor {
            self.resist(Role::Other, from, to, *ohms);
        }
    }

    fn part(&mut self, id: PartId, tag: &str, kind: &Kind) {
        let remembered = self.bench.outcome().memory.of(id);
        let closed = |rest: Contact, moved: bool| (rest == Contact::Closed) != moved;
        match kind {
            Kind::Battery(battery) => {
                let emf = self.amount(&format!("flat:{tag}=")).unwrap_or(battery.volts);
                let (from, to) = (self.at(id, "-"), self.at(id, "+"));
                self.resist(Role::Part(id), from, to, battery.internal_ohms);
                self.net.arms.last_mut().expect("just put there").emf = emf;
            }
            Kind::Fuse(fuse) => {
                if !remembered.blown && !self.is(&format!("blown:{tag}")) {
                    let ohms = fuse.ohms.unwrap_or(0.075 / fuse.amps);
                    self.resist(Role::Part(id), self.at(id, "1"), self.at(id, "2"), ohms);
                }
            }
            Kind::KeySwitch(key) => self.contact(id, tag, self.bench.conditions().key_on, key.contact_ohms),
            Kind::HandSwitch(s) => self.contact(id, tag, closed(s.rest, self.turned(tag).is_some()), s.contact_ohms),
            Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => {
                let closed = closed(s.rest, remembered.acted) != self.is(&format!("swapped:{tag}"));
                self.contact(id, tag, closed, s.contact_ohms);
            }
            Kind::SelectorSwitch(s) => {
                let position = self.turned(tag).unwrap_or(&s.rest).to_owned();
                let place =
                    s.positions.iter().position(|p| p.eq_ignore_ascii_case(&position)).expect("one of its own") + 1;
                if self.stuck(tag) != Some(false) {
                    self.resist(Role::Part(id), self.at(id, "c"), self.at(id, &place.to_string()), s.contact_ohms);
                }
            }
            Kind::Relay(relay) => {
                self.coil(id, tag, ("86", "85"), relay.coil_ohms, relay.suppressor.as_ref());
                let over = self.stuck(tag).unwrap_or(remembered.on) != self.is(&format!("swapped:{tag}"));
                let to = if over { "87" } else { "87a" };
                self.resist(Role::Part(id), self.at(id, "30"), self.at(id, to), relay.contact_ohms);
            }
            Kind::AirValve(valve) => self.coil(id, tag, ("1", "2"), valve.coil_ohms, valve.suppressor.as_ref()),
            Kind::Resistor(load) | Kind::Lamp(load) => {
                self.resist(Role::Part(id), self.at(id, "1"), self.at(id, "2"), load.ohms);
            }
            Kind::Module(module) => {
                self.resist(Role::Other, self.at(id, "supply"), self.at(id, "ground"), module.supply_ohms);
                let (from, to) = match module.side {
                    Side::Low => ("out", "ground"),
                    Side::High => ("supply", "out"),
                };
                if self.stuck(tag).unwrap_or(remembered.on) {
                    self.resist(Role::Part(id), self.at(id, from), self.at(id, to), module.on_ohms);
                }
            }
            Kind::Timer(timer) => {
                self.resist(Role::Other, self.at(id, "15"), self.at(id, "31"), timer.supply_ohms);
                if self.stuck(tag).unwrap_or(remembered.on) {
                    self.resist(Role::Part(id), self.at(id, "15"), self.at(id, "87"), timer.contact_ohms);
                }
            }
            Kind::Connector(connector) => {
                for pin in 1..=connector.pins {
                    let (a, b) = (self.at(id, &format!("{pin}a")), self.at(id, &format!("{pin}b")));
                    self.resist(Role::Other, a, b, connector.pin_ohms);
                }
            }
            Kind::Splice(_) => {}
            Kind::Ground(ground) => self.resist(Role::Part(id), self.at(id, "g"), self.chassis, ground.ohms),
            Kind::Diode(_) => panic!("no diodes here"),
        }
    }

    fn end(&self, wire: &str, terminal: TerminalId) -> usize {
        let words = format!("{wire}@{}", self.bench.circuit().terminal_words(terminal));
        self.loose.get(&words).copied().unwrap_or(self.touch[terminal.index()])
    }

    fn wires(&mut self) {
        let mut middles: BTreeMap<String, usize> = BTreeMap::new();
        let joins: Vec<(String, String)> = (self.faults.iter())
            .filter_map(|f| f.strip_prefix("join:")?.split_once('='))
            .map(|(a, b)| (a.to_owned(), b.to_owned()))
            .collect();
        for (number, wire) in self.bench.circuit().wires().iter().enumerate() {
            let area = match wire.gauge {
                Gauge::Awg(n) => {
                    let diameter = 0.127 * 92f64.powf((36.0 - f64::from(n)) / 39.0);
                    std::f64::consts::PI / 4.0 * diameter * diameter
                }
                Gauge::SquareMillimetre(area) => area,
            };
            let metres = match wire.length {
                Length::Feet(feet) => feet * 0.3048,
                Length::Metre(metres) => metres,
            };
            let start = format!("resist:{}=", wire.tag);
            let added: f64 = self.faults.iter().filter(|f| f.starts_with(&start)).count() as f64 * 5.0;
            let ohms = 0.017241 * metres / area * self.copper() + added;
            let (from, to) = (self.end(&wire.tag, wire.from), self.end(&wire.tag, wire.to));
            let cut = self.is(&format!("open:{}", wire.tag));
            if joins.iter().any(|(a, b)| *a == wire.tag || *b == wire.tag) {
                let middle = self.net.node();
                middles.insert(wire.tag.clone(), middle);
                if !cut {
                    self.resist(Role::Wire(number), from, middle, ohms / 2.0);
                }
                self.resist(Role::Other, middle, to, ohms / 2.0);
            } else if !cut {
                self.resist(Role::Wire(number), from, to, ohms);
            }
        }
        for (a, b) in joins {
            self.resist(Role::Other, middles[&a], middles[&b], 0.0);
        }
    }

    fn point(&self, point: &Point) -> usize {
        match point {
            Point::Terminal(words) => self.touch[self.terminal(words).index()],
            Point::LooseEnd(end) => self.loose[&end.to_string()],
        }
    }

    fn terminal(&self, words: &str) -> TerminalId {
        self.bench.circuit().terminal_named(words).expect("the bench took it")
    }

    fn leads_and_chafes(&mut self) {
        let numbers: Vec<u32> = self.bench.inputs().leads.iter().map(|lead| lead.number).collect();
        for (place, number) in numbers.into_iter().enumerate() {
            let act = self.bench.act_of_lead(number).expect("every lead was put on by an act").clone();
            let Act::Jump { a, b, fuse } = act else { panic!("{act} put a lead on") };
            if self.bench.outcome().memory.blown_leads.contains(&number) {
                assert_ne!(fuse, LeadFuse::Bare, "a bare lead has blown");
                continue;
            }
            self.resist(Role::Lead(place), self.point(&a), self.point(&b), 0.02);
        }
        for fault in self.faults.clone() {
            if let Some(at) = fault.strip_prefix("ground:") {
                let (words, ohms) = at.split_once('=').unwrap_or((at, "0ohm"));
                let ohms = ohms.trim_end_matches("ohm").parse().expect("as written");
                let from = self.touch[self.terminal(words).index()];
                self.resist(Role::Other, from, self.chassis, ohms);
            } else if let Some(at) = fault.strip_prefix("feed:") {
                let (words, ohms) = at.split_once('=').unwrap_or((at, "0ohm"));
                let ohms = ohms.replace("Mohm", "e6").trim_end_matches("ohm").parse().expect("as written");
                let plus = self.own[self.terminal("G1.+").index()];
                let to = self.touch[self.terminal(words).index()];
                self.resist(Role::Other, plus, to, ohms);
            }
        }
    }

    fn amps(&self, found: &Found, role: Role) -> f64 {
        self.roles.iter().position(|r| *r == role).map_or(0.0, |branch| found.amps[branch])
    }
}

#[track_caller]
fn agree(what: &str, got: f64, wanted: f64, within: f64, story: &str) {
    let off = got - wanted;
    assert!(off.abs() <= within, "{what}: got {got:?}, wanted {wanted:?}, off by {off:e}, not {within:e}\n{story}");
}

/// Holds one settled bench against the test's network. False where the network has no one answer.
fn compare(bench: &Bench, story: &str) -> bool {
    let wiring = Wiring::of(bench);
    let Some(found) = wiring.net.solve() else { return false };
    let (circuit, outcome) = (bench.circuit(), bench.outcome());
    // A circuit without any current is not compared to less than a nanoamp's billionth.
    let most_amps = found.amps.iter().fold(1e-9, |most: f64, a| most.max(a.abs()));
    for (id, _) in circuit.terminals_with_ids() {
        for (side, got, node) in [
            ("wires", outcome.volts[id.index()], wiring.touch[id.index()]),
            ("part", outcome.part_volts[id.index()], wiring.own[id.index()]),
        ] {
            let what = format!("{} ({side} side)", circuit.terminal_words(id));
            let wanted = found.volts[node];
            assert_eq!(got.is_some(), wanted.is_some(), "{what}: got {got:?}, wanted {wanted:?}\n{story}");
            if let (Some(got), Some(wanted)) = (got, wanted) {
                agree(&what, got, wanted, 1e-9 * wanted.abs().max(0.01), story);
            }
        }
    }
    for (number, wire) in circuit.wires().iter().enumerate() {
        let wanted = wiring.amps(&found, Role::Wire(number));
        agree(&wire.tag, outcome.wire_amps[number], wanted, 1e-9 * most_amps, story);
    }
    for (place, lead) in bench.inputs().leads.iter().enumerate() {
        let wanted = wiring.amps(&found, Role::Lead(place));
        agree(&format!("lead {place}"), outcome.lead_amps[&lead.number], wanted, 1e-9 * most_amps, story);
    }
    for (id, part) in circuit.parts_with_ids() {
        let through = wiring.amps(&found, Role::Part(id));
        agree(&part.tag, outcome.part_amps[id.index()], through, 1e-9 * most_amps, story);
        stands_right(&wiring, &found, id, story);
    }
    true
}

/// Whether a part's coil, contact or fuse stands where what it feels lets it stand.
fn stands_right(wiring: &Wiring<'_>, found: &Found, id: PartId, story: &str) {
    let bench = wiring.bench;
    let part = bench.circuit().part(id);
    let remembered = bench.outcome().memory.of(id);
    let pull = |ohms: f64| {
        let left = wiring.amount(&format!("coil-short:{}=", part.tag)).unwrap_or(ohms);
        wiring.amps(found, Role::Coil(id)).abs() * left
    };
    let holds = |pull: f64, pulls_in: f64, drops_out: f64| {
        assert!(pull < pulls_in + 1e-6 || remembered.on, "{} rests at {pull} V of {pulls_in}\n{story}", part.tag);
        assert!(pull > drops_out - 1e-6 || !remembered.on, "{} holds at {pull} V of {drops_out}\n{story}", part.tag);
    };
    let volts = |from: &str, to: &str| Some(found.volts[wiring.at(id, from)]? - found.volts[wiring.at(id, to)]?);
    match &part.kind {
        Kind::Relay(relay) => holds(pull(relay.coil_ohms), relay.pulls_in, relay.drops_out),
        Kind::AirValve(valve) => holds(pull(valve.coil_ohms), valve.pulls_in, valve.drops_out),
        Kind::Fuse(fuse) => {
            let amps = wiring.amps(found, Role::Part(id)).abs();
            assert!(amps < 1.35 * fuse.amps + 1e-6, "{} carries {amps} A\n{story}", part.tag);
        }
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
            let felt = bench.conditions().felt(sensor.senses);
            assert!(felt < sensor.acts_at.value() || remembered.acted, "{} has not acted\n{story}", part.tag);
            assert!(felt > sensor.resets_at.value() || !remembered.acted, "{} has not reset\n{story}", part.tag);
        }
        Kind::Module(module) => {
            let supply = volts("supply", "ground").unwrap_or(0.0);
            let fed = volts("in", "ground").is_some_and(|v| v >= 0.5 * supply);
            let asked = fed || module.side == Side::High;
            let wanted = supply >= 6.0 && asked != wiring.is(&format!("swapped:{}", part.tag));
            assert_eq!(remembered.on, wanted, "{}'s driver\n{story}", part.tag);
        }
        Kind::Timer(_) => {
            let supply = volts("15", "31").unwrap_or(0.0);
            let fed = volts("in", "31").is_some_and(|v| v >= 0.5 * supply);
            assert_eq!(remembered.on, supply >= 6.0 && fed, "{}'s contact\n{story}", part.tag);
        }
        _ => {}
    }
}

#[test]
fn random_circuits_agree_with_networks_wired_up_by_the_test() {
    let (mut compared, mut restless, mut ambiguous) = (0, 0, 0);
    for seed in 0..400 {
        let mut random = Random::new(seed);
        let text = random_text(&mut random);
        let circuit: Arc<Circuit> = circuit(&text);
        let mut stand = Stand::new(&circuit);
        let mut story = format!("seed {seed}\n{text}");
        for _ in 0..8 {
            if !stand.bench.outcome().settled() {
                restless += 1;
            } else if compare(&stand.bench, &story) {
                compared += 1;
            } else {
                ambiguous += 1;
            }
            let words = random_change(&mut random, &circuit);
            let action = crate::support::action(&words).unwrap_or_else(|e| panic!("{words}: {e}"));
            if stand.bench.apply(action).is_ok() {
                writeln!(story, "{words}").expect("writing to a string");
            }
        }
    }
    println!("{compared} states compared, {restless} never at rest, {ambiguous} with rings of exact joins");
    assert!(compared > 2500, "only {compared} states compared, {restless} never at rest, {ambiguous} ambiguous");
}
