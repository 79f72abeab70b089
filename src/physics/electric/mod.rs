//! Currents and voltages: from a circuit in a given state to the solution of its network.
//!
//! [`assemble`] turns circuit, inputs and memory into a [`Network`] of nodes and branches; [`solve`](network::Network::solve)
//! answers any network exactly (nodal analysis), with what floats found on the way; [`diodes`] finds which diodes
//! conduct. Behind them stand an order of elimination worked out once (`schedule`) and the numbers swept through it
//! (`sweep`). A [`Prepared`] network is compiled for many solutions, and [`altered`] finds what one or two changes do
//! to a solved one. Contacts, coils and fuses are taken as they stand: making them move is left to
//! [`settle`](super::settle).

pub mod altered;
pub mod assemble;
mod beside;
mod bridges;
pub mod diodes;
mod inverse;
mod islands;
pub mod network;
pub mod orders;
pub mod pairs;
pub mod prepared;
pub mod relays;
mod schedule;
pub mod several;
mod surroundings;
mod sweep;
pub mod wiring;

pub use altered::{Change, Scratch};
pub use assemble::{Assembly, Element};
pub use network::{Branch, Network, Solution};
pub use orders::Orders;
pub use pairs::Rows;
pub use prepared::{Prepared, Solved};
pub use relays::{Relay, Relays};
pub use several::Together;
pub use wiring::{Differences, Wiring};
