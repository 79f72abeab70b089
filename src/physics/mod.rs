//! What happens in a circuit, given its inputs and what it remembers.
//!
//! In stages: sensors and modules feel the [conditions](inputs::Conditions); [`electric`] solves the network with
//! everything where it stands; [`settle`](settle::settle) moves contacts, coils, modules and fuses until they rest,
//! or says that they don't; [`air`] and [`clutch`] follow from where the valve stands. All are functions from plain
//! data to plain data. The physics never learns who acted or why, has no clock and no chance in it, and words
//! nothing.

pub mod air;
pub mod bolts;
mod closeness;
pub mod clutch;
pub mod electric;
pub mod engine;
pub mod fuse;
pub mod heat;
pub mod inputs;
pub mod limits;
pub mod meter;
mod moves;
pub mod settle;
pub mod state;
pub mod time;
mod updates;
