//! What there is to know before a reading is believed, a sentence each.
//!
//! What real instruments mislead with (common practice, no source): a floating point, a ghost, a point without load,
//! a drop without current, two readings with one value, a live circuit under an ohmmeter, a way around the part in
//! question, a lamp or an opened wire that moves a relay. Only what applies to the reading at hand is said.

use crate::circuit::part::Suppressor;
use crate::circuit::{Circuit, Kind, PartId, TerminalId, WireId};
use crate::physics::inputs::Touch;
use crate::physics::limits::{
    AMMETER_FUSE_AMPS, AMMETER_OHMS, CLAMP_DRIFT_AMPS, LOW_IMPEDANCE_OHMS, OHMMETER_SPOILT_VOLTS, VOLTMETER_OHMS,
};
use crate::physics::meter::{AmpsFound, Footing, Glow, INSTRUMENT, Loaded, OhmsFound, TestLamp};
use crate::physics::state::{FuseAt, Outcome};
use crate::study::answer::Standing;
use crate::study::explain::standing;
use crate::study::wording;

use super::{Held, Scene};
use crate::words::{Words, fixed, say};

/// Volts that still read as nothing on the range of a supply.
const NOTHING_VOLTS: f64 = 0.05;
/// Volts from which a reading looks like supply.
const MUCH_VOLTS: f64 = 1.0;
/// Amps below which a point carries nothing worth the name.
const NOTHING_AMPS: f64 = 1e-3;
/// Share of a reading that a 3 kohm meter must leave, or it was a ghost.
const GHOST_SHARE: f64 = 0.5;
/// Share by which an instrument may change what it reads before that is said.
const LOADS_SHARE: f64 = 0.02;
/// Share of an ohmmeter's current that must run through the part on which its leads are.
const OWN_SHARE: f64 = 0.98;
/// Ohms up to which a reading is taken for a whole wire.
const CONTINUITY_OHMS: f64 = 10.0;
/// Amps below which a small clamp wants several turns.
const SMALL_AMPS: f64 = 1.0;

/// One reading with two leads, to be judged.
pub(super) struct Believed<'a> {
    pub(super) scene: Scene<'a>,
    pub(super) held: &'a Held<'a>,
}

impl Believed<'_> {
    /// Where a lead touches nothing, or nothing joins the two.
    pub(super) fn of_nothing(&self, footing: Footing) -> Vec<Words> {
        let said = match footing {
            Footing::Bare(place) => say!("meter-the-lead-at-touches-nothing", place = self.held.points[place]),
            Footing::Joined | Footing::Floats(_) | Footing::Apart => {
                say!("meter-both-points-float-and-nothing").to_owned()
            }
        };
        vec![said]
    }

    /// A voltmeter of `ohms`.
    pub(super) fn of_volts(&self, footing: Footing, loaded: &Loaded, ohms: f64) -> Vec<Words> {
        let mut said = Vec::new();
        match footing {
            Footing::Floats(place) => said.push(self.floats(place)),
            Footing::Joined => said.extend(self.of_joined_volts(loaded.volts, ohms)),
            Footing::Apart | Footing::Bare(_) => {}
        }
        said.extend(moved(&self.scene, &loaded.outcome, &say!("meter-the-meter-on")));
        said
    }

    fn floats(&self, place: usize) -> Words {
        let [floating, other] = [&self.held.points[place], &self.held.points[1 - place]];
        say!("meter-hangs-on-nothing-the-meter", floating, other)
    }

    fn of_joined_volts(&self, volts: f64, ohms: f64) -> Option<Words> {
        let high = ohms >= VOLTMETER_OHMS;
        if high && volts.abs() >= MUCH_VOLTS {
            let left = self.scene.state().loaded_still(self.held.leads, LOW_IMPEDANCE_OHMS).volts;
            if left.abs() < GHOST_SHARE * volts.abs() {
                return Some(say!("meter-a-ghost-a-meter-of", left = wording::volts(left)));
            }
        }
        let open = self.open_volts();
        if let Some(open) = open.filter(|open| (open - volts).abs() > (LOADS_SHARE * open.abs()).max(0.01)) {
            return Some(say!("meter-the-meter-itself-loads-this", open = wording::volts(open)));
        }
        if !high || self.carried() >= NOTHING_AMPS {
            return None;
        }
        if volts.abs() >= MUCH_VOLTS {
            return self.unloaded();
        }
        (volts.abs() < NOTHING_VOLTS).then(|| self.no_current())
    }

    /// Full volts where nothing draws. Across a gap that is what a gap reads, and right.
    fn unloaded(&self) -> Option<Words> {
        if self.part_between().is_some() {
            return None;
        }
        Some(say!("meter-nothing-draws-on-this-point").to_owned())
    }

    /// Zero where nothing flows.
    fn no_current(&self) -> Words {
        match self.part_between().filter(|part| self.has_contact(*part)) {
            Some(part) => say!("meter-no-current-flows-through-closed", tag = self.scene.circuit.part(part).tag),
            None => say!("meter-no-current-flows-here-a").to_owned(),
        }
    }

    /// Volts between the points before the meter came.
    fn open_volts(&self) -> Option<f64> {
        let [a, b] = self.held.leads.map(|touch| self.volts_of(touch));
        Some(a? - b?)
    }

    fn volts_of(&self, touch: Touch) -> Option<f64> {
        match touch {
            Touch::Terminal(terminal) => self.scene.outcome.volts_at(terminal),
            Touch::LooseEnd(end) => self.scene.outcome.loose_volts.get(&end).copied().flatten(),
            Touch::Chassis => None,
        }
    }

    /// The most that any wire on either point carries.
    fn carried(&self) -> f64 {
        let wires = self.terminals().flat_map(|terminal| self.scene.circuit.ends_at(terminal));
        wires.map(|end| self.scene.outcome.amps_in(end.wire).abs()).fold(0.0, f64::max)
    }

    fn terminals(&self) -> impl Iterator<Item = TerminalId> {
        self.held.leads.into_iter().filter_map(|touch| match touch {
            Touch::Terminal(terminal) => Some(terminal),
            Touch::LooseEnd(_) | Touch::Chassis => None,
        })
    }

    /// The part on which both leads are, plugged in.
    fn part_between(&self) -> Option<PartId> {
        let parts: Vec<PartId> = self.terminals().map(|terminal| self.scene.circuit.terminal(terminal).part).collect();
        match parts[..] {
            [a, b] if a == b && !self.scene.inputs.unplugged.contains(&a) => Some(a),
            _ => None,
        }
    }

    fn has_contact(&self, part: PartId) -> bool {
        self.scene.outcome.contacts.iter().any(|contact| contact.part == part)
    }

    /// A test lamp.
    pub(super) fn of_lamp(&self, lamp: &TestLamp, loaded: &Loaded) -> Vec<Words> {
        let mut said = Vec::new();
        if let Some(module) = self.terminals().find_map(|terminal| module_at(self.scene.circuit, terminal)) {
            said.push(say!(
                "meter-a-lamp-on-the-pins",
                tag = self.scene.circuit.part(module).tag,
                hot_ohms = wording::amps(lamp.rated_volts / lamp.hot_ohms())
            ));
        }
        if lamp.glow(loaded.volts) == Glow::Dark && loaded.amps.abs() >= NOTHING_AMPS {
            said.push(say!("meter-the-lamp-is-dark-and", amps = wording::amps(loaded.amps)));
        }
        said.extend(moved(&self.scene, &loaded.outcome, &say!("meter-the-lamp-on")));
        said
    }

    /// An ohmmeter.
    pub(super) fn of_ohms(&self, found: &OhmsFound) -> Vec<Words> {
        let mut said = Vec::new();
        if found.live_volts.abs() > OHMMETER_SPOILT_VOLTS {
            said.push(live(found));
        } else {
            said.extend(self.beside(found).or_else(|| self.diode(found)).or_else(|| thin(found)));
        }
        said.extend(moved(&self.scene, &found.outcome, &say!("meter-the-meter-on")));
        said
    }

    /// Ways around the part on which the leads are.
    fn beside(&self, found: &OhmsFound) -> Option<Words> {
        let part = self.part_between()?;
        let shown = found.ohms?;
        let own =
            own_amps(&found.outcome, part) + suppressor_amps(self.scene.inputs.kind(self.scene.circuit, part), found);
        let tag = &self.scene.circuit.part(part).tag;
        if own < 1e-9 {
            return Some(say!("meter-none-of-this-is-the", tag));
        }
        (own < OWN_SHARE * found.amps).then(|| {
            say!(
                "meter-only-of-the-meters-current",
                amps = fixed(100.0 * own / found.amps, 0),
                tag,
                ohms = wording::ohms(shown)
            )
        })
    }

    fn diode(&self, found: &OhmsFound) -> Option<Words> {
        let part = self.part_between()?;
        let is_diode = matches!(self.scene.circuit.part(part).kind, Kind::Diode(_));
        (is_diode && found.ohms.is_none()).then(|| say!("meter-the-ohmmeters-0-2-v").to_owned())
    }
}

fn live(found: &OhmsFound) -> Words {
    let shown = match (found.protected, found.ohms) {
        (true, _) => say!("meter-the-meter-protects-itself-and"),
        (false, None) => say!("meter-its-own-current-is-pushed"),
        (false, Some(ohms)) => {
            say!("meter-is-made-of-that-and", ohms = wording::ohms(ohms))
        }
    };
    say!("meter-the-circuit-is-live-from", live_volts = millivolts(found.live_volts), shown)
}

fn millivolts(volts: f64) -> Words {
    if volts.abs() < 1.0 { say!("meter-mv", e3 = fixed(volts * 1e3, 1)) } else { wording::volts(volts) }
}

fn thin(found: &OhmsFound) -> Option<Words> {
    found.ohms.filter(|ohms| *ohms < CONTINUITY_OHMS).map(|_| say!("meter-an-ohmmeter-sends-one-milliamp").to_owned())
}

/// What of the meter's current runs through the part itself.
fn own_amps(outcome: &Outcome, part: PartId) -> f64 {
    let coil = outcome.coils.get(&part).map_or(0.0, |coil| coil.amps.abs());
    coil.max(outcome.part_amps[part.index()].abs())
}

/// What of it runs through a resistor fitted across the part's coil: that is the part's own too.
fn suppressor_amps(kind: &Kind, found: &OhmsFound) -> f64 {
    let suppressor = match kind {
        Kind::Relay(relay) => relay.suppressor.as_ref(),
        Kind::AirValve(valve) => valve.suppressor.as_ref(),
        _ => None,
    };
    match suppressor {
        Some(Suppressor::Resistor(ohms)) => found.ohms.unwrap_or(0.0) * found.amps / ohms,
        Some(Suppressor::Diode { .. }) | None => 0.0,
    }
}

/// A module whose output or input is at this terminal or one wire away.
fn module_at(circuit: &Circuit, terminal: TerminalId) -> Option<PartId> {
    let signal = |id: TerminalId| {
        let at = circuit.terminal(id);
        let is_module = matches!(circuit.part(at.part).kind, Kind::Module(_));
        (is_module && matches!(at.name.as_str(), "in" | "out")).then_some(at.part)
    };
    let beyond = circuit.ends_at(terminal).iter().map(|end| {
        let wire = circuit.wire(end.wire);
        if wire.from == terminal { wire.to } else { wire.from }
    });
    std::iter::once(terminal).chain(beyond).find_map(signal)
}

/// An ammeter put into a wire.
pub(super) fn of_amps(scene: &Scene<'_>, wire: WireId, found: &AmpsFound) -> Vec<Words> {
    let mut said = Vec::new();
    let tag = &scene.circuit.wire(wire).tag;
    if let Some(carried) = found.fuse_opened_amps {
        said.push(say!(
            "meter-the-meters-own-a-fuse",
            ammeter_fuse_amps = AMMETER_FUSE_AMPS,
            carried = wording::amps(carried)
        ));
    }
    let off = scene.inputs.lifted.iter().find(|end| end.wire == wire);
    if let Some(end) = off {
        said.push(say!("meter-is-off-at-so-nothing", tag, end = scene.circuit.end_words(*end)));
    }
    let opening = moved(scene, &found.open, &say!("meter-the-wire-open"));
    let before = scene.outcome.amps_in(wire);
    if !opening.is_empty() && standing_and_coils(scene.outcome) != standing_and_coils(&found.outcome) {
        said.push(say!("meter-opening-for-the-meter-changes", tag, before = wording::amps(before)));
        said.extend(opening);
        return said;
    }
    if off.is_none() && found.fuse_opened_amps.is_none() && differs(before, found.amps) {
        said.push(say!("meter-the-meters-ohm-are-in", ammeter_ohms = AMMETER_OHMS, before = wording::amps(before)));
    }
    if standing(&found.open) != standing(scene.outcome) {
        said.push(say!("meter-while-is-open-for-the", tag, word = standing(&found.open).said()));
    }
    said.extend(restless(&found.outcome));
    said
}

fn differs(a: f64, b: f64) -> bool {
    (a - b).abs() > LOADS_SHARE * a.abs().max(NOTHING_AMPS)
}

/// What a person would notice of a state: the clutch and which coils are in.
fn standing_and_coils(outcome: &Outcome) -> (Standing, Vec<bool>) {
    (standing(outcome), outcome.memory.parts.iter().map(|part| part.on).collect())
}

/// A clamp around a wire.
pub(super) fn of_clamp(scene: &Scene<'_>, amps: f64) -> Vec<Words> {
    let mut said = Vec::new();
    if amps.abs() < SMALL_AMPS {
        said.push(say!("meter-a-small-clamp-for-direct", clamp_drift_amps = CLAMP_DRIFT_AMPS));
    }
    said.extend(restless(scene.outcome));
    said
}

/// What an instrument did to the circuit while it was on.
fn moved(scene: &Scene<'_>, now: &Outcome, what: &Words) -> Vec<Words> {
    let mut said = Vec::new();
    for (id, part) in scene.circuit.parts_with_ids() {
        let (before, after) = (scene.outcome.memory.of(id), now.memory.of(id));
        let (on, off) = match &part.kind {
            Kind::Module(_) | Kind::Timer(_) => (say!("meter-switches-on"), say!("meter-switches-off")),
            _ => (say!("meter-pulls-in"), say!("meter-lets-go")),
        };
        match (before.on, after.on) {
            (false, true) => said.push(say!("meter-with", what, tag = part.tag, on)),
            (true, false) => said.push(say!("meter-with-2", what, tag = part.tag, off)),
            (true, true) | (false, false) => {}
        }
    }
    for opened in &now.opened {
        match opened.at {
            FuseAt::Part(id) => said.push(say!("meter-with-opens", what, tag = scene.circuit.part(id).tag)),
            FuseAt::Lead(number) if number != INSTRUMENT => {
                said.push(say!("meter-with-the-fuse-in-a", what));
            }
            FuseAt::Lead(_) => {}
        }
    }
    let (before, after) = (standing(scene.outcome), standing(now));
    if before != after {
        said.push(say!("meter-the-clutch-is-then-not", word = after.said(), word_2 = before.said()));
    }
    said.extend(restless(now));
    said
}

fn restless(outcome: &Outcome) -> Option<Words> {
    (!outcome.settled()).then(|| say!("meter-the-circuit-does-not-come"))
}
