//! The dialog of keys: every key the window obeys, grouped by what one does with it.
//!
//! Lists [`BINDINGS`], by which the window itself goes; knows no key of its own. What is done by dragging and with the
//! wheel is told below.

use egui::{Label, RichText, ScrollArea, Ui, vec2};

use super::super::command::Commands;
use super::super::seen::Seen;
use super::super::shortcuts::{BINDINGS, Binding, Group, words};
use super::super::theme;
use super::super::tongue::{plain, t};
use super::dialogs::{close_ui, heading};

/// Room for the keys before what they do, as a share of the width and in points.
const KEYS: (f32, f32) = (0.36, 190.0);

/// Shows the dialog's inside.
pub fn keys_ui(ui: &mut Ui, seen: &Seen<'_>, height: f32, commands: &mut Commands) {
    heading(ui, seen, t!("keys-keys"));
    let list = ScrollArea::vertical().id_salt("keys").max_height((height - 90.0).max(80.0));
    list.auto_shrink([false, true]).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        ui.spacing_mut().item_spacing.y = 3.0;
        for group in Group::ALL {
            ui.add_space(4.0);
            ui.label(RichText::new(group.word()).font(theme::bold(14.0)).color(seen.palette.text));
            for binding in BINDINGS.iter().filter(|binding| binding.group == group) {
                line_ui(ui, seen, binding);
            }
        }
        ui.add_space(8.0);
        ui.label(RichText::new(t!("keys-pointer-and-wheel")).color(seen.palette.text));
    });
    close_ui(ui, commands);
}

/// The keys of a binding in words.
pub fn keys_of(binding: &Binding) -> String {
    binding.keys.iter().map(words).collect::<Vec<_>>().join(t!("keys-or"))
}

fn line_ui(ui: &mut Ui, seen: &Seen<'_>, binding: &Binding) {
    let width = (ui.available_width() * KEYS.0).min(KEYS.1);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(vec2(width, 0.0), |ui| {
            ui.set_width(width);
            ui.add(
                Label::new(RichText::new(keys_of(binding)).font(theme::bold(theme::BODY)).color(seen.palette.text))
                    .wrap(),
            );
        });
        ui.add(Label::new(RichText::new(plain(binding.says)).color(seen.palette.text)).wrap());
    });
}
