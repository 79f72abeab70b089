//! The drawer with the logic table: when the clutch engages, in words and row by row, and what is lost with each
//! fuse, wire and ground.
//!
//! The row the bench stands in is marked and moves as conditions and switches do. All of it is worked out by the
//! study, for the circuit as built; what acts and faults on the bench make of a row stands in the chain.

use egui::{Align2, RichText, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::study::answer::Standing;
use crate::study::table::Table;
use crate::study::table::loss::Effect;
use crate::study::table::words::{effect, fail_safe_sentences, lost_name, meaning, named_value, sentences};

use super::super::seen::Seen;
use super::super::studies::Awaited;
use super::super::tongue::{t, titled, worded, worded_capital};
use super::super::widget::fitted::fitted;
use super::super::widget::rows;
use super::super::{ids, theme};

/// Size of a cell's letters, and the least of it.
const LETTERS: f32 = 12.5;
const LEAST_LETTERS: f32 = 9.0;
/// Height of a row.
const ROW: f32 = 22.0;
/// Most of the drawer's height that the rows take.
const SHARE: f32 = 0.42;

/// Shows the drawer.
pub fn logic_ui(ui: &mut Ui, seen: &Seen<'_>) {
    let palette = &seen.palette;
    ui.label(RichText::new(t!("logic-logic-table")).font(theme::bold(15.0)).color(palette.text));
    let table = match seen.studies.table() {
        Awaited::Working(..) => {
            ui.label(RichText::new(t!("logic-every-combination-is-being-tried")).color(palette.text));
            return;
        }
        Awaited::Known(Err(refusal)) => {
            ui.label(RichText::new(worded_capital(&refusal.told())).color(palette.text));
            return;
        }
        Awaited::Known(Ok(table)) => table,
    };
    if let Some(first) = sentences(table).first() {
        ui.label(RichText::new(worded(first)).color(palette.text));
    }
    rows_ui(ui, seen, table);
    let (built, now) = (table.rows[table.present_row(seen.bench)], seen.verdict.standing);
    if built != now && seen.eyes.is_none() {
        let words = t!("logic-as-built-and-now", built = worded(&built.said()), now = worded(&now.said()));
        ui.label(RichText::new(words).color(palette.text));
    }
    seen.room.space.list(ui, ("logic in words", [false, false]), |ui| {
        ui.set_width(ui.available_width());
        for sentence in sentences(table).into_iter().skip(1) {
            ui.label(RichText::new(worded(&sentence)).color(palette.text));
        }
        for input in &table.inputs {
            let words = format!("{}, {}", input.name, worded(&meaning(seen.bench.circuit(), input)));
            ui.label(RichText::new(words).color(palette.quiet));
        }
        losses_ui(ui, seen, table);
    });
}

fn rows_ui(ui: &mut Ui, seen: &Seen<'_>, table: &Table) {
    let palette = &seen.palette;
    let present = table.present_row(seen.bench);
    let names: Vec<&str> = table.inputs.iter().map(|input| input.name.as_str()).chain([t!("logic-clutch")]).collect();
    let columns = columns(ui.cursor().left() + 20.0, ui.available_width() - 24.0, &names, table);
    let cell = |ui: &Ui, y: f32, place: usize, text: &str, strong: bool, ink: egui::Color32| {
        let font = |size: f32| if strong { theme::bold(size) } else { theme::plain(size) };
        let room = columns[place + 1] - columns[place] - 4.0;
        let galley = fitted(ui.painter(), text, (font, (LETTERS, LEAST_LETTERS)), room, ink);
        let at = pos2(columns[place], y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, ink);
    };
    let (_, head) = ui.allocate_space(vec2(ui.available_width(), ROW));
    for (place, name) in names.iter().enumerate() {
        cell(ui, head.center().y, place, name, true, palette.text);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.5, palette.line));
    let height = (table.rows.len() as f32 * ROW + 6.0).min(ui.available_height() * SHARE);
    ui.spacing_mut().item_spacing.y = 0.0;
    let row_ui = |ui: &mut Ui, row: usize| {
        let (_, rect) = ui.allocate_space(vec2(ui.available_width(), ROW));
        let here = row == present;
        let (fill, ink) = if here { (palette.chosen, palette.on_chosen) } else { (palette.sheet, palette.text) };
        ui.painter().rect_filled(rect, 0.0, fill);
        ui.painter().rect_stroke(rect, 0.0, Stroke::new(0.5, palette.ruling), StrokeKind::Inside);
        if here {
            let mark = pos2(rect.left() + 10.0, rect.center().y);
            ui.painter().text(mark, Align2::CENTER_CENTER, "\u{25b6}", theme::plain(11.0), ink);
        }
        let values: Vec<String> = table
            .inputs
            .iter()
            .zip(table.values_of(row))
            .map(|(i, value)| worded(&named_value(&i.values[value])))
            .collect();
        let standing = table.rows[row];
        for (place, value) in values.iter().enumerate() {
            cell(ui, rect.center().y, place, value, here, ink);
        }
        cell(ui, rect.center().y, values.len(), &worded(&standing.said()), here || standing == Standing::Engaged, ink);
        let response = ui.interact(rect, ids::table_row(row), Sense::HOVER);
        let said: Vec<String> = names.iter().zip(&values).map(|(name, value)| format!("{name} {value}")).collect();
        let now = if here { t!("logic-the-present-row") } else { t!("logic-row") };
        let label = format!("{now}{}: {}", said.join(", "), &worded(&standing.said()));
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &label));
    };
    rows::rows_ui(ui, seen.room.space.is_low, ("rows", true), (ROW, table.rows.len(), height), row_ui);
    ui.spacing_mut().item_spacing.y = 5.0;
    ui.separator();
}

/// Where each column begins, and where the last ends: as wide as their words want, in proportion.
fn columns(left: f32, width: f32, names: &[&str], table: &Table) -> Vec<f32> {
    let letters =
        |words: &mut dyn Iterator<Item = String>| words.map(|w| w.chars().count()).max().unwrap_or(1) as f32 + 2.0;
    let mut wants: Vec<f32> = table
        .inputs
        .iter()
        .map(|input| {
            letters(&mut input.values.iter().map(|value| worded(&named_value(value))).chain([input.name.clone()]))
        })
        .collect();
    wants.push(letters(
        &mut table.rows.iter().map(|standing| worded(&standing.said())).chain(names.last().map(ToString::to_string)),
    ));
    let all: f32 = wants.iter().sum();
    let mut at = left;
    std::iter::once(left)
        .chain(wants.iter().map(|want| {
            at += width * want / all;
            at
        }))
        .collect()
}

/// What each loss comes to, those that come to the same together, and how fail-safe that is.
fn losses_ui(ui: &mut Ui, seen: &Seen<'_>, table: &Table) {
    if table.losses.is_empty() {
        return;
    }
    let palette = &seen.palette;
    let heading = |ui: &mut Ui, text: &str| {
        ui.add_space(4.0);
        ui.label(RichText::new(text).font(theme::bold(13.5)).color(palette.text));
    };
    heading(ui, t!("logic-if-it-is-lost"));
    for kind in Effect::ALL {
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for loss in table.losses.iter().filter(|loss| loss.effect == kind) {
            let words = worded(&effect(loss));
            match groups.iter_mut().find(|(known, _)| *known == words) {
                Some((_, names)) => names.push(worded(&lost_name(loss))),
                None => groups.push((words, vec![worded(&lost_name(loss))])),
            }
        }
        for (words, names) in groups {
            ui.label(RichText::new(titled(&words, &names.join(", "))).color(palette.text));
        }
    }
    heading(ui, t!("logic-fail-safe"));
    for sentence in fail_safe_sentences(seen.bench.circuit(), table) {
        ui.label(RichText::new(worded(&sentence)).color(palette.text));
    }
}
