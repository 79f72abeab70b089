//! The test lamp as it is seen: a bulb whose filament is cold, glows or shines, with the word.
//!
//! Dark: a thin filament in an empty bulb. Dim: a thicker one with a few short rays. Bright: a filled bulb with long
//! rays all around. So the three differ by shape before any hue.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};

use crate::drawing::Ink;
use crate::physics::meter::Glow;

use super::super::readout::glow_word;
use super::super::theme::{self, Palette};
use super::super::tongue::t;

/// Draws the lamp called `name` in `rect`; none is a lamp that is not on yet.
pub fn bulb(painter: &Painter, rect: Rect, glow: Option<Glow>, name: &str, palette: &Palette) {
    painter.rect_filled(rect, 4.0, palette.field);
    painter.rect_stroke(rect, 4.0, Stroke::new(2.0, palette.line), StrokeKind::Inside);
    painter.text(rect.left_top() + vec2(9.0, 6.0), Align2::LEFT_TOP, name, theme::plain(10.5), palette.quiet);
    let radius = rect.height() * 0.19;
    let middle = pos2(rect.left() + rect.height() * 0.55, rect.center().y + 8.0);
    let line = Stroke::new(1.8, palette.text);
    let fill = match glow {
        Some(Glow::Bright) => palette.ink(Ink::Glow),
        Some(Glow::Dim | Glow::Dark) | None => palette.sheet,
    };
    let (rays, from, to) = match glow {
        Some(Glow::Bright) => (12u8, 1.3, 1.75),
        Some(Glow::Dim) => (6, 1.25, 1.45),
        Some(Glow::Dark) | None => (0, 0.0, 0.0),
    };
    for ray in 0..rays {
        let (sin, cos) = (std::f32::consts::TAU * f32::from(ray) / f32::from(rays)).sin_cos();
        let way = vec2(sin, -cos) * radius;
        painter.line_segment([middle + way * from, middle + way * to], line);
    }
    painter.circle(middle, radius, fill, line);
    filament(painter, middle, radius, glow, palette);
    let word = glow.map_or(t!("bulb-not-on-yet"), glow_word);
    let left = middle.x + radius * 1.85 + 8.0;
    let full = if glow.is_some() { 22.0 } else { 13.0 };
    let galley = painter.layout_no_wrap(word.to_owned(), theme::bold(full), palette.text);
    let size = full * ((rect.right() - left - 6.0) / galley.size().x).min(1.0);
    painter.text(pos2(left, middle.y), Align2::LEFT_CENTER, word, theme::bold(size), palette.text);
}

/// The wire on its two posts.
fn filament(painter: &Painter, middle: Pos2, radius: f32, glow: Option<Glow>, palette: &Palette) {
    let weight = match glow {
        Some(Glow::Bright) => 3.6,
        Some(Glow::Dim) => 2.4,
        Some(Glow::Dark) | None => 1.0,
    };
    // Letters' colour on the yellow of a shining bulb would be lost in the dark theme.
    let ink = match glow {
        Some(Glow::Bright) => palette.signal(crate::study::answer::Level::Caution).1,
        Some(Glow::Dim | Glow::Dark) | None => palette.text,
    };
    let at = |x: f32, y: f32| middle + vec2(x, y) * radius;
    for side in [-1.0, 1.0] {
        painter.line_segment([at(0.3 * side, 0.95), at(0.5 * side, 0.0)], Stroke::new(1.2, ink));
    }
    let coil = [(-0.5, 0.0), (-0.3, -0.35), (-0.1, 0.05), (0.1, -0.35), (0.3, 0.05), (0.5, 0.0)];
    painter.add(Shape::line(coil.map(|(x, y)| at(x, y)).to_vec(), Stroke::new(weight, ink)));
}
