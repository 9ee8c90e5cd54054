//! Whether a set of files may be written: checked before any work, without changing anything.
//!
//! In: a folder, paths within it, the input files. Out: nothing, or the obstacle.

use std::fs;
use std::path::{Component, Path, PathBuf};

use velatura_document::{Error, Hint};

/// Checks whether `folder` and every path in it (`relative`, with "/") can be written without damaging `inputs`. Inputs are
/// recognised through symbolic and hard links too. Nothing is made or changed.
///
/// # Errors
/// [`Error::Call`] if an output is also an input, if a folder is in the place of a file or the other way round, or if a path
/// leaves the folder.
pub fn check_outputs(folder: &Path, relative: &[&str], inputs: &[PathBuf]) -> Result<(), Error> {
    check_is_folder(folder, folder)?;
    let inputs: Vec<Identity> = inputs.iter().map(|path| Identity::of(path)).collect();
    for &path in relative {
        let plain = Path::new(path)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        let place = shown(folder, path);
        if path.is_empty() || !plain {
            return Err(Error::refused(
                place,
                "the path leaves the folder",
                "a path inside the folder",
                "",
            ));
        }
        let target = folder.join(path);
        for within in target.ancestors().skip(1) {
            if within == folder {
                break;
            }
            check_is_folder(within, within)?;
        }
        if target.is_dir() {
            return Err(Error::refused(
                place,
                "this is a folder",
                "a file, or a new path",
                Hint::from("move or rename the folder").or(Hint::OtherOutput),
            ));
        }
        let own = Identity::of(&target);
        if inputs.iter().any(|input| input.is(&own)) {
            return Err(Error::refused(
                place,
                "this file is also an input",
                "an output path that is not an input",
                Hint::OtherOutput,
            ));
        }
    }
    Ok(())
}

/// The path as the user would write it.
pub(crate) fn shown(folder: &Path, relative: &str) -> String {
    folder.join(relative).display().to_string()
}

/// A missing folder is fine, unless one of its parents is a file.
fn check_is_folder(folder: &Path, place: &Path) -> Result<(), Error> {
    let nearest = folder
        .ancestors()
        .find(|path| fs::symlink_metadata(path).is_ok());
    match nearest {
        Some(path) if !path.is_dir() => {
            let blamed = if path == folder { place } else { path };
            Err(Error::refused(
                blamed.display().to_string(),
                "this is a file, not a folder",
                "a folder, or a new path",
                Hint::OtherOutput,
            ))
        }
        _ => Ok(()),
    }
}

/// The identity of a file.
#[derive(Debug, PartialEq, Eq)]
struct Identity {
    path: PathBuf,
    inode: Option<(u64, u64)>,
}

impl Identity {
    fn of(path: &Path) -> Self {
        Self {
            path: resolved(path),
            inode: inode(path),
        }
    }

    fn is(&self, other: &Self) -> bool {
        self.path == other.path || (self.inode.is_some() && self.inode == other.inode)
    }
}

/// The canonical path; for a new file, that of the nearest existing folder.
fn resolved(path: &Path) -> PathBuf {
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    for known in absolute.ancestors() {
        if let Ok(canonical) = known.canonicalize() {
            return match absolute.strip_prefix(known) {
                Ok(rest) if !rest.as_os_str().is_empty() => canonical.join(rest),
                _ => canonical,
            };
        }
    }
    absolute
}

#[cfg(unix)]
fn inode(path: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    let metadata = fs::metadata(path).ok()?;
    Some((metadata.dev(), metadata.ino()))
}

#[cfg(not(unix))]
fn inode(_path: &Path) -> Option<(u64, u64)> {
    None
}
