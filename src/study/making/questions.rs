//! The questions put to whoever makes a circuit, in the order they are asked, with their answers in words.
//!
//! One home for the command line and the window, which only show them. Which answers go together is
//! [`make`](super::make())'s to say.

use crate::bench::{Refusal, level_from_words};
use crate::circuit::part::{Quantity, ValveRest};
use crate::circuit::quantity::Level;
use crate::circuit::{Contact, Engages};

use super::{Answers, By, Override, Refrigerant, Request, usual_points};
use crate::words::{Words, say};

/// One answer that can be given to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it means.
    pub meaning: Words,
}

const fn choice(name: &'static str, meaning: Words) -> Choice {
    Choice { name, meaning }
}

/// A question with one answer out of several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// System voltage.
    Volts,
    /// Units.
    Units,
    /// The clutch's principle.
    Clutch,
    /// Where the coil is switched.
    By,
    /// Contacts at rest.
    Contacts,
    /// The valve at rest.
    Valve,
    /// What the driver has.
    Force,
    /// How the refrigerant's request gets there.
    Refrigerant,
}

impl Question {
    /// All of them, in the order they are asked.
    pub const ALL: [Self; 8] =
        [Self::Contacts, Self::By, Self::Clutch, Self::Valve, Self::Force, Self::Refrigerant, Self::Volts, Self::Units];

    /// Its name: the command line's option.
    pub fn name(self) -> &'static str {
        match self {
            Self::Volts => "volts",
            Self::Units => "units",
            Self::Clutch => "clutch",
            Self::By => "by",
            Self::Contacts => "contacts",
            Self::Valve => "valve",
            Self::Force => "force",
            Self::Refrigerant => "refrigerant",
        }
    }

    /// The question.
    pub fn words(self) -> Words {
        match self {
            Self::Volts => say!("making-which-system-voltage"),
            Self::Units => say!("making-which-units-for-the-figures"),
            Self::Clutch => say!("making-what-brings-the-clutch-in"),
            Self::By => say!("making-where-is-the-valve-s"),
            Self::Contacts => say!("making-cold-and-without-pressure-how"),
            Self::Valve => say!("making-with-its-coil-dead-what"),
            Self::Force => say!("making-what-has-the-driver-at"),
            Self::Refrigerant => say!("making-how-does-the-refrigerant-s"),
        }
    }

    /// The answers there are, the usual one first.
    pub fn choices(self) -> &'static [Choice] {
        match self {
            Self::Volts => const { &[choice("12", say!("making-12-v")), choice("24", say!("making-24-v"))] },
            Self::Units => {
                const { &[choice("us", say!("making-f-psi-awg-feet")), choice("metric", say!("making-c-bar-mm-metres"))] }
            }
            Self::Clutch => {
                const {
                    &[
                        choice("air", say!("making-air-brings-it-in-a")),
                        choice("spring", say!("making-a-spring-air-takes-it")),
                    ]
                }
            }
            Self::By => {
                const {
                    &[
                        choice("supply-side", say!("making-by-contacts-between-the-supply")),
                        choice("ground-side", say!("making-by-contacts-between-the-coil")),
                        choice("relay", say!("making-by-a-relay-that-the")),
                        choice("module-low", say!("making-by-an-engine-module-that")),
                        choice("module-high", say!("making-by-an-engine-module-feeding")),
                    ]
                }
            }
            Self::Contacts => {
                const {
                    &[
                        choice("open", say!("making-open-side-by-side")),
                        choice("closed", say!("making-closed-in-a-row")),
                    ]
                }
            }
            Self::Valve => {
                const {
                    &[
                        choice("follows", say!("making-whatever-makes-a-hot-fan")),
                        choice("blocking", say!("making-it-vents-the-clutch")),
                        choice("passing", say!("making-it-lets-air-to-the")),
                    ]
                }
            }
            Self::Force => {
                const {
                    &[
                        choice("none", say!("making-nothing")),
                        choice("switch", say!("making-a-switch-that-forces-the")),
                        choice("selector", say!("making-on-auto-and-off")),
                        choice("buttons", say!("making-a-button-that-keeps-it")),
                    ]
                }
            }
            Self::Refrigerant => {
                const {
                    &[
                        choice("contact", say!("making-by-its-own-contact-as")),
                        choice("relay", say!("making-by-a-relay-out-of")),
                        choice("timer", say!("making-by-a-timer-that-holds")),
                        choice("lamp", say!("making-through-a-diode-beside-a")),
                    ]
                }
            }
        }
    }

    /// The name of the answer that stands.
    pub fn answered(self, answers: &Answers) -> &'static str {
        fn name<T: PartialEq>(all: &[(&'static str, T)], wanted: &T) -> &'static str {
            all.iter().find(|(_, one)| one == wanted).map_or("", |(name, _)| name)
        }
        match self {
            Self::Volts if answers.is_24_volt => "24",
            Self::Volts => "12",
            Self::Units if answers.is_metric => "metric",
            Self::Units => "us",
            Self::Clutch => match answers.clutch {
                Engages::WithAir => "air",
                Engages::WithoutAir => "spring",
            },
            Self::By => name(&By::ALL, &answers.by),
            Self::Contacts => match answers.contacts {
                Contact::Open => "open",
                Contact::Closed => "closed",
            },
            Self::Valve => match answers.valve {
                None => "follows",
                Some(ValveRest::Blocking) => "blocking",
                Some(ValveRest::Passing) => "passing",
            },
            Self::Force => name(&Override::ALL, &answers.force),
            Self::Refrigerant => name(&Refrigerant::ALL, &answers.refrigerant),
        }
    }

    /// Gives an answer by its name.
    ///
    /// # Errors
    /// Where there is no such answer.
    pub fn answer(self, answers: &mut Answers, name: &str) -> Result<(), Refusal> {
        let unknown = || {
            let names: Vec<&str> = self.choices().iter().map(|choice| choice.name).collect();
            Refusal::new(
                say!("making-is-no-answer-to", name, question = self.words()),
                say!("making-answer-with-one-of", names = names.join(", ")),
            )
        };
        let place = self.choices().iter().position(|choice| choice.name == name).ok_or_else(unknown)?;
        match self {
            Self::Volts => answers.is_24_volt = place == 1,
            Self::Units => answers.take_units(place == 1),
            Self::Clutch => answers.clutch = [Engages::WithAir, Engages::WithoutAir][place],
            Self::By => answers.by = By::ALL[place].1,
            Self::Contacts => answers.contacts = [Contact::Open, Contact::Closed][place],
            Self::Valve => answers.valve = [None, Some(ValveRest::Blocking), Some(ValveRest::Passing)][place],
            Self::Force => answers.force = Override::ALL[place].1,
            Self::Refrigerant => answers.refrigerant = Refrigerant::ALL[place].1,
        }
        Ok(())
    }

    /// Whether it is worth asking after the other answers.
    pub fn is_open(self, answers: &Answers) -> bool {
        let before_coil = answers.contacts == Contact::Open && matches!(answers.by, By::SupplySide | By::Relay);
        match self {
            Self::Valve => answers.leave_valve_open(),
            Self::Refrigerant => before_coil && answers.asks(Quantity::Refrigerant),
            Self::Volts | Self::Units | Self::Clutch | Self::By | Self::Contacts | Self::Force => true,
        }
    }
}

/// Names of what can ask, as they are typed.
pub const REQUESTS: [(&str, Quantity); 4] = [
    ("coolant", Quantity::Coolant),
    ("intake", Quantity::IntakeAir),
    ("oil", Quantity::Oil),
    ("refrigerant", Quantity::Refrigerant),
];

impl Answers {
    /// Whether something is among what asks.
    pub fn asks(&self, senses: Quantity) -> bool {
        self.requests.iter().any(|request| request.senses == senses)
    }

    /// Puts something among what asks, at its usual points, or takes it out.
    pub fn ask(&mut self, senses: Quantity, asks: bool) {
        self.requests.retain(|request| request.senses != senses);
        if asks {
            self.requests.extend(usual_points(self.is_metric).into_iter().filter(|usual| usual.senses == senses));
        }
        let place = |request: &Request| REQUESTS.iter().position(|(_, senses)| *senses == request.senses);
        self.requests.sort_by_key(place);
    }

    /// Takes units; points that were the usual ones become those of the new units.
    fn take_units(&mut self, is_metric: bool) {
        let before = usual_points(self.is_metric);
        self.is_metric = is_metric;
        let after = usual_points(is_metric);
        for request in &mut self.requests {
            if let Some(place) = before.iter().position(|usual| usual == request) {
                *request = after[place];
            }
        }
    }

    /// Reads what asks: `coolant,refrigerant`.
    ///
    /// # Errors
    /// A name that is none of them.
    pub fn read_requests(&mut self, words: &str) -> Result<(), Refusal> {
        let mut wanted = Vec::new();
        for name in words.split(',').map(str::trim) {
            let known = REQUESTS.iter().find(|(one, _)| *one == name);
            let (_, senses) = known.ok_or_else(|| {
                Refusal::new(say!("making-is-nothing-that-asks", name), say!("making-name-with-commas"))
            })?;
            wanted.push(*senses);
        }
        for (_, senses) in REQUESTS {
            self.ask(senses, wanted.contains(&senses));
        }
        Ok(())
    }

    /// Reads the points of something that asks: `coolant=210F/195F`.
    ///
    /// # Errors
    /// Where it is not written so, or does not ask.
    pub fn read_points(&mut self, words: &str) -> Result<(), Refusal> {
        let unread = || Refusal::new(say!("making-gives-no-points", words), say!("making-write-what-asks"));
        let (name, points) = words.split_once('=').ok_or_else(unread)?;
        let (acts, resets) = points.split_once('/').ok_or_else(unread)?;
        let level = |words: &str| -> Result<Level, Refusal> { level_from_words(words).ok_or_else(unread) };
        let (acts, resets) = (level(acts)?, level(resets)?);
        let senses = REQUESTS.iter().find(|(one, _)| *one == name).map(|(_, senses)| *senses);
        let request = self.requests.iter_mut().find(|request| Some(request.senses) == senses).ok_or_else(|| {
            Refusal::new(say!("making-does-not-ask-here", name), say!("making-name-it-or-its-points"))
        })?;
        (request.acts, request.resets) = (acts, resets);
        Ok(())
    }
}
