//! One of two circuits that are seen at once: its name and conditions above its drawing, its ledger below it.
//!
//! The drawing itself is the board's; the ledger is the same that a single circuit has below everything.

use egui::{Label, Rect, RichText, Ui, UiBuilder, pos2, vec2};

use super::super::command::Commands;
use super::super::condition::{Condition, number};
use super::super::readout::said;
use super::super::seen::Seen;
use super::super::session::Taken;
use super::super::space::Pair;
use super::super::theme;
use super::super::tongue::t;
use super::foot::ledger_height;
use super::ledger;

/// Height of the lines above the drawing, and where they have to be folded.
const HEAD: f32 = 44.0;
const FOLDED: f32 = 60.0;
/// Width from which the conditions stand in one line.
const ONE_LINE: f32 = 480.0;
/// Room between two circuits.
const BETWEEN: f32 = 10.0;

/// Where the circuits stand that are seen at once: both in the room there is, or one in all of it.
pub fn places(room: Rect, pair: Pair, count: usize) -> Vec<Rect> {
    let half = |long: f32| (long - BETWEEN) / 2.0;
    match pair {
        _ if count < 2 => vec![room],
        Pair::Folded | Pair::Chains => vec![room],
        Pair::Columns => {
            let size = vec2(half(room.width()), room.height());
            vec![
                Rect::from_min_size(room.min, size),
                Rect::from_min_size(pos2(room.right() - size.x, room.top()), size),
            ]
        }
        Pair::Stacked => {
            let size = vec2(room.width(), half(room.height()));
            vec![
                Rect::from_min_size(room.min, size),
                Rect::from_min_size(pos2(room.left(), room.bottom() - size.y), size),
            ]
        }
    }
}

/// Shows what stands above and below a drawing; yields the room left for it.
pub fn pane_ui(ui: &mut Ui, seen: &Seen<'_>, place: Rect, commands: &mut Commands) -> Rect {
    let palette = &seen.palette;
    let is_folded = place.width() < ONE_LINE;
    let head = place.with_max_y(place.top() + if is_folded { FOLDED } else { HEAD });
    let foot = place.with_min_y(place.bottom() - ledger_height(ui));
    // Which of the two is in front is told by the bar over it and by its name, in any light.
    let bar = Rect::from_min_size(head.min, vec2(head.width(), 4.0));
    ui.painter().rect_filled(bar, 0.0, if seen.is_front { palette.chosen } else { palette.line });
    if !seen.is_front {
        ui.painter().rect_filled(bar.shrink2(vec2(0.0, 1.0)), 0.0, palette.ground);
    }
    let text = head.with_min_y(bar.bottom() + 1.0).shrink2(vec2(4.0, 0.0));
    ui.scope_builder(UiBuilder::new().max_rect(text), |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let front = if seen.is_front { t!("pane-in-front") } else { "" };
        let name = RichText::new(format!("{}{front}", seen.name)).font(theme::bold(13.5)).color(palette.text);
        ui.horizontal(|ui| {
            let shown = readings(seen);
            let text = RichText::new(&shown).font(theme::bold(13.5)).color(palette.text);
            let wide = if shown.is_empty() { 0.0 } else { 10.0 + text_width(ui, &shown) };
            ui.scope(|ui| {
                ui.set_max_width((ui.available_width() - wide).max(40.0));
                ui.add(Label::new(name).truncate());
            });
            if !shown.is_empty() {
                ui.add(Label::new(text).truncate()).accessible_name(seen.told(&shown));
            }
        });
        let words = conditions(seen);
        let line = RichText::new(&words).font(theme::plain(palette.letters(11.5))).color(palette.text);
        let line = Label::new(line);
        ui.add(if is_folded { line.wrap() } else { line.truncate() }).on_hover_text(words);
    });
    ui.scope_builder(UiBuilder::new().max_rect(foot.shrink2(vec2(4.0, 2.0))), |ui| {
        ledger::ledger_ui(ui, seen, commands);
    });
    Rect::from_min_max(pos2(place.left(), head.bottom()), pos2(place.right(), foot.top()))
}

/// What the instruments on it show: `Meter 12.54 V`.
fn readings(seen: &Seen<'_>) -> String {
    let value = |taken: &Taken| taken.shown.as_ref().ok().map(|shown| said(taken.device, shown.value));
    let words = |taken: &Taken| value(taken).map(|value| format!("{} {value}", taken.device.name()));
    seen.taken.iter().filter_map(words).collect::<Vec<_>>().join("  ")
}

fn text_width(ui: &Ui, text: &str) -> f32 {
    let font = theme::bold(13.5);
    ui.painter().layout_no_wrap(text.to_owned(), font, ui.visuals().text_color()).size().x
}

/// Its conditions in a line: the key, and everything that it feels or that is always shown.
fn conditions(seen: &Seen<'_>) -> String {
    let now = seen.bench.conditions();
    let units = seen.look.units;
    let mut words = vec![if now.key_on { t!("pane-key-on") } else { t!("pane-key-off") }.to_owned()];
    for condition in Condition::ALL.into_iter().filter(|condition| condition.is_shown(seen.bench, units)) {
        words.push(format!("{} {} {}", condition.title(), number(condition.now(now, units)), condition.unit(units)));
    }
    if now.bolted {
        words.push(t!("conditions-lock-up-bolts-fitted").to_owned());
    }
    words.join(", ")
}
