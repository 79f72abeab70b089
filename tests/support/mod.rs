//! What the tests share: comparing numbers, the shipped circuits, and a bench spoken to in the words of the file
//! contract.
//!
//! Nothing here knows how the program finds its answers; a bench with a clock is in [`clock`], the tests' own solver in
//! [`dense`], made-up harnesses
//! are in [`harness`], networks of nodes and branches alone in [`netlist`], the built program in [`program`], reading of the
//! program's own source is in [`source`].

#![allow(dead_code, unreachable_pub, reason = "every test binary takes in all of this and uses its own share")]

pub mod clock;
pub mod dense;
pub mod harness;
pub mod led;
pub mod netlist;
pub mod program;
pub mod random;
pub mod source;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use fanloom::bench::{Action, Bench};
use fanloom::circuit::format::{read, render};
use fanloom::circuit::{Circuit, Contact, PartId, WireEnd};
use fanloom::physics::clutch::ClutchState;

/// Demands that two numbers differ by no more than `within`, and prints all three and the difference if not.
#[track_caller]
pub fn near(got: f64, wanted: f64, within: f64) {
    let difference = got - wanted;
    assert!(
        difference.abs() <= within,
        "got {got:?}, wanted {wanted:?}: they differ by {difference:e}, and {within:e} is allowed"
    );
}

/// The same with the allowance relative to the wanted number.
#[track_caller]
pub fn near_relative(got: f64, wanted: f64, share: f64) {
    near(got, wanted, share * wanted.abs());
}

/// Slope of the straight line through the logarithms of parts and seconds.
pub fn exponent(times: &[(usize, f64)]) -> f64 {
    let points: Vec<(f64, f64)> = times.iter().map(|(parts, seconds)| ((*parts as f64).ln(), seconds.ln())).collect();
    let count = points.len() as f64;
    let (mean_x, mean_y) =
        (points.iter().map(|p| p.0).sum::<f64>() / count, points.iter().map(|p| p.1).sum::<f64>() / count);
    let over: f64 = points.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
    let under: f64 = points.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
    over / under
}

/// The top of the package.
pub fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// All files below a folder of the package with this ending, as paths from the top, sorted.
pub fn files_below(folder: &str, ending: &str) -> Vec<String> {
    fn walk(at: &Path, ending: &str, found: &mut Vec<PathBuf>) {
        let Ok(entries) = std::fs::read_dir(at) else { return };
        for entry in entries.flatten() {
            let path = entry.path();
            if path.is_dir() {
                walk(&path, ending, found);
            } else if path.extension().is_some_and(|e| e == ending) {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&top().join(folder), ending, &mut found);
    let mut names: Vec<String> =
        found.iter().map(|p| p.strip_prefix(top()).unwrap_or(p).to_string_lossy().replace('\\', "/")).collect();
    names.sort();
    names
}

/// A file of the package as text.
#[track_caller]
pub fn text_of(path: &str) -> String {
    std::fs::read_to_string(top().join(path)).unwrap_or_else(|e| panic!("cannot read {path}: {e}"))
}

/// Names of the shipped circuits without their ending, sorted.
pub fn shipped_names() -> Vec<String> {
    files_below("circuits", "ron")
        .iter()
        .map(|p| p.trim_start_matches("circuits/").trim_end_matches(".ron").to_owned())
        .collect()
}

/// A shipped circuit.
#[track_caller]
pub fn shipped(name: &str) -> Arc<Circuit> {
    circuit(&text_of(&format!("circuits/{name}.ron")))
}

/// The circuit a text describes, which must have no error.
#[track_caller]
pub fn circuit(text: &str) -> Arc<Circuit> {
    let reading = read(text);
    match reading.circuit {
        Some(circuit) => Arc::new(circuit),
        None => panic!("the circuit is not sound:\n{}", render(text, "the test's circuit", &reading.findings, false)),
    }
}

/// A circuit from the lines of its parts and wires alone. A wire is written `W1 G1.+ F1.1`, with the default copper.
#[track_caller]
pub fn tiny(parts: &[(&str, &str)], wires: &[&str]) -> Arc<Circuit> {
    circuit(&tiny_text(parts, wires))
}

/// The text of [`tiny`].
#[track_caller]
pub fn tiny_text(parts: &[(&str, &str)], wires: &[&str]) -> String {
    let mut text = String::from("Circuit(\n    format: 1,\n    title: \"test\",\n    parts: {\n");
    for (tag, kind) in parts {
        text += &format!("        \"{tag}\": {kind},\n");
    }
    text += "    },\n    wires: {\n";
    for wire in wires {
        let words: Vec<&str> = wire.split_whitespace().collect();
        let [tag, from, to] = words[..] else { panic!("`{wire}` is not a tag and two terminals") };
        text += &format!("        \"{tag}\": Wire(from: \"{from}\", to: \"{to}\"),\n");
    }
    text + "    },\n)\n"
}

/// A bench with the contract's words for changes and readings.
#[derive(Clone, Debug)]
pub struct Stand {
    pub bench: Bench,
}

/// An action in the words of the contract: a setting, an act or a fault, told apart by their first word; `back `
/// before an act puts it back, `mend ` before a fault repairs it, `renew F1` replaces a fuse.
pub fn action(words: &str) -> Result<Action, String> {
    let words = words.trim();
    let said = |e: fanloom::bench::Refusal| e.to_string();
    match words {
        "undo" => return Ok(Action::Undo),
        "redo" => return Ok(Action::Redo),
        "put all back" => return Ok(Action::PutAllBack),
        _ => {}
    }
    if let Some(act) = words.strip_prefix("back ") {
        return act.parse().map(Action::PutBack).map_err(said);
    }
    if let Some(fault) = words.strip_prefix("mend ") {
        return fault.parse().map(Action::Repair).map_err(said);
    }
    if let Some(fuse) = words.strip_prefix("renew ") {
        return Ok(Action::ReplaceFuse(fuse.to_owned()));
    }
    match words.split_once(':') {
        None => words.parse().map(Action::Set).map_err(said),
        Some(("turn" | "press" | "jump" | "lift" | "unplug", _)) => words.parse().map(Action::Do).map_err(said),
        Some(_) => words.parse().map(Action::Plant).map_err(said),
    }
}

impl Stand {
    /// A circuit as built.
    pub fn new(circuit: &Arc<Circuit>) -> Self {
        Self { bench: Bench::new(Arc::clone(circuit)) }
    }

    /// A shipped circuit as built.
    #[track_caller]
    pub fn shipped(name: &str) -> Self {
        Self::new(&shipped(name))
    }

    /// Makes one change, which must be possible.
    #[track_caller]
    pub fn will(&mut self, words: &str) -> &mut Self {
        let action = action(words).unwrap_or_else(|e| panic!("`{words}`: {e}"));
        self.bench.apply(action).unwrap_or_else(|e| panic!("`{words}`: {e}"));
        self
    }

    /// Makes changes written with `;` between them.
    #[track_caller]
    pub fn all(&mut self, words: &str) -> &mut Self {
        for step in words.split(';').map(str::trim).filter(|s| !s.is_empty()) {
            self.will(step);
        }
        self
    }

    /// Volts a lead on this terminal touches, or none where it floats.
    #[track_caller]
    pub fn volts_or_none(&self, terminal: &str) -> Option<f64> {
        let id = self.bench.circuit().terminal_named(terminal);
        self.bench.outcome().volts_at(id.unwrap_or_else(|| panic!("there is no terminal `{terminal}`")))
    }

    /// Volts at a terminal, which must not float.
    #[track_caller]
    pub fn volts(&self, terminal: &str) -> f64 {
        self.volts_or_none(terminal).unwrap_or_else(|| panic!("`{terminal}` floats"))
    }

    /// Volts from the second terminal to the first.
    #[track_caller]
    pub fn between(&self, a: &str, b: &str) -> f64 {
        self.volts(a) - self.volts(b)
    }

    /// Amps in a wire.
    #[track_caller]
    pub fn amps(&self, wire: &str) -> f64 {
        let id = self.bench.circuit().wire_named(wire);
        self.bench.outcome().amps_in(id.unwrap_or_else(|| panic!("there is no wire `{wire}`")))
    }

    /// Amps through a part.
    #[track_caller]
    pub fn through(&self, part: &str) -> f64 {
        self.bench.outcome().part_amps[self.id(part).index()]
    }

    #[track_caller]
    pub fn id(&self, part: &str) -> PartId {
        self.bench.circuit().part_named(part).unwrap_or_else(|| panic!("there is no part `{part}`"))
    }

    /// Whether a coil is pulled in.
    #[track_caller]
    pub fn energised(&self, part: &str) -> bool {
        self.bench.outcome().coils[&self.id(part)].energised
    }

    /// What the clutch does.
    #[track_caller]
    pub fn clutch(&self) -> ClutchState {
        self.bench.outcome().clutch.expect("the circuit has a valve").state
    }

    /// What a contact or driver does: a part's only one by tag, `K1.87` where it has several.
    #[track_caller]
    pub fn contact(&self, name: &str) -> Contact {
        let circuit = self.bench.circuit();
        let found = self.bench.outcome().contacts.iter().find(|c| match c.terminal {
            Some(t) => circuit.terminal_words(t) == name,
            None => circuit.part(c.part).tag == name,
        });
        found.unwrap_or_else(|| panic!("there is no contact `{name}`")).position
    }

    /// Whether one of the circuit's fuses, or a lead's, has opened and is still blown.
    pub fn any_fuse_open(&self) -> bool {
        !self.bench.opened().is_empty()
    }

    /// Whether this fuse has opened.
    #[track_caller]
    pub fn blown(&self, fuse: &str) -> bool {
        self.bench.outcome().memory.of(self.id(fuse)).blown
    }
}

/// Every terminal's volts, every wire's amps and every contact by name, sorted: the readings of a state, whatever
/// its parts and wires are numbered.
pub fn readings_by_name(bench: &Bench) -> Vec<(String, Option<f64>)> {
    let (circuit, outcome) = (bench.circuit(), bench.outcome());
    let mut readings: Vec<(String, Option<f64>)> = circuit
        .terminals_with_ids()
        .map(|(id, _)| (circuit.terminal_words(id), outcome.volts_at(id)))
        .chain(circuit.wires_with_ids().map(|(id, wire)| (wire.tag.clone(), Some(outcome.amps_in(id)))))
        .chain(outcome.contacts.iter().map(|c| {
            let name = c.terminal.map_or_else(|| circuit.part(c.part).tag.clone(), |t| circuit.terminal_words(t));
            (format!("contact {name}"), Some(if c.position == Contact::Closed { 1.0 } else { 0.0 }))
        }))
        .collect();
    readings.sort_by(|a, b| a.0.cmp(&b.0));
    readings
}

/// How a wire's end is written in acts.
pub fn end_words(circuit: &Circuit, end: WireEnd) -> String {
    circuit.end_words(end)
}
