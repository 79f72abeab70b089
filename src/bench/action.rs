//! Every change a person or a script can make to a bench, as typed values that read and write themselves as text.
//!
//! The text grammar is the contract's: `turn:S2=on`, `jump:B1.1=B1.2/10A`, `lift:W4@B1.2`, `unplug:Y1`, `press:S4`
//! for acts, `coolant=215F` for settings; faults are in [`fault`](super::fault). Names stay names here, so an action
//! can be kept, sent and replayed without its circuit; whether a circuit has them is found when the bench applies it.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::circuit::part::{Quantity, SetPoint};
use crate::circuit::quantity::{Level, unit_written};
use crate::circuit::{Change, Circuit, Contact, Kind};

use super::fault::Fault;
use super::refusal::Refusal;
use crate::words::say;

/// One change to a bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Action {
    /// Change a condition.
    Set(Setting),
    /// Do something by hand.
    Do(Act),
    /// Undo one act that is still in effect, by hand: take that lead off, put that wire back on.
    PutBack(Act),
    /// Undo every act still in effect and replace every blown fuse.
    PutAllBack,
    /// Put a new fuse of the right rating in place of a blown one.
    ReplaceFuse(String),
    /// Make something in the world wrong.
    Plant(Fault),
    /// Make it right again.
    Repair(Fault),
    /// Change the circuit as built.
    Build(Change),
    /// Go back to the state before the last change.
    Undo,
    /// Go forward again.
    Redo,
}

/// A condition with its new value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Setting {
    /// Key switch.
    Key(bool),
    /// Engine speed in rpm.
    Engine(f64),
    /// Coolant temperature.
    Coolant(Level),
    /// Intake air temperature.
    Intake(Level),
    /// Oil temperature.
    Oil(Level),
    /// Refrigerant high-side pressure.
    Refrigerant(Level),
    /// Supply air pressure.
    Air(Level),
    /// Temperature around the harness.
    Ambient(Level),
    /// Lock-up bolts tie the fan to its pulley.
    Bolts(bool),
}

/// Something done by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Act {
    /// Turn a switch to a position.
    Turn {
        /// Tag of the switch.
        switch: String,
        /// `on`, `off` or the position's name.
        to: String,
    },
    /// Press a momentary switch and let it go.
    Press {
        /// Tag of the switch.
        switch: String,
    },
    /// Put a test lead between two points.
    Jump {
        /// One point.
        a: Point,
        /// The other.
        b: Point,
        /// The fuse in the lead.
        fuse: LeadFuse,
    },
    /// Take one wire's end off its terminal.
    Lift(EndName),
    /// Take every wire off a part at once.
    Unplug {
        /// Tag of the part.
        part: String,
    },
}

/// Where a lead can be put.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Point {
    /// A terminal, written `B1.2`.
    Terminal(String),
    /// The bare end of a lifted wire.
    LooseEnd(EndName),
}

/// A wire's end by name: `W4@B1.2`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct EndName {
    /// Tag of the wire.
    pub wire: String,
    /// The terminal it belongs on.
    pub terminal: String,
}

/// The fuse in a test lead.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum LeadFuse {
    /// The usual one, [`LeadFuse::USUAL_AMPS`].
    Usual,
    /// One of so many amps.
    Amps(f64),
    /// None.
    Bare,
}

impl LeadFuse {
    /// Rating of a test lead's fuse when nothing else is said, in amps (the file contract; common practice).
    pub const USUAL_AMPS: f64 = 5.0;

    /// Its rating in amps, if there is one.
    pub fn amps(self) -> Option<f64> {
        match self {
            Self::Usual => Some(Self::USUAL_AMPS),
            Self::Amps(amps) => Some(amps),
            Self::Bare => None,
        }
    }
}

impl Act {
    /// How the contact of a hand switch stands once this has turned it; none of any other act. The grammar's `on` is
    /// "moved from rest", and which way that goes is the contact's to say.
    pub fn leaves_contact(&self, circuit: &Circuit) -> Option<Contact> {
        let Self::Turn { switch, to } = self else { return None };
        match &circuit.part(circuit.part_named(switch)?).kind {
            Kind::HandSwitch(hand) if to == "on" => Some(hand.rest.flipped()),
            Kind::HandSwitch(hand) => Some(hand.rest),
            _ => None,
        }
    }

    /// The act with the lead's fuse said in full: `jump:B1.1=B1.2/5A`.
    pub fn in_full(&self) -> String {
        match self {
            Self::Jump { a, b, fuse: LeadFuse::Usual } => format!("jump:{a}={b}/{}A", LeadFuse::USUAL_AMPS),
            Self::Turn { .. } | Self::Press { .. } | Self::Jump { .. } | Self::Lift(_) | Self::Unplug { .. } => {
                self.to_string()
            }
        }
    }
}

impl fmt::Display for Point {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Terminal(words) => f.write_str(words),
            Self::LooseEnd(end) => end.fmt(f),
        }
    }
}

impl fmt::Display for EndName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}@{}", self.wire, self.terminal)
    }
}

impl fmt::Display for Act {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Turn { switch, to } => write!(f, "turn:{switch}={to}"),
            Self::Press { switch } => write!(f, "press:{switch}"),
            Self::Jump { a, b, fuse } => match fuse {
                LeadFuse::Usual => write!(f, "jump:{a}={b}"),
                LeadFuse::Amps(amps) => write!(f, "jump:{a}={b}/{amps}A"),
                LeadFuse::Bare => write!(f, "jump:{a}={b}/none"),
            },
            Self::Lift(end) => write!(f, "lift:{end}"),
            Self::Unplug { part } => write!(f, "unplug:{part}"),
        }
    }
}

impl FromStr for EndName {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        match words.split_once('@') {
            Some((wire, terminal)) if !wire.is_empty() && terminal.contains('.') => {
                Ok(Self { wire: wire.to_owned(), terminal: terminal.to_owned() })
            }
            _ => Err(Refusal::new(say!("action-is-not-a-wires-end", words), say!("action-write-the-wire"))),
        }
    }
}

impl FromStr for Point {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        if words.contains('@') {
            return words.parse().map(Self::LooseEnd);
        }
        match words.split_once('.') {
            Some((part, name)) if !part.is_empty() && !name.is_empty() => Ok(Self::Terminal(words.to_owned())),
            _ => Err(Refusal::new(say!("action-is-not-a-terminal", words), say!("action-write-the-parts-tag"))),
        }
    }
}

impl FromStr for Act {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let words = words.trim();
        let unknown = || Refusal::new(say!("action-is-not-an-act", words), say!("action-acts-are"));
        let (verb, rest) = words.split_once(':').ok_or_else(unknown)?;
        match verb {
            "turn" => match rest.split_once('=') {
                Some((switch, to)) if !switch.is_empty() && !to.is_empty() => {
                    Ok(Self::Turn { switch: switch.to_owned(), to: to.to_owned() })
                }
                _ => Err(Refusal::new(
                    format!("`{words}` does not say where to turn the switch"),
                    "write the switch, `=` and the position, like `turn:S2=on`",
                )),
            },
            "press" => named(words, rest, "press:S4").map(|switch| Self::Press { switch }),
            "unplug" => named(words, rest, "unplug:Y1").map(|part| Self::Unplug { part }),
            "lift" => rest.parse().map(Self::Lift),
            "jump" => jump(words, rest),
            _ => Err(unknown()),
        }
    }
}

fn named(words: &str, tag: &str, example: &str) -> Result<String, Refusal> {
    if tag.is_empty() || tag.contains(['=', '.', '@']) {
        return Err(Refusal::new(format!("`{words}` does not name a part"), format!("write it like `{example}`")));
    }
    Ok(tag.to_owned())
}

fn jump(words: &str, rest: &str) -> Result<Act, Refusal> {
    let (ends, fuse) = match rest.rsplit_once('/') {
        None => (rest, LeadFuse::Usual),
        Some((ends, "none")) => (ends, LeadFuse::Bare),
        Some((ends, rating)) => (ends, LeadFuse::Amps(lead_rating(words, rating)?)),
    };
    let (a, b) = ends.split_once('=').ok_or_else(|| {
        Refusal::new(format!("`{words}` does not say where the lead goes"), "write both ends, like `jump:B1.1=B1.2`")
    })?;
    Ok(Act::Jump { a: a.parse()?, b: b.parse()?, fuse })
}

fn lead_rating(words: &str, rating: &str) -> Result<f64, Refusal> {
    let amps = rating.strip_suffix(['A', 'a']).and_then(|n| n.parse::<f64>().ok());
    amps.filter(|a| (0.01..=1000.0).contains(a)).ok_or_else(|| {
        Refusal::new(
            format!("`{rating}` in `{words}` is not a lead's fuse"),
            "write its amps like `/10A`, or `/none` for a lead without a fuse",
        )
    })
}

impl fmt::Display for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Key(on) => write!(f, "key={}", if *on { "on" } else { "off" }),
            Self::Engine(rpm) => write!(f, "engine={rpm}"),
            Self::Coolant(level) => write!(f, "coolant={}", level_words(*level)),
            Self::Intake(level) => write!(f, "intake={}", level_words(*level)),
            Self::Oil(level) => write!(f, "oil={}", level_words(*level)),
            Self::Refrigerant(level) => write!(f, "refrigerant={}", level_words(*level)),
            Self::Air(level) => write!(f, "air={}", level_words(*level)),
            Self::Ambient(level) => write!(f, "ambient={}", level_words(*level)),
            Self::Bolts(fitted) => write!(f, "bolts={}", if *fitted { "fitted" } else { "out" }),
        }
    }
}

/// A level as the command line writes it: `215F`, `690kPa`.
pub fn level_words(level: Level) -> String {
    let unit = match level {
        Level::Fahrenheit(_) => "F",
        Level::Celsius(_) => "C",
        Level::Psi(_) => "psi",
        Level::Kilopascal(_) => "kPa",
        Level::Bar(_) => "bar",
    };
    format!("{}{unit}", level.written())
}

/// Reads a level like `215F` or `690kPa`; none where it is no number with such a unit.
pub fn level_from_words(words: &str) -> Option<Level> {
    let split = words.find(|c: char| c.is_ascii_alphabetic() && c != 'e' && c != 'E').unwrap_or(words.len());
    let (number, unit) = words.split_at(split);
    let number: f64 = number.trim().parse().ok()?;
    if !number.is_finite() {
        return None;
    }
    let (word, _) = unit_written(unit)?;
    Level::of(word, number)
}

/// How far past a set point a condition is brought: a degree, a psi, or about as much in the other units.
const PAST: f64 = 1.0;

/// The settings that bring a set point to act, and to return, just past its points in the unit they were written in: no
/// further, so that as few others as can be act with it.
pub fn just_past(point: &SetPoint) -> (Setting, Setting) {
    let up = if point.rising { PAST } else { -PAST };
    let by = |level: Level, amount: f64| {
        let moved = match level {
            Level::Fahrenheit(x) => Level::Fahrenheit(x + amount),
            Level::Celsius(x) => Level::Celsius(x + amount),
            Level::Psi(x) => Level::Psi(x + amount),
            Level::Kilopascal(x) => Level::Kilopascal(x + amount * 10.0),
            Level::Bar(x) => Level::Bar(x + amount / 10.0),
        };
        Setting::felt(point.senses, moved)
    };
    (by(point.acts, up), by(point.resets, -up))
}

impl Setting {
    /// The condition that brings what a sensor of this quantity feels to a level.
    pub fn felt(quantity: Quantity, level: Level) -> Self {
        match quantity {
            Quantity::Coolant => Self::Coolant(level),
            Quantity::IntakeAir => Self::Intake(level),
            Quantity::Oil => Self::Oil(level),
            Quantity::Refrigerant => Self::Refrigerant(level),
            Quantity::AirSupply => Self::Air(level),
        }
    }

    /// The condition's name, the part before `=`.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Key(_) => "key",
            Self::Engine(_) => "engine",
            Self::Coolant(_) => "coolant",
            Self::Intake(_) => "intake",
            Self::Oil(_) => "oil",
            Self::Refrigerant(_) => "refrigerant",
            Self::Air(_) => "air",
            Self::Ambient(_) => "ambient",
            Self::Bolts(_) => "bolts",
        }
    }
}

impl FromStr for Setting {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let mend = || say!("action-conditions-are");
        let Some((name, value)) = words.trim().split_once('=') else {
            return Err(Refusal::new(say!("action-does-not-set-a-condition", words), mend()));
        };
        match name {
            "key" => match value {
                "on" => Ok(Self::Key(true)),
                "off" => Ok(Self::Key(false)),
                _ => Err(Refusal::new(say!("action-the-key-cannot-be", value), say!("action-write-key-on"))),
            },
            "engine" => engine(value),
            "coolant" => temperature(name, value).map(Self::Coolant),
            "intake" => temperature(name, value).map(Self::Intake),
            "oil" => temperature(name, value).map(Self::Oil),
            "ambient" => temperature(name, value).map(Self::Ambient),
            "bolts" => match value {
                "fitted" => Ok(Self::Bolts(true)),
                "out" => Ok(Self::Bolts(false)),
                _ => Err(Refusal::new(say!("action-nothing-bolts-can-be", value), say!("action-write-bolts"))),
            },
            "refrigerant" => pressure(name, value).map(Self::Refrigerant),
            "air" => pressure(name, value).map(Self::Air),
            _ => Err(Refusal::new(say!("action-there-is-no-condition", name), mend())),
        }
    }
}

fn engine(value: &str) -> Result<Setting, Refusal> {
    let rpm = value.strip_suffix("rpm").unwrap_or(value).trim().parse::<f64>().ok();
    rpm.filter(|r| (0.0..=10_000.0).contains(r))
        .map(Setting::Engine)
        .ok_or_else(|| Refusal::new(say!("action-is-not-an-engine-speed", value), say!("action-write-revolutions")))
}

fn temperature(name: &str, value: &str) -> Result<Level, Refusal> {
    let level = level_from_words(value).filter(|l| l.is_temperature() && (-273.15..=2000.0).contains(&l.value()));
    level.ok_or_else(|| {
        Refusal::new(say!("action-is-not-a-temperature", value, name), say!("action-write-a-number-with-f", name))
    })
}

fn pressure(name: &str, value: &str) -> Result<Level, Refusal> {
    let level = level_from_words(value).filter(|l| !l.is_temperature() && (0.0..=20_000.0).contains(&l.value()));
    level.ok_or_else(|| {
        Refusal::new(say!("action-is-not-a-pressure", value, name), say!("action-write-a-number-from-0", name))
    })
}

/// Lets a type that reads and writes itself as text be saved as that text.
macro_rules! saved_as_text {
    ($type:ty) => {
        impl TryFrom<String> for $type {
            type Error = Refusal;
            fn try_from(words: String) -> Result<Self, Refusal> {
                words.parse()
            }
        }
        impl From<$type> for String {
            fn from(value: $type) -> Self {
                value.to_string()
            }
        }
    };
}
pub(super) use saved_as_text;

saved_as_text!(Act);
saved_as_text!(Point);
saved_as_text!(Setting);
