//! Laws that hold in every circuit, on random networks and on every shipped circuit.
//!
//! Kirchhoff's laws, power, scaling, symmetry, naming and ordering, Thevenin's theorem for meters, diodes beside
//! every combination of their states, and what a bench owes its user: the same again for the same acts, undo and
//! redo, replay, and never a panic. Properties of linear networks are textbook ones and need no source; made from
//! seeds, so a failure comes back.

mod support;

#[path = "laws/bench.rs"]
mod bench;
#[path = "laws/diodes.rs"]
mod diodes;
#[path = "laws/engine.rs"]
mod engine;
#[path = "laws/networks.rs"]
mod networks;
#[path = "laws/rest.rs"]
mod rest;
