//! The window's only door to the disk: texts read and written whole, and the folder where the window keeps what was
//! left.
//!
//! Yields texts, or a sentence that says what went wrong and what to do. What a text means is left to the circuit
//! layer and to [`kept`](super::kept); when something is kept, to [`keeping`](super::keeping).

use std::fs::{self, File, OpenOptions};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::tongue::{key, plain, t};
use super::words::mended;
use crate::circuit::format::MOST_BYTES;
use crate::disk;

/// Most windows that keep what was left, at once.
const MOST_WINDOWS: usize = 16;
/// How many of those that stood on the bench before are kept.
const MOST_BEFORE: usize = 5;
/// Most damaged files that are set aside; the last name is used again.
const MOST_DAMAGED: usize = 100;
/// Most bytes of a file of ours: a circuit file within it, and what was done.
const MOST_KEPT_BYTES: usize = 2 * MOST_BYTES;

/// The text of a circuit file, or of a session that holds one.
///
/// # Errors
/// A sentence for people, with its mend, where the file cannot be read or is far too large to be a circuit. A folder,
/// device or pipe is refused unopened: the window would wait on it for ever.
pub fn read_text(path: &Path) -> Result<String, String> {
    read_up_to(path, MOST_KEPT_BYTES)
}

/// The text that a window kept for itself: of every circuit that was open.
///
/// # Errors
/// As [`read_text`].
pub fn read_left(path: &Path) -> Result<String, String> {
    read_up_to(path, MOST_KEPT_BYTES * 2 * super::row::MOST)
}

fn read_up_to(path: &Path, most: usize) -> Result<String, String> {
    let shown = path.display();
    let metadata = fs::metadata(path).map_err(|e| t!("files-cannot-open-check-the-path", shown, e))?;
    if !metadata.is_file() {
        return Err(t!("files-is-not-a-file-choose", shown));
    }
    let unreadable = |e: std::io::Error| t!("files-cannot-read-check-its-permissions", shown, e);
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large, also one that grew meanwhile.
    let file = File::open(path).map_err(unreadable)?;
    file.take(most as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() > most {
        let size = metadata.len();
        return Err(t!("files-has-bytes-far-more-than", shown, size));
    }
    String::from_utf8(bytes).map_err(|_| t!("files-is-not-text-choose-a", shown))
}

/// Puts a text at a path, whole or not at all.
///
/// # Errors
/// A sentence for people, with its mend; what was there stays.
pub fn write_text(text: &str, path: &Path) -> Result<(), String> {
    disk::replace(text.as_bytes(), path).map_err(|why| mended(&why.message, &why.mend))
}

/// Whether anything is at a path.
pub fn is_there(path: &Path) -> bool {
    // A link that leads nowhere is there too: it would be replaced.
    fs::symlink_metadata(path).is_ok()
}

/// What tells that a file has been written since: its time and its length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    time: Option<SystemTime>,
    bytes: u64,
}

/// The stamp of a file; none where there is none.
pub fn stamp(path: &Path) -> Option<Stamp> {
    let metadata = fs::metadata(path).ok().filter(fs::Metadata::is_file)?;
    Some(Stamp { time: metadata.modified().ok(), bytes: metadata.len() })
}

/// Whether there is a file that is not to be written, though a new one could be put in its place.
pub fn is_write_protected(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|metadata| metadata.is_file() && metadata.permissions().readonly())
}

/// A path with the ending that circuits and sessions have, where it has none. A folder has none and needs none: that
/// nothing can be saved as one is said.
pub fn with_ending(path: &Path) -> PathBuf {
    if path.extension().is_some() || path.is_dir() { path.to_owned() } else { path.with_extension("ron") }
}

/// A typed path: `~` is the home folder, anything relative begins where the program was started.
pub fn typed_path(words: &str) -> PathBuf {
    let words = words.trim();
    let home = || words.strip_prefix('~').filter(|rest| rest.is_empty() || rest.starts_with(['/', '\\']));
    let path = match (home(), dirs::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest.trim_start_matches(['/', '\\'])),
        _ => PathBuf::from(words),
    };
    std::path::absolute(&path).unwrap_or(path)
}

/// The folder where this system wants programs to keep their state (on Linux `XDG_STATE_HOME`, else `~/.local/state`).
pub fn state_folder() -> Option<PathBuf> {
    dirs::state_dir().or_else(dirs::data_local_dir).map(|folder| folder.join("fanloom"))
}

/// The place of one window in the state folder: as long as it is held no other window writes there.
#[derive(Debug)]
pub struct Place {
    folder: PathBuf,
    number: usize,
    /// Locked; the lock goes with the process, however it ends.
    _lock: File,
}

impl Place {
    /// Takes the first place that no other window holds, and clears away what a killed one left half written.
    ///
    /// # Errors
    /// A sentence with its mend where the folder cannot be used.
    pub fn take(folder: &Path) -> Result<Self, String> {
        let shown = folder.display();
        fs::create_dir_all(folder).map_err(|why| t!("files-cannot-be-made-see-who", shown, why))?;
        for number in 1..=MOST_WINDOWS {
            let lock = folder.join(format!("window-{number}.lock"));
            let file = OpenOptions::new().create(true).truncate(false).write(true).open(&lock);
            let lock =
                file.map_err(|why| t!("files-cannot-be-written", lock = lock.display(), why, here = plain(HERE)))?;
            match lock.try_lock() {
                Ok(()) => {}
                Err(fs::TryLockError::WouldBlock) => continue,
                Err(fs::TryLockError::Error(why)) => {
                    return Err(t!("files-knows-no-locks", shown, why, here = plain(HERE)));
                }
            }
            let place = Self { folder: folder.to_owned(), number, _lock: lock };
            disk::sweep(&place.left());
            place.before().iter().chain([&place.next_before()]).for_each(|before| disk::sweep(before));
            return Ok(place);
        }
        Err(t!("files-windows-are-open-already-close", most_windows = MOST_WINDOWS))
    }

    /// Where what is on the bench is kept.
    pub fn left(&self) -> PathBuf {
        self.left_of(self.number)
    }

    fn left_of(&self, number: usize) -> PathBuf {
        self.folder.join(format!("window-{number}.ron"))
    }

    /// Where what stood on the bench before is kept, the last one first.
    pub fn before(&self) -> Vec<PathBuf> {
        self.befores().into_iter().rev().map(|number| self.before_of(number)).collect()
    }

    /// Where what windows that are gone have left is kept, as long as none has come in their place.
    pub fn others_left(&self) -> Vec<PathBuf> {
        let is_held = |number: usize| {
            let lock = File::open(self.folder.join(format!("window-{number}.lock")));
            lock.is_ok_and(|lock| matches!(lock.try_lock(), Err(fs::TryLockError::WouldBlock)))
        };
        let others = (1..=MOST_WINDOWS).filter(|number| *number != self.number && !is_held(*number));
        others.map(|number| self.left_of(number)).filter(|path| is_there(path)).collect()
    }

    /// Keeps a text as the last that stood on the bench before. The oldest goes only once it is written: nobody is
    /// without the one before while the next is on its way.
    ///
    /// # Errors
    /// A sentence with its mend where it cannot be written.
    pub fn keep_before(&self, text: &str) -> Result<(), String> {
        let known = self.befores();
        if known.last().is_some_and(|last| read_text(&self.before_of(*last)).ok().as_deref() == Some(text)) {
            return Ok(());
        }
        write_text(text, &self.next_before())?;
        for number in known.iter().rev().skip(MOST_BEFORE - 1) {
            // One that stays is only in the way.
            let _ = fs::remove_file(self.before_of(*number));
        }
        Ok(())
    }

    fn next_before(&self) -> PathBuf {
        self.before_of(self.befores().last().map_or(1, |last| last + 1))
    }

    fn before_of(&self, number: u64) -> PathBuf {
        self.folder.join(format!("window-{}-before-{number}.ron", self.number))
    }

    /// Their numbers, rising.
    fn befores(&self) -> Vec<u64> {
        let start = format!("window-{}-before-", self.number);
        let number = |name: &str| name.strip_prefix(&start)?.strip_suffix(".ron")?.parse().ok();
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut numbers: Vec<u64> = entries.filter_map(|entry| number(&entry.file_name().to_string_lossy())).collect();
        numbers.sort_unstable();
        numbers
    }

    /// Gives a damaged file another name, which is yielded: nothing is lost that a person could still read.
    ///
    /// # Errors
    /// A sentence where it cannot be renamed.
    pub fn set_aside(&self, damaged: &Path) -> Result<PathBuf, String> {
        let name = |n: usize| self.folder.join(format!("window-{}-damaged-{n}.ron", self.number));
        let free = (1..MOST_DAMAGED).map(name).find(|path| !is_there(path)).unwrap_or_else(|| name(MOST_DAMAGED));
        fs::rename(damaged, &free)
            .map_err(|why| t!("files-cannot-be-renamed", damaged = damaged.display(), why, here = plain(HERE)))?;
        Ok(free)
    }
}

const HERE: &str = key!("files-see-who-may-write-in");
