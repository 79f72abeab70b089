//! Writes a circuit as a file: one part or wire a line, in order; of parts and wires only what differs
//! from the defaults, of air side, clutch and engine what the file gave itself.
//!
//! Reading the text back gives an equal circuit, and writing that gives the same text to the byte. Numbers are the
//! shortest that read back equal; strings keep every letter a person can read and escape the rest.

use std::fmt::Write as _;

use crate::circuit::figure::Figure;
use crate::circuit::part::{Demand, Kind, Suppressor, defaults};
use crate::circuit::quantity::{Gauge, Length, Level};
use crate::circuit::wire::{DEFAULT_GAUGE, DEFAULT_LENGTH};
use crate::circuit::{At, Circuit, Wire};

use super::FORMAT;
use super::token::{Mode, What, lex};

/// The circuit as the text of a file.
pub fn write(circuit: &Circuit) -> String {
    let mut text = String::new();
    let preamble = preamble(circuit.preamble());
    if !preamble.is_empty() {
        text.push_str(&preamble);
        text.push('\n');
    }
    text.push_str("Circuit(\n");
    line(&mut text, 1, &format!("format: {FORMAT}"));
    line(&mut text, 1, &format!("title: {}", quoted(circuit.title())));
    if !circuit.notes().is_empty() {
        line(&mut text, 1, &format!("notes: {}", quoted(circuit.notes())));
    }
    text.push_str("    parts: {\n");
    for part in circuit.parts() {
        line(&mut text, 2, &format!("{}: {}", quoted(&part.tag), kind(&part.kind)));
    }
    text.push_str("    },\n    wires: {\n");
    for one in circuit.wires() {
        line(&mut text, 2, &format!("{}: {}", quoted(&one.tag), wire(circuit, one)));
    }
    text.push_str("    },\n");
    if let Some(air) = circuit.air() {
        line(&mut text, 1, &format!("air: Air{}", figures(circuit, air.figures())));
    }
    if let Some(clutch) = circuit.clutch() {
        line(&mut text, 1, &format!("clutch: Clutch{}", figures(circuit, clutch.figures())));
    }
    if let Some(engine) = circuit.engine() {
        line(&mut text, 1, &format!("engine: Engine{}", figures(circuit, engine.figures())));
    }
    if !circuit.places().is_empty() {
        text.push_str("    places: {\n");
        for (id, At { right, down }) in circuit.places() {
            line(&mut text, 2, &format!("{}: At(right: {right}, down: {down})", quoted(&circuit.part(*id).tag)));
        }
        text.push_str("    },\n");
    }
    text.push_str(")\n");
    text
}

/// The figures that the file gives, in brackets.
fn figures(circuit: &Circuit, all: Vec<(&'static str, Figure)>) -> String {
    figure_fields(circuit, all).in_brackets()
}

/// The figures that the file gives.
pub(super) fn figure_fields(circuit: &Circuit, all: Vec<(&'static str, Figure)>) -> Fields {
    let written = |figure: Figure| match figure {
        Figure::Number(x) => Some(number(x)),
        Figure::Level(x) => Some(level(x)),
        Figure::Tag(tag) => Some(quoted(&tag)),
        Figure::Principle(engages) => Some(format!("{engages:?}")),
        Figure::LeftOut => None,
    };
    let given = circuit.given_of(all).into_iter();
    given.fold(Fields::default(), |fields, (name, figure)| fields.maybe(name, written(figure)))
}

fn line(text: &mut String, depth: usize, words: &str) {
    for _ in 0..depth {
        text.push_str("    ");
    }
    text.push_str(words);
    text.push_str(",\n");
}

/// The comments at the top; anything in them that is no comment is made one.
fn preamble(words: &str) -> String {
    let words = words.replace("\r\n", "\n");
    let words = words.trim();
    let probe = format!("{words}\n)");
    let only_comments = lex(&probe, 0, Mode::WholeStrings);
    if words.is_empty() || (matches!(only_comments.what, What::Close(_)) && only_comments.span.end == probe.len()) {
        return words.to_owned();
    }
    let lines: Vec<String> = words.lines().map(|l| format!("// {}", l.trim_end())).collect();
    lines.join("\n").trim().to_owned()
}

/// A string of RON.
pub(super) fn quoted(words: &str) -> String {
    let mut text = String::with_capacity(words.len() + 2);
    text.push('"');
    for c in words.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            '\n' => text.push_str("\\n"),
            '\r' => text.push_str("\\r"),
            '\t' => text.push_str("\\t"),
            // Written as they are, these could not be seen, or would turn the line's direction.
            c if c.is_control()
                || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}') =>
            {
                let _ = write!(text, "\\u{{{:x}}}", u32::from(c));
            }
            c => text.push(c),
        }
    }
    text.push('"');
    text
}

/// The shortest number that reads back equal, without `.0`.
fn number(x: f64) -> String {
    let words = format!("{x:?}");
    words.strip_suffix(".0").map_or(words.clone(), str::to_owned)
}

fn level(level: Level) -> String {
    match level {
        Level::Fahrenheit(x) => format!("Fahrenheit({})", number(x)),
        Level::Celsius(x) => format!("Celsius({})", number(x)),
        Level::Psi(x) => format!("Psi({})", number(x)),
        Level::Kilopascal(x) => format!("Kilopascal({})", number(x)),
        Level::Bar(x) => format!("Bar({})", number(x)),
    }
}

fn gauge(gauge: Gauge) -> String {
    match gauge {
        Gauge::Awg(n) => format!("Awg({n})"),
        Gauge::SquareMillimetre(a) => format!("SquareMillimetre({})", number(a)),
    }
}

fn length(length: Length) -> String {
    match length {
        Length::Feet(x) => format!("Feet({})", number(x)),
        Length::Metre(x) => format!("Metre({})", number(x)),
    }
}

fn suppressor(suppressor: &Suppressor) -> String {
    match suppressor {
        Suppressor::Diode { cathode } => format!("Diode(cathode: {})", quoted(cathode)),
        Suppressor::Resistor(ohms) => format!("Resistor({})", number(*ohms)),
    }
}

/// What a module's driver waits for, as the circuit file has it.
pub fn demand_text(when: &Demand) -> String {
    let list = |list: &[Demand]| list.iter().map(demand_text).collect::<Vec<_>>().join(", ");
    match when {
        Demand::Above(what, acts, resets) => format!("Above({what:?}, {}, {})", level(*acts), level(*resets)),
        Demand::Below(what, acts, resets) => format!("Below({what:?}, {}, {})", level(*acts), level(*resets)),
        Demand::EngineStopped => "EngineStopped".to_owned(),
        Demand::Fed => "Fed".to_owned(),
        Demand::Any(all) => format!("Any([{}])", list(all)),
        Demand::All(all) => format!("All([{}])", list(all)),
        Demand::Not(inner) => format!("Not({})", demand_text(inner)),
        Demand::Always => "Always".to_owned(),
        Demand::Never => "Never".to_owned(),
    }
}

/// Fields as they are written one after another.
#[derive(Debug, Default)]
pub(super) struct Fields(Vec<(&'static str, String)>);

impl Fields {
    fn word(mut self, name: &'static str, value: impl std::fmt::Display) -> Self {
        self.0.push((name, value.to_string()));
        self
    }

    fn number(self, name: &'static str, x: f64) -> Self {
        self.word(name, number(x))
    }

    fn number_unless(self, name: &'static str, x: f64, default: f64) -> Self {
        if x == default { self } else { self.number(name, x) }
    }

    fn maybe(self, name: &'static str, value: Option<String>) -> Self {
        match value {
            Some(value) => self.word(name, value),
            None => self,
        }
    }

    /// In brackets, always.
    fn in_brackets(self) -> String {
        let written: Vec<String> = self.0.iter().map(|(name, value)| format!("{name}: {value}")).collect();
        format!("({})", written.join(", "))
    }

    /// Each with its name.
    pub(super) fn into_texts(self) -> Vec<(&'static str, String)> {
        self.0
    }

    /// In brackets, or nothing where there are none.
    fn after(self, word: &str) -> String {
        if self.0.is_empty() { word.to_owned() } else { format!("{word}{}", self.in_brackets()) }
    }
}

/// A part as its entry has it.
pub(super) fn kind(kind: &Kind) -> String {
    fields_of(kind).after(kind.word())
}

/// The fields of a part that differ from the defaults.
pub(super) fn fields_of(kind: &Kind) -> Fields {
    use crate::circuit::part::{
        AirValve, Battery, Connector, Diode, Fuse, Ground, HandSwitch, KeySwitch, Load, Module, Relay, SelectorSwitch,
        SensorSwitch, Splice, Timer,
    };
    let new = Fields::default;
    match kind {
        Kind::Battery(Battery { volts, internal_ohms }) => {
            new().number("volts", *volts).number_unless("internal_ohms", *internal_ohms, defaults::INTERNAL_OHMS)
        }
        Kind::Fuse(Fuse { amps, ohms }) => new().number("amps", *amps).maybe("ohms", ohms.map(number)),
        Kind::KeySwitch(KeySwitch { contact_ohms }) => contact(new(), *contact_ohms),
        Kind::HandSwitch(HandSwitch { rest, momentary, contact_ohms }) => contact(
            new().word("rest", format!("{rest:?}")).maybe("momentary", momentary.then(|| "true".to_owned())),
            *contact_ohms,
        ),
        Kind::SelectorSwitch(SelectorSwitch { positions, rest, contact_ohms }) => {
            let names: Vec<String> = positions.iter().map(|p| quoted(p)).collect();
            let fields = new().word("positions", format!("[{}]", names.join(", "))).word("rest", quoted(rest));
            contact(fields, *contact_ohms)
        }
        Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => {
            let SensorSwitch { rest, senses, acts_at, resets_at, contact_ohms } = sensor;
            let fields = new().word("rest", format!("{rest:?}")).word("senses", format!("{senses:?}"));
            contact(fields.word("acts_at", level(*acts_at)).word("resets_at", level(*resets_at)), *contact_ohms)
        }
        Kind::Relay(Relay { coil_ohms, pulls_in, drops_out, suppressor: fitted, contact_ohms }) => {
            let fields = coil(*coil_ohms, *pulls_in, *drops_out);
            contact(fields.maybe("suppressor", fitted.as_ref().map(suppressor)), *contact_ohms)
        }
        Kind::AirValve(AirValve { coil_ohms, pulls_in, drops_out, rest, suppressor: fitted }) => {
            let fields = coil(*coil_ohms, *pulls_in, *drops_out).word("rest", format!("{rest:?}"));
            fields.maybe("suppressor", fitted.as_ref().map(suppressor))
        }
        Kind::Diode(Diode { drop_volts }) => new().number_unless("drop_volts", *drop_volts, defaults::DIODE_VOLTS),
        Kind::Resistor(Load { ohms }) | Kind::Lamp(Load { ohms }) => new().number("ohms", *ohms),
        Kind::Module(Module { side, on_when, limit_amps, on_ohms, works_from, supply_ohms }) => new()
            .word("side", format!("{side:?}"))
            .word("on_when", demand_text(on_when))
            .number_unless("limit_amps", *limit_amps, defaults::MODULE_LIMIT_AMPS)
            .number_unless("on_ohms", *on_ohms, defaults::DRIVER_OHMS)
            .number_unless("works_from", *works_from, defaults::MODULE_WORKS_FROM)
            .number_unless("supply_ohms", *supply_ohms, defaults::MODULE_SUPPLY_OHMS),
        Kind::Timer(Timer { hold_seconds, contact_ohms, supply_ohms }) => contact(
            new().number("hold_seconds", *hold_seconds),
            *contact_ohms,
        )
        .number_unless("supply_ohms", *supply_ohms, defaults::TIMER_SUPPLY_OHMS),
        Kind::Connector(Connector { pins, pin_ohms }) => {
            new().word("pins", pins).number_unless("pin_ohms", *pin_ohms, defaults::PIN_OHMS)
        }
        Kind::Splice(Splice {}) => new(),
        Kind::Ground(Ground { ohms }) => new().number_unless("ohms", *ohms, defaults::GROUND_OHMS),
    }
}

fn contact(fields: Fields, contact_ohms: f64) -> Fields {
    fields.number_unless("contact_ohms", contact_ohms, defaults::CONTACT_OHMS)
}

fn coil(coil_ohms: f64, pulls_in: f64, drops_out: f64) -> Fields {
    Fields::default().number("coil_ohms", coil_ohms).number("pulls_in", pulls_in).number("drops_out", drops_out)
}

fn wire(circuit: &Circuit, wire: &Wire) -> String {
    let ends = Fields::default()
        .word("from", quoted(&circuit.terminal_words(wire.from)))
        .word("to", quoted(&circuit.terminal_words(wire.to)));
    format!("Wire{}", copper(ends, wire).in_brackets())
}

/// What a wire is made of, as far as it differs from the defaults, after other fields.
pub(super) fn copper(fields: Fields, wire: &Wire) -> Fields {
    let Wire { tag: _, from: _, to: _, gauge: size, length: long, colour } = wire;
    fields
        .maybe("gauge", (*size != DEFAULT_GAUGE).then(|| gauge(*size)))
        .maybe("length", (*long != DEFAULT_LENGTH).then(|| length(*long)))
        .maybe("colour", colour.as_deref().map(quoted))
}
