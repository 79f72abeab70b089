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
    /// Graph of `count` vertices from joins, each with its number and its two ends.
    pub(super) fn of(count: usize, joins: impl Iterator<Item = (u32, u32, u32)> + Clone) -> Self {
        let mut first = vec![0u32; count + 1];
        for (_, a, b) in joins.clone() {
            first[a as usize + 1] += 1;
            first[b as usize + 1] += 1;
        }
        for vertex in 0..count {
            first[vertex + 1] += first[vertex];
        }
        let mut next = first.clone();
        let mut beside = vec![(0, 0); first[count] as usize];
        for (join, a, b) in joins {
            for (here, there) in [(a, b), (b, a)] {
                let at = &mut next[here as usize];
                beside[*at as usize] = (join, there);
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
    seen: Vec<Seen>,
    /// For each join, the vertex beyond it where it is a bridge; its own number cannot be `NONE`.
    beyond: Vec<u32>,
    /// Vertex, the join it was entered by, and the next of its joins to look at.
    trail: Vec<(u32, u32, u32)>,
}

/// What a walk found of one vertex.
#[derive(Clone, Copy, Debug)]
struct Seen {
    /// Turn at which it was entered.
    entered: u32,
    /// Turn of the last vertex entered beyond it, itself included.
    last: u32,
    /// Label of the island it is on: the vertex its walk began at.
    island: u32,
    /// Earliest turn that can be reached from it or from beyond without the join it was entered by.
    low: u32,
}

const NONE: u32 = u32::MAX;

impl Bridges {
    /// Room for a walk over a graph.
    pub(super) fn new(graph: &Graph, joins: usize) -> Self {
        let unseen = Seen { entered: NONE, last: 0, island: NONE, low: NONE };
        Self { seen: vec![unseen; graph.count()], beyond: vec![NONE; joins], trail: Vec::new() }
    }

    /// Walks the joins for which `is_live`, from `root` first.
    pub(super) fn walk(&mut self, graph: &Graph, root: usize, is_live: impl Fn(usize) -> bool) {
        let Self { seen, beyond, trail } = self;
        seen.iter_mut().for_each(|seen| seen.entered = NONE);
        beyond.fill(NONE);
        let mut turn = 0;
        let mut enter = |seen: &mut Seen, island: u32| {
            *seen = Seen { entered: turn, last: turn, island, low: turn };
            turn += 1;
            turn
        };
        for start in std::iter::once(root).chain(0..graph.count()) {
            if seen[start].entered != NONE {
                continue;
            }
            let label = start as u32;
            let mut entered = enter(&mut seen[start], label);
            trail.push((label, NONE, graph.first[start]));
            while let Some((vertex, by, next)) = trail.last_mut() {
                let (at, by) = (*vertex as usize, *by);
                let joins = &graph.beside[*next as usize..graph.first[at + 1] as usize];
                let mut low = seen[at].low;
                let mut onward = None;
                for (join, other) in joins {
                    *next += 1;
                    if *join == by || !is_live(*join as usize) {
                        continue;
                    }
                    let there = seen[*other as usize].entered;
                    if there == NONE {
                        onward = Some((*join, *other));
                        break;
                    }
                    low = low.min(there);
                }
                seen[at].low = low;
                if let Some((join, other)) = onward {
                    entered = enter(&mut seen[other as usize], label);
                    trail.push((other, join, graph.first[other as usize]));
                    continue;
                }
                seen[at].last = entered - 1;
                trail.pop();
                if let Some((back, ..)) = trail.last() {
                    let back = &mut seen[*back as usize];
                    back.low = back.low.min(low);
                    if low > back.entered {
                        beyond[by as usize] = at as u32;
                    }
                }
            }
        }
    }

    /// The island a vertex is on.
    pub(super) fn island(&self, vertex: usize) -> u32 {
        self.seen[vertex].island
    }

    /// The vertex beyond a join that is a bridge, seen from where the walk began; none where it is no bridge.
    pub(super) fn beyond(&self, join: usize) -> Option<usize> {
        Some(self.beyond[join]).filter(|v| *v != NONE).map(|v| v as usize)
    }

    /// Whether `vertex` lies beyond the bridge that leads to `beyond`, or is it.
    pub(super) fn is_beyond(&self, vertex: usize, beyond: usize) -> bool {
        (self.seen[beyond].entered..=self.seen[beyond].last).contains(&self.seen[vertex].entered)
    }
}

#[cfg(test)]
mod tests {
    use super::{Bridges, Graph};

    #[test]
    fn a_lone_way_is_a_bridge_and_a_double_one_is_not() {
        // 0 = 1 - 2, with 3 on its own: two joins between 0 and 1, one between 1 and 2.
        let joins = [(0, 0, 1), (1, 1, 0), (2, 1, 2)];
        let graph = Graph::of(4, joins.into_iter());
        let mut walk = Bridges::new(&graph, joins.len());
        walk.walk(&graph, 0, |_| true);

        assert_eq!((0..3).map(|join| walk.beyond(join)).collect::<Vec<_>>(), [None, None, Some(2)]);
        assert!(walk.is_beyond(2, 2) && !walk.is_beyond(1, 2));
        assert_ne!(walk.island(3), walk.island(0));

        walk.walk(&graph, 0, |join| join != 0);
        assert_eq!(walk.beyond(1), Some(1));
        assert!(walk.is_beyond(2, 1));
    }
}
