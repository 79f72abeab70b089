//! From what was seen to the fault: what remains, how likely each is, which test to make next and why, and the whole
//! course to a repair and its proof.
//!
//! Every [`Suspect`] is a truck of its own ([`suspect`]): what each thing seen should have shown under it is found by
//! settling its circuit and reading it. Those under which all was seen remain, weighed by how common they are. What
//! could be tried next ([`trial`]) is foreseen in the same way under each that remains; those that nothing tells apart
//! become one line, and the test is chosen in numbers alone ([`puzzle`]). Nothing is looked up by sort of fault. How
//! nearly an instrument is read is [`scale`]'s, how long things take [`minutes`]'s, the grammar [`sight`]'s, the
//! sentences [`words`]'s.

pub mod exact;
mod foresee;
pub mod minutes;
mod pairs;
pub mod puzzle;
pub mod scale;
pub mod sight;
pub mod suspect;
mod trial;
mod trucks;
pub mod words;

use std::collections::BTreeSet;

use rayon::prelude::*;

use crate::bench::{Act, Bench, Reading, Refusal, Setting};
use crate::circuit::Circuit;

use super::answer::{Hazard, Level, Standing};
use super::explain::standing;
use super::faults::universe::Weights;
use super::hazard;
use super::progress::Progress;
use minutes::{Minutes, Place, places_of, places_of_act};
use puzzle::{Course, Puzzle};
use scale::{Look, Tolerances};
use sight::{Setup, Sight};
pub use suspect::{Case, Suspect};
use trucks::{Truck, Trucks};

/// Most suspects for which a proof is looked for that none of them would pass.
const FEW_TO_PROVE: usize = 12;
/// How often a doubtful sighting is wrong after all (example value).
const DOUBT: f64 = 0.2;

/// Weight of nothing being wrong, relative to one wire broken (example value).
const USUAL_HEALTHY: f64 = 1.0;

/// What there is to choose about a find.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// How common each sort of fault is.
    pub weights: Weights,
    /// How likely nothing is wrong, relative to one wire broken.
    pub healthy: f64,
    /// How nearly instruments are read.
    pub tolerances: Tolerances,
    /// How long things take.
    pub minutes: Minutes,
    /// Instruments at hand, by the verb of their readings. What the fan does is seen without.
    pub instruments: BTreeSet<String>,
    /// Tests that are not to be offered.
    pub left_out: Vec<(Setup, Reading)>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            weights: Weights::default(),
            healthy: USUAL_HEALTHY,
            tolerances: Tolerances::default(),
            minutes: Minutes::default(),
            instruments: INSTRUMENTS.iter().map(|word| (*word).to_owned()).collect(),
            left_out: Vec::new(),
        }
    }
}

/// Everything that can be at hand, by the verb of its readings.
pub const INSTRUMENTS: [&str; 7] = ["volts", "lowz", "lamp", "ohms", "amps", "clamp", "gauge"];

/// Suspects that nothing tells apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// They, the likeliest first, by their place in [`Found::suspects`].
    pub suspects: Vec<usize>,
    /// Their share together, from 0 to 1.
    pub share: f64,
}

/// Why nothing remains.
#[derive(Clone, Debug, PartialEq)]
pub enum Clash {
    /// These two sights, by their places, are of the same reading in the same state and cannot both be.
    Contradiction(usize, usize),
    /// No single fault explains all. Without one of these sights, by their places, something would remain.
    NoneAlone(Vec<usize>),
}

/// A test to make.
#[derive(Clone, Debug)]
pub struct Test {
    /// How the truck is set up for it.
    pub setup: Setup,
    /// What is read.
    pub reading: Reading,
    /// What it takes, in minutes.
    pub minutes: f64,
    /// Of those, reaching places for the first time.
    pub reaching: f64,
    /// What it is expected to tell, in bits.
    pub bits: f64,
    /// What may come of it.
    pub outcomes: Vec<Outcome>,
    /// What is to be minded about it, whichever of what remains it is; nothing worse than a warning.
    pub hazards: Vec<Hazard>,
}

/// One thing a test may show.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What is foreseen, from least to most.
    pub looks: (Look, Look),
    /// Its share, from 0 to 1.
    pub share: f64,
    /// The lines that remain then, by their places.
    pub lines: Vec<usize>,
    /// What comes after it, where a whole course was asked for.
    pub then: Option<Box<Stage>>,
}

/// One place of a course: the lines that remain there, and the test to make.
#[derive(Clone, Debug)]
pub struct Stage {
    /// By their places in [`Found::lines`].
    pub lines: Vec<usize>,
    /// None at an end.
    pub test: Option<Test>,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Found {
    /// How many things were thought possible before anything was seen.
    pub considered: usize,
    /// What remains: singles, or pairs where no single does.
    pub suspects: Vec<Suspect>,
    /// The same, alike ones together, the likeliest first. Shares sum to one.
    pub lines: Vec<Line>,
    /// Whether what remains are pairs of faults.
    pub are_pairs: bool,
    /// Pairs beyond those followed up.
    pub more_pairs: usize,
    /// Why no single fault remains.
    pub clash: Option<Clash>,
    /// The next test; none where nothing tells what remains apart.
    pub next: Option<Test>,
    /// The whole course, where it was asked for.
    pub course: Option<Stage>,
    /// What a course from here is expected to take, in minutes; none where it was not asked for.
    pub course_minutes: Option<f64>,
    /// What the fan must do once all is put right, as it stands and where something asks; none where no valve feeds a
    /// clutch.
    pub proof: Vec<(Setup, Standing)>,
}

/// Something wrong with what was asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfit {
    /// The sight, by its place; none where the case itself is wrong.
    pub sight: Option<usize>,
    /// Why, and the mend.
    pub refusal: Refusal,
}

/// Finds what remains, and what to try next; the whole course too where `whole` asks for it. A test of which nobody
/// could say what it showed is not offered again.
///
/// # Errors
/// A sight, act, condition or known fault this circuit cannot have; more that remains than can be followed up.
pub fn find(case: &Case, sights: &[Sight], options: &Options, whole: bool) -> Result<Found, Unfit> {
    find_while_wanted(case, sights, options, whole, &Progress::default())
}

/// The same with its progress told. Once it is stopped, what it yields means nothing.
///
/// # Errors
/// As there.
pub fn find_while_wanted(
    case: &Case,
    sights: &[Sight],
    options: &Options,
    whole: bool,
    progress: &Progress,
) -> Result<Found, Unfit> {
    check(case, sights)?;
    let unsure = sights.iter().filter(|sight| sight.value.is_none());
    let unsure = unsure.map(|sight| (sight.setup.clone(), sight.reading.clone()));
    let options = &Options { left_out: options.left_out.iter().cloned().chain(unsure).collect(), ..options.clone() };
    let all = suspect::singles(&case.circuit, &options.weights, options.healthy, &case.known);
    let considered = all.len();
    progress.expect(considered);
    let trucks = Trucks::of(case);
    let mut suspects = remaining(&trucks, sights, options, &all);
    progress.count(considered);
    let (mut clash, mut more_pairs, mut are_pairs) = (None, 0, false);
    if suspects.is_empty() {
        let contradiction = contradiction(sights, options);
        if contradiction.is_none() {
            let unfit = |refusal| Unfit { sight: None, refusal };
            (suspects, more_pairs) = pairs::remaining(&trucks, sights, options, &all).map_err(unfit)?;
            are_pairs = !suspects.is_empty();
        }
        clash = Some(contradiction.unwrap_or_else(|| Clash::NoneAlone(to_blame(&trucks, sights, options, &all))));
    }
    let mut found = Found {
        considered,
        suspects,
        lines: Vec::new(),
        are_pairs,
        more_pairs,
        clash,
        next: None,
        course: None,
        course_minutes: None,
        proof: Vec::new(),
    };
    if found.suspects.is_empty() {
        return Ok(found);
    }
    let outlook = Outlook::on(trucks, options, &found.suspects, progress);
    let outlook = outlook.map_err(|refusal| Unfit { sight: None, refusal })?;
    found.proof = proof(&outlook.trucks, sights, &outlook.foreseen);
    let puzzle = &outlook.puzzle;
    let all_weight: f64 = puzzle.weights.iter().sum();
    let line = |(class, weight): (&Vec<usize>, &f64)| Line { suspects: class.clone(), share: weight / all_weight };
    found.lines = outlook.classes.iter().zip(&puzzle.weights).map(line).collect();
    let everything: Vec<usize> = (0..outlook.classes.len()).collect();
    let begin = puzzle.begin(&reached(case, sights, &outlook.foreseen.places));
    if whole {
        let course = puzzle.course(&everything, &begin);
        found.course_minutes = Some(puzzle.minutes(&course));
        let stage = outlook.stage(&course, &begin);
        found.next = stage.test.clone().map(|test| Test { outcomes: without_course(test.outcomes), ..test });
        found.course = Some(stage);
    } else if let Some((column, bits, minutes)) = puzzle.best(&everything, &begin) {
        found.next = Some(outlook.test((column, bits, minutes), &everything, &begin, |_| None));
    }
    Ok(found)
}

/// What the fan must do with nothing wrong: as it stands, and in a safe setup in which it does otherwise. Of these the
/// first that was complained of, else the cheapest, in which no suspect would let the fan do the same: what a lead past
/// the fault can do proves nothing of its mend.
fn proof(trucks: &Trucks, sights: &[Sight], foreseen: &foresee::Foreseen) -> Vec<(Setup, Standing)> {
    let whole = trucks.with_nothing_known();
    let stands = |setup: &Setup| whole.bench(&[], setup).ok().map(|bench| (standing(bench.outcome()), bench));
    let Some((at_rest, _)) = stands(&Setup::default()) else { return Vec::new() };
    if at_rest == Standing::None {
        return Vec::new();
    }
    let puzzle = &foreseen.puzzle;
    let from_scratch = |at: &usize| {
        let stand = &puzzle.stands[*at];
        stand.minutes + stand.places.iter().map(|place| puzzle.access[*place]).sum::<f64>()
    };
    let mut order: Vec<usize> = (0..foreseen.stands.len()).collect();
    order.sort_by(|a, b| from_scratch(a).total_cmp(&from_scratch(b)));
    let complained = sights.iter().filter(|sight| sight.reading == Reading::Fan).map(|sight| &sight.setup);
    let setups: Vec<&Setup> = complained.chain(order.into_iter().map(|at| &foreseen.stands[at].setup)).collect();
    let moving = |setup: &&Setup| {
        let (moved, bench) = stands(setup)?;
        let moves = matches!(moved, Standing::Engaged | Standing::Released) && moved != at_rest;
        let turns_key = setup.with.iter().any(|setting| matches!(setting, Setting::Key(_)));
        (moves && !turns_key && dangers(&bench).is_empty()).then(|| ((*setup).clone(), moved))
    };
    let tells = |(setup, moved): &(Setup, Standing)| {
        let does_the_same = |suspect: &Suspect| {
            let faulty = trucks.bench(&suspect.faults, setup);
            faulty.is_ok_and(|bench| standing(bench.outcome()) == *moved)
        };
        !foreseen.suspects.iter().filter(|suspect| !suspect.is_healthy()).any(does_the_same)
    };
    // As long as much can be wrong nothing is mended yet, and one setup is as good as another.
    let is_few = foreseen.suspects.len() <= FEW_TO_PROVE;
    let mut all = setups.iter().filter_map(moving).peekable();
    let first = all.peek().cloned();
    let moves = if is_few { all.find(tells).or(first) } else { first };
    [(Setup::default(), at_rest)].into_iter().chain(moves).collect()
}

fn without_course(outcomes: Vec<Outcome>) -> Vec<Outcome> {
    outcomes.into_iter().map(|outcome| Outcome { then: None, ..outcome }).collect()
}

/// Whether every sight can be had of this circuit, nothing wrong in it.
fn check(case: &Case, sights: &[Sight]) -> Result<(), Unfit> {
    case.bench(&[], &Setup::default()).map_err(|refusal| Unfit { sight: None, refusal })?;
    for (at, sight) in sights.iter().enumerate() {
        let looked = case.bench(&[], &sight.setup).and_then(|bench| Case::look(&bench, &sight.reading));
        looked.map_err(|refusal| Unfit { sight: Some(at), refusal })?;
    }
    Ok(())
}

/// How much of a suspect's weight is left after all that was seen.
fn left(trucks: &Trucks, sights: &[Sight], options: &Options, suspect: &Suspect) -> f64 {
    let mut stood: Vec<(&Setup, Truck)> = Vec::new();
    let mut weight = suspect.weight;
    for sight in sights {
        let Some(range) = sight.range(&options.tolerances) else { continue };
        let known = stood.iter().position(|(setup, _)| **setup == sight.setup);
        let at = match known {
            Some(at) => at,
            None => {
                let Ok(truck) = trucks.truck(&suspect.faults, &sight.setup) else { return 0.0 };
                stood.push((&sight.setup, truck));
                stood.len() - 1
            }
        };
        let (setup, truck) = &mut stood[at];
        let look = trucks.look(truck, (&suspect.faults, setup), &sight.reading);
        let Ok(look) = look else { return 0.0 };
        if !range.holds(options.tolerances.of(&sight.reading), look) {
            if !sight.is_doubtful {
                return 0.0;
            }
            weight *= DOUBT;
        }
    }
    weight
}

/// Suspects under which everything was seen that was, with the weight they have left.
fn remaining(trucks: &Trucks, sights: &[Sight], options: &Options, all: &[Suspect]) -> Vec<Suspect> {
    // What needs no instrument settles least and rules out most.
    let mut sights: Vec<Sight> = sights.to_vec();
    sights.sort_by_key(|sight| matches!(sight.reading, Reading::Across { .. } | Reading::Amps(_)));
    let weighed = |suspect: &Suspect| Suspect { weight: left(trucks, &sights, options, suspect), ..suspect.clone() };
    let weighed: Vec<Suspect> = all.par_iter().map(weighed).collect();
    weighed.into_iter().filter(|suspect| suspect.weight > 0.0).collect()
}

/// Two sights of the same thing that cannot both be.
fn contradiction(sights: &[Sight], options: &Options) -> Option<Clash> {
    for (at, one) in sights.iter().enumerate() {
        for (other_at, other) in sights.iter().enumerate().skip(at + 1) {
            let is_same = one.reading == other.reading && one.setup == other.setup;
            if !is_same || one.is_doubtful || other.is_doubtful {
                continue;
            }
            let (Some(a), Some(b)) = (one.range(&options.tolerances), other.range(&options.tolerances)) else {
                continue;
            };
            if a.excludes(b) {
                return Some(Clash::Contradiction(at, other_at));
            }
        }
    }
    None
}

/// Sights without any one of which something would remain.
fn to_blame(trucks: &Trucks, sights: &[Sight], options: &Options, all: &[Suspect]) -> Vec<usize> {
    if sights.len() < 2 {
        return Vec::new();
    }
    let without = |at: &usize| {
        let rest: Vec<Sight> =
            sights.iter().enumerate().filter(|(i, _)| i != at).map(|(_, sight)| sight.clone()).collect();
        !remaining(trucks, &rest, options, all).is_empty()
    };
    (0..sights.len()).filter(without).collect()
}

/// Suspects that are alike, the likeliest first in each class, and the likeliest class first.
fn ordered(suspects: &[Suspect], puzzle: &Puzzle) -> Vec<Vec<usize>> {
    let mut classes = puzzle.alike();
    for class in &mut classes {
        class.sort_by(|a, b| suspects[*b].weight.total_cmp(&suspects[*a].weight).then(a.cmp(b)));
    }
    classes.sort_by(|a, b| puzzle.weight(b).total_cmp(&puzzle.weight(a)).then(a.cmp(b)));
    classes
}

/// Places where a hand has been for what was seen, by their numbers.
fn reached(case: &Case, sights: &[Sight], places: &[Place]) -> Vec<usize> {
    let circuit = &case.circuit;
    let of_sight = |sight: &Sight| {
        let acts = sight.setup.after.iter().flat_map(|act| places_of_act(circuit, act));
        places_of(circuit, &sight.reading).into_iter().chain(acts).collect::<Vec<_>>()
    };
    let been: Vec<Place> =
        sights.iter().flat_map(of_sight).chain(case.acts.iter().flat_map(|act| places_of_act(circuit, act))).collect();
    (0..places.len()).filter(|at| been.contains(&places[*at])).collect()
}

/// Everything that could be tried, foreseen under some suspects: numbers to choose by, and what they stand for.
pub struct Outlook {
    trucks: Trucks,
    foreseen: foresee::Foreseen,
    /// Suspects that nothing tells apart, the likeliest first in each and the likeliest class first.
    classes: Vec<Vec<usize>>,
    /// With each class as one.
    puzzle: Puzzle,
}

impl Outlook {
    /// Foresees everything under these suspects. Once the progress is stopped, what it yields means nothing.
    ///
    /// # Errors
    /// More suspects and tests than can be foreseen.
    pub fn of(case: &Case, options: &Options, suspects: &[Suspect], progress: &Progress) -> Result<Self, Refusal> {
        Self::on(Trucks::of(case), options, suspects, progress)
    }

    /// The same with the circuit compiled.
    fn on(trucks: Trucks, options: &Options, suspects: &[Suspect], progress: &Progress) -> Result<Self, Refusal> {
        let foreseen = foresee::foresee(&trucks, options, suspects, progress)?;
        let classes = ordered(suspects, &foreseen.puzzle);
        let puzzle = foreseen.puzzle.in_classes(&classes);
        Ok(Self { trucks, foreseen, classes, puzzle })
    }

    /// Suspects that nothing tells apart, by their places among those it was made of.
    pub fn classes(&self) -> &[Vec<usize>] {
        &self.classes
    }

    /// The numbers that tests are chosen by, each class as one.
    pub fn puzzle(&self) -> &Puzzle {
        &self.puzzle
    }

    /// The tests that lead to a class, chosen one after the other as what was seen leaves fewer of these classes.
    pub fn path_to(&self, class: usize, among: &[usize]) -> Vec<Test> {
        let mut path = Vec::new();
        let (mut left, mut so_far) = (among.to_vec(), self.puzzle.begin(&[]));
        while let Some(best) = self.puzzle.best(&left, &so_far) {
            path.push(self.test(best, &left, &so_far, |_| None));
            so_far = self.puzzle.after(&self.puzzle.columns[best.0], &so_far);
            let group = self.puzzle.columns[best.0].groups[class];
            left.retain(|other| self.puzzle.columns[best.0].groups[*other] == group);
        }
        path
    }

    fn stage(&self, course: &Course, so_far: &puzzle::Progressed) -> Stage {
        let test = course.step.as_ref().map(|step| {
            let next = self.puzzle.after(&self.puzzle.columns[step.column], so_far);
            let then = |group: u16| {
                let branch = step.branches.iter().find(|(known, _)| *known == group);
                branch.map(|(_, course)| Box::new(self.stage(course, &next)))
            };
            self.test((step.column, step.bits, step.minutes), &course.suspects, so_far, then)
        });
        Stage { lines: course.suspects.clone(), test }
    }

    fn test(
        &self,
        (column, bits, minutes): (usize, f64, f64),
        lines: &[usize],
        so_far: &puzzle::Progressed,
        then: impl Fn(u16) -> Option<Box<Stage>>,
    ) -> Test {
        let trial = &self.foreseen.trials[column];
        let setup = self.foreseen.stands[trial.stand].setup.clone();
        let of_column = &self.puzzle.columns[column];
        let everywhere = puzzle::Progressed { reached: vec![true; so_far.reached.len()], ..so_far.clone() };
        let all = self.puzzle.weight(lines);
        let outcomes = self.puzzle.parted(column, lines).into_iter().map(|(group, part)| {
            let looks = part.iter().flat_map(|line| &self.classes[*line]).map(|at| self.foreseen.looks[column][*at]);
            Outcome { looks: extremes(looks), share: self.puzzle.weight(&part) / all, lines: part, then: then(group) }
        });
        Test {
            reaching: minutes - self.puzzle.cost(of_column, &everywhere),
            outcomes: outcomes.collect(),
            hazards: self.hazards(&setup, lines),
            reading: trial.reading.clone(),
            setup,
            minutes,
            bits,
        }
    }

    /// What a setup brings with it under any of these, that is not there without it, gravest first.
    fn hazards(&self, setup: &Setup, lines: &[usize]) -> Vec<Hazard> {
        let suspects = lines.iter().flat_map(|line| &self.classes[*line]);
        let mut found: Vec<Hazard> = Vec::new();
        for suspect in suspects {
            for hazard in foresee::brought(&self.trucks, &self.foreseen.suspects[*suspect], setup) {
                let is_known = found.iter().any(|known| (known.kind, &known.at) == (hazard.kind, &hazard.at));
                if !is_known {
                    found.push(hazard);
                }
            }
        }
        found.sort_by(|a, b| (a.level, a.kind, &a.at).cmp(&(b.level, b.kind, &b.at)));
        found
    }
}

/// The least and the most of some looks; words have only themselves.
fn extremes(looks: impl Iterator<Item = Look>) -> (Look, Look) {
    let value = |look: &Look| match look {
        Look::Number(value) => *value,
        Look::Fan(_) | Look::Unsteady => 0.0,
    };
    let looks: Vec<Look> = looks.collect();
    let least = looks.iter().min_by(|a, b| value(a).total_cmp(&value(b)));
    let most = looks.iter().max_by(|a, b| value(a).total_cmp(&value(b)));
    (least.copied().unwrap_or(Look::Unsteady), most.copied().unwrap_or(Look::Unsteady))
}

/// Dangers of a bench, each with where it is.
fn dangers(bench: &Bench) -> Vec<Hazard> {
    hazard::all(bench).into_iter().filter(|hazard| hazard.level == Level::Danger).collect()
}

/// Numbers for the places of a circuit that a hand can have to get to.
fn all_places(circuit: &Circuit) -> Vec<Place> {
    circuit.parts_with_ids().map(|(id, _)| Place::Part(id)).chain([Place::Hose]).collect()
}

/// Every way to set a truck up that needs neither tools nor leads: what a driver meets.
pub fn situations(case: &Case) -> Vec<Setup> {
    let conditions = case.bench(&[], &Setup::default()).map(|bench| *bench.conditions()).unwrap_or_default();
    let by_driver = |act: &Act| matches!(act, Act::Turn { .. } | Act::Press { .. });
    let stands = trial::stands(&case.circuit, &conditions).into_iter().map(|stand| stand.setup);
    stands.filter(|setup| setup.after.iter().all(by_driver)).collect()
}
