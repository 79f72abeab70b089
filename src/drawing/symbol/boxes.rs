//! Parts drawn as boxes: air valve, module, timer.
//!
//! The valve is its coil with a small three-way valve beside it, after ISO 1219-1: the square at the spring is the
//! position at rest, the one at the coil the position pulled in, and the pipes hang on the one that holds now.

use crate::circuit::Contact;
use crate::circuit::part::{AirValve, Module, Side, Suppressor, ValveRest};
use crate::drawing::layout::element::{Element, Face};
use crate::drawing::pen::{HEAVY, Pen, STROKE, THIN};
use crate::drawing::picture::{Dash, Ink};
use crate::drawing::show::{PartState, Symbols};

use super::contact::{blade, coil, suppressor};

pub(super) fn valve(pen: &mut Pen<'_>, symbols: Symbols, valve: &AirValve, upside_down: bool, state: PartState) {
    let at_rest = valve.rest == ValveRest::Passing;
    let (energised, passing) = match state {
        PartState::Valve { energised, passing } => (energised, passing),
        _ => (false, at_rest),
    };
    coil(pen, symbols, (0.0, 64.0), energised);
    if let Some(fitted) = &valve.suppressor {
        let on_1 = matches!(fitted, Suppressor::Diode { cathode } if cathode == "1");
        suppressor(pen, fitted, (0.0, 26.0, 64.0), on_1 != upside_down);
    }
    pen.line(Ink::Symbol, STROKE, &[(-16.0, 32.0), (-28.0, 32.0)]);
    let now_at_rest = passing == at_rest;
    square(pen, -52.0, !at_rest, !now_at_rest);
    square(pen, -76.0, at_rest, now_at_rest);
    let spring: Vec<(f32, f32)> =
        (0..7u8).map(|i| (-77.0 - 3.0 * f32::from(i), if i % 2 == 0 { 27.0 } else { 37.0 })).collect();
    pen.line(Ink::Symbol, THIN, &spring);
}

/// One position of the valve, 24 units square from `left`; with its pipes where it holds now.
fn square(pen: &mut Pen<'_>, left: f32, passing: bool, holds: bool) {
    let (top, bottom) = (20.0, 44.0);
    pen.boxed(Ink::SymbolFill, left, top, left + 24.0, bottom);
    let (ink, weight) = match (holds, passing) {
        (false, _) => (Ink::RestMark, THIN),
        (true, true) => (Ink::AirPassing, HEAVY),
        (true, false) => (Ink::AirVented, STROKE),
    };
    let (supply, exhaust) = (left + 6.0, left + 18.0);
    let (from, blocked) = if passing { (supply, exhaust) } else { (exhaust, supply) };
    pen.line(ink, weight, &[(from, bottom - 1.0), (supply, top + 1.0)]);
    pen.line(ink, weight.min(STROKE), &[(blocked, bottom), (blocked, bottom - 6.0)]);
    pen.line(ink, weight.min(STROKE), &[(blocked - 4.0, bottom - 6.0), (blocked + 4.0, bottom - 6.0)]);
    let (tip, back) =
        if passing { ((supply, top + 1.0), (from, bottom)) } else { ((from, bottom - 1.0), (supply, top)) };
    arrowhead(pen, ink, tip, back);
    if holds {
        pen.line(Ink::Symbol, STROKE, &[(supply, top), (supply, top - 8.0)]);
        pen.line(Ink::Symbol, STROKE, &[(supply, bottom), (supply, bottom + 8.0)]);
        let vent = [(exhaust - 4.0, bottom + 1.0), (exhaust + 4.0, bottom + 1.0), (exhaust, bottom + 8.0)];
        pen.outline(Ink::Symbol, THIN, &vent);
    }
}

fn arrowhead(pen: &mut Pen<'_>, ink: Ink, tip: (f32, f32), back: (f32, f32)) {
    let (dx, dy) = (back.0 - tip.0, back.1 - tip.1);
    let length = dx.hypot(dy).max(1.0);
    let (ux, uy) = (dx / length * 7.0, dy / length * 7.0);
    pen.fill(
        ink,
        &[tip, (tip.0 + ux - uy * 0.45, tip.1 + uy + ux * 0.45), (tip.0 + ux + uy * 0.45, tip.1 + uy - ux * 0.45)],
    );
}

/// A box with one driver, `out` in line with the pole it joins.
pub(super) fn module(pen: &mut Pen<'_>, element: &Element, module: &Module, state: PartState) {
    let height = element.height as f32;
    let (left, right) = (-(element.body.0 as f32), element.body.1 as f32);
    pen.boxed(Ink::SymbolFill, left, 14.0, right, height - 14.0);
    for pin in &element.pins {
        let x = pin.dx as f32;
        let (from, to) = if pin.face == Face::Top { (0.0, 14.0) } else { (height, height - 14.0) };
        pen.line(Ink::Symbol, STROKE, &[(x, from), (x, to)]);
    }
    let out = element.pins.get(2).map_or(0.0, |pin| pin.dx as f32);
    let inward = -out.signum();
    let on = state == PartState::Module { on: true };
    if on {
        pen.disc(Ink::Active, (out + inward * 5.0, 48.0), 17.0);
    }
    pen.ring(Ink::Symbol, if on { HEAVY } else { THIN }, (out + inward * 5.0, 48.0), 17.0);
    // A transistor; the arrow of conventional current falls either way.
    let base = out + inward * 11.0;
    pen.line(Ink::Symbol, HEAVY, &[(base, 38.0), (base, 58.0)]);
    pen.line(Ink::Symbol, STROKE, &[(out, 14.0), (out, 36.0), (base, 44.0)]);
    pen.line(Ink::Symbol, STROKE, &[(base, 52.0), (out, 60.0), (out, height - 14.0)]);
    match module.side {
        Side::Low => arrowhead(pen, Ink::Symbol, (out + inward * 1.5, 59.2), (base, 52.0)),
        Side::High => arrowhead(pen, Ink::Symbol, (base - inward * 1.0, 43.2), (out, 36.0)),
    }
    // What decides: a small logic block on the base.
    let logic = out + inward * 84.0;
    let edge = logic - inward * 26.0;
    pen.line(Ink::Symbol, STROKE, &[(base, 48.0), (edge, 48.0)]);
    pen.boxed(Ink::SymbolFill, logic.min(edge), 38.0, logic.max(edge), 58.0);
    let middle = (logic + edge) / 2.0;
    pen.line(
        Ink::Symbol,
        STROKE,
        &[(middle - 7.0, 54.0), (middle - 1.0, 54.0), (middle + 1.0, 42.0), (middle + 7.0, 42.0)],
    );
}

/// A slow-releasing coil between `in` and 31 and its contact between 15 and 87.
pub(super) fn timer(pen: &mut Pen<'_>, symbols: Symbols, element: &Element, state: PartState) {
    let height = element.height as f32;
    let contact = element.pins.first().map_or(0.0, |pin| pin.dx as f32);
    pen.boxed(Ink::SymbolFill, -(element.body.0 as f32), 14.0, element.body.1 as f32, height - 14.0);
    let now = if let PartState::Contact(now) = state { now } else { Contact::Open };
    let held = now == Contact::Closed;
    coil(pen, symbols, (0.0, height), held);
    let slab = contact.signum();
    pen.fill(Ink::Symbol, &[(-slab * 16.0, 37.0), (-slab * 9.0, 37.0), (-slab * 9.0, 59.0), (-slab * 16.0, 59.0)]);
    let grip = blade(pen, symbols, (contact, 0.0, height), Contact::Open, now);
    pen.dashed(Ink::Link, THIN, Dash::Dashed, &[(slab * 16.0, 49.0), grip]);
}
