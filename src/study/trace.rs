//! What happens over time: one run of a circuit with everything done at its moment, sampled, read and told.
//!
//! Yields a [`Trace`] for a [`Plan`]: series of what gauges, meter and eyes would show at even steps, and every event
//! in order, done or happened by itself. How the circuit gets from one moment to the next is the physics'
//! [`Run`]'s; the words of events are [`happening`]'s. Writing and drawing are left to others.

use std::sync::Arc;

use crate::bench::script::action_words;
use crate::bench::{Action, Bench, Fault, Gauge, Live, Reading, Refusal, Start, Timed};
use crate::circuit::quantity::KPA_PER_PSI;
use crate::circuit::{Circuit, Kind};
use crate::physics::clutch::ClutchState;
use crate::physics::time::{Moment, Run, TOLERANCE};

use super::answer::Standing;
use super::happening::{self, Weight};
use super::meter::{Value, read, read_in};

/// Longest trace, in seconds: a day.
pub const LONGEST_S: f64 = 24.0 * 3600.0;
/// Most samples of a trace.
pub const MOST_SAMPLES: usize = 5_000_000;
/// Shortest time between two samples, in seconds: how closely a run finds its moments.
pub const SHORTEST_S: f64 = 1e-4;

/// What is to be traced.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// How long, in seconds.
    pub for_s: f64,
    /// Seconds from sample to sample.
    pub every_s: f64,
    /// What is done, in any order; of equal moments in the order given.
    pub timed: Vec<Timed>,
    /// What is read at each sample.
    pub readings: Vec<Reading>,
}

/// What a plan cannot have.
#[derive(Clone, Debug, PartialEq)]
pub enum Unfit {
    /// Its length or its number of samples.
    Measure(Refusal),
    /// This one of what is timed.
    Timed(usize, Refusal),
    /// This one of the readings, at no moment of the plan.
    Reading(usize, Refusal),
    /// The circuit, whose figures cannot be followed through time.
    Circuit(Refusal),
}

/// Something that happened, or was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Seconds from the beginning.
    pub at_s: f64,
    /// What, as a sentence; of what was done, the script's words.
    pub what: String,
    /// How much it matters.
    pub weight: Weight,
    /// Somebody did it.
    pub is_done: bool,
}

/// Even samples; every series is as long as `time_s`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Series {
    /// Seconds from the beginning.
    pub time_s: Vec<f64>,
    /// Gauge at the valve's supply port in psi.
    pub supply_psi: Vec<f64>,
    /// Gauge in the clutch hose in psi; none where no valve feeds a clutch.
    pub clutch_psi: Vec<Option<f64>>,
    /// Gauge at the vehicle's tanks in psi.
    pub tank_psi: Vec<f64>,
    /// Tag of each air valve with the volts across its coil.
    pub coil_volts: Vec<(String, Vec<Option<f64>>)>,
    /// What the clutch does.
    pub state: Vec<Standing>,
    /// Engine speed in rpm.
    pub engine_rpm: Vec<f64>,
    /// Fan speed in rpm.
    pub fan_rpm: Vec<f64>,
    /// Share of the engine's speed that the fan does not follow while the clutch carries it.
    pub slip: Vec<f64>,
    /// Coolant in °C.
    pub coolant_c: Vec<f64>,
    /// The clutch's plate in °C.
    pub plate_c: Vec<f64>,
    /// What was read; none where the reading could not be taken then.
    pub readings: Vec<(Reading, Vec<Option<Value>>)>,
}

/// A traced run.
#[derive(Clone, Debug)]
pub struct Trace {
    /// How long, in seconds.
    pub for_s: f64,
    /// The samples.
    pub series: Series,
    /// Everything that happened, in order.
    pub told: Vec<Told>,
    /// The bench and the run at the end.
    pub end: Live,
}

/// Traces a circuit.
///
/// # Errors
/// The first thing in the plan that cannot be.
pub fn trace(circuit: Arc<Circuit>, plan: &Plan) -> Result<Trace, Unfit> {
    let count = samples(plan).map_err(Unfit::Measure)?;
    let mut order: Vec<usize> = (0..plan.timed.len()).collect();
    // What holds from the beginning comes before what is done at the beginning; the sort keeps equals in order.
    let moment = |index: &usize| plan.timed[*index].at_s.unwrap_or(-1.0);
    order.sort_by(|a, b| moment(a).total_cmp(&moment(b)));
    let (held, later): (Vec<usize>, Vec<usize>) = order.iter().partition(|i| plan.timed[**i].at_s.is_none());
    let bench = begun(circuit, plan, &held)?;
    check(bench.clone(), plan, &later)?;

    let times: Vec<f64> = (0..count).map(|i| tidy(i as f64 * plan.every_s, 1e9)).collect();
    let mut recorder = Recorder::of(&bench, plan, &held, count);
    let mut live = Live::of(bench, TOLERANCE);
    let (mut next, mut heard) = (0, 0);
    for index in later {
        let Timed { at_s, action } = &plan.timed[index];
        let at_s = at_s.unwrap_or(0.0);
        // A sample in the very moment of an action shows what comes of it.
        let until = next + times[next..].partition_point(|time| *time < at_s);
        live.advance_seen(at_s, &times[next..until], |run, moment| recorder.see(run, &moment))
            .map_err(Unfit::Circuit)?;
        next = until;
        heard = recorder.hear(&live, heard);
        let action = meant(live.bench(), action);
        recorder.did(at_s, &action);
        live.apply(action).map_err(|refusal| Unfit::Timed(index, refusal))?;
        heard = recorder.hear(&live, heard);
    }
    live.advance_seen(plan.for_s, &times[next..], |run, moment| recorder.see(run, &moment)).map_err(Unfit::Circuit)?;
    recorder.hear(&live, heard);
    Ok(Trace { for_s: plan.for_s, series: recorder.series, told: recorder.told, end: live })
}

/// How many samples a plan takes.
///
/// # Errors
/// Where it would be too long, or too many.
fn samples(plan: &Plan) -> Result<usize, Refusal> {
    let Plan { for_s, every_s, .. } = *plan;
    if !(for_s > 0.0 && for_s <= LONGEST_S) {
        return Err(Refusal::new(
            format!("a trace of {for_s} s is none that can be made"),
            "ask for more than nothing and at most 24 h, like `--for 30s`",
        ));
    }
    if every_s < SHORTEST_S {
        return Err(Refusal::new(
            format!("a sample every {every_s} s is closer than moments are found"),
            "ask for at least 0.1 ms, like `--every 50ms`",
        ));
    }
    // The last sample is not lost to rounding.
    let count = (for_s / every_s + 1e-9).floor() + 1.0;
    if count > MOST_SAMPLES as f64 {
        return Err(Refusal::new(
            format!("{for_s} s at a sample every {every_s} s are {count} samples, more than {MOST_SAMPLES}"),
            "ask for fewer with `--every`, or for a shorter time with `--for`",
        ));
    }
    Ok(count as usize)
}

/// The bench as it stands at the beginning: conditions and faults, then everything by hand.
fn begun(circuit: Arc<Circuit>, plan: &Plan, held: &[usize]) -> Result<Bench, Unfit> {
    let mut start = Start::default();
    let mut acts = Vec::new();
    for index in held {
        match &plan.timed[*index].action {
            Action::Set(setting) => start.settings.push(*setting),
            Action::Plant(fault) => {
                // Each is tried alone, so that the refusal names the right one.
                let alone = Start { settings: Vec::new(), faults: vec![fault.clone()] };
                Bench::started(Arc::clone(&circuit), alone).map_err(|refusal| Unfit::Timed(*index, refusal))?;
                start.faults.push(fault.clone());
            }
            _ => acts.push(*index),
        }
    }
    let mut bench = Bench::started(circuit, start).map_err(Unfit::Measure)?;
    for index in acts {
        let action = meant(&bench, &plan.timed[index].action);
        bench.apply(action).map_err(|refusal| Unfit::Timed(index, refusal))?;
    }
    Ok(bench)
}

/// Whether everything later can be, before any time is spent. What a bench allows does not depend on time.
fn check(mut bench: Bench, plan: &Plan, later: &[usize]) -> Result<(), Unfit> {
    let mut refused: Vec<Option<Refusal>> = plan.readings.iter().map(|reading| read(&bench, reading).err()).collect();
    for index in later {
        let Timed { at_s, action } = &plan.timed[*index];
        if at_s.is_some_and(|at_s| at_s > plan.for_s) {
            let message = format!("at {} s the trace has ended", at_s.unwrap_or_default());
            let mend = format!("make it longer than {} s with `--for`, or do this earlier", plan.for_s);
            return Err(Unfit::Timed(*index, Refusal::new(message, mend)));
        }
        let action = meant(&bench, action);
        bench.apply(action).map_err(|refusal| Unfit::Timed(*index, refusal))?;
        // A lead may be put on an end that is lifted on the way.
        for (still, reading) in refused.iter_mut().zip(&plan.readings).filter(|(still, _)| still.is_some()) {
            *still = read(&bench, reading).err();
        }
    }
    let first = refused.into_iter().enumerate().find_map(|(index, refusal)| Some((index, refusal?)));
    first.map_or(Ok(()), |(index, refusal)| Err(Unfit::Reading(index, refusal)))
}

/// The action meant: to repair a fuse that was not found blown is to put a new one in.
fn meant(bench: &Bench, action: &Action) -> Action {
    match action {
        Action::Repair(fault @ Fault::Blown(tag)) if !bench.faults().contains(fault) => {
            Action::ReplaceFuse(tag.clone())
        }
        _ => action.clone(),
    }
}

/// A number without digits that nobody could have read, and without a minus before a zero.
fn tidy(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}

/// Takes down a run as it goes.
struct Recorder {
    circuit: Arc<Circuit>,
    series: Series,
    told: Vec<Told>,
    /// Electric readings, as last taken, and the count of changes they were taken at.
    taken: Vec<Option<Value>>,
    taken_at: Option<u64>,
}

impl Recorder {
    fn of(bench: &Bench, plan: &Plan, held: &[usize], count: usize) -> Self {
        let circuit = bench.circuit_shared();
        let valves = circuit.parts().iter().filter(|part| matches!(part.kind, Kind::AirValve(_)));
        let series = Series {
            coil_volts: valves.map(|part| (part.tag.clone(), Vec::with_capacity(count))).collect(),
            readings: plan.readings.iter().map(|reading| (reading.clone(), Vec::with_capacity(count))).collect(),
            ..Series::default()
        };
        let taken = vec![None; plan.readings.len()];
        let mut recorder = Self { circuit, series, told: Vec::new(), taken, taken_at: None };
        held.iter().for_each(|index| recorder.did(0.0, &plan.timed[*index].action));
        for opened in bench.opened() {
            let what = happening::opens(bench, opened.at, opened.amps);
            let what = format!("{what}, before the beginning");
            recorder.told.push(Told { at_s: 0.0, what, weight: Weight::Grave, is_done: false });
        }
        recorder
    }

    fn did(&mut self, at_s: f64, action: &Action) {
        self.told.push(Told { at_s, what: action_words(action), weight: Weight::Grave, is_done: true });
    }

    /// Tells the events from number `from` on; how many there are by now.
    fn hear(&mut self, live: &Live, from: usize) -> usize {
        let told = live.events()[from..].iter().map(|event| Told {
            at_s: tidy(event.at_s, 1e4),
            what: happening::sentence(live.bench(), event).to_string(),
            weight: happening::weight(&event.what),
            is_done: false,
        });
        self.told.extend(told);
        live.events().len()
    }

    fn see(&mut self, run: &Run, moment: &Moment) {
        let psi = |kpa: f64| tidy(kpa / KPA_PER_PSI, 1e3);
        let has_clutch = run.electric().clutch.is_some();
        let standing = standing(run, moment);
        self.read(run, moment, standing);
        let series = &mut self.series;
        series.time_s.push(moment.at_s);
        series.supply_psi.push(psi(moment.supply_kpa));
        series.clutch_psi.push(has_clutch.then(|| psi(moment.clutch_kpa)));
        series.tank_psi.push(psi(moment.tank_kpa));
        for ((_, volts), now) in series.coil_volts.iter_mut().zip(&moment.coil_volts) {
            volts.push(now.map(|volts| tidy(volts, 1e4)));
        }
        series.state.push(standing);
        series.engine_rpm.push(tidy(run.inputs().conditions.engine_rpm, 10.0));
        series.fan_rpm.push(tidy(moment.fan_rpm, 10.0));
        series.slip.push(tidy(moment.slip, 1e4));
        series.coolant_c.push(tidy(moment.coolant_c, 1e3));
        series.plate_c.push(tidy(moment.plate_c, 1e3));
    }

    /// Takes all readings. Electric ones stay as they are while nothing electric changes.
    fn read(&mut self, run: &Run, moment: &Moment, standing: Standing) {
        let renew = self.taken_at != Some(run.changes());
        self.taken_at = Some(run.changes());
        for ((reading, values), taken) in self.series.readings.iter_mut().zip(&mut self.taken) {
            let psi = |kpa: f64| tidy(kpa / KPA_PER_PSI, 1e3);
            let value = match reading {
                Reading::Gauge(Gauge::Supply) => Some(Value::Psi(Some(psi(moment.supply_kpa)))),
                Reading::Gauge(Gauge::Clutch) => {
                    let kpa = run.electric().clutch.map(|_| moment.clutch_kpa);
                    Some(Value::Psi(kpa.map(psi)))
                }
                Reading::Fan => Some(Value::Fan(standing)),
                Reading::Across { .. } | Reading::Amps(_) | Reading::Clamp(_) => {
                    if renew {
                        let shown = read_in(&self.circuit, run.inputs(), run.electric(), reading);
                        *taken = shown.ok().map(|shown| shown.value);
                    }
                    *taken
                }
            };
            values.push(value);
        }
    }
}

/// What the clutch does at a moment of a run.
fn standing(run: &Run, moment: &Moment) -> Standing {
    if !run.electric().settled() {
        return Standing::Unsettled;
    }
    if run.electric().clutch.is_none() {
        return Standing::None;
    }
    match moment.clutch.state {
        ClutchState::Engaged => Standing::Engaged,
        ClutchState::Released => Standing::Released,
        ClutchState::Slipping => Standing::Slipping,
    }
}
