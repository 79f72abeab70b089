//! Rows to choose from in a drawer: a share with its bar, a plain row of two lines; and the bar of work under way.
//!
//! Shares are told by number and by the length of a bar, whatever the hue. What a choice means is the panel's.

use std::sync::Arc;

use egui::{
    Button, Color32, Galley, Id, Pos2, ProgressBar, Rect, Response, RichText, Role, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};

use super::super::seen::Seen;
use super::super::theme::{self, Palette};
use super::super::tongue::t;

/// Height of a row: a finger's.
pub const ROW: f32 = 44.0;
/// How often work under way is looked at; a frame is also asked for when the answer is there.
pub const LOOKS_AGAIN: std::time::Duration = std::time::Duration::from_millis(200);
/// Room above and below the words of a row.
const EDGE: f32 = 6.0;
/// Room for a share in per cent.
const SHARE: f32 = 62.0;

/// A row with a share: its number, a bar under it, and two lines of words. `told` is read out.
pub fn share_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (share, percent): (f32, &str),
    (title, below): (&str, &str),
    told: &str,
) -> Response {
    let palette = &seen.palette;
    let width = ui.available_width() - 6.0;
    let number = ui.painter().layout_no_wrap(percent.to_owned(), theme::bold(12.5), palette.text);
    // However long the number and the name are, all of both can be read.
    let indent = SHARE.max(number.size().x + 14.0);
    let texts = Texts::new(ui, (title, below), inks(palette, false), width - indent - 6.0);
    let (id, rect) = ui.allocate_space(vec2(width, texts.height()));
    let response = row(ui, seen, (id, rect), false, told);
    let top = rect.top() + EDGE;
    ui.painter().galley(pos2(rect.left() + 6.0, top), number, palette.text);
    let bar = Rect::from_min_size(pos2(rect.left() + 6.0, top + 22.0), vec2(SHARE - 14.0, 8.0));
    ui.painter().rect_stroke(bar, 0.0, Stroke::new(1.0, palette.line), StrokeKind::Inside);
    let full = Rect::from_min_size(bar.min, vec2(bar.width() * share.clamp(0.0, 1.0), bar.height()));
    ui.painter().rect_filled(full, 0.0, palette.text);
    texts.put(ui, pos2(rect.left() + indent, top));
    response
}

/// A plain row of two lines, chosen or not. `told` is read out.
pub fn row_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    id: Id,
    chosen: bool,
    (title, below): (&str, &str),
    told: &str,
) -> Response {
    let (_, rect) = ui.allocate_space(vec2(ui.available_width() - 6.0, ROW));
    let response = row(ui, seen, (id, rect), chosen, told);
    let is_whole = lines(ui, seen, rect, (title, below), chosen);
    // What can be read is not said again over the next row.
    if is_whole { response } else { response.on_hover_text(told) }
}

/// A row with all of both texts in it, however many lines that takes.
pub fn whole_row_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    id: Id,
    chosen: bool,
    (title, below): (&str, &str),
    told: &str,
) -> Response {
    let width = ui.available_width() - 6.0;
    let texts = Texts::new(ui, (title, below), inks(&seen.palette, chosen), width - 14.0);
    let (_, rect) = ui.allocate_space(vec2(width, texts.height()));
    let response = row(ui, seen, (id, rect), chosen, told);
    texts.put(ui, rect.left_top() + vec2(8.0, EDGE));
    response
}

/// Both texts of a row that has room for all of them.
struct Texts {
    title: Arc<Galley>,
    below: Arc<Galley>,
}

impl Texts {
    /// In lines so wide.
    fn new(ui: &Ui, (title, below): (&str, &str), (ink, quiet): (Color32, Color32), width: f32) -> Self {
        let text = |words: &str, font, ink| ui.painter().layout(words.to_owned(), font, ink, width);
        Self { title: text(title, theme::bold(13.0), ink), below: text(below, theme::plain(11.5), quiet) }
    }

    /// Height of their row.
    fn height(&self) -> f32 {
        (self.title.size().y + self.below.size().y + 2.0 * EDGE).max(ROW)
    }

    fn put(self, ui: &Ui, at: Pos2) {
        let below_at = at + vec2(0.0, self.title.size().y);
        // Their own inks are in them.
        ui.painter().galley(at, self.title, Color32::PLACEHOLDER);
        ui.painter().galley(below_at, self.below, Color32::PLACEHOLDER);
    }
}

/// Inks of a row's two texts.
fn inks(palette: &Palette, chosen: bool) -> (Color32, Color32) {
    if chosen { (palette.on_chosen, palette.on_chosen) } else { (palette.text, palette.quiet) }
}

fn row(ui: &Ui, seen: &Seen<'_>, (id, rect): (Id, Rect), chosen: bool, told: &str) -> Response {
    let palette = &seen.palette;
    let response = ui.interact(rect, id, Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, told));
    let painter = ui.painter();
    painter.rect_filled(rect, 3.0, if chosen { palette.chosen } else { palette.sheet });
    painter.rect_stroke(rect, 3.0, Stroke::new(1.0, palette.line), StrokeKind::Inside);
    if response.has_focus() || response.hovered() {
        let weight = if response.has_focus() { 3.0 } else { 1.5 };
        painter.rect_stroke(rect, 3.0, Stroke::new(weight, palette.focus), StrokeKind::Inside);
    }
    response
}

/// Writes both lines; whether they have room.
fn lines(ui: &Ui, seen: &Seen<'_>, rect: Rect, (title, below): (&str, &str), chosen: bool) -> bool {
    let (ink, quiet) = inks(&seen.palette, chosen);
    let left = rect.left() + 8.0;
    let line = |text: &str, font: egui::FontId, ink, y: f32| {
        let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(rect.right() - 6.0 - left);
        let galley = ui.painter().layout_job(job);
        let is_whole = !galley.elided;
        ui.painter().galley(pos2(left, y - galley.size().y / 2.0), galley, ink);
        is_whole
    };
    let middle = if below.is_empty() { rect.center().y } else { rect.top() + 14.0 };
    let title = line(title, theme::bold(13.0), ink, middle);
    line(below, theme::plain(11.5), quiet, rect.top() + 31.0) && title
}

/// How much of some work is done.
pub fn share_of((done, all): (usize, usize)) -> f32 {
    if all == 0 { 0.0 } else { done as f32 / all as f32 }
}

/// Work under way, with its bar and a way to stop it; or that it was stopped, with a way to go on. Yields what is asked
/// for: to stop, or not to.
pub fn working_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    what: &str,
    (done, all): (usize, usize),
    stopped: bool,
) -> Option<bool> {
    if stopped {
        ui.label(RichText::new(t!("choice-stopped")).color(seen.palette.text));
        return ui.add(Button::new(t!("choice-go-on")).min_size(vec2(96.0, ROW))).clicked().then_some(false);
    }
    ui.label(RichText::new(what).color(seen.palette.text));
    // Written half on what is done and half on what is not.
    let count = RichText::new(t!("choice-of", done, all)).color(seen.palette.text);
    ui.add(ProgressBar::new(share_of((done, all))).text(count).fill(seen.palette.band));
    ui.ctx().request_repaint_after(LOOKS_AGAIN);
    ui.add(Button::new(t!("choice-stop")).min_size(vec2(96.0, ROW))).clicked().then_some(true)
}
