//! Long work beside the window: a search on a thread of its own, its answer taken up when it is there.
//!
//! Yields [`Job`]. The window never waits for one; it looks in each frame whether the answer has come, and the thread
//! asks for a frame when it has. A job that is dropped is told to stop. What is worked out is left to the study.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

use crate::study::progress::Progress;

/// Work under way.
#[derive(Debug)]
pub struct Job<T> {
    progress: Arc<Progress>,
    answer: Receiver<T>,
}

impl<T: Send + 'static> Job<T> {
    /// Begins `work`, which gives none where it was stopped.
    pub fn begin(ctx: &egui::Context, work: impl FnOnce(&Progress) -> Option<T> + Send + 'static) -> Self {
        let progress = Arc::new(Progress::default());
        let (sender, answer) = channel();
        let (shared, ctx) = (Arc::clone(&progress), ctx.clone());
        std::thread::spawn(move || {
            if let Some(found) = work(&shared) {
                // Where nobody waits any more, nobody misses it.
                if sender.send(found).is_ok() {
                    ctx.request_repaint();
                }
            }
        });
        Self { progress, answer }
    }

    /// The answer, once, when it has come.
    pub fn take(&self) -> Option<T> {
        self.answer.try_recv().ok()
    }

    /// Steps done, of how many.
    pub fn steps(&self) -> (usize, usize) {
        self.progress.steps()
    }
}

impl<T> Drop for Job<T> {
    fn drop(&mut self) {
        self.progress.stop();
    }
}
