//! How nearly each instrument is read, and so which two readings can be told apart: the one place that says.
//!
//! A reading may miss the true value by its tolerance, a least amount and a share of the value, and by no more. On a
//! scale on which every tolerance is one long ([`Tolerance::place`]) a reading agrees with what is foreseen where the
//! two are no more than one apart, and two things foreseen are told apart by every possible reading where they are
//! more than two apart. What is foreseen is found elsewhere.

use crate::bench::{Gauge, Instrument, Reading};
use crate::physics::limits::{CLAMP_DRIFT_AMPS, LAMP_BRIGHT_SHARE, LAMP_GLOWS_SHARE, OHMMETER_RANGE_OHMS};
use crate::physics::meter::Glow;
use crate::study::answer::Standing;
use crate::study::meter::Value;

/// How far a reading may be from the true value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Least amount, in the reading's unit; above zero.
    pub least: f64,
    /// Share of the value that comes on top of it.
    pub share: f64,
}

impl Tolerance {
    /// Where a value stands on the scale on which each tolerance is one long: the integral of its reciprocal.
    pub fn place(self, value: f64) -> f64 {
        let size = value.abs();
        let along =
            if self.share > 0.0 { (1.0 + self.share * size / self.least).ln() / self.share } else { size / self.least };
        along.copysign(value)
    }
}

/// The tolerances of all instruments. All are example values: what a meter's data sheet, its leads, a battery that is
/// not quite as the file says and an eye leave open together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerances {
    /// Either voltmeter, in volts.
    pub volts: Tolerance,
    /// Test lamp, in shares of its rated volts.
    pub lamp: Tolerance,
    /// Ohmmeter, in ohms.
    pub ohms: Tolerance,
    /// Ammeter, in amps.
    pub amps: Tolerance,
    /// Clamp, in amps.
    pub clamp: Tolerance,
    /// Gauges, in psi.
    pub gauge: Tolerance,
}

impl Default for Tolerances {
    fn default() -> Self {
        Self {
            volts: Tolerance { least: 0.1, share: 0.02 },
            lamp: Tolerance { least: 0.02, share: 0.1 },
            ohms: Tolerance { least: 0.3, share: 0.05 },
            amps: Tolerance { least: 0.01, share: 0.03 },
            clamp: Tolerance { least: CLAMP_DRIFT_AMPS, share: 0.03 },
            gauge: Tolerance { least: 3.0, share: 0.02 },
        }
    }
}

impl Tolerances {
    /// The names they are edited by.
    pub const NAMES: [&str; 6] = ["volts", "lamp", "ohms", "amps", "clamp", "gauge"];

    /// The tolerance of this name, to be edited.
    pub fn named(&mut self, name: &str) -> Option<&mut Tolerance> {
        Some(match name {
            "volts" => &mut self.volts,
            "lamp" => &mut self.lamp,
            "ohms" => &mut self.ohms,
            "amps" => &mut self.amps,
            "clamp" => &mut self.clamp,
            "gauge" => &mut self.gauge,
            _ => return None,
        })
    }

    /// That of a reading; none for what is seen without instrument.
    pub fn of(&self, reading: &Reading) -> Option<Tolerance> {
        match reading {
            Reading::Across { instrument: Instrument::Voltmeter | Instrument::LowImpedance, .. } => Some(self.volts),
            Reading::Across { instrument: Instrument::TestLamp, .. } => Some(self.lamp),
            Reading::Across { instrument: Instrument::Ohmmeter, .. } => Some(self.ohms),
            Reading::Amps(_) => Some(self.amps),
            Reading::Clamp(_) => Some(self.clamp),
            Reading::Gauge(Gauge::Supply | Gauge::Clutch) => Some(self.gauge),
            Reading::Fan => None,
        }
    }
}

/// What an instrument would show, as far as one foreseen reading can be told from another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Look {
    /// A number, as written by the instrument; for a lamp the share of its rated volts.
    Number(f64),
    /// What the fan does.
    Fan(Standing),
    /// The circuit never comes to rest, so nothing stands still long enough to be read.
    Unsteady,
}

impl Look {
    /// What is shown, as a look. A meter on two points that nothing joins wanders about zero; an ohmmeter on overload
    /// stands past its range.
    pub fn of(value: &Value) -> Self {
        match value {
            Value::Volts(volts) => Self::Number(volts.unwrap_or(0.0)),
            Value::Ohms(ohms) => Self::Number(ohms.unwrap_or(OHMMETER_RANGE_OHMS)),
            Value::Amps(amps) => Self::Number(*amps),
            Value::Psi(psi) => Self::Number(psi.unwrap_or(0.0)),
            Value::Fan(Standing::Unsettled) => Self::Unsteady,
            Value::Fan(standing) => Self::Fan(*standing),
            // Only a lamp whose volts nobody kept: the middle of what is called so.
            Value::Lamp(Glow::Dark) => Self::Number(0.0),
            Value::Lamp(Glow::Dim) => Self::Number((LAMP_GLOWS_SHARE + LAMP_BRIGHT_SHARE) / 2.0),
            Value::Lamp(Glow::Bright) => Self::Number(1.0),
        }
    }

    /// The lamp's word for a share of its rated volts.
    pub fn glow(share: f64) -> Glow {
        match share.abs() {
            share if share >= LAMP_BRIGHT_SHARE => Glow::Bright,
            share if share >= LAMP_GLOWS_SHARE => Glow::Dim,
            _ => Glow::Dark,
        }
    }
}

/// What was seen, as the range of what may truly have been there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Range {
    /// A number between these two, on the scale of its tolerance.
    Between(f64, f64),
    /// The fan doing this.
    Fan(Standing),
    /// Nothing that stood still.
    Unsteady,
}

impl Range {
    /// Numbers around one that was read, within its tolerance, or within so much of it.
    pub fn around(tolerance: Tolerance, value: f64, within: Option<f64>) -> Self {
        match within {
            Some(within) => Self::Between(tolerance.place(value - within), tolerance.place(value + within)),
            None => Self::Between(tolerance.place(value) - 1.0, tolerance.place(value) + 1.0),
        }
    }

    /// Shares of its rated volts at which a lamp may have been called so.
    pub fn of_glow(tolerance: Tolerance, glow: Glow) -> Self {
        let (low, high) = match glow {
            Glow::Dark => (f64::NEG_INFINITY, tolerance.place(LAMP_GLOWS_SHARE)),
            Glow::Dim => (tolerance.place(LAMP_GLOWS_SHARE), tolerance.place(LAMP_BRIGHT_SHARE)),
            Glow::Bright => (tolerance.place(LAMP_BRIGHT_SHARE), f64::INFINITY),
        };
        Self::Between(low - 1.0, high + 1.0)
    }

    /// Whether nothing can have been seen like both.
    pub fn excludes(self, other: Self) -> bool {
        match (self, other) {
            (Self::Between(a, b), Self::Between(c, d)) => a > d + SLACK || c > b + SLACK,
            (Self::Fan(one), Self::Fan(other)) => one != other,
            (Self::Unsteady, Self::Unsteady) => false,
            (Self::Between(..) | Self::Fan(_) | Self::Unsteady, _) => true,
        }
    }

    /// Whether what is foreseen may have been seen like this.
    pub fn holds(self, tolerance: Option<Tolerance>, look: Look) -> bool {
        match (self, look) {
            (Self::Between(low, high), Look::Number(value)) => {
                let place = tolerance.map_or(value, |tolerance| tolerance.place(value));
                (low - SLACK..=high + SLACK).contains(&place)
            }
            (Self::Fan(seen), Look::Fan(foreseen)) => seen == foreseen,
            (Self::Unsteady, Look::Unsteady) => true,
            (Self::Between(..) | Self::Fan(_) | Self::Unsteady, _) => false,
        }
    }
}

/// Tolerances by which two places may seem apart from rounding alone.
const SLACK: f64 = 1e-9;

/// Groups of foreseen looks that every possible reading tells from all others: the number of its group for each. A
/// lamp's are told apart by its words.
pub fn groups(looks: &[Look], tolerance: Option<Tolerance>, is_lamp: bool) -> Vec<u16> {
    let place =
        |value: f64| tolerance.map_or(value, |tolerance| tolerance.place(if is_lamp { value.abs() } else { value }));
    let mut places: Vec<f64> = looks.iter().filter_map(|look| number(*look)).map(place).collect();
    places.sort_by(f64::total_cmp);
    let cuts: Vec<f64> = if is_lamp {
        let edges = [LAMP_GLOWS_SHARE, LAMP_BRIGHT_SHARE].map(place);
        edges.into_iter().filter(|edge| places.iter().all(|at| (at - edge).abs() >= 1.0)).collect()
    } else {
        places.windows(2).filter(|pair| pair[1] - pair[0] > 2.0).map(|pair| (pair[0] + pair[1]) / 2.0).collect()
    };
    let standing = |fan: Standing| match fan {
        Standing::Engaged => 0,
        Standing::Released => 1,
        Standing::Slipping => 2,
        Standing::Unsettled => 3,
        Standing::None => 4,
    };
    let group = |look: &Look| match look {
        Look::Number(value) => cuts.iter().filter(|cut| place(*value) > **cut).count() as u16,
        Look::Fan(fan) => standing(*fan),
        Look::Unsteady => u16::MAX,
    };
    looks.iter().map(group).collect()
}

fn number(look: Look) -> Option<f64> {
    match look {
        Look::Number(value) => Some(value),
        Look::Fan(_) | Look::Unsteady => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Look, Range, Tolerance, Tolerances, groups};

    #[test]
    fn a_reading_within_its_tolerance_agrees_and_one_beyond_does_not() {
        let tolerance = Tolerances::default().volts;
        let seen = Range::around(tolerance, 12.0, None);
        // 0.1 V and 2 % of 12 V.
        assert!(seen.holds(Some(tolerance), Look::Number(12.3)));
        assert!(!seen.holds(Some(tolerance), Look::Number(12.4)));
        assert!(!seen.holds(Some(tolerance), Look::Number(-12.0)));
    }

    #[test]
    fn groups_are_cut_only_where_every_reading_tells_which_side() {
        let tolerance = Tolerance { least: 1.0, share: 0.0 };
        let looks = [10.0, 0.0, 1.5, 3.6].map(Look::Number);
        assert_eq!(groups(&looks, Some(tolerance), false), [2, 0, 0, 1]);
        let chained = [0.0, 1.9, 3.8].map(Look::Number);
        assert_eq!(groups(&chained, Some(tolerance), false), [0, 0, 0]);
    }

    #[test]
    fn a_lamp_near_the_edge_of_a_word_is_not_told_by_it() {
        let tolerance = Tolerances::default().lamp;
        let clear = [0.0, 0.4, 1.0].map(Look::Number);
        assert_eq!(groups(&clear, Some(tolerance), true), [0, 1, 2]);
        let doubtful = [0.0, 0.68, 1.0].map(Look::Number);
        assert_eq!(groups(&doubtful, Some(tolerance), true), [0, 1, 1]);
    }
}
