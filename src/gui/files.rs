//! The window's only door to the disk: reading a circuit's text.
//!
//! Yields the text or a sentence that says what went wrong and what to do. What the text means is left to the
//! circuit layer; writing will come here too when the window writes anything.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::circuit::format::MOST_BYTES;

/// The text of a circuit file.
///
/// # Errors
/// A sentence for people, with its mend, where the file cannot be read or is far too large to be a circuit. A folder,
/// device or pipe is refused unopened: the window would wait on it for ever.
pub fn read_text(path: &Path) -> Result<String, String> {
    let shown = path.display();
    let metadata = std::fs::metadata(path).map_err(|e| format!("cannot open `{shown}`: {e}; check the path"))?;
    if !metadata.is_file() {
        return Err(format!("`{shown}` is not a file; choose a circuit file"));
    }
    let unreadable = |e: std::io::Error| format!("cannot read `{shown}`: {e}; check its permissions");
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large, also one that grew meanwhile.
    let file = File::open(path).map_err(unreadable)?;
    file.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() > MOST_BYTES {
        let size = metadata.len();
        return Err(format!("`{shown}` has {size} bytes, far more than a circuit; choose a circuit file"));
    }
    String::from_utf8(bytes).map_err(|_| format!("`{shown}` is not text; choose a circuit file"))
}

#[cfg(test)]
mod tests {
    use super::read_text;
    use std::path::Path;

    #[test]
    fn a_folder_and_a_device_that_never_ends_are_refused_and_not_waited_on() {
        let folder = tempfile::tempdir().unwrap();
        for path in [folder.path(), Path::new("/dev/zero")] {
            let why = read_text(path).unwrap_err();
            // Where there is no such device, the path is what is wrong.
            assert!(why.contains("is not a file") || !path.exists(), "{why}");
        }
    }

    #[test]
    fn a_file_too_large_to_be_a_circuit_is_told_so() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("large.ron");
        std::fs::File::create(&path).unwrap().set_len(9 * 1024 * 1024).unwrap();
        let why = read_text(&path).unwrap_err();
        assert!(why.contains("far more than a circuit"), "{why}");
    }
}
