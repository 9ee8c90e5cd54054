//! The user's plugin folder, and the file that remembers which plugins were used.

use std::path::PathBuf;

use etcetera::BaseStrategy;

/// The folder whose `*.wasm` are offered to every job; `None` if the user has no home folder.
///
/// Below the XDG base directories (specification 0.8) where they exist, otherwise the equivalent of the system.
pub(crate) fn plugins_folder() -> Option<PathBuf> {
    let data = base()?.data_dir();
    absolute(data.join("velatura").join("plugins"))
}

/// The file that remembers what was used last.
pub(super) fn seen_file() -> Option<PathBuf> {
    let base = base()?;
    let state = base.state_dir().unwrap_or_else(|| base.data_dir());
    absolute(state.join("velatura").join("plugins-seen.json"))
}

/// Only a path that does not depend on the current folder: a relative one does not count (XDG base directories, 0.8).
fn absolute(path: PathBuf) -> Option<PathBuf> {
    Some(path).filter(|path| path.is_absolute())
}

fn base() -> Option<impl BaseStrategy> {
    etcetera::choose_base_strategy().ok()
}

/// The plugins in the user's folder, by name.
pub(super) fn files() -> Vec<PathBuf> {
    let entries = plugins_folder().and_then(|folder| std::fs::read_dir(folder).ok());
    let mut files: Vec<PathBuf> = entries
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "wasm"))
        .collect();
    files.sort();
    files
}
