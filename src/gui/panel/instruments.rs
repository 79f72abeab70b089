//! What the instruments show that are on the circuit or in hand, with their leads and their way off.
//!
//! A band under the drawing or part of the column beside it (which, is decided in [`aside`](super::aside)), there only while
//! an instrument is out. With the display stands what there is to know before it is believed. What an instrument makes the
//! circuit do stands among the hazards, under a signal word.

use egui::{Button, Context, Rect, RichText, Role, ScrollArea, Sense, Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2};

use crate::physics::meter::Glow;
use crate::study::find::words::minutes;
use crate::study::meter::{Shown, Value};
use crate::words::Words;

use super::super::command::{Command, Commands};
use super::super::hunting::HuntStep;
use super::super::instrument::{Device, Handling, Pole};
use super::super::readout::{Readout, said};
use super::super::seen::Seen;
use super::super::session::Taken;
use super::super::tongue::{t, worded};
use super::super::tool::Tool;
use super::super::widget::{bulb, display, grown, is_for_fingers, signal};
use super::super::{ids, theme};

/// Height of the band.
const HEIGHT: f32 = 88.0;
/// Size of a display.
pub(super) const FACE: Vec2 = vec2(172.0, 76.0);
/// Room between what stands side by side.
const GAP: f32 = 10.0;

/// Height of the band, where what is pressed may be a finger's.
pub fn height(ctx: &Context) -> f32 {
    HEIGHT + grown(ctx)
}

/// Instruments that are out, in the order of the tray.
pub fn out(seen: &Seen<'_>) -> Vec<Device> {
    let is_out = |device: &Device| seen.desk.instruments.is_on(*device) || seen.desk.tool == Tool::Instrument(*device);
    Device::ALL.into_iter().filter(is_out).collect()
}

/// Shows the instruments that are out, one below the other.
pub fn column_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    for device in out(seen) {
        let taken = seen.taken.iter().find(|taken| taken.device == device);
        let (_, face) = ui.allocate_space(vec2(FACE.x.min(ui.available_width()), FACE.y));
        face_ui(ui, seen, device, taken, face);
        ui.push_id(("beside", device.name()), |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(4.0, 3.0);
                on_ui(ui, seen, device, commands);
            });
            told_ui(ui, seen, taken);
        });
    }
}

/// Shows the instruments that are out, side by side.
pub fn instruments_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let out = out(seen);
    let (_, room) = ui.allocate_space(vec2(ui.available_width(), FACE.y + grown(ui.ctx())));
    // A clamp has less to say than an instrument with two leads.
    let weight = |device: &Device| if *device == Device::Clamp { 0.42 } else { 0.58 };
    let all: f32 = out.iter().map(weight).sum();
    let free = room.width() - GAP * (out.len().max(1) - 1) as f32;
    let mut left = room.left();
    for device in out {
        let width = free * weight(&device) / all;
        device_ui(ui, seen, device, Rect::from_min_size(pos2(left, room.top()), vec2(width, room.height())), commands);
        left += width + GAP;
    }
}

fn device_ui(ui: &mut Ui, seen: &Seen<'_>, device: Device, room: Rect, commands: &mut Commands) {
    let taken = seen.taken.iter().find(|taken| taken.device == device);
    let face = Rect::from_min_size(room.min, vec2(FACE.x.min(room.width() * 0.4), FACE.y));
    face_ui(ui, seen, device, taken, face);
    let beside = Rect::from_min_max(pos2(face.right() + GAP, room.top()), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(beside).id_salt(("beside", device.name())), |ui| {
        ui.set_clip_rect(beside.expand(2.0).intersect(ui.clip_rect()));
        // What fingers press may be more than the band is high: it is then scrolled with what is said below it.
        let is_scrolled = is_for_fingers(ui.ctx());
        let mut controls = |ui: &mut Ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(4.0, 3.0);
                on_ui(ui, seen, device, commands);
            });
        };
        if !is_scrolled {
            controls(ui);
        }
        let scroll = ScrollArea::vertical().id_salt(("notes", device.name())).auto_shrink([false, false]);
        let left = beside.bottom() - ui.cursor().top();
        scroll.min_scrolled_height(0.0).max_height(left).show(ui, |ui| {
            if is_scrolled {
                controls(ui);
            }
            ui.spacing_mut().item_spacing.y = 2.0;
            told_ui(ui, seen, taken);
        });
    });
}

/// What there is to know of what it shows, or why it shows nothing.
fn told_ui(ui: &mut Ui, seen: &Seen<'_>, taken: Option<&Taken>) {
    match taken.map(|taken| &taken.shown) {
        Some(Ok(shown)) => notes_ui(ui, seen, shown),
        Some(Err(why)) => {
            let words = t!("instruments-nothing-can-be-read", message = why.message, mend = why.mend);
            ui.label(RichText::new(words).color(seen.palette.text));
        }
        None => {}
    }
}

fn face_ui(ui: &Ui, seen: &Seen<'_>, device: Device, taken: Option<&Taken>, rect: Rect) {
    let value = taken.and_then(|taken| Some(taken.shown.as_ref().ok()?.value));
    show_face(ui, seen, device, value, rect);
    let response = ui.interact(rect, ids::face(device), Sense::HOVER);
    let words = value.map_or_else(|| t!("instruments-nothing-yet").to_owned(), |value| said(device, value));
    response
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, t!("instruments-shows", device = device.name(), words)));
    // Read out as it changes, whatever changed it.
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_live(egui::accesskit::Live::Polite));
}

/// Draws an instrument's face with a value, or with none yet.
pub fn show_face(ui: &Ui, seen: &Seen<'_>, device: Device, value: Option<Value>, rect: Rect) {
    let dial = seen.desk.instruments.dial;
    let (measures, unit) = match device {
        Device::Meter => (format!("{}: {}", device.name(), dial.name().to_lowercase()), dial.symbol()),
        Device::Clamp => (t!("instruments-amps", device = device.name()), "A"),
        Device::Lamp => {
            let glow: Option<Glow> = value.and_then(|value| match value {
                Value::Lamp(glow) => Some(glow),
                Value::Volts(_) | Value::Ohms(_) | Value::Amps(_) | Value::Psi(_) | Value::Fan(_) => None,
            });
            bulb::bulb(ui.painter(), rect, glow, device.name(), &seen.palette);
            return;
        }
    };
    let readout = value.and_then(|value| Readout::of(device, value)).unwrap_or_else(|| Readout::blank(unit));
    display::display(ui.painter(), rect, &readout, &measures, &seen.palette);
}

/// What there is to know before a reading is believed.
pub fn notes_ui(ui: &mut Ui, seen: &Seen<'_>, shown: &Shown) {
    for note in &shown.notes {
        ui.label(RichText::new(worded(note)).font(theme::plain(12.5)).color(seen.palette.text));
    }
}

/// What an instrument makes the circuit do while it is on, in the form of a hazard; nothing where it does nothing.
/// Yields the term of the trade that was pressed in it.
pub fn disturbs_ui(ui: &mut Ui, seen: &Seen<'_>, device: Device, shown: &Shown) -> Option<usize> {
    let level = shown.disturbs?;
    let at = t!("instruments-while-the-is-on", to_lowercase = device.name().to_lowercase());
    let text = t!("instruments-chain-drawing-and-gauges-show", notes = Words::joined(shown.notes.iter().cloned(), " "));
    signal::box_ui(ui, ui.scope_id().with(("disturbs", device.name())), (level, &at, &text), &seen.palette)
}

/// Where it is, each lead to be taken in hand, and its way off.
fn on_ui(ui: &mut Ui, seen: &Seen<'_>, device: Device, commands: &mut Commands) {
    let now = seen.desk.instruments.as_on(seen.bench);
    if now.goes_on_wires(device) {
        let words = match (device, now.wire(device)) {
            (_, None) => t!("instruments-on-no-wire").to_owned(),
            (Device::Clamp, Some(wire)) => t!("instruments-around", wire),
            (Device::Meter | Device::Lamp, Some(wire)) => t!("instruments-in-line-with", wire),
        };
        ui.label(RichText::new(words).color(seen.palette.text));
    } else {
        for pole in Pole::BOTH {
            lead_ui(ui, seen, (device, pole), commands);
        }
    }
    if let (Some(hunt), Some(_), Some(reading)) = (seen.hunt, seen.eyes, now.reading(device)) {
        let took = minutes(hunt.minutes_to_read(&reading));
        let button = ui.add(Button::new(t!("instruments-read", took)));
        if button.accessible_name(t!("instruments-read-the", to_lowercase = device.name().to_lowercase())).clicked() {
            commands.push(Command::Hunt(HuntStep::Read(device)));
        }
    }
    let name = t!("instruments-take-the-off", to_lowercase = device.name().to_lowercase());
    if ui.add_enabled(now.is_on(device), Button::new(t!("instruments-take-off"))).accessible_name(name).clicked() {
        commands.push(Command::Handle(device, Handling::Off));
    }
}

fn lead_ui(ui: &mut Ui, seen: &Seen<'_>, (device, pole): (Device, Pole), commands: &mut Commands) {
    let now = seen.desk.instruments.as_on(seen.bench);
    let in_hand = seen.desk.tool == Tool::Instrument(device) && now.pole(device) == pole;
    let on =
        now.lead(device, pole).map_or_else(|| t!("instruments-free").to_owned(), |point| t!("instruments-on", point));
    let name = pole.name(device);
    let short = match now.lead(device, pole) {
        Some(point) => format!("{} {point}", pole.sign(device)),
        None => t!("instruments-free-2", device = pole.sign(device)),
    };
    let button = ui.add(Button::new(short).selected(in_hand));
    let hint = t!("instruments-take-this-lead-in-hand");
    if button.on_hover_text(hint).accessible_name(t!("instruments-move-the", name, on)).clicked() {
        commands.push(Command::Handle(device, Handling::TakeUp(pole)));
    }
}
