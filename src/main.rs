//! The program: a window where there is a display and nothing else was asked, else the command line.
//!
//! Decides between the two and nothing more. With no display it says so and lets the command line answer for the
//! first circuit.

use std::process::ExitCode;

fn main() -> ExitCode {
    if std::env::args_os().len() > 1 {
        return fanloom::cli::run(std::env::args_os());
    }
    match window() {
        Ok(()) => ExitCode::SUCCESS,
        Err(reason) => fanloom::cli::no_window(&reason),
    }
}

#[cfg(feature = "window")]
fn window() -> Result<(), String> {
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    // Other systems have no such variables; there the window system itself says whether there is a display.
    let unix_desktop = cfg!(all(unix, not(target_os = "macos")));
    if unix_desktop && !named("DISPLAY") && !named("WAYLAND_DISPLAY") {
        return Err("there is no display".to_owned());
    }
    fanloom::gui::open(None)
}

#[cfg(not(feature = "window"))]
fn window() -> Result<(), String> {
    Err("this build has no window".to_owned())
}
