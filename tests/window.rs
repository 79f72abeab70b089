//! The built program in a real window: how soon it is there, that it rests when nobody touches it, that it shows
//! something, and that it comes back after a kill.
//!
//! Needs a display (an Xvfb will do), `xdotool` and ImageMagick, so it runs only when asked for:
//! `cargo test --test window -- --ignored`. Read from `/proc`, so on Linux only.
#![cfg(all(feature = "window", target_os = "linux"))]

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fanloom::gui::kept::Left;
use fanloom::gui::seen::Drawer;

struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        // The process may have ended by itself; there is nothing to do about that here.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[expect(clippy::disallowed_methods, reason = "how long the start takes is what is tested")]
fn start(state: &Path, args: &[&str]) -> (Running, u64) {
    assert!(std::env::var_os("DISPLAY").is_some(), "start an X server and set DISPLAY");
    let began = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env(fanloom::gui::FIRST_FRAME, "1")
        .env("XDG_STATE_HOME", state)
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let stderr = child.stderr.take().expect("stderr is piped");
    let running = Running(child);
    let mut own = None;
    for line in BufReader::new(stderr).lines() {
        let line = line.expect("stderr is text");
        if let Some(rest) = line.strip_prefix("first frame after ") {
            own = rest.strip_suffix(" ms").and_then(|ms| ms.parse().ok());
            break;
        }
        eprintln!("{line}");
    }
    let own: u64 = own.expect("the program says how soon its first frame was there");
    eprintln!("first frame: {own} ms by the program, {} ms from outside", began.elapsed().as_millis());
    (running, own)
}

/// Processor time used so far, in ticks of a hundredth of a second.
fn ticks(process: u32) -> u64 {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).expect("the process runs");
    // Fields are counted after the command's closing bracket, since the command may hold blanks.
    let fields: Vec<&str> = stat.rsplit(')').next().unwrap_or_default().split_whitespace().collect();
    [11, 12].iter().map(|i| fields[*i].parse::<u64>().expect("a number")).sum()
}

/// What X calls the window of a process.
fn window_of(process: u32) -> String {
    let found = Command::new("xdotool")
        .args(["search", "--sync", "--onlyvisible", "--pid", &process.to_string()])
        .output()
        .expect("xdotool runs");
    String::from_utf8_lossy(&found.stdout).lines().next().map(str::to_owned).expect("a window is there")
}

fn press(window: &str, keys: &[&str]) {
    let done = Command::new("xdotool").args(["windowfocus", "--sync", window, "key"]).args(keys).status();
    assert!(done.expect("xdotool runs").success());
}

/// How a window was left, once it is as wanted.
fn left(state: &Path, wanted: impl Fn(&Left) -> bool) -> Left {
    let file = state.join("fanloom/window-1.ron");
    for _ in 0..200 {
        if let Ok(text) = std::fs::read_to_string(&file) {
            let left = Left::read(&text).unwrap_or_else(|why| panic!("a whole file at every moment: {why:?}"));
            if wanted(&left) {
                return left;
            }
        }
        std::thread::sleep(Duration::from_millis(25));
    }
    panic!("nothing of the kind was kept");
}

#[test]
#[ignore = "needs a display and xdotool"]
fn a_window_killed_at_any_moment_is_taken_up_again_where_it_was_left() {
    let state = tempfile::tempdir().expect("a folder");
    {
        let (running, _) = start(state.path(), &[]);
        press(&window_of(running.0.id()), &["l"]);
        left(state.path(), |left| left.drawer == Some(Drawer::Logic));
    }
    for round in 0..10 {
        let (running, _) = start(state.path(), &[]);
        let window = window_of(running.0.id());
        // In and out again: each is a change that is written while more come.
        press(&window, &["w", "w", "l", "l"]);
        std::thread::sleep(Duration::from_millis(round * 137));
        drop(running);
        left(state.path(), |_| true);
    }
    let (running, _) = start(state.path(), &[]);
    let window = window_of(running.0.id());
    let drawer = left(state.path(), |_| true).drawer;
    press(&window, &["l"]);

    // Pulled out where it was in, pushed in where it was out: the window began as the file says.
    let other = if drawer == Some(Drawer::Logic) { None } else { Some(Drawer::Logic) };
    left(state.path(), |left| left.drawer == other);
}

#[test]
#[ignore = "needs a display, xdotool and ImageMagick"]
fn the_window_is_soon_there_rests_and_shows_something() {
    let state = tempfile::tempdir().expect("a folder");
    let (running, first_frame_ms) = start(state.path(), &[]);
    let process = running.0.id();
    if !cfg!(debug_assertions) {
        assert!(first_frame_ms < 1000, "the first frame took {first_frame_ms} ms");
    }
    let window = window_of(process);
    std::thread::sleep(Duration::from_secs(2));

    let before = ticks(process);
    std::thread::sleep(Duration::from_secs(5));
    let used = ticks(process) - before;
    eprintln!("idle for 5 s: {used} ticks");
    assert!(used <= 5, "an untouched window used {used} ticks in 5 s");

    let colours = Command::new("import")
        .args(["-window", &window, "-format", "%k", "info:-"])
        .output()
        .expect("ImageMagick runs");
    let colours: u32 = String::from_utf8_lossy(&colours.stdout).trim().parse().expect("a number of colours");
    eprintln!("{colours} colours on screen");
    assert!(colours > 50, "the window shows only {colours} colours");
}

#[test]
#[ignore = "needs a display"]
fn a_file_named_on_the_command_line_opens_the_window() {
    let state = tempfile::tempdir().expect("a folder");
    // A program that prints its answer instead never says how soon its first frame was there.
    let (mut running, _) = start(state.path(), &["circuits/coach-24v.ron"]);
    assert!(running.0.try_wait().expect("the process can be asked").is_none(), "the window stays open");
    let left = left(state.path(), |_| true);
    assert!(left.session.text.contains("Coach 41"), "{}", left.session.text);
}
