//! What a run of the command line ends with.
//!
//! The contract's three codes, and the one way out: everything printed goes through here, so that a closed pipe ends
//! the run quietly and nothing but results ever reaches standard output.

use std::io::Write;
use std::process::ExitCode;

use super::plan::Complaint;

/// How a question ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// Answered.
    Done,
    /// The circuit, or what was asked of it, is wrong.
    Wrong,
    /// The command line makes no sense.
    Usage,
}

impl From<Ending> for ExitCode {
    fn from(ending: Ending) -> Self {
        match ending {
            Ending::Done => Self::from(0),
            Ending::Wrong => Self::from(1),
            Ending::Usage => Self::from(2),
        }
    }
}

/// Prints a result. Whoever reads may have gone; that is not our failure.
pub(super) fn print(result: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(result.as_bytes()).and_then(|()| out.flush());
}

/// Prints a message.
pub(super) fn message(words: &str) {
    let _ = std::io::stderr().lock().write_all(words.as_bytes());
}

/// Prints complaints.
pub(super) fn complain(complaints: &[Complaint]) -> Ending {
    for complaint in complaints {
        message(&complaint.0);
    }
    Ending::Wrong
}
