//! Writing a file whole or not at all, for the window and the command line alike.
//!
//! Bytes go under a name of their own beside the place and are then renamed, so that nobody ever sees half of a file,
//! and a full disk leaves the old one as it was. What is written is made by others; reading stays where it is asked
//! for.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Why a file was not written, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotWritten {
    /// What happened, with the path.
    pub message: String,
    /// The mend.
    pub mend: &'static str,
}

/// Puts `bytes` at a path, in place of whatever file is there.
///
/// # Errors
/// Where the place is a folder or cannot be written; what was there stays.
pub fn replace(bytes: &[u8], to: &Path) -> Result<(), NotWritten> {
    if to.is_dir() {
        return Err(NotWritten { message: format!("`{}` is a folder", to.display()), mend: "name a file in it" });
    }
    write(bytes, to).map_err(|why| {
        let mend = match why.kind() {
            std::io::ErrorKind::NotFound => "make the folder first, or name another place",
            std::io::ErrorKind::StorageFull => "make room on the disk; what was there before is still there",
            _ => "check the folder and who may write in it",
        };
        NotWritten { message: format!("`{}` cannot be written: {why}", to.display()), mend }
    })
}

fn write(bytes: &[u8], to: &Path) -> std::io::Result<()> {
    // Through a link the file itself is replaced, not the link.
    let place = fs::canonicalize(to).unwrap_or_else(|_| to.to_owned());
    if place.exists() && !place.is_file() {
        // A pipe or a device has no other name to be renamed from.
        return fs::write(&place, bytes);
    }
    let (mut file, beside) = new_beside(&place)?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all()).and_then(|()| {
        if let Ok(old) = fs::metadata(&place) {
            fs::set_permissions(&beside, old.permissions())?;
        }
        fs::rename(&beside, &place)
    });
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written
}

/// A new file beside a place, under a name that nobody has.
fn new_beside(place: &Path) -> std::io::Result<(fs::File, PathBuf)> {
    let name = place.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let process = std::process::id();
    let mut last = std::io::ErrorKind::AlreadyExists.into();
    for attempt in 0..100 {
        let beside = place.with_file_name(format!(".{name}.{process}-{attempt}.part"));
        match fs::OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((file, beside)),
            Err(why) if why.kind() == std::io::ErrorKind::AlreadyExists => last = why,
            Err(why) => return Err(why),
        }
    }
    Err(last)
}
