//! Faults: what can be wrong in the world, and how each becomes inputs of the physics.
//!
//! A fault is a thing (a chafed wire, a welded contact, hoses changed over), never an answer. This is the only place
//! that knows the kinds; the physics knows altered parts, cuts and ties. Which fault explains a reading is left to
//! the study.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::circuit::part::ValveRest;
use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI, Level};
use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireId};
use crate::physics::inputs::{Altered, Tie, Touch};

use super::action::{level_from_words, level_words, saved_as_text};
use super::refusal::Refusal;

/// One thing wrong.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Fault {
    /// A wire broken through.
    Open(String),
    /// Ohms in series with a wire: a bad crimp, corrosion.
    Resist(String, f64),
    /// A terminal's wire chafed to the chassis, through so many ohms.
    Ground(String, f64),
    /// A terminal's wire chafed to one that is always fed, or joined to it by damp, through so many ohms.
    Feed(String, f64),
    /// Two wires chafed together.
    Join(String, String),
    /// A contact that stays where it is.
    Stuck(String, Contact),
    /// A set point that has moved.
    Drift(String, Level),
    /// A coil broken through.
    CoilOpen(String),
    /// A coil with shorted turns: ohms left.
    CoilShort(String, f64),
    /// A valve that does not move.
    ValveStuck(String, ValveRest),
    /// A relay with 87 and 87a changed over, or a valve of the other rest position.
    Swapped(String),
    /// A fuse found blown.
    Blown(String),
    /// A battery of so many volts.
    Flat(String, f64),
    /// A hole of so many mm in the clutch hose.
    LeakHose(f64),
    /// A hole of so many mm at the chamber.
    LeakChamber(f64),
    /// A clogged filter.
    BlockedFilter,
    /// A plugged exhaust.
    BlockedExhaust,
    /// A facing worn to so many mm.
    Worn(f64),
    /// A module that does nothing.
    ModuleDead(String),
    /// A diode fitted the wrong way round.
    Reversed(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let contact = |c: &Contact| match c {
            Contact::Open => "open",
            Contact::Closed => "closed",
        };
        match self {
            Self::Open(wire) => write!(f, "open:{wire}"),
            Self::Resist(wire, ohms) => write!(f, "resist:{wire}={}", ohms_words(*ohms)),
            Self::Ground(terminal, 0.0) => write!(f, "ground:{terminal}"),
            Self::Ground(terminal, ohms) => write!(f, "ground:{terminal}={}", ohms_words(*ohms)),
            Self::Feed(terminal, 0.0) => write!(f, "feed:{terminal}"),
            Self::Feed(terminal, ohms) => write!(f, "feed:{terminal}={}", ohms_words(*ohms)),
            Self::Join(a, b) => write!(f, "join:{a}={b}"),
            Self::Stuck(part, position) => write!(f, "stuck:{part}={}", contact(position)),
            Self::Drift(part, by) => {
                write!(f, "drift:{part}={}{}", if by.written() < 0.0 { "" } else { "+" }, level_words(*by))
            }
            Self::CoilOpen(part) => write!(f, "coil-open:{part}"),
            Self::CoilShort(part, ohms) => write!(f, "coil-short:{part}={}", ohms_words(*ohms)),
            Self::ValveStuck(part, ValveRest::Passing) => write!(f, "valve-stuck:{part}=passing"),
            Self::ValveStuck(part, ValveRest::Blocking) => write!(f, "valve-stuck:{part}=blocking"),
            Self::Swapped(part) => write!(f, "swapped:{part}"),
            Self::Blown(part) => write!(f, "blown:{part}"),
            Self::Flat(part, volts) => write!(f, "flat:{part}={volts}V"),
            Self::LeakHose(mm) => write!(f, "leak:hose={mm}mm"),
            Self::LeakChamber(mm) => write!(f, "leak:chamber={mm}mm"),
            Self::BlockedFilter => f.write_str("blocked:filter"),
            Self::BlockedExhaust => f.write_str("blocked:exhaust"),
            Self::Worn(mm) => write!(f, "worn:facing={mm}mm"),
            Self::ModuleDead(part) => write!(f, "module-dead:{part}"),
            Self::Reversed(part) => write!(f, "reversed:{part}"),
        }
    }
}

saved_as_text!(Fault);

/// A number with its unit's letters after it, or alone; from 0 to `most`.
fn amount(words: &str, value: Option<&str>, units: &[&str], most: f64) -> Result<f64, Refusal> {
    let wrong = || {
        Refusal::new(
            format!("`{words}` needs a number it can be"),
            format!("write it after `=`, from 0 to {most}, like `=2{}`", units[0]),
        )
    };
    let value = value.ok_or_else(wrong)?;
    let number = units.iter().find_map(|u| value.strip_suffix(u)).unwrap_or(value);
    let number: f64 = number.trim().parse().map_err(|_| wrong())?;
    if (0.0..=most).contains(&number) { Ok(number) } else { Err(wrong()) }
}

/// Ohms with their unit after them, or alone; from 0 to `most`.
fn ohms(words: &str, value: Option<&str>, most: f64) -> Result<f64, Refusal> {
    const MULTIPLES: [(&[&str], f64); 2] = [(&["Mohm", "MΩ"], 1e6), (&["kohm", "kΩ"], 1e3)];
    for (units, factor) in MULTIPLES {
        if value.is_some_and(|v| units.iter().any(|unit| v.ends_with(unit))) {
            return Ok(amount(words, value, units, most / factor)? * factor);
        }
    }
    amount(words, value, &["ohm", "ohms", "Ω"], most)
}

/// Ohms as the grammar writes them, from a million on in Mohm where that is exact.
pub fn ohms_words(ohms: f64) -> String {
    let mega = ohms / 1e6;
    if mega >= 1.0 && mega * 1e6 == ohms { format!("{mega}Mohm") } else { format!("{ohms}ohm") }
}

const MILLIMETRES: &[&str] = &["mm"];

impl FromStr for Fault {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let words = words.trim();
        let Some((verb, rest)) = words.split_once(':') else { return Err(unknown(words)) };
        let (name, value) = match rest.split_once('=') {
            Some((name, value)) => (name, Some(value)),
            None => (rest, None),
        };
        let owned = || name.to_owned();
        if name.is_empty() {
            return Err(Refusal::new(format!("`{words}` does not say what is wrong"), "name the part after the colon"));
        }
        let takes_value = matches!(
            verb,
            "resist" | "ground" | "feed" | "join" | "stuck" | "drift" | "coil-short" | "valve-stuck" | "flat"
        ) || matches!(verb, "leak" | "worn");
        if value.is_some() && !takes_value {
            return Err(Refusal::new(format!("`{words}` takes no value"), format!("write `{verb}:{name}`")));
        }
        match verb {
            "open" => Ok(Self::Open(owned())),
            "resist" => Ok(Self::Resist(owned(), ohms(words, value, 1e9)?)),
            "ground" if value.is_none() => Ok(Self::Ground(owned(), 0.0)),
            "ground" => Ok(Self::Ground(owned(), ohms(words, value, 1e9)?)),
            "feed" if value.is_none() => Ok(Self::Feed(owned(), 0.0)),
            "feed" => Ok(Self::Feed(owned(), ohms(words, value, 1e9)?)),
            "join" => match value {
                Some(other) if !other.is_empty() => Ok(Self::Join(owned(), other.to_owned())),
                _ => Err(Refusal::new(format!("`{words}` joins only one wire"), "write both, like `join:W3=W4`")),
            },
            "stuck" => match value {
                Some("open") => Ok(Self::Stuck(owned(), Contact::Open)),
                Some("closed") => Ok(Self::Stuck(owned(), Contact::Closed)),
                _ => Err(Refusal::new(
                    format!("`{words}` does not say how the contact is stuck"),
                    format!("write `stuck:{name}=open` or `stuck:{name}=closed`"),
                )),
            },
            "drift" => match value.and_then(level_from_words) {
                Some(by) => Ok(Self::Drift(owned(), by)),
                None => Err(Refusal::new(
                    format!("`{words}` does not say by how much the set point has moved"),
                    format!("write it with its unit, like `drift:{name}=+20F`"),
                )),
            },
            "coil-open" => Ok(Self::CoilOpen(owned())),
            "coil-short" => Ok(Self::CoilShort(owned(), ohms(words, value, 1e6)?)),
            "valve-stuck" => match value {
                Some("passing") => Ok(Self::ValveStuck(owned(), ValveRest::Passing)),
                Some("blocking") => Ok(Self::ValveStuck(owned(), ValveRest::Blocking)),
                _ => Err(Refusal::new(
                    format!("`{words}` does not say where the valve is stuck"),
                    format!("write `valve-stuck:{name}=passing` or `valve-stuck:{name}=blocking`"),
                )),
            },
            "swapped" => Ok(Self::Swapped(owned())),
            "blown" => Ok(Self::Blown(owned())),
            "flat" => Ok(Self::Flat(owned(), amount(words, value, &["V"], 100.0)?)),
            "leak" if name == "hose" => Ok(Self::LeakHose(amount(words, value, MILLIMETRES, 50.0)?)),
            "leak" if name == "chamber" => Ok(Self::LeakChamber(amount(words, value, MILLIMETRES, 50.0)?)),
            "leak" => Err(Refusal::new(format!("air cannot leak at `{name}`"), "leaks are at `hose` or `chamber`")),
            "blocked" if name == "filter" => Ok(Self::BlockedFilter),
            "blocked" if name == "exhaust" => Ok(Self::BlockedExhaust),
            "blocked" => Err(Refusal::new(format!("`{name}` cannot be blocked"), "it is `filter` or `exhaust`")),
            "worn" if name == "facing" => Ok(Self::Worn(amount(words, value, MILLIMETRES, 50.0)?)),
            "worn" => Err(Refusal::new(format!("`{name}` does not wear"), "write `worn:facing=3mm`")),
            "module-dead" => Ok(Self::ModuleDead(owned())),
            "reversed" => Ok(Self::Reversed(owned())),
            _ => Err(unknown(words)),
        }
    }
}

fn unknown(words: &str) -> Refusal {
    const VERBS: [&str; 19] = [
        "open",
        "resist",
        "ground",
        "feed",
        "join",
        "stuck",
        "drift",
        "coil-open",
        "coil-short",
        "valve-stuck",
        "swapped",
        "blown",
        "flat",
        "leak",
        "blocked",
        "worn",
        "module-dead",
        "reversed",
        "",
    ];
    let verb = words.split(':').next().unwrap_or(words);
    let mend = match crate::circuit::diagnostic::nearest(verb, VERBS) {
        Some(likely) if !likely.is_empty() => format!("did you mean `{likely}:`?"),
        _ => format!("faults begin with {}", VERBS[..18].join(", ")),
    };
    Refusal::new(format!("`{words}` is not a fault"), mend)
}

/// Puts a fault into the inputs of the physics.
///
/// # Errors
/// Where the circuit has no such part, or the part cannot have such a fault.
pub(super) fn impose(circuit: &Circuit, fault: &Fault, altered: &mut Altered) -> Result<(), Refusal> {
    let names = Names { circuit, fault };
    match fault {
        Fault::Open(wire) => {
            altered.cut.insert(names.wire(wire)?);
        }
        Fault::Resist(wire, ohms) => {
            *altered.added_ohms.entry(names.wire(wire)?).or_default() += ohms;
        }
        Fault::Ground(at, ohms) => altered.ties.push(Tie::ToChassis(Touch::Terminal(names.terminal(at)?), *ohms)),
        Fault::Feed(at, ohms) => altered.ties.push(Tie::ToSupply(Touch::Terminal(names.terminal(at)?), *ohms)),
        Fault::Join(a, b) if a == b => {
            return Err(Refusal::new(format!("`{fault}` joins a wire to itself"), "name two wires"));
        }
        Fault::Join(a, b) => altered.ties.push(Tie::Wires(names.wire(a)?, names.wire(b)?)),
        Fault::Stuck(part, position) => {
            let id = names.part_with(part, "a contact", |k| {
                matches!(
                    k,
                    Kind::KeySwitch(_)
                        | Kind::HandSwitch(_)
                        | Kind::TemperatureSwitch(_)
                        | Kind::PressureSwitch(_)
                        | Kind::Relay(_)
                        | Kind::Timer(_)
                ) || matches!(k, Kind::SelectorSwitch(_)) && *position == Contact::Open
            })?;
            altered.stuck.insert(id, *position);
        }
        Fault::Drift(part, by) => {
            let id = names.part_with(part, "a set point", |k| k.sensor().is_some())?;
            altered.drift.insert(id, drift_amount(circuit, id, fault, *by)?);
        }
        Fault::CoilOpen(part) => {
            altered.coil_open.insert(names.part_with(part, "a coil", has_coil)?);
        }
        Fault::CoilShort(part, ohms) => {
            altered.coil_ohms.insert(names.part_with(part, "a coil", has_coil)?, *ohms);
        }
        Fault::ValveStuck(part, at) => {
            let id = names.part_with(part, "an air valve in it", |k| matches!(k, Kind::AirValve(_)))?;
            altered.valve_stuck.insert(id, *at);
        }
        Fault::Swapped(part) => {
            altered.swapped.insert(names.part_with(part, "two ways to be fitted", has_coil)?);
        }
        Fault::Blown(part) => {
            altered.blown.insert(names.part_with(part, "a fuse in it", |k| matches!(k, Kind::Fuse(_)))?);
        }
        Fault::Flat(part, volts) => {
            let id = names.part_with(part, "a battery in it", |k| matches!(k, Kind::Battery(_)))?;
            altered.battery_volts.insert(id, *volts);
        }
        Fault::LeakHose(mm) => altered.hose_leak_mm = Some(*mm),
        Fault::LeakChamber(mm) => altered.chamber_leak_mm = Some(*mm),
        Fault::BlockedFilter => altered.filter_blocked = true,
        Fault::BlockedExhaust => altered.exhaust_blocked = true,
        Fault::Worn(mm) => altered.facing_mm = Some(*mm),
        Fault::ModuleDead(part) => {
            let id = names.part_with(part, "a module in it", |k| matches!(k, Kind::Module(_)))?;
            altered.module_dead.insert(id);
        }
        Fault::Reversed(part) => {
            altered.reversed.insert(names.part_with(part, "a diode in it", |k| matches!(k, Kind::Diode(_)))?);
        }
    }
    Ok(())
}

fn has_coil(kind: &Kind) -> bool {
    matches!(kind, Kind::Relay(_) | Kind::AirValve(_))
}

/// A drift in K or kPa: a difference, so Fahrenheit has no offset.
fn drift_amount(circuit: &Circuit, id: PartId, fault: &Fault, by: Level) -> Result<f64, Refusal> {
    let sensor = circuit.part(id).kind.sensor();
    if sensor.is_some_and(|s| s.senses.is_temperature() != by.is_temperature()) {
        return Err(Refusal::new(
            format!("`{fault}` is in a unit that `{}` does not sense", circuit.part(id).tag),
            "use F or C for a temperature switch, psi, kPa or bar for a pressure switch",
        ));
    }
    Ok(match by {
        Level::Fahrenheit(f) => f / 1.8,
        Level::Celsius(k) => k,
        Level::Psi(p) => p * KPA_PER_PSI,
        Level::Kilopascal(k) => k,
        Level::Bar(b) => b * KPA_PER_BAR,
    })
}

/// Looks names up in the circuit, refusing in the words of the fault.
struct Names<'a> {
    circuit: &'a Circuit,
    fault: &'a Fault,
}

impl Names<'_> {
    fn wire(&self, tag: &str) -> Result<WireId, Refusal> {
        self.circuit.wire_named(tag).ok_or_else(|| Refusal::no_wire(self.circuit, tag))
    }

    fn terminal(&self, words: &str) -> Result<TerminalId, Refusal> {
        self.circuit.terminal_named(words).ok_or_else(|| Refusal::no_terminal(self.circuit, words))
    }

    fn part_with(&self, tag: &str, what: &str, fits: impl Fn(&Kind) -> bool) -> Result<PartId, Refusal> {
        let id = self.circuit.part_named(tag).ok_or_else(|| Refusal::no_part(self.circuit, tag))?;
        if fits(&self.circuit.part(id).kind) {
            return Ok(id);
        }
        let fitting: Vec<&str> =
            self.circuit.parts().iter().filter(|p| fits(&p.kind)).map(|p| p.tag.as_str()).take(12).collect();
        let mend = if fitting.is_empty() {
            "no part of this circuit can have this fault".to_owned()
        } else {
            format!("this fault fits {}", fitting.join(", "))
        };
        Err(Refusal::new(format!("`{}` cannot be: `{tag}` does not have {what}", self.fault), mend))
    }
}
