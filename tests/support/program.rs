//! The built program, run as a person would: with arguments, from the top of the package, and nothing typed in.
//!
//! What its answers should be is left to the tests.

use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// Runs it to its end.
pub fn fanloom(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fanloom"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("the built program starts")
}

/// Its answer as JSON, which must be all there is on standard output.
#[track_caller]
pub fn json(args: &[&str]) -> Value {
    let output = fanloom(args);
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON and nothing else")
}
