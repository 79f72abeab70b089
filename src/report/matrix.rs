//! The fault table as a picture: a row for each group of look-alikes, a column for each state, a mark for how it shows.
//!
//! Yields [`page`], a lying sheet, made longer where there are more rows than it holds. Marks are told apart by their
//! shapes; colours after Okabe and Ito ("Color Universal Design", 2008) only help, and can be left out. What shows in
//! which state is found by [`study::faults`](crate::study::faults).

use crate::study::answer::Standing;
use crate::study::faults::looks::Means;
use crate::study::faults::words::brought_about;
use crate::study::faults::{FaultTable, Group};
use crate::study::wording;

use super::page::{Area, LEADING, Page, Piece, Size, bold, plain};

/// Blank edge of the sheet, in points.
const EDGE: f32 = 28.0;
/// Letters of the legend in points.
const LETTERS: f32 = 6.0;
/// A cell's side in points: the largest of these with which all rows fit on the sheet, else the last.
const CELLS: [f32; 5] = [14.0, 12.5, 11.0, 10.0, 9.2];
/// Over a cell's side: its letters, the room for a row's name, the space between blocks of rows, the blank around a mark.
const LETTERS_SHARE: f32 = 0.65;
const NAME_SHARE: f32 = 12.2;
const GAP_SHARE: f32 = 1.7;
const INSET_SHARE: f32 = 0.14;
/// Columns of the list of states.
const LISTED: usize = 3;
/// Rows after which a heavier rule helps the eye.
const RULED: usize = 5;

const INK: &str = "#000000";
const FAINT: &str = "#c8c8c8";

/// How a fault shows in a state, what is seen from farthest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    /// The circuit never comes to rest.
    Unsettled,
    /// The fan is driven and should not be.
    Driven,
    /// The fan is free and should not be.
    Free,
    /// The clutch slips and should not.
    Slips,
    /// Only a gauge differs.
    Gauge,
    /// Only volts differ.
    Volts,
    /// Nothing differs.
    Same,
}

impl Mark {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Driven, "fan driven, should be free"),
        (Self::Free, "fan free, should be driven"),
        (Self::Slips, "clutch slips, should not"),
        (Self::Unsettled, "never at rest"),
        (Self::Gauge, "only a gauge differs"),
        (Self::Volts, "only volts differ"),
    ];

    fn of(table: &FaultTable, group: &Group, state: usize) -> Self {
        let Some(fault) = group.members.first() else { return Self::Same };
        match table.apart(*fault, state).next() {
            None => Self::Same,
            Some(Means::Volts(_)) => Self::Volts,
            Some(Means::ClutchGauge | Means::SupplyGauge) => Self::Gauge,
            Some(Means::Fan) => match table.readings(Some(*fault), state).standing {
                Standing::Engaged => Self::Driven,
                Standing::Released | Standing::None => Self::Free,
                Standing::Slipping => Self::Slips,
                Standing::Unsettled => Self::Unsettled,
            },
        }
    }

    /// Draws it into a cell with its left upper corner at `x`, `y`.
    fn draw(self, piece: &mut Piece, (x, y): (f32, f32), cell: f32, grey: bool) {
        let colour = |coloured: &'static str, plain: &'static str| if grey { plain } else { coloured };
        let inset = cell * INSET_SHARE;
        let side = cell - 2.0 * inset;
        let (x, y) = (x + inset, y + inset);
        let whole = Area { x, y, width: side, height: side };
        let (right, foot) = (x + side, y + side);
        match self {
            Self::Same => {}
            Self::Driven => piece.panel(whole, colour("#d55e00", "#303030")),
            Self::Free => {
                let ink = colour("#0072b2", INK);
                piece.stroke(&[(x, y), (right, y), (right, foot), (x, foot), (x, y)], 0.7, ink, "");
                piece.stroke(&[(x, y), (right, foot)], 0.9, ink, "");
                piece.stroke(&[(x, foot), (right, y)], 0.9, ink, "");
            }
            Self::Slips => {
                piece.panel(Area { y: y + side / 2.0, height: side / 2.0, ..whole }, colour("#e69f00", "#909090"));
                piece.frame(whole, 0.7);
            }
            Self::Unsettled => {
                let step = side / 4.0;
                let at = |i: usize| (x + step * i as f32, if i.is_multiple_of(2) { foot } else { y });
                piece.stroke(&(0..5).map(at).collect::<Vec<_>>(), 0.9, colour("#cc79a7", INK), "");
            }
            Self::Gauge => {
                let (across, down) = (x + side / 2.0, y + side / 2.0);
                let ink = colour("#009e73", INK);
                piece.stroke(&[(across, y), (across, foot)], 1.0, ink, "");
                piece.stroke(&[(x, down), (right, down)], 1.0, ink, "");
            }
            Self::Volts => {
                let dot = side * 0.36;
                let (x, y) = (x + (side - dot) / 2.0, y + (side - dot) / 2.0);
                piece.panel(Area { x, y, width: dot, height: dot }, INK);
            }
        }
    }
}

/// The whole page; `grey` leaves colours out.
pub fn page(table: &FaultTable, size: Size, grey: bool) -> Page {
    let (short, long) = size.points();
    let width = long - 2.0 * EDGE;
    let heading = format!("{}: how single faults show", table.scene.circuit.title());
    let head = Piece::paragraph(width, &[bold(heading)], 12.0, 1);
    let least = CELLS[CELLS.len() - 1];
    let columns = columns(table, (width / least - NAME_SHARE) as usize);
    let legend = legend(table, &columns, width, grey);
    let around = 2.0 * EDGE + head.height + 6.0 + 8.0 + legend.height;
    let fits = |cell: &f32| {
        let (_, rows) = blocks(table, columns.len(), width / cell);
        (NAME_SHARE + columns.len() as f32) * cell <= width && around + (rows + 1) as f32 * cell <= short
    };
    let cell = CELLS.into_iter().find(fits).unwrap_or(least);
    let grid = grid(table, &columns, width, cell, grey);
    let needed = around + grid.height;
    let mut page = Page::new((long, short.max(needed)), table.scene.circuit.title());
    page.put(&head, EDGE, EDGE);
    page.put(&grid, EDGE, EDGE + head.height + 6.0);
    page.put(&legend, EDGE, page.height - EDGE - legend.height);
    page
}

/// States to be shown: each that shows the faults otherwise than those before it, as many as there is room for.
fn columns(table: &FaultTable, room: usize) -> Vec<usize> {
    let all = 0..table.states.len();
    if table.states.len() <= room {
        return all.collect();
    }
    let mut known: Vec<Vec<Mark>> = Vec::new();
    let mut kept = Vec::new();
    for state in all {
        let marks: Vec<Mark> = table.groups.iter().map(|group| Mark::of(table, group, state)).collect();
        if kept.len() < room && !known.contains(&marks) {
            known.push(marks);
            kept.push(state);
        }
    }
    kept
}

/// How many blocks of rows stand side by side on a width in cells, and how many rows each has.
fn blocks(table: &FaultTable, columns: usize, cells: f32) -> (usize, usize) {
    let block = NAME_SHARE + columns as f32;
    let blocks = (((cells + GAP_SHARE) / (block + GAP_SHARE)) as usize).max(1);
    (blocks, table.groups.len().div_ceil(blocks).max(1))
}

fn grid(table: &FaultTable, columns: &[usize], width: f32, cell: f32, grey: bool) -> Piece {
    let (name, gap, letters) = (NAME_SHARE * cell, GAP_SHARE * cell, LETTERS_SHARE * cell);
    let block = name + columns.len() as f32 * cell;
    let (_, rows) = blocks(table, columns.len(), width / cell);
    let below = (cell - letters * LEADING) / 2.0;
    let mut piece = Piece::new(width, (rows + 1) as f32 * cell);
    for (number, groups) in table.groups.chunks(rows).enumerate() {
        let x = number as f32 * (block + gap);
        for (place, state) in columns.iter().enumerate() {
            let right = x + name + (place + 1) as f32 * cell - 1.4;
            piece.line_to(right, below, plain((state + 1).to_string()), letters, INK);
        }
        for (row, group) in groups.iter().enumerate() {
            let y = (row + 1) as f32 * cell;
            let weight = if row.is_multiple_of(RULED) { 0.6 } else { 0.25 };
            piece.rule(x, y, block, weight, if row.is_multiple_of(RULED) { INK } else { FAINT });
            piece.put(&Piece::paragraph(name - 4.0, &[plain(label(table, group))], letters, 1), x, y + below);
            for (place, state) in columns.iter().enumerate() {
                let mark = Mark::of(table, group, *state);
                mark.draw(&mut piece, (x + name + place as f32 * cell, y), cell, grey);
            }
        }
        let foot = (groups.len() + 1) as f32 * cell;
        piece.rule(x, foot, block, 0.6, INK);
        for place in 0..=columns.len() {
            let x = x + name + place as f32 * cell;
            piece.stroke(&[(x, cell), (x, foot)], 0.25, FAINT, "");
        }
    }
    piece
}

/// A group's first fault, and how many more look like it.
fn label(table: &FaultTable, group: &Group) -> String {
    if group.is_healthy {
        return format!("seen nowhere: {}", group.members.len());
    }
    let first = group.members.first().map_or_else(String::new, |fault| table.faults[*fault].to_string());
    match group.members.len() {
        0 | 1 => first,
        many => format!("{first} +{}", many - 1),
    }
}

/// Marks with their meaning, states with their numbers, and what keeps hands whole.
fn legend(table: &FaultTable, columns: &[usize], width: f32, grey: bool) -> Piece {
    let mut piece = Piece::new(width, 0.0);
    let (room, cell) = (width / Mark::ALL.len() as f32, CELLS[CELLS.len() - 1]);
    for (place, (mark, words)) in Mark::ALL.into_iter().enumerate() {
        let x = place as f32 * room;
        mark.draw(&mut piece, (x, 0.0), cell, grey);
        piece.put(&Piece::paragraph(room - cell - 6.0, &[plain(words)], LETTERS, 1), x + cell + 2.0, 0.7);
    }
    piece.height = cell + 3.0;
    let column = (width - 12.0 * (LISTED - 1) as f32) / LISTED as f32;
    let rows = columns.len().div_ceil(LISTED).max(1);
    let top = piece.height;
    for (place, state) in columns.iter().enumerate() {
        let (x, y) = ((place / rows) as f32 * (column + 12.0), top + (place % rows) as f32 * LETTERS * LEADING);
        piece.line_to(x + 12.0, y, bold((state + 1).to_string()), LETTERS, INK);
        let how = brought_about(&table.states[*state]);
        let how = if how.is_empty() { String::new() } else { format!(": {}", how.join(", ")) };
        let words = format!("{}{how}", table.states[*state].name());
        piece.put(&Piece::paragraph(column - 16.0, &[plain(words)], LETTERS, 1), x + 16.0, y);
    }
    piece.height += rows as f32 * LETTERS * LEADING;
    let mut note = "A row stands for all faults that look alike everywhere, named by the first; a blank cell reads as \
                    healthy."
        .to_owned();
    if columns.len() < table.states.len() {
        note += &format!(" {} states that show nothing more are left out.", table.states.len() - columns.len());
    }
    piece.add(&Piece::paragraph(width, &[plain(note)], LETTERS, 2), 0.0, 2.0);
    piece.add(&Piece::paragraph(width, &[plain(&**wording::SAFETY)], 5.6, 2), 0.0, 3.0);
    piece
}
