//! Real widths of text in the font that paper is set in.
//!
//! Yields [`width`] for the two weights of DejaVu Sans (from Debian's fonts-dejavu-core, free licence beside the
//! files), read from the font's own advance table (OpenType `hmtx`). Kerning is left out: it only ever draws letters
//! closer. Drawing the glyphs is left to [`paper`](super::paper).

use std::sync::OnceLock;

use ttf_parser::Face;

/// Name of the family in SVG and PDF.
pub const FAMILY: &str = "DejaVu Sans";
/// The family and what comes nearest in width where it is missing.
pub const FAMILIES: &str = "DejaVu Sans, Verdana, sans-serif";
/// The font file, plain.
pub const PLAIN: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans.ttf");
/// The font file, bold.
pub const BOLD: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans-Bold.ttf");

/// Thickness of letters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Weight {
    /// As in running text.
    #[default]
    Plain,
    /// For headings, and for what must be seen.
    Bold,
}

/// Width of a text in the unit of `size`.
pub fn width(text: &str, size: f32, weight: Weight) -> f32 {
    let em: f32 = text.chars().map(|c| advance(c, weight)).sum();
    em * size
}

/// Advance of a character over the font size.
pub(super) fn advance(c: char, weight: Weight) -> f32 {
    static PLAIN_FACE: OnceLock<Measured> = OnceLock::new();
    static BOLD_FACE: OnceLock<Measured> = OnceLock::new();
    let measured = match weight {
        Weight::Plain => PLAIN_FACE.get_or_init(|| Measured::of(PLAIN)),
        Weight::Bold => BOLD_FACE.get_or_init(|| Measured::of(BOLD)),
    };
    match measured.ascii.get(c as usize) {
        Some(advance) => *advance,
        None => measured.advance(c),
    }
}

/// A font with the advances at hand that nearly all text needs.
struct Measured {
    face: Option<Face<'static>>,
    ascii: [f32; 128],
}

impl Measured {
    fn of(bytes: &'static [u8]) -> Self {
        let mut measured = Self { face: Face::parse(bytes, 0).ok(), ascii: [0.0; 128] };
        measured.ascii = std::array::from_fn(|code| u8::try_from(code).map_or(0.0, |c| measured.advance(c.into())));
        measured
    }

    fn advance(&self, c: char) -> f32 {
        // A character the font lacks is printed as its first glyph, an empty box.
        let known = self.face.as_ref().and_then(|face| {
            let glyph = face.glyph_index(c).unwrap_or_default();
            Some(f32::from(face.glyph_hor_advance(glyph)?) / f32::from(face.units_per_em()))
        });
        known.unwrap_or(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_font() {
        // DejaVu Sans 2.37: a digit advances 1303 of 2048 units, a bold one 1425 (its `hmtx` table).
        assert!((width("00", 10.0, Weight::Plain) - 2.0 * 13030.0 / 2048.0).abs() < 1e-3);
        assert!((width("0", 10.0, Weight::Bold) - 14250.0 / 2048.0).abs() < 1e-3);
    }
}
