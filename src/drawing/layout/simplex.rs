//! Least total length under least lengths: the network simplex method.
//!
//! Given nodes and edges `(tail, head, least length, weight)` it yields whole numbers for the nodes such that every
//! head is at least its edge's length beyond its tail and the weighted sum of the lengths is as small as can be.
//! Used for rows as well as for columns. After E. Gansner, E. Koutsofios, S. North and K.-P. Vo, "A Technique for
//! Drawing Directed Graphs", IEEE Trans. Software Eng. 19 (1993). Cut values come from subtree sums: the edges
//! inside a subtree cancel, so a cut's value is the sum over its nodes of weight out less weight in.

/// A constraint with a price: `at(head) - at(tail) >= length`, costing `weight` for each unit beyond.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    pub(super) tail: usize,
    pub(super) head: usize,
    pub(super) length: i64,
    pub(super) weight: i64,
}

impl Edge {
    pub(super) fn new(tail: usize, head: usize, length: i64, weight: i64) -> Self {
        Self { tail, head, length, weight }
    }
}

/// Least positions that satisfy the constraints, by longest paths. Edges that would close a ring are ignored from
/// then on by being turned harmless in place.
pub(super) fn feasible(count: usize, edges: &[Edge]) -> Vec<i64> {
    let mut at = vec![0; count];
    let mut waiting = vec![0usize; count];
    let mut out: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (i, edge) in edges.iter().enumerate() {
        waiting[edge.head] += 1;
        out[edge.tail].push(i);
    }
    let mut ready: std::collections::VecDeque<usize> = (0..count).filter(|n| waiting[*n] == 0).collect();
    while let Some(node) = ready.pop_front() {
        for &i in &out[node] {
            let edge = edges[i];
            at[edge.head] = at[edge.head].max(at[node] + edge.length);
            waiting[edge.head] -= 1;
            if waiting[edge.head] == 0 {
                ready.push_back(edge.head);
            }
        }
    }
    at
}

/// Best positions, or the best found within `work` elementary steps. The edges must form no ring and join all nodes.
pub(super) fn solve(count: usize, edges: &[Edge], work: usize) -> Vec<i64> {
    let mut at = feasible(count, edges);
    if count < 2 {
        return at;
    }
    let Some(mut tree) = Tree::tight(count, edges, &mut at) else { return at };
    let mut spent = 0;
    // Exchanges that moved nothing since the last that did: a long run of them is taken for a ring.
    let mut idle = 0;
    while spent < work && idle < 100 + count {
        spent += count + edges.len();
        let Some(leaving) = tree.leaving(edges) else { break };
        match tree.exchange(leaving, edges, &mut at) {
            None => break,
            Some(0) => idle += 1,
            Some(_) => idle = 0,
        }
    }
    let least = at.iter().copied().min().unwrap_or(0);
    at.iter_mut().for_each(|x| *x -= least);
    at
}

/// A spanning tree of edges without slack.
struct Tree {
    in_tree: Vec<bool>,
    touching: Vec<Vec<usize>>,
    supply: Vec<i64>,
    /// Edge to the parent; none at the root.
    parent: Vec<Option<usize>>,
    /// When a walk of the tree enters a node and leaves it for good.
    enter: Vec<usize>,
    leave: Vec<usize>,
    order: Vec<usize>,
}

fn slack(edge: Edge, at: &[i64]) -> i64 {
    at[edge.head] - at[edge.tail] - edge.length
}

impl Tree {
    /// Grows the tree, moving it as a whole towards the nearest node where no edge is tight.
    fn tight(count: usize, edges: &[Edge], at: &mut [i64]) -> Option<Self> {
        let mut touching = vec![Vec::new(); count];
        let mut supply = vec![0; count];
        for (i, edge) in edges.iter().enumerate() {
            touching[edge.tail].push(i);
            touching[edge.head].push(i);
            supply[edge.tail] += edge.weight;
            supply[edge.head] -= edge.weight;
        }
        let mut inside = vec![false; count];
        let mut members = vec![0];
        let mut in_tree = vec![false; edges.len()];
        inside[0] = true;
        let mut next = 0;
        loop {
            while next < members.len() {
                for &i in &touching[members[next]] {
                    let edge = edges[i];
                    let other = if edge.tail == members[next] { edge.head } else { edge.tail };
                    if !inside[other] && slack(edge, at) == 0 {
                        inside[other] = true;
                        in_tree[i] = true;
                        members.push(other);
                    }
                }
                next += 1;
            }
            if members.len() == count {
                break;
            }
            let nearest = (0..edges.len())
                .filter(|i| inside[edges[*i].tail] != inside[edges[*i].head])
                .min_by_key(|i| slack(edges[*i], at))?;
            let gap = slack(edges[nearest], at);
            let shift = if inside[edges[nearest].tail] { gap } else { -gap };
            members.iter().for_each(|m| at[*m] += shift);
            let other =
                if shift > 0 || inside[edges[nearest].tail] { edges[nearest].head } else { edges[nearest].tail };
            inside[other] = true;
            in_tree[nearest] = true;
            members.push(other);
        }
        let mut tree = Self {
            in_tree,
            touching,
            supply,
            parent: vec![None; count],
            enter: vec![0; count],
            leave: vec![0; count],
            order: Vec::with_capacity(count),
        };
        tree.walk(edges);
        Some(tree)
    }

    /// Numbers the nodes in the order of a depth-first walk from node 0.
    fn walk(&mut self, edges: &[Edge]) {
        self.order.clear();
        let mut clock = 0;
        let mut stack = vec![(0usize, None, 0usize)];
        self.enter[0] = 0;
        self.parent[0] = None;
        self.order.push(0);
        while let Some((node, by, mut next)) = stack.pop() {
            let mut deeper = None;
            while next < self.touching[node].len() {
                let i = self.touching[node][next];
                next += 1;
                if self.in_tree[i] && by != Some(i) {
                    deeper = Some((if edges[i].tail == node { edges[i].head } else { edges[i].tail }, i));
                    break;
                }
            }
            match deeper {
                Some((child, i)) => {
                    stack.push((node, by, next));
                    clock += 1;
                    self.enter[child] = clock;
                    self.parent[child] = Some(i);
                    self.order.push(child);
                    stack.push((child, Some(i), 0));
                }
                None => self.leave[node] = clock,
            }
        }
    }

    /// The node below the tree edge with the most negative cut value.
    fn leaving(&self, edges: &[Edge]) -> Option<usize> {
        let mut sum = self.supply.clone();
        let mut worst = (0, None);
        for &node in self.order.iter().rev() {
            let Some(i) = self.parent[node] else { continue };
            let below_is_tail = edges[i].tail == node;
            let parent = if below_is_tail { edges[i].head } else { edges[i].tail };
            let value = if below_is_tail { sum[node] } else { -sum[node] };
            if value < worst.0 {
                worst = (value, Some(node));
            }
            sum[parent] += sum[node];
        }
        worst.1
    }

    /// Takes the edge above `below` out of the tree and the tightest one the other way in; yields by how much the
    /// subtree moved.
    fn exchange(&mut self, below: usize, edges: &[Edge], at: &mut [i64]) -> Option<i64> {
        let out = self.parent[below]?;
        let (first, last) = (self.enter[below], self.leave[below]);
        let is_below = |n: usize| (first..=last).contains(&self.enter[n]);
        let below_is_tail = edges[out].tail == below;
        let entering = (0..edges.len())
            .filter(|i| {
                let (tail, head) = (is_below(edges[*i].tail), is_below(edges[*i].head));
                tail != head && tail != below_is_tail
            })
            .min_by_key(|i| slack(edges[*i], at))?;
        let gap = slack(edges[entering], at);
        // The head side moves away from the tail side until the entering edge is tight.
        let shift = if below_is_tail { -gap } else { gap };
        for (n, x) in at.iter_mut().enumerate() {
            if is_below(n) {
                *x += shift;
            }
        }
        self.in_tree[out] = false;
        self.in_tree[entering] = true;
        self.walk(edges);
        Some(gap)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_branch_beside_a_long_one_ends_up_at_its_heavier_neighbour() {
        // 0 -> 1 -> 2 -> 3 and 0 -> 4 -> 3, the edge 4 -> 3 dear.
        let edges = [(0, 1, 1), (1, 2, 1), (2, 3, 1), (0, 4, 1), (4, 3, 5)].map(|(t, h, w)| Edge::new(t, h, 1, w));

        let at = solve(5, &edges, 10_000);

        assert_eq!(at, [0, 1, 2, 3, 2]);
    }

    #[test]
    fn a_column_of_least_absolute_differences_takes_the_median() {
        // Three fixed marks at 0, 3 and 10 beyond node 0, one free node 4 drawn to each by a pair of edges.
        let mut edges = vec![Edge::new(0, 1, 0, 1000), Edge::new(0, 2, 3, 1000), Edge::new(0, 3, 10, 1000)];
        for (k, mark) in [1, 2, 3].into_iter().enumerate() {
            edges.push(Edge::new(5 + k, mark, 0, 1));
            edges.push(Edge::new(5 + k, 4, 0, 1));
        }

        let at = solve(8, &edges, 10_000);

        assert_eq!(at[4] - at[0], 3);
    }
}
