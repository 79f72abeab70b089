//! The table in words: when the clutch engages, and how fail-safe the circuit is.
//!
//! Plain forms (any one is enough, all are needed, always, never) are recognised and said plainly; everything else is
//! said product by product. What is said was found elsewhere: in [`logic`](super::logic) and [`loss`](super::loss).

use crate::circuit::{Circuit, Engages};
use crate::study::answer::Standing;
use crate::study::wording;

use super::logic::{Literal, Product};
use super::loss::{Effect, Loss, Lost, fail_safe};
use super::{Input, Table};

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
            said.push(format!("In {} of {all} rows {what}.", count(standing)));
        }
    }
    if !table.left_out.is_empty() {
        let (tags, verbs) = (wording::list(&table.left_out), ("springs back and stands", "spring back and stand"));
        let verb = if table.left_out.len() == 1 { verbs.0 } else { verbs.1 };
        said.push(format!("{tags} {verb} at rest throughout; what a press leaves behind is asked with an act."));
    }
    if !table.minimal.exact {
        said.push("A shorter way of saying this may exist: it was put together step by step.".to_owned());
    }
    said
}

fn when_engaged(table: &Table) -> String {
    let inputs = &table.inputs;
    match table.minimal.products.as_slice() {
        [] => "The clutch never engages.".to_owned(),
        [only] if demands(inputs, only).is_empty() => "The clutch is always engaged.".to_owned(),
        [only] => match demands(inputs, only).as_slice() {
            [(name, is)] => format!("The clutch engages when {name} {is}, and only then."),
            several => format!("The clutch engages only when {}, all together.", wording::list(&all_of(several))),
        },
        products if products.iter().all(|product| demands(inputs, product).len() == 1) => {
            let single: Vec<Demand> = products.iter().flat_map(|product| demands(inputs, product)).collect();
            let predicates = grouped(&single).len();
            let close = if predicates > 1 { ": any one of these is enough" } else { "" };
            format!("The clutch engages when {}{close}.", wording::choice(&any_of(&single)))
        }
        products => {
            let each: Vec<String> =
                products.iter().map(|product| wording::list(&all_of(&demands(inputs, product)))).collect();
            format!("The clutch engages when any of these holds: {}.", each.join("; "))
        }
    }
}

/// What one input must be: its name and `is hot`.
type Demand = (String, String);

fn demands(inputs: &[Input], product: &[Literal]) -> Vec<Demand> {
    inputs.iter().zip(product).filter_map(|(input, literal)| demand(input, *literal)).collect()
}

fn demand(input: &Input, literal: Literal) -> Option<Demand> {
    let at = if input.is_selector() { "at " } else { "" };
    let is = match literal {
        Literal::Is(value) => format!("is {at}{}", input.values[value]),
        Literal::Not(value) => format!("is not {at}{}", input.values[value]),
        Literal::Free => return None,
    };
    let the = if input.is_engine() { "the " } else { "" };
    Some((format!("{the}{}", input.name), is))
}

/// Names that must be the same thing, together, in the order in which each thing first comes.
fn grouped(demands: &[Demand]) -> Vec<(&str, Vec<&str>)> {
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, is) in demands {
        match groups.iter_mut().find(|(known, _)| known == is) {
            Some((_, names)) => names.push(name),
            None => groups.push((is, vec![name])),
        }
    }
    groups
}

fn any_of(demands: &[Demand]) -> Vec<String> {
    let said = |(is, names): (&str, Vec<&str>)| match names.as_slice() {
        [name] => format!("{name} {is}"),
        names => format!("any of {} {is}", names.join(", ")),
    };
    grouped(demands).into_iter().map(said).collect()
}

fn all_of(demands: &[Demand]) -> Vec<String> {
    let said = |(is, names): (&str, Vec<&str>)| match names.as_slice() {
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

/// How fail-safe the circuit is for lost power and for lost air, and what single loss takes the fan away.
pub fn fail_safe_sentences(circuit: &Circuit, table: &Table) -> Vec<String> {
    let Some(safe) = fail_safe(table) else {
        let none = "Nothing engages this clutch, so there is no fan to lose.";
        return if table.losses.is_empty() { Vec::new() } else { vec![none.to_owned()] };
    };
    let of = |fits: fn(Lost) -> bool| table.losses.iter().filter(|loss| fits(loss.lost)).collect::<Vec<&Loss>>();
    let power = come_to(&of(|lost| matches!(lost, Lost::Battery(_) | Lost::Key)));
    let air = come_to(&of(|lost| lost == Lost::Air));
    let principle = match circuit.engages() {
        Engages::WithAir => "air applies this clutch",
        Engages::WithoutAir => "a spring applies this clutch and air releases it",
    };
    let is = |safe: bool| if safe { "Fail-safe" } else { "Not fail-safe" };
    vec![
        format!("{} for lost power: {power}.", is(safe.power)),
        format!("{} for lost air: {air} ({principle}).", is(safe.air)),
        single_losses(table),
    ]
}

/// Losses with what they come to, those that come to the same together: `no fan with the key off or battery G1 lost`.
fn come_to(losses: &[&Loss]) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for loss in losses {
        let with = match loss.lost {
            Lost::Key => "the key off".to_owned(),
            Lost::Battery(_) => format!("battery {} lost", loss.name),
            Lost::Air => "no air".to_owned(),
            Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_) => format!("{} lost", loss.name),
        };
        let what = match loss.effect {
            Effect::NoFan if loss.every_request => "nothing brings the fan in".to_owned(),
            Effect::NoFan => format!("no fan for {}", wording::list(&loss.requests_lost)),
            Effect::AlwaysOn => "the fan is always on".to_owned(),
            Effect::OnUnasked => "every request is answered and the fan is on unasked in some states".to_owned(),
            Effect::Unseen => "nothing changes".to_owned(),
        };
        match groups.iter_mut().find(|(known, _)| *known == what) {
            Some((_, withs)) => withs.push(with),
            None => groups.push((what, vec![with])),
        }
    }
    let said = groups.iter().map(|(what, withs)| format!("{what} with {}", wording::choice(withs)));
    wording::list(&said.collect::<Vec<_>>())
}

fn single_losses(table: &Table) -> String {
    let single: Vec<&Loss> = table
        .losses
        .iter()
        .filter(|loss| matches!(loss.lost, Lost::Fuse(_) | Lost::Wire(_) | Lost::Ground(_)))
        .collect();
    let gone: Vec<&&Loss> = single.iter().filter(|loss| loss.effect == Effect::NoFan).collect();
    if gone.is_empty() {
        return "No single fuse, wire or ground that is lost takes the fan away from any request.".to_owned();
    }
    let hidden = gone.iter().filter(|loss| loss.hidden_at_rest).count();
    let unseen = match hidden {
        0 => "each is seen at once".to_owned(),
        _ if hidden == gone.len() => "nobody sees it until the fan is asked for".to_owned(),
        _ => format!("{hidden} of them unseen until the fan is asked for"),
    };
    format!(
        "Of {} fuses, wires and grounds, {} lost alone {} the fan away from some request; {unseen}.",
        single.len(),
        gone.len(),
        if gone.len() == 1 { "takes" } else { "take" },
    )
}
