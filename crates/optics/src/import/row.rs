//! One row of measured data: a name, and what was seen; and what messages say of it.

use std::ops::Range;

use crate::colour::Encoded;
use crate::paints_file::Wavelengths;
use crate::paints_file::reflectance::Fault;
use crate::surface::Specular;
use velatura_document::Diagnostic;
use velatura_document::{At, SourceText};

/// All rows of one file.
#[derive(Debug)]
pub(super) struct Table<'a> {
    /// The file.
    pub(super) source: &'a SourceText,
    /// Its rows in the order written.
    pub(super) rows: Vec<Row<'a>>,
    /// What the file itself says of the surface's reflection.
    pub(super) specular: Option<Specular>,
}

/// One row.
#[derive(Debug)]
pub(super) struct Row<'a> {
    /// The file it stands in.
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

/// A problem at a place of a file; empty parts are left out.
pub(super) fn error_at(source: &SourceText, at: &Range<usize>, fault: Fault) -> Diagnostic {
    filled(source.error_at(at, fault.found), fault.expected, fault.help)
}

/// A problem of a whole file; empty parts are left out.
pub(super) fn error_in(source: &SourceText, fault: Fault) -> Diagnostic {
    filled(
        Diagnostic::error(source.name.clone(), fault.found),
        fault.expected,
        fault.help,
    )
}

/// A fault in words.
pub(super) fn fault(
    found: impl Into<String>,
    expected: impl Into<String>,
    help: impl Into<String>,
) -> Fault {
    Fault {
        found: found.into(),
        expected: expected.into(),
        help: help.into(),
    }
}

fn filled(mut problem: Diagnostic, expected: String, help: String) -> Diagnostic {
    if !expected.is_empty() {
        problem = problem.expected(expected);
    }
    if !help.is_empty() {
        problem = problem.help(help);
    }
    problem
}
