//! Opening and reading one file so that nothing can hang or fill the memory.
//!
//! In: a path and the most bytes that are accepted. Out: the bytes, or an error in plain words. Accepted are regular files,
//! and pipes that somebody writes to, such as a shell's `<(…)`. Refused are folders, devices, sockets, and pipes without a
//! writer. Not here: what is in the file, and the message that a user sees (`velatura_document::read_file`).

use std::fs::{File, FileType, OpenOptions};
use std::io::{self, ErrorKind, Read};
use std::path::Path;
use std::time::{Duration, Instant};

use velatura_document::Unreadable;

/// How long to wait for a pipe.
#[derive(Debug, Clone, Copy)]
struct Patience {
    /// For somebody to open the other end.
    writer: Duration,
    /// For the next byte of somebody who has.
    byte: Duration,
}

/// A shell starts the writer of `<(…)` before the command. A minute is enough for a program that computes what it writes.
const PATIENCE: Patience = Patience {
    writer: Duration::from_secs(1),
    byte: Duration::from_secs(60),
};
/// Between two looks at a pipe that has nothing yet.
const PAUSE: Duration = Duration::from_millis(5);
/// Bytes of one read from a pipe.
const CHUNK_BYTES: usize = 64 << 10;

/// Reads a file whole, of at most so many bytes.
///
/// # Errors
/// The system's own error if the file cannot be opened or read, [`ErrorKind::FileTooLarge`], or an [`Unreadable`].
pub(crate) fn read(path: &Path, at_most: u64) -> io::Result<Vec<u8>> {
    read_patiently(path, at_most, PATIENCE)
}

fn read_patiently(path: &Path, at_most: u64, patience: Patience) -> io::Result<Vec<u8>> {
    // Looked at before it is opened, since to open a device may already do something.
    readable(std::fs::metadata(path)?.file_type())?;
    let file = open(path)?;
    let metadata = file.metadata()?;
    match readable(metadata.file_type())? {
        Readable::Whole => read_whole(file, metadata.len(), at_most),
        Readable::Pipe => read_pipe(file, at_most, patience),
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Readable {
    Whole,
    Pipe,
}

fn readable(kind: FileType) -> io::Result<Readable> {
    if kind.is_file() {
        return Ok(Readable::Whole);
    }
    let found = match special(kind) {
        Special::Pipe => return Ok(Readable::Pipe),
        Special::Device => "this is a device",
        Special::Socket => "this is a socket",
        Special::Other if kind.is_dir() => {
            return Err(unreadable(
                "this is a folder",
                "a file",
                "name a file in it",
            ));
        }
        Special::Other => "this is not a regular file",
    };
    let help = "name a file, or copy the data into one first";
    Err(unreadable(found, "a file with an end", help))
}

#[cfg_attr(
    not(unix),
    allow(dead_code, reason = "only unix knows kinds of special files")
)]
enum Special {
    Pipe,
    Device,
    Socket,
    Other,
}

#[cfg(unix)]
fn special(kind: FileType) -> Special {
    use std::os::unix::fs::FileTypeExt;
    if kind.is_fifo() {
        Special::Pipe
    } else if kind.is_char_device() || kind.is_block_device() {
        Special::Device
    } else if kind.is_socket() {
        Special::Socket
    } else {
        Special::Other
    }
}

#[cfg(not(unix))]
fn special(_: FileType) -> Special {
    Special::Other
}

/// Opens a file without waiting for anybody, and without making a terminal that of this program.
fn open(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.custom_flags(libc::O_NONBLOCK | libc::O_NOCTTY);
    }
    options.open(path)
}

fn read_whole(file: File, length: u64, at_most: u64) -> io::Result<Vec<u8>> {
    if length > at_most {
        return Err(ErrorKind::FileTooLarge.into());
    }
    let mut bytes = Vec::new();
    bytes
        .try_reserve_exact(usize::try_from(length).unwrap_or(usize::MAX))
        .map_err(|_| ErrorKind::OutOfMemory)?;
    // Files of the system may have more bytes than they say. One byte more shows that a file is too large.
    file.take(at_most.saturating_add(1))
        .read_to_end(&mut bytes)?;
    within(bytes, at_most)
}

fn within(bytes: Vec<u8>, at_most: u64) -> io::Result<Vec<u8>> {
    if bytes.len() as u64 > at_most {
        return Err(ErrorKind::FileTooLarge.into());
    }
    Ok(bytes)
}

fn read_pipe(mut pipe: File, at_most: u64, patience: Patience) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut chunk = vec![0; CHUNK_BYTES];
    let mut since = Instant::now();
    // A pipe that nobody has opened for writing yet looks like one that has ended.
    let mut written_to = false;
    loop {
        match pipe.read(&mut chunk) {
            Ok(0) if written_to => return Ok(bytes),
            Ok(0) => {
                if since.elapsed() > patience.writer {
                    return Err(unreadable(
                        "this is a pipe that nobody writes to",
                        "a file, or a pipe with a writer",
                        "start the program that writes to it first, or name a file",
                    ));
                }
                std::thread::sleep(PAUSE);
            }
            Ok(count) => {
                written_to = true;
                since = Instant::now();
                bytes.extend_from_slice(&chunk[..count]);
                bytes = within(bytes, at_most)?;
            }
            Err(error) if error.kind() == ErrorKind::WouldBlock => {
                if !written_to {
                    (written_to, since) = (true, Instant::now());
                }
                if since.elapsed() > patience.byte {
                    return Err(unreadable(
                        format!(
                            "nothing came out of this pipe for {} s",
                            patience.byte.as_secs()
                        ),
                        "a pipe whose writer writes, and then closes it",
                        "write to a file first, and name that",
                    ));
                }
                std::thread::sleep(PAUSE);
            }
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
}

fn unreadable(found: impl Into<String>, expected: &'static str, help: &'static str) -> io::Error {
    let found = found.into();
    Unreadable {
        found,
        expected,
        help,
    }
    .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn failed(path: &Path) -> io::Error {
        let brief = Patience {
            writer: Duration::from_millis(30),
            byte: Duration::from_millis(30),
        };
        read_patiently(path, 10, brief).unwrap_err()
    }

    #[test]
    fn a_file_ends_at_its_limit_and_not_one_byte_later() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, "0123456789").unwrap();
        assert_eq!(read(&path, 10).unwrap(), b"0123456789");
        assert_eq!(read(&path, u64::MAX).unwrap(), b"0123456789");
        std::fs::write(&path, "0123456789a").unwrap();
        assert_eq!(failed(&path).kind(), ErrorKind::FileTooLarge);
        std::fs::write(&path, "").unwrap();
        assert_eq!(read(&path, 0).unwrap(), b"");
        let missing = failed(&folder.path().join("b"));
        assert_eq!(missing.kind(), ErrorKind::NotFound);
    }

    #[test]
    fn a_folder_is_no_file() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(failed(folder.path()).to_string(), "this is a folder");
    }

    #[cfg(unix)]
    mod unix {
        use std::io::Write;
        use std::path::PathBuf;
        use std::process::Command;

        use super::*;

        fn pipe(folder: &tempfile::TempDir) -> PathBuf {
            let path = folder.path().join("pipe");
            let made = Command::new("mkfifo").arg(&path).status().unwrap();
            assert!(made.success());
            path
        }

        #[test]
        fn devices_and_sockets_are_refused() {
            for device in ["/dev/zero", "/dev/null"] {
                assert_eq!(failed(Path::new(device)).to_string(), "this is a device");
            }
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("socket");
            let _socket = std::os::unix::net::UnixListener::bind(&path).unwrap();
            assert_eq!(failed(&path).to_string(), "this is a socket");
        }

        #[test]
        fn a_pipe_without_a_writer_or_with_a_silent_one_ends() {
            let folder = tempfile::tempdir().unwrap();
            let path = pipe(&folder);
            assert_eq!(
                failed(&path).to_string(),
                "this is a pipe that nobody writes to"
            );
            // Open for reading as well, so that opening does not wait.
            let both = OpenOptions::new().read(true).write(true).open(&path);
            let both = both.unwrap();
            assert_eq!(
                failed(&path).to_string(),
                "nothing came out of this pipe for 0 s"
            );
            drop(both);
        }

        #[test]
        fn a_pipe_is_read_until_its_writer_closes_it_or_to_the_limit() {
            let folder = tempfile::tempdir().unwrap();
            let path = pipe(&folder);
            let write = |parts: &'static [&'static str]| {
                let path = path.clone();
                std::thread::spawn(move || {
                    let mut pipe = OpenOptions::new().write(true).open(path).unwrap();
                    for part in parts {
                        std::thread::sleep(Duration::from_millis(20));
                        let _ = pipe.write_all(part.as_bytes());
                    }
                })
            };
            let writer = write(&["01234", "56789"]);
            assert_eq!(read(&path, 10).unwrap(), b"0123456789");
            writer.join().unwrap();
            let writer = write(&["01234", "56789", "a"]);
            let error = read(&path, 10).unwrap_err();
            assert_eq!(error.kind(), ErrorKind::FileTooLarge);
            writer.join().unwrap();
        }
    }
}
