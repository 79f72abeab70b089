//! Answers on paper: a circuit's drawing on a sheet, the card for the cab, the chart of a trace, the fault table.
//!
//! [`Card::of`] gathers what a card says, [`sheet`] sets it on a [`Page`], [`paper`] turns a page's SVG into PDF or
//! PNG bytes. Everything said is found by the studies or on a bench here; nothing is looked up by circuit style. No
//! files: bytes come out, and writing them is left to the caller.

mod acts;
mod axis;
pub mod card;
pub mod chart;
pub mod embed;
pub mod font;
mod legible;
pub mod matrix;
pub mod page;
pub mod paper;
pub mod sheet;
mod style;
mod warnings;
mod words;

pub use card::Card;
pub use page::{Area, Page, Size};
