//! The built program, run as a person or a script would run it.
//!
//! Only runs it and hands back what it said; what should have been said is the tests' business.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value as Json;

/// Runs the program at the top of the package with these arguments, `input` on its standard input.
pub fn run(args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(super::top())
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program has been built");
    // It may have ended without reading all of it.
    let _ = child.stdin.take().expect("standard input is piped").write_all(input.as_bytes());
    child.wait_with_output().expect("a program that ends says something")
}

/// Runs it with nothing typed in.
pub fn fanloom(args: &[&str]) -> Output {
    run(args, "")
}

/// Its answer as JSON to a question with nothing typed in.
#[track_caller]
pub fn json(args: &[&str]) -> Json {
    answer(args, "")
}

/// The JSON it answers with, which must be all that stands on standard output.
#[track_caller]
pub fn answer(args: &[&str], input: &str) -> Json {
    let output = run(args, input);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {said}");
    serde_json::from_slice(&output.stdout).unwrap_or_else(|why| panic!("{args:?}: {why}"))
}

/// Demands that it refuses, with nothing on standard output, and says all of these.
#[track_caller]
pub fn refused(args: &[&str], tells: &[&str]) {
    let output = run(args, "");
    let message = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0), "{args:?}: {message}");
    for tell in tells {
        assert!(message.contains(tell), "{args:?} should say `{tell}`, said:\n{message}");
    }
}
