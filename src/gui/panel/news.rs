//! The band that tells of a file on the bench which another has written or taken away, with what can be done about it,
//! and the one that tells that what is done is not kept against a crash.
//!
//! Shown until it is answered, or as long as it is so. Reading and writing are left to [`filing`](super::super::filing).

use egui::{Button, Label, RichText, Ui, vec2};

use super::super::command::{Command, Commands};
use super::super::dress::FINGER;
use super::super::filing::FileStep;
use super::super::seen::Seen;
use super::super::tongue::t;
use super::super::watch::{Holds, News};

/// Whether there is anything to tell.
pub fn is_any(seen: &Seen<'_>) -> bool {
    seen.papers.news.is_some() || seen.filing.unkept.is_some()
}

/// Shows what there is to tell.
pub fn told_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if let Some(why) = &seen.filing.unkept {
        let words = RichText::new(t!("keeping-what-you-do-is-not", why)).color(seen.palette.text);
        let told = ui.add(Label::new(words).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(egui::accesskit::Live::Polite));
    }
    news_ui(ui, seen, commands);
}

fn news_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(News { path, holds, is_gone }) = &seen.papers.news else { return };
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    let what = match holds {
        Holds::Circuit => t!("news-the-circuit-here"),
        Holds::Session => t!("news-the-session-here"),
        Holds::Demonstration => t!("news-the-demonstration-here"),
    };
    let words = if *is_gone {
        t!("news-is-no-longer-there-what", name, what)
    } else {
        t!("news-another-program-has-changed", name, what)
    };
    ui.horizontal_wrapped(|ui| {
        let (again, step) = if *is_gone {
            (t!("news-save-it-there-again"), FileStep::SaveOver(*holds, path.clone()))
        } else {
            (t!("news-read-it-again"), FileStep::ReadAgain)
        };
        for (words, step) in [(again, step), (t!("news-keep-what-is-here"), FileStep::KeepHere)] {
            if ui.add(Button::new(words).min_size(vec2(0.0, FINGER))).clicked() {
                commands.push(Command::File(step));
            }
        }
        ui.add(Label::new(RichText::new(words).color(seen.palette.text)).wrap())
            .on_hover_text(path.display().to_string());
    });
}
