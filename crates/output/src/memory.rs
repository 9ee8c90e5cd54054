//! Sets of files in memory, and as one zip archive.

use std::collections::BTreeMap;
use std::io::{self, Seek, Write};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use velatura_document::{Diagnostic, Error};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::outputs::{FileSet, NewFile, Outputs};

/// Files by path.
type Files = BTreeMap<String, Vec<u8>>;

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
        Ok(Box::new(MemorySet {
            made: Shared::default(),
            commit: |made| {
                lock(&self.0).extend(made);
                Ok(())
            },
        }))
    }
}

/// Writes one set of files as a zip archive (PKWARE APPNOTE), uncompressed, because pictures are compressed already.
#[derive(Debug)]
pub struct ZipOutputs<W>(Mutex<Option<W>>);

impl<W: Write + Seek + Send> ZipOutputs<W> {
    /// An archive that is written to `writer`, which stays empty until the set is complete.
    pub fn new(writer: W) -> Self {
        Self(Mutex::new(Some(writer)))
    }
}

impl<W: Write + Seek + Send> Outputs for ZipOutputs<W> {
    fn open(&self, _: &[String], _: &[PathBuf]) -> Result<Box<dyn FileSet + '_>, Error> {
        Ok(Box::new(MemorySet {
            made: Shared::default(),
            commit: |made| {
                let writer = lock(&self.0).take().ok_or_else(|| {
                    let found = "this archive already has its files";
                    Error::refused("", found, "one set of files for each archive", "")
                })?;
                archive(writer, made).map_err(|error| {
                    let problem =
                        Diagnostic::error("", format!("cannot write the archive: {error}"));
                    Error::machine(problem.caused_by(error))
                })
            },
        }))
    }
}

fn archive(writer: impl Write + Seek, files: Files) -> io::Result<()> {
    let mut zip = ZipWriter::new(writer);
    // A fixed time, so that the same files give the same bytes.
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (path, bytes) in files {
        zip.start_file(path, options)?;
        zip.write_all(&bytes)?;
    }
    zip.finish()?.flush()
}

/// A set that is kept in memory until it is complete.
struct MemorySet<C> {
    made: Shared,
    commit: C,
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

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use std::io::{Cursor, Read};

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

    #[test]
    fn an_archive_holds_the_files_and_is_the_same_every_time() {
        let written = || {
            let mut bytes = Cursor::new(Vec::new());
            let outputs = ZipOutputs::new(&mut bytes);
            let set = outputs.open(&[], &[]).unwrap();
            set.write("previews/a.png", b"picture").unwrap();
            set.write("report.json", b"{}").unwrap();
            set.commit().unwrap();
            // An archive holds one set.
            assert!(outputs.open(&[], &[]).unwrap().commit().is_err());
            bytes.into_inner()
        };
        let bytes = written();
        assert_eq!(bytes, written());
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        let mut file = archive.by_name("previews/a.png").unwrap();
        file.read_to_string(&mut text).unwrap();
        assert_eq!(text, "picture");
        drop(file);
        assert_eq!(archive.len(), 2);
    }
}
