//! Jumper leads: a double line with a clip at each end, its fuse in it and its number beside it.
//!
//! A lead is no wire of the truck and must not look like one, whatever the colours. It goes around symbols and words
//! by [`Grid`]. Yields shapes and hit areas; a lead is clipped to a terminal, to the bare end of a wire, or, where a
//! plug is off, to the wire in the plug.

use crate::circuit::Circuit;
use crate::study::answer::Subject;

use super::detour::Grid;
use super::layout::{Layout, Placed};
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Target};
use super::room::{Index, Rect, common, text_rect};
use super::show::{Lead, LeadFuse, LeadPoint, Show};
use super::wiring;

/// Width of the whole lead.
const WIDE: f32 = 6.4;
/// Width of the gap between its two lines.
const GAP: f32 = 3.2;
/// Radius of its bends.
const BEND: f32 = 9.0;
/// Length of a clip from the middle of what it grips.
const CLIP: f32 = 23.0;
/// Size of its words.
const SIZE: f32 = 10.0;
/// Radius of the disc with its number.
const BADGE: f32 = 8.0;

/// Puts the leads on the picture, around what is there already, and bands under those pointed out.
pub(super) fn draw(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, index: &mut Index) {
    let mut ways: Vec<Vec<Point>> = Vec::new();
    for lead in &show.leads {
        let ends = [lead.from, lead.to].map(|point| clip_at(layout, circuit, show, point));
        let way = route(picture, layout, ends, &ways);
        ways.push(way);
    }
    for way in &ways {
        for s in way.windows(2) {
            let (a, b) = (s[0], s[1]);
            index.add((a.x.min(b.x) - 5.0, a.y.min(b.y) - 5.0, a.x.max(b.x) + 5.0, a.y.max(b.y) + 5.0));
        }
        for clip in [way[0], way[way.len() - 1]] {
            index.add((clip.x - 8.0, clip.y - 8.0, clip.x + 8.0, clip.y + 8.0));
        }
    }
    let bodies: Vec<Rect> = layout.placed.iter().map(Placed::body).collect();
    let mut bands = Vec::new();
    for (lead, way) in show.leads.iter().zip(&ways) {
        let subject = Subject::Lead(lead.number);
        if show.highlighted.contains(&subject) {
            let form = Form::Line { points: way.clone(), closed: false };
            bands.push(Shape { form, ink: Ink::Highlight, weight: 18.0, dash: Dash::Solid, subject: Some(subject) });
        }
        one(picture, lead, way, (&bodies, index));
        targets(picture, lead.number, way);
    }
    // Behind all else, like every other band.
    picture.shapes.splice(0..0, bands);
}

pub(super) fn clip_at(layout: &Layout, circuit: &Circuit, show: &Show, point: LeadPoint) -> Point {
    match point {
        LeadPoint::LooseEnd(end) => wiring::end_point(layout, circuit, show, end).0,
        LeadPoint::Terminal(id) => {
            let wired = circuit.ends_at(id).iter().find(|end| !show.lifted.contains(end));
            match wired {
                Some(end) if show.unplugged.contains(&circuit.terminal(id).part) => {
                    wiring::end_point(layout, circuit, show, *end).0
                }
                _ => layout.terminal(id),
            }
        }
    }
}

/// A way between two places around all that is drawn, and beside the leads before it.
pub(super) fn route(picture: &Picture, layout: &Layout, [a, b]: [Point; 2], before: &[Vec<Point>]) -> Vec<Point> {
    let mut grid = Grid::new(a, b, layout.size());
    layout.placed.iter().filter(|placed| !placed.element.is_dot()).for_each(|placed| grid.symbol(placed.body()));
    layout.terminals.iter().for_each(|at| grid.terminal(*at));
    layout.wires.iter().for_each(|wire| grid.wire(wire));
    before.iter().for_each(|way| grid.lead(way));
    for shape in &picture.shapes {
        if let Form::Text { at, text, size, anchor } = &shape.form {
            let rect = text_rect(*at, text, *size, *anchor);
            if shape.ink == Ink::TerminalText { grid.name(rect) } else { grid.words(rect) }
        }
    }
    grid.way()
}

/// The corners with each bend as a few short strokes.
pub(super) fn rounded(way: &[Point]) -> Vec<Point> {
    let mut out = Vec::with_capacity(way.len() * 6);
    for (i, &p) in way.iter().enumerate() {
        let (Some(before), Some(after)) = (i.checked_sub(1).and_then(|b| way.get(b)), way.get(i + 1)) else {
            out.push(p);
            continue;
        };
        let (near, far) = (p.distance(*before), p.distance(*after));
        let radius = BEND.min(near / 2.0).min(far / 2.0);
        if radius < 0.5 {
            out.push(p);
            continue;
        }
        let towards =
            |q: &Point, run: f32| Point::new(p.x + (q.x - p.x) * radius / run, p.y + (q.y - p.y) * radius / run);
        let (from, to) = (towards(before, near), towards(after, far));
        // A quadratic curve through the corner's two arms.
        out.extend((0..=4u8).map(|i| {
            let t = f32::from(i) / 4.0;
            let mix = |a: f32, b: f32, c: f32| (1.0 - t) * (1.0 - t) * a + 2.0 * t * (1.0 - t) * b + t * t * c;
            Point::new(mix(from.x, p.x, to.x), mix(from.y, p.y, to.y))
        }));
    }
    out
}

/// Where along a lead its fuse and its number go: nearest the middle of straight runs free of all else.
fn stations(way: &[Point], fuse: LeadFuse, crowd: &dyn Fn(Rect) -> f32) -> (f32, f32) {
    /// What both keep from bends and clips.
    const OFF: f32 = 14.0;
    /// What they keep from each other.
    const APART: f32 = 22.0;
    /// How many places are weighed against each other.
    const CHOICES: usize = 60;
    let middle = path::length(way) / 2.0;
    let mut places = Vec::new();
    let mut start = 0.0;
    for s in way.windows(2) {
        let run = s[0].distance(s[1]);
        let (first, last) =
            (if start == 0.0 { CLIP } else { 0.0 }, if s[1] == way[way.len() - 1] { CLIP } else { 0.0 });
        let (low, high) = (start + first + OFF, start + run - last - OFF);
        let mut along = low;
        while along <= high {
            places.push(along);
            along += 4.0;
        }
        start += run;
    }
    let cost = |along: f32| {
        let at = path::walk(way, along).0;
        crowd((at.x - 11.0, at.y - 11.0, at.x + 11.0, at.y + 11.0)) + (along - middle).abs() * 0.3
    };
    let mut places: Vec<(f32, f32)> = places.into_iter().map(|along| (cost(along), along)).collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    places.truncate(CHOICES);
    if fuse == LeadFuse::Unfused {
        let at = places.first().map_or(middle, |place| place.1);
        return (at, at);
    }
    let pairs = places.iter().flat_map(|a| places.iter().map(move |b| (a, b)));
    let apart = pairs.filter(|(a, b)| (a.1 - b.1).abs() >= APART);
    let best = apart.min_by(|(a, b), (c, d)| (a.0 + b.0).total_cmp(&(c.0 + d.0)));
    best.map_or((middle - APART / 2.0, middle + APART / 2.0), |(a, b)| (a.1, b.1))
}

fn one(picture: &mut Picture, lead: &Lead, way: &[Point], (bodies, index): (&[Rect], &mut Index)) {
    let crowd = |rect: Rect, index: &Index| {
        let on_bodies: f32 = bodies.iter().map(|body| common(*body, rect)).sum();
        index.overlap(rect) + on_bodies * 4.0
    };
    let subject = Some(Subject::Lead(lead.number));
    let mut put = |form: Form, ink: Ink, weight: f32| {
        picture.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject });
    };
    let points = rounded(way);
    let line = |points: &[Point]| Form::Line { points: points.to_vec(), closed: false };
    put(line(&points), Ink::Halo, WIDE + 2.4);
    put(line(&points), Ink::Lead, WIDE);
    put(line(&points), Ink::Halo, GAP);
    let length = path::length(&points);
    for from_start in [true, false] {
        let mut own = points.clone();
        if !from_start {
            own.reverse();
        }
        clip(&mut put, &own, CLIP.min(length * 0.4));
    }
    let (fuse_at, badge_at) = stations(way, lead.fuse, &|rect| crowd(rect, index));
    fuse(&mut put, way, fuse_at, lead.fuse);
    let (badge, _) = path::walk(way, badge_at);
    let middle = path::length(way) / 2.0;
    index.add((badge.x - BADGE - 1.0, badge.y - BADGE - 1.0, badge.x + BADGE + 1.0, badge.y + BADGE + 1.0));
    put(Form::Circle { centre: badge, radius: BADGE, filled: true }, Ink::Halo, 1.0);
    put(Form::Circle { centre: badge, radius: BADGE, filled: false }, Ink::Lead, 2.0);
    let number = lead.number.to_string();
    let size = if number.len() > 2 { 7.0 } else { SIZE };
    put(Form::Text { at: badge, text: number, size, anchor: Anchor::Middle }, Ink::LeadText, 1.0);
    if lead.text.is_empty() {
        return;
    }
    // Beside the number or the fuse, wherever nothing is under the words.
    let mut best: Option<(f32, Point, Anchor)> = None;
    let elsewhere = (2..40u8).map(|i| middle * f32::from(i) / 20.0);
    for along in [badge_at, fuse_at, middle].into_iter().chain(elsewhere) {
        let at = path::walk(way, along).0;
        for (dx, dy, anchor) in [
            (13.0, 0.0, Anchor::Start),
            (-13.0, 0.0, Anchor::End),
            (0.0, -16.0, Anchor::Middle),
            (0.0, 16.0, Anchor::Middle),
        ] {
            let words = Point::new(at.x + dx, at.y + dy);
            let rect = text_rect(words, &lead.text, SIZE, anchor);
            let off_page = rect.0 < 2.0 || rect.2 > picture.width - 2.0;
            let far = (along - badge_at).abs() * 0.01;
            let cost = crowd(rect, index) + if off_page { 10_000.0 } else { far };
            if best.is_none_or(|(least, _, _)| cost < least) {
                best = Some((cost, words, anchor));
            }
        }
    }
    if let Some((_, at, anchor)) = best {
        index.add(text_rect(at, &lead.text, SIZE, anchor));
        let form = Form::Text { at, text: lead.text.to_string(), size: SIZE, anchor };
        picture.shapes.push(Shape { form, ink: Ink::LeadText, weight: 1.0, dash: Dash::Solid, subject });
    }
}

/// Two jaws about what they grip, and the shell over the lead's end.
fn clip(put: &mut impl FnMut(Form, Ink, f32), points: &[Point], length: f32) {
    let (at, (ux, uy)) = path::walk(points, 0.0);
    let corner = |ahead: f32, aside: f32| {
        Point::new(at.x + ux * ahead * length - uy * aside, at.y + uy * ahead * length + ux * aside)
    };
    let shell = vec![
        corner(0.42, -3.2),
        corner(0.7, -5.6),
        corner(1.0, -4.2),
        corner(1.0, 4.2),
        corner(0.7, 5.6),
        corner(0.42, 3.2),
    ];
    put(Form::Polygon { points: shell }, Ink::Lead, 1.0);
    for side in [-1.0, 1.0] {
        let jaw = vec![
            corner(0.55, 4.0 * side),
            corner(0.28, 5.0 * side),
            corner(-0.05, 5.0 * side),
            corner(-0.25, 3.0 * side),
        ];
        put(Form::Line { points: jaw.clone(), closed: false }, Ink::Halo, 3.6);
        put(Form::Line { points: jaw, closed: false }, Ink::Lead, 2.2);
    }
}

/// The in-line fuse of a lead; a gap in it where it has opened.
fn fuse(put: &mut impl FnMut(Form, Ink, f32), points: &[Point], along: f32, fuse: LeadFuse) {
    if fuse == LeadFuse::Unfused {
        return;
    }
    let (at, (ux, uy)) = path::walk(points, along);
    let corner = |ahead: f32, aside: f32| Point::new(at.x + ux * ahead - uy * aside, at.y + uy * ahead + ux * aside);
    let corners = vec![corner(-10.0, -5.0), corner(10.0, -5.0), corner(10.0, 5.0), corner(-10.0, 5.0)];
    put(Form::Polygon { points: corners.clone() }, Ink::Halo, 1.0);
    put(Form::Line { points: corners, closed: true }, Ink::Lead, 1.8);
    match fuse {
        LeadFuse::Unfused => {}
        LeadFuse::Whole => {
            put(Form::Line { points: vec![corner(-10.0, 0.0), corner(10.0, 0.0)], closed: false }, Ink::Lead, 1.8);
        }
        LeadFuse::Open => {
            for side in [-1.0, 1.0] {
                let ragged = vec![corner(10.0 * side, 0.0), corner(6.0 * side, 3.0), corner(3.0 * side, -3.0)];
                put(Form::Line { points: ragged, closed: false }, Ink::Fault, 2.2);
            }
        }
    }
}

/// A lead's hit areas; its clips stay free, so that what is under them can still be hit.
fn targets(picture: &mut Picture, number: u32, way: &[Point]) {
    let length = path::length(way);
    let end = CLIP.min(length * 0.3);
    let middle = path::cut(way, end, length - end);
    let mut runs: Vec<(Point, Point)> = middle.windows(2).map(|s| (s[0], s[1])).filter(|(a, b)| a != b).collect();
    // The first one counts as where the lead is.
    runs.sort_by(|a, b| b.0.distance(b.1).total_cmp(&a.0.distance(a.1)));
    for (a, b) in runs {
        let (x, y) = (a.x.min(b.x) - 8.0, a.y.min(b.y) - 8.0);
        let (width, height) = ((a.x - b.x).abs() + 16.0, (a.y - b.y).abs() + 16.0);
        let target = Target { subject: Subject::Lead(number), x, y, width, height };
        if ![way[0], way[way.len() - 1]].iter().any(|clip| target.contains(clip.x, clip.y)) {
            picture.targets.push(target);
        }
    }
}
