//! The circuits that come with the program, as the window offers them.
//!
//! Yields [`Sample`] in the order of the shipped list and what is written on the card of each. Their texts are the
//! circuit layer's, and so is reading them.

use crate::circuit::format;
use crate::circuit::shipped::SHIPPED;

/// A circuit that comes with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// Its file's name without the ending.
    pub file: &'static str,
    /// The text of its file.
    pub text: &'static str,
}

/// The sample the window opens on: contacts open at rest, where a jumper lead is the act to learn first.
pub const WORKED_EXAMPLE: &str = "parallel-open";

/// All of them.
pub fn all() -> impl Iterator<Item = Sample> {
    SHIPPED.into_iter().map(|(file, text)| Sample { file, text })
}

/// What is written on the card of a sample.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// The vehicle.
    pub title: String,
    /// The circuit's style, from the comment above it.
    pub about: String,
}

impl Sample {
    /// Its card; none if the text is no sound circuit, which a test below rules out.
    pub fn card(&self) -> Option<Card> {
        let circuit = format::read(self.text).circuit?;
        let lines = self.text.lines().take_while(|line| line.starts_with("//")).skip(1);
        let about: Vec<&str> = lines.map(|line| line.trim_start_matches('/').trim()).collect();
        Some(Card { title: circuit.title().to_owned(), about: about.join(" ") })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sample_is_a_sound_circuit_with_words_on_its_card() {
        assert!(all().any(|sample| sample.file == WORKED_EXAMPLE));
        for sample in all() {
            let card = sample.card().expect(sample.file);
            assert!(!card.title.is_empty() && !card.about.is_empty(), "{}", sample.file);
        }
    }
}
