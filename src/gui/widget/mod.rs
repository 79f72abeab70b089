//! Widgets of our own: each announces what it is to screen readers and works by keyboard.
//!
//! [`scale`] for conditions, [`link`] for the chain, [`fan`] for the fan's state, [`signal`] for hazards, [`glyph`] for
//! the tools, [`display`] and [`bulb`] for what instruments show, [`gauge`] for pressures, [`telling`] for sentences, [`choice`] for rows
//! of a drawer. They read plain values and give back what was done to them.

pub mod bulb;
pub mod choice;
pub mod display;
pub mod fan;
pub mod gauge;
pub mod glyph;
pub mod link;
pub mod scale;
pub mod signal;
pub mod telling;
