//! Writing a file whole or not at all, for the window and the command line alike.
//!
//! Bytes go under a name of their own beside the place and are then renamed, so that nobody ever sees half of a file,
//! and a full disk leaves the old one as it was. What is written is made by others; reading stays where it is asked
//! for.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::words::{Words, say};

/// Why a file was not written, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotWritten {
    /// What happened, with the path.
    pub message: Words,
    /// The mend.
    pub mend: Words,
}

/// Puts `bytes` at a path, in place of whatever file is there.
///
/// # Errors
/// Where the place is a folder or cannot be written; what was there stays.
pub fn replace(bytes: &[u8], to: &Path) -> Result<(), NotWritten> {
    let path = to.display().to_string();
    if to.is_dir() {
        return Err(NotWritten { message: say!("disk-is-a-folder", path), mend: say!("disk-name-a-file-in-it") });
    }
    write(bytes, to).map_err(|why| {
        let mend = match why.kind() {
            ErrorKind::NotFound => say!("disk-make-the-folder-first"),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => say!("disk-make-room"),
            ErrorKind::FileTooLarge => say!("disk-choose-one-for-larger-files"),
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                say!("disk-choose-a-folder-you-may-write-in")
            }
            _ => say!("disk-check-the-folder"),
        };
        NotWritten { message: say!("disk-cannot-be-written", path, why = reason(&why)), mend }
    })
}

/// What the system says of a failure, as far as it is one of those that happen to people; else in its own words.
fn reason(why: &std::io::Error) -> Words {
    match why.kind() {
        ErrorKind::NotFound => say!("disk-no-such-folder"),
        ErrorKind::StorageFull => say!("disk-is-full"),
        ErrorKind::QuotaExceeded => say!("disk-quota-is-used-up"),
        ErrorKind::FileTooLarge => say!("disk-file-too-large"),
        ErrorKind::PermissionDenied => say!("disk-not-allowed"),
        ErrorKind::ReadOnlyFilesystem => say!("disk-can-only-be-read"),
        _ => why.to_string().into(),
    }
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
    match &written {
        Ok(()) => settle_folder(&place),
        // What cannot be removed either is only in the way.
        Err(_) => drop(fs::remove_file(&beside)),
    }
    written
}

/// Brings the new name to the disk too, so that it outlasts a power cut. Where a system does not do that for folders,
/// the file is whole all the same.
fn settle_folder(place: &Path) {
    let folder = place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Removes what writes to a place have left beside it when they were killed. Only for a place that nobody else writes:
/// another's file on its way would go with it.
pub fn sweep(place: &Path) {
    let Some(folder) = place.parent() else { return };
    let start = format!(".{}.", name_of(place));
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let middle = name.strip_prefix(&start).and_then(|rest| rest.strip_suffix(PART));
        let is_left = middle.is_some_and(|middle| middle.chars().all(|c| c.is_ascii_digit() || c == '-'));
        if is_left {
            // One that stays is only in the way.
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Ending of a file on its way.
const PART: &str = ".part";

fn name_of(place: &Path) -> String {
    place.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// A new file beside a place, under a name that nobody has.
fn new_beside(place: &Path) -> std::io::Result<(fs::File, PathBuf)> {
    let name = name_of(place);
    let process = std::process::id();
    let mut last = std::io::ErrorKind::AlreadyExists.into();
    for attempt in 0..100 {
        let beside = place.with_file_name(format!(".{name}.{process}-{attempt}{PART}"));
        match fs::OpenOptions::new().write(true).create_new(true).open(&beside) {
            Ok(file) => return Ok((file, beside)),
            Err(why) if why.kind() == std::io::ErrorKind::AlreadyExists => last = why,
            Err(why) => return Err(why),
        }
    }
    Err(last)
}
