//! The styles of control circuit: which parts each has, and how they are wired.
//!
//! Contacts open at rest stand side by side between where the current comes from and where it is to go; contacts closed
//! at rest stand one behind the other. Where that stretch lies makes the style: before the coil, behind it, before a
//! relay's coil, at a module's input or in a module's line (common practice, no source). That a style does what it is
//! for is [`proof`](super::proof)'s to show, not this file's to claim.

use crate::bench::Refusal;
use crate::circuit::part::{
    AirValve, Battery, Demand, Diode, Fuse, HandSwitch, KeySwitch, Load, Module, Quantity, Relay, SelectorSwitch,
    SensorSwitch, Side, Suppressor, Timer, defaults,
};
use crate::circuit::quantity::Level;
use crate::circuit::{Air, Clutch, Contact, DEFAULT_MINIMUM_PSI, Draft, Kind};
use crate::study::wording::quantity_name;
use crate::words::{Words, say};

use super::sketch::{Joint, Run, Sketch};
use super::{Answers, By, Override, Refrigerant, Request};

/// What can ask for the fan, with usual set points (common practice, no source): coolant, intake air, oil, refrigerant.
pub fn usual_points(is_metric: bool) -> [Request; 4] {
    let request = |senses, us: (f64, f64), metric: (f64, f64)| {
        let level = |us: f64, metric: f64| match (Quantity::is_temperature(senses), is_metric) {
            (true, false) => Level::Fahrenheit(us),
            (true, true) => Level::Celsius(metric),
            (false, false) => Level::Psi(us),
            (false, true) => Level::Bar(metric),
        };
        Request { senses, acts: level(us.0, metric.0), resets: level(us.1, metric.1) }
    };
    [
        request(Quantity::Coolant, (205.0, 195.0), (96.0, 91.0)),
        request(Quantity::IntakeAir, (165.0, 150.0), (74.0, 66.0)),
        request(Quantity::Oil, (250.0, 235.0), (121.0, 113.0)),
        request(Quantity::Refrigerant, (300.0, 240.0), (20.7, 16.5)),
    ]
}

/// The circuit that the answers describe.
///
/// # Errors
/// Where they do not go together.
pub(super) fn draft(answers: &Answers) -> Result<Draft, Refusal> {
    go_together(answers)?;
    let mut plan = Plan { answers, sketch: Sketch::new(answers.is_metric) };
    plan.draw();
    let mut draft = plan.sketch.finish(&answers.title, PREAMBLE, &notes(answers));
    let minimum = if answers.is_metric { Level::Bar(6.2) } else { Level::Psi(DEFAULT_MINIMUM_PSI) };
    draft.air = Some(Air { minimum, ..Air::default() });
    draft.clutch = Some(Clutch { engages: answers.clutch, ..Clutch::default() });
    draft.given = ["minimum", "engages"].into_iter().collect();
    Ok(draft)
}

const PREAMBLE: &str = "// Made from answers. Set points, coils, fuses, sizes and lengths are example values: put in those of the truck.\n\
                        // The vehicle maker's diagram comes first.";

fn notes(answers: &Answers) -> String {
    let rest = match answers.contacts {
        Contact::Open => "Contacts open at rest",
        Contact::Closed => "Contacts closed at rest",
    };
    let live = if answers.live_drives() { "a live coil drives the fan" } else { "a dead coil drives the fan" };
    format!("{rest}; {live}.")
}

fn refuse(message: impl Into<Words>, mend: impl Into<Words>) -> Result<(), Refusal> {
    Err(Refusal::new(message, mend))
}

/// Whether the answers go together.
fn go_together(answers: &Answers) -> Result<(), Refusal> {
    let is_open = answers.contacts == Contact::Open;
    let has_refrigerant = answers.requests.iter().any(|request| request.senses == Quantity::Refrigerant);
    if answers.requests.is_empty() {
        return refuse(say!("making-nothing-asks"), say!("making-name-at-least-one"));
    }
    for (place, request) in answers.requests.iter().enumerate() {
        let name = quantity_name(request.senses);
        if answers.requests[..place].iter().any(|other| other.senses == request.senses) {
            return refuse(say!("making-asks-twice", name), say!("making-name-each-once"));
        }
        if request.senses == Quantity::AirSupply {
            return refuse(say!("making-low-air-does-not-ask"), say!("making-name-what-asks"));
        }
        let is_its = |level: Level| level.is_temperature() == request.senses.is_temperature();
        if !is_its(request.acts) || !is_its(request.resets) {
            return refuse(
                say!("making-are-no-points-of", acts = request.acts, resets = request.resets, name),
                say!("making-write-temperatures-in"),
            );
        }
        if request.acts.value() <= request.resets.value() {
            return refuse(
                say!("making-would-return-at", name, resets = request.resets, acts = request.acts),
                say!("making-put-the-point-below"),
            );
        }
    }
    if matches!(answers.by, By::SupplySide | By::GroundSide) && answers.live_drives() != is_open {
        let wrong = if is_open { say!("making-would-close") } else { say!("making-would-open") };
        return refuse(wrong, say!("making-choose-the-other-valve"));
    }
    if answers.by.is_module() && !is_open && answers.live_drives() {
        return refuse(say!("making-closed-contacts-stand"), say!("making-choose-open-contacts"));
    }
    if answers.refrigerant != Refrigerant::Contact {
        if !has_refrigerant {
            return refuse(say!("making-refrigerant-does-not-ask"), say!("making-name-it-or-leave-out"));
        }
        if !is_open || !matches!(answers.by, By::SupplySide | By::Relay) {
            return refuse(say!("making-a-relay-timer-or-lamp"), say!("making-choose-its-own-contact"));
        }
    }
    if !(1.0..=3600.0).contains(&answers.hold_seconds) {
        return refuse(
            say!("making-a-timer-cannot-hold", seconds = answers.hold_seconds),
            say!("making-choose-seconds"),
        );
    }
    if matches!(answers.force, Override::Selector | Override::Buttons)
        && !(is_open && matches!(answers.by, By::SupplySide | By::Relay))
    {
        return refuse(say!("making-a-selector-or-buttons"), say!("making-choose-a-switch"));
    }
    Ok(())
}

/// A circuit being drawn up.
struct Plan<'a> {
    answers: &'a Answers,
    sketch: Sketch,
}

impl Plan<'_> {
    /// A figure of the 12 volt system, or of the 24 volt one.
    fn of_system(&self, twelve: f64, twenty_four: f64) -> f64 {
        if self.answers.is_24_volt { twenty_four } else { twelve }
    }

    fn draw(&mut self) {
        let battery = Battery { volts: self.of_system(12.6, 25.2), internal_ohms: defaults::INTERNAL_OHMS };
        let battery = self.sketch.part('G', Kind::Battery(battery));
        let plus = self.sketch.joint(Run::Supply);
        self.sketch.tie(plus, &battery, "+");
        let ground = self.sketch.ground();
        self.sketch.tie(ground, &battery, "-");
        match self.answers.by {
            By::SupplySide => {
                let fed = self.feeds(plus, 1);
                let coil = self.sketch.joint(Run::Coil);
                self.requests(&fed, coil, ground);
                self.valve(coil, ground);
            }
            By::GroundSide => {
                let fed = self.feeds(plus, 1);
                let behind = self.sketch.joint(Run::Signal);
                self.valve(fed[0], behind);
                self.requests_to_ground(behind, ground);
            }
            By::Relay => {
                let fed = self.feeds(plus, 2);
                let works = self.sketch.joint(Run::Coil);
                self.requests(&[fed[0], fed[2]], works, ground);
                let relay = self.relay(works, ground);
                self.sketch.tie(fed[1], &relay, "30");
                // Hot, contacts open at rest pull the relay in, and contacts closed at rest let it go.
                let pulls_in = self.answers.contacts == Contact::Open;
                let contact = if pulls_in == self.answers.live_drives() { "87" } else { "87a" };
                let coil = self.sketch.joint(Run::Coil);
                self.sketch.tie(coil, &relay, contact);
                self.valve(coil, ground);
            }
            By::ModuleLow | By::ModuleHigh => self.module(plus, ground),
        }
    }

    /// What is fed behind key and fuses: so many fuses as the style has, then once more for what the refrigerant's relay
    /// has for itself (the last again where it has none).
    fn feeds(&mut self, plus: Joint, fuses: usize) -> Vec<Joint> {
        let own = usize::from(self.answers.refrigerant == Refrigerant::Relay);
        let fuse = |amps| Kind::Fuse(Fuse { amps, ohms: None });
        let amps = self.of_system(10.0, 5.0);
        let key = Kind::KeySwitch(KeySwitch { contact_ohms: defaults::CONTACT_OHMS });
        let mut fed = Vec::new();
        if fuses + own == 1 {
            let fuse = self.sketch.part('F', fuse(amps));
            let fused = self.sketch.joint(Run::Supply);
            self.sketch.between((&fuse, "1", "2"), plus, fused);
            let key = self.sketch.part('S', key);
            let behind = self.sketch.joint(Run::Fed);
            self.sketch.between((&key, "30", "15"), fused, behind);
            fed.push(behind);
        } else {
            let key = self.sketch.part('S', key);
            let behind = self.sketch.joint(Run::Supply);
            self.sketch.between((&key, "30", "15"), plus, behind);
            for _ in 0..fuses + own {
                let fuse = self.sketch.part('F', fuse(amps));
                let fused = self.sketch.joint(Run::Fed);
                self.sketch.between((&fuse, "1", "2"), behind, fused);
                fed.push(fused);
            }
        }
        let last = fed[fed.len() - 1];
        fed.resize(fuses + 1, last);
        fed
    }

    fn valve(&mut self, from: Joint, to: Joint) {
        let suppressor = self.answers.by.is_module().then(|| Suppressor::Diode { cathode: "1".to_owned() });
        let valve = Kind::AirValve(AirValve {
            coil_ohms: self.of_system(30.0, 110.0),
            pulls_in: self.of_system(7.8, 15.6),
            drops_out: self.of_system(2.4, 4.8),
            rest: self.answers.valve_rest(),
            suppressor,
        });
        let tag = self.sketch.part('Y', valve);
        self.sketch.between((&tag, "1", "2"), from, to);
    }

    fn relay(&mut self, from: Joint, ground: Joint) -> String {
        let relay = Kind::Relay(Relay {
            coil_ohms: self.of_system(90.0, 300.0),
            pulls_in: self.of_system(7.2, 14.4),
            drops_out: self.of_system(2.5, 5.0),
            suppressor: Some(Suppressor::Resistor(self.of_system(680.0, 1800.0))),
            contact_ohms: defaults::CONTACT_OHMS,
        });
        let tag = self.sketch.part('K', relay);
        self.sketch.between((&tag, "86", "85"), from, ground);
        tag
    }

    fn sensor(&mut self, request: &Request) -> String {
        let sensor = SensorSwitch {
            rest: self.answers.contacts,
            senses: request.senses,
            acts_at: request.acts,
            resets_at: request.resets,
            contact_ohms: defaults::CONTACT_OHMS,
        };
        let kind = if request.senses.is_temperature() {
            Kind::TemperatureSwitch(sensor)
        } else {
            Kind::PressureSwitch(sensor)
        };
        self.sketch.part('B', kind)
    }

    fn hand_switch(&mut self, rest: Contact, momentary: bool) -> String {
        self.sketch.part('S', Kind::HandSwitch(HandSwitch { rest, momentary, contact_ohms: defaults::CONTACT_OHMS }))
    }

    /// All that asks, between what is fed (and what the refrigerant's relay is fed by) and where it is to go.
    fn requests(&mut self, fed: &[Joint], to: Joint, ground: Joint) {
        let all = self.answers.requests.clone();
        if self.answers.contacts == Contact::Closed {
            return self.chain(&all, fed[0], to);
        }
        let from = match self.answers.force {
            Override::Nothing => fed[0],
            Override::Switch => {
                let switch = self.hand_switch(Contact::Open, false);
                self.sketch.between((&switch, "1", "2"), fed[0], to);
                fed[0]
            }
            Override::Selector => self.selector(fed[0], to),
            Override::Buttons => {
                self.buttons(fed[0], to, ground);
                fed[0]
            }
        };
        for request in &all {
            let is_special = request.senses == Quantity::Refrigerant;
            match self.answers.refrigerant {
                Refrigerant::Relay if is_special => {
                    let sensor = self.sensor(request);
                    let works = self.sketch.joint(Run::Signal);
                    self.sketch.between((&sensor, "1", "2"), fed[1], works);
                    let relay = self.relay(works, ground);
                    self.sketch.between((&relay, "30", "87"), from, to);
                }
                Refrigerant::Timer if is_special => self.timer(request, from, to, ground),
                Refrigerant::Lamp if is_special => self.lamp(request, from, to, ground),
                _ => {
                    let sensor = self.sensor(request);
                    self.sketch.between((&sensor, "1", "2"), from, to);
                }
            }
        }
    }

    /// Contacts closed at rest, one behind the other, the driver's first.
    fn chain(&mut self, requests: &[Request], from: Joint, to: Joint) {
        let mut tags = Vec::new();
        if self.answers.force == Override::Switch {
            tags.push(self.hand_switch(Contact::Closed, false));
        }
        for request in requests {
            tags.push(self.sensor(request));
        }
        let mut at = from;
        for (place, tag) in tags.iter().enumerate() {
            let next = if place + 1 == tags.len() { to } else { self.sketch.joint(Run::Signal) };
            self.sketch.between((tag, "1", "2"), at, next);
            at = next;
        }
    }

    /// ON past all that asks, AUTO through it, OFF nowhere; what AUTO feeds.
    fn selector(&mut self, from: Joint, to: Joint) -> Joint {
        let positions = ["ON", "AUTO", "OFF"].map(str::to_owned).to_vec();
        let rest = "AUTO".to_owned();
        let selector = SelectorSwitch { positions, rest, contact_ohms: defaults::CONTACT_OHMS };
        let tag = self.sketch.part('S', Kind::SelectorSwitch(selector));
        let auto = self.sketch.joint(Run::Fed);
        self.sketch.between((&tag, "c", "1"), from, to);
        self.sketch.tie(auto, &tag, "2");
        auto
    }

    /// A button that pulls a relay in, which then holds itself until the other button is pressed; a diode keeps what asks
    /// from holding it too.
    fn buttons(&mut self, from: Joint, to: Joint, ground: Joint) {
        let start = self.hand_switch(Contact::Open, true);
        let stop = self.hand_switch(Contact::Closed, true);
        let (armed, held) = (self.sketch.joint(Run::Signal), self.sketch.joint(Run::Coil));
        self.sketch.between((&stop, "1", "2"), from, armed);
        self.sketch.between((&start, "1", "2"), armed, held);
        let diode = self.diode();
        let relay = self.relay(held, ground);
        self.sketch.between((&relay, "30", "87"), armed, held);
        self.sketch.between((&diode, "A", "K"), held, to);
    }

    fn diode(&mut self) -> String {
        self.sketch.part('V', Kind::Diode(Diode { drop_volts: defaults::DIODE_VOLTS }))
    }

    fn timer(&mut self, request: &Request, from: Joint, to: Joint, ground: Joint) {
        let sensor = self.sensor(request);
        let timer = Timer {
            hold_seconds: self.answers.hold_seconds,
            contact_ohms: defaults::CONTACT_OHMS,
            supply_ohms: defaults::TIMER_SUPPLY_OHMS,
        };
        let timer = self.sketch.part('K', Kind::Timer(timer));
        let asks = self.sketch.joint(Run::Signal);
        self.sketch.between((&sensor, "1", "2"), from, asks);
        self.sketch.tie(asks, &timer, "in");
        self.sketch.between((&timer, "15", "87"), from, to);
        self.sketch.tie(ground, &timer, "31");
    }

    fn lamp(&mut self, request: &Request, from: Joint, to: Joint, ground: Joint) {
        let sensor = self.sensor(request);
        let asks = self.sketch.joint(Run::Signal);
        self.sketch.between((&sensor, "1", "2"), from, asks);
        let lamp = self.sketch.part('P', Kind::Lamp(Load { ohms: self.of_system(120.0, 480.0) }));
        let diode = self.diode();
        self.sketch.between((&diode, "A", "K"), asks, to);
        self.sketch.between((&lamp, "1", "2"), asks, ground);
    }

    /// All that asks, between the coil and ground.
    fn requests_to_ground(&mut self, behind: Joint, ground: Joint) {
        let all = self.answers.requests.clone();
        if self.answers.contacts == Contact::Closed {
            return self.chain(&all, behind, ground);
        }
        for request in &all {
            // A single stud in the block: the sensor's own body is its ground.
            let sensor = self.sensor(request);
            let body = self.sketch.ground();
            self.sketch.between((&sensor, "1", "2"), behind, body);
        }
        if self.answers.force == Override::Switch {
            let switch = self.hand_switch(Contact::Open, false);
            self.sketch.between((&switch, "1", "2"), behind, ground);
        }
    }

    /// An engine module: temperatures are its own, the refrigerant and the driver's switch come by wire.
    fn module(&mut self, plus: Joint, ground: Joint) {
        let fed = self.feeds(plus, 1)[0];
        let by_wire = |request: &&Request| request.senses == Quantity::Refrigerant;
        let wired: Vec<Request> = self.answers.requests.iter().filter(by_wire).copied().collect();
        let own = self.answers.requests.iter().filter(|request| !by_wire(request));
        let mut asks: Vec<Demand> =
            own.map(|request| Demand::Above(request.senses, request.acts, request.resets)).collect();
        let has_contacts = !wired.is_empty() || self.answers.force == Override::Switch;
        let to_input = has_contacts && self.answers.contacts == Contact::Open;
        if to_input {
            asks.push(Demand::Fed);
        }
        let on_when = if self.answers.live_drives() {
            Demand::Any(asks)
        } else {
            // Whoever drives the fan by a dead coil drives it with the engine stopped too.
            asks.insert(0, Demand::EngineStopped);
            Demand::Not(Box::new(Demand::Any(asks)))
        };
        let is_low = self.answers.by == By::ModuleLow;
        let module = Module {
            side: if is_low { Side::Low } else { Side::High },
            on_when,
            limit_amps: defaults::MODULE_LIMIT_AMPS,
            on_ohms: defaults::DRIVER_OHMS,
            works_from: defaults::MODULE_WORKS_FROM,
            supply_ohms: defaults::MODULE_SUPPLY_OHMS,
        };
        let module = self.sketch.part('A', Kind::Module(module));
        self.sketch.between((&module, "supply", "ground"), fed, ground);
        if to_input {
            let input = self.sketch.joint(Run::Coil);
            for request in &wired {
                let sensor = self.sensor(request);
                self.sketch.between((&sensor, "1", "2"), fed, input);
            }
            if self.answers.force == Override::Switch {
                let switch = self.hand_switch(Contact::Open, false);
                self.sketch.between((&switch, "1", "2"), fed, input);
            }
            self.sketch.tie(input, &module, "in");
        }
        let out = self.sketch.joint(Run::Signal);
        self.sketch.tie(out, &module, "out");
        let line = if has_contacts && !to_input {
            let end = self.sketch.joint(Run::Signal);
            self.chain(&wired, out, end);
            end
        } else {
            out
        };
        if is_low {
            self.valve(fed, line);
        } else {
            self.valve(line, ground);
        }
    }
}
