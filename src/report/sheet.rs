//! Setting a card, or a drawing alone, on one sheet.
//!
//! Yields [`card`] and [`drawing`]. What to do stands where the eye falls first, under black bars. A few arrangements
//! and sizes of letters are tried, from the roomiest on, and the first is taken in which the drawing is large enough
//! to read; every text has a most number of lines, so that the last one fits whatever the circuit. What is said is
//! not decided here.

use std::collections::BTreeSet;

use crate::drawing::{Picture, Theme};
use crate::study::answer::Level;

use super::acts::{Section, Step};
use super::card::Card;
use super::font::{self, Weight};
use super::legible::on_paper;
use super::page::{Area, LEADING, Page, Phrase, Piece, Run, Size, bold, plain};
use super::warnings::Warning;
use crate::words::{Language, Words, say};

/// Blank edge of the sheet, in points: what a common printer cannot reach, and a hand's hold.
const EDGE: f32 = 28.0;
/// Space between blocks, in points.
const GAP: f32 = 9.0;
/// Space between columns, in points.
const GUTTER: f32 = 14.0;
/// Points to the unit from which a drawing can be read, its smallest letters raised a little.
const READABLE: f32 = 0.42;
/// How many times larger a drawing must come out to be worth smaller letters.
const WORTH: f32 = 1.1;
/// Points to the unit at which no letter of a drawing needs raising; more is not worth any room.
const AMPLE: f32 = 0.66;
/// Points to the unit beyond which a drawing only looks coarse.
const LARGEST: f32 = 0.8;
/// Least width of what is filled in by hand, over the size of letters.
const BLANKS_WIDE: f32 = 40.0;
/// Letters in points, from the roomiest.
const TRIES: [f32; 7] = [9.4, 9.0, 8.6, 8.2, 7.8, 7.4, 7.0];
/// Letters in points where nothing else gets all on one page; sentences are cut there.
const LAST_RESORT: [f32; 2] = [6.6, 6.2];

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
    let printed = on_paper(picture, scale, &BTreeSet::new());
    piece.picture(&printed, theme, ((width - picture.width * scale) / 2.0, 0.0), scale);
    page.put(&piece, EDGE, EDGE + head.height + GAP);
    page
}

/// A card in English on one sheet, upright or lying, whichever shows its drawing larger.
pub fn card(card: &Card, size: Size) -> Page {
    card_in(Language::English, card, size)
}

/// A card in a language.
pub fn card_in(language: Language, card: &Card, size: Size) -> Page {
    let (short, long) = size.points();
    let mut best: Option<(Blocks<'_>, Plan)> = None;
    for letters in TRIES.into_iter().chain(LAST_RESORT) {
        if best.is_some() && LAST_RESORT.contains(&letters) {
            break;
        }
        let plans = [(short, long), (long, short)].into_iter().flat_map(|paper| {
            let blocks = Blocks { card, language, letters, paper, width: paper.0 - 2.0 * EDGE };
            blocks.plans().into_iter().map(move |plan| (blocks, plan))
        });
        let fittest = plans.max_by(|a, b| a.1.worth().total_cmp(&b.1.worth()));
        if let Some((blocks, plan)) = fittest
            && best.as_ref().is_none_or(|(_, known)| plan.scale > WORTH * known.scale)
        {
            best = Some((blocks, plan));
        }
        if best.as_ref().is_some_and(|(_, plan)| plan.scale >= READABLE) {
            break;
        }
    }
    let paper = best.as_ref().map_or((short, long), |(blocks, _)| blocks.paper);
    let mut page = Page::new(paper, &card.title);
    if let Some((blocks, plan)) = best {
        page.put(&blocks.whole(&plan), EDGE, EDGE);
    }
    page
}

/// What stands where. The style is always beside the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Beside {
    /// Upright: acts and what not to do beside the drawing.
    Everything,
    /// Upright: acts beside the drawing, what not to do below.
    Acts,
    /// Upright: acts above the drawing, what not to do beside it.
    Warnings,
    /// Upright: acts above the drawing, what not to do below.
    Style,
    /// Lying: acts and what not to do beside the drawing, what is filled in by hand below it.
    LyingOverBlanks,
    /// Lying: acts and what is filled in by hand beside the drawing, what not to do below it.
    LyingOverWarnings,
}

impl Beside {
    const UPRIGHT: [Self; 4] = [Self::Everything, Self::Acts, Self::Warnings, Self::Style];
    const LYING: [Self; 2] = [Self::LyingOverBlanks, Self::LyingOverWarnings];

    fn is_lying(self) -> bool {
        Self::LYING.contains(&self)
    }

    fn acts(self) -> bool {
        matches!(self, Self::Everything | Self::Acts) || self.is_lying()
    }

    fn warnings(self) -> bool {
        matches!(self, Self::Everything | Self::Warnings | Self::LyingOverBlanks)
    }
}

/// One arrangement that fits, and how large the drawing is in it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Plan {
    beside: Beside,
    /// Width of the drawing's column.
    left: f32,
    /// Points to the unit of the drawing.
    scale: f32,
    /// Share of the page's width and height left blank around the drawing.
    blank: f32,
}

impl Plan {
    /// A drawing as large as it need be, then little blank paper.
    fn worth(&self) -> f32 {
        // Cards are kept upright in a binder, so one lies only where that shows more.
        let lying = if self.beside.is_lying() { 0.04 } else { 0.0 };
        self.scale.min(AMPLE) - 0.12 * self.blank - lying
    }
}

/// The blocks of a card in one size of letters.
#[derive(Clone, Copy)]
struct Blocks<'a> {
    card: &'a Card,
    language: Language,
    letters: f32,
    /// Width and height of the sheet.
    paper: (f32, f32),
    /// Width inside its edges.
    width: f32,
}

impl Blocks<'_> {
    /// Words in the card's language.
    fn told(&self, words: impl Into<Words>) -> String {
        words.into().told(self.language, self.card.measure).to_owned()
    }

    fn bold(&self, words: impl Into<Words>) -> Run {
        bold(self.told(words))
    }

    fn runs(&self, phrases: &[Phrase]) -> Vec<Run> {
        phrases.iter().map(|phrase| Run { text: self.told(&phrase.words), weight: phrase.weight }).collect()
    }

    fn plain(&self, words: impl Into<Words>) -> Run {
        plain(self.told(words))
    }

    /// Height inside the sheet's edges.
    fn room(&self) -> f32 {
        self.paper.1 - 2.0 * EDGE
    }

    /// Every arrangement that fits.
    fn plans(&self) -> Vec<Plan> {
        let head = self.head().height + GAP;
        let lies = self.paper.0 > self.paper.1;
        let shared = if lies { 0.0 } else { self.tail(self.width).height + GAP };
        let middle = self.room() - head - shared;
        let (warnings, acts) = (self.warnings(self.width).height + GAP, self.acts_side_by_side().height + GAP);
        let mut plans = Vec::new();
        for percent in (30..=70).step_by(2) {
            let left = (self.width - GUTTER) * percent as f32 / 100.0;
            if lies {
                for beside in Beside::LYING {
                    let below = self.below(beside, left).height + GAP;
                    plans.extend(self.fitted(beside, left, middle, middle - below));
                }
                continue;
            }
            for beside in Beside::UPRIGHT {
                let above = if beside.acts() { 0.0 } else { acts };
                let below = if beside.warnings() { 0.0 } else { warnings };
                let room = middle - above - below;
                plans.extend(self.fitted(beside, left, room, room));
            }
        }
        plans
    }

    /// What stands below the drawing of a lying sheet.
    fn below(&self, beside: Beside, width: f32) -> Piece {
        if beside.warnings() { self.tail(width) } else { self.warnings(width) }
    }

    /// An arrangement, where its column is wide enough and not too long; `room` is the height that the column has,
    /// `room_drawn` the drawing's.
    fn fitted(&self, beside: Beside, left: f32, room: f32, room_drawn: f32) -> Option<Plan> {
        let right = self.width - GUTTER - left;
        let least = match beside {
            Beside::Everything | Beside::Acts | Beside::LyingOverBlanks => 27.0 * self.letters,
            Beside::LyingOverWarnings => BLANKS_WIDE * self.letters,
            Beside::Warnings => 22.0 * self.letters,
            Beside::Style => 17.0 * self.letters,
        };
        let is_narrow = beside == Beside::LyingOverBlanks && left < BLANKS_WIDE * self.letters;
        if right < least || is_narrow || room_drawn < 40.0 {
            return None;
        }
        let column = self.column(beside, right).height;
        if column > room {
            return None;
        }
        let picture = &self.card.picture;
        let scale = (left / picture.width).min(room_drawn / picture.height).min(LARGEST);
        let used = scale * picture.width / left * (scale * picture.height / room_drawn).min(1.0);
        let blank = (1.0 - used) * left / self.width + (1.0 - column / room) * right / self.width;
        Some(Plan { beside, left, scale, blank })
    }

    /// What stands right of the drawing.
    fn column(&self, beside: Beside, width: f32) -> Piece {
        let mut pieces = Vec::new();
        if beside.acts() {
            pieces.extend([self.acts(&self.card.engage, width), self.acts(&self.card.release, width)]);
            pieces.push(self.legend(width));
        }
        pieces.push(self.style(width));
        if beside.warnings() {
            pieces.push(self.warnings(width));
        }
        if beside == Beside::LyingOverWarnings {
            pieces.push(self.tail(width));
        }
        stack(&pieces, width)
    }

    /// The two lists of acts above the drawing.
    fn acts_side_by_side(&self) -> Piece {
        let half = (self.width - GUTTER) / 2.0;
        let (engage, release) = (self.acts(&self.card.engage, half), self.acts(&self.card.release, half));
        let mut piece = Piece::new(self.width, engage.height.max(release.height));
        piece.put(&engage, 0.0, 0.0);
        piece.put(&release, half + GUTTER, 0.0);
        piece.add(&self.legend(self.width), 0.0, 3.0);
        piece
    }

    /// The whole card.
    fn whole(&self, plan: &Plan) -> Piece {
        let mut piece = Piece::new(self.width, 0.0);
        piece.add(&self.head(), 0.0, 0.0);
        if !plan.beside.acts() {
            piece.add(&self.acts_side_by_side(), 0.0, GAP);
        }
        if plan.beside.is_lying() {
            let drawn = self.drawn(plan, self.room() - piece.height - GAP);
            piece.add(&drawn, 0.0, GAP);
            return piece;
        }
        piece.add(&self.drawn(plan, 0.0), 0.0, GAP);
        if !plan.beside.warnings() {
            piece.add(&self.warnings(self.width), 0.0, GAP);
        }
        // The rest of the sheet lies above the part that is filled in by hand.
        let tail = self.tail(self.width);
        piece.height = piece.height.max(self.room() - tail.height - GAP);
        piece.add(&tail, 0.0, GAP);
        piece
    }

    /// The drawing with its column, at least so high; on a lying sheet with what stands below it at the foot.
    fn drawn(&self, plan: &Plan, least: f32) -> Piece {
        let column = self.column(plan.beside, self.width - GUTTER - plan.left);
        let picture = on_paper(&self.card.picture.clone().in_language(self.language), plan.scale, &self.card.named);
        let (width, height) = (picture.width * plan.scale, picture.height * plan.scale);
        let mut piece = Piece::new(self.width, height.max(column.height).max(least));
        piece.picture(&picture, Theme::Grey, ((plan.left - width) / 2.0, 0.0), plan.scale);
        piece.put(&column, plan.left + GUTTER, 0.0);
        if plan.beside.is_lying() {
            let below = self.below(plan.beside, plan.left);
            let foot = piece.height - below.height;
            piece.put(&below, 0.0, foot);
        }
        piece
    }

    /// Title, kind and notes over the rules that keep hands whole.
    fn head(&self) -> Piece {
        let mut piece = Piece::new(self.width, 0.0);
        let (small, large) = (7.5, 18.0);
        let beside = [self.bold(say!("sheet-proving-the-fan-clutch-by")), self.bold(&self.card.kind)];
        let column = beside.iter().map(|run| font::width(&run.text, small, run.weight)).fold(0.0, f32::max);
        let title = Piece::paragraph(self.width - column - GUTTER, &[self.bold(&*self.card.title)], large, 2);
        piece.add(&title, 0.0, 0.0);
        for (i, run) in beside.into_iter().enumerate() {
            piece.line_to(self.width, 2.0 + small * LEADING * i as f32, run, small, "#000000");
        }
        piece.add(&Piece::paragraph(self.width, &[self.plain(&*self.card.notes)], self.letters, 3), 0.0, 1.0);
        piece.add(&self.safety(), 0.0, 5.0);
        piece
    }

    /// What keeps hands whole, in a frame, in two columns of sentences.
    fn safety(&self) -> Piece {
        let (size, pad) = (self.letters, 5.0);
        let half = (self.width - 3.0 * pad) / 2.0;
        let mut columns = [Piece::new(half, 0.0), Piece::new(half, 0.0)];
        let (first, rest) =
            self.card.safety.split_first().map_or((Words::default(), &[][..]), |(first, rest)| (first.clone(), rest));
        for sentence in rest {
            let mut line = Piece::paragraph(half - size, &[self.plain(sentence)], size, self.most(3));
            line.height = line.height.max(size * LEADING);
            let mut bullet = Piece::new(half, line.height);
            bullet.line(0.0, 0.0, &[self.bold("•")], size, "#000000");
            bullet.put(&line, size, 0.0);
            let shorter = usize::from(columns[1].height < columns[0].height);
            columns[shorter].add(&bullet, 0.0, 0.0);
        }
        let head = Piece::paragraph(self.width - 2.0 * pad, &[self.bold(say!("sheet-before-the-key", first))], size, 2);
        let body = columns[0].height.max(columns[1].height);
        let mut piece = Piece::new(self.width, head.height + body + pad + 3.0);
        piece.put(&head, pad, 2.5);
        piece.put(&columns[0], pad, head.height + 3.5);
        piece.put(&columns[1], half + 2.0 * pad, head.height + 3.5);
        piece.frame(Area { x: 0.0, y: 0.0, width: self.width, height: piece.height }, 1.4);
        piece
    }

    /// A black bar with white words: what to do.
    fn bar(&self, words: &Words, width: f32) -> Piece {
        let size = self.letters + 2.4;
        let mut piece = Piece::new(width, size * LEADING + 3.0);
        piece.panel(Area { x: 0.0, y: 0.0, width, height: piece.height }, "#000000");
        piece.line(5.0, 1.5, &[self.bold(self.told(words).to_uppercase())], size, "#ffffff");
        piece
    }

    fn heading(&self, words: Words, width: f32) -> Piece {
        let mut piece = Piece::paragraph(width, &[self.bold(words)], self.letters + 2.0, 2);
        piece.height += 1.5;
        piece.rule(0.0, piece.height, width, 0.9, "#000000");
        piece.height += 2.5;
        piece
    }

    /// The four senses of one word, and what is lost with key and air.
    fn style(&self, width: f32) -> Piece {
        let mut piece = self.heading(say!("sheet-what-is-normal-here"), width);
        let label = (0.3 * width).min(10.5 * self.letters);
        for of in &self.card.style {
            let name = Piece::paragraph(label - 6.0, &[self.plain(&of.of)], self.letters, self.most(2));
            let says = [self.bold(&of.says), self.plain(format!(", {}", self.told(&of.detail)))];
            let says = Piece::paragraph(width - label, &says, self.letters, self.most(6));
            piece.put(&name, 0.0, piece.height);
            piece.put(&says, label, piece.height);
            piece.height += name.height.max(says.height) + 1.5;
        }
        piece
    }

    /// What the figures in the lists of acts mean, and what is not listed.
    fn legend(&self, width: f32) -> Piece {
        let more = self.card.engage.more + self.card.release.more;
        let more = match more {
            0 => Words::default(),
            1 => say!("sheet-one-more-usual-act-further"),
            more => say!("sheet-more-usual-acts-further-from", more),
        };
        Piece::paragraph(
            width,
            &[self.plain(Words::joined([self.card.supply.clone(), more], ""))],
            self.small(),
            self.most(5),
        )
    }

    /// Most lines of a paragraph that is meant to have so many: whole sentences, as long as there are smaller letters to
    /// try.
    fn most(&self, usual: usize) -> usize {
        if LAST_RESORT.contains(&self.letters) { usual } else { usual.max(14) }
    }

    /// Letters of what is said beside.
    fn small(&self) -> f32 {
        (self.letters - 0.9).max(6.0)
    }

    /// One list of acts with what each should show.
    fn acts(&self, section: &Section, width: f32) -> Piece {
        let (size, small) = (self.letters, self.small());
        let mut piece = self.bar(&section.heading, width);
        let columns = [
            (width - 9.8 * size, self.card.coil.clone()),
            (width - 4.6 * size, say!("sheet-clutch")),
            (width, say!("sheet-fan")),
        ];
        let rights = columns.each_ref().map(|(right, _)| *right);
        piece.height += 1.0;
        for (right, words) in columns {
            piece.line_to(right, piece.height, self.plain(words), small, "#222222");
        }
        piece.line(0.0, piece.height, &[self.plain(say!("sheet-do-this"))], small, "#222222");
        piece.height += small * LEADING + 1.0;
        let room = width - 14.4 * size;
        for step in &section.steps {
            piece.rule(0.0, piece.height, width, 0.3, "#555555");
            piece.height += 1.5;
            self.row(&mut piece, step, room, rights);
        }
        let note = Piece::paragraph(width, &[self.plain(&section.note)], size, self.most(4));
        piece.add(&note, 0.0, 2.0);
        piece
    }

    /// One act with its figures; how things stand without one in plain letters.
    fn row(&self, piece: &mut Piece, step: &Step, room: f32, rights: [f32; 3]) {
        let words = Piece::paragraph(room, &self.runs(&step.words), self.letters, self.most(4));
        let top = piece.height;
        piece.put(&words, 0.0, top);
        let reading = &step.reading;
        for (right, text) in rights.into_iter().zip([&reading.coil, &reading.clutch, &reading.fan]) {
            piece.line_to(right, top, self.bold(text), self.letters, "#000000");
        }
        piece.height = top + words.height.max(self.letters * LEADING) + 1.5;
    }

    /// What not to do, a box for each signal word.
    fn warnings(&self, width: f32) -> Piece {
        if self.card.warnings.is_empty() {
            return Piece::default();
        }
        let mut piece = self.heading(say!("sheet-what-not-to-do-here"), width);
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
        let word = self.told(signal_word(level));
        let (pad, mark) = (5.0, size * 1.05);
        let tab = mark * 1.12 + font::width(&self.told(signal_word(Level::Warning)), size, Weight::Bold) + 3.0 * pad;
        let inside = width - tab - 2.0 * pad;
        let most = self.most(4);
        let mut texts = Piece::new(inside, 0.0);
        for (i, warning) in warnings.iter().enumerate() {
            let runs: [Run; 2] = [self.bold(format!("{}. ", self.told(&warning.what))), self.plain(&warning.why)];
            texts.add(&Piece::paragraph(inside, &runs, size, most), 0.0, if i == 0 { 0.0 } else { 2.0 });
        }
        let mut piece = Piece::new(width, texts.height + 2.0 * 3.5);
        piece.panel(Area { x: 0.0, y: 0.0, width: tab, height: piece.height }, fill);
        piece.frame(Area { x: 0.0, y: 0.0, width, height: piece.height }, 0.9);
        piece.alert(pad, 3.5 + size * 0.1, mark, ink, ground);
        piece.line(2.0 * pad + mark * 1.12, 3.5, &[self.bold(word)], size, ink);
        piece.put(&texts, tab + pad, 3.5);
        piece
    }

    /// What is ticked and written by hand, and where this comes from.
    fn tail(&self, width: f32) -> Piece {
        let half = (width - GUTTER) / 2.0;
        let (list, record) = (self.put_back(half), self.record(half));
        let mut piece = Piece::new(width, list.height.max(record.height));
        piece.put(&list, 0.0, 0.0);
        piece.put(&record, half + GUTTER, 0.0);
        let told = say!(
            "sheet-worked-out-by-fanloom-from",
            env = env!("CARGO_PKG_VERSION"),
            conditions = self.card.conditions
        );
        let foot = Piece::paragraph(width, &[self.plain(told)], 6.4, 3);
        piece.add(&foot, 0.0, 6.0);
        piece
    }

    fn put_back(&self, width: f32) -> Piece {
        let mut piece = self.heading(say!("sheet-put-everything-back"), width);
        let side = self.letters * 0.95;
        for item in &self.card.put_back {
            let words = Piece::paragraph(width - side - 6.0, &[self.plain(item)], self.letters, self.most(3));
            piece.tick(0.0, piece.height + self.letters * 0.2, side);
            piece.put(&words, side + 6.0, piece.height);
            piece.height += words.height + 2.0;
        }
        piece
    }

    /// Blanks for what was found, by whom and when.
    fn record(&self, width: f32) -> Piece {
        let mut piece = self.heading(say!("sheet-found"), width);
        let size = self.small();
        let row = 14.5;
        let columns = [say!("sheet-coil-v"), say!("sheet-supply"), say!("sheet-clutch"), say!("sheet-fan")];
        let label = (0.2 * width).max(font::width(&self.told(say!("sheet-released")), size, Weight::Plain) + 5.0);
        let column = (width - label) / columns.len() as f32;
        let widest =
            columns.iter().map(|words| font::width(&self.told(words), size, Weight::Plain)).fold(0.0, f32::max);
        // Words that are too wide for their column stand on two lines in turn, where each has the room of two.
        let rows = if widest + 4.0 > column { 2 } else { 1 };
        for (i, words) in columns.iter().enumerate() {
            let top = piece.height + size * LEADING * (i % rows) as f32;
            piece.line(label + column * i as f32, top, &[self.plain(words)], size, "#222222");
        }
        piece.height += size * LEADING * rows as f32;
        for words in [say!("sheet-at-rest"), say!("sheet-engaged"), say!("sheet-released")] {
            piece.line(0.0, piece.height + row - size * LEADING, &[self.plain(words)], size, "#000000");
            piece.height += row;
            for i in 0..columns.len() {
                piece.rule(label + column * i as f32, piece.height, column - 6.0, 0.5, "#000000");
            }
        }
        for pair in [
            [say!("sheet-vehicle"), say!("sheet-mileage")],
            [say!("sheet-date"), say!("sheet-name")],
            [say!("sheet-signature"), Words::default()],
        ] {
            piece.height += 1.5;
            let share = if pair[1].is_empty() { width } else { width / 2.0 };
            for (i, words) in pair.iter().enumerate().filter(|(_, words)| !words.is_empty()) {
                let x = share * i as f32;
                let used = piece.line(x, piece.height + row - size * LEADING, &[self.plain(words)], size, "#000000");
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

/// The signal word of ANSI Z535.4 in capitals (from memory), and its counterparts.
fn signal_word(level: Level) -> Words {
    match level {
        Level::Danger => say!("sheet-danger"),
        Level::Warning => say!("sheet-warning"),
        Level::Caution => say!("sheet-caution"),
    }
}
