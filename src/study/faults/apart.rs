//! The tests that tell two faults apart, the least trouble first.
//!
//! A test is a state with one thing to read in it. Only what was read of the two is compared; what else could be used
//! is left to [`beyond`](super::beyond).

use crate::bench::{Fault, Refusal};

use super::cases::{Rig, Truck};
use super::looks::{Means, Readings};
use super::{FaultTable, State};

/// One test.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// The state, by its place in the table.
    pub state: usize,
    /// What is read in it.
    pub means: Means,
    /// All that is read in that state with the one and with the other.
    pub readings: [Readings; 2],
}

/// What tells a fault, or the healthy truck, from another: first the states with the fewest steps, in each the fan
/// before the gauges before the meter. Nothing where the two look alike.
///
/// # Errors
/// A fault that this circuit cannot have.
pub fn tests(table: &FaultTable, one: Option<&Fault>, other: Option<&Fault>) -> Result<Vec<Test>, Refusal> {
    let [one, other] = [read(table, one)?, read(table, other)?];
    let mut found = Vec::new();
    for (state, (a, b)) in one.iter().zip(&other).enumerate() {
        found.extend(a.apart(b).map(|means| Test { state, means, readings: [a.clone(), b.clone()] }));
    }
    found.sort_by_key(|test| table.states.get(test.state).map_or(0, State::steps));
    Ok(found)
}

fn read(table: &FaultTable, fault: Option<&Fault>) -> Result<Vec<Readings>, Refusal> {
    let bench = table.scene.bench(&fault.into_iter().collect::<Vec<_>>())?;
    let rig = Rig::new(&table.scene.circuit, &table.terminals, &bench);
    Ok(rig.readings(&Truck::on(&bench), &table.states))
}
