//! What panels are given to read: the bench as it is shown, the verdict on it, and how the person has set things out.
//!
//! Yields [`Seen`], [`Desk`], [`Room`] and [`Look`]. Panels cannot change any of it; they push
//! [`Command`]s instead.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::bench::{Bench, LeadFuse};
use crate::circuit::Circuit;
use crate::drawing::{Layout, Symbols};
use crate::report::Size;
use crate::study::answer::{LinkName, Subject, Verdict};
use crate::study::hunt::{Hunt, Report, Seen as Eyes};

use super::bay::Bay;
use super::build::Building;
use super::clock::Clock;
use super::command::{Command, Commands, Dialog};
use super::condition::Units;
use super::demonstrating::Demonstrating;
use super::desktop::Desktop;
use super::dress::Dress;
use super::filing::Filing;
use super::instrument::Instruments;
use super::papers::Papers;
use super::session::Taken;
use super::space::{Beside, Pair, Space, Stand, Unfolded};
use super::stride::Strides;
use super::studies::Studies;
use super::theme::Palette;
use super::tongue::t;
use super::tool::Tool;
use crate::words::Language;

/// What the person has in hand at one circuit, and looks at there.
#[derive(Clone, Debug)]
pub struct Desk {
    /// The tool in hand.
    pub tool: Tool,
    /// The fuse of the lead in the tray.
    pub fuse: LeadFuse,
    /// Where the instruments are.
    pub instruments: Instruments,
    /// What is looked at.
    pub selected: Option<Subject>,
    /// The link whose reasons are open.
    pub link: Option<LinkName>,
    /// The last thing said about it.
    pub said: String,
    /// Something worth trying, until it is put away.
    pub suggestion: Option<String>,
    /// What is in hand while the circuit is changed.
    pub building: Building,
}

/// How the window is set out, whichever circuit is in front.
#[derive(Clone, Debug, Default)]
pub struct Room {
    /// A question or list over the window.
    pub dialog: Option<Dialog>,
    /// The drawer that is pulled out at the left, if one is.
    pub drawer: Option<Drawer>,
    /// Which of the proving acts are listed.
    pub proving: Proving,
    /// How much room the window has.
    pub space: Space,
    /// What is unfolded where there is little.
    pub unfolded: Unfolded,
    /// How much of a second circuit is seen.
    pub pair: Pair,
    /// Width for the drawing and what stands beside it, conditions and drawer apart.
    pub wide: f32,
    /// Where instruments stand that are out and, in a low window, the ledger.
    pub stand: Stand,
}

impl Room {
    /// The drawer that is seen: pulled out, and not folded for want of room.
    pub fn open_drawer(&self) -> Option<Drawer> {
        self.drawer.filter(|_| !self.space.is_narrow || self.unfolded.beside == Some(Beside::Drawer))
    }
}

/// What can be pulled out at the left of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Drawer {
    /// The proving acts.
    Prove,
    /// The logic table.
    Logic,
    /// The fault table.
    Faults,
    /// From what was seen to the fault.
    Find,
    /// A hidden fault.
    Hunt,
    /// What was done, step by step, and demonstrations.
    Steps,
    /// The circuit as built, to be changed.
    Build,
}

impl Drawer {
    /// What it is called, as on its button.
    pub fn word(self) -> &'static str {
        match self {
            Self::Prove => t!("bar-prove"),
            Self::Logic => t!("bar-logic"),
            Self::Faults => t!("bar-faults"),
            Self::Find => t!("bar-find"),
            Self::Hunt => t!("bar-hunt"),
            Self::Steps => t!("bar-steps"),
            Self::Build => t!("bar-build"),
        }
    }
}

/// What the clutch is to be made to do by hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Proving {
    /// Engage.
    #[default]
    Engage,
    /// Release.
    Release,
}

impl Default for Desk {
    fn default() -> Self {
        Self {
            tool: Tool::Hand,
            fuse: LeadFuse::Usual,
            instruments: Instruments::default(),
            selected: None,
            link: None,
            said: String::new(),
            suggestion: None,
            building: Building::default(),
        }
    }
}

/// How things are shown.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Look {
    /// The symbols' standard.
    pub symbols: Symbols,
    /// The units quantities are told in.
    pub units: Units,
    /// Somebody has chosen them; they are the desktop's or the circuit's otherwise.
    pub own_units: bool,
    /// Volts at the terminals.
    pub readings: bool,
    /// The card's paper.
    pub paper: Size,
    /// The fan is seen turning while time passes.
    pub motion: bool,
    /// The language; the desktop's until one is chosen.
    pub language: Option<Language>,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            symbols: Symbols::default(),
            units: Units::default(),
            own_units: false,
            readings: false,
            paper: Size::default(),
            motion: true,
            language: None,
        }
    }
}

impl Look {
    /// The units to tell a circuit in: somebody's choice, those of the desktop's country, or else the circuit's own.
    pub fn units_for(&self, desktop: &Desktop, circuit: &Circuit) -> Units {
        let chosen = self.own_units.then_some(self.units);
        chosen.or(desktop.units).unwrap_or_else(|| Units::of(circuit))
    }
}

/// What of the window is shown.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// How the window is set out.
    pub room: &'a Room,
    /// How things are shown.
    pub look: &'a Look,
    /// The sheet and the size of letters.
    pub dress: &'a Dress,
    /// The files of the window.
    pub filing: &'a Filing,
    /// The number of the circuit in front.
    pub front: u32,
}

/// All that a panel may read.
#[derive(Clone, Copy, Debug)]
pub struct Seen<'a> {
    /// The circuit's number in this window.
    pub number: u32,
    /// What it is called among those that are open.
    pub name: &'a str,
    /// It is the one in front, which keyboard and drawers are about.
    pub is_front: bool,
    /// The bench as it is shown.
    pub bench: &'a Bench,
    /// The verdict on it.
    pub verdict: &'a Verdict,
    /// What is in hand and looked at.
    pub desk: &'a Desk,
    /// How the window is set out.
    pub room: &'a Room,
    /// How things are shown.
    pub look: &'a Look,
    /// The sheet and the size of letters.
    pub dress: &'a Dress,
    /// Colours.
    pub palette: Palette,
    /// Which steps were asked for together.
    pub strides: &'a Strides,
    /// The longer answers, as far as they are known.
    pub studies: &'a Studies,
    /// What is known of the files of the bench.
    pub papers: &'a Papers,
    /// What is known of the files of the window.
    pub filing: &'a Filing,
    /// Where everything is on the drawing.
    pub layout: &'a Layout,
    /// The clock, if it is out.
    pub clock: Option<&'a Clock>,
    /// What the instruments on the circuit show.
    pub taken: &'a [Taken],
    /// The pressures at the supply and at the clutch in kPa; none where there is no clutch.
    pub gauges: [Option<f64>; 2],
    /// The hunt, under way or over.
    pub hunt: Option<&'a Hunt>,
    /// What eyes tell of the truck with the hidden fault; none where everything may be seen. Bench and verdict are then
    /// those of the truck without it.
    pub eyes: Option<&'a Eyes>,
    /// What the hunt came to.
    pub report: Option<&'a Report>,
    /// The demonstration that is gone through.
    pub demonstrating: Option<&'a Demonstrating>,
}

impl<'a> Seen<'a> {
    /// What there is to read of one circuit this frame.
    pub fn of(shown: Shown<'a>, bay: &'a Bay, palette: Palette) -> Self {
        let Shown { room, look, dress, filing, front } = shown;
        let session = &bay.session;
        Self {
            number: bay.number,
            name: &bay.name,
            is_front: bay.number == front,
            bench: session.bench(),
            verdict: session.verdict(),
            desk: &bay.desk,
            room,
            look,
            dress,
            palette,
            strides: &bay.strides,
            studies: &bay.studies,
            papers: &bay.papers,
            filing,
            layout: session.layout(),
            clock: session.clock(),
            taken: session.taken(),
            gauges: session.gauges(),
            hunt: session.hunt(),
            eyes: session.eyes(),
            report: session.report(),
            demonstrating: bay.demonstrating.as_ref(),
        }
    }

    /// Asks for what was asked of this circuit: it comes to the front first.
    pub fn ask(&self, asked: Commands, commands: &mut Commands) {
        if !asked.is_empty() && !self.is_front {
            commands.push(Command::Bring(Some(self.number)));
        }
        commands.append(asked);
    }

    /// What a screen reader says of something that each of two circuits has, while two are seen.
    pub fn told(&self, what: &str) -> String {
        if self.room.pair.has_two() { t!("seen-on", what, name = self.name) } else { what.to_owned() }
    }
}

/// What the chosen link rests on, in the drawing.
pub fn highlighted(verdict: &Verdict, desk: &Desk) -> BTreeSet<Subject> {
    let link = verdict.chain.iter().find(|link| Some(link.name) == desk.link);
    link.map(|link| link.rests_on.iter().copied().collect()).unwrap_or_default()
}
