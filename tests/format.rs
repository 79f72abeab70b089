//! The circuit file: what is read, what is refused and with which words, and that writing and reading agree.
//!
//! Every broken file is a row with the faulty text marked by `«` and `»`; the checks are on message, place and mend.
//! The format is fixed by the project's own reference.

use fanloom::circuit::format::{read, render, write};

const TIPPER: &str = r#"// An invented depot's tipper.
Circuit(
    format: 1,
    title: "Gravel tipper 12",
    notes: "Two sensors in series, closed when cold.",
    parts: {
        "G1": Battery(volts: 12.6),
        "F1": Fuse(amps: 10),
        "S1": KeySwitch,
        "B1": TemperatureSwitch(rest: Closed, senses: Coolant, acts_at: Fahrenheit(210), resets_at: Fahrenheit(195)),
        "Y1": AirValve(coil_ohms: 40, pulls_in: 8, drops_out: 2.5, rest: Passing, suppressor: Diode(cathode: "1")),
        "N1": Ground,
    },
    wires: {
        "W1": Wire(from: "G1.+", to: "F1.1", gauge: Awg(14), length: Feet(4), colour: "RD"),
        "W2": Wire(from: "F1.2", to: "S1.30"),
        "W3": Wire(from: "S1.15", to: "B1.1"),
        "W4": Wire(from: "B1.2", to: "Y1.1"),
        "W5": Wire(from: "Y1.2", to: "N1.g"),
        "W6": Wire(from: "G1.-", to: "N1.g"),
    },
    air: Air(minimum: Psi(90)),
    clutch: Clutch(engages: WithAir),
)
"#;

#[test]
fn a_sound_file_reads_without_a_word_and_writes_back_to_the_byte() {
    let reading = read(TIPPER);

    assert_eq!(render(TIPPER, "tipper.ron", &reading.findings, false), "");
    assert_eq!(write(&reading.circuit.expect("no error")), TIPPER);
}
