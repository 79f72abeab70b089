//! Two tables side by side: the same logic, or the first combination in which the clutches differ.
//!
//! Inputs are matched by name, whatever their order; an input that only one has, or that senses something else or has
//! other values, is named and nothing more is compared. How the two circuits are built does not matter here.

use crate::study::answer::Standing;

use super::{Input, Table, row_of};

/// How two tables stand to each other.
#[derive(Clone, Debug, PartialEq)]
pub enum Comparison {
    /// The clutches do the same in every row.
    Same,
    /// The clutches differ.
    Differs {
        /// The first row in which they do, of the first table.
        row: usize,
        /// What the first does there.
        here: Standing,
        /// What the other does there.
        there: Standing,
        /// In how many rows they differ.
        rows: usize,
    },
    /// They are not asked by the same.
    OtherInputs {
        /// Inputs that only the first has.
        only_here: Vec<String>,
        /// Inputs that only the other has.
        only_there: Vec<String>,
        /// Inputs of one name that sense something else, or whose values are not the same.
        unlike: Vec<String>,
    },
}

/// Compares two tables.
pub fn compare(here: &Table, there: &Table) -> Comparison {
    let missing = |from: &Table, inn: &Table| -> Vec<String> {
        let names = from.inputs.iter().map(|input| input.name.clone());
        names.filter(|name| inn.inputs.iter().all(|other| other.name != *name)).collect()
    };
    let only_here = missing(here, there);
    let only_there = missing(there, here);
    let Some(pairing) = Pairing::of(here, there) else {
        let unlike = here
            .inputs
            .iter()
            .filter(|input| there.inputs.iter().any(|other| other.name == input.name && !is_like(input, other)))
            .map(|input| input.name.clone())
            .collect();
        return Comparison::OtherInputs { only_here, only_there, unlike };
    };
    let differing: Vec<(usize, Standing)> = (0..here.rows.len())
        .map(|row| (row, there.rows[pairing.row_there(&here.values_of(row))]))
        .filter(|(row, there)| here.rows[*row] != *there)
        .collect();
    match differing.first() {
        Some((row, there)) => {
            Comparison::Differs { row: *row, here: here.rows[*row], there: *there, rows: differing.len() }
        }
        None => Comparison::Same,
    }
}

/// Whether two inputs feel the same and have the same values, in any order.
fn is_like(one: &Input, other: &Input) -> bool {
    one.senses == other.senses
        && one.values.len() == other.values.len()
        && one.values.iter().all(|value| other.values.contains(value))
}

/// Which input of the first table each of the other's is, and which of its values.
struct Pairing {
    sizes: Vec<usize>,
    places: Vec<(usize, Vec<usize>)>,
}

impl Pairing {
    /// None where the inputs or their values are not the same.
    fn of(here: &Table, there: &Table) -> Option<Self> {
        if here.inputs.len() != there.inputs.len() {
            return None;
        }
        let pair = |theirs: &Input| {
            let place = here.inputs.iter().position(|ours| ours.name == theirs.name)?;
            let ours = &here.inputs[place];
            let values: Option<Vec<usize>> =
                ours.values.iter().map(|value| theirs.values.iter().position(|v| v == value)).collect();
            is_like(ours, theirs).then_some((place, values?))
        };
        let places: Option<Vec<_>> = there.inputs.iter().map(pair).collect();
        Some(Self { sizes: there.sizes(), places: places? })
    }

    fn row_there(&self, values: &[usize]) -> usize {
        let theirs: Vec<usize> = self.places.iter().map(|(place, known)| known[values[*place]]).collect();
        row_of(&self.sizes, &theirs)
    }
}
