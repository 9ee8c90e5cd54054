//! The results of checking a job's files, by file.

use velatura_document::Diagnostic;

/// Errors and warnings about the files of a job, by file.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Checked {
    /// In the figure file, its photo, its mask and its plugins.
    pub figure: Vec<Diagnostic>,
    /// In the paints file.
    pub paints: Vec<Diagnostic>,
    /// In the schemes file, and what other scheme sources reported.
    pub schemes: Vec<Diagnostic>,
}

impl Checked {
    /// All of it, in the order of the files.
    #[must_use]
    pub fn all(self) -> Vec<Diagnostic> {
        [self.figure, self.paints, self.schemes].concat()
    }

    /// Whether the files cannot be used.
    #[must_use]
    pub fn any_error(&self) -> bool {
        let mut all = self.figure.iter().chain(&self.paints).chain(&self.schemes);
        all.any(Diagnostic::is_error)
    }
}
