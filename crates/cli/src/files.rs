//! Reading and writing single files: the one place of the command where paths are opened. Folders of results are the
//! sheet's business.

use std::io::{ErrorKind, Write as _};
use std::path::Path;

use velatura_pipeline::Error;
use velatura_pipeline::optics::diagnostic::Diagnostic;

/// Reads a file whole.
///
/// # Errors
/// A diagnostic with the path as the user wrote it.
pub(crate) fn read_file(path: &str) -> Result<Vec<u8>, Diagnostic> {
    std::fs::read(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => Diagnostic::error(path, "there is no such file")
            .mend("check the path; paths in a file are relative to the file they stand in"),
        ErrorKind::PermissionDenied => Diagnostic::error(path, "this file may not be read")
            .mend("give yourself the right to read it"),
        _ if Path::new(path).is_dir() => {
            Diagnostic::error(path, "this is a folder").expected("a file")
        }
        _ => Diagnostic::error(path, format!("the file could not be read: {error}")),
    })
}

/// Writes a file whole or not at all, over an older one of that name. `inputs` are the files that were read: none of them
/// is written over.
///
/// # Errors
/// [`Error::Call`] if the path is one of the inputs, [`Error::Machine`] if it cannot be written.
pub(crate) fn write_file(path: &Path, bytes: &[u8], inputs: &[&str]) -> Result<(), Error> {
    refuse_inputs(path, inputs)?;
    let shown = path.display();
    let failed = |error: std::io::Error| {
        Error::Machine(format!(
            "{shown}: could not be written: {error}\n  nothing was written"
        ))
    };
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let mut file = tempfile::Builder::new()
        .prefix(".velatura-")
        .tempfile_in(folder.unwrap_or(Path::new(".")))
        .map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    // A temporary file is for its owner alone; a result is like any other file of the folder.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let kept = std::fs::metadata(path).map(|old| old.permissions());
        let permissions = kept.unwrap_or_else(|_| std::fs::Permissions::from_mode(0o644));
        file.as_file()
            .set_permissions(permissions)
            .map_err(failed)?;
    }
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}

/// Refuses a path to write to that is also read; nothing is changed.
///
/// # Errors
/// [`Error::Call`] if the path is one of the inputs.
pub(crate) fn refuse_inputs(path: &Path, inputs: &[&str]) -> Result<(), Error> {
    let shown = path.display();
    let same = |input: &&str| match (std::fs::canonicalize(path), std::fs::canonicalize(input)) {
        (Ok(one), Ok(other)) => one == other,
        _ => path == Path::new(input),
    };
    if inputs.iter().any(same) {
        return Err(Error::Call(format!(
            "{shown}: this file is also read\n  expected: another path to write to\n  mend: give --out a name of its own"
        )));
    }
    Ok(())
}
