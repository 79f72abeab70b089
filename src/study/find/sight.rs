//! What was seen, as a typed value that reads and writes itself as text: `volts:Y1.1,Y1.2=7.5 after unplug:B1 with
//! coolant=230F`.
//!
//! A value may carry its own tolerance, `7.5+-0.2`, and a doubt, `dim?`; `?` alone says that nothing could be made of
//! it. What a circuit would show is found elsewhere; names stay names here.

use std::fmt;
use std::str::FromStr;

use crate::bench::{Act, Instrument, Reading, Refusal, Setting};
use crate::circuit::diagnostic::nearest;
use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI};
use crate::physics::limits::OHMMETER_RANGE_OHMS;
use crate::physics::meter::Glow;
use crate::study::answer::Standing;
use crate::study::meter::Value;

use super::scale::{Range, Tolerances};
use crate::words::{Words, say};

/// What is done and set before something is read, beside what holds for everything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Setup {
    /// Conditions, there from the beginning.
    pub with: Vec<Setting>,
    /// Acts, in order.
    pub after: Vec<Act>,
}

/// One thing seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Sight {
    /// What was read.
    pub reading: Reading,
    /// What it showed; none where nobody could say.
    pub value: Option<Seen>,
    /// A tolerance of its own, in the reading's unit.
    pub within: Option<f64>,
    /// Whoever saw it is not sure.
    pub is_doubtful: bool,
    /// How the truck stood.
    pub setup: Setup,
}

/// What an instrument was seen to show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seen {
    /// Volts, ohms, amps or psi.
    Number(f64),
    /// No number: overload, or leads that touch nothing.
    Nothing,
    /// How a lamp burnt.
    Lamp(Glow),
    /// What the fan did.
    Fan(Standing),
    /// A reading that jumped about and never stood still.
    Unsteady,
}

impl Seen {
    /// What an instrument shows, as something seen.
    pub fn of(value: &Value) -> Self {
        match value {
            Value::Volts(number) | Value::Ohms(number) | Value::Psi(number) => {
                number.map_or(Self::Nothing, Self::Number)
            }
            Value::Amps(amps) => Self::Number(*amps),
            Value::Lamp(glow) => Self::Lamp(*glow),
            Value::Fan(Standing::Unsettled) => Self::Unsteady,
            Value::Fan(standing) => Self::Fan(*standing),
        }
    }

    /// What was seen as the face of the instrument that takes this reading shows it: `12.41 V`, `dim`, `unsteady`.
    pub fn words(self, reading: &Reading) -> Words {
        let number = match self {
            Self::Number(number) => Some(number),
            Self::Nothing => None,
            Self::Lamp(glow) => return glow.said(),
            Self::Fan(standing) => return standing.said(),
            Self::Unsteady => return say!("find-unsteady"),
        };
        let value = match reading {
            Reading::Across { instrument: Instrument::Ohmmeter, .. } => Value::Ohms(number),
            Reading::Across { .. } | Reading::Fan => Value::Volts(number),
            Reading::Amps(_) | Reading::Clamp(_) => Value::Amps(number.unwrap_or(0.0)),
            Reading::Gauge(_) => Value::Psi(number),
        };
        value.words()
    }
}

impl Sight {
    /// What may truly have been there; none where nobody could say.
    pub fn range(&self, tolerances: &Tolerances) -> Option<Range> {
        let tolerance = tolerances.of(&self.reading);
        Some(match (self.value?, tolerance) {
            (Seen::Unsteady | Seen::Fan(Standing::Unsettled), _) => Range::Unsteady,
            (Seen::Fan(standing), _) => Range::Fan(standing),
            (Seen::Lamp(glow), Some(tolerance)) => Range::of_glow(tolerance, glow),
            (Seen::Number(value), Some(tolerance)) => Range::around(tolerance, value, self.within),
            (Seen::Nothing, Some(tolerance)) => {
                let is_ohms = matches!(self.reading, Reading::Across { instrument: Instrument::Ohmmeter, .. });
                Range::around(tolerance, if is_ohms { OHMMETER_RANGE_OHMS } else { 0.0 }, None)
            }
            (Seen::Lamp(_) | Seen::Number(_) | Seen::Nothing, None) => return None,
        })
    }
}

impl fmt::Display for Setup {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let list = |items: Vec<String>| items.join(";");
        if !self.after.is_empty() {
            write!(f, " after {}", list(self.after.iter().map(Act::to_string).collect()))?;
        }
        if !self.with.is_empty() {
            write!(f, " with {}", list(self.with.iter().map(Setting::to_string).collect()))?;
        }
        Ok(())
    }
}

impl fmt::Display for Sight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}=", self.reading)?;
        match self.value {
            Some(Seen::Number(number)) => write!(f, "{number}{}", unit(&self.reading))?,
            Some(Seen::Nothing) => f.write_str(match self.reading {
                Reading::Across { instrument: Instrument::Ohmmeter, .. } => "overload",
                _ => "none",
            })?,
            Some(Seen::Lamp(glow)) => f.write_str(glow.word())?,
            Some(Seen::Fan(standing)) => f.write_str(standing.word())?,
            Some(Seen::Unsteady) => f.write_str(UNSTEADY)?,
            None => {}
        }
        if let Some(within) = self.within {
            write!(f, "+-{within}")?;
        }
        if self.is_doubtful {
            f.write_str("?")?;
        }
        write!(f, "{}", self.setup)
    }
}

/// The unit a reading's number is written with.
pub fn unit(reading: &Reading) -> &'static str {
    match reading {
        Reading::Across { instrument: Instrument::Ohmmeter, .. } => "ohm",
        Reading::Across { instrument: Instrument::TestLamp, .. } | Reading::Fan => "",
        Reading::Across { .. } => "V",
        Reading::Amps(_) | Reading::Clamp(_) => "A",
        Reading::Gauge(_) => "psi",
    }
}

/// The word for a reading that never stands still.
pub const UNSTEADY: &str = "unsteady";

impl FromStr for Sight {
    type Err = Refusal;

    fn from_str(words: &str) -> Result<Self, Refusal> {
        let words = words.trim();
        let (head, setup) = match [" after ", " with "].iter().filter_map(|word| words.find(word)).min() {
            Some(at) => (&words[..at], setup(words, &words[at..])?),
            None => match ["after", "with"].iter().find(|word| words.ends_with(&format!(" {word}"))) {
                Some(word) => return Err(says_nothing(words, word)),
                None => (words, Setup::default()),
            },
        };
        let Some((reading, value)) = head.split_once('=') else {
            // A wrong reading is the better thing to be told of.
            head.trim().parse::<Reading>()?;
            return Err(Refusal::new(
                say!("sight-does-not-say-what", words),
                say!("sight-write-what-it-showed", example = example(head.trim())),
            ));
        };
        let reading: Reading = reading.parse()?;
        let (value, is_doubtful) = match value.trim().strip_suffix('?') {
            Some(value) => (value.trim(), true),
            None => (value.trim(), false),
        };
        if value.is_empty() && is_doubtful {
            return Ok(Self { reading, value: None, within: None, is_doubtful, setup });
        }
        let (value, within) = split_tolerance(words, &reading, value)?;
        let value = Some(seen(words, &reading, value)?);
        Ok(Self { reading, value, within, is_doubtful, setup })
    }
}

fn says_nothing(words: &str, word: &str) -> Refusal {
    let mend = match word {
        "after" => say!("sight-name-the-acts"),
        _ => say!("sight-name-the-conditions"),
    };
    Refusal::new(say!("sight-is-followed-by-nothing", word, words), mend)
}

/// The acts and conditions behind `after` and `with`, in either order, each said once.
fn setup(words: &str, tail: &str) -> Result<Setup, Refusal> {
    let mut pieces: Vec<(&str, String)> = Vec::new();
    for word in tail.split_whitespace() {
        match word {
            "after" | "with" if pieces.iter().any(|(known, _)| *known == word) => {
                return Err(Refusal::new(say!("sight-says-twice", words, word), say!("sight-say-once", word)));
            }
            "after" | "with" => pieces.push((word, String::new())),
            _ => {
                if let Some((_, text)) = pieces.last_mut() {
                    if !text.is_empty() {
                        text.push(' ');
                    }
                    text.push_str(word);
                }
            }
        }
    }
    let mut setup = Setup::default();
    for (word, text) in &pieces {
        let items: Vec<&str> = text.split(';').map(str::trim).filter(|item| !item.is_empty()).collect();
        if items.is_empty() {
            return Err(says_nothing(words, word));
        }
        for item in items {
            if *word == "after" {
                setup.after.push(item.parse()?);
            } else {
                setup.with.push(item.parse()?);
            }
        }
    }
    Ok(setup)
}

/// A value and the tolerance written behind it.
fn split_tolerance<'a>(words: &str, reading: &Reading, value: &'a str) -> Result<(&'a str, Option<f64>), Refusal> {
    let Some((value, within)) = value.split_once("+-").or_else(|| value.split_once('±')) else {
        return Ok((value, None));
    };
    let number = number(reading, within.trim()).filter(|within| *within > 0.0);
    match number {
        Some(within) => Ok((value.trim(), Some(within))),
        None => Err(Refusal::new(
            say!("sight-is-not-a-tolerance", within, words),
            say!("sight-write-a-tolerance", units = units(reading)),
        )),
    }
}

fn seen(words: &str, reading: &Reading, value: &str) -> Result<Seen, Refusal> {
    if value == UNSTEADY {
        return Ok(Seen::Unsteady);
    }
    let wrong = |mend: Words| Err(Refusal::new(say!("sight-is-nothing-that-shows", value, words, reading), mend));
    match reading {
        Reading::Fan => {
            const ALL: [Standing; 5] =
                [Standing::Engaged, Standing::Released, Standing::Slipping, Standing::Unsettled, Standing::None];
            match ALL.into_iter().find(|standing| standing.word() == value) {
                Some(standing) => Ok(Seen::Fan(standing)),
                None => wrong(word_mend(value, &ALL.map(Standing::word))),
            }
        }
        Reading::Across { instrument: Instrument::TestLamp, .. } => {
            const ALL: [Glow; 3] = [Glow::Dark, Glow::Dim, Glow::Bright];
            match ALL.into_iter().find(|glow| glow.word() == value) {
                Some(glow) => Ok(Seen::Lamp(glow)),
                None => wrong(word_mend(value, &ALL.map(Glow::word))),
            }
        }
        Reading::Across { instrument: Instrument::Ohmmeter, .. } if matches!(value, "overload" | "OL" | "null") => {
            Ok(Seen::Nothing)
        }
        Reading::Across { instrument: Instrument::Voltmeter | Instrument::LowImpedance, .. }
            if matches!(value, "none" | "null") =>
        {
            Ok(Seen::Nothing)
        }
        Reading::Across { .. } | Reading::Amps(_) | Reading::Clamp(_) | Reading::Gauge(_) => {
            match number(reading, value) {
                Some(number) => Ok(Seen::Number(number)),
                None => {
                    wrong(say!("sight-write-a-number", units = units(reading), example = example(&reading.to_string())))
                }
            }
        }
    }
}

fn word_mend(value: &str, words: &[&'static str]) -> Words {
    match nearest(value, words.iter().copied()) {
        Some(near) => say!("change-did-you-mean", near),
        None => say!("sight-write-one-of", words = words.join(", ")),
    }
}

/// A number with one of its reading's units or none, in the unit the instruments of the studies show.
fn number(reading: &Reading, value: &str) -> Option<f64> {
    let units: &[(&str, f64)] = match reading {
        Reading::Across { instrument: Instrument::Ohmmeter, .. } => {
            &[("Mohm", 1e6), ("MΩ", 1e6), ("kohm", 1e3), ("kΩ", 1e3), ("ohms", 1.0), ("ohm", 1.0), ("Ω", 1.0)]
        }
        Reading::Across { .. } => &[("mV", 1e-3), ("V", 1.0)],
        Reading::Amps(_) | Reading::Clamp(_) => &[("mA", 1e-3), ("A", 1.0)],
        Reading::Gauge(_) => &[("psi", 1.0), ("kPa", 1.0 / KPA_PER_PSI), ("bar", KPA_PER_BAR / KPA_PER_PSI)],
        Reading::Fan => return None,
    };
    let (digits, factor) =
        units.iter().find_map(|(unit, factor)| Some((value.strip_suffix(unit)?, *factor))).unwrap_or((value, 1.0));
    let number: f64 = digits.trim().parse().ok()?;
    let number = number * factor;
    (number.is_finite() && number.abs() <= 1e12).then_some(number)
}

fn units(reading: &Reading) -> Words {
    match reading {
        Reading::Across { instrument: Instrument::Ohmmeter, .. } => say!("sight-ohms"),
        Reading::Across { .. } => say!("sight-volts"),
        Reading::Amps(_) | Reading::Clamp(_) => say!("sight-amps"),
        Reading::Gauge(_) => say!("sight-pressures"),
        Reading::Fan => say!("sight-no-unit"),
    }
}

/// A reading with something it may have shown.
fn example(reading: &str) -> String {
    let shows = match reading.split(':').next() {
        Some("fan") => "released",
        Some("lamp") => "dim",
        Some("ohms") => "30ohm",
        Some("amps" | "clamp") => "0.4A",
        Some("gauge") => "0psi",
        _ => "12.4V",
    };
    format!("{reading}={shows}")
}

#[cfg(test)]
mod tests {
    use super::Sight;

    #[test]
    fn sights_read_what_they_wrote() {
        for words in [
            "fan=released",
            "volts:Y1.1,Y1.2=7.5V",
            "volts:Y1.1,Y1.2=7.5V+-0.2 after unplug:B1;turn:S2=on with coolant=230F;key=on",
            "ohms:B1.1,B1.2=overload with key=off",
            "lamp:Y1.1,G1.-=dim?",
            "clamp:W4=-0.4A",
            "gauge:clutch=0psi after jump:B1.1=B1.2/10A",
            "gauge:clutch=?",
            "volts:Y1.1,G1.-=unsteady",
        ] {
            let sight: Sight = words.parse().unwrap_or_else(|why| panic!("{words}: {why}"));
            assert_eq!(sight.to_string(), words);
            assert_eq!(sight.to_string().parse(), Ok(sight));
        }
    }

    #[test]
    fn units_become_those_of_the_instruments() {
        let same = |one: &str, other: &str| {
            let [one, other] = [one, other].map(|words| words.parse::<Sight>().unwrap());
            assert_eq!(one.value, other.value);
        };
        same("volts:A.1,B.1=400mV", "volts:A.1,B.1=0.4");
        same("ohms:A.1,B.1=4.7kohm", "ohms:A.1,B.1=4700");
        same("ohms:A.1,B.1=OL", "ohms:A.1,B.1=overload");
        same("amps:W1=400mA", "amps:W1=0.4A");
        same("fan=released with coolant=230F after unplug:B1", "fan=released after unplug:B1 with coolant=230F");
    }

    #[test]
    fn every_malformed_sight_is_refused_with_a_mend() {
        for words in [
            "",
            "fan",
            "fan=",
            "fan=on",
            "volts:Y1.1=3",
            "volts:Y1.1,Y1.2=",
            "volts:Y1.1,Y1.2=x",
            "volts:Y1.1,Y1.2=nan",
            "volts:Y1.1,Y1.2=3+-",
            "volts:Y1.1,Y1.2=3+-0",
            "volts:Y1.1,Y1.2=3+-x",
            "lamp:Y1.1,Y1.2=1V",
            "gauge:tank=3",
            "fan=released after",
            "fan=released with",
            "fan=released after foo",
            "fan=released with coolant",
            "fan=released after unplug:B1 after unplug:B2",
            "fan=released with ;",
            "ohms:A.1,B.1=-",
            "blink=3",
        ] {
            let refusal = words.parse::<Sight>().expect_err(words);
            assert!(!refusal.message.is_empty() && !refusal.mend.is_empty(), "{words}");
        }
    }
}
