//! Files and time from the operating system.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::time::Instant;

use velatura_document::Files;
use velatura_pipeline::Clock;

/// Reads files from the disk. Paths start from the current folder.
#[derive(Debug, Clone, Copy, Default)]
pub struct DiskFiles;

impl Files for DiskFiles {
    fn read(&self, path: &Path, at_most: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        // One byte more shows that the file is too large.
        File::open(path)?
            .take(at_most.saturating_add(1))
            .read_to_end(&mut bytes)?;
        Ok(bytes)
    }
}

/// A clock that runs from now on.
#[must_use]
pub fn running_clock() -> Clock {
    let began = Instant::now();
    Clock::new(move || began.elapsed())
}
