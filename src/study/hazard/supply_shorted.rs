//! Hazard: supply joined to ground with nothing between to limit the current.
//!
//! Raised where, with every fuse taken as whole, a way of wires, contacts, fuses and leads alone leads from the
//! battery's `+` to its `-`, in the present state or in one in which a fuse opened. The current given is what would
//! flow before any fuse opens.

use crate::circuit::Kind;
use crate::physics::electric::Element;
use crate::study::answer::{Hazard, HazardKind, Level, Subject};
use crate::study::paths::{Solved, stations};
use crate::study::wording;

use super::{Joins, Moment, Scene, is_fuse};
use crate::words::{Words, say};

pub(super) fn find(scene: &Scene<'_>) -> Vec<Hazard> {
    let mut hazards: Vec<Hazard> = Vec::new();
    for Moment { solved, .. } in &scene.moments {
        let (Some(plus), Some(minus)) = (solved.assembly.supply, solved.assembly.network.reference) else { continue };
        let Some(way) = Joins::of(scene.circuit, solved, |_| false).way(plus, minus) else { continue };
        let hazard = describe(scene, solved, &way);
        if !hazards.iter().any(|known| known.at == hazard.at) {
            hazards.push(hazard);
        }
    }
    hazards
}

fn describe(scene: &Scene<'_>, solved: &Solved, way: &[Element]) -> Hazard {
    let circuit = scene.circuit;
    let places = stations(circuit, way);
    // A lead or a fault is the cause where there is one on the way; else the way's last part but the ground.
    let lead = places.iter().find(|s| matches!(s, Subject::Lead(_)));
    let fault = way.iter().find_map(|e| match e {
        Element::Tie(place) => scene.bench.fault_of_tie(*place),
        _ => None,
    });
    let part =
        places.iter().rfind(|s| matches!(s, Subject::Part(id) if !matches!(circuit.part(*id).kind, Kind::Ground(_))));
    let at = match (lead, fault, part) {
        (Some(lead), _, _) => scene.name_of(*lead),
        (None, Some(fault), _) => fault.to_string(),
        (None, None, Some(part)) => scene.name_of(*part),
        (None, None, None) => "G1".to_owned(),
    };
    let amps = battery_amps(scene, solved);
    let named = |wires: bool| {
        let shown = places.iter().filter(move |s| matches!(s, Subject::Wire(_)) == wires);
        shown.map(|s| scene.told_of(*s)).collect::<Vec<Words>>()
    };
    // Wires go without saying, unless there is nothing else on the way.
    let names = Some(named(false)).filter(|names| !names.is_empty()).unwrap_or_else(|| named(true));
    let fuses: Vec<String> =
        way.iter().filter_map(|e| is_fuse(circuit, *e)).map(|id| circuit.part(id).tag.clone()).collect();
    let lead_fused = scene.inputs.leads.iter().any(|l| way.contains(&Element::Lead(l.number)) && l.fuse_amps.is_some());
    let end = match (fuses.is_empty(), lead_fused) {
        (_, true) => say!("hazard-the-leads-own-fuse-opens"),
        (false, false) => {
            say!("hazard-opens-until-then-wires-and", fuses = wording::list(&fuses), count = fuses.len())
        }
        (true, false) => {
            say!("hazard-no-fuse-is-in-the")
        }
    };
    Hazard {
        kind: HazardKind::SupplyShorted,
        level: Level::Danger,
        at,
        text: say!(
            "hazard-supply-meets-ground-with-nothing",
            names = wording::list(&names),
            amps = wording::amps(amps),
            end
        ),
        subjects: places,
    }
}

/// What all batteries together deliver, in amps.
fn battery_amps(scene: &Scene<'_>, solved: &Solved) -> f64 {
    let amps = &solved.decided.solution.amps;
    let from_battery = |element: &Element| matches!(element, Element::Through(id) if matches!(scene.circuit.part(*id).kind, Kind::Battery(_)));
    solved.assembly.elements.iter().zip(amps).filter(|(e, _)| from_battery(e)).map(|(_, a)| a.max(0.0)).sum()
}
