//! The desktop's own dialog for choosing a file, where it offers one, beside the path fields of the window.
//!
//! Yields [`Choosing`]. The dialog runs on a thread of its own, so that the window goes on; its library tells a desktop
//! without dialogs from a person who chose nothing only by how soon it answers. What is done with the choice is left to
//! [`filing`](super::filing).

use std::path::{Path, PathBuf};

use egui::Context;
use rfd::FileDialog;

use super::background::Job;
use super::tongue::t;
use super::watch::Holds;

/// Nobody closes a dialog sooner than this after it was asked for, in seconds; where there is none the answer takes
/// hundredths (measured without a session bus, and with one that has no portal).
const SOONEST_S: f64 = 0.3;

/// What a file is chosen for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// To open it in place of the circuit in front.
    Open,
    /// To open it beside that.
    OpenBeside,
    /// To save this there.
    Save(Holds),
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// This file.
    Place(Wanted, PathBuf),
    /// The person chose none.
    None,
    /// There is no dialog.
    NoDialog,
}

/// The dialog, if one is open.
#[derive(Debug, Default)]
pub struct Choosing {
    open: Option<(Wanted, Job<Option<PathBuf>>, f64)>,
}

impl Choosing {
    /// Opens the dialog, unless one is open. `name` is what to call a new file, or its whole path; `now_s` the window's clock.
    pub fn begin(&mut self, ctx: &Context, wanted: Wanted, name: &str, now_s: f64) {
        if self.open.is_some() {
            return;
        }
        let place = Path::new(name);
        let folder = place.parent().filter(|folder| folder.is_absolute()).map(Path::to_owned);
        let name = place.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let job = Job::begin(ctx, move |_| {
            let dialog = FileDialog::new()
                .add_filter(t!("choosing-circuits-and-sessions"), &["ron"])
                .add_filter(t!("choosing-all-files"), &["*"]);
            let dialog = match folder {
                Some(folder) => dialog.set_directory(folder),
                None => dialog,
            };
            Some(match wanted {
                Wanted::Open | Wanted::OpenBeside => dialog.set_title(t!("choosing-put-a-circuit-on-the")).pick_file(),
                Wanted::Save(Holds::Circuit) => {
                    dialog.set_title(t!("choosing-save-the-circuit")).set_file_name(name).save_file()
                }
                Wanted::Save(Holds::Demonstration) => {
                    dialog.set_title(t!("choosing-save-the-demonstration")).set_file_name(name).save_file()
                }
                Wanted::Save(Holds::Session) => {
                    dialog.set_title(t!("choosing-save-the-session")).set_file_name(name).save_file()
                }
            })
        });
        self.open = Some((wanted, job, now_s));
    }

    /// What was chosen, once.
    pub fn take(&mut self, now_s: f64) -> Option<Choice> {
        let (wanted, job, since_s) = self.open.as_ref()?;
        let answer = job.take()?;
        let choice = match answer {
            Some(path) => Choice::Place(*wanted, path),
            None if now_s - since_s < SOONEST_S => Choice::NoDialog,
            None => Choice::None,
        };
        self.open = None;
        Some(choice)
    }

    /// Whether a dialog is open.
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }
}
