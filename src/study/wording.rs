//! Answers to sentences: names, numbers and lists as a technician would say them.
//!
//! The one place where the studies word things, so that the window, the command line and paper speak alike. What is
//! said is decided elsewhere.

use std::sync::LazyLock;

use crate::bench::Act;
use crate::circuit::part::Quantity;
use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI, Level, fahrenheit_from_celsius};
use crate::circuit::{Circuit, Contact, Kind, PartId, Telling};
use crate::physics::bolts::LOCK_UP;
use crate::words::{Words, fixed, say};

/// A part with what it is: `B1, the coolant switch`.
pub fn part_name(circuit: &Circuit, id: PartId) -> Words {
    let part = circuit.part(id);
    say!("wording-the", tag = part.tag, kind = kind_name(&part.kind))
}

/// What kind of part it is, as the trade says it.
pub fn kind_name(kind: &Kind) -> Words {
    match kind {
        Kind::Battery(_) => say!("wording-battery"),
        Kind::Fuse(_) => say!("wording-fuse"),
        Kind::KeySwitch(_) => say!("wording-key-switch"),
        Kind::HandSwitch(switch) if switch.momentary => say!("wording-push-switch"),
        Kind::HandSwitch(_) => say!("wording-hand-switch"),
        Kind::SelectorSwitch(_) => say!("wording-selector-switch"),
        Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => match s.senses {
            Quantity::Coolant => say!("wording-coolant-switch"),
            Quantity::IntakeAir => say!("wording-intake-air-switch"),
            Quantity::Oil => say!("wording-oil-switch"),
            Quantity::Refrigerant => say!("wording-refrigerant-switch"),
            Quantity::AirSupply => say!("wording-air-supply-switch"),
        },
        Kind::Relay(_) => say!("wording-relay"),
        Kind::AirValve(_) => say!("wording-air-valve"),
        Kind::Diode(_) => say!("wording-diode"),
        Kind::Resistor(_) => say!("wording-resistor"),
        Kind::Lamp(_) => say!("wording-lamp"),
        Kind::Module(_) => say!("wording-engine-module"),
        Kind::Timer(_) => say!("wording-timer"),
        Kind::Connector(_) => say!("wording-connector"),
        Kind::Splice(_) => say!("wording-splice"),
        Kind::Ground(_) => say!("wording-ground"),
    }
}

/// What is sensed, in running text.
pub fn quantity_name(quantity: Quantity) -> Words {
    match quantity {
        Quantity::Coolant => say!("wording-coolant"),
        Quantity::IntakeAir => say!("wording-intake-air"),
        Quantity::Oil => say!("wording-oil"),
        Quantity::Refrigerant => say!("wording-refrigerant"),
        Quantity::AirSupply => say!("wording-air-supply"),
    }
}

/// A contact's position in a word.
pub fn position_word(position: Contact) -> Words {
    match position {
        Contact::Open => say!("wording-open"),
        Contact::Closed => say!("wording-closed"),
    }
}

/// A number by itself.
pub fn number(value: f64, decimals: usize) -> Words {
    say!("wording-number", value = fixed(value, decimals))
}

/// A number with its unit's symbol behind it.
pub fn with_unit(value: f64, decimals: usize, unit: &str) -> Words {
    say!("wording-with-unit", value = fixed(value, decimals), unit)
}

/// A felt value (°C or kPa) as a number in the unit that `like` is written in.
pub fn number_like(value: f64, like: Level) -> Words {
    Words::measured(|measure| number_in(value, like.measured(measure)))
}

fn number_in(value: f64, unit: Level) -> Words {
    match unit {
        Level::Fahrenheit(_) => number(fahrenheit_from_celsius(value), 0),
        Level::Celsius(_) => number(value, 0),
        Level::Psi(_) => number(value / KPA_PER_PSI, 0),
        Level::Kilopascal(_) => number(value, 0),
        Level::Bar(_) => number(value / KPA_PER_BAR, 1),
    }
}

/// A felt value (°C or kPa) with the unit that `like` is written in: `215 °F`.
pub fn value_like(value: f64, like: Level) -> Words {
    Words::measured(|measure| {
        let like = like.measured(measure);
        say!("wording-with-unit", value = number_in(value, like), unit = like.unit())
    })
}

/// A temperature in whole °C, or in the units of whoever reads it.
pub fn celsius(celsius: f64) -> Words {
    value_like(celsius, Level::Celsius(0.0))
}

/// A gauge pressure in psi, or in the units of whoever reads it.
pub fn psi(kpa: f64) -> Words {
    value_like(kpa, Level::Psi(0.0))
}

/// The same of what a gauge shows, which keeps psi.
pub fn gauge(shown: f64) -> Words {
    psi(shown * KPA_PER_PSI)
}

/// Volts, to a meter's two decimals.
pub fn volts(volts: f64) -> Words {
    // A meter shows no minus before a zero.
    let shown = if volts.abs() < 0.005 { 0.0 } else { volts };
    with_unit(shown, 2, "V")
}

/// Amps, finer where they are few.
pub fn amps(amps: f64) -> Words {
    let amps = amps.abs();
    if amps >= 10.0 {
        with_unit(amps, 0, "A")
    } else if amps >= 0.1 {
        with_unit(amps, 2, "A")
    } else if amps >= 0.0005 {
        with_unit(amps * 1e3, 0, "mA")
    } else {
        with_unit(0.0, 0, "A")
    }
}

/// Amps with a minus before what runs the other way, as an instrument shows them.
pub fn signed_amps(amps: f64) -> Words {
    let sign = if amps <= -0.0005 { "-" } else { "" };
    Words::joined([sign.into(), self::amps(amps)], "")
}

/// Ohms, as a meter shows them: `0.2 ohm`, `30.5 ohm`, `4.70 kohm`, `2.10 Mohm`.
pub fn ohms(ohms: f64) -> Words {
    let size = ohms.abs();
    if size >= 1e6 {
        with_unit(ohms / 1e6, 2, "Mohm")
    } else if size >= 1e3 {
        with_unit(ohms / 1e3, 2, "kohm")
    } else {
        with_unit(if size < 0.05 { 0.0 } else { ohms }, 1, "ohm")
    }
}

/// Seconds, as finely as a fuse's band is known.
pub fn seconds(seconds: f64) -> Words {
    if seconds >= 10.0 {
        number(seconds, 0)
    } else if seconds >= 1.0 {
        number(seconds, 1)
    } else {
        number(seconds, 2)
    }
}

/// A length of time in its handiest unit: `0.25 s`, `90 s`, `30 min`, `2 h`.
pub fn duration(seconds: f64) -> Words {
    let (unit, name) = time_unit(seconds);
    say!("wording-with-unit", value = (seconds / unit * 1000.0).round() / 1000.0, unit = name)
}

/// The unit, in seconds, that suits lengths of time up to this one, and its symbol.
pub fn time_unit(seconds: f64) -> (f64, &'static str) {
    if seconds <= 120.0 {
        (1.0, "s")
    } else if seconds <= 7200.0 {
        (60.0, "min")
    } else {
        (3600.0, "h")
    }
}

/// With a capital letter.
pub fn capital(words: impl Into<Words>) -> Words {
    words.into().capital()
}

/// `a`, `a and b`, `a, b and c`.
pub fn list<W>(items: &[W]) -> Words
where
    for<'w> Words: From<&'w W>,
{
    match items {
        [] => Words::default(),
        [one] => one.into(),
        [most @ .., last] => {
            say!("wording-list", most = Words::joined(most.iter().map(Words::from), ", "), last = Words::from(last))
        }
    }
}

/// `a`, `a or b`, `a, b or c`.
pub fn choice<W>(items: &[W]) -> Words
where
    for<'w> Words: From<&'w W>,
{
    match items {
        [] => Words::default(),
        [one] => one.into(),
        [most @ .., last] => {
            say!("wording-choice", most = Words::joined(most.iter().map(Words::from), ", "), last = Words::from(last))
        }
    }
}

/// What stands on every verdict, card and window: the order of who is to be believed, and what keeps hands whole.
pub static SAFETY: LazyLock<Words> = LazyLock::new(|| Words::joined(safety_sentences(), " "));

/// The same a sentence each.
pub fn safety_sentences() -> [Words; 5] {
    [
        say!("wording-safety-brake"),
        say!("wording-safety-hands"),
        say!("wording-safety-running"),
        say!("wording-safety-leads"),
        say!("wording-safety-maker"),
    ]
}

/// Said where lock-up bolts are fitted.
pub static BOLTED_UP: Words = say!("wording-lock-up-bolts-are-an");

/// What lock-up bolts are, and how much their torque loads them.
pub fn lock_up_bolts() -> Words {
    let (bolt, newton_metres) = (LOCK_UP, LOCK_UP.torque_lbf_ft * 1.355_818);
    let (preload, proof) = (bolt.preload_lbf(), bolt.proof_load_lbf());
    say!(
        "wording-lock-up-bolts-grade-8",
        size = bolt.size,
        torque_lbf_ft = fixed(bolt.torque_lbf_ft, 0),
        newton_metres = fixed(newton_metres, 0),
        preload = fixed(preload, 0),
        share = fixed(100.0 * preload / proof, 0),
        proof = fixed(proof, 0),
        proof_ksi = fixed(bolt.grade.proof_ksi, 0)
    )
}

/// Put behind a number that rests on an example value.
pub const EXAMPLE_MARK: char = '†';

/// What the mark means, once for each page or panel that has one.
pub static EXAMPLE_NOTE: Words = say!("wording-example-value-put-in-your");

/// The note for a page on which these words stand: none where none of them has the mark.
pub fn example_note<'a>(mut words: impl Iterator<Item = &'a str>) -> Option<Words> {
    words.any(|words| words.contains(EXAMPLE_MARK)).then(|| EXAMPLE_NOTE.clone())
}

/// A number in words, with the mark where it rests on an example value of this circuit.
pub fn marked(circuit: &Circuit, shown: Telling, words: impl Into<Words>) -> Words {
    let words = words.into();
    if circuit.rests_on_example(shown) { Words::joined([words, "†".into()], "") } else { words }
}

/// Said with every act that keeps the fan off while something calls for it.
pub static FORGOTTEN: Words = say!("wording-seconds-only-with-the-engine");

/// Said with every act that only seems to prove the clutch, by blowing a fuse.
pub static FALSE_PASS: Words = say!("wording-this-proves-nothing-the-clutch");

/// Said with an act that lifts a wire: that lifting its other end does the same, and how that end would hang.
pub fn other_end(act: &Act, live: bool) -> Words {
    if live { say!("wording-does-the-same-but-leaves", act) } else { say!("wording-does-the-same", act) }
}
