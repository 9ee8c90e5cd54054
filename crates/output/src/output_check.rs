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
            if within.is_symlink() {
                return Err(Error::refused(
                    within.display().to_string(),
                    "this is a link to another folder",
                    "a folder, or a new path",
                    Hint::from("remove the link").or(Hint::OtherOutput),
                ));
            }
        }
        if target.is_dir() {
            return Err(Error::refused(
                place,
                "this is a folder",
                "a file, or a new path",
                Hint::from("move or rename the folder").or(Hint::OtherOutput),
            ));
        }
        if target.exists() && !target.is_file() {
            return Err(Error::refused(
                place,
                "this is not a regular file",
                "a file, or a new path",
                Hint::OtherOutput,
            ));
        }
        if is_of_the_system(&target) {
            return Err(Error::refused(
                place,
                "this path belongs to the system",
                "a path in a folder of your own",
                Hint::OtherOutput,
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

/// Whether a file is in a folder of names that only stand for something else, such as `/dev/stdout`: to put a file there would
/// replace that name for everyone.
fn is_of_the_system(target: &Path) -> bool {
    let folder = target.parent().map(resolved);
    cfg!(unix)
        && folder.is_some_and(|folder| folder == Path::new("/dev") || folder.starts_with("/proc"))
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
            let found = if path.exists() {
                "this is a file, not a folder"
            } else {
                "this is a link that leads nowhere"
            };
            Err(Error::refused(
                blamed.display().to_string(),
                found,
                "a folder, or a new path",
                Hint::OtherOutput,
            ))
        }
        _ => Ok(()),
    }
}

/// Whether two paths lead to one file, however they are written, links included. Neither file needs to exist.
#[must_use]
pub fn is_same_file(one: &Path, other: &Path) -> bool {
    Identity::of(one).is(&Identity::of(other))
}

/// What makes a file that file.
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

/// The most links that are followed, one after the other. Systems follow about as many.
const MOST_LINKS: usize = 40;

/// The canonical path, for a file that is not there yet that of the nearest folder that is.
fn resolved(path: &Path) -> PathBuf {
    let mut path = path.to_owned();
    // A link may lead to a file that is not there yet.
    for _ in 0..MOST_LINKS {
        let Ok(next) = fs::read_link(&path) else {
            break;
        };
        path = path
            .parent()
            .map_or(next.clone(), |folder| folder.join(next));
    }
    let absolute = std::path::absolute(&path).unwrap_or(path);
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
