//! The files of one circuit that is open: where it came from, where its session was saved, what another has done to them.
//!
//! Yields [`Papers`]. Reading and writing, and asking what to do, are left to [`filing`](super::filing).

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::circuit::{Circuit, format};

use crate::bench::Bench;
use crate::bench::journal::Origin;

use super::choosing::Wanted;
use super::files;
use super::kept::{KeptHunt, SavedAs};
use super::loading::Loaded;
use super::watch::{Holds, News, Watch};
use super::words;

/// What is known of the files of one circuit.
#[derive(Debug)]
pub struct Papers {
    /// Where the circuit came from.
    pub origin: Origin,
    /// Where the session was saved, or opened from.
    pub saved_as: Option<PathBuf>,
    /// Where the demonstration was saved, or opened from.
    pub shown_from: Option<PathBuf>,
    /// What another has done to a file of these.
    pub news: Option<News>,
    /// What is on the bench was taken up where it was left.
    pub taken_up: bool,
    /// The circuit file, to the letter, that everything was done to.
    pub(super) text: String,
    /// What the circuit's own file holds, to the letter, and as a circuit.
    pub(super) in_file: (String, Arc<Circuit>),
    /// Whether this circuit is another than that.
    compared: Option<(Arc<Circuit>, bool)>,
    pub(super) watch: Watch,
    /// A hunt to be gone through again once its fault is hidden again.
    pub(super) hunt: Option<KeptHunt>,
}

impl Papers {
    /// Those of what was loaded. A session's circuit is watched where it came from: what the session holds is what it is
    /// compared with.
    pub(super) fn of(loaded: &mut Loaded) -> Self {
        let mut papers = Self {
            origin: loaded.origin.clone(),
            saved_as: None,
            shown_from: None,
            news: None,
            taken_up: false,
            in_file: in_file(loaded),
            compared: None,
            text: std::mem::take(&mut loaded.text),
            watch: Watch::default(),
            hunt: loaded.session.as_ref().and_then(|session| session.hunt.clone()),
        };
        if let Some((path, holds, stamped)) = loaded.file.take() {
            match holds {
                Holds::Session => papers.saved_as = Some(path.clone()),
                Holds::Demonstration => papers.shown_from = Some(path.clone()),
                Holds::Circuit => {}
            }
            papers.watch.follow(&path, holds, stamped);
        }
        papers.watch_origin();
        papers
    }

    /// Watches the file the circuit came from. Its stamp is not known, so that it is read once.
    fn watch_origin(&mut self) {
        if let Origin::File(path) = &self.origin
            && !self.watch.has(Holds::Circuit)
            && files::is_there(path)
        {
            self.watch.follow(path, Holds::Circuit, (None, self.in_file.0.clone()));
        }
    }

    /// Takes up where the session or the demonstration was saved. Where the file has not been written since, it is still
    /// from here.
    pub(super) fn saved_before(&mut self, holds: Holds, saved: Option<SavedAs>) {
        let Some(SavedAs { path, stamp }) = saved else { return };
        if stamp.is_some()
            && files::stamp(&path) == stamp
            && let Ok(text) = files::read_text(&path)
        {
            self.watch.follow(&path, holds, (stamp, text));
        }
        match holds {
            Holds::Session => self.saved_as = Some(path),
            Holds::Demonstration => self.shown_from = Some(path),
            Holds::Circuit => {}
        }
    }

    /// Where the session or the demonstration was saved, and what tells whether the file has been written by another since.
    pub(super) fn saved(&self, holds: Holds) -> Option<SavedAs> {
        let path = if holds == Holds::Demonstration { &self.shown_from } else { &self.saved_as };
        let stamp = self.watch.stamp_of(holds);
        path.clone().map(|path| SavedAs { path, stamp })
    }

    /// Whether the circuit is another than its file holds, as it was when last compared.
    pub fn is_changed(&self) -> bool {
        self.compared.as_ref().is_some_and(|(_, is_changed)| *is_changed)
    }

    /// Compares the circuit with what its file holds, once for each.
    pub(super) fn compare(&mut self, circuit: Arc<Circuit>) {
        if self.compared.as_ref().is_none_or(|(known, _)| !Arc::ptr_eq(known, &circuit)) {
            let is_changed = !Arc::ptr_eq(&circuit, &self.in_file.1) && *circuit != *self.in_file.1;
            self.compared = Some((circuit, is_changed));
        }
    }

    /// Takes note of what the circuit's file holds now.
    pub(super) fn saved_circuit(&mut self, text: String, circuit: Arc<Circuit>) {
        self.in_file = (text, circuit);
        self.compared = None;
    }

    /// What its file holds, where that is no longer what everything was done to.
    pub(super) fn saved_since(&self) -> Option<String> {
        (self.in_file.0 != self.text).then(|| self.in_file.0.clone())
    }

    /// The circuit as it was before anything was done, whatever has been changed of it since.
    pub(super) fn as_begun(&self, bench: &Bench) -> Arc<Circuit> {
        // What was read once reads again.
        format::read(&self.text).circuit.map_or_else(|| bench.circuit_shared(), Arc::new)
    }

    /// The file that names it: the session's, else the circuit's.
    pub fn file(&self) -> Option<&Path> {
        match (&self.saved_as, &self.shown_from, &self.origin) {
            (Some(path), _, _) | (None, Some(path), _) | (None, None, Origin::File(path)) => Some(path),
            (None, None, Origin::Shipped(_) | Origin::Made) => None,
        }
    }

    /// What to call a file: the name it has, else one made of the circuit's title.
    pub fn proposal(&self, title: &str, wanted: Wanted) -> String {
        let path = match (wanted, &self.origin) {
            (Wanted::Save(Holds::Session), _) => self.saved_as.as_deref(),
            (Wanted::Save(Holds::Demonstration), _) => self.shown_from.as_deref(),
            (Wanted::Save(Holds::Circuit), Origin::File(path)) => Some(path.as_path()),
            (Wanted::Save(Holds::Circuit), Origin::Shipped(_) | Origin::Made)
            | (Wanted::Open | Wanted::OpenBeside, _) => None,
        };
        let ending = match wanted {
            Wanted::Save(Holds::Session) => "-session.ron",
            Wanted::Save(Holds::Demonstration) => "-steps.ron",
            Wanted::Save(Holds::Circuit) | Wanted::Open | Wanted::OpenBeside => ".ron",
        };
        path.map_or_else(|| words::file_name(title, ending), |path| path.display().to_string())
    }
}

/// What the file of a circuit that has been read holds: the text it was read from, or what was saved there since.
fn in_file(loaded: &Loaded) -> (String, Arc<Circuit>) {
    let since = loaded.session.as_ref().and_then(|session| session.in_file.clone());
    let since = since.and_then(|text| Some((format::read(&text).circuit?, text)));
    match since {
        Some((circuit, text)) => (text, Arc::new(circuit)),
        None => (loaded.text.clone(), Arc::clone(&loaded.circuit)),
    }
}
