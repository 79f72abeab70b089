//! The window: one bench, laid out from the job.
//!
//! The chain across the top, the drawing in the middle, conditions at the side, the tray along the bottom, the ledger
//! above it. [`open`] runs it until it is closed. Panels read [`seen::Seen`] and push [`command::Command`]s, which
//! [`apply`] carries out at the end of a frame; the picture comes from the drawing layer, the answers from the study.

pub mod amount;
pub mod app;
pub mod apply;
pub mod background;
pub mod bay;
pub mod board;
pub mod build;
pub mod choosing;
pub mod clock;
pub mod command;
pub mod condition;
pub mod demonstrating;
pub mod desktop;
pub mod dress;
pub mod files;
pub mod filing;
pub mod finding;
mod follow;
pub mod hunting;
pub mod ids;
pub mod instrument;
pub mod keeping;
pub mod kept;
mod loading;
pub mod panel;
pub mod papers;
mod placing;
pub mod readout;
pub mod row;
pub mod samples;
pub mod seen;
pub mod session;
pub mod shortcuts;
pub mod showing;
pub mod space;
mod steps;
pub mod stride;
pub mod studies;
pub mod theme;
mod together;
pub mod tongue;
pub mod tool;
pub mod watch;
pub mod widget;
pub mod words;

use std::path::PathBuf;

pub use app::App;
use desktop::Desktop;

/// Environment variable that makes the window say on stderr how soon its first frame was on screen.
pub const FIRST_FRAME: &str = "FANLOOM_FIRST_FRAME";

/// Opens the window and runs it until it is closed. `start` is a circuit file to put on the bench.
///
/// # Errors
/// Why no window could be opened.
#[expect(clippy::disallowed_methods, reason = "only measures how soon the window is there; no answer depends on it")]
pub fn open(start: Option<PathBuf>) -> Result<(), String> {
    let began = std::time::Instant::now();
    let mut viewport = egui::ViewportBuilder::default()
        .with_title("Fanloom")
        .with_app_id("fanloom")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([720.0, 520.0]);
    if let Some(icon) = theme::icon() {
        viewport = viewport.with_icon(icon);
    }
    let options = eframe::NativeOptions { viewport, ..Default::default() };
    let create: eframe::AppCreator<'_> = Box::new(move |context| {
        setup(&context.egui_ctx);
        let desktop = Desktop::ask();
        tongue::speak(desktop.language);
        let app = App::on_desktop(&context.egui_ctx, files::state_folder().as_deref(), start, desktop);
        let report = std::env::var_os(FIRST_FRAME).is_some();
        Ok(Box::new(if report { app.reporting_first_frame(began) } else { app }))
    });
    eframe::run_native("Fanloom", options, create).map_err(|error| error.to_string())
}

/// Installs faces, colours and spacing; the window and its tests both start with it.
pub fn setup(ctx: &egui::Context) {
    theme::install(ctx);
}
