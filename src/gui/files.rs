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

use crate::circuit::format::MOST_BYTES;
use crate::disk::{self, NotWritten};

/// Most windows that keep what was left, at once.
const MOST_WINDOWS: usize = 16;
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
    let shown = path.display();
    let metadata = fs::metadata(path).map_err(|e| format!("cannot open `{shown}`: {e}; check the path"))?;
    if !metadata.is_file() {
        return Err(format!("`{shown}` is not a file; choose a circuit file"));
    }
    let unreadable = |e: std::io::Error| format!("cannot read `{shown}`: {e}; check its permissions");
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large, also one that grew meanwhile.
    let file = File::open(path).map_err(unreadable)?;
    file.take(MOST_KEPT_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() > MOST_KEPT_BYTES {
        let size = metadata.len();
        return Err(format!("`{shown}` has {size} bytes, far more than a circuit; choose a circuit file"));
    }
    String::from_utf8(bytes).map_err(|_| format!("`{shown}` is not text; choose a circuit file"))
}

/// Puts a text at a path, whole or not at all.
///
/// # Errors
/// A sentence for people, with its mend; what was there stays.
pub fn write_text(text: &str, path: &Path) -> Result<(), String> {
    disk::replace(text.as_bytes(), path).map_err(|why| worded(&why))
}

fn worded(why: &NotWritten) -> String {
    format!("{}; {}", why.message, why.mend)
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
        fs::create_dir_all(folder)
            .map_err(|why| format!("`{shown}` cannot be made: {why}; see who may write in the folder above it"))?;
        for number in 1..=MOST_WINDOWS {
            let lock = folder.join(format!("window-{number}.lock"));
            let file = OpenOptions::new().create(true).truncate(false).write(true).open(&lock);
            let lock = file.map_err(|why| format!("`{}` cannot be written: {why}; {HERE}", lock.display()))?;
            match lock.try_lock() {
                Ok(()) => {}
                Err(fs::TryLockError::WouldBlock) => continue,
                Err(fs::TryLockError::Error(why)) => return Err(format!("`{shown}` knows no locks: {why}; {HERE}")),
            }
            let place = Self { folder: folder.to_owned(), number, _lock: lock };
            disk::sweep(&place.left());
            disk::sweep(&place.before());
            return Ok(place);
        }
        Err(format!("{MOST_WINDOWS} windows are open already; close one"))
    }

    /// Where what is on the bench is kept.
    pub fn left(&self) -> PathBuf {
        self.folder.join(format!("window-{}.ron", self.number))
    }

    /// Where what stood on the bench before is kept.
    pub fn before(&self) -> PathBuf {
        self.folder.join(format!("window-{}-before.ron", self.number))
    }

    /// Gives a damaged file another name, which is yielded: nothing is lost that a person could still read.
    ///
    /// # Errors
    /// A sentence where it cannot be renamed.
    pub fn set_aside(&self, damaged: &Path) -> Result<PathBuf, String> {
        let name = |n: usize| self.folder.join(format!("window-{}-damaged-{n}.ron", self.number));
        let free = (1..MOST_DAMAGED).map(name).find(|path| !is_there(path)).unwrap_or_else(|| name(MOST_DAMAGED));
        fs::rename(damaged, &free)
            .map_err(|why| format!("`{}` cannot be renamed: {why}; {HERE}", damaged.display()))?;
        Ok(free)
    }
}

const HERE: &str = "see who may write in that folder";
