//! The course that is expected to take least of all, by exhaustive search: what the chosen course is measured against.
//!
//! Dynamic programming over what remains, where a hand has been and how the truck stands, the best of all safe tests at
//! each (optimal test sequencing as in K. R. Pattipati and M. G. Alexandridis, "Application of heuristic search and
//! information theory to sequential fault diagnosis", IEEE Transactions on Systems, Man and Cybernetics 20, 1990, from
//! memory; a test is passed over once its minutes alone, with the least any course can take after it by their entropy
//! bound, are more than what is known to do). Grows without bounds with the circuit, so it is told how far to go.

use std::collections::HashMap;

use super::puzzle::{Progressed, Puzzle};

/// Slack of a comparison of minutes.
const SLACK: f64 = 1e-9;

/// Minutes that the best course of all is expected to take from here; none where the search would look at more than
/// `most` states.
pub fn least_minutes(puzzle: &Puzzle, suspects: &[usize], so_far: &Progressed, most: usize) -> Option<f64> {
    let mut search = Search { puzzle, known: HashMap::new(), bounds: HashMap::new(), most };
    search.least(suspects, so_far, f64::INFINITY)
}

/// What has been found out of a state.
#[derive(Clone, Copy)]
enum Known {
    Exactly(f64),
    AtLeast(f64),
}

struct Search<'a> {
    puzzle: &'a Puzzle,
    known: HashMap<(Vec<usize>, Progressed), Known>,
    bounds: HashMap<Vec<usize>, f64>,
    most: usize,
}

/// A test that tells something of what remains.
struct Choice {
    column: usize,
    minutes: f64,
    parts: Vec<Vec<usize>>,
}

impl Search<'_> {
    /// The least from here; infinite where it is no less than `enough`, none where the search gives up.
    fn least(&mut self, suspects: &[usize], so_far: &Progressed, enough: f64) -> Option<f64> {
        if suspects.len() < 2 {
            return Some(0.0);
        }
        let options = self.options(suspects, so_far);
        if options.is_empty() {
            return Some(0.0);
        }
        let key = (suspects.to_vec(), self.relevant(&options, so_far));
        match self.known.get(&key) {
            Some(Known::Exactly(least)) => return Some(*least),
            Some(Known::AtLeast(least)) if *least >= enough - SLACK => return Some(f64::INFINITY),
            Some(Known::AtLeast(_)) | None => {}
        }
        if self.known.len() >= self.most {
            return None;
        }
        let all = self.puzzle.weight(suspects);
        let mut best = enough;
        for option in &options {
            let next = self.puzzle.after(&self.puzzle.columns[option.column], so_far);
            let share = |part: &[usize]| self.puzzle.weight(part) / all;
            let mut bounds = Vec::new();
            for part in &option.parts {
                bounds.push(share(part) * self.bound(part));
            }
            let mut total = option.minutes + bounds.iter().sum::<f64>();
            for (part, bound) in option.parts.iter().zip(&bounds) {
                if total >= best - SLACK {
                    break;
                }
                let weight = share(part);
                let left = (best - (total - bound)) / weight;
                total += weight * self.least(part, &next, left)? - bound;
            }
            best = best.min(total);
        }
        let found = if best < enough { Known::Exactly(best) } else { Known::AtLeast(enough) };
        self.known.insert(key, found);
        Some(if best < enough { best } else { f64::INFINITY })
    }

    /// Safe tests that tell something, the most telling first, but for those that another beats.
    fn options(&self, suspects: &[usize], so_far: &Progressed) -> Vec<Choice> {
        let puzzle = self.puzzle;
        let mut found: Vec<(f64, Choice)> = Vec::new();
        for (column, of) in puzzle.columns.iter().enumerate() {
            if !puzzle.is_safe(of.stand, suspects) {
                continue;
            }
            let bits = puzzle.bits(column, suspects);
            if bits == 0.0 {
                continue;
            }
            let mut parts: Vec<Vec<usize>> = puzzle.parted(column, suspects).into_values().collect();
            parts.sort();
            let minutes = puzzle.cost(of, so_far);
            found.push((bits / minutes.max(1e-3), Choice { column, minutes, parts }));
        }
        found.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut kept: Vec<Choice> = Vec::new();
        for (_, choice) in found {
            if !kept.iter().any(|other| self.beats(other, &choice, suspects, so_far)) {
                kept.push(choice);
            }
        }
        kept
    }

    /// Whether one test tells all that another tells, in the same stand, at no more minutes and from no other places: no
    /// course is better for the other.
    fn beats(&self, one: &Choice, other: &Choice, suspects: &[usize], so_far: &Progressed) -> bool {
        let [a, b] = [one, other].map(|choice| &self.puzzle.columns[choice.column]);
        let is_near = |place: &usize| so_far.reached[*place] || b.places.contains(place);
        if a.stand != b.stand || a.minutes > b.minutes || !a.places.iter().all(is_near) {
            return false;
        }
        let part_of = |suspect: &usize| (a.groups[*suspect], b.groups[*suspect]);
        let mut known: HashMap<u16, u16> = HashMap::new();
        suspects.iter().map(part_of).all(|(finer, coarser)| *known.entry(finer).or_insert(coarser) == coarser)
    }

    /// How far the course has come, as far as it still matters: places that no test asks for any more count as reached.
    fn relevant(&self, options: &[Choice], so_far: &Progressed) -> Progressed {
        let mut reached = vec![true; so_far.reached.len()];
        for option in options {
            let column = &self.puzzle.columns[option.column];
            for place in column.places.iter().chain(&self.puzzle.stands[column.stand].places) {
                reached[*place] = so_far.reached[*place];
            }
        }
        Progressed { reached, stand: so_far.stand }
    }

    /// The least any course can take that tells these apart: one reading at least, and their entropy at the best rate
    /// any reading could have, its minutes over the logarithm of its groups.
    fn bound(&mut self, suspects: &[usize]) -> f64 {
        if suspects.len() < 2 {
            return 0.0;
        }
        if let Some(bound) = self.bounds.get(suspects) {
            return *bound;
        }
        let puzzle = self.puzzle;
        let (mut cheapest, mut rate) = (f64::INFINITY, f64::INFINITY);
        for (column, of) in puzzle.columns.iter().enumerate() {
            let groups = puzzle.parted(column, suspects).len();
            if groups > 1 && puzzle.is_safe(of.stand, suspects) {
                cheapest = cheapest.min(of.minutes);
                rate = rate.min(of.minutes / (groups as f64).log2());
            }
        }
        let all = puzzle.weight(suspects);
        let entropy: f64 = suspects.iter().map(|s| puzzle.weights[*s] / all).map(|share| -share * share.log2()).sum();
        let bound = if cheapest.is_finite() { cheapest.max(rate * entropy) } else { 0.0 };
        self.bounds.insert(suspects.to_vec(), bound);
        bound
    }
}

#[cfg(test)]
mod tests {
    use super::least_minutes;
    use crate::study::find::puzzle::{Column, Puzzle, Standpoint};

    fn column(groups: &[u16], minutes: f64, places: &[usize]) -> Column {
        Column { groups: groups.to_vec(), minutes, stand: 0, places: places.to_vec() }
    }

    #[test]
    fn the_least_course_is_found_where_a_cheap_test_first_leads_astray() {
        // One test tells all four apart in 3 minutes; the cheap ones need three minutes and a place each.
        let puzzle = Puzzle {
            weights: vec![1.0; 4],
            columns: vec![
                column(&[0, 1, 1, 1], 1.0, &[0]),
                column(&[0, 1, 2, 3], 3.0, &[]),
                column(&[0, 0, 1, 1], 1.0, &[1]),
                column(&[0, 1, 0, 1], 1.0, &[1]),
            ],
            stands: vec![Standpoint { minutes: 0.0, places: Vec::new(), dangerous: vec![false; 4] }],
            access: vec![2.0, 0.5],
        };
        let begin = puzzle.begin(&[]);
        let least = least_minutes(&puzzle, &[0, 1, 2, 3], &begin, 1000).expect("a small search ends");
        // Half, then half: 1.5 and then 1 minute.
        assert!((least - 2.5).abs() < 1e-12, "{least}");
        assert_eq!(least_minutes(&puzzle, &[0, 1, 2, 3], &begin, 0), None);
    }
}
