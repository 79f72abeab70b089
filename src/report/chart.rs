//! A trace as a chart on one lying sheet: panels that share their time, and what happened, numbered.
//!
//! Yields [`page`]. Coil volts, pressures with the clutch's minimum, speeds, temperatures with their set points, and
//! a band for what the clutch does. Lines are told apart by dashes and by names at their ends, never by colour alone.
//! Events stand as numbered flags above the panels and in words below, the weightier ones where there is no room for
//! all. What happened is found by [`study::trace`](crate::study::trace).

use crate::circuit::quantity::{KPA_PER_PSI, Level, fahrenheit_from_celsius};
use crate::circuit::{Circuit, Telling, part::Quantity, part::SetPoint};
use crate::study::answer::Standing;
use crate::study::trace::{Series, Told, Trace};
use crate::study::wording;

use super::axis::Axis;
use super::font::{self, Weight};
use super::page::{Area, LEADING, Page, Piece, Run, Size, bold, plain};

/// Blank edge of the sheet, in points.
const EDGE: f32 = 28.0;
/// Room for the numbers at the left of the panels, and for the names at their right, in points.
const LEFT: f32 = 54.0;
const RIGHT: f32 = 74.0;
/// Space between panels, in points.
const GAP: f32 = 7.0;
/// Letters in points.
const LETTERS: f32 = 6.6;
/// Height of the row of flags, and of the band of states, in points.
const FLAGS: f32 = 13.0;
const BAND: f32 = 11.0;
/// Most events told below the chart, and their columns.
const MOST_TOLD: usize = 36;
const COLUMNS: usize = 3;
/// Most numbers along time and along a panel's side.
const TIME_STEPS: usize = 12;
const SIDE_STEPS: usize = 4;
/// Kelvin by which a plate must warm to be worth a panel.
const WARM_KELVIN: f64 = 5.0;

const INK: &str = "#000000";
const GREY: &str = "#6f6f6f";
const FAINT: &str = "#dcdcdc";

/// A line in a panel, or a level across it.
struct Line {
    name: String,
    /// A value for each sample; one alone is a level.
    values: Vec<Option<f64>>,
    dashes: &'static str,
    weight: f32,
    ink: &'static str,
}

impl Line {
    fn level(name: String, value: f64) -> Self {
        Self { name, values: vec![Some(value)], dashes: "1.2 2", weight: 0.6, ink: GREY }
    }
}

/// One panel.
struct Panel {
    name: &'static str,
    unit: String,
    lines: Vec<Line>,
    /// Nought belongs on its side.
    from_nought: bool,
    /// Values stay until they jump.
    is_stepped: bool,
}

/// The whole page.
pub fn page(trace: &Trace, size: Size) -> Page {
    let (short, long) = size.points();
    let circuit = trace.end.bench().circuit();
    let mut page = Page::new((long, short), circuit.title());
    let width = long - 2.0 * EDGE;
    let heading = format!("{}: what happens in {}", circuit.title(), wording::duration(trace.for_s));
    let head = Piece::paragraph(width, &[bold(heading)], 12.0, 1);
    page.put(&head, EDGE, EDGE);
    let told = picked(&trace.told);
    let legend = legend(trace, &told, width);
    let top = EDGE + head.height + 2.0;
    let height = short - EDGE - GAP - legend.height - top;
    page.put(&Plot { trace, width, height }.whole(circuit, &told), EDGE, top);
    page.put(&legend, EDGE, short - EDGE - legend.height);
    page
}

/// Events with their numbers: all, or as many of the weightiest as have room.
fn picked(told: &[Told]) -> Vec<&Told> {
    let mut order: Vec<usize> = (0..told.len()).collect();
    order.sort_by_key(|index| (!told[*index].is_done, told[*index].weight, *index));
    order.truncate(MOST_TOLD);
    order.sort_unstable();
    order.into_iter().map(|index| &told[index]).collect()
}

fn legend(trace: &Trace, told: &[&Told], width: f32) -> Piece {
    let column = (width - 12.0 * (COLUMNS - 1) as f32) / COLUMNS as f32;
    let rows = told.len().div_ceil(COLUMNS);
    let (unit, symbol) = wording::time_unit(trace.for_s);
    let decimals = if symbol == "h" { 3 } else { 2 };
    let mut piece = Piece::new(width, 0.0);
    for (place, event) in told.iter().enumerate() {
        let (x, y) = ((place / rows) as f32 * (column + 12.0), (place % rows) as f32 * LETTERS * LEADING);
        piece.line_to(x + 10.0, y, Run { text: (place + 1).to_string(), weight: Weight::Bold }, LETTERS, INK);
        let at = format!("{:.decimals$} {symbol}", event.at_s / unit);
        piece.line_to(x + 46.0, y, plain(at), LETTERS, INK);
        piece.put(&Piece::paragraph(column - 50.0, &[plain(event.what.as_str())], LETTERS, 1), x + 50.0, y);
    }
    piece.height = rows as f32 * LETTERS * LEADING;
    let more = trace.told.len() - told.len();
    let note = match (trace.told.is_empty(), more) {
        (true, _) => "Nothing happens.".to_owned(),
        (false, 0) => String::new(),
        (false, 1) => "One more event, of less weight, is not shown.".to_owned(),
        (false, more) => format!("{more} more events, later or of less weight, are not shown."),
    };
    piece.add(&Piece::paragraph(width, &[plain(note)], LETTERS, 1), 0.0, 1.0);
    // The moments of events rest on such values wherever those of the panels do.
    let example = trace.end.bench().circuit().rests_on_example(Telling::Air);
    let note = if example {
        format!("{}; so do all moments rest on such values. ", wording::EXAMPLE_NOTE)
    } else {
        String::new()
    };
    let safety = Piece::paragraph(width, &[bold(note), plain(&**wording::SAFETY)], 5.6, 2);
    piece.add(&safety, 0.0, 4.0);
    piece
}

/// The panels with all that they share.
#[derive(Clone, Copy)]
struct Plot<'a> {
    trace: &'a Trace,
    width: f32,
    height: f32,
}

impl Plot<'_> {
    fn whole(&self, circuit: &Circuit, told: &[&Told]) -> Piece {
        let panels = panels(circuit, &self.trace.series);
        let mut piece = Piece::new(self.width, self.height);
        let foot = LETTERS * LEADING * 2.0;
        let room = self.height - FLAGS - foot - BAND - GAP;
        let each = room / panels.len() as f32 - GAP;
        self.grid(&mut piece, self.height - foot);
        let marks = self.flags(&mut piece, told);
        for x in marks {
            piece.stroke(&[(x, FLAGS - 2.0), (x, self.height - foot)], 0.4, GREY, "2 2");
        }
        let mut y = FLAGS;
        for panel in &panels {
            piece.put(&self.panel(panel, each), 0.0, y);
            y += each + GAP;
        }
        piece.put(&self.band(), 0.0, y);
        piece
    }

    fn plot_width(&self) -> f32 {
        self.width - LEFT - RIGHT
    }

    fn x(&self, at_s: f64) -> f32 {
        LEFT + (at_s / self.trace.for_s).clamp(0.0, 1.0) as f32 * self.plot_width()
    }

    /// Round times, from the flags down to their numbers at `foot`.
    fn grid(&self, piece: &mut Piece, foot: f32) {
        let (unit, symbol) = wording::time_unit(self.trace.for_s);
        let axis = Axis::up_to(self.trace.for_s / unit, TIME_STEPS);
        for tick in axis.ticks() {
            let x = self.x(tick * unit);
            piece.stroke(&[(x, FLAGS), (x, foot)], 0.4, FAINT, "");
            let words = axis.words(tick);
            let half = font::width(&words, LETTERS, Weight::Plain) / 2.0;
            piece.line(x - half, foot + 1.0, &[plain(words)], LETTERS, INK);
        }
        let y = foot + 1.0 + LETTERS * LEADING;
        let words = format!("time ({symbol})");
        let half = font::width(&words, LETTERS, Weight::Plain) / 2.0;
        piece.line(LEFT + self.plot_width() / 2.0 - half, y, &[plain(words)], LETTERS, INK);
    }

    /// Numbered flags in one row; those too near each other share one. Where their marks go down.
    fn flags(&self, piece: &mut Piece, told: &[&Told]) -> Vec<f32> {
        let mut groups: Vec<(f32, usize, usize)> = Vec::new();
        for (place, event) in told.iter().enumerate() {
            let x = self.x(event.at_s);
            match groups.last_mut() {
                Some((first_x, _, last)) if x - *first_x < 27.0 => *last = place,
                Some(_) | None => groups.push((x, place, place)),
            }
        }
        for (x, first, last) in &groups {
            let words = match last - first {
                0 => format!("{}", first + 1),
                _ => format!("{}–{}", first + 1, last + 1),
            };
            let wide = font::width(&words, LETTERS, Weight::Bold) + 4.0;
            let flag = Area { x: *x, y: 0.5, width: wide, height: LETTERS * LEADING + 0.5 };
            piece.panel(flag, "#ffffff");
            piece.frame(flag, 0.5);
            piece.line(x + 2.0, 0.7, &[bold(words)], LETTERS, INK);
            piece.stroke(&[(*x, 0.5), (*x, FLAGS)], 0.8, INK, "");
        }
        let mut marks: Vec<f32> = told.iter().map(|event| self.x(event.at_s)).collect();
        marks.dedup_by(|a, b| (*a - *b).abs() < 0.5);
        marks
    }

    fn panel(&self, panel: &Panel, height: f32) -> Piece {
        let mut piece = Piece::new(self.width, height);
        let values = || panel.lines.iter().flat_map(|line| line.values.iter().flatten().copied());
        let (mut least, mut greatest) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::MIN, f64::max));
        if values().next().is_none() {
            (least, greatest) = (0.0, 1.0);
        }
        if panel.from_nought {
            (least, greatest) = (least.min(0.0), greatest.max(1.0));
        }
        let axis = Axis::around(least, greatest, SIDE_STEPS);
        let y_of = |value: f64| height * (1.0 - axis.share(value) as f32);
        for tick in axis.ticks() {
            let y = y_of(tick);
            piece.rule(LEFT, y, self.plot_width(), 0.4, FAINT);
            piece.line_to(LEFT - 3.0, y - LETTERS * 0.64, plain(axis.words(tick)), LETTERS, INK);
        }
        piece.frame(Area { x: LEFT, y: 0.0, width: self.plot_width(), height }, 0.6);
        piece.line(0.0, -2.0, &[bold(panel.name)], LETTERS, INK);
        piece.line(0.0, -2.0 + LETTERS * LEADING, &[plain(panel.unit.as_str())], LETTERS, INK);
        let mut names = Vec::new();
        for line in &panel.lines {
            for points in self.points(&line.values, &y_of) {
                let points = if panel.is_stepped { stepped(&points) } else { points };
                piece.stroke(&points, line.weight, line.ink, line.dashes);
            }
            names.extend(line.values.iter().rev().flatten().next().map(|last| (y_of(*last), line)));
        }
        self.names(&mut piece, names, height);
        piece
    }

    /// Names at the ends of lines, moved apart where they would cover each other.
    fn names(&self, piece: &mut Piece, mut names: Vec<(f32, &Line)>, height: f32) {
        let tall = LETTERS * LEADING;
        names.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut places: Vec<f32> = names.iter().map(|(y, _)| y - tall / 2.0).collect();
        let lowest = height - tall / 2.0;
        let mut limit = f32::MIN;
        for place in &mut places {
            *place = place.max(limit);
            limit = *place + tall;
        }
        let mut limit = lowest;
        for place in places.iter_mut().rev() {
            *place = place.min(limit);
            limit = *place - tall;
        }
        let right = LEFT + self.plot_width();
        for ((y, line), place) in names.iter().zip(&places) {
            piece.stroke(&[(right + 1.0, *y), (right + 5.0, place + tall / 2.0)], 0.4, GREY, "");
            piece.stroke(
                &[(right + 5.0, place + tall / 2.0), (right + 16.0, place + tall / 2.0)],
                line.weight,
                line.ink,
                line.dashes,
            );
            let words = Piece::paragraph(RIGHT - 18.0, &[plain(line.name.as_str())], LETTERS, 1);
            piece.put(&words, right + 18.0, *place);
        }
    }

    /// Points of a line, in pieces where values are missing. Where samples are closer than the eye can part, the
    /// first, least, greatest and last of each half point stand for all.
    fn points(&self, values: &[Option<f64>], y_of: &dyn Fn(f64) -> f32) -> Vec<Vec<(f32, f32)>> {
        if let [Some(level)] = values
            && self.trace.series.time_s.len() > 1
        {
            return vec![vec![(LEFT, y_of(*level)), (LEFT + self.plot_width(), y_of(*level))]];
        }
        let mut lines = Vec::new();
        let mut line: Vec<(f32, f32)> = Vec::new();
        let mut column: Vec<(f32, f32)> = Vec::new();
        for (time, value) in self.trace.series.time_s.iter().zip(values) {
            let Some(value) = value else {
                thin(&mut line, &mut column);
                lines.push(std::mem::take(&mut line));
                continue;
            };
            let x = self.x(*time);
            if column.first().is_some_and(|(start, _)| x - start > 0.5) {
                thin(&mut line, &mut column);
            }
            column.push((x, y_of(*value)));
        }
        thin(&mut line, &mut column);
        lines.push(line);
        lines.retain(|line| line.len() > 1);
        lines
    }

    /// What the clutch does, as a band.
    fn band(&self) -> Piece {
        let mut piece = Piece::new(self.width, BAND);
        let series = &self.trace.series;
        let frame = Area { x: LEFT, y: 0.0, width: self.plot_width(), height: BAND };
        piece.panel(frame, "#ffffff");
        let mut start = 0;
        for i in 1..=series.state.len() {
            if i < series.state.len() && series.state[i] == series.state[start] {
                continue;
            }
            let until_s = series.time_s.get(i).copied().unwrap_or(self.trace.for_s);
            let (left, right) = (self.x(series.time_s[start]), self.x(until_s));
            let (fill, ink) = shade(series.state[start]);
            let area = Area { x: left, y: 0.0, width: right - left, height: BAND };
            piece.panel(area, fill);
            let word = series.state[start].word();
            let wide = font::width(word, LETTERS, Weight::Plain);
            if wide + 4.0 < area.width {
                piece.line(left + (area.width - wide) / 2.0, 1.2, &[plain(word)], LETTERS, ink);
            }
            start = i;
        }
        piece.frame(frame, 0.6);
        piece.line(0.0, 1.0, &[bold("Clutch")], LETTERS, INK);
        piece
    }
}

/// Puts what a column of samples comes to at the end of a line.
fn thin(line: &mut Vec<(f32, f32)>, column: &mut Vec<(f32, f32)>) {
    if column.len() <= 4 {
        line.append(column);
        return;
    }
    let places = 0..column.len();
    let least = places.clone().min_by(|a, b| column[*a].1.total_cmp(&column[*b].1)).unwrap_or(0);
    let greatest = places.max_by(|a, b| column[*a].1.total_cmp(&column[*b].1)).unwrap_or(0);
    let mut kept = [0, least, greatest, column.len() - 1];
    kept.sort_unstable();
    line.extend(kept.map(|place| column[place]));
    column.clear();
}

/// The same points with a level stretch before each.
fn stepped(points: &[(f32, f32)]) -> Vec<(f32, f32)> {
    let mut steps: Vec<(f32, f32)> = Vec::with_capacity(points.len());
    for (x, y) in points {
        if let Some((_, before)) = steps.last().filter(|(_, before)| before != y) {
            steps.push((*x, *before));
        }
        steps.push((*x, *y));
    }
    steps
}

fn shade(state: Standing) -> (&'static str, &'static str) {
    match state {
        Standing::Engaged => ("#3a3a3a", "#ffffff"),
        Standing::Slipping => ("#a8a8a8", INK),
        Standing::Unsettled => ("#d2d2d2", INK),
        Standing::Released | Standing::None => ("#ffffff", INK),
    }
}

/// The panels that this trace has something for.
fn panels(circuit: &Circuit, series: &Series) -> Vec<Panel> {
    const DASHES: [&str; 4] = ["", "5 2", "2 1.5", "7 2 1.5 2"];
    let of = |values: &[f64]| values.iter().map(|value| Some(*value)).collect::<Vec<_>>();
    let solid = |name: &str, values| Line { name: name.to_owned(), values, dashes: "", weight: 1.1, ink: INK };
    let dashed = |name: &str, values| Line { name: name.to_owned(), values, dashes: "5 2", weight: 0.9, ink: INK };
    let mut panels = Vec::new();
    if !series.coil_volts.is_empty() {
        let lines = series
            .coil_volts
            .iter()
            .enumerate()
            .map(|(i, (tag, volts))| Line { dashes: DASHES[i % DASHES.len()], ..solid(tag, volts.clone()) });
        let unit = "volts".to_owned();
        panels.push(Panel { name: "Coil", unit, lines: lines.collect(), from_nought: true, is_stepped: true });
    }
    let mut air = vec![dashed("supply", of(&series.supply_psi))];
    if series.clutch_psi.iter().any(Option::is_some) {
        air.push(solid("clutch", series.clutch_psi.clone()));
        air.push(Line::level("minimum".to_owned(), circuit.minimum_kpa() / KPA_PER_PSI));
    }
    let unit = wording::marked(circuit, Telling::Air, "psi").to_string();
    panels.push(Panel { name: "Air", unit, lines: air, from_nought: true, is_stepped: false });
    if series.engine_rpm.iter().chain(&series.fan_rpm).any(|rpm| *rpm > 0.0) {
        let lines = vec![dashed("engine", of(&series.engine_rpm)), solid("fan", of(&series.fan_rpm))];
        let unit = wording::marked(circuit, Telling::Fan, "rpm").to_string();
        panels.push(Panel { name: "Speed", unit, lines, from_nought: true, is_stepped: false });
    }
    panels.extend(warmth(circuit, series));
    panels
}

/// Coolant with its set points, and the plate where it warms.
fn warmth(circuit: &Circuit, series: &Series) -> Vec<Panel> {
    let points = coolant_points(circuit);
    let is_fahrenheit = matches!(points.first(), Some((_, point)) if matches!(point.acts, Level::Fahrenheit(_)));
    let unit = if is_fahrenheit { "°F" } else { "°C" };
    let told = |celsius: f64| if is_fahrenheit { fahrenheit_from_celsius(celsius) } else { celsius };
    let line = |name: &str, values: &[f64]| {
        let values = values.iter().map(|celsius| Some(told(*celsius))).collect();
        Line { name: name.to_owned(), values, dashes: "", weight: 1.1, ink: INK }
    };
    let mut panels = Vec::new();
    let moves = |values: &[f64], kelvin: f64| values.iter().any(|value| (value - values[0]).abs() > kelvin);
    if !points.is_empty() || moves(&series.coolant_c, 0.5) {
        let mut lines = vec![line("coolant", &series.coolant_c)];
        for (tag, point) in points.iter().take(3) {
            lines.push(Line::level(format!("{tag} acts"), told(point.acts.value())));
            lines.push(Line::level(format!("{tag} resets"), told(point.resets.value())));
        }
        let unit = wording::marked(circuit, Telling::Coolant, unit).to_string();
        panels.push(Panel { name: "Coolant", unit, lines, from_nought: false, is_stepped: false });
    }
    if moves(&series.plate_c, WARM_KELVIN) {
        panels.push(Panel {
            name: "Plate",
            unit: wording::marked(circuit, Telling::Plate, unit).to_string(),
            lines: vec![line("plate", &series.plate_c)],
            from_nought: false,
            is_stepped: false,
        });
    }
    panels
}

/// Set points that feel the coolant, with the tag of their part.
fn coolant_points(circuit: &Circuit) -> Vec<(&str, SetPoint)> {
    let all = circuit
        .parts()
        .iter()
        .flat_map(|part| part.kind.set_points().into_iter().map(|point| (part.tag.as_str(), point)));
    all.filter(|(_, point)| point.senses == Quantity::Coolant).collect()
}
