//! Figures of air side, clutch and engine by name: which the file gave itself, and which shown numbers rest on others.
//!
//! A default without a public source is an example value, and whoever shows a number that rests on one has to say so.
//! Yields [`Given`] and [`Telling`]; the one decision is [`Circuit::rests_on_example`]. How the mark looks is left to
//! those who show it.

use std::collections::BTreeSet;

use super::air::Engages;
use super::quantity::Level;
use super::{Air, Circuit, Clutch, Engine};

/// A figure as the file writes it.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// A plain number.
    Number(f64),
    /// A temperature or pressure in its unit.
    Level(Level),
    /// A tag.
    Tag(String),
    /// The clutch's principle.
    Principle(Engages),
    /// Left out; what stands for it follows from others.
    LeftOut,
}

/// Names of the figures that a file gives itself. No name stands in two of the three structs.
pub type Given = BTreeSet<&'static str>;

/// The names among `figures` that stand for something else than the usual, added to those already known as given; what
/// is left out is not given, whatever is said.
pub(super) fn completed(given: &Given, figures: &[(&'static str, Figure)], usual: &[(&'static str, Figure)]) -> Given {
    let stands = figures
        .iter()
        .zip(usual)
        .filter(|((name, figure), (_, usual))| *figure != Figure::LeftOut && (given.contains(name) || figure != usual));
    stands.map(|((name, _), _)| *name).collect()
}

/// What a number that is shown tells of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Telling {
    /// The pressure that the clutch needs.
    Minimum,
    /// What the clutch carries of what the fan asks for.
    Margin,
    /// A pressure of air that is on its way, or the moment at which it gets somewhere.
    Air,
    /// A pressure at which the governor works.
    Governor,
    /// The pressure that the protection valve keeps.
    Protection,
    /// Speed or slip of the fan.
    Fan,
    /// Warmth of the clutch's plate.
    Plate,
    /// Warmth at which the plate discolours.
    Discolours,
    /// Warmth of the coolant once time has passed.
    Coolant,
    /// Warmth of the oil once time has passed.
    Oil,
    /// Pressure of the refrigerant once time has passed.
    Refrigerant,
}

impl Telling {
    /// The figures it rests on.
    fn figures(self) -> Vec<&'static str> {
        const MARGIN: [&str; 8] =
            ["minimum", "bites_at", "fan_nm", "bore_mm", "friction", "faces", "outer_mm", "inner_mm"];
        const AIR: [&str; 10] = [
            "tank_litres",
            "line_litres",
            "chamber_litres",
            "travel_mm",
            "protection_c",
            "filter_c",
            "valve_c",
            "exhaust_c",
            "hose_c",
            "critical_ratio",
        ];
        const COOLANT: [&str; 7] = [
            "heat_to_coolant_watts",
            "coolant_joules_per_kelvin",
            "radiator_watts_per_kelvin",
            "fan_cools_watts_per_kelvin",
            "stopped_watts_per_kelvin",
            "thermostat_opens",
            "thermostat_full",
        ];
        let joined = |lists: &[&[&'static str]]| lists.concat();
        match self {
            Self::Minimum => vec!["minimum"],
            Self::Margin => MARGIN.to_vec(),
            Self::Air => AIR.to_vec(),
            // Commercial driver's manuals give both pressures and the compressor's delivery.
            Self::Governor => Vec::new(),
            Self::Protection => vec!["protection_closes"],
            Self::Fan => joined(&[&MARGIN, &AIR, &["fan_kg_m2"]]),
            Self::Plate => {
                joined(&[&MARGIN, &AIR, &["fan_kg_m2", "plate_joules_per_kelvin", "plate_watts_per_kelvin"]])
            }
            Self::Discolours => vec!["discolours_at"],
            Self::Coolant => COOLANT.to_vec(),
            Self::Oil => joined(&[&COOLANT, &["oil_rise_kelvin", "oil_seconds"]]),
            Self::Refrigerant => vec![
                "refrigerant_rests",
                "refrigerant_rises",
                "refrigerant_per_kelvin",
                "fan_lowers_refrigerant",
                "refrigerant_seconds",
            ],
        }
    }
}

impl Circuit {
    /// Whether a number that tells of this rests on an example value: on a default without a public source, where the
    /// file does not give the figure itself.
    pub fn rests_on_example(&self, shown: Telling) -> bool {
        shown.figures().iter().any(|name| !self.given.contains(name))
    }

    /// Names of the figures that the file gives itself.
    pub fn given(&self) -> &Given {
        &self.given
    }

    /// The figures of air side, clutch and engine that the file gives, each struct's apart.
    pub(super) fn given_of(&self, figures: Vec<(&'static str, Figure)>) -> Vec<(&'static str, Figure)> {
        figures.into_iter().filter(|(name, _)| self.given.contains(name)).collect()
    }
}

/// All that a draft gives: what it says it gives, and what differs from the usual.
pub(super) fn given(said: &Given, air: Option<&Air>, clutch: Option<&Clutch>, engine: Option<&Engine>) -> Given {
    let mut all = Given::new();
    if let Some(air) = air {
        all.extend(completed(said, &air.figures(), &Air::default().figures()));
    }
    if let Some(clutch) = clutch {
        all.extend(completed(said, &clutch.figures(), &Clutch::default().figures()));
    }
    if let Some(engine) = engine {
        all.extend(completed(said, &engine.figures(), &Engine::default().figures()));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::Telling;
    use crate::circuit::format::read;
    use crate::circuit::{Air, Clutch, Engine};

    const ALL: [Telling; 11] = [
        Telling::Minimum,
        Telling::Margin,
        Telling::Air,
        Telling::Governor,
        Telling::Protection,
        Telling::Fan,
        Telling::Plate,
        Telling::Discolours,
        Telling::Coolant,
        Telling::Oil,
        Telling::Refrigerant,
    ];

    #[test]
    fn every_name_is_a_figure_and_stands_in_one_struct_alone() {
        let names = [Air::default().figures(), Clutch::default().figures(), Engine::default().figures()].concat();
        let mut names: Vec<&str> = names.iter().map(|(name, _)| *name).collect();
        for name in ALL.iter().flat_map(|shown| shown.figures()) {
            assert!(names.contains(&name), "`{name}`");
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count, "a name stands twice");
    }

    #[test]
    fn a_figure_written_as_usual_is_the_files_own() {
        let of = |air: &str| read(&format!("Circuit(format: 1, air: Air({air}))")).circuit.unwrap();
        assert!(of("").rests_on_example(Telling::Minimum));
        assert!(!of("minimum: Psi(90)").rests_on_example(Telling::Minimum));
        assert!(of("minimum: Psi(90)").rests_on_example(Telling::Margin), "the fan's torque is still an example");
        assert!(!of("").rests_on_example(Telling::Governor), "manuals give it");
    }
}
