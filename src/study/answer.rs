//! Answers as plain data, each with the parts and wires it rests on.
//!
//! What the studies find out, in a form that the window, the command line and paper share. The sentences in it come
//! from [`wording`](super::wording); no judgement is made here.

use crate::circuit::{PartId, TerminalId, WireEnd, WireId};
use crate::words::{Words, say};

/// The five links from the demand to the fan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LinkName {
    /// Does anything ask for the fan?
    Call,
    /// Does the coil stand as the call asks?
    Circuit,
    /// Does the valve stand as its coil asks?
    Valve,
    /// Is the air in the chamber what the valve should give?
    Air,
    /// Does the clutch do what the air should make it do?
    Clutch,
}

impl LinkName {
    /// The links in order.
    pub const ALL: [Self; 5] = [Self::Call, Self::Circuit, Self::Valve, Self::Air, Self::Clutch];

    /// The link's name as people read it.
    pub fn word(self) -> Words {
        match self {
            Self::Call => say!("answer-call"),
            Self::Circuit => say!("answer-circuit"),
            Self::Valve => say!("answer-valve"),
            Self::Air => say!("answer-air"),
            Self::Clutch => say!("answer-clutch"),
        }
    }
}

/// One link of the chain.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Which.
    pub name: LinkName,
    /// Its state in a word or two.
    pub word: Words,
    /// Its one number with its unit.
    pub number: Words,
    /// It stands as it must for the fan to be driven.
    pub drives: bool,
    /// It follows from the link before it. The first link that doesn't is where to look.
    pub holds: bool,
    /// Written reasons, whole sentences.
    pub because: Vec<Words>,
    /// What it rests on in the drawing.
    pub rests_on: Vec<Subject>,
}

/// A thing that can be pointed at: what an answer rests on, what a shape shows, what a pointer touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A part.
    Part(PartId),
    /// One terminal of a part.
    Terminal(TerminalId),
    /// A wire.
    Wire(WireId),
    /// One end of a wire, on its terminal or lifted off it.
    WireEnd(WireEnd),
    /// A test lead, by its number.
    Lead(u32),
}

/// What the clutch does, or why nothing can be said of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Driven.
    Engaged,
    /// Free.
    Released,
    /// Driven in part.
    Slipping,
    /// The circuit never comes to rest.
    Unsettled,
    /// No air valve in the circuit.
    None,
}

impl Standing {
    /// The word in the contract's JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Engaged => "engaged",
            Self::Released => "released",
            Self::Slipping => "slipping",
            Self::Unsettled => "unsettled",
            Self::None => "none",
        }
    }

    /// The same for people.
    pub fn said(self) -> Words {
        match self {
            Self::Engaged => say!("answer-engaged"),
            Self::Released => say!("answer-released"),
            Self::Slipping => say!("answer-slipping"),
            Self::Unsettled => say!("answer-unsettled"),
            Self::None => say!("answer-none"),
        }
    }
}

/// How grave a hazard is, with the signal words of ANSI Z535.4 (from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Will hurt someone or destroy something.
    Danger,
    /// Could.
    Warning,
    /// Wants care.
    Caution,
}

impl Level {
    /// The word in the contract's JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Warning => "warning",
            Self::Caution => "caution",
        }
    }
}

/// The kinds of hazard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HazardKind {
    /// Supply joined to ground with nothing between.
    SupplyShorted,
    /// Something is fed past the fuse that protects it.
    FuseBypassed,
    /// A fuse opens.
    FuseWouldOpen,
    /// A coil's two ends are joined.
    CoilBridged,
    /// A bare or unplugged end at voltage.
    LiveEnd,
    /// A module's output is held at supply from outside.
    ModuleBackfed,
    /// A module's driver carries more than it may.
    ModuleOverloaded,
    /// A test lead gets too warm.
    LeadOverheated,
    /// A wire gets too warm.
    WireOverheated,
    /// A contact carries more than it may.
    ContactOverloaded,
    /// The fan is coupled, or will be at the turn of the key.
    FanMayStart,
    /// A coil without suppressor is broken by hand.
    NoSuppressor,
    /// The truck is not as built.
    LeftChanged,
}

impl HazardKind {
    /// The word in the contract's JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::SupplyShorted => "supply-shorted",
            Self::FuseBypassed => "fuse-bypassed",
            Self::FuseWouldOpen => "fuse-would-open",
            Self::CoilBridged => "coil-bridged",
            Self::LiveEnd => "live-end",
            Self::ModuleBackfed => "module-backfed",
            Self::ModuleOverloaded => "module-overloaded",
            Self::LeadOverheated => "lead-overheated",
            Self::WireOverheated => "wire-overheated",
            Self::ContactOverloaded => "contact-overloaded",
            Self::FanMayStart => "fan-may-start",
            Self::NoSuppressor => "no-suppressor",
            Self::LeftChanged => "left-changed",
        }
    }
}

/// One danger of the present state.
#[derive(Clone, Debug, PartialEq)]
pub struct Hazard {
    /// What kind.
    pub kind: HazardKind,
    /// How grave.
    pub level: Level,
    /// Where: a tag, a terminal, a wire's end or an act, as the grammar writes it.
    pub at: String,
    /// What it does to the truck and to a hand, in a sentence or two.
    pub text: Words,
    /// What it concerns in the drawing.
    pub subjects: Vec<Subject>,
}

impl Hazard {
    /// Whether another is the same danger, though its numbers may be others.
    pub fn is_also(&self, other: &Self) -> bool {
        (self.kind, self.level, &self.at) == (other.kind, other.level, &other.at)
    }
}

/// The whole answer on one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// What the clutch does.
    pub standing: Standing,
    /// The five links; empty where there is no air valve.
    pub chain: Vec<Link>,
    /// Dangers, gravest first.
    pub hazards: Vec<Hazard>,
    /// The reasons of all links in order, whole sentences.
    pub because: Vec<Words>,
}
