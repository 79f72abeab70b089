//! The surroundings as scales: which there are, how far each reaches, in which unit, and which switch acts where.
//!
//! Yields [`Condition`], [`Reach`] and [`Mark`]; all plain sums, no drawing. Values cross into the bench only as
//! settings. The reaches are choices of this window, wide enough for the trade's set points.

use super::amount::in_grammar;
use super::tongue::{self, t};
use crate::bench::{Bench, Setting};
use crate::circuit::part::{Quantity, SetPoint};
use crate::circuit::quantity::{KPA_PER_PSI, Level, fahrenheit_from_celsius};
use crate::circuit::{Circuit, PartId};
use crate::physics::inputs::Conditions;
use crate::words::Measure;

/// Which system of units the scales are marked in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Units {
    /// °F and psi.
    #[default]
    Customary,
    /// °C and kPa.
    Metric,
}

impl Units {
    /// In which words tell quantities to whoever has chosen it.
    pub fn measure(self) -> Measure {
        match self {
            Self::Customary => Measure::Customary,
            Self::Metric => Measure::Metric,
        }
    }

    /// The system the circuit's first set point is written in.
    pub fn of(circuit: &Circuit) -> Self {
        let first = circuit.parts().iter().flat_map(|p| p.kind.set_points()).next();
        match first.map(|point| point.acts) {
            Some(Level::Celsius(_) | Level::Kilopascal(_) | Level::Bar(_)) => Self::Metric,
            Some(Level::Fahrenheit(_) | Level::Psi(_)) | None => Self::Customary,
        }
    }
}

/// A condition with a scale. The key is a switch in the drawing and on the panel and needs none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// Coolant temperature.
    Coolant,
    /// Intake or charge air temperature.
    Intake,
    /// Oil temperature.
    Oil,
    /// Refrigerant high side.
    Refrigerant,
    /// Supply air.
    Air,
    /// Engine speed.
    Engine,
    /// Air around the harness.
    Ambient,
}

/// How far a scale reaches and in which steps, in its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Left end.
    pub from: f64,
    /// Right end.
    pub to: f64,
    /// What an arrow key and a dragged pointer move by.
    pub step: f64,
    /// What Page Up and Page Down move by.
    pub stride: f64,
    /// Distance of the numbered ticks.
    pub tick: f64,
}

/// A set and reset point to mark on a scale, in the scale's unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The switch or module.
    pub part: PartId,
    /// Its tag.
    pub tag: String,
    /// The set point itself, as written.
    pub point: SetPoint,
    /// Where it acts.
    pub acts: f64,
    /// Where it returns.
    pub resets: f64,
    /// Whether it acts on a rise.
    pub rising: bool,
    /// Whether it has acted.
    pub acted: bool,
}

impl Condition {
    /// All of them, in the order of the panel.
    pub const ALL: [Self; 7] =
        [Self::Coolant, Self::Intake, Self::Oil, Self::Refrigerant, Self::Air, Self::Engine, Self::Ambient];

    /// Its name for people.
    pub fn title(self) -> &'static str {
        match self {
            Self::Coolant => t!("condition-coolant"),
            Self::Intake => t!("condition-intake-air"),
            Self::Oil => t!("condition-oil"),
            Self::Refrigerant => t!("condition-refrigerant"),
            Self::Air => t!("condition-air-supply"),
            Self::Engine => t!("condition-engine-speed"),
            Self::Ambient => t!("condition-ambient"),
        }
    }

    /// The condition a sensor of this quantity feels.
    pub fn felt_by(quantity: Quantity) -> Self {
        match quantity {
            Quantity::Coolant => Self::Coolant,
            Quantity::IntakeAir => Self::Intake,
            Quantity::Oil => Self::Oil,
            Quantity::Refrigerant => Self::Refrigerant,
            Quantity::AirSupply => Self::Air,
        }
    }

    fn quantity(self) -> Option<Quantity> {
        match self {
            Self::Coolant => Some(Quantity::Coolant),
            Self::Intake => Some(Quantity::IntakeAir),
            Self::Oil => Some(Quantity::Oil),
            Self::Refrigerant => Some(Quantity::Refrigerant),
            Self::Air => Some(Quantity::AirSupply),
            Self::Engine | Self::Ambient => None,
        }
    }

    fn is_temperature(self) -> bool {
        match self {
            Self::Coolant | Self::Intake | Self::Oil | Self::Ambient => true,
            Self::Refrigerant | Self::Air | Self::Engine => false,
        }
    }

    /// The unit's symbol.
    pub fn unit(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Engine, _) => t!("condition-rpm"),
            (c, Units::Customary) if c.is_temperature() => "°F",
            (c, Units::Metric) if c.is_temperature() => "°C",
            (_, Units::Customary) => "psi",
            (_, Units::Metric) => "kPa",
        }
    }

    /// A value of the physics (°C, kPa, rpm) in the scale's unit.
    pub fn shown(self, value: f64, units: Units) -> f64 {
        match (self, units) {
            (Self::Engine, _) | (_, Units::Metric) => value,
            (c, Units::Customary) if c.is_temperature() => fahrenheit_from_celsius(value),
            (_, Units::Customary) => value / KPA_PER_PSI,
        }
    }

    /// Its value now, in the scale's unit.
    pub fn now(self, conditions: &Conditions, units: Units) -> f64 {
        let value = match self {
            Self::Coolant => conditions.coolant_c,
            Self::Intake => conditions.intake_c,
            Self::Oil => conditions.oil_c,
            Self::Refrigerant => conditions.refrigerant_kpa,
            Self::Air => conditions.air_kpa,
            Self::Engine => conditions.engine_rpm,
            Self::Ambient => conditions.ambient_c,
        };
        self.shown(value, units)
    }

    /// The setting that makes it `value`, given in the scale's unit.
    pub fn setting(self, value: f64, units: Units) -> Setting {
        // Sums of steps gather binary dust; a person's value has no more than two decimals.
        let value = (value * 100.0).round() / 100.0;
        let temperature = match units {
            Units::Customary => Level::Fahrenheit(value),
            Units::Metric => Level::Celsius(value),
        };
        let pressure = match units {
            Units::Customary => Level::Psi(value.max(0.0)),
            Units::Metric => Level::Kilopascal(value.max(0.0)),
        };
        match self {
            Self::Coolant => Setting::Coolant(temperature),
            Self::Intake => Setting::Intake(temperature),
            Self::Oil => Setting::Oil(temperature),
            Self::Ambient => Setting::Ambient(temperature),
            Self::Refrigerant => Setting::Refrigerant(pressure),
            Self::Air => Setting::Air(pressure),
            Self::Engine => Setting::Engine(value.max(0.0)),
        }
    }

    /// How far its scale reaches, stretched to hold every mark.
    pub fn reach(self, units: Units, marks: &[Mark]) -> Reach {
        let (from, to, step, stride, tick) = match (self, units) {
            (Self::Engine, _) => (0.0, 2500.0, 50.0, 250.0, 500.0),
            (Self::Ambient, Units::Customary) => (-40.0, 160.0, 1.0, 10.0, 40.0),
            (Self::Ambient, Units::Metric) => (-40.0, 80.0, 1.0, 5.0, 20.0),
            (Self::Refrigerant, Units::Customary) => (0.0, 400.0, 1.0, 10.0, 100.0),
            (Self::Refrigerant, Units::Metric) => (0.0, 3000.0, 10.0, 100.0, 1000.0),
            (Self::Air, Units::Customary) => (0.0, 150.0, 1.0, 10.0, 50.0),
            (Self::Air, Units::Metric) => (0.0, 1000.0, 10.0, 50.0, 250.0),
            (Self::Coolant | Self::Intake | Self::Oil, Units::Customary) => (40.0, 280.0, 1.0, 10.0, 40.0),
            (Self::Coolant | Self::Intake | Self::Oil, Units::Metric) => (0.0, 140.0, 1.0, 5.0, 20.0),
        };
        let room = 2.0 * stride;
        let points = || marks.iter().flat_map(|m| [m.acts, m.resets]);
        let lowest = points().fold(from, |low, p| if p - room < low { p - room } else { low });
        let highest = points().fold(to, |high, p| if p + room > high { p + room } else { high });
        Reach { from: lowest, to: highest, step, stride, tick }
    }

    /// Whether it is shown without being asked for: it always is, or something in the circuit feels it.
    pub fn is_shown(self, bench: &Bench, units: Units) -> bool {
        matches!(self, Self::Coolant | Self::Air | Self::Engine) || !self.marks(bench, units).is_empty()
    }

    /// The marks on its scale.
    pub fn marks(self, bench: &Bench, units: Units) -> Vec<Mark> {
        let Some(quantity) = self.quantity() else { return Vec::new() };
        let mut marks = Vec::new();
        for (id, part) in bench.circuit().parts_with_ids() {
            let memory = bench.outcome().memory.of(id);
            // A point found moved by a fault is still marked where it was set: that is what a person knows.
            for (i, point) in part.kind.set_points().into_iter().enumerate() {
                if point.senses != quantity {
                    continue;
                }
                let acted = if part.kind.sensor().is_some() { memory.acted } else { memory.points >> i & 1 == 1 };
                marks.push(Mark {
                    part: id,
                    tag: part.tag.clone(),
                    point,
                    acts: self.shown(point.acts.value(), units),
                    resets: self.shown(point.resets.value(), units),
                    rising: point.rising,
                    acted,
                });
            }
        }
        marks
    }
}

/// Reads what a person typed on a scale: a number in the scale's unit, or with a unit of its own.
pub fn typed(condition: Condition, words: &str, units: Units) -> Option<f64> {
    let words = in_grammar(words);
    if let Ok(number) = words.parse::<f64>() {
        return number.is_finite().then_some(number);
    }
    if condition == Condition::Engine {
        return words
            .strip_suffix("rpm")
            .or_else(|| words.strip_suffix("tr/min"))?
            .parse()
            .ok()
            .filter(|x: &f64| x.is_finite());
    }
    let level = crate::bench::action::level_from_words(&words)?;
    if level.is_temperature() != condition.is_temperature() {
        return None;
    }
    Some(condition.shown(level.value(), units))
}

/// A value with no more decimals than it needs.
pub fn number(value: f64) -> String {
    tongue::number(value, if (value - value.round()).abs() < 0.05 { 0 } else { 1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_value_may_bring_its_own_unit() {
        assert_eq!(typed(Condition::Coolant, "210", Units::Customary), Some(210.0));
        let metric = typed(Condition::Coolant, "100 °C", Units::Customary).expect("a temperature");
        assert!((metric - 212.0).abs() < 1e-9);
        assert_eq!(typed(Condition::Coolant, "30psi", Units::Customary), None);
        assert_eq!(typed(Condition::Engine, "600rpm", Units::Metric), Some(600.0));
        assert_eq!(typed(Condition::Air, "nan", Units::Metric), None);
        assert_eq!(typed(Condition::Ambient, "\u{2212}12,5 °F", Units::Customary), Some(-12.5));
    }

    #[test]
    fn a_thousand_with_a_comma_is_not_taken_for_one_by_a_scale_either() {
        assert_eq!(typed(Condition::Engine, "2,000 rpm", Units::Customary), None);
    }
}
