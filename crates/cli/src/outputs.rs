//! Writing a few files, all of them or none, for commands without an output folder.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use velatura_document::Diagnostic;
use velatura_output::{FolderSet, check_outputs, is_same_file};
use velatura_pipeline::Error;

/// Whether to overwrite an existing file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Existing {
    /// It stays, and the command stops.
    Keep,
    /// It is replaced.
    Replace,
    /// It is replaced if it is of this kind or empty.
    ReplaceOnly(Kind),
}

/// A kind of file, known by how it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A picture as PNG.
    Png,
    /// A drawing as SVG.
    Svg,
    /// A page as PDF.
    Pdf,
    /// A page as HTML.
    Html,
}

impl Kind {
    fn name(self) -> &'static str {
        match self {
            Self::Png => "PNG",
            Self::Svg => "SVG",
            Self::Pdf => "PDF",
            Self::Html => "HTML",
        }
    }

    fn starts(self) -> &'static [&'static [u8]] {
        match self {
            Self::Png => &[b"\x89PNG\r\n\x1a\n"],
            Self::Svg => &[b"<?xml", b"<svg"],
            Self::Pdf => &[b"%PDF-"],
            Self::Html => &[b"<!DOCTYP"],
        }
    }

    /// Whether this file can be overwritten without losing a file of another kind.
    fn is_kind_of(self, path: &Path) -> bool {
        let mut start = Vec::new();
        let read = File::open(path).and_then(|file| file.take(8).read_to_end(&mut start));
        read.is_ok() && (start.is_empty() || self.starts().iter().any(|own| start.starts_with(own)))
    }
}

impl Existing {
    /// From `--force`.
    pub(crate) fn unless(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }

    /// What `--force` says for files that are made again and again until they are right.
    pub(crate) fn only(kind: Kind, force: bool) -> Self {
        if force {
            Self::Replace
        } else {
            Self::ReplaceOnly(kind)
        }
    }
}

/// The place of one file, checked before any work.
#[derive(Debug)]
pub(crate) struct OutputPlace {
    shown: String,
    folder: PathBuf,
    name: String,
}

/// Checks where a file should go.
///
/// # Errors
/// [`Error::Call`] if the path names no file, is one of `inputs`, or exists and must be kept.
pub(crate) fn place(
    path: &str,
    inputs: &[PathBuf],
    existing: Existing,
) -> Result<OutputPlace, Error> {
    let target = Path::new(path);
    let (Some(name), Some(folder)) = (
        target.file_name().and_then(|name| name.to_str()),
        target.parent(),
    ) else {
        return Err(Error::refused(
            path,
            "this is not the path of a file",
            "a path that ends in a file name",
            "",
        ));
    };
    // As written, so that messages show the path that was typed.
    check_outputs(folder, &[name], inputs)?;
    if target.is_file() && existing == Existing::Keep {
        return Err(Error::refused(
            path,
            "this file exists already",
            "the name of a new file",
            "choose another name, or add --force to overwrite it",
        ));
    }
    if let Existing::ReplaceOnly(kind) = existing
        && target.is_file()
        && !kind.is_kind_of(target)
    {
        let kind = kind.name();
        return Err(Error::refused(
            path,
            format!("this file already exists, and is not in {kind} format"),
            &format!("the name of a new file or of a {kind} file"),
            "choose another name, or add --force to overwrite it",
        ));
    }
    Ok(OutputPlace {
        shown: path.to_owned(),
        // An empty path is the folder that the command runs in.
        folder: Path::new(".").join(folder),
        name: name.to_owned(),
    })
}

/// Refuses two options that name one file, however it is written.
///
/// # Errors
/// [`Error::Call`] if they do. `option` is the second one, for the message.
pub(crate) fn two_files(one: &OutputPlace, other: &OutputPlace, option: &str) -> Result<(), Error> {
    if !is_same_file(&one.path(), &other.path()) {
        return Ok(());
    }
    Err(Error::call(
        Diagnostic::error(&*other.shown, "two results would be written to this file")
            .within(option)
            .expected(format!("a path other than {}", one.shown))
            .help(format!("choose another path for {option}")),
    ))
}

impl OutputPlace {
    fn path(&self) -> PathBuf {
        self.folder.join(&self.name)
    }
}

/// Writes files to their places; none is put in place before all are complete.
///
/// # Errors
/// [`Error::Machine`] if one cannot be written. Then none is, or the message lists those that are already in place.
pub(crate) fn write_whole(
    files: &[(OutputPlace, Vec<u8>)],
    inputs: &[PathBuf],
) -> Result<(), Error> {
    let mut folders = Vec::new();
    for (place, bytes) in files {
        let folder = FolderSet::open(&place.folder, &[&place.name], inputs)?;
        let mut file = folder.begin(&place.name)?;
        file.write_all(bytes)
            .map_err(|error| Error::io(place.shown.clone(), "writing a file", error))?;
        file.finish()?;
        folders.push((folder, &place.shown));
    }
    let mut in_place: Vec<&str> = Vec::new();
    for (folder, name) in folders {
        folder
            .commit()
            .map_err(|error| written_so_far(error.at(name), &in_place))?;
        in_place.push(name);
    }
    Ok(())
}

/// The same error, with the files that were put in place before it.
fn written_so_far(mut error: Error, in_place: &[&str]) -> Error {
    if let (Error::Machine(problems) | Error::Call(problems), false) =
        (&mut error, in_place.is_empty())
    {
        for problem in problems {
            problem.within = Some(format!(
                "writing the files; only these were written: {}",
                in_place.join(", ")
            ));
        }
    }
    error
}
