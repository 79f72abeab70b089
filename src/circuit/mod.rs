//! What is wired to what, as built and as drawn: the layer everything else stands on.
//!
//! One word per idea, used everywhere: a *part* has *terminals*; a *wire* joins two terminals; terminals joined by
//! wire alone are one *net*; a *contact* is open or closed and has a *rest* position; a *tag* is a part's or wire's
//! designation. Nothing here knows computed volts, flipped switches, disks or windows.

pub mod air;
pub mod at;
pub mod change;
pub mod check;
pub mod diagnostic;
pub mod engine;
pub mod figure;
pub mod format;
pub mod graph;
pub mod ids;
pub mod part;
pub mod quantity;
pub mod shipped;
pub mod wire;

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

pub use air::{Air, Clutch, DEFAULT_MINIMUM_PSI, Engages};
pub use at::At;
pub use change::{Change, Owner};
pub use engine::Engine;
pub use figure::Telling;
pub use ids::{End, PartId, TerminalId, WireEnd, WireId};
pub use part::{Contact, Kind, Part};
pub use wire::Wire;

use figure::Given;
use part::{AirValve, Battery};

/// One terminal: which part's, and what it is called there.
#[derive(Clone, Debug, PartialEq)]
pub struct Terminal {
    /// The part it belongs to.
    pub part: PartId,
    /// Its name on that part.
    pub name: String,
}

/// What a circuit is made of, before its terminals are numbered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draft {
    /// Comment lines that stand before the circuit in its file, as written.
    pub preamble: String,
    /// What it is the circuit of.
    pub title: String,
    /// Remarks.
    pub notes: String,
    /// Parts in file order, their tags all different.
    pub parts: Vec<Part>,
    /// Wires in file order with their ends as `(part tag, terminal name)`.
    pub wires: Vec<DraftWire>,
    /// Air side.
    pub air: Option<Air>,
    /// Clutch.
    pub clutch: Option<Clutch>,
    /// Engine.
    pub engine: Option<Engine>,
    /// Names of the figures in these three that are given although they are as usual.
    pub given: Given,
    /// Where parts have been put on the drawing by hand, by their tags.
    pub places: BTreeMap<String, At>,
}

/// A wire whose ends are still names.
#[derive(Clone, Debug, PartialEq)]
pub struct DraftWire {
    /// Its number.
    pub tag: String,
    /// `part.terminal` of the first end.
    pub from: String,
    /// `part.terminal` of the other end.
    pub to: String,
    /// Size.
    pub gauge: quantity::Gauge,
    /// Length.
    pub length: quantity::Length,
    /// Insulation colour.
    pub colour: Option<String>,
}

/// A whole circuit, its terminals numbered.
///
/// Made by [`Circuit::new`] and never changed after: every number given by it stays good for its life.
#[derive(Clone, Debug)]
pub struct Circuit {
    preamble: String,
    title: String,
    notes: String,
    parts: Vec<Part>,
    wires: Vec<Wire>,
    air: Option<Air>,
    clutch: Option<Clutch>,
    engine: Option<Engine>,
    given: Given,
    places: BTreeMap<PartId, At>,
    terminals: Vec<Terminal>,
    /// First terminal of each part, and one past the last at the end.
    first_terminal: Vec<u32>,
    part_by_tag: HashMap<String, PartId>,
    wire_by_tag: HashMap<String, WireId>,
    ends_at: Vec<Vec<WireEnd>>,
}

impl PartialEq for Circuit {
    fn eq(&self, other: &Self) -> bool {
        let Self {
            preamble,
            title,
            notes,
            parts,
            wires,
            air,
            clutch,
            engine,
            given,
            places,
            // The rest follows from parts and wires.
            terminals: _,
            first_terminal: _,
            part_by_tag: _,
            wire_by_tag: _,
            ends_at: _,
        } = self;
        *preamble == other.preamble
            && *title == other.title
            && *notes == other.notes
            && *parts == other.parts
            && *wires == other.wires
            && *air == other.air
            && *clutch == other.clutch
            && *engine == other.engine
            && *given == other.given
            && *places == other.places
    }
}

impl Circuit {
    /// Numbers the terminals of a draft and ties the wires to them. A place of no part is left out.
    ///
    /// # Errors
    /// The tag of the first wire with an end at no terminal, with that end's words.
    pub fn new(draft: Draft) -> Result<Self, (String, String)> {
        let Draft { preamble, title, notes, parts, wires, air, clutch, engine, given, places } = draft;
        let given = figure::given(&given, air.as_ref(), clutch.as_ref(), engine.as_ref());
        let mut terminals = Vec::new();
        let mut first_terminal = Vec::with_capacity(parts.len() + 1);
        let mut part_by_tag = HashMap::with_capacity(parts.len());
        for (i, part) in parts.iter().enumerate() {
            let id = PartId(number(i));
            first_terminal.push(number(terminals.len()));
            part_by_tag.insert(part.tag.clone(), id);
            terminals
                .extend(part.kind.terminals().into_iter().map(|name| Terminal { part: id, name: name.into_owned() }));
        }
        first_terminal.push(number(terminals.len()));
        let places = places.iter().filter_map(|(tag, at)| Some((*part_by_tag.get(tag)?, *at))).collect();
        let mut circuit = Self {
            preamble,
            title,
            notes,
            parts,
            wires: Vec::with_capacity(wires.len()),
            air,
            clutch,
            engine,
            given,
            places,
            ends_at: vec![Vec::new(); terminals.len()],
            terminals,
            first_terminal,
            part_by_tag,
            wire_by_tag: HashMap::with_capacity(wires.len()),
        };
        for (i, wire) in wires.into_iter().enumerate() {
            let id = WireId(number(i));
            let DraftWire { tag, from, to, gauge, length, colour } = wire;
            let Some(from_id) = circuit.terminal_named(&from) else { return Err((tag, from)) };
            let Some(to_id) = circuit.terminal_named(&to) else { return Err((tag, to)) };
            circuit.ends_at[from_id.index()].push(WireEnd { wire: id, end: End::From });
            circuit.ends_at[to_id.index()].push(WireEnd { wire: id, end: End::To });
            circuit.wire_by_tag.insert(tag.clone(), id);
            circuit.wires.push(Wire { tag, from: from_id, to: to_id, gauge, length, colour });
        }
        Ok(circuit)
    }

    /// Comment lines that stand before the circuit in its file.
    pub fn preamble(&self) -> &str {
        &self.preamble
    }

    /// What it is the circuit of.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Remarks.
    pub fn notes(&self) -> &str {
        &self.notes
    }

    /// All parts in file order.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// All parts with their numbers.
    pub fn parts_with_ids(&self) -> impl Iterator<Item = (PartId, &Part)> {
        self.parts.iter().enumerate().map(|(i, p)| (PartId(number(i)), p))
    }

    /// All wires in file order.
    pub fn wires(&self) -> &[Wire] {
        &self.wires
    }

    /// All wires with their numbers.
    pub fn wires_with_ids(&self) -> impl Iterator<Item = (WireId, &Wire)> {
        self.wires.iter().enumerate().map(|(i, w)| (WireId(number(i)), w))
    }

    /// All terminals, part after part.
    pub fn terminals(&self) -> &[Terminal] {
        &self.terminals
    }

    /// All terminals with their numbers.
    pub fn terminals_with_ids(&self) -> impl Iterator<Item = (TerminalId, &Terminal)> {
        self.terminals.iter().enumerate().map(|(i, t)| (TerminalId(number(i)), t))
    }

    /// The air side as written, if it is.
    pub fn air(&self) -> Option<&Air> {
        self.air.as_ref()
    }

    /// The clutch as written, if it is.
    pub fn clutch(&self) -> Option<&Clutch> {
        self.clutch.as_ref()
    }

    /// The figures of the air side, as written or as usual.
    pub fn air_figures(&self) -> &Air {
        static USUAL: LazyLock<Air> = LazyLock::new(Air::default);
        self.air.as_ref().unwrap_or(&USUAL)
    }

    /// The figures of the clutch, as written or as usual.
    pub fn clutch_figures(&self) -> &Clutch {
        static USUAL: LazyLock<Clutch> = LazyLock::new(Clutch::default);
        self.clutch.as_ref().unwrap_or(&USUAL)
    }

    /// The engine as written, if it is.
    pub fn engine(&self) -> Option<&Engine> {
        self.engine.as_ref()
    }

    /// The figures of the engine, as written or as usual.
    pub fn engine_figures(&self) -> &Engine {
        static USUAL: LazyLock<Engine> = LazyLock::new(Engine::default);
        self.engine.as_ref().unwrap_or(&USUAL)
    }

    /// One part.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.index()]
    }

    /// One wire.
    pub fn wire(&self, id: WireId) -> &Wire {
        &self.wires[id.index()]
    }

    /// One terminal.
    pub fn terminal(&self, id: TerminalId) -> &Terminal {
        &self.terminals[id.index()]
    }

    /// Numbers of a part's terminals, in the order of [`Kind::terminals`].
    pub fn terminals_of(&self, part: PartId) -> impl ExactSizeIterator<Item = TerminalId> + use<> {
        (self.first_terminal[part.index()]..self.first_terminal[part.index() + 1]).map(TerminalId)
    }

    /// The part's terminal at a place in the order of [`Kind::terminals`].
    pub fn terminal_at(&self, part: PartId, place: usize) -> TerminalId {
        TerminalId(self.first_terminal[part.index()] + number(place))
    }

    /// The part with this tag.
    pub fn part_named(&self, tag: &str) -> Option<PartId> {
        self.part_by_tag.get(tag).copied()
    }

    /// The wire with this tag.
    pub fn wire_named(&self, tag: &str) -> Option<WireId> {
        self.wire_by_tag.get(tag).copied()
    }

    /// The terminal written `part.terminal`.
    pub fn terminal_named(&self, words: &str) -> Option<TerminalId> {
        let (tag, name) = words.split_once('.')?;
        let part = self.part_named(tag)?;
        self.terminals_of(part).find(|t| self.terminal(*t).name == name)
    }

    /// How a terminal is written: `part.terminal`.
    pub fn terminal_words(&self, id: TerminalId) -> String {
        let terminal = self.terminal(id);
        format!("{}.{}", self.part(terminal.part).tag, terminal.name)
    }

    /// How a wire's end is written: `wire@part.terminal`.
    pub fn end_words(&self, end: WireEnd) -> String {
        format!("{}@{}", self.wire(end.wire).tag, self.terminal_words(self.terminal_of_end(end)))
    }

    /// The terminal an end belongs on.
    pub fn terminal_of_end(&self, end: WireEnd) -> TerminalId {
        let wire = self.wire(end.wire);
        match end.end {
            End::From => wire.from,
            End::To => wire.to,
        }
    }

    /// Where parts have been put on the drawing by hand.
    pub fn places(&self) -> &BTreeMap<PartId, At> {
        &self.places
    }

    /// Wire ends that belong on a terminal, in file order.
    pub fn ends_at(&self, terminal: TerminalId) -> &[WireEnd] {
        &self.ends_at[terminal.index()]
    }

    /// Every battery.
    pub fn batteries(&self) -> impl Iterator<Item = (PartId, &Battery)> {
        self.parts_with_ids().filter_map(|(id, part)| match &part.kind {
            Kind::Battery(battery) => Some((id, battery)),
            _ => None,
        })
    }

    /// The first battery: volts are counted from its `-`.
    pub fn battery(&self) -> Option<(PartId, &Battery)> {
        self.batteries().next()
    }

    /// The air valve that feeds the clutch: the one `air` names, else the first.
    pub fn clutch_valve(&self) -> Option<(PartId, &AirValve)> {
        let named = self.air.as_ref().and_then(|air| air.valve.as_deref());
        self.parts_with_ids().find_map(|(id, part)| match &part.kind {
            Kind::AirValve(valve) if named.is_none_or(|tag| tag == part.tag) => Some((id, valve)),
            _ => None,
        })
    }

    /// Air needed at the clutch, in kilopascal.
    pub fn minimum_kpa(&self) -> f64 {
        self.air_figures().minimum.value()
    }

    /// The clutch's principle; air-applied where the file says nothing.
    pub fn engages(&self) -> Engages {
        self.clutch_figures().engages
    }

    /// The circuit taken apart again, for writing or changing it.
    pub fn draft(&self) -> Draft {
        Draft {
            preamble: self.preamble.clone(),
            title: self.title.clone(),
            notes: self.notes.clone(),
            parts: self.parts.clone(),
            wires: self
                .wires
                .iter()
                .map(|wire| DraftWire {
                    tag: wire.tag.clone(),
                    from: self.terminal_words(wire.from),
                    to: self.terminal_words(wire.to),
                    gauge: wire.gauge,
                    length: wire.length,
                    colour: wire.colour.clone(),
                })
                .collect(),
            air: self.air.clone(),
            clutch: self.clutch.clone(),
            engine: self.engine.clone(),
            given: self.given.clone(),
            places: self.places.iter().map(|(id, at)| (self.part(*id).tag.clone(), *at)).collect(),
        }
    }
}

/// A list position as an id's number.
fn number(index: usize) -> u32 {
    u32::try_from(index).expect("a circuit file is limited to far fewer than 2^32 of anything")
}
