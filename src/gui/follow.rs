//! Brings into sight what the keyboard has come to, and frames it.
//!
//! A list that is scrolled shows only a part of what the keyboard goes through. Yields [`Follow`], which asks for the
//! rest as a screen reader would; what is in sight already stays where it is. The sheet follows by itself, in
//! [`board`](super::board).

use egui::accesskit::{Action, ActionRequest, TreeId};
use egui::{Color32, Context, Event, Id, LayerId, Rect, Response, Stroke, StrokeKind};

use super::ids;
use super::seen::Drawer;

/// Points that may be out of sight all the same: strokes.
const SLACK: f32 = 2.0;

/// Follows the keyboard.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Follow {
    /// What the keyboard is at.
    at: Option<Id>,
    /// A key came to it.
    by_key: bool,
    /// A key is pressed in this frame, also one that is obeyed already, and one was in the frame before.
    is_pressed: bool,
    was_pressed: bool,
    /// What is to be brought into sight with the next frame.
    wanted: Option<Id>,
}

impl Follow {
    /// Frames what is being typed in, and what a key has come to and does not frame itself as plainly. The sheet marks its
    /// own.
    pub(super) fn frame(&self, ctx: &Context, sheet: Rect, ink: Color32) {
        if !self.by_key && !ctx.text_edit_focused() {
            return;
        }
        let Some(place) = ctx.memory(|memory| memory.focused()).and_then(|id| ctx.read_response(id)) else { return };
        // A dialog lies over the sheet and is none of its own.
        let is_on_sheet = place.layer_id == LayerId::background() && sheet.contains_rect(place.interact_rect);
        if is_on_sheet || place.interact_rect.area() <= 0.0 {
            return;
        }
        let painter = ctx.layer_painter(place.layer_id);
        painter.rect_stroke(place.interact_rect.expand(1.0), 3.0, Stroke::new(2.5, ink), StrokeKind::Outside);
    }

    /// Sees what the keyboard has come to, once everything is shown; `drawer` is out.
    pub(super) fn keyboard(&mut self, ctx: &Context, drawer: Option<Drawer>) {
        let now = ctx.memory(|memory| memory.focused());
        if now == self.at {
            return;
        }
        let is_let_go =
            self.is_pressed || ctx.input(|input| input.pointer.any_pressed() || input.pointer.any_released());
        if now.is_none() && self.by_key && !is_let_go && drawer.is_some() {
            // What the keyboard was at is there no more: it goes on from the head of the drawer.
            ctx.memory_mut(|memory| memory.request_focus(ids::drawer_head()));
            ctx.request_repaint();
        }
        self.at = now;
        // What a finger or the pointer has come to was in sight. Arrow keys come to a thing with the frame after.
        self.by_key = self.is_pressed || self.was_pressed;
        if !self.by_key {
            return;
        }
        let place = now.and_then(|id| ctx.read_response(id));
        let is_hidden = |place: &Response| !place.interact_rect.expand(SLACK).contains_rect(place.rect);
        self.wanted = place.filter(is_hidden).map(|place| place.id);
        if self.wanted.is_some() {
            ctx.request_repaint();
        }
    }

    /// Has the keyboard go on in a drawer that a key has pulled out.
    pub(super) fn pulled(&self, ctx: &Context, before: Option<Drawer>, now: Option<Drawer>) {
        if self.is_pressed && now.is_some() && now != before {
            ctx.memory_mut(|memory| memory.request_focus(ids::drawer_head()));
        }
    }

    /// Asks for it to be brought into sight, before anything is shown.
    pub(super) fn ask(&mut self, ctx: &Context) {
        let is_key = |event: &Event| matches!(event, Event::Key { pressed: true, .. });
        self.was_pressed = self.is_pressed;
        self.is_pressed = ctx.input(|input| input.events.iter().any(is_key));
        let Some(id) = self.wanted.take() else { return };
        let into_sight = ActionRequest {
            action: Action::ScrollIntoView,
            target_node: id.accesskit_id(),
            target_tree: TreeId::ROOT,
            data: None,
        };
        ctx.input_mut(|input| input.events.push(Event::AccessKitActionRequest(into_sight)));
        // Where it is then is shown by the frame after this.
        ctx.request_repaint();
    }
}
