//! A circuit's style in the four things that are called "normally", each said apart, and what two losses do.
//!
//! One word serves the trade for contacts, circuits and valves in opposite senses, which is where most mistakes
//! come from (common practice, no source); a clutch is told by what engages it. What the circuit and the valve do is
//! settled on a bench, never read off the kind of circuit.

use std::collections::BTreeSet;

use crate::bench::{Act, Action, Bench, Setting};
use crate::circuit::quantity::Level;

use crate::circuit::{Contact, Engages, Kind};
use crate::study::answer::Standing;
use crate::study::prove::Proof;
use crate::study::wording;

use super::acts::{self, standing};
use crate::words::{Words, say};

/// One thing said of a circuit's style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trait {
    /// Of what.
    pub of: Words,
    /// In a few words.
    pub says: Words,
    /// More exactly.
    pub detail: Words,
}

/// The four, then what is lost with key and air.
pub(super) fn of(bench: &Bench, proof: &Proof) -> Vec<Trait> {
    let mut traits = vec![contacts(bench)];
    traits.extend(circuit(bench, proof));
    traits.extend(valve(bench));
    traits.push(clutch(bench));
    for (of, setting) in
        [(say!("style-key-off"), Setting::Key(false)), (say!("style-no-air"), Setting::Air(Level::Psi(0.0)))]
    {
        traits.extend(without(bench, proof, of, setting));
    }
    traits
}

/// What the fan does without something, cold and with a sensor acted.
fn without(bench: &Bench, proof: &Proof, of: Words, setting: Setting) -> Option<Trait> {
    let after = |bench: &Bench| {
        let mut bench = bench.clone();
        bench.apply(Action::Set(setting)).ok().map(|()| fan(&bench))
    };
    let cold = after(bench)?;
    let hot = acts::acted(bench, proof).and_then(|hot| after(&hot)).unwrap_or_else(|| cold.clone());
    let detail = if hot == cold { say!("style-hot-or-cold") } else { say!("style-when-cold-hot", hot) };
    Some(Trait { of, says: cold, detail })
}

fn fan(bench: &Bench) -> Words {
    match standing(bench) {
        Standing::Engaged => say!("style-fan-engaged"),
        Standing::Released => say!("style-fan-released"),
        Standing::Slipping => say!("style-clutch-slips"),
        Standing::Unsettled => say!("style-never-at-rest"),
        Standing::None => say!("style-no-clutch"),
    }
}

fn contacts(bench: &Bench) -> Trait {
    let circuit = bench.circuit();
    let (mut closed, mut open, mut points) = (Vec::new(), Vec::new(), Vec::new());
    for part in circuit.parts() {
        let Some(sensor) = part.kind.sensor() else { continue };
        match sensor.rest {
            Contact::Closed => closed.push(part.tag.clone()),
            Contact::Open => open.push(part.tag.clone()),
        }
        let senses = wording::quantity_name(sensor.senses);
        points.push(say!("style-point", tag = part.tag, senses, acts_at = sensor.acts_at));
    }
    let says: Vec<Words> = [
        (closed, [say!("style-closed"), say!("style-closed-several")]),
        (open, [say!("style-open"), say!("style-open-several")]),
    ]
    .into_iter()
    .filter(|(tags, _)| !tags.is_empty())
    .map(|(tags, [one, several])| {
        let rest = if tags.len() == 1 { one } else { several };
        say!("style-at-rest", tags = wording::list(&tags), rest)
    })
    .collect();
    let module = circuit.parts().iter().find(|part| matches!(part.kind, Kind::Module(_)));
    let says = match (says.is_empty(), module) {
        (false, _) => Words::joined(says, "; "),
        (true, Some(module)) => say!("style-decides-by-itself", tag = module.tag),
        (true, None) => say!("style-none"),
    };
    Trait { of: say!("style-sensor-contacts"), says, detail: Words::joined(points, ", ") }
}

/// Whether the coil is live while nothing asks for the fan. An engine module may ask as long as the engine stands, so
/// where it does the engine is made to run.
fn circuit(bench: &Bench, proof: &Proof) -> Option<Trait> {
    let (id, _) = bench.circuit().clutch_valve()?;
    let live = |bench: &Bench| bench.outcome().coils.get(&id).is_some_and(|coil| coil.energised);
    let running = acts::running(bench).filter(|_| standing(bench) == Standing::Engaged);
    let (quiet, when) = match running {
        Some(running) if standing(&running) == Standing::Released => (running, say!("style-when-cold-engine-running")),
        Some(_) | None => (bench.clone(), say!("style-when-cold")),
    };
    let cold = live(&quiet);
    let rests: BTreeSet<bool> = bench
        .circuit()
        .parts()
        .iter()
        .filter_map(|part| part.kind.sensor().map(|sensor| sensor.rest == Contact::Closed))
        .collect();
    let called = match (rests.contains(&!cold), cold) {
        (true, _) => say!("style-a-mixed-circuit-a-relay"),
        (false, true) => say!("style-a-circuit-normally-closed"),
        (false, false) => say!("style-a-circuit-normally-open"),
    };
    let acted = acts::acted(&quiet, proof).filter(|hot| live(hot) != cold).and(proof.release_from.as_ref());
    let detail = match acted {
        Some(tag) => {
            say!("style-when-acts", state = if cold { say!("style-dead") } else { say!("style-live") }, tag, called)
        }
        None => called,
    };
    Some(Trait {
        of: say!("style-circuit"),
        says: say!("style-coil", state = if cold { say!("style-live") } else { say!("style-dead") }, when),
        detail,
    })
}

fn valve(bench: &Bench) -> Option<Trait> {
    let (id, _) = bench.circuit().clutch_valve()?;
    let tag = bench.circuit().part(id).tag.clone();
    let mut dead = bench.clone();
    // The truck may have its plug off already.
    let _ = dead.apply(Action::Do(Act::Unplug { part: tag.clone() }));
    let passing = dead.outcome().valves.iter().find(|valve| valve.part == id)?.passing;
    let (says, detail) = if passing {
        (say!("style-passes-air-with-its-coil", tag), say!("style-plumbed-normally-open"))
    } else {
        (say!("style-blocks-air-with-its-coil", tag), say!("style-plumbed-normally-closed-clutch-vente"))
    };
    Some(Trait { of: say!("style-valve-as-plumbed"), says, detail })
}

fn clutch(bench: &Bench) -> Trait {
    let (says, detail) = match bench.circuit().engages() {
        Engages::WithAir => (say!("style-air-engages-it"), say!("style-a-spring-releases-it")),
        Engages::WithoutAir => (say!("style-a-spring-engages-it"), say!("style-air-releases-it")),
    };
    Trait { of: say!("style-clutch"), says, detail }
}
