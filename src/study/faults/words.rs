//! What the fault table says, in sentences: why faults look alike, what would tell them apart, which test to make.
//!
//! The window, the command line and paper speak alike through these. What is said is found by the files beside this.

use crate::bench::Fault;
use crate::study::table::words::named_value;
use crate::study::wording::{self, list};

use super::apart::Test;
use super::beyond::{Split, Tool};
use super::looks::{APART_PSI, APART_SHARE, APART_VOLTS, Means, Readings};
use super::pairs::Pair;
use super::why::Reason;
use super::{FaultTable, Purpose, State};
use crate::words::{Words, fixed, say};

/// How closely readings are compared.
pub fn resolution() -> Words {
    say!(
        "faults-two-readings-are-told-apart",
        apart_volts = APART_VOLTS,
        apart_share = fixed(APART_SHARE * 100.0, 0),
        apart_psi = wording::gauge(APART_PSI)
    )
}

/// Faults by name.
pub fn names(table: &FaultTable, faults: &[usize]) -> Vec<String> {
    faults.iter().map(|fault| table.faults[*fault].to_string()).collect()
}

/// The name of a fault, or of none.
pub fn name(fault: Option<&Fault>) -> Words {
    fault.map_or_else(|| say!("faults-healthy"), |fault| fault.to_string().into())
}

/// Two faults by name.
pub fn pair(table: &FaultTable, (one, other): Pair) -> Words {
    say!("faults-with", one = table.faults[one], other = table.faults[other])
}

/// Why faults look alike, to follow on their names and a colon.
pub fn reason(reason: &Reason) -> Words {
    match reason {
        Reason::NothingChanges => say!("faults-changes-nothing-that-can-be"),
        Reason::SameNet => say!("faults-the-same-net-joined-by"),
        Reason::OneLine => say!("faults-in-one-line-with-no"),
        Reason::SameFuse(fuses) => say!("faults-opens-and-what-it-feeds", fuses = list(fuses), count = fuses.len()),
        Reason::SameThing => say!("faults-the-same-thing-to-another"),
        Reason::SameReadings => say!("faults-they-come-to-the-same"),
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
pub fn tool(table: &FaultTable, tool: &Tool) -> Words {
    match tool {
        Tool::Clamp { wire, state } => say!("faults-a-clamp-on", wire, states = when(&table.states[*state])),
        Tool::Ohmmeter { lifted, leads: [one, other] } => {
            let free =
                if lifted.is_empty() { Words::default() } else { say!("faults-and-lifted", lifted = list(lifted)) };
            say!("faults-an-ohmmeter-from-to-key", one, other, free)
        }
        Tool::StopWatch { state, back } => {
            let state = &table.states[*state];
            let moment = if *back {
                say!("faults-when-is-over", name = asked(state))
            } else {
                say!("faults-from", name = asked(state))
            };
            say!("faults-a-stop-watch-on-the", moment)
        }
    }
}

/// What an instrument shows with which faults: `0.42 A with coil-open:Y1; 0 A with …`.
pub fn shown(table: &FaultTable, split: &Split) -> Words {
    let one = |(value, members): &(Words, Vec<Option<usize>>)| {
        let names: Vec<Words> = members.iter().map(|fault| name(fault.map(|f| &table.faults[f]))).collect();
        say!("faults-with-2", value, names = some(&names, 4))
    };
    Words::joined(split.shown.iter().map(one), "; ")
}

/// A state, to follow on what is done in it.
pub fn when(state: &State) -> Words {
    match state.purpose {
        Purpose::Stands => say!("faults-as-it-stands"),
        Purpose::Asked | Purpose::Between => say!("faults-with-3", name = asked(state)),
        Purpose::Left => say!("faults-after", name = asked(state)),
    }
}

/// What is not as it stands in a state: `B1 hot and S2 on`, `B1 at 195 °F`.
fn asked(state: &State) -> Words {
    let one = |(place, (name, value)): (usize, &(String, String))| match state.between {
        Some(level) if place == 0 => say!("faults-asks-at", name, value = level),
        _ => say!("faults-asks", name, value = named_value(value)),
    };
    list(&state.asks.iter().enumerate().map(one).collect::<Vec<_>>())
}

/// The first few of many names, and how many more there are.
pub fn some<W>(names: &[W], most: usize) -> Words
where
    for<'w> Words: From<&'w W>,
{
    if names.len() <= most {
        return list(names);
    }
    say!(
        "faults-and-more",
        names = Words::joined(names[..most].iter().map(Words::from), ", "),
        more = names.len() - most
    )
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

/// What is read, in words.
fn read(table: &FaultTable, means: Means) -> Words {
    match means {
        Means::Fan => say!("faults-the-fan"),
        Means::ClutchGauge => say!("faults-the-clutch-gauge"),
        Means::SupplyGauge => say!("faults-the-supply-gauge"),
        Means::Volts(point) => say!("faults-volts-at", point = table.points[point]),
    }
}

/// One reading in words.
pub fn value(readings: &Readings, means: Means) -> Words {
    let psi = |psi: Option<f64>| psi.map_or_else(|| say!("faults-no-clutch-here"), wording::gauge);
    match means {
        Means::Fan => readings.standing.said(),
        Means::ClutchGauge => psi(readings.clutch_psi),
        Means::SupplyGauge => psi(readings.supply_psi),
        Means::Volts(point) => {
            readings.volts.get(point).map_or_else(|| say!("faults-unsteady"), |v| wording::volts(*v))
        }
    }
}

/// A test with what it shows of each of the two: `volts:B1.2,G1.- as it stands: 12.60 V or 0.00 V`.
pub fn test(table: &FaultTable, test: &Test) -> Words {
    let [one, other] = [0, 1].map(|place| value(&test.readings[place], test.means));
    say!("faults-or", means = read(table, test.means), states = when(&table.states[test.state]), one, other)
}

/// How a state is brought about, as options of the command line; where some of it cannot be written so, that is said.
pub fn brought_about(state: &State) -> Vec<Words> {
    let settings = state.settings.iter().map(|setting| format!("--set {setting}").into());
    let alone = state.alone.iter().map(|alone| say!("faults-by-itself-at", tag = alone.tag, level = alone.level));
    let acts = state.acts.iter().map(|act| format!("--do {act}").into());
    let held = state.held.iter().map(|tag| say!("faults-held", tag));
    settings.chain(alone).chain(acts).chain(held).collect()
}
