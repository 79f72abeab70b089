//! Everything the window can be asked to do, as values in a queue.
//!
//! Panels only read and push [`Command`]s; [`apply`](super::apply) carries them out at the end of the frame, in
//! order, in one place. A frame that egui runs twice pushes the same commands twice only where a click happened
//! twice, so nothing is done behind a person's back.

use std::path::PathBuf;

use crate::bench::{Act, Action, LeadFuse, Point, Setting};
use crate::drawing::Symbols;
use crate::report::Size;
use crate::study::answer::{LinkName, Subject};

use super::build::BuildStep;
use super::condition::Units;
use super::demonstrating::DemoStep;
use super::dress::Sheet;
use super::filing::FileStep;
use super::finding::FindStep;
use super::hunting::HuntStep;
use super::instrument::{Device, Handling};
use super::samples::Sample;
use super::seen::{Drawer, Proving};
use super::space::Fold;
use super::tool::ToolKind;
use super::watch::Holds;
use crate::words::Language;

/// One thing asked of the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Change the bench.
    Act(Action),
    /// Show what a setting would come to while it is still being dragged.
    Try(Setting),
    /// The drag ended on this setting: make the change.
    LetGo(Setting),
    /// Take a tool from the tray.
    PickUp(ToolKind),
    /// Put the tool in hand back.
    PutToolBack,
    /// Choose the fuse of the lead in the tray.
    FuseLead(LeadFuse),
    /// Clip the lead's first end on.
    FirstClip(Point),
    /// Do something with an instrument.
    Handle(Device, Handling),
    /// Look at something, or at nothing.
    Select(Option<Subject>),
    /// Open the reasons of a link, or close them.
    ShowLink(Option<LinkName>),
    /// Open a question or list over the window, or close it.
    Ask(Option<Dialog>),
    /// Open another circuit; asks first where anything is left changed.
    Open(Source),
    /// Open another circuit beside those that are open.
    OpenBeside(Source),
    /// Bring the circuit of this number to the front, or the next one in the row.
    Bring(Option<u32>),
    /// Close the circuit of this number; asks first where anything is left changed.
    Close(u32),
    /// See two circuits at once, or the one in front alone.
    SideBySide(bool),
    /// Do on the circuit beside what is done in front, or not.
    Together(bool),
    /// Answer to [`Dialog::Leaving`].
    Leave(Answer),
    /// Choose what the window is drawn on.
    Sheet(Sheet),
    /// Make what is pressed large enough for fingers, or not.
    Fingers(bool),
    /// Choose the symbols' standard.
    Symbols(Symbols),
    /// Choose the units.
    Units(Units),
    /// Choose the language.
    Language(Language),
    /// Write volts at the terminals or not.
    Readings(bool),
    /// Make all text larger or smaller by so much of its usual size, or back to that where nothing is given.
    TextScale(Option<f32>),
    /// Move the sheet.
    View(Move),
    /// Take the keyboard to the drawing.
    ToDrawing,
    /// Unfold something where there is little room, or fold it.
    Fold(Fold, bool),
    /// Pull a drawer out, or push it in.
    Pull(Option<Drawer>),
    /// List the acts for this.
    Prove(Proving),
    /// Do all of these, in order, as one proving act.
    TryAll(Vec<Act>),
    /// Put all of these back, the last one first.
    PutBackAll(Vec<Act>),
    /// Stop working out the proving acts, or go on with it.
    StopProof(bool),
    /// Stop working out the fault table, or go on with it.
    StopFaults(bool),
    /// Something about files.
    File(FileStep),
    /// A step of a find.
    Find(FindStep),
    /// A step of a hunt.
    Hunt(HuntStep),
    /// Something about a demonstration.
    Demonstrate(DemoStep),
    /// Choose the paper of the card.
    Paper(Size),
    /// Write the card to a file, in the form its ending says.
    WriteCard(PathBuf),
    /// Take the clock out, or put it away.
    Clock(bool),
    /// Let time pass, or stand still.
    Play(bool),
    /// Let a tenth of a second pass at the clock's speed.
    StepClock,
    /// Seconds of truck time to a second.
    Speed(f64),
    /// Go back to a moment of the clock.
    BackTo(f64),
    /// Take up again what came after the moment that was gone back to.
    ForwardAgain,
    /// Let the fan be seen turning, or not.
    Motion(bool),
    /// Change the circuit as built.
    Build(BuildStep),
    /// Put the suggestion away.
    CloseSuggestion,
    /// Say something in the tray.
    Say(String),
}

/// A change of what part of the sheet is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Move {
    /// See all of it, and keep seeing it as the window changes.
    Fit,
    /// Nearer or further, about the middle.
    Zoom(f32),
}

/// Where a circuit comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// One that comes with the program.
    Sample(Sample),
    /// A file.
    File(PathBuf),
    /// One made from answers: its text.
    Made(String),
}

/// Why it is asked before a file is saved over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guard {
    /// What it holds was not saved or read here.
    Anothers,
    /// It is write-protected.
    WriteProtected,
}

/// A question or list over the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// The circuits to open.
    Open,
    /// Where to save the session, or the circuit.
    Save,
    /// A file is where this was to be saved that is not to be saved over without a word.
    Overwrite(Holds, PathBuf, Guard),
    /// Questions that a circuit is made from.
    Making,
    /// Words of the trade: the one asked for, by its place in their list, or all.
    Terms(Option<usize>),
    /// The card for the cab.
    Card,
    /// What is modelled, what is not, and what to heed.
    About,
    /// Every key and what it does.
    Keys,
    /// What can be wrong with this, to be planted and put right.
    Faults(Subject),
    /// A circuit that could not be opened, or one with doubtful things: heading and text.
    Report(String, String),
    /// A file was let go over the window: where its circuit is to go.
    LetGo(PathBuf),
    /// Something is still changed; this is what waits for the answer.
    Leaving(Leaving),
}

/// What waits until it is settled what becomes of the changes.
#[derive(Clone, Debug, PartialEq)]
pub enum Leaving {
    /// Closing the window.
    Close,
    /// Opening another circuit in place of the one in front.
    Open(Source),
    /// Closing the circuit of this number, others staying open.
    Shut(u32),
}

/// What to do with changes that are left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Put everything back, then go on.
    PutBack,
    /// Leave it changed and go on.
    LeaveChanged,
    /// Stay here.
    Stay,
    /// Let what is here be, and open the other circuit beside it.
    Beside,
}

/// The queue.
#[derive(Debug, Default)]
pub struct Commands {
    list: Vec<Command>,
}

impl Commands {
    /// Asks for something.
    pub fn push(&mut self, command: Command) {
        self.list.push(command);
    }

    /// Whether nothing has been asked for.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Asks for all this too, in order.
    pub fn append(&mut self, mut others: Self) {
        self.list.append(&mut others.list);
    }

    /// Takes all that was asked for, in order.
    pub fn take(&mut self) -> Vec<Command> {
        std::mem::take(&mut self.list)
    }
}
