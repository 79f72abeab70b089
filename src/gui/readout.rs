//! Values as the face of an instrument shows them: digits, unit and the words read out for them.
//!
//! Yields [`Readout`]. The ranges are those of a meter that counts to 6000 (common practice, no source): the finest
//! range that holds the value, so 5.832 V, 12.54 V, 120.5 Ω, 2.100 kΩ. A clamp shows hundredths of an amp.

use crate::physics::meter::Glow;
use crate::study::meter::Value;

use super::instrument::Device;
use super::tongue::{spoken, t, worded};

/// Most counts of the display.
const COUNTS: f64 = 5999.0;

/// What stands on a display.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Readout {
    /// Digits, point and minus; `OL` on overload, dashes where there is nothing steady to read.
    pub digits: String,
    /// The unit's symbol.
    pub unit: &'static str,
}

impl Readout {
    /// A display with nothing on it yet.
    pub fn blank(unit: &'static str) -> Self {
        Self { digits: "---".to_owned(), unit }
    }

    /// What the display of an instrument shows for a value; none for a lamp, which has no display.
    pub fn of(device: Device, value: Value) -> Option<Self> {
        let counted = |value, unit| Self { digits: counted(value), unit };
        Some(match value {
            Value::Volts(Some(volts)) => counted(volts, "V"),
            Value::Volts(None) => Self::blank("V"),
            Value::Ohms(None) => Self { digits: "OL".to_owned(), unit: "MΩ" },
            Value::Ohms(Some(ohms)) => in_ohms(ohms),
            Value::Amps(amps) => match device {
                Device::Clamp => Self { digits: unsigned_zero(format!("{amps:.2}")), unit: "A" },
                Device::Meter | Device::Lamp => counted(amps, "A"),
            },
            Value::Psi(_) | Value::Lamp(_) | Value::Fan(_) => return None,
        })
    }
}

/// What is read out for a value: `12.54 V`, `overload`, `bright`.
pub fn said(device: Device, value: Value) -> String {
    match value {
        Value::Volts(None) => t!("readout-no-reading").to_owned(),
        Value::Ohms(None) => t!("readout-overload").to_owned(),
        Value::Lamp(glow) => glow_word(glow).to_owned(),
        other => Readout::of(device, other).map_or_else(
            || worded(&other.words()),
            |readout| t!("readout-number", digits = spoken().figures(readout.digits), unit = readout.unit),
        ),
    }
}

/// How a lamp burns.
pub fn glow_word(glow: Glow) -> &'static str {
    match glow {
        Glow::Dark => t!("readout-dark"),
        Glow::Dim => t!("readout-dim"),
        Glow::Bright => t!("readout-bright"),
    }
}

fn in_ohms(ohms: f64) -> Readout {
    if (ohms.abs() * 10.0).round() <= COUNTS {
        return Readout { digits: unsigned_zero(format!("{ohms:.1}")), unit: "Ω" };
    }
    // On the range below, 600 kohm would take more counts than there are.
    if (ohms.abs() / 100.0).round() <= COUNTS {
        Readout { digits: counted(ohms / 1e3), unit: "kΩ" }
    } else {
        Readout { digits: counted(ohms / 1e6), unit: "MΩ" }
    }
}

/// As many decimals as the counts allow, at most three.
fn counted(value: f64) -> String {
    let fits = |decimals: &usize| (value.abs() * 10f64.powi(*decimals as i32)).round() <= COUNTS;
    let decimals = (0..=3).rev().find(fits).unwrap_or(0);
    unsigned_zero(format!("{value:.decimals$}"))
}

/// A display has a minus sign, and none before a zero.
fn unsigned_zero(digits: String) -> String {
    if digits.bytes().all(|digit| matches!(digit, b'-' | b'0' | b'.')) { digits.replace('-', "") } else { digits }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: Value) -> String {
        said(Device::Meter, value)
    }

    #[test]
    fn decimals_follow_the_range() {
        assert_eq!(shown(Value::Volts(Some(12.543))), "12.54 V");
        assert_eq!(shown(Value::Volts(Some(5.8321))), "5.832 V");
        assert_eq!(shown(Value::Volts(Some(5.9996))), "6.00 V");
        assert_eq!(shown(Value::Ohms(Some(30.04))), "30.0 Ω");
        assert_eq!(shown(Value::Ohms(Some(599.96))), "0.600 kΩ");
        assert_eq!(shown(Value::Ohms(Some(2_100.0))), "2.100 kΩ");
        assert_eq!(shown(Value::Ohms(Some(599_960.0))), "0.600 MΩ");
        assert_eq!(shown(Value::Ohms(Some(10e6))), "10.00 MΩ");
    }

    #[test]
    fn polarity_is_a_minus_sign_and_zero_has_none() {
        assert_eq!(shown(Value::Volts(Some(-12.4))), "-12.40 V");
        assert_eq!(shown(Value::Volts(Some(-0.0002))), "0.000 V");
        assert_eq!(said(Device::Clamp, Value::Amps(-0.004)), "0.00 A");
        assert_eq!(said(Device::Clamp, Value::Amps(-0.416)), "-0.42 A");
    }

    #[test]
    fn overload_is_ol_on_the_display_and_a_word_when_read_out() {
        let readout = Readout::of(Device::Meter, Value::Ohms(None)).expect("a display");
        assert_eq!((readout.digits.as_str(), readout.unit), ("OL", "MΩ"));
        assert_eq!(shown(Value::Ohms(None)), "overload");
    }
}
