//! Exact solution of a connected resistive network by star-mesh elimination.
//!
//! Eliminating a node replaces the star of conductances around it by the mesh its neighbours then see; going back,
//! each node's voltage is the weighted mean of its neighbours' plus what its own injected current adds. Conductances
//! are only ever added, multiplied and divided, never subtracted, so milliohm contacts beside megohm leaks cost no
//! accuracy (the method of W. K. Grassmann, M. I. Taksar and D. P. Heyman, "Regenerative analysis and steady state
//! distributions for Markov chains", Operations Research 33, 1985, in its symmetric form). Nodes go in order of
//! fewest neighbours first (minimum degree: D. J. Rose, 1972), which keeps harness-like networks sparse.

/// A conductance between two nodes, in siemens.
#[derive(Clone, Copy, Debug)]
pub(super) struct Conductance {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) siemens: f64,
}

/// A network with all its nodes but the anchored ones eliminated, ready for any currents driven into it.
pub(super) struct Eliminated {
    /// Neighbours of each node at the moment it went: they name only nodes that went later, or anchored ones.
    stars: Vec<Vec<(usize, f64)>>,
    order: Vec<usize>,
}

impl Eliminated {
    /// Eliminates `count` nodes but those of `anchored`. Every node must be connected to an anchored one.
    pub(super) fn of(count: usize, conductances: &[Conductance], anchored: &[bool]) -> Self {
        let mut stars = build_stars(count, conductances);
        let order = eliminate_all(&mut stars, anchored);
        Self { stars, order }
    }

    /// Potentials with `injected` amps driven into each node and the anchored ones held at zero.
    ///
    /// Injections are finite. Nodes without any conductance come out at zero.
    pub(super) fn potentials(&self, injected: &[f64]) -> Vec<f64> {
        let mut amps = injected.to_vec();
        let total_of = |node: usize| self.stars[node].iter().map(|(_, g)| g).sum::<f64>();
        for node in self.order.iter().copied() {
            let total = total_of(node);
            for (other, siemens) in &self.stars[node] {
                amps[*other] += siemens / total * amps[node];
            }
        }
        let mut volts = vec![0.0; injected.len()];
        for node in self.order.iter().rev().copied() {
            let total = total_of(node);
            if total > 0.0 {
                let star = &self.stars[node];
                volts[node] = (amps[node] + star.iter().map(|(other, g)| g * volts[*other]).sum::<f64>()) / total;
            }
        }
        volts
    }
}

/// Each node's neighbours with the conductance to them, parallel ones added up.
fn build_stars(count: usize, conductances: &[Conductance]) -> Vec<Vec<(usize, f64)>> {
    let mut stars: Vec<Vec<(usize, f64)>> = vec![Vec::new(); count];
    for c in conductances {
        if c.a != c.b {
            stars[c.a].push((c.b, c.siemens));
            stars[c.b].push((c.a, c.siemens));
        }
    }
    for star in &mut stars {
        star.sort_unstable_by_key(|(other, _)| *other);
        star.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            if same {
                kept.1 += next.1;
            }
            same
        });
    }
    stars
}

/// Eliminates every node that is not anchored; returns the order. A node's star is left as it was at that moment.
fn eliminate_all(stars: &mut [Vec<(usize, f64)>], anchored: &[bool]) -> Vec<usize> {
    let mut gone = anchored.to_vec();
    let mut waiting = Waiting::default();
    // The last put in is the first out: so that low numbers go first, where that is all that tells nodes apart.
    (0..stars.len()).rev().filter(|node| !anchored[*node]).for_each(|node| waiting.put(stars[node].len(), node));
    let mut order = Vec::with_capacity(stars.len());
    while let Some((degree, node)) = waiting.take() {
        // An entry is stale when the node went already or its number of neighbours has changed since.
        if gone[node] || stars[node].len() != degree {
            continue;
        }
        gone[node] = true;
        order.push(node);
        let star = stars[node].clone();
        let total: f64 = star.iter().map(|(_, g)| g).sum();
        if total == 0.0 {
            continue;
        }
        for (i, (a, ga)) in star.iter().enumerate() {
            detach(&mut stars[*a], node);
            for (b, gb) in &star[i + 1..] {
                let between = ga * gb / total;
                attach(&mut stars[*a], *b, between);
                attach(&mut stars[*b], *a, between);
            }
        }
        for (other, _) in &star {
            if !gone[*other] {
                waiting.put(stars[*other].len(), *other);
            }
        }
    }
    order
}

/// Nodes by their number of neighbours, the fewest first; a shelf for each number, so that neither way costs a search.
#[derive(Default)]
struct Waiting {
    shelves: Vec<Vec<usize>>,
    /// No shelf below this one has anything on it.
    lowest: usize,
}

impl Waiting {
    fn put(&mut self, degree: usize, node: usize) {
        if self.shelves.len() <= degree {
            self.shelves.resize_with(degree + 1, Vec::new);
        }
        self.shelves[degree].push(node);
        self.lowest = self.lowest.min(degree);
    }

    fn take(&mut self) -> Option<(usize, usize)> {
        while let Some(shelf) = self.shelves.get_mut(self.lowest) {
            if let Some(node) = shelf.pop() {
                return Some((self.lowest, node));
            }
            self.lowest += 1;
        }
        None
    }
}

fn detach(star: &mut Vec<(usize, f64)>, node: usize) {
    if let Ok(place) = star.binary_search_by_key(&node, |(other, _)| *other) {
        star.remove(place);
    }
}

fn attach(star: &mut Vec<(usize, f64)>, node: usize, siemens: f64) {
    match star.binary_search_by_key(&node, |(other, _)| *other) {
        Ok(place) => star[place].1 += siemens,
        Err(place) => star.insert(place, (node, siemens)),
    }
}
