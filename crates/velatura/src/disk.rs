//! Files and time from the operating system.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use velatura_document::Files;
use velatura_pipeline::Clock;

use crate::read_file::read;

/// What came out of pipes. A pipe can be read only once, but a job may read its file again.
static PIPES: Mutex<BTreeMap<PathBuf, Vec<u8>>> = Mutex::new(BTreeMap::new());

fn pipes() -> MutexGuard<'static, BTreeMap<PathBuf, Vec<u8>>> {
    PIPES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Reads files from the disk. Paths start from the current folder. Regular files are read, and pipes that somebody writes to,
/// such as a shell's `<(…)`; folders, devices, sockets and pipes without a writer are refused.
#[derive(Debug, Clone, Copy, Default)]
pub struct DiskFiles;

impl Files for DiskFiles {
    fn read(&self, path: &Path, at_most: u64) -> io::Result<Vec<u8>> {
        if let Some(bytes) = pipes().get(path) {
            return Ok(bytes.clone());
        }
        let bytes = read(path, at_most)?;
        if !path.is_file() {
            pipes().insert(path.to_owned(), bytes.clone());
        }
        Ok(bytes)
    }
}

/// A clock that runs from now on.
#[must_use]
pub fn running_clock() -> Clock {
    let began = Instant::now();
    Clock::new(move || began.elapsed())
}
