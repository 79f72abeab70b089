//! The bench's clock in the window: a run that plays, pauses, steps and goes back, and all that was seen of it.
//!
//! Yields [`Clock`]. Time passes only while it plays; going back takes up a run kept on the way, and what came after
//! stays at hand until something new is done. What happens is the bench's [`Live`]'s business, how it looks the panel's. No egui here.

use crate::bench::demonstration::Times;
use crate::bench::live::Live;
use crate::bench::{Action, Bench, Refusal, Setting};
use crate::physics::time::{Event, Moment, TOLERANCE};

/// Seconds between two moments that are kept.
const EVERY_S: f64 = 0.05;
/// Most runs kept to go back to; every second one is let go of when there are more.
const MOST_KEPT: usize = 240;
/// How many seconds of truck time there can be to a second.
pub const SPEEDS: [f64; 4] = [1.0, 10.0, 60.0, 300.0];
/// Longest stretch of truck time in one frame, in seconds: a window that was asleep does not leap.
const LONGEST_S: f64 = 30.0;

/// Something done at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Deed {
    /// When, in seconds since the clock was started.
    pub at_s: f64,
    /// What, in words.
    pub words: String,
    /// What.
    pub action: Action,
}

/// What came after a moment, to be taken up again.
#[derive(Clone, Debug)]
struct Ahead {
    live: Live,
    kept: Vec<Live>,
    moments: Vec<Moment>,
    done: Vec<Deed>,
}

/// A clock on a bench.
#[derive(Clone, Debug)]
pub struct Clock {
    /// The bench as it stood when the clock was started.
    start: Bench,
    live: Live,
    shown: Bench,
    kept: Vec<Live>,
    keep_every_s: f64,
    moments: Vec<Moment>,
    done: Vec<Deed>,
    turned: f64,
    /// What came after the moment that was gone back to.
    ahead: Option<Box<Ahead>>,
    /// Why time cannot go on, until it is let pass again.
    stopped_by: Option<Refusal>,
    /// Time passes.
    pub playing: bool,
    /// Seconds of truck time to a second.
    pub speed: f64,
}

impl Clock {
    /// Starts the clock at nought on a bench as it stands.
    pub fn on(bench: Bench) -> Self {
        let live = Live::of(bench.clone(), TOLERANCE);
        let (shown, moments, kept) = (live.shown(), vec![live.moment()], vec![live.clone()]);
        Self {
            start: bench,
            live,
            shown,
            kept,
            keep_every_s: 1.0,
            moments,
            done: Vec::new(),
            turned: 0.0,
            ahead: None,
            stopped_by: None,
            playing: false,
            speed: 1.0,
        }
    }

    /// A clock that was started on such a bench and has gone so far, with all that was done on the way. What cannot be
    /// done again is left out.
    pub fn again(start: Bench, deeds: impl IntoIterator<Item = Deed>, at_s: f64) -> Self {
        let mut clock = Self::on(start);
        for deed in deeds {
            clock.run_on_to(deed.at_s);
            // A circuit that cannot have it has said so where it was read.
            let _ = clock.apply(deed.action, deed.words);
        }
        clock.run_on_to(at_s);
        clock
    }

    /// The bench as it stood when the clock was started.
    pub fn start(&self) -> &Bench {
        &self.start
    }

    /// When each step that is done on the bench was done.
    pub fn times(&self) -> Times {
        let mut moments = vec![0.0; self.start.journal().count()];
        let mut undone = vec![0.0; self.start.undone().count()];
        let mut before_clock = moments.len();
        for deed in &self.done {
            match deed.action {
                Action::Undo => undone.extend(moments.pop()),
                Action::Redo => moments.extend(undone.pop().map(|_| deed.at_s)),
                _ => {
                    undone.clear();
                    moments.push(deed.at_s);
                }
            }
            before_clock = before_clock.min(moments.len());
        }
        moments.resize(self.bench().journal().count(), 0.0);
        Times { before_clock, moments, now_s: self.at_s() }
    }

    /// Runs on to a moment; one that has been is no way to go.
    pub fn run_on_to(&mut self, at_s: f64) {
        if at_s > self.at_s() {
            self.run_to(at_s);
        }
    }

    /// The bench at this moment.
    pub fn shown(&self) -> &Bench {
        &self.shown
    }

    /// The bench that decides what may be done.
    pub fn bench(&self) -> &Bench {
        self.live.bench()
    }

    /// Seconds since the clock was started.
    pub fn at_s(&self) -> f64 {
        self.live.at_s()
    }

    /// This moment; none where no valve feeds a clutch.
    pub fn moment(&self) -> Option<Moment> {
        self.shown.outcome().clutch.map(|_| self.live.moment())
    }

    /// All moments so far, in order.
    pub fn moments(&self) -> &[Moment] {
        &self.moments
    }

    /// What happened by itself so far.
    pub fn events(&self) -> &[Event] {
        self.live.events()
    }

    /// What was done so far, with its moment.
    pub fn done(&self) -> &[Deed] {
        &self.done
    }

    /// Why time has just stopped by itself, told once.
    pub fn take_stop(&mut self) -> Option<Refusal> {
        self.stopped_by.take()
    }

    /// Makes a change at this moment; `words` say what.
    ///
    /// # Errors
    /// What the bench refuses, with its mend.
    pub fn apply(&mut self, action: Action, words: String) -> Result<(), Refusal> {
        self.live.apply(action.clone())?;
        self.ahead = None;
        self.done.push(Deed { at_s: self.at_s(), words, action });
        self.kept.push(self.live.clone());
        self.note();
        self.look();
        Ok(())
    }

    /// Lets the circuit feel a setting while it is still being dragged.
    pub fn feel(&mut self, setting: Setting) {
        self.live.feel(setting);
        self.ahead = None;
        self.note();
        self.look();
    }

    /// How far the fan has turned on screen, in radians: a hundredth of its speed, so that the eye can follow.
    pub fn fan_radians(&self) -> f32 {
        (self.turned % std::f64::consts::TAU) as f32
    }

    /// Lets `seconds` pass at the clock's speed.
    pub fn pass(&mut self, seconds: f64) {
        self.turned += self.live.moment().fan_rpm / 60.0 * std::f64::consts::TAU * 0.01 * seconds;
        self.run_to(self.at_s() + (seconds * self.speed).min(LONGEST_S));
    }

    /// Runs on by one step, a tenth of a second at the clock's speed.
    pub fn step(&mut self) {
        self.run_to(self.at_s() + 0.1 * self.speed);
    }

    fn run_to(&mut self, to_s: f64) {
        self.ahead = None;
        let first = (self.at_s() / EVERY_S).floor() as u64 + 1;
        let times: Vec<f64> = (first..).map(|i| i as f64 * EVERY_S).take_while(|t| *t <= to_s).collect();
        let moments = &mut self.moments;
        let went = self.live.advance(to_s, &times, |moment| moments.push(moment));
        if let Err(refusal) = went {
            self.playing = false;
            self.stopped_by = Some(refusal);
        }
        if self.kept.last().is_none_or(|last| to_s - last.at_s() >= self.keep_every_s) {
            self.kept.push(self.live.clone());
        }
        if self.kept.len() > MOST_KEPT {
            let mut place = 0;
            self.kept.retain(|_| {
                place += 1;
                place % 2 == 1
            });
            self.keep_every_s *= 2.0;
        }
        self.look();
    }

    /// Goes back to a moment that has been. What came after can be taken up by [`Clock::forward`].
    pub fn back_to(&mut self, at_s: f64) {
        let at_s = at_s.clamp(0.0, self.at_s());
        let Some(last) = self.kept.iter().rev().find(|run| run.at_s() <= at_s) else { return };
        let mut live = last.clone();
        // It went this way before; where it cannot now, it stands where it got to.
        if let Err(refusal) = live.advance(at_s, &[], |_| {}) {
            self.stopped_by = Some(refusal);
        }
        let now = std::mem::replace(&mut self.live, live);
        let mut ahead = Ahead {
            live: now,
            kept: self.kept.split_off(self.kept.partition_point(|run| run.at_s() <= at_s)),
            moments: self.moments.split_off(self.moments.partition_point(|moment| moment.at_s <= at_s)),
            done: self.done.split_off(self.done.partition_point(|deed| deed.at_s <= at_s)),
        };
        if let Some(further) = self.ahead.take() {
            let Ahead { live, kept, moments, done } = *further;
            ahead.live = live;
            ahead.kept.extend(kept);
            ahead.moments.extend(moments);
            ahead.done.extend(done);
        }
        self.ahead = Some(Box::new(ahead));
        self.playing = false;
        self.look();
    }

    /// The latest moment that can be gone forward to again, if there is one.
    pub fn ahead_s(&self) -> Option<f64> {
        self.ahead.as_ref().map(|ahead| ahead.live.at_s())
    }

    /// Takes up again what came after, up to the latest moment that has been.
    pub fn forward(&mut self) {
        let Some(ahead) = self.ahead.take() else { return };
        let Ahead { live, kept, moments, done } = *ahead;
        self.live = live;
        self.kept.extend(kept);
        self.moments.extend(moments);
        self.done.extend(done);
        self.playing = false;
        self.look();
    }

    /// Takes note of this moment as it has just become: beside the one before the change, in place of what it was in
    /// between.
    fn note(&mut self) {
        let now = self.live.moment();
        if let [.., before, last] = self.moments.as_mut_slice()
            && before.at_s == now.at_s
        {
            *last = now;
        } else {
            self.moments.push(now);
        }
    }

    fn look(&mut self) {
        self.shown = self.live.shown();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::Clock;
    use crate::bench::{Action, Bench};
    use crate::circuit::format::read;
    use crate::circuit::shipped::SHIPPED;

    fn clock() -> Clock {
        let text = SHIPPED.iter().find(|(name, _)| *name == "parallel-open").unwrap().1;
        Clock::on(Bench::new(Arc::new(read(text).circuit.unwrap())))
    }

    #[test]
    fn going_back_takes_up_the_run_as_it_was_and_forward_brings_the_rest_again() {
        let mut clock = clock();
        clock.pass(1.0);
        clock.apply(Action::Do("jump:B1.1=B1.2".parse().unwrap()), "a lead".to_owned()).unwrap();
        clock.pass(3.0);
        let full = clock.moments().last().unwrap().clutch_kpa;
        assert!(full > 700.0, "{full}");

        clock.back_to(0.5);

        assert_eq!(clock.at_s(), 0.5);
        assert!(clock.done().is_empty() && clock.bench().changes().is_empty());
        assert!(clock.moments().iter().all(|m| m.at_s <= 0.5 && m.clutch_kpa < 1e-6));
        clock.back_to(0.2);
        assert_eq!(clock.ahead_s(), Some(4.0));
        clock.forward();
        assert_eq!((clock.at_s(), clock.done().len(), clock.bench().changes().len()), (4.0, 1, 1));
        assert_eq!(clock.moments().last().unwrap().clutch_kpa, full);
        assert!(clock.moments().windows(2).all(|pair| pair[0].at_s <= pair[1].at_s));
        // Only what is done is seen twice at its moment: before it, and after.
        assert!(clock.moments().windows(3).all(|three| three[0].at_s < three[2].at_s));
        assert_eq!(clock.moments().windows(2).filter(|pair| pair[0].at_s == pair[1].at_s).count(), 1);

        clock.back_to(0.5);
        clock.pass(0.2);
        assert!((clock.at_s() - 0.7).abs() < 1e-9);
        assert_eq!(clock.ahead_s(), None, "time has gone another way");
    }

    #[test]
    fn a_clock_taken_up_again_stands_where_it_stood() {
        let mut clock = clock();
        clock.pass(1.0);
        for act in ["turn:S2=on", "jump:B1.1=B1.2"] {
            clock.apply(Action::Do(act.parse().unwrap()), act.to_owned()).unwrap();
            clock.pass(0.4);
        }
        clock.apply(Action::Undo, "back".to_owned()).unwrap();
        clock.pass(0.3);

        let again = Clock::again(clock.start().clone(), clock.done().to_vec(), clock.at_s());

        assert_eq!((again.at_s(), again.done()), (clock.at_s(), clock.done()));
        assert_eq!(again.bench().changes(), clock.bench().changes());
        let [now, was] = [&again, &clock].map(|clock| clock.moments().last().unwrap().clutch_kpa);
        assert!(was > 100.0 && (now - was).abs() < 1e-3 * was, "{now} {was}");
        let times = clock.times();
        assert_eq!((times.before_clock, times.moments), (0, vec![1.0]));
    }

    #[test]
    fn time_stands_still_until_it_is_let_pass() {
        let mut clock = clock();
        clock.apply(Action::Do("jump:B1.1=B1.2".parse().unwrap()), "a lead".to_owned()).unwrap();
        assert_eq!(clock.at_s(), 0.0);
        assert_eq!(clock.shown().outcome().chamber_kpa, Some(0.0), "the valve passes, and no air has come yet");
    }
}
