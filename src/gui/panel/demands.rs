//! What a module's driver waits for, condition by condition: set points typed, conditions added, taken away and joined.
//!
//! Conditions within conditions are told in words and changed as the circuit file has them, in the field below. What may
//! stand there is the circuit's to judge; nothing is changed before it is put in.

use egui::{Button, RichText, Ui, vec2};

use crate::circuit::format::{demand_text, labels};
use crate::circuit::part::{Demand, Module, Quantity};
use crate::circuit::{Change, Owner};
use crate::study::making::usual_points;

use super::super::command::Commands;
use super::super::condition::Units;
use super::super::seen::Seen;
use super::super::theme;
use super::super::tongue::{t, worded, worded_capital};
use super::values::{FIELD, Line, ValuesState, as_spoken, line_ui, make};

/// The field of the circuit file that all of it stands in.
pub(super) const OF_FILE: &str = "on_when";

/// How conditions are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Joined {
    Any,
    All,
}

/// A row of conditions that are joined one way; what is no such row is a single condition.
fn conditions(demand: &Demand) -> (Joined, &[Demand]) {
    match demand {
        Demand::Any(each) => (Joined::Any, each),
        Demand::All(each) => (Joined::All, each),
        one => (Joined::Any, std::slice::from_ref(one)),
    }
}

/// Conditions as the circuit file has them, joined.
fn joined(how: Joined, each: &[String]) -> String {
    match (each, how) {
        ([one], _) => one.clone(),
        (several, Joined::Any) => format!("Any([{}])", several.join(", ")),
        (several, Joined::All) => format!("All([{}])", several.join(", ")),
    }
}

/// Shows the conditions of a module.
pub(super) fn demands_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (tag, module): (&str, &Module),
    state: &mut ValuesState,
    commands: &mut Commands,
) {
    let (how, each) = conditions(&module.on_when);
    let texts: Vec<String> = each.iter().map(demand_text).collect();
    let set =
        |value: String| Change::Set { of: Owner::Part(tag.to_owned()), field: OF_FILE.to_owned(), value: Some(value) };
    let label = worded_capital(&labels::label(OF_FILE));
    ui.label(RichText::new(&label).font(theme::plain(12.5)).color(seen.palette.quiet));
    if each.len() > 1 {
        ui.horizontal_wrapped(|ui| {
            for (other, words) in [(Joined::Any, t!("demands-any")), (Joined::All, t!("demands-all"))] {
                let button = Button::selectable(other == how, words).min_size(vec2(44.0, FIELD));
                let name = t!("values-of-2", label, name = tag, shown = words);
                if ui.add(button).accessible_name(name).clicked() && other != how {
                    make(seen, set(joined(other, &texts)), commands);
                }
            }
        });
    }
    let changed = |place: usize, text: String| {
        let mut texts = texts.clone();
        texts[place] = text;
        set(joined(how, &texts))
    };
    for (place, one) in each.iter().enumerate() {
        let (told, number) = (worded_capital(&labels::demand(one)), place + 1);
        ui.label(RichText::new(format!("{number}. {told}")).color(seen.palette.text));
        if let Some((word, senses, acts, resets)) = set_points(one) {
            let with = |acts: &str, resets: &str| {
                let [acts, resets] = [acts, resets].map(labels::as_written);
                changed(place, format!("{word}({senses:?}, {acts}, {resets})"))
            };
            let name = t!("demands-acts-of", number, tag);
            let line = Line { name, label: t!("demands-acts"), stands: &as_spoken(acts.clone()), hint: "" };
            line_ui(ui, seen, &line, state, |typed| with(typed, &resets), commands);
            let name = t!("demands-resets-of", number, tag);
            let line = Line { name, label: t!("demands-resets"), stands: &as_spoken(resets.clone()), hint: "" };
            line_ui(ui, seen, &line, state, |typed| with(&acts, typed), commands);
        }
        if each.len() > 1 {
            let button = Button::new(t!("demands-take-away")).min_size(vec2(44.0, FIELD));
            if ui.add(button).accessible_name(t!("demands-take-away-told", tag, told)).clicked() {
                let mut fewer = texts.clone();
                fewer.remove(place);
                make(seen, set(joined(how, &fewer)), commands);
            }
        }
    }
    ui.label(RichText::new(t!("demands-add")).font(theme::plain(12.5)).color(seen.palette.quiet));
    ui.horizontal_wrapped(|ui| {
        for more in usual(seen.look.units) {
            let words = match &more {
                Demand::Above(senses, ..) => worded_capital(&labels::choice(&format!("{senses:?}"))),
                other => worded_capital(&labels::demand(other)),
            };
            let name = t!("demands-add-told", tag, told = worded(&labels::demand(&more)));
            if ui.add(Button::new(words).min_size(vec2(44.0, FIELD))).accessible_name(name).clicked() {
                let mut texts = texts.clone();
                texts.push(demand_text(&more));
                make(seen, set(joined(how, &texts)), commands);
            }
        }
    });
}

/// Of a condition with set points its word in the circuit file, what is felt, and the two points as a person writes them.
fn set_points(demand: &Demand) -> Option<(&'static str, Quantity, String, String)> {
    match demand {
        Demand::Above(senses, acts, resets) => Some(("Above", *senses, acts.to_string(), resets.to_string())),
        Demand::Below(senses, acts, resets) => Some(("Below", *senses, acts.to_string(), resets.to_string())),
        _ => None,
    }
}

/// Conditions a fan is usually called by.
fn usual(units: Units) -> Vec<Demand> {
    let points = usual_points(units == Units::Metric).into_iter();
    let mut all: Vec<Demand> = points.map(|point| Demand::Above(point.senses, point.acts, point.resets)).collect();
    all.extend([Demand::Fed, Demand::EngineStopped]);
    all
}
