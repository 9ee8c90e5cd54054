//! Writing a few files, all of them whole or none: what commands without an output folder of their own use.

use std::io::Write;
use std::path::{Path, PathBuf};

use velatura_output::{OutputFolder, check_outputs};
use velatura_pipeline::Error;

/// Whether a file that is there may be written over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Existing {
    /// It stays, and nothing is done.
    Keep,
    /// It is replaced.
    Replace,
}

impl Existing {
    /// What `--force` says.
    pub(crate) fn unless(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }
}

/// A place for one file, judged before any work.
#[derive(Debug)]
pub(crate) struct Place {
    shown: String,
    folder: PathBuf,
    name: String,
}

/// Judges where a file is to go.
///
/// # Errors
/// [`Error::Call`] where the path names no file, is one of `inputs`, or is there already and to be kept.
pub(crate) fn place(path: &str, inputs: &[PathBuf], existing: Existing) -> Result<Place, Error> {
    let target = Path::new(path);
    let (Some(name), Some(folder)) = (
        target.file_name().and_then(|name| name.to_str()),
        target.parent(),
    ) else {
        return Err(Error::call_text(format!(
            "{path}: this names no file\n  expected: a path that ends with a file's name"
        )));
    };
    // As written, so that messages show the path that was typed.
    check_outputs(folder, &[name], inputs)?;
    if target.is_file() && existing == Existing::Keep {
        return Err(Error::call_text(format!(
            "{path}: this file is there already\n  expected: a place where nothing is lost\n  \
             help: choose another name, or add --force to write over it"
        )));
    }
    Ok(Place {
        shown: path.to_owned(),
        // An empty path is the folder that the command runs in.
        folder: Path::new(".").join(folder),
        name: name.to_owned(),
    })
}

/// Writes files to their places; none is in place before all are whole.
///
/// # Errors
/// [`Error::Machine`] where one cannot be written; then none is.
pub(crate) fn write_whole(files: &[(Place, Vec<u8>)], inputs: &[PathBuf]) -> Result<(), Error> {
    let mut folders = Vec::new();
    for (place, bytes) in files {
        let folder = OutputFolder::open(&place.folder, &[&place.name], inputs)?;
        let mut file = folder.begin(&place.name)?;
        file.write_all(bytes).map_err(|error| {
            Error::machine_text(format!("{}: {error}; nothing was written", place.shown))
        })?;
        file.finish()?;
        folders.push(folder);
    }
    for folder in folders {
        folder.commit()?;
    }
    Ok(())
}
