//! The standing safety line.
//!
//! Always in sight, in full: what has to be true before a hand goes near a fan that may start by itself.

use egui::{Label, RichText, Ui};

use super::super::seen::Seen;
use super::super::theme;

/// The line.
pub const LINE: &str = "On the truck: parking brake on, wheels blocked. Prove by hand with the engine stopped and the key on; \
                        stand clear of the fan, which may start by itself. Fused leads only, loose ends insulated. Put \
                        everything back and check again. The vehicle maker's procedure, local codes and licensed practice \
                        come first.";

/// Shows the line.
pub fn safety_ui(ui: &mut Ui, seen: &Seen<'_>) {
    ui.add(Label::new(RichText::new(LINE).font(theme::plain(11.5)).color(seen.palette.text)).wrap());
}
