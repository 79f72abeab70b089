//! How large words of a drawing are written that is seen smaller than it is read easily.
//!
//! Yields [`lettering`]: names of wires, ratings, terminals' names and readings grow where they stand, as far as they lie
//! over nothing that they do not lie over as drawn. Designations have places of their own ([`enlarged`](super::enlarged)).
//! How large they should be is left to the painter.

use std::collections::BTreeMap;

use super::picture::{Form, Ink, Picture, Point, bold_width};
use super::room::{Index, Rect, text_rect};

/// Shares of the growth that is wanted, the most first.
const SHARES: [f32; 4] = [1.0, 0.75, 0.5, 0.25];
/// By which part of what it grows in height a word is shifted up or down, where it cannot grow both ways.
const SHIFTS: [f32; 3] = [0.0, -0.5, 0.5];
/// Height of letters against their size, with what is below the line.
const HIGH: f32 = 0.84;
/// Overlap in square units that is none.
const SLACK: f32 = 0.05;

/// A word that is larger than drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettered {
    /// Its anchor.
    pub at: Point,
    /// The size of its letters in units.
    pub size: f32,
}

/// Words that are written in letters of up to `size` units, where they are drawn smaller, by the number of their shape.
/// `tags` are the middles of designations that are written in letters of `tag_size` units elsewhere than drawn. Words
/// smaller than `least` units are not written unless there is room for them to be as large; smaller ones than `drawn_from`
/// are not meant to be. None grows beyond `sheet`, left, top, right and bottom.
pub fn lettering(
    (picture, sheet): (&Picture, Rect),
    size: f32,
    (least, drawn_from): (f32, f32),
    (tags, tag_size): (&BTreeMap<usize, Point>, f32),
) -> BTreeMap<usize, Lettered> {
    let mut taken = Index::default();
    let mut waiting = Vec::new();
    for (number, shape) in picture.shapes.iter().enumerate() {
        if matches!(shape.ink, Ink::Halo | Ink::Highlight | Ink::WireCasing) {
            continue;
        }
        match (&shape.form, tags.get(&number)) {
            (Form::Text { text, .. }, Some(middle)) => {
                let (half, high) = (bold_width(text, tag_size) / 2.0, tag_size * HIGH / 2.0);
                taken.add((middle.x - half, middle.y - high, middle.x + half, middle.y + high));
            }
            (Form::Text { at, text, size: drawn, anchor }, None) if shape.ink != Ink::TagText => {
                if *drawn >= least {
                    taken.add(low(text_rect(*at, text, *drawn, *anchor), *drawn));
                }
                if *drawn < size && *drawn >= drawn_from {
                    waiting.push((order(shape.ink), number));
                }
            }
            _ => taken.add_shape(shape),
        }
    }
    waiting.sort_unstable();
    let mut found = BTreeMap::new();
    for (_, number) in waiting {
        let Form::Text { at, text, size: drawn, anchor } = &picture.shapes[number].form else { continue };
        // What it lies over as drawn, itself among it; where it is too small to be written it has to be off everything.
        let own = low(text_rect(*at, text, *drawn, *anchor), *drawn);
        let before = if *drawn >= least { taken.overlap(own) } else { 0.0 };
        let grown = SHARES.iter().flat_map(|share| {
            let size = (drawn + (size - drawn) * share).max(least);
            SHIFTS.map(|shift| Lettered { at: Point::new(at.x, at.y + (size - drawn) * HIGH * shift), size })
        });
        let mut placed = grown.map(|word| (word, low(text_rect(word.at, text, word.size, *anchor), word.size)));
        let is_off_the_sheet = !is_within(own, sheet);
        let is_free = |rect: Rect| taken.overlap(rect) <= before + SLACK;
        if let Some((word, rect)) =
            placed.find(|(_, rect)| is_free(*rect) && (is_off_the_sheet || is_within(*rect, sheet)))
        {
            taken.add(rect);
            found.insert(number, word);
        }
    }
    found
}

fn is_within(rect: Rect, sheet: Rect) -> bool {
    rect.0 >= sheet.0 && rect.1 >= sheet.1 && rect.2 <= sheet.2 && rect.3 <= sheet.3
}

/// A line of text no higher than its letters are.
fn low(rect: Rect, size: f32) -> Rect {
    let off = size * (1.0 - HIGH) / 2.0;
    (rect.0, rect.1 + off, rect.2, rect.3 - off)
}

/// Which words grow first: what people talk about and read off before what is only looked up.
fn order(ink: Ink) -> u8 {
    match ink {
        Ink::ReadingText | Ink::FaultText | Ink::LeadText => 0,
        Ink::WireText => 1,
        Ink::TerminalText => 2,
        _ => 3,
    }
}
