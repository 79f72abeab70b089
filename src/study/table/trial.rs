//! The states in which losses are tried: nothing asking, every request, and what a request leaves behind.
//!
//! A request is one input away from rest, or what a product of the shortest expression needs together. Where the
//! clutch stands otherwise after a request has come and gone than it did before (a relay that seals itself in), the
//! circuit remembers, and that too becomes a trial. What a loss does to them is left to [`loss`](super::loss).

use rayon::prelude::*;

use crate::study::answer::Standing;
use crate::study::wording;

use super::Input;
use super::inputs::World;
use super::logic::{Literal, Product};
use super::words;
use crate::words::{Words, say};

/// Products beyond this many are not tried as requests.
const MOST_PRODUCTS: usize = 64;

/// What asks in a trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// For a program: `B1=hot`, `B1=hot and S2=on`, `after S2=on`, `every sensor`, `nothing`.
    pub short: String,
    /// To follow on "when": `B1 is hot`, `S2 has been on and is off again`.
    pub words: Words,
}

/// What a circuit that remembers does with everything back at rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remembered {
    /// What came and went.
    pub after: Request,
    /// What the clutch then does.
    pub standing: Standing,
}

/// A state in which losses are tried.
pub(super) struct Trial {
    pub(super) request: Request,
    /// Whether every sensor asks at once.
    pub(super) every_sensor: bool,
    /// What the clutch does with nothing lost.
    pub(super) whole: Standing,
    /// What came before, where the trial is about what that leaves behind.
    before: Option<Vec<usize>>,
    values: Vec<usize>,
}

impl Trial {
    /// The combinations to be settled one after the other.
    pub(super) fn steps(&self) -> Vec<&[usize]> {
        self.before.iter().chain([&self.values]).map(Vec::as_slice).collect()
    }
}

/// Nothing asking first; then each input alone at each of its other values, what the shortest expression needs
/// together, all sensors at once, and what any of these leaves behind.
pub(super) fn all(world: &World<'_>, products: &[Product]) -> Vec<Trial> {
    let rest = world.at_rest();
    let mut asked = alone(&world.inputs, &rest);
    for product in products.iter().take(MOST_PRODUCTS) {
        let needed = needed(&world.inputs, product);
        if needed != rest && !asked.contains(&needed) {
            asked.push(needed);
        }
    }
    let asking = |input: &Input| if input.source.is_sensed() { 1 - input.rest } else { input.rest };
    let every: Vec<usize> = world.inputs.iter().map(asking).collect();
    let at_rest = world.standing(&rest);
    let settled = |request: Request, values: &Vec<usize>| {
        let whole = world.standing(values);
        Trial { request, every_sensor: false, whole, before: None, values: values.clone() }
    };
    let nothing = Request { short: "nothing".to_owned(), words: say!("table-nothing-asks") };
    let mut trials = vec![settled(nothing, &rest)];
    trials.par_extend(asked.par_iter().map(|values| settled(present(&world.inputs, values), values)));
    if every != rest && !asked.contains(&every) {
        let request = Request { short: "every sensor".to_owned(), words: say!("table-every-sensor-asks-at-the") };
        trials.push(Trial { every_sensor: true, ..settled(request, &every) });
    }
    trials.par_extend(asked.par_iter().filter_map(|values| {
        let whole = world.standing_through(&[values, &rest], |_| {});
        let request = gone(&world.inputs, values);
        let before = Some(values.clone());
        (whole != at_rest).then(|| Trial { request, every_sensor: false, whole, before, values: rest.clone() })
    }));
    trials
}

/// What requests leave behind.
pub(super) fn remembered(trials: &[Trial]) -> Vec<Remembered> {
    let left = trials.iter().filter(|trial| trial.before.is_some());
    left.map(|trial| Remembered { after: trial.request.clone(), standing: trial.whole }).collect()
}

/// Each input away from rest by itself, at each of its values.
fn alone(inputs: &[Input], rest: &[usize]) -> Vec<Vec<usize>> {
    let mut found = Vec::new();
    for (place, input) in inputs.iter().enumerate() {
        for value in (0..input.values.len()).filter(|value| *value != input.rest) {
            let mut values = rest.to_vec();
            values[place] = value;
            found.push(values);
        }
    }
    found
}

/// What a product needs, with all else at rest.
fn needed(inputs: &[Input], product: &[Literal]) -> Vec<usize> {
    let value = |(input, literal): (&Input, &Literal)| {
        let fits = |value: &usize| literal.allows(*value);
        Some(input.rest).filter(fits).or_else(|| (0..input.values.len()).find(fits)).unwrap_or(input.rest)
    };
    inputs.iter().zip(product).map(value).collect()
}

fn away<'a>(inputs: &'a [Input], values: &'a [usize]) -> impl Iterator<Item = (&'a Input, usize)> {
    inputs.iter().zip(values.iter().copied()).filter(|(input, value)| input.rest != *value)
}

fn short(inputs: &[Input], values: &[usize]) -> String {
    let asks = away(inputs, values).map(|(input, value)| format!("{}={}", input.name, input.values[value]));
    asks.collect::<Vec<_>>().join(" and ")
}

fn present(inputs: &[Input], values: &[usize]) -> Request {
    let asks: Vec<Words> = away(inputs, values)
        .map(|(input, value)| say!("table-is-3", input = words::called(input), value = words::value(input, value)))
        .collect();
    Request { short: short(inputs, values), words: wording::list(&asks) }
}

fn gone(inputs: &[Input], values: &[usize]) -> Request {
    let asks: Vec<Words> = away(inputs, values)
        .map(|(input, value)| {
            let (then, now) = (words::value(input, value), words::value(input, input.rest));
            say!("table-has-been-and-is-again", input = words::called(input), then, now)
        })
        .collect();
    Request { short: format!("after {}", short(inputs, values)), words: wording::list(&asks) }
}
