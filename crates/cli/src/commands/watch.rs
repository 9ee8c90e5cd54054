//! `render --watch`: renders again whenever a file of the job is saved.

use std::path::PathBuf;
use std::thread;
use std::time::{Duration, SystemTime};

use velatura::{Cancel, DiskFiles, Error, Job, Session};

use crate::format::Format;
use crate::messages::{print_message, report};

/// How often to look for changes.
const PAUSE: Duration = Duration::from_millis(100);

/// Calls `again` with the files that changed after every change of the job's files, until the command is stopped. Problems are printed, and the next change
/// is waited for.
pub(super) fn watch(
    session: &Session,
    job: &mut Job,
    cancel: &Cancel,
    format: Format,
    mut again: impl FnMut(&mut Job, &[PathBuf]) -> Result<(), Error>,
) {
    let mut known = stamps(job.inputs());
    // Files that changed since the job was last read. After a mistake they stay here, or the next save would pass them over.
    let mut changed: Vec<PathBuf> = Vec::new();
    wait_message(format);
    while !cancel.is_stopped() {
        thread::sleep(PAUSE);
        let now = stamps(job.inputs());
        // Only when nothing changes any more: an editor may still be writing.
        if now == known || now != settled(job, cancel) {
            continue;
        }
        let other = now.iter().filter(|stamp| !known.contains(stamp));
        changed.extend(other.map(|(path, _)| path.clone()));
        known = now;
        let done = session
            .reload(&DiskFiles, job, &changed)
            .and_then(|()| again(job, &changed));
        match done {
            Err(Error::Cancelled) => return,
            Err(error) => {
                report(&error, format);
            }
            Ok(()) => {
                changed.clear();
                // A figure file may name other pictures now. Stamps from before the render stay, so that a save during it counts.
                known = stamps(job.inputs())
                    .into_iter()
                    .map(|stamp| {
                        known
                            .iter()
                            .find(|(path, _)| *path == stamp.0)
                            .cloned()
                            .unwrap_or(stamp)
                    })
                    .collect();
            }
        }
        wait_message(format);
    }
}

fn wait_message(format: Format) {
    if format == Format::Text {
        print_message("waiting for changes; stop with Ctrl-C\n");
    }
}

/// When a file was written, and its length; nothing for a file that is not there.
type Stamp = (PathBuf, Option<(SystemTime, u64)>);

fn stamps(paths: Vec<PathBuf>) -> Vec<Stamp> {
    let stamp = |path: PathBuf| {
        let data = std::fs::metadata(&path).ok();
        let stamp = data.and_then(|data| Some((data.modified().ok()?, data.len())));
        (path, stamp)
    };
    paths.into_iter().map(stamp).collect()
}

fn settled(job: &Job, cancel: &Cancel) -> Vec<Stamp> {
    if !cancel.is_stopped() {
        thread::sleep(PAUSE);
    }
    stamps(job.inputs())
}
