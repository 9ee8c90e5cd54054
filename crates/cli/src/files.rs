//! Reading files: the one place of the command where they are opened. Writing is in `outputs.rs`.

use std::io::ErrorKind;
use std::path::Path;

use velatura_document::Diagnostic;

/// Reads a file whole.
///
/// # Errors
/// A diagnostic with the path as the user wrote it.
pub(crate) fn read_file(path: &str) -> Result<Vec<u8>, Diagnostic> {
    std::fs::read(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => Diagnostic::error(path, "there is no such file")
            .help("check the path; paths in a file are relative to that file"),
        ErrorKind::PermissionDenied => {
            Diagnostic::error(path, "permission denied").help("allow your user to read this file")
        }
        _ if Path::new(path).is_dir() => {
            Diagnostic::error(path, "this is a folder").expected("a file")
        }
        _ => Diagnostic::error(path, format!("the file could not be read: {error}")),
    })
}
