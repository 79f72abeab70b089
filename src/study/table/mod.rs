//! The logic table: what the clutch does for every combination of what its circuit is asked by.
//!
//! [`inputs`] lists what asks and puts one combination into the physics; each row is settled by the physics itself.
//! From the rows come the shortest expression ([`logic`]) and the comparison with another circuit ([`compare`]). Every
//! fuse, wire and ground lost once, in each state of [`trial`], tells how fail-safe the circuit is ([`loss`]). Sentences
//! are put together in [`words`]; nothing is looked up by the style of the circuit.

pub mod compare;
pub(in crate::study) mod inputs;
pub mod logic;
pub mod loss;
pub mod trial;
pub mod words;

use rayon::prelude::*;

use crate::bench::{Bench, Refusal};
use crate::words::say;

use super::answer::Standing;
pub use inputs::Input;
use inputs::World;
pub(super) use inputs::asks_engine;
use logic::Minimal;
use loss::Loss;
use trial::Remembered;

/// Rows beyond which a table is refused: twelve inputs of two values.
pub const MOST_ROWS: usize = 4096;

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Table {
    /// What the clutch may be asked by: sensors and set points of modules in file order, then hand and selector
    /// switches in file order, then the engine if a module asks whether it is stopped.
    pub inputs: Vec<Input>,
    /// What the clutch does, one for every combination, the last input changing fastest.
    pub rows: Vec<Standing>,
    /// When it engages, as short as can be.
    pub minimal: Minimal,
    /// What the loss of each fuse, wire and ground, of the key, the battery and the air does. None where no valve
    /// feeds a clutch.
    pub losses: Vec<Loss>,
    /// What requests leave behind that have come and gone. Empty for a circuit that remembers nothing, and where no
    /// valve feeds a clutch.
    pub remembered: Vec<Remembered>,
}

impl Table {
    /// How many values each input has.
    pub fn sizes(&self) -> Vec<usize> {
        self.inputs.iter().map(|input| input.values.len()).collect()
    }

    /// Whether an input ever makes a difference to the clutch.
    pub fn matters(&self, input: usize) -> bool {
        let stride: usize = self.inputs[input + 1..].iter().map(|after| after.values.len()).product();
        let period = stride * self.inputs[input].values.len();
        (0..self.rows.len()).any(|row| self.rows[row] != self.rows[row - row % period + row % stride])
    }

    /// The row a bench of this circuit stands in. Where a set point has been passed and not come back from, it counts
    /// as its contact stands.
    pub fn present_row(&self, bench: &Bench) -> usize {
        let values: Vec<usize> = self.inputs.iter().map(|input| input.present(bench)).collect();
        row_of(&self.sizes(), &values)
    }

    /// The value of each input in a row.
    pub fn values_of(&self, row: usize) -> Vec<usize> {
        values_of(&self.sizes(), row)
    }
}

/// Works out the table of a bench's circuit under its conditions, faults and acts.
///
/// No row knows of another. Each is settled from nothing remembered, as when the key is turned on with everything
/// standing as the row says already; after acts, from the memory they left, so that what they sealed in or blew counts.
/// What the table itself moves (sensors, modules' set points, hand and selector switches, and the engine where a module
/// asks for it) stands as the row says, whatever the conditions and acts were. A switch that springs back is held while
/// it is on. Sensors stand clear beyond their set and reset points, never between.
///
/// # Errors
/// More combinations than [`MOST_ROWS`].
pub fn table(bench: &Bench) -> Result<Table, Refusal> {
    let world = World::of(bench);
    let sizes: Vec<usize> = world.inputs.iter().map(|input| input.values.len()).collect();
    let count = sizes.iter().try_fold(1_usize, |rows, size| rows.checked_mul(*size).filter(|rows| *rows <= MOST_ROWS));
    let Some(count) = count else {
        return Err(Refusal::new(
            say!("table-too-many", count = sizes.len(), most = MOST_ROWS),
            say!("table-leave-some-out-or-ask"),
        ));
    };
    let rows: Vec<Standing> = (0..count).into_par_iter().map(|row| world.standing(&values_of(&sizes, row))).collect();
    let engaged: Vec<bool> = rows.iter().map(|standing| *standing == Standing::Engaged).collect();
    let minimal = logic::minimise(&sizes, &engaged);
    let trials = trial::all(&world, &minimal.products);
    let (losses, remembered) = (loss::all(&world, &trials), trial::remembered(&trials));
    Ok(Table { inputs: world.inputs, rows, minimal, losses, remembered })
}

/// The value of each input in a row of a table whose inputs have so many values.
pub(in crate::study) fn values_of(sizes: &[usize], row: usize) -> Vec<usize> {
    let mut left = row;
    let mut values: Vec<usize> = sizes
        .iter()
        .rev()
        .map(|size| {
            let value = left % size;
            left /= size;
            value
        })
        .collect();
    values.reverse();
    values
}

/// The row in which the inputs have these values.
fn row_of(sizes: &[usize], values: &[usize]) -> usize {
    sizes.iter().zip(values).fold(0, |row, (size, value)| row * size + value)
}
