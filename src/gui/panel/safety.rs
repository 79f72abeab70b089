//! The standing safety line.
//!
//! Always in sight, in full: what has to be true before a hand goes near a fan that may start by itself. Behind
//! it stands what the mark on a number of chain, gauges, scales and strips means.

use egui::{Label, RichText, Ui};

use crate::circuit::Telling;
use crate::study::wording::{EXAMPLE_NOTE, example_note};

use super::super::seen::Seen;
use super::super::theme;

/// The line.
pub const LINE: &str = "On the truck: parking brake on, wheels blocked. Prove by hand with the engine stopped and the key on; \
                        stand clear of the fan, which may start by itself. Fused leads only, loose ends insulated. Put \
                        everything back and check again. The vehicle maker's procedure, local codes and licensed practice \
                        come first.";

/// Shows the line.
pub fn safety_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let chain = if seen.eyes.is_some() { &[][..] } else { &seen.verdict.chain[..] };
    let words = chain.iter().flat_map(|link| link.because.iter().chain([&link.number]).map(String::as_str));
    let moving = seen.clock.is_some() && seen.bench.circuit().rests_on_example(Telling::Air);
    let note =
        example_note(words).or(moving.then_some(EXAMPLE_NOTE)).map(|note| format!("  {note}.")).unwrap_or_default();
    ui.add(Label::new(RichText::new(format!("{LINE}{note}")).font(theme::plain(11.5)).color(seen.palette.text)).wrap());
}
