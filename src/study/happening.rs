//! What happens by itself on a circuit's way through time, in whole short sentences with their numbers.
//!
//! Yields [`sentence`], and [`weight`] for those who have no room for all. When something happens, and at which
//! number, is found by [`physics::time`](crate::physics::time).

use crate::bench::{Act, Bench};
use crate::circuit::part::{SetPoint, Suppressor};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, PartId, Telling};
use crate::physics::clutch::ClutchState;
use crate::physics::state::FuseAt;
use crate::physics::time::kick::Kick;
use crate::physics::time::{Event, Happening};

use super::wording;
use crate::words::{Words, fixed, say};

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
pub fn sentence(bench: &Bench, event: &Event) -> Words {
    let circuit = bench.circuit();
    let tag = |id: PartId| circuit.part(id).tag.as_str();
    match event.what {
        Happening::Sensor(id, acted) => {
            let does = if acted { say!("happening-acts") } else { say!("happening-resets") };
            let point = bench.inputs().kind(circuit, id).sensor().map(|sensor| sensor.set_point());
            with_number(say!("happening-does", tag = tag(id), does), point.zip(event.value))
        }
        Happening::Point(id, number, acted) => {
            let does = if acted { say!("happening-acts") } else { say!("happening-resets") };
            let point = bench.inputs().kind(circuit, id).set_points().get(number).copied();
            with_number(say!("happening-a-set-point-of", tag = tag(id), does), point.zip(event.value))
        }
        Happening::Coil(id, true) => match event.value {
            Some(volts) => say!("happening-pulls-in-at-v", tag = tag(id), volts = fixed(volts, 1)),
            None => say!("happening-pulls-in", tag = tag(id)),
        },
        Happening::Coil(id, false) => say!("happening-lets-go", tag = tag(id)),
        Happening::Driver(id, true) => say!("happening-turns-its-output-on", tag = tag(id)),
        Happening::Driver(id, false) => say!("happening-turns-its-output-off", tag = tag(id)),
        Happening::Timer(id, true) => say!("happening-s-contact-closes", tag = tag(id)),
        Happening::Timer(id, false) => say!("happening-s-contact-opens", tag = tag(id)),
        Happening::Kick(id, kick) => say!("happening-s-coil", tag = tag(id), kick = kick_words(circuit, id, kick)),
        Happening::Fuse(at, amps) => opens(bench, at, amps),
        Happening::Clutch(state) => clutch(circuit, state, event.value),
        Happening::Compressor(true) => {
            tanks(circuit, Telling::Governor, say!("happening-the-compressor-begins-to-deliver"), event.value)
        }
        Happening::Compressor(false) => {
            tanks(circuit, Telling::Governor, say!("happening-the-compressor-stops-delivering"), event.value)
        }
        Happening::Protection(true) => {
            tanks(circuit, Telling::Protection, say!("happening-the-protection-valve-opens-again"), event.value)
        }
        Happening::Protection(false) => {
            let words = say!("happening-the-protection-valve-closes-to");
            tanks(circuit, Telling::Protection, words, event.value)
        }
        Happening::Discoloured => match event.value {
            Some(celsius) => {
                let number = wording::marked(circuit, Telling::Discolours, wording::celsius(celsius));
                say!("happening-the-clutchs-plate-is-hot", number)
            }
            None => say!("happening-the-clutchs-plate-is-hot-2"),
        },
        Happening::Restless => say!("happening-the-circuit-does-not-come"),
        Happening::AtRest => say!("happening-the-circuit-is-at-rest"),
    }
}

/// What a fuse does at so many amps.
pub fn opens(bench: &Bench, at: FuseAt, amps: f64) -> Words {
    let amps = wording::amps(amps);
    match at {
        FuseAt::Part(id) => say!("happening-opens-at", tag = bench.circuit().part(id).tag, amps),
        FuseAt::Lead(number) => match bench.act_of_lead(number) {
            Some(Act::Jump { a, b, .. }) => say!("happening-the-fuse-in-the-lead", a, b, amps),
            _ => say!("happening-a-leads-fuse-opens-at", amps),
        },
    }
}

/// A gauge pressure in the unit in which the circuit's file gives its minimum.
pub fn pressure(circuit: &Circuit, kpa: f64) -> Words {
    wording::value_like(kpa, circuit.air().map_or(Level::Psi(0.0), |air| air.minimum))
}

fn with_number(words: Words, felt: Option<(SetPoint, f64)>) -> Words {
    match felt {
        Some((point, value)) => {
            say!(
                "happening-with-number",
                words,
                senses = wording::quantity_name(point.senses),
                value = wording::value_like(value, point.acts)
            )
        }
        None => words,
    }
}

/// How high a coil kicks, and what holds it down: `kicks to about 0.7 V, held down by its diode`. Where nothing does, the
/// volts are an example value, as inductance and capacitance are.
pub fn kick_words(circuit: &Circuit, coil: PartId, kick: Kick) -> Words {
    let volts = wording::number(kick.volts, if kick.volts < 10.0 { 1 } else { 0 });
    let suppressor = circuit.part(coil).kind.coil().and_then(|coil| coil.suppressor);
    match (kick.held_by, suppressor) {
        (Some(by), Some(Suppressor::Diode { .. })) if by == coil => {
            say!("happening-kicks-to-about-v-held", volts)
        }
        (Some(by), Some(Suppressor::Resistor(ohms))) if by == coil => {
            say!("happening-kicks-to-about-v-held-2", volts, ohms)
        }
        (Some(by), _) => say!("happening-kicks-to-about-v-held-3", volts, tag = circuit.part(by).tag),
        (None, _) => {
            say!("happening-kicks-to-as-much-as", volts)
        }
    }
}

fn clutch(circuit: &Circuit, state: ClutchState, kpa: Option<f64>) -> Words {
    let words = match state {
        ClutchState::Engaged => say!("happening-the-clutch-engages"),
        ClutchState::Released => say!("happening-the-clutch-releases"),
        ClutchState::Slipping => say!("happening-the-clutch-slips"),
    };
    at_pressure(circuit, Telling::Margin, words, kpa, &say!("happening-in-its-chamber"))
}

fn tanks(circuit: &Circuit, shown: Telling, words: Words, kpa: Option<f64>) -> Words {
    at_pressure(circuit, shown, words, kpa, &say!("happening-in-the-tanks"))
}

fn at_pressure(circuit: &Circuit, shown: Telling, words: Words, kpa: Option<f64>, place: &Words) -> Words {
    match kpa {
        Some(kpa) => {
            let number = wording::marked(circuit, shown, pressure(circuit, kpa.max(0.0)));
            say!("happening-at-pressure", words, number, place)
        }
        None => words,
    }
}
