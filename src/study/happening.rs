//! What happens by itself on a circuit's way through time, in whole short sentences with their numbers.
//!
//! Yields [`sentence`], and [`weight`] for those who have no room for all. When something happens, and at which
//! number, is found by [`physics::time`](crate::physics::time).

use crate::bench::Bench;
use crate::circuit::part::{SetPoint, Suppressor};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, PartId, Telling};
use crate::physics::clutch::ClutchState;
use crate::physics::state::FuseAt;
use crate::physics::time::kick::Kick;
use crate::physics::time::{Event, Happening};

use super::wording;

/// How much a happening matters to a reader who cannot be told all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Somebody did it, or something was lost by it.
    Grave,
    /// The clutch, or what asks for it, moved.
    Usual,
    /// It follows from another.
    Minor,
}

/// How much a happening matters.
pub fn weight(happening: &Happening) -> Weight {
    match happening {
        Happening::Fuse(..) | Happening::Discoloured | Happening::Restless | Happening::Protection(_) => Weight::Grave,
        Happening::Sensor(..)
        | Happening::Point(..)
        | Happening::Timer(..)
        | Happening::AtRest
        | Happening::Clutch(ClutchState::Engaged | ClutchState::Released) => Weight::Usual,
        Happening::Coil(..)
        | Happening::Driver(..)
        | Happening::Kick(..)
        | Happening::Compressor(_)
        | Happening::Clutch(ClutchState::Slipping) => Weight::Minor,
    }
}

/// What happened, on the circuit of this bench.
pub fn sentence(bench: &Bench, event: &Event) -> String {
    let circuit = bench.circuit();
    let tag = |id: PartId| circuit.part(id).tag.as_str();
    match event.what {
        Happening::Sensor(id, acted) => {
            let does = if acted { "acts" } else { "resets" };
            let point = bench.inputs().kind(circuit, id).sensor().map(|sensor| sensor.set_point());
            with_number(format!("{} {does}", tag(id)), point.zip(event.value))
        }
        Happening::Point(id, number, acted) => {
            let does = if acted { "acts" } else { "resets" };
            let point = bench.inputs().kind(circuit, id).set_points().get(number).copied();
            with_number(format!("a set point of {} {does}", tag(id)), point.zip(event.value))
        }
        Happening::Coil(id, true) => match event.value {
            Some(volts) => format!("{} pulls in at {volts:.1} V", tag(id)),
            None => format!("{} pulls in", tag(id)),
        },
        Happening::Coil(id, false) => format!("{} lets go", tag(id)),
        Happening::Driver(id, true) => format!("{} turns its output on", tag(id)),
        Happening::Driver(id, false) => format!("{} turns its output off", tag(id)),
        Happening::Timer(id, true) => format!("{}'s contact closes", tag(id)),
        Happening::Timer(id, false) => format!("{}'s contact opens", tag(id)),
        Happening::Kick(id, kick) => format!("{}'s coil {}", tag(id), kick_words(circuit, id, kick)),
        Happening::Fuse(at, amps) => opens(bench, at, amps),
        Happening::Clutch(state) => clutch(circuit, state, event.value),
        Happening::Compressor(true) => {
            tanks(circuit, Telling::Governor, "the compressor begins to deliver", event.value)
        }
        Happening::Compressor(false) => {
            tanks(circuit, Telling::Governor, "the compressor stops delivering", event.value)
        }
        Happening::Protection(true) => {
            tanks(circuit, Telling::Protection, "the protection valve opens again", event.value)
        }
        Happening::Protection(false) => {
            let words = "the protection valve closes, to keep air for the brakes";
            tanks(circuit, Telling::Protection, words, event.value)
        }
        Happening::Discoloured => match event.value {
            Some(celsius) => {
                let number = wording::marked(circuit, Telling::Discolours, format!("{celsius:.0} °C"));
                format!("the clutch's plate is hot enough to discolour: {number}")
            }
            None => "the clutch's plate is hot enough to discolour".to_owned(),
        },
        Happening::Restless => "the circuit does not come to rest".to_owned(),
        Happening::AtRest => "the circuit is at rest again".to_owned(),
    }
}

/// What a fuse does at so many amps.
pub fn opens(bench: &Bench, at: FuseAt, amps: f64) -> String {
    let amps = wording::amps(amps);
    match at {
        FuseAt::Part(id) => format!("{} opens at {amps}", bench.circuit().part(id).tag),
        FuseAt::Lead(number) => match bench.act_of_lead(number) {
            Some(act) => format!("the fuse in the lead of {} opens at {amps}", act.in_full()),
            None => format!("a lead's fuse opens at {amps}"),
        },
    }
}

/// A gauge pressure in the unit in which the circuit's file gives its minimum.
pub fn pressure(circuit: &Circuit, kpa: f64) -> String {
    wording::value_like(kpa, circuit.air().map_or(Level::Psi(0.0), |air| air.minimum))
}

fn with_number(words: String, felt: Option<(SetPoint, f64)>) -> String {
    match felt {
        Some((point, value)) => {
            format!("{words}: {} {}", wording::quantity_name(point.senses), wording::value_like(value, point.acts))
        }
        None => words,
    }
}

/// How high a coil kicks, and what holds it down: `kicks to about 0.7 V, held down by its diode`. Where nothing does, the
/// volts are an example value, as inductance and capacitance are.
pub fn kick_words(circuit: &Circuit, coil: PartId, kick: Kick) -> String {
    let volts = if kick.volts < 10.0 { format!("{:.1}", kick.volts) } else { format!("{:.0}", kick.volts) };
    let suppressor = circuit.part(coil).kind.coil().and_then(|coil| coil.suppressor);
    match (kick.held_by, suppressor) {
        (Some(by), Some(Suppressor::Diode { .. })) if by == coil => {
            format!("kicks to about {volts} V, held down by its diode")
        }
        (Some(by), Some(Suppressor::Resistor(ohms))) if by == coil => {
            format!("kicks to about {volts} V, held down by its {ohms} ohm resistor")
        }
        (Some(by), _) => format!("kicks to about {volts} V, held down by {}", circuit.part(by).tag),
        (None, _) => {
            format!(
                "kicks to as much as {volts} V (example value), with nothing across it but the spark where it breaks"
            )
        }
    }
}

fn clutch(circuit: &Circuit, state: ClutchState, kpa: Option<f64>) -> String {
    let words = match state {
        ClutchState::Engaged => "the clutch engages",
        ClutchState::Released => "the clutch releases",
        ClutchState::Slipping => "the clutch slips",
    };
    at_pressure(circuit, Telling::Margin, words, kpa, "in its chamber")
}

fn tanks(circuit: &Circuit, shown: Telling, words: &str, kpa: Option<f64>) -> String {
    at_pressure(circuit, shown, words, kpa, "in the tanks")
}

fn at_pressure(circuit: &Circuit, shown: Telling, words: &str, kpa: Option<f64>, place: &str) -> String {
    match kpa {
        Some(kpa) => {
            let number = wording::marked(circuit, shown, pressure(circuit, kpa.max(0.0)));
            format!("{words}: {number} {place}")
        }
        None => words.to_owned(),
    }
}
