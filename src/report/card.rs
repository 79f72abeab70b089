//! The card for the cab: how to prove one circuit's clutch by hand, on one page.
//!
//! Yields [`Card::of`], everything the card says as plain data: the drawing as built, the style in its four senses,
//! the acts with what each should show, what not to do, what to put back. Setting it on paper is left to
//! [`sheet`](super::sheet).

use std::collections::BTreeSet;

use crate::bench::{Act, Bench};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Engages, Kind, Part, Telling};
use crate::drawing::{Flow, Layout, Picture, Show, Symbols, TerminalState, WireState, draw};
use crate::study::answer::Subject;
use crate::study::faults::naming;
use crate::study::prove::{Proof, prove};
use crate::study::wording;

use super::acts::{self, Section};
use super::style::{self, Trait};
use super::warnings::{self, Warning};
use super::words;
use crate::words::{Measure, Words, fixed, say};

/// What a card says.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Title of the circuit.
    pub title: String,
    /// Its notes.
    pub notes: String,
    /// Voltage and clutch in few words.
    pub kind: Words,
    /// The circuit as built.
    pub picture: Picture,
    /// The style, one line each.
    pub style: Vec<Trait>,
    /// Heading of the column for the coil.
    pub coil: Words,
    /// What the supply gauge shows, and what the words in the table mean.
    pub supply: Words,
    /// What keeps hands and engines whole, a sentence each; whose word comes first stands first.
    pub safety: Vec<Words>,
    /// How to engage.
    pub engage: Section,
    /// How to release.
    pub release: Section,
    /// What not to do.
    pub warnings: Vec<Warning>,
    /// What to put back, in order.
    pub put_back: Vec<Words>,
    /// Under which conditions all this was worked out.
    pub conditions: Words,
    /// What the acts name in the drawing.
    pub(super) named: BTreeSet<Subject>,
    /// In whose units it is told.
    pub(super) measure: Measure,
}

impl Card {
    /// The card of a bench's circuit under its conditions and faults. What has been done to the bench counts as how
    /// it stands.
    pub fn of(bench: &Bench, symbols: Symbols) -> Self {
        Self::of_proof(bench, &prove(bench), symbols, Measure::AsWritten)
    }

    /// The same in the units of whoever reads it, where the search for acts has been made: `proof` is that of this very
    /// bench.
    pub fn of_proof(bench: &Bench, proof: &Proof, symbols: Symbols, measure: Measure) -> Self {
        let circuit = bench.circuit();
        let engage = acts::engage(bench, proof);
        let release = acts::release(bench, proof, &engage);
        let valve = circuit.clutch_valve().map(|(id, _)| circuit.part(id).tag.clone());
        let done: Vec<Act> =
            [&engage, &release].into_iter().flat_map(|s| &s.steps).flat_map(|step| &step.acts).cloned().collect();
        Self {
            title: circuit.title().to_owned(),
            notes: circuit.notes().to_owned(),
            kind: kind(circuit),
            picture: draw(&Layout::of(circuit), circuit, &plainly(circuit, symbols, measure)),
            style: style::of(bench, proof),
            coil: valve.map_or_else(|| say!("card-coil"), |tag| say!("card-coil-2", tag)),
            supply: say!(
                "card-supply-gauge-in-every-row",
                air_kpa = acts::pressure(circuit, bench.conditions().air_kpa)
            ),
            safety: safety(circuit),
            warnings: warnings::of(bench, proof, [&engage, &release]),
            put_back: put_back(circuit, &done),
            conditions: conditions(bench),
            named: words::subjects(circuit, &done),
            engage,
            release,
            measure,
        }
    }
}

/// [`SAFETY`](wording::SAFETY) a sentence each, its last first, and the air that this clutch needs.
fn safety(circuit: &Circuit) -> Vec<Words> {
    let mut sentences = wording::safety_sentences().to_vec();
    sentences.rotate_right(1);
    let least = wording::marked(circuit, Telling::Minimum, acts::pressure(circuit, circuit.minimum_kpa()));
    sentences.push(say!("card-supply-air-at-or-more", least));
    let note = wording::example_note(sentences.iter().map(|sentence| &**sentence));
    sentences.extend(note.map(|note| Words::joined([note, ".".into()], "")));
    sentences
}

/// The circuit as built, every wire and terminal alike: the dashes and dots of what floats would only ask questions.
fn plainly(circuit: &Circuit, symbols: Symbols, measure: Measure) -> Show {
    let mut show = Show { symbols, measure, ..Show::as_built(circuit) };
    show.wires.fill(WireState { flow: Flow::Grounded, amps: 0.0 });
    show.terminals.fill(TerminalState::Grounded);
    show
}

fn kind(circuit: &Circuit) -> Words {
    // Battery makers' 2.1 V a cell: 12.6 V is called 12 V.
    let volts = circuit.battery().map(|(_, battery)| (battery.volts / 12.6).round() * 12.0);
    let clutch = match circuit.engages() {
        Engages::WithAir => say!("card-air-engaged-clutch"),
        Engages::WithoutAir => say!("card-spring-engaged-clutch"),
    };
    match volts {
        Some(volts) if volts > 0.0 => say!("card-kind", volts = fixed(volts, 0), clutch),
        _ => clutch,
    }
}

/// The list to restore (common practice, no source): exactly what the card had done, then what holds for all.
fn put_back(circuit: &Circuit, done: &[Act]) -> Vec<Words> {
    let of = |which: fn(&Circuit, &Act) -> Option<Words>| {
        let mut found: Vec<Words> = Vec::new();
        for words in done.iter().filter_map(|act| which(circuit, act)) {
            if !found.contains(&words) {
                found.push(words);
            }
        }
        wording::list(&found)
    };
    let leads = of(|_, act| match act {
        Act::Jump { a, b, .. } => Some(say!("card-to", a, b)),
        _ => None,
    });
    let plugs = of(|_, act| match act {
        Act::Unplug { part } => Some(part.as_str().into()),
        _ => None,
    });
    let wires = of(|_, act| match act {
        Act::Lift(end) => Some(end.to_string().into()),
        _ => None,
    });
    let mut list = vec![match leads.is_empty() {
        true => say!("card-leads-and-meter-off-put"),
        false => say!("card-leads-off-put-on-taken", leads),
    }];
    for (words, what) in [
        (say!("card-plugged-in-and-locked"), plugs),
        (say!("card-back-and-tight"), wires),
        (say!("card-as-found"), of(switch)),
    ] {
        if !what.is_empty() {
            list.push(say!("card-what", words, what));
        }
    }
    let fuse = |part: &Part| match &part.kind {
        Kind::Fuse(fuse) => Some(format!("{} {} A", part.tag, fuse.amps)),
        _ => None,
    };
    let fuses: Vec<String> = circuit.parts().iter().filter_map(fuse).collect();
    if !fuses.is_empty() {
        list.push(say!("card-fuses-whole-and-right", fuses = wording::list(&fuses)));
    }
    list.push(say!("card-gauges-and-tees-out-fittings"));
    list.push(say!("card-tools-and-hands-out-guards"));
    list.push(say!("card-last-nothing-helping-it-everyone"));
    list
}

/// A switch that stays where it is put, with its place at rest.
fn switch(circuit: &Circuit, act: &Act) -> Option<Words> {
    let Act::Turn { switch, .. } = act else { return None };
    let rest = match &circuit.part(circuit.part_named(switch)?).kind {
        Kind::HandSwitch(hand) => wording::position_word(hand.rest),
        Kind::SelectorSwitch(selector) => say!("card-at", rest = selector.rest),
        _ => return None,
    };
    Some(say!("card-switch", switch, rest))
}

/// A level in the unit that the circuit's file gives its temperatures in.
fn circuit_temperature(circuit: &Circuit) -> Level {
    let sensors = circuit.parts().iter().filter_map(|part| part.kind.sensor());
    sensors.map(|sensor| sensor.acts_at).find(|level| level.is_temperature()).unwrap_or(Level::Fahrenheit(0.0))
}

fn conditions(bench: &Bench) -> Words {
    let now = bench.conditions();
    let key = if now.key_on { say!("card-key-on") } else { say!("card-key-off") };
    let engine = if now.engine_rpm > 0.0 {
        say!("card-engine-at-rpm", engine_rpm = fixed(now.engine_rpm, 0))
    } else {
        say!("card-engine-stopped")
    };
    let of_temperature = circuit_temperature(bench.circuit());
    let coolant = wording::value_like(now.coolant_c, of_temperature);
    let faults: Vec<Words> = bench.faults().iter().map(|fault| naming::name(bench.circuit(), fault)).collect();
    // What a hand does, without why.
    let done = |act: &Act| words::in_words(bench.circuit(), std::slice::from_ref(act)).into_iter().next();
    let acts: Vec<Words> = bench.acts().filter_map(done).map(|phrase| phrase.words).collect();
    let mut told = vec![say!(
        "card-coolant-refrigerant-air",
        key,
        engine,
        coolant,
        refrigerant_kpa = wording::psi(now.refrigerant_kpa),
        air_kpa = acts::pressure(bench.circuit(), now.air_kpa)
    )];
    for (what, list) in [(say!("card-done"), acts), (say!("card-faults"), faults)] {
        if !list.is_empty() {
            told.push(say!("card-what", words = what, what = Words::joined(list, ", ")));
        }
    }
    Words::joined(told, "; ")
}
