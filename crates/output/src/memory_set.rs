//! A set of files that is kept in memory until it is complete.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use velatura_document::Error;

use crate::outputs::{FileSet, NewFile};

/// Files by path.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// A set that is kept in memory until it is complete.
pub(crate) struct MemorySet<C> {
    made: Shared,
    commit: C,
}

impl<C: Fn(Files) -> Result<(), Error> + Sync> MemorySet<C> {
    /// An empty set; `commit` gets its files once all are complete.
    pub(crate) fn new(commit: C) -> Self {
        Self {
            made: Shared::default(),
            commit,
        }
    }
}

#[derive(Debug, Clone, Default)]
struct Shared(Arc<Mutex<Made>>);

#[derive(Debug, Default)]
struct Made {
    /// Files by path; `None` while a file is being written.
    files: BTreeMap<String, Option<Vec<u8>>>,
    /// Increases when the set starts over, so that older files do not count as new ones.
    round: u64,
}

/// A file of a [`MemorySet`].
struct MemoryFile {
    made: Shared,
    path: String,
    round: u64,
    bytes: Vec<u8>,
}

impl<C: Fn(Files) -> Result<(), Error> + Sync> FileSet for MemorySet<C> {
    fn begin(&self, path: &str) -> Result<Box<dyn NewFile>, Error> {
        let mut made = lock(&self.made.0);
        if made.files.contains_key(path) {
            return Err(Error::refused(
                path,
                "the same file is written twice",
                "one writer for each file",
                "",
            ));
        }
        made.files.insert(path.to_owned(), None);
        Ok(Box::new(MemoryFile {
            made: self.made.clone(),
            path: path.to_owned(),
            round: made.round,
            bytes: Vec::new(),
        }))
    }

    fn start_over(&self) {
        let mut made = lock(&self.made.0);
        made.files.clear();
        made.round += 1;
    }

    fn commit(self: Box<Self>) -> Result<(), Error> {
        let files = std::mem::take(&mut lock(&self.made.0).files);
        let (begun, mut complete) = (files.len(), Files::new());
        for (path, bytes) in files {
            complete.extend(bytes.map(|bytes| (path, bytes)));
        }
        if complete.len() != begun {
            return Err(Error::refused(
                "",
                format!("{} of {begun} files are complete", complete.len()),
                "every file finished before the set is committed",
                "",
            ));
        }
        (self.commit)(complete)
    }
}

impl Write for MemoryFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.bytes.try_reserve(bytes.len())?;
        self.bytes.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl NewFile for MemoryFile {
    fn shown(&self) -> &str {
        &self.path
    }

    fn finish(self: Box<Self>) -> Result<(), Error> {
        let mut made = lock(&self.made.0);
        if made.round == self.round {
            made.files.insert(self.path, Some(self.bytes));
        }
        Ok(())
    }
}

pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
