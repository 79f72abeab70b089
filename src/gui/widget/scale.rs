//! A condition's scale: a ruler with the value on it, and above it the set and reset point of every switch that
//! feels it, joined by the band between, so that hysteresis is seen.
//!
//! Yields what a person did: tried a value while dragging, or let go of one. Arrow keys step, Page Up and Page Down
//! stride, Home and End go to the ends; a screen reader may step or set it.

use egui::accesskit::{Action, ActionData};
use egui::{Align2, EventFilter, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::super::condition::{Mark, Reach, number};
use super::super::shortcuts::{Asked, presses};
use super::super::theme::{self, Palette};
use super::super::tongue::t;
use super::target;

/// Height of one row of marks.
const ROW: f32 = 17.0;
/// Height of ruler, handle and numbers.
const RULER: f32 = 29.0;
/// Room at both ends, for half a number.
const SIDE: f32 = 14.0;

/// What a scale shows.
#[derive(Clone, Copy, Debug)]
pub struct Scale<'a> {
    /// What it is the scale of.
    pub title: &'a str,
    /// The unit's symbol.
    pub unit: &'a str,
    /// How far it goes.
    pub reach: Reach,
    /// The value now.
    pub value: f64,
    /// Switches that feel it.
    pub marks: &'a [Mark],
}

/// What was done to a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moved {
    /// Nothing.
    Not,
    /// It is being dragged and stands here for now.
    Dragging(f64),
    /// It was put here.
    Put(f64),
}

/// Shows a scale as wide as there is room.
pub fn scale_ui(ui: &mut Ui, id: egui::Id, scale: &Scale<'_>, palette: &Palette) -> Moved {
    let rows = rows(scale);
    let row_count = rows.iter().max().map_or(0, |most| most + 1);
    let height = (row_count as f32 * ROW + RULER).max(target(ui.ctx()));
    let size = vec2(ui.available_width(), height);
    let (_, rect) = ui.allocate_space(size);
    let response = ui.interact(rect, id, Sense::click_and_drag());
    announce(ui, &response, scale);
    let rail = Rail { left: rect.left() + SIDE, right: rect.right() - SIDE, reach: scale.reach };
    let moved = moved(ui, &response, scale, &rail);
    if ui.is_rect_visible(rect) {
        paint(ui, (rect, row_count), &rail, scale, &rows, &response, palette);
    }
    moved
}

struct Rail {
    left: f32,
    right: f32,
    reach: Reach,
}

impl Rail {
    fn x(&self, value: f64) -> f32 {
        let share = (value - self.reach.from) / (self.reach.to - self.reach.from);
        self.left + (self.right - self.left) * share.clamp(0.0, 1.0) as f32
    }

    fn value(&self, x: f32) -> f64 {
        let share = f64::from((x - self.left) / (self.right - self.left)).clamp(0.0, 1.0);
        let raw = self.reach.from + (self.reach.to - self.reach.from) * share;
        ((raw / self.reach.step).round() * self.reach.step).clamp(self.reach.from, self.reach.to)
    }
}

fn announce(ui: &Ui, response: &Response, scale: &Scale<'_>) {
    let Scale { title, unit, reach, value, marks } = scale;
    response.widget_info(|| WidgetInfo::slider(true, *value, *title));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_min_numeric_value(reach.from);
        node.set_max_numeric_value(reach.to);
        node.set_numeric_value_step(reach.step);
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
        let points: Vec<String> = marks
            .iter()
            .map(|m| {
                let state = if m.acted { t!("scale-has-acted") } else { t!("scale-has-not-acted") };
                t!("scale-acts-at-returns-at", tag = m.tag, acts = number(m.acts), resets = number(m.resets), state)
            })
            .collect();
        node.set_description(format!("{} {unit}. {}", number(*value), points.join("; ")));
    });
}

fn moved(ui: &Ui, response: &Response, scale: &Scale<'_>, rail: &Rail) -> Moved {
    let Reach { from, to, step, stride, .. } = scale.reach;
    let pointed = response.interact_pointer_pos().map(|at| rail.value(at.x));
    if response.drag_stopped() || response.clicked_by(egui::PointerButton::Primary) {
        response.request_focus();
        return pointed.map_or(Moved::Not, Moved::Put);
    }
    if response.dragged() {
        // Held still it has not moved: the window may rest.
        let moved = pointed.filter(|to| (to - scale.value).abs() > step * 0.01);
        return moved.map_or(Moved::Not, Moved::Dragging);
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    }
    let focused = response.has_focus();
    let value = ui.input_mut(|input| {
        let asked = input.accesskit_action_requests(response.id, Action::SetValue).filter_map(|r| match r.data {
            Some(ActionData::NumericValue(value)) => Some(value),
            _ => None,
        });
        if let Some(value) = asked.last() {
            return value;
        }
        let spoken = input.num_accesskit_action_requests(response.id, Action::Increment) as f64
            - input.num_accesskit_action_requests(response.id, Action::Decrement) as f64;
        let mut value = scale.value + spoken * step;
        if focused {
            let mut pressed = |asked| presses(input, asked) as f64;
            value += (pressed(Asked::Step(1)) - pressed(Asked::Step(-1))) * step;
            value += (pressed(Asked::Stride(1)) - pressed(Asked::Stride(-1))) * stride;
            if pressed(Asked::End(-1)) > 0.0 {
                value = from;
            }
            if pressed(Asked::End(1)) > 0.0 {
                value = to;
            }
        }
        value
    });
    if value == scale.value { Moved::Not } else { Moved::Put(value.clamp(from.min(scale.value), to.max(scale.value))) }
}

/// Which row each mark goes in, so that bands with their tags do not lie over each other.
fn rows(scale: &Scale<'_>) -> Vec<usize> {
    let span = scale.reach.to - scale.reach.from;
    let room = span * 0.22;
    let mut ends: Vec<f64> = Vec::new();
    let mut order: Vec<usize> = (0..scale.marks.len()).collect();
    let left = |m: &Mark| m.acts.min(m.resets) - room;
    order.sort_by(|a, b| left(&scale.marks[*a]).total_cmp(&left(&scale.marks[*b])));
    let mut rows = vec![0; scale.marks.len()];
    for i in order {
        let mark = &scale.marks[i];
        let free = ends.iter().position(|end| *end <= left(mark));
        let end = mark.acts.max(mark.resets);
        match free {
            Some(row) => {
                ends[row] = end;
                rows[i] = row;
            }
            None => {
                rows[i] = ends.len();
                ends.push(end);
            }
        }
    }
    rows
}

fn paint(
    ui: &Ui,
    (rect, row_count): (Rect, usize),
    rail: &Rail,
    scale: &Scale<'_>,
    rows: &[usize],
    response: &Response,
    palette: &Palette,
) {
    let painter = ui.painter();
    // In the middle of what is pressed, which may be higher.
    let marks = row_count as f32 * ROW;
    let top = rect.center().y - (marks + RULER) / 2.0;
    let line_y = top + marks + 9.0;
    let thin = Stroke::new(1.0, palette.line);
    painter.hline(rail.left..=rail.right, line_y, Stroke::new(1.5, palette.line));
    let tick = scale.reach.tick;
    let first = (scale.reach.from / tick).ceil() * tick;
    let ticks = (0..).map(|i| first + f64::from(i) * tick).take_while(|t| *t <= scale.reach.to + 1e-9);
    for value in ticks {
        let x = rail.x(value);
        painter.vline(x, line_y..=line_y + 5.0, thin);
        painter.text(pos2(x, line_y + 6.0), Align2::CENTER_TOP, number(value), theme::plain(10.0), palette.quiet);
        for part in 1..4 {
            let between = value + tick * f64::from(part) / 4.0;
            if between < scale.reach.to {
                painter.vline(rail.x(between), line_y..=line_y + 2.5, thin);
            }
        }
    }
    let places = scale.marks.iter().zip(rows).map(|(mark, row)| (mark, top + *row as f32 * ROW + ROW / 2.0));
    drops(painter, rail, places.clone(), line_y, palette);
    let seen = painter.clip_rect().y_range().expand(ROW);
    for (mark, y) in places.filter(|(_, y)| seen.contains(*y)) {
        band(painter, rail, mark, y, palette);
    }
    let x = rail.x(scale.value);
    painter.vline(x, top..=line_y, Stroke::new(1.5, palette.text));
    let lozenge = [vec2(0.0, -8.0), vec2(7.0, 0.0), vec2(0.0, 8.0), vec2(-7.0, 0.0)].map(|v| pos2(x, line_y) + v);
    painter.add(Shape::convex_polygon(lozenge.to_vec(), palette.chosen, Stroke::new(1.0, palette.sheet)));
    if response.has_focus() || response.hovered() || response.dragged() {
        let weight = if response.has_focus() { 2.0 } else { 1.0 };
        painter.rect_stroke(rect, 2.0, Stroke::new(weight, palette.focus), StrokeKind::Inside);
    }
}

/// Dotted lines from set points down to the scale, one for all that stand above each other, as far as they are in sight:
/// a hundred switches on one scale have thousands of dots.
fn drops<'a>(
    painter: &egui::Painter,
    rail: &Rail,
    places: impl Iterator<Item = (&'a Mark, f32)>,
    line_y: f32,
    palette: &Palette,
) {
    let mut tops = std::collections::BTreeMap::<i64, (f32, f32)>::new();
    for (mark, y) in places {
        let x = rail.x(mark.acts);
        let top = tops.entry((x * 2.0).round() as i64).or_insert((x, y));
        top.1 = top.1.min(y);
    }
    let seen = painter.clip_rect().y_range();
    for (x, y) in tops.into_values() {
        let (from, to) = (y.max(seen.min), line_y.min(seen.max));
        if from < to {
            let drop = Stroke::new(0.8, palette.line);
            painter.extend(Shape::dashed_line(&[pos2(x, from), pos2(x, to)], drop, 2.0, 2.0));
        }
    }
}

/// Set point as a bar with an arrowhead the way it acts, reset point as an open ring, the band between them.
fn band(painter: &egui::Painter, rail: &Rail, mark: &Mark, y: f32, palette: &Palette) {
    let (set, reset) = (rail.x(mark.acts), rail.x(mark.resets));
    let between = Rect::from_two_pos(pos2(set, y - 3.0), pos2(reset, y + 3.0));
    let fill = if mark.acted { palette.text } else { palette.band };
    painter.rect_filled(between, 0.0, fill);
    painter.rect_stroke(between, 0.0, Stroke::new(1.0, palette.line), StrokeKind::Middle);
    painter.vline(set, y - 6.0..=y + 6.0, Stroke::new(2.0, palette.text));
    let way = if mark.acts >= mark.resets { 1.0 } else { -1.0 };
    let head: Vec<Pos2> = [vec2(0.0, -5.0), vec2(6.0 * way, 0.0), vec2(0.0, 5.0)].map(|v| pos2(set, y) + v).to_vec();
    painter.add(Shape::convex_polygon(head, palette.text, Stroke::NONE));
    painter.circle(pos2(reset, y), 3.5, palette.ground, Stroke::new(1.5, palette.text));
    let words = if mark.acted { t!("scale-acted", tag = mark.tag) } else { mark.tag.clone() };
    let (at, align) = if way > 0.0 {
        (pos2(reset - 7.0, y), Align2::RIGHT_CENTER)
    } else {
        (pos2(reset + 7.0, y), Align2::LEFT_CENTER)
    };
    painter.text(at, align, words, theme::bold(11.0), palette.text);
}
