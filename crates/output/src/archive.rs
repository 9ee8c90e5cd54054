//! A set of files as one zip archive.

use std::io::{self, Seek, Write};
use std::path::PathBuf;
use std::sync::Mutex;

use velatura_document::{Diagnostic, Error};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::memory_set::{Files, MemorySet, lock};
use crate::outputs::{FileSet, Outputs};

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
        Ok(Box::new(MemorySet::new(|made| {
            let writer = lock(&self.0).take().ok_or_else(|| {
                let found = "this archive already has its files";
                Error::refused("", found, "one set of files for each archive", "")
            })?;
            archive(writer, made).map_err(|error| {
                let problem = Diagnostic::error("", format!("cannot write the archive: {error}"));
                Error::machine(problem.caused_by(error))
            })
        })))
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

#[cfg(test)]
mod tests {
    use std::io::{Cursor, Read};

    use super::*;

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
