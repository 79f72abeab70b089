//! What stands for what before and after a change: parts by their tags, renamed ones by their new ones.
//!
//! Yields [`Carried`], for those who keep something about parts and wires across a change: what they remember, what is
//! chosen, what is done to them.

use super::super::{Circuit, PartId, TerminalId, WireId};
use super::{Change, is_like};

/// A circuit before a change and after it.
#[derive(Clone, Copy, Debug)]
pub struct Carried<'a> {
    before: &'a Circuit,
    after: &'a Circuit,
    renames: Option<(&'a str, &'a str)>,
}

impl<'a> Carried<'a> {
    /// What a change has made of a circuit; without one, things are known by their tags alone.
    pub fn over(before: &'a Circuit, after: &'a Circuit, change: Option<&'a Change>) -> Self {
        Self { before, after, renames: change.and_then(Change::renames) }
    }

    /// A tag as it is afterwards.
    pub fn tag<'t>(&'t self, tag: &'t str) -> &'t str {
        match self.renames {
            Some((from, to)) if from == tag => to,
            _ => tag,
        }
    }

    /// A terminal's words, `B1.2`, as they are afterwards.
    pub fn terminal_words(&self, words: &str) -> String {
        match words.split_once('.') {
            Some((part, name)) => format!("{}.{name}", self.tag(part)),
            None => words.to_owned(),
        }
    }

    /// A part's number afterwards; none where it is gone.
    pub fn part(&self, id: PartId) -> Option<PartId> {
        self.after.part_named(self.tag(&self.before.part(id).tag))
    }

    /// A part's number afterwards, where it is still of its kind and remembers as much.
    pub fn same_part(&self, id: PartId) -> Option<PartId> {
        let after = self.part(id)?;
        is_like(&self.before.part(id).kind, &self.after.part(after).kind).then_some(after)
    }

    /// A terminal's number afterwards; none where it is gone.
    pub fn terminal(&self, id: TerminalId) -> Option<TerminalId> {
        self.after.terminal_named(&self.terminal_words(&self.before.terminal_words(id)))
    }

    /// A wire's number afterwards; none where it is gone.
    pub fn wire(&self, id: WireId) -> Option<WireId> {
        self.after.wire_named(self.tag(&self.before.wire(id).tag))
    }
}
