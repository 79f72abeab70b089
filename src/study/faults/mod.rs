//! What can go wrong with a circuit, how it shows, and what cannot be told apart.
//!
//! [`universe`] lists every single thing that can be wrong; [`scene`] is the truck asked about, [`states`] the states it
//! is led through, [`cases`] leads it, [`looks`] holds what is read and says what is alike. Here the table is put
//! together; [`why`] finds why faults look alike, [`beyond`] what other instruments would show, [`apart`] the tests
//! that tell two faults apart, [`pairs`] goes through two faults at a time, and [`words`] says it all. Finding a fault
//! from what was seen is left to the study of finds.

pub mod apart;
pub mod beyond;
mod cases;
pub mod looks;
pub mod naming;
pub mod pairs;
pub mod scene;
pub mod states;
pub mod universe;
pub mod why;
pub mod words;

use rayon::prelude::*;

use crate::bench::{Bench, Fault, Refusal};
use crate::circuit::{Circuit, Kind, TerminalId};
use crate::words::say;

use super::answer::Standing;
use super::progress::Progress;
use cases::{Rig, Truck};
use looks::{Look, Means, Readings, Seen};
pub use scene::Scene;
pub use states::{Purpose, State};

/// Where a fault first shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shows {
    /// In the state as it stands.
    Standing,
    /// Not before this state.
    Asked(usize),
    /// Nowhere.
    Nowhere,
}

/// Faults that no reading in any state tells apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its faults, by their places in [`FaultTable::faults`].
    pub members: Vec<usize>,
    /// The healthy circuit is one of them.
    pub is_healthy: bool,
    /// Each of its members is alike to each other one; else some are joined by others between them.
    pub is_close: bool,
}

/// Every single fault in every state at every point.
#[derive(Debug)]
pub struct FaultTable {
    /// The truck.
    pub scene: Scene,
    /// Every single fault that is not known to be there.
    pub faults: Vec<Fault>,
    /// Where the voltmeter is put.
    pub points: Vec<String>,
    /// The states.
    pub states: Vec<State>,
    /// Look-alikes, in the order of their first faults. A fault alike to no other is a group by itself.
    pub groups: Vec<Group>,
    terminals: Vec<TerminalId>,
    seen: Seen,
    healthy: Look,
    looks: Vec<Look>,
}

impl FaultTable {
    /// What is read with a fault, or with none more, in a state.
    pub fn readings(&self, fault: Option<usize>, state: usize) -> &Readings {
        self.seen.readings(self.look(fault)[state])
    }

    fn look(&self, fault: Option<usize>) -> &Look {
        fault.map_or(&self.healthy, |fault| &self.looks[fault])
    }

    /// Where a fault first shows.
    pub fn shows(&self, fault: usize) -> Shows {
        let differs = |state: &usize| self.apart(fault, *state).next().is_some();
        match (0..self.states.len()).find(differs) {
            Some(0) => Shows::Standing,
            Some(state) => Shows::Asked(state),
            None => Shows::Nowhere,
        }
    }

    /// By what a fault can be told from a healthy truck in a state.
    pub fn apart(&self, fault: usize, state: usize) -> impl Iterator<Item = Means> {
        self.readings(Some(fault), state).apart(self.readings(None, state))
    }

    /// States in which the circuit never rests with a fault.
    pub fn chatters_in(&self, fault: usize) -> Vec<usize> {
        let unsettled = |state: &usize| self.readings(Some(fault), *state).standing == Standing::Unsettled;
        (0..self.states.len()).filter(unsettled).collect()
    }

    /// How many groups can be told apart by what `keeps` lets through of the first so many states; the healthy circuit
    /// counts as one of a group.
    pub fn told_apart_by(&self, states: usize, keeps: impl Fn(&Readings) -> Readings) -> usize {
        let mut seen = Seen::default();
        let mut masked =
            |look: &Look| seen.look(look.iter().take(states).map(|n| keeps(self.seen.readings(*n))).collect());
        let looks: Vec<Look> = [&self.healthy].into_iter().chain(&self.looks).map(&mut masked).collect();
        let pieces = seen.pieces(&looks.iter().collect::<Vec<_>>());
        pieces.iter().max().map_or(0, |last| last + 1)
    }
}

/// The points of a circuit's terminals by name, or every terminal that a probe can reach where none is named.
///
/// # Errors
/// A name that no terminal has.
fn points(circuit: &Circuit, named: &[String]) -> Result<Vec<TerminalId>, Refusal> {
    if named.is_empty() {
        let reached = circuit.terminals_with_ids().filter(|(_, terminal)| {
            // A splice is inside the harness's tape.
            !matches!(circuit.part(terminal.part).kind, Kind::Splice(_))
        });
        return Ok(reached.map(|(id, _)| id).collect());
    }
    let mut found = Vec::new();
    for words in named {
        let id = circuit.terminal_named(words).ok_or_else(|| Refusal::no_terminal(circuit, words))?;
        if !found.contains(&id) {
            found.push(id);
        }
    }
    Ok(found)
}

/// Works out the table.
///
/// Each fault is there from the beginning; the truck then stands as the scene says, and is led through the states,
/// each reached from another by one step, remembering what was. What is read is volts from each point to the
/// battery's `-`, both gauges, and the fan.
///
/// # Errors
/// A point or an act that this circuit does not have; more combinations than the logic table takes; a progress that is
/// stopped.
pub fn fault_table(scene: Scene, named: &[String], progress: &Progress) -> Result<FaultTable, Refusal> {
    let terminals = points(&scene.circuit, named)?;
    let bench = scene.bench(&[])?;
    let rig = Rig::new(&scene.circuit, &terminals, &bench);
    let states = states::all_states(&bench, &rig)?;
    let mut faults = universe::every(&scene.circuit);
    faults.retain(|fault| !scene.start.faults.contains(fault));
    progress.expect(faults.len());
    let read: Result<Vec<Vec<Readings>>, Refusal> = faults
        .par_iter()
        .map(|fault| {
            if progress.is_stopped() {
                return Err(Refusal::new(say!("faults-the-table-was-stopped"), say!("faults-ask-for-it-again")));
            }
            let readings = rig.readings(&rig.truck(&scene, &[fault])?, &states);
            progress.count(1);
            Ok(readings)
        })
        .collect();
    let mut seen = Seen::default();
    let healthy = seen.look(rig.readings(&Truck::on(&bench), &states));
    let looks: Vec<Look> = read?.into_iter().map(|readings| seen.look(readings)).collect();
    let groups = groups(&seen, &healthy, &looks);
    let points = terminals.iter().map(|id| scene.circuit.terminal_words(*id)).collect();
    Ok(FaultTable { scene, faults, points, states, groups, terminals, seen, healthy, looks })
}

/// Look-alikes; the healthy circuit takes part, since it is what a fault is told from first.
fn groups(seen: &Seen, healthy: &Look, looks: &[Look]) -> Vec<Group> {
    let all: Vec<&Look> = [healthy].into_iter().chain(looks).collect();
    let pieces = seen.pieces(&all);
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); pieces.iter().max().map_or(0, |last| last + 1)];
    pieces.iter().enumerate().for_each(|(place, piece)| members[*piece].push(place));
    let mut groups: Vec<Group> = members
        .into_iter()
        .map(|members| {
            let mut distinct: Vec<&Look> = members.iter().map(|place| all[*place]).collect();
            distinct.sort_unstable();
            distinct.dedup();
            let alike_to_later = |(i, a): (usize, &&Look)| distinct[i + 1..].iter().all(|b| seen.alike(a, b));
            let is_close = distinct.iter().enumerate().all(alike_to_later);
            let is_healthy = members.contains(&0);
            Group { members: members.iter().filter_map(|place| place.checked_sub(1)).collect(), is_healthy, is_close }
        })
        .filter(|group| !group.members.is_empty())
        .collect();
    groups.sort_by_key(|group| group.members[0]);
    groups
}

/// The bench of a scene with one fault of a table, or none more; both could be had when the table was made.
fn bench_of(scene: &Scene, fault: Option<&Fault>) -> Option<Bench> {
    scene.bench(&fault.into_iter().collect::<Vec<_>>()).ok()
}
