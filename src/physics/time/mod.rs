//! What happens over time: the circuit settles at every change, and between two changes air, clutch and heat flow.
//!
//! [`Run`] carries one circuit through time, event by event; [`kick`] says how high a breaking coil kicks. Electric
//! changes take no time here, everything else does. Who imposed what, and how it is said, is known elsewhere.

mod budget;
pub mod kick;
mod plant;
mod run;
mod step;
mod watch;

pub use budget::{Stuck, Swift};
pub use run::{Event, Happening, Moment, Run, TOLERANCE};
