//! The circuit on the bench with everything worked out about it, each worked out once per change.
//!
//! Yields [`Session`]: the bench, the copy shown while a condition is being dragged, the verdict, the drawing and
//! what an act would come to. The window reads; only [`apply`](super::apply) changes. No egui here.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bench::demonstration::Times;
use crate::bench::{Act, Action, Bench, Journal, Reading, Refusal, Setting, just_past};
use crate::circuit::Circuit;
use crate::drawing::{self, Layout, Show, Symbols};
use crate::study::answer::{Hazard, HazardKind, Standing, Subject, Verdict};
use crate::study::hunt::{Hunt, Report, Seen as Eyes};
use crate::study::meter::{Shown, read_in};
use crate::study::{difference, hazard, preview, verdict};

use super::board::geometry::{Extent, Sheet, extent};
use super::clock::{Clock, Deed};
use super::condition::{Condition, Units};
use super::instrument::{Device, Instruments};
use super::tongue::{self, t};
use super::{showing, words};
use crate::words::{Language, Measure, Words};

/// Least change of a condition, in its scale's unit, that is worth keeping.
const LEAST_DRIFT: f64 = 0.05;

/// What decides how the drawing looks.
#[derive(Clone, Debug, Default, PartialEq)]
struct DrawnFor {
    stamp: u64,
    symbols: Symbols,
    readings: bool,
    highlighted: BTreeSet<Subject>,
    instruments: Instruments,
    language: Language,
    measure: Measure,
}

/// What an act would come to, in the words the tip beside the pointer needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// What the fan does before.
    pub before: Standing,
    /// What it would do after.
    pub after: Standing,
    /// Dangers there would be, gravest first; that the act leaves something changed goes without saying here.
    pub hazards: Vec<Hazard>,
    /// Fuses that would open.
    pub opens: Vec<String>,
    /// What it would do to coil, valve, air and clutch, with numbers.
    pub because: Vec<Words>,
}

/// What an instrument on the circuit shows.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Which.
    pub device: Device,
    /// What it shows, or why it can show nothing.
    pub shown: Result<Shown, Refusal>,
}

/// What would be read where the pointer is, and what it holds for.
#[derive(Debug)]
struct ReadAhead {
    stamp: u64,
    on: Instruments,
    reading: Reading,
    shown: Arc<Result<Shown, Refusal>>,
}

/// A hunt on the bench, and what stood there before it.
#[derive(Debug)]
struct Hunted {
    hunt: Hunt,
    eyes: Eyes,
    report: Option<Report>,
    bench: Bench,
    clock: Option<Clock>,
    instruments: Instruments,
}

/// A bench and what is known of it.
///
/// While a hunt goes on the bench is the truck as a person has to take it, with the same done to it and without the
/// fault: whatever is read off it can give nothing away. The truck with the fault is the hunt's alone.
#[derive(Debug)]
pub struct Session {
    bench: Bench,
    hunted: Option<Hunted>,
    live: Option<Bench>,
    clock: Option<Clock>,
    visited: Option<(f64, f64, Setting, Setting)>,
    /// Grows with every change of what is shown.
    stamp: u64,
    verdict: Verdict,
    /// What the layout is of.
    laid_out: Arc<Circuit>,
    layout: Layout,
    extent: Extent,
    drawn_for: Option<DrawnFor>,
    sheet: Arc<Sheet>,
    foreseen: Option<(u64, String, Result<Foreseen, Refusal>)>,
    taken: Vec<Taken>,
    taken_for: Option<(u64, Instruments)>,
    read_ahead: Option<ReadAhead>,
}

impl Session {
    /// The circuit as built.
    pub fn new(circuit: Circuit) -> Self {
        Self::on(Bench::new(Arc::new(circuit)))
    }

    /// A bench as it stands.
    pub fn on(bench: Bench) -> Self {
        let laid_out = bench.circuit_shared();
        let (layout, extent) = laid(&laid_out);
        let verdict = verdict(&bench);
        Self {
            bench,
            hunted: None,
            live: None,
            clock: None,
            visited: None,
            stamp: 0,
            verdict,
            laid_out,
            layout,
            extent,
            drawn_for: None,
            sheet: Arc::new(Sheet::default()),
            foreseen: None,
            taken: Vec::new(),
            taken_for: None,
            read_ahead: None,
        }
    }

    /// The bench as it is shown: the real one, or the copy a drag is trying.
    pub fn bench(&self) -> &Bench {
        match (&self.clock, &self.live) {
            (Some(clock), _) => clock.shown(),
            (None, Some(live)) => live,
            (None, None) => &self.bench,
        }
    }

    /// The clock, if it is out.
    pub fn clock(&self) -> Option<&Clock> {
        self.clock.as_ref()
    }

    /// Takes the clock out and starts it on the bench as it stands, or puts it away: conditions then stay as they had
    /// become, set in `units`, and the circuit stands as it would after a long time under them.
    pub fn take_clock(&mut self, out: bool, units: Units) {
        match self.clock.take() {
            _ if out => self.clock = Some(Clock::on(self.bench.clone())),
            Some(clock) => keep_conditions(&mut self.bench, clock.shown(), units),
            None => {}
        }
        self.changed();
    }

    /// Takes up a clock that was started on such a bench and has gone so far, with what was done on the way.
    pub fn take_clock_again(&mut self, start: Bench, did: impl IntoIterator<Item = (f64, Action)>, at_s: f64) {
        let circuit = start.circuit_shared();
        let deed = |(at_s, action): (f64, Action)| Deed { at_s, words: words::action(&circuit, &action), action };
        let clock = Clock::again(start, did.into_iter().map(deed).collect::<Vec<_>>(), at_s);
        self.bench = clock.bench().clone();
        self.clock = Some(clock);
        self.changed();
    }

    /// When each step that is done was done on the clock; all before it where none is out.
    pub fn times(&self) -> Times {
        let standing = || {
            let before_clock = self.bench.journal().count();
            Times { before_clock, moments: vec![0.0; before_clock], now_s: 0.0 }
        };
        self.clock.as_ref().map_or_else(standing, Clock::times)
    }

    /// What was done, as it would remain if the window closed now: a clock put away, its conditions set in `units`, and
    /// behind a hunt what waits until it is put away.
    pub fn journal(&self, units: Units) -> Journal {
        let (bench, clock) = match &self.hunted {
            Some(hunted) => (&hunted.bench, &hunted.clock),
            None => (&self.bench, &self.clock),
        };
        let Some(clock) = clock else { return Journal::of(bench) };
        let mut bench = bench.clone();
        keep_conditions(&mut bench, clock.shown(), units);
        Journal::of(&bench)
    }

    /// Does something with the clock; why time cannot go on, if it has just stopped by itself.
    pub fn with_clock(&mut self, act: impl FnOnce(&mut Clock)) -> Option<Refusal> {
        let clock = self.clock.as_mut()?;
        let before = clock.shown().outcome().clone();
        act(clock);
        let stopped = clock.take_stop();
        self.bench = clock.bench().clone();
        // Only what is drawn makes a new drawing: pressures stand in the chain and on the gauges.
        let after = clock.shown().outcome();
        let same = before.memory == after.memory && before.volts == after.volts && before.wire_amps == after.wire_amps;
        if same {
            self.judge();
        } else {
            self.changed();
        }
        stopped
    }

    /// The hunt on the bench, under way or over.
    pub fn hunt(&self) -> Option<&Hunt> {
        self.hunted.as_ref().map(|hunted| &hunted.hunt)
    }

    /// What eyes tell of the truck with the hidden fault; none where everything may be seen.
    pub fn eyes(&self) -> Option<&Eyes> {
        self.hunted.as_ref().filter(|hunted| !hunted.hunt.is_over()).map(|hunted| &hunted.eyes)
    }

    /// What a hunt came to, once it is over.
    pub fn report(&self) -> Option<&Report> {
        self.hunted.as_ref()?.report.as_ref()
    }

    /// Sets what is on the bench aside for a hunt in the same circuit.
    pub fn begin_hunt(&mut self, hunt: Hunt, instruments: Instruments) {
        (self.live, self.visited) = (None, None);
        let whole = Bench::new(self.bench.circuit_shared());
        let bench = std::mem::replace(&mut self.bench, whole);
        let eyes = hunt.seen();
        self.hunted = Some(Hunted { hunt, eyes, report: None, bench, clock: self.clock.take(), instruments });
        self.changed();
    }

    /// Puts the hunt away; what stood on the bench before stands there again. Yields the instruments as they were.
    pub fn end_hunt(&mut self) -> Option<Instruments> {
        let Hunted { bench, clock, instruments, .. } = self.hunted.take()?;
        (self.bench, self.clock) = (bench, clock);
        (self.live, self.visited) = (None, None);
        self.changed();
        Some(instruments)
    }

    /// The instruments as they were before the hunt on the bench.
    pub fn instruments_aside(&self) -> Option<&Instruments> {
        self.hunted.as_ref().map(|hunted| &hunted.instruments)
    }

    /// Does something in a hunt. Once it is over everything may be seen, and is on the bench.
    ///
    /// # Errors
    /// What the hunt refuses, with its mend; anything where there is none.
    pub fn play<T>(&mut self, step: impl FnOnce(&mut Hunt) -> Result<T, Refusal>) -> Result<T, Refusal> {
        let Some(hunted) = &mut self.hunted else {
            return Err(Refusal::new(t!("session-there-is-no-hunt"), t!("session-begin-one")));
        };
        let done = step(&mut hunted.hunt)?;
        if let Some(truck) = hunted.hunt.revealed().filter(|_| hunted.report.is_none()) {
            self.bench = truck.clone();
            hunted.report = Some(hunted.hunt.report());
        } else {
            hunted.eyes = hunted.hunt.seen();
        }
        self.changed();
        Ok(done)
    }

    /// Reads in a hunt with an instrument that is on wholly, at the cost of minutes. Beside the reading stands only what
    /// is known of the instrument itself.
    ///
    /// # Errors
    /// What the hunt refuses, with its mend.
    pub fn read_in_hunt(&mut self, instruments: &Instruments, device: Device) -> Result<(), Refusal> {
        let Some(reading) = instruments.as_on(self.bench()).reading(device) else { return Ok(()) };
        let without_fault = self.read(&reading).ok().filter(|shown| shown.disturbs.is_some());
        let real = self.play(|hunt| hunt.read(&reading))?;
        let (notes, disturbs) = without_fault.map_or_else(Default::default, |shown| (shown.notes, shown.disturbs));
        self.take_readings(instruments);
        self.taken.retain(|taken| taken.device != device);
        self.taken.push(Taken { device, shown: Ok(Shown { notes, disturbs, meanwhile: None, ..real }) });
        Ok(())
    }

    /// What of the page the circuit as built covers.
    pub fn extent(&self) -> Extent {
        self.extent
    }

    /// The verdict on what is shown.
    pub fn verdict(&self) -> &Verdict {
        &self.verdict
    }

    /// Changes the bench.
    ///
    /// # Errors
    /// What the bench refuses, with its mend.
    pub fn apply(&mut self, action: Action) -> Result<(), Refusal> {
        self.live = None;
        self.visited = None;
        if self.eyes().is_some() {
            self.play(|hunt| hunt.apply(&action))?;
            // What the truck without the fault cannot have, such as a fuse that is whole renewed, changes nothing there.
            let _ = self.bench.apply(action);
            self.changed();
            return Ok(());
        }
        let done = match &mut self.clock {
            Some(clock) => {
                let words = words::action(self.bench.circuit(), &action);
                let done = clock.apply(action, words);
                self.bench = clock.bench().clone();
                done
            }
            None => self.bench.apply(action),
        };
        self.changed();
        done
    }

    /// Shows what a setting would come to, from where the drag has been so far.
    pub fn try_setting(&mut self, setting: Setting) {
        if let Some(clock) = &mut self.clock {
            clock.feel(setting);
            self.changed();
            return;
        }
        let mut live = self.live.take().unwrap_or_else(|| self.bench.clone());
        // A setting is never refused; if one ever is, the copy simply stays as it was.
        if live.apply(Action::Set(setting)).is_ok() {
            let value = value_of(setting);
            let (low, high, at_low, at_high) = self.visited.unwrap_or((value, value, setting, setting));
            let (low, at_low) = if value < low { (value, setting) } else { (low, at_low) };
            let (high, at_high) = if value > high { (value, setting) } else { (high, at_high) };
            self.visited = Some((low, high, at_low, at_high));
        }
        self.live = Some(live);
        self.changed();
    }

    /// Makes the change a drag ended on: one step for undo. Where the drag went past a set point and came back, what
    /// it did there counts, so the extreme it went to is a step of its own.
    ///
    /// # Errors
    /// What the bench refuses, with its mend.
    pub fn let_go(&mut self, setting: Setting) -> Result<(), Refusal> {
        if self.clock.is_some() || self.eyes().is_some() {
            return self.apply(Action::Set(setting));
        }
        self.try_setting(setting);
        let tried = self.live.take().map(|live| live.outcome().memory.clone());
        let visited = self.visited.take();
        let mut direct = self.bench.clone();
        direct.apply(Action::Set(setting))?;
        if tried.as_ref() != Some(&direct.outcome().memory)
            && let Some((_, _, at_low, at_high)) = visited
        {
            for extreme in [at_low, at_high] {
                let mut by_way = self.bench.clone();
                by_way.apply(Action::Set(extreme))?;
                by_way.apply(Action::Set(setting))?;
                if tried.as_ref() == Some(&by_way.outcome().memory) {
                    self.bench = by_way;
                    self.changed();
                    return Ok(());
                }
            }
        }
        self.bench = direct;
        self.changed();
        Ok(())
    }

    /// Judges what is shown. Of a truck with a hidden fault the fan is seen, and what is told of it is what eyes see.
    fn judge(&mut self) {
        let mut verdict = verdict(self.bench());
        if let Some(eyes) = self.eyes() {
            hazard::forget_the_fan(&mut verdict.hazards, self.bench(), eyes.danger.as_ref());
        }
        self.verdict = verdict;
    }

    fn changed(&mut self) {
        self.stamp += 1;
        self.judge();
        let circuit = self.bench().circuit_shared();
        if !Arc::ptr_eq(&circuit, &self.laid_out) {
            (self.layout, self.extent) = laid(&circuit);
            self.laid_out = circuit;
        }
    }

    /// Where everything is on the drawing.
    pub fn layout(&self) -> &Layout {
        &self.layout
    }

    /// The drawing, drawn anew only where something it shows has changed.
    pub fn sheet(
        &mut self,
        (symbols, readings): (Symbols, bool),
        highlighted: &BTreeSet<Subject>,
        instruments: &Instruments,
    ) -> Arc<Sheet> {
        let (highlighted, instruments) = (highlighted.clone(), instruments.clone());
        let (language, measure) = (tongue::spoken(), tongue::measured());
        let wanted = DrawnFor { stamp: self.stamp, symbols, readings, highlighted, instruments, language, measure };
        if self.drawn_for.as_ref() != Some(&wanted) {
            let bench = self.bench();
            let mut show = match self.eyes() {
                Some(eyes) => showing::by_eye(bench, eyes, symbols, wanted.highlighted.clone()),
                None => showing::show(bench, symbols, readings, wanted.highlighted.clone()),
            };
            show.measure = measure;
            show.instruments = showing::instruments(bench, &wanted.instruments, &self.taken);
            let picture = drawing::draw(&self.layout, bench.circuit(), &show.in_language(language));
            let picture = picture.in_language(language);
            self.sheet = Arc::new(Sheet::of(picture, bench, &self.sheet));
            self.drawn_for = Some(wanted);
        }
        Arc::clone(&self.sheet)
    }

    /// The drawing as it was last drawn.
    pub fn drawn(&self) -> Arc<Sheet> {
        Arc::clone(&self.sheet)
    }

    /// What acts done one after the other would come to, worked out once for each state and acts.
    ///
    /// # Errors
    /// Where the bench would refuse one of them.
    pub fn foresee(&mut self, acts: &[Act]) -> &Result<Foreseen, Refusal> {
        let words = acts.iter().map(Act::in_full).collect::<Vec<_>>().join(";");
        let known = matches!(&self.foreseen, Some((stamp, of, _)) if *stamp == self.stamp && *of == words);
        if !known {
            let foreseen = self.work_out(acts);
            self.foreseen = Some((self.stamp, words, foreseen));
        }
        &self.foreseen.as_ref().expect("set just above if it was not there").2
    }

    /// Takes the readings of everything that is on, anew only where something has changed.
    pub fn take_readings(&mut self, instruments: &Instruments) {
        let known = matches!(&self.taken_for, Some((stamp, of)) if *stamp == self.stamp && of == instruments);
        if known {
            return;
        }
        self.taken.clear();
        let now = instruments.as_on(self.bench());
        // In a hunt a reading is taken when it is asked for, and counts.
        let devices = Device::ALL.iter().filter(|_| self.hunted.as_ref().is_none_or(|hunted| hunted.hunt.is_over()));
        for device in devices.copied().collect::<Vec<_>>() {
            if let Some(reading) = now.reading(device) {
                let shown = self.read(&reading);
                self.taken.push(Taken { device, shown });
            }
        }
        self.taken_for = Some((self.stamp, instruments.clone()));
    }

    /// What the instruments that are on show.
    pub fn taken(&self) -> &[Taken] {
        &self.taken
    }

    /// The pressures at the supply and at the clutch in kPa; none where there is no clutch.
    pub fn gauges(&self) -> [Option<f64>; 2] {
        if let Some(eyes) = self.eyes() {
            return [Some(eyes.supply_kpa), None];
        }
        if let Some(moment) = self.clock.as_ref().and_then(|clock| clock.moment()) {
            return [Some(moment.supply_kpa), Some(moment.clutch_kpa)];
        }
        [Some(self.bench().outcome().supply_kpa), self.bench().outcome().chamber_kpa]
    }

    /// What would be read, or why it cannot be, worked out once for each state and reading.
    pub fn read_ahead(&mut self, instruments: &Instruments, reading: &Reading) -> Arc<Result<Shown, Refusal>> {
        let known = self.read_ahead.as_ref();
        let known = known.filter(|r| r.stamp == self.stamp && r.on == *instruments && r.reading == *reading);
        if let Some(known) = known {
            return Arc::clone(&known.shown);
        }
        let shown = Arc::new(self.read(reading));
        let (on, reading) = (instruments.clone(), reading.clone());
        self.read_ahead = Some(ReadAhead { stamp: self.stamp, on, reading, shown: Arc::clone(&shown) });
        shown
    }

    /// A clamp reads the circuit as it is with whatever else is on it; each of the others is taken by itself.
    fn read(&self, reading: &Reading) -> Result<Shown, Refusal> {
        let bench = self.bench();
        let loaded = self.taken.iter().find_map(|taken| taken.shown.as_ref().ok()?.meanwhile.as_ref());
        let outcome = match reading {
            Reading::Clamp(_) => loaded.unwrap_or(bench.outcome()),
            Reading::Across { .. } | Reading::Amps(_) | Reading::Gauge(_) | Reading::Fan => bench.outcome(),
        };
        read_in(bench.circuit(), bench.inputs(), outcome, reading)
    }

    fn work_out(&self, acts: &[Act]) -> Result<Foreseen, Refusal> {
        let after = preview(self.bench(), acts)?;
        let hazards = after.verdict.hazards.into_iter().filter(|h| h.kind != HazardKind::LeftChanged).collect();
        let blown = |bench: &Bench| -> BTreeSet<String> {
            let circuit = bench.circuit();
            let parts = circuit.parts_with_ids().filter(|(id, _)| bench.outcome().memory.of(*id).blown);
            parts.map(|(_, part)| part.tag.clone()).collect()
        };
        let mut opens: Vec<String> = blown(&after.bench).difference(&blown(self.bench())).cloned().collect();
        let leads = |bench: &Bench| bench.outcome().memory.blown_leads.len();
        if leads(&after.bench) > leads(self.bench()) {
            opens.push(t!("session-the-leads-fuse").to_owned());
        }
        let because = difference(self.bench(), &after.bench);
        Ok(Foreseen { before: self.verdict.standing, after: after.verdict.standing, hazards, opens, because })
    }
}

/// Where everything of a circuit goes, and what of the page it covers: as built, so that leads and lifted ends do not make
/// the drawing jump.
fn laid(circuit: &Circuit) -> (Layout, Extent) {
    let layout = Layout::of(circuit);
    let extent = extent(&drawing::draw(&layout, circuit, &Show::as_built(circuit)));
    (layout, extent)
}

/// Brings the conditions of a bench that drift with time to where they stand in `reached`, sensors and set points with them:
/// one between its points has come there from the side that its memory tells.
fn keep_conditions(bench: &mut Bench, reached: &Bench, units: Units) {
    const DRIFTING: [Condition; 4] = [Condition::Coolant, Condition::Oil, Condition::Refrigerant, Condition::Air];
    let now = *reached.conditions();
    let setting = |condition: Condition| condition.setting(condition.now(&now, units), units);
    let is_moved = |bench: &Bench, condition: Condition| {
        (condition.now(bench.conditions(), units) - condition.now(&now, units)).abs() > LEAST_DRIFT
    };
    for condition in DRIFTING {
        if !is_moved(bench, condition) {
            continue;
        }
        let mut set = vec![setting(condition)];
        let mut direct = bench.clone();
        // A setting is never refused; if one ever is, the condition stays as it was.
        if direct.apply(Action::Set(set[0])).is_err() {
            continue;
        }
        for (mark, then) in condition.marks(&direct, units).iter().zip(condition.marks(reached, units)) {
            if mark.acted != then.acted {
                let (act, back) = just_past(&then.point);
                set.insert(0, if then.acted { act } else { back });
            }
        }
        for setting in set {
            if bench.apply(Action::Set(setting)).is_err() {
                break;
            }
        }
    }
}

fn value_of(setting: Setting) -> f64 {
    match setting {
        Setting::Key(on) | Setting::Bolts(on) => f64::from(u8::from(on)),
        Setting::Engine(rpm) => rpm,
        Setting::Coolant(level)
        | Setting::Intake(level)
        | Setting::Oil(level)
        | Setting::Refrigerant(level)
        | Setting::Air(level)
        | Setting::Ambient(level) => level.value(),
    }
}
