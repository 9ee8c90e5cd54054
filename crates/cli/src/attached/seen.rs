//! Which plugins were used before, by path, with their SHA-256 at that time, to report changed files.
//!
//! If this cannot be saved (no home folder, a full disk), the work continues; the next use then counts as the first.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};
use velatura::DiskFiles;
use velatura_document::{LARGEST_TEXT_BYTES, read_file};
use velatura_output::FolderSet;
use velatura_pipeline::stage::StageInfo;

use super::folder::seen_file;

const FORMAT: &str = "velatura-plugins-seen/1";

/// The data of a file at its last use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Known {
    pub(super) stage: String,
    pub(super) version: String,
    pub(super) sha256: String,
}

impl Known {
    pub(super) fn of(info: &StageInfo) -> Option<Self> {
        Some(Self {
            stage: info.name.clone(),
            version: info.version.clone(),
            sha256: info.file.as_ref()?.sha256.clone(),
        })
    }
}

/// The data of all uses.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct Seen {
    format: String,
    files: BTreeMap<String, Known>,
}

impl Seen {
    /// The saved data; empty if there is no such file, or one of another kind.
    pub(super) fn read() -> Self {
        seen_file()
            .filter(|path| path.is_file())
            .and_then(|path| read_file(&DiskFiles, &path, LARGEST_TEXT_BYTES).ok())
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .filter(|seen: &Self| seen.format == FORMAT)
            .unwrap_or_default()
    }

    /// The data of a file at its last use.
    pub(super) fn known(&self, path: &str) -> Option<&Known> {
        self.files.get(&absolute(path))
    }

    /// Records a use; `true` if that is new.
    pub(super) fn note(&mut self, path: &str, now: Known) -> bool {
        self.files.insert(absolute(path), now.clone()).as_ref() != Some(&now)
    }

    /// Saves it for the next time: completely, or not at all.
    pub(super) fn write(&mut self) {
        FORMAT.clone_into(&mut self.format);
        let Some(path) = seen_file() else { return };
        let (Some(folder), Some(name)) = (path.parent(), path.file_name()) else {
            return;
        };
        let (Some(name), Ok(text)) = (name.to_str(), serde_json::to_string_pretty(self)) else {
            return;
        };
        // If it cannot be kept, nothing is kept.
        let _ = FolderSet::open(folder, &[name], &[]).and_then(|output| {
            output.write(name, (text + "\n").as_bytes())?;
            output.commit()
        });
    }
}

fn absolute(path: &str) -> String {
    Path::new(path).canonicalize().map_or_else(
        |_| path.to_owned(),
        |path| path.to_string_lossy().into_owned(),
    )
}
