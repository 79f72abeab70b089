//! What is folded beside the drawing in a narrow window: a strip with a plain word for each panel.
//!
//! A press unfolds the panel and folds the other, a second press folds it again. At the head of the conditions' strip
//! stands the gravest signal word, so that folding hides no hazard; a press of it unfolds what is dangerous.

use egui::epaint::TextShape;
use egui::{Color32, Context, Frame, Panel, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::space::{Beside, Fold};
use super::super::tongue::t;
use super::super::widget::target;
use super::super::{ids, theme, words};
use super::found;

/// Least width of a strip, and what of its width is not pressed.
const WIDTH: f32 = 30.0;
const EDGES: f32 = 6.0;

/// Width of a strip.
pub fn width(ctx: &Context) -> f32 {
    WIDTH.max(target(ctx) + EDGES)
}

/// Shows the strips: the conditions' at the right, the drawer's at the left where one is pulled out.
pub fn strips_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let frame = Frame::new().fill(seen.palette.ground).inner_margin(2);
    let width = width(ui.ctx());
    let right = Panel::right("strip of conditions").resizable(false).exact_size(width).frame(frame);
    right.show(ui, |ui| strip_ui(ui, seen, (Beside::Conditions, t!("strip-conditions")), commands));
    let Some(drawer) = seen.room.drawer else { return };
    let left = Panel::left("strip of the drawer").resizable(false).exact_size(width).frame(frame);
    left.show(ui, |ui| strip_ui(ui, seen, (Beside::Drawer, drawer.word()), commands));
}

fn strip_ui(ui: &mut Ui, seen: &Seen<'_>, (beside, word): (Beside, &str), commands: &mut Commands) {
    let palette = &seen.palette;
    let (_, rect) = ui.allocate_space(ui.available_size());
    let unfolded = &seen.room.unfolded;
    let grave = found::levels(seen).min().filter(|_| beside == Beside::Conditions);
    let is_out = if beside == Beside::Drawer { unfolded.beside == Some(beside) } else { unfolded.has_conditions() };
    // Where not all of the panel is in sight at once, each of two words brings its own into it.
    let is_split = grave.is_some() && seen.room.space.is_low;
    let is_shown = |of: Beside| if is_split { unfolded.beside == Some(of) } else { is_out };
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let (fill, ink) = if is_out { (palette.chosen, palette.on_chosen) } else { (palette.raised, palette.text) };
    painter.rect_filled(rect, 3.0, fill);
    painter.rect_stroke(rect, 3.0, Stroke::new(1.5, palette.line), StrokeKind::Inside);
    // Read from top to bottom, the head turned to the right.
    let turned = |text: &str, top: f32, ink: Color32, room: f32| {
        let full = palette.letters(theme::BODY);
        let set = |size: f32| painter.layout_no_wrap(text.to_owned(), theme::bold(size), ink);
        let galley = set(full);
        let galley = if galley.size().x > room { set(full * room.max(1.0) / galley.size().x) } else { galley };
        let at = pos2(rect.center().x + galley.size().y / 2.0, top);
        painter.add(Shape::Text(TextShape::new(at, galley, ink).with_angle(std::f32::consts::FRAC_PI_2)));
    };
    let (mut top, mut rest) = (rect.top() + 8.0, rect);
    if let Some(level) = grave {
        let (fill, ink) = palette.signal(level);
        let room = (rect.height() * 0.5).min(80.0);
        let plate = Rect::from_min_size(rect.min + vec2(2.0, 2.0), vec2(rect.width() - 4.0, room));
        painter.rect_filled(plate, 2.0, fill);
        turned(words::signal(level), plate.top() + 6.0, ink, room - 12.0);
        top = plate.bottom() + 6.0;
        rest.min.y = plate.bottom();
        let (at, out) = (rect.with_max_y(plate.bottom()), is_shown(Beside::Hazards));
        press_ui(ui, seen, (Beside::Hazards, &found::counted(seen)), (at, out), commands);
    }
    turned(word, top, ink, rect.bottom() - top - 4.0);
    press_ui(ui, seen, (beside, word), (rest, is_shown(beside)), commands);
}

/// What is pressed of a strip.
fn press_ui(
    ui: &Ui,
    seen: &Seen<'_>,
    (beside, word): (Beside, &str),
    (rect, out): (Rect, bool),
    commands: &mut Commands,
) {
    let response = ui.interact(rect, ids::strip(beside), Sense::click());
    let name = if out { t!("strip-fold", word) } else { t!("strip-unfold", word) };
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, out, &name));
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        ui.painter().rect_stroke(rect, 3.0, Stroke::new(weight, seen.palette.focus), StrokeKind::Inside);
    }
    if response.on_hover_text(name).clicked() {
        // What is out may be so in the other order.
        let what = if out { seen.room.unfolded.beside.unwrap_or(beside) } else { beside };
        commands.push(Command::Fold(Fold::Beside(what), !out));
    }
}
