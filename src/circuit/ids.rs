//! Small numbers that stand for parts, terminals and wires inside one circuit.
//!
//! They are positions in the circuit's own lists, so they are cheap to copy and to index with, and they mean
//! nothing outside the circuit that gave them. Files, command lines and saved acts name things by tag instead.

use serde::{Deserialize, Serialize};

/// A part's place in [`Circuit::parts`](super::Circuit::parts).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PartId(pub u32);

/// A terminal's place among all the terminals of the circuit, part after part in file order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct TerminalId(pub u32);

/// A wire's place in [`Circuit::wires`](super::Circuit::wires).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct WireId(pub u32);

/// Which end of a wire: the one written `from` or the one written `to`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum End {
    /// The end at the terminal written `from`.
    From,
    /// The end at the terminal written `to`.
    To,
}

impl End {
    /// Both ends, in file order.
    pub const BOTH: [Self; 2] = [Self::From, Self::To];

    /// The other end of the same wire.
    pub fn other(self) -> Self {
        match self {
            Self::From => Self::To,
            Self::To => Self::From,
        }
    }
}

/// One end of one wire: what a hand can lift off a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct WireEnd {
    /// The wire.
    pub wire: WireId,
    /// Which of its two ends.
    pub end: End,
}

impl PartId {
    /// As a list index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

impl TerminalId {
    /// As a list index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

impl WireId {
    /// As a list index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}
