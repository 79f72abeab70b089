//! The program against a second opinion: networks and whole circuits solved again by the tests' own means.
//!
//! [`networks`] sets the solver beside a dense one in double-double arithmetic on random networks, [`altered`] its altered copies, [`relays`] copies in which coils move contacts; [`circuits`] sets
//! whole settled circuits beside networks that the test wires up itself from the file format's resistances. Both are
//! made from seeds, so a failure comes back. [`traces`] sets runs beside numbers that SciPy made from the same equations.

mod support;

#[path = "reference/altered.rs"]
mod altered;

#[path = "reference/networks.rs"]
mod networks;

#[path = "reference/relays.rs"]
mod relays;

#[path = "reference/circuits.rs"]
mod circuits;

#[path = "reference/traces.rs"]
mod traces;
