//! The fan at the end of the chain: driven, free or slipping, by shape and word.
//!
//! Driven, its blades are filled and its hub is bolted to the ring; free, blades are open and the ring stands off;
//! slipping, every other blade is filled and the ring is wavy. It turns only while the clock plays, and where the person
//! wants to see it; what it does is told by shape and word all the same.

use egui::{Align2, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::study::answer::Standing;

use super::super::seen::Seen;
use super::super::tongue::t;
use super::super::{ids, theme, words};

const BLADES: usize = 8;
/// Height under which its word alone stands beside it.
const ONE_LINE: f32 = 40.0;

/// Shows what the fan does, its blades turned by so many radians.
pub fn fan_ui(ui: &Ui, seen: &Seen<'_>, rect: Rect, standing: Standing, turned: f32) {
    let palette = &seen.palette;
    let response = ui.interact(rect, ids::fan(seen.number), Sense::HOVER);
    let word = words::fan(standing);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, seen.told(&t!("fan-fan", word))));
    let painter = ui.painter();
    let edge = if rect.height() < ONE_LINE { 1.0 } else { 6.0 };
    let radius = (rect.height() / 2.0 - edge).min(rect.width() * 0.27);
    let middle = pos2(rect.left() + radius + 8.0, rect.center().y);
    let line = palette.stroke(1.8, palette.text);
    for blade in 0..BLADES {
        let filled = match standing {
            Standing::Engaged => true,
            Standing::Slipping | Standing::Unsettled => blade % 2 == 0,
            Standing::Released | Standing::None => false,
        };
        let points = blade_points(middle, radius, blade, turned);
        let fill = if filled { palette.text } else { palette.sheet };
        painter.add(Shape::convex_polygon(points, fill, Stroke::new(1.3, palette.text)));
    }
    let hub = radius * 0.3;
    painter.circle(middle, hub, palette.ground, line);
    match standing {
        Standing::Engaged => {
            painter.circle_filled(middle, hub * 0.72, palette.text);
        }
        Standing::Released | Standing::None => {
            painter.circle_stroke(middle, hub * 0.4, Stroke::new(1.2, palette.text));
        }
        Standing::Slipping | Standing::Unsettled => {
            let wave: Vec<Pos2> = (-6..=6)
                .map(|i| middle + vec2(i as f32 * hub / 8.0, if i % 2 == 0 { -hub * 0.28 } else { hub * 0.28 }))
                .collect();
            painter.add(Shape::line(wave, line));
        }
    }
    if rect.height() < ONE_LINE {
        let left = middle.x + radius + 6.0;
        let full = theme::bold(palette.letters(16.5));
        let galley = painter.layout_no_wrap(word.to_owned(), full.clone(), palette.text);
        let size = full.size * ((rect.right() - left) / galley.size().x).min(1.0);
        painter.text(pos2(left, middle.y), Align2::LEFT_CENTER, word, theme::bold(size), palette.text);
        return;
    }
    let left = middle.x + radius + 10.0;
    let room = (rect.right() - left).max(30.0);
    let scale = (rect.height() / 80.0).max(if seen.room.pair.has_two() { 0.8 } else { 1.0 });
    let (above, below) = (rect.center().y - 13.0 * scale, rect.center().y + 9.0 * scale);
    painter.text(
        pos2(left, above),
        Align2::LEFT_CENTER,
        t!("fan-fan-2"),
        theme::plain(palette.letters(13.0 * scale)),
        palette.text,
    );
    let full = palette.letters(20.0 * scale);
    let galley = painter.layout_no_wrap(word.to_owned(), theme::bold(full), palette.text);
    let size = full * (room / galley.size().x).min(1.0);
    painter.text(pos2(left, below), Align2::LEFT_CENTER, word, theme::bold(size), palette.text);
}

fn blade_points(middle: Pos2, radius: f32, blade: usize, turned: f32) -> Vec<Pos2> {
    let turn = turned + std::f32::consts::TAU * blade as f32 / BLADES as f32;
    let on = |part: f32, away: f32| {
        let (sin, cos) = (turn + part).sin_cos();
        middle + vec2(cos, sin) * radius * away
    };
    vec![on(0.0, 0.3), on(-0.06, 0.97), on(0.3, 1.0), on(0.42, 0.34)]
}
