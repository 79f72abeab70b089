//! A bench whose clock runs, spoken to in the words of the file contract, and circuits with air figures of their own.
//!
//! [`Clock`] says what happened and when; [`rig`] is the least circuit with a valve. Nothing here knows how a run finds
//! its way.

use std::sync::Arc;

use fanloom::bench::{Action, Bench, Live, Start};
use fanloom::circuit::format::write;
use fanloom::circuit::quantity::KPA_PER_PSI;
use fanloom::circuit::{Circuit, PartId};
use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::kick::Kick;
use fanloom::physics::time::{Event, Happening, Moment, TOLERANCE};

use super::{action, circuit, tiny_text};

/// Battery, hand switch and a valve that passes air when live, with these fields in `Air(…)` and `Clutch(…)`.
#[track_caller]
pub fn rig(air: &str, clutch: &str) -> Arc<Circuit> {
    let parts = [
        ("G1", "Battery(volts: 12.6)"),
        ("S1", "HandSwitch(rest: Open)"),
        ("Y1", "AirValve(coil_ohms: 30, pulls_in: 7.8, drops_out: 2.4, rest: Blocking)"),
    ];
    with_air(&tiny_text(&parts, &["W1 G1.+ S1.1", "W2 S1.2 Y1.1", "W3 Y1.2 G1.-"]), air, clutch)
}

/// The circuit of a text without an air side, with one.
#[track_caller]
pub fn with_air(text: &str, air: &str, clutch: &str) -> Arc<Circuit> {
    let text = text.trim_end().strip_suffix(')').expect("a circuit ends so").to_owned();
    circuit(&format!("{text}    air: Air({air}),\n    clutch: Clutch({clutch}),\n)\n"))
}

/// A circuit with an engine of its own figures.
#[track_caller]
pub fn with_engine(whole: &Circuit, engine: &str) -> Arc<Circuit> {
    let text = write(whole);
    let text = text.trim_end().strip_suffix(')').expect("a circuit ends so").to_owned();
    circuit(&format!("{text}    engine: Engine({engine}),\n)\n"))
}

/// A bench on its way through time.
#[derive(Clone, Debug)]
pub struct Clock {
    pub live: Live,
}

impl Clock {
    /// A circuit under these settings with these faults, at rest.
    #[track_caller]
    pub fn on(circuit: &Arc<Circuit>, settings: &[&str], faults: &[&str]) -> Self {
        Self::within(circuit, settings, faults, TOLERANCE)
    }

    /// The same with a tolerance of its own.
    #[track_caller]
    pub fn within(circuit: &Arc<Circuit>, settings: &[&str], faults: &[&str], tolerance: f64) -> Self {
        let start = start(settings, faults);
        let live = Live::begin_within(Arc::clone(circuit), start, tolerance).unwrap_or_else(|e| panic!("{e}"));
        Self { live }
    }

    /// A circuit in which something has been done long ago.
    #[track_caller]
    pub fn after(circuit: &Arc<Circuit>, settings: &[&str], faults: &[&str], done: &str) -> Self {
        let mut bench = Bench::started(Arc::clone(circuit), start(settings, faults)).expect("such faults can be");
        for step in done.split(';') {
            bench.apply(action(step).expect("an action")).unwrap_or_else(|e| panic!("`{step}`: {e}"));
        }
        Self { live: Live::of(bench, TOLERANCE) }
    }

    /// A shipped circuit.
    #[track_caller]
    pub fn shipped(name: &str, settings: &[&str], faults: &[&str]) -> Self {
        Self::on(&super::shipped(name), settings, faults)
    }

    /// Makes one change now.
    #[track_caller]
    pub fn will(&mut self, words: &str) -> &mut Self {
        let action: Action = action(words).unwrap_or_else(|e| panic!("`{words}`: {e}"));
        self.live.apply(action).unwrap_or_else(|e| panic!("`{words}`: {e}"));
        self
    }

    /// Runs on to so many seconds from the beginning.
    pub fn run_to(&mut self, seconds: f64) -> &mut Self {
        self.live.advance(seconds, &[], |_| {}).unwrap_or_else(|e| panic!("{e}"));
        self
    }

    /// Runs on, and shows a moment every so many seconds, the present one first.
    pub fn sampled(&mut self, seconds: f64, every_s: f64) -> Vec<Moment> {
        let from = self.live.at_s();
        let times: Vec<f64> =
            (0..).map(|i| from + f64::from(i) * every_s).take_while(|at| *at <= seconds + 1e-9).collect();
        let mut moments = Vec::new();
        self.live.advance(seconds, &times, |moment| moments.push(moment)).unwrap_or_else(|e| panic!("{e}"));
        moments
    }

    pub fn moment(&self) -> Moment {
        self.live.moment()
    }

    pub fn clutch_psi(&self) -> f64 {
        self.moment().clutch_kpa / KPA_PER_PSI
    }

    pub fn tank_psi(&self) -> f64 {
        self.moment().tank_kpa / KPA_PER_PSI
    }

    /// What the clutch does now.
    pub fn state(&self) -> ClutchState {
        self.moment().clutch.state
    }

    #[track_caller]
    pub fn id(&self, tag: &str) -> PartId {
        self.live.bench().circuit().part_named(tag).unwrap_or_else(|| panic!("there is no part `{tag}`"))
    }

    #[track_caller]
    pub fn coil_c(&self, tag: &str) -> f64 {
        self.live.run().coil_c(self.id(tag)).expect("it has a coil")
    }

    /// Moments at which something of this kind happened.
    pub fn times(&self, is_it: impl Fn(&Happening) -> bool) -> Vec<f64> {
        self.live.events().iter().filter(|e| is_it(&e.what)).map(|e| e.at_s).collect()
    }

    /// The first moment at which this happened.
    #[track_caller]
    pub fn first(&self, what: &Happening) -> f64 {
        let times = self.times(|happened| happened == what);
        *times.first().unwrap_or_else(|| panic!("no {what:?} among {:#?}", self.live.events()))
    }

    /// The last kick of this coil.
    #[track_caller]
    pub fn kick(&self, tag: &str) -> Kick {
        let id = self.id(tag);
        let kick = |e: &Event| match e.what {
            Happening::Kick(part, kick) if part == id => Some(kick),
            _ => None,
        };
        self.live.events().iter().rev().find_map(kick).unwrap_or_else(|| panic!("`{tag}` has not kicked"))
    }
}

#[track_caller]
fn start(settings: &[&str], faults: &[&str]) -> Start {
    let settings = settings.iter().map(|s| s.parse().unwrap_or_else(|e| panic!("`{s}`: {e}"))).collect();
    let faults = faults.iter().map(|f| f.parse().unwrap_or_else(|e| panic!("`{f}`: {e}"))).collect();
    Start { settings, faults }
}

/// When a rising or falling column of moments passes a level, by a straight line between samples.
#[track_caller]
pub fn passes(moments: &[Moment], column: impl Fn(&Moment) -> f64, level: f64) -> f64 {
    let pair = moments.windows(2).find(|pair| {
        let (a, b) = (column(&pair[0]) - level, column(&pair[1]) - level);
        a == 0.0 || a * b < 0.0
    });
    let Some([a, b]) = pair else { panic!("{level} is never passed") };
    a.at_s + (b.at_s - a.at_s) * (level - column(a)) / (column(b) - column(a))
}
