//! Which test next, in numbers alone: weights of what may be wrong, tests that part it into groups, minutes.
//!
//! A test's worth is what it is expected to tell, in bits, for each minute (R. A. Johnson, "An information theory
//! approach to diagnosis", Sixth National Symposium on Reliability and Quality Control, 1960, from memory). The best few
//! by that are then looked into: each is followed to its end, and the one whose whole course is expected
//! to take least is chosen (a step of the improvement that K. R. Pattipati and M. G. Alexandridis, "Application of
//! heuristic search and information theory to sequential fault diagnosis", IEEE Transactions on Systems, Man and
//! Cybernetics 20, 1990, search to the end; from memory). What the tests are is known elsewhere.

use std::collections::BTreeMap;

/// How many tests are looked into before one is chosen: by bits a minute, by bits a minute of reading, by bits, and of
/// how many stands the best; while many lines remain.
const WIDELY: [usize; 4] = [6, 3, 1, 0];
/// The same once few do.
const CAREFULLY: [usize; 4] = [6, 3, 1, 24];
/// The same on the way to an end.
const BRIEFLY: [usize; 4] = [2, 1, 0, 6];
/// Lines of which a course is followed carefully.
const FEW: usize = 16;

/// One test.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The group it puts each suspect into.
    pub groups: Vec<u16>,
    /// Minutes to read, once there.
    pub minutes: f64,
    /// The stand it is made in.
    pub stand: usize,
    /// Places it needs a hand at, beside those of its stand.
    pub places: Vec<usize>,
}

/// One way the truck can stand. The first is how it stands already.
#[derive(Clone, Debug, PartialEq)]
pub struct Standpoint {
    /// Minutes to bring it about and undo it, once there.
    pub minutes: f64,
    /// Places it needs a hand at.
    pub places: Vec<usize>,
    /// Suspects under which it would be dangerous.
    pub dangerous: Vec<bool>,
}

/// The whole of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Puzzle {
    /// How likely each suspect is, relative to the others.
    pub weights: Vec<f64>,
    /// Every test.
    pub columns: Vec<Column>,
    /// Every stand.
    pub stands: Vec<Standpoint>,
    /// Minutes to reach each place for the first time.
    pub access: Vec<f64>,
}

/// How far a course has come: where a hand has been, and how the truck stands.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Progressed {
    /// Places that have been reached.
    pub reached: Vec<bool>,
    /// The stand of the last test.
    pub stand: usize,
}

/// A course of tests to the end.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Suspects that remain here.
    pub suspects: Vec<usize>,
    /// What is done; none where nothing tells them apart.
    pub step: Option<Step>,
}

/// One test of a course.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The test.
    pub column: usize,
    /// What it takes here.
    pub minutes: f64,
    /// What it is expected to tell, in bits.
    pub bits: f64,
    /// What comes after each of its groups, by the group's number.
    pub branches: Vec<(u16, Course)>,
}

impl Puzzle {
    /// What a test takes after so much.
    pub fn cost(&self, column: &Column, so_far: &Progressed) -> f64 {
        let stand = &self.stands[column.stand];
        let changes = column.stand != so_far.stand;
        let stand_places = if changes { stand.places.as_slice() } else { &[] };
        let mut places: Vec<usize> = column.places.iter().chain(stand_places).copied().collect();
        places.sort_unstable();
        places.dedup();
        let access: f64 = places.iter().filter(|place| !so_far.reached[**place]).map(|place| self.access[*place]).sum();
        column.minutes + if changes { stand.minutes } else { 0.0 } + access
    }

    /// How far a course has come after a test.
    pub fn after(&self, column: &Column, so_far: &Progressed) -> Progressed {
        let mut next = so_far.clone();
        for place in column.places.iter().chain(&self.stands[column.stand].places) {
            next.reached[*place] = true;
        }
        next.stand = column.stand;
        next
    }

    /// Where every course begins: these places reached, the truck as it stands.
    pub fn begin(&self, reached: &[usize]) -> Progressed {
        let is_reached = (0..self.access.len()).map(|place| reached.contains(&place)).collect();
        Progressed { reached: is_reached, stand: 0 }
    }

    /// Weight of these suspects together.
    pub fn weight(&self, suspects: &[usize]) -> f64 {
        suspects.iter().map(|suspect| self.weights[*suspect]).sum()
    }

    /// Whether a stand is safe whichever of these it is.
    pub fn is_safe(&self, stand: usize, suspects: &[usize]) -> bool {
        suspects.iter().all(|suspect| !self.stands[stand].dangerous[*suspect])
    }

    /// The suspects a test parts these into, by group.
    pub fn parted(&self, column: usize, suspects: &[usize]) -> BTreeMap<u16, Vec<usize>> {
        let mut parts: BTreeMap<u16, Vec<usize>> = BTreeMap::new();
        for suspect in suspects {
            parts.entry(self.columns[column].groups[*suspect]).or_default().push(*suspect);
        }
        parts
    }

    /// What a test is expected to tell of these, in bits: the entropy of its groups.
    pub fn bits(&self, column: usize, suspects: &[usize]) -> f64 {
        let groups = &self.columns[column].groups;
        let first = groups[suspects[0]];
        if suspects.iter().all(|suspect| groups[*suspect] == first) {
            return 0.0;
        }
        let mut sums: Vec<(u16, f64)> = Vec::new();
        for suspect in suspects {
            let (group, weight) = (groups[*suspect], self.weights[*suspect]);
            match sums.iter_mut().find(|(known, _)| *known == group) {
                Some((_, sum)) => *sum += weight,
                None => sums.push((group, weight)),
            }
        }
        let all: f64 = sums.iter().map(|(_, sum)| sum).sum();
        sums.iter().map(|(_, sum)| sum / all).filter(|share| *share > 0.0).map(|share| -share * share.log2()).sum()
    }

    /// Safe tests that tell something of these, the most bits a minute first; of equal ones the shortest, then the
    /// first.
    fn ranked(&self, suspects: &[usize], so_far: &Progressed) -> Vec<(usize, f64, f64)> {
        let safe: Vec<bool> = (0..self.stands.len()).map(|stand| self.is_safe(stand, suspects)).collect();
        let mut found: Vec<(usize, f64, f64)> = (0..self.columns.len())
            .filter(|column| safe[self.columns[*column].stand])
            .filter_map(|column| {
                let bits = self.bits(column, suspects);
                (bits > 0.0).then(|| (column, bits, self.cost(&self.columns[column], so_far)))
            })
            .collect();
        // No test is free, or the rate would have no end.
        let rate = |bits: f64, minutes: f64| bits / minutes.max(1e-3);
        found.sort_by(|a, b| rate(b.1, b.2).total_cmp(&rate(a.1, a.2)).then(a.2.total_cmp(&b.2)).then(a.0.cmp(&b.0)));
        found
    }

    /// The test with the most bits a minute.
    fn greediest(&self, suspects: &[usize], so_far: &Progressed) -> Option<(usize, f64, f64)> {
        if suspects.len() < 2 {
            return None;
        }
        self.ranked(suspects, so_far).into_iter().next()
    }

    /// Minutes that a course by bits a minute alone is expected to take from here.
    pub fn greedy_minutes(&self, suspects: &[usize], so_far: &Progressed) -> f64 {
        let Some((column, _, minutes)) = self.greediest(suspects, so_far) else { return 0.0 };
        minutes + self.expected(column, suspects, so_far, |part, next| self.greedy_minutes(part, next))
    }

    /// What comes after a test, by what each of its groups takes.
    fn expected(
        &self,
        column: usize,
        suspects: &[usize],
        so_far: &Progressed,
        minutes: impl Fn(&[usize], &Progressed) -> f64,
    ) -> f64 {
        let (next, all) = (self.after(&self.columns[column], so_far), self.weight(suspects));
        let parts = self.parted(column, suspects);
        parts.values().map(|part| self.weight(part) / all * minutes(part, &next)).sum()
    }

    /// Minutes that a course is expected to take in which each test is the one of the best few whose course by bits a
    /// minute alone takes least.
    fn improved_minutes(&self, suspects: &[usize], so_far: &Progressed) -> f64 {
        let greedy = |part: &[usize], next: &Progressed| self.greedy_minutes(part, next);
        let Some((column, _, minutes)) = self.least(suspects, so_far, &BRIEFLY, greedy) else { return 0.0 };
        minutes + self.expected(column, suspects, so_far, |part, next| self.improved_minutes(part, next))
    }

    /// The test to make, with its bits and minutes: of the best few the one whose whole course takes least. The course
    /// is followed by bits a minute alone while many remain, and more carefully once few do.
    pub fn best(&self, suspects: &[usize], so_far: &Progressed) -> Option<(usize, f64, f64)> {
        if suspects.len() <= FEW {
            self.least(suspects, so_far, &CAREFULLY, |part, next| self.improved_minutes(part, next))
        } else {
            self.least(suspects, so_far, &WIDELY, |part, next| self.greedy_minutes(part, next))
        }
    }

    /// Of some tests the one that, with what comes after it, takes least.
    fn least(
        &self,
        suspects: &[usize],
        so_far: &Progressed,
        breadth: &[usize; 4],
        after: impl Fn(&[usize], &Progressed) -> f64,
    ) -> Option<(usize, f64, f64)> {
        if suspects.len() < 2 {
            return None;
        }
        let mut best: Option<(f64, (usize, f64, f64))> = None;
        for test in self.promising(suspects, so_far, breadth) {
            // A test that alone takes longer than a whole course is none to look into.
            if best.is_some_and(|(least, _)| test.2 >= least) {
                continue;
            }
            let course = test.2 + self.expected(test.0, suspects, so_far, &after);
            if best.is_none_or(|(least, _)| course < least) {
                best = Some((course, test));
            }
        }
        best.map(|(_, test)| test)
    }

    /// Tests worth a closer look, one of each parting: so many of the most bits a minute, of the most bits a minute of
    /// reading (the way there serves later tests too), and of the most bits; of so many stands the best (bringing one
    /// about serves later tests too).
    fn promising(&self, suspects: &[usize], so_far: &Progressed, breadth: &[usize; 4]) -> Vec<(usize, f64, f64)> {
        let ranked = self.ranked(suspects, so_far);
        let mut known: Vec<Vec<u16>> = Vec::new();
        let mut found: Vec<(usize, f64, f64)> = Vec::new();
        let reading = |test: &(usize, f64, f64)| test.1 / self.columns[test.0].minutes.max(1e-3);
        let by = |order: usize, test: &(usize, f64, f64)| match order {
            0 => 0.0,
            1 => reading(test),
            _ => test.1,
        };
        for (order, wanted) in breadth.iter().take(3).enumerate() {
            let mut tests: Vec<&(usize, f64, f64)> = ranked.iter().collect();
            // Stable: of equals the one with the most bits a minute stays first.
            tests.sort_by(|a, b| by(order, b).total_cmp(&by(order, a)));
            let mut new = 0;
            for test in tests {
                if new == *wanted {
                    break;
                }
                let groups = &self.columns[test.0].groups;
                let parting = renumbered(&suspects.iter().map(|suspect| groups[*suspect]).collect::<Vec<_>>());
                if !known.contains(&parting) {
                    known.push(parting);
                    found.push(*test);
                    new += 1;
                }
            }
        }
        let mut stands: Vec<usize> = Vec::new();
        let mut by_reading: Vec<&(usize, f64, f64)> = ranked.iter().collect();
        by_reading.sort_by(|a, b| reading(b).total_cmp(&reading(a)));
        for test in by_reading {
            let stand = self.columns[test.0].stand;
            if stands.len() < breadth[3] && !stands.contains(&stand) {
                stands.push(stand);
                if !found.contains(test) {
                    found.push(*test);
                }
            }
        }
        found
    }

    /// The whole course from here.
    pub fn course(&self, suspects: &[usize], so_far: &Progressed) -> Course {
        let step = self.best(suspects, so_far).map(|(column, bits, minutes)| {
            let next = self.after(&self.columns[column], so_far);
            let branches = self.parted(column, suspects);
            let branches = branches.into_iter().map(|(group, part)| (group, self.course(&part, &next))).collect();
            Step { column, minutes, bits, branches }
        });
        Course { suspects: suspects.to_vec(), step }
    }

    /// Minutes that a course is expected to take.
    pub fn minutes(&self, course: &Course) -> f64 {
        let Some(step) = &course.step else { return 0.0 };
        let all = self.weight(&course.suspects);
        let after = |(_, next): &(u16, Course)| self.weight(&next.suspects) / all * self.minutes(next);
        step.minutes + step.branches.iter().map(after).sum::<f64>()
    }

    /// Suspects that no safe test tells apart, together; in order of their first. A test counts where it is dangerous
    /// under none of those that are still together: others can be ruled out before.
    pub fn alike(&self) -> Vec<Vec<usize>> {
        let mut waiting: Vec<Vec<usize>> = vec![(0..self.weights.len()).collect()];
        let mut classes: Vec<Vec<usize>> = Vec::new();
        while let Some(class) = waiting.pop() {
            let safe: Vec<bool> = (0..self.stands.len()).map(|stand| self.is_safe(stand, &class)).collect();
            let splits = |column: &Column| {
                safe[column.stand] && class.iter().any(|suspect| column.groups[*suspect] != column.groups[class[0]])
            };
            match self.columns.iter().position(splits) {
                Some(column) => waiting.extend(self.parted(column, &class).into_values()),
                None if class.is_empty() => {}
                None => classes.push(class),
            }
        }
        classes.sort();
        classes
    }

    /// The same with each of these classes, which are alike, as one, whose weight is theirs together.
    pub fn in_classes(&self, classes: &[Vec<usize>]) -> Self {
        let weights = classes.iter().map(|class| self.weight(class)).collect();
        let stands = self.stands.iter().map(|stand| Standpoint {
            dangerous: classes.iter().map(|class| class.iter().any(|suspect| stand.dangerous[*suspect])).collect(),
            ..stand.clone()
        });
        let columns = self.columns.iter().map(|column| Column {
            groups: classes.iter().map(|class| column.groups[class[0]]).collect(),
            ..column.clone()
        });
        Self { weights, columns: columns.collect(), stands: stands.collect(), access: self.access.clone() }
    }

    /// The columns worth keeping, in their order: each tells something, and no other of the same stand tells as much at
    /// no more minutes and no other places.
    pub fn worth_keeping(&self) -> Vec<usize> {
        let all: Vec<usize> = (0..self.weights.len()).collect();
        let mut kept: BTreeMap<(usize, Vec<u16>), Vec<usize>> = BTreeMap::new();
        for (at, column) in self.columns.iter().enumerate() {
            if all.is_empty() || self.bits(at, &all) == 0.0 {
                continue;
            }
            let rivals = kept.entry((column.stand, renumbered(&column.groups))).or_default();
            let beats = |one: &Column, other: &Column| {
                one.minutes <= other.minutes && one.places.iter().all(|place| other.places.contains(place))
            };
            if rivals.iter().any(|rival| beats(&self.columns[*rival], column)) {
                continue;
            }
            rivals.retain(|rival| !beats(column, &self.columns[*rival]));
            rivals.push(at);
        }
        let mut kept: Vec<usize> = kept.into_values().flatten().collect();
        kept.sort_unstable();
        kept
    }
}

/// Groups numbered in the order in which they are met, so that equal partings are equal.
fn renumbered(groups: &[u16]) -> Vec<u16> {
    let mut met: Vec<u16> = Vec::new();
    let number = |group: &u16| {
        let known = met.iter().position(|known| known == group);
        known.unwrap_or_else(|| {
            met.push(*group);
            met.len() - 1
        }) as u16
    };
    groups.iter().map(number).collect()
}
