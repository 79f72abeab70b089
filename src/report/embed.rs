//! The letters of an SVG inside the SVG, so that it looks alike on a machine without our font.
//!
//! Yields [`with_font`]: the text stays text, to be searched and copied, and the glyphs it needs are put into the
//! file as a font of their own. `subsetter` keeps what paper needs; the two tables that a browser asks for besides
//! (`cmap`, `OS/2`) are put back here. Layout of tables: OpenType specification 1.9 (from memory).

use std::collections::BTreeSet;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use subsetter::{GlyphRemapper, subset};
use ttf_parser::{Face, RawFace, Tag};

use super::font::{BOLD, FAMILIES, FAMILY, PLAIN};

/// Families named by an SVG that is to be read by others, and by the drawing's own.
const DRAWING_FAMILIES: &str = "Ubuntu, DejaVu Sans, sans-serif";

/// The SVG with the glyphs of its text inside; unchanged where that cannot be done.
pub fn with_font(svg: &str) -> String {
    let used = letters(svg);
    let face = |bytes: &'static [u8], weight: &str| {
        let font = STANDARD.encode(small(bytes, &used)?);
        Some(format!(
            "@font-face{{font-family:\"{FAMILY}\";font-weight:{weight};\
             src:url(data:font/ttf;base64,{font}) format(\"truetype\")}}\n"
        ))
    };
    let (Some(plain), Some(bold)) = (face(PLAIN, "normal"), face(BOLD, "bold")) else { return svg.to_owned() };
    let svg = svg.replace(DRAWING_FAMILIES, FAMILIES);
    match svg.split_once(">\n") {
        Some((head, rest)) => format!("{head}>\n<style>\n{plain}{bold}</style>\n{rest}"),
        None => svg,
    }
}

/// Every character between tags.
fn letters(svg: &str) -> BTreeSet<char> {
    let texts = svg.split('<').filter_map(|piece| piece.split_once('>')).map(|(_, text)| text);
    // Characters that stand for markup.
    texts.flat_map(str::chars).chain(['&', '<', '>', '"']).filter(|c| !c.is_control()).collect()
}

/// A font that holds these characters and no more.
fn small(bytes: &[u8], used: &BTreeSet<char>) -> Option<Vec<u8>> {
    let face = Face::parse(bytes, 0).ok()?;
    let mut remapper = GlyphRemapper::new();
    let mapped: Vec<(u16, u16)> = used
        .iter()
        .filter_map(|c| Some((u16::try_from(u32::from(*c)).ok()?, face.glyph_index(*c)?)))
        .map(|(code, glyph)| (code, remapper.remap(glyph.0)))
        .collect();
    let kept = subset(bytes, 0, &remapper).ok()?;
    let kept = RawFace::parse(&kept, 0).ok()?;
    let mut tables: Vec<(Tag, Vec<u8>)> = kept
        .table_records
        .into_iter()
        .filter_map(|record| Some((record.tag, kept.table(record.tag)?.to_vec())))
        .collect();
    let metrics = Tag::from_bytes(b"OS/2");
    tables.push((metrics, face.raw_face().table(metrics)?.to_vec()));
    tables.push((Tag::from_bytes(b"cmap"), cmap(&mapped)));
    tables.sort_by_key(|(tag, _)| *tag);
    Some(font(&tables))
}

/// Characters to glyphs, a segment each (format 4).
fn cmap(mapped: &[(u16, u16)]) -> Vec<u8> {
    let mut mapped: Vec<(u16, u16)> = mapped.iter().copied().filter(|(code, _)| *code != u16::MAX).collect();
    // The last segment is always this one, and leads to the empty box.
    mapped.push((u16::MAX, 0));
    let segments = u16::try_from(mapped.len()).unwrap_or(u16::MAX);
    let mut out = Vec::new();
    let mut put = |value: u16| out.extend(value.to_be_bytes());
    // Version, one table, for Unicode on Windows, 12 bytes from here.
    [0, 1, 3, 1, 0, 12].into_iter().for_each(&mut put);
    let (range, exponent) = search(segments, 2);
    [4, 16 + 8 * segments, 0, 2 * segments, range, exponent, 2 * segments - range].into_iter().for_each(&mut put);
    mapped.iter().for_each(|(code, _)| put(*code));
    put(0);
    mapped.iter().for_each(|(code, _)| put(*code));
    mapped.iter().for_each(|(code, glyph)| put(glyph.wrapping_sub(*code)));
    mapped.iter().for_each(|_| put(0));
    out
}

/// What helps a binary search: the largest power of two within `count` times `size`, and its exponent.
fn search(count: u16, size: u16) -> (u16, u16) {
    let exponent = count.max(1).ilog2() as u16;
    (size << exponent, exponent)
}

/// A font file of these tables.
fn font(tables: &[(Tag, Vec<u8>)]) -> Vec<u8> {
    let count = u16::try_from(tables.len()).unwrap_or_default();
    let (range, exponent) = search(count, 16);
    let mut out = 0x0001_0000_u32.to_be_bytes().to_vec();
    for value in [count, range, exponent, 16 * count - range] {
        out.extend(value.to_be_bytes());
    }
    let mut offset = out.len() + 16 * tables.len();
    for (tag, data) in tables {
        let place = [tag.0, checksum(data), offset as u32, data.len() as u32];
        out.extend(place.into_iter().flat_map(u32::to_be_bytes));
        offset += data.len().next_multiple_of(4);
    }
    for (_, data) in tables {
        out.extend(data);
        out.resize(out.len().next_multiple_of(4), 0);
    }
    out
}

/// Sum of the 32-bit words of a table.
fn checksum(data: &[u8]) -> u32 {
    let word = |chunk: &[u8]| {
        let mut bytes = [0; 4];
        bytes[..chunk.len()].copy_from_slice(chunk);
        u32::from_be_bytes(bytes)
    };
    data.chunks(4).fold(0, |sum, chunk| sum.wrapping_add(word(chunk)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_inside_draws_its_letters_as_ours_does() {
        let used: BTreeSet<char> = "Lift W6, 12 Ω ϑ é “”".chars().collect();
        for bytes in [PLAIN, BOLD] {
            let made = small(bytes, &used).unwrap();
            let (small, whole) = (Face::parse(&made, 0).unwrap(), Face::parse(bytes, 0).unwrap());
            assert!(made.len() < 40_000, "{}", made.len());
            for c in &used {
                let (few, all) = (small.glyph_index(*c).unwrap(), whole.glyph_index(*c).unwrap());
                assert_eq!(small.glyph_hor_advance(few), whole.glyph_hor_advance(all), "{c}");
                assert_eq!(small.glyph_bounding_box(few), whole.glyph_bounding_box(all), "{c}");
            }
            assert_eq!(small.glyph_index('Z'), None);
        }
    }

    #[test]
    fn text_stays_text() {
        let svg = "<svg xmlns=\"x\">\n<text>Lift W6</text></svg>\n";
        let with = with_font(svg);
        assert!(with.contains("<text>Lift W6</text>") && with.contains("@font-face") && with.ends_with("</svg>\n"));
    }
}
