//! Which nodes hang together: the graph searches of the electric solver, and its only use of petgraph.

use petgraph::unionfind::UnionFind;

/// Labels `count` nodes so that two carry the same label exactly when `joins` connects them.
pub(super) fn label(count: usize, joins: impl IntoIterator<Item = (usize, usize)>) -> Vec<usize> {
    let mut islands = UnionFind::<usize>::new(count);
    for (a, b) in joins {
        islands.union(a, b);
    }
    islands.into_labeling()
}
