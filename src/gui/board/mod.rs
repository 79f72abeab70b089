//! The drawing in the middle of the window: seen, moved, pointed at and worked on.
//!
//! [`geometry`] knows where things are and what is hit, [`view`] which part of the sheet is seen, [`paint`] how
//! shapes become strokes, [`board_ui`] ties them to pointer and keyboard, [`carry`] moves parts, [`doubt`] shows what is doubtful, [`tip`] is the forecast beside the
//! pointer. The shapes themselves come from the drawing layer.

pub mod board_ui;
pub mod carry;
pub mod doubt;
pub mod geometry;
pub mod paint;
pub mod suspicion;
pub mod tip;
pub mod view;
