//! One row of measured data: a name, and what was seen. And the problems of rows.

use std::ops::Range;

use crate::colour::Encoded;
use crate::paints_file::Wavelengths;
use crate::paints_file::reflectance::Fault;
use crate::surface::Specular;
use velatura_document::{At, Diagnostic, Hint, SourceText};

/// All rows of one file.
#[derive(Debug)]
pub(super) struct Table<'a> {
    /// The file.
    pub(super) source: &'a SourceText,
    /// Its rows in the order written.
    pub(super) rows: Vec<Row<'a>>,
    /// Whether values include the surface's reflection, if the file says so.
    pub(super) specular: Option<Specular>,
}

/// One row.
#[derive(Debug)]
pub(super) struct Row<'a> {
    /// Its file.
    pub(super) source: &'a SourceText,
    /// The sample's name.
    pub(super) name: At<String>,
    /// What was seen of it.
    pub(super) seen: Seen,
}

/// What was seen of a sample.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Seen {
    /// Reflectance as written, at wavelengths that all rows of a file share.
    Spectrum(Wavelengths, Vec<f64>),
    /// A colour.
    Colour(Encoded),
}

impl Row<'_> {
    /// A problem of this row.
    pub(super) fn error(&self, fault: Fault) -> Diagnostic {
        error_at(self.source, &self.name.at, fault).within(format!("row \"{}\"", self.name.value))
    }
}

/// A problem at a place of a file. Empty parts are left out.
pub(super) fn error_at(source: &SourceText, at: &Range<usize>, fault: Fault) -> Diagnostic {
    source
        .error_at(at, fault.found)
        .expected(fault.expected)
        .help(fault.help)
}

/// A problem of a whole file. Empty parts are left out.
pub(super) fn error_in(source: &SourceText, fault: Fault) -> Diagnostic {
    Diagnostic::error(source.name(), fault.found)
        .expected(fault.expected)
        .help(fault.help)
}

/// A fault in words.
pub(super) fn fault(
    found: impl Into<String>,
    expected: impl Into<String>,
    help: impl Into<Hint>,
) -> Fault {
    Fault {
        found: found.into(),
        expected: expected.into(),
        help: help.into(),
    }
}
