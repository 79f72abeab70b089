//! The picture as SVG text, for paper and for looking at.
//!
//! Yields one self-contained `<svg>` element. It reads nothing but the picture and a [`Theme`]; writing it to a
//! file is left to the caller. After SVG 1.1 (W3C, 2011).

use std::fmt::Write;

use super::picture::{Anchor, Form, Ink, Picture, Point, Shape};

/// Colours of a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Dark ink and the Okabe-Ito colours on a white page.
    #[default]
    Light,
    /// Greys only, for a plain printer.
    Grey,
}

/// Height of capital letters over font size (DejaVu Sans: 0.729).
const CAPITAL_HEIGHT: f32 = 0.729;

/// The picture as one SVG element.
pub fn svg(picture: &Picture, theme: Theme) -> String {
    let mut out = String::with_capacity(picture.shapes.len() * 120);
    let (w, h) = (picture.width, picture.height);
    // Writing to a String cannot fail, so the results are dropped.
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"Ubuntu, DejaVu Sans, sans-serif\" stroke-linecap=\"round\" stroke-linejoin=\"round\">"
    );
    let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"{}\"/>", theme.page());
    for shape in &picture.shapes {
        element(&mut out, shape, theme);
    }
    out.push_str("</svg>\n");
    out
}

impl Theme {
    /// Colour of the page.
    fn page(self) -> &'static str {
        "#ffffff"
    }

    /// Colour of a role. The hues are those of Okabe and Ito (Color Universal Design, 2008), told apart by people
    /// with any common colour vision.
    fn colour(self, ink: Ink) -> &'static str {
        match self {
            Self::Light => light(ink),
            Self::Grey => grey(ink),
        }
    }
}

fn light(ink: Ink) -> &'static str {
    match ink {
        Ink::Symbol | Ink::Blade | Ink::Junction | Ink::TagText => "#1c1c1c",
        Ink::SymbolFill | Ink::Halo => "#ffffff",
        Ink::RestMark => "#8a8a8a",
        Ink::Link | Ink::RatingText | Ink::TerminalText => "#4a4a4a",
        Ink::Active => "#e69f00",
        Ink::Glow => "#f7ec6e",
        Ink::AirPassing | Ink::WireFed | Ink::TerminalFed => "#0072b2",
        Ink::AirVented | Ink::WireFloating | Ink::TerminalFloating => "#7d7d7d",
        Ink::WireCarrying | Ink::Arrow => "#b34700",
        Ink::WireCasing => "#f7d9b8",
        Ink::WireGrounded | Ink::TerminalGrounded | Ink::WireText => "#3c3c3c",
        Ink::TerminalBetween => "#cc79a7",
        Ink::ReadingText => "#00604a",
        Ink::Lead | Ink::LeadText => "#009e73",
        Ink::PlusLead => "#b2182b",
        Ink::MinusLead | Ink::Instrument | Ink::InstrumentText => "#1c1c1c",
        Ink::LooseEnd => "#b34700",
        Ink::Highlight => "#fdf0b0",
        Ink::Fault | Ink::FaultText => "#a0307a",
    }
}

fn grey(ink: Ink) -> &'static str {
    match ink {
        Ink::SymbolFill | Ink::Halo => "#ffffff",
        Ink::RestMark | Ink::AirVented | Ink::WireFloating | Ink::TerminalFloating => "#8c8c8c",
        Ink::Glow | Ink::WireCasing | Ink::Highlight => "#d4d4d4",
        Ink::Active => "#b8b8b8",
        Ink::Link | Ink::RatingText | Ink::TerminalText | Ink::WireText => "#404040",
        Ink::Lead | Ink::LeadText => "#555555",
        Ink::Symbol
        | Ink::Blade
        | Ink::Junction
        | Ink::TagText
        | Ink::AirPassing
        | Ink::WireFed
        | Ink::TerminalFed
        | Ink::WireCarrying
        | Ink::Arrow
        | Ink::WireGrounded
        | Ink::TerminalGrounded
        | Ink::TerminalBetween
        | Ink::ReadingText
        | Ink::PlusLead
        | Ink::MinusLead
        | Ink::Instrument
        | Ink::InstrumentText
        | Ink::LooseEnd
        | Ink::Fault
        | Ink::FaultText => "#101010",
    }
}

fn element(out: &mut String, shape: &Shape, theme: Theme) {
    let colour = theme.colour(shape.ink);
    let stroke = stroke_of(shape, colour);
    match &shape.form {
        Form::Line { points, closed } => {
            let name = if *closed { "polygon" } else { "polyline" };
            let _ = writeln!(out, "<{name} points=\"{}\" {stroke}/>", listed(points));
        }
        Form::Polygon { points } => {
            let _ = writeln!(out, "<polygon points=\"{}\" fill=\"{colour}\"/>", listed(points));
        }
        Form::Circle { centre: Point { x, y }, radius, filled } => {
            let paint = if *filled { format!("fill=\"{colour}\"") } else { stroke };
            let _ = writeln!(out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {paint}/>");
        }
        Form::Arc { centre, radius, from_degrees, to_degrees } => {
            let on = |degrees: f32| {
                let (sin, cos) = degrees.to_radians().sin_cos();
                (centre.x + radius * cos, centre.y + radius * sin)
            };
            let ((x0, y0), (x1, y1)) = (on(*from_degrees), on(*to_degrees));
            let large = u8::from(to_degrees - from_degrees > 180.0);
            let _ =
                writeln!(out, "<path d=\"M{x0:.2} {y0:.2}A{radius} {radius} 0 {large} 1 {x1:.2} {y1:.2}\" {stroke}/>");
        }
        Form::Text { at, text, size, anchor } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let bold = if shape.ink == Ink::TagText { " font-weight=\"bold\"" } else { "" };
            let _ = writeln!(
                out,
                "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"{colour}\"{bold}>{}</text>",
                at.x,
                at.y + size * CAPITAL_HEIGHT / 2.0,
                escaped(text)
            );
        }
    }
}

fn stroke_of(shape: &Shape, colour: &str) -> String {
    let mut stroke = format!("fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\"", shape.weight);
    if let Some((on, off)) = shape.dash.pattern() {
        let _ = write!(stroke, " stroke-dasharray=\"{on} {off}\" stroke-linecap=\"butt\"");
    }
    stroke
}

fn listed(points: &[Point]) -> String {
    let pairs: Vec<String> = points.iter().map(|p| format!("{:.2},{:.2}", p.x, p.y)).collect();
    pairs.join(" ")
}

/// Text safe between tags and in quotes; characters XML 1.0 does not allow become a question mark.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || c == '\u{fffe}' || c == '\u{ffff}' => out.push('?'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::picture::Dash;

    #[test]
    fn markup_in_a_tag_is_escaped() {
        let text =
            Form::Text { at: Point::new(1.0, 1.0), text: "<B&\"1\u{1}>".into(), size: 10.0, anchor: Anchor::End };
        let shape = Shape { form: text, ink: Ink::TagText, weight: 1.0, dash: Dash::Solid, subject: None };
        let picture = Picture { width: 9.0, height: 9.0, shapes: vec![shape], targets: vec![] };
        assert!(svg(&picture, Theme::Grey).contains("&lt;B&amp;&quot;1?&gt;</text>"));
    }
}
