//! The standing safety line.
//!
//! Always in sight, in full: what has to be true before a hand goes near a fan that may start by itself. Behind
//! it stands what the mark on a number of chain, gauges, scales and strips means.

use egui::{Button, Label, RichText, ScrollArea, Ui, vec2};

use crate::circuit::Telling;
use crate::study::wording::{EXAMPLE_NOTE, example_note};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::space::Fold;
use super::super::theme;

/// Size of its letters.
const SIZE: f32 = 11.5;

/// The line.
pub const LINE: &str = "On the truck: parking brake on, wheels blocked. Prove by hand with the engine stopped and the key on; \
                        stand clear of the fan, which may start by itself. Fused leads only, loose ends insulated. Put \
                        everything back and check again. The vehicle maker's procedure, local codes and licensed practice \
                        come first.";

/// Shows the line in a low window: its beginning beside a button that unfolds all of it, up to a height.
pub fn folded_ui(ui: &mut Ui, seen: &Seen<'_>, most: f32, commands: &mut Commands) {
    let out = seen.room.unfolded.cautions;
    if out {
        ScrollArea::vertical()
            .id_salt("cautions")
            .max_height(most)
            .min_scrolled_height(most)
            .show(ui, |ui| safety_ui(ui, seen));
    }
    ui.horizontal(|ui| {
        let button = Button::selectable(out, "Cautions").min_size(vec2(0.0, 22.0));
        if ui.add(button).on_hover_text(LINE).clicked() {
            commands.push(Command::Fold(Fold::Cautions, !out));
        }
        if !out {
            let words = RichText::new(LINE).font(theme::plain(seen.palette.letters(SIZE))).color(seen.palette.text);
            ui.add(Label::new(words).truncate());
        }
    });
}

/// Shows the line.
pub fn safety_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let chain = if seen.eyes.is_some() { &[][..] } else { &seen.verdict.chain[..] };
    let words = chain.iter().flat_map(|link| link.because.iter().chain([&link.number]).map(String::as_str));
    let moving = seen.clock.is_some() && seen.bench.circuit().rests_on_example(Telling::Air);
    let note =
        example_note(words).or(moving.then_some(EXAMPLE_NOTE)).map(|note| format!("  {note}.")).unwrap_or_default();
    let font = theme::plain(seen.palette.letters(SIZE));
    ui.add(Label::new(RichText::new(format!("{LINE}{note}")).font(font).color(seen.palette.text)).wrap());
}
