//! What persists between one settled state and the next, and what a settled circuit reads.
//!
//! [`Memory`] is all that what happened before can still do: armatures held in, contacts between set and reset
//! point, fuses blown. [`Outcome`] is one settled (or chattering) state with every reading. Both are plain,
//! comparable data.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::{Contact, PartId, TerminalId, WireEnd, WireId};

use super::clutch::ClutchReading;
use super::inputs::Inputs;

/// What one part remembers. Most parts use none of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct PartMemory {
    /// A sensor's contact has left rest; a valve that shuts the clutch in has let air into it.
    pub acted: bool,
    /// A relay is pulled in, a valve energised, a module's driver on, a timer's contact in.
    pub on: bool,
    /// A fuse is blown.
    pub blown: bool,
    /// A module's set points that have acted, one bit each in the order of `Demand::set_points`.
    pub points: u64,
}

/// What the whole circuit remembers.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Memory {
    /// By part number; parts beyond its end remember nothing.
    pub parts: Vec<PartMemory>,
    /// Test leads, by number, whose fuse is blown.
    pub blown_leads: BTreeSet<u32>,
}

impl Memory {
    /// Nothing has happened yet to any of `parts` parts.
    pub fn fresh(parts: usize) -> Self {
        Self { parts: vec![PartMemory::default(); parts], blown_leads: BTreeSet::new() }
    }

    /// What one part remembers.
    pub fn of(&self, part: PartId) -> PartMemory {
        self.parts.get(part.index()).copied().unwrap_or_default()
    }

    /// Whether a fuse is blown: it opened, or was found so.
    pub fn fuse_blown(&self, inputs: &Inputs, fuse: PartId) -> bool {
        self.of(fuse).blown || inputs.altered.blown.contains(&fuse)
    }
}

/// Whether the circuit came to rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Settling {
    /// It rests.
    Settled,
    /// It goes through the same states again and again.
    Chattering {
        /// Parts that change on the way.
        parts: Vec<PartId>,
        /// Rounds from a state back to itself.
        period: usize,
    },
    /// It had not come to rest in the rounds allowed.
    GaveUp {
        /// Parts still changing in the last round.
        parts: Vec<PartId>,
    },
}

/// A fuse: one of the circuit's, or the one in a test lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FuseAt {
    /// The circuit's fuse.
    Part(PartId),
    /// The fuse in the lead of this number.
    Lead(u32),
}

/// A fuse that opened on the way to rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// Which.
    pub at: FuseAt,
    /// Its rating in amps.
    pub rating_amps: f64,
    /// What it carried just before, in amps.
    pub amps: f64,
    /// Another fuse was nearly as far above what it bears: which of them opens first is chance.
    pub is_close: bool,
    /// Everything as it stood just before.
    pub before: Memory,
}

/// What a contact or driver does now. Named as the file's readers know it: the part alone, or `K1.87`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ContactReading {
    /// Part it is in.
    pub part: PartId,
    /// Terminal that tells it from the part's other contacts, where there are several.
    pub terminal: Option<TerminalId>,
    /// Where it is.
    pub position: Contact,
    /// Where it is at rest.
    pub rest: Contact,
    /// Terminals it joins when closed.
    pub joins: [TerminalId; 2],
}

/// What a coil carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilReading {
    /// Volts across it, positive when the terminal where current should enter (86, or 1) is the higher. Zero
    /// where a whole winding floats; none where a broken one has an end that does.
    pub volts: Option<f64>,
    /// Amps through the winding, same sense.
    pub amps: f64,
    /// Pulled in.
    pub energised: bool,
    /// Volts that would pull it in at its present temperature.
    pub pulls_in_now: f64,
    /// Volts at which it would let go at its present temperature.
    pub drops_out_now: f64,
}

/// Where one air valve stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ValveReading {
    /// The valve.
    pub part: PartId,
    /// Supply air reaches the clutch.
    pub passing: bool,
}

/// One state of a circuit, with every reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Memory to settle the next change from.
    pub memory: Memory,
    /// Whether it rests.
    pub settling: Settling,
    /// Volts against battery `-` at each terminal: what a lead there touches. None where it floats.
    pub volts: Vec<Option<f64>>,
    /// Volts of the part's own side of each terminal; differs from `volts` only where its plug is off.
    pub part_volts: Vec<Option<f64>>,
    /// Volts of each lifted wire end.
    pub loose_volts: BTreeMap<WireEnd, Option<f64>>,
    /// Amps in each wire, positive from `from` to `to`.
    pub wire_amps: Vec<f64>,
    /// Amps through each test lead by number, from its first end to its second.
    pub lead_amps: BTreeMap<u32, f64>,
    /// Amps through each part that has one way through it (fuse, closed contact, diode, load, ground, battery),
    /// from its first terminal to its second (a diode always from anode to
    /// cathode); for a relay, module or timer, through the contact or driver.
    pub part_amps: Vec<f64>,
    /// Contacts in part order.
    pub contacts: Vec<ContactReading>,
    /// Coils of relays and valves.
    pub coils: BTreeMap<PartId, CoilReading>,
    /// Fuses that opened on the way here, in order.
    pub opened: Vec<Opened>,
    /// Valves in part order.
    pub valves: Vec<ValveReading>,
    /// Pressure at the supply gauge in kPa (gauge): that of the tanks, less what is lost on the way.
    pub supply_kpa: f64,
    /// Pressure in the clutch's chamber in kPa (gauge). None where no valve feeds a clutch.
    pub chamber_kpa: Option<f64>,
    /// The clutch. None where no valve feeds one.
    pub clutch: Option<ClutchReading>,
}

impl Outcome {
    /// Whether it came to rest.
    pub fn settled(&self) -> bool {
        self.settling == Settling::Settled
    }

    /// Amps in one wire.
    pub fn amps_in(&self, wire: WireId) -> f64 {
        self.wire_amps[wire.index()]
    }

    /// Volts a lead on this terminal touches.
    pub fn volts_at(&self, terminal: TerminalId) -> Option<f64> {
        self.volts[terminal.index()]
    }
}
