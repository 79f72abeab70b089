//! One of two circuits that are seen at once: its name and conditions above its drawing, its ledger below it. In a low
//! window all above it is one line, and the ledger is there only while there is something in one of the two.
//!
//! The drawing itself is the board's; the ledger is the same that a single circuit has below everything.

use egui::{Align, Label, Layout, Rect, RichText, Ui, UiBuilder, Vec2, pos2, vec2};

use super::super::board::geometry::Extent;
use super::super::command::Commands;
use super::super::condition::{Condition, number};
use super::super::readout::said;
use super::super::seen::Seen;
use super::super::session::Taken;
use super::super::theme;
use super::super::tongue::t;
use super::super::widget::target;
use super::foot::ledger_height;
use super::{ledger, overlay};

/// Height of the lines above the drawing, and where they have to be folded.
const HEAD: f32 = 44.0;
const FOLDED: f32 = 60.0;
/// Height of the line with the name, with the bar over it; size of the letters of the conditions.
const NAME: f32 = 34.0;
const CONDITIONS: f32 = 11.5;
/// Room above and below what stands in the one line of a low window.
const ABOUT: f32 = 4.0;
/// Width from which the conditions stand in one line.
const ONE_LINE: f32 = 480.0;
/// Room between two circuits.
const BETWEEN: f32 = 10.0;

/// Where the circuits stand that are seen at once, whose drawings cover so much of their pages and have something in
/// `lines` points of height above and below them: one in all the room there is, two beside each other or one above the
/// other, whichever leaves the drawings larger.
pub fn places(room: Rect, pages: &[Extent], lines: f32) -> Vec<Rect> {
    let [first, second] = pages else { return vec![room] };
    let half = |long: f32| (long - BETWEEN) / 2.0;
    let beside = vec2(half(room.width()), room.height());
    let below = vec2(room.width(), half(room.height()));
    let zoom = |size: Vec2| {
        let fit =
            |[left, top, right, bottom]: &Extent| (size.x / (right - left)).min((size.y - lines) / (bottom - top));
        fit(first).min(fit(second))
    };
    let size = if zoom(beside) >= zoom(below) { beside } else { below };
    vec![Rect::from_min_size(room.min, size), Rect::from_min_size(room.max - size, size)]
}

/// Height of what stands above and below each drawing of two. In a low window a ledger has no room before there is
/// something in either of them.
pub fn lines(ui: &Ui, both: &[Seen<'_>]) -> (f32, f32) {
    if !both.iter().any(|seen| seen.room.space.is_low) {
        return (HEAD, ledger_height(ui.ctx()));
    }
    let line = target(ui.ctx()) + ABOUT;
    (line, if both.iter().any(ledger::has_something) { line + ABOUT } else { 0.0 })
}

/// Height of the lines above a drawing so wide that the conditions take several.
fn folded(ui: &Ui, seen: &Seen<'_>, width: f32) -> f32 {
    let font = theme::plain(seen.palette.letters(CONDITIONS));
    let lines = ui.painter().layout(conditions(seen), font, seen.palette.text, width - 8.0).size().y;
    FOLDED.max(NAME + lines)
}

/// Shows what stands above and below a drawing, in so many points of height; yields the room left for it.
pub fn pane_ui(ui: &mut Ui, seen: &Seen<'_>, place: Rect, (above, below): (f32, f32), commands: &mut Commands) -> Rect {
    let palette = &seen.palette;
    let is_low = seen.room.space.is_low;
    let is_folded = !is_low && place.width() < ONE_LINE;
    let head = place.with_max_y(place.top() + if is_folded { folded(ui, seen, place.width()) } else { above });
    let foot = place.with_min_y(place.bottom() - below);
    // Which of the two is in front is told by the bar over it and by its name, in any light.
    let bar = Rect::from_min_size(head.min, vec2(head.width(), 4.0));
    ui.painter().rect_filled(bar, 0.0, if seen.is_front { palette.chosen } else { palette.line });
    if !seen.is_front {
        ui.painter().rect_filled(bar.shrink2(vec2(0.0, 1.0)), 0.0, palette.ground);
    }
    let text = head.with_min_y(bar.bottom() + if is_low { 0.0 } else { 1.0 }).shrink2(vec2(4.0, 0.0));
    ui.scope_builder(UiBuilder::new().max_rect(text), |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        if is_low {
            line_ui(ui, seen, commands);
            return;
        }
        ui.horizontal(|ui| name_ui(ui, seen));
        conditions_ui(ui, seen, is_folded);
    });
    if below > 0.0 {
        ui.scope_builder(UiBuilder::new().max_rect(foot.shrink2(vec2(4.0, 2.0))), |ui| {
            ledger::ledger_ui(ui, seen, commands);
        });
    }
    Rect::from_min_max(pos2(place.left(), head.bottom()), pos2(place.right(), foot.top()))
}

/// All that stands above a drawing in a low window: name, readings, conditions as far as there is room, and what moves
/// the sheet.
fn line_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    ui.spacing_mut().item_spacing.x = 4.0;
    ui.spacing_mut().button_padding.x = 4.0;
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        overlay::buttons_ui(ui, seen, true, commands);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            name_ui(ui, seen);
            conditions_ui(ui, seen, false);
        });
    });
}

/// What it is called, with what the instruments on it show.
fn name_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let palette = &seen.palette;
    let front = if seen.is_front { t!("pane-in-front") } else { "" };
    // In a low window the bar over it has to do for who sees.
    let words = if seen.room.space.is_low { seen.name.to_owned() } else { format!("{}{front}", seen.name) };
    let name = RichText::new(words).font(theme::bold(13.5)).color(palette.text);
    let shown = readings(seen);
    let text = RichText::new(&shown).font(theme::bold(13.5)).color(palette.text);
    let wide = if shown.is_empty() { 0.0 } else { 10.0 + text_width(ui, &shown) };
    ui.scope(|ui| {
        ui.set_max_width((ui.available_width() - wide).max(40.0));
        ui.add(Label::new(name).truncate()).accessible_name(format!("{}{front}", seen.name));
    });
    if !shown.is_empty() {
        ui.add(Label::new(text).truncate()).accessible_name(seen.told(&shown));
    }
}

fn conditions_ui(ui: &mut Ui, seen: &Seen<'_>, is_folded: bool) {
    let words = conditions(seen);
    let line = RichText::new(&words).font(theme::plain(seen.palette.letters(CONDITIONS))).color(seen.palette.text);
    let line = Label::new(line);
    ui.add(if is_folded { line.wrap() } else { line.truncate() }).on_hover_text(words);
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
