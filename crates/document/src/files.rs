//! Where files are read from. The program on top decides: a disk, memory, a browser's store. Libraries below ask for a path
//! and get bytes.

use std::collections::BTreeMap;
use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;

/// Most bytes of a text file: 16 MB. The largest file that people write is far smaller.
pub const LARGEST_TEXT_BYTES: u64 = 16_000_000;
/// Most bytes of a picture file: 1 GB. How many pixels it may have is another limit, of the decoder.
pub const LARGEST_PICTURE_BYTES: u64 = 1_000_000_000;

/// The longest name that a message shows whole, in characters.
const SHOWN_NAME: usize = 200;

/// Why a file is not one to read, in the parts of a message. [`Files`] can put it into an [`io::Error`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// What was found.
    pub found: String,
    /// What would have been right.
    pub expected: &'static str,
    /// What to do.
    pub help: &'static str,
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.found)
    }
}

impl std::error::Error for Unreadable {}

impl From<Unreadable> for io::Error {
    fn from(why: Unreadable) -> Self {
        Self::new(ErrorKind::InvalidInput, why)
    }
}

/// A place that files are read from.
pub trait Files: Send + Sync {
    /// All bytes of a file. A reader that can should stop after `at_most` bytes.
    ///
    /// # Errors
    /// Why it cannot be read. Use [`ErrorKind::FileTooLarge`] for a file of more than `at_most` bytes, and [`Unreadable`] for what
    /// is no file.
    fn read(&self, path: &Path, at_most: u64) -> io::Result<Vec<u8>>;
}

/// Reads a file for [`Files`], with an error that names the file as its user wrote it.
///
/// # Errors
/// Why it cannot be read, and what to do about it.
pub fn read_file(files: &dyn Files, path: &Path, at_most: u64) -> Result<Vec<u8>, Diagnostic> {
    let read = files.read(path, at_most).and_then(|bytes| {
        if bytes.len() as u64 > at_most {
            return Err(ErrorKind::FileTooLarge.into());
        }
        Ok(bytes)
    });
    read.map_err(|error| problem(path, at_most, &error).caused_by(error))
}

fn problem(path: &Path, at_most: u64, error: &io::Error) -> Diagnostic {
    let mut name = path.display().to_string();
    if let Some((end, _)) = name.char_indices().nth(SHOWN_NAME) {
        name.replace_range(end.., "…");
    }
    let why = error
        .get_ref()
        .and_then(|why| why.downcast_ref::<Unreadable>());
    if let Some(why) = why {
        return Diagnostic::error(name, &*why.found)
            .expected(why.expected)
            .help(why.help);
    }
    match error.kind() {
        ErrorKind::NotFound => Diagnostic::error(name, "there is no such file")
            .help("check the path; paths in a file are relative to that file"),
        ErrorKind::PermissionDenied => {
            Diagnostic::error(name, "permission denied").help("allow your user to read this file")
        }
        ErrorKind::IsADirectory => Diagnostic::error(name, "this is a folder")
            .expected("a file")
            .help("name a file in it"),
        ErrorKind::FileTooLarge => Diagnostic::error(name, "the file is too large")
            .expected(format!(
                "at most {} MB for a file of this kind",
                at_most / 1_000_000
            ))
            .help("check that this is the right file"),
        ErrorKind::InvalidInput if name.contains('\0') => {
            Diagnostic::error(name, "the path holds the character U+0000")
                .expected("a path without it")
                .help("write the path again, without \\u0000")
        }
        ErrorKind::InvalidFilename => {
            Diagnostic::error(name, "the name is longer than the system allows")
                .expected("a name of at most 255 bytes on most systems")
                .help("check the path, or give the file a shorter name")
        }
        ErrorKind::OutOfMemory => {
            Diagnostic::error(name, "there is not enough memory for this file")
                .expected("free memory as large as the file")
                .help("close other programs, or use a smaller file")
        }
        _ => Diagnostic::error(name, format!("the file could not be read: {error}"))
            .expected("a file that can be read")
            .help("check the disk, or copy the file to another one"),
    }
}

/// Files in memory, by path.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MemoryFiles(BTreeMap<PathBuf, Vec<u8>>);

impl MemoryFiles {
    /// No file yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// With one more file, or with another content for one.
    #[must_use]
    pub fn with(mut self, path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        self.0.insert(path.into(), bytes.into());
        self
    }
}

impl<P: Into<PathBuf>, B: Into<Vec<u8>>> FromIterator<(P, B)> for MemoryFiles {
    fn from_iter<I: IntoIterator<Item = (P, B)>>(files: I) -> Self {
        let files = files.into_iter();
        Self(
            files
                .map(|(path, bytes)| (path.into(), bytes.into()))
                .collect(),
        )
    }
}

impl Files for MemoryFiles {
    fn read(&self, path: &Path, _: u64) -> io::Result<Vec<u8>> {
        self.0
            .get(path)
            .cloned()
            .ok_or_else(|| ErrorKind::NotFound.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_read_or_the_error_names_it() {
        let files = MemoryFiles::new().with("a/b.toml", "x = 1");
        let read = |path: &str, at_most| read_file(&files, Path::new(path), at_most);
        assert_eq!(read("a/b.toml", 5), Ok(b"x = 1".to_vec()));
        let missing = read("a/c.toml", 5).unwrap_err();
        assert_eq!(
            (&*missing.file, &*missing.found),
            ("a/c.toml", "there is no such file")
        );
        // One byte past the limit.
        let large = read("a/b.toml", 4).unwrap_err();
        assert_eq!(large.found, "the file is too large");
    }
}
