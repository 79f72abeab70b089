//! What a new part is rated for until somebody says otherwise.
//!
//! Example values, those of the reference of the circuit file; in a circuit of 24 V its coils are made for that. They
//! are there to be changed, and are no data of any vehicle.

use super::super::part::{AirValve, Kind, Load, Relay};
use super::super::{Circuit, format};

/// Volts of a battery from which a circuit counts as one of 24 V.
const HIGH_VOLTS: f64 = 18.0;

/// A part of this kind with the fields it needs; none where there is no such kind.
pub fn usual(circuit: &Circuit, word: &str) -> Option<Kind> {
    let fields = format::fields_of(word).into_iter().filter(|note| note.needed);
    let example = |name: &'static str, example: &str| match (word, name) {
        // What the reference says for sensors is a temperature.
        ("PressureSwitch", "senses") => "Refrigerant".to_owned(),
        ("PressureSwitch", "acts_at") => "Psi(275)".to_owned(),
        ("PressureSwitch", "resets_at") => "Psi(210)".to_owned(),
        _ => example.to_owned(),
    };
    let fields: Vec<_> = fields.map(|note| (note.name, example(note.name, note.example))).collect();
    let kind = format::read_part("Q1", word, &fields).ok()?;
    let is_high = circuit.battery().is_some_and(|(_, battery)| battery.volts >= HIGH_VOLTS);
    Some(if is_high { for_24_volts(kind) } else { kind })
}

/// The same part for twice the volts: a coil that takes half the amps, and as many watts.
fn for_24_volts(kind: Kind) -> Kind {
    match kind {
        Kind::Relay(relay) => Kind::Relay(Relay {
            coil_ohms: relay.coil_ohms * 4.0,
            pulls_in: relay.pulls_in * 2.0,
            drops_out: relay.drops_out * 2.0,
            ..relay
        }),
        Kind::AirValve(valve) => Kind::AirValve(AirValve {
            coil_ohms: valve.coil_ohms * 4.0,
            pulls_in: valve.pulls_in * 2.0,
            drops_out: valve.drops_out * 2.0,
            ..valve
        }),
        Kind::Lamp(lamp) => Kind::Lamp(Load { ohms: lamp.ohms * 4.0 }),
        other => other,
    }
}
