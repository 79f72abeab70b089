//! Claims about words that are written larger than drawn: most of them are, and none lies on more than it did.
//!
//! Checked on every shipped circuit in both sets of symbols; where designations stand is claimed in `designations.rs`.

use std::collections::BTreeMap;
use std::sync::Arc;

use fanloom::circuit::Circuit;
use fanloom::drawing::{
    Anchor, Form, Ink, Layout, Picture, Point, Show, Symbols, draw, enlarged, lettering, text_rect,
};
use fanloom::study::answer::Subject;

use super::shipped::shipped;
use super::{Rect, strokes, touches};

/// How large words are where a sheet is seen at three quarters of its size, in units.
const EASY: f32 = 13.5;

/// A sheet without edges.
const ENDLESS: Rect = (f32::NEG_INFINITY, f32::NEG_INFINITY, f32::INFINITY, f32::INFINITY);

fn all() -> Vec<(String, Picture)> {
    let drawn = |(name, circuit): (&str, Arc<Circuit>)| {
        [Symbols::Iec60617, Symbols::Ieee315].map(|symbols| {
            let layout = Layout::of(&circuit);
            let show = Show { symbols, ..Show::as_built(&circuit) };
            (format!("{name}, {symbols:?}"), draw(&layout, &circuit, &show))
        })
    };
    shipped().into_iter().flat_map(drawn).collect()
}

/// What a word covers: so much of its estimated width, and so many times its size above and below its middle.
fn covers(at: Point, text: &str, size: f32, (anchor, wide, high): (Anchor, f32, f32)) -> Rect {
    let (left, _, right, _) = text_rect(at, text, size * wide, anchor);
    (left, at.y - size * high, right, at.y + size * high)
}

/// All that is written of a kind, with its letters' size and what it covers.
fn written(picture: &Picture, wanted: impl Fn(Ink) -> bool) -> Vec<(&str, f32, Rect)> {
    let tags = enlarged(picture, EASY, 0.0, [-20.0, -20.0, picture.width + 20.0, picture.height + 20.0]);
    let words = lettering((picture, ENDLESS), EASY, (0.0, 0.0), (&tags, EASY));
    let written = picture.shapes.iter().enumerate().filter(|(_, shape)| wanted(shape.ink));
    let one = written.filter_map(|(number, shape)| {
        let Form::Text { at, text, size, anchor } = &shape.form else { return None };
        let (mut at, mut size, mut anchor) = (*at, *size, *anchor);
        if let Some(word) = words.get(&number) {
            (at, size) = (word.at, word.size);
        }
        if let Some(middle) = tags.get(&number) {
            (at, size, anchor) = (*middle, EASY, Anchor::Middle);
        }
        // Letters are somewhat narrower than the estimate.
        Some((text.as_str(), size, covers(at, text, size, (anchor, 0.95, 0.37))))
    });
    one.collect()
}

#[test]
fn names_of_wires_on_shipped_circuits_are_nearly_all_easy_to_read() {
    let (mut large, mut all_of_them) = (0, 0);
    for (_, picture) in all() {
        let names = written(&picture, |ink| ink == Ink::WireText);
        large += names.iter().filter(|(_, size, _)| *size > 0.85 * EASY).count();
        all_of_them += names.len();
    }
    assert!(all_of_them > 200 && large * 10 >= all_of_them * 9, "{large} of {all_of_them}");
}

#[test]
fn words_that_are_written_larger_lie_on_no_wire_and_on_no_other_word() {
    for (name, picture) in all() {
        // Designations first, for their places are chosen first.
        let mut words = written(&picture, |ink| ink == Ink::TagText);
        let designations = words.len();
        words.extend(written(&picture, |ink| ink != Ink::TagText));
        let strokes: Vec<(Ink, Option<Subject>, Point, Point)> = strokes(&picture);
        for (place, (text, size, rect)) in words.iter().enumerate() {
            let on_wire = |(ink, subject, a, b): &(Ink, Option<Subject>, Point, Point)| {
                matches!(subject, Some(Subject::Wire(_))) && *ink != Ink::Halo && touches(*a, *b, *rect)
            };
            assert!(place < designations || !strokes.iter().any(on_wire), "{name}: {text} in {size} lies on a wire");
            for (other, _, over) in &words[..place] {
                let common = (rect.2.min(over.2) - rect.0.max(over.0)).min(rect.3.min(over.3) - rect.1.max(over.1));
                assert!(common <= 0.5, "{name}: {text} lies on {other} by {common}");
            }
        }
    }
}

// The rating of a switch at the right edge of a small sheet was written across its frame.
#[test]
fn no_word_grows_beyond_the_sheet() {
    let mut would_leave = 0;
    for (name, picture) in all() {
        let texts = picture.shapes.iter().filter_map(|shape| match &shape.form {
            Form::Text { at, text, size, anchor } => Some(covers(*at, text, *size, (*anchor, 1.0, 0.42))),
            _ => None,
        });
        let sheet = texts.fold((f32::MAX, f32::MAX, f32::MIN, f32::MIN), |all: Rect, one| {
            (all.0.min(one.0), all.1.min(one.1), all.2.max(one.2), all.3.max(one.3))
        });
        let leaves = |sheet_of: Rect| {
            let words = lettering((&picture, sheet_of), EASY, (0.0, 0.0), (&BTreeMap::new(), EASY));
            let rects = words.into_iter().filter_map(|(number, word)| match &picture.shapes[number].form {
                Form::Text { text, anchor, .. } => {
                    Some((text.clone(), covers(word.at, text, word.size, (*anchor, 1.0, 0.42))))
                }
                _ => None,
            });
            let out = |rect: &Rect| {
                rect.0 < sheet.0 - 0.1 || rect.1 < sheet.1 - 0.1 || rect.2 > sheet.2 + 0.1 || rect.3 > sheet.3 + 0.1
            };
            rects.filter(|(_, rect)| out(rect)).map(|(text, _)| text).collect::<Vec<_>>()
        };
        would_leave += leaves(ENDLESS).len();
        assert_eq!(leaves(sheet), Vec::<String>::new(), "{name}");
    }
    assert!(would_leave > 10, "nothing is shown by this where no word is at an edge: {would_leave}");
}
