//! The place for a set of files: a folder, memory, or anything that a program implements. All files of a set appear, or none.

use std::io::Write;
use std::path::PathBuf;

use velatura_document::Error;

/// A place for sets of files.
pub trait Outputs: Sync {
    /// Starts a set. `planned` are its paths (relative, with "/"). `inputs` are the files that the work reads; none of them may
    /// be overwritten. Existing files do not change before [`FileSet::commit`].
    ///
    /// # Errors
    /// The obstacle, before any work is done.
    fn open(&self, planned: &[String], inputs: &[PathBuf]) -> Result<Box<dyn FileSet + '_>, Error>;
}

/// A set of files being made. If dropped before [`FileSet::commit`], it leaves nothing behind.
pub trait FileSet: Sync {
    /// Starts one file. Can be called from several threads at once.
    ///
    /// # Errors
    /// The path is not one to write, it was begun before, or the machine refuses.
    fn begin(&self, path: &str) -> Result<Box<dyn NewFile>, Error>;

    /// Discards every file that was begun, for work that starts over.
    fn start_over(&self);

    /// What an earlier set left at this path, if it can be read; nothing where there are no earlier sets.
    fn earlier(&self, path: &str) -> Option<Vec<u8>> {
        let _ = path;
        None
    }

    /// Lets a file of an earlier set go once this set is in place. Only a regular file at this very path is removed: never a link or
    /// what it leads to, an input, or a file of this set.
    fn retire(&self, path: &str) {
        let _ = path;
    }

    /// Makes all files appear.
    ///
    /// # Errors
    /// A file is not finished, or the machine refuses.
    fn commit(self: Box<Self>) -> Result<(), Error>;
}

/// One file being written. If it is dropped before [`NewFile::finish`], its set cannot be committed.
pub trait NewFile: Write + Send {
    /// Its path as its user would write it, for messages.
    fn shown(&self) -> &str;

    /// Marks the file as complete.
    ///
    /// # Errors
    /// The last bytes cannot be written.
    fn finish(self: Box<Self>) -> Result<(), Error>;
}

impl dyn FileSet + '_ {
    /// Writes one small file.
    ///
    /// # Errors
    /// As [`FileSet::begin`] and [`NewFile::finish`].
    pub fn write(&self, path: &str, bytes: &[u8]) -> Result<(), Error> {
        let mut file = self.begin(path)?;
        file.write_all(bytes)
            .map_err(|source| Error::io(file.shown(), "writing a file", source))?;
        file.finish()
    }
}
