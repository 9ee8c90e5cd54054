//! What the results in a folder were made from, so that a later call can tell whether they are still right.
//!
//! In: the files that were read, with their hashes, the version and the options. Out: `made-from.json` in the results' folder,
//! written after everything else.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use velatura::{DiskFiles, Error, OutputFolder, Outputs};
use velatura_document::{Files, LARGEST_PICTURE_BYTES};

use crate::messages::json;

/// The file's name.
pub(crate) const MADE_FROM_FILE: &str = "made-from.json";
const FORMAT: &str = "velatura-made-from/1";

/// The content of `made-from.json`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct MadeFrom {
    format: String,
    version: String,
    /// The options that change the results.
    options: String,
    /// The figure's name.
    pub(crate) figure: String,
    /// How many schemes were rendered.
    pub(crate) schemes: usize,
    /// SHA-256 of every file that was read.
    inputs: BTreeMap<PathBuf, String>,
    /// Bytes of every file that was written.
    outputs: BTreeMap<String, u64>,
}

impl MadeFrom {
    /// The record in a folder, if it is of this figure and all it says still holds: same version, options and inputs, and every result
    /// is there.
    pub(crate) fn if_current(folder: &Path, figure: &Path, options: &str) -> Option<Self> {
        let text = fs::read(folder.join(MADE_FROM_FILE)).ok()?;
        let record: Self = serde_json::from_slice(&text).ok()?;
        let same_call = record.format == FORMAT
            && record.version == env!("CARGO_PKG_VERSION")
            && record.options == options
            // Another figure may have had this folder: folders of one name are numbered.
            && record.inputs.contains_key(figure);
        let same_inputs = || {
            record.inputs.iter().all(|(path, known)| {
                let bytes = DiskFiles.read(path, LARGEST_PICTURE_BYTES);
                bytes.is_ok_and(|bytes| hash(&bytes) == *known)
            })
        };
        let complete = || {
            record.outputs.iter().all(|(path, bytes)| {
                let found = fs::metadata(folder.join(path));
                found.is_ok_and(|found| found.is_file() && found.len() == *bytes)
            })
        };
        (same_call && complete() && same_inputs()).then_some(record)
    }

    /// The record of results that are in their folder now.
    ///
    /// # Errors
    /// [`Error::Machine`] if one of them is missing.
    pub(crate) fn of(
        inputs: BTreeMap<PathBuf, String>,
        options: &str,
        results: &Results<'_>,
    ) -> Result<Self, Error> {
        let sized = |path: &String| -> Result<(String, u64), Error> {
            let file = results.folder.join(path);
            let found = fs::metadata(&file);
            let found = found
                .map_err(|why| Error::io(file.display().to_string(), "reading a result", why))?;
            Ok((path.clone(), found.len()))
        };
        Ok(Self {
            format: FORMAT.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            options: options.to_owned(),
            figure: results.figure.to_owned(),
            schemes: results.schemes,
            inputs,
            outputs: results.files.iter().map(sized).collect::<Result<_, _>>()?,
        })
    }

    /// Writes it into the results' folder.
    ///
    /// # Errors
    /// [`Error::Machine`] if it cannot be written.
    pub(crate) fn write(&self, folder: &Path, inputs: &[PathBuf]) -> Result<(), Error> {
        let outputs = OutputFolder::new(folder);
        let files = outputs.open(&[MADE_FROM_FILE.to_owned()], inputs)?;
        files.write(MADE_FROM_FILE, json(self)?.as_bytes())?;
        files.commit()
    }
}

/// Results that have been written.
#[derive(Debug)]
pub(crate) struct Results<'a> {
    pub(crate) folder: &'a Path,
    pub(crate) figure: &'a str,
    pub(crate) schemes: usize,
    /// Relative to the folder.
    pub(crate) files: &'a [String],
}

/// The disk, with a note of every file that is read.
#[derive(Debug, Default)]
pub(crate) struct NotedFiles(Mutex<BTreeMap<PathBuf, String>>);

impl NotedFiles {
    /// Notes a file that is read elsewhere.
    pub(crate) fn note(&self, path: &Path, bytes: &[u8]) {
        let mut noted = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        noted.insert(path.to_owned(), hash(bytes));
    }

    /// All files that were read, with their hashes.
    pub(crate) fn noted(&self) -> BTreeMap<PathBuf, String> {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}

impl Files for NotedFiles {
    fn read(&self, path: &Path, at_most: u64) -> io::Result<Vec<u8>> {
        let bytes = DiskFiles.read(path, at_most)?;
        self.note(path, &bytes);
        Ok(bytes)
    }
}

fn hash(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
