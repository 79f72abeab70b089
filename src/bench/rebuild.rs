//! A circuit changed under somebody's hands: what was done to the truck, what is wrong with it and what it remembers,
//! carried over to the circuit as it is now.
//!
//! Names follow parts and wires that were renamed. What no longer fits is put back, and told; the state before is kept
//! by undo as any other. Changing the circuit itself is [`Change`]'s; settling, the bench's.

use std::sync::Arc;

use crate::circuit::change::Carried;
use crate::circuit::{Change as Build, Circuit};
use crate::physics::engine::Engine;
use crate::physics::state::{FuseAt, Memory, Opened, PartMemory};

use super::action::{Act, EndName, Point};
use super::fault::Fault;
use super::refusal::Refusal;
use super::resolve::{self, Placed};
use super::{Change, Session};

/// The session on the changed circuit, not yet settled.
pub(super) fn rebuilt(now: &Session, change: &Build) -> Result<Session, Refusal> {
    let after = change.apply(&now.circuit).map_err(|why| Refusal::new(why.message, why.mend))?;
    let after = Arc::new(after);
    let carried = Carried::over(&now.circuit, &after, Some(change));
    let mut put_back = Vec::new();
    let conditions = now.inputs.conditions;
    let mut placed: Vec<Placed> = Vec::new();
    for old in &now.placed {
        placed.push(Placed { act: act(&carried, &old.act), number: old.number });
        if resolve::inputs(&after, conditions, &placed, &[]).is_err() {
            placed.pop();
            put_back.push(Change::Done(old.act.clone()));
        }
    }
    let mut faults: Vec<Fault> = Vec::new();
    for old in &now.faults {
        faults.push(fault(&carried, old));
        if resolve::inputs(&after, conditions, &[], &faults).is_err() {
            faults.pop();
            put_back.push(Change::Faulty(old.clone()));
        }
    }
    let mut outcome = (*now.outcome).clone();
    outcome.memory = memory(&carried, &now.circuit, &after, &now.outcome.memory);
    let opened = now.opened.iter().filter_map(|opened| {
        let at = match opened.at {
            FuseAt::Part(id) => FuseAt::Part(carried.same_part(id)?),
            lead @ FuseAt::Lead(_) => lead,
        };
        let before = memory(&carried, &now.circuit, &after, &opened.before);
        Some(Opened { at, before, ..opened.clone() })
    });
    let opened = opened.collect();
    let (engine, inputs) = (Arc::new(Engine::of(Arc::clone(&after))), now.inputs.clone());
    Ok(Session { circuit: after, engine, placed, faults, inputs, outcome: Arc::new(outcome), opened, put_back })
}

fn memory(carried: &Carried<'_>, before: &Circuit, after: &Circuit, memory: &Memory) -> Memory {
    let mut parts = vec![PartMemory::default(); after.parts().len()];
    for (id, _) in before.parts_with_ids() {
        if let Some(now) = carried.same_part(id) {
            parts[now.index()] = memory.of(id);
        }
    }
    Memory { parts, blown_leads: memory.blown_leads.clone() }
}

fn end(carried: &Carried<'_>, end: &EndName) -> EndName {
    EndName { wire: carried.tag(&end.wire).to_owned(), terminal: carried.terminal_words(&end.terminal) }
}

fn point(carried: &Carried<'_>, point: &Point) -> Point {
    match point {
        Point::Terminal(words) => Point::Terminal(carried.terminal_words(words)),
        Point::LooseEnd(name) => Point::LooseEnd(end(carried, name)),
    }
}

fn act(carried: &Carried<'_>, act: &Act) -> Act {
    let tag = |tag: &str| carried.tag(tag).to_owned();
    match act {
        Act::Turn { switch, to } => Act::Turn { switch: tag(switch), to: to.clone() },
        Act::Press { switch } => Act::Press { switch: tag(switch) },
        Act::Jump { a, b, fuse } => Act::Jump { a: point(carried, a), b: point(carried, b), fuse: *fuse },
        Act::Lift(name) => Act::Lift(end(carried, name)),
        Act::Unplug { part } => Act::Unplug { part: tag(part) },
    }
}

/// A fault with the names that its places have now: of a part or wire, or of a terminal or contact of a part.
fn fault(carried: &Carried<'_>, fault: &Fault) -> Fault {
    let mut fault = fault.clone();
    for name in fault.names_mut() {
        let now = if name.contains('.') { carried.terminal_words(name) } else { carried.tag(name).to_owned() };
        *name = now;
    }
    fault
}
