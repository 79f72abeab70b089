//! The chain across the top: Call, Circuit, Valve, Air, Clutch, and the fan.
//!
//! Large enough to be read from the back of a classroom. The first link that does not follow from the one before is
//! drawn torn off. Choosing a link opens its reasons and points out in the drawing what it rests on.

use egui::{Align2, Context, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::study::answer::{Level, Link, Standing};
use crate::study::hunt::{Hunt, Seen as Eyes};

use super::super::clock::Clock;
use super::super::command::{Command, Commands};
use super::super::seen::Seen;
use super::super::tongue::{t, worded};
use super::super::widget::link::{self, Form};
use super::super::widget::{fan, target};
use super::super::{ids, theme, words};
use super::found;
use super::hunt::so_far;

/// Height of the chain.
const HEIGHT: f32 = 86.0;
/// Width of the window the sizes here are meant for.
const USUAL_WIDTH: f32 = 1264.0;
/// Room between two plates.
const GAP: f32 = 28.0;
/// Room where the chain parts.
const TORN: f32 = 70.0;
/// Width under which the chain stands in two lines, the height of one, the room between two plates, that where it parts,
/// and the size of the joint there.
const ONE_LINE: f32 = 860.0;
const ROW: f32 = 43.0;
const FOLDED_GAP: f32 = 16.0;
const FOLDED_TORN: f32 = 64.0;
const FOLDED_SCALE: f32 = 0.6;
/// Height of the window under which each of the two lines has words alone, and its height then.
const SHORT: f32 = 440.0;
const SHORT_ROW: f32 = 30.0;
/// Share of the width that the fan takes.
const FAN_SHARE: f32 = 0.165;

/// Height of one chain where two stand below each other, and the room for the names before them.
const PAIRED: f32 = 66.0;
const NAMES: f32 = 118.0;

/// The same in a low window, where each is a line: its height, least and most room for its name, room between two plates,
/// that where it parts, the size of the joints, and the room for the fan.
const LINE: f32 = 30.0;
const LINE_NAMES: std::ops::RangeInclusive<f32> = 96.0..=190.0;
const LINE_NAMES_SHARE: f32 = 0.2;
const LINE_GAP: f32 = 11.0;
const LINE_TORN: f32 = 28.0;
const LINE_SCALE: f32 = 0.5;
const LINE_FAN: f32 = 104.0;

/// Height of one chain that is so wide.
pub fn height(ctx: &Context, seen: &Seen<'_>, width: f32) -> f32 {
    if width < ONE_LINE { folded(ctx, seen).0 * 2.0 + 4.0 } else { HEIGHT * scale(width) }
}

/// Height of one of two lines, and what stands on a plate there: no values where the drawing needs the height they take. In a
/// hunt what the driver says has to be read in that room.
fn folded(ctx: &Context, seen: &Seen<'_>) -> (f32, Form) {
    let is_short = ctx.content_rect().height() < SHORT && seen.eyes.is_none();
    if is_short { (SHORT_ROW.max(target(ctx) + 4.0).min(ROW), Form::Line) } else { (ROW, Form::Folded) }
}

/// On a large screen the chain grows with it: it is what the back row must be able to read.
fn scale(width: f32) -> f32 {
    (width / USUAL_WIDTH).clamp(1.0, 2.5)
}

/// Shows the chain.
pub fn chain_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let wide = ui.available_width();
    let (_, area) = ui.allocate_space(vec2(wide, height(ui.ctx(), seen, wide)));
    one_ui(ui, seen, area, scale(wide), commands);
}

/// Shows two chains, link below link, so that what differs is read down the page.
pub fn chains_ui(ui: &mut Ui, both: &[Seen<'_>], commands: &mut Commands) {
    if both.iter().any(|seen| seen.room.space.is_low) {
        ui.spacing_mut().item_spacing.y = 2.0;
        both.iter().for_each(|seen| line_ui(ui, seen, commands));
        return;
    }
    let scale = (ui.available_width() / USUAL_WIDTH).clamp(1.0, 2.0);
    for seen in both {
        let (_, area) = ui.allocate_space(vec2(ui.available_width(), PAIRED * scale));
        let (name, chain) = area.split_left_right_at_x(area.left() + NAMES * scale);
        name_ui(ui, seen, name, scale);
        let mut asked = Commands::default();
        one_ui(ui, seen, chain, scale * 0.88, &mut asked);
        seen.ask(asked, commands);
    }
}

/// One of two chains in a line: whose it is, the word of each link, and the fan.
fn line_ui(ui: &mut Ui, seen: &Seen<'_>, commands: &mut Commands) {
    let height = LINE.max(target(ui.ctx()) + 2.0);
    let (_, area) = ui.allocate_space(vec2(ui.available_width(), height));
    let names = (area.width() * LINE_NAMES_SHARE).clamp(*LINE_NAMES.start(), *LINE_NAMES.end());
    let (name, chain) = area.split_left_right_at_x(area.left() + names);
    line_name_ui(ui, seen, name.shrink2(vec2(0.0, 1.0)));
    let mut asked = Commands::default();
    links_ui(ui, seen, chain.shrink2(vec2(0.0, 1.0)), &mut asked);
    seen.ask(asked, commands);
}

/// The links of a chain in one line, or what takes their place.
fn links_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, commands: &mut Commands) {
    let (before, fan_at) = area.split_left_right_at_x(area.right() - LINE_FAN);
    if let (Some(hunt), Some(eyes)) = (seen.hunt, seen.eyes) {
        let (title, told) = hunt_words(seen, hunt);
        let response = ui.interact(before, ids::hunt(seen.number), Sense::HOVER);
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, seen.told(&told)));
        let font = theme::bold(seen.palette.letters(13.0));
        let text = ui.painter().with_clip_rect(before);
        text.text(before.left_center() + vec2(6.0, 0.0), Align2::LEFT_CENTER, title, font, seen.palette.text);
        response.on_hover_text(told);
        fan::fan_ui(ui, seen, fan_at, eyes.fan.unwrap_or(Standing::None), 0.0);
        return;
    }
    let chain = &seen.verdict.chain;
    if chain.is_empty() {
        no_valve_ui(ui, seen, area, seen.palette.letters(13.0));
        return;
    }
    let first_broken = chain.iter().position(|link| !link.holds).filter(|broken| *broken > 0);
    let torn = if first_broken.is_some() { LINE_TORN - LINE_GAP } else { 0.0 };
    let count = chain.len() as f32;
    let plate = ((before.width() - LINE_GAP * count - torn) / count).max(30.0);
    let place = |i: usize| {
        let torn = if first_broken.is_some_and(|broken| broken <= i) { torn } else { 0.0 };
        let left = before.left() + i as f32 * (plate + LINE_GAP) + torn;
        Rect::from_min_size(pos2(left, before.top()), vec2(plate, before.height()))
    };
    for (i, of) in chain.iter().enumerate() {
        plate_ui(ui, seen, place(i), of, (first_broken == Some(i), 1.0, Form::Line), commands);
    }
    for i in 1..chain.len() {
        let between = Rect::from_min_max(place(i - 1).right_top(), place(i).left_bottom());
        if first_broken == Some(i) {
            link::torn(ui.painter(), between, LINE_SCALE, &seen.palette);
        } else {
            link::joint(ui.painter(), between, true, LINE_SCALE, &seen.palette);
        }
    }
    let last = place(chain.len() - 1);
    ui.painter().hline(last.right()..=fan_at.left(), last.center().y, egui::Stroke::new(3.0, seen.palette.text));
    fan::fan_ui(ui, seen, fan_at.with_min_x(fan_at.left() - 8.0), seen.verdict.standing, turned(seen));
}

/// Whose chain it is in a line, a signal word before it where something is dangerous there.
fn line_name_ui(ui: &Ui, seen: &Seen<'_>, area: Rect) {
    let palette = &seen.palette;
    let grave = named(ui, seen, area);
    let painter = ui.painter().with_clip_rect(area);
    if seen.is_front {
        painter.rect_filled(Rect::from_min_size(area.min, vec2(4.0, area.height())), 0.0, palette.chosen);
    }
    let mut left = area.left() + 8.0;
    if let Some(level) = grave {
        let (fill, ink) = palette.signal(level);
        let words = words::signal(level);
        let galley = painter.layout_no_wrap(words.to_owned(), theme::bold(palette.letters(11.0)), ink);
        let at = Rect::from_min_size(pos2(left, area.center().y - 10.0), vec2(galley.size().x + 8.0, 20.0));
        painter.rect_filled(at, 2.0, fill);
        painter.galley(at.center() - galley.size() / 2.0, galley, ink);
        left = at.right() + 5.0;
    }
    let mut job = egui::text::LayoutJob::simple_singleline(seen.name.to_owned(), theme::bold(13.5), palette.text);
    job.wrap = egui::text::TextWrapping::truncate_at_width((area.right() - left - 4.0).max(0.0));
    let galley = painter.layout_job(job);
    painter.galley(pos2(left, area.center().y - galley.size().y / 2.0), galley, palette.text);
}

/// Names a chain to who does not see it; the gravest of what is dangerous there.
fn named(ui: &Ui, seen: &Seen<'_>, area: Rect) -> Option<Level> {
    let grave = found::levels(seen).min();
    let response = ui.interact(area, ids::chain_name(seen.number), Sense::HOVER);
    let told = if grave.is_some() { format!("{}: {}", seen.name, found::counted(seen)) } else { seen.name.to_owned() };
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, t!("chain-chain-of", told)));
    response.on_hover_text(told);
    grave
}

/// Whose chain it is, and what is dangerous there.
fn name_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, scale: f32) {
    let palette = &seen.palette;
    let grave = named(ui, seen, area);
    let inner = area.shrink2(vec2(3.0, 2.0));
    let painter = ui.painter().with_clip_rect(area);
    if seen.is_front {
        painter.rect_filled(Rect::from_min_size(inner.min, vec2(4.0, inner.height() - 8.0)), 0.0, palette.chosen);
    }
    let left = inner.left() + 9.0;
    let room = inner.right() - left;
    let plate = 18.0 * scale;
    let high = inner.height() - 6.0 - if grave.is_some() { plate + 2.0 } else { 0.0 };
    // The largest letters in which all of the name can be read.
    let set = |size: f32| painter.layout(seen.name.to_owned(), theme::bold(size * scale), palette.text, room);
    let galley = [15.0, 13.5, 12.0].iter().map(|size| set(*size)).find(|galley| galley.size().y <= high);
    painter.galley(pos2(left, inner.top()), galley.unwrap_or_else(|| set(11.0)), palette.text);
    if let Some(level) = grave {
        let (fill, ink) = palette.signal(level);
        let at = Rect::from_min_size(pos2(left, inner.bottom() - plate - 4.0), vec2(room, plate));
        painter.rect_filled(at, 2.0, fill);
        let font = theme::bold(palette.letters(11.0 * scale).min(plate - 4.0));
        painter.text(at.center(), Align2::CENTER_CENTER, words::signal(level), font, ink);
    }
}

/// Says that there is no chain to show.
fn no_valve_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, size: f32) {
    let words = t!("chain-no-air-valve-in-this");
    ui.painter().text(area.center(), Align2::CENTER_CENTER, words, theme::plain(size), seen.palette.text);
    let response = ui.interact(area, ids::fan(seen.number), egui::Sense::HOVER);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, seen.told(words)));
}

/// The hunt so far, and the same with what the driver says.
fn hunt_words(seen: &Seen<'_>, hunt: &Hunt) -> (String, String) {
    let seed = seen.studies.hunting.seed().map_or_else(String::new, |seed| format!(" {seed}"));
    let title = t!("chain-hunt", seed, hunt = so_far(hunt));
    let told = t!("chain-the-driver-says", title = title.clone(), complaint = hunt.complaint());
    (title, told)
}

/// One chain in an area, or what takes its place.
fn one_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, scale: f32, commands: &mut Commands) {
    let height = area.height();
    if let (Some(hunt), Some(eyes)) = (seen.hunt, seen.eyes) {
        hunt_ui(ui, seen, area, scale, (hunt, eyes));
        return;
    }
    let chain = &seen.verdict.chain;
    if chain.is_empty() {
        no_valve_ui(ui, seen, area, 17.0);
        return;
    }
    if area.width() < ONE_LINE {
        folded_ui(ui, seen, area, commands);
        return;
    }
    let fan_width = (area.width() * FAN_SHARE).clamp(140.0, 240.0 * scale);
    let (gap, wide) = (GAP * scale, TORN * scale);
    let first_broken = chain.iter().position(|link| !link.holds);
    let torn = if first_broken.is_some_and(|b| b > 0) { wide - gap } else { 0.0 };
    let count = chain.len() as f32;
    let plate = ((area.width() - fan_width - 12.0 - gap * count - torn) / count).max(60.0);
    let place = |i: usize| {
        let torn = if first_broken.is_some_and(|b| b > 0 && b <= i) { torn } else { 0.0 };
        let left = area.left() + 2.0 + i as f32 * (plate + gap) + torn;
        Rect::from_min_size(pos2(left, area.top() + 2.0), vec2(plate, height - 10.0))
    };
    for (i, of) in chain.iter().enumerate() {
        let rect = place(i);
        let parts_here = first_broken == Some(i);
        plate_ui(ui, seen, rect, of, (parts_here, scale, Form::Full), commands);
    }
    // Joints last: the rings lie over the plates they hold.
    for i in 1..chain.len() {
        let between = Rect::from_min_max(place(i - 1).right_top(), place(i).left_bottom());
        link::joint(ui.painter(), between, first_broken != Some(i), scale, &seen.palette);
    }
    let last = place(chain.len() - 1);
    let to_fan = Rect::from_min_max(last.right_top(), pos2(last.right() + gap, last.bottom()));
    ui.painter().hline(to_fan.x_range(), to_fan.center().y, egui::Stroke::new(4.0, seen.palette.text));
    let fan_at = Rect::from_min_max(pos2(to_fan.right(), area.top()), pos2(area.right(), area.bottom() - 6.0));
    fan::fan_ui(ui, seen, fan_at, seen.verdict.standing, turned(seen));
}

/// How far the fan has turned.
fn turned(seen: &Seen<'_>) -> f32 {
    if seen.look.motion { seen.clock.map_or(0.0, Clock::fan_radians) } else { 0.0 }
}

/// One link; a press opens its reasons.
fn plate_ui(
    ui: &Ui,
    seen: &Seen<'_>,
    rect: Rect,
    of: &Link,
    (parts_here, scale, form): (bool, f32, Form),
    commands: &mut Commands,
) {
    let standing = link::Standing { parts_here, chosen: seen.desk.link == Some(of.name), scale, form };
    if link::link_ui(ui, seen, rect, of, standing).clicked() {
        commands.push(Command::ShowLink(if standing.chosen { None } else { Some(of.name) }));
    }
}

/// The chain in two lines, where one would leave no room for its words: it goes on at the left of the second line, and
/// the fan stands at the end of that.
fn folded_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, commands: &mut Commands) {
    let chain = &seen.verdict.chain;
    let first_broken = chain.iter().position(|link| !link.holds);
    let (high, form) = folded(ui.ctx(), seen);
    // One place in a line for each of three; a chain of two links with the clutch missing has no second line.
    let columns = (chain.len() + 1).div_ceil(2).max(2);
    let cell = |i: usize| {
        let (row, column) = (i / columns, i % columns);
        let torn = first_broken.filter(|broken| *broken > 0 && broken / columns == row);
        let wide = if torn.is_some() { FOLDED_TORN - FOLDED_GAP } else { 0.0 };
        let across = (area.width() - wide) / columns as f32;
        let shift = if torn.is_some_and(|broken| broken % columns <= column) { wide } else { 0.0 };
        let left = area.left() + FOLDED_GAP + column as f32 * across + shift;
        Rect::from_min_size(pos2(left, area.top() + row as f32 * (high + 2.0)), vec2(across - FOLDED_GAP, high - 4.0))
    };
    for (i, of) in chain.iter().enumerate() {
        plate_ui(ui, seen, cell(i), of, (first_broken == Some(i), 1.0, form), commands);
    }
    for i in 1..chain.len() {
        let to = cell(i);
        let holds = first_broken != Some(i);
        let gap = if holds { FOLDED_GAP } else { FOLDED_TORN };
        let between = Rect::from_min_max(pos2(to.left() - gap, to.top()), to.left_bottom());
        link::joint(ui.painter(), between, holds, FOLDED_SCALE, &seen.palette);
    }
    let fan_at = cell(chain.len());
    let line = seen.palette.stroke(3.0, seen.palette.text);
    ui.painter().hline(fan_at.left() - FOLDED_GAP..=fan_at.left(), fan_at.center().y, line);
    fan::fan_ui(ui, seen, fan_at, seen.verdict.standing, turned(seen));
}

/// In a hunt, what takes the chain's place: what the driver says, minutes and readings so far, and the fan as it is seen.
fn hunt_ui(ui: &Ui, seen: &Seen<'_>, area: Rect, scale: f32, (hunt, eyes): (&Hunt, &Eyes)) {
    let palette = &seen.palette;
    let fan_width = (area.width() * FAN_SHARE).clamp(140.0, 240.0 * scale);
    let note = Rect::from_min_max(area.min, pos2(area.right() - fan_width - 12.0, area.bottom() - 6.0));
    let (title, told) = hunt_words(seen, hunt);
    let response = ui.interact(note, ids::hunt(seen.number), Sense::HOVER);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, seen.told(&told)));
    let painter = ui.painter();
    painter.rect_filled(note, 7.0, palette.sheet);
    painter.rect_stroke(note, 7.0, Stroke::new(1.5, palette.line), StrokeKind::Inside);
    let left = note.left() + 12.0;
    painter.text(
        pos2(left, note.top() + 14.0 * scale),
        Align2::LEFT_CENTER,
        title,
        theme::bold(13.0 * scale),
        palette.text,
    );
    let width = note.width() - 24.0;
    let room = note.height() - 26.0 * scale;
    let set = |size: f32| painter.layout(worded(hunt.complaint()), theme::plain(size * scale), palette.text, width);
    // The largest letters in which all of it can be read.
    let sizes = [18.0, 16.0, 14.5, 13.0, 12.0, 11.0];
    let galley = sizes.iter().map(|size| set(*size)).find(|galley| galley.size().y <= room);
    let galley = galley.unwrap_or_else(|| set(10.0));
    painter.galley(pos2(left, note.top() + 24.0 * scale), galley, palette.text);
    response.on_hover_text(worded(hunt.complaint()));
    let fan_at = Rect::from_min_max(pos2(note.right() + 12.0, area.top()), pos2(area.right(), area.bottom() - 6.0));
    fan::fan_ui(ui, seen, fan_at, eyes.fan.unwrap_or(Standing::None), 0.0);
}
