//! A circuit's style in the four things that are called "normally", each said apart, and what two losses do.
//!
//! One word serves the trade for contacts, circuits and valves in opposite senses, which is where most mistakes
//! come from (common practice, no source); a clutch is told by what engages it. What the circuit and the valve do is
//! settled on a bench, never read off the kind of circuit.

use std::collections::BTreeMap;

use crate::bench::{Act, Action, Bench, Setting};
use crate::circuit::quantity::Level;

use crate::circuit::{Contact, Engages, Kind};
use crate::study::answer::Standing;
use crate::study::prove::made_to_act;
use crate::study::wording;

use super::acts::standing;

/// One thing said of a circuit's style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trait {
    /// Of what.
    pub of: &'static str,
    /// In a few words.
    pub says: String,
    /// More exactly.
    pub detail: String,
}

/// The four, then what is lost with key and air.
pub(super) fn of(bench: &Bench) -> Vec<Trait> {
    let mut traits = vec![contacts(bench)];
    traits.extend(circuit(bench));
    traits.extend(valve(bench));
    traits.push(clutch(bench));
    let mut off = bench.clone();
    if off.apply(Action::Set(Setting::Key(false))).is_ok() {
        traits.push(Trait { of: "Key off", says: fan(&off).to_owned(), detail: String::new() });
    }
    let mut empty = bench.clone();
    if empty.apply(Action::Set(Setting::Air(Level::Psi(0.0)))).is_ok() {
        traits.push(Trait { of: "No air", says: fan(&empty).to_owned(), detail: String::new() });
    }
    traits
}

fn fan(bench: &Bench) -> &'static str {
    match standing(bench) {
        Standing::Engaged => "fan engaged",
        Standing::Released => "fan released",
        Standing::Slipping => "clutch slips",
        Standing::Unsettled => "never at rest",
        Standing::None => "no clutch",
    }
}

fn contacts(bench: &Bench) -> Trait {
    let circuit = bench.circuit();
    let mut by_rest: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
    let mut points = Vec::new();
    for part in circuit.parts() {
        let Some(sensor) = part.kind.sensor() else { continue };
        let rest = match sensor.rest {
            Contact::Open => "open",
            Contact::Closed => "closed",
        };
        by_rest.entry(rest).or_default().push(part.tag.clone());
        points.push(format!("{} {} {}", part.tag, wording::quantity_name(sensor.senses), sensor.acts_at));
    }
    let says: Vec<String> =
        by_rest.iter().map(|(rest, tags)| format!("{} {rest} at rest", wording::list(tags))).collect();
    let module = circuit.parts().iter().find(|part| matches!(part.kind, Kind::Module(_)));
    let says = match (says.is_empty(), module) {
        (false, _) => says.join("; "),
        (true, Some(module)) => format!("{} decides by itself", module.tag),
        (true, None) => "none".to_owned(),
    };
    Trait { of: "Sensor contacts", says, detail: points.join(", ") }
}

fn circuit(bench: &Bench) -> Option<Trait> {
    let (id, _) = bench.circuit().clutch_valve()?;
    let live = |bench: &Bench| bench.outcome().coils.get(&id).is_some_and(|coil| coil.energised);
    let cold = live(bench);
    let mut detail = if cold { "a circuit “normally closed”" } else { "a circuit “normally open”" }.to_owned();
    if let Some((tag, hot)) = made_to_act(bench)
        && live(&hot) != cold
    {
        detail = format!("{} when {tag} acts: {detail}", if cold { "dead" } else { "live" });
    }
    Some(Trait { of: "Circuit", says: format!("coil {} when cold", if cold { "live" } else { "dead" }), detail })
}

fn valve(bench: &Bench) -> Option<Trait> {
    let (id, _) = bench.circuit().clutch_valve()?;
    let tag = bench.circuit().part(id).tag.clone();
    let mut dead = bench.clone();
    // The truck may have its plug off already.
    let _ = dead.apply(Action::Do(Act::Unplug { part: tag.clone() }));
    let passing = dead.outcome().valves.iter().find(|valve| valve.part == id)?.passing;
    let (says, detail) = if passing {
        (format!("{tag} passes air with its coil dead"), "plumbed “normally open”")
    } else {
        (format!("{tag} blocks air with its coil dead"), "plumbed “normally closed”, clutch vented")
    };
    Some(Trait { of: "Valve as plumbed", says, detail: detail.to_owned() })
}

fn clutch(bench: &Bench) -> Trait {
    let (says, detail) = match bench.circuit().engages() {
        Engages::WithAir => ("air engages it", "a spring releases it"),
        Engages::WithoutAir => ("a spring engages it", "air releases it"),
    };
    Trait { of: "Clutch", says: says.to_owned(), detail: detail.to_owned() }
}
