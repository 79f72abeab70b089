//! The meter, the test lamp and the clamp: where they are on the truck, and what handling them comes to.
//!
//! Yields [`Instruments`], plain data of the window and no part of the bench: nothing of it is in the ledger and undo
//! does not reach it. The same [`Instruments::after`] serves the preview and the act. One instrument at a time
//! touches the circuit, since each reading is taken by itself; a clamp touches nothing. What they show is the study's.

use serde::{Deserialize, Serialize};

use super::tongue::t;
use crate::bench::{Bench, Instrument, Point, Reading};
use crate::study::answer::Subject;

/// An instrument of the tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Device {
    /// The meter.
    Meter,
    /// The test lamp.
    Lamp,
    /// The clamp.
    Clamp,
}

/// What the meter measures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Dial {
    /// Volts with 10 Mohm.
    #[default]
    Volts,
    /// Volts with 3 kohm.
    LowVolts,
    /// Ohms.
    Ohms,
    /// Amps, in line with a wire.
    Amps,
}

/// One of two leads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Pole {
    /// The positive one; a lamp's first clip.
    #[default]
    Plus,
    /// The negative one; a lamp's second clip.
    Minus,
}

/// What can be done with an instrument.
#[derive(Clone, Debug, PartialEq)]
pub enum Handling {
    /// Set the meter to measure this.
    Dial(Dial),
    /// Take this lead in hand.
    TakeUp(Pole),
    /// Touch a point: the lead in hand goes there; a lead that is there already comes off and is in hand.
    Touch(Point),
    /// Go to a wire of this tag: around it, or into it; off it where it is there already.
    Wire(String),
    /// Take it off the circuit.
    Off,
}

/// What touches the circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
enum On {
    #[default]
    Nothing,
    /// The leads of the meter or the lamp.
    Leads(Device, [Option<Point>; 2]),
    /// The meter in a wire.
    InLine(String),
}

/// All instruments.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Instruments {
    /// What the meter measures.
    pub dial: Dial,
    /// The lead in hand, of the meter and of the lamp.
    poles: [Pole; 2],
    on: On,
    clamp: Option<String>,
}

impl Device {
    /// All of them, in the order of the tray.
    pub const ALL: [Self; 3] = [Self::Meter, Self::Lamp, Self::Clamp];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Meter => t!("instrument-meter"),
            Self::Lamp => t!("instrument-test-lamp"),
            Self::Clamp => t!("instrument-clamp"),
        }
    }
}

impl Dial {
    /// All of them, in order.
    pub const ALL: [Self; 4] = [Self::Volts, Self::LowVolts, Self::Ohms, Self::Amps];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Volts => t!("instrument-volts"),
            Self::LowVolts => t!("instrument-low-impedance-volts"),
            Self::Ohms => t!("instrument-ohms"),
            Self::Amps => t!("instrument-amps-in-line"),
        }
    }

    /// Its name where there is little room.
    pub fn short(self) -> &'static str {
        match self {
            Self::Volts => t!("instrument-volts"),
            Self::LowVolts => t!("instrument-low-z-volts"),
            Self::Ohms => t!("instrument-ohms"),
            Self::Amps => t!("instrument-amps"),
        }
    }

    /// What is to be known of it before it is used.
    pub fn about(self) -> &'static str {
        match self {
            Self::Volts => t!("instrument-volts-10-megohms-loads-nothing"),
            Self::LowVolts => t!("instrument-low-impedance-volts-3-kilohms"),
            Self::Ohms => t!("instrument-ohms-for-dead-circuits"),
            Self::Amps => t!("instrument-amps-in-line-one-end"),
        }
    }

    /// What it measures in a letter.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Volts | Self::LowVolts => "V",
            Self::Ohms => "Ω",
            Self::Amps => "A",
        }
    }
}

impl Pole {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Plus, Self::Minus];

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::Plus => Self::Minus,
            Self::Minus => Self::Plus,
        }
    }

    /// What stands on it.
    pub fn sign(self, device: Device) -> &'static str {
        match (device, self) {
            (Device::Lamp, Self::Plus) => t!("instrument-clip-1"),
            (Device::Lamp, Self::Minus) => t!("instrument-clip-2"),
            (Device::Meter | Device::Clamp, Self::Plus) => "+",
            (Device::Meter | Device::Clamp, Self::Minus) => "\u{2212}",
        }
    }

    /// What it is called: leads of a meter have poles, clips of a lamp none.
    pub fn name(self, device: Device) -> &'static str {
        match (device, self) {
            (Device::Lamp, Self::Plus) => t!("instrument-clip-1"),
            (Device::Lamp, Self::Minus) => t!("instrument-clip-2"),
            (Device::Meter | Device::Clamp, Self::Plus) => t!("instrument-lead"),
            (Device::Meter | Device::Clamp, Self::Minus) => t!("instrument-lead-2"),
        }
    }
}

impl Instruments {
    /// Which lead is in hand where this one is.
    pub fn pole(&self, device: Device) -> Pole {
        self.poles.get(device as usize).copied().unwrap_or_default()
    }

    fn take_in_hand(&mut self, device: Device, pole: Pole) {
        if let Some(own) = self.poles.get_mut(device as usize) {
            *own = pole;
        }
    }

    /// Where a lead of the meter or the lamp is.
    pub fn lead(&self, device: Device, pole: Pole) -> Option<&Point> {
        match &self.on {
            On::Leads(of, leads) if *of == device => leads[pole as usize].as_ref(),
            On::Leads(..) | On::InLine(_) | On::Nothing => None,
        }
    }

    /// The wire that the meter is in or the clamp is around.
    pub fn wire(&self, device: Device) -> Option<&str> {
        match (device, &self.on) {
            (Device::Clamp, _) => self.clamp.as_deref(),
            (Device::Meter, On::InLine(wire)) => Some(wire),
            (Device::Meter | Device::Lamp, _) => None,
        }
    }

    /// Whether any of it is on the circuit.
    pub fn is_on(&self, device: Device) -> bool {
        self.wire(device).is_some() || Pole::BOTH.iter().any(|pole| self.lead(device, *pole).is_some())
    }

    /// What of the instruments is on a thing: `+ lead of the meter`.
    pub fn on(&self, bench: &Bench, subject: Subject) -> Vec<String> {
        if self.on == On::Nothing && self.clamp.is_none() {
            return Vec::new();
        }
        let (now, circuit) = (self.as_on(bench), bench.circuit());
        let is_here = |point: &Point| match (subject, point) {
            (Subject::Terminal(id), Point::Terminal(words)) => circuit.terminal_named(words) == Some(id),
            (Subject::WireEnd(end), Point::LooseEnd(name)) => bench.wire_end(name) == Ok(end),
            _ => false,
        };
        let mut found = Vec::new();
        for device in Device::ALL {
            let name = device.name().to_lowercase();
            let poles = Pole::BOTH.into_iter().filter(|pole| now.lead(device, *pole).is_some_and(is_here));
            found.extend(poles.map(|pole| t!("instrument-of-the", device = pole.name(device), name)));
            let wire = now.wire(device).and_then(|wire| circuit.wire_named(wire));
            found.extend(wire.filter(|wire| subject == Subject::Wire(*wire)).map(|_| name));
        }
        found
    }

    /// Whether it goes on wires and not on points.
    pub fn goes_on_wires(&self, device: Device) -> bool {
        match device {
            Device::Clamp => true,
            Device::Meter => self.dial == Dial::Amps,
            Device::Lamp => false,
        }
    }

    /// What it reads, once it is on wholly.
    pub fn reading(&self, device: Device) -> Option<Reading> {
        let instrument = match (device, self.dial) {
            (Device::Clamp, _) => return self.clamp.clone().map(Reading::Clamp),
            (Device::Meter, Dial::Amps) => return self.wire(device).map(|wire| Reading::Amps(wire.to_owned())),
            (Device::Meter, Dial::Volts) => Instrument::Voltmeter,
            (Device::Meter, Dial::LowVolts) => Instrument::LowImpedance,
            (Device::Meter, Dial::Ohms) => Instrument::Ohmmeter,
            (Device::Lamp, _) => Instrument::TestLamp,
        };
        let [first, second] = Pole::BOTH.map(|pole| self.lead(device, pole).cloned());
        Some(Reading::Across { instrument, first: first?, second: second? })
    }

    /// The same with every lead where it really is: one clipped on a wire's end goes with that end when it is put
    /// back on its terminal, and comes off with it again.
    #[must_use]
    pub fn as_on(&self, bench: &Bench) -> Self {
        let mut now = self.clone();
        if let On::Leads(_, leads) = &mut now.on {
            for point in leads.iter_mut().flatten() {
                if let Point::LooseEnd(name) = point
                    && bench.wire_end(name).is_ok_and(|end| !bench.inputs().lifted.contains(&end))
                {
                    *point = Point::Terminal(name.terminal.clone());
                }
            }
        }
        now
    }

    /// What one of the instruments is on and a circuit does not have: a terminal or a wire, as the file writes it.
    pub fn missing_on(&self, bench: &Bench) -> Option<String> {
        let circuit = bench.circuit();
        let has = |point: &Point| match point {
            Point::Terminal(words) => circuit.terminal_named(words).is_some(),
            Point::LooseEnd(name) => bench.wire_end(name).is_ok(),
        };
        let leads = match &self.on {
            On::Leads(_, leads) => leads.iter().flatten().find(|point| !has(point)).map(ToString::to_string),
            On::InLine(_) | On::Nothing => None,
        };
        let wires = [Device::Meter, Device::Clamp].into_iter().filter_map(|device| self.wire(device));
        let wire = || wires.filter(|wire| circuit.wire_named(wire).is_none()).map(str::to_owned).next();
        leads.or_else(wire)
    }

    /// Whose leads come off when this one touches the circuit.
    pub fn gives_way(&self, device: Device) -> Option<Device> {
        let other = match device {
            Device::Meter => Device::Lamp,
            Device::Lamp => Device::Meter,
            Device::Clamp => return None,
        };
        self.is_on(other).then_some(other)
    }

    /// A single lead hanging on the circuit comes off when its instrument is put away.
    #[must_use]
    pub fn without_half(&self) -> Self {
        match &self.on {
            On::Leads(_, [Some(_), Some(_)]) | On::InLine(_) => self.clone(),
            On::Leads(..) | On::Nothing => Self { on: On::Nothing, poles: [Pole::Plus; 2], ..self.clone() },
        }
    }

    /// What handling one of them is, as something still to be done.
    pub fn told(&self, device: Device, handling: &Handling) -> String {
        let mut words = match handling {
            Handling::Touch(point) => {
                match Pole::BOTH.into_iter().find(|pole| self.lead(device, *pole) == Some(point)) {
                    Some(there) => t!("instrument-take-the-off", device = there.name(device), point),
                    None => t!("instrument-on", device = self.pole(device).name(device), point),
                }
            }
            Handling::Wire(wire) if self.wire(device) == Some(wire) => t!("instrument-take-it-off", wire),
            Handling::Wire(wire) if device == Device::Clamp => t!("instrument-clamp-around", wire),
            Handling::Wire(wire) => t!("instrument-meter-in-line-with", wire),
            Handling::Dial(dial) => dial.name().to_lowercase(),
            Handling::TakeUp(pole) => t!("instrument-in-hand", device = pole.name(device)),
            Handling::Off => t!("instrument-take-it-off-2").to_owned(),
        };
        if let (Some(other), Handling::Touch(_) | Handling::Wire(_)) = (self.gives_way(device), handling) {
            words.push_str(&t!("instrument-the-comes-off", to_lowercase = other.name().to_lowercase()));
        }
        words
    }

    /// How things are after handling one of them.
    #[must_use]
    pub fn after(&self, device: Device, handling: &Handling) -> Self {
        let mut next = self.clone();
        match handling {
            Handling::Dial(dial) => {
                if (self.dial == Dial::Amps) != (*dial == Dial::Amps) && self.is_on(Device::Meter) {
                    next.take_off();
                }
                next.dial = *dial;
            }
            Handling::TakeUp(pole) => next.take_in_hand(device, *pole),
            Handling::Touch(point) => next.touch(device, point),
            Handling::Wire(wire) => {
                let wire = (self.wire(device) != Some(wire)).then(|| wire.clone());
                match device {
                    Device::Clamp => next.clamp = wire,
                    Device::Meter | Device::Lamp => next.on = wire.map_or(On::Nothing, On::InLine),
                }
            }
            Handling::Off => match device {
                Device::Clamp => next.clamp = None,
                Device::Meter | Device::Lamp => next.take_off(),
            },
        }
        next
    }

    fn take_off(&mut self) {
        self.on = On::Nothing;
        self.poles = [Pole::Plus; 2];
    }

    fn touch(&mut self, device: Device, point: &Point) {
        if let Some(other) = self.gives_way(device) {
            self.take_in_hand(other, Pole::Plus);
        }
        let mut leads = Pole::BOTH.map(|pole| self.lead(device, pole).cloned());
        if let Some(there) = Pole::BOTH.into_iter().find(|pole| leads[*pole as usize].as_ref() == Some(point)) {
            leads[there as usize] = None;
            self.take_in_hand(device, there);
        } else {
            let pole = self.pole(device);
            leads[pole as usize] = Some(point.clone());
            if leads[pole.other() as usize].is_none() {
                self.take_in_hand(device, pole.other());
            }
        }
        self.on = if leads.iter().all(Option::is_none) { On::Nothing } else { On::Leads(device, leads) };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(words: &str) -> Point {
        Point::Terminal(words.to_owned())
    }

    fn touched(points: &[&str]) -> Instruments {
        let touch = |now: Instruments, point: &&str| now.after(Device::Meter, &Handling::Touch(at(point)));
        points.iter().fold(Instruments::default(), touch)
    }

    fn read(now: &Instruments) -> Option<String> {
        now.reading(Device::Meter).map(|reading| reading.to_string())
    }

    #[test]
    fn the_first_lead_is_the_positive_one_and_the_last_one_moves_on() {
        assert_eq!(read(&touched(&["Y1.1"])), None);
        assert_eq!(read(&touched(&["Y1.1", "Y1.2"])).as_deref(), Some("volts:Y1.1,Y1.2"));
        assert_eq!(read(&touched(&["Y1.1", "Y1.2", "N1.g"])).as_deref(), Some("volts:Y1.1,N1.g"));
    }

    #[test]
    fn a_lead_touched_again_comes_off_and_is_in_hand() {
        let now = touched(&["Y1.1", "Y1.2", "Y1.1"]);
        assert_eq!((now.pole(Device::Meter), read(&now)), (Pole::Plus, None));
        assert!(!touched(&["Y1.1", "Y1.1"]).is_on(Device::Meter));
    }

    #[test]
    fn the_negative_lead_may_go_first_and_the_positive_one_then_probes() {
        let now = Instruments::default().after(Device::Meter, &Handling::TakeUp(Pole::Minus));
        let now = ["N1.g", "Y1.1", "B1.1"]
            .iter()
            .fold(now, |now, point| now.after(Device::Meter, &Handling::Touch(at(point))));
        assert_eq!(read(&now).as_deref(), Some("volts:B1.1,N1.g"));
    }

    #[test]
    fn one_instrument_at_a_time_touches_the_circuit_and_the_clamp_none() {
        let now = touched(&["Y1.1", "Y1.2"]).after(Device::Clamp, &Handling::Wire("W1".to_owned()));
        assert_eq!((now.gives_way(Device::Lamp), now.pole(Device::Lamp)), (Some(Device::Meter), Pole::Plus));
        let now = now.after(Device::Lamp, &Handling::Touch(at("B1.1")));
        assert!(!now.is_on(Device::Meter) && now.is_on(Device::Lamp) && now.is_on(Device::Clamp));
    }

    #[test]
    fn from_volts_to_ohms_the_leads_stay_and_to_amps_they_come_off() {
        let now = touched(&["Y1.1", "Y1.2"]).after(Device::Meter, &Handling::Dial(Dial::Ohms));
        assert_eq!(read(&now).as_deref(), Some("ohms:Y1.1,Y1.2"));
        let now = now.after(Device::Meter, &Handling::Dial(Dial::Amps));
        assert!(!now.is_on(Device::Meter));
        let now = now.after(Device::Meter, &Handling::Wire("W4".to_owned()));
        assert_eq!(read(&now).as_deref(), Some("amps:W4"));
    }
}
