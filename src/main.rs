//! The program: a window where there is a display and nothing but a file was named, else the command line.
//!
//! Decides between the two and nothing more. With no display it says so and lets the command line answer for that
//! file, or for the first circuit.

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

/// What long work has done with goes back to the system, and the many small pieces of a drawing are quicker had.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let args: Vec<OsString> = std::env::args_os().collect();
    let start = fanloom::cli::file_to_open(&args);
    if args.len() > 1 && start.is_none() {
        return fanloom::cli::run(args);
    }
    match window(start.clone()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(reason) => fanloom::cli::no_window(&reason, start.as_deref()),
    }
}

#[cfg(feature = "window")]
fn window(start: Option<PathBuf>) -> Result<(), String> {
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    // Other systems have no such variables; there the window system itself says whether there is a display.
    let unix_desktop = cfg!(all(unix, not(target_os = "macos")));
    if unix_desktop && !named("DISPLAY") && !named("WAYLAND_DISPLAY") {
        return Err("there is no display".to_owned());
    }
    fanloom::gui::open(start)
}

#[cfg(not(feature = "window"))]
fn window(_start: Option<PathBuf>) -> Result<(), String> {
    Err("this build has no window".to_owned())
}
