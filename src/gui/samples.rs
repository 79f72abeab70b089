//! The circuits that come with the program, embedded as the very text of their files.
//!
//! Yields [`ALL`] in the order they are offered, from the plainest style to the least usual, and what a card about
//! each needs. Reading them is left to the circuit layer, like any other file.

use crate::circuit::format;

/// A circuit that comes with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// Its file's name.
    pub file: &'static str,
    /// The text of its file.
    pub text: &'static str,
}

macro_rules! samples {
    ($($file:literal),* $(,)?) => {
        [$(Sample { file: $file, text: include_str!(concat!("../../circuits/", $file)) }),*]
    };
}

/// All of them. The first is the worked example the window opens on.
pub const ALL: [Sample; 12] = samples![
    "parallel-open.ron",
    "series-closed.ron",
    "ground-side.ron",
    "dash-selector.ron",
    "refrigerant-relay.ron",
    "relay-inverted.ron",
    "seal-in.ron",
    "diode-isolated.ron",
    "module-high-side.ron",
    "module-low-side.ron",
    "spring-applied.ron",
    "coach-24v.ron",
];

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
        for sample in ALL {
            let card = sample.card().expect(sample.file);
            assert!(!card.title.is_empty() && !card.about.is_empty(), "{}", sample.file);
        }
    }
}
