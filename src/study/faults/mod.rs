//! What can go wrong with a circuit, and how it shows.
//!
//! [`universe`] lists every single thing that can be wrong with one circuit and how often such things are found.
//! Planting them and reading the circuit is the bench's; finding one from what was seen is left to the study of finds.

pub mod naming;
pub mod universe;
