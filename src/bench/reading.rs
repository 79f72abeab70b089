//! What can be read off a truck with instruments, as typed values that read and write themselves as text.
//!
//! The grammar is the contract's: `volts:Y1.1,Y1.2`, `lowz:`, `lamp:`, `ohms:` with two leads, the first lead first;
//! `amps:W4`, `clamp:W4`; `gauge:supply`, `gauge:clutch`; `fan`. A lead may sit on a lifted end, `W4@B1.2`. Names
//! stay names here; what an instrument shows is found by the study.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::action::{Point, saved_as_text};
use super::refusal::Refusal;
use crate::circuit::diagnostic::nearest;

/// One thing to read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Reading {
    /// An instrument with two leads.
    Across {
        /// Which.
        instrument: Instrument,
        /// Where its first lead is, the red one.
        first: Point,
        /// Where its second lead is.
        second: Point,
    },
    /// An ammeter put into a wire: its tag.
    Amps(String),
    /// A clamp around a wire: its tag.
    Clamp(String),
    /// A pressure gauge.
    Gauge(Gauge),
    /// What the fan is seen to do.
    Fan,
}

/// An instrument with two leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Instrument {
    /// A voltmeter of 10 Mohm.
    Voltmeter,
    /// A voltmeter of 3 kohm.
    LowImpedance,
    /// A test lamp.
    TestLamp,
    /// An ohmmeter.
    Ohmmeter,
}

/// Where a pressure gauge sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gauge {
    /// In the truck's air supply.
    Supply,
    /// In the hose to the clutch.
    Clutch,
}

impl Instrument {
    /// All of them, in the order of a tray.
    pub const ALL: [Self; 4] = [Self::Voltmeter, Self::LowImpedance, Self::TestLamp, Self::Ohmmeter];

    /// The word the grammar has for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Voltmeter => "volts",
            Self::LowImpedance => "lowz",
            Self::TestLamp => "lamp",
            Self::Ohmmeter => "ohms",
        }
    }
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Across { instrument, first, second } => write!(f, "{}:{first},{second}", instrument.word()),
            Self::Amps(wire) => write!(f, "amps:{wire}"),
            Self::Clamp(wire) => write!(f, "clamp:{wire}"),
            Self::Gauge(Gauge::Supply) => f.write_str("gauge:supply"),
            Self::Gauge(Gauge::Clutch) => f.write_str("gauge:clutch"),
            Self::Fan => f.write_str("fan"),
        }
    }
}

saved_as_text!(Reading);

impl FromStr for Reading {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let words = words.trim();
        if words == "fan" {
            return Ok(Self::Fan);
        }
        let Some((verb, rest)) = words.split_once(':') else { return Err(unknown(words)) };
        match verb {
            "amps" => wire(words, rest, verb).map(Self::Amps),
            "clamp" => wire(words, rest, verb).map(Self::Clamp),
            "gauge" => match rest {
                "supply" => Ok(Self::Gauge(Gauge::Supply)),
                "clutch" => Ok(Self::Gauge(Gauge::Clutch)),
                _ => Err(Refusal::new(
                    format!("there is no gauge at `{rest}`"),
                    "gauges are `gauge:supply` and `gauge:clutch`",
                )),
            },
            _ => match Instrument::ALL.into_iter().find(|instrument| instrument.word() == verb) {
                Some(instrument) => across(words, rest, instrument),
                None => Err(unknown(words)),
            },
        }
    }
}

fn across(words: &str, rest: &str, instrument: Instrument) -> Result<Reading, Refusal> {
    let leads: Vec<&str> = rest.split(',').map(str::trim).collect();
    let [first, second] = leads[..] else {
        return Err(Refusal::new(
            format!("`{words}` does not say where two leads are"),
            format!("write both, the first lead first, like `{}:Y1.1,Y1.2`", instrument.word()),
        ));
    };
    Ok(Reading::Across { instrument, first: first.parse()?, second: second.parse()? })
}

fn wire(words: &str, tag: &str, verb: &str) -> Result<String, Refusal> {
    if tag.is_empty() || tag.contains(['=', ',', '.', '@']) {
        return Err(Refusal::new(
            format!("`{words}` does not name a wire"),
            format!("write the wire's tag alone, like `{verb}:W4`"),
        ));
    }
    Ok(tag.to_owned())
}

fn unknown(words: &str) -> Refusal {
    const VERBS: [&str; 8] = ["volts", "lowz", "lamp", "ohms", "amps", "clamp", "gauge", "fan"];
    let verb = words.split(':').next().unwrap_or(words);
    let mend = match nearest(verb, VERBS) {
        Some("fan") => "did you mean `fan`?".to_owned(),
        Some(likely) => format!("did you mean `{likely}:`?"),
        None => "readings are `volts:Y1.1,Y1.2`, `lowz:`, `lamp:` and `ohms:` with two leads, `amps:W4`, `clamp:W4`, \
                 `gauge:supply`, `gauge:clutch` and `fan`"
            .to_owned(),
    };
    Refusal::new(format!("`{words}` is not a reading"), mend)
}
