//! One live session on one circuit: what has been done to it, how it stands, and the way back.
//!
//! Every change goes through [`Bench::apply`]: the window, the command line and the tests all enter there. After
//! each change the circuit settles from where it stood, so what a contact, coil or fuse did before counts. Reading
//! is free. Explaining and judging what is seen are left to the study.

pub mod action;
pub mod demonstration;
pub mod fault;
pub mod journal;
pub mod live;
mod plant;
pub mod reading;
mod rebuild;
pub mod refusal;
mod resolve;
pub mod script;

use std::sync::Arc;

pub use action::{Act, Action, EndName, LeadFuse, Point, Setting, just_past, level_from_words, level_words};
pub use demonstration::Demonstration;
pub use fault::{Fault, Rating};
pub use journal::Journal;
pub use live::Live;
pub use reading::{Gauge, Instrument, Reading};
pub use refusal::Refusal;
pub use resolve::{LEAD_OHMS, leads_on, set, wire};
pub use script::Timed;

use crate::circuit::{Circuit, Kind, PartId, WireEnd};
use crate::physics::engine::Engine;
use crate::physics::inputs::{Conditions, Inputs, Lead};
use crate::physics::state::{FuseAt, Memory, Opened, Outcome};
use crate::words::say;
use resolve::Placed;

/// How the world stands before anybody touches anything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Start {
    /// Conditions, in order. The first of each name is there from the beginning; a name said again changes later.
    pub settings: Vec<Setting>,
    /// What is wrong from the beginning.
    pub faults: Vec<Fault>,
}

impl Start {
    /// What is imposed on a circuit from the beginning, and the conditions that change later, in order.
    ///
    /// # Errors
    /// A fault this circuit cannot have.
    pub fn inputs(&self, circuit: &Circuit) -> Result<(Inputs, Vec<Setting>), Refusal> {
        let mut conditions = Conditions::default();
        let mut later = Vec::new();
        let mut named = Vec::new();
        for setting in &self.settings {
            if named.contains(&setting.name()) {
                later.push(*setting);
            } else {
                named.push(setting.name());
                resolve::set(&mut conditions, *setting);
            }
        }
        Ok((resolve::inputs(circuit, conditions, &[], &self.faults)?, later))
    }
}

/// Something that differs from the truck as built.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// An act still in effect.
    Done(Act),
    /// A fuse of the circuit that blew.
    BlownFuse(String),
    /// A planted fault.
    Faulty(Fault),
}

/// One state of the session.
#[derive(Clone, Debug)]
struct Session {
    circuit: Arc<Circuit>,
    /// The circuit compiled, for this bench and all copies of it.
    engine: Arc<Engine>,
    placed: Vec<Placed>,
    faults: Vec<Fault>,
    inputs: Inputs,
    outcome: Arc<Outcome>,
    /// Fuses that opened since they were last whole, with what they carried.
    opened: Vec<Opened>,
    /// What no longer fitted the circuit as it has just been changed.
    put_back: Vec<Change>,
}

/// A change with the state it left behind.
#[derive(Clone, Debug)]
struct Step {
    action: Action,
    other: Session,
}

/// A live session.
#[derive(Clone, Debug)]
pub struct Bench {
    now: Session,
    past: Vec<Step>,
    future: Vec<Step>,
    revision: u64,
    next_number: u32,
}

impl Bench {
    /// The circuit as built, under the usual conditions, settled.
    pub fn new(circuit: Arc<Circuit>) -> Self {
        let conditions = Conditions::default();
        Self::settled(Arc::new(Engine::of(circuit)), Inputs { conditions, ..Inputs::default() }, Vec::new())
    }

    /// The circuit as built in a world that stands as `start` says, settled.
    ///
    /// # Errors
    /// A fault this circuit cannot have.
    pub fn started(circuit: Arc<Circuit>, start: Start) -> Result<Self, Refusal> {
        Self::started_on(&Arc::new(Engine::of(circuit)), start)
    }

    /// The same where the circuit is compiled already.
    ///
    /// # Errors
    /// As there.
    pub fn started_on(engine: &Arc<Engine>, start: Start) -> Result<Self, Refusal> {
        let (inputs, later) = start.inputs(engine.circuit())?;
        let mut bench = Self::settled(Arc::clone(engine), inputs, start.faults);
        for setting in later {
            bench.apply(Action::Set(setting))?;
        }
        Ok(bench)
    }

    /// A bench on which nothing has been done yet, settled from nothing remembered.
    fn settled(engine: Arc<Engine>, inputs: Inputs, faults: Vec<Fault>) -> Self {
        let circuit = Arc::clone(engine.circuit());
        let outcome = engine.settle(&inputs, &Memory::fresh(circuit.parts().len()));
        let opened = outcome.opened.clone();
        let (placed, put_back) = (Vec::new(), Vec::new());
        let now = Session { circuit, engine, placed, faults, inputs, outcome: Arc::new(outcome), opened, put_back };
        Self { now, past: Vec::new(), future: Vec::new(), revision: 0, next_number: 1 }
    }

    /// Makes one change and lets the circuit settle.
    ///
    /// # Errors
    /// Where this circuit, or the state it is in, cannot have that change. Nothing is changed then.
    pub fn apply(&mut self, action: Action) -> Result<(), Refusal> {
        match action {
            Action::Undo => self.step_back()?,
            Action::Redo => self.step_forward()?,
            _ => {
                let next = self.after(&action)?;
                let before = std::mem::replace(&mut self.now, next);
                self.past.push(Step { action, other: before });
                self.future.clear();
            }
        }
        self.revision += 1;
        Ok(())
    }

    fn step_back(&mut self) -> Result<(), Refusal> {
        let step = self
            .past
            .pop()
            .ok_or_else(|| Refusal::new(say!("bench-nothing-to-undo"), say!("bench-make-a-change-first")))?;
        let after = std::mem::replace(&mut self.now, step.other);
        self.future.push(Step { action: step.action, other: after });
        Ok(())
    }

    fn step_forward(&mut self) -> Result<(), Refusal> {
        let step = self
            .future
            .pop()
            .ok_or_else(|| Refusal::new(say!("bench-nothing-to-redo"), say!("bench-undo-a-change-first")))?;
        let before = std::mem::replace(&mut self.now, step.other);
        self.past.push(Step { action: step.action, other: before });
        Ok(())
    }

    /// The session after an action other than undo and redo.
    fn after(&mut self, action: &Action) -> Result<Session, Refusal> {
        let mut next = Session { put_back: Vec::new(), ..self.now.clone() };
        match action {
            Action::Build(change) => next = rebuild::rebuilt(&self.now, change)?,
            Action::Set(setting) => resolve::set(&mut next.inputs.conditions, *setting),
            Action::Do(act) => {
                if let Act::Turn { switch, .. } = act {
                    next.placed.retain(|p| !matches!(&p.act, Act::Turn { switch: s, .. } if s == switch));
                }
                next.placed.push(Placed { act: act.clone(), number: self.next_number });
                self.next_number += 1;
            }
            Action::PutBack(act) => take_back(&mut next, act)?,
            Action::PutAllBack => {
                next.placed.clear();
                next.faults.retain(|f| !matches!(f, Fault::Blown(_)));
                self.renew_fuses(&mut next, |_| true);
            }
            Action::ReplaceFuse(tag) => {
                let id = self.circuit().part_named(tag).ok_or_else(|| Refusal::no_part(self.circuit(), tag))?;
                if !matches!(self.circuit().part(id).kind, Kind::Fuse(_)) {
                    return Err(Refusal::new(say!("bench-is-not-a-fuse", tag), say!("bench-name-a-fuse")));
                }
                next.faults.retain(|f| !matches!(f, Fault::Blown(t) if t == tag));
                self.renew_fuses(&mut next, |fuse| fuse == id);
            }
            Action::Plant(fault) if next.faults.contains(fault) => {
                return Err(Refusal::new(say!("bench-is-there-already", fault), say!("bench-put-it-right-first")));
            }
            Action::Plant(fault) => next.faults.push(fault.clone()),
            Action::Repair(fault) => {
                let place = next.faults.iter().position(|f| f == fault);
                let place = place.ok_or_else(|| {
                    Refusal::new(say!("bench-is-not-planted", fault), say!("bench-name-a-fault-that-is"))
                })?;
                next.faults.remove(place);
            }
            Action::Undo | Action::Redo => {}
        }
        self.settle_into(&mut next)?;
        // A press holds only until the circuit has answered to it; then the spring puts the switch back.
        if let Some(Placed { act: Act::Press { .. }, .. }) = next.placed.last() {
            next.placed.pop();
            self.settle_into(&mut next)?;
        }
        let circuit = Arc::clone(&next.circuit);
        next.placed.retain(|p| !Self::is_at_rest(&circuit, &p.act));
        Ok(next)
    }

    /// Makes the circuit's fuses that `which` picks whole again in the session's memory.
    fn renew_fuses(&self, session: &mut Session, which: impl Fn(PartId) -> bool) {
        let mut outcome = (*session.outcome).clone();
        for (id, part) in self.circuit().parts_with_ids() {
            if matches!(part.kind, Kind::Fuse(_)) && which(id) {
                outcome.memory.parts[id.index()].blown = false;
            }
        }
        session.opened.retain(|o| !matches!(o.at, FuseAt::Part(id) if which(id)));
        session.outcome = Arc::new(outcome);
    }

    fn settle_into(&self, session: &mut Session) -> Result<(), Refusal> {
        session.inputs =
            resolve::inputs(&session.circuit, session.inputs.conditions, &session.placed, &session.faults)?;
        let mut memory = session.outcome.memory.clone();
        let on = |number: u32| session.inputs.leads.iter().any(|l: &Lead| l.number == number);
        memory.blown_leads.retain(|number| on(*number));
        session.opened.retain(|o| !matches!(o.at, FuseAt::Lead(number) if !on(number)));
        let outcome = session.engine.settle(&session.inputs, &memory);
        session.opened.extend(outcome.opened.iter().cloned());
        session.outcome = Arc::new(outcome);
        Ok(())
    }

    /// Whether an act leaves nothing changed: a switch turned to where it rests.
    fn is_at_rest(circuit: &Circuit, act: &Act) -> bool {
        let Act::Turn { switch, to } = act else { return false };
        let kind = circuit.part_named(switch).map(|id| &circuit.part(id).kind);
        match kind {
            Some(Kind::SelectorSwitch(selector)) => selector.position(to) == Some(selector.rest_position()),
            _ => to == "off",
        }
    }

    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.now.circuit
    }

    /// The circuit, to be kept.
    pub fn circuit_shared(&self) -> Arc<Circuit> {
        Arc::clone(&self.now.circuit)
    }

    /// The circuit compiled for settling.
    pub fn engine(&self) -> &Arc<Engine> {
        &self.now.engine
    }

    /// Conditions now.
    pub fn conditions(&self) -> &Conditions {
        &self.now.inputs.conditions
    }

    /// All that is imposed now.
    pub fn inputs(&self) -> &Inputs {
        &self.now.inputs
    }

    /// How the circuit stands.
    pub fn outcome(&self) -> &Outcome {
        &self.now.outcome
    }

    /// Fuses, the circuit's and the leads', that opened and are still blown, with what opened them.
    pub fn opened(&self) -> &[Opened] {
        &self.now.opened
    }

    /// Grows with every change; equal numbers mean an equal state.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Acts still in effect, in the order they were done.
    pub fn acts(&self) -> impl Iterator<Item = &Act> {
        self.now.placed.iter().map(|p| &p.act)
    }

    /// The act that put on the lead of this number.
    pub fn act_of_lead(&self, number: u32) -> Option<&Act> {
        self.now.placed.iter().find(|p| p.number == number).map(|p| &p.act)
    }

    /// Planted faults.
    pub fn faults(&self) -> &[Fault] {
        &self.now.faults
    }

    /// The fault that makes this one of the ties among the inputs.
    pub fn fault_of_tie(&self, place: usize) -> Option<&Fault> {
        plant::in_order(&self.now.faults).into_iter().filter(|fault| plant::is_tie(fault)).nth(place)
    }

    /// Everything that differs from the truck as built.
    pub fn changes(&self) -> Vec<Change> {
        let done = self.now.placed.iter().map(|p| Change::Done(p.act.clone()));
        let blown = self
            .circuit()
            .parts_with_ids()
            .filter(|(id, part)| matches!(part.kind, Kind::Fuse(_)) && self.now.outcome.memory.of(*id).blown);
        let blown = blown.map(|(_, part)| Change::BlownFuse(part.tag.clone()));
        let faulty = self.now.faults.iter().map(|f| Change::Faulty(f.clone()));
        done.chain(blown).chain(faulty).collect()
    }

    /// What was put back because it no longer fitted the circuit as the last change has made it.
    pub fn put_back(&self) -> &[Change] {
        &self.now.put_back
    }

    /// This bench as it stands at one moment of a run: with these inputs and this outcome in place of its own.
    pub fn at_moment(&self, inputs: Inputs, outcome: Outcome) -> Self {
        let now = Session { inputs, outcome: Arc::new(outcome), ..self.now.clone() };
        Self { now, ..self.clone() }
    }

    /// The change that undo would take back.
    pub fn undoable(&self) -> Option<&Action> {
        self.past.last().map(|step| &step.action)
    }

    /// The change that redo would make again.
    pub fn redoable(&self) -> Option<&Action> {
        self.future.last().map(|step| &step.action)
    }

    /// Changes made so far that undo can reach, oldest first: applied in turn to a new bench they lead here.
    pub fn journal(&self) -> impl Iterator<Item = &Action> {
        self.past.iter().map(|step| &step.action)
    }

    /// Changes undone so far that redo can reach, in the order it would make them again.
    pub fn undone(&self) -> impl Iterator<Item = &Action> {
        self.future.iter().rev().map(|step| &step.action)
    }

    /// The wire end of this name.
    ///
    /// # Errors
    /// Where the circuit has no such wire, terminal or end.
    pub fn wire_end(&self, name: &EndName) -> Result<WireEnd, Refusal> {
        resolve::wire_end(self.circuit(), name)
    }
}

fn take_back(session: &mut Session, act: &Act) -> Result<(), Refusal> {
    let place = session.placed.iter().position(|p| p.act.in_full() == act.in_full());
    let Some(place) = place else {
        return Err(Refusal::new(say!("bench-is-not-in-effect", act), say!("bench-put-back-something-that-is")));
    };
    session.placed.remove(place);
    if let Act::Lift(end) = act {
        let on_it = |p: &&Placed| match &p.act {
            Act::Jump { a, b, .. } => [a, b].into_iter().any(|x| matches!(x, Point::LooseEnd(e) if e == end)),
            Act::Turn { .. } | Act::Press { .. } | Act::Lift(_) | Act::Unplug { .. } => false,
        };
        if let Some(lead) = session.placed.iter().find(on_it) {
            return Err(Refusal::new(
                say!("bench-the-lead-is-still-on", lead = lead.act, end),
                say!("bench-take-that-lead-off-first"),
            ));
        }
    }
    Ok(())
}
