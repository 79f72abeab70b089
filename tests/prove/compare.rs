//! `prove` held against the plain search, and each of its answers against the bench.
//!
//! Whatever is not as promised becomes a complaint in a line; an empty list means that all promises hold.

use std::collections::{BTreeMap, BTreeSet};

use fanloom::bench::{Act, Action, Bench, EndName, Point, Setting};
use fanloom::circuit::part::{Quantity, SetPoint};
use fanloom::circuit::quantity::Level;
use fanloom::circuit::{Circuit, Kind};
use fanloom::study::answer::{Hazard, Level as Gravity};
use fanloom::study::hazard;
use fanloom::study::prove::{Class, Proof, ProvingAct, prove};

use super::brute::{Found, Key, Keys, after, key, nodes, search, state};
use super::hazards;

/// What came of comparing one circuit.
#[derive(Debug, Default)]
pub(crate) struct Compared {
    pub(crate) complaints: Vec<String>,
    /// Whether there is a danger before anything is done: a supply wired to ground.
    pub(crate) dangerous_as_built: bool,
    /// Acts and pairs that work, by the list they are in.
    pub(crate) engage: usize,
    pub(crate) release: usize,
    /// Pairs that work in one order and not in the other.
    pub(crate) by_order: usize,
    /// Acts of a danger that work at some terminals of a node and not at others: what a wire drops decides there.
    pub(crate) by_terminal: usize,
    /// Acts and pairs the plain search tried.
    pub(crate) tried: usize,
}

/// Compares everything that is promised of the answer on one bench.
pub(crate) fn compare(bench: &Bench) -> Compared {
    let dangerous_as_built = gravest(&hazard::all(bench)) == Some(Gravity::Danger);
    let mut compared = Compared { dangerous_as_built, ..Compared::default() };
    let proof = prove(bench);
    if proof.at_rest.word() != state(bench) {
        compared.complaints.push(format!("at rest {}, not {}", proof.at_rest.word(), state(bench)));
    }
    let engage = search(bench, "engaged");
    list_of(bench, "engage", &engage, &proof.engage, &mut compared);
    let called = caller(bench);
    let from = called.as_ref().map(|(tag, _)| tag.clone());
    let mut release = Found::default();
    if from != proof.release_from {
        compared.complaints.push(format!("release_from {:?}, not {from:?}", proof.release_from));
    } else if let Some((_, hot)) = &called {
        release = search(hot, "released");
        list_of(hot, "release", &release, &proof.release, &mut compared);
    } else if !proof.release.is_empty() {
        compared.complaints.push("releases where no sensor engages".to_owned());
    }
    for found in [&engage, &release] {
        compared.by_order += found.perhaps.difference(&found.surely).count();
        compared.tried += found.tried;
    }
    compared.engage = engage.perhaps.len();
    compared.release = release.perhaps.len();
    compared
}

/// The first sensor or module condition in file order with which alone acting the clutch is engaged (it may be so at
/// rest already), with the bench where it acts.
fn caller(bench: &Bench) -> Option<(String, Bench)> {
    for part in bench.circuit().parts() {
        let points = match &part.kind {
            Kind::TemperatureSwitch(sensor) | Kind::PressureSwitch(sensor) => vec![sensor.set_point()],
            Kind::Module(module) => module.on_when.set_points(),
            _ => continue,
        };
        for point in points {
            let mut hot = bench.clone();
            hot.apply(Action::Set(just_past(&point))).expect("a condition can always be set");
            if state(&hot) == "engaged" {
                return Some((part.tag.clone(), hot));
            }
        }
    }
    None
}

/// The condition a little on the far side of where it acts.
fn just_past(point: &SetPoint) -> Setting {
    let by = if point.rising { 1.0 } else { -1.0 };
    let level = match point.acts {
        Level::Fahrenheit(x) => Level::Fahrenheit(x + by),
        Level::Celsius(x) => Level::Celsius(x + by),
        Level::Psi(x) => Level::Psi(x + by),
        Level::Kilopascal(x) => Level::Kilopascal(x + by),
        Level::Bar(x) => Level::Bar(x + by / 10.0),
    };
    match point.senses {
        Quantity::Coolant => Setting::Coolant(level),
        Quantity::IntakeAir => Setting::Intake(level),
        Quantity::Oil => Setting::Oil(level),
        Quantity::Refrigerant => Setting::Refrigerant(level),
        Quantity::AirSupply => Setting::Air(level),
    }
}

/// One list of the answer against what the plain search found from the same bench.
fn list_of(bench: &Bench, wanted: &str, found: &Found, answers: &[ProvingAct], tally: &mut Compared) {
    let circuit = bench.circuit();
    let state_wanted = if wanted == "engage" { "engaged" } else { "released" };
    let mut complaints = Vec::new();
    let mut given: BTreeMap<Keys, String> = BTreeMap::new();
    for answer in answers {
        let words = words(&answer.acts);
        for keys in keys_of(circuit, answer) {
            let twin = given.insert(keys, words.clone());
            // Terminals of the same nodes that do not all do the same may stand apart.
            if let Some(twin) = twin.filter(|_| !hangs_on_the_terminal(bench, state_wanted, &answer.acts)) {
                complaints.push(format!("{wanted}: `{words}` and `{twin}` are one answer"));
            }
        }
        complaints
            .extend(one_answer(bench, state_wanted, answer).into_iter().map(|c| format!("{wanted}: `{words}`: {c}")));
    }
    let given_keys: BTreeSet<Keys> = given.keys().cloned().collect();
    for missed in found.surely.difference(&given_keys) {
        let written: Vec<Act> = found.written[missed].iter().map(|a| a.parse().expect("written as an act")).collect();
        let left = done(bench, &written).expect("found by doing it");
        let dangerous = gravest(&hazard::all(&left)) == Some(Gravity::Danger);
        let half_given = missed.len() == 2 && missed.iter().any(|key| given_keys.contains(std::slice::from_ref(key)));
        // At that very terminal one of the two does it alone.
        let alone = |act: &Act| done(bench, std::slice::from_ref(act)).is_some_and(|left| state(&left) == state_wanted);
        let one_does_it = missed.len() == 2 && (half_given || written.iter().any(alone));
        if one_does_it || (dangerous || !strict()) && hangs_on_the_terminal(bench, state_wanted, &written) {
            tally.by_terminal += 1;
        } else {
            complaints.push(format!("{wanted}: misses `{}`", words(&written)));
        }
    }
    for excess in given_keys.difference(&found.perhaps) {
        // That the act as written works has been seen; so another terminal of the same node does not do it, or does
        // it without the other act.
        let half_found = excess.len() == 2 && excess.iter().any(|key| found.surely.contains(std::slice::from_ref(key)));
        let of_excess = |a: &&ProvingAct| words(&a.acts) == given[excess];
        let tolerated = answers.iter().find(of_excess).is_some_and(|a| {
            a.class == Class::Dangerous || !strict() && hangs_on_the_terminal(bench, state_wanted, &a.acts)
        });
        if half_found || tolerated {
            tally.by_terminal += 1;
        } else {
            complaints.push(format!("{wanted}: offers `{}` ({excess:?}), which was not found", given[excess]));
        }
    }
    for pair in answers.windows(2) {
        let rank = |a: &ProvingAct| (a.class, a.acts.len(), a.acts.iter().map(Act::to_string).collect::<Vec<_>>());
        if rank(&pair[0]) >= rank(&pair[1]) {
            complaints.push(format!("{wanted}: `{}` stands before `{}`", words(&pair[0].acts), words(&pair[1].acts)));
        }
    }
    tally.complaints.extend(complaints);
}

/// Whether what hangs on the terminal of a node, by its wires' drops or by a lift that parts it, and on the words of a
/// tag is held to the promise as well.
fn strict() -> bool {
    std::env::var_os("FANLOOM_PROVE_STRICT").is_some()
}

fn words(acts: &[Act]) -> String {
    acts.iter().map(Act::to_string).collect::<Vec<_>>().join(" and ")
}

/// Everything an answer stands for: where a lift parts the node a jump is on, the jumps beside it may differ.
fn keys_of(circuit: &Circuit, answer: &ProvingAct) -> BTreeSet<Keys> {
    let lifted = answer.acts.iter().find_map(|act| match act {
        Act::Lift(end) => circuit.wire_named(&end.wire),
        Act::Turn { .. } | Act::Press { .. } | Act::Jump { .. } | Act::Unplug { .. } => None,
    });
    let nodes = nodes(circuit, lifted);
    let sorted = |mut keys: Keys| {
        keys.sort();
        keys
    };
    let as_written = sorted(answer.acts.iter().map(|act| key(circuit, act, &nodes)).collect());
    let mut all = BTreeSet::from([as_written]);
    if let (Some(wire), 2) = (lifted, answer.acts.len()) {
        for same in &answer.same_as {
            let same: Act = same.parse().expect("an act in the grammar");
            all.insert(sorted(vec![Key::Lift(wire), key(circuit, &same, &nodes)]));
        }
    }
    all
}

/// Complaints about one answer by itself.
fn one_answer(bench: &Bench, wanted: &str, answer: &ProvingAct) -> Vec<String> {
    let circuit = bench.circuit();
    let mut complaints = Vec::new();
    let Some(left) = done(bench, &answer.acts) else { return vec!["cannot be done".to_owned()] };
    if state(&left) != wanted {
        complaints.push(format!("leaves the clutch {}", state(&left)));
    }
    let hazards = hazard::all(&left);
    if hazards != answer.hazards {
        complaints.push(format!("lists hazards {}, not {}", kinds(&answer.hazards), kinds(&hazards)));
    }
    let recommended = matches!(answer.class, Class::Usual | Class::Workable);
    let lawful = match gravest(&hazards) {
        Some(Gravity::Danger) => answer.class == Class::Dangerous,
        Some(Gravity::Warning) => answer.class == Class::NotAdvised,
        Some(Gravity::Caution) | None => recommended,
    };
    if !lawful {
        complaints.push(format!("is {} with {}", answer.class.word(), kinds(&hazards)));
    }
    if let Some(danger) = hazards::seen(&left).filter(|_| recommended) {
        complaints.push(format!("is {} though {danger}", answer.class.word()));
    }
    for (place, act) in answer.acts.iter().enumerate() {
        complaints.extend(match act {
            Act::Lift(end) => other_end(bench, answer, place, end),
            Act::Jump { a, b, .. } if answer.class == Class::Usual => {
                (part_of(a) != part_of(b)).then(|| "is usual and not at one part".to_owned())
            }
            Act::Turn { .. } | Act::Press { .. } | Act::Jump { .. } | Act::Unplug { .. } => None,
        });
    }
    complaints.extend(alternatives(bench, wanted, answer));
    if !in_file_order(circuit, &answer.acts) {
        complaints.push("is not in file order".to_owned());
    }
    complaints
}

fn done(bench: &Bench, acts: &[Act]) -> Option<Bench> {
    acts.iter().try_fold(bench.clone(), |bench, act| after(&bench, &act.to_string()))
}

/// Whether acts that work stop working where a jump is put on another terminal of the same nodes.
fn hangs_on_the_terminal(bench: &Bench, wanted: &str, acts: &[Act]) -> bool {
    let circuit = bench.circuit();
    let lifted = acts.iter().find_map(|act| match act {
        Act::Lift(end) => circuit.wire_named(&end.wire),
        Act::Turn { .. } | Act::Press { .. } | Act::Jump { .. } | Act::Unplug { .. } => None,
    });
    let nodes = nodes(circuit, lifted);
    let alike = |point: &Point| {
        let Point::Terminal(words) = point else { panic!("`{point}` is a lifted end") };
        let node = nodes[circuit.terminal_named(words).expect("a terminal of the circuit").index()];
        let of_node = circuit.terminals_with_ids().filter(|(id, _)| nodes[id.index()] == node);
        of_node.map(|(id, _)| Point::Terminal(circuit.terminal_words(id))).collect::<Vec<_>>()
    };
    let ways = acts.iter().map(|act| match act {
        Act::Jump { a, b, fuse } => alike(a)
            .into_iter()
            .flat_map(|a| alike(b).into_iter().map(move |b| Act::Jump { a: a.clone(), b, fuse: *fuse }))
            .collect(),
        Act::Turn { .. } | Act::Press { .. } | Act::Lift(_) | Act::Unplug { .. } => vec![act.clone()],
    });
    let mut all: Vec<Vec<Act>> = vec![Vec::new()];
    for ways in ways {
        all = all
            .iter()
            .flat_map(|acts| ways.iter().map(|way| [acts.as_slice(), std::slice::from_ref(way)].concat()))
            .collect();
    }
    all.iter().any(|acts| {
        let reversed: Vec<Act> = acts.iter().rev().cloned().collect();
        [acts, &reversed].into_iter().any(|acts| done(bench, acts).is_none_or(|left| state(&left) != wanted))
    })
}

fn gravest(hazards: &[Hazard]) -> Option<Gravity> {
    hazards.iter().map(|h| h.level).min()
}

fn kinds(hazards: &[Hazard]) -> String {
    let kinds: Vec<String> =
        hazards.iter().map(|h| format!("{} {} at {}", h.level.word(), h.kind.word(), h.at)).collect();
    format!("[{}]", kinds.join(", "))
}

fn part_of(point: &Point) -> &str {
    let (Point::Terminal(words) | Point::LooseEnd(EndName { terminal: words, .. })) = point;
    words.split('.').next().expect("a split has a first piece")
}

/// The other end of a lifted wire must not be the safer one, and must do the same.
fn other_end(bench: &Bench, answer: &ProvingAct, place: usize, end: &EndName) -> Option<String> {
    let circuit = bench.circuit();
    let wire = circuit.wire(circuit.wire_named(&end.wire).expect("a wire of the circuit"));
    let other = [wire.from, wire.to].map(|t| circuit.terminal_words(t)).into_iter().find(|t| *t != end.terminal)?;
    let mut acts = answer.acts.clone();
    acts[place] = Act::Lift(EndName { wire: end.wire.clone(), terminal: other });
    let left = done(bench, &acts)?;
    if state(&left) != state(&done(bench, &answer.acts)?) {
        return Some(format!("does something else than `{}`", words(&acts)));
    }
    let rank = |hazards: &[Hazard]| gravest(hazards).map_or(3, |level| level as u8);
    let (given, better) = (rank(&answer.hazards), rank(&hazard::all(&left)));
    (better > given).then(|| format!("is less safe than `{}`", words(&acts)))
}

/// Each jump named as the same must do the same, and every jump between the two nodes must be named.
fn alternatives(bench: &Bench, wanted: &str, answer: &ProvingAct) -> Vec<String> {
    let circuit = bench.circuit();
    let nodes = nodes(circuit, None);
    let mut complaints = Vec::new();
    let same: Vec<Act> = answer.same_as.iter().map(|s| s.parse().expect("an act in the grammar")).collect();
    let lifts = answer.acts.iter().any(|act| matches!(act, Act::Lift(_)));
    for (place, act) in answer.acts.iter().enumerate() {
        let Act::Jump { .. } = act else { continue };
        let own = key(circuit, act, &nodes);
        let alike: Vec<&Act> = same.iter().filter(|s| key(circuit, s, &nodes) == own).collect();
        for other in &alike {
            let mut acts = answer.acts.clone();
            acts[place] = (*other).clone();
            let reached = done(bench, &acts).map(|left| state(&left));
            if reached != Some(wanted) && answer.class != Class::Dangerous && strict() {
                complaints.push(format!("names `{other}` as the same, which leaves the clutch {reached:?}"));
            }
        }
        let Key::Jump(a, b) = own else { continue };
        let members = |node: usize| {
            let (grounds, others): (Vec<_>, Vec<_>) = circuit
                .terminals_with_ids()
                .filter(|(id, _)| nodes[id.index()] == node)
                .partition(|(_, t)| matches!(circuit.part(t.part).kind, Kind::Ground(_)));
            (others.len() + usize::from(!grounds.is_empty()), others.len() + grounds.len())
        };
        // One ground stands for all; to name each is as good.
        let ((least_a, most_a), (least_b, most_b)) = (members(a), members(b));
        let lawful = [least_a * least_b, most_a * most_b];
        // At another terminal it may do otherwise, or do it alone and so stand in no pair.
        let alone_elsewhere = || {
            let act = std::slice::from_ref(act);
            done(bench, act).is_some_and(|left| hangs_on_the_terminal(bench, state(&left), act))
        };
        let split = || hangs_on_the_terminal(bench, wanted, &answer.acts) || alone_elsewhere();
        if !lifts && !lawful.contains(&(1 + alike.len())) && !split() {
            complaints.push(format!("`{act}` and those named the same are {}, not {lawful:?}", 1 + alike.len()));
        }
    }
    let keys: Vec<Key> = answer.acts.iter().map(|act| key(circuit, act, &nodes)).collect();
    if !same.iter().all(|s| keys.contains(&key(circuit, s, &nodes))) {
        complaints.push(format!("names as the same what is not: {:?}", answer.same_as));
    }
    complaints
}

/// Acts at parts in the order of the parts, then lifts in the order of the wires.
fn in_file_order(circuit: &Circuit, acts: &[Act]) -> bool {
    let place = |act: &Act| match act {
        Act::Turn { switch: tag, .. } | Act::Press { switch: tag } | Act::Unplug { part: tag } => {
            (0, circuit.part_named(tag).expect("a part of the circuit").index())
        }
        Act::Jump { a, b, .. } => {
            let of = |point| circuit.part_named(part_of(point)).expect("a part of the circuit").index();
            (0, of(a).min(of(b)))
        }
        Act::Lift(end) => (1, circuit.wire_named(&end.wire).expect("a wire of the circuit").index()),
    };
    acts.is_sorted_by_key(place)
}

/// The same answer with every tag said anew by `rename`, its lists as sets.
pub(crate) fn renamed(proof: &Proof, rename: &dyn Fn(&str) -> String) -> Vec<String> {
    let terminal = |words: &str| {
        let (tag, name) = words.split_once('.').expect("a terminal has a dot");
        format!("{}.{name}", rename(tag))
    };
    let act = |act: &Act| match act {
        Act::Turn { switch, to } => format!("turn:{}={to}", rename(switch)),
        Act::Press { switch } => format!("press:{}", rename(switch)),
        Act::Unplug { part } => format!("unplug:{}", rename(part)),
        Act::Lift(end) => format!("lift:{}@{}", rename(&end.wire), terminal(&end.terminal)),
        Act::Jump { a: Point::Terminal(a), b: Point::Terminal(b), .. } => {
            format!("jump:{}={}", terminal(a), terminal(b))
        }
        Act::Jump { .. } => panic!("`{act}` is on a lifted end"),
    };
    let answer = |list: &str, answer: &ProvingAct| {
        let mut acts: Vec<String> = answer.acts.iter().map(act).collect();
        if !strict() {
            // Two acts that begin at one part stand in the order of their words.
            acts.sort();
        }
        let same: BTreeSet<String> =
            answer.same_as.iter().map(|s| act(&s.parse().expect("an act in the grammar"))).collect();
        let hazards: Vec<&str> =
            answer.hazards.iter().map(|h| h.kind.word()).collect::<BTreeSet<_>>().into_iter().collect();
        format!("{list} {acts:?} {} {hazards:?} {same:?}", answer.class.word())
    };
    let mut lines: Vec<String> = proof.engage.iter().map(|a| answer("engage", a)).collect();
    lines.extend(proof.release.iter().map(|a| answer("release", a)));
    lines.sort();
    let from = proof.release_from.as_deref().map(rename);
    lines.push(format!("at rest {}, release from {from:?}, considered {}", proof.at_rest.word(), proof.considered));
    lines
}
