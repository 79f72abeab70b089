//! Why an act, a setting or a fault cannot be: what is wrong with it and how to mend it.
//!
//! One type for everything a person may ask of the bench in words, so that the command line and the window show it
//! alike. Finding the words is left to those who refuse.

use crate::circuit::Circuit;
use crate::circuit::diagnostic::nearest;
use crate::words::{Words, say};

/// Something asked of the bench that cannot be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, with the words it was asked in.
    pub message: Words,
    /// What to ask instead.
    pub mend: Words,
}

impl Refusal {
    /// A refusal with its mend.
    pub fn new(message: impl Into<Words>, mend: impl Into<Words>) -> Self {
        Self { message: message.into(), mend: mend.into() }
    }

    /// What is wrong and how to mend it, in no language yet.
    pub fn told(&self) -> Words {
        Words::joined([self.message.clone(), self.mend.clone()], "; ")
    }

    /// The circuit has no part of this tag.
    pub fn no_part(circuit: &Circuit, tag: &str) -> Self {
        let tags = || circuit.parts().iter().map(|p| p.tag.as_str());
        Self::new(
            say!("refusal-there-is-no-part", tag),
            offer(tag, tags(), |words| say!("refusal-its-parts-are", words)),
        )
    }

    /// The circuit has no wire of this tag.
    pub fn no_wire(circuit: &Circuit, tag: &str) -> Self {
        let tags = || circuit.wires().iter().map(|w| w.tag.as_str());
        Self::new(
            say!("refusal-there-is-no-wire", tag),
            offer(tag, tags(), |words| say!("refusal-its-wires-are", words)),
        )
    }

    /// The circuit has no terminal written like this.
    pub fn no_terminal(circuit: &Circuit, words: &str) -> Self {
        let Some((tag, name)) = words.split_once('.') else {
            return Self::new(say!("action-is-not-a-terminal", words), say!("action-write-the-parts-tag"));
        };
        let Some(part) = circuit.part_named(tag) else { return Self::no_part(circuit, tag) };
        let names: Vec<String> = circuit.terminals_of(part).map(|t| circuit.terminal(t).name.clone()).collect();
        Self::new(
            say!("refusal-has-no-terminal", tag, name),
            offer(name, names.iter().map(String::as_str), |words| say!("refusal-its-terminals-are", words)),
        )
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; {}", self.message, self.mend)
    }
}

impl std::error::Error for Refusal {}

/// The likely word for a wrong one, else the words there are.
fn offer<'a>(wrong: &str, words: impl Iterator<Item = &'a str> + Clone, heading: impl Fn(Words) -> Words) -> Words {
    if let Some(near) = nearest(wrong, words.clone()) {
        return say!("change-did-you-mean", near);
    }
    let shown: Vec<String> = words.clone().take(12).map(|w| format!("`{w}`")).collect();
    if shown.is_empty() {
        return say!("refusal-it-has-none");
    }
    let listed = shown.join(", ");
    heading(if words.count() > shown.len() { say!("refusal-and-more", listed) } else { listed.into() })
}
