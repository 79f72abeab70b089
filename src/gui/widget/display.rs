//! The face of a meter: its digits drawn as segments, its unit, and what it measures.
//!
//! Seven strokes make every figure, as on the real thing. Told to screen readers by whoever shows it.

use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};

use super::super::readout::Readout;
use super::super::theme::{self, Palette};
use super::fitted::fitted;

/// Width over height of one figure.
const WIDE: f32 = 0.56;
/// Room from one figure to the next, over height.
const PACE: f32 = 0.74;
/// Room of a point, over height.
const POINT: f32 = 0.2;

/// Size of the letters that say what is measured, and the least of it.
const MEASURES: f32 = 10.5;
const LEAST_MEASURES: f32 = 8.0;

/// Draws a display in `rect`, `measures` being what the meter is set to.
pub fn display(painter: &Painter, rect: Rect, readout: &Readout, measures: &str, palette: &Palette) {
    painter.rect_filled(rect, 4.0, palette.field);
    painter.rect_stroke(rect, 4.0, Stroke::new(2.0, palette.line), StrokeKind::Inside);
    let inner = rect.shrink2(vec2(9.0, 6.0));
    let sizes = (MEASURES, LEAST_MEASURES);
    let measures = fitted(painter, measures, (theme::plain, sizes), inner.width(), palette.quiet);
    painter.galley(inner.left_top(), measures, palette.quiet);
    let unit = painter.text(inner.right_bottom(), Align2::RIGHT_BOTTOM, readout.unit, theme::bold(17.0), palette.text);
    let room = Rect::from_min_max(pos2(inner.left(), inner.top() + 15.0), pos2(unit.left() - 7.0, inner.bottom()));
    let width = |height: f32| readout.digits.chars().map(|figure| pace(figure) * height).sum::<f32>();
    // Six figures and a point fit always.
    let height = room.height().min(room.width() / width(1.0).max(1.0));
    let mut x = room.right() - width(height) + (PACE - WIDE) * height;
    for figure in readout.digits.chars() {
        draw(painter, pos2(x, room.bottom() - height), height, figure, palette.text);
        x += pace(figure) * height;
    }
}

fn pace(figure: char) -> f32 {
    if figure == '.' { POINT } else { PACE }
}

/// Which of the strokes top, upper right, lower right, bottom, lower left, upper left, middle make a figure.
fn segments(figure: char) -> [bool; 7] {
    let lit = match figure {
        '0' | 'O' => "abcdef",
        '1' => "bc",
        '2' => "abged",
        '3' => "abgcd",
        '4' => "fgbc",
        '5' => "afgcd",
        '6' => "afgedc",
        '7' => "abc",
        '8' => "abcdefg",
        '9' => "abcdfg",
        'L' => "def",
        '-' => "g",
        _ => "",
    };
    ['a', 'b', 'c', 'd', 'e', 'f', 'g'].map(|segment| lit.contains(segment))
}

fn draw(painter: &Painter, top_left: Pos2, height: f32, figure: char, ink: Color32) {
    let thick = height * 0.13;
    // Leaning a little, as such figures do.
    let at = |x: f32, y: f32| top_left + vec2(x * height * WIDE + (1.0 - y) * height * 0.06, y * height);
    if figure == '.' {
        painter.circle_filled(at(0.0, 1.0) + vec2(-height * 0.06, -thick * 0.6), thick * 0.75, ink);
        return;
    }
    let inset = thick / height;
    let (left, right, top, bottom) = (inset * 0.5, 1.0 - inset * 0.5, inset * 0.5, 1.0 - inset * 0.5);
    let ends = [
        ((left, top), (right, top)),
        ((right, top), (right, 0.5)),
        ((right, 0.5), (right, bottom)),
        ((left, bottom), (right, bottom)),
        ((left, 0.5), (left, bottom)),
        ((left, top), (left, 0.5)),
        ((left, 0.5), (right, 0.5)),
    ];
    for (lit, ((ax, ay), (bx, by))) in segments(figure).into_iter().zip(ends) {
        if lit {
            stroke(painter, at(ax, ay), at(bx, by), thick, ink);
        }
    }
}

/// A bar with pointed ends, a little short of its corners so that neighbours stay apart.
fn stroke(painter: &Painter, a: Pos2, b: Pos2, thick: f32, ink: Color32) {
    let along = (b - a).normalized();
    let across = along.rot90() * (thick / 2.0);
    let (a, b) = (a + along * (thick * 0.12), b - along * (thick * 0.12));
    let (near, far) = (a + along * (thick / 2.0), b - along * (thick / 2.0));
    let corners = vec![a, near + across, far + across, b, far - across, near - across];
    painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
}
