//! What not to do on this circuit, and why, gravest first.
//!
//! Every line is found by doing it on a copy of the bench, cold, with a sensor acted and with the engine running,
//! and running the hazards: leads from sensors and hand switches to ground and to supply, leads onto module
//! outputs and across coils, an unfused lead; then whatever else [`prove`](crate::study::prove) classed as dangerous
//! or not advised. Signal words after ANSI Z535.4 (from memory).

use std::collections::BTreeSet;

use crate::bench::{Act, Bench, LeadFuse, Point};
use crate::circuit::{Kind, TerminalId};
use crate::physics::state::FuseAt;
use crate::study::answer::{Hazard, HazardKind, Level, Standing};
use crate::study::preview;
use crate::study::prove::{Class, Proof, ProvingAct};
use crate::study::wording;

use super::acts::{Section, acted, running, standing};
use super::words::in_words;
use crate::words::{Words, say};

/// Most names in one list.
const MOST_NAMES: usize = 8;

/// One thing not to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Warning {
    /// How grave.
    pub level: Level,
    /// What.
    pub what: Words,
    /// Why.
    pub why: Words,
}

/// What not to do, gravest first.
pub(super) fn of(bench: &Bench, proof: &Proof, told: [&Section; 2]) -> Vec<Warning> {
    let states = states(bench, proof);
    let mut found = Vec::new();
    let mut seen: BTreeSet<HazardKind> = BTreeSet::new();
    if let Some(minus) = ground(bench) {
        let sensors = contacts(bench, proof);
        found.extend(lead_onto(&states, &sensors, &minus, &say!("warnings-to-ground")));
        if let Some(plus) = plus(bench) {
            found.extend(lead_onto(&states, &sensors, &plus, &say!("warnings-to-battery")));
            found.extend(unfused(bench, &plus));
        }
    }
    found.extend(across_coils(&states, proof));
    if found.iter().any(|w| w.level == Level::Danger) {
        seen.extend([HazardKind::SupplyShorted, HazardKind::FuseWouldOpen, HazardKind::CoilBridged]);
    }
    let outputs = outputs(&states);
    if !outputs.is_empty() {
        seen.extend([HazardKind::ModuleBackfed, HazardKind::ModuleOverloaded]);
    }
    found.extend(outputs);
    found.extend(others(bench, proof, &seen));
    found.extend(forgotten(told[1]));
    found.extend(bare(told));
    found.sort_by_key(|warning| warning.level);
    found
}

/// The benches on which things are tried.
fn states(bench: &Bench, proof: &Proof) -> Vec<Bench> {
    let hot = acted(bench, proof);
    [bench.clone()].into_iter().chain(hot).chain(running(bench)).collect()
}

fn ground(bench: &Bench) -> Option<String> {
    let circuit = bench.circuit();
    let (battery, _) = circuit.battery()?;
    let of = |t: TerminalId| matches!(circuit.part(circuit.terminal(t).part).kind, Kind::Ground(_));
    let ground = circuit.terminals_with_ids().map(|(id, _)| id).find(|t| of(*t));
    Some(circuit.terminal_words(ground.unwrap_or_else(|| circuit.terminal_at(battery, 1))))
}

fn plus(bench: &Bench) -> Option<String> {
    let (battery, _) = bench.circuit().battery()?;
    Some(bench.circuit().terminal_words(bench.circuit().terminal_at(battery, 0)))
}

/// Terminals where a lead is likely to be put: those of sensors and hand switches, of a large circuit where acts were
/// tried.
fn contacts(bench: &Bench, proof: &Proof) -> Vec<String> {
    let circuit = bench.circuit();
    let is_contact = |kind: &Kind| kind.sensor().is_some() || matches!(kind, Kind::HandSwitch(_));
    let parts = circuit.parts_with_ids().filter(|(_, part)| is_contact(&part.kind) && is_reached(proof, &part.tag));
    parts.flat_map(|(id, _)| circuit.terminals_of(id)).map(|terminal| circuit.terminal_words(terminal)).collect()
}

/// Whether acts were tried at a part.
fn is_reached(proof: &Proof, tag: &String) -> bool {
    proof.scope.at.as_ref().is_none_or(|at| at.contains(tag))
}

fn jump(a: &str, b: &str, fuse: LeadFuse) -> Act {
    Act::Jump { a: Point::Terminal(a.to_owned()), b: Point::Terminal(b.to_owned()), fuse }
}

/// Leads from some terminals to a pole, where any of them is a danger.
fn lead_onto(states: &[Bench], terminals: &[String], pole: &str, whither: &Words) -> Option<Warning> {
    let (mut named, mut fuses, mut most_amps) = (Vec::new(), BTreeSet::new(), 0.0_f64);
    let (mut at_once, mut seems_to_pass) = (true, false);
    for terminal in terminals {
        let mut hit = [false; 8];
        for (i, state) in states.iter().enumerate() {
            let Ok(after) = preview(state, &[jump(terminal, pole, LeadFuse::Usual)]) else { continue };
            let shorted = |h: &Hazard| {
                h.level == Level::Danger && matches!(h.kind, HazardKind::SupplyShorted | HazardKind::FuseWouldOpen)
            };
            if !after.verdict.hazards.iter().any(shorted) {
                continue;
            }
            hit[i.min(7)] = true;
            for opened in after.bench.opened() {
                most_amps = most_amps.max(opened.amps);
                if let FuseAt::Part(id) = opened.at {
                    fuses.insert(state.circuit().part(id).tag.clone());
                }
            }
            seems_to_pass |= standing(state) == Standing::Released && after.verdict.standing == Standing::Engaged;
        }
        if hit.contains(&true) {
            named.push(terminal.as_str().into());
            at_once &= hit[0];
        }
    }
    if named.is_empty() {
        return None;
    }
    let mut why =
        vec![if at_once { say!("warnings-supply-shorted") } else { say!("warnings-supply-shorted-at-once-or") }];
    if most_amps > 0.0 {
        why.push(say!("warnings-about", most_amps = wording::amps(most_amps)));
    }
    if !fuses.is_empty() {
        let fuses: Vec<String> = fuses.into_iter().collect();
        why.push(say!("warnings-fuses-open", fuses = wording::list(&fuses), count = fuses.len()));
    } else if most_amps > 0.0 {
        why.push(say!("warnings-until-the-leads-own-fuse"));
    } else {
        why.push(".".into());
    }
    if seems_to_pass {
        why.push(say!("warnings-the-clutch-engages-too-by"));
    }
    Some(Warning {
        level: Level::Danger,
        what: say!("warnings-a-lead-from", named = alternatives(&named), whither),
        why: Words::joined(why, ""),
    })
}

/// `a`, `a or b`, `a, b or c`, the rest counted.
fn alternatives(names: &[Words]) -> Words {
    let shown = &names[..names.len().min(MOST_NAMES)];
    let more = names.len() - shown.len();
    match (shown, more) {
        ([], _) => Words::default(),
        ([one], 0) => one.clone(),
        (shown, 0) => wording::choice(shown),
        (shown, more) => say!("warnings-or-others", shown = Words::joined(shown.iter().cloned(), ", "), more),
    }
}

/// Leads across coils.
fn across_coils(states: &[Bench], proof: &Proof) -> Option<Warning> {
    let circuit = states.first()?.circuit();
    let (mut named, mut at_once) = (Vec::new(), true);
    for (id, part) in circuit.parts_with_ids() {
        if !matches!(part.kind, Kind::AirValve(_) | Kind::Relay(_)) || !is_reached(proof, &part.tag) {
            continue;
        }
        let end = |place| circuit.terminal_words(circuit.terminal_at(id, place));
        let is_danger = |state: &Bench| {
            preview(state, &[jump(&end(0), &end(1), LeadFuse::Usual)])
                .is_ok_and(|after| after.verdict.hazards.iter().any(|h| h.level == Level::Danger))
        };
        if states.iter().any(is_danger) {
            let volts = states.first().and_then(|state| state.outcome().coils.get(&id)?.volts);
            at_once &= volts.is_some_and(|volts| volts.abs() >= 1.0);
            named.push(say!("warnings-to", tag = part.tag, end = end(0), end_2 = end(1)));
        }
    }
    let why = if at_once { say!("warnings-a-dead-short-at-once") } else { say!("warnings-nothing-while-the-coil-is") };
    let what = say!("warnings-a-lead-across-the-coil", named = alternatives(&named));
    (!named.is_empty()).then(|| Warning { level: Level::Danger, what, why })
}

/// A lead without a fuse from the battery to the valve.
fn unfused(bench: &Bench, plus: &str) -> Option<Warning> {
    let (valve, _) = bench.circuit().clutch_valve()?;
    [0, 1].into_iter().find_map(|place| {
        let coil = bench.circuit().terminal_words(bench.circuit().terminal_at(valve, place));
        let after = preview(bench, &[jump(plus, &coil, LeadFuse::Bare)]).ok()?;
        let bypass = after.verdict.hazards.iter().find(|h| h.kind == HazardKind::FuseBypassed)?;
        (bypass.level == Level::Danger).then(|| Warning {
            level: Level::Danger,
            what: say!("warnings-an-unfused-lead-from-to", plus, coil),
            why: say!("warnings-nothing-protects-the-wires-any").to_owned(),
        })
    })
}

/// What the search for proving acts found besides, a line for each kind of danger.
fn others(bench: &Bench, proof: &Proof, seen: &BTreeSet<HazardKind>) -> Vec<Warning> {
    let mut seen = seen.clone();
    let mut found = Vec::new();
    let acts = proof.engage.iter().chain(&proof.release);
    for act in acts.filter(|act| matches!(act.class, Class::Dangerous | Class::NotAdvised)) {
        let Some(worst) = act.hazards.first() else { continue };
        if seen.insert(worst.kind) {
            found.push(Warning { level: worst.level, what: written(bench, act), why: worst.text.clone() });
        }
    }
    found
}

/// Acts as running text.
fn written(bench: &Bench, act: &ProvingAct) -> Words {
    Words::joined(in_words(bench.circuit(), &act.acts).into_iter().map(|phrase| phrase.words), "")
}

/// Leads onto outputs of modules, where a hazard says what they do to the driver.
fn outputs(states: &[Bench]) -> Vec<Warning> {
    let Some(bench) = states.first() else { return Vec::new() };
    let circuit = bench.circuit();
    let mut found: Vec<Warning> = Vec::new();
    for (id, part) in circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Module(_))) {
        let Some(out) = circuit.terminals_of(id).find(|t| circuit.terminal(*t).name == "out") else { continue };
        for pole in [plus(bench), ground(bench)].into_iter().flatten() {
            let act = jump(&pole, &circuit.terminal_words(out), LeadFuse::Usual);
            let of_module = |h: &&Hazard| {
                matches!(h.kind, HazardKind::ModuleBackfed | HazardKind::ModuleOverloaded)
                    && h.at.starts_with(&part.tag)
            };
            let hazards = states.iter().filter_map(|state| preview(state, std::slice::from_ref(&act)).ok());
            let worst = hazards
                .filter_map(|after| after.verdict.hazards.iter().find(of_module).cloned())
                .min_by_key(|hazard| hazard.level);
            if let Some(Hazard { level, text, .. }) = worst {
                let what = say!("warnings-a-lead-from-to-or", pole, out = circuit.terminal_words(out));
                found.push(Warning { level, what, why: text });
            }
        }
    }
    found
}

/// Whatever keeps the fan off, left in place.
fn forgotten(release: &Section) -> Option<Warning> {
    let by_hand = release.steps.iter().any(|step| !step.acts.is_empty());
    by_hand.then(|| Warning {
        level: Level::Warning,
        what: say!("warnings-what-releases-the-fan-left"),
        why: wording::FORGOTTEN.clone(),
    })
}

/// Ends and plugs left bare by the acts told.
fn bare(told: [&Section; 2]) -> Option<Warning> {
    let live: Vec<&Hazard> =
        told.into_iter().flat_map(|section| &section.hazards).filter(|h| h.kind == HazardKind::LiveEnd).collect();
    let places: BTreeSet<String> = live.iter().map(|h| h.at.clone()).collect();
    let places: Vec<Words> = places.into_iter().map(Words::from).collect();
    (!places.is_empty()).then(|| Warning {
        level: live.iter().map(|h| h.level).min().unwrap_or(Level::Caution),
        what: say!("warnings-open-plug-or-end-at", places = alternatives(&places)),
        why: say!("warnings-live-cap-it-keep-it"),
    })
}
