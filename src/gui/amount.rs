//! Amounts of faults and conditions as people write them: `20 Ω` where the grammar has `20ohm`, with a comma where the
//! language has one.
//!
//! Yields [`shown`] and, back from what was typed, [`in_grammar`], which leaves the grammar's own spelling as it is. What
//! amount a fault can have is the bench's.

use crate::words::Language;

use super::tongue::spoken;

/// Units that the grammar writes otherwise than people do.
const UNITS: [(&str, &str); 4] = [("ohm", "\u{3a9}"), ("Mohm", "M\u{3a9}"), ("F", "\u{b0}F"), ("C", "\u{b0}C")];

/// An amount of the grammar as it is written where the language is spoken.
pub fn shown(amount: &str) -> String {
    let (number, unit) = amount.split_at(amount.find(char::is_alphabetic).unwrap_or(amount.len()));
    let number = number.replace('-', "\u{2212}");
    let number = if spoken() == Language::English { number } else { number.replace('.', ",") };
    let unit = UNITS.iter().find(|(grammar, _)| *grammar == unit).map_or(unit, |(_, shown)| shown);
    format!("{number}\u{a0}{unit}").trim_end().to_owned()
}

/// What a person typed, as the grammar has it. In English a comma before three figures is none that it has: `1,000` is not
/// taken for one.
pub fn in_grammar(typed: &str) -> String {
    let figures = |after: &str| after.chars().take_while(char::is_ascii_digit).count();
    let groups = spoken() == Language::English && typed.split(',').skip(1).any(|after| figures(after) >= 3);
    let said = |letter: &char| !letter.is_whitespace() && *letter != '\u{b0}';
    let letter = |letter: char| match letter {
        ',' if !groups => '.',
        '\u{2212}' => '-',
        other => other,
    };
    typed.chars().filter(said).map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Fault;

    #[test]
    fn what_is_shown_of_an_amount_is_read_as_that_amount_again() {
        let faults =
            ["resist:W4=20ohm", "ground:B1.1=2000000ohm", "drift:B1=-12.5F", "drift:B2=+10psi", "fitted:F1=30A"];
        for words in faults {
            let fault: Fault = words.parse().unwrap();
            let amount = fault.amount().unwrap();
            let shown = shown(&amount);
            assert_ne!(shown, amount);
            assert_eq!(fault.with_amount(&in_grammar(&shown)), Ok(fault.clone()), "{shown}");
            assert_eq!(fault.with_amount(&in_grammar(&shown.replace('.', ","))), Ok(fault), "{shown}");
        }
    }

    #[test]
    fn a_thousand_with_a_comma_is_not_taken_for_one() {
        let fault: Fault = "resist:W4=20ohm".parse().unwrap();
        assert!(fault.with_amount(&in_grammar("1,000 \u{3a9}")).is_err());
        assert_eq!(fault.with_amount(&in_grammar("1,5 \u{3a9}")), "resist:W4=1.5ohm".parse());
    }
}
