//! Temporary files that earlier runs left behind because they were killed.
//!
//! In: a folder. Out: the names of new temporary files, and no temporary file of a process that is gone. A process is known
//! by its number on this machine, so two machines that write into one folder at the same time may disturb each other.

use std::fs::{self, DirEntry};
use std::path::Path;

/// Temporary names begin so, then comes the number of the process that makes them.
const BEGINNING: &str = ".velatura-";
/// Temporary names end so.
pub(crate) const ENDING: &str = ".tmp";

/// The beginning of this process's temporary names.
pub(crate) fn beginning() -> String {
    format!("{BEGINNING}{}-", std::process::id())
}

/// Removes temporary files of processes that are gone. What cannot be removed stays: it is in nobody's way.
pub(crate) fn remove_leftovers(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if is_file && process_of(&entry).is_some_and(|process| is_gone(process, &entry)) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The process that made a temporary file; `None` for all other files.
fn process_of(entry: &DirEntry) -> Option<u32> {
    let name = entry.file_name();
    let middle = name.to_str()?.strip_prefix(BEGINNING)?;
    let (process, _) = middle.strip_suffix(ENDING)?.split_once('-')?;
    process.parse().ok()
}

#[cfg(unix)]
fn is_gone(process: u32, _: &DirEntry) -> bool {
    use rustix::io::Errno;
    use rustix::process::{Pid, test_kill_process};
    let process = i32::try_from(process).ok().and_then(Pid::from_raw);
    process.is_some_and(|process| test_kill_process(process) == Err(Errno::SRCH))
}

/// Without a way to ask, after a day.
#[cfg(not(unix))]
fn is_gone(_: u32, entry: &DirEntry) -> bool {
    const DAY: std::time::Duration = std::time::Duration::from_secs(24 * 60 * 60);
    let changed = entry.metadata().and_then(|metadata| metadata.modified());
    changed.is_ok_and(|changed| changed.elapsed().is_ok_and(|age| age > DAY))
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn only_temporary_files_of_dead_processes_go() {
        let folder = tempfile::tempdir().unwrap();
        let mut child = std::process::Command::new("true").spawn().unwrap();
        let dead = child.id();
        child.wait().unwrap();
        let living = std::process::id();
        let gone = format!(".velatura-{dead}-AbCdEf.tmp");
        let stay = [
            format!(".velatura-{living}-AbCdEf.tmp"),
            format!(".velatura-{dead}-AbCdEf.tmp.png"),
            format!("velatura-{dead}-AbCdEf.tmp"),
            ".velatura-notes.tmp".to_owned(),
            ".velatura-0-AbCdEf.tmp".to_owned(),
        ];
        for name in stay.iter().chain([&gone]) {
            fs::write(folder.path().join(name), "x").unwrap();
        }
        fs::create_dir(folder.path().join(format!(".velatura-{dead}-folder.tmp"))).unwrap();
        remove_leftovers(folder.path());
        assert!(!folder.path().join(&gone).exists());
        for name in &stay {
            assert!(folder.path().join(name).exists(), "{name}");
        }
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), stay.len() + 1);
    }
}
