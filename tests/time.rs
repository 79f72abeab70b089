//! What happens over time: air, clutch and heat between the changes of the circuit, and the changes themselves.
//!
//! [`closed_forms`] has textbook solutions, [`laws`] what must hold of every run, [`steady`] that a run ends where the
//! settled circuit says, [`air`], [`clutch`] and [`electric`] what a truck is known to do. Traces beside a
//! general-purpose integrator are in tests/reference, published numbers in tests/published.

mod support;

#[path = "time/air.rs"]
mod air;
#[path = "time/closed_forms.rs"]
mod closed_forms;
#[path = "time/clutch.rs"]
mod clutch;
#[path = "time/drift.rs"]
mod drift;
#[path = "time/electric.rs"]
mod electric;
#[path = "time/laws.rs"]
mod laws;
#[path = "time/steady.rs"]
mod steady;
