//! The conditions at the side: the key, a scale for everything the circuit feels, and the lock-up bolts.
//!
//! A dragged scale shows what the circuit would do on the way and makes one change when it is let go. What nothing
//! in the circuit feels is folded away.

use egui::{Align, Layout, RichText, TextEdit, Ui, vec2};

use crate::bench::{Action, Setting};
use crate::circuit::Telling;
use crate::study::wording::{self, BOLTED_UP, lock_up_bolts};

use super::super::command::{Command, Commands};
use super::super::condition::{Condition, Mark, number, typed};
use super::super::seen::Seen;
use super::super::tongue::{t, worded};
use super::super::widget::scale::{Moved, Scale, scale_ui};
use super::super::widget::target;
use super::super::{ids, theme};

/// What is being typed.
#[derive(Clone, Debug, Default)]
pub struct ConditionsState {
    typing: Option<(Condition, String)>,
}

/// Shows the conditions.
pub fn conditions_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut ConditionsState, commands: &mut Commands) {
    key_ui(ui, seen, commands);
    seen.room.space.list(ui, ("conditions", [false, true]), |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        // The scroll bar would lie over the units.
        ui.set_max_width(ui.available_width() - BAR);
        let marked = Condition::ALL.map(|c| (c, c.marks(seen.bench, seen.look.units)));
        let always = |c: Condition| matches!(c, Condition::Coolant | Condition::Air | Condition::Engine);
        for (condition, marks) in marked.iter().filter(|(c, marks)| always(*c) || !marks.is_empty()) {
            condition_ui(ui, seen, *condition, marks, state, commands);
        }
        bolts_ui(ui, seen, commands);
        let rest: Vec<_> = marked.iter().filter(|(c, marks)| !always(*c) && marks.is_empty()).collect();
        if !rest.is_empty() {
            let heading = RichText::new(t!("conditions-not-felt-by-any-switch")).color(seen.palette.quiet);
            egui::CollapsingHeader::new(heading).id_salt("other conditions").show(ui, |ui| {
                for (condition, marks) in rest {
                    condition_ui(ui, seen, *condition, marks, state, commands);
                }
            });
        }
    });
}

/// Width of a scroll bar that is not pointed at, with a gap.
const BAR: f32 = 4.0;
/// Room for the lock barrel before its word.
const BARREL: f32 = 31.0;

fn key_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    ui.horizontal(|ui| {
        ui.label(RichText::new(t!("conditions-conditions")).font(theme::bold(15.0)).color(seen.palette.text));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let on = seen.bench.conditions().key_on;
            let set = |word: &str| ui.painter().layout_no_wrap(word.to_owned(), theme::bold(13.0), seen.palette.text);
            let words = [t!("conditions-key-on"), t!("conditions-key-off")];
            // As wide for both, so that nothing moves when it is turned.
            let widest = words.map(|word| set(word).size().x).into_iter().fold(0.0, f32::max);
            let (_, rect) = ui.allocate_space(vec2(BARREL + widest + 10.0, target(ui.ctx()).max(28.0)));
            let response = ui.interact(rect, ids::key(), egui::Sense::click());
            response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Switch, true, on, t!("conditions-key")));
            let painter = ui.painter();
            // A lock barrel with its slot upright when off, turned when on.
            let (fill, ink) = if on {
                (seen.palette.drives, seen.palette.on_drives)
            } else {
                (seen.palette.sheet, seen.palette.text)
            };
            painter.rect_filled(rect, 4.0, fill);
            painter.rect_stroke(rect, 4.0, egui::Stroke::new(1.5, seen.palette.line), egui::StrokeKind::Inside);
            let barrel = egui::pos2(rect.left() + 16.0, rect.center().y);
            painter.circle_stroke(barrel, 8.0, egui::Stroke::new(1.6, ink));
            let slot = if on { vec2(5.0, 0.0) } else { vec2(0.0, 5.0) };
            painter.line_segment([barrel - slot, barrel + slot], egui::Stroke::new(2.4, ink));
            let at = egui::pos2(rect.left() + BARREL, rect.center().y);
            painter.text(at, egui::Align2::LEFT_CENTER, words[usize::from(!on)], theme::bold(13.0), ink);
            if response.has_focus() || response.hovered() {
                let ring = egui::Stroke::new(2.0, seen.palette.focus);
                painter.rect_stroke(rect.expand(1.0), 5.0, ring, egui::StrokeKind::Outside);
            }
            if response.clicked() {
                commands.push(Command::Act(Action::Set(Setting::Key(!on))));
            }
        });
    });
}

/// Lock-up bolts in the clutch or not: no scale, but a condition like the others.
fn bolts_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    if seen.bench.circuit().clutch_valve().is_none() {
        return;
    }
    let mut fitted = seen.bench.conditions().bolted;
    let words = RichText::new(t!("conditions-lock-up-bolts-fitted")).color(seen.palette.text);
    let hint = format!("{} {}", worded(&lock_up_bolts()), worded(&BOLTED_UP));
    if ui.checkbox(&mut fitted, words).on_hover_text(hint).clicked() {
        commands.push(Command::Act(Action::Set(Setting::Bolts(fitted))));
    }
}

fn condition_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    condition: Condition,
    marks: &[Mark],
    state: &mut ConditionsState,
    commands: &mut Commands,
) {
    let units = seen.look.units;
    let value = condition.now(seen.bench.conditions(), units);
    let unit = condition.unit(units);
    // While time passes it goes where the engine's figures take it.
    let rests = match condition {
        Condition::Coolant => Some(Telling::Coolant),
        Condition::Oil => Some(Telling::Oil),
        Condition::Refrigerant => Some(Telling::Refrigerant),
        Condition::Air => Some(Telling::Air),
        Condition::Intake | Condition::Engine | Condition::Ambient => None,
    };
    let rests = rests.filter(|_| seen.clock.is_some());
    let marked_unit =
        rests.map_or_else(|| unit.to_owned(), |shown| worded(&wording::marked(seen.bench.circuit(), shown, unit)));
    // While air flows less of it arrives at the valve, where the gauge sits: the scale is the tank's.
    let is_tank = condition == Condition::Air && seen.clock.is_some();
    let title = if is_tank { t!("condition-air-tank") } else { condition.title() };
    ui.horizontal(|ui| {
        ui.label(RichText::new(title).color(seen.palette.text));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let label = ui.label(RichText::new(&marked_unit).color(seen.palette.quiet));
            if marked_unit != unit {
                label.on_hover_text(worded(&wording::EXAMPLE_NOTE));
            }
            field_ui(ui, seen, condition, value, state, commands);
        });
    });
    let scale = Scale { title: condition.title(), unit, reach: condition.reach(units, marks), value, marks };
    match scale_ui(ui, ids::scale(condition), &scale, &seen.palette) {
        Moved::Not => {}
        Moved::Dragging(to) => commands.push(Command::Try(condition.setting(to, units))),
        Moved::Put(to) => commands.push(Command::LetGo(condition.setting(to, units))),
    }
    ui.add_space(1.0);
}

fn field_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    condition: Condition,
    value: f64,
    state: &mut ConditionsState,
    commands: &mut Commands,
) {
    let mut text = match &state.typing {
        Some((of, text)) if *of == condition => text.clone(),
        _ => number(value),
    };
    let edit = TextEdit::singleline(&mut text).id(ids::value_field(condition)).desired_width(52.0);
    let response = ui
        .add(edit.align(egui::Align2::RIGHT_CENTER))
        .accessible_name(t!("conditions-value", title = condition.title()));
    if response.changed() {
        state.typing = Some((condition, text));
    }
    if !response.lost_focus() {
        return;
    }
    let Some((_, text)) = state.typing.take().filter(|(of, _)| *of == condition) else { return };
    if ui.input(|i| i.key_pressed(egui::Key::Escape)) {
        return;
    }
    // The bench has the last word on what a condition can be.
    let known = |to: f64| condition.setting(to, seen.look.units).to_string().parse::<Setting>().ok();
    if let Some(setting) = typed(condition, &text, seen.look.units).and_then(known) {
        commands.push(Command::Act(Action::Set(setting)));
        return;
    }
    let (title, unit) = (condition.title(), condition.unit(seen.look.units));
    let words = t!("conditions-is-not-a-value-for", text, title, unit, like = number(value));
    commands.push(Command::Say(words));
}
