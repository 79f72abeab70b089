//! The symbols of the parts, drawn as they stand now.
//!
//! After IEC 60617 (by default) or IEEE 315; the air side of a valve after ISO 1219-1. Shapes are from memory of
//! those standards, sized to our grid. Contacts are drawn where they are now, their rest position dotted beside; no
//! state is told by hue alone. Each symbol fits the box of its [`Element`].

mod boxes;
mod contact;
mod simple;

use crate::circuit::{Circuit, Kind, PartId};
use crate::study::answer::Subject;

use super::caption;
use super::layout::Placed;
use super::layout::element::{Element, Face};
use super::pen::Pen;
use super::picture::{Anchor, Ink, Point, Shape};
use super::show::{PartState, Show};

/// Draws one element with its caption.
pub(super) fn draw(shapes: &mut Vec<Shape>, placed: &Placed, circuit: &Circuit, show: &Show) {
    let id = placed.element.part;
    let part = circuit.part(id);
    let state = show.part(circuit, id);
    let mut pen = Pen {
        shapes,
        origin: Point::new(placed.x as f32, placed.y as f32),
        across: 1.0,
        upside_down: None,
        subject: Some(Subject::Part(id)),
    };
    let element = &placed.element;
    match &part.kind {
        Kind::Battery(_) => simple::battery(&mut pen),
        Kind::Fuse(_) => simple::fuse(&mut pen, show.symbols, state == PartState::Fuse { blown: true }),
        Kind::Resistor(_) => simple::resistor(&mut pen, show.symbols),
        Kind::Lamp(_) => simple::lamp(&mut pen, show.symbols, state == PartState::Lamp { lit: true }),
        Kind::Diode(_) => {
            let upside_down = element.pins[0].face == Face::Bottom;
            simple::diode(&mut pen, upside_down, state == PartState::Diode { conducting: true });
        }
        Kind::KeySwitch(_) | Kind::HandSwitch(_) | Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => {
            contact::switch(&mut pen, show.symbols, &part.kind, state);
        }
        Kind::SelectorSwitch(selector) => contact::selector(&mut pen, element, selector, state),
        Kind::Relay(relay) => contact::relay(&mut pen, show.symbols, element, relay, state),
        Kind::AirValve(valve) => {
            let upside_down = element.pins[0].face == Face::Bottom;
            boxes::valve(&mut pen, show.symbols, valve, upside_down, state);
        }
        Kind::Module(module) => boxes::module(&mut pen, element, module, state),
        Kind::Timer(_) => boxes::timer(&mut pen, show.symbols, element, state),
        Kind::Connector(_) => simple::connector_pin(&mut pen, element.pins.first().map(|p| p.face)),
        Kind::Splice(_) => simple::splice(&mut pen),
        Kind::Ground(_) => simple::ground(&mut pen),
    }
    if element.is_dot() {
        let at = (placed.tag_at.x - pen.origin.x, placed.tag_at.y - pen.origin.y);
        pen.text(Ink::TagText, caption::TAG_SIZE, Anchor::Middle, at, part.tag.clone());
    } else {
        captions(&mut pen, (circuit, show), id, element);
    }
}

fn captions(pen: &mut Pen<'_>, (circuit, show): (&Circuit, &Show), id: PartId, element: &Element) {
    let part = circuit.part(id);
    let tag = caption::tag(part, element.connector_pin);
    let rating = caption::rating(part, show.symbols, show.measure);
    let x = element.body.1 as f32 + 5.0;
    let y = match part.kind {
        Kind::Ground(_) => 21.0,
        _ => element.height as f32 / 2.0,
    };
    let lift = if rating.is_empty() { 0.0 } else { 8.0 };
    pen.text(Ink::TagText, caption::TAG_SIZE, Anchor::Start, (x, y - lift), tag);
    pen.text(Ink::RatingText, caption::RATING_SIZE, Anchor::Start, (x, y + lift), rating);
}
