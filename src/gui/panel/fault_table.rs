//! The drawer with the fault table: every single fault, where it shows, and what looks like it.
//!
//! Long, so it is narrowed: by words, by where a fault first shows, to look-alikes, to what is looked at in the drawing.
//! Of a fault that is chosen stands below how it shows, why others look like it, and what tells it from the one chosen
//! before. All of it is the study's, for the circuit as built.

use egui::{Button, ComboBox, RichText, ScrollArea, Sense, TextEdit, Ui, vec2};

use crate::bench::Action;
use crate::drawing::standing::place_of_fault;
use crate::study::faults::words::{reason, test, when};
use crate::study::faults::{Shows, apart, why};

use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::studies::{Awaited, FaultList};
use super::super::tongue::{measured, spoken, t, worded, worded_capital};
use super::super::widget::choice as widget;
use super::super::widget::rows::rows_ui;
use super::super::{ids, theme};
use crate::words::{Language, Measure};

/// Most tests told that tell two faults apart.
const MOST_TESTS: usize = 4;
/// Most names told of look-alikes.
const MOST_NAMES: usize = 6;
/// Height of what stands of a chosen fault.
const CHOSEN: f32 = 196.0;
/// Least height of the list beside that.
const LEAST_LIST: f32 = 140.0;

/// Where a fault first shows, as a filter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Showing {
    #[default]
    Anywhere,
    Standing,
    Asked,
    Nowhere,
}

impl Showing {
    const ALL: [Self; 4] = [Self::Anywhere, Self::Standing, Self::Asked, Self::Nowhere];

    fn words(self) -> &'static str {
        match self {
            Self::Anywhere => t!("fault-table-all-faults"),
            Self::Standing => t!("fault-table-shows-as-it-stands"),
            Self::Asked => t!("fault-table-shows-once-something-asks"),
            Self::Nowhere => t!("fault-table-shows-nowhere"),
        }
    }

    fn fits(self, shows: Shows) -> bool {
        match (self, shows) {
            (Self::Anywhere, _)
            | (Self::Standing, Shows::Standing)
            | (Self::Asked, Shows::Asked(_))
            | (Self::Nowhere, Shows::Nowhere) => true,
            (Self::Standing | Self::Asked | Self::Nowhere, _) => false,
        }
    }
}

/// The language, the circuit, the fault chosen and the one before: what a telling is of.
type ToldOf = ((Language, Measure), String, Option<usize>, Option<usize>);

/// What the drawer keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct FaultTableState {
    search: String,
    showing: Showing,
    alike: bool,
    here: bool,
    chosen: Option<usize>,
    before: Option<usize>,
    /// What stands of the chosen fault, and of which it was worked out.
    told: Option<(ToldOf, Vec<String>)>,
}

/// Shows the drawer.
pub fn fault_table_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut FaultTableState, commands: &mut Commands) {
    ui.label(RichText::new(t!("fault-table-fault-table")).font(theme::bold(15.0)).color(seen.palette.text));
    let list = match seen.studies.faults() {
        Awaited::Working(done, all) => {
            let stopped = seen.studies.faults_stopped();
            let what = t!("fault-table-every-fault-is-planted-by");
            if let Some(stop) = widget::working_ui(ui, seen, what, (done, all), stopped) {
                commands.push(Command::StopFaults(stop));
            }
            return;
        }
        Awaited::Known(Err(refusal)) => {
            ui.label(RichText::new(worded_capital(&refusal.told())).color(seen.palette.text));
            return;
        }
        Awaited::Known(Ok(list)) => list,
    };
    filters_ui(ui, seen, state);
    let rows = rows(seen, list, state);
    let groups = list.table.groups.len();
    let words = t!("fault-table-of-faults-groups-can-be", rows = rows.len(), names = list.names.len(), groups);
    ui.label(RichText::new(words).font(theme::plain(11.5)).color(seen.palette.quiet));
    let space = seen.room.space;
    if !space.is_low && ui.available_height() < CHOSEN + LEAST_LIST {
        // Too short for a list of its own beside what there is to say of a fault.
        ScrollArea::vertical().id_salt("faults and what is said").auto_shrink([false, false]).show(ui, |ui| {
            list_ui(ui, seen, list, (&rows, true), state, commands);
        });
    } else {
        list_ui(ui, seen, list, (&rows, space.is_low), state, commands);
    }
}

/// The rows, and what there is to say of the chosen one: below them, or right below it where all of it is scrolled as
/// one.
fn list_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    list: &FaultList,
    (rows, is_one): (&[usize], bool),
    state: &mut FaultTableState,
    commands: &mut Commands,
) {
    let below = if state.chosen.is_some() { CHOSEN } else { 0.0 };
    let height = (ui.available_height() - below - 8.0).max(96.0);
    let is_known = |chosen: &usize| *chosen < list.names.len();
    let chosen = state.chosen.filter(is_known);
    let some_ui = |ui: &mut Ui, state: &mut FaultTableState, rows: &[usize], commands: &mut Commands| {
        rows_ui(ui, is_one, ("faults", false), (widget::ROW, rows.len(), height), |ui, at| {
            row_ui(ui, seen, list, rows[at], state, commands);
        });
    };
    let below = rows.iter().position(|row| is_one && Some(*row) == chosen).map(|at| at + 1);
    let (above, after) = rows.split_at(below.unwrap_or(rows.len()));
    some_ui(ui, state, above, commands);
    // A click has chosen another by now.
    if let Some(chosen) = state.chosen.filter(is_known) {
        ui.separator();
        chosen_ui(ui, seen, list, (chosen, is_one), state, commands);
    }
    if !after.is_empty() {
        ui.separator();
        some_ui(ui, state, after, commands);
    }
}

fn filters_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut FaultTableState) {
    let edit = TextEdit::singleline(&mut state.search).hint_text(t!("fault-table-search-b1-stuck-w4"));
    let edit = edit.desired_width(ui.available_width() - 12.0).min_size(vec2(60.0, 34.0));
    ui.add(edit.align(egui::Align2::LEFT_CENTER)).accessible_name(t!("fault-table-search-the-faults"));
    let list = ComboBox::from_id_salt("showing").width(ui.available_width() - 12.0);
    let shown = list.selected_text(state.showing.words()).show_ui(ui, |ui| {
        for showing in Showing::ALL {
            ui.selectable_value(&mut state.showing, showing, showing.words());
        }
    });
    shown.response.accessible_name(t!("fault-table-where-a-fault-shows"));
    let text = |words: &str| RichText::new(words).color(seen.palette.text);
    ui.checkbox(&mut state.alike, text(t!("fault-table-only-look-alikes")));
    ui.checkbox(&mut state.here, text(t!("fault-table-only-at-what-is-selected")));
}

/// The faults that are left, by their places.
fn rows(seen: &Seen<'_>, list: &FaultList, state: &FaultTableState) -> Vec<usize> {
    let wanted: Vec<String> = state.search.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let circuit = seen.bench.circuit();
    let fits = |fault: &usize| {
        let group = &list.table.groups[list.group_of[*fault]];
        let is_alike = group.members.len() > 1 || group.is_healthy;
        let place = || place_of_fault(circuit, &list.table.faults[*fault]);
        let is_here = || seen.desk.selected.is_some() && place() == seen.desk.selected;
        let says = || {
            let (name, grammar) = (worded(&list.names[*fault]).to_lowercase(), list.table.faults[*fault].to_string());
            wanted.iter().all(|word| name.contains(word) || grammar.to_lowercase().contains(word))
        };
        state.showing.fits(list.shows[*fault]) && (!state.alike || is_alike) && (!state.here || is_here()) && says()
    };
    (0..list.names.len()).filter(fits).collect()
}

fn row_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    list: &FaultList,
    fault: usize,
    state: &mut FaultTableState,
    commands: &mut Commands,
) {
    let chosen = state.chosen == Some(fault);
    let name = worded_capital(&list.names[fault]);
    let group = &list.table.groups[list.group_of[fault]];
    let shows = match list.shows[fault] {
        Shows::Standing => t!("fault-table-shows-as-it-stands-2").to_owned(),
        Shows::Asked(state) => t!("fault-table-shows", states = when(&list.table.states[state])),
        Shows::Nowhere => t!("fault-table-shows-nowhere-2").to_owned(),
    };
    let alike = match group.members.len() {
        1 => String::new(),
        n => t!("fault-table-look-like-it", n = n - 1),
    };
    let below = format!("{shows}{alike}");
    let told = format!("{name}: {below}");
    let id = ids::fault_row(&list.table.faults[fault].to_string());
    if widget::row_ui(ui, seen, id, chosen, (&name, &below), &told).clicked() {
        state.before = state.chosen.filter(|before| *before != fault);
        state.chosen = (!chosen).then_some(fault);
        commands.push(Command::Select(place_of_fault(seen.bench.circuit(), &list.table.faults[fault])));
    }
}

/// What there is to say of the chosen fault, and what can be done with it.
fn chosen_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    list: &FaultList,
    (chosen, is_one): (usize, bool),
    state: &mut FaultTableState,
    commands: &mut Commands,
) {
    let key = ((spoken(), measured()), seen.bench.circuit().title().to_owned(), state.chosen, state.before);
    if state.told.as_ref().is_none_or(|(of, _)| *of != key) {
        state.told = Some((key, tell(list, chosen, state.before)));
    }
    let fault = &list.table.faults[chosen];
    if seen.eyes.is_none() {
        let planted = seen.bench.faults().contains(fault);
        let against = seen.bench.faults().iter().any(|other| other.contradicts(fault));
        let word = if planted { t!("fault-table-put-right") } else { t!("fault-table-plant-it-on-the-bench") };
        let button = Button::new(word).selected(planted).min_size(vec2(ui.available_width() - 8.0, widget::ROW));
        let button = ui.add_enabled(planted || !against, button);
        if button.accessible_name(format!("{word}: {}", worded(&list.names[chosen]))).clicked() {
            let fault = fault.clone();
            commands.push(Command::Act(if planted { Action::Repair(fault) } else { Action::Plant(fault) }));
        }
    }
    let told_ui = |ui: &mut Ui| {
        ui.set_width(ui.available_width());
        for (place, line) in state.told.iter().flat_map(|(_, told)| told).enumerate() {
            let font = if place == 0 { theme::bold(13.0) } else { theme::plain(12.5) };
            // The keyboard goes through the lines, which may have to be scrolled to.
            let label = egui::Label::new(RichText::new(line).font(font).color(seen.palette.text));
            ui.add(label.sense(Sense::focusable_noninteractive()));
        }
    };
    if is_one {
        told_ui(ui);
    } else {
        ScrollArea::vertical().id_salt("chosen fault").auto_shrink([false, false]).show(ui, told_ui);
    }
}

/// How a fault shows, what looks like it and why, and what tells it from another.
fn tell(list: &FaultList, chosen: usize, before: Option<usize>) -> Vec<String> {
    let table = &list.table;
    let mut told = vec![worded_capital(&list.names[chosen])];
    let fault = &table.faults[chosen];
    let apart = |other: Option<usize>| {
        let other = other.map(|other| &table.faults[other]);
        apart::tests(table, Some(fault), other).unwrap_or_default().into_iter().take(MOST_TESTS)
    };
    let lines = |other: Option<usize>| apart(other).map(|found| format!("\u{2022} {}", worded(&test(table, &found))));
    let mut by: Vec<String> = lines(None).collect();
    if by.is_empty() {
        told.push(t!("fault-table-no-reading-in-any-state").to_owned());
    } else {
        told.push(t!("fault-table-told-from-a-whole-truck").to_owned());
        told.append(&mut by);
    }
    let group = &table.groups[list.group_of[chosen]];
    let others: Vec<String> =
        group.members.iter().filter(|other| **other != chosen).map(|other| worded(&list.names[*other])).collect();
    if !others.is_empty() {
        let more = others.len().saturating_sub(MOST_NAMES);
        let names: Vec<String> = others.into_iter().take(MOST_NAMES).collect();
        let more = if more > 0 { t!("fault-table-and-more", more) } else { String::new() };
        told.push(t!("fault-table-looks-like", names = names.join("; "), more));
        let about = |(_, members): &(why::Reason, Vec<usize>)| members.contains(&chosen);
        let reasons: Vec<String> = why::reasons(table, group)
            .iter()
            .filter(|found| about(found))
            .map(|(why, _)| worded(&reason(why)))
            .collect();
        if !reasons.is_empty() {
            told.push(t!("fault-table-why", reasons = reasons.join("; ")));
        }
    }
    if let Some(before) = before {
        let mut by: Vec<String> = lines(Some(before)).collect();
        if by.is_empty() {
            told.push(t!("fault-table-nothing-that-is-read-here", before = list.names[before]));
        } else {
            told.push(t!("fault-table-told-from-the-one-chosen", before = list.names[before]));
            told.append(&mut by);
        }
    }
    told
}
