//! Reading files from the disk. Writing is in `outputs.rs`.

use std::path::Path;

use velatura::DiskFiles;
use velatura_document::{
    Diagnostic, LARGEST_PICTURE_BYTES, LARGEST_TEXT_BYTES, SourceText, read_file,
};

/// Reads a text file.
///
/// # Errors
/// A diagnostic with the path as the user wrote it.
pub(crate) fn read_text(path: impl AsRef<Path>) -> Result<SourceText, Diagnostic> {
    let path = path.as_ref();
    let bytes = read_file(&DiskFiles, path, LARGEST_TEXT_BYTES)?;
    SourceText::from_bytes(path.display().to_string(), bytes)
}

/// Reads a picture file.
///
/// # Errors
/// As [`read_text`].
pub(crate) fn read_picture(path: impl AsRef<Path>) -> Result<Vec<u8>, Diagnostic> {
    read_file(&DiskFiles, path.as_ref(), LARGEST_PICTURE_BYTES)
}
