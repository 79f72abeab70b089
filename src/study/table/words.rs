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
use crate::words::{Words, fixed, say};

/// An input as a sentence calls it.
pub(super) fn called(input: &Input) -> Words {
    if input.is_engine() { say!("table-the-engine") } else { input.name.as_str().into() }
}

/// A value as it follows on "is": `hot`, `at AUTO`.
pub(super) fn value(input: &Input, value: usize) -> Words {
    let value = named_value(&input.values[value]);
    if input.is_selector() { say!("table-at", value) } else { value }
}

/// A value of an input by its name: `hot`, `off`; a selector's own stay as the file names them.
pub fn named_value(value: &str) -> Words {
    match value {
        "off" => say!("table-off"),
        "on" => say!("table-on"),
        "stopped" => say!("table-stopped"),
        "running" => say!("table-running"),
        "cold" => say!("table-cold"),
        "hot" => say!("table-hot"),
        "low" => say!("table-low"),
        "high" => say!("table-high"),
        other => other.into(),
    }
}

/// What an input is and what its values mean: `coolant switch: hot from 205 °F, cold again at 195 °F`.
pub fn meaning(circuit: &Circuit, input: &Input) -> Words {
    let levels = |point: &SetPoint| {
        let [first, again] = if point.rising { [1, 0] } else { [0, 1] };
        say!(
            "table-from-again-at",
            value = named_value(&input.values[first]),
            acts = wording::value_like(point.acts.value(), point.acts),
            again = named_value(&input.values[again]),
            resets = wording::value_like(point.resets.value(), point.resets)
        )
    };
    match input.source {
        Source::Sensor(id) | Source::Hand(id) | Source::Selector(id) => {
            let kind = &circuit.part(id).kind;
            let name = wording::kind_name(kind);
            match kind {
                Kind::HandSwitch(switch) => {
                    let (off, on) = (position(switch.rest), position(switch.rest.flipped()));
                    let held = if switch.momentary { say!("table-while-it-is-held") } else { Words::default() };
                    say!("table-off-is-as-it-rests", name, off, on, held)
                }
                Kind::SelectorSwitch(switch) => say!("table-rests-at", name, rest = switch.rest),
                _ => kind.sensor().map_or_else(Words::default, |sensor| {
                    say!("table-meaning", name, levels = levels(&sensor.set_point()))
                }),
            }
        }
        Source::Point { module, place, .. } => {
            let part = circuit.part(module);
            let Kind::Module(fitted) = &part.kind else { return Words::default() };
            let point = fitted.on_when.set_points().into_iter().nth(place);
            point.map_or_else(Words::default, |point| {
                say!(
                    "table-as-measures-it",
                    senses = wording::quantity_name(point.senses),
                    tag = part.tag,
                    point = levels(&point)
                )
            })
        }
        Source::Engine => say!("table-the-engine-stopped-or-running", governed_rpm = fixed(GOVERNED_RPM, 0)),
    }
}

fn position(contact: Contact) -> Words {
    wording::position_word(contact)
}

/// When the clutch engages, in a sentence or a few.
pub fn sentences(table: &Table) -> Vec<Words> {
    if table.rows.contains(&Standing::None) {
        return vec![say!("table-there-is-no-air-valve")];
    }
    let mut said = vec![when_engaged(table)];
    let count = |wanted| table.rows.iter().filter(|standing| **standing == wanted).count();
    let all = table.rows.len();
    for (standing, what) in [
        (Standing::Slipping, say!("table-the-clutch-slips")),
        (Standing::Unsettled, say!("table-the-circuit-never-comes-to")),
    ] {
        if count(standing) > 0 {
            said.push(say!("table-in-of-the-rows", standing = count(standing), all, what));
        }
    }
    said.extend(no_difference(table));
    said.extend(remembers(table));
    if !table.minimal.exact {
        said.push(say!("table-a-shorter-way-of-saying"));
    }
    said
}

/// What never makes a difference, where something else does.
fn no_difference(table: &Table) -> Option<Words> {
    let idle = |place: &usize| !table.matters(*place);
    let idle: Vec<Words> = (0..table.inputs.len()).filter(idle).map(|place| called(&table.inputs[place])).collect();
    match idle.as_slice() {
        [] => None,
        all if all.len() == table.inputs.len() => None,
        [one] => Some(say!("table-here-makes-no-difference-to", one)),
        several => Some(say!("table-here-make-no-difference-to", several = wording::list(several))),
    }
}

fn remembers(table: &Table) -> Option<Words> {
    if table.remembered.is_empty() {
        return None;
    }
    let each = table
        .remembered
        .iter()
        .map(|left| say!("table-once-and-all-else-is", after = left.after.words, word = left.standing.said()));
    Some(say!("table-this-circuit-remembers-the-table", each = Words::joined(each, "; ")))
}

fn when_engaged(table: &Table) -> Words {
    let inputs = &table.inputs;
    match table.minimal.products.as_slice() {
        [] if table.rows.contains(&Standing::Slipping) => say!("table-the-clutch-never-engages-fully"),
        [] => say!("table-the-clutch-never-engages"),
        [only] => match demands(inputs, only).as_slice() {
            [] => say!("table-the-clutch-is-always-engaged"),
            [one] => say!("table-the-clutch-engages-when-and", one = one.name, is = one.is),
            several => {
                say!("table-the-clutch-engages-only-when", several = wording::list(&all_of(several)))
            }
        },
        products if products.iter().all(|product| demands(inputs, product).len() == 1) => {
            let single: Vec<Demand> = products.iter().flat_map(|product| demands(inputs, product)).collect();
            any_of(&single)
        }
        products => {
            let each: Vec<Words> =
                products.iter().map(|product| wording::list(&all_of(&demands(inputs, product)))).collect();
            say!("table-the-clutch-engages-when-any", each = Words::joined(each, "; "))
        }
    }
}

/// What one input must be.
struct Demand {
    name: Words,
    /// `is hot`.
    is: Words,
    /// `are hot`, of several.
    are: Words,
    /// Whether it must be away from rest.
    asks: bool,
}

fn demands(inputs: &[Input], product: &[Literal]) -> Vec<Demand> {
    inputs.iter().zip(product).filter_map(|(input, literal)| demand(input, *literal)).collect()
}

fn demand(input: &Input, literal: Literal) -> Option<Demand> {
    let (is, are) = match literal {
        Literal::Is(wanted) => {
            let wanted = value(input, wanted);
            (say!("table-is", wanted), say!("table-are", wanted))
        }
        Literal::Not(barred) => {
            let barred = value(input, barred);
            (say!("table-is-not", barred), say!("table-are-not", barred))
        }
        Literal::Free => return None,
    };
    Some(Demand { name: called(input), is, are, asks: !literal.allows(input.rest) })
}

/// Names that must be the same thing, together, in the order in which each thing first comes.
fn grouped(demands: &[Demand]) -> Vec<(&Demand, Vec<Words>)> {
    let mut groups: Vec<(&Demand, Vec<Words>)> = Vec::new();
    for demand in demands {
        match groups.iter_mut().find(|(known, _)| known.is == demand.is) {
            Some((_, names)) => names.push(demand.name.clone()),
            None => groups.push((demand, vec![demand.name.clone()])),
        }
    }
    groups
}

/// The sentence for demands any of which is enough.
fn any_of(demands: &[Demand]) -> Words {
    let names = Words::joined(demands.iter().map(|demand| demand.name.clone()), ", ");
    let groups = grouped(demands);
    if let [(demand, _)] = groups.as_slice() {
        return say!("table-the-clutch-engages-when-any-2", names, is = demand.is);
    }
    let each: Vec<Words> = groups
        .iter()
        .map(|(demand, names)| say!("table-names-is", names = wording::choice(names), is = demand.is))
        .collect();
    // "B1 or B2 is hot or S2 is on" wants a comma; where each has one name there is nothing to mix up.
    let said = match each.split_last() {
        Some((last, most)) if each.len() < demands.len() => {
            say!("table-or", most = Words::joined(most.iter().cloned(), ", "), last)
        }
        _ => wording::choice(&each),
    };
    if demands.iter().all(|demand| demand.asks) {
        say!("table-the-clutch-engages-when-any-3", names, said)
    } else {
        say!("table-the-clutch-engages-when-any-4", said)
    }
}

fn all_of(demands: &[Demand]) -> Vec<Words> {
    let said = |(demand, names): (&Demand, Vec<Words>)| match names.as_slice() {
        [name] => say!("table-names-is", names = name, is = demand.is),
        [one, other] => say!("table-both-and", one, other, are = demand.are),
        names => say!("table-all-of", names = Words::joined(names.iter().cloned(), ", "), are = demand.are),
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
pub fn lost_name(loss: &Loss) -> Words {
    match loss.lost {
        Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_) => loss.name.as_str().into(),
        Lost::Key => say!("table-key-off"),
        Lost::Batteries => say!("table-battery-off", loss = loss.name),
        Lost::Air => say!("table-no-air"),
    }
}

/// What a loss comes to: `no fan when B1 is hot`, `the fan is always on`.
pub fn effect(loss: &Loss) -> Words {
    match loss.effect {
        Effect::NoFan if loss.every_request => say!("table-no-fan-at-all"),
        Effect::NoFan => say!("table-no-fan", requests_lost = whens(&loss.requests_lost)),
        Effect::AlwaysOn => say!("table-the-fan-is-always-on"),
        Effect::OnUnasked => say!("table-every-request-is-answered-and"),
        Effect::Unseen => say!("table-unseen-the-clutch-does-as"),
    }
}

fn whens(requests: &[Request]) -> Words {
    let each: Vec<Words> = requests.iter().map(|request| say!("table-when", request = request.words)).collect();
    wording::choice(&each)
}

/// How fail-safe the circuit is for lost power and for lost air, and what single loss takes the fan away.
pub fn fail_safe_sentences(circuit: &Circuit, table: &Table) -> Vec<Words> {
    if table.losses.is_empty() {
        return Vec::new();
    }
    let Some(safe) = fail_safe(table) else {
        return vec![say!("table-as-it-stands-nothing-drives")];
    };
    let of = |fits: fn(Lost) -> bool| table.losses.iter().filter(|loss| fits(loss.lost)).collect::<Vec<&Loss>>();
    let is = |safe: bool| if safe { say!("table-fail-safe") } else { say!("table-not-fail-safe") };
    let power = come_to(&of(|lost| matches!(lost, Lost::Batteries | Lost::Key)));
    let air = come_to(&of(|lost| lost == Lost::Air));
    let principle = match circuit.engages() {
        Engages::WithAir => say!("table-air-engages-this-clutch"),
        Engages::WithoutAir => say!("table-a-spring-engages-this-clutch"),
    };
    let while_air = if safe.power && !safe.air { say!("table-as-long-as-there-is") } else { Words::default() };
    let mut said = Vec::new();
    if !power.is_empty() {
        said.push(say!("table-for-lost-power", is = is(safe.power), power, while_air));
    }
    said.push(say!("table-for-lost-air-because", is = is(safe.air), air, principle));
    said.extend(single_losses(table));
    said
}

/// Losses with what they come to, those that come to the same together: `with the key off or battery G1 off there is no
/// fan at all`.
fn come_to(losses: &[&Loss]) -> Words {
    let mut groups: Vec<(Words, Vec<Words>)> = Vec::new();
    for loss in losses {
        let with = match loss.lost {
            Lost::Key => say!("table-the-key-off"),
            Lost::Batteries | Lost::Air => lost_name(loss),
            Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_) => say!("table-lost", loss = loss.name),
        };
        let what = match loss.effect {
            Effect::NoFan => say!("table-there-is", loss = effect(loss)),
            Effect::AlwaysOn | Effect::OnUnasked => effect(loss),
            Effect::Unseen => say!("table-nothing-changes"),
        };
        match groups.iter_mut().find(|(known, _)| *known == what) {
            Some((_, withs)) => withs.push(with),
            None => groups.push((what, vec![with])),
        }
    }
    let said = groups.iter().map(|(what, withs)| say!("table-with", withs = wording::choice(withs), what));
    wording::list(&said.collect::<Vec<_>>())
}

/// How many single losses leave a request without the fan, whether that shows, and whether others do the contrary.
fn single_losses(table: &Table) -> Vec<Words> {
    let single: Vec<&Loss> = table
        .losses
        .iter()
        .filter(|loss| matches!(loss.lost, Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_)))
        .collect();
    let gone: Vec<&&Loss> = single.iter().filter(|loss| loss.effect == Effect::NoFan).collect();
    if gone.is_empty() {
        return vec![say!("table-no-single-lost-fuse-wire")];
    }
    let many = match gone.len() {
        all if all == single.len() => say!("table-each-of-the-fuses-wires", all),
        1 => say!("table-one-of-the-fuses-wires", single = single.len()),
        some => say!("table-of-the-fuses-wires-and", some, single = single.len()),
    };
    let hidden = gone.iter().filter(|loss| loss.hidden_at_rest).count();
    let seen = match hidden {
        0 => say!("table-it-shows-at-once"),
        _ if hidden == gone.len() => say!("table-nobody-sees-that-until-something"),
        _ => say!("table-in-of-these-cases-nobody", hidden),
    };
    let mut said = vec![if gone.len() == 1 || gone.len() == single.len() {
        say!("table-when-lost-keeps", many, seen)
    } else {
        say!("table-when-lost-keep", many, seen)
    }];
    let on: Vec<&&Loss> = single.iter().filter(|loss| loss.effect == Effect::AlwaysOn).collect();
    if let (Some(safe), Some(unsafe_one)) = (on.first(), gone.first()) {
        said.push(say!(
            "table-do-not-judge-this-circuit",
            safe = safe.name,
            unsafe_one = unsafe_one.name,
            unsafe_one_2 = effect(unsafe_one)
        ));
    }
    said
}
