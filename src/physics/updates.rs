//! Solved states of a circuit that much is done to, found by updates of a few that are kept.
//!
//! A circuit's whole network is compiled once ([`Wiring`]). For each way in which its contacts stand and its diodes
//! conduct it is solved when that is first asked for; a copy that differs from it (wires cut, ohms added, ties, leads,
//! other figures) is then an update of that state. Diodes are asked as by [`diodes`](super::electric::diodes): states of
//! theirs that are beyond doubt are taken, others tried. What cannot be said so, or is too near a limit to rest on an
//! update, is solved by itself. What moves in a state is left to [`moves`](super::moves).

use std::cell::Cell;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use crate::circuit::{Circuit, PartId, WireEnd};

use super::electric::assemble::Element;
use super::electric::diodes::Known;
use super::electric::{Change, Differences, Solved, Together, Wiring};
use super::inputs::{Altered, Inputs, Lead, Touch};
use super::limits::{DIODE_IDLE_AMPS, DIODE_VOLTS_SLACK};
use super::moves::Looked;
use super::settle::{Electric, Source};
use super::state::Memory;

/// Sets of conducting diodes that are tried before a state is solved by itself.
const GUESSES: usize = 6;
/// Share of a limit within which a number is too near it, and the same in its own unit.
const NEAR_SHARE: f64 = 1e-6;
const NEAR: f64 = 1e-9;
/// Factor either way within which a diode's amps are too near to nothing.
const NEAR_NOTHING: f64 = 4.0;
/// Volts within which a blocked diode is too near to conducting. Rounding is far below, and so is what it is by which one
/// counts as lifted.
const NEAR_LIFTED: (f64, f64) = (DIODE_VOLTS_SLACK / 4.0, 1e-6);
/// From so many times on that a state with a change built in is wanted, it is kept.
const OFTEN: u32 = 4;
/// Most numbers in a state that can be kept.
const LARGEST: usize = 2_000_000;
/// Numbers in all states kept: a few megabytes for each thread that settles. Most states are asked for once, some again
/// and again.
const ROOM: usize = 300_000;
/// States that are kept however large they are.
const FEWEST: usize = 4;

/// What was done to a copy, as far as it bears on its network.
#[derive(Clone, Debug)]
struct Done {
    altered: Altered,
    leads: Vec<Lead>,
    lifted: BTreeSet<WireEnd>,
    unplugged: BTreeSet<PartId>,
}

/// States of one circuit, kept to update them.
#[derive(Clone, Debug)]
struct States {
    circuit: Arc<Circuit>,
    wiring: Arc<Wiring>,
    nodes: Vec<usize>,
    /// Those asked for since the last were let go, and those asked for before.
    solved: HashMap<Stand, Solved>,
    solved_before: HashMap<Stand, Solved>,
    /// How often a state was wanted that has a change built in and is not kept.
    wanted: HashMap<Stand, u32>,
    /// Diodes that conducted last, by the contacts closed.
    conducting: HashMap<u64, u64>,
}

/// How a kept state stands: bits of the contacts closed and the diodes conducting, and a branch of other siemens that is
/// built in, by its bits.
type Stand = (u64, u64, Option<(usize, u64)>);

/// Updates of the states of one circuit, and the room for them.
#[derive(Clone, Debug, Default)]
pub(super) struct Updates {
    states: Option<States>,
    /// No states can be kept of this circuit.
    hopeless: Option<Arc<Circuit>>,
    done: Option<Done>,
    /// How many times something else was imposed, but for leads.
    turns: u64,
    /// How the copy differs without its leads, and with them.
    without_leads: Option<Differences>,
    differences: Option<Arc<Differences>>,
    changes: Vec<Change>,
    copy: Together,
}

impl Updates {
    /// Makes ready for a circuit with this imposed on it; false where its states must be solved by themselves.
    pub(super) fn take_up(&mut self, circuit: &Arc<Circuit>, inputs: &Inputs) -> bool {
        if self.hopeless.as_ref().is_some_and(|known| Arc::ptr_eq(known, circuit)) {
            return false;
        }
        let fits = |states: &States| Arc::ptr_eq(&states.circuit, circuit) && states.wiring.suits(inputs);
        if !self.states.as_ref().is_some_and(fits) {
            *self = Self { turns: self.turns + 1, ..Self::default() };
            // One state alone of a large circuit would take more than there is room for.
            let has_room = |wiring: &Wiring| wiring.nodes() * wiring.nodes() <= LARGEST;
            let Some(wiring) = Wiring::of(circuit, inputs).filter(has_room) else {
                self.hopeless = Some(Arc::clone(circuit));
                return false;
            };
            let nodes = (0..wiring.nodes()).collect();
            let (circuit, wiring) = (Arc::clone(circuit), Arc::new(wiring));
            let (solved, solved_before, wanted, conducting) = Default::default();
            self.states = Some(States { circuit, wiring, nodes, solved, solved_before, wanted, conducting });
        }
        let Inputs { altered, leads, lifted, unplugged, .. } = inputs;
        // How far a sensor is out bears on no network.
        if let Some(done) = &mut self.done {
            done.altered.drift.clone_from(&altered.drift);
        }
        let is_body_known =
            |done: &&mut Done| done.altered == *altered && done.lifted == *lifted && done.unplugged == *unplugged;
        let states = self.states.as_ref();
        match self.done.as_mut().filter(is_body_known) {
            Some(done) if done.leads == *leads => return self.differences.is_some(),
            Some(done) => done.leads.clone_from(leads),
            None => {
                self.turns += 1;
                let (altered, leads) = (altered.clone(), leads.clone());
                self.done = Some(Done { altered, leads, lifted: lifted.clone(), unplugged: unplugged.clone() });
                self.without_leads = states.and_then(|s| s.wiring.differences(circuit, inputs));
            }
        }
        let without = self.without_leads.as_ref();
        self.differences = states.zip(without).and_then(|(s, d)| d.with_leads(&s.wiring, leads)).map(Arc::new);
        self.differences.is_some()
    }

    /// A number that stays the same as long as the same circuit is taken up with the same imposed on it, but for leads.
    pub(super) fn turn(&self) -> u64 {
        self.turns
    }

    /// The state with everything where `memory` has it; none where an update cannot tell it.
    fn state(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Option<Updated> {
        let Self { states, differences, changes, copy, .. } = self;
        let (states, differences) = (states.as_mut()?, differences.as_ref()?);
        let closed = states.wiring.closed(circuit, inputs, memory);
        differences.changes(closed, memory, changes);
        let mut conducting = states.conducting.get(&closed).copied().unwrap_or(0) & !differences.missing();
        for _ in 0..GUESSES {
            let wiring = Arc::clone(&states.wiring);
            let solved = states.copied((closed, conducting), changes, copy)?;
            let wrong = wrong_diodes(&wiring, solved, conducting, differences.missing(), copy)?;
            if wrong != 0 {
                conducting ^= wrong;
                continue;
            }
            states.conducting.insert(closed, conducting);
            let volts = copy.volts[..states.nodes.len()].to_vec();
            let (differences, blown) = (Arc::clone(differences), memory.blown_leads.clone());
            return Some(Updated { wiring, differences, volts, closed, blown, is_doubtful: Cell::new(false) });
        }
        None
    }
}

impl States {
    /// The state of which `copy` is then the copy with these changes; none where no update can tell it.
    fn copied(
        &mut self,
        (closed, conducting): (u64, u64),
        changes: &mut Vec<Change>,
        copy: &mut Together,
    ) -> Option<&Solved> {
        let plain = (closed, conducting, None);
        let solved = self.solved(plain);
        if solved.together(changes, copy) {
            return self.solved.get(&plain);
        }
        // What an update would lose figures over is built in where it is asked for again and again.
        let (place, branch, siemens) = changes.iter().enumerate().find_map(|(place, change)| match change {
            Change::Branch { branch, siemens } if !solved.can_update(*change) => Some((place, *branch, *siemens)),
            Change::Branch { .. } | Change::Tie { .. } => None,
        })?;
        let stand = (closed, conducting, Some((branch, siemens.to_bits())));
        let times = self.wanted.entry(stand).or_default();
        *times += 1;
        if *times < OFTEN {
            return None;
        }
        let built_in = changes.remove(place);
        let is_told = self.solved(stand).together(changes, copy);
        changes.insert(place, built_in);
        self.solved.get(&stand).filter(|_| is_told)
    }

    /// The circuit solved as it stands so.
    fn solved(&mut self, stand: Stand) -> &Solved {
        if !self.solved.contains_key(&stand) {
            // What was not asked for while as many others were is let go.
            let most = (ROOM / (self.nodes.len() * self.nodes.len()).max(1)).max(FEWEST);
            if self.solved.len() >= most / 2 {
                self.solved_before = std::mem::take(&mut self.solved);
            }
            self.solved.extend(self.solved_before.remove_entry(&stand));
        }
        let (wiring, nodes) = (&self.wiring, &self.nodes);
        let solve = || {
            let (closed, conducting, built_in) = stand;
            let mut siemens = wiring.siemens(closed, conducting);
            if let Some((branch, bits)) = built_in {
                siemens[branch] = f64::from_bits(bits);
            }
            wiring.prepared().solve(&siemens, nodes)
        };
        self.solved.entry(stand).or_insert_with(solve)
    }
}

/// Diodes, a bit for each, that do not fit a copy of a state in which others conduct; none where that is close.
fn wrong_diodes(wiring: &Wiring, solved: &Solved, conducting: u64, missing: u64, copy: &Together) -> Option<u64> {
    let mut wrong = 0;
    for (at, diode) in wiring.diodes().iter().enumerate().filter(|(at, _)| missing >> at & 1 == 0) {
        let (anode, cathode) = (copy.volts[diode.anode], copy.volts[diode.cathode]);
        let lifts_to = anode - diode.drop_volts;
        let fits = if conducting >> at & 1 == 1 {
            let branch = wiring.diode_branch(at);
            let amps = (lifts_to - cathode) * wiring.siemens_of(branch);
            if amps.abs() > DIODE_IDLE_AMPS / NEAR_NOTHING && amps.abs() < DIODE_IDLE_AMPS * NEAR_NOTHING {
                return None;
            }
            // One that carries nothing lifts a dead end, or blocks.
            amps > DIODE_IDLE_AMPS || lifts_to > 0.0 && solved.leads_to_dead_end(branch, copy)
        } else if cathode.is_nan() {
            // One whose anode floats too lifts nothing.
            lifts_to.is_nan() || lifts_to <= 0.0
        } else {
            let above = lifts_to - cathode;
            if above > NEAR_LIFTED.0 && above < NEAR_LIFTED.1 {
                return None;
            }
            above.is_nan() || above <= DIODE_VOLTS_SLACK
        };
        wrong |= u64::from(!fits) << at;
    }
    Some(wrong)
}

/// A state found by an update.
pub(super) struct Updated {
    wiring: Arc<Wiring>,
    differences: Arc<Differences>,
    /// By node; not a number where it floats.
    volts: Vec<f64>,
    closed: u64,
    /// Leads whose fuse is blown.
    blown: BTreeSet<u32>,
    is_doubtful: Cell<bool>,
}

impl Updated {
    fn known(&self, node: usize) -> Option<f64> {
        Some(self.volts[node]).filter(|volts| !volts.is_nan())
    }

    fn amps_in(&self, (a, b): (usize, usize), siemens: f64) -> f64 {
        let amps = (self.volts[a] - self.volts[b]) * siemens;
        if amps.is_nan() { 0.0 } else { amps }
    }

    fn amps_in_branch(&self, branch: Option<usize>) -> f64 {
        let Some(branch) = branch.filter(|branch| self.wiring.is_there(*branch, self.closed)) else { return 0.0 };
        let siemens = self.differences.siemens_of(branch).unwrap_or_else(|| self.wiring.siemens_of(branch));
        self.amps_in(self.wiring.ends(branch), siemens)
    }

    fn note(&self, number: f64, limit: f64) {
        if (number - limit).abs() <= NEAR_SHARE * limit.abs() + NEAR {
            self.is_doubtful.set(true);
        }
    }
}

impl Looked for Updated {
    fn amps(&self, element: Element) -> f64 {
        match element {
            Element::Coil(id) => self.amps_in_branch(self.wiring.coil(id)),
            Element::Through(id) => self.amps_in_branch(self.wiring.fuse(id)),
            Element::Lead(number) if self.blown.contains(&number) => 0.0,
            Element::Lead(number) => match self.differences.lead(number) {
                Some((a, b, ohms)) => self.amps_in((a, b), 1.0 / ohms),
                None => 0.0,
            },
            _ => 0.0,
        }
    }

    fn own(&self, circuit: &Circuit, part: PartId, place: usize) -> Option<f64> {
        self.known(circuit.terminal_at(part, place).index())
    }

    fn volts_at(&self, touch: Touch) -> Option<f64> {
        self.known(self.differences.node_at(&self.wiring, touch)?)
    }

    fn reaches(&self, number: f64, limit: f64) -> bool {
        self.note(number, limit);
        number >= limit
    }

    fn exceeds(&self, number: f64, limit: f64) -> bool {
        self.note(number, limit);
        number > limit
    }

    fn is_doubtful(&self) -> bool {
        self.is_doubtful.get()
    }
}

/// A state by either way.
pub(super) enum Either {
    /// By an update.
    Updated(Updated),
    /// Solved by itself.
    Solved(Box<Electric>),
}

impl Either {
    fn looked(&self) -> &dyn Looked {
        match self {
            Self::Updated(state) => state,
            Self::Solved(state) => &**state,
        }
    }
}

impl Looked for Either {
    fn amps(&self, element: Element) -> f64 {
        self.looked().amps(element)
    }

    fn own(&self, circuit: &Circuit, part: PartId, place: usize) -> Option<f64> {
        self.looked().own(circuit, part, place)
    }

    fn volts_at(&self, touch: Touch) -> Option<f64> {
        self.looked().volts_at(touch)
    }

    fn reaches(&self, number: f64, limit: f64) -> bool {
        self.looked().reaches(number, limit)
    }

    fn exceeds(&self, number: f64, limit: f64) -> bool {
        self.looked().exceeds(number, limit)
    }

    fn is_doubtful(&self) -> bool {
        self.looked().is_doubtful()
    }
}

/// States by updates where these can tell them, else solved by themselves.
pub(super) struct ByUpdates<'u> {
    /// Taken up for the circuit and what is imposed on it.
    pub(super) updates: &'u mut Updates,
    /// What is known from states solved by themselves.
    pub(super) known: &'u mut Known,
}

impl Source for ByUpdates<'_> {
    type State = Either;

    fn state(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Either {
        match self.updates.state(circuit, inputs, memory) {
            Some(state) => Either::Updated(state),
            None => self.exactly(circuit, inputs, memory),
        }
    }

    fn exactly(&mut self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> Either {
        Either::Solved(Box::new(Electric::of(circuit, inputs, memory, self.known)))
    }
}
