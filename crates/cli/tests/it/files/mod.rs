//! The painter's files: what their declarations say, their readers, JSON Schemas and reference page all agree on.

mod checked_in;
mod declared;
mod examples;
mod refused;

use velatura_document::{Diagnostic, FileKind, SourceText, Warned};
use velatura_pipeline::figure::{FIGURE_FILE, read_figure_file};
use velatura_pipeline::optics::paints_file::{PAINTS_FILE, read_paints_file};
use velatura_pipeline::optics::spectrum_file::{SPECTRUM_FILE, read_spectrum_file};
use velatura_pipeline::scheme::{SCHEMES_FILE, read_schemes_file};
use velatura_swatch::{LAYOUT_FILE, read_layout_file};

/// A kind of file with its reader.
struct OneKind {
    file: &'static FileKind,
    /// The name of its schema.
    schema: &'static str,
    read: fn(&SourceText) -> (bool, Vec<Diagnostic>),
}

/// Every kind of file that a painter writes, in the order of the page.
const KINDS: [OneKind; 5] = [
    OneKind {
        file: &FIGURE_FILE,
        schema: "figure",
        read: |source| seen(read_figure_file(source)),
    },
    OneKind {
        file: &PAINTS_FILE,
        schema: "paints",
        read: |source| seen(read_paints_file(source)),
    },
    OneKind {
        file: &SCHEMES_FILE,
        schema: "schemes",
        read: |source| seen(read_schemes_file(source)),
    },
    OneKind {
        file: &LAYOUT_FILE,
        schema: "layout",
        read: |source| seen(read_layout_file(source)),
    },
    OneKind {
        file: &SPECTRUM_FILE,
        schema: "spectrum",
        read: |source| seen(read_spectrum_file(source)),
    },
];

fn seen<T>(read: Result<Warned<T>, Vec<Diagnostic>>) -> (bool, Vec<Diagnostic>) {
    match read {
        Ok(read) => (true, read.warnings),
        Err(problems) => (false, problems),
    }
}
