//! What the fault table says, in sentences: why faults look alike, what would tell them apart, which test to make.
//!
//! The window, the command line and paper speak alike through these. What is said is found by the files beside this.

use crate::bench::Fault;
use crate::study::wording::{self, list};

use super::apart::Test;
use super::beyond::{Split, Tool};
use super::looks::{APART_PSI, APART_SHARE, APART_VOLTS, Means, Readings};
use super::pairs::Pair;
use super::why::Reason;
use super::{FaultTable, Purpose, State};

/// How closely readings are compared.
pub fn resolution() -> String {
    format!(
        "Two readings are told apart where they differ by more than {APART_VOLTS} V or {:.0} % of the larger, by more \
         than {APART_PSI} psi, or in what the fan does. Volts are read to the battery's -; a point that floats reads \
         0 V there. Where the circuit never comes to rest nothing but that is read.",
        APART_SHARE * 100.0
    )
}

/// Faults by name.
pub fn names(table: &FaultTable, faults: &[usize]) -> Vec<String> {
    faults.iter().map(|fault| table.faults[*fault].to_string()).collect()
}

/// The name of a fault, or of none.
pub fn name(fault: Option<&Fault>) -> String {
    fault.map_or_else(|| "healthy".to_owned(), ToString::to_string)
}

/// Two faults by name.
pub fn pair(table: &FaultTable, (one, other): Pair) -> String {
    format!("{} with {}", table.faults[one], table.faults[other])
}

/// Why faults look alike, to follow on their names and a colon.
pub fn reason(reason: &Reason) -> String {
    match reason {
        Reason::NothingChanges => "changes nothing that can be read here".to_owned(),
        Reason::SameNet => "the same net, joined by wire alone".to_owned(),
        Reason::OneLine => "in one line, with no branch and no point between".to_owned(),
        Reason::SameFuse(fuses) => format!("{} opens, and what it feeds is dead", list(fuses)),
        Reason::SameThing => "the same thing to another degree".to_owned(),
        Reason::SameReadings => "they come to the same wherever it is read".to_owned(),
    }
}

/// A word for a reason, for a program.
pub fn reason_word(reason: &Reason) -> &'static str {
    match reason {
        Reason::NothingChanges => "nothing-changes",
        Reason::SameNet => "same-net",
        Reason::OneLine => "one-line",
        Reason::SameFuse(_) => "same-fuse",
        Reason::SameThing => "same-thing",
        Reason::SameReadings => "same-readings",
    }
}

/// With what, where and when an instrument separates faults.
pub fn tool(table: &FaultTable, tool: &Tool) -> String {
    match tool {
        Tool::Clamp { wire, state } => format!("a clamp on {wire}, {}", when(&table.states[*state])),
        Tool::Ohmmeter { lifted, leads: [one, other] } => {
            let free = if lifted.is_empty() { String::new() } else { format!(" and {} lifted", list(lifted)) };
            format!("an ohmmeter from {one} to {other}, key off{free}")
        }
        Tool::StopWatch { state, back } => {
            let state = &table.states[*state];
            let moment =
                if *back { format!("when {} is over", state.name()) } else { format!("from {}", state.name()) };
            format!("a stop watch on the clutch gauge, {moment}")
        }
    }
}

/// What an instrument shows with which faults: `0.42 A with coil-open:Y1; 0 A with …`.
pub fn shown(table: &FaultTable, split: &Split) -> String {
    let one = |(value, members): &(String, Vec<Option<usize>>)| {
        let names: Vec<String> = members.iter().map(|fault| name(fault.map(|f| &table.faults[f]))).collect();
        format!("{value} with {}", some(&names, 4))
    };
    split.shown.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// A state, to follow on what is done in it.
pub fn when(state: &State) -> String {
    match state.purpose {
        Purpose::Stands => "as it stands".to_owned(),
        Purpose::Asked | Purpose::Between => format!("with {}", state.name()),
        Purpose::Left => state.name(),
    }
}

/// The first few of many names, and how many more there are.
pub fn some(names: &[String], most: usize) -> String {
    if names.len() <= most {
        return list(names);
    }
    format!("{} and {} more", names[..most].join(", "), names.len() - most)
}

/// What is read, in the grammar of readings.
pub fn means(table: &FaultTable, means: Means) -> String {
    match means {
        Means::Fan => "fan".to_owned(),
        Means::ClutchGauge => "gauge:clutch".to_owned(),
        Means::SupplyGauge => "gauge:supply".to_owned(),
        Means::Volts(point) => match table.scene.circuit.battery() {
            Some((battery, _)) => {
                let minus = table.scene.circuit.terminal_words(table.scene.circuit.terminal_at(battery, 1));
                format!("volts:{},{minus}", table.points[point])
            }
            None => format!("volts:{}", table.points[point]),
        },
    }
}

/// One reading in words.
pub fn value(readings: &Readings, means: Means) -> String {
    let psi = |psi: Option<f64>| psi.map_or_else(|| "no clutch here".to_owned(), |psi| format!("{psi:.0} psi"));
    match means {
        Means::Fan => readings.standing.word().to_owned(),
        Means::ClutchGauge => psi(readings.clutch_psi),
        Means::SupplyGauge => psi(readings.supply_psi),
        Means::Volts(point) => readings.volts.get(point).map_or_else(|| "unsteady".to_owned(), |v| wording::volts(*v)),
    }
}

/// A test with what it shows of each of the two: `volts:B1.2,G1.- as it stands: 12.60 V or 0.00 V`.
pub fn test(table: &FaultTable, test: &Test) -> String {
    let [one, other] = [0, 1].map(|place| value(&test.readings[place], test.means));
    format!("{} {}: {one} or {other}", means(table, test.means), when(&table.states[test.state]))
}

/// How a state is brought about, as options of the command line; where some of it cannot be written so, that is said.
pub fn brought_about(state: &State) -> Vec<String> {
    let settings = state.settings.iter().map(|setting| format!("--set {setting}"));
    let alone = state.alone.iter().map(|alone| format!("{} by itself at {}", alone.tag, alone.level));
    let acts = state.acts.iter().map(|act| format!("--do {act}"));
    let held = state.held.iter().map(|tag| format!("{tag} held"));
    settings.chain(alone).chain(acts).chain(held).collect()
}
