//! Random damage to sound files: reading never panics or hangs, and every finding has a place that can be shown.
//!
//! `FANLOOM_MUTATIONS` sets the number of cases. The damage is the same in every run: a small generator (splitmix64;
//! Steele, Lea and Flood, 2014) is seeded with the case's number.

use std::ops::Range;

use fanloom::circuit::diagnostic::Severity;
use fanloom::circuit::format::{read, render, write};

use super::{COACH, TIPPER};

struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.roll() % (limit.max(1) as u64)).expect("below a usize")
    }

    fn place(&mut self, text: &str) -> usize {
        text.floor_char_boundary(self.below(text.len() + 1))
    }

    fn stretch(&mut self, text: &str, longest: usize) -> Range<usize> {
        let start = self.place(text);
        start..text.floor_char_boundary((start + self.below(longest)).min(text.len())).max(start)
    }
}

const INSERTED: [&str; 46] = [
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "\"",
    "'",
    "\\",
    ",",
    ":",
    ";",
    "=",
    "//",
    "/*",
    "*/",
    "r#\"",
    "\"#",
    "b\"",
    "#![enable(x)]",
    "0",
    "-1",
    "1e999",
    "NaN",
    "inf",
    "0x1F",
    "1_0",
    ".",
    "Some(",
    "None",
    "()",
    "((((((((",
    "ü",
    "☃",
    "\u{202e}",
    "\u{0}",
    "\u{feff}",
    "\n",
    "\r\n",
    "\u{a0}",
    "𝄞",
    "Not(",
    "Any([",
    "\"G1\": Battery(volts: 1),",
    "format: 1,",
    "W1",
];

/// Places of the words and signs of a text.
fn tokens(text: &str) -> Vec<Range<usize>> {
    let mut start = 0;
    let mut tokens = Vec::new();
    for piece in text.split_inclusive(|c: char| !c.is_alphanumeric()) {
        tokens.push(start..start + piece.len());
        start += piece.len();
    }
    tokens
}

/// One change somewhere in the text.
fn damage(text: &mut String, dice: &mut Dice) {
    match dice.below(8) {
        0 => {
            let at = dice.place(text);
            text.insert_str(at, INSERTED[dice.below(INSERTED.len())]);
        }
        1 => {
            let one = dice.stretch(text, 3);
            text.replace_range(one, "");
        }
        2 => {
            let some = dice.stretch(text, 40);
            text.replace_range(some, "");
        }
        3 => {
            let copy = text[dice.stretch(text, 60)].to_owned();
            let at = dice.place(text);
            text.insert_str(at, &copy);
        }
        4 => text.truncate(dice.place(text)),
        5 => {
            let tokens = tokens(text);
            if !tokens.is_empty() {
                let other = text[tokens[dice.below(tokens.len())].clone()].to_owned();
                text.replace_range(tokens[dice.below(tokens.len())].clone(), &other);
            }
        }
        6 => {
            let mut lines: Vec<&str> = text.lines().collect();
            if !lines.is_empty() {
                let (a, b) = (dice.below(lines.len()), dice.below(lines.len()));
                lines.swap(a, b);
                *text = lines.join("\n");
            }
        }
        _ => {
            let mut bytes = std::mem::take(text).into_bytes();
            if !bytes.is_empty() {
                let at = dice.below(bytes.len());
                bytes[at] = u8::try_from(dice.below(256)).expect("a byte");
            }
            *text = String::from_utf8_lossy(&bytes).into_owned();
        }
    }
}

#[test]
fn no_damage_makes_reading_panic_or_point_outside_the_text() {
    let cases = std::env::var("FANLOOM_MUTATIONS").ok().and_then(|n| n.parse().ok()).unwrap_or(2_000u64);
    for case in 0..cases {
        let mut dice = Dice(case);
        let mut text = if dice.below(2) == 0 { TIPPER } else { COACH }.to_owned();
        for _ in 0..=dice.below(5) {
            damage(&mut text, &mut dice);
        }

        let reading = read(&text);
        let shown = render(&text, "damaged.ron", &reading.findings, case % 2 == 0);

        for finding in &reading.findings {
            let span = finding.span.clone().expect("a place");
            assert!(text.get(span.clone()).is_some(), "case {case}: {span:?} is no place in\n{text}");
            assert!(!finding.message.is_empty() && !finding.mend.is_empty(), "case {case}: {finding:?}");
        }
        let sound = reading.findings.iter().all(|f| f.severity != Severity::Error);
        assert_eq!(reading.circuit.is_some(), sound, "case {case}:\n{text}");
        assert_eq!(shown.is_empty(), reading.findings.is_empty());
        if let Some(circuit) = reading.circuit {
            let written = write(&circuit);
            let again = read(&written).circuit.unwrap_or_else(|| panic!("case {case} is not read again:\n{written}"));
            assert_eq!(again, circuit, "case {case}");
        }
    }
}
