//! Bands behind what is pointed out.
//!
//! Yields shapes for everything highlighted but leads, whose bands follow the ways they find later.

use crate::circuit::Circuit;
use crate::study::answer::Subject;

use super::labels::caption_rect;
use super::layout::Layout;
use super::picture::{Dash, Form, Ink, Picture, Point, Shape};
use super::show::Show;
use super::wiring;

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
            Subject::Lead(_) => {}
        }
    }
}
