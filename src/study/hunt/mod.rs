//! A hidden fault to be hunted: planted by a seed, complained of by a driver, measured at the cost of minutes, guessed,
//! and set beside the best course known.
//!
//! Plain data and functions on a [`Bench`], so that a line on standard input and a window play it alike. What may be
//! shown of the truck is only what eyes would see ([`Hunt::seen`]); everything else has to be read. A guess is right
//! where nothing could have told it from the truth. The seed comes from outside: the same seed hides the same fault.

mod complaint;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Fault, Reading, Refusal, Start};
use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::limits::{LAMP_BRIGHT_SHARE, LAMP_GLOWS_SHARE};
use crate::physics::meter::Glow;

use super::answer::{Hazard, HazardKind, Level, Standing};
use super::explain::standing;
use super::find::minutes::{Place, places_of, places_of_act};
use super::find::suspect::singles;
use super::find::{Case, Options, Outlook, Suspect, Test};
use super::hazard;
use super::meter::{Shown, read};
use super::progress::Progress;
use crate::words::{Words, say};
use complaint::Days;

/// What was done at one step.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// It in words, as a line of the game.
    pub did: String,
    /// What it showed.
    pub shows: Option<Words>,
    /// What it took, in minutes.
    pub minutes: f64,
    /// Dangers it brought about.
    pub dangers: usize,
}

/// What a person without any instrument sees and hears of the truck.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// What the fan does; none where there is no clutch.
    pub fan: Option<Standing>,
    /// What is dangerous about that.
    pub danger: Option<Hazard>,
    /// Lamps of the circuit that glow, by tag.
    pub lamps: Vec<(String, Glow)>,
    /// Fuses that have been looked at or renewed, by tag, and whether they were found blown.
    pub fuses: Vec<(String, bool)>,
    /// Acts in effect.
    pub acts: Vec<Act>,
    /// What the gauge in the dash shows of the air supply, in kPa.
    pub supply_kpa: f64,
}

/// What is said of a guess.
#[derive(Clone, Debug, PartialEq)]
pub struct Guess {
    /// What was guessed.
    pub fault: Fault,
    /// Whether it is the fault, or one that nothing tells from it.
    pub is_right: bool,
}

/// What a hunt comes to.
#[derive(Clone, Debug)]
pub struct Report {
    /// What was hidden.
    pub hidden: Fault,
    /// Faults that nothing tells from it.
    pub alike: Vec<Fault>,
    /// Whether it was found.
    pub is_found: bool,
    /// The best course known, from the complaint to the fault.
    pub best: Vec<Test>,
    /// What that takes, in minutes.
    pub best_minutes: f64,
}

/// One hunt.
pub struct Hunt {
    options: Options,
    bench: Bench,
    suspects: Vec<Suspect>,
    outlook: Outlook,
    hidden: usize,
    complaint: Words,
    /// Classes of suspects of which the driver would have said the same.
    likely: Vec<usize>,
    taken: Vec<Taken>,
    guesses: Vec<Guess>,
    reached: BTreeSet<Place>,
    looked_at: BTreeSet<String>,
    is_over: bool,
}

impl Hunt {
    /// Hides a fault in a circuit, as common ones are likelier, and lets the driver speak. One that nobody could find
    /// (nothing tells it from a whole truck) is never hidden.
    ///
    /// # Errors
    /// A circuit in which no fault can be found.
    pub fn begin(circuit: Arc<Circuit>, seed: u64) -> Result<Self, Refusal> {
        Self::begin_with(circuit, seed, Options::default())
    }

    /// As [`Hunt::begin`], with weights, times, tolerances and instruments of one's own.
    ///
    /// # Errors
    /// As there.
    pub fn begin_with(circuit: Arc<Circuit>, seed: u64, options: Options) -> Result<Self, Refusal> {
        Self::begin_while_wanted(circuit, seed, options, &Progress::default())
    }

    /// The same with its progress told. Once it is stopped, what it yields means nothing.
    ///
    /// # Errors
    /// As there.
    pub fn begin_while_wanted(
        circuit: Arc<Circuit>,
        seed: u64,
        options: Options,
        progress: &Progress,
    ) -> Result<Self, Refusal> {
        let case = Case { circuit: Arc::clone(&circuit), settings: Vec::new(), acts: Vec::new(), known: Vec::new() };
        // A whole truck is among them, so that what looks like one is known.
        let suspects = singles(&circuit, &options.weights, options.healthy.max(f64::MIN_POSITIVE), &[]);
        let outlook = Outlook::of(&case, &options, &suspects, progress)?;
        let whole = outlook.classes().iter().position(|class| class.iter().any(|at| suspects[*at].is_healthy()));
        let days = Days::of(&case);
        let weight = |at: &usize| suspects[*at].weight;
        let findable: Vec<usize> = (0..suspects.len())
            .filter(|at| !whole.is_some_and(|whole| outlook.classes()[whole].contains(at)))
            .collect();
        let all: f64 = findable.iter().map(weight).sum();
        let mut left = share(seed) * all;
        let drawn = findable.iter().find(|at| {
            left -= weight(at);
            left < 0.0
        });
        let Some(hidden) = drawn.or(findable.last()).copied() else {
            return Err(Refusal::new(say!("hunt-no-fault-could-be-found-here"), say!("hunt-name-a-circuit-with")));
        };
        let complaint = days.with(&suspects[hidden]).complaint();
        let likely = |class: &Vec<usize>| class.iter().any(|at| days.with(&suspects[*at]).complaint() == complaint);
        let likely = (0..outlook.classes().len()).filter(|class| likely(&outlook.classes()[*class])).collect();
        let start = Start { settings: Vec::new(), faults: suspects[hidden].faults.clone() };
        Ok(Self {
            options,
            bench: Bench::started(circuit, start)?,
            suspects,
            outlook,
            hidden,
            complaint,
            likely,
            taken: Vec::new(),
            guesses: Vec::new(),
            reached: BTreeSet::new(),
            looked_at: BTreeSet::new(),
            is_over: false,
        })
    }

    /// What the driver says.
    pub fn complaint(&self) -> &Words {
        &self.complaint
    }

    /// Everything that may be hidden here, in the order of the list of faults.
    pub fn guessable(&self) -> impl Iterator<Item = &Fault> {
        self.suspects.iter().flat_map(|suspect| &suspect.faults)
    }

    /// What a reading would take now, in minutes, getting there included.
    pub fn minutes_to_read(&self, reading: &Reading) -> f64 {
        let circuit = self.bench.circuit();
        let new = places_of(circuit, reading).into_iter().filter(|place| !self.reached.contains(place));
        let there: f64 = new.map(|place| self.options.minutes.to_reach(circuit, place)).sum();
        self.options.minutes.to_read(reading) + there
    }

    /// The truck with everything about it to be seen; none while the hunt goes on.
    pub fn revealed(&self) -> Option<&Bench> {
        self.is_over.then_some(&self.bench)
    }

    /// The circuit, as drawn.
    pub fn circuit(&self) -> &Circuit {
        self.bench.circuit()
    }

    /// What has been done so far.
    pub fn taken(&self) -> &[Taken] {
        &self.taken
    }

    /// Guesses so far.
    pub fn guesses(&self) -> &[Guess] {
        &self.guesses
    }

    /// Minutes so far.
    pub fn minutes(&self) -> f64 {
        // An empty sum is a negative zero.
        self.taken.iter().map(|taken| taken.minutes).sum::<f64>() + 0.0
    }

    /// Whether it was found or given up.
    pub fn is_over(&self) -> bool {
        self.is_over
    }

    /// What eyes and ears tell, which costs nothing.
    pub fn seen(&self) -> Seen {
        let circuit = self.bench.circuit();
        let fan = circuit.clutch_valve().map(|_| standing(self.bench.outcome()));
        let lamps = circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Lamp(_)));
        let lamps = lamps.filter_map(|(id, part)| Some((part.tag.clone(), self.glow(id)?)));
        let is_blown = |tag: &str| circuit.part_named(tag).is_some_and(|id| self.is_blown(id));
        Seen {
            fan,
            danger: hazard::seen_on_the_fan(&self.bench),
            lamps: lamps.collect(),
            fuses: self.looked_at.iter().map(|tag| (tag.clone(), is_blown(tag))).collect(),
            acts: self.bench.acts().cloned().collect(),
            supply_kpa: self.bench.outcome().supply_kpa,
        }
    }

    fn is_blown(&self, fuse: PartId) -> bool {
        self.bench.outcome().memory.fuse_blown(self.bench.inputs(), fuse)
    }

    /// How a lamp of the circuit burns, by its share of the battery's volts; none where it is dark.
    fn glow(&self, lamp: PartId) -> Option<Glow> {
        let (circuit, outcome) = (self.bench.circuit(), self.bench.outcome());
        let volts = |place: usize| outcome.part_volts[circuit.terminal_at(lamp, place).index()];
        let full = circuit.battery().map_or(12.0, |(_, battery)| battery.volts);
        let share = (volts(0)? - volts(1)?).abs() / full;
        if share >= LAMP_BRIGHT_SHARE {
            return Some(Glow::Bright);
        }
        (share >= LAMP_GLOWS_SHARE).then_some(Glow::Dim)
    }

    /// Does something to the truck: an act, its putting back, a condition, a new fuse. Yields the dangers and warnings
    /// it brings.
    ///
    /// # Errors
    /// What this circuit, or its state, cannot have; what would give the fault away; anything once it is over.
    pub fn apply(&mut self, action: &Action) -> Result<Vec<Hazard>, Refusal> {
        self.still_on()?;
        let times = &self.options.minutes;
        let circuit = self.bench.circuit_shared();
        let (minutes, places, did) = match action {
            Action::Do(act) => (times.to_do(act), places_of_act(&circuit, act), format!("do {act}")),
            Action::PutBack(act) => (0.0, places_of_act(&circuit, act), format!("put-back {act}")),
            Action::Set(setting) => (times.to_bring(setting), Vec::new(), format!("set {setting}")),
            Action::ReplaceFuse(tag) => {
                let place = circuit.part_named(tag).map(Place::Part);
                (times.to_renew(), place.into_iter().collect(), format!("renew {tag}"))
            }
            Action::PutAllBack
            | Action::Plant(_)
            | Action::Repair(_)
            | Action::Build(_)
            | Action::Undo
            | Action::Redo => {
                return Err(Refusal::new(say!("hunt-knows-no-such-change"), say!("hunt-do-or-put-back-one-act")));
            }
        };
        let grave = |bench: &Bench| {
            let all = hazard::all(bench).into_iter();
            all.filter(|h| h.level != Level::Caution && h.kind != HazardKind::LeftChanged).collect::<Vec<_>>()
        };
        let before = grave(&self.bench);
        self.bench.apply(action.clone())?;
        if let Action::ReplaceFuse(tag) = action {
            self.looked_at.insert(tag.clone());
        }
        let is_new = |hazard: &Hazard| !before.iter().any(|old| (old.kind, &old.at) == (hazard.kind, &hazard.at));
        let brought: Vec<Hazard> = grave(&self.bench).into_iter().filter(is_new).collect();
        let dangers = brought.iter().filter(|hazard| hazard.level == Level::Danger).count();
        let minutes = minutes + self.reach(places);
        self.taken.push(Taken { did, shows: None, minutes, dangers });
        Ok(brought)
    }

    /// Reads an instrument.
    ///
    /// # Errors
    /// A reading this circuit, or its state, cannot have; anything once it is over.
    pub fn read(&mut self, reading: &Reading) -> Result<Shown, Refusal> {
        self.still_on()?;
        let shown = read(&self.bench, reading)?;
        let places = places_of(self.bench.circuit(), reading);
        let minutes = self.options.minutes.to_read(reading) + self.reach(places);
        let shows = Some(shown.value.words());
        self.taken.push(Taken { did: format!("read {reading}"), shows, minutes, dangers: 0 });
        Ok(shown)
    }

    /// Takes a fuse out and looks at it; whether it is blown.
    ///
    /// # Errors
    /// Where the circuit has no such fuse; anything once it is over.
    pub fn look(&mut self, fuse: &str) -> Result<bool, Refusal> {
        self.still_on()?;
        let circuit = self.bench.circuit();
        let id = circuit.part_named(fuse).ok_or_else(|| Refusal::no_part(circuit, fuse))?;
        if !matches!(circuit.part(id).kind, Kind::Fuse(_)) {
            return Err(Refusal::new(say!("bench-is-not-a-fuse", tag = fuse), say!("bench-name-a-fuse")));
        }
        let is_blown = self.is_blown(id);
        let minutes = self.options.minutes.to_look() + self.reach(vec![Place::Part(id)]);
        self.looked_at.insert(fuse.to_owned());
        let shows = Some(if is_blown { say!("study-hunt-blown") } else { say!("study-hunt-whole") });
        self.taken.push(Taken { did: format!("look {fuse}"), shows, minutes, dangers: 0 });
        Ok(is_blown)
    }

    /// Says what it is. A wrong guess costs what mending in vain takes, and the hunt goes on.
    ///
    /// # Errors
    /// A fault this circuit cannot have, or that is none of those hidden here; anything once it is over.
    pub fn guess(&mut self, fault: &Fault) -> Result<bool, Refusal> {
        self.still_on()?;
        let place = self.suspects.iter().position(|suspect| suspect.faults == [fault.clone()]);
        let place = place.or_else(|| self.of_its_sort(fault));
        let Some(place) = place else {
            let start = Start { settings: Vec::new(), faults: vec![fault.clone()] };
            Bench::started(self.bench.circuit_shared(), start)?;
            return Err(Refusal::new(say!("hunt-is-none-of-the-faults", fault), say!("hunt-guess-one-that-is-listed")));
        };
        let is_right = self.class_of(place) == self.class_of(self.hidden);
        self.guesses.push(Guess { fault: fault.clone(), is_right });
        self.is_over = is_right;
        let minutes = if is_right { 0.0 } else { self.options.minutes.to_mend_in_vain() };
        let shows = Some(if is_right { say!("hunt-right") } else { say!("hunt-wrong") });
        self.taken.push(Taken { did: format!("guess {fault}"), shows, minutes, dangers: 0 });
        Ok(is_right)
    }

    /// A guess whose amount is another than the one that stands for its sort here: of those of its sort at the same
    /// place the hidden one, if it is among them.
    fn of_its_sort(&self, fault: &Fault) -> Option<usize> {
        let without_amount = |fault: &Fault| match fault {
            Fault::Resist(..) | Fault::Ground(..) | Fault::Feed(..) | Fault::CoilShort(..) | Fault::Flat(..) => {
                fault.to_string().split('=').next().map(str::to_owned)
            }
            Fault::LeakHose(_) => Some("leak:hose".to_owned()),
            Fault::LeakChamber(_) => Some("leak:chamber".to_owned()),
            Fault::Worn(_) => Some("worn".to_owned()),
            _ => None,
        };
        let sort = without_amount(fault)?;
        let is_of_sort = |at: &usize| {
            let faults = &self.suspects[*at].faults;
            faults.first().and_then(without_amount).is_some_and(|other| other == sort)
        };
        std::iter::once(self.hidden).chain(0..self.suspects.len()).find(is_of_sort)
    }

    /// Ends it unfound.
    pub fn give_up(&mut self) {
        self.is_over = true;
    }

    /// What it came to. Only to be shown once it is over.
    pub fn report(&self) -> Report {
        let class = self.class_of(self.hidden);
        let fault = |at: usize| self.suspects[at].faults.first().cloned();
        let alike = self.outlook.classes()[class].iter().filter(|at| **at != self.hidden);
        let best = self.outlook.path_to(class, &self.likely);
        Report {
            hidden: fault(self.hidden).expect("a whole truck is never hidden"),
            alike: alike.filter_map(|at| fault(*at)).collect(),
            is_found: self.guesses.iter().any(|guess| guess.is_right),
            best_minutes: best.iter().map(|test| test.minutes).sum(),
            best,
        }
    }

    fn class_of(&self, suspect: usize) -> usize {
        let holds = |class: &Vec<usize>| class.contains(&suspect);
        self.outlook.classes().iter().position(holds).expect("every suspect is in a class")
    }

    fn still_on(&self) -> Result<(), Refusal> {
        if self.is_over {
            return Err(Refusal::new(say!("hunt-this-hunt-is-over"), say!("hunt-begin-another-one")));
        }
        Ok(())
    }

    /// Minutes to get to places for the first time.
    fn reach(&mut self, places: Vec<Place>) -> f64 {
        let circuit = self.bench.circuit_shared();
        let new = places.into_iter().filter(|place| self.reached.insert(*place));
        new.map(|place| self.options.minutes.to_reach(&circuit, place)).sum()
    }
}

/// Tells nothing: what is hidden stays hidden.
impl std::fmt::Debug for Hunt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Hunt").field("is_over", &self.is_over).finish_non_exhaustive()
    }
}

/// A number from 0 up to 1 that looks drawn at random, from a seed: SplitMix64's first (G. L. Steele, D. Lea and
/// C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014, from memory).
fn share(seed: u64) -> f64 {
    let mut z = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    // 53 bits are what a double holds.
    (z >> 11) as f64 / (1u64 << 53) as f64
}
