//! The picture of a circuit as plain shapes: symbols, automatic layout, wire routing and hit areas.
//!
//! [`Layout::of`] places a circuit, [`draw`] turns it and a [`Show`] into a [`Picture`], [`svg`] writes that down.
//! No window, no files, no physics: what flows and which contact is closed comes in as plain data, so the window and
//! paper show the same picture. Supply is at the top, ground at the bottom, and current falls down the page.

pub mod layout;
pub mod picture;
pub mod show;
pub mod svg;

pub use layout::Layout;
pub use picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Subject, Target};
pub use show::{FaultMark, Flow, Lead, LeadFuse, LeadPoint, PartState, Show, Symbols, TerminalState, WireState};
pub use svg::{Theme, svg};

use crate::circuit::Circuit;

/// Draws a placed circuit in the state `show` tells.
pub fn draw(layout: &Layout, circuit: &Circuit, show: &Show) -> Picture {
    let mut picture = Picture { width: layout.width, height: layout.height, ..Picture::default() };
    for (id, _) in circuit.wires_with_ids() {
        let ink = match show.wire(id).flow {
            Flow::Floating => Ink::WireFloating,
            Flow::Fed => Ink::WireFed,
            Flow::Grounded => Ink::WireGrounded,
            Flow::Carrying => Ink::WireCarrying,
        };
        picture.shapes.push(Shape {
            form: Form::Line { points: layout.wires[id.index()].clone(), closed: false },
            ink,
            weight: 1.5,
            dash: Dash::Solid,
            subject: Some(Subject::Wire(id)),
        });
    }
    for (id, part) in circuit.parts_with_ids() {
        for t in circuit.terminals_of(id) {
            let centre = layout.terminal(t);
            picture.shapes.push(Shape {
                form: Form::Circle { centre, radius: 3.0, filled: true },
                ink: Ink::TerminalFloating,
                weight: 1.0,
                dash: Dash::Solid,
                subject: Some(Subject::Terminal(t)),
            });
            picture.targets.push(Target {
                subject: Subject::Terminal(t),
                x: centre.x - 22.0,
                y: centre.y - 22.0,
                width: 44.0,
                height: 44.0,
            });
        }
        if let Some(t) = circuit.terminals_of(id).next() {
            let at = layout.terminal(t);
            let text = Form::Text {
                at: Point::new(at.x + 20.0, at.y + 32.0),
                text: part.tag.clone(),
                size: 13.0,
                anchor: Anchor::Start,
            };
            picture.shapes.push(Shape {
                form: text,
                ink: Ink::TagText,
                weight: 1.0,
                dash: Dash::Solid,
                subject: Some(Subject::Part(id)),
            });
            picture.targets.push(Target {
                subject: Subject::Part(id),
                x: at.x - 20.0,
                y: at.y,
                width: 40.0,
                height: 64.0,
            });
        }
    }
    picture
}
