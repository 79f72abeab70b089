//! Parts as boxes with pins: what the layout places.
//!
//! Yields one [`Element`] for each part, and one for each pin of a connector (IEC 61082-1 allows such detached
//! representation; it lets every circuit through a connector keep its own column). Sizes and pin positions here and
//! the strokes in [`symbol`](crate::drawing::symbol) belong together. Horizontal measures count from the element's
//! axis, vertical ones from its top; all are multiples of [`GRID`].

use crate::circuit::{Circuit, Kind, Part, PartId, TerminalId, part::Side};
use crate::drawing::caption;
use crate::drawing::picture::{bold_width, text_width};

use super::potential::Potential;

/// Everything is placed on multiples of this many units.
pub(in crate::drawing) const GRID: i32 = 8;
/// Height of most symbols from terminal to terminal.
pub(in crate::drawing) const HEIGHT: i32 = 64;
/// Height of a symbol with more inside: selector, module, timer, relay.
pub(in crate::drawing) const TALL: i32 = 96;
/// Distance between neighbouring terminals on one side of a part.
pub(in crate::drawing) const PITCH: i32 = 56;
/// Least distance of any two terminals, for fingers.
pub(in crate::drawing) const APART: i32 = 48;
/// Height of a ground.
pub(in crate::drawing) const GROUND_HEIGHT: i32 = 40;

/// Where a pin leaves its element.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::drawing) enum Face {
    /// Up the page.
    Top,
    /// Down the page.
    Bottom,
    /// Either way: the dot of a splice.
    Both,
}

/// A terminal on an element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) struct Pin {
    pub(in crate::drawing) terminal: TerminalId,
    /// Units right of the axis.
    pub(in crate::drawing) dx: i32,
    pub(in crate::drawing) face: Face,
}

/// A part, or one pin of a connector, as a box with pins.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Element {
    pub(in crate::drawing) part: PartId,
    /// Which pin of a connector, counted from 0.
    pub(in crate::drawing) connector_pin: Option<usize>,
    pub(in crate::drawing) pins: Vec<Pin>,
    pub(in crate::drawing) height: i32,
    /// Reach of the strokes left and right of the axis.
    pub(in crate::drawing) body: (i32, i32),
    /// Room the caption needs right of the body.
    pub(in crate::drawing) caption: i32,
    /// Room the numbers of its wires need right of its rightmost terminal.
    pub(in crate::drawing) numbers: i32,
}

impl Element {
    /// Reach left of the axis with all that belongs to the element.
    pub(in crate::drawing) fn left(&self) -> i32 {
        self.body.0
    }

    /// Reach right of the axis with all that belongs to the element.
    pub(in crate::drawing) fn right(&self) -> i32 {
        let last = self.pins.iter().map(|pin| pin.dx).max().unwrap_or(0);
        (self.body.1 + self.caption).max(last + self.numbers)
    }

    /// The same element turned left for right.
    pub(in crate::drawing) fn mirror(&mut self) {
        self.pins.iter_mut().for_each(|pin| pin.dx = -pin.dx);
        self.body = (self.body.1, self.body.0);
    }

    /// Whether it is a splice: a dot without a body, to sit where its wires meet.
    pub(in crate::drawing) fn is_dot(&self) -> bool {
        self.pins.iter().any(|pin| pin.face == Face::Both)
    }

    /// Whether turning it left for right may spare a crossing.
    pub(in crate::drawing) fn has_sides(&self) -> bool {
        self.pins.iter().any(|pin| pin.dx != 0)
    }
}

/// All elements of a circuit, each the right way up.
pub(super) fn elements(circuit: &Circuit, potential: &Potential) -> Vec<Element> {
    let mut all = Vec::with_capacity(circuit.parts().len());
    for (id, part) in circuit.parts_with_ids() {
        let stand = Stand { circuit, potential, id };
        match &part.kind {
            Kind::Connector(connector) if connector.pins > 0 => {
                let pins = connector.pins as usize;
                all.extend((0..pins).map(|n| stand.upright(part, Some(n), (2 * n, 2 * n + 1), (8, 8))));
            }
            kind => all.push(stand.element(part, kind)),
        }
    }
    all
}

/// One part looking for the way it stands.
struct Stand<'a> {
    circuit: &'a Circuit,
    potential: &'a Potential,
    id: PartId,
}

impl Stand<'_> {
    fn volts(&self, place: usize) -> f64 {
        self.potential.volts[self.potential.net[self.circuit.terminal_at(self.id, place).index()]]
    }

    /// Whether the terminal at `first` goes on top; with less than `margin` against it, it does.
    fn stands(&self, first: usize, second: usize, margin: f64) -> bool {
        self.volts(first) + margin >= self.volts(second)
    }

    fn wired(&self, place: usize) -> bool {
        !self.circuit.ends_at(self.circuit.terminal_at(self.id, place)).is_empty()
    }

    fn pin(&self, place: usize, dx: i32, top: bool) -> Pin {
        let face = if top { Face::Top } else { Face::Bottom };
        Pin { terminal: self.circuit.terminal_at(self.id, place), dx, face }
    }

    fn boxed(
        &self,
        part: &Part,
        connector_pin: Option<usize>,
        pins: Vec<Pin>,
        body: (i32, i32),
        height: i32,
    ) -> Element {
        let tag = bold_width(&caption::tag(part, connector_pin), caption::TAG_SIZE);
        let words = tag.max(caption::rating_width(part)) as i32 + 10;
        let caption = (words + GRID - 1) / GRID * GRID;
        let wires = pins.iter().flat_map(|pin| self.circuit.ends_at(pin.terminal));
        let number = wires.map(|end| text_width(&caption::wire(self.circuit.wire(end.wire)), caption::WIRE_SIZE));
        let numbers = number.fold(0.0, f32::max) as i32 / GRID * GRID + GRID;
        Element { part: self.id, connector_pin, pins, height, body, caption, numbers }
    }

    /// A part with two terminals on its axis.
    fn upright(&self, part: &Part, pin: Option<usize>, (a, b): (usize, usize), body: (i32, i32)) -> Element {
        let margin = if matches!(part.kind, Kind::Diode(_)) { 0.02 } else { 1e-6 };
        let a_on_top = self.stands(a, b, margin);
        self.boxed(part, pin, vec![self.pin(a, 0, a_on_top), self.pin(b, 0, !a_on_top)], body, HEIGHT)
    }

    fn element(&self, part: &Part, kind: &Kind) -> Element {
        match kind {
            Kind::Battery(_) => {
                self.boxed(part, None, vec![self.pin(0, 0, true), self.pin(1, 0, false)], (24, 24), HEIGHT)
            }
            Kind::Fuse(_) | Kind::Resistor(_) => self.upright(part, None, (0, 1), (8, 8)),
            Kind::Diode(_) => self.upright(part, None, (0, 1), (16, 16)),
            Kind::Lamp(_) => self.upright(part, None, (0, 1), (16, 16)),
            Kind::KeySwitch(_) | Kind::HandSwitch(_) => self.upright(part, None, (0, 1), (48, 24)),
            Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_) => self.upright(part, None, (0, 1), (48, 24)),
            Kind::AirValve(_) => self.upright(part, None, (0, 1), (104, 32)),
            Kind::Relay(_) => self.relay(part),
            Kind::SelectorSwitch(selector) => self.selector(part, selector.positions.len()),
            Kind::Module(module) => self.module(part, module.side),
            Kind::Timer(_) => {
                let pins = vec![
                    self.pin(0, PITCH, true),
                    self.pin(1, 0, false),
                    self.pin(2, 0, true),
                    self.pin(3, PITCH, false),
                ];
                self.boxed(part, None, pins, (32, PITCH + 24), TALL)
            }
            Kind::Splice(_) => {
                let dot = Pin { terminal: self.circuit.terminal_at(self.id, 0), dx: 0, face: Face::Both };
                self.boxed(part, None, vec![dot], (8, 8), 0)
            }
            Kind::Ground(_) => self.boxed(part, None, vec![self.pin(0, 0, true)], (16, 16), GROUND_HEIGHT),
            // Only one without pins comes here whole.
            Kind::Connector(_) => self.boxed(part, None, Vec::new(), (8, 8), HEIGHT),
        }
    }

    /// Coil at the axis, change-over contact to the right; the throw that is wired lies straight under 30.
    fn relay(&self, part: &Part) -> Element {
        let coil_86_on_top = self.stands(1, 0, 1e-6);
        let throws = self.volts(3).min(self.volts(4));
        let wired_throw = if self.wired(3) || !self.wired(4) { self.volts(3) } else { self.volts(4) };
        let throw = if self.wired(3) && self.wired(4) { throws } else { wired_throw };
        let common_on_top = self.volts(2) + 1e-6 >= throw;
        let make_straight = self.wired(3) || !self.wired(4);
        let (straight, aside) = (2 * PITCH + 2 * GRID, PITCH + 2 * GRID);
        let (make, rest) = if make_straight { (straight, aside) } else { (aside, straight) };
        let pins = vec![
            self.pin(0, 0, !coil_86_on_top),
            self.pin(1, 0, coil_86_on_top),
            self.pin(2, straight, common_on_top),
            self.pin(3, make, !common_on_top),
            self.pin(4, rest, !common_on_top),
        ];
        self.boxed(part, None, pins, (40, straight + 16), TALL)
    }

    fn selector(&self, part: &Part, positions: usize) -> Element {
        let last = i32::try_from(positions).unwrap_or(1).max(1) - 1;
        let mean = (1..=positions).map(|n| self.volts(n)).sum::<f64>() / positions.max(1) as f64;
        let common_on_top = self.volts(0) + 1e-6 >= mean;
        // Wide enough for a wire from one throw to pass a sensor in line with the next.
        let pitch = PITCH + 2 * GRID;
        let middle = last / 2 * pitch;
        let mut pins = vec![self.pin(0, 0, common_on_top)];
        for n in 1..=positions {
            let dx = i32::try_from(n - 1).unwrap_or(0) * pitch - middle;
            pins.push(self.pin(n, dx, !common_on_top));
        }
        let body = (middle + 48, last * pitch - middle + 16);
        self.boxed(part, None, pins, body, TALL)
    }

    /// The driver stands on the right, `out` and the pole it joins one above the other.
    fn module(&self, part: &Part, side: Side) -> Element {
        // Wide enough for what hangs above supply and out to stand in line with them.
        let (near, far) = match side {
            Side::Low => (PITCH, 3 * PITCH + 2 * GRID),
            Side::High => (PITCH, 2 * PITCH),
        };
        let pins = match side {
            Side::Low => {
                vec![self.pin(0, near, true), self.pin(1, far, false), self.pin(2, far, true), self.pin(3, 0, true)]
            }
            Side::High => {
                vec![self.pin(0, far, true), self.pin(1, 0, false), self.pin(2, far, false), self.pin(3, 0, true)]
            }
        };
        self.boxed(part, None, pins, (32, far + 32), TALL)
    }
}
