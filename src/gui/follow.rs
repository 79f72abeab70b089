//! Brings into sight what the keyboard has come to.
//!
//! A list that is scrolled shows only a part of what the keyboard goes through. Yields [`Follow`], which asks for the
//! rest as a screen reader would; what is in sight already stays where it is. The sheet follows by itself, in
//! [`board`](super::board).

use egui::accesskit::{Action, ActionRequest, TreeId};
use egui::{Context, Event, Id, Response};

/// Points that may be out of sight all the same: strokes.
const SLACK: f32 = 2.0;

/// Follows the keyboard.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Follow {
    /// What the keyboard is at.
    at: Option<Id>,
    /// What is to be brought into sight with the next frame.
    wanted: Option<Id>,
}

impl Follow {
    /// Sees what the keyboard has come to, once everything is shown.
    pub(super) fn keyboard(&mut self, ctx: &Context) {
        let now = ctx.memory(|memory| memory.focused());
        if now == self.at {
            return;
        }
        self.at = now;
        // What a finger or the pointer has come to was in sight.
        let by_key = |event: &Event| matches!(event, Event::Key { pressed: true, .. });
        if !ctx.input(|input| input.events.iter().any(by_key)) {
            return;
        }
        let place = now.and_then(|id| ctx.read_response(id));
        let is_hidden = |place: &Response| !place.interact_rect.expand(SLACK).contains_rect(place.rect);
        self.wanted = place.filter(is_hidden).map(|place| place.id);
        if self.wanted.is_some() {
            ctx.request_repaint();
        }
    }

    /// Asks for it to be brought into sight, before anything is shown.
    pub(super) fn ask(&mut self, ctx: &Context) {
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
