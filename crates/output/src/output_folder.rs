//! A folder as a place for sets of files.

use std::path::{Path, PathBuf};

use velatura_document::Error;

use crate::folder_set::FolderSet;
use crate::outputs::{FileSet, Outputs};

/// A folder on a disk. It is made if it is missing; other files in it stay as they are.
#[derive(Debug, Clone)]
pub struct OutputFolder(PathBuf);

impl OutputFolder {
    /// The folder of that path.
    #[must_use]
    pub fn new(folder: impl Into<PathBuf>) -> Self {
        Self(folder.into())
    }

    /// Its path.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Outputs for OutputFolder {
    fn open(&self, planned: &[String], inputs: &[PathBuf]) -> Result<Box<dyn FileSet + '_>, Error> {
        let planned: Vec<&str> = planned.iter().map(String::as_str).collect();
        Ok(Box::new(FolderSet::open(&self.0, &planned, inputs)?))
    }
}
