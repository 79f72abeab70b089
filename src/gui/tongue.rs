//! The language that the window speaks, for whatever words it.
//!
//! Yields [`t!`], the text of a key in that language, and [`worded`], which puts what studies say into it. The language is
//! chosen in [`Look`](super::seen::Look) and set here at the head of each frame, on the thread that paints: handing it
//! to every label would put it into every signature of the window. Studies and files never look here.

use std::cell::Cell;

use crate::words::{Arg, Language, Measure, Words, catalogue};

thread_local! {
    static SPOKEN: Cell<Language> = const { Cell::new(Language::English) };
    static MEASURED: Cell<Measure> = const { Cell::new(Measure::AsWritten) };
}

/// Text of a key in the window's language: `t!("bar-save")`, `t!("tip-click", doing)`.
macro_rules! t {
    ($key:literal) => {
        $crate::gui::tongue::plain($key)
    };
    ($key:literal, $($args:tt)+) => {
        $crate::gui::tongue::text($key, &$crate::words::args![$($args)+])
    };
}
pub(crate) use t;

/// A key that is looked up later, where it is shown: `plain(NAME)`.
macro_rules! key {
    ($key:literal) => {
        $key
    };
}
pub(crate) use key;

/// Speaks this language from here on.
pub fn speak(language: Language) {
    SPOKEN.set(language);
}

/// The language spoken.
pub fn spoken() -> Language {
    SPOKEN.get()
}

/// Tells quantities in these units from here on.
pub fn measure(measure: Measure) {
    MEASURED.set(measure);
}

/// The units quantities are told in.
pub fn measured() -> Measure {
    MEASURED.get()
}

/// The text of a key that takes nothing.
pub fn plain(key: &'static str) -> &'static str {
    catalogue::plain(spoken(), key)
}

/// The text of a key with what is put into it.
pub fn text(key: &'static str, args: &[(&'static str, Arg)]) -> String {
    catalogue::told(spoken(), measured(), key, args)
}

/// What a study says, in the window's language.
pub fn worded(words: &Words) -> String {
    words.told(spoken(), measured()).to_owned()
}

/// What a study says, with a capital letter.
pub fn worded_capital(words: &Words) -> String {
    worded(&words.capital())
}

/// A thing and what is said of it, parted by a colon as the window's language sets it.
pub fn titled(what: &str, told: &str) -> String {
    t!("tongue-titled", what, told)
}

/// A number with so many decimals, as the window's language writes it.
pub fn number(value: f64, decimals: usize) -> String {
    spoken().number(value, Some(decimals))
}
