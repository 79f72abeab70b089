//! The kinds of part that can be added, each with its symbol as the drawing has it and the standard's term.
//!
//! The symbols are drawn by the drawing layer from a circuit of one part, and kept. Terms after IEC 60617 and IEC 81346-2
//! (from memory).

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::circuit::change::{letter, usual};
use crate::circuit::format::kinds;
use crate::circuit::{Circuit, Draft, Part};
use crate::drawing::{Form, Ink, Layout, Picture, Show, Symbols, draw};

use super::super::board::geometry::extent;
use super::super::board::paint;
use super::super::board::view::View;
use super::super::build::BuildStep;
use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::tongue::t;
use super::super::{ids, theme};

/// Height of a row, and the width of the symbol in it.
const ROW: f32 = 52.0;
const SYMBOL: f32 = 84.0;

/// The symbols as they were drawn last.
#[derive(Debug, Default)]
pub struct KindsState {
    drawn: Option<(Symbols, Vec<Picture>)>,
}

/// The standard's term for a kind.
fn term(kind: &str) -> &'static str {
    match kind {
        "Battery" => t!("kinds-battery"),
        "Fuse" => t!("kinds-fuse"),
        "KeySwitch" => t!("kinds-key-operated-switch"),
        "HandSwitch" => t!("kinds-hand-operated-switch"),
        "SelectorSwitch" => t!("kinds-multi-position-switch"),
        "TemperatureSwitch" => t!("kinds-temperature-sensitive-switch"),
        "PressureSwitch" => t!("kinds-pressure-actuated-switch"),
        "Relay" => t!("kinds-relay-change-over-contact"),
        "AirValve" => t!("kinds-solenoid-air-valve-3-2"),
        "Diode" => t!("kinds-semiconductor-diode"),
        "Resistor" => t!("kinds-resistor"),
        "Lamp" => t!("kinds-lamp"),
        "Module" => t!("kinds-module-one-driver"),
        "Timer" => t!("kinds-relay-slow-to-release"),
        "Connector" => t!("kinds-connector-plug-and-socket"),
        "Splice" => t!("kinds-junction-of-conductors"),
        _ => t!("kinds-chassis-connection"),
    }
}

/// Shows the list.
pub(super) fn kinds_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut KindsState, commands: &mut Commands) {
    let symbols = seen.look.symbols;
    if state.drawn.as_ref().is_none_or(|(of, _)| *of != symbols) {
        state.drawn = Some((symbols, kinds().map(|kind| symbol(kind, symbols)).collect()));
    }
    let pictures = state.drawn.iter().flat_map(|(_, pictures)| pictures);
    for (kind, picture) in kinds().zip(pictures) {
        if row_ui(ui, seen, kind, picture) {
            commands.push(Command::Build(BuildStep::Add(kind.to_owned())));
        }
    }
}

fn row_ui(ui: &mut Ui, seen: &Seen<'_>, kind: &'static str, picture: &Picture) -> bool {
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), ROW));
    let response = ui.interact(rect, ids::kind(kind), Sense::click());
    let words = format!("{} ({})", term(kind), letter(kind));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, t!("kinds-add", words)));
    let palette = &seen.palette;
    let sheet = Rect::from_min_size(rect.min, vec2(SYMBOL, ROW)).shrink(2.0);
    ui.painter().rect_filled(rect.shrink(1.0), 3.0, palette.raised);
    ui.painter().rect_filled(sheet, 2.0, palette.sheet);
    let [left, top, right, bottom] = extent(picture);
    let zoom = ((sheet.width() - 8.0) / (right - left).max(1.0)).min((sheet.height() - 6.0) / (bottom - top).max(1.0));
    let view = View::still(pos2((left + right) / 2.0, (top + bottom) / 2.0), zoom.min(0.8));
    paint::picture(&ui.painter().with_clip_rect(sheet.intersect(ui.clip_rect())), sheet, &view, palette, picture);
    let size = palette.letters(13.0);
    let room = rect.right() - sheet.right() - 12.0;
    let galley = ui.painter().layout(words, theme::plain(size), palette.text, room);
    let at = pos2(sheet.right() + 8.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().with_clip_rect(rect.intersect(ui.clip_rect())).galley(at, galley, palette.text);
    let weight = if response.has_focus() { 3.0 } else { 1.2 };
    let ink = if response.has_focus() || response.hovered() { palette.focus } else { palette.line };
    ui.painter().rect_stroke(rect.shrink(1.0), 3.0, Stroke::new(weight, ink), StrokeKind::Inside);
    response.clicked()
}

/// The strokes of a kind's symbol.
fn symbol(kind: &str, symbols: Symbols) -> Picture {
    let nothing = Circuit::new(Draft::default()).ok();
    let kind = nothing.and_then(|nothing| usual(&nothing, kind));
    let parts = kind.map(|kind| Part { tag: "Q1".to_owned(), kind });
    let draft = Draft { parts: parts.into_iter().collect(), ..Draft::default() };
    let Ok(circuit) = Circuit::new(draft) else { return Picture::default() };
    let show = Show { symbols, ..Show::as_built(&circuit) };
    let mut picture = draw(&Layout::of(&circuit), &circuit, &show);
    // The letter of what a sensor feels is part of its symbol.
    picture.shapes.retain(|shape| !matches!(shape.form, Form::Text { .. }) || shape.ink == Ink::Symbol);
    picture
}
