//! The few words beside a symbol: its tag and its rating or set point.
//!
//! Yields the two lines of a part's caption and a wire's one. Designations after IEC 81346, colours after
//! IEC 60757; quantities with their units and no words, so that nothing here needs translating but the decimal mark,
//! which [`Picture::in_language`](super::Picture::in_language) puts in.

use super::Symbols;
use super::picture::text_width;
use crate::circuit::{Kind, Part, Wire};
use crate::words::Measure;

/// Size of a part's tag in units.
pub(super) const TAG_SIZE: f32 = 13.0;
/// Size of a part's rating in units.
pub(super) const RATING_SIZE: f32 = 11.0;
/// Size of a terminal's name in units.
pub(super) const TERMINAL_SIZE: f32 = 9.0;
/// Size of a wire's number and colour in units.
pub(super) const WIRE_SIZE: f32 = 10.0;

/// The letters by which a set of symbols names what a sensor switch feels.
pub(super) fn felt(kind: &Kind, symbols: Symbols) -> &'static str {
    match (kind, symbols) {
        (Kind::TemperatureSwitch(_), Symbols::Iec60617) => "ϑ",
        (Kind::TemperatureSwitch(_), Symbols::Ieee315) => "t°",
        (Kind::PressureSwitch(_), Symbols::Iec60617) => "p",
        (Kind::PressureSwitch(_), Symbols::Ieee315) => "P",
        _ => "",
    }
}

/// What stands under a part's tag; empty where there is nothing to say.
pub(super) fn rating(part: &Part, symbols: Symbols, measure: Measure) -> String {
    match &part.kind {
        Kind::Battery(battery) => format!("{} V", battery.volts),
        Kind::Fuse(fuse) => format!("{} A", fuse.amps),
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
            format!("{} {}", felt(&part.kind, symbols), sensor.acts_at.measured(measure))
        }
        Kind::Relay(relay) => format!("{} Ω", relay.coil_ohms),
        Kind::AirValve(valve) => format!("{} Ω", valve.coil_ohms),
        Kind::Resistor(load) | Kind::Lamp(load) => format!("{} Ω", load.ohms),
        Kind::Module(module) => format!("{} A", module.limit_amps),
        Kind::Timer(timer) => format!("{} s", timer.hold_seconds),
        Kind::KeySwitch(_)
        | Kind::HandSwitch(_)
        | Kind::SelectorSwitch(_)
        | Kind::Diode(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => String::new(),
    }
}

/// How wide that is at most: parts stand alike in either set of symbols.
pub(super) fn rating_width(part: &Part) -> f32 {
    let width = |symbols| text_width(&rating(part, symbols, Measure::AsWritten), RATING_SIZE);
    width(Symbols::Iec60617).max(width(Symbols::Ieee315))
}

/// A part's tag, or for one pin of a connector the tag and the pin.
pub(super) fn tag(part: &Part, pin: Option<usize>) -> String {
    match pin {
        Some(pin) => format!("{}:{}", part.tag, pin + 1),
        None => part.tag.clone(),
    }
}

/// A wire's number with its colour letters.
pub(super) fn wire(wire: &Wire) -> String {
    match &wire.colour {
        Some(colour) => format!("{} {colour}", wire.tag),
        None => wire.tag.clone(),
    }
}
