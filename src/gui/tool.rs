//! The tools of the tray and what each would do to a thing it is used on.
//!
//! Yields [`Tool`] and, from [`use_on`], the [`Use`] a click or Enter would make: the same value feeds the preview
//! beside the pointer and the act itself, so the two cannot differ. Nothing is done here; how it looks is left to
//! the panels.

use crate::bench::{Act, Action, Bench, EndName, LeadFuse, Point, Reading, Setting};
use crate::circuit::{Kind, PartId, TerminalId, WireEnd};
use crate::study::answer::Subject;

use super::build::{self, BuildStep, Hold};
use super::instrument::{Device, Handling};
use super::seen::Desk;

/// What is in hand.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Tool {
    /// The bare hand: turns and presses switches, points at things.
    #[default]
    Hand,
    /// A jumper lead, perhaps with its first clip on.
    Lead {
        /// Where the first clip is.
        first: Option<Point>,
    },
    /// Takes wires off terminals and plugs off parts.
    Lift,
    /// An instrument; where its leads are is no matter of the hand.
    Instrument(Device),
}

/// The tools without their state, as the tray shows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolKind {
    /// [`Tool::Hand`].
    Hand,
    /// [`Tool::Lead`].
    Lead,
    /// [`Tool::Lift`].
    Lift,
    /// The meter.
    Meter,
    /// The test lamp.
    Lamp,
    /// The clamp.
    Clamp,
}

/// What a tool is for, where several things lie over each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Things as they are: switches before all else.
    Things,
    /// Points a clip goes on.
    Points,
    /// Ends of wires.
    Ends,
    /// Wires along their whole length.
    Wires,
}

/// What the tool in hand is for.
pub fn aim(desk: &Desk) -> Aim {
    if desk.is_building() {
        return match desk.building.hold {
            Hold::Nothing | Hold::Part(..) => Aim::Things,
            Hold::Wire(_) | Hold::End(..) => Aim::Points,
        };
    }
    match desk.tool {
        Tool::Hand => Aim::Things,
        Tool::Lead { .. } => Aim::Points,
        Tool::Lift => Aim::Ends,
        Tool::Instrument(device) if desk.instruments.goes_on_wires(device) => Aim::Wires,
        Tool::Instrument(_) => Aim::Points,
    }
}

impl Tool {
    /// Which it is.
    pub fn kind(&self) -> ToolKind {
        match self {
            Self::Hand => ToolKind::Hand,
            Self::Lead { .. } => ToolKind::Lead,
            Self::Lift => ToolKind::Lift,
            Self::Instrument(Device::Meter) => ToolKind::Meter,
            Self::Instrument(Device::Lamp) => ToolKind::Lamp,
            Self::Instrument(Device::Clamp) => ToolKind::Clamp,
        }
    }

    /// The tool of this kind, fresh from the tray.
    pub fn fresh(kind: ToolKind) -> Self {
        match kind {
            ToolKind::Hand => Self::Hand,
            ToolKind::Lead => Self::Lead { first: None },
            ToolKind::Lift => Self::Lift,
            ToolKind::Meter => Self::Instrument(Device::Meter),
            ToolKind::Lamp => Self::Instrument(Device::Lamp),
            ToolKind::Clamp => Self::Instrument(Device::Clamp),
        }
    }
}

/// What using the tool in hand on something comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Use {
    /// A change of the bench that can be foreseen.
    Act(Act),
    /// Any other change of the bench.
    Change(Action),
    /// The lead's first clip goes on.
    FirstClip(Point),
    /// An instrument is handled.
    Handle {
        /// Which.
        device: Device,
        /// What is done with it.
        handling: Handling,
        /// What it then reads, where it is on wholly by then.
        shows: Option<Reading>,
    },
    /// The circuit as built is changed.
    Build(BuildStep),
    /// It is only looked at.
    Look,
    /// Nothing, for this reason.
    Nothing(String),
}

/// What the tool in hand would do to `subject`.
pub fn use_on(desk: &Desk, bench: &Bench, subject: Subject) -> Use {
    if desk.is_building() {
        return build::use_on(desk, bench, subject);
    }
    if let Subject::Lead(number) = subject {
        return bench.act_of_lead(number).map_or(Use::Look, |act| Use::Change(Action::PutBack(act.clone())));
    }
    match &desk.tool {
        Tool::Hand => by_hand(bench, subject),
        Tool::Lead { first } => with_lead(bench, first.as_ref(), desk.fuse, subject),
        Tool::Lift => lifting(bench, subject),
        Tool::Instrument(device) => with_instrument(desk, bench, *device, subject),
    }
}

fn by_hand(bench: &Bench, subject: Subject) -> Use {
    match subject {
        Subject::Part(part) => by_hand_on_part(bench, part),
        Subject::WireEnd(end) if bench.inputs().lifted.contains(&end) => put_back_on(bench, end),
        Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) | Subject::Lead(_) => Use::Look,
    }
}

fn by_hand_on_part(bench: &Bench, id: PartId) -> Use {
    let part = bench.circuit().part(id);
    let tag = || part.tag.clone();
    if bench.inputs().unplugged.contains(&id) {
        return Use::Change(Action::PutBack(Act::Unplug { part: tag() }));
    }
    match &part.kind {
        Kind::KeySwitch(_) => Use::Change(Action::Set(Setting::Key(!bench.conditions().key_on))),
        Kind::HandSwitch(switch) if switch.momentary => Use::Act(Act::Press { switch: tag() }),
        Kind::HandSwitch(_) => {
            let to = if bench.inputs().turned.contains_key(&id) { "off" } else { "on" };
            Use::Act(Act::Turn { switch: tag(), to: to.to_owned() })
        }
        Kind::SelectorSwitch(selector) => {
            let at = bench.inputs().turned.get(&id).copied().unwrap_or_else(|| selector.rest_position());
            match selector.positions.get((at + 1) % selector.positions.len().max(1)) {
                Some(to) => Use::Act(Act::Turn { switch: tag(), to: to.clone() }),
                None => Use::Look,
            }
        }
        Kind::Fuse(_) if bench.outcome().memory.fuse_blown(bench.inputs(), id) => {
            Use::Change(Action::ReplaceFuse(tag()))
        }
        Kind::Fuse(_)
        | Kind::Battery(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::Relay(_)
        | Kind::AirValve(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Module(_)
        | Kind::Timer(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => Use::Look,
    }
}

fn with_lead(bench: &Bench, first: Option<&Point>, fuse: LeadFuse, subject: Subject) -> Use {
    let point = match point_of(bench, subject) {
        Some(point) => point,
        None if matches!(subject, Subject::Wire(_)) => {
            return Use::Nothing("a lead does not go on a wire's insulation".to_owned());
        }
        None => return Use::Nothing("the lead's clips go on terminals and loose wire ends".to_owned()),
    };
    match first {
        None => Use::FirstClip(point),
        Some(first) if *first == point => Use::Nothing("choose another point for the second clip".to_owned()),
        Some(first) => Use::Act(Act::Jump { a: first.clone(), b: point, fuse }),
    }
}

/// Where a clip goes that is put on a thing.
fn point_of(bench: &Bench, subject: Subject) -> Option<Point> {
    let circuit = bench.circuit();
    match subject {
        Subject::Terminal(terminal) => Some(Point::Terminal(circuit.terminal_words(terminal))),
        Subject::WireEnd(end) if bench.inputs().lifted.contains(&end) => Some(Point::LooseEnd(end_name(bench, end))),
        Subject::WireEnd(end) => Some(Point::Terminal(circuit.terminal_words(circuit.terminal_of_end(end)))),
        Subject::Part(_) | Subject::Wire(_) | Subject::Lead(_) => None,
    }
}

fn with_instrument(desk: &Desk, bench: &Bench, device: Device, subject: Subject) -> Use {
    let handling = if desk.instruments.goes_on_wires(device) {
        wire_of(bench, subject).map(Handling::Wire).ok_or("it goes on a wire; point at one")
    } else {
        point_of(bench, subject).map(Handling::Touch).ok_or("its leads go on terminals and loose wire ends")
    };
    match handling {
        Ok(handling) => {
            let shows = desk.instruments.as_on(bench).after(device, &handling).as_on(bench).reading(device);
            Use::Handle { device, handling, shows }
        }
        Err(why) => Use::Nothing(why.to_owned()),
    }
}

/// The wire that is meant; a terminal stands for its wire where it has only one.
fn wire_of(bench: &Bench, subject: Subject) -> Option<String> {
    let circuit = bench.circuit();
    let wire = match subject {
        Subject::Wire(wire) => wire,
        Subject::WireEnd(end) => end.wire,
        Subject::Terminal(terminal) => match circuit.ends_at(terminal) {
            [end] => end.wire,
            _ => return None,
        },
        Subject::Part(_) | Subject::Lead(_) => return None,
    };
    Some(circuit.wire(wire).tag.clone())
}

fn lifting(bench: &Bench, subject: Subject) -> Use {
    match subject {
        Subject::WireEnd(end) if bench.inputs().lifted.contains(&end) => put_back_on(bench, end),
        Subject::WireEnd(end) => Use::Act(Act::Lift(end_name(bench, end))),
        Subject::Terminal(terminal) => lifting_at(bench, terminal),
        Subject::Part(id) => {
            let part = bench.circuit().part(id).tag.clone();
            if bench.inputs().unplugged.contains(&id) {
                return Use::Change(Action::PutBack(Act::Unplug { part }));
            }
            match bench.circuit().part(id).kind {
                Kind::Splice(_) => Use::Nothing(format!("`{part}` is a splice and does not come apart")),
                _ => Use::Act(Act::Unplug { part }),
            }
        }
        Subject::Wire(_) => Use::Nothing("point at one end of the wire".to_owned()),
        Subject::Lead(_) => Use::Look,
    }
}

/// A terminal stands for its wire where it has only one.
fn lifting_at(bench: &Bench, terminal: TerminalId) -> Use {
    match bench.circuit().ends_at(terminal) {
        [] => Use::Nothing("no wire is on this terminal".to_owned()),
        [end] => lifting(bench, Subject::WireEnd(*end)),
        _ => Use::Nothing("several wires are on this terminal; point at the end of one".to_owned()),
    }
}

fn put_back_on(bench: &Bench, end: WireEnd) -> Use {
    Use::Change(Action::PutBack(Act::Lift(end_name(bench, end))))
}

/// A wire's end by name.
pub fn end_name(bench: &Bench, end: WireEnd) -> EndName {
    let circuit = bench.circuit();
    EndName { wire: circuit.wire(end.wire).tag.clone(), terminal: circuit.terminal_words(circuit.terminal_of_end(end)) }
}
