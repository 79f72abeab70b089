//! Widgets of our own: each announces what it is to screen readers and works by keyboard.
//!
//! [`scale`] for conditions, [`link`] for the chain, [`fan`] for the fan's state, [`signal`] for hazards, [`glyph`] for
//! the tools, [`display`] and [`bulb`] for what instruments show, [`gauge`] for pressures, [`telling`] for sentences, [`choice`] for rows
//! of a drawer, [`rows`] for lists of many, [`ends`] for lines with something at the right, [`fitted`] for words with little room. They read plain values and give back what was done to them.

use egui::{Context, Vec2};

use super::dress::MOUSE;

pub mod bulb;
pub mod choice;
pub mod display;
pub mod ends;
pub mod fan;
pub mod fitted;
pub mod gauge;
pub mod glyph;
pub mod link;
pub mod rows;
pub mod scale;
pub mod signal;
pub mod telling;

/// Least side of what is pressed, in points as they are drawn: a mouse's, or a finger's
/// ([`Dress`](super::dress::Dress) sets it).
pub fn target(ctx: &Context) -> f32 {
    ctx.global_style().spacing.interact_size.y
}

/// The same in both directions, for buttons with words so short that they may be too narrow.
pub fn both_ways(ctx: &Context) -> Vec2 {
    Vec2::splat(target(ctx))
}

/// How much higher than a mouse needs it a line of what is pressed is.
pub fn grown(ctx: &Context) -> f32 {
    target(ctx) - MOUSE
}

/// Whether what is pressed is as large as a finger wants it.
pub fn is_for_fingers(ctx: &Context) -> bool {
    // Words are only there to be selected where a mouse points.
    !ctx.global_style().interaction.selectable_labels
}
