//! A circuit while it is being drawn up: parts by their letters, and places that terminals are joined at.
//!
//! Yields a [`Draft`]. Which parts a style has is [`style`](super::style)'s; here tags are counted, wires run, and a
//! splice set where more than two wires meet.

use std::collections::BTreeMap;

use crate::circuit::part::{self, Part, defaults};
use crate::circuit::quantity::{Gauge, Length};
use crate::circuit::{Draft, DraftWire, Kind};

/// A place that terminals are joined at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Joint(usize);

/// What a joint's wires are like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Run {
    /// From the battery, before the key.
    Supply,
    /// Behind the key.
    Fed,
    /// What asks.
    Signal,
    /// To the coil.
    Coil,
    /// To ground.
    Ground,
}

impl Run {
    /// Insulation by IEC 60757, as a workshop might choose it.
    fn colour(self, is_metric: bool) -> &'static str {
        match self {
            Self::Supply => "RD",
            Self::Fed => "OG",
            Self::Signal => "YE",
            Self::Coil => "GN",
            Self::Ground if is_metric => "BN",
            Self::Ground => "BK",
        }
    }
}

/// Parts and joints so far.
#[derive(Debug, Default)]
pub(super) struct Sketch {
    is_metric: bool,
    parts: Vec<Part>,
    counts: BTreeMap<char, usize>,
    joints: Vec<(Run, Vec<String>)>,
}

impl Sketch {
    pub(super) fn new(is_metric: bool) -> Self {
        Self { is_metric, ..Self::default() }
    }

    /// A part with the next tag of its letter (IEC 81346-2).
    pub(super) fn part(&mut self, letter: char, kind: Kind) -> String {
        let count = self.counts.entry(letter).or_default();
        *count += 1;
        let tag = format!("{letter}{count}");
        self.parts.push(Part { tag: tag.clone(), kind });
        tag
    }

    /// A new joint.
    pub(super) fn joint(&mut self, run: Run) -> Joint {
        self.joints.push((run, Vec::new()));
        Joint(self.joints.len() - 1)
    }

    /// Puts a terminal of a part on a joint.
    pub(super) fn tie(&mut self, joint: Joint, tag: &str, terminal: &str) {
        self.joints[joint.0].1.push(format!("{tag}.{terminal}"));
    }

    /// A part between two joints.
    pub(super) fn between(&mut self, (tag, first, second): (&str, &str, &str), from: Joint, to: Joint) {
        self.tie(from, tag, first);
        self.tie(to, tag, second);
    }

    /// A ground stud of its own.
    pub(super) fn ground(&mut self) -> Joint {
        let tag = self.part('N', Kind::Ground(part::Ground { ohms: defaults::GROUND_OHMS }));
        let joint = self.joint(Run::Ground);
        self.tie(joint, &tag, "g");
        joint
    }

    /// Runs the wires: where more than two terminals meet, from a splice; at a ground stud, from the stud.
    pub(super) fn finish(mut self, title: &str, preamble: &str, notes: &str) -> Draft {
        let mut wires: Vec<DraftWire> = Vec::new();
        let mut joints = std::mem::take(&mut self.joints);
        // Ground wires last, as people number them.
        joints.sort_by_key(|(run, _)| *run == Run::Ground);
        for (run, terminals) in joints {
            let is_stud = run == Run::Ground;
            let hub = match terminals.as_slice() {
                [] | [_] => continue,
                [hub, _] => hub.clone(),
                [hub, ..] if is_stud => hub.clone(),
                _ => format!("{}.s", self.part('X', Kind::Splice(part::Splice {}))),
            };
            for (place, terminal) in terminals.iter().enumerate().filter(|(_, terminal)| **terminal != hub) {
                // Current comes into a hub by its first wire and leaves by the others; what leads to the coil gathers
                // from all but the last; a stud takes all.
                let comes_first = if run == Run::Coil { place + 1 < terminals.len() } else { place == 0 };
                let falls_in = is_stud || (comes_first && hub != terminals[0]);
                let (from, to) = if falls_in { (terminal, &hub) } else { (&hub, terminal) };
                wires.push(self.wire(run, wires.len() + 1, from, to));
            }
        }
        // Grounds last, as the drawing has them.
        self.parts.sort_by_key(|part| matches!(part.kind, Kind::Ground(_)));
        Draft {
            preamble: preamble.to_owned(),
            title: title.to_owned(),
            notes: notes.to_owned(),
            parts: self.parts,
            wires,
            ..Draft::default()
        }
    }

    fn wire(&self, run: Run, number: usize, from: &str, to: &str) -> DraftWire {
        let is_cable = from.ends_with(".-") || to.ends_with(".-");
        let gauge = match (is_cable, run == Run::Supply, self.is_metric) {
            (true, _, false) => Gauge::Awg(4),
            (true, _, true) => Gauge::SquareMillimetre(25.0),
            (_, true, false) => Gauge::Awg(14),
            (_, true, true) => Gauge::SquareMillimetre(2.5),
            (_, _, false) => Gauge::Awg(16),
            (_, _, true) => Gauge::SquareMillimetre(1.5),
        };
        let length = if self.is_metric { Length::Metre(1.5) } else { Length::Feet(5.0) };
        let colour = Some(run.colour(self.is_metric).to_owned());
        DraftWire { tag: format!("W{number}"), from: from.to_owned(), to: to.to_owned(), gauge, length, colour }
    }
}
