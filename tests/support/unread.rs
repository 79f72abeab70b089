//! The window as most have it, with nothing that reads it out: frame by frame, with what is put in, and no harness.
//! What is done with it is left to the tests.

use eframe::App as _;
use eframe::egui::{Context, Event, FullOutput, Modifiers, PointerButton, Pos2, RawInput, Rect, Vec2, vec2};
use egui_kittest::Harness;

use fanloom::gui::App;

/// Size of the window in points.
pub(crate) const SIZE: Vec2 = vec2(1280.0, 800.0);

/// The window and the time that its frames are at.
pub(crate) struct Unread {
    pub(crate) ctx: Context,
    pub(crate) app: App,
    frame: eframe::Frame,
    at_s: f64,
}

impl Unread {
    /// A window that has come to rest on its harness.
    pub(crate) fn of(window: Harness<'static, App>) -> Self {
        let ctx = window.ctx.clone();
        ctx.disable_accesskit();
        Self { ctx, app: window.into_state(), frame: eframe::Frame::_new_kittest(), at_s: 100.0 }
    }

    /// The next frame, a sixtieth of a second later.
    pub(crate) fn pass(&mut self, events: &[Event]) -> FullOutput {
        self.at_s += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.at_s),
            predicted_dt: 1.0 / 60.0,
            events: events.to_vec(),
            ..RawInput::default()
        };
        let (app, frame) = (&mut self.app, &mut self.frame);
        self.ctx.run_ui(input, |ui| app.ui(ui, frame))
    }
}

/// The main button going down or up somewhere.
pub(crate) fn button(pos: Pos2, pressed: bool) -> Event {
    Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE }
}
