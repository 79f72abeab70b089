//! Made-up harnesses of any size, as circuit files: for benches, and for tests that want many parts.
//!
//! Shaped like a real one: trunks from the battery, on each a rail of splices, and from every splice a rung of fuse,
//! sensor contact and relay coil, with a lamp behind the relay and a ground of its own. Some rungs hang on the relay
//! before them, some coils have a diode across them. Values are example values.

use std::fmt::Write;

/// Rungs on one trunk.
const RUNGS_A_TRUNK: usize = 25;
/// Parts in one rung.
const PARTS_A_RUNG: usize = 6;

/// The text of a harness of about `parts` parts, one of them an air valve.
pub fn harness_text(parts: usize) -> String {
    let rungs = (parts.saturating_sub(5) / PARTS_A_RUNG).max(1);
    let mut made = Harness::default();
    made.part("G1", "Battery(volts: 25.2, internal_ohms: 0.002)");
    made.part("S1", "KeySwitch(contact_ohms: 0.0005)");
    made.part("N0", "Ground");
    made.part("F0", "Fuse(amps: 5)");
    made.part("Y1", "AirValve(coil_ohms: 110, pulls_in: 15.6, drops_out: 4.8, rest: Passing)");
    made.wire("G1.+", "S1.30", 0, 1.0);
    made.wire("G1.-", "N0.g", 0, 1.0);
    made.wire("S1.15", "F0.1", 14, 1.0);
    made.wire("F0.2", "Y1.1", 16, 8.0);
    made.wire("Y1.2", "N0.g", 16, 2.0);
    for rung in 0..rungs {
        made.rung(rung);
    }
    made.text(rungs)
}

#[derive(Default)]
struct Harness {
    parts: String,
    wires: String,
    wire_count: usize,
}

impl Harness {
    fn part(&mut self, tag: &str, kind: &str) {
        writeln!(self.parts, "        \"{tag}\": {kind},").expect("writing to a string");
    }

    fn wire(&mut self, from: &str, to: &str, awg: i32, metres: f64) {
        self.wire_count += 1;
        let tag = self.wire_count;
        writeln!(
            self.wires,
            "        \"W{tag}\": Wire(from: \"{from}\", to: \"{to}\", gauge: Awg({awg}), length: Metre({metres})),"
        )
        .expect("writing to a string");
    }

    fn rung(&mut self, rung: usize) {
        let n = rung + 1;
        self.part(&format!("X{n}"), "Splice");
        self.part(&format!("F{n}"), if n.is_multiple_of(3) { "Fuse(amps: 5)" } else { "Fuse(amps: 10)" });
        let rest = if n.is_multiple_of(2) { "Closed" } else { "Open" };
        let acts = 180 + n % 40;
        self.part(
            &format!("B{n}"),
            &format!(
                "TemperatureSwitch(rest: {rest}, senses: Coolant, acts_at: Fahrenheit({acts}), resets_at: Fahrenheit({}))",
                acts - 12
            ),
        );
        let across = if n.is_multiple_of(8) { ", suppressor: Diode(cathode: \"86\")" } else { "" };
        self.part(&format!("K{n}"), &format!("Relay(coil_ohms: 300, pulls_in: 14.4, drops_out: 5{across})"));
        self.part(&format!("P{n}"), "Lamp(ohms: 240)");
        self.part(&format!("N{n}"), "Ground");
        if rung.is_multiple_of(RUNGS_A_TRUNK) {
            self.wire("S1.15", &format!("X{n}.s"), 2, 3.0);
        } else {
            self.wire(&format!("X{rung}.s"), &format!("X{n}.s"), 8, 0.1);
        }
        self.wire(&format!("X{n}.s"), &format!("F{n}.1"), 14, 0.2);
        // Every fourth rung hangs on the relay before it, so that a change ripples on.
        if n.is_multiple_of(4) {
            self.wire(&format!("K{rung}.87a"), &format!("B{n}.1"), 16, 1.5);
        } else {
            self.wire(&format!("F{n}.2"), &format!("B{n}.1"), 16, 3.0);
        }
        self.wire(&format!("F{n}.2"), &format!("K{n}.30"), 16, 1.2);
        self.wire(&format!("B{n}.2"), &format!("K{n}.86"), 16, 2.5);
        self.wire(&format!("K{n}.87"), &format!("P{n}.1"), 16, 2.0);
        self.wire(&format!("P{n}.2"), &format!("N{n}.g"), 16, 0.8);
        self.wire(&format!("K{n}.85"), &format!("N{n}.g"), 16, 0.8);
    }

    fn text(self, rungs: usize) -> String {
        format!(
            "Circuit(\n    format: 1,\n    title: \"Harness of {rungs} rungs\",\n    parts: {{\n{}    }},\n    wires: \
             {{\n{}    }},\n    air: Air(minimum: Psi(90)),\n    clutch: Clutch(engages: WithAir),\n)\n",
            self.parts, self.wires
        )
    }
}
