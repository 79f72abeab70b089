//! What lies on the corner of the drawing: the two pressure gauges and the buttons that move the sheet.
//!
//! Small and out of the way; the gauges are read whatever else goes on, and every button has a key as well.

use egui::{
    Align, Align2, Area, Frame, Label, Layout, Order, Rect, RichText, Shape, Stroke, Ui, UiBuilder, Vec2, vec2,
};

use crate::circuit::Telling;

use super::super::board::view::Corner;
use super::super::command::{Command, Commands, Move};
use super::super::condition::Condition;
use super::super::seen::Seen;
use super::super::tongue::t;
use super::super::widget::gauge::{self, Gauge};
use super::super::widget::{both_ways, grown};
use super::super::{ids, theme};

/// One press of a zoom button.
pub const ZOOM_STEP: f32 = 1.25;

/// Height of a button.
const HEIGHT: f32 = 32.0;

/// Width of the board from which words stand on the buttons in full beside the gauges.
const ROOMY: f32 = 490.0;

/// Shows gauges and buttons over `board`.
pub fn overlay_ui(ui: &mut Ui, seen: &Seen<'_>, board: Rect, corner: Corner, commands: &mut Commands) {
    let room =
        Rect::from_min_max(board.right_bottom() - corner.room(grown(ui.ctx())), board.right_bottom() - vec2(8.0, 4.0));
    // A sheet that is seen nearer runs on below them: what they take of it is covered, and no more.
    let ground = ui.painter().add(Shape::Noop);
    let mut covered = Rect::NOTHING;
    let mut put = |ui: &mut Ui, rect: Rect, layout: Layout, show: &mut dyn FnMut(&mut Ui)| {
        let shown = ui.scope_builder(UiBuilder::new().max_rect(rect).layout(layout), |ui| {
            show(ui);
            ui.min_rect()
        });
        covered = covered.union(shown.inner);
    };
    let row = Layout::right_to_left(Align::Center);
    let up = Layout::bottom_up(Align::Center);
    match corner {
        Corner::Bare => {}
        Corner::Buttons => put(ui, room, row, &mut |ui| buttons_ui(ui, seen, true, commands)),
        Corner::Row => put(ui, room, row, &mut |ui| {
            buttons_ui(ui, seen, board.width() < ROOMY, commands);
            ui.add_space(4.0);
            gauges_ui(ui, seen, gauge::SIZE);
        }),
        Corner::Block => {
            let (above, below) = room.split_top_bottom_at_fraction(0.52);
            put(ui, above, row, &mut |ui| gauges_ui(ui, seen, gauge::SIZE));
            put(ui, below, row, &mut |ui| buttons_ui(ui, seen, false, commands));
        }
        Corner::Stack => {
            let (above, below) = room.split_top_bottom_at_y(room.bottom() - HEIGHT - grown(ui.ctx()) * 0.5);
            let above = above.with_max_y(above.bottom() - 8.0);
            put(ui, above, Layout::bottom_up(Align::Max), &mut |ui| gauges_ui(ui, seen, gauge::SIZE));
            put(ui, below, row, &mut |ui| buttons_ui(ui, seen, true, commands));
        }
        Corner::Column => {
            let (buttons, gauges) = room.split_left_right_at_x(room.right() - gauge::SIZE.x);
            put(ui, gauges, up, &mut |ui| gauges_ui(ui, seen, gauge::SIZE));
            let buttons = buttons.with_max_x(buttons.right() - 6.0);
            put(ui, buttons, up, &mut |ui| buttons_ui(ui, seen, false, commands));
        }
        Corner::Gauges => put(ui, room, up, &mut |ui| gauges_ui(ui, seen, gauge::SIZE)),
        Corner::Lines => put(ui, room, up, &mut |ui| gauges_ui(ui, seen, gauge::LINE)),
        Corner::Words => put(ui, room, row, &mut |ui| gauges_ui(ui, seen, gauge::LINE)),
    }
    if covered.is_positive() {
        // Of a sheet that is seen whole nothing: it keeps out of their room, and its frame's lower line was covered.
        let covered = covered.expand(4.0).intersect(Rect::from_min_max(room.min, board.max));
        ui.painter().set(ground, Shape::rect_filled(covered, 0.0, seen.palette.ground));
    }
}

/// Says what letting go of a file over the window would do.
pub fn hovering_ui(ui: &Ui, seen: &Seen<'_>, board: Rect) {
    if ui.input(|input| input.raw.hovered_files.is_empty()) {
        return;
    }
    let frame = Frame::new().fill(seen.palette.ground).stroke(Stroke::new(3.0, seen.palette.focus)).inner_margin(14);
    let words = RichText::new(t!("overlay-let-go-the-circuit-is")).font(theme::bold(18.0)).color(seen.palette.text);
    let area = Area::new(ids::hovering()).order(Order::Tooltip).pivot(Align2::CENTER_CENTER).fixed_pos(board.center());
    area.show(ui.ctx(), |ui| frame.show(ui, |ui| ui.add(Label::new(words).extend())));
}

/// What moves the sheet, from right to left, or upwards.
pub(super) fn buttons_ui(ui: &mut Ui, seen: &Seen<'_>, is_slim: bool, commands: &mut Commands) {
    let is_column = ui.layout().is_vertical();
    if is_slim {
        // Its word is longer in other languages, and the sheet's edge is near.
        ui.spacing_mut().item_spacing.x = 4.0;
    }
    let mut buttons = [
        ("+", t!("overlay-zoom-in"), t!("overlay-nearer"), Move::Zoom(ZOOM_STEP)),
        (
            if is_column || is_slim { t!("overlay-all") } else { t!("overlay-whole-sheet") },
            t!("overlay-whole-sheet"),
            t!("overlay-see-all-of-it-f"),
            Move::Fit,
        ),
        ("\u{2212}", t!("overlay-zoom-out"), t!("overlay-further"), Move::Zoom(1.0 / ZOOM_STEP)),
    ];
    if is_column {
        buttons.reverse();
    }
    // Above a drawing they are no higher than their line.
    let least = both_ways(ui.ctx()).max(vec2(36.0, HEIGHT.min(ui.max_rect().height())));
    for (text, name, hint, asked) in buttons {
        let button = ui.add(egui::Button::new(text).min_size(least));
        if button.on_hover_text(hint).accessible_name(seen.told(name)).clicked() {
            commands.push(Command::View(asked));
        }
    }
}

/// From right to left, or upwards, each in so much room.
fn gauges_ui(ui: &mut Ui, seen: &Seen<'_>, size: Vec2) {
    let units = seen.look.units;
    let shown = |kpa: f64| Condition::Air.shown(kpa, units);
    let full = Condition::Air.reach(units, &[]).to;
    let (least, unit) = (shown(seen.bench.circuit().minimum_kpa()), Condition::Air.unit(units));
    // In a hunt only the gauge in the dash is there; one in the hose has to be fitted.
    let there = |(place, ..): &(usize, &str, &str)| *place == 0 || seen.eyes.is_none();
    let both = [
        (1, t!("overlay-clutch"), t!("overlay-clutch-in-short")),
        (0, t!("overlay-supply"), t!("overlay-supply-in-short")),
    ];
    for (place, name, short) in both.into_iter().filter(there) {
        let (_, rect) = ui.allocate_space(size);
        // While time passes both pressures are what the flow figures make of them.
        let example = seen.clock.is_some() && seen.bench.circuit().rests_on_example(Telling::Air);
        let gauge = Gauge { name, short, value: seen.gauges[place].map(shown), full, least, unit, example };
        gauge::gauge_ui(ui, ids::gauge(seen.number, place), rect, &gauge, seen);
    }
}
