//! A set of files in a folder: temporary files next to their places, all renamed at the end.
//!
//! In: a folder, the planned paths, the input files. Out: the files in their places, `report.json` last. Files that are not
//! ours stay; those of an earlier set go if they are retired, after all new ones are in place. A crash of the machine is not
//! covered: nothing waits for the disk. Not here: whether a path may be written (`output_check.rs`).

use std::collections::BTreeSet;
use std::fs::{self, File, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tempfile::TempPath;

use crate::leftovers::{ENDING, beginning, remove_leftovers};
use crate::live::{Abandon, begins};
use crate::output_check::{check_outputs, shown};
use crate::outputs::{FileSet, NewFile};
use crate::retired;
use velatura_document::{Diagnostic, Error, LARGEST_TEXT_BYTES};

/// A folder in which a set of files is being made. If dropped before [`FolderSet::commit`], it leaves nothing behind.
#[derive(Debug)]
pub struct FolderSet {
    folder: PathBuf,
    inputs: Vec<PathBuf>,
    state: Shared,
}

/// One file being written. [`FolderFile::finish`] marks it as complete; if it is dropped before, the set cannot be committed.
#[derive(Debug)]
pub struct FolderFile {
    file: File,
    shown: String,
    key: u64,
    state: Shared,
}

#[derive(Debug, Clone, Default)]
struct Shared(Arc<Lock>);

#[derive(Debug, Default)]
struct Lock(Mutex<State>);

#[derive(Debug, Default)]
struct State {
    stopped: bool,
    begun: u64,
    /// How many of those were discarded.
    forgotten: u64,
    pending: Vec<Pending>,
    /// Folders made here, in the order they were made.
    made: Vec<PathBuf>,
    /// Files of an earlier set that go.
    retired: Vec<String>,
}

#[derive(Debug)]
struct Pending {
    key: u64,
    temporary: TempPath,
    target: PathBuf,
    relative: String,
    whole: bool,
}

impl FolderSet {
    /// Checks every planned path (relative to `folder`, with "/") as [`check_outputs`] does, then makes the folder if it
    /// is missing. `inputs` are the files that the work reads; none of them is ever written.
    ///
    /// # Errors
    /// As [`check_outputs`]; [`Error::Machine`] if the folder cannot be made. Nothing is left behind.
    pub fn open(folder: &Path, planned: &[&str], inputs: &[PathBuf]) -> Result<Self, Error> {
        check_outputs(folder, planned, inputs)?;
        let output = Self {
            folder: folder.to_owned(),
            inputs: inputs.to_vec(),
            state: Shared::default(),
        };
        let set: Arc<dyn Abandon> = output.state.0.clone();
        begins(Arc::downgrade(&set));
        make_folders(folder, &mut output.state.lock().made)?;
        remove_leftovers(folder);
        for within in folders_within(planned) {
            remove_leftovers(&folder.join(within));
        }
        Ok(output)
    }

    /// Starts one file; creates its folder if needed. Can be called from several threads at once.
    ///
    /// # Errors
    /// As [`check_outputs`] for this path or if it was begun before; [`Error::Machine`] if the file cannot be made, or
    /// after [`FolderSet::abandon`].
    pub fn begin(&self, relative: &str) -> Result<FolderFile, Error> {
        check_outputs(&self.folder, &[relative], &self.inputs)?;
        let target = self.folder.join(relative);
        let name = shown(&self.folder, relative);
        let mut state = self.state.lock();
        if state.stopped {
            return Err(Error::io(name, "starting a file", interrupted()));
        }
        if state.pending.iter().any(|other| other.target == target) {
            return Err(Error::refused(
                name,
                "the same file is written twice",
                "one writer for each file",
                "",
            ));
        }
        let parent = target.parent().unwrap_or(&self.folder);
        make_folders(parent, &mut state.made)?;
        let (file, temporary) = temporary_in(parent)
            .map_err(|source| Error::io(name.clone(), "starting a file", source))?;
        state.begun += 1;
        let key = state.begun;
        state.pending.push(Pending {
            key,
            temporary,
            target,
            relative: relative.to_owned(),
            whole: false,
        });
        drop(state);
        Ok(FolderFile {
            file,
            shown: name,
            key,
            state: self.state.clone(),
        })
    }

    /// Writes one small file.
    ///
    /// # Errors
    /// As [`FolderSet::begin`] and [`FolderFile::finish`].
    pub fn write(&self, relative: &str, bytes: &[u8]) -> Result<(), Error> {
        let mut file = self.begin(relative)?;
        file.write_all(bytes)
            .map_err(|source| Error::io(file.shown.clone(), "writing a file", source))?;
        file.finish()
    }

    /// Discards every file that was begun, complete or not, for work that starts over.
    pub fn start_over(&self) {
        let mut state = self.state.lock();
        state.pending.clear();
        state.forgotten = state.begun;
    }

    /// Renames all files into place: previews, then `sheet.png`, then others, `report.json` last; retired files go then. Another
    /// thread that calls `abandon` waits until all are in place.
    ///
    /// # Errors
    /// [`Error::Call`] if a file is incomplete or a folder has taken its place since; [`Error::Machine`] if a rename is
    /// refused. The message lists the files that are in place; the others are removed.
    pub fn commit(self) -> Result<(), Error> {
        let mut state = self.state.lock();
        if state.stopped {
            let place = self.folder.display().to_string();
            return Err(Error::io(
                place,
                "putting the files in place",
                interrupted(),
            ));
        }
        let whole = state.pending.iter().filter(|file| file.whole).count();
        let expected = state.begun - state.forgotten;
        if u64::try_from(whole) != Ok(expected) {
            return Err(Error::refused(
                self.folder.display().to_string(),
                format!("only {whole} of {expected} files are complete"),
                "every file finished before any is put in place",
                "",
            ));
        }
        let planned: Vec<&str> = state
            .pending
            .iter()
            .map(|file| file.relative.as_str())
            .collect();
        check_outputs(&self.folder, &planned, &self.inputs)?;
        let mut pending = std::mem::take(&mut state.pending);
        pending.sort_by(|a, b| {
            (rank(&a.relative), &a.relative).cmp(&(rank(&b.relative), &b.relative))
        });
        let written: Vec<PathBuf> = pending.iter().map(|file| file.target.clone()).collect();
        let mut in_place: Vec<String> = Vec::new();
        for file in pending {
            let name = shown(&self.folder, &file.relative);
            if let Err(refused) = file.temporary.persist(&file.target) {
                let written = match in_place.as_slice() {
                    [] => "nothing was written".to_owned(),
                    files => format!("only these were written: {}", files.join(", ")),
                };
                return Err(Error::machine(
                    Diagnostic::error(name, refused.error.to_string())
                        .within(format!("putting the files in place; {written}"))
                        .caused_by(refused.error),
                ));
            }
            in_place.push(name);
        }
        state.made.clear();
        for path in std::mem::take(&mut state.retired) {
            retired::remove(&self.folder, &path, &self.inputs, &written);
        }
        Ok(())
    }

    /// Removes every temporary file and every empty folder made here. No file can be started afterwards.
    pub fn abandon(&self) {
        self.state.abandon();
    }
}

impl Drop for FolderSet {
    fn drop(&mut self) {
        self.state.abandon();
    }
}

impl FolderFile {
    /// Marks the file as complete.
    ///
    /// # Errors
    /// [`Error::Machine`] if the last bytes cannot be written.
    pub fn finish(mut self) -> Result<(), Error> {
        self.file
            .flush()
            .map_err(|source| Error::io(self.shown.clone(), "writing a file", source))?;
        let mut state = self.state.lock();
        if let Some(own) = state.pending.iter_mut().find(|file| file.key == self.key) {
            own.whole = true;
        }
        Ok(())
    }
}

impl FileSet for FolderSet {
    fn begin(&self, path: &str) -> Result<Box<dyn NewFile>, Error> {
        Ok(Box::new(Self::begin(self, path)?))
    }

    fn start_over(&self) {
        Self::start_over(self);
    }

    fn earlier(&self, path: &str) -> Option<Vec<u8>> {
        let file = retired::plain_file(&self.folder, path)?;
        let small = fs::metadata(&file).is_ok_and(|found| found.len() <= LARGEST_TEXT_BYTES);
        small.then(|| fs::read(file).ok()).flatten()
    }

    fn retire(&self, path: &str) {
        self.state.lock().retired.push(path.to_owned());
    }

    fn commit(self: Box<Self>) -> Result<(), Error> {
        Self::commit(*self)
    }
}

impl NewFile for FolderFile {
    fn shown(&self) -> &str {
        &self.shown
    }

    fn finish(self: Box<Self>) -> Result<(), Error> {
        Self::finish(*self)
    }
}

impl Write for FolderFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Drop for FolderFile {
    /// An incomplete file is removed at once; the count of begun files prevents committing the set without it.
    fn drop(&mut self) {
        self.state
            .lock()
            .pending
            .retain(|file| file.key != self.key || file.whole);
    }
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, State> {
        self.0.lock()
    }

    fn abandon(&self) {
        self.0.abandon();
    }
}

impl Lock {
    fn lock(&self) -> MutexGuard<'_, State> {
        // A panic elsewhere must not keep the files from being removed.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Abandon for Lock {
    fn abandon(&self) {
        let mut state = self.lock();
        state.stopped = true;
        state.pending.clear();
        for folder in std::mem::take(&mut state.made).into_iter().rev() {
            // Fails, as intended, if the folder contains something else by now.
            let _ = fs::remove_dir(folder);
        }
    }
}

fn interrupted() -> io::Error {
    io::Error::new(io::ErrorKind::Interrupted, "the work was stopped")
}

/// All files are in place before the report that lists them.
fn rank(relative: &str) -> u8 {
    match relative {
        "report.json" => 3,
        "sheet.png" => 1,
        other if other.starts_with("previews/") => 0,
        _ => 2,
    }
}

/// The folders that hold these files, each once.
fn folders_within<'a>(planned: &'a [&'a str]) -> BTreeSet<&'a Path> {
    let parents = planned.iter().filter_map(|path| Path::new(path).parent());
    parents
        .filter(|path| !path.as_os_str().is_empty())
        .collect()
}

/// Makes `folder` and its parents, recording each; removes them again if it fails.
fn make_folders(folder: &Path, made: &mut Vec<PathBuf>) -> Result<(), Error> {
    let known = made.len();
    let missing: Vec<&Path> = folder
        .ancestors()
        .take_while(|path| !path.as_os_str().is_empty() && !path.is_dir())
        .collect();
    for path in missing.into_iter().rev() {
        match fs::create_dir(path) {
            Ok(()) => made.push(path.to_owned()),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && path.is_dir() => {}
            Err(source) => {
                for own in made.drain(known..).rev() {
                    let _ = fs::remove_dir(own);
                }
                let place = path.display().to_string();
                return Err(Error::io(place, "making the folder", source));
            }
        }
    }
    Ok(())
}

/// An empty temporary file that, once renamed, has the permissions of any new file (tempfile's own are its user's only).
fn temporary_in(folder: &Path) -> io::Result<(File, TempPath)> {
    let mut builder = tempfile::Builder::new();
    let beginning = beginning();
    builder.prefix(&beginning).suffix(ENDING);
    if let Some(permissions) = usual_permissions() {
        builder.permissions(permissions);
    }
    // tempfile would resolve a relative folder later, so it is resolved now.
    let temporary = builder.tempfile_in(std::path::absolute(folder)?);
    Ok(temporary.map_err(without_path)?.into_parts())
}

/// The system's own error without the temporary path that tempfile adds, which nobody knows.
fn without_path(error: io::Error) -> io::Error {
    let inner = error.get_ref().and_then(std::error::Error::source);
    let code = inner.and_then(|inner| inner.downcast_ref::<io::Error>()?.raw_os_error());
    code.map_or(error, io::Error::from_raw_os_error)
}

#[cfg(unix)]
fn usual_permissions() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    // The process's umask applies, as for every file.
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual_permissions() -> Option<Permissions> {
    None
}
