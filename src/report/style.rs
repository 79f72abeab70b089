//! A circuit's style in the four things that are called "normally", each said apart, and what two losses do.
//!
//! One word serves the trade for contacts, circuits and valves in opposite senses, which is where most mistakes
//! come from (common practice, no source); a clutch is told by what engages it. What the circuit and the valve do is
//! settled on a bench, never read off the kind of circuit.

use std::collections::{BTreeMap, BTreeSet};

use crate::bench::{Act, Action, Bench, Setting};
use crate::circuit::quantity::Level;

use crate::circuit::{Contact, Engages, Kind};
use crate::study::answer::Standing;
use crate::study::prove::Proof;
use crate::study::wording;

use super::acts::{self, standing};

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
pub(super) fn of(bench: &Bench, proof: &Proof) -> Vec<Trait> {
    let mut traits = vec![contacts(bench)];
    traits.extend(circuit(bench, proof));
    traits.extend(valve(bench));
    traits.push(clutch(bench));
    for (of, setting) in [("Key off", Setting::Key(false)), ("No air", Setting::Air(Level::Psi(0.0)))] {
        traits.extend(without(bench, proof, of, setting));
    }
    traits
}

/// What the fan does without something, cold and with a sensor acted.
fn without(bench: &Bench, proof: &Proof, of: &'static str, setting: Setting) -> Option<Trait> {
    let after = |bench: &Bench| {
        let mut bench = bench.clone();
        bench.apply(Action::Set(setting)).ok().map(|()| fan(&bench))
    };
    let cold = after(bench)?;
    let hot = acts::acted(bench, proof).and_then(|hot| after(&hot)).unwrap_or(cold);
    let detail = if hot == cold { "hot or cold".to_owned() } else { format!("when cold; hot: {hot}") };
    Some(Trait { of, says: cold.to_owned(), detail })
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

/// Whether the coil is live while nothing asks for the fan. An engine module may ask as long as the engine stands, so
/// where it does the engine is made to run.
fn circuit(bench: &Bench, proof: &Proof) -> Option<Trait> {
    let (id, _) = bench.circuit().clutch_valve()?;
    let live = |bench: &Bench| bench.outcome().coils.get(&id).is_some_and(|coil| coil.energised);
    let running = acts::running(bench).filter(|_| standing(bench) == Standing::Engaged);
    let (quiet, when) = match running {
        Some(running) if standing(&running) == Standing::Released => (running, "when cold, engine running"),
        Some(_) | None => (bench.clone(), "when cold"),
    };
    let cold = live(&quiet);
    let rests: BTreeSet<bool> = bench
        .circuit()
        .parts()
        .iter()
        .filter_map(|part| part.kind.sensor().map(|sensor| sensor.rest == Contact::Closed))
        .collect();
    let called = match (rests.contains(&!cold), cold) {
        (true, _) => "a mixed circuit: a relay or module turns the sense over",
        (false, true) => "a circuit “normally closed”",
        (false, false) => "a circuit “normally open”",
    };
    let acted = acts::acted(&quiet, proof).filter(|hot| live(hot) != cold).and(proof.release_from.as_ref());
    let detail = match acted {
        Some(tag) => format!("{} when {tag} acts: {called}", if cold { "dead" } else { "live" }),
        None => called.to_owned(),
    };
    Some(Trait { of: "Circuit", says: format!("coil {} {when}", if cold { "live" } else { "dead" }), detail })
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
