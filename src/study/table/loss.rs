//! What if it is lost: every fuse blown, every wire broken, every ground off its stud, each once; then the key off,
//! the battery off and all air lost.
//!
//! Each loss is settled with nothing asking, with every request made alone and with all sensors asking at once, and
//! compared with the circuit as it stands. How fail-safe the circuit is follows from that alone. A ground is lost
//! with every wire off its stud and apart, a battery with both its clamps off. Several losses at once are left to
//! others.

use rayon::prelude::*;

use crate::circuit::{Circuit, Kind, PartId, WireId};
use crate::physics::inputs::Inputs;
use crate::study::answer::Standing;

use super::Table;
use super::inputs::World;
use super::logic::Product;

/// Products beyond this many are not tried as requests.
const MOST_PRODUCTS: usize = 64;

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
    /// The battery's wires come off.
    Battery(PartId),
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
            Self::Battery(_) => "battery",
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
            Self::Battery(id) => {
                inputs.unplugged.insert(id);
            }
            Self::Key => inputs.conditions.key_on = false,
            Self::Air => inputs.conditions.air_kpa = 0.0,
        }
    }
}

/// What a loss comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effect {
    /// At least one request no longer drives the fan.
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
    /// Its name: a tag, `key` or `air`.
    pub name: String,
    /// What it comes to.
    pub effect: Effect,
    /// Requests that no longer drive the fan, each as an input with the value that asks; `all` for all sensors.
    pub requests_lost: Vec<String>,
    /// Whether every request there is, is lost.
    pub every_request: bool,
    /// Whether the clutch stands as before while nothing asks: then nobody sees the loss until the fan is wanted.
    pub hidden_at_rest: bool,
}

/// A state in which losses are tried.
struct Trial {
    name: String,
    values: Vec<usize>,
    whole: Standing,
}

/// Every loss with what it comes to, in file order: fuses, wires, grounds, then the key, the battery and the air.
pub(super) fn all(world: &World<'_>, products: &[Product]) -> Vec<Loss> {
    if world.circuit.clutch_valve().is_none() {
        return Vec::new();
    }
    let trials = trials(world, products);
    let lost = everything(world);
    lost.into_par_iter().map(|(lost, name)| judge(world, &trials, lost, name)).collect()
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
    parts(|kind| matches!(kind, Kind::Fuse(_)), Lost::Fuse)
        .chain(wires)
        .chain(parts(|kind| matches!(kind, Kind::Ground(_)), Lost::Ground))
        .chain(has_key.then(|| (Lost::Key, "key".to_owned())))
        .chain(parts(|kind| matches!(kind, Kind::Battery(_)), Lost::Battery))
        .chain([(Lost::Air, "air".to_owned())])
        .collect()
}

/// Nothing asking first; then each input alone at each of its other values, what the shortest expression needs
/// together, and all sensors at once.
fn trials(world: &World<'_>, products: &[Product]) -> Vec<Trial> {
    let rest = world.at_rest();
    let mut states = vec![("rest".to_owned(), rest.clone())];
    let mut add = |values: Vec<usize>, name: Option<&str>| {
        if states.iter().all(|(_, known)| *known != values) {
            let asks = world.inputs.iter().zip(&values).filter(|(input, value)| input.rest != **value);
            let asks: Vec<String> =
                asks.map(|(input, value)| format!("{}={}", input.name, input.values[*value])).collect();
            states.push((name.map_or_else(|| asks.join(" and "), str::to_owned), values));
        }
    };
    for (place, input) in world.inputs.iter().enumerate() {
        for value in (0..input.values.len()).filter(|value| *value != input.rest) {
            let mut values = rest.clone();
            values[place] = value;
            add(values, None);
        }
    }
    for product in products.iter().take(MOST_PRODUCTS) {
        let needed = |(input, literal): (&super::Input, &super::logic::Literal)| {
            let others = (0..input.values.len()).filter(|value| literal.allows(*value));
            Some(input.rest).filter(|rest| literal.allows(*rest)).into_iter().chain(others).next().unwrap_or(input.rest)
        };
        add(world.inputs.iter().zip(product).map(needed).collect(), None);
    }
    let asking = |input: &super::Input| if input.source.is_sensed() { 1 - input.rest } else { input.rest };
    add(world.inputs.iter().map(asking).collect(), Some("all"));
    states
        .into_par_iter()
        .map(|(name, values)| {
            let whole = world.standing(&values);
            Trial { name, values, whole }
        })
        .collect()
}

fn judge(world: &World<'_>, trials: &[Trial], lost: Lost, name: String) -> Loss {
    let after: Vec<Standing> = trials
        .iter()
        .map(|trial| world.standing_with(&trial.values, |inputs| lost.impose(world.circuit, inputs)))
        .collect();
    let engaged = |standing: Standing| standing == Standing::Engaged;
    let asked: Vec<(&Trial, Standing)> =
        trials.iter().zip(after.iter().copied()).filter(|(trial, _)| engaged(trial.whole)).collect();
    let gone: Vec<&&Trial> = asked.iter().filter(|(_, after)| !engaged(*after)).map(|(trial, _)| trial).collect();
    let changed = trials.iter().zip(&after).any(|(trial, after)| trial.whole != *after);
    let effect = if !gone.is_empty() {
        Effect::NoFan
    } else if !changed {
        Effect::Unseen
    } else if after.iter().all(|standing| engaged(*standing)) {
        Effect::AlwaysOn
    } else {
        Effect::OnUnasked
    };
    Loss {
        lost,
        name,
        effect,
        requests_lost: gone.iter().map(|trial| trial.name.clone()).collect(),
        every_request: !gone.is_empty() && gone.len() == asked.len(),
        hidden_at_rest: trials.iter().zip(&after).take(1).all(|(trial, after)| trial.whole == *after),
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

/// How fail-safe a circuit is; none where nothing engages its clutch, lost or not.
pub fn fail_safe(table: &Table) -> Option<FailSafe> {
    if table.losses.is_empty() || !table.rows.contains(&Standing::Engaged) {
        return None;
    }
    let kept = |fits: fn(Lost) -> bool| table.losses.iter().filter(|l| fits(l.lost)).all(|l| l.effect != Effect::NoFan);
    Some(FailSafe {
        power: kept(|lost| matches!(lost, Lost::Battery(_) | Lost::Key)),
        air: kept(|lost| lost == Lost::Air),
    })
}
