//! Getting bytes to where they were asked for: a file, replaced whole or not at all, or standard output.
//!
//! How a file is replaced is [`disk`](crate::disk)'s business; what is written is made by others.

use std::io::Write;
use std::path::{Path, PathBuf};

use crate::disk::replace;

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

/// All the places an answer is to go to, each with its form: what its ending asks for by `of_ending`, or what was said.
/// Standard output alone where a form was said and no place.
///
/// # Errors
/// Endings that ask for no form (`endings` names those that do), and places that would get two answers.
pub(super) fn all_places<F: Copy>(
    to: &[PathBuf],
    said: Option<F>,
    is_json: bool,
    of_ending: impl Fn(&str) -> Option<F>,
    endings: &str,
) -> Result<Vec<(PathBuf, F)>, Vec<Complaint>> {
    if to.is_empty() {
        return Ok(said.map(|form| (PathBuf::from(STANDARD_OUTPUT), form)).into_iter().collect());
    }
    let mut complaints = Vec::new();
    let mut places: Vec<(PathBuf, F)> = Vec::new();
    for to in to {
        let is_stdout = to == Path::new(STANDARD_OUTPUT);
        if places.iter().any(|(other, _)| other == to) || is_json && is_stdout {
            let message = format!("two answers would go to `{}`", to.display());
            complaints.push(Complaint::new(&message, "name another place for one of them"));
            continue;
        }
        let ending = to.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match said.or_else(|| of_ending(ending.as_deref()?)) {
            Some(form) => places.push((to.clone(), form)),
            None => {
                let message = format!("`{}` does not end in a form known here", to.display());
                let mend = format!("end it in {endings}, or say the form with `--as`");
                complaints.push(Complaint::new(&message, &mend));
            }
        }
    }
    if complaints.is_empty() { Ok(places) } else { Err(complaints) }
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
    replace(bytes, to).map_err(|why| Complaint::new(&why.message, &why.mend))?;
    message(&format!("wrote `{}`\n", to.display()));
    Ok(())
}
