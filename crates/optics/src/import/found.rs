//! The problems of all files of an import. Each file keeps so many of them that people can read, and counts the others.

use velatura_document::{Diagnostic, Problems, SourceText};

use super::row::{Row, error_at, error_in};
use crate::paints_file::reflectance::Fault;
use std::ops::Range;

/// The problems found so far.
#[derive(Debug)]
pub(super) struct Found<'a> {
    files: Vec<(&'a SourceText, Problems)>,
}

impl<'a> Found<'a> {
    /// None yet in these files.
    pub(super) fn none_in(sources: &'a [SourceText]) -> Self {
        let files = sources.iter().map(|source| (source, Problems::default()));
        Self {
            files: files.collect(),
        }
    }

    /// Adds a problem of a row. As in all of these, `fault` is only called if there is room for one more.
    pub(super) fn in_row(&self, row: &Row<'_>, fault: impl FnOnce() -> Fault) {
        self.add(row.source, || row.error(fault()));
    }

    /// Adds a problem at a place of a file.
    pub(super) fn at(&self, source: &SourceText, at: &Range<usize>, fault: impl FnOnce() -> Fault) {
        self.add(source, || error_at(source, at, fault()));
    }

    /// Adds a problem of a whole file.
    pub(super) fn in_file(&self, source: &SourceText, fault: impl FnOnce() -> Fault) {
        self.add(source, || error_in(source, fault()));
    }

    /// Adds a problem of a file.
    pub(super) fn add(&self, source: &SourceText, problem: impl FnOnce() -> Diagnostic) {
        let own = self
            .files
            .iter()
            .find(|(other, _)| std::ptr::eq(*other, source));
        let (_, problems) = own.expect("rows and tables refer to the files of the import");
        problems.error(problem);
    }

    /// Whether there is any.
    pub(super) fn any(&self) -> bool {
        self.files.iter().any(|(_, problems)| problems.any_error())
    }

    /// All that are kept, in the order of the files.
    pub(super) fn into_sorted(self) -> Vec<Diagnostic> {
        self.files
            .into_iter()
            .flat_map(|(source, problems)| problems.into_sorted(source.name()))
            .collect()
    }
}
