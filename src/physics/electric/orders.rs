//! Orders of elimination kept for networks that are solved again and again with contacts moved.
//!
//! An order is compiled for a network with every join that may come about in it, so that the same order serves whatever
//! stands open or closed. A network that does not fit any (an exact join merges nodes, a lead adds a branch) gets one
//! of its own, which is kept for the next solution. What joins may come about is told by whoever knows the circuit.

use std::sync::Arc;

use super::network::{Merged, Network};
use super::schedule::{Schedule, Slot};

/// How many orders are kept at most; past that all but the first are forgotten.
const KEPT: usize = 48;

/// Orders compiled so far.
#[derive(Clone, Debug, Default)]
pub struct Orders {
    /// Joins that may come about, by node.
    joins: Arc<[(usize, usize)]>,
    known: Vec<Arc<Order>>,
}

/// Where the resisting branches of a network go in an order that has a place for each.
fn slots(order: &Order, merged: &Merged, network: &Network) -> Vec<Slot> {
    merged.resistive(network).map(|r| order.schedule.slot(r.a, r.b).unwrap_or(Slot::None)).collect()
}

/// One order and what it was compiled for.
#[derive(Debug)]
struct Order {
    group: Vec<usize>,
    anchor: Option<usize>,
    schedule: Schedule,
}

impl Orders {
    /// Orders for networks of `nodes` nodes, or more, in which these joins may come about.
    pub fn of(nodes: usize, joins: impl IntoIterator<Item = (usize, usize)>, reference: Option<usize>) -> Self {
        let mut orders = Self { joins: joins.into_iter().collect(), known: Vec::new() };
        let network = Network { nodes, branches: Vec::new(), reference };
        orders.compile(&Merged::of(&network), &network);
        orders
    }

    /// The place in `known` of an order that this network fits, compiled if need be, and where its branches go.
    fn fitting(&mut self, merged: &Merged, network: &Network) -> (usize, Vec<Slot>) {
        let anchor = network.reference.map(|node| merged.group[node]);
        for (at, order) in self.known.iter().enumerate() {
            // Leads come last, and are what differs from one network to the next.
            let fits = || merged.resistive(network).rev().all(|r| order.schedule.slot(r.a, r.b).is_some());
            if order.anchor == anchor && order.group == merged.group && fits() {
                return (at, slots(order, merged, network));
            }
        }
        let order = self.compile(merged, network);
        (self.known.len() - 1, slots(&order, merged, network))
    }

    /// An order that this network fits, and where each of its resisting branches goes in it.
    pub(super) fn order(&mut self, merged: &Merged, network: &Network) -> (&Schedule, Vec<Slot>) {
        let (at, slots) = self.fitting(merged, network);
        (&self.known[at].schedule, slots)
    }

    fn compile(&mut self, merged: &Merged, network: &Network) -> Arc<Order> {
        let anchor = network.reference.map(|node| merged.group[node]);
        let grouped = |(a, b): (usize, usize)| Some((*merged.group.get(a)?, *merged.group.get(b)?));
        let may_be = self.joins.iter().filter_map(|join| grouped(*join));
        let joins = merged.resistive(network).map(|r| (r.a, r.b)).chain(may_be);
        let schedule = Schedule::of(merged.count, joins, anchor);
        if self.known.len() == KEPT {
            self.known.truncate(1);
        }
        let order = Arc::new(Order { group: merged.group.clone(), anchor, schedule });
        self.known.push(Arc::clone(&order));
        order
    }
}
