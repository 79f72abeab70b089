//! Changing a circuit as built: one change after the other, each a plain value, each giving a new circuit or a clear
//! refusal.
//!
//! Yields [`Change`]: what can be changed, its name in plain words, and [`Change::apply`]. A circuit being built is
//! unfinished: terminals without a wire and a missing ground are no reason to refuse, and
//! [`check`](crate::circuit::check) says them. What a circuit file could not hold is refused at once, in the words of
//! the reader. What the change does to a truck that somebody works on is left to the bench.

mod carry;
mod kinds;
mod tags;

use std::fmt;

use serde::{Deserialize, Serialize};

use super::diagnostic::{Finding, Subject, nearest, refusal};
use super::format::{self, MOST_PARTS, labels, one_tag, read_figures, read_part, read_wire};
use super::part::{Kind, Part, SelectorSwitch};
use super::wire::{DEFAULT_GAUGE, DEFAULT_LENGTH};
use super::{At, Circuit, Draft, DraftWire, End};
use crate::words::{Words, say};

pub use carry::Carried;
pub use kinds::usual;
pub use tags::{free_part_tag, free_wire_tag, letter};

/// Whose field is set.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Owner {
    /// The part with this tag.
    Part(String),
    /// The wire with this tag.
    Wire(String),
    /// The air side.
    Air,
    /// The clutch.
    Clutch,
    /// The engine.
    Engine,
}

/// One change of a circuit as built.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Change {
    /// A new part of this kind, by the word of the circuit file, with the fields it needs.
    AddPart {
        /// `Fuse`, `Relay` and so on.
        kind: String,
        /// Its tag.
        tag: String,
    },
    /// A part is taken away, and every wire on it.
    TakePart(String),
    /// A part's tag, everywhere it stands: in the wires' ends, as the valve of `air`, on the drawing.
    RenamePart {
        /// The tag it has.
        from: String,
        /// The tag it is to have.
        to: String,
    },
    /// A new wire between two terminals.
    AddWire {
        /// Its tag.
        tag: String,
        /// The terminal at its first end, written `F1.2`.
        from: String,
        /// The terminal at its other end.
        to: String,
    },
    /// A wire is taken away.
    TakeWire(String),
    /// A wire's tag.
    RenameWire {
        /// The tag it has.
        from: String,
        /// The tag it is to have.
        to: String,
    },
    /// One end of a wire goes to another terminal.
    MoveEnd {
        /// The wire.
        wire: String,
        /// Which of its ends.
        end: End,
        /// The terminal it goes to.
        to: String,
    },
    /// A field's value, written as in the circuit file.
    Set {
        /// Whose field.
        of: Owner,
        /// Its name.
        field: String,
        /// Its value as text; none for what is usual.
        value: Option<String>,
    },
    /// What it is the circuit of.
    Title(String),
    /// Remarks.
    Notes(String),
    /// A part is put somewhere on the drawing.
    Place {
        /// The part.
        part: String,
        /// Where.
        at: At,
    },
    /// A part that was put somewhere finds its own place again.
    LetGo(String),
}

impl Change {
    /// The circuit after this change.
    ///
    /// # Errors
    /// Why it cannot be, with the mend: a name that is not there or is taken, a value the reader refuses, a terminal
    /// that would go while a wire is on it. The finding has no place in a text.
    pub fn apply(&self, circuit: &Circuit) -> Result<Circuit, Box<Finding>> {
        self.draft(circuit).and_then(|draft| whole(circuit, draft))
    }

    fn draft(&self, circuit: &Circuit) -> Result<Draft, Box<Finding>> {
        let mut draft = circuit.draft();
        match self {
            Self::AddPart { kind, tag } => add_part(circuit, &mut draft, kind, tag)?,
            Self::TakePart(tag) => take_part(circuit, &mut draft, tag)?,
            Self::RenamePart { from, to } => rename_part(circuit, &mut draft, from, to)?,
            Self::AddWire { tag, from, to } => add_wire(circuit, &mut draft, tag, [from, to])?,
            Self::TakeWire(tag) => {
                wire_of(circuit, tag)?;
                draft.wires.retain(|wire| wire.tag != *tag);
            }
            Self::RenameWire { from, to } => {
                let place = wire_of(circuit, from)?;
                if from != to {
                    free(circuit, to, &Subject::Wire(from.clone()))?;
                }
                draft.wires[place].tag.clone_from(to);
            }
            Self::MoveEnd { wire, end, to } => {
                let place = wire_of(circuit, wire)?;
                terminal(circuit, to)?;
                let wire = &mut draft.wires[place];
                match end {
                    End::From => wire.from.clone_from(to),
                    End::To => wire.to.clone_from(to),
                }
                two_ends(wire)?;
            }
            Self::Set { of, field, value } => set(circuit, &mut draft, of, field, value.as_deref())?,
            Self::Title(title) => draft.title.clone_from(title),
            Self::Notes(notes) => draft.notes.clone_from(notes),
            Self::Place { part, at } => {
                part_of(circuit, part)?;
                // No further than a file can say.
                draft.places.insert(part.clone(), at.moved(0, 0));
            }
            Self::LetGo(part) => {
                part_of(circuit, part)?;
                if draft.places.remove(part).is_none() {
                    let mend = say!("change-only-what-was-put");
                    let subject = Subject::Part(part.clone());
                    return Err(refusal(subject, say!("change-finds-its-own-place", part), mend));
                }
            }
        }
        Ok(draft)
    }

    /// What it does, in plain words: `Rename B1 to B4`.
    pub fn told(&self) -> Words {
        match self {
            Self::AddPart { tag, .. } => say!("change-add", tag),
            Self::TakePart(tag) | Self::TakeWire(tag) => say!("change-take-away", tag),
            Self::RenamePart { from, to } | Self::RenameWire { from, to } => say!("change-rename", from, to),
            Self::AddWire { tag, from, to } => say!("change-run", tag, from, to),
            Self::MoveEnd { wire, to, .. } => say!("change-put-an-end", wire, to),
            Self::Set { of, field, value } => {
                let owner = match of {
                    Owner::Part(tag) | Owner::Wire(tag) => Words::from(tag),
                    Owner::Air => say!("change-the-air-side"),
                    Owner::Clutch => say!("change-the-clutch"),
                    Owner::Engine => say!("change-the-engine"),
                };
                let name = labels::label(field);
                match value {
                    // Its value is longer than a name may be.
                    Some(_) if field == "on_when" => say!("change-demand", owner),
                    Some(value) => say!("change-set", field = name, owner, value = labels::told(field, value)),
                    None => say!("change-set-to-usual", field = name, owner),
                }
            }
            Self::Title(title) => say!("change-call", title),
            Self::Notes(_) => say!("change-the-remarks"),
            Self::Place { part, .. } => say!("change-move", part),
            Self::LetGo(part) => say!("change-let-find", part),
        }
    }

    /// The part or wire that has another tag after this change: the one before and the one after.
    pub fn renames(&self) -> Option<(&str, &str)> {
        match self {
            Self::RenamePart { from, to } | Self::RenameWire { from, to } => Some((from, to)),
            _ => None,
        }
    }

    /// Whether it changes the drawing, the title or the remarks alone, and nothing of the truck.
    pub fn is_only_on_paper(&self) -> bool {
        matches!(self, Self::Title(_) | Self::Notes(_) | Self::Place { .. } | Self::LetGo(_))
    }
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told())
    }
}

/// The circuit of a draft; a terminal that has gone while a wire is on it is the one thing that can still be wrong.
fn whole(before: &Circuit, draft: Draft) -> Result<Circuit, Box<Finding>> {
    Circuit::new(draft).map_err(|(wire, end)| {
        let subject = if before.terminal_named(&end).is_some() {
            Subject::Terminal(end.clone())
        } else {
            Subject::Wire(wire.clone())
        };
        let message = say!("change-is-on-which-would-be-gone", wire, end);
        refusal(subject, message, say!("change-take-away-or-put", wire))
    })
}

fn add_part(circuit: &Circuit, draft: &mut Draft, kind: &str, tag: &str) -> Result<(), Box<Finding>> {
    let subject = Subject::Part(tag.to_owned());
    let Some(kind) = usual(circuit, kind) else {
        let mend = match nearest(kind, format::kinds()) {
            Some(near) => say!("change-did-you-mean", near),
            None => say!("change-kinds-are", kinds = format::kinds().collect::<Vec<_>>().join(", ")),
        };
        return Err(refusal(subject, say!("change-is-no-kind-of-part", kind), mend));
    };
    room_for_one(circuit.parts().len(), || say!("change-no-more-parts", most = MOST_PARTS))?;
    free(circuit, tag, &subject)?;
    draft.parts.push(Part { tag: tag.to_owned(), kind });
    Ok(())
}

fn take_part(circuit: &Circuit, draft: &mut Draft, tag: &str) -> Result<(), Box<Finding>> {
    part_of(circuit, tag)?;
    draft.parts.retain(|part| part.tag != tag);
    draft.wires.retain(|wire| owner_of(&wire.from) != tag && owner_of(&wire.to) != tag);
    draft.places.remove(tag);
    if let Some(air) = draft.air.as_mut().filter(|air| air.valve.as_deref() == Some(tag)) {
        air.valve = None;
    }
    Ok(())
}

fn rename_part(circuit: &Circuit, draft: &mut Draft, from: &str, to: &str) -> Result<(), Box<Finding>> {
    let place = part_of(circuit, from)?;
    if from == to {
        return Ok(());
    }
    free(circuit, to, &Subject::Part(from.to_owned()))?;
    to.clone_into(&mut draft.parts[place].tag);
    for end in draft.wires.iter_mut().flat_map(|wire| [&mut wire.from, &mut wire.to]) {
        if owner_of(end) == from {
            *end = format!("{to}{}", &end[from.len()..]);
        }
    }
    if let Some(valve) = draft.air.as_mut().and_then(|air| air.valve.as_mut()).filter(|valve| *valve == from) {
        to.clone_into(valve);
    }
    if let Some(at) = draft.places.remove(from) {
        draft.places.insert(to.to_owned(), at);
    }
    Ok(())
}

fn add_wire(circuit: &Circuit, draft: &mut Draft, tag: &str, ends: [&str; 2]) -> Result<(), Box<Finding>> {
    room_for_one(circuit.wires().len(), || say!("change-no-more-wires", most = MOST_PARTS))?;
    free(circuit, tag, &Subject::Wire(tag.to_owned()))?;
    for end in ends {
        terminal(circuit, end)?;
    }
    let [from, to] = ends.map(str::to_owned);
    let wire = DraftWire { tag: tag.to_owned(), from, to, gauge: DEFAULT_GAUGE, length: DEFAULT_LENGTH, colour: None };
    two_ends(&wire)?;
    draft.wires.push(wire);
    Ok(())
}

/// Where the position that a selector rests in has another name from now on, it rests in that.
fn rest_goes_along(selector: &SelectorSwitch, positions: Option<&str>, fields: &mut [(&'static str, String)]) {
    let Some(names) = positions.and_then(format::listed) else { return };
    let is_there = names.iter().any(|name| name.eq_ignore_ascii_case(&selector.rest));
    if is_there || names.len() != selector.positions.len() {
        return;
    }
    if let Some((_, rest)) = fields.iter_mut().find(|(name, _)| *name == "rest") {
        *rest = format::quoted(&names[selector.rest_position()]);
    }
}

fn set(circuit: &Circuit, draft: &mut Draft, of: &Owner, field: &str, value: Option<&str>) -> Result<(), Box<Finding>> {
    let with = |subject: Subject, word: &str, mut fields: Vec<(&'static str, String)>| {
        let known = format::fields_of(word);
        let Some(note) = known.iter().find(|note| note.name == field) else {
            let mend = match nearest(field, known.iter().map(|note| note.name)) {
                Some(near) => say!("change-did-you-mean", near),
                None => say!("change-set-one-of-the-fields"),
            };
            return Err(refusal(subject, say!("change-has-no-field", word, field), mend));
        };
        fields.retain(|(name, _)| *name != note.name);
        fields.extend(value.map(|value| (note.name, value.trim().to_owned())));
        Ok(fields)
    };
    match of {
        Owner::Part(tag) => {
            let place = part_of(circuit, tag)?;
            let kind = &circuit.parts()[place].kind;
            let mut fields = with(Subject::Part(tag.clone()), kind.word(), format::field_texts(kind))?;
            if let (Kind::SelectorSwitch(selector), "positions") = (kind, field) {
                rest_goes_along(selector, value, &mut fields);
            }
            draft.parts[place].kind = read_part(tag, kind.word(), &fields)?;
        }
        Owner::Wire(tag) => {
            let place = wire_of(circuit, tag)?;
            let id = circuit.wire_named(tag).ok_or_else(|| no_wire(circuit, tag))?;
            let fields = with(Subject::Wire(tag.clone()), "Wire", format::wire_texts(circuit, id))?;
            let wire = &mut draft.wires[place];
            (wire.gauge, wire.length, wire.colour) = read_wire(tag, &fields)?;
        }
        Owner::Air | Owner::Clutch | Owner::Engine => {
            let word = match of {
                Owner::Air => "Air",
                Owner::Clutch => "Clutch",
                _ => "Engine",
            };
            let fields = with(Subject::Whole, word, format::figure_texts(circuit, word))?;
            let read = read_figures(circuit, word, &fields)?;
            draft.given.retain(|name| format::fields_of(word).iter().all(|note| note.name != *name));
            draft.given.extend(read.given);
            match of {
                Owner::Air => draft.air = read.air,
                Owner::Clutch => draft.clutch = read.clutch,
                _ => draft.engine = read.engine,
            }
        }
    }
    Ok(())
}

/// The part a terminal is on.
fn owner_of(end: &str) -> &str {
    end.split_once('.').map_or(end, |(tag, _)| tag)
}

fn part_of(circuit: &Circuit, tag: &str) -> Result<usize, Box<Finding>> {
    circuit.part_named(tag).map(super::PartId::index).ok_or_else(|| {
        let mend = match nearest(tag, circuit.parts().iter().map(|part| part.tag.as_str())) {
            Some(near) => say!("change-did-you-mean", near),
            None => say!("change-name-a-part"),
        };
        refusal(Subject::Part(tag.to_owned()), say!("change-there-is-no-part", tag), mend)
    })
}

fn wire_of(circuit: &Circuit, tag: &str) -> Result<usize, Box<Finding>> {
    circuit.wire_named(tag).map(super::WireId::index).ok_or_else(|| no_wire(circuit, tag))
}

fn no_wire(circuit: &Circuit, tag: &str) -> Box<Finding> {
    let mend = match nearest(tag, circuit.wires().iter().map(|wire| wire.tag.as_str())) {
        Some(near) => say!("change-did-you-mean", near),
        None => say!("change-name-a-wire"),
    };
    refusal(Subject::Wire(tag.to_owned()), say!("change-there-is-no-wire", tag), mend)
}

fn terminal(circuit: &Circuit, words: &str) -> Result<(), Box<Finding>> {
    if circuit.terminal_named(words).is_some() {
        return Ok(());
    }
    let subject = Subject::Terminal(words.to_owned());
    let all: Vec<String> = circuit.terminals_with_ids().map(|(id, _)| circuit.terminal_words(id)).collect();
    let mend = match nearest(words, all.iter().map(String::as_str)) {
        Some(near) => say!("change-did-you-mean", near),
        None => say!("change-write-the-parts-tag"),
    };
    Err(refusal(subject, say!("change-there-is-no-terminal", words), mend))
}

/// Whether nobody has this tag, and it can be one.
fn free(circuit: &Circuit, tag: &str, subject: &Subject) -> Result<(), Box<Finding>> {
    one_tag(tag, subject)?;
    let (message, proposal) = match (circuit.part_named(tag), circuit.wire_named(tag)) {
        (None, None) => return Ok(()),
        (Some(id), _) => (say!("change-a-part-already", tag), free_part_tag(circuit, circuit.part(id).kind.word())),
        (None, Some(_)) => (say!("change-a-wire-already", tag), free_wire_tag(circuit)),
    };
    Err(refusal(subject.clone(), message, say!("change-give-it-a-tag", proposal)))
}

fn two_ends(wire: &DraftWire) -> Result<(), Box<Finding>> {
    if wire.from != wire.to {
        return Ok(());
    }
    let message = say!("change-both-ends-would-be-on", tag = wire.tag, terminal = wire.from);
    let mend = say!("change-put-its-other-end");
    Err(refusal(Subject::Wire(wire.tag.clone()), message, mend))
}

fn room_for_one(count: usize, message: impl Fn() -> Words) -> Result<(), Box<Finding>> {
    if count < MOST_PARTS {
        return Ok(());
    }
    Err(refusal(Subject::Whole, message(), say!("change-split-it")))
}

/// Whether two parts are of one kind and remember the same number of things.
fn is_like(a: &Kind, b: &Kind) -> bool {
    a.word() == b.word() && a.set_points().len() == b.set_points().len()
}
