//! Reads what is to be put on the bench: a circuit that comes with the program, a circuit file, a session or a demonstration.
//!
//! Yields [`Loaded`], or [`Unsound`], the report on why there is nothing. What was done in a session is done again here;
//! putting it on the bench is left to [`filing`](super::filing).

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::bench::journal::{Origin, Refused};
use crate::bench::script::action_words;
use crate::bench::{Action, Bench, Demonstration};
use crate::circuit::Circuit;
use crate::circuit::diagnostic::{Finding, Severity};
use crate::circuit::format;
use crate::study::demonstration::{Held, held, through};

use super::command::{Dialog, Source};
use super::demonstrating::{About, Demonstrating};
use super::files::{self, Stamp};
use super::kept::{KeptSession, Left};
use super::samples::{self, Sample, WORKED_EXAMPLE};
use super::tongue::{spoken, t, titled, worded};
use super::watch::Holds;

/// Most things found in a file that a report tells of.
const MOST_FINDINGS: usize = 60;

/// Something to put on the bench.
pub(super) struct Loaded {
    /// The circuit.
    pub(super) circuit: Arc<Circuit>,
    /// The circuit with everything done to it that was done.
    pub(super) bench: Bench,
    /// Where the circuit came from.
    pub(super) origin: Origin,
    /// The circuit file, to the letter.
    pub(super) text: String,
    /// The session it was in.
    pub(super) session: Option<KeptSession>,
    /// The file it was read from, with what it held.
    pub(super) file: Option<(PathBuf, Holds, Stamped)>,
    /// The demonstration it is, with none of its steps done.
    pub(super) demonstrating: Option<Demonstrating>,
    /// What a person should know of it.
    pub(super) report: Option<Dialog>,
}

impl Loaded {
    /// Whether it is what the window begins with, and nobody has done anything.
    pub(super) fn is_untouched(&self) -> bool {
        let KeptSession { done, undone, seen, hunt, .. } = match &self.session {
            Some(session) => session,
            None => return false,
        };
        let is_example = self.origin == Origin::Shipped(WORKED_EXAMPLE.to_owned());
        is_example && done.is_empty() && undone.is_empty() && seen.is_empty() && hunt.is_none()
    }
}

/// Why there is nothing to put on the bench.
pub(super) struct Unsound {
    title: String,
    /// What is wrong, at its place, with its mend.
    pub(super) text: String,
}

impl From<Unsound> for Dialog {
    fn from(unsound: Unsound) -> Self {
        Self::Report(unsound.title, unsound.text)
    }
}

/// A file's text and its stamp from before it was read.
pub(super) type Stamped = (Option<Stamp>, String);

fn sample_named(name: &str) -> Option<Sample> {
    samples::all().find(|sample| sample.file == name)
}

/// What the window begins with.
pub(super) fn worked_example() -> Loaded {
    let loaded = sample_named(WORKED_EXAMPLE).and_then(|sample| load(&Source::Sample(sample)).ok());
    loaded.expect("a test of `samples` finds the worked example and reads every sample")
}

/// The last part of a path.
pub(super) fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

/// What a source holds, or the report on why there is nothing.
pub(super) fn load(source: &Source) -> Result<Loaded, Unsound> {
    match source {
        // The circuits that come with the program are doubtful on purpose here and there, and say so themselves.
        Source::Sample(sample) => {
            load_text(sample.text.to_owned(), sample.file, Origin::Shipped(sample.file.to_owned()))
        }
        Source::Made(text) => load_text(text.clone(), t!("loading-the-circuit-made"), Origin::Made),
        Source::File(path) => load_file(&files::typed_path(&path.to_string_lossy())),
    }
}

/// A circuit that is in no file.
fn load_text(text: String, name: &str, origin: Origin) -> Result<Loaded, Unsound> {
    let (circuit, _) = circuit_of(&text, name)?;
    let bench = Bench::new(Arc::clone(&circuit));
    let (session, file, demonstrating, report) = (None, None, None, None);
    Ok(Loaded { circuit, bench, origin, text, session, file, demonstrating, report })
}

/// What a file holds.
pub(super) fn load_file(path: &Path) -> Result<Loaded, Unsound> {
    let stamp = files::stamp(path);
    let unreadable = |text| Unsound { title: t!("loading-this-circuit-cannot-be-opened").to_owned(), text };
    let text = files::read_text(path).map_err(unreadable)?;
    let name = name_of(path);
    let unsound = |finding: Box<Finding>| {
        let report = format::render_in(spoken(), &text, &name, &[*finding]);
        Unsound { title: t!("loading-cannot-be-opened", name), text: report }
    };
    if Demonstration::is_one(&text) {
        let demonstration = Demonstration::read(&text).map_err(unsound)?;
        let mut loaded = load_demonstration(demonstration, path)?;
        loaded.file = Some((path.to_owned(), Holds::Demonstration, (stamp, text)));
        return Ok(loaded);
    }
    if Left::is_one(&text) {
        // The file is that window's own; a person saves what is in it wherever they like.
        return load_session(Left::read(&text).map_err(unsound)?.session, &name);
    }
    if KeptSession::is_session(&text) {
        let session = KeptSession::read(&text).map_err(unsound)?;
        let mut loaded = load_session(session, &name)?;
        loaded.file = Some((path.to_owned(), Holds::Session, (stamp, text)));
        return Ok(loaded);
    }
    let (circuit, doubtful) = circuit_of(&text, &name)?;
    let report = doubtful.map(|report| Dialog::Report(t!("loading-is-open-some-things-are", name), report));
    let bench = Bench::new(Arc::clone(&circuit));
    let file = Some((path.to_owned(), Holds::Circuit, (stamp, text.clone())));
    let (origin, session, demonstrating) = (Origin::File(path.to_owned()), None, None);
    Ok(Loaded { circuit, bench, origin, text, session, file, demonstrating, report })
}

/// The circuit of a demonstration as built, ready to be gone through; what differs from the circuit as it is now is told.
fn load_demonstration(demonstration: Demonstration, path: &Path) -> Result<Loaded, Unsound> {
    let name = name_of(path);
    let now = demonstration.circuit.text_now(path, files::read_text);
    let Held { text, told, now } = held(&demonstration, now).map_err(|why| {
        let title = t!("loading-cannot-be-shown", name);
        Unsound { title, text: worded(&why.told()) }
    })?;
    let about = told.map(|words| About { words, now });
    let (circuit, _) = circuit_of(&text, &t!("loading-the-circuit-in", name))?;
    let origin = demonstration.circuit.clone();
    let gone = through(Demonstration { text: text.clone(), ..demonstration }, Arc::clone(&circuit));
    let report = refused_report(&gone.refused);
    let bench = Bench::new(Arc::clone(&circuit));
    let demonstrating = Some(Demonstrating { about, ..Demonstrating::of(gone) });
    Ok(Loaded { circuit, bench, origin, text, session: None, file: None, demonstrating, report })
}

/// The circuit of a session with everything done to it that was done.
pub(super) fn load_session(session: KeptSession, name: &str) -> Result<Loaded, Unsound> {
    let (circuit, _) = circuit_of(&session.text, &t!("loading-the-circuit-in", name))?;
    let (bench, refused) = session.journal().replay(Arc::clone(&circuit));
    let report = refused_report(&refused);
    let (origin, text) = (session.circuit.clone(), session.text.clone());
    Ok(Loaded { circuit, bench, origin, text, session: Some(session), file: None, demonstrating: None, report })
}

/// A circuit, with the report on its doubtful things; or the report on why there is none.
fn circuit_of(text: &str, name: &str) -> Result<(Arc<Circuit>, Option<String>), Unsound> {
    let reading = format::read(text);
    let report = || report_on(text, name, &reading.findings);
    let Some(circuit) = reading.circuit.clone() else {
        let errors = reading.findings.iter().filter(|f| f.severity == Severity::Error).count();
        let count = if errors == 1 { t!("loading-one-error").to_owned() } else { t!("loading-errors", errors) };
        return Err(Unsound { title: t!("loading-has", name, count), text: report() });
    };
    Ok((Arc::new(circuit), (!reading.findings.is_empty()).then(report)))
}

/// What was found in a text, as far as a box has room for it.
fn report_on(text: &str, name: &str, findings: &[Finding]) -> String {
    let shown = findings.len().min(MOST_FINDINGS);
    let mut report = format::render_in(spoken(), text, name, &findings[..shown]);
    if findings.len() > shown {
        let more = t!("loading-more-are-found", more = findings.len() - shown);
        report = format!("{}\n\n{more}\n", report.trim_end());
    }
    report
}

/// What of what was done could not be done again.
pub(super) fn refused_report(refused: &[Refused]) -> Option<Dialog> {
    let done = |action: &Action| match action {
        Action::Build(change) => worded(&change.told()),
        other => action_words(other),
    };
    let line = |(action, refusal): &Refused| titled(&done(action), &worded(&refusal.told()));
    let lines: Vec<String> = refused.iter().map(line).collect();
    let title = t!("loading-not-everything-could-be-done").to_owned();
    (!lines.is_empty()).then(|| Dialog::Report(title, lines.join("\n")))
}
