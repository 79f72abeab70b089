//! Made-up fan circuits, small and sound: one of the trade's plain ways of switching an air valve, grown by extras and
//! then damaged a little (a wire gone, one too many, one end on the wrong terminal).
//!
//! Every circuit comes from its seed alone and is a text in the file's own language, so that a failure prints what
//! brings it back. Coil and set-point numbers are example values.

use fanloom::circuit::format::read;

use crate::support::random::Random;

/// Parts and wires on paper.
struct Sketch {
    volts: u32,
    parts: Vec<(String, String)>,
    wires: Vec<(String, String)>,
    /// The `-` side: a ground's terminal for each use, new studs now and then.
    grounds: Vec<String>,
}

/// A sound circuit of at least five parts and no more than `most_parts`.
pub(crate) fn circuit(seed: u64, most_parts: usize) -> String {
    // Streams of neighbouring seeds overlap; their first numbers make seeds that don't.
    let mut random = Random::new(Random::new(seed).next());
    loop {
        let mut sketch = Sketch::new(&mut random);
        sketch.fan(&mut random);
        for _ in 0..random.below(3) {
            sketch.extra(&mut random);
        }
        for _ in 0..*random.pick(&[0, 0, 1, 1, 2, 3]) {
            sketch.damage(&mut random);
        }
        if !(5..=most_parts).contains(&sketch.parts.len()) {
            continue;
        }
        let text = sketch.text(seed, &mut random);
        if read(&text).circuit.is_some() {
            return text;
        }
    }
}

impl Sketch {
    fn new(random: &mut Random) -> Self {
        let volts = if random.percent(70) { 12 } else { 24 };
        let mut sketch = Self { volts, parts: Vec::new(), wires: Vec::new(), grounds: Vec::new() };
        let full = if volts == 12 { 12.6 } else { 25.2 };
        sketch.part("G", format!("Battery(volts: {full})"));
        sketch
    }

    fn part(&mut self, letter: &str, kind: String) -> String {
        let number = 1 + self.parts.iter().filter(|(tag, _)| tag.starts_with(letter)).count();
        let tag = format!("{letter}{number}");
        self.parts.push((tag.clone(), kind));
        tag
    }

    fn wire(&mut self, from: &str, to: &str) {
        self.wires.push((from.to_owned(), to.to_owned()));
    }

    /// A part of two terminals in line: the wire goes in at the one and the answer is the other.
    fn in_line(&mut self, from: &str, letter: &str, kind: String, (enters, leaves): (&str, &str)) -> String {
        let tag = self.part(letter, kind);
        self.wire(from, &format!("{tag}.{enters}"));
        format!("{tag}.{leaves}")
    }

    /// Wires a terminal to ground.
    fn ground(&mut self, random: &mut Random, terminal: &str) {
        if self.grounds.is_empty() || random.percent(25) {
            let tag = self.part("N", "Ground".to_owned());
            self.grounds.push(format!("{tag}.g"));
        }
        let ground = random.pick(&self.grounds).clone();
        self.wire(terminal, &ground);
    }

    fn fuse(&mut self, random: &mut Random, from: &str) -> String {
        let amps = *random.pick(&[1, 2, 3, 5, 5, 10, 15]);
        self.in_line(from, "F", format!("Fuse(amps: {amps})"), ("1", "2"))
    }

    /// Set points of one quantity lie further apart than their bands, so that each can act alone.
    fn sensor(&mut self, random: &mut Random, from: &str) -> String {
        let rest = rest(random, 70);
        let kind = match random.below(6) {
            0 | 1 => temperature(rest, "Coolant", 210, 195),
            2 => temperature(rest, "Coolant", 240, 228),
            3 => temperature(rest, random.pick::<&str>(&["IntakeAir", "Oil"]), 190, 165),
            4 => pressure(rest, "Refrigerant", 275, 250),
            _ if random.percent(30) => pressure(rest, "AirSupply", 120, 112),
            _ => pressure(rest, "Refrigerant", 320, 300),
        };
        self.in_line(from, "B", kind, ("1", "2"))
    }

    fn hand_switch(&mut self, random: &mut Random, from: &str) -> String {
        let rest = rest(random, 70);
        let momentary = if random.percent(25) { ", momentary: true" } else { "" };
        self.in_line(from, "S", format!("HandSwitch(rest: {rest}{momentary})"), ("1", "2"))
    }

    /// The asking part of a circuit, from a fed terminal to one that is fed when the fan is wanted.
    fn asking(&mut self, random: &mut Random, from: &str) -> String {
        match random.below(9) {
            0 | 1 => self.sensor(random, from),
            2 => {
                let between = self.sensor(random, from);
                self.sensor(random, &between)
            }
            3 => {
                let (a, b) = (self.sensor(random, from), self.sensor(random, from));
                self.wire(&a, &b);
                a
            }
            4 => {
                let (a, b) = (self.sensor(random, from), self.hand_switch(random, from));
                self.wire(&a, &b);
                b
            }
            5 => self.selector(random, from),
            6 => {
                let tag = self.part("X", format!("Connector(pins: {})", 1 + random.below(2)));
                self.wire(from, &format!("{tag}.1a"));
                self.sensor(random, &format!("{tag}.1b"))
            }
            7 => {
                let (a, b) = (self.sensor(random, from), self.sensor(random, from));
                let a = self.in_line(&a, "V", "Diode()".to_owned(), ("A", "K"));
                let b = self.in_line(&b, "V", "Diode()".to_owned(), ("A", "K"));
                self.wire(&a, &b);
                a
            }
            _ => {
                let between = self.hand_switch(random, from);
                self.sensor(random, &between)
            }
        }
    }

    fn selector(&mut self, random: &mut Random, from: &str) -> String {
        let rest = random.pick(&["ON", "AUTO", "AUTO", "OFF"]);
        let tag = self.part("S", format!("SelectorSwitch(positions: [\"ON\", \"AUTO\", \"OFF\"], rest: \"{rest}\")"));
        self.wire(from, &format!("{tag}.c"));
        let out = self.sensor(random, &format!("{tag}.2"));
        self.wire(&format!("{tag}.1"), &out);
        out
    }

    fn suppressor(&self, random: &mut Random, cathode: &str) -> String {
        match random.below(4) {
            0 | 1 => String::new(),
            2 => format!(", suppressor: Diode(cathode: \"{cathode}\")"),
            _ => ", suppressor: Resistor(680)".to_owned(),
        }
    }

    fn relay(&mut self, random: &mut Random) -> String {
        let (ohms, pulls_in, drops_out) = if self.volts == 12 { (85, 7.2, 2.5) } else { (320, 14.4, 5.0) };
        let fitted = self.suppressor(random, "86");
        let kind = format!("Relay(coil_ohms: {ohms}, pulls_in: {pulls_in:.1}, drops_out: {drops_out:.1}{fitted})");
        self.part("K", kind)
    }

    fn valve(&mut self, random: &mut Random) -> String {
        let (ohms, pulls_in, drops_out) = if self.volts == 12 {
            (*random.pick(&[8, 30, 30, 40]), 7.8, 2.4)
        } else {
            (*random.pick(&[20, 110, 110]), 15.6, 4.8)
        };
        let fitted = self.suppressor(random, "1");
        let rest = random.pick(&["Passing", "Blocking"]);
        let kind = format!(
            "AirValve(coil_ohms: {ohms}, pulls_in: {pulls_in:.1}, drops_out: {drops_out:.1}, rest: {rest}{fitted})"
        );
        self.part("Y", kind)
    }

    /// The whole way from battery to ground, in one of the trade's ways.
    fn fan(&mut self, random: &mut Random) {
        let mut fed = if random.percent(92) { self.fuse(random, "G1.+") } else { "G1.+".to_owned() };
        if random.percent(75) {
            fed = self.in_line(&fed, "S", "KeySwitch".to_owned(), ("30", "15"));
        }
        if random.percent(15) {
            fed = self.in_line(&fed, "X", "Splice".to_owned(), ("s", "s"));
        }
        match random.below(8) {
            0 | 1 => {
                let asked = self.asking(random, &fed);
                let valve = self.valve(random);
                self.wire(&asked, &format!("{valve}.1"));
                self.ground(random, &format!("{valve}.2"));
            }
            2 => {
                let valve = self.valve(random);
                self.wire(&fed, &format!("{valve}.1"));
                let end = self.asking(random, &format!("{valve}.2"));
                self.ground(random, &end);
            }
            3 => self.by_relay(random, &fed),
            4 => self.sealed_in(random, &fed),
            5 | 6 => self.by_module(random, &fed),
            _ => self.by_timer(random, &fed),
        }
        self.ground(random, "G1.-");
    }

    fn by_relay(&mut self, random: &mut Random, fed: &str) {
        let relay = if random.percent(60) {
            let asked = self.asking(random, fed);
            let relay = self.relay(random);
            self.wire(&asked, &format!("{relay}.86"));
            self.ground(random, &format!("{relay}.85"));
            relay
        } else {
            // Switched on its ground side.
            let relay = self.relay(random);
            self.wire(fed, &format!("{relay}.86"));
            let end = self.asking(random, &format!("{relay}.85"));
            self.ground(random, &end);
            relay
        };
        let power = if random.percent(40) { self.fuse(random, "G1.+") } else { fed.to_owned() };
        self.wire(&power, &format!("{relay}.30"));
        let valve = self.valve(random);
        let contact = random.pick(&["87", "87a"]);
        self.wire(&format!("{relay}.{contact}"), &format!("{valve}.1"));
        self.ground(random, &format!("{valve}.2"));
    }

    fn sealed_in(&mut self, random: &mut Random, fed: &str) {
        let kind = |rest: &str| format!("HandSwitch(rest: {rest}, momentary: true)");
        let stop = self.in_line(fed, "S", kind("Closed"), ("1", "2"));
        let start = self.in_line(&stop, "S", kind("Open"), ("1", "2"));
        let relay = self.relay(random);
        self.wire(&start, &format!("{relay}.86"));
        self.wire(&stop, &format!("{relay}.30"));
        self.wire(&format!("{relay}.87"), &start);
        self.ground(random, &format!("{relay}.85"));
        let valve = self.valve(random);
        let coil = format!("{valve}.1");
        if random.percent(50) {
            let isolated = self.in_line(&start, "V", "Diode()".to_owned(), ("A", "K"));
            self.wire(&isolated, &coil);
        } else {
            self.wire(&start, &coil);
        }
        let asked = self.sensor(random, fed);
        self.wire(&asked, &coil);
        self.ground(random, &format!("{valve}.2"));
    }

    fn by_module(&mut self, random: &mut Random, fed: &str) {
        let side = *random.pick(&["Low", "High"]);
        let on_when = *random.pick(&[
            "Above(Coolant, Fahrenheit(180), Fahrenheit(170))",
            "Any([Above(Coolant, Fahrenheit(180), Fahrenheit(170)), Fed])",
            "Any([Above(IntakeAir, Fahrenheit(150), Fahrenheit(130)), Above(Oil, Fahrenheit(240), Fahrenheit(220)), Fed])",
            "All([Above(Coolant, Fahrenheit(180), Fahrenheit(170)), EngineStopped])",
            "Not(Above(Coolant, Fahrenheit(180), Fahrenheit(170)))",
            "All([Not(Fed), Above(Oil, Fahrenheit(240), Fahrenheit(220))])",
            "Not(Any([Fed, Above(Refrigerant, Psi(240), Psi(230))]))",
            "Any([Below(Oil, Celsius(-5), Celsius(0)), Fed])",
        ]);
        let limit = random.pick(&["1.0", "2.0", "4.0"]);
        let module = self.part("A", format!("Module(side: {side}, on_when: {on_when}, limit_amps: {limit})"));
        let supply = if random.percent(50) { self.fuse(random, "G1.+") } else { fed.to_owned() };
        self.wire(&supply, &format!("{module}.supply"));
        self.ground(random, &format!("{module}.ground"));
        let input = format!("{module}.in");
        if on_when.contains("Fed") || random.percent(10) {
            let asked = if random.percent(60) { self.sensor(random, fed) } else { self.hand_switch(random, fed) };
            self.wire(&asked, &input);
        }
        let valve = self.valve(random);
        let out = format!("{module}.out");
        if side == "Low" {
            self.wire(fed, &format!("{valve}.1"));
            self.wire(&format!("{valve}.2"), &out);
        } else {
            self.wire(&out, &format!("{valve}.1"));
            self.ground(random, &format!("{valve}.2"));
        }
    }

    fn by_timer(&mut self, random: &mut Random, fed: &str) {
        let timer = self.part("T", "Timer(hold_seconds: 30)".to_owned());
        self.wire(fed, &format!("{timer}.15"));
        self.ground(random, &format!("{timer}.31"));
        let asked = self.asking(random, fed);
        self.wire(&asked, &format!("{timer}.in"));
        let valve = self.valve(random);
        self.wire(&format!("{timer}.87"), &format!("{valve}.1"));
        self.ground(random, &format!("{valve}.2"));
    }

    /// Something more that hangs on it.
    fn extra(&mut self, random: &mut Random) {
        let at = self.any_terminal(random);
        match random.below(8) {
            0 => {
                let end = self.in_line(&at, "P", "Lamp(ohms: 48)".to_owned(), ("1", "2"));
                self.ground(random, &end);
            }
            1 => {
                let end = self.in_line(&at, "R", "Resistor(ohms: 680)".to_owned(), ("1", "2"));
                self.ground(random, &end);
            }
            2 => {
                let to = self.any_terminal(random);
                let end = self.in_line(&at, "V", "Diode()".to_owned(), ("A", "K"));
                self.wire(&end, &to);
            }
            3 => {
                let to = self.any_terminal(random);
                let end = self.hand_switch(random, &at);
                self.wire(&end, &to);
            }
            4 => {
                let to = self.any_terminal(random);
                let end = self.sensor(random, &at);
                self.wire(&end, &to);
            }
            5 => {
                // A connector put into a wire.
                let place = random.below(self.wires.len());
                let tag = self.part("X", "Connector(pins: 1)".to_owned());
                let (_, to) = &mut self.wires[place];
                let old = std::mem::replace(to, format!("{tag}.1a"));
                self.wire(&format!("{tag}.1b"), &old);
            }
            6 => {
                // A second valve beside the first.
                let valve = self.valve(random);
                self.wire(&at, &format!("{valve}.1"));
                self.ground(random, &format!("{valve}.2"));
            }
            _ => {
                let relay = self.relay(random);
                self.wire(&at, &format!("{relay}.86"));
                self.ground(random, &format!("{relay}.85"));
                let (a, b) = (self.any_terminal(random), self.any_terminal(random));
                self.wire(&a, &format!("{relay}.30"));
                self.wire(&b, &format!("{relay}.{}", random.pick(&["87", "87a"])));
            }
        }
    }

    fn any_terminal(&self, random: &mut Random) -> String {
        let (from, to) = random.pick(&self.wires);
        if random.percent(50) { from.clone() } else { to.clone() }
    }

    /// Something wired wrongly.
    fn damage(&mut self, random: &mut Random) {
        let place = random.below(self.wires.len());
        match random.below(4) {
            0 => {
                if self.wires.len() > 4 {
                    self.wires.remove(place);
                }
            }
            1 => {
                let to = self.any_terminal(random);
                self.wires[place].1 = to;
            }
            2 => {
                let (a, b) = (self.any_terminal(random), self.any_terminal(random));
                self.wire(&a, &b);
            }
            _ => {
                let (_, to) = self.wires[place].clone();
                let other = random.below(self.wires.len());
                let old = std::mem::replace(&mut self.wires[other].1, to);
                self.wires[place].1 = old;
            }
        }
    }

    fn text(&self, seed: u64, random: &mut Random) -> String {
        let mut text = format!("Circuit(\n    format: 1,\n    title: \"made from seed {seed}\",\n    parts: {{\n");
        for (tag, kind) in &self.parts {
            text += &format!("        \"{tag}\": {kind},\n");
        }
        text += "    },\n    wires: {\n";
        for (number, (from, to)) in self.wires.iter().enumerate() {
            let gauge = random.pick(&["", "", "", ", gauge: Awg(20)", ", gauge: Awg(12), length: Feet(9)"]);
            text += &format!("        \"W{}\": Wire(from: \"{from}\", to: \"{to}\"{gauge}),\n", number + 1);
        }
        let engages = random.pick(&["WithAir", "WithoutAir"]);
        text + "    },\n    air: Air(minimum: Psi(90)),\n    clutch: Clutch(engages: " + engages + "),\n)\n"
    }
}

/// The position a contact rests in: open in so many of a hundred cases.
fn rest(random: &mut Random, percent: usize) -> &'static str {
    if random.percent(percent) { "Open" } else { "Closed" }
}

fn temperature(rest: &str, senses: &str, acts: u32, resets: u32) -> String {
    format!(
        "TemperatureSwitch(rest: {rest}, senses: {senses}, acts_at: Fahrenheit({acts}), resets_at: Fahrenheit({resets}))"
    )
}

fn pressure(rest: &str, senses: &str, acts: u32, resets: u32) -> String {
    format!("PressureSwitch(rest: {rest}, senses: {senses}, acts_at: Psi({acts}), resets_at: Psi({resets}))")
}
