//! The card for the cab: how to prove one circuit's clutch by hand, on one page.
//!
//! Yields [`Card::of`], everything the card says as plain data: the drawing as built, the style in its four senses,
//! the acts with what each should show, what not to do, what to put back. Setting it on paper is left to
//! [`sheet`](super::sheet).

use crate::bench::Bench;

use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Engages, Kind};
use crate::drawing::{Flow, Layout, Picture, Show, Symbols, TerminalState, WireState, draw};
use crate::study::prove::prove;
use crate::study::wording;

use super::acts::{self, Section};
use super::style::{self, Trait};
use super::warnings::{self, Warning};

/// What a card says.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Title of the circuit.
    pub title: String,
    /// Its notes.
    pub notes: String,
    /// Voltage and clutch in few words.
    pub kind: String,
    /// The circuit as built.
    pub picture: Picture,
    /// The style, one line each.
    pub style: Vec<Trait>,
    /// Heading of the column for the coil.
    pub coil: String,
    /// What the supply gauge shows, and the least it must.
    pub supply: String,
    /// How to engage.
    pub engage: Section,
    /// How to release.
    pub release: Section,
    /// What not to do.
    pub warnings: Vec<Warning>,
    /// What to put back, in order.
    pub put_back: Vec<String>,
    /// Under which conditions all this was worked out.
    pub conditions: String,
}

impl Card {
    /// The card of a bench's circuit under its conditions and faults.
    pub fn of(bench: &Bench, symbols: Symbols) -> Self {
        let circuit = bench.circuit();
        let proof = prove(bench);
        let engage = acts::engage(bench, &proof);
        let release = acts::release(bench, &proof);
        let valve = circuit.clutch_valve().map(|(id, _)| circuit.part(id).tag.clone());
        Self {
            title: circuit.title().to_owned(),
            notes: circuit.notes().to_owned(),
            kind: kind(circuit),
            picture: draw(&Layout::of(circuit), circuit, &plainly(circuit, symbols)),
            style: style::of(bench),
            coil: valve.map_or_else(|| "Coil".to_owned(), |tag| format!("Coil {tag}")),
            supply: format!(
                "Supply gauge {} throughout; below {} a test proves nothing. Meter across the coil's own terminals.",
                acts::pressure(circuit, bench.conditions().air_kpa),
                acts::pressure(circuit, circuit.minimum_kpa())
            ),
            warnings: warnings::of(bench, &proof, [&engage, &release]),
            put_back: put_back(circuit, [&engage, &release]),
            conditions: conditions(bench),
            engage,
            release,
        }
    }
}

/// The circuit as built, every wire and terminal alike: the dashes and dots of what floats would only ask questions.
fn plainly(circuit: &Circuit, symbols: Symbols) -> Show {
    let mut show = Show { symbols, ..Show::as_built(circuit) };
    show.wires.fill(WireState { flow: Flow::Grounded, amps: 0.0 });
    show.terminals.fill(TerminalState::Grounded);
    show
}

fn kind(circuit: &Circuit) -> String {
    // Battery makers' 2.1 V a cell: 12.6 V is called 12 V.
    let volts = circuit.battery().map(|(_, battery)| (battery.volts / 12.6).round() * 12.0);
    let clutch = match circuit.engages() {
        Engages::WithAir => "air-engaged clutch",
        Engages::WithoutAir => "spring-engaged clutch",
    };
    match volts {
        Some(volts) if volts > 0.0 => format!("{volts:.0} V, {clutch}"),
        _ => clutch.to_owned(),
    }
}

/// The list to restore (common practice, no source), with this circuit's own parts in it.
fn put_back(circuit: &Circuit, told: [&Section; 2]) -> Vec<String> {
    let touched = |which: fn(&Kind) -> bool| -> Vec<String> {
        let tags = told.into_iter().flat_map(|section| &section.touched);
        let mut tags: Vec<String> = tags
            .filter(|tag| circuit.part_named(tag).is_some_and(|id| which(&circuit.part(id).kind)))
            .cloned()
            .collect();
        tags.sort();
        tags.dedup();
        tags
    };
    let plugs = touched(|kind| !matches!(kind, Kind::HandSwitch(_) | Kind::SelectorSwitch(_)));
    let switches = touched(|kind| matches!(kind, Kind::HandSwitch(_) | Kind::SelectorSwitch(_)));
    let fuses: Vec<String> = circuit
        .parts()
        .iter()
        .filter_map(|part| match &part.kind {
            Kind::Fuse(fuse) => Some(format!("{} {} A", part.tag, fuse.amps)),
            _ => None,
        })
        .collect();
    let mut list = vec!["Leads off: ____ put on, ____ taken off".to_owned()];
    list.push(match plugs.is_empty() {
        true => "Every plug in and locked, every wire back".to_owned(),
        false => format!("Plugs in and locked, wires back: {}", wording::list(&plugs)),
    });
    if !switches.is_empty() {
        list.push(format!("At rest: {}", wording::list(&switches)));
    }
    if !fuses.is_empty() {
        list.push(format!("Fuses whole and right: {}", wording::list(&fuses)));
    }
    list.push("Gauges and tees out, fittings tight, no leak".to_owned());
    list.push("Tools and hands out, guards on".to_owned());
    list.push("Last: one cycle off, on, off by itself, no test aid, nobody near the fan".to_owned());
    list
}

/// A level in the unit that the circuit's file gives its temperatures in.
fn circuit_temperature(circuit: &Circuit) -> Level {
    let sensors = circuit.parts().iter().filter_map(|part| part.kind.sensor());
    sensors.map(|sensor| sensor.acts_at).find(|level| level.is_temperature()).unwrap_or(Level::Fahrenheit(0.0))
}

fn conditions(bench: &Bench) -> String {
    let now = bench.conditions();
    let key = if now.key_on { "key on" } else { "key off" };
    let engine =
        if now.engine_rpm > 0.0 { format!("engine at {:.0} rpm", now.engine_rpm) } else { "engine stopped".to_owned() };
    let of_temperature = circuit_temperature(bench.circuit());
    let coolant = wording::value_like(now.coolant_c, of_temperature);
    let faults: Vec<String> = bench.faults().iter().map(ToString::to_string).collect();
    let acts: Vec<String> = bench.acts().map(|act| act.in_full()).collect();
    let mut told = format!(
        "{key}, {engine}, coolant {coolant}, refrigerant {}, air {}",
        wording::psi(now.refrigerant_kpa),
        acts::pressure(bench.circuit(), now.air_kpa)
    );
    for (what, list) in [("done", acts), ("faults", faults)] {
        if !list.is_empty() {
            told.push_str(&format!("; {what}: {}", list.join(", ")));
        }
    }
    told
}
