//! Every single thing that can be wrong with one circuit, in a fixed order, and how common it is.
//!
//! A fault is something in the world: a wire broken, a contact welded, a hose leaking. Where one is a matter of degree,
//! one or two amounts stand for all: amounts that matter to this circuit, taken from its own coils and set points.
//! What a fault does is found by settling the circuit with it; nothing here says so.

use std::collections::BTreeMap;

use crate::bench::{Fault, Rating};
use crate::circuit::part::{SensorSwitch, Suppressor, ValveRest};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireEnd, WireId};
use crate::physics::limits::FACING_LIMIT_MM;
use crate::physics::meter::is_24_volt;
use crate::study::answer::Subject;

/// Shares of the smallest coil that stand for a bad joint: one that such a coil hides when cold, one that keeps it from
/// pulling in (5 and 20 ohm before 30: common practice, no source).
const JOINT_SHARES: [f64; 2] = [1.0 / 6.0, 2.0 / 3.0];

/// Share of the smallest coil that stands for a burnt contact (8 ohm before 30: common practice, no source).
const CONTACT_SHARE: f64 = 8.0 / 30.0;

/// °F below its set point at which a temperature switch resets whose gap is lost (common practice, no source).
const GAP_FAHRENHEIT: f64 = 1.0;

/// Share of its set point below it at which such a pressure switch resets (example value).
const GAP_SHARE: f64 = 0.01;

/// Amps of a fuse for its own, where too large a one was fitted (30 for 10: common practice, no source).
const OVERSIZE: f64 = 3.0;

/// Share of its time that a timer holds which is set too short (example value).
const SHORT_HOLD_SHARE: f64 = 0.1;

/// A gap in the valve's seat in mm (example value).
const SEAT_MM: f64 = 0.5;

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
const USUAL_WEIGHTS: [(&str, f64); 30] = [
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
    ("gap", 0.1),
    ("coil-ground", 0.1),
    ("suppressor-open", 0.2),
    ("suppressor-short", 0.1),
    ("diode-open", 0.1),
    ("diode-short", 0.1),
    ("fitted", 0.1),
    ("hold", 0.05),
    ("oiled", 0.2),
    ("weak", 0.1),
    ("seized", 0.1),
    ("crossed", 0.05),
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
    pins(circuit, &mut found);
    for (id, part) in circuit.parts_with_ids() {
        of_part(circuit, id, &part.tag, &part.kind, &mut found);
    }
    if circuit.clutch_valve().is_some() {
        found.extend(air_and_clutch());
    }
    found
}

/// What is heard and felt at the turning fan, and never read off a meter or gauge: to be planted, not to be told apart.
const HEARD_AND_FELT: [Fault; 3] = [Fault::RoughBearing, Fault::SlackBelt, Fault::DamagedFan];

/// What can be wrong with hoses, air and clutch.
fn air_and_clutch() -> Vec<Fault> {
    let mut found = Vec::new();
    found.extend(HOLES_MM.map(Fault::LeakHose));
    found.extend(HOLES_MM.map(Fault::LeakChamber));
    found.push(Fault::LeakSeat(SEAT_MM));
    found.extend([Fault::BlockedSupply, Fault::BlockedFilter, Fault::BlockedHose, Fault::BlockedExhaust]);
    found.extend([Fault::SwappedHoses, Fault::CrossedHoses]);
    found.push(Fault::Worn(rounded(FACING_LIMIT_MM * WORN_SHARE)));
    found.extend([Fault::Oiled, Fault::WeakSpring, Fault::SeizedPiston]);
    found
}

/// What can be wrong with one thing of the drawing, in the same order: with the clutch's valve also what can be wrong
/// with air and clutch, with a part of several terminals nothing that is wrong at one of them.
pub fn at(circuit: &Circuit, subject: Subject) -> Vec<Fault> {
    match subject {
        Subject::Part(id) => {
            let part = circuit.part(id);
            let mut found = Vec::new();
            of_part(circuit, id, &part.tag, &part.kind, &mut found);
            if circuit.clutch_valve().is_some_and(|(valve, _)| valve == id) {
                found.extend(air_and_clutch());
                found.extend(HEARD_AND_FELT);
            }
            found
        }
        Subject::Terminal(id) => {
            let words = circuit.terminal_words(id);
            let mut found = vec![Fault::PinOut(words.clone()), Fault::Ground(words.clone(), 0.0)];
            if circuit.battery().is_some() {
                found.push(Fault::Feed(words, 0.0));
            }
            found
        }
        Subject::Wire(id) | Subject::WireEnd(WireEnd { wire: id, .. }) => {
            let tag = || circuit.wire(id).tag.clone();
            let mut found = vec![Fault::Open(tag())];
            let joint = smallest_coil_ohms(circuit) * JOINT_SHARES[1];
            found.push(Fault::Resist(tag(), rounded(joint)));
            let others = circuit.wires_with_ids().filter(|(other, _)| *other != id);
            found.extend(others.map(|(_, other)| Fault::Join(tag(), other.tag.clone())));
            found
        }
        Subject::Lead(_) => Vec::new(),
    }
}

/// Pins backed out where several wires sit on one: elsewhere that is a broken wire to whoever looks.
fn pins(circuit: &Circuit, found: &mut Vec<Fault>) {
    let has_plug =
        |part: PartId| !matches!(circuit.part(part).kind, Kind::Splice(_) | Kind::Ground(_) | Kind::Battery(_));
    let several = circuit.terminals_with_ids().filter(|(id, t)| has_plug(t.part) && circuit.ends_at(*id).len() > 1);
    found.extend(several.map(|(id, _)| Fault::PinOut(circuit.terminal_words(id))));
}

/// Ohms of the smallest coil, or of a usual one where there is none.
fn smallest_coil_ohms(circuit: &Circuit) -> f64 {
    let coils = circuit.parts().iter().filter_map(|part| match &part.kind {
        Kind::AirValve(valve) => Some(valve.coil_ohms),
        Kind::Relay(relay) => Some(relay.coil_ohms),
        _ => None,
    });
    let coil = coils.fold(f64::INFINITY, f64::min);
    if coil.is_finite() { coil } else { COIL_OHMS }
}

/// Every wire broken, and bad joints in it.
fn wires(circuit: &Circuit, found: &mut Vec<Fault>) {
    let coil = smallest_coil_ohms(circuit);
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
    let coil = |ohms: f64, suppressor: Option<&Suppressor>, ends: [usize; 2]| {
        let mut found = vec![Fault::CoilOpen(tag()), Fault::CoilShort(tag(), rounded(ohms * SHORTED_SHARE))];
        found.extend(ends.map(|end| Fault::CoilGround(circuit.terminal_words(circuit.terminal_at(id, end)), 0.0)));
        if let Some(across) = suppressor {
            found.extend([Fault::SuppressorOpen(tag()), Fault::SuppressorShort(tag())]);
            if matches!(across, Suppressor::Diode { .. }) {
                found.push(Fault::Reversed(tag()));
            }
        }
        let other_volts = if is_24_volt(circuit) { 12.0 } else { 24.0 };
        found.push(Fault::Fitted(tag(), Rating::Volts(other_volts)));
        found
    };
    let burnt = || Fault::Resist(tag(), rounded(smallest_coil_ohms(circuit) * CONTACT_SHARE));
    match kind {
        Kind::Battery(battery) => {
            if circuit.battery().is_some_and(|(first, _)| first == id) {
                found.push(Fault::Flat(tag(), rounded(battery.volts * FLAT_SHARE)));
            }
        }
        Kind::Fuse(fuse) => {
            found.push(Fault::Blown(tag()));
            found.push(Fault::Fitted(tag(), Rating::Amps(rounded(fuse.amps * OVERSIZE))));
        }
        Kind::KeySwitch(_) | Kind::HandSwitch(_) => {
            found.extend(contact());
            found.push(burnt());
        }
        Kind::Timer(timer) => {
            found.extend(contact());
            found.push(Fault::Hold(tag(), rounded(timer.hold_seconds * SHORT_HOLD_SHARE)));
        }
        Kind::SelectorSwitch(_) => found.extend([Fault::Stuck(tag(), Contact::Open), burnt()]),
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
            found.extend(contact());
            found.extend(drifts(&tag(), sensor));
            found.extend([gap(&tag(), sensor), burnt(), Fault::Swapped(tag())]);
        }
        Kind::Relay(relay) => {
            found.extend(contact());
            found.push(burnt());
            found.extend(coil(relay.coil_ohms, relay.suppressor.as_ref(), [1, 0]));
            found.push(Fault::Swapped(tag()));
        }
        Kind::AirValve(valve) => {
            found.extend(coil(valve.coil_ohms, valve.suppressor.as_ref(), [0, 1]));
            found.extend([ValveRest::Passing, ValveRest::Blocking].map(|at| Fault::ValveStuck(tag(), at)));
            found.push(Fault::Swapped(tag()));
        }
        Kind::Diode(_) => {
            found.extend([Fault::Reversed(tag()), Fault::DiodeOpen(tag()), Fault::DiodeShort(tag())]);
        }
        Kind::Module(_) => {
            found.push(Fault::ModuleDead(tag()));
            found.extend(contact());
            found.push(Fault::Swapped(tag()));
        }
        Kind::Ground(_) | Kind::Connector(_) => {
            let joint = |share| Fault::Resist(tag(), rounded(smallest_coil_ohms(circuit) * share));
            found.extend(JOINT_SHARES.map(joint));
        }
        Kind::Resistor(_) | Kind::Lamp(_) | Kind::Splice(_) => {}
    }
}

/// A set point that has moved up, and one that has moved down.
fn drifts(tag: &str, sensor: &SensorSwitch) -> [Fault; 2] {
    [1.0, -1.0].map(|way| {
        let nought = sensor.acts_at.raised(-sensor.acts_at.written());
        Fault::Drift(tag.to_owned(), nought.raised(way * drift(sensor)))
    })
}

/// A reset point that has come close to the set point.
fn gap(tag: &str, sensor: &SensorSwitch) -> Fault {
    let share = |acts: f64| rounded((acts.abs() * GAP_SHARE).max(GAP_SHARE));
    let by = match sensor.acts_at {
        Level::Fahrenheit(_) => Level::Fahrenheit(GAP_FAHRENHEIT),
        Level::Celsius(_) => Level::Celsius(rounded(GAP_FAHRENHEIT / 1.8)),
        Level::Psi(acts) => Level::Psi(share(acts)),
        Level::Kilopascal(acts) => Level::Kilopascal(share(acts)),
        Level::Bar(acts) => Level::Bar(share(acts)),
    };
    Fault::Gap(tag.to_owned(), by)
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
    use super::{Weights, at, every, rounded, verb};
    use crate::bench::{Action, Bench, Fault};
    use crate::circuit::format::read;
    use crate::circuit::shipped::SHIPPED;
    use crate::study::answer::Subject;

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
    fn every_fault_listed_is_offered_at_the_thing_it_is_in_and_every_sort_there_is_by_some_circuit() {
        let mut verbs = std::collections::BTreeSet::new();
        for (name, text) in SHIPPED {
            let circuit = read(text).circuit.unwrap();
            let parts = circuit.parts_with_ids().map(|(id, _)| Subject::Part(id));
            let terminals = circuit.terminals_with_ids().map(|(id, _)| Subject::Terminal(id));
            let wires = circuit.wires_with_ids().map(|(id, _)| Subject::Wire(id));
            let offered: Vec<_> = parts.chain(terminals).chain(wires).flat_map(|what| at(&circuit, what)).collect();
            let sort = |fault: &Fault| fault.amount().map_or_else(|| fault.to_string(), |_| fault.without_amount());
            for fault in every(&circuit) {
                assert!(offered.iter().any(|offer| sort(offer) == sort(&fault)), "{name}: {fault}");
                verbs.insert(verb(&fault));
            }
        }
        let all: std::collections::BTreeSet<String> = Weights::default().iter().map(|(v, _)| v.to_owned()).collect();
        assert_eq!(verbs, all);
    }

    #[test]
    fn amounts_are_written_with_two_figures() {
        assert_eq!([0.79375, 20.0, 9.5, 123.4, 3.3333].map(rounded), [0.79, 20.0, 9.5, 120.0, 3.3]);
    }
}
