//! Changing the circuit as built, in the window: what is in hand for it, what a click on the drawing then means, and how
//! it is carried out.
//!
//! Part of [`apply`](super::apply). Yields [`Building`], [`BuildStep`] and, from [`use_on`], what a click would do; how
//! it looks is the panels'. What may be changed, and in which words it is refused, is the circuit's business; every
//! change goes through the bench like all else.

use std::sync::Arc;

use crate::bench::{Action, Bench};
use crate::circuit::change::{Carried, free_part_tag, free_wire_tag};
use crate::circuit::{At, Change, Circuit, End, TerminalId, WireEnd, diagnostic};
use crate::study::answer::Subject;

use super::app::App;
use super::bay::Bay;
use super::row::Row;
use super::seen::{Desk, Drawer, Room};
use super::tongue::{t, worded};
use super::tool::{Tool, Use};
use super::{together, words};

/// Steps of a place that an arrow key moves a part by: the drawing's grid.
pub const NUDGE: i32 = 2;

/// What is in hand while the circuit is changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Hold {
    /// Nothing: a click chooses.
    #[default]
    Nothing,
    /// A new wire, one end of it on this terminal.
    Wire(String),
    /// An end of a wire that is to go to another terminal.
    End(String, End),
    /// A part, and where it would stand.
    Part(String, At),
}

impl Hold {
    /// The terminal that the wire in hand stays on with its other end.
    pub fn stays_on(&self, circuit: &Circuit) -> Option<String> {
        match self {
            Self::Nothing | Self::Part(..) => None,
            Self::Wire(from) => Some(from.clone()),
            Self::End(wire, end) => {
                let wire = circuit.wire_named(wire)?;
                Some(circuit.terminal_words(circuit.terminal_of_end(WireEnd { wire, end: end.other() })))
            }
        }
    }
}

/// What of the drawer is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Page {
    /// The thing that is chosen.
    #[default]
    Chosen,
    /// Kinds of part to add.
    Add,
    /// What is doubtful.
    Doubtful,
    /// The circuit as a whole: its title, air side, clutch and engine.
    Whole,
}

/// The state of changing the circuit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Building {
    /// The circuit is being changed, and not worked on.
    is_on: bool,
    /// What is in hand.
    pub hold: Hold,
    /// What of the drawer is shown.
    pub page: Page,
}

/// One thing asked while the circuit is changed.
#[derive(Clone, Debug, PartialEq)]
pub enum BuildStep {
    /// Make this change.
    Make(Change),
    /// Add a part of this kind, and choose it.
    Add(String),
    /// Take something in hand, or nothing.
    Hold(Hold),
    /// Put the end in hand on this terminal.
    On(String),
    /// Take a part in hand to be put elsewhere.
    PickUp(String),
    /// Hold the part in hand over another place.
    Over(At),
    /// Put the part in hand down.
    PutDown,
    /// Show another page of the drawer.
    Show(Page),
    /// Take away what is chosen: a part, or a wire.
    TakeChosen,
}

impl Desk {
    /// Whether the circuit is being changed, and not worked on.
    pub fn is_building(&self) -> bool {
        self.building.is_on
    }
}

/// What a click on a thing means while the circuit is changed.
pub fn use_on(desk: &Desk, bench: &Bench, subject: Subject) -> Use {
    let circuit = bench.circuit();
    match &desk.building.hold {
        Hold::Nothing => Use::Look,
        Hold::Part(..) => Use::Build(BuildStep::PutDown),
        Hold::Wire(from) => match terminal_of(circuit, subject) {
            Some(to) if circuit.terminal_words(to) == *from => {
                Use::Nothing(t!("build-choose-another-terminal").to_owned())
            }
            Some(to) => Use::Build(BuildStep::On(circuit.terminal_words(to))),
            None => Use::Nothing(t!("build-a-wire-goes-to-a").to_owned()),
        },
        Hold::End(..) => match terminal_of(circuit, subject) {
            Some(to) => Use::Build(BuildStep::On(circuit.terminal_words(to))),
            None => Use::Nothing(t!("build-a-wires-end-goes-on").to_owned()),
        },
    }
}

/// What a click would do, in words.
pub fn told(desk: &Desk, step: &BuildStep) -> String {
    match (step, &desk.building.hold) {
        (BuildStep::On(to), Hold::Wire(from)) => t!("build-click-run-a-wire-from", from, to),
        (BuildStep::On(to), Hold::End(wire, _)) => t!("build-click-put-the-end-of", wire, to),
        (BuildStep::PutDown, Hold::Part(part, _)) => t!("build-click-stands-here", part),
        _ => String::new(),
    }
}

/// The terminal that is meant by a thing: its own, the one an end is on, or the only one of a part.
fn terminal_of(circuit: &Circuit, subject: Subject) -> Option<TerminalId> {
    match subject {
        Subject::Terminal(terminal) => Some(terminal),
        Subject::WireEnd(end) => Some(circuit.terminal_of_end(end)),
        Subject::Part(part) => {
            let mut all = circuit.terminals_of(part);
            all.next().filter(|_| all.next().is_none())
        }
        Subject::Wire(_) | Subject::Lead(_) => None,
    }
}

/// The thing a finding is about.
pub fn subject_of(circuit: &Circuit, about: &diagnostic::Subject) -> Option<Subject> {
    match about {
        diagnostic::Subject::Whole => None,
        diagnostic::Subject::Part(tag) => circuit.part_named(tag).map(Subject::Part),
        diagnostic::Subject::Terminal(words) => circuit.terminal_named(words).map(Subject::Terminal),
        diagnostic::Subject::Wire(tag) => circuit.wire_named(tag).map(Subject::Wire),
    }
}

/// Carries out one step on the circuit in front.
pub(super) fn step(app: &mut App, step: BuildStep) {
    if !may_build(app) {
        return;
    }
    match step {
        BuildStep::Make(change) => {
            make(app, change);
        }
        BuildStep::Add(kind) => {
            let tag = free_part_tag(app.front.session.bench().circuit(), &kind);
            if make(app, Change::AddPart { kind, tag: tag.clone() }) {
                let part = app.front.session.bench().circuit().part_named(&tag).map(Subject::Part);
                choose(&mut app.front, part);
                app.front.desk.said = t!("build-is-added-wire-it-from", tag);
            }
        }
        BuildStep::Hold(hold) => app.front.desk.building.hold = hold,
        BuildStep::On(to) => on(app, to),
        BuildStep::PickUp(part) => {
            let id = app.front.session.bench().circuit().part_named(&part);
            if let Some((id, at)) = id.and_then(|id| Some((id, app.front.session.layout().place_of(id)?))) {
                choose(&mut app.front, Some(Subject::Part(id)));
                app.front.desk.building.hold = Hold::Part(part, at);
            }
        }
        BuildStep::Over(over) => {
            if let Hold::Part(_, at) = &mut app.front.desk.building.hold {
                *at = over;
            }
        }
        BuildStep::PutDown => {
            let hold = std::mem::take(&mut app.front.desk.building.hold);
            if let Hold::Part(part, at) = hold {
                make(app, Change::Place { part, at });
            }
        }
        BuildStep::Show(page) => app.front.desk.building.page = page,
        BuildStep::TakeChosen => match taking_chosen(&app.front) {
            Some(change) => {
                make(app, change);
            }
            None => app.front.desk.said = t!("build-choose-what-is-taken-away").to_owned(),
        },
    }
}

/// The change that takes away what is chosen, where that is a part or a wire.
fn taking_chosen(bay: &Bay) -> Option<Change> {
    let circuit = bay.session.bench().circuit();
    match bay.desk.selected? {
        Subject::Part(id) => Some(Change::TakePart(circuit.part(id).tag.clone())),
        Subject::Wire(wire) | Subject::WireEnd(WireEnd { wire, .. }) => {
            Some(Change::TakeWire(circuit.wire(wire).tag.clone()))
        }
        Subject::Terminal(_) | Subject::Lead(_) => None,
    }
}

/// Puts the end in hand on a terminal.
fn on(app: &mut App, to: String) {
    let circuit = app.front.session.bench().circuit();
    let (change, wire) = match &app.front.desk.building.hold {
        Hold::Wire(from) => {
            let tag = free_wire_tag(circuit);
            (Change::AddWire { tag: tag.clone(), from: from.clone(), to }, tag)
        }
        Hold::End(wire, end) => (Change::MoveEnd { wire: wire.clone(), end: *end, to }, wire.clone()),
        Hold::Nothing | Hold::Part(..) => return,
    };
    if make(app, change) {
        let wire = app.front.session.bench().circuit().wire_named(&wire).map(Subject::Wire);
        choose(&mut app.front, wire);
    }
}

fn choose(bay: &mut Bay, subject: Option<Subject>) {
    bay.desk.selected = subject;
    bay.desk.building.page = Page::Chosen;
}

/// Whether the circuit may be changed now. The clock is put away for it; a hunt is not, for it would give itself away.
fn may_build(app: &mut App) -> bool {
    let bay = &mut app.front;
    if bay.session.hunt().is_some() {
        bay.desk.said = t!("build-the-circuit-is-not-changed").to_owned();
        return false;
    }
    if bay.session.clock().is_some() {
        bay.session.take_clock(false, app.look.units);
    }
    true
}

/// Makes a change; whether it could be made.
fn make(app: &mut App, change: Change) -> bool {
    let before = app.front.session.bench().revision();
    app.front.desk.suggestion = None;
    together::alone(app, Action::Build(change));
    app.front.session.bench().revision() != before
}

/// Carries what is chosen and in hand over to a circuit that has changed, by a change, its undoing or its redoing, and
/// says what had to be put back.
pub(super) fn follow(bay: &mut Bay, before: &Arc<Circuit>, change: Option<&Change>) {
    let bench = bay.session.bench();
    let after = bench.circuit_shared();
    if Arc::ptr_eq(before, &after) {
        return;
    }
    let carried = Carried::over(before, &after, change);
    bay.desk.selected = bay.desk.selected.and_then(|subject| match subject {
        Subject::Part(id) => carried.part(id).map(Subject::Part),
        Subject::Terminal(id) => carried.terminal(id).map(Subject::Terminal),
        Subject::Wire(id) => carried.wire(id).map(Subject::Wire),
        Subject::WireEnd(_) | Subject::Lead(_) => None,
    });
    bay.desk.building.hold = Hold::Nothing;
    let told: Vec<String> = bench.put_back().iter().map(|change| words::change(before, change).0).collect();
    if !told.is_empty() {
        let what = change.map_or_else(String::new, |change| worded(&change.told()) + ". ");
        bay.desk.said = t!("build-put-back-for-it-fits", what, told = told.join("; "));
    } else if let Some(change) = change {
        bay.desk.said = worded(&change.told()) + ".";
    }
    if bay.name == before.title() {
        after.title().clone_into(&mut bay.name);
    }
    bay.studies.rebuilt(bay.session.bench());
}

/// Begins or ends changing circuits with the drawer that is pulled out: tools are put back first.
pub(super) fn sync(row: &mut Row, front: &mut Bay, room: &Room) {
    let is_on = room.drawer == Some(Drawer::Build);
    for desk in row.all_mut(front).map(|bay| &mut bay.desk).filter(|desk| desk.building.is_on != is_on) {
        desk.building = Building { is_on, hold: Hold::Nothing, page: desk.building.page };
        if is_on {
            desk.tool = Tool::Hand;
            desk.instruments = desk.instruments.without_half();
            desk.said.clear();
        }
    }
}
