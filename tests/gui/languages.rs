//! The window in Spanish and French: chosen without a restart, whole in every size, and nothing left in English.
//! How texts are kept and read is tested in `tests/words.rs`.

use std::collections::BTreeSet;

use eframe::egui::{Key, Modifiers, vec2};

use fanloom::words::{Arg, Language, catalogue};

use super::sizes::{large, nothing_is_out_of_reach};
use super::{Window, changes, click, jump, names, press, press_with, settle, shown, window};

/// The language that the button in the bar names, where it is seen.
fn spoken(window: &Window) -> Option<Language> {
    let button = |language: Language| {
        let args = [("name", Arg::Text(language.own_name().into()))];
        catalogue::text(language, "bar-language", &args)
    };
    Language::ALL.into_iter().find(|language| shown(window, &button(*language)))
}

/// Goes on to the next language until this one is spoken.
pub(super) fn speak(window: &mut Window, language: Language) {
    for _ in 0..4 {
        match spoken(window) {
            Some(now) if now == language => return,
            Some(now) => click(window, ["Language: ", "Idioma: ", "Langue\u{a0}: "][now as usize]),
            None => click(window, "Look"),
        }
    }
    panic!("{language:?} is not come to");
}

/// Pulls out, opens and unfolds everything by keys, which are the same in every language, and looks at each.
fn leaf_through(window: &mut Window, language: Language, look: &mut dyn FnMut(&mut Window, &str)) {
    look(window, "at the beginning");
    let drawers = [
        (Key::P, "prove"),
        (Key::L, "logic"),
        (Key::W, "faults"),
        (Key::I, "find"),
        (Key::S, "steps"),
        (Key::E, "build"),
        (Key::H, "hunt"),
    ];
    for (key, drawer) in drawers {
        if window.state().room().open_drawer().is_none_or(|out| format!("{out:?}").to_lowercase() != drawer) {
            press(window, key);
        }
        settle(window);
        look(window, drawer);
    }
    press(window, Key::H);
    for (key, dialog) in [(Key::C, "card"), (Key::F1, "words"), (Key::F2, "keys")] {
        press(window, key);
        settle(window);
        look(window, dialog);
        press(window, Key::Escape);
    }
    press_with(window, Modifiers::COMMAND, Key::O);
    look(window, "circuits");
    press(window, Key::Escape);
    press_with(window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    look(window, "save");
    press(window, Key::Escape);
    press(window, Key::T);
    press(window, Key::Period);
    look(window, "clock");
    press(window, Key::T);
    assert_ne!(language, Language::English, "a terminal is a borne in the other two");
    press(window, Key::Num2);
    click(window, "Borne B1.1,");
    click(window, "Borne N1.g,");
    press(window, Key::Escape);
    press(window, Key::Num4);
    look(window, "meter in hand and a lead in the ledger");
    press(window, Key::Escape);
}

#[test]
fn another_language_is_spoken_at_once_and_the_bench_stays_as_it_is() {
    let mut window = window();
    jump(&mut window, "B1.1", "N1.g");
    let before = changes(&window);

    speak(&mut window, Language::Spanish);

    assert!(shown(&window, "Condiciones") && shown(&window, "Llave"), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.starts_with("PELIGRO")), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.starts_with("Circuito: ")), "the chain is named");
    assert_eq!(changes(&window), before);

    speak(&mut window, Language::French);

    assert!(shown(&window, "Conditions") && shown(&window, "Contact"));
    assert!(names(&window).iter().any(|name| name.starts_with("DANGER")));
    assert!(names(&window).iter().any(|name| name.contains("Le cavalier")), "{:?}", names(&window));

    click(&mut window, "Langue");

    assert!(shown(&window, "Language: English") && shown(&window, "Key"));
}

#[test]
fn numbers_have_a_comma_where_the_language_has_one() {
    let mut window = window();
    speak(&mut window, Language::French);

    let all = names(&window);

    assert!(all.iter().any(|name| name.contains("12,") && name.contains("volts")), "{all:?}");
    let is_point = |name: &&String| name.contains("volts") && name.contains("12.");
    assert_eq!(all.iter().find(is_point), None);
}

/// What is said with a unit of °F or psi.
fn customary(window: &Window) -> BTreeSet<String> {
    let is_unit = |name: &String| name.split(|c: char| !c.is_alphabetic() && c != '°').any(|w| w == "psi" || w == "°F");
    names(window).into_iter().filter(is_unit).collect()
}

/// The scales were in kilopascal, the chain above them and the drawing beside them in psi.
#[test]
fn to_who_measures_in_metric_units_nothing_is_told_in_psi_or_degrees_fahrenheit() {
    let mut window = window();
    speak(&mut window, Language::French);
    assert!(!customary(&window).is_empty());
    click(&mut window, "°F psi");

    let mut left = BTreeSet::new();
    leaf_through(&mut window, Language::French, &mut |window, what| {
        // What is changed in a circuit is written as its file has it; words of the trade name both.
        if !["build", "words", "hunt"].contains(&what) {
            left.extend(customary(window).into_iter().map(|name| format!("{what}: {name}")));
        }
    });

    assert!(left.is_empty(), "{}", left.into_iter().collect::<Vec<_>>().join("\n"));
}

#[test]
fn in_every_language_nothing_is_clipped_or_out_of_reach() {
    for language in [Language::Spanish, Language::French] {
        for (size, scale) in [(vec2(1024.0, 700.0), 1.0), (vec2(1024.0, 700.0), 2.0), (vec2(1280.0, 800.0), 1.0)] {
            let mut window = large(size, scale);
            speak(&mut window, language);
            leaf_through(&mut window, language, &mut |window, what| {
                nothing_is_out_of_reach(window, &format!("{what} in {language:?} in {size:?} at {scale}"));
            });
        }
    }
}

/// Small words that English sentences are held together by, and neither Spanish nor French has.
const ENGLISH: [&str; 14] =
    ["the", "and", "with", "from", "that", "this", "wire", "where", "nothing", "lead", "when", "not", "is", "at"];

fn is_english(name: &str) -> bool {
    name.split(|c: char| !c.is_alphabetic()).any(|word| ENGLISH.contains(&word))
}

#[test]
fn nothing_is_left_in_english() {
    for language in [Language::Spanish, Language::French] {
        let mut window = window();
        speak(&mut window, language);
        let mut left = BTreeSet::new();
        leaf_through(&mut window, language, &mut |window, _| {
            let circuit = window.state().bench().circuit();
            let own = [circuit.title().to_owned(), circuit.notes().to_owned()];
            // Titles and remarks of circuits are their files' own.
            left.extend(names(window).into_iter().filter(|name| !own.contains(name) && is_english(name)));
        });
        assert!(left.is_empty(), "{language:?}:\n{}", left.into_iter().collect::<Vec<_>>().join("\n"));
    }
}

/// What is said after a refusal, after a change of the circuit, and of what is doubtful about it then.
fn after_a_refusal_and_a_change(language: Language) -> BTreeSet<String> {
    let mut window = window();
    speak(&mut window, language);
    let title = catalogue::plain(language, "condition-engine-speed");
    let field = catalogue::text(language, "conditions-value", &[("title", Arg::Text(title.into()))]);
    super::type_into(&mut window, &field, "99999");
    press(&mut window, Key::Enter);
    let mut said: BTreeSet<String> = names(&window).into_iter().collect();
    let args = [("text", "99999"), ("title", title), ("unit", ""), ("like", "")];
    let args = args.map(|(name, words)| (name, Arg::Text(words.into())));
    let whole = catalogue::text(language, "conditions-is-not-a-value-for", &args);
    let refusal = whole.split(':').next().unwrap_or_default();
    assert!(said.iter().any(|name| name.starts_with(refusal)), "{refusal:?} is not among {said:?}");

    press(&mut window, Key::E);
    let wire = ["Wire W10,", "Cable W10,", "Fil W10,"][language as usize];
    super::focus(&mut window, wire);
    press(&mut window, Key::Enter);
    let away = catalogue::text(language, "build-take-away-3", &[("tag", Arg::Text("W10".into()))]);
    super::reach(&mut window, &away);
    // What was done was told in English: too short a sentence to be missed below.
    let change = catalogue::text(language, "change-take-away", &[("tag", Arg::Text("W10".into()))]);
    assert_eq!(window.state().desk().said, format!("{change}."));
    super::reach(&mut window, catalogue::plain(language, "build-what-is-doubtful"));
    settle(&mut window);
    said.extend(names(&window));
    assert!(said.iter().any(|name| name.ends_with(&change)), "{change:?} is not among {said:?}");
    said
}

#[test]
fn after_a_refusal_and_a_change_no_sentence_is_the_same_as_in_english() {
    let english = after_a_refusal_and_a_change(Language::English);
    // The notation of a circuit file, in which its fields are shown, and names that belong to the file.
    let is_sentence =
        |name: &&String| name.split_whitespace().filter(|word| word.chars().all(char::is_alphabetic)).count() > 2;
    for language in [Language::Spanish, Language::French] {
        let other = after_a_refusal_and_a_change(language);
        let same: Vec<_> = other.intersection(&english).filter(is_sentence).collect();
        assert!(same.is_empty(), "{language:?}: {same:?}");
    }
}

#[test]
fn a_circuit_made_from_answers_has_its_title_in_the_language_spoken() {
    let mut window = window();
    speak(&mut window, Language::French);
    press_with(&mut window, Modifiers::COMMAND, Key::O);
    click(&mut window, catalogue::plain(Language::French, "dialogs-make-one-from-answers"));
    click(&mut window, catalogue::plain(Language::French, "making-put-it-on-the-bench"));
    settle(&mut window);
    assert_eq!(window.state().bench().circuit().title(), "Mon camion");
}

#[test]
fn what_is_wrong_with_a_file_is_told_in_the_language_spoken_with_its_line_and_mend() {
    let folder = super::files::folder();
    let path = folder.path().join("broken.ron");
    let text = "Circuit(\n    format: 1,\n    parts: { \"F1\": Fuse(amps: \"ten\"), \"B1\": Ground(colour: 2) },\n)\n";
    std::fs::write(&path, text).expect("a file for the test");
    for (language, said) in [
        (
            Language::Spanish,
            ["error: `amps` de `F1` es `\"ten\"`, que no es un número", "ayuda: ", "Fuse(amps: \"ten\")"],
        ),
        (
            Language::French,
            ["erreur: `amps` de `F1` est `\"ten\"`, qui n'est pas un nombre", "aide: ", "Fuse(amps: \"ten\")"],
        ),
    ] {
        let mut window = window();
        speak(&mut window, language);
        press_with(&mut window, Modifiers::COMMAND, Key::O);
        let field = catalogue::plain(language, "dialogs-circuit-file");
        super::type_into(&mut window, field, &path.display().to_string());
        press(&mut window, Key::Enter);
        settle(&mut window);

        let names = names(&window);
        for words in said {
            assert!(names.iter().any(|name| name.contains(words)), "{words:?} is not among {names:#?}");
        }
        assert_eq!(names.into_iter().filter(|name| is_english(name)).collect::<Vec<_>>(), [] as [String; 0]);
    }
}
