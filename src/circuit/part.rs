//! The kinds of part a circuit is made of, with their ratings as built.
//!
//! A part's own data only: where it is wired is the circuit's business, what its contacts do just now is the
//! physics'. The field names are the words of the circuit file. Every default is an "example value" unless its
//! constant in [`defaults`] says where it comes from: no public source gives coil or contact data for this duty.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::quantity::Level;

/// What a field means when the file leaves it out. The file format fixes these.
pub mod defaults {
    /// A closed contact of a key, hand, temperature, pressure, relay or timer contact, in ohms.
    pub const CONTACT_OHMS: f64 = 0.005;
    /// Volts a fuse drops at its rated current; its resistance is this over the rating.
    pub const FUSE_VOLTS_AT_RATING: f64 = 0.075;
    /// A battery's own resistance in ohms.
    pub const INTERNAL_OHMS: f64 = 0.01;
    /// One pin of a connector, in ohms.
    pub const PIN_OHMS: f64 = 0.002;
    /// A ground stud to the chassis, in ohms.
    pub const GROUND_OHMS: f64 = 0.002;
    /// A module's driver when it conducts, in ohms.
    pub const DRIVER_OHMS: f64 = 0.15;
    /// What a module draws through for itself, in ohms.
    pub const MODULE_SUPPLY_OHMS: f64 = 200.0;
    /// Volts between supply and ground below which a module is off.
    pub const MODULE_WORKS_FROM: f64 = 6.0;
    /// Amps one module driver may carry (example value).
    pub const MODULE_LIMIT_AMPS: f64 = 2.0;
    /// What a timer's own electronics draw through, in ohms (example value).
    pub const TIMER_SUPPLY_OHMS: f64 = 2000.0;
    /// A conducting diode's drop in volts (silicon, nominal).
    pub const DIODE_VOLTS: f64 = 0.7;

    pub(super) fn contact_ohms() -> f64 {
        CONTACT_OHMS
    }
    pub(super) fn internal_ohms() -> f64 {
        INTERNAL_OHMS
    }
    pub(super) fn pin_ohms() -> f64 {
        PIN_OHMS
    }
    pub(super) fn ground_ohms() -> f64 {
        GROUND_OHMS
    }
    pub(super) fn driver_ohms() -> f64 {
        DRIVER_OHMS
    }
    pub(super) fn module_supply_ohms() -> f64 {
        MODULE_SUPPLY_OHMS
    }
    pub(super) fn module_works_from() -> f64 {
        MODULE_WORKS_FROM
    }
    pub(super) fn module_limit_amps() -> f64 {
        MODULE_LIMIT_AMPS
    }
    pub(super) fn timer_supply_ohms() -> f64 {
        TIMER_SUPPLY_OHMS
    }
    pub(super) fn diode_volts() -> f64 {
        DIODE_VOLTS
    }

    pub(super) fn is_contact_ohms(x: &f64) -> bool {
        *x == CONTACT_OHMS
    }
    pub(super) fn is_internal_ohms(x: &f64) -> bool {
        *x == INTERNAL_OHMS
    }
    pub(super) fn is_pin_ohms(x: &f64) -> bool {
        *x == PIN_OHMS
    }
    pub(super) fn is_ground_ohms(x: &f64) -> bool {
        *x == GROUND_OHMS
    }
    pub(super) fn is_driver_ohms(x: &f64) -> bool {
        *x == DRIVER_OHMS
    }
    pub(super) fn is_module_supply_ohms(x: &f64) -> bool {
        *x == MODULE_SUPPLY_OHMS
    }
    pub(super) fn is_module_works_from(x: &f64) -> bool {
        *x == MODULE_WORKS_FROM
    }
    pub(super) fn is_module_limit_amps(x: &f64) -> bool {
        *x == MODULE_LIMIT_AMPS
    }
    pub(super) fn is_timer_supply_ohms(x: &f64) -> bool {
        *x == TIMER_SUPPLY_OHMS
    }
    pub(super) fn is_diode_volts(x: &f64) -> bool {
        *x == DIODE_VOLTS
    }
    pub(super) fn is_false(x: &bool) -> bool {
        !*x
    }
}

/// A contact's position, or the position it is at rest in: on the shelf, cold, without pressure, not pushed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Contact {
    /// No path through it.
    Open,
    /// A path through its contact resistance.
    Closed,
}

impl Contact {
    /// The position after leaving this one.
    pub fn flipped(self) -> Self {
        match self {
            Self::Open => Self::Closed,
            Self::Closed => Self::Open,
        }
    }
}

/// What an air valve does for the clutch with its coil dead, as plumbed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ValveRest {
    /// Supply air reaches the clutch.
    Passing,
    /// Supply is blocked and the clutch is vented.
    Blocking,
}

/// What a sensor or a module feels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Quantity {
    /// Engine coolant temperature.
    Coolant,
    /// Intake or charge air temperature.
    IntakeAir,
    /// Transmission, retarder or engine oil temperature.
    Oil,
    /// Refrigerant pressure on the high side.
    Refrigerant,
    /// Pressure of the air supply.
    AirSupply,
}

impl Quantity {
    /// All of them, in the order they are listed for people.
    pub const ALL: [Self; 5] = [Self::Coolant, Self::IntakeAir, Self::Oil, Self::Refrigerant, Self::AirSupply];

    /// Whether it is a temperature (else it is a pressure).
    pub fn is_temperature(self) -> bool {
        match self {
            Self::Coolant | Self::IntakeAir | Self::Oil => true,
            Self::Refrigerant | Self::AirSupply => false,
        }
    }
}

/// What is fitted across a coil to take its kick when it is switched off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Suppressor {
    /// A diode whose cathode is at the named coil terminal.
    Diode {
        /// The coil terminal that must be the more positive one: `"86"`, or `"1"` on a valve.
        cathode: String,
    },
    /// A resistor of so many ohms.
    Resistor(f64),
}

/// Direction of a module's driver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// Joins `out` to `ground` when on.
    Low,
    /// Joins `supply` to `out` when on.
    High,
}

/// When a module's driver is on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Demand {
    /// On from `acts` upward, off again from `resets` downward, memory between.
    Above(Quantity, Level, Level),
    /// On from `acts` downward, off again from `resets` upward, memory between.
    Below(Quantity, Level, Level),
    /// The engine turns at no speed.
    EngineStopped,
    /// The module's `in` terminal is at its supply.
    Fed,
    /// At least one of them.
    Any(Vec<Demand>),
    /// Every one of them.
    All(Vec<Demand>),
    /// Not that.
    Not(Box<Demand>),
    /// Whenever the module works at all.
    Always,
    /// At no time.
    Never,
}

impl Demand {
    /// The set points in it, in the order written. Each has one bit of memory in the physics.
    pub fn set_points(&self) -> Vec<SetPoint> {
        let mut found = Vec::new();
        self.gather(&mut found);
        found
    }

    fn gather(&self, found: &mut Vec<SetPoint>) {
        match self {
            Self::Above(senses, acts, resets) => {
                found.push(SetPoint { senses: *senses, acts: *acts, resets: *resets, rising: true });
            }
            Self::Below(senses, acts, resets) => {
                found.push(SetPoint { senses: *senses, acts: *acts, resets: *resets, rising: false });
            }
            Self::Any(list) | Self::All(list) => list.iter().for_each(|d| d.gather(found)),
            Self::Not(inner) => inner.gather(found),
            Self::EngineStopped | Self::Fed | Self::Always | Self::Never => {}
        }
    }
}

/// A set point with its reset point: something that acts at one level and returns at another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetPoint {
    /// What is felt.
    pub senses: Quantity,
    /// Where it acts.
    pub acts: Level,
    /// Where it returns.
    pub resets: Level,
    /// Whether it acts on a rise (else on a fall).
    pub rising: bool,
}

/// Storage battery and its wiring up to the terminals.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Battery {
    /// Open-circuit volts.
    pub volts: f64,
    /// Own resistance in ohms.
    #[serde(default = "defaults::internal_ohms", skip_serializing_if = "defaults::is_internal_ohms")]
    pub internal_ohms: f64,
}

/// Blade fuse.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fuse {
    /// Rated amps.
    pub amps: f64,
    /// Cold resistance in ohms, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ohms: Option<f64>,
}

impl Fuse {
    /// Its resistance while whole, in ohms.
    pub fn resistance(&self) -> f64 {
        self.ohms.unwrap_or(defaults::FUSE_VOLTS_AT_RATING / self.amps)
    }
}

/// Key switch: joins 30 to 15 when the key is on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeySwitch {
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
}

/// Switch worked by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandSwitch {
    /// Position nobody's hand has changed.
    pub rest: Contact,
    /// Springs back when let go.
    #[serde(default, skip_serializing_if = "defaults::is_false")]
    pub momentary: bool,
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
}

/// Switch that joins `c` to one of several terminals.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SelectorSwitch {
    /// Names of its positions, in the order of terminals 1 to n.
    pub positions: Vec<String>,
    /// Name of the position it is left in.
    pub rest: String,
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
}

impl SelectorSwitch {
    /// Which position has this name (letter case aside), counted from 0.
    pub fn position(&self, name: &str) -> Option<usize> {
        self.positions.iter().position(|p| p.eq_ignore_ascii_case(name))
    }

    /// The rest position, counted from 0. A checked circuit always names one of its own.
    pub fn rest_position(&self) -> usize {
        self.position(&self.rest).unwrap_or(0)
    }
}

/// Temperature or pressure switch: a contact that leaves rest at one level and returns at a lower one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SensorSwitch {
    /// Position when cold or without pressure.
    pub rest: Contact,
    /// What it feels.
    pub senses: Quantity,
    /// Level at which the contact leaves rest, rising.
    pub acts_at: Level,
    /// Level at which it returns, falling.
    pub resets_at: Level,
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
}

impl SensorSwitch {
    /// Its set point in the common form.
    pub fn set_point(&self) -> SetPoint {
        SetPoint { senses: self.senses, acts: self.acts_at, resets: self.resets_at, rising: true }
    }
}

/// Relay with one change-over contact (terminal numbers as printed on ISO 7588 relays: 30 common, 87 make, 87a break).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Relay {
    /// Coil at 20 °C, in ohms.
    pub coil_ohms: f64,
    /// Volts across the 20 °C coil at which it pulls in.
    pub pulls_in: f64,
    /// Volts across the 20 °C coil at which it drops out.
    pub drops_out: f64,
    /// What is fitted across the coil.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub suppressor: Option<Suppressor>,
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
}

/// Three-way air valve worked by a coil.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirValve {
    /// Coil at 20 °C, in ohms.
    pub coil_ohms: f64,
    /// Volts across the 20 °C coil at which it pulls in.
    pub pulls_in: f64,
    /// Volts across the 20 °C coil at which it drops out.
    pub drops_out: f64,
    /// What it does for the clutch with the coil dead.
    pub rest: ValveRest,
    /// What is fitted across the coil.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub suppressor: Option<Suppressor>,
}

/// Diode: passes from A to K.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Diode {
    /// Volts dropped when conducting.
    #[serde(default = "defaults::diode_volts", skip_serializing_if = "defaults::is_diode_volts")]
    pub drop_volts: f64,
}

/// Something that only resists: a resistor, or a lamp taken at its working resistance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// Ohms.
    pub ohms: f64,
}

/// One driver of an engine module.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Module {
    /// Which way the driver joins `out`.
    pub side: Side,
    /// When the driver is on.
    pub on_when: Demand,
    /// Amps the driver may carry.
    #[serde(default = "defaults::module_limit_amps", skip_serializing_if = "defaults::is_module_limit_amps")]
    pub limit_amps: f64,
    /// The driver when on, in ohms.
    #[serde(default = "defaults::driver_ohms", skip_serializing_if = "defaults::is_driver_ohms")]
    pub on_ohms: f64,
    /// Supply volts below which it is off.
    #[serde(default = "defaults::module_works_from", skip_serializing_if = "defaults::is_module_works_from")]
    pub works_from: f64,
    /// What it draws through for itself, in ohms.
    #[serde(default = "defaults::module_supply_ohms", skip_serializing_if = "defaults::is_module_supply_ohms")]
    pub supply_ohms: f64,
}

/// Off-delay timer: joins 15 to 87 while `in` is fed and for a while after.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timer {
    /// Seconds the contact stays in after `in` is no longer fed.
    pub hold_seconds: f64,
    /// Closed contact in ohms.
    #[serde(default = "defaults::contact_ohms", skip_serializing_if = "defaults::is_contact_ohms")]
    pub contact_ohms: f64,
    /// What it draws through for itself, in ohms.
    #[serde(default = "defaults::timer_supply_ohms", skip_serializing_if = "defaults::is_timer_supply_ohms")]
    pub supply_ohms: f64,
}

/// Multi-pin connector: pin n joins terminal na to nb.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Connector {
    /// How many pins.
    pub pins: u32,
    /// One mated pin in ohms.
    #[serde(default = "defaults::pin_ohms", skip_serializing_if = "defaults::is_pin_ohms")]
    pub pin_ohms: f64,
}

/// Point where wires are joined for good.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Splice {}

/// Stud on the chassis.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ground {
    /// Stud to chassis in ohms.
    #[serde(default = "defaults::ground_ohms", skip_serializing_if = "defaults::is_ground_ohms")]
    pub ohms: f64,
}

/// A part's kind with its data.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "each variant is documented at the struct it carries")]
pub enum Kind {
    Battery(Battery),
    Fuse(Fuse),
    KeySwitch(KeySwitch),
    HandSwitch(HandSwitch),
    SelectorSwitch(SelectorSwitch),
    TemperatureSwitch(SensorSwitch),
    PressureSwitch(SensorSwitch),
    Relay(Relay),
    AirValve(AirValve),
    Diode(Diode),
    Resistor(Load),
    Lamp(Load),
    Module(Module),
    Timer(Timer),
    Connector(Connector),
    Splice(Splice),
    Ground(Ground),
}

impl Kind {
    /// Names of the part's terminals, in the order the circuit numbers them.
    pub fn terminals(&self) -> Vec<Cow<'static, str>> {
        let fixed = |names: &[&'static str]| names.iter().map(|n| Cow::Borrowed(*n)).collect();
        match self {
            Self::Battery(_) => fixed(&["+", "-"]),
            Self::Fuse(_)
            | Self::HandSwitch(_)
            | Self::TemperatureSwitch(_)
            | Self::PressureSwitch(_)
            | Self::AirValve(_)
            | Self::Resistor(_)
            | Self::Lamp(_) => fixed(&["1", "2"]),
            Self::KeySwitch(_) => fixed(&["30", "15"]),
            Self::SelectorSwitch(s) => std::iter::once(Cow::Borrowed("c"))
                .chain((1..=s.positions.len()).map(|n| Cow::Owned(n.to_string())))
                .collect(),
            Self::Relay(_) => fixed(&["85", "86", "30", "87", "87a"]),
            Self::Diode(_) => fixed(&["A", "K"]),
            Self::Module(_) => fixed(&["supply", "ground", "out", "in"]),
            Self::Timer(_) => fixed(&["15", "31", "in", "87"]),
            Self::Connector(c) => {
                (1..=c.pins).flat_map(|n| [Cow::Owned(format!("{n}a")), Cow::Owned(format!("{n}b"))]).collect()
            }
            Self::Splice(_) => fixed(&["s"]),
            Self::Ground(_) => fixed(&["g"]),
        }
    }

    /// The kind's word in the circuit file.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Battery(_) => "Battery",
            Self::Fuse(_) => "Fuse",
            Self::KeySwitch(_) => "KeySwitch",
            Self::HandSwitch(_) => "HandSwitch",
            Self::SelectorSwitch(_) => "SelectorSwitch",
            Self::TemperatureSwitch(_) => "TemperatureSwitch",
            Self::PressureSwitch(_) => "PressureSwitch",
            Self::Relay(_) => "Relay",
            Self::AirValve(_) => "AirValve",
            Self::Diode(_) => "Diode",
            Self::Resistor(_) => "Resistor",
            Self::Lamp(_) => "Lamp",
            Self::Module(_) => "Module",
            Self::Timer(_) => "Timer",
            Self::Connector(_) => "Connector",
            Self::Splice(_) => "Splice",
            Self::Ground(_) => "Ground",
        }
    }

    /// The sensor data where the part is a temperature or pressure switch.
    pub fn sensor(&self) -> Option<&SensorSwitch> {
        match self {
            Self::TemperatureSwitch(s) | Self::PressureSwitch(s) => Some(s),
            Self::Battery(_)
            | Self::Fuse(_)
            | Self::KeySwitch(_)
            | Self::HandSwitch(_)
            | Self::SelectorSwitch(_)
            | Self::Relay(_)
            | Self::AirValve(_)
            | Self::Diode(_)
            | Self::Resistor(_)
            | Self::Lamp(_)
            | Self::Module(_)
            | Self::Timer(_)
            | Self::Connector(_)
            | Self::Splice(_)
            | Self::Ground(_) => None,
        }
    }
}

impl Kind {
    /// Everything in the part that acts at one level and returns at another, in the order of the physics' memory: a
    /// sensor's one, or those of a module in the order written.
    pub fn set_points(&self) -> Vec<SetPoint> {
        match self {
            Self::Module(module) => module.on_when.set_points(),
            other => other.sensor().map(SensorSwitch::set_point).into_iter().collect(),
        }
    }

    /// The coil in the part, if there is one.
    pub fn coil(&self) -> Option<Coil<'_>> {
        match self {
            Self::Relay(Relay { coil_ohms, pulls_in, drops_out, suppressor, .. }) => Some(Coil {
                ohms: *coil_ohms,
                pulls_in: *pulls_in,
                drops_out: *drops_out,
                suppressor: suppressor.as_ref(),
                enters: 1,
                leaves: 0,
            }),
            Self::AirValve(AirValve { coil_ohms, pulls_in, drops_out, suppressor, .. }) => Some(Coil {
                ohms: *coil_ohms,
                pulls_in: *pulls_in,
                drops_out: *drops_out,
                suppressor: suppressor.as_ref(),
                enters: 0,
                leaves: 1,
            }),
            _ => None,
        }
    }
}

/// A coil's data, whatever part it is in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil<'a> {
    /// At 20 °C, in ohms.
    pub ohms: f64,
    /// Volts across the 20 °C coil at which it pulls in.
    pub pulls_in: f64,
    /// Volts across the 20 °C coil at which it drops out.
    pub drops_out: f64,
    /// What is fitted across it.
    pub suppressor: Option<&'a Suppressor>,
    /// Place, in the order of [`Kind::terminals`], of the terminal where current should enter.
    pub enters: usize,
    /// Place of the other.
    pub leaves: usize,
}

/// One part of a circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its designation, after IEC 81346: `B1`, `K1`, `Y1`.
    pub tag: String,
    /// What it is.
    pub kind: Kind,
}
