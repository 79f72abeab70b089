//! What lies below the drawing: ledger, tray and the standing safety line, with news of files.
//!
//! Where the window is high they are bands of their own. Where it is low they are one band that scrolls, the clock,
//! the instruments (where there is no room beside the drawing) and the reasons of a link in it too, and the cautions are folded to their first line, so that chain and drawing keep their room.

use std::fmt::Debug;
use std::hash::Hash;

use egui::scroll_area::ScrollBarVisibility;
use egui::{Frame, Panel, ScrollArea, Ui, vec2};

use super::super::command::Commands;
use super::super::seen::Seen;
use super::super::widget::grown;
use super::{clock, instruments, ledger, news, reasons, safety, tray};

/// Height of the ledger.
const LEDGER: f32 = 44.0;
/// Share of a low window that what lies below the drawing takes at most, and with clock or instruments out.
const SHARES: (f32, f32) = (0.33, 0.42);
/// Height that the drawing keeps in a low window, and what is left of the band for that at least.
const DRAWING: f32 = 132.0;
const LEAST_FOOT: f32 = 60.0;
/// Height that cautions leave to the drawing where they are unfolded, and that they have at least.
const LEAST_DRAWING: f32 = 70.0;
const LEAST_CAUTIONS: f32 = 40.0;
/// Least height of what is scrolled beside the drawing in a low window.
const LEAST: f32 = 340.0;

/// A frame with margins.
type Framed<'a> = &'a dyn Fn(i8, i8) -> Frame;

/// Height of the ledger, where what is pressed may be a finger's.
pub(super) fn ledger_height(ui: &Ui) -> f32 {
    LEDGER + grown(ui.ctx()) * 0.6
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
    if !seen.room.pair.has_two_drawings() {
        let band = Panel::bottom("ledger").resizable(false).exact_size(ledger_height(ui)).frame(frame(8, 4));
        band.show(ui, |ui| ledger::ledger_ui(ui, seen, commands));
    }
    // Below the conditions, so that they keep still.
    if seen.papers.news.is_some() {
        foot(ui, "news", &mut |ui| news::news_ui(ui, seen, commands));
    }
}

/// Shows the band of a low window.
pub fn low_ui(ui: &mut Ui, seen: &Seen<'_>, frame: Framed<'_>, commands: &mut Commands) {
    let window = ui.ctx().content_rect().height();
    let cautions = Panel::bottom("safety").resizable(false).frame(frame(8, 2));
    let most = (ui.available_height() - LEAST_FOOT - LEAST_DRAWING).clamp(LEAST_CAUTIONS, window * SHARES.0);
    cautions.show(ui, |ui| safety::folded_ui(ui, seen, most, commands));
    let instruments = !instruments::out(seen).is_empty() && !instruments::stand_beside(seen);
    let share = if seen.clock.is_some() || instruments || reasons::is_open(seen) { SHARES.1 } else { SHARES.0 };
    // Where both are at their least, they share what there is.
    let least = LEAST_FOOT.min(ui.available_height() / 2.0);
    let most = (ui.available_height() - DRAWING).clamp(least, window * share);
    let band = Panel::bottom("foot").resizable(false).frame(frame(8, 3));
    band.show(ui, |ui| {
        let scroll = ScrollArea::vertical().id_salt("foot").auto_shrink([false, true]).max_height(most);
        // A band is as high as it was, unless what is in it asks for more.
        let scroll = scroll.min_scrolled_height(most);
        scroll.scroll_bar_visibility(ScrollBarVisibility::VisibleWhenNeeded).show(ui, |ui| {
            ui.set_width(ui.available_width());
            if seen.papers.news.is_some() {
                news::news_ui(ui, seen, commands);
            }
            // What is read comes first.
            reasons::reasons_ui(ui, seen, commands);
            if instruments {
                ui.allocate_ui(vec2(ui.available_width(), instruments::height(ui)), |ui| {
                    instruments::instruments_ui(ui, seen, commands);
                });
            }
            if seen.clock.is_some() {
                clock::low_ui(ui, seen, commands);
            }
            tray::tray_ui(ui, seen, commands);
            if ledger::has_something(seen) {
                ui.allocate_ui(vec2(ui.available_width(), ledger_height(ui)), |ui| {
                    ledger::ledger_ui(ui, seen, commands);
                });
            }
        });
    });
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
