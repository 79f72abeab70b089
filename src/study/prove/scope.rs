//! Where the hand goes in a search: at every part, or, where that would be too much, at those the clutch hangs on.
//!
//! A harness of a thousand parts has some hundred thousand pairs of points for a lead, and of two leads more than
//! anybody can wait for. What the current of the valve's coil can run through, and that of each coil and driver it hangs
//! on, are few parts of it. Which acts there are at them is left to [`candidates`](super::candidates).

use crate::bench::Refusal;
use crate::circuit::graph::{Stretch, Ways};
use crate::circuit::{Circuit, Kind, PartId, TerminalId};

/// Most pairs of acts tried. About a minute on two cores.
pub const MOST_PAIRS: usize = 2_000_000;

/// Where the hand goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Place {
    /// Everywhere, or, where that gives more than [`MOST_PAIRS`], at the parts the clutch hangs on.
    #[default]
    Anywhere,
    /// At these parts, the battery's poles and the chassis, and to these wires.
    At(Stretch),
}

impl Place {
    /// Parts and wires by their tags; the wires of a part go with it.
    ///
    /// # Errors
    /// A tag that nothing here has; no tag at all.
    pub fn at<'a>(circuit: &Circuit, tags: impl IntoIterator<Item = &'a str>) -> Result<Self, Refusal> {
        let mut stretch = Stretch::default();
        for tag in tags.into_iter().map(str::trim).filter(|tag| !tag.is_empty()) {
            if let Some(part) = circuit.part_named(tag) {
                stretch.parts.insert(part);
                let ends = circuit.terminals_of(part).flat_map(|terminal| circuit.ends_at(terminal));
                stretch.wires.extend(ends.map(|end| end.wire));
            } else if let Some(wire) = circuit.wire_named(tag) {
                stretch.wires.insert(wire);
            } else {
                let message = format!("there is no part and no wire `{tag}` in this circuit");
                return Err(Refusal::new(message, "name parts and wires as the file does, like `B1,K1,W4`"));
            }
        }
        if stretch == Stretch::default() {
            let message = "no part and no wire is named";
            return Err(Refusal::new(message, "name parts and wires as the file does, like `B1,K1,W4`"));
        }
        Ok(Self::At(stretch))
    }
}

/// How far a search went, where it did not go everywhere.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scope {
    /// Tags of the parts at which acts were tried, in file order, if not at all.
    pub at: Option<Vec<String>>,
    /// Whether somebody named them.
    pub is_asked: bool,
    /// Pairs of acts that were not tried for their number.
    pub pairs_left: Option<usize>,
}

/// What the clutch hangs on: all that current can run through on its way to the coil of its valve and back, the same of
/// each relay, module and timer among that, and what asks them.
pub(super) fn hung_on(circuit: &Circuit) -> Stretch {
    let ways = Ways::of(circuit);
    let poles = circuit.battery().map(|(id, _)| [0, 1].map(|place| circuit.terminal_at(id, place)));
    let mut all = Stretch::default();
    let mut waiting: Vec<PartId> = circuit.clutch_valve().map(|(id, _)| id).into_iter().collect();
    let mut met = waiting.clone();
    while let Some(part) = waiting.pop() {
        all.parts.insert(part);
        for fed in fed_at(circuit, part) {
            for pole in poles.into_iter().flatten() {
                let Stretch { parts, wires } = ways.between(pole, fed);
                let is_new = |id: &PartId| !met.contains(id) && !fed_at(circuit, *id).is_empty();
                let new: Vec<PartId> = parts.iter().copied().filter(is_new).collect();
                met.extend(&new);
                waiting.extend(new);
                all.parts.extend(parts);
                all.wires.extend(wires);
            }
        }
    }
    all
}

/// Where what moves a part comes in and goes out: at a coil, a module's supply, ground and input, a timer's.
fn fed_at(circuit: &Circuit, part: PartId) -> Vec<TerminalId> {
    let places: &[usize] = match circuit.part(part).kind {
        Kind::Relay(_) | Kind::AirValve(_) => &[0, 1],
        Kind::Module(_) => &[0, 1, 3],
        Kind::Timer(_) => &[0, 1, 2],
        Kind::Battery(_)
        | Kind::Fuse(_)
        | Kind::KeySwitch(_)
        | Kind::HandSwitch(_)
        | Kind::SelectorSwitch(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::Diode(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::Connector(_)
        | Kind::Splice(_)
        | Kind::Ground(_) => &[],
    };
    places.iter().map(|place| circuit.terminal_at(part, *place)).collect()
}
