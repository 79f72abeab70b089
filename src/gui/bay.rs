//! One circuit that is open in the window, with everything that is its own.
//!
//! Yields [`Bay`]. Which of several is in front, and which is seen beside it, is [`row`](super::row)'s; what of the
//! window belongs to no single circuit is in [`Room`](super::seen::Room) and [`Look`](super::seen::Look).

use crate::bench::Action;

use super::board::board_ui::BoardState;
use super::clock::{Clock, SPEEDS};
use super::condition::Units;
use super::demonstrating::Demonstrating;
use super::instrument::Instruments;
use super::kept::KeptClock;
use super::panel::build::BuildState;
use super::panel::fault_table::FaultTableState;
use super::panel::find::FindState;
use super::panel::hunt::HuntState;
use super::papers::Papers;
use super::row::steps;
use super::seen::Desk;
use super::session::Session;
use super::stride::Strides;
use super::studies::Studies;
use super::tongue::t;

/// Longest run that is gone through again, in seconds of truck time: some tenths of a second of work.
const LONGEST_AGAIN_S: f64 = 4.0 * 3600.0;

/// What the drawers keep between frames.
#[derive(Debug, Default)]
pub struct Drawers {
    pub(super) faults: FaultTableState,
    pub(super) find: FindState,
    pub(super) hunt: HuntState,
    pub(super) build: BuildState,
}

/// Instruments that were put elsewhere by what was asked for together.
#[derive(Debug)]
struct Laid {
    /// How many steps were done before it, and with it.
    steps: (usize, usize),
    /// Where they were, and are.
    instruments: (Instruments, Instruments),
}

/// One circuit that is open.
#[derive(Debug)]
pub struct Bay {
    /// Its number in this window, for as long as it is open.
    pub number: u32,
    /// What it is called: its circuit's title, with a number where another of that title is open.
    pub name: String,
    /// The bench and what is worked out about it.
    pub session: Session,
    /// Which steps were asked for together.
    pub strides: Strides,
    /// Where those put the instruments too.
    laid: Vec<Laid>,
    /// The longer answers.
    pub studies: Studies,
    /// What is in hand and looked at.
    pub desk: Desk,
    /// What is seen of the drawing.
    pub board: BoardState,
    /// Its files.
    pub papers: Papers,
    /// The demonstration that is gone through.
    pub demonstrating: Option<Demonstrating>,
    pub(super) drawers: Drawers,
}

impl Bay {
    /// A bench as it stands, with its files.
    pub(super) fn new(session: Session, papers: Papers) -> Self {
        let name = session.bench().circuit().title().to_owned();
        Self {
            number: 0,
            name,
            session,
            strides: Strides::default(),
            laid: Vec::new(),
            studies: Studies::default(),
            desk: Desk::default(),
            board: BoardState::default(),
            papers,
            demonstrating: None,
            drawers: Drawers::default(),
        }
    }

    /// Remembers what was done since so many steps had been done, and the instruments stood so, as one thing. A hunt has
    /// its own bench, and nothing is undone there.
    pub(super) fn did_since(&mut self, before: usize, instruments: Instruments) {
        let after = steps(self);
        if after == before || self.session.hunt().is_some() {
            return;
        }
        self.strides.did(before, after);
        self.laid.retain(|laid| laid.steps.1 <= before.min(after));
        if after > before && instruments != self.desk.instruments {
            let instruments = (instruments, self.desk.instruments.clone());
            self.laid.push(Laid { steps: (before, after), instruments });
        }
    }

    /// Forgets what was done together: the steps are others now.
    pub(super) fn forget_strides(&mut self) {
        self.strides = Strides::default();
        self.laid.clear();
    }

    /// Puts the instruments where they were with so many steps done, or were put with them, where it has just come there
    /// from so many. Where a hand has put them elsewhere since, they stay.
    pub(super) fn lay_again(&mut self, from: usize, to: usize) {
        let is_way = |laid: &&Laid| laid.steps == (to, from) || laid.steps == (from, to);
        let Some(laid) = self.laid.iter().find(is_way) else { return };
        let (before, after) = &laid.instruments;
        let (were, are) = if to < from { (after, before) } else { (before, after) };
        if self.desk.instruments == *were {
            self.desk.instruments = are.clone();
        }
    }

    /// How many steps are done once this one, or what was done together with it, is undone or done again.
    pub(super) fn steps_after(&self, action: &Action) -> usize {
        let done = steps(self);
        match action {
            Action::Undo if self.session.hunt().is_none() => self.strides.undone(done),
            Action::Undo => done.saturating_sub(1),
            _ if self.session.hunt().is_none() => self.strides.redone(done),
            _ => done + 1,
        }
    }

    /// Takes a clock up where it stood; one that has gone on for very long starts anew, from the conditions as they had
    /// become.
    pub(super) fn take_clock_again(&mut self, clock: Option<&KeptClock>, units: Units) {
        let is_sound = |clock: &&KeptClock| {
            let is_past = |at_s: f64| (0.0..=clock.at_s).contains(&at_s);
            clock.at_s <= LONGEST_AGAIN_S && clock.did.iter().all(|(at_s, _)| is_past(*at_s))
        };
        let Some(clock) = clock.filter(is_sound) else {
            self.session.take_clock(true, units);
            return;
        };
        let (start, _) = clock.start.replay(self.papers.as_begun(self.session.bench()));
        self.session.take_clock_again(start, clock.did.iter().cloned(), clock.at_s);
        let speed = SPEEDS.into_iter().find(|speed| *speed == clock.speed).unwrap_or(1.0);
        self.with_clock(|again| again.speed = speed);
    }

    /// Does something with the clock; where time cannot go on, it is said why.
    pub(super) fn with_clock(&mut self, act: impl FnOnce(&mut Clock)) {
        if let Some(refusal) = self.session.with_clock(act) {
            self.desk.said = t!("app-the-clock-has-stopped", refusal);
        }
    }
}
