//! Setting a card, or a drawing alone, on one sheet.
//!
//! Yields [`card`] and [`drawing`]. A few arrangements, sizes of letters and lengths of lists are tried, from the
//! roomiest on, and the first is taken in which the drawing is large enough to read; every text has a most number of
//! lines, so that the last one fits whatever the circuit. What is said is not decided here.

use crate::drawing::{Picture, Theme};
use crate::study::answer::Level;
use crate::study::wording::SAFETY;

use super::acts::{Section, Step};
use super::card::Card;
use super::font::{self, Weight};
use super::page::{Area, LEADING, Page, Piece, Run, Size, bold, plain};
use super::warnings::Warning;

/// Blank edge of the sheet, in points: what a common printer cannot reach, and a hand's hold.
const EDGE: f32 = 30.0;
/// Space between blocks, in points.
const GAP: f32 = 10.0;
/// Space between columns, in points.
const GUTTER: f32 = 16.0;
/// Points to the unit at which a drawing's designations are 6.5 points high and its terminal names 4.5.
const READABLE: f32 = 0.5;
/// How many times larger a drawing must come out to be worth smaller letters and shorter lists.
const WORTH: f32 = 1.06;
/// Points to the unit beyond which a drawing only looks coarse.
const LARGEST: f32 = 0.8;
/// Letters in points, and most rows in a list of acts, from the roomiest.
const TRIES: [(f32, usize); 10] =
    [(8.6, 8), (8.2, 8), (8.2, 6), (7.8, 8), (7.8, 6), (7.4, 6), (7.0, 6), (7.0, 5), (6.6, 4), (6.2, 3)];

/// Rows in the longest list of acts there is.
const MOST_ROWS: usize = 8;

/// A drawing alone on a sheet, lying where the picture is wide.
pub fn drawing(picture: &Picture, title: &str, size: Size, theme: Theme) -> Page {
    let (short, long) = size.points();
    let paper = if picture.width > picture.height { (long, short) } else { (short, long) };
    let mut page = Page::new(paper, title);
    let (width, height) = (paper.0 - 2.0 * EDGE, paper.1 - 2.0 * EDGE);
    let head = Piece::paragraph(width, &[bold(title)], 13.0, 2);
    page.put(&head, EDGE, EDGE);
    let room = height - head.height - GAP;
    let scale = (width / picture.width).min(room / picture.height).min(1.0);
    let mut piece = Piece::new(width, room);
    piece.picture(picture, theme, ((width - picture.width * scale) / 2.0, 0.0), scale);
    page.put(&piece, EDGE, EDGE + head.height + GAP);
    page
}

/// A card on one sheet.
pub fn card(card: &Card, size: Size) -> Page {
    let (width, height) = size.points();
    let (width_inside, room) = (width - 2.0 * EDGE, height - 2.0 * EDGE);
    let mut best: Option<(Blocks<'_>, Plan)> = None;
    for (letters, rows) in TRIES {
        let blocks = Blocks { card, letters, rows, width: width_inside };
        let roomiest = blocks.plans(room).into_iter().max_by(|a, b| a.scale.total_cmp(&b.scale));
        if let Some(plan) = roomiest
            && best.as_ref().is_none_or(|(_, known)| plan.scale > WORTH * known.scale)
        {
            best = Some((blocks, plan));
        }
        if best.as_ref().is_some_and(|(_, plan)| plan.scale >= READABLE) {
            break;
        }
    }
    let mut page = Page::new((width, height), &card.title);
    if let Some((mut blocks, plan)) = best {
        // What room is left may hold the acts that were to be spared.
        while blocks.rows < MOST_ROWS {
            let longer = Blocks { rows: blocks.rows + 1, ..blocks };
            if !longer.plans(room).contains(&plan) {
                break;
            }
            blocks = longer;
        }
        page.put(&blocks.whole(&plan, room), EDGE, EDGE);
    }
    page
}

/// What stands right of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Beside {
    /// Style, acts, and what not to do.
    Everything,
    /// Style and acts; what not to do below.
    Acts,
    /// The style; acts and what not to do below.
    Style,
}

/// One arrangement that fits, and how large the drawing is in it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Plan {
    beside: Beside,
    /// Width of the drawing's column.
    left: f32,
    /// Points to the unit of the drawing.
    scale: f32,
}

/// The blocks of a card in one size of letters.
#[derive(Clone, Copy)]
struct Blocks<'a> {
    card: &'a Card,
    letters: f32,
    rows: usize,
    width: f32,
}

impl Blocks<'_> {
    /// Every arrangement that fits.
    fn plans(&self, room: f32) -> Vec<Plan> {
        let middle = room - self.head().height - self.tail().height - 2.0 * GAP;
        let above_warnings = middle - self.warnings(self.width).height - GAP;
        let above_acts = above_warnings - self.acts_side_by_side().height - GAP;
        let mut plans = Vec::new();
        for percent in (30..=66).step_by(3) {
            let left = (self.width - GUTTER) * percent as f32 / 100.0;
            for (beside, room) in
                [(Beside::Everything, middle), (Beside::Acts, above_warnings), (Beside::Style, above_acts)]
            {
                plans.extend(self.fitted(beside, left, room));
            }
        }
        plans
    }

    /// An arrangement, where its column is wide enough and not too long.
    fn fitted(&self, beside: Beside, left: f32, room: f32) -> Option<Plan> {
        let right = self.width - GUTTER - left;
        let least = match beside {
            Beside::Everything | Beside::Acts => 230.0,
            Beside::Style => 150.0,
        };
        if right < least || room < 40.0 || self.column(beside, right).height > room {
            return None;
        }
        let picture = &self.card.picture;
        let scale = (left / picture.width).min(room / picture.height).min(LARGEST);
        Some(Plan { beside, left, scale })
    }

    /// What stands right of the drawing.
    fn column(&self, beside: Beside, width: f32) -> Piece {
        let mut pieces = vec![self.style(width)];
        if beside != Beside::Style {
            pieces.extend([self.engage(width), self.acts(&self.card.release, width)]);
        }
        if beside == Beside::Everything {
            pieces.push(self.warnings(width));
        }
        stack(&pieces, width)
    }

    /// The two lists of acts below the drawing.
    fn acts_side_by_side(&self) -> Piece {
        let half = (self.width - GUTTER) / 2.0;
        let (engage, release) = (self.engage(half), self.acts(&self.card.release, half));
        let mut piece = Piece::new(self.width, engage.height.max(release.height));
        piece.put(&engage, 0.0, 0.0);
        piece.put(&release, half + GUTTER, 0.0);
        piece
    }

    /// The whole card.
    fn whole(&self, plan: &Plan, room: f32) -> Piece {
        let mut piece = Piece::new(self.width, 0.0);
        piece.add(&self.head(), 0.0, 0.0);
        piece.add(&self.drawn(plan), 0.0, GAP);
        if plan.beside == Beside::Style {
            piece.add(&self.acts_side_by_side(), 0.0, GAP);
        }
        if plan.beside != Beside::Everything {
            piece.add(&self.warnings(self.width), 0.0, GAP);
        }
        // The rest of the sheet lies above the part that is filled in by hand.
        let tail = self.tail();
        piece.height = piece.height.max(room - tail.height - GAP);
        piece.add(&tail, 0.0, GAP);
        piece
    }

    /// The drawing with its column.
    fn drawn(&self, plan: &Plan) -> Piece {
        let column = self.column(plan.beside, self.width - GUTTER - plan.left);
        let picture = &self.card.picture;
        let (width, height) = (picture.width * plan.scale, picture.height * plan.scale);
        let mut piece = Piece::new(self.width, height.max(column.height));
        piece.picture(picture, Theme::Grey, ((plan.left - width) / 2.0, 0.0), plan.scale);
        piece.put(&column, plan.left + GUTTER, 0.0);
        piece
    }

    /// Title, kind and notes over the rules that keep hands whole.
    fn head(&self) -> Piece {
        let mut piece = Piece::new(self.width, 0.0);
        let small = 7.5;
        piece.line(0.0, 0.0, &[bold("Proving the fan clutch by hand")], small, "#000000");
        piece.line_to(self.width, 0.0, bold(&*self.card.kind), small, "#000000");
        piece.height += small * LEADING;
        piece.add(&Piece::paragraph(self.width, &[bold(&*self.card.title)], 19.0, 2), 0.0, 0.0);
        piece.add(&Piece::paragraph(self.width, &[plain(&*self.card.notes)], self.letters, 3), 0.0, 1.0);
        piece.height += 4.0;
        piece.rule(0.0, piece.height, self.width, 1.6, "#000000");
        let pad = 6.0;
        let safety = Piece::paragraph(self.width, &[bold("Before the key. "), plain(SAFETY)], self.letters, 5);
        piece.add(&safety, 0.0, pad);
        piece.height += pad - 1.0;
        piece.rule(0.0, piece.height, self.width, 0.6, "#000000");
        piece
    }

    fn heading(&self, words: &str, width: f32) -> Piece {
        let mut piece = Piece::paragraph(width, &[bold(words)], self.letters + 2.0, 2);
        piece.height += 1.5;
        piece.rule(0.0, piece.height, width, 0.9, "#000000");
        piece.height += 2.5;
        piece
    }

    /// The four senses of one word, and what is lost with key and air.
    fn style(&self, width: f32) -> Piece {
        let mut piece = self.heading("What is “normal” here", width);
        let label = 0.34 * width;
        for of in &self.card.style {
            let name = Piece::paragraph(label - 6.0, &[plain(of.of)], self.letters, 2);
            let mut says = Piece::paragraph(width - label, &[bold(&*of.says)], self.letters, 3);
            says.add(&Piece::paragraph(width - label, &[plain(&*of.detail)], self.letters - 0.8, 3), 0.0, 0.0);
            piece.put(&name, 0.0, piece.height);
            piece.put(&says, label, piece.height);
            piece.height += name.height.max(says.height) + 2.0;
        }
        piece
    }

    /// The list of acts that engage, under what the supply gauge must show.
    fn engage(&self, width: f32) -> Piece {
        let mut piece = self.acts(&self.card.engage, width);
        piece.add(&Piece::paragraph(width, &[plain(&*self.card.supply)], self.letters - 0.8, 3), 0.0, 2.0);
        piece
    }

    /// One list of acts with what each should show.
    fn acts(&self, section: &Section, width: f32) -> Piece {
        let size = self.letters;
        let mut piece = self.heading(&section.heading, width);
        let columns = [(width - 9.2 * size, &*self.card.coil), (width - 4.0 * size, "Clutch"), (width, "Fan")];
        let rights = columns.map(|(right, _)| right);
        for (right, words) in columns {
            piece.line_to(right, piece.height, plain(words), size - 1.2, "#222222");
        }
        piece.height += (size - 1.2) * LEADING + 1.0;
        let room = width - 14.2 * size;
        for (i, step) in section.steps.iter().take(self.rows).enumerate() {
            if i > 0 {
                piece.rule(0.0, piece.height, width, 0.3, "#555555");
                piece.height += 1.5;
            }
            self.row(&mut piece, step, room, rights);
        }
        let note = Piece::paragraph(width, &[plain(&*section.note)], size, 4);
        piece.add(&note, 0.0, 2.0);
        piece
    }

    fn row(&self, piece: &mut Piece, step: &Step, room: f32, rights: [f32; 3]) {
        let words = Piece::paragraph(room, &step.words, self.letters, 3);
        let top = piece.height;
        piece.put(&words, 0.0, top);
        let reading = &step.reading;
        for (right, text) in rights.into_iter().zip([reading.coil.as_str(), reading.clutch.as_str(), reading.fan]) {
            piece.line_to(right, top, bold(text), self.letters, "#000000");
        }
        piece.height = top + words.height.max(self.letters * LEADING) + 1.5;
    }

    /// What not to do, a box for each signal word.
    fn warnings(&self, width: f32) -> Piece {
        if self.card.warnings.is_empty() {
            return Piece::default();
        }
        let mut piece = self.heading("What not to do here", width);
        for level in [Level::Danger, Level::Warning, Level::Caution] {
            let of_level: Vec<&Warning> = self.card.warnings.iter().filter(|w| w.level == level).collect();
            if !of_level.is_empty() {
                piece.add(&self.signal(level, &of_level, width), 0.0, 1.5);
                piece.height += 1.5;
            }
        }
        piece
    }

    /// A box with its signal word: the panel dark, middling or light, so that grey tells them apart as well.
    fn signal(&self, level: Level, warnings: &[&Warning], width: f32) -> Piece {
        let (fill, ink, ground) = match level {
            Level::Danger => ("#b5121b", "#ffffff", "#b5121b"),
            Level::Warning => ("#ff8a1f", "#000000", "#ff8a1f"),
            Level::Caution => ("#ffe04a", "#000000", "#ffe04a"),
        };
        let size = self.letters;
        let word = level.word().to_uppercase();
        let (pad, mark) = (5.0, size * 1.05);
        let tab = mark * 1.12 + font::width("WARNING", size, Weight::Bold) + 3.0 * pad;
        let inside = width - tab - 2.0 * pad;
        let mut texts = Piece::new(inside, 0.0);
        for (i, warning) in warnings.iter().enumerate() {
            let runs: [Run; 2] = [bold(format!("{}. ", warning.what)), plain(&*warning.why)];
            texts.add(&Piece::paragraph(inside, &runs, size, 5), 0.0, if i == 0 { 0.0 } else { 2.0 });
        }
        let mut piece = Piece::new(width, texts.height + 2.0 * 3.5);
        piece.panel(Area { x: 0.0, y: 0.0, width: tab, height: piece.height }, fill);
        piece.frame(Area { x: 0.0, y: 0.0, width, height: piece.height }, 0.9);
        piece.alert(pad, 3.5 + size * 0.1, mark, ink, ground);
        piece.line(2.0 * pad + mark * 1.12, 3.5, &[bold(word)], size, ink);
        piece.put(&texts, tab + pad, 3.5);
        piece
    }

    /// What is ticked and written by hand, and where this comes from.
    fn tail(&self) -> Piece {
        let half = (self.width - GUTTER) / 2.0;
        let (list, record) = (self.put_back(half), self.record(half));
        let mut piece = Piece::new(self.width, list.height.max(record.height));
        piece.put(&list, 0.0, 0.0);
        piece.put(&record, half + GUTTER, 0.0);
        let told = format!(
            "Worked out by Fanloom {} from the circuit file: {}.",
            env!("CARGO_PKG_VERSION"),
            self.card.conditions
        );
        let foot = Piece::paragraph(self.width, &[plain(told)], 6.6, 3);
        piece.add(&foot, 0.0, 6.0);
        piece
    }

    fn put_back(&self, width: f32) -> Piece {
        let mut piece = self.heading("Put everything back", width);
        let side = self.letters * 0.95;
        for item in &self.card.put_back {
            let words = Piece::paragraph(width - side - 6.0, &[plain(&**item)], self.letters, 3);
            piece.tick(0.0, piece.height + self.letters * 0.2, side);
            piece.put(&words, side + 6.0, piece.height);
            piece.height += words.height + 2.0;
        }
        piece
    }

    /// Blanks for what was found, by whom and when.
    fn record(&self, width: f32) -> Piece {
        let mut piece = self.heading("Found", width);
        let size = self.letters - 0.8;
        let row = 15.5;
        let columns = ["Coil, volts", "Supply air", "Clutch air", "Fan"];
        let label = 0.2 * width;
        let column = (width - label) / columns.len() as f32;
        for (i, words) in columns.iter().enumerate() {
            piece.line(label + column * i as f32, piece.height, &[plain(*words)], size, "#222222");
        }
        piece.height += size * LEADING;
        for words in ["At rest", "Engaged", "Released"] {
            piece.line(0.0, piece.height + row - size * LEADING, &[plain(words)], size, "#000000");
            piece.height += row;
            for i in 0..columns.len() {
                piece.rule(label + column * i as f32, piece.height, column - 6.0, 0.5, "#000000");
            }
        }
        for pair in [["Vehicle", "Mileage"], ["Date", "Name"], ["Signature", ""]] {
            piece.height += 1.5;
            let share = if pair[1].is_empty() { width } else { width / 2.0 };
            for (i, words) in pair.iter().enumerate().filter(|(_, words)| !words.is_empty()) {
                let x = share * i as f32;
                let used = piece.line(x, piece.height + row - size * LEADING, &[plain(*words)], size, "#000000");
                piece.rule(x + used + 4.0, piece.height + row, share - used - 10.0, 0.5, "#000000");
            }
            piece.height += row;
        }
        piece
    }
}

/// Pieces one below the other.
fn stack(pieces: &[Piece], width: f32) -> Piece {
    let mut stack = Piece::new(width, 0.0);
    for (i, piece) in pieces.iter().enumerate() {
        stack.add(piece, 0.0, if i == 0 { 0.0 } else { GAP });
    }
    stack
}
