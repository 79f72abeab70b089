//! How each fault becomes inputs of the physics: the only place that knows both.
//!
//! A fault becomes altered parts, cuts and ties; the physics never learns that it was one. Every refusal of a fault
//! that this circuit cannot have is worded here, and of faults that cannot be together. The grammar of faults is in
//! [`fault`](super::fault).

use crate::circuit::part::{AirValve, Demand, Load, Relay, Suppressor};
use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI, Level};
use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireId};
use crate::physics::inputs::{Altered, Tie, Touch};
use crate::physics::limits::SHORTED_DIODE_OHMS;
use crate::physics::meter::is_24_volt;

use super::fault::{Fault, Rating};
use super::refusal::Refusal;
use crate::words::{Words, say};

/// Everything that these faults alter. Their order does not matter.
///
/// # Errors
/// Where the circuit has no such part, the part cannot have such a fault, or two faults contradict each other.
pub(super) fn altered(circuit: &Circuit, faults: &[Fault]) -> Result<Altered, Refusal> {
    for (place, fault) in faults.iter().enumerate() {
        if let Some(other) = faults[..place].iter().find(|other| other.contradicts(fault)) {
            return Err(Refusal::new(say!("plant-cannot-both-be", other, fault), say!("plant-put-right-first", other)));
        }
    }
    let mut altered = Altered::default();
    for fault in in_order(faults) {
        impose(circuit, fault, &mut altered)?;
    }
    Ok(altered)
}

/// In the order of their words, so that sums and lists come out the same whichever was there first.
pub(super) fn in_order(faults: &[Fault]) -> Vec<&Fault> {
    let mut ordered: Vec<&Fault> = faults.iter().collect();
    ordered.sort_by_cached_key(|fault| fault.to_string());
    ordered
}

/// Whether a fault becomes a tie, one and no more.
pub(super) fn is_tie(fault: &Fault) -> bool {
    matches!(fault, Fault::Ground(..) | Fault::Feed(..) | Fault::Join(..) | Fault::CoilGround(..))
}

/// Puts a fault into the inputs of the physics.
fn impose(circuit: &Circuit, fault: &Fault, altered: &mut Altered) -> Result<(), Refusal> {
    let names = Names { circuit, fault };
    if names.in_air_or_clutch(altered) {
        return Ok(());
    }
    if names.in_figures(altered)? {
        return Ok(());
    }
    names.in_circuit(altered)
}

/// Whether the coil of this kind of part can have a fault.
fn has_coil(kind: &Kind) -> bool {
    matches!(kind, Kind::Relay(_) | Kind::AirValve(_))
}

fn has_suppressor(kind: &Kind) -> bool {
    match kind {
        Kind::Relay(Relay { suppressor, .. }) | Kind::AirValve(AirValve { suppressor, .. }) => suppressor.is_some(),
        _ => false,
    }
}

/// What is across a part's coil, where it has one.
fn suppressor(kind: &mut Kind) -> Option<&mut Option<Suppressor>> {
    match kind {
        Kind::Relay(Relay { suppressor, .. }) | Kind::AirValve(AirValve { suppressor, .. }) => Some(suppressor),
        _ => None,
    }
}

/// Whether a contact or driver of this kind of part can stay where it is.
fn can_stick(kind: &Kind, position: Contact) -> bool {
    match kind {
        Kind::KeySwitch(_)
        | Kind::HandSwitch(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::Relay(_)
        | Kind::Timer(_)
        | Kind::Module(_) => true,
        Kind::SelectorSwitch(_) => position == Contact::Open,
        _ => false,
    }
}

/// The ohms of what a part joins, where it joins something.
fn joined_ohms(kind: &mut Kind) -> Option<&mut f64> {
    match kind {
        Kind::Battery(battery) => Some(&mut battery.internal_ohms),
        Kind::Fuse(fuse) => {
            let whole = fuse.resistance();
            Some(fuse.ohms.get_or_insert(whole))
        }
        Kind::KeySwitch(switch) => Some(&mut switch.contact_ohms),
        Kind::HandSwitch(switch) => Some(&mut switch.contact_ohms),
        Kind::SelectorSwitch(switch) => Some(&mut switch.contact_ohms),
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => Some(&mut sensor.contact_ohms),
        Kind::Relay(relay) => Some(&mut relay.contact_ohms),
        Kind::Timer(timer) => Some(&mut timer.contact_ohms),
        Kind::Module(module) => Some(&mut module.on_ohms),
        Kind::Connector(connector) => Some(&mut connector.pin_ohms),
        Kind::Ground(ground) => Some(&mut ground.ohms),
        Kind::AirValve(_) | Kind::Diode(_) | Kind::Resistor(_) | Kind::Lamp(_) | Kind::Splice(_) => None,
    }
}

/// Turns what is across a coil round between the coil's ends.
fn turn_round(kind: &mut Kind) {
    let ends: [&str; 2] = if matches!(kind, Kind::Relay(_)) { ["85", "86"] } else { ["1", "2"] };
    if let Some(Some(Suppressor::Diode { cathode })) = suppressor(kind) {
        *cathode = ends[usize::from(cathode == ends[0])].to_owned();
    }
}

/// The other sort of the same part; false where there is none.
fn swap(kind: &mut Kind) -> bool {
    match kind {
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => sensor.rest = sensor.rest.flipped(),
        Kind::Module(module) => module.on_when = Demand::Not(Box::new(module.on_when.clone())),
        _ => return false,
    }
    true
}

/// A coil made for another system voltage: the same watts, so ohms with the square of the volts, and the same share of
/// them to pull in and to let go.
fn rewind(kind: &mut Kind, share: f64) {
    let (ohms, pulls_in, drops_out) = match kind {
        Kind::Relay(relay) => (&mut relay.coil_ohms, &mut relay.pulls_in, &mut relay.drops_out),
        Kind::AirValve(valve) => (&mut valve.coil_ohms, &mut valve.pulls_in, &mut valve.drops_out),
        _ => return,
    };
    *ohms *= share * share;
    *pulls_in *= share;
    *drops_out *= share;
}

/// A difference between levels in K or kPa, in which Fahrenheit has no offset.
fn difference(by: Level) -> f64 {
    match by {
        Level::Fahrenheit(f) => f / 1.8,
        Level::Celsius(k) => k,
        Level::Psi(p) => p * KPA_PER_PSI,
        Level::Kilopascal(k) => k,
        Level::Bar(b) => b * KPA_PER_BAR,
    }
}

/// Looks names up in the circuit, refusing in the words of the fault.
struct Names<'a> {
    circuit: &'a Circuit,
    fault: &'a Fault,
}

impl Names<'_> {
    /// Puts a fault of hoses, air or clutch in; false where it is another's.
    fn in_air_or_clutch(&self, altered: &mut Altered) -> bool {
        match self.fault {
            Fault::SwappedHoses => altered.hoses_swapped = true,
            Fault::CrossedHoses => altered.hoses_crossed = true,
            Fault::LeakHose(mm) => altered.hose_leak_mm = Some(*mm),
            Fault::LeakChamber(mm) => altered.chamber_leak_mm = Some(*mm),
            Fault::LeakSeat(mm) => altered.seat_leak_mm = Some(*mm),
            Fault::BlockedSupply => altered.supply_blocked = true,
            Fault::BlockedFilter => altered.filter_blocked = true,
            Fault::BlockedHose => altered.hose_blocked = true,
            Fault::BlockedExhaust => altered.exhaust_blocked = true,
            Fault::Worn(mm) => altered.facing_mm = Some(*mm),
            Fault::Oiled => altered.facing_oiled = true,
            Fault::WeakSpring => altered.spring_weak = true,
            Fault::SeizedPiston => altered.piston_seized = true,
            Fault::RoughBearing => altered.bearing_rough = true,
            Fault::SlackBelt => altered.belt_slack = true,
            Fault::DamagedFan => altered.fan_damaged = true,
            _ => return false,
        }
        true
    }

    /// Puts a fault in that gives a part other figures than the circuit does; false where it is another's.
    fn in_figures(&self, altered: &mut Altered) -> Result<bool, Refusal> {
        let id = match self.fault {
            Fault::Resist(at, ohms) if self.circuit.part_named(at).is_some() => {
                let id = self.part_with(at, &say!("plant-ohms"), |k| joined_ohms(&mut k.clone()).is_some())?;
                let mut kind = self.figures(altered, id);
                if let Some(joined) = joined_ohms(&mut kind) {
                    *joined += ohms;
                }
                altered.fitted.insert(id, kind);
                return Ok(true);
            }
            Fault::Gap(part, by) => {
                let id = self.part_with(part, &say!("plant-set-point"), |k| k.sensor().is_some())?;
                let gap = self.difference(id, *by)?;
                return Ok(self.refit(altered, id, |kind| {
                    if let Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) = kind {
                        let resets = sensor.acts_at.value() - gap;
                        let hot = sensor.acts_at.is_temperature();
                        sensor.resets_at = if hot { Level::Celsius(resets) } else { Level::Kilopascal(resets) };
                    }
                }));
            }
            Fault::SuppressorOpen(part) | Fault::SuppressorShort(part) => {
                self.part_with(part, &say!("plant-across-its-coil"), has_suppressor)?
            }
            Fault::Swapped(part) => {
                let fits = |k: &Kind| has_coil(k) || swap(&mut k.clone());
                let id = self.part_with(part, &say!("plant-two-ways-to-be-fitted"), fits)?;
                if has_coil(&self.circuit.part(id).kind) {
                    altered.swapped.insert(id);
                    return Ok(true);
                }
                id
            }
            Fault::Fitted(part, Rating::Amps(_)) => {
                self.part_with(part, &say!("plant-fuse"), |k| matches!(k, Kind::Fuse(_)))?
            }
            Fault::Fitted(part, Rating::Volts(_)) => self.part_with(part, &say!("plant-coil"), has_coil)?,
            Fault::Hold(part, _) => self.part_with(part, &say!("plant-timer"), |k| matches!(k, Kind::Timer(_)))?,
            Fault::Reversed(part) => {
                let fits = |k: &Kind| has_coil(k) || matches!(k, Kind::Diode(_));
                let id = self.part_with(part, &say!("plant-two-ways-round"), fits)?;
                if !has_coil(&self.circuit.part(id).kind) {
                    altered.reversed.insert(id);
                    return Ok(true);
                }
                id
            }
            Fault::DiodeShort(part) => self.part_with(part, &say!("plant-diode"), |k| matches!(k, Kind::Diode(_)))?,
            _ => return Ok(false),
        };
        let is_24_volt = is_24_volt(self.circuit);
        Ok(self.refit(altered, id, |kind| match (self.fault, kind) {
            (Fault::SuppressorOpen(_), kind) => {
                if let Some(across) = suppressor(kind) {
                    *across = None;
                }
            }
            (Fault::SuppressorShort(_), kind) => {
                if let Some(across) = suppressor(kind) {
                    *across = Some(Suppressor::Resistor(SHORTED_DIODE_OHMS));
                }
            }
            (Fault::Swapped(_), kind) => {
                swap(kind);
            }
            (Fault::Fitted(_, Rating::Amps(amps)), Kind::Fuse(fuse)) => (fuse.amps, fuse.ohms) = (*amps, None),
            (Fault::Fitted(_, Rating::Volts(volts)), kind) => {
                rewind(kind, volts / if is_24_volt { 24.0 } else { 12.0 });
            }
            (Fault::Hold(_, seconds), Kind::Timer(timer)) => timer.hold_seconds = *seconds,
            (Fault::Reversed(_), kind) => turn_round(kind),
            (Fault::DiodeShort(_), kind) => *kind = Kind::Resistor(Load { ohms: SHORTED_DIODE_OHMS }),
            _ => {}
        }))
    }

    /// A part's figures as the faults before have left them.
    fn figures(&self, altered: &Altered, id: PartId) -> Kind {
        altered.fitted.get(&id).unwrap_or(&self.circuit.part(id).kind).clone()
    }

    fn refit(&self, altered: &mut Altered, id: PartId, change: impl FnOnce(&mut Kind)) -> bool {
        let mut kind = self.figures(altered, id);
        change(&mut kind);
        altered.fitted.insert(id, kind);
        true
    }

    /// Puts in a fault of wires, contacts or coils.
    fn in_circuit(&self, altered: &mut Altered) -> Result<(), Refusal> {
        match self.fault {
            Fault::Open(wire) => {
                altered.cut.insert(self.wire(wire)?);
            }
            Fault::PinOut(at) => {
                altered.pins_out.insert(self.terminal(at)?);
            }
            Fault::Resist(wire, ohms) => {
                *altered.added_ohms.entry(self.wire(wire)?).or_default() += ohms;
            }
            Fault::Ground(at, ohms) => altered.ties.push(Tie::ToChassis(Touch::Terminal(self.terminal(at)?), *ohms)),
            Fault::Feed(at, ohms) => altered.ties.push(Tie::ToSupply(Touch::Terminal(self.terminal(at)?), *ohms)),
            Fault::Join(a, b) if a == b => {
                return Err(Refusal::new(
                    say!("plant-joins-a-wire-to-itself", fault = self.fault),
                    say!("plant-name-two-wires"),
                ));
            }
            Fault::Join(a, b) => altered.ties.push(Tie::Wires(self.wire(a)?, self.wire(b)?)),
            Fault::Stuck(part, position) => {
                let id = self.part_with(part, &say!("plant-contact"), |k| can_stick(k, *position))?;
                altered.stuck.insert(id, *position);
            }
            Fault::Drift(part, by) => {
                let id = self.part_with(part, &say!("plant-set-point"), |k| k.sensor().is_some())?;
                altered.drift.insert(id, self.difference(id, *by)?);
            }
            Fault::CoilOpen(part) => {
                altered.coil_open.insert(self.part_with(part, &say!("plant-coil"), has_coil)?);
            }
            Fault::CoilShort(part, ohms) => {
                altered.coil_ohms.insert(self.part_with(part, &say!("plant-coil"), has_coil)?, *ohms);
            }
            Fault::CoilGround(at, ohms) => altered.ties.push(Tie::InsideToChassis(self.coil_end(at)?, *ohms)),
            Fault::ValveStuck(part, at) => {
                let id = self.part_with(part, &say!("plant-air-valve"), |k| matches!(k, Kind::AirValve(_)))?;
                altered.valve_stuck.insert(id, *at);
            }
            Fault::Blown(part) => {
                altered.blown.insert(self.part_with(part, &say!("plant-fuse"), |k| matches!(k, Kind::Fuse(_)))?);
            }
            Fault::Flat(part, volts) => {
                let id = self.part_with(part, &say!("plant-battery"), |k| matches!(k, Kind::Battery(_)))?;
                altered.battery_volts.insert(id, *volts);
            }
            Fault::ModuleDead(part) => {
                let id = self.part_with(part, &say!("plant-module"), |k| matches!(k, Kind::Module(_)))?;
                altered.module_dead.insert(id);
            }
            Fault::DiodeOpen(part) => {
                let id = self.part_with(part, &say!("plant-diode"), |k| matches!(k, Kind::Diode(_)))?;
                altered.pins_out.insert(self.circuit.terminal_at(id, 0));
            }
            // All others are put in before it comes to this.
            _ => {}
        }
        Ok(())
    }

    /// A difference from a sensor's set point in K or kPa.
    fn difference(&self, id: PartId, by: Level) -> Result<f64, Refusal> {
        let part = self.circuit.part(id);
        if part.kind.sensor().is_some_and(|s| s.senses.is_temperature() != by.is_temperature()) {
            return Err(Refusal::new(
                say!("plant-is-in-a-unit-that", fault = self.fault, tag = part.tag),
                say!("plant-use-f-or-c"),
            ));
        }
        Ok(difference(by))
    }

    /// One end of a winding.
    fn coil_end(&self, words: &str) -> Result<TerminalId, Refusal> {
        let id = self.terminal(words)?;
        let terminal = self.circuit.terminal(id);
        let kind = &self.circuit.part(terminal.part).kind;
        if has_coil(kind) && ["1", "2", "85", "86"].contains(&terminal.name.as_str()) {
            return Ok(id);
        }
        let mend = say!("plant-name-an-end-of-a-coil");
        Err(Refusal::new(say!("plant-no-winding-ends-at", fault = self.fault, words), mend))
    }

    fn wire(&self, tag: &str) -> Result<WireId, Refusal> {
        self.circuit.wire_named(tag).ok_or_else(|| Refusal::no_wire(self.circuit, tag))
    }

    fn terminal(&self, words: &str) -> Result<TerminalId, Refusal> {
        self.circuit.terminal_named(words).ok_or_else(|| Refusal::no_terminal(self.circuit, words))
    }

    fn part_with(&self, tag: &str, what: &Words, fits: impl Fn(&Kind) -> bool) -> Result<PartId, Refusal> {
        let id = self.circuit.part_named(tag).ok_or_else(|| Refusal::no_part(self.circuit, tag))?;
        if fits(&self.circuit.part(id).kind) {
            return Ok(id);
        }
        let fitting: Vec<&str> =
            self.circuit.parts().iter().filter(|p| fits(&p.kind)).map(|p| p.tag.as_str()).take(12).collect();
        let mend = if fitting.is_empty() {
            say!("plant-no-part-can-have-it")
        } else {
            say!("plant-this-fault-fits", tags = fitting.join(", "))
        };
        Err(Refusal::new(say!("plant-does-not-have", fault = self.fault, tag, what), mend))
    }
}
