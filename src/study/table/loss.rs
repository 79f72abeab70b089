//! What if it is lost: every fuse blown, every wire broken, every ground off its stud, each once; then the key off,
//! the battery off and all air lost.
//!
//! Each loss is settled in every [`Trial`]: nothing asking, every request alone, all sensors at once; and compared with
//! the circuit as it stands. How fail-safe the circuit is follows from that alone. A ground is lost with every wire off
//! its stud and apart, the battery with both its clamps off, and several batteries together. Several losses at once
//! are left to others.

use rayon::prelude::*;

use crate::circuit::{Circuit, Kind, Part, PartId, WireId};
use crate::physics::inputs::Inputs;
use crate::study::answer::Standing;

use super::Table;
use super::inputs::World;
use super::trial::{Request, Trial};

/// What is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lost {
    /// A fuse blows.
    Fuse(PartId),
    /// A wire breaks.
    Wire(WireId),
    /// A ground's wires come off.
    Ground(PartId),
    /// The key is off.
    Key,
    /// The wires of every battery come off.
    Batteries,
    /// No air.
    Air,
}

impl Lost {
    /// What kind of loss, in a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fuse(_) => "fuse",
            Self::Wire(_) => "wire",
            Self::Ground(_) => "ground",
            Self::Key => "key",
            Self::Batteries => "battery",
            Self::Air => "air",
        }
    }

    fn impose(self, circuit: &Circuit, inputs: &mut Inputs) {
        match self {
            Self::Fuse(id) => {
                inputs.altered.blown.insert(id);
            }
            Self::Wire(id) => {
                inputs.altered.cut.insert(id);
            }
            // Wires that share a stud must come apart too: unplugged, they would still touch each other.
            Self::Ground(id) => {
                inputs.lifted.extend(circuit.terminals_of(id).flat_map(|t| circuit.ends_at(t)).copied());
            }
            Self::Batteries => inputs.unplugged.extend(batteries(circuit).map(|(id, _)| id)),
            Self::Key => inputs.conditions.key_on = false,
            Self::Air => inputs.conditions.air_kpa = 0.0,
        }
    }
}

/// What a loss comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effect {
    /// At least one request no longer drives the fan, or drives it less.
    NoFan,
    /// The fan is driven whatever asks.
    AlwaysOn,
    /// The fan is driven in some state in which it was not, and no request is lost.
    OnUnasked,
    /// Nothing changes.
    Unseen,
}

impl Effect {
    /// All of them, the gravest first.
    pub const ALL: [Self; 4] = [Self::NoFan, Self::AlwaysOn, Self::OnUnasked, Self::Unseen];

    /// The words in JSON and text.
    pub fn word(self) -> &'static str {
        match self {
            Self::NoFan => "no fan",
            Self::AlwaysOn => "fan always on",
            Self::OnUnasked => "fan on unasked",
            Self::Unseen => "unseen",
        }
    }
}

/// One loss with what it comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Loss {
    /// What is lost.
    pub lost: Lost,
    /// Its name: a tag, `key` or `air`; the tags of several batteries.
    pub name: String,
    /// What it comes to.
    pub effect: Effect,
    /// Requests that no longer drive the fan. All sensors at once only where each sensor alone still drives it.
    pub requests_lost: Vec<Request>,
    /// Whether every request there is, is lost.
    pub every_request: bool,
    /// Whether the clutch stands as before while nothing asks: then nobody sees the loss until the fan is wanted.
    pub hidden_at_rest: bool,
}

/// Every loss with what it comes to, in file order: fuses, wires, grounds, then the key, the battery and the air.
pub(super) fn all(world: &World<'_>, trials: &[Trial]) -> Vec<Loss> {
    if world.circuit.clutch_valve().is_none() {
        return Vec::new();
    }
    everything(world).into_par_iter().map(|(lost, name)| judge(world, trials, lost, name)).collect()
}

fn everything(world: &World<'_>) -> Vec<(Lost, String)> {
    let circuit = world.circuit;
    let parts = |fits: fn(&Kind) -> bool, lost: fn(PartId) -> Lost| {
        circuit
            .parts_with_ids()
            .filter(move |(_, part)| fits(&part.kind))
            .map(move |(id, part)| (lost(id), part.tag.clone()))
    };
    let wires = circuit.wires_with_ids().map(|(id, wire)| (Lost::Wire(id), wire.tag.clone()));
    let has_key = circuit.parts().iter().any(|part| matches!(part.kind, Kind::KeySwitch(_)));
    let tags: Vec<&str> = batteries(circuit).map(|(_, part)| part.tag.as_str()).collect();
    parts(|kind| matches!(kind, Kind::Fuse(_)), Lost::Fuse)
        .chain(wires)
        .chain(parts(|kind| matches!(kind, Kind::Ground(_)), Lost::Ground))
        .chain(has_key.then(|| (Lost::Key, "key".to_owned())))
        .chain((!tags.is_empty()).then(|| (Lost::Batteries, tags.join(", "))))
        .chain([(Lost::Air, "air".to_owned())])
        .collect()
}

fn batteries(circuit: &Circuit) -> impl Iterator<Item = (PartId, &Part)> {
    circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Battery(_)))
}

fn judge(world: &World<'_>, trials: &[Trial], lost: Lost, name: String) -> Loss {
    let after: Vec<Standing> = trials
        .iter()
        .map(|trial| world.standing_through(&trial.steps(), |inputs| lost.impose(world.circuit, inputs)))
        .collect();
    let asked: Vec<(&Trial, Standing)> =
        trials.iter().zip(after.iter().copied()).filter(|(trial, _)| drive(trial.whole) > 0).collect();
    let less = |(trial, after): &&(&Trial, Standing)| drive(*after) < drive(trial.whole);
    let gone: Vec<&Trial> = asked.iter().filter(less).map(|(trial, _)| *trial).collect();
    let changed = trials.iter().zip(&after).any(|(trial, after)| drive(trial.whole) != drive(*after));
    let effect = if !gone.is_empty() {
        Effect::NoFan
    } else if !changed {
        Effect::Unseen
    } else if after.iter().all(|standing| *standing == Standing::Engaged) {
        Effect::AlwaysOn
    } else {
        Effect::OnUnasked
    };
    Loss {
        lost,
        name,
        effect,
        requests_lost: gone
            .iter()
            .filter(|trial| gone.len() == 1 || !trial.every_sensor)
            .map(|trial| trial.request.clone())
            .collect(),
        every_request: !gone.is_empty() && gone.len() == asked.len(),
        hidden_at_rest: trials.iter().zip(&after).take(1).all(|(trial, after)| trial.whole == *after),
    }
}

/// How much of the fan is driven: not at all, slipping, wholly.
fn drive(standing: Standing) -> u8 {
    match standing {
        Standing::Engaged => 2,
        Standing::Slipping => 1,
        Standing::Released | Standing::Unsettled | Standing::None => 0,
    }
}

/// How fail-safe a circuit is, from what its losses come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FailSafe {
    /// Whether the fan is driven, or every request still answered, with the battery lost and with the key off.
    pub power: bool,
    /// Whether the same with all air lost.
    pub air: bool,
}

/// How fail-safe a circuit is; none where nothing drives its fan.
pub fn fail_safe(table: &Table) -> Option<FailSafe> {
    if table.losses.is_empty() || table.rows.iter().all(|standing| drive(*standing) == 0) {
        return None;
    }
    let kept = |fits: fn(Lost) -> bool| table.losses.iter().filter(|l| fits(l.lost)).all(|l| l.effect != Effect::NoFan);
    Some(FailSafe {
        power: kept(|lost| matches!(lost, Lost::Batteries | Lost::Key)),
        air: kept(|lost| lost == Lost::Air),
    })
}
