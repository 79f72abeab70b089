//! Where a note stands that is put beside a thing of a drawing for a while.
//!
//! Yields [`beside`]: the place around it where the note lies over least of what is drawn and of the notes before it. What
//! is noted, and how it looks, is left to the painter.

use super::picture::{Form, Ink, Picture, Point};
use super::room::{Index, Rect, common, text_rect};

/// Room between a thing and its note, against the note's height: first choice, and where that is taken.
const GAPS: [f32; 3] = [0.15, 0.7, 1.4];

/// A thing that something is noted beside: its middle, how far it reaches, and the note's width and height, in units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noted {
    /// Its middle.
    pub middle: Point,
    /// How far it reaches.
    pub radius: f32,
    /// The note's width and height.
    pub note: (f32, f32),
}

/// The upper left corners of notes, each placed after those before it, and within `seen`, left, top, right and bottom of
/// what of the page is seen, where that can be. Words count as large as `letters` units where they are drawn smaller, for
/// they may be written larger.
pub fn beside(picture: &Picture, letters: f32, seen: [f32; 4], noted: &[Noted]) -> Vec<Point> {
    let seen: Rect = (seen[0], seen[1], seen[2], seen[3]);
    let mut drawn = Index::default();
    let is_seen = |ink: Ink| !matches!(ink, Ink::Halo | Ink::Highlight | Ink::WireCasing);
    for shape in picture.shapes.iter().filter(|shape| is_seen(shape.ink)) {
        match &shape.form {
            Form::Text { at, text, size, anchor } => drawn.add(text_rect(*at, text, size.max(letters), *anchor)),
            _ => drawn.add_shape(shape),
        }
    }
    let mut taken: Vec<Rect> = Vec::new();
    let place = |one: &Noted| {
        let over = |rect: &Rect| {
            // A thing that is noted too is framed, and its frame is no place for a note.
            let rings = noted.iter().map(|other| common(*rect, around(other))).sum::<f32>();
            let cut = (rect.2 - rect.0) * (rect.3 - rect.1) - common(*rect, seen);
            drawn.overlap(*rect)
                + 8.0 * cut
                + 3.0 * rings
                + 5.0 * taken.iter().map(|other| common(*rect, *other)).sum::<f32>()
        };
        let places = places(one);
        let best = places.iter().min_by(|a, b| over(a).total_cmp(&over(b))).copied().unwrap_or_default();
        taken.push(best);
        Point::new(best.0, best.1)
    };
    noted.iter().map(place).collect()
}

fn around(one: &Noted) -> Rect {
    let Noted { middle, radius, .. } = one;
    (middle.x - radius, middle.y - radius, middle.x + radius, middle.y + radius)
}

/// Places around a thing, the best first: of those that are as free the first is taken.
fn places(one: &Noted) -> Vec<Rect> {
    let Noted { middle, radius, note: (wide, high) } = *one;
    let mut places = Vec::new();
    for gap in GAPS.map(|gap| gap * high) {
        let out = radius + gap;
        let (right, left) = (middle.x + out, middle.x - out - wide);
        let (above, below) = (middle.y - out - high, middle.y + out);
        // Above and below a round thing its corners are free.
        let (high_up, low_down) = (middle.y - radius - high * 0.2, middle.y + radius - high * 0.8);
        let middle_x = middle.x - wide / 2.0;
        let corners = [
            (right, high_up),
            (right, low_down),
            (right, middle.y - high / 2.0),
            (left, high_up),
            (left, low_down),
            (left, middle.y - high / 2.0),
            (middle_x, above),
            (middle_x, below),
        ];
        places.extend(corners.map(|(x, y)| (x, y, x + wide, y + high)));
    }
    places
}
