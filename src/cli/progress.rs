//! How far long work has come, as a bar on a terminal.
//!
//! Drawn on standard error, and only where that is a terminal and the work takes a moment; scripts and files never
//! see it. What is worked on is left to the subcommands.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use crate::study::progress::Progress;

/// Time between two looks at the work.
const LOOK: Duration = Duration::from_millis(100);
/// Looks that go by before a bar is worth showing.
const PATIENCE: usize = 5;

/// A bar for so many `things`. Hidden where standard error is no terminal.
pub(super) fn bar(count: usize, things: &str) -> ProgressBar {
    let bar = ProgressBar::new(count as u64);
    let style = ProgressStyle::with_template(&format!("{{bar:40}} {{pos}} of {{len}} {things}"));
    bar.set_style(style.expect("a fixed pattern of the bar's own words"));
    bar
}

/// Does `work` with its progress on a bar, once it has taken a moment.
pub(super) fn watched<T>(things: &str, work: impl FnOnce(&Progress) -> T) -> T {
    let progress = Progress::default();
    let done = Arc::new(AtomicBool::new(false));
    std::thread::scope(|scope| {
        let (shared, ended) = (&progress, Arc::clone(&done));
        let watcher = scope.spawn(move || {
            for looks in 0.. {
                std::thread::park_timeout(LOOK);
                if ended.load(Ordering::Acquire) || looks == PATIENCE {
                    break;
                }
            }
            if ended.load(Ordering::Acquire) {
                return;
            }
            let bar = bar(0, things);
            while !ended.load(Ordering::Acquire) {
                let (done, all) = shared.steps();
                bar.set_length(all as u64);
                bar.set_position(done as u64);
                std::thread::park_timeout(LOOK);
            }
            bar.finish_and_clear();
        });
        let answer = work(&progress);
        done.store(true, Ordering::Release);
        watcher.thread().unpark();
        answer
    })
}
