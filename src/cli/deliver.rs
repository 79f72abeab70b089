//! Getting bytes to where they were asked for: a file, replaced whole or not at all, or standard output.
//!
//! A file is written under a name of its own beside its place and then renamed, so that nobody ever sees half of
//! one, and a full disk leaves the old one as it was. What is written is made by others.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::args::Form;
use super::exit::message;
use super::plan::Complaint;

/// The path that stands for standard output.
const STANDARD_OUTPUT: &str = "-";

/// The form a file's ending, or the option, asks for.
///
/// # Errors
/// Where the ending is none of the known ones and nothing else was said.
pub(super) fn form_of(to: &Path, said: Option<Form>) -> Result<Form, Complaint> {
    if let Some(form) = said {
        return Ok(form);
    }
    if to == Path::new(STANDARD_OUTPUT) {
        return Err(Complaint::new("`--to -` does not say in which form", "add `--as svg`, `--as png` or `--as pdf`"));
    }
    let ending = to.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("svg") => Ok(Form::Svg),
        Some("png") => Ok(Form::Png),
        Some("pdf") => Ok(Form::Pdf),
        Some(other) => Err(Complaint::new(
            &format!("`{}` ends in `.{other}`, which is no form known here", to.display()),
            "end it in .svg, .png or .pdf, or say the form with `--as`",
        )),
        None => Err(Complaint::new(
            &format!("`{}` has no ending that says in which form", to.display()),
            "end it in .svg, .png or .pdf, or say the form with `--as`",
        )),
    }
}

/// Writes the bytes.
///
/// # Errors
/// Where the place cannot be written; what was there stays.
pub(super) fn deliver(bytes: &[u8], to: &Path) -> Result<(), Complaint> {
    if to == Path::new(STANDARD_OUTPUT) {
        let mut out = std::io::stdout().lock();
        // Whoever reads may have gone; that is not our failure.
        let _ = out.write_all(bytes).and_then(|()| out.flush());
        return Ok(());
    }
    if to.is_dir() {
        return Err(Complaint::new(&format!("`{}` is a folder", to.display()), "name a file in it"));
    }
    replace(bytes, to).map_err(|why| {
        let mend = match why.kind() {
            std::io::ErrorKind::NotFound => "make the folder first, or name another place",
            std::io::ErrorKind::StorageFull => "make room on the disk; what was there before is still there",
            _ => "check the folder and who may write in it",
        };
        Complaint::new(&format!("`{}` cannot be written: {why}", to.display()), mend)
    })?;
    message(&format!("wrote `{}`\n", to.display()));
    Ok(())
}

fn replace(bytes: &[u8], to: &Path) -> std::io::Result<()> {
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
