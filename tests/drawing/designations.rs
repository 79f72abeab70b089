//! Claims about where designations stand, as drawn and enlarged for a class: by their own part, off wires, whole.
//!
//! Checked on every shipped circuit in both sets of symbols; what else a drawing keeps clear of is claimed in `drawing.rs`.

use std::collections::BTreeMap;

use fanloom::circuit::Circuit;
use fanloom::drawing::{Form, Ink, Layout, Picture, Point, Show, Symbols, draw, enlarged, text_width};
use fanloom::study::answer::Subject;

use super::shipped::shipped;
use super::{Rect, strokes, touches};

/// Share of the letters' size by which the page that is seen reaches over what is drawn.
const ABOUT: f32 = 1.2;

/// Distance between two rectangles.
fn apart(a: Rect, b: Rect) -> f32 {
    let gap = |low: f32, high: f32| low.max(high).max(0.0);
    gap(a.0 - b.2, b.0 - a.2).hypot(gap(a.1 - b.3, b.1 - a.3))
}

/// Designations with the middle of each, the size of their letters, and whose they are.
fn designations(picture: &Picture, (size, least): (f32, f32), seen: Rect) -> Vec<(&str, Subject, Rect)> {
    let places: BTreeMap<usize, Point> = enlarged(picture, size, least, [seen.0, seen.1, seen.2, seen.3]);
    let texts = picture.shapes.iter().enumerate().filter_map(|(number, shape)| {
        let (Form::Text { at, text, size: drawn, anchor }, Ink::TagText) = (&shape.form, shape.ink) else {
            return None;
        };
        // Letters are somewhat narrower than the estimate.
        let wide = |size: f32| text_width(text, size) * 0.95;
        let (middle, size) = match places.get(&number) {
            Some(place) => (*place, size),
            None if *anchor == fanloom::drawing::Anchor::Start => (Point::new(at.x + wide(*drawn) / 2.0, at.y), *drawn),
            None => (*at, *drawn),
        };
        let (half, high) = (wide(size) / 2.0, size * 0.37);
        Some((text.as_str(), shape.subject?, (middle.x - half, middle.y - high, middle.x + half, middle.y + high)))
    });
    texts.collect()
}

/// What is wrong with designations in letters of so many units, beside other words from so many units.
fn wrong(circuit: &Circuit, symbols: Symbols, (size, least): (f32, f32)) -> Vec<String> {
    let layout = Layout::of(circuit);
    let picture = draw(&layout, circuit, &Show { symbols, ..Show::as_built(circuit) });
    let seen = (-size * ABOUT, -size * ABOUT, picture.width + size * ABOUT, picture.height + size * ABOUT);
    let strokes = strokes(&picture);
    let mut wrong = Vec::new();
    for (text, subject, rect) in designations(&picture, (size, least), seen) {
        let Subject::Part(own) = subject else { continue };
        if rect.0 < seen.0 || rect.1 < seen.1 || rect.2 > seen.2 || rect.3 > seen.3 {
            wrong.push(format!("{text} is cut at the edge"));
        }
        let on_wire = |(ink, subject, a, b): &(Ink, Option<Subject>, Point, Point)| {
            matches!(subject, Some(Subject::Wire(_))) && *ink != Ink::Halo && touches(*a, *b, rect)
        };
        if strokes.iter().any(on_wire) {
            wrong.push(format!("{text} lies on a wire"));
        }
        let near = |id| layout.bodies(id).map(|body| apart(body, rect)).fold(f32::INFINITY, f32::min);
        let to_own = near(own);
        for (id, part) in circuit.parts_with_ids().filter(|(id, _)| *id != own) {
            if near(id) < to_own {
                wrong.push(format!("{text} stands nearer to {}", part.tag));
            }
        }
    }
    wrong
}

/// Nothing of what is asked about is wrong with any designation of any shipped circuit, whichever the symbols.
#[track_caller]
fn nothing_is_wrong(size: f32, is_asked: impl Fn(&str) -> bool) {
    nothing_is_wrong_among((size, f32::INFINITY), is_asked);
}

/// The same where other words are written as well.
#[track_caller]
fn nothing_is_wrong_among((size, least): (f32, f32), is_asked: impl Fn(&str) -> bool) {
    let mut all = Vec::new();
    for (name, circuit) in shipped() {
        for symbols in [Symbols::Iec60617, Symbols::Ieee315] {
            let wrong = wrong(&circuit, symbols, (size, least)).into_iter().filter(|wrong| is_asked(wrong));
            all.extend(wrong.map(|wrong| format!("{name}, {symbols:?}: {wrong}")));
        }
    }
    assert!(all.is_empty(), "in letters of {size} units:\n{}", all.join("\n"));
}

#[test]
fn designations_as_drawn_stand_by_their_own_part_and_on_no_wire() {
    nothing_is_wrong(1.0, |_| true);
}

#[test]
fn designations_of_twice_their_size_stand_by_their_own_part_and_on_no_wire() {
    nothing_is_wrong(26.0, |_| true);
}

/// On a sheet as large as a wall designations of splices lay on their wires: their sides were not tried far enough.
#[test]
fn designations_that_are_somewhat_enlarged_stand_by_their_own_part_and_on_no_wire() {
    for size in [15.0, 17.0, 23.0] {
        nothing_is_wrong(size, |_| true);
    }
    // One splice between two contacts finds no better place.
    nothing_is_wrong(20.0, |wrong| !wrong.contains("X3 stands nearer to K1"));
}

#[test]
fn designations_of_three_times_their_size_are_whole_and_on_no_wire() {
    // Not every one finds room beside its own part in letters almost as high as a symbol.
    nothing_is_wrong(39.0, |wrong| !wrong.contains("nearer"));
}

// Beside the numbers of its wires a splice's designation had no place but on one of them: no place was tried aslant of it.
#[test]
fn designations_among_numbers_of_wires_lie_on_no_wire_either() {
    for size in [14.0, 15.0, 16.0, 17.0, 18.0] {
        nothing_is_wrong_among((size, 0.0), |wrong| wrong.contains("wire"));
    }
}
