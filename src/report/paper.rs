//! From SVG text to the bytes of a PDF or PNG.
//!
//! Yields [`pdf`], [`png`] and, for a window, [`pixels`]. The only place that names the libraries which do it: usvg reads the SVG with the
//! project's own font and no other, krilla writes vector PDF with the used glyphs embedded and searchable, resvg
//! paints pixels. A CSS pixel is 1/96 inch and a point 1/72 inch (W3C CSS Values 3).

use std::sync::{Arc, OnceLock};

use krilla::Document;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::{Database, Source};
use resvg::usvg::{Options, Tree};

use crate::words::{Words, say};

use super::font;

/// CSS pixels in an inch.
pub const PIXELS_PER_INCH: f32 = 96.0;
/// Points in an inch.
pub const POINTS_PER_INCH: f32 = 72.0;
/// Most pixels of one picture: 64 million, 256 MB while it is painted.
pub const MOST_PIXELS: f64 = 64e6;

/// Why something cannot be put on paper: what happened, then the mend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unprintable {
    /// What happened.
    pub message: Words,
    /// What to do about it.
    pub mend: Words,
}

impl Unprintable {
    fn new(message: Words, mend: Words) -> Self {
        Self { message, mend }
    }
}

/// One page of PDF, as large as the SVG says, text as text; nothing in it tells when or where it was made.
///
/// # Errors
/// Where the SVG cannot be read or written as PDF.
pub fn pdf(svg: &str, title: &str) -> Result<Vec<u8>, Unprintable> {
    let tree = tree(svg)?;
    let failed = |why: Words| Unprintable::new(say!("print-no-pdf", why), say!("print-ask-for-svg"));
    let points = |pixels: f32| pixels * POINTS_PER_INCH / PIXELS_PER_INCH;
    let (width, height) = (points(tree.size().width()), points(tree.size().height()));
    let (Some(size), Some(settings)) =
        (krilla::geom::Size::from_wh(width, height), PageSettings::from_wh(width, height))
    else {
        return Err(failed(say!("print-no-page", width = format!("{width}"), height = format!("{height}"))));
    };
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(title.to_owned()));
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    surface.draw_svg(&tree, size, SvgSettings::default()).ok_or_else(|| failed(say!("print-cannot-be-drawn")))?;
    surface.finish();
    page.finish();
    document.finish().map_err(|why| failed(format!("{why:?}").into()))
}

/// A picture as PNG, `dpi` to the inch.
///
/// # Errors
/// Where the SVG cannot be read, or the picture would be larger than [`MOST_PIXELS`].
pub fn png(svg: &str, dpi: f32) -> Result<Vec<u8>, Unprintable> {
    painted(svg, dpi)?
        .encode_png()
        .map_err(|why| Unprintable::new(say!("print-no-png", why = why.to_string()), say!("print-ask-for-svg")))
}

/// A picture in pixels, for a window to show what will be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green, blue and opacity of each pixel, row by row from the top, premultiplied.
    pub rgba: Vec<u8>,
}

/// A picture in pixels, `dpi` to the inch.
///
/// # Errors
/// As [`png`].
pub fn pixels(svg: &str, dpi: f32) -> Result<Pixels, Unprintable> {
    let painted = painted(svg, dpi)?;
    Ok(Pixels { width: painted.width(), height: painted.height(), rgba: painted.take() })
}

fn painted(svg: &str, dpi: f32) -> Result<Pixmap, Unprintable> {
    let tree = tree(svg)?;
    let scale = dpi / PIXELS_PER_INCH;
    let (width, height) = ((tree.size().width() * scale).round(), (tree.size().height() * scale).round());
    if !(width >= 1.0 && height >= 1.0 && f64::from(width) * f64::from(height) <= MOST_PIXELS) {
        return Err(Unprintable::new(
            say!(
                "print-too-many-pixels",
                dpi = format!("{dpi}"),
                width = format!("{width}"),
                height = format!("{height}"),
                most = format!("{MOST_PIXELS:e}")
            ),
            say!("print-ask-for-fewer-dpi-or-svg"),
        ));
    }
    let blank = || Unprintable::new(say!("print-no-memory"), say!("print-ask-for-fewer-dpi"));
    let mut pixels = Pixmap::new(width as u32, height as u32).ok_or_else(blank)?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    Ok(pixels)
}

fn tree(svg: &str) -> Result<Tree, Unprintable> {
    let options =
        Options { font_family: font::FAMILY.to_owned(), fontdb: fonts(), dpi: PIXELS_PER_INCH, ..Options::default() };
    Tree::from_str(svg, &options).map_err(|why| {
        Unprintable::new(say!("print-drawing-cannot-be-read", why = why.to_string()), say!("print-ask-for-svg"))
    })
}

/// The project's own font alone, so that every machine prints the same page.
fn fonts() -> Arc<Database> {
    static FONTS: OnceLock<Arc<Database>> = OnceLock::new();
    let load = || {
        let mut fonts = Database::new();
        for bytes in [font::PLAIN, font::BOLD] {
            fonts.load_font_source(Source::Binary(Arc::new(bytes)));
        }
        fonts.set_sans_serif_family(font::FAMILY);
        Arc::new(fonts)
    };
    Arc::clone(FONTS.get_or_init(load))
}
