//! Faults: what can be wrong in the world, as typed values that read and write themselves as text.
//!
//! A fault is a thing (a chafed wire, a welded contact, hoses changed over), never an answer. The grammar is here; what
//! each becomes for the physics is in [`plant`](super::plant). Which fault explains a reading is left to the study.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::circuit::Contact;
use crate::circuit::part::ValveRest;
use crate::circuit::quantity::Level;
use crate::words::say;

use super::action::{level_from_words, level_words, saved_as_text};
use super::refusal::Refusal;

/// One thing wrong.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Fault {
    /// A wire broken through.
    Open(String),
    /// A terminal's pin backed out of its plug: its wires no longer touch the part.
    PinOut(String),
    /// Ohms in series with a wire (a bad crimp, corrosion), or in what a part joins (a burnt contact, a dirty stud).
    Resist(String, f64),
    /// A terminal's wire chafed to the chassis, through so many ohms.
    Ground(String, f64),
    /// A terminal's wire chafed to one that is always fed, or joined to it by damp, through so many ohms.
    Feed(String, f64),
    /// Two wires chafed together.
    Join(String, String),
    /// A contact or driver that stays where it is.
    Stuck(String, Contact),
    /// A set point that has moved.
    Drift(String, Level),
    /// A reset point only so far below the set point.
    Gap(String, Level),
    /// A coil broken through.
    CoilOpen(String),
    /// A coil with shorted turns: ohms left.
    CoilShort(String, f64),
    /// The end of a winding at this terminal touching the part's grounded body, through so many ohms.
    CoilGround(String, f64),
    /// What is across a coil broken through or missing.
    SuppressorOpen(String),
    /// What is across a coil shorted.
    SuppressorShort(String),
    /// A valve that does not move.
    ValveStuck(String, ValveRest),
    /// The other sort fitted, or changed over: a relay's 87 and 87a, a valve or sensor of the other rest position, a
    /// module that takes its output for the opposite.
    Swapped(String),
    /// Supply and exhaust hose changed over at the clutch's valve.
    SwappedHoses,
    /// Supply and clutch hose changed over at the clutch's valve.
    CrossedHoses,
    /// A part of another rating fitted.
    Fitted(String, Rating),
    /// A timer that holds so many seconds.
    Hold(String, f64),
    /// A fuse found blown.
    Blown(String),
    /// A battery of so many volts.
    Flat(String, f64),
    /// A hole of so many mm in the clutch hose.
    LeakHose(f64),
    /// A hole of so many mm at the chamber.
    LeakChamber(f64),
    /// A gap of so many mm in the valve's seat, through which air goes to its exhaust.
    LeakSeat(f64),
    /// Supply shut off before the valve.
    BlockedSupply,
    /// A clogged filter.
    BlockedFilter,
    /// A kinked clutch hose.
    BlockedHose,
    /// A plugged exhaust.
    BlockedExhaust,
    /// A facing worn to so many mm.
    Worn(f64),
    /// Oil on the facing.
    Oiled,
    /// A clutch spring that has lost its force.
    WeakSpring,
    /// A clutch piston that does not move.
    SeizedPiston,
    /// A bearing of hub or pulley that runs rough and takes the fan along.
    RoughBearing,
    /// A belt that slips under the fan's load.
    SlackBelt,
    /// Blades bent or broken off.
    DamagedFan,
    /// A module that does nothing.
    ModuleDead(String),
    /// A diode fitted the wrong way round, or the plug of a coil put on the wrong way round.
    Reversed(String),
    /// A diode broken through.
    DiodeOpen(String),
    /// A diode shorted.
    DiodeShort(String),
}

/// What a part that does not belong there is rated for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rating {
    /// Amps of a fuse.
    Amps(f64),
    /// Volts of the system a coil is made for: 12 or 24.
    Volts(f64),
}

impl Fault {
    /// The tags and terminals it names, to be changed with those of the circuit.
    pub(super) fn names_mut(&mut self) -> Vec<&mut String> {
        match self {
            Self::Join(a, b) => vec![a, b],
            Self::Open(at)
            | Self::PinOut(at)
            | Self::Resist(at, _)
            | Self::Ground(at, _)
            | Self::Feed(at, _)
            | Self::Stuck(at, _)
            | Self::Drift(at, _)
            | Self::Gap(at, _)
            | Self::CoilOpen(at)
            | Self::CoilShort(at, _)
            | Self::CoilGround(at, _)
            | Self::SuppressorOpen(at)
            | Self::SuppressorShort(at)
            | Self::ValveStuck(at, _)
            | Self::Swapped(at)
            | Self::Fitted(at, _)
            | Self::Hold(at, _)
            | Self::Blown(at)
            | Self::Flat(at, _)
            | Self::ModuleDead(at)
            | Self::Reversed(at)
            | Self::DiodeOpen(at)
            | Self::DiodeShort(at) => vec![at],
            Self::SwappedHoses
            | Self::LeakHose(_)
            | Self::LeakChamber(_)
            | Self::LeakSeat(_)
            | Self::BlockedSupply
            | Self::BlockedFilter
            | Self::BlockedHose
            | Self::BlockedExhaust
            | Self::Worn(_)
            | Self::Oiled
            | Self::WeakSpring
            | Self::SeizedPiston
            | Self::CrossedHoses
            | Self::RoughBearing
            | Self::SlackBelt
            | Self::DamagedFan => Vec::new(),
        }
    }

    /// What there can be only one of at one place, and the place: two of a kind with other amounts cannot both be.
    fn claim(&self) -> Option<(&'static str, &str)> {
        match self {
            Self::Stuck(at, _) => Some(("stuck", at)),
            Self::Drift(at, _) => Some(("drift", at)),
            Self::Gap(at, _) => Some(("gap", at)),
            Self::CoilShort(at, _) => Some(("coil", at)),
            Self::CoilGround(at, _) => Some(("coil-ground", at)),
            Self::SuppressorOpen(at) | Self::SuppressorShort(at) => Some(("suppressor", at)),
            Self::DiodeOpen(at) | Self::DiodeShort(at) => Some(("diode", at)),
            Self::ValveStuck(at, _) => Some(("valve-stuck", at)),
            Self::Fitted(at, _) => Some(("fitted", at)),
            Self::Hold(at, _) => Some(("hold", at)),
            Self::Flat(at, _) => Some(("flat", at)),
            Self::LeakHose(_) => Some(("leak", "hose")),
            Self::LeakChamber(_) => Some(("leak", "chamber")),
            Self::LeakSeat(_) => Some(("leak", "seat")),
            Self::Worn(_) => Some(("worn", "facing")),
            Self::Open(_)
            | Self::PinOut(_)
            | Self::Resist(..)
            | Self::Ground(..)
            | Self::Feed(..)
            | Self::Join(..)
            | Self::CoilOpen(_)
            | Self::Swapped(_)
            | Self::SwappedHoses
            | Self::CrossedHoses
            | Self::Blown(_)
            | Self::BlockedSupply
            | Self::BlockedFilter
            | Self::BlockedHose
            | Self::BlockedExhaust
            | Self::Oiled
            | Self::WeakSpring
            | Self::SeizedPiston
            | Self::RoughBearing
            | Self::SlackBelt
            | Self::DamagedFan
            | Self::ModuleDead(_)
            | Self::Reversed(_) => None,
        }
    }

    /// The amount in it as the grammar writes it, where it has one: `20ohm`, `+20F`, `30A`.
    pub fn amount(&self) -> Option<String> {
        match self {
            Self::Ground(_, ohms) | Self::Feed(_, ohms) | Self::CoilGround(_, ohms) => Some(ohms_words(*ohms)),
            Self::Stuck(..) | Self::ValveStuck(..) | Self::Join(..) => None,
            _ => self.to_string().split_once('=').map(|(_, amount)| amount.to_owned()),
        }
    }

    /// The same fault with another amount after its `=`; of wires that touch, with another wire.
    ///
    /// # Errors
    /// Where that is no amount it can have.
    pub fn with_amount(&self, amount: &str) -> Result<Self, Refusal> {
        format!("{}={}", self.without_amount(), amount.trim()).parse()
    }

    /// What stands before its `=`: `resist:W4`.
    pub fn without_amount(&self) -> String {
        let words = self.to_string();
        words.split('=').next().unwrap_or(&words).to_owned()
    }

    /// Whether the two say different things of one and the same.
    pub fn contradicts(&self, other: &Self) -> bool {
        self != other && self.claim().is_some_and(|claim| other.claim() == Some(claim))
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let contact = |c: &Contact| match c {
            Contact::Open => "open",
            Contact::Closed => "closed",
        };
        let through = |f: &mut fmt::Formatter<'_>, verb: &str, at: &str, ohms: f64| match ohms {
            0.0 => write!(f, "{verb}:{at}"),
            _ => write!(f, "{verb}:{at}={}", ohms_words(ohms)),
        };
        match self {
            Self::Open(at) | Self::PinOut(at) => write!(f, "open:{at}"),
            Self::Resist(at, ohms) => write!(f, "resist:{at}={}", ohms_words(*ohms)),
            Self::Ground(terminal, ohms) => through(f, "ground", terminal, *ohms),
            Self::Feed(terminal, ohms) => through(f, "feed", terminal, *ohms),
            Self::Join(a, b) => write!(f, "join:{a}={b}"),
            Self::Stuck(part, position) => write!(f, "stuck:{part}={}", contact(position)),
            Self::Drift(part, by) => {
                write!(f, "drift:{part}={}{}", if by.written() < 0.0 { "" } else { "+" }, level_words(*by))
            }
            Self::Gap(part, by) => write!(f, "gap:{part}={}", level_words(*by)),
            Self::CoilOpen(part) => write!(f, "coil-open:{part}"),
            Self::CoilShort(part, ohms) => write!(f, "coil-short:{part}={}", ohms_words(*ohms)),
            Self::CoilGround(terminal, ohms) => through(f, "coil-ground", terminal, *ohms),
            Self::SuppressorOpen(part) => write!(f, "suppressor-open:{part}"),
            Self::SuppressorShort(part) => write!(f, "suppressor-short:{part}"),
            Self::ValveStuck(part, ValveRest::Passing) => write!(f, "valve-stuck:{part}=passing"),
            Self::ValveStuck(part, ValveRest::Blocking) => write!(f, "valve-stuck:{part}=blocking"),
            Self::Swapped(part) => write!(f, "swapped:{part}"),
            Self::SwappedHoses => f.write_str("swapped:hoses"),
            Self::CrossedHoses => f.write_str("crossed:hoses"),
            Self::Fitted(part, Rating::Amps(amps)) => write!(f, "fitted:{part}={amps}A"),
            Self::Fitted(part, Rating::Volts(volts)) => write!(f, "fitted:{part}={volts}V"),
            Self::Hold(part, seconds) => write!(f, "hold:{part}={seconds}s"),
            Self::Blown(part) => write!(f, "blown:{part}"),
            Self::Flat(part, volts) => write!(f, "flat:{part}={volts}V"),
            Self::LeakHose(mm) => write!(f, "leak:hose={mm}mm"),
            Self::LeakChamber(mm) => write!(f, "leak:chamber={mm}mm"),
            Self::LeakSeat(mm) => write!(f, "leak:seat={mm}mm"),
            Self::BlockedSupply => f.write_str("blocked:supply"),
            Self::BlockedFilter => f.write_str("blocked:filter"),
            Self::BlockedHose => f.write_str("blocked:hose"),
            Self::BlockedExhaust => f.write_str("blocked:exhaust"),
            Self::Worn(mm) => write!(f, "worn:facing={mm}mm"),
            Self::Oiled => f.write_str("oiled:facing"),
            Self::WeakSpring => f.write_str("weak:spring"),
            Self::SeizedPiston => f.write_str("seized:piston"),
            Self::RoughBearing => f.write_str("rough:bearing"),
            Self::SlackBelt => f.write_str("slack:belt"),
            Self::DamagedFan => f.write_str("damaged:fan"),
            Self::ModuleDead(part) => write!(f, "module-dead:{part}"),
            Self::Reversed(part) => write!(f, "reversed:{part}"),
            Self::DiodeOpen(part) => write!(f, "diode-open:{part}"),
            Self::DiodeShort(part) => write!(f, "diode-short:{part}"),
        }
    }
}

saved_as_text!(Fault);

/// A number with its unit's letters after it, or alone; from 0 to `most`.
fn amount(words: &str, value: Option<&str>, units: &[&str], most: f64) -> Result<f64, Refusal> {
    let wrong =
        || Refusal::new(say!("fault-needs-a-number", words), say!("fault-write-it-after", most, unit = units[0]));
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
fn ohms_words(ohms: f64) -> String {
    let mega = ohms / 1e6;
    if mega >= 1.0 && mega * 1e6 == ohms { format!("{mega}Mohm") } else { format!("{ohms}ohm") }
}

/// The same as people write it: `5 Ω`, `2 MΩ`.
pub fn ohms_shown(ohms: f64) -> String {
    ohms_words(ohms).replace("Mohm", " MΩ").replace("ohm", " Ω")
}

/// A fault taken apart: `stuck`, `B1` and perhaps `open`.
struct Words<'a> {
    all: &'a str,
    verb: &'a str,
    name: &'a str,
    value: Option<&'a str>,
}

impl FromStr for Fault {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let all = words.trim();
        let Some((verb, rest)) = all.split_once(':') else { return Err(unknown(all)) };
        let (name, value) = match rest.split_once('=') {
            Some((name, value)) => (name, Some(value)),
            None => (rest, None),
        };
        if name.is_empty() {
            return Err(Refusal::new(format!("`{all}` does not say what is wrong"), "name the part after the colon"));
        }
        if value.is_some() && VERBS.contains(&(verb, false)) {
            return Err(Refusal::new(format!("`{all}` takes no value"), format!("write `{verb}:{name}`")));
        }
        let words = Words { all, verb, name, value };
        match words.of_air_or_clutch() {
            Some(fault) => fault,
            None => words.of_circuit(),
        }
    }
}

impl Words<'_> {
    /// A fault of hoses, air or clutch; none where the verb is one of the circuit's.
    fn of_air_or_clutch(&self) -> Option<Result<Fault, Refusal>> {
        let one_of = |known: &[(&str, Fault)], message: &str, mend: &str| {
            let found = known.iter().find(|(name, _)| *name == self.name).map(|(_, fault)| fault.clone());
            Some(found.ok_or_else(|| Refusal::new(message.replace("{}", self.name), mend)))
        };
        let millimetres = |fault: fn(f64) -> Fault| Some(self.amount(&["mm"], 50.0).map(fault));
        match (self.verb, self.name) {
            ("swapped", "hoses") => Some(Ok(Fault::SwappedHoses)),
            ("leak", "hose") => millimetres(Fault::LeakHose),
            ("leak", "chamber") => millimetres(Fault::LeakChamber),
            ("leak", "seat") => millimetres(Fault::LeakSeat),
            ("worn", "facing") => millimetres(Fault::Worn),
            ("leak", _) => one_of(&[], "air cannot leak at `{}`", "leaks are at `hose`, `chamber` or `seat`"),
            ("worn", _) => one_of(&[], "`{}` does not wear", "write `worn:facing=3mm`"),
            ("blocked", _) => one_of(
                &[
                    ("supply", Fault::BlockedSupply),
                    ("filter", Fault::BlockedFilter),
                    ("hose", Fault::BlockedHose),
                    ("exhaust", Fault::BlockedExhaust),
                ],
                "`{}` cannot be blocked",
                "it is `supply`, `filter`, `hose` or `exhaust`",
            ),
            ("oiled", _) => one_of(&[("facing", Fault::Oiled)], "oil on `{}` does nothing", "write `oiled:facing`"),
            ("weak", _) => one_of(&[("spring", Fault::WeakSpring)], "`{}` cannot be weak", "write `weak:spring`"),
            ("crossed", _) => {
                one_of(&[("hoses", Fault::CrossedHoses)], "`{}` cannot be crossed", "write `crossed:hoses`")
            }
            ("rough", _) => {
                one_of(&[("bearing", Fault::RoughBearing)], "`{}` cannot run rough", "write `rough:bearing`")
            }
            ("slack", _) => one_of(&[("belt", Fault::SlackBelt)], "`{}` cannot be slack", "write `slack:belt`"),
            ("damaged", _) => one_of(&[("fan", Fault::DamagedFan)], "`{}` cannot be damaged", "write `damaged:fan`"),
            ("seized", _) => one_of(&[("piston", Fault::SeizedPiston)], "`{}` cannot seize", "write `seized:piston`"),
            _ => None,
        }
    }

    fn of_circuit(&self) -> Result<Fault, Refusal> {
        let Self { name, value, .. } = *self;
        let owned = || name.to_owned();
        match self.verb {
            "open" if name.contains('.') => Ok(Fault::PinOut(owned())),
            "open" => Ok(Fault::Open(owned())),
            "resist" => Ok(Fault::Resist(owned(), self.ohms(1e9)?)),
            "ground" => Ok(Fault::Ground(owned(), self.ohms_or_none(1e9)?)),
            "feed" => Ok(Fault::Feed(owned(), self.ohms_or_none(1e9)?)),
            "join" => match value {
                Some(other) if !other.is_empty() => Ok(Fault::Join(owned(), other.to_owned())),
                _ => Err(self.wrong("joins only one wire", "write both, like `join:W3=W4`")),
            },
            "stuck" => match value {
                Some("open") => Ok(Fault::Stuck(owned(), Contact::Open)),
                Some("closed") => Ok(Fault::Stuck(owned(), Contact::Closed)),
                _ => Err(self.wrong(
                    "does not say how the contact is stuck",
                    &format!("write `stuck:{name}=open` or `stuck:{name}=closed`"),
                )),
            },
            "drift" => self.level(
                "does not say by how much the set point has moved",
                &format!("write it with its unit, like `drift:{name}=+20F`"),
                |by| Some(Fault::Drift(owned(), by)),
            ),
            "gap" => self.level(
                "does not say how far the reset point is below the set point",
                &format!("write it with its unit, more than nothing, like `gap:{name}=1F`"),
                |by| (by.written() > 0.0).then(|| Fault::Gap(owned(), by)),
            ),
            "coil-open" => Ok(Fault::CoilOpen(owned())),
            "coil-short" => Ok(Fault::CoilShort(owned(), self.ohms(1e6)?)),
            "coil-ground" => Ok(Fault::CoilGround(owned(), self.ohms_or_none(1e9)?)),
            "suppressor-open" => Ok(Fault::SuppressorOpen(owned())),
            "suppressor-short" => Ok(Fault::SuppressorShort(owned())),
            "valve-stuck" => match value {
                Some("passing") => Ok(Fault::ValveStuck(owned(), ValveRest::Passing)),
                Some("blocking") => Ok(Fault::ValveStuck(owned(), ValveRest::Blocking)),
                _ => Err(self.wrong(
                    "does not say where the valve is stuck",
                    &format!("write `valve-stuck:{name}=passing` or `valve-stuck:{name}=blocking`"),
                )),
            },
            "swapped" => Ok(Fault::Swapped(owned())),
            "fitted" => self.rating().map(|rating| Fault::Fitted(owned(), rating)),
            "hold" => Ok(Fault::Hold(owned(), self.amount(&["s"], 86_400.0)?)),
            "blown" => Ok(Fault::Blown(owned())),
            "flat" => Ok(Fault::Flat(owned(), self.amount(&["V"], 100.0)?)),
            "module-dead" => Ok(Fault::ModuleDead(owned())),
            "reversed" => Ok(Fault::Reversed(owned())),
            "diode-open" => Ok(Fault::DiodeOpen(owned())),
            "diode-short" => Ok(Fault::DiodeShort(owned())),
            _ => Err(unknown(self.all)),
        }
    }

    fn wrong(&self, what: &str, mend: &str) -> Refusal {
        Refusal::new(format!("`{}` {what}", self.all), mend)
    }

    fn amount(&self, units: &[&str], most: f64) -> Result<f64, Refusal> {
        amount(self.all, self.value, units, most)
    }

    fn ohms(&self, most: f64) -> Result<f64, Refusal> {
        ohms(self.all, self.value, most)
    }

    /// Ohms, none at all where nothing is said.
    fn ohms_or_none(&self, most: f64) -> Result<f64, Refusal> {
        if self.value.is_none() { Ok(0.0) } else { self.ohms(most) }
    }

    fn level(&self, what: &str, mend: &str, fault: impl Fn(Level) -> Option<Fault>) -> Result<Fault, Refusal> {
        self.value.and_then(level_from_words).and_then(fault).ok_or_else(|| self.wrong(what, mend))
    }

    fn rating(&self) -> Result<Rating, Refusal> {
        let number = |unit: char| self.value?.strip_suffix(unit)?.trim().parse::<f64>().ok();
        if let Some(amps) = number('A').filter(|amps| (0.1..=500.0).contains(amps)) {
            return Ok(Rating::Amps(amps));
        }
        if let Some(volts) = number('V').filter(|volts| [12.0, 24.0].contains(volts)) {
            return Ok(Rating::Volts(volts));
        }
        let mend = format!(
            "write a fuse's amps, like `fitted:{0}=30A`, or the volts a coil is made for, `fitted:{0}=12V` or \
             `fitted:{0}=24V`",
            self.name
        );
        Err(self.wrong("does not say what was fitted", &mend))
    }
}

/// The words faults begin with, and whether an amount, a position or another wire can follow after `=`.
const VERBS: [(&str, bool); 33] = [
    ("open", false),
    ("resist", true),
    ("ground", true),
    ("feed", true),
    ("join", true),
    ("stuck", true),
    ("drift", true),
    ("gap", true),
    ("coil-open", false),
    ("coil-short", true),
    ("coil-ground", true),
    ("suppressor-open", false),
    ("suppressor-short", false),
    ("valve-stuck", true),
    ("swapped", false),
    ("fitted", true),
    ("hold", true),
    ("blown", false),
    ("flat", true),
    ("leak", true),
    ("blocked", false),
    ("worn", true),
    ("oiled", false),
    ("weak", false),
    ("seized", false),
    ("crossed", false),
    ("rough", false),
    ("slack", false),
    ("damaged", false),
    ("module-dead", false),
    ("reversed", false),
    ("diode-open", false),
    ("diode-short", false),
];

fn unknown(words: &str) -> Refusal {
    let verb = words.split(':').next().unwrap_or(words);
    let verbs = VERBS.map(|(verb, _)| verb);
    let mend = match crate::circuit::diagnostic::nearest(verb, verbs) {
        Some(likely) => format!("did you mean `{likely}:`?"),
        None => format!("faults begin with {}", verbs.join(", ")),
    };
    Refusal::new(format!("`{words}` is not a fault"), mend)
}
