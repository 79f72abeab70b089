//! What stands beside the drawing or under it, whichever leaves the drawing larger: the instruments that are out and, in a
//! low window, the ledger.
//!
//! Beside it they share one column, over the gauges where there is room, and are scrolled where there is not enough. What
//! is in the column is theirs: [`instruments`], [`ledger`].

use egui::{Context, ScrollArea, Ui, Vec2, vec2};

use super::super::board::geometry::Extent;
use super::super::board::view::{Corner, Share, View};
use super::super::command::Commands;
use super::super::seen::Seen;
use super::super::space::{ROWS, Space, Stand};
use super::super::widget::grown;
use super::{chain, clock, foot, instruments, ledger, overlay};

/// Width of the column beside the drawing.
pub(super) const WIDE: f32 = instruments::FACE.x + 18.0;
/// Height of what lies above and below the drawing in a high window and in a low one, chain, clock and what is chosen a
/// place for apart.
const AROUND: f32 = 190.0;
const LOW_AROUND: f32 = 186.0;
/// Height that one instrument takes beside the drawing, without much to be said of it, and the ledger with its first line.
const ONE: f32 = 150.0;
const FIRST_LINE: f32 = 120.0;
/// Height that instruments and ledger have over the gauges at least.
const LEAST: f32 = 60.0;
/// What a slim column has about the gauges.
const SLIM: f32 = 12.0;
/// Share of the drawing's size that is not worth another place.
const AS_LARGE: f32 = 0.98;

/// Whether the ledger is one of those that stand beside the drawing or under it. In a high window it has a band of its own,
/// there from the start; two drawings have one each.
pub fn has_ledger(seen: &Seen<'_>) -> bool {
    seen.room.space.is_low && !seen.room.pair.has_two() && ledger::has_something(seen)
}

/// Where they stand, so that a drawing that covers so much of its page is largest.
pub fn stand(ctx: &Context, seen: &Seen<'_>, page: Extent) -> Stand {
    let (count, has_ledger) = (instruments::out(seen).len(), has_ledger(seen));
    let Space { is_narrow, is_low, is_flat } = seen.room.space;
    if (count == 0 && !has_ledger) || (is_low && !is_flat) {
        return Stand::Below;
    }
    if seen.room.pair.has_two() {
        // Two drawings need the width themselves.
        let is_free = is_narrow && is_flat && seen.room.unfolded.beside.is_none();
        return if is_free { Stand::Beside } else { Stand::Below };
    }
    let grown = grown(ctx);
    let window = ctx.content_rect().size();
    let below_chain = window.y - chain::height(ctx, seen, window.x);
    let high = |others: f32| {
        if is_low {
            return below_chain - LOW_AROUND - others;
        }
        let left = below_chain - AROUND - ROWS * grown;
        left - others - seen.clock.map_or(0.0, |_| clock::height_in(left, others, grown))
    };
    // In a low window the clock stands beside the drawing where the column leaves it room, or else in what is scrolled below.
    let clock = |stand: Stand| match seen.clock.filter(|_| is_low) {
        Some(_) if clock::stands_beside(seen, stand) => vec2(clock::LEAST_WIDTH_BESIDE, 0.0),
        Some(_) => vec2(0.0, window.y * foot::SHARE),
        None => Vec2::ZERO,
    };
    let zoom = |stand: Stand, below: f32, share: Share| {
        let takes = vec2(width(ctx, stand), below) + clock(stand);
        let room = vec2(seen.room.wide - takes.x, high(takes.y));
        (stand, View::zoom_to_fit(room, page, (share, grown)))
    };
    let first_line = if has_ledger { FIRST_LINE + 2.0 * grown } else { 0.0 };
    let needed = count as f32 * (ONE + grown) + first_line + Corner::Stack.room(grown).y;
    let over_gauges = [false, true].map(|slim| Stand::OverGauges { slim }).into_iter();
    let over_gauges = over_gauges.filter(|stand| high(clock(*stand).y) >= needed);
    let over_gauges = over_gauges.map(|stand| zoom(stand, 0.0, Share::Bare));
    let instruments = if count > 0 { instruments::height(ctx) } else { 0.0 };
    let ledger = if has_ledger { foot::ledger_height(ctx) } else { 0.0 };
    let others = [zoom(Stand::Beside, 0.0, Share::Whole), zoom(Stand::Below, instruments + ledger, Share::Whole)];
    let mut all: Vec<(Stand, f32)> = over_gauges.chain(others).collect();
    if is_low {
        // Where one more does not change the side, nor move the drawing.
        all.sort_by_key(|(stand, _)| *stand != Stand::Beside);
    }
    let largest = all.iter().fold(0.0_f32, |most, (_, zoom)| zoom.max(most));
    all.into_iter().find(|(_, zoom)| *zoom >= largest * AS_LARGE).map_or(Stand::Below, |(stand, _)| stand)
}

/// Width of the column beside the drawing.
pub fn width(ctx: &Context, stand: Stand) -> f32 {
    match stand {
        Stand::Below => 0.0,
        Stand::OverGauges { slim: true } => Corner::Stack.room(grown(ctx)).x + SLIM,
        Stand::Beside | Stand::OverGauges { .. } => WIDE,
    }
}

/// Shows the column, and below it the gauges where they belong there.
pub fn aside_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let room = ui.max_rect();
    let is_over_gauges = matches!(seen.room.stand, Stand::OverGauges { .. });
    let gauges = if is_over_gauges { Corner::Stack.room(grown(ui.ctx())) } else { Vec2::ZERO };
    let most = ui.available_height() - gauges.y;
    // With what is opened later, as the reasons of a link, there may be no room: then the gauges are scrolled too.
    let is_over_room = most < LEAST;
    let most = if is_over_room { ui.available_height() } else { most };
    ScrollArea::vertical().id_salt("aside").auto_shrink([false, false]).max_height(most).show(ui, |ui| {
        instruments::column_ui(ui, seen, commands);
        if has_ledger(seen) {
            ledger::column_ui(ui, seen, commands);
        }
        if is_over_gauges && is_over_room {
            let (_, room) = ui.allocate_space(vec2(ui.available_width(), gauges.y));
            overlay::overlay_ui(ui, seen, room, Corner::Stack, commands);
        }
    });
    if is_over_gauges && !is_over_room {
        overlay::overlay_ui(ui, seen, room, Corner::Stack, commands);
    }
}
