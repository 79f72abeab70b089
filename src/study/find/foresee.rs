//! What every trial would show under every suspect, as the numbers of a [`Puzzle`].
//!
//! Each suspect's circuit is settled once in each stand and then read. A voltmeter loads nothing that matters unless
//! something of many kilohms feeds the point, so volts between two points that do not float are taken from the settled
//! circuit; where such ohms are about, and for every other instrument, it is put on. A stand in which a suspect brings a
//! danger that is not there without the stand is marked. Which trial is worth making is left to the puzzle.

use rayon::prelude::*;

use crate::bench::{Bench, Fault, Instrument, Point, Reading, Refusal};
use crate::circuit::{Circuit, Kind};
use crate::study::answer::{Hazard, HazardKind};
use crate::study::hazard;
use crate::study::progress::Progress;
use crate::words::say;

use super::minutes::{Place, is_lamp, places_of, places_of_act};
use super::puzzle::{Column, Puzzle, Standpoint};
use super::scale::{Look, groups};
use super::sight::Setup;
use super::suspect::{Case, Suspect};
use super::trial::{Stand, Trial, readings, stands};
use super::trucks::Trucks;
use super::{Options, all_places, dangers};

/// Ohms from which a voltmeter's own load may show.
const LOADED_FROM_OHMS: f64 = 10e3;

/// Most things foreseen: what each trial shows under each suspect. Some hundred megabytes, and a minute.
const MOST_LOOKS: usize = 8_000_000;

/// Everything foreseen.
pub(super) struct Foreseen {
    pub(super) suspects: Vec<Suspect>,
    pub(super) stands: Vec<Stand>,
    /// Beside the columns of the puzzle.
    pub(super) trials: Vec<Trial>,
    /// For each trial what it shows under each suspect.
    pub(super) looks: Vec<Vec<Look>>,
    pub(super) places: Vec<Place>,
    pub(super) puzzle: Puzzle,
}

/// One suspect in every stand: what each trial shows, and where it would be dangerous.
struct Row {
    looks: Vec<Option<Look>>,
    dangerous: Vec<bool>,
}

/// Foresees all trials under these suspects.
///
/// # Errors
/// More of both than can be foreseen.
pub(super) fn foresee(
    trucks: &Trucks,
    options: &Options,
    suspects: &[Suspect],
    progress: &Progress,
) -> Result<Foreseen, Refusal> {
    let circuit = &trucks.case.circuit;
    let conditions = trucks.bench(&[], &Setup::default()).map(|bench| *bench.conditions()).unwrap_or_default();
    let has = |word: &str| word == "fan" || options.instruments.contains(word);
    // A stand that this circuit cannot have as it is set up (a wire that is off already) is none.
    let stands: Vec<Stand> =
        stands(circuit, &conditions).into_iter().filter(|stand| trucks.bench(&[], &stand.setup).is_ok()).collect();
    let wants = |reading: &Reading| wanted(reading, &has);
    let trials = stands.iter().enumerate().flat_map(|(at, stand)| {
        let readings = readings(circuit, stand, has).into_iter().filter(wants);
        readings.map(move |reading| Trial { stand: at, reading }).collect::<Vec<_>>()
    });
    let left_out = |trial: &Trial| {
        let setup = &stands[trial.stand].setup;
        options.left_out.iter().any(|(of, reading)| of == setup && *reading == trial.reading)
    };
    let trials: Vec<Trial> = trials.filter(|trial| !left_out(trial)).collect();
    if suspects.len().saturating_mul(trials.len()) > MOST_LOOKS {
        let (faults, tests) = (suspects.len(), trials.len());
        return Err(Refusal::new(
            say!("find-too-many-to-foresee", faults, tests),
            say!("find-give-more-of-what-was-seen"),
        ));
    }
    let foresight = Foresight { trucks, stands: &stands, trials: &trials };
    progress.expect(suspects.len());
    let row = |suspect: &Suspect| {
        if progress.is_stopped() {
            return Row { looks: vec![None; trials.len()], dangerous: vec![true; stands.len()] };
        }
        let row = foresight.row(suspect);
        progress.count(1);
        row
    };
    let rows: Vec<Row> = suspects.par_iter().map(row).collect();
    let places = all_places(circuit);
    let number = |place: &Place| places.iter().position(|known| known == place).expect("every place is in the list");
    let mut kept = Vec::new();
    let mut columns = Vec::new();
    for (at, trial) in trials.iter().enumerate() {
        let looks: Option<Vec<Look>> = rows.iter().map(|row| row.looks[at]).collect();
        let Some(looks) = looks else { continue };
        let tolerance = options.tolerances.of(&trial.reading);
        columns.push(Column {
            groups: groups(&looks, tolerance, is_lamp(&trial.reading)),
            minutes: options.minutes.to_read(&trial.reading),
            stand: trial.stand,
            places: places_of(circuit, &trial.reading).iter().map(number).collect(),
        });
        kept.push((trial.clone(), looks));
    }
    let standpoints = stands.iter().enumerate().map(|(at, stand)| {
        let acts = &stand.setup.after;
        let minutes = acts.iter().map(|act| options.minutes.to_do(act)).sum::<f64>()
            + stand.setup.with.iter().map(|setting| options.minutes.to_bring(setting)).sum::<f64>();
        let places = acts.iter().flat_map(|act| places_of_act(circuit, act));
        let dangerous = rows.iter().map(|row| row.dangerous[at]).collect();
        Standpoint { minutes, places: places.map(|place| number(&place)).collect(), dangerous }
    });
    let mut puzzle = Puzzle {
        weights: suspects.iter().map(|suspect| suspect.weight).collect(),
        columns,
        stands: standpoints.collect(),
        access: places.iter().map(|place| options.minutes.to_reach(circuit, *place)).collect(),
    };
    let worth = puzzle.worth_keeping();
    puzzle.columns = worth.iter().map(|at| puzzle.columns[*at].clone()).collect();
    let (trials, looks) = worth.iter().map(|at| kept[*at].clone()).unzip();
    Ok(Foreseen { suspects: suspects.to_vec(), stands, trials, looks, places, puzzle })
}

/// Whether a reading is worth foreseeing beside the others at hand: of the three instruments for volts the best, of the
/// two for amps the one that need not be put in.
fn wanted(reading: &Reading, has: &impl Fn(&str) -> bool) -> bool {
    match reading {
        Reading::Across { instrument: Instrument::LowImpedance, .. } => !has("volts"),
        Reading::Across { instrument: Instrument::TestLamp, .. } => !has("volts") && !has("lowz"),
        Reading::Amps(_) => !has("clamp"),
        Reading::Across { .. } | Reading::Clamp(_) | Reading::Gauge(_) | Reading::Fan => true,
    }
}

/// What a setup brings with it in a suspect's circuit that is not there without it, beside that it has to be put back.
pub(super) fn brought(trucks: &Trucks, suspect: &Suspect, setup: &Setup) -> Vec<Hazard> {
    let all = |setup: &Setup| trucks.bench(&suspect.faults, setup).map(|bench| hazard::all(&bench)).unwrap_or_default();
    let before = all(&Setup::default());
    let is_new =
        |hazard: &Hazard| hazard.kind != HazardKind::LeftChanged && !before.iter().any(|known| known.is_also(hazard));
    all(setup).into_iter().filter(is_new).collect()
}

struct Foresight<'a> {
    trucks: &'a Trucks,
    stands: &'a [Stand],
    trials: &'a [Trial],
}

impl Foresight<'_> {
    fn row(&self, suspect: &Suspect) -> Row {
        let case = &self.trucks.case;
        let needs_meter = has_large_ohms(&case.circuit, case.known.iter().chain(&suspect.faults));
        let benches: Vec<Option<Bench>> =
            self.stands.iter().map(|stand| self.trucks.bench(&suspect.faults, &stand.setup).ok()).collect();
        let before: Vec<Hazard> = benches[0].as_ref().map(dangers).unwrap_or_default();
        let is_dangerous = |bench: &Option<Bench>| {
            let Some(bench) = bench else { return true };
            let known = |hazard: &Hazard| before.iter().any(|old| (old.kind, &old.at) == (hazard.kind, &hazard.at));
            !dangers(bench).iter().all(known)
        };
        let look = |trial: &Trial| {
            let bench = benches[trial.stand].as_ref()?;
            match &trial.reading {
                Reading::Across { instrument: Instrument::Voltmeter, first, second } if !needs_meter => {
                    unloaded(bench, first, second)
                }
                reading => Case::look(bench, reading).ok(),
            }
        };
        Row { looks: self.trials.iter().map(look).collect(), dangerous: benches.iter().map(is_dangerous).collect() }
    }
}

/// Whether anything of many kilohms is in the circuit, or comes into it with a fault.
fn has_large_ohms<'a>(circuit: &Circuit, faults: impl IntoIterator<Item = &'a Fault>) -> bool {
    let in_part = |kind: &Kind| match kind {
        Kind::Resistor(load) | Kind::Lamp(load) => load.ohms >= LOADED_FROM_OHMS,
        Kind::Relay(relay) => relay.coil_ohms >= LOADED_FROM_OHMS,
        Kind::AirValve(valve) => valve.coil_ohms >= LOADED_FROM_OHMS,
        Kind::Module(module) => module.supply_ohms >= LOADED_FROM_OHMS,
        Kind::Timer(timer) => timer.supply_ohms >= LOADED_FROM_OHMS,
        _ => false,
    };
    let in_fault = |fault: &Fault| match fault {
        Fault::Resist(_, ohms) | Fault::Ground(_, ohms) | Fault::Feed(_, ohms) | Fault::CoilShort(_, ohms) => {
            *ohms >= LOADED_FROM_OHMS
        }
        _ => false,
    };
    circuit.parts().iter().any(|part| in_part(&part.kind)) || faults.into_iter().any(in_fault)
}

/// Volts between two terminals as the settled circuit has them. A point that floats is drawn by the meter to the
/// other.
fn unloaded(bench: &Bench, first: &Point, second: &Point) -> Option<Look> {
    let (Point::Terminal(a), Point::Terminal(b)) = (first, second) else { return None };
    let [a, b] = [a, b].map(|words| bench.circuit().terminal_named(words));
    let outcome = bench.outcome();
    if !outcome.settled() {
        return Some(Look::Unsteady);
    }
    let volts = outcome.volts_at(a?).zip(outcome.volts_at(b?)).map_or(0.0, |(a, b)| a - b);
    Some(Look::Number(volts))
}
