//! The tray along the bottom: hand, jumper lead, lift, and the instruments. Pick up, use, put back.
//!
//! Beside the tools it says what the one in hand does, and the last thing the bench had to say.

use egui::{Align2, Button, Rect, Response, RichText, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::bench::LeadFuse;

use super::super::build::Hold;
use super::super::command::{Command, Commands};
use super::super::filing::FileStep;
use super::super::instrument::{Device, Dial, Handling, Pole};
use super::super::seen::{Desk, Seen};
use super::super::tongue::{key, plain, t};
use super::super::tool::{Tool, ToolKind};
use super::super::widget::{both_ways, glyph};
use super::super::{ids, theme, words};

const TOOLS: [(ToolKind, &str, &str); 6] = [
    (ToolKind::Hand, key!("tray-hand"), "1"),
    (ToolKind::Lead, key!("tray-jumper-lead"), "2"),
    (ToolKind::Lift, key!("tray-lift"), "3"),
    (ToolKind::Meter, key!("tray-meter"), "4"),
    (ToolKind::Lamp, key!("tray-test-lamp"), "5"),
    (ToolKind::Clamp, key!("tray-clamp"), "6"),
];
/// Narrowest and widest place of a tool.
const PLACES: std::ops::RangeInclusive<f32> = 56.0..=86.0;
/// Room from one tool to the next.
const GAP: f32 = 5.0;
/// Room beside the tools for what the one in hand has to be set to, if the tools can spare it.
const BESIDE: f32 = 500.0;
/// The same in a narrow window, and how many lines there are beside the tools.
const NARROW_BESIDE: f32 = 190.0;
const ROWS: usize = 3;
/// Size of what is said in two lines beside the tools.
const SMALLER: f32 = 11.5;
/// Fuses a lead in the tray may have.
const FUSES: [LeadFuse; 4] = [LeadFuse::Usual, LeadFuse::Amps(3.0), LeadFuse::Amps(10.0), LeadFuse::Bare];

/// What is said of a bench that was taken up at the start.
const TAKEN_UP: &str = key!("tray-taken-up-again-where-it");

/// Shows the tray.
pub fn tray_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if seen.room.space.is_narrow {
        ui.spacing_mut().item_spacing.y = 2.0;
        let all = ui.available_width();
        let mut is_beside = false;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            let line = ui.cursor().top();
            for (kind, name, key) in TOOLS.map(|(kind, name, key)| (kind, plain(name), key)) {
                let words = ui.painter().layout_no_wrap(name.to_owned(), theme::plain(theme::BODY), seen.palette.text);
                let place = (words.size().x + 10.0).max(*PLACES.start());
                if tool_ui(ui, seen, (kind, name, key), place).clicked() {
                    commands.push(Command::PickUp(kind));
                }
            }
            anew_ui(ui, seen, commands);
            // What is in hand finds room at the end of the line, or it has lines of its own.
            let room = vec2(all - (ui.cursor().left() - ui.max_rect().left()) - GAP, ui.min_rect().height());
            is_beside = room.x >= NARROW_BESIDE && ui.cursor().top() <= line;
            if is_beside {
                let layout = egui::Layout::top_down(egui::Align::Min);
                ui.allocate_ui_with_layout(room, layout, |ui| beside_ui(ui, seen, commands));
            }
        });
        if !is_beside {
            if seen.desk.tool != Tool::Hand {
                ui.horizontal_wrapped(|ui| hold_ui(ui, seen, commands));
            }
            said_ui(ui, seen);
        }
        return;
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        let place = (ui.available_width() - BESIDE) / TOOLS.len() as f32 - GAP;
        // The longest word is to stand there unshrunk in the letters of a class.
        let place = place.clamp(*PLACES.start(), *PLACES.end()).max(if seen.palette.least > 0.0 { 90.0 } else { 0.0 });
        for (kind, name, key) in TOOLS.map(|(kind, name, key)| (kind, plain(name), key)) {
            if tool_ui(ui, seen, (kind, name, key), place).clicked() {
                commands.push(Command::PickUp(kind));
            }
        }
        ui.add_space(6.0);
        anew_ui(ui, seen, commands);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal_wrapped(|ui| hold_ui(ui, seen, commands));
            said_ui(ui, seen);
        });
    });
}

/// What is in hand and what it has to be set to, at the end of a narrow window's line of tools; with nothing in hand all
/// the room is for what is said.
fn beside_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if seen.desk.tool == Tool::Hand || seen.desk.is_building() {
        rows_ui(ui, RichText::new(said(seen)).color(seen.palette.text), ROWS);
        return;
    }
    ui.horizontal_wrapped(|ui| hold_ui(ui, seen, commands));
    // What the tool does is told beside the pointer as well; what the bench has to say is told here alone.
    if !seen.desk.said.is_empty() {
        said_ui(ui, seen);
    }
}

/// A way back to the beginning, where something was taken up.
fn anew_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if !seen.papers.taken_up {
        return;
    }
    let anew = Button::new(t!("tray-begin-anew")).min_size(vec2(92.0, 50.0));
    let what = t!("tray-puts-what-was-taken-up");
    if ui.add(anew).on_hover_text(what).clicked() {
        commands.push(Command::File(FileStep::BeginAnew));
    }
}

/// The last thing said, or what the tool in hand does: where a line is too short for it, in two of smaller letters, which
/// are no higher than the tools beside them.
fn said_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let words = said(seen);
    let body = egui::TextStyle::Body.resolve(ui.style());
    let length = ui.painter().layout_no_wrap(words.clone(), body, seen.palette.text).size().x;
    let text = RichText::new(words).color(seen.palette.text);
    if length <= ui.available_width() || seen.palette.least > 0.0 {
        ui.add(egui::Label::new(text).truncate());
        return;
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    rows_ui(ui, text.font(theme::plain(SMALLER)), 2);
}

/// Text in so many rows at most; whole where the pointer rests on it.
fn rows_ui(ui: &mut Ui, text: RichText, most: usize) {
    let words = text.text().to_owned();
    let rows =
        egui::text::TextWrapping { max_rows: most, ..egui::text::TextWrapping::wrap_at_width(ui.available_width()) };
    let mut job =
        egui::WidgetText::from(text).into_layout_job(ui.style(), egui::TextStyle::Body.into(), egui::Align::Min);
    std::sync::Arc::make_mut(&mut job).wrap = rows;
    ui.label(job).on_hover_text(words);
}

fn said(seen: &Seen<'_>) -> String {
    match seen.desk.said.as_str() {
        "" if seen.papers.taken_up => plain(TAKEN_UP).to_owned(),
        "" => help(seen.desk),
        said => said.to_owned(),
    }
}

fn tool_ui(ui: &mut Ui, seen: &Seen<'_>, (kind, name, key): (ToolKind, &str, &str), place: f32) -> Response {
    let held = seen.desk.tool.kind() == kind && !seen.desk.is_building();
    // In a low window the place is lower, and the picture in it smaller.
    let (height, half) = if seen.room.space.is_low { (46.0, 10.0) } else { (50.0, 13.0) };
    let (_, rect) = ui.allocate_space(vec2(place, height + 4.0));
    let response = ui.interact(rect, ids::tool(kind), Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, held, name));
    let painter = ui.painter();
    let palette = &seen.palette;
    let (fill, ink) = if held { (palette.chosen, palette.on_chosen) } else { (palette.raised, palette.text) };
    // The tool in hand is lifted out of its place in the tray: the place stays behind as a dashed outline.
    let body = if held { rect.translate(vec2(0.0, -3.0)) } else { rect };
    if held {
        let place = rect.shrink(1.0);
        let round = [place.left_top(), place.right_top(), place.right_bottom(), place.left_bottom(), place.left_top()];
        painter.extend(egui::Shape::dashed_line(&round, Stroke::new(1.2, palette.line), 4.0, 3.0));
    }
    let body = Rect::from_min_size(body.min, vec2(body.width(), height));
    painter.rect_filled(body, 4.0, fill);
    painter.rect_stroke(body, 4.0, Stroke::new(1.5, palette.line), StrokeKind::Inside);
    glyph::tool(painter, kind, pos2(body.center().x, body.top() + half + 5.0), half, ink);
    let full = palette.letters(12.5);
    let galley = painter.layout_no_wrap(name.to_owned(), theme::plain(full), ink);
    let size = full * ((place - 5.0) / galley.size().x).min(1.0);
    painter.text(pos2(body.center().x, body.bottom() - 10.0), Align2::CENTER_CENTER, name, theme::plain(size), ink);
    painter.text(body.left_top() + vec2(6.0, 4.0), Align2::LEFT_TOP, key, theme::plain(palette.letters(10.5)), ink);
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        painter.rect_stroke(body.expand(1.5), 5.0, Stroke::new(weight, palette.focus), StrokeKind::Outside);
    }
    response
}

fn hold_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let palette = &seen.palette;
    if seen.desk.is_building() {
        let words = t!("tray-building-the-circuit");
        ui.label(RichText::new(words).font(theme::bold(13.5)).color(palette.text));
        return;
    }
    match &seen.desk.tool {
        Tool::Hand => {
            ui.label(RichText::new(t!("tray-nothing-in-hand")).font(theme::bold(13.5)).color(palette.text));
        }
        Tool::Lead { first } => {
            let on = first.as_ref().map_or_else(String::new, |point| t!("tray-on", point));
            ui.label(RichText::new(t!("tray-jumper-lead-2", on)).font(theme::bold(13.5)).color(palette.text));
            for fuse in FUSES {
                let chosen = seen.desk.fuse == fuse;
                let short = fuse.amps().map_or_else(|| t!("tray-no-fuse").to_owned(), |amps| format!("{amps} A"));
                let button = ui
                    .add(Button::selectable(chosen, short).min_size(both_ways(ui.ctx())))
                    .on_hover_text(t!("tray-fuse-in-the-lead"));
                if button.accessible_name(words::lead_fuse(fuse)).clicked() {
                    commands.push(Command::FuseLead(fuse));
                }
            }
        }
        Tool::Lift => {
            ui.label(RichText::new(t!("tray-lift-in-hand")).font(theme::bold(13.5)).color(palette.text));
        }
        Tool::Instrument(device) => {
            ui.label(RichText::new(device.name()).font(theme::bold(13.5)).color(palette.text));
            if *device == Device::Meter {
                for dial in Dial::ALL {
                    let chosen = seen.desk.instruments.dial == dial;
                    let button = ui.add(Button::selectable(chosen, dial.short()).min_size(both_ways(ui.ctx())));
                    if button.on_hover_text(dial.about()).accessible_name(dial.name()).clicked() {
                        commands.push(Command::Handle(*device, Handling::Dial(dial)));
                    }
                }
            }
        }
    }
    if seen.desk.tool != Tool::Hand && ui.button(t!("tray-put-it-back")).on_hover_text(t!("tray-esc")).clicked() {
        commands.push(Command::PutToolBack);
    }
}

/// What the tool in hand does.
fn help(desk: &Desk) -> String {
    if desk.is_building() {
        return match &desk.building.hold {
            Hold::Nothing => t!("tray-click-a-part-wire-or"),
            Hold::Wire(_) | Hold::End(..) => t!("tray-click-the-terminal-it-goes"),
            Hold::Part(..) => t!("tray-click-where-it-is-to"),
        }
        .to_owned();
    }
    match &desk.tool {
        Tool::Hand => t!("tray-click-a-switch-to-turn"),
        Tool::Lead { first: None } => t!("tray-click-a-terminal-for-the"),
        Tool::Lead { first: Some(_) } => {
            t!("tray-point-at-another-terminal-to")
        }
        Tool::Lift => {
            t!("tray-click-a-wires-end-to")
        }
        Tool::Instrument(Device::Clamp) => t!("tray-point-at-a-wire-to"),
        Tool::Instrument(device) if desk.instruments.goes_on_wires(*device) => {
            t!("tray-point-at-a-wire-to-2")
        }
        Tool::Instrument(device) => match Pole::BOTH.map(|pole| desk.instruments.lead(*device, pole).is_some()) {
            [false, false] => t!("tray-click-a-terminal-or-a"),
            [true, true] => t!("tray-point-elsewhere-to-read-there"),
            [true, false] | [false, true] => t!("tray-point-at-another-terminal-to-2"),
        },
    }
    .to_owned()
}
