//! In which order the nodes of a network are eliminated, and where each number then goes: worked out once from what
//! joins what, and good for any values.
//!
//! Nodes go in order of fewest neighbours first (minimum degree: D. J. Rose, "A graph-theoretic study of the numerical
//! solution of sparse positive definite systems of linear equations", 1972), which keeps harness-like networks
//! sparse. All that elimination will ever touch is laid out in flat lists of numbers, so that a [`sweep`](super::sweep)
//! over them searches nothing and allocates nothing. Values, and what they mean, are left to the sweeps.

/// Where the conductance of a join goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slot {
    /// Between two nodes that are both eliminated.
    Between(usize),
    /// From the node at this place to the anchor.
    Anchor(usize),
    /// Nowhere: both its ends are the same node.
    None,
}

/// An order of elimination with everything that it touches.
///
/// A node's *place* is its number in that order; the anchor, which is never eliminated, stands after the last place.
#[derive(Clone, Debug)]
pub(super) struct Schedule {
    /// Place of each node; the anchor's is the number of places.
    place: Vec<u32>,
    /// Where each place's entries begin in `later`; one more at the end.
    first: Vec<u32>,
    /// For each place its neighbours when it goes, by place, in rising order, the anchor left out.
    later: Vec<u32>,
    /// For each place and each two of its neighbours in turn, the entry of the join between those two.
    mesh: Vec<u32>,
    /// Most neighbours that a place has left when it goes.
    widest: usize,
}

impl Schedule {
    /// Order for `count` nodes joined by `joins`, of which `anchor` is kept to the last.
    pub(super) fn of(count: usize, joins: impl IntoIterator<Item = (usize, usize)>, anchor: Option<usize>) -> Self {
        let mut stars = stars(count, joins, anchor);
        let order = order(&mut stars, anchor);
        let mut place = vec![number(order.len()); count];
        for (at, node) in order.iter().enumerate() {
            place[*node as usize] = number(at);
        }
        let mut first = Vec::with_capacity(order.len() + 1);
        let mut later: Vec<u32> = Vec::new();
        first.push(0);
        for node in &order {
            let begun = later.len();
            later.extend(stars[*node as usize].iter().map(|other| place[*other as usize]));
            later[begun..].sort_unstable();
            first.push(number(later.len()));
        }
        let widest = first.windows(2).map(|span| (span[1] - span[0]) as usize).max().unwrap_or(0);
        let mut schedule = Self { place, first, later, mesh: Vec::new(), widest };
        schedule.mesh = schedule.meshes();
        schedule
    }

    /// For each place and each two of its neighbours, the entry between them: it is among the entries of the nearer.
    fn meshes(&self) -> Vec<u32> {
        let mut mesh = Vec::new();
        for at in 0..self.places() {
            let star = self.star(at);
            for (i, near) in star.iter().enumerate() {
                let mut entry = self.first[*near as usize];
                for far in &star[i + 1..] {
                    while self.later[entry as usize] != *far {
                        entry += 1;
                    }
                    mesh.push(entry);
                }
            }
        }
        mesh
    }

    /// How many places: the nodes without the anchor.
    pub(super) fn places(&self) -> usize {
        self.first.len() - 1
    }

    /// How many nodes, the anchor among them.
    pub(super) fn nodes(&self) -> usize {
        self.place.len()
    }

    /// How many entries between nodes.
    pub(super) fn entries(&self) -> usize {
        self.later.len()
    }

    /// Place of a node.
    pub(super) fn place(&self, node: usize) -> usize {
        self.place[node] as usize
    }

    /// The entries of a place.
    pub(super) fn span(&self, at: usize) -> std::ops::Range<usize> {
        self.first[at] as usize..self.first[at + 1] as usize
    }

    /// The place whose entry this is.
    pub(super) fn place_of_entry(&self, entry: usize) -> usize {
        self.first.partition_point(|first| *first as usize <= entry) - 1
    }

    /// Most neighbours that a place has left when it goes.
    pub(super) fn widest(&self) -> usize {
        self.widest
    }

    /// Places of the neighbours that a place has left when it goes.
    pub(super) fn star(&self, at: usize) -> &[u32] {
        &self.later[self.span(at)]
    }

    /// The entries of joins between neighbours, place after place.
    pub(super) fn mesh(&self) -> &[u32] {
        &self.mesh
    }

    /// Where the conductance between two nodes goes; none where the order has no entry for it.
    pub(super) fn slot(&self, a: usize, b: usize) -> Option<Slot> {
        self.slot_of_places(self.place(a), self.place(b))
    }

    /// The same for two places.
    pub(super) fn slot_of_places(&self, a: usize, b: usize) -> Option<Slot> {
        let (near, far) = (a.min(b), a.max(b));
        if near == far {
            return Some(Slot::None);
        }
        if far == self.places() {
            return Some(Slot::Anchor(near));
        }
        let entry = self.star(near).binary_search(&number(far)).ok()?;
        Some(Slot::Between(self.first[near] as usize + entry))
    }
}

fn number(count: usize) -> u32 {
    // A network of four thousand million nodes fits no memory this runs in.
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// Each node's neighbours, every one once, the anchor left out.
fn stars(count: usize, joins: impl IntoIterator<Item = (usize, usize)>, anchor: Option<usize>) -> Vec<Vec<u32>> {
    let mut stars: Vec<Vec<u32>> = vec![Vec::new(); count];
    for (a, b) in joins {
        if a != b && Some(a) != anchor && Some(b) != anchor {
            stars[a].push(number(b));
            stars[b].push(number(a));
        }
    }
    for star in &mut stars {
        star.sort_unstable();
        star.dedup();
    }
    stars
}

/// Eliminates every node but the anchor; returns the order. A node's star is left as it was when it went.
fn order(stars: &mut [Vec<u32>], anchor: Option<usize>) -> Vec<u32> {
    let mut gone = vec![false; stars.len()];
    let mut waiting = Waiting::default();
    // The last put in is the first out: so that low numbers go first, where that is all that tells nodes apart.
    for node in (0..stars.len()).rev().filter(|node| Some(*node) != anchor) {
        waiting.put(stars[node].len(), number(node));
    }
    let mut order = Vec::with_capacity(stars.len());
    while let Some((degree, node)) = waiting.take() {
        let at = node as usize;
        // An entry is stale when the node went already or its number of neighbours has changed since.
        if gone[at] || stars[at].len() != degree {
            continue;
        }
        gone[at] = true;
        order.push(node);
        let star = std::mem::take(&mut stars[at]);
        for other in &star {
            join_up(&mut stars[*other as usize], node, *other, &star);
        }
        for other in &star {
            waiting.put(stars[*other as usize].len(), *other);
        }
        stars[at] = star;
    }
    order
}

/// Takes `gone` out of the star of `node` and puts the others of `mesh` in.
fn join_up(star: &mut Vec<u32>, gone: u32, node: u32, mesh: &[u32]) {
    if let Ok(place) = star.binary_search(&gone) {
        star.remove(place);
    }
    for other in mesh {
        if *other == node {
            continue;
        }
        if let Err(place) = star.binary_search(other) {
            star.insert(place, *other);
        }
    }
}

/// Nodes by their number of neighbours, the fewest first; a shelf for each number, so that neither way costs a search.
#[derive(Default)]
struct Waiting {
    shelves: Vec<Vec<u32>>,
    /// No shelf below this one has anything on it.
    lowest: usize,
}

impl Waiting {
    fn put(&mut self, degree: usize, node: u32) {
        if self.shelves.len() <= degree {
            self.shelves.resize_with(degree + 1, Vec::new);
        }
        self.shelves[degree].push(node);
        self.lowest = self.lowest.min(degree);
    }

    fn take(&mut self) -> Option<(usize, u32)> {
        while let Some(shelf) = self.shelves.get_mut(self.lowest) {
            if let Some(node) = shelf.pop() {
                return Some((self.lowest, node));
            }
            self.lowest += 1;
        }
        None
    }
}
