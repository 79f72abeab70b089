//! The picture of a circuit as plain shapes: symbols, automatic layout, wire routing and hit areas.
//!
//! [`Layout::of`] places a circuit, [`draw`] turns it and a [`Show`] into a [`Picture`], [`svg()`] writes that down.
//! No window, no files: what flows and which contact is closed comes in as plain data, which [`Show::of`] reads off a
//! bench, so the window and paper show the same picture. Supply is at the top, ground at the bottom, and current falls
//! down the page.

mod beside;
mod caption;
mod detour;
mod instrument;
mod labels;
pub mod layout;
mod lead;
mod lettering;
mod notes;
mod overlay;
mod path;
mod pen;
pub mod picture;
mod room;
pub mod show;
pub mod standing;
pub mod svg;
mod symbol;
mod tags;
mod wiring;

pub use beside::{Noted, beside};
pub use layout::Layout;
pub use lettering::{Lettered, lettering};
pub use picture::{Anchor, Dash, Form, Ink, Picture, Point, Shape, Target, bold_width, text_width};
pub use room::text_rect;
pub use show::{
    Face, FaultMark, Fitted, Flow, Instrument, Lead, LeadFuse, LeadPoint, PartState, Show, Symbols, TerminalState,
    WireState,
};
pub use svg::{Theme, svg};
pub use tags::enlarged;

use crate::circuit::{Circuit, TerminalId};
use crate::study::answer::Subject;
use layout::element::{Face as Side, Pin};

/// Side of a terminal's hit area in units.
pub const TERMINAL_TARGET: f32 = 44.0;

/// Draws a placed circuit in the state `show` tells.
pub fn draw(layout: &Layout, circuit: &Circuit, show: &Show) -> Picture {
    let mut picture = Picture { width: layout.width, height: layout.height, ..Picture::default() };
    overlay::highlights(&mut picture, layout, circuit, show);
    wiring::draw(&mut picture, layout, circuit, show);
    for placed in &layout.placed {
        symbol::draw(&mut picture.shapes, placed, circuit, show);
        let (left, top, right, bottom) = placed.body();
        // A splice is all terminal; it still needs an area of its own.
        let (top, bottom) = if bottom - top < 16.0 { (top - 8.0, top + 8.0) } else { (top, bottom) };
        picture.targets.push(Target {
            subject: Subject::Part(placed.element.part),
            x: left,
            y: top,
            width: right - left,
            height: bottom - top,
        });
        for pin in &placed.element.pins {
            terminal(&mut picture, layout, circuit, show, pin);
        }
    }
    let has_readings = show.readings.iter().any(Option::is_some);
    if has_readings || !show.faults.is_empty() || !show.leads.is_empty() || !show.instruments.is_empty() {
        let mut index = notes::taken(&picture, layout, circuit, show);
        lead::draw(&mut picture, layout, circuit, show, &mut index);
        instrument::draw(&mut picture, layout, circuit, show, &mut index);
        notes::readings(&mut picture, layout, show, &mut index);
        notes::faults(&mut picture, layout, circuit, show, &mut index);
    }
    picture
}

fn terminal(picture: &mut Picture, layout: &Layout, circuit: &Circuit, show: &Show, pin: &Pin) {
    let centre = layout.terminal(pin.terminal);
    let state = show.terminal(pin.terminal);
    if pin.face == Side::Both {
        splice(picture, centre, pin.terminal, state);
    } else {
        dot(picture, centre, pin.terminal, state);
    }
    let subject = Some(Subject::Terminal(pin.terminal));
    let mut put = |form: Form, ink: Ink| {
        picture.shapes.push(Shape { form, ink, weight: 1.0, dash: Dash::Solid, subject });
    };
    if pin.face != Side::Both {
        let (at, anchor) =
            labels::terminal_text(centre, pin.face, &circuit.part(circuit.terminal(pin.terminal).part).kind);
        let text = circuit.terminal(pin.terminal).name.clone();
        put(Form::Text { at, text, size: caption::TERMINAL_SIZE, anchor }, Ink::TerminalText);
    }
    picture.targets.push(Target {
        subject: Subject::Terminal(pin.terminal),
        x: centre.x - TERMINAL_TARGET / 2.0,
        y: centre.y - TERMINAL_TARGET / 2.0,
        width: TERMINAL_TARGET,
        height: TERMINAL_TARGET,
    });
}

/// A splice is a junction: the same marks inside a heavy dot, which is all there is where it floats.
fn splice(picture: &mut Picture, centre: Point, id: TerminalId, state: TerminalState) {
    let mut disc = |radius: f32, ink: Ink| {
        let form = Form::Circle { centre, radius, filled: true };
        let subject = Some(Subject::Terminal(id));
        picture.shapes.push(Shape { form, ink, weight: 1.0, dash: Dash::Solid, subject });
    };
    match state {
        TerminalState::Fed => {
            disc(6.2, Ink::Junction);
            disc(4.4, Ink::SymbolFill);
            disc(3.2, Ink::TerminalFed);
        }
        TerminalState::Grounded => {
            disc(6.2, Ink::Junction);
            disc(3.8, Ink::SymbolFill);
        }
        TerminalState::Between => {
            disc(6.2, Ink::Junction);
            disc(4.4, Ink::SymbolFill);
            disc(1.8, Ink::TerminalBetween);
        }
        TerminalState::Floating | TerminalState::Unseen => disc(5.0, Ink::Junction),
    }
}

/// Fed is full, grounded empty, between half full, floating small and faint.
fn dot(picture: &mut Picture, centre: Point, id: TerminalId, state: TerminalState) {
    let mut circle = |radius: f32, filled: bool, ink: Ink, weight: f32| {
        let form = Form::Circle { centre, radius, filled };
        let subject = Some(Subject::Terminal(id));
        picture.shapes.push(Shape { form, ink, weight, dash: Dash::Solid, subject });
    };
    match state {
        TerminalState::Fed => circle(4.2, true, Ink::TerminalFed, 1.0),
        TerminalState::Grounded => {
            circle(4.0, true, Ink::SymbolFill, 1.0);
            circle(4.0, false, Ink::TerminalGrounded, 1.8);
        }
        TerminalState::Between => {
            circle(4.2, true, Ink::SymbolFill, 1.0);
            circle(4.2, false, Ink::TerminalBetween, 1.6);
            circle(2.0, true, Ink::TerminalBetween, 1.0);
        }
        TerminalState::Unseen => circle(3.4, true, Ink::Symbol, 1.0),
        TerminalState::Floating => {
            circle(3.2, true, Ink::SymbolFill, 1.0);
            circle(3.2, false, Ink::TerminalFloating, 1.2);
        }
    }
}
