//! The picture as plain shapes: what a painter strokes, and where a pointer hits.
//!
//! Yields [`Picture`], [`Shape`] and [`Target`]. A shape carries a style role ([`Ink`]) and never a colour, so one
//! picture serves the screen, grey print and paper; the choice of colours is left to the painters. Lengths are in
//! layout units: one unit is one pixel at the default scale, x to the right and y down the page.

use crate::study::answer::Subject;
use crate::words::Language;

/// A place on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Units to the right of the page's left edge.
    pub x: f32,
    /// Units below the page's top edge.
    pub y: f32,
}

impl Point {
    /// The place at `x`, `y`.
    pub const fn new(x: f32, y: f32) -> Self {
        Self { x, y }
    }

    /// Straight-line distance to another place.
    pub fn distance(self, other: Self) -> f32 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// What a shape is drawn for. Painters map each role to a colour of their theme; every difference of state that a
/// role tells is told by weight, dashes or arrowheads as well.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Outline of a symbol.
    Symbol,
    /// The inside of a symbol, in the colour of the page or a shade off it.
    SymbolFill,
    /// Blade at the position it is in now.
    Blade,
    /// Where the blade is when at rest, if it is not there now.
    RestMark,
    /// Actuators and the dashed links that join them to what they move.
    Link,
    /// A coil that is pulled in, a driver that is on.
    Active,
    /// Light of a lit lamp.
    Glow,
    /// Air path of a valve that passes supply air to the clutch.
    AirPassing,
    /// Air path of a valve that vents the clutch.
    AirVented,
    /// Wire at supply potential without current.
    WireFed,
    /// Wire that carries current.
    WireCarrying,
    /// Wide band under a carrying wire.
    WireCasing,
    /// Wire with no conducting path to either pole.
    WireFloating,
    /// Wire at ground potential without current.
    WireGrounded,
    /// Band in the page's colour under a wire, so that a crossing reads as one.
    Halo,
    /// Dot where wires that hang on one terminal part.
    Junction,
    /// Arrowhead in the direction of conventional current.
    Arrow,
    /// Terminal at supply potential.
    TerminalFed,
    /// Terminal at ground potential.
    TerminalGrounded,
    /// Terminal between the two.
    TerminalBetween,
    /// Terminal that floats.
    TerminalFloating,
    /// A part's designation.
    TagText,
    /// A part's rating or set point.
    RatingText,
    /// A terminal's name.
    TerminalText,
    /// A wire's number and insulation colour.
    WireText,
    /// A reading at a terminal.
    ReadingText,
    /// A jumper lead with its clips.
    Lead,
    /// Number and fuse of a jumper lead.
    LeadText,
    /// The positive lead of an instrument.
    PlusLead,
    /// The negative lead of an instrument.
    MinusLead,
    /// An instrument.
    Instrument,
    /// What is written on an instrument and its leads.
    InstrumentText,
    /// A wire's end that is off its terminal.
    LooseEnd,
    /// Band around something pointed out.
    Highlight,
    /// Mark of a fault.
    Fault,
    /// Words of a fault.
    FaultText,
}

/// How a line is broken up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Strokes of 6 units with gaps of 4.
    Dashed,
    /// Strokes of 1.5 units with gaps of 3.
    Dotted,
}

impl Dash {
    /// Stroke and gap in units; none where the line is unbroken.
    pub fn pattern(self) -> Option<(f32, f32)> {
        match self {
            Self::Solid => None,
            Self::Dashed => Some((6.0, 4.0)),
            Self::Dotted => Some((1.5, 3.0)),
        }
    }
}

/// Which point of a text is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Straight strokes through the points, back to the first where closed.
    Line {
        /// At least two points.
        points: Vec<Point>,
        /// Whether the last point is joined to the first.
        closed: bool,
    },
    /// A circle, filled or stroked.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius in units.
        radius: f32,
        /// Whether it is filled (else stroked).
        filled: bool,
    },
    /// A stroked arc of a circle. Angles in degrees from the x axis towards the y axis (clockwise on the page).
    Arc {
        /// Centre of the circle.
        centre: Point,
        /// Radius in units.
        radius: f32,
        /// Where it begins.
        from_degrees: f32,
        /// Where it ends; larger than the beginning.
        to_degrees: f32,
    },
    /// A filled polygon, convex.
    Polygon {
        /// Its corners in turn.
        points: Vec<Point>,
    },
    /// One line of text.
    Text {
        /// The anchor point; vertically always the middle of the capital letters.
        at: Point,
        /// The words.
        text: String,
        /// Font size in units.
        size: f32,
        /// Which point of the text `at` is.
        anchor: Anchor,
    },
}

/// One thing to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Its geometry.
    pub form: Form,
    /// Its style role.
    pub ink: Ink,
    /// Stroke width in units; without meaning for filled forms and text.
    pub weight: f32,
    /// How the stroke is broken up.
    pub dash: Dash,
    /// What it shows, if it shows something of the circuit.
    pub subject: Option<Subject>,
}

/// A rectangle where a pointer hits something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// What is hit.
    pub subject: Subject,
    /// Left edge.
    pub x: f32,
    /// Top edge.
    pub y: f32,
    /// Width in units.
    pub width: f32,
    /// Height in units.
    pub height: f32,
}

impl Target {
    /// Whether the place lies inside.
    pub fn contains(&self, x: f32, y: f32) -> bool {
        x >= self.x && x <= self.x + self.width && y >= self.y && y <= self.y + self.height
    }

    /// Its middle.
    pub fn centre(&self) -> Point {
        Point::new(self.x + self.width / 2.0, self.y + self.height / 2.0)
    }
}

/// A whole drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Picture {
    /// Width of the page in units.
    pub width: f32,
    /// Height of the page in units.
    pub height: f32,
    /// What to draw, from the back to the front.
    pub shapes: Vec<Shape>,
    /// Where things are hit, in no order that matters.
    pub targets: Vec<Target>,
}

impl Picture {
    /// The same with the numbers beside its symbols as a language writes them.
    #[must_use]
    pub fn in_language(mut self, language: Language) -> Self {
        for shape in self.shapes.iter_mut().filter(|shape| shape.ink == Ink::RatingText) {
            if let Form::Text { text, .. } = &mut shape.form {
                *text = language.figures(std::mem::take(text));
            }
        }
        self
    }

    /// What lies at a place: leads first, then terminals and wire ends, whichever has its middle nearer, then parts,
    /// then wires; of several of a sort the one whose middle is nearest.
    pub fn hit(&self, x: f32, y: f32) -> Option<Subject> {
        let at = Point::new(x, y);
        self.targets
            .iter()
            .filter(|target| target.contains(x, y))
            .min_by(|a, b| {
                let near = |t: &Target| (hit_order(t.subject), t.centre().distance(at));
                let (a, b) = (near(a), near(b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            })
            .map(|target| target.subject)
    }

    /// Where a subject is hit: the first of its rectangles.
    pub fn target(&self, subject: Subject) -> Option<&Target> {
        self.targets.iter().find(|target| target.subject == subject)
    }
}

/// Smaller is hit first.
fn hit_order(subject: Subject) -> u8 {
    match subject {
        Subject::Lead(_) => 0,
        Subject::Terminal(_) | Subject::WireEnd(_) => 1,
        Subject::Part(_) => 2,
        Subject::Wire(_) => 3,
    }
}

/// Width of a text in bold letters, against which plain ones are somewhat narrower.
pub fn bold_width(text: &str, size: f32) -> f32 {
    text_width(text, size) * 1.08
}

/// Width of a text in units, estimated on the wide side.
///
/// The average advance of DejaVu Sans, the wider of the two fonts painters use (measured from its metrics for
/// digits, capitals and small letters; no source beyond the font itself).
pub fn text_width(text: &str, size: f32) -> f32 {
    let em: f32 = text
        .chars()
        .map(|c| match c {
            ' ' | '.' | ',' | ':' | 'i' | 'l' | 'j' | '°' | '|' | '\'' => 0.36,
            'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.95,
            'A'..='Z' | 'Ω' => 0.70,
            _ => 0.62,
        })
        .sum();
    em * size
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::{PartId, TerminalId};

    #[test]
    fn a_terminal_is_hit_before_the_part_it_is_on() {
        let target = |subject, x: f32, side: f32| Target { subject, x, y: 0.0, width: side, height: side };
        let (part, terminal) = (Subject::Part(PartId(0)), Subject::Terminal(TerminalId(0)));
        let targets = vec![target(part, 0.0, 100.0), target(terminal, 0.0, 44.0)];
        let picture = Picture { width: 100.0, height: 100.0, shapes: vec![], targets };

        assert_eq!(picture.hit(30.0, 30.0), Some(terminal));
        assert_eq!(picture.hit(60.0, 60.0), Some(part));
        assert_eq!(picture.hit(-1.0, 0.0), None);
    }
}
