//! Answers to sentences: names, numbers and lists as a technician would say them.
//!
//! The one place where the studies word things, so that the window, the command line and paper speak alike. What is
//! said is decided elsewhere.

use crate::bench::Act;
use crate::circuit::part::Quantity;
use crate::circuit::quantity::{KPA_PER_BAR, KPA_PER_PSI, Level, fahrenheit_from_celsius};
use crate::circuit::{Circuit, Contact, Kind, PartId, Telling};
use crate::physics::bolts::LOCK_UP;

/// A part with what it is: `B1, the coolant switch`.
pub fn part_name(circuit: &Circuit, id: PartId) -> String {
    let part = circuit.part(id);
    format!("{}, the {}", part.tag, kind_name(&part.kind))
}

/// What kind of part it is, as the trade says it.
pub fn kind_name(kind: &Kind) -> &'static str {
    match kind {
        Kind::Battery(_) => "battery",
        Kind::Fuse(_) => "fuse",
        Kind::KeySwitch(_) => "key switch",
        Kind::HandSwitch(switch) if switch.momentary => "push switch",
        Kind::HandSwitch(_) => "hand switch",
        Kind::SelectorSwitch(_) => "selector switch",
        Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => match s.senses {
            Quantity::Coolant => "coolant switch",
            Quantity::IntakeAir => "intake-air switch",
            Quantity::Oil => "oil switch",
            Quantity::Refrigerant => "refrigerant switch",
            Quantity::AirSupply => "air-supply switch",
        },
        Kind::Relay(_) => "relay",
        Kind::AirValve(_) => "air valve",
        Kind::Diode(_) => "diode",
        Kind::Resistor(_) => "resistor",
        Kind::Lamp(_) => "lamp",
        Kind::Module(_) => "engine module",
        Kind::Timer(_) => "timer",
        Kind::Connector(_) => "connector",
        Kind::Splice(_) => "splice",
        Kind::Ground(_) => "ground",
    }
}

/// What is sensed, in running text.
pub fn quantity_name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Coolant => "coolant",
        Quantity::IntakeAir => "intake air",
        Quantity::Oil => "oil",
        Quantity::Refrigerant => "refrigerant",
        Quantity::AirSupply => "air supply",
    }
}

/// A contact's position in a word.
pub fn position_word(position: Contact) -> &'static str {
    match position {
        Contact::Open => "open",
        Contact::Closed => "closed",
    }
}

/// A felt value (°C or kPa) as a number in the unit that `like` is written in.
pub fn number_like(value: f64, like: Level) -> String {
    match like {
        Level::Fahrenheit(_) => format!("{:.0}", fahrenheit_from_celsius(value)),
        Level::Celsius(_) => format!("{value:.0}"),
        Level::Psi(_) => format!("{:.0}", value / KPA_PER_PSI),
        Level::Kilopascal(_) => format!("{value:.0}"),
        Level::Bar(_) => format!("{:.1}", value / KPA_PER_BAR),
    }
}

/// A felt value (°C or kPa) with the unit that `like` is written in: `215 °F`.
pub fn value_like(value: f64, like: Level) -> String {
    format!("{} {}", number_like(value, like), like.unit())
}

/// A gauge pressure in psi.
pub fn psi(kpa: f64) -> String {
    format!("{:.0} psi", kpa / KPA_PER_PSI)
}

/// Volts, to a meter's two decimals.
pub fn volts(volts: f64) -> String {
    // A meter shows no minus before a zero.
    let shown = if volts.abs() < 0.005 { 0.0 } else { volts };
    format!("{shown:.2} V")
}

/// Amps, finer where they are few.
pub fn amps(amps: f64) -> String {
    let amps = amps.abs();
    if amps >= 10.0 {
        format!("{amps:.0} A")
    } else if amps >= 0.1 {
        format!("{amps:.2} A")
    } else if amps >= 0.0005 {
        format!("{:.0} mA", amps * 1e3)
    } else {
        "0 A".to_owned()
    }
}

/// Ohms, as a meter shows them: `0.2 ohm`, `30.5 ohm`, `4.70 kohm`, `2.10 Mohm`.
pub fn ohms(ohms: f64) -> String {
    let size = ohms.abs();
    if size >= 1e6 {
        format!("{:.2} Mohm", ohms / 1e6)
    } else if size >= 1e3 {
        format!("{:.2} kohm", ohms / 1e3)
    } else {
        format!("{:.1} ohm", if size < 0.05 { 0.0 } else { ohms })
    }
}

/// Seconds, as finely as a fuse's band is known.
pub fn seconds(seconds: f64) -> String {
    if seconds >= 10.0 {
        format!("{seconds:.0}")
    } else if seconds >= 1.0 {
        format!("{seconds:.1}")
    } else {
        format!("{seconds:.2}")
    }
}

/// A length of time in its handiest unit: `0.25 s`, `90 s`, `30 min`, `2 h`.
pub fn duration(seconds: f64) -> String {
    let (unit, name) = time_unit(seconds);
    format!("{} {name}", (seconds / unit * 1000.0).round() / 1000.0)
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
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// `a`, `a or b`, `a, b or c`.
pub fn choice(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// What stands on every verdict, card and window: the order of who is to be believed, and what keeps hands whole.
pub const SAFETY: &str = "Parking brake on, wheels blocked. Prove by hand with the engine stopped and the key on; \
hands, tools and sleeves away from fan and belts before the key. With the engine running watch from outside the \
fan's reach. Fused leads only; insulate lifted ends; put everything back and check once more. The vehicle maker's \
procedure, local codes and licensed practice come first.";

/// Said where lock-up bolts are fitted.
pub const BOLTED_UP: &str = "Lock-up bolts are an emergency measure, for the way to a workshop: a fan bolted up always \
starts with the engine, whatever the circuit does. Write them on the order and take them out at the repair.";

/// What lock-up bolts are, and how much their torque loads them.
pub fn lock_up_bolts() -> String {
    let (bolt, newton_metres) = (LOCK_UP, LOCK_UP.torque_lbf_ft * 1.355_818);
    let (preload, proof) = (bolt.preload_lbf(), bolt.proof_load_lbf());
    format!(
        "Lock-up bolts: {}, grade 8, {:.0} ft-lb ({newton_metres:.0} Nm; common practice, no source). Dry, that pulls \
         each with {preload:.0} lbf, {:.0} % of its proof load of {proof:.0} lbf (SAE J429 grade 8, {:.0} ksi).",
        bolt.size,
        bolt.torque_lbf_ft,
        100.0 * preload / proof,
        bolt.grade.proof_ksi,
    )
}

/// Put behind a number that rests on an example value.
pub const EXAMPLE_MARK: char = '†';

/// What the mark means, once for each page or panel that has one.
pub const EXAMPLE_NOTE: &str = "† example value: put in your vehicle's";

/// The note for a page on which these words stand: none where none of them has the mark.
pub fn example_note<'a>(mut words: impl Iterator<Item = &'a str>) -> Option<&'static str> {
    words.any(|words| words.contains(EXAMPLE_MARK)).then_some(EXAMPLE_NOTE)
}

/// A number in words, with the mark where it rests on an example value of this circuit.
pub fn marked(circuit: &Circuit, shown: Telling, words: impl Into<String>) -> String {
    let mut words = words.into();
    if circuit.rests_on_example(shown) {
        words.push(EXAMPLE_MARK);
    }
    words
}

/// Said with every act that keeps the fan off while something calls for it.
pub const FORGOTTEN: &str = "Seconds only, with the engine stopped: while this is left in place the fan stays off \
however hot it gets, and a forgotten one cooks the engine.";

/// Said with every act that only seems to prove the clutch, by blowing a fuse.
pub const FALSE_PASS: &str = "This proves nothing: the clutch only follows the fuse that blew, as it would with any \
fault. The sensors and the wiring behind the fuse have not been tried.";

/// Said with an act that lifts a wire: that lifting its other end does the same, and how that end would hang.
pub fn other_end(act: &Act, live: bool) -> String {
    if live { format!("{act} does the same, but leaves its bare end live.") } else { format!("{act} does the same.") }
}
