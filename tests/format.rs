//! The circuit file: what is read, what is refused and with which words, and that writing and reading agree.
//!
//! Every broken file is a row with the faulty text marked by `«` and `»`; the checks are on place, message and mend.
//! The format is fixed by the project's own reference; random circuits and random damage are in the modules below.

#[path = "format/broken.rs"]
mod broken;
#[path = "format/circuits.rs"]
mod circuits;
#[path = "format/doubtful.rs"]
mod doubtful;
#[path = "format/mutations.rs"]
mod mutations;
#[path = "format/roundtrip.rs"]
mod roundtrip;

use fanloom::circuit::format::{read, render, write};

/// An invented depot's tipper.
const TIPPER: &str = include_str!("format/tipper.ron");
/// An invented coach line's coach: every kind of part.
const COACH: &str = include_str!("format/coach.ron");

#[test]
fn a_sound_file_reads_without_a_word_and_writes_back_to_the_byte() {
    for (name, text) in [("tipper.ron", TIPPER), ("coach.ron", COACH)] {
        let reading = read(text);

        assert_eq!(render(text, name, &reading.findings, false), "");
        assert_eq!(write(&reading.circuit.expect("no error")), text);
    }
}

#[test]
fn byte_order_mark_and_carriage_returns_do_not_matter() {
    let dos = format!("\u{feff}{}", TIPPER.replace('\n', "\r\n"));

    let reading = read(&dos);

    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    assert_eq!(write(&reading.circuit.expect("no error")), TIPPER);
}

#[test]
fn a_header_of_extensions_is_tolerated_and_comments_about_it_are_kept() {
    let text = format!(
        "// before\n#![enable(implicit_some)]\n/* after */\n{}",
        TIPPER.trim_start_matches("// An invented depot's tipper.\n")
    );

    let circuit = read(&text).circuit.expect("no error");

    assert_eq!(circuit.preamble().split_whitespace().collect::<Vec<_>>(), ["//", "before", "/*", "after", "*/"]);
}

#[test]
fn a_kind_without_needed_fields_is_read_with_and_without_brackets() {
    for kind in ["KeySwitch", "Diode", "Splice", "Ground"] {
        let bare = read(&format!("Circuit(format: 1, parts: {{ \"Q1\": {kind} }})")).circuit.expect("sound");
        let brackets = read(&format!("(format: 1, parts: {{ \"Q1\": {kind}() }},)")).circuit.expect("sound");

        assert_eq!(bare, brackets);
    }
}

#[test]
fn ten_thousand_parts_are_read_and_twice_as_many_and_one_are_not() {
    let text = |parts: usize| {
        let entries: Vec<String> = (0..parts).map(|i| format!("\"X{i}\": Splice")).collect();
        format!("Circuit(format: 1, parts: {{ {} }})", entries.join(", "))
    };

    assert!(read(&text(10_000)).circuit.is_some());
    let refused = read(&text(20_001));
    assert!(refused.circuit.is_none());
    assert_eq!(refused.findings[0].message, "the circuit has 20001 parts, and no more than 20000 can be read");
    assert!(read(&" ".repeat(8 * 1024 * 1024 + 1)).findings[0].message.starts_with("the file has 8388609 bytes"));
}

#[test]
fn an_error_is_shown_with_line_caret_and_mend() {
    let text = "Circuit(\n    format: 1,\n    parts: {\n        \"F1\": Fusse(amps: 10),\n    },\n)\n";

    let shown = render(text, "depot.ron", &read(text).findings, false);

    let expected = "\
error: `F1` is a `Fusse`, which is no kind of part
 --> depot.ron:4:15
  |
4 |         \"F1\": Fusse(amps: 10),
  |               ^^^^^
  |
  = help: did you mean `Fuse`?
";
    assert_eq!(shown, expected);
    assert!(render(text, "depot.ron", &read(text).findings, true).contains("\u{1b}["));
}

#[test]
fn a_doubled_tag_is_shown_at_both_places() {
    let text = "Circuit(format: 1, parts: {\n\"F1\": Fuse(amps: 10),\n\"X1\": Splice,\n\"F1\": Fuse(amps: 5),\n})";

    let shown = render(text, "depot.ron", &read(text).findings, false);

    assert!(shown.contains("depot.ron:4:1") && shown.contains("depot.ron:2:1"), "{shown}");
    assert!(shown.contains("it is used here first"), "{shown}");
}

#[test]
fn findings_with_impossible_places_are_shown_all_the_same() {
    use fanloom::circuit::diagnostic::{Finding, Subject};
    let text = "Circuit(title: \"Zürich ☃\")";

    for (start, end) in [(0, 999), (17, 18), (30, 2), (24, 25), (999, 1000)] {
        let mut finding = Finding::error(Subject::Whole, "a message", "a mend").at(0..0);
        finding.span = Some(std::ops::Range { start, end });
        finding.also = Some((std::ops::Range { start: end, end: start }, "there".into()));
        assert!(render(text, "a.ron", &[finding], false).contains("a message"));
    }
}

#[test]
fn a_hopeless_file_is_given_up_after_ten_thousand_errors() {
    for junk in [",", "x ", "\"\n", "r#\"\n", "\"\\\"", "amp:1,", "/*", "\"a\":X(", "(", ";"] {
        let text = format!("Circuit(format: 1, parts: {{ \"F1\": Fuse({}", junk.repeat(30_000));

        let reading = read(&text);

        assert!(reading.circuit.is_none());
        assert!((1..=10_001).contains(&reading.findings.len()), "{junk}: {}", reading.findings.len());
    }
}
