//! Imports and spectra.

mod import;
mod import_many;
mod spectra;
