//! How long it takes to reach a part, to do an act, to read an instrument: the one place that says.
//!
//! Times are example values after common practice; every truck has its own, so each can be edited, for a sort of part
//! or for one part by its tag. What is reached already costs nothing more: that is kept by those who plan.

use std::collections::BTreeMap;

use crate::bench::{Act, Gauge, Instrument, Point, Reading, Setting};
use crate::circuit::{Circuit, PartId};

/// Minutes by name: readings and acts by their verb, conditions by their name, sorts of parts by their word in the
/// circuit file, single parts by their tag, and `hose` for a gauge fitted into the clutch hose.
#[derive(Clone, Debug, PartialEq)]
pub struct Minutes(BTreeMap<String, f64>);

/// The times nobody has edited (common practice, no source).
const USUAL: [(&str, f64); 43] = [
    ("fan", 0.5),
    ("volts", 1.0),
    ("lowz", 1.0),
    ("lamp", 1.0),
    ("ohms", 1.5),
    ("amps", 3.0),
    ("clamp", 1.5),
    ("gauge", 0.5),
    ("hose", 9.5),
    ("look", 0.5),
    ("renew", 1.0),
    ("guess", 30.0),
    ("turn", 0.2),
    ("press", 0.2),
    ("jump", 1.5),
    ("lift", 2.0),
    ("unplug", 1.0),
    ("key", 0.2),
    ("engine", 1.0),
    ("coolant", 20.0),
    ("intake", 20.0),
    ("oil", 20.0),
    ("refrigerant", 10.0),
    ("air", 5.0),
    ("ambient", 60.0),
    ("bolts", 15.0),
    ("Battery", 1.5),
    ("Fuse", 0.5),
    ("KeySwitch", 2.0),
    ("HandSwitch", 2.0),
    ("SelectorSwitch", 2.0),
    ("TemperatureSwitch", 3.0),
    ("PressureSwitch", 4.0),
    ("Relay", 1.5),
    ("AirValve", 1.0),
    ("Diode", 3.0),
    ("Resistor", 3.0),
    ("Lamp", 2.0),
    ("Module", 4.0),
    ("Timer", 2.0),
    ("Connector", 1.0),
    ("Splice", 8.0),
    ("Ground", 1.0),
];

impl Default for Minutes {
    fn default() -> Self {
        Self(USUAL.iter().map(|(name, minutes)| ((*name).to_owned(), *minutes)).collect())
    }
}

/// Longest time anything may take, in minutes: a day.
const MOST: f64 = 1440.0;

/// A part or the clutch hose: somewhere a hand has to get to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// A part with its terminals.
    Part(PartId),
    /// The hose to the clutch, with a gauge fitted into it.
    Hose,
}

impl Minutes {
    /// Says how long something takes: by a name of the list, or by the tag of a part of this circuit. False where there
    /// is no such name or the time is none that could be.
    pub fn set(&mut self, circuit: &Circuit, name: &str, minutes: f64) -> bool {
        let known = self.0.contains_key(name) || circuit.part_named(name).is_some();
        let fits = known && (0.0..=MOST).contains(&minutes);
        if fits {
            self.0.insert(name.to_owned(), minutes);
        }
        fits
    }

    /// The names that can be edited beside tags.
    pub fn names() -> impl Iterator<Item = &'static str> {
        USUAL.iter().map(|(name, _)| *name)
    }

    fn of(&self, name: &str) -> f64 {
        self.0.get(name).copied().unwrap_or(0.0)
    }

    /// To reach a place for the first time.
    pub fn to_reach(&self, circuit: &Circuit, place: Place) -> f64 {
        match place {
            Place::Hose => self.of("hose"),
            Place::Part(id) => {
                let part = circuit.part(id);
                self.0.get(&part.tag).copied().unwrap_or_else(|| self.of(part.kind.word()))
            }
        }
    }

    /// To take a reading where a hand is already.
    pub fn to_read(&self, reading: &Reading) -> f64 {
        self.of(match reading {
            Reading::Across { instrument, .. } => instrument.word(),
            Reading::Amps(_) => "amps",
            Reading::Clamp(_) => "clamp",
            Reading::Gauge(_) => "gauge",
            Reading::Fan => "fan",
        })
    }

    /// To do an act and put it back, where a hand is already.
    pub fn to_do(&self, act: &Act) -> f64 {
        self.of(match act {
            Act::Turn { .. } => "turn",
            Act::Press { .. } => "press",
            Act::Jump { .. } => "jump",
            Act::Lift(_) => "lift",
            Act::Unplug { .. } => "unplug",
        })
    }

    /// To take a fuse out and look at it, where a hand is already.
    pub fn to_look(&self) -> f64 {
        self.of("look")
    }

    /// To renew a fuse, where a hand is already.
    pub fn to_renew(&self) -> f64 {
        self.of("renew")
    }

    /// To mend what was not broken.
    pub fn to_mend_in_vain(&self) -> f64 {
        self.of("guess")
    }

    /// To bring a condition about.
    pub fn to_bring(&self, setting: &Setting) -> f64 {
        self.of(setting.name())
    }
}

/// Where a hand has to be to take a reading.
pub fn places_of(circuit: &Circuit, reading: &Reading) -> Vec<Place> {
    let of_wire = |tag: &str| {
        let wire = circuit.wire_named(tag).map(|id| circuit.wire(id));
        wire.map(|wire| Place::Part(circuit.terminal(wire.from).part)).into_iter().collect()
    };
    match reading {
        Reading::Across { first, second, .. } => {
            [first, second].into_iter().filter_map(|point| place_of(circuit, point)).collect()
        }
        Reading::Amps(tag) | Reading::Clamp(tag) => of_wire(tag),
        Reading::Gauge(Gauge::Clutch) => vec![Place::Hose],
        Reading::Gauge(Gauge::Supply) | Reading::Fan => Vec::new(),
    }
}

/// Where a hand has to be to do an act. A switch that is made for hands is at hand.
pub fn places_of_act(circuit: &Circuit, act: &Act) -> Vec<Place> {
    match act {
        Act::Turn { .. } | Act::Press { .. } => Vec::new(),
        Act::Jump { a, b, .. } => [a, b].into_iter().filter_map(|point| place_of(circuit, point)).collect(),
        Act::Lift(end) => place_of(circuit, &Point::LooseEnd(end.clone())).into_iter().collect(),
        Act::Unplug { part } => circuit.part_named(part).map(Place::Part).into_iter().collect(),
    }
}

fn place_of(circuit: &Circuit, point: &Point) -> Option<Place> {
    let terminal = match point {
        Point::Terminal(words) => words,
        Point::LooseEnd(end) => &end.terminal,
    };
    circuit.terminal_named(terminal).map(|id| Place::Part(circuit.terminal(id).part))
}

/// The word an instrument is had or not had by.
pub fn instrument_word(reading: &Reading) -> &'static str {
    match reading {
        Reading::Across { instrument, .. } => instrument.word(),
        Reading::Amps(_) => "amps",
        Reading::Clamp(_) => "clamp",
        Reading::Gauge(_) => "gauge",
        Reading::Fan => "fan",
    }
}

/// Whether a reading is a lamp's.
pub fn is_lamp(reading: &Reading) -> bool {
    matches!(reading, Reading::Across { instrument: Instrument::TestLamp, .. })
}
