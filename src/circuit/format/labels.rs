//! What fields of the circuit file, and what stands in them, are called by people: in the window, and in the names of
//! changes.
//!
//! The file's own words are [`fields`](super::fields)'; here they are told in any language, and a level or length is
//! written with its unit as on a data plate. [`as_written`] takes that back to what the file has.

use crate::circuit::part::{Demand, Quantity, Suppressor};
use crate::circuit::quantity::{UNITS, unit_written};
use crate::words::{Words, say};

/// What a field is called: `acts_at` is `acts at`. One that is not in the file's format is called as it is.
pub fn label(field: &str) -> Words {
    match field {
        "volts" => say!("field-volts"),
        "internal_ohms" => say!("field-internal-ohms"),
        "amps" => say!("field-amps"),
        "ohms" => say!("field-ohms"),
        "contact_ohms" => say!("field-contact-ohms"),
        "rest" => say!("field-rest"),
        "momentary" => say!("field-momentary"),
        "positions" => say!("field-positions"),
        "senses" => say!("field-senses"),
        "acts_at" => say!("field-acts-at"),
        "resets_at" => say!("field-resets-at"),
        "coil_ohms" => say!("field-coil-ohms"),
        "pulls_in" => say!("field-pulls-in"),
        "drops_out" => say!("field-drops-out"),
        "suppressor" => say!("field-suppressor"),
        "drop_volts" => say!("field-drop-volts"),
        "side" => say!("field-side"),
        "on_when" => say!("field-on-when"),
        "limit_amps" => say!("field-limit-amps"),
        "on_ohms" => say!("field-on-ohms"),
        "works_from" => say!("field-works-from"),
        "supply_ohms" => say!("field-supply-ohms"),
        "hold_seconds" => say!("field-hold-seconds"),
        "pins" => say!("field-pins"),
        "pin_ohms" => say!("field-pin-ohms"),
        "gauge" => say!("field-gauge"),
        "length" => say!("field-length"),
        "colour" => say!("field-colour"),
        "minimum" => say!("field-minimum"),
        "valve" => say!("field-valve"),
        "tank_litres" => say!("field-tank-litres"),
        "compressor_litres_per_second" => say!("field-compressor-litres-per-second"),
        "cut_in" => say!("field-cut-in"),
        "cut_out" => say!("field-cut-out"),
        "protection_closes" => say!("field-protection-closes"),
        "protection_c" => say!("field-protection-c"),
        "line_litres" => say!("field-line-litres"),
        "filter_c" => say!("field-filter-c"),
        "valve_c" => say!("field-valve-c"),
        "exhaust_c" => say!("field-exhaust-c"),
        "hose_c" => say!("field-hose-c"),
        "critical_ratio" => say!("field-critical-ratio"),
        "engages" => say!("field-engages"),
        "bore_mm" => say!("field-bore-mm"),
        "travel_mm" => say!("field-travel-mm"),
        "chamber_litres" => say!("field-chamber-litres"),
        "bites_at" => say!("field-bites-at"),
        "friction" => say!("field-friction"),
        "faces" => say!("field-faces"),
        "outer_mm" => say!("field-outer-mm"),
        "inner_mm" => say!("field-inner-mm"),
        "fan_nm" => say!("field-fan-nm"),
        "fan_kg_m2" => say!("field-fan-kg-m2"),
        "plate_joules_per_kelvin" => say!("field-plate-joules-per-kelvin"),
        "plate_watts_per_kelvin" => say!("field-plate-watts-per-kelvin"),
        "discolours_at" => say!("field-discolours-at"),
        "heat_to_coolant_watts" => say!("field-heat-to-coolant-watts"),
        "coolant_joules_per_kelvin" => say!("field-coolant-joules-per-kelvin"),
        "radiator_watts_per_kelvin" => say!("field-radiator-watts-per-kelvin"),
        "fan_cools_watts_per_kelvin" => say!("field-fan-cools-watts-per-kelvin"),
        "stopped_watts_per_kelvin" => say!("field-stopped-watts-per-kelvin"),
        "thermostat_opens" => say!("field-thermostat-opens"),
        "thermostat_full" => say!("field-thermostat-full"),
        "oil_rise_kelvin" => say!("field-oil-rise-kelvin"),
        "oil_seconds" => say!("field-oil-seconds"),
        "refrigerant_rests" => say!("field-refrigerant-rests"),
        "refrigerant_rises" => say!("field-refrigerant-rises"),
        "refrigerant_per_kelvin" => say!("field-refrigerant-per-kelvin"),
        "fan_lowers_refrigerant" => say!("field-fan-lowers-refrigerant"),
        "refrigerant_seconds" => say!("field-refrigerant-seconds"),
        other => other.into(),
    }
}

/// The unit of a field that takes a bare number.
pub fn unit(field: &str) -> Option<&'static str> {
    match field {
        "volts" | "pulls_in" | "drops_out" | "drop_volts" | "works_from" => Some("V"),
        "internal_ohms" | "ohms" | "contact_ohms" | "coil_ohms" | "on_ohms" | "supply_ohms" | "pin_ohms" => Some("Ω"),
        "amps" | "limit_amps" => Some("A"),
        "hold_seconds" | "oil_seconds" | "refrigerant_seconds" => Some("s"),
        "tank_litres" | "line_litres" | "chamber_litres" => Some("l"),
        "compressor_litres_per_second" => Some("l/s"),
        "protection_c" | "filter_c" | "valve_c" | "exhaust_c" | "hose_c" => Some("dm³/(s·bar)"),
        "bore_mm" | "travel_mm" | "outer_mm" | "inner_mm" => Some("mm"),
        "fan_nm" => Some("Nm"),
        "fan_kg_m2" => Some("kg·m²"),
        "plate_joules_per_kelvin" | "coolant_joules_per_kelvin" => Some("J/K"),
        "plate_watts_per_kelvin"
        | "radiator_watts_per_kelvin"
        | "fan_cools_watts_per_kelvin"
        | "stopped_watts_per_kelvin" => Some("W/K"),
        "heat_to_coolant_watts" => Some("W"),
        "oil_rise_kelvin" => Some("K"),
        _ => None,
    }
}

/// What one of the file's words is called: `IntakeAir` is `intake air`; a word that is none is called as it is.
pub fn choice(word: &str) -> Words {
    match word {
        "Open" => say!("wording-open"),
        "Closed" => say!("wording-closed"),
        "Coolant" => say!("wording-coolant"),
        "IntakeAir" => say!("wording-intake-air"),
        "Oil" => say!("wording-oil"),
        "Refrigerant" => say!("wording-refrigerant"),
        "AirSupply" => say!("wording-air-supply"),
        "Passing" => say!("explain-passing"),
        "Blocking" => say!("choice-blocking"),
        "Low" => say!("choice-low"),
        "High" => say!("choice-high"),
        "WithAir" => say!("choice-with-air"),
        "WithoutAir" => say!("choice-without-air"),
        "true" => say!("choice-true"),
        "false" => say!("choice-false"),
        other => other.into(),
    }
}

/// A value of the file as a person writes it: `Fahrenheit(205)` is `205 °F`, `Awg(16)` is `AWG 16`; any other is as it
/// stands.
pub fn as_said(value: &str) -> String {
    let Some((word, number)) = value.trim().strip_suffix(')').and_then(|v| v.split_once('(')) else {
        return value.to_owned();
    };
    if number.trim().parse::<f64>().is_err() {
        return value.to_owned();
    }
    match UNITS.iter().find(|(of_file, _)| *of_file == word.trim()) {
        Some((_, unit)) => format!("{} {unit}", number.trim()),
        None if word.trim() == "Awg" => format!("AWG {}", number.trim()),
        None => value.to_owned(),
    }
}

/// What stands in a field, for sentences: a choice, a number with its unit, or a value as it is said.
pub fn told(field: &str, value: &str) -> Words {
    match (choice(value), unit(field)) {
        (known, _) if known != value => known,
        (_, Some(unit)) if value.trim().parse::<f64>().is_ok() => format!("{} {unit}", value.trim()).into(),
        _ => as_said(value).into(),
    }
}

/// When a module's driver is on, as a person reads it.
pub fn demand(demand: &Demand) -> Words {
    let all = |list: &[Demand], pair: fn(Words, Words) -> Words| list.iter().map(self::demand).reduce(pair);
    let quantity = |quantity: &Quantity| choice(&format!("{quantity:?}"));
    match demand {
        Demand::Above(senses, acts, resets) => say!("demand-above", quantity = quantity(senses), acts, resets),
        Demand::Below(senses, acts, resets) => say!("demand-below", quantity = quantity(senses), acts, resets),
        Demand::EngineStopped => say!("demand-engine-stopped"),
        Demand::Fed => say!("demand-fed"),
        Demand::Any(list) => {
            all(list, |first, next| say!("demand-or", first, next)).unwrap_or_else(|| say!("demand-never"))
        }
        Demand::All(list) => {
            all(list, |first, next| say!("demand-and", first, next)).unwrap_or_else(|| say!("demand-always"))
        }
        Demand::Not(inner) => say!("demand-not", inner = self::demand(inner)),
        Demand::Always => say!("demand-always"),
        Demand::Never => say!("demand-never"),
    }
}

/// What damps a coil's kick, as a person reads it.
pub fn suppressor(suppressor: &Suppressor) -> Words {
    match suppressor {
        Suppressor::Diode { cathode } => say!("suppressor-diode", cathode),
        Suppressor::Resistor(ohms) => say!("suppressor-resistor", ohms = *ohms),
    }
}

/// What a person wrote, as the file has it: `205F`, `205 °F` and `205,5 °F` are levels, `AWG 16` a size; what is none of
/// these is taken as it is.
pub fn as_written(said: &str) -> String {
    let said = said.trim();
    let number = |text: &str| {
        let text = text.trim().replace(',', ".");
        text.parse::<f64>().ok().filter(|n| n.is_finite()).map(|_| text)
    };
    if let Some(bare) = number(said) {
        return bare;
    }
    let lower = said.to_lowercase();
    if let Some(size) =
        lower.strip_prefix("awg").and_then(number).or_else(|| lower.strip_suffix("awg").and_then(number))
    {
        return format!("Awg({size})");
    }
    let unit_at = said.find(|c: char| c == '°' || c.is_alphabetic()).unwrap_or(said.len());
    let (amount, unit) = said.split_at(unit_at);
    match (number(amount), unit_written(unit)) {
        (Some(amount), Some((word, _))) => format!("{word}({amount})"),
        _ => said.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fields::{AIR, CLUTCH, ENGINE, KINDS, Shape, WIRE};
    use super::*;
    use crate::words::Language;

    #[test]
    fn every_field_and_every_word_it_takes_has_a_name_for_people() {
        let forms = KINDS.iter().chain([&AIR, &CLUTCH, &ENGINE, &WIRE]);
        let fields = forms.flat_map(|form| form.fields).filter(|field| !matches!(field.name, "from" | "to"));
        for field in fields {
            let spanish = label(field.name).to_language(Language::Spanish);
            assert_ne!(spanish, field.name, "{}", field.name);
            if let Shape::Choice(words) = field.shape {
                words.iter().for_each(|word| assert_ne!(choice(word).to_language(Language::Spanish), *word, "{word}"));
            }
        }
    }

    #[test]
    fn a_value_with_a_unit_goes_from_the_file_to_people_and_back() {
        for value in
            ["Fahrenheit(205)", "Celsius(92.5)", "Psi(300)", "Kilopascal(620)", "Bar(8)", "Feet(4)", "Metre(1.2)"]
                .into_iter()
                .chain(["SquareMillimetre(2.5)", "Awg(16)", "0.005", "Diode(cathode: \"86\")"])
        {
            assert_eq!(as_written(&as_said(value)), value);
        }
        assert_eq!(as_said("Fahrenheit(205)"), "205 °F");
        for said in ["205F", "205 °f", "205 F", " 205°F "] {
            assert_eq!(as_written(said), "Fahrenheit(205)", "{said}");
        }
        assert_eq!(as_written("7,5"), "7.5");
        assert_eq!(as_written("92,5 °C"), "Celsius(92.5)");
        assert_eq!(as_written("2.5 mm2"), "SquareMillimetre(2.5)");
        assert_eq!(as_written("14 AWG"), "Awg(14)");
        assert_eq!(as_written("warm"), "warm");
    }
}
