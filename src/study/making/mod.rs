//! A circuit made from answers to a few questions: what a person at a truck can say of it without its diagram.
//!
//! Yields [`Made`]: a circuit whose every part and wire is drawn up here ([`style`]) on a [`sketch`], and which was then
//! put on a bench and led through all that asks ([`proof`]): it engages when it should and releases when it should, or
//! there is no circuit but a reason with its mend. Files and questions put to people are left to the command line and
//! the window.
//!
//! Set points, coils, fuses and lengths are example values (common practice, no source): whoever makes a circuit puts
//! in those of the truck.

mod proof;
pub mod questions;
mod sketch;
mod style;

use std::sync::Arc;

use crate::bench::Refusal;
use crate::circuit::format::{read, write};
use crate::circuit::part::{Quantity, ValveRest};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Contact, Engages};
use crate::words::{Words, say};

pub use style::usual_points;

/// Where the valve's coil is switched, and by what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum By {
    /// Contacts between the supply and the coil.
    #[default]
    SupplySide,
    /// The coil is always fed; contacts complete its way to ground.
    GroundSide,
    /// Contacts work a relay, and the relay the coil.
    Relay,
    /// An engine module joins the coil to ground.
    ModuleLow,
    /// An engine module feeds the coil.
    ModuleHigh,
}

impl By {
    /// All of them with their names, in the order they are asked for.
    pub const ALL: [(&'static str, Self); 5] = [
        ("supply-side", Self::SupplySide),
        ("ground-side", Self::GroundSide),
        ("relay", Self::Relay),
        ("module-low", Self::ModuleLow),
        ("module-high", Self::ModuleHigh),
    ];

    /// Whether an engine module decides.
    pub fn is_module(self) -> bool {
        matches!(self, Self::ModuleLow | Self::ModuleHigh)
    }
}

/// What the driver has at the dash to ask for the fan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Override {
    /// Nothing.
    #[default]
    Nothing,
    /// A switch that forces the fan on.
    Switch,
    /// ON, AUTO and OFF.
    Selector,
    /// A button that keeps the fan on by a relay that holds itself, and one that lets it go.
    Buttons,
}

impl Override {
    /// All of them with their names, in the order they are asked for.
    pub const ALL: [(&'static str, Self); 4] =
        [("none", Self::Nothing), ("switch", Self::Switch), ("selector", Self::Selector), ("buttons", Self::Buttons)];
}

/// How the refrigerant's request gets to the coil.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Refrigerant {
    /// By its own contact, as the others.
    #[default]
    Contact,
    /// By a relay out of its own fused circuit.
    Relay,
    /// By a timer that holds it for a while.
    Timer,
    /// Through a diode, with a lamp that shows it alone.
    Lamp,
}

impl Refrigerant {
    /// All of them with their names, in the order they are asked for.
    pub const ALL: [(&'static str, Self); 4] =
        [("contact", Self::Contact), ("relay", Self::Relay), ("timer", Self::Timer), ("lamp", Self::Lamp)];
}

/// What is felt, with its set point and the point it returns at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Request {
    /// What.
    pub senses: Quantity,
    /// Where it acts, rising.
    pub acts: Level,
    /// Where it returns, falling.
    pub resets: Level,
}

/// Answers to the questions.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// What it is the circuit of.
    pub title: String,
    /// Whether the system has 24 volts, else 12.
    pub is_24_volt: bool,
    /// Whether the figures are metric.
    pub is_metric: bool,
    /// The clutch's principle.
    pub clutch: Engages,
    /// Where the coil is switched, and by what.
    pub by: By,
    /// How contacts of sensors and switches are at rest.
    pub contacts: Contact,
    /// The valve at rest; none where it shall follow from the others.
    pub valve: Option<ValveRest>,
    /// What asks for the fan, in this order, each once.
    pub requests: Vec<Request>,
    /// How the refrigerant's request gets there.
    pub refrigerant: Refrigerant,
    /// Seconds that a timer holds.
    pub hold_seconds: f64,
    /// What the driver has.
    pub force: Override,
}

impl Default for Answers {
    fn default() -> Self {
        let [coolant, .., refrigerant] = usual_points(false);
        Self {
            title: "My truck".to_owned(),
            is_24_volt: false,
            is_metric: false,
            clutch: Engages::WithAir,
            by: By::SupplySide,
            contacts: Contact::Open,
            valve: None,
            requests: vec![coolant, refrigerant],
            refrigerant: Refrigerant::Contact,
            hold_seconds: 90.0,
            force: Override::Nothing,
        }
    }
}

impl Answers {
    /// Whether these answers leave a choice of the valve's position at rest: between contacts and coil there is then
    /// something that can turn the sense round.
    pub fn leave_valve_open(&self) -> bool {
        self.by == By::Relay || self.by.is_module()
    }

    /// The valve at rest: as answered, else as it follows.
    pub fn valve_rest(&self) -> ValveRest {
        self.valve.unwrap_or_else(|| {
            // Open contacts close when the fan is wanted and make the coil live; closed ones make it dead.
            let live_drives = self.contacts == Contact::Open;
            if live_drives == (self.clutch == Engages::WithAir) { ValveRest::Blocking } else { ValveRest::Passing }
        })
    }

    /// Whether a live coil drives the fan.
    pub fn live_drives(&self) -> bool {
        (self.valve_rest() == ValveRest::Blocking) == (self.clutch == Engages::WithAir)
    }
}

/// A circuit that was made.
#[derive(Clone, Debug)]
pub struct Made {
    /// The circuit.
    pub circuit: Arc<Circuit>,
    /// Its file.
    pub text: String,
    /// What it does, in sentences, as it was seen on the bench.
    pub says: Vec<Words>,
}

/// Makes the circuit.
///
/// # Errors
/// Where the answers do not go together, or the circuit did not do on the bench what it is for; with a mend.
pub fn make(answers: &Answers) -> Result<Made, Refusal> {
    let draft = style::draft(answers)?;
    let circuit = Circuit::new(draft)
        .map_err(|(wire, end)| Refusal::new(say!("making-would-end-nowhere", wire, end), say!("making-answer-anew")))?;
    let text = write(&circuit);
    // As everybody else will read it: what a title or a figure makes of a file shows here.
    let reading = read(&text);
    let Some(circuit) = reading.circuit else {
        let finding = reading.findings.into_iter().next();
        let (message, mend) = finding.map_or_else(Default::default, |finding| (finding.message, finding.mend));
        return Err(Refusal::new(message, mend));
    };
    let circuit = Arc::new(circuit);
    let says = proof::prove(&circuit, answers)?;
    Ok(Made { circuit, text, says })
}
