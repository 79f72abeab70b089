//! Two groups of a line, one at each of its ends.
//!
//! Both are shown from left to right, so that the keyboard goes through them as they are read. How wide the second is
//! shows only once it is there: where it is another than the last time, the line is shown again. What stands in the
//! groups is the panel's.

use std::fmt::Debug;
use std::hash::Hash;

use egui::{Align, Layout, Ui, UiBuilder};

/// Difference in width that is none.
const SLACK: f32 = 0.5;

/// Shows `first` at the left and `last` at the right of what is left of a line, both with what they change; `guess` is how
/// wide `last` will be, as far as that is known before.
pub fn ends_ui<T>(
    ui: &mut Ui,
    (salt, guess): (impl Hash + Debug, f32),
    with: &mut T,
    first: impl FnOnce(&mut Ui, &mut T),
    last: impl FnOnce(&mut Ui, &mut T),
) {
    let id = ui.scope_id().with(salt);
    let seen = ui.data(|data| data.get_temp::<(f32, f32)>(id)).filter(|(guessed, _)| *guessed == guess);
    let width = seen.map_or(guess, |(_, width)| width);
    let room = ui.available_rect_before_wrap();
    let from = room.right() - width;
    let line = Layout::left_to_right(Align::Center);
    let before = room.with_max_x((from - ui.spacing().item_spacing.x).max(room.left()));
    ui.scope_builder(UiBuilder::new().id_salt("first").max_rect(before).layout(line), |ui| first(ui, with));
    let builder = UiBuilder::new().id_salt("last").max_rect(room.with_min_x(from)).layout(line);
    let shown = ui.scope_builder(builder, |ui| last(ui, with)).response.rect;
    if (shown.width() - width).abs() > SLACK {
        ui.data_mut(|data| data.insert_temp(id, (guess, shown.width())));
        ui.ctx().request_repaint();
    }
}
