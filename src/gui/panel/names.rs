//! The row of circuits that are open, where there are several: what each is called and what its fan does, which is in
//! front, and what two of them share.
//!
//! A press brings a circuit to the front; the drawers, the conditions and the keyboard are about that one. Where there is
//! room for one circuit only, this row alone tells of the others, so it says of each what its fan does and what is
//! dangerous there.

use egui::{Button, Label, Rect, RichText, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::space::Pair;
use super::super::tongue::t;
use super::super::widget::target;
use super::super::{ids, theme, words};
use super::found;

/// Height of what is pressed: a finger's, and that in a low window.
const HEIGHTS: (f32, f32) = (44.0, 32.0);

/// Shows the row. Of those `in_sight` chain and drawing are seen. `together` is whether two are seen at once, and whether what is done on one is done on both.
pub fn names_ui(ui: &mut Ui, all: &[Seen<'_>], in_sight: &[u32], together: (bool, bool), commands: &mut Commands) {
    let Some(front) = all.iter().find(|seen| seen.is_front) else { return };
    let is_low = front.room.space.is_low;
    let height = if is_low { HEIGHTS.1 } else { HEIGHTS.0 }.max(target(ui.ctx()));
    ui.spacing_mut().item_spacing.x = 4.0;
    ui.spacing_mut().item_spacing.y = 2.0;
    ui.horizontal_wrapped(|ui| {
        for seen in all {
            // In a low window what is told of it in its chain has no room here too.
            let is_told = is_low && in_sight.contains(&seen.number);
            if name_ui(ui, seen, height, is_told) {
                commands.push(Command::Bring(Some(seen.number)));
            }
            let close = Button::new(RichText::new("\u{d7}").font(theme::bold(15.0)))
                .min_size(vec2(target(ui.ctx()).max(30.0), height));
            let words = t!("names-close", name = seen.name);
            if ui.add(close).on_hover_text(&words).accessible_name(&words).clicked() {
                commands.push(Command::Close(seen.number));
            }
            ui.add_space(4.0);
        }
        let (side_by_side, both) = together;
        let toggle = |ui: &mut Ui, on: bool, (word, name): (&str, &str), help: &str| {
            let button = ui.add(Button::selectable(on, word).min_size(vec2(0.0, height)));
            button.on_hover_text(help).accessible_name(name).clicked()
        };
        let help = t!("names-two-circuits-seen-at-once");
        if toggle(ui, side_by_side, (t!("names-side-by-side"), t!("names-side-by-side")), help) {
            commands.push(Command::SideBySide(!side_by_side));
        }
        let help = t!("names-whatever-is-set-clipped-on");
        let word = if is_low { t!("names-on-both") } else { t!("names-do-the-same-on-both") };
        if toggle(ui, both, (word, t!("names-do-the-same-on-both")), help) {
            commands.push(Command::Together(!both));
        }
        if side_by_side && front.room.pair == Pair::Folded {
            let words = RichText::new(t!("names-no-room-here-for-two")).color(front.palette.parted);
            ui.add(Label::new(words).wrap());
        }
    });
}

/// One circuit's name with what its fan does; whether it was pressed.
fn name_ui(ui: &mut Ui, seen: &Seen<'_>, height: f32, is_told: bool) -> bool {
    let palette = &seen.palette;
    let standing = match seen.eyes {
        Some(eyes) => eyes.fan,
        None => Some(seen.verdict.standing),
    };
    let fan = standing
        .map_or_else(|| t!("names-not-seen").to_owned(), |standing| t!("names-fan", standing = words::fan(standing)));
    let grave = found::levels(seen).min();
    let (fill, ink) = if seen.is_front { (palette.chosen, palette.on_chosen) } else { (palette.raised, palette.text) };
    let set = |text: &str, font| ui.painter().layout_no_wrap(text.to_owned(), font, ink);
    let name = set(seen.name, theme::bold(palette.letters(13.5)));
    let told = set(&fan, theme::plain(palette.letters(12.0)));
    let signal = grave.map(|level| {
        let (fill, ink) = palette.signal(level);
        let font = theme::bold(palette.letters(10.5));
        (fill, ink, ui.painter().layout_no_wrap(words::signal(level).to_owned(), font, ink))
    });
    // In a low window all of it stands in one line.
    let is_low = seen.room.space.is_low;
    let plate = signal.as_ref().map_or(0.0, |(_, _, galley)| galley.size().x + 14.0);
    let below = told.size().x + plate;
    let wide = match is_low {
        _ if is_told => name.size().x,
        true => name.size().x + 8.0 + below,
        false => name.size().x.max(below),
    };
    let (_, rect) = ui.allocate_space(vec2((wide + 18.0).min(ui.max_rect().width() - 40.0), height));
    let response = ui.interact(rect, ids::bay(seen.number), Sense::click());
    let dangers = grave.map(|_| format!(", {}", found::counted(seen))).unwrap_or_default();
    let front = if seen.is_front { t!("names-in-front") } else { "" };
    let words = format!("{}: {fan}{dangers}{front}", seen.name);
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, seen.is_front, &words));
    let painter = ui.painter().with_clip_rect(rect.expand(2.0).intersect(ui.clip_rect()));
    painter.rect_filled(rect, 4.0, fill);
    painter.rect_stroke(rect, 4.0, palette.stroke(1.5, palette.line), StrokeKind::Inside);
    let left = rect.left() + 9.0;
    let (upper, lower, from) = if is_low {
        (rect.center().y, rect.center().y, left + name.size().x + 8.0)
    } else {
        (rect.top() + height * 0.3, rect.top() + height * 0.71, left)
    };
    let told_wide = told.size().x;
    painter.galley(pos2(left, upper - name.size().y / 2.0), name, ink);
    if !is_told {
        painter.galley(pos2(from, lower - told.size().y / 2.0), told, ink);
    }
    if let Some((fill, ink, galley)) = signal.filter(|_| !is_told) {
        let at = pos2(from + told_wide + 8.0, lower - galley.size().y / 2.0);
        painter.rect_filled(Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 1.0)), 2.0, fill);
        painter.galley(at, galley, ink);
    }
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        painter.rect_stroke(rect, 4.0, Stroke::new(weight, palette.focus), StrokeKind::Inside);
    }
    response.on_hover_text(t!("names-bring-it-to-the-front")).clicked()
}
