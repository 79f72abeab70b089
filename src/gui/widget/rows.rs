//! Many rows of one height, of which only those in sight are made.
//!
//! Where a panel is scrolled as a whole the rows are part of it, for a list scrolled within it would be out of the
//! keyboard's reach. What stands in a row is the panel's.

use egui::{ScrollArea, Ui};

/// Rows beyond what is in sight that are there all the same, so that the keyboard goes on to them.
const BEYOND: f32 = 2.0;

/// Shows `count` rows of height `row`: in a list of their own, at most `most` high, or in the panel, which is scrolled.
pub fn rows_ui(
    ui: &mut Ui,
    is_part_of_panel: bool,
    (name, shrinks): (&str, bool),
    (row, count, most): (f32, usize, f32),
    mut show: impl FnMut(&mut Ui, usize),
) {
    if !is_part_of_panel {
        let list = ScrollArea::vertical().id_salt(name).max_height(most).auto_shrink([false, shrinks]);
        list.show_rows(ui, row, count, |ui, shown| shown.for_each(|at| show(ui, at)));
        return;
    }
    let step = row + ui.spacing().item_spacing.y;
    let (top, sight) = (ui.cursor().top(), ui.clip_rect());
    let first = ((sight.top() - top) / step).floor() - BEYOND;
    let end = ((sight.bottom() - top) / step).ceil() + BEYOND;
    // What lies above the first row or below the last is no row.
    let first = (first.max(0.0) as usize).min(count);
    let end = (end.max(0.0) as usize).clamp(first, count);
    ui.add_space(first as f32 * step);
    (first..end).for_each(|at| show(ui, at));
    ui.add_space((count - end) as f32 * step);
}
