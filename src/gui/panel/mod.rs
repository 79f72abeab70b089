//! The panels around the drawing, one file each.
//!
//! Every panel reads a [`Seen`](super::seen::Seen) and pushes commands. [`bar`] top line, [`chain`] the five links,
//! [`reasons`] of a chosen link, [`conditions`] the scales, [`found`] hazards and what is looked at, [`prove`] what
//! engages or releases by hand, [`logic`] its table, [`fault_table`] what can be wrong, [`find`] and [`hunt`] its finding, [`steps`] what was done as a demonstration, [`build`] the circuit as built, to be changed, with [`kinds`] to add, [`values`] to put in and [`demands`] of modules, [`clock`] time and its strip chart, [`instruments`] what is
//! measured, [`ledger`] what is changed, [`aside`] these two beside the drawing, [`tray`] the tools, [`safety`] the standing line, [`foot`] these four together, [`strip`] what is
//! folded where there is little room, [`names`] the circuits that are open, [`pane`] one of two seen at once, [`dialogs`] what lies over
//! the window, [`card`], [`faults`] and [`keys`] among it.

pub mod aside;
pub mod bar;
pub mod build;
pub mod card;
pub mod chain;
pub mod clock;
pub mod conditions;
pub mod demands;
pub mod dialogs;
pub mod fault_table;
pub mod faults;
pub mod find;
pub mod foot;
pub mod found;
pub mod hunt;
pub mod instruments;
pub mod keys;
pub mod kinds;
pub mod ledger;
pub mod logic;
pub mod making;
pub mod names;
pub mod news;
pub mod overlay;
pub mod pane;
pub mod prove;
pub mod reasons;
pub mod safety;
pub mod saving;
pub mod steps;
pub mod strip;
pub mod terms;
pub mod tray;
pub mod values;
