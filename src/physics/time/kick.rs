//! How high a coil's voltage kicks when its current is broken.
//!
//! In the moment after the break a coil drives on the current it had, so the network as it is left is solved with that
//! current in the coil's place: a suppressor, a diode, a lamp or whatever else still joins the coil's ends carries it,
//! and its volts are the kick. Where nothing does, the coil's energy, half L I², charges the capacitance of its winding
//! and of the wires left hanging on it, to I times the root of L/C (any textbook on switching inductive loads); that
//! bounds every kick, and an arc in the parting gap may hold it lower. Inductance and capacitance are example values.

use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::electric::diodes::{Decided, solve};
use crate::physics::electric::{Assembly, Element};
use crate::physics::inputs::Inputs;
use crate::physics::limits::{COIL_HENRY_PER_OHM, KICK_SOURCE_OHMS, WINDING_FARADS, WIRE_FARADS_PER_METRE};
use crate::physics::state::Memory;

/// What a coil's current does when it is broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kick {
    /// Peak volts across the coil.
    pub volts: f64,
    /// The part that carries the current on; the coil itself where its own suppressor does. None where nothing does.
    pub held_by: Option<PartId>,
}

/// The kicks of coils whose currents (in amps, in the sense of their readings) have just been broken all at once, the
/// circuit being left as `inputs` and `memory` say. A coil with a broken winding does not kick.
pub fn kicks(circuit: &Circuit, inputs: &Inputs, memory: &Memory, broken: &[(PartId, f64)]) -> Vec<(PartId, Kick)> {
    let whole = Assembly::of(circuit, inputs, memory);
    let place = |coil: PartId| whole.elements.iter().position(|element| *element == Element::Coil(coil));
    let broken: Vec<(PartId, usize, f64)> =
        broken.iter().filter_map(|(coil, amps)| Some((*coil, place(*coil)?, *amps))).collect();
    let mut driven = whole.clone();
    for (_, place, amps) in &broken {
        let branch = &mut driven.network.branches[*place];
        (branch.ohms, branch.emf) = (KICK_SOURCE_OHMS, amps * KICK_SOURCE_OHMS);
    }
    let decided = solve(&driven);
    let one = |(coil, place, amps): &(PartId, usize, f64)| {
        let branch = driven.network.branches[*place];
        let path = (branch.emf - decided.solution.amps[*place] * branch.ohms).abs();
        let ohms = whole.network.branches[*place].ohms / inputs.coil_copper(*coil);
        let farads = WINDING_FARADS + WIRE_FARADS_PER_METRE * hanging_metres(circuit, &whole, *place);
        let bound = amps.abs() * (COIL_HENRY_PER_OHM * ohms / farads).sqrt();
        let is_held = path < bound;
        let held_by = is_held.then(|| carrier(circuit, &driven, &decided, *place)).flatten();
        (*coil, Kick { volts: path.min(bound), held_by })
    };
    broken.iter().map(one).collect()
}

/// Metres of wire that hang on a coil without any way to the battery but through it.
fn hanging_metres(circuit: &Circuit, whole: &Assembly, coil: usize) -> f64 {
    let mut open = whole.network.clone();
    let branch = open.branches.remove(coil);
    let Some(reference) = open.reference else { return 0.0 };
    let swings: Vec<usize> = [branch.from, branch.to].into_iter().filter(|end| !open.joined(*end, reference)).collect();
    let mut metres = 0.0;
    for (element, wire) in whole.elements.iter().zip(&whole.network.branches) {
        let Element::Wire(id) = element else { continue };
        if swings.iter().any(|end| open.joined(wire.from, *end)) {
            metres += circuit.wire(*id).length.metres();
        }
    }
    metres
}

/// The part, other than battery and wires, that carries most of the current.
fn carrier(circuit: &Circuit, driven: &Assembly, decided: &Decided, coil: usize) -> Option<PartId> {
    let amps = &decided.solution.amps;
    let plain = driven.elements.iter().enumerate().filter(|(place, _)| *place != coil).map(|(i, e)| (*e, amps[i]));
    let diodes = driven.diodes.iter().zip(&decided.branch).filter_map(|(site, at)| Some((site.element, amps[(*at)?])));
    let part = |element: Element| match element {
        Element::Suppressor(id) | Element::OwnDraw(id) | Element::Coil(id) => Some(id),
        Element::Through(id) => {
            let carries = matches!(circuit.part(id).kind, Kind::Resistor(_) | Kind::Lamp(_) | Kind::Diode(_));
            carries.then_some(id)
        }
        _ => None,
    };
    let all = plain.chain(diodes).filter_map(|(element, amps)| Some((part(element)?, amps.abs())));
    let most = all.reduce(|most, next| if next.1 > most.1 { next } else { most })?;
    (most.1 > 0.0).then_some(most.0)
}
