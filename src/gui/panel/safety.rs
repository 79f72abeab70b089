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
use super::super::tongue::{key, plain, t, worded};

/// Size of its letters.
const SIZE: f32 = 11.5;

/// The line.
pub const LINE: &str = key!("safety-on-the-truck-parking-brake");

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
        let button = Button::selectable(out, t!("safety-cautions")).min_size(vec2(0.0, 22.0));
        if ui.add(button).on_hover_text(plain(LINE)).clicked() {
            commands.push(Command::Fold(Fold::Cautions, !out));
        }
        if !out {
            let words =
                RichText::new(plain(LINE)).font(theme::plain(seen.palette.letters(SIZE))).color(seen.palette.text);
            ui.add(Label::new(words).truncate());
        }
    });
}

/// Shows the line.
pub fn safety_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let chain = if seen.eyes.is_some() { &[][..] } else { &seen.verdict.chain[..] };
    let words = chain.iter().flat_map(|link| link.because.iter().chain([&link.number]).map(|words| &**words));
    let moving = seen.clock.is_some() && seen.bench.circuit().rests_on_example(Telling::Air);
    let note = example_note(words)
        .or(moving.then(|| EXAMPLE_NOTE.clone()))
        .map(|note| format!("  {}.", worded(&note)))
        .unwrap_or_default();
    let font = theme::plain(seen.palette.letters(SIZE));
    ui.add(Label::new(RichText::new(format!("{}{note}", plain(LINE))).font(font).color(seen.palette.text)).wrap());
}
