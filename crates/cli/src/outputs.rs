//! Writing a few files, all of them or none, for commands without an output folder.

use std::io::Write;
use std::path::{Path, PathBuf};

use velatura_output::{FolderSet, check_outputs};
use velatura_pipeline::Error;

/// Whether to overwrite an existing file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Existing {
    /// It stays, and the command stops.
    Keep,
    /// It is replaced.
    Replace,
}

impl Existing {
    /// From `--force`.
    pub(crate) fn unless(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }
}

/// The place of one file, checked before any work.
#[derive(Debug)]
pub(crate) struct Place {
    shown: String,
    folder: PathBuf,
    name: String,
}

/// Checks where a file should go.
///
/// # Errors
/// [`Error::Call`] if the path names no file, is one of `inputs`, or exists and must be kept.
pub(crate) fn place(path: &str, inputs: &[PathBuf], existing: Existing) -> Result<Place, Error> {
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
    Ok(Place {
        shown: path.to_owned(),
        // An empty path is the folder that the command runs in.
        folder: Path::new(".").join(folder),
        name: name.to_owned(),
    })
}

/// Writes files to their places; none is put in place before all are complete.
///
/// # Errors
/// [`Error::Machine`] if one cannot be written. Then none is, or the message lists those that are already in place.
pub(crate) fn write_whole(files: &[(Place, Vec<u8>)], inputs: &[PathBuf]) -> Result<(), Error> {
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
