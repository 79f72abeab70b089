//! A truck of the catalogue: one of its circuits with what is wrong with it, and what can be read off it.
//!
//! Tanks hold 120 psi; the engine is off; everything is cold. All is said in the words of the command line.

use std::sync::Arc;

use fanloom::bench::{Bench, Reading, Start};
use fanloom::circuit::Circuit;
use fanloom::physics::meter::Glow;
use fanloom::study::answer::Standing;
use fanloom::study::meter::{Value, read};

use super::support::clock::Clock;
use super::support::{Stand, circuit, near, text_of};

pub(super) use Standing::{Engaged, Released, Slipping};

/// Contacts open at rest, side by side; coil live when hot; valve blocking at rest.
pub(super) const OPEN: &str = "open-at-rest";
/// Contacts closed at rest, one after the other; coil live when cold; valve passing at rest.
pub(super) const CLOSED: &str = "closed-at-rest";
/// As [`CLOSED`], with a valve blocking at rest and a clutch that a spring applies.
pub(super) const SPRING: &str = "spring-applied";

/// The coolant past its set point.
pub(super) const HOT: &str = "coolant=215F";
/// The refrigerant past its set point.
pub(super) const REQUEST: &str = "refrigerant=320psi";
/// Coils as hot as they get beside an engine.
pub(super) const COILS_HOT: &str = "ambient=120C";

/// The text of one of the catalogue's circuits.
pub(super) fn text(name: &str) -> String {
    text_of(&format!("tests/catalogue/{name}.ron"))
}

/// One of the catalogue's circuits with more parts and wires in it, a wire written `W1 G1.+ F1.1`; in `changed` pairs
/// of words to change first.
#[track_caller]
pub(super) fn with(name: &str, changed: &[(&str, &str)], parts: &[(&str, &str)], wires: &[&str]) -> Arc<Circuit> {
    let mut text = text(name);
    for (from, to) in changed {
        assert!(text.contains(from), "`{from}` is in {name}");
        text = text.replacen(from, to, 1);
    }
    let parts: String = parts.iter().map(|(tag, kind)| format!("        \"{tag}\": {kind},\n")).collect();
    let wires: String = wires
        .iter()
        .map(|wire| {
            let words: Vec<&str> = wire.split_whitespace().collect();
            let [tag, from, to] = words[..] else { panic!("`{wire}` is not a tag and two terminals") };
            format!("        \"{tag}\": Wire(from: \"{from}\", to: \"{to}\"),\n")
        })
        .collect();
    text = text.replacen("    },\n    wires: {\n", &format!("{parts}    }},\n    wires: {{\n"), 1);
    text = text.replacen("    },\n    air:", &format!("{wires}    }},\n    air:"), 1);
    circuit(&text)
}

fn steps(words: &str) -> impl Iterator<Item = &str> {
    words.split(';').map(str::trim).filter(|step| !step.is_empty())
}

/// A truck on which one thing after another is done and read.
pub(super) struct Truck {
    pub(super) stand: Stand,
}

impl Truck {
    /// One of the catalogue's, faulty from the beginning: faults and settings with `;` between them.
    #[track_caller]
    pub(super) fn of(name: &str, from_the_start: &str) -> Self {
        Self::on(&circuit(&text(name)), from_the_start)
    }

    /// One with this circuit.
    #[track_caller]
    pub(super) fn on(circuit: &Arc<Circuit>, from_the_start: &str) -> Self {
        let mut start = Start { settings: vec!["air=120psi".parse().expect("a setting")], faults: Vec::new() };
        for step in steps(from_the_start) {
            match step.split_once(':') {
                Some(_) => start.faults.push(step.parse().unwrap_or_else(|e| panic!("`{step}`: {e}"))),
                None => start.settings.push(step.parse().unwrap_or_else(|e| panic!("`{step}`: {e}"))),
            }
        }
        // Of a setting said twice the bench takes the second as a change; here the truck begins with it.
        start.settings.reverse();
        let mut seen = Vec::new();
        start.settings.retain(|setting| {
            !seen.contains(&setting.name()) && {
                seen.push(setting.name());
                true
            }
        });
        let bench = Bench::started(Arc::clone(circuit), start).unwrap_or_else(|e| panic!("{from_the_start}: {e}"));
        Self { stand: Stand { bench } }
    }

    /// Then does all this, with `;` between.
    #[track_caller]
    pub(super) fn then(mut self, words: &str) -> Self {
        self.stand.all(words);
        self
    }

    /// What an instrument shows.
    #[track_caller]
    pub(super) fn shows(&self, reading: &str) -> Value {
        let parsed: Reading = reading.parse().unwrap_or_else(|e| panic!("{e}"));
        read(&self.stand.bench, &parsed).unwrap_or_else(|e| panic!("{reading}: {e}")).value
    }

    /// Volts from the first lead to the second, with the usual meter.
    #[track_caller]
    pub(super) fn volts(&self, leads: &str) -> f64 {
        match self.shows(&format!("volts:{leads}")) {
            Value::Volts(Some(volts)) => volts,
            other => panic!("volts:{leads} shows {other:?}"),
        }
    }

    /// The same with the meter that loads.
    #[track_caller]
    pub(super) fn loaded_volts(&self, leads: &str) -> f64 {
        match self.shows(&format!("lowz:{leads}")) {
            Value::Volts(Some(volts)) => volts,
            other => panic!("lowz:{leads} shows {other:?}"),
        }
    }

    /// Volts against battery `-`.
    #[track_caller]
    pub(super) fn at(&self, terminal: &str) -> f64 {
        self.volts(&format!("{terminal},G1.-"))
    }

    /// Volts across the valve's coil, plug on.
    #[track_caller]
    pub(super) fn coil(&self) -> f64 {
        self.volts("Y1.1,Y1.2")
    }

    /// Ohms, none on overload.
    #[track_caller]
    pub(super) fn ohms(&self, leads: &str) -> Option<f64> {
        match self.shows(&format!("ohms:{leads}")) {
            Value::Ohms(ohms) => ohms,
            other => panic!("ohms:{leads} shows {other:?}"),
        }
    }

    /// How the test lamp burns.
    #[track_caller]
    pub(super) fn lamp(&self, leads: &str) -> Glow {
        match self.shows(&format!("lamp:{leads}")) {
            Value::Lamp(glow) => glow,
            other => panic!("lamp:{leads} shows {other:?}"),
        }
    }

    /// Amps in a wire, either way.
    #[track_caller]
    pub(super) fn amps(&self, wire: &str) -> f64 {
        match self.shows(&format!("clamp:{wire}")) {
            Value::Amps(amps) => amps.abs(),
            other => panic!("clamp:{wire} shows {other:?}"),
        }
    }

    /// The two gauges in psi, rounded: at the valve's supply, in the clutch hose.
    pub(super) fn gauges(&self) -> [f64; 2] {
        ["gauge:supply", "gauge:clutch"].map(|gauge| match self.shows(gauge) {
            Value::Psi(Some(psi)) => psi.round(),
            other => panic!("{gauge} shows {other:?}"),
        })
    }

    /// What the fan does.
    pub(super) fn fan(&self) -> Standing {
        match self.shows("fan") {
            Value::Fan(standing) => standing,
            other => panic!("the fan shows {other:?}"),
        }
    }

    /// Whether this fuse is found blown, or has blown.
    #[track_caller]
    pub(super) fn blown(&self, fuse: &str) -> bool {
        let bench = &self.stand.bench;
        bench.outcome().memory.fuse_blown(bench.inputs(), self.stand.id(fuse))
    }

    /// Whether a hazard of this kind is raised.
    pub(super) fn has_hazard(&self, kind: &str) -> bool {
        fanloom::study::verdict(&self.stand.bench).hazards.iter().any(|hazard| hazard.kind.word() == kind)
    }
}

/// What the fan does on a truck with these faults, cold and then hot.
#[track_caller]
pub(super) fn cold_and_hot(name: &str, faults: &str) -> [Standing; 2] {
    [Truck::of(name, faults).fan(), Truck::of(name, &format!("{faults}; {HOT}")).fan()]
}

/// The fan never comes, and the hose stays empty.
#[track_caller]
pub(super) fn never(name: &str, faults: &str) {
    assert_eq!(cold_and_hot(name, faults), [Released, Released], "{faults} in {name}");
    assert_eq!(
        Truck::of(name, &format!("{faults}; {HOT}; {REQUEST}")).fan(),
        Released,
        "{faults} in {name}, asked twice"
    );
}

/// The fan never goes, with the key on.
#[track_caller]
pub(super) fn always(name: &str, faults: &str) {
    assert_eq!(cold_and_hot(name, faults), [Engaged, Engaged], "{faults} in {name}");
}

/// The fan does what it should: free cold, driven hot.
#[track_caller]
pub(super) fn as_built(name: &str, faults: &str) {
    assert_eq!(cold_and_hot(name, faults), [Released, Engaged], "{faults} in {name}");
}

/// The fan does the opposite of what it should.
#[track_caller]
pub(super) fn upside_down(name: &str, faults: &str) {
    assert_eq!(cold_and_hot(name, faults), [Engaged, Released], "{faults} in {name}");
}

/// A number within what a meter's last shown digit and a wire's drop leave open.
#[track_caller]
pub(super) fn about(got: f64, wanted: f64) {
    near(got, wanted, 0.06);
}

/// One of the catalogue's circuits with its clock running.
#[track_caller]
pub(super) fn clocked(name: &str, from_the_start: &str) -> Clock {
    let (faults, mut settings): (Vec<&str>, Vec<&str>) = steps(from_the_start).partition(|step| step.contains(':'));
    if !settings.iter().any(|setting| setting.starts_with("air=")) {
        settings.push("air=120psi");
    }
    Clock::on(&circuit(&text(name)), &settings, &faults)
}
