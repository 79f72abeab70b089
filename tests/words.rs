//! What people read, in every language: no key is missing, none is there for nothing, and each takes the same.
//!
//! Reads the files of `assets/words` and the source beside them. Whether a sentence is good Spanish or French is for people
//! to say.

mod support;

use std::collections::{BTreeMap, BTreeSet};

use fluent_bundle::FluentResource;

use fanloom::words::{Language, Words, catalogue, fixed};
use support::source::literals;
use support::{files_below, text_of};

/// Where English prose may stand in the source of the window by letter: the file, the literal, and why.
const ENGLISH_BY_LETTER: &[(&str, &str, &str)] = &[
    ("app.rs", "first frame after {} ms", "for measuring, on standard error"),
    ("filing.rs", "the one in front stays there", "a promise of the code"),
];

/// The messages of a language: key and pattern, as they are written.
fn messages(language: Language) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for source in catalogue::sources(language) {
        let mut last = String::new();
        for line in source.lines().filter(|line| !line.starts_with('#') && !line.is_empty()) {
            match line.split_once(" =").filter(|_| line.starts_with(|c: char| c.is_ascii_lowercase())) {
                Some((key, pattern)) => {
                    last = key.to_owned();
                    let twice = found.insert(last.clone(), pattern.to_owned());
                    assert!(twice.is_none(), "{key} stands twice in {language:?}");
                }
                None => found.get_mut(&last).expect("a pattern goes on from a key").push_str(line),
            }
        }
    }
    found
}

/// What a pattern puts in, and what it only chooses by.
fn arguments(pattern: &str) -> (BTreeSet<&str>, BTreeSet<&str>) {
    let (mut put_in, mut chosen_by) = (BTreeSet::new(), BTreeSet::new());
    for piece in pattern.split('$').skip(1) {
        let end = piece.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(piece.len());
        let (name, rest) = piece.split_at(end);
        if rest.trim_start().starts_with("->") {
            chosen_by.insert(name)
        } else {
            put_in.insert(name)
        };
    }
    (put_in, chosen_by)
}

/// Every key the source asks for.
fn asked_for() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for path in files_below("src", "rs") {
        let text = text_of(&path);
        for (start, literal) in literals(&text) {
            let before = text[..start].trim_end();
            // The macro's whole name: `format!` and `concat!` end alike.
            let name = before.strip_suffix("!(").unwrap_or_default();
            let name = name.rsplit(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default();
            if ["say", "t", "key"].contains(&name) {
                found.insert(literal.to_owned());
            } else if name == "term" {
                found.extend(["", "-forms", "-says"].map(|part| format!("{literal}{part}")));
            }
        }
    }
    found
}

#[test]
fn every_file_of_words_is_read_whole() {
    for language in Language::ALL {
        for source in catalogue::sources(language) {
            if let Err((_, errors)) = FluentResource::try_new(source.to_owned()) {
                panic!("{language:?}: {errors:?}");
            }
        }
    }
}

#[test]
fn every_language_has_every_key_and_puts_in_the_same() {
    let english = messages(Language::English);
    for language in [Language::Spanish, Language::French] {
        let other = messages(language);
        let keys = |words: &BTreeMap<String, String>| words.keys().cloned().collect::<BTreeSet<_>>();
        assert_eq!(keys(&english).symmetric_difference(&keys(&other)).collect::<Vec<_>>(), [] as [&String; 0]);
        for (key, pattern) in &english {
            let ((wanted, chosen_by), (put_in, may_choose)) = (arguments(pattern), arguments(&other[key]));
            assert_eq!(put_in, wanted, "{key} in {language:?}");
            assert!(may_choose.is_subset(&chosen_by), "{key} in {language:?}");
        }
    }
}

#[test]
fn every_key_is_asked_for_and_every_key_asked_for_is_there() {
    let there: BTreeSet<String> = messages(Language::English).into_keys().collect();
    let asked = asked_for();

    assert_eq!(asked.difference(&there).collect::<Vec<_>>(), [] as [&String; 0], "asked for and not there");
    assert_eq!(there.difference(&asked).collect::<Vec<_>>(), [] as [&String; 0], "there and not asked for");
}

#[test]
fn nothing_people_read_stands_in_the_window_by_letter() {
    let is_prose = |text: &str| {
        let is_word = |word: &&str| word.len() > 1 && word.chars().all(|c| c.is_ascii_lowercase());
        text.split(' ').collect::<Vec<_>>().windows(2).any(|pair| pair.iter().all(&is_word))
    };
    // Names of things that are kept between frames, and what a broken promise of the code says.
    let not_read = [
        "id_salt(",
        "id_salt((",
        "Panel::left(",
        "Panel::right(",
        "list(ui, (",
        "unique((",
        "unique(",
        "expect(",
        "reason =",
    ];
    let mut found = Vec::new();
    for path in files_below("src/gui", "rs") {
        let text = text_of(&path);
        let end = text.find("#[cfg(test)]").unwrap_or(text.len());
        for (start, literal) in literals(&text[..end]) {
            let before = text[..start].trim_end();
            let is_allowed =
                ENGLISH_BY_LETTER.iter().any(|(file, allowed, _)| path.ends_with(file) && *allowed == literal);
            if is_prose(literal) && !not_read.iter().any(|call| before.ends_with(call)) && !is_allowed {
                found.push(format!("{path}: {literal:?}"));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_letter_of_every_language_is_in_both_faces() {
    for face in ["assets/fonts/DejaVuSans.ttf", "assets/fonts/DejaVuSans-Bold.ttf"] {
        let bytes = std::fs::read(support::top().join(face)).unwrap();
        let face = ttf_parser::Face::parse(&bytes, 0).unwrap();
        for language in Language::ALL {
            let letters: BTreeSet<char> =
                catalogue::sources(language).iter().flat_map(|source| source.chars()).collect();
            let lacking: Vec<char> =
                letters.into_iter().filter(|c| *c != '\n' && face.glyph_index(*c).is_none()).collect();
            assert!(lacking.is_empty(), "{language:?}: {lacking:?}");
        }
    }
}

#[test]
fn a_number_is_written_as_its_language_writes_it_wherever_it_is_put_in() {
    let volts = fanloom::study::wording::volts(12.6);

    assert_eq!(volts.to_language(Language::English), "12.60 V");
    assert_eq!(volts.to_language(Language::Spanish), "12,60\u{a0}V");
    assert_eq!(volts.to_language(Language::French), "12,60\u{a0}V");
    assert_eq!(volts, "12.60 V", "compared it is English");
    assert_eq!(serde_json::to_string(&volts).unwrap(), "\"12.60 V\"");
    let inside = Words::with(
        "explain-is-its-coil-has",
        vec![
            ("relay", fanloom::words::Arg::Text("K1".into())),
            ("state", fanloom::words::Arg::Words(Words::of("explain-at-rest"))),
            ("volts", fanloom::words::Arg::Words(volts)),
        ],
    );
    assert_eq!(inside.to_language(Language::French), "K1 est au repos\u{a0}: sa bobine a 12,60\u{a0}V.");
    assert_eq!(inside.to_string(), "K1 is at rest: its coil has 12.60 V.");
    assert!(matches!(fixed(1.0, 2), fanloom::words::Arg::Number(..)));
}

#[test]
fn one_and_several_are_said_as_each_language_says_them() {
    let opens = |count: usize, fuses: &str| {
        Words::with(
            "warnings-fuses-open",
            vec![
                ("fuses", fanloom::words::Arg::Text(fuses.into())),
                ("count", fanloom::words::Arg::Number(count as f64, Some(0))),
            ],
        )
    };
    assert_eq!(opens(1, "F1").to_string(), ", F1 opens.");
    assert_eq!(opens(2, "F1, F2").to_string(), ", F1, F2 open.");
    assert_eq!(opens(2, "F1, F2").to_language(Language::Spanish), ", F1, F2 se funden.");
}

#[test]
fn signal_words_are_those_of_the_standards() {
    let said = |language| ["sheet-danger", "sheet-warning", "sheet-caution"].map(|key| catalogue::plain(language, key));

    assert_eq!(said(Language::English), ["DANGER", "WARNING", "CAUTION"]);
    assert_eq!(said(Language::Spanish), ["PELIGRO", "ADVERTENCIA", "PRECAUCIÓN"]);
    assert_eq!(said(Language::French), ["DANGER", "AVERTISSEMENT", "ATTENTION"]);
}
