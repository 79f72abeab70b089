//! The circuits that are open in one window: their order, which is in front, and which is seen beside it.
//!
//! Yields [`Row`]. The one in front is kept apart from the others, for nearly everything is about it; here is where it
//! stands among them. What is done on two at once is remembered here, so that undo finds both.

use super::bay::Bay;
use super::space::Pair;

/// Most circuits that are open at once.
pub const MOST: usize = 6;

/// A step that was done on two benches at once: for each the circuit's number, and how many steps had been done there
/// with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Joined([(u32, usize); 2]);

/// The circuits that are open beside the one in front.
#[derive(Debug)]
pub struct Row {
    /// Those that are not in front, in their order.
    others: Vec<Bay>,
    /// The place of the one in front among all.
    at: usize,
    /// The number of the one that was last in front before.
    before: Option<u32>,
    /// Two are seen at once.
    pub side_by_side: bool,
    /// What is done in front is done on the one beside it too.
    pub together: bool,
    last_number: u32,
    joined: Vec<Joined>,
}

impl Default for Row {
    fn default() -> Self {
        let (others, joined) = (Vec::new(), Vec::new());
        Self { others, at: 0, before: None, side_by_side: true, together: false, last_number: 0, joined }
    }
}

impl Row {
    /// How many are open.
    pub fn count(&self) -> usize {
        self.others.len() + 1
    }

    /// All that are open, in their order.
    pub fn all<'a>(&'a self, front: &'a Bay) -> impl Iterator<Item = &'a Bay> {
        let (left, right) = self.others.split_at(self.at);
        left.iter().chain([front]).chain(right)
    }

    /// All that are open, in their order, to be changed.
    pub fn all_mut<'a>(&'a mut self, front: &'a mut Bay) -> impl Iterator<Item = &'a mut Bay> {
        let (left, right) = self.others.split_at_mut(self.at);
        left.iter_mut().chain([front]).chain(right)
    }

    /// The one of this number.
    pub fn get<'a>(&'a self, front: &'a Bay, number: u32) -> Option<&'a Bay> {
        self.all(front).find(|bay| bay.number == number)
    }

    /// The one of this number, to be changed.
    pub fn get_mut<'a>(&'a mut self, front: &'a mut Bay, number: u32) -> Option<&'a mut Bay> {
        self.all_mut(front).find(|bay| bay.number == number)
    }

    /// The numbers of those that are seen, from left to right.
    pub fn seen(&self, front: &Bay, pair: Pair) -> Vec<u32> {
        let beside = self.beside().filter(|_| pair.has_two()).map(|bay| bay.number);
        match beside {
            None => vec![front.number],
            Some(beside) if self.is_beside_right() => vec![front.number, beside],
            Some(beside) => vec![beside, front.number],
        }
    }

    /// Those that are not in front.
    pub fn others(&self) -> &[Bay] {
        &self.others
    }

    /// The place of the one in front among all.
    pub fn front_at(&self) -> usize {
        self.at
    }

    fn beside_at(&self) -> Option<usize> {
        self.before.and_then(|number| self.others.iter().position(|bay| bay.number == number))
    }

    /// The one beside the one in front: the last that was in front before it.
    pub fn beside(&self) -> Option<&Bay> {
        self.beside_at().map(|at| &self.others[at])
    }

    /// The same, to be changed.
    pub fn beside_mut(&mut self) -> Option<&mut Bay> {
        self.beside_at().map(|at| &mut self.others[at])
    }

    /// Whether the one beside is right of the one in front.
    pub fn is_beside_right(&self) -> bool {
        self.beside_at().is_some_and(|at| at >= self.at)
    }

    /// Gives the circuit that is to be in front its number, and a name that no other has.
    pub fn name(&mut self, bay: &mut Bay) {
        self.name_among(bay, None);
    }

    /// The same for one that is to stand beside the one in front.
    pub fn name_beside(&mut self, bay: &mut Bay, front: &Bay) {
        self.name_among(bay, Some(&front.name));
    }

    fn name_among(&mut self, bay: &mut Bay, front: Option<&str>) {
        self.last_number += 1;
        bay.number = self.last_number;
        let title = bay.session.bench().circuit().title();
        let taken = |name: &str| front == Some(name) || self.others.iter().any(|other| other.name == name);
        let numbered = (2..).map(|n| format!("{title} ({n})"));
        let name = std::iter::once(title.to_owned()).chain(numbered).find(|name| !taken(name));
        bay.name = name.unwrap_or_default();
    }

    /// Puts another circuit in front; it stands at the end.
    pub fn add(&mut self, front: &mut Bay, mut bay: Bay) {
        self.before = Some(front.number);
        std::mem::swap(front, &mut bay);
        self.others.insert(self.at, bay);
        self.at = self.others.len();
    }

    /// Brings another to the front; all keep their places.
    pub fn bring(&mut self, front: &mut Bay, number: u32) {
        let Some(of_others) = self.others.iter().position(|bay| bay.number == number) else { return };
        self.before = Some(front.number);
        let mut bay = self.others.remove(of_others);
        std::mem::swap(front, &mut bay);
        let to = if of_others < self.at { of_others } else { of_others + 1 };
        self.others.insert(if self.at < to { self.at } else { self.at - 1 }, bay);
        self.at = to;
    }

    /// Stands a circuit at the end of those left of the one in front, or of those right of it.
    pub fn stand(&mut self, bay: Bay, is_left: bool) {
        if is_left {
            self.others.insert(self.at, bay);
            self.at += 1;
        } else {
            self.others.push(bay);
        }
    }

    /// Takes one away; where it was in front, the one beside it or else its neighbour comes forward. The last one stays.
    pub fn take(&mut self, front: &mut Bay, number: u32) -> Option<Bay> {
        if front.number == number {
            let next = self.beside().or(self.others.get(self.at)).or(self.others.last())?.number;
            self.bring(front, next);
        }
        let of_others = self.others.iter().position(|bay| bay.number == number)?;
        let bay = self.others.remove(of_others);
        if of_others < self.at {
            self.at -= 1;
        }
        self.forget(number);
        // Beside what is in front stands its neighbour, as long as there is one.
        if self.beside_at().is_none() {
            self.before = self.others.get(self.at).or(self.others.last()).map(|bay| bay.number);
        }
        Some(bay)
    }

    /// The number of the one so many places further in the row, round and round.
    pub fn next(&self, front: &Bay) -> u32 {
        let after = (self.at + 1) % self.count();
        self.all(front).nth(after).map_or(front.number, |bay| bay.number)
    }

    /// Remembers that the last step of the one in front and of the one beside it was one act.
    pub fn join(&mut self, front: &Bay) {
        if let Some(beside) = self.beside() {
            let joined = Joined([front, beside].map(|bay| (bay.number, steps(bay))));
            self.joined.push(joined);
        }
    }

    /// The other circuit, and how many steps it had then, of the step with which so many had been done on this one.
    pub fn joined_with(&self, number: u32, steps: usize) -> Option<(u32, usize)> {
        self.joined.iter().find_map(|Joined([one, other])| match (number, steps) {
            known if known == *one => Some(*other),
            known if known == *other => Some(*one),
            _ => None,
        })
    }

    /// Forgets what was done together on a circuit after so many steps, because something else is done now.
    pub fn forget_after(&mut self, number: u32, steps: usize) {
        self.joined.retain(|Joined(both)| !both.iter().any(|(of, at)| *of == number && *at > steps));
    }

    /// Forgets what was done together on a circuit.
    pub fn forget(&mut self, number: u32) {
        self.joined.retain(|Joined(both)| !both.iter().any(|(of, _)| *of == number));
    }

    /// What was done together, by the circuits' places in the row, to be kept.
    pub fn kept(&self, front: &Bay) -> Vec<[(usize, usize); 2]> {
        let place = |number: u32| self.all(front).position(|bay| bay.number == number);
        let kept = |Joined([one, other]): &Joined| Some([(place(one.0)?, one.1), (place(other.0)?, other.1)]);
        self.joined.iter().filter_map(kept).collect()
    }

    /// Takes up what was kept. Where a circuit has fewer steps than it had, nothing is known of it any more.
    pub fn take_up(&mut self, front: &Bay, kept: &[[(usize, usize); 2]]) {
        let known = |(place, at): (usize, usize)| {
            let bay = self.all(front).nth(place)?;
            let all = bay.session.bench().journal().count() + bay.session.bench().undone().count();
            (at <= all).then_some((bay.number, at))
        };
        self.joined = kept.iter().filter_map(|[one, other]| Some(Joined([known(*one)?, known(*other)?]))).collect();
    }

    /// The place in the row of the one beside the one in front.
    pub fn beside_place(&self, front: &Bay) -> Option<usize> {
        let beside = self.beside()?.number;
        self.all(front).position(|bay| bay.number == beside)
    }

    /// Sets which is seen beside the one in front, by its place in the row.
    pub fn set_beside(&mut self, front: &Bay, place: usize) {
        let number = self.all(front).nth(place).map(|bay| bay.number);
        self.before = number;
    }
}

/// How many steps have been done on a bench.
pub fn steps(bay: &Bay) -> usize {
    bay.session.bench().journal().count()
}
