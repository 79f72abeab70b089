//! A pressure gauge: a round dial with needle, a mark at the least pressure the clutch needs, and the number beside it.
//!
//! Three quarters of a turn from nought to the end of the scale, as on the truck. A needle past its end stands at the
//! end; the number goes on.

use egui::{Align2, Id, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};

use crate::study::wording::{EXAMPLE_MARK, EXAMPLE_NOTE};

use super::super::seen::Seen;
use super::super::theme;

/// Degrees at nought, clockwise from the right, and how far the scale goes on.
const FROM: f32 = 135.0;
const SPAN: f32 = 270.0;

/// What a gauge shows, in its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge<'a> {
    /// Where it sits.
    pub name: &'a str,
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

/// Shows a gauge in `rect`.
pub fn gauge_ui(ui: &Ui, id: Id, rect: Rect, gauge: &Gauge<'_>, seen: &Seen<'_>) {
    let palette = &seen.palette;
    let Gauge { name, value, full, least, unit, example } = *gauge;
    let mark = if example { EXAMPLE_MARK.to_string() } else { String::new() };
    let number = value.map_or_else(|| "none".to_owned(), |value| format!("{value:.0} {unit}{mark}"));
    let label = match value {
        Some(_) => format!("{name} gauge, {number}"),
        None => format!("{name} gauge, no clutch here"),
    };
    let response = ui.interact(rect, id, Sense::HOVER);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, seen.told(&label)));
    let painter = ui.painter();
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
    let left = middle.x + radius + 6.0;
    painter.text(
        pos2(left, middle.y - 8.5),
        Align2::LEFT_CENTER,
        name,
        theme::plain(palette.letters(11.5)),
        palette.text,
    );
    painter.text(
        pos2(left, middle.y + 8.5),
        Align2::LEFT_CENTER,
        number,
        theme::bold(palette.letters(12.5)),
        palette.text,
    );
    let mut hint = format!("{label}. The wedge marks what the clutch needs at least: {least:.0} {unit}.");
    if example {
        hint.push_str(&format!(" {EXAMPLE_NOTE}."));
    }
    response.on_hover_text(hint);
}

/// Room a gauge takes.
pub const SIZE: Vec2 = vec2(118.0, 44.0);
