//! Parts without moving contacts: battery, fuse, resistor, lamp, diode, connector pin, splice, ground.
//!
//! Yields their strokes in a box 64 units high about an axis at 0. Shapes after IEC 60617 and IEEE 315, from memory.

use crate::drawing::layout::element::Face;
use crate::drawing::pen::{HEAVY, Pen, STROKE, THIN};
use crate::drawing::picture::Ink;
use crate::drawing::show::Symbols;

pub(super) fn battery(pen: &mut Pen<'_>) {
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 22.0)]);
    for top in [22.0, 36.0] {
        pen.line(Ink::Symbol, STROKE, &[(-17.0, top), (17.0, top)]);
        pen.line(Ink::Symbol, HEAVY + 0.8, &[(-8.0, top + 6.0), (8.0, top + 6.0)]);
    }
    pen.line(Ink::Symbol, STROKE, &[(0.0, 28.0), (0.0, 36.0)]);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 42.0), (0.0, 64.0)]);
}

pub(super) fn fuse(pen: &mut Pen<'_>, symbols: Symbols, blown: bool) {
    let lead = |pen: &mut Pen<'_>, from: f32, to: f32| pen.line(Ink::Symbol, STROKE, &[(0.0, from), (0.0, to)]);
    match symbols {
        Symbols::Iec60617 => {
            pen.boxed(Ink::SymbolFill, -7.0, 14.0, 7.0, 50.0);
            if blown {
                lead(pen, 0.0, 23.0);
                lead(pen, 41.0, 64.0);
            } else {
                lead(pen, 0.0, 64.0);
            }
        }
        Symbols::Ieee315 => {
            lead(pen, 0.0, 14.0);
            lead(pen, 50.0, 64.0);
            if !blown {
                pen.arc(Ink::Symbol, STROKE, (0.0, 23.0), 9.0, (-90.0, 90.0));
                pen.arc(Ink::Symbol, STROKE, (0.0, 41.0), 9.0, (90.0, 270.0));
            }
        }
    }
    if blown {
        // The break: two ragged ends and a gap that reads without colour.
        pen.line(Ink::Fault, HEAVY, &[(0.0, 20.0), (-4.0, 24.0), (3.0, 27.0)]);
        pen.line(Ink::Fault, HEAVY, &[(0.0, 44.0), (4.0, 40.0), (-3.0, 37.0)]);
    }
}

pub(super) fn resistor(pen: &mut Pen<'_>, symbols: Symbols) {
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 14.0)]);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 50.0), (0.0, 64.0)]);
    match symbols {
        Symbols::Iec60617 => pen.boxed(Ink::SymbolFill, -7.0, 14.0, 7.0, 50.0),
        Symbols::Ieee315 => {
            let mut points = vec![(0.0, 14.0)];
            points.extend((0..6u8).map(|i| (if i % 2 == 0 { 7.0 } else { -7.0 }, 17.0 + 6.0 * f32::from(i))));
            points.push((0.0, 50.0));
            pen.line(Ink::Symbol, STROKE, &points);
        }
    }
}

pub(super) fn lamp(pen: &mut Pen<'_>, symbols: Symbols, lit: bool) {
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 18.0)]);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 46.0), (0.0, 64.0)]);
    pen.disc(if lit { Ink::Glow } else { Ink::SymbolFill }, (0.0, 32.0), 14.0);
    pen.ring(Ink::Symbol, if lit { HEAVY } else { STROKE }, (0.0, 32.0), 14.0);
    match symbols {
        Symbols::Iec60617 => {
            pen.line(Ink::Symbol, STROKE, &[(-9.9, 22.1), (9.9, 41.9)]);
            pen.line(Ink::Symbol, STROKE, &[(9.9, 22.1), (-9.9, 41.9)]);
        }
        Symbols::Ieee315 => {
            pen.line(Ink::Symbol, STROKE, &[(0.0, 18.0), (0.0, 27.0)]);
            pen.arc(Ink::Symbol, STROKE, (0.0, 32.0), 5.0, (-90.0, 90.0));
            pen.line(Ink::Symbol, STROKE, &[(0.0, 37.0), (0.0, 46.0)]);
        }
    }
    if lit {
        for degrees in [-150f32, -180.0, -210.0] {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let ray = |r: f32| (r * cos, 32.0 + r * sin);
            pen.line(Ink::Symbol, STROKE, &[ray(18.0), ray(23.0)]);
        }
    }
}

/// The anode is on top unless `upside_down`.
pub(super) fn diode(pen: &mut Pen<'_>, upside_down: bool, conducting: bool) {
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 64.0)]);
    pen.upside_down = upside_down.then_some(64.0);
    let triangle = [(-10.0, 23.0), (10.0, 23.0), (0.0, 41.0)];
    pen.fill(if conducting { Ink::Symbol } else { Ink::SymbolFill }, &triangle);
    pen.outline(Ink::Symbol, STROKE, &triangle);
    pen.line(Ink::Symbol, HEAVY, &[(-10.0, 41.0), (10.0, 41.0)]);
    if !conducting {
        pen.line(Ink::Symbol, THIN, &[(0.0, 23.0), (0.0, 41.0)]);
    }
    pen.upside_down = None;
}

/// Plug pin and socket of one circuit of a connector; the `a` side holds the socket.
pub(super) fn connector_pin(pen: &mut Pen<'_>, a_face: Option<Face>) {
    pen.upside_down = (a_face == Some(Face::Bottom)).then_some(64.0);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 26.0)]);
    pen.arc(Ink::Symbol, STROKE, (0.0, 33.0), 7.0, (180.0, 360.0));
    pen.fill(Ink::Symbol, &[(-3.0, 31.0), (3.0, 31.0), (3.0, 45.0), (-3.0, 45.0)]);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 45.0), (0.0, 64.0)]);
    pen.upside_down = None;
}

pub(super) fn splice(pen: &mut Pen<'_>) {
    pen.disc(Ink::Junction, (0.0, 0.0), 5.0);
}

/// Frame or chassis.
pub(super) fn ground(pen: &mut Pen<'_>) {
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 20.0)]);
    pen.line(Ink::Symbol, HEAVY, &[(-13.0, 20.0), (13.0, 20.0)]);
    for x in [-13.0, 0.0, 13.0] {
        pen.line(Ink::Symbol, STROKE, &[(x, 20.0), (x - 6.0, 31.0)]);
    }
}
