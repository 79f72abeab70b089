//! What the desktop's settings ask for, until somebody chooses otherwise: language, units and paper.
//!
//! Yields [`Desktop`], made of the names of locales alone; what is chosen in the window is kept elsewhere and comes first.

use crate::report::Size;
use crate::words::Language;

use super::condition::Units;

/// Countries that measure in customary units: CLDR's measurement system "US" (from memory).
const CUSTOMARY: [&str; 3] = ["LR", "MM", "US"];
/// Countries that write on Letter: CLDR's paper size "US-Letter" (from memory).
const LETTER: [&str; 14] = ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"];

/// What the desktop asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Desktop {
    /// The first of its languages that is one of those here.
    pub language: Language,
    /// What its country measures in; nothing where it names none.
    pub units: Option<Units>,
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
        let country = locales.iter().find_map(|locale| country(locale));
        let measures = |name| if CUSTOMARY.contains(&name) { Units::Customary } else { Units::Metric };
        let writes_on = |name| if LETTER.contains(&name) { Size::Letter } else { Size::A4 };
        Self { language, units: country.map(measures), paper: country.map(writes_on).unwrap_or_default() }
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
    fn a_country_measures_and_writes_as_it_is_used_to() {
        let (metric, customary) = (Some(Units::Metric), Some(Units::Customary));
        for (locale, language, units, paper) in [
            ("en_US.UTF-8", Language::English, customary, Size::Letter),
            ("en_GB.UTF-8", Language::English, metric, Size::A4),
            ("fr-CA", Language::French, metric, Size::Letter),
            ("fr_FR@euro", Language::French, metric, Size::A4),
            ("es-Latn-MX", Language::Spanish, metric, Size::Letter),
        ] {
            assert_eq!(of(&[locale]), Desktop { language, units, paper }, "{locale}");
        }
    }

    #[test]
    fn without_a_country_the_usual_stays() {
        for locales in [&[][..], &["C"], &["en"], &["C.UTF-8"]] {
            assert_eq!(of(locales), Desktop::default(), "{locales:?}");
        }
        let usual = Desktop { language: Language::Spanish, units: Some(Units::Metric), paper: Size::A4 };
        assert_eq!(of(&["de_DE", "es"]), usual);
    }
}
