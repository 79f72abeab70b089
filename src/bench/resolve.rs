//! From the names a person uses to the numbers of the physics: acts in effect become switch positions, leads, lifted
//! ends and unplugged parts of one [`Inputs`].
//!
//! Every refusal of an act that this circuit cannot have is worded here. The outcome of an act is not judged: a
//! lead that shorts the battery is put on like any other.

use crate::circuit::{Circuit, End, Kind, PartId, WireEnd, WireId};
use crate::physics::inputs::{Conditions, Inputs, Lead, Touch};

use super::action::{Act, EndName, LeadFuse, Point, Setting};
use super::fault::Fault;
use super::plant::altered;
use super::refusal::Refusal;
use crate::words::{Words, say};

/// Ohms of a test lead with its clips (file contract).
pub const LEAD_OHMS: f64 = 0.02;

/// An act in effect, with the number that its lead keeps as long as it is on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    pub(super) act: Act,
    pub(super) number: u32,
}

/// Changes one condition.
pub fn set(conditions: &mut Conditions, setting: Setting) {
    match setting {
        Setting::Key(on) => conditions.key_on = on,
        Setting::Engine(rpm) => conditions.engine_rpm = rpm,
        Setting::Coolant(level) => conditions.coolant_c = level.value(),
        Setting::Intake(level) => conditions.intake_c = level.value(),
        Setting::Oil(level) => conditions.oil_c = level.value(),
        Setting::Refrigerant(level) => conditions.refrigerant_kpa = level.value(),
        Setting::Air(level) => conditions.air_kpa = level.value(),
        Setting::Ambient(level) => conditions.ambient_c = level.value(),
        Setting::Bolts(fitted) => conditions.bolted = fitted,
    }
}

/// Everything imposed at once, in the order it was done.
pub(super) fn inputs(
    circuit: &Circuit,
    conditions: Conditions,
    placed: &[Placed],
    faults: &[Fault],
) -> Result<Inputs, Refusal> {
    let altered = altered(circuit, faults)?;
    let mut inputs = Inputs { conditions, altered, ..Inputs::default() };
    for placed in placed {
        add(circuit, placed, &mut inputs)?;
    }
    Ok(inputs)
}

fn add(circuit: &Circuit, placed: &Placed, inputs: &mut Inputs) -> Result<(), Refusal> {
    match &placed.act {
        Act::Turn { switch, to } => {
            let (id, place) = position(circuit, switch, to)?;
            match place {
                Some(place) => inputs.turned.insert(id, place),
                None => inputs.turned.remove(&id),
            };
        }
        Act::Press { switch } => {
            inputs.turned.insert(momentary(circuit, switch)?, 1);
        }
        Act::Jump { a, b, fuse } => {
            let lead = lead(circuit, inputs, placed, (a, b), *fuse)?;
            inputs.leads.push(lead);
        }
        Act::Lift(name) => {
            let end = wire_end(circuit, name)?;
            if !inputs.lifted.insert(end) {
                return Err(Refusal::new(say!("resolve-is-lifted-already", name), say!("resolve-put-it-back-or-lift")));
            }
        }
        Act::Unplug { part } => {
            let id = circuit.part_named(part).ok_or_else(|| Refusal::no_part(circuit, part))?;
            if matches!(circuit.part(id).kind, Kind::Splice(_)) {
                return Err(Refusal::new(say!("resolve-is-a-splice", part), say!("resolve-lift-a-wire-at-its-other")));
            }
            if !inputs.unplugged.insert(id) {
                return Err(Refusal::new(
                    say!("resolve-is-unplugged-already", part),
                    say!("resolve-put-it-back-first"),
                ));
            }
        }
    }
    Ok(())
}

/// Where a switch is to go: its place, or none for rest.
fn position(circuit: &Circuit, switch: &str, to: &str) -> Result<(PartId, Option<usize>), Refusal> {
    let id = circuit.part_named(switch).ok_or_else(|| Refusal::no_part(circuit, switch))?;
    match &circuit.part(id).kind {
        Kind::HandSwitch(hand) if hand.momentary => {
            Err(Refusal::new(say!("resolve-springs-back", switch), say!("resolve-write-press", switch)))
        }
        Kind::HandSwitch(_) => match to {
            "on" => Ok((id, Some(1))),
            "off" => Ok((id, None)),
            _ => Err(Refusal::new(
                say!("resolve-has-no-position", switch, to),
                say!("resolve-write-turn-on-to-move", switch),
            )),
        },
        Kind::SelectorSwitch(selector) => match selector.position(to) {
            Some(place) => Ok((id, (place != selector.rest_position()).then_some(place))),
            None => Err(Refusal::new(
                say!("resolve-has-no-position", switch, to),
                say!("resolve-its-positions-are", positions = selector.positions.join(", ")),
            )),
        },
        Kind::KeySwitch(_) => {
            Err(Refusal::new(say!("resolve-is-the-key-switch", switch), say!("resolve-set-the-condition-key")))
        }
        _ => Err(Refusal::new(
            say!("resolve-is-not-a-switch-that-a-hand", switch),
            switches(circuit, |k| {
                matches!(k, Kind::SelectorSwitch(_)) || matches!(k, Kind::HandSwitch(h) if !h.momentary)
            }),
        )),
    }
}

fn momentary(circuit: &Circuit, switch: &str) -> Result<PartId, Refusal> {
    let id = circuit.part_named(switch).ok_or_else(|| Refusal::no_part(circuit, switch))?;
    match &circuit.part(id).kind {
        Kind::HandSwitch(hand) if hand.momentary => Ok(id),
        Kind::HandSwitch(_) => Err(Refusal::new(
            say!("resolve-stays-where-it-is-put", switch),
            say!("resolve-write-turn-on-and-off", switch),
        )),
        _ => Err(Refusal::new(
            say!("resolve-is-not-a-switch-that-springs", switch),
            switches(circuit, |k| matches!(k, Kind::HandSwitch(h) if h.momentary)),
        )),
    }
}

fn switches(circuit: &Circuit, fits: impl Fn(&Kind) -> bool) -> Words {
    let tags: Vec<&str> = circuit.parts().iter().filter(|p| fits(&p.kind)).map(|p| p.tag.as_str()).take(12).collect();
    if tags.is_empty() {
        say!("resolve-this-circuit-has-none")
    } else {
        say!("resolve-this-circuit-has", tags = tags.join(", "))
    }
}

/// The wire end of this name.
pub(super) fn wire_end(circuit: &Circuit, name: &EndName) -> Result<WireEnd, Refusal> {
    let wire = circuit.wire_named(&name.wire).ok_or_else(|| Refusal::no_wire(circuit, &name.wire))?;
    let terminal = circuit.terminal_named(&name.terminal);
    let terminal = terminal.ok_or_else(|| Refusal::no_terminal(circuit, &name.terminal))?;
    let ends = End::BOTH.map(|end| WireEnd { wire, end });
    ends.into_iter().find(|end| circuit.terminal_of_end(*end) == terminal).ok_or_else(|| {
        Refusal::new(
            say!("resolve-wire-is-not-on", wire = name.wire, terminal = name.terminal),
            say!("resolve-its-ends-are", first = circuit.end_words(ends[0]), second = circuit.end_words(ends[1])),
        )
    })
}

/// What a lead put on this point touches.
fn touch(circuit: &Circuit, inputs: &Inputs, point: &Point) -> Result<Touch, Refusal> {
    match point {
        Point::Terminal(words) => {
            circuit.terminal_named(words).map(Touch::Terminal).ok_or_else(|| Refusal::no_terminal(circuit, words))
        }
        Point::LooseEnd(name) => {
            let end = wire_end(circuit, name)?;
            if inputs.lifted.contains(&end) {
                return Ok(Touch::LooseEnd(end));
            }
            Err(Refusal::new(
                say!("resolve-is-on-its-terminal", name),
                say!("resolve-lift-it-first", name, terminal = name.terminal),
            ))
        }
    }
}

/// What an instrument's two leads touch when put on these points of the circuit as `inputs` have it.
///
/// # Errors
/// Where the circuit has no such point, an end is not lifted, or both leads would be on one point.
pub fn leads_on(circuit: &Circuit, inputs: &Inputs, first: &Point, second: &Point) -> Result<[Touch; 2], Refusal> {
    let leads = [touch(circuit, inputs, first)?, touch(circuit, inputs, second)?];
    if leads[0] == leads[1] {
        return Err(Refusal::new(say!("resolve-both-leads-are-on", first), say!("resolve-put-the-two-leads")));
    }
    Ok(leads)
}

/// The wire of this tag.
///
/// # Errors
/// Where the circuit has none.
pub fn wire(circuit: &Circuit, tag: &str) -> Result<WireId, Refusal> {
    circuit.wire_named(tag).ok_or_else(|| Refusal::no_wire(circuit, tag))
}

fn lead(
    circuit: &Circuit,
    inputs: &Inputs,
    placed: &Placed,
    (a, b): (&Point, &Point),
    fuse: LeadFuse,
) -> Result<Lead, Refusal> {
    let (from, to) = (touch(circuit, inputs, a)?, touch(circuit, inputs, b)?);
    if from == to {
        return Err(Refusal::new(say!("resolve-both-ends-of-the-lead", a), say!("resolve-put-the-leads-ends")));
    }
    let twin = |l: &Lead| (l.a, l.b) == (from, to) || (l.a, l.b) == (to, from);
    if inputs.leads.iter().any(twin) {
        return Err(Refusal::new(say!("resolve-a-lead-is-on-already", a, b), say!("resolve-take-it-off-first")));
    }
    Ok(Lead { number: placed.number, a: from, b: to, ohms: LEAD_OHMS, fuse_amps: fuse.amps(), source_volts: 0.0 })
}
