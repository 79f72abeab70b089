//! What is kept of the window in a file: a session, and with it how the window was left.
//!
//! Yields [`KeptSession`], which a person saves and opens, and [`Left`], which the window keeps for itself. Both hold
//! the circuit's text to the letter, so that what was done always fits what it was done to; what a bench, a find or a
//! hunt stands like is worked out anew from what was done. Where files lie, and when they are written, is left to
//! [`files`](super::files) and [`keeping`](super::keeping).

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::bench::journal::Origin;
use crate::bench::{Action, Demonstration, Journal, LeadFuse};
use crate::circuit::diagnostic::Finding;
use crate::circuit::format::{begins_with, of_format, read_value, write_value};
use crate::words::say;

use super::clock::Clock;
use super::dress::Sheet;
use super::files::Stamp;
use super::instrument::Instruments;
use super::seen::{Drawer, Look, Proving};
use super::space::Unfolded;
use super::stride::Strides;

/// The version of both files that this program reads and writes.
pub const FORMAT: u32 = 1;
/// The word a session file begins with; a circuit file begins with `Circuit`.
const SESSION: &str = "Session";
/// The word that a window's own file begins with.
const LEFT: &str = "Left";

/// A session: a circuit and everything done to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Session", deny_unknown_fields)]
pub struct KeptSession {
    /// The version of the file's format.
    pub format: u32,
    /// Where the circuit came from.
    pub circuit: Origin,
    /// Acts, settings and faults, in order.
    #[serde(default)]
    pub done: Vec<Action>,
    /// Those undone, in the order redo would make them again.
    #[serde(default)]
    pub undone: Vec<Action>,
    /// Which of them were asked for together.
    #[serde(default)]
    pub strides: Strides,
    /// Where the instruments are.
    #[serde(default)]
    pub instruments: Instruments,
    /// What was seen, for the find, in its grammar.
    #[serde(default)]
    pub seen: Vec<String>,
    /// The hunt that is on the bench; what was done above waits behind it.
    #[serde(default)]
    pub hunt: Option<KeptHunt>,
    /// The circuit file, to the letter, that everything was done to.
    pub text: String,
    /// What the circuit's own file holds by now, where the circuit was changed and saved since.
    #[serde(default)]
    pub in_file: Option<String>,
}

/// A hunt: the number it was hidden by, and what was done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Hunt", deny_unknown_fields)]
pub struct KeptHunt {
    /// The number.
    pub seed: u64,
    /// What was done, a line each.
    pub lines: Vec<String>,
    /// Whether it was ended unfound.
    #[serde(default)]
    pub given_up: bool,
}

/// What is shown of the sheet: the place in the middle and the zoom.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Sheet", deny_unknown_fields)]
pub struct KeptView {
    /// Place of the page in the middle.
    pub middle: (f32, f32),
    /// Points on screen per unit of the page.
    pub zoom: f32,
}

/// Where a session was saved, and what tells whether the file has been written by another since.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Saved", deny_unknown_fields)]
pub struct SavedAs {
    /// The file.
    pub path: PathBuf,
    /// Its time and length as they were left.
    pub stamp: Option<Stamp>,
}

/// How the window was left.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Left", deny_unknown_fields)]
pub struct Left {
    /// The version of the file's format.
    pub format: u32,
    /// How things are shown.
    #[serde(default)]
    pub look: Look,
    /// What the window is drawn on.
    #[serde(default)]
    pub theme: Sheet,
    /// How large all text is; 1 is usual.
    pub text_scale: f32,
    /// Whether what is pressed is large enough for fingers, once somebody has chosen.
    #[serde(default)]
    pub fingers: Option<bool>,
    /// The drawer that is out.
    #[serde(default)]
    pub drawer: Option<Drawer>,
    /// What was unfolded where there was little room.
    #[serde(default)]
    pub unfolded: Unfolded,
    /// Which proving acts are listed.
    #[serde(default)]
    pub proving: Proving,
    /// The fuse of the lead in the tray.
    pub lead: LeadFuse,
    /// What is seen of the sheet; none where all of it is.
    #[serde(default)]
    pub view: Option<KeptView>,
    /// Files opened or saved lately, the last one first.
    #[serde(default)]
    pub lately: Vec<PathBuf>,
    /// Where the session was saved.
    #[serde(default)]
    pub saved_as: Option<SavedAs>,
    /// Whether the clock was out.
    #[serde(default)]
    pub clock: bool,
    /// How far it had gone; a file from before that was kept does not say so.
    #[serde(default)]
    pub time: Option<KeptClock>,
    /// What is on the bench.
    pub session: KeptSession,
    /// The demonstration that is gone through there.
    #[serde(default)]
    pub demonstration: Option<KeptDemonstration>,
    /// What is open beside it.
    #[serde(default)]
    pub row: KeptRow,
}

/// A clock that was out: what had been done when it was started, and what was done since, with its moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Clock", deny_unknown_fields)]
pub struct KeptClock {
    /// What had been done and undone on the circuit when it was started.
    pub start: Journal,
    /// What was done since: seconds since the start, and what.
    pub did: Vec<(f64, Action)>,
    /// Seconds since the start.
    pub at_s: f64,
    /// Seconds of truck time to a second.
    pub speed: f64,
}

impl KeptClock {
    /// A clock as it stands.
    pub fn of(clock: &Clock) -> Self {
        let did = clock.done().iter().map(|deed| (deed.at_s, deed.action.clone())).collect();
        Self { start: Journal::of(clock.start()), did, at_s: clock.at_s(), speed: clock.speed }
    }
}

/// A demonstration that was gone through.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Shown", deny_unknown_fields)]
pub struct KeptDemonstration {
    /// Its steps.
    pub demonstration: Demonstration,
    /// How many of them were done.
    pub at: usize,
    /// The step ahead was told.
    #[serde(default)]
    pub tells_ahead: bool,
    /// Where it was saved.
    #[serde(default)]
    pub saved_as: Option<SavedAs>,
}

/// The circuits that were open beside the one in front.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Row", deny_unknown_fields)]
pub struct KeptRow {
    /// Those not in front, in their order.
    pub others: Vec<KeptBay>,
    /// The place of the one in front among all.
    pub front: usize,
    /// The place of the one seen beside it.
    #[serde(default)]
    pub beside: Option<usize>,
    /// Two are seen at once.
    pub side_by_side: bool,
    /// What is done in front is done on the one beside it too.
    #[serde(default)]
    pub together: bool,
    /// What was done on two at once: for each the circuit's place, and how many steps had been done there with it.
    #[serde(default)]
    pub joined: Vec<[(usize, usize); 2]>,
}

impl Default for KeptRow {
    fn default() -> Self {
        let (others, joined) = (Vec::new(), Vec::new());
        Self { others, front: 0, beside: None, side_by_side: true, together: false, joined }
    }
}

/// One circuit that was open.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename = "Bay", deny_unknown_fields)]
pub struct KeptBay {
    /// The circuit and what was done to it.
    pub session: KeptSession,
    /// Where the session was saved.
    #[serde(default)]
    pub saved_as: Option<SavedAs>,
    /// Whether the clock was out.
    #[serde(default)]
    pub clock: bool,
    /// How far it had gone; a file from before that was kept does not say so.
    #[serde(default)]
    pub time: Option<KeptClock>,
    /// What is seen of its sheet; none where all of it is.
    #[serde(default)]
    pub view: Option<KeptView>,
    /// The demonstration that is gone through there.
    #[serde(default)]
    pub demonstration: Option<KeptDemonstration>,
}

impl KeptSession {
    /// A circuit with nothing done to it but this.
    pub fn new(circuit: Origin, text: String, journal: Journal) -> Self {
        let Journal { done, undone } = journal;
        let (instruments, seen, hunt) = (Instruments::default(), Vec::new(), None);
        let strides = Strides::default();
        Self { format: FORMAT, circuit, done, undone, strides, instruments, seen, hunt, text, in_file: None }
    }

    /// Whether a text is meant to be a session and no circuit.
    pub fn is_session(text: &str) -> bool {
        begins_with(text, SESSION)
    }

    /// What was done.
    pub fn journal(&self) -> Journal {
        Journal { done: self.done.clone(), undone: self.undone.clone() }
    }

    /// The session as a file.
    ///
    /// # Errors
    /// Why there is none, in words: a path that is no text.
    pub fn write(&self) -> Result<String, String> {
        write_value(self)
    }

    /// The session a file holds.
    ///
    /// # Errors
    /// What is wrong with it, with its place.
    pub fn read(text: &str) -> Result<Self, Box<Finding>> {
        let session: Self = read_value(text, say!("kept-compare-it"))?;
        version(session.format).map(|()| session)
    }
}

impl Left {
    /// Whether a text is meant to be how a window was left.
    pub fn is_one(text: &str) -> bool {
        begins_with(text, LEFT)
    }

    /// What is on the bench, in a window that is otherwise as it comes.
    pub fn new(session: KeptSession) -> Self {
        Self {
            format: FORMAT,
            look: Look::default(),
            theme: Sheet::default(),
            text_scale: 1.0,
            fingers: None,
            drawer: None,
            unfolded: Unfolded::default(),
            proving: Proving::default(),
            lead: LeadFuse::Usual,
            view: None,
            lately: Vec::new(),
            saved_as: None,
            clock: false,
            time: None,
            session,
            demonstration: None,
            row: KeptRow::default(),
        }
    }

    /// As a file.
    ///
    /// # Errors
    /// As [`KeptSession::write`].
    pub fn write(&self) -> Result<String, String> {
        write_value(self)
    }

    /// What a file holds.
    ///
    /// # Errors
    /// What is wrong with it, with its place.
    pub fn read(text: &str) -> Result<Self, Box<Finding>> {
        let left: Self = read_value(text, say!("kept-begin-anew"))?;
        let sessions = left.row.others.iter().map(|bay| bay.session.format);
        [left.format, left.session.format].into_iter().chain(sessions).try_for_each(version)?;
        Ok(left)
    }
}

fn version(found: u32) -> Result<(), Box<Finding>> {
    of_format(found, FORMAT)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn session() -> KeptSession {
        let done = ["coolant=230F", "air=90psi"].map(|set| Action::Set(set.parse().unwrap()));
        let undone = vec![Action::Do("jump:B1.1=W4@B1.2/none".parse().unwrap()), Action::PutAllBack];
        let journal = Journal { done: done.to_vec(), undone };
        KeptSession::new(Origin::File("a \"b\".ron".into()), "// \"#\nCircuit(\n)\n".to_owned(), journal)
    }

    #[test]
    fn what_is_kept_comes_back_to_the_letter() {
        let hunt = KeptHunt { seed: 7, lines: vec!["read volts:Y1.1,Y1.2".to_owned()], given_up: true };
        let session = KeptSession { hunt: Some(hunt), ..session() };
        assert_eq!(KeptSession::read(&session.write().unwrap()).unwrap(), session);

        let view = Some(KeptView { middle: (1.5, -2.0), zoom: 0.3 });
        let left =
            Left { view, theme: Sheet::Dark, drawer: Some(Drawer::Logic), fingers: Some(true), ..Left::new(session) };
        assert_eq!(Left::read(&left.write().unwrap()).unwrap(), left);
    }

    #[test]
    fn a_session_is_told_from_a_circuit_by_its_first_word() {
        for text in ["Session(format: 1)", "\u{feff} // mine\n/* of today */ Session (", "//\n//\nSession("] {
            assert!(KeptSession::is_session(text), "{text}");
        }
        for text in ["Circuit(", "Sessions(", "// Session(", "", "/*", "Session", "(format: 1)"] {
            assert!(!KeptSession::is_session(text), "{text}");
        }
    }

    #[test]
    fn what_is_left_away_in_a_session_written_by_hand_is_empty() {
        let text = "// mine\nSession(format: 1, circuit: File(\"a.ron\"), done: [Set(\"coolant=220F\"), \
                    Plant(\"open:W4\"), PutBack(\"jump:B1.1=B1.2\")], text: r#\"Circuit()\"#)";
        let session = KeptSession::read(text).unwrap();
        assert_eq!((session.done.len(), session.undone.len(), session.seen.len()), (3, 0, 0));
        assert_eq!((session.instruments, session.hunt), (Instruments::default(), None));
    }

    #[test]
    fn a_session_of_another_format_is_refused_with_its_mend() {
        let text = session().write().unwrap().replacen("format: 1", "format: 2", 1);
        let finding = KeptSession::read(&text).unwrap_err();
        assert!(finding.message.contains("format 2") && !finding.mend.is_empty(), "{finding:?}");
    }
}
