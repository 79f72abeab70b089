//! Writing a circuit and reading it again is the identity, whatever is in it.
//!
//! Checked on random circuits of every kind and field, and on comments that are none.

use fanloom::circuit::diagnostic::Severity;
use fanloom::circuit::format::{read, render, write};
use fanloom::circuit::{Circuit, Draft};
use proptest::prelude::*;

use super::circuits::circuit;

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_circuit_written_and_read_again_is_the_same(circuit in circuit()) {
        let text = write(&circuit);
        let reading = read(&text);

        let errors: Vec<_> = reading.findings.iter().filter(|f| f.severity == Severity::Error).cloned().collect();
        prop_assert!(errors.is_empty(), "{}\n{}", render(&text, "random.ron", &errors, false), text);
        let again = reading.circuit.expect("no error");
        prop_assert_eq!(&again, &circuit, "{}", text);
        prop_assert_eq!(write(&again), text);
    }
}

#[test]
fn a_preamble_that_is_no_comment_is_made_one() {
    for preamble in ["plain words", "/* open", "Circuit(", "// fine\nnot fine", "\"", "*/", "// a\r\n// b"] {
        let draft = Draft { preamble: preamble.to_owned(), ..Draft::default() };
        let text = write(&Circuit::new(draft).expect("nothing in it"));

        let again = read(&text).circuit.unwrap_or_else(|| panic!("unreadable:\n{text}"));

        assert_eq!(write(&again), text);
    }
}
