//! The languages that people can read the program in.
//!
//! Yields [`Language`], its name and tag, and which one a desktop's locale asks for. What is said in them is the
//! [`catalogue`](super::catalogue)'s; which one is spoken is chosen by window and command line.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// A language that everything people read can be put into.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Language {
    /// English, which the command line, JSON and files always speak.
    #[default]
    English,
    /// Spanish.
    Spanish,
    /// French.
    French,
}

impl Language {
    /// All of them, in the order in which they are chosen.
    pub const ALL: [Self; 3] = [Self::English, Self::Spanish, Self::French];

    /// Its tag after BCP 47.
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
            Self::French => "fr",
        }
    }

    /// What its own speakers call it.
    pub fn own_name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::Spanish => "Español",
            Self::French => "Français",
        }
    }

    /// The one chosen after this.
    pub fn next(self) -> Self {
        Self::ALL[(self as usize + 1) % Self::ALL.len()]
    }

    /// The language that a locale such as `es_MX.UTF-8` or `fr-CA` asks for; none where it is not one of these.
    pub fn of_locale(locale: &str) -> Option<Self> {
        let language = locale.split(['_', '-', '.', '@']).next().unwrap_or_default().to_ascii_lowercase();
        Self::ALL.into_iter().find(|known| known.tag() == language)
    }

    /// What stands between the whole and its decimals.
    pub fn decimal_mark(self) -> char {
        match self {
            Self::English => '.',
            Self::Spanish | Self::French => ',',
        }
    }

    /// A number with so many decimals, or with as many as it has.
    pub fn number(self, value: f64, decimals: Option<usize>) -> String {
        let plain = decimals.map_or_else(|| value.to_string(), |decimals| format!("{value:.decimals$}"));
        self.figures(plain)
    }

    /// Figures that were written with a point, as this language writes them.
    pub fn figures(self, plain: String) -> String {
        match self.decimal_mark() {
            '.' => plain,
            mark => plain.replace('.', mark.encode_utf8(&mut [0; 4])),
        }
    }
}

impl FromStr for Language {
    type Err = String;

    fn from_str(words: &str) -> Result<Self, String> {
        Self::of_locale(words).ok_or_else(|| format!("`{words}` is none of the languages here; write en, es or fr"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_locale_asks_for_its_language_whatever_the_country() {
        assert_eq!(Language::of_locale("es_MX.UTF-8"), Some(Language::Spanish));
        assert_eq!(Language::of_locale("fr-CA"), Some(Language::French));
        assert_eq!(Language::of_locale("en"), Some(Language::English));
        assert_eq!(Language::of_locale("C.UTF-8"), None);
        assert_eq!(Language::of_locale("est_EE"), None);
    }

    #[test]
    fn numbers_have_the_decimal_mark_of_their_language() {
        assert_eq!(Language::English.number(12.6, Some(2)), "12.60");
        assert_eq!(Language::French.number(12.6, Some(2)), "12,60");
        assert_eq!(Language::Spanish.number(0.5, None), "0,5");
        assert_eq!(Language::Spanish.number(1800.0, None), "1800");
    }
}
