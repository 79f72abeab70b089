//! Whatever a technician could try next: every way to set the truck up, and everything to read in it.
//!
//! Setups: as it stands, each thing that asks brought past its set point and just short of it, the key the other way,
//! each switch turned, each plug off, a lead across each contact, and a wire lifted at each coil and sensor for the
//! ohmmeter. Readings: the fan, the clutch's gauge, volts or lamp from every wired terminal to the battery's minus and
//! across every two-terminal part and wire, current in every wire, and ohms with the key off. Whether one is safe, tells
//! anything and is worth its minutes is decided elsewhere.

use std::collections::BTreeSet;

use crate::bench::{Act, EndName, Gauge, Instrument, LeadFuse, Point, Reading, Setting, just_past};
use crate::circuit::part::{Quantity, SetPoint};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Kind, PartId, TerminalId};
use crate::physics::inputs::Conditions;
use crate::physics::limits::GOVERNED_RPM;
use crate::study::table::asks_engine;

use super::sight::Setup;

/// What may be read in a setup.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scope {
    /// Everything but ohms.
    Live,
    /// The key is off: the fan, volts to the battery's minus, and ohms.
    Dead,
    /// One part's ohms, its wire off.
    Ohms(PartId),
    /// The engine turns: nobody probes beside the belts.
    FromOutside,
}

/// One way to set the truck up, with what may be read then.
#[derive(Clone, Debug)]
pub(super) struct Stand {
    pub(super) setup: Setup,
    pub(super) scope: Scope,
}

/// One thing to read in one stand, by its place among the stands.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Trial {
    pub(super) stand: usize,
    pub(super) reading: Reading,
}

/// Every stand, the truck as it stands first.
pub(super) fn stands(circuit: &Circuit, conditions: &Conditions) -> Vec<Stand> {
    let live = if conditions.engine_rpm > 0.0 {
        Scope::FromOutside
    } else if conditions.key_on {
        Scope::Live
    } else {
        Scope::Dead
    };
    let mut found = vec![Stand { setup: Setup::default(), scope: live }];
    let key = Setting::Key(!conditions.key_on);
    let other = if conditions.key_on { Scope::Dead } else { Scope::Live };
    found.push(Stand { setup: Setup { with: vec![key], after: Vec::new() }, scope: other });
    for act in acts(circuit) {
        found.push(Stand { setup: Setup { with: Vec::new(), after: vec![act] }, scope: live });
    }
    for setting in felt(circuit, conditions) {
        found.push(Stand { setup: Setup { with: vec![setting], after: Vec::new() }, scope: live });
    }
    if engine_asks(circuit) {
        let (rpm, scope) =
            if conditions.engine_rpm > 0.0 { (0.0, Scope::Live) } else { (GOVERNED_RPM, Scope::FromOutside) };
        found.push(Stand { setup: Setup { with: vec![Setting::Engine(rpm)], after: Vec::new() }, scope });
    }
    for (id, end) in wire_off(circuit) {
        let with = if conditions.key_on { vec![Setting::Key(false)] } else { Vec::new() };
        found.push(Stand { setup: Setup { with, after: vec![Act::Lift(end)] }, scope: Scope::Ohms(id) });
    }
    found
}

/// Everything a hand does: switches, plugs, leads across contacts.
fn acts(circuit: &Circuit) -> Vec<Act> {
    let mut found = Vec::new();
    let point = |id: PartId, place: usize| Point::Terminal(circuit.terminal_words(circuit.terminal_at(id, place)));
    for (id, part) in circuit.parts_with_ids() {
        let tag = || part.tag.clone();
        let across = |a: usize, b: usize| Act::Jump { a: point(id, a), b: point(id, b), fuse: LeadFuse::Usual };
        match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => found.push(Act::Press { switch: tag() }),
            Kind::HandSwitch(_) => {
                found.extend(["on", "off"].map(|to| Act::Turn { switch: tag(), to: to.to_owned() }));
            }
            Kind::SelectorSwitch(switch) => {
                found.extend(switch.positions.iter().map(|to| Act::Turn { switch: tag(), to: to.clone() }));
            }
            _ => {}
        }
        match &part.kind {
            Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => {
                found.extend([Act::Unplug { part: tag() }, across(0, 1)]);
            }
            Kind::Relay(_) => found.extend([Act::Unplug { part: tag() }, across(2, 3)]),
            Kind::AirValve(_) | Kind::Module(_) | Kind::Timer(_) => found.push(Act::Unplug { part: tag() }),
            _ => {}
        }
    }
    found
}

/// How far past its set point something is brought besides just past it: further than a set point usually drifts.
const FAR_FAHRENHEIT: f64 = 25.0;
/// The same for pressures, as a share of the set point.
const FAR_SHARE: f64 = 0.25;

/// Every condition that moves a sensor or a module: just past each set point, well past it, short of it, and back at
/// rest, as far as the conditions are not there already.
fn felt(circuit: &Circuit, conditions: &Conditions) -> Vec<Setting> {
    let mut found: Vec<Setting> = Vec::new();
    for part in circuit.parts() {
        let points = match &part.kind {
            Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => vec![sensor.set_point()],
            Kind::Module(module) => module.on_when.set_points(),
            _ => continue,
        };
        for point in points {
            let now = conditions.felt(point.senses);
            let acted = if point.rising { now >= point.acts.value() } else { now <= point.acts.value() };
            let away = if acted {
                vec![rest(&point)]
            } else {
                vec![just_past(&point).0, moved(&point, 1.0), moved(&point, -0.5)]
            };
            for setting in away {
                if !found.contains(&setting) && is_possible(&setting) {
                    found.push(setting);
                }
            }
        }
    }
    found
}

/// A set point moved by so many of what counts as far, in the sense in which it acts.
fn moved(point: &SetPoint, share: f64) -> Setting {
    let way = if point.rising { share } else { -share };
    shifted(point.senses, point.acts, way)
}

/// Well on the rest side of where it resets.
fn rest(point: &SetPoint) -> Setting {
    shifted(point.senses, point.resets, if point.rising { -1.0 } else { 1.0 })
}

fn shifted(senses: Quantity, from: Level, way: f64) -> Setting {
    let by = |size: f64| (size.abs() * FAR_SHARE * way * 10.0).round() / 10.0;
    Setting::felt(
        senses,
        match from {
            Level::Fahrenheit(x) => Level::Fahrenheit(x + FAR_FAHRENHEIT * way),
            Level::Celsius(x) => Level::Celsius((x + FAR_FAHRENHEIT / 1.8 * way).round()),
            Level::Psi(x) => Level::Psi(x + by(x)),
            Level::Kilopascal(x) => Level::Kilopascal(x + by(x)),
            Level::Bar(x) => Level::Bar(x + by(x)),
        },
    )
}

/// Whether the grammar takes the setting: a pressure below nothing is none.
fn is_possible(setting: &Setting) -> bool {
    setting.to_string().parse::<Setting>().is_ok()
}

/// Whether a module asks if the engine is stopped.
fn engine_asks(circuit: &Circuit) -> bool {
    circuit.parts().iter().any(|part| matches!(&part.kind, Kind::Module(module) if asks_engine(&module.on_when)))
}

/// A wire to lift at each coil, sensor and diode, so that its ohms are its own.
fn wire_off(circuit: &Circuit) -> Vec<(PartId, EndName)> {
    let mut found = Vec::new();
    for (id, part) in circuit.parts_with_ids() {
        if ohms_places(&part.kind).is_none() {
            continue;
        }
        let mut ends = circuit.terminals_of(id).flat_map(|terminal| circuit.ends_at(terminal)).copied();
        // A terminal with one wire alone is free once that is off.
        let alone = ends.find(|end| circuit.ends_at(circuit.terminal_of_end(*end)).len() == 1);
        if let Some(end) = alone {
            let wire = circuit.wire(end.wire).tag.clone();
            let terminal = circuit.terminal_words(circuit.terminal_of_end(end));
            found.push((id, EndName { wire, terminal }));
        }
    }
    found
}

/// The two terminals across which a part's own ohms say something.
fn ohms_places(kind: &Kind) -> Option<(usize, usize)> {
    match kind {
        Kind::AirValve(_) | Kind::Relay(_) => Some((0, 1)),
        kind if kind.sensor().is_some() => Some((0, 1)),
        _ => None,
    }
}

/// What can be read in one stand with the instruments at hand, each said once.
pub(super) fn readings(circuit: &Circuit, stand: &Stand, has: impl Fn(&str) -> bool) -> Vec<Reading> {
    let mut found: Vec<Reading> = Vec::new();
    if circuit.clutch_valve().is_some() {
        found.push(Reading::Fan);
        found.push(Reading::Gauge(Gauge::Clutch));
    }
    let points = Points { circuit };
    let with = |pairs: &[(TerminalId, TerminalId)], instrument: Instrument| {
        pairs.iter().map(|(a, b)| points.across(instrument, *a, *b)).collect::<Vec<_>>()
    };
    match stand.scope {
        Scope::Live => {
            let (ground, parts) = (points.to_minus(), points.across_parts_and_wires());
            for instrument in [Instrument::Voltmeter, Instrument::LowImpedance, Instrument::TestLamp] {
                found.extend(with(&ground, instrument));
                found.extend(with(&parts, instrument));
            }
            let tags = || circuit.wires().iter().map(|wire| wire.tag.clone());
            found.extend(tags().map(Reading::Clamp));
            found.extend(tags().map(Reading::Amps));
        }
        Scope::Dead => {
            found.extend(with(&points.to_minus(), Instrument::Voltmeter));
            found.extend(with(&points.to_minus(), Instrument::Ohmmeter));
            found.extend(with(&points.across_parts_and_wires(), Instrument::Ohmmeter));
        }
        Scope::Ohms(part) => {
            if let Some((a, b)) = ohms_places(&circuit.part(part).kind) {
                let pair = (circuit.terminal_at(part, a), circuit.terminal_at(part, b));
                found.extend(with(&[pair], Instrument::Ohmmeter));
            }
        }
        Scope::FromOutside => {}
    }
    found.retain(|reading| has(super::minutes::instrument_word(reading)));
    found
}

struct Points<'a> {
    circuit: &'a Circuit,
}

impl Points<'_> {
    fn across(&self, instrument: Instrument, a: TerminalId, b: TerminalId) -> Reading {
        let [first, second] = [a, b].map(|terminal| Point::Terminal(self.circuit.terminal_words(terminal)));
        Reading::Across { instrument, first, second }
    }

    fn is_wired(&self, terminal: TerminalId) -> bool {
        !self.circuit.ends_at(terminal).is_empty()
    }

    /// From every wired terminal to the battery's minus.
    fn to_minus(&self) -> Vec<(TerminalId, TerminalId)> {
        let Some((battery, _)) = self.circuit.battery() else { return Vec::new() };
        let minus = self.circuit.terminal_at(battery, 1);
        let all = self.circuit.terminals_with_ids().map(|(id, _)| id);
        all.filter(|id| *id != minus && self.is_wired(*id)).map(|id| (id, minus)).collect()
    }

    /// Across every part between whose terminals a technician measures, and along every wire.
    fn across_parts_and_wires(&self) -> Vec<(TerminalId, TerminalId)> {
        let mut found = Vec::new();
        for (id, part) in self.circuit.parts_with_ids() {
            let places: &[(usize, usize)] = match &part.kind {
                Kind::Relay(_) => &[(0, 1), (2, 3), (2, 4)],
                Kind::Module(_) => &[(2, 1), (0, 2)],
                Kind::Timer(_) => &[(0, 3)],
                Kind::Battery(_) | Kind::Splice(_) | Kind::Ground(_) => &[],
                _ => &[(0, 1)],
            };
            found.extend(
                places.iter().map(|(a, b)| (self.circuit.terminal_at(id, *a), self.circuit.terminal_at(id, *b))),
            );
        }
        found.extend(self.circuit.wires().iter().map(|wire| (wire.from, wire.to)));
        let mut said = BTreeSet::new();
        found.retain(|(a, b)| self.is_wired(*a) && self.is_wired(*b) && a != b && said.insert((*a.min(b), *a.max(b))));
        found
    }
}
