//! From the drawing's plain shapes to strokes and letters on the screen.
//!
//! Every length is multiplied by the zoom before it is stroked, so a drawing is as sharp at six times its size as at
//! one. Colours come from the palette by role. Nothing here knows what a shape means.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Align2, Painter, Pos2, Rect, Shape as Mark, Stroke, Vec2, pos2, vec2};

use crate::drawing::{Anchor, Form, Ink, Lettered, Noted, Picture, Shape, bold_width};

use super::super::theme::{self, Palette};
use super::geometry::{Extent, Sheet, extent};
use super::view::View;

/// Letters smaller than this are left out: a smear tells nothing.
const SMALLEST_LETTERS: f32 = 6.0;
/// On the projector's sheet.
const SMALLEST_FOR_A_CLASS: f32 = 8.0;
/// Words that would be smaller than this as drawn are left out there, for enlarged they would only crowd the designations.
const DRAWN_FOR_A_CLASS: f32 = 4.5;
/// Other words than designations are written as large as this, in points, where there is room for it.
const EASY_LETTERS: f32 = 10.0;
/// Designations are not drawn smaller than this, in points…
const SMALLEST_TAG: f32 = 10.5;
/// …unless the drawing is smaller than this, and each has less room than so many square points: they would cover it.
const SMALLEST_ZOOM_WITH_TAGS: f32 = 0.35;
const LEAST_ROOM: f32 = 1600.0;
/// Dashes are not drawn shorter than this, in points: shorter ones run together, and a large circuit has thousands.
const SMALLEST_DASH: f32 = 2.5;
/// Lines, arcs and dots that are smaller both ways than this, in points, are left out.
const SMALLEST_SHAPE: f32 = 1.0;
/// Shapes up to which a drawing is small enough for its enlarged designations to be kept clear of them.
const MOST_SHAPES: usize = 3000;
/// Distance of the sheet's faint ruling in units.
const RULING: f32 = 40.0;

/// Words of a drawing that are larger than drawn, and what that holds for: they are placed once and not in every frame.
#[derive(Clone, Debug, Default)]
pub(super) struct Written {
    of: Option<Seen>,
    /// The middle of each designation.
    tags: BTreeMap<usize, crate::drawing::Point>,
    /// How each other word is written.
    words: BTreeMap<usize, Lettered>,
}

/// A drawing as it is seen: which, what of its page, at which zoom, with which least letters.
#[derive(Clone, Debug)]
struct Seen {
    token: Arc<()>,
    page: [f32; 4],
    zoom: f32,
    least: [f32; 2],
}

impl Seen {
    fn is(&self, other: &Self) -> bool {
        let looks = |seen: &Self| (seen.page, seen.zoom, seen.least);
        Arc::ptr_eq(&self.token, &other.token) && looks(self) == looks(other)
    }
}

/// Paints a sheet and its drawing as seen through `view` on `board`; `written` is what is kept for it from frame to frame.
pub(super) fn drawing(
    painter: &Painter,
    (board, view): (Rect, &View),
    palette: &Palette,
    (sheet, extent): (&Sheet, Extent),
    written: &mut Written,
) {
    let least_tag = least_tag(view, palette, &sheet.picture);
    let scene = Scene { painter, board, view, palette, least_tag };
    let least = [least_tag, scene.least_letters()];
    let now =
        Seen { token: Arc::clone(&sheet.token), page: scene.view.seen_of_page(scene.board), zoom: view.zoom(), least };
    if !written.of.as_ref().is_some_and(|of| of.is(&now)) {
        let (tags, words) = scene.enlarged(&sheet.picture);
        *written = Written { of: Some(now), tags, words };
    }
    scene.bare(extent, scene.tags_on_screen(&sheet.picture, written));
    scene.paint(&sheet.picture, written);
}

/// Paints a small drawing as seen through `view` on `board`.
pub fn picture(painter: &Painter, board: Rect, view: &View, palette: &Palette, picture: &Picture) {
    let least_tag = least_tag(view, palette, picture);
    let scene = Scene { painter, board, view, palette, least_tag };
    let (tags, words) = scene.enlarged(picture);
    scene.paint(picture, &Written { of: None, tags, words });
}

/// How far within the sheet's frame its second line is, in points.
const INNER_FRAME: f32 = 4.0;

/// A wide translucent band along everything that is drawn of one thing, for wires and leads that no frame fits.
pub fn trace(
    painter: &Painter,
    board: Rect,
    view: &View,
    colour: egui::Color32,
    picture: &Picture,
    subject: crate::study::answer::Subject,
) {
    let width = 10.0 * view.zoom().max(0.7);
    for shape in picture.shapes.iter().filter(|shape| shape.subject == Some(subject)) {
        if let Form::Line { points, closed: false } = &shape.form
            && shape.ink != Ink::Halo
            && shape.ink != Ink::WireCasing
        {
            let points = points.iter().map(|p| view.screen_from_page(board, p.x, p.y)).collect();
            painter.add(Mark::line(points, Stroke::new(width, colour.gamma_multiply(0.35))));
        }
    }
}

/// The pieces of a dashed line that are on the board, each beginning with a whole dash: a wire that is far longer than
/// the board has thousands of dashes off it.
fn in_sight(points: &[Pos2], board: Rect, period: f32) -> Vec<Vec<Pos2>> {
    if points.iter().all(|point| board.contains(*point)) {
        return vec![points.to_vec()];
    }
    let piece = |ends: &[Pos2]| {
        let [from, to] = [ends[0], ends[1]];
        let (enters, leaves) = within(from, to, board)?;
        let long = from.distance(to);
        let enters = (enters * long / period).floor() * period / long;
        Some(vec![from.lerp(to, enters), from.lerp(to, leaves)])
    };
    points.windows(2).filter_map(piece).collect()
}

/// Upper left corners of notes beside things of the drawing, where they hide least of it: each thing with its middle, how
/// far it reaches and the note's size, in points.
pub fn beside(board: Rect, view: &View, picture: &Picture, notes: &[(Pos2, f32, Vec2)]) -> Vec<Pos2> {
    let zoom = view.zoom();
    let noted = notes.iter().map(|(middle, radius, note)| {
        let page = view.page_from_screen(board, *middle);
        let (middle, note) = (crate::drawing::Point::new(page.x, page.y), (note.x / zoom, note.y / zoom));
        Noted { middle, radius: radius / zoom, note }
    });
    let seen = view.seen_of_page(board);
    let corners = crate::drawing::beside(picture, EASY_LETTERS / zoom, seen, &noted.collect::<Vec<_>>());
    corners.into_iter().map(|corner| view.screen_from_page(board, corner.x, corner.y)).collect()
}

/// The size in which letters of some size are written, in points. Smaller ones than the least are not, however little they
/// are short of it: they were taken to be in nobody's way when the others were placed.
fn written_at(size: f32, least: f32) -> Option<f32> {
    // Steps of a quarter point keep the number of letter shapes small while zooming.
    (size >= least - 1e-3).then(|| (size * 4.0).round() / 4.0)
}

/// From where to where a straight line is within a box, as shares of its length (Liang and Barsky, 1984).
fn within(from: Pos2, to: Pos2, area: Rect) -> Option<(f32, f32)> {
    let (mut enters, mut leaves) = (0.0_f32, 1.0_f32);
    for axis in 0..2 {
        let (at, long) = (from[axis], to[axis] - from[axis]);
        let (low, high) = (area.min[axis] - at, area.max[axis] - at);
        if long == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (first, last) = if long > 0.0 { (low / long, high / long) } else { (high / long, low / long) };
        (enters, leaves) = (enters.max(first), leaves.min(last));
    }
    (enters < leaves).then_some((enters, leaves))
}

struct Scene<'a> {
    painter: &'a Painter,
    board: Rect,
    view: &'a View,
    palette: &'a Palette,
    /// Least size of designations, in points.
    least_tag: f32,
}

/// Least size of designations, in points: they stay readable on a large circuit seen whole, for they are what people
/// point and talk about, unless they would cover it.
fn least_tag(view: &View, palette: &Palette, picture: &Picture) -> f32 {
    let zoom = view.zoom();
    let tags = picture.shapes.iter().filter(|shape| shape.ink == Ink::TagText).count().max(1);
    let room = picture.width * picture.height * zoom * zoom / tags as f32;
    let is_readable = zoom >= SMALLEST_ZOOM_WITH_TAGS || room >= LEAST_ROOM || palette.least > 0.0;
    if is_readable { palette.letters(SMALLEST_TAG) } else { 0.0 }
}

impl Scene<'_> {
    fn at(&self, point: crate::drawing::Point) -> Pos2 {
        self.view.screen_from_page(self.board, point.x, point.y)
    }

    /// Whether any of a circle is on the board and large enough to be seen: of a large drawing seen near most is not, and would be laid out in vain.
    fn is_in_sight(&self, centre: crate::drawing::Point, radius: f32) -> bool {
        let radius = radius * self.view.zoom();
        2.0 * radius >= SMALLEST_SHAPE && self.board.expand(radius + 2.0).contains(self.at(centre))
    }

    /// The bare sheet: paper, ruling and frame. It reaches as far as designations that are larger than drawn do.
    fn bare(&self, [left, top, right, bottom]: Extent, tags: Rect) {
        let (painter, board, view, palette) = (self.painter, self.board, self.view, self.palette);
        let a = view.screen_from_page(board, left, top);
        let b = view.screen_from_page(board, right, bottom);
        let page = Rect::from_two_pos(a, b).expand(view.border());
        let page = match tags.expand(2.0 * INNER_FRAME) {
            tags if tags.intersects(board) => page.union(tags.intersect(board.shrink(1.0))),
            _ => page,
        };
        painter.rect_filled(page, 0.0, palette.sheet);
        let step = RULING * view.zoom();
        if step >= 12.0 {
            let thin = Stroke::new(1.0, palette.ruling);
            let seen = page.intersect(board);
            let lines = |from: f32, low: f32, high: f32| {
                let first = ((low - from) / step).ceil();
                (0..).map(move |i| from + (first + i as f32) * step).take_while(move |at| *at < high)
            };
            for x in lines(a.x, seen.left(), seen.right()) {
                painter.vline(x, seen.y_range(), thin);
            }
            for y in lines(a.y, seen.top(), seen.bottom()) {
                painter.hline(seen.x_range(), y, thin);
            }
        }
        painter.rect_stroke(page, 0.0, Stroke::new(1.5, palette.line), egui::StrokeKind::Inside);
        painter.rect_stroke(page.shrink(INNER_FRAME), 0.0, Stroke::new(0.7, palette.line), egui::StrokeKind::Inside);
    }

    /// The box around all designations that are larger than drawn, in points.
    fn tags_on_screen(&self, picture: &Picture, written: &Written) -> Rect {
        let boxes = written.tags.iter().filter_map(|(number, middle)| match &picture.shapes[*number].form {
            Form::Text { text, .. } => {
                let size = vec2(bold_width(text, self.least_tag), self.least_tag);
                Some(Rect::from_center_size(self.at(*middle), size))
            }
            _ => None,
        });
        boxes.fold(Rect::NOTHING, Rect::union)
    }

    fn paint(&self, picture: &Picture, written: &Written) {
        for (number, shape) in picture.shapes.iter().enumerate() {
            self.shape(shape, written.tags.get(&number).copied(), written.words.get(&number));
        }
    }

    /// Least size of other words, in points.
    fn least_letters(&self) -> f32 {
        if self.palette.least > 0.0 { SMALLEST_FOR_A_CLASS } else { SMALLEST_LETTERS }
    }

    /// Words that are larger than drawn: the middle of each designation, and how each other one is written.
    fn enlarged(&self, picture: &Picture) -> (BTreeMap<usize, crate::drawing::Point>, BTreeMap<usize, Lettered>) {
        if picture.shapes.len() > MOST_SHAPES {
            return Default::default();
        }
        let zoom = self.view.zoom();
        let (tag, least) = (self.least_tag / zoom, self.least_letters() / zoom);
        let tags = crate::drawing::enlarged(picture, tag, least, self.view.seen_of_page(self.board));
        // For a class there are few words beside the designations.
        let from = if self.palette.least > 0.0 { DRAWN_FOR_A_CLASS } else { 0.0 };
        let words = match self.least_tag {
            // The designations alone are in nobody's way.
            0.0 => BTreeMap::new(),
            _ => {
                let [left, top, right, bottom] = extent(picture);
                let around = (self.view.border() - INNER_FRAME) / zoom;
                let sheet = (left - around, top - around, right + around, bottom + around);
                let easy = self.palette.letters(EASY_LETTERS) / zoom;
                crate::drawing::lettering((picture, sheet), easy, (least, from / zoom), (&tags, tag))
            }
        };
        (tags, words)
    }

    fn shape(&self, shape: &Shape, tag: Option<crate::drawing::Point>, word: Option<&Lettered>) {
        let colour = self.palette.ink(shape.ink);
        let zoom = self.view.zoom();
        let stroke = self.palette.stroke((shape.weight * zoom).max(0.6), colour);
        match &shape.form {
            Form::Line { points, closed } => {
                let mut points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
                if *closed {
                    points.extend(points.first().copied());
                }
                self.stroke(points, shape, stroke);
            }
            Form::Arc { centre, radius, from_degrees, to_degrees } => {
                // A chord is off its arc by less than a third of a point at this many steps.
                let span = (to_degrees - from_degrees).abs().to_radians();
                let steps = (span * (radius * zoom).max(1.0).sqrt() * 1.5).ceil().clamp(4.0, 96.0) as usize;
                if !self.is_in_sight(*centre, *radius) {
                    return;
                }
                let middle = self.at(*centre);
                let points = (0..=steps).map(|i| {
                    let part = i as f32 / steps as f32;
                    let (sin, cos) = (from_degrees + (to_degrees - from_degrees) * part).to_radians().sin_cos();
                    middle + vec2(cos, sin) * *radius * zoom
                });
                self.stroke(points.collect(), shape, stroke);
            }
            Form::Circle { centre, radius, filled: true } => {
                if self.is_in_sight(*centre, *radius) {
                    self.painter.circle_filled(self.at(*centre), radius * zoom, colour);
                }
            }
            Form::Circle { centre, radius, filled: false } => {
                if self.is_in_sight(*centre, *radius) {
                    self.painter.circle_stroke(self.at(*centre), radius * zoom, stroke);
                }
            }
            Form::Polygon { points } => {
                let points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
                let extent = Rect::from_points(&points);
                if extent.intersects(self.board) && extent.size().max_elem() >= SMALLEST_SHAPE {
                    self.painter.add(Mark::convex_polygon(points, colour, Stroke::NONE));
                }
            }
            Form::Text { at, text, size, anchor } => {
                let (at, size) = word.map_or((*at, *size), |word| (word.at, word.size));
                let (at, anchor) = tag.map_or((at, *anchor), |middle| (middle, Anchor::Middle));
                self.letters(at, text, size, anchor, shape.ink);
            }
        }
    }

    fn stroke(&self, points: Vec<Pos2>, shape: &Shape, stroke: Stroke) {
        let extent = Rect::from_points(&points);
        let is_speck = extent.size().max_elem() < SMALLEST_SHAPE;
        if is_speck || extent.expand(stroke.width).intersect(self.board).is_negative() {
            return;
        }
        let zoom = self.view.zoom();
        match shape.dash.pattern() {
            Some((on, off)) => {
                let zoom = zoom.max(SMALLEST_DASH / on);
                for piece in in_sight(&points, self.board.expand(stroke.width), (on + off) * zoom) {
                    self.painter.extend(Mark::dashed_line(&piece, stroke, on * zoom, off * zoom));
                }
            }
            None => {
                self.painter.add(Mark::line(points, stroke));
            }
        }
    }

    fn letters(&self, at: crate::drawing::Point, text: &str, size: f32, anchor: Anchor, ink: Ink) {
        let least = if ink == Ink::TagText { self.least_tag } else { 0.0 };
        let size = written_at((size * self.view.zoom()).max(least), self.least_letters());
        let at = self.at(at);
        let Some(size) = size.filter(|_| self.board.expand(400.0).contains(at)) else { return };
        let size = size.max(least);
        let font = if ink == Ink::TagText { theme::bold(size) } else { theme::plain(size) };
        let align = match anchor {
            Anchor::Start => Align2::LEFT_CENTER,
            Anchor::Middle => Align2::CENTER_CENTER,
            Anchor::End => Align2::RIGHT_CENTER,
        };
        let colour = self.palette.ink(ink);
        let galley = self.painter.layout_no_wrap(text.to_owned(), font, colour);
        let place = align.anchor_size(pos2(at.x, at.y), galley.size());
        // A thin patch of sheet behind wire numbers and readings keeps them readable over lines.
        if matches!(ink, Ink::WireText | Ink::ReadingText | Ink::LeadText | Ink::FaultText) {
            self.painter.rect_filled(place.shrink2(vec2(0.0, size * 0.12)), 1.0, self.palette.sheet);
        }
        self.painter.galley(place.min, galley, colour);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOARD: Rect = Rect { min: Pos2::ZERO, max: pos2(100.0, 50.0) };

    #[test]
    fn of_a_line_only_what_is_on_the_board_is_left_from_whole_dashes_on() {
        let far = [pos2(-1000.0, 20.0), pos2(1000.0, 20.0), pos2(1000.0, 900.0)];
        assert_eq!(in_sight(&far, BOARD, 30.0), [[pos2(-10.0, 20.0), pos2(100.0, 20.0)]]);
        let near = [pos2(1.0, 1.0), pos2(9.0, 1.0), pos2(9.0, 30.0)];
        assert_eq!(in_sight(&near, BOARD, 30.0), [near]);
        assert!(in_sight(&[pos2(5.0, 60.0), pos2(95.0, 60.0)], BOARD, 30.0).is_empty());
    }

    // A rating a little too small to be kept clear of was written all the same, and a designation lay over it.
    #[test]
    fn letters_that_are_too_small_are_not_rounded_up_to_what_is_written() {
        assert_eq!(written_at(5.95, 6.0), None);
        assert_eq!(written_at(6.0 / 0.61 * 0.61, 6.0), Some(6.0));
        assert_eq!(written_at(10.4, 6.0), Some(10.5));
    }

    #[test]
    fn a_slanting_line_is_cut_at_both_edges() {
        assert_eq!(within(pos2(-50.0, -25.0), pos2(150.0, 75.0), BOARD), Some((0.25, 0.75)));
        assert_eq!(within(pos2(150.0, 75.0), pos2(-50.0, -25.0), BOARD), Some((0.25, 0.75)));
        assert_eq!(within(pos2(-50.0, 40.0), pos2(40.0, 130.0), BOARD), None);
    }
}
