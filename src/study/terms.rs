//! The words of the trade that stand in answers, each explained in a few sentences, and where they stand in a text.
//!
//! Common practice, no source, but for what a term's own sentence names. Showing them is left to the window; this file
//! only finds them.

use std::sync::OnceLock;

use crate::words::{Language, catalogue};

/// A word of the trade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// The word.
    pub name: &'static str,
    /// How else it stands in a text, in small letters; the name itself need not be among these.
    pub forms: Vec<&'static str>,
    /// What it means.
    pub says: &'static str,
}

/// The keys of a term: its name, its other forms with semicolons between, and what it says.
macro_rules! term {
    ($key:literal) => {
        [$key, concat!($key, "-forms"), concat!($key, "-says")]
    };
}

/// The keys of all terms, in the order they are listed for people.
const KEYS: &[[&str; 3]] = &[
    term!("term-normally-open-and-normally-closed"),
    term!("term-at-rest"),
    term!("term-call"),
    term!("term-set-point-and-reset-point"),
    term!("term-pull-in"),
    term!("term-drop-out"),
    term!("term-live-and-dead"),
    term!("term-fed"),
    term!("term-floating"),
    term!("term-ghost-voltage"),
    term!("term-low-z"),
    term!("term-loaded"),
    term!("term-back-feed"),
    term!("term-jumper-lead"),
    term!("term-lift"),
    term!("term-live-end"),
    term!("term-blow"),
    term!("term-suppressor"),
    term!("term-kick"),
    term!("term-module"),
    term!("term-passing-and-venting"),
    term!("term-engaged-and-released"),
    term!("term-slipping"),
    term!("term-margin"),
    term!("term-governor"),
    term!("term-protection-valve"),
    term!("term-facing"),
    term!("term-lock-up-bolts"),
    term!("term-look-alike"),
    term!("term-example-value"),
];

/// All terms in a language, in the order they are listed for people: the same in each.
pub fn terms(language: Language) -> &'static [Term] {
    static READ: [OnceLock<Vec<Term>>; 3] = [const { OnceLock::new() }; 3];
    let read = |[name, forms, says]: &[&'static str; 3]| {
        let [name, forms, says] = [name, forms, says].map(|key| catalogue::plain(language, key));
        Term { name, forms: forms.split("; ").filter(|form| !form.is_empty()).collect(), says }
    };
    READ[language as usize].get_or_init(|| KEYS.iter().map(read).collect())
}

/// A piece of a text, with the place in [`terms`] of the term it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'t> {
    /// The text of the piece.
    pub text: &'t str,
    /// The term that it is, if it is one.
    pub term: Option<usize>,
}

/// Cuts a text in a language at the terms in it: each at its first place, the longer before the shorter. The pieces together are the
/// text.
pub fn pieces(language: Language, text: &str) -> Vec<Piece<'_>> {
    let small = text.to_lowercase();
    if small.len() != text.len() {
        // A letter whose small form has another length: places in one are none in the other.
        return vec![Piece { text, term: None }];
    }
    let mut found: Vec<(usize, usize, usize)> = Vec::new();
    let mut forms: Vec<(&str, usize)> = terms(language)
        .iter()
        .enumerate()
        .flat_map(|(place, term)| term.forms.iter().chain([&term.name]).map(move |form| (*form, place)))
        .collect();
    forms.sort_by_key(|(form, place)| (std::cmp::Reverse(form.len()), *place));
    for (form, place) in forms {
        if found.iter().any(|(.., known)| *known == place) {
            continue;
        }
        let at = small.match_indices(&form.to_lowercase()).map(|(at, _)| (at, at + form.len())).find(|(from, to)| {
            let is_whole =
                |letter: Option<char>| letter.is_none_or(|letter| !letter.is_alphanumeric() && letter != '-');
            let is_free = found.iter().all(|(known_from, known_to, _)| to <= known_from || known_to <= from);
            is_free && is_whole(small[..*from].chars().next_back()) && is_whole(small[*to..].chars().next())
        });
        if let Some((from, to)) = at {
            found.push((from, to, place));
        }
    }
    found.sort_unstable();
    let mut pieces = Vec::new();
    let mut after = 0;
    for (from, to, place) in found {
        if after < from {
            pieces.push(Piece { text: &text[after..from], term: None });
        }
        pieces.push(Piece { text: &text[from..to], term: Some(place) });
        after = to;
    }
    if after < text.len() {
        pieces.push(Piece { text: &text[after..], term: None });
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::{Language, pieces, terms};

    fn terms_of(text: &str) -> Vec<&str> {
        pieces(Language::English, text).into_iter().filter_map(|piece| piece.term.map(|_| piece.text)).collect()
    }

    #[test]
    fn pieces_together_are_the_text() {
        for text in ["", "Y1's coil has 12.54 V, at or above its 7.80 V pull-in: it is energised.", "µ–† İ lead"]
        {
            assert_eq!(pieces(Language::English, text).iter().map(|piece| piece.text).collect::<String>(), text);
        }
    }

    #[test]
    fn a_term_is_a_whole_word_found_once_and_the_longer_one_first() {
        assert_eq!(terms_of("The lead leads to a misleading Lead."), ["lead"]);
        assert_eq!(terms_of("Torque margin 1.3, the margin is good"), ["Torque margin"]);
        assert_eq!(terms_of("a live end and a live coil"), ["live end", "live"]);
        assert_eq!(terms_of("back-feed"), ["back-feed"]);
    }

    #[test]
    fn every_term_is_said_in_sentences_and_no_form_belongs_to_two() {
        for language in Language::ALL {
            let mut forms: Vec<String> = Vec::new();
            for term in terms(language) {
                assert!(term.says.ends_with('.') && term.says.len() > 20, "{}", term.name);
                for form in term.forms.iter().chain([&term.name]) {
                    let form = form.to_lowercase();
                    assert!(!forms.contains(&form), "{form} twice");
                    forms.push(form);
                }
            }
        }
    }
}
