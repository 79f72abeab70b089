//! `fanloom card`: one page for the cab.
//!
//! Only says where it goes and in which form; what stands on it is found and set by [`report`](crate::report).

use std::path::{Path, PathBuf};

use crate::report::embed::with_font;
use crate::report::{Card, paper, sheet};
use crate::study::prove::{Place, prove_while_wanted};
use crate::words::Measure;

use super::args::{CardArgs, Form};
use super::deliver::{deliver, form_of};
use super::exit::{Ending, complain};
use super::plan::{Complaint, asked_about};
use super::progress::watched;

pub(super) fn run(args: &CardArgs, colour: bool) -> Ending {
    let to = args.to.clone().unwrap_or_else(|| beside(&args.file, args.sheet.form));
    let form = match form_of(&to, args.sheet.form) {
        Ok(form) => form,
        Err(complaint) => return complain(&[complaint]),
    };
    let bench = match asked_about(&args.file, &args.world, colour) {
        Ok(bench) => bench,
        Err(complaints) => return complain(&complaints),
    };
    let proof = watched("pairs", |progress| prove_while_wanted(&bench, &Place::Anywhere, progress));
    let proof = proof.expect("nobody but this line holds the progress to stop it");
    let card = Card::of_proof(&bench, &proof, args.sheet.symbols(), Measure::AsWritten);
    let page = sheet::card_in(args.language, &card, args.sheet.size());
    let made = match form {
        Form::Svg => Ok(with_font(&page.svg()).into_bytes()),
        Form::Png => paper::png(&page.svg(), f32::from(args.sheet.dpi)),
        Form::Pdf => paper::pdf(&page.svg(), page.title()),
    };
    let made = made.map_err(|why| Complaint::new(&why.message, &why.mend));
    match made.and_then(|bytes| deliver(&bytes, &to)) {
        Ok(()) => Ending::Done,
        Err(complaint) => complain(&[complaint]),
    }
}

/// Where a card goes when nothing is said: this folder, under the circuit's name.
fn beside(file: &Path, form: Option<Form>) -> PathBuf {
    let stem = file.file_stem().map_or_else(|| "circuit".into(), |stem| stem.to_string_lossy());
    let ending = match form {
        Some(Form::Svg) => "svg",
        Some(Form::Png) => "png",
        Some(Form::Pdf) | None => "pdf",
    };
    PathBuf::from(format!("{stem}-card.{ending}"))
}
