//! Which acts a card tells, in words, with what each should show.
//!
//! The acts are those that [`prove`](crate::study::prove) found: the usual ones, and where there are none the
//! workable ones; of them those nearest to where a technician's hand goes first (common practice, no source). What
//! each shows is read off a bench on which it has been done. Dangers are left to [`warnings`](super::warnings).

use std::collections::BTreeSet;

use crate::bench::{Act, Action, Bench, Point, Setting};
use crate::circuit::graph::Nets;
use crate::circuit::{Circuit, Contact, Kind};
use crate::physics::clutch::ClutchState;
use crate::study::answer::{Hazard, Standing};
use crate::study::prove::{Class, Proof, ProvingAct, made_to_act};
use crate::study::wording;

use super::page::{Run, bold, plain};

/// Most acts a list tells.
const MOST_ACTS: usize = 6;
/// Engine speed of an idling engine in rpm (example value).
const IDLE_RPM: f64 = 600.0;

/// What gauges and hands should find.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Volts across the coil of the valve that feeds the clutch.
    pub coil: String,
    /// Pressure at the clutch.
    pub clutch: String,
    /// The fan turned by hand.
    pub fan: &'static str,
}

/// One row of a list of acts.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What to do.
    pub words: Vec<Run>,
    /// What it should show.
    pub reading: Reading,
}

/// One list of acts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    /// Its heading.
    pub heading: String,
    /// What stands before anything is done, then the acts.
    pub steps: Vec<Step>,
    /// What to know besides; may be empty.
    pub note: String,
    /// Dangers of the acts told.
    pub(super) hazards: Vec<Hazard>,
    /// Tags of the parts whose plugs or wires come off, and of the switches moved.
    pub(super) touched: BTreeSet<String>,
}

/// What a bench shows now.
pub(super) fn reading(bench: &Bench) -> Reading {
    let outcome = bench.outcome();
    let coil = bench.circuit().clutch_valve().and_then(|(id, _)| outcome.coils.get(&id)?.volts);
    let fan = match outcome.clutch.map(|c| c.state).filter(|_| outcome.settled()) {
        Some(ClutchState::Engaged) => "stiff",
        Some(ClutchState::Released) => "free",
        Some(ClutchState::Slipping) => "drags",
        None => "–",
    };
    Reading {
        // A tenth is what a workshop's meter agrees on.
        coil: coil.map_or_else(|| "–".to_owned(), |volts| format!("{:.1} V", (volts * 10.0).round() / 10.0 + 0.0)),
        clutch: outcome.chamber_kpa.map_or_else(|| "–".to_owned(), |kpa| pressure(bench.circuit(), kpa)),
        fan,
    }
}

/// A gauge pressure in the unit the circuit's file gives its minimum in.
pub(super) fn pressure(circuit: &Circuit, kpa: f64) -> String {
    match circuit.air() {
        Some(air) => wording::value_like(kpa, air.minimum),
        None => wording::psi(kpa),
    }
}

/// What the clutch does on a bench.
pub(super) fn standing(bench: &Bench) -> Standing {
    crate::study::explain::chain(bench).0
}

/// The acts that engage.
pub(super) fn engage(bench: &Bench, proof: &Proof) -> Section {
    let mut section = Section { heading: "To engage".to_owned(), ..Section::default() };
    section.steps.push(Step { words: vec![plain("As it stands, key on, nothing done")], reading: reading(bench) });
    if proof.at_rest == Standing::Engaged {
        section.note = "Nothing to do: key on with the engine stopped engages this clutch by itself.".to_owned();
        return section;
    }
    tell(&mut section, bench, &proof.engage);
    section
}

/// The acts that release.
pub(super) fn release(bench: &Bench, proof: &Proof) -> Section {
    let mut section = Section { heading: "To release".to_owned(), ..Section::default() };
    let engaging = offered(bench, &proof.engage);
    if let Some(first) = engaging.first() {
        section.steps.extend(taken_back(bench, first));
    }
    if proof.at_rest == Standing::Engaged {
        section.steps.extend(started(bench));
    }
    let Some((tag, hot)) = made_to_act(bench) else { return section };
    let before = section.steps.len();
    if proof.at_rest != Standing::Engaged {
        let words = vec![plain(format!("With {} and nothing done", called(bench.circuit(), &tag)))];
        section.steps.push(Step { words, reading: reading(&hot) });
    }
    tell(&mut section, &hot, &proof.release);
    if section.steps.len() == before {
        section.note =
            "No further act is named here: each would feed a module's output from outside. Use the vehicle maker's \
             own command for that output."
                .to_owned();
    }
    section
}

/// A sensor that has acted, with where it acts.
fn called(circuit: &Circuit, tag: &str) -> String {
    let sensor = circuit.part_named(tag).and_then(|id| circuit.part(id).kind.sensor());
    match sensor {
        Some(sensor) => format!("{tag} acted ({} past {})", wording::quantity_name(sensor.senses), sensor.acts_at),
        None => format!("{tag} calling for the fan"),
    }
}

/// Adds the acts worth telling.
fn tell(section: &mut Section, bench: &Bench, found: &[ProvingAct]) {
    let told = offered(bench, found);
    if told.is_empty() && section.note.is_empty() {
        section.note = "No act without a warning does it.".to_owned();
    }
    for act in told.into_iter().take(MOST_ACTS) {
        let mut after = bench.clone();
        if act.acts.iter().any(|a| after.apply(Action::Do(a.clone())).is_err()) {
            continue;
        }
        section.steps.push(Step { words: in_words(bench.circuit(), &act.acts), reading: reading(&after) });
        section.hazards.extend(act.hazards.iter().cloned());
        section.touched.extend(act.acts.iter().filter_map(touched));
    }
}

/// The acts to choose from: of the best class there is, the nearest at hand first.
fn offered<'a>(bench: &Bench, found: &'a [ProvingAct]) -> Vec<&'a ProvingAct> {
    let circuit = bench.circuit();
    for class in [Class::Usual, Class::Workable] {
        let mut fit: Vec<(u8, &ProvingAct)> = found
            .iter()
            .filter(|act| act.class == class && !act.acts.iter().any(|a| meets_module_output(circuit, a)))
            .map(|act| (reach(circuit, &act.acts), act))
            .collect();
        fit.sort_by_key(|(reach, _)| *reach);
        // Two near ways are enough to spare the reader the far ones.
        let near = [2, 4].into_iter().find(|limit| fit.iter().filter(|(reach, _)| reach <= limit).count() >= 2);
        let best = fit.first().map(|(reach, _)| *reach).unwrap_or_default();
        fit.retain(|(reach, _)| *reach <= near.unwrap_or(best.max(4)));
        if !fit.is_empty() {
            return fit.into_iter().map(|(_, act)| act).collect();
        }
    }
    Vec::new()
}

/// How far from a technician's usual grip some acts are.
fn reach(circuit: &Circuit, acts: &[Act]) -> u8 {
    let kind = |tag: &str| circuit.part_named(tag).map(|id| &circuit.part(id).kind);
    let part_of = |point: &Point| match point {
        Point::Terminal(words) => circuit.terminal_named(words).map(|t| circuit.terminal(t).part),
        Point::LooseEnd(_) => None,
    };
    let of = |act: &Act| match act {
        Act::Turn { .. } | Act::Press { .. } => 0,
        Act::Unplug { part } => match kind(part) {
            Some(kind) if kind.sensor().is_some() => 1,
            Some(Kind::AirValve(_)) => 2,
            Some(Kind::Fuse(_) | Kind::KeySwitch(_)) | None => 7,
            Some(_) => 4,
        },
        Act::Jump { a, b, .. } => match (part_of(a), part_of(b)) {
            (Some(a), Some(b)) if a == b && circuit.part(a).kind.sensor().is_some() => 1,
            (Some(a), Some(b)) if a == b => 4,
            _ => 5,
        },
        Act::Lift(end) => {
            let at = circuit.terminal_named(&end.terminal).map(|t| &circuit.part(circuit.terminal(t).part).kind);
            match at {
                Some(Kind::Battery(_) | Kind::Fuse(_) | Kind::KeySwitch(_)) => 8,
                Some(kind) if kind.sensor().is_some() => 5,
                Some(_) | None => 6,
            }
        }
    };
    let far = acts.iter().map(of).max().unwrap_or_default();
    far + if acts.len() > 1 { 4 } else { 0 }
}

/// Whether a lead touches a module's output from outside: fit only by the maker's procedure (common practice, no
/// source).
fn meets_module_output(circuit: &Circuit, act: &Act) -> bool {
    let Act::Jump { a, b, .. } = act else { return false };
    let nets = Nets::new(circuit);
    let outputs: BTreeSet<_> = circuit
        .terminals_with_ids()
        .filter(|(_, t)| matches!(circuit.part(t.part).kind, Kind::Module(_)) && t.name == "out")
        .map(|(id, _)| nets.net_of(id))
        .collect();
    let meets = |point: &Point| match point {
        Point::Terminal(words) => circuit.terminal_named(words).is_some_and(|t| outputs.contains(&nets.net_of(t))),
        Point::LooseEnd(_) => false,
    };
    // Straight onto the pin, or past contacts that only pass on what the pin gives.
    meets(a) || meets(b) || fed_through_contacts(circuit, &nets, &outputs, [a, b])
}

/// Whether a point hangs on an output by contacts alone.
fn fed_through_contacts(
    circuit: &Circuit,
    nets: &Nets,
    outputs: &BTreeSet<crate::circuit::graph::NetId>,
    points: [&Point; 2],
) -> bool {
    let mut reached = outputs.clone();
    loop {
        let before = reached.len();
        for (id, part) in circuit.parts_with_ids() {
            let is_contact = part.kind.sensor().is_some() || matches!(part.kind, Kind::HandSwitch(_));
            let ends: Vec<_> = circuit.terminals_of(id).map(|t| nets.net_of(t)).collect();
            if is_contact && ends.iter().any(|net| reached.contains(net)) {
                reached.extend(ends);
            }
        }
        if reached.len() == before {
            break;
        }
    }
    !outputs.is_empty()
        && points.into_iter().any(|point| match point {
            Point::Terminal(words) => circuit.terminal_named(words).is_some_and(|t| reached.contains(&nets.net_of(t))),
            Point::LooseEnd(_) => false,
        })
        && points.into_iter().any(|point| match point {
            Point::Terminal(words) => circuit.terminal_named(words).is_some_and(|t| !reached.contains(&nets.net_of(t))),
            Point::LooseEnd(_) => false,
        })
}

/// What comes of undoing the first act that engages: a row where that releases, or the rows of what does.
fn taken_back(bench: &Bench, first: &ProvingAct) -> Vec<Step> {
    let mut engaged = bench.clone();
    if first.acts.iter().any(|act| engaged.apply(Action::Do(act.clone())).is_err()) {
        return Vec::new();
    }
    let mut back = engaged.clone();
    for act in first.acts.iter().rev().filter(|act| !matches!(act, Act::Press { .. })) {
        if back.apply(Action::PutBack(act.clone())).is_err() {
            return Vec::new();
        }
    }
    if standing(&back) == Standing::Released {
        return vec![Step { words: vec![bold("Put back"), plain(" what engaged it")], reading: reading(&back) }];
    }
    // It holds itself in: what switches let it go?
    let mut rows = Vec::new();
    for part in bench.circuit().parts() {
        let act = match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => Act::Press { switch: part.tag.clone() },
            Kind::HandSwitch(_) => Act::Turn { switch: part.tag.clone(), to: "on".to_owned() },
            _ => continue,
        };
        let mut tried = back.clone();
        if tried.apply(Action::Do(act.clone())).is_ok() && standing(&tried) == Standing::Released {
            let mut words = vec![plain("It holds itself in. ")];
            words.extend(in_words(bench.circuit(), &[act]));
            rows.push(Step { words, reading: reading(&tried) });
        }
    }
    rows
}

/// The row of an engine started, where that alone releases.
fn started(bench: &Bench) -> Option<Step> {
    let running = running(bench)?;
    (standing(&running) == Standing::Released).then(|| Step {
        words: vec![
            bold("Start the engine"),
            plain(", all sensors cold; watch from outside the fan's reach, no hands"),
        ],
        reading: reading(&running),
    })
}

/// The bench with its engine idling.
pub(super) fn running(bench: &Bench) -> Option<Bench> {
    let mut running = bench.clone();
    running.apply(Action::Set(Setting::Engine(IDLE_RPM))).ok()?;
    Some(running)
}

/// Some acts as a sentence.
fn in_words(circuit: &Circuit, acts: &[Act]) -> Vec<Run> {
    let mut runs = Vec::new();
    for (i, act) in acts.iter().enumerate() {
        if i > 0 {
            runs.push(plain("; then "));
        }
        runs.extend(act_in_words(circuit, act));
    }
    runs
}

fn act_in_words(circuit: &Circuit, act: &Act) -> Vec<Run> {
    let named = |tag: &str| {
        let kind = circuit.part_named(tag).map(|id| wording::kind_name(&circuit.part(id).kind));
        format!(" {tag}, the {}", kind.unwrap_or("part"))
    };
    match act {
        Act::Turn { switch, to } => {
            // The grammar's `on` is "moved from rest"; which way that goes is the contact's to say.
            let contact = circuit.part_named(switch).and_then(|id| match &circuit.part(id).kind {
                Kind::HandSwitch(hand) if to == "on" => Some(hand.rest.flipped()),
                Kind::HandSwitch(hand) => Some(hand.rest),
                _ => None,
            });
            let (verb, to) = match contact {
                Some(Contact::Open) => ("Open", String::new()),
                Some(Contact::Closed) => ("Close", String::new()),
                None => ("Turn", format!(" to {to}")),
            };
            vec![bold(verb), plain(named(switch)), bold(to)]
        }
        Act::Press { switch } => vec![bold("Press"), plain(format!("{}, and let go", named(switch)))],
        Act::Unplug { part } => vec![bold("Unplug"), plain(named(part))],
        Act::Lift(end) => vec![bold("Lift"), plain(format!(" {} off {} and cap it", end.wire, end.terminal))],
        Act::Jump { a, b, fuse } => {
            let rating = fuse.amps().map_or_else(|| "no fuse".to_owned(), |amps| format!("{amps} A"));
            let owner = |point: &Point| match point {
                Point::Terminal(words) => circuit.terminal_named(words).map(|t| circuit.terminal(t).part),
                Point::LooseEnd(_) => None,
            };
            let across = match (owner(a), owner(b)) {
                (Some(one), Some(other)) if one == other => format!(" across{}", named(&circuit.part(one).tag)),
                _ => String::new(),
            };
            vec![bold("Fused lead"), plain(format!(" ({rating}){across}: {a} to {b}"))]
        }
    }
}

/// The tag of what an act takes apart or moves.
fn touched(act: &Act) -> Option<String> {
    match act {
        Act::Turn { switch, .. } => Some(switch.clone()),
        Act::Unplug { part } => Some(part.clone()),
        Act::Lift(end) => Some(end.wire.clone()),
        Act::Press { .. } | Act::Jump { .. } => None,
    }
}
