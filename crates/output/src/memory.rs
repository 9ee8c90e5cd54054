//! Sets of files in memory.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use velatura_document::Error;

use crate::memory_set::{Files, MemorySet, lock};
use crate::outputs::{FileSet, Outputs};

/// Keeps sets of files in memory. Clones are the same memory.
#[derive(Debug, Clone, Default)]
pub struct MemoryOutputs(Arc<Mutex<Files>>);

impl MemoryOutputs {
    /// No file yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The files of all committed sets, by path.
    #[must_use]
    pub fn files(&self) -> BTreeMap<String, Vec<u8>> {
        lock(&self.0).clone()
    }

    /// Removes and returns the files of all committed sets.
    #[must_use]
    pub fn take(&self) -> BTreeMap<String, Vec<u8>> {
        std::mem::take(&mut *lock(&self.0))
    }
}

impl Outputs for MemoryOutputs {
    fn open(&self, _: &[String], _: &[PathBuf]) -> Result<Box<dyn FileSet + '_>, Error> {
        Ok(Box::new(MemorySet::new(|made| {
            lock(&self.0).extend(made);
            Ok(())
        })))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_appear_together_or_not_at_all() {
        let outputs = MemoryOutputs::new();
        let set = outputs.open(&[], &[]).unwrap();
        set.write("a.txt", b"one").unwrap();
        let unfinished = set.begin("b.txt").unwrap();
        assert!(matches!(set.begin("a.txt").map(drop), Err(Error::Call(_))));
        drop(unfinished);
        let error = set.commit().unwrap_err().to_string();
        assert!(error.contains("1 of 2 files are complete"), "{error}");
        assert!(outputs.files().is_empty());

        let set = outputs.open(&[], &[]).unwrap();
        let late = set.begin("a.txt").unwrap();
        set.start_over();
        late.finish().unwrap();
        set.write("c/d.txt", b"two").unwrap();
        set.commit().unwrap();
        let files: Vec<_> = outputs.take().into_iter().collect();
        assert_eq!(files, [("c/d.txt".to_owned(), b"two".to_vec())]);
    }
}
