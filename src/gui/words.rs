//! Sentences of the window: what things are called, in what state they are, and what an act does.
//!
//! Yields plain text for labels, the ledger and screen readers, so that what is seen and what is read out agree.
//! Reasons and hazards are worded by the study.

use super::tongue::{t, titled, worded};
use crate::bench::{Act, Action, Bench, Change, Gauge, Instrument, LeadFuse, Point, Reading, Setting};
use crate::circuit::{Circuit, Contact, End, Kind, PartId, TerminalId, WireEnd, WireId};
use crate::drawing::standing::CARRIES_AMPS;
use crate::drawing::{PartState, TerminalState};
use crate::study::answer::{Level, Standing, Subject};
use crate::study::faults::naming;
use crate::study::find::sight::{Setup, Sight};
use crate::study::hunt::{Hunt, Seen as Eyes};
use crate::study::wording::{position_word, quantity_name};
use crate::words::{Words, fixed};

/// The kind of a part in the trade's words.
pub fn kind(kind: &Kind) -> String {
    match kind {
        Kind::Battery(b) => t!("words-battery-v", volts = b.volts),
        Kind::Fuse(f) => t!("words-fuse-a", amps = f.amps),
        Kind::KeySwitch(_) => t!("words-key-switch").to_owned(),
        Kind::HandSwitch(s) if s.momentary => t!("words-push-switch-that-springs-back").to_owned(),
        Kind::HandSwitch(_) => t!("words-hand-switch").to_owned(),
        Kind::SelectorSwitch(_) => t!("words-selector-switch").to_owned(),
        Kind::TemperatureSwitch(s) => t!("words-temperature-switch", senses = quantity_name(s.senses)),
        Kind::PressureSwitch(s) => t!("words-pressure-switch", senses = quantity_name(s.senses)),
        Kind::Relay(_) => t!("words-relay").to_owned(),
        Kind::AirValve(_) => t!("words-air-valve").to_owned(),
        Kind::Diode(_) => t!("words-diode").to_owned(),
        Kind::Resistor(r) => t!("words-resistor", ohms = r.ohms),
        Kind::Lamp(_) => t!("words-lamp").to_owned(),
        Kind::Module(_) => t!("words-engine-module").to_owned(),
        Kind::Timer(t) => t!("words-timer-holds-s", hold_seconds = t.hold_seconds),
        Kind::Connector(c) => t!("words-connector-pins", pins = c.pins),
        Kind::Splice(_) => t!("words-splice").to_owned(),
        Kind::Ground(_) => t!("words-ground-stud").to_owned(),
    }
}

/// What a part does just now; empty where there is nothing to say.
pub fn state(bench: &Bench, id: PartId) -> String {
    let part = bench.circuit().part(id);
    let state = match PartState::of(bench, id) {
        PartState::Plain => String::new(),
        PartState::Contact(now) => match PartState::at_rest(&part.kind) {
            PartState::Contact(rest) => {
                t!("words-rest", position_word = position_word(now), rest = position_word(rest))
            }
            _ => worded(&position_word(now)),
        },
        PartState::Relay { energised, over } => {
            let coil = if energised { t!("words-pulled-in") } else { t!("words-at-rest") };
            match (energised, over) {
                (true, false) => t!("words-but-on", coil, contact = "87a"),
                (false, true) => t!("words-but-on", coil, contact = "87"),
                (true, true) | (false, false) => coil.to_owned(),
            }
        }
        PartState::Selector { position } => match &part.kind {
            Kind::SelectorSwitch(s) => s.positions.get(position).map_or_else(String::new, |p| t!("words-at", p)),
            _ => String::new(),
        },
        PartState::Valve { energised, passing } => format!(
            "{}, {}",
            if energised { t!("words-coil-live") } else { t!("words-coil-dead") },
            if passing { t!("words-passing-air") } else { t!("words-venting-the-clutch") }
        ),
        PartState::Fuse { blown } => if blown { t!("words-blown") } else { t!("words-good") }.to_owned(),
        PartState::Module { on } => if on { t!("words-driver-on") } else { t!("words-driver-off") }.to_owned(),
        PartState::Lamp { lit } => if lit { t!("words-lit") } else { t!("words-dark") }.to_owned(),
        PartState::Diode { conducting } => {
            if conducting { t!("words-conducting") } else { t!("words-blocking") }.to_owned()
        }
    };
    if bench.inputs().unplugged.contains(&id) {
        return if state.is_empty() { t!("words-unplugged").to_owned() } else { t!("words-unplugged-2", state) };
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
            let what = bench.act_of_lead(number).map_or_else(|| t!("words-lead", number), act);
            format!("{what}, {}", amps_words(amps.abs()))
        }
    }
}

/// The same, as far as it may be seen: of a truck with a hidden fault only what `eyes` tell and was read in the hunt; all
/// of it where nothing is hidden.
pub fn subject_seen(bench: &Bench, hidden: Option<(&Eyes, &Hunt)>, what: Subject) -> String {
    let Some((eyes, hunt)) = hidden else { return subject(bench, what) };
    let circuit = bench.circuit();
    match what {
        Subject::Part(id) => {
            let part = circuit.part(id);
            let found = |blown| if blown { t!("words-blown") } else { t!("words-good") }.to_owned();
            let mut seen = match &part.kind {
                Kind::KeySwitch(_) | Kind::HandSwitch(_) | Kind::SelectorSwitch(_) => state(bench, id),
                Kind::Lamp(_) => {
                    let glow = eyes
                        .lamps
                        .iter()
                        .find(|(tag, _)| *tag == part.tag)
                        .map(|(_, glow)| super::readout::glow_word(*glow));
                    glow.unwrap_or(t!("words-dark")).to_owned()
                }
                Kind::Fuse(_) => eyes
                    .fuses
                    .iter()
                    .find(|(tag, _)| *tag == part.tag)
                    .map_or_else(|| t!("words-not-looked-at").to_owned(), |(_, blown)| found(*blown)),
                _ => String::new(),
            };
            if bench.inputs().unplugged.contains(&id) {
                seen = t!("words-unplugged").to_owned();
            }
            let comma = if seen.is_empty() { "" } else { ", " };
            format!("{}, {}{comma}{seen}", part.tag, kind(&part.kind))
        }
        Subject::Terminal(id) => {
            let terminal = circuit.terminal_words(id);
            match last_read_at(hunt, &terminal) {
                Some((read, shows)) => t!("words-terminal-last-read", terminal, reading = reading(&read), shows),
                None => t!("words-terminal-not-measured", terminal_words = terminal),
            }
        }
        Subject::Wire(id) => {
            let wire = circuit.wire(id);
            let colour = wire.colour.as_deref().map(|c| format!(", {}", colour(c))).unwrap_or_default();
            let [from, to] = [wire.from, wire.to].map(|terminal| circuit.terminal_words(terminal));
            t!("words-wire-from-to", tag = wire.tag, colour, from, to)
        }
        Subject::WireEnd(end) if bench.inputs().lifted.contains(&end) => {
            t!("words-loose-end", end = circuit.end_words(end))
        }
        Subject::WireEnd(end) => t!("words-wire-end", end = circuit.end_words(end)),
        Subject::Lead(number) => bench.act_of_lead(number).map_or_else(|| t!("words-lead", number), act),
    }
}

/// What was read last at a terminal in a hunt, and what it showed.
fn last_read_at<'h>(hunt: &'h Hunt, terminal: &str) -> Option<(Reading, &'h Words)> {
    let is_there = |point: &Point| matches!(point, Point::Terminal(words) if words == terminal);
    hunt.taken().iter().rev().find_map(|taken| {
        let read: Reading = taken.did.strip_prefix("read ")?.parse().ok()?;
        let touches = matches!(&read, Reading::Across { first, second, .. } if is_there(first) || is_there(second));
        Some((read, taken.shows.as_ref()?)).filter(|_| touches)
    })
}

/// A reading as something to be taken: `volts from Y1.1 to Y1.2`.
pub fn reading(reading: &Reading) -> String {
    match reading {
        Reading::Across { instrument, first, second } => {
            let what = match instrument {
                Instrument::Voltmeter => t!("words-volts"),
                Instrument::LowImpedance => t!("words-low-impedance-volts"),
                Instrument::TestLamp => t!("words-test-lamp"),
                Instrument::Ohmmeter => t!("words-ohms"),
            };
            t!("words-from-to", what, first, second)
        }
        Reading::Amps(wire) => t!("words-amps-in-line-with", wire),
        Reading::Clamp(wire) => t!("words-amps-around", wire),
        Reading::Gauge(Gauge::Supply) => t!("words-the-supply-gauge").to_owned(),
        Reading::Gauge(Gauge::Clutch) => t!("words-the-clutch-gauge").to_owned(),
        Reading::Fan => t!("words-the-fan").to_owned(),
    }
}

/// A line of a hunt as it is played from the command line, in words.
pub fn line_of_a_hunt(circuit: &Circuit, line: &str) -> String {
    let (verb, rest) = line.split_once(' ').unwrap_or((line, ""));
    let told = match verb {
        "read" => rest.parse().ok().map(|what: Reading| t!("words-read", what = reading(&what))),
        "do" => rest.parse().ok().map(|what: Act| act(&what)),
        "put-back" => rest.parse().ok().map(|what: Act| t!("words-put-back", what = act(&what))),
        "set" => rest.parse().ok().map(|what: Setting| capital(&setting(what))),
        "look" => Some(t!("words-looked-at", rest)),
        "renew" => Some(t!("words-renewed", rest)),
        "guess" => rest.parse().ok().map(|what| t!("words-guessed", what = naming::name(circuit, &what))),
        _ => None,
    };
    told.unwrap_or_else(|| line.to_owned())
}

/// How a truck is set up: `S2 turned on, coolant 230 °F`; `as it stands` where nothing is done.
pub fn setup(setup: &Setup) -> String {
    let with = setup.with.iter().map(|with| setting(*with));
    let all: Vec<String> = with.chain(setup.after.iter().map(act)).collect();
    if all.is_empty() { t!("words-as-it-stands").to_owned() } else { all.join(", ") }
}

/// Something seen: `Volts from Y1.1 to Y1.2: 7.50 V, coolant 230 °F`.
pub fn sight(sight: &Sight) -> String {
    let within = sight.within.map_or_else(String::new, |within| format!(" ± {within}"));
    let value = match sight.value {
        None => t!("words-not-sure").to_owned(),
        Some(value) => {
            let doubt = if sight.is_doubtful { t!("words-perhaps") } else { "" };
            format!("{}{within}{doubt}", worded(&value.words(&sight.reading)))
        }
    };
    titled(&capital(&reading(&sight.reading)), &format!("{value}, {}", setup(&sight.setup)))
}

/// What a thing of the drawing is called, alone: `B1`, `B1.2`, `W4`, `W4@B1.2`.
pub fn subject_name(circuit: &Circuit, what: Subject) -> String {
    match what {
        Subject::Part(id) => circuit.part(id).tag.clone(),
        Subject::Terminal(id) => circuit.terminal_words(id),
        Subject::Wire(id) => circuit.wire(id).tag.clone(),
        Subject::WireEnd(end) => circuit.end_words(end),
        Subject::Lead(number) => t!("words-lead", number),
    }
}

fn terminal(bench: &Bench, id: TerminalId) -> String {
    let volts = volts_words(bench.outcome().volts_at(id));
    let state = match TerminalState::of(bench, id) {
        TerminalState::Fed => t!("words-fed"),
        TerminalState::Grounded => t!("words-at-ground"),
        TerminalState::Between => t!("words-between-supply-and-ground"),
        TerminalState::Floating | TerminalState::Unseen => "",
    };
    t!("words-terminal", terminal_words = bench.circuit().terminal_words(id), volts, state)
}

fn wire(bench: &Bench, id: WireId) -> String {
    let circuit = bench.circuit();
    let wire = circuit.wire(id);
    let colour = wire.colour.as_deref().map(|c| format!(", {}", colour(c))).unwrap_or_default();
    let amps = bench.outcome().amps_in(id);
    // Named along the current, so that "from" and "to" say which way it flows.
    let (from, to) = if amps < 0.0 { (wire.to, wire.from) } else { (wire.from, wire.to) };
    t!(
        "words-wire-from-to-2",
        tag = wire.tag,
        colour,
        abs = amps_words(amps.abs()),
        terminal_words = circuit.terminal_words(from),
        to = circuit.terminal_words(to)
    )
}

fn wire_end(bench: &Bench, end: WireEnd) -> String {
    let words = bench.circuit().end_words(end);
    match bench.outcome().loose_volts.get(&end) {
        Some(volts) => t!("words-loose-end-2", words, volts = volts_words(*volts)),
        None => t!("words-wire-end-2", words),
    }
}

/// Volts for people.
pub fn volts_words(volts: Option<f64>) -> String {
    volts.map_or_else(|| t!("words-floating").to_owned(), |v| t!("words-volts-2", v = fixed(v + 0.0, 2)))
}

/// Amps for people.
pub fn amps_words(amps: f64) -> String {
    if amps < CARRIES_AMPS { t!("words-no-current").to_owned() } else { t!("words-amps", amps = fixed(amps, 2)) }
}

/// Insulation colour by its IEC 60757 letters; the letters themselves where they are none of the standard's.
pub fn colour(letters: &str) -> String {
    let one = |code: &str| {
        Some(match code {
            "BK" => t!("words-black"),
            "BN" => t!("words-brown"),
            "RD" => t!("words-red"),
            "OG" => t!("words-orange"),
            "YE" => t!("words-yellow"),
            "GN" => t!("words-green"),
            "BU" => t!("words-blue"),
            "VT" => t!("words-violet"),
            "GY" => t!("words-grey"),
            "WH" => t!("words-white"),
            "PK" => t!("words-pink"),
            "TQ" => t!("words-turquoise"),
            _ => return None,
        })
    };
    let pairs: Option<Vec<&str>> = (0..letters.len()).step_by(2).map(|i| letters.get(i..i + 2).and_then(one)).collect();
    pairs.filter(|p| !p.is_empty()).map_or_else(|| letters.to_owned(), |p| p.join(t!("words-and")))
}

/// An act in a short line.
pub fn act(act: &Act) -> String {
    match act {
        Act::Turn { switch, to } => match to.as_str() {
            "on" => t!("words-turned-on", switch),
            "off" => t!("words-turned-off", switch),
            _ => t!("words-turned", switch, to),
        },
        Act::Press { switch } => t!("words-pressed", switch),
        Act::Jump { a, b, fuse } => t!("words-lead-to", a, b, fuse = lead_fuse(*fuse)),
        Act::Lift(end) => t!("words-off", wire = end.wire, terminal = end.terminal),
        Act::Unplug { part } => t!("words-unplugged-3", part),
    }
}

/// Where a danger is, shortly: a lead by its two ends, an end of a wire, what is turned; anything else by its tag.
pub fn at(place: &str) -> String {
    match place.parse::<Act>() {
        Ok(Act::Jump { a, b, .. }) => t!("words-lead-from-to", a, b),
        Ok(done) => act(&done),
        Err(_) => match place.split_once('@') {
            Some((wire, terminal)) => t!("words-end-at", wire, terminal),
            None => place.to_owned(),
        },
    }
}

/// Why something could not be done, with the mend.
pub fn mended(message: &Words, mend: &Words) -> String {
    format!("{}; {}", worded(message), worded(mend))
}

/// The fuse of a lead in words.
pub fn lead_fuse(fuse: LeadFuse) -> String {
    fuse.amps().map_or_else(|| t!("words-no-fuse").to_owned(), |amps| t!("words-a-fuse", amps))
}

/// What an undo or redo would take back or make again.
pub fn action(circuit: &Circuit, action: &Action) -> String {
    match action {
        Action::Set(setting) => self::setting(*setting),
        Action::Do(what) => act(what),
        Action::PutBack(what) => t!("words-putting-back", what = act(what)),
        Action::PutAllBack => t!("words-putting-all-back").to_owned(),
        Action::ReplaceFuse(tag) => t!("words-new-fuse-in", tag),
        Action::Plant(fault) => t!("words-fault", fault = naming::name(circuit, fault)),
        Action::Repair(fault) => t!("words-put-right", fault = naming::name(circuit, fault)),
        Action::Build(change) => worded(&change.told()),
        Action::Undo => t!("words-undo").to_owned(),
        Action::Redo => t!("words-redo").to_owned(),
    }
}

/// A setting in words.
pub fn setting(setting: Setting) -> String {
    match setting {
        Setting::Key(on) => t!("words-key", on = if on { t!("words-on") } else { t!("words-off-2") }),
        Setting::Engine(rpm) => t!("words-engine-rpm", rpm),
        Setting::Coolant(level) => t!("words-coolant", level),
        Setting::Intake(level) => t!("words-intake-air", level),
        Setting::Oil(level) => t!("words-oil", level),
        Setting::Refrigerant(level) => t!("words-refrigerant", level),
        Setting::Air(level) => t!("words-air-supply", level),
        Setting::Ambient(level) => t!("words-ambient", level),
        Setting::Bolts(fitted) => {
            t!("words-lock-up-bolts", fitted = if fitted { t!("words-fitted") } else { t!("words-out") })
        }
    }
}

/// A line of the ledger, with the change that puts it right.
pub fn change(circuit: &Circuit, change: &Change) -> (String, Action) {
    match change {
        Change::Done(what) => (act(what), Action::PutBack(what.clone())),
        Change::BlownFuse(tag) => (t!("words-blown-2", tag), Action::ReplaceFuse(tag.clone())),
        Change::Faulty(fault) => {
            (t!("words-fault", fault = naming::name(circuit, fault)), Action::Repair(fault.clone()))
        }
    }
}

/// With a capital letter.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What the fan does.
pub fn fan(standing: Standing) -> &'static str {
    match standing {
        Standing::Engaged => t!("words-driven"),
        Standing::Released => t!("words-free"),
        Standing::Slipping => t!("words-slipping"),
        Standing::Unsettled => t!("words-never-at-rest"),
        Standing::None => t!("words-unknown"),
    }
}

/// The signal word.
pub fn signal(level: Level) -> &'static str {
    match level {
        Level::Danger => t!("words-danger"),
        Level::Warning => t!("words-warning"),
        Level::Caution => t!("words-caution"),
    }
}

/// One thing worth trying on a circuit nobody has touched.
pub fn suggestion(circuit: &Circuit) -> Option<String> {
    let (id, part, sensor) =
        circuit.parts_with_ids().find_map(|(id, part)| part.kind.sensor().map(|sensor| (id, part, sensor)))?;
    let tag = &part.tag;
    let first = circuit.terminal_at(id, 0);
    match sensor.rest {
        Contact::Open => Some(t!("words-try-this-is-open-at", tag)),
        Contact::Closed => {
            let end = circuit.ends_at(first).first()?;
            let wire = &circuit.wire(end.wire).tag;
            Some(t!("words-try-this-is-closed-at", tag, wire))
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
