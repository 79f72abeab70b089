//! Which acts a card tells, in words, with what each should show.
//!
//! The acts are those that [`prove`](crate::study::prove) found: the usual ones, and where there are none the
//! workable ones; of them those nearest to where a technician's hand goes first (common practice, no source). Where
//! all of them are dangerous, what makes one safe is looked for: a plug taken off or a switch opened before it. What
//! each shows is read off a bench on which it has been done. Dangers are left to [`warnings`](super::warnings).

use crate::bench::{Act, Action, Bench, Point, Setting};
use crate::circuit::{Circuit, Contact, Kind};
use crate::physics::clutch::ClutchState;
use crate::physics::limits::IDLE_RPM;
use crate::study::answer::{Hazard, Level, Standing};
use crate::study::prove::{Class, Proof, ProvingAct};
use crate::study::{hazard, wording};

use super::page::{Phrase, phrase, strong};
use super::words::in_words;
use crate::words::{Words, say};

/// Most acts a list tells.
const MOST_ACTS: usize = 5;
/// Most pairs tried in looking for what makes a dangerous act safe.
const MOST_TRIED: usize = 400;

/// What gauges and hands should find.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Volts across the coil of the valve that feeds the clutch.
    pub coil: Words,
    /// Pressure at the clutch.
    pub clutch: Words,
    /// The fan: turned by hand, or with the engine running looked at.
    pub fan: Words,
}

/// One row of a list of acts.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done; empty where the row only says how things stand.
    pub acts: Vec<Act>,
    /// The same in words.
    pub words: Vec<Phrase>,
    /// What it should show.
    pub reading: Reading,
}

/// One list of acts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    /// Its heading.
    pub heading: Words,
    /// What stands before anything is done, then the acts.
    pub steps: Vec<Step>,
    /// What to know besides; may be empty.
    pub note: Words,
    /// How many more usual acts there are, further from the hand.
    pub more: usize,
    /// Dangers of the acts told.
    pub(super) hazards: Vec<Hazard>,
}

/// What a bench shows now.
pub(super) fn reading(bench: &Bench) -> Reading {
    let outcome = bench.outcome();
    let coil = bench.circuit().clutch_valve().and_then(|(id, _)| outcome.coils.get(&id)?.volts);
    let runs = bench.conditions().engine_rpm > 0.0;
    let fan = match outcome.clutch.map(|c| c.state).filter(|_| outcome.settled()) {
        // No hand is near the fan of a running engine.
        Some(ClutchState::Engaged) if runs => say!("acts-drives"),
        Some(ClutchState::Released) if runs => say!("acts-coasts"),
        Some(ClutchState::Engaged) => say!("acts-stiff"),
        Some(ClutchState::Released) => say!("acts-free"),
        Some(ClutchState::Slipping) => say!("acts-drags"),
        None => "–".into(),
    };
    Reading {
        // A tenth is what a workshop's meter agrees on.
        coil: coil.map_or_else(|| "–".into(), |volts| wording::with_unit((volts * 10.0).round() / 10.0 + 0.0, 1, "V")),
        clutch: outcome.chamber_kpa.map_or_else(|| "–".into(), |kpa| pressure(bench.circuit(), kpa)),
        fan,
    }
}

/// A gauge pressure in the unit the circuit's file gives its minimum in.
pub(super) fn pressure(circuit: &Circuit, kpa: f64) -> Words {
    match circuit.air() {
        Some(air) => wording::value_like(kpa, air.minimum),
        None => wording::psi(kpa),
    }
}

/// What the clutch does on a bench.
pub(super) fn standing(bench: &Bench) -> Standing {
    crate::study::explain::chain(bench).0
}

/// A row that says how things stand.
fn given(words: Vec<Phrase>, bench: &Bench) -> Step {
    Step { acts: Vec::new(), words, reading: reading(bench) }
}

/// The acts that engage.
pub(super) fn engage(bench: &Bench, proof: &Proof) -> Section {
    let mut section = Section { heading: say!("acts-to-engage"), ..Section::default() };
    let now = bench.conditions();
    let stands = match (now.key_on, now.engine_rpm > 0.0) {
        (true, false) => say!("acts-as-it-stands-key-on"),
        (true, true) => say!("acts-as-it-stands-engine-running"),
        (false, _) => say!("acts-as-it-stands-key-off"),
    };
    section.steps.push(given(vec![phrase(stands)], bench));
    if proof.at_rest == Standing::Engaged {
        section.note = say!("acts-nothing-to-do-as-it");
        return section;
    }
    tell(&mut section, bench, &proof.engage, Standing::Engaged);
    if section.steps.len() == 1 {
        section.note = say!("acts-no-act-was-found-that");
    }
    section
}

/// The acts that release.
pub(super) fn release(bench: &Bench, proof: &Proof, engage: &Section) -> Section {
    let mut section = Section { heading: say!("acts-to-release"), ..Section::default() };
    section.steps.extend(taken_back(bench, engage));
    if proof.at_rest == Standing::Engaged {
        tell(&mut section, bench, &proof.release, Standing::Released);
        section.steps.extend(started(bench));
    } else if let (Some(tag), Some(hot)) = (&proof.release_from, acted(bench, proof)) {
        let words = vec![phrase(say!("acts-if-nothing-done", tag = called(bench.circuit(), tag)))];
        section.steps.push(given(words, &hot));
        tell(&mut section, &hot, &proof.release, Standing::Released);
    }
    if section.steps.iter().all(|step| step.acts.is_empty()) && section.note.is_empty() {
        section.note = say!("acts-no-act-was-found-that-2");
    }
    section
}

/// A bench under the conditions from which the release was sought.
pub(super) fn acted(bench: &Bench, proof: &Proof) -> Option<Bench> {
    let mut acted = bench.clone();
    acted.apply(Action::Set(proof.release_under?)).ok()?;
    Some(acted)
}

/// A sensor that has acted, with where it acts.
fn called(circuit: &Circuit, tag: &str) -> Words {
    let sensor = circuit.part_named(tag).and_then(|id| circuit.part(id).kind.sensor());
    match sensor {
        Some(sensor) => {
            say!("acts-has-acted-past", tag, senses = wording::quantity_name(sensor.senses), acts_at = sensor.acts_at)
        }
        None => say!("acts-calls-for-the-fan", tag),
    }
}

/// Adds the acts worth telling.
fn tell(section: &mut Section, bench: &Bench, found: &[ProvingAct], wanted: Standing) {
    let mut told: Vec<(&[Act], &[Hazard])> =
        offered(bench.circuit(), found).into_iter().map(|a| (&a.acts[..], &a.hazards[..])).collect();
    let safe = if told.is_empty() { made_safe(bench, found, wanted) } else { None };
    if let Some((acts, hazards)) = &safe {
        told.push((acts, hazards));
    }
    for (acts, hazards) in told.into_iter().take(MOST_ACTS) {
        let mut after = bench.clone();
        if acts.iter().any(|a| after.apply(Action::Do(a.clone())).is_err()) || standing(&after) != wanted {
            continue;
        }
        let words = in_words(bench.circuit(), acts);
        section.steps.push(Step { acts: acts.to_vec(), words, reading: reading(&after) });
        section.hazards.extend(hazards.iter().cloned());
    }
    let usual = found.iter().filter(|act| act.class == Class::Usual);
    let is_told = |act: &&ProvingAct| section.steps.iter().any(|step| step.acts == act.acts);
    section.more = usual.filter(|act| !is_told(act)).count();
}

/// The acts to choose from: of the best class there is, the nearest at hand first.
fn offered<'a>(circuit: &Circuit, found: &'a [ProvingAct]) -> Vec<&'a ProvingAct> {
    for class in [Class::Usual, Class::Workable] {
        let mut fit: Vec<(u8, &ProvingAct)> =
            found.iter().filter(|act| act.class == class).map(|act| (reach(circuit, &act.acts), act)).collect();
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

/// A lead that is dangerous as it is, with what is done before it so that it carries no more than a caution; the
/// nearest at hand. The search for acts takes a pair only where neither does it alone, and so passes this by.
fn made_safe(bench: &Bench, found: &[ProvingAct], wanted: Standing) -> Option<(Vec<Act>, Vec<Hazard>)> {
    let circuit = bench.circuit();
    let leads = found.iter().filter_map(|act| match &act.acts[..] {
        [lead @ Act::Jump { .. }] => Some(lead),
        _ => None,
    });
    let firsts: Vec<Act> = circuit.parts().iter().filter_map(apart).collect();
    let mut pairs: Vec<Vec<Act>> =
        leads.flat_map(|lead| firsts.iter().map(move |first| vec![first.clone(), lead.clone()])).collect();
    pairs.sort_by_cached_key(|acts| (reach(circuit, acts), acts.iter().map(Act::to_string).collect::<Vec<_>>()));
    pairs.into_iter().take(MOST_TRIED).find_map(|acts| {
        let mut after = bench.clone();
        for act in &acts {
            after.apply(Action::Do(act.clone())).ok()?;
        }
        let hazards = hazard::all(&after);
        let is_safe = hazards.iter().all(|hazard| hazard.level == Level::Caution);
        (is_safe && standing(&after) == wanted).then_some((acts, hazards))
    })
}

/// What takes a part out of the circuit by hand, where that is something a technician would do.
fn apart(part: &crate::circuit::Part) -> Option<Act> {
    match &part.kind {
        Kind::HandSwitch(switch) if switch.rest == Contact::Closed && !switch.momentary => {
            Some(Act::Turn { switch: part.tag.clone(), to: "on".to_owned() })
        }
        Kind::Module(_) | Kind::Relay(_) | Kind::Timer(_) | Kind::Connector(_) => {
            Some(Act::Unplug { part: part.tag.clone() })
        }
        kind if kind.sensor().is_some() => Some(Act::Unplug { part: part.tag.clone() }),
        _ => None,
    }
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

/// What comes of undoing the acts that engage: a row where that releases, and rows for what releases a circuit that
/// holds itself in.
fn taken_back(bench: &Bench, engage: &Section) -> Vec<Step> {
    let mut rows = Vec::new();
    let (mut let_go, mut holding) = (None, Vec::new());
    let done: Vec<&Step> = engage.steps.iter().filter(|step| !step.acts.is_empty()).collect();
    for step in &done {
        let Some(back) = put_back(bench, &step.acts) else { continue };
        match standing(&back) {
            Standing::Released => let_go = Some(back),
            _ => holding.push((*step, back)),
        }
    }
    if let Some(back) = let_go {
        let rest =
            if holding.is_empty() { say!("acts-what-engaged-it") } else { say!("acts-what-engaged-it-where-nothing") };
        rows.push(given(vec![strong(say!("acts-put-back")), phrase(rest)], &back));
    }
    for (step, back) in holding {
        rows.extend(let_go_by_hand(&step.acts, &back));
    }
    rows
}

/// The bench on which some acts were done and undone.
fn put_back(bench: &Bench, acts: &[Act]) -> Option<Bench> {
    let mut back = bench.clone();
    for act in acts {
        back.apply(Action::Do(act.clone())).ok()?;
    }
    for act in acts.iter().rev().filter(|act| !matches!(act, Act::Press { .. })) {
        back.apply(Action::PutBack(act.clone())).ok()?;
    }
    Some(back)
}

/// Which switches release a clutch that stays engaged after these acts.
fn let_go_by_hand(acts: &[Act], held: &Bench) -> Vec<Step> {
    let circuit = held.circuit();
    let mut rows = Vec::new();
    for part in circuit.parts() {
        let act = match &part.kind {
            Kind::HandSwitch(switch) if switch.momentary => Act::Press { switch: part.tag.clone() },
            Kind::HandSwitch(_) => Act::Turn { switch: part.tag.clone(), to: "on".to_owned() },
            _ => continue,
        };
        let mut tried = held.clone();
        if tried.apply(Action::Do(act.clone())).is_ok() && standing(&tried) == Standing::Released {
            let mut words = in_words(circuit, std::slice::from_ref(&act));
            let after: Vec<&str> = acts.iter().filter_map(named_by).collect();
            words.push(phrase(say!("acts-after-it-holds-itself-in", after = wording::list(&after))));
            rows.push(Step { acts: vec![act], words, reading: reading(&tried) });
        }
    }
    rows
}

/// The tag of the part an act is on.
fn named_by(act: &Act) -> Option<&str> {
    match act {
        Act::Turn { switch, .. } | Act::Press { switch } => Some(switch),
        Act::Unplug { part } => Some(part),
        Act::Lift(end) => Some(&end.wire),
        Act::Jump { a: Point::Terminal(words), .. } => words.split('.').next(),
        Act::Jump { .. } => None,
    }
}

/// The row of an engine started, where that alone releases.
fn started(bench: &Bench) -> Option<Step> {
    let running = running(bench)?;
    let words = vec![strong(say!("acts-or-start-the-engine")), phrase(say!("acts-cold-watch-from-outside-the"))];
    (standing(&running) == Standing::Released).then(|| given(words, &running))
}

/// The bench with its engine idling.
pub(super) fn running(bench: &Bench) -> Option<Bench> {
    let mut running = bench.clone();
    running.apply(Action::Set(Setting::Engine(IDLE_RPM))).ok()?;
    Some(running)
}
