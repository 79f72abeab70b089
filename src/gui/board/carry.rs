//! A part in hand over the drawing: taken by a drag or from its acts, moved by pointer or arrow keys, put down by a click or
//! Enter.
//!
//! Pushes [`BuildStep`]s and paints where it would stand. Where that is on the page is the layout's; what becomes of it
//! is [`build`](super::super::build)'s.

use egui::{Event, EventFilter, PointerButton, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, vec2};

use crate::circuit::{At, PartId};
use crate::study::answer::Subject;

use super::super::build::{BuildStep, Hold, NUDGE};
use super::super::command::{Command, Commands};
use super::super::ids;
use super::super::seen::Seen;
use super::super::shortcuts;
use super::geometry::Sheet;
use super::view::View;

/// Begins a drag of the part under the pointer; whether the pointer drags a part, and not the sheet.
pub fn drags(
    ui: &Ui,
    seen: &Seen<'_>,
    (board, view, sheet): (Rect, &View, &Sheet),
    under: &egui::Response,
    commands: &mut Commands,
) -> bool {
    if !seen.desk.is_building() {
        return false;
    }
    let origin = ui.input(|input| input.pointer.press_origin());
    if under.drag_started_by(PointerButton::Primary)
        && seen.desk.building.hold == Hold::Nothing
        && let Some(part) = origin.and_then(|at| part_under(board, view, sheet, at))
    {
        let tag = seen.bench.circuit().part(part).tag.clone();
        commands.push(Command::Build(BuildStep::PickUp(tag)));
        return true;
    }
    let Hold::Part(tag, now) = &seen.desk.building.hold else { return false };
    let dragged = under.dragged_by(PointerButton::Primary);
    if (dragged || under.drag_stopped_by(PointerButton::Primary))
        && let Some(at) = ui.input(|input| input.pointer.interact_pos())
    {
        let from = seen.bench.circuit().part_named(tag).and_then(|id| seen.layout.place_of(id));
        // Held where it was taken; once let go of, it is where it was held last.
        if let (Some(from), Some(taken)) = (from, origin) {
            let off = at - taken;
            let stood = seen.layout.point_at(from);
            let over = seen.layout.at(stood.x + off.x / view.zoom(), stood.y + off.y / view.zoom());
            if over != *now {
                commands.push(Command::Build(BuildStep::Over(over)));
            }
        }
        if under.drag_stopped_by(PointerButton::Primary) {
            commands.push(Command::Build(BuildStep::PutDown));
        }
    }
    dragged
}

fn part_under(board: Rect, view: &View, sheet: &Sheet, at: Pos2) -> Option<PartId> {
    let page = view.page_from_screen(board, at);
    match sheet.hit(super::super::tool::Aim::Things, page.x, page.y, (0.0, 0.0)) {
        Some(Subject::Part(part)) => Some(part),
        _ => None,
    }
}

/// A click puts the part in hand down there; arrow keys move it, Enter puts it down.
pub fn carried(
    ui: &Ui,
    seen: &Seen<'_>,
    (board, view, sheet): (Rect, &View, &Sheet),
    clicked: bool,
    commands: &mut Commands,
) {
    let Hold::Part(tag, at) = &seen.desk.building.hold else { return };
    let Some(id) = seen.bench.circuit().part_named(tag) else { return };
    keys(ui, ids::subject(seen.number, Subject::Part(id)), *at, commands);
    if clicked && let Some(pointer) = ui.input(|input| input.pointer.interact_pos()) {
        commands.push(Command::Build(BuildStep::Over(over(seen, (board, view, sheet), id, pointer))));
        commands.push(Command::Build(BuildStep::PutDown));
        return;
    }
    // A pointer that moves takes it along; one that rests leaves it to the keys.
    let moved = ui.input(|input| input.events.iter().any(|event| matches!(event, Event::PointerMoved(_))));
    let pointer = ui.input(|input| input.pointer.hover_pos()).filter(|at| board.contains(*at));
    if let Some(pointer) = pointer.filter(|_| moved && !ui.input(|input| input.pointer.any_down())) {
        let over = over(seen, (board, view, sheet), id, pointer);
        if over != *at {
            commands.push(Command::Build(BuildStep::Over(over)));
        }
    }
}

fn keys(ui: &Ui, widget: egui::Id, at: At, commands: &mut Commands) {
    ui.memory_mut(|memory| {
        if !memory.has_focus(widget) && memory.focused().is_none_or(|focused| focused != widget) {
            memory.request_focus(widget);
        }
        // Else the arrows would go to the next thing.
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        memory.set_focus_lock_filter(widget, filter);
    });
    let (right, down) = ui.input_mut(shortcuts::shifts);
    let over = at.moved(right * NUDGE, down * NUDGE);
    if over != at {
        commands.push(Command::Build(BuildStep::Over(over)));
    }
}

/// The place at which the middle of a part's symbol is under the pointer.
fn over(seen: &Seen<'_>, (board, view, sheet): (Rect, &View, &Sheet), id: PartId, pointer: Pos2) -> At {
    let page = view.page_from_screen(board, pointer);
    let stood = seen.layout.place_of(id).map(|at| seen.layout.point_at(at));
    let middle = sheet.place(Subject::Part(id)).map(|place| place.target.centre());
    match (stood, middle) {
        (Some(stood), Some(middle)) => seen.layout.at(page.x + stood.x - middle.x, page.y + stood.y - middle.y),
        _ => seen.layout.at(page.x, page.y),
    }
}

/// Where the part in hand would stand: its outline dashed, and a line from where it stands.
pub fn ghost(ui: &Ui, seen: &Seen<'_>, (board, view, sheet): (Rect, &View, &Sheet)) {
    let Hold::Part(tag, at) = &seen.desk.building.hold else { return };
    let Some(id) = seen.bench.circuit().part_named(tag) else { return };
    let (Some(from), Some(place)) = (seen.layout.place_of(id), sheet.place(Subject::Part(id))) else { return };
    let (stood, there) = (seen.layout.point_at(from), seen.layout.point_at(*at));
    let target = &place.target;
    let corner = |x: f32, y: f32| view.screen_from_page(board, x, y);
    let now = Rect::from_two_pos(corner(target.x, target.y), corner(target.x + target.width, target.y + target.height));
    let rect = now.translate(vec2(there.x - stood.x, there.y - stood.y) * view.zoom());
    let painter = ui.painter();
    let stroke = Stroke::new(2.5, seen.palette.focus);
    painter.rect_stroke(now, 3.0, Stroke::new(1.0, seen.palette.focus), StrokeKind::Outside);
    painter.rect_filled(rect, 3.0, seen.palette.sheet.gamma_multiply(0.7));
    let round = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    painter.extend(Shape::dashed_line(&round, stroke, 8.0, 5.0));
    painter.line_segment([now.center(), rect.center()], Stroke::new(1.0, seen.palette.focus));
    let ink = seen.palette.text;
    painter.text(rect.center(), egui::Align2::CENTER_CENTER, tag, super::super::theme::bold(13.5), ink);
}
