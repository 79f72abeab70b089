//! Many altered copies of one network in which coils move contacts, each brought to rest.
//!
//! The state that a table of copies begins from is solved once, and every copy follows from it: contacts that have moved
//! since are changes that all copies have in common whose contacts stand alike ([`beside`](mod@super::beside)), what is
//! altered in each is one more. Round by round all coils look at the same solution and move their contacts at once. On
//! the way only what coils see is worked out; what else is watched is found once, where a copy rests. Contacts that a
//! copy has been at before are chattering.
//!
//! What an update does not tell, and coils within a millionth of their limits, is solved by a sweep of its own, many
//! copies side by side whatever their contacts are. Whole circuits, with fuses, modules and diodes, are left to
//! [`settle`](crate::physics::settle).

use multiversion::multiversion;

use super::altered::{Change, Effect, Scratch};
use super::beside::{Beside, Following, Shared};
use super::inverse::ABREAST;
use super::prepared::{Compiled, Prepared, Solved};
use super::sweep::LANES;

/// Share of a limit within which a coil is too near it for an update to tell on which side.
const NEAR_SHARE: f64 = 1e-6;
/// Blocks of numbers side by side that all relays there may be fill.
const BLOCKS: usize = Relays::MOST / ABREAST;
/// What stands for no contact.
const NONE: u32 = u32::MAX;

/// A coil and the contact that it closes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relay {
    /// Branch of the coil.
    pub coil: usize,
    /// Branch of the contact: that of no other relay, no coil, and of some ohms. Closed it has the siemens that the network has.
    pub contact: usize,
    /// Volts of the coil from which the contact closes.
    pub pulls_in: f64,
    /// Volts below which it opens again: no more than `pulls_in`.
    pub drops_out: f64,
}

/// Why relays cannot be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// More than [`Relays::MOST`] of them.
    TooMany,
    /// The relay at this place has a contact without ohms, or one that another has too or that is a coil, or drops out above
    /// where it pulls in.
    Contact(usize),
}

/// What became of a copy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fate<'v> {
    /// It rests.
    Rests {
        /// Contacts closed, a bit for each relay in order.
        closed: u64,
        /// Volts of the nodes asked for, in order; not a number where one floats.
        volts: &'v [f64],
    },
    /// Its contacts come again and again to where they were.
    Chatters,
}

/// How much was solved on the way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    /// Solutions that coils looked at, of all copies.
    pub looks: usize,
    /// States solved whole.
    pub states: usize,
    /// Copies solved by a sweep of their own.
    pub solved_anew: usize,
}

/// A network with its relays, ready for tables of altered copies.
#[derive(Clone, Debug)]
pub struct Relays {
    coils: Coils,
    /// How many of the watched were asked for.
    asked: usize,
    begun: Base,
    /// A state for copies whose contacts have moved as no update tells.
    other: Option<Base>,
    need: Need,
    scratch: Scratch,
    room: Room,
    effort: Effort,
}

/// The relays of a network, each with what is asked of it in every copy.
#[derive(Clone, Debug)]
struct Coils {
    relays: Vec<Relay>,
    /// For each coil the two places it is between, and the volts that its first node stands higher than levels say.
    ends: Vec<([usize; 2], f64)>,
    /// For each coil where its nodes are among the watched.
    watched: Vec<[usize; 2]>,
    /// How many coils there is room for: a multiple of [`ABREAST`].
    width: usize,
    /// Siemens of every branch as the network has them.
    siemens: Vec<f64>,
    /// For each branch the relays that it is the coil of, a bit for each.
    coil_of: Vec<u64>,
    /// For each branch the relay whose contact it is.
    contact_of: Vec<u32>,
}

/// A solved state, and what its coils see.
#[derive(Clone, Debug)]
struct Base {
    solved: Solved,
    /// Contacts closed.
    closed: u64,
    /// For each place, how far an amp into it lifts the volts of each coil.
    lifts: Vec<f64>,
    /// Volts of each coil.
    volts: Vec<f64>,
}

/// A copy that does not rest yet.
#[derive(Clone, Copy, Debug)]
struct Copied {
    /// Number of its change.
    change: u32,
    /// Where it stands in the trail.
    trail: u32,
    /// Where its relays stand now.
    closed: u64,
}

/// Copies whose contacts stand alike, but for one that is altered itself.
#[derive(Clone, Debug)]
struct Alike {
    stand: u64,
    copies: Vec<Copied>,
}

/// Room kept from one table to the next.
#[derive(Clone, Debug, Default)]
struct Room {
    /// Where relays of copies stood, each with the place of what was before.
    trail: Vec<(u64, u32)>,
    groups: Vec<Alike>,
    spare: Vec<Vec<Copied>>,
    /// What each change does to the state begun with, contacts standing as there.
    effects: Vec<Effect>,
    shared: Shared,
    /// The relays whose contacts are shared, in that order.
    moved: Vec<u32>,
    coils: Following,
    watched: Following,
    found: Found,
    siemens: Vec<f64>,
}

/// What came out for copies that were looked at.
#[derive(Clone, Debug, Default)]
struct Found {
    /// Those that move, as they stand next.
    moving: Vec<Copied>,
    /// Those that rest, and for each a row of all that is watched; what stands after these is of no meaning.
    resting: Vec<Copied>,
    rows: Vec<f64>,
    /// Those that an update does not tell.
    unsure: Vec<Copied>,
    /// Those to be solved by sweeps of their own.
    waiting: Vec<Copied>,
}

impl Found {
    /// Sorts a copy by where its relays stand next; whether it rests.
    #[inline(always)]
    fn sort(&mut self, copy: Copied, next: u64) -> bool {
        let rests = next == copy.closed;
        if rests {
            self.resting.push(copy);
        } else {
            self.moving.push(Copied { closed: next, ..copy });
        }
        rests
    }

    /// The row of the last of those that rest, to be put.
    #[inline(always)]
    fn last_row(&mut self, width: usize) -> &mut [f64] {
        let end = self.resting.len() * width;
        if self.rows.len() < end {
            self.rows.resize(2 * end, 0.0);
        }
        &mut self.rows[end - width..end]
    }
}

impl Coils {
    fn of(prepared: &Prepared, relays: &[Relay], watched: &mut Vec<usize>) -> Result<Self, Refused> {
        if relays.len() > Relays::MOST {
            return Err(Refused::TooMany);
        }
        let compiled = &*prepared.compiled;
        let branches = &compiled.network.branches;
        let mut coils = Self {
            relays: relays.to_vec(),
            ends: Vec::new(),
            watched: Vec::new(),
            width: relays.len().next_multiple_of(ABREAST),
            siemens: prepared.siemens(),
            coil_of: vec![0; branches.len()],
            contact_of: vec![NONE; branches.len()],
        };
        for (place, relay) in relays.iter().enumerate() {
            let contact = &mut coils.contact_of[relay.contact];
            let is_coil = relays.iter().any(|other| other.coil == relay.contact);
            let is_sound = !compiled.lines[relay.contact].is_join && !is_coil && relay.drops_out <= relay.pulls_in;
            if !is_sound || *contact != NONE {
                return Err(Refused::Contact(place));
            }
            *contact = place as u32;
            coils.coil_of[relay.coil] |= 1 << place;
            let nodes = [branches[relay.coil].from, branches[relay.coil].to];
            coils.ends.push(ends(compiled, relay));
            coils.watched.push(nodes.map(|node| watch(watched, node)));
        }
        Ok(coils)
    }

    /// Which contacts are closed at these siemens of branches.
    fn closed(&self, siemens: &[f64]) -> u64 {
        let bit = |(place, relay): (usize, &Relay)| u64::from(siemens[relay.contact] > 0.0) << place;
        self.relays.iter().enumerate().map(bit).sum()
    }

    /// Siemens of a relay's contact.
    fn contact(&self, place: usize, closed: u64) -> f64 {
        if closed >> place & 1 == 1 { self.siemens[self.relays[place].contact] } else { 0.0 }
    }

    /// Puts the contacts that stand in one way and not in the other, as they stand in the first.
    fn put_moved(&self, stand: u64, before: u64, moved: &mut Vec<Change>) {
        moved.clear();
        let mut differ = stand ^ before;
        while differ != 0 {
            let place = differ.trailing_zeros() as usize;
            let siemens = self.contact(place, stand);
            moved.push(Change::Branch { branch: self.relays[place].contact, siemens });
            differ &= differ - 1;
        }
    }

    /// The relay whose contact is altered.
    #[inline(always)]
    fn altered_contact(&self, change: Change) -> Option<u32> {
        match change {
            Change::Branch { branch, .. } => Some(self.contact_of[branch]).filter(|place| *place != NONE),
            Change::Tie { .. } => None,
        }
    }

    /// What a change is with relays standing so: an open contact is open, whatever it is when closed.
    #[inline(always)]
    fn standing(&self, change: Change, closed: u64) -> Change {
        match (change, self.altered_contact(change)) {
            (Change::Branch { branch, .. }, Some(place)) if closed >> place & 1 == 0 => {
                Change::Branch { branch, siemens: 0.0 }
            }
            _ => change,
        }
    }

    /// How the network's own contacts stand for a copy: one that is altered stays as it was `before`.
    #[inline(always)]
    fn stand(&self, change: Change, closed: u64, before: u64) -> u64 {
        let own = self.altered_contact(change).map_or(0, |place| 1 << place);
        closed & !own | before & own
    }

    /// What the coils need with relays standing so.
    #[inline(always)]
    fn put_need(&self, closed: u64, need: &mut Need) {
        need.closed = closed;
        for (place, relay) in self.relays.iter().enumerate() {
            let volts = if closed >> place & 1 == 1 { relay.drops_out } else { relay.pulls_in };
            let (least, enough) = &mut need.limits[place / ABREAST];
            least[place % ABREAST] = volts * (1.0 - NEAR_SHARE);
            enough[place % ABREAST] = volts * (1.0 + NEAR_SHARE);
        }
    }

    /// How relays stand next, by the volts of their coils: those that may be closed, and those that are beyond doubt. They
    /// differ where a coil is too near its limit for an update to tell.
    #[inline(always)]
    fn next(&self, volts: &[f64], change: Change, need: &Need) -> [u64; 2] {
        let (mut below_least, mut below_enough) = ([0; ABREAST], [0; ABREAST]);
        let blocks = volts.as_chunks::<ABREAST>().0;
        for ((volts, (least, enough)), bits) in blocks.iter().zip(&need.limits).zip(&need.bits) {
            put_below(volts, least, bits, &mut below_least);
            put_below(volts, enough, bits, &mut below_enough);
        }
        let none = |[a, b, c, d]: [u64; ABREAST]| need.all & !(a | b | (c | d));
        let mut next = [none(below_least), none(below_enough)];
        if let Change::Branch { branch, siemens } = change {
            // A coil with ohms added has but a part of those volts.
            let mut altered = self.coil_of[branch];
            while altered != 0 {
                let place = altered.trailing_zeros() as usize;
                let volts = volts[place].abs() * (siemens / self.siemens[branch]);
                let (least, enough) = &need.limits[place / ABREAST];
                for (next, limit) in next.iter_mut().zip([least[place % ABREAST], enough[place % ABREAST]]) {
                    *next = *next & !(1 << place) | u64::from(volts >= limit) << place;
                }
                altered &= altered - 1;
            }
        }
        next
    }

    /// The same where volts are as exact as can be.
    fn next_exactly(&self, volts: &[f64], change: Change, closed: u64) -> u64 {
        let need = Need::of(self, closed);
        let [may, is_sure] = self.next(volts, change, &need);
        if may == is_sure {
            return may;
        }
        let volts = |place: usize| match change {
            Change::Branch { branch, siemens } if self.coil_of[branch] >> place & 1 == 1 => {
                volts[place].abs() * (siemens / self.siemens[branch])
            }
            Change::Branch { .. } | Change::Tie { .. } => volts[place].abs(),
        };
        let holds = |(place, relay): (usize, &Relay)| {
            let limit = if closed >> place & 1 == 1 { relay.drops_out } else { relay.pulls_in };
            u64::from(volts(place) >= limit) << place
        };
        self.relays.iter().enumerate().map(holds).sum()
    }
}

/// Volts that coils need for their contacts to be closed, with relays standing one way.
#[derive(Clone, Debug)]
struct Need {
    closed: u64,
    /// Below the first of two a contact is open beyond doubt, from the second on it is closed beyond doubt.
    limits: [([f64; ABREAST], [f64; ABREAST]); BLOCKS],
    /// The bit of each relay.
    bits: [[u64; ABREAST]; BLOCKS],
    /// All of these.
    all: u64,
}

/// Puts the bits of those coils whose volts, either way, are below their limits.
#[inline(always)]
fn put_below(volts: &[f64; ABREAST], limits: &[f64; ABREAST], bits: &[u64; ABREAST], below: &mut [u64; ABREAST]) {
    for lane in 0..ABREAST {
        // All bits where the difference has a sign, none where it has none.
        let all = 0_u64.wrapping_sub((volts[lane].abs() - limits[lane]).to_bits() >> 63);
        below[lane] |= bits[lane] & all;
    }
}

impl Need {
    /// With the relays standing so.
    fn of(coils: &Coils, closed: u64) -> Self {
        let never = [f64::INFINITY; ABREAST];
        let mut need = Self { closed, limits: [(never, never); BLOCKS], bits: [[0; ABREAST]; BLOCKS], all: 0 };
        for place in 0..coils.relays.len() {
            need.bits[place / ABREAST][place % ABREAST] = 1 << place;
            need.all |= 1 << place;
        }
        coils.put_need(closed, &mut need);
        need
    }
}

/// The two places that a relay's coil is between, and the volts that its first node stands higher than levels say.
fn ends(compiled: &Compiled, relay: &Relay) -> ([usize; 2], f64) {
    let coil = &compiled.network.branches[relay.coil];
    let [(a, above_a), (b, above_b)] = [coil.from, coil.to].map(|node| compiled.stands[node]);
    ([a, b], above_a - above_b)
}

/// Where a node stands among the watched, which it is put to where it is not among them.
fn watch(watched: &mut Vec<usize>, node: usize) -> usize {
    let known = watched.iter().position(|other| *other == node);
    known.unwrap_or_else(|| {
        watched.push(node);
        watched.len() - 1
    })
}

impl Base {
    fn of(coils: &Coils, solved: Solved) -> Self {
        let mut base = Self { solved, closed: 0, lifts: Vec::new(), volts: Vec::new() };
        base.look(coils);
        base
    }

    fn again(&mut self, coils: &Coils, siemens: &[f64]) {
        self.solved.again(siemens);
        self.look(coils);
    }

    /// Finds what the coils see.
    fn look(&mut self, coils: &Coils) {
        self.closed = coils.closed(&self.solved.siemens);
        let width = coils.width;
        self.volts.clear();
        self.volts
            .extend(coils.ends.iter().map(|([a, b], above)| self.solved.level[*a] - self.solved.level[*b] + above));
        self.volts.resize(width, 0.0);
        self.lifts.resize(self.solved.level.len() * width, 0.0);
        if width == 0 {
            return;
        }
        for (place, row) in self.lifts.chunks_exact_mut(width).enumerate() {
            let lifts = self.solved.ohms.column(place);
            row.iter_mut().zip(&coils.watched).for_each(|(lift, [a, b])| *lift = lifts[*a] - lifts[*b]);
        }
    }
}

/// All that is looked at for copies whose contacts stand alike.
struct Looking<'l> {
    coils: &'l Coils,
    base: &'l Base,
    shared: &'l Shared,
    /// Volts of the coils.
    seen: &'l Following,
    changes: &'l [Change],
    /// What each does, contacts standing as in this state.
    effects: &'l [Effect],
}

/// What a change does to a copy.
#[derive(Clone, Copy)]
enum Does {
    Nothing,
    /// A current, told beside this.
    Current,
    Cut(usize),
    Landed(u32, f64),
}

impl Looking<'_> {
    #[inline(always)]
    fn does(&self, change: Change, effect: Effect, current: &mut Beside) -> Option<Does> {
        let solved = &self.base.solved;
        Some(match effect {
            Effect::Nothing | Effect::Adrift => Does::Nothing,
            Effect::Current { a, b, per_volt, amps } => {
                let is_told = self.shared.put_beside(solved, change, (a, b, per_volt, amps), current);
                is_told.then_some(Does::Current)?
            }
            Effect::Cut(beyond) if !self.shared.spans(solved, beyond) => Does::Cut(beyond),
            Effect::Landed { island, volts } if self.shared.count() == 0 => Does::Landed(island, volts),
            Effect::Cut(_) | Effect::Landed { .. } | Effect::Unsure => return None,
        })
    }

    /// Puts the volts of all that is watched.
    #[inline(always)]
    fn put_watched(&self, watched: &Following, does: Does, current: &Beside, out: &mut [f64]) {
        let solved = &self.base.solved;
        match does {
            Does::Nothing => out.copy_from_slice(watched.now()),
            Does::Current => {
                watched.put(solved.ohms.columns(), current, out);
            }
            Does::Cut(beyond) => {
                out.copy_from_slice(watched.now());
                solved.put_afloat(beyond, out);
            }
            Does::Landed(island, volts) => solved.put_landed(island, volts, out),
        }
    }
}

/// Looks at copies whose contacts stand alike: those that move, those that rest with all that is watched, and those that
/// an update does not tell.
#[multiversion(targets("x86_64+avx+avx2"))]
fn look_at(at: &Looking<'_>, copies: &[Copied], need: &mut Need, watched: &mut Following, found: &mut Found) {
    let mut room = [0.0; Relays::MOST];
    let volts = &mut room[..at.coils.width];
    let mut current = Beside::default();
    let solved = &at.base.solved;
    for copy in copies {
        if need.closed != copy.closed {
            at.coils.put_need(copy.closed, need);
        }
        let number = copy.change as usize;
        let change = at.coils.standing(at.changes[number], copy.closed);
        let effect = match at.effects.get(number) {
            Some(effect) if change == at.changes[number] => *effect,
            _ => solved.effect(change),
        };
        let Some(does) = at.does(change, effect, &mut current) else {
            found.unsure.push(*copy);
            continue;
        };
        match does {
            Does::Current => at.seen.put(&at.base.lifts, &current, volts),
            // What is cut off carries what it carried; where it stands as a whole no coil sees.
            Does::Nothing | Does::Cut(_) | Does::Landed(..) => volts.copy_from_slice(at.seen.now()),
        }
        let [next, is_sure] = at.coils.next(volts, change, need);
        if next != is_sure {
            found.unsure.push(*copy);
        } else if found.sort(*copy, next) {
            watched.follow(at.shared, solved.ohms.columns());
            at.put_watched(watched, does, &current, found.last_row(solved.ohms.width()));
        }
    }
}

impl Relays {
    /// Most relays there may be.
    pub const MOST: usize = 64;

    /// Relays of a network, and the nodes whose volts are asked for of each copy at rest. Refused are more relays than
    /// there is room for, and contacts that cannot be moved.
    pub fn of(prepared: &Prepared, relays: &[Relay], asked: &[usize]) -> Result<Self, Refused> {
        let mut watched = asked.to_vec();
        let coils = Coils::of(prepared, relays, &mut watched)?;
        let mut solved = prepared.solve(&coils.siemens, &watched);
        if !solved.ohms.is_whole() {
            // What contacts lift is known of the watched only.
            for relay in relays {
                let contact = &prepared.compiled.network.branches[relay.contact];
                for node in [contact.from, contact.to] {
                    watch(&mut watched, node);
                }
            }
            solved = prepared.solve(&coils.siemens, &watched);
        }
        let begun = Base::of(&coils, solved);
        let need = Need::of(&coils, begun.closed);
        let (scratch, room) = (Scratch::new(prepared), Room::default());
        Ok(Self { coils, asked: asked.len(), begun, other: None, need, scratch, room, effort: Effort::default() })
    }

    /// How much was solved so far.
    pub fn effort(&self) -> Effort {
        Effort { solved_anew: self.scratch.solved_anew, ..self.effort }
    }

    /// Brings a copy with each change alone to rest, all begun with branches at these siemens, contacts closed where
    /// theirs is not zero, coils as the network has them. A change of a contact is what that contact has while it is closed. Each is told by its number,
    /// once; the order is always the same and not that of the numbers.
    pub fn settle(&mut self, siemens: &[f64], changes: &[Change], mut each: impl FnMut(usize, Fate<'_>)) {
        self.begun.again(&self.coils, siemens);
        self.effort.states += 1;
        let closed = self.begun.closed;
        let mut copies = self.room.spare.pop().unwrap_or_default();
        copies.extend((0..changes.len()).map(|change| Copied { change: change as u32, trail: 0, closed }));
        self.room.trail.clear();
        self.room.trail.push((closed, 0));
        self.room.groups.push(Alike { stand: closed, copies });
        let Self { begun: Base { solved, volts, .. }, room, .. } = self;
        room.effects.clear();
        room.effects.extend(changes.iter().map(|change| solved.effect(*change)));
        room.moved.clear();
        room.shared.clear(solved);
        room.coils.clear(volts);
        room.watched.clear(&solved.volts);
        loop {
            let next = self.next_group();
            if let Some(next) = next {
                let Alike { stand, mut copies } = self.room.groups.swap_remove(next);
                self.effort.looks += copies.len();
                self.look(siemens, stand, &copies, changes);
                copies.clear();
                self.room.spare.push(copies);
            }
            let waiting = self.room.found.waiting.len();
            if waiting >= LANES || next.is_none() && waiting > 0 {
                self.sweep(changes);
            } else if next.is_none() {
                return;
            }
            self.tell(&mut each);
            self.go_on(changes, &mut each);
        }
    }

    /// From how many copies on that stand alike it is worth while to work out for them what an amp into each place does
    /// there: more of them than there are places.
    fn many(&self) -> usize {
        self.begun.solved.level.len()
    }

    /// Which copies are looked at next: the most, as few others may yet be joined by more; of few, those for which the
    /// fewest contacts have to be moved.
    fn next_group(&self) -> Option<usize> {
        let Room { groups, moved, .. } = &self.room;
        let rank = |at: &usize| {
            let Alike { stand, copies } = &groups[*at];
            let stand = stand ^ self.begun.closed;
            let kept = moved.iter().take_while(|place| stand >> **place & 1 == 1).count();
            let many = if copies.len() < self.many() { 0 } else { copies.len() };
            (many, kept as isize - stand.count_ones() as isize, copies.len())
        };
        (0..groups.len()).max_by_key(rank)
    }

    /// Moves the contacts that are shared to where they stand in some copies; false where an update does not tell.
    fn share(&mut self, stand: u64) -> bool {
        let Self { coils, begun, room, .. } = self;
        let moved = stand ^ begun.closed;
        let keep = room.moved.iter().take_while(|place| moved >> **place & 1 == 1).count();
        room.moved.truncate(keep);
        room.shared.keep(keep);
        room.coils.keep(keep);
        room.watched.keep(keep);
        let mut more = room.moved.iter().fold(moved, |more, place| more & !(1 << place));
        while more != 0 {
            let place = more.trailing_zeros();
            let contact = coils.relays[place as usize].contact;
            let change = Change::Branch { branch: contact, siemens: coils.contact(place as usize, stand) };
            if !room.shared.push(&begun.solved, change) {
                return false;
            }
            room.moved.push(place);
            more &= more - 1;
        }
        room.coils.follow(&room.shared, &begun.lifts);
        true
    }

    /// Looks at copies whose contacts stand alike.
    fn look(&mut self, siemens: &[f64], stand: u64, copies: &[Copied], changes: &[Change]) {
        let is_told = self.share(stand);
        let are_many = copies.len() >= self.many();
        let Self { coils, begun, other, need, scratch, room, effort, .. } = self;
        if is_told {
            let Room { shared, coils: seen, watched, effects, .. } = room;
            if are_many {
                seen.take_rows(shared, &begun.lifts);
                watched.follow(shared, begun.solved.ohms.columns());
                watched.take_rows(shared, begun.solved.ohms.columns());
            }
            let looking = Looking { coils, base: begun, shared, seen, changes, effects };
            look_at(&looking, copies, need, watched, &mut room.found);
            if stand == begun.closed {
                looking.by_surroundings(scratch, &mut room.found);
            }
        } else if copies.len() >= begun.solved.level.len() {
            room.siemens.clear();
            room.siemens.extend_from_slice(siemens);
            for (place, relay) in coils.relays.iter().enumerate() {
                if (stand ^ begun.closed) >> place & 1 == 1 {
                    room.siemens[relay.contact] = coils.contact(place, stand);
                }
            }
            let base = other.get_or_insert_with(|| begun.clone());
            base.again(coils, &room.siemens);
            effort.states += 1;
            let (mut shared, mut seen, mut watched) = (Shared::default(), Following::default(), Following::default());
            shared.clear(&base.solved);
            seen.clear(&base.volts);
            watched.clear(&base.solved.volts);
            let looking = Looking { coils, base, shared: &shared, seen: &seen, changes, effects: &[] };
            look_at(&looking, copies, need, &mut watched, &mut room.found);
            looking.by_surroundings(scratch, &mut room.found);
        } else {
            room.found.waiting.extend_from_slice(copies);
        }
        room.found.waiting.append(&mut room.found.unsure);
    }

    /// Solves those that wait by sweeps of their own.
    fn sweep(&mut self, changes: &[Change]) {
        let Self { coils, begun, scratch, room, .. } = self;
        let solved = &begun.solved;
        let mut waiting = std::mem::take(&mut room.found.waiting);
        let mut volts = vec![0.0; coils.width];
        let mut altered: [Vec<Change>; LANES] = Default::default();
        let alter = |copy: &Copied, altered: &mut Vec<Change>| {
            let change = changes[copy.change as usize];
            coils.put_moved(coils.stand(change, copy.closed, begun.closed), begun.closed, altered);
            altered.insert(0, coils.standing(change, copy.closed));
        };
        waiting.retain(|copy| {
            let [altered, ..] = &mut altered;
            alter(copy, altered);
            let has_room = altered.iter().all(|change| solved.has_room_for(*change));
            if !has_room {
                scratch.solved_anew += 1;
                let (network, siemens) = solved.altered_network(altered);
                let again = network.solve(&siemens, solved.watched());
                // It has places of its own.
                for (volts, relay) in volts.iter_mut().zip(&coils.relays) {
                    let ([a, b], above) = ends(&network.compiled, relay);
                    *volts = again.level[a] - again.level[b] + above;
                }
                let next = coils.next_exactly(&volts, altered[0], copy.closed);
                if room.found.sort(*copy, next) {
                    room.found.last_row(solved.ohms.width()).copy_from_slice(&again.volts);
                }
            }
            has_room
        });
        for some in waiting.chunks(LANES) {
            some.iter().zip(&mut altered).for_each(|(copy, altered)| alter(copy, altered));
            solved.solve_lanes(altered[..some.len()].iter().map(Vec::as_slice), scratch);
            for (lane, copy) in some.iter().enumerate() {
                for (volts, ([a, b], above)) in volts.iter_mut().zip(&coils.ends) {
                    *volts = scratch.amps[*a][lane] - scratch.amps[*b][lane] + above;
                }
                let next = coils.next_exactly(&volts, altered[lane][0], copy.closed);
                if room.found.sort(*copy, next) {
                    solved.put_lane(lane, scratch, room.found.last_row(solved.ohms.width()));
                }
            }
        }
        waiting.clear();
        room.found.waiting = waiting;
    }

    /// Tells of those that rest.
    fn tell(&mut self, each: &mut impl FnMut(usize, Fate<'_>)) {
        let (found, width) = (&mut self.room.found, self.begun.solved.ohms.width());
        for (at, copy) in found.resting.drain(..).enumerate() {
            let volts = &found.rows[at * width..][..self.asked];
            each(copy.change as usize, Fate::Rests { closed: copy.closed, volts });
        }
    }

    /// Puts those that move in groups, and tells of those that chatter.
    fn go_on(&mut self, changes: &[Change], each: &mut impl FnMut(usize, Fate<'_>)) {
        let Self { coils, begun, room, .. } = self;
        let Room { trail, groups, spare, found, .. } = room;
        let mut last = 0;
        for copy in found.moving.drain(..) {
            if has_been(trail, copy) {
                each(copy.change as usize, Fate::Chatters);
                continue;
            }
            trail.push((copy.closed, copy.trail));
            let copy = Copied { trail: trail.len() as u32 - 1, ..copy };
            let stand = coils.stand(changes[copy.change as usize], copy.closed, begun.closed);
            // Neighbours are often alike.
            if groups.get(last).is_none_or(|alike| alike.stand != stand) {
                last = groups.iter().position(|alike| alike.stand == stand).unwrap_or(groups.len());
            }
            if last == groups.len() {
                groups.push(Alike { stand, copies: spare.pop().unwrap_or_default() });
            }
            groups[last].copies.push(copy);
        }
    }
}

/// Whether a copy's relays stood before as they stand now.
fn has_been(trail: &[(u64, u32)], copy: Copied) -> bool {
    let mut at = copy.trail as usize;
    loop {
        let (stood, before) = trail[at];
        if stood == copy.closed {
            return true;
        }
        if at == before as usize {
            return false;
        }
        at = before as usize;
    }
}

impl Looking<'_> {
    /// Finds those of many unsure copies that their surroundings tell, contacts standing as in the solved state.
    fn by_surroundings(&self, scratch: &mut Scratch, found: &mut Found) {
        let Found { unsure, .. } = found;
        let width = self.base.solved.ohms.width();
        let standing = |copy: &Copied| self.coils.standing(self.changes[copy.change as usize], copy.closed);
        let changes: Vec<Change> = unsure.iter().map(standing).collect();
        let copies = std::mem::take(unsure);
        let mut left: Vec<usize> = (0..changes.len()).collect();
        let (mut out, mut volts) = (vec![0.0; width], vec![0.0; self.coils.width]);
        let mut near = Vec::new();
        self.base.solved.by_surroundings(&changes, &mut left, scratch, &mut out, &mut |number, row| {
            for (volts, [a, b]) in volts.iter_mut().zip(&self.coils.watched) {
                *volts = row[*a] - row[*b];
            }
            let [next, is_sure] =
                self.coils.next(&volts, changes[number], &Need::of(self.coils, copies[number].closed));
            // Of a coil that floats too little is known.
            if next != is_sure || volts.iter().any(|volts| volts.is_nan()) {
                near.push(copies[number]);
            } else if found.sort(copies[number], next) {
                found.last_row(width)[..row.len()].copy_from_slice(row);
            }
        });
        found.unsure.extend(left.into_iter().map(|number| copies[number]));
        found.unsure.append(&mut near);
    }
}
