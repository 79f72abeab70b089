//! The circuits that come with the program, as the window offers them.
//!
//! Yields [`Sample`] in the order of the shipped list, with its vehicle and what the list says of it. Their texts are the
//! circuit layer's, and so is reading them.

use crate::circuit::format;
use crate::circuit::shipped::SHIPPED;

use super::tongue::t;

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

impl Sample {
    /// The vehicle; none if the text is no sound circuit, which a test below rules out.
    pub fn title(&self) -> Option<String> {
        Some(format::read(self.text).circuit?.title().to_owned())
    }

    /// The circuit's style, in English what the comment above it says.
    pub fn about(&self) -> &'static str {
        match self.file {
            "series-closed" => t!("samples-series-closed"),
            "parallel-open" => t!("samples-parallel-open"),
            "refrigerant-relay" => t!("samples-refrigerant-relay"),
            "relay-inverted" => t!("samples-relay-inverted"),
            "module-low-side" => t!("samples-module-low-side"),
            "module-high-side" => t!("samples-module-high-side"),
            "coach-24v" => t!("samples-coach-24v"),
            "spring-applied" => t!("samples-spring-applied"),
            "ground-side" => t!("samples-ground-side"),
            "diode-isolated" => t!("samples-diode-isolated"),
            "seal-in" => t!("samples-seal-in"),
            "dash-selector" => t!("samples-dash-selector"),
            _ => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sample_is_a_sound_circuit_and_told_of_as_in_the_comment_above_it() {
        assert!(all().any(|sample| sample.file == WORKED_EXAMPLE));
        for sample in all() {
            assert!(!sample.title().expect(sample.file).is_empty(), "{}", sample.file);
            let lines = sample.text.lines().take_while(|line| line.starts_with("//")).skip(1);
            let comment: Vec<&str> = lines.map(|line| line.trim_start_matches('/').trim()).collect();
            assert!(!comment.is_empty(), "{}", sample.file);
            assert_eq!(sample.about(), comment.join(" "), "{}", sample.file);
        }
    }
}
