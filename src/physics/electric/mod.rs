//! Currents and voltages: from a circuit in a given state to the solution of its network.
//!
//! Three steps behind two small faces. [`assemble`] turns circuit, inputs and memory into a [`Network`] of nodes and
//! branches; [`solve`](network::Network::solve) answers any network exactly (nodal analysis), with what floats found
//! by graph search; [`diodes`] finds which diodes conduct. A faster solver replaces the inside of `solve` and nothing
//! else. Contacts, coils and fuses are taken as they stand: making them move is left to
//! [`settle`](super::settle).

pub mod assemble;
pub mod diodes;
mod eliminate;
mod islands;
pub mod network;

pub use assemble::{Assembly, Element};
pub use network::{Branch, Network, Solution};
