//! Words in one line that has only so much room.
//!
//! In letters as small as it takes, down to a least size; what is too long even then is cut. Where the line stands is the
//! asker's.

use std::sync::Arc;

use egui::text::{LayoutJob, TextWrapping};
use egui::{Color32, FontId, Galley, Painter};

/// Sets words within `width`, in letters of `sizes.0` down to `sizes.1`.
pub fn fitted(
    painter: &Painter,
    words: &str,
    (font, sizes): (impl Fn(f32) -> FontId, (f32, f32)),
    width: f32,
    ink: Color32,
) -> Arc<Galley> {
    let (full, least) = sizes;
    let wide = painter.layout_no_wrap(words.to_owned(), font(full), ink).size().x;
    let size = (full * width / wide.max(1.0)).clamp(least, full);
    let mut job = LayoutJob::simple_singleline(words.to_owned(), font(size), ink);
    job.wrap = TextWrapping::truncate_at_width(width);
    painter.layout_job(job)
}
