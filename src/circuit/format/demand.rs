//! Judges when a module's driver is on, as the file writes it.
//!
//! Walks the expression's tree, so that every fault in it is shown at its own place; `ron` reads it afterwards.
//! Also judges pairs of set and reset point, which modules and sensor switches share.

use crate::circuit::diagnostic::Subject;
use crate::circuit::part::{Quantity, SetPoint};

use super::fields::QUANTITIES;
use super::split::{Item, Node, shorten};
use super::token::Bracket;
use super::value::{Judge, Place, alternatives, guess, like, write_this};
use crate::words::{Words, say};

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
                _ => self.demand_shape(place, node, say!("read-takes-one-thing", word = "Not"), "Not(Fed)"),
            },
            "EngineStopped" | "Fed" | "Always" | "Never" => {
                if node.group.is_some() {
                    self.demand_shape(place, node, say!("read-takes-no-brackets", word = node.word), node.word);
                }
            }
            _ if node.broken => {}
            word => {
                let found = if word.is_empty() { self.words(node.span.clone()) } else { shorten(word) };
                let span = if word.is_empty() { node.span.clone() } else { node.word_span() };
                let mend = match guess(word, WORDS) {
                    Some(near) => say!("change-did-you-mean", near),
                    None => write_this(alternatives(&WORDS)),
                };
                let message = say!("read-is-no-condition", place = place.words(), found);
                self.complain(place.subject, span, message, mend);
            }
        }
    }

    fn demand_shape(&mut self, place: &Place<'_>, node: &Node<'t>, message: Words, example: &str) {
        if !node.broken {
            self.complain(place.subject, node.span.clone(), message, like(example));
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
            let message = say!("read-takes-one-list", word = node.word);
            return self.demand_shape(place, node, message, &format!("{}([Fed, EngineStopped])", node.word));
        };
        if list.items.is_empty() {
            let message = say!("read-has-nothing-in-it", word = node.word);
            self.demand_shape(place, node, message, &format!("{}([Fed, EngineStopped])", node.word));
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
            let message = say!("read-takes-what-is-felt", word = node.word);
            let example = match rising {
                true => "Above(Coolant, Celsius(99), Celsius(93))",
                false => "Below(AirSupply, Psi(60), Psi(70))",
            };
            return self.demand_shape(place, node, message, example);
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
        owner: &Words,
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
                let felt = format!("{senses:?}");
                let (message, units): (_, &[&str]) = match senses.is_temperature() {
                    true => (
                        say!("read-feels-a-temperature", owner, senses = felt, level),
                        &["Fahrenheit(...)", "Celsius(...)"],
                    ),
                    false => (
                        say!("read-feels-a-pressure", owner, senses = felt, level),
                        &["Psi(...)", "Kilopascal(...)", "Bar(...)"],
                    ),
                };
                self.complain(subject, node.span.clone(), message, write_this(alternatives(units)));
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
        let (message, mend) = match rising {
            true => (say!("read-acts-on-a-rise", owner, acts, resets), say!("read-reset-below", acts)),
            false => (say!("read-acts-on-a-fall", owner, acts, resets), say!("read-reset-above", acts)),
        };
        self.complain(subject, resets_at.span.clone(), message, mend);
    }
}
