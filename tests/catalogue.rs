//! The faults a workshop knows, one by one: planted in circuits of both styles, read with meter, gauges and eyes.
//!
//! Circuits stand in `catalogue/`, in the file format. What is claimed of a fault is computed from its circuit, or
//! common practice, no source, where nothing is said; where something else is often believed, the test says so beside
//! what is true. Grammar and refusals of faults are tested in `bench.rs` and `cli.rs`.

mod support;

#[path = "catalogue/air.rs"]
mod air;
#[path = "catalogue/modules.rs"]
mod modules;
#[path = "catalogue/pairs.rs"]
mod pairs;
#[path = "catalogue/relays.rs"]
mod relays;
#[path = "catalogue/sensors.rs"]
mod sensors;
#[path = "catalogue/together.rs"]
mod together;
#[path = "catalogue/truck.rs"]
mod truck;
#[path = "catalogue/valve.rs"]
mod valve;
#[path = "catalogue/wiring.rs"]
mod wiring;
