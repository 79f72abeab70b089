//! Two faults at once, where no single one explains what was seen.
//!
//! Every pair of suspects is a truck of its own like any other; the likeliest that explain everything are handed back.
//! Three at once are not sought.

use rayon::prelude::*;

use crate::bench::{Reading, Refusal};
use crate::words::say;

use super::sight::Sight;
use super::suspect::Suspect;
use super::trucks::Trucks;
use super::{Options, left};

/// Pairs that are followed up; more are counted.
const MOST: usize = 60;
/// Most pairs that are tried.
const MOST_TRIED: usize = 1_000_000;

/// Pairs under which everything was seen that was, the likeliest first, and how many more there are.
///
/// # Errors
/// More pairs than can be tried.
pub(super) fn remaining(
    trucks: &Trucks,
    sights: &[Sight],
    options: &Options,
    singles: &[Suspect],
) -> Result<(Vec<Suspect>, usize), Refusal> {
    let mut sights: Vec<Sight> = sights.to_vec();
    sights.sort_by_key(|sight| matches!(sight.reading, Reading::Across { .. } | Reading::Amps(_)));
    let faulty: Vec<&Suspect> = singles.iter().filter(|suspect| !suspect.is_healthy()).collect();
    let pairs = faulty.len() * faulty.len().saturating_sub(1) / 2;
    if pairs > MOST_TRIED {
        return Err(Refusal::new(say!("find-too-many-pairs", pairs), say!("find-look-again-at-what-was-seen")));
    }
    let of_first = |(at, first): (usize, &&Suspect)| {
        let pairs = faulty[at + 1..].iter().map(|second| Suspect {
            faults: [first.faults.as_slice(), &second.faults].concat(),
            weight: first.weight * second.weight,
        });
        let weighed = pairs.map(|pair| Suspect { weight: left(trucks, &sights, options, &pair), ..pair });
        weighed.filter(|pair| pair.weight > 0.0).collect::<Vec<_>>()
    };
    let mut found: Vec<Suspect> = faulty.par_iter().enumerate().flat_map_iter(of_first).collect();
    // Stable: of equal weights the one first in the list of faults comes first.
    found.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let more = found.len().saturating_sub(MOST);
    found.truncate(MOST);
    Ok((found, more))
}
