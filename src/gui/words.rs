//! Sentences of the window: what things are called, in what state they are, and what an act does.
//!
//! Yields plain text for labels, the ledger and screen readers, so that what is seen and what is read out agree.
//! Reasons and hazards are worded by the study.

use crate::bench::{Act, Action, Bench, Change, Gauge, Instrument, LeadFuse, Reading, Setting};
use crate::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd, WireId};
use crate::drawing::standing::CARRIES_AMPS;
use crate::drawing::{PartState, TerminalState};
use crate::study::answer::{Level, Standing, Subject};
use crate::study::faults::naming;
use crate::study::find::sight::{Setup, Sight};
use crate::study::hunt::Seen as Eyes;
use crate::study::wording::{capital, position_word, quantity_name};

/// The kind of a part in the trade's words.
pub fn kind(kind: &Kind) -> String {
    match kind {
        Kind::Battery(b) => format!("battery, {} V", b.volts),
        Kind::Fuse(f) => format!("fuse, {} A", f.amps),
        Kind::KeySwitch(_) => "key switch".to_owned(),
        Kind::HandSwitch(s) if s.momentary => "push switch that springs back".to_owned(),
        Kind::HandSwitch(_) => "hand switch".to_owned(),
        Kind::SelectorSwitch(_) => "selector switch".to_owned(),
        Kind::TemperatureSwitch(s) => format!("{} temperature switch", quantity_name(s.senses)),
        Kind::PressureSwitch(s) => format!("{} pressure switch", quantity_name(s.senses)),
        Kind::Relay(_) => "relay".to_owned(),
        Kind::AirValve(_) => "air valve".to_owned(),
        Kind::Diode(_) => "diode".to_owned(),
        Kind::Resistor(r) => format!("resistor, {} Ω", r.ohms),
        Kind::Lamp(_) => "lamp".to_owned(),
        Kind::Module(_) => "engine module".to_owned(),
        Kind::Timer(t) => format!("timer, holds {} s", t.hold_seconds),
        Kind::Connector(c) => format!("connector, {} pins", c.pins),
        Kind::Splice(_) => "splice".to_owned(),
        Kind::Ground(_) => "ground stud".to_owned(),
    }
}

/// What a part does just now; empty where there is nothing to say.
pub fn state(bench: &Bench, id: PartId) -> String {
    let part = bench.circuit().part(id);
    let state = match PartState::of(bench, id) {
        PartState::Plain => String::new(),
        PartState::Contact(now) => match PartState::at_rest(&part.kind) {
            PartState::Contact(rest) => format!("{}, rest {}", position_word(now), position_word(rest)),
            _ => position_word(now).to_owned(),
        },
        PartState::Relay { energised: true } => "pulled in".to_owned(),
        PartState::Relay { energised: false } => "at rest".to_owned(),
        PartState::Selector { position } => match &part.kind {
            Kind::SelectorSwitch(s) => s.positions.get(position).map_or_else(String::new, |p| format!("at {p}")),
            _ => String::new(),
        },
        PartState::Valve { energised, passing } => format!(
            "{}, {}",
            if energised { "coil live" } else { "coil dead" },
            if passing { "passing air" } else { "venting the clutch" }
        ),
        PartState::Fuse { blown } => if blown { "blown" } else { "good" }.to_owned(),
        PartState::Module { on } => if on { "driver on" } else { "driver off" }.to_owned(),
        PartState::Lamp { lit } => if lit { "lit" } else { "dark" }.to_owned(),
        PartState::Diode { conducting } => if conducting { "conducting" } else { "blocking" }.to_owned(),
    };
    if bench.inputs().unplugged.contains(&id) {
        return if state.is_empty() { "unplugged".to_owned() } else { format!("{state}, unplugged") };
    }
    state
}

/// A thing of the drawing, whole, for screen readers and tests: `B1, coolant temperature switch, open, rest open`.
pub fn subject(bench: &Bench, what: Subject) -> String {
    let circuit = bench.circuit();
    match what {
        Subject::Part(id) => {
            let part = circuit.part(id);
            let state = state(bench, id);
            let comma = if state.is_empty() { "" } else { ", " };
            format!("{}, {}{comma}{state}", part.tag, kind(&part.kind))
        }
        Subject::Terminal(id) => terminal(bench, id),
        Subject::Wire(id) => wire(bench, id),
        Subject::WireEnd(end) => wire_end(bench, end),
        Subject::Lead(number) => {
            let amps = bench.outcome().lead_amps.get(&number).copied().unwrap_or(0.0);
            let what = bench.act_of_lead(number).map_or_else(|| format!("Lead {number}"), act);
            format!("{what}, {}", amps_words(amps.abs()))
        }
    }
}

/// The same, as far as it may be seen: of a truck with a hidden fault only what `eyes` tell; all of it where there are
/// none.
pub fn subject_seen(bench: &Bench, eyes: Option<&Eyes>, what: Subject) -> String {
    let Some(eyes) = eyes else { return subject(bench, what) };
    let circuit = bench.circuit();
    match what {
        Subject::Part(id) => {
            let part = circuit.part(id);
            let found = |blown| if blown { "blown" } else { "good" }.to_owned();
            let mut seen = match &part.kind {
                Kind::KeySwitch(_) | Kind::HandSwitch(_) | Kind::SelectorSwitch(_) => state(bench, id),
                Kind::Lamp(_) => {
                    let glow = eyes.lamps.iter().find(|(tag, _)| *tag == part.tag).map(|(_, glow)| glow.word());
                    glow.unwrap_or("dark").to_owned()
                }
                Kind::Fuse(_) => eyes
                    .fuses
                    .iter()
                    .find(|(tag, _)| *tag == part.tag)
                    .map_or_else(|| "not looked at".to_owned(), |(_, blown)| found(*blown)),
                _ => String::new(),
            };
            if bench.inputs().unplugged.contains(&id) {
                seen = "unplugged".to_owned();
            }
            let comma = if seen.is_empty() { "" } else { ", " };
            format!("{}, {}{comma}{seen}", part.tag, kind(&part.kind))
        }
        Subject::Terminal(id) => format!("Terminal {}, not measured", circuit.terminal_words(id)),
        Subject::Wire(id) => {
            let wire = circuit.wire(id);
            let colour = wire.colour.as_deref().map(|c| format!(", {}", colour(c))).unwrap_or_default();
            let [from, to] = [wire.from, wire.to].map(|terminal| circuit.terminal_words(terminal));
            format!("Wire {}{colour}, from {from} to {to}", wire.tag)
        }
        Subject::WireEnd(end) if bench.inputs().lifted.contains(&end) => {
            format!("Loose end {}", circuit.end_words(end))
        }
        Subject::WireEnd(end) => format!("Wire end {}", circuit.end_words(end)),
        Subject::Lead(number) => bench.act_of_lead(number).map_or_else(|| format!("Lead {number}"), act),
    }
}

/// A reading as something to be taken: `volts from Y1.1 to Y1.2`.
pub fn reading(reading: &Reading) -> String {
    match reading {
        Reading::Across { instrument, first, second } => {
            let what = match instrument {
                Instrument::Voltmeter => "volts",
                Instrument::LowImpedance => "low-impedance volts",
                Instrument::TestLamp => "test lamp",
                Instrument::Ohmmeter => "ohms",
            };
            format!("{what} from {first} to {second}")
        }
        Reading::Amps(wire) => format!("amps in line with {wire}"),
        Reading::Clamp(wire) => format!("amps around {wire}"),
        Reading::Gauge(Gauge::Supply) => "the supply gauge".to_owned(),
        Reading::Gauge(Gauge::Clutch) => "the clutch gauge".to_owned(),
        Reading::Fan => "the fan".to_owned(),
    }
}

/// A line of a hunt as it is played from the command line, in words.
pub fn line_of_a_hunt(circuit: &Circuit, line: &str) -> String {
    let (verb, rest) = line.split_once(' ').unwrap_or((line, ""));
    let told = match verb {
        "read" => rest.parse().ok().map(|what: Reading| format!("Read {}", reading(&what))),
        "do" => rest.parse().ok().map(|what: Act| act(&what)),
        "put-back" => rest.parse().ok().map(|what: Act| format!("Put back: {}", act(&what))),
        "set" => rest.parse().ok().map(|what: Setting| capital(&setting(what))),
        "look" => Some(format!("Looked at {rest}")),
        "renew" => Some(format!("Renewed {rest}")),
        "guess" => rest.parse().ok().map(|what| format!("Guessed: {}", naming::name(circuit, &what))),
        _ => None,
    };
    told.unwrap_or_else(|| line.to_owned())
}

/// How a truck is set up: `S2 turned on, coolant 230 °F`; `as it stands` where nothing is done.
pub fn setup(setup: &Setup) -> String {
    let with = setup.with.iter().map(|with| setting(*with));
    let all: Vec<String> = with.chain(setup.after.iter().map(act)).collect();
    if all.is_empty() { "as it stands".to_owned() } else { all.join(", ") }
}

/// Something seen: `Volts from Y1.1 to Y1.2: 7.50 V, coolant 230 °F`.
pub fn sight(sight: &Sight) -> String {
    let within = sight.within.map_or_else(String::new, |within| format!(" ± {within}"));
    let value = match sight.value {
        None => "not sure".to_owned(),
        Some(value) => {
            let doubt = if sight.is_doubtful { ", perhaps" } else { "" };
            format!("{}{within}{doubt}", value.words(&sight.reading))
        }
    };
    format!("{}: {value}, {}", capital(&reading(&sight.reading)), setup(&sight.setup))
}

/// What a thing of the drawing is called, alone: `B1`, `B1.2`, `W4`, `W4@B1.2`.
pub fn subject_name(circuit: &Circuit, what: Subject) -> String {
    match what {
        Subject::Part(id) => circuit.part(id).tag.clone(),
        Subject::Terminal(id) => circuit.terminal_words(id),
        Subject::Wire(id) => circuit.wire(id).tag.clone(),
        Subject::WireEnd(end) => circuit.end_words(end),
        Subject::Lead(number) => format!("Lead {number}"),
    }
}

fn terminal(bench: &Bench, id: TerminalId) -> String {
    let volts = volts_words(bench.outcome().volts_at(id));
    let state = match TerminalState::of(bench, id) {
        TerminalState::Fed => ", fed",
        TerminalState::Grounded => ", at ground",
        TerminalState::Between => ", between supply and ground",
        TerminalState::Floating | TerminalState::Unseen => "",
    };
    format!("Terminal {}, {volts}{state}", bench.circuit().terminal_words(id))
}

fn wire(bench: &Bench, id: WireId) -> String {
    let circuit = bench.circuit();
    let wire = circuit.wire(id);
    let colour = wire.colour.as_deref().map(|c| format!(", {}", colour(c))).unwrap_or_default();
    let amps = bench.outcome().amps_in(id);
    // Named along the current, so that "from" and "to" say which way it flows.
    let (from, to) = if amps < 0.0 { (wire.to, wire.from) } else { (wire.from, wire.to) };
    format!(
        "Wire {}{colour}, {} from {} to {}",
        wire.tag,
        amps_words(amps.abs()),
        circuit.terminal_words(from),
        circuit.terminal_words(to)
    )
}

fn wire_end(bench: &Bench, end: WireEnd) -> String {
    let words = bench.circuit().end_words(end);
    match bench.outcome().loose_volts.get(&end) {
        Some(volts) => format!("Loose end {words}, {}", volts_words(*volts)),
        None => format!("Wire end {words}"),
    }
}

/// Volts for people.
pub fn volts_words(volts: Option<f64>) -> String {
    volts.map_or_else(|| "floating".to_owned(), |v| format!("{:.2} volts", v + 0.0))
}

/// Amps for people.
pub fn amps_words(amps: f64) -> String {
    if amps < CARRIES_AMPS { "no current".to_owned() } else { format!("{amps:.2} amps") }
}

/// Insulation colour by its IEC 60757 letters; the letters themselves where they are none of the standard's.
pub fn colour(letters: &str) -> String {
    let one = |code: &str| {
        Some(match code {
            "BK" => "black",
            "BN" => "brown",
            "RD" => "red",
            "OG" => "orange",
            "YE" => "yellow",
            "GN" => "green",
            "BU" => "blue",
            "VT" => "violet",
            "GY" => "grey",
            "WH" => "white",
            "PK" => "pink",
            "TQ" => "turquoise",
            _ => return None,
        })
    };
    let pairs: Option<Vec<&str>> = (0..letters.len()).step_by(2).map(|i| letters.get(i..i + 2).and_then(one)).collect();
    pairs.filter(|p| !p.is_empty()).map_or_else(|| letters.to_owned(), |p| p.join(" and "))
}

/// An act in a short line.
pub fn act(act: &Act) -> String {
    match act {
        Act::Turn { switch, to } => format!("{switch} turned {to}"),
        Act::Press { switch } => format!("{switch} pressed"),
        Act::Jump { a, b, fuse } => format!("Lead {a} to {b}, {}", lead_fuse(*fuse)),
        Act::Lift(end) => format!("{} off {}", end.wire, end.terminal),
        Act::Unplug { part } => format!("{part} unplugged"),
    }
}

/// The fuse of a lead in words.
pub fn lead_fuse(fuse: LeadFuse) -> String {
    fuse.amps().map_or_else(|| "no fuse".to_owned(), |amps| format!("{amps} A fuse"))
}

/// What an undo or redo would take back or make again.
pub fn action(circuit: &Circuit, action: &Action) -> String {
    match action {
        Action::Set(setting) => self::setting(*setting),
        Action::Do(what) => act(what),
        Action::PutBack(what) => format!("putting back: {}", act(what)),
        Action::PutAllBack => "putting all back".to_owned(),
        Action::ReplaceFuse(tag) => format!("new fuse in {tag}"),
        Action::Plant(fault) => format!("fault: {}", naming::name(circuit, fault)),
        Action::Repair(fault) => format!("put right: {}", naming::name(circuit, fault)),
        Action::Build(change) => change.to_string(),
        Action::Undo => "undo".to_owned(),
        Action::Redo => "redo".to_owned(),
    }
}

/// A setting in words.
pub fn setting(setting: Setting) -> String {
    match setting {
        Setting::Key(on) => format!("key {}", if on { "on" } else { "off" }),
        Setting::Engine(rpm) => format!("engine {rpm} rpm"),
        Setting::Coolant(level) => format!("coolant {level}"),
        Setting::Intake(level) => format!("intake air {level}"),
        Setting::Oil(level) => format!("oil {level}"),
        Setting::Refrigerant(level) => format!("refrigerant {level}"),
        Setting::Air(level) => format!("air supply {level}"),
        Setting::Ambient(level) => format!("ambient {level}"),
        Setting::Bolts(fitted) => format!("lock-up bolts {}", if fitted { "fitted" } else { "out" }),
    }
}

/// A line of the ledger, with the change that puts it right.
pub fn change(circuit: &Circuit, change: &Change) -> (String, Action) {
    match change {
        Change::Done(what) => (act(what), Action::PutBack(what.clone())),
        Change::BlownFuse(tag) => (format!("{tag} blown"), Action::ReplaceFuse(tag.clone())),
        Change::Faulty(fault) => (format!("fault: {}", naming::name(circuit, fault)), Action::Repair(fault.clone())),
    }
}

/// What the fan does.
pub fn fan(standing: Standing) -> &'static str {
    match standing {
        Standing::Engaged => "driven",
        Standing::Released => "free",
        Standing::Slipping => "slipping",
        Standing::Unsettled => "never at rest",
        Standing::None => "unknown",
    }
}

/// The signal word.
pub fn signal(level: Level) -> &'static str {
    match level {
        Level::Danger => "DANGER",
        Level::Warning => "WARNING",
        Level::Caution => "CAUTION",
    }
}

/// One thing worth trying on a circuit nobody has touched.
pub fn suggestion(circuit: &Circuit) -> Option<String> {
    let (id, part, sensor) =
        circuit.parts_with_ids().find_map(|(id, part)| part.kind.sensor().map(|sensor| (id, part, sensor)))?;
    let tag = &part.tag;
    let first = circuit.terminal_at(id, 0);
    match sensor.rest {
        Contact::Open => Some(format!(
            "Try this: {tag} is open at rest. Take the jumper lead from the tray, clip it on {tag}.1, then point at \
             {tag}.2 and read what would happen before you let go."
        )),
        Contact::Closed => {
            let end = circuit.ends_at(first).first()?;
            let wire = &circuit.wire(end.wire).tag;
            Some(format!(
                "Try this: {tag} is closed at rest. Take Lift from the tray, point at the end of {wire} on {tag}.1 and \
                 read what would happen before you take it off."
            ))
        }
    }
}

/// Both ends of a wire, for the keyboard.
pub fn ends_of(wire: WireId) -> [WireEnd; 2] {
    End::BOTH.map(|end| WireEnd { wire, end })
}

/// A file's name made of a title and an ending: `gravel-tipper-12-card.pdf`.
pub fn file_name(title: &str, ending: &str) -> String {
    let letters = title.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' });
    let words: String = letters.collect::<String>().split('-').filter(|w| !w.is_empty()).collect::<Vec<_>>().join("-");
    format!("{}{ending}", if words.is_empty() { "circuit" } else { &words })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_coloured_insulation_is_read_as_two_colours() {
        assert_eq!(colour("RD"), "red");
        assert_eq!(colour("YEGN"), "yellow and green");
        assert_eq!(colour("tartan"), "tartan");
        assert_eq!(colour(""), "");
    }
}
