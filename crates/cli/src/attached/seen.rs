//! Which plugins were used before, by path, with the SHA-256 that they had then: a file that is not what it was is told.
//!
//! What cannot be remembered (no home, a disk that is full) is no reason to stop: the next use is a first one then.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};
use velatura_pipeline::stage::StageInfo;

use super::folder::seen_file;

const FORMAT: &str = "velatura-plugins-seen/1";

/// What a file was when it was used last.
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

/// The memory of all uses.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct Seen {
    format: String,
    files: BTreeMap<String, Known>,
}

impl Seen {
    /// What is remembered; nothing where there is no such file, or one of another kind.
    pub(super) fn read() -> Self {
        seen_file()
            .and_then(|path| std::fs::read(path).ok())
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .filter(|seen: &Self| seen.format == FORMAT)
            .unwrap_or_default()
    }

    /// What a file was when it was used last.
    pub(super) fn known(&self, path: &str) -> Option<&Known> {
        self.files.get(&absolute(path))
    }

    /// Notes a use; `true` if that is news.
    pub(super) fn note(&mut self, path: &str, now: Known) -> bool {
        self.files.insert(absolute(path), now.clone()).as_ref() != Some(&now)
    }

    /// Keeps it for the next time: whole, or as it was.
    pub(super) fn write(&mut self) {
        FORMAT.clone_into(&mut self.format);
        let Some(path) = seen_file() else { return };
        let (Some(folder), Ok(text)) = (path.parent(), serde_json::to_string_pretty(self)) else {
            return;
        };
        let beside = path.with_extension(format!("tmp-{}", std::process::id()));
        let kept = std::fs::create_dir_all(folder)
            .and_then(|()| std::fs::write(&beside, text + "\n"))
            .and_then(|()| std::fs::rename(&beside, &path));
        if kept.is_err() {
            let _ = std::fs::remove_file(beside);
        }
    }
}

fn absolute(path: &str) -> String {
    Path::new(path).canonicalize().map_or_else(
        |_| path.to_owned(),
        |path| path.to_string_lossy().into_owned(),
    )
}
