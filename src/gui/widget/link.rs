//! One link of the chain as a plate, and the joint that holds it to the one before, whole or parted.
//!
//! A plate that drives the fan is filled, one that does not is open; a joint that holds is a closed ring over both
//! plates, one that does not is two hooks torn apart. So each state is told by shape and word before any hue.

use egui::{Align2, FontId, Painter, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::study::answer::Link;

use super::super::ids;
use super::super::seen::Seen;
use super::super::theme::{self, Palette};
use super::super::tongue::{t, worded};

/// Where name and number stand on a plate, as a share of its height from its edge.
const EDGE: f32 = 14.0 / 76.0;

/// How a plate is shown beside what its link says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// It is the first that does not follow from the one before.
    pub parts_here: bool,
    /// Its reasons are open.
    pub chosen: bool,
    /// Size of its letters against the usual.
    pub scale: f32,
    /// How much of it there is room for.
    pub form: Form,
}

/// How much of a link a plate shows. Who does not see hears all of it always.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Name, word and number below each other.
    Full,
    /// Name and word in one line, the number below.
    Folded,
    /// The word alone, its name before it where there is room.
    Line,
}

/// Shows a link's plate.
pub fn link_ui(ui: &Ui, seen: &Seen<'_>, rect: Rect, link: &Link, standing: Standing) -> Response {
    let palette = &seen.palette;
    let response = ui.interact(rect, ids::link(seen.number, link.name), Sense::click());
    let name = worded(&link.name.word());
    let holds = if link.holds { t!("link-holds") } else { t!("link-does-not-hold") };
    let here = if standing.parts_here { t!("link-the-chain-parts-here") } else { "" };
    let label = seen.told(&format!("{name}: {}, {}, {holds}{here}", worded(&link.word), worded(&link.number)));
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, standing.chosen, &label));
    let painter = ui.painter();
    let (fill, ink) = if link.drives { (palette.drives, palette.on_drives) } else { (palette.sheet, palette.text) };
    painter.rect_filled(rect, 7.0, fill);
    let edge = if standing.parts_here { Stroke::new(4.0, palette.parted) } else { palette.stroke(1.5, palette.line) };
    painter.rect_stroke(rect, 7.0, edge, StrokeKind::Inside);
    let x = rect.center().x;
    // The rings of both joints lie over the plate's edges at the height of the word.
    let (width, between) = (rect.width() - 14.0, rect.width() - 38.0);
    let size = |points: f32| palette.letters(points * standing.scale);
    let plain = |points: f32| theme::plain(size(points));
    match standing.form {
        Form::Full => {
            let edge = rect.height() * EDGE;
            fitted(painter, pos2(x, rect.top() + edge), &name, plain(12.5), width, ink);
            fitted(painter, rect.center(), &worded(&link.word), theme::bold(size(22.0)), between, ink);
            fitted(painter, pos2(x, rect.bottom() - edge), &worded(&link.number), plain(13.0), width, ink);
        }
        Form::Folded => folded(painter, rect, link, palette, ink),
        Form::Line => line(painter, rect, link, ink),
    }
    if standing.chosen {
        let under = Rect::from_min_max(
            pos2(rect.left() + 8.0, rect.bottom() + 2.0),
            pos2(rect.right() - 8.0, rect.bottom() + 6.0),
        );
        painter.rect_filled(under, 2.0, palette.chosen);
    }
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        painter.rect_stroke(rect.expand(1.0), 8.0, Stroke::new(weight, palette.focus), StrokeKind::Outside);
    }
    response
}

/// Size of the word where it stands beside the name.
const COMPACT: f32 = 16.5;

/// What of a plate's width the rings of the joints lie over where all of it stands in one line.
const RINGS: f32 = 14.0;

/// Name and word in one line, or the word alone.
fn line(painter: &Painter, rect: Rect, link: &Link, ink: egui::Color32) {
    let room = rect.width() - RINGS;
    let name = painter.layout_no_wrap(worded(&link.name.word()), theme::plain(theme::BODY), ink);
    let word = painter.layout_no_wrap(worded(&link.word), theme::bold(COMPACT), ink);
    let wide = name.size().x + 7.0 + word.size().x;
    if wide > room {
        let size = if word.size().x > room { theme::BODY } else { COMPACT };
        fitted(painter, rect.center(), &worded(&link.word), theme::bold(size), room, ink);
        return;
    }
    let from = rect.center().x - wide / 2.0;
    let down = rect.center().y + word.size().y / 2.0;
    painter.galley(pos2(from, down - name.size().y - 1.0), name, ink);
    painter.galley(pos2(from + wide - word.size().x, down - word.size().y), word, ink);
}

/// Name and word in one line, the number below: half as high, and no letter below the least.
fn folded(painter: &Painter, rect: Rect, link: &Link, palette: &Palette, ink: egui::Color32) {
    let least = theme::BODY;
    let room = rect.width() - 30.0;
    let name = painter.layout_no_wrap(worded(&link.name.word()), theme::plain(least), ink);
    let left = room - name.size().x - 7.0;
    let set = |size: f32| painter.layout_no_wrap(worded(&link.word), theme::bold(size), ink);
    let full = set(COMPACT);
    let word =
        if full.size().x > left { set((COMPACT * left / full.size().x).max(palette.letters(11.0))) } else { full };
    let wide = name.size().x + 7.0 + word.size().x;
    let line = rect.top() + 1.5 + full_height(&word, &name);
    let from = rect.center().x - wide / 2.0;
    // Both on one line to stand on.
    painter.galley(pos2(from, line - name.size().y), name.clone(), ink);
    painter.galley(pos2(from + wide - word.size().x, line - word.size().y + 1.5), word, ink);
    let number = pos2(rect.center().x, rect.bottom() - 10.0);
    fitted(painter, number, &worded(&link.number), theme::plain(least), rect.width() - 8.0, ink);
}

fn full_height(a: &egui::Galley, b: &egui::Galley) -> f32 {
    a.size().y.max(b.size().y)
}

/// Letters made smaller where they would not fit.
fn fitted(painter: &Painter, at: egui::Pos2, text: &str, font: FontId, width: f32, ink: egui::Color32) {
    let galley = painter.layout_no_wrap(text.to_owned(), font.clone(), ink);
    let size = font.size * (width.max(1.0) / galley.size().x.max(1.0)).min(1.0);
    painter.text(at, Align2::CENTER_CENTER, text, FontId::new(size, font.family), ink);
}

/// The joint between two plates, `gap` being the room between them and `scale` its size against the usual.
pub fn joint(painter: &Painter, gap: Rect, holds: bool, scale: f32, palette: &Palette) {
    let middle = gap.center();
    if holds {
        let ring = Rect::from_center_size(middle, vec2(gap.width() + 18.0 * scale, 18.0 * scale));
        painter.rect_stroke(ring, 9.0 * scale, Stroke::new(6.5 * scale, palette.ground), StrokeKind::Middle);
        painter.rect_stroke(ring, 9.0 * scale, Stroke::new(4.0 * scale, palette.text), StrokeKind::Middle);
        return;
    }
    let size = palette.letters(12.0 * scale);
    let word = pos2(middle.x, gap.top() + 6.0 * scale);
    let below = gap.with_min_y(word.y + size / 2.0);
    if middle.y - TEAR.0 * scale < below.top() {
        // In a low line the tear finds room below its word.
        torn(painter, below, scale.min(below.height() / (TEAR.0 + TEAR.1)), palette);
    } else {
        torn(painter, gap, scale, palette);
    }
    painter.text(word, Align2::CENTER_CENTER, t!("link-parted"), theme::bold(size), palette.parted);
}

/// How far a tear reaches above and below its middle.
const TEAR: (f32, f32) = (22.0, 24.0);

/// The two halves of a joint that has parted, without a word.
pub fn torn(painter: &Painter, gap: Rect, scale: f32, palette: &Palette) {
    let middle = gap.center();
    let stroke = Stroke::new(4.5 * scale, palette.parted);
    // Each half of the ring is still on its plate, bent open where it gave way.
    let half = |side: f32, drop: f32| {
        let root = gap.width() / 2.0 / scale + 9.0;
        let upper = [(root, -9.0), (root - 12.0, -9.0), (14.0, -9.0 + drop), (8.0, -3.0 + drop)];
        let lower = [(root, 9.0), (root - 12.0, 9.0), (15.0, 9.0 + drop), (10.0, 14.0 + drop)];
        for curl in [upper, lower] {
            let curl = curl.iter().map(|(x, y)| middle + vec2(side * x, *y) * scale).collect();
            painter.add(Shape::line(curl, stroke));
        }
    };
    half(-1.0, 4.0);
    half(1.0, -5.0);
    let tear = [(-3.0, -TEAR.0), (4.0, -10.0), (-4.0, 1.0), (4.0, 11.0), (-3.0, TEAR.1)];
    let tear = tear.map(|(x, y)| middle + vec2(x, y) * scale);
    painter.add(Shape::line(tear.to_vec(), Stroke::new(2.5 * scale, palette.parted)));
}
