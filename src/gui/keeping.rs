//! Keeps what is on the bench against a crash: written beside the window soon after it has changed, and read when the
//! window opens.
//!
//! Yields [`Keeper`]. At most once a second while frames are shown it asks how the window stands; what differs from the
//! last time goes to a thread that writes it whole or not at all. An untouched window has no frames, and so no work. What
//! is kept is [`kept`](super::kept)'s, where it lies [`files`]'.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use egui::Context;

use crate::circuit::format::render_in;

use super::files::{self, Place};
use super::kept::{KeptSession, Left};
use super::tongue::spoken;

/// Seconds from one look at the window to the next.
const EVERY_S: f64 = 1.0;

/// Why what was left could not be taken up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Damaged {
    /// Where the file lies now.
    pub moved_to: Result<PathBuf, String>,
    /// What is wrong with it.
    pub report: String,
}

/// What was found when the window opened.
#[derive(Clone, Debug, PartialEq)]
pub enum FoundLeft {
    /// Nothing: nobody was here before.
    Nothing,
    /// How the window was left.
    Left(Box<Left>),
    /// A file that cannot be read.
    Damaged(Damaged),
}

/// Keeps one window.
#[derive(Debug)]
pub struct Keeper {
    place: Place,
    sent: String,
    /// When the window was last looked at, in seconds of the window's own clock.
    looked_s: Option<f64>,
    to_writer: Option<Sender<String>>,
    from_writer: Receiver<Result<(), String>>,
    writer: Option<JoinHandle<()>>,
    /// Why nothing is kept at present.
    fails: Option<String>,
}

impl Keeper {
    /// Takes a place in the state folder, and finds what was left there.
    ///
    /// # Errors
    /// A sentence with its mend where nothing can be kept.
    pub fn begin(ctx: &Context, folder: &Path) -> Result<(Self, FoundLeft), String> {
        let place = Place::take(folder)?;
        let found = find(&place);
        let (to_writer, texts) = channel::<String>();
        let (answers, from_writer) = channel();
        let (left, ctx) = (place.left(), ctx.clone());
        let writer = std::thread::spawn(move || {
            while let Ok(text) = texts.recv() {
                // Only the newest counts.
                let text = texts.try_iter().last().unwrap_or(text);
                let written = files::write_text(&text, &left);
                let failed = written.is_err();
                // Where nobody listens any more, the window has been closed.
                if answers.send(written).is_ok() && failed {
                    ctx.request_repaint();
                }
            }
        });
        let (to_writer, writer) = (Some(to_writer), Some(writer));
        let keeper = Self { place, sent: String::new(), looked_s: None, to_writer, from_writer, writer, fails: None };
        Ok((keeper, found))
    }

    /// Looks at the window if it is time to; what is new is on its way to the disk then. Yields why nothing is kept, as
    /// long as that is so.
    pub fn look(&mut self, ctx: &Context, left: impl FnOnce() -> Left) -> Option<String> {
        let before = self.fails.clone();
        self.listen();
        let now_s = ctx.input(|input| input.time);
        let wait_s = self.looked_s.map_or(0.0, |looked_s| EVERY_S - (now_s - looked_s));
        if wait_s > 0.0 {
            // Once more after the last frame, so that the last change is kept too.
            ctx.request_repaint_after(Duration::from_secs_f64(wait_s));
        } else {
            self.looked_s = Some(now_s);
            self.send(&left());
        }
        if self.fails != before {
            ctx.request_repaint();
        }
        self.fails.clone()
    }

    /// Keeps how the window stands now, and waits until it is on the disk.
    ///
    /// # Errors
    /// A sentence where it is not kept.
    pub fn close(mut self, left: &Left) -> Result<(), String> {
        self.send(left);
        self.end();
        self.listen();
        self.fails.take().map_or(Ok(()), Err)
    }

    fn send(&mut self, left: &Left) {
        let text = match left.write() {
            Ok(text) => text,
            Err(why) => return self.failed(why),
        };
        if text != self.sent {
            self.sent.clone_from(&text);
            if let Some(to_writer) = &self.to_writer {
                // A writer that has gone has told why.
                let _ = to_writer.send(text);
            }
        }
    }

    /// What has become of what was sent.
    fn listen(&mut self) {
        let answers: Vec<_> = self.from_writer.try_iter().collect();
        for answer in answers {
            match answer {
                Ok(()) => self.fails = None,
                Err(why) => self.failed(why),
            }
        }
    }

    /// Tried again with the next look.
    fn failed(&mut self, why: String) {
        self.sent.clear();
        self.fails = Some(why);
    }

    fn end(&mut self) {
        self.to_writer = None;
        if let Some(writer) = self.writer.take() {
            // A writer that panicked has nothing more to write.
            let _ = writer.join();
        }
    }

    /// Keeps what stood on the bench before something else is put there.
    ///
    /// # Errors
    /// A sentence with its mend where it cannot be written.
    pub fn set_aside(&self, session: &KeptSession) -> Result<(), String> {
        self.place.keep_before(&session.write()?)
    }

    /// Gives what was left another name, because it cannot be taken up. Yields where it lies now.
    ///
    /// # Errors
    /// A sentence where it cannot be renamed.
    pub fn give_up_left(&self) -> Result<PathBuf, String> {
        self.place.set_aside(&self.place.left())
    }

    /// Where what stood on the bench before is kept, the last one first, and then what was done in windows that are gone.
    pub fn before(&self) -> Vec<PathBuf> {
        let left = |path: &PathBuf| files::read_left(path).ok().and_then(|text| Left::read(&text).ok());
        let was_worked_in = |path: &PathBuf| left(path).is_some_and(|left| !left.session.done.is_empty());
        self.place.before().into_iter().chain(self.place.others_left().into_iter().filter(was_worked_in)).collect()
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        self.end();
    }
}

/// What was left at a place; what cannot be read is given another name.
fn find(place: &Place) -> FoundLeft {
    let path = place.left();
    if !files::is_there(&path) {
        return FoundLeft::Nothing;
    }
    let report = match files::read_left(&path) {
        Ok(text) => match Left::read(&text) {
            Ok(left) => return FoundLeft::Left(Box::new(left)),
            Err(finding) => render_in(spoken(), &text, &path.display().to_string(), &[*finding]),
        },
        Err(why) => why,
    };
    FoundLeft::Damaged(Damaged { moved_to: place.set_aside(&path), report })
}
