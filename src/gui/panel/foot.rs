//! What lies below the drawing: ledger, tray and the standing safety line, with news of files.
//!
//! Where the window is high they are bands of their own. Where it is low the tray is one, for its tools are to be in
//! sight always; clock, the reasons of a link and, where there is no room beside the drawing, instruments and ledger are
//! another, which scrolls; and the cautions are folded to their first line, so that chain and drawing keep their room.

use std::fmt::Debug;
use std::hash::Hash;

use egui::scroll_area::ScrollBarVisibility;
use egui::{Context, Frame, Panel, ScrollArea, Ui, vec2};

use super::super::command::Commands;
use super::super::seen::Seen;
use super::super::space::Stand;
use super::super::widget::grown;
use super::{aside, clock, instruments, ledger, news, reasons, safety, tray};

/// Height of the ledger.
const LEDGER: f32 = 44.0;
/// Share of a low window that what is scrolled below the drawing takes at most, and the cautions.
pub(super) const SHARE: f32 = 0.33;
/// Height that the drawing keeps in a low window, and what is left of the band for that at least.
const DRAWING: f32 = 132.0;
const LEAST_FOOT: f32 = 44.0;
/// Height of the tools, which are in sight whatever else is out.
const TOOLS: f32 = 54.0;
/// Height for drawing, tray and what else is out, from which the last two are bands of their own; the least of them as one.
const LEAST_FOR_TWO_BANDS: f32 = 180.0;
const LEAST_BAND: f32 = 60.0;
/// Height of the drawing from which more than the tools is in sight of the tray.
const BESIDE_TRAY: f32 = 104.0;
const BESIDE_TRAY_FOR_TWO: f32 = 150.0;
/// Height that cautions leave to the drawing where they are unfolded, and that they have at least.
const LEAST_DRAWING: f32 = 70.0;
const LEAST_CAUTIONS: f32 = 40.0;
/// Least height of what is scrolled beside the drawing in a low window.
const LEAST: f32 = 340.0;

/// A frame with margins.
type Framed<'a> = &'a dyn Fn(i8, i8) -> Frame;

/// Height of the ledger, where what is pressed may be a finger's.
pub(super) fn ledger_height(ctx: &Context) -> f32 {
    LEDGER + grown(ctx) * 0.6
}

/// Shows the bands of a high window.
pub fn foot_ui(ui: &mut Ui, seen: &Seen<'_>, frame: Framed<'_>, commands: &mut Commands) {
    let foot = |ui: &mut Ui, name: &'static str, show: &mut dyn FnMut(&mut Ui)| {
        Panel::bottom(name).resizable(false).frame(frame(8, 4)).show(ui, |ui| show(ui));
    };
    foot(ui, "safety", &mut |ui| safety::safety_ui(ui, seen));
    foot(ui, "tray", &mut |ui| tray::tray_ui(ui, seen, commands));
    // Of one height whatever stands in it, so that the drawing keeps still when something is put in.
    // Where two drawings are seen, each has its own.
    if !seen.room.pair.has_two() {
        let band = Panel::bottom("ledger").resizable(false).exact_size(ledger_height(ui.ctx())).frame(frame(8, 4));
        band.show(ui, |ui| ledger::ledger_ui(ui, seen, commands));
    }
    // Below the conditions, so that they keep still.
    if news::is_any(seen) {
        foot(ui, "news", &mut |ui| news::told_ui(ui, seen, commands));
    }
}

/// Shows the bands of a low window.
pub fn low_ui(ui: &mut Ui, seen: &Seen<'_>, frame: Framed<'_>, commands: &mut Commands) {
    let window = ui.ctx().content_rect().height();
    let cautions = Panel::bottom("safety").resizable(false).frame(frame(8, 2));
    let most = (ui.available_height() - TOOLS - LEAST_DRAWING).clamp(LEAST_CAUTIONS, window * SHARE);
    cautions.show(ui, |ui| safety::folded_ui(ui, seen, most, commands));
    let is_scrolled = is_scrolled(seen);
    if is_scrolled && ui.available_height() < LEAST_FOR_TWO_BANDS {
        // The tools come first: they are what is in sight of it before it is scrolled.
        let most = (ui.available_height() - DRAWING).max(LEAST_BAND.min(ui.available_height() / 2.0));
        band(ui, ("foot", most), frame, &mut |ui| {
            tray::tray_ui(ui, seen, commands);
            scrolled_ui(ui, seen, commands);
        });
        return;
    }
    // What is said below the tools gives way to the drawing and to what else is out; the tools themselves do not.
    let others = if is_scrolled { LEAST_FOOT } else { 0.0 };
    let beside = if seen.room.pair.has_two() { BESIDE_TRAY_FOR_TWO } else { BESIDE_TRAY };
    let most = (ui.available_height() - beside - others).max(TOOLS);
    band(ui, ("tray", most), frame, &mut |ui| tray::tray_ui(ui, seen, commands));
    if !is_scrolled {
        return;
    }
    // Where both are at their least, they share what there is.
    let least = LEAST_FOOT.min(ui.available_height() / 2.0);
    let most = (ui.available_height() - DRAWING).clamp(least, (window * SHARE).max(least));
    band(ui, ("foot", most), frame, &mut |ui| scrolled_ui(ui, seen, commands));
}

/// What is scrolled between the drawing and the tray of a low window.
fn scrolled_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    news::told_ui(ui, seen, commands);
    // What is read comes first.
    reasons::reasons_ui(ui, seen, commands);
    if has_instruments(seen) {
        ui.allocate_ui(vec2(ui.available_width(), instruments::height(ui.ctx())), |ui| {
            instruments::instruments_ui(ui, seen, commands);
        });
    }
    if has_clock(seen) {
        clock::low_ui(ui, seen, commands);
    }
    if has_ledger(seen) {
        ui.allocate_ui(vec2(ui.available_width(), ledger_height(ui.ctx())), |ui| {
            ledger::ledger_ui(ui, seen, commands);
        });
    }
}

/// A band that is scrolled where it is higher than so much.
fn band(ui: &mut Ui, (name, most): (&'static str, f32), frame: Framed<'_>, show: &mut dyn FnMut(&mut Ui)) {
    Panel::bottom(name).resizable(false).frame(frame(8, 3)).show(ui, |ui| {
        let scroll = ScrollArea::vertical().id_salt(name).auto_shrink([false, true]).max_height(most);
        // A band is as high as it was, unless what is in it asks for more.
        let scroll = scroll.min_scrolled_height(most);
        scroll.scroll_bar_visibility(ScrollBarVisibility::VisibleWhenNeeded).show(ui, |ui| {
            ui.set_width(ui.available_width());
            show(ui);
        });
    });
}

/// Whether anything is out that is scrolled between the drawing and the tray of a low window.
fn is_scrolled(seen: &Seen<'_>) -> bool {
    let is_told = news::is_any(seen) || reasons::is_open(seen);
    is_told || has_instruments(seen) || has_clock(seen) || has_ledger(seen)
}

fn has_clock(seen: &Seen<'_>) -> bool {
    seen.clock.is_some() && !clock::stands_beside(seen, seen.room.stand)
}

/// Whether instruments are out that stand under the drawing.
pub fn has_instruments(seen: &Seen<'_>) -> bool {
    seen.room.stand == Stand::Below && !instruments::out(seen).is_empty()
}

/// Whether the ledger stands under the drawing of a low window.
fn has_ledger(seen: &Seen<'_>) -> bool {
    seen.room.stand == Stand::Below && aside::has_ledger(seen)
}

/// Shows a panel beside the drawing; in a low window it has its least height all the same and is scrolled.
pub fn scrolled(ui: &mut Ui, (name, is_low): (impl Hash + Debug, bool), show: &mut dyn FnMut(&mut Ui)) {
    if !is_low {
        show(ui);
        return;
    }
    let height = ui.available_height().max(LEAST);
    ScrollArea::vertical().id_salt(("low", name)).auto_shrink([false, false]).show(ui, |ui| {
        ui.allocate_ui(vec2(ui.available_width(), height), |ui| {
            ui.set_height(height);
            ui.set_max_height(height);
            show(ui);
        });
    });
}
