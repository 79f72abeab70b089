//! A find in the drawing: rings where suspicion lies, and where the leads of the offered test go.
//!
//! The heavier a ring, the more lies there; the share stands beside it in per cent, so that neither hue nor a trained eye
//! is needed. Only the places most suspected are ringed, the drawer has them all. Where a lead goes stands its sign in
//! a frame. What is suspected and offered is the study's.

use egui::{Align2, Painter, Pos2, Rect, Stroke, StrokeKind, vec2};

use crate::bench::{Point, Reading};
use crate::drawing::{Ink, Picture};
use crate::study::answer::Subject;
use crate::study::find::Test;
use crate::study::find::words::percent;

use super::super::seen::{Drawer, Seen};
use super::super::theme;
use super::super::tongue::{t, worded};
use super::paint::beside;
use super::view::View;

/// Most places that are ringed.
const MOST: usize = 10;
/// Smallest share that is ringed.
const LEAST: f64 = 0.005;
/// Weight of the faintest ring, and what a share of one adds to it, in points.
const WEIGHTS: (f32, f32) = (1.6, 8.0);

/// The test that is offered, where the find is out.
pub fn offered<'a>(seen: &Seen<'a>) -> Option<&'a Test> {
    let out = seen.room.drawer == Some(Drawer::Find) && seen.eyes.is_none();
    let finding = &seen.studies.finding;
    finding.next().filter(|_| out && !finding.sights().is_empty())
}

/// The places most suspected with their shares, the most suspected first; none where the find is not out.
pub fn places(seen: &Seen<'_>) -> Vec<(Subject, f64)> {
    let finding = &seen.studies.finding;
    if seen.room.drawer != Some(Drawer::Find) || seen.eyes.is_some() || finding.sights().is_empty() {
        return Vec::new();
    }
    if finding.is_put_right(seen.bench) {
        return Vec::new();
    }
    let shares = finding.suspicion().iter().map(|(place, share)| (*place, *share));
    let mut places: Vec<(Subject, f64)> = shares.filter(|(_, share)| *share >= LEAST).collect();
    places.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    places.truncate(MOST);
    places
}

/// Where the leads of the offered test go, each with its sign.
pub fn leads(seen: &Seen<'_>) -> Vec<(Subject, &'static str)> {
    let Some(test) = offered(seen) else { return Vec::new() };
    let circuit = seen.bench.circuit();
    let at = |point: &Point| match point {
        Point::Terminal(words) => circuit.terminal_named(words).map(Subject::Terminal),
        Point::LooseEnd(end) => seen.bench.wire_end(end).ok().map(Subject::WireEnd),
    };
    let wire = |tag: &str| circuit.wire_named(tag).map(Subject::Wire);
    let marks = match &test.reading {
        Reading::Across { first, second, .. } => vec![(at(first), "+"), (at(second), "\u{2212}")],
        Reading::Amps(tag) | Reading::Clamp(tag) => vec![(wire(tag), "A")],
        Reading::Gauge(_) | Reading::Fan => Vec::new(),
    };
    marks.into_iter().filter_map(|(subject, sign)| Some((subject?, sign))).collect()
}

/// What is to be read out of a place beside its name: its share and the lead that goes there.
pub fn told(places: &[(Subject, f64)], leads: &[(Subject, &'static str)], subject: Subject) -> String {
    let share = places.iter().find(|(place, _)| *place == subject);
    let share = share.map(|(_, share)| t!("suspicion-suspicion", share = percent(*share)));
    let lead = leads.iter().find(|(place, _)| *place == subject).map(|(_, sign)| match *sign {
        "+" => t!("suspicion-the-lead-goes-here"),
        "A" => t!("suspicion-the-clamp-goes-here"),
        _ => t!("suspicion-the-lead-goes-here-2"),
    });
    share.unwrap_or_default() + lead.unwrap_or_default()
}

/// Rings of the weights of their shares, the most suspected first, with the shares beside them where they hide least of
/// the drawing. Each is a middle and a radius in points.
pub fn rings(
    painter: &Painter,
    seen: &Seen<'_>,
    (board, view): (Rect, &View),
    picture: &Picture,
    rings: &[(Pos2, f32, f64)],
) {
    let ink = seen.palette.ink(Ink::Fault);
    for (at, radius, share) in rings.iter().rev() {
        let weight = WEIGHTS.0 + WEIGHTS.1 * *share as f32;
        painter.circle_stroke(*at, radius + weight / 2.0, Stroke::new(weight, ink));
    }
    let (font, ink) = (theme::bold(seen.palette.letters(12.0)), seen.palette.ink(Ink::FaultText));
    let words = |share: &f64| painter.layout_no_wrap(worded(&percent(*share)), font.clone(), ink);
    let words: Vec<_> = rings.iter().map(|(.., share)| words(share)).collect();
    let radius = |radius: &f32, share: &f64| radius + WEIGHTS.0 + WEIGHTS.1 * *share as f32;
    let noted = rings.iter().zip(&words);
    let noted = noted.map(|((at, reach, share), words)| (*at, radius(reach, share), words.size())).collect::<Vec<_>>();
    for (words, place) in words.into_iter().zip(beside(board, view, picture, &noted)) {
        let under = Rect::from_min_size(place, words.size()).expand2(vec2(2.0, 0.0));
        painter.rect_filled(under, 2.0, seen.palette.sheet);
        painter.galley(place, words, seen.palette.text);
    }
}

/// The sign of a lead in a frame, left of where it goes.
pub fn lead(painter: &Painter, seen: &Seen<'_>, at: Pos2, sign: &str) {
    let flag = Rect::from_center_size(at + vec2(-21.0, 12.0), vec2(18.0, 18.0));
    let edge = Stroke::new(2.0, seen.palette.chosen);
    painter.line_segment([at, flag.right_top()], edge);
    painter.rect_filled(flag, 3.0, seen.palette.chosen);
    painter.rect_stroke(flag, 3.0, Stroke::new(1.0, seen.palette.sheet), StrokeKind::Outside);
    painter.text(flag.center(), Align2::CENTER_CENTER, sign, theme::bold(14.0), seen.palette.on_chosen);
}
