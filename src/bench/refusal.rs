//! Why an act, a setting or a fault cannot be: what is wrong with it and how to mend it.
//!
//! One type for everything a person may ask of the bench in words, so that the command line and the window show it
//! alike. Finding the words is left to those who refuse.

use crate::circuit::Circuit;
use crate::circuit::diagnostic::nearest;

/// Something asked of the bench that cannot be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, with the words it was asked in.
    pub message: String,
    /// What to ask instead.
    pub mend: String,
}

impl Refusal {
    /// A refusal with its mend.
    pub fn new(message: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { message: message.into(), mend: mend.into() }
    }

    /// The circuit has no part of this tag.
    pub fn no_part(circuit: &Circuit, tag: &str) -> Self {
        let tags = || circuit.parts().iter().map(|p| p.tag.as_str());
        Self::new(format!("there is no part `{tag}` in this circuit"), offer(tag, tags(), "its parts are"))
    }

    /// The circuit has no wire of this tag.
    pub fn no_wire(circuit: &Circuit, tag: &str) -> Self {
        let tags = || circuit.wires().iter().map(|w| w.tag.as_str());
        Self::new(format!("there is no wire `{tag}` in this circuit"), offer(tag, tags(), "its wires are"))
    }

    /// The circuit has no terminal written like this.
    pub fn no_terminal(circuit: &Circuit, words: &str) -> Self {
        let Some((tag, name)) = words.split_once('.') else {
            return Self::new(
                format!("`{words}` is not a terminal"),
                "write the part's tag, a dot and the terminal, like `B1.2`",
            );
        };
        let Some(part) = circuit.part_named(tag) else { return Self::no_part(circuit, tag) };
        let names: Vec<String> = circuit.terminals_of(part).map(|t| circuit.terminal(t).name.clone()).collect();
        Self::new(
            format!("`{tag}` has no terminal `{name}`"),
            offer(name, names.iter().map(String::as_str), "its terminals are"),
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
fn offer<'a>(wrong: &str, words: impl Iterator<Item = &'a str> + Clone, heading: &str) -> String {
    if let Some(likely) = nearest(wrong, words.clone()) {
        return format!("did you mean `{likely}`?");
    }
    let shown: Vec<String> = words.clone().take(12).map(|w| format!("`{w}`")).collect();
    let more = if words.count() > shown.len() { " and more" } else { "" };
    if shown.is_empty() { "it has none".to_owned() } else { format!("{heading} {}{more}", shown.join(", ")) }
}
