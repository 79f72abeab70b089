//! Watches the files that are on the bench for being written by another.
//!
//! Yields [`News`]. Time and length of a file are looked at when the window gets the keyboard, and at most once a second
//! while frames are shown; only where they differ is the file read, and only another text is news. What becomes of it is
//! the person's to say.

use std::path::{Path, PathBuf};

use super::files::{self, Stamp};

/// Seconds from one look to the next.
const EVERY_S: f64 = 1.0;

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The circuit alone.
    Circuit,
    /// The session: the circuit and what was done.
    Session,
    /// What was done as a demonstration.
    Demonstration,
}

/// Something happened to a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct News {
    /// The file.
    pub path: PathBuf,
    /// What it holds.
    pub holds: Holds,
    /// It is no longer there; else it holds another text.
    pub is_gone: bool,
}

/// A file, and what it held when it was last read or written here.
#[derive(Clone, Debug)]
struct Watched {
    path: PathBuf,
    holds: Holds,
    stamp: Option<Stamp>,
    text: String,
}

/// The files that are watched.
#[derive(Clone, Debug, Default)]
pub struct Watch {
    files: Vec<Watched>,
    looked_s: f64,
}

impl Watch {
    /// Watches a file from now on, in place of the one that held the same. `stamp` is from before `text` was read, or
    /// from after it was written.
    pub fn follow(&mut self, path: &Path, holds: Holds, (stamp, text): (Option<Stamp>, String)) {
        self.forget(holds);
        self.files.push(Watched { path: path.to_owned(), holds, stamp, text });
    }

    /// Watches what holds this no longer.
    pub fn forget(&mut self, holds: Holds) {
        self.files.retain(|file| file.holds != holds);
    }

    /// The stamp of the file that holds this, as it was last seen.
    pub fn stamp_of(&self, holds: Holds) -> Option<Stamp> {
        self.files.iter().find(|file| file.holds == holds)?.stamp
    }

    /// Whether a file that holds this is watched.
    pub fn has(&self, holds: Holds) -> bool {
        self.files.iter().any(|file| file.holds == holds)
    }

    /// Looks whether it is time to, or at once; the first thing that is new, told once.
    pub fn look(&mut self, now_s: f64, at_once: bool) -> Option<News> {
        if !at_once && now_s - self.looked_s < EVERY_S {
            return None;
        }
        self.looked_s = now_s;
        self.files.iter_mut().find_map(Watched::look)
    }

    /// Whether a file holds something else than was last read from it or written to it here.
    pub fn is_anothers(&self, path: &Path) -> bool {
        let known = self.files.iter().find(|file| file.path == path);
        match (known, files::is_there(path)) {
            (_, false) => false,
            // A folder is nobody's file; that nothing is saved as one is said when it is tried.
            (None, true) => !path.is_dir(),
            (Some(known), true) => files::read_text(path).ok().as_ref() != Some(&known.text),
        }
    }
}

impl Watched {
    fn look(&mut self) -> Option<News> {
        let now = files::stamp(&self.path);
        if now == self.stamp {
            return None;
        }
        self.stamp = now;
        let same = now.is_some() && files::read_text(&self.path).ok().as_ref() == Some(&self.text);
        (!same).then(|| News { path: self.path.clone(), holds: self.holds, is_gone: now.is_none() })
    }
}
