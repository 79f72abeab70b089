//! What lies over the circuit: jumper leads, fault marks and bands around what is pointed out.
//!
//! A lead is no wire of the truck, so it is a bow and not a right-angled run, with clips at its ends and its fuse
//! drawn in it. Yields shapes and the leads' hit areas.

use crate::circuit::Circuit;
use crate::study::answer::Subject;

use super::labels::caption_rect;
use super::layout::Layout;
use super::path;
use super::picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Target, text_width};
use super::show::{Lead, LeadFuse, LeadPoint, Show};
use super::wiring;

/// Points of a bow.
const BOW: u8 = 24;
/// What a lead keeps from the edge of the page.
const ROOM: f32 = 12.0;

/// Bands behind everything else.
pub(super) fn highlights(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show) {
    for &subject in &show.highlighted {
        let mut band = |form: Form, weight: f32| {
            picture.shapes.push(Shape { form, ink: Ink::Highlight, weight, dash: Dash::Solid, subject: Some(subject) });
        };
        match subject {
            Subject::Part(id) => {
                for placed in layout.placed.iter().filter(|p| p.element.part == id) {
                    let (left, top, _, bottom) = placed.body();
                    let caption = caption_rect(placed, circuit);
                    let (left, right) = (left - 4.0, caption.2 + 4.0);
                    let (top, bottom) = (top.min(caption.1) + 2.0, bottom.max(caption.3) - 2.0);
                    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
                    band(Form::Polygon { points: corners.map(|(x, y)| Point::new(x, y)).to_vec() }, 1.0);
                }
            }
            Subject::Terminal(id) => {
                band(Form::Circle { centre: layout.terminal(id), radius: 13.0, filled: true }, 1.0);
            }
            Subject::Wire(id) => band(Form::Line { points: layout.wire(id).to_vec(), closed: false }, 12.0),
            Subject::WireEnd(end) => {
                let centre = wiring::end_point(layout, circuit, show, end).0;
                band(Form::Circle { centre, radius: 12.0, filled: true }, 1.0);
            }
            Subject::Lead(number) => {
                for lead in show.leads.iter().filter(|lead| lead.number == number) {
                    band(Form::Line { points: bow(layout, circuit, show, lead), closed: false }, 12.0);
                }
            }
        }
    }
}

fn clip_at(layout: &Layout, circuit: &Circuit, show: &Show, point: LeadPoint) -> Point {
    match point {
        LeadPoint::Terminal(id) => layout.terminal(id),
        LeadPoint::LooseEnd(end) => wiring::end_point(layout, circuit, show, end).0,
    }
}

/// How far out a lead across one part's contacts goes to clear the part's caption.
fn past_caption(layout: &Layout, circuit: &Circuit, lead: &Lead) -> Option<f32> {
    let (LeadPoint::Terminal(from), LeadPoint::Terminal(to)) = (lead.from, lead.to) else { return None };
    let (a, b) = (layout.terminal(from), layout.terminal(to));
    let id = circuit.terminal(from).part;
    if circuit.terminal(to).part != id || a.x != b.x {
        return None;
    }
    let placed = layout.placed.iter().find(|p| p.element.part == id)?;
    Some((caption_rect(placed, circuit).2 + 14.0).min(layout.width - ROOM) - a.x)
}

/// The bow of a lead, to the right of the straight line down the page.
fn bow(layout: &Layout, circuit: &Circuit, show: &Show, lead: &Lead) -> Vec<Point> {
    let (a, b) = (clip_at(layout, circuit, show, lead.from), clip_at(layout, circuit, show, lead.to));
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let span = dx.hypot(dy).max(1.0);
    if let Some(clear) = past_caption(layout, circuit, lead) {
        // Flat in the middle, to go round the caption beside the part.
        let out = |t: f32| clear * (1.0 - (2.0 * t - 1.0).powi(4));
        return (0..=BOW)
            .map(|i| f32::from(i) / f32::from(BOW))
            .map(|t| Point::new(a.x + dx * t + out(t), a.y + dy * t))
            .collect();
    }
    let sag = (span * 0.3).clamp(24.0, 90.0) + f32::from(u16::try_from(lead.number % 4).unwrap_or(0)) * 4.0;
    // Up where it goes across, to the right where it goes down, whichever end is written first.
    let side = if dx.abs() > dy.abs() { dx.signum() } else { dy.signum() };
    let (nx, ny) = (dy / span * side, -dx / span * side);
    (0..=BOW)
        .map(|i| {
            let t = f32::from(i) / f32::from(BOW);
            let out = 4.0 * t * (1.0 - t) * sag;
            Point::new(a.x + dx * t + nx * out, (a.y + dy * t + ny * out).max(ROOM))
        })
        .collect()
}

/// Jumper leads in place.
pub(super) fn leads(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show) {
    for lead in &show.leads {
        let points = bow(layout, circuit, show, lead);
        let subject = Some(Subject::Lead(lead.number));
        let mut put = |form: Form, ink: Ink, weight: f32| {
            picture.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject });
        };
        put(Form::Line { points: points.clone(), closed: false }, Ink::Halo, 7.0);
        put(Form::Line { points: points.clone(), closed: false }, Ink::Lead, 3.2);
        for clip in [points[0], points[points.len() - 1]] {
            put(Form::Circle { centre: clip, radius: 7.0, filled: false }, Ink::Lead, 2.4);
        }
        let all = path::length(&points);
        fuse(&mut put, &points, all * 0.3, lead.fuse);
        let (badge, _) = path::walk(&points, all * 0.55);
        put(Form::Circle { centre: badge, radius: 9.0, filled: true }, Ink::Halo, 1.0);
        put(Form::Circle { centre: badge, radius: 9.0, filled: false }, Ink::Lead, 2.0);
        let number = lead.number.to_string();
        put(Form::Text { at: badge, text: number, size: 11.0, anchor: Anchor::Middle }, Ink::LeadText, 1.0);
        if !lead.text.is_empty() {
            let width = text_width(&lead.text, 10.0);
            let fits = badge.x + 13.0 + width < layout.width;
            let at = Point::new(if fits { badge.x + 13.0 } else { badge.x - 13.0 - width }, badge.y);
            let text = lead.text.clone();
            put(backing(at, &text, 10.0), Ink::Halo, 1.0);
            put(Form::Text { at, text, size: 10.0, anchor: Anchor::Start }, Ink::LeadText, 1.0);
        }
        for s in points.chunks(4) {
            let (Some(first), Some(last)) = (s.first(), s.last()) else { continue };
            let (left, top) = (first.x.min(last.x) - 8.0, first.y.min(last.y) - 8.0);
            let (width, height) = ((first.x - last.x).abs() + 16.0, (first.y - last.y).abs() + 16.0);
            // The clips stay free, so that the terminals under them can still be hit.
            let target = Target { subject: Subject::Lead(lead.number), x: left, y: top, width, height };
            if ![points[0], points[points.len() - 1]].iter().any(|clip| target.contains(clip.x, clip.y)) {
                picture.targets.push(target);
            }
        }
    }
}

/// A patch in the page's colour under a text that may lie over lines.
fn backing(at: Point, text: &str, size: f32) -> Form {
    let (left, right) = (at.x - 2.0, at.x + text_width(text, size) + 2.0);
    let (top, bottom) = (at.y - size * 0.65, at.y + size * 0.65);
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    Form::Polygon { points: corners.map(|(x, y)| Point::new(x, y)).to_vec() }
}

/// The in-line fuse of a lead; a gap in it where it has opened.
fn fuse(put: &mut impl FnMut(Form, Ink, f32), points: &[Point], along: f32, fuse: LeadFuse) {
    if fuse == LeadFuse::Unfused {
        return;
    }
    let (at, (ux, uy)) = path::walk(points, along);
    let corner = |ahead: f32, aside: f32| Point::new(at.x + ux * ahead - uy * aside, at.y + uy * ahead + ux * aside);
    let corners = vec![corner(-9.0, -4.5), corner(9.0, -4.5), corner(9.0, 4.5), corner(-9.0, 4.5)];
    put(Form::Polygon { points: corners.clone() }, Ink::Halo, 1.0);
    put(Form::Line { points: corners, closed: true }, Ink::Lead, 1.6);
    match fuse {
        LeadFuse::Unfused => {}
        LeadFuse::Whole => {
            put(Form::Line { points: vec![corner(-9.0, 0.0), corner(9.0, 0.0)], closed: false }, Ink::Lead, 1.6);
        }
        LeadFuse::Open => {
            for side in [-1.0, 1.0] {
                let ragged = vec![corner(9.0 * side, 0.0), corner(5.0 * side, 2.5), corner(3.0 * side, -2.5)];
                put(Form::Line { points: ragged, closed: false }, Ink::Fault, 2.0);
            }
        }
    }
}

/// A flash with a few words beside what is at fault.
pub(super) fn faults(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show) {
    for mark in &show.faults {
        let Some(at) = fault_at(layout, circuit, show, mark.subject) else { continue };
        let mut put = |form: Form, ink: Ink, weight: f32| {
            picture.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject: Some(mark.subject) });
        };
        let flash = [(2.0, -11.0), (-5.0, 1.0), (2.0, 1.0), (-2.0, 11.0)];
        let points: Vec<Point> = flash.iter().map(|(x, y)| Point::new(at.x + x, at.y + y)).collect();
        put(Form::Line { points: points.clone(), closed: false }, Ink::Halo, 6.0);
        put(Form::Line { points, closed: false }, Ink::Fault, 2.4);
        // A wire's number stands on its right where it can, so these words go to the left.
        let on_wire = matches!(mark.subject, Subject::Wire(_) | Subject::WireEnd(_));
        let shift = if on_wire { -9.0 - text_width(&mark.text, 10.0) } else { 9.0 };
        let words = Point::new(at.x + shift, at.y);
        put(backing(words, &mark.text, 10.0), Ink::Halo, 1.0);
        let text = Form::Text { at: words, text: mark.text.clone(), size: 10.0, anchor: Anchor::Start };
        put(text, Ink::FaultText, 1.0);
    }
}

fn fault_at(layout: &Layout, circuit: &Circuit, show: &Show, subject: Subject) -> Option<Point> {
    match subject {
        Subject::Part(id) => {
            let placed = layout.placed.iter().find(|p| p.element.part == id)?;
            let (_, top, right, _) = placed.body();
            Some(Point::new(right + 8.0, top + 2.0))
        }
        Subject::Terminal(id) => Some(layout.terminal(id)).map(|at| Point::new(at.x + 14.0, at.y)),
        Subject::Wire(id) => {
            let points = layout.wires.get(id.index())?;
            let label = layout.labels.get(id.index())?;
            let end = path::length(points) - label.shared_to;
            let own = (label.shared_from + end) / 2.0;
            Some(path::walk(points, own).0)
        }
        Subject::WireEnd(end) => Some(wiring::end_point(layout, circuit, show, end).0),
        Subject::Lead(_) => None,
    }
}
