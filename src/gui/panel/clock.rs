//! The clock along the bottom: run, pause, step, speed, back; and the strip chart of what has been.
//!
//! Three strips share the time: coil volts, both pressures, and the warmth of coolant and plate with the fan's speed.
//! Lines differ by dash as well as by hue. What was done stands as dotted
//! lines, what happened by itself as points along the bottom, and both in words beside them.

use egui::text::{LayoutJob, TextWrapping};
use egui::{Rangef, RichText, Ui, vec2};
use egui_plot::{AxisHints, Line, LineStyle, MarkerShape, Plot, PlotPoints, Points, VLine};

use crate::circuit::Telling;
use crate::circuit::quantity::{KPA_PER_PSI, fahrenheit_from_celsius};
use crate::physics::time::{Event, Happening, Moment};
use crate::study::{happening, wording};

use super::super::board::geometry::Extent;
use super::super::clock::{Clock, SPEEDS};
use super::super::command::{Command, Commands};
use super::super::condition::Units;
use super::super::seen::Seen;
use super::super::space::Stand;
use super::super::theme;
use super::super::tongue::{number, t, worded};
use super::super::widget::{both_ways, grown};
use super::{aside, overlay};
use crate::words::fixed;

/// Greatest and least height of the whole.
const HEIGHT: f32 = 190.0;
const LEAST_HEIGHT: f32 = 116.0;
/// Height that the drawing keeps as long as the clock can spare it.
const DRAWING: f32 = 380.0;
/// Width of the controls.
const CONTROLS: f32 = 316.0;
/// Height of a strip beside the drawing.
const BESIDE: f32 = 104.0;
const LEAST_BESIDE: f32 = 72.0;
/// Least width beside the drawing, and its most as a share of what both have.
pub(super) const LEAST_WIDTH_BESIDE: f32 = 300.0;
const MOST_BESIDE: f32 = 0.54;
/// Least width for the drawing and the clock beside each other.
const WIDE: f32 = 560.0;
/// Most points of a line; more are thinned.
const MOST_POINTS: usize = 600;
/// Most lines of what was done and happened, and in a low window.
const MOST_TOLD: usize = 60;
const MOST_LOW: usize = 12;
/// Shortest stretch of time that the strips show, in seconds.
const LEAST_S: f64 = 10.0;
/// Height of the whole where the clock, the drawing and `others` share the room there is: the strips give way to the drawing.
pub fn height(ui: &Ui, others: f32) -> f32 {
    height_in(ui.available_height(), others, grown(ui.ctx()))
}

/// The same in so much room, where a line of what is pressed is so much higher than a mouse needs it.
pub fn height_in(room: f32, others: f32, grown: f32) -> f32 {
    (room - others - DRAWING).clamp(LEAST_HEIGHT + 2.0 * grown, HEIGHT + 2.0 * grown)
}

/// Shows the clock.
pub fn clock_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(clock) = seen.clock else { return };
    let height = ui.available_height();
    ui.set_min_height(height);
    ui.horizontal_top(|ui| {
        let down = egui::Layout::top_down(egui::Align::Min);
        ui.allocate_ui_with_layout(vec2(CONTROLS, height), down, |ui| {
            ui.set_width(CONTROLS);
            // May be more than the clock is high, where words or buttons are large: scrolled as one.
            let scroll = egui::ScrollArea::vertical().id_salt("controls").auto_shrink([false, false]);
            scroll.max_height(height).show(ui, |ui| {
                controls_ui(ui, seen, clock, commands);
                lines_ui(ui, seen, clock, MOST_TOLD);
            });
        });
        strips_ui(ui, seen, clock, height);
    });
}

/// Shows the clock in a low window, the strips below what runs it.
pub fn low_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(clock) = seen.clock else { return };
    controls_ui(ui, seen, clock, commands);
    ui.allocate_ui(vec2(ui.available_width(), LEAST_HEIGHT), |ui| {
        ui.set_height(LEAST_HEIGHT);
        ui.horizontal_top(|ui| strips_ui(ui, seen, clock, LEAST_HEIGHT));
    });
    lines_ui(ui, seen, clock, MOST_LOW);
}

/// Whether it stands beside the drawing where instruments and ledger stand so: in a low window height is what is short, and
/// the strips are to be in sight.
pub fn stands_beside(seen: &Seen<'_>, stand: Stand) -> bool {
    let column = if stand == Stand::Below { 0.0 } else { aside::WIDE };
    let is_wide = seen.room.space.is_flat && seen.room.wide - column >= WIDE;
    is_wide && seen.clock.is_some() && !seen.room.pair.has_two()
}

/// Width it has there: what a drawing that covers so much of its page, at the height there is, leaves of so much room beside
/// what stands there too, as far as the clock can do with that and has a use for it.
pub fn width_beside(ctx: &egui::Context, seen: &Seen<'_>, room: egui::Vec2, [left, top, right, bottom]: Extent) -> f32 {
    let column = aside::width(ctx, seen.room.stand);
    let drawing = room.y * (right - left) / (bottom - top).max(1.0);
    (room.x - column - drawing).min(room.x * MOST_BESIDE).max(LEAST_WIDTH_BESIDE)
}

/// Shows the clock beside the drawing, with what moves the sheet, for which there is no room on it then.
pub fn beside_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let Some(clock) = seen.clock else { return };
    egui::ScrollArea::vertical().id_salt("clock beside").auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.spacing_mut().button_padding.x = 4.0;
        run_ui(ui, seen, clock, commands);
        speed_ui(ui, seen, clock, commands);
        // What the chain does not tell comes first: not all of it is in sight at once.
        traced(seen, [Strip::Pressures, Strip::Warmth, Strip::Volts], &mut |strip, traces| {
            // The first is in sight down to its axis.
            let height = (ui.clip_rect().bottom() - ui.cursor().top()).clamp(LEAST_BESIDE, BESIDE);
            ui.allocate_ui(vec2(ui.available_width(), height), |ui| {
                ui.set_height(height);
                strip_ui(ui, seen, clock, strip, traces);
            });
        });
        back_ui(ui, clock, commands);
        ui.horizontal_wrapped(|ui| overlay::buttons_ui(ui, seen, true, commands));
        lines_ui(ui, seen, clock, MOST_LOW);
    });
}

fn controls_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, commands: &mut Commands) {
    run_ui(ui, seen, clock, commands);
    speed_ui(ui, seen, clock, commands);
    back_ui(ui, clock, commands);
}

fn run_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, commands: &mut Commands) {
    let (now, palette) = (clock.at_s(), &seen.palette);
    ui.horizontal_wrapped(|ui| {
        let (word, help) = if clock.playing {
            (t!("clock-pause"), t!("clock-let-time-stand-still-r"))
        } else {
            (t!("clock-run"), t!("clock-let-time-pass-r"))
        };
        if ui.add(egui::Button::new(word).min_size(vec2(64.0, 28.0))).on_hover_text(help).clicked() {
            commands.push(Command::Play(!clock.playing));
        }
        if ui
            .add(egui::Button::new(t!("clock-step")).min_size(vec2(52.0, 28.0)))
            .on_hover_text(t!("clock-a-tenth-of-a-second"))
            .clicked()
        {
            commands.push(Command::StepClock);
        }
        if ui.add_enabled(now > 0.0, egui::Button::new(t!("clock-back-to-start")).min_size(vec2(0.0, 28.0))).clicked() {
            commands.push(Command::BackTo(0.0));
        }
        let text = RichText::new(clock_words(now)).font(theme::bold(15.0)).color(palette.text);
        ui.label(text);
    });
}

fn speed_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, commands: &mut Commands) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(t!("clock-speed")).color(seen.palette.text));
        for speed in SPEEDS {
            let name = format!("{speed} x");
            let button = ui.add(egui::Button::selectable(clock.speed == speed, &name).min_size(both_ways(ui.ctx())));
            if button.accessible_name(t!("clock-speed-times", speed)).clicked() {
                commands.push(Command::Speed(speed));
            }
        }
        let mut motion = seen.look.motion;
        if ui.checkbox(&mut motion, t!("clock-fan-turns")).clicked() {
            commands.push(Command::Motion(motion));
        }
    });
}

/// The way back to a moment, and forward again.
fn back_ui(ui: &mut Ui, clock: &Clock, commands: &mut Commands) {
    let now = clock.at_s();
    if now > 0.0 {
        let mut to = now;
        let slider = egui::Slider::new(&mut to, 0.0..=now).show_value(false).text(t!("clock-back"));
        let response = ui.add(slider).on_hover_text(t!("clock-go-back-to-a-moment"));
        if response.drag_stopped() && to < now {
            commands.push(Command::BackTo(to));
        }
    }
    if let Some(ahead_s) = clock.ahead_s() {
        let words = t!("clock-forward-again-to", ahead_s = clock_words(ahead_s));
        let help = t!("clock-take-up-again-what-came");
        if ui.button(words).on_hover_text(help).clicked() {
            commands.push(Command::ForwardAgain);
        }
    }
}

/// What was done and what happened last, the newest first: so many of them, a line each.
fn lines_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, most: usize) {
    let done = clock.done().iter().map(|deed| (deed.at_s, deed.words.clone()));
    let happened = clock.events().iter().map(|e| (e.at_s, worded(&happening::sentence(seen.bench, e))));
    let mut told: Vec<(f64, String)> = done.chain(happened).collect();
    told.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (at_s, words) in told.iter().rev().take(most) {
        ui.label(
            RichText::new(format!("{}  {words}", clock_words(*at_s)))
                .color(seen.palette.text)
                .size(seen.palette.letters(12.0)),
        );
    }
    if told.is_empty() {
        let has_run = clock.at_s() > 0.0;
        let hint =
            if has_run { t!("clock-nothing-has-happened-in-this") } else { t!("clock-nothing-has-happened-yet-run") };
        ui.label(RichText::new(hint).color(seen.palette.quiet));
    }
}

/// A piece of a line with its name and its last value: one thing, never parted at the end of a row.
fn key_ui(ui: &mut Ui, seen: &Seen<'_>, trace: &Trace<'_>, value: &str) {
    const PIECE: f32 = 18.0;
    let font = theme::plain(seen.palette.letters(11.5));
    let value = ui.painter().layout_no_wrap(format!(" {value}"), font.clone(), seen.palette.text);
    // As wide as the strip at most, whatever the thing is called: the strips stand side by side.
    let room = ui.max_rect().width() - PIECE - 6.0 - value.size().x;
    let mut name = LayoutJob::simple_singleline(trace.name.clone(), font, seen.palette.text);
    name.wrap = TextWrapping::truncate_at_width(room.max(PIECE));
    let name = ui.painter().layout_job(name);
    let width = PIECE + 4.0 + name.size().x + value.size().x;
    let (_, rect) = ui.allocate_space(vec2(width, name.size().y.max(14.0)));
    let middle = rect.center().y;
    let ends = [egui::pos2(rect.left(), middle), egui::pos2(rect.left() + PIECE, middle)];
    let stroke = egui::Stroke::new(2.0, trace.colour);
    match trace.style {
        LineStyle::Solid => {
            ui.painter().line_segment(ends, stroke);
        }
        LineStyle::Dashed { .. } => {
            ui.painter().extend(egui::Shape::dashed_line(&ends, stroke, 5.0, 3.0));
        }
        LineStyle::Dotted { .. } => {
            ui.painter().extend(egui::Shape::dotted_line(&ends, trace.colour, 4.0, 1.3));
        }
    }
    let at = egui::pos2(rect.left() + PIECE + 4.0, middle - name.size().y / 2.0);
    let next = at + vec2(name.size().x, 0.0);
    ui.painter().galley(at, name, seen.palette.text);
    ui.painter().galley(next, value, seen.palette.text);
}

/// `12.3 s`, `4 min 05 s`.
fn clock_words(seconds: f64) -> String {
    if seconds < 120.0 {
        t!("clock-seconds", seconds = fixed(seconds, 1))
    } else {
        format!("{:.0} min {:02.0} s", (seconds / 60.0).floor(), (seconds % 60.0).floor())
    }
}

/// What a line shows of a moment.
type Boxed = Box<dyn Fn(&Moment) -> Option<f64>>;

/// One line of a strip.
struct Trace<'a> {
    name: String,
    value: &'a dyn Fn(&Moment) -> Option<f64>,
    colour: egui::Color32,
    style: LineStyle,
    /// Put behind its value where that rests on an example value.
    mark: String,
}

impl Trace<'_> {
    /// Its value at a moment.
    fn told(&self, moment: &Moment) -> String {
        let value = (self.value)(moment).map_or_else(|| "-".to_owned(), |value| number(value, 1));
        format!("{value}{}", self.mark)
    }
}

/// The strips beside each other.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Strip {
    Volts,
    Pressures,
    Warmth,
}

impl Strip {
    fn name(self) -> &'static str {
        match self {
            Self::Volts => t!("clock-coil-volts"),
            Self::Pressures => t!("clock-pressures"),
            Self::Warmth => t!("clock-warmth-and-slip"),
        }
    }

    /// The strip that something which happens by itself is marked in: where its cause or its work is to be seen.
    fn of(event: &Event) -> Self {
        match event.what {
            Happening::Clutch(_) | Happening::Compressor(_) | Happening::Protection(_) => Self::Pressures,
            Happening::Sensor(..) | Happening::Point(..) | Happening::Discoloured => Self::Warmth,
            Happening::Coil(..)
            | Happening::Driver(..)
            | Happening::Timer(..)
            | Happening::Kick(..)
            | Happening::Fuse(..)
            | Happening::Restless
            | Happening::AtRest => Self::Volts,
        }
    }
}

/// The strips beside each other.
fn strips_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, height: f32) {
    // Right of the last strip half a number of its axis finds room.
    let width = ((ui.available_width() - 16.0 - 12.0) / 3.0).max(80.0);
    traced(seen, [Strip::Volts, Strip::Pressures, Strip::Warmth], &mut |strip, traces| {
        let (size, down) = (vec2(width, height), egui::Layout::top_down(egui::Align::Min));
        ui.allocate_ui_with_layout(size, down, |ui| {
            ui.set_width(width);
            strip_ui(ui, seen, clock, strip, traces);
        });
    });
}

/// Shows each strip with its lines.
fn traced(seen: &Seen<'_>, order: [Strip; 3], show: &mut dyn FnMut(Strip, &[Trace<'_>])) {
    let palette = &seen.palette;
    let metric = seen.look.units == Units::Metric;
    let pressure = |kpa: f64| if metric { kpa } else { kpa / KPA_PER_PSI };
    let warmth = |celsius: f64| if metric { celsius } else { fahrenheit_from_celsius(celsius) };
    let (psi, degrees) = if metric { ("kPa", "°C") } else { ("psi", "°F") };
    let valves = seen.bench.circuit().parts().iter().filter(|p| matches!(p.kind, crate::circuit::Kind::AirValve(_)));
    let valves: Vec<String> = valves.map(|p| p.tag.clone()).collect();
    let coil: Vec<Boxed> = (0..valves.len())
        .map(|i| Box::new(move |m: &Moment| m.coil_volts.get(i).copied().flatten()) as Boxed)
        .collect();
    let styles = [LineStyle::Solid, LineStyle::dashed_dense(), LineStyle::dotted_dense()];
    let volts: Vec<Trace<'_>> = coil
        .iter()
        .zip(&valves)
        .enumerate()
        .map(|(i, (value, tag))| Trace {
            name: format!("{tag} V"),
            value: value.as_ref(),
            colour: palette.chart(i),
            style: styles[i % styles.len()],
            mark: String::new(),
        })
        .collect();
    let mark = |shown: Telling| wording::marked(seen.bench.circuit(), shown, "").to_string();
    let line = |name: String, value, nth: usize, style: usize, shown| Trace {
        name,
        value,
        colour: palette.chart(nth),
        style: styles[style],
        mark: mark(shown),
    };
    let supply = |m: &Moment| Some(pressure(m.supply_kpa));
    let clutch = |m: &Moment| Some(pressure(m.clutch_kpa));
    let pressures = [
        line(t!("clock-supply", psi), &supply, 1, 1, Telling::Air),
        line(t!("clock-clutch", psi), &clutch, 0, 0, Telling::Air),
    ];
    let coolant = |m: &Moment| Some(warmth(m.coolant_c));
    let plate = |m: &Moment| Some(warmth(m.plate_c));
    let slip = |m: &Moment| Some(100.0 * m.slip);
    let warmths = [
        line(t!("clock-coolant", degrees), &coolant, 0, 0, Telling::Coolant),
        line(t!("clock-plate", degrees), &plate, 1, 1, Telling::Plate),
        line(t!("clock-slip").to_owned(), &slip, 2, 2, Telling::Fan),
    ];
    for strip in order {
        match strip {
            Strip::Volts => show(strip, &volts),
            Strip::Pressures => show(strip, &pressures),
            Strip::Warmth => show(strip, &warmths),
        }
    }
}

/// Points between two numbers of an axis from which they are written in full ink: there are few enough.
const PLAIN: Rangef = Rangef { min: 4.0, max: 8.0 };

/// Marks of an axis in round numbers, as many as a low strip has room for.
fn few((low, high): (f64, f64)) -> Vec<egui_plot::GridMark> {
    const MOST: f64 = 2.9;
    let seen = high - low;
    if !(seen.is_finite() && seen > 0.0) {
        return Vec::new();
    }
    let ten = 10_f64.powf(seen.log10().floor() - 1.0);
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0].map(|by| by * ten);
    let step = steps.into_iter().find(|step| seen / step <= MOST).unwrap_or(seen);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|at| egui_plot::GridMark { value: at as f64 * step, step_size: step }).collect()
}

fn strip_ui(ui: &mut Ui, seen: &Seen<'_>, clock: &Clock, strip: Strip, traces: &[Trace<'_>]) {
    let moments = clock.moments();
    let until = clock.at_s().max(LEAST_S);
    let every = moments.len().div_ceil(MOST_POINTS).max(1);
    let last: Vec<String> = moments.last().map(|m| traces.iter().map(|t| t.told(m)).collect()).unwrap_or_default();
    let bottom = ui.max_rect().bottom() - 2.0;
    ui.spacing_mut().item_spacing = vec2(4.0, 1.0);
    // Rows of the key are as high as their letters, so that three of them leave room for the strip.
    ui.spacing_mut().interact_size.y = 0.0;
    ui.horizontal_wrapped(|ui| traces.iter().zip(&last).for_each(|(trace, value)| key_ui(ui, seen, trace, value)));
    let plot = Plot::new(strip.name())
        .height((bottom - ui.cursor().top()).max(36.0))
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_drag(false)
        .allow_boxed_zoom(false)
        .include_x(0.0)
        .include_x(until)
        .include_y(0.0)
        .custom_x_axes(vec![AxisHints::new_x().label_spacing(PLAIN)])
        .custom_y_axes(vec![AxisHints::new_y().label_spacing(PLAIN)])
        .x_grid_spacer(|axis| few(axis.bounds))
        .y_grid_spacer(|axis| few(axis.bounds))
        .show(ui, |plot| {
            for deed in clock.done() {
                plot.vline(
                    VLine::new("", deed.at_s)
                        .color(seen.palette.line)
                        .style(LineStyle::dotted_dense())
                        .allow_hover(false),
                );
            }
            let marked = clock.events().iter().filter(|event| Strip::of(event) == strip);
            let marks: PlotPoints<'_> = marked.map(|event| [event.at_s, 0.0]).collect::<Vec<_>>().into();
            plot.points(
                Points::new("", marks).shape(MarkerShape::Up).radius(3.5).color(seen.palette.text).allow_hover(false),
            );
            for trace in traces {
                let points = moments.iter().step_by(every).chain(moments.last());
                let points: PlotPoints<'_> =
                    points.filter_map(|m| Some([m.at_s, (trace.value)(m)?])).collect::<Vec<_>>().into();
                plot.line(Line::new(trace.name.clone(), points).color(trace.colour).style(trace.style).width(2.0));
            }
        });
    let told: Vec<String> = traces.iter().zip(&last).map(|(trace, value)| format!("{} {value}", trace.name)).collect();
    let label = t!("clock-strip-of", strip = strip.name(), join = told.join(", "));
    plot.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &label));
}
