//! The table in words: what its columns are, when the clutch engages, and how fail-safe the circuit is.
//!
//! Plain forms (any one is enough, all are needed, always, never) are recognised and said plainly; everything else is
//! said product by product. What is said was found elsewhere: in [`logic`](super::logic), [`trial`](super::trial) and
//! [`loss`](super::loss).

use crate::circuit::part::SetPoint;
use crate::circuit::{Circuit, Contact, Engages, Kind};
use crate::physics::limits::GOVERNED_RPM;
use crate::study::answer::Standing;
use crate::study::wording;

use super::inputs::Source;
use super::logic::{Literal, Product};
use super::loss::{Effect, Loss, Lost, fail_safe};
use super::trial::Request;
use super::{Input, Table};

/// An input as a sentence calls it.
pub(super) fn called(input: &Input) -> String {
    if input.is_engine() { "the engine".to_owned() } else { input.name.clone() }
}

/// A value as it follows on "is": `hot`, `at AUTO`.
pub(super) fn value(input: &Input, value: usize) -> String {
    let at = if input.is_selector() { "at " } else { "" };
    format!("{at}{}", input.values[value])
}

/// What an input is and what its values mean: `coolant switch: hot from 205 °F, cold again at 195 °F`.
pub fn meaning(circuit: &Circuit, input: &Input) -> String {
    let levels = |point: &SetPoint| {
        let [first, again] = if point.rising { [1, 0] } else { [0, 1] };
        format!(
            "{} from {}, {} again at {}",
            input.values[first],
            wording::value_like(point.acts.value(), point.acts),
            input.values[again],
            wording::value_like(point.resets.value(), point.resets)
        )
    };
    match input.source {
        Source::Sensor(id) | Source::Hand(id) | Source::Selector(id) => {
            let kind = &circuit.part(id).kind;
            let name = wording::kind_name(kind);
            match kind {
                Kind::HandSwitch(switch) => {
                    let (off, on) = (position(switch.rest), position(switch.rest.flipped()));
                    let held = if switch.momentary { ", while it is held" } else { "" };
                    format!("{name}: off is as it rests, contact {off}; on is contact {on}{held}")
                }
                Kind::SelectorSwitch(switch) => format!("{name}: rests at {}", switch.rest),
                _ => {
                    kind.sensor().map_or_else(String::new, |sensor| format!("{name}: {}", levels(&sensor.set_point())))
                }
            }
        }
        Source::Point { module, place, .. } => {
            let part = circuit.part(module);
            let Kind::Module(fitted) = &part.kind else { return String::new() };
            let point = fitted.on_when.set_points().into_iter().nth(place);
            point.map_or_else(String::new, |point| {
                format!("{} as {} measures it: {}", wording::quantity_name(point.senses), part.tag, levels(&point))
            })
        }
        Source::Engine => format!("the engine: stopped, or running ({GOVERNED_RPM:.0} rpm unless it was set to turn)"),
    }
}

fn position(contact: Contact) -> &'static str {
    wording::position_word(contact)
}

/// When the clutch engages, in a sentence or a few.
pub fn sentences(table: &Table) -> Vec<String> {
    if table.rows.contains(&Standing::None) {
        return vec!["There is no air valve in this circuit, so no clutch to engage.".to_owned()];
    }
    let mut said = vec![when_engaged(table)];
    let count = |wanted| table.rows.iter().filter(|standing| **standing == wanted).count();
    let all = table.rows.len();
    for (standing, what) in
        [(Standing::Slipping, "the clutch slips"), (Standing::Unsettled, "the circuit never comes to rest")]
    {
        if count(standing) > 0 {
            said.push(format!("In {} of the {all} rows {what}.", count(standing)));
        }
    }
    said.extend(no_difference(table));
    said.extend(remembers(table));
    if !table.minimal.exact {
        said.push("A shorter way of saying this may exist: it was put together step by step.".to_owned());
    }
    said
}

/// What never makes a difference, where something else does.
fn no_difference(table: &Table) -> Option<String> {
    let idle = |place: &usize| !table.matters(*place);
    let idle: Vec<String> = (0..table.inputs.len()).filter(idle).map(|place| called(&table.inputs[place])).collect();
    match idle.as_slice() {
        [] => None,
        all if all.len() == table.inputs.len() => None,
        [one] => Some(format!("Here {one} makes no difference to the clutch.")),
        several => Some(format!("Here {} make no difference to the clutch.", wording::list(several))),
    }
}

fn remembers(table: &Table) -> Option<String> {
    if table.remembered.is_empty() {
        return None;
    }
    let each = table.remembered.iter().map(|left| {
        format!("once {} and all else is at rest, the clutch is {}", left.after.words, left.standing.word())
    });
    Some(format!(
        "This circuit remembers: {}. The table does not: each row is worked out by itself, with everything already as the row says.",
        each.collect::<Vec<_>>().join("; ")
    ))
}

fn when_engaged(table: &Table) -> String {
    let inputs = &table.inputs;
    match table.minimal.products.as_slice() {
        [] if table.rows.contains(&Standing::Slipping) => "The clutch never engages fully.".to_owned(),
        [] => "The clutch never engages.".to_owned(),
        [only] => match demands(inputs, only).as_slice() {
            [] => "The clutch is always engaged.".to_owned(),
            [one] => format!("The clutch engages when {} {}, and only then.", one.name, one.is),
            several => {
                format!("The clutch engages only when {}, at the same time.", wording::list(&all_of(several)))
            }
        },
        products if products.iter().all(|product| demands(inputs, product).len() == 1) => {
            let single: Vec<Demand> = products.iter().flat_map(|product| demands(inputs, product)).collect();
            any_of(&single)
        }
        products => {
            let each: Vec<String> =
                products.iter().map(|product| wording::list(&all_of(&demands(inputs, product)))).collect();
            format!("The clutch engages when any of these holds: {}.", each.join("; "))
        }
    }
}

/// What one input must be.
struct Demand {
    name: String,
    /// `is hot`.
    is: String,
    /// Whether it must be away from rest.
    asks: bool,
}

fn demands(inputs: &[Input], product: &[Literal]) -> Vec<Demand> {
    inputs.iter().zip(product).filter_map(|(input, literal)| demand(input, *literal)).collect()
}

fn demand(input: &Input, literal: Literal) -> Option<Demand> {
    let is = match literal {
        Literal::Is(wanted) => format!("is {}", value(input, wanted)),
        Literal::Not(barred) => format!("is not {}", value(input, barred)),
        Literal::Free => return None,
    };
    Some(Demand { name: called(input), is, asks: !literal.allows(input.rest) })
}

/// Names that must be the same thing, together, in the order in which each thing first comes.
fn grouped(demands: &[Demand]) -> Vec<(&str, Vec<String>)> {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for demand in demands {
        match groups.iter_mut().find(|(known, _)| *known == demand.is) {
            Some((_, names)) => names.push(demand.name.clone()),
            None => groups.push((&demand.is, vec![demand.name.clone()])),
        }
    }
    groups
}

/// The sentence for demands any of which is enough.
fn any_of(demands: &[Demand]) -> String {
    let names: Vec<&str> = demands.iter().map(|demand| demand.name.as_str()).collect();
    let names = names.join(", ");
    let groups = grouped(demands);
    if let [(is, _)] = groups.as_slice() {
        return format!("The clutch engages when any of {names} {is}.");
    }
    let each: Vec<String> = groups.iter().map(|(is, names)| format!("{} {is}", wording::choice(names))).collect();
    // "B1 or B2 is hot or S2 is on" wants a comma; where each has one name there is nothing to mix up.
    let said = match each.split_last() {
        Some((last, most)) if each.len() < demands.len() => format!("{}, or {last}", most.join(", ")),
        _ => wording::choice(&each),
    };
    if demands.iter().all(|demand| demand.asks) {
        format!("The clutch engages when any of {names} asks for it: when {said}.")
    } else {
        format!("The clutch engages when {said}: any one of these is enough.")
    }
}

fn all_of(demands: &[Demand]) -> Vec<String> {
    let said = |(is, names): (&str, Vec<String>)| match names.as_slice() {
        [name] => format!("{name} {is}"),
        [one, other] => format!("both {one} and {other} {}", is.replacen("is", "are", 1)),
        names => format!("all of {} {}", names.join(", "), is.replacen("is", "are", 1)),
    };
    grouped(demands).into_iter().map(said).collect()
}

/// The shortest expression: `(B1=hot and S2=off) or B2=high`, `S3 not OFF`, `always`, `never`.
pub fn expression(table: &Table) -> String {
    let products = &table.minimal.products;
    if products.is_empty() {
        return "never".to_owned();
    }
    let one = |product: &Product| {
        let literals: Vec<String> = table
            .inputs
            .iter()
            .zip(product)
            .filter_map(|(input, literal)| match literal {
                Literal::Is(value) => Some(format!("{}={}", input.name, input.values[*value])),
                Literal::Not(value) => Some(format!("{} not {}", input.name, input.values[*value])),
                Literal::Free => None,
            })
            .collect();
        match literals.len() {
            0 => "always".to_owned(),
            1 => literals.concat(),
            _ if products.len() == 1 => literals.join(" and "),
            _ => format!("({})", literals.join(" and ")),
        }
    };
    products.iter().map(one).collect::<Vec<_>>().join(" or ")
}

/// A loss as lists name it: `W4`, `key off`, `battery G1 off`, `no air`.
pub fn lost_name(loss: &Loss) -> String {
    match loss.lost {
        Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_) => loss.name.clone(),
        Lost::Key => "key off".to_owned(),
        Lost::Batteries => format!("battery {} off", loss.name),
        Lost::Air => "no air".to_owned(),
    }
}

/// What a loss comes to: `no fan when B1 is hot`, `the fan is always on`.
pub fn effect(loss: &Loss) -> String {
    match loss.effect {
        Effect::NoFan if loss.every_request => "no fan at all".to_owned(),
        Effect::NoFan => format!("no fan {}", whens(&loss.requests_lost)),
        Effect::AlwaysOn => "the fan is always on".to_owned(),
        Effect::OnUnasked => "every request is answered, and the fan also comes on unasked".to_owned(),
        Effect::Unseen => "unseen, the clutch does as before".to_owned(),
    }
}

fn whens(requests: &[Request]) -> String {
    let each: Vec<String> = requests.iter().map(|request| format!("when {}", request.words)).collect();
    wording::choice(&each)
}

/// How fail-safe the circuit is for lost power and for lost air, and what single loss takes the fan away.
pub fn fail_safe_sentences(circuit: &Circuit, table: &Table) -> Vec<String> {
    if table.losses.is_empty() {
        return Vec::new();
    }
    let Some(safe) = fail_safe(table) else {
        return vec!["As it stands nothing drives the fan, so there is none to lose.".to_owned()];
    };
    let of = |fits: fn(Lost) -> bool| table.losses.iter().filter(|loss| fits(loss.lost)).collect::<Vec<&Loss>>();
    let is = |safe: bool| if safe { "Fail-safe" } else { "Not fail-safe" };
    let power = come_to(&of(|lost| matches!(lost, Lost::Batteries | Lost::Key)));
    let air = come_to(&of(|lost| lost == Lost::Air));
    let principle = match circuit.engages() {
        Engages::WithAir => "air engages this clutch",
        Engages::WithoutAir => "a spring engages this clutch and air releases it",
    };
    let while_air = if safe.power && !safe.air { ", as long as there is air" } else { "" };
    let mut said = Vec::new();
    if !power.is_empty() {
        said.push(format!("{} for lost power: {power}{while_air}.", is(safe.power)));
    }
    said.push(format!("{} for lost air: {air}, because {principle}.", is(safe.air)));
    said.extend(single_losses(table));
    said
}

/// Losses with what they come to, those that come to the same together: `with the key off or battery G1 off there is no
/// fan at all`.
fn come_to(losses: &[&Loss]) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for loss in losses {
        let with = match loss.lost {
            Lost::Key => "the key off".to_owned(),
            Lost::Batteries | Lost::Air => lost_name(loss),
            Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_) => format!("{} lost", loss.name),
        };
        let what = match loss.effect {
            Effect::NoFan => format!("there is {}", effect(loss)),
            Effect::AlwaysOn | Effect::OnUnasked => effect(loss),
            Effect::Unseen => "nothing changes".to_owned(),
        };
        match groups.iter_mut().find(|(known, _)| *known == what) {
            Some((_, withs)) => withs.push(with),
            None => groups.push((what, vec![with])),
        }
    }
    let said = groups.iter().map(|(what, withs)| format!("with {} {what}", wording::choice(withs)));
    wording::list(&said.collect::<Vec<_>>())
}

/// How many single losses leave a request without the fan, whether that shows, and whether others do the contrary.
fn single_losses(table: &Table) -> Vec<String> {
    let single: Vec<&Loss> = table
        .losses
        .iter()
        .filter(|loss| matches!(loss.lost, Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_)))
        .collect();
    let gone: Vec<&&Loss> = single.iter().filter(|loss| loss.effect == Effect::NoFan).collect();
    if gone.is_empty() {
        return vec!["No single lost fuse, wire or ground keeps the fan off when something asks for it.".to_owned()];
    }
    let many = match gone.len() {
        all if all == single.len() => format!("Each of the {all} fuses, wires and grounds"),
        1 => format!("One of the {} fuses, wires and grounds", single.len()),
        some => format!("{some} of the {} fuses, wires and grounds", single.len()),
    };
    let keeps = if gone.len() == 1 || gone.len() == single.len() { "keeps" } else { "keep" };
    let hidden = gone.iter().filter(|loss| loss.hidden_at_rest).count();
    let seen = match hidden {
        0 => "It shows at once.".to_owned(),
        _ if hidden == gone.len() => "Nobody sees that until something asks.".to_owned(),
        _ => format!("In {hidden} of these cases nobody sees that until something asks."),
    };
    let mut said = vec![format!("{many}, when lost, {keeps} the fan off for something that asks for it. {seen}")];
    let on: Vec<&&Loss> = single.iter().filter(|loss| loss.effect == Effect::AlwaysOn).collect();
    if let (Some(safe), Some(unsafe_one)) = (on.first(), gone.first()) {
        said.push(format!(
            "Do not judge this circuit by one loss: without {} the fan is always on, without {} there is {}.",
            safe.name,
            unsafe_one.name,
            effect(unsafe_one)
        ));
    }
    said
}
