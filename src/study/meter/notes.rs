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
    pub(super) fn of_nothing(&self, footing: Footing) -> Vec<String> {
        let said = match footing {
            Footing::Bare(place) => format!(
                "The lead at {} touches nothing: the plug is off and no wire is left in it.",
                self.held.points[place]
            ),
            Footing::Joined | Footing::Floats(_) | Footing::Apart => {
                "Both points float and nothing joins them: the display wanders, which is no voltage but hints at an \
                 open."
                    .to_owned()
            }
        };
        vec![said]
    }

    /// A voltmeter of `ohms`.
    pub(super) fn of_volts(&self, footing: Footing, loaded: &Loaded, ohms: f64) -> Vec<String> {
        let mut said = Vec::new();
        match footing {
            Footing::Floats(place) => said.push(self.floats(place)),
            Footing::Joined => said.extend(self.of_joined_volts(loaded.volts, ohms)),
            Footing::Apart | Footing::Bare(_) => {}
        }
        said.extend(moved(&self.scene, &loaded.outcome, "the meter on"));
        said
    }

    fn floats(&self, place: usize) -> String {
        let [floating, other] = [&self.held.points[place], &self.held.points[1 - place]];
        format!(
            "{floating} hangs on nothing: the meter itself pulls it to {other}. This zero is an open, not a path to \
             {other}."
        )
    }

    fn of_joined_volts(&self, volts: f64, ohms: f64) -> Option<String> {
        let high = ohms >= VOLTMETER_OHMS;
        if high && volts.abs() >= MUCH_VOLTS {
            let left = self.scene.state().loaded_still(self.held.leads, LOW_IMPEDANCE_OHMS).volts;
            if left.abs() < GHOST_SHARE * volts.abs() {
                return Some(format!(
                    "A ghost: a meter of 3 kohm leaves {} of it, a lamp stays dark. What feeds this point can carry \
                     nothing.",
                    wording::volts(left)
                ));
            }
        }
        let open = self.open_volts();
        if let Some(open) = open.filter(|open| (open - volts).abs() > (LOADS_SHARE * open.abs()).max(0.01)) {
            return Some(format!(
                "The meter itself loads this point: without it there are {} here.",
                wording::volts(open)
            ));
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
    fn unloaded(&self) -> Option<String> {
        if self.part_between().is_some() {
            return None;
        }
        Some(
            "Nothing draws on this point: full volts without load say nothing of a bad joint before it. Read again \
             with the load on."
                .to_owned(),
        )
    }

    /// Zero where nothing flows.
    fn no_current(&self) -> String {
        match self.part_between().filter(|part| self.has_contact(*part)) {
            Some(part) => format!(
                "No current flows through {}: closed and dead both read zero here. Read each side against the \
                 battery's minus.",
                self.scene.circuit.part(part).tag
            ),
            None => "No current flows here: a joint full of ohms would read zero as well. A drop means something only \
                     while the load is on."
                .to_owned(),
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
    pub(super) fn of_lamp(&self, lamp: &TestLamp, loaded: &Loaded) -> Vec<String> {
        let mut said = Vec::new();
        if let Some(module) = self.terminals().find_map(|terminal| module_at(self.scene.circuit, terminal)) {
            said.push(format!(
                "A lamp on the pins of {} can harm it: it asks {} of drivers and inputs that may not be made for it. \
                 Use a meter there.",
                self.scene.circuit.part(module).tag,
                wording::amps(lamp.rated_volts / lamp.hot_ohms()),
            ));
        }
        if lamp.glow(loaded.volts) == Glow::Dark && loaded.amps.abs() >= NOTHING_AMPS {
            said.push(format!(
                "The lamp is dark and yet {} run through it: too few to be seen.",
                wording::amps(loaded.amps)
            ));
        }
        said.extend(moved(&self.scene, &loaded.outcome, "the lamp on"));
        said
    }

    /// An ohmmeter.
    pub(super) fn of_ohms(&self, found: &OhmsFound) -> Vec<String> {
        let mut said = Vec::new();
        if found.live_volts.abs() > OHMMETER_SPOILT_VOLTS {
            said.push(live(found));
        } else {
            said.extend(self.beside(found).or_else(|| self.diode(found)).or_else(|| thin(found)));
        }
        said.extend(moved(&self.scene, &found.outcome, "the meter on"));
        said
    }

    /// Ways around the part on which the leads are.
    fn beside(&self, found: &OhmsFound) -> Option<String> {
        let part = self.part_between()?;
        let shown = found.ohms?;
        let own =
            own_amps(&found.outcome, part) + suppressor_amps(self.scene.inputs.kind(self.scene.circuit, part), found);
        let tag = &self.scene.circuit.part(part).tag;
        if own < 1e-9 {
            return Some(format!(
                "None of this is {tag}: the meter reads other ways around it. Take a wire off it to read it alone."
            ));
        }
        (own < OWN_SHARE * found.amps).then(|| {
            format!(
                "Only {:.0} % of the meter's current runs through {tag}: the rest takes other ways, so {} is not {tag} \
                 alone. Take a wire off it first.",
                100.0 * own / found.amps,
                wording::ohms(shown),
            )
        })
    }

    fn diode(&self, found: &OhmsFound) -> Option<String> {
        let part = self.part_between()?;
        let is_diode = matches!(self.scene.circuit.part(part).kind, Kind::Diode(_));
        (is_diode && found.ohms.is_none()).then(|| {
            "The ohmmeter's 0.2 V open no diode: overload both ways is what a good one reads, and a broken one."
                .to_owned()
        })
    }
}

fn live(found: &OhmsFound) -> String {
    let shown = match (found.protected, found.ohms) {
        (true, _) => "the meter protects itself and shows overload".to_owned(),
        (false, None) => "its own current is pushed back and it shows overload".to_owned(),
        (false, Some(ohms)) => {
            format!("{} is made of that and its own 0.2 V, and is no resistance", wording::ohms(ohms))
        }
    };
    format!(
        "The circuit is live: {} from elsewhere stand across the leads, so {shown}. Ohms are for dead circuits: key off, \
         plug off.",
        millivolts(found.live_volts)
    )
}

fn millivolts(volts: f64) -> String {
    if volts.abs() < 1.0 { format!("{:.1} mV", volts * 1e3) } else { wording::volts(volts) }
}

fn thin(found: &OhmsFound) -> Option<String> {
    found.ohms.filter(|ohms| *ohms < CONTINUITY_OHMS).map(|_| {
        "An ohmmeter sends one milliamp: a single strand left reads nearly as well as a whole wire. Only a load shows \
         what it can carry."
            .to_owned()
    })
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
pub(super) fn of_amps(scene: &Scene<'_>, wire: WireId, found: &AmpsFound) -> Vec<String> {
    let mut said = Vec::new();
    let tag = &scene.circuit.wire(wire).tag;
    if let Some(carried) = found.fuse_opened_amps {
        said.push(format!(
            "The meter's own {AMMETER_FUSE_AMPS} A fuse opens at {}: this zero is the meter's. A blown fuse in a meter \
             reads zero on every wire.",
            wording::amps(carried)
        ));
    }
    let off = scene.inputs.lifted.iter().find(|end| end.wire == wire);
    if let Some(end) = off {
        said.push(format!("{tag} is off at {}, so nothing can run in it.", scene.circuit.end_words(*end)));
    }
    let opening = moved(scene, &found.open, "the wire open");
    let before = scene.outcome.amps_in(wire);
    if !opening.is_empty() && standing_and_coils(scene.outcome) != standing_and_coils(&found.outcome) {
        said.push(format!(
            "Opening {tag} for the meter changes the circuit, and closing it again does not bring it back: before, \
             {} ran here.",
            wording::amps(before)
        ));
        said.extend(opening);
        return said;
    }
    if off.is_none() && found.fuse_opened_amps.is_none() && differs(before, found.amps) {
        said.push(format!(
            "The meter's {AMMETER_OHMS} ohm are in the way: without it {} run here.",
            wording::amps(before)
        ));
    }
    if standing(&found.open) != standing(scene.outcome) {
        said.push(format!(
            "While {tag} is open for the meter the clutch is {}: hands away from the fan.",
            standing(&found.open).word()
        ));
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
pub(super) fn of_clamp(scene: &Scene<'_>, amps: f64) -> Vec<String> {
    let mut said = Vec::new();
    if amps.abs() < SMALL_AMPS {
        said.push(format!(
            "A small clamp for direct current drifts by {CLAMP_DRIFT_AMPS} A or so: zero it first, and for currents like \
             this lay ten turns through it or put a meter in line."
        ));
    }
    said.extend(restless(scene.outcome));
    said
}

/// What an instrument did to the circuit while it was on.
fn moved(scene: &Scene<'_>, now: &Outcome, what: &str) -> Vec<String> {
    let mut said = Vec::new();
    for (id, part) in scene.circuit.parts_with_ids() {
        let (before, after) = (scene.outcome.memory.of(id), now.memory.of(id));
        let (on, off) = match &part.kind {
            Kind::Module(_) | Kind::Timer(_) => ("switches on", "switches off"),
            _ => ("pulls in", "lets go"),
        };
        match (before.on, after.on) {
            (false, true) => said.push(format!("With {what}, {} {on}.", part.tag)),
            (true, false) => said.push(format!("With {what}, {} {off}.", part.tag)),
            (true, true) | (false, false) => {}
        }
    }
    for opened in &now.opened {
        match opened.at {
            FuseAt::Part(id) => said.push(format!("With {what}, {} opens.", scene.circuit.part(id).tag)),
            FuseAt::Lead(number) if number != INSTRUMENT => {
                said.push(format!("With {what}, the fuse in a test lead opens."));
            }
            FuseAt::Lead(_) => {}
        }
    }
    let (before, after) = (standing(scene.outcome), standing(now));
    if before != after {
        said.push(format!("The clutch is then {}, not {}: hands away from the fan.", after.word(), before.word()));
    }
    said.extend(restless(now));
    said
}

fn restless(outcome: &Outcome) -> Option<String> {
    (!outcome.settled())
        .then(|| "The circuit does not come to rest: this is one of several readings in turn.".to_owned())
}
