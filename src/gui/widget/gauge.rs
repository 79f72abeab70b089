//! A pressure gauge: a round dial with needle, a mark at the least pressure the clutch needs, and the number beside it.
//!
//! Three quarters of a turn from nought to the end of the scale, as on the truck. A needle past its end stands at the
//! end; the number goes on.

use egui::{Align2, FontId, Id, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};

use crate::study::wording::{EXAMPLE_MARK, EXAMPLE_NOTE};

use super::super::seen::Seen;
use super::super::theme::{self, Palette};
use super::super::tongue::{t, worded};
use crate::words::fixed;

/// Degrees at nought, clockwise from the right, and how far the scale goes on.
const FROM: f32 = 135.0;
const SPAN: f32 = 270.0;

/// What a gauge shows, in its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge<'a> {
    /// Where it sits.
    pub name: &'a str,
    /// The same where there is room for a line of words alone.
    pub short: &'a str,
    /// The pressure; none where there is nothing to put it to.
    pub value: Option<f64>,
    /// The end of the scale.
    pub full: f64,
    /// What the clutch needs at least.
    pub least: f64,
    /// The unit's symbol.
    pub unit: &'a str,
    /// What it shows rests on an example value.
    pub example: bool,
}

/// Shows a gauge in `rect`: the dial, or in a rectangle as low as [`LINE`] its number alone.
pub fn gauge_ui(ui: &Ui, id: Id, rect: Rect, gauge: &Gauge<'_>, seen: &Seen<'_>) {
    let palette = &seen.palette;
    let Gauge { name, short, value, least, unit, example, .. } = *gauge;
    let mark = if example { EXAMPLE_MARK.to_string() } else { String::new() };
    let number = value
        .map_or_else(|| t!("gauge-none").to_owned(), |value| t!("gauge-number", value = fixed(value, 0), unit, mark));
    let label = match value {
        Some(_) => t!("gauge-gauge", name, number),
        None => t!("gauge-gauge-no-clutch-here", name),
    };
    let response = ui.interact(rect, id, Sense::HOVER);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, seen.told(&label)));
    let (plain, bold) = (theme::plain(palette.letters(11.5)), theme::bold(palette.letters(12.5)));
    let say = |at: Pos2, words: &str, font: &FontId| {
        ui.painter().text(at, Align2::LEFT_CENTER, words, font.clone(), palette.text)
    };
    let least = fixed(least, 0);
    let mut hint = if rect.height() < SIZE.y {
        let name = say(rect.left_center(), short, &plain);
        say(name.right_center() + vec2(5.0, 0.0), &number, &bold);
        t!("gauge-the-clutch-needs-at-least", label, least, unit)
    } else {
        let (middle, radius) = dial(ui.painter(), rect, gauge, palette);
        let left = middle.x + radius + 6.0;
        say(pos2(left, middle.y - 8.5), name, &plain);
        say(pos2(left, middle.y + 8.5), &number, &bold);
        t!("gauge-the-wedge-marks-what-the", label, least, unit)
    };
    if example {
        hint.push_str(&format!(" {}.", worded(&EXAMPLE_NOTE)));
    }
    response.on_hover_text(hint);
}

/// Draws the dial at the left of `rect`; where its middle is, and its radius.
fn dial(painter: &Painter, rect: Rect, gauge: &Gauge<'_>, palette: &Palette) -> (Pos2, f32) {
    let Gauge { value, full, least, .. } = *gauge;
    let radius = rect.height() / 2.0 - 1.0;
    let middle = pos2(rect.left() + radius + 1.0, rect.center().y);
    let way = |value: f64| {
        let share = (value / full).clamp(0.0, 1.0) as f32;
        Vec2::angled((FROM + SPAN * share).to_radians())
    };
    painter.circle(middle, radius, palette.field, palette.stroke(1.8, palette.line));
    for tick in 0..=6 {
        let way = way(full * f64::from(tick) / 6.0);
        painter.line_segment(
            [middle + way * (radius - 3.0), middle + way * (radius - 6.5)],
            Stroke::new(1.0, palette.line),
        );
    }
    if value.is_some() {
        // The least pressure is a wedge at the rim that points inward.
        let (out, side) = (way(least) * (radius - 1.5), way(least).rot90() * 3.0);
        let wedge = vec![middle + out + side, middle + out - side, middle + way(least) * (radius - 8.5)];
        painter.add(Shape::convex_polygon(wedge, palette.text, Stroke::NONE));
    }
    if let Some(value) = value {
        let way = way(value);
        painter.line_segment([middle - way * 4.0, middle + way * (radius - 6.0)], palette.stroke(2.2, palette.text));
    }
    painter.circle_filled(middle, 2.8, palette.text);
    (middle, radius)
}

/// Room a gauge takes.
pub const SIZE: Vec2 = vec2(118.0, 44.0);

/// Room its number alone takes, in a line.
pub const LINE: Vec2 = vec2(102.0, 18.0);
