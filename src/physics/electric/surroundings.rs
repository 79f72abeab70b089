//! The rest of a network as it is seen from any one place and its neighbours, worked out once for all places.
//!
//! A place and the neighbours it has when it is eliminated make a *patch*. All that lies around a patch can be put
//! together into a mesh between its places, and so a copy in which something within the patch is altered is a network
//! of a few places, whatever the size of the whole. Meshes come up from the places eliminated before and down from those
//! after (the two passes of message passing on a junction tree: S. L. Lauritzen and D. J. Spiegelhalter, "Local
//! computations with probabilities on graphical structures", Journal of the Royal Statistical Society B 50, 1988), both
//! by star-mesh elimination, so that nothing is ever subtracted and a copy is as exact as one solved by a sweep of its
//! own. For each patch it is kept how the levels of the watched follow from the levels within it.
//!
//! Which alterations come here, and what floats, is [`altered`](super::altered)'s business.

use super::prepared::Solved;
use super::schedule::{Schedule, Slot};

/// What is known of the rest of a solved network at each of its patches. Kept from one network to the next for its room:
/// fresh pages cost more than all that is written on them.
#[derive(Clone, Debug, Default)]
pub(super) struct Surroundings {
    width: usize,
    /// For each entry of the schedule the part of its siemens that came by elimination.
    meshed: Vec<f64>,
    /// For each place the part of its siemens to the anchor that came so.
    anchor_meshed: Vec<f64>,
    /// Amps driven into each place by the time it is eliminated.
    driven: Vec<f64>,
    /// Where the square of each place's neighbours begins among those of a [`Side`].
    corner: Vec<usize>,
    /// What the places eliminated before each place put between its neighbours, past itself.
    below: Side,
    /// What lies beyond each place's neighbours.
    beyond: Side,
    /// For each place the last one of all that hang together with it, the anchor left out.
    root: Vec<u32>,
    /// For each place how the watched follow: a row for itself, one for each neighbour, one that stands alone.
    follow: Vec<f64>,
}

/// For each place a mesh between its neighbours.
#[derive(Clone, Debug, Default)]
struct Side {
    /// Siemens between each two: a square for each place.
    between: Vec<f64>,
    /// For each entry siemens from that neighbour to the anchor.
    anchor: Vec<f64>,
    /// For each entry amps into that neighbour.
    amps: Vec<f64>,
}

impl Side {
    fn clear(&mut self, square: usize, entries: usize) {
        clear(&mut self.between, square);
        clear(&mut self.anchor, entries);
        clear(&mut self.amps, entries);
    }
}

/// So many zeros.
fn clear(numbers: &mut Vec<f64>, count: usize) {
    numbers.clear();
    numbers.resize(count, 0.0);
}

/// Room to solve a patch in, kept from one to the next.
#[derive(Clone, Debug, Default)]
pub(super) struct Patch {
    size: usize,
    /// Siemens between its places: square, the same from both sides.
    between: Vec<f64>,
    anchor: Vec<f64>,
    amps: Vec<f64>,
}

impl Patch {
    fn clear(&mut self, size: usize) {
        self.size = size;
        clear(&mut self.between, size * size);
        clear(&mut self.anchor, size);
        clear(&mut self.amps, size);
    }

    fn add_between(&mut self, a: usize, b: usize, siemens: f64) {
        self.between[a * self.size + b] += siemens;
        self.between[b * self.size + a] += siemens;
    }

    fn add(&mut self, other: &Self) {
        for (mine, theirs) in
            [(&mut self.between, &other.between), (&mut self.anchor, &other.anchor), (&mut self.amps, &other.amps)]
        {
            mine.iter_mut().zip(theirs).for_each(|(mine, theirs)| *mine += theirs);
        }
    }

    fn copy(&mut self, other: &Self) {
        self.size = other.size;
        self.between.clone_from(&other.between);
        self.anchor.clone_from(&other.anchor);
        self.amps.clone_from(&other.amps);
    }

    /// Eliminates one of its places, which then hangs on those not `gone`; one over what held it, zero where nothing did.
    fn eliminate(&mut self, at: usize, gone: &[bool]) -> f64 {
        let size = self.size;
        let stays = |other: &usize| *other != at && !gone[*other];
        let row = at * size;
        let sum = self.anchor[at] + (0..size).filter(stays).map(|other| self.between[row + other]).sum::<f64>();
        let over = if sum > 0.0 { 1.0 / sum } else { 0.0 };
        for one in (0..size).filter(stays) {
            let share = self.between[row + one] * over;
            if share == 0.0 {
                continue;
            }
            self.anchor[one] += share * self.anchor[at];
            self.amps[one] += share * self.amps[at];
            for other in (one + 1..size).filter(stays) {
                let more = share * self.between[row + other];
                self.between[one * size + other] += more;
                self.between[other * size + one] += more;
            }
        }
        over
    }

    /// Turns amps into levels; what nothing holds stands at zero.
    fn solve(&mut self) {
        let size = self.size;
        for at in 0..size {
            let row = at * size;
            let sum = self.anchor[at] + self.between[row + at + 1..row + size].iter().sum::<f64>();
            let over = if sum > 0.0 { 1.0 / sum } else { 0.0 };
            // The diagonal is of no other use.
            self.between[row + at] = over;
            for one in at + 1..size {
                let share = self.between[row + one] * over;
                self.anchor[one] += share * self.anchor[at];
                self.amps[one] += share * self.amps[at];
                for other in one + 1..size {
                    self.between[one * size + other] += share * self.between[row + other];
                }
            }
        }
        for at in (0..size).rev() {
            let row = at * size;
            let hung: f64 = (at + 1..size).map(|other| self.between[row + other] * self.amps[other]).sum();
            self.amps[at] = (self.amps[at] + hung) * self.between[row + at];
        }
    }
}

/// Something altered within a patch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Local {
    /// Where its conductance goes.
    pub(super) slot: Slot,
    /// Siemens there now, but for what came by elimination; none where they stay and `more` is added.
    pub(super) siemens: Option<f64>,
    /// Siemens added.
    pub(super) more: f64,
    /// Amps driven by it into the place with the lower number, and out of the other.
    pub(super) amps: f64,
}

impl Local {
    /// The place in whose patch it is; none where it is nowhere.
    fn place(&self, schedule: &Schedule) -> Option<usize> {
        match self.slot {
            Slot::Between(entry) => Some(schedule.place_of_entry(entry)),
            Slot::Anchor(at) => Some(at),
            Slot::None => None,
        }
    }
}

impl Surroundings {
    /// Takes up the surroundings of the patches of a solved network that hold what is `wanted`; of others they are left
    /// unsaid.
    pub(super) fn take_up<'l>(&mut self, solved: &Solved, wanted: impl IntoIterator<Item = &'l Local>) {
        let schedule = &solved.prepared.schedule;
        let (places, entries) = (schedule.places(), schedule.entries());
        self.corner.clear();
        let mut square = 0;
        for at in 0..places {
            self.corner.push(square);
            square += schedule.star(at).len().pow(2);
        }
        self.width = solved.ohms.width();
        self.root.clear();
        self.root.extend(0..places as u32);
        for at in (0..places).rev() {
            if let Some(parent) = schedule.star(at).first() {
                self.root[at] = self.root[*parent as usize];
            }
        }
        clear(&mut self.meshed, entries);
        clear(&mut self.anchor_meshed, places);
        clear(&mut self.follow, (entries + 2 * places) * self.width);
        self.below.clear(square, entries);
        self.beyond.clear(square, entries);
        let own = own_amps(solved);
        self.driven.clone_from(&own);
        let mut is_wanted = vec![false; places];
        for local in wanted {
            if let Some(at) = local.place(schedule) {
                is_wanted[at] = true;
            }
        }
        // What goes down comes by the places after.
        for at in 0..places {
            if is_wanted[at]
                && let Some(parent) = schedule.star(at).first()
            {
                is_wanted[*parent as usize] = true;
            }
        }
        let within = within(schedule, solved);
        self.come_up(solved, &within);
        self.go_down(solved, &own, &within, &is_wanted);
    }

    /// Where the rows of a place begin among those that follow.
    fn rows(&self, schedule: &Schedule, at: usize) -> usize {
        (schedule.span(at).start + 2 * at) * self.width
    }

    /// What comes up: meshes, amps, and how the watched among the places before follow.
    fn come_up(&mut self, solved: &Solved, within: &[u64]) {
        let (schedule, width) = (&solved.prepared.schedule, self.width);
        for (lane, place) in solved.places.iter().enumerate().take(solved.watched().len()) {
            if *place < schedule.places() {
                let row = self.rows(schedule, *place);
                self.follow[row + lane] = 1.0;
            }
        }
        let mut mesh = schedule.mesh();
        let mut own = Vec::new();
        for at in 0..schedule.places() {
            let star = schedule.star(at);
            let (siemens, over) = solved.sweep.swept(schedule, at);
            let held = solved.sweep.held(at);
            for (i, ([one], other)) in siemens.iter().zip(star).enumerate() {
                let share = one * over;
                if let Some(meshed) = self.anchor_meshed.get_mut(*other as usize) {
                    *meshed += share * held;
                }
                let driven = self.driven[at];
                self.driven[*other as usize] += share * driven;
                let (entries, rest) = mesh.split_at(star.len() - i - 1);
                mesh = rest;
                for (entry, [farther]) in entries.iter().zip(&siemens[i + 1..]) {
                    self.meshed[*entry as usize] += share * farther;
                }
            }
            let Some(parent) = star.first() else { continue };
            self.pass_up(solved, at, *parent as usize);
            let each = words(width);
            if within[at * each..][..each].iter().all(|lanes| *lanes == 0) {
                continue;
            }
            // The watched that follow from this place follow from its neighbours instead.
            let mine = self.rows(schedule, at);
            own.clear();
            own.extend_from_slice(&self.follow[mine..mine + width]);
            let parent_rows = self.rows(schedule, *parent as usize);
            let parent_star = schedule.star(*parent as usize);
            let add = |all: &mut Vec<f64>, to: usize, from: usize, share: f64| {
                for lane in 0..width {
                    let more = all[from + lane] + share * own[lane];
                    all[to + lane] += more;
                }
            };
            for (i, ([one], other)) in siemens.iter().zip(star).enumerate() {
                let row = if i == 0 { 0 } else { 1 + position(parent_star, *other) };
                add(&mut self.follow, parent_rows + row * width, mine + (1 + i) * width, one * over);
            }
            let alone = |star: &[u32]| (1 + star.len()) * width;
            add(&mut self.follow, parent_rows + alone(parent_star), mine + alone(star), self.driven[at] * over);
        }
    }

    /// What a place puts between its neighbours, for the nearest of them to know what it puts between the others.
    fn pass_up(&mut self, solved: &Solved, at: usize, parent: usize) {
        let schedule = &solved.prepared.schedule;
        let (star, parent_star) = (schedule.star(at), schedule.star(parent));
        let (siemens, over) = solved.sweep.swept(schedule, at);
        let (begun, parent_begun) = (schedule.span(at).start, schedule.span(parent).start);
        let (corner, parent_corner) = (self.corner[at], self.corner[parent]);
        for i in 1..star.len() {
            let share = siemens[i][0] * over;
            let mine = position(parent_star, star[i]);
            self.below.anchor[parent_begun + mine] += self.below.anchor[begun + i] + share * solved.sweep.held(at);
            self.below.amps[parent_begun + mine] += self.below.amps[begun + i] + share * self.driven[at];
            for j in i + 1..star.len() {
                let more = self.below.between[corner + i * star.len() + j] + share * siemens[j][0];
                let other = position(parent_star, star[j]);
                self.below.between[parent_corner + mine * parent_star.len() + other] += more;
            }
        }
    }

    /// What goes down: the mesh of all that lies beyond each place's neighbours, and how the watched there follow.
    fn go_down(&mut self, solved: &Solved, own_amps: &[f64], within: &[u64], is_wanted: &[bool]) {
        let schedule = &solved.prepared.schedule;
        let before = Before::of(schedule);
        let (mut base, mut here, mut sum) = (Patch::default(), Patch::default(), Patch::default());
        let mut after: Vec<Patch> = Vec::new();
        let mut follow = Vec::new();
        for at in (0..schedule.places()).rev() {
            let children = before.of_place(at);
            if !is_wanted[at] || !children.iter().any(|child| is_wanted[*child as usize]) {
                continue;
            }
            let star = schedule.star(at);
            base.clear(1 + star.len());
            self.put_side(schedule, at, &self.beyond, &mut base);
            for (i, entry) in schedule.span(at).enumerate() {
                base.add_between(0, 1 + i, solved.unswept.between(entry));
            }
            base.anchor[0] += solved.unswept.anchor(at);
            base.amps[0] += own_amps[at];
            if let [child] = children {
                let child = *child as usize;
                let mine = (&within[child * words(self.width)..], &mut follow);
                self.leave(solved, at, child, &mut base, mine);
                continue;
            }
            // Each child sees its brothers: those after it summed up from the end, those before it as they go by.
            if after.len() < children.len() {
                after.resize_with(children.len(), Patch::default);
            }
            for place in (0..children.len()).rev() {
                sum.clear(1 + star.len());
                if place + 1 < children.len() {
                    sum.copy(&after[place + 1]);
                    self.put_mesh(solved, children[place + 1], at, &mut sum);
                }
                after[place].copy(&sum);
            }
            for (place, child) in children.iter().enumerate() {
                let child = *child as usize;
                if place > 0 {
                    self.put_mesh(solved, children[place - 1], at, &mut base);
                }
                if !is_wanted[child] {
                    continue;
                }
                here.copy(&base);
                here.add(&after[place]);
                self.leave(solved, at, child, &mut here, (&within[child * words(self.width)..], &mut follow));
            }
        }
    }

    /// Adds a mesh between the neighbours of a place to its patch.
    fn put_side(&self, schedule: &Schedule, at: usize, side: &Side, patch: &mut Patch) {
        let count = schedule.star(at).len();
        let corner = self.corner[at];
        for i in 0..count {
            for j in i + 1..count {
                patch.add_between(1 + i, 1 + j, side.between[corner + i * count + j]);
            }
        }
        for (i, entry) in schedule.span(at).enumerate() {
            patch.anchor[1 + i] += side.anchor[entry];
            patch.amps[1 + i] += side.amps[entry];
        }
    }

    /// Adds what comes up from one of the places before to a patch.
    fn put_mesh(&self, solved: &Solved, child: u32, at: usize, patch: &mut Patch) {
        let schedule = &solved.prepared.schedule;
        let child = child as usize;
        let (siemens, over) = solved.sweep.swept(schedule, child);
        let held = solved.sweep.held(child);
        let star = schedule.star(child);
        let (begun, corner) = (schedule.span(child).start, self.corner[child]);
        let seat = |other: u32| if other as usize == at { 0 } else { 1 + position(schedule.star(at), other) };
        for (i, ([one], other)) in siemens.iter().zip(star).enumerate() {
            let share = one * over;
            let mine = seat(*other);
            patch.anchor[mine] += self.below.anchor[begun + i] + share * held;
            patch.amps[mine] += self.below.amps[begun + i] + share * self.driven[child];
            for j in i + 1..star.len() {
                let passed = self.below.between[corner + i * star.len() + j];
                patch.add_between(mine, seat(star[j]), passed + share * siemens[j][0]);
            }
        }
    }

    /// Leaves a patch towards one of the places before it: eliminates what that place does not touch, and keeps the rest
    /// as what lies beyond it.
    fn leave(
        &mut self,
        solved: &Solved,
        at: usize,
        child: usize,
        patch: &mut Patch,
        (within, follow): (&[u64], &mut Vec<f64>),
    ) {
        let (schedule, width) = (&solved.prepared.schedule, self.width);
        let (star, child_star) = (schedule.star(at), schedule.star(child));
        let size = patch.size;
        let rows = self.rows(schedule, at);
        follow.clear();
        follow.extend_from_slice(&self.follow[rows..rows + (size + 1) * width]);
        // Those that follow from the child itself are its own.
        if within[..words(width)].iter().any(|lanes| *lanes != 0) {
            for row in follow.chunks_exact_mut(width) {
                for (lane, share) in row.iter_mut().enumerate() {
                    if within[lane / 64] >> (lane % 64) & 1 == 1 {
                        *share = 0.0;
                    }
                }
            }
        }
        let mut gone = [false; MOST];
        for seat in (1..size).filter(|seat| child_star.binary_search(&star[seat - 1]).is_err()) {
            let over = patch.eliminate(seat, &gone[..size]);
            gone[seat] = true;
            for other in (0..size).filter(|other| !gone[*other]) {
                let share = patch.between[seat * size + other] * over;
                add_row(follow, (other, seat), share, width);
            }
            add_row(follow, (size, seat), patch.amps[seat] * over, width);
        }
        let corner = self.corner[child];
        let begun = schedule.span(child).start;
        let seat = |other: u32| if other as usize == at { 0 } else { 1 + position(star, other) };
        let child_rows = self.rows(schedule, child);
        for (i, one) in child_star.iter().enumerate() {
            let mine = seat(*one);
            self.beyond.anchor[begun + i] = patch.anchor[mine];
            self.beyond.amps[begun + i] = patch.amps[mine];
            for (j, other) in child_star.iter().enumerate() {
                self.beyond.between[corner + i * child_star.len() + j] = patch.between[mine * size + seat(*other)];
            }
            let to = child_rows + (1 + i) * width;
            for (share, more) in self.follow[to..to + width].iter_mut().zip(&follow[mine * width..]) {
                *share += more;
            }
        }
        let to = child_rows + (1 + child_star.len()) * width;
        for (share, more) in self.follow[to..to + width].iter_mut().zip(&follow[size * width..]) {
            *share += more;
        }
    }

    /// Levels of the watched with something altered at one slot; false where the patch does not tell.
    pub(super) fn put_altered(&self, solved: &Solved, local: Local, patch: &mut Patch, out: &mut [f64]) -> bool {
        let schedule = &solved.prepared.schedule;
        let Some(at) = local.place(schedule) else { return false };
        let entry = match local.slot {
            Slot::Between(entry) => Some(entry),
            Slot::Anchor(_) | Slot::None => None,
        };
        patch.clear(1 + schedule.star(at).len());
        self.put_side(schedule, at, &self.below, patch);
        self.put_side(schedule, at, &self.beyond, patch);
        let (siemens, _) = solved.sweep.swept(schedule, at);
        for (i, ([one], number)) in siemens.iter().zip(schedule.span(at)).enumerate() {
            let siemens = match local.siemens {
                Some(now) if Some(number) == entry => now + self.meshed[number],
                _ => *one,
            };
            patch.add_between(0, 1 + i, siemens);
        }
        patch.anchor[0] += match local.siemens {
            Some(now) if entry.is_none() => now + self.anchor_meshed[at],
            _ => solved.sweep.held(at),
        };
        patch.amps[0] += self.driven[at] + local.amps;
        match entry {
            Some(entry) => {
                let seat = 1 + entry - schedule.span(at).start;
                patch.add_between(0, seat, local.more);
                patch.amps[seat] -= local.amps;
            }
            None => patch.anchor[0] += local.more,
        }
        patch.solve();
        let rows = self.rows(schedule, at);
        let (levels, alone) = (&patch.amps, rows + patch.size * self.width);
        out[..self.width].copy_from_slice(&self.follow[alone..alone + self.width]);
        for (level, row) in levels.iter().zip(self.follow[rows..].chunks_exact(self.width)) {
            out.iter_mut().zip(row).for_each(|(out, share)| *out += share * level);
        }
        // What hangs together with it by nothing but the anchor stays as it was.
        for (out, place) in out.iter_mut().zip(&solved.places) {
            if self.root.get(*place).is_some_and(|root| *root != self.root[at]) {
                *out = solved.level[*place];
            }
        }
        true
    }
}

/// Most places of a patch.
pub(super) const MOST: usize = 24;

fn add_row(rows: &mut [f64], (to, from): (usize, usize), share: f64, width: usize) {
    for lane in 0..width {
        let more = share * rows[from * width + lane];
        rows[to * width + lane] += more;
    }
}

/// Where a place stands in a star it belongs to.
fn position(star: &[u32], place: u32) -> usize {
    star.binary_search(&place).unwrap_or(0)
}

/// Amps that the branches' sources drive into each place, the anchor last.
fn own_amps(solved: &Solved) -> Vec<f64> {
    let mut amps = vec![[0.0]; solved.prepared.places() + 1];
    solved.prepared.drive(|line| solved.siemens[line], 0, &mut amps);
    amps.into_iter().map(|[amps]| amps).collect()
}

/// Words of 64 for as many watched.
fn words(width: usize) -> usize {
    width.div_ceil(64).max(1)
}

/// For each place which of the watched stand at it or at a place that hangs on nothing but it and its neighbours.
fn within(schedule: &Schedule, solved: &Solved) -> Vec<u64> {
    let each = words(solved.ohms.width());
    let mut within = vec![0; schedule.places() * each];
    for (lane, place) in solved.places.iter().enumerate().take(solved.watched().len()) {
        if *place < schedule.places() {
            within[place * each + lane / 64] |= 1 << (lane % 64);
        }
    }
    for at in 0..schedule.places() {
        if let Some(parent) = schedule.star(at).first() {
            for word in 0..each {
                within[*parent as usize * each + word] |= within[at * each + word];
            }
        }
    }
    within
}

/// For each place those whose first neighbour it is.
struct Before {
    first: Vec<u32>,
    places: Vec<u32>,
}

impl Before {
    fn of(schedule: &Schedule) -> Self {
        let parent = |at: usize| schedule.star(at).first().map(|parent| *parent as usize);
        let mut first = vec![0; schedule.places() + 1];
        (0..schedule.places()).filter_map(parent).for_each(|parent| first[parent + 1] += 1);
        for at in 0..schedule.places() {
            first[at + 1] += first[at];
        }
        let mut next: Vec<u32> = first.clone();
        let mut places = vec![0; first[schedule.places()] as usize];
        for at in 0..schedule.places() {
            if let Some(parent) = parent(at) {
                places[next[parent] as usize] = at as u32;
                next[parent] += 1;
            }
        }
        Self { first, places }
    }

    fn of_place(&self, at: usize) -> &[u32] {
        &self.places[self.first[at] as usize..self.first[at + 1] as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::{Local, Patch, Surroundings};
    use crate::physics::electric::schedule::Slot;
    use crate::physics::electric::{Branch, Network, Prepared};

    #[test]
    fn a_patch_in_which_nothing_is_altered_gives_the_levels_of_the_whole() {
        // Two meshes side by side that share the battery, with a bridge between two rungs.
        let mut network = Network { nodes: 12, branches: Vec::new(), reference: Some(0) };
        network.branches.push(Branch { from: 0, to: 1, ohms: 0.01, emf: 12.6 });
        for (a, b, ohms) in [
            (1, 2, 0.1),
            (2, 3, 0.2),
            (3, 4, 0.3),
            (4, 0, 30.0),
            (2, 5, 5.0),
            (5, 4, 7.0),
            (5, 6, 1.0),
            (6, 0, 90.0),
            (1, 7, 0.1),
            (7, 8, 4.0),
            (8, 9, 3.0),
            (7, 9, 2.0),
            (9, 10, 1.0),
            (8, 10, 6.0),
            (10, 0, 12.0),
            (9, 11, 8.0),
            (11, 0, 2.0),
        ] {
            network.branches.push(Branch::resistor(a, b, ohms));
        }
        let prepared = Prepared::of(&network);
        let solved = prepared.solve(&prepared.siemens(), &prepared.nodes());
        let mut patch = Patch::default();
        let schedule = &prepared.compiled.schedule;
        let slots = (0..schedule.entries()).map(Slot::Between).chain((0..schedule.places()).map(Slot::Anchor));
        let all: Vec<Local> = slots.map(|slot| Local { slot, siemens: None, more: 0.0, amps: 0.0 }).collect();
        let mut around = Surroundings::default();
        around.take_up(&solved, &all);
        for nothing in all {
            let slot = nothing.slot;
            let mut out = vec![0.0; solved.ohms.width()];
            assert!(around.put_altered(&solved, nothing, &mut patch, &mut out));
            solved.put_volts(&mut out);
            for ((got, wanted), node) in out.iter().zip(solved.volts()).zip(solved.watched()) {
                assert!((got - wanted).abs() < 1e-12, "{slot:?}, node {node}: {got}, not {wanted}");
            }
        }
    }
}
