//! Which nodes hang together: the graph searches of the electric solver, and its only use of petgraph.
//!
//! Yields labels alone, never a petgraph index. What an island without the reference means is left to
//! [`network`](super::network).

use petgraph::unionfind::UnionFind;

/// Labels `count` nodes so that two carry the same label exactly when `joins` connects them.
pub(super) fn label(count: usize, joins: impl IntoIterator<Item = (usize, usize)>) -> Vec<usize> {
    let mut islands = UnionFind::<usize>::new(count);
    for (a, b) in joins {
        islands.union(a, b);
    }
    islands.into_labeling()
}
