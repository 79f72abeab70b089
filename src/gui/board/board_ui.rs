//! The drawing under pointer and keyboard.
//!
//! Every part, terminal, wire and lead is a widget with its name, so Tab, arrow keys and screen readers reach it; for a
//! pointer alone they are not laid out.
//! Where areas overlap the pointer means what the tool in hand is for, which [`Sheet::hit`] decides. Yields what is
//! pointed at, for the forecast; what it would come to is worked out by the session.

use std::collections::BTreeSet;

use egui::{
    CursorIcon, Key, PointerButton, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use crate::bench::Point;
use crate::drawing::Ink;
use crate::study::answer::Subject;

use super::super::build::{BuildStep, Hold, Page};
use super::super::command::{Command, Commands, Dialog};
use super::super::dress::FINGER;
use super::super::ids;
use super::super::instrument::Pole;
use super::super::panel::clock;
use super::super::seen::Seen;
use super::super::shortcuts::{self, Asked};
use super::super::space::Stand;
use super::super::tongue::t;
use super::super::tool::{Aim, Tool, Use, aim, use_on};
use super::super::widget::{grown, is_for_fingers, target};
use super::super::words;
use super::carry;
use super::doubt;
use super::geometry::{Extent, Place, Sheet};
use super::paint;
use super::suspicion;
use super::view::{Share, View};

/// Smallest side of an area on screen that is no terminal's, where a mouse points.
const SMALL: f32 = 24.0;

/// The keys that take the keyboard from one place to another.
const MOVES: [Key; 5] = [Key::Tab, Key::ArrowLeft, Key::ArrowRight, Key::ArrowUp, Key::ArrowDown];

/// Smallest sides of areas on screen, in points: a terminal's is a finger's always.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Reach {
    terminal: f32,
    other: f32,
}

impl Reach {
    fn of(ctx: &egui::Context) -> Self {
        let target = target(ctx);
        Self { terminal: target.max(FINGER), other: if is_for_fingers(ctx) { target } else { SMALL } }
    }

    /// The area that is pressed, about the one that is marked.
    fn at_least(self, rect: Rect, subject: Subject) -> Rect {
        let least = if matches!(subject, Subject::Terminal(_)) { self.terminal } else { self.other };
        Rect::from_center_size(rect.center(), rect.size().max(vec2(least, least)))
    }

    /// By how much every area on the page is widened at this zoom, and the smallest side of any for fingers.
    fn on_page(self, zoom: f32) -> (f32, f32) {
        let slack = ((self.terminal / zoom - crate::drawing::TERMINAL_TARGET) / 2.0).max(0.0);
        (slack, if self.other > SMALL { self.other / zoom } else { 0.0 })
    }
}

/// Of what is marked on screen, whoever presses it.
const MARKED: Reach = Reach { terminal: FINGER, other: SMALL };

/// What the board keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct BoardState {
    /// What part of the sheet is seen.
    pub view: View,
    /// The keyboard was used since the pointer last moved.
    by_keyboard: bool,
    /// There was a click in the last frame.
    clicked: bool,
    focused: Option<Subject>,
    /// The last to point was a finger.
    by_touch: bool,
    /// What a finger has tapped once.
    foretold: Option<Subject>,
    /// Words of the drawing that are larger than drawn.
    written: paint::Written,
}

impl BoardState {
    /// Left edge for a tip of this width on the board, at the side where it hides least of `places`.
    pub fn free_side(&self, board: Rect, sheet: &Sheet, places: &BTreeSet<Subject>, width: f32) -> f32 {
        let (left, right) = (board.left() + 8.0, board.right() - width);
        let hidden = |from: f32| {
            let under = Rect::from_min_max(pos2(from, board.top()), pos2(from + width, board.bottom()));
            let rects = places.iter().filter_map(|s| sheet.place(*s)).map(|place| on_screen(board, &self.view, place));
            rects.filter(|rect| rect.intersects(under)).count()
        };
        if hidden(right) < hidden(left) { right } else { left }
    }
}

/// What is pointed at, by pointer or keyboard.
#[derive(Clone, Debug, PartialEq)]
pub struct Pointed {
    /// The thing.
    pub subject: Subject,
    /// What the tool in hand would do to it.
    pub what: Use,
    /// Where a tip about it belongs.
    pub at: Pos2,
}

/// Shows the drawing on all the room there is.
pub fn board_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (sheet, extent): (&Sheet, Extent),
    state: &mut BoardState,
    commands: &mut Commands,
) -> Option<Pointed> {
    let (_, board) = ui.allocate_space(ui.available_size());
    ui.set_clip_rect(board.intersect(ui.clip_rect()));
    let under = ui.interact(board, ids::board(seen.number), Sense::CLICK | Sense::DRAG);
    under.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, seen.told(t!("board-ui-drawing-of-the-circuit"))));
    let share = match seen.room {
        // The buttons stand with the clock, and the strips tell the pressures; or both stand with the instruments.
        _ if clock::stands_beside(seen, seen.room.stand) => Share::Bare,
        room if matches!(room.stand, Stand::OverGauges { .. }) => Share::Bare,
        room if !room.pair.has_two() => Share::Whole,
        room if room.space.is_low => Share::Bare,
        _ => Share::Half,
    };
    state.view.follow(board, extent, (share, grown(ui.ctx())));
    let is_dragging = carry::drags(ui, seen, (board, &state.view, sheet), &under, commands);
    travel(ui, board, &under, is_dragging, &mut state.view);
    state.by_touch = ui.input(|i| {
        let touched = i.any_touches() || i.events.iter().any(|event| matches!(event, egui::Event::Touch { .. }));
        // egui moves the pointer along with a finger; only a move without one is a mouse's.
        touched || (state.by_touch && i.pointer.delta() == egui::Vec2::ZERO)
    });

    paint::drawing(ui.painter(), (board, &state.view), &seen.palette, (sheet, extent), &mut state.written);

    let aim = aim(seen.desk);
    let reach = Reach::of(ui.ctx());
    let (slack, least) = reach.on_page(state.view.zoom());
    let hovered = ui
        .input(|i| i.pointer.hover_pos())
        .filter(|at| board.contains(*at) && ui.rect_contains_pointer(board) && !under.dragged())
        .and_then(|at| {
            let page = state.view.page_from_screen(board, at);
            sheet.hit(aim, page.x, page.y, (slack, least))
        });
    let (suspected, leads) = (suspicion::places(seen), suspicion::leads(seen));
    let mut used = None;
    let mut focused = None;
    let mut doubted = None;
    let at_hand = AtHand::of(ui, state, under.id);
    for place in sheet.places() {
        if matches!(place.subject, Subject::WireEnd(end) if aim != Aim::Ends && !is_loose(seen, end)) {
            continue;
        }
        if !at_hand.is(ids::subject(seen.number, place.subject)) {
            continue;
        }
        let rect = on_screen(board, &state.view, place);
        let pressed = reach.at_least(rect, place.subject);
        let response = ui.interact(pressed, ids::subject(seen.number, place.subject), Sense::click());
        let chosen = seen.desk.selected == Some(place.subject);
        response.widget_info(|| {
            let told = label(seen, sheet, place.subject)
                + &suspicion::told(&suspected, &leads, place.subject)
                + &doubt::told(seen, place.subject);
            let told = seen.told(&told);
            WidgetInfo::selected(role(place.subject), true, chosen, told)
        });
        if response.has_focus() {
            focused = Some((place, rect));
        }
        if response.secondary_clicked() {
            doubted = doubted.or(hovered);
        }
        if response.clicked_by(PointerButton::Primary) {
            used = used.or(hovered);
        } else if response.clicked() {
            used = Some(place.subject);
        }
    }
    if under.clicked_by(PointerButton::Primary) {
        used = hovered;
        if hovered.is_none() && seen.desk.building.hold == Hold::Nothing {
            commands.push(Command::Select(None));
        }
    }
    let carrying = matches!(seen.desk.building.hold, Hold::Part(..));
    let down = carrying && ui.input(|i| i.pointer.primary_clicked()) && (used.is_some() || under.clicked());
    carry::carried(ui, seen, (board, &state.view, sheet), down, commands);
    if let Some(subject) = used.filter(|_| !down) {
        ui.memory_mut(|memory| memory.request_focus(ids::subject(seen.number, subject)));
        if only_foretold(seen, state, subject) {
            state.foretold = Some(subject);
            commands.push(Command::Say(t!("board-ui-tap-again-to-do-it").to_owned()));
        } else {
            state.foretold = None;
            perform(seen, subject, commands);
        }
    }
    if under.secondary_clicked() {
        doubted = doubted.or(hovered);
    }
    if seen.room.dialog.is_none() && is_meant(ui, seen, board) && asks_for_faults(ui) {
        let focused = focused.map(|(place, _)| place.subject);
        let at = if state.by_keyboard { focused.or(hovered) } else { hovered.or(focused) };
        doubted = at.or(seen.desk.selected);
    }
    if let Some(subject) = doubted.filter(|subject| !matches!(subject, Subject::Lead(_))) {
        commands.push(Command::Select(Some(subject)));
        commands.push(Command::Ask(Some(Dialog::Faults(subject))));
    }
    keep_in_sight(ui, board, state, focused);
    find_marks(ui, board, seen, sheet, state, (&suspected, &leads));
    doubt_marks(ui, board, seen, sheet, &state.view);
    marks(ui, board, seen, sheet, state, hovered, focused);
    carry::ghost(ui, seen, (board, &state.view, sheet));
    if hovered.is_some() {
        ui.set_cursor_icon(CursorIcon::PointingHand);
    } else if under.dragged() {
        ui.set_cursor_icon(CursorIcon::Grabbing);
    }
    pointed(ui, seen, state, hovered, focused)
}

/// Which places are widgets just now. What the pointer means is decided without them, and thousands cost a frame its time.
enum AtHand {
    /// All, for whoever comes by keyboard or has them read out.
    All,
    /// The one with the keyboard, wherever that is.
    Focused(Option<egui::Id>),
}

impl AtHand {
    fn of(ui: &Ui, state: &BoardState, board: egui::Id) -> Self {
        let is_read_out = ui.ctx().accesskit_node_builder(board, |_| ()).is_some();
        if is_read_out || state.by_keyboard || ui.input(|i| MOVES.iter().any(|key| i.key_pressed(*key))) {
            return Self::All;
        }
        Self::Focused(ui.memory(egui::Memory::focused))
    }

    fn is(&self, place: egui::Id) -> bool {
        match self {
            Self::All => true,
            Self::Focused(id) => *id == Some(place),
        }
    }
}

/// Whether a key is about this drawing: with two of them the one under the pointer or with the keyboard in it, else the
/// one in front.
fn is_meant(ui: &Ui, seen: &Seen<'_>, board: Rect) -> bool {
    seen.is_front || ui.rect_contains_pointer(board)
}

/// The keys that list what can be wrong with the thing the keyboard is at.
fn asks_for_faults(ui: &Ui) -> bool {
    !ui.ctx().text_edit_focused() && ui.input_mut(|input| shortcuts::presses(input, Asked::Faults)) > 0
}

/// Pan by dragging or scrolling, zoom by wheel with Ctrl or by two fingers.
fn travel(ui: &Ui, board: Rect, under: &egui::Response, is_dragging: bool, view: &mut View) {
    if under.dragged() && !is_dragging {
        view.pan(under.drag_delta());
    }
    if !ui.rect_contains_pointer(board) {
        return;
    }
    let (zoom, scroll, at) = ui.input(|i| (i.zoom_delta(), i.smooth_scroll_delta(), i.pointer.hover_pos()));
    if let Some(at) = at {
        view.zoom_about(board, at, zoom);
    }
    view.pan(scroll);
}

/// What a thing is called, with its state.
pub fn named(seen: &Seen<'_>, sheet: &Sheet, subject: Subject) -> String {
    let made = || words::subject_seen(seen.bench, seen.eyes.zip(seen.hunt), subject);
    sheet.label(subject, made).unwrap_or_default().to_owned()
}

/// What it is called, with what of an instrument is on it.
fn label(seen: &Seen<'_>, sheet: &Sheet, subject: Subject) -> String {
    let mut label = named(seen, sheet, subject);
    for on in seen.desk.instruments.on(seen.bench, subject) {
        label.push_str(&t!("board-ui-here", on));
    }
    label
}

fn is_loose(seen: &Seen<'_>, end: crate::circuit::WireEnd) -> bool {
    seen.bench.inputs().lifted.contains(&end)
}

fn on_screen(board: Rect, view: &View, place: &Place) -> Rect {
    let target = &place.target;
    let a = view.screen_from_page(board, target.x, target.y);
    let b = view.screen_from_page(board, target.x + target.width, target.y + target.height);
    let rect = Rect::from_two_pos(a, b);
    MARKED.at_least(rect, place.subject)
}

fn role(subject: Subject) -> Role {
    match subject {
        Subject::Part(_) | Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) | Subject::Lead(_) => {
            Role::Button
        }
    }
}

/// A finger does not hover: its first tap on something shows the forecast, its second makes the act.
fn only_foretold(seen: &Seen<'_>, state: &BoardState, subject: Subject) -> bool {
    let what = use_on(seen.desk, seen.bench, subject);
    let told = matches!(what, Use::Act(_) | Use::Handle { shows: Some(_), .. });
    state.by_touch && told && state.foretold != Some(subject)
}

/// Pushes what the tool in hand does to a thing.
fn perform(seen: &Seen<'_>, subject: Subject, commands: &mut Commands) {
    match use_on(seen.desk, seen.bench, subject) {
        Use::Act(act) => commands.push(Command::Act(crate::bench::Action::Do(act))),
        Use::Change(action) => commands.push(Command::Act(action)),
        Use::FirstClip(point) => commands.push(Command::FirstClip(point)),
        Use::Handle { device, handling, .. } => commands.push(Command::Handle(device, handling)),
        Use::Build(step) => commands.push(Command::Build(step)),
        Use::Look => {}
        Use::Nothing(why) => commands.push(Command::Say(why)),
    }
    if seen.desk.building.hold == Hold::Nothing {
        commands.push(Command::Select(Some(subject)));
        if seen.desk.is_building() {
            commands.push(Command::Build(BuildStep::Show(Page::Chosen)));
        }
    }
}

/// Follows the keyboard when it moves to something out of sight.
fn keep_in_sight(ui: &Ui, board: Rect, state: &mut BoardState, focused: Option<(&Place, Rect)>) {
    let subject = focused.map(|(place, _)| place.subject);
    let (moved, clicked, typed) = ui.input(|i| {
        let typed = MOVES.iter().chain(&[Key::Enter, Key::Space]).any(|key| i.key_pressed(*key));
        (i.pointer.delta() != egui::Vec2::ZERO, i.pointer.any_click(), typed)
    });
    // What is clicked has the keyboard from the next frame on.
    let by_click = clicked || state.clicked;
    if moved {
        state.by_keyboard = false;
    } else if typed || (subject.is_some() && subject != state.focused && !by_click) {
        state.by_keyboard = true;
    }
    state.clicked = clicked;
    if let Some((place, rect)) = focused
        && state.focused != Some(place.subject)
        && state.by_keyboard
    {
        state.view.reveal(board, rect);
    }
    state.focused = subject;
}

/// How far a terminal or a wire reaches for what is noted beside it, in points.
const DOT: f32 = 9.0;

/// How far a thing that takes this place reaches for what is noted beside it, in points.
fn reach_of(subject: Subject, rect: Rect) -> f32 {
    match subject {
        Subject::Part(_) => rect.size().min_elem() / 2.0,
        Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) | Subject::Lead(_) => DOT,
    }
}

/// Places of the drawing, each with what is written there.
type Marked<'a, T> = &'a [(Subject, T)];

/// What a find has to show: rings of suspicion, then where leads go.
fn find_marks(
    ui: &Ui,
    board: Rect,
    seen: &Seen<'_>,
    sheet: &Sheet,
    state: &BoardState,
    (suspected, leads): (Marked<'_, f64>, Marked<'_, &'static str>),
) {
    let ring = |(subject, share): &(Subject, f64)| {
        let rect = on_screen(board, &state.view, sheet.place(*subject)?);
        Some((rect.center(), reach_of(*subject, rect).clamp(DOT, 26.0), *share))
    };
    let rings: Vec<_> = suspected.iter().filter_map(ring).collect();
    if !rings.is_empty() {
        suspicion::rings(ui.painter(), seen, (board, &state.view), &sheet.picture, &rings);
    }
    for (subject, sign) in leads {
        if let Some(place) = sheet.place(*subject) {
            suspicion::lead(ui.painter(), seen, on_screen(board, &state.view, place).center(), sign);
        }
    }
}

/// Signs at what is doubtful about a circuit that is being changed, where they hide least of it.
fn doubt_marks(ui: &Ui, board: Rect, seen: &Seen<'_>, sheet: &Sheet, view: &View) {
    let size = doubt::size(ui.painter(), seen);
    let note = |(subject, number): (Subject, usize)| {
        let rect = on_screen(board, view, sheet.place(subject)?);
        Some((number, (rect.center(), reach_of(subject, rect), size)))
    };
    let (numbers, notes): (Vec<usize>, Vec<_>) = doubt::places(seen).into_iter().filter_map(note).unzip();
    if notes.is_empty() {
        return;
    }
    for (number, corner) in numbers.into_iter().zip(paint::beside(board, view, &sheet.picture, &notes)) {
        doubt::sign(ui.painter(), seen, Rect::from_min_size(corner, size), number);
    }
}

fn marks(
    ui: &Ui,
    board: Rect,
    seen: &Seen<'_>,
    sheet: &Sheet,
    state: &BoardState,
    hovered: Option<Subject>,
    focused: Option<(&Place, Rect)>,
) {
    let painter = ui.painter();
    let ring = |subject: Subject, weight: f32| {
        let Some(place) = sheet.place(subject) else { return };
        if is_long(subject) {
            paint::trace(painter, board, &state.view, seen.palette.focus, &sheet.picture, subject);
            return;
        }
        let rect = outline(board, &state.view, place);
        painter.rect_stroke(rect, 5.0, Stroke::new(weight, seen.palette.focus), StrokeKind::Outside);
    };
    if let Some(subject) = seen.desk.selected {
        ring(subject, 1.2);
    }
    if let Some(subject) = hovered.filter(|s| seen.desk.selected != Some(*s)) {
        ring(subject, 1.6);
    }
    if let Some((place, _)) = focused {
        if is_long(place.subject) && seen.desk.selected != Some(place.subject) && hovered != Some(place.subject) {
            ring(place.subject, 1.6);
        }
        let rect = outline(board, &state.view, place).expand(2.0);
        painter.rect_stroke(rect, 6.0, Stroke::new(3.0, seen.palette.focus), StrokeKind::Outside);
    }
    let Some((held, ink, free)) = held(seen) else { return };
    let Some(place) = place_of(seen, sheet, &held) else { return };
    let from = on_screen(board, &state.view, place).center();
    let colour = seen.palette.ink(ink);
    painter.circle_stroke(from, 9.0, Stroke::new(3.0, colour));
    let to = match (hovered.and_then(|s| sheet.place(s)), focused) {
        (Some(place), _) if !state.by_keyboard => on_screen(board, &state.view, place).center(),
        (_, Some((place, _))) if state.by_keyboard => on_screen(board, &state.view, place).center(),
        // A lead that is on a point hangs from it until it would go elsewhere.
        _ => match ui.input(|i| i.pointer.hover_pos()).filter(|at| free && board.contains(*at)) {
            Some(at) => at,
            None => return,
        },
    };
    painter.extend(Shape::dashed_line(&[from, to], Stroke::new(2.5, colour), 8.0, 5.0));
}

/// Where the other end is of the lead or wire in hand, the colour of the one in hand, and whether that one hangs free.
fn held(seen: &Seen<'_>) -> Option<(Point, Ink, bool)> {
    if let Some(from) = seen.desk.building.hold.stays_on(seen.bench.circuit()) {
        return Some((Point::Terminal(from), Ink::Symbol, true));
    }
    match &seen.desk.tool {
        Tool::Lead { first } => Some((first.clone()?, Ink::Lead, true)),
        Tool::Instrument(device) => {
            let now = seen.desk.instruments.as_on(seen.bench);
            let ink = match now.pole(*device) {
                Pole::Plus => Ink::PlusLead,
                Pole::Minus => Ink::MinusLead,
            };
            let free = now.lead(*device, now.pole(*device)).is_none();
            Some((now.lead(*device, now.pole(*device).other())?.clone(), ink, free))
        }
        Tool::Hand | Tool::Lift => None,
    }
}

/// Whether a frame would not show where it runs.
fn is_long(subject: Subject) -> bool {
    match subject {
        Subject::Wire(_) | Subject::Lead(_) => true,
        Subject::Part(_) | Subject::Terminal(_) | Subject::WireEnd(_) => false,
    }
}

/// The place a lead's clip is on.
fn place_of<'a>(seen: &Seen<'_>, sheet: &'a Sheet, point: &Point) -> Option<&'a Place> {
    let subject = match point {
        Point::Terminal(words) => Subject::Terminal(seen.bench.circuit().terminal_named(words)?),
        Point::LooseEnd(name) => Subject::WireEnd(seen.bench.wire_end(name).ok()?),
    };
    sheet.place(subject)
}

/// A ring hugs what is drawn, though the area it is hit in may be larger.
fn outline(board: Rect, view: &View, place: &Place) -> Rect {
    match place.subject {
        Subject::Terminal(_) | Subject::WireEnd(_) => {
            let side = (20.0 * view.zoom()).max(16.0);
            Rect::from_center_size(on_screen(board, view, place).center(), vec2(side, side))
        }
        Subject::Part(_) | Subject::Wire(_) | Subject::Lead(_) => on_screen(board, view, place),
    }
}

fn pointed(
    ui: &Ui,
    seen: &Seen<'_>,
    state: &BoardState,
    hovered: Option<Subject>,
    focused: Option<(&Place, Rect)>,
) -> Option<Pointed> {
    let (subject, at) = match (hovered, focused) {
        (Some(subject), _) if !state.by_keyboard => (subject, ui.input(|i| i.pointer.hover_pos())?),
        (_, Some((place, rect))) if state.by_keyboard || state.foretold == Some(place.subject) => {
            (place.subject, rect.right_center())
        }
        _ => return None,
    };
    Some(Pointed { subject, what: use_on(seen.desk, seen.bench, subject), at })
}
