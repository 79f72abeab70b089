//! Parts with moving contacts: switches, sensors, selector, relay.
//!
//! Blades stand where they are now; where that is not the rest position, a dotted blade shows where rest is. A contact
//! closed at rest has the foot of a break contact. Every movement is from left to right, as IEC 60617-7 draws it.

use crate::circuit::part::{Relay, SelectorSwitch, Suppressor};
use crate::circuit::{Contact, Kind};
use crate::drawing::caption::{TERMINAL_SIZE, felt};
use crate::drawing::layout::element::{Element, Face};
use crate::drawing::pen::{HEAVY, Pen, STROKE, THIN};
use crate::drawing::picture::{Anchor, Dash, Ink};
use crate::drawing::show::{PartState, Symbols};

/// Where the hinge is, and where the fixed contact ends.
const HINGE: f32 = 46.0;
const FIXED: f32 = 19.0;

/// A key, hand, temperature or pressure switch.
pub(super) fn switch(pen: &mut Pen<'_>, symbols: Symbols, kind: &Kind, state: PartState) {
    let rest = match kind {
        Kind::HandSwitch(s) => s.rest,
        Kind::TemperatureSwitch(s) | Kind::PressureSwitch(s) => s.rest,
        _ => Contact::Open,
    };
    let now = if let PartState::Contact(now) = state { now } else { rest };
    let grip = blade(pen, symbols, (0.0, 0.0, 64.0), rest, now);
    pen.dashed(Ink::Link, THIN, Dash::Dashed, &[(grip.0, grip.1), (-27.0, 33.0)]);
    match kind {
        Kind::KeySwitch(_) => key(pen),
        Kind::HandSwitch(s) => hand(pen, s.momentary),
        Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => qualifier(pen, felt(kind, symbols)),
        _ => {}
    }
}

/// A contact on the axis `x` from height `top` to `bottom`; yields where a link grips the blade.
pub(super) fn blade(
    pen: &mut Pen<'_>,
    symbols: Symbols,
    (x, top, bottom): (f32, f32, f32),
    rest: Contact,
    now: Contact,
) -> (f32, f32) {
    let middle = (top + bottom) / 2.0;
    let (fixed, hinge) = (middle - 32.0 + FIXED, middle - 32.0 + HINGE);
    pen.line(Ink::Symbol, STROKE, &[(x, top), (x, fixed)]);
    pen.line(Ink::Symbol, STROKE, &[(x, hinge), (x, bottom)]);
    let tip = |position: Contact| match (rest, position) {
        (Contact::Open, Contact::Open) => (x - 17.0, fixed + 2.0),
        (Contact::Open, Contact::Closed) => (x, fixed),
        (Contact::Closed, Contact::Closed) => (x + 9.0, fixed - 4.0),
        (Contact::Closed, Contact::Open) => (x + 22.0, fixed + 6.0),
    };
    if rest == Contact::Closed {
        pen.line(Ink::Symbol, STROKE, &[(x, fixed), (x + 11.0, fixed)]);
    }
    if now != rest {
        pen.dashed(Ink::RestMark, STROKE, Dash::Dotted, &[(x, hinge), tip(rest)]);
    }
    pen.line(Ink::Blade, HEAVY, &[(x, hinge), tip(now)]);
    if symbols == Symbols::Ieee315 {
        for y in [fixed, hinge] {
            pen.disc(Ink::SymbolFill, (x, y), 3.0);
            pen.ring(Ink::Symbol, STROKE, (x, y), 3.0);
        }
    }
    let (tip_x, tip_y) = tip(now);
    let share = (hinge - (middle + 1.0)) / (hinge - tip_y);
    (x + (tip_x - x) * share, middle + 1.0)
}

fn qualifier(pen: &mut Pen<'_>, sign: &str) {
    pen.text(Ink::Symbol, 16.0, Anchor::Middle, (-36.0, 33.0), sign);
}

fn hand(pen: &mut Pen<'_>, momentary: bool) {
    pen.line(Ink::Symbol, STROKE, &[(-32.0, 24.0), (-32.0, 42.0)]);
    pen.line(Ink::Symbol, STROKE, &[(-32.0, 33.0), (-27.0, 33.0)]);
    if momentary {
        // A push button returns by itself; one that stays put has the notch of a detent.
        pen.line(Ink::Symbol, STROKE, &[(-27.0, 24.0), (-32.0, 24.0)]);
        pen.line(Ink::Symbol, STROKE, &[(-27.0, 42.0), (-32.0, 42.0)]);
    } else {
        pen.line(Ink::Symbol, STROKE, &[(-32.0, 24.0), (-37.0, 24.0)]);
        pen.line(Ink::Symbol, STROKE, &[(-32.0, 42.0), (-27.0, 42.0)]);
        pen.line(Ink::Link, THIN, &[(-24.0, 33.0), (-21.0, 38.0), (-18.0, 33.0)]);
    }
}

fn key(pen: &mut Pen<'_>) {
    pen.ring(Ink::Symbol, STROKE, (-38.0, 33.0), 5.0);
    pen.line(Ink::Symbol, STROKE, &[(-33.0, 33.0), (-24.0, 33.0)]);
    pen.line(Ink::Symbol, STROKE, &[(-28.0, 33.0), (-28.0, 38.0)]);
    pen.line(Ink::Symbol, STROKE, &[(-24.0, 33.0), (-24.0, 38.0)]);
}

/// A selector: a blade from `c` to the contact of its position.
pub(super) fn selector(pen: &mut Pen<'_>, element: &Element, selector: &SelectorSwitch, state: PartState) {
    let height = element.height as f32;
    let common_on_top = element.pins.first().is_none_or(|pin| pin.face == Face::Top);
    pen.upside_down = (!common_on_top).then_some(height);
    let rest = selector.rest_position();
    let now = if let PartState::Selector { position } = state { position } else { rest };
    let contact = |n: usize| element.pins.get(n + 1).map_or(0.0, |pin| pin.dx as f32);
    pen.line(Ink::Symbol, STROKE, &[(0.0, 0.0), (0.0, 24.0)]);
    let left = -(element.body.0 as f32);
    pen.dashed(Ink::Link, THIN, Dash::Dashed, &[(left + 18.0, 38.0), (contact(now) * 0.31, 38.0)]);
    pen.line(Ink::Symbol, STROKE, &[(left + 12.0, 29.0), (left + 12.0, 47.0)]);
    pen.line(Ink::Symbol, STROKE, &[(left + 12.0, 38.0), (left + 18.0, 38.0)]);
    for (n, name) in selector.positions.iter().enumerate() {
        pen.line(Ink::Symbol, STROKE, &[(contact(n), 68.0), (contact(n), height)]);
        pen.text(Ink::TerminalText, TERMINAL_SIZE, Anchor::Start, (contact(n) + 6.0, 76.0), name);
    }
    if now != rest {
        pen.dashed(Ink::RestMark, STROKE, Dash::Dotted, &[(0.0, 24.0), (contact(rest), 65.0)]);
    }
    pen.line(Ink::Blade, HEAVY, &[(0.0, 24.0), (contact(now), 65.0)]);
    for n in 0..selector.positions.len() {
        pen.disc(Ink::SymbolFill, (contact(n), 67.0), 3.0);
        pen.ring(Ink::Symbol, STROKE, (contact(n), 67.0), 3.0);
    }
    pen.disc(Ink::Symbol, (0.0, 24.0), 3.0);
    pen.upside_down = None;
}

/// Coil rectangle on an axis, leads included; heavier and filled when pulled in.
pub(super) fn coil(pen: &mut Pen<'_>, symbols: Symbols, (x, height): (f32, f32), energised: bool) {
    let (top, bottom) = (height / 2.0 - 11.0, height / 2.0 + 11.0);
    pen.line(Ink::Symbol, STROKE, &[(x, 0.0), (x, top)]);
    pen.line(Ink::Symbol, STROKE, &[(x, bottom), (x, height)]);
    pen.boxed(if energised { Ink::Active } else { Ink::SymbolFill }, x - 16.0, top, x + 16.0, bottom);
    if energised {
        pen.outline(Ink::Symbol, HEAVY, &[(x - 16.0, top), (x + 16.0, top), (x + 16.0, bottom), (x - 16.0, bottom)]);
    }
    if symbols == Symbols::Ieee315 {
        for start in [-12.0, -4.0, 4.0] {
            pen.arc(Ink::Symbol, STROKE, (x + start + 4.0, height / 2.0 + 2.0), 4.0, (180.0, 360.0));
        }
    }
}

/// A small suppressor beside a coil, bridging its leads at `x`.
pub(super) fn suppressor(pen: &mut Pen<'_>, fitted: &Suppressor, (coil, x, height): (f32, f32, f32), cathode_up: bool) {
    let (top, bottom, middle) = (height / 2.0 - 20.0, height / 2.0 + 20.0, height / 2.0);
    pen.line(Ink::Symbol, THIN, &[(coil, top), (x, top), (x, bottom), (coil, bottom)]);
    for y in [top, bottom] {
        pen.disc(Ink::Junction, (coil, y), 2.0);
    }
    match fitted {
        Suppressor::Diode { .. } => {
            let up = if cathode_up { -1.0 } else { 1.0 };
            let triangle = [(x - 5.0, middle - 4.0 * up), (x + 5.0, middle - 4.0 * up), (x, middle + 5.0 * up)];
            pen.fill(Ink::Symbol, &triangle);
            pen.line(Ink::Symbol, STROKE, &[(x - 5.0, middle + 5.0 * up), (x + 5.0, middle + 5.0 * up)]);
        }
        Suppressor::Resistor(_) => pen.boxed(Ink::SymbolFill, x - 4.0, middle - 9.0, x + 4.0, middle + 9.0),
    }
}

/// Coil and change-over contact with the dashed link between them.
pub(super) fn relay(pen: &mut Pen<'_>, symbols: Symbols, element: &Element, relay: &Relay, state: PartState) {
    let height = element.height as f32;
    let (energised, over) = match state {
        PartState::Relay { energised, over } => (energised, over),
        _ => (false, false),
    };
    let [_, coil_86, common, make, rest] = element.pins[..] else { return };
    coil(pen, symbols, (0.0, height), energised);
    let (straight, rest_x, make_x) = (common.dx as f32, rest.dx as f32, make.dx as f32);
    let side = if rest_x + make_x > 2.0 * straight { 1.0 } else { -1.0 };
    if let Some(fitted) = &relay.suppressor {
        let on_86 = matches!(fitted, Suppressor::Diode { cathode } if cathode == "86");
        let cathode_up = on_86 == (coil_86.face == Face::Top);
        suppressor(pen, fitted, (0.0, -straight.signum() * 28.0, height), cathode_up);
    }
    pen.upside_down = (common.face == Face::Bottom).then_some(height);
    let hinge = (straight, 30.0);
    pen.line(Ink::Symbol, STROKE, &[(straight, 0.0), hinge]);
    let tip = |x: f32| if (x - straight).abs() < 1.0 { (x, 64.0) } else { (straight + side * 20.0, 61.0) };
    for x in [rest_x, make_x] {
        if (x - straight).abs() < 1.0 {
            pen.line(Ink::Symbol, STROKE, &[(x, 64.0), (x, height)]);
        } else {
            pen.line(Ink::Symbol, STROKE, &[(x, height), (x, 68.0), (straight + side * 22.0, 68.0), tip(x)]);
        }
    }
    let (now, other) = if over { (make_x, rest_x) } else { (rest_x, make_x) };
    if over {
        pen.dashed(Ink::RestMark, STROKE, Dash::Dotted, &[hinge, tip(other)]);
    }
    let at = tip(now);
    pen.line(Ink::Blade, HEAVY, &[hinge, at]);
    pen.disc(Ink::Symbol, hinge, 2.5);
    if symbols == Symbols::Ieee315 {
        for x in [rest_x, make_x] {
            pen.disc(Ink::SymbolFill, tip(x), 3.0);
            pen.ring(Ink::Symbol, STROKE, tip(x), 3.0);
        }
    }
    pen.upside_down = None;
    let share = (48.0 - 30.0) / (at.1 - 30.0);
    let grip = straight + (at.0 - straight) * share;
    pen.dashed(Ink::Link, THIN, Dash::Dashed, &[(straight.signum() * 16.0, 48.0), (grip, 48.0)]);
}
