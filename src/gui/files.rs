//! The window's only door to the disk: reading a circuit's text.
//!
//! Yields the text or a sentence that says what went wrong and what to do. What the text means is left to the
//! circuit layer; writing will come here too when the window writes anything.

use std::path::Path;

use crate::circuit::format::MOST_BYTES;

/// The text of a circuit file.
///
/// # Errors
/// A sentence for people, with its mend, where the file cannot be read or is far too large to be a circuit.
pub fn read_text(path: &Path) -> Result<String, String> {
    let shown = path.display();
    let size = std::fs::metadata(path).map_err(|e| format!("cannot open `{shown}`: {e}; check the path"))?.len();
    if size > MOST_BYTES as u64 {
        return Err(format!("`{shown}` has {size} bytes, far more than a circuit; choose a circuit file"));
    }
    let bytes = std::fs::read(path).map_err(|e| format!("cannot read `{shown}`: {e}; check its permissions"))?;
    String::from_utf8(bytes).map_err(|_| format!("`{shown}` is not text; choose a circuit file"))
}
