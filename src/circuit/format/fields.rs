//! What may be written where: every kind of part with its fields, what each takes and within what limits.
//!
//! One table for the reader's messages ("did you mean", "lacks"), beside the types in [`part`](crate::circuit::part)
//! that do the reading; a test holds the two together. The limits only shut out what cannot be meant: they are wide
//! round numbers, not ratings (example values).

use crate::words::{Words, say};

/// One field.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) name: &'static str,
    /// Whether it must be written.
    pub(super) needed: bool,
    pub(super) shape: Shape,
    /// A value as it might be written, for messages.
    pub(super) example: &'static str,
}

/// What a field takes.
#[derive(Clone, Copy, Debug)]
pub(super) enum Shape {
    /// A number within limits.
    Number(Limits),
    /// A whole number, both ends included.
    Count(u32, u32),
    /// A whole number of steps either way.
    Steps,
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A temperature or pressure in a unit.
    Level,
    Gauge,
    Length,
    Text,
    /// Names in square brackets.
    Names,
    /// Only for coils; the terminals a cathode can be at.
    Suppressor(&'static [&'static str]),
    Demand,
    /// A map or struct looked at elsewhere.
    Elsewhere,
}

/// The numbers that make sense.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    /// Whether nought is one.
    pub(super) zero: bool,
    /// The largest.
    pub(super) most: f64,
    /// The unit in words.
    pub(super) unit: Unit,
}

/// What numbers of a file are given in.
#[derive(Clone, Copy, Debug)]
pub(super) enum Unit {
    Amps,
    Coefficient,
    Flow,
    JoulesAKelvin,
    Kelvin,
    Inertia,
    Litres,
    Millimetres,
    NewtonMetres,
    Share,
    Ohms,
    Seconds,
    Volts,
    WattsAKelvin,
    Watts,
}

impl Unit {
    /// The unit in words.
    pub(super) fn words(self) -> Words {
        match self {
            Self::Amps => say!("read-unit-amps"),
            Self::Coefficient => say!("read-unit-coefficient"),
            Self::Flow => say!("read-unit-flow"),
            Self::JoulesAKelvin => say!("read-unit-joules-a-kelvin"),
            Self::Kelvin => say!("read-unit-kelvin"),
            Self::Inertia => say!("read-unit-inertia"),
            Self::Litres => say!("read-unit-litres"),
            Self::Millimetres => say!("read-unit-millimetres"),
            Self::NewtonMetres => say!("read-unit-newton-metres"),
            Self::Share => say!("read-unit-of-the-upstream-pressure"),
            Self::Ohms => say!("read-unit-ohms"),
            Self::Seconds => say!("read-unit-seconds"),
            Self::Volts => say!("read-unit-volts"),
            Self::WattsAKelvin => say!("read-unit-watts-a-kelvin"),
            Self::Watts => say!("read-unit-watts"),
        }
    }
}

/// Set of fields under one word.
#[derive(Debug)]
pub(super) struct Form {
    pub(super) word: &'static str,
    pub(super) fields: &'static [Field],
}

impl Form {
    pub(super) fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|f| f.name == name)
    }
}

/// The form of a kind of part.
pub(super) fn kind(word: &str) -> Option<&'static Form> {
    KINDS.iter().find(|k| k.word == word)
}

const fn needed(name: &'static str, shape: Shape, example: &'static str) -> Field {
    Field { name, needed: true, shape, example }
}

const fn optional(name: &'static str, shape: Shape, example: &'static str) -> Field {
    Field { name, needed: false, shape, example }
}

const OHMS: Shape = Shape::Number(Limits { zero: true, most: 1e9, unit: Unit::Ohms });
const SOME_OHMS: Shape = Shape::Number(Limits { zero: false, most: 1e9, unit: Unit::Ohms });
const SOME_VOLTS: Shape = Shape::Number(Limits { zero: false, most: 100.0, unit: Unit::Volts });
const VOLTS: Shape = Shape::Number(Limits { zero: true, most: 100.0, unit: Unit::Volts });
const AMPS: Shape = Shape::Number(Limits { zero: false, most: 1000.0, unit: Unit::Amps });
const SECONDS: Shape = Shape::Number(Limits { zero: true, most: 86_400.0, unit: Unit::Seconds });
const LITRES: Shape = Shape::Number(Limits { zero: false, most: 1e5, unit: Unit::Litres });
const CONDUCTANCE: Shape = Shape::Number(Limits { zero: false, most: 1e3, unit: Unit::Flow });
const MILLIMETRES: Shape = Shape::Number(Limits { zero: false, most: 2000.0, unit: Unit::Millimetres });
const CONTACT: Shape = Shape::Choice(&["Open", "Closed"]);
/// What can be sensed, as words.
pub(super) const QUANTITIES: [&str; 5] = ["Coolant", "IntakeAir", "Oil", "Refrigerant", "AirSupply"];
/// Those that a temperature switch feels, and those that a pressure switch does.
pub(super) const FELT: (&[&str], &[&str]) = QUANTITIES.as_slice().split_at(3);

const CONTACT_OHMS: Field = optional("contact_ohms", OHMS, "0.005");
const LOAD: &[Field] = &[needed("ohms", SOME_OHMS, "48")];

const SENSOR: &[Field] = &[
    needed("rest", CONTACT, "Closed"),
    needed("senses", Shape::Choice(&QUANTITIES), "Coolant"),
    needed("acts_at", Shape::Level, "Fahrenheit(210)"),
    needed("resets_at", Shape::Level, "Fahrenheit(195)"),
    CONTACT_OHMS,
];

/// Every kind of part.
pub(super) const KINDS: [Form; 17] = [
    Form { word: "Battery", fields: &[needed("volts", SOME_VOLTS, "12.6"), optional("internal_ohms", OHMS, "0.01")] },
    Form { word: "Fuse", fields: &[needed("amps", AMPS, "10"), optional("ohms", OHMS, "0.0075")] },
    Form { word: "KeySwitch", fields: &[CONTACT_OHMS] },
    Form {
        word: "HandSwitch",
        fields: &[needed("rest", CONTACT, "Open"), optional("momentary", Shape::Flag, "true"), CONTACT_OHMS],
    },
    Form {
        word: "SelectorSwitch",
        fields: &[
            needed("positions", Shape::Names, "[\"OFF\", \"AUTO\", \"ON\"]"),
            needed("rest", Shape::Text, "\"AUTO\""),
            CONTACT_OHMS,
        ],
    },
    Form { word: "TemperatureSwitch", fields: SENSOR },
    Form { word: "PressureSwitch", fields: SENSOR },
    Form {
        word: "Relay",
        fields: &[
            needed("coil_ohms", SOME_OHMS, "85"),
            needed("pulls_in", SOME_VOLTS, "7.2"),
            needed("drops_out", SOME_VOLTS, "2.5"),
            optional("suppressor", Shape::Suppressor(&["85", "86"]), "Diode(cathode: \"86\")"),
            CONTACT_OHMS,
        ],
    },
    Form {
        word: "AirValve",
        fields: &[
            needed("coil_ohms", SOME_OHMS, "40"),
            needed("pulls_in", SOME_VOLTS, "8.0"),
            needed("drops_out", SOME_VOLTS, "2.5"),
            needed("rest", Shape::Choice(&["Passing", "Blocking"]), "Passing"),
            optional("suppressor", Shape::Suppressor(&["1", "2"]), "Diode(cathode: \"1\")"),
        ],
    },
    Form { word: "Diode", fields: &[optional("drop_volts", VOLTS, "0.7")] },
    Form { word: "Resistor", fields: LOAD },
    Form { word: "Lamp", fields: LOAD },
    Form {
        word: "Module",
        fields: &[
            needed("side", Shape::Choice(&["Low", "High"]), "Low"),
            needed("on_when", Shape::Demand, "Above(Coolant, Celsius(99), Celsius(93))"),
            optional("limit_amps", AMPS, "2.0"),
            optional("on_ohms", OHMS, "0.15"),
            optional("works_from", VOLTS, "6.0"),
            optional("supply_ohms", SOME_OHMS, "200"),
        ],
    },
    Form {
        word: "Timer",
        fields: &[needed("hold_seconds", SECONDS, "20"), CONTACT_OHMS, optional("supply_ohms", SOME_OHMS, "2000")],
    },
    Form {
        word: "Connector",
        fields: &[needed("pins", Shape::Count(1, 64), "2"), optional("pin_ohms", OHMS, "0.002")],
    },
    Form { word: "Splice", fields: &[] },
    Form { word: "Ground", fields: &[optional("ohms", OHMS, "0.002")] },
];

/// A wire.
pub(super) const WIRE: Form = Form {
    word: "Wire",
    fields: &[
        needed("from", Shape::Text, "\"F1.2\""),
        needed("to", Shape::Text, "\"S1.30\""),
        optional("gauge", Shape::Gauge, "Awg(16)"),
        optional("length", Shape::Length, "Feet(4)"),
        optional("colour", Shape::Text, "\"RD\""),
    ],
};

/// The air side.
pub(super) const AIR: Form = Form {
    word: "Air",
    fields: &[
        optional("minimum", Shape::Level, "Psi(90)"),
        optional("valve", Shape::Text, "\"Y1\""),
        optional("tank_litres", LITRES, "120"),
        optional("compressor_litres_per_second", LITRES, "3.9"),
        optional("cut_in", Shape::Level, "Psi(100)"),
        optional("cut_out", Shape::Level, "Psi(125)"),
        optional("protection_closes", Shape::Level, "Psi(60)"),
        optional("protection_c", CONDUCTANCE, "3"),
        optional("line_litres", LITRES, "5"),
        optional("filter_c", CONDUCTANCE, "1.2"),
        optional("valve_c", CONDUCTANCE, "0.45"),
        optional("exhaust_c", CONDUCTANCE, "0.45"),
        optional("hose_c", CONDUCTANCE, "0.5"),
        optional("critical_ratio", Shape::Number(Limits { zero: true, most: 0.999, unit: Unit::Share }), "0.35"),
    ],
};

/// The clutch.
pub(super) const CLUTCH: Form = Form {
    word: "Clutch",
    fields: &[
        optional("engages", Shape::Choice(&["WithAir", "WithoutAir"]), "WithAir"),
        optional("bore_mm", MILLIMETRES, "110"),
        optional("travel_mm", MILLIMETRES, "1.5"),
        optional("chamber_litres", LITRES, "0.26"),
        optional("bites_at", Shape::Level, "Psi(30)"),
        optional("friction", Shape::Number(Limits { zero: false, most: 2.0, unit: Unit::Coefficient }), "0.35"),
        optional("faces", Shape::Count(1, 20), "2"),
        optional("outer_mm", MILLIMETRES, "320"),
        optional("inner_mm", MILLIMETRES, "200"),
        optional("fan_nm", Shape::Number(Limits { zero: false, most: 1e5, unit: Unit::NewtonMetres }), "240"),
        optional("fan_kg_m2", Shape::Number(Limits { zero: false, most: 1e3, unit: Unit::Inertia }), "0.25"),
        optional(
            "plate_joules_per_kelvin",
            Shape::Number(Limits { zero: false, most: 1e7, unit: Unit::JoulesAKelvin }),
            "2500",
        ),
        optional(
            "plate_watts_per_kelvin",
            Shape::Number(Limits { zero: false, most: 1e5, unit: Unit::WattsAKelvin }),
            "30",
        ),
        optional("discolours_at", Shape::Level, "Celsius(250)"),
    ],
};

const WATTS: Shape = Shape::Number(Limits { zero: true, most: 1e7, unit: Unit::Watts });
const WATTS_PER_KELVIN: Shape = Shape::Number(Limits { zero: true, most: 1e5, unit: Unit::WattsAKelvin });
const SOME_SECONDS: Shape = Shape::Number(Limits { zero: false, most: 86_400.0, unit: Unit::Seconds });

/// The engine.
pub(super) const ENGINE: Form = Form {
    word: "Engine",
    fields: &[
        optional("heat_to_coolant_watts", WATTS, "70000"),
        optional(
            "coolant_joules_per_kelvin",
            Shape::Number(Limits { zero: false, most: 1e8, unit: Unit::JoulesAKelvin }),
            "350000",
        ),
        optional("radiator_watts_per_kelvin", WATTS_PER_KELVIN, "550"),
        optional("fan_cools_watts_per_kelvin", WATTS_PER_KELVIN, "1600"),
        optional("stopped_watts_per_kelvin", WATTS_PER_KELVIN, "30"),
        optional("thermostat_opens", Shape::Level, "Celsius(82)"),
        optional("thermostat_full", Shape::Level, "Celsius(93)"),
        optional("oil_rise_kelvin", Shape::Number(Limits { zero: true, most: 200.0, unit: Unit::Kelvin }), "20"),
        optional("oil_seconds", SOME_SECONDS, "600"),
        optional("refrigerant_rests", Shape::Level, "Psi(100)"),
        optional("refrigerant_rises", Shape::Level, "Psi(120)"),
        optional("refrigerant_per_kelvin", Shape::Level, "Psi(5)"),
        optional("fan_lowers_refrigerant", Shape::Level, "Psi(90)"),
        optional("refrigerant_seconds", SOME_SECONDS, "120"),
    ],
};

/// The whole file.
pub(super) const CIRCUIT: Form = Form {
    word: "Circuit",
    fields: &[
        needed("format", Shape::Elsewhere, "1"),
        optional("title", Shape::Text, "\"Gravel tipper 12\""),
        optional("notes", Shape::Text, "\"\""),
        optional("parts", Shape::Elsewhere, "{ \"F1\": Fuse(amps: 10) }"),
        optional("wires", Shape::Elsewhere, "{ \"W1\": Wire(from: \"G1.+\", to: \"F1.1\") }"),
        optional("air", Shape::Elsewhere, "Air(minimum: Psi(90))"),
        optional("clutch", Shape::Elsewhere, "Clutch(engages: WithAir)"),
        optional("engine", Shape::Elsewhere, "Engine(oil_seconds: 600)"),
        optional("places", Shape::Elsewhere, "{ \"B1\": At(right: 40, down: 24) }"),
    ],
};

/// Where a part has been put on the drawing by hand.
pub(super) const AT: Form =
    Form { word: "At", fields: &[needed("right", Shape::Steps, "40"), needed("down", Shape::Steps, "24")] };

#[cfg(test)]
mod tests {
    use ron::Error;

    use super::{AIR, CLUTCH, ENGINE, Form, KINDS, Shape};
    use crate::circuit::format::value::from_ron;
    use crate::circuit::part::{
        AirValve, Battery, Connector, Diode, Fuse, Ground, HandSwitch, KeySwitch, Load, Module, Relay, SelectorSwitch,
        SensorSwitch, Splice, Timer,
    };
    use crate::circuit::{Air, Clutch, Engine, Kind};

    /// The fields serde knows of the struct of a kind, from what it says of a field it does not know.
    fn known_to_serde(word: &str) -> Vec<&'static str> {
        const TEXT: &str = "(no_such_field: 1)";
        let error = match word {
            "Battery" => from_ron::<Battery>(TEXT).err(),
            "Fuse" => from_ron::<Fuse>(TEXT).err(),
            "KeySwitch" => from_ron::<KeySwitch>(TEXT).err(),
            "HandSwitch" => from_ron::<HandSwitch>(TEXT).err(),
            "SelectorSwitch" => from_ron::<SelectorSwitch>(TEXT).err(),
            "TemperatureSwitch" | "PressureSwitch" => from_ron::<SensorSwitch>(TEXT).err(),
            "Relay" => from_ron::<Relay>(TEXT).err(),
            "AirValve" => from_ron::<AirValve>(TEXT).err(),
            "Diode" => from_ron::<Diode>(TEXT).err(),
            "Resistor" | "Lamp" => from_ron::<Load>(TEXT).err(),
            "Module" => from_ron::<Module>(TEXT).err(),
            "Timer" => from_ron::<Timer>(TEXT).err(),
            "Connector" => from_ron::<Connector>(TEXT).err(),
            "Splice" => from_ron::<Splice>(TEXT).err(),
            "Ground" => from_ron::<Ground>(TEXT).err(),
            _ => None,
        };
        match error.expect("no struct has such a field").code {
            Error::NoSuchStructField { expected, .. } => expected.to_vec(),
            other => panic!("{word}: {other}"),
        }
    }

    fn example(form: &Form, only_needed: bool) -> String {
        let fields: Vec<String> = form
            .fields
            .iter()
            .filter(|f| f.needed || !only_needed)
            .map(|f| format!("{}: {}", f.name, f.example))
            .collect();
        format!("Circuit(format: 1, parts: {{ \"Q1\": {}({}) }})", form.word, fields.join(", "))
    }

    #[test]
    fn the_table_has_the_fields_of_the_types_and_no_others() {
        for form in &KINDS {
            let names: Vec<&str> = form.fields.iter().map(|f| f.name).collect();
            let mut known = known_to_serde(form.word);
            known.sort_by_key(|name| names.iter().position(|n| n == name));

            assert_eq!(names, known, "{}", form.word);
            assert!(form.fields.iter().all(|f| !matches!(f.shape, Shape::Elsewhere)));
        }
    }

    #[test]
    fn the_figures_of_air_clutch_and_engine_are_the_tables_fields_in_order() {
        let figures = [Air::default().figures(), Clutch::default().figures(), Engine::default().figures()];
        for (form, figures) in [AIR, CLUTCH, ENGINE].iter().zip(figures) {
            let names: Vec<&str> = form.fields.iter().map(|field| field.name).collect();
            assert_eq!(figures.iter().map(|(name, _)| *name).collect::<Vec<_>>(), names, "{}", form.word);
        }
    }

    #[test]
    fn every_example_can_be_read_and_nothing_more_than_the_needed_is_needed() {
        for form in KINDS.iter().filter(|f| f.word != "PressureSwitch") {
            for text in [example(form, true), example(form, false)] {
                let circuit = crate::circuit::format::read(&text).circuit;
                let kind: Option<Kind> = circuit.map(|c| c.parts()[0].kind.clone());
                assert_eq!(kind.map(|k| k.word()), Some(form.word), "{text}");
            }
        }
    }
}
