//! Judges when a module's driver is on, as the file writes it.
//!
//! Walks the expression's tree, so that every fault in it is shown at its own place; `ron` reads it afterwards.
//! Also judges pairs of set and reset point, which modules and sensor switches share.

use crate::circuit::diagnostic::Subject;
use crate::circuit::part::{Quantity, SetPoint};

use super::fields::QUANTITIES;
use super::split::{Item, Node, shorten};
use super::token::Bracket;
use super::value::{Judge, Place, alternatives, guess};

const WORDS: [&str; 9] = ["Above", "Below", "EngineStopped", "Fed", "Any", "All", "Not", "Always", "Never"];

/// What is sensed, by its word.
pub(super) fn quantity_of(node: &Node<'_>) -> Option<Quantity> {
    let place = QUANTITIES.iter().position(|w| *w == node.word && node.group.is_none())?;
    Some(Quantity::ALL[place])
}

impl<'t> Judge<'t> {
    /// An expression of when a driver is on. Its depth is limited by the splitter.
    pub(super) fn demand(&mut self, place: &Place<'_>, node: &Node<'t>) {
        match node.word {
            "Above" => self.set_point_demand(place, node, true),
            "Below" => self.set_point_demand(place, node, false),
            "Any" | "All" => self.several(place, node),
            "Not" => match node.round().map(|g| g.items.as_slice()) {
                Some([item]) => {
                    if let Some(inner) = self.bare(place, item) {
                        self.demand(place, inner);
                    }
                }
                _ => self.demand_shape(place, node, "`Not` takes one thing in brackets", "Not(Fed)"),
            },
            "EngineStopped" | "Fed" | "Always" | "Never" => {
                if node.group.is_some() {
                    let message = format!("`{}` takes no brackets", node.word);
                    self.demand_shape(place, node, &message, node.word);
                }
            }
            _ if node.broken => {}
            word => {
                let found = if word.is_empty() { self.words(node.span.clone()) } else { shorten(word) };
                let span = if word.is_empty() { node.span.clone() } else { node.word_span() };
                let mend = match guess(word, WORDS) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("write {}", alternatives(&WORDS)),
                };
                let message = format!("{} has {found}, which is no condition of a driver", place.words());
                self.complain(place.subject, span, message, mend);
            }
        }
    }

    fn demand_shape(&mut self, place: &Place<'_>, node: &Node<'t>, message: &str, example: &str) {
        if !node.broken {
            self.complain(place.subject, node.span.clone(), message, format!("write it like `{example}`"));
        }
    }

    fn several(&mut self, place: &Place<'_>, node: &Node<'t>) {
        let list = match node.round().map(|g| g.items.as_slice()) {
            Some([Item { key: None, value }]) if value.word.is_empty() => {
                value.group.as_ref().filter(|g| g.bracket == Bracket::Square)
            }
            _ => None,
        };
        let Some(list) = list else {
            let message = format!("`{}` takes one list in square brackets", node.word);
            return self.demand_shape(place, node, &message, &format!("{}([Fed, EngineStopped])", node.word));
        };
        if list.items.is_empty() {
            let message = format!("`{}` has nothing in it", node.word);
            self.demand_shape(place, node, &message, &format!("{}([Fed, EngineStopped])", node.word));
        }
        for item in &list.items {
            if self.is_full() {
                return;
            }
            if let Some(inner) = self.bare(place, item) {
                self.demand(place, inner);
            }
        }
    }

    fn set_point_demand(&mut self, place: &Place<'_>, node: &Node<'t>, rising: bool) {
        let Some([senses, acts, resets]) = node.round().map(|g| g.items.as_slice()) else {
            let message = format!("`{}` takes what is felt, where it acts and where it resets", node.word);
            let example = match rising {
                true => "Above(Coolant, Celsius(99), Celsius(93))",
                false => "Below(AirSupply, Psi(60), Psi(70))",
            };
            return self.demand_shape(place, node, &message, example);
        };
        let Some(senses) = self.bare(place, senses) else { return };
        let Some(acts) = self.bare(place, acts) else { return };
        let Some(resets) = self.bare(place, resets) else { return };
        let inside = |name, example| Place { name, example, ..*place };
        self.choice(&inside("on_when", "Above(Coolant, Celsius(99), Celsius(93))"), senses, &QUANTITIES);
        self.level(&inside("on_when", place.example), acts);
        self.level(&inside("on_when", place.example), resets);
        self.set_point(place.subject, place.owner, (senses, acts, resets), rising);
    }

    /// Whether a set point suits what is felt and its reset point lies on the right side of it.
    pub(super) fn set_point(
        &mut self,
        subject: &Subject,
        owner: &str,
        (senses_at, acts_at, resets_at): (&Node<'t>, &Node<'t>, &Node<'t>),
        rising: bool,
    ) {
        let senses = quantity_of(senses_at);
        let acts = self.level_of(acts_at);
        let resets = self.level_of(resets_at);
        let mut suits = true;
        for (level, node) in [(acts, acts_at), (resets, resets_at)] {
            let (Some(senses), Some(level)) = (senses, level) else { continue };
            if senses.is_temperature() != level.is_temperature() {
                suits = false;
                let (is, given, unit) = match senses.is_temperature() {
                    true => ("a temperature", "a pressure", "Fahrenheit(...)` or `Celsius(...)"),
                    false => ("a pressure", "a temperature", "Psi(...)`, `Kilopascal(...)` or `Bar(...)"),
                };
                let message = format!("{owner} feels `{senses:?}`, which is {is}, but {level} is {given}");
                self.complain(subject, node.span.clone(), message, format!("write `{unit}`"));
            }
        }
        let (Some(senses), Some(acts), Some(resets), true) = (senses, acts, resets, suits) else { return };
        let point = SetPoint { senses, acts, resets, rising };
        let right = match point.rising {
            true => resets.value() < acts.value(),
            false => resets.value() > acts.value(),
        };
        if right || acts.is_temperature() != resets.is_temperature() {
            return;
        }
        let (side, direction) = if rising { ("below", "rise") } else { ("above", "fall") };
        self.complain(
            subject,
            resets_at.span.clone(),
            format!("{owner} acts at {acts} on a {direction} and resets at {resets}, on the wrong side of it"),
            format!("the reset point must be {side} {acts}"),
        );
    }
}
