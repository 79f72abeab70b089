//! What the desktop's settings ask for, until somebody chooses otherwise: language and paper.
//!
//! Yields [`Desktop`], made of the names of locales alone; what is chosen in the window is kept elsewhere and comes first.

use crate::report::Size;
use crate::words::Language;

/// Countries that write on Letter: CLDR's paper size "US-Letter" (from memory).
const LETTER: [&str; 14] = ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"];

/// What the desktop asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Desktop {
    /// The first of its languages that is one of those here.
    pub language: Language,
    /// What its country writes on.
    pub paper: Size,
}

impl Desktop {
    /// What its settings say.
    pub fn ask() -> Self {
        Self::of_locales(sys_locale::get_locales())
    }

    /// What these locales ask for, the most wanted first: `es_MX.UTF-8`, `fr-CA`, `C`.
    pub fn of_locales(locales: impl Iterator<Item = String>) -> Self {
        let locales: Vec<String> = locales.collect();
        let language = locales.iter().find_map(|locale| Language::of_locale(locale)).unwrap_or_default();
        let is_letter = locales.iter().find_map(|locale| country(locale)).is_some_and(|name| LETTER.contains(&name));
        Self { language, paper: if is_letter { Size::Letter } else { Size::A4 } }
    }
}

/// The country of a locale, after its language and script.
fn country(locale: &str) -> Option<&str> {
    let name = locale.split(['.', '@']).next()?;
    let is_country = |part: &&str| part.len() == 2 && part.chars().all(|letter| letter.is_ascii_uppercase());
    name.split(['_', '-']).skip(1).find(is_country)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(locales: &[&str]) -> Desktop {
        Desktop::of_locales(locales.iter().map(|locale| (*locale).to_owned()))
    }

    #[test]
    fn a_country_writes_on_the_paper_it_is_used_to() {
        for (locale, language, paper) in [
            ("en_US.UTF-8", Language::English, Size::Letter),
            ("en_GB.UTF-8", Language::English, Size::A4),
            ("fr-CA", Language::French, Size::Letter),
            ("fr_FR@euro", Language::French, Size::A4),
            ("es-Latn-MX", Language::Spanish, Size::Letter),
        ] {
            assert_eq!(of(&[locale]), Desktop { language, paper }, "{locale}");
        }
    }

    #[test]
    fn without_a_country_the_usual_stays() {
        for locales in [&[][..], &["C"], &["en"], &["C.UTF-8"]] {
            assert_eq!(of(locales), Desktop::default(), "{locales:?}");
        }
        assert_eq!(of(&["de_DE", "es"]), Desktop { language: Language::Spanish, paper: Size::A4 });
    }
}
