//! Fanloom: a bench for the control wiring of air-operated engine-cooling fan clutches.
//!
//! The layers, each naming only those before it: [`words`] (what is said, in no language yet), [`circuit`] (what is wired to what), [`physics`] (what happens),
//! [`bench`](mod@bench) (one live session), [`study`] (questions about a bench), [`drawing`] (the picture as plain shapes),
//! [`report`] (pages of paper), [`disk`] (files written whole), then `gui` and [`cli`], which do not know each other. `tests/layers.rs` keeps it so.

pub mod bench;
pub mod circuit;
pub mod cli;
pub mod disk;
pub mod drawing;
#[cfg(feature = "window")]
pub mod gui;
pub mod physics;
pub mod report;
pub mod study;
pub mod words;
