//! Every single thing that can be wrong with one circuit, in a fixed order, and how common it is.
//!
//! A fault is something in the world: a wire broken, a contact welded, a hose leaking. Where one is a matter of degree,
//! one or two amounts stand for all: amounts that matter to this circuit, taken from its own coils and set points.
//! What a fault does is found by settling the circuit with it; nothing here says so.

use std::collections::BTreeMap;

use crate::bench::Fault;
use crate::circuit::part::{SensorSwitch, ValveRest};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireId};
use crate::physics::limits::FACING_LIMIT_MM;

/// Shares of the smallest coil that stand for a bad joint: one that such a coil hides when cold, one that keeps it from
/// pulling in (5 and 20 ohm before 30: common practice, no source).
const JOINT_SHARES: [f64; 2] = [1.0 / 6.0, 2.0 / 3.0];

/// Ohms of a coil where a circuit has none.
const COIL_OHMS: f64 = 30.0;

/// °F by which a temperature switch's set point has moved (common practice, no source).
const DRIFT_FAHRENHEIT: f64 = 20.0;

/// Share of its set point by which a pressure switch's has moved (example value).
const DRIFT_SHARE: f64 = 0.2;

/// Share of its volts that a flat battery still has (9.5 of 12.6: common practice, no source).
const FLAT_SHARE: f64 = 9.5 / 12.6;

/// Share of its ohms that a coil with shorted turns still has (common practice, no source).
const SHORTED_SHARE: f64 = 0.5;

/// Holes in mm: one that the supply makes up for, and one that makes the clutch slip (example values).
const HOLES_MM: [f64; 2] = [1.0, 3.0];

/// Share of the limit that a facing worn past it still has (example value).
const WORN_SHARE: f64 = 0.5;

/// How often each sort of fault is found, relative to a wire broken through.
///
/// Opens before bad joints before chafes to ground before the rest (common practice, no source); edit them by the verb
/// of the fault.
#[derive(Clone, Debug, PartialEq)]
pub struct Weights(BTreeMap<String, f64>);

/// The weights nobody has edited.
const USUAL_WEIGHTS: [(&str, f64); 18] = [
    ("open", 1.0),
    ("resist", 0.6),
    ("ground", 0.3),
    ("feed", 0.1),
    ("join", 0.05),
    ("stuck", 0.5),
    ("drift", 0.3),
    ("coil-open", 0.5),
    ("coil-short", 0.2),
    ("valve-stuck", 0.5),
    ("swapped", 0.1),
    ("blown", 0.8),
    ("flat", 0.4),
    ("leak", 0.5),
    ("blocked", 0.3),
    ("worn", 0.4),
    ("module-dead", 0.2),
    ("reversed", 0.05),
];

impl Default for Weights {
    fn default() -> Self {
        Self(USUAL_WEIGHTS.iter().map(|(verb, weight)| ((*verb).to_owned(), *weight)).collect())
    }
}

impl Weights {
    /// Says how often faults of this verb are found, relative to `open`. False where no fault begins so, or the weight
    /// is not a number from 0 on; nothing is changed then.
    pub fn set(&mut self, verb: &str, weight: f64) -> bool {
        let fits = weight.is_finite() && weight >= 0.0;
        match self.0.get_mut(verb) {
            Some(kept) if fits => *kept = weight,
            _ => return false,
        }
        true
    }

    /// How often a fault is found, relative to `open`.
    pub fn of(&self, fault: &Fault) -> f64 {
        self.0.get(verb(fault).as_str()).copied().unwrap_or(0.0)
    }

    /// All verbs with their weights.
    pub fn iter(&self) -> impl Iterator<Item = (&str, f64)> {
        self.0.iter().map(|(verb, weight)| (verb.as_str(), *weight))
    }
}

/// The word a fault begins with in the grammar: what sort of fault it is.
pub fn verb(fault: &Fault) -> String {
    let words = fault.to_string();
    words.split(':').next().unwrap_or(&words).to_owned()
}

/// Every single fault this circuit can have: wires, then what wires can touch, then parts in file order, then air and
/// clutch.
pub fn every(circuit: &Circuit) -> Vec<Fault> {
    let mut found = Vec::new();
    wires(circuit, &mut found);
    touches(circuit, &mut found);
    joins(circuit, &mut found);
    for (id, part) in circuit.parts_with_ids() {
        of_part(circuit, id, &part.tag, &part.kind, &mut found);
    }
    if circuit.clutch_valve().is_some() {
        found.extend(HOLES_MM.map(Fault::LeakHose));
        found.extend(HOLES_MM.map(Fault::LeakChamber));
        found.extend([Fault::BlockedFilter, Fault::BlockedExhaust]);
        found.push(Fault::Worn(rounded(FACING_LIMIT_MM * WORN_SHARE)));
    }
    found
}

/// Every wire broken, and bad joints in it.
fn wires(circuit: &Circuit, found: &mut Vec<Fault>) {
    let coils = circuit.parts().iter().filter_map(|part| match &part.kind {
        Kind::AirValve(valve) => Some(valve.coil_ohms),
        Kind::Relay(relay) => Some(relay.coil_ohms),
        _ => None,
    });
    let coil = coils.fold(f64::INFINITY, f64::min);
    let coil = if coil.is_finite() { coil } else { COIL_OHMS };
    found.extend(circuit.wires().iter().map(|wire| Fault::Open(wire.tag.clone())));
    let joint = |tag: &str| JOINT_SHARES.map(|share| Fault::Resist(tag.to_owned(), rounded(coil * share)));
    found.extend(circuit.wires().iter().flat_map(|wire| joint(&wire.tag)));
}

/// Every terminal with a wire on it chafed to ground and to a live wire; not where it is that already.
fn touches(circuit: &Circuit, found: &mut Vec<Fault>) {
    let wired: Vec<(TerminalId, PartId)> = circuit
        .terminals_with_ids()
        .filter(|(id, _)| !circuit.ends_at(*id).is_empty())
        .map(|(id, terminal)| (id, terminal.part))
        .collect();
    let is_pole = |terminal: TerminalId, place: usize| {
        circuit.battery().is_some_and(|(battery, _)| circuit.terminal_at(battery, place) == terminal)
    };
    let is_ground = |part: PartId| matches!(circuit.part(part).kind, Kind::Ground(_));
    for (terminal, part) in &wired {
        if !is_ground(*part) && !is_pole(*terminal, 1) {
            found.push(Fault::Ground(circuit.terminal_words(*terminal), 0.0));
        }
    }
    if circuit.battery().is_none() {
        return;
    }
    for (terminal, _) in &wired {
        if !is_pole(*terminal, 0) {
            found.push(Fault::Feed(circuit.terminal_words(*terminal), 0.0));
        }
    }
}

/// Wires that leave one part side by side and have no terminal in common, rubbed together.
fn joins(circuit: &Circuit, found: &mut Vec<Fault>) {
    let parts = |wire: WireId| {
        let wire = circuit.wire(wire);
        [wire.from, wire.to].map(|terminal| circuit.terminal(terminal).part)
    };
    let terminals = |wire: WireId| [circuit.wire(wire).from, circuit.wire(wire).to];
    let all: Vec<WireId> = circuit.wires_with_ids().map(|(id, _)| id).collect();
    for (place, one) in all.iter().enumerate() {
        for other in &all[place + 1..] {
            let side_by_side = parts(*one).iter().any(|part| parts(*other).contains(part));
            let together = terminals(*one).iter().any(|terminal| terminals(*other).contains(terminal));
            if side_by_side && !together {
                found.push(Fault::Join(circuit.wire(*one).tag.clone(), circuit.wire(*other).tag.clone()));
            }
        }
    }
}

/// What can be wrong inside one part.
fn of_part(circuit: &Circuit, id: PartId, tag: &str, kind: &Kind, found: &mut Vec<Fault>) {
    let tag = || tag.to_owned();
    let contact = || [Contact::Open, Contact::Closed].map(|at| Fault::Stuck(tag(), at));
    let coil = |ohms: f64| [Fault::CoilOpen(tag()), Fault::CoilShort(tag(), rounded(ohms * SHORTED_SHARE))];
    match kind {
        Kind::Battery(battery) => {
            if circuit.battery().is_some_and(|(first, _)| first == id) {
                found.push(Fault::Flat(tag(), rounded(battery.volts * FLAT_SHARE)));
            }
        }
        Kind::Fuse(_) => found.push(Fault::Blown(tag())),
        Kind::KeySwitch(_) | Kind::HandSwitch(_) | Kind::Timer(_) => found.extend(contact()),
        Kind::SelectorSwitch(_) => found.push(Fault::Stuck(tag(), Contact::Open)),
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
            found.extend(contact());
            found.extend(drifts(&tag(), sensor));
        }
        Kind::Relay(relay) => {
            found.extend(contact());
            found.extend(coil(relay.coil_ohms));
            found.push(Fault::Swapped(tag()));
        }
        Kind::AirValve(valve) => {
            found.extend(coil(valve.coil_ohms));
            found.extend([ValveRest::Passing, ValveRest::Blocking].map(|at| Fault::ValveStuck(tag(), at)));
            found.push(Fault::Swapped(tag()));
        }
        Kind::Diode(_) => found.push(Fault::Reversed(tag())),
        Kind::Module(_) => found.push(Fault::ModuleDead(tag())),
        Kind::Resistor(_) | Kind::Lamp(_) | Kind::Connector(_) | Kind::Splice(_) | Kind::Ground(_) => {}
    }
}

/// A set point that has moved up, and one that has moved down.
fn drifts(tag: &str, sensor: &SensorSwitch) -> [Fault; 2] {
    [1.0, -1.0].map(|way| {
        let nought = sensor.acts_at.raised(-sensor.acts_at.written());
        Fault::Drift(tag.to_owned(), nought.raised(way * drift(sensor)))
    })
}

/// By how much a switch's set point is taken to have moved, in the unit it is written in.
pub(super) fn drift(sensor: &SensorSwitch) -> f64 {
    match sensor.acts_at {
        Level::Fahrenheit(_) => DRIFT_FAHRENHEIT,
        Level::Celsius(_) => rounded(DRIFT_FAHRENHEIT / 1.8),
        Level::Psi(acts) | Level::Kilopascal(acts) | Level::Bar(acts) => rounded(acts.abs() * DRIFT_SHARE),
    }
}

/// An amount with two figures, as a person would say it.
fn rounded(amount: f64) -> f64 {
    if amount == 0.0 || !amount.is_finite() {
        return 0.0;
    }
    let unit = 10f64.powi(amount.abs().log10().floor() as i32 - 1);
    // Through words and back, so that no binary dust is left in what is written.
    let decimals = (-(unit.log10().round() as i32)).max(0) as usize;
    format!("{:.decimals$}", (amount / unit).round() * unit).parse().unwrap_or(amount)
}

#[cfg(test)]
mod tests {
    use super::{Weights, every, rounded};
    use crate::bench::{Action, Bench};
    use crate::circuit::format::read;
    use crate::circuit::shipped::SHIPPED;

    #[test]
    fn every_fault_listed_can_be_planted_reads_back_from_its_words_and_has_a_weight() {
        for (name, text) in SHIPPED {
            let circuit = std::sync::Arc::new(read(text).circuit.unwrap());
            let faults = every(&circuit);
            let weights = Weights::default();
            for fault in &faults {
                let mut bench = Bench::new(std::sync::Arc::clone(&circuit));
                assert!(bench.apply(Action::Plant(fault.clone())).is_ok(), "{name}: {fault}");
                assert_eq!(fault.to_string().parse().as_ref(), Ok(fault), "{name}");
                assert!(weights.of(fault) > 0.0, "{name}: {fault}");
            }
            let mut words: Vec<String> = faults.iter().map(ToString::to_string).collect();
            words.sort();
            words.dedup();
            assert_eq!(words.len(), faults.len(), "{name}: none twice");
        }
    }

    #[test]
    fn amounts_are_written_with_two_figures() {
        assert_eq!([0.79375, 20.0, 9.5, 123.4, 3.3333].map(rounded), [0.79, 20.0, 9.5, 120.0, 3.3]);
    }
}
