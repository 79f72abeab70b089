//! A sheet of paper and what is set on it: measured lines of text, rules, boxes, pictures.
//!
//! A [`Piece`] is something set at a width, with the height it came to; pieces are put into pieces and at last on a
//! [`Page`], which writes itself as SVG. Every line of text and every picture leaves an [`Area`], so that a test can
//! see that nothing covers anything or leaves the sheet. Lengths are points, 1/72 inch. Paper sizes are those of
//! ISO 216 and ANSI/ASME Y14.1 (from memory).

use std::fmt::Write;

use crate::drawing::{Picture, Theme, svg};

use crate::words::Words;

use super::font::{self, FAMILIES, Weight};

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Size {
    /// 210 mm x 297 mm.
    #[default]
    A4,
    /// 8.5 in x 11 in.
    Letter,
}

impl Size {
    /// Width and height in points.
    pub fn points(self) -> (f32, f32) {
        match self {
            Self::A4 => (595.276, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// A rectangle that something fills, from its left upper corner, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f32,
    /// Top edge.
    pub y: f32,
    /// Width.
    pub width: f32,
    /// Height.
    pub height: f32,
}

impl Area {
    /// Whether two areas cover each other by more than a hair.
    pub fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: f32, a_length: f32, b: f32, b_length: f32| a + a_length <= b + 0.01 || b + b_length <= a + 0.01;
        !apart(self.x, self.width, other.x, other.width) && !apart(self.y, self.height, other.y, other.height)
    }
}

/// Words in one weight.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The words.
    pub text: String,
    /// Their weight.
    pub weight: Weight,
}

/// Running text.
pub fn plain(text: impl Into<String>) -> Run {
    Run { text: text.into(), weight: Weight::Plain }
}

/// Bold text.
pub fn bold(text: impl Into<String>) -> Run {
    Run { text: text.into(), weight: Weight::Bold }
}

/// Words in one weight, in no language yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Phrase {
    /// The words.
    pub words: Words,
    /// Their weight.
    pub weight: Weight,
}

/// A phrase in the plain weight.
pub fn phrase(words: impl Into<Words>) -> Phrase {
    Phrase { words: words.into(), weight: Weight::Plain }
}

/// A phrase in the bold weight.
pub fn strong(words: impl Into<Words>) -> Phrase {
    Phrase { words: words.into(), weight: Weight::Bold }
}

/// Space from one line to the next over the font size.
pub const LEADING: f32 = 1.28;
/// Baseline below the top of a line over the font size.
const BASELINE: f32 = 0.98;

/// Something set at a width.
#[derive(Clone, Debug, Default)]
pub struct Piece {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    body: String,
    areas: Vec<Area>,
}

impl Piece {
    /// An empty piece.
    pub fn new(width: f32, height: f32) -> Self {
        Self { width, height, ..Self::default() }
    }

    /// Runs of words set in lines, at most `most` of them, the last cut with an ellipsis where there is more.
    pub fn paragraph(width: f32, runs: &[Run], size: f32, most: usize) -> Self {
        let mut piece = Self::new(width, 0.0);
        for line in lines(runs, width, size, most) {
            piece.line(0.0, piece.height, &line, size, "#000000");
            piece.height += size * LEADING;
        }
        piece
    }

    /// One line of text with its left upper corner at `x`, `y`; its width.
    pub fn line(&mut self, x: f32, y: f32, runs: &[Run], size: f32, colour: &str) -> f32 {
        let width: f32 = runs.iter().map(|run| font::width(&run.text, size, run.weight)).sum();
        if width == 0.0 {
            return 0.0;
        }
        let baseline = y + size * BASELINE;
        let _ = write!(self.body, "<text x=\"{x:.2}\" y=\"{baseline:.2}\" font-size=\"{size}\" fill=\"{colour}\">");
        for run in runs {
            let text = escaped(&run.text);
            let _ = match run.weight {
                Weight::Plain => write!(self.body, "<tspan>{text}</tspan>"),
                Weight::Bold => write!(self.body, "<tspan font-weight=\"bold\">{text}</tspan>"),
            };
        }
        self.body.push_str("</text>\n");
        self.areas.push(Area { x, y, width, height: size * LEADING });
        width
    }

    /// One line of text that ends at `x`.
    pub fn line_to(&mut self, x: f32, y: f32, run: Run, size: f32, colour: &str) {
        let width = font::width(&run.text, size, run.weight);
        self.line(x - width, y, &[run], size, colour);
    }

    /// A filled rectangle behind what is put on it later.
    pub fn panel(&mut self, area: Area, fill: &str) {
        let Area { x, y, width, height } = area;
        let _ = writeln!(
            self.body,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"{fill}\"/>"
        );
    }

    /// The outline of a rectangle.
    pub fn frame(&mut self, area: Area, weight: f32) {
        let Area { x, y, width, height } = area;
        let _ = writeln!(
            self.body,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"none\" \
             stroke=\"#000000\" stroke-width=\"{weight}\"/>"
        );
    }

    /// A level rule.
    pub fn rule(&mut self, x: f32, y: f32, length: f32, weight: f32, colour: &str) {
        let _ = writeln!(
            self.body,
            "<path d=\"M{x:.2} {y:.2}h{length:.2}\" stroke=\"{colour}\" stroke-width=\"{weight}\"/>"
        );
    }

    /// A line through points. `dashes` are the lengths of strokes and gaps, as SVG writes them; empty for a whole line.
    pub fn stroke(&mut self, points: &[(f32, f32)], weight: f32, colour: &str, dashes: &str) {
        let Some((first, rest)) = points.split_first() else { return };
        let _ = write!(self.body, "<path d=\"M{:.2} {:.2}", first.0, first.1);
        for (x, y) in rest {
            let _ = write!(self.body, "L{x:.2} {y:.2}");
        }
        let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
        let _ = writeln!(
            self.body,
            "\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{weight}\" stroke-linejoin=\"round\"{dashes}/>"
        );
    }

    /// The safety alert symbol of ANSI Z535.4, a triangle with an exclamation mark, `side` points high.
    pub fn alert(&mut self, x: f32, y: f32, side: f32, ink: &str, ground: &str) {
        let (half, right, foot) = (x + side * 0.56, x + side * 1.12, y + side);
        let _ = writeln!(
            self.body,
            "<path d=\"M{half:.2} {y:.2}L{right:.2} {foot:.2}H{x:.2}Z\" fill=\"{ink}\" stroke=\"{ink}\" \
             stroke-width=\"{:.2}\" stroke-linejoin=\"round\"/>",
            side * 0.1
        );
        let (bar, bar_top, bar_foot) = (side * 0.075, y + side * 0.34, y + side * 0.68);
        let _ = writeln!(
            self.body,
            "<path d=\"M{:.2} {bar_top:.2}h{:.2}L{:.2} {bar_foot:.2}h{:.2}Z\" fill=\"{ground}\"/>\
             <circle cx=\"{half:.2}\" cy=\"{:.2}\" r=\"{bar:.2}\" fill=\"{ground}\"/>",
            half - bar,
            2.0 * bar,
            half + bar * 0.6,
            -1.2 * bar,
            y + side * 0.83
        );
        self.areas.push(Area { x, y, width: side * 1.12, height: side });
    }

    /// An empty square to tick.
    pub fn tick(&mut self, x: f32, y: f32, side: f32) {
        let area = Area { x, y, width: side, height: side };
        self.frame(area, 0.8);
        self.areas.push(area);
    }

    /// A drawing, at `scale` points to the unit, with its left upper corner at `x`, `y`.
    pub fn picture(&mut self, picture: &Picture, theme: Theme, (x, y): (f32, f32), scale: f32) {
        let whole = svg(picture, theme);
        // The picture's own element stays, as a viewport in ours.
        let inner =
            whole.replacen("<svg xmlns=\"http://www.w3.org/2000/svg\" width=", "<svg x=\"0\" y=\"0\" width=", 1);
        let _ = writeln!(self.body, "<g transform=\"translate({x:.2} {y:.2}) scale({scale:.5})\">{inner}</g>");
        self.areas.push(Area { x, y, width: picture.width * scale, height: picture.height * scale });
    }

    /// Puts another piece with its left upper corner at `x`, `y`.
    pub fn put(&mut self, piece: &Self, x: f32, y: f32) {
        let _ = writeln!(self.body, "<g transform=\"translate({x:.2} {y:.2})\">\n{}</g>", piece.body);
        self.areas.extend(piece.areas.iter().map(|a| Area { x: a.x + x, y: a.y + y, ..*a }));
    }

    /// Puts another piece below all there is, after a gap; nothing where it is empty.
    pub fn add(&mut self, piece: &Self, x: f32, gap: f32) {
        if piece.height > 0.0 {
            self.height += gap;
            self.put(piece, x, self.height);
            self.height += piece.height;
        }
    }
}

/// A whole sheet.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    title: String,
    content: Piece,
}

impl Page {
    /// An empty sheet.
    pub fn new((width, height): (f32, f32), title: &str) -> Self {
        Self { width, height, title: title.to_owned(), content: Piece::new(width, height) }
    }

    /// Puts a piece with its left upper corner at `x`, `y`.
    pub fn put(&mut self, piece: &Piece, x: f32, y: f32) {
        self.content.put(piece, x, y);
    }

    /// What the page is called.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Where text and pictures are.
    pub fn areas(&self) -> &[Area] {
        &self.content.areas
    }

    /// The sheet as SVG, in its true size.
    pub fn svg(&self) -> String {
        let (w, h) = (self.width, self.height);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}pt\" height=\"{h}pt\" viewBox=\"0 0 {w} {h}\" \
             font-family=\"{FAMILIES}\">\n<title>{}</title>\n\
             <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n{}</svg>\n",
            escaped(&self.title),
            self.content.body
        )
    }
}

/// Words with the weight they are set in, and whether a space comes before them.
struct Word {
    text: String,
    weight: Weight,
    spaced: bool,
}

/// Runs broken into lines no wider than `width`, at most `most`.
fn lines(runs: &[Run], width: f32, size: f32, most: usize) -> Vec<Vec<Run>> {
    let mut lines: Vec<Vec<Run>> = Vec::new();
    let mut line: Vec<Run> = Vec::new();
    let mut used = 0.0;
    for word in words(runs, width, size) {
        let space = if word.spaced && !line.is_empty() { font::width(" ", size, word.weight) } else { 0.0 };
        let length = font::width(&word.text, size, word.weight);
        if !line.is_empty() && used + space + length > width {
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        let gap = if word.spaced && !line.is_empty() { " " } else { "" };
        used += if line.is_empty() { length } else { space + length };
        match line.last_mut().filter(|run| run.weight == word.weight) {
            Some(run) => run.text.extend([gap, &word.text]),
            None => line.push(Run { text: format!("{gap}{}", word.text), weight: word.weight }),
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            shorten(last, width, size);
        }
    }
    lines
}

/// Takes letters off the end of a line until an ellipsis has room.
fn shorten(line: &mut Vec<Run>, width: f32, size: f32) {
    let long = |line: &[Run]| -> f32 { line.iter().map(|run| font::width(&run.text, size, run.weight)).sum() };
    while let Some(last) = line.last_mut() {
        let room = width - font::width("…", size, last.weight);
        if last.text.is_empty() {
            line.pop();
        } else if long(line) > room {
            line.last_mut().map(|run| run.text.pop());
        } else {
            break;
        }
    }
    if let Some(last) = line.last_mut() {
        last.text.truncate(last.text.trim_end_matches([' ', ',', '.']).len());
        last.text.push('…');
    }
}

/// The words of some runs, none wider than `width`.
fn words(runs: &[Run], width: f32, size: f32) -> Vec<Word> {
    let mut found = Vec::new();
    let mut spaced = false;
    for run in runs {
        let mut text = String::new();
        let mut used = 0.0;
        let mut flush = |text: &mut String, spaced: &mut bool| {
            if !text.is_empty() {
                let text = std::mem::take(text);
                found.push(Word { text, weight: run.weight, spaced: std::mem::take(spaced) });
            }
        };
        for c in run.text.chars() {
            let advance = font::advance(c, run.weight) * size;
            // Some spaces hold what is beside them together, as before a colon in French.
            if c.is_whitespace() && !matches!(c, '\u{a0}' | '\u{202f}') {
                flush(&mut text, &mut spaced);
                (spaced, used) = (true, 0.0);
                continue;
            }
            if used + advance > width {
                flush(&mut text, &mut spaced);
                used = 0.0;
            }
            text.push(c);
            used += advance;
        }
        flush(&mut text, &mut spaced);
    }
    found
}

/// Text safe between tags; what XML 1.0 does not allow becomes a question mark.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            c if c.is_control() || c == '\u{fffe}' || c == '\u{ffff}' => out.push('?'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(lines: &[Vec<Run>]) -> Vec<String> {
        lines.iter().map(|line| line.iter().map(|run| run.text.as_str()).collect()).collect()
    }

    #[test]
    fn lines_keep_to_their_width_and_lose_nothing() {
        let runs = [bold("Lift W6"), plain(" off B2.2 "), bold("now"), plain(", and a-word-far-too-long-for-any-line")];
        let set = lines(&runs, 60.0, 8.0, 99);
        for line in &set {
            assert!(line.iter().map(|r| font::width(&r.text, 8.0, r.weight)).sum::<f32>() <= 60.0, "{line:?}");
        }
        let all = joined(&set).concat().replace(' ', "");
        assert_eq!(all, "LiftW6offB2.2now,anda-word-far-too-long-for-any-line");
        assert_eq!(
            joined(&lines(&runs, 999.0, 8.0, 9)),
            ["Lift W6 off B2.2 now, and a-word-far-too-long-for-any-line"]
        );
    }

    #[test]
    fn a_space_that_holds_together_begins_and_ends_no_line() {
        let runs = [plain("raccord\u{e9}e \u{ab}\u{202f}normalement ferm\u{e9}e\u{202f}\u{bb} ici\u{a0}: l'air")];
        for width in 70..160 {
            for line in joined(&lines(&runs, width as f32, 8.0, 99)) {
                assert!(!line.starts_with(['\u{bb}', ':']) && !line.ends_with('\u{ab}'), "{width}: {line}");
            }
        }
    }

    #[test]
    fn what_is_cut_ends_in_an_ellipsis_that_fits() {
        let set = lines(&[plain("word ".repeat(30))], 80.0, 8.0, 2);
        assert_eq!(set.len(), 2);
        assert!(joined(&set)[1].ends_with('…') && font::width(&joined(&set)[1], 8.0, Weight::Plain) <= 80.0);
    }
}
