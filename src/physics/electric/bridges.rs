//! Which branches are the only way to what lies beyond them, and what does lie there.
//!
//! A bridge carries nothing, and opening it sets everything beyond it afloat; that is found by search of the graph
//! (low-link numbers: R. E. Tarjan, "A note on finding the bridges of a graph", Information Processing Letters 2,
//! 1974), never by how small some number came out: ten megohm look like a gap to any threshold and are a way.
//! What the vertices stand for is left to [`prepared`](super::prepared).

/// Joins of a graph in flat lists: for each vertex the joins on it.
#[derive(Clone, Debug)]
pub(super) struct Graph {
    first: Vec<u32>,
    /// Join and the vertex at its other end.
    beside: Vec<(u32, u32)>,
}

impl Graph {
    /// Graph of `count` vertices; joins are told by their place in the list.
    pub(super) fn of(count: usize, joins: &[(u32, u32)]) -> Self {
        let mut first = vec![0u32; count + 1];
        for (a, b) in joins {
            first[*a as usize + 1] += 1;
            first[*b as usize + 1] += 1;
        }
        for vertex in 0..count {
            first[vertex + 1] += first[vertex];
        }
        let mut next = first.clone();
        let mut beside = vec![(0, 0); 2 * joins.len()];
        for (join, (a, b)) in (0u32..).zip(joins) {
            for (here, there) in [(a, b), (b, a)] {
                let at = &mut next[*here as usize];
                beside[*at as usize] = (join, *there);
                *at += 1;
            }
        }
        Self { first, beside }
    }

    fn count(&self) -> usize {
        self.first.len() - 1
    }
}

/// A walk over a graph with its bridges.
#[derive(Clone, Debug)]
pub(super) struct Bridges {
    /// Turn at which the walk entered each vertex.
    entered: Vec<u32>,
    /// Turn of the last vertex entered beyond each, itself included.
    last: Vec<u32>,
    /// Label of the island each vertex is on: the vertex its walk began at.
    island: Vec<u32>,
    /// For each join, the vertex beyond it where it is a bridge; its own number cannot be `NONE`.
    beyond: Vec<u32>,
}

const NONE: u32 = u32::MAX;

impl Bridges {
    /// Walks the joins for which `is_live`, from `root` first.
    pub(super) fn of(graph: &Graph, joins: usize, root: usize, is_live: impl Fn(usize) -> bool) -> Self {
        let count = graph.count();
        let mut walk = Self {
            entered: vec![NONE; count],
            last: vec![0; count],
            island: vec![NONE; count],
            beyond: vec![NONE; joins],
        };
        let mut low = vec![NONE; count];
        let mut turn = 0;
        // Vertex, the join it was entered by, and the next of its joins to look at.
        let mut trail: Vec<(u32, u32, u32)> = Vec::new();
        for start in std::iter::once(root).chain(0..count) {
            if walk.entered[start] != NONE {
                continue;
            }
            let label = start as u32;
            trail.push((label, NONE, graph.first[start]));
            walk.enter(start, label, &mut turn, &mut low);
            while let Some((vertex, by, next)) = trail.last_mut() {
                let at = *vertex as usize;
                if *next < graph.first[at + 1] {
                    let (join, other) = graph.beside[*next as usize];
                    *next += 1;
                    if join == *by || !is_live(join as usize) {
                        continue;
                    }
                    let there = other as usize;
                    if walk.entered[there] == NONE {
                        walk.enter(there, label, &mut turn, &mut low);
                        trail.push((other, join, graph.first[there]));
                    } else {
                        low[at] = low[at].min(walk.entered[there]);
                    }
                    continue;
                }
                let by = *by;
                walk.last[at] = turn - 1;
                trail.pop();
                if let Some((back, ..)) = trail.last() {
                    let back = *back as usize;
                    low[back] = low[back].min(low[at]);
                    if low[at] > walk.entered[back] {
                        walk.beyond[by as usize] = at as u32;
                    }
                }
            }
        }
        walk
    }

    fn enter(&mut self, vertex: usize, label: u32, turn: &mut u32, low: &mut [u32]) {
        self.entered[vertex] = *turn;
        low[vertex] = *turn;
        self.island[vertex] = label;
        *turn += 1;
    }

    /// The island a vertex is on.
    pub(super) fn island(&self, vertex: usize) -> u32 {
        self.island[vertex]
    }

    /// The vertex beyond a join that is a bridge, seen from where the walk began; none where it is no bridge.
    pub(super) fn beyond(&self, join: usize) -> Option<usize> {
        Some(self.beyond[join]).filter(|v| *v != NONE).map(|v| v as usize)
    }

    /// Whether `vertex` lies beyond the bridge that leads to `beyond`, or is it.
    pub(super) fn is_beyond(&self, vertex: usize, beyond: usize) -> bool {
        (self.entered[beyond]..=self.last[beyond]).contains(&self.entered[vertex])
    }
}

#[cfg(test)]
mod tests {
    use super::{Bridges, Graph};

    #[test]
    fn a_lone_way_is_a_bridge_and_a_double_one_is_not() {
        // 0 = 1 - 2, with 3 on its own: two joins between 0 and 1, one between 1 and 2.
        let joins = [(0, 1), (1, 0), (1, 2)];
        let graph = Graph::of(4, &joins);
        let walk = Bridges::of(&graph, joins.len(), 0, |_| true);

        assert_eq!((0..3).map(|join| walk.beyond(join)).collect::<Vec<_>>(), [None, None, Some(2)]);
        assert!(walk.is_beyond(2, 2) && !walk.is_beyond(1, 2));
        assert_ne!(walk.island(3), walk.island(0));

        let walk = Bridges::of(&graph, joins.len(), 0, |join| join != 0);
        assert_eq!(walk.beyond(1), Some(1));
        assert!(walk.is_beyond(2, 1));
    }
}
