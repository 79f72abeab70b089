//! What a drawing shows of a circuit's state: plain, comparable data.
//!
//! Yields [`Show`]. Whoever has computed a state fills it in; the drawing never computes volts or amps and never
//! decides whether a contact is closed. Lists are indexed by the circuit's own numbers; a list that is too short
//! reads as "at rest, nothing flowing", so that a half-filled request still draws.

use std::collections::BTreeSet;

use crate::circuit::{Circuit, Contact, Kind, PartId, TerminalId, WireEnd, WireId, part::ValveRest};
use crate::study::answer::Subject;
use crate::words::{Language, Measure, Words};

/// Which standard the symbols follow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Symbols {
    /// IEC 60617.
    #[default]
    Iec60617,
    /// IEEE 315.
    Ieee315,
}

/// What a part does just now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartState {
    /// Nothing that shows: battery, resistor, connector, splice, ground.
    Plain,
    /// Contact of a key, hand, temperature or pressure switch, or a timer.
    Contact(Contact),
    /// Relay.
    Relay {
        /// Whether the coil pulls its armature in.
        energised: bool,
        /// Whether its contact joins 30 and 87: not so where it is pulled in and stuck, or the wires are changed over.
        over: bool,
    },
    /// Selector switch.
    Selector {
        /// Position counted from 0.
        position: usize,
    },
    /// Air valve.
    Valve {
        /// Whether the coil is pulled in.
        energised: bool,
        /// Whether supply air reaches the clutch.
        passing: bool,
    },
    /// Fuse.
    Fuse {
        /// Whether it has opened.
        blown: bool,
    },
    /// Module.
    Module {
        /// Whether its driver conducts.
        on: bool,
    },
    /// Lamp.
    Lamp {
        /// Whether it gives light.
        lit: bool,
    },
    /// Diode.
    Diode {
        /// Whether it conducts.
        conducting: bool,
    },
}

impl PartState {
    /// A part as it stands on the shelf.
    pub fn at_rest(kind: &Kind) -> Self {
        match kind {
            Kind::Battery(_) | Kind::Resistor(_) | Kind::Connector(_) | Kind::Splice(_) | Kind::Ground(_) => {
                Self::Plain
            }
            Kind::Fuse(_) => Self::Fuse { blown: false },
            Kind::KeySwitch(_) | Kind::Timer(_) => Self::Contact(Contact::Open),
            Kind::HandSwitch(switch) => Self::Contact(switch.rest),
            Kind::TemperatureSwitch(switch) | Kind::PressureSwitch(switch) => Self::Contact(switch.rest),
            Kind::SelectorSwitch(switch) => Self::Selector { position: switch.rest_position() },
            Kind::Relay(_) => Self::Relay { energised: false, over: false },
            Kind::AirValve(valve) => Self::Valve { energised: false, passing: valve.rest == ValveRest::Passing },
            Kind::Diode(_) => Self::Diode { conducting: false },
            Kind::Lamp(_) => Self::Lamp { lit: false },
            Kind::Module(_) => Self::Module { on: false },
        }
    }
}

/// Potential of a terminal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TerminalState {
    /// No conducting path to either pole.
    #[default]
    Floating,
    /// At or near supply.
    Fed,
    /// At or near ground.
    Grounded,
    /// Neither.
    Between,
    /// Not to be shown: it has to be measured.
    Unseen,
}

/// What a wire does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Flow {
    /// No conducting path to either pole.
    #[default]
    Floating,
    /// At potential, no current.
    Fed,
    /// At ground, no current.
    Grounded,
    /// Carries current.
    Carrying,
    /// Not to be shown: it has to be measured.
    Unseen,
}

/// A wire's flow with its amps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WireState {
    /// What it does.
    pub flow: Flow,
    /// Amps, positive from the wire's `from` to its `to`.
    pub amps: f64,
}

/// Where a jumper lead is clipped on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LeadPoint {
    /// A terminal.
    Terminal(TerminalId),
    /// The bare end of a lifted wire.
    LooseEnd(WireEnd),
}

/// The fuse in a jumper lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeadFuse {
    /// It has none.
    Unfused,
    /// Whole.
    Whole,
    /// It has opened.
    Open,
}

/// A jumper lead in place.
#[derive(Clone, Debug, PartialEq)]
pub struct Lead {
    /// Its number, for [`Subject::Lead`].
    pub number: u32,
    /// One clip.
    pub from: LeadPoint,
    /// The other clip.
    pub to: LeadPoint,
    /// Its fuse.
    pub fuse: LeadFuse,
    /// Words beside it, such as the rating of its fuse; may be empty.
    pub text: Words,
    /// Amps, positive from `from` to `to`.
    pub amps: f64,
}

/// A measuring instrument on the circuit. It is no part of the truck, and is drawn so.
#[derive(Clone, Debug, PartialEq)]
pub struct Instrument {
    /// What is written in its circle, such as `V`; a lamp has a cross instead.
    pub face: Face,
    /// How it is put on.
    pub fitted: Fitted,
}

/// What stands in an instrument's circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// A letter.
    Letter(&'static str),
    /// The cross of a lamp, filled as far as it gives light.
    Lamp {
        /// Whether it gives light.
        lit: bool,
    },
}

/// How an instrument is put on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fitted {
    /// By two leads, one or both of them on: the positive one and the negative one.
    Across([Option<LeadPoint>; 2]),
    /// Around a wire.
    Around(WireId),
    /// In a wire.
    InLine(WireId),
}

/// A fault to be marked, where the drawing may give it away.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultMark {
    /// What is at fault.
    pub subject: Subject,
    /// What is the matter with it, in few words.
    pub text: Words,
}

/// Everything a drawing shows beside the circuit itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Show {
    /// Which symbols.
    pub symbols: Symbols,
    /// In whose units ratings are written.
    pub measure: Measure,
    /// By part.
    pub parts: Vec<PartState>,
    /// By terminal.
    pub terminals: Vec<TerminalState>,
    /// By terminal: a reading to write beside it.
    pub readings: Vec<Option<Words>>,
    /// By wire.
    pub wires: Vec<WireState>,
    /// Jumper leads in place.
    pub leads: Vec<Lead>,
    /// Instruments in place.
    pub instruments: Vec<Instrument>,
    /// Wire ends that are off their terminals.
    pub lifted: BTreeSet<WireEnd>,
    /// Parts with every wire off at once.
    pub unplugged: BTreeSet<PartId>,
    /// Faults to mark.
    pub faults: Vec<FaultMark>,
    /// What to point out.
    pub highlighted: BTreeSet<Subject>,
}

impl Show {
    /// The circuit as built: every contact at rest, nothing flowing, nothing changed.
    pub fn as_built(circuit: &Circuit) -> Self {
        Self {
            parts: circuit.parts().iter().map(|part| PartState::at_rest(&part.kind)).collect(),
            terminals: vec![TerminalState::Floating; circuit.terminals().len()],
            readings: vec![None; circuit.terminals().len()],
            wires: vec![WireState::default(); circuit.wires().len()],
            ..Self::default()
        }
    }

    /// The same with its words in a language, for a drawing that is to be read in it.
    #[must_use]
    pub fn in_language(mut self, language: Language) -> Self {
        let words = self.readings.iter_mut().flatten();
        let words = words.chain(self.leads.iter_mut().map(|lead| &mut lead.text));
        for text in words.chain(self.faults.iter_mut().map(|mark| &mut mark.text)) {
            *text = text.told(language, self.measure).into();
        }
        self
    }

    /// A part's state; at rest where none is given.
    pub fn part(&self, circuit: &Circuit, id: PartId) -> PartState {
        self.parts.get(id.index()).copied().unwrap_or_else(|| PartState::at_rest(&circuit.part(id).kind))
    }

    /// A terminal's state.
    pub fn terminal(&self, id: TerminalId) -> TerminalState {
        self.terminals.get(id.index()).copied().unwrap_or_default()
    }

    /// The reading beside a terminal.
    pub fn reading(&self, id: TerminalId) -> Option<&str> {
        self.readings.get(id.index())?.as_deref()
    }

    /// A wire's state.
    pub fn wire(&self, id: WireId) -> WireState {
        self.wires.get(id.index()).copied().unwrap_or_default()
    }

    /// Whether a wire's end is off its terminal, by itself or with its plug.
    pub fn is_off(&self, circuit: &Circuit, end: WireEnd) -> bool {
        self.lifted.contains(&end) || self.unplugged.contains(&circuit.terminal(circuit.terminal_of_end(end)).part)
    }
}
