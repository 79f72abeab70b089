//! Pictures of the tools and marks of the classes, drawn here from strokes.
//!
//! Each fits a square about its middle. They stand beside the tool's name and never replace it.

use egui::{Color32, Painter, Pos2, Shape, Stroke, vec2};

use crate::study::answer::Level;
use crate::study::prove::Class;

use super::super::tool::ToolKind;
use super::signal;

/// Draws the mark of a class of proving acts: a full disc, a ring, then the marks of warning and danger.
pub fn class(painter: &Painter, class: Class, middle: Pos2, half: f32, ink: Color32) {
    match class {
        Class::Usual => {
            painter.circle_filled(middle, half * 0.75, ink);
        }
        Class::Workable => {
            painter.circle_stroke(middle, half * 0.7, Stroke::new(1.8, ink));
        }
        Class::NotAdvised => signal::mark(painter, middle, Level::Warning, ink),
        Class::Dangerous => signal::mark(painter, middle, Level::Danger, ink),
    }
}

/// Draws the picture of a tool, `half` being half its side.
pub fn tool(painter: &Painter, kind: ToolKind, middle: Pos2, half: f32, ink: Color32) {
    let stroke = Stroke::new((half * 0.16).max(1.4), ink);
    let at = |x: f32, y: f32| middle + vec2(x, y) * half;
    let line = |points: &[(f32, f32)]| {
        painter.add(Shape::line(points.iter().map(|(x, y)| at(*x, *y)).collect(), stroke));
    };
    match kind {
        ToolKind::Hand => {
            // A fist with one finger on a push button.
            line(&[(-0.9, 0.05), (-0.45, -0.15), (0.35, -0.15), (0.5, 0.0), (0.35, 0.15), (-0.15, 0.15)]);
            line(&[(-0.15, 0.15), (0.0, 0.35), (-0.1, 0.65), (-0.5, 0.75), (-0.9, 0.7)]);
            line(&[(0.62, -0.5), (0.62, 0.5)]);
            line(&[(0.85, -0.7), (0.85, 0.7)]);
        }
        ToolKind::Lead => {
            // Two clips and a lead with its fuse.
            line(&[(-0.95, -0.75), (-0.6, -0.35), (-0.95, -0.35)]);
            line(&[(0.95, -0.75), (0.6, -0.35), (0.95, -0.35)]);
            line(&[(-0.6, -0.35), (-0.55, 0.35), (-0.3, 0.6)]);
            line(&[(0.6, -0.35), (0.55, 0.35), (0.3, 0.6)]);
            line(&[(-0.3, 0.42), (0.3, 0.42), (0.3, 0.78), (-0.3, 0.78), (-0.3, 0.42)]);
            line(&[(-0.3, 0.6), (0.3, 0.6)]);
        }
        ToolKind::Lift => {
            // A ring tongue above its stud.
            painter.circle_stroke(at(0.0, -0.45), half * 0.28, stroke);
            line(&[(0.26, -0.55), (0.95, -0.8)]);
            line(&[(0.0, 0.15), (0.0, 0.6)]);
            line(&[(-0.5, 0.6), (0.5, 0.6)]);
            line(&[(-0.3, 0.85), (0.3, 0.85)]);
            line(&[(-0.55, 0.1), (-0.55, -0.35)]);
            line(&[(-0.72, -0.15), (-0.55, -0.38), (-0.38, -0.15)]);
        }
        ToolKind::Meter => {
            // A box with display and dial, a lead at either side.
            line(&[(-0.42, -0.95), (0.42, -0.95), (0.42, 0.7), (-0.42, 0.7), (-0.42, -0.95)]);
            line(&[(-0.22, -0.65), (0.22, -0.65), (0.22, -0.3), (-0.22, -0.3), (-0.22, -0.65)]);
            painter.circle_stroke(at(0.0, 0.2), half * 0.22, stroke);
            line(&[(0.0, 0.2), (0.12, 0.04)]);
            line(&[(-0.42, 0.5), (-0.8, 0.5), (-0.95, 0.1), (-0.95, -0.8)]);
            line(&[(0.42, 0.5), (0.8, 0.5), (0.95, 0.1), (0.95, -0.8)]);
        }
        ToolKind::Lamp => {
            // A handle with a bulb in it and a tip, its lead at the other end.
            line(&[(-0.95, 0.85), (-0.55, 0.45)]);
            painter.circle_stroke(at(-0.2, 0.12), half * 0.44, stroke);
            line(&[(-0.42, 0.1), (-0.3, -0.1), (-0.18, 0.2), (-0.05, -0.05)]);
            line(&[(0.12, -0.2), (0.9, -0.95)]);
            line(&[(0.45, 0.15), (0.75, 0.25)]);
            line(&[(0.2, 0.5), (0.4, 0.75)]);
            line(&[(-0.65, -0.25), (-0.9, -0.42)]);
        }
        ToolKind::Clamp => {
            // Two jaws about a wire, and the grip.
            line(&[(-0.12, -0.9), (-0.5, -0.7), (-0.62, -0.3), (-0.45, 0.1), (-0.2, 0.2)]);
            line(&[(0.12, -0.9), (0.5, -0.7), (0.62, -0.3), (0.45, 0.1), (0.2, 0.2)]);
            line(&[(-0.3, 0.2), (0.3, 0.2), (0.3, 0.95), (-0.3, 0.95), (-0.3, 0.2)]);
            line(&[(-0.95, -0.35), (-0.15, -0.35)]);
            line(&[(0.15, -0.35), (0.95, -0.35)]);
            painter.circle_filled(at(0.0, -0.35), half * 0.16, ink);
        }
    }
}
