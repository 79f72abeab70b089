//! Quantities as a person writes them, with their unit kept, and their value in the unit the physics uses.
//!
//! A set point written `Fahrenheit(210)` stays Fahrenheit in the file and on screen; the physics asks for
//! [`Level::value`], which is degrees Celsius or kilopascal (gauge). Lengths come out in metres, cross-sections
//! in square millimetres. Formatting for people is left to those who show them.

use serde::{Deserialize, Serialize};

use crate::words::arg::{Arg, ToArg};
use crate::words::{Measure, Words, say};

/// Kilopascal in one pound-force per square inch (exact to the digits given; NIST SP 811, appendix B.8, from memory).
pub const KPA_PER_PSI: f64 = 6.894_757_293_168;
/// Kilopascal in one bar, by definition.
pub const KPA_PER_BAR: f64 = 100.0;
/// Metres in one foot, by definition of the international foot.
pub const METRES_PER_FOOT: f64 = 0.3048;

/// Degrees Fahrenheit to degrees Celsius.
pub fn celsius_from_fahrenheit(f: f64) -> f64 {
    (f - 32.0) / 1.8
}

/// Degrees Celsius to degrees Fahrenheit.
pub fn fahrenheit_from_celsius(c: f64) -> f64 {
    c * 1.8 + 32.0
}

/// Units that a quantity is written in: the file's word for each, and what stands behind a number.
pub const UNITS: [(&str, &str); 8] = [
    ("Fahrenheit", "°F"),
    ("Celsius", "°C"),
    ("Psi", "psi"),
    ("Kilopascal", "kPa"),
    ("Bar", "bar"),
    ("Feet", "ft"),
    ("Metre", "m"),
    ("SquareMillimetre", "mm²"),
];

/// The unit that somebody wrote behind a number: `F`, `°f` and `°F` are one, and so are `mm2` and `mm²`.
pub fn unit_written(behind: &str) -> Option<(&'static str, &'static str)> {
    let bare = behind.trim().trim_start_matches('°').trim().replace("mm2", "mm²");
    UNITS.into_iter().find(|(_, symbol)| symbol.trim_start_matches('°').eq_ignore_ascii_case(&bare))
}

/// A temperature or a gauge pressure in the unit it was written in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Level {
    /// Degrees Fahrenheit.
    Fahrenheit(f64),
    /// Degrees Celsius.
    Celsius(f64),
    /// Pounds-force per square inch above atmosphere.
    Psi(f64),
    /// Kilopascal above atmosphere.
    Kilopascal(f64),
    /// Bar above atmosphere.
    Bar(f64),
}

impl Level {
    /// So many of the unit that the file calls so; none where that is no unit of a level.
    pub fn of(word: &str, number: f64) -> Option<Self> {
        match word {
            "Fahrenheit" => Some(Self::Fahrenheit(number)),
            "Celsius" => Some(Self::Celsius(number)),
            "Psi" => Some(Self::Psi(number)),
            "Kilopascal" => Some(Self::Kilopascal(number)),
            "Bar" => Some(Self::Bar(number)),
            _ => None,
        }
    }

    /// Degrees Celsius for a temperature, kilopascal (gauge) for a pressure.
    pub fn value(self) -> f64 {
        match self {
            Self::Fahrenheit(f) => celsius_from_fahrenheit(f),
            Self::Celsius(c) => c,
            Self::Psi(p) => p * KPA_PER_PSI,
            Self::Kilopascal(k) => k,
            Self::Bar(b) => b * KPA_PER_BAR,
        }
    }

    /// The number as written, in its own unit.
    pub fn written(self) -> f64 {
        match self {
            Self::Fahrenheit(x) | Self::Celsius(x) | Self::Psi(x) | Self::Kilopascal(x) | Self::Bar(x) => x,
        }
    }

    /// A value in °C or kPa (gauge), written in the unit that `like` is written in.
    pub fn written_like(value: f64, like: Self) -> Self {
        match like {
            Self::Fahrenheit(_) => Self::Fahrenheit(fahrenheit_from_celsius(value)),
            Self::Celsius(_) => Self::Celsius(value),
            Self::Psi(_) => Self::Psi(value / KPA_PER_PSI),
            Self::Kilopascal(_) => Self::Kilopascal(value),
            Self::Bar(_) => Self::Bar(value / KPA_PER_BAR),
        }
    }

    /// The same in somebody's own units; as it is where it is written in those. Degrees have a decimal where they are not
    /// whole, so that 205 °F and a sensor at 96 °C are told apart.
    #[must_use]
    pub fn measured(self, measure: Measure) -> Self {
        self.converted(measure, fahrenheit_from_celsius, celsius_from_fahrenheit)
    }

    /// As a difference: so many degrees or so much pressure more or less, in the units of whoever reads it.
    #[must_use]
    pub fn difference(self) -> Words {
        Words::measured(|measure| written(self.converted(measure, |kelvin| kelvin * 1.8, |degrees| degrees / 1.8)))
    }

    fn converted(self, measure: Measure, to_fahrenheit: fn(f64) -> f64, to_celsius: fn(f64) -> f64) -> Self {
        let to_a_tenth = |degrees: f64| (degrees * 10.0).round() / 10.0;
        match (measure, self) {
            (Measure::Customary, Self::Celsius(c)) => Self::Fahrenheit(to_a_tenth(to_fahrenheit(c))),
            (Measure::Customary, Self::Kilopascal(_) | Self::Bar(_)) => Self::Psi((self.value() / KPA_PER_PSI).round()),
            (Measure::Metric, Self::Fahrenheit(f)) => Self::Celsius(to_a_tenth(to_celsius(f))),
            (Measure::Metric, Self::Psi(_)) => Self::Kilopascal(self.value().round()),
            _ => self,
        }
    }

    /// The level that is so much higher, in its own unit.
    pub fn raised(self, by: f64) -> Self {
        match self {
            Self::Fahrenheit(x) => Self::Fahrenheit(x + by),
            Self::Celsius(x) => Self::Celsius(x + by),
            Self::Psi(x) => Self::Psi(x + by),
            Self::Kilopascal(x) => Self::Kilopascal(x + by),
            Self::Bar(x) => Self::Bar(x + by),
        }
    }

    /// Whether this is a temperature (else it is a pressure).
    pub fn is_temperature(self) -> bool {
        matches!(self, Self::Fahrenheit(_) | Self::Celsius(_))
    }

    /// The unit's symbol as people write it after the number.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Fahrenheit(_) => "°F",
            Self::Celsius(_) => "°C",
            Self::Psi(_) => "psi",
            Self::Kilopascal(_) => "kPa",
            Self::Bar(_) => "bar",
        }
    }
}

impl ToArg for Level {
    fn to_arg(&self) -> Arg {
        Words::measured(|measure| written(self.measured(measure))).to_arg()
    }
}

fn written(level: Level) -> Words {
    say!("circuit-level", value = level.written(), unit = level.unit())
}

impl std::fmt::Display for Level {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.written(), self.unit())
    }
}

/// A wire's length in the unit it was written in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Length {
    /// International feet.
    Feet(f64),
    /// Metres.
    Metre(f64),
}

impl Length {
    /// Metres.
    pub fn metres(self) -> f64 {
        match self {
            Self::Feet(x) => x * METRES_PER_FOOT,
            Self::Metre(x) => x,
        }
    }
}

/// A wire's size as the harness maker states it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Gauge {
    /// American wire gauge; 0 is 1/0, -1 is 2/0, down to -3 for 4/0.
    Awg(i32),
    /// Conductor cross-section in square millimetres.
    SquareMillimetre(f64),
}

impl Gauge {
    /// Conductor cross-section in mm². For AWG n the diameter is 0.127 mm x 92^((36-n)/39) (ASTM B258, from memory;
    /// checked against a handbook table in `tests/published`).
    pub fn square_mm(self) -> f64 {
        match self {
            Self::Awg(n) => {
                let diameter_mm = 0.127 * 92f64.powf(f64::from(36 - n) / 39.0);
                std::f64::consts::PI * diameter_mm * diameter_mm / 4.0
            }
            Self::SquareMillimetre(area) => area,
        }
    }
}

impl std::fmt::Display for Gauge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Awg(n) => write!(f, "AWG {n}"),
            Self::SquareMillimetre(a) => write!(f, "{a} mm²"),
        }
    }
}
