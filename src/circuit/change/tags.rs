//! Free tags: the letter a kind of part has by the standard, and the next number nobody has.
//!
//! Letters after IEC 81346-2, as the circuits that come with the program have them (from memory). Whether a tag that
//! somebody chose can be one is left to the reader.

use super::super::Circuit;

/// The letter of a kind of part, by its word in the circuit file.
pub fn letter(kind: &str) -> char {
    match kind {
        "Battery" => 'G',
        "Fuse" => 'F',
        "KeySwitch" | "HandSwitch" | "SelectorSwitch" => 'S',
        "TemperatureSwitch" | "PressureSwitch" => 'B',
        "Relay" | "Timer" => 'K',
        "AirValve" => 'Y',
        "Diode" => 'V',
        "Resistor" => 'R',
        "Lamp" => 'P',
        "Module" => 'A',
        "Ground" => 'N',
        _ => 'X',
    }
}

/// The first tag for a part of this kind that nothing has.
pub fn free_part_tag(circuit: &Circuit, kind: &str) -> String {
    first_free(circuit, letter(kind))
}

/// The first tag for a wire that nothing has.
pub fn free_wire_tag(circuit: &Circuit) -> String {
    first_free(circuit, 'W')
}

fn first_free(circuit: &Circuit, letter: char) -> String {
    let is_free = |tag: &String| circuit.part_named(tag).is_none() && circuit.wire_named(tag).is_none();
    let mut tags = (1u32..).map(|number| format!("{letter}{number}"));
    tags.find(is_free).expect("a circuit has far fewer tags than there are numbers")
}
